//! What the machine reads, state by state.

use solderside_profile::{Action, Control};

use crate::cases::{Case, LazyOrder, Moving};
use crate::line::Line;
use crate::readings::{Grade, Side};
use crate::search::Question;

/// So many states are all listed.
const MOST_ROWS: u64 = 4096;
/// Of more states about so many are, those with the fewest controls pressed.
const ENOUGH_ROWS: usize = 512;
/// So many controls pressed at once are listed in any case: opposite directions are two.
const PRESSED_AT_LEAST: usize = 2;

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

impl TruthTable {
    /// The table of a lead, in which nothing reads yet.
    pub(crate) fn of(moving: &Moving) -> Self {
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

    /// Enters what a line reads in the states of some cases.
    pub(crate) fn fill(&mut self, line: &Line<'_>, question: &mut Question<'_, Grade>, cases: &[Case]) {
        let moving = line.networks.moving();
        let every = |case: &Case| -> Vec<usize> {
            (0..self.states.len()).filter(|row| case.holds(&self.states[*row])).collect()
        };
        let mut rest: Vec<(Case, Vec<usize>)> =
            cases.iter().map(|case| (case.clone(), every(case))).collect();
        let should = line.side == Side::Active;
        let order = LazyOrder::new(Box::new(|| line.order()));
        while let Some((case, rows)) = rest.pop() {
            // One row left is a state: the case round it need not be settled.
            let case = match rows.as_slice() {
                [] => continue,
                [only] => self.states[*only].clone(),
                [_, _, ..] => case,
            };
            let reads = if question.look(&case).rank < Grade::Missed {
                should
            } else if case.is_state() || line.is_missed_throughout(&case) {
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
                    let reads = &mut self.rows[row].reads;
                    if !reads.contains(line.sampled.action) {
                        reads.push(line.sampled.action.clone());
                    }
                }
            }
        }
    }
}
