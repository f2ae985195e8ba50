//! What a chip does, block by block.

use solderside_quantity::{Amps, Ohms, Triple};

use crate::source::Sourced;

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
