//! Parts by the names that a file gives them, and what they are: those of a lead and those inside a controller.

use std::fmt;

use solderside_quantity::{Farads, Ohms, Triple};
use solderside_trade::{ChangeoverPart, ChipPart, ContactId, DiodePart, TransistorKind, TransistorPart};

/// The name of a part: its kind's letter, and its number among those of its kind.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum PartId {
    /// A diode, `d1`, counted from 1.
    Diode(u8),
    /// A resistor, `r1`, counted from 1.
    Resistor(u8),
    /// A capacitor, `c1`, counted from 1.
    Capacitor(u8),
    /// A bipolar transistor, `q1`, counted from 1.
    Bipolar(u8),
    /// A MOSFET, `m1`, counted from 1.
    Mosfet(u8),
    /// A chip, `u1`, counted from 1.
    Chip(u8),
    /// A switch that stays where it is put, `s1`, counted from 1.
    Changeover(u8),
}

/// What is bought.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Body {
    /// A diode, by the name that is printed on it.
    Diode(DiodePart),
    /// A resistor.
    Resistor(Resistor),
    /// A capacitor.
    Capacitor(Capacitor),
    /// A transistor, by the name that is printed on it.
    Transistor(TransistorPart),
    /// A chip, by the name that is printed on it.
    Chip(ChipPart),
    /// A switch that stays where it is put, by its poles and throws.
    Changeover(ChangeoverPart),
}

/// A resistor as it is bought.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Resistor {
    /// Its nominal value.
    pub ohms: Ohms,
    /// How far it may be off either way, as a share: 0.05 is 5 %.
    pub tolerance: f64,
}

/// A capacitor as it is bought.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Capacitor {
    /// Its nominal value.
    pub farads: Farads,
    /// How far it may be off either way, as a share: 0.2 is 20 %.
    pub tolerance: f64,
}

impl PartId {
    /// A diode's anode.
    pub const ANODE: ContactId = ContactId::Number(1);
    /// The leg of a switch that the throws of its first pole are joined to by turns.
    pub const COMMON: ContactId = ContactId::Number(1);
    /// A diode's cathode, the end with the bar.
    pub const CATHODE: ContactId = ContactId::Number(2);
    /// A transistor's base or gate.
    pub const BASE: ContactId = ContactId::Number(1);
    /// A transistor's collector or drain.
    pub const COLLECTOR: ContactId = ContactId::Number(2);
    /// A transistor's emitter or source.
    pub const EMITTER: ContactId = ContactId::Number(3);

    /// Reads `d1`, `r2` or `u3`.
    pub fn parse(text: &str) -> Option<Self> {
        let make = match text.chars().next()?.to_ascii_lowercase() {
            'd' => Self::Diode,
            'r' => Self::Resistor,
            'c' => Self::Capacitor,
            'q' => Self::Bipolar,
            'm' => Self::Mosfet,
            'u' => Self::Chip,
            's' => Self::Changeover,
            _ => return None,
        };
        text.get(1..)?.parse().ok().filter(|number| *number > 0).map(make)
    }

    /// Its number among those of its kind.
    pub const fn number(self) -> u8 {
        match self {
            Self::Diode(number)
            | Self::Resistor(number)
            | Self::Capacitor(number)
            | Self::Bipolar(number)
            | Self::Mosfet(number)
            | Self::Chip(number)
            | Self::Changeover(number) => number,
        }
    }

    /// What its legs are called, leg 1 first; none if they have numbers only.
    pub const fn leg_names(self) -> &'static [&'static str] {
        match self {
            Self::Diode(_) => &["anode", "cathode"],
            Self::Bipolar(_) => &["base", "collector", "emitter"],
            Self::Mosfet(_) => &["gate", "drain", "source"],
            Self::Changeover(_) => &["common", "first", "second", "common-b", "first-b", "second-b"],
            Self::Resistor(_) | Self::Capacitor(_) | Self::Chip(_) => &[],
        }
    }

    /// What a leg of it is called: `anode`, `cathode`; a resistor's are numbered.
    pub fn leg_name(self, contact: ContactId) -> String {
        let name = match contact {
            ContactId::Number(number) => self.leg_names().get(usize::from(number).wrapping_sub(1)),
            ContactId::Letter(_) | ContactId::Shell => None,
        };
        name.map_or_else(|| contact.to_string(), ToString::to_string)
    }

    /// Finds the leg that a name names. Whether a chip has so many legs, its sheet tells.
    pub fn leg(self, name: &str) -> Option<ContactId> {
        let most = match self {
            Self::Diode(_) | Self::Resistor(_) | Self::Capacitor(_) => 2,
            Self::Bipolar(_) | Self::Mosfet(_) => 3,
            Self::Changeover(_) => 6,
            Self::Chip(_) => u8::MAX,
        };
        let names = self.leg_names();
        if names.is_empty() {
            let number: u8 = name.parse().ok()?;
            return (1..=most).contains(&number).then_some(ContactId::Number(number));
        }
        (1..=most).zip(names).find(|(_, own)| **own == name).map(|(number, _)| ContactId::Number(number))
    }

    /// How its first and its last leg are written, for messages.
    pub const fn legs(self) -> [&'static str; 2] {
        match self {
            Self::Diode(_) => ["anode", "cathode"],
            Self::Resistor(_) | Self::Capacitor(_) => ["1", "2"],
            Self::Bipolar(_) => ["base", "emitter"],
            Self::Mosfet(_) => ["gate", "source"],
            Self::Chip(_) => ["1", "16"],
            Self::Changeover(_) => ["common", "first"],
        }
    }

    /// Whether it has two legs and is the same network whichever controls are pressed.
    pub const fn is_two_legged(self) -> bool {
        match self {
            Self::Diode(_) | Self::Resistor(_) | Self::Capacitor(_) => true,
            Self::Bipolar(_) | Self::Mosfet(_) | Self::Chip(_) | Self::Changeover(_) => false,
        }
    }
}

impl Body {
    /// The name of a part of this kind with this number.
    pub const fn id(&self, number: u8) -> PartId {
        match self {
            Self::Diode(_) => PartId::Diode(number),
            Self::Resistor(_) => PartId::Resistor(number),
            Self::Capacitor(_) => PartId::Capacitor(number),
            Self::Transistor(part) => match part.kind() {
                TransistorKind::Npn | TransistorKind::Pnp => PartId::Bipolar(number),
                TransistorKind::NChannel => PartId::Mosfet(number),
            },
            Self::Chip(_) => PartId::Chip(number),
            Self::Changeover(_) => PartId::Changeover(number),
        }
    }

    /// Whether a level at one of its legs changes what it is at another.
    pub const fn switches(&self) -> bool {
        match self {
            Self::Transistor(_) | Self::Chip(_) => true,
            Self::Diode(_) | Self::Resistor(_) | Self::Capacitor(_) | Self::Changeover(_) => false,
        }
    }

    /// Whether it has more legs than a hand can twist together: it sits on a board.
    pub const fn sits_on_a_board(&self) -> bool {
        match self {
            Self::Transistor(_) | Self::Chip(_) | Self::Changeover(_) => true,
            Self::Diode(_) | Self::Resistor(_) | Self::Capacitor(_) => false,
        }
    }

    /// Its legs, in the order of their numbers.
    pub fn legs(&self) -> impl Iterator<Item = ContactId> {
        let count = match self {
            Self::Diode(_) | Self::Resistor(_) | Self::Capacitor(_) => 2,
            Self::Transistor(_) => 3,
            Self::Chip(chip) => chip.sheet().legs.len(),
            Self::Changeover(switch) => usize::from(switch.legs()),
        };
        (1..=u8::MAX).map(ContactId::Number).take(count)
    }
}

impl Resistor {
    /// The tolerance of the commonest resistors (common practice, no source).
    pub const COMMON_TOLERANCE: f64 = 0.05;

    /// Its value with its tolerance.
    pub fn triple(self) -> Triple<Ohms> {
        let off = |sign: f64| self.ohms * (1.0 + sign * self.tolerance);
        Triple::new(off(-1.0), self.ohms, off(1.0)).unwrap_or(Triple::exactly(self.ohms))
    }
}

impl Capacitor {
    /// The tolerance of the commonest ceramic capacitors (common practice, no source).
    pub const COMMON_TOLERANCE: f64 = 0.2;

    /// Its value with its tolerance.
    pub fn triple(self) -> Triple<Farads> {
        let off = |sign: f64| self.farads * (1.0 + sign * self.tolerance);
        Triple::new(off(-1.0), self.farads, off(1.0)).unwrap_or(Triple::exactly(self.farads))
    }
}

impl fmt::Display for PartId {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (letter, number) = match self {
            Self::Diode(number) => ('d', number),
            Self::Resistor(number) => ('r', number),
            Self::Capacitor(number) => ('c', number),
            Self::Bipolar(number) => ('q', number),
            Self::Mosfet(number) => ('m', number),
            Self::Chip(number) => ('u', number),
            Self::Changeover(number) => ('s', number),
        };
        f.pad(&format!("{letter}{number}"))
    }
}

impl fmt::Display for Body {
    /// What is bought: `1N4148`, `470 Ω`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Diode(diode) => diode.fmt(f),
            Self::Resistor(resistor) => f.pad(&resistor.ohms.to_string()),
            Self::Capacitor(capacitor) => f.pad(&capacitor.farads.to_string()),
            Self::Transistor(transistor) => transistor.fmt(f),
            Self::Chip(chip) => chip.fmt(f),
            Self::Changeover(switch) => switch.fmt(f),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_part_reads_as_it_prints() {
        let ids = [PartId::Diode(1), PartId::Resistor(12), PartId::Capacitor(1), PartId::Bipolar(2)];
        for id in ids.into_iter().chain([PartId::Mosfet(3), PartId::Chip(4), PartId::Changeover(1)]) {
            assert_eq!(PartId::parse(&id.to_string()), Some(id));
            for contact in [PartId::ANODE, PartId::CATHODE] {
                assert_eq!(id.leg(&id.leg_name(contact)), Some(contact));
            }
        }
        for none in ["", "d", "d0", "x1", "d300", "é1"] {
            assert_eq!(PartId::parse(none), None, "{none}");
        }
    }
}
