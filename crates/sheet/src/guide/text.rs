//! Texts of findings and profiles as HTML, and the words for states and contacts.

use maud::{Markup, html};
use solderside_lead::{Assembly, EndId, Join, Leg};
use solderside_profile::{Control, capital};
use solderside_trade::Colour;

use super::Subject;
use crate::words::{clean, contact, end_name};

/// A text whose names stand in backticks.
pub(crate) fn prose(text: &str) -> Markup {
    with_names(text, |name, _| html! { code { (name) } })
}

/// A sentence of the proof in the guide's words: `port.6` is "port end 6".
pub(super) fn told(subject: &Subject<'_>, text: &str) -> Markup {
    let ends = &subject.assembly.lead.ends;
    with_names(&as_sentence(text), |name, is_first| match name.parse::<Leg>() {
        Ok(leg) if leg.part_id().is_some_and(|id| subject.assembly.lead.part(id).is_some()) => {
            html! { (contact(subject.assembly, leg)) }
        }
        Ok(leg) if ends.iter().any(|end| end.id == leg.end) => {
            let end = end_name(subject.assembly, leg.end);
            let end = if is_first { end } else { end.to_lowercase() };
            html! { (end) " " (leg.contact) }
        }
        Ok(_) | Err(_) => {
            if let Ok(end @ EndId::Controller(1..)) = name.parse::<EndId>() {
                html! { "the " (end_name(subject.assembly, end).to_lowercase()) }
            } else {
                html! { code { (name) } }
            }
        }
    })
}

/// Shows each name; with it is told whether the text begins with it.
fn with_names(text: &str, show: impl Fn(&str, bool) -> Markup) -> Markup {
    let text = clean(text);
    let pieces: Vec<&str> = text.split('`').collect();
    html! {
        @for (at, piece) in pieces.iter().enumerate() {
            @if at % 2 == 1 && at + 1 < pieces.len() { (show(piece, at == 1 && pieces.first().is_some_and(|before| before.is_empty()))) } @else { (piece) }
        }
    }
}

/// "`up` and `a` pressed", "nothing pressed".
pub(super) fn pressed(state: &[Control]) -> Markup {
    html! {
        @if state.is_empty() { "nothing pressed" } @else {
            @for (at, control) in state.iter().enumerate() {
                @if at > 0 { " + " }
                code { (control) }
            }
            " pressed"
        }
    }
}

/// "`up`, `a` and `b`".
pub(super) fn names<T: AsRef<str>>(all: impl IntoIterator<Item = T>) -> Markup {
    let all: Vec<T> = all.into_iter().collect();
    let last = all.len().saturating_sub(1);
    html! {
        @for (at, name) in all.iter().enumerate() {
            @if at > 0 { @if at == last { " and " } @else { ", " } }
            code { (name.as_ref()) }
        }
    }
}

/// A conductor: a swatch, the letters, the word.
pub(super) fn conductor(subject: &Subject<'_>, join: Join) -> Markup {
    html! { (letters(subject, join)) " " span class="word" { (subject.colouring.words(join)) } }
}

/// A conductor in a narrow column: a swatch and the letters.
pub(super) fn letters(subject: &Subject<'_>, join: Join) -> Markup {
    html! {
        span class="letters" {
            @if let Some(core) = subject.colouring.core(join) {
                span class="core" style=(swatch(core.base(), core.ring())) {}
            }
            b { (subject.colouring.letters(join)) }
        }
    }
}

/// A text with a capital and a full stop.
fn as_sentence(text: &str) -> String {
    let text = text.trim();
    let stop = if text.ends_with(['.', '?', '!']) || text.is_empty() { "" } else { "." };
    capital(text) + stop
}

fn swatch(base: Colour, ring: Option<Colour>) -> String {
    let css = |colour: Colour| {
        let [red, green, blue] = colour.rgb();
        format!("rgb({red} {green} {blue})")
    };
    let base_css = css(base);
    match ring {
        None => format!("background:{base_css}"),
        Some(ring) => {
            format!("background:linear-gradient(90deg,{base_css} 35%,{} 35% 65%,{base_css} 65%)", css(ring))
        }
    }
}

/// "port end 6 (fire)".
pub(super) fn place(assembly: &Assembly, leg: Leg) -> String {
    match leg.part_id() {
        Some(_) => contact(assembly, leg),
        None => format!("{} {}", end_name(assembly, leg.end).to_lowercase(), contact(assembly, leg)),
    }
}

/// "13 (a)" in a column of one end; "13 (a), port end" where the leg is elsewhere.
pub(super) fn at(assembly: &Assembly, leg: Leg, column: Option<EndId>) -> String {
    let contact = contact(assembly, leg);
    if column == Some(assembly.lead.hood(leg)) || leg.part_id().is_some() {
        contact
    } else {
        format!("{contact}, {}", end_name(assembly, leg.end).to_lowercase())
    }
}

/// The end that the first legs of these joins belong to, and that of the second; none where they differ. A part's leg
/// belongs to the end in whose hood it sits.
pub(super) fn columns(assembly: &Assembly, joins: &[Join]) -> [Option<EndId>; 2] {
    let only = |leg: fn(&Join) -> Leg| {
        let mut ends = joins.iter().map(|join| assembly.lead.hood(leg(join)));
        let first = ends.next()?;
        ends.all(|end| end == first).then_some(first)
    };
    [only(|join| join.from), only(|join| join.to)]
}

/// The heading of a column of contacts.
pub(super) fn column_heading(assembly: &Assembly, end: Option<EndId>, otherwise: &str) -> String {
    end.map_or_else(|| otherwise.to_owned(), |end| end_name(assembly, end))
}
