//! The meter tests of the lead alone: supply against return, continuity, isolation.

use maud::{Markup, html};
use solderside_lead::{Assembly, End, EndId, Leg};
use solderside_trade::{ContactId, run_ohms};

use super::Subject;
use super::frame::{Section, source, table, tick};
use super::text::{at, column_heading, columns, letters, range};
use crate::words::{contact, crosses, end_name, listed};

pub(super) fn section(subject: &Subject<'_>) -> Section {
    Section::new("bench", "Meter tests", body(subject))
}

fn body(subject: &Subject<'_>) -> Markup {
    html! {
        p { b { "The lead is unplugged from machine and controller." } " Short the probes first and subtract what they read, \
             0.1 Ω to 0.3 Ω. " (source("true-rms handheld meter users manual, page 17, www.easymanua.ls; handheld meter \
             manual, page 50, www.manualshelf.com")) }
        p { "Do not force a probe into a socket’s hole, it spreads the spring: touch the cup, or put a short piece of solid \
             wire into the hole. “Open” means that the meter shows no reading at all. " (source("common practice, no source")) }
        (supply_first(subject))
        (continuity(subject))
        @for end in &subject.assembly.lead.ends { (isolation(subject, end)) }
    }
}

/// The pairs whose bridge would short the machine: each supply of either side with each return beside it.
pub(super) fn supply_pairs(assembly: &Assembly) -> Vec<[Leg; 2]> {
    let mut rows = Vec::new();
    for (supply, _) in assembly.port.supplies() {
        let shell = assembly.port.connector.family.has_shell().then_some(ContactId::Shell);
        for home in assembly.port.returns().into_iter().chain(shell) {
            rows.push([Leg::port(supply), Leg::port(home)]);
        }
    }
    for (end, controller) in assembly.controllers() {
        for common in controller.supply().map_or_else(Vec::new, |_| controller.commons()) {
            rows.extend(
                controller.supply().map(|supply| [supply, common].map(|contact| Leg { end, contact })),
            );
        }
    }
    rows
}

fn supply_first(subject: &Subject<'_>) -> Markup {
    let assembly = subject.assembly;
    let cells = supply_pairs(assembly).into_iter().map(|[a, b]| {
        let [first, second] = [a, b].map(|leg| at(assembly, leg, Some(a.end)));
        let expected = if assembly.lead.net(a).contains(&b) { "joined: STOP" } else { "open" };
        let what = format!("{} {first} against {second}", end_name(assembly, a.end));
        vec![
            html! { (end_name(assembly, a.end)) },
            html! { (first) " – " (second) },
            html! { (expected) },
            tick(&what),
        ]
    });
    let cells: Vec<_> = cells.collect();
    html! {
        h3 { "1. Supply against return" }
        @if cells.is_empty() { p { "Neither the machine nor the controller has a supply contact: nothing to test." } }
        @else { (table("Supply against return: the first test, always", &["End", "Between", "Expect", "Right"], cells)) }
    }
}

fn continuity(subject: &Subject<'_>) -> Markup {
    let assembly = subject.assembly;
    let columns = columns(assembly);
    let [from, to] = [(columns[0], "From"), (columns[1], "To")]
        .map(|(end, otherwise)| column_heading(assembly, end, otherwise));
    let run = run_ohms(&assembly.lead.cord.conductor, assembly.lead.cord.length);
    let links = assembly.lead.joins.iter().filter(|join| !crosses(**join)).count();
    let rows = assembly.lead.joins.iter().map(|join| {
        let [from, to] = [at(assembly, join.from, columns[0]), at(assembly, join.to, columns[1])];
        let what = format!("{from} to {to}");
        let link = if crosses(*join) { "" } else { " (link)" };
        vec![html! { (letters(subject, *join)) (link) }, html! { (from) }, html! { (to) }, tick(&what)]
    });
    html! {
        h3 { "2. Continuity" }
        p { "Each conductor reads " b { (range(run)) } @if links > 0 { ", a link below 0.1 Ω" } ": only wire and two joints lie \
             between its cups. A reading well above that is a weak joint or a broken conductor." }
        (table("Continuity, cup to cup", &["Conductor", &from, &to, "Right"], rows.collect()))
        p { "The range is that of " (assembly.lead.cord.length) " of " (assembly.lead.cord.conductor) " copper from 0 °C to 40 °C, with the \
             usual strands and tinning. "
            (source("IEC 60028 (1925), tnlab.org; Industrial Power Engineering and Applications Handbook, page 970; spread of \
             strands and tinning from memory")) }
    }
}

/// Each contact of an end against the neighbours that a drop of solder can reach.
fn isolation(subject: &Subject<'_>, end: &End) -> Markup {
    let assembly = subject.assembly;
    let name = end_name(assembly, end.id);
    let family = end.connector.family;
    let leg = |contact: ContactId| Leg { end: end.id, contact };
    let mut rows = Vec::new();
    for contact_id in family.contact_ids() {
        // Each pair once: against the neighbours that come later.
        let later = family.neighbours(contact_id).into_iter().filter(|other| *other > contact_id);
        let (joined, open): (Vec<_>, Vec<_>) =
            later.partition(|other| assembly.lead.net(leg(contact_id)).contains(&leg(*other)));
        if open.is_empty() && joined.is_empty() {
            continue;
        }
        let own = contact(assembly, leg(contact_id));
        rows.push(vec![
            html! { (own) },
            html! { (listed(&open)) @if !joined.is_empty() { " (joined on purpose: " (listed(&joined)) ")" } },
            tick(&format!("{own} against its neighbours")),
        ]);
    }
    html! {
        h3 id={ "isolation-" (end.id) } { "3. Isolation, " (name.to_lowercase()) }
        (table(&format!("{name}, {}: open to each neighbour, used or not", end.connector),
            &["Contact", "Must be open to", "Right"], rows))
        (other_nets(assembly, end.id))
    }
}

/// What else must be open: nets meet in the cable too, far from any cup.
fn other_nets(assembly: &Assembly, end: EndId) -> Markup {
    let mut used: Vec<Leg> = Vec::new();
    for join in &assembly.lead.joins {
        for leg in [join.from, join.to].into_iter().filter(|leg| leg.end == end) {
            let known = used.iter().any(|other| assembly.lead.net(*other).contains(&leg));
            if !known {
                used.push(leg);
            }
        }
    }
    used.sort_unstable();
    html! {
        @if used.len() > 1 && end == EndId::Port {
            p { "A crushed cable bridges conductors that are no neighbours here: also try each of "
                (listed(used.iter().map(|leg| leg.contact))) " against all the others. Open, every one." }
        }
    }
}
