//! One combination of pressed controls, as the controller's gate allows it.

use std::collections::BTreeSet;

use solderside_profile::{Control, Controller, Gate};

/// The controls that are pressed.
pub type State = BTreeSet<Control>;

/// Returns every state over these controls that the controller's gate and its keys' rollover allow, the idle one
/// first, then in the order of a counter over the controls as given.
///
/// A control that is left out is taken as idle: one whose contact is joined to nothing has no way
/// into the circuit, so its position changes nothing.
pub fn states(controller: &Controller, controls: &[Control]) -> Vec<State> {
    let rollover = &controller.two_key_rollover;
    let mut found = vec![State::new()];
    for control in controls {
        for at in 0..found.len() {
            let keys = found[at].iter().filter(|other| rollover.contains(other)).count();
            let is_third = rollover.contains(control) && keys >= Controller::KEYS_HELD;
            if !is_third && found[at].iter().all(|other| may_be_together(controller, other, control)) {
                let mut state = found[at].clone();
                state.insert(control.clone());
                found.push(state);
            }
        }
    }
    found
}

/// Whether the controller's gate lets two controls be pressed at once. It forbids nothing but pairs: a lever lets a set
/// of controls be pressed if it lets any two of them. What a person is taken to hold is another matter, as
/// [`Controller::two_key_rollover`] has it.
pub fn may_be_together(controller: &Controller, one: &Control, other: &Control) -> bool {
    match (controller.gate, one.direction(), other.direction()) {
        (Gate::EightWay, Some(one), Some(other)) => one != other.opposite(),
        (Gate::EightWay | Gate::None, ..) => true,
    }
}
