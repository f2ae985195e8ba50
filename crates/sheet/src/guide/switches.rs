//! The test of each control through the lead, with the controller plugged in and the machine not.

use maud::{Markup, html};
use solderside_lead::EndId;
use solderside_meter::{Behind, Bench, ControlStep, Controls, Range};

use super::frame::{Section, source, table, tick, to_do};
use super::plugged::{clamped, for_controls};
use super::steps::clamp;
use super::text::{names, prose};
use super::{Stand, Subject, each_lead};
use crate::words::{contact, end_name};

pub(super) fn section(subject: &Subject<'_>, stands: &[Stand<'_>]) -> Section {
    let told = |subject: &Subject<'_>| body(subject, &Controls::of(&Bench::new(subject.assembly)));
    let mut next = 1;
    let mut clamps = Vec::new();
    for end in clamped(subject.assembly) {
        let items = clamp(subject, end);
        clamps.push(to_do(next, items.clone()));
        next += items.len();
    }
    let body = html! {
        @if !clamps.is_empty() {
            p { "Only when every reading of the lead alone was right." }
            @for clamp in clamps { (clamp) }
        }
        (each_lead(subject, stands, told))
    };
    Section::new("switches", "Switch test", body)
}

fn body(subject: &Subject<'_>, controls: &Controls) -> Markup {
    let is_diode = controls.steps.iter().any(|step| step.measurement.range == Range::Diode);
    html! {
        @if !controls.steps.is_empty() {
            ul { @for text in for_controls(subject.assembly) { li { (prose(&text)) } } }
            @if is_diode {
                p { "Where the figure is in volts a diode is in the way: take the diode range. A range that ends above 1.5 V may read open \
                     on a meter that gives no more. " (source("handheld meter manual, page 32, manualshive.com (diode range: 1.5 V)")) }
            }
            @for own in controls.steps.chunk_by(|one, other| one.end == other.end) { (readings(subject, own)) }
            (wrong(subject))
        }
        @for (behind, hidden) in controls.hidden_by_reason() {
            p {
                (names(&hidden)) ": "
                @match behind {
                    Behind::NoConductor => { "not carried by the lead." },
                    Behind::TheController => {
                        "the controller has chips inside, so a meter sees no switch through them. Try these on the machine, after the \
                         first power-up. Do not measure resistance into it; the meter would feed the chips."
                    },
                    Behind::TheLead => {
                        "chips or transistors of the lead stand between, and a meter sees no switch through them. Try these on the \
                         machine, after the first power-up."
                    },
                }
            }
        }
    }
}

/// The controls of one controller.
fn readings(subject: &Subject<'_>, steps: &[ControlStep]) -> Markup {
    let rows = steps.iter().map(|step| {
        let measurement = &step.measurement;
        let [red, black] = [measurement.red, measurement.black].map(|leg| contact(subject.assembly, leg));
        let [held, released] = [step.held, step.released].map(|span| span.told(measurement.range));
        let what = format!("{} at {red} and {black}", step.control);
        vec![
            html! { code { (step.control) } },
            html! { (red) },
            html! { (black) },
            html! { b { (held) } },
            html! { b { (released) } },
            tick(&what),
        ]
    });
    let whose = steps.first().map(|step| whose(subject, step.end)).unwrap_or_default();
    table(
        &format!("Each control{whose} at the port end, held and let go"),
        &["Hold", "Red probe", "Black probe", "Held", "Let go", "Right"],
        rows.collect(),
    )
}

/// " of the controller at the controller 2 end" where there are two.
fn whose(subject: &Subject<'_>, end: EndId) -> String {
    match subject.assembly.controllers.len() {
        0 | 1 => String::new(),
        _ => format!(" of the controller at the {}, read", end_name(subject.assembly, end).to_lowercase()),
    }
}

/// The lead was found right before: what is wrong now came with the controller.
fn wrong(subject: &Subject<'_>) -> Markup {
    let switches =
        subject.assembly.controllers.iter().map(|controller| controller.switch.closed_ohms().source.text);
    let mut switches: Vec<&str> = switches.collect();
    switches.dedup();
    html! {
        p { "The lead was right, so what is wrong now came with what is plugged in:" }
        ul {
            @if clamped(subject.assembly).next().is_some() {
                li { "Open while held: the switch does not close, or its conductor is loose under its screw or sits under another one. In every \
                      row: the common." }
            } @else {
                li { "Open while held: the switch does not close, or its contact in the connector does not touch. In every row: the plug is not \
                      home, or the common." }
            }
            li { "Above the range while held: a worn or dirty switch." }
            li { "Not open when let go: the switch sticks, or something else is held." }
            li { "A row answers to another control than its own: the controller is not wired as its file says. Stop, and measure it \
                  before it meets the machine." }
        }
        p { "The range adds the switch, the conductors and the controller’s contacts. " (source(&switches.join("; "))) }
    }
}
