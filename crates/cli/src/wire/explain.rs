//! The codes of findings.

use schemars::JsonSchema;
use serde::Serialize;

use super::FORMAT;

/// The answer of `explain`.
#[derive(Debug, Serialize, JsonSchema)]
#[schemars(title = "Solderside: explain")]
pub struct Explain {
    #[schemars(extend("const" = FORMAT))]
    pub format: u8,
    /// The codes that were asked for.
    pub codes: Vec<Explained>,
}

/// A code.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Explained {
    /// The code.
    pub code: &'static str,
    /// What it means, in a sentence.
    pub summary: String,
    /// The whole page, as Markdown.
    pub page: &'static str,
}
