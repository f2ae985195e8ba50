//! A problem as it would be without one of its facts.

use std::collections::BTreeMap;

use solderside_profile::{
    Action, Control, Controller, ControllerContact, ControllerRole, Fact as Known, Limits, Port, PortContact,
    PortRole, Step, Supply,
};
use solderside_quantity::{Amps, Ohms, Triple, Volts};
use solderside_trade::{ContactId, Evidence, SwitchKind};

use super::{Fact, FactKind};
use crate::plain::Problem;

/// A contact that the port would have: its number is beyond every connector's, so it takes no other's place.
const SPARE: ContactId = ContactId::Number(u8::MAX);

/// Makes the problem as it would be without the fact.
pub(super) fn drop_fact(problem: &mut Problem, fact: &Fact) {
    let sound = Known { evidence: Evidence::Assumed, source: "as if".to_owned() };
    let contact = |role: PortRole| PortContact::bare(role, sound.clone());
    let supply = Supply {
        volts: Triple::exactly(Volts::literal(5.0)),
        ohms: Triple::exactly(Ohms::literal(0.1)),
        ohms_stated: true,
        amps_max: Amps::literal(100.0),
        amps_max_stated: true,
    };
    match &fact.kind {
        FactKind::Wish(action) => problem.give_up(action),
        FactKind::Must(control) => problem.must.retain(|other| other != control),
        FactKind::Joined(join) => problem.joins.retain(|other| other != join),
        FactKind::Unasked(control) => {
            // A fire can have a second button; a direction is the lever's.
            let fires = &problem.port.fire_order;
            let parts = problem.play.iter_mut();
            if let Some(part) = parts.rev().find(|part| fires.contains(&part.action)) {
                part.controls.push(control.clone());
            }
        }
        FactKind::NeedsSupply => problem.controller.logic = None,
        FactKind::NoSupply => _ = problem.port.contacts.insert(SPARE, contact(PortRole::Supply(supply))),
        FactKind::NoReturn => _ = problem.port.contacts.insert(SPARE, contact(PortRole::Return)),
        FactKind::PulledUp(id) => {
            problem.port.contacts.insert(*id, contact(PortRole::Supply(supply)));
            forget_gone(problem);
        }
        FactKind::SupplyLimit(id) => {
            if let Some(PortContact { role: PortRole::Supply(own), .. }) = problem.port.contacts.get_mut(id) {
                own.amps_max = supply.amps_max;
            }
        }
        FactKind::Limit(id) => {
            if let Some(contact) = problem.port.contacts.get_mut(id) {
                contact.limits = Limits {
                    volts: Some((Volts::literal(-1000.0), Volts::literal(1000.0))),
                    sink_amps: Some(supply.amps_max),
                    source_amps: Some(supply.amps_max),
                };
            }
        }
        FactKind::SupplyVolts(id) => {
            if let Some(PortContact { role: PortRole::Supply(own), .. }) = problem.port.contacts.get_mut(id) {
                own.volts = supply.volts;
            }
        }
        FactKind::SharedLine(id) => share_no_more(&mut problem.port, *id),
        FactKind::Identity => problem.port.steps.iter_mut().for_each(|step| step.expects.clear()),
        FactKind::Inside => {
            lead_out(&mut problem.controller, &sound);
            problem.ties.clear();
        }
        FactKind::TheseActions => problem.only_these_actions = false,
        FactKind::SeriesResistors => {
            problem.controller.contacts.values_mut().for_each(|contact| contact.series = None);
        }
        FactKind::WornContacts => problem.controller.switch = SwitchKind::Microswitch,
        FactKind::StrongPullUp(name) | FactKind::NoPullUp(name) => {
            if let Some(input) = problem.port.inputs.get_mut(name) {
                input.pull_up = Some(Triple::exactly(Ohms::literal(47e3)));
            }
        }
        FactKind::ClosesToSupply(name) => {
            if let Some(input) = problem.port.inputs.get_mut(name) {
                input.pull_up = Some(Triple::exactly(Ohms::literal(47e3)));
                input.pull_down = None;
                input.charge = None;
            }
        }
        FactKind::OnlyWire => problem.only_wire = false,
        FactKind::NotComposed(id) => read_no_more(problem, *id),
        FactKind::InCable => problem.cable = None,
        // These are told without a search.
        FactKind::Second
        | FactKind::NoPort
        | FactKind::Speaks(_)
        | FactKind::NothingAsked
        | FactKind::WireServes
        | FactKind::OnlyClasses
        | FactKind::Switched
        | FactKind::NotInDrawer => {}
    }
}

/// Takes a contact's reading from the machine.
fn read_no_more(problem: &mut Problem, id: ContactId) {
    let read = problem.port.contacts.get(&id).and_then(PortContact::action).cloned();
    if let Some(contact) = problem.port.contacts.get_mut(&id) {
        contact.role = PortRole::Unused;
    }
    for step in &mut problem.port.steps {
        step.reads.remove(&id);
        step.expects.remove(&id);
        for actions in [&mut step.quiet, &mut step.held] {
            actions.retain(|action| Some(action) != read.as_ref());
        }
    }
    forget_gone(problem);
}

/// Contacts that a connector would have beside its own, the spare one aside.
fn more_contacts<C>(own: &BTreeMap<ContactId, C>) -> impl Iterator<Item = ContactId> + use<C> {
    let taken: Vec<ContactId> = own.keys().copied().collect();
    (0..u8::MAX).rev().map(ContactId::Number).filter(move |id| !taken.contains(id))
}

/// Gives each action that is read from a contact, but for the first, a contact of its own.
fn share_no_more(port: &mut Port, shared: ContactId) {
    let Some(contact) = port.contacts.get(&shared).cloned() else { return };
    let mut more = more_contacts(&port.contacts);
    let first = port.steps.iter().find_map(|step| step.reads.get(&shared)).cloned();
    let mut own: BTreeMap<Action, ContactId> = first.map(|action| (action, shared)).into_iter().collect();
    for step in &mut port.steps {
        let Some(action) = step.reads.remove(&shared) else { continue };
        let id = *own.entry(action.clone()).or_insert_with(|| more.next().unwrap_or(shared));
        step.reads.insert(id, action);
    }
    port.contacts.extend(own.into_values().map(|id| (id, contact.clone())));
}

/// Gives each control that acts through what is inside a contact of its own, which closes to the common.
fn lead_out(controller: &mut Controller, sound: &Known) {
    let Some(inside) = controller.inside.take() else { return };
    for contact in controller.contacts.values_mut() {
        if matches!(contact.role, ControllerRole::Wired { .. }) {
            contact.role = ControllerRole::Unused;
        }
    }
    let own = |control: Control| ControllerContact {
        role: ControllerRole::Control(control),
        closes_to: None,
        series: None,
        fact: sound.clone(),
        note: None,
    };
    let more = more_contacts(&controller.contacts);
    let led = inside.switches.into_iter().map(|switch| own(switch.control));
    controller.contacts.extend(more.zip(led));
}

/// Takes actions out that no contact has any more.
fn forget_gone(problem: &mut Problem) {
    let left: Vec<Action> = problem.port.actions().into_iter().cloned().collect();
    problem.play.retain(|part| left.contains(&part.action));
    problem.port.fire_order.retain(|action| left.contains(action));
    for Step { samples, .. } in &mut problem.port.steps {
        if let Some(samples) = samples {
            samples.retain(|action| left.contains(action));
        }
    }
}
