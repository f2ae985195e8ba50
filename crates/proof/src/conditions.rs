//! The conditions under which limits are held: the lead sound, and its return or its supply open; and the moments of
//! each.
//!
//! A moment is a step of the machine's script, together with the levels to which it drives lines that it otherwise
//! reads. These are tried while the lead is sound. A half-plugged connector at the very moment in which the
//! machine drives what it otherwise reads is two mishaps at once, and is left out.

mod ties;

use std::collections::BTreeMap;

use solderside_lead::{Assembly, Join, Leg};
use solderside_profile::{ControllerRole, Level, PortRole, Step};
use solderside_trade::ContactId;

use ties::tied;

/// A lead as it is, or with conductors open, as in a half-plugged connector or a broken core.
pub(crate) struct Condition {
    /// The assembly without the open conductors.
    pub(crate) assembly: Assembly,
    /// The conductors that are open.
    pub(crate) open: Vec<Join>,
    /// The moments in which the machine can be, each as a step.
    pub(crate) moments: Vec<Step>,
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
            let mut moments = distinct(assembly);
            if open.is_empty() {
                let driven = driven(assembly, &moments);
                moments.extend(driven);
            }
            let assembly = open.iter().fold(assembly.clone(), |assembly, join| assembly.without(join));
            Condition { assembly, open, moments }
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

/// A line that the machine can drive beside its script, and the levels to which it can.
type Line = (ContactId, Vec<Level>);

/// Levels of lines.
type Levels = BTreeMap<ContactId, Level>;

/// Each step of the script with lines driven beside it: each line at each of its levels, and with it all that the
/// lead can tie to it, let go, pulled down or pulled up.
///
/// Of two lines these are all combinations. Of several, whatever pulls another line down lowers all that
/// it is tied to, so what a line gives is most with all others as low as they can be, and what it takes is most
/// with all others let go or as high as they can be.
fn driven(assembly: &Assembly, steps: &[Step]) -> Vec<Step> {
    let mut moments = Vec::new();
    for group in tied(assembly, lines(assembly)) {
        let mut tried: Vec<Levels> = Vec::new();
        for (id, levels) in &group {
            for level in levels {
                for others in [None, Some(Level::Low), Some(Level::High)] {
                    let joins_in = |(_, can): &&Line| others.is_some_and(|level| can.contains(&level));
                    let beside = group.iter().filter(joins_in);
                    let mut all: Levels = beside.filter_map(|(other, _)| Some((*other, others?))).collect();
                    all.insert(*id, *level);
                    if !tried.contains(&all) {
                        tried.push(all);
                    }
                }
            }
        }
        for levels in tried {
            // What the script drives itself it drives as the script says.
            let free = |step: &&Step| levels.keys().all(|id| !step.drives.contains_key(id));
            moments.extend(steps.iter().filter(free).map(|step| with(step, &levels, steps.len() == 1)));
        }
    }
    moments
}

/// A step with lines driven beside it, of which nothing is read.
fn with(step: &Step, levels: &Levels, is_only: bool) -> Step {
    let tell = |(id, level): (&ContactId, &Level)| format!("{} driven {}", Leg::port(*id), level.as_str());
    let beside: Vec<String> = levels.iter().map(tell).collect();
    let beside = beside.join(", ");
    Step {
        name: if is_only { beside } else { format!("{}, {beside}", step.name) },
        drives: step.drives.iter().chain(levels).map(|(id, level)| (*id, *level)).collect(),
        samples: Some(Vec::new()),
        quiet: Vec::new(),
        ..step.clone()
    }
}

/// The lines that the machine can also drive, and the analogue inputs, which it discharges.
fn lines(assembly: &Assembly) -> Vec<Line> {
    let mut lines = Vec::new();
    for (id, contact) in &assembly.port.contacts {
        let leg = Leg::port(*id);
        // A line that nothing is joined to is the machine's own affair.
        if assembly.lead.joined(leg).next().is_none() {
            continue;
        }
        if let Some(driven) = contact.driven {
            lines.push((*id, driven.levels().to_vec()));
        } else if is_discharged(assembly, leg) {
            lines.push((*id, vec![Level::Low]));
        }
    }
    lines
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
