//! Which lines of the machine a lead can tie together: by wire, through parts, or through what is in a controller.

use std::collections::BTreeSet;

use solderside_lead::{Assembly, EndId, Leg};
use solderside_profile::ControllerRole;
use solderside_trade::ContactId;

/// All legs that can be tied to each other, and the lines of the machine among them.
type Group<T> = (BTreeSet<Leg>, Vec<(ContactId, T)>);

/// Groups lines of the machine by what can tie them. The ground ties nothing: what is soldered to it stands there,
/// whatever another line does.
pub(super) fn tied<T>(assembly: &Assembly, lines: Vec<(ContactId, T)>) -> Vec<Vec<(ContactId, T)>> {
    let ground = ground(assembly);
    let mut groups: Vec<Group<T>> = Vec::new();
    for (id, line) in lines {
        let leg = Leg::port(id);
        match groups.iter_mut().find(|(reached, _)| reached.contains(&leg)) {
            Some((_, group)) => group.push((id, line)),
            None => groups.push((reached(assembly, leg, &ground), vec![(id, line)])),
        }
    }
    groups.into_iter().map(|(_, group)| group).collect()
}

/// All legs that can be tied to a leg.
fn reached(assembly: &Assembly, leg: Leg, ground: &BTreeSet<Leg>) -> BTreeSet<Leg> {
    let mut reached = BTreeSet::from([leg]);
    let mut open = vec![leg];
    while let Some(leg) = open.pop() {
        if !ground.contains(&leg) {
            open.extend(beside(assembly, leg).into_iter().filter(|next| reached.insert(*next)));
        }
    }
    reached
}

/// The legs that are one with the return.
fn ground(assembly: &Assembly) -> BTreeSet<Leg> {
    let returns = assembly.port.returns().into_iter().map(Leg::port);
    let mut ground: BTreeSet<Leg> = returns.flat_map(|leg| assembly.lead.net(leg)).collect();
    for (holder, controller) in assembly.holders() {
        let end = holder.end();
        for net in controller.common_nets() {
            let net: Vec<Leg> = net.into_iter().map(|contact| Leg { end, contact }).collect();
            if net.iter().any(|leg| ground.contains(leg)) {
                ground.extend(net.into_iter().flat_map(|leg| assembly.lead.net(leg)));
            }
        }
    }
    ground
}

/// The legs that a join, a part or what is in a controller can tie to a leg.
fn beside(assembly: &Assembly, leg: Leg) -> Vec<Leg> {
    let mut beside: Vec<Leg> = assembly.lead.joined(leg).collect();
    if leg.part_id().is_some() {
        // Any leg of a part may be tied to any other.
        let legs = assembly.lead.joins.iter().flat_map(|join| [join.from, join.to]);
        beside.extend(legs.filter(|other| other.end == leg.end));
    }
    // Whatever is in a donor may tie any of its points to any other, and to its plug.
    let is_of_donor = |leg: &Leg| leg.end == EndId::Donor || leg.switch().is_some();
    if is_of_donor(&leg) {
        let legs = assembly.lead.joins.iter().flat_map(|join| [join.from, join.to]);
        beside.extend(legs.filter(is_of_donor));
    }
    beside.extend(within(assembly, leg.end, leg.contact).into_iter().map(|contact| Leg { contact, ..leg }));
    beside
}

fn within(assembly: &Assembly, end: EndId, contact: ContactId) -> Vec<ContactId> {
    let Some(controller) = assembly.controller(end) else { return Vec::new() };
    if controller.inside.is_some() {
        return controller.contacts.keys().copied().collect();
    }
    let mut tied: Vec<[ContactId; 2]> = Vec::new();
    for net in controller.common_nets() {
        tied.extend(net.iter().zip(net.iter().skip(1)).map(|(a, b)| [*a, *b]));
    }
    for (own, known) in &controller.contacts {
        match &known.role {
            ControllerRole::Control(control) => {
                tied.extend(controller.commons_of(control).into_iter().map(|common| [*own, common]));
                // An output and its clamps lead to the supply of its chip.
                let supply = controller.driver_of(control).and(controller.supply());
                tied.extend(supply.map(|supply| [*own, supply]));
            }
            ControllerRole::Pot(pot) => tied.push([*own, pot.other_end]),
            ControllerRole::Supply => {
                tied.extend(controller.chip_commons().into_iter().map(|common| [*own, common]));
            }
            ControllerRole::Wired { .. }
            | ControllerRole::Common
            | ControllerRole::DoNotConnect
            | ControllerRole::Unused => {}
        }
    }
    let other = |[a, b]: [ContactId; 2]| match (a == contact, b == contact) {
        (true, _) => Some(b),
        (_, true) => Some(a),
        (false, false) => None,
    };
    tied.into_iter().filter_map(other).collect()
}
