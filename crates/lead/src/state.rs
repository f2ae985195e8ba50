//! One combination of pressed controls, as the controller's gate allows it.

use std::collections::BTreeSet;

use solderside_profile::{Control, Controller, Gate};

/// The controls that are pressed.
pub type State = BTreeSet<Control>;

/// Returns every state over these controls that the controller's gate allows, the idle one first,
/// then in the order of a counter over the controls as given.
///
/// A control that is left out is taken as idle: one whose contact is joined to nothing has no way
/// into the circuit, so its position changes nothing.
pub fn states(controller: &Controller, controls: &[Control]) -> Vec<State> {
    let mut found = vec![State::new()];
    for control in controls {
        for at in 0..found.len() {
            if may_join(controller, &found[at], control) {
                let mut state = found[at].clone();
                state.insert(control.clone());
                found.push(state);
            }
        }
    }
    found
}

/// Whether the gate lets this control be pressed beside those of a state.
fn may_join(controller: &Controller, state: &State, control: &Control) -> bool {
    match (controller.gate, control.direction()) {
        (Gate::EightWay, Some(own)) => state.iter().all(|other| other.direction() != Some(own.opposite())),
        (Gate::EightWay, None) | (Gate::None, _) => true,
    }
}
