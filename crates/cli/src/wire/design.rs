//! Options, and what was refused.

use schemars::JsonSchema;
use serde::Serialize;
use solderside_design as domain;

use super::{FORMAT, Lead, Proof};

/// The answer of `design`.
#[derive(Debug, Serialize, JsonSchema)]
#[schemars(title = "Solderside: design")]
pub struct Design {
    #[schemars(extend("const" = FORMAT))]
    pub format: u8,
    /// The ways to build the lead, the best first.
    pub options: Vec<Choice>,
    /// The classes in which there is none.
    pub refused: Vec<Refusal>,
    /// Whether diodes and resistors were tried where wire is refused, and mend nothing.
    pub parts_mend_nothing: bool,
    /// The pads that were tried as donors and cannot serve.
    pub not_donors: Vec<NotADonor>,
    /// The file that the first option was saved in; null if it was not.
    pub saved: Option<String>,
}

/// A pad that was tried as a donor.
#[derive(Debug, Serialize, JsonSchema)]
pub struct NotADonor {
    /// Its name.
    pub pad: String,
    /// Why it cannot serve.
    pub why: String,
}

/// One way to build a lead.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Choice {
    /// What it is made of: `plain` is wire only, `parts` has diodes or resistors, `donor` ends in the port's
    /// own pad, opened.
    #[schemars(extend("enum" = ["plain", "parts", "donor", "logic"]))]
    pub class: &'static str,
    /// The actions that the default play map would give a control, and that this lead goes without.
    pub given_up: Vec<String>,
    #[serde(flatten)]
    pub proof: Proof,
    #[serde(flatten)]
    pub lead: Lead,
}

/// A class in which there is no lead.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Refusal {
    /// The class.
    #[schemars(extend("enum" = ["plain", "parts", "donor", "logic"]))]
    pub class: &'static str,
    /// The facts that forbid it together, none of which can be spared. Several entries of one class are
    /// conflicts of their own: each has to go.
    pub facts: Vec<String>,
    /// The nearest thing to a lead, with its findings. Not to be built.
    pub nearest: Choice,
}

impl Design {
    pub fn new(designs: &domain::Designs, saved: Option<String>) -> Self {
        let refusal = |refusal: &domain::Refusal| Refusal {
            class: refusal.class.as_str(),
            facts: refusal.facts.iter().map(|fact| fact.text.clone()).collect(),
            nearest: (&refusal.nearest).into(),
        };
        Self {
            format: FORMAT,
            options: designs.options.iter().map(Choice::from).collect(),
            parts_mend_nothing: designs.parts_mend_nothing,
            refused: designs.refused.iter().map(refusal).collect(),
            not_donors: designs.not_donors.iter().map(NotADonor::from).collect(),
            saved,
        }
    }
}

impl From<&domain::NotADonor> for NotADonor {
    fn from(tried: &domain::NotADonor) -> Self {
        Self { pad: tried.pad.clone(), why: tried.why.clone() }
    }
}

impl From<&domain::Choice> for Choice {
    fn from(choice: &domain::Choice) -> Self {
        Self {
            class: choice.class.as_str(),
            given_up: choice.given_up.iter().map(ToString::to_string).collect(),
            proof: (&choice.proof).into(),
            lead: (&choice.assembly).into(),
        }
    }
}
