//! Every controller against every port: what the best lead of each pair comes to.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::OnceLock;
use std::sync::atomic::{AtomicUsize, Ordering};

use solderside_lead::Unbuilt;
use solderside_profile::{Action, Axis, Control, Controller, Port};
use solderside_proof::Verdict;

use crate::donor::Candidate;
use crate::{Choice, Class, Designs, Donors, Pads, Refusal, briefly};

/// The classes that the atlas tries: no program is told.
pub const ATLAS_CLASSES: [Class; 4] = [Class::Plain, Class::Parts, Class::Donor, Class::Logic];

/// What stands where a controller's row meets a port's column.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Square {
    /// The best lead; none if there is none.
    pub best: Option<Best>,
    /// Why wire alone does not do all that is asked: the facts of each conflict, which forbid it together. Empty
    /// where wire does it.
    pub reasons: Vec<Vec<String>>,
    /// Whether these forbid a lead of any class; else chips have reasons of their own, which are not told here.
    pub is_final: bool,
}

/// What the best lead of a pair comes to.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Best {
    /// What its proof comes to.
    pub verdict: Verdict,
    /// What it is made of.
    pub class: Class,
    /// The pad in which it ends; none if it ends in the port.
    pub donor: Option<String>,
    /// How many diodes and resistors it has.
    pub parts: usize,
    /// Whether the port reads directions, and none is played.
    pub plays_no_direction: bool,
    /// The actions of the port that no control performs.
    pub actions_lost: Vec<Action>,
    /// The controls that perform no action.
    pub controls_lost: Vec<Control>,
    /// The axes of the port that no pot moves.
    pub axes_lost: Vec<Axis>,
    /// The axes of the controller's pots that move nothing.
    pub pots_lost: Vec<Axis>,
}

/// Designs a lead for each pair, in so many threads; a row for each controller, with a square for each port. `told`
/// hears after each pair how many are done, of how many. Profiles that differ in name, title and place only are
/// designed for once.
///
/// # Errors
/// Says which value of a profile cannot be an element of a circuit.
pub fn atlas(
    controllers: &[Controller],
    ports: &[Port],
    pads: &Pads,
    threads: usize,
    told: &(dyn Fn(usize, usize) + Sync),
) -> Result<Vec<Vec<Square>>, Unbuilt> {
    let [rows, columns] = [firsts(controllers, is_one_controller), firsts(ports, is_one_port)];
    let [own_rows, own_columns] =
        [&rows, &columns].map(|firsts| firsts.iter().copied().collect::<BTreeSet<_>>());
    let pairs: Vec<[usize; 2]> =
        own_rows.iter().flat_map(|row| own_columns.iter().map(|column| [*row, *column])).collect();
    let pads: BTreeMap<usize, Donors> =
        own_columns.iter().map(|column| (*column, pads.for_port(&ports[*column]))).collect();
    let pads: BTreeMap<usize, Vec<Candidate<'_>>> =
        pads.iter().map(|(column, pads)| (*column, Candidate::all(pads, &ports[*column]))).collect();
    let squares = pairs.iter().map(|_| OnceLock::new()).collect::<Vec<_>>();
    let (next, done) = (AtomicUsize::new(0), AtomicUsize::new(0));
    let work = || {
        loop {
            let at = next.fetch_add(1, Ordering::Relaxed);
            let (Some([row, column]), Some(square)) = (pairs.get(at), squares.get(at)) else { return };
            square.get_or_init(|| Square::with(&controllers[*row], &ports[*column], &pads[column]));
            told(done.fetch_add(1, Ordering::Relaxed) + 1, pairs.len());
        }
    };
    std::thread::scope(|scope| {
        for _ in 1..threads {
            scope.spawn(work);
        }
        work();
    });
    let mut found = BTreeMap::new();
    for (pair, square) in pairs.into_iter().zip(squares) {
        found.insert(pair, square.into_inner().expect("every pair was taken up")?);
    }
    let row = |row: &usize| columns.iter().map(|column| found[&[*row, *column]].clone()).collect();
    Ok(rows.iter().map(row).collect())
}

impl Square {
    /// Designs a lead for one pair, for which these pads may be opened.
    ///
    /// # Errors
    /// Says which value of a profile cannot be an element of a circuit.
    pub fn of(controller: &Controller, port: &Port, pads: &Donors) -> Result<Self, Unbuilt> {
        Self::with(controller, port, &Candidate::all(pads, port))
    }

    fn with(controller: &Controller, port: &Port, pads: &[Candidate<'_>]) -> Result<Self, Unbuilt> {
        Ok(Self::from(&briefly(controller, port, pads)?))
    }

    /// The better square first: no lead last, before that the leads that play none of the directions that the machine
    /// reads; within each by the verdict, then the plainer class, then what is lost.
    pub fn merit(&self) -> (bool, bool, Option<(Verdict, Class)>, usize) {
        let Some(best) = &self.best else { return (true, false, None, self.reasons.len()) };
        let lost =
            best.actions_lost.len() + best.axes_lost.len() + best.controls_lost.len() + best.pots_lost.len();
        (false, best.plays_no_direction, Some((best.verdict, best.class)), lost)
    }
}

impl From<&Designs> for Square {
    fn from(designs: &Designs) -> Self {
        Self {
            best: designs.options.first().map(Best::from),
            reasons: designs.refused.iter().map(reason).collect(),
            is_final: designs.forbids_all(),
        }
    }
}

impl From<&Choice> for Best {
    fn from(choice: &Choice) -> Self {
        let Choice { class, assembly, proof, .. } = choice;
        let (lead, port) = (&assembly.lead, &assembly.port);
        let is_idle = |action: &&Action| lead.play.controls(action).is_empty();
        let texts = |axes: Vec<&Axis>| axes.into_iter().cloned().collect();
        Self {
            verdict: proof.verdict,
            class: *class,
            donor: assembly.donor.as_ref().map(|donor| donor.pad().name.clone()),
            parts: lead.parts.len(),
            plays_no_direction: assembly.plays_no_direction(),
            actions_lost: port.actions().into_iter().filter(is_idle).cloned().collect(),
            controls_lost: proof.controls_lost.clone(),
            axes_lost: texts(choice.axes_lost()),
            pots_lost: texts(choice.pots_lost()),
        }
    }
}

/// The facts of a conflict; the worst finding where nothing that was asked stands in the way.
fn reason(Refusal { facts, nearest, .. }: &Refusal) -> Vec<String> {
    if facts.is_empty() {
        return nearest.proof.findings.iter().take(1).map(|finding| finding.text.clone()).collect();
    }
    facts.iter().map(|fact| fact.text.clone()).collect()
}

/// For each item the first that it is the same as.
fn firsts<T>(items: &[T], is_same: impl Fn(&T, &T) -> bool) -> Vec<usize> {
    let first =
        |(at, item): (usize, &T)| items[..at].iter().position(|other| is_same(item, other)).unwrap_or(at);
    items.iter().enumerate().map(first).collect()
}

/// Whether both are one controller under two names.
pub fn is_one_controller(one: &Controller, other: &Controller) -> bool {
    let Controller { name, title, like, origin, .. } = other.clone();
    Controller { name, title, like, origin, ..one.clone() } == *other
}

/// Whether both are one port under two names.
pub fn is_one_port(one: &Port, other: &Port) -> bool {
    let Port { name, title, like, origin, .. } = other.clone();
    Port { name, title, like, origin, ..one.clone() } == *other
}
