//! What is joined to what in a cable, reading by reading.

use schemars::JsonSchema;
use serde::Serialize;
use solderside_meter::survey::{
    Bunch, Found, NoCable, Survey, SurveyHead, SurveyReading, Tail, UnknownCable, Way, Wiring,
};

use super::FORMAT;

/// The answer of `survey cable`.
#[derive(Debug, Serialize, JsonSchema)]
#[schemars(title = "Solderside: survey cable")]
pub struct SurveyedCable {
    #[schemars(extend("const" = FORMAT))]
    pub format: u8,
    /// The cable's name.
    pub cable: String,
    /// The connector that is moulded on.
    pub end: String,
    /// The connector at the other end; null if its cores are bare.
    pub other_end: Option<String>,
    /// What the points of the other end are called: cores by their letters, contacts by their numbers.
    pub points: Vec<String>,
    /// What was read, in its order.
    pub readings: Vec<Reading>,
    /// Where the probes go next; null if all is found.
    pub next: Option<[String; 2]>,
    /// About how many readings are left in a regular cable.
    pub readings_left: f64,
    /// The readings that no plan can do without.
    pub least_readings: usize,
    /// Where each contact of the moulded end goes.
    pub contacts: Vec<Contact>,
    /// Points of the other end that are joined to each other.
    pub joined: Vec<Vec<String>>,
    /// Contacts that end in one conductor.
    pub jumpers: Vec<Jumper>,
    /// Points of the other end for which no contact was found.
    pub nowhere: Vec<String>,
    /// How many pairs of points of the other end were not tried against each other.
    pub untried_pairs: usize,
    /// Readings of this session that were struck out, as they contradict each other.
    pub struck: Vec<Reading>,
    /// Lines of this session that were no readings.
    pub refused: Vec<Refused>,
    /// The run's file.
    pub run: String,
    /// The cable's file; null if there is none.
    pub written: Option<String>,
    /// Why there is no cable's file; null if there is one, or the survey is not finished.
    pub no_cable: Option<String>,
}

/// One reading.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Reading {
    /// What the probes touched.
    pub between: [String; 2],
    /// What was typed.
    pub reads: String,
    /// What that says of the way from probe to probe.
    #[schemars(extend("enum" = ["wire", "weak", "none"]))]
    pub way: &'static str,
}

/// Where a contact goes.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Contact {
    pub contact: String,
    /// `joined`, `nothing` (it was tried against everything), or `not-found`.
    #[schemars(extend("enum" = ["joined", "nothing", "not-found"]))]
    pub state: &'static str,
    /// The point that it goes to; null if none is known.
    pub to: Option<String>,
    /// The lowest that was read through it; null if only a buzzer was asked, or it goes nowhere.
    pub ohms: Option<f64>,
    /// Whether there is a way that is no sound conductor.
    pub weak: bool,
}

/// Contacts that end in one conductor.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Jumper {
    pub contacts: Vec<String>,
    pub conductor: Vec<String>,
}

/// A line that is no reading.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Refused {
    pub line: String,
    /// What is wrong with it, and what to write.
    pub why: String,
}

/// How a session ended.
pub struct SurveyEnd<'s> {
    pub run: String,
    pub written: &'s Result<String, NoCable>,
    pub struck: &'s [SurveyReading],
    pub refused: &'s [(String, String)],
}

impl SurveyedCable {
    pub fn new(head: &SurveyHead, survey: &Survey, found: &Found, end: &SurveyEnd<'_>) -> Self {
        let unknown = &head.unknown;
        let names = |bunch: &Bunch| bunch.iter().map(|far| unknown.name(*far)).collect();
        let readings = |readings: &[SurveyReading]| {
            readings.iter().map(|reading| Reading::new(unknown, reading)).collect()
        };
        let other_end = match &unknown.tail {
            Tail::Moulded(other) => Some(other.to_string()),
            Tail::Cores { .. } => None,
        };
        Self {
            format: FORMAT,
            cable: head.cable.clone(),
            end: unknown.end.to_string(),
            other_end,
            points: unknown.far().into_iter().map(|far| unknown.name(far)).collect(),
            readings: readings(survey.readings()),
            next: survey.next().map(|touch| unknown.words(&touch)),
            readings_left: survey.progress().readings_left.round(),
            least_readings: survey.least_readings(),
            contacts: found
                .contacts
                .iter()
                .map(|(contact, wiring)| Contact::new(unknown, contact.to_string(), wiring))
                .collect(),
            joined: found.shorts.iter().map(names).collect(),
            jumpers: (found.shared.iter())
                .map(|(points, contacts)| Jumper {
                    contacts: contacts.iter().map(ToString::to_string).collect(),
                    conductor: names(points),
                })
                .collect(),
            nowhere: found.nowhere.iter().map(|far| unknown.name(*far)).collect(),
            untried_pairs: found.untried_pairs,
            struck: readings(end.struck),
            refused: (end.refused.iter())
                .map(|(line, why)| Refused { line: line.clone(), why: why.clone() })
                .collect(),
            run: end.run.clone(),
            written: end.written.as_ref().ok().cloned(),
            no_cable: match end.written {
                Ok(_) | Err(NoCable::Unfinished) => None,
                Err(none) => Some(none.to_string()),
            },
        }
    }
}

impl Reading {
    fn new(unknown: &UnknownCable, reading: &SurveyReading) -> Self {
        let way = match reading.way {
            Way::Wire => "wire",
            Way::Weak => "weak",
            Way::None => "none",
        };
        Self { between: unknown.words(&reading.touch), reads: reading.reads.to_string(), way }
    }
}

impl Contact {
    fn new(unknown: &UnknownCable, contact: String, wiring: &Wiring) -> Self {
        let (state, to, ohms, weak) = match wiring {
            Wiring::To { far, ohms, is_weak } => {
                ("joined", Some(unknown.name(*far)), ohms.map(solderside_quantity::Ohms::get), *is_weak)
            }
            Wiring::Nothing => ("nothing", None, None, false),
            Wiring::NotFound => ("not-found", None, None, false),
        };
        Self { contact, state, to, ohms, weak }
    }
}
