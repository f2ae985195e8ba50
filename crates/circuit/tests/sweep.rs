//! The sweep against one exact solution a state.
#![expect(clippy::unwrap_used, reason = "a test that cannot build its network has failed")]

use proptest::prelude::*;
use solderside_circuit::{Diode, Element, ElementId, Network, Node, Unsolvable, Unswept};
use solderside_quantity::{Amps, Kelvin, Ohms, Volts};

const MICROVOLT: f64 = 1e-6;

/// A node's pull-up, and a resistor from it to another node.
type Around = (f64, f64, usize, f64);

/// What is swept, by its ends: a switch, or an output with its offset and its slope.
#[derive(Debug, Clone, Copy)]
enum Swept {
    Switch(usize, usize),
    Output(usize, usize, f64, f64),
}

/// A diode by its ends, saturation current, emission coefficient and series resistance.
type Junction = (usize, usize, f64, f64, f64);

/// A network and what of it is swept, set as the state has it.
fn network(around: &[Around], diodes: &[Junction], swept: &[Swept], state: u64) -> (Network, Vec<ElementId>) {
    let mut network = Network::new();
    let mut nodes = vec![Node::GROUND];
    nodes.extend(around.iter().map(|_| network.node()));
    let at = |node: usize| nodes[node % nodes.len()];
    let ohms = Ohms::literal;
    for (place, (volts, pull_up, other, r)) in around.iter().enumerate() {
        let node = nodes[place + 1];
        let source = Element::Source { node, volts: Volts::literal(*volts), ohms: ohms(*pull_up) };
        network.add(source).unwrap();
        network.add(Element::Resistor { a: node, b: at(*other), ohms: ohms(*r) }).unwrap();
        network.add(Element::Current { a: Node::GROUND, b: node, amps: Amps::literal(4e-4) }).unwrap();
    }
    for &(anode, cathode, is, n, rs) in diodes {
        let diode = Diode { is: Amps::literal(is), n, rs: ohms(rs), at: Kelvin::literal(300.15) };
        network.add(Element::Diode { anode: at(anode), cathode: at(cathode), diode }).unwrap();
    }
    let ids = swept.iter().enumerate().map(|(bit, swept)| {
        let set = state >> bit & 1 == 1;
        let element = match *swept {
            Swept::Switch(a, b) => {
                Element::Switch { a: at(a), b: at(b), closed: set, on: ohms(0.1), off: ohms(1e9) }
            }
            Swept::Output(node, to, offset, r) => Element::OpenCollector {
                node: at(node),
                to: at(to),
                on: set,
                offset: Volts::literal(offset),
                ohms: ohms(r),
                off: ohms(1e9),
            },
        };
        network.add(element).unwrap()
    });
    let ids = ids.collect();
    (network, ids)
}

/// Each node's voltage but the ground's.
fn exactly(network: &Network) -> Result<Vec<f64>, Unsolvable> {
    let point = network.operating_point()?;
    let mut again = Network::new();
    Ok((1..network.node_count()).map(|_| point.volts(again.node()).get()).collect())
}

/// The furthest that any node of any state is from its exact voltage.
fn worst(around: &[Around], diodes: &[Junction], swept: &[Swept]) -> f64 {
    let (network, ids) = network(around, diodes, swept, 0);
    let (mut seen, mut worst) = (0, 0.0_f64);
    network
        .sweep(&ids, |state, volts| {
            assert_eq!(state, seen, "the states come in rising order");
            seen += 1;
            let (network, _) = self::network(around, diodes, swept, state);
            for (volts, exact) in volts.iter().zip(exactly(&network).unwrap()) {
                worst = worst.max((volts - exact).abs());
            }
        })
        .unwrap();
    assert_eq!(seen, 1 << swept.len(), "each state comes once");
    worst
}

fn around() -> impl Strategy<Value = Vec<Around>> {
    proptest::collection::vec((-5.0..15.0f64, 1e3..1e6f64, 0..20usize, 10.0..1e6f64), 1..14)
}

fn diodes() -> impl Strategy<Value = Vec<Junction>> {
    let saturation = (-14.0..-5.0f64).prop_map(|decade| libm::pow(10.0, decade));
    let series = prop_oneof![Just(0.0), 0.01..50.0f64];
    proptest::collection::vec((0..20usize, 0..20usize, saturation, 1.0..2.2f64, series), 1..12)
}

fn switches() -> impl Strategy<Value = Vec<Swept>> {
    proptest::collection::vec((0..20usize, 0..20usize).prop_map(|(a, b)| Swept::Switch(a, b)), 0..8)
}

fn outputs_too() -> impl Strategy<Value = Vec<Swept>> {
    let output = (0..20usize, 0..20usize, 0.0..0.6f64, 1.0..500.0f64)
        .prop_map(|(node, to, offset, ohms)| Swept::Output(node, to, offset, ohms));
    let switch = (0..20usize, 0..20usize).prop_map(|(a, b)| Swept::Switch(a, b));
    proptest::collection::vec(prop_oneof![switch, output], 0..8)
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 60, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn the_sweep_is_one_exact_solution_for_each_state(around in around(), switches in switches()) {
        let worst = worst(&around, &[], &switches);
        prop_assert!(worst <= MICROVOLT, "{worst}");
    }

    #[test]
    fn with_diodes_too(around in around(), diodes in diodes(), switches in switches()) {
        let worst = worst(&around, &diodes, &switches);
        prop_assert!(worst <= MICROVOLT, "{worst}");
    }

    #[test]
    fn outputs_are_swept_like_switches(around in around(), diodes in diodes(), swept in outputs_too()) {
        let worst = worst(&around, &diodes, &swept);
        prop_assert!(worst <= MICROVOLT, "{worst}");
    }
}

/// Nodes that nothing holds but open contacts of 1 GΩ and diodes, beside one with a source.
fn floating(diodes: &[Junction], contacts: &[(usize, usize)], state: u64) -> (Network, Vec<ElementId>) {
    const NODES: usize = 5;
    let mut network = Network::new();
    let nodes: Vec<Node> = (0..NODES).map(|_| network.node()).collect();
    let at = |node: usize| if node == 0 { Node::GROUND } else { nodes[node] };
    let ohms = Ohms::literal;
    network.add(Element::Source { node: nodes[0], volts: Volts::literal(5.0), ohms: ohms(1e3) }).unwrap();
    for &(anode, cathode, is, n, rs) in diodes {
        let diode = Diode { is: Amps::literal(is), n, rs: ohms(rs), at: Kelvin::literal(300.15) };
        network.add(Element::Diode { anode: at(anode), cathode: at(cathode), diode }).unwrap();
    }
    // Each node hangs on the source's by one contact at least.
    let hung = nodes.iter().map(|node| (nodes[0], *node));
    let more = contacts.iter().map(|(a, b)| (at(*a), at(*b)));
    let ids = hung.chain(more).enumerate().map(|(bit, (a, b))| {
        let closed = state >> bit & 1 == 1;
        network.add(Element::Switch { a, b, closed, on: ohms(0.1), off: ohms(1e9) }).unwrap()
    });
    let ids = ids.collect();
    (network, ids)
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 60, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn nodes_that_only_open_contacts_hold_stay_within_a_microvolt(
        diodes in proptest::collection::vec(
            (0..5usize, 0..5usize, prop_oneof![Just(1e-14), Just(5.84e-9), Just(1e-6)], 1.0..2.2f64, 0.0..2.0f64),
            0..6,
        ),
        contacts in proptest::collection::vec((0..5usize, 0..5usize), 0..4),
    ) {
        let (network, ids) = floating(&diodes, &contacts, 0);
        let mut worst = 0.0_f64;
        network
            .sweep(&ids, |state, volts| {
                let exact = exactly(&floating(&diodes, &contacts, state).0).unwrap();
                for (volts, exact) in volts.iter().zip(exact) {
                    worst = worst.max((volts - exact).abs());
                }
            })
            .unwrap();
        prop_assert!(worst <= MICROVOLT, "{worst}");
    }
}

/// A chain of closed contacts of 0.1 Ω, beside open ones of 1 GΩ, far from any source.
const CHAIN: usize = 12;

fn chain() -> (Vec<Around>, Vec<Swept>) {
    let mut around = vec![(5.0, 1e6, 0, 1e6)];
    around.extend((1..CHAIN).map(|_| (0.0, 1e6, 0, 1e6)));
    let pairs = (1..CHAIN).flat_map(|node| [(node, node + 1), (node, 0)]);
    (around, pairs.take(14).map(|(a, b)| Swept::Switch(a, b)).collect())
}

#[test]
fn a_long_chain_of_closed_contacts_stays_within_a_microvolt() {
    let (around, switches) = chain();
    let worst = worst(&around, &[], &switches);
    assert!(worst <= MICROVOLT, "{worst}");
}

#[test]
fn so_does_one_with_diodes_beside_the_contacts() {
    let (around, switches) = chain();
    let diodes = [(1, 5), (5, 3), (7, 2), (9, 0), (0, 11), (12, 4)];
    let worst = worst(&around, &diodes.map(|(a, b)| (a, b, 5.84e-9, 1.94, 0.7)), &switches[..10]);
    assert!(worst <= MICROVOLT, "{worst}");
}

/// Between two diodes that face each other a node has no other hold, and its network no linear part.
#[test]
fn a_node_that_only_diodes_hold_is_swept_the_slow_way() {
    let (mut network, ids) = network(&[(5.0, 1e3, 0, 1e3)], &[], &[Swept::Switch(1, 0)], 0);
    let (node, held) = (Node::GROUND, network.node());
    let diode = Diode { is: Amps::literal(1e-9), n: 2.0, rs: Ohms::ZERO, at: Kelvin::literal(300.15) };
    network.add(Element::Diode { anode: held, cathode: node, diode }).unwrap();
    network.add(Element::Diode { anode: node, cathode: held, diode }).unwrap();
    let mut seen = 0;
    network
        .sweep(&ids, |_, volts| {
            seen += 1;
            assert!(volts[1].abs() <= MICROVOLT);
        })
        .unwrap();
    assert_eq!(seen, 2);
}

/// A current that is forced backwards through a diode has nowhere to go, whatever an output elsewhere does.
#[test]
fn the_first_state_without_an_operating_point_is_named() {
    let (mut network, ids) = network(&[(5.0, 1e3, 0, 1e3)], &[], &[Swept::Output(1, 0, 0.0, 10.0)], 0);
    let node = network.node();
    let diode = Diode { is: Amps::literal(1e-9), n: 2.0, rs: Ohms::ZERO, at: Kelvin::literal(300.15) };
    network.add(Element::Diode { anode: Node::GROUND, cathode: node, diode }).unwrap();
    network.add(Element::Current { a: Node::GROUND, b: node, amps: Amps::literal(1e-3) }).unwrap();
    let why = Unsolvable::NoBalance { node };
    assert_eq!(exactly(&network), Err(why));
    assert_eq!(network.sweep(&ids, |_, _| {}), Err(Unswept::Unsolvable { state: 0, why }));
}

#[test]
fn what_cannot_be_swept_is_refused() {
    let around = [(5.0, 1e3, 0, 1e3)];
    let (network, ids) = network(&around, &[], &[Swept::Switch(1, 0)], 0);
    assert_eq!(network.sweep(&[ids[0]; 64], |_, _| {}), Err(Unswept::TooManySwitches(64)));
    let (other, _) = self::network(&around, &[], &[], 0);
    assert_eq!(other.sweep(&ids, |_, _| {}), Err(Unswept::NoSwitch));
}
