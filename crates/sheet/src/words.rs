//! Turns of phrase that the drawing and the guide share.

use solderside_lead::{Assembly, EndId, Join, Leg};
use solderside_trade::{ContactId, Family, Gender};

/// A text from a file, fit for a page: control characters, which XML forbids, become spaces.
pub(crate) fn clean(text: &str) -> String {
    text.chars().map(|c| if c.is_control() { ' ' } else { c }).collect()
}

/// "Controller end", "Second controller's end", "Port end".
pub(crate) fn end_name(assembly: &Assembly, end: EndId) -> String {
    match end {
        EndId::Part(id) => id.to_string().to_uppercase(),
        EndId::Port => "Port end".to_owned(),
        EndId::Controller(_) if assembly.controllers.len() < 2 => "Controller end".to_owned(),
        EndId::Controller(at) => format!("Controller {} end", u16::from(at) + 1),
    }
}

/// The title of what an end is plugged into.
pub(crate) fn theirs(assembly: &Assembly, end: EndId) -> String {
    clean(assembly.controller(end).map_or(&assembly.port.title, |controller| &controller.title))
}

/// "goes onto" or "goes into".
pub(crate) const fn goes(gender: Gender) -> &'static str {
    match gender {
        Gender::Plug => "goes into",
        Gender::Socket => "goes onto",
    }
}

/// "pins" or "holes".
pub(crate) const fn has(gender: Gender) -> &'static str {
    match gender {
        Gender::Plug => "pins",
        Gender::Socket => "holes",
    }
}

/// "row 1 to 8": the row of contact 1, by which the way up is told.
pub(crate) fn first_row(family: Family) -> String {
    format!("row 1 to {}", family.rows().first().copied().unwrap_or(1))
}

/// "13 (a)", or the contact alone where nothing is known of it.
pub(crate) fn contact(assembly: &Assembly, leg: Leg) -> String {
    let function = assembly.function(leg);
    if function.is_empty() || leg.contact == ContactId::Shell {
        leg.contact.to_string()
    } else {
        format!("{} ({function})", leg.contact)
    }
}

/// What a conductor is for: "up", or "a to fire" where its two ends call it differently.
pub(crate) fn purpose(assembly: &Assembly, join: Join) -> String {
    match [assembly.function(join.from), assembly.function(join.to)] {
        [from, to] if from == to || to.is_empty() => from,
        [from, to] if from.is_empty() => to,
        [from, to] => format!("{from} to {to}"),
    }
}

/// Whether a conductor runs from one end of the lead to another, and not between two cups of one end.
pub(crate) fn crosses(join: Join) -> bool {
    join.from.end != join.to.end
}

/// "1 conductor", "7 conductors".
pub(crate) fn count(number: usize, thing: &str) -> String {
    if number == 1 { format!("1 {thing}") } else { format!("{number} {thing}s") }
}

/// Things as a list in a sentence: "1, 2 and 3".
pub(crate) fn listed<T: ToString>(items: impl IntoIterator<Item = T>) -> String {
    let items: Vec<String> = items.into_iter().map(|item| item.to_string()).collect();
    match items.as_slice() {
        [] => String::new(),
        [only] => only.clone(),
        [most @ .., last] => format!("{} and {last}", most.join(", ")),
    }
}
