//! Parts that are alike in both leads stand for each other: which of several is which is no difference.

use std::cmp::Reverse;
use std::collections::{BTreeMap, BTreeSet};

use solderside_profile::{Body, PartId};

use super::Difference;
use crate::assembly::Assembly;
use crate::lead::{Join, Leg};
use crate::part::Part;

impl Difference {
    /// What is different in the second lead, and that lead with its parts called as those of the first that are alike where
    /// that asks for fewer moves.
    pub fn of_alike(before: &Assembly, after: Assembly) -> (Assembly, Self) {
        let as_called = Self::between(before, &after);
        let renamed = called_alike(before, &after);
        let difference = Self::between(before, &renamed);
        if difference.moves < as_called.moves { (renamed, difference) } else { (after, as_called) }
    }
}

/// What a part of the second lead is called in the first, and whether it lies the other way round there.
type Names = BTreeMap<PartId, (PartId, bool)>;

/// The second lead with its parts called as parts of the first that are the same thing in the same hood, each as the one that
/// is on most of the same nets.
fn called_alike(before: &Assembly, after: &Assembly) -> Assembly {
    let mut names = Names::new();
    // What has many legs tells what the others are on.
    let mut kinds: Vec<&Part> = before.lead.parts.iter().filter(|part| part_is_like_others(part)).collect();
    kinds.sort_by_key(|part| Reverse(part.body.legs().count()));
    for kind in kinds {
        let [old, new] = [before, after].map(|lead| {
            let alike =
                lead.lead.parts.iter().filter(|part| part.body == kind.body && part.sits == kind.sits);
            alike.map(Part::id).collect::<Vec<PartId>>()
        });
        let is_done = |names: &Names, id: &PartId| names.values().any(|(own, _)| own == id);
        if old.iter().any(|id| is_done(&names, id)) {
            continue;
        }
        let turns: &[bool] = if matches!(kind.body, Body::Resistor(_) | Body::Capacitor(_)) {
            &[false, true]
        } else {
            &[false]
        };
        let mut pairs = Vec::new();
        for (own, other) in old.iter().flat_map(|own| new.iter().map(move |other| (*own, *other))) {
            for turned in turns {
                let shared = shared_legs(before, after, &names, kind, (own, other, *turned));
                pairs.push((Reverse(shared), own != other, *turned, own, other));
            }
        }
        pairs.sort_unstable();
        for (_, _, turned, own, other) in pairs {
            if !names.contains_key(&other) && !is_done(&names, &own) {
                names.insert(other, (own, turned));
            }
        }
    }
    with_names(before, after, &names)
}

/// Whether parts of this kind may stand for each other: a switch has a name of its own, and positions.
const fn part_is_like_others(part: &Part) -> bool {
    !matches!(part.body, Body::Changeover(_))
}

/// On how many of the same legs a part of either lead is, counting what is called the same in both.
fn shared_legs(
    before: &Assembly,
    after: &Assembly,
    names: &Names,
    kind: &Part,
    (own, other, turned): (PartId, PartId, bool),
) -> usize {
    let is_known = |id: PartId| names.values().any(|(known, _)| *known == id);
    let shared = kind.body.legs().map(|contact| {
        let own = Leg::part(own, contact);
        let other = turned_leg(Leg::part(other, contact), turned);
        let on_new = after.lead.net(other).into_iter().filter_map(|leg| match leg.part_id() {
            Some(id) => names.contains_key(&id).then(|| renamed(leg, names)),
            None => Some(leg),
        });
        let on_new: BTreeSet<Leg> = on_new.collect();
        let on_old = before.lead.net(own);
        on_old.iter().filter(|leg| leg.part_id().is_none_or(is_known) && on_new.contains(leg)).count()
    });
    shared.sum()
}

/// The other leg of a part with two, if it is turned round.
fn turned_leg(leg: Leg, turned: bool) -> Leg {
    if !turned {
        return leg;
    }
    let contact = if leg.contact == PartId::ANODE { PartId::CATHODE } else { PartId::ANODE };
    Leg { contact, ..leg }
}

fn renamed(leg: Leg, names: &Names) -> Leg {
    let name = leg.part_id().and_then(|id| names.get(&id));
    name.map_or(leg, |(id, turned)| turned_leg(Leg::part(*id, leg.contact), *turned))
}

/// A lead with other names of its parts; what has none keeps its own, or gets the next that is free in both leads.
fn with_names(before: &Assembly, after: &Assembly, names: &Names) -> Assembly {
    let mut names = names.clone();
    let ids = |assembly: &Assembly| assembly.lead.parts.iter().map(Part::id).collect::<Vec<PartId>>();
    for part in &after.lead.parts {
        let taken: Vec<PartId> = names.values().map(|(id, _)| *id).collect();
        if names.contains_key(&part.id()) {
            continue;
        }
        let own = std::iter::once(part.number).filter(|_| !taken.contains(&part.id()));
        let is_free = |number: &u8| {
            let id = part.body.id(*number);
            !taken.contains(&id) && !ids(before).contains(&id) && !ids(after).contains(&id)
        };
        let number = own.chain((1..=u8::MAX).filter(is_free)).next().unwrap_or(part.number);
        names.insert(part.id(), (part.body.id(number), false));
    }
    let mut alike = after.clone();
    for part in &mut alike.lead.parts {
        part.number = names.get(&part.id()).map_or(part.number, |(id, _)| id.number());
    }
    let joins = after.lead.joins.iter();
    alike.lead.joins =
        joins.map(|join| Join::new(renamed(join.from, &names), renamed(join.to, &names))).collect();
    alike.lead.settle();
    alike.lead.parts.sort_by_key(Part::id);
    alike
}
