//! Operating points per second, beside a dense LU solve for each state by nalgebra.
//!
//! Run with `cargo bench -p solderside-circuit`. The network is the shape of a lead: a machine's
//! lines with pull-ups, each through a join and a switch to one common. Both ways answer the same
//! states, and their sums of voltages are compared before anything is timed.

use divan::{Bencher, black_box, counter::ItemsCount};
use nalgebra::{DMatrix, DVector};
use solderside_circuit::{Element, Extreme, Network, Node, Spread, Uncertain};
use solderside_quantity::{Ohms, Triple, Volts};

const LINES: usize = 10;
const STATES: usize = 1 << LINES;
const PULL_UP: f64 = 3100.0;
const JOIN: f64 = 0.4;
const CLOSED: f64 = 0.1;
const OPEN: f64 = 1e9;
const RETURN: f64 = 0.5;

fn main() {
    let ours: f64 = (0..STATES).map(star_mesh).sum();
    let dense: f64 = (0..STATES).map(dense_lu).sum();
    assert!((ours - dense).abs() < 1e-3, "the two ways disagree: {ours} {dense}");
    divan::main();
}

/// The sum of all voltages in one state.
fn star_mesh(state: usize) -> f64 {
    let mut network = Network::new();
    let common = network.node();
    let ohms = Ohms::literal;
    let add = |network: &mut Network, element| assert!(network.add(element).is_ok());
    let mut nodes = vec![common];
    add(&mut network, Element::Resistor { a: common, b: Node::GROUND, ohms: ohms(RETURN) });
    for line in 0..LINES {
        let (port, stick) = (network.node(), network.node());
        let closed = state >> line & 1 == 1;
        for element in [
            Element::Source { node: port, volts: Volts::literal(5.0), ohms: ohms(PULL_UP) },
            Element::Resistor { a: port, b: stick, ohms: ohms(JOIN) },
            Element::Switch { a: stick, b: common, closed, on: ohms(CLOSED), off: ohms(OPEN) },
        ] {
            add(&mut network, element);
        }
        nodes.extend([port, stick]);
    }
    let point = network.operating_point().expect("the network is well-posed");
    nodes.into_iter().map(|node| point.volts(node).get()).sum()
}

/// The same by nodal analysis with a dense matrix.
fn dense_lu(state: usize) -> f64 {
    let size = 2 * LINES + 1;
    let mut matrix = DMatrix::<f64>::zeros(size, size);
    let mut right = DVector::<f64>::zeros(size);
    matrix[(0, 0)] += 1.0 / RETURN;
    for line in 0..LINES {
        let (port, stick) = (2 * line + 1, 2 * line + 2);
        matrix[(port, port)] += 1.0 / PULL_UP;
        right[port] += 5.0 / PULL_UP;
        let switch = if state >> line & 1 == 1 { CLOSED } else { OPEN };
        for (a, b, ohms) in [(port, stick, JOIN), (stick, 0, switch)] {
            matrix[(a, a)] += 1.0 / ohms;
            matrix[(b, b)] += 1.0 / ohms;
            matrix[(a, b)] -= 1.0 / ohms;
            matrix[(b, a)] -= 1.0 / ohms;
        }
    }
    matrix.lu().solve(&right).expect("the matrix is regular").sum()
}

#[divan::bench]
fn operating_points_by_star_mesh(bencher: Bencher) {
    bencher
        .counter(ItemsCount::new(STATES))
        .bench(|| (0..STATES).map(|state| star_mesh(black_box(state))).sum::<f64>());
}

#[divan::bench]
fn operating_points_by_dense_lu(bencher: Bencher) {
    bencher
        .counter(ItemsCount::new(STATES))
        .bench(|| (0..STATES).map(|state| dense_lu(black_box(state))).sum::<f64>());
}

/// The worst of the whole tolerance box for one line, in each state that presses it.
#[divan::bench]
fn bounds_over_the_whole_box(bencher: Bencher) {
    bencher.counter(ItemsCount::new(STATES / 2)).bench(|| {
        (0..STATES).filter(|state| state & 1 == 1).map(|state| bound(black_box(state))).sum::<f64>()
    });
}

fn bound(state: usize) -> f64 {
    let mut spread = Spread::new();
    let common = spread.node();
    let triple = |ohms: f64| Triple::<Ohms>::literal(0.5 * ohms, ohms, 2.0 * ohms);
    let add = |spread: &mut Spread, element| assert!(spread.add(element).is_ok());
    add(&mut spread, Uncertain::Resistor { a: common, b: Node::GROUND, ohms: triple(RETURN) });
    let mut first = None;
    for line in 0..LINES {
        let port = spread.node();
        first = first.or(Some(port));
        let volts = Triple::<Volts>::literal(4.75, 5.0, 5.25);
        add(&mut spread, Uncertain::Source { node: port, volts, ohms: triple(PULL_UP) });
        if state >> line & 1 == 1 {
            let stick = spread.node();
            add(&mut spread, Uncertain::Resistor { a: port, b: stick, ohms: triple(JOIN) });
            add(&mut spread, Uncertain::Resistor { a: stick, b: common, ohms: triple(CLOSED) });
        }
    }
    let bound = spread.bound(first.unwrap_or(common), Extreme::Highest).expect("the network is well-posed");
    bound.attained.map_or(0.0, Volts::get)
}
