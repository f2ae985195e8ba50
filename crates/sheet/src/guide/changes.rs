//! What makes this lead out of another one; found out by others, told here.

use maud::{Markup, html};

use super::Subject;
use super::frame::{Section, to_do};
use super::text::told;
use crate::words::clean;

/// The moves that turn another lead into this one.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Changes {
    /// What the other lead is called on paper.
    pub from: String,
    /// The moves, a sentence each, in the order in which they are made.
    pub moves: Vec<String>,
    /// What to mind; nothing if it is empty.
    pub caution: String,
}

/// None where no other lead was compared.
pub(super) fn section(subject: &Subject<'_>, changes: &[Changes]) -> Option<Section> {
    (!changes.is_empty())
        .then(|| Section::new("changes", "Changes from another lead", body(subject, changes)))
}

fn body(subject: &Subject<'_>, changes: &[Changes]) -> Markup {
    html! {
        p { "If you have one of these leads already, change it instead of building anew. Unplug it at every end first; \
             afterwards do all of the " a href="#bench" { "meter tests" } ", also where nothing was moved." }
        @for change in changes {
            h3 { "From " (clean(&change.from)) }
            @if !change.caution.is_empty() { p class="caution" { strong { "Caution: " } (told(subject, &change.caution)) } }
            @if change.moves.is_empty() { p { "Nothing has to be moved: the two are wired alike." } }
            @else { (to_do(1, change.moves.iter().map(|sentence| told(subject, sentence)).collect())) }
        }
    }
}
