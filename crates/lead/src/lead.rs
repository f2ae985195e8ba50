//! What a lead is: ends, joins between their contacts, and the cord that they run in.

use std::collections::BTreeSet;
use std::fmt;
use std::str::FromStr;

use solderside_profile::{ActiveLevel, Body, Cable, PartId, Spot};
use solderside_quantity::{Metres, Ohms, Triple};
use solderside_trade::{Conductor, Connector, ContactId, ParseContactError, run_ohms};

use crate::changeover::Changeover;
use crate::donor::SwitchName;
use crate::part::Part;
use crate::play::PlayMap;

/// A wire from a cup to a part in the same hood, or from part to part (common practice, no source).
const WITHIN_HOOD: Metres = Metres::literal(0.03);

/// Where a conductor may end: one of the lead's ends, or a part.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum EndId {
    /// The end that goes into a controller, counted from 0.
    Controller(u8),
    /// A part in the hood of one of the ends.
    Part(PartId),
    /// A part inside a controller or a donor. No join of a lead begins or ends there.
    Inside(Holder, PartId),
    /// A switch of the donor: what is soldered there lies across it. Its first contact is the point away from what the
    /// donor's switches share, its second the point on that.
    Switch(SwitchName),
    /// The donor with its own plug, which goes into the machine and stays as it is.
    Donor,
    /// The end that goes into the machine.
    Port,
}

/// What has parts inside: a controller, counted as its end, or the donor.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Holder {
    /// A controller, counted from 0.
    Controller(u8),
    /// The donor.
    Donor,
}

/// One contact of one end, or one leg of a part: what a finding names and what a join begins and ends at.
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
    /// The second controller's, with its controls called as the lead has them, if one is known.
    pub second: Option<String>,
    /// The port's.
    pub port: String,
    /// The donor's, if the lead ends in one.
    pub donor: Option<String>,
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
    /// Its ends: the controllers' in order, then the port's, or the donor's in its place.
    pub ends: Vec<End>,
    /// Whether its second controller end passes the port's contacts through, so that it may stay empty.
    pub passes_through: bool,
    /// Whether either of its controller ends may be empty while the other is played: of a lead with two, until it is [set to
    /// one of its settings](crate::Assembly::set).
    pub may_be_empty: bool,
    /// Which controls perform which actions.
    pub play: PlayMap,
    /// Its parts, in rising order.
    pub parts: Vec<Part>,
    /// What those of its parts that are switches are called, and what their positions are for, by the part.
    pub changeovers: Vec<Changeover>,
    /// Its conductors, in rising order, each once; with a donor those of its own plug too, which stay as they are.
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

impl Proved {
    /// The fingerprints that not every lead has, each with its key in a file.
    pub(crate) const fn others(&self) -> [(&'static str, &Option<String>); 3] {
        [("second", &self.second), ("donor", &self.donor), ("cable", &self.cable)]
    }
}

impl Leg {
    /// Whether current goes on through the part of which this is a leg, towards the return where a low is active, or from
    /// the supply where a high is: through a resistor, and through a diode from its anode.
    pub const fn leads_on(self, active: ActiveLevel) -> bool {
        match (self.part_id(), active) {
            (Some(PartId::Diode(_)), ActiveLevel::Low) => matches!(self.contact, PartId::ANODE),
            (Some(PartId::Diode(_)), ActiveLevel::High) => matches!(self.contact, PartId::CATHODE),
            (Some(PartId::Resistor(_)), _) => true,
            (
                Some(
                    PartId::Capacitor(_)
                    | PartId::Bipolar(_)
                    | PartId::Mosfet(_)
                    | PartId::Chip(_)
                    | PartId::Changeover(_),
                )
                | None,
                _,
            ) => false,
        }
    }

    /// The point of a donor's switch away from what its switches share.
    const LINE: ContactId = ContactId::Number(1);

    /// The point of a donor's switch on what its switches share.
    const COMMON: ContactId = ContactId::Number(2);

    /// The points of a donor's switch: that away from what its switches share, and that on it.
    pub const fn across(switch: SwitchName) -> [Self; 2] {
        let end = EndId::Switch(switch);
        [Self { end, contact: Self::LINE }, Self { end, contact: Self::COMMON }]
    }

    /// A contact of the donor's own plug.
    pub const fn plug(contact: ContactId) -> Self {
        Self { end: EndId::Donor, contact }
    }

    /// A contact of the first controller's end.
    pub const fn controller(contact: ContactId) -> Self {
        Self { end: EndId::Controller(0), contact }
    }

    /// A contact of the second controller's end.
    pub const fn second(contact: ContactId) -> Self {
        Self { end: EndId::Controller(1), contact }
    }

    /// A contact of the port's end.
    pub const fn port(contact: ContactId) -> Self {
        Self { end: EndId::Port, contact }
    }

    /// A leg of a part.
    pub const fn part(id: PartId, contact: ContactId) -> Self {
        Self { end: EndId::Part(id), contact }
    }

    /// The part that it is a leg of.
    pub const fn part_id(self) -> Option<PartId> {
        match self.end {
            EndId::Part(id) => Some(id),
            EndId::Controller(_) | EndId::Inside(..) | EndId::Switch(_) | EndId::Donor | EndId::Port => None,
        }
    }

    /// The donor's switch that it is a point of.
    pub const fn switch(self) -> Option<SwitchName> {
        match self.end {
            EndId::Switch(name) => Some(name),
            EndId::Controller(_) | EndId::Part(_) | EndId::Inside(..) | EndId::Donor | EndId::Port => None,
        }
    }

    /// Whether it is a contact of a connector, with which another one mates.
    pub const fn is_mated(self) -> bool {
        match self.end {
            EndId::Controller(_) | EndId::Port => true,
            EndId::Part(_) | EndId::Inside(..) | EndId::Switch(_) | EndId::Donor => false,
        }
    }
}

impl Holder {
    /// Its end.
    pub const fn end(self) -> EndId {
        match self {
            Self::Controller(at) => EndId::Controller(at),
            Self::Donor => EndId::Donor,
        }
    }

    /// A spot inside it.
    pub const fn leg(self, spot: Spot) -> Leg {
        match spot {
            Spot::Contact(contact) => Leg { end: self.end(), contact },
            Spot::Leg(part, contact) => Leg { end: EndId::Inside(self, part), contact },
        }
    }
}

impl Join {
    /// A conductor between two legs, put in order.
    pub fn new(a: Leg, b: Leg) -> Self {
        if a <= b { Self { from: a, to: b } } else { Self { from: b, to: a } }
    }

    /// Whether it is a contact of the donor's own plug in the port: nobody solders it.
    pub fn is_of_plug(self) -> bool {
        self.from.end == EndId::Donor && self.to.end == EndId::Port
    }

    /// Whether it is a closed contact of a switch: nobody solders it.
    pub fn is_of_switch(self) -> bool {
        self.from.end == self.to.end && matches!(self.from.part_id(), Some(PartId::Changeover(_)))
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
    /// Puts parts and joins in their order, each once.
    pub fn settle(&mut self) {
        self.parts.sort_by_key(Part::id);
        self.changeovers.sort_by_key(|own| own.part);
        self.joins.sort_unstable();
        self.joins.dedup();
    }

    /// The conductors that are soldered: all but those of a donor's own plug and the closed contacts of switches.
    pub fn soldered(&self) -> impl Iterator<Item = &Join> {
        self.joins.iter().filter(|join| !join.is_of_plug() && !join.is_of_switch())
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

    /// All legs that a leg is tied to by joins and through parts, itself among them.
    pub fn reach(&self, leg: Leg) -> BTreeSet<Leg> {
        let mut reach = self.net(leg);
        let mut open: Vec<Leg> = reach.iter().copied().collect();
        while let Some(leg) = open.pop() {
            if let Some(across) = self.across(leg)
                && !reach.contains(&across)
            {
                open.extend(self.net(across).into_iter().filter(|next| reach.insert(*next)));
            }
        }
        reach
    }

    /// The other leg of the diode or the resistor that a leg belongs to: what leads on.
    pub fn across(&self, leg: Leg) -> Option<Leg> {
        let id = leg.part_id().filter(|id| matches!(id, PartId::Diode(_) | PartId::Resistor(_)))?;
        let other = if leg.contact == PartId::ANODE { PartId::CATHODE } else { PartId::ANODE };
        self.part(id).map(|_| Leg::part(id, other))
    }

    /// One of its parts.
    pub fn part(&self, id: PartId) -> Option<&Part> {
        self.parts.iter().find(|part| part.id() == id)
    }

    /// The end in whose hood a leg is: a contact's own, or that in which its part sits. A donor's switches are in its case.
    pub fn hood(&self, leg: Leg) -> EndId {
        let own = if leg.switch().is_some() { EndId::Donor } else { leg.end };
        leg.part_id().and_then(|id| self.part(id)).map_or(own, |part| part.sits)
    }

    /// Whether a join runs through the cable; else it stays within one hood. A donor's own cable is none of the lead's.
    pub fn runs_through_cable(&self, join: &Join) -> bool {
        self.hood(join.from) != self.hood(join.to) && !join.is_of_plug()
    }

    /// The resistance of a join's copper, from joint to joint, in any room. That of a donor's own cable is taken as
    /// none: what a pad's profile says is said of its plug. A switch's contact is what its kind allows.
    pub fn wire_ohms(&self, join: &Join) -> Triple<Ohms> {
        if let Some(Body::Changeover(switch)) =
            join.from.part_id().and_then(|id| self.part(id)).map(|part| part.body)
            && join.is_of_switch()
        {
            return switch.closed_ohms().value;
        }
        if join.is_of_plug() {
            return Triple::exactly(Ohms::ZERO);
        }
        let length = if self.runs_through_cable(join) { self.cord.length } else { WITHIN_HOOD };
        run_ohms(&self.cord.conductor, length)
    }

    /// The end that goes into the machine: the port's, or the donor's.
    pub fn end_at_machine(&self) -> Option<&End> {
        self.ends.iter().find(|end| matches!(end.id, EndId::Donor | EndId::Port))
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
            Self::Part(id) => id.fmt(f),
            Self::Inside(holder, id) => f.pad(&format!("{}.{id}", holder.end())),
            Self::Switch(name) => f.pad(&format!("donor.{name}")),
            Self::Donor => f.pad("donor"),
            Self::Port => f.pad("port"),
        }
    }
}

impl fmt::Display for Leg {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.end {
            EndId::Part(id) => f.pad(&format!("{id}.{}", id.leg_name(self.contact))),
            EndId::Inside(_, id) => f.pad(&format!("{}.{}", self.end, id.leg_name(self.contact))),
            EndId::Switch(_) if self.contact == Self::COMMON => f.pad(&format!("{}.common", self.end)),
            EndId::Switch(_) => self.end.fmt(f),
            EndId::Donor => f.pad(&format!("{}.plug.{}", self.end, self.contact)),
            EndId::Controller(_) | EndId::Port => f.pad(&format!("{}.{}", self.end, self.contact)),
        }
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
    #[error("`{0}` is no end of a lead and no part; write `controller`, `port`, or a part such as `d1`")]
    End(String),
    /// The part has no such leg.
    #[error("`{part}` has no leg `{found}`; write `{part}.{}` or `{part}.{}`", part.legs()[0], part.legs()[1])]
    Leg {
        /// The part.
        part: PartId,
        /// What stands where its leg belongs.
        found: String,
    },
    /// Nothing that a donor can have is called so.
    #[error(
        "`{0}` is no point of a donor; write `donor.up`, or `donor.up.common` for the other side of that switch"
    )]
    Point(String),
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
            "donor" => Ok(Self::Donor),
            _ => text
                .strip_prefix("controller-")
                .and_then(number)
                .map(|number: u8| Self::Controller(number - 1))
                .or_else(|| PartId::parse(text).map(Self::Part))
                .ok_or_else(|| ParseLegError::End(text.to_owned())),
        }
    }
}

impl FromStr for Leg {
    type Err = ParseLegError;

    fn from_str(text: &str) -> Result<Self, Self::Err> {
        let (end, contact) =
            text.trim().split_once('.').ok_or_else(|| ParseLegError::Form(text.trim().to_owned()))?;
        match end.parse()? {
            EndId::Donor => {
                let (name, side) =
                    contact.split_once('.').map_or((contact, None), |(name, side)| (name, Some(side)));
                let [line, common] = SwitchName::new(name)
                    .map(Self::across)
                    .ok_or_else(|| ParseLegError::Point(text.trim().to_owned()))?;
                match side {
                    None => Ok(line),
                    Some("common") => Ok(common),
                    Some(_) => Err(ParseLegError::Point(text.trim().to_owned())),
                }
            }
            EndId::Part(part) => {
                let leg = part.leg(contact);
                leg.map(|leg| Self::part(part, leg))
                    .ok_or_else(|| ParseLegError::Leg { part, found: contact.to_owned() })
            }
            end @ (EndId::Controller(_) | EndId::Inside(..) | EndId::Switch(_) | EndId::Port) => {
                Ok(Self { end, contact: ContactId::parse(contact)? })
            }
        }
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
        for text in [
            "controller.13 - port.6",
            "controller-2.shell - port.8",
            "d1.anode - port.6",
            "r2.1 - r12.2",
            "controller.15 - donor.up",
            "controller.1 - donor.second-fire.common",
        ] {
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
            passes_through: false,
            may_be_empty: false,
            play: PlayMap::default(),
            parts: Vec::new(),
            changeovers: Vec::new(),
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
            Err(
                "`stick` is no end of a lead and no part; write `controller`, `port`, or a part such as `d1`"
                    .to_owned()
            )
        );
        assert_eq!(
            message("donor.up.line"),
            Err("`donor.up.line` is no point of a donor; write `donor.up`, or `donor.up.common` for the other side of \
                 that switch"
                .to_owned())
        );
        assert_eq!(message("d1.1"), Err("`d1` has no leg `1`; write `d1.anode` or `d1.cathode`".to_owned()));
    }
}
