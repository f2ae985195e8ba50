//! Where a fact comes from, and how much it is believed.

use solderside_trade::Evidence;

use crate::complaint::Complaint;
use crate::document::Table;
use crate::source::At;

/// The source of a contact's or a circuit's facts.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Fact {
    /// How much it is believed.
    pub evidence: Evidence,
    /// Where it was read, measured or heard.
    pub source: String,
}

/// What a table of a file says about its facts; what it leaves out comes from the file's top.
#[derive(Debug, Clone, Default)]
pub(crate) struct Statement {
    evidence: Option<At<Evidence>>,
    source: Option<At<String>>,
    /// Nobody else's evidence or source vouches for the facts here.
    closed: bool,
}

impl Statement {
    /// Reads `evidence` and `source`.
    pub(crate) fn read(table: &mut Table<'_>) -> Self {
        let words = Evidence::ALL.into_iter().map(|evidence| (evidence.as_str(), evidence));
        let evidence = table.key("evidence", "how much the facts here are believed").choice(words);
        let source =
            table.key("source", "where they were read, measured or heard: a title, or `from memory`").text();
        if let Some(stated) = &evidence
            && stated.value == Evidence::Published
            && !table.has("source")
        {
            let headline = "`published` stands without its `source`";
            table.complain(
                Complaint::new(stated.place.clone(), headline)
                    .help("add `source = \"…\"` with the title that it was read in")
                    .absence(),
            );
        }
        Self { evidence, source, closed: false }
    }

    /// Takes what is not said here from another statement.
    pub(crate) fn or(self, other: Self) -> Self {
        if self.closed {
            return self;
        }
        Self {
            evidence: self.evidence.or(other.evidence),
            source: self.source.or(other.source),
            closed: other.closed,
        }
    }

    /// Takes what is not said here from the top of its own file, and from nowhere else.
    pub(crate) fn within(&mut self, file: &Self) {
        *self = Self { closed: true, ..std::mem::take(self).or(file.clone()) };
    }

    /// Returns the fact, with the file's own statement for what is left out.
    pub(crate) fn fact(&self, default: &Self) -> Fact {
        let default = if self.closed { &Self::default() } else { default };
        let evidence = self.evidence.as_ref().or(default.evidence.as_ref());
        let source = self.source.as_ref().or(default.source.as_ref());
        Fact {
            // A file that says nothing is not evidence.
            evidence: evidence.map_or(Evidence::Assumed, |at| at.value),
            source: source.map_or_else(|| "no source given".to_owned(), |at| at.value.clone()),
        }
    }
}
