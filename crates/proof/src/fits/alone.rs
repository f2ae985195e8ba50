//! What each control does when it alone is pressed, whatever the play map says.

use std::collections::BTreeMap;

use solderside_lead::{Assembly, PlayMap, State, Unbuilt};
use solderside_profile::{Action, Control};

use crate::feed::is_fed;
use crate::readings::{Grade, read, samples_of};
use crate::script::Script;

/// The actions that each control performs, of the controls that perform any.
pub(super) type Performed = BTreeMap<Control, Vec<Action>>;

/// Reads the lead with nothing and with one control at a time pressed. A control performs what may read while it is
/// pressed and does not read at rest: whether it then reads for sure, the proof with this map says.
///
/// # Errors
/// Says which value of a profile cannot be an element's.
pub(super) fn performed(assembly: &Assembly) -> Result<Performed, Unbuilt> {
    let mut performed = Performed::new();
    if !is_fed(assembly) {
        return Ok(performed);
    }
    // Without a map nothing is asked for, so that what reads is what is missed.
    let mut unasked = assembly.clone();
    unasked.lead.play = PlayMap::default();
    let controls = unasked.joined_controls();
    let script = Script::of(&unasked)?;
    for (at, step) in script.steps() {
        let circuit = script.circuit(at);
        let reads = |state: &State| -> Vec<Action> {
            let network = script.network(at, state, &State::new());
            samples_of(&unasked, state, step)
                .filter(|sample| !step.quiet.contains(sample.action))
                .map(|sample| (sample.action, read(&unasked, circuit, &network, sample).grade))
                .filter(|(_, grade)| *grade == Grade::Missed)
                .map(|(action, _)| action.clone())
                .collect()
        };
        let at_rest = reads(&State::new());
        for control in &controls {
            for action in reads(&State::from([control.clone()])) {
                if at_rest.contains(&action) {
                    continue;
                }
                let actions = performed.entry(control.clone()).or_default();
                if !actions.contains(&action) {
                    actions.push(action);
                }
            }
        }
    }
    Ok(performed)
}

/// The play map in which each control does what it performs, in the order of the controls given.
pub(super) fn play_map(assembly: &Assembly, performed: &Performed) -> PlayMap {
    let mut play = PlayMap::default();
    for action in assembly.port.actions() {
        let controls = assembly.joined_controls().into_iter();
        play.set(
            action.clone(),
            controls.filter(|control| performed.get(control).is_some_and(|actions| actions.contains(action))),
        );
    }
    play
}
