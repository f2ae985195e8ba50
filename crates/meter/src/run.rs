//! A run of the meter test: what is asked, what was answered, and the file in which it can be left and taken up again.
//!
//! Nobody is asked anything here: answers come in, what to ask next goes out.

mod course;
mod evidence;
mod file;

use std::fmt;

use solderside_lead::Leg;
use solderside_profile::{Control, nearest, quoted};

use crate::ohms_text::{ParseReadingError, TypedReading};
use crate::reading::{Measurement, Range};

pub use self::course::{Course, CourseStep, Expected, Judged, Outcome, Part, Refused};
pub use self::file::{BuzzRun, read_run, run_schema, write_run};

/// What the meter is set to.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Setting {
    /// Resistance.
    Ohms,
    /// The diode range.
    Diode,
    /// DC volts.
    Volts,
}

/// One question of a run.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct Question {
    /// What the meter is set to.
    pub setting: Setting,
    /// Where the red probe goes.
    pub red: Leg,
    /// Where the black probe goes.
    pub black: Leg,
    /// What is held of the controller; none if it is not plugged in.
    pub held: Option<Vec<Control>>,
    /// Whether 1 kΩ lies across the probes.
    pub across: bool,
}

/// An answer.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Given {
    /// As a good lead reads.
    Right,
    /// What the meter shows.
    Reading(TypedReading),
}

/// A question with its answer.
#[derive(Debug, Clone, PartialEq)]
pub struct Record {
    /// What was asked.
    pub question: Question,
    /// What was answered.
    pub given: Given,
}

/// The word that stands for a reading as a good lead has it.
const RIGHT: &str = "right";

impl Given {
    /// Reads an answer: `right`, or a reading.
    ///
    /// # Errors
    /// Says what is wrong, and what to write instead.
    pub fn parse(text: &str) -> Result<Self, ParseReadingError> {
        let word = text.trim();
        if word.eq_ignore_ascii_case(RIGHT) {
            return Ok(Self::Right);
        }
        TypedReading::parse(text).map(Self::Reading).map_err(|error| match error {
            ParseReadingError::Unknown { found, near: None } => {
                let near = nearest(&found, [RIGHT]).map(str::to_owned);
                ParseReadingError::Unknown { found, near }
            }
            error @ (ParseReadingError::Missing
            | ParseReadingError::Unknown { .. }
            | ParseReadingError::Notation { .. }
            | ParseReadingError::Unit { .. }
            | ParseReadingError::Negative { .. }
            | ParseReadingError::TooMuch { .. }) => error,
        })
    }
}

impl fmt::Display for Given {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Right => f.pad(RIGHT),
            Self::Reading(reading) => reading.fmt(f),
        }
    }
}

impl Setting {
    /// All of them.
    pub const ALL: [Self; 3] = [Self::Ohms, Self::Diode, Self::Volts];

    /// The word of files and screens.
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::Ohms => Range::Ohms.as_str(),
            Self::Diode => Range::Diode.as_str(),
            Self::Volts => "volts",
        }
    }
}

impl From<&Measurement> for Question {
    fn from(measurement: &Measurement) -> Self {
        let Measurement { range, red, black, held } = measurement;
        let setting = match range {
            Range::Ohms => Setting::Ohms,
            Range::Diode => Setting::Diode,
        };
        Self { setting, red: *red, black: *black, held: held.clone(), across: false }
    }
}

/// The place of a file and the word that is wrong there.
pub(crate) fn unfit(given: &str, setting: Setting) -> String {
    format!("{} is no answer on the {} range", quoted(given), setting.as_str())
}
