//! The parts of a lead: diodes and resistors, each in the hood of one end.

use std::fmt;

use solderside_quantity::{Ohms, Triple};
use solderside_trade::{ContactId, DiodePart};

use crate::lead::EndId;

/// The name of a part: `d1`, `r2`.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum PartId {
    /// A diode, counted from 1.
    Diode(u8),
    /// A resistor, counted from 1.
    Resistor(u8),
}

/// A part.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Part {
    /// Its number among those of its kind, from 1.
    pub number: u8,
    /// What is bought.
    pub body: Body,
    /// The end in whose hood it sits.
    pub sits: EndId,
}

/// What a part is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Body {
    /// A diode, by the name that is printed on it.
    Diode(DiodePart),
    /// A resistor.
    Resistor(Resistor),
}

/// A resistor as it is bought.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Resistor {
    /// Its nominal value.
    pub ohms: Ohms,
    /// How far it may be off either way, as a share: 0.05 is 5 %.
    pub tolerance: f64,
}

impl PartId {
    /// A diode's anode.
    pub const ANODE: ContactId = ContactId::Number(1);
    /// A diode's cathode, the end with the bar.
    pub const CATHODE: ContactId = ContactId::Number(2);

    /// Reads `d1` or `r2`.
    pub fn parse(text: &str) -> Option<Self> {
        let make = match text.chars().next()?.to_ascii_lowercase() {
            'd' => Self::Diode,
            'r' => Self::Resistor,
            _ => return None,
        };
        text.get(1..)?.parse().ok().filter(|number| *number > 0).map(make)
    }

    /// What a leg of it is called: `anode`, `cathode`; a resistor's are numbered.
    pub fn leg_name(self, contact: ContactId) -> String {
        match (self, contact) {
            (Self::Diode(_), Self::ANODE) => "anode".to_owned(),
            (Self::Diode(_), Self::CATHODE) => "cathode".to_owned(),
            (Self::Diode(_) | Self::Resistor(_), _) => contact.to_string(),
        }
    }

    /// Finds the leg that a name names.
    pub fn leg(self, name: &str) -> Option<ContactId> {
        [Self::ANODE, Self::CATHODE].into_iter().find(|contact| self.leg_name(*contact) == name)
    }

    /// How its legs are written, for messages.
    pub const fn legs(self) -> [&'static str; 2] {
        match self {
            Self::Diode(_) => ["anode", "cathode"],
            Self::Resistor(_) => ["1", "2"],
        }
    }
}

impl Part {
    /// Its name.
    pub const fn id(&self) -> PartId {
        match self.body {
            Body::Diode(_) => PartId::Diode(self.number),
            Body::Resistor(_) => PartId::Resistor(self.number),
        }
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

impl fmt::Display for PartId {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Diode(number) => f.pad(&format!("d{number}")),
            Self::Resistor(number) => f.pad(&format!("r{number}")),
        }
    }
}

impl fmt::Display for Body {
    /// What is bought: `1N4148`, `470 Ω`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Diode(diode) => diode.fmt(f),
            Self::Resistor(resistor) => f.pad(&resistor.ohms.to_string()),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_part_reads_as_it_prints() {
        for id in [PartId::Diode(1), PartId::Resistor(12)] {
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
