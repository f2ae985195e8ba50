//! Switches that are set and stay where they are put: what a lead's own switch is bought as.

use std::fmt;

use solderside_quantity::{Amps, Ohms, Triple};

use crate::source::{Source, Sourced};

/// A miniature toggle or slide switch with two positions, by its poles and throws.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum ChangeoverPart {
    /// One pole that is closed in one position and open in the other.
    OnOff,
    /// One pole with two throws.
    OnePole,
    /// Two poles with two throws each, moved together.
    TwoPoles,
}

impl ChangeoverPart {
    /// All of them.
    pub const ALL: [Self; 3] = [Self::OnOff, Self::OnePole, Self::TwoPoles];

    /// The trade's abbreviation, by poles and throws.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::OnOff => "SPST",
            Self::OnePole => "SPDT",
            Self::TwoPoles => "DPDT",
        }
    }

    /// Why a switch of which nothing is said is taken for one that breaks the old contact before it makes the new one.
    pub const BREAKS_FIRST: Source = Source::assumed(
        "from memory: most miniature toggle and slide switches; slide switches that make first are sold too, as shorting ones",
    );

    /// The poles, each with its throws.
    #[must_use]
    pub const fn poles(self) -> u8 {
        match self {
            Self::OnOff | Self::OnePole => 1,
            Self::TwoPoles => 2,
        }
    }

    /// The throws of each pole.
    #[must_use]
    pub const fn throws(self) -> u8 {
        match self {
            Self::OnOff => 1,
            Self::OnePole | Self::TwoPoles => 2,
        }
    }

    /// The legs of all poles: each common with its throws.
    #[must_use]
    pub const fn legs(self) -> u8 {
        self.poles() * (1 + self.throws())
    }

    /// The resistance of a closed contact: when new, as met, and the worst worth allowing for.
    #[must_use]
    pub const fn closed_ohms(self) -> Sourced<Triple<Ohms>> {
        let ohms = Triple::<Ohms>::literal(0.005, 0.05, 1.0);
        Sourced::new(ohms, Source::assumed("from memory: miniature toggle and slide switches"))
    }

    /// What a contact carries for good.
    #[must_use]
    pub const fn amps_max(self) -> Sourced<Amps> {
        Sourced::new(
            Amps::literal(0.3),
            Source::assumed("from memory: miniature slide switches; toggles carry more"),
        )
    }
}

impl fmt::Display for ChangeoverPart {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(self.name())
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::contact_kind::OPEN_CONTACT_OHMS;

    #[test]
    fn a_switch_has_a_leg_for_each_pole_and_for_each_throw() {
        assert_eq!(ChangeoverPart::ALL.map(ChangeoverPart::legs), [2, 3, 6]);
    }

    #[test]
    fn a_closed_contact_is_never_taken_for_an_open_one() {
        for part in ChangeoverPart::ALL {
            assert!(part.closed_ohms().value.high() < OPEN_CONTACT_OHMS.value, "{part}");
        }
    }
}
