//! What a controller's file cannot be told from its keys alone.

use std::collections::{BTreeMap, BTreeSet};

use solderside_quantity::{Ohms, Triple};
use solderside_trade::{ContactId, OPEN_CONTACT_OHMS};

use crate::complaint::{Complaint, listed};
use crate::contacts::{Contacts, check_range};
use crate::controller::{Controller, ControllerContact, ControllerRole, Gate, PadLogic, Pot, Series};
use crate::controller_file::{ContactEntry, ControllerFile, LogicEntry, RoleEntry};
use crate::fact::Statement;
use crate::inside_check;
use crate::profile_file::{Identity, Names};
use crate::source::{At, Place};
use crate::word::{Axis, Control};

/// Checks a controller's file after it was laid over the one that it starts from.
pub(crate) fn check(
    file: ControllerFile,
    identity: Identity,
    complaints: &mut Vec<Complaint>,
) -> Option<Controller> {
    check_contacts(&file, &identity, complaints);
    let controls: Vec<At<Control>> = named(&file.contacts, ContactEntry::control);
    let at_contacts = Names::of_contacts("control", controls.iter(), &identity, complaints);
    let switches = file.inside.iter().flat_map(|inside| &inside.value.switches);
    let inside: Vec<At<Control>> =
        switches.map(|(control, at)| At { value: control.clone(), place: at.place.clone() }).collect();
    for At { value, place } in &inside {
        if at_contacts.has(value) {
            let headline = format!("control `{value}` has a contact of its own and a switch inside");
            complaints.push(
                Complaint::new(place.clone(), headline)
                    .help("keep one of the two, or give one of them another name"),
            );
        }
    }
    let names = Names::known("control", controls.iter().chain(&inside));
    let called: Vec<At<String>> = named(&file.contacts, |entry| entry.called.clone());
    Names::of_contacts("name", called.iter(), &identity, complaints);
    let axes: Vec<At<Axis>> = named(&file.contacts, ContactEntry::axis);
    Names::of_contacts("axis", axes.iter(), &identity, complaints);
    let fire_order = identity.own_or_known(file.fire_order, |control| names.has(control));
    names.check_list("fire_order", &fire_order, complaints);
    let rollover = identity.own_or_known(file.two_key_rollover, |control| names.has(control));
    names.check_list("two_key_rollover", &rollover, complaints);
    check_rollover(&rollover, file.gate.as_ref().map(|gate| gate.value), complaints);
    let logic = file.logic.map(|mut logic| {
        let stated = logic.value.drives.take();
        let is_stated = stated.is_some();
        let drives = identity.own_or_known(stated, |control| names.has(control));
        names.check_list("drives", &drives, complaints);
        let drives: BTreeSet<Control> = drives.into_iter().map(|control| control.value).collect();
        (logic, is_stated.then_some(drives))
    });

    // A contact is driven by the chips, or it has a switch.
    let driven = |control: &Control| match &logic {
        Some((_, Some(drives))) => drives.contains(control),
        Some((_, None)) => true,
        None => false,
    };
    check_switches(&file.contacts, file.series.as_ref(), &controls, &driven, complaints);
    check_chip_commons(&file.contacts, &driven, complaints);

    let inside =
        inside_check::check(&file.parts, file.inside, &file.contacts, &file.statement, &identity, complaints);
    let commons = commons(&file.contacts);
    let keeps_apart = commons.len() > 1 && says_closes_to(&file.contacts);
    let statement = file.statement;
    let contacts: BTreeMap<ContactId, ControllerContact> = file
        .contacts
        .into_iter()
        .filter_map(|(id, entry)| {
            let control = entry.value.control().map(|control| control.value);
            let ContactEntry { role, closes_to, series, ohms, other_end, low_end, called, note, .. } =
                entry.value;
            let fact = entry.value.statement.fact(&statement);
            let own_series = series.map(|at| (at, fact.clone()));
            let of_file = || file.series.clone().map(|at| (at, statement.fact(&Statement::default())));
            let series = control
                .filter(|control| !driven(control))
                .and_then(|_| own_series.or_else(of_file))
                .filter(|(at, _)| at.value.high() > Ohms::ZERO)
                .map(|(at, fact)| Series { ohms: at.value, fact });
            let closes_to = closes_to.filter(|_| keeps_apart).map(|at| at.value);
            let role = match role?.value {
                RoleEntry::Control(control) => ControllerRole::Control(control),
                RoleEntry::Pot(axis) => ControllerRole::Pot(Pot {
                    axis,
                    ohms: ohms?.value,
                    other_end: other_end?.value,
                    low_end: low_end.map(|at| at.value),
                }),
                RoleEntry::Wired => ControllerRole::Wired { called: called?.value },
                RoleEntry::Common => ControllerRole::Common,
                RoleEntry::Supply => ControllerRole::Supply,
                RoleEntry::DoNotConnect => ControllerRole::DoNotConnect,
                RoleEntry::Unused => ControllerRole::Unused,
            };
            let note = note.map(|note| note.value);
            Some((id, ControllerContact { role, closes_to, series, fact, note }))
        })
        .collect();
    let all = controls.len();
    Some(Controller {
        title: file.heading.title.map_or_else(|| identity.name.clone(), |title| title.value),
        name: identity.name,
        like: identity.ancestors,
        connector: file.connector?.value,
        contacts,
        switch: file.switch?.value,
        // Nothing excluded is the careful reading: it only adds states to the proof.
        gate: file.gate.map_or(Gate::None, |gate| gate.value),
        two_key_rollover: rollover.into_iter().map(|control| control.value).collect(),
        fire_order: fire_order.into_iter().map(|control| control.value).collect(),
        logic: match logic {
            Some((entry, drives)) => {
                // Chips that drive every contact are the common case, however it is written.
                let drives = drives.filter(|drives| drives.len() < all);
                Some(pad_logic(entry.value, drives, &statement)?)
            }
            None => None,
        },
        inside,
        origin: identity.origin,
    })
}

/// Checks that a rollover is about keys, and about so many that it says something.
fn check_rollover(keys: &[At<Control>], gate: Option<Gate>, complaints: &mut Vec<Complaint>) {
    for At { value, place } in keys {
        if gate == Some(Gate::EightWay) && value.direction().is_some() {
            let headline = format!("`two_key_rollover` names `{value}`, which the gate keeps apart already");
            let help = "take it out: a lever is no key";
            complaints.push(Complaint::new(place.clone(), headline).help(help));
        }
    }
    if let [first, ..] = keys
        && keys.len() <= Controller::KEYS_HELD
    {
        let headline = "`two_key_rollover` names fewer than three keys";
        let help = "name all keys of the matrix, or drop it: two keys never bring a third";
        complaints.push(Complaint::new(first.place.clone(), headline).help(help));
    }
}

fn pad_logic(entry: LogicEntry, drives: Option<BTreeSet<Control>>, default: &Statement) -> Option<PadLogic> {
    Some(PadLogic {
        family: entry.family?.value,
        output: entry.output?.value,
        drives: drives.map(|drives| drives.into_iter().collect()),
        supply_volts: entry.supply_volts?.value,
        supply_amps: entry.supply_amps?.value,
        fact: entry.statement.fact(default),
    })
}

fn check_contacts(file: &ControllerFile, identity: &Identity, complaints: &mut Vec<Complaint>) {
    let connector = file.connector.as_ref().map(|at| at.value);
    let mut roles = Vec::new();
    for (id, entry) in &file.contacts {
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
        if *id == ContactId::Shell && !matches!(role.value, RoleEntry::Common | RoleEntry::Unused) {
            complaints.push(
                Complaint::new(role.place.clone(), "the shell can only be `common` or `unused`")
                    .help("give the role to the contact that has it"),
            );
        }
        check_strays(&entry.value, role, complaints);
        check_pot(*id, entry, role, complaints);
        if role.value == RoleEntry::Wired && !entry.value.there.contains("called") {
            complaints.push(
                Complaint::new(entry.place.clone(), format!("the wired contact {id} has no `called`"))
                    .help("add `called = \"NAME\"`: what the trade calls it, such as `data` or `row-1`")
                    .absence(),
            );
        }
    }
    // A file without contacts, or a contact without a role, has its complaint already.
    if file.contacts.is_empty() || roles.len() < file.contacts.len() {
        return;
    }
    check_targets(&file.contacts, identity, complaints);
    let has_switches = roles.iter().any(|role| matches!(role, RoleEntry::Control(_)));
    let inside = file.inside.as_ref().map(|inside| &inside.value);
    // Switches inside say themselves where they lead.
    if !roles.contains(&&RoleEntry::Common) && (has_switches || inside.is_none()) {
        complaints.push(
            Complaint::new(identity.place(), "no contact is `common`")
                .help("give the contact to which all switches close `role = \"common\"`")
                .absence(),
        );
    }
    if !has_switches && inside.is_none_or(|inside| inside.switches.is_empty()) {
        complaints.push(
            Complaint::new(identity.place(), "no contact has a `control`")
                .help("give each switch's contact `control = \"NAME\"`, or name the switches in `[inside.switches]`")
                .absence(),
        );
    }
    if let Some(logic) = &file.logic
        && !roles.contains(&&RoleEntry::Supply)
    {
        complaints.push(
            Complaint::new(logic.place.clone(), "a pad with `[logic]` has no supply contact")
                .label("these chips need a supply")
                .help("give the contact that feeds them `role = \"supply\"`")
                .absence(),
        );
    }
}

/// Complains about keys that a contact of this role does not have.
fn check_strays(entry: &ContactEntry, role: &At<RoleEntry>, complaints: &mut Vec<Complaint>) {
    let switches = matches!(role.value, RoleEntry::Control(_));
    let turns = matches!(role.value, RoleEntry::Pot(_));
    let is_wired = role.value == RoleEntry::Wired;
    let keys: [(&str, &str, bool, Option<&Place>); 6] = [
        ("closes_to", "a `control`", switches, entry.closes_to.as_ref().map(|at| &at.place)),
        ("series_ohms", "a `control`", switches, entry.series.as_ref().map(|at| &at.place)),
        ("ohms", "a `pot`", turns, entry.ohms.as_ref().map(|at| &at.place)),
        ("other_end", "a `pot`", turns, entry.other_end.as_ref().map(|at| &at.place)),
        ("low", "a `pot`", turns, entry.low_end.as_ref().map(|at| &at.place)),
        ("called", "a `wired` contact", is_wired, entry.called.as_ref().map(|at| &at.place)),
    ];
    for (key, owner, fits, place) in keys {
        if let (Some(place), false) = (place, fits) {
            let help = match key {
                "ohms" if switches => "write `series_ohms` if a resistor stands in series with the switch",
                _ => "drop the key, or correct what the contact is for",
            };
            complaints.push(
                Complaint::new(place.clone(), format!("`{key}` belongs to {owner}"))
                    .help(help)
                    .also(role.place.clone(), "the contact's own word"),
            );
        }
    }
}

fn check_pot(id: ContactId, entry: &At<ContactEntry>, role: &At<RoleEntry>, complaints: &mut Vec<Complaint>) {
    if !matches!(role.value, RoleEntry::Pot(_)) {
        return;
    }
    for (key, help) in [
        ("ohms", "add `ohms = [low, typical, high]`: its full travel, end to end"),
        ("other_end", "add `other_end = N`: the contact at which its other end sits"),
    ] {
        if !entry.value.there.contains(key) {
            let headline = format!("the pot on contact {id} has no `{key}`");
            complaints.push(Complaint::new(entry.place.clone(), headline).help(help).absence());
        }
    }
    if let Some(zero) = entry.value.ohms.as_ref().filter(|at| at.value.low() == Ohms::ZERO) {
        complaints.push(
            Complaint::new(zero.place.clone(), "a pot of 0 Ω is a piece of wire")
                .help("write the resistance of its full travel, end to end"),
        );
    }
}

/// Complains about switches and pots that end at contacts where they cannot, and about switches that do not
/// say where they end although others do.
fn check_targets(contacts: &Contacts<ContactEntry>, identity: &Identity, complaints: &mut Vec<Complaint>) {
    let commons = commons(contacts);
    let feeds = |role: &RoleEntry| matches!(role, RoleEntry::Common | RoleEntry::Supply);
    let role_of = |id: ContactId| contacts.get(&id).and_then(|entry| entry.value.role.as_ref());
    let known = |wanted: &dyn Fn(&RoleEntry) -> bool| {
        let ids = contacts.keys().filter(|id| role_of(**id).is_some_and(|role| wanted(&role.value)));
        listed(ids.map(ToString::to_string).collect::<Vec<_>>().iter().map(String::as_str), "or")
    };
    // The profile's own file is the one to mend.
    let complaint = |target: &At<ContactId>, headline: String, help: String| {
        let theirs = role_of(target.value).map(|role| role.place.clone());
        match theirs {
            Some(theirs) if theirs.file == identity.file && target.place.file != identity.file => {
                Complaint::new(theirs, headline).help(help).also(target.place.clone(), "what ends there")
            }
            Some(theirs) => {
                Complaint::new(target.place.clone(), headline).help(help).also(theirs, "that contact")
            }
            None => Complaint::new(target.place.clone(), headline).help(help),
        }
    };
    for (id, entry) in contacts {
        if let Some(target) = &entry.value.closes_to
            && !commons.contains(&target.value)
        {
            let headline = format!("contact {id} closes to contact {}, which is not `common`", target.value);
            let help = format!("close it to {}", known(&|role| *role == RoleEntry::Common));
            complaints.push(complaint(target, headline, help));
        }
        if let Some(target) = &entry.value.other_end
            && !role_of(target.value).is_some_and(|role| feeds(&role.value))
        {
            let headline =
                format!("the pot on contact {id} ends at {}, no `supply` and no `common`", target.value);
            let help = format!("let it end at {}", known(&feeds));
            complaints.push(complaint(target, headline, help));
        }
        if entry.value.control().is_some()
            && entry.value.closes_to.is_none()
            && commons.len() > 1
            && says_closes_to(contacts)
        {
            let headline = format!("contact {id} does not say to which common its switch closes");
            let help =
                format!("add `closes_to`, as others have: {}", known(&|role| *role == RoleEntry::Common));
            complaints.push(Complaint::new(entry.place.clone(), headline).help(help).absence());
        }
    }
}

/// Complains about series resistors where no switch is, and about such as pass for an open contact.
fn check_switches(
    contacts: &Contacts<ContactEntry>,
    of_file: Option<&At<Triple<Ohms>>>,
    controls: &[At<Control>],
    driven: &impl Fn(&Control) -> bool,
    complaints: &mut Vec<Complaint>,
) {
    if let Some(series) =
        of_file.filter(|_| !controls.is_empty() && controls.iter().all(|at| driven(&at.value)))
    {
        complaints.push(
            Complaint::new(
                series.place.clone(),
                "no switch takes the `series_ohms`: chips drive all contacts",
            )
            .help("drop it, or name in the chips' `drives` what they drive"),
        );
    }
    let mut stated: Vec<&At<Triple<Ohms>>> = of_file.into_iter().collect();
    for entry in contacts.values() {
        let (Some(control), Some(series)) = (entry.value.control(), &entry.value.series) else { continue };
        if driven(&control.value) {
            let headline = format!("`series_ohms` stands at `{}`, which a chip drives", control.value);
            complaints.push(
                Complaint::new(series.place.clone(), headline)
                    .help("drop it, or name in the chips' `drives` only what they drive"),
            );
        } else {
            stated.push(series);
        }
    }
    for series in stated.into_iter().filter(|series| series.value.high() >= OPEN_CONTACT_OHMS.value) {
        let headline = format!("a switch behind {} is taken for an open one", OPEN_CONTACT_OHMS.value);
        complaints.push(
            Complaint::new(series.place.clone(), headline)
                .help(format!("write a resistance below {}", OPEN_CONTACT_OHMS.value)),
        );
    }
}

/// Complains about chips with several grounds.
fn check_chip_commons(
    contacts: &Contacts<ContactEntry>,
    driven: &impl Fn(&Control) -> bool,
    complaints: &mut Vec<Complaint>,
) {
    let mut grounds = contacts.values().filter_map(|entry| {
        let control = entry.value.control()?;
        entry.value.closes_to.as_ref().filter(|_| driven(&control.value))
    });
    let Some(first) = grounds.next() else { return };
    if let Some(other) = grounds.find(|ground| ground.value != first.value) {
        complaints.push(
            Complaint::new(other.place.clone(), "the chips' contacts close to different commons")
                .help("chips have one ground: let all contacts that they drive close to it")
                .also(first.place.clone(), "the first one"),
        );
    }
}

fn commons(contacts: &Contacts<ContactEntry>) -> BTreeSet<ContactId> {
    let is_common =
        |entry: &ContactEntry| entry.role.as_ref().is_some_and(|role| role.value == RoleEntry::Common);
    contacts.iter().filter(|(_, entry)| is_common(&entry.value)).map(|(id, _)| *id).collect()
}

/// Whether any control says to which common it closes.
fn says_closes_to(contacts: &Contacts<ContactEntry>) -> bool {
    contacts.values().any(|entry| entry.value.closes_to.is_some() && entry.value.control().is_some())
}

fn named<T>(contacts: &Contacts<ContactEntry>, name: impl Fn(&ContactEntry) -> Option<At<T>>) -> Vec<At<T>> {
    contacts.values().filter_map(|entry| name(&entry.value)).collect()
}

impl ContactEntry {
    fn control(&self) -> Option<At<Control>> {
        let role = self.role.as_ref()?;
        if let RoleEntry::Control(control) = &role.value {
            Some(At { value: control.clone(), place: role.place.clone() })
        } else {
            None
        }
    }

    fn axis(&self) -> Option<At<Axis>> {
        let role = self.role.as_ref()?;
        if let RoleEntry::Pot(axis) = &role.value {
            Some(At { value: axis.clone(), place: role.place.clone() })
        } else {
            None
        }
    }
}
