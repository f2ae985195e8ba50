//! The transistors that a lead is built with, as switches.
//!
//! Between surely off and surely closed nothing is promised: what lies there is unknown.

mod sheets;

use std::fmt;

use solderside_quantity::{Amps, Farads, Seconds, Triple, Volts, Watts};

use crate::diode::DiodeModel;
use crate::diode_part::ROOM;
use crate::logic::Output;
use crate::source::{Source, Sourced};

/// A transistor that is bought by this name.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum TransistorPart {
    /// The small-signal NPN.
    Bc547,
    /// The small-signal PNP.
    Bc557,
    /// The small N-channel MOSFET.
    N2n7000,
}

/// What a transistor is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum TransistorKind {
    /// Conducts from collector to emitter while current flows into its base.
    Npn,
    /// Conducts from emitter to collector while current flows out of its base.
    Pnp,
    /// Conducts from drain to source while its gate stands above its source.
    NChannel,
}

/// What a transistor's data sheet says of it as a switch. A PNP has all voltages and currents the other way
/// round.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TransistorSheet {
    /// What closes it.
    pub closed_by: ClosedBy,
    /// While it is surely closed: a voltage from collector to emitter, or drain to source, and a resistance
    /// behind it.
    pub closed: Sourced<Output>,
    /// While it is surely off.
    pub off: Sourced<OffState>,
    /// The diode inside that conducts from source to drain.
    pub body: Option<Junction>,
    /// The most that may flow into its collector or drain for good.
    pub amps_max: Sourced<Amps>,
    /// The most that may stand from collector to emitter, or drain to source, while it is off.
    pub volts_max: Sourced<Volts>,
    /// The most that may stand at its base or gate, against emitter or source, the way that keeps it off.
    pub reverse_volts_max: Sourced<Volts>,
    /// The most that it may turn into heat, at 25 °C.
    pub watts_max: Sourced<Watts>,
    /// What its base or gate adds to the capacitance of a net while it switches nothing.
    pub input_farads: Sourced<Triple<Farads>>,
    /// What its collector or drain adds to the capacitance of a net, to its emitter and its base together.
    pub output_farads: Sourced<Triple<Farads>>,
    /// From when its base or gate has what it asks for, or no more than what keeps it off, until its switch has
    /// followed.
    pub delay: Sourced<Triple<Seconds>>,
    /// Its legs from left to right, the flat side to the eye and the legs down. Makers differ: a builder
    /// looks at the sheet of the one in the hand.
    pub row: Sourced<[&'static str; 3]>,
}

/// What closes a transistor.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum ClosedBy {
    /// A current into a base.
    Base(BaseSheet),
    /// A voltage at a gate.
    Gate(GateSheet),
}

/// A base.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BaseSheet {
    /// From base to emitter. Base and collector make another, which no sheet prints; the same two laws are
    /// taken to hold it.
    pub junction: Junction,
    /// It is surely closed while its collector's current is no more than so many times its base's.
    pub forced_gain: Sourced<f64>,
    /// The least and the greatest gain of one that is not closed, at 2 mA and 5 V.
    pub gain: Sourced<[f64; 2]>,
    /// The most that may flow into it for good.
    pub amps_max: Sourced<Amps>,
}

/// A gate.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct GateSheet {
    /// Where 1 mA begins to flow, at 25 °C.
    pub threshold: Sourced<Triple<Volts>>,
    /// From here up it is surely closed.
    pub closed_from: Sourced<Volts>,
    /// The most that it may stand at.
    pub volts_max: Sourced<Volts>,
    /// What it leaks at most.
    pub leak: Sourced<Amps>,
}

/// What a transistor that is off lets through.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OffState {
    /// Up to this voltage at its base or gate, against emitter or source, it is surely off.
    pub up_to: Volts,
    /// What then flows into its collector or drain at most, at 40 °C.
    pub amps: Amps,
}

/// A junction between the two laws that hold every one that is sold, each at 25 °C.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Junction {
    least: DiodeModel,
    typical: DiodeModel,
    most: DiodeModel,
    source: Source,
}

impl TransistorPart {
    /// All of them.
    pub const ALL: [Self; 3] = [Self::Bc547, Self::Bc557, Self::N2n7000];

    /// The name that is printed on it and written in files.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Bc547 => "BC547",
            Self::Bc557 => "BC557",
            Self::N2n7000 => "2N7000",
        }
    }

    /// What it is.
    #[must_use]
    pub const fn kind(self) -> TransistorKind {
        match self {
            Self::Bc547 => TransistorKind::Npn,
            Self::Bc557 => TransistorKind::Pnp,
            Self::N2n7000 => TransistorKind::NChannel,
        }
    }

    /// Its data sheet.
    #[must_use]
    pub const fn sheet(self) -> &'static TransistorSheet {
        match self {
            Self::Bc547 => &sheets::BC547,
            Self::Bc557 => &sheets::BC557,
            Self::N2n7000 => &sheets::N2N7000,
        }
    }

    /// Finds the transistor that a name names, in any case.
    #[must_use]
    pub fn parse(text: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|part| part.name().eq_ignore_ascii_case(text.trim()))
    }
}

impl TransistorKind {
    /// What its three legs are called: what controls it, where it takes current from its load, and where that
    /// goes (a PNP: where it comes from).
    #[must_use]
    pub const fn legs(self) -> [&'static str; 3] {
        match self {
            Self::Npn | Self::Pnp => ["base", "collector", "emitter"],
            Self::NChannel => ["gate", "drain", "source"],
        }
    }
}

impl Junction {
    /// The law that drops at least as much as any one does, in the coldest room.
    #[must_use]
    pub fn least(&self) -> Sourced<DiodeModel> {
        let [cold, _] = ROOM;
        Sourced::new(self.least.at_temperature(cold), self.source)
    }

    /// A typical one at 25 °C.
    #[must_use]
    pub const fn typical(&self) -> Sourced<DiodeModel> {
        Sourced::new(self.typical, self.source)
    }

    /// The law that conducts at least as much as any one does, in the warmest room.
    #[must_use]
    pub fn most(&self) -> Sourced<DiodeModel> {
        let [_, warm] = ROOM;
        Sourced::new(self.most.at_temperature(warm), self.source)
    }
}

impl fmt::Display for TransistorPart {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(self.name())
    }
}

#[cfg(test)]
mod tests;
