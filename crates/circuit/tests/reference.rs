//! The operating points of 200 networks, held against an outside solution: a sparse tableau solved
//! to fifty digits in Python. `reference/README.md` tells how it was made and how to make it again.

use std::collections::BTreeMap;

use serde::Deserialize;
use serde_json::Value;
use solderside_circuit::{Diode, Element, Network, Node};
use solderside_quantity::{Amps, Kelvin, Ohms, Volts};

#[derive(Deserialize)]
struct Record {
    networks: Vec<Case>,
}

#[derive(Deserialize)]
struct Case {
    number: u32,
    class: String,
    about: String,
    network: Wired,
    volts: BTreeMap<String, f64>,
    amps: Vec<f64>,
}

#[derive(Deserialize)]
struct Wired {
    ground: String,
    elements: Vec<Value>,
}

#[test]
fn two_hundred_networks_agree_with_the_tableau() {
    let text = include_str!("../../../reference/circuit/networks.json");
    let record: Record = serde_json::from_str(text).unwrap();
    assert_eq!(record.networks.len(), 200);
    let wrong: Vec<String> = record.networks.iter().filter_map(complaint).collect();
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// What is wrong with our answer to one network, if anything.
fn complaint(case: &Case) -> Option<String> {
    let volts_bound = if case.class == "diode" { 10e-6 } else { 1e-6 };
    let amps_bound = 1e-9;
    let mut network = Network::new();
    let mut nodes = BTreeMap::from([(case.network.ground.clone(), Node::GROUND)]);
    let mut ids = Vec::new();
    for wired in &case.network.elements {
        let element = element(wired, |name| *nodes.entry(name.to_owned()).or_insert_with(|| network.node()));
        ids.push(network.add(element).expect("every recorded element is in range"));
    }
    let at = format!("network {} ({})", case.number, case.about);
    let point = match network.operating_point() {
        Ok(point) => point,
        Err(error) => return Some(format!("{at}: {error}")),
    };
    for (name, expected) in &case.volts {
        let found = point.volts(nodes[name]).get();
        if (found - expected).abs() > volts_bound {
            return Some(format!("{at}: node `{name}` at {found} V, expected {expected} V"));
        }
    }
    assert_eq!(ids.len(), case.amps.len(), "{at}");
    for (place, (id, expected)) in ids.iter().zip(&case.amps).enumerate() {
        let found = point.amps(*id).get();
        if (found - expected).abs() > amps_bound {
            return Some(format!("{at}: element {place} carries {found} A, expected {expected} A"));
        }
    }
    None
}

fn element(wired: &Value, mut node: impl FnMut(&str) -> Node) -> Element {
    let mut at = |key: &str| node(wired[key].as_str().expect("a node is a name"));
    let figure = |key: &str| wired[key].as_f64().expect("a figure is a number");
    let set = |key: &str| wired[key].as_bool().expect("a setting is true or false");
    let ohms = |key: &str| Ohms::literal(figure(key));
    match wired["kind"].as_str() {
        Some("resistor") => Element::Resistor { a: at("a"), b: at("b"), ohms: ohms("ohms") },
        Some("switch") => Element::Switch {
            a: at("a"),
            b: at("b"),
            closed: set("closed"),
            on: ohms("on_ohms"),
            off: ohms("off_ohms"),
        },
        Some("source") => {
            Element::Source { node: at("node"), volts: Volts::literal(figure("volts")), ohms: ohms("ohms") }
        }
        Some("current") => Element::Current { a: at("a"), b: at("b"), amps: Amps::literal(figure("amps")) },
        Some("diode") => Element::Diode {
            anode: at("anode"),
            cathode: at("cathode"),
            diode: Diode {
                is: Amps::literal(figure("is_amps")),
                n: figure("n"),
                rs: ohms("rs_ohms"),
                at: Kelvin::literal(figure("kelvin")),
            },
        },
        Some("open-collector") => Element::OpenCollector {
            node: at("node"),
            to: Node::GROUND,
            on: set("on"),
            offset: Volts::literal(figure("offset_volts")),
            ohms: ohms("ohms"),
            off: ohms("off_ohms"),
        },
        other => panic!("unknown kind {other:?}"),
    }
}
