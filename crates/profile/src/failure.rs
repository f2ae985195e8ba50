//! Why a profile could not be had.

use crate::complaint::{Complaint, MOST, listed, quoted, render, settle};
use crate::heading::Kind;

/// Why a profile could not be had.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum Failure {
    /// Nothing has this name.
    #[error("no {wanted} is called {}", quoted(name))]
    Unknown {
        /// The name that was asked for.
        name: String,
        /// What it should have been.
        wanted: Kind,
        /// Names of that kind that may have been meant, the likeliest first.
        nearest: Vec<String>,
    },
    /// The name belongs to something else.
    #[error("{} is a {found}, expected a {wanted}", quoted(name))]
    WrongKind {
        /// The name that was asked for.
        name: String,
        /// What it should have been.
        wanted: Kind,
        /// What it is.
        found: Kind,
    },
    /// The file, or one that it starts from, has mistakes.
    #[error("{} has {}", quoted(name), mistakes(complaints.len()))]
    Faulty {
        /// The name that was asked for.
        name: String,
        /// All mistakes, in the order of their files and places.
        complaints: Vec<Complaint>,
    },
}

impl Failure {
    /// Takes a file's complaints, in the order of their places and each once.
    pub fn faulty(name: &str, complaints: Vec<Complaint>) -> Self {
        Self::Faulty { name: name.to_owned(), complaints: settle(name, complaints) }
    }

    /// Returns how to mend it, where the mistakes do not say so themselves.
    pub fn help(&self) -> Option<String> {
        match self {
            Self::Unknown { nearest, .. } if !nearest.is_empty() => {
                Some(format!("write {}", listed(nearest.iter().map(String::as_str), "or")))
            }
            Self::Unknown { wanted, .. } => {
                Some(format!("list the names of the catalogue and the shelf, and take a {wanted}'s"))
            }
            Self::WrongKind { wanted, .. } => Some(format!("give the name of a {wanted}")),
            Self::Faulty { .. } => None,
        }
    }

    /// Renders the failure as plain text, each mistake with its line and a caret.
    pub fn render(&self) -> String {
        match self {
            Self::Faulty { complaints, .. } => format!("{}\n\n{self}", render(complaints)),
            Self::Unknown { .. } | Self::WrongKind { .. } => {
                format!("error: {self}\n  = help: {}", self.help().unwrap_or_default())
            }
        }
    }
}

fn mistakes(count: usize) -> String {
    match count {
        1 => "1 mistake".to_owned(),
        MOST => format!("{MOST} mistakes and more; these are the first"),
        several => format!("{several} mistakes"),
    }
}
