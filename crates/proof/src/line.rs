//! One line at one step of the machine's reading, where it should be active or where it should not: how badly
//! it can read in a state, or in all states of a case.

use std::cell::Cell;

use solderside_circuit::{Element, Extreme};
use solderside_lead::{Assembly, State};
use solderside_quantity::{Ohms, Volts};

use crate::cases::{Case, Order};
use crate::networks::Networks;
use crate::readings::{Grade, Read, Sample, Sampled, Side, TO_SPARE, read};
use crate::search::{Bad, Question};

/// What a left-out contact may move a line by: see [`solderside_lead::Circuit::in_states`].
pub(crate) const LEFT_OUT_MOVES: Volts = Volts::literal(1e-5);

/// Above any closed contact, below one that stands for an open one.
const CLOSED: Ohms = Ohms::literal(1e9);

/// The line.
pub(crate) struct Line<'l> {
    pub(crate) assembly: &'l Assembly,
    pub(crate) networks: &'l Networks<'l>,
    pub(crate) sampled: &'l Sampled<'l>,
    pub(crate) side: Side,
    /// Whether it is held even with all undecided contacts open, once that was asked.
    is_held: Cell<Option<bool>>,
}

impl<'l> Line<'l> {
    pub(crate) fn new(
        assembly: &'l Assembly,
        networks: &'l Networks<'l>,
        sampled: &'l Sampled<'l>,
        side: Side,
    ) -> Self {
        Self { assembly, networks, sampled, side, is_held: Cell::new(None) }
    }

    /// The question how badly it reads.
    pub(crate) fn question(&self) -> Question<'_, Grade> {
        Question::new(self.networks.moving(), || self.order(), |case| self.look(case), |case| self.hint(case))
            .lost_at(Grade::Unproved)
    }

    /// The question which grade it reads with, whatever the margin.
    pub(crate) fn grade_question(&self) -> Question<'_, Grade> {
        // No margin is found, so none may be told: what is infinite is not.
        let look = |case: &Case| Bad { by: f64::INFINITY, ..self.look(case) };
        Question::new(self.networks.moving(), || self.order(), look, |case| self.hint(case))
            .lost_at(Grade::Unproved)
    }

    /// The order in which cases are best split: by what moves the line.
    pub(crate) fn order(&self) -> Order {
        self.networks.order(self.sampled.leg)
    }

    fn look(&self, case: &Case) -> Bad<Grade> {
        let [pressed, either] = self.networks.moving().controls(case);
        let any = Bad { rank: Grade::Missed, by: f64::INFINITY };
        if !either.is_empty() && !self.is_held(&pressed, &either) {
            return any;
        }
        let read = self.read(case, &pressed);
        let by = read.margin().map_or(f64::INFINITY, |margin| -margin.get());
        if either.is_empty() {
            return Bad { rank: read.grade, by };
        }
        // A network for many states is only a bound for each: what occurs there need not occur in a state.
        let within = |threshold: Volts, spare: Volts| {
            read.spared(threshold).is_some_and(|spared| spared >= spare + LEFT_OUT_MOVES)
        };
        match read.grade {
            Grade::Works if within(read.thresholds.guaranteed, TO_SPARE) => Bad { rank: Grade::Works, by },
            Grade::Works | Grade::Thin if within(read.thresholds.typical, Volts::ZERO) => {
                Bad { rank: Grade::Thin, by }
            }
            Grade::Unproved if !read.is_bounded => any,
            Grade::Works | Grade::Thin | Grade::Unproved | Grade::Missed => Bad { rank: Grade::Missed, by },
        }
    }

    fn read<'s>(&'s self, case: &Case, pressed: &'s State) -> Read<'s> {
        let network = self.networks.network(case);
        let Sampled { action, leg, input, step, .. } = *self.sampled;
        let sample = Sample { action, leg, input, side: self.side, state: pressed, step };
        read(self.assembly, self.networks.circuit(), &network, sample)
    }

    /// Whether something holds the line in every state in which these controls are pressed. What holds it
    /// without a contact holds it with one, so one answer serves for all cases; a doubt is asked again.
    fn is_held(&self, pressed: &State, either: &State) -> bool {
        if self.networks.has_logic() {
            let node = self.networks.circuit().node(self.sampled.leg);
            return node.is_some_and(|node| self.networks.held(pressed, either).is_held(node));
        }
        if self.is_held.get() == Some(true) {
            return true;
        }
        let circuit = self.networks.circuit();
        let is_held = |state: &State| {
            circuit.node(self.sampled.leg).is_some_and(|node| circuit.in_state(state).is_held(node))
        };
        if self.is_held.get().is_none() {
            let chips = pressed.iter().filter(|control| !circuit.only_conducts(control)).cloned().collect();
            self.is_held.set(Some(is_held(&chips)));
            return self.is_held(pressed, either);
        }
        is_held(pressed)
    }

    /// The state in which the worst of a case would be if its undecided contacts did what is worst.
    fn hint(&self, case: &Case) -> State {
        let [pressed, either] = self.networks.moving().controls(case);
        let circuit = self.networks.circuit();
        let Some(node) = circuit.node(self.sampled.leg) else { return State::new() };
        let extreme = self.sampled.wanted(self.side).worst();
        let corner = self.networks.network(case).corner(node, extreme).unwrap_or_default();
        let closed = corner.into_iter().filter_map(|(id, element)| match element {
            Element::Resistor { ohms, .. } | Element::OpenCollector { ohms, .. } if ohms < CLOSED => {
                circuit.control_of(id, &pressed, &either)
            }
            Element::Resistor { .. }
            | Element::OpenCollector { .. }
            | Element::Source { .. }
            | Element::Current { .. }
            | Element::Diode { .. }
            | Element::Switch { .. } => None,
        });
        closed.cloned().collect()
    }

    /// Whether the line is certainly on the right side of a typical part's threshold in every state of a case.
    pub(crate) fn is_read_throughout(&self, case: &Case) -> bool {
        let Some(node) = self.networks.circuit().node(self.sampled.leg) else { return false };
        let [pressed, either] = self.networks.moving().controls(case);
        if !self.is_held(&pressed, &either) {
            return false;
        }
        let wanted = self.sampled.wanted(self.side);
        let worst = self.networks.network(case).never(node, wanted.worst());
        let typical = self.read(case, &pressed).thresholds.typical;
        worst.is_some_and(|volts| wanted.spared(volts, typical) >= LEFT_OUT_MOVES)
    }

    /// Whether the line is certainly on the wrong side of a typical part's threshold in every state of a case, or
    /// held by nothing.
    pub(crate) fn is_missed_throughout(&self, case: &Case) -> bool {
        let circuit = self.networks.circuit();
        let Some(node) = circuit.node(self.sampled.leg) else { return true };
        let network = self.networks.network(case);
        // What floats with a contact floats without it.
        if !network.is_held(node) {
            return true;
        }
        let [pressed, _] = self.networks.moving().controls(case);
        let wanted = self.sampled.wanted(self.side);
        let best = match wanted.worst() {
            Extreme::Highest => Extreme::Lowest,
            Extreme::Lowest => Extreme::Highest,
        };
        let best = network.never(node, best);
        let typical = self.read(case, &pressed).thresholds.typical;
        best.is_some_and(|volts| wanted.spared(volts, typical) < -LEFT_OUT_MOVES)
    }
}
