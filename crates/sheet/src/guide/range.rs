//! The range over which the verdict holds, and how to measure what is only assumed.

use maud::{Markup, html};
use solderside_lead::{EndId, Leg};
use solderside_proof::Holds;

use super::Subject;
use super::frame::Section;
use super::plugged::is_out;
use super::power::home;
use super::text::told;
use crate::words::{contact, end_name};

/// None where nothing unpublished can change the verdict.
pub(super) fn section(subject: &Subject<'_>) -> Option<Section> {
    let holds = &subject.proof.holds_for;
    (!holds.is_empty()).then(|| Section::new("range", "How far it holds", body(subject, holds)))
}

/// Whether settling it takes a resistor of 10 kΩ.
pub(super) fn is_measured(holds: &Holds) -> bool {
    holds.unit == "Ω" && !holds.settle.is_empty()
}

fn body(subject: &Subject<'_>, holds: &[Holds]) -> Markup {
    html! {
        p { "For the curious: the lead can be built and used without it. Here stands how far the values that nobody \
             published may be off before the verdict changes." }
        ul class="plain" { @for holds in holds { (entry(subject, holds)) } }
    }
}

fn entry(subject: &Subject<'_>, holds: &Holds) -> Markup {
    html! {
        li {
            p { (told(subject, &holds.text)) }
            @if !holds.settle.is_empty() { p class="quiet" { "To settle it: " (told(subject, &holds.settle)) } }
            @if is_measured(holds) { (place(subject, holds)) }
        }
    }
}

/// When and where it is measured: the machine's own contacts are covered by the lead.
fn place(subject: &Subject<'_>, holds: &Holds) -> Markup {
    let assembly = subject.assembly;
    let reached = holds.legs.first().and_then(|own| {
        let net = assembly.lead.net(*own);
        net.into_iter().find(|leg: &Leg| leg.end != EndId::Port)
    });
    html! {
        @if let Some(leg) = reached {
            p class="quiet" { "When and where: during the first power, machine on, lead plugged in, " (is_out(assembly)) ". The same line \
                is reached at the " (end_name(assembly, leg.end).to_lowercase()) ", between " (contact(assembly, leg)) " and "
                (home(subject, leg.end)) ". Put the resistor across with the machine off." }
        }
    }
}
