//! Logic chips by the name that is printed on them: their legs, what they do, and how fast.
//!
//! What a chip's inputs take for low and high and what its outputs can hold stands with its
//! [`LogicFamily`]; here stands what is the chip's own. The sheets are in `chip/sheets.rs`.

mod sheets;

use std::fmt;

use solderside_quantity::{Amps, Ohms, Seconds, Triple, Volts};

use crate::logic::LogicFamily;
use crate::source::{Source, Sourced};

/// A chip that is bought by this name.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum ChipPart {
    /// A quad 2:1 multiplexer, high-speed CMOS.
    Hc157,
    /// An 8-bit register, parallel in and serial out, that loads while its control is high.
    Cd4021,
}

/// What a chip's data sheet says.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ChipSheet {
    /// The name that is printed on it and written in files.
    pub name: &'static str,
    /// What it is, in a few words.
    pub what: &'static str,
    /// The family whose levels, loads, limits and clamps it has.
    pub family: LogicFamily,
    /// Its legs in the order of their numbers, the first being leg 1: a dual in-line package.
    pub legs: &'static [ChipLeg],
    /// What it does.
    pub blocks: &'static [Block],
    /// From an input to an output, and from a clock to an output, with the load that a lead is.
    pub delay: Sourced<Triple<Seconds>>,
    /// The supply on which all this holds.
    pub supply: Sourced<Triple<Volts>>,
    /// What it takes from the supply while its inputs stand still and nothing loads its outputs.
    pub supply_amps: Sourced<Triple<Amps>>,
    /// Where the legs and the function come from.
    pub source: Source,
}

/// One leg.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct ChipLeg {
    /// The sheet's name for it.
    pub name: &'static str,
    /// What it is for.
    pub role: LegRole,
}

/// What a leg is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LegRole {
    /// The positive supply.
    Supply,
    /// Ground, or the negative supply of an analogue switch.
    Ground,
    /// Reads a level.
    Input,
    /// Drives a level.
    Output,
    /// One side of a switch inside.
    Contact,
    /// Leads nowhere.
    Open,
}

/// A number of a leg, from 1.
pub type LegNumber = u8;

/// A thing that a chip does on its own: most chips do one thing several times.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Block {
    /// An output that follows from the inputs at once.
    Gate(Gate),
    /// Stages that take their inputs in parallel and pass them on one by one.
    Register(Register),
    /// A counter of falling or rising edges.
    Counter(Counter),
    /// A switch between two legs.
    Switch(Switch),
}

/// An output that follows from the inputs at once, by its function table.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Gate {
    /// The inputs, in the order of the table's columns.
    pub inputs: &'static [LegNumber],
    /// The output.
    pub output: LegNumber,
    /// The rows as sheets print them: a letter for each input, `H`, `L` or `X` for either, a space, and what
    /// the output does: `H`, `L` or `Z` for off. Rows that ask for the same inputs do not differ.
    pub rows: &'static [&'static str],
    /// What the output does in all other rows.
    pub otherwise: Drive,
}

/// What an output does.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Drive {
    /// Drives low.
    Low,
    /// Drives high.
    High,
    /// Is off.
    Off,
}

/// A register, parallel in and serial out.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Register {
    /// What goes into the first stage at a clock.
    pub serial: LegNumber,
    /// The parallel inputs, the first stage's first.
    pub parallel: &'static [LegNumber],
    /// The control that loads.
    pub load: LegNumber,
    /// The level of the control that loads.
    pub load_level: Drive,
    /// Whether it loads at a clock only; else as long as the control asks for it.
    pub load_at_clock: bool,
    /// The clocks: a rising edge of one while all others are low shifts.
    pub clocks: &'static [LegNumber],
    /// The outputs.
    pub outputs: &'static [StageOutput],
}

/// An output of a register or a counter.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct StageOutput {
    /// The leg.
    pub leg: LegNumber,
    /// The stage, counted from 0.
    pub stage: u8,
    /// Whether it shows the opposite.
    pub inverted: bool,
}

/// A binary counter.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Counter {
    /// What it counts.
    pub clock: LegNumber,
    /// Whether it counts falling edges; else rising ones.
    pub falling: bool,
    /// Sets it to zero while it is high.
    pub reset: LegNumber,
    /// How many stages it has, the first the fastest.
    pub stages: u8,
    /// The outputs.
    pub outputs: &'static [StageOutput],
}

/// A switch between two legs that an input closes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Switch {
    /// Its sides.
    pub sides: [LegNumber; 2],
    /// The input.
    pub control: LegNumber,
    /// The level that closes it.
    pub closed_at: Drive,
    /// Its resistance while closed, on a supply of 5 V.
    pub on: Sourced<Triple<Ohms>>,
    /// What it leaks while open, at most.
    pub off_amps: Sourced<Amps>,
}

impl ChipPart {
    /// All of them.
    pub const ALL: [Self; 2] = [Self::Hc157, Self::Cd4021];

    /// Its data sheet.
    #[must_use]
    pub const fn sheet(self) -> &'static ChipSheet {
        match self {
            Self::Hc157 => &sheets::HC157,
            Self::Cd4021 => &sheets::CD4021,
        }
    }

    /// The name that is printed on it and written in files.
    #[must_use]
    pub const fn name(self) -> &'static str {
        self.sheet().name
    }

    /// Finds the chip that a name names, in any case.
    #[must_use]
    pub fn parse(text: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|part| part.name().eq_ignore_ascii_case(text.trim()))
    }
}

impl ChipSheet {
    /// A leg by its number.
    #[must_use]
    pub fn leg(&self, number: LegNumber) -> Option<&ChipLeg> {
        self.legs.get(usize::from(number).checked_sub(1)?)
    }

    /// The legs with a role, in the order of their numbers.
    pub fn legs_for(&self, role: LegRole) -> impl Iterator<Item = LegNumber> {
        (1..).zip(self.legs).filter(move |(_, leg)| leg.role == role).map(|(number, _)| number)
    }
}

impl Gate {
    /// The rows, each with what it asks of the inputs (none: either) and what the output does then.
    pub fn rows(&self) -> impl Iterator<Item = (Vec<Option<bool>>, Drive)> {
        self.rows.iter().filter_map(|row| {
            let (asks, does) = row.split_once(' ')?;
            let asks = asks.chars().map(|letter| match letter {
                'H' => Some(true),
                'L' => Some(false),
                _ => None,
            });
            Some((asks.collect(), Drive::parse(does)?))
        })
    }
}

impl Drive {
    /// Reads a sheet's letter.
    #[must_use]
    pub fn parse(letter: &str) -> Option<Self> {
        match letter {
            "L" => Some(Self::Low),
            "H" => Some(Self::High),
            "Z" => Some(Self::Off),
            _ => None,
        }
    }
}

impl fmt::Display for ChipPart {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(self.name())
    }
}
