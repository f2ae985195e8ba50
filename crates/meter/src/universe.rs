//! Every plausible single mistake of a lead.

use std::collections::BTreeSet;

use solderside_lead::{Body, EndId, Join, Leg, Part};
use solderside_profile::{ControllerRole, PortRole};
use solderside_trade::ContactId;

use crate::bench::Bench;
use crate::fault::{Fault, Tip};

/// Returns every plausible single mistake: those of the lead first, then those of the controller and of the machine that
/// look like one of the lead.
///
/// Nobody solders at an end that is moulded on: only broken and weak conductors are plausible there. A bridge begins at a
/// cup that has solder on it. On a board whatever lies beside each other may be bridged; how it is laid out is not known
/// here, so it may be any two of its nets.
pub fn universe(bench: &Bench<'_>) -> Vec<Fault> {
    let mut faults = Vec::new();
    let tips = tips(bench);
    faults.extend(tips.iter().map(|tip| Fault::OpenJoint(*tip)));
    faults.extend(tips.iter().map(|tip| Fault::WeakJoint(*tip)));
    for end in &bench.assembly().lead.ends {
        if !bench.is_moulded(end.id) {
            at_end(bench, end.id, &tips, &mut faults);
        }
    }
    of_parts(bench, &mut faults);
    on_boards(bench, &mut faults);
    elsewhere(bench, &mut faults);
    faults
}

/// Returns what is too rare to test every lead for, and must be thought of where symptoms say so: any two conductors of
/// different nets may touch in a crushed cable, and a contact of a switch may be worn or burnt by the iron.
pub fn rare(bench: &Bench<'_>) -> Vec<Fault> {
    let lead = &bench.assembly().lead;
    let joins: Vec<_> = lead.joins.iter().filter(|join| lead.runs_through_cable(join)).collect();
    let pairs = joins.iter().enumerate().flat_map(|(at, one)| {
        let own = lead.net(one.from);
        let others = joins.iter().skip(at + 1).filter(move |other| !own.contains(&other.from));
        others.map(|other| Fault::CableShort([**one, **other]))
    });
    let throws = lead.joins.iter().filter(|join| join.is_of_switch()).map(|join| Fault::ThrowOpen(*join));
    pairs.chain(throws).collect()
}

/// The ends of all conductors.
fn tips(bench: &Bench<'_>) -> Vec<Tip> {
    // Nobody solders the contacts inside a switch.
    let joins = bench.wires().iter().map(|wire| wire.join).filter(|join| !join.is_of_switch());
    joins.flat_map(|join| [join.from, join.to].map(|at| Tip { join, at })).collect()
}

/// What a hand can do wrong at one end.
fn at_end(bench: &Bench<'_>, end: EndId, tips: &[Tip], faults: &mut Vec<Fault>) {
    let Some(family) = bench.assembly().lead.end(end).map(|end| end.connector.family) else { return };
    let lead = &bench.assembly().lead;
    let leg = |contact: ContactId| Leg { end, contact };
    let beside = |contact: ContactId| family.neighbours(contact).into_iter().map(leg);
    let has_solder = |cup: Leg| tips.iter().any(|tip| tip.at == cup);
    for contact in family.contact_ids() {
        let cup = leg(contact);
        let own = lead.net(cup);
        let later = beside(contact).filter(|other| *other > cup && (has_solder(cup) || has_solder(*other)));
        let apart = later.filter(|other| !own.contains(other));
        faults.extend(apart.map(|other| Fault::Bridge([cup, other])));
    }
    let is_here = |tip: &&Tip| lead.runs_through_cable(&tip.join) && lead.hood(tip.at) == end;
    let through: Vec<Tip> = tips.iter().filter(is_here).copied().collect();
    for (at, one) in through.iter().enumerate() {
        let others = through.iter().skip(at + 1).filter(|other| other.at != one.at);
        faults.extend(others.map(|other| Fault::Swapped(*one, *other)));
    }
    let good = bench.good();
    for (moved, fault) in
        [(bench.mirrored(end), Fault::Mirrored(end)), (bench.rows_exchanged(end), Fault::RowsExchanged(end))]
    {
        let mut build = good.clone();
        build.move_all(&moved);
        faults.extend((build != good).then_some(fault));
    }
    for tip in tips.iter().filter(|tip| tip.at.end == end) {
        let cups = beside(tip.at.contact).filter(|cup| cup.contact != ContactId::Shell);
        faults.extend(cups.map(|cup| Fault::OneCupOff(*tip, cup)));
    }
}

/// What can be wrong with parts.
fn of_parts(bench: &Bench<'_>, faults: &mut Vec<Fault>) {
    for part in bench.parts() {
        let id = part.id();
        faults.push(Fault::PartMissing(id));
        match part.body {
            Body::Resistor(_) => faults.extend([Fault::DecadeUp(id), Fault::DecadeDown(id)]),
            Body::Diode(_) | Body::Transistor(_) => faults.push(Fault::PartReversed(id)),
            Body::Changeover(switch) => {
                faults.extend((switch.throws() > 1).then_some(Fault::PartReversed(id)));
                let poles: Vec<Vec<u8>> = (0..switch.poles())
                    .map(|pole| {
                        (0..=switch.throws()).map(|lug| pole * (1 + switch.throws()) + 1 + lug).collect()
                    })
                    .collect();
                // The common stands between its throws, and two poles side by side.
                let in_pole =
                    poles.iter().flat_map(|pole| pole.iter().skip(1).map(|throw| [pole[0], *throw]));
                let beside = poles.windows(2).flat_map(|two| {
                    two[0].iter().zip(&two[1]).map(|(one, other)| [*one, *other]).collect::<Vec<_>>()
                });
                let lugs = in_pole.chain(beside);
                let lugs = lugs.map(|lugs| lugs.map(|lug| Leg::part(id, ContactId::Number(lug))));
                faults.extend(apart(bench, lugs));
            }
            Body::Chip(_) => {
                faults.push(Fault::PartReversed(id));
                let joined = part.body.legs().map(|leg| Leg::part(id, leg));
                let joined = joined.filter(|leg| bench.assembly().lead.joined(*leg).next().is_some());
                faults.extend(joined.map(Fault::LegOpen));
                faults.extend(beside_each_other(bench, part));
            }
            Body::Capacitor(_) => {}
        }
    }
}

/// Bridges between legs of a chip's socket that stand beside each other, one of which at least has a wire.
fn beside_each_other(bench: &Bench<'_>, part: &Part) -> Vec<Fault> {
    let legs: Vec<Leg> = part.body.legs().map(|leg| Leg::part(part.id(), leg)).collect();
    let rows = legs.chunks((legs.len() / 2).max(1));
    apart(bench, rows.flat_map(|row| row.windows(2)).map(|two| [two[0], two[1]]))
}

/// Bridges between legs that stand beside each other and are not one, one of which at least has solder on it.
fn apart(bench: &Bench<'_>, pairs: impl Iterator<Item = [Leg; 2]>) -> Vec<Fault> {
    let lead = &bench.assembly().lead;
    let is_soldered = |join: &Join, leg: Leg| !join.is_of_switch() && [join.from, join.to].contains(&leg);
    let has_solder = |leg: Leg| lead.joins.iter().any(|join| is_soldered(join, leg));
    let apart = pairs
        .filter(|[one, other]| (has_solder(*one) || has_solder(*other)) && !lead.net(*one).contains(other));
    apart.map(Fault::Bridge).collect()
}

/// Bridges between any two nets of one board, as far as legs that stand beside each other do not make the same already.
fn on_boards(bench: &Bench<'_>, faults: &mut Vec<Fault>) {
    let lead = &bench.assembly().lead;
    let boards: BTreeSet<EndId> =
        lead.parts.iter().filter(|part| part.body.sits_on_a_board()).map(|part| part.sits).collect();
    for board in boards {
        let mut own: Vec<&Part> = lead.parts.iter().filter(|part| part.sits == board).collect();
        // A net is named by a leg of a chip or a transistor where it has one.
        own.sort_by_key(|part| !part.body.sits_on_a_board());
        let legs = own.into_iter().flat_map(|part| part.body.legs().map(|leg| Leg::part(part.id(), leg)));
        let mut nets: Vec<(Leg, BTreeSet<Leg>)> = Vec::new();
        for leg in legs {
            if nets.iter().all(|(_, net)| !net.contains(&leg)) {
                nets.push((leg, lead.net(leg)));
            }
        }
        for (at, (leg, net)) in nets.iter().enumerate() {
            for (other, beside) in nets.iter().skip(at + 1) {
                let is_same = |fault: &Fault| {
                    let Fault::Bridge([a, b]) = fault else { return false };
                    net.contains(a) && beside.contains(b) || net.contains(b) && beside.contains(a)
                };
                if !faults.iter().any(is_same) {
                    faults.push(Fault::Bridge([*leg, *other]));
                }
            }
        }
    }
}

/// What looks like the lead's fault and is not.
fn elsewhere(bench: &Bench<'_>, faults: &mut Vec<Fault>) {
    let assembly = bench.assembly();
    for (end, controller) in assembly.controllers() {
        let joined = controller
            .contacts
            .iter()
            .filter(|(contact, _)| assembly.lead.joined(Leg { end, contact: **contact }).next().is_some());
        for (_, contact) in joined {
            if let ControllerRole::Control(control) = &contact.role {
                faults.push(Fault::DirtyContact(end, control.clone()));
                faults.push(Fault::StuckContact(end, control.clone()));
            }
        }
    }
    for (contact, known) in &assembly.port.contacts {
        let is_joined = assembly.lead.joined(Leg::port(*contact)).next().is_some();
        if is_joined && matches!(known.role, PortRole::Action { .. } | PortRole::Data { .. }) {
            faults.push(Fault::DeadInput(*contact));
        }
    }
}
