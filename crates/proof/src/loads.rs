//! Everything that has a limit, held against it: in every state, in every step and with every line driven that
//! the machine can drive, with the lead sound and with its return or its supply open.

use std::cell::RefCell;
use std::collections::BTreeMap;

use solderside_lead::{Assembly, Circuit, Leg, Purpose, Unbuilt};
use solderside_quantity::Amps;

use crate::cases::{Case, Moving};
use crate::conditions::{Condition, conditions};
use crate::currents::{Carried, Guard, guards};
use crate::feed::{out_of_range, unfed};
use crate::finding::Finding;
use crate::networks::Networks;
use crate::search::{Bad, Breaches, Kept, Patience, Question, breaches};
use crate::voltages::voltages;

/// The most that a contact carries, against its limit.
#[derive(Debug, Clone, PartialEq)]
pub struct Load {
    /// The contact.
    pub leg: Leg,
    /// What carries it: `supply`, `output`, `input`, `pad output`.
    pub what: &'static str,
    /// What it never passes in any state, step and corner of the sound lead. It does come to that where the lead
    /// has no diodes and no limit is open to doubt; with them a rough bound serves if it keeps within the limit.
    pub amps: Amps,
    /// What it may carry.
    pub limit: Amps,
    /// Whether the limit is stated in a profile; else it is the family's or the trade's.
    pub stated: bool,
}

pub(crate) struct Loads {
    /// The states that were covered: of each step, under each condition.
    pub(crate) points: u64,
    /// Left out where the checks may end early.
    pub(crate) carried: Vec<Load>,
    pub(crate) findings: Vec<Finding>,
}

/// What a finding must be like to end the checks, for those who need to know no more.
pub(crate) type Enough<'e> = &'e dyn Fn(&Finding) -> bool;

/// Checks everything that has a limit, all the way or until enough is found.
///
/// # Errors
/// Says which value of a profile cannot be an element's.
pub(crate) fn loads(
    assembly: &Assembly,
    moving: &Moving,
    enough: Option<Enough<'_>>,
) -> Result<Loads, Unbuilt> {
    let patience = Patience::with(moving);
    let mut found = Loads { points: 0, carried: Vec::new(), findings: Vec::new() };
    let guards = guards(assembly);
    let conditions = conditions(assembly);
    let is_enough = enough.unwrap_or(&|_| false);
    if enough.is_some() {
        found.findings.extend(plain_harm(assembly, &conditions, &guards, moving)?.filter(is_enough));
    }
    // A contact is told of once, not again for each conductor that may be open.
    let mut told: Vec<Option<Finding>> = vec![None; guards.len()];
    for condition in &conditions {
        if found.findings.iter().chain(told.iter().flatten()).any(is_enough) {
            break;
        }
        let of_steps = u64::try_from(condition.steps.len()).unwrap_or(u64::MAX);
        found.points = found.points.saturating_add(of_steps.saturating_mul(moving.count()));
        let most = currents(assembly, condition, &guards, (moving, &patience), enough, &mut told)?;
        if condition.is_sound() && enough.is_none() {
            found.carried = guards.iter().zip(most).map(|(guard, amps)| guard.load(amps)).collect();
        }
    }
    found.findings.extend(told.into_iter().flatten());
    let is_over = found.findings.iter().any(is_enough);
    if !is_over {
        found.findings.extend(voltages(assembly, &conditions, moving, &patience)?);
    }
    found.findings.extend(unfed(assembly)?);
    if !is_over {
        found.findings.extend(out_of_range(assembly, &conditions, moving, &patience)?);
    }
    Ok(found)
}

/// So many controls pressed at once show most harms: a short needs one, or one on each side.
const PLAINLY_PRESSED: usize = 2;

/// A harm that the typical values show already, with few controls pressed. One operating point costs little beside a
/// bound, so these networks are gone through for it first; what it seems to show is bounded before it is told.
fn plain_harm(
    assembly: &Assembly,
    conditions: &[Condition],
    guards: &[Guard],
    moving: &Moving,
) -> Result<Option<Finding>, Unbuilt> {
    let states = moving.states(PLAINLY_PRESSED);
    for condition in conditions {
        for step in &condition.steps {
            let circuit = Circuit::of(&condition.assembly, step, Purpose::Limits)?;
            for state in &states {
                let [pressed, _] = moving.controls(state);
                let network = circuit.in_state(&pressed);
                let Ok(point) = network.typical().operating_point() else { continue };
                for guard in guards.iter().filter(|guard| guard.seems_beyond(&circuit, &point)) {
                    if let Carried::Beyond(amps, limit) = guard.carried(&circuit, &network) {
                        let pressed = moving.pressed(state);
                        let told = guard.beyond(assembly, condition, [amps, limit], &pressed, &step.name);
                        return Ok(Some(told));
                    }
                }
            }
        }
    }
    Ok(None)
}

/// Holds all currents of one condition; returns the most of each guard of a sound lead, unless the checks may end
/// early. What was told of a guard stands beside it: a harm takes the place of a doubt.
fn currents(
    assembly: &Assembly,
    condition: &Condition,
    guards: &[Guard],
    (moving, patience): (&Moving, &Patience),
    enough: Option<Enough<'_>>,
    told: &mut [Option<Finding>],
) -> Result<Vec<Amps>, Unbuilt> {
    let mut most = vec![Amps::ZERO; guards.len()];
    for step in &condition.steps {
        let circuit = Circuit::of(&condition.assembly, step, Purpose::Limits)?;
        let bases: Vec<(Case, Networks<'_>)> = (moving.without_chips(&circuit).into_iter())
            .map(|base| (base, Networks::of(&circuit, moving)))
            .collect();
        for ((guard, own_most), told) in guards.iter().zip(&mut most).zip(told.iter_mut()) {
            let is_harm = told.as_ref().is_some_and(Finding::is_harm);
            let mut found = Breaches::default();
            for (base, networks) in &bases {
                let asked = RefCell::new(BTreeMap::new());
                let carried = |case: &Case| -> Carried {
                    let mut asked = asked.borrow_mut();
                    let carry = || guard.carried(&circuit, &networks.network(case));
                    *asked.entry(case.clone()).or_insert_with(carry)
                };
                if condition.is_sound() && enough.is_none() {
                    *own_most = most_of(carried, base, *own_most, moving, patience);
                }
                if !is_harm {
                    let kept = |case: &Case| match carried(case) {
                        Carried::Within(_) => Kept::Within,
                        Carried::Beyond(..) if case.is_state() => Kept::Passed,
                        Carried::Beyond(..) | Carried::Unsettled => Kept::Doubtful,
                    };
                    breaches(&mut found, moving, base, patience, kept);
                }
            }
            if let Some(state) = found.passed {
                let [pressed, _] = moving.controls(&state);
                if let Carried::Beyond(amps, limit) = guard.carried(&circuit, &circuit.in_state(&pressed)) {
                    let pressed = moving.pressed(&state);
                    *told = Some(guard.beyond(assembly, condition, [amps, limit], &pressed, &step.name));
                }
            } else if told.is_none() && found.doubtful.is_some() {
                *told = Some(guard.unsettled(assembly, condition));
            } else if told.is_none() && found.open {
                *told = Some(guard.too_many(condition, moving));
            }
            if told.as_ref().zip(enough).is_some_and(|(told, is_enough)| is_enough(told)) {
                return Ok(most);
            }
        }
    }
    Ok(most)
}

impl Loads {
    /// Whether something is harmed.
    pub(crate) fn harm(&self) -> bool {
        self.findings.iter().any(Finding::is_harm)
    }
}

/// What currents are compared in, in amperes: their rounding is smaller than that of voltages.
const UNIT: f64 = 1e-3;

/// The most that a guard carries in any state of a case, if it is more than what it already did.
fn most_of(
    carried: impl Fn(&Case) -> Carried,
    base: &Case,
    so_far: Amps,
    moving: &Moving,
    patience: &Patience,
) -> Amps {
    let look = |case: &Case| {
        let amps = match carried(case) {
            Carried::Within(amps) => amps.get(),
            Carried::Beyond(amps, _) if case.is_state() => amps.get(),
            Carried::Unsettled if case.is_state() => 0.0,
            Carried::Beyond(..) | Carried::Unsettled => f64::INFINITY,
        };
        Bad { rank: (), by: amps / UNIT }
    };
    let all = moving.all_pressed(base);
    let mut question = Question::new(moving, look, |_| all.clone());
    if question.look(base).by * UNIT <= so_far.get() {
        return so_far;
    }
    let worst = question.some_worst(std::slice::from_ref(base), patience);
    let most = worst.map(|found| if found.never().by.is_finite() { found.never().by } else { found.bad.by });
    most.and_then(|most| Amps::new(most * UNIT).ok()).map_or(so_far, |most| most.max(so_far))
}
