//! All 2¹⁵ states of twelve nodes and fifteen switches, beside nalgebra's LU solve for each state.
//!
//! Run with `cargo bench -p solderside-circuit --bench sweep`. Assembly and allocation stand outside the
//! timing of the dense way. Both fold all twelve voltages of every state into one sum, and the sums are
//! compared before anything is timed.

use divan::{Bencher, black_box, counter::ItemsCount};
use nalgebra::{SMatrix, SVector};
use solderside_circuit::{Element, ElementId, Network, Node};
use solderside_quantity::{Ohms, Volts};

const NODES: usize = 12;
const SWITCHES: [(usize, usize); 15] = [
    (1, 2),
    (3, 0),
    (4, 7),
    (5, 9),
    (2, 8),
    (6, 0),
    (10, 11),
    (12, 1),
    (3, 9),
    (7, 12),
    (8, 0),
    (4, 11),
    (5, 6),
    (2, 10),
    (9, 0),
];
const STATES: usize = 1 << SWITCHES.len();
/// No two alike, so that a voltage read from the wrong node shows in the sum.
const OHMS: [f64; NODES] = [1.0, 1.2, 1.5, 1.8, 2.2, 2.7, 3.3, 3.9, 4.7, 5.6, 6.8, 8.2];
const ON: f64 = 0.1;
const OFF: f64 = 1e9;

type Matrix = SMatrix<f64, NODES, NODES>;
type Vector = SVector<f64, NODES>;

fn main() {
    let swept = swept();
    let dense = by_lu(&systems());
    assert!((swept - dense).abs() < 1e-6 * dense.abs(), "the two ways disagree: {swept} {dense}");
    divan::main();
}

/// A pull-up at each node and a ring of resistors through all of them, so that no switch cuts it apart.
fn pull_up(node: usize) -> (f64, f64) {
    (5.0, 1000.0 * OHMS[node - 1])
}

fn ring(node: usize) -> (usize, f64) {
    (node % NODES + 1, 470.0 * OHMS[NODES - node])
}

fn network() -> (Network, Vec<ElementId>) {
    let mut network = Network::new();
    let mut nodes = vec![Node::GROUND];
    nodes.extend((0..NODES).map(|_| network.node()));
    let mut add = |element| network.add(element).expect("the values are in range");
    for node in 1..=NODES {
        let (volts, ohms) = pull_up(node);
        add(Element::Source { node: nodes[node], volts: Volts::literal(volts), ohms: Ohms::literal(ohms) });
        let (next, ohms) = ring(node);
        add(Element::Resistor { a: nodes[node], b: nodes[next], ohms: Ohms::literal(ohms) });
    }
    let switches = SWITCHES.map(|(a, b)| {
        let (on, off) = (Ohms::literal(ON), Ohms::literal(OFF));
        add(Element::Switch { a: nodes[a], b: nodes[b], closed: false, on, off })
    });
    (network, switches.to_vec())
}

/// A sum for each node, so that the fold is no chain of additions that all wait for each other.
#[derive(Default)]
struct Sums([f64; NODES]);

impl Sums {
    fn fold(&mut self, volts: &[f64]) {
        for (sum, volts) in self.0.iter_mut().zip(volts) {
            *sum += volts;
        }
    }

    fn total(&self) -> f64 {
        self.0.iter().sum()
    }
}

fn swept() -> f64 {
    let (network, switches) = network();
    let mut sums = Sums::default();
    network.sweep(&switches, |_, volts| sums.fold(volts)).expect("the network is well-posed");
    sums.total()
}

/// Every state's matrix and right side, made beforehand.
fn systems() -> Vec<(Matrix, Vector)> {
    (0..STATES).map(system).collect()
}

fn system(state: usize) -> (Matrix, Vector) {
    let mut matrix = Matrix::zeros();
    let mut right = Vector::zeros();
    let mut join = |a: usize, b: usize, conductance: f64| {
        for (i, j, sign) in [(a, a, 1.0), (b, b, 1.0), (a, b, -1.0), (b, a, -1.0)] {
            if i > 0 && j > 0 {
                matrix[(i - 1, j - 1)] += sign * conductance;
            }
        }
    };
    for node in 1..=NODES {
        let (volts, ohms) = pull_up(node);
        join(node, 0, 1.0 / ohms);
        right[node - 1] += volts / ohms;
        let (next, ohms) = ring(node);
        join(node, next, 1.0 / ohms);
    }
    for (at, (a, b)) in SWITCHES.into_iter().enumerate() {
        join(a, b, 1.0 / if state >> at & 1 == 1 { ON } else { OFF });
    }
    (matrix, right)
}

fn by_lu(systems: &[(Matrix, Vector)]) -> f64 {
    let mut sums = Sums::default();
    for (matrix, right) in systems {
        sums.fold(matrix.lu().solve(right).expect("the matrix is regular").as_slice());
    }
    sums.total()
}

#[divan::bench]
fn all_states_by_the_sweep(bencher: Bencher) {
    bencher.counter(ItemsCount::new(STATES)).bench(swept);
}

#[divan::bench(sample_count = 10)]
fn all_states_by_lu(bencher: Bencher) {
    let systems = systems();
    bencher.counter(ItemsCount::new(STATES)).bench(|| by_lu(black_box(&systems)));
}
