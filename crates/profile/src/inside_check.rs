//! What the inside of a controller cannot be told from its keys alone.

use std::cell::RefCell;
use std::collections::{BTreeMap, BTreeSet};

use solderside_trade::{ContactId, LegRole};

use crate::complaint::{Complaint, listed, quoted};
use crate::contacts::Contacts;
use crate::controller_file::{ContactEntry, RoleEntry};
use crate::fact::Statement;
use crate::inside::{Inside, InsidePart, InsideSwitch, Spot};
use crate::inside_file::{InsideEntry, Parts};
use crate::part::{Body, PartId};
use crate::profile_file::Identity;
use crate::source::{At, Place};
use crate::spelling::nearest;

/// Checks the parts of a controller and how they are joined; nothing is inside if the file names none of it.
pub(crate) fn check(
    parts: &Parts,
    inside: Option<At<InsideEntry>>,
    contacts: &Contacts<ContactEntry>,
    default: &Statement,
    identity: &Identity,
    complaints: &mut Vec<Complaint>,
) -> Option<Inside> {
    if parts.is_empty() && inside.is_none() {
        return None;
    }
    let InsideEntry { joins, switches, forgets, statement } =
        inside.map_or_else(InsideEntry::empty, |at| at.value);
    let joins = joins.map_or_else(Vec::new, |joins| joins.value);
    let inside = Wiring { parts, contacts, identity, missing: RefCell::default() };
    let mut nets = Nets::default();
    let mut seen: BTreeMap<[Spot; 2], &Place> = BTreeMap::new();
    for At { value: join, place } in &joins {
        inside.check_spots(*join, place, complaints);
        let [one, other] = *join;
        if one == other {
            let headline = format!("`{one}` is joined to itself");
            complaints.push(Complaint::new(place.clone(), headline).help("name two spots"));
        }
        let mut sorted = *join;
        sorted.sort();
        if let Some(first) = seen.insert(sorted, place) {
            complaints.push(
                Complaint::new(place.clone(), format!("the join `{one} - {other}` stands twice"))
                    .help("take one of them out")
                    .also(first.clone(), "it stands here too"),
            );
        }
        nets.join(one, other);
    }
    for (control, At { value: between, .. }) in &switches {
        let At { value: [one, other], place } = between;
        inside.check_spots(between.value, place, complaints);
        if nets.of(*one) == nets.of(*other) {
            let headline = if one == other {
                format!("the switch of {} stands between `{one}` and itself", quoted(control.as_str()))
            } else {
                format!(
                    "the switch of {} closes nothing: `{one}` and `{other}` are joined anyway",
                    quoted(control.as_str())
                )
            };
            complaints.push(
                Complaint::new(place.clone(), headline).help("name the two spots that it joins when pressed"),
            );
        }
    }
    let pairs = joins.iter().map(|join| join.value).chain(switches.values().map(|switch| switch.value.value));
    let ends: BTreeSet<Spot> = pairs.flatten().collect();
    inside.check_open_ends(&ends, complaints);
    for (id, place) in
        parts.iter().filter_map(|(id, at)| matches!(id, PartId::Changeover(_)).then_some((id, &at.place)))
    {
        complaints.push(
            Complaint::new(place.clone(), format!("a controller cannot have a switch `{id}` that stays where it is put"))
                .help("what a player presses is a control: give it a place in `switches`; write a profile for each position"),
        );
    }
    let joined: BTreeSet<PartId> = ends.iter().filter_map(|spot| spot.part()).collect();
    let is_joined = |id: &PartId| joined.contains(id);
    // A part of the profile that this one starts from goes when nothing leads to it any more.
    let own = |place: &Place| place.file == identity.file;
    let kept = parts.iter().filter(|(id, entry)| own(&entry.place) || is_joined(id));
    let parts = kept.filter_map(|(id, entry)| Some(InsidePart { id: *id, body: entry.value.body()? }));
    let parts: Vec<InsidePart> = parts.collect();
    let counts = parts.iter().any(InsidePart::counts);
    if let Some(forgets) = forgets.as_ref().filter(|forgets| !counts && own(&forgets.place)) {
        complaints.push(
            Complaint::new(forgets.place.clone(), "`forgets_seconds` stands here, but no chip inside counts")
                .help("add the counter as a part, such as `[part.u1]` with `chip = \"74HC393\"`, or drop the key"),
        );
    }
    Some(Inside {
        parts,
        joins: joins.iter().map(|join| join.value).collect(),
        switches: switches
            .into_iter()
            .map(|(control, at)| InsideSwitch { control, between: at.value.value })
            .collect(),
        forgets: forgets.filter(|_| counts).map(|forgets| forgets.value),
        fact: statement.fact(default),
    })
}

/// What may be joined.
struct Wiring<'f> {
    parts: &'f Parts,
    contacts: &'f Contacts<ContactEntry>,
    identity: &'f Identity,
    /// The parts of which is told already that there are none: one place of each is enough.
    missing: RefCell<BTreeSet<PartId>>,
}

impl Wiring<'_> {
    /// Complains about spots that there are not.
    fn check_spots(&self, spots: [Spot; 2], place: &Place, complaints: &mut Vec<Complaint>) {
        for spot in spots {
            complaints.extend(match spot {
                Spot::Contact(id) => self.misplaced_contact(id, place),
                Spot::Leg(part, leg) => self.misplaced_leg(part, leg, place),
            });
        }
    }

    fn misplaced_contact(&self, id: ContactId, place: &Place) -> Option<Complaint> {
        let Some(entry) = self.contacts.get(&id) else {
            let headline = format!("contact {id} is joined inside, but there is no `[contact.{id}]`");
            let help = format!("add `[contact.{id}]`, such as with `role = \"wired\"`, or name another spot");
            return Some(Complaint::new(place.clone(), headline).help(help));
        };
        let role = entry.value.role.as_ref()?;
        let word = match role.value {
            RoleEntry::Unused => "unused",
            RoleEntry::DoNotConnect => "do-not-connect",
            RoleEntry::Control(_)
            | RoleEntry::Pot(_)
            | RoleEntry::Wired
            | RoleEntry::Common
            | RoleEntry::Supply => return None,
        };
        Some(
            Complaint::new(place.clone(), format!("contact {id} is `{word}`, but joined inside"))
                .help("correct its role, to `wired` if parts inside lead there, or name another spot")
                .also(role.place.clone(), "the role"),
        )
    }

    fn misplaced_leg(&self, part: PartId, leg: ContactId, place: &Place) -> Option<Complaint> {
        let Some(entry) = self.parts.get(&part) else {
            if !self.missing.borrow_mut().insert(part) {
                return None;
            }
            let wanted = part.to_string();
            let known: Vec<String> = self.parts.keys().map(ToString::to_string).collect();
            let of_kind = known.iter().filter(|known| known.get(..1) == wanted.get(..1));
            let help = if let Some(near) = nearest(&wanted, of_kind.map(String::as_str)) {
                format!("write `{near}`, or add `[part.{part}]`")
            } else {
                let known = listed(known.iter().map(String::as_str), "and");
                format!("add `[part.{part}]`; there are {known}")
            };
            return Some(Complaint::new(place.clone(), format!("there is no part `{part}`")).help(help));
        };
        let body = entry.value.body()?;
        let count = body.legs().count();
        body.legs().all(|own| own != leg).then(|| {
            Complaint::new(place.clone(), format!("`{part}` has no leg {leg}: a {body} has {count}"))
                .help(format!("write a leg from 1 to {count}"))
                .also(entry.place.clone(), "the part")
        })
    }

    /// Complains about legs and contacts to which nothing leads.
    fn check_open_ends(&self, ends: &BTreeSet<Spot>, complaints: &mut Vec<Complaint>) {
        for (id, At { value: entry, place }) in self.parts {
            let Some(body) = entry.body() else { continue };
            let open: Vec<ContactId> =
                body.legs().filter(|leg| !ends.contains(&Spot::Leg(*id, *leg))).collect();
            let count = body.legs().count();
            if open.len() == count {
                if place.file == self.identity.file {
                    let headline = format!("the part `{id}` is joined to nothing");
                    let help = format!(
                        "add a join such as `{} - 5` to `[inside]`, or take the part out",
                        Spot::Leg(*id, PartId::ANODE)
                    );
                    complaints.push(Complaint::new(place.clone(), headline).help(help));
                }
                continue;
            }
            let needed = |leg: &&ContactId| match (body, **leg) {
                (Body::Diode(_) | Body::Resistor(_) | Body::Capacitor(_) | Body::Transistor(_), _) => true,
                // An output may stay open, and what an open input does is for the proof to say.
                (Body::Chip(chip), ContactId::Number(leg)) => {
                    let role = chip.sheet().leg(leg).map(|leg| leg.role);
                    matches!(role, Some(LegRole::Supply | LegRole::Ground))
                }
                (Body::Chip(_), ContactId::Letter(_) | ContactId::Shell) | (Body::Changeover(_), _) => false,
            };
            for leg in open.iter().filter(needed) {
                let spot = Spot::Leg(*id, *leg);
                let headline = match body {
                    Body::Chip(chip) => {
                        let sheet = chip.sheet();
                        let name = match leg {
                            ContactId::Number(leg) => sheet.leg(*leg).map_or("", |leg| leg.name),
                            ContactId::Letter(_) | ContactId::Shell => "",
                        };
                        format!("the leg `{spot}`, {name}, is joined to nothing")
                    }
                    Body::Diode(_)
                    | Body::Resistor(_)
                    | Body::Capacitor(_)
                    | Body::Transistor(_)
                    | Body::Changeover(_) => {
                        format!("the leg `{spot}` is joined to nothing")
                    }
                };
                let help = format!("add a join such as `{spot} - 5` to `[inside]`");
                complaints.push(Complaint::new(place.clone(), headline).help(help));
            }
        }
        for (id, At { value: entry, .. }) in self.contacts {
            let Some(role) = entry.role.as_ref().filter(|role| role.value == RoleEntry::Wired) else {
                continue;
            };
            if !ends.contains(&Spot::Contact(*id)) {
                let headline = format!("contact {id} is `wired`, but nothing inside leads to it");
                let help = format!("add a join such as `u1.3 - {id}` to `[inside]`, or correct the role");
                complaints.push(Complaint::new(role.place.clone(), headline).help(help));
            }
        }
    }
}

impl InsideEntry {
    fn empty() -> Self {
        Self { joins: None, switches: BTreeMap::new(), forgets: None, statement: Statement::default() }
    }
}

/// Spots that are joined, each net under one of its spots.
#[derive(Default)]
struct Nets(BTreeMap<Spot, Spot>);

impl Nets {
    fn of(&mut self, spot: Spot) -> Spot {
        let mut spot = spot;
        while let Some(next) = self.0.get(&spot).copied() {
            // Half the way for the next one who asks.
            if let Some(further) = self.0.get(&next).copied() {
                self.0.insert(spot, further);
            }
            spot = next;
        }
        spot
    }

    fn join(&mut self, one: Spot, other: Spot) {
        let [one, other] = [one, other].map(|spot| self.of(spot));
        if one != other {
            self.0.insert(one, other);
        }
    }
}
