//! Keys of which a person is taken to hold two at once at most: the verdict says so, and what a third one does.

use solderside_lead::{Assembly, Leg, State};
use solderside_profile::{Action, Control};

use crate::cases::Moving;
use crate::code::Code;
use crate::finding::{Finding, Severity};
use crate::readings::{Grade, Side, read, samples_of};
use crate::script::Script;
use crate::words::{names, walk};

/// A key that is read although nobody holds it.
struct Ghost {
    action: Action,
    leg: Leg,
    step: String,
    held: [Control; 3],
    /// Its way home, where one of contacts is found.
    way: Option<String>,
}

/// Says over how many keys at once the verdict holds, if that leaves states out.
pub(crate) fn rollover(assembly: &Assembly, script: &Script<'_>, moving: &Moving) -> Option<Finding> {
    let keys = moving.rollover_keys();
    let (first, rest) = keys.split_first()?;
    let condition = format!(
        "what is read is proved for two at once at most of the {} keys {}, limits for any number",
        keys.len(),
        names(std::iter::once(first).chain(rest))
    );
    let Some(ghost) = first_ghost(assembly, script, &keys) else {
        let text = format!("{condition}; no three of them bring a fourth");
        return Some(Finding::new(Code::ReadRollover, Severity::Note, text).remedy(
            "take `two_key_rollover` out of the controller's profile: the proof is about all states then",
        ));
    };
    let way = ghost.way.map_or(String::new(), |way| format!(": {way}"));
    let text = format!("{condition}; with {} held `{}` reads as well{way}", names(&ghost.held), ghost.action);
    Some(
        Finding::new(Code::ReadRollover, Severity::Note, text)
            .at([ghost.leg])
            .when(ghost.held.to_vec(), &ghost.step)
            .remedy("hold no third key, or put a diode at each key, its bar towards the row"),
    )
}

/// The first three keys that bring a fourth, for certain.
fn first_ghost(assembly: &Assembly, script: &Script<'_>, keys: &[&Control]) -> Option<Ghost> {
    for (at, one) in keys.iter().enumerate() {
        for (between, two) in keys.iter().enumerate().skip(at + 1) {
            for three in keys.iter().skip(between + 1) {
                let held = [one, two, three].map(|key| (*key).clone());
                if let Some(ghost) = ghost(assembly, script, held) {
                    return Some(ghost);
                }
            }
        }
    }
    None
}

/// What is read beside these keys.
fn ghost(assembly: &Assembly, script: &Script<'_>, held: [Control; 3]) -> Option<Ghost> {
    let state: State = held.iter().cloned().collect();
    for (at, step) in script.steps() {
        let network = script.network(at, &state, &State::new());
        for sample in samples_of(assembly, &state, step).filter(|sample| sample.side == Side::Idle) {
            let (action, leg) = (sample.action.clone(), sample.leg);
            if read(assembly, script.circuit(at), &network, sample).grade == Grade::Missed {
                let way = assembly.way_home(leg, &state, step).map(|way| walk(&way));
                return Some(Ghost { action, leg, step: step.name.clone(), held, way });
            }
        }
    }
    None
}
