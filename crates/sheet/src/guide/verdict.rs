//! The verdict, what it means, and what it rests on.

use maud::{Markup, html};
use solderside_proof::{Proof, Verdict};
use solderside_trade::Evidence;

use super::frame::Section;
use super::{Subject, is_buildable};
use crate::words::count;

pub(super) fn section(subject: &Subject<'_>) -> Section {
    Section::new("verdict", "Verdict", body(subject))
}

fn body(subject: &Subject<'_>) -> Markup {
    let proof = subject.proof;
    let verdict = proof.verdict;
    let points = usize::try_from(proof.operating_points).unwrap_or(usize::MAX);
    html! {
        p class={ "verdict " (verdict) } { strong { (verdict) } span { (meaning(verdict)) @if is_buildable(verdict) { (rests_on(proof)) } } }
        @if subject.assembly.plays_no_direction() {
            p { strong { "No direction is played:" } " whatever the controller’s lever or pots do, the machine reads none of it." }
        }
        p {
            "Checked at " (count(points, "operating point")) ": every step of the machine’s reading in every \
             combination of presses, over all tolerances, and with the return or the supply open as in a \
             half-plugged connector."
        }
    }
}

/// That a verdict is as good as its facts, and how many of them nobody stands for.
fn rests_on(proof: &Proof) -> Markup {
    let assumed = proof.stands_on.iter().filter(|fact| fact.evidence == Evidence::Assumed).count();
    let are_assumed = match assumed {
        0 => "none of them is assumed".to_owned(),
        1 => "1 of them is assumed".to_owned(),
        several => format!("{several} of them are assumed"),
    };
    html! { ", if the facts under " a href="#sources" { "Sources" } " hold; " (are_assumed) "." }
}

/// What a verdict promises; where the lead may be built, [`rests_on`] ends the sentence.
const fn meaning(verdict: Verdict) -> &'static str {
    match verdict {
        Verdict::Works => "Every threshold is met with at least 0.1 V to spare",
        Verdict::Thin => {
            "Many leads that people build are like this; a weak part or a dirty contact can stop it. Every typical \
             threshold is met, but not every guaranteed one with 0.1 V to spare"
        }
        Verdict::Unproved => {
            "Build it only for a machine that you can afford to test it on. Nothing speaks against it, and no \
             argument covers all of it"
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
