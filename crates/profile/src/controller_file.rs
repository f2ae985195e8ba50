//! The file of a controller: its keys, its descent, its checks.

use solderside_quantity::{Amps, Triple, Volts};
use solderside_trade::{Connector, ContactId, LogicFamily, SwitchKind};

use crate::complaint::Complaint;
use crate::contacts::{Contacts, check_range, connector, contacts};
use crate::controller::{Controller, ControllerContact, ControllerRole, Gate, OutputKind, PadLogic};
use crate::document::Table;
use crate::fact::Statement;
use crate::heading::{Heading, Kind, profile_heading};
use crate::profile_file::{Identity, Names, ProfileFile, lay_over};
use crate::source::At;
use crate::word::Control;

/// A controller's file as it stands.
#[derive(Debug)]
pub(crate) struct ControllerFile {
    heading: Heading,
    connector: Option<At<Connector>>,
    switch: Option<At<SwitchKind>>,
    gate: Option<At<Gate>>,
    fire_order: Option<At<Vec<At<Control>>>>,
    statement: Statement,
    contacts: Contacts<ContactEntry>,
    logic: Option<At<LogicEntry>>,
}

/// A `[contact.N]` table.
#[derive(Debug)]
struct ContactEntry {
    /// `role` or `control`, if one is there and can be read.
    role: Option<At<ControllerRole>>,
    /// Whether one of them is there at all.
    said: bool,
    statement: Statement,
    note: Option<At<String>>,
}

/// The `[logic]` table.
#[derive(Debug)]
struct LogicEntry {
    family: Option<At<LogicFamily>>,
    output: Option<At<OutputKind>>,
    supply_volts: Option<At<Triple<Volts>>>,
    supply_amps: Option<At<Triple<Amps>>>,
    statement: Statement,
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
            gate: table
                .key("gate", "what keeps directions apart: a lever, or nothing (if absent)")
                .choice([Gate::EightWay, Gate::None].map(|gate| (gate.as_str(), gate))),
            fire_order: table
                .key("fire_order", "the fire buttons, the first first")
                .list(|item| item.name(Control::new)),
            statement: Statement::read(table),
            contacts: contacts(table.key("contact", "what is known of each contact"), contact_entry),
            logic: table.key("logic", "the chips inside, if there are any").table(logic_entry),
        };
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

    fn over(self, parent: Self) -> Self {
        Self {
            heading: self.heading,
            connector: self.connector.or(parent.connector),
            switch: self.switch.or(parent.switch),
            gate: self.gate.or(parent.gate),
            fire_order: self.fire_order.or(parent.fire_order),
            statement: self.statement.or(parent.statement),
            contacts: lay_over(self.contacts, parent.contacts, ContactEntry::over),
            logic: self.logic.or(parent.logic),
        }
    }

    fn check(self, identity: Identity, complaints: &mut Vec<Complaint>) -> Option<Controller> {
        self.check_contacts(&identity, complaints);
        let controls = self.contacts.values().filter_map(|entry| entry.value.control());
        // The names borrow their places from here.
        let controls: Vec<At<Control>> = controls.collect();
        let names = Names::of_contacts("control", controls.iter(), &identity, complaints);
        let fire_order = identity.own_or_known(self.fire_order, |control| names.has(control));
        names.check_list("fire_order", &fire_order, complaints);

        let contacts = self.contacts.into_iter().filter_map(|(id, entry)| {
            let ContactEntry { role, statement, note, said: _ } = entry.value;
            let fact = statement.fact(&self.statement);
            let note = note.map(|note| note.value);
            Some((id, ControllerContact { role: role?.value, fact, note }))
        });
        Some(Controller {
            title: self.heading.title.map_or_else(|| identity.name.clone(), |title| title.value),
            name: identity.name,
            like: identity.ancestors,
            connector: self.connector?.value,
            contacts: contacts.collect(),
            switch: self.switch?.value,
            // Nothing excluded is the careful reading: it only adds states to the proof.
            gate: self.gate.map_or(Gate::None, |gate| gate.value),
            fire_order: fire_order.into_iter().map(|control| control.value).collect(),
            logic: match self.logic {
                Some(logic) => Some(logic.value.checked(&self.statement)?),
                None => None,
            },
            origin: identity.origin,
        })
    }
}

impl ControllerFile {
    fn check_contacts(&self, identity: &Identity, complaints: &mut Vec<Complaint>) {
        let connector = self.connector.as_ref().map(|at| at.value);
        let mut roles = Vec::new();
        for (id, entry) in &self.contacts {
            complaints.extend(check_range(*id, &entry.place, connector));
            let Some(role) = &entry.value.role else {
                if !entry.value.said {
                    let headline = format!("contact {id} has neither `control` nor `role`");
                    complaints.push(
                        Complaint::new(entry.place.clone(), headline)
                            .help("add `control = \"NAME\"` or `role = \"unused\"`")
                            .absence(),
                    );
                }
                continue;
            };
            roles.push(&role.value);
            if *id == ContactId::Shell
                && matches!(role.value, ControllerRole::Control(_) | ControllerRole::Supply)
            {
                complaints.push(
                    Complaint::new(role.place.clone(), "the shell can only be `common` or `unused`")
                        .help("give the role to the contact that has it"),
                );
            }
        }
        // A file without contacts, or a contact without a role, has its complaint already.
        if self.contacts.is_empty() || roles.len() < self.contacts.len() {
            return;
        }
        if !roles.contains(&&ControllerRole::Common) {
            complaints.push(
                Complaint::new(identity.place(), "no contact is `common`")
                    .help("give the contact to which all switches close `role = \"common\"`")
                    .absence(),
            );
        }
        if !roles.iter().any(|role| matches!(role, ControllerRole::Control(_))) {
            complaints.push(
                Complaint::new(identity.place(), "no contact has a `control`")
                    .help("give each switch's contact `control = \"NAME\"`")
                    .absence(),
            );
        }
        if let Some(logic) = &self.logic
            && !roles.contains(&&ControllerRole::Supply)
        {
            complaints.push(
                Complaint::new(logic.place.clone(), "a pad with `[logic]` has no supply contact")
                    .label("these chips need a supply")
                    .help("give the contact that feeds them `role = \"supply\"`")
                    .absence(),
            );
        }
    }
}

fn contact_entry(table: &mut Table<'_>) -> ContactEntry {
    let control = table.key("control", "the control whose switch is here").name(Control::new);
    let role = table.key("role", "what the contact is for, if it is no control").choice([
        ("common", ControllerRole::Common),
        ("supply", ControllerRole::Supply),
        ("unused", ControllerRole::Unused),
    ]);
    table.exclude("control", "role");
    table.foreign(
        "action",
        "`action` stands in a controller's file, expected `control`",
        "write `control`: the machine's port has the actions",
    );
    ContactEntry {
        said: table.has("control") || table.has("role"),
        role: control.map(|control| control.map(ControllerRole::Control)).or(role),
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
        supply_volts: table.key("supply_volts", "the supply that they need").triple(),
        supply_amps: table.key("supply_amps", "what they take from it").triple(),
        statement: Statement::read(table),
    };
    table.require(&["family", "output", "supply_volts", "supply_amps"]);
    entry
}

impl ContactEntry {
    fn over(self, parent: Self) -> Self {
        // Another role is another fact: nothing that was said of the old one holds.
        if self.said {
            return self;
        }
        Self {
            role: parent.role,
            said: parent.said,
            statement: self.statement.or(parent.statement),
            note: self.note.or(parent.note),
        }
    }

    fn control(&self) -> Option<At<Control>> {
        let role = self.role.as_ref()?;
        match &role.value {
            ControllerRole::Control(control) => {
                Some(At { value: control.clone(), place: role.place.clone() })
            }
            ControllerRole::Common | ControllerRole::Supply | ControllerRole::Unused => None,
        }
    }
}

impl LogicEntry {
    fn checked(self, default: &Statement) -> Option<PadLogic> {
        Some(PadLogic {
            family: self.family?.value,
            output: self.output?.value,
            supply_volts: self.supply_volts?.value,
            supply_amps: self.supply_amps?.value,
            fact: self.statement.fact(default),
        })
    }
}
