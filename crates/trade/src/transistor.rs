//! The transistors that a lead is built with, as switches.

use std::fmt;

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

    /// Finds the transistor that a name names, in any case.
    #[must_use]
    pub fn parse(text: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|part| part.name().eq_ignore_ascii_case(text.trim()))
    }
}

impl TransistorKind {
    /// What its three legs are called: what controls it, where it takes current from its load, and where that goes
    /// (a PNP: where it comes from).
    #[must_use]
    pub const fn legs(self) -> [&'static str; 3] {
        match self {
            Self::Npn | Self::Pnp => ["base", "collector", "emitter"],
            Self::NChannel => ["gate", "drain", "source"],
        }
    }
}

impl fmt::Display for TransistorPart {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(self.name())
    }
}
