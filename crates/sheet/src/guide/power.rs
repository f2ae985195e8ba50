//! The first time that the lead meets a powered machine.

use maud::{Markup, html};
use solderside_lead::EndId;
use solderside_meter::{PluggedIn, Powered, PoweredSupply};
use solderside_trade::ContactId;

use super::frame::{Section, source, table, tick, to_do};
use super::plugged::{all_in, is_out, left_out};
use super::text::{at, prose};
use super::{Stand, Subject, boards, by_lead};
use crate::words::{contact, end_name, listed};

pub(super) fn section(subject: &Subject<'_>, stands: &[Stand<'_>]) -> Section {
    Section::new("power", "First power", body(subject, stands))
}

fn body(subject: &Subject<'_>, stands: &[Stand<'_>]) -> Markup {
    let mut leads: Vec<(&str, &Subject<'_>)> =
        by_lead(stands).map(|stand| (stand.of_switches.as_str(), &stand.subject)).collect();
    if leads.is_empty() {
        leads.push(("", subject));
    }
    let powered: Vec<Powered> =
        leads.iter().map(|(_, subject)| Powered::of(subject.assembly, subject.proof)).collect();
    if let Some(own) = powered.iter().find(|own| !own.fed.is_empty()) {
        return fed_here(&own.fed);
    }
    // The chips are put in once, and the controller once, however the switches stand in between.
    let (of_chips, steps) =
        leads.first().map_or_else(|| (Markup::default(), 0), |(_, subject)| boards::first_power(subject, 1));
    let mut parts = vec![of_chips];
    let mut next = 1 + steps;
    for ((told, subject), powered) in leads.iter().zip(&powered) {
        let (read, steps) = of_a_lead(subject, powered, next);
        parts.push(html! { @if !told.is_empty() { h3 class="stand" { (prose(told)) } } (read) });
        next += steps;
    }
    html! {
        p { "Only when every test above was right. Probes and resistor are put in place with the machine off; keep your \
             hands away while it is on." }
        @for part in parts { (part) }
        h3 { "All plugged in" }
        (to_do(next, vec![plug_all_in(subject)]))
    }
}

/// What is read of a lead whose switches stand in one way; `first` is the number of the first step. Returns how many steps
/// there are too.
fn of_a_lead(subject: &Subject<'_>, powered: &Powered, first: usize) -> (Markup, usize) {
    if powered.supplies.is_empty() {
        return without_supply(subject, powered, first);
    }
    let mut steps = 0;
    let mut parts = Vec::new();
    for supply in &powered.supplies {
        let items = with_supply(supply, subject);
        let end = end_name(subject.assembly, supply.leg.end).to_lowercase();
        parts.push(html! { h3 { "Supply at the " (end) } (to_do(first + steps, items.clone())) });
        steps += items.len();
    }
    let read = html! {
        @for part in parts { (part) }
        @if !powered.lines.is_empty() {
            h3 { "Where no supply belongs" }
            p { "In the same way, with the resistor across before the machine is switched on. What keeps its voltage is a supply astray: \
                 switch off, unplug, and search. Until these are right: " (is_out(subject.assembly)) "." }
            (readings(subject, powered))
        }
    };
    (read, steps)
}

/// A machine that is powered through the very connector that the lead covers cannot be switched on with the lead alone.
fn fed_here(fed: &[ContactId]) -> Markup {
    let contacts = listed(fed);
    html! {
        p { "The machine is powered through the connector that this lead covers, at the contacts " (contacts) ". With the lead \
             alone it cannot be switched on, and the lead carries nothing to those contacts." }
        (to_do(1, vec![
            html! { "Measure before anything is powered: no conductor of the lead may beep with any of the contacts " (contacts) "." },
            html! { "The wires of the machine’s power supply have to go to the same connector. That is work on the supply, which \
                this guide does not tell: leave it to somebody who builds such harnesses and knows the rules where you live." },
            html! { "When it is done, have it measured with the connector off the board that each of the contacts " (contacts)
                " has its own voltage and no other contact has any. Only then does the connector go onto the board, the supply off, \
                the right way round: its key says which." },
        ]))
        p { (source("common practice, no source")) }
    }
}

/// The last step.
fn plug_all_in(subject: &Subject<'_>) -> Markup {
    html! {
        "Switch off and unplug the lead. " (all_in(subject.assembly)) ". If anything grows warm or the picture changes, switch off at once."
    }
}

/// The controller ends.
fn ends(subject: &Subject<'_>) -> &'static str {
    if subject.assembly.controllers.len() < 2 { "controller end" } else { "controller ends" }
}

/// The first return at an end, against which all else is measured there: "1 (common)".
pub(super) fn home(subject: &Subject<'_>, end: EndId) -> String {
    let here = solderside_meter::home(subject.assembly, end);
    here.map_or_else(|| "the return".to_owned(), |leg| contact(subject.assembly, leg))
}

fn with_supply(supply: &PoweredSupply, subject: &Subject<'_>) -> Vec<Markup> {
    let PoweredSupply { leg, is_wire, .. } = *supply;
    let end = end_name(subject.assembly, leg.end).to_lowercase();
    let [own, home] = [contact(subject.assembly, leg), home(subject, leg.end)];
    vec![
        html! { "Machine off, " (is_out(subject.assembly)) ". At the " (end) " fix a 1 kΩ resistor between " (own) " and " (home)
        ", and the meter’s probes beside it, on DC volts, the black one at " (home) "." },
        html! { "Plug the lead into the machine, then switch the machine on. Expect "
        @if is_wire { (supply.volts.low()) } @else { "what the parts on the way leave of " (supply.volts.low()) } " to "
        (supply.volts.high()) " with the resistor in place. A minus sign means that supply and return are swapped: stop." },
        html! { "Switch off, take the resistor away, switch on. The reading " @if is_wire { "stays the same within 50 mV" }
        @else { "rises by less than 50 mV more than the parts on the way take at 5 mA" } ". If it rises by more, the contact is no \
        supply but a line that is pulled up; if it falls or is gone, a joint is loose: stop, and leave it so: " (is_out(subject.assembly)) ". "
        (source("computed: a supply of 2 Ω and the lead lose about 15 mV at 5 mA; a pull-up of 1 kΩ loses half")) },
    ]
}

fn without_supply(subject: &Subject<'_>, powered: &Powered, first: usize) -> (Markup, usize) {
    let port = &subject.assembly.port;
    let contacts = listed(port.supplies().iter().map(|(contact, _)| *contact));
    let volts = port.supplies().first().map_or(port.rail.typical(), |(_, supply)| supply.volts.typical());
    let mut items = vec![html! {
        "Machine off. Plug the lead into the machine, and " (left_out(subject.assembly)) ": the probes go to the " (ends(subject)) ". \
         Set the meter to DC volts."
    }];
    items.extend(powered.plugged_in.map(|own| is_plugged_in(subject, own)));
    items.push(html! {
        "Switch off. Fix the probes with a 1 kΩ resistor across them between the return and the first contact of the table, \
         switch on, read, and switch off before you move them to the next. Each contact has to stay below its figure. A \
         probe that does not touch reads nothing too: see that it holds."
    });
    let stop = html! {
        "A contact that keeps about " (volts) " with the resistor across is a supply, and no supply belongs here: switch \
         off, unplug, and search for the mistake. A reading between that and its figure is another mistake, or a machine \
         whose pull-ups are stronger than was taken: find out which before you go on."
    };
    let next = items.len() + first;
    let has_chips = !boards::chips(&subject.assembly.lead).is_empty();
    let read = html! {
        @if has_chips { h3 { "Controller end" } }
        @if contacts.is_empty() { p { "The port has no supply contact, and none may be found at the " (ends(subject)) "." } }
        @else if has_chips { p { "The lead carries the port’s supply, contact " (contacts) ", to the board and no farther: it has to be \
            found nowhere at the " (ends(subject)) "." } }
        @else { p { "The lead leaves the port’s supply, contact " (contacts) ", unconnected: it has to be found nowhere at the " (ends(subject)) "." } }
        (to_do(first, items.clone()))
        (readings(subject, powered))
        (to_do(next, vec![stop]))
    };
    (read, items.len() + 1)
}

/// Without this a lead that hangs loose, or whose return is none, would pass: it reads nothing at all.
fn is_plugged_in(subject: &Subject<'_>, PluggedIn { leg, more_than, .. }: PluggedIn) -> Markup {
    let [own, home] = [contact(subject.assembly, leg), home(subject, leg.end)];
    html! {
        @if subject.assembly.controllers.len() > 1 { "At the " (end_name(subject.assembly, leg.end).to_lowercase()) ": black" } @else { "Black" }
        " probe fixed to " (home) ", red probe to " (own) ", no resistor. Switch on. Expect more than " (more_than) ", to which the \
         machine pulls the line up. Nothing, or a minus sign, means that the lead is not plugged in or its return is not \
         the machine’s: switch off, unplug, search."
    }
}

fn readings(subject: &Subject<'_>, powered: &Powered) -> Markup {
    let assembly = subject.assembly;
    let ends: Vec<EndId> = assembly.controllers().map(|(end, _)| end).collect();
    let only = ends.first().copied().filter(|_| ends.len() == 1);
    let rows = powered.lines.iter().map(|line| {
        let name = at(assembly, line.leg, only);
        let limit = line.at_most.map(|volts| format!("below {volts}"));
        vec![
            html! { (home(subject, line.leg.end)) " – " (name) },
            html! {
                @match limit {
                    Some(limit) => (limit),
                    None if line.is_pulled_up => "no figure: a part ties it to the supply",
                    None => "no figure: the machine may drive it",
                }
            },
            tick(&format!("{name} with 1 kΩ across")),
        ]
    });
    html! {
        (table("Machine on, lead plugged in, 1 kΩ across the probes", &["Probe contacts", "Reading", "Right"], rows.collect()))
        p { (source("computed: the rail at its highest, divided by the strongest pull-up and the resistor, with what the \
             input itself may give, rounded up to 0.1 V")) " The values and where they come from are under "
            a href="#sources" { "Sources" } "." }
    }
}
