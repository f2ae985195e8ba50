//! What the checks have to say, and the controls that the lead loses.

use maud::{Markup, html};
use solderside_proof::{Figure, Finding};
use solderside_quantity::{Amps, Ohms, Volts, significant};

use super::Subject;
use super::frame::Section;
use super::text::{pressed, sentence};
use crate::words::contact;

pub(super) fn section(subject: &Subject<'_>) -> Section {
    Section::new("findings", "Findings", body(subject))
}

fn body(subject: &Subject<'_>) -> Markup {
    let proof = subject.proof;
    html! {
        @if proof.findings.is_empty() { p { "There is nothing to find fault with." } }
        @for finding in &proof.findings { (entry(subject, finding)) }
        @if !proof.controls_lost.is_empty() {
            h3 { "Controls that are lost" }
            p { "The machine has nothing for these, or the lead brings no conductor to them; they do nothing:" }
            ul { @for control in &proof.controls_lost { li { code { (control) } } } }
        }
    }
}

fn entry(subject: &Subject<'_>, finding: &Finding) -> Markup {
    html! {
        article class={ "finding " (finding.severity) } {
            h3 { span class="severity" { (finding.severity) } " " code { (finding.code) } }
            p { (sentence(&finding.text)) }
            dl {
                @if !finding.legs.is_empty() {
                    dt { "Where" }
                    dd { @for leg in &finding.legs {
                        span class="leg" { (leg.end) " " (contact(subject.assembly, *leg)) } " "
                    } }
                }
                @if let Some(state) = &finding.state { dt { "When" } dd { (pressed(state)) } }
                @if let Some(step) = &finding.step { dt { "Step" } dd { code { (step) } } }
                @for figure in &finding.figures { dt { (name(figure)) } dd { (value(figure)) } }
            }
            @if !finding.remedy.is_empty() { p { b { "To mend it: " } (sentence(&finding.remedy)) } }
        }
    }
}

/// A figure's name without its unit: `sags_to_volts` is "sags to".
fn name(figure: &Figure) -> String {
    let words = figure.name.rsplit_once('_').map_or(figure.name, |(words, _)| words);
    words.replace('_', " ")
}

fn value(figure: &Figure) -> String {
    let read = match figure.unit {
        "V" => Volts::new(figure.value).map(|volts| volts.to_string()),
        "A" => Amps::new(figure.value).map(|amps| amps.to_string()),
        "Ω" => Ohms::new(figure.value).map(|ohms| ohms.to_string()),
        unit => Ok(format!("{} {unit}", significant(figure.value, 3))),
    };
    read.unwrap_or_default()
}
