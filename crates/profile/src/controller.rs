//! What the player holds: its plug, its contacts and what is inside.

use std::collections::{BTreeMap, BTreeSet};

use solderside_quantity::{Amps, Ohms, Triple, Volts};
use solderside_trade::{Connector, ContactId, LogicFamily, SwitchKind};

use crate::fact::Fact;
use crate::fingerprint::{Canonical, exact_triple};
use crate::heading::Origin;
use crate::inside::Inside;
use crate::word::{Axis, Control, Direction, in_order};

/// A controller that was read and checked.
///
/// Promises of a checked controller: each contact is one that its connector has, each axis has one contact,
/// each control has one or is a switch inside, a contact is common if any has a control, either every
/// control says to which common it closes or none does, a pot ends at a supply or a common, the fire order
/// and the two-key rollover name controls once, logic has a supply, the contacts that its chips drive share one common, there is
/// logic or an inside and never both, and something inside leads to each wired contact.
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
    /// Its keys with two-key rollover: any two are read rightly, a third may bring a ghost. A person is taken to hold
    /// no more than two of them at once.
    pub two_key_rollover: Vec<Control>,
    /// Its fire buttons, the first first.
    pub fire_order: Vec<Control>,
    /// The chips inside as seen from the plug, where the parts are not known.
    pub logic: Option<PadLogic>,
    /// What is inside, where that is known part by part.
    pub inside: Option<Inside>,
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
#[derive(Debug, Clone, PartialEq)]
pub struct ControllerContact {
    /// What it is for.
    pub role: ControllerRole,
    /// The common of this control alone, in a controller that keeps its commons apart.
    pub closes_to: Option<ContactId>,
    /// What stands inside in series with this control's switch.
    pub series: Option<Series>,
    /// Where that comes from.
    pub fact: Fact,
    /// What else there is to say.
    pub note: Option<String>,
}

/// What a contact of a controller is for.
#[derive(Debug, Clone, PartialEq)]
pub enum ControllerRole {
    /// A switch, or an output, of this control.
    Control(Control),
    /// One end of a pot.
    Pot(Pot),
    /// Leads to parts inside.
    Wired {
        /// What the trade calls it: `data`, `latch`, `select`, `row-1`.
        called: String,
    },
    /// What switches close to: the pad's ground if there are chips inside.
    Common,
    /// Feeds what is inside: chips, pots.
    Supply,
    /// Wired inside to something that the file does not say: a lead must leave it alone.
    DoNotConnect,
    /// Leads nowhere.
    Unused,
}

/// A variable resistor between two contacts. An axis is no switch: a plain lead leaves it alone.
#[derive(Debug, Clone, PartialEq)]
pub struct Pot {
    /// What the player moves.
    pub axis: Axis,
    /// The resistance of its full travel.
    pub ohms: Triple<Ohms>,
    /// The contact at which its other end sits: a supply or a common.
    pub other_end: ContactId,
    /// The end of its travel at which it has 0 Ω, if that is known.
    pub low_end: Option<Direction>,
}

/// A resistor inside, in series with a switch.
#[derive(Debug, Clone, PartialEq)]
pub struct Series {
    /// Its resistance.
    pub ohms: Triple<Ohms>,
    /// Where that comes from.
    pub fact: Fact,
}

/// The chips inside a pad, as seen from its plug.
#[derive(Debug, Clone, PartialEq)]
pub struct PadLogic {
    /// The family of the chips that drive the contacts.
    pub family: LogicFamily,
    /// How they drive them.
    pub output: OutputKind,
    /// The controls whose contacts they drive, the others being plain switches; all if not stated.
    pub drives: Option<Vec<Control>>,
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

impl ControllerRole {
    /// The control whose switch or output it is.
    pub const fn control(&self) -> Option<&Control> {
        if let Self::Control(control) = self { Some(control) } else { None }
    }
}

impl Controller {
    /// So many keys with two-key rollover are held at once at most.
    pub const KEYS_HELD: usize = 2;

    /// Returns the controls, those inside too: directions, then the fire order, then the others by name.
    pub fn controls(&self) -> Vec<&Control> {
        let at_contacts = self.contacts.values().filter_map(|contact| contact.role.control());
        let inside = self.inside.iter().flat_map(|inside| &inside.switches);
        in_order(at_contacts.chain(inside.map(|switch| &switch.control)), &self.fire_order)
    }

    /// Returns the analogue parts with their contacts, in the order of those.
    pub fn axes(&self) -> impl Iterator<Item = (ContactId, &Pot)> {
        self.contacts.iter().filter_map(|(id, contact)| {
            if let ControllerRole::Pot(pot) = &contact.role { Some((*id, pot)) } else { None }
        })
    }

    /// Returns the contact of a control; none if its switch stands inside.
    pub fn contact_of(&self, control: &Control) -> Option<ContactId> {
        self.with_role(|role| role.control() == Some(control)).next()
    }

    /// Returns the contacts to which the switches close, of all nets.
    pub fn commons(&self) -> Vec<ContactId> {
        self.with_role(|role| *role == ControllerRole::Common).collect()
    }

    /// Returns the commons by their nets: one net, unless the controller keeps its commons apart.
    pub fn common_nets(&self) -> Vec<Vec<ContactId>> {
        let commons = self.commons();
        if self.contacts.values().any(|contact| contact.closes_to.is_some()) {
            return commons.into_iter().map(|common| vec![common]).collect();
        }
        if commons.is_empty() { Vec::new() } else { vec![commons] }
    }

    /// Returns the commons to which a control closes: one net.
    pub fn commons_of(&self, control: &Control) -> Vec<ContactId> {
        let contact = self.contact_of(control).and_then(|id| self.contacts.get(&id));
        match contact.map(|contact| contact.closes_to) {
            Some(Some(common)) => vec![common],
            Some(None) => self.commons(),
            None => Vec::new(),
        }
    }

    /// Returns the control on a contact.
    pub fn control_at(&self, contact: ContactId) -> Option<&Control> {
        self.contacts.get(&contact)?.role.control()
    }

    /// Returns the chips that drive a control's contact; none if it is a plain switch.
    pub fn driver_of(&self, control: &Control) -> Option<&PadLogic> {
        let logic = self.logic.as_ref()?;
        let drives = logic.drives.as_ref().is_none_or(|drives| drives.contains(control));
        drives.then_some(logic)
    }

    /// Returns the commons that are the chips' ground: one net.
    pub fn chip_commons(&self) -> Vec<ContactId> {
        let driven = self.controls().into_iter().find(|control| self.driver_of(control).is_some());
        driven.map_or_else(Vec::new, |control| self.commons_of(control))
    }

    /// Returns what stands inside in series with a control's switch.
    pub fn series_of(&self, control: &Control) -> Option<&Series> {
        self.contacts.get(&self.contact_of(control)?)?.series.as_ref()
    }

    /// Returns the resistance of a control's closed switch, with what stands in series with it.
    pub fn closed_ohms(&self, control: &Control) -> Triple<Ohms> {
        let switch = self.switch.closed_ohms().value;
        self.series_of(control).map_or(switch, |series| switch.plus(series.ohms))
    }

    /// Returns the contact that feeds what is inside.
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
        if !self.two_key_rollover.is_empty() {
            let keys: BTreeSet<&str> = self.two_key_rollover.iter().map(Control::as_str).collect();
            text.line(&["two-key rollover"].into_iter().chain(keys).collect::<Vec<_>>());
        }
        for (id, contact) in &self.contacts {
            let id = id.to_string();
            match &contact.role {
                ControllerRole::Control(control) => text.line(&[&id, "control", control.as_str()]),
                ControllerRole::Pot(Pot { axis, ohms, other_end, low_end }) => {
                    let other_end = other_end.to_string();
                    text.line(&[&id, "pot", axis.as_str(), &exact_triple(*ohms), &other_end]);
                    if let Some(low_end) = low_end {
                        text.line(&["low", low_end.as_str()]);
                    }
                }
                ControllerRole::Wired { .. } => text.line(&[&id, "wired"]),
                ControllerRole::Common => text.line(&[&id, "common"]),
                ControllerRole::Supply => text.line(&[&id, "supply"]),
                ControllerRole::DoNotConnect => text.line(&[&id, "do not connect"]),
                ControllerRole::Unused => text.line(&[&id, "unused"]),
            }
            if let Some(common) = contact.closes_to {
                text.line(&["closes to", &common.to_string()]);
            }
            if let Some(series) = &contact.series {
                text.line(&["series", &exact_triple(series.ohms)]);
            }
        }
        if let Some(logic) = &self.logic {
            text.line(&["logic", logic.family.as_str(), logic.output.as_str()]);
            text.line(&["volts", &exact_triple(logic.supply_volts)]);
            text.line(&["amps", &exact_triple(logic.supply_amps)]);
            if let Some(drives) = &logic.drives {
                let names: BTreeSet<&str> = drives.iter().map(Control::as_str).collect();
                text.line(&["drives"].into_iter().chain(names).collect::<Vec<_>>());
            }
        }
        if let Some(inside) = &self.inside {
            inside.describe(&mut text);
        }
        text.digest()
    }
}
