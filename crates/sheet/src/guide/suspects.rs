//! What may be wrong, in the guide's words: conductors by their letters, those of one kind in one clause.

use std::collections::BTreeSet;

use solderside_lead::{Body, EndId, Join, Leg, PartId};
use solderside_meter::{Fault, FaultKind, Tip};

use super::Subject;
use super::text::place;
use crate::words::{contact, end_name, is_bare, joint, listed, part_name};

/// So many of one kind are told one by one.
const FEW: usize = 2;

/// Faults in clauses, in the order of the first of each kind.
pub(super) fn told(subject: &Subject<'_>, faults: &[&Fault]) -> Vec<String> {
    let mut kinds: Vec<FaultKind> = Vec::new();
    for fault in faults {
        if !kinds.contains(&fault.kind()) {
            kinds.push(fault.kind());
        }
    }
    let of = |kind: FaultKind| faults.iter().copied().filter(move |fault| fault.kind() == kind);
    kinds.into_iter().map(|kind| clause(subject, &of(kind).collect::<Vec<_>>())).collect()
}

/// Faults of one kind, of which one is there: "a joint of BN open, at either end".
fn clause(subject: &Subject<'_>, faults: &[&Fault]) -> String {
    let mut joints = Vec::new();
    let mut bridges = Vec::new();
    let mut swaps = Vec::new();
    let mut astray = Vec::new();
    let mut socket_legs = Vec::new();
    let mut mirrored = Vec::new();
    let mut exchanged = Vec::new();
    let mut others = Vec::new();
    let mut is_weak = false;
    for fault in faults {
        match fault {
            Fault::OpenJoint(tip) => joints.push(*tip),
            Fault::WeakJoint(tip) => {
                is_weak = true;
                joints.push(*tip);
            }
            Fault::Bridge(pair) => bridges.push(*pair),
            Fault::Swapped(one, other) => swaps.push([*one, *other]),
            Fault::OneCupOff(tip, cup) => astray.push((*tip, *cup)),
            Fault::LegOpen(leg) => socket_legs.push(*leg),
            Fault::CableShort([one, other]) => {
                others.push(format!(
                    "{} and {} touching in the cable",
                    wire(subject, *one),
                    wire(subject, *other)
                ));
            }
            Fault::ThrowOpen(join) => {
                others.push(format!("the contact from {} to {} never closed", join.from, join.to));
            }
            Fault::Mirrored(end) => mirrored.push(*end),
            Fault::RowsExchanged(end) => exchanged.push(*end),
            Fault::PartMissing(id) => others.push(format!("{} missing or dead", part_name(*id))),
            Fault::PartReversed(id) => others.push(format!("{} the wrong way round", part(subject, *id))),
            Fault::DecadeUp(id) => others.push(format!("{} of ten times its value", part_name(*id))),
            Fault::DecadeDown(id) => others.push(format!("{} of a tenth of its value", part_name(*id))),
            Fault::DirtyContact(_, control) => {
                others.push(format!("the contact of “{control}” never closed"));
            }
            Fault::StuckContact(_, control) => {
                others.push(format!("the contact of “{control}” always closed"));
            }
            Fault::DeadInput(contact) => others.push(format!("contact {contact} not read by the machine")),
        }
    }
    let clauses = [
        of_joints(subject, &joints, if is_weak { "weak" } else { "open" }),
        of_bridges(subject, &bridges),
        of_swaps(subject, &swaps),
        of_cups(subject, &astray),
        of_socket_legs(&socket_legs),
        of_ends(subject, &mirrored).map(|end| format!("{end} counted from the wrong side")),
        of_ends(subject, &exchanged).map(|end| format!("the rows of {end} taken for each other")),
    ];
    clauses.into_iter().flatten().chain(others).collect::<Vec<_>>().join("; ")
}

fn of_joints(subject: &Subject<'_>, tips: &[Tip], state: &str) -> Option<String> {
    let first = tips.first()?;
    let mut joins: Vec<Join> = Vec::new();
    for tip in tips {
        if !joins.contains(&tip.join) {
            joins.push(tip.join);
        }
    }
    Some(match tips {
        [_] => format!(
            "the joint of {} at {} {state}",
            wire(subject, first.join),
            place(subject.assembly, first.at)
        ),
        [_, _] if joins.len() > 1 => {
            let at =
                |tip: &Tip| format!("of {} at {}", wire(subject, tip.join), place(subject.assembly, tip.at));
            format!("the joint {} {state}", any_of(tips.iter().map(at)))
        }
        _ => format!("a joint of {} {state}, at either end", any_of(wires(subject, &joins))),
    })
}

fn of_bridges(subject: &Subject<'_>, pairs: &[[Leg; 2]]) -> Option<String> {
    let mut places: Vec<String> = Vec::new();
    for end in hoods(subject, pairs.iter().map(|[one, _]| *one)) {
        let here = pairs.iter().filter(|[one, _]| subject.assembly.lead.hood(*one) == end);
        let pairs = here.map(|[one, other]| match one.part_id() {
            Some(_) => format!("{} – {}", contact(subject.assembly, *one), contact(subject.assembly, *other)),
            None => format!("{} – {}", one.contact, other.contact),
        });
        places.push(format!("{} at the {}", any_of(pairs), end_of(subject, end)));
    }
    (!places.is_empty()).then(|| format!("a bridge {}", any_of(places)))
}

fn of_swaps(subject: &Subject<'_>, swaps: &[[Tip; 2]]) -> Option<String> {
    let [first, _] = swaps.first()?;
    let ends = hoods(subject, swaps.iter().map(|[one, _]| one.at));
    let among = |join: Join| swaps.iter().all(|pair| pair.iter().any(|tip| tip.join == join));
    let common = swaps.first().into_iter().flatten().map(|tip| tip.join).find(|join| among(*join));
    let mut pairs: Vec<String> = Vec::new();
    for [one, other] in swaps {
        let pair = format!("{} and {}", wire(subject, one.join), wire(subject, other.join));
        if !pairs.contains(&pair) {
            pairs.push(pair);
        }
    }
    Some(match common {
        _ if pairs.len() <= FEW => format!("{} swapped, {}", any_of(pairs), at_ends(subject, &ends)),
        Some(join) => {
            format!("{} swapped with another conductor, {}", wire(subject, join), at_ends(subject, &ends))
        }
        None if ends.len() > 1 => format!("two conductors swapped, {}", at_ends(subject, &ends)),
        None => {
            let legs: BTreeSet<Leg> = swaps.iter().flatten().map(|tip| tip.at).collect();
            let is_any = swaps.len() == legs.len() * (legs.len() - 1) / 2;
            let what = if is_any {
                format!("any two of {}", listed(legs.iter().map(|leg| leg.contact)))
            } else {
                listed(
                    swaps.iter().map(|[one, other]| format!("{} with {}", one.at.contact, other.at.contact)),
                )
            };
            format!(
                "two conductors swapped at the {}: {what}",
                end_of(subject, subject.assembly.lead.hood(first.at))
            )
        }
    })
}

fn of_cups(subject: &Subject<'_>, astray: &[(Tip, Leg)]) -> Option<String> {
    let cup_name = |leg: Leg| {
        let end = subject.assembly.lead.end(leg.end);
        end.map_or("cup", |end| joint(end.connector.family))
    };
    let (_, first) = astray.first()?;
    if astray.len() <= FEW {
        let told = astray.iter().map(|(tip, cup)| {
            let [wire, end] = [wire(subject, tip.join), end_of(subject, cup.end)];
            format!("{wire} in {} {} of the {end} instead of {}", cup_name(*cup), cup.contact, tip.at.contact)
        });
        return Some(any_of(told));
    }
    let wires: BTreeSet<String> = astray.iter().map(|(tip, _)| wire(subject, tip.join)).collect();
    let ends = hoods(subject, astray.iter().map(|(_, cup)| *cup));
    Some(format!("{} in a {} beside its own, {}", any_of(wires), cup_name(*first), at_ends(subject, &ends)))
}

fn of_socket_legs(legs: &[Leg]) -> Option<String> {
    let mut parts: Vec<String> = Vec::new();
    for id in legs.iter().filter_map(|leg| leg.part_id()).collect::<BTreeSet<PartId>>() {
        let own = legs.iter().filter(|leg| leg.part_id() == Some(id)).map(|leg| leg.contact);
        parts.push(format!("{} not touching its socket with leg {}", part_name(id), any_of(own)));
    }
    (!parts.is_empty()).then(|| parts.join("; "))
}

/// Several conductors, those of bare wire together and last.
fn wires(subject: &Subject<'_>, joins: &[Join]) -> Vec<String> {
    let (bare, cores): (Vec<Join>, Vec<Join>) =
        joins.iter().partition(|join| is_bare(subject.assembly, **join));
    let mut wires: Vec<String> = cores.iter().map(|join| wire(subject, *join)).collect();
    match bare.as_slice() {
        [] => {}
        [only] => wires.push(wire(subject, *only)),
        several => {
            let between = several.iter().map(|join| between(subject, *join));
            wires.push(format!("one of the bare wires {}", listed(between)));
        }
    }
    wires
}

/// "BN", or "the bare wire R1 leg 2 – U1 leg 3 (1I1)".
fn wire(subject: &Subject<'_>, join: Join) -> String {
    if is_bare(subject.assembly, join) {
        return format!("the bare wire {}", between(subject, join));
    }
    subject.colouring.letters(join)
}

/// "R1 leg 2 – U1 leg 3 (1I1)".
fn between(subject: &Subject<'_>, join: Join) -> String {
    let [from, to] = [join.from, join.to].map(|leg| contact(subject.assembly, leg));
    format!("{from} – {to}")
}

/// "D1 (1N4148)".
fn part(subject: &Subject<'_>, id: PartId) -> String {
    let name = part_name(id);
    match subject.assembly.lead.part(id).map(|part| part.body) {
        Some(body @ (Body::Diode(_) | Body::Transistor(_) | Body::Chip(_) | Body::Changeover(_))) => {
            format!("{name} ({body})")
        }
        Some(Body::Resistor(_) | Body::Capacitor(_)) | None => name,
    }
}

/// "port end".
fn end_of(subject: &Subject<'_>, end: EndId) -> String {
    end_name(subject.assembly, end).to_lowercase()
}

/// The ends to whose hoods legs belong, in their order.
fn hoods(subject: &Subject<'_>, legs: impl Iterator<Item = Leg>) -> Vec<EndId> {
    legs.map(|leg| subject.assembly.lead.hood(leg)).collect::<BTreeSet<EndId>>().into_iter().collect()
}

/// "the port end", "either end"; nothing for none.
fn of_ends(subject: &Subject<'_>, ends: &[EndId]) -> Option<String> {
    match ends {
        [] => None,
        [only] => Some(format!("the {}", end_of(subject, *only))),
        several => Some(several_ends(subject, several)),
    }
}

/// "at the port end", "at either end".
fn at_ends(subject: &Subject<'_>, ends: &[EndId]) -> String {
    match ends {
        [only] => format!("at the {}", end_of(subject, *only)),
        several => format!("at {}", several_ends(subject, several)),
    }
}

/// "either end"; of a lead with three the names of those that are meant.
fn several_ends(subject: &Subject<'_>, ends: &[EndId]) -> String {
    if subject.assembly.lead.ends.len() < 3 {
        return "either end".to_owned();
    }
    any_of(ends.iter().map(|end| format!("the {}", end_of(subject, *end))))
}

/// "5, 6 or 7".
fn any_of<T: ToString>(items: impl IntoIterator<Item = T>) -> String {
    let items: Vec<String> = items.into_iter().map(|item| item.to_string()).collect();
    match items.as_slice() {
        [] => String::new(),
        [only] => only.clone(),
        [most @ .., last] => format!("{} or {last}", most.join(", ")),
    }
}
