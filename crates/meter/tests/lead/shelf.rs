//! Leads between the demo shelf's controllers and machines, and leads of any joins between them.

use std::path::Path;

use solderside_lead::{Assembly, Join, Leg, default_map, read_lead};
use solderside_profile::{Library, SourceFile};
use solderside_trade::ContactId;

fn text(path: &str) -> String {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo").join(path);
    #[expect(clippy::disallowed_methods, reason = "tests read the demo's files")]
    std::fs::read_to_string(&path).unwrap_or_else(|error| panic!("{}: {error}", path.display()))
}

fn library(names: &[&str]) -> Library {
    let files =
        names.iter().map(|name| SourceFile::new(format!("{name}.toml"), text(&format!("{name}.toml"))));
    Library::with_shelf(files.collect())
}

/// A lead between two of the demo's shelf, with joins such as `15-1`, the controller's contact first.
pub fn lead(controller: &str, port: &str, joins: &str) -> Assembly {
    let library = library(&[controller, port]);
    let controller = library.controller(controller).unwrap();
    let port = library.port(port).unwrap();
    let play = default_map(&controller, &port);
    let mut assembly = Assembly::between(controller, port, play);
    for join in joins.split_whitespace() {
        let (from, to) = join.split_once('-').unwrap();
        let [from, to] = [from, to].map(|contact| ContactId::parse(contact).unwrap());
        assembly.lead.joins.push(Join::new(Leg::controller(from), Leg::port(to)));
    }
    assembly.lead.settle();
    assembly
}

/// One of the demo's leads that were written by hand.
pub fn written(name: &str, shelf: &[&str]) -> Assembly {
    let file = SourceFile::new(format!("{name}.toml"), text(&format!("leads/{name}.toml")));
    read_lead(&file, &library(shelf)).unwrap_or_else(|failure| panic!("{}", failure.render()))
}

/// The Heron stick to the Plover: seven conductors.
pub fn stick_to_plover() -> Assembly {
    lead("heron-stick", "plover", "15-1 7-2 14-3 6-4 13-6 5-7 1-9")
}

/// A lead of the catalogue's files, in the words of a person.
pub fn from_text(text: &str, shelf: &[&str]) -> Assembly {
    let file = SourceFile::new("lead.toml", text);
    read_lead(&file, &library(shelf)).unwrap_or_else(|failure| panic!("{}", failure.render()))
}
