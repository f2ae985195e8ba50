//! A lead as it may really have been soldered: faults as changes to its circuit, what a meter then reads
//! between any two of its cups, the shortest plan that finds every fault, diagnosis, and the survey of a cable.
//!
//! This crate asks nobody anything and touches no file: readings come in, what to do next goes out. What a meter shows
//! and what the machine does follow from the same circuit that `proof` judges.

mod ohms_text;
pub mod survey;

pub use ohms_text::{ParseReadingError, TypedReading};
