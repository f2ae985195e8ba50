//! What can be said of a lead without solving anything: connectors, cups, the shell, what is lost.

use std::collections::{BTreeMap, BTreeSet};

use solderside_lead::{Assembly, EndId, Leg, PartId};
use solderside_profile::{
    Action, ActiveLevel, Control, Controller, ControllerRole, Direction, OutputKind, PortRole, Pot,
};
use solderside_trade::ContactId;

use crate::axes::{is_measured, pots};
use crate::code::Code;
use crate::finding::{Finding, Severity};
use crate::transistors::is_of_transistor;
use crate::truth::TruthRow;
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
    // A socket that is none for a controller reads nothing, so nothing can be missed or lost there.
    if assembly.port.hazard.is_none() {
        findings.extend(commons(assembly));
        findings.extend(fights(assembly));
        findings.extend(scanned_logic(assembly));
        findings.extend(lost(assembly));
    }
    findings
}

/// What is wrong with a lead into a socket that is none for a controller, whatever flows in it. Harm that the circuit
/// does there is told beside it.
pub(crate) fn no_port(assembly: &Assembly) -> Option<Finding> {
    let hazard = assembly.port.hazard.as_ref()?;
    let text = format!("`{}` is no port for a controller: it is {hazard}", assembly.port.name);
    let port =
        assembly.lead.joins.iter().flat_map(|join| [join.from, join.to]).filter(|leg| leg.end == EndId::Port);
    Some(
        Finding::new(Code::BuildNoPort, Severity::Fail, text)
            .at(port.collect::<BTreeSet<_>>())
            .remedy("plug nothing in there, and build no lead for it: take the machine's controller port"),
    )
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
        let text = format!(
            "the lead's {} at the {} end does not mate with {}",
            end.connector,
            end.id,
            theirs.with_article()
        );
        findings.push(
            Finding::new(Code::BuildGender, Severity::Fail, text)
                .remedy(format!("put {} there", theirs.mate().with_article())),
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
        let scanned = if matches!(role(&other), Some(PortRole::Drive(_))) {
            ", which the machine drives: whatever touches the shell shorts that line"
        } else {
            ""
        };
        let text = format!("the shell `{shell}` is on the net of {}{scanned}", place(assembly, other));
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
    for join in assembly.lead.soldered() {
        cups.entry(join.from).or_default().push(join.to);
        cups.entry(join.to).or_default().push(join.from);
    }
    // A part's leg is no cup: wires are wound around it. Neither is a donor's switch.
    cups.retain(|cup, joined| joined.len() > 1 && cup.is_mated());
    let (of_both, others): (BTreeMap<Leg, Vec<Leg>>, BTreeMap<Leg, Vec<Leg>>) =
        cups.into_iter().partition(|(_, joined)| is_of_both(joined));
    let of_both: Vec<Leg> = of_both.into_keys().collect();
    let of_both = (!of_both.is_empty()).then(|| {
        let shared = if of_both.len() == 1 { "the cup" } else { "each of the cups" };
        let text = format!("2 conductors share {shared} {}: one from each controller end", names(&of_both));
        Finding::new(Code::BuildCrowdedCup, Severity::Note, text)
            .at(of_both)
            .remedy("twist and tin each two together before they go into their cup")
    });
    let others = others.into_iter().map(|(cup, joined)| {
        let text = format!("{} conductors share the cup `{cup}`: those of {}", joined.len(), names(&joined));
        Finding::new(Code::BuildCrowdedCup, Severity::Note, text).at([cup]).remedy(
            "twist and tin them together first, or bridge them at the other end and run one conductor",
        )
    });
    of_both.into_iter().chain(others).collect()
}

/// Whether two conductors come from the two controller ends.
fn is_of_both(joined: &[Leg]) -> bool {
    let ends: BTreeSet<EndId> = joined.iter().map(|leg| leg.end).collect();
    joined.len() == 2 && ends == BTreeSet::from([EndId::Controller(0), EndId::Controller(1)])
}

/// Joins that lead to an analogue input, or to a contact that has no use.
fn idle_joins(assembly: &Assembly) -> Vec<Finding> {
    let mut findings = Vec::new();
    for join in &assembly.lead.joins {
        for (leg, other) in [(join.from, join.to), (join.to, join.from)] {
            let theirs = assembly.port_contact(leg).map(|contact| &contact.role);
            let ours = assembly.controller_contact(leg).map(|contact| &contact.role);
            let is_analogue =
                matches!(theirs, Some(PortRole::Axis(_))) || matches!(ours, Some(ControllerRole::Pot(_)));
            let is_switched = leg.end == EndId::Port && assembly.steering(leg.contact).is_some();
            if is_analogue && (is_switched || is_measured(assembly, leg)) {
                continue;
            }
            let (code, severity, what, remedy) = match (theirs, ours) {
                // A button to the return only empties what is charged there; some machines read one so.
                (Some(PortRole::Pot), _) if is_button(assembly, leg) => (
                    Code::DrivePot,
                    Severity::Note,
                    "an analogue input, which measures a resistance: a button does nothing there",
                    "take the join out, or give the contact an action in a profile of your own if the machine reads a \
                     button there",
                ),
                (Some(PortRole::Pot | PortRole::Axis(_)), _) => (
                    Code::DrivePot,
                    Severity::Fail,
                    "an analogue input, which the machine charges and discharges: what it may carry is not known",
                    "take the join out; a plain lead leaves analogue inputs alone",
                ),
                (_, Some(ControllerRole::Pot(_))) => (
                    Code::DrivePot,
                    Severity::Fail,
                    "a pot of the controller, which is a resistance and no switch",
                    "take the join out; a plain lead leaves pots alone",
                ),
                (_, Some(ControllerRole::DoNotConnect)) => (
                    Code::DriveUnproved,
                    Severity::Note,
                    "of which only is known that it must stay alone: what it carries cannot be told",
                    "take the join out, or find out what is behind the contact and write it into the profile",
                ),
                (Some(PortRole::Unused), _) | (_, Some(ControllerRole::Unused)) => (
                    Code::BuildIdleJoin,
                    Severity::Note,
                    "which has no use",
                    "leave the conductor out: it does nothing, and another controller may have something there",
                ),
                (None, None)
                    if leg.contact != ContactId::Shell && leg.is_mated() && !is_empty(assembly, leg) =>
                {
                    (
                        Code::DriveUnproved,
                        Severity::Note,
                        "of which nothing is known: what it carries cannot be told",
                        "leave the conductor out, or write into the profile what the contact is for",
                    )
                }
                _ => continue,
            };
            // A donor goes into its port as it always did.
            if code == Code::BuildIdleJoin && join.is_of_plug() {
                continue;
            }
            let text = format!("{} is joined to {}, {what}", place(assembly, other), place(assembly, leg));
            findings.push(Finding::new(code, severity, text).at([leg, other]).remedy(remedy));
        }
    }
    findings
}

/// Whether a leg is at one of two controller ends, into which nothing is plugged.
fn is_empty(assembly: &Assembly, leg: Leg) -> bool {
    assembly.controllers.len() > 1 && assembly.controller(leg.end).is_some_and(|own| own.contacts.is_empty())
}

/// Whether nothing but buttons of a controller is tied to a leg.
fn is_button(assembly: &Assembly, leg: Leg) -> bool {
    let mut others =
        assembly.lead.reach(leg).into_iter().filter(|other| *other != leg && other.part_id().is_none());
    others.all(|other| {
        let role = assembly.controller_contact(other).map(|contact| &contact.role);
        matches!(role, Some(ControllerRole::Control(_)))
    })
}

/// Profiles that have changed since the lead was proved against them.
pub(crate) fn stale(assembly: &Assembly) -> Vec<Finding> {
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
    // Nothing is known of what is not plugged in.
    let then = std::iter::once(&proved.controller).chain(&proved.second);
    for (controller, then) in assembly.controllers.iter().zip(then) {
        if !controller.contacts.is_empty() {
            check(&controller.name, then, &controller.fingerprint());
        }
    }
    check(&assembly.port.name, &proved.port, &assembly.port.fingerprint());
    if let (Some(donor), Some(then)) = (&assembly.donor, &proved.donor) {
        check(&donor.pad().name, then, &donor.pad().fingerprint());
    }
    if let (Some(cable), Some(then)) = (&assembly.lead.cable, &proved.cable) {
        check(&cable.name, then, &cable.fingerprint());
    }
    findings
}

/// Outputs that drive both levels on lines that the machine or another output of a pad drives too.
fn fights(assembly: &Assembly) -> Vec<Finding> {
    let mut findings = Vec::new();
    for (end, controller) in assembly.controllers() {
        let pushing = controller.controls().into_iter().filter(|control| {
            controller.driver_of(control).is_some_and(|logic| logic.output == OutputKind::PushPull)
        });
        for contact in pushing.filter_map(|control| controller.contact_of(control)) {
            let leg = Leg { end, contact };
            let reach = assembly.lead.reach(leg);
            let driven = reach.iter().find(|other| {
                assembly.port_contact(**other).is_some_and(|contact| {
                    contact.driven.is_some() || matches!(contact.role, PortRole::Drive(_))
                })
            });
            let beside = reach.iter().find(|other| **other != leg && is_output(assembly, **other));
            let (what, driven) = match (driven, beside) {
                (Some(driven), _) => ("the machine can drive", *driven),
                // Of two outputs of pads the first tells.
                (None, Some(beside)) if leg < *beside => ("the pad drives", *beside),
                (None, Some(_) | None) => continue,
            };
            let text = format!(
                "{} drives both levels, and {what} {} as well: two outputs on one line",
                place(assembly, leg),
                place(assembly, driven)
            );
            findings.push(
                Finding::new(Code::DriveFight, Severity::Fail, text)
                    .at([leg, driven])
                    .remedy("take the join out; only switches and outputs that let go may share such a line"),
            );
        }
    }
    findings
}

/// Whether the chips of a pad drive a contact.
fn is_output(assembly: &Assembly, leg: Leg) -> bool {
    assembly.controller(leg.end).is_some_and(|controller| {
        let control = controller.control_at(leg.contact);
        control.is_some_and(|control| controller.driver_of(control).is_some())
    })
}

/// Chips whose ground is a line that the machine drives: they stand on it only while it is held low.
fn scanned_logic(assembly: &Assembly) -> Vec<Finding> {
    let mut findings = Vec::new();
    for (end, controller) in assembly.controllers().filter(|(end, _)| assembly.uses_chips(*end)) {
        let grounds = controller.chip_commons().into_iter().map(|contact| Leg { end, contact });
        for ground in grounds {
            let reach = assembly.lead.reach(ground);
            let role = |leg: &Leg| assembly.port_contact(*leg).map(|contact| &contact.role);
            if reach.iter().any(|leg| role(leg) == Some(&PortRole::Return)) {
                continue;
            }
            let Some(row) = reach.iter().find(|leg| matches!(role(leg), Some(PortRole::Drive(_)))) else {
                continue;
            };
            let text = format!(
                "the chips of `{}` have {} for their ground, which the machine drives: whenever it lets go or \
                 drives high, they are without one",
                controller.name,
                place(assembly, *row)
            );
            findings.push(
                Finding::new(Code::DriveScannedLogic, Severity::Fail, text)
                    .at([ground, *row])
                    .remedy("use a controller of plain switches here, or a port with a true return"),
            );
        }
    }
    findings
}

/// Where the controllers' commons land, net by net.
fn commons(assembly: &Assembly) -> Vec<Finding> {
    let mut findings = Vec::new();
    for (end, controller) in assembly.controllers() {
        let nets = controller.common_nets();
        let one_of_several = nets.len() > 1;
        for net in nets {
            let asked = asked_of(assembly, end, controller, &net);
            // A common of its own that serves nobody here may stay open.
            if one_of_several && asked.is_empty() {
                continue;
            }
            let silent = if one_of_several {
                let verb = if asked.len() == 1 { "does" } else { "do" };
                format!(", so {} {verb} nothing", names(&asked))
            } else {
                String::new()
            };
            let net: Vec<Leg> = net.into_iter().map(|contact| Leg { end, contact }).collect();
            findings.extend(common(assembly, &net, &silent));
        }
    }
    findings
}

/// The controls of one common that are joined to something, or have an action.
fn asked_of<'c>(
    assembly: &Assembly,
    end: EndId,
    controller: &'c Controller,
    net: &[ContactId],
) -> Vec<&'c Control> {
    let is_joined = |control: &Control| {
        let leg = controller.contact_of(control).map(|contact| Leg { end, contact });
        leg.is_some_and(|leg| assembly.lead.joined(leg).next().is_some())
    };
    let has_action = |control: &Control| assembly.lead.play.actions(control).next().is_some();
    let controls = controller.controls().into_iter();
    controls
        .filter(|control| controller.commons_of(control) == net)
        .filter(|control| is_joined(control) || has_action(control))
        .collect()
}

/// Where one common lands; `silent` says whom it silences if that is nowhere.
fn common(assembly: &Assembly, net: &[Leg], silent: &str) -> Option<Finding> {
    // A part on its way changes what it carries, not where it leads.
    let landed: Vec<Leg> = net.iter().flat_map(|common| assembly.lead.reach(*common)).collect();
    // Where a donor leads it, the readings tell.
    if landed.iter().any(|leg| leg.switch().is_some()) {
        return None;
    }
    let role = |leg: &Leg| assembly.port_contact(*leg).map(|contact| &contact.role);
    // Two commons that the lead joins to each other have one way home.
    let closes_high = assembly.port.inputs.values().any(|input| input.active_level() == ActiveLevel::High);
    let goes_home = landed.iter().any(|leg| match role(leg) {
        Some(PortRole::Return | PortRole::Drive(_)) => true,
        // Chips may take a high for pressed: the readings tell.
        Some(PortRole::Supply(_)) => closes_high || assembly.has_logic(),
        Some(
            PortRole::Action { .. }
            | PortRole::Data { .. }
            | PortRole::Sense { .. }
            | PortRole::Axis(_)
            | PortRole::Fed(_)
            | PortRole::Signal(_)
            | PortRole::Pot
            | PortRole::Unused,
        )
        | None => false,
    });
    // What a transistor switches it to, the readings tell.
    let is_switched = |leg: &Leg| is_of_transistor(*leg) && leg.contact != PartId::BASE;
    let goes_home = goes_home || landed.iter().any(is_switched);
    let input = landed.iter().find(|leg| {
        matches!(role(leg), Some(PortRole::Action { .. } | PortRole::Data { .. } | PortRole::Sense { .. }))
    });
    let returns = names(homes(assembly));
    let driven = landed.iter().find(|leg| matches!(role(leg), Some(PortRole::Drive(_))));
    let is_scanned = assembly.port.steps.iter().any(|step| !step.quiet.is_empty());
    let on_return = landed.iter().any(|leg| role(leg) == Some(&PortRole::Return));
    if let Some(input) = input {
        let text = format!(
            "the common {} lands on {}, an input: it cannot carry the switches' current home",
            names(net),
            place(assembly, *input)
        );
        return Some(
            Finding::new(Code::ReadReturnOnInput, Severity::Fail, text)
                .at(net.iter().copied().chain([*input]))
                .remedy(format!("join it to {returns}")),
        );
    }
    if let Some(driven) =
        driven.filter(|_| input.is_none() && !on_return && !is_scanned && !assembly.port.returns().is_empty())
    {
        let text = format!(
            "the common {} goes home through {}, which the machine drives: the switches only close while it is \
             held low, and it is no ground",
            names(net),
            place(assembly, *driven)
        );
        return Some(
            Finding::new(Code::ReadNoReturn, Severity::Note, text)
                .at(net.iter().copied().chain([*driven]))
                .remedy(format!("join it to {returns}")),
        );
    }
    (!goes_home).then(|| {
        let text = format!("the common {} is joined to no return{silent}", names(net));
        Finding::new(Code::ReadNoReturn, Severity::Fail, text)
            .at(net.iter().copied())
            .remedy(format!("join it to {returns}"))
    })
}

/// Where a common may land: the returns, or the scanned returns of a port that has no true one; the supplies
/// too where a high is active.
fn homes(assembly: &Assembly) -> Vec<Leg> {
    let port = &assembly.port;
    let contacts = port.contacts.iter();
    let drives =
        contacts.filter(|(_, contact)| matches!(contact.role, PortRole::Drive(_))).map(|(id, _)| *id);
    let mut homes: Vec<ContactId> = port.returns();
    if homes.is_empty() {
        homes.extend(drives);
    }
    if port.inputs.values().any(|input| input.active_level() == ActiveLevel::High) {
        homes.extend(port.supplies().into_iter().map(|(id, _)| id));
    }
    homes.into_iter().map(Leg::port).collect()
}

fn lost(assembly: &Assembly) -> Vec<Finding> {
    let mut findings = Vec::new();
    let controls = lost_controls(assembly);
    let all = assembly.controllers.iter().flat_map(Controller::controls).count();
    let (moved, lost): (Vec<_>, Vec<_>) =
        pots(assembly).into_iter().partition(|(leg, _)| is_measured(assembly, *leg));
    let reads_nothing = controls.len() == all && moved.is_empty();
    if reads_nothing {
        let text = "no control of the controller performs any action: whatever is pressed, the machine reads nothing";
        findings.push(Finding::new(Code::ReadNothing, Severity::Fail, text).remedy(
            "give the actions controls in the play map, or take another controller: this one has nothing to close",
        ));
    }
    if !controls.is_empty() && !reads_nothing {
        let legs = assembly.controllers().flat_map(|(end, controller)| {
            let contacts = controls.iter().filter_map(|control| controller.contact_of(control));
            contacts.map(move |contact| Leg { end, contact }).collect::<Vec<_>>()
        });
        let (verb, it) = if controls.len() == 1 { ("does", "it") } else { ("do", "one of them") };
        let text = format!("{} of the controller {verb} nothing here", names(&controls));
        findings.push(
            Finding::new(Code::ReadLostControl, Severity::Note, text)
                .at(legs)
                .remedy(format!("give {it} an action in the play map, if the port has one to spare")),
        );
    }
    findings.extend(lost_axes(assembly, &lost));
    let idle: Vec<&Action> = (assembly.port.actions().into_iter())
        .filter(|action| assembly.lead.play.controls(action).is_empty())
        .collect();
    if !idle.is_empty() && !reads_nothing {
        let it = if idle.len() == 1 { "it" } else { "one of them" };
        let outside = idle.iter().filter(|action| action.as_str().split('-').any(|word| word == "fire"));
        let outside: Vec<&&Action> =
            outside.filter(|action| !assembly.port.fire_order.contains(action)).collect();
        // The default play map gives buttons to the fires in their order.
        let unless = if outside.is_empty() {
            String::new()
        } else {
            let order: Vec<String> = assembly
                .port
                .fire_order
                .iter()
                .chain(outside.iter().map(|action| **action))
                .map(|fire| format!("\"{fire}\""))
                .collect();
            let verb = if outside.len() == 1 { "is" } else { "are" };
            format!(
                "; {} {verb} not in the port's `fire_order`: with `fire_order = [{}]` in its file the buttons get them in that order",
                names(&outside),
                order.join(", ")
            )
        };
        let text = format!("no control performs {}", names(&idle));
        let legs = idle.iter().filter_map(|action| assembly.port.contact_of(action)).map(Leg::port);
        findings.push(Finding::new(Code::ReadLostAction, Severity::Note, text).at(legs).remedy(format!(
            "give {it} a control in the play map, if the controller has one to spare{unless}"
        )));
    }
    findings
}

/// The axes of the controller that move nothing, and those of the port that nothing moves.
fn lost_axes(assembly: &Assembly, lost: &[(Leg, &Pot)]) -> Vec<Finding> {
    let mut findings = Vec::new();
    let what = |count: usize| if count == 1 { ("axis", "is") } else { ("axes", "are") };
    let (axis, verb) = what(lost.len());
    let measures = assembly.port.axes().next().is_some();
    if !lost.is_empty() {
        let names = names(lost.iter().map(|(_, pot)| &pot.axis));
        let (why, remedy) = if measures {
            (
                "no lead to an axis of the port",
                "join each to the contact that measures its axis, if it is wanted",
            )
        } else {
            ("a plain lead leaves pots alone", "take another controller where a game is played with the pot")
        };
        let text = format!("the {axis} {names} of the controller {verb} lost: {why}");
        let found = Finding::new(Code::ReadLostControl, Severity::Note, text);
        findings.push(found.at(lost.iter().map(|(leg, _)| *leg)).remedy(remedy));
    }
    let still: Vec<_> = assembly
        .port
        .axes()
        .map(|(contact, axis)| (Leg::port(contact), &axis.axis))
        .filter(|(leg, _)| !is_measured(assembly, *leg) && assembly.steering(leg.contact).is_none())
        .collect();
    if !still.is_empty() {
        let (axis, _) = what(still.len());
        let text = format!("no pot moves the {axis} {}", names(still.iter().map(|(_, axis)| axis)));
        let found = Finding::new(Code::ReadLostAction, Severity::Note, text);
        let remedy = "a game that asks for them needs a controller with such a pot, or another lead";
        findings.push(found.at(still.iter().map(|(leg, _)| *leg)).remedy(remedy));
    }
    findings
}

/// Opposite directions that the machine may read at once.
///
/// A table that lists few states lists all pairs of controls: where the lines read what is asked of them, two
/// directions that are ever read together are read in one of those. Where they do not, that is a finding itself.
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
                    "keep it if the machine's programs bear it; otherwise take the direction from the button, or of two \
                     controllers use one at a time",
                ),
            );
        }
    }
    findings
}
