//! What a port's file cannot be told from its keys alone.

use std::collections::BTreeMap;

use solderside_quantity::{Amps, Ohms, Quantity};
use solderside_trade::{ContactId, LogicFamily};

use crate::complaint::{Complaint, listed, quoted};
use crate::contacts::check_range;
use crate::fact::Statement;
use crate::port::{AxisInput, Charge, InputCircuit, Limits, Port, PortContact, PortRole, Ramp, Supply};
use crate::port_file::{ContactEntry, InputEntry, PortFile, RoleEntry};
use crate::profile_file::{Identity, Names};
use crate::script::Lines;
use crate::source::{At, Place, SourceFile};
use crate::spelling::nearest;
use crate::word::{Action, Axis};

/// Checks a port's file after it was laid over the one that it starts from.
pub(crate) fn check(file: PortFile, identity: Identity, complaints: &mut Vec<Complaint>) -> Option<Port> {
    let connector = file.connector.as_ref().map(|at| at.value);
    for (id, entry) in &file.contacts {
        complaints.extend(check_range(*id, &entry.place, connector));
    }
    check_roles(&file, &identity, complaints);
    complaints.extend(without_inputs(&file));
    complaints.extend(beside_others(&file, &identity.file));

    let actions: Vec<At<Action>> = file.contacts.values().filter_map(|entry| entry.value.action()).collect();
    let names = Names::of_contacts("action", actions.iter(), &identity, complaints);
    let axes: Vec<_> = file.contacts.values().filter_map(|entry| entry.value.measured().cloned()).collect();
    Names::of_contacts("axis", axes.iter(), &identity, complaints);
    let called: Vec<_> = file.contacts.values().filter_map(|entry| entry.value.called.clone()).collect();
    Names::of_contacts("name", called.iter(), &identity, complaints);
    let reads = file.steps.iter().flat_map(|steps| &steps.value).flat_map(|step| &step.value.reads);
    // What is taken over from a profile, but no longer from a line that there is, is not read.
    let is_read = |id: &At<ContactId>| {
        let entry = file.contacts.get(&id.value);
        id.place.file == identity.file || entry.is_some_and(|entry| entry.value.role_is(&RoleEntry::Data))
    };
    let read: Vec<&At<Action>> = reads.filter(|(id, _)| is_read(id)).map(|(_, action)| action).collect();
    let all = Names::known("action", actions.iter().chain(read.iter().copied()));
    let fire_order = identity.own_or_known(file.fire_order, |action| all.has(action));
    all.check_list("fire_order", &fire_order, complaints);
    let steps = Lines::of(&file.contacts, &names, &identity).script(file.steps, complaints);

    let default = &file.statement;
    let mut contacts = BTreeMap::new();
    for (id, entry) in file.contacts {
        let inputs = Inputs { all: &file.inputs, own: &identity.file };
        let role = role(id, &entry, inputs, complaints);
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
        rest: file.rest.map(|rest| rest.value),
        hazard: file.hazard.map(|hazard| hazard.value),
        bus: file.bus.map(|bus| bus.value),
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
    let hazard = file.hazard.as_ref().map(|hazard| {
        let help = "write `role = \"sense\"`, or take `hazard` out if controllers go in here";
        ("a socket with a `hazard` listens for no action", help, &hazard.place, "the hazard")
    });
    let protocol = file.bus.as_ref().map(|bus| {
        let help = "write `role = \"sense\"`, or take `bus` out if the machine looks at levels here";
        ("a port that speaks a protocol looks at no contact for an action", help, &bus.place, "the protocol")
    });
    if let Some((headline, help, place, what)) = hazard.or(protocol) {
        let listening = file.contacts.values().filter_map(|entry| entry.value.role.as_ref());
        complaints.extend(
            listening.filter(|role| role.value.listens()).map(|role| {
                Complaint::new(role.place.clone(), headline).help(help).also(place.clone(), what)
            }),
        );
        return;
    }
    if !roles.iter().any(|role| role.listens()) {
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

/// The classes of input, and the file that is checked, in which some of them stand.
#[derive(Clone, Copy)]
struct Inputs<'f> {
    all: &'f BTreeMap<String, At<InputEntry>>,
    own: &'f SourceFile,
}

fn role(
    id: ContactId,
    entry: &At<ContactEntry>,
    inputs: Inputs<'_>,
    complaints: &mut Vec<Complaint>,
) -> Option<PortRole> {
    let contact = &entry.value;
    let role = contact.role.as_ref()?;
    Some(match &role.value {
        RoleEntry::Action(action) => {
            let input = input_name(id, entry, inputs, complaints)?;
            PortRole::Action { action: action.clone(), input }
        }
        RoleEntry::Data => PortRole::Data { input: input_name(id, entry, inputs, complaints)? },
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
        RoleEntry::Axis => PortRole::Axis(axis_input(id, entry, inputs, complaints)?),
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
    if !contact.there.contains("volts") {
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

/// Reads where an axis is measured.
fn axis_input(
    id: ContactId,
    entry: &At<ContactEntry>,
    inputs: Inputs<'_>,
    complaints: &mut Vec<Complaint>,
) -> Option<AxisInput> {
    let ContactEntry { axis, full_scale, reads_seconds, low_end, .. } = &entry.value;
    for (key, help) in [
        ("axis", "add `axis = \"NAME\"`: what is measured here"),
        ("full_scale_ohms", "add `full_scale_ohms`: what a pot has at the end of its travel"),
        ("reads_seconds", "add `reads_seconds = [shortest, longest]`: what the machine can measure"),
    ] {
        if !entry.value.there.contains(key) {
            let headline = format!("axis contact {id} has no `{key}`");
            complaints.push(Complaint::new(entry.place.clone(), headline).help(help).absence());
        }
    }
    if let Some(zero) = full_scale.as_ref().filter(|at| at.value <= Ohms::ZERO) {
        complaints.push(
            Complaint::new(zero.place.clone(), "a pot of 0 Ω is a piece of wire")
                .help("write the resistance of its full travel, end to end"),
        );
    }
    let input = input_name(id, entry, inputs, complaints);
    Some(AxisInput {
        axis: axis.as_ref()?.value.clone(),
        input: input?,
        full_scale: full_scale.as_ref()?.value,
        reads: reads_seconds.as_ref()?.value,
        low_end: low_end.as_ref().map(|at| at.value),
    })
}

/// Complains once, however many contacts need an input, if the file has none.
fn without_inputs(file: &PortFile) -> Option<Complaint> {
    let first = file.contacts.values().find(|entry| lacks_input(entry)).filter(|_| file.inputs.is_empty())?;
    let headline = "the contacts at which the machine listens need an input, and the file has none";
    let help = format!("add `[input.line]`, and on the next line `family = {}`", families());
    Some(Complaint::new(first.place.clone(), headline).help(help).absence())
}

/// Complains once about all contacts that the file took over and that had the only input, where it adds another: what it
/// starts from is not to blame.
fn beside_others(file: &PortFile, own: &SourceFile) -> Option<Complaint> {
    let (name, added) = file.inputs.iter().find(|(_, input)| input.place.file == *own)?;
    let others: Vec<&str> = file.inputs.keys().filter(|other| *other != name).map(String::as_str).collect();
    let lacking = file.contacts.iter().filter(|(_, entry)| entry.place.file != *own && lacks_input(entry));
    let lacking: Vec<String> = lacking.map(|(id, _)| id.to_string()).collect();
    let first = lacking.first().filter(|_| !others.is_empty())?;
    let headline = match lacking.as_slice() {
        [only] => format!("contact {only} does not say which `input` it has"),
        [all @ .., last] => {
            format!("contacts {} and {last} do not say which `input` they have", all.join(", "))
        }
        [] => return None,
    };
    let help = format!(
        "call this one {} to change what they have, or add `input` to each of them, such as `[contact.{first}]` with \
         `input = \"{name}\"`",
        listed(others, "or")
    );
    Some(Complaint::new(added.place.clone(), headline).label("beside this one").help(help).absence())
}

/// Whether the machine listens at a contact, and it does not say by which input.
fn lacks_input(entry: &At<ContactEntry>) -> bool {
    let role = entry.value.role.as_ref().map(|role| &role.value);
    let listens =
        matches!(role, Some(RoleEntry::Action(_) | RoleEntry::Data | RoleEntry::Axis | RoleEntry::Sense));
    listens && entry.value.input.is_none()
}

/// The families that a chip may be of, as a file has them.
fn families() -> String {
    let words: Vec<String> =
        LogicFamily::ALL.iter().map(|family| format!("\"{}\"", family.as_str())).collect();
    words.join(" or ")
}

/// Finds the class of input of a contact: the one it names, or the only one there is. An axis has a class that
/// is measured, all others have one with levels.
fn input_name(
    id: ContactId,
    entry: &At<ContactEntry>,
    inputs: Inputs<'_>,
    complaints: &mut Vec<Complaint>,
) -> Option<String> {
    let Inputs { all: inputs, own } = inputs;
    let names: Vec<&str> = inputs.keys().map(String::as_str).collect();
    let known = listed(names.iter().copied(), "or");
    let (name, place) = match (&entry.value.input, names.as_slice()) {
        (Some(named), _) => (named.value.as_str(), &named.place),
        (None, [only]) => (*only, &entry.place),
        // That there is none is told once for all of them.
        (None, []) => return None,
        (None, _) => {
            // Of contacts that the file took over it is told once.
            if entry.place.file != *own && inputs.values().any(|input| input.place.file == *own) {
                return None;
            }
            let headline = format!("contact {id} does not say which `input` it is");
            let help = format!("add `input` with {known}");
            complaints.push(Complaint::new(entry.place.clone(), headline).help(help).absence());
            return None;
        }
    };
    let Some(input) = inputs.get(name) else {
        let help = match nearest(name, names.iter().copied()) {
            Some(near) => format!("write `{near}`"),
            None if names.is_empty() => format!("add `[input.{name}]` with `family = {}`", families()),
            None => format!("write {known}"),
        };
        complaints.push(Complaint::new(place.clone(), format!("unknown input {}", quoted(name))).help(help));
        return None;
    };
    let measures = entry.value.role_is(&RoleEntry::Axis);
    if measures != input.value.is_measured() {
        let (headline, help) = if measures {
            (
                format!("axis contact {id} has the input {}, which measures nothing", quoted(name)),
                "give the input `charge_farads`, `series_ohms` and `threshold_share`, or name another one",
            )
        } else {
            (
                format!("contact {id} has the input {}, which has no levels", quoted(name)),
                "only an `axis` contact is measured: name another input, or correct the role",
            )
        };
        complaints
            .push(Complaint::new(place.clone(), headline).help(help).also(input.place.clone(), "that input"));
    }
    Some(name.to_owned())
}

/// Complains about keys that say nothing about a contact of this role.
fn check_strays(entry: &At<ContactEntry>, complaints: &mut Vec<Complaint>) {
    let contact = &entry.value;
    let Some(role) = &contact.role else { return };
    let measures = role.value == RoleEntry::Axis;
    let listens = role.value.listens() && !measures || role.value == RoleEntry::Sense;
    let supplies = role.value == RoleEntry::Supply || role.value == RoleEntry::Signal;
    let stands = supplies || role.value == RoleEntry::Fed;
    let drives = role.value == RoleEntry::Drive;
    let named = drives || role.value == RoleEntry::Data;
    let keys: [(&str, &str, bool, Option<&Place>); 11] = [
        (
            "input",
            "an action, an `axis`, a `data` or a `sense` contact",
            listens || measures,
            contact.input.as_ref().map(|at| &at.place),
        ),
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
        (
            "driven",
            "an action, a `data` or a `sense` contact",
            listens,
            contact.driven.as_ref().map(|at| &at.place),
        ),
        ("called", "a `data` or a `drive` line", named, contact.called.as_ref().map(|at| &at.place)),
        ("axis", "an `axis` contact", measures, contact.axis.as_ref().map(|at| &at.place)),
        ("full_scale_ohms", "an `axis` contact", measures, contact.full_scale.as_ref().map(|at| &at.place)),
        ("reads_seconds", "an `axis` contact", measures, contact.reads_seconds.as_ref().map(|at| &at.place)),
        ("low", "an `axis` contact", measures, contact.low_end.as_ref().map(|at| &at.place)),
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
        called: entry.called.map(|at| at.value),
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
    let InputEntry { pull_up, pull_down, .. } = &entry.value;
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
    let is_measured = entry.value.is_measured();
    if let Some(at) = &entry.value.settle
        && (is_measured || entry.value.charge_farads.is_some())
    {
        complaints.push(
            Complaint::new(
                at.place.clone(),
                "an input that is measured by its charging has no time to settle",
            )
            .help("drop `settle_seconds`: how long it charges is what the machine reads"),
        );
    }
    let ramp = ramp(&entry.value, complaints);
    let charge = if is_measured { None } else { charge_in_time(&entry.value, complaints) };
    let stated = pull_up.as_ref().map(|at| at.value);
    let idles_high = pull_down.is_none() && charge.is_none() && !is_measured;
    Some(InputCircuit {
        name: name.to_owned(),
        family,
        // The family's own pull-up is for inputs that idle high.
        pull_up: stated.or_else(|| family.pull_up().filter(|_| idles_high).map(|sourced| sourced.value)),
        pull_down: pull_down.as_ref().map(|at| at.value),
        charge,
        ramp,
        settle: entry.value.settle.as_ref().map(|at| at.value),
        fact: entry.value.statement.fact(default),
    })
}

/// Reads what must charge in time.
fn charge_in_time(entry: &InputEntry, complaints: &mut Vec<Complaint>) -> Option<Charge> {
    let (farads, seconds) = match (&entry.charge_farads, &entry.charge_seconds) {
        (Some(farads), Some(seconds)) => (farads, seconds),
        (Some(one), None) => {
            complaints.push(alone(&one.place, "charge_farads", "charge_seconds"));
            return None;
        }
        (None, Some(one)) => {
            complaints.push(alone(&one.place, "charge_seconds", "charge_farads"));
            return None;
        }
        (None, None) => return None,
    };
    let help = "write the capacitor's value and the time that the machine waits";
    complaints.extend(zero("charge_farads", farads.value.low(), &farads.place, help));
    complaints.extend(zero("charge_seconds", seconds.value.low(), &seconds.place, help));
    Some(Charge { farads: farads.value, seconds: seconds.value })
}

/// Reads what an axis charges, and how far.
fn ramp(entry: &InputEntry, complaints: &mut Vec<Complaint>) -> Option<Ramp> {
    let InputEntry { charge_farads, charge_seconds, series, threshold, .. } = entry;
    let places = [series.as_ref().map(|at| &at.place), threshold.as_ref().map(|at| &at.place)];
    let stated = *places.iter().flatten().next()?;
    if let Some(seconds) = charge_seconds {
        complaints.push(
            Complaint::new(seconds.place.clone(), "an input is read as a level or measured, not both")
                .help("drop `charge_seconds`, or `series_ohms` and `threshold_share`")
                .also(stated.clone(), "it is measured"),
        );
    }
    for (key, there) in [
        ("charge_farads", charge_farads.is_some()),
        ("series_ohms", series.is_some()),
        ("threshold_share", threshold.is_some()),
    ] {
        if !there {
            let headline = format!("an input that is measured has no `{key}`");
            let help = format!("add `{key} = [low, typical, high]`");
            complaints.push(Complaint::new(stated.clone(), headline).help(help).absence());
        }
    }
    let (farads, series, threshold) = (charge_farads.as_ref()?, series.as_ref()?, threshold.as_ref()?);
    let help = "write the capacitor's value";
    complaints.extend(zero("charge_farads", farads.value.low(), &farads.place, help));
    if threshold.value.low().get() <= 0.0 || threshold.value.high().get() >= 1.0 {
        complaints.push(
            Complaint::new(threshold.place.clone(), "`threshold_share` must lie between 0 and 1").help(
                "a capacitor never charges to the whole rail: write the share at which it counts as charged",
            ),
        );
    }
    Some(Ramp { farads: farads.value, series: series.value, threshold: threshold.value })
}

fn zero<T: Quantity>(key: &str, lowest: T, place: &Place, help: &str) -> Option<Complaint> {
    let complaint = || Complaint::new(place.clone(), format!("`{key}` must be above 0, found 0")).help(help);
    (lowest.get() <= 0.0).then(complaint)
}

/// Complains about one of two keys that belong together.
fn alone(place: &Place, key: &str, other: &str) -> Complaint {
    Complaint::new(place.clone(), format!("`{key}` stands without `{other}`"))
        .help(format!("add `{other} = [low, typical, high]`"))
}

impl RoleEntry {
    /// Whether the machine reads something here that a player does.
    fn listens(&self) -> bool {
        matches!(self, Self::Action(_) | Self::Data | Self::Axis)
    }
}

impl ContactEntry {
    pub(crate) fn role_is(&self, role: &RoleEntry) -> bool {
        self.role.as_ref().is_some_and(|own| own.value == *role)
    }

    pub(crate) fn action(&self) -> Option<At<Action>> {
        let role = self.role.as_ref()?;
        if let RoleEntry::Action(action) = &role.value {
            Some(At { value: action.clone(), place: role.place.clone() })
        } else {
            None
        }
    }

    /// What an axis contact measures.
    fn measured(&self) -> Option<&At<Axis>> {
        self.axis.as_ref().filter(|_| self.role_is(&RoleEntry::Axis))
    }
}

impl InputEntry {
    /// Whether it is measured, by how soon it charges, and not read as a level.
    fn is_measured(&self) -> bool {
        self.series.is_some() || self.threshold.is_some()
    }
}
