//! What stands at the top of every file: format, kind, title, descent.

use crate::document::Table;
use crate::source::At;
use crate::word::is_kebab;

/// The newest format of files that is read.
pub const FORMAT: i64 = 1;

/// What a file describes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Kind {
    /// What the player holds.
    Controller,
    /// The connector on the machine, and how the machine reads it.
    Port,
    /// What the conductors of a lead run in.
    Cable,
    /// The parts that somebody has.
    Drawer,
    /// What is built between a controller and a port.
    Lead,
    /// The readings of a lead's meter test.
    BuzzRun,
}

impl Kind {
    /// All kinds.
    pub const ALL: [Self; 6] =
        [Self::Controller, Self::Port, Self::Cable, Self::Drawer, Self::Lead, Self::BuzzRun];

    /// Returns the word of files and screens.
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::Controller => "controller",
            Self::Port => "port",
            Self::Cable => "cable",
            Self::Drawer => "drawer",
            Self::Lead => "lead",
            Self::BuzzRun => "buzz-run",
        }
    }

    /// Returns the kind that a word stands for.
    pub fn parse(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|kind| kind.as_str() == word)
    }
}

impl std::fmt::Display for Kind {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.pad(self.as_str())
    }
}

/// Where a profile comes from.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Origin {
    /// It ships in the binary.
    Catalogue,
    /// It is a file of the user's, at this path.
    Shelf(String),
}

/// The keys that all files share.
#[derive(Debug)]
pub struct Heading {
    /// What the thing is called on paper.
    pub title: Option<At<String>>,
    /// The profile that this one starts from.
    pub like: Option<At<String>>,
}

/// Reads `format`, `kind` and `title`, all files' first keys.
///
/// A file that is not of this kind is a complaint here; callers that need the kind to choose a
/// reader ask the library first.
pub fn heading(table: &mut Table<'_>, kind: Kind) -> Heading {
    table.key("format", "the number of the file format").version(FORMAT);
    table.key("kind", "what the file describes").choice([(kind.as_str(), kind)]);
    let title = table.key("title", "what it is called on paper; the file's name if absent").text();
    Heading { title, like: None }
}

/// Reads the heading of a profile, which may start from another one with `like`.
pub(crate) fn profile_heading(table: &mut Table<'_>, kind: Kind) -> Heading {
    let heading = heading(table, kind);
    let like = table
        .key("like", "the profile that this one starts from; keys here replace those there")
        .name(|name| is_kebab(name).then(|| name.to_owned()));
    Heading { like, ..heading }
}
