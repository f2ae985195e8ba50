//! The first time that the lead meets a powered machine.

use maud::{Markup, html};
use solderside_lead::{EndId, Leg};
use solderside_profile::{ControllerRole, Level, Port, PortRole, Supply};
use solderside_quantity::{Ohms, Volts};
use solderside_trade::ContactId;

use super::bridge::reached;
use super::frame::{Section, source, table, tick, to_do};
use super::text::at;
use super::{Subject, boards};
use crate::words::{contact, end_name, listed};

/// What lies across the probes: a supply does not notice it, a line that is only pulled up falls.
const ACROSS: Ohms = Ohms::literal(1000.0);

/// A contact of a controller's end whose conductor may not carry a supply.
struct Line {
    leg: Leg,
    /// The most that a meter reads there with [`ACROSS`] beside it; none where it may be more than a line
    /// that is pulled up has.
    at_most: Option<Volts>,
}

pub(super) fn section(subject: &Subject<'_>) -> Section {
    Section::new("power", "First power", body(subject))
}

fn body(subject: &Subject<'_>) -> Markup {
    let port = &subject.assembly.port;
    let fed = port.contacts.iter().filter(|(_, contact)| matches!(contact.role, PortRole::Fed(_)));
    let fed: Vec<ContactId> = fed.map(|(id, _)| *id).collect();
    if !fed.is_empty() {
        return fed_here(&fed);
    }
    let supplies = supplies(subject);
    html! {
        p { "Only when every test above was right. Probes and resistor are put in place with the machine off; keep your \
             hands away while it is on." }
        @let (of_chips, steps) = boards::first_power(subject, 1);
        (of_chips)
        @if supplies.is_empty() { (without_supply(subject, 1 + steps)) }
        @for (at, (leg, supply)) in supplies.iter().enumerate() { (with_supply(subject, *leg, supply, 1 + steps + 4 * at)) }
    }
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

/// What is at the controllers' ends of the conductors that begin at these contacts of the port.
fn beyond(subject: &Subject<'_>, contact: ContactId) -> Vec<Leg> {
    let net = subject.assembly.lead.net(Leg::port(contact));
    net.into_iter().filter(|leg| is_controllers(*leg)).collect()
}

/// What is at the controllers' ends and is reached from a contact of the port through parts alone.
fn beyond_parts(subject: &Subject<'_>, contact: ContactId) -> Vec<Leg> {
    let lead = &subject.assembly.lead;
    let port = Leg::port(contact);
    let direct = lead.net(port);
    let either_way = |leg: &Leg| reached(lead, port).contains(leg) || reached(lead, *leg).contains(&port);
    let reach = lead.reach(port).into_iter().filter(|leg| is_controllers(*leg) && !direct.contains(leg));
    reach.filter(either_way).collect()
}

const fn is_controllers(leg: Leg) -> bool {
    match leg.end {
        EndId::Controller(_) => true,
        EndId::Part(_) | EndId::Inside(..) | EndId::Port => false,
    }
}

/// Each contact of a controller's end to which the lead carries a supply: by wire, or through parts where the controller
/// takes a supply. What parts merely pull up is no supply.
fn supplies<'a>(subject: &Subject<'a>) -> Vec<(Leg, &'a Supply)> {
    let supplies = subject.assembly.port.supplies().into_iter();
    let fed = |contact| {
        let takes_it = |leg: &Leg| {
            let known = subject.assembly.controller_contact(*leg);
            known.is_some_and(|contact| contact.role == ControllerRole::Supply)
        };
        let through = fed_through_parts(subject, Leg::port(contact)).filter(takes_it);
        let mut legs = beyond(subject, contact);
        legs.extend(through.filter(|leg| !beyond(subject, contact).contains(leg)));
        legs
    };
    supplies.flat_map(|(contact, supply)| fed(contact).into_iter().map(move |leg| (leg, supply))).collect()
}

/// The controllers' contacts that a line of the port feeds through parts.
fn fed_through_parts(subject: &Subject<'_>, line: Leg) -> impl Iterator<Item = Leg> {
    reached(&subject.assembly.lead, line).into_iter().filter(|leg| is_controllers(*leg))
}

/// The first return at an end, against which all else is measured there: "1 (common)".
pub(super) fn home(subject: &Subject<'_>, end: EndId) -> String {
    let here = home_leg(subject, end);
    here.map_or_else(|| "the return".to_owned(), |leg| contact(subject.assembly, leg))
}

/// The contact of an end that leads to a return, by wire if any does.
fn home_leg(subject: &Subject<'_>, end: EndId) -> Option<Leg> {
    let returns = subject.assembly.port.returns();
    let ways = [beyond, beyond_parts].into_iter();
    let mut legs = ways.flat_map(|way| returns.iter().flat_map(move |contact| way(subject, *contact)));
    legs.find(|leg| leg.end == end)
}

fn with_supply(subject: &Subject<'_>, leg: Leg, supply: &Supply, first: usize) -> Markup {
    let end = end_name(subject.assembly, leg.end).to_lowercase();
    let [own, home] = [contact(subject.assembly, leg), home(subject, leg.end)];
    let supplies = subject.assembly.port.supplies().into_iter();
    let is_wire = supplies.into_iter().any(|(contact, _)| beyond(subject, contact).contains(&leg));
    let items = vec![
        html! { "Machine off, controller not plugged in. At the " (end) " fix a 1 kΩ resistor between " (own) " and " (home)
        ", and the meter’s probes beside it, on DC volts, the black one at " (home) "." },
        html! { "Plug the lead into the machine, then switch the machine on. Expect "
        @if is_wire { (supply.volts.low()) } @else { "what the parts on the way leave of " (supply.volts.low()) } " to "
        (supply.volts.high()) " with the resistor in place. A minus sign means that supply and return are swapped: stop." },
        html! { "Switch off, take the resistor away, switch on. The reading may rise by less than 50 mV"
        @if !is_wire { " more than the parts on the way take at 5 mA" }
        ". If it rises by more, \
        the contact is no supply but a line that is pulled up: stop, and do not plug a controller in. "
        (source("computed: a supply of 2 Ω and the lead lose about 15 mV at 5 mA; a pull-up of 1 kΩ loses half")) },
        html! { "Switch off and unplug the lead. Plug the controller in, the lead into the machine, and switch on. If anything \
        grows warm or the picture changes, switch off at once." },
    ];
    html! { h3 { "Supply at the " (end) } (to_do(first, items)) }
}

fn without_supply(subject: &Subject<'_>, first: usize) -> Markup {
    let port = &subject.assembly.port;
    let contacts = listed(port.supplies().iter().map(|(contact, _)| *contact));
    let volts = port.supplies().first().map_or(port.rail.typical(), |(_, supply)| supply.volts.typical());
    let mut items = vec![html! {
        "Machine off. Plug the lead into the machine, and leave the controller out: the probes go to the controller end. \
         Set the meter to DC volts."
    }];
    items.extend(is_plugged_in(subject));
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
    let last = html! {
        "Switch off and unplug the lead. Plug the controller in, the lead into the machine, and switch on. If anything \
         grows warm or the picture changes, switch off at once."
    };
    let next = items.len() + first;
    let has_chips = !boards::chips(&subject.assembly.lead).is_empty();
    html! {
        @if has_chips { h3 { "Controller end" } }
        @if contacts.is_empty() { p { "The port has no supply contact, and none may be found at the controller end." } }
        @else if has_chips { p { "The lead carries the port’s supply, contact " (contacts) ", to the board and no farther: it has to be \
            found nowhere at the controller end." } }
        @else { p { "The lead leaves the port’s supply, contact " (contacts) ", unconnected: it has to be found nowhere at the \
            controller end." } }
        (to_do(first, items))
        (readings(subject))
        (to_do(next, vec![stop, last]))
    }
}

/// Without this a lead that hangs loose, or whose return is none, would pass: it reads nothing at all.
fn is_plugged_in(subject: &Subject<'_>) -> Option<Markup> {
    let assembly = subject.assembly;
    let (leg, volts) = subject.proof.actions.iter().find_map(|action| {
        assembly.port.input_of(action.leg.contact)?.pull_up?;
        let idle = action.idle.as_ref()?;
        let legs = beyond(subject, action.leg.contact).into_iter();
        let leg = legs.chain(fed_through_parts(subject, action.leg)).next()?;
        Some((leg, idle.typical))
    })?;
    let [own, home] = [contact(assembly, leg), home(subject, leg.end)];
    Some(html! {
        "Black probe fixed to " (home) ", red probe to " (own) ", no resistor. Switch on. Expect more than " (volts) ", to which the \
         machine pulls the line up. Nothing, or a minus sign, means that the lead is not plugged in or its return is not \
         the machine’s: switch off, unplug, search."
    })
}

fn readings(subject: &Subject<'_>) -> Markup {
    let assembly = subject.assembly;
    let ends: Vec<EndId> = assembly.controllers().map(|(end, _)| end).collect();
    let only = ends.first().copied().filter(|_| ends.len() == 1);
    let rows = lines(subject).into_iter().map(|line| {
        let name = at(assembly, line.leg, only);
        let limit = line.at_most.map(|volts| format!("below {volts}"));
        vec![
            html! { (home(subject, line.leg.end)) " – " (name) },
            html! {
                @match limit {
                    Some(limit) => (limit),
                    None if is_pulled_up(subject, line.leg) => "no figure: a part ties it to the supply",
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

/// Whether a supply reaches a leg.
fn is_pulled_up(subject: &Subject<'_>, leg: Leg) -> bool {
    let Subject { assembly, .. } = subject;
    let mut supplies = assembly.port.supplies().into_iter();
    supplies.any(|(contact, _)| reached(&assembly.lead, Leg::port(contact)).contains(&leg))
}

/// The used contacts of the controllers' ends, those on the return left out.
fn lines(subject: &Subject<'_>) -> Vec<Line> {
    let assembly = subject.assembly;
    let mut legs: Vec<Leg> = assembly.lead.joins.iter().flat_map(|join| [join.from, join.to]).collect();
    legs.sort_unstable();
    legs.dedup();
    let returns = assembly.port.returns();
    let homes: Vec<Leg> = assembly.controllers().filter_map(|(end, _)| home_leg(subject, end)).collect();
    let lines = legs.into_iter().filter(|leg| is_controllers(*leg)).filter_map(|leg| {
        let net = assembly.lead.net(leg);
        let is_home =
            returns.iter().any(|contact| net.contains(&Leg::port(*contact))) || homes.contains(&leg);
        // Whatever feeds the line through parts lifts it no higher than if they were wire.
        let port = assembly.port.contacts.keys().map(|contact| Leg::port(*contact));
        let port: Vec<Leg> = port.filter(|port| reached(&assembly.lead, *port).contains(&leg)).collect();
        (!is_home).then(|| Line { leg, at_most: most_with_resistor(&assembly.port, &port) })
    });
    lines.collect()
}

/// The most that a meter reads on a net of inputs with [`ACROSS`] from there to the return: the pull-ups divide
/// with it, and a bipolar input adds its low-level current.
///
/// None where the machine can drive the net high, or where a supply would read no higher.
fn most_with_resistor(port: &Port, net: &[Leg]) -> Option<Volts> {
    let (mut siemens, mut amps) = (0.0, 0.0);
    for leg in net {
        let input = port.input_of(leg.contact)?;
        // A line that the machine may hold high, in its script or at other times, has no such figure.
        let scripted = port.steps.iter().any(|step| step.drives.get(&leg.contact) == Some(&Level::High));
        let driven = port.contacts.get(&leg.contact).and_then(|contact| contact.driven);
        if scripted || driven.is_some_and(|driven| driven.levels().contains(&Level::High)) {
            return None;
        }
        siemens += input.pull_up.map_or(0.0, |pull_up| pull_up.low().get().recip());
        amps += input.family.input_low_amps().value.high().get();
    }
    let volts = (port.rail.high().get() * siemens + amps) / (siemens + ACROSS.get().recip());
    // A hand-held meter on a line that hums does not show a hundredth of a volt.
    let rounded = Volts::new((volts * 10.0).ceil().max(1.0) / 10.0).ok()?;
    (rounded < port.rail.low()).then_some(rounded)
}
