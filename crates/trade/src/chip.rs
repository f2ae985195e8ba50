//! Logic chips by the name that is printed on them: their legs, what they do, and how fast.
//!
//! What a chip's inputs take for low and high, and what its clamps survive, stands with its [`LogicFamily`];
//! here stands what is the chip's own. The sheets are in `chip/sheets`, a file for each kind of chip.

mod block;
mod output;
mod sheets;

use std::fmt;

use solderside_quantity::{Amps, Farads, Seconds, Triple, Volts};

pub use self::block::{Block, Counter, Drive, Gate, LegNumber, Register, StageOutput, Switch};
pub use self::output::ChipOutput;
use crate::logic::{Levels, LogicFamily};
use crate::source::{Source, Sourced};

/// A chip that is bought by this name.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum ChipPart {
    /// A quad 2:1 multiplexer, high-speed CMOS.
    Hc157,
    /// The same with TTL levels.
    Hct157,
    /// The same in low-power Schottky TTL.
    Ls157,
    /// An 8-bit register, parallel in and serial out, that loads while its control is low.
    Hc165,
    /// An 8-bit register, parallel in and serial out, that loads while its control is high.
    Cd4021,
    /// An 8-bit register, parallel in and serial out, that loads at a clock.
    Cd4014,
    /// A quad tri-state buffer with an enable each, high-speed CMOS.
    Hc125,
    /// The same with TTL levels.
    Hct125,
    /// A dual quad tri-state buffer, high-speed CMOS.
    Hc244,
    /// The same with TTL levels.
    Hct244,
    /// A hex inverter, high-speed CMOS.
    Hc04,
    /// The same with TTL levels.
    Hct04,
    /// A hex inverter with open-drain outputs.
    Hc05,
    /// A quad NAND, high-speed CMOS.
    Hc00,
    /// The same with TTL levels.
    Hct00,
    /// A quad NAND with open-drain outputs.
    Hc03,
    /// A quad analogue switch, high-speed CMOS.
    Hc4066,
    /// A quad analogue switch of the 4000 series.
    Cd4066,
    /// A dual 4-bit binary counter.
    Hc393,
    /// A 1-of-10 decoder with open-collector outputs.
    Ls145,
}

/// What a chip's data sheet says.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ChipSheet {
    /// The name that is printed on it and written in files.
    pub name: &'static str,
    /// What it is, in a few words.
    pub what: &'static str,
    /// The family whose input levels, loads and clamps it has.
    pub family: LogicFamily,
    /// The share of the supply at or below which its inputs surely read low, where that is less than the
    /// family's.
    pub low_share: Option<Sourced<f64>>,
    /// Its legs in the order of their numbers, the first being leg 1: a dual in-line package.
    pub legs: &'static [ChipLeg],
    /// What it does.
    pub blocks: &'static [Block],
    /// What its outputs can hold; none where it has no outputs.
    pub output: Option<ChipOutput>,
    /// From an input to an output, and from a clock to the last output, on 4.5 V to 5 V into the sheet's load
    /// of 50 pF or less; what a cable adds is the output's resistance times its capacitance.
    pub delay: Sourced<Triple<Seconds>>,
    /// What its clocks ask for, where it has any.
    pub clocking: Option<Clocking>,
    /// The supply on which all this holds.
    pub supply: Sourced<Triple<Volts>>,
    /// What it takes from the supply while its inputs stand still at the rails and nothing loads its outputs.
    pub supply_amps: Sourced<Triple<Amps>>,
    /// What one of its legs adds to the capacitance of a net.
    pub leg_farads: Sourced<Triple<Farads>>,
    /// Where the legs and the function come from.
    pub source: Source,
}

/// What the clocks of a register or a counter ask for, each the least that every part is content with.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Clocking {
    /// How long an input, and the end of a load or reset, comes before a clock's edge; and a parallel input
    /// before the end of a load.
    pub set_up: Sourced<Seconds>,
    /// How long an input stays after it.
    pub hold: Sourced<Seconds>,
    /// How long a clock stands high, and low, and how long a load or reset lasts.
    pub pulse: Sourced<Seconds>,
    /// From one edge to the next of its kind: one by the greatest clock frequency.
    pub period: Sourced<Seconds>,
}

/// One leg.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct ChipLeg {
    /// The sheet's name for it.
    pub name: &'static str,
    /// What it is for.
    pub role: LegRole,
    /// How many inputs of its family it draws as much as; 1 for all that are no double inputs.
    pub loads: u8,
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

impl ChipPart {
    /// All of them.
    pub const ALL: [Self; 20] = [
        Self::Hc157,
        Self::Hct157,
        Self::Ls157,
        Self::Hc165,
        Self::Cd4021,
        Self::Cd4014,
        Self::Hc125,
        Self::Hct125,
        Self::Hc244,
        Self::Hct244,
        Self::Hc04,
        Self::Hct04,
        Self::Hc05,
        Self::Hc00,
        Self::Hct00,
        Self::Hc03,
        Self::Hc4066,
        Self::Cd4066,
        Self::Hc393,
        Self::Ls145,
    ];

    /// Its data sheet.
    #[must_use]
    pub const fn sheet(self) -> &'static ChipSheet {
        match self {
            Self::Hc157 => &sheets::HC157,
            Self::Hct157 => &sheets::HCT157,
            Self::Ls157 => &sheets::LS157,
            Self::Hc165 => &sheets::HC165,
            Self::Cd4021 => &sheets::CD4021,
            Self::Cd4014 => &sheets::CD4014,
            Self::Hc125 => &sheets::HC125,
            Self::Hct125 => &sheets::HCT125,
            Self::Hc244 => &sheets::HC244,
            Self::Hct244 => &sheets::HCT244,
            Self::Hc04 => &sheets::HC04,
            Self::Hct04 => &sheets::HCT04,
            Self::Hc05 => &sheets::HC05,
            Self::Hc00 => &sheets::HC00,
            Self::Hct00 => &sheets::HCT00,
            Self::Hc03 => &sheets::HC03,
            Self::Hc4066 => &sheets::HC4066,
            Self::Cd4066 => &sheets::CD4066,
            Self::Hc393 => &sheets::HC393,
            Self::Ls145 => &sheets::LS145,
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

    /// The levels of its inputs on a supply.
    #[must_use]
    pub fn levels_at(&self, supply: Triple<Volts>) -> Levels {
        let levels = self.family.levels_at(supply);
        match self.low_share {
            Some(share) => {
                let low_guaranteed = Sourced::new(supply.low() * share.value, share.source);
                Levels { low_guaranteed, ..levels }
            }
            None => levels,
        }
    }
}

impl fmt::Display for ChipPart {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(self.name())
    }
}

#[cfg(test)]
mod tests;
