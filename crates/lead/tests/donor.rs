//! A lead that ends in the port's own pad: its points, its file, and the pad's own switches beside the controller's.

use solderside_circuit::{Element, Extreme, Network, Node, Spread, Uncertain};
use solderside_lead::{
    Assembly, Circuit, Donor, Join, Leg, NoDonor, Purpose, State, default_map, read_lead, states, write_lead,
};
use solderside_profile::{Controller, Failure, Library, SourceFile, Spot};
use solderside_quantity::{Ohms, Triple};
use solderside_trade::ContactId;

fn pad(name: &str) -> Controller {
    Library::catalogue().controller(name).expect("it is in the catalogue")
}

fn opened(name: &str) -> Donor {
    Donor::open(pad(name)).expect("its insides are known")
}

fn leg(text: &str) -> Leg {
    text.parse().expect("a leg")
}

#[test]
fn a_point_is_found_by_the_control_whose_switch_it_is_at() {
    let donor = opened("nine-pin-select-pad");
    let spot = |text: &str| donor.spot(leg(text)).map(|spot| spot.to_string());
    // `up` leads out to a contact of the plug, `left` to an input of the chip; both close to contact 8.
    assert_eq!(spot("donor.up").as_deref(), Some("1"));
    assert_eq!(spot("donor.left").as_deref(), Some("u1.3"));
    assert_eq!(spot("donor.left.common").as_deref(), Some("8"));
    assert_eq!(spot("donor.select"), None);
    assert!(donor.net(leg("donor.left.common")).contains(&Spot::Contact(ContactId::Number(8))));
    let points: Vec<String> = donor.points().iter().map(|(_, [line, _])| line.to_string()).collect();
    assert_eq!(
        points.join(" "),
        "donor.up donor.down donor.left donor.right donor.a donor.b donor.c donor.start"
    );
}

#[test]
fn what_switches_share_is_told_from_what_is_their_own() {
    let groups = |name: &str| {
        let donor = opened(name);
        let group = |controls: Vec<&solderside_profile::Control>| {
            controls.iter().map(ToString::to_string).collect::<Vec<_>>().join(" ")
        };
        donor.by_common().into_iter().map(group).collect::<Vec<_>>()
    };
    assert_eq!(groups("nine-pin-register-pad-8-bit"), ["up down left right a b select start"]);
    assert_eq!(groups("nine-pin-stick-with-separate-commons"), ["up down left right", "a b"]);
    // A column with four switches is more shared than a diode's anode with one.
    assert_eq!(
        groups("fifteen-pin-matrix-pad"),
        [
            "up key-0 key-hash key-star",
            "down key-7 key-8 key-9",
            "left key-4 key-5 key-6",
            "right key-1 key-2 key-3",
            "a b c option",
            "pause",
        ]
    );
}

#[test]
fn a_pad_whose_insides_nobody_knows_is_no_donor() {
    let name = |pad: &str| pad.to_owned();
    let refused = |own: &str| Donor::open(pad(own)).unwrap_err();
    assert_eq!(refused("fifteen-pin-pad-with-logic"), NoDonor::Unknown(name("fifteen-pin-pad-with-logic")));
    assert_eq!(refused("nine-pin-paddles"), NoDonor::Pots(name("nine-pin-paddles")));
}

const JOINS: &str = "'controller.1 - donor.up.common', 'controller.15 - donor.up', 'controller.13 - donor.a'";

fn read(lines: &str, joins: &str) -> Result<Assembly, Vec<[String; 2]>> {
    let text = format!(
        "format = 1\nkind = 'lead'\ncontroller = 'fifteen-pin-stick'\nport = 'nine-pin-select'\njoins = [{joins}]\n{lines}"
    );
    read_lead(&SourceFile::new("lead.toml", text), &Library::catalogue()).map_err(|failure| match failure {
        Failure::Faulty { complaints, .. } => {
            complaints.into_iter().map(|complaint| [complaint.headline, complaint.help]).collect()
        }
        Failure::Unknown { .. } | Failure::WrongKind { .. } => panic!("{}", failure.render()),
    })
}

#[test]
fn a_lead_into_a_donor_is_read_back_as_it_was_written() {
    for rest in ["", "[cord]\nlength_mm = 400\n[proved]\ncontroller = 'a'\nport = 'b'\ndonor = 'c'"] {
        let assembly = read(&format!("donor = 'nine-pin-select-pad'\n{rest}"), JOINS).unwrap();
        let written = write_lead(&assembly);
        assert!(written.contains("\"controller.1 - donor.up.common\","), "{written}");
        assert!(!written.contains("plug"), "the pad's own plug is nobody's to solder: {written}");
        assert_eq!(read_lead(&SourceFile::new("lead.toml", written), &Library::catalogue()), Ok(assembly));
    }
}

#[test]
fn the_pads_own_plug_goes_into_the_port_contact_to_contact() {
    let assembly = read("donor = 'nine-pin-select-pad'", JOINS).unwrap();
    let (plug, soldered): (Vec<Join>, Vec<Join>) =
        assembly.lead.joins.iter().partition(|join| join.is_of_plug());
    assert!(plug.iter().all(|join| join.from.contact == join.to.contact));
    assert_eq!((plug.len(), soldered.len(), assembly.lead.soldered().count()), (9, 3, 3));
    assert!(plug.iter().all(|join| !assembly.lead.runs_through_cable(join)));
    assert_eq!(assembly.beyond(leg("donor.up.common")), [leg("port.8")]);
    assert_eq!(assembly.beyond(leg("donor.up")), [leg("port.1")]);
}

#[test]
fn mistakes_of_a_donor_say_what_to_do() {
    let of = |lines: &str, joins: &str| read(lines, joins).expect_err("this is wrong").concat();
    let own = "donor = 'nine-pin-select-pad'";
    assert_eq!(
        of("donor = 'fifteen-pin-matrix-pad'", JOINS),
        [
            "`fifteen-pin-matrix-pad` is no pad of `nine-pin-select`: its DE-15 high density plug does not mate with a DE-9 plug",
            "a donor goes into the port by its own plug: name the port's own pad",
        ]
    );
    assert_eq!(
        of(own, "'controller.1 - donor.lef'"),
        [
            "the donor `nine-pin-select-pad` has no switch `lef`",
            "did you mean `left`? it has `up`, `down`, `left`, `right`, `a`, `b`, `c` and `start`",
        ]
    );
    assert_eq!(
        of(own, "'controller.1 - port.8'"),
        [
            "the lead does not end in the port: the donor's own plug does",
            "name a point of the donor, such as `donor.up`",
        ]
    );
    assert_eq!(
        of("", "'controller.1 - donor.up'"),
        [
            "the lead has no donor, so there is no `donor.up`",
            "name the pad in which it ends: `donor = \"…\"`, or join to `port`",
        ]
    );
    assert_eq!(
        of(&format!("{own}\nport_end = 'DE-9 socket'"), JOINS),
        ["both `donor` and `port_end` stand here, expected one of them", "drop one of the two"]
    );
    assert_eq!(
        of(
            &format!("{own}\n[part.d1]\ndiode = 'BAT85'\nsits_in = 'port'"),
            "'controller.1 - d1.anode', 'd1.cathode - donor.up.common'"
        ),
        ["the lead has no end `port` for a part to sit in", "write `controller` or `donor`"]
    );
    let pads = "donor = 'nine-pin-paddles'";
    assert_eq!(
        of(pads, JOINS),
        [
            "a lead cannot end in this donor: `nine-pin-paddles` has pots, which go on setting their axes whatever is \
             soldered to its switches",
            "name a pad whose switches are known: at its contacts, or between spots in an `[inside]`",
        ]
    );
}

/// A stick with three switches across those of a donor on a plain port, with the donor's own buttons or without them.
fn small(pad_name: &str, is_left_alone: bool) -> Assembly {
    let library = Library::catalogue();
    let controller = library.controller("fifteen-pin-stick").expect("it is in the catalogue");
    let port = library.port("nine-pin-one-fire").expect("it is in the catalogue");
    let donor = opened(pad_name);
    let donor = if is_left_alone { donor.left_alone() } else { donor };
    let play = default_map(&controller, &port);
    let mut assembly = Assembly::by_donor(controller, donor, port, play);
    let joins = [
        "controller.1 - donor.up.common",
        "controller.15 - donor.up",
        "controller.14 - donor.left",
        "controller.13 - donor.a",
    ];
    assembly.lead.joins.extend(joins.map(|join| join.parse::<Join>().expect("a join")));
    assembly.lead.settle();
    assembly
}

/// A network with each value at its least or its most; which of both goes by the element's place.
fn corner(network: &Spread, which: usize) -> Network {
    let mut point = Network::new();
    let last = network.elements().iter().flat_map(nodes_of).max();
    loop {
        // What an open switch leaves alone stands somewhere too.
        let a = point.node();
        point.add(Element::Resistor { a, b: Node::GROUND, ohms: Ohms::literal(1e12) }).expect("a resistor");
        if Some(a) >= last {
            break;
        }
    }
    for (at, element) in network.elements().iter().enumerate() {
        let is_high = which >> (at % 7) & 1 == 1;
        let of = |ohms: Triple<Ohms>| if is_high { ohms.high() } else { ohms.low() };
        point
            .add(match *element {
                Uncertain::Resistor { a, b, ohms } => Element::Resistor { a, b, ohms: of(ohms) },
                Uncertain::Source { node, volts, ohms } => Element::Source {
                    node,
                    volts: if is_high { volts.high() } else { volts.low() },
                    ohms: of(ohms),
                },
                Uncertain::Current { a, b, amps } => {
                    Element::Current { a, b, amps: if is_high { amps.high() } else { amps.low() } }
                }
                Uncertain::Diode { .. } | Uncertain::Sink { .. } => panic!("none in this circuit"),
            })
            .expect("the corner of an element is one");
    }
    point
}

fn nodes_of(element: &Uncertain) -> Vec<Node> {
    match *element {
        Uncertain::Resistor { a, b, .. } | Uncertain::Current { a, b, .. } => vec![a, b],
        Uncertain::Source { node, .. } => vec![node],
        Uncertain::Diode { anode, cathode, .. } => vec![anode, cathode],
        Uncertain::Sink { node, to, .. } => vec![node, to],
    }
}

/// The argument at the head of `lower/donor.rs`, held against every state of the stick's switches and of the donor's own
/// beside them, sound and worn, at corners of all other values.
#[test]
fn a_donors_own_switch_beside_the_sticks_is_within_the_bounds() {
    let pads = ["nine-pin-stick-with-one-button", "nine-pin-stick-with-two-buttons"];
    let mut looked_at = 0;
    for pad_name in pads {
        let [alone, model] = [true, false].map(|is_left_alone| small(pad_name, is_left_alone));
        let step = &alone.port.steps[0];
        let closed = pad(pad_name).switch.closed_ohms().value;
        let controls = alone.joined_controls();
        for state in states(&alone.controllers[0], &controls) {
            let [alone, bound] = [&alone, &model].map(|assembly| {
                let circuit = Circuit::of(assembly, step, Purpose::Reading).unwrap();
                let network = circuit.in_state(&state);
                (circuit, network)
            });
            let lines = ["port.1", "port.3", "port.6"].map(leg);
            let limits = lines.map(|line| {
                let node = bound.0.node(line).unwrap();
                [Extreme::Lowest, Extreme::Highest]
                    .map(|extreme| bound.1.bound(node, extreme).unwrap().guaranteed.unwrap().get())
            });
            for own in subsets(&state) {
                for ohms in [closed.low(), closed.high(), Ohms::literal(1000.0)] {
                    let mut network = alone.1.clone();
                    for control in &own {
                        let points = Leg::across(solderside_lead::SwitchName::new(control.as_str()).unwrap());
                        let [a, b] = points.map(|point| alone.0.node(point).unwrap());
                        let ohms = Triple::exactly(ohms);
                        network.add(Uncertain::Resistor { a, b, ohms }).unwrap();
                    }
                    for which in 0..128 {
                        let point = corner(&network, which).operating_point().unwrap();
                        for (line, [low, high]) in lines.iter().zip(limits) {
                            let volts = point.volts(alone.0.node(*line).unwrap()).get();
                            assert!(
                                low - 20e-6 <= volts && volts <= high + 20e-6,
                                "{pad_name}: {line} at {volts} V, not from {low} V to {high} V: {state:?} with {own:?}"
                            );
                            looked_at += 1;
                        }
                    }
                }
            }
        }
    }
    assert!(looked_at > 10_000);
}

fn subsets(state: &State) -> Vec<State> {
    let mut found = vec![State::new()];
    for control in state {
        let with = found.clone().into_iter().map(|mut own: State| {
            own.insert(control.clone());
            own
        });
        found.extend(with.collect::<Vec<_>>());
    }
    found
}
