//! Sections, tables and lists to tick: the shapes that all parts of the guide share.

use maud::{Markup, PreEscaped, html};

use super::LOADS_NOTHING;
use super::ticks::{overview, progress};

/// One section of the guide.
pub(super) struct Section {
    id: &'static str,
    heading: &'static str,
    body: Markup,
}

/// One meter test: its cells, and what each wrong reading points to.
pub(super) struct Check {
    pub(super) cells: Vec<Markup>,
    pub(super) wrong: Markup,
    /// Whether that is in sight from the start.
    pub(super) is_shown: bool,
}

impl Section {
    pub(super) const fn new(id: &'static str, heading: &'static str, body: Markup) -> Self {
        Self { id, heading, body }
    }

    /// Its text, if there is something to tick in it.
    pub(super) fn tickable(&self) -> Option<&str> {
        Some(self.body.0.as_str()).filter(|body| body.contains("type=\"checkbox\""))
    }
}

/// Links to all sections.
pub(super) fn contents(sections: &[Section]) -> Markup {
    html! {
        nav aria-label="Contents" {
            ul { @for section in sections { li { a href={ "#" (section.id) } { (section.heading) } } } }
        }
    }
}

/// All sections; before the first with something to tick stands how far the reader is.
pub(super) fn sections(sections: Vec<Section>) -> Markup {
    let first = sections.iter().position(|section| section.tickable().is_some());
    html! {
        @for (at, section) in sections.into_iter().enumerate() {
            @if Some(at) == first { (overview()) }
            section id=(section.id) aria-labelledby={ (section.id) "-heading" } {
                h2 id={ (section.id) "-heading" } { (section.heading) }
                @if section.tickable().is_some() { (progress()) }
                div class="body" { (section.body) }
            }
        }
    }
}

/// What stands before the body of a page: it loads nothing, and has these styles one after the other.
pub(crate) fn head(title: &str, styles: &[&str]) -> Markup {
    html! {
        head {
            meta charset="utf-8";
            meta name="viewport" content="width=device-width, initial-scale=1";
            meta name="color-scheme" content="light dark";
            meta http-equiv="Content-Security-Policy" content=(LOADS_NOTHING);
            title { (title) }
            style { @for style in styles { (PreEscaped(style)) } }
        }
    }
}

/// A table with its caption; the first cell of each row heads it.
pub(super) fn table(caption: &str, headings: &[&str], rows: Vec<Vec<Markup>>) -> Markup {
    html! {
        div class="table" role="region" tabindex="0" aria-label=(caption) {
            table {
                caption { (caption) }
                thead { tr { @for heading in headings { th scope="col" { (heading) } } } }
                tbody {
                    @for cells in rows { tr { (row(cells)) } }
                }
            }
        }
    }
}

/// A table of meter tests: beneath each row opens what a wrong reading points to.
pub(super) fn checks(caption: &str, headings: &[&str], checks: Vec<Check>) -> Markup {
    html! {
        div class="table" role="region" tabindex="0" aria-label=(caption) {
            table {
                caption { (caption) }
                thead { tr { @for heading in headings { th scope="col" { (heading) } } } }
                @for check in checks {
                    tbody {
                        tr { (row(check.cells)) }
                        tr class="where" {
                            td colspan=(headings.len()) {
                                details open[check.is_shown] { summary { "Reads anything else?" } div { (check.wrong) } }
                            }
                        }
                    }
                }
            }
        }
    }
}

fn row(cells: Vec<Markup>) -> Markup {
    html! {
        @for (at, cell) in cells.into_iter().enumerate() {
            @if at == 0 { th scope="row" { (cell) } } @else { td { (cell) } }
        }
    }
}

/// A box to tick, on screen and on paper.
pub(super) fn tick(what: &str) -> Markup {
    html! { label class="tick" { input type="checkbox" aria-label=(what); } }
}

/// Numbered things to do, each with a box to tick; numbering goes on from `first`.
pub(super) fn to_do(first: usize, items: Vec<Markup>) -> Markup {
    html! {
        ol class="do" start=(first) {
            @for item in items { li { label { input type="checkbox"; span { (item) } } } }
        }
    }
}

/// Short texts, one under the other.
pub(super) fn list<T: AsRef<str>>(texts: &[T]) -> Markup {
    html! { ul { @for text in texts { li { (text.as_ref()) } } } }
}

/// Where a figure or a habit comes from.
pub(super) fn source(text: &str) -> Markup {
    html! { small class="source" { "Source: " (text) } }
}
