//! The first time that the lead meets a powered machine.

use maud::{Markup, html};
use solderside_lead::Leg;
use solderside_trade::ContactId;

use super::Subject;
use super::continuity::net;
use super::frame::{Section, source, to_do};
use crate::words::{contact, end_name, listed};

pub(super) fn section(subject: &Subject<'_>) -> Section {
    Section::new("power", "First power", body(subject))
}

fn body(subject: &Subject<'_>) -> Markup {
    let supplies = supplies(subject);
    html! {
        p { "Only when every test above was right. Fix probes and resistor in place with the machine off, and keep your hands \
             away while it is on." }
        @if supplies.is_empty() { (without_supply(subject)) }
        @for (at, (supply, home)) in supplies.iter().enumerate() { (with_supply(subject, *supply, home, at == 0)) }
    }
}

/// Each supply that the lead carries to a controller, at that end, with the returns there.
fn supplies(subject: &Subject<'_>) -> Vec<(Leg, Vec<Leg>)> {
    let assembly = subject.assembly;
    let beyond = |contact: ContactId| {
        let reached = net(assembly, Leg::port(contact));
        reached.into_iter().filter(|leg| leg.end != solderside_lead::EndId::Port).collect::<Vec<_>>()
    };
    let homes: Vec<Leg> = assembly.port.returns().into_iter().flat_map(beyond).collect();
    let supplies = assembly.port.supplies().into_iter().flat_map(|(contact, _)| beyond(contact));
    supplies
        .map(|supply| (supply, homes.iter().copied().filter(|home| home.end == supply.end).collect()))
        .collect()
}

fn with_supply(subject: &Subject<'_>, supply: Leg, homes: &[Leg], is_first: bool) -> Markup {
    let assembly = subject.assembly;
    let end = end_name(assembly, supply.end).to_lowercase();
    let home = homes.first().map_or_else(|| "the return".to_owned(), |leg| contact(assembly, *leg));
    let volts = assembly.port.supplies().first().map(|(_, supply)| supply.volts);
    let range = volts.map_or(String::new(), |volts| format!("{} to {}", volts.low(), volts.high()));
    let items = vec![
        html! { "Machine off, controller not plugged in. At the " (end) " fix a 1 kΩ resistor between " (contact(assembly, supply))
        " and " (home) ", and the meter’s probes beside it, on DC volts." },
        html! { "Plug the lead into the machine, then switch the machine on. Expect " (range) " with the resistor in place." },
        html! { "Switch off, take the resistor away, switch on. The reading may rise by less than 50 mV. If it rises by more, \
        the contact is no supply but a line that is pulled up: stop, and do not plug a controller in. "
        (source("computed: a supply of 2 Ω and the lead lose about 15 mV at 5 mA; a pull-up of 1 kΩ loses half")) },
        html! { "Switch off and unplug the lead. Plug the controller in, the lead into the machine, and switch on. If anything \
        grows warm or the picture changes, switch off at once." },
    ];
    html! { h3 { "Supply at the " (end) } (to_do(if is_first { 1 } else { 5 }, items)) }
}

fn without_supply(subject: &Subject<'_>) -> Markup {
    let assembly = subject.assembly;
    let supplies = assembly.port.supplies();
    let contacts = listed(supplies.iter().map(|(contact, _)| *contact));
    let items = vec![
        html! { "Machine off, controller not plugged in. Fix the meter’s probes at the controller end, on DC volts, with a 1 kΩ \
        resistor across them, so that a line that is only pulled up falls and a supply does not." },
        html! { "Switch on, and go from the return to each used contact in turn, switching off to move the probe. Every \
        reading has to fall well below the machine’s supply." },
        html! { "A contact that keeps about 5 V under the resistor is a supply, and no supply belongs here: switch off, unplug, \
        and search for the mistake." },
        html! { "Switch off. Plug the controller in, the lead into the machine, and switch on." },
    ];
    html! {
        @if supplies.is_empty() { p { "The port has no supply contact." } }
        @else { p { "The lead leaves the port’s supply, contact " (contacts) ", unconnected: it has to be found nowhere at the \
            controller end." } }
        (to_do(1, items))
    }
}
