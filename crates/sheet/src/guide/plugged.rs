//! What is plugged in for a test, in words that fit the lead.

use solderside_lead::{Assembly, Body};
use solderside_meter::before_controls;

/// The controllers of whose contacts anything is known: "the controller", "both controllers".
pub(super) fn controllers(assembly: &Assembly) -> &'static str {
    let known = assembly.controllers.iter().filter(|own| !own.contacts.is_empty());
    if known.count() < 2 { "the controller" } else { "both controllers" }
}

/// What to do before the switches are tested, with chips named only where the lead has some.
pub(super) fn for_controls(assembly: &Assembly) -> Vec<String> {
    let chips = assembly.lead.parts.iter().filter(|part| matches!(part.body, Body::Chip(_))).count();
    let chips = match chips {
        0 => "",
        1 => ", and the chip of the lead stays out of its socket",
        _ => ", and the chips of the lead stay out of their sockets",
    };
    let two = match assembly.controllers.get(1) {
        Some(second) if !second.contacts.is_empty() => {
            " What is called `second-up` is `up` of the one at the controller 2 end."
        }
        Some(_) | None => "",
    };
    let plug_in = format!(
        "Only when every reading of the lead alone was right. Plug {} into the lead; the machine stays unplugged{chips}.{two}",
        controllers(assembly)
    );
    let [_, probe, range] = before_controls(assembly);
    vec![plug_in, probe.to_owned(), range.to_owned()]
}
