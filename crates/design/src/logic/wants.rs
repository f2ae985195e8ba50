//! What the machine wants to see at each of its contacts, step by step.

use solderside_profile::{Action, ActiveLevel, Control, Level, Port, Step};
use solderside_trade::ContactId;

use crate::plain::Problem;

/// Controls of which any one performs something, in the order of the play map.
pub(crate) type Signal = Vec<Control>;

/// What is to be seen at a contact in one step.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Show {
    /// Nobody looks.
    Any,
    /// A key of the machine's own holds the line: whatever the lead has there must let go.
    LetGo,
    /// A fixed level, whatever is pressed: true is high.
    Fixed(bool),
    /// Active while any of these is pressed, else idle.
    Pressed(Signal),
}

/// A contact that the machine reads, with what it wants to see there.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Want {
    pub(crate) contact: ContactId,
    pub(crate) active: ActiveLevel,
    /// Whether something in the machine holds the line at its idle level.
    pub(crate) is_held: bool,
    /// Whether the machine can also drive it.
    pub(crate) is_driven: bool,
    /// A show for each step.
    pub(crate) shows: Vec<Show>,
}

impl Want {
    /// What is wanted of all contacts of which anything is.
    pub(crate) fn all(problem: &Problem) -> Vec<Self> {
        let port = &problem.port;
        let wants = port.contacts.iter().filter_map(|(id, contact)| {
            let input = port.input_of(*id)?;
            let active = input.active_level();
            let shows: Vec<Show> =
                port.steps.iter().map(|step| show(problem, port, step, *id, active)).collect();
            let is_held = input.pull_up.is_some() || input.pull_down.is_some() || input.charge.is_some();
            let is_driven = contact.driven.is_some();
            let wanted = shows.iter().any(|show| *show != Show::Any);
            wanted.then_some(Self { contact: *id, active, is_held, is_driven, shows })
        });
        wants.collect()
    }

    /// The level of an idle line: true is high.
    pub(crate) fn idle(&self) -> bool {
        self.active == ActiveLevel::Low
    }

    /// The one thing that is wanted in all of these steps; none if nothing is, or more than one thing.
    pub(crate) fn one(&self, steps: impl Fn(usize) -> bool) -> Option<Show> {
        let mut one = Show::Any;
        for (at, show) in self.shows.iter().enumerate().filter(|(at, _)| steps(*at)) {
            match (&one, show) {
                (_, Show::Any) => {}
                (Show::Any, _) => one = self.shows[at].clone(),
                (one, show) if one == show => {}
                _ => return None,
            }
        }
        Some(one)
    }

    /// Whether a key of the machine's own may hold the line.
    pub(crate) fn is_shared(&self) -> bool {
        self.shows.contains(&Show::LetGo)
    }

    /// Whether nobody but the lead moves the line.
    pub(crate) fn is_alone(&self) -> bool {
        !self.is_shared() && !self.is_driven
    }
}

/// The level to which the machine drives a line in a step: true is high, none is let go.
pub(super) fn driven(step: &Step, line: ContactId) -> Option<bool> {
    match step.drives.get(&line)? {
        Level::High => Some(true),
        Level::Low => Some(false),
        Level::Released => None,
    }
}

/// The lines that the machine drives.
pub(super) fn lines(port: &Port) -> impl Iterator<Item = ContactId> {
    port.contacts.iter().filter(|(_, contact)| contact.role.family().is_some()).map(|(id, _)| *id)
}

fn show(problem: &Problem, port: &Port, step: &Step, id: ContactId, active: ActiveLevel) -> Show {
    let is_here = |action: &Action| port.contact_of(action) == Some(id);
    let idle = active == ActiveLevel::Low;
    if let Some(level) = step.expects.get(&id) {
        return match level {
            Level::Low => Show::Fixed(false),
            Level::High => Show::Fixed(true),
            Level::Released => Show::Any,
        };
    }
    if step.held.iter().any(is_here) {
        return Show::LetGo;
    }
    if step.quiet.iter().any(is_here) {
        return Show::Fixed(idle);
    }
    let Some((_, action)) = port.samples(step).into_iter().find(|(contact, _)| *contact == id) else {
        return Show::Any;
    };
    match problem.play.iter().find(|part| part.action == *action) {
        Some(part) if !part.controls.is_empty() => Show::Pressed(part.controls.clone()),
        _ => Show::Fixed(idle),
    }
}
