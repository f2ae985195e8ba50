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
            if found[at].iter().all(|other| may_be_together(controller, other, control)) {
                let mut state = found[at].clone();
                state.insert(control.clone());
                found.push(state);
            }
        }
    }
    found
}

/// Whether the controller's gate lets two controls be pressed at once. It forbids nothing but pairs: a set of
/// controls may be pressed if any two of them may.
pub fn may_be_together(controller: &Controller, one: &Control, other: &Control) -> bool {
    match (controller.gate, one.direction(), other.direction()) {
        (Gate::EightWay, Some(one), Some(other)) => one != other.opposite(),
        (Gate::EightWay | Gate::None, ..) => true,
    }
}
