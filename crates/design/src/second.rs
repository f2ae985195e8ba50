//! A second controller at an end of its own.
//!
//! Two switches that close the same line to the same place are one switch to everything beyond. So there has to be a lead
//! for the first controller alone, and the second one's switches lie beside those of the first that do the same, whatever
//! that lead is made of. An end that passes the port through has each contact at its own number instead. `proof` judges
//! the whole.

use std::collections::BTreeMap;

use solderside_lead::{Assembly, Join, Leg, PlayMap, Unbuilt, default_map, either_map};
use solderside_profile::{Action, Control, Controller, ControllerRole, Port, PortRole};
use solderside_proof::{Verdict, prove_to_build};
use solderside_trade::ContactId;

use crate::facts::{Fact, FactKind};
use crate::parts::is_wrong;
use crate::plain::has_chips;
use crate::wishes::{SecondWish, Wishes};
use crate::{Choice, Designs, Donors, Refusal, by_merit, design};

/// Designs leads for both controllers.
///
/// # Errors
/// Says which value of a profile cannot be an element of a circuit.
pub(crate) fn with_second(
    controller: &Controller,
    port: &Port,
    wishes: &Wishes,
    second: &SecondWish,
) -> Result<Designs, Unbuilt> {
    let play = wished_map(controller, port, wishes, second);
    let mut designs = design(controller, port, &of_first(controller, port, wishes, &play))?;
    designs.program = None;
    let mut refused = Vec::new();
    for option in std::mem::take(&mut designs.options) {
        match beside(option, second, &play)? {
            (choice, None) if is_served(&choice, wishes) => designs.options.push(choice),
            (nearest, why) => {
                let text = why.unwrap_or_else(|| asked(second));
                let facts = vec![Fact { kind: FactKind::Second, text }];
                refused.push(Refusal { class: nearest.class, facts, nearest });
            }
        }
    }
    if designs.options.is_empty() {
        // Of leads that all serve the first controller the best one's refusal tells.
        designs.refused.extend(refused.into_iter().next());
    }
    designs.options.sort_by(|one, other| by_merit(&wishes.nice, one, other));
    Ok(designs)
}

/// What is asked of the second end.
fn asked(second: &SecondWish) -> String {
    let whose = if second.controller.contacts.is_empty() {
        String::new()
    } else {
        format!(" for `{}`", second.controller.name)
    };
    let what = if second.passes_through { "pass the port's contacts through" } else { "be there" };
    format!("a second controller end, `controller-2`, is to {what}{whose}")
}

/// Who performs what: the default map of both, and in its place what is wished.
fn wished_map(controller: &Controller, port: &Port, wishes: &Wishes, second: &SecondWish) -> PlayMap {
    let mut play = either_map(&[controller.clone(), second.controller.clone()], port);
    for (action, controls) in &wishes.play {
        play.set(action.clone(), controls.iter().cloned());
    }
    play
}

/// What is wished of the lead for the first controller alone.
fn of_first(controller: &Controller, port: &Port, wishes: &Wishes, play: &PlayMap) -> Wishes {
    let own = |controls: &[Control]| -> Vec<Control> {
        let all = controller.controls();
        controls.iter().filter(|control| all.contains(control)).cloned().collect()
    };
    let default = default_map(controller, port);
    let is_wished = |action: &Action| wishes.play.iter().any(|(wished, _)| wished == action);
    let play = play.entries().map(|(action, controls)| (action.clone(), own(controls)));
    let play = play
        .filter(|(action, controls)| is_wished(action) || default.controls(action) != controls.as_slice());
    Wishes {
        play: play.collect(),
        must: own(&wishes.must),
        nice: own(&wishes.nice),
        donors: Donors::default(),
        second: None,
        ..wishes.clone()
    }
}

/// Whether a lead is sound and keeps what must not be lost.
fn is_served(choice: &Choice, wishes: &Wishes) -> bool {
    let is_lost = wishes.must.iter().any(|control| choice.proof.controls_lost.contains(control));
    choice.proof.verdict < Verdict::Unproved && !choice.proof.findings.iter().any(is_wrong) && !is_lost
}

/// A lead for the first controller with the second one beside; as it was, and why, where there is no way.
fn beside(option: Choice, second: &SecondWish, play: &PlayMap) -> Result<(Choice, Option<String>), Unbuilt> {
    let own = second.controller.controls();
    let mut theirs = PlayMap::default();
    for (action, controls) in play.entries().filter(|(action, _)| !option.given_up.contains(action)) {
        theirs.set(action.clone(), controls.iter().filter(|control| own.contains(control)).cloned());
    }
    let joins = if second.passes_through {
        Ok(straight_through(&option.assembly.port, &second.controller))
    } else {
        Beside::of(&option.assembly, &second.controller).laid(&theirs)
    };
    let joins = match joins {
        Ok(joins) => joins,
        Err(why) => return Ok((option, Some(why))),
    };
    let mut assembly = option.assembly;
    assembly.add_second(second.controller.clone(), second.passes_through);
    let lead = &mut assembly.lead;
    lead.joins.extend(joins);
    for (action, controls) in theirs.entries() {
        let both: Vec<Control> = lead.play.controls(action).iter().chain(controls).cloned().collect();
        lead.play.set(action.clone(), both);
    }
    // What a switch says of an action stands in place of the play map.
    let positions = lead.changeovers.iter_mut().flat_map(|switch| &mut switch.positions);
    for (action, controls) in positions.flat_map(|position| &mut position.play) {
        controls.extend(theirs.controls(action).iter().cloned());
    }
    lead.settle();
    let proof = prove_to_build(&assembly)?;
    Ok((Choice { assembly, proof, ..option }, None))
}

/// Each contact of the port to its own number, but for inputs of which nobody knows what they may carry; where the second
/// controller is known, those that it has.
fn straight_through(port: &Port, second: &Controller) -> Vec<Join> {
    let is_wanted = |contact: &ContactId| {
        let role = second.contacts.get(contact).map(|own| &own.role);
        second.contacts.is_empty()
            || !matches!(role, None | Some(ControllerRole::Unused | ControllerRole::DoNotConnect))
    };
    let is_used = |role: &PortRole| !matches!(role, PortRole::Unused | PortRole::Pot);
    let used = port.contacts.iter().filter(|(_, contact)| is_used(&contact.role));
    let wanted = used.map(|(id, _)| *id).filter(is_wanted);
    wanted.map(|id| Join::new(Leg::second(id), Leg::port(id))).collect()
}

/// The switches of a second controller on their way beside those of the first.
struct Beside<'a> {
    assembly: &'a Assembly,
    second: &'a Controller,
    /// Where each of its commons goes.
    homes: BTreeMap<ContactId, Leg>,
    joins: Vec<Join>,
}

impl<'a> Beside<'a> {
    const fn of(assembly: &'a Assembly, second: &'a Controller) -> Self {
        Self { assembly, second, homes: BTreeMap::new(), joins: Vec::new() }
    }

    /// The joins of the second controller, or why it has none that serve.
    fn laid(mut self, theirs: &PlayMap) -> Result<Vec<Join>, String> {
        let name = &self.second.name;
        if self.second.axes().next().is_some() {
            return Err(format!(
                "`{name}` has axes; only switches can lie beside those of another controller"
            ));
        }
        if has_chips(self.second) {
            return Err(format!(
                "`{name}` has chips, which drive their lines; only switches can lie beside those of another controller"
            ));
        }
        for (action, controls) in theirs.entries() {
            for control in controls {
                self.lay(action, control)?;
            }
        }
        Ok(self.joins)
    }

    /// Lays one switch beside that of the first controller which performs the same action, or to the port where none does.
    fn lay(&mut self, action: &Action, control: &Control) -> Result<(), String> {
        let Self { assembly, second, .. } = *self;
        let no_way = |why: &str| format!("`{control}` of `{}` cannot perform `{action}`: {why}", second.name);
        let from = second.contact_of(control).ok_or_else(|| no_way("it has no contact of its own"))?;
        let commons = second.commons_of(control);
        let common = commons.first().ok_or_else(|| no_way("its switch has no common"))?;
        let (line, home) = if let Some(both) = self.mate(action) {
            both
        } else {
            let line = assembly.port.contact_of(action).map(Leg::port);
            let line = line.ok_or_else(|| no_way("the port has no contact for it"))?;
            (line, self.home().ok_or_else(|| no_way("the lead has no place for its common"))?)
        };
        let known = *self.homes.entry(*common).or_insert(home);
        if !self.is_one(known, home) {
            return Err(format!(
                "the common of `{}` would make one of `{known}` and `{home}`, which the switches of the first controller \
                 keep apart",
                second.name
            ));
        }
        self.joins.push(Join::new(Leg::second(from), line));
        self.joins.push(Join::new(Leg::second(*common), known));
        Ok(())
    }

    /// Whether two legs are one: joined in the lead, or inside the machine as its returns are.
    fn is_one(&self, one: Leg, other: Leg) -> bool {
        let net = self.assembly.lead.net(one);
        let is_return = |leg: &Leg| {
            let role = self.assembly.port_contact(*leg).map(|contact| &contact.role);
            role == Some(&PortRole::Return)
        };
        net.contains(&other)
            || net.iter().any(is_return) && self.assembly.lead.net(other).iter().any(is_return)
    }

    /// The two sides of a switch of the first controller that performs an action: what it closes, and to what.
    fn mate(&self, action: &Action) -> Option<(Leg, Leg)> {
        let first = self.assembly.controllers.first()?;
        self.assembly.lead.play.controls(action).iter().find_map(|control| {
            let line = self.beyond(first.contact_of(control)?)?;
            let home = first.commons_of(control).into_iter().find_map(|common| self.beyond(common))?;
            Some((line, home))
        })
    }

    /// Where the first controller's commons go, or else a return of the port.
    fn home(&self) -> Option<Leg> {
        let first = self.assembly.controllers.first()?;
        let of_first = first.commons().into_iter().find_map(|common| self.beyond(common));
        of_first.or_else(|| self.assembly.port.returns().first().copied().map(Leg::port))
    }

    /// To what a contact of the first controller is joined: the port if it goes there, else a part.
    fn beyond(&self, contact: ContactId) -> Option<Leg> {
        self.assembly.lead.joined(Leg::controller(contact)).max()
    }
}

#[cfg(test)]
mod tests {
    use solderside_lead::second_controller;
    use solderside_profile::Library;

    use super::*;

    #[test]
    fn one_common_is_not_laid_to_two_that_the_lead_keeps_apart() {
        let library = Library::catalogue();
        let [first, second] = ["nine-pin-stick-with-separate-commons", "nine-pin-stick-with-one-button"]
            .map(|name| library.controller(name).unwrap());
        let port = library.port("nine-pin-scanned-returns").unwrap();
        let own = second_controller(&first, &second, &port, false).unwrap();
        let play = default_map(&first, &port);
        let mut theirs = PlayMap::default();
        for (action, mine) in [("down", "second-down"), ("fire", "second-a")] {
            theirs.set(Action::new(action).unwrap(), Control::new(mine));
        }
        let mut lead = Assembly::between(first, port, play);
        let laid = |lead: &Assembly| Beside::of(lead, &own).laid(&theirs);
        for (from, to) in [(1, 1), (2, 2), (3, 3), (4, 4), (6, 7), (8, 8)] {
            let [from, to] = [from, to].map(ContactId::Number);
            lead.lead.joins.push(Join::new(Leg::controller(from), Leg::port(to)));
        }
        let joined = |common: u8, home: u8| {
            let [common, home] = [common, home].map(ContactId::Number);
            let mut lead = lead.clone();
            lead.lead.joins.push(Join::new(Leg::controller(common), Leg::port(home)));
            lead
        };
        let why = laid(&joined(9, 9)).unwrap_err();
        assert!(why.contains("would make one of `port.8` and `port.9`"), "{why}");
        assert_eq!(laid(&joined(9, 8)).map(|joins| joins.len()), Ok(4));
    }
}
