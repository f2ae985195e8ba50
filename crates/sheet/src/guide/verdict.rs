//! The verdict, what it means, and the range over which it holds.

use maud::{Markup, html};
use solderside_proof::Verdict;

use super::Subject;
use super::frame::Section;
use super::text::sentence;
use crate::words::count;

pub(super) fn section(subject: &Subject<'_>) -> Section {
    Section::new("verdict", "Verdict", body(subject))
}

fn body(subject: &Subject<'_>) -> Markup {
    let proof = subject.proof;
    let verdict = proof.verdict;
    let points = usize::try_from(proof.operating_points).unwrap_or(usize::MAX);
    html! {
        p class={ "verdict " (verdict) } { strong { (verdict) } span { (meaning(verdict)) } }
        p {
            "Checked at " (count(points, "operating point")) ": every step of the machine’s reading in every \
             combination of presses, over all tolerances, and with the return or the supply open as in a \
             half-plugged connector."
        }
        @if !proof.holds_for.is_empty() {
            h3 { "How far it holds" }
            ul class="plain" {
                @for holds in &proof.holds_for {
                    li { p { (sentence(&holds.text)) }
                        @if !holds.settle.is_empty() { p class="quiet" { "To settle it: " (sentence(&holds.settle)) } } }
                }
            }
        }
    }
}

/// What a verdict promises.
const fn meaning(verdict: Verdict) -> &'static str {
    match verdict {
        Verdict::Works => {
            "Every guaranteed threshold is met in every state and at every step, with at least 0.1 V to spare."
        }
        Verdict::Thin => {
            "Every typical threshold is met, but not every guaranteed one with 0.1 V to spare. Many leads that \
             people build are like this; a weak part or a dirty contact can stop it."
        }
        Verdict::Unproved => {
            "Nothing speaks against it, and no argument covers all of it. Build it only for a machine that you \
             can afford to test it on."
        }
        Verdict::Fails => {
            "It will not do what it is for. The findings say why and how to mend it; nothing here tells how to \
             build it."
        }
        Verdict::Harms => {
            "Do not build it and do not plug it in: it can damage the machine or the controller. The findings \
             say why and how to mend it."
        }
    }
}
