//! What is different between two leads, and how the first is rewired into the second.

mod alike;
mod forest;
mod nets;
mod order;
mod rewire;
mod switches;
mod words;

#[cfg(test)]
mod tests;

use std::collections::BTreeSet;

use solderside_profile::{Action, Control};
use solderside_trade::Connector;

use crate::allocation::Allocation;
use crate::assembly::Assembly;
use crate::lead::{Cord, EndId, Join, Leg};
use crate::part::Part;
use nets::Nets;
use rewire::Rewiring;

pub use order::{Act, Conductor, ConductorEnd, Touch};

/// What to mind before the first step, and after the last (common practice, no source).
pub const REWIRING_CAUTIONS: [&str; 2] = [
    "Unplug the lead at every end before you rewire it.",
    "Buzz it out before it goes into a machine: continuity along every net, silence between neighbouring cups, \
     the supply first.",
];

/// All that is different between two leads.
#[derive(Debug, Clone, PartialEq)]
pub struct Difference {
    /// The smallest number of moves that turns the first lead's nets into the second's: a conductor's end
    /// soldered elsewhere, a conductor put in or taken out, an end's connector or a part changed. Where a lead has parts
    /// it need not be the smallest: an end that could go from a cup to a part in the same hood is soldered anew.
    pub moves: usize,
    /// Whether no fewer would do.
    pub is_fewest: bool,
    /// The moves in an order that crowds no cup and shorts nothing on the way.
    pub steps: Vec<Step>,
    /// The nets of the second lead by their least leg, then those of the first that are gone.
    pub nets: Vec<NetChange>,
    /// The parts that come in or go out, a sentence each; only where one takes another's place is that a move.
    pub parts: Vec<String>,
    /// What is different of the switches that both leads have, a sentence each.
    pub switches: Vec<String>,
    /// The conductors that stay as they are, in rising order.
    pub stays: Vec<Stay>,
    /// The ends whose profile or connector is another.
    pub ends: Vec<EndChange>,
    /// The controls that play something else.
    pub controls: Vec<ControlChange>,
    /// Both cords, if they are different. Rewiring leaves the first.
    pub cord: Option<[Cord; 2]>,
    /// The names of both cables, if they are different. Rewiring leaves the first.
    pub cable: Option<[Option<String>; 2]>,
    /// The ends that are moulded onto the first lead's cable and at which a step moves a conductor. It takes
    /// another core there.
    pub moulded: BTreeSet<EndId>,
    /// The second lead as it is after the moves: its nets are what was asked for, its joins may be others
    /// that make the same nets, its cord and its cable are the first lead's.
    pub rewired: Assembly,
}

/// One thing to do.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Step {
    /// What to do.
    pub act: Act,
    /// The legs of the second lead's net that it is about; none where it is about none of them.
    pub net: Option<BTreeSet<Leg>>,
    /// A sentence to read aloud.
    pub text: String,
}

/// What becomes of a net.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NetChange {
    /// The nets of the first lead that have a leg in it.
    pub before: Vec<BTreeSet<Leg>>,
    /// Its legs in the second lead; none if it is gone.
    pub after: BTreeSet<Leg>,
    /// What it is for: `a` to `fire`.
    pub text: String,
}

/// A conductor that stays.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Stay {
    /// The conductor.
    pub join: Join,
    /// What it is for, and what it was for if that was something else.
    pub text: String,
}

/// An end that is for something else, or has another connector.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct EndChange {
    /// The end.
    pub end: EndId,
    /// The profile that it is made for, and its connector, in the first lead.
    pub before: Option<(String, Connector)>,
    /// The same in the second lead.
    pub after: Option<(String, Connector)>,
    /// A sentence about it.
    pub text: String,
}

/// A control that plays something else.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ControlChange {
    /// The control.
    pub control: Control,
    /// What it plays with the first lead, in any position of its switches; none if its controller has no such control.
    pub before: Option<Vec<Action>>,
    /// What it plays with the second lead, in any position of its switches; none if its controller has no such control.
    pub after: Option<Vec<Action>>,
    /// A sentence about it.
    pub text: String,
}

/// The parts that come in or go out.
fn part_changes(before: &Assembly, after: &Assembly) -> Vec<String> {
    let told = |part: &Part| {
        format!("{}, {}, in the hood of the {} end", part.id(), words::with_article(part.body), part.sits)
    };
    let gone = before.lead.parts.iter().filter(|part| !after.lead.parts.contains(part));
    let new = after.lead.parts.iter().filter(|part| !before.lead.parts.contains(part));
    let gone = gone.map(|part| format!("Take out {}.", told(part)));
    gone.chain(new.map(|part| format!("Have ready {}.", told(part)))).collect()
}

impl Difference {
    /// Finds what is different in the second lead, and the smallest set of moves that leads to its nets.
    pub fn between(before: &Assembly, after: &Assembly) -> Self {
        let connector = |assembly: &Assembly, end| assembly.lead.end(end).map(|end| end.connector);
        let ends = before.lead.ends.iter().chain(&after.lead.ends).map(|end| end.id);
        let ends: BTreeSet<EndId> = ends.collect();
        let refitted: BTreeSet<EndId> =
            ends.iter().copied().filter(|end| connector(before, *end) != connector(after, *end)).collect();

        let parts = before.lead.parts.iter().filter_map(|part| Some((part, after.lead.part(part.id())?)));
        let is_other = |(old, new): &(&Part, &Part)| {
            old != new || switches::must_now_break_first(before, after, old.id())
        };
        let other_parts: Vec<(&Part, &Part)> = parts.filter(is_other).collect();
        let id = |(part, _): &(&Part, &Part)| EndId::Part(part.id());
        let rehoused = other_parts.iter().filter(|(old, new)| old.sits != new.sits).map(id).collect();
        let refitted: BTreeSet<EndId> = refitted.into_iter().chain(other_parts.iter().map(id)).collect();

        let rewiring = Rewiring::smallest(&before.lead.joins, &after.lead.joins, &refitted, &rehoused);
        let nets = Nets::of(&after.lead.joins);
        let allocation = Allocation::of(before);
        let words = words::Words { before, after, allocation: allocation.as_ref() };
        let acts = order::acts(&rewiring, &nets, &refitted);
        let is_moulded =
            |end: &EndId| allocation.as_ref().is_some_and(|allocation| allocation.moulded.contains_key(end));
        let moulded = acts.iter().flat_map(|act| moved_at(*act)).filter(is_moulded).collect();
        let steps = acts.into_iter().map(|act| Step {
            act,
            net: lands(act).map(|leg| after.lead.net(leg)),
            text: words.act(act),
        });
        let stays = |join: &Join| Stay { join: *join, text: words.stay(*join) };

        let mut rewired = after.clone();
        rewired.lead.joins = rewiring.joins();
        rewired.lead.cord = before.lead.cord;
        rewired.lead.cable.clone_from(&before.lead.cable);
        rewired.lead.proved = None;
        Self {
            moves: rewiring.moves(&refitted) + refitted.len(),
            is_fewest: is_fewest(before, after),
            steps: steps.collect(),
            nets: net_changes(before, after),
            parts: part_changes(before, after),
            switches: switches::changes(before, after),
            stays: rewiring.stays.iter().map(stays).collect(),
            ends: end_changes(before, after, &ends, &words),
            controls: control_changes(before, after),
            cord: (before.lead.cord != after.lead.cord).then_some([before.lead.cord, after.lead.cord]),
            cable: (before.lead.cable != after.lead.cable).then(|| {
                [before, after].map(|assembly| assembly.lead.cable.as_ref().map(|cable| cable.name.clone()))
            }),
            moulded,
            rewired,
        }
    }

    /// Whether there is none.
    pub fn is_none(&self) -> bool {
        self.steps.is_empty()
            && self.parts.is_empty()
            && self.switches.is_empty()
            && self.ends.is_empty()
            && self.controls.is_empty()
            && self.cord.is_none()
            && self.cable.is_none()
    }
}

/// Whether the argument of `rewire` covers all that a hand may do. Of a lead with parts it does not: an end that could go
/// from a cup to a part in the same hood is soldered anew, and a switch could be turned round. Nor of one for two whose controller
/// ends could change places, where one of them is for something else or both have the same connector.
fn is_fewest(before: &Assembly, after: &Assembly) -> bool {
    let ends = |assembly: &Assembly| -> Vec<(EndId, String, Connector)> {
        assembly.lead.ends.iter().map(|end| (end.id, end.profile.clone(), end.connector)).collect()
    };
    let connector = |at: u8| before.lead.end(EndId::Controller(at)).map(|end| end.connector);
    let is_for_two = [before, after].iter().any(|assembly| assembly.controllers.len() > 1);
    let has_parts = [before, after].iter().any(|assembly| !assembly.lead.parts.is_empty());
    !has_parts && (!is_for_two || ends(before) == ends(after) && connector(0) != connector(1))
}

/// A leg of the second lead's net that a step is about.
fn lands(act: Act) -> Option<Leg> {
    match act {
        Act::Remove(_) | Act::Refit(_) => None,
        Act::Free([end, _]) | Act::Move([end, _]) => Some(end.to),
        Act::Add(join) => Some(join.from),
    }
}

/// The ends of the lead at which a step moves a conductor.
fn moved_at(act: Act) -> Vec<EndId> {
    match act {
        Act::Remove(_) | Act::Refit(_) | Act::Add(_) => Vec::new(),
        Act::Free(ends) | Act::Move(ends) => {
            ends.iter().filter(|end| end.touch != Touch::Stays).map(|end| end.from.end).collect()
        }
    }
}

fn net_changes(before: &Assembly, after: &Assembly) -> Vec<NetChange> {
    let [old, new] = [before, after].map(|assembly| Nets::of(&assembly.lead.joins).all());
    let kept = new.iter().map(|net| NetChange {
        before: old.iter().filter(|other| !other.is_disjoint(net)).cloned().collect(),
        after: net.clone(),
        text: words::net(after, net),
    });
    let gone = old.iter().filter(|net| new.iter().all(|other| other.is_disjoint(net)));
    let gone = gone.map(|net| NetChange {
        before: vec![net.clone()],
        after: BTreeSet::new(),
        text: words::net(before, net),
    });
    kept.chain(gone).collect()
}

fn end_changes(
    before: &Assembly,
    after: &Assembly,
    ends: &BTreeSet<EndId>,
    words: &words::Words<'_>,
) -> Vec<EndChange> {
    let of = |assembly: &Assembly, end: EndId| {
        assembly.lead.end(end).map(|end| (end.profile.clone(), end.connector))
    };
    let changes = ends.iter().map(|end| (*end, of(before, *end), of(after, *end)));
    let changes = changes.filter(|(_, old, new)| old != new);
    let change = |(end, before, after)| {
        let text = words.end(end);
        EndChange { end, before, after, text }
    };
    changes.map(change).collect()
}

fn control_changes(before: &Assembly, after: &Assembly) -> Vec<ControlChange> {
    let mut controls: Vec<&Control> = Vec::new();
    for assembly in [after, before] {
        let own = assembly.controllers().flat_map(|(_, controller)| controller.controls());
        for control in own {
            if !controls.contains(&control) {
                controls.push(control);
            }
        }
    }
    let [old, new] = [before, after].map(switches::Positions::of);
    let changes = controls.into_iter().filter_map(|control| {
        let [was, is] = [&old, &new].map(|positions| positions.plays(control));
        let nothing = Vec::new();
        let is_other = was.as_ref().unwrap_or(&nothing) != is.as_ref().unwrap_or(&nothing);
        is_other.then(|| {
            let text = words::control(control, was.as_deref(), is.as_deref());
            let [before, after] = [was, is].map(|plays| plays.map(|plays| switches::in_any(&plays)));
            ControlChange { control: control.clone(), before, after, text }
        })
    });
    changes.collect()
}
