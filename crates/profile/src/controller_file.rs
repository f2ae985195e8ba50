//! The file of a controller: its keys, its descent, its checks.

use std::collections::BTreeSet;

use solderside_quantity::{Amps, Ohms, Triple, Volts};
use solderside_trade::{Connector, ContactId, LogicFamily, SwitchKind};

use crate::believed::Believed;
use crate::complaint::Complaint;
use crate::contacts::{Contacts, connector, contacts};
use crate::controller::{Controller, Gate, OutputKind};
use crate::controller_check::check;
use crate::document::Table;
use crate::fact::Statement;
use crate::heading::{Heading, Kind, profile_heading};
use crate::inside_file::{InsideEntry, Parts, inside, parts};
use crate::profile_file::{Identity, ProfileFile, lay_over};
use crate::source::At;
use crate::word::{Axis, Control, Direction, is_kebab};

/// A controller's file as it stands.
#[derive(Debug)]
pub(crate) struct ControllerFile {
    pub(crate) heading: Heading,
    pub(crate) connector: Option<At<Connector>>,
    pub(crate) switch: Option<At<SwitchKind>>,
    pub(crate) series: Option<At<Triple<Ohms>>>,
    pub(crate) gate: Option<At<Gate>>,
    pub(crate) two_key_rollover: Option<At<Vec<At<Control>>>>,
    pub(crate) fire_order: Option<At<Vec<At<Control>>>>,
    pub(crate) statement: Statement,
    pub(crate) contacts: Contacts<ContactEntry>,
    pub(crate) logic: Option<At<LogicEntry>>,
    pub(crate) parts: Parts,
    pub(crate) inside: Option<At<InsideEntry>>,
}

/// The keys of a contact without which its role cannot be.
const FIGURES: [&str; 3] = ["ohms", "other_end", "called"];

/// A `[contact.N]` table.
#[derive(Debug)]
pub(crate) struct ContactEntry {
    /// `role`, `control` or `pot`, if one is there and can be read.
    pub(crate) role: Option<At<RoleEntry>>,
    /// Whether one of them is there at all.
    pub(crate) said: bool,
    /// Which of [`FIGURES`] are there, rightly written or not.
    pub(crate) there: BTreeSet<&'static str>,
    pub(crate) closes_to: Option<At<ContactId>>,
    pub(crate) series: Option<At<Triple<Ohms>>>,
    pub(crate) ohms: Option<At<Triple<Ohms>>>,
    pub(crate) other_end: Option<At<ContactId>>,
    pub(crate) low_end: Option<At<Direction>>,
    pub(crate) called: Option<At<String>>,
    pub(crate) statement: Statement,
    pub(crate) note: Option<At<String>>,
}

/// What a contact is for, as its file says it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum RoleEntry {
    Control(Control),
    Pot(Axis),
    Wired,
    Common,
    Supply,
    DoNotConnect,
    Unused,
}

/// The `[logic]` table.
#[derive(Debug)]
pub(crate) struct LogicEntry {
    pub(crate) family: Option<At<LogicFamily>>,
    pub(crate) output: Option<At<OutputKind>>,
    pub(crate) drives: Option<At<Vec<At<Control>>>>,
    pub(crate) supply_volts: Option<At<Triple<Volts>>>,
    pub(crate) supply_amps: Option<At<Triple<Amps>>>,
    pub(crate) statement: Statement,
}

impl ProfileFile for ControllerFile {
    type Profile = Controller;

    const KIND: Kind = Kind::Controller;

    fn read(table: &mut Table<'_>) -> Self {
        let heading = profile_heading(table, Kind::Controller);
        let file = Self {
            heading,
            connector: connector(table.key("connector", "the controller's own connector")),
            switch: table
                .key("switch", "the kind of its switches")
                .choice(SwitchKind::ALL.into_iter().map(|kind| (kind.as_str(), kind))),
            series: table
                .key("series_ohms", "a resistor inside, in series with each switch; none if absent")
                .believed(Believed::SERIES)
                .triple(),
            gate: table
                .key("gate", "what keeps directions apart: a lever, or nothing (if absent)")
                .choice([Gate::EightWay, Gate::None].map(|gate| (gate.as_str(), gate))),
            two_key_rollover: table
                .key(
                    "two_key_rollover",
                    "the keys of a matrix without diodes, of which a person holds two at once at most",
                )
                .list(|item| item.name(Control::new)),
            fire_order: table
                .key("fire_order", "the fire buttons, the first first")
                .list(|item| item.name(Control::new)),
            statement: Statement::read(table),
            contacts: contacts(
                table.key("contact", "what is known of each contact"),
                "control",
                contact_entry,
            ),
            logic: table
                .key("logic", "the chips inside as seen from the plug, where the parts are not known")
                .table(logic_entry),
            parts: parts(table),
            inside: table.key("inside", "how the parts inside are joined").table(inside),
        };
        table.exclude("logic", "inside");
        table.require_unless("like", &["format", "kind", "connector", "switch", "contact"]);
        for (key, help) in [
            ("rail_volts", "drop it: the rail is in the machine"),
            ("input", "drop it: inputs are behind a port"),
            ("step", "drop it: the machine has the reading script"),
        ] {
            table.foreign(key, "this key belongs in a port's file, and this is a controller's", help);
        }
        file
    }

    fn like(&self) -> Option<&At<String>> {
        self.heading.like.as_ref()
    }

    fn over(mut self, parent: Self) -> Self {
        self.settle_sources();
        let has_logic = self.logic.is_some();
        Self {
            heading: self.heading,
            connector: self.connector.or(parent.connector),
            switch: self.switch.or(parent.switch),
            series: self.series.or(parent.series),
            gate: self.gate.or(parent.gate),
            two_key_rollover: self.two_key_rollover.or(parent.two_key_rollover),
            fire_order: self.fire_order.or(parent.fire_order),
            statement: self.statement.or(parent.statement),
            contacts: lay_over(self.contacts, parent.contacts, ContactEntry::over),
            // One of the two describes what is inside.
            logic: if self.inside.is_some() { self.logic } else { self.logic.or(parent.logic) },
            inside: match (self.inside, parent.inside) {
                (Some(own), Some(parent)) => {
                    Some(At { value: own.value.over(parent.value), place: own.place })
                }
                (own, parent) => own.or(parent.filter(|_| !has_logic)),
            },
            parts: if has_logic { self.parts } else { lay_over(self.parts, parent.parts, |own, _| own) },
        }
    }

    fn check(self, identity: Identity, complaints: &mut Vec<Complaint>) -> Option<Controller> {
        check(self, identity, complaints)
    }
}

impl ControllerFile {
    /// Gives what this file says of contacts and chips the source that stands at its top: the source of the file that
    /// it starts from does not vouch for that.
    fn settle_sources(&mut self) {
        let Self { contacts, logic, statement, .. } = self;
        let contacts = contacts.values_mut().map(|at| &mut at.value).filter(|entry| entry.is_restated());
        contacts.for_each(|entry| entry.statement.within(statement));
        if let Some(logic) = logic {
            logic.value.statement.within(statement);
        }
    }
}

fn contact_entry(table: &mut Table<'_>) -> ContactEntry {
    let control = table.key("control", "the control whose switch is here").name(Control::new);
    let pot = table.key("pot", "the axis whose pot is here").name(Axis::new);
    let role = table.key("role", "what the contact is for, if it is no control and no pot").choice_or(
        [
            ("wired", RoleEntry::Wired),
            ("common", RoleEntry::Common),
            ("supply", RoleEntry::Supply),
            ("do-not-connect", RoleEntry::DoNotConnect),
            ("unused", RoleEntry::Unused),
        ],
        |word| match word.to_ascii_lowercase().as_str() {
            "ground" | "gnd" | "return" => Some("write `role = \"common\"`".to_owned()),
            "power" | "vcc" | "5v" | "+5v" => Some("write `role = \"supply\"`".to_owned()),
            "nc" | "none" => Some("write `role = \"unused\"`".to_owned()),
            other => Direction::parse(other).map(|_| format!("write `control = \"{other}\"`: it is no role")),
        },
    );
    let is_no_pot = ["control", "role"].into_iter().any(|key| table.has(key));
    table.exclude("control", "role");
    table.exclude("control", "pot");
    table.exclude("pot", "role");
    table.foreign(
        "action",
        "`action` stands in a controller's file, expected `control`",
        "write `control`: the machine's port has the actions",
    );
    ContactEntry {
        said: ["control", "pot", "role"].into_iter().any(|key| table.has(key)),
        there: table.those_of(FIGURES),
        role: control
            .map(|control| control.map(RoleEntry::Control))
            .or(pot.map(|axis| axis.map(RoleEntry::Pot)))
            .or(role),
        closes_to: table
            .key(
                "closes_to",
                "the common of this control alone; if any control says it, commons are kept apart",
            )
            .contact(),
        series: table
            .key("series_ohms", "a resistor inside, in series with this switch; the file's own if absent")
            .believed(Believed::SERIES)
            .triple(),
        ohms: {
            let ohms = table.key("ohms", "the resistance of a pot's full travel");
            // Elsewhere the key itself is the mistake.
            if is_no_pot { ohms } else { ohms.believed(Believed::POT) }.triple()
        },
        other_end: table
            .key("other_end", "the contact at which a pot's other end sits: a supply or a common")
            .contact(),
        low_end: table
            .key("low", "the end of a pot's travel at which it has 0 Ω")
            .choice(Direction::ALL.map(|direction| (direction.as_str(), direction))),
        called: table
            .key("called", "what the trade calls a wired contact: `data`, `latch`, `select`, `row-1`")
            .name(|name| is_kebab(name).then(|| name.to_owned())),
        statement: Statement::read(table),
        note: table.key("note", "what else there is to say").text(),
    }
}

fn logic_entry(table: &mut Table<'_>) -> LogicEntry {
    let entry = LogicEntry {
        family: table
            .key("family", "the family of the chips that drive the contacts")
            .choice(LogicFamily::ALL.into_iter().map(|family| (family.as_str(), family))),
        output: table
            .key("output", "how they drive the contacts")
            .choice([OutputKind::OpenDrain, OutputKind::PushPull].map(|kind| (kind.as_str(), kind))),
        drives: drives(table),
        supply_volts: table.key("supply_volts", "the supply that they need").triple(),
        supply_amps: table.key("supply_amps", "what they take from it").triple(),
        statement: Statement::read(table),
    };
    table.require(&["family", "output", "supply_volts", "supply_amps"]);
    entry
}

fn drives(table: &mut Table<'_>) -> Option<At<Vec<At<Control>>>> {
    let mut count = 0;
    let key = table
        .key("drives", "the controls whose contacts they drive, the others being switches; all if absent");
    let drives = key.list(|item| {
        count += 1;
        item.name(Control::new)
    });
    if let Some(drives) = drives.as_ref().filter(|_| count == 0) {
        let complaint = Complaint::new(drives.place.clone(), "`drives` names no control");
        table.complain(complaint.help("drop the key if the chips drive all contacts, else drop `[logic]`"));
    }
    drives
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
            closes_to: self.closes_to.or(parent.closes_to),
            series: self.series.or(parent.series),
            ohms: self.ohms.or(parent.ohms),
            other_end: self.other_end.or(parent.other_end),
            low_end: self.low_end.or(parent.low_end),
            called: self.called.or(parent.called),
            statement: self.statement.or(parent.statement),
            note: self.note.or(parent.note),
        }
    }

    /// Whether the file says something of its own about it, for which no other file's source vouches.
    fn is_restated(&self) -> bool {
        self.said
            || !self.there.is_empty()
            || self.closes_to.is_some()
            || self.series.is_some()
            || self.low_end.is_some()
    }
}
