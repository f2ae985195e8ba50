//! The lead into the port's own pad, opened: the controller's switches lie across the pad's own.
//!
//! A pad serves where it is proved to work in the port by itself, so that it is the port's own in all that counts, and
//! where the lead into it is proved like any other.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::OnceLock;

use solderside_lead::{Assembly, Donor, Join, Leg, Unbuilt, default_map};
use solderside_profile::{Action, Control, Controller, ControllerRole, Port};
use solderside_proof::{judge_while, prove_briefly};
use solderside_trade::ContactId;

use crate::pads::Donors;
use crate::parts::is_wrong;
use crate::plain::{Judged, Problem, has_chips};

/// A pad that was tried as a donor, and why it cannot serve.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NotADonor {
    /// The pad's name.
    pub pad: String,
    /// Why, in a sentence without its full stop.
    pub why: String,
    /// Whether it is the pad that cannot serve here: what is wrong with the controller, the wishes or the choice of the
    /// pad is of use only to somebody who named it.
    pub is_of_the_pad: bool,
}

/// Why there is no lead into a pad, and whether the pad is to blame.
type Refused = (String, bool);

/// A pad that may be opened for a port. Whether it serves there as it is does not depend on the controller, and is
/// found once for all of them.
#[derive(Debug)]
pub(crate) struct Candidate<'p> {
    pad: &'p Controller,
    port: &'p Port,
    /// Whether it is tried only where none of the others is the port's own.
    is_spare: bool,
    opened: OnceLock<Result<Result<Donor, Refused>, Unbuilt>>,
}

impl<'p> Candidate<'p> {
    /// These pads, for a port.
    pub(crate) fn all(pads: &'p Donors, port: &'p Port) -> Vec<Self> {
        let candidate = |pad, is_spare| Self { pad, port, is_spare, opened: OnceLock::new() };
        let first = pads.first.iter().map(|pad| candidate(pad, false));
        first.chain(pads.otherwise.iter().map(|pad| candidate(pad, true))).collect()
    }

    /// The pad, opened, or why it cannot be or is none of the port's own.
    fn opened(&self) -> Result<Result<&Donor, Refused>, Unbuilt> {
        let opened = self.opened.get_or_init(|| self.open()).as_ref().map_err(Clone::clone)?;
        Ok(opened.as_ref().map_err(Clone::clone))
    }

    fn open(&self) -> Result<Result<Donor, Refused>, Unbuilt> {
        let donor = match Donor::open(self.pad.clone()) {
            Ok(donor) => donor,
            Err(why) => return Ok(Err((why.to_string(), true))),
        };
        if !works_by_itself(self.pad, self.port)? {
            let port = &self.port.name;
            let why = format!("it is no pad of `{port}`: plugged in as it is, it is not proved to work");
            return Ok(Err((why, false)));
        }
        Ok(Ok(donor))
    }
}

/// A lead into a donor, with the actions that it goes without.
pub(crate) struct Found {
    pub(crate) judged: Judged,
    pub(crate) given_up: Vec<Action>,
}

impl Problem {
    /// Returns the sound leads into these pads, and why there is none into the others.
    ///
    /// # Errors
    /// Says which value of a profile cannot be an element of a circuit.
    pub(crate) fn with_donors(
        &self,
        pads: &[Candidate<'_>],
    ) -> Result<(Vec<Found>, Vec<NotADonor>), Unbuilt> {
        let (mut found, mut others) = (Vec::new(), Vec::new());
        let mut is_served = false;
        for candidate in pads {
            // What is spare comes last.
            if candidate.is_spare && is_served {
                break;
            }
            is_served |= !candidate.is_spare && candidate.opened()?.is_ok();
            match self.with_donor(candidate)? {
                Ok(lead) => found.push(lead),
                Err((why, is_of_the_pad)) => {
                    others.push(NotADonor { pad: candidate.pad.name.clone(), why, is_of_the_pad });
                }
            }
        }
        Ok((found, others))
    }

    /// The lead into one pad, or why there is none.
    fn with_donor(&self, candidate: &Candidate<'_>) -> Result<Result<Found, Refused>, Unbuilt> {
        let connector = candidate.pad.connector;
        if !connector.mates_with(&self.port.connector) {
            return Ok(Err((format!("its {connector} does not go into `{}`", self.port.name), false)));
        }
        if has_chips(&self.controller) {
            let own = &self.controller.name;
            let why = format!("`{own}` has chips, which want a supply; a pad's switches carry none");
            return Ok(Err((why, false)));
        }
        if !self.joins.is_empty() {
            let why = "a join to the port was asked for; the pad's own plug goes in there".to_owned();
            return Ok(Err((why, false)));
        }
        let donor = match candidate.opened()? {
            Ok(donor) => donor,
            Err(refused) => return Ok(Err(refused)),
        };
        let mut own = self.clone();
        let given_up = match own.give_up_what_it_lacks(donor) {
            Ok(given_up) => given_up,
            Err(action) => return Ok(Err((format!("it has no switch for `{action}`"), true))),
        };
        let assembly = own.laid_across(donor);
        let shorted = own.shorted(&assembly, donor);
        // What fails with nobody at the pad's own buttons fails, and is told at a fraction of the price.
        let alone = own.laid_across(&donor.clone().left_alone());
        let judged = match own.judge_while(alone.clone(), |finding| own.bears(finding))? {
            Some(_) => own.judge_while(assembly, |finding| own.bears(finding))?,
            None => None,
        };
        let judged = judged.filter(|judged| own.accepts_judged(judged));
        if let (None, Some(shorted)) = (&judged, shorted) {
            return Ok(Err((shorted, true)));
        }
        let Some(judged) = judged else { return Ok(Err((own.refused(&alone)?, true))) };
        Ok(Ok(Found { judged, given_up }))
    }

    /// Why a lead into a donor is none that was asked for.
    fn refused(&self, lead: &Assembly) -> Result<String, Unbuilt> {
        let proof = prove_briefly(lead)?;
        if let Some(control) = self.must.iter().find(|control| proof.controls_lost.contains(control)) {
            return Ok(format!("`{control}` must not be lost, and performs nothing there"));
        }
        let wrong = proof.findings.iter().find(|finding| !self.bears(finding));
        Ok(wrong.map_or_else(
            || "with its own buttons pressed beside, the lead into it is not proved to work".to_owned(),
            |finding| finding.text.clone(),
        ))
    }

    /// Gives up the actions for which a donor has no switch.
    fn give_up_what_it_lacks(&mut self, donor: &Donor) -> Result<Vec<Action>, Action> {
        let play = default_map(donor.pad(), &self.port);
        let lacks = |action: &Action| play.controls(action).is_empty();
        let asked = self.play.iter().filter(|part| !part.controls.is_empty() && lacks(&part.action));
        let asked: Vec<Action> = asked.map(|part| part.action.clone()).collect();
        for action in &asked {
            if !self.may_give_up(action) {
                return Err(action.clone());
            }
            self.give_up(action);
        }
        Ok(asked)
    }

    /// Lays each control's switch across that of the donor's control which performs the same action, and each common
    /// of the controller to what those switches share, once.
    fn laid_across(&self, donor: &Donor) -> Assembly {
        let (controller, port) = (self.controller.clone(), self.port.clone());
        let mut assembly = Assembly::by_donor(controller, donor.clone(), port, self.play_map());
        let mut joined = BTreeSet::new();
        let mut joins = Vec::new();
        for (control, [line, common]) in self.across(&assembly) {
            let Some(from) = self.controller.contact_of(control) else { continue };
            joins.push(Join::new(Leg::controller(from), line));
            let home = self.controller.commons_of(control).first().copied();
            if let Some(home) = home.filter(|home| joined.insert((*home, donor.net(common)))) {
                joins.push(Join::new(Leg::controller(home), common));
            }
        }
        assembly.lead.joins.extend(joins);
        assembly.lead.settle();
        if let Some(cable) = &self.cable {
            assembly.lead.run_in(cable.clone());
        }
        assembly
    }

    /// Each control with the points of each of the donor's switches that it is laid across.
    fn across(&self, assembly: &Assembly) -> Vec<(&Control, [Leg; 2])> {
        let mut across = Vec::new();
        for part in &self.play {
            let Some(points) = assembly.point_for(&part.action) else { continue };
            across.extend(part.controls.iter().map(|control| (control, points)));
        }
        across
    }

    /// Says which switches of a donor share no common, where a common of the controller would make them one.
    fn shorted(&self, assembly: &Assembly, donor: &Donor) -> Option<String> {
        let mut by_common: BTreeMap<Vec<ContactId>, Vec<&Control>> = BTreeMap::new();
        for (control, [line, _]) in self.across(assembly) {
            let own = self.controller.commons_of(control);
            if let Some((switch, _)) = donor.function(line) {
                by_common.entry(own).or_default().push(switch);
            }
        }
        let groups = donor.by_common();
        let kept_apart = by_common.into_values().find_map(|switches| {
            let own = |group: &Vec<&Control>| -> Vec<String> {
                let own = group.iter().filter(|control| switches.contains(control));
                own.map(|control| format!("`{control}`")).collect()
            };
            let apart: Vec<Vec<String>> = groups.iter().map(own).filter(|group| !group.is_empty()).collect();
            (apart.len() > 1).then_some(apart)
        })?;
        let lists: Vec<String> = kept_apart.into_iter().map(|group| group.join(", ")).collect();
        Some(format!(
            "its switches share no common, but are apart so: {}. The controller's single common would short what the \
             pad keeps apart",
            lists.join("; ")
        ))
    }
}

/// Whether a pad works in a port by itself, contact to contact, with its own play map.
fn works_by_itself(pad: &Controller, port: &Port) -> Result<bool, Unbuilt> {
    let mut straight = Assembly::between(pad.clone(), port.clone(), default_map(pad, port));
    let wired = pad.contacts.iter().filter(|(_, contact)| contact.role != ControllerRole::Unused);
    straight.lead.joins = wired.map(|(id, _)| Join::new(Leg::controller(*id), Leg::port(*id))).collect();
    straight.lead.settle();
    Ok(judge_while(&straight, |finding| !is_wrong(finding))?.is_some())
}
