//! How a reading is mended that misses its threshold or comes too near: by what brings it about.

use solderside_lead::{Assembly, Body, Leg, PartId, State, Walk};
use solderside_profile::{Action, ActiveLevel, Control, Controller, InputCircuit, Step};
use solderside_quantity::{Amps, Volts};
use solderside_trade::DiodePart;

use crate::divider::{Divider, largest_contact};
use crate::readings::Sample;
use crate::words::{names, walk};

/// Takes out the first join of a way that should not be.
pub(crate) fn ghost(way: &[Leg]) -> String {
    match way {
        [first, second, ..] => {
            format!("take out the join `{first}` – `{second}`, or keep the nets apart with diodes")
        }
        _ => "keep the nets apart".to_owned(),
    }
}

/// Joins what leads nowhere: of the controls that are pressed the first whose contact does not reach the action's, or
/// else the common.
pub(crate) fn missing(assembly: &Assembly, action: &Action, state: &State) -> String {
    let is_pressed = |controller: &&Controller| {
        let mut pressed =
            assembly.lead.play.controls(action).iter().filter(|control| state.contains(*control));
        pressed.any(|control| controller.controls().contains(&control))
    };
    let owner =
        assembly.controllers().find(|(_, own)| is_pressed(own)).or_else(|| assembly.controllers().next());
    let Some(((end, controller), to)) = owner.zip(assembly.port.contact_of(action)) else {
        return "join the control's contact to the action's, and the common to a return".to_owned();
    };
    let to = match &assembly.donor {
        Some(_) => assembly.point_for(action).map_or(Leg::port(to), |[line, _]| line),
        None => Leg::port(to),
    };
    let pressed = assembly.lead.play.controls(action).iter().filter(|control| state.contains(*control));
    let from = |control: &Control| controller.contact_of(control).map(|contact| Leg { end, contact });
    let contacts: Vec<(&Control, Leg)> =
        pressed.filter_map(|control| Some((control, from(control)?))).collect();
    let homes: Vec<Leg> = assembly.port.closes_to(action).into_iter().map(Leg::port).collect();
    // What a donor's switch closes to is its own.
    let homes = match assembly.point_for(action) {
        Some([_, common]) => vec![common],
        None => homes,
    };
    let home = if homes.is_empty() { "a return".to_owned() } else { names(&homes) };
    let common = |control: &Control| {
        // Of several commons the control's own is the one to join.
        if controller.common_nets().len() > 1 {
            format!("the common {}", names(controller.commons_of(control).into_iter().map(Leg::controller)))
        } else {
            "the controller's common".to_owned()
        }
    };
    let reaches = |leg: Leg| assembly.lead.reach(leg).contains(&to);
    let is_home = |control: &Control| {
        let commons = controller.commons_of(control).into_iter().map(Leg::controller);
        // Any point on what the donor's switches share does as well.
        let is_one = |leg: &Leg, home: &Leg| {
            assembly
                .donor
                .as_ref()
                .is_some_and(|donor| donor.spot(*leg).is_some() && donor.net(*leg) == donor.net(*home))
        };
        let is_home = |leg: Leg| homes.iter().any(|home| *home == leg || is_one(&leg, home));
        commons.flat_map(|common| assembly.lead.reach(common)).any(is_home)
    };
    match contacts.iter().find(|(_, leg)| !reaches(*leg)).or(contacts.first()) {
        Some((control, leg)) if reaches(*leg) => {
            format!("`{leg}` reaches `{to}`; join {} to {home}", common(control))
        }
        Some((control, leg)) if is_home(control) => {
            format!("join `{leg}` to `{to}`; `{control}` asks for it")
        }
        Some((control, leg)) => {
            format!("join `{leg}` to `{to}`, and {} to {home}; `{control}` asks for it", common(control))
        }
        None => "join the control's contact to the action's, and the common to a return".to_owned(),
    }
}

/// What brings an active line near its threshold where no contact is to blame: a supply that is shorted, a diode that
/// drops too much, or the conductors.
pub(crate) fn weak(assembly: &Assembly, sample: &Sample<'_>, way: Option<&Walk>, volts: Volts) -> String {
    if let Some(way) = shorted(assembly, sample.state, sample.step) {
        let [first, second] = [0, 1].map(|at: usize| way.get(at).map_or_else(String::new, Leg::to_string));
        return format!(
            "the supply is shorted here: {}; take out the join `{first}` – `{second}`",
            walk(&way)
        );
    }
    if let Some((id, diode)) = way.and_then(|way| diode_on(assembly, way)) {
        return dropped(id, diode, through(assembly, sample.input, volts));
    }
    "thicker or shorter conductors, or a stronger output".to_owned()
}

/// How a contact that divides with the pull-up is mended; a diode on the way takes its own share.
pub(crate) fn divided(
    assembly: &Assembly,
    sample: &Sample<'_>,
    divider: Divider,
    way: Option<&Walk>,
    [volts, threshold]: [Volts; 2],
) -> String {
    if let Some((id, diode)) = way.and_then(|way| diode_on(assembly, way)) {
        let mend = dropped(id, diode, through(assembly, sample.input, volts));
        return format!("{}; besides, {mend}", divider.remedy(None));
    }
    // Where something else on the way has its share, a contact may be worn less and still be too much.
    let most = largest_contact(assembly, sample.input, threshold);
    divider.remedy(most.filter(|most| *most < divider.ohms()))
}

/// The way on which a supply is shorted to the return in a state, if it is.
fn shorted(assembly: &Assembly, state: &State, step: &Step) -> Option<Walk> {
    let has_resistor = |way: &Walk| way.iter().any(|leg| matches!(leg.part_id(), Some(PartId::Resistor(_))));
    let supplies = assembly.port.supplies().into_iter().map(|(id, _)| Leg::port(id));
    let mut ways = supplies.filter_map(|supply| assembly.way_home(supply, state, step));
    ways.find(|way| !has_resistor(way))
}

/// The first diode on a way.
fn diode_on(assembly: &Assembly, way: &Walk) -> Option<(PartId, DiodePart)> {
    way.iter().filter_map(|leg| leg.part_id()).find_map(|id| match assembly.lead.part(id)?.body {
        Body::Diode(diode) => Some((id, diode)),
        Body::Resistor(_)
        | Body::Capacitor(_)
        | Body::Transistor(_)
        | Body::Chip(_)
        | Body::Changeover(_) => None,
    })
}

/// What flows through a line's switch at most while the line is at some voltage; none where nothing is known to pull.
fn through(assembly: &Assembly, input: &InputCircuit, volts: Volts) -> Option<Amps> {
    let pulled = match input.active_level() {
        ActiveLevel::Low => (assembly.port.rail.high() - volts).across(input.pull_up?.low()),
        ActiveLevel::High => volts.across(input.pull_down?.low()),
    };
    let gives = input.family.input_low_amps().value.high();
    pulled.ok().map(|amps| amps + gives).filter(|amps| *amps > Amps::ZERO)
}

/// Says what a diode drops in the cold, and whether another would do better.
fn dropped(id: PartId, diode: DiodePart, amps: Option<Amps>) -> String {
    let drop = |diode: DiodePart| amps.and_then(|amps| diode.least().value.forward_volts(amps).ok());
    let Some(own) = drop(diode) else {
        return format!("{id}, a {diode}, drops too much of it: take a diode that drops less");
    };
    let told = format!("{id}, a {diode}, drops up to {own} of it");
    let better = DiodePart::ALL.into_iter().filter_map(|other| Some((other, drop(other)?)));
    match better.filter(|(_, volts)| *volts < own).min_by(|(_, a), (_, b)| a.get().total_cmp(&b.get())) {
        Some((other, volts)) => {
            format!("{told}: the {} diode {other} would drop up to {volts}", other.kind())
        }
        None => format!("{told}; no diode that is known here drops less"),
    }
}
