//! Logic blocks, three-valued: what is not certain is [`Bit::Unknown`] and stays so until it is.
//!
//! A block that is asked with unknown inputs answers with what *all* completions of them agree on, so an
//! answer that is known holds whatever the unknown turns out to be. Knowing more of the inputs never
//! changes a known answer: blocks are monotone in what is known, which is what [`Settling`] rests on.

mod counter;
mod register;
mod settle;
mod table;

pub use self::counter::Counter;
pub use self::register::Register;
pub use self::settle::{
    Input, Instead, Level, Logic, Memo, Memory, Numbered, Output, Settled, Settling, Thresholds, Unsettled,
};
pub use self::table::{Contradiction, Row, Table};

/// A level, as far as it is certain.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Bit {
    /// Low for certain.
    Low,
    /// High for certain.
    High,
    /// Either, or neither.
    Unknown,
}

/// What an output does, as far as it is certain.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Drive {
    /// Drives low.
    Low,
    /// Drives high.
    High,
    /// Is off.
    Off,
    /// Any of these, or something between.
    Unknown,
}

impl Bit {
    /// What both agree on.
    #[must_use]
    pub fn agreed(self, other: Self) -> Self {
        if self == other { self } else { Self::Unknown }
    }

    /// The level, if it is certain.
    #[must_use]
    pub const fn known(self) -> Option<bool> {
        match self {
            Self::Low => Some(false),
            Self::High => Some(true),
            Self::Unknown => None,
        }
    }

    /// Low and high exchanged.
    #[must_use]
    pub const fn inverted(self) -> Self {
        match self {
            Self::Low => Self::High,
            Self::High => Self::Low,
            Self::Unknown => Self::Unknown,
        }
    }

    /// Whether it is certain to be this level.
    #[must_use]
    pub fn is(self, level: bool) -> bool {
        self.known() == Some(level)
    }

    /// Whether it can be this level.
    #[must_use]
    pub fn can_be(self, level: bool) -> bool {
        self.known() != Some(!level)
    }
}

impl From<bool> for Bit {
    fn from(level: bool) -> Self {
        if level { Self::High } else { Self::Low }
    }
}

impl Drive {
    /// What both agree on.
    #[must_use]
    pub fn agreed(self, other: Self) -> Self {
        if self == other { self } else { Self::Unknown }
    }
}

impl From<Bit> for Drive {
    /// An output that shows a level.
    fn from(bit: Bit) -> Self {
        match bit {
            Bit::Low => Self::Low,
            Bit::High => Self::High,
            Bit::Unknown => Self::Unknown,
        }
    }
}

/// What a clock did between two settled moments.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Edge {
    /// Nothing that counts.
    None,
    /// One edge that counts.
    One,
    /// Perhaps one, perhaps several.
    Perhaps,
}

impl Edge {
    /// The edge towards `level` between two moments. `clean` says that the clock cannot have moved more than once.
    pub(crate) fn between(before: Bit, now: Bit, level: bool, clean: bool) -> Self {
        match (before.known(), now.known(), clean) {
            (Some(was), Some(is), true) if was != is && is == level => Self::One,
            (Some(_), Some(_), true) => Self::None,
            (_, _, true) if before.is(level) || now.is(!level) => Self::None,
            (_, _, _) => Self::Perhaps,
        }
    }
}
