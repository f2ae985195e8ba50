//! Whether a lead works: every state that the controller's gate allows, every step of the machine's
//! reading, the whole box of tolerances, and with the return or the supply open.
//!
//! [`prove()`] takes an [`Assembly`](solderside_lead::Assembly) and gives a [`Proof`]: a verdict, the
//! findings with their codes, each action's worst readings, and the range over which the verdict holds.
//! [`fits()`] asks the same of the lead with other things plugged into it.
//!
//! This crate proposes nothing and draws nothing; it judges what it is given.

mod axes;
mod build;
mod cable;
mod cases;
mod chips;
mod clamps;
mod code;
mod conditions;
mod currents;
mod divider;
#[cfg(test)]
mod exhaustion;
mod feed;
mod finding;
mod fits;
mod forgetting;
mod holds;
mod limit;
mod line;
mod loads;
mod networks;
mod prove;
mod readings;
mod remedy;
mod rollover;
mod script;
mod search;
mod settings;
mod settling;
mod standing;
mod timing;
mod transistors;
mod truth;
mod voltages;
mod words;

pub use axes::{AxisProof, AxisTime, MovedBy, Position};
pub use code::{Code, explanation};
pub use finding::{Figure, Finding, Severity, Verdict};
pub use fits::{Fit, Fitting, Place, fits};
pub use holds::Holds;
pub use loads::Load;
pub use prove::{Judgement, Proof, judge, judge_while, prove, prove_briefly, prove_to_build};
pub use readings::{ActionProof, Worst};
pub use settings::SetProof;
pub use standing::Standing;
pub use timing::{LineKind, LineLevel, LineRead, Timing, TimingLine, TimingStep, answers, timing};
pub use truth::TruthRow;
