//! The conditions under which limits are held: the lead sound, and its return or its supply open.
//!
//! A line that the machine can also drive is tried at each such level while the lead is sound. A half-plugged
//! connector at the very moment in which the machine drives what it otherwise reads is two mishaps at once,
//! and is left out.

use solderside_lead::{Assembly, Join, Leg};
use solderside_profile::{ControllerRole, Level, PortRole, Step};
use solderside_trade::ContactId;

/// A lead as it is, or with conductors open, as in a half-plugged connector or a broken core.
pub(crate) struct Condition {
    /// The assembly without the open conductors.
    pub(crate) assembly: Assembly,
    /// The conductors that are open.
    pub(crate) open: Vec<Join>,
    /// The machine's steps; for the sound lead also one for each level to which it may drive a line at other
    /// times.
    pub(crate) steps: Vec<Step>,
}

impl Condition {
    /// Whether nothing is open.
    pub(crate) fn is_sound(&self) -> bool {
        self.open.is_empty()
    }

    /// What is open, for the end of a sentence: `, with the conductor … open`.
    pub(crate) fn told(&self) -> String {
        match self.open.as_slice() {
            [] => String::new(),
            [join] => format!(", with the conductor `{join}` open"),
            [join, ..] => format!(", with all {} conductors beside `{join}` open", self.open.len()),
        }
    }
}

/// Returns the sound lead first, then each conductor of the return and of the supply open, then each of the
/// two with all its conductors open.
pub(crate) fn conditions(assembly: &Assembly) -> Vec<Condition> {
    let of_return = |leg: Leg| {
        matches!(ours(assembly, leg), Some(ControllerRole::Common))
            || matches!(theirs(assembly, leg), Some(PortRole::Return))
    };
    let of_supply = |leg: Leg| {
        matches!(ours(assembly, leg), Some(ControllerRole::Supply))
            || matches!(theirs(assembly, leg), Some(PortRole::Supply(_)))
    };
    let touching = |wanted: &dyn Fn(Leg) -> bool| -> Vec<Join> {
        let joins = assembly.lead.joins.iter().copied();
        joins.filter(|join| wanted(join.from) || wanted(join.to)).collect()
    };
    let mut opened: Vec<Vec<Join>> = vec![Vec::new()];
    for joins in [touching(&of_return), touching(&of_supply)] {
        opened.extend(joins.iter().map(|join| vec![*join]));
        opened.push(joins);
    }
    let mut once: Vec<Vec<Join>> = Vec::new();
    for open in opened {
        if !once.contains(&open) {
            once.push(open);
        }
    }
    once.into_iter()
        .map(|open| {
            let mut steps = distinct(assembly);
            if open.is_empty() {
                steps.extend(adverse(assembly));
            }
            let assembly = open.iter().fold(assembly.clone(), |assembly, join| assembly.without(join));
            Condition { assembly, open, steps }
        })
        .collect()
}

/// The machine's steps that differ in what they do to the lead: for limits it does not matter what is read.
fn distinct(assembly: &Assembly) -> Vec<Step> {
    let joined = |step: &Step| -> Vec<(ContactId, Level)> {
        let drives = step.drives.iter().map(|(id, level)| (*id, *level));
        let held =
            step.held.iter().filter_map(|action| Some((assembly.port.contact_of(action)?, Level::Low)));
        drives.chain(held).filter(|(id, _)| assembly.lead.joined(Leg::port(*id)).next().is_some()).collect()
    };
    let mut steps: Vec<Step> = Vec::new();
    for step in &assembly.port.steps {
        if steps.iter().all(|other| joined(other) != joined(step)) {
            steps.push(step.clone());
        }
    }
    steps
}

/// Each line that the machine can also drive, at each level, and each analogue input while it is discharged.
fn adverse(assembly: &Assembly) -> Vec<Step> {
    let mut steps = Vec::new();
    for (id, contact) in &assembly.port.contacts {
        let leg = Leg::port(*id);
        // A line that nothing is joined to is the machine's own affair.
        if assembly.lead.joined(leg).next().is_none() {
            continue;
        }
        let adverse = |name: String, level: Level| Step {
            name,
            drives: [(*id, level)].into(),
            samples: Some(Vec::new()),
            ..Step::default()
        };
        for level in contact.driven.map_or(&[][..], |driven| driven.levels()) {
            steps.push(adverse(format!("{leg} driven {}", level.as_str()), *level));
        }
        if is_discharged(assembly, leg) {
            steps.push(adverse(format!("{leg} discharged"), Level::Low));
        }
    }
    steps
}

/// Whether a leg is an analogue input that the lead ties to something else than a pot. A pot is what the machine
/// expects there, and how near to a wire it comes at its stop is between the two.
pub(crate) fn is_discharged(assembly: &Assembly, leg: Leg) -> bool {
    let is_pot = |leg: &Leg| matches!(ours(assembly, *leg), Some(ControllerRole::Pot(_)));
    theirs(assembly, leg) == Some(&PortRole::Pot)
        && assembly.lead.joined(leg).next().is_some()
        && !assembly.lead.reach(leg).iter().any(is_pot)
}

fn ours(assembly: &Assembly, leg: Leg) -> Option<&ControllerRole> {
    assembly.controller_contact(leg).map(|contact| &contact.role)
}

fn theirs(assembly: &Assembly, leg: Leg) -> Option<&PortRole> {
    assembly.port_contact(leg).map(|contact| &contact.role)
}
