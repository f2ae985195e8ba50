//! What a command comes to: what is printed, and the exit code.

use std::process::ExitCode;

use serde::Serialize;
use solderside_proof::Verdict;

/// What is printed, and the exit code.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Answer {
    /// For standard output.
    pub output: String,
    /// For standard error.
    pub errors: String,
    /// The exit code.
    pub status: Status,
}

/// The exit codes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Status {
    /// All is well: 0.
    Sound,
    /// A `fail` or a `harm` was found, or nothing sound could be had: 1.
    Found,
    /// The input or the usage was wrong: 2.
    Wrong,
}

/// The answer of a command that went well, as text and for machines.
pub struct Reply {
    pub status: Status,
    pub text: String,
    pub json: String,
}

impl Reply {
    /// Puts both twins side by side.
    pub fn new(status: Status, text: impl Into<String>, wire: &impl Serialize) -> Self {
        Self { status, text: text.into(), json: json(wire) }
    }
}

/// Writes JSON the way people can read it too.
pub fn json(wire: &impl Serialize) -> String {
    let text = serde_json::to_string_pretty(wire).expect("wire types are made of texts, numbers and lists");
    text + "\n"
}

impl From<Verdict> for Status {
    fn from(verdict: Verdict) -> Self {
        if verdict.is_sound() { Self::Sound } else { Self::Found }
    }
}

impl From<Status> for ExitCode {
    fn from(status: Status) -> Self {
        match status {
            Status::Sound => Self::SUCCESS,
            Status::Found => Self::from(1),
            Status::Wrong => Self::from(2),
        }
    }
}
