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

/// The default map of several controllers, of which all but the first have names of their own for their controls: what
/// each would do alone, any of them. Where the port listens to a second player, the second controller is that one's.
pub fn either_map(controllers: &[Controller], port: &Port) -> PlayMap {
    let mut play = controllers.first().map(|own| default_map(own, port)).unwrap_or_default();
    let theirs: Vec<(&Action, Action)> = port
        .actions()
        .into_iter()
        .filter_map(|action| Some((action, of_second_player(action, port)?)))
        .collect();
    let has_second_player = theirs.iter().any(|(action, _)| action.direction().is_some());
    for second in controllers.iter().skip(1) {
        let alone = |action: &Action| match port.fire_order.iter().position(|fire| fire == action) {
            Some(turn) => second.fire_order.get(turn).cloned(),
            // Its controls are known by what they are called after the prefix.
            None => {
                second.controls().into_iter().find(|own| own.as_str() == format!("second-{action}")).cloned()
            }
        };
        if has_second_player {
            for (action, own) in &theirs {
                play.set(own.clone(), alone(action));
            }
            continue;
        }
        for action in port.actions() {
            let both: Vec<Control> = play.controls(action).iter().cloned().chain(alone(action)).collect();
            play.set(action.clone(), both);
        }
    }
    play
}

/// The same action of a second player, if the port has it: `second-up`.
fn of_second_player(action: &Action, port: &Port) -> Option<Action> {
    let own = Action::new(&format!("second-{action}"))?;
    port.actions().contains(&&own).then_some(own)
}
