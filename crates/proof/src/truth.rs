//! What the machine reads, state by state.

use std::collections::BTreeMap;

use solderside_lead::Assembly;
use solderside_profile::{Action, Control};

use crate::cases::{Case, LazyOrder, Moving};
use crate::line::Line;
use crate::networks::Networks;
use crate::readings::{Grade, Sampled, Side, sampled};
use crate::script::Script;
use crate::search::Question;

/// So many states are all listed.
const MOST_ROWS: u64 = 4096;
/// Of more states about so many are, those with the fewest controls pressed.
const ENOUGH_ROWS: usize = 512;
/// So many controls pressed at once are listed in any case: opposite directions are two.
const PRESSED_AT_LEAST: usize = 2;
/// So many looks go into a line's cases; what they leave open is read state by state, for all lines at once.
const MOST_LOOKS: usize = 64;

/// What the machine reads in one state.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TruthRow {
    /// The controls that are pressed.
    pub pressed: Vec<Control>,
    /// The actions that the machine may read: those asked for that are sure to read, and those not asked for that
    /// are not sure to stay quiet, each at the worst of all tolerances against a typical part's threshold.
    pub reads: Vec<Action>,
}

/// The rows of some states, or of all.
#[derive(Default)]
pub(crate) struct TruthTable {
    pub(crate) rows: Vec<TruthRow>,
    states: Vec<Case>,
    /// None if all states are listed; else those with so many controls pressed at most.
    pub(crate) pressed_at_most: Option<usize>,
}

/// A line that is still to be read in a state, in the step of this place.
struct Open<'a> {
    at: usize,
    sampled: &'a Sampled<'a>,
    side: Side,
}

impl TruthTable {
    /// Reads a lead in each state.
    pub(crate) fn of(assembly: &Assembly, script: &Script<'_>, moving: &Moving) -> Self {
        let mut table = Self::empty(moving);
        let mut open: BTreeMap<usize, Vec<Open<'_>>> = BTreeMap::new();
        let samples: Vec<Vec<Sampled<'_>>> =
            script.steps().map(|(_, step)| sampled(assembly, step).collect()).collect();
        for (at, of_step) in samples.iter().enumerate().filter(|(at, _)| !script.is_repeated(assembly, *at)) {
            let networks = Networks::of_step(script, at, moving);
            for base in moving.without_chips(script.circuit(at)) {
                for sampled in of_step {
                    for (side, cases) in sampled.sides(assembly, moving, &base) {
                        let line = Line::new(assembly, &networks, sampled, side);
                        for row in table.fill(&line, &cases) {
                            open.entry(row).or_default().push(Open { at, sampled, side });
                        }
                    }
                }
            }
        }
        // What is still open is read state by state: so the chips of a state are run once for all lines.
        for (row, open) in open {
            for Open { at, sampled, side } in open {
                let networks = Networks::of_step(script, at, moving);
                let line = Line::new(assembly, &networks, sampled, side);
                if is_sure_in(&line, &mut line.question(), &table.states[row]) == (side == Side::Active) {
                    table.enter(row, sampled.action);
                }
            }
        }
        let order = assembly.port.actions();
        for row in &mut table.rows {
            row.reads.sort_by_key(|action| order.iter().position(|other| *other == action));
        }
        table
    }

    /// The table in which nothing reads yet.
    fn empty(moving: &Moving) -> Self {
        let (states, pressed_at_most) = if moving.count() <= MOST_ROWS {
            (moving.states(moving.len()), None)
        } else {
            let mut most = PRESSED_AT_LEAST;
            let mut states = moving.states(most);
            loop {
                let more = moving.states(most + 1);
                if more.len() > ENOUGH_ROWS {
                    break (states, Some(most));
                }
                (most, states) = (most + 1, more);
            }
        };
        let row = |state| TruthRow { pressed: moving.pressed(state), reads: Vec::new() };
        Self { rows: states.iter().map(row).collect(), states, pressed_at_most }
    }

    /// Enters what a line reads in the states of some cases, and returns those of which few looks do not tell it.
    fn fill(&mut self, line: &Line<'_>, cases: &[Case]) -> Vec<usize> {
        let moving = line.networks.moving();
        let every = |case: &Case| -> Vec<usize> {
            (0..self.states.len()).filter(|row| case.holds(&self.states[*row])).collect()
        };
        let mut rest: Vec<(Case, Vec<usize>)> =
            cases.iter().map(|case| (case.clone(), every(case))).collect();
        let should = line.side == Side::Active;
        let order = LazyOrder::new(Box::new(|| line.order()));
        let mut question = line.question();
        let mut looks = 0;
        while let Some((case, rows)) = rest.pop() {
            // One row left is a state: the case round it need not be settled.
            let case = match rows.as_slice() {
                [] => continue,
                [only] => self.states[*only].clone(),
                [_, _, ..] => case,
            };
            if looks == MOST_LOOKS {
                return rest.into_iter().flat_map(|(_, rows)| rows).chain(rows).collect();
            }
            looks += 1;
            let reads = if case.is_state() {
                is_sure_in(line, &mut question, &case) == should
            } else if question.look(&case).rank < Grade::Unproved {
                should
            } else if line.is_missed_throughout(&case) {
                !should
            } else if line.is_read_throughout(&case) {
                should
            } else {
                for half in moving.split(&case, &order).into_iter().flatten() {
                    let rows = rows.iter().copied().filter(|row| half.holds(&self.states[*row])).collect();
                    rest.push((half, rows));
                }
                continue;
            };
            if reads {
                for row in rows {
                    self.enter(row, line.sampled.action);
                }
            }
        }
        Vec::new()
    }

    fn enter(&mut self, row: usize, action: &Action) {
        let reads = &mut self.rows[row].reads;
        if !reads.contains(action) {
            reads.push(action.clone());
        }
    }
}

/// Whether a line is sure to be on its right side in one state. Where the state's own points do not tell it, what it
/// never passes may.
fn is_sure_in(line: &Line<'_>, question: &mut Question<'_, Grade>, state: &Case) -> bool {
    match question.look(state).rank {
        Grade::Works | Grade::Thin => true,
        Grade::Unproved => line.is_read_throughout(state),
        Grade::Missed => false,
    }
}
