//! What is charged when a line moves: cable, contacts, chips' legs, capacitors.

use std::collections::BTreeMap;

use solderside_circuit::Node;
use solderside_lead::{Assembly, Body, Circuit, EndId, Leg, PartId};
use solderside_profile::PortRole;
use solderside_quantity::{Farads, Metres, Triple};
use solderside_trade::{
    CONTROLLER_CONTACT_FARADS, CORE_FARADS_PER_METRE, ContactId, MACHINE_CONTACT_FARADS,
    SCREENED_CORE_FARADS_PER_METRE,
};

/// The capacitances of a circuit, each against everything that stands still.
#[derive(Default)]
pub(crate) struct Charged {
    /// By node.
    pub(crate) at: BTreeMap<Node, Triple<Farads>>,
    /// One by one, with what it is.
    pub(crate) each: Vec<(Node, Farads, String)>,
}

impl Charged {
    /// Everything that is charged in a circuit.
    pub(crate) fn of(assembly: &Assembly, circuit: &Circuit) -> Self {
        let mut charged = Self::default();
        charged.take_cable(assembly, circuit);
        for (id, contact) in &assembly.port.contacts {
            let leg = Leg::port(*id);
            let farads = match &contact.role {
                // What it charges by itself is measured, and no level.
                PortRole::Action { .. } | PortRole::Data { .. } | PortRole::Sense { .. } => {
                    let own = assembly.port.input_of(*id).and_then(|input| input.charge);
                    let contact = MACHINE_CONTACT_FARADS.value;
                    own.map_or(contact, |charge| contact.plus(charge.farads))
                }
                PortRole::Drive(_)
                | PortRole::Axis(_)
                | PortRole::Supply(_)
                | PortRole::Fed(_)
                | PortRole::Signal(_)
                | PortRole::Return
                | PortRole::Pot
                | PortRole::Unused => MACHINE_CONTACT_FARADS.value,
            };
            charged.put(circuit, leg, farads, &format!("`{leg}`"));
        }
        for (holder, controller) in assembly.holders() {
            let end = holder.end();
            for id in controller.contacts.keys() {
                let leg = Leg { end, contact: *id };
                let what = format!("`{leg}` with the controller's own cord");
                charged.put(circuit, leg, CONTROLLER_CONTACT_FARADS.value, &what);
            }
            for part in controller.inside.iter().flat_map(|inside| &inside.parts) {
                charged.take_part(circuit, EndId::Inside(holder, part.id), part.body);
            }
        }
        for part in &assembly.lead.parts {
            charged.take_part(circuit, EndId::Part(part.id()), part.body);
        }
        charged
    }

    /// Each join through the cable, half of it at either end.
    fn take_cable(&mut self, assembly: &Assembly, circuit: &Circuit) {
        let is_screened = assembly.lead.cable.as_ref().is_some_and(|cable| cable.drain);
        let metre = if is_screened { SCREENED_CORE_FARADS_PER_METRE } else { CORE_FARADS_PER_METRE }.value;
        let halves = assembly.lead.cord.length / Metres::literal(2.0);
        let Ok(half) = metre.map_rising::<Farads>(|farads| farads * halves) else { return };
        for join in assembly.lead.joins.iter().filter(|join| assembly.lead.runs_through_cable(join)) {
            for leg in [join.from, join.to] {
                self.put(circuit, leg, half, "the cable");
            }
        }
    }

    fn take_part(&mut self, circuit: &Circuit, end: EndId, body: Body) {
        match body {
            Body::Chip(chip) => {
                let farads = chip.sheet().leg_farads.value;
                for contact in (1..).zip(chip.sheet().legs).map(|(number, _)| ContactId::Number(number)) {
                    let leg = Leg { end, contact };
                    self.put(circuit, leg, farads, &format!("`{leg}`"));
                }
            }
            // Between two lines it counts at both: that is never less than what it is.
            Body::Capacitor(capacitor) => {
                for contact in [PartId::ANODE, PartId::CATHODE] {
                    let leg = Leg { end, contact };
                    self.put(circuit, leg, capacitor.triple(), &format!("`{end}`"));
                }
            }
            // What lies between base and collector counts at both, and at the base twice, as the collector moves the
            // other way meanwhile; what more a bipolar one takes is in its delay.
            Body::Transistor(transistor) => {
                let sheet = transistor.sheet();
                let between = sheet.output_farads.value;
                let base = sheet.input_farads.value.plus(between).plus(between);
                for (contact, farads) in [(PartId::BASE, base), (PartId::COLLECTOR, between)] {
                    let leg = Leg { end, contact };
                    self.put(circuit, leg, farads, &format!("`{leg}`"));
                }
            }
            Body::Diode(_) | Body::Resistor(_) | Body::Changeover(_) => {}
        }
    }

    fn put(&mut self, circuit: &Circuit, leg: Leg, farads: Triple<Farads>, what: &str) {
        let Some(node) = circuit.node(leg).filter(|node| *node != Node::GROUND) else { return };
        let sum = self.at.entry(node).or_insert(Triple::exactly(Farads::ZERO));
        *sum = sum.plus(farads);
        self.each.push((node, farads.high(), what.to_owned()));
    }
}
