//! The laws that every network obeys, on random ones.
#![expect(clippy::unwrap_used, reason = "a test that cannot build its network has failed")]

use proptest::prelude::*;
use solderside_circuit::{Argument, Diode, Element, Extreme, Network, Node, Spread, Uncertain, Unsolvable};
use solderside_quantity::{Amps, Kelvin, Ohms, Triple, Volts};

/// One part of a random network, its ends by number (0 is the ground).
#[derive(Debug, Clone)]
enum Part {
    Resistor(usize, usize, f64),
    Source(usize, f64, f64),
    Current(usize, usize, f64),
    Diode(usize, usize),
    Sink(usize, f64, f64),
}

/// A diode by its middle parameters.
const SILICON: Diode = diode(5.84e-9, 1.94, 0.7017);

/// The same one in the heat: it carries more at every voltage.
const WARM: Diode = diode(4e-8, 1.94, 0.7017);

const fn diode(is: f64, n: f64, rs: f64) -> Diode {
    Diode { is: Amps::literal(is), n, rs: Ohms::literal(rs), at: Kelvin::literal(300.15) }
}

fn ohms() -> impl Strategy<Value = f64> {
    (-1.0..6.0f64).prop_map(|decade| libm::pow(10.0, decade))
}

fn part(nodes: usize, diodes: bool) -> impl Strategy<Value = Part> {
    let node = 0..=nodes;
    let resistor = (node.clone(), node.clone(), ohms()).prop_map(|(a, b, r)| Part::Resistor(a, b, r));
    let source = (1..=nodes, -12.0..15.0f64, ohms()).prop_map(|(n, v, r)| Part::Source(n, v, r));
    let current = (node.clone(), node.clone(), -1e-3..1e-3f64).prop_map(|(a, b, i)| Part::Current(a, b, i));
    let diode = (node.clone(), node).prop_map(|(a, b)| Part::Diode(a, b));
    let sink = (1..=nodes, 0.0..0.6f64, ohms()).prop_map(|(n, v, r)| Part::Sink(n, v, r));
    let bent = u32::from(diodes);
    prop_oneof![6 => resistor, 2 => source, 1 => current, 2 * bent => diode, bent => sink]
}

/// Parts over so many nodes, each node with a resistor of its own to ground.
fn parts(nodes: usize, count: usize, diodes: bool) -> impl Strategy<Value = Vec<Part>> {
    let grounded = proptest::collection::vec(ohms(), nodes);
    (grounded, proptest::collection::vec(part(nodes, diodes), 0..count)).prop_map(|(grounded, mut parts)| {
        parts.extend(grounded.into_iter().enumerate().map(|(at, r)| Part::Resistor(at + 1, 0, r)));
        parts
    })
}

fn build(nodes: usize, parts: &[Part]) -> (Network, Vec<Node>) {
    let mut network = Network::new();
    let mut names = vec![Node::GROUND];
    names.extend((0..nodes).map(|_| network.node()));
    for part in parts {
        let element = match *part {
            Part::Resistor(a, b, r) => Element::Resistor { a: names[a], b: names[b], ohms: Ohms::literal(r) },
            Part::Source(n, v, r) => {
                Element::Source { node: names[n], volts: Volts::literal(v), ohms: Ohms::literal(r) }
            }
            Part::Current(a, b, i) => Element::Current { a: names[a], b: names[b], amps: Amps::literal(i) },
            Part::Diode(a, b) => Element::Diode { anode: names[a], cathode: names[b], diode: SILICON },
            Part::Sink(n, v, r) => Element::OpenCollector {
                node: names[n],
                to: Node::GROUND,
                on: true,
                offset: Volts::literal(v),
                ohms: Ohms::literal(r),
                off: Ohms::literal(1e9),
            },
        };
        network.add(element).unwrap();
    }
    (network, names)
}

fn volts(network: &Network, names: &[Node]) -> Vec<f64> {
    let point = network.operating_point().unwrap();
    names.iter().map(|node| point.volts(*node).get()).collect()
}

fn ends(element: &Element) -> (Node, Node) {
    match *element {
        Element::Resistor { a, b, .. } | Element::Switch { a, b, .. } | Element::Current { a, b, .. } => {
            (a, b)
        }
        Element::Source { node, .. } => (node, Node::GROUND),
        Element::OpenCollector { node, to, .. } => (node, to),
        Element::Diode { anode, cathode, .. } => (anode, cathode),
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 200, failure_persistence: None, ..ProptestConfig::default() })]

    /// Kirchhoff's current law at each node, and with it Tellegen's theorem: the powers of all
    /// elements sum to nothing.
    #[test]
    fn currents_balance_at_each_node_and_powers_sum_to_nothing(parts in parts(6, 14, true)) {
        let (network, names) = build(6, &parts);
        let point = network.operating_point().unwrap();
        let mut leaving = vec![0.0; names.len()];
        let (mut power, mut scale, mut current) = (0.0, 1e-12, 1e-9);
        for (at, element) in network.elements().iter().enumerate() {
            let (a, b) = ends(element);
            let amps = point.amps(network_id(&network, at)).get();
            leaving[names.iter().position(|n| *n == a).unwrap()] += amps;
            leaving[names.iter().position(|n| *n == b).unwrap()] -= amps;
            let watts = amps * (point.volts(a).get() - point.volts(b).get());
            power += watts;
            scale += watts.abs();
            current = f64::max(current, amps.abs());
        }
        for amps in &leaving[1..] {
            prop_assert!(amps.abs() <= 1e-9 * current, "{amps} of {current}");
        }
        prop_assert!(power.abs() <= 1e-7 * scale, "{power} of {scale}");
    }

    /// Reciprocity: an ampere into one node lifts another as the other way round.
    #[test]
    fn a_linear_network_is_reciprocal(parts in parts(6, 14, false), i in 1..=6usize, j in 1..=6usize) {
        let quiet: Vec<Part> = parts.into_iter().map(|part| match part {
            Part::Source(n, _, r) => Part::Source(n, 0.0, r),
            Part::Current(a, b, _) => Part::Current(a, b, 0.0),
            Part::Resistor(..) | Part::Diode(..) | Part::Sink(..) => part,
        }).collect();
        let with = |into: usize| {
            let mut parts = quiet.clone();
            parts.push(Part::Current(0, into, 1e-3));
            let (network, names) = build(6, &parts);
            volts(&network, &names)
        };
        let (there, back) = (with(i)[j], with(j)[i]);
        prop_assert!((there - back).abs() <= 1e-12 * there.abs().max(1e-9));
    }

    /// Superposition: the sources' effects add.
    #[test]
    fn the_effects_of_sources_add_in_a_linear_network(parts in parts(6, 14, false)) {
        let only = |keep: usize| -> Vec<Part> {
            parts.iter().enumerate().map(|(at, part)| match *part {
                Part::Source(n, v, r) => Part::Source(n, if at % 2 == keep { v } else { 0.0 }, r),
                Part::Current(a, b, i) => Part::Current(a, b, if at % 2 == keep { i } else { 0.0 }),
                    Part::Resistor(..) | Part::Diode(..) | Part::Sink(..) => part.clone(),
            }).collect()
        };
        let solve = |parts: &[Part]| { let (network, names) = build(6, parts); volts(&network, &names) };
        let (all, even, odd) = (solve(&parts), solve(&only(0)), solve(&only(1)));
        for ((all, even), odd) in all.iter().zip(even).zip(odd) {
            prop_assert!((all - even - odd).abs() <= 1e-9 * (1.0 + all.abs() + even.abs()));
        }
    }

    /// A node never falls when a current into any node rises: the monotone response that the bounds use.
    #[test]
    fn no_node_falls_when_a_current_into_any_node_rises(parts in parts(6, 14, true), into in 1..=6usize) {
        let solve = |amps: f64| {
            let mut parts = parts.clone();
            parts.push(Part::Current(0, into, amps));
            let (network, names) = build(6, &parts);
            volts(&network, &names)
        };
        for (less, more) in solve(0.0).iter().zip(solve(1e-4)) {
            prop_assert!(more >= less - 1e-9 * (1.0 + less.abs()));
        }
    }

    /// Thevenin: the node with a load behaves as its equivalent with that load.
    #[test]
    fn a_thevenin_equivalent_answers_for_its_network(parts in parts(5, 12, false), load in ohms()) {
        let (mut network, names) = build(5, &parts);
        let equivalent = network.thevenin(names[1]).unwrap();
        network.add(Element::Resistor { a: names[1], b: Node::GROUND, ohms: Ohms::literal(load) }).unwrap();
        let loaded = network.operating_point().unwrap().volts(names[1]).get();
        let told = equivalent.volts.get() * load / (load + equivalent.ohms.get());
        prop_assert!((loaded - told).abs() <= 1e-10 * (1.0 + told.abs()));
    }

    /// The slow, obvious oracle of the bounds: in a linear network, every corner of the box.
    #[test]
    fn a_bound_is_the_worst_of_all_corners_of_a_linear_network(
        parts in parts(3, 5, false), factors in proptest::collection::vec(1.0..4.0f64, 16),
        high in any::<bool>(),
    ) {
        let extreme = if high { Extreme::Highest } else { Extreme::Lowest };
        let (spread, names) = spread(3, &parts, &factors);
        let bound = spread.bound(names[1], extreme).unwrap();
        prop_assert!(!matches!(bound.argument, Argument::Added(_)));
        let worst = worst_corner(&parts, &factors, high, |chosen| {
            let (network, names) = build(3, chosen);
            volts(&network, &names)[1]
        });
        prop_assert!((bound.attained.unwrap().get() - worst).abs() <= 1e-9 * (1.0 + worst.abs()), "{bound:?} {worst}");
        prop_assert_eq!(bound.guaranteed, bound.attained);
        prop_assert!((corner_volts(&spread, &names, extreme) - worst).abs() <= 1e-9 * (1.0 + worst.abs()));
    }

    /// Where no ring leaves a near end in doubt, every diode is taken as it is: the bound is attained, at a corner.
    #[test]
    fn a_bound_is_the_worst_of_all_corners_of_a_tree_with_diodes(
        branches in proptest::collection::vec((any::<prop::sample::Index>(), 0..3_u8, ohms()), 2),
        pull_ups in proptest::collection::vec((-12.0..15.0f64, ohms()), 3), factor in 1.0..4.0f64,
        asked in 1..=3usize, high in any::<bool>(),
    ) {
        let extreme = if high { Extreme::Highest } else { Extreme::Lowest };
        let mut spread = Spread::new();
        let names: Vec<Node> = std::iter::once(Node::GROUND).chain((0..3).map(|_| spread.node())).collect();
        for element in tree(&names, &branches, &pull_ups, factor) {
            spread.add(element).unwrap();
        }
        let bound = spread.bound(names[asked], extreme).unwrap();
        prop_assert_eq!(bound.argument, Argument::Oriented);
        prop_assert_eq!(bound.guaranteed, bound.attained);
        let mut worst = if high { f64::NEG_INFINITY } else { f64::INFINITY };
        // A bit for each element, and one more for the voltage of each source.
        let elements = spread.elements();
        for corner in 0..1_u32 << (elements.len() + pull_ups.len()) {
            let mut network = Network::new();
            let names: Vec<Node> = std::iter::once(Node::GROUND).chain((0..3).map(|_| network.node())).collect();
            for (at, element) in elements.iter().enumerate() {
                let bit = |at: usize| corner >> at & 1 == 1;
                network.add(at_corner(element, [bit(at), bit(elements.len() + at)])).unwrap();
            }
            let here = volts(&network, &names)[asked];
            worst = if high { worst.max(here) } else { worst.min(here) };
        }
        let told = bound.guaranteed.unwrap().get();
        prop_assert!((told - worst).abs() <= 1e-7 * (1.0 + worst.abs()), "{bound:?} {worst}");
    }

    /// With diodes no corner need be the worst, so points all over the box are tried: none passes what
    /// is guaranteed, and what is called attained is attained.
    #[test]
    fn no_point_of_the_box_passes_what_is_guaranteed(
        parts in parts(4, 8, true),
        factors in proptest::collection::vec((0.0..2.5f64).prop_map(|decades| libm::pow(10.0, decades)), 16),
        shares in proptest::collection::vec(proptest::collection::vec(0.0..=1.0f64, 32), 24), high in any::<bool>(),
    ) {
        let extreme = if high { Extreme::Highest } else { Extreme::Lowest };
        let (spread, names) = spread(4, &parts, &factors);
        let bound = spread.bound(names[1], extreme).unwrap();
        for shares in &shares {
            // Half of the points are corners.
            let share = |at: usize| if shares[31] < 0.5 { shares[at].round() } else { shares[at] };
            let chosen: Vec<Part> = parts.iter().enumerate()
                .map(|(at, part)| between(part, factors[at], share(at), share(at + 15))).collect();
            let (network, names) = build(4, &chosen);
            let here = volts(&network, &names)[1];
            if let Some(guaranteed) = bound.guaranteed {
                let over = if high { here - guaranteed.get() } else { guaranteed.get() - here };
                prop_assert!(over <= 1e-7 * (1.0 + here.abs()), "{here} passes {bound:?}");
            }
        }
        if bound.argument == Argument::Oriented {
            let attained = bound.attained.unwrap().get();
            prop_assert!((corner_volts(&spread, &names, extreme) - attained).abs() <= 1e-7 * (1.0 + attained.abs()));
        }
    }

    /// Where hardly anything but diodes to two rails holds a node, and a current of its own would drive it away, it stands
    /// no further from them than a diode lets it, and no point of the box passes what is guaranteed.
    #[test]
    fn a_node_that_its_clamps_hold_is_bounded_by_them(
        leaks in proptest::collection::vec((8.0..18.0f64).prop_map(|decades| libm::pow(10.0, decades)), 3),
        drives in proptest::collection::vec(-5e-4..5e-4f64, 3),
        wires in proptest::collection::vec((1..4_usize, 1..4_usize, ohms()), 0..3),
        shares in proptest::collection::vec(proptest::collection::vec(0.0..=1.0f64, 32), 12), high in any::<bool>(),
    ) {
        // The supply is the fourth node.
        let mut all = vec![Part::Source(4, 5.0, 0.5)];
        for (at, (leak, amps)) in leaks.iter().zip(&drives).enumerate() {
            let node = at + 1;
            all.extend([Part::Diode(node, 4), Part::Diode(0, node), Part::Resistor(node, 0, *leak)]);
            all.push(Part::Current(0, node, *amps));
        }
        all.extend(wires.iter().map(|(a, b, ohms)| Part::Resistor(*a, *b, *ohms)));
        let factors = vec![1.5; all.len()];
        let (spread, names) = spread(4, &all, &factors);
        let extreme = if high { Extreme::Highest } else { Extreme::Lowest };
        let never = spread.never(names[1], extreme).unwrap().get();
        for shares in &shares {
            let chosen: Vec<Part> = all.iter().enumerate()
                .map(|(at, part)| between(part, factors[at], shares[at % 15].round(), shares[at % 15 + 15])).collect();
            let (network, names) = build(4, &chosen);
            let here = volts(&network, &names)[1];
            let over = if high { here - never } else { never - here };
            prop_assert!(over <= 1e-6 * (1.0 + here.abs()), "{here} passes {never}");
        }
    }

    /// What is kept of a region serves every network that has it: the answer is that of a thread which knows of none, to
    /// the last bit.
    #[test]
    fn what_was_found_of_a_region_is_found_again_to_the_last_bit(
        parts in parts(4, 8, true), island in parts(3, 5, true), apart in any::<bool>(),
        factors in proptest::collection::vec(1.0..4.0f64, 16), high in any::<bool>(),
    ) {
        let extreme = if high { Extreme::Highest } else { Extreme::Lowest };
        let (alone, names) = spread(4, &parts, &factors);
        // The same between the elements of another network, its nodes after the other's.
        let (mut both, _) = spread(3, &island, &factors);
        let moved: Vec<Node> = (0..4).map(|_| both.node()).collect();
        let name = |node: Node| names.iter().position(|own| *own == node).filter(|at| *at > 0).map_or(Node::GROUND, |at| moved[at - 1]);
        for element in alone.elements() {
            both.add(renamed(element, name)).unwrap();
        }
        let asked: [(&Spread, Vec<Node>); 2] = [(&alone, names[1..].to_vec()), (&both, moved.clone())];
        for (network, nodes) in if apart { asked.to_vec() } else { asked.into_iter().rev().collect() } {
            let here: Vec<_> = nodes.iter().map(|node| network.clone().bound(*node, extreme)).collect();
            let (elements, last) = (network.elements().to_vec(), moved[3].max(names[4]));
            let there = std::thread::spawn(move || {
                let mut network = Spread::new();
                while network.node() < last {}
                for element in elements {
                    network.add(element).unwrap();
                }
                nodes.iter().map(|node| network.bound(*node, extreme)).collect::<Vec<_>>()
            });
            prop_assert_eq!(here, there.join().unwrap());
        }
    }

    /// What a source gives at most is the worst of all corners too.
    #[test]
    fn a_sources_current_is_bounded_by_its_corners(
        parts in parts(3, 5, false), factors in proptest::collection::vec(1.0..4.0f64, 16), high in any::<bool>(),
    ) {
        let mut parts = parts;
        parts.push(Part::Source(1, 5.0, 10.0));
        let source = parts.len() - 1;
        let (spread, _) = spread(3, &parts, &factors);
        let extreme = if high { Extreme::Highest } else { Extreme::Lowest };
        let id = spread_id(&spread, source);
        let bound = spread.source_amps(id, extreme).unwrap().guaranteed.unwrap().get();
        let worst = worst_corner(&parts, &factors, high, |chosen| {
            let (network, _) = build(3, chosen);
            // From the source into the node is against the element's own direction.
            -network.operating_point().unwrap().amps(network_id(&network, source)).get()
        });
        prop_assert!((worst - bound).abs() <= 1e-9 * (1e-3 + worst.abs()), "{worst} {bound}");
    }

    /// What the elements round another can bring is passed by what it carries at no point of the box: also near sources
    /// and the ground, where a diode is held to the voltage that can be across it. Nor does a node stand anywhere else
    /// than flows let it.
    #[test]
    fn no_point_of_the_box_sends_more_through_an_element_than_flows_can_bring(
        parts in parts(4, 9, true),
        near in proptest::collection::vec((1..5_usize, 0.0..6.0f64, 0.05..8.0f64), 1..4),
        factors in proptest::collection::vec((0.0..1.5f64).prop_map(|decades| libm::pow(10.0, decades)), 16),
        shares in proptest::collection::vec(proptest::collection::vec(0.0..=1.0f64, 32), 24),
        high in any::<bool>(),
    ) {
        let mut parts: Vec<Part> = parts.into_iter().filter(|part| !matches!(part, Part::Current(..))).collect();
        parts.extend(near.into_iter().map(|(node, volts, ohms)| Part::Source(node, volts, ohms)));
        parts.truncate(factors.len());
        prop_assume!(parts.iter().any(|part| matches!(part, Part::Source(..))));
        let extreme = if high { Extreme::Highest } else { Extreme::Lowest };
        let (spread, nodes) = spread(4, &parts, &factors);
        let stands: Vec<[Volts; 2]> = nodes.iter().map(|node| spread.near_a_source(*node).unwrap()).collect();
        for at in 0..parts.len() {
            let is_source = matches!(parts[at], Part::Source(..));
            let id = spread_id(&spread, at);
            let most = if is_source { spread.flow_amps(id, extreme) } else { spread.flow_through(id, extreme) };
            let most = most.unwrap().get();
            for shares in &shares {
                let share = |at: usize| if shares[31] < 0.5 { shares[at].round() } else { shares[at] };
                let chosen: Vec<Part> = parts.iter().enumerate()
                    .map(|(at, part)| between(part, factors[at], share(at), share(at + 15))).collect();
                let (network, nodes) = build(4, &chosen);
                let Ok(point) = network.operating_point() else { continue };
                for (node, [low, high]) in nodes.iter().zip(&stands) {
                    let volts = point.volts(*node).get();
                    prop_assert!((low.get() - 1e-6..=high.get() + 1e-6).contains(&volts), "{volts} {low} {high}");
                }
                // From a source into its node is against the element's own direction.
                let through = point.amps(network_id(&network, at)).get();
                let here = if high == is_source { -through } else { through };
                prop_assert!(here <= most + 1e-9 + 1e-6 * here.abs(), "{here} passes {most}");
                // Whatever goes round in rings, nothing but a source carries more than all sources give.
                if let (false, Some(given)) = (is_source, spread.amps_given()) {
                    prop_assert!(through.abs() <= given.get() + 1e-9 + 1e-6 * through.abs(), "{through} of {given}");
                }
            }
        }
    }

    /// What flows through an element between two nodes passes what is guaranteed at no point of the box, and what is
    /// said to occur is not beyond it.
    #[test]
    fn no_point_of_the_box_sends_more_through_an_element_than_is_guaranteed(
        parts in parts(4, 8, true),
        factors in proptest::collection::vec((0.0..2.5f64).prop_map(|decades| libm::pow(10.0, decades)), 16),
        shares in proptest::collection::vec(proptest::collection::vec(0.0..=1.0f64, 32), 24),
        which in 0..16_usize, high in any::<bool>(),
    ) {
        let at = which % parts.len();
        prop_assume!(!matches!(parts[at], Part::Source(..) | Part::Current(..)));
        let extreme = if high { Extreme::Highest } else { Extreme::Lowest };
        let (spread, _) = spread(4, &parts, &factors);
        let bound = spread.amps_through(spread_id(&spread, at), extreme, Amps::ZERO).unwrap();
        for shares in &shares {
            let share = |at: usize| if shares[31] < 0.5 { shares[at].round() } else { shares[at] };
            let chosen: Vec<Part> = parts.iter().enumerate()
                .map(|(at, part)| between(part, factors[at], share(at), share(at + 15))).collect();
            let (network, _) = build(4, &chosen);
            let here = network.operating_point().unwrap().amps(network_id(&network, at)).get();
            // What flows the other way is not asked.
            let here = if high { here.max(0.0) } else { here.min(0.0) };
            if let Some(guaranteed) = bound.guaranteed {
                let over = if high { here - guaranteed.get() } else { guaranteed.get() - here };
                prop_assert!(over <= 1e-9 + 1e-6 * here.abs(), "{here} passes {bound:?}");
            }
        }
        if let (Some(guaranteed), Some(attained)) = (bound.guaranteed, bound.attained) {
            let over = if high { attained - guaranteed } else { guaranteed - attained };
            prop_assert!(over.get() <= 1e-9 + 1e-6 * attained.get().abs(), "{bound:?}");
        }
    }
}

/// An element between other nodes.
fn renamed(element: &Uncertain, name: impl Fn(Node) -> Node) -> Uncertain {
    match *element {
        Uncertain::Resistor { a, b, ohms } => Uncertain::Resistor { a: name(a), b: name(b), ohms },
        Uncertain::Source { node, volts, ohms } => Uncertain::Source { node: name(node), volts, ohms },
        Uncertain::Current { a, b, amps } => Uncertain::Current { a: name(a), b: name(b), amps },
        Uncertain::Diode { anode, cathode, least, most } => {
            Uncertain::Diode { anode: name(anode), cathode: name(cathode), least, most }
        }
        Uncertain::Sink { node, to, offset, ohms, off } => {
            Uncertain::Sink { node: name(node), to: name(to), offset, ohms, off }
        }
    }
}

fn network_id(network: &Network, at: usize) -> solderside_circuit::ElementId {
    // An identifier is its element's place, so the same list built again yields it.
    let mut again = Network::new();
    let nodes: Vec<Node> = (1..network.node_count()).map(|_| again.node()).collect();
    assert_eq!(nodes.len() + 1, network.node_count());
    network.elements()[..=at].iter().fold(None, |_, element| again.add(*element).ok()).unwrap()
}

fn spread_id(spread: &Spread, at: usize) -> solderside_circuit::ElementId {
    let mut again = Spread::new();
    for _ in 0..8 {
        again.node();
    }
    spread.elements()[..=at].iter().fold(None, |_, element| again.add(*element).ok()).unwrap()
}

/// A tree on the ground: each node with a pull-up, and all but the first joined to an earlier one through a resistor or
/// a diode, which conducts more the warmer it is.
fn tree(
    names: &[Node],
    branches: &[(prop::sample::Index, u8, f64)],
    pull_ups: &[(f64, f64)],
    factor: f64,
) -> Vec<Uncertain> {
    let ohms = |r: f64| Triple::<Ohms>::literal(r, r, r * factor);
    let sources = names[1..].iter().zip(pull_ups).map(|(node, (volts, r))| Uncertain::Source {
        node: *node,
        volts: Triple::<Volts>::literal(*volts, *volts, volts + factor - 1.0),
        ohms: ohms(*r),
    });
    let joined = branches.iter().enumerate().map(|(at, (to, kind, r))| {
        let (own, other) = (names[at + 2], names[1 + to.index(at + 1)]);
        let between = |anode, cathode| Uncertain::Diode { anode, cathode, least: SILICON, most: WARM };
        match kind {
            0 => Uncertain::Resistor { a: own, b: other, ohms: ohms(*r) },
            1 => between(own, other),
            _ => between(other, own),
        }
    });
    sources.chain(joined).collect()
}

/// One corner of an element: most or least, and of a source its higher voltage or its lower.
fn at_corner(element: &Uncertain, [most, high]: [bool; 2]) -> Element {
    let pick = |ohms: Triple<Ohms>| if most { ohms.low() } else { ohms.high() };
    match *element {
        Uncertain::Resistor { a, b, ohms } => Element::Resistor { a, b, ohms: pick(ohms) },
        Uncertain::Source { node, volts, ohms } => {
            Element::Source { node, volts: if high { volts.high() } else { volts.low() }, ohms: pick(ohms) }
        }
        Uncertain::Diode { anode, cathode, least, most: greatest } => {
            Element::Diode { anode, cathode, diode: if most { greatest } else { least } }
        }
        Uncertain::Current { .. } | Uncertain::Sink { .. } => panic!("no part of a tree"),
    }
}

/// The value at a share of the way from its low to its high end.
fn at(triple: (f64, f64), share: f64) -> f64 {
    triple.0 + share * (triple.1 - triple.0)
}

fn between(part: &Part, factor: f64, ohms: f64, volts: f64) -> Part {
    match *part {
        Part::Resistor(a, b, r) => Part::Resistor(a, b, at((r, r * factor), ohms)),
        Part::Source(n, v, r) => Part::Source(n, at((v, v + factor - 1.0), volts), at((r, r * factor), ohms)),
        Part::Current(a, b, i) => Part::Current(a, b, at((i, i + (factor - 1.0) * 1e-4), volts)),
        Part::Diode(a, b) => Part::Diode(a, b),
        Part::Sink(n, v, r) => Part::Sink(n, v, at((r, r * factor), ohms)),
    }
}

/// The largest or smallest of what is measured at all corners of the box.
fn worst_corner(parts: &[Part], factors: &[f64], high: bool, measure: impl Fn(&[Part]) -> f64) -> f64 {
    let bits = |part: &Part| if matches!(part, Part::Source(..)) { 2 } else { 1 };
    let count: u32 = parts.iter().map(bits).sum();
    let mut worst = if high { f64::NEG_INFINITY } else { f64::INFINITY };
    for corner in 0..1_u32 << count {
        let mut rest = corner;
        let mut end = || {
            let bit = rest & 1;
            rest >>= 1;
            f64::from(bit)
        };
        let chosen: Vec<Part> = parts
            .iter()
            .zip(factors)
            .map(|(part, factor)| {
                let first = end();
                let second = if bits(part) == 2 { end() } else { first };
                between(part, *factor, first, second)
            })
            .collect();
        let here = measure(&chosen);
        worst = if high { worst.max(here) } else { worst.min(here) };
    }
    worst
}

fn spread(nodes: usize, parts: &[Part], factors: &[f64]) -> (Spread, Vec<Node>) {
    let mut spread = Spread::new();
    let mut names = vec![Node::GROUND];
    names.extend((0..nodes).map(|_| spread.node()));
    let triple = |low: f64, high: f64| Triple::<Ohms>::literal(low, f64::midpoint(low, high), high);
    for (part, factor) in parts.iter().zip(factors) {
        let element = match *part {
            Part::Resistor(a, b, r) => {
                Uncertain::Resistor { a: names[a], b: names[b], ohms: triple(r, at((r, r * factor), 1.0)) }
            }
            Part::Source(n, v, r) => Uncertain::Source {
                node: names[n],
                volts: Triple::<Volts>::literal(v, v, at((v, v + factor - 1.0), 1.0)),
                ohms: triple(r, at((r, r * factor), 1.0)),
            },
            Part::Current(a, b, i) => Uncertain::Current {
                a: names[a],
                b: names[b],
                amps: Triple::<Amps>::literal(i, i, at((i, i + (factor - 1.0) * 1e-4), 1.0)),
            },
            Part::Diode(a, b) => {
                Uncertain::Diode { anode: names[a], cathode: names[b], least: SILICON, most: SILICON }
            }
            Part::Sink(n, v, r) => Uncertain::Sink {
                node: names[n],
                to: Node::GROUND,
                offset: Triple::exactly(Volts::literal(v)),
                ohms: triple(r, at((r, r * factor), 1.0)),
                off: Triple::exactly(Ohms::literal(1e9)),
            },
        };
        spread.add(element).unwrap();
    }
    (spread, names)
}

/// The node's voltage in the network that `Spread::corner` names.
fn corner_volts(spread: &Spread, names: &[Node], extreme: Extreme) -> f64 {
    let mut network = Network::new();
    for _ in &names[1..] {
        network.node();
    }
    for (_, element) in spread.corner(names[1], extreme).unwrap() {
        network.add(element).unwrap();
    }
    for node in &names[1..] {
        // What has no influence on the node is not of its corner and would float.
        network.add(Element::Resistor { a: *node, b: Node::GROUND, ohms: Ohms::literal(1e18) }).unwrap();
    }
    network.operating_point().unwrap().volts(names[1]).get()
}

#[test]
fn the_middle_of_a_bridge_has_no_near_end_and_is_tried_both_ways() {
    let mut spread = Spread::new();
    let [k, a, b] = [spread.node(), spread.node(), spread.node()];
    let r = |a, b, low: f64, high: f64| Uncertain::Resistor {
        a,
        b,
        ohms: Triple::<Ohms>::literal(low, low, high),
    };
    let source = Uncertain::Source {
        node: a,
        volts: Triple::exactly(Volts::literal(5.0)),
        ohms: Triple::exactly(Ohms::literal(100.0)),
    };
    for element in [
        r(k, a, 900.0, 1100.0),
        r(k, b, 900.0, 1100.0),
        r(a, b, 10.0, 1e5),
        r(a, Node::GROUND, 900.0, 1100.0),
        r(b, Node::GROUND, 900.0, 1100.0),
        source,
    ] {
        spread.add(element).unwrap();
    }
    let bound = spread.bound(k, Extreme::Highest).unwrap();
    assert_eq!(bound.argument, Argument::Tried(1));
}

/// A bridge whose middle may be anything from 1 kΩ to 1 MΩ, beside a diode that conducts: its influence is
/// added, and has to be that of the *real* middle, not of the typical one.
#[test]
fn what_is_added_covers_a_middle_that_is_nothing_like_its_typical_value() {
    let wide = Triple::<Ohms>::literal(1e3, 1e3, 1e6);
    let exactly = |ohms| Triple::exactly(Ohms::literal(ohms));
    let build = |middle: Triple<Ohms>| {
        let mut spread = Spread::new();
        let [k, a, b, c] = [spread.node(), spread.node(), spread.node(), spread.node()];
        let resistor = |a, b, ohms| Uncertain::Resistor { a, b, ohms: exactly(ohms) };
        for element in [
            Uncertain::Source { node: a, volts: Triple::exactly(Volts::literal(5.0)), ohms: exactly(1e5) },
            resistor(k, a, 1e3),
            resistor(k, b, 1e3),
            Uncertain::Resistor { a, b, ohms: middle },
            resistor(a, c, 1e3),
            resistor(b, Node::GROUND, 1e3),
            Uncertain::Diode { anode: c, cathode: b, least: SILICON, most: SILICON },
            resistor(c, Node::GROUND, 1e6),
        ] {
            spread.add(element).unwrap();
        }
        (spread, k)
    };
    let (spread, k) = build(wide);
    for extreme in [Extreme::Highest, Extreme::Lowest] {
        let bound = spread.bound(k, extreme).unwrap();
        assert!(matches!(bound.argument, Argument::Added(_)), "{bound:?}");
        for ohms in [1e3, 3e3, 1e4, 1e5, 1e6] {
            let (corner, k) = build(exactly(ohms));
            let volts = corner.bound(k, extreme).unwrap().guaranteed.unwrap();
            let guaranteed = bound.guaranteed.unwrap();
            let holds = if extreme == Extreme::Highest { volts <= guaranteed } else { volts >= guaranteed };
            assert!(holds, "{volts} at {ohms} passes {bound:?}");
        }
    }
}

#[test]
fn lines_that_nothing_but_clamps_holds_stand_near_the_rails_that_these_lead_to() {
    // Two outputs of a pad that let go, joined, at an input that gives and takes a current.
    let mut parts = vec![Part::Source(3, 5.0, 0.5), Part::Resistor(1, 2, 0.1), Part::Current(0, 1, -4e-5)];
    let mut factors = vec![1.0, 1.5, 5.4];
    for node in [1, 2] {
        parts.extend([Part::Diode(node, 3), Part::Diode(0, node), Part::Resistor(node, 0, 1e9)]);
        factors.extend([1.0, 1.0, 1e9]);
    }
    let (spread, names) = spread(3, &parts, &factors);
    for (extreme, range) in [(Extreme::Lowest, -10.0..=0.0), (Extreme::Highest, 5.0..=100.0)] {
        let never = spread.never(names[1], extreme).unwrap().get();
        assert!(range.contains(&never), "{never}");
    }
}

#[test]
fn diodes_that_cross_are_refused() {
    let mut spread = Spread::new();
    let anode = spread.node();
    let (steep, flat) = (diode(1e-9, 1.0, 0.1), diode(1e-8, 2.0, 0.1));
    let add = |spread: &mut Spread, least, most| {
        spread.add(Uncertain::Diode { anode, cathode: Node::GROUND, least, most }).is_ok()
    };
    assert!(!add(&mut spread, steep, flat) && !add(&mut spread, flat, steep));
    assert!(add(&mut spread, SILICON, diode(5.84e-8, 1.94, 0.7017)));
}

#[test]
fn a_current_forced_backwards_through_a_diode_has_no_operating_point() {
    let mut network = Network::new();
    let node = network.node();
    network.add(Element::Diode { anode: node, cathode: Node::GROUND, diode: SILICON }).unwrap();
    network.add(Element::Current { a: node, b: Node::GROUND, amps: Amps::literal(1e-3) }).unwrap();
    assert_eq!(network.operating_point(), Err(Unsolvable::NoBalance { node }));
}

#[test]
fn a_node_that_only_a_current_feeds_floats() {
    let mut network = Network::new();
    let node = network.node();
    network.add(Element::Current { a: Node::GROUND, b: node, amps: Amps::literal(1e-3) }).unwrap();
    assert_eq!(network.operating_point(), Err(Unsolvable::Floating { node }));
}

#[test]
fn a_node_that_nothing_but_a_diodes_leakage_reaches_floats() {
    let mut spread = Spread::new();
    let (fed, behind) = (spread.node(), spread.node());
    let volts = Triple::exactly(Volts::literal(5.0));
    spread.add(Uncertain::Source { node: fed, volts, ohms: Triple::exactly(Ohms::literal(1000.0)) }).unwrap();
    spread.add(Uncertain::Diode { anode: behind, cathode: fed, least: SILICON, most: WARM }).unwrap();
    assert!(!spread.is_held(behind) && spread.is_held(fed));
    for extreme in [Extreme::Highest, Extreme::Lowest] {
        assert!(matches!(spread.bound(behind, extreme), Err(Unsolvable::Floating { .. })));
        assert_eq!(spread.bound(fed, extreme).unwrap().argument, Argument::Oriented);
    }
}

#[test]
fn two_ideal_sources_on_one_node_contradict() {
    let mut network = Network::new();
    let node = network.node();
    let source = |volts| Element::Source { node, volts: Volts::literal(volts), ohms: Ohms::ZERO };
    network.add(source(5.0)).unwrap();
    let element = network.add(source(3.3)).unwrap();
    assert_eq!(network.operating_point(), Err(Unsolvable::Contradiction { node, element }));
}

#[test]
fn values_out_of_range_are_refused_as_they_come_in() {
    let mut network = Network::new();
    let node = network.node();
    let resistor = |ohms| Element::Resistor { a: node, b: Node::GROUND, ohms: Ohms::literal(ohms) };
    for ohms in [0.0, -1.0, 1e-320] {
        assert!(network.add(resistor(ohms)).is_err(), "{ohms}");
    }
    let mut other = Network::new();
    assert!(other.add(resistor(1.0)).is_err(), "a node of another network");
}
