//! The connector on the machine, and how the machine reads it.

use std::collections::BTreeMap;

use solderside_quantity::{Amps, Farads, Ohms, Seconds, Triple, Volts};
use solderside_trade::{Connector, ContactId, LogicFamily};

use crate::fact::Fact;
use crate::fingerprint::{Canonical, exact, exact_triple};
use crate::heading::Origin;
use crate::word::{Action, in_order};

/// A port that was read and checked.
///
/// Promises of a checked port: each contact is one that its connector has, each action has one
/// contact, every `input` named by a contact is in `inputs`, there is at least one step, steps
/// drive contacts that are `Drive` and name actions that exist, each action is sampled by a step,
/// the fire order names actions once, and only a contact with an input is `driven`. A port with a
/// `hazard` has no actions; every other has at least one.
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
    /// What this socket is instead, if it is none for a controller.
    pub hazard: Option<String>,
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
    /// An analogue input: a plain digital lead never joins it.
    Pot,
    /// Leads nowhere.
    Unused,
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
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Step {
    /// Its name.
    pub name: String,
    /// What the machine does to the contacts that it drives; one that is left out is released.
    pub drives: BTreeMap<ContactId, Level>,
    /// The actions that it reads; all if not stated.
    pub samples: Option<Vec<Action>>,
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
        in_order(self.contacts.values().filter_map(PortContact::action), &self.fire_order)
    }

    /// Returns the contact of an action.
    pub fn contact_of(&self, action: &Action) -> Option<ContactId> {
        self.contacts.iter().find(|(_, contact)| contact.action() == Some(action)).map(|(id, _)| *id)
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
        self.contacts.values().find_map(|contact| match contact.role {
            PortRole::Drive(family) => Some(family),
            PortRole::Action { .. }
            | PortRole::Sense { .. }
            | PortRole::Supply(_)
            | PortRole::Fed(_)
            | PortRole::Signal(_)
            | PortRole::Return
            | PortRole::Pot
            | PortRole::Unused => None,
        })
    }

    /// Returns the class of input of a contact, if the machine reads it as a level.
    pub fn input_of(&self, contact: ContactId) -> Option<&InputCircuit> {
        match &self.contacts.get(&contact)?.role {
            PortRole::Action { input, .. } | PortRole::Sense { input } => self.inputs.get(input),
            PortRole::Supply(_)
            | PortRole::Fed(_)
            | PortRole::Signal(_)
            | PortRole::Return
            | PortRole::Drive(_)
            | PortRole::Pot
            | PortRole::Unused => None,
        }
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
                PortRole::Sense { .. } => text.line(&[&id, "sense"]),
                PortRole::Supply(supply) => supply.describe(&id, "supply", &mut text),
                PortRole::Fed(supply) => supply.describe(&id, "fed", &mut text),
                PortRole::Signal(supply) => supply.describe(&id, "signal", &mut text),
                PortRole::Return => text.line(&[&id, "return"]),
                PortRole::Drive(family) => text.line(&[&id, "drive", family.as_str()]),
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
            }
            contact.limits.describe(&mut text);
            if let Some(driven) = contact.driven {
                text.line(&["driven", driven.as_str()]);
            }
        }
        for step in &self.steps {
            text.line(&["step", &step.name]);
            for (id, level) in &step.drives {
                text.line(&["drive", &id.to_string(), level.as_str()]);
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

impl PortContact {
    /// Returns the action that the machine listens for here.
    pub fn action(&self) -> Option<&Action> {
        match &self.role {
            PortRole::Action { action, .. } => Some(action),
            PortRole::Sense { .. }
            | PortRole::Supply(_)
            | PortRole::Fed(_)
            | PortRole::Signal(_)
            | PortRole::Return
            | PortRole::Drive(_)
            | PortRole::Pot
            | PortRole::Unused => None,
        }
    }

    /// Returns the supply that stands here.
    pub fn supply(&self) -> Option<&Supply> {
        match &self.role {
            PortRole::Supply(supply) => Some(supply),
            PortRole::Action { .. }
            | PortRole::Sense { .. }
            | PortRole::Fed(_)
            | PortRole::Signal(_)
            | PortRole::Return
            | PortRole::Drive(_)
            | PortRole::Pot
            | PortRole::Unused => None,
        }
    }

    /// Returns the voltage of its own that stands here: a supply's, a fed contact's or a signal's.
    pub fn voltage(&self) -> Option<&Supply> {
        match &self.role {
            PortRole::Supply(supply) | PortRole::Fed(supply) | PortRole::Signal(supply) => Some(supply),
            PortRole::Action { .. }
            | PortRole::Sense { .. }
            | PortRole::Return
            | PortRole::Drive(_)
            | PortRole::Pot
            | PortRole::Unused => None,
        }
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
