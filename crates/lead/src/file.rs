//! The lead's file.

mod changeovers;

use std::fmt::Write;

use solderside_profile::{
    Action, At, Body, Cable, Capacitor, Complaint, Control, Controller, Failure, Kind, Library, Misread,
    PartEntry, PartId, Port, Reading, Resistor, SourceFile, Table, Value, describe, heading, is_kebab,
    listed, nearest, part_entries, quoted, read, toml_text,
};
use solderside_quantity::Metres;
use solderside_trade::{Conductor, Connector};

use self::changeovers::{changeovers, idle_poles};
use crate::assembly::Assembly;
use crate::changeover::Changeover;
use crate::donor::{Donor, SwitchName};
use crate::edit::ABOUT_PROVED;
use crate::lead::{Cord, End, EndId, Join, Lead, Leg, Proved};
use crate::part::Part;
use crate::play::{PlayMap, either_map};
use crate::second::{self, NoSecond, unknown_controller};

/// A lead's file as it stands.
struct LeadFile {
    title: Option<At<String>>,
    controller: Option<At<String>>,
    port: Option<At<String>>,
    donor: Option<At<String>>,
    second: Option<At<String>>,
    through: Option<At<bool>>,
    second_end: Option<At<Connector>>,
    controller_end: Option<At<Connector>>,
    port_end: Option<At<Connector>>,
    /// Whether there is a `[play]` at all.
    plays: bool,
    play: Vec<PlayEntry>,
    /// What the play map is while a switch stands in a position.
    play_at: Vec<(At<String>, At<Vec<PlayEntry>>)>,
    parts: Vec<(PartId, At<LeadPart>)>,
    joins: Option<At<Vec<At<Join>>>>,
    cord: Option<At<CordEntry>>,
    proved: Option<At<ProvedEntry>>,
}

struct ProvedEntry {
    controller: Option<At<String>>,
    second: Option<At<String>>,
    port: Option<At<String>>,
    donor: Option<At<String>>,
    cable: Option<At<String>>,
}

struct CordEntry {
    cable: Option<At<String>>,
    conductor: Option<At<Conductor>>,
    length_mm: Option<At<i64>>,
}

/// A part, and what a lead says of it.
type LeadPart = (PartEntry, OwnEntry);

/// What a lead says of a part: the end in whose hood it sits, and of a switch what it is for.
struct OwnEntry {
    sits: Option<At<EndId>>,
    called: Option<At<String>>,
    positions: Option<At<Vec<At<String>>>>,
    makes_first: Option<At<bool>>,
}

/// An action's name, and the controls that perform it.
type PlayEntry = (At<String>, Vec<At<Control>>);

/// Reads a lead's file together with the profiles that it names.
///
/// # Errors
/// Returns every mistake of the file, and those of the profiles.
pub fn read_lead(file: &SourceFile, library: &Library) -> Result<Assembly, Failure> {
    let Reading { value: entry, mut complaints, broken } = read(file, LeadFile::read);
    let controller = profile(entry.controller.as_ref(), |name| library.controller(name), &mut complaints);
    let port = profile(entry.port.as_ref(), |name| library.port(name), &mut complaints);
    let named = entry.cord.as_ref().and_then(|cord| cord.value.cable.as_ref());
    let cable = profile(named, |name| library.cable(name), &mut complaints);
    let pad = profile(entry.donor.as_ref(), |name| library.controller(name), &mut complaints);
    let donor = pad
        .zip(entry.donor.as_ref())
        .and_then(|(pad, named)| opened(pad, port.as_ref(), named, &mut complaints));
    let second = profile(entry.second.as_ref(), |name| library.controller(name), &mut complaints);
    let second = second_controller(&entry, controller.as_ref(), port.as_ref(), second, &mut complaints);
    let assembly = match (controller, port) {
        // Without its donor nothing can be said of a lead that ends in one, nor without its second controller.
        (Some(controller), Some(port))
            if donor.is_some() == entry.donor.is_some() && (entry.second.is_none() || second.is_some()) =>
        {
            Some(entry.check(file.name(), controller, port, (donor, second), cable, &mut complaints))
        }
        _ => None,
    };
    match assembly {
        Some(assembly) if complaints.is_empty() && !broken => Ok(assembly),
        _ => Err(Failure::faulty(file.name(), complaints)),
    }
}

/// Returns the JSON Schema of lead files.
pub fn lead_schema() -> String {
    let schema = describe("Solderside lead", LeadFile::read);
    format!("{schema:#}\n")
}

/// Writes a lead as a file, the way a person would.
pub fn write_lead(assembly: &Assembly) -> String {
    let lead = &assembly.lead;
    let name_of = |end: EndId| lead.end(end).map_or("", |end| end.profile.as_str());
    let mut text = String::from("format = 1\nkind = \"lead\"\n");
    _ = writeln!(text, "title = {}", toml_text(&lead.title));
    _ = writeln!(text, "controller = \"{}\"", name_of(EndId::Controller(0)));
    _ = writeln!(text, "port = \"{}\"", assembly.port.name);
    if let Some(second) = lead.end(EndId::Controller(1)) {
        if assembly.controllers.get(1).is_some_and(|own| !own.contacts.is_empty()) {
            _ = writeln!(text, "second = \"{}\"", second.profile);
        }
        if lead.passes_through {
            text.push_str("through = true\n");
        }
    }
    if assembly.donor.is_some() {
        _ = writeln!(text, "donor = \"{}\"", name_of(EndId::Donor));
    }
    for (key, id) in [
        ("controller_end", EndId::Controller(0)),
        ("second_end", EndId::Controller(1)),
        ("port_end", EndId::Port),
    ] {
        if let Some(end) = lead.end(id) {
            _ = writeln!(text, "{key} = \"{}\"", end.connector);
        }
    }
    text.push_str("joins = [\n");
    let width = lead.soldered().map(|join| join.to_string().len()).max().unwrap_or(0);
    for join in lead.soldered() {
        let functions = [join.from, join.to].map(|leg| assembly.function(leg)).join(" to ");
        let pad = width - join.to_string().len();
        _ = writeln!(text, "  \"{join}\",{:pad$} # {functions}", "");
    }
    text.push_str("]\n\n[play]\n");
    for action in assembly.port.actions() {
        write_performed(&mut text, action, lead.play.controls(action));
    }
    for (action, _) in assembly.port.steered() {
        let controls = lead.play.controls(&action);
        if !controls.is_empty() {
            write_performed(&mut text, &action, controls);
        }
    }
    for position in lead.changeovers.iter().flat_map(|own| &own.positions).filter(|own| !own.play.is_empty())
    {
        _ = write!(text, "\n[play_at.{}]\n", position.name);
        for (action, controls) in &position.play {
            write_performed(&mut text, action, controls);
        }
    }
    write_parts(&mut text, lead);
    text.push_str("\n[cord]\n");
    _ = match &lead.cable {
        Some(cable) => writeln!(text, "cable = \"{}\"", cable.name),
        None => writeln!(text, "conductor = \"{}\"", lead.cord.conductor),
    };
    if lead.cable.as_ref().and_then(|cable| cable.length) != Some(lead.cord.length) {
        let millimetres = (lead.cord.length.get() * 1000.0).round();
        _ = writeln!(text, "length_mm = {millimetres}");
    }
    if let Some(proved) = &lead.proved {
        _ = write!(
            text,
            "\n{ABOUT_PROVED}\n[proved]\ncontroller = \"{}\"\nport = \"{}\"\n",
            proved.controller, proved.port
        );
        for (key, fingerprint) in proved.others() {
            if let Some(fingerprint) = fingerprint {
                _ = writeln!(text, "{key} = \"{fingerprint}\"");
            }
        }
    }
    text
}

/// Writes the tables of all parts.
fn write_parts(text: &mut String, lead: &Lead) {
    for part in &lead.parts {
        _ = write!(text, "\n[part.{}]\n", part.id());
        _ = match part.body {
            Body::Diode(diode) => writeln!(text, "diode = \"{diode}\""),
            Body::Resistor(Resistor { ohms, tolerance }) => {
                let percent = (tolerance * 100.0).round();
                writeln!(text, "ohms = {}\ntolerance_percent = {percent}", ohms.get())
            }
            Body::Capacitor(Capacitor { farads, tolerance }) => {
                let percent = (tolerance * 100.0).round();
                writeln!(text, "farads = {:e}\ntolerance_percent = {percent}", farads.get())
            }
            Body::Transistor(transistor) => writeln!(text, "transistor = \"{transistor}\""),
            Body::Chip(chip) => writeln!(text, "chip = \"{chip}\""),
            Body::Changeover(switch) => writeln!(text, "switch = \"{switch}\""),
        };
        if let Some(Changeover { called, positions: [first, second], makes_first, .. }) =
            lead.changeover(part.id())
        {
            _ = writeln!(
                text,
                "called = \"{called}\"\npositions = [\"{}\", \"{}\"]",
                first.name, second.name
            );
            if *makes_first {
                text.push_str("makes_first = true\n");
            }
        }
        _ = writeln!(text, "sits_in = \"{}\"", part.sits);
    }
}

/// Opens the pad that a lead ends in; none if it cannot serve there.
fn opened(
    pad: Controller,
    port: Option<&Port>,
    named: &At<String>,
    complaints: &mut Vec<Complaint>,
) -> Option<Donor> {
    let mut complain = |headline: String, help: &str| {
        complaints.push(Complaint::new(named.place.clone(), headline).help(help));
    };
    if let Some(port) = port.filter(|port| !pad.connector.mates_with(&port.connector)) {
        let headline = format!(
            "`{}` is no pad of `{}`: its {} does not mate with {}",
            pad.name,
            port.name,
            pad.connector,
            port.connector.with_article()
        );
        complain(headline, "a donor goes into the port by its own plug: name the port's own pad");
        return None;
    }
    Donor::open(pad)
        .map_err(|error| {
            let help =
                "name a pad whose switches are known: at its contacts, or between spots in an `[inside]`";
            complain(format!("a lead cannot end in this donor: {error}"), help);
        })
        .ok()
}

fn profile<T>(
    name: Option<&At<String>>,
    find: impl FnOnce(&str) -> Result<T, Failure>,
    complaints: &mut Vec<Complaint>,
) -> Option<T> {
    let name = name?;
    match find(&name.value) {
        Ok(profile) => Some(profile),
        Err(Failure::Faulty { complaints: theirs, .. }) => {
            complaints.extend(theirs);
            None
        }
        Err(failure) => {
            let help = failure.help().unwrap_or_default();
            complaints.push(Complaint::new(name.place.clone(), failure.to_string()).help(help));
            None
        }
    }
}

impl LeadFile {
    fn read(table: &mut Table<'_>) -> Self {
        let title = heading(table, Kind::Lead).title;
        let name = |name: &str| is_kebab(name).then(|| name.to_owned());
        let connectors = || ["DA-15 socket", "DE-9 socket"].map(str::to_owned);
        let connector =
            |text: &str| Connector::parse(text).map_err(|error| Misread::from_sentence(&error.to_string()));
        let file = Self {
            title,
            controller: table.key("controller", "the name of the controller's profile").name(name),
            port: table.key("port", "the name of the port's profile").name(name),
            donor: table
                .key("donor", "the name of the port's own pad, opened, in which the lead ends; its own plug goes into the port")
                .name(name),
            second: table
                .key(
                    "second",
                    "the name of a second controller's profile, which goes into an end of its own; its controls are called \
                     `second-up`",
                )
                .name(name),
            through: table
                .key(
                    "through",
                    "whether the second end passes the port's contacts through, each to its own number, and may stay empty; \
                     without `second` nothing is known of what is plugged in there",
                )
                .flag(),
            second_end: table
                .key("second_end", "the lead's connector at the second controller; what mates with it if absent")
                .parsed(connectors(), connector),
            controller_end: table
                .key("controller_end", "the lead's connector there; what mates with the controller if absent")
                .parsed(connectors(), connector),
            port_end: table
                .key("port_end", "the lead's connector there; what mates with the port if absent")
                .parsed(connectors(), connector),
            plays: table.has("play"),
            play: table
                .key(
                    "play",
                    "for each action the controls that perform it, any of them; the default map if absent",
                )
                .map(None, performed),
            play_at: table
                .key(
                    "play_at",
                    "for each position of a switch, by its name, the actions that others perform while it stands there",
                )
                .map(None, |position, value| {
                    let place = position.place.clone();
                    Some((position.clone(), At { value: value.map(None, performed), place }))
                }),
            parts: part_entries(table, own_entry),
            joins: table.key("joins", "the conductors: `controller.13 - port.6`, `d1.anode - port.6`, `controller.15 - donor.up`").list(
                |item| {
                    item.parsed(["controller.13 - port.6".to_owned()], |text| {
                        text.parse::<Join>().map_err(|error| Misread::from_sentence(&error.to_string()))
                    })
                },
            ),
            cord: table.key("cord", "what the conductors are, and how long").table(|table| {
                let entry = CordEntry {
                    cable: table
                        .key("cable", "the name of the cable's profile, in place of `conductor`")
                        .name(name),
                    conductor: table.key("conductor", "`AWG 28` or `0.14 mm2`").parsed(
                        ["AWG 28", "0.14 mm2"].map(str::to_owned),
                        |text| {
                            Conductor::parse(text).map_err(|error| Misread::from_sentence(&error.to_string()))
                        },
                    ),
                    length_mm: table
                        .key("length_mm", "from cup to cup, in millimetres")
                        .whole(1, Cable::LONGEST_MM),
                };
                table.exclude("cable", "conductor");
                entry
            }),
            proved: table
                .key("proved", "the fingerprints of the profiles that the lead was proved against")
                .table(|table| {
                    let entry = ProvedEntry {
                        controller: table.key("controller", "the controller's fingerprint").text(),
                        second: table.key("second", "the second controller's fingerprint").text(),
                        port: table.key("port", "the port's fingerprint").text(),
                        donor: table.key("donor", "the donor's fingerprint").text(),
                        cable: table.key("cable", "the cable's fingerprint").text(),
                    };
                    table.require(&["controller", "port"]);
                    entry
                }),
        };
        table.exclude("donor", "port_end");
        table.exclude("donor", "second");
        table.exclude("donor", "through");
        table.require(&["format", "kind", "controller", "port", "joins"]);
        file
    }

    /// Holds what is written against the profiles.
    fn check(
        self,
        name: &str,
        controller: Controller,
        port: Port,
        (donor, second): (Option<Donor>, Option<Controller>),
        cable: Option<Cable>,
        complaints: &mut Vec<Complaint>,
    ) -> Assembly {
        let controllers: Vec<Controller> = std::iter::once(&controller).chain(&second).cloned().collect();
        let play = if self.plays {
            checked_play(&self.play, &controllers, &port, complaints)
        } else {
            either_map(&controllers, &port)
        };
        let mut assembly = match donor {
            Some(donor) => Assembly::by_donor(controller, donor, port, play),
            None => Assembly::between(controller, port, play),
        };
        if let Some(second) = second {
            assembly.add_second(second, self.through.as_ref().is_some_and(|at| at.value));
        }
        let plug: Vec<Join> = assembly.lead.joins.drain(..).collect();
        let lead = &mut assembly.lead;
        name.clone_into(&mut lead.name);
        if let Some(title) = self.title {
            lead.title = title.value;
        }
        let own = |id: EndId| match id {
            EndId::Controller(0) => self.controller_end.as_ref(),
            EndId::Controller(_) => self.second_end.as_ref(),
            EndId::Port => self.port_end.as_ref(),
            EndId::Part(_) | EndId::Inside(..) | EndId::Switch(_) | EndId::Donor => None,
        };
        for End { id, connector, .. } in &mut lead.ends {
            if let Some(own) = own(*id) {
                *connector = own.value;
            }
        }
        if let Some(cord) = self.cord {
            let CordEntry { cable: _, conductor, length_mm } = cord.value;
            if let Some(cable) = cable {
                complaints.extend(length_mm.as_ref().and_then(|length| too_long(&cable, length)));
                lead.run_in(cable);
            }
            lead.cord = Cord {
                conductor: conductor.map_or(lead.cord.conductor, |at| at.value),
                length: length_mm.map_or(lead.cord.length, |at| millimetres(at.value)),
            };
        }
        lead.proved = self.proved.and_then(|proved| {
            let ProvedEntry { controller, second, port, donor, cable } = proved.value;
            let [second, donor, cable] = [second, donor, cable].map(|own| own.map(|own| own.value));
            Some(Proved { controller: controller?.value, second, port: port?.value, donor, cable })
        });
        // The hood farther from the controller.
        let far = if self.donor.is_some() { EndId::Donor } else { EndId::Port };
        lead.parts = self.parts.iter().filter_map(|(id, entry)| part(*id, &entry.value, far)).collect();
        assembly.lead.changeovers = changeovers(&self.parts, &self.play_at, &assembly, complaints);
        for at in self.parts.iter().filter_map(|(_, entry)| entry.value.1.sits.as_ref()) {
            if assembly.lead.end(at.value).is_none() {
                let headline = format!("the lead has no end `{}` for a part to sit in", at.value);
                let help = format!("write `controller` or `{far}`");
                complaints.push(Complaint::new(at.place.clone(), headline).help(help));
            }
        }
        let mut seen: Vec<At<Join>> = Vec::new();
        for join in self.joins.map_or(Vec::new(), |joins| joins.value) {
            for leg in [join.value.from, join.value.to] {
                complaints.extend(misplaced(&assembly, leg, &join));
            }
            if assembly.lead.passes_through {
                complaints.extend(crossed(&join));
            }
            if join.value.from == join.value.to {
                let headline = format!("`{}` is joined to itself", join.value.from);
                complaints.push(Complaint::new(join.place.clone(), headline).help("name two contacts"));
            }
            if let Some(earlier) = seen.iter().find(|earlier| earlier.value == join.value) {
                complaints.push(
                    Complaint::new(join.place.clone(), format!("the join `{}` stands twice", join.value))
                        .also(earlier.place.clone(), "it stands here too")
                        .help("take one of them out"),
                );
            }
            seen.push(join);
        }
        assembly.lead.joins = seen.into_iter().map(|join| join.value).collect();
        assembly.lead.joins.extend(plug);
        for (id, entry) in self.parts.iter().filter(|(id, _)| id.is_two_legged()) {
            for contact in [PartId::ANODE, PartId::CATHODE] {
                let leg = Leg::part(*id, contact);
                if assembly.lead.joined(leg).next().is_none() {
                    complaints.push(
                        Complaint::new(entry.place.clone(), format!("the leg `{leg}` is joined to nothing"))
                            .help(format!("add a join such as `{leg} - port.6`, or take the part out")),
                    );
                }
            }
        }
        complaints.extend(idle_poles(&self.parts, &assembly));
        assembly.lead.settle();
        assembly
    }
}

#[expect(clippy::cast_precision_loss, reason = "the longest cord is 20 000 mm")]
fn millimetres(length: i64) -> Metres {
    Metres::literal(length.clamp(1, Cable::LONGEST_MM) as f64 / 1000.0)
}

/// Complains about a cord that is longer than its cable.
fn too_long(cable: &Cable, length: &At<i64>) -> Option<Complaint> {
    let most = cable.length.filter(|most| *most < millimetres(length.value))?;
    let headline = format!("the cord is longer than its cable: `{}` has {most}", cable.name);
    Some(
        Complaint::new(length.place.clone(), headline)
            .help("shorten the cord, drop `length_mm`, or correct the cable's"),
    )
}

/// The controls that perform an action.
fn performed(action: &At<String>, value: Value<'_>) -> Option<PlayEntry> {
    let controls = value.list(|item| item.name(Control::new)).map(|list| list.value)?;
    Some((action.clone(), controls))
}

/// What a lead says of a part.
fn own_entry(table: &mut Table<'_>) -> OwnEntry {
    let name = |name: &str| is_kebab(name).then(|| name.to_owned());
    OwnEntry {
        sits: table
            .key(
                "sits_in",
                "the end in whose hood it sits, or the donor's case; the port's or the donor's if absent",
            )
            .choice([
                ("controller", EndId::Controller(0)),
                ("controller-2", EndId::Controller(1)),
                ("port", EndId::Port),
                ("donor", EndId::Donor),
            ]),
        called: table.key("called", "what a switch is called: `mode`").name(name),
        positions: table
            .key("positions", "the names of a switch's two positions: the first throws are closed in the first")
            .list(|item| item.name(name)),
        makes_first: table
            .key(
                "makes_first",
                "whether a switch makes the new contact before it breaks the old one, which its sheet says; else it breaks \
                 first",
            )
            .flag(),
    }
}

/// The part, if what it needs is there.
fn part(id: PartId, (entry, own): &LeadPart, far: EndId) -> Option<Part> {
    let sits = own.sits.as_ref().map_or(far, |at| at.value);
    Some(Part { number: id.number(), body: entry.body()?, sits })
}

/// The second controller with names of its own for its controls; nothing in its place where the end passes the port
/// through and nobody knows what goes in.
fn second_controller(
    entry: &LeadFile,
    controller: Option<&Controller>,
    port: Option<&Port>,
    named: Option<Controller>,
    complaints: &mut Vec<Complaint>,
) -> Option<Controller> {
    let passes = entry.through.as_ref().is_some_and(|at| at.value);
    let (controller, port) = (controller?, port?);
    let Some(at) = &entry.second else {
        if let Some(end) = entry.second_end.as_ref().filter(|_| !passes) {
            complaints.push(
                Complaint::new(
                    end.place.clone(),
                    "`second_end` stands here, and the lead has no second controller",
                )
                .help("name it: `second = \"…\"`"),
            );
        }
        return passes.then(|| unknown_controller(controller, port));
    };
    let complain = |why: Vec<NoSecond>| {
        let told =
            why.into_iter().map(|why| Complaint::new(at.place.clone(), why.to_string()).help(why.help()));
        complaints.extend(told);
    };
    second::second_controller(controller, &named?, port, passes).map_err(complain).ok()
}

/// Complains about a join of a pass-through between contacts of different numbers.
fn crossed(join: &At<Join>) -> Option<Complaint> {
    let Join { from, to } = join.value;
    let is_further = from.end == EndId::Controller(1) && to.end == EndId::Port;
    (is_further && from.contact != to.contact).then(|| {
        let headline = format!("`{}` passes one contact on to another", join.value);
        Complaint::new(join.place.clone(), headline)
            .help("a pass-through joins each contact to that of its own number; drop `through` for any other wiring")
    })
}

/// Complains about a contact that its end does not have.
fn misplaced(assembly: &Assembly, leg: Leg, join: &At<Join>) -> Option<Complaint> {
    if let Some(part) = leg.part_id() {
        let Some(own) = assembly.lead.part(part) else {
            return Some(
                Complaint::new(join.place.clone(), format!("the lead has no part `{part}`"))
                    .help(format!("add `[part.{part}]`, or name another part")),
            );
        };
        let legs = own.body.legs().count();
        return own.body.legs().all(|own| own != leg.contact).then(|| {
            let headline = format!("`{part}` has no leg {}: a {} has {legs}", leg.contact, own.body);
            Complaint::new(join.place.clone(), headline).help("name another leg")
        });
    }
    if let Some(switch) = leg.switch() {
        return no_point(assembly, leg, switch, join);
    }
    let end = assembly.lead.end(leg.end);
    match end {
        None if leg.end == EndId::Port => Some(
            Complaint::new(
                join.place.clone(),
                "the lead does not end in the port: the donor's own plug does",
            )
            .help("name a point of the donor, such as `donor.up`"),
        ),
        None => Some(
            Complaint::new(join.place.clone(), format!("the lead has no end `{}`", leg.end))
                .help("write `controller` or `port`"),
        ),
        Some(end) if !end.connector.family.has(leg.contact) => {
            let headline =
                format!("`{leg}` is outside the connector: it is {}", end.connector.with_article());
            let contacts = end.connector.family.contacts_in_words();
            Some(
                Complaint::new(join.place.clone(), headline).help(format!("write a contact from {contacts}")),
            )
        }
        Some(_) => None,
    }
}

fn write_performed(text: &mut String, action: &Action, controls: &[Control]) {
    let controls = controls.iter().map(|control| format!("\"{control}\""));
    _ = writeln!(text, "{action} = [{}]", controls.collect::<Vec<_>>().join(", "));
}

/// Complains about a point that the donor does not have.
fn no_point(assembly: &Assembly, leg: Leg, switch: SwitchName, join: &At<Join>) -> Option<Complaint> {
    let Some(donor) = &assembly.donor else {
        return Some(
            Complaint::new(join.place.clone(), format!("the lead has no donor, so there is no `{leg}`"))
                .help("name the pad in which it ends: `donor = \"…\"`, or join to `port`"),
        );
    };
    if donor.spot(leg).is_some() {
        return None;
    }
    let points = donor.points();
    let names: Vec<&str> = points.iter().map(|(control, _)| control.as_str()).collect();
    let headline = format!("the donor `{}` has no switch `{switch}`", donor.pad().name);
    let has = format!("it has {}", listed(names.iter().copied(), "and"));
    let help = match nearest(switch.as_str(), names.iter().copied()) {
        Some(near) => format!("did you mean `{near}`? {has}"),
        None => has,
    };
    Some(Complaint::new(join.place.clone(), headline).help(help))
}

fn checked_play(
    entries: &[PlayEntry],
    controllers: &[Controller],
    port: &Port,
    complaints: &mut Vec<Complaint>,
) -> PlayMap {
    let mut play = PlayMap::default();
    for action in port.actions() {
        play.set(action.clone(), None);
    }
    for (action, controls) in checked_entries(entries, controllers, port, complaints) {
        play.set(action, controls);
    }
    play
}

/// The entries of a play map whose actions the port has; controls that the controller does not have are complained about.
fn checked_entries(
    entries: &[PlayEntry],
    controllers: &[Controller],
    port: &Port,
    complaints: &mut Vec<Complaint>,
) -> Vec<(Action, Vec<Control>)> {
    let mut checked = Vec::new();
    let steered = port.steered();
    let listened = || port.actions().into_iter().chain(steered.iter().map(|(action, _)| action));
    let [controls, actions] = [
        controllers.iter().flat_map(|own| own.controls()).map(Control::as_str).collect::<Vec<_>>(),
        listened().map(Action::as_str).collect::<Vec<_>>(),
    ];
    let mut unknown = |found: &str, place, of: &str, what: &str, known: &[&str]| {
        let headline = format!("`{of}` has no {what} {}", quoted(found));
        let help = match nearest(found, known.iter().copied()) {
            Some(near) => format!("did you mean `{near}`? it has {}", listed(known.iter().copied(), "and")),
            None => format!("it has {}", listed(known.iter().copied(), "and")),
        };
        complaints.push(Complaint::new(place, headline).help(help));
    };
    for (action, performing) in entries {
        let known = listened().find(|known| known.as_str() == action.value).cloned();
        if known.is_none() {
            unknown(&action.value, action.place.clone(), &port.name, "action", &actions);
        }
        for control in performing {
            if !controls.contains(&control.value.as_str()) {
                unknown(
                    control.value.as_str(),
                    control.place.clone(),
                    controllers.first().map_or("", |own| own.name.as_str()),
                    "control",
                    &controls,
                );
            }
        }
        if let Some(action) = known {
            checked.push((action, performing.iter().map(|control| control.value.clone()).collect()));
        }
    }
    checked
}
