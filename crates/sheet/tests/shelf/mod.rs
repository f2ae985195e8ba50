//! Leads between the demo shelf's controllers and machines.

use solderside_lead::{Assembly, Join, Leg, default_map};
use solderside_profile::{Library, SourceFile};
use solderside_trade::ContactId;

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

/// The Heron pad to the Plover, with the supply where the return belongs.
pub fn pad_wrongly_to_plover() -> Assembly {
    lead("heron-pad", "plover", &[[13, 6], [5, 7], [1, 5], [8, 9]])
}

/// A lead with the four directions and these joins, contact by contact.
pub fn lead(controller: &str, port: &str, joins: &[[u8; 2]]) -> Assembly {
    let library = library();
    let controller = library.controller(controller).unwrap();
    let port = library.port(port).unwrap();
    let play = default_map(&controller, &port);
    let mut assembly = Assembly::between(controller, port, play);
    let join = |[from, to]: &[u8; 2]| {
        Join::new(Leg::controller(ContactId::Number(*from)), Leg::port(ContactId::Number(*to)))
    };
    assembly.lead.joins = DIRECTIONS.iter().chain(joins).map(join).collect();
    assembly.lead.settle();
    assembly
}

fn library() -> Library {
    Library::with_shelf(vec![
        SourceFile::new("heron-stick.toml", include_str!("../../../../demo/heron-stick.toml")),
        SourceFile::new("heron-pad.toml", include_str!("../../../../demo/heron-pad.toml")),
        SourceFile::new("curlew.toml", include_str!("../../../../demo/curlew.toml")),
        SourceFile::new("plover.toml", include_str!("../../../../demo/plover.toml")),
        SourceFile::new("teal.toml", include_str!("../../../../demo/teal.toml")),
    ])
}
