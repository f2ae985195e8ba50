//! What a guide was written of, and where.

use schemars::JsonSchema;
use serde::Serialize;

use super::proof::Finding;
use super::{FORMAT, Proof};

/// The answer of `guide`.
#[derive(Debug, Serialize, JsonSchema)]
#[schemars(title = "Solderside: guide")]
pub struct Guide {
    #[schemars(extend("const" = FORMAT))]
    pub format: u8,
    /// The lead's name.
    pub lead: String,
    /// What its proof comes to.
    #[schemars(extend("enum" = ["works", "thin", "unproved", "fails", "harms"]))]
    pub verdict: &'static str,
    /// The files that were written; none if the lead is not sound.
    pub written: Vec<String>,
    /// What there is to say of the lead, the worst first.
    pub findings: Vec<Finding>,
}

impl Guide {
    pub fn new(lead: &str, proof: &solderside_proof::Proof, written: Vec<String>) -> Self {
        let Proof { verdict, findings, .. } = proof.into();
        Self { format: FORMAT, lead: lead.to_owned(), verdict, written, findings }
    }
}
