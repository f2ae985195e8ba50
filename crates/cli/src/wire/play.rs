//! A lead's play map, and what became of it.

use std::collections::BTreeMap;

use schemars::JsonSchema;
use serde::Serialize;

use super::proof::Finding;
use super::{FORMAT, Lead, Proof};

/// The answer of `play`.
#[derive(Debug, Serialize, JsonSchema)]
#[schemars(title = "Solderside: play")]
pub struct Play {
    #[schemars(extend("const" = FORMAT))]
    pub format: u8,
    /// The lead's name.
    pub lead: String,
    /// For each action the controls that perform it.
    pub play: BTreeMap<String, Vec<String>>,
    /// The file that was written; null if nothing was.
    pub written: Option<String>,
    /// What the lead with this map comes to; null if no change was asked for.
    pub proved: Option<Proved>,
}

/// What a lead comes to.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Proved {
    /// The verdict.
    #[schemars(extend("enum" = ["works", "thin", "unproved", "fails", "harms"]))]
    pub verdict: &'static str,
    /// What there is to say, the worst first.
    pub findings: Vec<Finding>,
}

impl Play {
    pub fn new(
        assembly: &solderside_lead::Assembly,
        written: Option<String>,
        proof: Option<&solderside_proof::Proof>,
    ) -> Self {
        let Lead { name, play, .. } = assembly.into();
        let proved = proof.map(|proof| {
            let Proof { verdict, findings, .. } = proof.into();
            Proved { verdict, findings }
        });
        Self { format: FORMAT, lead: name, play, written, proved }
    }
}
