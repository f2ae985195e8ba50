//! Whether the counters inside a controller are at zero when the machine begins to read.

use std::collections::BTreeSet;

use solderside_profile::{Body, Controller, ControllerRole, Port, PortContact, PortRole, Spot};
use solderside_quantity::{Seconds, Triple};
use solderside_trade::{Block, ContactId};

use crate::assembly::Assembly;
use crate::lead::{Holder, Leg};

/// A controller whose counters forget what they have counted when the machine's lines rest.
#[derive(Debug, Clone, PartialEq)]
pub struct Forgetting {
    /// Which one it is.
    pub controller: Holder,
    /// How long the lines must rest until its counters are at zero again.
    pub forgets: Triple<Seconds>,
    /// What stands against their being at zero when a reading begins, and counting to its end.
    pub doubts: Vec<Doubt>,
}

/// What stands against counters that begin at zero and forget nothing while they are read.
#[derive(Debug, Clone, PartialEq)]
pub enum Doubt {
    /// Nobody says how long the machine lets its lines rest between two readings.
    RestUnknown,
    /// It lets them rest for less than the counters may need.
    RestShort(Triple<Seconds>),
    /// Nobody says how long this step lasts.
    HoldUnknown(String),
    /// The steps take together as long as the counters may need to forget, or longer.
    ReadingLong(Triple<Seconds>),
}

impl Doubt {
    /// Whether a typical controller on a typical machine does not count from zero.
    pub fn is_typical(&self, forgets: Triple<Seconds>) -> bool {
        match self {
            Self::RestUnknown | Self::HoldUnknown(_) => false,
            Self::RestShort(rest) => rest.typical() < forgets.typical(),
            Self::ReadingLong(reading) => reading.typical() >= forgets.typical(),
        }
    }
}

impl Assembly {
    /// The controllers whose counters forget.
    ///
    /// What nobody publishes is from which edge on the time runs: so it must be over if it runs from the last one of a
    /// reading, and must not be if it runs from the first. Where no line that the machine can drive is joined, or all that
    /// the counters count is wired to the pad's own supply or ground, nothing ever moves, and they stay at zero.
    pub fn forgetting(&self) -> Vec<Forgetting> {
        let forgets = |(controller, pad): (Holder, &Controller)| {
            let forgets = pad.inside.as_ref()?.forgets?;
            let is_moved = self.moved_by_port().next().is_some() && !self.stands_still(controller, pad);
            let doubts = if is_moved { doubts(&self.port, forgets) } else { Vec::new() };
            Some(Forgetting { controller, forgets, doubts })
        };
        self.holders().filter_map(forgets).collect()
    }

    /// Whether copper leads from the clock of each counter inside a pad to the pad's own supply or ground.
    fn stands_still(&self, controller: Holder, pad: &Controller) -> bool {
        let Some(inside) = &pad.inside else { return false };
        let is_rail = |contact: ContactId| {
            let role = pad.contacts.get(&contact).map(|contact| &contact.role);
            matches!(role, Some(ControllerRole::Supply | ControllerRole::Common))
        };
        let is_tied = |contact: ContactId| {
            let net = self.lead.net(Leg { end: controller.end(), contact });
            net.iter().any(|leg| leg.end == controller.end() && is_rail(leg.contact))
        };
        let clocks = inside.parts.iter().flat_map(|part| {
            let Body::Chip(chip) = part.body else { return Vec::new() };
            let clock =
                |block: &Block| if let Block::Counter(counter) = block { Some(counter.clock) } else { None };
            let clocks = chip.sheet().blocks.iter().filter_map(clock);
            clocks.map(|clock| Spot::Leg(part.id, ContactId::Number(clock))).collect()
        });
        clocks
            .map(|clock| inside.net(clock))
            .all(|net| net.iter().any(|spot| matches!(spot, Spot::Contact(contact) if is_tied(*contact))))
    }

    /// The controllers whose counters are at zero when a reading begins.
    pub(crate) fn at_zero(&self) -> BTreeSet<Holder> {
        let certain = self.forgetting().into_iter().filter(|own| own.doubts.is_empty());
        certain.map(|own| own.controller).collect()
    }

    /// The joined contacts that the machine can drive.
    pub fn moved_by_port(&self) -> impl Iterator<Item = ContactId> {
        let drives =
            |contact: &PortContact| matches!(contact.role, PortRole::Drive(_)) || contact.driven.is_some();
        let contacts = self.port.contacts.iter().filter(move |(_, contact)| drives(contact));
        contacts.map(|(id, _)| *id).filter(|id| self.lead.joined(Leg::port(*id)).next().is_some())
    }
}

fn doubts(port: &Port, forgets: Triple<Seconds>) -> Vec<Doubt> {
    let mut doubts = Vec::new();
    match port.rest {
        None => doubts.push(Doubt::RestUnknown),
        Some(rest) if rest.low() < forgets.high() => doubts.push(Doubt::RestShort(rest)),
        Some(_) => {}
    }
    let mut reading = Triple::exactly(Seconds::ZERO);
    for step in &port.steps {
        let Some(hold) = step.hold else {
            doubts.push(Doubt::HoldUnknown(step.name.clone()));
            return doubts;
        };
        reading = reading.plus(hold);
    }
    if reading.high() >= forgets.low() {
        doubts.push(Doubt::ReadingLong(reading));
    }
    doubts
}
