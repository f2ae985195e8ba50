//! How long nodes take to come to rest: worked examples, and random networks integrated in fine steps.
#![expect(clippy::unwrap_used, reason = "a test that cannot build its network has failed")]

use std::collections::BTreeMap;

use proptest::prelude::*;
use solderside_circuit::{Diode, Element, Extreme, Network, Node, Settling, Spread, Uncertain};
use solderside_quantity::{Amps, Farads, Kelvin, Ohms, Seconds, Triple, Volts};

const SILICON: Diode =
    Diode { is: Amps::literal(5.84e-9), n: 1.94, rs: Ohms::literal(0.7017), at: Kelvin::literal(300.15) };

fn exactly(ohms: f64) -> Triple<Ohms> {
    Triple::exactly(Ohms::literal(ohms))
}

/// A capacitor behind a resistor at a known voltage.
fn one(ohms: f64, farads: f64, swing: f64, near: f64) -> Settling {
    let mut spread = Spread::new();
    let node = spread.node();
    let volts = Triple::exactly(Volts::literal(5.0));
    spread.add(Uncertain::Source { node, volts, ohms: exactly(ohms) }).unwrap();
    let farads = BTreeMap::from([(node, Triple::exactly(Farads::literal(farads)))]);
    spread.settling(node, &farads, Volts::literal(swing), Volts::literal(near)).unwrap()
}

#[track_caller]
fn is_near(found: Seconds, expected: f64, share: f64) {
    assert!((found.get() / expected - 1.0).abs() < share, "{found}, expected {expected} s");
}

#[test]
fn one_capacitor_takes_what_the_textbooks_say() {
    // *RC time constant* lesson, example table: hypercode.alexisbouchez.com/electromagnetism/lessons/rc-time-constant
    is_near(one(10e3, 100e-6, 5.0, 1.0).constant, 1.000, 1e-9);
    is_near(one(470.0, 100e-6, 5.0, 1.0).constant, 0.047, 1e-9);
    // RC question 349199, assignmentexpert.com: 350 Ω and 0.02 F to 89 %; it rounds up to 15 s a slip earlier.
    is_near(one(350.0, 0.02, 1.0, 0.11).within, 15.45, 1e-3);
    // *Time constant equations*, www.allaboutcircuits.com/textbook/reference/chpt-1/time-constant-equations: 1 − 1/e.
    is_near(one(1e3, 1e-6, 1.0, libm::exp(-1.0)).within, 1e-3, 1e-9);
    // 15 V through 10 kΩ into 100 µF for 7.25 s: 14.989 V (from memory of an open textbook).
    is_near(one(10e3, 100e-6, 15.0, 15.0 - 14.989).within, 7.25, 0.01);
    // 10 kΩ and 300 pF from nothing to 2.0 V and to 3.5 V of 5 V, by the formula.
    is_near(one(10e3, 300e-12, 5.0, 3.0).within, 1.532e-6, 1e-3);
    is_near(one(10e3, 300e-12, 5.0, 1.5).within, 3.612e-6, 1e-3);
}

/// A line that a transistor lifts from a supply of 5 V: it rests no higher than a straight resistor from 5 V leaves it,
/// and no lower than one from 5 V less its offset, against 1 kΩ to ground.
#[test]
fn a_switch_at_a_supply_is_made_straight_the_other_way_round() {
    let mut spread = Spread::new();
    let [supply, node] = [spread.node(), spread.node()];
    let volts = Triple::exactly(Volts::literal(5.0));
    spread.add(Uncertain::Source { node: supply, volts, ohms: exactly(0.0) }).unwrap();
    let offset = Triple::exactly(Volts::literal(0.2));
    spread
        .add(Uncertain::Sink { node: supply, to: node, offset, ohms: exactly(100.0), off: exactly(1e12) })
        .unwrap();
    spread.add(Uncertain::Resistor { a: node, b: Node::GROUND, ohms: exactly(1e3) }).unwrap();
    let rests =
        |extreme| spread.straightened(extreme).bound(node, extreme).unwrap().guaranteed.unwrap().get();
    assert!((rests(Extreme::Highest) - 5.0 / 1.1).abs() < 1e-6);
    assert!((rests(Extreme::Lowest) - 4.8 / 1.1).abs() < 1e-6);
    let farads = BTreeMap::from([(node, Triple::exactly(Farads::literal(1e-9)))]);
    let [swing, near] = [5.0, 1.0].map(Volts::literal);
    let straight = spread.straightened(Extreme::Lowest);
    let found = straight.settling(node, &farads, swing, near).unwrap();
    is_near(found.constant, 1e-9 / (1.0 / 100.0 + 1.0 / 1e3), 1e-3);
}

#[test]
fn a_line_of_two_ends_takes_as_long_as_one_capacitor_of_both() {
    let mut spread = Spread::new();
    let [near, far] = [spread.node(), spread.node()];
    let volts = Triple::exactly(Volts::literal(5.0));
    spread.add(Uncertain::Source { node: near, volts, ohms: exactly(10e3) }).unwrap();
    spread.add(Uncertain::Resistor { a: near, b: far, ohms: exactly(0.5) }).unwrap();
    let farads = [near, far].map(|node| (node, Triple::exactly(Farads::literal(150e-12))));
    let [swing, close] = [5.0, 3.0].map(Volts::literal);
    let found = spread.settling(far, &farads.into_iter().collect(), swing, close).unwrap();
    is_near(found.within, 1.532e-6, 1e-3);
}

#[test]
fn a_node_that_nothing_holds_never_settles() {
    let mut spread = Spread::new();
    let [node, other] = [spread.node(), spread.node()];
    let diode = Uncertain::Diode { anode: other, cathode: node, least: SILICON, most: SILICON };
    spread.add(diode).unwrap();
    let volts = Triple::exactly(Volts::literal(5.0));
    spread.add(Uncertain::Source { node: other, volts, ohms: exactly(1e3) }).unwrap();
    let farads = BTreeMap::from([(node, Triple::exactly(Farads::literal(1e-10)))]);
    assert_eq!(spread.settling(node, &farads, Volts::literal(5.0), Volts::literal(1.0)), None);
    assert_eq!(spread.most_ohms(node), None);
}

#[test]
fn what_rests_at_its_threshold_never_gets_past_it() {
    let mut spread = Spread::new();
    let node = spread.node();
    spread.add(Uncertain::Resistor { a: node, b: Node::GROUND, ohms: exactly(1e3) }).unwrap();
    let farads = BTreeMap::from([(node, Triple::exactly(Farads::literal(1e-10)))]);
    assert_eq!(spread.settling(node, &farads, Volts::literal(5.0), Volts::ZERO), None);
}

#[test]
fn an_output_made_straight_is_never_on_the_better_side() {
    for feed in [1e3, 1e4, 1e6, 1e8] {
        let mut spread = Spread::new();
        let node = spread.node();
        let volts = Triple::exactly(Volts::literal(5.0));
        spread.add(Uncertain::Source { node, volts, ohms: exactly(feed) }).unwrap();
        let offset = Triple::<Volts>::literal(0.0, 0.1, 0.2);
        let (ohms, off) = (Triple::<Ohms>::literal(10.0, 30.0, 60.0), exactly(1e9));
        spread.add(Uncertain::Sink { node, to: Node::GROUND, offset, ohms, off }).unwrap();
        let at = |spread: &Spread, extreme| spread.bound(node, extreme).unwrap().guaranteed.unwrap();
        for extreme in [Extreme::Lowest, Extreme::Highest] {
            let (own, straight) = (at(&spread, extreme), at(&spread.straightened(extreme), extreme));
            match extreme {
                Extreme::Lowest => assert!(straight <= own + Volts::literal(1e-9), "{straight} {own}"),
                Extreme::Highest => assert!(straight >= own - Volts::literal(1e-9), "{straight} {own}"),
            }
        }
    }
}

/// A random network over so many nodes: resistors between nodes by number (0 is the known voltage), capacitances, and
/// diodes.
#[derive(Debug, Clone)]
struct Mesh {
    ohms: Vec<(usize, usize, f64)>,
    farads: Vec<f64>,
    diodes: Vec<(usize, usize)>,
    starts: Vec<f64>,
}

const SWING: f64 = 5.0;

fn mesh(diodes: bool) -> impl Strategy<Value = Mesh> {
    (2..6_usize).prop_flat_map(move |nodes| {
        let ladder = proptest::collection::vec(1e3..2e4f64, nodes);
        let more = proptest::collection::vec((0..=nodes, 0..=nodes, 1e3..2e4f64), 0..3);
        let pairs = if diodes { 1..3 } else { 0..1 };
        let diodes = proptest::collection::vec((1..=nodes, 1..=nodes), pairs);
        let farads = proptest::collection::vec(5e-11..5e-10f64, nodes);
        let starts = proptest::collection::vec(-SWING..SWING, nodes);
        (ladder, more, diodes, farads, starts).prop_map(|(ladder, more, diodes, farads, starts)| {
            let rungs = ladder.into_iter().enumerate().map(|(at, ohms)| (at, at + 1, ohms));
            let apart = |(a, b): &(usize, usize)| a != b;
            let more = more.into_iter().filter(|(a, b, _)| a != b);
            let diodes = diodes.into_iter().filter(apart).collect();
            Mesh { ohms: rungs.chain(more).collect(), farads, diodes, starts }
        })
    })
}

impl Mesh {
    /// The network, each resistor within `share` of its value.
    fn spread(&self, share: f64) -> (Spread, Vec<Node>) {
        let mut spread = Spread::new();
        let mut nodes = vec![Node::GROUND];
        nodes.extend(self.farads.iter().map(|_| spread.node()));
        for (a, b, ohms) in &self.ohms {
            let triple = [1.0 - share, 1.0, 1.0 + share].map(|factor| Ohms::literal(ohms * factor));
            let ohms = Triple::new(triple[0], triple[1], triple[2]).unwrap();
            spread.add(Uncertain::Resistor { a: nodes[*a], b: nodes[*b], ohms }).unwrap();
        }
        for (anode, cathode) in &self.diodes {
            let [anode, cathode] = [nodes[*anode], nodes[*cathode]];
            spread.add(Uncertain::Diode { anode, cathode, least: SILICON, most: SILICON }).unwrap();
        }
        (spread, nodes)
    }

    /// How fast each node moves. A diode is anything monotone: here nothing up to 0.5 V, and 200 Ω from there on.
    fn slope(&self, volts: &[f64]) -> Vec<f64> {
        let mut amps = vec![0.0; volts.len()];
        let mut flows = |a: usize, b: usize, amperes: f64| {
            amps[a] -= amperes;
            amps[b] += amperes;
        };
        for (a, b, ohms) in &self.ohms {
            flows(*a, *b, (volts[*a] - volts[*b]) / ohms);
        }
        for (anode, cathode) in &self.diodes {
            flows(*anode, *cathode, (volts[*anode] - volts[*cathode] - 0.5).max(0.0) / 200.0);
        }
        amps[0] = 0.0;
        amps.iter()
            .enumerate()
            .map(|(at, amps)| at.checked_sub(1).map_or(0.0, |c| amps / self.farads[c]))
            .collect()
    }

    /// Where all nodes are after a time, in steps of 4 ns by the midpoint.
    fn after(&self, starts: &[f64], seconds: f64) -> Vec<f64> {
        let mut volts: Vec<f64> = std::iter::once(0.0).chain(starts.iter().copied()).collect();
        let steps = (seconds / 4e-9).ceil().max(1.0);
        let step = seconds / steps;
        let add = |volts: &[f64], slope: &[f64], by: f64| -> Vec<f64> {
            volts.iter().zip(slope).map(|(volts, slope)| volts + slope * by).collect()
        };
        let mut done = 0.0;
        while done < steps {
            let middle = add(&volts, &self.slope(&volts), step / 2.0);
            volts = add(&volts, &self.slope(&middle), step);
            done += 1.0;
        }
        volts
    }

    fn check(&self, near: f64, starts: &[f64]) -> Result<(), TestCaseError> {
        let (spread, nodes) = self.spread(0.0);
        let charged =
            |(at, farads): (usize, &f64)| (nodes[at + 1], Triple::exactly(Farads::literal(*farads)));
        let farads: BTreeMap<Node, Triple<Farads>> = self.farads.iter().enumerate().map(charged).collect();
        for (at, node) in nodes.iter().enumerate().skip(1) {
            let found = spread.settling(*node, &farads, Volts::literal(SWING), Volts::literal(near)).unwrap();
            let volts = self.after(starts, found.within.get());
            prop_assert!(
                volts[at].abs() <= near * 1.001,
                "node {at}: {} V after {}",
                volts[at],
                found.within
            );
        }
        Ok(())
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]

    #[test]
    fn no_node_of_a_network_of_resistors_comes_later(mesh in mesh(false), near in 0.1..2.0f64) {
        mesh.check(near, &vec![SWING; mesh.farads.len()])?;
        mesh.check(near, &mesh.starts)?;
    }

    #[test]
    fn no_node_comes_later_whatever_diodes_do_between_them(mesh in mesh(true), near in 0.1..2.0f64) {
        mesh.check(near, &vec![SWING; mesh.farads.len()])?;
        mesh.check(near, &mesh.starts)?;
    }

    #[test]
    fn no_point_of_the_box_has_more_resistance_or_a_larger_constant(
        mesh in mesh(false),
        factors in proptest::collection::vec(0.8..1.2f64, 8),
        corner in any::<u8>(),
    ) {
        let (spread, nodes) = mesh.spread(0.2);
        let charged = |(at, farads): (usize, &f64)| (nodes[at + 1], Triple::exactly(Farads::literal(*farads)));
        let farads: BTreeMap<Node, Triple<Farads>> = mesh.farads.iter().enumerate().map(charged).collect();
        let at_corner: Vec<f64> = (0..8).map(|bit| if corner >> bit & 1 == 1 { 1.2 } else { 0.8 }).collect();
        for factors in [factors, at_corner, vec![1.2; 8]] {
            let scaled = |(at, (a, b, ohms)): (usize, &(usize, usize, f64))| (*a, *b, ohms * factors[at]);
            let point = Mesh { ohms: mesh.ohms.iter().enumerate().map(scaled).collect(), ..mesh.clone() };
            let mut network = Network::new();
            let own: Vec<Node> = std::iter::once(Node::GROUND).chain(mesh.farads.iter().map(|_| network.node())).collect();
            for (a, b, ohms) in &point.ohms {
                let (a, b, ohms) = (own[*a], own[*b], Ohms::literal(*ohms));
                network.add(Element::Resistor { a, b, ohms }).unwrap();
            }
            let (exact, names) = point.spread(0.0);
            for (at, node) in nodes.iter().enumerate().skip(1) {
                let most = spread.most_ohms(*node).unwrap().get();
                prop_assert!(network.thevenin(own[at]).unwrap().ohms.get() <= most * 1.000_001);
                let [swing, near] = [5.0, 0.5].map(Volts::literal);
                let found = spread.settling(*node, &farads, swing, near).unwrap();
                let there = exact.settling(names[at], &farads, swing, near).unwrap();
                prop_assert!(there.constant.get() <= found.constant.get() * 1.000_001);
                prop_assert!(there.within.get() <= found.within.get() * 1.000_001);
            }
        }
    }
}
