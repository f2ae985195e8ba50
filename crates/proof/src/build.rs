//! What can be said of a lead without solving anything: connectors, cups, the shell, what is lost.

use std::collections::{BTreeMap, BTreeSet};

use solderside_lead::{Assembly, Leg};
use solderside_profile::{Action, Control, Controller, ControllerRole, Direction, PortRole};
use solderside_trade::ContactId;

use crate::code::Code;
use crate::finding::{Finding, Severity};
use crate::readings::TruthRow;
use crate::words::{names, place, while_pressed};

/// All of it.
pub(crate) fn findings(assembly: &Assembly) -> Vec<Finding> {
    let mut findings = Vec::new();
    findings.extend(connectors(assembly));
    findings.extend(shells(assembly));
    findings.extend(crate::cable::findings(assembly));
    findings.extend(crowded_cups(assembly));
    findings.extend(idle_joins(assembly));
    findings.extend(stale(assembly));
    findings.extend(commons(assembly));
    findings.extend(lost(assembly));
    findings
}

/// The controls that perform no action.
pub(crate) fn lost_controls(assembly: &Assembly) -> Vec<Control> {
    let controls = assembly.controllers.iter().flat_map(Controller::controls);
    controls.filter(|control| assembly.lead.play.actions(control).next().is_none()).cloned().collect()
}

fn connectors(assembly: &Assembly) -> Vec<Finding> {
    let mut findings = Vec::new();
    for end in &assembly.lead.ends {
        let Some(theirs) = assembly.theirs(end.id) else { continue };
        if end.connector.mates_with(&theirs) {
            continue;
        }
        let text =
            format!("the lead's {} at the {} end does not mate with a {theirs}", end.connector, end.id);
        findings.push(
            Finding::new(Code::BuildGender, Severity::Fail, text)
                .remedy(format!("solder a {} there", theirs.mate())),
        );
    }
    findings
}

/// Shells whose net is not the return's. What counts is the net, not the join: a shell on the controller's
/// common is on the return as soon as the common is.
fn shells(assembly: &Assembly) -> Vec<Finding> {
    let legs = assembly.lead.joins.iter().flat_map(|join| [join.from, join.to]);
    let shells: BTreeSet<Leg> = legs.filter(|leg| leg.contact == ContactId::Shell).collect();
    let mut findings = Vec::new();
    for shell in shells {
        let net = assembly.lead.net(shell);
        let role = |leg: &Leg| assembly.port_contact(*leg).map(|contact| &contact.role);
        let supply = net.iter().find(|leg| matches!(role(leg), Some(PortRole::Supply(_))));
        let (severity, other) = match supply {
            Some(supply) => (Severity::Harm, *supply),
            None if net.iter().any(|leg| role(leg) == Some(&PortRole::Return)) => continue,
            // The machine's contact says more than the controller's.
            None => match net.iter().rfind(|leg| leg.contact != ContactId::Shell) {
                Some(other) => (Severity::Fail, *other),
                None => continue,
            },
        };
        let text = format!("the shell `{shell}` is on the net of {}", place(assembly, other));
        findings.push(
            Finding::new(Code::BuildShell, severity, text)
                .at([shell, other])
                .remedy("join the shell to the return or to nothing"),
        );
    }
    findings
}

fn crowded_cups(assembly: &Assembly) -> Vec<Finding> {
    let mut cups: BTreeMap<Leg, Vec<Leg>> = BTreeMap::new();
    for join in &assembly.lead.joins {
        cups.entry(join.from).or_default().push(join.to);
        cups.entry(join.to).or_default().push(join.from);
    }
    cups.retain(|_, joined| joined.len() > 1);
    cups.into_iter()
        .map(|(cup, joined)| {
            let text =
                format!("{} conductors share the cup `{cup}`: those of {}", joined.len(), names(&joined));
            Finding::new(Code::BuildCrowdedCup, Severity::Note, text).at([cup]).remedy(
                "twist and tin them together first, or bridge them at the other end and run one conductor",
            )
        })
        .collect()
}

/// Joins that lead to an analogue input, or to a contact that has no use.
fn idle_joins(assembly: &Assembly) -> Vec<Finding> {
    let mut findings = Vec::new();
    for join in &assembly.lead.joins {
        for (leg, other) in [(join.from, join.to), (join.to, join.from)] {
            let theirs = assembly.port_contact(leg).map(|contact| &contact.role);
            let ours = assembly.controller_contact(leg).map(|contact| &contact.role);
            let (code, severity, what, remedy) = match (theirs, ours) {
                (Some(PortRole::Pot), _) => (
                    Code::DrivePot,
                    Severity::Fail,
                    "an analogue input, which the machine charges and discharges: what it may carry is not known",
                    "take the join out; a plain lead leaves analogue inputs alone",
                ),
                (Some(PortRole::Unused), _) | (_, Some(ControllerRole::Unused)) => (
                    Code::BuildIdleJoin,
                    Severity::Note,
                    "which has no use",
                    "leave the conductor out: it does nothing, and another controller may have something there",
                ),
                (None, None) if leg.contact != ContactId::Shell => (
                    Code::BuildIdleJoin,
                    Severity::Note,
                    "of which nothing is known",
                    "leave the conductor out, or write into the profile what the contact is for",
                ),
                _ => continue,
            };
            let text = format!("{} is joined to {}, {what}", place(assembly, other), place(assembly, leg));
            findings.push(Finding::new(code, severity, text).at([leg, other]).remedy(remedy));
        }
    }
    findings
}

fn stale(assembly: &Assembly) -> Vec<Finding> {
    let Some(proved) = &assembly.lead.proved else { return Vec::new() };
    let mut findings = Vec::new();
    let mut check = |name: &str, then: &str, now: &str| {
        if then != now {
            let text =
                format!("the profile `{name}` has changed since the lead was proved ({then}, now {now})");
            findings
                .push(Finding::new(Code::BuildStale, Severity::Note, text).remedy(
                    "read this proof, which is of the profile as it is now, and save the lead again",
                ));
        }
    };
    if let Some(controller) = assembly.controllers.first() {
        check(&controller.name, &proved.controller, &controller.fingerprint());
    }
    check(&assembly.port.name, &proved.port, &assembly.port.fingerprint());
    if let (Some(cable), Some(then)) = (&assembly.lead.cable, &proved.cable) {
        check(&cable.name, then, &cable.fingerprint());
    }
    findings
}

/// Where the controllers' commons land.
fn commons(assembly: &Assembly) -> Vec<Finding> {
    let mut findings = Vec::new();
    for (end, controller) in assembly.controllers() {
        let commons: Vec<Leg> =
            controller.commons().into_iter().map(|contact| Leg { end, contact }).collect();
        let landed: Vec<Leg> = commons.iter().flat_map(|common| assembly.lead.joined(*common)).collect();
        let role = |leg: &Leg| assembly.port_contact(*leg).map(|contact| &contact.role);
        let goes_home =
            landed.iter().any(|leg| matches!(role(leg), Some(PortRole::Return | PortRole::Drive(_))));
        let input = landed
            .iter()
            .find(|leg| matches!(role(leg), Some(PortRole::Action { .. } | PortRole::Sense { .. })));
        let returns = names(assembly.port.returns().into_iter().map(Leg::port));
        if let Some(input) = input {
            let text = format!(
                "the common {} lands on {}, an input: it cannot carry the switches' current home",
                names(&commons),
                place(assembly, *input)
            );
            findings.push(
                Finding::new(Code::ReadReturnOnInput, Severity::Fail, text)
                    .at(commons.iter().copied().chain([*input]))
                    .remedy(format!("join it to {returns}")),
            );
        } else if !goes_home {
            let text = format!("the common {} is joined to no return", names(&commons));
            findings.push(
                Finding::new(Code::ReadNoReturn, Severity::Fail, text)
                    .at(commons.iter().copied())
                    .remedy(format!("join it to {returns}")),
            );
        }
    }
    findings
}

fn lost(assembly: &Assembly) -> Vec<Finding> {
    let mut findings = Vec::new();
    let controls = lost_controls(assembly);
    if !controls.is_empty() {
        let legs = assembly.controllers().flat_map(|(end, controller)| {
            let contacts = controls.iter().filter_map(|control| controller.contact_of(control));
            contacts.map(move |contact| Leg { end, contact }).collect::<Vec<_>>()
        });
        let verb = if controls.len() == 1 { "does" } else { "do" };
        let text = format!("{} of the controller {verb} nothing here", names(&controls));
        findings.push(
            Finding::new(Code::ReadLostControl, Severity::Note, text)
                .at(legs)
                .remedy("give one of them an action in the play map, if the port has one to spare"),
        );
    }
    let idle: Vec<&Action> = (assembly.port.actions().into_iter())
        .filter(|action| assembly.lead.play.controls(action).is_empty())
        .collect();
    if !idle.is_empty() {
        let text = format!("no control performs {}", names(&idle));
        let legs = idle.iter().filter_map(|action| assembly.port.contact_of(action)).map(Leg::port);
        findings.push(
            Finding::new(Code::ReadLostAction, Severity::Note, text)
                .at(legs)
                .remedy("give it a control in the play map, if the controller has one to spare"),
        );
    }
    findings
}

/// Opposite directions that the machine may read at once.
pub(crate) fn opposites(truth: &[TruthRow]) -> Vec<Finding> {
    let mut findings = Vec::new();
    for [one, other] in [[Direction::Up, Direction::Down], [Direction::Left, Direction::Right]] {
        let reads = |row: &&TruthRow| {
            [one, other]
                .iter()
                .all(|wanted| row.reads.iter().any(|action| action.direction() == Some(*wanted)))
        };
        if let Some(row) = truth.iter().filter(reads).min_by_key(|row| row.pressed.len()) {
            let text = format!(
                "`{}` and `{}` read at once {}, which a lever never does",
                one.as_str(),
                other.as_str(),
                while_pressed(&row.pressed)
            );
            findings.push(
                Finding {
                    state: Some(row.pressed.clone()),
                    ..Finding::new(Code::ReadOpposites, Severity::Note, text)
                }
                .remedy(
                    "keep it if the machine's programs bear it; otherwise take the direction from the button",
                ),
            );
        }
    }
    findings
}
