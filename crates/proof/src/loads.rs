//! Everything that has a limit, held against it: in every state and every moment, with the lead sound and with its
//! return or its supply open.

use std::cell::RefCell;
use std::collections::BTreeMap;

use solderside_lead::{Assembly, Circuit, Leg, Purpose, Unbuilt};
use solderside_quantity::Amps;

use crate::cases::{Case, LazyOrder, Moving};
use crate::code::Code;
use crate::conditions::{Condition, conditions};
use crate::currents::{Guard, guards};
use crate::feed::{supplies, unfed};
use crate::finding::Finding;
use crate::limit::{Limit, Look};
use crate::networks::Moment;
use crate::readings::too_many;
use crate::search::{Bad, Breaches, Kept, Patience, Question, breaches};
use crate::voltages::{Range, ranges};

/// The most that a contact carries, against its limit.
#[derive(Debug, Clone, PartialEq)]
pub struct Load {
    /// The contact.
    pub leg: Leg,
    /// What carries it: `supply`, `output`, `input`, `pad output`.
    pub what: &'static str,
    /// What it never passes in any state, moment and corner of the sound lead. It does come to that where the lead
    /// has no diodes and no limit is open to doubt; with them a rough bound serves if it keeps within the limit.
    pub amps: Amps,
    /// What it may carry in that direction.
    pub limit: Amps,
    /// Whether the limit is stated in a profile; else it is the family's or the trade's.
    pub stated: bool,
}

pub(crate) struct Loads {
    /// The states that were covered: of each moment, under each condition.
    pub(crate) points: u64,
    /// Left out where nobody asks for it.
    pub(crate) carried: Vec<Load>,
    pub(crate) findings: Vec<Finding>,
    /// Where the last limit was found that is not certain to be kept, if a state shows it.
    pub(crate) culprit: Option<Culprit>,
}

/// A limit in a state of a moment, by their places.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Culprit {
    condition: usize,
    step: usize,
    limit: usize,
    state: Case,
}

/// What is to be found out.
#[derive(Clone, Copy)]
pub(crate) enum Asked<'e> {
    /// Every finding, and what everything carries.
    All,
    /// The same, but of a lead that harms not what anything carries.
    ToBuild,
    /// Every finding.
    Findings,
    /// Every finding but what takes the table of all states: a note of opposite directions that read at once.
    Briefly,
    /// Whether there is something that is enough.
    Until(Enough<'e>),
}

/// What ends the checks early, for those who need to know no more.
#[derive(Clone, Copy)]
pub(crate) struct Enough<'e> {
    /// A finding that ends them at once.
    pub(crate) finding: &'e dyn Fn(&Finding) -> bool,
    /// Whether a doubt ends them as well, once the condition is through under which it came up.
    pub(crate) doubt: bool,
}

/// Checks everything that has a limit, all the way or until one finding is enough.
///
/// # Errors
/// Says which value of a profile cannot be an element's.
pub(crate) fn loads(assembly: &Assembly, moving: &Moving, asked: Asked<'_>) -> Result<Loads, Unbuilt> {
    let moving = &moving.with_any_keys();
    let Limits { guards, ranges } = &Limits::of(assembly);
    let limits: Vec<&dyn Limit> = (guards.iter().map(|guard| guard as &dyn Limit))
        .chain(ranges.iter().map(|range| range as &dyn Limit))
        .collect();
    let conditions = conditions(assembly);
    let of_conditions = conditions.iter().map(|condition| condition.moments.len());
    let moments = u64::try_from(of_conditions.sum::<usize>()).unwrap_or(u64::MAX);
    let mut held = Held::of(assembly, moving, limits);
    let is_doubt_enough = asked.enough().is_some_and(|enough| enough.doubt);
    if is_doubt_enough {
        held.patience = Patience::short();
    }
    // A harm counts for more than a doubt: where either ends it, harms are looked for first.
    let in_doubt = asked.enough().filter(|enough| enough.doubt);
    let is_plain = in_doubt.map_or(Ok(false), |enough| held.plainly(&conditions, enough))?;
    let is_over = is_plain || held.throughout(&conditions, asked)?;
    let asks_most = held.asks_most(asked);
    let culprit = held.culprit;
    let mut findings: Vec<Finding> = held.told.into_iter().flatten().collect();
    if !is_over || is_doubt_enough {
        findings.extend(unfed(assembly)?);
    }
    let most = held.most.into_iter().filter(|_| asks_most);
    let carried = guards.iter().zip(most).filter_map(|(guard, amps)| guard.load(amps)).collect();
    Ok(Loads { points: moments.saturating_mul(moving.count()), carried, findings, culprit })
}

/// Whether a limit is certain to be kept where it was not in an assembly that differs in nothing but values.
///
/// # Errors
/// Says which value of a profile cannot be an element's.
pub(crate) fn is_kept(assembly: &Assembly, moving: &Moving, culprit: &Culprit) -> Result<bool, Unbuilt> {
    let moving = &moving.with_any_keys();
    let Limits { guards, ranges } = &Limits::of(assembly);
    let conditions = conditions(assembly);
    let Some((condition, step)) = (conditions.get(culprit.condition))
        .and_then(|condition| Some((condition, condition.moments.get(culprit.step)?)))
    else {
        return Ok(true);
    };
    let circuit = Circuit::of(&condition.assembly, step, Purpose::Limits)?;
    let moment = Moment::of(condition, step, &circuit, moving);
    let look = match (guards.get(culprit.limit), culprit.limit.checked_sub(guards.len())) {
        (Some(guard), _) => Some(guard.look(&moment, &culprit.state)),
        (None, at) => at.and_then(|at| ranges.get(at)).map(|range| range.look(&moment, &culprit.state)),
    };
    Ok(look.is_none_or(|look| look.kept == Kept::Within))
}

/// Everything that has a limit, in the order in which it is held.
struct Limits {
    guards: Vec<Guard>,
    ranges: Vec<Range>,
}

impl Limits {
    fn of(assembly: &Assembly) -> Self {
        let mut ranges = ranges(assembly);
        ranges.extend(supplies(assembly));
        Self { guards: guards(assembly), ranges }
    }
}

impl<'e> Asked<'e> {
    const fn enough(self) -> Option<Enough<'e>> {
        match self {
            Self::All | Self::ToBuild | Self::Findings | Self::Briefly => None,
            Self::Until(enough) => Some(enough),
        }
    }
}

impl Loads {
    /// Whether something is harmed.
    pub(crate) fn harm(&self) -> bool {
        self.findings.iter().any(Finding::is_harm)
    }
}

/// So many controls pressed at once show most harms: a short needs one, or one on each side.
const PLAINLY_PRESSED: usize = 2;

/// The limits of a lead with what was found of each.
struct Held<'h> {
    assembly: &'h Assembly,
    moving: &'h Moving,
    patience: Patience,
    limits: Vec<&'h dyn Limit>,
    /// What is told of each, once: the worst, and of equals the first.
    told: Vec<Option<Finding>>,
    /// The most that flows each way in the sound lead.
    most: Vec<[Amps; 2]>,
    /// Where the last was told, if a state shows it.
    culprit: Option<Culprit>,
}

impl<'h> Held<'h> {
    fn of(assembly: &'h Assembly, moving: &'h Moving, limits: Vec<&'h dyn Limit>) -> Self {
        let told = vec![None; limits.len()];
        let most = vec![[Amps::ZERO; 2]; limits.len()];
        Self { assembly, moving, patience: Patience::with(moving), limits, told, most, culprit: None }
    }

    /// Looks for what is enough where the typical values show it already, with few controls pressed. One
    /// operating point costs little beside a bound; what it seems to show is bounded before it is told.
    fn plainly(&mut self, conditions: &[Condition], enough: Enough<'_>) -> Result<bool, Unbuilt> {
        let states = self.moving.states(PLAINLY_PRESSED);
        for (in_condition, condition) in conditions.iter().enumerate() {
            for (in_step, step) in condition.moments.iter().enumerate() {
                let circuit = Circuit::of(&condition.assembly, step, Purpose::Limits)?;
                let moment = Moment::of(condition, step, &circuit, self.moving);
                for state in &states {
                    let network = moment.network(state);
                    let Ok(point) = network.typical().operating_point() else { continue };
                    for (at, (limit, told)) in self.limits.iter().zip(&mut self.told).enumerate() {
                        if limit.seems_passed(&circuit, &point)
                            && limit.look(&moment, state).kept == Kept::Passed
                        {
                            let found = limit.finding(self.assembly, &moment, state);
                            if found.as_ref().is_some_and(enough.finding) {
                                *told = found;
                                let (condition, step) = (in_condition, in_step);
                                let state = state.clone();
                                self.culprit = Some(Culprit { condition, step, limit: at, state });
                                return Ok(true);
                            }
                        }
                    }
                }
            }
        }
        Ok(false)
    }

    /// Holds every limit in every moment of every condition; returns whether what was found was enough before the end.
    fn throughout(&mut self, conditions: &[Condition], asked: Asked<'_>) -> Result<bool, Unbuilt> {
        let enough = asked.enough();
        for (in_condition, condition) in conditions.iter().enumerate() {
            for (in_step, step) in condition.moments.iter().enumerate() {
                let circuit = Circuit::of(&condition.assembly, step, Purpose::Limits)?;
                let moment = Moment::of(condition, step, &circuit, self.moving);
                let bases = self.moving.without_chips(&circuit);
                for at in 0..self.limits.len() {
                    // What is in doubt stays so: where that is enough, nothing more is asked of it.
                    let is_settled = self.told[at].is_some() && enough.is_some_and(|enough| enough.doubt);
                    if !is_settled && self.limits[at].is_asked(condition) {
                        let looks = Looks::of(self.limits[at], &moment);
                        self.hold(at, &looks, &bases, [in_condition, in_step]);
                        if condition.is_sound() && self.asks_most(asked) {
                            self.carry(at, &looks, &bases);
                        }
                    }
                    let is_enough = |enough: Enough<'_>, told: &Finding| {
                        (enough.finding)(told) || (enough.doubt && told.is_open())
                    };
                    if enough
                        .zip(self.told[at].as_ref())
                        .is_some_and(|(enough, told)| is_enough(enough, told))
                    {
                        return Ok(true);
                    }
                }
            }
        }
        Ok(false)
    }

    /// Whether it is asked what everything carries, as far as is known by now.
    fn asks_most(&self, asked: Asked<'_>) -> bool {
        match asked {
            Asked::All => true,
            Asked::ToBuild => !self.told.iter().flatten().any(Finding::is_harm),
            Asked::Findings | Asked::Briefly | Asked::Until(_) => false,
        }
    }

    /// Holds one limit in one moment.
    fn hold(&mut self, at: usize, looks: &Looks<'_>, bases: &[Case], [condition, step]: [usize; 2]) {
        let Looks { limit, moment, .. } = looks;
        if self.told[at].as_ref().is_some_and(|told| told.severity >= limit.worst()) {
            return;
        }
        let mut found = Breaches::default();
        for base in bases {
            let look = |case: &Case| looks.at(case).kept;
            breaches(&mut found, self.moving, base, &looks.order, &self.patience, look);
        }
        // What is passed is harm, whatever else is in doubt.
        let state = found.passed.as_ref().or(found.doubtful.as_ref());
        let culprit = state.map(|state| Culprit { condition, step, limit: at, state: state.clone() });
        let found = state.and_then(|state| limit.finding(self.assembly, moment, state)).or_else(|| {
            let question = format!("{}{}", limit.question(), moment.condition.told());
            found.open.then(|| too_many(Code::DriveUnproved, &question, [limit.leg()], self.moving))
        });
        let told = &mut self.told[at];
        if found.as_ref().map(|found| found.severity) > told.as_ref().map(|told| told.severity) {
            *told = found;
            self.culprit = culprit;
        }
    }

    /// Finds the most that flows each way in one moment.
    fn carry(&mut self, at: usize, looks: &Looks<'_>, bases: &[Case]) {
        for base in bases {
            for (way, most) in self.most[at].iter_mut().enumerate() {
                let amps = |case: &Case| looks.at(case).amps[way];
                *most = most_of(amps, base, *most, (self.moving, &looks.order), &self.patience);
            }
        }
    }
}

/// What one limit says of the cases of one moment, each looked at once.
struct Looks<'l> {
    limit: &'l dyn Limit,
    moment: &'l Moment<'l>,
    order: LazyOrder<'l>,
    seen: RefCell<BTreeMap<Case, Look>>,
}

impl<'l> Looks<'l> {
    fn of(limit: &'l dyn Limit, moment: &'l Moment<'l>) -> Self {
        let order = LazyOrder::new(Box::new(|| moment.order(limit.leg())));
        Self { limit, moment, order, seen: RefCell::new(BTreeMap::new()) }
    }

    fn at(&self, case: &Case) -> Look {
        if let Some(look) = self.seen.borrow().get(case) {
            return *look;
        }
        let look = self.limit.look(self.moment, case);
        self.seen.borrow_mut().insert(case.clone(), look);
        look
    }
}

/// What currents are compared in, in amperes: their rounding is smaller than that of voltages.
const UNIT: f64 = 1e-3;

/// The most that flows in any state of a case, if it is more than what already did.
fn most_of(
    carried: impl Fn(&Case) -> Option<Amps>,
    base: &Case,
    so_far: Amps,
    (moving, order): (&Moving, &LazyOrder<'_>),
    patience: &Patience,
) -> Amps {
    let look = |case: &Case| {
        let amps = match carried(case) {
            Some(amps) => amps.get(),
            None if case.is_state() => 0.0,
            None => f64::INFINITY,
        };
        Bad { rank: (), by: amps / UNIT }
    };
    let all = moving.all_pressed(base);
    let mut question = Question::new(moving, || (**order).clone(), look, |_| all.clone());
    if question.look(base).by * UNIT <= so_far.get() {
        return so_far;
    }
    let worst = question.some_worst(std::slice::from_ref(base), patience);
    let most = worst.map(|found| if found.never().by.is_finite() { found.never().by } else { found.bad.by });
    most.and_then(|most| Amps::new(most * UNIT).ok()).map_or(so_far, |most| most.max(so_far))
}
