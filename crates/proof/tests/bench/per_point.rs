//! The readings of a lead the straightforward way: each state of each step by itself.

use solderside_circuit::Extreme;
use solderside_lead::{Assembly, Circuit, Leg, Purpose, states};

/// The highest voltage of each line while its button is pressed, and the lowest while it is not, in one of so many
/// states.
pub fn one_by_one(assembly: &Assembly, one_of: usize) -> Vec<[f64; 2]> {
    let actions = assembly.port.actions();
    let mut worst = vec![[f64::NEG_INFINITY, f64::INFINITY]; actions.len()];
    for step in &assembly.port.steps {
        let circuit =
            Circuit::of(assembly, step, Purpose::Reading).expect("the panel's values make a circuit");
        let all = states(&assembly.controllers[0], &assembly.joined_controls());
        for state in all.iter().step_by(one_of) {
            let network = circuit.in_state(state);
            for (action, [active, idle]) in actions.iter().zip(&mut worst) {
                let contact = assembly.port.contact_of(action).expect("each action has a contact");
                let node = circuit.node(Leg::port(contact)).expect("the contact is in the circuit");
                let volts = |extreme| {
                    let bound = network.bound(node, extreme).expect("a pulled-up line is held");
                    bound.guaranteed.expect("wire and switches are bounded").get()
                };
                if assembly.lead.play.controls(action).iter().any(|control| state.contains(control)) {
                    *active = active.max(volts(Extreme::Highest));
                } else {
                    *idle = idle.min(volts(Extreme::Lowest));
                }
            }
        }
    }
    worst
}
