//! Leads for a controller and a port: each option is proved, and what cannot be had is refused with
//! the facts that forbid it, of which none can be spared.
//!
//! This crate judges nothing itself: an option is one because `proof` says so.

mod facts;
mod plain;
mod wishes;

use solderside_lead::{Assembly, Unbuilt};
use solderside_profile::{Controller, Port};
use solderside_proof::{Proof, prove};

pub use facts::{Fact, FactKind};
pub use wishes::Wishes;

/// What a lead is made of.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Class {
    /// Wire only.
    Plain,
}

/// One way to build a lead.
#[derive(Debug, Clone, PartialEq)]
pub struct Choice {
    /// What it is made of.
    pub class: Class,
    /// The lead with what it is plugged into.
    pub assembly: Assembly,
    /// Its proof.
    pub proof: Proof,
}

/// One reason why there is no lead of a class.
#[derive(Debug, Clone, PartialEq)]
pub struct Refusal {
    /// The class.
    pub class: Class,
    /// The facts that forbid it together, what was asked last: these alone leave no lead, and without any one
    /// of them the others leave one.
    pub facts: Vec<Fact>,
    /// The nearest thing to a lead, with its findings.
    pub nearest: Choice,
}

/// All that was found.
#[derive(Debug, Clone, PartialEq)]
pub struct Designs {
    /// The ways to build it, the cheapest first.
    pub options: Vec<Choice>,
    /// Why there is none of a class: one entry for each conflict that stands in the way by itself.
    pub refused: Vec<Refusal>,
}

impl Class {
    /// The word of screens and files.
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::Plain => "plain",
        }
    }
}

impl std::fmt::Display for Class {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.pad(self.as_str())
    }
}

/// Designs leads from a controller to a port.
///
/// # Errors
/// Says which value of a profile cannot be an element of a circuit.
pub fn design(controller: &Controller, port: &Port, wishes: &Wishes) -> Result<Designs, Unbuilt> {
    let problem = plain::Problem::new(controller, port, wishes);
    let assembly = problem.best()?;
    let proof = prove(&assembly)?;
    let fits = problem.accepts(&assembly, &proof.findings, &proof.controls_lost);
    let choice = Choice { class: Class::Plain, assembly, proof };
    if fits {
        return Ok(Designs { options: vec![choice], refused: Vec::new() });
    }
    let refused = facts::conflicts(&problem, &choice)?
        .into_iter()
        .map(|facts| Refusal { class: Class::Plain, facts, nearest: choice.clone() })
        .collect();
    Ok(Designs { options: Vec::new(), refused })
}
