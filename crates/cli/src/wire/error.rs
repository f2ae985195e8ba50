//! What went wrong.

use schemars::JsonSchema;
use serde::Serialize;
use solderside_profile::Complaint;

use super::FORMAT;
use crate::trouble::Trouble;

/// The answer of a command that could not do its work.
#[derive(Debug, Serialize, JsonSchema)]
#[schemars(title = "Solderside: error")]
pub struct ErrorAnswer {
    #[schemars(extend("const" = FORMAT))]
    pub format: u8,
    /// What went wrong.
    pub error: Error,
}

/// What went wrong, and how to mend it.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Error {
    /// What is wrong, in one line.
    pub text: String,
    /// How to mend it; empty where the complaints say so.
    pub help: String,
    /// All mistakes of the files that take part.
    pub complaints: Vec<Mistake>,
}

/// A mistake in a file.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Mistake {
    /// The file's path.
    pub file: String,
    /// The line, from 1.
    pub line: usize,
    /// The column in characters, from 1.
    pub column: usize,
    /// What is wrong.
    pub headline: String,
    /// How to mend it.
    pub help: String,
}

impl From<&Trouble> for ErrorAnswer {
    fn from(trouble: &Trouble) -> Self {
        let Trouble { text, help, complaints } = trouble;
        let complaints = complaints.iter().map(Mistake::from).collect();
        Self { format: FORMAT, error: Error { text: text.clone(), help: help.clone(), complaints } }
    }
}

impl From<&Complaint> for Mistake {
    fn from(complaint: &Complaint) -> Self {
        Self {
            file: complaint.place.file.path().to_owned(),
            line: complaint.place.line(),
            column: complaint.place.column(),
            headline: complaint.headline.clone(),
            help: complaint.help.clone(),
        }
    }
}
