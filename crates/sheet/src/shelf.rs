//! Leads between the demo shelf's controllers and machines.

use solderside_lead::{Assembly, End, EndId, Join, Leg, default_map};
use solderside_profile::{Cable, Library, SourceFile};
use solderside_trade::{Connector, ContactId, Family, Gender};

const DIRECTIONS: [[u8; 2]; 4] = [[15, 1], [7, 2], [14, 3], [6, 4]];

/// The Heron stick to the Plover: seven conductors, two fires.
pub fn stick_to_plover() -> Assembly {
    lead("heron-stick", "plover", &[[13, 6], [5, 7], [1, 9]])
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
        SourceFile::new("heron-pad.toml", include_str!("../../../demo/heron-pad.toml")),
        SourceFile::new("curlew.toml", include_str!("../../../demo/curlew.toml")),
        SourceFile::new("plover.toml", include_str!("../../../demo/plover.toml")),
        SourceFile::new("teal.toml", include_str!("../../../demo/teal.toml")),
    ])
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
        end.connector = Connector { family: Family::ALL[below(3)], gender: Gender::ALL[below(2)] };
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
