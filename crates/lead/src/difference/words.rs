//! The differences in sentences that can be read aloud.

use std::collections::BTreeSet;

use solderside_profile::{Action, Body, Control, PartId, listed};
use solderside_trade::{ChangeoverPart, ContactId};

use super::order::{Act, Conductor, ConductorEnd, Touch};
use crate::allocation::Allocation;
use crate::assembly::Assembly;
use crate::lead::{EndId, Join, Leg};

/// Both leads, each of which tells what its contacts are for.
pub(super) struct Words<'a> {
    pub before: &'a Assembly,
    pub after: &'a Assembly,
    /// The cores of the first lead's cable, if one is chosen.
    pub allocation: Option<&'a Allocation>,
}

impl Words<'_> {
    /// "Move the conductor of `common`: at the port end from cup 8 to cup 9 (`return`)."
    pub fn act(&self, act: Act) -> String {
        match act {
            Act::Remove(join) => format!("Remove the {}.", between(self.before, join, &self.noun(join))),
            Act::Add(join) => format!("Add a {}.", between(self.after, join, noun(join))),
            Act::Refit(end) => self.refit(end),
            Act::Free(conductor) => {
                let taken = conductor.iter().filter(|end| end.touch == Touch::Taken);
                let from = taken.map(|end| at(self.before, end.from)).collect::<Vec<_>>().join(" and off ");
                format!("Take {} off {from}, and leave it free.", self.called(&conductor))
            }
            Act::Move(conductor) => {
                let taken = conductor.iter().any(|end| end.touch == Touch::Taken);
                let verb = if taken { "Move" } else { "Solder" };
                let ends = conductor.iter().filter_map(|end| self.moved(end));
                format!("{verb} {}: {}.", self.called(&conductor), ends.collect::<Vec<_>>().join(", and "))
            }
        }
    }

    /// "at the port end from cup 8 to cup 9 (`return`)"
    fn moved(&self, end: &ConductorEnd) -> Option<String> {
        let [from, to] = [self.before.function(end.from), self.after.function(end.to)];
        let place = end.to.end;
        match end.touch {
            Touch::Stays => None,
            Touch::Soldered if end.to.part_id().is_some() => Some(format!("to {}", cup(end.to))),
            Touch::Soldered => {
                Some(format!("at the {place} end to {}{}", cup(end.to), bracketed(end.to, &to)))
            }
            Touch::Taken => {
                let was = if from == to { String::new() } else { bracketed(end.from, &from) };
                let is = bracketed(end.to, &to);
                Some(format!("at the {place} end from {}{was} to {}{is}", cup(end.from), cup(end.to)))
            }
        }
    }

    /// "the conductor of `common`", by the end that stays; by both where neither does.
    fn called(&self, conductor: &Conductor) -> String {
        let [a, b] = conductor.map(|end| end.from);
        let what = self.noun(Join::new(a, b));
        let stays = conductor.iter().filter(|end| end.touch == Touch::Stays && end.from == end.to);
        let stays: Vec<String> = stays.map(|end| name(self.before, end.from)).collect();
        match stays.as_slice() {
            [only] => format!("the {what} of {only}"),
            _ => format!("the {what} of {}", purpose(self.before, [a, b])),
        }
    }

    /// "conductor", "conductor (BN 2)": with its core where a cable is chosen.
    fn noun(&self, join: Join) -> String {
        let core = self.allocation.and_then(|allocation| allocation.cores.get(&join));
        match core.zip(self.before.lead.cable.as_ref()) {
            Some((core, cable)) => format!("{} ({})", noun(join), cable.lettered(*core)),
            None => noun(join).to_owned(),
        }
    }

    fn refit(&self, end: EndId) -> String {
        if let EndId::Part(id) = end {
            return self.exchange(id);
        }
        let [old, new] =
            [self.before, self.after].map(|assembly| assembly.lead.end(end).map(|end| end.connector));
        match (old, new) {
            (Some(old), Some(new)) => format!(
                "Mark each conductor at the {end} end with its cup, take the {old} off, and put {} in its place.",
                new.with_article()
            ),
            (Some(old), None) => format!("Take the {old} of the {end} end off."),
            // The first one has its cord in the hood of the port end already.
            (None, Some(new)) if matches!(end, EndId::Controller(1)) => format!(
                "Put on {} for the {end} end, at a cord of its own into the hood of the port end.",
                new.with_article()
            ),
            (None, Some(new)) => format!("Put on {} for the {end} end.", new.with_article()),
            (None, None) => format!("Leave the {end} end as it is."),
        }
    }

    /// "Unsolder r1, a 10 Ω, and put a 100 Ω in its place, in the hood of the port end."
    fn exchange(&self, id: PartId) -> String {
        let [old, new] = [self.before, self.after].map(|assembly| assembly.lead.part(id));
        match (old, new) {
            (Some(old), Some(new)) if old == new => format!(
                "Unsolder {id}, {} that makes before it breaks, and put one that breaks first in its place.",
                with_article(old.body)
            ),
            (Some(old), Some(new)) if old.sits == new.sits => format!(
                "Unsolder {id}, {}, and put {} in its place, in the hood of the {} end.",
                with_article(old.body),
                with_article(new.body),
                new.sits
            ),
            (Some(old), Some(new)) if old.body == new.body => format!(
                "Unsolder {id}, {}, in the hood of the {} end, and put it into that of the {} end.",
                with_article(old.body),
                old.sits,
                new.sits
            ),
            (Some(old), Some(new)) => format!(
                "Unsolder {id}, {}, in the hood of the {} end, and put {} into that of the {} end.",
                with_article(old.body),
                old.sits,
                with_article(new.body),
                new.sits
            ),
            (_, _) => format!("Leave {id} as it is."),
        }
    }

    /// "`a` to `fire`; it was `a` to `second-fire`"
    pub fn stay(&self, join: Join) -> String {
        let legs = [join.from, join.to];
        let [was, is] = [self.before, self.after].map(|assembly| purpose(assembly, legs));
        if was == is { is } else { format!("{is} (before: {was})") }
    }

    /// "The port end is for `plover`; before it was for `curlew`."
    pub fn end(&self, end: EndId) -> String {
        let [old, new] = [self.before, self.after].map(|assembly| assembly.lead.end(end));
        match (old, new) {
            (Some(old), Some(new)) if old.profile == new.profile => {
                let [new, old] = [new, old].map(|end| end.connector.with_article());
                format!("The {end} end has {new}; before it had {old}.")
            }
            (Some(old), Some(new)) if old.connector == new.connector => {
                format!("The {end} end is for `{}`; before it was for `{}`.", new.profile, old.profile)
            }
            (Some(old), Some(new)) => format!(
                "The {end} end is {} for `{}`; before it was {} for `{}`.",
                new.connector.with_article(),
                new.profile,
                old.connector.with_article(),
                old.profile
            ),
            (Some(old), None) => {
                let connector = old.connector.with_article();
                format!("There is no {end} end; before it was {connector} for `{}`.", old.profile)
            }
            (None, Some(new)) => {
                format!("There is a {end} end: {} for `{}`.", new.connector.with_article(), new.profile)
            }
            (None, None) => format!("There is no {end} end."),
        }
    }
}

/// "a 1N4148", "an SPDT", "a DPDT"
pub(super) fn with_article(body: Body) -> String {
    let is_spoken_with_a_vowel =
        matches!(body, Body::Changeover(ChangeoverPart::OnOff | ChangeoverPart::OnePole));
    let article = if is_spoken_with_a_vowel { "an" } else { "a" };
    format!("{article} {body}")
}

/// "`a` to `fire`: controller 13, port 6"
pub(super) fn net(assembly: &Assembly, net: &BTreeSet<Leg>) -> String {
    let legs: Vec<Leg> = net.iter().copied().collect();
    let cups: Vec<String> = legs.iter().map(|leg| format!("{} {}", leg.end, leg.contact)).collect();
    format!("{}: {}", purpose(assembly, legs), cups.join(", "))
}

/// "`b` plays `second-fire`; before it played nothing."
pub(super) fn control(
    control: &Control,
    old: Option<&[(String, Vec<Action>)]>,
    new: Option<&[(String, Vec<Action>)]>,
) -> String {
    let actions = |actions: &[Action]| match actions {
        [] => "nothing".to_owned(),
        some => listed(some.iter().map(Action::as_str), "and"),
    };
    let plays = |positions: &[(String, Vec<Action>)]| {
        let told = positions.iter().map(|(position, played)| {
            let with = if position.is_empty() { String::new() } else { format!(" with {position}") };
            actions(played) + &with
        });
        let told: Vec<String> = told.collect();
        if told.is_empty() { actions(&[]) } else { told.join(", ") }
    };
    match (old, new) {
        (Some(old), Some(new)) => {
            format!("`{control}` plays {}; before it played {}.", plays(new), plays(old))
        }
        (None, Some(new)) => format!("`{control}` is new, and plays {}.", plays(new)),
        (Some(old), None) => format!("`{control}` is gone; it played {}.", plays(old)),
        (None, None) => format!("`{control}` is on neither controller."),
    }
}

/// "conductor from cup 5 (`b`) of the controller end to cup 9 (`second-fire`) of the port end", or
/// "jumper at the port end from cup 6 (`fire`) to cup 9 (`second-fire`)".
fn between(assembly: &Assembly, join: Join, what: &str) -> String {
    if is_jumper(join) {
        let [from, to] = [join.from, join.to]
            .map(|leg| format!("{}{}", cup(leg), bracketed(leg, &assembly.function(leg))));
        return format!("{what} at the {} end from {from} to {to}", join.from.end);
    }
    let [from, to] = [join.from, join.to].map(|leg| at(assembly, leg));
    format!("{what} from {from} to {to}")
}

/// "cup 5 (`b`) of the controller end"
fn at(assembly: &Assembly, leg: Leg) -> String {
    if leg.part_id().is_some() {
        return cup(leg);
    }
    format!("{}{} of the {} end", cup(leg), bracketed(leg, &assembly.function(leg)), leg.end)
}

/// "cup 5", "the shell", "the anode of d1"
fn cup(leg: Leg) -> String {
    match (leg.part_id(), leg.contact) {
        (Some(id), contact) if id.leg_names().is_empty() => format!("leg {contact} of {id}"),
        (Some(id), contact) => format!("the {} of {id}", id.leg_name(contact)),
        (None, ContactId::Shell) => "the shell".to_owned(),
        (None, contact @ (ContactId::Number(_) | ContactId::Letter(_))) => format!("cup {contact}"),
    }
}

/// " (`fire`)", or nothing where there is nothing to add.
fn bracketed(leg: Leg, function: &str) -> String {
    if function.is_empty() || leg.contact == ContactId::Shell || leg.part_id().is_some() {
        String::new()
    } else {
        format!(" (`{function}`)")
    }
}

/// "`fire`", or "cup 3 of the port end" where nothing is known of it.
fn name(assembly: &Assembly, leg: Leg) -> String {
    match assembly.function(leg) {
        function if function.is_empty() || leg.contact == ContactId::Shell => at(assembly, leg),
        function => format!("`{function}`"),
    }
}

/// "`up`", "`a` to `fire`", "`a`, `b` and `fire`": each name once.
fn purpose(assembly: &Assembly, legs: impl IntoIterator<Item = Leg>) -> String {
    let mut names: Vec<String> = Vec::new();
    for name in legs.into_iter().map(|leg| name(assembly, leg)) {
        if !names.contains(&name) {
            names.push(name);
        }
    }
    match names.as_slice() {
        [most @ .., last] if most.len() > 1 => format!("{} and {last}", most.join(", ")),
        few => few.join(" to "),
    }
}

/// Whether a conductor stays within one end.
fn is_jumper(join: Join) -> bool {
    join.from.end == join.to.end
}

fn noun(join: Join) -> &'static str {
    if is_jumper(join) { "jumper" } else { "conductor" }
}
