//! Every controller against every port.

use schemars::JsonSchema;
use serde::Serialize;
use solderside_design as domain;

use super::FORMAT;
use super::proof::texts;
use crate::commands::Sides;

/// The answer of `atlas`.
#[derive(Debug, Serialize, JsonSchema)]
#[schemars(title = "Solderside: atlas")]
pub struct Atlas {
    #[schemars(extend("const" = FORMAT))]
    pub format: u8,
    /// Each pair, by the controller's name, then the port's.
    pub pairs: Vec<Pair>,
    /// Sockets where no lead belongs, which are in no pair.
    pub left_out: Vec<LeftOut>,
    /// Profiles with mistakes, which nobody could look at.
    pub unreadable: Vec<String>,
    /// The page that was written; null if none was asked for.
    pub written: Option<String>,
}

/// A controller and a port.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Pair {
    /// The controller's name.
    pub controller: String,
    /// The port's name.
    pub port: String,
    /// The best lead; null if there is none.
    pub lead: Option<Lead>,
    /// Why wire alone does not do all that is asked: the facts of each conflict, which forbid it together. Empty where
    /// wire does it.
    pub reasons: Vec<Vec<String>>,
    /// The command that tells all of the pair.
    pub command: String,
}

/// What the best lead of a pair comes to.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Lead {
    /// What its proof comes to.
    #[schemars(extend("enum" = ["works", "thin"]))]
    pub verdict: &'static str,
    /// What it is made of: `plain` is wire only, `parts` has diodes, resistors or a switch, `donor` ends in the port's own
    /// pad, opened, `logic` has chips.
    #[schemars(extend("enum" = ["plain", "parts", "donor", "logic"]))]
    pub class: &'static str,
    /// The pad in which it ends; null if it ends in the port.
    pub donor: Option<String>,
    /// How many diodes and resistors it has.
    pub parts: usize,
    /// Whether the port reads directions, and none is played.
    pub plays_no_direction: bool,
    /// The actions of the port that no control performs.
    pub actions_lost: Vec<String>,
    /// The controls that perform no action.
    pub controls_lost: Vec<String>,
    /// The axes of the port that no pot moves.
    pub axes_lost: Vec<String>,
    /// The axes of the controller's pots that move nothing.
    pub pots_lost: Vec<String>,
}

/// A socket where no lead belongs.
#[derive(Debug, Serialize, JsonSchema)]
pub struct LeftOut {
    /// Its name.
    pub name: String,
    /// What it is called on paper.
    pub title: String,
    /// What it is instead of a port.
    pub hazard: String,
}

impl Atlas {
    pub fn new(sides: &Sides, rows: &[Vec<domain::Square>], written: Option<String>) -> Self {
        let pairs = sides.controllers.iter().zip(rows).flat_map(|(controller, row)| {
            sides.ports.iter().zip(row).map(|(port, square)| Pair::new(&controller.name, &port.name, square))
        });
        let left_out = sides.left_out.iter().map(|port| LeftOut {
            name: port.name.clone(),
            title: port.title.clone(),
            hazard: port.hazard.clone().unwrap_or_default(),
        });
        Self {
            format: FORMAT,
            pairs: pairs.collect(),
            left_out: left_out.collect(),
            unreadable: sides.unreadable.clone(),
            written,
        }
    }
}

impl Pair {
    fn new(controller: &str, port: &str, square: &domain::Square) -> Self {
        Self {
            controller: controller.to_owned(),
            port: port.to_owned(),
            lead: square.best.as_ref().map(Lead::from),
            reasons: square.reasons.clone(),
            command: format!("solderside design {controller} {port}"),
        }
    }
}

impl From<&domain::Best> for Lead {
    fn from(best: &domain::Best) -> Self {
        Self {
            verdict: best.verdict.as_str(),
            class: best.class.as_str(),
            donor: best.donor.clone(),
            parts: best.parts,
            plays_no_direction: best.plays_no_direction,
            actions_lost: texts(&best.actions_lost),
            controls_lost: texts(&best.controls_lost),
            axes_lost: texts(&best.axes_lost),
            pots_lost: texts(&best.pots_lost),
        }
    }
}
