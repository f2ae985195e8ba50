//! A pad on a port that does not speak to it: the inputs of its chips tied to its own rails, or of a matrix that is to be
//! scanned one row made the common of its columns; and what its contacts show then.
//!
//! What a contact shows is found by pressing each control alone, with every contact seen through an input that takes
//! nothing. That only proposes: whether the lead plays is for its proof to say.

use std::collections::{BTreeMap, BTreeSet};

use solderside_lead::{Assembly, Join, Lead, Leg, PlayMap, State, Unbuilt};
use solderside_profile::{
    Action, Body, Control, Controller, ControllerRole, Fact as Known, InputCircuit, Inside, PartId, Port,
    PortContact, PortRole, Spot, Step, Supply,
};
use solderside_proof::answers;
use solderside_quantity::{Amps, Ohms, Triple, Volts};
use solderside_trade::{ContactId, Evidence, LegRole, LogicFamily};

use crate::plain::has_chips;

/// The pull-up with which a matrix is looked at: worn carbon is far below it, what leaks far above.
const LOOKED_THROUGH: Ohms = Ohms::literal(100e3);

/// With more inputs than this nothing is tied: there would be too many ways.
const MOST_INPUTS: usize = 4;

/// The supply and the return of the bench on which a pad is looked at: numbers beyond every connector's.
const BENCH: [ContactId; 2] = [ContactId::Number(u8::MAX), ContactId::Number(u8::MAX - 1)];

/// A pad's inputs tied or one of its rows led home, and what comes of it.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub(crate) struct Tied {
    /// The inputs, each with its level: true is high.
    pub(crate) ties: Vec<(ContactId, bool)>,
    /// The row that is led home, as a common is.
    pub(crate) home: Option<ContactId>,
    /// The contact that shows a control: low while it is pressed, and else high.
    pub(crate) shows: BTreeMap<Control, ContactId>,
    /// The contacts that the pad holds at a level by itself while nothing is pressed.
    pub(crate) held: BTreeSet<ContactId>,
}

impl Tied {
    /// The ways to tie a pad's inputs in which contacts show controls that act through what is inside.
    ///
    /// # Errors
    /// Says which value of the profile cannot be an element of a circuit.
    pub(crate) fn all(controller: &Controller) -> Result<Vec<Self>, Unbuilt> {
        let Some(inside) = &controller.inside else { return Ok(Vec::new()) };
        if controller.commons().is_empty() && !has_chips(controller) {
            return Self::of_matrix(controller);
        }
        let inputs = inputs(controller, inside);
        let is_fed = controller.supply().is_some() && !controller.commons().is_empty();
        if !is_fed || inputs.is_empty() || inputs.len() > MOST_INPUTS {
            return Ok(Vec::new());
        }
        let mut all = Vec::new();
        for levels in 0..1_usize << inputs.len() {
            let ties = inputs.iter().enumerate().map(|(at, input)| (*input, levels >> at & 1 == 1));
            let tied = Self { ties: ties.collect(), ..Self::default() }.seen(controller)?;
            if !tied.shows.is_empty() {
                all.push(tied);
            }
        }
        Ok(all)
    }

    /// The rows of a matrix that show the most directions while they are led home, then the most controls.
    fn of_matrix(controller: &Controller) -> Result<Vec<Self>, Unbuilt> {
        let wired = controller.contacts.iter().filter(|(_, contact)| is_wired(&contact.role));
        let seen = wired.map(|(id, _)| Self { home: Some(*id), ..Self::default() }.seen(controller));
        let mut all = seen.collect::<Result<Vec<Self>, Unbuilt>>()?;
        let worth = |tied: &Self| {
            let directions = tied.shows.keys().filter(|control| control.direction().is_some());
            (directions.count(), tied.shows.len())
        };
        let most = all.iter().map(worth).max().filter(|(_, shown)| *shown > 0);
        all.retain(|tied| Some(worth(tied)) == most);
        Ok(all)
    }

    /// The contacts that are tied or led home.
    pub(crate) fn contacts(&self) -> impl Iterator<Item = ContactId> {
        self.ties.iter().map(|(input, _)| *input).chain(self.home)
    }

    /// The joins that tie the inputs, each to a contact of the pad's own.
    pub(crate) fn joins<'c>(&'c self, controller: &'c Controller) -> impl Iterator<Item = Join> + 'c {
        self.ties.iter().filter_map(|(input, high)| {
            let rail = if *high { controller.supply() } else { controller.commons().first().copied() };
            Some(Join::new(Leg::controller(*input), Leg::controller(rail?)))
        })
    }

    /// The same with what is seen then: which contacts show controls that have none of their own.
    fn seen(mut self, controller: &Controller) -> Result<Self, Unbuilt> {
        let bench = self.on_the_bench(controller);
        let active = |pressed: &State| -> Result<BTreeMap<ContactId, bool>, Unbuilt> {
            let lines = answers(&bench, pressed)?.into_iter();
            Ok(lines.filter_map(|(leg, read)| Some((leg.contact, read.answer?))).collect())
        };
        let resting = active(&State::new())?;
        let mut shown: BTreeMap<ContactId, Vec<&Control>> = BTreeMap::new();
        for control in controller.controls() {
            let pressed = active(&State::from([control.clone()]))?;
            // Who cannot say what a control does at a contact has it among those that the contact shows.
            for (contact, _) in
                resting.iter().filter(|(contact, is_active)| pressed.get(contact) != Some(is_active))
            {
                shown.entry(*contact).or_default().push(control);
            }
        }
        for (contact, controls) in shown {
            if let ([control], Some(false)) = (controls.as_slice(), resting.get(&contact))
                && controller.contact_of(control).is_none()
            {
                self.shows.entry((*control).clone()).or_insert(contact);
            }
        }
        if self.home.is_none() {
            self.held = resting.into_keys().collect();
        }
        Ok(self)
    }

    /// The pad with its inputs tied, fed, and each other contact seen through an input of its own.
    fn on_the_bench(&self, controller: &Controller) -> Assembly {
        let sound = Known { evidence: Evidence::Assumed, source: "on the bench".to_owned() };
        let rail = Triple::exactly(Volts::literal(5.0));
        let supply = Supply {
            volts: rail,
            ohms: Triple::exactly(Ohms::literal(0.1)),
            ohms_stated: true,
            amps_max: Amps::literal(1.0),
            amps_max_stated: true,
        };
        let contact = |role: PortRole| PortContact::bare(role, sound.clone());
        let line = "line".to_owned();
        let input = InputCircuit {
            name: line.clone(),
            family: LogicFamily::Hc,
            pull_up: self.home.map(|_| Triple::exactly(LOOKED_THROUGH)),
            pull_down: None,
            charge: None,
            ramp: None,
            settle: None,
            fact: sound.clone(),
        };
        let is_tied =
            |id: &ContactId| self.home == Some(*id) || self.ties.iter().any(|(input, _)| input == id);
        let seen = controller.contacts.iter().filter(|(id, contact)| {
            (matches!(contact.role, ControllerRole::Control(_)) || is_wired(&contact.role)) && !is_tied(id)
        });
        let mut contacts = BTreeMap::new();
        let mut joins: Vec<Join> = self.joins(controller).collect();
        for (id, _) in seen {
            let Some(action) = Action::new(&format!("at-{id}")) else { continue };
            contacts.insert(*id, contact(PortRole::Action { action, input: line.clone() }));
            joins.push(Join::new(Leg::controller(*id), Leg::port(*id)));
        }
        let [fed, home] = BENCH;
        contacts.insert(fed, contact(PortRole::Supply(supply)));
        contacts.insert(home, contact(PortRole::Return));
        joins.extend(controller.supply().map(|own| Join::new(Leg::controller(own), Leg::port(fed))));
        joins.extend(
            controller
                .commons()
                .into_iter()
                .chain(self.home)
                .map(|own| Join::new(Leg::controller(own), Leg::port(home))),
        );
        let port = Port {
            name: "bench".to_owned(),
            title: "Bench".to_owned(),
            like: Vec::new(),
            connector: controller.connector,
            contacts,
            inputs: BTreeMap::from([(line, input)]),
            rail,
            rail_fact: sound.clone(),
            fire_order: Vec::new(),
            steps: vec![Step::default()],
            rest: None,
            hazard: None,
            bus: None,
            origin: controller.origin.clone(),
        };
        let mut assembly = Assembly::between(controller.clone(), port, PlayMap::default());
        assembly.lead = Lead { joins, ..assembly.lead };
        assembly.lead.settle();
        assembly
    }
}

fn is_wired(role: &ControllerRole) -> bool {
    matches!(role, ControllerRole::Wired { .. })
}

/// The contacts that lead to inputs of chips inside, and to nothing that gives a level.
fn inputs(controller: &Controller, inside: &Inside) -> Vec<ContactId> {
    let wired = controller.contacts.iter().filter(|(_, contact)| is_wired(&contact.role));
    let is_input = |contact: &ContactId| {
        let net = inside.net(Spot::Contact(*contact));
        let mut roles = net.iter().filter_map(|spot| role(inside, *spot)).peekable();
        roles.peek().is_some() && roles.all(|role| role == LegRole::Input)
    };
    wired.map(|(id, _)| *id).filter(is_input).collect()
}

/// What a chip's leg is for; none of what is no leg of a chip.
fn role(inside: &Inside, spot: Spot) -> Option<LegRole> {
    let Spot::Leg(id @ PartId::Chip(_), ContactId::Number(number)) = spot else { return None };
    let part = inside.parts.iter().find(|part| part.id == id)?;
    let Body::Chip(chip) = part.body else { return None };
    chip.sheet().legs.get(usize::from(number.checked_sub(1)?)).map(|leg| leg.role)
}
