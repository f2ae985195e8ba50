//! All 2¹⁵ states of twelve nodes and fifteen switches, beside nalgebra's LU solve for each state; and the
//! same with six diodes, beside a damped Newton method with such a solve for each step.
//!
//! Run with `cargo bench -p solderside-circuit --bench sweep`. Assembly and allocation stand outside the
//! timing of the dense way, but for the diodes' tangents. Both ways fold all twelve voltages of every state
//! into sums, which are compared before anything is timed.

use divan::{Bencher, black_box, counter::ItemsCount};
use nalgebra::{SMatrix, SVector};
use solderside_circuit::{Diode, Element, ElementId, Network, Node};
use solderside_quantity::{Amps, Kelvin, Ohms, Volts};

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
const NONE: [(usize, usize); 0] = [];
const STATES: usize = 1 << SWITCHES.len();
/// No two alike, so that a voltage read from the wrong node shows in the sum.
const OHMS: [f64; NODES] = [1.0, 1.2, 1.5, 1.8, 2.2, 2.7, 3.3, 3.9, 4.7, 5.6, 6.8, 8.2];
const ON: f64 = 0.1;
const OFF: f64 = 1e9;

type Matrix = SMatrix<f64, NODES, NODES>;
type Vector = SVector<f64, NODES>;

/// Anode and cathode of each.
const DIODES: [(usize, usize); 6] = [(1, 4), (5, 2), (7, 3), (9, 12), (11, 8), (6, 10)];
/// The silicon switching diode by its middle parameters, but without its series resistance: the dense way too
/// then needs one exponential a diode and step.
const SATURATION: f64 = 5.84e-9;
const EMISSION: f64 = 1.94;
const KELVIN: f64 = 300.15;
const SCALE: f64 = EMISSION * KELVIN * 1.380_649e-23 / 1.602_176_634e-19;
/// The error in volts that both ways allow.
const NEAR: f64 = 1e-7;

fn main() {
    agree(swept(&NONE), by_lu(&systems()));
    agree(swept(&DIODES), by_newton(&systems()));
    divan::main();
}

fn agree(swept: f64, dense: f64) {
    assert!((swept - dense).abs() < 1e-8 * dense.abs(), "the two ways disagree: {swept} {dense}");
}

/// A pull-up at each node and a ring of resistors through all of them, so that no switch cuts it apart.
fn pull_up(node: usize) -> (f64, f64) {
    (5.0, 1000.0 * OHMS[node - 1])
}

fn ring(node: usize) -> (usize, f64) {
    (node % NODES + 1, 470.0 * OHMS[NODES - node])
}

fn network(diodes: &[(usize, usize)]) -> (Network, Vec<ElementId>) {
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
    let diode =
        Diode { is: Amps::literal(SATURATION), n: EMISSION, rs: Ohms::ZERO, at: Kelvin::literal(KELVIN) };
    for (anode, cathode) in diodes {
        add(Element::Diode { anode: nodes[*anode], cathode: nodes[*cathode], diode });
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

fn swept(diodes: &[(usize, usize)]) -> f64 {
    let (network, switches) = network(diodes);
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
    for node in 1..=NODES {
        let (volts, ohms) = pull_up(node);
        join(&mut matrix, node, 0, 1.0 / ohms);
        right[node - 1] += volts / ohms;
        let (next, ohms) = ring(node);
        join(&mut matrix, node, next, 1.0 / ohms);
    }
    for (at, (a, b)) in SWITCHES.into_iter().enumerate() {
        join(&mut matrix, a, b, 1.0 / if state >> at & 1 == 1 { ON } else { OFF });
    }
    (matrix, right)
}

fn join(matrix: &mut Matrix, a: usize, b: usize, conductance: f64) {
    for (i, j, sign) in [(a, a, 1.0), (b, b, 1.0), (a, b, -1.0), (b, a, -1.0)] {
        if i > 0 && j > 0 {
            matrix[(i - 1, j - 1)] += sign * conductance;
        }
    }
}

fn by_lu(systems: &[(Matrix, Vector)]) -> f64 {
    let mut sums = Sums::default();
    for (matrix, right) in systems {
        sums.fold(matrix.lu().solve(right).expect("the matrix is regular").as_slice());
    }
    sums.total()
}

fn by_newton(systems: &[(Matrix, Vector)]) -> f64 {
    let mut sums = Sums::default();
    for (matrix, right) in systems {
        sums.fold(operating_point(matrix, right).as_slice());
    }
    sums.total()
}

/// A diode's current and its slope.
fn law(volts: f64) -> (f64, f64) {
    let grown = libm::exp((volts / SCALE).min(200.0));
    (SATURATION * (grown - 1.0), SATURATION / SCALE * grown)
}

fn across(volts: &Vector, (anode, cathode): (usize, usize)) -> f64 {
    volts[anode - 1] - volts[cathode - 1]
}

/// Newton's method from no voltage at all, until no node is further from its place than the sweep allows.
///
/// The step is halved while the currents along it are further out of balance than they were at its start.
fn operating_point(matrix: &Matrix, right: &Vector) -> Vector {
    let mut volts = Vector::zeros();
    loop {
        let (mut tangents, mut beside) = (*matrix, *right);
        for (anode, cathode) in DIODES {
            let at = across(&volts, (anode, cathode));
            let (amps, slope) = law(at);
            join(&mut tangents, anode, cathode, slope);
            beside[anode - 1] -= amps - slope * at;
            beside[cathode - 1] += amps - slope * at;
        }
        let full = tangents.lu().solve(&beside).expect("the matrix is regular");
        let way = full - volts;
        let rises = DIODES.map(|diode| across(&way, diode) / SCALE);
        let error: f64 = rises.iter().map(|rise| 0.5 * SCALE * rise * rise).sum();
        if error <= NEAR {
            return full;
        }
        let (linear, bend) = ((matrix * volts - right).dot(&way), (matrix * way).dot(&way));
        let imbalance = |share: f64| {
            let diodes = DIODES
                .iter()
                .zip(rises)
                .map(|(diode, rise)| law(across(&volts, *diode) + share * rise * SCALE).0 * rise * SCALE);
            linear + share * bend + diodes.sum::<f64>()
        };
        let start = imbalance(0.0).abs();
        let mut share = 1.0;
        while imbalance(share).abs() > start && share > 1e-9 {
            share *= 0.5;
        }
        volts += way * share;
    }
}

#[divan::bench]
fn all_states_by_the_sweep(bencher: Bencher) {
    bencher.counter(ItemsCount::new(STATES)).bench(|| swept(black_box(&NONE)));
}

#[divan::bench]
fn with_diodes_by_the_sweep(bencher: Bencher) {
    bencher.counter(ItemsCount::new(STATES)).bench(|| swept(black_box(&DIODES)));
}

#[divan::bench(sample_count = 10)]
fn with_diodes_by_newton(bencher: Bencher) {
    let systems = systems();
    bencher.counter(ItemsCount::new(STATES)).bench(|| by_newton(black_box(&systems)));
}

#[divan::bench(sample_count = 10)]
fn all_states_by_lu(bencher: Bencher) {
    let systems = systems();
    bencher.counter(ItemsCount::new(STATES)).bench(|| by_lu(black_box(&systems)));
}
