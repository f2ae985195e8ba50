//! The port's own pad, opened, as the converter: a controller's switches are laid across its own.
//!
//! A point to solder to has the name of the control whose switch it is at: `donor.up` lies away from what the pad's
//! switches share, `donor.up.common` on it. So a person finds both with a meter, whatever the board looks like.

use std::collections::{BTreeMap, BTreeSet};
use std::fmt;

use solderside_profile::{Control, Controller, ControllerContact, ControllerRole, Fact, LONGEST_NAME, Spot};
use solderside_trade::{Connector, ContactId, Evidence, Family, Gender, TerminalCount};

use crate::lead::{EndId, Holder, Join, Leg};

/// A pad that may serve as a donor, with the two points of each of its switches.
#[derive(Debug, Clone, PartialEq)]
pub struct Donor {
    pad: Controller,
    switches: BTreeMap<SwitchName, Switch>,
    is_left_alone: bool,
}

/// A switch of a donor.
#[derive(Debug, Clone, PartialEq, Eq)]
struct Switch {
    control: Control,
    /// What its points are one with: that away from what the switches share, and that on it.
    spots: [Spot; 2],
    /// All that its shared point is one with.
    common: BTreeSet<Spot>,
}

/// The name of a control whose switch a donor has, kept so that it is copied like a number.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct SwitchName([u8; LONGEST_NAME]);

/// Why a pad cannot be a donor.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum NoDonor {
    /// Of its chips nobody knows how its switches are wired to them.
    #[error(
        "nothing is known of what is inside `{0}`: its profile has `logic`, which only says what its plug shows"
    )]
    Unknown(String),
    /// Its pots would go on moving what a lead asks for.
    #[error("`{0}` has pots, which go on setting their axes whatever is soldered to its switches")]
    Pots(String),
    /// There is nothing to solder to.
    #[error("`{0}` has no switches")]
    NoSwitches(String),
}

impl SwitchName {
    /// Takes a control's name.
    pub fn new(name: &str) -> Option<Self> {
        Control::new(name).as_ref().and_then(Self::of)
    }

    /// The name of a control; none of one that no checked profile has.
    fn of(control: &Control) -> Option<Self> {
        let name = control.as_str().as_bytes();
        let mut own = [0; LONGEST_NAME];
        own.get_mut(..name.len())?.copy_from_slice(name);
        Some(Self(own))
    }

    /// The name.
    pub fn as_str(&self) -> &str {
        let end = self.0.iter().position(|byte| *byte == 0).unwrap_or(LONGEST_NAME);
        self.0.get(..end).and_then(|name| std::str::from_utf8(name).ok()).unwrap_or_default()
    }
}

impl fmt::Display for SwitchName {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(self.as_str())
    }
}

impl Donor {
    /// Opens a pad.
    ///
    /// # Errors
    /// Says why it cannot serve.
    pub fn open(pad: Controller) -> Result<Self, NoDonor> {
        if pad.logic.is_some() {
            return Err(NoDonor::Unknown(pad.name));
        }
        if pad.axes().next().is_some() {
            return Err(NoDonor::Pots(pad.name));
        }
        let switches = switches(&pad);
        if switches.is_empty() {
            return Err(NoDonor::NoSwitches(pad.name));
        }
        Ok(Self { pad, switches, is_left_alone: false })
    }

    /// The same donor with nobody ever touching its own buttons. A lead that fails so fails; one that works so need not.
    #[must_use]
    pub fn left_alone(self) -> Self {
        Self { is_left_alone: true, ..self }
    }

    /// Whether nobody ever touches its own buttons.
    pub(crate) const fn is_left_alone(&self) -> bool {
        self.is_left_alone
    }

    /// The pad.
    pub const fn pad(&self) -> &Controller {
        &self.pad
    }

    /// The controls at whose switches something can be soldered, each with its two points, in the pad's order.
    pub fn points(&self) -> Vec<(&Control, [Leg; 2])> {
        let of = |control: &Control| {
            let (name, switch) = self.switches.get_key_value(&SwitchName::of(control)?)?;
            Some((&switch.control, Leg::across(*name)))
        };
        self.pad.controls().into_iter().filter_map(of).collect()
    }

    /// The points of a control's switch.
    pub fn points_of(&self, control: &Control) -> Option<[Leg; 2]> {
        let name = SwitchName::of(control)?;
        self.switches.contains_key(&name).then(|| Leg::across(name))
    }

    /// What a point is one with inside the pad; none if the pad has no such point.
    pub fn spot(&self, point: Leg) -> Option<Spot> {
        let [line, common] = self.switches.get(&point.switch()?)?.spots;
        Some(if Leg::across(point.switch()?)[0] == point { line } else { common })
    }

    /// The control whose switch a point is at, and whether the point is what that switch shares with others.
    pub fn function(&self, point: Leg) -> Option<(&Control, bool)> {
        let name = point.switch()?;
        let switch = self.switches.get(&name)?;
        Some((&switch.control, Leg::across(name)[1] == point))
    }

    /// All that a point is one with inside the pad, without a part between.
    pub fn net(&self, point: Leg) -> BTreeSet<Spot> {
        self.spot(point).map_or_else(BTreeSet::new, |spot| net(&self.pad, spot))
    }

    /// The controls by what their switches share, in the pad's order: one list if all share one common.
    pub fn by_common(&self) -> Vec<Vec<&Control>> {
        let mut found: Vec<(&BTreeSet<Spot>, Vec<&Control>)> = Vec::new();
        for (control, _) in self.points() {
            let Some(switch) = SwitchName::of(control).and_then(|name| self.switches.get(&name)) else {
                continue;
            };
            match found.iter_mut().find(|(common, _)| **common == switch.common) {
                Some((_, controls)) => controls.push(control),
                None => found.push((&switch.common, vec![control])),
            }
        }
        found.into_iter().map(|(_, controls)| controls).collect()
    }

    /// The same pad as nothing but these points in a row, counted from 1 as if they were the ends of wires: on a board they
    /// lie wherever its maker put them. None of fewer than two or more than forty.
    pub fn in_a_row(&self, points: &[Leg]) -> Option<Self> {
        let count = TerminalCount::new(u8::try_from(points.len()).ok()?)?;
        let connector = Connector { family: Family::Terminals(count), gender: Gender::Plug };
        let contact = |point: &Leg| {
            let (control, is_common) = self.function(*point)?;
            let called = if is_common { format!("common of {control}") } else { control.to_string() };
            let fact = Fact { evidence: Evidence::Published, source: String::new() };
            let role = ControllerRole::Wired { called };
            Some(ControllerContact { role, closes_to: None, series: None, fact, note: None })
        };
        let contacts: Option<BTreeMap<_, _>> =
            (1..).map(ContactId::Number).zip(points).map(|(id, point)| Some((id, contact(point)?))).collect();
        let pad = Controller { connector, contacts: contacts?, inside: None, ..self.pad.clone() };
        Some(Self { pad, switches: BTreeMap::new(), ..self.clone() })
    }

    /// The joins of its own plug: contact to contact, as it goes straight into the port. What leads nowhere inside it
    /// joins nothing, and of what its profile does not know it goes into its own port as it always did.
    pub(crate) fn plug(&self) -> impl Iterator<Item = Join> {
        let wired = self.pad.contacts.iter().filter(|(_, contact)| contact.role != ControllerRole::Unused);
        wired.map(|(id, _)| Join::new(Leg::plug(*id), Leg::port(*id)))
    }

    /// The spots of each control's switch with its points, as legs; a resistor in series with a switch lies between.
    pub(crate) fn ties(&self) -> impl Iterator<Item = (&Control, [[Leg; 2]; 2])> {
        self.switches.iter().map(|(name, switch)| {
            let [line, common] = Leg::across(*name);
            let [own_line, own_common] = switch.spots.map(|spot| Holder::Donor.leg(spot));
            (&switch.control, [[line, own_line], [common, own_common]])
        })
    }
}

/// The switches of a pad. Of the two sides of one that stands inside, the shared one is that with more switches on it,
/// then that with a common of the plug, then the second.
fn switches(pad: &Controller) -> BTreeMap<SwitchName, Switch> {
    let mut between: Vec<(&Control, [Spot; 2])> = Vec::new();
    for control in pad.controls() {
        let own = pad.contact_of(control).zip(pad.commons_of(control).first().copied());
        between.extend(own.map(|(contact, common)| (control, [contact, common].map(Spot::Contact))));
    }
    let inside = pad.inside.iter().flat_map(|inside| &inside.switches);
    between.extend(inside.map(|switch| (&switch.control, switch.between)));
    let nets: Vec<[BTreeSet<Spot>; 2]> =
        between.iter().map(|(_, sides)| sides.map(|side| net(pad, side))).collect();
    let is_common = |spot: &Spot| match spot {
        Spot::Contact(contact) => {
            pad.contacts.get(contact).is_some_and(|contact| contact.role == ControllerRole::Common)
        }
        Spot::Leg(..) => false,
    };
    let shared = |net: &BTreeSet<Spot>| {
        let count = nets.iter().filter(|sides| sides.contains(net)).count();
        (count, net.iter().any(is_common))
    };
    let mut found = BTreeMap::new();
    for ((control, [one, other]), [net_of_one, net_of_other]) in between.iter().zip(&nets) {
        let Some(name) = SwitchName::of(control) else { continue };
        let is_at_contact = pad.contact_of(control).is_some();
        let turned = !is_at_contact && shared(net_of_one) > shared(net_of_other);
        let (spots, common) =
            if turned { ([*other, *one], net_of_one) } else { ([*one, *other], net_of_other) };
        let switch = Switch { control: (*control).clone(), spots, common: common.clone() };
        found.insert(name, switch);
    }
    found
}

/// All that is one with a spot, itself among it.
fn net(pad: &Controller, spot: Spot) -> BTreeSet<Spot> {
    let mut ties: Vec<[Spot; 2]> = pad.inside.iter().flat_map(|inside| &inside.joins).copied().collect();
    for commons in pad.common_nets() {
        let pairs = commons.iter().zip(commons.iter().skip(1));
        ties.extend(pairs.map(|(one, other)| [*one, *other].map(Spot::Contact)));
    }
    let mut net = BTreeSet::from([spot]);
    let mut open = vec![spot];
    while let Some(at) = open.pop() {
        for [one, other] in &ties {
            let next = if *one == at { other } else { one };
            if (*one == at || *other == at) && net.insert(*next) {
                open.push(*next);
            }
        }
    }
    net
}

/// The contacts of a plug among spots.
pub(crate) fn contacts(net: &BTreeSet<Spot>) -> impl Iterator<Item = ContactId> {
    net.iter().filter_map(|spot| match spot {
        Spot::Contact(contact) => Some(*contact),
        Spot::Leg(..) => None,
    })
}

/// Whether a leg is a donor's: a contact of its plug or a point of one of its switches.
pub(crate) const fn is_of_donor(leg: Leg) -> bool {
    matches!(leg.end, EndId::Donor | EndId::Switch(_))
}
