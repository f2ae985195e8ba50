//! The list of what there is.

use schemars::JsonSchema;
use serde::Serialize;

use super::{FORMAT, Mistake};

/// The answer of `shelf`.
#[derive(Debug, Serialize, JsonSchema)]
#[schemars(title = "Solderside: shelf")]
pub struct Shelf {
    #[schemars(extend("const" = FORMAT))]
    pub format: u8,
    /// The shelf's folder; null if there is none.
    pub shelf: Option<String>,
    /// Controllers, ports, cables and leads, by name.
    pub entries: Vec<Entry>,
}

/// A controller, a port, a cable or a lead.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Entry {
    /// The name by which it is asked for.
    pub name: String,
    /// What it is; null if its file is too faulty to tell.
    #[schemars(extend("enum" = ["controller", "port", "cable", "drawer", "lead", "buzz-run", null]))]
    pub kind: Option<&'static str>,
    /// What it is called on paper.
    pub title: String,
    /// The profile that it starts from.
    pub like: Option<String>,
    /// What this socket is instead, if it is none for a controller; else null.
    pub hazard: Option<String>,
    /// The path of its file; null if it ships with the program.
    pub file: Option<String>,
    /// What is wrong with its file.
    pub complaints: Vec<Mistake>,
}
