//! The proof against a slow oracle: every state, every corner of the box of tolerances, each solved
//! exactly.
//!
//! The leads are of wire and switches, so the extremes lie at corners, and the oracle finds them.

mod bench;

use solderside_circuit::{Element, Network, Node, Uncertain};
use solderside_lead::{Assembly, Circuit, Leg, Purpose, State, states};
use solderside_profile::Action;
use solderside_proof::prove;
use solderside_quantity::{Quantity, Triple, Volts};

use bench::{STICK, lead};

const EXACT: f64 = 1e-9;

/// Three lines with everything uncertain.
fn three_lines(family: &str) -> String {
    format!(
        "format = 1\nkind = \"port\"\nconnector = \"DE-9 plug\"\nrail_volts = [4.75, 5.0, 5.25]\n\
         fire_order = [\"fire\", \"second-fire\", \"third-fire\"]\n\
         [input.line]\nfamily = \"{family}\"\npull_up_ohms = [3100, 5000, 8000]\n\
         [contact.6]\naction = \"fire\"\n[contact.7]\naction = \"second-fire\"\n\
         [contact.9]\naction = \"third-fire\"\n[contact.8]\nrole = \"return\"\n"
    )
}

/// The two ends of a tolerance, or the one value where there is none.
fn ends<T: Quantity>(triple: Triple<T>) -> Vec<T> {
    if triple.low() == triple.high() { vec![triple.low()] } else { vec![triple.low(), triple.high()] }
}

/// An element at each corner of its own values.
fn corners(element: &Uncertain) -> Vec<Element> {
    match *element {
        Uncertain::Resistor { a, b, ohms } => {
            ends(ohms).into_iter().map(|ohms| Element::Resistor { a, b, ohms }).collect()
        }
        Uncertain::Source { node, volts, ohms } => {
            let source =
                |volts| ends(ohms).into_iter().map(move |ohms| Element::Source { node, volts, ohms });
            ends(volts).into_iter().flat_map(source).collect()
        }
        Uncertain::Current { a, b, amps } => {
            ends(amps).into_iter().map(|amps| Element::Current { a, b, amps }).collect()
        }
        Uncertain::Diode { .. } | Uncertain::Sink { .. } => panic!("these leads are of wire and switches"),
    }
}

/// Calls with each node's voltage at every corner of the network.
fn at_each_corner(nodes: usize, elements: &[Uncertain], mut tell: impl FnMut(&dyn Fn(Node) -> Volts)) {
    let choices: Vec<Vec<Element>> = elements.iter().map(corners).collect();
    let count: usize = choices.iter().map(Vec::len).product();
    for corner in 0..count {
        let mut network = Network::new();
        for _ in 1..nodes {
            network.node();
        }
        let mut rest = corner;
        for choice in &choices {
            network.add(choice[rest % choice.len()]).expect("what the box holds is an element");
            rest /= choice.len();
        }
        let point = network.operating_point().expect("wire and switches balance");
        tell(&|node| point.volts(node));
    }
}

/// The worst reading of each action when it should be active, and when it should not.
fn slowly(assembly: &Assembly) -> Vec<(Action, [Option<Volts>; 2])> {
    let actions = assembly.port.actions();
    let mut worst: Vec<(Action, [Option<Volts>; 2])> =
        actions.into_iter().map(|action| (action.clone(), [None, None])).collect();
    let [step] = assembly.port.steps.as_slice() else { panic!("one step") };
    let circuit = Circuit::of(assembly, step, Purpose::Reading).expect("the profile's values make a circuit");
    for state in states(&assembly.controllers[0], &assembly.joined_controls()) {
        let network = circuit.in_state(&state);
        at_each_corner(network.typical().node_count(), network.elements(), |volts| {
            for (action, [active, idle]) in &mut worst {
                let read = volts(node_of(assembly, &circuit, action));
                if is_asked(assembly, action, &state) {
                    *active = Some(active.map_or(read, |so_far| so_far.max(read)));
                } else {
                    *idle = Some(idle.map_or(read, |so_far| so_far.min(read)));
                }
            }
        });
    }
    worst
}

fn node_of(assembly: &Assembly, circuit: &Circuit, action: &Action) -> Node {
    let contact = assembly.port.contact_of(action).expect("each action has a contact");
    circuit.node(Leg::port(contact)).expect("the contact is in the circuit")
}

fn is_asked(assembly: &Assembly, action: &Action, state: &State) -> bool {
    assembly.lead.play.controls(action).iter().any(|control| state.contains(control))
}

fn assert_agrees(assembly: &Assembly) {
    let proof = prove(assembly).expect("the profile's values make a circuit");
    let slow = slowly(assembly);
    assert_eq!(proof.actions.len(), slow.len());
    for (fast, (action, [active, idle])) in proof.actions.iter().zip(slow) {
        assert_eq!(fast.action, action);
        for (fast, slow) in [(&fast.active, active), (&fast.idle, idle)] {
            let fast = fast.as_ref().map(|worst| worst.volts.get());
            match (fast, slow) {
                (Some(fast), Some(slow)) => {
                    let slow = slow.get();
                    assert!((fast - slow).abs() < EXACT, "{action}: {fast}, the oracle finds {slow}");
                }
                (fast, slow) => assert!(fast.is_none() && slow.is_none(), "{action}"),
            }
        }
    }
}

#[test]
fn the_worst_readings_of_three_lines_are_those_of_all_states_at_all_corners() {
    for family in ["ttl", "nmos-port"] {
        let port = three_lines(family);
        assert_agrees(&lead(&[("port", &port)], [STICK, "port"], ["13-6", "5-7", "12-9", "1-8"], ""));
    }
}

#[test]
fn a_button_on_two_lines_reads_as_the_oracle_says_ghosts_and_all() {
    let port = three_lines("nmos-port");
    let play = "[play]\nfire = [\"a\", \"b\"]\nsecond-fire = [\"b\"]\nthird-fire = [\"c\"]\n";
    let joins = ["13-6", "5-6", "5-7", "12-9", "1-8"];
    assert_agrees(&lead(&[("port", &port)], [STICK, "port"], joins, play));
}
