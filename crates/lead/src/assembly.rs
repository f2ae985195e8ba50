//! A lead together with the two things that it is plugged into.

use std::collections::{BTreeMap, VecDeque};

use solderside_profile::{
    Action, ActiveLevel, Body, Cable, Control, Controller, ControllerContact, ControllerRole, InputCircuit,
    Level, PartId, Port, PortContact, PortRole, Spot, Step,
};
use solderside_trade::{ChipPart, Connector, ContactId, TransistorPart};

use crate::donor::{Donor, contacts, is_of_donor};
use crate::lead::{Cord, End, EndId, Holder, Join, Lead, Leg, Proved};

use crate::play::{PlayMap, default_map};
use crate::state::State;

/// A lead, its controllers in the order of their ends, and the port.
#[derive(Debug, Clone, PartialEq)]
pub struct Assembly {
    /// The lead.
    pub lead: Lead,
    /// What is plugged into its controller ends.
    pub controllers: Vec<Controller>,
    /// The port's own pad in which the lead ends, if it does: its plug goes into the port in place of an end of the lead.
    pub donor: Option<Donor>,
    /// What it is plugged into.
    pub port: Port,
}

/// A way through closed contacts and joins, leg by leg.
pub type Walk = Vec<Leg>;

/// What a join carries, in the order in which joins are served.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Job {
    /// Current on its way home.
    Return,
    /// The machine's supply.
    Supply,
    /// A line that the machine drives.
    Output,
    /// Anything else: a line that the machine reads.
    Line,
}

impl Assembly {
    /// Whether the machine listens for directions or measures them, and neither a control nor a pot gives any of them.
    pub fn plays_no_direction(&self) -> bool {
        let steered = self.port.steered();
        let own = self.port.actions().into_iter().filter(|action| action.direction().is_some());
        let mut wanted = own.chain(steered.iter().map(|(action, _)| action)).peekable();
        let is_moved = |contact: ContactId| {
            let reach = self.lead.reach(Leg::port(contact));
            let pot = |leg: Leg| self.controller_contact(leg).map(|contact| &contact.role);
            reach.into_iter().any(|leg| matches!(pot(leg), Some(ControllerRole::Pot(_))))
        };
        wanted.peek().is_some()
            && wanted.all(|action| self.lead.play.controls(action).is_empty())
            && !self.port.axes().any(|(contact, _)| is_moved(contact))
    }

    /// The controls that move an axis of the port to its low and to its high end, where none moves a pot there.
    pub fn steering(&self, contact: ContactId) -> Option<[Vec<Control>; 2]> {
        let own: Vec<Vec<Control>> = (self.port.steered().iter())
            .filter(|(_, id)| *id == contact)
            .map(|(action, _)| self.lead.play.controls(action).to_vec())
            .collect();
        let [low, high] = <[Vec<Control>; 2]>::try_from(own).ok()?;
        (!low.is_empty() || !high.is_empty()).then_some([low, high])
    }

    /// Puts a lead without joins between a controller and a port, with the connectors that mate.
    pub fn between(controller: Controller, port: Port, play: PlayMap) -> Self {
        let end = |id: EndId, profile: &str, theirs: Connector| End {
            id,
            profile: profile.to_owned(),
            connector: theirs.mate(),
        };
        let lead = Lead {
            name: format!("{}-to-{}", controller.name, port.name),
            title: format!("{} to {}", controller.title, port.title),
            ends: vec![
                end(EndId::Controller(0), &controller.name, controller.connector),
                end(EndId::Port, &port.name, port.connector),
            ],
            passes_through: false,
            may_be_empty: false,
            play,
            parts: Vec::new(),
            changeovers: Vec::new(),
            joins: Vec::new(),
            cord: Cord::COMMON,
            cable: None,
            proved: None,
        };
        Self { lead, controllers: vec![controller], donor: None, port }
    }

    /// Gives the lead a second controller end, for a controller whose controls have names of their own, or for one of
    /// which nothing is known; that end may pass the port's contacts through.
    pub fn add_second(&mut self, controller: Controller, passes_through: bool) {
        let id = EndId::Controller(1);
        let end = End { id, profile: controller.name.clone(), connector: controller.connector.mate() };
        let lead = &mut self.lead;
        lead.ends.insert(1.min(lead.ends.len()), end);
        lead.passes_through = passes_through;
        lead.may_be_empty = true;
        let name = if passes_through { "pass-through" } else { &controller.name };
        let through = if passes_through { "a pass-through for " } else { "" };
        lead.name = format!("{}-with-{name}", lead.name);
        lead.title = format!("{}, with {through}{}", lead.title, controller.title);
        self.controllers.push(controller);
    }

    /// The fingerprints of the profiles, to be kept with a lead that is proved against them; none without a controller.
    pub fn fingerprints(&self) -> Option<Proved> {
        let second = self.controllers.get(1).filter(|own| !own.contacts.is_empty());
        Some(Proved {
            controller: self.controllers.first()?.fingerprint(),
            second: second.map(Controller::fingerprint),
            port: self.port.fingerprint(),
            donor: self.donor.as_ref().map(|donor| donor.pad().fingerprint()),
            cable: self.lead.cable.as_ref().map(Cable::fingerprint),
        })
    }

    /// Puts a lead without joins of its own between a controller and a donor whose own plug is in the port.
    pub fn by_donor(controller: Controller, donor: Donor, port: Port, play: PlayMap) -> Self {
        let mut assembly = Self::between(controller, port, play);
        let pad = donor.pad();
        let end = End { id: EndId::Donor, profile: pad.name.clone(), connector: pad.connector };
        let lead = &mut assembly.lead;
        lead.name = format!("{}-by-{}", lead.name, pad.name);
        lead.title = format!("{} by the opened {}", lead.title, pad.title);
        lead.ends.retain(|end| end.id != EndId::Port);
        lead.ends.push(end);
        lead.joins.extend(donor.plug());
        lead.settle();
        assembly.donor = Some(donor);
        assembly
    }

    /// The same assembly with nobody ever touching the donor's own buttons; none without a donor.
    pub fn left_alone(&self) -> Option<Self> {
        let donor = self.donor.clone()?.left_alone();
        Some(Self { donor: Some(donor), ..self.clone() })
    }

    /// The contacts of the port that a point of the donor is one with.
    pub fn beyond(&self, point: Leg) -> Vec<Leg> {
        let net = self.donor.as_ref().map(|donor| donor.net(point)).unwrap_or_default();
        let plugged = contacts(&net).flat_map(|contact| self.lead.joined(Leg::plug(contact)));
        plugged.filter(|leg| leg.end == EndId::Port).collect()
    }

    /// The points of the donor's switch that performs an action in this port, as its own lead has it; none without a
    /// donor, and where it has no such switch.
    pub fn point_for(&self, action: &Action) -> Option<[Leg; 2]> {
        let donor = self.donor.as_ref()?;
        let play = default_map(donor.pad(), &self.port);
        donor.points_of(play.controls(action).first()?)
    }

    /// The controllers, and the donor after them, with what they are.
    pub fn holders(&self) -> impl Iterator<Item = (Holder, &Controller)> {
        let controllers = (0..).map(Holder::Controller).zip(&self.controllers);
        controllers.chain(self.donor.iter().map(|donor| (Holder::Donor, donor.pad())))
    }

    /// The controller at an end; at a donor's the donor.
    pub fn controller(&self, end: EndId) -> Option<&Controller> {
        match end {
            EndId::Controller(at) => self.controllers.get(usize::from(at)),
            EndId::Donor => self.donor.as_ref().map(Donor::pad),
            EndId::Part(_) | EndId::Inside(..) | EndId::Switch(_) | EndId::Port => None,
        }
    }

    /// The controllers with their ends.
    pub fn controllers(&self) -> impl Iterator<Item = (EndId, &Controller)> {
        (0..).map(EndId::Controller).zip(&self.controllers)
    }

    /// The connector that the machine or the controller itself has at an end; a donor's plug goes into the machine.
    pub fn theirs(&self, end: EndId) -> Option<Connector> {
        match end {
            EndId::Controller(_) => self.controller(end).map(|controller| controller.connector),
            EndId::Part(_) | EndId::Inside(..) | EndId::Switch(_) => None,
            EndId::Donor | EndId::Port => Some(self.port.connector),
        }
    }

    /// What is known of a controller's contact.
    pub fn controller_contact(&self, leg: Leg) -> Option<&ControllerContact> {
        self.controller(leg.end)?.contacts.get(&leg.contact)
    }

    /// What is known of a port's contact.
    pub fn port_contact(&self, leg: Leg) -> Option<&PortContact> {
        if leg.end == EndId::Port { self.port.contacts.get(&leg.contact) } else { None }
    }

    /// What a leg is for, in words: `up`, `common`, `supply`, `1N4148 cathode`; empty where nothing is known.
    pub fn function(&self, leg: Leg) -> String {
        if let Some(part) = leg.part_id().and_then(|id| self.lead.part(id)) {
            return match part.body {
                Body::Diode(diode) => format!("{diode} {}", part.id().leg_name(leg.contact)),
                Body::Resistor(_) | Body::Capacitor(_) => part.body.to_string(),
                Body::Transistor(transistor) => format!("{transistor} {}", part.id().leg_name(leg.contact)),
                Body::Changeover(_) => self.function_of_switch(part.id(), leg.contact),
                Body::Chip(chip) => match leg.contact {
                    ContactId::Number(number) => {
                        let name = chip.sheet().leg(number).map_or("", |leg| leg.name);
                        format!("{chip} {name}").trim_end().to_owned()
                    }
                    ContactId::Letter(_) | ContactId::Shell => chip.to_string(),
                },
            };
        }
        if let Some((control, is_common)) = self.donor.as_ref().and_then(|donor| donor.function(leg)) {
            return if is_common { format!("common of {control}") } else { control.to_string() };
        }
        if let Some(contact) = self.controller_contact(leg) {
            return match &contact.role {
                ControllerRole::Control(control) => control.to_string(),
                ControllerRole::Common => "common".to_owned(),
                ControllerRole::Pot(pot) => format!("axis {}", pot.axis),
                ControllerRole::Wired { called } => called.clone(),
                ControllerRole::Supply => "supply".to_owned(),
                ControllerRole::DoNotConnect => "do not connect".to_owned(),
                ControllerRole::Unused => "unused".to_owned(),
            };
        }
        let contact = self.port_contact(leg);
        let called = |word: &str| {
            contact.and_then(|contact| contact.called.clone()).unwrap_or_else(|| word.to_owned())
        };
        match contact.map(|contact| &contact.role) {
            Some(PortRole::Action { action, .. }) => action.to_string(),
            Some(PortRole::Data { .. }) => called("data"),
            Some(PortRole::Axis(axis)) => format!("axis {}", axis.axis),
            Some(PortRole::Sense { .. }) => "sense".to_owned(),
            Some(PortRole::Supply(_)) => "supply".to_owned(),
            Some(PortRole::Fed(_)) => "fed".to_owned(),
            Some(PortRole::Signal(_)) => "signal".to_owned(),
            Some(PortRole::Return) => "return".to_owned(),
            Some(PortRole::Drive(_)) => called("output"),
            Some(PortRole::Pot) => "pot".to_owned(),
            Some(PortRole::Unused) => "unused".to_owned(),
            None if leg.contact == ContactId::Shell => "shell".to_owned(),
            None => String::new(),
        }
    }

    /// What a leg of a switch is for: `mode common`, `mode as-up`.
    fn function_of_switch(&self, id: PartId, contact: ContactId) -> String {
        let Some(switch) = self.lead.changeover(id) else { return id.leg_name(contact) };
        let name = id.leg_name(contact);
        let position = match name.trim_end_matches("-b") {
            "first" => &switch.positions[0].name,
            "second" => &switch.positions[1].name,
            _ => "common",
        };
        format!("{} {position}", switch.called)
    }

    /// What a join carries.
    pub fn job(&self, join: Join) -> Job {
        let legs: Vec<Leg> =
            [join.from, join.to].into_iter().flat_map(|leg| [vec![leg], self.beyond(leg)].concat()).collect();
        let roles = || legs.iter().filter_map(|leg| self.port_contact(*leg));
        let reaches = |wanted: fn(&PortRole) -> bool| roles().any(|contact| wanted(&contact.role));
        if reaches(|role| matches!(role, PortRole::Supply(_))) {
            Job::Supply
        } else if reaches(|role| *role == PortRole::Return) {
            Job::Return
        } else if reaches(|role| matches!(role, PortRole::Drive(_))) {
            Job::Output
        } else {
            Job::Line
        }
    }

    /// The controls whose contacts are joined to something, in the controllers' order.
    pub fn joined_controls(&self) -> Vec<Control> {
        let mut joined = Vec::new();
        for (end, controller) in self.controllers() {
            for control in controller.controls() {
                let is_joined = match controller.contact_of(control) {
                    Some(contact) => self.lead.joined(Leg { end, contact }).next().is_some(),
                    // A switch inside moves what the parts inside do to any wired contact.
                    None => self.uses_inside(end),
                };
                if is_joined {
                    joined.push(control.clone());
                }
            }
        }
        joined
    }

    /// Whether something is joined to the parts inside a controller.
    pub fn uses_inside(&self, end: EndId) -> bool {
        let is_joined = |contact| self.lead.joined(Leg { end, contact }).next().is_some();
        let wired = self.controller(end).into_iter().flat_map(|controller| &controller.contacts);
        let mut wired = wired.filter(|(_, contact)| matches!(contact.role, ControllerRole::Wired { .. }));
        wired.any(|(id, _)| is_joined(*id))
    }

    /// The chips of the lead and those inside its controllers, with the end that their legs have.
    pub fn chips(&self) -> Vec<(EndId, ChipPart)> {
        let chip = |(end, body)| if let Body::Chip(chip) = body { Some((end, chip)) } else { None };
        self.bodies().filter_map(chip).collect()
    }

    /// The transistors of the lead and those inside its controllers, with the end that their legs have.
    pub fn transistors(&self) -> Vec<(EndId, TransistorPart)> {
        let transistor =
            |(end, body)| if let Body::Transistor(part) = body { Some((end, part)) } else { None };
        self.bodies().filter_map(transistor).collect()
    }

    /// The parts of the lead and those inside its controllers, with the end that their legs have.
    fn bodies(&self) -> impl Iterator<Item = (EndId, Body)> {
        let in_lead = self.lead.parts.iter().map(|part| (EndId::Part(part.id()), part.body));
        let inside = self.holders().flat_map(|(holder, controller)| {
            let parts = controller.inside.iter().flat_map(|inside| &inside.parts);
            parts.map(move |part| (EndId::Inside(holder, part.id), part.body))
        });
        in_lead.chain(inside)
    }

    /// Whether chips whose insides are known stand between the controls and the machine: in the lead or in a
    /// controller.
    pub fn has_logic(&self) -> bool {
        let in_lead = self.lead.parts.iter().any(|part| part.body.switches());
        let inside = self.holders().flat_map(|(_, controller)| &controller.inside);
        in_lead || inside.flat_map(|inside| &inside.parts).any(|part| part.body.switches())
    }

    /// Whether a controller's chips must have their supply: always if they drive all of its contacts, else
    /// while one that they drive is joined to something.
    pub fn uses_chips(&self, end: EndId) -> bool {
        let Some(controller) = self.controller(end) else { return false };
        let Some(logic) = &controller.logic else { return false };
        let is_joined = |contact| self.lead.joined(Leg { end, contact }).next().is_some();
        logic.drives.as_ref().is_none_or(|drives| {
            drives.iter().filter_map(|control| controller.contact_of(control)).any(is_joined)
        })
    }

    /// Whether a leg is where a line is pulled when its switch closes, in this step: true ground, an output
    /// held low, a line that a key of the machine's own holds low; where a high is active the supply, or an
    /// output held high.
    pub fn is_home(&self, leg: Leg, active: ActiveLevel, step: &Step) -> bool {
        let driven = |level: Level| step.drives.get(&leg.contact) == Some(&level);
        match (self.port_contact(leg).map(|contact| &contact.role), active) {
            (Some(PortRole::Return), ActiveLevel::Low) | (Some(PortRole::Supply(_)), ActiveLevel::High) => {
                true
            }
            (Some(PortRole::Drive(_)), ActiveLevel::Low) => driven(Level::Low),
            (Some(PortRole::Drive(_)), ActiveLevel::High) => driven(Level::High),
            (Some(PortRole::Action { action, .. }), ActiveLevel::Low) => step.held.contains(action),
            (
                Some(
                    PortRole::Action { .. }
                    | PortRole::Data { .. }
                    | PortRole::Sense { .. }
                    | PortRole::Axis(_)
                    | PortRole::Supply(_)
                    | PortRole::Fed(_)
                    | PortRole::Signal(_)
                    | PortRole::Return
                    | PortRole::Pot
                    | PortRole::Unused,
                )
                | None,
                _,
            ) => false,
        }
    }

    /// Finds the shortest way from a leg to where it would be pulled if its switch closed, through joins, parts
    /// that let the current through, and the switches that a state closes; among equally short ones the first
    /// by leg.
    pub fn way_home(&self, from: Leg, state: &State, step: &Step) -> Option<Walk> {
        let active = self.active_level(from);
        let mut came: BTreeMap<Leg, Leg> = BTreeMap::new();
        let mut queue = VecDeque::from([from]);
        while let Some(leg) = queue.pop_front() {
            if self.is_home(leg, active, step) && leg != from {
                let mut walk = vec![leg];
                let mut at = leg;
                while let Some(before) = came.get(&at).filter(|_| at != from) {
                    walk.push(*before);
                    at = *before;
                }
                walk.reverse();
                return Some(walk);
            }
            for next in self.beside(leg, active, state) {
                if next != from && !came.contains_key(&next) {
                    came.insert(next, leg);
                    queue.push_back(next);
                }
            }
        }
        None
    }

    /// The level at which a contact's line is active.
    pub fn active_level(&self, leg: Leg) -> ActiveLevel {
        let input = if leg.end == EndId::Port { self.port.input_of(leg.contact) } else { None };
        input.map_or(ActiveLevel::Low, InputCircuit::active_level)
    }

    /// The legs to which current goes on from a leg in a state, or from which it comes where a high is active.
    fn beside(&self, leg: Leg, active: ActiveLevel, state: &State) -> Vec<Leg> {
        let mut beside: Vec<Leg> = self.lead.joined(leg).collect();
        beside.extend(self.lead.across(leg).filter(|_| leg.leads_on(active)));
        beside.extend(self.beside_inside(leg, active, state));
        if is_of_donor(leg) || matches!(leg.end, EndId::Inside(Holder::Donor, _)) {
            let ties = self.donor.iter().flat_map(Donor::ties).flat_map(|(_, ties)| ties);
            beside.extend(
                ties.filter_map(|[one, other]| {
                    (one == leg).then_some(other).or((other == leg).then_some(one))
                }),
            );
        }
        // A donor's own switches are not pressed.
        let own = State::new();
        let state = if leg.end == EndId::Donor { &own } else { state };
        if let Some(controller) = self.controller(leg.end) {
            let at = |contact: ContactId| Leg { end: leg.end, contact };
            match controller.contacts.get(&leg.contact).map(|contact| &contact.role) {
                Some(ControllerRole::Control(control)) if state.contains(control) => {
                    beside.extend(controller.commons_of(control).into_iter().map(at));
                }
                Some(ControllerRole::Common) => {
                    let nets = controller.common_nets().into_iter();
                    let net = nets.filter(|net| net.contains(&leg.contact)).flatten().map(at);
                    beside.extend(net.filter(|other| *other != leg));
                    let closed =
                        state.iter().filter(|control| controller.commons_of(control).contains(&leg.contact));
                    beside.extend(closed.filter_map(|control| controller.contact_of(control)).map(at));
                }
                // A pot is no way home: it is a resistance, and no switch.
                Some(
                    ControllerRole::Control(_)
                    | ControllerRole::Pot(_)
                    | ControllerRole::Wired { .. }
                    | ControllerRole::Supply
                    | ControllerRole::DoNotConnect
                    | ControllerRole::Unused,
                )
                | None => {}
            }
        }
        beside
    }

    /// The legs and contacts to which current goes on inside a controller of which that is known part by part.
    fn beside_inside(&self, leg: Leg, active: ActiveLevel, state: &State) -> Vec<Leg> {
        let own = match leg.end {
            EndId::Controller(own) => Holder::Controller(own),
            EndId::Inside(own, _) => own,
            EndId::Donor => Holder::Donor,
            EndId::Part(_) | EndId::Switch(_) | EndId::Port => return Vec::new(),
        };
        let Some(inside) = self.controller(own.end()).and_then(|own| own.inside.as_ref()) else {
            return Vec::new();
        };
        let at = |spot: Spot| own.leg(spot);
        // Nobody presses a donor's own switches.
        let is_closed = |control: &Control| own != Holder::Donor && state.contains(control);
        let closed = inside.switches.iter().filter(|switch| is_closed(&switch.control));
        let mut ways: Vec<[Leg; 2]> = inside.joins.iter().map(|join| join.map(at)).collect();
        ways.extend(closed.map(|switch| switch.between.map(at)));
        let mut beside: Vec<Leg> = Vec::new();
        for [one, other] in ways {
            beside.extend((one == leg).then_some(other).or((other == leg).then_some(one)));
        }
        for part in &inside.parts {
            let [anode, cathode] = [PartId::ANODE, PartId::CATHODE].map(|end| at(Spot::Leg(part.id, end)));
            let both = [(anode, cathode), (cathode, anode)];
            let [enters, leaves] = match active {
                ActiveLevel::Low => [anode, cathode],
                ActiveLevel::High => [cathode, anode],
            };
            beside.extend(match part.body {
                Body::Diode(_) => (leg == enters).then_some(leaves),
                Body::Resistor(_) => both.into_iter().find(|(from, _)| *from == leg).map(|(_, to)| to),
                Body::Capacitor(_) | Body::Transistor(_) | Body::Chip(_) | Body::Changeover(_) => None,
            });
        }
        beside
    }

    /// The same assembly with one join broken.
    #[must_use]
    pub fn without(&self, join: &Join) -> Self {
        let mut broken = self.clone();
        broken.lead.joins.retain(|other| other != join);
        broken
    }
}
