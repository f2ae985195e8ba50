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

use solderside_lead::{EndId, Join, Leg, Unbuilt};
use solderside_profile::{
    Action, ActiveLevel, Control, Fact as Known, InputCircuit, Limits, Port, PortContact, PortRole, Step,
    Supply, listed,
};
use solderside_proof::{Code, Judgement, judge_while};
use solderside_quantity::{Amps, Ohms, Triple, Volts};
use solderside_trade::{ContactId, Evidence, SwitchKind};

use crate::Choice;
use crate::plain::{Part, Problem};

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
    /// Wire is all there is.
    OnlyWire,
    /// The lead shall run in a cable.
    InCable,
    /// The socket is none for a controller.
    NoPort,
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

/// Finds the conflicts that forbid the lead, until dropping the last fact of each leaves one.
///
/// # Errors
/// Says which value of a profile cannot be an element of a circuit.
pub(crate) fn conflicts(problem: &Problem, nearest: &Choice) -> Result<Vec<Vec<Fact>>, Unbuilt> {
    let all = all(problem, nearest);
    let search = Search { problem, all: &all };
    if search.forbid(&[])? {
        // Nothing that could be otherwise would help: the findings alone say why.
        return Ok(vec![Vec::new()]);
    }
    let mut conflicts: Vec<Vec<Fact>> = Vec::new();
    let mut left: Vec<&Fact> = all.iter().rev().collect();
    while search.forbid(&left)? {
        // What was asked comes first, so that of two sets the one is told that speaks of it.
        let mut conflict = search.conflict(&[], false, &left)?;
        conflict.reverse();
        let Some(last) = conflict.last().copied() else { break };
        left.retain(|fact| *fact != last);
        conflicts.push(conflict.into_iter().cloned().collect());
    }
    Ok(conflicts)
}

/// Why no lead goes into the port at all, if it is none for a controller.
pub(crate) fn no_port(port: &Port) -> Option<Fact> {
    let hazard = port.hazard.as_ref()?;
    let text = format!("`{}` is no port for a controller: it is {hazard}", port.name);
    Some(Fact { kind: FactKind::NoPort, text })
}

/// Why there is no lead where nothing is to be played.
pub(crate) fn nothing_asked(nearest: &Choice) -> Option<Fact> {
    let found = nearest.proof.findings.iter().find(|finding| finding.code == Code::ReadNothing)?;
    Some(Fact { kind: FactKind::NothingAsked, text: found.text.clone() })
}

/// Why there is no lead with parts where wire does it.
pub(crate) fn wire_serves() -> Fact {
    Fact { kind: FactKind::WireServes, text: "wire alone does it; no lead with parts is needed".to_owned() }
}

/// A problem, and everything about it that could be otherwise.
struct Search<'p> {
    problem: &'p Problem,
    all: &'p [Fact],
}

impl<'p> Search<'p> {
    /// Whether there is no lead with these facts alone.
    fn forbid(&self, facts: &[&Fact]) -> Result<bool, Unbuilt> {
        let mut relaxed = self.problem.clone();
        for fact in self.all.iter().filter(|fact| !facts.contains(fact)) {
            drop_fact(&mut relaxed, fact);
        }
        for assembly in relaxed.leads() {
            // A lead of which nothing is asked any more may play nothing.
            let bears = |finding: &solderside_proof::Finding| {
                finding.code == Code::ReadNothing || relaxed.bears(finding)
            };
            let judged = judge_while(&assembly, bears)?;
            let accepts = |Judgement { mut findings, controls_lost, .. }: Judgement| {
                findings.retain(|finding| finding.code != Code::ReadNothing);
                relaxed.accepts(&assembly, &findings, &controls_lost)
            };
            if judged.is_some_and(accepts) {
                return Ok(false);
            }
        }
        Ok(true)
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

/// All facts that could be otherwise: those about things first, those about what was asked last.
fn all(problem: &Problem, nearest: &Choice) -> Vec<Fact> {
    let mut facts = Vec::new();
    let mut push = |kind: FactKind, text: String| facts.push(Fact { kind, text });
    let port = &problem.port;
    for input in port.inputs.values() {
        if let Some(pull_up) = input.pull_up {
            let text = format!(
                "the inputs `{}` are pulled up through {} to {}",
                input.name,
                pull_up.low(),
                pull_up.high()
            );
            push(FactKind::StrongPullUp(input.name.clone()), text);
        } else if input.active_level() == ActiveLevel::High {
            push(FactKind::ClosesToSupply(input.name.clone()), closes_to_supply(port, input));
        } else {
            let text = format!("nothing holds the inputs `{}` while no switch is closed", input.name);
            push(FactKind::NoPullUp(input.name.clone()), text);
        }
    }
    let controls = problem.controller.controls();
    if controls.iter().any(|control| problem.controller.driver_of(control).is_none()) {
        let switch = problem.controller.switch;
        let text = format!("a {} may have worn to {}", switch.as_str(), switch.closed_ohms().value.high());
        push(FactKind::WornContacts, text);
    }
    let resistors = controls.iter().filter_map(|control| problem.controller.series_of(control));
    if let Some(most) = resistors.map(|series| series.ohms.high()).reduce(Ohms::max) {
        let text = format!("the controller has resistors of up to {most} in series with its switches");
        push(FactKind::SeriesResistors, text);
    }
    for (id, supply) in port.supplies() {
        push(
            FactKind::SupplyLimit(id),
            format!("the supply `{}` gives at most {}", Leg::port(id), supply.amps_max),
        );
    }
    for finding in &nearest.proof.findings {
        let limited = matches!(finding.code, Code::DriveVolts | Code::DriveOverload | Code::DriveUnproved);
        let legs = finding.legs.iter().filter(|leg| limited && leg.end == EndId::Port);
        for leg in legs.take(1) {
            push(FactKind::Limit(leg.contact), finding.text.clone());
        }
    }
    if problem.controller.logic.is_some() {
        for (id, supply) in port.supplies() {
            push(FactKind::SupplyVolts(id), format!("the supply `{}` is at {}", Leg::port(id), supply.volts));
        }
    }
    if port.supplies().is_empty() && problem.controller.logic.is_some() {
        push(FactKind::NoSupply, format!("the port `{}` has no supply", port.name));
    }
    if port.returns().is_empty() {
        push(FactKind::NoReturn, format!("the port `{}` has no return", port.name));
    }
    for join in &problem.joins {
        let (id, text) = (join.to.contact, pulled_up(nearest, *join));
        if let (true, Some(text)) = (port.input_of(id).is_some_and(|input| input.pull_up.is_some()), text) {
            push(FactKind::PulledUp(id), text);
        }
    }
    if let Some(logic) = &problem.controller.logic {
        let none = if port.supplies().is_empty() { ", and the port has no supply" } else { "" };
        let text = format!(
            "the controller's chips need {} to {} and take up to {}{none}",
            logic.supply_volts.low(),
            logic.supply_volts.high(),
            logic.supply_amps.high()
        );
        push(FactKind::NeedsSupply, text);
    }
    let listens: Vec<String> = port.actions().into_iter().map(|action| format!("`{action}`")).collect();
    push(FactKind::TheseActions, format!("the port listens for {} and nothing else", listens.join(", ")));
    push(
        FactKind::OnlyWire,
        "wire is all there is: a plain lead has no diodes that would keep nets apart".to_owned(),
    );
    // What only the default map asks of a direction is no fact to drop: a lead without it is none.
    let asks = |part: &&Part| part.wished || part.action.direction().is_none();
    for part in problem.play.iter().filter(|part| !part.controls.is_empty()).filter(asks) {
        let controls: Vec<String> = part.controls.iter().map(|control| format!("`{control}`")).collect();
        let by = if part.wished { "as asked" } else { "by the default play map" };
        let text = format!("`{}` is performed by {}, {by}", part.action, controls.join(" or "));
        push(FactKind::Wish(part.action.clone()), text);
    }
    for control in problem.must.iter().filter(|control| nearest.proof.controls_lost.contains(control)) {
        let text =
            format!("nobody asked for an action of `{control}`, and the default play map gives it none");
        push(FactKind::Unasked(control.clone()), text);
    }
    for control in &problem.must {
        push(FactKind::Must(control.clone()), format!("`{control}` must not be lost"));
    }
    for join in &problem.joins {
        push(FactKind::Joined(*join), format!("`{}` shall be joined to `{}`", join.from, join.to));
    }
    if let Some(cable) = &problem.cable {
        push(FactKind::InCable, format!("the lead shall run in the cable `{}`", cable.name));
    }
    facts
}

/// Says of an input where a high is active what that asks of a controller.
fn closes_to_supply(port: &Port, input: &InputCircuit) -> String {
    let here = |action: &&Action| {
        port.contact_of(action).and_then(|id| port.input_of(id)).is_some_and(|own| own.name == input.name)
    };
    let (those, others): (Vec<&Action>, Vec<&Action>) = port.actions().into_iter().partition(here);
    let names = |actions: &[&Action]| listed(actions.iter().map(|action| action.as_str()), "and");
    let verb = if those.len() == 1 { "closes" } else { "close" };
    let mut text = format!("{} {verb} to the supply", names(&those));
    if !others.is_empty() {
        let verb = if others.len() == 1 { "closes" } else { "close" };
        text = format!("{text} and {} {verb} to the return, so no common serves both", names(&others));
    }
    text
}

/// What the nearest lead says of a contact that was taken for a supply.
fn pulled_up(nearest: &Choice, join: Join) -> Option<String> {
    let found = nearest
        .proof
        .findings
        .iter()
        .find(|finding| finding.code == Code::PowerPulledUp && finding.legs.contains(&join.to));
    found.map(|finding| finding.text.clone())
}

/// A contact that the port would have: its number is beyond every connector's, so it takes no other's place.
const SPARE: ContactId = ContactId::Number(u8::MAX);

/// Makes the problem as it would be without the fact.
fn drop_fact(problem: &mut Problem, fact: &Fact) {
    let sound = Known { evidence: Evidence::Assumed, source: "as if".to_owned() };
    let contact = |role: PortRole| PortContact {
        role,
        fact: sound.clone(),
        limits: Limits::default(),
        driven: None,
        called: None,
        note: None,
    };
    let supply = Supply {
        volts: Triple::exactly(Volts::literal(5.0)),
        ohms: Triple::exactly(Ohms::literal(0.1)),
        ohms_stated: true,
        amps_max: Amps::literal(100.0),
        amps_max_stated: true,
    };
    match &fact.kind {
        FactKind::Wish(action) => problem.give_up(action),
        FactKind::Must(control) => problem.must.retain(|other| other != control),
        FactKind::Joined(join) => problem.joins.retain(|other| other != join),
        FactKind::Unasked(control) => {
            // A fire can have a second button; a direction is the lever's.
            let fires = &problem.port.fire_order;
            let parts = problem.play.iter_mut();
            if let Some(part) = parts.rev().find(|part| fires.contains(&part.action)) {
                part.controls.push(control.clone());
            }
        }
        FactKind::NeedsSupply => problem.controller.logic = None,
        FactKind::NoSupply => _ = problem.port.contacts.insert(SPARE, contact(PortRole::Supply(supply))),
        FactKind::NoReturn => _ = problem.port.contacts.insert(SPARE, contact(PortRole::Return)),
        FactKind::PulledUp(id) => {
            problem.port.contacts.insert(*id, contact(PortRole::Supply(supply)));
            forget_gone(problem);
        }
        FactKind::SupplyLimit(id) => {
            if let Some(PortContact { role: PortRole::Supply(own), .. }) = problem.port.contacts.get_mut(id) {
                own.amps_max = supply.amps_max;
            }
        }
        FactKind::Limit(id) => {
            if let Some(contact) = problem.port.contacts.get_mut(id) {
                contact.limits = Limits {
                    volts: Some((Volts::literal(-1000.0), Volts::literal(1000.0))),
                    sink_amps: Some(supply.amps_max),
                    source_amps: Some(supply.amps_max),
                };
            }
        }
        FactKind::SupplyVolts(id) => {
            if let Some(PortContact { role: PortRole::Supply(own), .. }) = problem.port.contacts.get_mut(id) {
                own.volts = supply.volts;
            }
        }
        FactKind::TheseActions => problem.only_these_actions = false,
        FactKind::SeriesResistors => {
            problem.controller.contacts.values_mut().for_each(|contact| contact.series = None);
        }
        FactKind::WornContacts => problem.controller.switch = SwitchKind::Microswitch,
        FactKind::StrongPullUp(name) | FactKind::NoPullUp(name) => {
            if let Some(input) = problem.port.inputs.get_mut(name) {
                input.pull_up = Some(Triple::exactly(Ohms::literal(47e3)));
            }
        }
        FactKind::ClosesToSupply(name) => {
            if let Some(input) = problem.port.inputs.get_mut(name) {
                input.pull_up = Some(Triple::exactly(Ohms::literal(47e3)));
                input.pull_down = None;
                input.charge = None;
            }
        }
        FactKind::OnlyWire => problem.only_wire = false,
        FactKind::InCable => problem.cable = None,
        // These are told without a search.
        FactKind::NoPort | FactKind::NothingAsked | FactKind::WireServes => {}
    }
}

/// Takes actions out that no contact has any more.
fn forget_gone(problem: &mut Problem) {
    let left: Vec<Action> = problem.port.actions().into_iter().cloned().collect();
    problem.play.retain(|part| left.contains(&part.action));
    problem.port.fire_order.retain(|action| left.contains(action));
    for Step { samples, .. } in &mut problem.port.steps {
        if let Some(samples) = samples {
            samples.retain(|action| left.contains(action));
        }
    }
}
