//! Everything that has a limit, held against it: in every state, in every step and with every line driven that
//! the machine can drive, with the lead sound and with its return or its supply open.

use solderside_lead::{Assembly, Circuit, Leg, Purpose, Unbuilt};
use solderside_quantity::Amps;

use crate::conditions::{Condition, conditions};
use crate::currents::{Carried, Guard, guards};
use crate::feed::feed;
use crate::finding::{Finding, Severity};
use crate::readings::in_order;
use crate::voltages::voltages;

/// The most that a contact carries, against its limit.
#[derive(Debug, Clone, PartialEq)]
pub struct Load {
    /// The contact.
    pub leg: Leg,
    /// What carries it: `supply`, `output`, `input`, `pad output`.
    pub what: &'static str,
    /// The most in any state, step and corner of the sound lead.
    pub amps: Amps,
    /// What it may carry.
    pub limit: Amps,
    /// Whether the limit is stated in a profile; else it is the family's or the trade's.
    pub stated: bool,
}

pub(crate) struct Loads {
    pub(crate) points: u64,
    pub(crate) carried: Vec<Load>,
    pub(crate) findings: Vec<Finding>,
}

/// How far the checks go.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Until {
    /// All the way.
    End,
    /// To the first network in which a limit of a current is exceeded: enough to say that a lead harms.
    Harm,
    /// To the first network in which a limit is exceeded or nothing settles it: enough for a lead that does not work
    /// in any case.
    Doubt,
}

impl Until {
    fn is_reached(self, found: &Loads) -> bool {
        match self {
            Self::End => false,
            Self::Harm => found.harm(),
            Self::Doubt => found.harm() || found.findings.iter().any(Finding::is_open),
        }
    }
}

/// Checks everything that has a limit.
///
/// # Errors
/// Says which value of a profile cannot be an element's.
pub(crate) fn loads(assembly: &Assembly, until: Until) -> Result<Loads, Unbuilt> {
    let mut found = Loads { points: 0, carried: Vec::new(), findings: Vec::new() };
    let guards = guards(assembly);
    let conditions = conditions(assembly);
    // A contact that was told once is not told again for each conductor that may be open.
    let mut told = vec![false; guards.len()];
    if until != Until::End {
        found.findings.extend(plain_harm(assembly, &conditions, &guards)?);
    }
    for condition in &conditions {
        if until.is_reached(&found) {
            break;
        }
        let most = currents(assembly, condition, &guards, &mut told, until, &mut found)?;
        if condition.is_sound() {
            found.carried = guards.iter().zip(most).map(|(guard, amps)| guard.load(amps)).collect();
        }
    }
    let is_over = until.is_reached(&found);
    if !is_over {
        found.findings.extend(voltages(assembly, &conditions)?);
    }
    for (end, controller) in assembly.controllers() {
        let at = |contact| Leg { end, contact };
        let commons = controller.chip_commons();
        if let (Some(logic), Some(supply), Some(common)) =
            (&controller.logic, controller.supply(), commons.first())
            && (assembly.uses_chips(end) || assembly.lead.joined(at(supply)).next().is_some())
            // That there is no supply needs no network, and is why the lead does not work.
            && (!is_over || assembly.lead.joined(at(supply)).next().is_none())
        {
            found.findings.extend(feed(assembly, controller, logic, [at(supply), at(*common)], &conditions)?);
        }
    }
    Ok(found)
}

/// A harm that the typical values show already. One operating point costs little beside a bound, so the networks are
/// gone through for it first; what it seems to show is bounded before it is told.
fn plain_harm(
    assembly: &Assembly,
    conditions: &[Condition],
    guards: &[Guard],
) -> Result<Option<Finding>, Unbuilt> {
    for condition in conditions {
        for step in &condition.steps {
            let circuit = Circuit::of(&condition.assembly, step, Purpose::Limits)?;
            for state in &condition.states {
                let network = circuit.in_state(state);
                let Ok(point) = network.typical().operating_point() else { continue };
                for guard in guards.iter().filter(|guard| guard.seems_beyond(&circuit, &point)) {
                    if let Carried::Beyond(amps, limit) = guard.carried(&circuit, &network) {
                        let pressed = in_order(assembly, state);
                        let told = guard.beyond(assembly, condition, [amps, limit], &pressed, &step.name);
                        return Ok(Some(told));
                    }
                }
            }
        }
    }
    Ok(None)
}

/// Holds all currents of one condition; returns the most of each guard.
fn currents(
    assembly: &Assembly,
    condition: &Condition,
    guards: &[Guard],
    told: &mut [bool],
    until: Until,
    found: &mut Loads,
) -> Result<Vec<Amps>, Unbuilt> {
    let mut most = vec![Amps::ZERO; guards.len()];
    for step in &condition.steps {
        let circuit = Circuit::of(&condition.assembly, step, Purpose::Limits)?;
        for state in &condition.states {
            found.points += 1;
            let network = circuit.in_state(state);
            for ((guard, most), told) in guards.iter().zip(&mut most).zip(told.iter_mut()) {
                // Told once, it is looked at again only for the most that the sound lead carries.
                if *told && !condition.is_sound() {
                    continue;
                }
                match guard.carried(&circuit, &network) {
                    Carried::Within(amps) => *most = most.max(amps),
                    Carried::Beyond(amps, limit) => {
                        *most = most.max(amps);
                        if !std::mem::replace(told, true) {
                            let pressed = in_order(assembly, state);
                            found.findings.push(guard.beyond(
                                assembly,
                                condition,
                                [amps, limit],
                                &pressed,
                                &step.name,
                            ));
                        }
                    }
                    Carried::Unsettled => {
                        if !std::mem::replace(told, true) {
                            found.findings.push(guard.unsettled(assembly, condition));
                        }
                    }
                }
            }
            if until.is_reached(found) {
                return Ok(most);
            }
        }
    }
    Ok(most)
}

impl Loads {
    /// Whether something is harmed.
    pub(crate) fn harm(&self) -> bool {
        self.findings.iter().any(|finding| finding.severity == Severity::Harm)
    }
}
