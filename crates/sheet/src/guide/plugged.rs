//! What is plugged in for a test, in words that fit the lead: the conductors of some are clamped under the screws of
//! the controller instead.

use std::collections::BTreeSet;

use solderside_lead::{Assembly, Body, End, EndId, Leg};
use solderside_meter::{Bench, Plan, before_controls};
use solderside_profile::{Controller, ControllerRole, capital};

use crate::words::{end_name, is_clamped, listed, theirs};

/// The ends whose conductors go under screws.
pub(super) fn clamped(assembly: &Assembly) -> impl Iterator<Item = &End> {
    assembly.lead.ends.iter().filter(|end| is_clamped(end))
}

/// The titles of the controllers with screws: "Bittern panel".
fn panels(assembly: &Assembly) -> Option<String> {
    let panels: Vec<String> = clamped(assembly).map(|end| theirs(assembly, end.id)).collect();
    (!panels.is_empty()).then(|| listed(panels))
}

/// The controllers of whose contacts anything is known, but those with screws: "the controller", "both controllers";
/// none where all have screws.
fn plugged(assembly: &Assembly) -> Option<&'static str> {
    let is_plugged = |(end, own): &(EndId, &Controller)| {
        !own.contacts.is_empty() && !clamped(assembly).any(|own| own.id == *end)
    };
    match (assembly.controllers().filter(is_plugged).count(), assembly.controllers.len()) {
        (0, _) if clamped(assembly).next().is_some() => None,
        (2.., _) => Some("both controllers"),
        (1, 2..) if clamped(assembly).next().is_some() => Some("the other controller"),
        _ => Some("the controller"),
    }
}

/// Whether nothing but switches lies behind the screws: with none of them held they might as well be open.
fn is_switches_only(assembly: &Assembly) -> bool {
    let is_pot = |own: &Controller| {
        own.contacts.values().any(|contact| matches!(contact.role, ControllerRole::Pot(_)))
    };
    let mut panels = clamped(assembly).filter_map(|end| assembly.controller(end.id));
    panels.all(|own| own.logic.is_none() && own.inside.is_none() && !is_pot(own))
}

/// "leave the controller out", "hold no control of the Bittern panel".
pub(super) fn left_out(assembly: &Assembly) -> String {
    let out = plugged(assembly).map(|which| format!("leave {which} out"));
    let screws = panels(assembly).map(|panel| {
        if is_switches_only(assembly) {
            format!("hold no control of the {panel}")
        } else {
            format!(
                "take the conductors out from under the screws of the {panel} again, none touching another"
            )
        }
    });
    listed(out.into_iter().chain(screws))
}

/// "no controller plugged in", "no control of the Bittern panel held": how it stands meanwhile.
pub(super) fn is_out(assembly: &Assembly) -> String {
    let out = plugged(assembly).map(|_| "no controller plugged in".to_owned());
    let screws = panels(assembly).map(|panel| {
        if is_switches_only(assembly) {
            format!("no control of the {panel} held")
        } else {
            format!("nothing under the screws of the {panel}")
        }
    });
    listed(out.into_iter().chain(screws))
}

/// The last step of all.
pub(super) fn all_in(assembly: &Assembly) -> String {
    let screws = panels(assembly).filter(|_| !is_switches_only(assembly));
    let screws = screws.map(|panel| format!("clamp the conductors in the {panel} again"));
    let plugged = plugged(assembly).map(|which| format!("plug {which} in"));
    let first = listed(screws.into_iter().chain(plugged));
    let plug = if first.is_empty() { "Plug".to_owned() } else { format!("{}, then plug", capital(&first)) };
    format!("{plug} the lead into the machine, and switch on")
}

/// What to do before the lead alone is measured: what is clamped is still loose, and is touched there.
pub(super) fn before_measuring(bench: &Bench<'_>, plan: &Plan) -> Vec<String> {
    let assembly = bench.assembly();
    let mut texts = solderside_meter::before_measuring(bench, plan);
    let Some(panel) = panels(assembly) else { return texts };
    if let Some(unplug) = texts.first_mut() {
        *unplug = format!(
            "The lead is plugged into nothing, and none of its conductors is clamped in the {panel} yet. A meter on ohms in a lead \
             that is joined to something reads that, and can be harmed by it."
        );
    }
    for end in clamped(assembly) {
        let probed = plan.steps.iter().flat_map(|step| [step.measurement.red, step.measurement.black]);
        let is_empty = |leg: &Leg| leg.end == end.id && assembly.lead.joined(*leg).next().is_none();
        let empty: BTreeSet<Leg> = probed.filter(is_empty).collect();
        let left_out = if empty.is_empty() {
            String::new()
        } else {
            format!(
                " No conductor goes to {}: leave those rows out, as there is nothing to touch. What is clamped there by mistake shows \
                 when each control is tried.",
                listed(empty.iter().map(|leg| leg.contact))
            )
        };
        texts.push(format!(
            "At the {} lay the loose ends apart, and touch each by the number on its tape.{left_out}",
            end_name(assembly, end.id).to_lowercase()
        ));
    }
    texts
}

/// What to do before the switches are tested, with chips named only where the lead has some.
pub(super) fn for_controls(assembly: &Assembly) -> Vec<String> {
    let chips = assembly.lead.parts.iter().filter(|part| matches!(part.body, Body::Chip(_))).count();
    let chips = match chips {
        0 => "",
        1 => ", and the chip of the lead stays out of its socket",
        _ => ", and the chips of the lead stay out of their sockets",
    };
    let two = match assembly.controllers.get(1) {
        Some(second) if !second.contacts.is_empty() => {
            " What is called `second-up` is `up` of the one at the controller 2 end."
        }
        Some(_) | None => "",
    };
    let plug = plugged(assembly).map(|which| format!("Plug {which} into the lead"));
    let screws = panels(assembly).map(|panel| format!("the conductors sit under the screws of the {panel}"));
    let first = capital(&listed(plug.into_iter().chain(screws)));
    let plug_in = format!(
        "Only when every reading of the lead alone was right. {first}; the machine stays unplugged{chips}.{two}"
    );
    let [_, probe, range] = before_controls(assembly);
    vec![plug_in, probe.to_owned(), range.to_owned()]
}
