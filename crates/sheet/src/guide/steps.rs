//! Soldering in an order that a hand can follow.

use maud::{Markup, html};
use solderside_lead::{End, Join, Leg};
use solderside_trade::ContactId;

use super::Subject;
use super::frame::{Section, source, to_do};
use super::text::conductor;
use crate::colouring::{is_return, is_supply};
use crate::drawing::far_row_first;
use crate::words::{contact, end_name, listed};

const HABIT: &str = "common practice, no source";

/// The joints of one row of an end, in the order of soldering.
struct Row {
    first_contact: ContactId,
    last_contact: ContactId,
    joints: Vec<(Leg, Join)>,
}

pub(super) fn section(subject: &Subject<'_>) -> Section {
    Section::new("steps", "Soldering", body(subject))
}

fn body(subject: &Subject<'_>) -> Markup {
    let assembly = subject.assembly;
    let ends = &assembly.lead.ends;
    let preparations = preparations(subject);
    let mut next = preparations.len() + 1;
    let mut parts = vec![html! { h3 { "Cut and prepare" } (to_do(1, preparations)) }];
    for (at, end) in ends.iter().enumerate() {
        let mut items = joints(subject, end);
        items.push(html! {
            "Look at every joint from both sides under a lamp. No drop, whisker or strand may reach a neighbour or the \
             shell."
        });
        items.push(buzz(subject, end, at == 0));
        parts.push(html! { h3 { (end_name(assembly, end.id)) } (to_do(next, items.clone())) });
        next += items.len();
    }
    let closing = vec![
        html! { "Do all of the " a href="#bench" { "meter tests" } " with the hoods still open." },
        html! { "Push the sleeves over the joints and shrink them." },
        html! { "Close the clamps on the jacket, not on the conductors, then the hoods; measure the supply against the \
        return once more." },
    ];
    parts.push(html! { h3 { "Close" } (to_do(next, closing)) });
    html! {
        p { "One end is soldered wholly and checked before the other is begun. In each connector the row that lies \
             farther from you comes first, and in a row the middle cups before the outer ones, so that the iron never \
             passes a finished joint. In each row the return goes first, because all later checks are made against it, \
             and the supply last, so that its joint is fresh in view when you look for bridges. " (source(HABIT)) }
        @for part in parts { (part) }
    }
}

fn preparations(subject: &Subject<'_>) -> Vec<Markup> {
    let lead = &subject.assembly.lead;
    let connectors = listed(lead.ends.iter().map(|end| end.connector));
    let tinned = lead.ends.iter().map(|end| {
        let cups = rows(subject, end).into_iter().flat_map(|row| row.joints).map(|(leg, _)| leg.contact);
        let mut cups: Vec<ContactId> = cups.collect();
        cups.sort_unstable();
        cups.dedup();
        format!("{} of the {}", listed(cups), end_name(subject.assembly, end.id).to_lowercase())
    });
    vec![
        html! { "Compare your connectors with the drawing: " (connectors) ". Turn the cups towards you and find contact \
        1; its number is moulded beside it." },
        html! { "Cut " (lead.cord.length) " of cable. Take 25 mm of jacket off each end without nicking a conductor. "
        (source(HABIT)) },
        html! { b { "Hoods first: " } "slide the clamps, and any hood that is one piece, onto the cable now. They do not go \
        on afterwards." },
        html! { "Strip 4 mm of each conductor, twist the strands, tin them, and slide a piece of sleeve on each. "
        (source(HABIT)) },
        html! { "Hold the connector in a vice or in a spare mating connector, which keeps its contacts straight while the \
        insulator is warm. " (source(HABIT)) },
        html! { "Half fill with solder the cups that will be used: " (tinned.collect::<Vec<_>>().join("; ")) "." },
    ]
}

fn joints(subject: &Subject<'_>, end: &End) -> Vec<Markup> {
    let assembly = subject.assembly;
    let mut items = Vec::new();
    for row in rows(subject, end) {
        for (at, (leg, join)) in row.joints.iter().enumerate() {
            let shares = assembly.lead.joined(*leg).count() > 1;
            items.push(html! {
                @if at == 0 { b { "Row " (row.first_contact) " to " (row.last_contact) ". " } }
                (conductor(subject, *join)) " into cup " b { (contact(assembly, *leg)) }
                @if shares { "; two conductors share this cup: twist them together first" }
                "."
            });
        }
    }
    let shell = legs(subject, end).into_iter().filter(|(leg, _)| leg.contact == ContactId::Shell);
    items.extend(shell.map(|(_, join)| {
        html! { (conductor(subject, join)) " to a solder lug under a screw of the " b { "shell" } "." }
    }));
    items
}

fn buzz(subject: &Subject<'_>, end: &End, is_first: bool) -> Markup {
    html! {
        "Buzz the " (end_name(subject.assembly, end.id).to_lowercase()) ": each used cup against its neighbours and the shell, \
         as the "
        a href={ "#isolation-" (end.id) } { "table" }
        " says. Silence is right"
        @if is_first { ". Mend it now, while the other end is free" }
        "."
    }
}

/// An end's joints row by row; the shell's are left out.
fn rows(subject: &Subject<'_>, end: &End) -> Vec<Row> {
    let legs = legs(subject, end);
    let assembly = subject.assembly;
    let turn = |join: Join| (!is_return(assembly, join), is_supply(assembly, join));
    let mut rows = Vec::new();
    for contacts in far_row_first(assembly, end.id) {
        let here = contacts.iter().flat_map(|contact| legs.iter().filter(|(leg, _)| leg.contact == *contact));
        let mut joints: Vec<(Leg, Join)> = here.copied().collect();
        joints.sort_by_key(|(_, join)| turn(*join));
        if let (Some(first), Some(last), false) =
            (contacts.iter().min(), contacts.iter().max(), joints.is_empty())
        {
            rows.push(Row { first_contact: *first, last_contact: *last, joints });
        }
    }
    rows
}

fn legs(subject: &Subject<'_>, end: &End) -> Vec<(Leg, Join)> {
    let joins = subject.assembly.lead.joins.iter();
    let legs = joins.flat_map(|join| [join.from, join.to].map(|leg| (leg, *join)));
    legs.filter(|(leg, _)| leg.end == end.id).collect()
}
