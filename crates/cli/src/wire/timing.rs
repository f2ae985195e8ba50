//! A run of the machine's reading, line by line.

use std::collections::BTreeMap;

use schemars::JsonSchema;
use serde::Serialize;
use solderside_lead::Setting;
use solderside_profile::Control;

use super::FORMAT;
use super::proof::AxisProof;

/// The answer of `timing`.
#[derive(Debug, Serialize, JsonSchema)]
#[schemars(title = "Solderside: timing")]
pub struct Timing {
    #[schemars(extend("const" = FORMAT))]
    pub format: u8,
    /// The lead's name.
    pub lead: String,
    /// Where each switch of the lead stands, and what is plugged into a lead for two controllers.
    pub stands: BTreeMap<String, String>,
    /// The controls that are pressed.
    pub pressed: Vec<String>,
    /// The steps of the machine's reading.
    pub steps: Vec<Step>,
    /// The lines: those that the machine drives, the outputs of chips on the way, those that it reads.
    pub lines: Vec<Line>,
    /// The axes, whatever is pressed: they are measured by their times and not in a step.
    pub axes: Vec<AxisProof>,
    /// The file that was written; null if nothing was.
    pub written: Option<String>,
}

/// One step of the machine's reading.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Step {
    /// Its name.
    pub name: String,
    /// How long the machine waits before it reads, in seconds: least, typical, most; null if nobody knows.
    pub hold_seconds: Option<[f64; 3]>,
}

/// A line over all steps.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Line {
    /// Where it is seen.
    pub leg: String,
    /// What is there.
    pub function: String,
    /// What it is to the machine.
    #[schemars(extend("enum" = ["driven", "output", "read"]))]
    pub kind: &'static str,
    /// Its settled level in each step: `low`, `high`, `let-go` or `unknown`.
    pub levels: Vec<&'static str>,
    /// What the machine reads from it in each step; null where it does not.
    pub reads: Vec<Option<Read>>,
}

/// What the machine reads.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Read {
    /// The action that it reads; null where it expects a fixed level.
    pub action: Option<String>,
    /// Whether the action is read as pressed, or the level is the expected one; null if neither is certain.
    pub answer: Option<bool>,
}

impl Timing {
    pub fn new(
        lead: &str,
        setting: &Setting,
        timing: &solderside_proof::Timing,
        written: Option<String>,
    ) -> Self {
        let steps = timing.steps.iter().map(|step| Step {
            name: step.name.clone(),
            hold_seconds: step
                .hold
                .map(|hold| [hold.low(), hold.typical(), hold.high()].map(solderside_quantity::Seconds::get)),
        });
        let lines = timing.lines.iter().map(|line| Line {
            leg: line.leg.to_string(),
            function: line.function.clone(),
            kind: line.kind.as_str(),
            levels: line.levels.iter().map(|level| level.as_str()).collect(),
            reads: line
                .reads
                .iter()
                .map(|read| {
                    read.as_ref().map(|read| Read {
                        action: read.action.as_ref().map(ToString::to_string),
                        answer: read.answer,
                    })
                })
                .collect(),
        });
        Self {
            format: FORMAT,
            lead: lead.to_owned(),
            stands: setting.stands().map(|stand| (stand.called, stand.position)).collect(),
            pressed: timing.pressed.iter().map(Control::to_string).collect(),
            steps: steps.collect(),
            lines: lines.collect(),
            axes: timing.axes.iter().map(AxisProof::from).collect(),
            written,
        }
    }
}
