//! What a lead's file says of its switches.

use solderside_profile::{Action, At, Body, Complaint, PartId, listed, nearest, quoted};
use solderside_trade::ContactId;

use super::{LeadPart, PlayEntry, checked_entries};
use crate::assembly::Assembly;
use crate::changeover::{Changeover, ChangeoverPosition, MOST_POLES, PLUGGED};
use crate::lead::Leg;

/// The switches among the parts, with what their positions are for.
pub(super) fn changeovers(
    parts: &[(PartId, At<LeadPart>)],
    play_at: &[(At<String>, At<Vec<PlayEntry>>)],
    assembly: &Assembly,
    complaints: &mut Vec<Complaint>,
) -> Vec<Changeover> {
    let mut found: Vec<Changeover> = Vec::new();
    let mut poles = 0_usize;
    for (id, At { value: (_, own), place }) in parts {
        if !matches!(id, PartId::Changeover(_)) {
            let foreign = [
                own.called.as_ref().map(|at| (&at.place, "called")),
                own.positions.as_ref().map(|at| (&at.place, "positions")),
                own.makes_first.as_ref().map(|at| (&at.place, "makes_first")),
            ];
            complaints.extend(foreign.into_iter().flatten().map(|(place, key)| {
                Complaint::new(place.clone(), format!("`{key}` stands at `{id}`, which is no switch"))
                    .help("drop it, or call the part `s1`")
            }));
            continue;
        }
        let called = own.called.as_ref().map_or_else(|| id.to_string(), |at| at.value.clone());
        if found.iter().any(|other| other.called == called) {
            let place = own.called.as_ref().map_or(place, |at| &at.place);
            let headline = format!("two switches are called {}", quoted(&called));
            complaints.push(Complaint::new(place.clone(), headline).help("give one of them another name"));
        }
        if let Some(own) = own.called.as_ref().filter(|own| own.value == PLUGGED) {
            let headline = format!("no switch can be called {}", quoted(PLUGGED));
            let help = "give it another name: by this it is told which controllers are plugged in";
            complaints.push(Complaint::new(own.place.clone(), headline).help(help));
        }
        let names: Vec<&At<String>> = own.positions.iter().flat_map(|at| &at.value).collect();
        let [first, second] = names.as_slice() else {
            let place = own.positions.as_ref().map_or(place, |at| &at.place);
            let headline =
                format!("the switch `{id}` needs names for its two positions, found {}", names.len());
            let help = "write `positions = [\"as-up\", \"as-second-fire\"]`: in the first `common` is joined to `first`";
            complaints.push(Complaint::new(place.clone(), headline).help(help));
            continue;
        };
        for (name, is_taken) in [
            (first, found.iter().flat_map(|own| &own.positions).any(|own| own.name == first.value)),
            (
                second,
                found.iter().flat_map(|own| &own.positions).any(|own| own.name == second.value)
                    || first.value == second.value,
            ),
        ] {
            if is_taken {
                let headline = format!("two positions are called {}", quoted(&name.value));
                complaints.push(
                    Complaint::new(name.place.clone(), headline)
                        .help("give each position of the lead's switches a name of its own"),
                );
            }
        }
        let positions = [first, second].map(|name| position(name, play_at, assembly, complaints));
        let kind = assembly.lead.part(*id).map(|part| part.body);
        if let Some(Body::Changeover(kind)) = kind {
            poles += usize::from(kind.poles());
        }
        let makes_first = own.makes_first.as_ref().is_some_and(|at| at.value);
        found.push(Changeover { part: *id, called, positions, makes_first });
    }
    if let Some((id, At { place, .. })) = parts.iter().rfind(|(id, _)| matches!(id, PartId::Changeover(_)))
        && poles > usize::from(MOST_POLES)
    {
        let headline = format!(
            "the lead's switches have {poles} poles with `{id}`, and at most {MOST_POLES} can be proved"
        );
        complaints.push(Complaint::new(place.clone(), headline).help(
            "take a switch out: every way in which the poles may stand while they are moved is looked at",
        ));
    }
    let known: Vec<&str> = found.iter().flat_map(|own| &own.positions).map(|own| own.name.as_str()).collect();
    for (position, _) in play_at.iter().filter(|(position, _)| !known.contains(&position.value.as_str())) {
        let headline = format!("no switch of the lead has a position {}", quoted(&position.value));
        let help = match nearest(&position.value, known.iter().copied()) {
            Some(near) => format!("did you mean `{near}`?"),
            None if known.is_empty() => {
                "add a switch, such as `[part.s1]` with `switch = \"SPDT\"`".to_owned()
            }
            None => format!("its switches have {}", listed(known.iter().copied(), "and")),
        };
        complaints.push(Complaint::new(position.place.clone(), headline).help(help));
    }
    for (action, first, second) in twice_replaced(&found) {
        let headline = format!(
            "the positions {} and {} of two switches both say who performs {}",
            quoted(first),
            quoted(second),
            quoted(action.as_str())
        );
        let place = play_at
            .iter()
            .rfind(|(position, _)| position.value == second)
            .map(|(position, _)| position.place.clone());
        complaints.extend(place.map(|place| {
            Complaint::new(place, headline.clone()).help("let one switch alone decide about an action")
        }));
    }
    found
}

/// One position, with what the play map is there.
fn position(
    name: &At<String>,
    play_at: &[(At<String>, At<Vec<PlayEntry>>)],
    assembly: &Assembly,
    complaints: &mut Vec<Complaint>,
) -> ChangeoverPosition {
    let entries = play_at.iter().filter(|(position, _)| position.value == name.value);
    let play = entries.flat_map(|(_, entries)| {
        checked_entries(&entries.value, &assembly.controllers, &assembly.port, complaints)
    });
    ChangeoverPosition { name: name.value.clone(), play: play.collect() }
}

/// Actions that positions of two switches speak of, with one position of each.
fn twice_replaced(found: &[Changeover]) -> Vec<(&Action, &str, &str)> {
    let mut twice: Vec<(&Action, &str, &str)> = Vec::new();
    for (at, own) in found.iter().enumerate() {
        for (action, first) in spoken_of(own) {
            let others = found.iter().skip(at + 1).flat_map(spoken_of);
            if let Some((_, second)) = others.into_iter().find(|(theirs, _)| *theirs == action)
                && twice.iter().all(|(known, ..)| *known != action)
            {
                twice.push((action, first, second));
            }
        }
    }
    twice
}

/// The actions that the positions of a switch speak of, with the position's name.
fn spoken_of(own: &Changeover) -> impl Iterator<Item = (&Action, &str)> {
    own.positions.iter().flat_map(|own| own.play.iter().map(|(action, _)| (action, own.name.as_str())))
}

/// Complains about poles that lead nowhere: a common without a throw, and throws without their common. A throw may stay
/// open, which makes a switch one between on and off.
pub(super) fn idle_poles(parts: &[(PartId, At<LeadPart>)], assembly: &Assembly) -> Vec<Complaint> {
    let mut complaints = Vec::new();
    for (id, entry) in parts {
        let Some(Body::Changeover(kind)) = assembly.lead.part(*id).map(|part| part.body) else { continue };
        for pole in 0..kind.poles() {
            let leg = |at: u8| Leg::part(*id, ContactId::Number(pole * (1 + kind.throws()) + 1 + at));
            let is_joined = |leg: &Leg| assembly.lead.joined(*leg).next().is_some();
            let common = leg(0);
            let any_throw = (1..=kind.throws()).map(leg).any(|leg| is_joined(&leg));
            let idle = match (is_joined(&common), any_throw) {
                (true, true) => continue,
                // The second pole of a switch need not be used.
                (false, false) if pole > 0 => continue,
                (false, _) => common,
                (true, false) => leg(1),
            };
            let headline = format!("the leg `{idle}` is joined to nothing");
            let help = format!("add a join such as `{idle} - port.6`, or take the part out");
            complaints.push(Complaint::new(entry.place.clone(), headline).help(help));
        }
    }
    complaints
}
