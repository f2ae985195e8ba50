//! What keeps a command from its work: the input or the usage is wrong.

use solderside_lead::Unbuilt;
use solderside_profile::{Complaint, Failure, listed, render};

/// What is wrong, where, and how to mend it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Trouble {
    /// What is wrong, in one line.
    pub text: String,
    /// How to mend it; empty where the complaints say so.
    pub help: String,
    /// All mistakes of the files that take part.
    pub complaints: Vec<Complaint>,
}

impl Trouble {
    /// Something that is wrong, and how to mend it.
    pub fn new(text: impl Into<String>, help: impl Into<String>) -> Self {
        Self { text: text.into(), help: help.into(), complaints: Vec::new() }
    }

    /// Says that a command does not go with a lead that ends in a donor, and what to do instead.
    pub fn by_donor(what: &str, help: &str) -> Self {
        Self::new(format!("{what} of leads with a donor are not made"), help)
    }

    /// A word that nothing is called by, with those that may have been meant.
    pub fn unknown(text: String, nearest: &[String]) -> Self {
        let help = if nearest.is_empty() {
            "`solderside shelf` lists the names; `--shelf DIR` says where your own files are".to_owned()
        } else {
            format!("write {}", listed(nearest.iter().map(String::as_str), "or"))
        };
        Self::new(text, help)
    }

    /// What is wrong with a file that could not be read. Where there is no text, there is no line to show.
    pub fn file(complaint: Complaint) -> Self {
        let path = complaint.place.file.path();
        let text = format!("`{path}` cannot be used");
        if complaint.place.file.text().is_empty() {
            return Self::new(format!("{text}: {}", complaint.headline), complaint.help);
        }
        Self { complaints: vec![complaint], ..Self::new(text, "") }
    }

    /// Renders it for a terminal: each mistake with its line and a caret, then the whole.
    pub fn render(&self) -> String {
        let mut parts = Vec::new();
        if !self.complaints.is_empty() {
            parts.push(render(&self.complaints) + "\n");
        }
        parts.push(format!("error: {}", self.text));
        if !self.help.is_empty() {
            parts.push(format!("  = help: {}", self.help));
        }
        parts.join("\n") + "\n"
    }
}

impl From<Failure> for Trouble {
    fn from(failure: Failure) -> Self {
        let (text, help) = (failure.to_string(), failure.help().unwrap_or_default());
        match failure {
            Failure::Unknown { nearest, .. } => Self::unknown(text, &nearest),
            Failure::WrongKind { .. } => Self::new(text, help),
            Failure::Faulty { complaints, .. } => Self { text, help, complaints },
        }
    }
}

impl From<Unbuilt> for Trouble {
    fn from(unbuilt: Unbuilt) -> Self {
        Self::new(unbuilt.to_string(), "correct that value in the profile's file")
    }
}
