//! What a node looks like from outside, and how long it takes to charge a capacitor: worked examples, single points, and a
//! capacitor that is charged step by step.
#![expect(clippy::unwrap_used, reason = "a test that cannot build its network has failed")]

use proptest::prelude::*;
use solderside_circuit::{Diode, Element, Equivalent, Network, Node, Spread, Uncertain, time_constants};
use solderside_quantity::{Amps, Farads, Kelvin, Ohms, Seconds, Triple, Volts};

const SILICON: Diode =
    Diode { is: Amps::literal(5.84e-9), n: 1.94, rs: Ohms::literal(0.7017), at: Kelvin::literal(300.15) };

/// The time in which so many farads behind so many ohms charge from nothing to a voltage.
fn time(open: f64, ohms: f64, farads: f64, to: f64) -> f64 {
    let [open, to] = [open, to].map(Volts::literal);
    let charged = Equivalent { open: [open; 2], ohms: [Ohms::literal(ohms); 2] };
    let none = Triple::exactly(Ohms::ZERO);
    let [least, most] = charged.charging(none, Triple::exactly(Farads::literal(farads)), [to; 2]);
    assert_eq!(least, most);
    most.map_or(f64::INFINITY, Seconds::get)
}

#[track_caller]
fn is_near(found: f64, expected: f64, share: f64) {
    assert!((found / expected - 1.0).abs() < share, "{found}, expected {expected}");
}

#[test]
fn a_capacitor_charges_as_the_textbooks_say() {
    // *RC time constant* lesson, example table: hypercode.alexisbouchez.com/electromagnetism/lessons/rc-time-constant
    let one_constant = 1.0 - libm::exp(-1.0);
    is_near(time(1.0, 10e3, 100e-6, one_constant), 1.000, 1e-9);
    is_near(time(1.0, 470.0, 100e-6, one_constant), 0.047, 1e-9);
    // RC question 349199, assignmentexpert.com: 350 Ω and 0.02 F to 89 %; it rounds up to 15 s a slip earlier.
    is_near(time(1.0, 350.0, 0.02, 0.89), 15.45, 1e-3);
    // 10 kΩ and 300 pF from nothing to 2.0 V and to 3.5 V of 5 V, by the formula.
    is_near(time(5.0, 10e3, 300e-12, 2.0), 1.532e-6, 1e-3);
    is_near(time(5.0, 10e3, 300e-12, 3.5), 3.612e-6, 1e-3);
    // To two thirds of what feeds it: ln 3, which the trade rounds to 1.1.
    is_near(time_constants(Volts::literal(5.0), Volts::literal(10.0 / 3.0)), 1.0986, 1e-4);
}

#[test]
fn what_is_fed_with_no_more_than_the_threshold_never_gets_there() {
    assert!(time(3.0, 1e3, 1e-9, 3.0).is_infinite());
    assert!(time(0.0, 1e3, 1e-9, 3.0).is_infinite());
    // Nothing to charge is no time.
    assert!(time(5.0, 1e3, 1e-9, 0.0).abs() < f64::MIN_POSITIVE);
}

#[test]
fn a_node_that_nothing_holds_has_no_equivalent() {
    let mut spread = Spread::new();
    let [one, other] = [spread.node(), spread.node()];
    let ohms = Triple::<Ohms>::literal(1e3, 2e3, 3e3);
    spread.add(Uncertain::Resistor { a: one, b: other, ohms }).unwrap();
    assert_eq!(spread.equivalent(one), None);
}

/// A divider of 5 V with a second way to ground, and with a diode instead of it.
fn divider(way: Option<Triple<Ohms>>) -> (Spread, Node) {
    let mut spread = Spread::new();
    let node = spread.node();
    let volts = Triple::<Volts>::literal(4.75, 5.0, 5.25);
    spread.add(Uncertain::Source { node, volts, ohms: Triple::<Ohms>::literal(900.0, 1e3, 1.1e3) }).unwrap();
    let element = match way {
        Some(ohms) => Uncertain::Resistor { a: node, b: Node::GROUND, ohms },
        None => Uncertain::Diode { anode: node, cathode: Node::GROUND, least: SILICON, most: SILICON },
    };
    spread.add(element).unwrap();
    (spread, node)
}

#[test]
fn a_divider_is_worth_both_its_resistors_side_by_side() {
    let (spread, node) = divider(Some(Triple::<Ohms>::literal(1.8e3, 2e3, 2.2e3)));
    let Equivalent { open, ohms } = spread.equivalent(node).unwrap();
    is_near(open[0].get(), 4.75 * 1.8 / (1.8 + 1.1), 1e-9);
    is_near(open[1].get(), 5.25 * 2.2 / (2.2 + 0.9), 1e-9);
    is_near(ohms[0].get(), 900.0 * 1.8 / 2.7, 1e-9);
    is_near(ohms[1].get(), 1100.0 * 2.2 / 3.3, 1e-9);
    assert!(spread.is_straight_round(node));
}

#[test]
fn a_diode_may_be_anything_between_open_and_closed() {
    let (spread, node) = divider(None);
    assert!(!spread.is_straight_round(node));
    let Equivalent { open, ohms } = spread.equivalent(node).unwrap();
    // The knee of 5.84 nA and 1.94: about 0.68 V at 4 mA.
    assert!(open[0].get() > 0.6 && open[1].get() < 0.75, "{open:?}");
    assert!(ohms[0].get() < 1e-3 && (ohms[1].get() - 1100.0).abs() < 1e-6, "{ohms:?}");
}

/// One point of a box: from its low to its high.
fn at(low: f64, high: f64, share: f64) -> f64 {
    low + (high - low) * share
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]
    #[test]
    fn no_point_of_the_box_charges_sooner_or_later_than_the_bounds(
        shares in prop::array::uniform6(0.0_f64..=1.0), clamp in any::<bool>(), load in 5e3_f64..1e6,
    ) {
        let mut spread = Spread::new();
        let [feed, line] = [spread.node(), spread.node()];
        let volts = Triple::<Volts>::literal(4.75, 5.0, 5.25);
        spread.add(Uncertain::Source { node: feed, volts, ohms: Triple::<Ohms>::literal(0.1, 0.5, 2.0) }).unwrap();
        let pot = Triple::<Ohms>::literal(40e3, 50e3, 60e3);
        spread.add(Uncertain::Resistor { a: feed, b: line, ohms: pot }).unwrap();
        let loads = [load, load * 1.2].map(Ohms::literal);
        let ohms = Triple::new(loads[0], loads[0], loads[1]).unwrap();
        spread.add(Uncertain::Resistor { a: feed, b: Node::GROUND, ohms }).unwrap();
        if clamp {
            let diode = Uncertain::Diode { anode: Node::GROUND, cathode: line, least: SILICON, most: SILICON };
            spread.add(diode).unwrap();
        }
        let series = Triple::<Ohms>::literal(2.1e3, 2.2e3, 2.3e3);
        let farads = Triple::<Farads>::literal(9e-9, 10e-9, 11e-9);
        let [low, high] = [3.0, 3.4];
        let bounds = spread.equivalent(line).unwrap().charging(series, farads, [low, high].map(Volts::literal));
        let [least, most] = bounds.map(|bound| bound.unwrap().get());

        let [own_volts, own_pot, own_load, own_series, own_farads, own_to] = [
            (4.75, 5.25), (40e3, 60e3), (loads[0].get(), loads[1].get()), (2.1e3, 2.3e3), (9e-9, 11e-9), (low, high),
        ].iter().zip(shares).map(|((low, high), share)| at(*low, *high, share)).collect::<Vec<_>>().try_into().unwrap();
        let mut point = Network::new();
        let [feed, line, plate] = [point.node(), point.node(), point.node()];
        let ohms = Ohms::literal;
        point.add(Element::Source { node: feed, volts: Volts::literal(own_volts), ohms: ohms(0.5) }).unwrap();
        point.add(Element::Resistor { a: feed, b: line, ohms: ohms(own_pot) }).unwrap();
        point.add(Element::Resistor { a: feed, b: Node::GROUND, ohms: ohms(own_load) }).unwrap();
        if clamp {
            point.add(Element::Diode { anode: Node::GROUND, cathode: line, diode: SILICON }).unwrap();
        }
        // The capacitor charged step by step, its current found anew in each.
        let step = least / 400.0;
        let (mut charged, mut seconds) = (0.0_f64, 0.0_f64);
        while charged < own_to {
            let mut now = point.clone();
            let plate_volts = Volts::literal(charged);
            now.add(Element::Source { node: plate, volts: plate_volts, ohms: Ohms::ZERO }).unwrap();
            let id = now.add(Element::Resistor { a: line, b: plate, ohms: ohms(own_series) }).unwrap();
            charged += now.operating_point().unwrap().amps(id).get() * step / own_farads;
            seconds += step;
        }
        prop_assert!(seconds >= least * 0.99 && seconds <= most + 2.0 * step, "{seconds} outside {least} to {most}");
    }
}
