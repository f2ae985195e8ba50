//! Logic families: what an input takes for low and high, and what an output can hold.
//!
//! All at 5 V nominal. The figures stand in `logic/table.rs`, a row for each family.

mod table;

use std::fmt;

use solderside_quantity::{Amps, Ohms, Triple, Volts};

use self::table::{Row, Thresholds};
use crate::source::Sourced;

pub use self::table::LS_COMMON_INPUT_LOW;

/// A family of inputs and outputs with one set of levels.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum LogicFamily {
    /// 5 V TTL levels with the loads of low-power Schottky (LS) parts.
    Ttl,
    /// High-speed CMOS with CMOS levels.
    Hc,
    /// High-speed CMOS with TTL levels.
    Hct,
    /// A general-purpose port of the 6526 class, with passive pull-ups inside.
    NmosPort,
    /// The input-output port of a programmable sound chip, with pull-ups inside.
    SoundPort,
    /// Metal-gate CMOS of the 4000 series.
    Cd4000,
    /// The open-collector outputs of a 74LS145 decoder, as rows of a keyboard; its inputs are those of TTL.
    Ls145,
}

/// The voltages that divide low from high.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Levels {
    /// At or below this every part reads low.
    pub low_guaranteed: Sourced<Volts>,
    /// At or below this a typical part reads low.
    pub low_typical: Sourced<Volts>,
    /// At or above this a typical part reads high.
    pub high_typical: Sourced<Volts>,
    /// At or above this every part reads high.
    pub high_guaranteed: Sourced<Volts>,
}

/// A driven output as a voltage behind a resistance.
///
/// Driving low it stands `offset` above ground, driving high `offset` below its supply, and gives way
/// by `ohms` for each ampere. The high ends meet the sheet's guaranteed points; the low ends are the
/// strongest output worth fearing in a contention.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Output {
    /// From the rail, without load.
    pub offset: Triple<Volts>,
    /// The resistance behind it.
    pub ohms: Triple<Ohms>,
}

/// How far a contact of a chip may be pulled up.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Ceiling {
    /// So far above the chip's supply: a clamp diode leads to it, and feeds it when it is dead.
    AboveSupply(Volts),
    /// So far above ground, whatever the supply.
    AboveGround(Volts),
}

/// The voltages that an input survives.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct InputRange {
    /// The lowest, against ground.
    pub lowest: Volts,
    /// The highest, against ground.
    pub highest: Volts,
}

impl LogicFamily {
    /// All families.
    pub const ALL: [Self; 7] =
        [Self::Ttl, Self::Hc, Self::Hct, Self::NmosPort, Self::SoundPort, Self::Cd4000, Self::Ls145];

    /// The word that files and screens use.
    #[must_use]
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::Ttl => "ttl",
            Self::Hc => "hc",
            Self::Hct => "hct",
            Self::NmosPort => "nmos-port",
            Self::SoundPort => "sound-port",
            Self::Cd4000 => "cd4000",
            Self::Ls145 => "ls145",
        }
    }

    /// Finds the family that a word names.
    #[must_use]
    pub fn parse(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|family| family.as_str() == word)
    }

    /// The levels on a supply of 5 V ± 5 %.
    #[must_use]
    pub fn levels(self) -> Levels {
        self.levels_at(Triple::<Volts>::literal(4.75, 5.0, 5.25))
    }

    /// The levels on a supply: where they scale with it, low is taken at its lowest and high at its
    /// highest.
    #[must_use]
    pub fn levels_at(self, supply: Triple<Volts>) -> Levels {
        match self.row().thresholds {
            Thresholds::Fixed(levels) => levels,
            Thresholds::OfSupply { low, typical, high, source } => {
                let part = |volts: Volts, share: f64| Sourced::new(volts * share, source);
                Levels {
                    low_guaranteed: part(supply.low(), low),
                    low_typical: part(supply.typical(), typical),
                    high_typical: part(supply.typical(), typical),
                    high_guaranteed: part(supply.high(), high),
                }
            }
        }
    }

    /// What flows out of an input that is held low; without the pull-up, where there is one inside.
    #[must_use]
    pub const fn input_low_amps(self) -> Sourced<Triple<Amps>> {
        self.row().input_low_amps
    }

    /// What flows into an input that is held high.
    #[must_use]
    pub const fn input_high_amps(self) -> Sourced<Triple<Amps>> {
        self.row().input_high_amps
    }

    /// The pull-up inside the chip, where there is one.
    #[must_use]
    pub const fn pull_up(self) -> Option<Sourced<Triple<Ohms>>> {
        self.row().pull_up
    }

    /// The output when it drives low.
    #[must_use]
    pub const fn output_low(self) -> Sourced<Output> {
        self.row().output_low
    }

    /// The output when it drives high. That of an [`LogicFamily::NmosPort`] is its pull-up and nothing
    /// else, so a network has one of the two, not both.
    #[must_use]
    pub const fn output_high(self) -> Sourced<Output> {
        self.row().output_high
    }

    /// Whether its outputs can drive high; an open collector pulls low or lets go.
    #[must_use]
    pub const fn drives_high(self) -> bool {
        !matches!(self, Self::Ls145)
    }

    /// The most that one output may sink.
    #[must_use]
    pub const fn sink_limit(self) -> Sourced<Amps> {
        self.row().sink_limit
    }

    /// The most that one output may source.
    #[must_use]
    pub const fn source_limit(self) -> Sourced<Amps> {
        self.row().source_limit
    }

    /// The most that an output which is off takes from a line at any voltage up to its ceiling, beside its pull-up.
    #[must_use]
    pub const fn off_amps(self) -> Sourced<Amps> {
        self.row().off_amps
    }

    /// The most that an input's clamp diode may carry.
    #[must_use]
    pub const fn clamp_amps(self) -> Sourced<Amps> {
        self.row().clamp_amps
    }

    /// Whether a clamp diode leads from an input to the supply, so that a driven input feeds a chip that
    /// has no supply.
    #[must_use]
    pub const fn clamps_to_supply(self) -> bool {
        match self.row().ceiling {
            Ceiling::AboveSupply(_) => true,
            Ceiling::AboveGround(_) => false,
        }
    }

    /// How far an input or an output that is off may be pulled up.
    #[must_use]
    pub const fn ceiling(self) -> Sourced<Ceiling> {
        Sourced::new(self.row().ceiling, self.row().range_source)
    }

    /// What an input survives on a supply.
    #[must_use]
    pub fn input_range(self, supply: Volts) -> Sourced<InputRange> {
        let row = self.row();
        let highest = row.ceiling.at(supply);
        Sourced::new(InputRange { lowest: -row.below_ground, highest }, row.range_source)
    }

    /// The supply that the family works on.
    #[must_use]
    pub const fn supply(self) -> Sourced<Triple<Volts>> {
        self.row().supply
    }

    const fn row(self) -> &'static Row {
        match self {
            Self::Ttl => &table::TTL,
            Self::Hc => &table::HC,
            Self::Hct => &table::HCT,
            Self::NmosPort => &table::NMOS_PORT,
            Self::SoundPort => &table::SOUND_PORT,
            Self::Cd4000 => &table::CD4000,
            Self::Ls145 => &table::LS145,
        }
    }
}

impl Ceiling {
    /// The highest voltage on a supply, against ground.
    #[must_use]
    pub fn at(self, supply: Volts) -> Volts {
        match self {
            Self::AboveSupply(volts) => supply + volts,
            Self::AboveGround(volts) => volts,
        }
    }
}

impl fmt::Display for LogicFamily {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(self.as_str())
    }
}

#[cfg(test)]
mod tests;
