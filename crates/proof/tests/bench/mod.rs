//! Small shelves for tests: profiles and leads as the files that a person would write.

use solderside_lead::{Assembly, read_lead};
use solderside_profile::{Library, SourceFile};

/// The class of stick that the catalogue has.
pub const STICK: &str = "fifteen-pin-stick";

/// Reads the lead of a small shelf, with joins such as `13-6`, the controller's contact first.
pub fn lead<'j>(
    shelf: &[(&str, &str)],
    [controller, port]: [&str; 2],
    joins: impl IntoIterator<Item = &'j str>,
    rest: &str,
) -> Assembly {
    let joins = joins.into_iter().map(|join| {
        let (from, to) = join.split_once('-').expect("a join has two ends");
        format!("\"controller.{from} - port.{to}\"")
    });
    let joins = joins.collect::<Vec<_>>().join(", ");
    let text = format!(
        "format = 1\nkind = \"lead\"\ncontroller = \"{controller}\"\nport = \"{port}\"\njoins = [{joins}]\n{rest}"
    );
    let files = shelf.iter().map(|(name, text)| SourceFile::new(format!("{name}.toml"), *text));
    let library = Library::with_shelf(files.collect());
    read_lead(&SourceFile::new("lead.toml", text), &library)
        .unwrap_or_else(|failure| panic!("{}", failure.render()))
}
