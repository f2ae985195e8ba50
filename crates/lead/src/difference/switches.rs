//! The switches of two leads, and what controls play in their positions.

use solderside_profile::{Action, Control, PartId};

use crate::assembly::Assembly;
use crate::changeover::Changeover;

/// What a control plays: in each way in which the switches stand, in words, if they matter; else once, without any.
pub(super) type Plays = Vec<(String, Vec<Action>)>;

/// A lead in each way in which its switches stand, with all plugged in.
pub(super) struct Positions(Vec<(String, Assembly)>);

impl Positions {
    pub fn of(assembly: &Assembly) -> Self {
        let words = |setting: &crate::Setting| {
            let stands = setting.stands().filter(crate::Stand::is_of_switch);
            stands.map(|stand| stand.told()).collect::<Vec<_>>().join(" and ")
        };
        let settings = assembly.full_settings();
        let mut positions: Vec<(String, Assembly)> = Vec::new();
        for setting in settings {
            let words = words(&setting);
            if positions.iter().all(|(known, _)| *known != words) {
                positions.push((words, assembly.set(&setting)));
            }
        }
        Self(positions)
    }

    /// What a control plays; none if no controller has it, nothing listed if it plays nothing anywhere.
    pub fn plays(&self, control: &Control) -> Option<Plays> {
        let has = |set: &Assembly| {
            set.controllers().any(|(_, controller)| controller.contact_of(control).is_some())
        };
        let played = |set: &Assembly| -> Vec<Action> {
            let actions = set.port.actions().into_iter();
            actions.filter(|action| set.lead.play.controls(action).contains(control)).cloned().collect()
        };
        if !self.0.iter().any(|(_, set)| has(set)) {
            return None;
        }
        let mut plays: Plays = self.0.iter().map(|(words, set)| (words.clone(), played(set))).collect();
        if let Some((_, first)) = plays.first().cloned()
            && plays.iter().all(|(_, own)| *own == first)
        {
            plays = if first.is_empty() { Vec::new() } else { vec![(String::new(), first)] };
        }
        Some(plays)
    }
}

/// What is played in any position.
pub(super) fn in_any(plays: &Plays) -> Vec<Action> {
    let mut all: Vec<Action> = Vec::new();
    for action in plays.iter().flat_map(|(_, own)| own) {
        if !all.contains(action) {
            all.push(action.clone());
        }
    }
    all
}

/// Whether a switch may make first in the first lead, and must break first in the second: that is another switch.
pub(super) fn must_now_break_first(before: &Assembly, after: &Assembly, part: PartId) -> bool {
    let [old, new] = [before, after].map(|assembly| assembly.lead.changeover(part));
    old.zip(new).is_some_and(|(old, new)| old.makes_first && !new.makes_first)
}

/// What is different of the switches that both leads have.
pub(super) fn changes(before: &Assembly, after: &Assembly) -> Vec<String> {
    let both = before.lead.changeovers.iter().filter_map(|old| Some((old, after.lead.changeover(old.part)?)));
    let told = |own: &Changeover| {
        let [first, second] = &own.positions;
        format!("`{}`, with the positions `{}` and `{}`", own.called, first.name, second.name)
    };
    let mut changes = Vec::new();
    for (old, new) in both {
        if told(old) != told(new) {
            changes.push(format!("{} is called {}; before it was {}.", new.part, told(new), told(old)));
        }
        match (old.makes_first, new.makes_first) {
            (true, false) => changes.push(format!(
                "{} must break before it makes: it is exchanged for a switch that is sold as non-shorting.",
                new.part
            )),
            (false, true) => changes.push(format!("{} may make before it breaks; it need not.", new.part)),
            (true, true) | (false, false) => {}
        }
    }
    changes
}
