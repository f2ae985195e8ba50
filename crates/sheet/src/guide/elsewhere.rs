//! Where else the lead fits, and where it must never go; found out by others, told here.

use maud::{Markup, html};
use solderside_lead::EndId;
use solderside_proof::{Figure, Fit, Place, Verdict};

use super::Subject;
use super::findings;
use super::frame::{Section, table};
use super::text::told;
use crate::words::clean;

/// Something else that takes one of the lead's connectors, and what comes of it.
#[derive(Debug, Clone, PartialEq)]
pub struct Elsewhere {
    /// What it is called on paper.
    pub title: String,
    /// What it is.
    pub place: Place,
    /// The end of the lead that goes into it.
    pub end: EndId,
    /// What comes of it.
    pub fit: Fit,
    /// What the proof there comes to.
    pub verdict: Verdict,
    /// Whether nothing is damaged there, whatever else comes of it.
    pub is_harmless: bool,
    /// Why, in one line.
    pub reason: String,
    /// The figures behind it.
    pub figures: Vec<Figure>,
}

/// None where nobody has looked.
pub(super) fn section(subject: &Subject<'_>, elsewhere: &[Elsewhere]) -> Option<Section> {
    let heading = "Where else it fits, and where never";
    (!elsewhere.is_empty()).then(|| Section::new("elsewhere", heading, body(subject, elsewhere)))
}

/// What it is; of a lead for two also which end takes it.
fn place(subject: &Subject<'_>, entry: &Elsewhere) -> String {
    let place = entry.place.as_str();
    match (entry.place, entry.end) {
        (Place::Controller, EndId::Controller(at)) if subject.assembly.controllers.len() > 1 => {
            format!("{place} at the controller {} end", u16::from(at) + 1)
        }
        (Place::Controller | Place::Machine | Place::Hazard, _) => place.to_owned(),
    }
}

fn body(subject: &Subject<'_>, elsewhere: &[Elsewhere]) -> Markup {
    let mut sorted: Vec<&Elsewhere> = elsewhere.iter().collect();
    sorted.sort_by_key(|entry| entry.fit);
    let (never, others): (Vec<&Elsewhere>, Vec<&Elsewhere>) =
        sorted.into_iter().partition(|entry| entry.fit == Fit::Never);
    let (idle, never): (Vec<&Elsewhere>, Vec<&Elsewhere>) =
        never.into_iter().partition(|entry| entry.is_harmless);
    let rows = others.iter().map(|entry| {
        vec![
            html! { (clean(&entry.title)) " " span class="quiet" { "(" (place(subject, entry)) ")" } },
            html! { b class=(if entry.fit == Fit::Works { "works" } else { "thin" }) { (entry.fit.as_str()) } },
            why(subject, entry),
        ]
    });
    html! {
        @if !never.is_empty() {
            div class="never" {
                h3 { "Never plug it into these, though it fits" }
                ul { @for entry in &never {
                    li {
                        strong { "NEVER: " (clean(&entry.title)) } " (" (place(subject, entry)) ")"
                        @if entry.verdict == Verdict::Harms { ": it " strong { "HARMS" } }
                        ". " (why(subject, entry))
                    }
                } }
                p { "A label on the lead helps whoever finds it later: write on it what it is for." }
            }
        }
        @if !idle.is_empty() {
            details {
                summary { "It fits these and harms nothing there, but does not work: " (idle.len()) }
                ul class="idle" { @for entry in &idle {
                    li { (clean(&entry.title)) " (" (place(subject, entry)) ")"
                        span class="screen" { ". " (why(subject, entry)) } }
                } }
            }
            p class="paper" { "Why not, the page on a screen says." }
        }
        @if !others.is_empty() { (table("Where it may go", &["Where", "Verdict", "Why"], rows.collect())) }
        p { "Proved one by one. What is not named here was not looked at: a plug that fits says nothing about what lies \
             behind it." }
    }
}

fn why(subject: &Subject<'_>, entry: &Elsewhere) -> Markup {
    html! {
        (told(subject, &entry.reason))
        @for (at, figure) in entry.figures.iter().enumerate() {
            @if at == 0 { " (" } @else { "; " }
            span class="figure" { (findings::name(figure)) " " (findings::value(figure)) }
        }
        @if !entry.figures.is_empty() { ")" }
    }
}
