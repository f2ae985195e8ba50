//! What is inside a controller, part by part: the white box, where [`crate::PadLogic`] is the black one.

use std::collections::BTreeSet;
use std::fmt;

use solderside_quantity::{Seconds, Triple};
use solderside_trade::{Block, ContactId};

use crate::complaint::quoted;
use crate::fact::Fact;
use crate::fingerprint::{Canonical, exact, exact_triple};
use crate::part::{Body, PartId};
use crate::word::Control;

/// The parts inside a controller and how they are joined.
///
/// Promises of a checked inside: each part has its legs joined (a chip one leg at least), each spot is a
/// contact that the controller describes or a leg that its part has, and each switch closes two spots that
/// are not joined anyway.
#[derive(Debug, Clone, PartialEq)]
pub struct Inside {
    /// The parts, in the order of their names.
    pub parts: Vec<InsidePart>,
    /// What is electrically one.
    pub joins: Vec<[Spot; 2]>,
    /// The controls that are switches inside, by the order of their names.
    pub switches: Vec<InsideSwitch>,
    /// How long the machine's lines must rest until its counters are at zero again, if they forget: no part of
    /// `parts` does that.
    pub forgets: Option<Triple<Seconds>>,
    /// Where all that comes from.
    pub fact: Fact,
}

/// A part inside a controller.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct InsidePart {
    /// Its name.
    pub id: PartId,
    /// What it is.
    pub body: Body,
}

/// A control whose switch stands inside, between two spots.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct InsideSwitch {
    /// The control.
    pub control: Control,
    /// What it joins while it is pressed.
    pub between: [Spot; 2],
}

/// A place to which something inside a controller leads.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Spot {
    /// A contact of the plug.
    Contact(ContactId),
    /// A leg of a part.
    Leg(PartId, ContactId),
}

/// Says why a text names no spot; what was found is in backticks already.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub(crate) enum ParseSpotError {
    #[error("{0} is no spot; write a contact such as `5`, or a part's leg such as `u1.16` or `d1.anode`")]
    Form(String),
    #[error("`{part}` has no leg {leg}; write `{part}.{}` or `{part}.{}`", part.legs()[0], part.legs()[1])]
    Leg { part: PartId, leg: String },
    #[error("{0} is no pair of spots; write two with ` - ` between them, such as `u1.16 - 5`")]
    Pair(String),
}

impl Spot {
    /// Reads `5`, `shell`, `u1.16` or `d1.anode`.
    pub(crate) fn parse(text: &str) -> Result<Self, ParseSpotError> {
        let form = || ParseSpotError::Form(quoted(text));
        let Some((part, leg)) = text.split_once('.') else {
            return ContactId::parse(text).map(Self::Contact).map_err(|_| form());
        };
        let part = PartId::parse(part.trim()).ok_or_else(form)?;
        let found = part.leg(leg.trim());
        found.map(|leg| Self::Leg(part, leg)).ok_or(ParseSpotError::Leg { part, leg: quoted(leg) })
    }

    /// Reads two of them, such as `u1.16 - 5`.
    pub(crate) fn parse_pair(text: &str) -> Result<[Self; 2], ParseSpotError> {
        let (one, other) = text.split_once(" - ").ok_or_else(|| ParseSpotError::Pair(quoted(text)))?;
        Ok([Self::parse(one.trim())?, Self::parse(other.trim())?])
    }

    /// The part whose leg it is.
    pub const fn part(self) -> Option<PartId> {
        match self {
            Self::Contact(_) => None,
            Self::Leg(part, _) => Some(part),
        }
    }
}

impl Inside {
    /// All spots that joins make one with a spot, itself among them.
    pub fn net(&self, spot: Spot) -> BTreeSet<Spot> {
        let mut net = BTreeSet::from([spot]);
        let mut open = vec![spot];
        while let Some(spot) = open.pop() {
            for [one, other] in &self.joins {
                for (from, to) in [(one, other), (other, one)] {
                    if *from == spot && net.insert(*to) {
                        open.push(*to);
                    }
                }
            }
        }
        net
    }

    /// Writes down everything electrical; the order in which a file says it changes nothing.
    pub(crate) fn describe(&self, text: &mut Canonical) {
        for InsidePart { id, body } in &self.parts {
            let body = match body {
                Body::Diode(diode) => diode.to_string(),
                Body::Resistor(resistor) => exact_triple(resistor.triple()),
                Body::Capacitor(capacitor) => {
                    format!("{} {:?}", exact(capacitor.farads), capacitor.tolerance)
                }
                Body::Transistor(transistor) => transistor.to_string(),
                Body::Chip(chip) => chip.to_string(),
                Body::Changeover(switch) => switch.to_string(),
            };
            text.line(&["part", &id.to_string(), &body]);
        }
        let pair = |spots: [Spot; 2]| {
            let mut spots = spots;
            spots.sort();
            spots
        };
        let mut joins: Vec<[Spot; 2]> = self.joins.iter().map(|join| pair(*join)).collect();
        joins.sort();
        for [one, other] in joins {
            text.line(&["join", &one.to_string(), &other.to_string()]);
        }
        for InsideSwitch { control, between } in &self.switches {
            let [one, other] = pair(*between);
            text.line(&["switch", control.as_str(), &one.to_string(), &other.to_string()]);
        }
        if let Some(forgets) = self.forgets {
            text.line(&["forgets", &exact_triple(forgets)]);
        }
    }
}

impl InsidePart {
    /// Whether it counts.
    pub(crate) fn counts(&self) -> bool {
        match self.body {
            Body::Chip(chip) => chip.sheet().blocks.iter().any(|block| matches!(block, Block::Counter(_))),
            Body::Diode(_)
            | Body::Resistor(_)
            | Body::Capacitor(_)
            | Body::Transistor(_)
            | Body::Changeover(_) => false,
        }
    }
}

impl fmt::Display for Spot {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Contact(contact) => contact.fmt(f),
            Self::Leg(part, leg) => f.pad(&format!("{part}.{}", part.leg_name(*leg))),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_spot_reads_as_it_prints() {
        for text in ["5", "shell", "A", "u1.16", "d1.anode", "q2.base", "m1.gate", "r3.2"] {
            assert_eq!(Spot::parse(text).unwrap().to_string(), text);
        }
        let pair = [Spot::Leg(PartId::Chip(1), ContactId::Number(16)), Spot::Contact(ContactId::Number(5))];
        assert_eq!(Spot::parse_pair(" u1 . 16 -  5 "), Ok(pair));
    }

    #[test]
    fn what_is_no_spot_is_told_with_what_would_be() {
        let said = |text: &str| Spot::parse_pair(text).unwrap_err().to_string();
        assert_eq!(
            said("x1.3 - 5"),
            "`x1.3` is no spot; write a contact such as `5`, or a part's leg such as `u1.16` or `d1.anode`"
        );
        assert_eq!(said("d1.anod - 5"), "`d1` has no leg `anod`; write `d1.anode` or `d1.cathode`");
        assert_eq!(
            said("u1.16-5"),
            "`u1.16-5` is no pair of spots; write two with ` - ` between them, such as `u1.16 - 5`"
        );
        for text in ["", " - ", " - 5", "5 - ", "u1. - 5", "é.1 - 5", "0 - 1", "u1.300 - 1"] {
            assert!(Spot::parse_pair(text).is_err(), "{text}");
        }
    }
}
