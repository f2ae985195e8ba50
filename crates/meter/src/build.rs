//! A lead as it was really soldered: every conductor with its two joints, every bridge, every part.

use std::collections::BTreeMap;

use solderside_lead::{Assembly, Body, EndId, Join, Leg, Part, PartId, Resistor};
use solderside_profile::{Control, ControllerRole};
use solderside_quantity::{Ohms, Triple};
use solderside_trade::ContactId;

use crate::bench::{Bench, MeantWire, Spot};

/// An end of a conductor by its number: which conductor, and which of its two ends.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct WireEnd {
    pub(crate) wire: usize,
    pub(crate) side: usize,
}

/// What a joint is like.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Joint {
    /// Next to nothing.
    Sound,
    /// So many ohms.
    Weak(Triple<Ohms>),
    /// Nothing flows.
    Open,
}

/// A conductor where it really ends.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Wire {
    pub(crate) ends: [Spot; 2],
    pub(crate) joints: [Joint; 2],
}

/// A lead as it was really soldered.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Build {
    wires: Vec<Wire>,
    bridges: Vec<[Spot; 2]>,
    missing: Vec<PartId>,
    scaled: Vec<(PartId, f64)>,
    bent: Vec<Spot>,
    /// Where the legs of chips lie that sit turned round in their sockets.
    turned: BTreeMap<Spot, Spot>,
    dirty: Vec<(EndId, Control)>,
    stuck: Vec<(EndId, Control)>,
    dead: Vec<ContactId>,
}

impl Joint {
    /// A weak joint: what is more counts as open, what is less as sound (the trade's usual bounds for a joint that a
    /// buzzer calls right; common practice, no source).
    pub(crate) const WEAK: Self = Self::Weak(Triple::<Ohms>::literal(50.0, 500.0, 5000.0));
}

/// A bent leg is a place of its own, with this added to its number: no chip has so many.
const BENT: u8 = 128;

/// Weak joints are resistors of the lead, numbered from here.
const FIRST_WEAK: u8 = 200;

impl Build {
    pub(crate) const fn new(wires: Vec<Wire>) -> Self {
        Self {
            wires,
            bridges: Vec::new(),
            missing: Vec::new(),
            scaled: Vec::new(),
            bent: Vec::new(),
            turned: BTreeMap::new(),
            dirty: Vec::new(),
            stuck: Vec::new(),
            dead: Vec::new(),
        }
    }

    pub(crate) fn wires(&self) -> &[Wire] {
        &self.wires
    }

    pub(crate) fn bridges(&self) -> &[[Spot; 2]] {
        &self.bridges
    }

    pub(crate) fn has_weak_joints(&self) -> bool {
        self.wires.iter().flat_map(|wire| wire.joints).any(|joint| matches!(joint, Joint::Weak(_)))
    }

    pub(crate) fn dead(&self) -> &[ContactId] {
        &self.dead
    }

    /// A part as it sits there; none if it is missing.
    pub(crate) fn body(&self, part: &Part) -> Option<Body> {
        if self.missing.contains(&part.id()) {
            return None;
        }
        let scale = |ohms: Ohms, by: f64| Ohms::new(ohms.get() * by).unwrap_or(ohms);
        let body = self.scaled.iter().filter(|(id, _)| *id == part.id()).fold(part.body, |body, (_, by)| {
            if let Body::Resistor(own) = body {
                Body::Resistor(Resistor { ohms: scale(own.ohms, *by), ..own })
            } else {
                body
            }
        });
        Some(body)
    }

    /// Whether a control's switch closes.
    pub(crate) fn closes(&self, end: EndId, control: &Control) -> bool {
        !self.dirty.iter().any(|(at, dirty)| *at == end && dirty == control)
    }

    /// Whether a control's switch is always closed.
    pub(crate) fn is_stuck(&self, end: EndId, control: &Control) -> bool {
        self.stuck.iter().any(|(at, stuck)| *at == end && stuck == control)
    }

    pub(crate) fn joint(&mut self, tip: WireEnd, joint: Joint) {
        let own = &mut self.wires[tip.wire].joints[tip.side];
        // What is open stays open, whatever else is wrong with it.
        if *own != Joint::Open {
            *own = joint;
        }
    }

    pub(crate) fn bridge(&mut self, spots: [Spot; 2]) {
        self.bridges.push(spots);
    }

    pub(crate) fn swap(&mut self, one: WireEnd, other: WireEnd) {
        let [a, b] = [one, other].map(|tip| self.wires[tip.wire].ends[tip.side]);
        self.wires[one.wire].ends[one.side] = b;
        self.wires[other.wire].ends[other.side] = a;
    }

    pub(crate) fn move_tip(&mut self, tip: WireEnd, to: Spot) {
        self.wires[tip.wire].ends[tip.side] = to;
    }

    pub(crate) fn move_all(&mut self, to: &BTreeMap<Spot, Spot>) {
        for end in self.wires.iter_mut().flat_map(|wire| &mut wire.ends) {
            *end = to.get(end).copied().unwrap_or(*end);
        }
    }

    /// Puts wires back where they belong: a switch's own contacts stay in it, however it is turned.
    pub(crate) fn put_back<'w>(&mut self, wires: impl Iterator<Item = (usize, &'w MeantWire)>) {
        for (at, meant) in wires {
            self.wires[at].ends = meant.tips;
        }
    }

    /// Whether a part is not there.
    pub(crate) fn lacks(&self, part: PartId) -> bool {
        self.missing.contains(&part)
    }

    pub(crate) fn leave_out(&mut self, part: PartId) {
        self.missing.push(part);
    }

    pub(crate) fn scale(&mut self, part: PartId, by: f64) {
        self.scaled.push((part, by));
    }

    pub(crate) fn bend(&mut self, leg: Spot) {
        self.bent.push(leg);
    }

    /// Turns chips in their sockets: which leg now lies where another belongs. Their sockets and wires stay.
    pub(crate) fn turn(&mut self, legs: BTreeMap<Spot, Spot>) {
        self.turned.extend(legs);
    }

    pub(crate) fn dirty(&mut self, end: EndId, control: Control) {
        self.dirty.push((end, control));
    }

    pub(crate) fn stick(&mut self, end: EndId, control: Control) {
        self.stuck.push((end, control));
    }

    pub(crate) fn kill(&mut self, input: ContactId) {
        self.dead.push(input);
    }

    /// The lead as the machine gets it, weak joints with the resistance that `weak` picks from their range. What is dead
    /// in the machine is not in it.
    pub(crate) fn assembly(&self, bench: &Bench<'_>, weak: impl Fn(Triple<Ohms>) -> Ohms) -> Assembly {
        let mut assembly = bench.assembly().clone();
        let lead = &mut assembly.lead;
        lead.parts = bench
            .parts()
            .iter()
            .filter_map(|part| self.body(part).map(|body| Part { body, ..*part }))
            .collect();
        let leg = |spot: Spot| match bench.spots()[self.turned.get(&spot).copied().unwrap_or(spot)] {
            Leg { end, contact: ContactId::Number(number) } if self.bent.contains(&spot) => {
                Leg { end, contact: ContactId::Number(number.saturating_add(BENT)) }
            }
            leg => leg,
        };
        let mut joins: Vec<Join> = Vec::new();
        let mut weak_joints = (FIRST_WEAK..).map(PartId::Resistor);
        for (wire, meant) in self.wires.iter().zip(bench.wires()) {
            if is_gone(self, meant) {
                continue;
            }
            let mut legs = wire.ends.map(leg);
            let mut is_open = false;
            for (end, joint) in legs.iter_mut().zip(wire.joints) {
                match joint {
                    Joint::Sound => {}
                    Joint::Open => is_open = true,
                    Joint::Weak(ohms) => {
                        let Some(id) = weak_joints.next() else { continue };
                        let sits = bench.assembly().lead.hood(*end);
                        let body = Body::Resistor(Resistor { ohms: weak(ohms), tolerance: 0.0 });
                        lead.parts.push(Part { number: id.number(), body, sits });
                        joins.push(Join::new(*end, Leg::part(id, PartId::ANODE)));
                        *end = Leg::part(id, PartId::CATHODE);
                    }
                }
            }
            if !is_open && legs[0] != legs[1] {
                joins.push(Join::new(legs[0], legs[1]));
            }
        }
        joins.extend(self.bridges.iter().map(|[a, b]| Join::new(leg(*a), leg(*b))));
        // A closed contact is a wire from its contact to its common.
        for (end, control) in &self.stuck {
            let Some(controller) = bench.assembly().controller(*end) else { continue };
            let common = controller.commons_of(control).first().copied();
            if let Some((contact, common)) = controller.contact_of(control).zip(common) {
                joins.push(Join::new(Leg { end: *end, contact }, Leg { end: *end, contact: common }));
            }
        }
        lead.joins = joins;
        lead.settle();
        for (end, control) in &self.dirty {
            let EndId::Controller(at) = end else { continue };
            let Some(controller) = assembly.controllers.get_mut(usize::from(*at)) else { continue };
            for contact in controller.contacts.values_mut() {
                if contact.role.control() == Some(control) {
                    contact.role = ControllerRole::Unused;
                }
            }
        }
        assembly
    }
}

/// Whether a wire is the contact of a switch that is missing.
pub(crate) fn is_gone(build: &Build, meant: &MeantWire) -> bool {
    meant.join.is_of_switch() && meant.join.from.part_id().is_some_and(|id| build.lacks(id))
}
