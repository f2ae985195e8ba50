//! The facts that the verdict stands on, the weakest first.

use maud::{Markup, html};
use solderside_lead::Leg;

use super::Subject;
use super::frame::{Section, table};
use super::text::prose;
use crate::words::listed;

pub(super) fn section(subject: &Subject<'_>) -> Section {
    Section::new("sources", "Sources", body(subject))
}

fn body(subject: &Subject<'_>) -> Markup {
    let rows = subject.proof.stands_on.iter().map(|fact| {
        vec![
            html! { (prose(&fact.what)) @if !fact.legs.is_empty() { small { " at " (listed(fact.legs.iter().map(Leg::to_string))) } } },
            html! { (fact.evidence) },
            html! { (prose(&fact.source)) },
        ]
    });
    html! {
        p { "The weakest come first: if one of them is wrong, the verdict may be. " code { "port.6" } " is contact 6 of the port’s \
             end. Published: in a document that can be looked up. Measured: somebody put a meter on it. Reported: somebody said \
             so. Assumed: nobody did." }
        (table("Facts and their evidence", &["Fact", "Evidence", "Source"], rows.collect()))
    }
}
