//! The lead of wire only.

use std::cell::RefCell;
use std::collections::BTreeSet;
use std::rc::Rc;

use solderside_lead::{Assembly, Join, Lead, Leg, PlayMap, Unbuilt, default_map};
use solderside_profile::{
    Action, ActiveLevel, Body, Cable, Control, Controller, ControllerRole, Drawer, Port, PortRole,
};
use solderside_proof::{Code, Finding, Judgement, Proof, judge_while};
use solderside_trade::ContactId;

use crate::parts::is_wrong;
use crate::tied::Tied;
use crate::wishes::Wishes;

/// What is asked, and of what; facts are dropped from it one by one.
#[derive(Debug, Clone)]
pub(crate) struct Problem {
    pub(crate) controller: Controller,
    pub(crate) port: Port,
    /// Who performs what, and whether somebody wished so.
    pub(crate) play: Vec<Part>,
    pub(crate) must: Vec<Control>,
    pub(crate) nice: Vec<Control>,
    /// What only the default play map asked for, and is gone without.
    pub(crate) given_up: Vec<Action>,
    pub(crate) joins: Vec<Join>,
    pub(crate) cable: Option<Cable>,
    /// The parts that there are; any if none is named.
    pub(crate) drawer: Option<Drawer>,
    /// Whether wire is all there is; else whatever keeps nets apart is taken for granted.
    pub(crate) only_wire: bool,
    /// Whether the port's actions are all there are; else one more is taken for granted.
    pub(crate) only_these_actions: bool,
    /// The ways in which the controller's inputs can be tied.
    pub(crate) ties: Vec<Tied>,
    /// The one of them that is taken.
    pub(crate) tied: Option<Tied>,
    /// The leads that were proved already.
    pub(crate) known: Known,
    /// Whether only what a square of the atlas shows is found: neither the range over which a verdict holds nor what is
    /// carried, and of what stands in the way only what does with wire.
    pub(crate) is_brief: bool,
}

/// A lead with what it comes to.
#[derive(Debug, Clone)]
pub(crate) struct Judged {
    pub(crate) assembly: Assembly,
    pub(crate) judgement: Judgement,
}

/// Leads that were judged, which all that is made from one problem share: the search for what stands in the way comes by
/// the same leads again and again.
#[derive(Debug, Clone, Default)]
pub(crate) struct Known(Rc<RefCell<Vec<Judged>>>);

impl Known {
    /// What a lead came to, if it was judged.
    fn of(&self, assembly: &Assembly) -> Option<Judgement> {
        let known = self.0.borrow();
        known.iter().find(|known| known.assembly == *assembly).map(|known| known.judgement.clone())
    }

    /// Keeps what a lead came to.
    pub(crate) fn keep(&self, assembly: &Assembly, proof: &Proof) {
        let judgement = Judgement {
            verdict: proof.verdict,
            findings: proof.findings.clone(),
            controls_lost: proof.controls_lost.clone(),
        };
        self.0.borrow_mut().push(Judged { assembly: assembly.clone(), judgement });
    }
}

/// One entry of the play map.
#[derive(Debug, Clone)]
pub(crate) struct Part {
    pub(crate) action: Action,
    pub(crate) controls: Vec<Control>,
    pub(crate) wished: bool,
}

impl Problem {
    pub(crate) fn new(controller: &Controller, port: &Port, wishes: &Wishes) -> Result<Self, Unbuilt> {
        let default = default_map(controller, port);
        let play = port.actions().into_iter().map(|action| {
            let wish = wishes.play.iter().rev().find(|(wished, _)| wished == action);
            Part {
                action: action.clone(),
                controls: wish
                    .map_or_else(|| default.controls(action).to_vec(), |(_, controls)| controls.clone()),
                wished: wish.is_some(),
            }
        });
        Ok(Self {
            play: play.collect(),
            controller: controller.clone(),
            port: port.clone(),
            must: wishes.must.clone(),
            nice: wishes.nice.clone(),
            given_up: Vec::new(),
            joins: wishes.joins.clone(),
            cable: wishes.cable.clone(),
            drawer: wishes.drawer.clone(),
            only_wire: true,
            only_these_actions: true,
            known: Known::default(),
            is_brief: false,
            ties: Tied::all(controller)?,
            tied: None,
        })
    }

    /// Judges a lead as [`judge_while`] does, without looking at it again if it was judged to the end.
    ///
    /// # Errors
    /// As [`judge_while`].
    pub(crate) fn judge_while(
        &self,
        assembly: Assembly,
        is_bearable: impl Fn(&Finding) -> bool,
    ) -> Result<Option<Judged>, Unbuilt> {
        let judgement = match self.known.of(&assembly) {
            Some(known) => known.findings.iter().all(is_bearable).then_some(known),
            None => judge_while(&assembly, is_bearable)?,
        };
        Ok(judgement.map(|judgement| Judged { assembly, judgement }))
    }

    /// Judges a lead to the end, and keeps that.
    ///
    /// # Errors
    /// As [`judge_while`].
    pub(crate) fn judge_once(&self, assembly: Assembly) -> Result<Judged, Unbuilt> {
        let is_new = self.known.of(&assembly).is_none();
        let judged = self.judge_while(assembly, |_| true)?.expect("everything is borne");
        if is_new {
            self.known.0.borrow_mut().push(judged.clone());
        }
        Ok(judged)
    }

    /// The problem as it is where the port has a line for an input or a row of the controller, or somebody wishes a join
    /// there; else with these tied in each way, as they float otherwise.
    pub(crate) fn variants(&self) -> Vec<Self> {
        let joined: Vec<Join> = self.namesakes().into_iter().chain(self.joins.iter().copied()).collect();
        let is_joined = |own: ContactId| joined.iter().any(|join| join.from.contact == own);
        if self.ties.iter().flat_map(Tied::contacts).any(is_joined) || self.ties.is_empty() {
            return vec![self.clone()];
        }
        let tied = self.ties.iter().map(|tied| {
            let mut variant = Self { tied: Some(tied.clone()), ..self.clone() };
            variant.play_what_is_shown();
            variant
        });
        tied.collect()
    }

    /// Gives what nobody asked for in words to controls that have a contact or are shown at one: the fires to the
    /// controller's in their order, and the others but the directions to nobody where their own are shown nowhere.
    fn play_what_is_shown(&mut self) {
        let is_shown = |control: &&Control| self.contact_of(control).is_some();
        let fires: Vec<Control> = self.controller.fire_order.iter().filter(is_shown).cloned().collect();
        let shown: BTreeSet<Control> =
            self.controller.controls().into_iter().filter(is_shown).cloned().collect();
        let mut fires = fires.into_iter();
        for part in self.play.iter_mut().filter(|part| !part.wished && part.action.direction().is_none()) {
            if part.controls.is_empty() {
                continue;
            }
            if self.port.fire_order.contains(&part.action) {
                part.controls = fires.next().into_iter().collect();
            } else {
                part.controls.retain(|control| shown.contains(control));
            }
        }
    }

    /// The problem without what only the default play map asks of controls that no lead reaches: they act through what is
    /// inside, and neither a donor's points nor a lead's chips could see them. None where nothing is given up, or nothing
    /// would be left.
    pub(crate) fn within_reach(&self) -> Option<Self> {
        let variants = self.variants();
        let is_seen =
            |control: &Control| variants.iter().any(|variant| variant.contact_of(control).is_some());
        let unseen = |part: &&Part| !part.controls.is_empty() && !part.controls.iter().any(is_seen);
        let unseen = self.play.iter().filter(unseen).map(|part| &part.action);
        let unseen: Vec<Action> = unseen.filter(|action| self.may_give_up(action)).cloned().collect();
        let mut lesser = self.clone();
        for action in &unseen {
            lesser.give_up(action);
        }
        (!unseen.is_empty() && lesser.play.iter().any(|part| !part.controls.is_empty())).then_some(lesser)
    }

    /// The contact at which a control is seen: its own, or the one that shows it while the inputs are tied.
    pub(crate) fn contact_of(&self, control: &Control) -> Option<ContactId> {
        let shown = || self.tied.as_ref()?.shows.get(control).copied();
        self.controller.contact_of(control).or_else(shown)
    }

    /// The contacts that are led home: the controller's commons, or the row of its matrix that stands for one.
    pub(crate) fn commons(&self) -> impl Iterator<Item = ContactId> {
        self.controller.commons().into_iter().chain(self.tied.iter().filter_map(|tied| tied.home))
    }

    /// Whether a control is seen at a contact.
    pub(crate) fn is_seen_at(&self, contact: ContactId) -> bool {
        let shows = |tied: &Tied| tied.shows.values().any(|shown| *shown == contact);
        self.controller.control_at(contact).is_some() || self.tied.as_ref().is_some_and(shows)
    }

    /// Whether an action may be given up: nobody asked for it in words, it is no direction, and no control
    /// that must not be lost performs it alone.
    pub(crate) fn may_give_up(&self, action: &Action) -> bool {
        let is_default = |part: &&Part| part.action == *action && !part.wished;
        action.direction().is_none()
            && self
                .play
                .iter()
                .find(is_default)
                .is_some_and(|part| part.controls.iter().all(|control| !self.must.contains(control)))
    }

    /// Whether giving up an action loses a control that is nice to have.
    pub(crate) fn is_nice(&self, action: &Action) -> bool {
        let own = self.play.iter().filter(|part| part.action == *action);
        own.flat_map(|part| &part.controls).any(|control| self.nice.contains(control))
    }

    /// Takes an action's controls from it, as if the default play map had none.
    pub(crate) fn give_up(&mut self, action: &Action) {
        for part in self.play.iter_mut().filter(|part| part.action == *action) {
            part.controls.clear();
        }
        self.given_up.push(action.clone());
    }

    /// The leads of wire, one for each way.
    pub(crate) fn leads(&self) -> impl Iterator<Item = Assembly> {
        self.variants().into_iter().flat_map(|problem| {
            let leads = problem.ways().into_iter().map(|[home, supply]| problem.joined(home, supply));
            leads.collect::<Vec<_>>()
        })
    }

    /// Returns the ways to lead the controller's common home and to feed its chips. Home is a return; where
    /// there is none, or a scan goes on beside it, an output that the machine drives; where a high is active
    /// also a supply.
    pub(crate) fn ways(&self) -> Vec<[Option<Leg>; 2]> {
        let port = &self.port;
        // All returns are one ground: the first whose cup is free stands for them.
        let taken = |id: &ContactId| self.joins.iter().any(|join| join.to == Leg::port(*id));
        let returns = port.returns();
        let home = returns.iter().find(|id| !taken(id)).or(returns.first());
        let mut homes: Vec<ContactId> = home.copied().into_iter().collect();
        let drives = port.contacts.iter().filter(|(_, contact)| matches!(contact.role, PortRole::Drive(_)));
        if homes.is_empty() || port.steps.iter().any(|step| !step.quiet.is_empty()) {
            homes.extend(drives.map(|(id, _)| *id));
        }
        let mut supplies: Vec<ContactId> = port.supplies().into_iter().map(|(id, _)| id).collect();
        if port.inputs.values().any(|input| input.active_level() == ActiveLevel::High) {
            homes.extend(&supplies);
        }
        if self.axes().next().is_some() {
            // A port may feed its pots from a contact of their own; for the stick made for it that has the same number.
            let feeds = port.contacts.iter().filter(|(_, contact)| contact.role.feeds());
            supplies = feeds.map(|(id, _)| *id).collect();
            let own = self.controller.supply().filter(|own| supplies.contains(own));
            if let Some(own) = own.filter(|_| self.controller.connector.mates_with(&port.connector)) {
                supplies = vec![own];
            }
        }
        let [homes, supplies] = [homes, supplies].map(or_none);
        let ways = homes.iter().flat_map(|home| supplies.iter().map(move |supply| [*home, *supply]));
        ways.map(|way| way.map(|contact| contact.map(Leg::port))).collect()
    }

    /// The joins of the axes: each pot of the controller to the port's axis of its name.
    fn axes(&self) -> impl Iterator<Item = Join> {
        self.port.axes().filter_map(|(to, axis)| {
            let (from, _) = self.controller.axes().find(|(_, pot)| pot.axis == axis.axis)?;
            Some(Join::new(Leg::controller(from), Leg::port(to)))
        })
    }

    /// Whether there is at least one of a part.
    pub(crate) fn has(&self, body: &Body) -> bool {
        self.drawer.as_ref().is_none_or(|drawer| drawer.has(body))
    }

    /// Whether all parts of a lead are there, each as often as the lead has it.
    pub(crate) fn has_all(&self, lead: &Lead) -> bool {
        let bodies = || lead.parts.iter().map(|part| &part.body);
        self.drawer.as_ref().is_none_or(|drawer| drawer.wanting(bodies()).is_empty())
    }

    /// Whether a finding leaves a lead what was asked for.
    pub(crate) fn bears(&self, finding: &Finding) -> bool {
        let kept_apart = !self.only_wire && matches!(finding.code, Code::ReadGhost | Code::ReadThin);
        !is_wrong(finding) || kept_apart
    }

    /// Whether a lead is what was asked for.
    pub(crate) fn accepts(&self, assembly: &Assembly, findings: &[Finding], lost: &[Control]) -> bool {
        let all_musts = !self.only_these_actions || !self.must.iter().any(|control| lost.contains(control));
        let sound = findings.iter().all(|finding| self.bears(finding));
        let wished = self.joins.iter().all(|join| assembly.lead.joins.contains(join));
        all_musts && sound && wished && self.has_all(&assembly.lead)
    }

    /// Whether a lead that was judged is what was asked for.
    pub(crate) fn accepts_judged(&self, Judged { assembly, judgement }: &Judged) -> bool {
        self.accepts(assembly, &judgement.findings, &judgement.controls_lost)
    }

    /// Who performs what, as a lead has it.
    pub(crate) fn play_map(&self) -> PlayMap {
        let mut play = PlayMap::default();
        for part in &self.play {
            play.set(part.action.clone(), part.controls.iter().cloned());
        }
        play
    }

    /// The lead without joins.
    pub(crate) fn bare(&self) -> Assembly {
        Assembly::between(self.controller.clone(), self.port.clone(), self.play_map())
    }

    /// Joins each control to its action, what is wired inside to its namesakes, the common to a return, and the
    /// chips to a supply.
    pub(crate) fn joined(&self, home: Option<Leg>, supply: Option<Leg>) -> Assembly {
        let mut assembly = self.bare();
        let mut joins = Vec::new();
        for part in &self.play {
            let Some(to) = self.port.contact_of(&part.action) else { continue };
            for control in &part.controls {
                if let Some(from) = self.contact_of(control) {
                    joins.push(Join::new(Leg::controller(from), Leg::port(to)));
                }
            }
        }
        if let Some(home) = home {
            // Of two connectors that mate a common goes straight across where that is a return too.
            let returns = self.port.returns();
            let mates = self.controller.connector.mates_with(&self.port.connector);
            let goes_straight =
                |common: &ContactId| mates && returns.contains(&home.contact) && returns.contains(common);
            joins.extend(self.commons().map(|common| {
                let own = if goes_straight(&common) { Leg::port(common) } else { home };
                Join::new(Leg::controller(common), own)
            }));
        }
        joins.extend(self.tied.iter().flat_map(|tied| tied.joins(&self.controller)));
        joins.extend(self.namesakes());
        let axes: Vec<Join> = self.axes().collect();
        let is_fed = has_chips(&self.controller) || !axes.is_empty();
        if let (true, Some(own), Some(supply)) = (is_fed, self.controller.supply(), supply) {
            joins.push(Join::new(Leg::controller(own), supply));
        }
        joins.extend(axes);
        joins.retain(|join| !self.joins.iter().any(|wished| wished.from == join.from));
        joins.extend(&self.joins);
        assembly.lead.joins = joins;
        assembly.lead.settle();
        if let Some(cable) = &self.cable {
            assembly.lead.run_in(cable.clone());
        }
        assembly
    }

    /// The joins of what is wired inside the controller to the lines that the port calls the same: `data` to
    /// `data`, `row-1` to `row-1`.
    fn namesakes(&self) -> Vec<Join> {
        let wired =
            self.controller.contacts.iter().filter(|_| self.tied.is_none()).filter_map(|(id, contact)| {
                if let ControllerRole::Wired { called } = &contact.role { Some((*id, called)) } else { None }
            });
        let line = |name: &String| {
            self.port.contacts.iter().find(|(_, line)| line.called.as_ref() == Some(name)).map(|(id, _)| *id)
        };
        wired
            .filter_map(|(id, called)| Some(Join::new(Leg::controller(id), Leg::port(line(called)?))))
            .collect()
    }
}

/// Whether a controller has chips that want a supply.
pub(crate) fn has_chips(controller: &Controller) -> bool {
    let inside = controller.inside.iter().flat_map(|inside| &inside.parts);
    controller.logic.is_some() || inside.into_iter().any(|part| matches!(part.body, Body::Chip(_)))
}

fn or_none<T>(items: Vec<T>) -> Vec<Option<T>> {
    if items.is_empty() { vec![None] } else { items.into_iter().map(Some).collect() }
}
