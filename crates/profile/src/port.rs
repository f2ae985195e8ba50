//! The connector on the machine, and how the machine reads it.

use std::collections::BTreeMap;

use solderside_quantity::{Amps, Farads, Ohms, Seconds, Triple, Volts};
use solderside_trade::{Bus, Connector, ContactId, LogicFamily};

use crate::fact::Fact;
use crate::fingerprint::{Canonical, exact, exact_triple};
use crate::heading::Origin;
use crate::share::Share;
use crate::word::{Action, Axis, Direction, in_order};

/// A port that was read and checked.
///
/// Promises of a checked port: each contact is one that its connector has, each action and each axis has
/// one contact, every `input` named by a contact is in `inputs` and has a [`Ramp`] if and only if it is an
/// axis's, there is at least one step, steps drive contacts that are `Drive`, read contacts that are
/// `Data`, expect levels where there is an input and name actions that exist, each action and each `Data`
/// contact is read by a step, the fire order names actions once, and only a contact with an input is
/// `driven`. A port with a `hazard` or a `bus` has no actions; every other has at least one, or an axis.
#[derive(Debug, Clone, PartialEq)]
pub struct Port {
    /// The profile's name.
    pub name: String,
    /// What it is called on paper.
    pub title: String,
    /// The profiles that it starts from, nearest first.
    pub like: Vec<String>,
    /// The machine's own connector.
    pub connector: Connector,
    /// What is known of its contacts; a contact that is absent is unknown and stays unconnected.
    pub contacts: BTreeMap<ContactId, PortContact>,
    /// The electrical classes of its inputs, by name.
    pub inputs: BTreeMap<String, InputCircuit>,
    /// The rail inside the machine on which its pull-ups hang.
    pub rail: Triple<Volts>,
    /// Where that comes from.
    pub rail_fact: Fact,
    /// Its fire actions, the first first.
    pub fire_order: Vec<Action>,
    /// The machine's reading script.
    pub steps: Vec<Step>,
    /// How long it moves none of its lines between two readings, if that is known.
    pub rest: Option<Triple<Seconds>>,
    /// What this socket is instead, if it is none for a controller.
    pub hazard: Option<String>,
    /// The protocol that it speaks instead of looking at levels.
    pub bus: Option<Bus>,
    /// Where the profile comes from.
    pub origin: Origin,
}

/// A contact of a port.
#[derive(Debug, Clone, PartialEq)]
pub struct PortContact {
    /// What it is for.
    pub role: PortRole,
    /// Where that comes from.
    pub fact: Fact,
    /// What it stands; what is not stated takes its family's default.
    pub limits: Limits,
    /// To what level the machine can also drive it, at other times than it reads it.
    pub driven: Option<Driven>,
    /// What the trade calls a line that has no action of its own: `select`, `latch`, `data`.
    pub called: Option<String>,
    /// What else there is to say.
    pub note: Option<String>,
}

/// What a contact of a port is for.
#[derive(Debug, Clone, PartialEq)]
pub enum PortRole {
    /// The machine listens here for an action.
    Action {
        /// What it listens for.
        action: Action,
        /// The class of input, a key of [`Port::inputs`].
        input: String,
    },
    /// The machine listens here for what its steps say: for one action in this step, for another in that.
    Data {
        /// The class of input, a key of [`Port::inputs`].
        input: String,
    },
    /// An input that is not read as an action.
    Sense {
        /// The class of input, a key of [`Port::inputs`].
        input: String,
    },
    /// Feeds what is plugged in.
    Supply(Supply),
    /// The machine itself is powered here: never a source for a lead.
    Fed(Supply),
    /// The output of some other interface, which stands or swings between these voltages.
    Signal(Supply),
    /// True ground.
    Return,
    /// An output that the steps drive, of this family.
    Drive(LogicFamily),
    /// The machine measures here how far an axis stands, by how long its pot takes to charge a capacitor.
    Axis(AxisInput),
    /// An analogue input: a plain digital lead never joins it.
    Pot,
    /// Leads nowhere.
    Unused,
}

/// Where the machine measures an axis.
#[derive(Debug, Clone, PartialEq)]
pub struct AxisInput {
    /// What it measures.
    pub axis: Axis,
    /// The class of input, a key of [`Port::inputs`], which has a [`Ramp`].
    pub input: String,
    /// What a pot of this port has at the end of its travel.
    pub full_scale: Ohms,
    /// The shortest and the longest time that the machine can measure.
    pub reads: (Seconds, Seconds),
    /// The end of the travel at which it expects the shortest time, if that is known.
    pub low_end: Option<Direction>,
}

/// A contact with a voltage of its own.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Supply {
    /// Its voltage without load.
    pub volts: Triple<Volts>,
    /// What stands between it and the machine's own supply.
    pub ohms: Triple<Ohms>,
    /// Whether the file states `ohms`; else they are assumed.
    pub ohms_stated: bool,
    /// The most that may be taken from it.
    pub amps_max: Amps,
    /// Whether the file states `amps_max`; else it is assumed.
    pub amps_max_stated: bool,
}

impl Supply {
    /// What a supply of which only the voltage is known stands behind: a track, a choke or a
    /// polyfuse (assumed, no source).
    pub const ASSUMED_OHMS: Triple<Ohms> = Triple::<Ohms>::literal(0.1, 0.5, 2.0);
    /// The lowest figure published for any nine-pin port: *C64 Control Port*, The Hardware Book.
    pub const ASSUMED_AMPS_MAX: Amps = Amps::literal(0.05);
}

/// An electrical class of input, shared by contacts.
#[derive(Debug, Clone, PartialEq)]
pub struct InputCircuit {
    /// Its name in the file.
    pub name: String,
    /// The family of the chip behind it.
    pub family: LogicFamily,
    /// The resistance from the contact to the rail, if there is one.
    pub pull_up: Option<Triple<Ohms>>,
    /// The resistance from the contact to the return, if there is one: then a high is active.
    pub pull_down: Option<Triple<Ohms>>,
    /// How it is read if not as a level: then what charges it in time is active.
    pub charge: Option<Charge>,
    /// How the time that an axis takes comes about, if it is an axis's: then it has no level.
    pub ramp: Option<Ramp>,
    /// How long its line takes until it can be read, if that is known: what the machine has on it makes it slow.
    pub settle: Option<Triple<Seconds>>,
    /// Where that comes from.
    pub fact: Fact,
}

/// An input that the machine discharges, and of which it then reads whether it charges in time.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Charge {
    /// What is charged.
    pub farads: Triple<Farads>,
    /// The time within which it must reach a high.
    pub seconds: Triple<Seconds>,
}

/// What a pot charges, and how far: the time that this takes tells how far an axis stands.
///
/// R from the rail charges C through the machine's own resistance up to a share of the rail:
/// t = (R + series) · C · ln(1 / (1 − threshold)).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Ramp {
    /// What is charged.
    pub farads: Triple<Farads>,
    /// What stands in the machine between the contact and the capacitor.
    pub series: Triple<Ohms>,
    /// Where the machine takes it for charged, as a share of the rail.
    pub threshold: Triple<Share>,
}

/// What a contact stands, as far as it is stated.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Limits {
    /// The lowest and the highest voltage that may be put on it.
    pub volts: Option<(Volts, Volts)>,
    /// The most that may flow into it.
    pub sink_amps: Option<Amps>,
    /// The most that may flow out of it.
    pub source_amps: Option<Amps>,
}

/// One step of the reading script.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Step {
    /// Its name.
    pub name: String,
    /// What the machine does to the contacts that it drives; one that is left out is released.
    pub drives: BTreeMap<ContactId, Level>,
    /// How long the machine waits before it reads, if that is known.
    pub hold: Option<Triple<Seconds>>,
    /// The actions that it reads of those that have a contact of their own; all of these if not stated.
    pub samples: Option<Vec<Action>>,
    /// What each `Data` contact is read for.
    pub reads: BTreeMap<ContactId, Action>,
    /// Contacts that have a fixed level here, whatever is pressed: by these the machine knows what is plugged in.
    pub expects: BTreeMap<ContactId, Level>,
    /// The actions whose lines it reads for something else: whatever is pressed, they must be idle here.
    pub quiet: Vec<Action>,
    /// The actions whose lines a key of the machine's own keyboard holds low here, through another row.
    pub held: Vec<Action>,
}

/// What a machine does to a contact that it drives.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Level {
    /// Pulled to the return.
    Low,
    /// Pulled to the rail.
    High,
    /// Let go.
    Released,
}

/// The level of an input that a machine takes for pressed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ActiveLevel {
    /// Idle lines are pulled up, and switches close to the return.
    Low,
    /// Idle lines are pulled down or discharged, and switches close to the supply.
    High,
}

/// To what level a machine can also drive a line that it reads.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Driven {
    /// Low only: an open output beside the input.
    Low,
    /// High only.
    High,
    /// Either.
    Both,
}

impl Driven {
    /// All of them.
    pub const ALL: [Self; 3] = [Self::Low, Self::High, Self::Both];

    /// Returns the word of files and screens.
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::Low => "low",
            Self::High => "high",
            Self::Both => "both",
        }
    }

    /// The levels that it stands for.
    pub const fn levels(self) -> &'static [Level] {
        match self {
            Self::Low => &[Level::Low],
            Self::High => &[Level::High],
            Self::Both => &[Level::Low, Level::High],
        }
    }
}

impl Level {
    /// All levels.
    pub const ALL: [Self; 3] = [Self::Low, Self::High, Self::Released];

    /// Returns the word of files and screens.
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::Low => "low",
            Self::High => "high",
            Self::Released => "released",
        }
    }
}

impl Port {
    /// Returns the actions: directions, then the fire order, then the others by name.
    pub fn actions(&self) -> Vec<&Action> {
        let own = self.contacts.values().filter_map(PortContact::action);
        let read = self.steps.iter().flat_map(|step| step.reads.values());
        let mut actions = in_order(own.chain(read), &self.fire_order);
        actions.dedup();
        actions
    }

    /// Returns the directions that the machine measures as axes, each with the contact that measures it: the one of the
    /// shortest time first. Those with a contact of their own are none of them, and where several axes measure one
    /// direction the first has it.
    pub fn steered(&self) -> Vec<(Action, ContactId)> {
        let own = self.actions();
        let of_axis = |(id, axis): (ContactId, &AxisInput)| {
            let low = axis.low_end?;
            let action = |end: Direction| Action::new(end.as_str()).map(|action| (action, id));
            Some([action(low)?, action(low.opposite())?])
        };
        let mut steered: Vec<(Action, ContactId)> = Vec::new();
        for ends in self.axes().filter_map(of_axis) {
            let is_taken =
                |action: &Action| own.contains(&action) || steered.iter().any(|(other, _)| other == action);
            if !ends.iter().any(|(action, _)| is_taken(action)) {
                steered.extend(ends);
            }
        }
        steered
    }

    /// Returns the contact of an action: its own, or that of the steps that read it.
    pub fn contact_of(&self, action: &Action) -> Option<ContactId> {
        let own = self.contacts.iter().find(|(_, contact)| contact.action() == Some(action));
        let read = || {
            let mut reads = self.steps.iter().flat_map(|step| &step.reads);
            reads.find(|(_, read)| *read == action)
        };
        own.map(|(id, _)| *id).or_else(|| read().map(|(id, _)| *id))
    }

    /// Returns what a step reads, contact by contact.
    pub fn samples<'p>(&'p self, step: &'p Step) -> Vec<(ContactId, &'p Action)> {
        let sampled = |action: &Action| step.samples.as_ref().is_none_or(|samples| samples.contains(action));
        let read = |(id, contact): (&ContactId, &'p PortContact)| {
            let action = contact.action().filter(|action| sampled(action)).or_else(|| step.reads.get(id))?;
            Some((*id, action))
        };
        self.contacts.iter().filter_map(read).collect()
    }

    /// Returns the contacts at which the machine measures axes.
    pub fn axes(&self) -> impl Iterator<Item = (ContactId, &AxisInput)> {
        self.contacts.iter().filter_map(|(id, contact)| {
            if let PortRole::Axis(axis) = &contact.role { Some((*id, axis)) } else { None }
        })
    }

    /// Returns the contacts that are true ground.
    pub fn returns(&self) -> Vec<ContactId> {
        let grounds = self.contacts.iter().filter(|(_, contact)| contact.role == PortRole::Return);
        grounds.map(|(id, _)| *id).collect()
    }

    /// Returns the contacts that feed what is plugged in.
    pub fn supplies(&self) -> Vec<(ContactId, &Supply)> {
        self.contacts.iter().filter_map(|(id, contact)| Some((*id, contact.supply()?))).collect()
    }

    /// Returns the contacts to which a switch closes its action: the returns, and where a high is active
    /// the supplies.
    pub fn closes_to(&self, action: &Action) -> Vec<ContactId> {
        let input = self.contact_of(action).and_then(|contact| self.input_of(contact));
        if input.is_some_and(|input| input.active_level() == ActiveLevel::High) {
            self.supplies().into_iter().map(|(id, _)| id).collect()
        } else {
            self.returns()
        }
    }

    /// Returns the family of the outputs that the steps drive, the first one's if they differ.
    pub fn drive_family(&self) -> Option<LogicFamily> {
        self.contacts.values().find_map(|contact| contact.role.family())
    }

    /// Returns the class of input of a contact, whatever the machine reads there.
    pub fn input_of(&self, contact: ContactId) -> Option<&InputCircuit> {
        self.inputs.get(self.contacts.get(&contact)?.role.input()?)
    }

    /// Returns sixteen digits that change when anything electrical does: not with the title, the
    /// notes, the evidence, the fire order, the names of inputs or the place of the file.
    pub fn fingerprint(&self) -> String {
        let mut text = Canonical::default();
        text.line(&["port", &self.connector.to_string()]);
        text.line(&["rail", &exact_triple(self.rail)]);
        for (contact_id, contact) in &self.contacts {
            let id = contact_id.to_string();
            match &contact.role {
                PortRole::Action { action, .. } => text.line(&[&id, "action", action.as_str()]),
                PortRole::Data { .. } => text.line(&[&id, "data"]),
                PortRole::Sense { .. } => text.line(&[&id, "sense"]),
                PortRole::Supply(supply) => supply.describe(&id, "supply", &mut text),
                PortRole::Fed(supply) => supply.describe(&id, "fed", &mut text),
                PortRole::Signal(supply) => supply.describe(&id, "signal", &mut text),
                PortRole::Return => text.line(&[&id, "return"]),
                PortRole::Drive(family) => text.line(&[&id, "drive", family.as_str()]),
                PortRole::Axis(AxisInput { axis, input: _, full_scale, reads: (least, most), low_end }) => {
                    let reads = [exact(*least), exact(*most)].join(" ");
                    text.line(&[&id, "axis", axis.as_str(), &exact(*full_scale), &reads]);
                    if let Some(low_end) = low_end {
                        text.line(&["low", low_end.as_str()]);
                    }
                }
                PortRole::Pot => text.line(&[&id, "pot"]),
                PortRole::Unused => text.line(&[&id, "unused"]),
            }
            if let Some(input) = self.input_of(*contact_id) {
                let pull_up = input.pull_up.map_or_else(|| "none".to_owned(), exact_triple);
                text.line(&["input", input.family.as_str(), &pull_up]);
                if let Some(pull_down) = input.pull_down {
                    text.line(&["pull down", &exact_triple(pull_down)]);
                }
                if let Some(charge) = input.charge {
                    text.line(&["charge", &exact_triple(charge.farads), &exact_triple(charge.seconds)]);
                }
                if let Some(settle) = input.settle {
                    text.line(&["settle", &exact_triple(settle)]);
                }
                if let Some(Ramp { farads, series, threshold }) = input.ramp {
                    text.line(&[
                        "ramp",
                        &exact_triple(farads),
                        &exact_triple(series),
                        &exact_triple(threshold),
                    ]);
                }
            }
            contact.limits.describe(&mut text);
            if let Some(driven) = contact.driven {
                text.line(&["driven", driven.as_str()]);
            }
        }
        if let Some(rest) = self.rest {
            text.line(&["rest", &exact_triple(rest)]);
        }
        for step in &self.steps {
            text.line(&["step", &step.name]);
            for (id, level) in &step.drives {
                text.line(&["drive", &id.to_string(), level.as_str()]);
            }
            if let Some(hold) = step.hold {
                text.line(&["hold", &exact_triple(hold)]);
            }
            for (id, action) in &step.reads {
                text.line(&["read", &id.to_string(), action.as_str()]);
            }
            for (id, level) in &step.expects {
                text.line(&["expect", &id.to_string(), level.as_str()]);
            }
            // No line is all actions, a line without names is none.
            if let Some(samples) = &step.samples {
                let names = samples.iter().map(Action::as_str);
                text.line(&["sample"].into_iter().chain(names).collect::<Vec<_>>());
            }
            for (word, actions) in [("quiet", &step.quiet), ("held", &step.held)] {
                if !actions.is_empty() {
                    let names = actions.iter().map(Action::as_str);
                    text.line(&[word].into_iter().chain(names).collect::<Vec<_>>());
                }
            }
        }
        text.digest()
    }
}

impl PortRole {
    /// The class of input that it names.
    pub fn input(&self) -> Option<&str> {
        if let Self::Action { input, .. }
        | Self::Data { input }
        | Self::Sense { input }
        | Self::Axis(AxisInput { input, .. }) = self
        {
            Some(input)
        } else {
            None
        }
    }

    /// The family of an output that the steps drive.
    pub const fn family(&self) -> Option<LogicFamily> {
        if let Self::Drive(family) = self { Some(*family) } else { None }
    }
}

impl PortContact {
    /// A contact of which nothing is known but what it is for.
    pub fn bare(role: PortRole, fact: Fact) -> Self {
        Self { role, fact, limits: Limits::default(), driven: None, called: None, note: None }
    }

    /// Returns the action that the machine listens for here in all steps.
    pub fn action(&self) -> Option<&Action> {
        if let PortRole::Action { action, .. } = &self.role { Some(action) } else { None }
    }

    /// Returns the supply that stands here.
    pub fn supply(&self) -> Option<&Supply> {
        if let PortRole::Supply(supply) = &self.role { Some(supply) } else { None }
    }

    /// Returns the voltage of its own that stands here: a supply's, a fed contact's or a signal's.
    pub fn voltage(&self) -> Option<&Supply> {
        if let PortRole::Supply(supply) | PortRole::Fed(supply) | PortRole::Signal(supply) = &self.role {
            Some(supply)
        } else {
            None
        }
    }
}

impl PortRole {
    /// Whether it feeds what is plugged in, be it only a pot.
    pub const fn feeds(&self) -> bool {
        matches!(self, Self::Supply(_) | Self::Signal(_))
    }
}

impl InputCircuit {
    /// The level that the machine takes for pressed.
    pub const fn active_level(&self) -> ActiveLevel {
        if self.pull_down.is_some() || self.charge.is_some() { ActiveLevel::High } else { ActiveLevel::Low }
    }
}

impl Supply {
    fn describe(&self, id: &str, word: &str, text: &mut Canonical) {
        text.line(&[id, word, &exact_triple(self.volts)]);
        text.line(&["ohms", &exact_triple(self.ohms)]);
        text.line(&["amps", &exact(self.amps_max)]);
    }
}

impl Limits {
    fn describe(&self, text: &mut Canonical) {
        if let Some((low, high)) = self.volts {
            text.line(&["limit volts", &exact(low), &exact(high)]);
        }
        for (word, amps) in [("sink", self.sink_amps), ("source", self.source_amps)] {
            if let Some(amps) = amps {
                text.line(&["limit", word, &exact(amps)]);
            }
        }
    }
}
