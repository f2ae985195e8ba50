//! The readings of a lead the straightforward way: each state of each step by itself.

use solderside_circuit::Extreme;
use solderside_lead::{Assembly, Circuit, Leg, Purpose, State, states};

/// Differences below this are rounding, in volts.
const ROUNDING: f64 = 1e-9;

/// Where a line reads worst.
pub struct Worst {
    pub volts: f64,
    /// The first step that comes to it, and the first of its states that does.
    pub step: String,
    pub state: State,
}

/// The highest voltage of each line while its button is pressed, and the lowest while it is not, in one of so many
/// states.
pub fn one_by_one(assembly: &Assembly, one_of: usize) -> Vec<[Option<Worst>; 2]> {
    let actions = assembly.port.actions();
    let mut worst: Vec<[Option<Worst>; 2]> = actions.iter().map(|_| [None, None]).collect();
    for step in &assembly.port.steps {
        let circuit =
            Circuit::of(assembly, step, Purpose::Reading).expect("the panel's values make a circuit");
        let all = states(&assembly.controllers[0], &assembly.joined_controls());
        for state in all.iter().step_by(one_of) {
            let network = circuit.in_state(state);
            for (action, [active, idle]) in actions.iter().zip(&mut worst) {
                let contact = assembly.port.contact_of(action).expect("each action has a contact");
                let node = circuit.node(Leg::port(contact)).expect("the contact is in the circuit");
                let is_pressed =
                    assembly.lead.play.controls(action).iter().any(|control| state.contains(control));
                let (side, extreme) =
                    if is_pressed { (active, Extreme::Highest) } else { (idle, Extreme::Lowest) };
                let bound = network.bound(node, extreme).expect("a pulled-up line is held");
                let volts = bound.guaranteed.expect("wire and switches are bounded").get();
                let is_worse = side.as_ref().is_none_or(|so_far| match extreme {
                    Extreme::Highest => volts > so_far.volts + ROUNDING,
                    Extreme::Lowest => volts < so_far.volts - ROUNDING,
                });
                if is_worse {
                    *side = Some(Worst { volts, step: step.name.clone(), state: state.clone() });
                }
            }
        }
    }
    worst
}
