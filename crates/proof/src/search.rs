//! The worst of all states without looking at each: cases that cannot be the worst are left, the others split.

use std::cell::Cell;
use std::cmp::Ordering;
use std::collections::{BTreeMap, BinaryHeap};

use solderside_lead::State;

use crate::cases::{Case, LazyOrder, Moving, Order};

/// So many states are all looked at if need be.
pub(crate) const FEW: u64 = 8192;
/// So many looks one question may take where there are more states, and so many more one whose answer is lost already.
const MOST_LOOKS: u64 = 600;
/// So many looks a question may take whose answer changes little.
const FEW_LOOKS: u64 = 60;
/// What is left to each question after one stayed open: the lead cannot be proved any more.
const LOOKS_AFTERWARDS: u64 = 20;
/// Differences below this are rounding, in volts or milliamperes.
const ROUNDING: f64 = 1e-9;

/// How many looks a question may take, for all questions of a proof.
pub(crate) struct Patience {
    looks: Cell<u64>,
    /// So many more it may take once its answer is lost.
    once_lost: u64,
}

impl Patience {
    /// No end of it for few states, as then there is an end anyhow.
    pub(crate) fn with(moving: &Moving) -> Self {
        let looks = if moving.count() <= FEW { u64::MAX } else { MOST_LOOKS };
        Self { looks: Cell::new(looks), once_lost: MOST_LOOKS }
    }

    /// The same, but little of it for how bad something is that is bad.
    pub(crate) fn brief(moving: &Moving) -> Self {
        Self { once_lost: FEW_LOOKS, ..Self::with(moving) }
    }

    /// An end of it however few the states: for questions whose answer changes little.
    pub(crate) const fn short() -> Self {
        Self { looks: Cell::new(FEW_LOOKS), once_lost: FEW_LOOKS }
    }

    fn lose(&self) {
        self.looks.set(self.looks.get().min(LOOKS_AFTERWARDS));
    }
}

/// How bad a state is; of a case, what none of its states is worse than.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Bad<R> {
    /// What counts first.
    pub(crate) rank: R,
    /// What counts among equals, in volts or milliamperes; never NaN.
    pub(crate) by: f64,
}

impl<R: Ord> Bad<R> {
    /// Whether it is worse than another by more than rounding.
    pub(crate) fn beats(&self, other: &Self) -> bool {
        match self.rank.cmp(&other.rank) {
            Ordering::Greater => true,
            Ordering::Equal => self.by > other.by + ROUNDING,
            Ordering::Less => false,
        }
    }

    fn order(&self, other: &Self) -> Ordering {
        self.rank.cmp(&other.rank).then(self.by.total_cmp(&other.by))
    }
}

/// The worst that was found.
pub(crate) struct Worst<R> {
    /// A state as bad as any, but for rounding; the worst that was seen if not all was settled.
    pub(crate) at: Case,
    pub(crate) bad: Bad<R>,
    /// What no state is worse than, where patience ended before the worst was certain.
    pub(crate) open: Option<Bad<R>>,
}

impl<R: Copy> Worst<R> {
    /// What no state is worse than.
    pub(crate) fn never(&self) -> Bad<R> {
        self.open.unwrap_or(self.bad)
    }
}

type Ask<'q, T> = Box<dyn FnMut(&Case) -> T + 'q>;

/// A question that can be put to single states and to cases, and what was answered so far.
pub(crate) struct Question<'q, R> {
    moving: &'q Moving,
    order: LazyOrder<'q>,
    /// With a state of this rank the answer is lost, whatever others are.
    lost: Option<R>,
    look: Ask<'q, Bad<R>>,
    hint: Ask<'q, State>,
    seen: BTreeMap<Case, Bad<R>>,
    looks: u64,
}

/// An unsettled case, the worst on top.
struct Unsettled<R> {
    bad: Bad<R>,
    /// Counts down, so that of equals the first comes first.
    turn: usize,
    case: Case,
}

impl<'q, R: Ord + Copy> Question<'q, R> {
    /// Takes in which order cases are split, what looks at a case, and what guesses in which of a case's states its worst
    /// is.
    pub(crate) fn new(
        moving: &'q Moving,
        order: impl FnOnce() -> Order + 'q,
        look: impl FnMut(&Case) -> Bad<R> + 'q,
        hint: impl FnMut(&Case) -> State + 'q,
    ) -> Self {
        Self {
            moving,
            order: LazyOrder::new(Box::new(order)),
            lost: None,
            look: Box::new(look),
            hint: Box::new(hint),
            seen: BTreeMap::new(),
            looks: 0,
        }
    }

    /// The same question, which is not asked without end once a state of this rank is found.
    pub(crate) fn lost_at(self, rank: R) -> Self {
        Self { lost: Some(rank), ..self }
    }

    /// How bad a case is, or could be.
    pub(crate) fn look(&mut self, case: &Case) -> Bad<R> {
        if let Some(bad) = self.seen.get(case) {
            return *bad;
        }
        self.looks += 1;
        let bad = (self.look)(case);
        self.seen.insert(case.clone(), bad);
        bad
    }

    /// The first state of these cases that is as bad as the worst that was found, of those found in time; none if there
    /// is none, or the worst is not certain.
    pub(crate) fn first_as_bad(
        &mut self,
        found: &Worst<R>,
        cases: &[Case],
        patience: &Patience,
    ) -> Option<Case> {
        let is_certain = found.open.is_none();
        let cases = cases.iter().filter(|_| is_certain);
        cases.filter_map(|case| self.first(case, found.bad, patience)).min()
    }

    /// A state of these cases that is as bad as any; none if there are no states. The case that could be worst is
    /// looked into first.
    pub(crate) fn some_worst(&mut self, cases: &[Case], patience: &Patience) -> Option<Worst<R>> {
        let enough = self.looks.saturating_add(patience.looks.get());
        let mut open: BinaryHeap<Unsettled<R>> = BinaryHeap::new();
        let mut turn = usize::MAX;
        let mut lost_after: Option<u64> = None;
        let mut worst: Option<(Case, Bad<R>)> = None;
        let mut push = |open: &mut BinaryHeap<Unsettled<R>>, bad: Bad<R>, case: Case| {
            turn -= 1;
            open.push(Unsettled { bad, turn, case });
        };
        for case in cases {
            let bad = self.look(case);
            push(&mut open, bad, case.clone());
        }
        while let Some(Unsettled { bad, case, .. }) = open.pop() {
            let can_be_worse =
                |worst: &Option<(Case, Bad<R>)>| worst.as_ref().is_none_or(|(_, worst)| bad.beats(worst));
            if !can_be_worse(&worst) {
                break;
            }
            self.try_state(self.moving.nearest(&case, &State::new()), &mut worst);
            if !case.is_state() && can_be_worse(&worst) {
                let hint = (self.hint)(&case);
                self.try_state(self.moving.nearest(&case, &hint), &mut worst);
            }
            if !can_be_worse(&worst) {
                continue;
            }
            let is_bad = |(_, worst): &(Case, Bad<R>)| self.lost.is_some_and(|lost| worst.rank >= lost);
            if lost_after.is_none() && worst.as_ref().is_some_and(is_bad) {
                lost_after = Some(self.looks.saturating_add(patience.once_lost));
            }
            let is_lost = lost_after.is_some_and(|after| self.looks > after);
            if is_lost || self.looks > enough {
                if !is_lost {
                    patience.lose();
                }
                let (at, seen) = worst?;
                return Some(Worst { at, bad: seen, open: Some(bad) });
            }
            for half in self.moving.split(&case, &self.order).into_iter().flatten() {
                let bad = self.look(&half);
                push(&mut open, bad, half);
            }
        }
        worst.map(|(at, bad)| Worst { at, bad, open: None })
    }

    fn try_state(&mut self, state: Case, worst: &mut Option<(Case, Bad<R>)>) {
        let bad = self.look(&state);
        if worst.as_ref().is_none_or(|(_, worst)| bad.beats(worst)) {
            *worst = Some((state, bad));
        }
    }

    /// The first state of a case that is as bad as this, of those that were found in time; none if there is none.
    fn first(&mut self, case: &Case, wanted: Bad<R>, patience: &Patience) -> Option<Case> {
        let enough = self.looks.saturating_add(patience.looks.get());
        let mut found: Option<Case> = None;
        let mut rest = vec![case.clone()];
        while let Some(case) = rest.pop() {
            let first = self.moving.nearest(&case, &State::new());
            let is_later = found.as_ref().is_some_and(|found| *found <= first);
            if is_later || wanted.beats(&self.look(&case)) || self.looks > enough {
                continue;
            }
            if wanted.beats(&self.look(&first)) {
                rest.extend(self.moving.split(&case, &self.order).into_iter().flatten().rev());
            } else {
                found = Some(first);
            }
        }
        found
    }
}

impl<R: Ord> Ord for Unsettled<R> {
    fn cmp(&self, other: &Self) -> Ordering {
        self.bad.order(&other.bad).then(self.turn.cmp(&other.turn))
    }
}

impl<R: Ord> PartialOrd for Unsettled<R> {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl<R: Ord> PartialEq for Unsettled<R> {
    fn eq(&self, other: &Self) -> bool {
        self.cmp(other) == Ordering::Equal
    }
}

impl<R: Ord> Eq for Unsettled<R> {}

/// Whether a limit is kept.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Kept {
    /// In every state of the case.
    Within,
    /// Nothing shows that it is, nor that it is not. Of a case: not in all of its states at once.
    Doubtful,
    /// In no way, as it is passed in this state.
    Passed,
}

/// Where a limit is not kept.
#[derive(Default)]
pub(crate) struct Breaches {
    /// The first state in which it is passed.
    pub(crate) passed: Option<Case>,
    /// The first state in which nothing shows that it is kept; none of those after one that passes it.
    pub(crate) doubtful: Option<Case>,
    /// Whether patience ended before all states were covered.
    pub(crate) open: bool,
}

/// Looks for the first state of a case in which a limit is passed, and the first that leaves a doubt, beside what
/// was found in other cases.
pub(crate) fn breaches(
    found: &mut Breaches,
    moving: &Moving,
    case: &Case,
    order: &LazyOrder<'_>,
    patience: &Patience,
    mut look: impl FnMut(&Case) -> Kept,
) {
    let is_before = |state: &Case, found: &Option<Case>| found.as_ref().is_none_or(|found| state < found);
    let mut looks = 0;
    let mut rest = vec![case.clone()];
    while let Some(case) = rest.pop() {
        if !is_before(&moving.nearest(&case, &State::new()), &found.passed) {
            continue;
        }
        if looks > patience.looks.get() {
            patience.lose();
            found.open = true;
            return;
        }
        looks += 1;
        match (look(&case), moving.split(&case, order)) {
            (Kept::Within, _) => {}
            (_, Some(halves)) => rest.extend(halves.into_iter().rev()),
            (Kept::Doubtful, None) if is_before(&case, &found.doubtful) => found.doubtful = Some(case),
            (Kept::Doubtful, None) => {}
            (Kept::Passed, None) => found.passed = Some(case),
        }
    }
}

#[cfg(test)]
mod tests {
    use solderside_profile::Control;

    use super::*;

    fn any_order(moving: &Moving) -> LazyOrder<'_> {
        LazyOrder::new(Box::new(|| moving.order(&[])))
    }

    /// A question whose states are as bad as the buttons that are held, and whose cases may be `doubt` worse.
    fn held(moving: &Moving, doubt: f64) -> Question<'_, ()> {
        let look = move |case: &Case| {
            let [pressed, either] = moving.controls(case);
            let by = f64::from(u32::try_from(pressed.len() + either.len()).unwrap_or(u32::MAX));
            Bad { rank: (), by: if either.is_empty() { by } else { by + doubt } }
        };
        Question::new(moving, || moving.order(&[]), look, |_| State::new())
    }

    #[test]
    fn the_worst_of_many_states_is_found_in_a_few_looks_where_cases_are_bounded_well() {
        let moving = Moving::loose(40);
        let patience = Patience::with(&moving);
        let mut question = held(&moving, 0.0);
        let worst = question.some_worst(&[moving.whole()], &patience).unwrap();
        assert!(worst.open.is_none());
        assert_eq!(moving.pressed(&worst.at).len(), 40);
        assert!(question.looks < 200, "{}", question.looks);
    }

    #[test]
    fn where_cases_are_bounded_badly_patience_ends_and_the_bound_is_kept() {
        let moving = Moving::loose(40);
        let patience = Patience::with(&moving);
        let worst = held(&moving, 1e3).some_worst(&[moving.whole()], &patience).unwrap();
        assert!(worst.never().by >= 40.0 && worst.never().by > worst.bad.by);
        // Few states are all looked at.
        let moving = Moving::loose(8);
        let worst = held(&moving, 1e3).some_worst(&[moving.whole()], &Patience::with(&moving)).unwrap();
        assert!(worst.open.is_none());
        assert_eq!(moving.pressed(&worst.at).len(), 8);
    }

    #[test]
    fn of_states_that_are_as_bad_the_first_is_told() {
        let moving = Moving::loose(10);
        let look = |case: &Case| {
            let [pressed, either] = moving.controls(case);
            let of_two = |at: &str| pressed.iter().chain(&either).any(|control| control.as_str() == at);
            Bad { rank: (), by: f64::from(u8::from(of_two("b3") && of_two("b5"))) }
        };
        let patience = Patience::with(&moving);
        let mut question =
            Question::new(&moving, || moving.order(&[]), look, |case| moving.all_pressed(case));
        let cases = [moving.whole()];
        let worst = question.some_worst(&cases, &patience).unwrap();
        let first = question.first_as_bad(&worst, &cases, &patience).unwrap();
        let names: Vec<String> = moving.pressed(&first).iter().map(ToString::to_string).collect();
        assert_eq!(names, ["b3", "b5"]);
    }

    #[test]
    fn what_two_of_many_buttons_decide_is_settled_in_few_looks_where_these_are_split_first() {
        let moving = Moving::loose(20);
        let two: State = ["b3", "b15"].iter().filter_map(|name| Control::new(name)).collect();
        let look = |case: &Case| {
            let [pressed, either] = moving.controls(case).map(|state| state.intersection(&two).count());
            let by = if pressed == 2 {
                1.0
            } else if pressed + either == 2 {
                2.0
            } else {
                0.0
            };
            Bad { rank: (), by }
        };
        let (cases, patience) = ([moving.whole()], Patience::with(&moving));
        let near = || moving.order(std::slice::from_ref(&two));
        let mut question = Question::new(&moving, near, look, |_| State::new());
        let worst = question.some_worst(&cases, &patience).unwrap();
        let first = question.first_as_bad(&worst, &cases, &patience).unwrap();
        assert_eq!(moving.controls(&first), [two.clone(), State::new()]);
        assert!(question.looks < 20, "{}", question.looks);
        let mut blind = Question::new(&moving, || moving.order(&[]), look, |_| State::new());
        assert!(blind.some_worst(&cases, &patience).unwrap().open.is_some());
    }

    #[test]
    fn a_question_that_is_lost_is_not_asked_much_further_and_says_what_is_left_open() {
        let moving = Moving::loose(12);
        let look = |case: &Case| Bad { rank: u8::from(!case.is_state()), by: 0.0 };
        let (cases, patience) = ([moving.whole()], Patience::brief(&moving));
        let question = || Question::new(&moving, || moving.order(&[]), look, |_| State::new());
        let mut lost = question().lost_at(0);
        let worst = lost.some_worst(&cases, &patience).unwrap();
        assert_eq!((worst.bad.rank, worst.never().rank), (0, 1));
        assert!(lost.looks < 100, "{}", lost.looks);
        assert!(question().some_worst(&cases, &patience).unwrap().open.is_none());
    }

    #[test]
    fn a_limit_that_is_passed_in_one_state_of_many_is_found_and_one_that_stays_open_says_so() {
        let moving = Moving::loose(30);
        let passed = |case: &Case| {
            let [pressed, either] = moving.controls(case);
            let all = pressed.len() + either.len() == 30;
            match (all, either.is_empty()) {
                (false, _) => Kept::Within,
                (true, false) => Kept::Doubtful,
                (true, true) => Kept::Passed,
            }
        };
        let mut found = Breaches::default();
        breaches(&mut found, &moving, &moving.whole(), &any_order(&moving), &Patience::with(&moving), passed);
        assert_eq!(found.passed.map(|state| moving.pressed(&state).len()), Some(30));
        assert!(!found.open);
        let mut open = Breaches::default();
        let doubtful = |case: &Case| if case.is_state() { Kept::Within } else { Kept::Doubtful };
        breaches(
            &mut open,
            &moving,
            &moving.whole(),
            &any_order(&moving),
            &Patience::with(&moving),
            doubtful,
        );
        assert!(open.open && open.passed.is_none());
    }
}
