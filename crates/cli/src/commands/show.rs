//! `show`: what is known of a controller, a port, a cable, a drawer of parts or a lead.

use std::path::Path;

use clap::Args;
use solderside_lead::Assembly;
use solderside_profile::{
    AxisInput, Cable, Control, Controller, ControllerRole, Drawer, Driven, Inside, InsideSwitch, Kind, Level,
    Limits, Port, PortContact, PortRole, Series, Step,
};
use solderside_quantity::Amps;
use solderside_trade::{Connector, ContactId, CoreColour};

use crate::answer::{Reply, Status};
use crate::page::Page;
use crate::report;
use crate::shelf::{Shelf, name_of};
use crate::trouble::Trouble;
use crate::wire::{ShowCable, ShowController, ShowDrawer, ShowLead, ShowPort};

const EXAMPLES: &str = "\
Examples:
  solderside show nine-pin-two-trigger      a port of the catalogue
  solderside show heron-stick               a controller of the shelf
  solderside show leads/my-own.toml         a lead by its file";

/// Show what is known of a controller, a port, a cable, a drawer of parts or a lead, and where it comes from
///
/// A profile is shown with its contacts, their limits and sources, the machine's reading script, and the
/// names that sellers use wrongly for its connector; a cable with its cores; a lead with its joins, its play map and its ends.
#[derive(Debug, Args)]
#[command(after_long_help = EXAMPLES)]
pub struct ShowArgs {
    /// A name of the catalogue or the shelf, or a path that ends in `.toml`
    name: String,
}

impl ShowArgs {
    pub fn run(&self, shelf: Option<&Path>) -> Result<Reply, Trouble> {
        let shelf = Shelf::open(shelf, std::slice::from_ref(&self.name))?;
        let name = name_of(&self.name);
        match (shelf.library.file(name), shelf.library.kind(name)) {
            (Some(_), Some(Kind::Controller)) => {
                let controller = shelf.controller(name)?;
                Ok(Reply::new(
                    Status::Sound,
                    show_controller(&controller),
                    &ShowController::from(&controller),
                ))
            }
            (Some(_), Some(Kind::Port)) => {
                let port = shelf.port(name)?;
                Ok(Reply::new(Status::Sound, show_port(&port), &ShowPort::from(&port)))
            }
            (Some(_), Some(Kind::Cable)) => {
                let cable = shelf.cable(name)?;
                Ok(Reply::new(Status::Sound, show_cable(&cable), &ShowCable::from(&cable)))
            }
            (Some(_), Some(Kind::Drawer)) => {
                let drawer = shelf.drawer(name)?;
                Ok(Reply::new(Status::Sound, show_drawer(&drawer), &ShowDrawer::from(&drawer)))
            }
            // A file that does not say what it is has mistakes, which the reader of leads tells.
            (Some(_), Some(Kind::Lead) | None) => {
                let lead = shelf.lead(name)?;
                Ok(Reply::new(Status::Sound, show_lead(&lead), &ShowLead::from(&lead)))
            }
            (Some(_), Some(Kind::BuzzRun)) => {
                let lead = shelf.run(name)?.lead;
                let text = format!("`{name}` is a run of the meter test of `{lead}`");
                Err(Trouble::new(text, "`solderside buzz LEAD --run FILE` takes it up"))
            }
            (None, _) => Err(shelf.unknown(name)),
        }
    }
}

/// Sources as they are met, so that a table can name them by number.
#[derive(Default)]
struct Sources(Vec<String>);

impl Sources {
    fn number(&mut self, source: &str) -> String {
        let at = self.0.iter().position(|known| known == source).unwrap_or_else(|| {
            self.0.push(source.to_owned());
            self.0.len() - 1
        });
        format!("[{}]", at + 1)
    }

    fn list(&self, page: &mut Page) {
        page.heading("Sources");
        for (number, source) in (1..).zip(&self.0) {
            page.paragraph(&format!("  [{number}] "), source);
        }
    }
}

fn heading(page: &mut Page, kind: Kind, name: &str, title: &str, like: &[String]) {
    page.line(format!("{title} ({kind} `{name}`)"));
    if !like.is_empty() {
        page.line(format!("like {}", report::quoted_list(like)));
    }
}

fn connector(page: &mut Page, connector: Connector, whose: &str) {
    page.heading("Connector");
    page.line(format!(
        "  the {whose} has {}; the lead needs {}",
        connector.with_article(),
        connector.mate().with_article()
    ));
    for misnomer in connector.family.sellers_call_it() {
        page.paragraph("  ", &format!("sellers call it `{}`, wrongly: {}", misnomer.name, misnomer.why));
    }
}

fn show_controller(controller: &Controller) -> String {
    let mut page = Page::default();
    let mut sources = Sources::default();
    heading(&mut page, Kind::Controller, &controller.name, &controller.title, &controller.like);
    connector(&mut page, controller.connector, "controller");
    page.heading("Contacts");
    let rows: Vec<[String; 4]> = (controller.contacts.iter())
        .map(|(id, contact)| {
            let function = match &contact.role {
                ControllerRole::Control(control) => control_function(controller, control),
                ControllerRole::Pot(pot) => {
                    let low =
                        pot.low_end.map_or_else(String::new, |end| format!(", 0 Ω at {}", end.as_str()));
                    format!("axis {}, pot to {} of {}{low}", pot.axis, pot.other_end, pot.ohms)
                }
                ControllerRole::Wired { called } => format!("{called}, to parts inside"),
                ControllerRole::Common => "common".to_owned(),
                ControllerRole::Supply if controller.logic.is_some() => {
                    "supply of the chips inside".to_owned()
                }
                ControllerRole::Supply => "supply".to_owned(),
                ControllerRole::DoNotConnect => "do not connect".to_owned(),
                ControllerRole::Unused => "unused".to_owned(),
            };
            [
                id.to_string(),
                function,
                contact.fact.evidence.to_string(),
                sources.number(&contact.fact.source),
            ]
        })
        .collect();
    page.table(["contact", "function", "evidence", "source"], &rows);
    notes(&mut page, controller.contacts.iter().map(|(id, contact)| (id.to_string(), &contact.note)));
    page.heading("Inside");
    if let Some(logic) = &controller.logic {
        page.line(format!("  {} chips with {} outputs", logic.family, logic.output.as_str()));
        if let Some(drives) = &logic.drives {
            page.line(format!(
                "  they drive {}; the other controls are switches",
                report::quoted_list(drives)
            ));
        }
        page.line(format!("  they need {}", logic.supply_volts));
        page.line(format!("  they take {}", logic.supply_amps));
        page.line(format!("  {} {}", logic.fact.evidence, sources.number(&logic.fact.source)));
    }
    if let Some(inside) = &controller.inside {
        parts_inside(&mut page, inside, &mut sources);
    }
    let controls = controller.controls();
    if controls.iter().any(|control| controller.driver_of(control).is_none()) {
        let closed = controller.switch.closed_ohms();
        let known = format!("{} {}", closed.source.evidence, sources.number(closed.source.text));
        page.paragraph("  ", &format!("{} contacts, closed {}; {known}", controller.switch, closed.value));
    }
    series(&mut page, controller, &mut sources);
    page.line(format!("  gate: {}", controller.gate.as_str()));
    if !controller.fire_order.is_empty() {
        page.line(format!("  fire buttons in order: {}", report::quoted_list(&controller.fire_order)));
        let is_other =
            |control: &&&Control| control.direction().is_none() && !controller.fire_order.contains(**control);
        let others: Vec<&&Control> = controls.iter().filter(is_other).collect();
        if !others.is_empty() {
            page.line(format!("  not in the fire order: {}", report::quoted_list(&others)));
        }
    }
    sources.list(&mut page);
    page.finish()
}

/// So many joins inside a controller stand side by side.
const JOINS_A_LINE: usize = 5;

/// The parts inside a controller, how they are joined, and which controls are switches between them.
fn parts_inside(page: &mut Page, inside: &Inside, sources: &mut Sources) {
    let parts: Vec<[String; 2]> =
        (inside.parts.iter()).map(|part| [part.id.to_string(), report::part_words(&part.body)]).collect();
    page.table(["", ""], &parts);
    let joins: Vec<String> = inside.joins.iter().map(|[one, other]| format!("{one} - {other}")).collect();
    if !joins.is_empty() {
        page.line("  joined:");
    }
    let rows: Vec<[String; JOINS_A_LINE]> = (joins.chunks(JOINS_A_LINE))
        .map(|joins| std::array::from_fn(|at| joins.get(at).cloned().unwrap_or_default()))
        .collect();
    page.table([""; JOINS_A_LINE], &rows);
    if !inside.switches.is_empty() {
        page.line("  switches:");
    }
    let switches: Vec<[String; 2]> = (inside.switches.iter())
        .map(|InsideSwitch { control, between: [one, other] }| {
            [control.to_string(), format!("closes {one} to {other}")]
        })
        .collect();
    page.table(["", ""], &switches);
    if let Some(forgets) = inside.forgets {
        page.paragraph(
            "  ",
            &format!("what it counts is forgotten when the machine's lines rest for {forgets}"),
        );
    }
    page.line(format!("  {} {}", inside.fact.evidence, sources.number(&inside.fact.source)));
}

/// A control with the common that is its own, if it has one.
fn control_function(controller: &Controller, control: &Control) -> String {
    match controller.commons_of(control).as_slice() {
        [own] if controller.common_nets().len() > 1 => format!("{control}, closes to {own}"),
        _ => control.to_string(),
    }
}

/// The resistors in series with switches, those of one value together.
fn series(page: &mut Page, controller: &Controller, sources: &mut Sources) {
    let mut told: Vec<(&Series, Vec<&Control>)> = Vec::new();
    for control in controller.controls() {
        let Some(series) = controller.series_of(control) else { continue };
        match told.iter_mut().find(|(known, _)| *known == series) {
            Some((_, controls)) => controls.push(control),
            None => told.push((series, vec![control])),
        }
    }
    for (Series { ohms, fact }, controls) in told {
        let known = format!("{} {}", fact.evidence, sources.number(&fact.source));
        let who = report::quoted_list(&controls);
        page.paragraph("  ", &format!("a resistor of {ohms} in series with the switch of {who}; {known}"));
    }
}

fn show_port(port: &Port) -> String {
    let mut page = Page::default();
    let mut sources = Sources::default();
    heading(&mut page, Kind::Port, &port.name, &port.title, &port.like);
    connector(&mut page, port.connector, "machine");
    if let Some(hazard) = &port.hazard {
        page.heading("No port for a controller");
        page.paragraph("  ", hazard);
    }
    page.heading("Contacts");
    let rows: Vec<[String; 5]> = (port.contacts.iter())
        .map(|(id, contact)| {
            let [evidence, source] =
                [contact.fact.evidence.to_string(), sources.number(&contact.fact.source)];
            [id.to_string(), function(contact), limits(contact), evidence, source]
        })
        .collect();
    page.table(["contact", "function", "limits", "evidence", "source"], &rows);
    notes(&mut page, port.contacts.iter().map(|(id, contact)| (id.to_string(), &contact.note)));
    page.heading("Inputs");
    for input in port.inputs.values() {
        if let Some(ramp) = &input.ramp {
            let known = format!("{} {}", input.fact.evidence, sources.number(&input.fact.source));
            let text = format!(
                "{}, a pot charges {}, behind {}, up to {} of the rail; {known}",
                input.family, ramp.farads, ramp.series, ramp.threshold
            );
            page.paragraph(&format!("  {}  ", input.name), &text);
            continue;
        }
        let pulled = match (input.pull_up, input.pull_down, &input.charge) {
            (Some(ohms), ..) => format!("pull-up {ohms}"),
            (None, Some(ohms), _) => format!("pull-down {ohms}, a high is active"),
            (None, None, Some(charge)) => {
                format!("{} that must charge to a high within {}", charge.farads, charge.seconds)
            }
            (None, None, None) => "no pull-up".to_owned(),
        };
        let levels = input.family.levels_at(port.rail);
        let [low, high] = [levels.low_guaranteed.value, levels.high_guaranteed.value];
        let known = format!("{} {}", input.fact.evidence, sources.number(&input.fact.source));
        let text = format!("{}, {pulled}; low up to {low}, high from {high}; {known}", input.family);
        page.paragraph(&format!("  {}  ", input.name), &text);
    }
    page.line(format!(
        "  rail {}; {} {}",
        port.rail,
        port.rail_fact.evidence,
        sources.number(&port.rail_fact.source)
    ));
    page.heading("Reading script");
    for (number, step) in (1..).zip(&port.steps) {
        let drives = step.drives.iter().map(|(id, level)| format!("{id} {}", Level::as_str(*level)));
        let drives: Vec<String> = drives.collect();
        let drives = if drives.is_empty() {
            "drives nothing".to_owned()
        } else {
            format!("drives {}", drives.join(", "))
        };
        let waits = step.hold.map_or_else(String::new, |hold| format!(", waits {hold}"));
        let mut text = format!("`{}`: {drives}{waits}, {}", step.name, reads(port, step));
        if !step.expects.is_empty() {
            let expects = step.expects.iter().map(|(id, level)| format!("{id} {}", level.as_str()));
            let expects: Vec<String> = expects.collect();
            text = format!("{text}; expects, whatever is pressed, {}", expects.join(", "));
        }
        for (what, actions) in [
            ("a key of the machine's own holds low", &step.held),
            ("whatever is pressed must leave idle", &step.quiet),
        ] {
            if !actions.is_empty() {
                text = format!("{text}; {what} {}", report::quoted_list(actions));
            }
        }
        page.paragraph(&format!("  {number}. "), &text);
    }
    if let Some(rest) = port.rest {
        page.paragraph("  ", &format!("between two readings the lines rest for {rest}"));
    }
    sources.list(&mut page);
    page.finish()
}

/// What a step reads: all actions or some by name, and where it reads by contact, what at which.
fn reads(port: &Port, step: &Step) -> String {
    let has_actions = port.contacts.values().any(|contact| contact.action().is_some());
    let mut told = match step.samples.as_deref() {
        None if has_actions && step.reads.is_empty() => vec!["all actions".to_owned()],
        None if has_actions => vec!["the actions of the contacts".to_owned()],
        None | Some([]) => Vec::new(),
        Some(actions) => vec![report::quoted_list(actions)],
    };
    told.extend(step.reads.iter().map(|(id, action)| format!("`{action}` at {id}")));
    if told.is_empty() { "reads nothing".to_owned() } else { format!("reads {}", told.join(", ")) }
}

fn show_cable(cable: &Cable) -> String {
    let mut page = Page::default();
    let mut sources = Sources::default();
    heading(&mut page, Kind::Cable, &cable.name, &cable.title, &cable.like);
    let length = cable.length.map_or_else(|| "cut from the reel".to_owned(), |length| length.to_string());
    page.line(format!("{} cores of {}, {length}", cable.colours.len(), cable.conductor));
    page.heading("Cores");
    let rows: Vec<[String; 5]> = cable
        .cores()
        .map(|core| {
            let colour = cable.colour(core);
            let ends = cable.moulded.iter().filter_map(|end| Some((end.connector, end.contact_of(core)?)));
            let ends: Vec<String> =
                ends.map(|(connector, contact)| format!("{connector} {contact}")).collect();
            [
                core.to_string(),
                colour.map_or_else(String::new, |colour| colour.to_string()),
                colour.map_or_else(|| "bare".to_owned(), CoreColour::words),
                cable.partner(core).map_or_else(String::new, |other| format!("twisted with {other}")),
                ends.join(", "),
            ]
        })
        .collect();
    page.table(["core", "letters", "colour", "pair", "ends moulded in"], &rows);
    for end in &cable.moulded {
        let open =
            end.connector.family.contact_ids().filter(|contact| {
                matches!(contact, ContactId::Number(_)) && !end.contacts.contains_key(contact)
            });
        let open: Vec<String> = open.map(|contact| contact.to_string()).collect();
        if !open.is_empty() {
            page.line(format!("  the moulded {} has nothing in {}", end.connector, open.join(", ")));
        }
    }
    notes(&mut page, [("cable".to_owned(), &cable.note)].into_iter());
    page.heading("Evidence");
    page.line(format!("  {} {}", cable.fact.evidence, sources.number(&cable.fact.source)));
    sources.list(&mut page);
    page.finish()
}

fn show_drawer(drawer: &Drawer) -> String {
    let mut page = Page::default();
    heading(&mut page, Kind::Drawer, &drawer.name, &drawer.title, &[]);
    for (kind, stock) in drawer.stock() {
        page.heading(kind);
        match stock {
            None => page.line("  not counted: of these a lead may have any"),
            Some(stock) if stock.is_empty() => page.line("  none"),
            Some(stock) => {
                let rows: Vec<[String; 2]> = stock
                    .into_iter()
                    .map(|(body, count)| [format!("{count} ×"), report::part_words(&body)])
                    .collect();
                page.table(["", ""], &rows);
            }
        }
    }
    page.finish()
}

fn function(contact: &PortContact) -> String {
    match &contact.role {
        PortRole::Action { action, input } => format!("{action} (input {input})"),
        PortRole::Data { input } => {
            format!("{} (input {input}), read by the steps", contact.called.as_deref().unwrap_or("data"))
        }
        PortRole::Axis(AxisInput { axis, input, full_scale, reads: (least, most), low_end }) => {
            let low = low_end.map_or_else(String::new, |end| format!(", shortest at {}", end.as_str()));
            format!("axis {axis} (input {input}), full scale {full_scale}, measures {least} to {most}{low}")
        }
        PortRole::Sense { input } => format!("sense (input {input})"),
        PortRole::Supply(_) => "supply".to_owned(),
        PortRole::Fed(_) => "fed: the machine is powered here".to_owned(),
        PortRole::Signal(_) => "signal of another interface".to_owned(),
        PortRole::Return => "return".to_owned(),
        PortRole::Drive(family) => {
            format!("{} ({family})", contact.called.as_deref().unwrap_or("output"))
        }
        PortRole::Pot => "pot".to_owned(),
        PortRole::Unused => "unused".to_owned(),
    }
}

/// What a contact gives and stands, as far as it is stated.
fn limits(contact: &PortContact) -> String {
    let Limits { volts, sink_amps, source_amps } = contact.limits;
    let mut limits = Vec::new();
    if let Some(supply) = contact.voltage() {
        limits.push(supply.volts.to_string());
        if supply.amps_max > Amps::ZERO {
            let assumed = if supply.amps_max_stated { "" } else { " (assumed)" };
            limits.push(format!("at most {}{assumed}", supply.amps_max));
        } else {
            limits.push("nothing may be taken".to_owned());
        }
    }
    limits.extend(volts.map(|(low, high)| format!("stands {low} to {high}")));
    for (verb, amps) in [("sinks", sink_amps), ("sources", source_amps)] {
        limits.extend(amps.map(|amps| format!("{verb} {amps}")));
    }
    limits.extend(contact.driven.map(|driven| match driven {
        Driven::Low | Driven::High => format!("may be driven {}", driven.as_str()),
        Driven::Both => "may be driven low and high".to_owned(),
    }));
    limits.join("; ")
}

fn notes<'n>(page: &mut Page, notes: impl Iterator<Item = (String, &'n Option<String>)>) {
    let notes: Vec<(String, &String)> = notes.filter_map(|(id, note)| Some((id, note.as_ref()?))).collect();
    if notes.is_empty() {
        return;
    }
    page.heading("Notes");
    for (id, note) in notes {
        page.paragraph(&format!("  {id:5}  "), note);
    }
}

fn show_lead(assembly: &Assembly) -> String {
    let lead = &assembly.lead;
    let mut page = Page::default();
    heading(&mut page, Kind::Lead, &lead.name, &lead.title, &[]);
    report::ends(&mut page, assembly);
    page.line(format!("  cord        {}, {}", lead.cord.conductor, lead.cord.length));
    report::parts(&mut page, assembly);
    report::joins(&mut page, assembly);
    report::cable(&mut page, assembly);
    report::play(&mut page, assembly);
    page.line("");
    page.line(match &lead.proved {
        Some(_) => {
            format!("It was proved before it was saved; `solderside prove {}` proves it again.", lead.name)
        }
        None => format!("It was never proved; `solderside prove {}` does.", lead.name),
    });
    page.finish()
}
