//! What stands behind a square: what the best lead comes to, what is lost, and why.

use maud::{Markup, html};
use solderside_design::{Best, Class, Square};
use solderside_profile::{Action, Axis, Control};
use solderside_proof::Verdict;

use crate::guide::prose;
use crate::words::count;

/// What a square comes to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Outcome {
    Works,
    Thin,
    NoLead,
}

impl Outcome {
    pub(super) const ALL: [Self; 3] = [Self::Works, Self::Thin, Self::NoLead];

    /// Its word, which is a class of the style too.
    pub(super) const fn as_str(self) -> &'static str {
        match self {
            Self::Works => "works",
            Self::Thin => "thin",
            Self::NoLead => "none",
        }
    }

    pub(super) const fn letter(self) -> &'static str {
        match self {
            Self::Works => "W",
            Self::Thin => "T",
            Self::NoLead => "–",
        }
    }

    pub(super) const fn means(self) -> &'static str {
        match self {
            Self::Works => "the lead is proved, with margins",
            Self::Thin => "the lead is proved for typical parts, not for every part",
            Self::NoLead => "no lead of the classes that were tried",
        }
    }
}

/// What a square comes to. A lead is proposed only where its proof is sound.
pub(super) fn outcome(square: &Square) -> Outcome {
    match square.best.as_ref().map(|best| best.verdict) {
        Some(Verdict::Works) => Outcome::Works,
        Some(Verdict::Thin | Verdict::Unproved | Verdict::Fails | Verdict::Harms) => Outcome::Thin,
        None => Outcome::NoLead,
    }
}

/// How much of the controller does nothing. A machine may have keys by the dozen that no controller has.
pub(super) fn lost_count(best: &Best) -> usize {
    best.controls_lost.len() + best.pots_lost.len()
}

/// "works: plain, wire only".
pub(super) fn headline(square: &Square, made_of: fn(Class) -> &'static str) -> String {
    let Some(best) = &square.best else { return "no lead".to_owned() };
    let parts = match best.parts {
        0 => String::new(),
        parts => format!(", {}", count(parts, "part")),
    };
    let pad = best.donor.as_ref().map_or_else(String::new, |pad| format!(" {pad}"));
    let but = if best.plays_no_direction { ", but no direction is played" } else { "" };
    format!("{}: {}, {}{pad}{parts}{but}", best.verdict, best.class, made_of(best.class))
}

/// A note as a whole.
pub(super) fn note(square: &Square, made_of: fn(Class) -> &'static str) -> Markup {
    html! {
        p class="headline" { b { (headline(square, made_of)) } }
        (rest(square))
    }
}

/// What is lost, and why wire alone does not do it.
pub(super) fn rest(square: &Square) -> Markup {
    html! {
        @if let Some(best) = &square.best {
            p { "Lost: " (lost(best)) "." }
        }
        @if !square.reasons.is_empty() {
            p { (prose(why(square))) }
            ul class="reasons" { @for facts in &square.reasons { li { (prose(&facts.join("; together with: "))) } } }
        }
    }
}

/// What comes before the reasons.
fn why(square: &Square) -> &'static str {
    match (&square.best, square.reasons.len()) {
        (Some(_), _) => "Wire alone does not do all:",
        (None, 1) if square.is_final => "Why:",
        (None, _) if square.is_final => "Why, each reason by itself:",
        (None, 1) => "Why wire does not do it; why chips do not either, `design` tells:",
        (None, _) => {
            "Why wire does not do it, each reason by itself; why chips do not either, `design` tells:"
        }
    }
}

/// What the best lead loses, the machine's side first.
fn lost(best: &Best) -> String {
    let texts = |names: Vec<&str>| names.join(", ");
    let lost = [
        ("actions", texts(best.actions_lost.iter().map(Action::as_str).collect())),
        ("axes of the machine", texts(best.axes_lost.iter().map(Axis::as_str).collect())),
        ("controls", texts(best.controls_lost.iter().map(Control::as_str).collect())),
        ("axes of the controller", texts(best.pots_lost.iter().map(Axis::as_str).collect())),
    ];
    let lost = lost.into_iter().filter(|(_, names)| !names.is_empty());
    let lost: Vec<String> = lost.map(|(what, names)| format!("{what} {names}")).collect();
    if lost.is_empty() { "nothing".to_owned() } else { lost.join("; ") }
}
