//! What a lead is: ends, joins between their contacts, and the cord that they run in.

use std::collections::BTreeSet;
use std::fmt;
use std::str::FromStr;

use solderside_profile::Cable;
use solderside_quantity::Metres;
use solderside_trade::{Conductor, Connector, ContactId, ParseContactError};

use crate::play::PlayMap;

/// Which end of a lead.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum EndId {
    /// The end that goes into a controller, counted from 0.
    Controller(u8),
    /// The end that goes into the machine.
    Port,
}

/// One contact of one end: what a finding names and what a join begins and ends at.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Leg {
    /// The end.
    pub end: EndId,
    /// Its contact.
    pub contact: ContactId,
}

/// A conductor between two contacts, the controller's first where there is one.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Join {
    /// One end of it.
    pub from: Leg,
    /// The other end.
    pub to: Leg,
}

/// One end of a lead.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct End {
    /// Which one.
    pub id: EndId,
    /// The name of the profile that it is made for.
    pub profile: String,
    /// The lead's own connector: what is bought and soldered.
    pub connector: Connector,
}

/// What the conductors are, and how long.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Cord {
    /// Each conductor.
    pub conductor: Conductor,
    /// From cup to cup.
    pub length: Metres,
}

/// The fingerprints of the profiles that a lead was proved against.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Proved {
    /// The controller's.
    pub controller: String,
    /// The port's.
    pub port: String,
    /// The cable's, if one was chosen.
    pub cable: Option<String>,
}

/// A lead.
#[derive(Debug, Clone, PartialEq)]
pub struct Lead {
    /// Its name: the stem of its file.
    pub name: String,
    /// What it is called on paper.
    pub title: String,
    /// Its ends: the controllers' in order, then the port's.
    pub ends: Vec<End>,
    /// Which controls perform which actions.
    pub play: PlayMap,
    /// Its conductors, in rising order, each once.
    pub joins: Vec<Join>,
    /// What the conductors are.
    pub cord: Cord,
    /// The cable that they run in, if one is chosen.
    pub cable: Option<Cable>,
    /// What it was proved against.
    pub proved: Option<Proved>,
}

impl Cord {
    /// What a lead gets of which nothing is said: 1.5 m of AWG 28, the thinnest that multi-core
    /// control cable is commonly made of (common practice, no source).
    pub const COMMON: Self = Self { conductor: Conductor::Awg(28), length: Metres::literal(1.5) };
}

impl Leg {
    /// A contact of the first controller's end.
    pub const fn controller(contact: ContactId) -> Self {
        Self { end: EndId::Controller(0), contact }
    }

    /// A contact of the port's end.
    pub const fn port(contact: ContactId) -> Self {
        Self { end: EndId::Port, contact }
    }
}

impl Join {
    /// A conductor between two legs, put in order.
    pub fn new(a: Leg, b: Leg) -> Self {
        if a <= b { Self { from: a, to: b } } else { Self { from: b, to: a } }
    }

    /// The leg at the other side of one, if the join begins or ends there.
    pub fn other(self, leg: Leg) -> Option<Leg> {
        if self.from == leg {
            Some(self.to)
        } else if self.to == leg {
            Some(self.from)
        } else {
            None
        }
    }
}

impl Lead {
    /// Puts joins in their order, each once.
    pub fn settle(&mut self) {
        self.joins.sort_unstable();
        self.joins.dedup();
    }

    /// The legs that a leg is joined to directly.
    pub fn joined(&self, leg: Leg) -> impl Iterator<Item = Leg> {
        self.joins.iter().filter_map(move |join| join.other(leg))
    }

    /// All legs that joins make electrically one with a leg, itself among them.
    pub fn net(&self, leg: Leg) -> BTreeSet<Leg> {
        let mut net = BTreeSet::from([leg]);
        let mut open = vec![leg];
        while let Some(leg) = open.pop() {
            open.extend(self.joined(leg).filter(|next| net.insert(*next)));
        }
        net
    }

    /// Runs the lead's conductors in a cable, whose copper and length become its own.
    pub fn run_in(&mut self, cable: Cable) {
        self.cord = Cord { conductor: cable.conductor, length: cable.length.unwrap_or(self.cord.length) };
        self.cable = Some(cable);
    }

    /// Whether a join runs from one end of the lead to another and so needs a core of its cable; a join
    /// between two contacts of one end does not.
    pub fn runs_through_cable(&self, join: &Join) -> bool {
        join.from.end != join.to.end
    }

    /// One of its ends.
    pub fn end(&self, id: EndId) -> Option<&End> {
        self.ends.iter().find(|end| end.id == id)
    }
}

impl fmt::Display for EndId {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Controller(0) => f.pad("controller"),
            Self::Controller(at) => f.pad(&format!("controller-{}", u16::from(*at) + 1)),
            Self::Port => f.pad("port"),
        }
    }
}

impl fmt::Display for Leg {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(&format!("{}.{}", self.end, self.contact))
    }
}

impl fmt::Display for Join {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} - {}", self.from, self.to)
    }
}

/// Says why a text names no contact of an end.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum ParseLegError {
    /// There is no point between end and contact.
    #[error("`{0}` names no contact of an end; write `controller.13` or `port.6`")]
    Form(String),
    /// The end is unknown.
    #[error("`{0}` is no end of a lead; write `controller` or `port`")]
    End(String),
    /// The contact cannot be read.
    #[error(transparent)]
    Contact(#[from] ParseContactError),
}

impl FromStr for EndId {
    type Err = ParseLegError;

    fn from_str(text: &str) -> Result<Self, Self::Err> {
        let number = |rest: &str| rest.parse().ok().filter(|number| (2..=9).contains(number));
        match text {
            "controller" => Ok(Self::Controller(0)),
            "port" => Ok(Self::Port),
            _ => text
                .strip_prefix("controller-")
                .and_then(number)
                .map(|number: u8| Self::Controller(number - 1))
                .ok_or_else(|| ParseLegError::End(text.to_owned())),
        }
    }
}

impl FromStr for Leg {
    type Err = ParseLegError;

    fn from_str(text: &str) -> Result<Self, Self::Err> {
        let (end, contact) =
            text.trim().split_once('.').ok_or_else(|| ParseLegError::Form(text.trim().to_owned()))?;
        Ok(Self { end: end.parse()?, contact: ContactId::parse(contact)? })
    }
}

impl FromStr for Join {
    type Err = ParseLegError;

    /// Reads `controller.13 - port.6`.
    fn from_str(text: &str) -> Result<Self, Self::Err> {
        let (from, to) = text.split_once(" - ").ok_or_else(|| ParseLegError::Form(text.trim().to_owned()))?;
        Ok(Self::new(from.parse()?, to.parse()?))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_join_reads_as_it_prints() {
        for text in ["controller.13 - port.6", "controller-2.shell - port.8"] {
            assert_eq!(text.parse::<Join>().map(|join| join.to_string()), Ok(text.to_owned()));
        }
    }

    #[test]
    fn a_join_is_the_same_from_either_side() {
        let [stick, machine] = [Leg::controller(ContactId::Number(13)), Leg::port(ContactId::Number(6))];
        assert_eq!(Join::new(stick, machine), Join::new(machine, stick));
        assert_eq!(Join::new(stick, machine).other(machine), Some(stick));
    }

    #[test]
    fn a_net_is_all_that_joins_make_one() {
        let join = |text: &str| text.parse::<Join>().unwrap();
        let lead = Lead {
            name: String::new(),
            title: String::new(),
            ends: Vec::new(),
            play: PlayMap::default(),
            joins: ["controller.13 - port.6", "controller.5 - port.6", "controller.1 - port.8"]
                .map(join)
                .into(),
            cord: Cord::COMMON,
            cable: None,
            proved: None,
        };
        let [a, b, fire] = ["controller.13", "controller.5", "port.6"].map(|text| text.parse().unwrap());
        assert_eq!(lead.net(a), BTreeSet::from([b, a, fire]));
        let alone = Leg::port(ContactId::Number(4));
        assert_eq!(lead.net(alone), BTreeSet::from([alone]));
    }

    #[test]
    fn a_leg_that_is_none_says_how_to_write_one() {
        let message = |text: &str| text.parse::<Leg>().map_err(|error| error.to_string());
        assert_eq!(
            message("13"),
            Err("`13` names no contact of an end; write `controller.13` or `port.6`".to_owned())
        );
        assert_eq!(
            message("stick.13"),
            Err("`stick` is no end of a lead; write `controller` or `port`".to_owned())
        );
    }
}
