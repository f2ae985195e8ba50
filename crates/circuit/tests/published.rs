//! Worked examples from published texts, each named beside its check.
#![expect(clippy::unwrap_used, reason = "a test that cannot build its network has failed")]

use solderside_circuit::{Diode, Element, Network, Node};
use solderside_quantity::{Amps, Kelvin, Ohms, Volts};

fn resistor(a: Node, b: Node, ohms: f64) -> Element {
    Element::Resistor { a, b, ohms: Ohms::literal(ohms) }
}

fn source(node: Node, volts: f64, ohms: f64) -> Element {
    Element::Source { node, volts: Volts::literal(volts), ohms: Ohms::literal(ohms) }
}

fn network<const N: usize>(build: impl FnOnce([Node; N]) -> Vec<Element>) -> (Network, [Node; N]) {
    let mut network = Network::new();
    let nodes = std::array::from_fn(|_| network.node());
    for element in build(nodes) {
        network.add(element).unwrap();
    }
    (network, nodes)
}

#[track_caller]
fn close(value: f64, published: f64, within: f64) {
    assert!((value - published).abs() <= within, "{value} instead of {published}");
}

/// *Circuit theorems, answer to question 1*, jirvine.co.uk, `Tutorial_8`: 12 V around 1 Ω, 5 Ω and 4 Ω,
/// looked at across the 4 Ω: 4.8 V behind 2.4 Ω; a load of 0.8 Ω takes 1.5 A.
#[test]
fn the_published_thevenin_example_is_met() {
    let (mut example, [corner, middle, out]) = network(|[corner, middle, out]| {
        vec![
            source(corner, 12.0, 0.0),
            resistor(corner, middle, 1.0),
            resistor(middle, out, 5.0),
            resistor(out, Node::GROUND, 4.0),
        ]
    });
    let equivalent = example.thevenin(out).unwrap();
    close(equivalent.volts.get(), 4.8, 1e-12);
    close(equivalent.ohms.get(), 2.4, 1e-12);
    let load = example.add(resistor(out, Node::GROUND, 0.8)).unwrap();
    close(example.operating_point().unwrap().amps(load).get(), 1.5, 1e-12);
    assert_ne!(corner, middle);
}

/// A textbook's example 6.2, as recorded in the Scilab Textbook Companion 3830 (git.fossee.in): a bridge
/// with arms of 1000, 100, 400 and 41 Ω on 1.5 V. Across the galvanometer: `Rth = 1000‖400 + 100‖41`
/// and `Eth = 1.5 (400/1400 − 41/141)`, which is 314.8 Ω and 7.6 mV; 50 Ω of galvanometer take 20.8 µA.
#[test]
fn the_published_unbalanced_bridge_is_met() {
    let (mut bridge, [top, left, right]) = network(|[top, left, right]| {
        vec![
            source(top, 1.5, 0.0),
            resistor(top, left, 1000.0),
            resistor(left, Node::GROUND, 400.0),
            resistor(top, right, 100.0),
            resistor(right, Node::GROUND, 41.0),
        ]
    });
    let open = bridge.operating_point().unwrap();
    close(open.volts(right).get() - open.volts(left).get(), 7.6e-3, 0.05e-3);
    let (l, r) = (bridge.thevenin(left).unwrap(), bridge.thevenin(right).unwrap());
    close(l.ohms.get() + r.ohms.get(), 314.8, 0.05);
    let meter = bridge.add(resistor(right, left, 50.0)).unwrap();
    close(bridge.operating_point().unwrap().amps(meter).get(), 20.8e-6, 0.05e-6);
    assert_ne!(top, left);
}

/// A 10 MΩ meter on a 5.000 V rail through a pull-up, `5 × 10 M / (10 M + R)`: the reading that makes a
/// pull-up look like a supply. Meter resistance: basic digital multimeter requirements (vehicle service
/// information), at least 10 MΩ on direct voltage; the divider is computed.
#[test]
fn a_pull_up_looks_like_a_supply_on_an_unloaded_meter() {
    for (ohms, reading, digit) in [
        (1e3, 4.9995, 5e-5),
        (5e3, 4.9975, 5e-5),
        (10e3, 4.995, 5e-4),
        (47e3, 4.977, 5e-4),
        (100e3, 4.950, 5e-4),
        (1e6, 4.545, 5e-4),
    ] {
        let (network, [contact]) =
            network(|[contact]| vec![source(contact, 5.0, ohms), resistor(contact, Node::GROUND, 10e6)]);
        close(network.operating_point().unwrap().volts(contact).get(), reading, digit);
    }
}

/// The way to tell them apart, `Rs = R (Voc / Vl − 1)`: 4.95 V open and 3.30 V into 10 kΩ is 5.0 kΩ.
#[test]
fn loading_the_contact_tells_the_pull_up() {
    let (mut network, [contact]) = network(|[contact]| vec![source(contact, 4.95, 5e3)]);
    close(network.thevenin(contact).unwrap().ohms.get(), 5e3, 1e-9);
    network.add(resistor(contact, Node::GROUND, 10e3)).unwrap();
    close(network.operating_point().unwrap().volts(contact).get(), 3.30, 1e-12);
}

/// A worn contact in a divider (computed from the trade's pull-ups): 200 Ω against 1 kΩ reads 0.833 V,
/// over the 0.8 V that *DM74LS157 / DM74LS158* (Fairchild), page 3, guarantees as low.
#[test]
fn a_worn_contact_divides_with_its_pull_up() {
    for (contact_ohms, pull_up, reading) in
        [(200.0, 1e3, 0.833), (200.0, 3.3e3, 0.286), (1e3, 4.7e3, 0.877), (1e3, 10e3, 0.455)]
    {
        let (network, [contact]) = network(|[contact]| {
            vec![source(contact, 5.0, pull_up), resistor(contact, Node::GROUND, contact_ohms)]
        });
        close(network.operating_point().unwrap().volts(contact).get(), reading, 5e-4);
    }
}

/// *CD4021BC 8-Stage Static Shift Register* (Fairchild), DC table, page 3: 0.44 mA at 0.4 V, so 909 Ω.
/// Into a pull-up of 4.7 kΩ that is 0.81 V, just outside a TTL low.
#[test]
fn a_register_output_just_misses_a_ttl_low_against_4_7_kilohms() {
    let (network, [line]) =
        network(|[line]| vec![source(line, 5.0, 4.7e3), resistor(line, Node::GROUND, 0.4 / 0.44e-3)]);
    close(network.operating_point().unwrap().volts(line).get(), 0.81, 0.005);
}

/// The published 1N4148 model parameters (D1N4148: 5.84 nA, 1.94, 0.7017 Ω) at 300.15 K, three
/// parameters of it: 0.489 V at 0.1 mA, 0.605 V at 1 mA, 0.689 V at 5 mA, 0.727 V at 10 mA.
#[test]
fn the_published_diode_parameters_give_their_points() {
    let diode =
        Diode { is: Amps::literal(5.84e-9), n: 1.94, rs: Ohms::literal(0.7017), at: Kelvin::literal(300.15) };
    for (amps, volts) in [(0.1e-3, 0.489), (1e-3, 0.605), (5e-3, 0.689), (10e-3, 0.727)] {
        let (network, [anode]) = network(|[anode]| {
            vec![
                Element::Diode { anode, cathode: Node::GROUND, diode },
                Element::Current { a: Node::GROUND, b: anode, amps: Amps::literal(amps) },
            ]
        });
        close(network.operating_point().unwrap().volts(anode).get(), volts, 5e-4);
    }
}
