//! The file of a port: its keys and its descent.

use solderside_quantity::{Amps, Farads, Ohms, Seconds, Triple, Volts};
use solderside_trade::{Bus, Connector, ContactId, LogicFamily};

use std::collections::{BTreeMap, BTreeSet};

use crate::believed::Believed;
use crate::contacts::{CONTACT_KEY, Contacts, connector, contact_id, contacts};
use crate::document::Table;
use crate::fact::Statement;
use crate::heading::{Heading, Kind, profile_heading};
use crate::port::{Driven, Level, Port};
use crate::profile_file::{Identity, ProfileFile, above_nought, lay_over};
use crate::share::Share;
use crate::source::At;
use crate::value::not_kebab;
use crate::word::{Action, Axis, Direction, is_kebab};
use crate::{complaint::Complaint, port_check};

/// A port's file as it stands.
#[derive(Debug)]
pub(crate) struct PortFile {
    pub(crate) heading: Heading,
    pub(crate) connector: Option<At<Connector>>,
    pub(crate) rail: Option<At<Triple<Volts>>>,
    pub(crate) fire_order: Option<At<Vec<At<Action>>>>,
    pub(crate) statement: Statement,
    pub(crate) inputs: BTreeMap<String, At<InputEntry>>,
    pub(crate) contacts: Contacts<ContactEntry>,
    pub(crate) steps: Option<At<Vec<At<StepEntry>>>>,
    pub(crate) rest: Option<At<Triple<Seconds>>>,
    pub(crate) hazard: Option<At<String>>,
    pub(crate) bus: Option<At<Bus>>,
}

/// An `[input.NAME]` table.
#[derive(Debug)]
pub(crate) struct InputEntry {
    pub(crate) family: Option<At<LogicFamily>>,
    /// Whether a family is there, rightly written or not.
    pub(crate) has_family: bool,
    pub(crate) pull_up: Option<At<Triple<Ohms>>>,
    pub(crate) pull_down: Option<At<Triple<Ohms>>>,
    pub(crate) charge_farads: Option<At<Triple<Farads>>>,
    pub(crate) charge_seconds: Option<At<Triple<Seconds>>>,
    pub(crate) series: Option<At<Triple<Ohms>>>,
    pub(crate) threshold: Option<At<Triple<Share>>>,
    pub(crate) settle: Option<At<Triple<Seconds>>>,
    pub(crate) statement: Statement,
}

/// The keys of a contact without which its role cannot be.
const FIGURES: [&str; 4] = ["volts", "axis", "full_scale_ohms", "reads_seconds"];

/// A `[contact.N]` table.
#[derive(Debug)]
pub(crate) struct ContactEntry {
    /// `role` or `action`, if one is there and can be read.
    pub(crate) role: Option<At<RoleEntry>>,
    /// Whether one of them is there at all.
    pub(crate) said: bool,
    /// Which of [`FIGURES`] are there, rightly written or not.
    pub(crate) there: BTreeSet<&'static str>,
    pub(crate) input: Option<At<String>>,
    pub(crate) family: Option<At<LogicFamily>>,
    pub(crate) volts: Option<At<Triple<Volts>>>,
    pub(crate) ohms: Option<At<Triple<Ohms>>>,
    pub(crate) amps_max: Option<At<Amps>>,
    pub(crate) limit_volts: Option<At<(Volts, Volts)>>,
    pub(crate) sink_amps_max: Option<At<Amps>>,
    pub(crate) source_amps_max: Option<At<Amps>>,
    pub(crate) driven: Option<At<Driven>>,
    pub(crate) called: Option<At<String>>,
    pub(crate) axis: Option<At<Axis>>,
    pub(crate) full_scale: Option<At<Ohms>>,
    pub(crate) reads_seconds: Option<At<(Seconds, Seconds)>>,
    pub(crate) low_end: Option<At<Direction>>,
    pub(crate) statement: Statement,
    pub(crate) note: Option<At<String>>,
}

/// What a contact is for, as its file says it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum RoleEntry {
    Action(Action),
    Data,
    Sense,
    Supply,
    Fed,
    Signal,
    Return,
    Drive,
    Axis,
    Pot,
    Unused,
}

/// What a step does to a contact, as its file says it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum DriveWord {
    To(Level),
    /// To the opposite of what the step before drives.
    Toggled,
}

/// A `[[step]]` table.
#[derive(Debug)]
pub(crate) struct StepEntry {
    pub(crate) name: Option<At<String>>,
    pub(crate) drives: Vec<(ContactId, At<DriveWord>)>,
    /// Whether a word of the drives is left out because it could not be read.
    pub(crate) drive_is_wrong: bool,
    pub(crate) hold: Option<At<Triple<Seconds>>>,
    pub(crate) reads: Vec<(At<ContactId>, At<Action>)>,
    pub(crate) expects: Vec<(At<ContactId>, Level)>,
    /// Whether something of the reads or the expected levels is left out because it could not be read.
    pub(crate) read_is_wrong: bool,
    pub(crate) samples: Option<At<Vec<At<Action>>>>,
    pub(crate) quiet: Option<At<Vec<At<Action>>>>,
    pub(crate) held: Option<At<Vec<At<Action>>>>,
    /// Whether a name of the samples is left out because it could not be read.
    pub(crate) sample_is_wrong: bool,
}

impl ProfileFile for PortFile {
    type Profile = Port;

    const KIND: Kind = Kind::Port;

    fn read(table: &mut Table<'_>) -> Self {
        let heading = profile_heading(table, Kind::Port);
        let file = Self {
            heading,
            connector: connector(table.key("connector", "the machine's own connector")),
            rail: table.key("rail_volts", "the rail in the machine on which its pull-ups hang").triple(),
            fire_order: table
                .key("fire_order", "the fire actions, the first first")
                .list(|item| item.name(Action::new)),
            statement: Statement::read(table),
            inputs: inputs(table),
            contacts: contacts(
                table.key("contact", "what is known of each contact"),
                "action",
                contact_entry,
            ),
            steps: table
                .key("step", "the machine's reading script; one step that drives nothing if absent")
                .list(|item| item.table(step_entry)),
            rest: above_nought(
                table,
                "rest_seconds",
                "how long the machine moves none of its lines between two readings: one figure, or three",
                "write how long its lines rest, or leave the key out if nobody knows",
            ),
            hazard: table
                .key("hazard", "what this socket is, if it is none for a controller: then it has no actions")
                .text(),
            bus: table
                .key(
                    "bus",
                    "the protocol that the port speaks instead of looking at levels: then it has no actions",
                )
                .choice(Bus::ALL.into_iter().map(|bus| (bus.as_str(), bus))),
        };
        table.require_unless("like", &["format", "kind", "connector", "rail_volts", "contact"]);
        for (key, help) in [
            ("switch", "drop it: switches are inside controllers"),
            ("gate", "drop it: a lever is part of a controller"),
            ("logic", "drop it: the chips behind a port are `[input.NAME]`"),
        ] {
            table.foreign(key, "this key belongs in a controller's file, and this is a port's", help);
        }
        file
    }

    fn like(&self) -> Option<&At<String>> {
        self.heading.like.as_ref()
    }

    fn over(mut self, parent: Self) -> Self {
        self.settle_sources();
        Self {
            heading: self.heading,
            connector: self.connector.or(parent.connector),
            rail: self.rail.or(parent.rail),
            fire_order: self.fire_order.or(parent.fire_order),
            statement: self.statement.or(parent.statement),
            inputs: lay_over(self.inputs, parent.inputs, InputEntry::over),
            contacts: lay_over(self.contacts, parent.contacts, ContactEntry::over),
            steps: self.steps.or(parent.steps),
            rest: self.rest.or(parent.rest),
            hazard: self.hazard.or(parent.hazard),
            bus: self.bus.or(parent.bus),
        }
    }

    fn check(self, identity: Identity, complaints: &mut Vec<Complaint>) -> Option<Port> {
        port_check::check(self, identity, complaints)
    }
}

impl PortFile {
    /// Gives what this file says of contacts and inputs the source that stands at its top: the source of the file that
    /// it starts from does not vouch for that.
    fn settle_sources(&mut self) {
        let Self { contacts, inputs, statement, .. } = self;
        let contacts = contacts.values_mut().map(|at| &mut at.value).filter(|entry| entry.is_restated());
        contacts.for_each(|entry| entry.statement.within(statement));
        let inputs = inputs.values_mut().map(|at| &mut at.value).filter(|entry| entry.is_restated());
        inputs.for_each(|entry| entry.statement.within(statement));
    }
}

fn inputs(table: &mut Table<'_>) -> BTreeMap<String, At<InputEntry>> {
    let entries = table
        .key("input", "the electrical classes of its inputs, each with a name of its own")
        .map(None, |name, value| {
            if !is_kebab(&name.value) && !value.is_imagined() {
                value.complain(not_kebab(name.place.clone(), &name.value));
            }
            let entry = value.table(input_entry)?;
            Some((name.value.clone(), At { value: entry.value, place: name.place.clone() }))
        });
    entries.into_iter().collect()
}

fn input_entry(table: &mut Table<'_>) -> InputEntry {
    InputEntry {
        family: family(table, "the family of the chip behind it"),
        has_family: table.has("family"),
        pull_up: pull_up(table),
        pull_down: table
            .key("pull_down_ohms", "from the contact to the return, where a high is active")
            .believed(Believed::PULL)
            .triple(),
        charge_farads: table
            .key("charge_farads", "what is charged, if the machine reads whether or how soon it charges")
            .triple(),
        charge_seconds: table
            .key("charge_seconds", "the time within which it must charge to a high")
            .triple(),
        series: table
            .key("series_ohms", "of an axis: what stands in the machine between contact and capacitor")
            .believed(Believed::SERIES)
            .triple(),
        threshold: table
            .key("threshold_share", "of an axis: where it counts as charged, as a share of the rail")
            .triple(),
        settle: table
            .key(
                "settle_seconds",
                "how long the machine's own circuit keeps the line from being read, if it is slow",
            )
            .triple(),
        statement: Statement::read(table),
    }
}

/// Whether a name is that of a fire: `fire`, `second-fire`.
fn is_fire(name: &str) -> bool {
    name.split('-').any(|word| word == "fire")
}

fn pull_up(table: &mut Table<'_>) -> Option<At<Triple<Ohms>>> {
    let key = table.key("pull_up_ohms", "from the contact to the rail; the family's own if absent");
    let stated = key.believed(Believed::PULL).triple::<Ohms>()?;
    if stated.value.low() == Ohms::ZERO {
        let complaint = Complaint::new(stated.place.clone(), "a pull-up of 0 Ω would be a short to the rail");
        table.complain(complaint.help("write what it has at least, or leave the key out if nobody knows"));
    }
    Some(stated)
}

fn family(table: &mut Table<'_>, doc: &'static str) -> Option<At<LogicFamily>> {
    let words = LogicFamily::ALL.into_iter().map(|family| (family.as_str(), family));
    table.key("family", doc).choice(words)
}

fn contact_entry(table: &mut Table<'_>) -> ContactEntry {
    let action = table.key("action", "the action that the machine listens for here").name(Action::new);
    let role = table.key("role", "what the contact is for, if it is no action").choice_or(
        [
            ("supply", RoleEntry::Supply),
            ("fed", RoleEntry::Fed),
            ("signal", RoleEntry::Signal),
            ("return", RoleEntry::Return),
            ("drive", RoleEntry::Drive),
            ("data", RoleEntry::Data),
            ("sense", RoleEntry::Sense),
            ("axis", RoleEntry::Axis),
            ("pot", RoleEntry::Pot),
            ("unused", RoleEntry::Unused),
        ],
        |word| match word.to_ascii_lowercase().as_str() {
            "ground" | "gnd" | "common" => Some("write `role = \"return\"`".to_owned()),
            "power" | "vcc" | "5v" | "+5v" => Some("write `role = \"supply\"` and its `volts`".to_owned()),
            "output" | "strobe" | "select" => Some("write `role = \"drive\"`".to_owned()),
            "nc" | "none" => Some("write `role = \"unused\"`".to_owned()),
            other if Direction::parse(other).is_some() || is_fire(other) => {
                Some(format!("write `action = \"{other}\"`: it is no role"))
            }
            _ => None,
        },
    );
    table.exclude("action", "role");
    table.foreign(
        "control",
        "`control` stands in a port's file, expected `action`",
        "write `action`: the controller has the controls",
    );
    ContactEntry {
        said: table.has("action") || table.has("role"),
        there: table.those_of(FIGURES),
        role: action.map(|action| action.map(RoleEntry::Action)).or(role),
        input: table
            .key(
                "input",
                "the class of an action, an axis, a data or a sense line; may be left out if there is one",
            )
            .text(),
        family: family(table, "the family that drives a drive contact; `ttl` if absent"),
        volts: table
            .key("volts", "the voltage of a supply, a fed contact or a signal, without load")
            .triple(),
        ohms: table.key("ohms", "the resistance behind a voltage; assumed if absent").triple(),
        amps_max: table
            .key("amps_max", "the most that a supply or a signal gives; the lowest published if absent")
            .quantity(),
        limit_volts: table.key("limit_volts", "the lowest and highest that may be put on it").pair(),
        sink_amps_max: table.key("sink_amps_max", "the most that may flow into it").quantity(),
        source_amps_max: table.key("source_amps_max", "the most that may flow out of it").quantity(),
        driven: table
            .key("driven", "to what level the machine can also drive a line that it reads")
            .choice(Driven::ALL.map(|driven| (driven.as_str(), driven))),
        called: table
            .key("called", "what the trade calls a data or a drive line: `select`, `latch`, `data`")
            .name(|name| is_kebab(name).then(|| name.to_owned())),
        axis: table.key("axis", "what the machine measures at an axis contact").name(Axis::new),
        full_scale: table
            .key("full_scale_ohms", "what a pot of this port has at the end of its travel")
            .believed(Believed::POT)
            .quantity(),
        reads_seconds: table
            .key("reads_seconds", "the shortest and the longest time that the machine can measure")
            .pair(),
        low_end: table
            .key("low", "the end of an axis' travel at which the machine expects the shortest time")
            .choice(Direction::ALL.map(|direction| (direction.as_str(), direction))),
        statement: Statement::read(table),
        note: table.key("note", "what else there is to say").text(),
    }
}

fn step_entry(table: &mut Table<'_>) -> StepEntry {
    let drive_words = || {
        let levels = Level::ALL.map(|level| (level.as_str(), DriveWord::To(level)));
        levels.into_iter().chain([("toggled", DriveWord::Toggled)])
    };
    let fixed_levels = || [Level::Low, Level::High].map(|level| (level.as_str(), level));
    let [mut drive_is_wrong, mut read_is_wrong, mut sample_is_wrong] = [false; 3];
    let entry = StepEntry {
        name: table.key("name", "the step's name").name(|name| is_kebab(name).then(|| name.to_owned())),
        drives: table.key("drive", "what the machine does to its drive contacts; released if left out").map(
            Some(CONTACT_KEY),
            |key, value| {
                let id = contact_id(&value, &key.value, &key.place);
                let word = value.choice(drive_words());
                drive_is_wrong |= word.is_none();
                Some((id?, At { value: word?.value, place: key.place.clone() }))
            },
        ),
        drive_is_wrong,
        hold: above_nought(
            table,
            "hold_seconds",
            "how long the machine waits before it reads: one figure, or three",
            "write how long the machine waits, or leave the key out if nobody knows",
        ),
        reads: table
            .key("reads", "what each data contact is read for: contact = action, active as its input is")
            .map(Some(CONTACT_KEY), |key, value| {
                let id = contact_id(&value, &key.value, &key.place);
                let action = value.name(Action::new);
                read_is_wrong |= id.is_none() || action.is_none();
                Some((At { value: id?, place: key.place.clone() }, action?))
            }),
        expects: table.key("expects", "contacts that have this level here, whatever is pressed").map(
            Some(CONTACT_KEY),
            |key, value| {
                let id = contact_id(&value, &key.value, &key.place);
                let level = value.choice(fixed_levels());
                read_is_wrong |= id.is_none() || level.is_none();
                Some((At { value: id?, place: key.place.clone() }, level?.value))
            },
        ),
        read_is_wrong,
        samples: table
            .key("sample", "which actions it reads of those with a contact of their own; all if absent")
            .list(|item| {
                let name = item.name(Action::new);
                sample_is_wrong |= name.is_none();
                name
            }),
        quiet: table
            .key(
                "quiet",
                "the actions whose lines are read for something else and must be idle, whatever is pressed",
            )
            .list(|item| item.name(Action::new)),
        held: table
            .key("held", "the actions whose lines a key of the machine's own keyboard holds low here")
            .list(|item| item.name(Action::new)),
        sample_is_wrong,
    };
    table.require(&["name"]);
    entry
}

impl InputEntry {
    fn over(self, parent: Self) -> Self {
        let turned = self.pull_down.is_some() || self.charge_farads.is_some();
        let [ramps, times] =
            [self.series.is_some() || self.threshold.is_some(), self.charge_seconds.is_some()];
        let raised = self.pull_up.is_some();
        Self {
            statement: self.statement.or(parent.statement),
            family: self.family.or(parent.family),
            has_family: self.has_family || parent.has_family,
            // A pull the one way takes the place of one the other way.
            pull_up: if turned { self.pull_up } else { self.pull_up.or(parent.pull_up) },
            pull_down: if raised { self.pull_down } else { self.pull_down.or(parent.pull_down) },
            charge_farads: self.charge_farads.or(parent.charge_farads),
            // What is measured is not read as a level, and the other way round.
            charge_seconds: if ramps && !times {
                self.charge_seconds
            } else {
                self.charge_seconds.or(parent.charge_seconds)
            },
            series: if times && !ramps { self.series } else { self.series.or(parent.series) },
            threshold: if times && !ramps { self.threshold } else { self.threshold.or(parent.threshold) },
            settle: if turned || ramps { self.settle } else { self.settle.or(parent.settle) },
        }
    }

    /// Whether the file says something of its own about it, for which no other file's source vouches.
    fn is_restated(&self) -> bool {
        self.has_family
            || self.pull_up.is_some()
            || self.pull_down.is_some()
            || self.charge_farads.is_some()
            || self.charge_seconds.is_some()
            || self.series.is_some()
            || self.threshold.is_some()
            || self.settle.is_some()
    }
}

impl ContactEntry {
    fn over(self, parent: Self) -> Self {
        let role = |entry: &Self| entry.role.as_ref().map(|role| role.value.clone());
        // Another role is another fact: nothing that was said of the old one holds.
        if self.said && role(&self) != role(&parent) {
            return self;
        }
        Self {
            role: self.role.or(parent.role),
            said: self.said || parent.said,
            there: &self.there | &parent.there,
            input: self.input.or(parent.input),
            family: self.family.or(parent.family),
            volts: self.volts.or(parent.volts),
            ohms: self.ohms.or(parent.ohms),
            amps_max: self.amps_max.or(parent.amps_max),
            limit_volts: self.limit_volts.or(parent.limit_volts),
            sink_amps_max: self.sink_amps_max.or(parent.sink_amps_max),
            source_amps_max: self.source_amps_max.or(parent.source_amps_max),
            driven: self.driven.or(parent.driven),
            called: self.called.or(parent.called),
            axis: self.axis.or(parent.axis),
            full_scale: self.full_scale.or(parent.full_scale),
            reads_seconds: self.reads_seconds.or(parent.reads_seconds),
            low_end: self.low_end.or(parent.low_end),
            statement: self.statement.or(parent.statement),
            note: self.note.or(parent.note),
        }
    }

    /// Whether the file says something of its own about it, for which no other file's source vouches.
    fn is_restated(&self) -> bool {
        self.said
            || !self.there.is_empty()
            || self.input.is_some()
            || self.family.is_some()
            || self.ohms.is_some()
            || self.amps_max.is_some()
            || self.limit_volts.is_some()
            || self.sink_amps_max.is_some()
            || self.source_amps_max.is_some()
            || self.driven.is_some()
            || self.low_end.is_some()
    }
}
