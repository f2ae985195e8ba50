//! Everything that has a limit, held against it: in every state, in every step and with every line driven that
//! the machine can drive, with the lead sound and with its return or its supply open.

use solderside_lead::{Assembly, Circuit, Leg, Purpose, Unbuilt};
use solderside_quantity::Amps;

use crate::conditions::{Condition, conditions};
use crate::currents::{Carried, Guard, guards};
use crate::feed::feed;
use crate::finding::Finding;
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

/// Checks everything that has a limit.
///
/// # Errors
/// Says which value of a profile cannot be an element's.
pub(crate) fn loads(assembly: &Assembly) -> Result<Loads, Unbuilt> {
    let mut found = Loads { points: 0, carried: Vec::new(), findings: Vec::new() };
    let guards = guards(assembly);
    let conditions = conditions(assembly);
    // A contact that was told once is not told again for each conductor that may be open.
    let mut told = vec![false; guards.len()];
    for condition in &conditions {
        let most = currents(assembly, condition, &guards, &mut told, &mut found)?;
        if condition.is_sound() {
            found.carried = guards.iter().zip(most).map(|(guard, amps)| guard.load(amps)).collect();
        }
    }
    found.findings.extend(voltages(assembly, &conditions)?);
    for (end, controller) in assembly.controllers() {
        let at = |contact| Leg { end, contact };
        let commons = controller.chip_commons();
        if let (Some(logic), Some(supply), Some(common)) =
            (&controller.logic, controller.supply(), commons.first())
            && (assembly.uses_chips(end) || assembly.lead.joined(at(supply)).next().is_some())
        {
            found.findings.extend(feed(assembly, controller, logic, [at(supply), at(*common)], &conditions)?);
        }
    }
    Ok(found)
}

/// Holds all currents of one condition; returns the most of each guard.
fn currents(
    assembly: &Assembly,
    condition: &Condition,
    guards: &[Guard],
    told: &mut [bool],
    found: &mut Loads,
) -> Result<Vec<Amps>, Unbuilt> {
    let mut most = vec![Amps::ZERO; guards.len()];
    for step in &condition.steps {
        let circuit = Circuit::of(&condition.assembly, step, Purpose::Limits)?;
        for state in &condition.states {
            found.points += 1;
            let network = circuit.in_state(state);
            for ((guard, most), told) in guards.iter().zip(&mut most).zip(told.iter_mut()) {
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
        }
    }
    Ok(most)
}
