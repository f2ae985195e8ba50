//! Why there is no lead: sets of facts, each irreducible.
//!
//! A fact is something about the problem that could be otherwise, together with the problem as it would
//! be then. A conflict is a set of facts that leaves no lead even if all the others are dropped, and leaves
//! one as soon as any of its own is dropped too. Where dropping one fact of a conflict is not enough, a
//! second conflict stands behind it, and is told as well.
//!
//! The sets are found by halving (a method of preferred explanations: U. Junker, "Preferred Explanations and Relaxations
//! for Over-Constrained Problems", AAAI 2004, from memory): a set that does not matter goes out
//! with one proof instead of one for each of its facts.

mod chips;
mod known;
mod otherwise;
#[cfg(test)]
mod tests;

use std::cell::RefCell;
use std::collections::BTreeMap;

use known::all;
use otherwise::drop_fact;
use solderside_lead::{Join, Lead, Unbuilt};
use solderside_profile::{Action, Control, Drawer, Port, listed};
use solderside_proof::Code;
use solderside_trade::{Bus, ContactId};

use crate::plain::{Judged, Problem};
use crate::{Choice, SwitchWish, Wishes};

/// One fact of a refusal.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Fact {
    /// What kind of fact.
    pub kind: FactKind,
    /// The fact in a sentence.
    pub text: String,
}

/// What kind of fact forbids a lead.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum FactKind {
    /// Somebody asked for it, or the default play map does.
    Wish(Action),
    /// A control must not be lost.
    Must(Control),
    /// A join was asked for.
    Joined(Join),
    /// The controller's chips need a supply.
    NeedsSupply,
    /// The port has no supply.
    NoSupply,
    /// A contact is only pulled up.
    PulledUp(ContactId),
    /// A supply gives no more than so much.
    SupplyLimit(ContactId),
    /// The port has no return.
    NoReturn,
    /// The port listens for so much and no more.
    TheseActions,
    /// The play map gives a control no action.
    Unasked(Control),
    /// How worn a switch contact may be.
    WornContacts,
    /// The controller has resistors in series with its switches.
    SeriesResistors,
    /// How strong an input's pull-up may be.
    StrongPullUp(String),
    /// An input has no pull-up.
    NoPullUp(String),
    /// A high is active at an input, so its switches close to the supply.
    ClosesToSupply(String),
    /// What a contact may carry or stand.
    Limit(ContactId),
    /// The voltage of a supply.
    SupplyVolts(ContactId),
    /// One contact is read for several actions, each in a step of its own.
    SharedLine(ContactId),
    /// The machine knows what is plugged in by lines that stand at fixed levels.
    Identity,
    /// The controller leads controls out through what is inside it alone.
    Inside,
    /// No chip that is tried shows the machine at a contact what it wants to see there.
    NotComposed(ContactId),
    /// Wire is all there is.
    OnlyWire,
    /// Only leads of some classes are allowed.
    OnlyClasses,
    /// A switch was asked for, and the lead with it is not sound.
    Switched,
    /// The drawer lacks parts.
    NotInDrawer,
    /// The lead shall run in a cable.
    InCable,
    /// A second controller shall have an end of the lead.
    Second,
    /// The socket is none for a controller.
    NoPort,
    /// The port speaks a protocol.
    Speaks(Bus),
    /// Nobody asks for any action, and the default play map for none either.
    NothingAsked,
    /// Wire alone serves all that is asked, and parts were asked for.
    WireServes,
}

impl FactKind {
    /// The action that somebody asked for, or the default play map.
    pub const fn wished(&self) -> Option<&Action> {
        if let Self::Wish(action) = self { Some(action) } else { None }
    }
}

/// What leads may be made of when it is asked whether there is one.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Means {
    /// Wire alone.
    Wire,
    /// Wire, parts and chips.
    All,
}

/// Finds the conflicts that forbid the lead, until dropping the last fact of each leaves one.
///
/// # Errors
/// Says which value of a profile cannot be an element of a circuit.
pub(crate) fn conflicts(
    problem: &Problem,
    nearest: &Choice,
    means: Means,
) -> Result<Vec<Vec<Fact>>, Unbuilt> {
    let mut all = all(problem, nearest);
    if means == Means::All {
        all.retain(|fact| fact.kind != FactKind::OnlyWire);
        all.splice(0..0, chips::of_chips(problem));
    }
    Search::of(problem, &all, means).conflicts()
}

/// Why no lead goes into the port at all, if it is none for a controller.
pub(crate) fn no_port(port: &Port) -> Option<Fact> {
    let hazard = port.hazard.as_ref()?;
    let text = format!("`{}` is no port for a controller: it is {hazard}", port.name);
    Some(Fact { kind: FactKind::NoPort, text })
}

/// Why no lead plays on the port, if it speaks a protocol.
pub(crate) fn speaks(port: &Port) -> Option<Fact> {
    let bus = port.bus?;
    let text = format!("`{}` speaks {}; neither wire nor chips do", port.name, bus.what());
    Some(Fact { kind: FactKind::Speaks(bus), text })
}

/// Why there is no lead where nothing is to be played.
pub(crate) fn nothing_asked(nearest: &Choice) -> Option<Fact> {
    let found = nearest.proof.findings.iter().find(|finding| finding.code == Code::ReadNothing)?;
    Some(Fact { kind: FactKind::NothingAsked, text: found.text.clone() })
}

/// Why there is no lead with parts where wire does it.
pub(crate) fn wire_serves() -> Fact {
    Fact { kind: FactKind::WireServes, text: "wire alone does it; nothing else is needed".to_owned() }
}

/// The classes that are allowed.
pub(crate) fn only_classes(wishes: &Wishes) -> Fact {
    let text = format!(
        "only leads of class {} are allowed",
        listed(wishes.classes.iter().map(|class| class.as_str()), "or")
    );
    Fact { kind: FactKind::OnlyClasses, text }
}

/// That switches were asked for, with what is wrong of the lead with them.
pub(crate) fn switched(wishes: &[SwitchWish], why: &str) -> Fact {
    let own = wishes.iter().map(|SwitchWish { control, actions: [first, second] }| {
        format!("`{control}` shall be switched between `{first}` and `{second}`")
    });
    let own: Vec<String> = own.collect();
    let text = format!("{}, and the lead with the switch is not sound: {why}", own.join(" and "));
    Fact { kind: FactKind::Switched, text }
}

/// What a lead has that the drawer lacks.
pub(crate) fn not_in_drawer(drawer: &Drawer, lead: &Lead) -> Fact {
    let wanting = drawer.wanting(lead.parts.iter().map(|part| &part.body));
    let counted = wanting.iter().map(|(body, count)| format!("{count} × {body}")).collect::<Vec<_>>();
    let verb = if matches!(wanting.as_slice(), [(_, 1)]) { "is" } else { "are" };
    let text = format!("{} {verb} not in the drawer `{}`", counted.join(", "), drawer.name);
    Fact { kind: FactKind::NotInDrawer, text }
}

/// A conflict of wire with what bars all else; that wire is all there is says the same as these.
pub(crate) fn with_bars(conflict: &[Fact], bars: &[Fact]) -> Vec<Fact> {
    let kept = conflict.iter().filter(|fact| bars.is_empty() || fact.kind != FactKind::OnlyWire);
    kept.chain(bars).cloned().collect()
}

/// A problem, and everything about it that could be otherwise.
struct Search<'p> {
    means: Means,
    problem: &'p Problem,
    all: &'p [Fact],
    /// Whether sets of facts forbid the lead, each judged once: by which facts are in it.
    judged: RefCell<BTreeMap<Vec<bool>, bool>>,
}

impl<'p> Search<'p> {
    const fn of(problem: &'p Problem, all: &'p [Fact], means: Means) -> Self {
        Self { means, problem, all, judged: RefCell::new(BTreeMap::new()) }
    }

    /// All conflicts.
    fn conflicts(&self) -> Result<Vec<Vec<Fact>>, Unbuilt> {
        if self.forbid(&[])? {
            // Nothing that could be otherwise would help: the findings alone say why.
            return Ok(vec![Vec::new()]);
        }
        let mut conflicts: Vec<Vec<Fact>> = Vec::new();
        let mut left: Vec<&Fact> = self.all.iter().rev().collect();
        while self.forbid(&left)? {
            // What was asked comes first, so that of two sets the one is told that speaks of it.
            let mut conflict = self.conflict(&[], false, &left)?;
            conflict.reverse();
            let Some(last) = conflict.last().copied() else { break };
            left.retain(|fact| *fact != last);
            conflicts.push(conflict.into_iter().cloned().collect());
        }
        Ok(conflicts)
    }

    /// Whether there is no lead with these facts alone. Of wire no lead with fewer of them is none, and a lead with more is
    /// one; chips are not tried in every way, so of these each set tells of itself alone.
    fn forbid(&self, facts: &[&Fact]) -> Result<bool, Unbuilt> {
        let set: Vec<bool> = self.all.iter().map(|fact| facts.contains(&fact)).collect();
        let is_within = |one: &[bool], other: &[bool]| one.iter().zip(other).all(|(one, other)| one <= other);
        let tells = |(judged, forbid): (&Vec<bool>, &bool)| {
            let is_told = match self.means {
                Means::Wire if *forbid => is_within(judged, &set),
                Means::Wire => is_within(&set, judged),
                Means::All => *judged == set,
            };
            is_told.then_some(*forbid)
        };
        if let Some(forbid) = self.judged.borrow().iter().find_map(tells) {
            return Ok(forbid);
        }
        let forbid = self.forbid_anew(facts)?;
        self.judged.borrow_mut().insert(set, forbid);
        Ok(forbid)
    }

    fn forbid_anew(&self, facts: &[&Fact]) -> Result<bool, Unbuilt> {
        let mut relaxed = self.problem.clone();
        for fact in self.all.iter().filter(|fact| !facts.contains(fact)) {
            drop_fact(&mut relaxed, fact);
        }
        for assembly in relaxed.leads() {
            // A lead of which nothing is asked any more may play nothing.
            let bears = |finding: &solderside_proof::Finding| {
                finding.code == Code::ReadNothing || relaxed.bears(finding)
            };
            let judged = relaxed.judge_while(assembly, bears)?;
            let accepts = |mut judged: Judged| {
                judged.judgement.findings.retain(|finding| finding.code != Code::ReadNothing);
                relaxed.accepts_judged(&judged)
            };
            if judged.is_some_and(accepts) {
                return Ok(false);
            }
        }
        Ok(match self.means {
            Means::Wire => true,
            // The price of parts shows only where chips do not do it: they are asked last.
            Means::All => relaxed.with_logic()?.is_none() && relaxed.with_parts()?.is_empty(),
        })
    }

    /// The smallest part of the candidates that forbids the lead together with what is kept anyway; earlier
    /// candidates are preferred. `fresh` says that something was kept since it was last asked whether that
    /// is enough.
    fn conflict(
        &self,
        kept: &[&'p Fact],
        fresh: bool,
        candidates: &[&'p Fact],
    ) -> Result<Vec<&'p Fact>, Unbuilt> {
        if fresh && self.forbid(kept)? {
            return Ok(Vec::new());
        }
        if candidates.len() <= 1 {
            return Ok(candidates.to_vec());
        }
        let (first, second) = candidates.split_at(candidates.len() / 2);
        let from_second = self.conflict(&[kept, first].concat(), true, second)?;
        let mut from_first = self.conflict(&[kept, &from_second].concat(), !from_second.is_empty(), first)?;
        from_first.extend(from_second);
        Ok(from_first)
    }
}
