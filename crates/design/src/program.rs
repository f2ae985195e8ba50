//! What a program in a microcontroller must do where no lead does: derived from the machine's steps, and proposed by
//! nobody. It says which lines to watch, what to show where, and how fast.

use std::collections::{BTreeMap, BTreeSet};

use solderside_lead::Leg;
use solderside_profile::{Axis, Control, ControllerRole, Level, Step};
use solderside_quantity::{Amps, Ohms, Seconds, Triple, Volts};
use solderside_trade::{Bus, ContactId, LogicFamily};

use crate::counting::Alike;
use crate::logic::wants::{Show, Want};
use crate::plain::Problem;

/// What a program must do.
#[derive(Debug, Clone, PartialEq)]
pub struct ProgramTask {
    /// The controls that it reads, each on a line of its own.
    pub reads: Vec<Control>,
    /// The lines of the controller behind which its other controls are: it must be read as its own machine reads it.
    pub speaks_to: Vec<(Leg, String)>,
    /// The controls that are behind them.
    pub spoken: Vec<Control>,
    /// The pots that it measures, where a protocol takes them.
    pub measures: Vec<(Leg, Axis)>,
    /// The lines that the machine moves.
    pub watches: Vec<Watch>,
    /// How often these move in a reading.
    pub moves: usize,
    /// The contacts at which the machine looks.
    pub answers: Vec<Answer>,
    /// The shortest time from a move of a line until the machine looks; none if nothing moves, or nobody says.
    pub within: Option<Seconds>,
    /// What it must count, where the lines alone do not tell what is wanted.
    pub counts: Option<Count>,
    /// The protocol that it must speak, where the machine looks at no contact.
    pub bus: Option<Bus>,
    /// What feeds it: the contact, its voltage and the most that it gives; none if the port feeds nothing.
    pub supply: Option<(Leg, Triple<Volts>, Amps)>,
}

/// A line that the machine moves.
#[derive(Debug, Clone, PartialEq)]
pub struct Watch {
    /// Where.
    pub leg: Leg,
    /// The outputs that drive it.
    pub family: LogicFamily,
    /// Whether the machine lets it go in some step: then something must hold it.
    pub is_let_go: bool,
}

/// A contact at which the machine looks.
#[derive(Debug, Clone, PartialEq)]
pub struct Answer {
    /// Where.
    pub leg: Leg,
    /// A low is at most so much.
    pub low_at_most: Volts,
    /// A high is at least so much.
    pub high_at_least: Volts,
    /// What a low must sink; none if nothing pulls the line up.
    pub sinks: Option<Amps>,
    /// Whether something else drives the line too: then it may only be pulled low and let go.
    pub is_shared: bool,
    /// Whether a low is pressed.
    pub low_is_pressed: bool,
    /// What it must show, with the steps in which.
    pub shows: Vec<(Shown, Vec<String>)>,
}

/// What is to be shown at a contact.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Shown {
    /// Let go: a key of the machine's own holds it.
    LetGo,
    /// A level, whatever is pressed: true is high.
    Fixed(bool),
    /// Pressed while any of these is.
    Pressed(Vec<Control>),
}

/// Where the lines stand alike in steps that want different things.
#[derive(Debug, Clone, PartialEq)]
pub struct Count {
    /// The lines whose levels tell where the count begins; empty if none does.
    pub begins_at: Vec<(Leg, Level)>,
    /// Where none does: for how long the lines rest between two readings at least, if that is known. The count must be
    /// forgotten by then.
    pub forgets_within: Option<Seconds>,
    /// How long a reading takes at most, if that is known: the count must be kept for so long.
    pub kept_for: Option<Seconds>,
    /// Two steps that no number of chips without a timer tells apart; none where the order of the moves tells them all.
    pub alike: Option<Alike>,
}

impl ProgramTask {
    /// The task of a problem; none where a program could not do it either.
    pub(crate) fn of(problem: &Problem) -> Option<Self> {
        let is_played = |control: &Control| problem.play.iter().any(|part| part.controls.contains(control));
        // Nobody listens for a control without an action, and a program sits at no wished join.
        if !problem.joins.is_empty() || !problem.must.iter().all(is_played) {
            return None;
        }
        let port = &problem.port;
        let played: BTreeSet<&Control> = problem.play.iter().flat_map(|part| &part.controls).collect();
        let own = Self::reading(problem, played.into_iter().cloned())?;
        let wants = Want::all(problem);
        let lines = moved(problem);
        let is_moved =
            |at: usize| stands(before(&port.steps, at), &lines) != stands(port.steps.get(at), &lines);
        let moves = (0..port.steps.len()).filter(|at| is_moved(*at)).count();
        let looked =
            |at: &usize| wants.iter().any(|want| want.shows.get(*at).is_some_and(|show| *show != Show::Any));
        let waits: Option<Vec<Seconds>> = (0..port.steps.len())
            .filter(|at| is_moved(*at) && looked(at))
            .map(|at| port.steps.get(at).and_then(|step| step.hold).map(Triple::low))
            .collect();
        Some(Self {
            watches: lines.iter().filter_map(|line| watch(problem, *line)).collect(),
            moves,
            answers: wants.iter().filter_map(|want| answer(problem, want)).collect(),
            within: waits.and_then(|waits| waits.into_iter().reduce(Seconds::min)),
            counts: count(problem, &wants, &lines),
            ..own
        })
    }

    /// The task on a port that speaks a protocol: every control of the controller is told there. None where the port speaks
    /// none, or a program could not read the controller either.
    pub(crate) fn of_bus(problem: &Problem) -> Option<Self> {
        let bus = problem.port.bus.filter(|_| problem.joins.is_empty())?;
        let own = Self::reading(problem, problem.controller.controls().into_iter().cloned())?;
        let pots = problem.controller.axes();
        let measures = pots.map(|(id, pot)| (Leg::controller(id), pot.axis.clone())).collect();
        Some(Self { bus: Some(bus), measures, ..own })
    }

    /// How a program reads these controls, and what feeds it.
    fn reading(problem: &Problem, controls: impl Iterator<Item = Control>) -> Option<Self> {
        let controller = &problem.controller;
        let (reads, spoken): (Vec<Control>, Vec<Control>) =
            controls.partition(|control| controller.contact_of(control).is_some());
        let wired = controller.contacts.iter().filter_map(|(id, contact)| {
            let ControllerRole::Wired { called } = &contact.role else { return None };
            Some((Leg::controller(*id), called.clone()))
        });
        let speaks_to: Vec<(Leg, String)> = wired.filter(|_| !spoken.is_empty()).collect();
        if !spoken.is_empty() && speaks_to.is_empty() {
            return None;
        }
        let supply = problem.port.supplies().into_iter().next();
        Some(Self {
            reads,
            speaks_to,
            spoken,
            measures: Vec::new(),
            watches: Vec::new(),
            moves: 0,
            answers: Vec::new(),
            within: None,
            counts: None,
            bus: None,
            supply: supply.map(|(id, supply)| (Leg::port(id), supply.volts, supply.amps_max)),
        })
    }
}

/// The lines that do not stand alike in all steps.
fn moved(problem: &Problem) -> Vec<ContactId> {
    let steps = &problem.port.steps;
    let drives = problem.port.contacts.iter().filter(|(_, contact)| contact.role.family().is_some());
    let moves = |id: &ContactId| {
        let first = steps.first().and_then(|step| step.drives.get(id));
        steps.iter().any(|step| step.drives.get(id) != first)
    };
    drives.map(|(id, _)| *id).filter(moves).collect()
}

/// The step before one; before the first stands the last, as the machine reads again and again.
fn before(steps: &[Step], at: usize) -> Option<&Step> {
    at.checked_sub(1).map_or(steps.last(), |before| steps.get(before))
}

/// How these lines stand in a step.
fn stands(step: Option<&Step>, lines: &[ContactId]) -> Vec<Level> {
    let level = |line| step.and_then(|step| step.drives.get(line)).copied().unwrap_or(Level::Released);
    lines.iter().map(level).collect()
}

fn watch(problem: &Problem, line: ContactId) -> Option<Watch> {
    let family = problem.port.contacts.get(&line)?.role.family()?;
    let lets_go = |step: &Step| stands(Some(step), &[line]) == [Level::Released];
    let is_let_go = problem.port.steps.iter().any(lets_go) || !family.drives_high();
    Some(Watch { leg: Leg::port(line), family, is_let_go })
}

fn answer(problem: &Problem, want: &Want) -> Option<Answer> {
    let port = &problem.port;
    let input = port.input_of(want.contact)?;
    let levels = input.family.levels();
    let mut shows: Vec<(Shown, Vec<String>)> = Vec::new();
    for (show, step) in want.shows.iter().zip(&port.steps) {
        let shown = match show {
            Show::Any => continue,
            Show::LetGo => Shown::LetGo,
            Show::Fixed(high) => Shown::Fixed(*high),
            Show::Pressed(signal) => Shown::Pressed(signal.clone()),
        };
        match shows.iter_mut().find(|(other, _)| *other == shown) {
            Some((_, steps)) => steps.push(step.name.clone()),
            None => shows.push((shown, vec![step.name.clone()])),
        }
    }
    let sinks = |pull_up: Triple<Ohms>| {
        let through = port.rail.high().get() / pull_up.low().get();
        Amps::new(through + input.family.input_low_amps().value.high().get()).ok()
    };
    Some(Answer {
        leg: Leg::port(want.contact),
        low_at_most: levels.low_guaranteed.value,
        high_at_least: levels.high_guaranteed.value,
        sinks: input.pull_up.and_then(sinks),
        is_shared: !want.is_alone(),
        low_is_pressed: want.idle(),
        shows,
    })
}

/// What must be counted; nothing where each stand of the lines wants one thing only.
fn count(problem: &Problem, wants: &[Want], lines: &[ContactId]) -> Option<Count> {
    let port = &problem.port;
    let mut alike: BTreeMap<Vec<Level>, BTreeSet<usize>> = BTreeMap::new();
    for (at, step) in port.steps.iter().enumerate() {
        alike.entry(stands(Some(step), lines)).or_default().insert(at);
    }
    let differ = |one: usize, other: usize| wants.iter().any(|want| want.differs(one, other));
    let is_one = |steps: &BTreeSet<usize>| {
        steps.iter().all(|one| steps.range(..one).all(|other| !differ(*one, *other)))
    };
    let (told, counted): (Vec<_>, Vec<_>) = alike.into_iter().partition(|(_, steps)| is_one(steps));
    if counted.is_empty() {
        return None;
    }
    // Where the lines stand so once in a reading, and only there, every reading goes by one place.
    let begins = |at: usize| stands(before(&port.steps, at), lines) != stands(port.steps.get(at), lines);
    let is_once =
        |(_, steps): &&(Vec<Level>, BTreeSet<usize>)| steps.iter().filter(|at| begins(**at)).count() == 1;
    let once = told.iter().filter(is_once).min_by_key(|(_, steps)| steps.first().copied());
    let begins_at = once.map_or_else(Vec::new, |(levels, _)| {
        lines.iter().map(|line| Leg::port(*line)).zip(levels.iter().copied()).collect()
    });
    let holds: Option<Vec<f64>> =
        port.steps.iter().map(|step| step.hold.map(|hold| hold.high().get())).collect();
    let kept_for = holds.and_then(|holds| Seconds::new(holds.iter().sum()).ok());
    let forgets_within = port.rest.filter(|_| begins_at.is_empty()).map(Triple::low);
    let alike = wants.iter().find_map(|want| Alike::of(port, want));
    Some(Count { begins_at, forgets_within, kept_for, alike })
}
