//! A lead as it may really have been soldered: faults as changes to its circuit, what a meter then reads
//! between any two of its cups, the shortest plan that finds every fault, diagnosis, and the survey of a cable.
//!
//! This crate asks nobody anything and touches no file: readings come in, what to do next goes out. What a meter shows
//! and what the machine does follow from the same circuit that `proof` judges.

mod bench;
mod benches;
mod build;
mod cover;
mod diagnosis;
mod evidence;
mod fault;
mod machine;
mod nets;
mod ohms_text;
mod plan;
mod powered;
mod reading;
mod run;
pub mod survey;
mod universe;
mod weights;

pub use bench::Bench;
pub use benches::Benches;
pub use diagnosis::{Case, Clue, Contradiction, Evidence, Explanation, Test, TestKind, Way, Weighs};
pub use evidence::ParseEvidenceError;
pub use fault::{Fault, FaultKind, Tip};
pub use machine::Deeds;
pub use ohms_text::{ParseReadingError, TypedReading};
pub use plan::{
    Behind, ControlStep, Controls, Danger, Found, Hidden, Hint, Plan, PlanStep, Pointer, UNSEEN,
    before_controls, before_measuring, before_power,
};
pub use powered::{
    ACROSS, FedChip, PluggedIn, Powered, PoweredChip, PoweredLine, PoweredSupply, STEADY, fed_chips, feeds,
    home, reached,
};
pub use reading::{Buzz, FIGURES, Figure, Measurement, OPEN_FROM, Range, Span};
pub use run::{
    BuzzRun, Course, CourseStep, Deed, Expected, Given, Judged, Outcome, Part, Probed, Question, Record,
    Refused, Setting, read_run, run_schema, write_run,
};
pub use universe::{rare, universe};
pub use weights::Weights;
