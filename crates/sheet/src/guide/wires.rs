//! The wire table: each join with its colour and both of its contacts.

use maud::{Markup, html};

use super::Subject;
use super::frame::{Section, table};
use super::text::{at, column_heading, columns, conductor};

pub(super) fn section(subject: &Subject<'_>) -> Section {
    Section::new("wires", "Wire table", body(subject))
}

fn body(subject: &Subject<'_>) -> Markup {
    let assembly = subject.assembly;
    let columns = columns(assembly);
    let [from, to] = [(columns[0], "From"), (columns[1], "To")]
        .map(|(end, otherwise)| column_heading(assembly, end, otherwise));
    let rows = assembly.lead.joins.iter().map(|join| {
        vec![
            conductor(subject, *join),
            html! { (at(assembly, join.from, columns[0])) },
            html! { (at(assembly, join.to, columns[1])) },
        ]
    });
    table("Conductors, cup to cup: number and function", &["Conductor", &from, &to], rows.collect())
}
