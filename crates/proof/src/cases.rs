//! Many states at once: cases in which some controls are pressed, some released, and the rest either.
//!
//! A control whose position does not matter to a question is one more tolerance: its switch is anything between
//! a closed contact and none. What holds of that network holds in every state of the case. Where it does not
//! hold, or is not the whole answer, the case is split by one control, down to single states.

use std::cell::LazyCell;
use std::cmp::Ordering;

use solderside_lead::{Assembly, Circuit, State, may_be_together};
use solderside_profile::{Control, Controller};

/// How a control stands in the states of a case.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Stand {
    Released,
    Pressed,
    Either,
}

/// A set of states, control by control. Cases compare in the order of their states' counter, whose last control
/// counts most.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Case(Vec<Stand>);

/// The places of all controls, in layers of which each matters more than the next.
#[derive(Debug, Clone)]
pub(crate) struct Order(Vec<Vec<usize>>);

/// An order that is found when a case is first split: many questions are answered by the first look.
pub(crate) type LazyOrder<'o> = LazyCell<Order, Box<dyn FnOnce() -> Order + 'o>>;

/// The controls that can make a difference, and which of them may be pressed together.
pub(crate) struct Moving {
    controls: Vec<Control>,
    /// For each control the one that the gate keeps apart from it, by place.
    opposite: Vec<Option<usize>>,
    /// Whether each control is a key with two-key rollover.
    is_key: Vec<bool>,
    /// Whether several states may be covered at once. If not, each is looked at: the tests' oracle.
    in_cases: bool,
}

impl Moving {
    /// The controls that are joined to something, and those that should be, because an action is theirs.
    pub(crate) fn of(assembly: &Assembly) -> Self {
        let joined = assembly.joined_controls();
        let is_moving = |control: &&Control| {
            joined.contains(control) || assembly.lead.play.actions(control).next().is_some()
        };
        // A gate keeps apart what is on one lever: nothing of two controllers.
        let owned = assembly.controllers.iter().enumerate().flat_map(|(at, controller)| {
            controller.controls().into_iter().filter(is_moving).map(move |control| (at, controller, control))
        });
        let owned: Vec<(usize, &Controller, &Control)> = owned.collect();
        let opposite_of = |(at, controller, own): &(usize, &Controller, &Control)| {
            owned
                .iter()
                .position(|(other_at, _, other)| at == other_at && !may_be_together(controller, own, other))
        };
        let opposite = owned.iter().map(opposite_of).collect();
        let is_key =
            owned.iter().map(|(_, controller, own)| controller.two_key_rollover.contains(own)).collect();
        let controls = owned.iter().map(|(.., control)| (*control).clone()).collect();
        Self { controls, opposite, is_key, in_cases: true }
    }

    /// So many buttons that nothing keeps apart.
    #[cfg(test)]
    pub(crate) fn loose(count: usize) -> Self {
        let controls = (0..count).filter_map(|at| Control::new(&format!("b{at}"))).collect();
        Self { controls, opposite: vec![None; count], is_key: vec![false; count], in_cases: true }
    }

    /// The same states, each of which is looked at on its own.
    #[cfg(test)]
    pub(crate) fn one_by_one(self) -> Self {
        Self { in_cases: false, ..self }
    }

    /// The same controls with as many keys held as there are: nothing may be harmed by that.
    pub(crate) fn with_any_keys(&self) -> Self {
        Self {
            controls: self.controls.clone(),
            opposite: self.opposite.clone(),
            is_key: vec![false; self.len()],
            in_cases: self.in_cases,
        }
    }

    /// The keys with two-key rollover, if there are so many that this leaves states out.
    pub(crate) fn rollover_keys(&self) -> Vec<&Control> {
        let keys = self.controls.iter().zip(&self.is_key).filter(|(_, is_key)| **is_key);
        let keys: Vec<&Control> = keys.map(|(control, _)| control).collect();
        if keys.len() > Controller::KEYS_HELD { keys } else { Vec::new() }
    }

    /// How many states there are.
    pub(crate) fn count(&self) -> u64 {
        let kept_apart = self.opposite.iter().flatten().count() / 2;
        let keys = self.is_key.iter().filter(|is_key| **is_key).count();
        let free = self.controls.len() - 2 * kept_apart - keys;
        // None of the keys, one of them, or two.
        let of_keys = u64::try_from(1 + keys + keys * keys.saturating_sub(1) / 2).unwrap_or(u64::MAX);
        let power = |base: u64, exponent: usize| {
            u32::try_from(exponent).map_or(u64::MAX, |exponent| base.saturating_pow(exponent))
        };
        // Of the four combinations of two opposite directions the gate allows three.
        power(2, free).saturating_mul(power(3, kept_apart)).saturating_mul(of_keys)
    }

    /// The states in which no more than so many controls are pressed, the idle one first, then in the order of a
    /// counter over the controls.
    pub(crate) fn states(&self, most_pressed: usize) -> Vec<Case> {
        let mut found = vec![vec![Stand::Released; self.controls.len()]];
        for at in 0..self.controls.len() {
            for other in 0..found.len() {
                let stands = &found[other];
                let pressed = stands.iter().filter(|stand| **stand == Stand::Pressed).count();
                let kept_apart = self.opposite[at].is_some_and(|opposite| stands[opposite] == Stand::Pressed);
                let is_third = self.is_key[at] && self.keys_held(stands) >= Controller::KEYS_HELD;
                if pressed < most_pressed && !kept_apart && !is_third {
                    let mut stands = stands.clone();
                    stands[at] = Stand::Pressed;
                    found.push(stands);
                }
            }
        }
        found.into_iter().map(Case).collect()
    }

    /// Every state.
    pub(crate) fn whole(&self) -> Case {
        Case(vec![Stand::Either; self.controls.len()])
    }

    /// All states in cases without overlap, in each of which every control that does more than conduct stands one way:
    /// nothing stands for an output that drives both ways and of which nothing is known.
    pub(crate) fn without_chips(&self, circuit: &Circuit) -> Vec<Case> {
        if !self.in_cases {
            return self.states(self.len());
        }
        let mut cases = vec![self.whole()];
        for (at, control) in self.controls.iter().enumerate() {
            if !circuit.only_conducts(control) {
                let pressed: Vec<Case> = cases.iter().filter_map(|case| self.pin(case, at, true)).collect();
                cases = cases.iter().filter_map(|case| self.pin(case, at, false)).collect();
                cases.extend(pressed);
            }
        }
        cases
    }

    /// The states of a case in which one of these controls is pressed, in cases without overlap.
    pub(crate) fn pressing(&self, case: &Case, any: &[Control]) -> Vec<Case> {
        let mut found = Vec::new();
        let mut rest = Some(case.clone());
        for at in self.places(any) {
            let Some(case) = rest else { break };
            found.extend(self.pin(&case, at, true));
            rest = self.pin(&case, at, false);
        }
        found
    }

    /// The states of a case in which none of these controls is pressed.
    pub(crate) fn releasing(&self, case: &Case, all: &[Control]) -> Option<Case> {
        self.places(all).try_fold(case.clone(), |case, at| self.pin(&case, at, false))
    }

    fn places(&self, controls: &[Control]) -> impl Iterator<Item = usize> {
        (0..self.controls.len()).filter(|at| controls.contains(&self.controls[*at]))
    }

    /// The states of a case in which one control stands so; none if there are none.
    fn pin(&self, case: &Case, at: usize, pressed: bool) -> Option<Case> {
        let wanted = if pressed { Stand::Pressed } else { Stand::Released };
        if case.0[at] != Stand::Either {
            return (case.0[at] == wanted).then(|| case.clone());
        }
        let mut pinned = case.clone();
        pinned.0[at] = wanted;
        if let Some(opposite) = self.opposite[at].filter(|_| pressed) {
            if pinned.0[opposite] == Stand::Pressed {
                return None;
            }
            pinned.0[opposite] = Stand::Released;
        }
        if pressed && self.is_key[at] {
            let held = self.keys_held(&pinned.0);
            if held > Controller::KEYS_HELD {
                return None;
            }
            if held == Controller::KEYS_HELD {
                let keys = pinned.0.iter_mut().zip(&self.is_key).filter(|(_, is_key)| **is_key);
                for (stand, _) in keys.filter(|(stand, _)| **stand == Stand::Either) {
                    *stand = Stand::Released;
                }
            }
        }
        Some(pinned)
    }

    /// How many keys with two-key rollover are pressed.
    fn keys_held(&self, stands: &[Stand]) -> usize {
        let keys = stands.iter().zip(&self.is_key).filter(|(_, is_key)| **is_key);
        keys.filter(|(stand, _)| **stand == Stand::Pressed).count()
    }

    /// Two halves of a case of which each is bounded as closely as may be, the one first in which a control is released:
    /// by one of the controls that matter, as far as they are undecided; of these by one that the gate keeps apart from
    /// another undecided one, or by a key of a keypad, as their case covers combinations that are never held.
    pub(crate) fn split(&self, case: &Case, by: &Order) -> Option<[Case; 2]> {
        let is_either = |at: usize| case.0[at] == Stand::Either;
        let apart = |at: &usize| self.opposite[*at].is_some_and(is_either);
        let key = |at: &usize| self.is_key[*at];
        let undecided =
            |layer: &Vec<usize>| layer.iter().copied().filter(|at| is_either(*at)).collect::<Vec<usize>>();
        let layer = by.0.iter().map(undecided).find(|layer| !layer.is_empty())?;
        let of_layer = || layer.iter().copied();
        let at = of_layer().find(apart).or_else(|| of_layer().find(key)).or(of_layer().next_back())?;
        // An undecided control can stand both ways: pressing its opposite would have released it, and so would two
        // other keys.
        Some([self.pin(case, at, false)?, self.pin(case, at, true)?])
    }

    /// The order in which cases are best split where these controls matter, the nearest first, and all others hardly.
    pub(crate) fn order(&self, nearest: &[State]) -> Order {
        let mut rest: Vec<usize> = (0..self.len()).collect();
        let mut layers = Vec::new();
        for layer in nearest {
            let (own, others) = rest.into_iter().partition(|at| layer.contains(&self.controls[*at]));
            layers.push(own);
            rest = others;
        }
        layers.push(rest);
        Order(layers)
    }

    /// The state of a case that comes nearest to what is wanted of its undecided controls.
    pub(crate) fn nearest(&self, case: &Case, wanted: &State) -> Case {
        let mut nearest = case.clone();
        for (at, control) in self.controls.iter().enumerate() {
            if nearest.0[at] == Stand::Either {
                let pinned = self.pin(&nearest, at, wanted.contains(control));
                nearest = pinned.unwrap_or(nearest);
            }
        }
        nearest
    }

    /// The controls that are pressed in a case, and those that may stand either way.
    pub(crate) fn controls(&self, case: &Case) -> [State; 2] {
        [Stand::Pressed, Stand::Either].map(|wanted| {
            let standing = self.controls.iter().zip(&case.0).filter(|(_, stand)| **stand == wanted);
            standing.map(|(control, _)| control.clone()).collect()
        })
    }

    /// The undecided controls of a case, as if they could all be pressed.
    pub(crate) fn all_pressed(&self, case: &Case) -> State {
        let [_, either] = self.controls(case);
        either
    }

    /// The controls that are pressed in a case, in the controller's order.
    pub(crate) fn pressed(&self, case: &Case) -> Vec<Control> {
        let standing = self.controls.iter().zip(&case.0).filter(|(_, stand)| **stand == Stand::Pressed);
        standing.map(|(control, _)| control.clone()).collect()
    }

    /// How many controls there are.
    pub(crate) fn len(&self) -> usize {
        self.controls.len()
    }
}

impl Case {
    /// Whether it is a single state.
    pub(crate) fn is_state(&self) -> bool {
        !self.0.contains(&Stand::Either)
    }

    /// Whether a state is among its own.
    pub(crate) fn holds(&self, state: &Self) -> bool {
        self.0.iter().zip(&state.0).all(|(own, other)| *own == Stand::Either || own == other)
    }
}

impl Ord for Case {
    fn cmp(&self, other: &Self) -> Ordering {
        self.0.iter().rev().cmp(other.0.iter().rev())
    }
}

impl PartialOrd for Case {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}
