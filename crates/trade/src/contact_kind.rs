//! What a closed contact still resists: switches of controllers, and mated connectors.
//!
//! Where sources differ the higher resistance stands, since a reading fails on the high side.

use std::fmt;

use solderside_quantity::{Ohms, Triple};

use crate::source::{Source, Sourced};

/// How a control closes its contact.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum SwitchKind {
    /// A snap-action switch with metal contacts.
    Microswitch,
    /// Two metal blades that a plunger presses together.
    Leaf,
    /// A metal dome, as in a tactile switch.
    DomeMetal,
    /// A rubber dome with a carbon pill on metal pads.
    DomeCarbon,
    /// A rubber dome with a carbon pill on carbon-printed pads.
    DomeCarbonBoard,
}

/// A switch that reads more than this counts as open.
pub const OPEN_CONTACT_OHMS: Sourced<Ohms> = Sourced::new(Ohms::literal(10e3), Source::COMMON_PRACTICE);

impl SwitchKind {
    /// All kinds.
    pub const ALL: [Self; 5] =
        [Self::Microswitch, Self::Leaf, Self::DomeMetal, Self::DomeCarbon, Self::DomeCarbonBoard];

    /// The word that files and screens use.
    #[must_use]
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::Microswitch => "microswitch",
            Self::Leaf => "leaf",
            Self::DomeMetal => "metal-dome",
            Self::DomeCarbon => "carbon-dome",
            Self::DomeCarbonBoard => "carbon-board",
        }
    }

    /// Finds the kind that a word names.
    #[must_use]
    pub fn parse(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|kind| kind.as_str() == word)
    }

    /// The resistance of the closed contact: when new, as met, and the worst worth allowing for.
    #[must_use]
    pub const fn closed_ohms(self) -> Sourced<Triple<Ohms>> {
        match self {
            Self::Microswitch => {
                sourced([0.015, 0.1, 1.0], Source::assumed("from memory: snap-action contacts"))
            }
            Self::Leaf => sourced(
                [0.05, 0.1, 1.0],
                Source::assumed("from memory: leaf contacts; oxidised ones reach tens of ohms"),
            ),
            Self::DomeMetal => sourced(
                [0.01, 0.1, 1.0],
                Source::assumed(
                    "common practice, no source; tact switch specifications allow 0.05 Ω new and \
                     0.2 Ω after 100 000 operations (www.chinaswitech.com/tact-switch/)",
                ),
            ),
            Self::DomeCarbon => sourced(
                [50.0, 200.0, 1000.0],
                Source::published(
                    "silicone rubber keypad design guide, www.northpointech.com/design-guide-1/ \
                     (below 200 Ω assembled); rubber and membrane keypad design considerations, \
                     ly-electronix.com/page/rubbermembr/index.php (about 1000 Ω for printed carbon)",
                ),
            ),
            Self::DomeCarbonBoard => sourced(
                [600.0, 800.0, 2000.0],
                Source::assumed(
                    "rubber keypad, board contact design, siliconeswitches.com/pcb.htm (600 Ω to \
                     1000 Ω); from memory: 2000 Ω for a dirty one",
                ),
            ),
        }
    }
}

/// The resistance of one mated pair of connector contacts.
#[must_use]
pub const fn connector_contact_ohms() -> Sourced<Triple<Ohms>> {
    sourced(
        [0.001, 0.005, 0.01],
        Source::published(
            "D-sub standard, press-in version, technical characteristics (as DIN 41652): at most \
             10 mΩ; the lower two are assumed",
        ),
    )
}

const fn sourced([low, typical, high]: [f64; 3], source: Source) -> Sourced<Triple<Ohms>> {
    Sourced::new(Triple::<Ohms>::literal(low, typical, high), source)
}

impl fmt::Display for SwitchKind {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(self.as_str())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_kind_of_switch_is_read_back_from_its_word() {
        for kind in SwitchKind::ALL {
            assert_eq!(SwitchKind::parse(&kind.to_string()), Some(kind));
        }
        assert_eq!(SwitchKind::parse("reed"), None);
    }

    #[test]
    fn a_closed_switch_is_never_taken_for_an_open_one() {
        for kind in SwitchKind::ALL {
            assert!(kind.closed_ohms().value.high() < OPEN_CONTACT_OHMS.value, "{kind}");
        }
    }

    /// Tact switch specification sheet, life test: at most 0.2 Ω; keypad design guides: at most 200 Ω
    /// assembled, 600 Ω to 1000 Ω on carbon-printed boards.
    #[test]
    fn the_worst_contact_is_no_better_than_the_published_limits() {
        for (kind, published) in [
            (SwitchKind::DomeMetal, 0.2),
            (SwitchKind::DomeCarbon, 200.0),
            (SwitchKind::DomeCarbonBoard, 1000.0),
        ] {
            assert!(kind.closed_ohms().value.high() >= Ohms::literal(published), "{kind}");
        }
    }

    /// D-sub standard, press-in version, technical characteristics (as DIN 41652): at most 10 mΩ.
    #[test]
    fn a_mated_contact_has_the_published_greatest_resistance() {
        assert_eq!(connector_contact_ohms().value.high(), Ohms::literal(0.01));
    }
}
