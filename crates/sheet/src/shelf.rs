//! Leads between the demo shelf's controllers and machines.

use solderside_lead::{
    Assembly, Body, Capacitor, End, EndId, Join, Leg, Part, PartId, Resistor, default_map, read_lead,
};
use solderside_profile::{Cable, Library, SourceFile};
use solderside_quantity::{Farads, Ohms};
use solderside_trade::{
    ChipPart, Connector, ContactId, DiodePart, Family, Gender, TerminalCount, TransistorPart,
};

const DIRECTIONS: [[u8; 2]; 4] = [[15, 1], [7, 2], [14, 3], [6, 4]];

/// The Heron stick to the Plover: seven conductors, two fires.
pub fn stick_to_plover() -> Assembly {
    lead("heron-stick", "plover", &[[13, 6], [5, 7], [1, 9]])
}

/// The Godwit stick to the Godwit: two buttons and two axes.
pub fn game_stick_to_godwit() -> Assembly {
    let mut assembly = lead("godwit-stick", "godwit", &[]);
    let straight = (1..=7).map(ContactId::Number);
    assembly.lead.joins =
        straight.map(|contact| Join::new(Leg::controller(contact), Leg::port(contact))).collect();
    assembly
}

/// The Heron stick to the Curlew: six conductors, one fire.
pub fn stick_to_curlew() -> Assembly {
    lead("heron-stick", "curlew", &[[13, 6], [1, 8]])
}

/// The Heron pad to the Curlew, which has to feed it.
pub fn pad_to_curlew() -> Assembly {
    lead("heron-pad", "curlew", &[[13, 6], [1, 8], [8, 7]])
}

/// Every demo controller to every demo machine.
pub fn every_pair() -> Vec<Assembly> {
    let stick_to_teal = lead("heron-stick", "teal", &[[13, 6], [5, 9], [1, 8]]);
    let pad_to_plover = lead("heron-pad", "plover", &[[13, 6], [5, 7], [1, 9], [8, 5]]);
    let pad_to_teal = lead("heron-pad", "teal", &[[13, 6], [5, 9], [1, 8], [8, 5]]);
    vec![stick_to_plover(), stick_to_curlew(), stick_to_teal, pad_to_plover, pad_to_curlew(), pad_to_teal]
}

/// The Heron pad to the Plover, with the supply where the return belongs.
pub fn pad_wrongly_to_plover() -> Assembly {
    lead("heron-pad", "plover", &[[13, 6], [5, 7], [1, 5], [8, 9]])
}

/// A lead with the four directions and these joins, contact by contact.
pub fn lead(controller: &str, port: &str, joins: &[[u8; 2]]) -> Assembly {
    let library = library();
    let controller = library.controller(controller).expect("the demo's shelf is sound");
    let port = library.port(port).expect("the demo's shelf is sound");
    let play = default_map(&controller, &port);
    let mut assembly = Assembly::between(controller, port, play);
    let join = |[from, to]: &[u8; 2]| {
        Join::new(Leg::controller(ContactId::Number(*from)), Leg::port(ContactId::Number(*to)))
    };
    assembly.lead.joins = DIRECTIONS.iter().chain(joins).map(join).collect();
    assembly.lead.settle();
    assembly
}

/// A cable of the catalogue.
pub fn cable(name: &str) -> Cable {
    library().cable(name).expect("the catalogue is sound")
}

fn library() -> Library {
    Library::with_shelf(vec![
        SourceFile::new("heron-stick.toml", include_str!("../../../demo/heron-stick.toml")),
        SourceFile::new("bittern.toml", include_str!("../../../demo/bittern.toml")),
        SourceFile::new("bittern-pad.toml", include_str!("../../../demo/bittern-pad.toml")),
        SourceFile::new("heron-pad.toml", include_str!("../../../demo/heron-pad.toml")),
        SourceFile::new("curlew.toml", include_str!("../../../demo/curlew.toml")),
        SourceFile::new("plover.toml", include_str!("../../../demo/plover.toml")),
        SourceFile::new("teal.toml", include_str!("../../../demo/teal.toml")),
        SourceFile::new("godwit.toml", include_str!("../../../demo/godwit.toml")),
        SourceFile::new("dunlin.toml", include_str!("../../../demo/dunlin.toml")),
        SourceFile::new("godwit-stick.toml", include_str!("../../../demo/godwit-stick.toml")),
    ])
}

/// A loose panel on terminals to an arcade edge, for two players.
pub fn panel_to_edge() -> Assembly {
    between(
        "terminals 25",
        "edge 28x2 plug",
        &[
            ["1", "1", "common"],
            ["2", "17", "start"],
            ["3", "18", "up"],
            ["4", "19", "down"],
            ["5", "20", "left"],
            ["6", "21", "right"],
            ["7", "22", "a"],
            ["8", "23", "b"],
            ["9", "24", "c"],
            ["10", "U", "start-2"],
            ["11", "V", "up-2"],
            ["12", "W", "down-2"],
            ["13", "X", "left-2"],
            ["14", "Y", "right-2"],
            ["15", "Z", "a-2"],
            ["16", "a", "b-2"],
            ["17", "b", "c-2"],
            ["18", "16", "coin"],
            ["19", "T", "coin-2"],
            ["20", "15", "test"],
            ["21", "R", "service"],
            ["22", "S", "tilt"],
        ],
    )
}

/// A stick to a small round port with its common on 8.
pub fn stick_to_mini_din() -> Assembly {
    between(
        "DE-9 plug",
        "mini-DIN 8 socket",
        &[
            ["1", "1", "up"],
            ["2", "2", "down"],
            ["3", "3", "left"],
            ["4", "4", "right"],
            ["6", "6", "fire"],
            ["8", "8", "common"],
        ],
    )
}

/// Five buttons on terminals to a round port.
pub fn buttons_to_round() -> Assembly {
    between(
        "terminals 6",
        "DIN 8/270 socket",
        &[
            ["1", "2", "common"],
            ["2", "1", "up"],
            ["3", "3", "down"],
            ["4", "8", "left"],
            ["5", "7", "right"],
        ],
    )
}

/// A stick on a round plug to round sockets of other patterns, and to a parallel port.
pub fn round_to(port: &str) -> Assembly {
    between(
        "DIN 8/262 plug",
        port,
        &[
            ["1", "1", "up"],
            ["2", "2", "down"],
            ["3", "3", "left"],
            ["4", "4", "right"],
            ["5", "5", "fire"],
            ["6", "8", "common"],
            ["7", "6", "b"],
            ["8", "7", "c"],
        ],
    )
}

/// A lead between hand-made profiles that know only what is joined: contact, contact, and what both are for.
pub fn between(controller: &str, port: &str, joins: &[[&str; 3]]) -> Assembly {
    let contacts = |at: usize, kind: &str, common: &str| -> String {
        let contact = |join: &[&str; 3]| match join[2] {
            "common" => format!("[contact.{}]\nrole = \"{common}\"\n", join[at]),
            name => format!("[contact.{}]\n{kind} = \"{name}\"\n", join[at]),
        };
        joins.iter().map(contact).collect()
    };
    let known = "evidence = \"assumed\"\nsource = \"invented\"\n";
    let panel = format!(
        "format = 1\nkind = \"controller\"\ntitle = \"Shrike panel\"\nconnector = \"{controller}\"\n\
         switch = \"microswitch\"\ngate = \"none\"\n{known}{}",
        contacts(0, "control", "common")
    );
    let machine = format!(
        "format = 1\nkind = \"port\"\ntitle = \"Shrike machine\"\nconnector = \"{port}\"\n\
         rail_volts = [4.75, 5.0, 5.25]\n{known}[input.line]\nfamily = \"sound-port\"\n{}",
        contacts(1, "action", "return")
    );
    let library = Library::with_shelf(vec![
        SourceFile::new("panel.toml", panel),
        SourceFile::new("machine.toml", machine),
    ]);
    let controller = library.controller("panel").expect("the panel is sound");
    let port = library.port("machine").expect("the machine is sound");
    let play = default_map(&controller, &port);
    let mut assembly = Assembly::between(controller, port, play);
    let contact = |text: &str| ContactId::parse(text).expect("a contact");
    let join = |[from, to, _]: &[&str; 3]| Join::new(Leg::controller(contact(from)), Leg::port(contact(to)));
    assembly.lead.joins = joins.iter().map(join).collect();
    assembly.lead.settle();
    assembly
}

/// The stick's lead with other connectors, joined contact by contact in the order of their tables as far as
/// both reach.
pub fn straight(controller: &str, port: &str) -> Assembly {
    let mut assembly = stick_to_plover();
    for (end, text) in assembly.lead.ends.iter_mut().zip([controller, port]) {
        end.connector = Connector::parse(text).expect("a connector");
    }
    let [from, to] = [0, 1].map(|end| assembly.lead.ends[end].connector.family);
    let pairs = from.contact_ids().zip(to.contact_ids());
    assembly.lead.joins = pairs.map(|(a, b)| Join::new(Leg::controller(a), Leg::port(b))).collect();
    assembly.lead.settle();
    assembly
}

/// The families, with a place for strips of any length.
const FAMILIES: [Option<Family>; 10] = [
    Some(Family::De9),
    Some(Family::Da15),
    Some(Family::De15Hd),
    Some(Family::Db25),
    Some(Family::MiniDin8),
    Some(Family::Din5Arc180),
    Some(Family::Din8Arc262),
    Some(Family::Din8Arc270),
    Some(Family::Edge28x2),
    None,
];

fn strip(screws: u8) -> Family {
    Family::Terminals(TerminalCount::new(screws).expect("from 2 to 40"))
}

/// A lead that nobody would build: other connectors, shared cups, links within an end, shells, and two
/// controllers every fifth time.
pub fn tangled(seed: u64) -> Assembly {
    let mut assembly = stick_to_plover();
    // Knuth's 64-bit linear congruential generator; its upper bits are random enough.
    let mut state = seed;
    let mut below = |bound: usize| {
        state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        usize::try_from(state >> 40).unwrap_or(0) % bound
    };
    if seed % 5 == 4 {
        assembly.controllers.push(assembly.controllers[0].clone());
        let second = End { id: EndId::Controller(1), ..assembly.lead.ends[0].clone() };
        assembly.lead.ends.insert(1, second);
    }
    for end in &mut assembly.lead.ends {
        let family = FAMILIES[below(FAMILIES.len())];
        let family = family.unwrap_or_else(|| strip(2 + u8::try_from(below(39)).unwrap_or(0)));
        end.connector = Connector { family, gender: Gender::ALL[below(2)] };
    }
    let legs: Vec<Vec<Leg>> = (assembly.lead.ends.iter())
        .map(|end| end.connector.family.contact_ids().map(|contact| Leg { end: end.id, contact }).collect())
        .collect();
    let [first, port] = [0, legs.len() - 1];
    assembly.lead.joins.clear();
    for _ in 0..3 + below(9) {
        // Mostly from a controller to the port, sometimes within an end or between the controllers.
        let [from, to] = match below(8) {
            0 => [port, port],
            1 => [first, port - 1],
            2 => [port - 1, port],
            _ => [first, port],
        };
        let [from, to] = [from, to].map(|end| legs[end][below(legs[end].len())]);
        if from != to {
            assembly.lead.joins.push(Join::new(from, to));
        }
    }
    assembly.lead.settle();
    assembly
}

/// Puts joins, one a line, in the place of a lead's own, with these parts in the hood of an end.
fn with_parts(mut assembly: Assembly, sits: EndId, bodies: &[Body], joins: &str) -> Assembly {
    for body in bodies {
        let kind = std::mem::discriminant(&body.id(1));
        let own = assembly.lead.parts.iter().filter(|part| std::mem::discriminant(&part.body.id(1)) == kind);
        let number = u8::try_from(own.count() + 1).expect("a handful of parts");
        assembly.lead.parts.push(Part { number, body: *body, sits });
    }
    assembly.lead.joins = joins.lines().map(|join| join.trim().parse().expect("a join")).collect();
    assembly.lead.settle();
    assembly
}

const SILICON: Body = Body::Diode(DiodePart::Silicon1N4148);
const SCHOTTKY: Body = Body::Diode(DiodePart::SchottkyBat85);

fn resistor(ohms: f64, tolerance: f64) -> Body {
    Body::Resistor(Resistor { ohms: Ohms::new(ohms).expect("finite"), tolerance })
}

/// The Heron stick to the Plover with a diode in each of the seven lines, so that no line feeds another.
pub fn diode_in_each_line() -> Assembly {
    with_parts(
        stick_to_plover(),
        EndId::Port,
        &[SCHOTTKY; 7],
        "controller.15 - d1.cathode
        d1.anode - port.1
        controller.7 - d2.cathode
        d2.anode - port.2
        controller.14 - d3.cathode
        d3.anode - port.3
        controller.6 - d4.cathode
        d4.anode - port.4
        controller.13 - d5.cathode
        d5.anode - port.6
        controller.5 - d6.cathode
        d6.anode - port.7
        controller.1 - d7.anode
        d7.cathode - port.9",
    )
}

/// The Heron stick to the Plover, its first button on both fires: one conductor splits into two diodes.
pub fn one_button_on_two_fires() -> Assembly {
    let mut assembly = with_parts(
        stick_to_plover(),
        EndId::Port,
        &[SCHOTTKY; 2],
        "controller.15 - port.1
        controller.7 - port.2
        controller.14 - port.3
        controller.6 - port.4
        controller.1 - port.9
        controller.13 - d1.cathode
        d1.cathode - d2.cathode
        d1.anode - port.6
        d2.anode - port.7",
    );
    let a = assembly.controllers[0].controls().into_iter().find(|control| control.as_str() == "a");
    let a = a.expect("the stick has an a").clone();
    let second = assembly.port.actions().into_iter().find(|action| action.as_str() == "second-fire");
    let second = second.expect("the Plover has a second fire").clone();
    assembly.lead.play.set(second, vec![a]);
    assembly
}

/// The same with the diodes in the controller's hood, both on the button's cup, a conductor each.
pub fn one_cup_with_two_diodes() -> Assembly {
    let mut assembly = one_button_on_two_fires();
    let joins = ["controller.13 - d1.cathode", "controller.13 - d2.cathode"];
    assembly.lead.joins.retain(|join| join.from.part_id().is_none() && join.to.part_id().is_none());
    let far = ["d1.anode - port.6", "d2.anode - port.7"];
    assembly.lead.joins.extend(joins.iter().chain(&far).map(|join| join.parse::<Join>().expect("a join")));
    for part in &mut assembly.lead.parts {
        part.sits = EndId::Controller(0);
    }
    assembly.lead.settle();
    assembly
}

/// The Heron stick to the Curlew with a resistor in series with the fire, another from there to the up line, and
/// a diode behind a resistor in the down line.
pub fn resistors_in_series() -> Assembly {
    with_parts(
        stick_to_curlew(),
        EndId::Port,
        &[resistor(470.0, 0.05), resistor(10.0, 0.01), resistor(4700.0, 0.05), SILICON],
        "controller.7 - d1.cathode
        d1.anode - r2.1
        r2.2 - port.2
        controller.14 - port.3
        controller.6 - port.4
        controller.15 - port.1
        controller.13 - r1.1
        controller.1 - port.8
        r1.2 - port.6
        r3.1 - port.1
        r3.2 - port.6",
    )
}

/// A tangled lead into some of whose conductors parts have got, in whatever hood, some with one leg on a strange cup.
pub fn tangled_with_parts(seed: u64) -> Assembly {
    let mut assembly = tangled(seed);
    let ends: Vec<EndId> = assembly.lead.ends.iter().map(|end| end.id).collect();
    let bodies = [SILICON, resistor(470.0, 0.05), SCHOTTKY];
    let joins = std::mem::take(&mut assembly.lead.joins);
    for (at, join) in (0_u8..).zip(&joins) {
        let mixed = seed.wrapping_mul(31).wrapping_add(u64::from(at) * 7);
        let pick = |of: usize, salt: u64| usize::try_from((mixed + salt) % 97).unwrap_or(0) % of;
        if pick(3, 0) == 0 {
            assembly.lead.joins.push(*join);
            continue;
        }
        let part = Part { number: at + 1, body: bodies[pick(3, 5)], sits: ends[pick(ends.len(), 11)] };
        let [first, second] = [PartId::ANODE, PartId::CATHODE].map(|contact| Leg::part(part.id(), contact));
        assembly.lead.joins.push(Join::new(join.from, first));
        assembly.lead.joins.push(Join::new(second, join.to));
        if let Some(other) = assembly.lead.parts.last().filter(|_| pick(4, 3) == 0) {
            assembly.lead.joins.push(Join::new(Leg::part(other.id(), PartId::CATHODE), first));
        }
        assembly.lead.parts.push(part);
    }
    assembly.lead.settle();
    assembly
}

/// The Heron stick into the opened Bittern pad: the demo's own file.
pub fn stick_into_pad() -> Assembly {
    let text = include_str!("../../../demo/leads/heron-stick-to-bittern-by-its-own-pad.toml");
    read_lead(&SourceFile::new("stick-into-pad.toml", text), &library()).expect("the lead is sound")
}

/// The Heron stick and a stick of the port's own class to the Curlew, which is passed through: the demo's own file.
pub fn stick_with_pass_through() -> Assembly {
    let text = include_str!("../../../demo/leads/heron-stick-to-curlew-with-pass-through.toml");
    read_lead(&SourceFile::new("pass-through.toml", text), &library()).expect("the lead is sound")
}

/// The Heron stick to a port that selects, through a multiplexer in the controller's hood: what the file says.
pub fn stick_to_select() -> Assembly {
    let file = SourceFile::new("stick-to-select.toml", include_str!("shelf/stick-to-select.toml"));
    read_lead(&file, &library()).expect("the lead is sound")
}

/// The Heron stick to the Curlew, its fire through a buffer in the controller's hood: what the file says.
pub fn stick_through_buffer() -> Assembly {
    let file = SourceFile::new("stick-through-buffer.toml", include_str!("shelf/stick-through-buffer.toml"));
    read_lead(&file, &library()).expect("the lead is sound")
}

/// The demo's three leads with a chip in the port's hood.
pub fn demo_leads_with_chips() -> Vec<Assembly> {
    let files = [
        ("heron-stick-to-bittern.toml", include_str!("../../../demo/leads/heron-stick-to-bittern.toml")),
        ("heron-stick-to-dunlin.toml", include_str!("../../../demo/leads/heron-stick-to-dunlin.toml")),
        (
            "heron-stick-to-curlew-by-switches.toml",
            include_str!("../../../demo/leads/heron-stick-to-curlew-by-switches.toml"),
        ),
    ];
    let read = |(name, text)| read_lead(&SourceFile::new(name, text), &library()).expect("the lead is sound");
    files.into_iter().map(read).collect()
}

/// Two chained registers with a pull-up at each of their inputs, in the port's hood: more than a hand keeps in mind.
pub fn two_registers() -> Assembly {
    let inputs = [7, 6, 5, 4, 13, 14, 15, 1];
    let mut joins: Vec<String> = [
        "u1.16 - port.7",
        "u1.8 - port.8",
        "u1.16 - c1.1",
        "u1.8 - c1.2",
        "u2.16 - c2.1",
        "u2.8 - c2.2",
        "u1.16 - u2.16",
        "u1.8 - u2.8",
        "u2.8 - u2.11",
        "u2.3 - u1.11",
        "u1.9 - u2.9",
        "u1.10 - u2.10",
        "u1.9 - port.3",
        "u1.10 - port.4",
        "u1.3 - port.2",
        "u1.8 - r17.1",
        "r17.2 - m1.gate",
        "m1.source - u2.8",
        "m1.drain - port.6",
        "u1.16 - r1.1",
    ]
    .map(str::to_owned)
    .to_vec();
    for at in 0..16 {
        let (chip, leg) = (1 + at / 8, inputs[at % 8]);
        joins.push(format!("u{chip}.{leg} - r{}.2", at + 1));
        let contact = if at < 15 { at + 1 } else { 1 };
        joins.push(format!("controller.{contact} - u{chip}.{leg}"));
        if at > 0 {
            joins.push(format!("r{at}.1 - r{}.1", at + 1));
        }
    }
    let mut bodies = vec![Body::Chip(ChipPart::Cd4021); 2];
    bodies.extend([Body::Capacitor(Capacitor { farads: Farads::literal(100e-9), tolerance: 0.2 }); 2]);
    bodies.extend([resistor(10_000.0, 0.05); 17]);
    bodies.push(Body::Transistor(TransistorPart::N2n7000));
    with_parts(stick_to_curlew(), EndId::Port, &bodies, &joins.join("\n"))
}

/// The multiplexer's lead with all parts in the port's hood.
pub fn select_at_the_port() -> Assembly {
    let mut assembly = stick_to_select();
    for part in &mut assembly.lead.parts {
        part.sits = EndId::Port;
    }
    assembly
}

/// A resistor and a transistor on a board, with two conductors: so few that all boards can be tried.
pub fn resistor_at_a_base() -> Assembly {
    with_parts(
        stick_to_curlew(),
        EndId::Port,
        &[resistor(4700.0, 0.05), Body::Transistor(TransistorPart::Bc547)],
        "controller.13 - r1.1
        r1.2 - q1.base
        q1.collector - port.6",
    )
}

/// The Heron stick to the Curlew, its fire turned round by a transistor on a board in the port's hood.
pub fn transistor_in_the_fire() -> Assembly {
    with_parts(
        stick_to_curlew(),
        EndId::Port,
        &[resistor(4700.0, 0.05), resistor(10_000.0, 0.05), Body::Transistor(TransistorPart::Bc547)],
        "controller.15 - port.1
        controller.7 - port.2
        controller.14 - port.3
        controller.6 - port.4
        controller.1 - port.8
        controller.13 - r1.1
        r1.2 - q1.base
        r2.1 - q1.base
        r2.2 - port.7
        q1.collector - port.6
        q1.emitter - port.8",
    )
}

/// A tangled lead with a chip in one of its hoods, some of whose legs are joined to whatever comes.
pub fn tangled_with_chip(seed: u64) -> Assembly {
    let mut assembly = tangled_with_parts(seed);
    let ends: Vec<EndId> = assembly.lead.ends.iter().map(|end| end.id).collect();
    let pick = |of: usize, salt: u64| {
        let mixed = seed.wrapping_mul(0x9e37_79b9_7f4a_7c15).rotate_left(17).wrapping_add(salt * 7919);
        usize::try_from(mixed % 1009).unwrap_or(0) % of
    };
    let chips = [ChipPart::Hc157, ChipPart::Hc00, ChipPart::Hc244, ChipPart::Cd4021];
    let sits = ends[pick(ends.len(), 1)];
    let chip = Part { number: 1, body: Body::Chip(chips[pick(chips.len(), 2)]), sits };
    let transistor = Part { number: 1, body: Body::Transistor(TransistorPart::N2n7000), sits };
    let legs: Vec<Leg> = assembly.lead.joins.iter().flat_map(|join| [join.from, join.to]).collect();
    for (part, salt) in [(chip, 3), (transistor, 400)] {
        for (contact, salt) in part.body.legs().zip(salt..).filter(|(_, salt)| pick(3, *salt) > 0) {
            let other = legs[pick(legs.len(), salt + 50)];
            assembly.lead.joins.push(Join::new(Leg::part(part.id(), contact), other));
        }
        assembly.lead.parts.push(part);
    }
    assembly.lead.settle();
    assembly
}

/// The leads with parts on boards.
pub fn with_boards() -> Vec<Assembly> {
    vec![stick_to_select(), select_at_the_port(), transistor_in_the_fire(), stick_through_buffer()]
}

/// The leads with parts.
pub fn with_parts_of_all_kinds() -> Vec<Assembly> {
    vec![diode_in_each_line(), one_button_on_two_fires(), one_cup_with_two_diodes(), resistors_in_series()]
}
