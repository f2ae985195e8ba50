//! The meter tests of the lead alone: supply against return, continuity, isolation.

use maud::{Markup, html};
use solderside_lead::{Assembly, Body, End, EndId, Join, Leg};
use solderside_trade::{ContactId, run_ohms};

use super::bridge::{
    bridges, has_another_way, meet_in_the_cable, mirrored, open, parts_that_touch, tied_by_parts, touch,
};
use super::frame::{Check, Section, checks, source, tick};
use super::part_tests::{covered, part_tests};
use super::text::{at, column_heading, columns, letters, range, read};
use super::{Subject, boards};
use crate::words::{contact, end_name, is_bare, listed, part_name};

pub(super) fn section(subject: &Subject<'_>) -> Section {
    Section::new("bench", "Meter tests", body(subject))
}

fn body(subject: &Subject<'_>) -> Markup {
    html! {
        p { b { "The lead is unplugged from machine and controller." } " Short the probes first and subtract what they read, \
             0.1 Ω to 0.3 Ω."
            @if !boards::chips(&subject.assembly.lead).is_empty() {
                " " b { (boards::names(&subject.assembly.lead)) " is not in its socket: " } "the meter touches the legs of the socket, and no \
                 reading is taken through a chip."
            } " " (source("true-rms handheld meter users manual, page 17, www.easymanua.ls; handheld meter \
             manual, page 50, www.manualshelf.com")) }
        p { "Do not force a probe into a socket’s hole, it spreads the spring: touch the cup, or put a short piece of solid \
             wire into the hole. “Open” means that the meter shows no reading at all. " (source("common practice, no source")) }
        (supply_first(subject))
        (continuity(subject))
        (part_tests(subject))
        (several_rows(subject))
        @for end in &subject.assembly.lead.ends { (isolation(subject, end)) }
        @for fed in boards::chips(&subject.assembly.lead) { (socket_isolation(subject, &fed)) }
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
        let expected = if assembly.lead.net(a).contains(&b) {
            "joined: STOP"
        } else if tied_by_parts(&assembly.lead, a, b) {
            "what the parts between them read: see their table"
        } else {
            "open"
        };
        let what = format!("{} {first} against {second}", end_name(assembly, a.end));
        let cells = vec![
            html! { (end_name(assembly, a.end)) },
            html! { (first) " – " (second) },
            html! { (expected) },
            tick(&what),
        ];
        Check { cells, wrong: html! { "Anything but " @if expected == "open" { "open" } @else { "that" } ", STOP: " (touch(assembly, a, b)) "." } }
    });
    let cells: Vec<_> = cells.chain(chip_supplies(subject)).collect();
    html! {
        h3 { "1. Supply against return" }
        @if cells.is_empty() { p { "Neither the machine nor the controller has a supply contact: nothing to test." } }
        @else { (checks("Supply against return: the first test, always", &["End", "Between", "Expect", "Right"], cells)) }
    }
}

/// The supply leg of each chip against its ground leg, at the empty socket.
fn chip_supplies(subject: &Subject<'_>) -> Vec<Check> {
    let assembly = subject.assembly;
    let row = |fed: boards::FedChip| {
        let [first, second] = [fed.supply, fed.ground].map(|leg| contact(assembly, leg));
        let has_capacitor = assembly.lead.parts.iter().any(|part| matches!(part.body, Body::Capacitor(_)));
        let cells = vec![
            html! { "Socket of " (part_name(fed.part.id())) },
            html! { (first) " – " (second) },
            html! { "open" @if has_capacitor { ", after a moment in which a capacitor fills" } },
            tick(&format!("socket {first} against {second}")),
        ];
        Check {
            cells,
            wrong: html! { "Anything but open, STOP: " (touch(assembly, fed.supply, fed.ground)) "." },
        }
    };
    boards::chips(&assembly.lead).into_iter().map(row).collect()
}

fn continuity(subject: &Subject<'_>) -> Markup {
    let assembly = subject.assembly;
    let covered = covered(assembly);
    let joins: Vec<Join> =
        assembly.lead.joins.iter().filter(|join| !covered.contains(join)).copied().collect();
    let columns = columns(assembly, &joins);
    let [from, to] = [(columns[0], "From"), (columns[1], "To")]
        .map(|(end, otherwise)| column_heading(assembly, end, otherwise));
    let run = run_ohms(&assembly.lead.cord.conductor, assembly.lead.cord.length);
    let rows = joins.iter().map(|join| {
        let [from, to] = [at(assembly, join.from, columns[0]), at(assembly, join.to, columns[1])];
        let what = format!("{from} to {to}");
        let crosses = assembly.lead.runs_through_cable(join);
        let link = if crosses { "" } else { " (link)" };
        let reads = match (has_another_way(assembly, *join), crosses) {
            (false, true) => range(run),
            (true, true) => format!("at most {}", read(run.high())),
            (_, false) => "below 0.1 Ω".to_owned(),
        };
        let cells = vec![
            html! { @if is_bare(assembly, *join) { "bare wire" } @else { (letters(subject, *join)) (link) } },
            html! { (from) },
            html! { (to) },
            html! { b { (reads) } },
            tick(&what),
        ];
        Check { cells, wrong: open(subject, *join) }
    });
    html! {
        h3 { "2. Continuity" }
        p { "On the ohms range, not the buzzer: it would call a weak joint of 30 Ω right. Only wire and two joints lie \
             between the two cups of a row"
             @if !boards::ends(&assembly.lead).is_empty() { ", or between a cup and a leg on the board" }
             "." }
        @if !covered.is_empty() { p { "Conductors with a part in them follow in the next table." } }
        @if joins.is_empty() { p { "There is a part in every conductor: all rows stand there." } }
        @else { (checks(if boards::ends(&assembly.lead).is_empty() { "Continuity, cup to cup" } else { "Continuity, from cup or leg to cup or leg" }, &["Conductor", &from, &to, "Reads", "Right"], rows.collect())) }
        p { "The range is that of " (assembly.lead.cord.length) " of " (assembly.lead.cord.conductor) " copper from 0 °C to 40 °C, with the \
             usual strands and tinning. "
            (source("IEC 60028 (1925), tnlab.org; Industrial Power Engineering and Applications Handbook, page 970; spread of \
             strands and tinning from memory")) }
    }
}

/// What several wrong rows together point to.
fn several_rows(subject: &Subject<'_>) -> Markup {
    let ends = &subject.assembly.lead.ends;
    let images: Vec<String> = ends.iter().filter_map(|end| mirrored(subject, end.id)).collect();
    html! {
        p { "Several rows wrong at once:" }
        ul {
            li { "Two rows open, and each conductor is found at the other’s cup: the two are swapped. The drawing tells at \
                  which end." }
            li { "One row open, and its conductor is found at an empty cup: it sits in the wrong cup." }
            @if !images.is_empty() {
                li { "Most rows open, and conductors are found on the other side of their row: the cups were counted from the \
                      wrong side of the connector. To tell: " (images.join("; ")) "." }
            }
            li { "Every row open: the probes, or a cable that is not joined at one end at all." }
        }
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
        let (tied, open): (Vec<_>, Vec<_>) =
            open.into_iter().partition(|other| tied_by_parts(&assembly.lead, leg(contact_id), leg(*other)));
        if open.is_empty() && joined.is_empty() && tied.is_empty() {
            continue;
        }
        let own = contact(assembly, leg(contact_id));
        let cells = vec![
            html! { (own) },
            html! { (listed(&open)) @if !joined.is_empty() { " (joined on purpose: " (listed(&joined)) ")" }
            @if !tied.is_empty() { " (tied by parts, tested with them: " (listed(&tied)) ")" } },
            tick(&format!("{name} {own} against its neighbours")),
        ];
        rows.push(Check { cells, wrong: not_open(assembly, leg(contact_id), &open) });
    }
    html! {
        h3 id={ "isolation-" (end.id) } { "3. Isolation, " (name.to_lowercase()) }
        @if end.id == EndId::Controller(0) { p { "A bridge is solder or a stray strand between two cups. Where the two conductors also \
            meet in another place, that place is named too."
            span class="paper" { " A row that names no place has its bridge right here." } } }
        (checks(&format!("{name}, {}: open to each neighbour, used or not", end.connector),
            &["Contact", "Must be open to", "Right"], rows))
        (other_nets(assembly, end.id))
    }
}

/// Each leg of a chip's socket against the next in its row.
fn socket_isolation(subject: &Subject<'_>, fed: &boards::FedChip) -> Markup {
    let assembly = subject.assembly;
    let name = part_name(fed.part.id());
    let legs: Vec<Leg> = fed.part.body.legs().map(|contact| Leg::part(fed.part.id(), contact)).collect();
    let mut rows = Vec::new();
    for side in legs.chunks((legs.len() / 2).max(1)) {
        for two in side.windows(2) {
            let [own, next] = [two[0], two[1]];
            if assembly.lead.net(own).contains(&next) {
                continue;
            }
            let [first, second] = [own, next].map(|leg| contact(assembly, leg));
            let tied = tied_by_parts(&assembly.lead, own, next);
            let cells = vec![
                html! { (first) },
                html! { (second) @if tied { " (what the parts between them read)" } },
                tick(&format!("{first} against {second}")),
            ];
            rows.push(Check { cells, wrong: html! { "Not open: " (touch(assembly, own, next)) "." } });
        }
    }
    html! {
        @if !rows.is_empty() {
            h3 { "3. Isolation, socket of " (name) }
            (checks(&format!("Socket of {name}, empty: each leg open to the next, but where they are joined on purpose"),
                &["Leg", "Must be open to", "Right"], rows))
        }
    }
}

/// What it means when a contact is not open to a neighbour: a bridge here, or wherever else the two nets meet.
fn not_open(assembly: &Assembly, own: Leg, neighbours: &[ContactId]) -> Markup {
    let at = |contact: &ContactId| Leg { end: own.end, contact: *contact };
    let mut elsewhere: Vec<String> = Vec::new();
    for neighbour in neighbours {
        let mut others = bridges(assembly, own, at(neighbour));
        others.retain(|pair| *pair != [own, at(neighbour)]);
        let others = others.iter().map(|[a, b]| {
            format!("{} – {} at the {}", a.contact, b.contact, end_name(assembly, a.end).to_lowercase())
        });
        let others: Vec<String> = others.collect();
        if !others.is_empty() {
            elsewhere.push(format!("; for {neighbour} perhaps {}", listed(others)));
        }
    }
    let in_the_cable = neighbours.iter().filter(|contact| meet_in_the_cable(assembly, own, at(contact)));
    let in_the_cable: Vec<&ContactId> = in_the_cable.collect();
    let parts_touch =
        neighbours.iter().any(|contact| !parts_that_touch(assembly, own, at(contact)).is_empty());
    if !neighbours.is_empty() && elsewhere.is_empty() && in_the_cable.is_empty() && !parts_touch {
        // Paper says this once above the table.
        return html! { span class="usual" { "Not open: a bridge here." } };
    }
    html! {
        @if neighbours.is_empty() { "Nothing to try" } @else { "Not open: a bridge here" }
        @for other in &elsewhere { (other) }
        @if parts_touch {
            @if boards::ends(&assembly.lead).is_empty() { ", or bare legs of parts that touch" }
            @else { ", or legs or wires of parts that touch" }
        }
        @if !in_the_cable.is_empty() { "; for " (listed(in_the_cable)) " perhaps in the cable" }
        "."
    }
}

/// The end from which conductors of the cable are seen without parts between: the port's if it can be.
fn free_of_parts(assembly: &Assembly) -> EndId {
    let is_free = |end: &EndId| assembly.lead.parts.iter().all(|part| part.sits != *end);
    let mut ends = assembly.lead.ends.iter().rev().map(|end| end.id);
    ends.find(is_free).unwrap_or(EndId::Port)
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
    let mut tied: Vec<String> = Vec::new();
    for (at, own) in used.iter().enumerate() {
        let others = used.iter().skip(at + 1).filter(|other| tied_by_parts(&assembly.lead, *own, **other));
        tied.extend(others.map(|other| format!("{} with {}", own.contact, other.contact)));
    }
    html! {
        @if used.len() > 1 && end == free_of_parts(assembly) {
            p { "A crushed cable bridges conductors that are no neighbours here: also try each of "
                (listed(used.iter().map(|leg| leg.contact))) " against all the others. Open, every one"
                @if !tied.is_empty() { ", but " (listed(tied)) ", which parts tie together: what the parts between them read" }
                "." }
        }
    }
}
