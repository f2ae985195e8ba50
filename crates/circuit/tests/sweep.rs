//! The sweep against one exact solution a state.
#![expect(clippy::unwrap_used, reason = "a test that cannot build its network has failed")]

use proptest::prelude::*;
use solderside_circuit::{Element, ElementId, Network, Node, Unswept};
use solderside_quantity::{Amps, Ohms, Volts};

const MICROVOLT: f64 = 1e-6;

/// A node's pull-up, and a resistor from it to another node.
type Around = (f64, f64, usize, f64);

fn network(around: &[Around], switches: &[(usize, usize)], closed: u64) -> (Network, Vec<ElementId>) {
    let mut network = Network::new();
    let mut nodes = vec![Node::GROUND];
    nodes.extend(around.iter().map(|_| network.node()));
    for (at, (volts, pull_up, other, ohms)) in around.iter().enumerate() {
        let node = nodes[at + 1];
        let source = Element::Source { node, volts: Volts::literal(*volts), ohms: Ohms::literal(*pull_up) };
        network.add(source).unwrap();
        let b = nodes[other % nodes.len()];
        network.add(Element::Resistor { a: node, b, ohms: Ohms::literal(*ohms) }).unwrap();
        network.add(Element::Current { a: Node::GROUND, b: node, amps: Amps::literal(4e-4) }).unwrap();
    }
    let ids = switches.iter().enumerate().map(|(at, (a, b))| {
        let [a, b] = [a, b].map(|node| nodes[node % nodes.len()]);
        let (on, off) = (Ohms::literal(0.1), Ohms::literal(1e9));
        network.add(Element::Switch { a, b, closed: closed >> at & 1 == 1, on, off }).unwrap()
    });
    let ids = ids.collect();
    (network, ids)
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 60, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn the_sweep_is_one_exact_solution_for_each_state(
        around in proptest::collection::vec((-5.0..15.0f64, 1e3..1e6f64, 0..20usize, 10.0..1e6f64), 1..14),
        switches in proptest::collection::vec((0..20usize, 0..20usize), 0..8),
    ) {
        let (swept, ids) = network(&around, &switches, 0);
        let mut seen = vec![false; 1 << switches.len()];
        let mut worst: f64 = 0.0;
        swept.sweep(&ids, |state, volts| {
            seen[usize::try_from(state).unwrap()] = true;
            let (network, _) = network(&around, &switches, state);
            let point = network.operating_point().unwrap();
            let mut again = Network::new();
            for volts in &volts[..around.len()] {
                worst = worst.max((point.volts(again.node()).get() - volts).abs());
            }
        }).unwrap();
        prop_assert!(seen.into_iter().all(|seen| seen));
        prop_assert!(worst <= MICROVOLT, "{worst}");
    }
}

/// Twenty closed contacts of 0.1 Ω in one chain, beside open ones of 1 GΩ, far from any source.
#[test]
fn a_long_chain_of_closed_contacts_stays_within_a_microvolt() {
    let mut around = vec![(5.0, 1e6, 0, 1e6)];
    around.extend((1..12).map(|_| (0.0, 1e6, 0, 1e6)));
    let switches: Vec<(usize, usize)> =
        (1..12).flat_map(|node| [(node, node + 1), (node, 0)]).take(14).collect();
    let (swept, ids) = network(&around, &switches, 0);
    swept
        .sweep(&ids, |state, volts| {
            let (network, _) = network(&around, &switches, state);
            let point = network.operating_point().unwrap();
            let mut again = Network::new();
            for volts in &volts[..around.len()] {
                assert!((point.volts(again.node()).get() - volts).abs() <= MICROVOLT, "state {state:b}");
            }
        })
        .unwrap();
}

#[test]
fn what_cannot_be_swept_is_refused() {
    let (network, ids) = network(&[(5.0, 1e3, 0, 1e3)], &[(1, 0)], 0);
    assert_eq!(network.sweep(&[ids[0]; 64], |_, _| {}), Err(Unswept::TooManySwitches(64)));
    let (other, _) = self::network(&[(5.0, 1e3, 0, 1e3)], &[], 0);
    assert_eq!(other.sweep(&ids, |_, _| {}), Err(Unswept::NotLinear));
}
