//! What the player holds: its plug, its contacts and what is inside.

use std::collections::BTreeMap;

use solderside_quantity::{Amps, Triple, Volts};
use solderside_trade::{Connector, ContactId, LogicFamily, SwitchKind};

use crate::fact::Fact;
use crate::fingerprint::{Canonical, exact_triple};
use crate::heading::Origin;
use crate::word::{Control, in_order};

/// A controller that was read and checked.
///
/// Promises of a checked controller: each contact is one that its connector has, each control has
/// one contact, at least one contact is common, the fire order names controls once, and logic has
/// a supply.
#[derive(Debug, Clone, PartialEq)]
pub struct Controller {
    /// The profile's name.
    pub name: String,
    /// What it is called on paper.
    pub title: String,
    /// The profiles that it starts from, nearest first.
    pub like: Vec<String>,
    /// Its own connector.
    pub connector: Connector,
    /// What is known of its contacts; a contact that is absent is unknown and stays unconnected.
    pub contacts: BTreeMap<ContactId, ControllerContact>,
    /// The kind of its switches.
    pub switch: SwitchKind,
    /// What keeps its directions apart.
    pub gate: Gate,
    /// Its fire buttons, the first first.
    pub fire_order: Vec<Control>,
    /// The chips inside, if there are any.
    pub logic: Option<PadLogic>,
    /// Where the profile comes from.
    pub origin: Origin,
}

/// What keeps directions apart.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Gate {
    /// A lever: up excludes down, left excludes right.
    EightWay,
    /// Loose buttons: anything goes with anything.
    None,
}

/// A contact of a controller.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ControllerContact {
    /// What it is for.
    pub role: ControllerRole,
    /// Where that comes from.
    pub fact: Fact,
    /// What else there is to say.
    pub note: Option<String>,
}

/// What a contact of a controller is for.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum ControllerRole {
    /// A switch, or an output, of this control.
    Control(Control),
    /// What all switches close to: the pad's ground if there are chips inside.
    Common,
    /// Feeds the chips inside.
    Supply,
    /// Leads nowhere.
    Unused,
}

/// The chips inside a pad, as seen from its plug.
#[derive(Debug, Clone, PartialEq)]
pub struct PadLogic {
    /// The family of the chips that drive the contacts.
    pub family: LogicFamily,
    /// How they drive them.
    pub output: OutputKind,
    /// The supply that they need.
    pub supply_volts: Triple<Volts>,
    /// What they take from it.
    pub supply_amps: Triple<Amps>,
    /// Where that comes from.
    pub fact: Fact,
}

/// How a chip drives a contact.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum OutputKind {
    /// It pulls low or lets go.
    OpenDrain,
    /// It drives both levels, so it must never be joined to another one.
    PushPull,
}

impl Gate {
    /// Returns the word of files and screens.
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::EightWay => "eight-way",
            Self::None => "none",
        }
    }
}

impl OutputKind {
    /// Returns the word of files and screens.
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::OpenDrain => "open-drain",
            Self::PushPull => "push-pull",
        }
    }
}

impl Controller {
    /// Returns the controls: directions, then the fire order, then the others by name.
    pub fn controls(&self) -> Vec<&Control> {
        let controls = self.contacts.values().filter_map(|contact| match &contact.role {
            ControllerRole::Control(control) => Some(control),
            ControllerRole::Common | ControllerRole::Supply | ControllerRole::Unused => None,
        });
        in_order(controls, &self.fire_order)
    }

    /// Returns the contact of a control.
    pub fn contact_of(&self, control: &Control) -> Option<ContactId> {
        self.with_role(|role| matches!(role, ControllerRole::Control(own) if own == control)).next()
    }

    /// Returns the contacts to which the switches close.
    pub fn commons(&self) -> Vec<ContactId> {
        self.with_role(|role| *role == ControllerRole::Common).collect()
    }

    /// Returns the contact that feeds the chips inside.
    pub fn supply(&self) -> Option<ContactId> {
        self.with_role(|role| *role == ControllerRole::Supply).next()
    }

    fn with_role(&self, wanted: impl Fn(&ControllerRole) -> bool) -> impl Iterator<Item = ContactId> {
        self.contacts.iter().filter(move |(_, contact)| wanted(&contact.role)).map(|(id, _)| *id)
    }

    /// Returns sixteen digits that change when anything electrical does: not with the title, the
    /// notes, the evidence, the fire order or the place of the file.
    pub fn fingerprint(&self) -> String {
        let mut text = Canonical::default();
        text.line(&["controller", &self.connector.to_string()]);
        text.line(&["switch", self.switch.as_str()]);
        text.line(&["gate", self.gate.as_str()]);
        for (id, contact) in &self.contacts {
            let id = id.to_string();
            match &contact.role {
                ControllerRole::Control(control) => text.line(&[&id, "control", control.as_str()]),
                ControllerRole::Common => text.line(&[&id, "common"]),
                ControllerRole::Supply => text.line(&[&id, "supply"]),
                ControllerRole::Unused => text.line(&[&id, "unused"]),
            }
        }
        if let Some(logic) = &self.logic {
            text.line(&["logic", logic.family.as_str(), logic.output.as_str()]);
            text.line(&["volts", &exact_triple(logic.supply_volts)]);
            text.line(&["amps", &exact_triple(logic.supply_amps)]);
        }
        text.digest()
    }
}
