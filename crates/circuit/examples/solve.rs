//! Reads one network as JSON on standard input and prints its operating point as JSON.

use std::collections::BTreeMap;
use std::io::{Read, Write};
use std::process::ExitCode;

use serde::{Deserialize, Serialize};
use solderside_circuit::{Diode, Element, ElementId, Network, Node, Unsolvable};
use solderside_quantity::{Amps, Kelvin, NotFinite, Ohms, Volts};

const HELP: &str = "\
Solves one network for its operating point.

usage: solve < NETWORK.json

The network is one JSON object on standard input:
  {\"ground\": NODE, \"elements\": [ELEMENT, ...]}
A NODE is any text; `ground` is the one from which volts are counted. An ELEMENT is one of
  {\"kind\":\"resistor\", \"a\":NODE, \"b\":NODE, \"ohms\":R}                    R > 0
  {\"kind\":\"switch\", \"a\":NODE, \"b\":NODE, \"closed\":true|false,
   \"on_ohms\":R, \"off_ohms\":R}                                       both > 0
  {\"kind\":\"source\", \"node\":NODE, \"volts\":V, \"ohms\":R}                R = 0 is an ideal source;
                                                                 from NODE to ground
  {\"kind\":\"current\", \"a\":NODE, \"b\":NODE, \"amps\":I}                   I flows through it from a to b
  {\"kind\":\"diode\", \"anode\":NODE, \"cathode\":NODE, \"is_amps\":I, \"n\":N,
   \"rs_ohms\":R, \"kelvin\":T}                  I (exp(V/(N k T/q)) - 1) in series with R >= 0;
                                             I holds at T and is never rescaled
  {\"kind\":\"open-collector\", \"node\":NODE, \"on\":true|false, \"offset_volts\":V, \"ohms\":R, \"off_ohms\":L}
                                             V/L, and while on max(0, V - offset)/R; to ground

The answer, on standard output:
  {\"volts\": {NODE: V, ...}, \"amps\": [I, ...]}
one current per element in the order given, counted from a to b (anode to cathode, node to ground).

Exit codes: 0 solved; 1 the network is ill-posed; 2 the input could not be read. What is wrong is
said on standard error.
";

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Input {
    ground: String,
    elements: Vec<Part>,
}

#[derive(Deserialize)]
#[serde(tag = "kind", rename_all = "kebab-case", deny_unknown_fields)]
enum Part {
    Resistor { a: String, b: String, ohms: f64 },
    Switch { a: String, b: String, closed: bool, on_ohms: f64, off_ohms: f64 },
    Source { node: String, volts: f64, ohms: f64 },
    Current { a: String, b: String, amps: f64 },
    Diode { anode: String, cathode: String, is_amps: f64, n: f64, rs_ohms: f64, kelvin: f64 },
    OpenCollector { node: String, on: bool, offset_volts: f64, ohms: f64, off_ohms: f64 },
}

#[derive(Serialize)]
struct Output {
    volts: BTreeMap<String, f64>,
    amps: Vec<f64>,
}

enum Failure {
    Input(String),
    IllPosed(String),
}

fn main() -> ExitCode {
    if std::env::args().len() > 1 {
        let _ = std::io::stdout().write_all(HELP.as_bytes());
        return ExitCode::SUCCESS;
    }
    let mut text = String::new();
    let read = std::io::stdin().read_to_string(&mut text).map_err(|error| Failure::Input(error.to_string()));
    let answer = read
        .and_then(|_| solve(&text))
        .and_then(|output| serde_json::to_string(&output).map_err(|error| Failure::Input(error.to_string())));
    match answer {
        Ok(json) => {
            // A closed pipe is the reader's choice.
            let _ = writeln!(std::io::stdout(), "{json}");
            ExitCode::SUCCESS
        }
        Err(Failure::IllPosed(why)) => complain(&why, 1),
        Err(Failure::Input(why)) => complain(&why, 2),
    }
}

fn complain(why: &str, code: u8) -> ExitCode {
    let _ = writeln!(std::io::stderr(), "solve: {why}\nthe format is in `solve --help`");
    ExitCode::from(code)
}

fn solve(text: &str) -> Result<Output, Failure> {
    let input: Input = serde_json::from_str(text).map_err(|error| Failure::Input(error.to_string()))?;
    let mut network = Network::new();
    let mut nodes = BTreeMap::from([(input.ground, Node::GROUND)]);
    let mut ids = Vec::with_capacity(input.elements.len());
    for (at, part) in input.elements.iter().enumerate() {
        let mut node = |name: &String| *nodes.entry(name.clone()).or_insert_with(|| network.node());
        let refuse = |why: String| Failure::IllPosed(format!("element {at}: {why}"));
        let element = element(part, &mut node).map_err(|error| refuse(error.to_string()))?;
        ids.push(network.add(element).map_err(|error| refuse(error.to_string()))?);
    }
    let point = network.operating_point().map_err(|error| explain(&error, &nodes))?;
    Ok(Output {
        volts: nodes.iter().map(|(name, node)| (name.clone(), point.volts(*node).get())).collect(),
        amps: ids.iter().map(|id: &ElementId| point.amps(*id).get()).collect(),
    })
}

fn element(part: &Part, node: &mut impl FnMut(&String) -> Node) -> Result<Element, NotFinite> {
    Ok(match part {
        Part::Resistor { a, b, ohms } => {
            Element::Resistor { a: node(a), b: node(b), ohms: Ohms::new(*ohms)? }
        }
        Part::Switch { a, b, closed, on_ohms, off_ohms } => Element::Switch {
            a: node(a),
            b: node(b),
            closed: *closed,
            on: Ohms::new(*on_ohms)?,
            off: Ohms::new(*off_ohms)?,
        },
        Part::Source { node: at, volts, ohms } => {
            Element::Source { node: node(at), volts: Volts::new(*volts)?, ohms: Ohms::new(*ohms)? }
        }
        Part::Current { a, b, amps } => Element::Current { a: node(a), b: node(b), amps: Amps::new(*amps)? },
        Part::Diode { anode, cathode, is_amps, n, rs_ohms, kelvin } => Element::Diode {
            anode: node(anode),
            cathode: node(cathode),
            diode: Diode {
                is: Amps::new(*is_amps)?,
                n: *n,
                rs: Ohms::new(*rs_ohms)?,
                at: Kelvin::new(*kelvin)?,
            },
        },
        Part::OpenCollector { node: at, on, offset_volts, ohms, off_ohms } => Element::OpenCollector {
            node: node(at),
            to: Node::GROUND,
            on: *on,
            offset: Volts::new(*offset_volts)?,
            ohms: Ohms::new(*ohms)?,
            off: Ohms::new(*off_ohms)?,
        },
    })
}

fn explain(error: &Unsolvable, nodes: &BTreeMap<String, Node>) -> Failure {
    let (Unsolvable::Contradiction { node, .. }
    | Unsolvable::Floating { node }
    | Unsolvable::NoBalance { node }) = error
    else {
        return Failure::IllPosed(error.to_string());
    };
    let name = nodes.iter().find(|(_, other)| *other == node).map_or("?", |(name, _)| name);
    Failure::IllPosed(format!("node `{name}`: {error}"))
}
