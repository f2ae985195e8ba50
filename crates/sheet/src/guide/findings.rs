//! What the checks have to say.

use maud::{Markup, html};
use solderside_lead::{EndId, Leg};
use solderside_proof::{Code, Figure, Finding};
use solderside_quantity::{Amps, Ohms, Volts, significant};

use super::Subject;
use super::frame::Section;
use super::text::{pressed, told};
use crate::words::{contact, end_name, is_bare, listed};

/// What mends a lost control or an idle action for the reader of a guide, who has no play map at hand.
const OTHER_CHOICE: &str = "nothing is broken. Which control does what was chosen before this guide was made; for another \
    choice have another guide made, since other cups are soldered then";

pub(super) fn section(subject: &Subject<'_>) -> Section {
    Section::new("findings", "Findings", body(subject))
}

fn body(subject: &Subject<'_>) -> Markup {
    let proof = subject.proof;
    html! {
        @if proof.findings.is_empty() { p { "There is nothing to find fault with." } }
        @for finding in &proof.findings { (entry(subject, finding)) }
    }
}

fn entry(subject: &Subject<'_>, finding: &Finding) -> Markup {
    html! {
        article class={ "finding " (finding.severity) } {
            h3 { span class="severity" { (finding.severity) } " " code { (finding.code) } }
            p { (told(subject, &finding.text)) }
            dl {
                @if !finding.legs.is_empty() {
                    dt { "Where" }
                    dd { (listed(places(subject, &finding.legs))) }
                }
                @if let Some(state) = &finding.state { dt { "When" } dd { (pressed(state)) } }
                @if let Some(step) = &finding.step { dt { "Step" } dd { code { (step) } } }
                @for figure in &finding.figures { dt { (name(figure)) } dd { (value(figure)) } }
            }
            @if !finding.remedy.is_empty() { p { b { "To mend it: " } (told(subject, remedy(finding))) } }
        }
    }
}

/// "controller end 12 (c)", "4 (d)", "port end 6 (fire)": the end once, until it changes.
fn places(subject: &Subject<'_>, legs: &[Leg]) -> Vec<String> {
    let mut end: Option<EndId> = None;
    let place = |leg: &Leg| {
        let own = contact_and_conductors(subject, *leg);
        if end.replace(leg.end) == Some(leg.end) || leg.part_id().is_some() {
            own
        } else {
            format!("{} {own}", end_name(subject.assembly, leg.end).to_lowercase())
        }
    };
    legs.iter().map(place).collect()
}

/// "12 (c)", or "13 (a) with GN" where something is soldered to it.
fn contact_and_conductors(subject: &Subject<'_>, leg: Leg) -> String {
    let joins = subject.assembly.lead.joins.iter().filter(|join| join.other(leg).is_some());
    let wires = joins.filter(|join| !is_bare(subject.assembly, **join));
    let letters = listed(wires.map(|join| subject.colouring.letters(*join)));
    // A function stays on the line of its number.
    let own = contact(subject.assembly, leg).replace(' ', "\u{a0}");
    if letters.is_empty() { own } else { format!("{own} with {letters}") }
}

fn remedy(finding: &Finding) -> &str {
    if matches!(finding.code, Code::ReadLostControl | Code::ReadLostAction) {
        OTHER_CHOICE
    } else {
        &finding.remedy
    }
}

/// A figure's name without its unit: `sags_to_volts` is "sags to".
pub(super) fn name(figure: &Figure) -> String {
    let words = figure.name.rsplit_once('_').map_or(figure.name, |(words, _)| words);
    words.replace('_', " ")
}

pub(super) fn value(figure: &Figure) -> String {
    let read = match figure.unit {
        "V" => Volts::new(figure.value).map(|volts| volts.to_string()),
        "A" => Amps::new(figure.value).map(|amps| amps.to_string()),
        "Ω" => Ohms::new(figure.value).map(|ohms| ohms.to_string()),
        unit => Ok(format!("{} {unit}", significant(figure.value, 3))),
    };
    read.unwrap_or_default()
}
