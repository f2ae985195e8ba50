//! What a port's file cannot be told from its keys alone.

use std::collections::{BTreeMap, BTreeSet};

use solderside_quantity::{Amps, Farads, Ohms, Seconds};
use solderside_trade::{ContactId, LogicFamily};

use crate::complaint::{Complaint, listed, quoted};
use crate::contacts::check_range;
use crate::fact::Statement;
use crate::port::{Charge, InputCircuit, Level, Limits, Port, PortContact, PortRole, Step, Supply};
use crate::port_file::{ContactEntry, InputEntry, PortFile, RoleEntry, StepEntry};
use crate::profile_file::{Identity, Names};
use crate::source::{At, Place};
use crate::spelling::nearest;
use crate::word::Action;

/// The name of the only step of a port that drives nothing.
const READ: &str = "read";

/// Checks a port's file after it was laid over the one that it starts from.
pub(crate) fn check(file: PortFile, identity: Identity, complaints: &mut Vec<Complaint>) -> Option<Port> {
    let connector = file.connector.as_ref().map(|at| at.value);
    for (id, entry) in &file.contacts {
        complaints.extend(check_range(*id, &entry.place, connector));
    }
    check_roles(&file, &identity, complaints);
    complaints.extend(without_inputs(&file));

    let actions: Vec<At<Action>> = file.contacts.values().filter_map(|entry| entry.value.action()).collect();
    let names = Names::of_contacts("action", actions.iter(), &identity, complaints);
    let fire_order = identity.own_or_known(file.fire_order, |action| names.has(action));
    names.check_list("fire_order", &fire_order, complaints);
    let drives: BTreeSet<ContactId> = file
        .contacts
        .iter()
        .filter(|(_, entry)| entry.value.role_is(&RoleEntry::Drive))
        .map(|(id, _)| *id)
        .collect();
    let cannot_high: BTreeSet<ContactId> = drives
        .iter()
        .copied()
        .filter(|id| {
            let family = file.contacts.get(id).and_then(|entry| entry.value.family.as_ref());
            family.is_some_and(|family| !family.value.drives_high())
        })
        .collect();
    let steps = steps(file.steps, &identity, &actions, &names, [&drives, &cannot_high], complaints);

    let default = &file.statement;
    let input_names: Vec<&str> = file.inputs.keys().map(String::as_str).collect();
    let mut contacts = BTreeMap::new();
    for (id, entry) in file.contacts {
        let role = role(id, &entry, &input_names, complaints);
        check_strays(&entry, complaints);
        if let Some(role) = role {
            contacts.insert(id, contact(role, entry.value, default));
        }
    }
    let inputs = file
        .inputs
        .iter()
        .filter_map(|(name, entry)| Some((name.clone(), input(name, entry, default, complaints)?)));
    let inputs = inputs.collect();
    Some(Port {
        title: file.heading.title.map_or_else(|| identity.name.clone(), |title| title.value),
        name: identity.name,
        like: identity.ancestors,
        connector: connector?,
        contacts,
        inputs,
        rail: file.rail?.value,
        rail_fact: default.fact(default),
        fire_order: fire_order.into_iter().map(|action| action.value).collect(),
        steps,
        hazard: file.hazard.map(|hazard| hazard.value),
        origin: identity.origin,
    })
}

/// Complains about contacts without a role, and about a port that no controller could use.
fn check_roles(file: &PortFile, identity: &Identity, complaints: &mut Vec<Complaint>) {
    let mut roles = Vec::new();
    for (id, entry) in &file.contacts {
        let Some(role) = &entry.value.role else {
            if !entry.value.said {
                complaints.push(
                    Complaint::new(
                        entry.place.clone(),
                        format!("contact {id} has neither `action` nor `role`"),
                    )
                    .help("add `action = \"NAME\"` or `role = \"unused\"`")
                    .absence(),
                );
            }
            continue;
        };
        roles.push(&role.value);
        if *id == ContactId::Shell && !matches!(role.value, RoleEntry::Return | RoleEntry::Unused) {
            complaints.push(
                Complaint::new(role.place.clone(), "the shell can only be `return` or `unused`")
                    .help("give the role to the contact that has it"),
            );
        }
    }
    // A file without contacts, or a contact without a role, has its complaint already.
    if file.contacts.is_empty() || roles.len() < file.contacts.len() {
        return;
    }
    if let Some(hazard) = &file.hazard {
        let acting = file.contacts.values().filter_map(|entry| entry.value.action());
        complaints.extend(acting.map(|action| {
            Complaint::new(action.place, "a socket with a `hazard` listens for no action")
                .help("write `role = \"sense\"`, or take `hazard` out if controllers go in here")
                .also(hazard.place.clone(), "the hazard")
        }));
        return;
    }
    if !roles.iter().any(|role| matches!(role, RoleEntry::Action(_))) {
        complaints.push(
            Complaint::new(identity.place(), "no contact has an `action`")
                .help("give each contact at which the machine listens `action = \"NAME\"`")
                .absence(),
        );
    }
    if !roles.iter().any(|role| matches!(role, RoleEntry::Return | RoleEntry::Drive)) {
        complaints.push(
            Complaint::new(identity.place(), "no contact is a `return` or a `drive`")
                .help("give the contact to which switches close `role = \"return\"`")
                .absence(),
        );
    }
}

fn role(
    id: ContactId,
    entry: &At<ContactEntry>,
    inputs: &[&str],
    complaints: &mut Vec<Complaint>,
) -> Option<PortRole> {
    let contact = &entry.value;
    let role = contact.role.as_ref()?;
    Some(match &role.value {
        RoleEntry::Action(action) => {
            let input = input_name(id, entry, inputs, complaints)?;
            PortRole::Action { action: action.clone(), input }
        }
        RoleEntry::Sense => PortRole::Sense { input: input_name(id, entry, inputs, complaints)? },
        RoleEntry::Supply => PortRole::Supply(supply(id, entry, "supply", complaints)?),
        // Nothing may be taken where the machine itself is powered.
        RoleEntry::Fed => PortRole::Fed(Supply {
            amps_max: Amps::ZERO,
            amps_max_stated: true,
            ..supply(id, entry, "fed", complaints)?
        }),
        RoleEntry::Signal => PortRole::Signal(supply(id, entry, "signal", complaints)?),
        RoleEntry::Return => PortRole::Return,
        RoleEntry::Drive => PortRole::Drive(contact.family.as_ref().map_or(LogicFamily::Ttl, |at| at.value)),
        RoleEntry::Pot => PortRole::Pot,
        RoleEntry::Unused => PortRole::Unused,
    })
}

/// Reads the voltage that stands on a contact.
fn supply(
    id: ContactId,
    entry: &At<ContactEntry>,
    word: &str,
    complaints: &mut Vec<Complaint>,
) -> Option<Supply> {
    let contact = &entry.value;
    if !contact.has_volts {
        complaints.push(
            Complaint::new(entry.place.clone(), format!("{word} contact {id} has no `volts`"))
                .help("add `volts = [low, typical, high]`")
                .absence(),
        );
    }
    if let Some(ohms) = contact.ohms.as_ref().filter(|at| at.value.low() <= Ohms::ZERO) {
        complaints.push(
            Complaint::new(ohms.place.clone(), format!("`ohms` of a {word} must be above 0, found 0"))
                .help("nothing is without resistance; leave `ohms` out if you do not know it"),
        );
    }
    Some(Supply {
        volts: contact.volts.as_ref()?.value,
        ohms: contact.ohms.as_ref().map_or(Supply::ASSUMED_OHMS, |at| at.value),
        ohms_stated: contact.ohms.is_some(),
        amps_max: contact.amps_max.as_ref().map_or(Supply::ASSUMED_AMPS_MAX, |at| at.value),
        amps_max_stated: contact.amps_max.is_some(),
    })
}

/// Complains once, however many contacts need an input, if the file has none.
fn without_inputs(file: &PortFile) -> Option<Complaint> {
    let needs = |entry: &&At<ContactEntry>| {
        let role = entry.value.role.as_ref().map(|role| &role.value);
        matches!(role, Some(RoleEntry::Action(_) | RoleEntry::Sense)) && entry.value.input.is_none()
    };
    let first = file.contacts.values().find(needs).filter(|_| file.inputs.is_empty())?;
    let headline = "the contacts at which the machine listens need an input, and the file has none";
    let help = format!("add `[input.line]`, and on the next line `family = {}`", families());
    Some(Complaint::new(first.place.clone(), headline).help(help).absence())
}

/// The families that a chip may be of, as a file has them.
fn families() -> String {
    let words: Vec<String> =
        LogicFamily::ALL.iter().map(|family| format!("\"{}\"", family.as_str())).collect();
    words.join(" or ")
}

/// Finds the class of input of a contact: the one it names, or the only one there is.
fn input_name(
    id: ContactId,
    entry: &At<ContactEntry>,
    inputs: &[&str],
    complaints: &mut Vec<Complaint>,
) -> Option<String> {
    let known = listed(inputs.iter().copied(), "or");
    let Some(named) = &entry.value.input else {
        if let [only] = inputs {
            return Some((*only).to_owned());
        }
        if !inputs.is_empty() {
            let headline = format!("contact {id} does not say which `input` it is");
            let help = format!("add `input` with {known}");
            complaints.push(Complaint::new(entry.place.clone(), headline).help(help).absence());
        }
        return None;
    };
    if inputs.contains(&named.value.as_str()) {
        return Some(named.value.clone());
    }
    let help = match nearest(&named.value, inputs.iter().copied()) {
        Some(near) => format!("write `{near}`"),
        None if inputs.is_empty() => format!("add `[input.{}]` with `family = {}`", named.value, families()),
        None => format!("write {known}"),
    };
    let headline = format!("unknown input {}", quoted(&named.value));
    complaints.push(Complaint::new(named.place.clone(), headline).help(help));
    None
}

/// Complains about keys that say nothing about a contact of this role.
fn check_strays(entry: &At<ContactEntry>, complaints: &mut Vec<Complaint>) {
    let contact = &entry.value;
    let Some(role) = &contact.role else { return };
    let listens = matches!(role.value, RoleEntry::Action(_) | RoleEntry::Sense);
    let supplies = role.value == RoleEntry::Supply || role.value == RoleEntry::Signal;
    let stands = supplies || role.value == RoleEntry::Fed;
    let drives = role.value == RoleEntry::Drive;
    let keys: [(&str, &str, bool, Option<&Place>); 6] = [
        ("input", "an action or a `sense` contact", listens, contact.input.as_ref().map(|at| &at.place)),
        (
            "volts",
            "a `supply`, a `fed` contact or a `signal`",
            stands,
            contact.volts.as_ref().map(|at| &at.place),
        ),
        (
            "ohms",
            "a `supply`, a `fed` contact or a `signal`",
            stands,
            contact.ohms.as_ref().map(|at| &at.place),
        ),
        ("amps_max", "a `supply` or a `signal`", supplies, contact.amps_max.as_ref().map(|at| &at.place)),
        ("family", "a `drive`", drives, contact.family.as_ref().map(|at| &at.place)),
        ("driven", "an action or a `sense` contact", listens, contact.driven.as_ref().map(|at| &at.place)),
    ];
    for (key, owner, fits, place) in keys {
        if let (Some(place), false) = (place, fits) {
            complaints.push(
                Complaint::new(place.clone(), format!("`{key}` belongs to {owner}"))
                    .help(format!("drop `{key}`, or correct the role"))
                    .also(role.place.clone(), "the role"),
            );
        }
    }
}

fn contact(role: PortRole, entry: ContactEntry, default: &Statement) -> PortContact {
    PortContact {
        role,
        fact: entry.statement.fact(default),
        limits: Limits {
            volts: entry.limit_volts.map(|at| at.value),
            sink_amps: entry.sink_amps_max.map(|at| at.value),
            source_amps: entry.source_amps_max.map(|at| at.value),
        },
        driven: entry.driven.map(|at| at.value),
        note: entry.note.map(|note| note.value),
    }
}

fn input(
    name: &str,
    entry: &At<InputEntry>,
    default: &Statement,
    complaints: &mut Vec<Complaint>,
) -> Option<InputCircuit> {
    if !entry.value.has_family {
        complaints.push(
            Complaint::new(entry.place.clone(), format!("input {} has no `family`", quoted(name)))
                .help(format!("add `family = {}`", families()))
                .absence(),
        );
    }
    let family = entry.value.family.as_ref()?.value;
    let InputEntry { pull_up, pull_down, charge_farads, charge_seconds, .. } = &entry.value;
    if let Some(at) = pull_down.as_ref().filter(|at| at.value.low() <= Ohms::ZERO) {
        complaints.push(
            Complaint::new(at.place.clone(), "a pull-down of 0 Ω would be a short to the return")
                .help("write what it has at least"),
        );
    }
    if let (Some(up), Some(down)) = (pull_up, pull_down) {
        complaints.push(
            Complaint::new(down.place.clone(), "an input is pulled up or pulled down, not both")
                .help("keep the one that decides how the line idles")
                .also(up.place.clone(), "the pull-up"),
        );
    }
    let charge = match (charge_farads, charge_seconds) {
        (Some(farads), Some(seconds)) => {
            Some((farads, seconds, Charge { farads: farads.value, seconds: seconds.value }))
        }
        (Some(one), None) => {
            complaints.push(alone(&one.place, "charge_farads", "charge_seconds"));
            None
        }
        (None, Some(one)) => {
            complaints.push(alone(&one.place, "charge_seconds", "charge_farads"));
            None
        }
        (None, None) => None,
    };
    if let Some((farads, seconds, charge)) = &charge {
        let zero = [
            (charge.farads.low() <= Farads::ZERO).then_some(("charge_farads", &farads.place)),
            (charge.seconds.low() <= Seconds::ZERO).then_some(("charge_seconds", &seconds.place)),
        ];
        for (key, place) in zero.into_iter().flatten() {
            complaints.push(
                Complaint::new(place.clone(), format!("`{key}` must be above 0, found 0"))
                    .help("write the capacitor's value and the time that the machine waits"),
            );
        }
    }
    let stated = pull_up.as_ref().map(|at| at.value);
    let active_high = pull_down.is_some() || charge.is_some();
    Some(InputCircuit {
        name: name.to_owned(),
        family,
        // The family's own pull-up is for inputs that idle high.
        pull_up: stated.or_else(|| family.pull_up().filter(|_| !active_high).map(|sourced| sourced.value)),
        pull_down: pull_down.as_ref().map(|at| at.value),
        charge: charge.map(|(.., charge)| charge),
        fact: entry.value.statement.fact(default),
    })
}

/// Complains about one of two keys that belong together.
fn alone(place: &Place, key: &str, other: &str) -> Complaint {
    Complaint::new(place.clone(), format!("`{key}` stands without `{other}`"))
        .help(format!("add `{other} = [low, typical, high]`"))
}

fn steps(
    steps: Option<At<Vec<At<StepEntry>>>>,
    identity: &Identity,
    actions: &[At<Action>],
    names: &Names<'_, Action>,
    [drives, cannot_high]: [&BTreeSet<ContactId>; 2],
    complaints: &mut Vec<Complaint>,
) -> Vec<Step> {
    let Some(steps) = steps else {
        return vec![Step { name: READ.to_owned(), ..Step::default() }];
    };
    if steps.value.is_empty() {
        complaints.push(
            Complaint::new(steps.place.clone(), "the reading script has no step")
                .help("add a `[[step]]`, or drop `step`: then all actions are read at once")
                .absence(),
        );
        return Vec::new();
    }
    let mut seen: BTreeMap<String, Place> = BTreeMap::new();
    let mut unread: Vec<&At<Action>> = actions.iter().collect();
    let mut script = Vec::new();
    for At { value: step, .. } in steps.value {
        for (id, level) in &step.drives {
            if level.value == Level::High && cannot_high.contains(id) {
                let headline = format!("contact {id} is an open output, which drives nothing high");
                complaints.push(Complaint::new(level.place.clone(), headline).help("write `released`"));
            }
            if !drives.contains(id) {
                let headline = format!("a step drives contact {id}, which is no `drive`");
                let help = match drives.iter().map(ToString::to_string).collect::<Vec<_>>().as_slice() {
                    [] => "give the contact `role = \"drive\"`, or write `[[step]]` anew".to_owned(),
                    known => format!("drive contacts: {}", listed(known.iter().map(String::as_str), "and")),
                };
                complaints.push(Complaint::new(level.place.clone(), headline).help(help));
            }
        }
        let [quiet, held] = [("quiet", step.quiet), ("held", step.held)].map(|(key, list)| {
            let list = identity.own_or_known(list, |action| names.has(action));
            names.check_list(key, &list, complaints);
            list
        });
        for action in &quiet {
            let also_held = held.iter().find(|other| other.value == action.value);
            complaints.extend(also_held.map(|other| {
                Complaint::new(
                    action.place.clone(),
                    format!("{} is both quiet and held", quoted(action.value.as_str())),
                )
                .help("a line that a key holds low cannot be idle: take it out of one of the two")
                .also(other.place.clone(), "held here")
            }));
        }
        let restricted = step.samples.is_some();
        let samples = identity.own_or_known(step.samples, |action| names.has(action));
        names.check_list("sample", &samples, complaints);
        // A name that is wrong may have been meant for any action.
        let wrong = step.sample_is_wrong || samples.iter().any(|action| !names.has(&action.value));
        unread.retain(|action| restricted && !wrong && samples.iter().all(|it| it.value != action.value));
        let Some(name) = step.name else { continue };
        if let Some(first) = seen.insert(name.value.clone(), name.place.clone()) {
            complaints.push(
                Complaint::new(name.place, format!("two steps are called {}", quoted(&name.value)))
                    .help("give each step a name of its own")
                    .also(first, "the first one"),
            );
        }
        script.push(Step {
            name: name.value,
            drives: step.drives.into_iter().map(|(id, level)| (id, level.value)).collect(),
            samples: restricted.then(|| samples.into_iter().map(|action| action.value).collect()),
            quiet: quiet.into_iter().map(|action| action.value).collect(),
            held: held.into_iter().map(|action| action.value).collect(),
        });
    }
    complaints.extend(unread.into_iter().map(|action| unread_action(action, &steps.place, identity)));
    script
}

/// Complains about an action that no step reads: at the action, unless only the steps are the file's own.
fn unread_action(action: &At<Action>, steps: &Place, identity: &Identity) -> Complaint {
    let headline = format!("no step reads {}", quoted(action.value.as_str()));
    let help = "add it to a step's `sample`, or take the action from its contact";
    if action.place.file == identity.file || steps.file != identity.file {
        Complaint::new(action.place.clone(), headline).help(help)
    } else {
        Complaint::new(steps.clone(), headline).help(help).also(action.place.clone(), "the action")
    }
}

impl ContactEntry {
    fn role_is(&self, role: &RoleEntry) -> bool {
        self.role.as_ref().is_some_and(|own| own.value == *role)
    }

    fn action(&self) -> Option<At<Action>> {
        let role = self.role.as_ref()?;
        match &role.value {
            RoleEntry::Action(action) => Some(At { value: action.clone(), place: role.place.clone() }),
            RoleEntry::Sense
            | RoleEntry::Supply
            | RoleEntry::Fed
            | RoleEntry::Signal
            | RoleEntry::Return
            | RoleEntry::Drive
            | RoleEntry::Pot
            | RoleEntry::Unused => None,
        }
    }
}
