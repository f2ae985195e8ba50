//! The survey of a cable: which contact of a moulded end goes to which core or contact of the other, in few readings.
//!
//! Moulded leads lack cores and have colours of their own. A [`Survey`] holds what was read so far; it says what to
//! measure next, which readings contradict each other, and what was found. Nothing is concluded that was not
//! measured; what is likely only chooses the order.

mod choose;
mod file;
mod found;
mod known;
mod line;
mod unknown;

use solderside_profile::{Cable, CoreId};
use solderside_quantity::{Ohms, Seconds};
use solderside_trade::{ContactId, CoreColour};

pub use file::{SurveyHead, read_run, run_schema, take_up, write_run};
pub use found::{Found, NoCable, Wiring};
pub use line::{LineError, parse_line};
pub use unknown::{Bunch, Far, NotAPoint, Tail, Touch, UnknownCable};

use crate::ohms_text::TypedReading;
use choose::{Guess, choose, count, expected};
use known::{Known, contradicting};

/// A conductor reads less. 20 m of AWG 28, the longest cable that a file takes, have 4.3 Ω (`trade`), the probes' leads
/// up to 0.6 Ω (0.3 Ω each, common meters' manuals), and the contacts some tenths.
pub const WIRE_BELOW: Ohms = Ohms::literal(10.0);
/// No conductor reads more: that are fingers on both probes, or damp. From memory.
pub const NO_WIRE_FROM: Ohms = Ohms::literal(100_000.0);

/// What a reading says of the way from probe to probe.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Way {
    /// A sound conductor.
    Wire,
    /// A way, but no sound conductor: a bad crimp, a strand that is left.
    Weak,
    /// None.
    None,
}

impl Way {
    /// What a reading of the ohms range or the buzzer says.
    ///
    /// # Errors
    /// Refuses volts: a cable gives none.
    pub fn of(reads: TypedReading) -> Result<Self, NotOfACable> {
        match reads {
            TypedReading::Beep => Ok(Self::Wire),
            TypedReading::Ohms(ohms) if ohms < WIRE_BELOW => Ok(Self::Wire),
            TypedReading::Ohms(ohms) if ohms < NO_WIRE_FROM => Ok(Self::Weak),
            TypedReading::Open | TypedReading::NoBeep | TypedReading::Ohms(_) => Ok(Self::None),
            TypedReading::Volts(_) => Err(NotOfACable),
        }
    }
}

/// Says that a voltage stands where a cable was measured.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
#[error(
    "a cable gives no volts; unplug it at both ends, turn the meter to ohms, and write what it shows, such as `0.4` \
     or `open`"
)]
pub struct NotOfACable;

/// One reading of a survey.
#[derive(Debug, Clone, PartialEq)]
pub struct SurveyReading {
    /// Where the probes were.
    pub touch: Touch,
    /// What the meter showed.
    pub reads: TypedReading,
    /// What that says.
    pub way: Way,
}

impl SurveyReading {
    /// Puts a reading to where it was read.
    ///
    /// # Errors
    /// Refuses volts.
    pub fn new(touch: Touch, reads: TypedReading) -> Result<Self, NotOfACable> {
        Ok(Self { touch, reads, way: Way::of(reads)? })
    }
}

/// What became of a reading.
#[derive(Debug, Clone, PartialEq)]
pub enum Taken {
    /// It is kept.
    Kept,
    /// It contradicts earlier ones, which are struck out with it and will be asked for again.
    Contradicts(Vec<SurveyReading>),
}

/// A survey: the cable as it lies there, and what was read.
#[derive(Debug, Clone, PartialEq)]
pub struct Survey {
    unknown: UnknownCable,
    guess: Guess,
    readings: Vec<SurveyReading>,
    known: Known,
}

/// How far a survey is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Progress {
    /// The readings that were taken.
    pub readings: usize,
    /// The contacts of which all is known.
    pub contacts_known: usize,
    /// The contacts of the moulded end, with its shell.
    pub contacts: usize,
    /// About how many readings are left in a regular cable.
    pub readings_left: f64,
    /// About how long they take, by judgement.
    pub time_left: Seconds,
}

impl Survey {
    /// A survey that nothing was read for. The order of the cores in a cable that is said to be alike is tried
    /// first.
    pub fn new(unknown: UnknownCable, like: Option<&Cable>) -> Self {
        let guess = guess(&unknown, like);
        let known = Known::at_first(&unknown);
        Self { unknown, guess, readings: Vec::new(), known }
    }

    /// The cable as it lies there.
    pub const fn unknown(&self) -> &UnknownCable {
        &self.unknown
    }

    /// What was read, in its order.
    pub fn readings(&self) -> &[SurveyReading] {
        &self.readings
    }

    /// Takes a reading, or strikes out all that contradict each other with it.
    pub fn take(&mut self, reading: SurveyReading) -> Taken {
        self.readings.push(reading);
        if let Some(known) = Known::of(&self.unknown, &self.readings) {
            self.known = known;
            return Taken::Kept;
        }
        let struck = contradicting(&self.unknown, &self.readings);
        let (gone, kept): (Vec<_>, Vec<_>) =
            (0..).zip(std::mem::take(&mut self.readings)).partition(|(at, _)| struck.contains(at));
        self.readings = kept.into_iter().map(|(_, reading)| reading).collect();
        // What was left agreed before the last reading came, and still does without some of it.
        if let Some(known) = Known::of(&self.unknown, &self.readings) {
            self.known = known;
        }
        Taken::Contradicts(gone.into_iter().map(|(_, reading)| reading).collect())
    }

    /// Takes the last reading back.
    pub fn undo(&mut self) -> Option<SurveyReading> {
        let last = self.readings.pop()?;
        if let Some(known) = Known::of(&self.unknown, &self.readings) {
            self.known = known;
        }
        Some(last)
    }

    /// What to measure next; nothing when all is found.
    pub fn next(&self) -> Option<Touch> {
        choose(&self.unknown, &self.known, &self.guess)
    }

    /// How far it is.
    pub fn progress(&self) -> Progress {
        let settled = self.known.contacts.values().filter(|ending| ending.is_settled()).count();
        let (readings_left, seconds) = match self.next() {
            Some(_) => expected(&self.unknown, &self.known, &self.guess),
            None => (0.0, 0.0),
        };
        Progress {
            readings: self.readings.len(),
            contacts_known: settled,
            contacts: self.known.contacts.len(),
            readings_left,
            time_left: Seconds::new(seconds).unwrap_or(Seconds::ZERO),
        }
    }

    /// What was found so far.
    pub fn found(&self) -> Found {
        Found::of(&self.known, &self.readings)
    }

    /// The readings that no plan can be sure to do without, if the cores may be in any order: each contact needs one of its own, and all together must tell apart
    /// the ways in which the cores can be dealt out to the contacts (each reading has two answers).
    pub fn least_readings(&self) -> usize {
        let contacts = self.unknown.contacts().count();
        let cores = self.unknown.far().len();
        let (few, many) = (contacts.min(cores), contacts.max(cores));
        let bits: f64 = (0..few).map(|dealt| libm::log2(count(many - dealt))).sum();
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a few hundred at most")]
        let bits = libm::ceil(bits) as usize;
        contacts.max(bits)
    }
}

/// Where each contact probably ends: the shell in the drain or the other shell; straight through where both
/// ends are moulded, as most such cords are (judgement); as in the cable that is said to be alike, by the colours.
fn guess(unknown: &UnknownCable, like: Option<&Cable>) -> Guess {
    let far = unknown.far();
    let alike = like.and_then(|cable| {
        let end = cable.moulded.iter().find(|end| end.connector == unknown.end)?;
        Some((cable, end))
    });
    let of_colour = |colour: CoreColour| {
        let mut own = far.iter().filter(|far| unknown.colour(**far) == Some(colour));
        own.next().copied().filter(|_| own.next().is_none())
    };
    let guessed = |contact: ContactId| match (&unknown.tail, alike) {
        (Tail::Moulded(_), _) => Some(Far::Contact(contact)),
        (Tail::Cores { .. }, Some((cable, end))) => match end.contacts.get(&contact)? {
            CoreId::Drain => Some(Far::Core(CoreId::Drain)),
            core @ CoreId::Number(_) => of_colour(cable.colour(*core)?),
        },
        (Tail::Cores { .. }, None) => (contact == ContactId::Shell).then_some(Far::Core(CoreId::Drain)),
    };
    let pairs = unknown.contacts().filter_map(|contact| Some((contact, guessed(contact)?)));
    pairs.filter(|(_, own)| far.contains(own)).collect()
}
