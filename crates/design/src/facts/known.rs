//! Everything about a problem that could be otherwise.

use std::collections::{BTreeMap, BTreeSet};

use solderside_lead::{EndId, Join, Leg};
use solderside_profile::{Action, ActiveLevel, InputCircuit, Port, listed};
use solderside_proof::Code;
use solderside_quantity::Ohms;
use solderside_trade::ContactId;

use super::{Fact, FactKind};
use crate::Choice;
use crate::plain::{Part, Problem, has_chips};

/// Facts as they are gathered.
#[derive(Default)]
struct Facts(Vec<Fact>);

impl Facts {
    fn push(&mut self, kind: FactKind, text: String) {
        self.0.push(Fact { kind, text });
    }
}

/// All facts that could be otherwise: those about things first, those about what was asked last.
pub(super) fn all(problem: &Problem, nearest: &Choice) -> Vec<Fact> {
    let mut facts = Facts::default();
    of_inputs(problem, &mut facts);
    of_power(problem, nearest, &mut facts);
    of_script(problem, &mut facts);
    of_wishes(problem, nearest, &mut facts);
    facts.0
}

/// How lines are held, and what closes to them.
fn of_inputs(problem: &Problem, facts: &mut Facts) {
    let port = &problem.port;
    for input in port.inputs.values() {
        if let Some(pull_up) = input.pull_up {
            let text = format!(
                "the inputs `{}` are pulled up through {} to {}",
                input.name,
                pull_up.low(),
                pull_up.high()
            );
            facts.push(FactKind::StrongPullUp(input.name.clone()), text);
        } else if input.active_level() == ActiveLevel::High {
            facts.push(FactKind::ClosesToSupply(input.name.clone()), closes_to_supply(port, input));
        } else {
            let text = format!("nothing holds the inputs `{}` while no switch is closed", input.name);
            facts.push(FactKind::NoPullUp(input.name.clone()), text);
        }
    }
    let controls = problem.controller.controls();
    if controls.iter().any(|control| problem.controller.driver_of(control).is_none()) {
        let switch = problem.controller.switch;
        let text = format!("a {} may have worn to {}", switch.as_str(), switch.closed_ohms().value.high());
        facts.push(FactKind::WornContacts, text);
    }
    let resistors = controls.iter().filter_map(|control| problem.controller.series_of(control));
    if let Some(most) = resistors.map(|series| series.ohms.high()).reduce(Ohms::max) {
        let text = format!("the controller has resistors of up to {most} in series with its switches");
        facts.push(FactKind::SeriesResistors, text);
    }
}

/// Supplies, returns and limits.
fn of_power(problem: &Problem, nearest: &Choice, facts: &mut Facts) {
    let port = &problem.port;
    for (id, supply) in port.supplies() {
        facts.push(
            FactKind::SupplyLimit(id),
            format!("the supply `{}` gives at most {}", Leg::port(id), supply.amps_max),
        );
    }
    for finding in &nearest.proof.findings {
        let limited = matches!(finding.code, Code::DriveVolts | Code::DriveOverload | Code::DriveUnproved);
        let legs = finding.legs.iter().filter(|leg| limited && leg.end == EndId::Port);
        for leg in legs.take(1) {
            facts.push(FactKind::Limit(leg.contact), finding.text.clone());
        }
    }
    if problem.controller.logic.is_some() {
        for (id, supply) in port.supplies() {
            facts.push(
                FactKind::SupplyVolts(id),
                format!("the supply `{}` is at {}", Leg::port(id), supply.volts),
            );
        }
    }
    if port.supplies().is_empty() && has_chips(&problem.controller) {
        facts.push(FactKind::NoSupply, format!("the port `{}` has no supply", port.name));
    }
    if port.returns().is_empty() {
        facts.push(FactKind::NoReturn, format!("the port `{}` has no return", port.name));
    }
    for join in &problem.joins {
        let (id, text) = (join.to.contact, pulled_up(nearest, *join));
        if let (true, Some(text)) = (port.input_of(id).is_some_and(|input| input.pull_up.is_some()), text) {
            facts.push(FactKind::PulledUp(id), text);
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
        facts.push(FactKind::NeedsSupply, text);
    }
}

/// What the machine's reading asks of a lead that cannot choose.
fn of_script(problem: &Problem, facts: &mut Facts) {
    let port = &problem.port;
    for (contact, actions) in shared_lines(port) {
        let actions = listed(actions.into_iter().map(Action::as_str), "and");
        let text = format!(
            "the port reads {actions} from one contact, `{}`, each in a step of its own, and a wire cannot choose",
            Leg::port(contact)
        );
        facts.push(FactKind::SharedLine(contact), text);
    }
    let fixed = port.steps.iter().flat_map(|step| step.expects.keys().map(|id| Leg::port(*id)));
    let fixed: BTreeSet<String> = fixed.map(|leg| leg.to_string()).collect();
    if !fixed.is_empty() {
        let lines = listed(fixed.iter().map(String::as_str), "and");
        facts.push(
            FactKind::Identity,
            format!("the machine knows what is plugged in by fixed levels of {lines}"),
        );
    }
    if let Some(inside) = &problem.controller.inside {
        let behind = listed(inside.switches.iter().map(|switch| switch.control.as_str()), "and");
        if !inside.switches.is_empty() {
            let text =
                format!("the controller has no contact for {behind}: they act through what is inside it");
            facts.push(FactKind::Inside, text);
        }
    }
}

/// What was asked.
fn of_wishes(problem: &Problem, nearest: &Choice, facts: &mut Facts) {
    let port = &problem.port;
    let listens: Vec<String> = port.actions().into_iter().map(|action| format!("`{action}`")).collect();
    facts.push(
        FactKind::TheseActions,
        format!("the port listens for {} and nothing else", listens.join(", ")),
    );
    facts.push(
        FactKind::OnlyWire,
        "wire is all there is: a plain lead has no diodes that would keep nets apart".to_owned(),
    );
    // What only the default map asks of a direction is no fact to drop: a lead without it is none. Nor is what it asks of a
    // control that must not be lost: without it that control would be.
    let asks = |part: &&Part| {
        let is_must = part.controls.iter().any(|control| problem.must.contains(control));
        part.wished || part.action.direction().is_none() && !is_must
    };
    for part in problem.play.iter().filter(|part| !part.controls.is_empty()).filter(asks) {
        let controls: Vec<String> = part.controls.iter().map(|control| format!("`{control}`")).collect();
        let by = if part.wished { "as asked" } else { "by the default play map" };
        let text = format!("`{}` is performed by {}, {by}", part.action, controls.join(" or "));
        facts.push(FactKind::Wish(part.action.clone()), text);
    }
    for control in problem.must.iter().filter(|control| nearest.proof.controls_lost.contains(control)) {
        let text =
            format!("nobody asked for an action of `{control}`, and the default play map gives it none");
        facts.push(FactKind::Unasked(control.clone()), text);
    }
    for control in &problem.must {
        facts.push(FactKind::Must(control.clone()), format!("`{control}` must not be lost"));
    }
    for join in &problem.joins {
        facts.push(FactKind::Joined(*join), format!("`{}` shall be joined to `{}`", join.from, join.to));
    }
    if let Some(cable) = &problem.cable {
        facts.push(FactKind::InCable, format!("the lead shall run in the cable `{}`", cable.name));
    }
}

/// The contacts that are read for several actions, with these.
fn shared_lines(port: &Port) -> BTreeMap<ContactId, Vec<&Action>> {
    let mut lines: BTreeMap<ContactId, Vec<&Action>> = BTreeMap::new();
    for (contact, action) in port.steps.iter().flat_map(|step| &step.reads) {
        let own = lines.entry(*contact).or_default();
        if !own.contains(&action) {
            own.push(action);
        }
    }
    lines.retain(|_, actions| actions.len() > 1);
    lines
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
