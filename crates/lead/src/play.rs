//! Which controls perform which actions.

use std::collections::BTreeMap;

use solderside_profile::{Action, Control, Controller, Port};

/// For each action the controls that perform it, any of them alone; an action without controls must
/// always read inactive.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct PlayMap(BTreeMap<Action, Vec<Control>>);

impl PlayMap {
    /// Sets the controls of an action, each once, in the order given.
    pub fn set(&mut self, action: Action, controls: impl IntoIterator<Item = Control>) {
        let mut once: Vec<Control> = Vec::new();
        for control in controls {
            if !once.contains(&control) {
                once.push(control);
            }
        }
        self.0.insert(action, once);
    }

    /// The controls that perform an action.
    pub fn controls(&self, action: &Action) -> &[Control] {
        self.0.get(action).map_or(&[], Vec::as_slice)
    }

    /// The actions that a control performs.
    pub fn actions<'m>(&'m self, control: &'m Control) -> impl Iterator<Item = &'m Action> {
        self.0.iter().filter(move |(_, controls)| controls.contains(control)).map(|(action, _)| action)
    }

    /// All entries, by the action's name.
    pub fn entries(&self) -> impl Iterator<Item = (&Action, &[Control])> {
        self.0.iter().map(|(action, controls)| (action, controls.as_slice()))
    }
}

/// Returns the map that needs no words: the controller's fire order against the port's, and all else, such as
/// `up` and `start`, to its namesake. Surplus buttons are lost, never doubled.
pub fn default_map(controller: &Controller, port: &Port) -> PlayMap {
    let mut play = PlayMap::default();
    let mut fires = controller.fire_order.iter();
    for action in port.actions() {
        let namesake = |control: &&Control| control.as_str() == action.as_str();
        if !port.fire_order.contains(action) {
            play.set(action.clone(), controller.controls().into_iter().find(namesake).cloned());
        }
    }
    for action in &port.fire_order {
        play.set(action.clone(), fires.next().cloned());
    }
    play
}
