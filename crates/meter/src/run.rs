//! A run of the meter test: what is asked, what was answered, and the file in which it can be left and taken up again.
//!
//! Nobody is asked anything here: answers come in, what to ask next goes out.

mod course;
mod evidence;
mod file;

use std::fmt;

use solderside_lead::{Assembly, Leg, PartId};
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
pub enum Question {
    /// What the meter shows.
    Reading(Probed),
    /// Whether this is done.
    Deed(Deed),
}

/// Something to do before anything farther is read.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Deed {
    /// The lead goes into the machine, which is switched on.
    PlugIn,
    /// A chip goes into its socket, with the lead unplugged; then the lead goes into the machine again.
    PressIn(PartId),
}

/// What is asked of the meter.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct Probed {
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
    /// Whether the chip at whose socket it is read sits in it by then.
    pub chip_in: bool,
}

/// An answer.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Given {
    /// As a good lead reads.
    Right,
    /// What was to be done is done.
    Done,
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

/// The word that says that something is done.
const DONE: &str = "done";

impl Given {
    /// Reads an answer: `right`, `done`, or a reading.
    ///
    /// # Errors
    /// Says what is wrong, and what to write instead.
    pub fn parse(text: &str) -> Result<Self, ParseReadingError> {
        let word = text.trim();
        if word.eq_ignore_ascii_case(RIGHT) {
            return Ok(Self::Right);
        }
        if word.eq_ignore_ascii_case(DONE) {
            return Ok(Self::Done);
        }
        TypedReading::parse(text).map(Self::Reading).map_err(|error| match error {
            ParseReadingError::Unknown { found, near: None } => {
                let near = nearest(&found, [RIGHT, DONE]).map(str::to_owned);
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
            Self::Done => f.pad(DONE),
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

impl Question {
    /// What is asked of the meter; none where something is to be done.
    pub const fn probed(&self) -> Option<&Probed> {
        match self {
            Self::Reading(probed) => Some(probed),
            Self::Deed(_) => None,
        }
    }
}

impl Deed {
    /// What to do, in sentences.
    pub fn told(self, assembly: &Assembly) -> String {
        match self {
            Self::PlugIn => {
                "Machine off, nothing plugged in at the lead's other side: put the probes, and the resistor where one is asked for, where the \
                 next reading is. Then plug the lead into the machine and switch it on."
                    .to_owned()
            }
            Self::PressIn(id) => {
                let part = assembly.lead.part(id);
                let name = part.map_or_else(|| id.to_string(), |part| format!("{id} ({})", part.body));
                format!(
                    "Switch off and unplug the lead. Touch earthed metal, then press {name} into its socket: its notch at the \
                     socket's notch, every leg in its hole and none bent under. Turned round it gets its supply the wrong way, \
                     and is dead. Plug the lead into the machine, nothing at its other side, and switch on. If the chip grows \
                     warm to a finger in half a minute: switch off, and leave the test."
                )
            }
        }
    }

    /// Reads what a file says was done.
    fn parse(text: &str) -> Option<Self> {
        match text.split_whitespace().collect::<Vec<_>>().as_slice() {
            ["plug-in"] => Some(Self::PlugIn),
            // A part is named by any of its legs.
            ["press-in", part] => {
                let id = format!("{part}.1").parse::<Leg>().ok()?.part_id()?;
                matches!(id, PartId::Chip(_)).then_some(Self::PressIn(id))
            }
            _ => None,
        }
    }
}

impl fmt::Display for Deed {
    /// As files and scripts have it.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::PlugIn => f.write_str("plug-in"),
            Self::PressIn(part) => write!(f, "press-in {part}"),
        }
    }
}

impl From<&Measurement> for Probed {
    fn from(measurement: &Measurement) -> Self {
        let Measurement { range, red, black, held } = measurement;
        let setting = match range {
            Range::Ohms => Setting::Ohms,
            Range::Diode => Setting::Diode,
        };
        Self { setting, red: *red, black: *black, held: held.clone(), across: false, chip_in: false }
    }
}

/// The place of a file and the word that is wrong there.
pub(crate) fn unfit(given: &str, setting: Setting) -> String {
    format!("{} is no answer on the {} range", quoted(given), setting.as_str())
}
