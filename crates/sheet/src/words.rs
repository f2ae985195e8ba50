//! Turns of phrase that the drawing and the guide share.

use std::collections::{BTreeSet, VecDeque};

use solderside_lead::{Assembly, End, EndId, Holder, Join, Lead, Leg, PartId};
use solderside_trade::{Body, Connector, ContactId, Family, Gender};

/// A text from a file, fit for a page: control characters, which XML forbids, become spaces.
pub(crate) fn clean(text: &str) -> String {
    text.chars().map(|c| if c.is_control() { ' ' } else { c }).collect()
}

/// "Controller end", "Second controller's end", "Port end".
pub(crate) fn end_name(assembly: &Assembly, end: EndId) -> String {
    match end {
        EndId::Part(id) => part_name(id),
        EndId::Inside(Holder::Controller(_), id) => format!("{} inside the controller", part_name(id)),
        EndId::Inside(Holder::Donor, id) => format!("{} inside the donor", part_name(id)),
        EndId::Switch(_) | EndId::Donor => "Donor".to_owned(),
        EndId::Port => "Port end".to_owned(),
        EndId::Controller(_) if assembly.controllers.len() < 2 => "Controller end".to_owned(),
        EndId::Controller(at) => format!("Controller {} end", u16::from(at) + 1),
    }
}

/// One cord of a lead.
pub(crate) struct Cord {
    /// The controller end that it goes to; none where there is one cord.
    pub(crate) end: Option<EndId>,
    /// The joins that run in it: its conductors.
    pub(crate) joins: Vec<Join>,
}

/// The joins that a hand solders and that stay in a hood: from cup to board, or from cup to cup. They are no conductors
/// of the cable, and are counted and named apart.
pub(crate) fn short_wires(assembly: &Assembly) -> Vec<Join> {
    assembly.lead.soldered().filter(|join| is_short(assembly, **join)).copied().collect()
}

/// Whether a join is one of the [short wires](short_wires).
pub(crate) fn is_short(assembly: &Assembly, join: Join) -> bool {
    !is_bare(assembly, join) && !is_conductor(assembly, join)
}

/// Whether a join is a conductor: it leaves its hood, in the cable or into a donor.
fn is_conductor(assembly: &Assembly, join: Join) -> bool {
    assembly.lead.runs_through_cable(&join)
}

/// "9 conductors", "9 conductors and 7 short wires": what a hand solders, without the bare legs of parts.
pub(crate) fn counted_wires(assembly: &Assembly) -> String {
    let conductors = assembly.lead.soldered().filter(|join| is_conductor(assembly, **join)).count();
    let conductors = count(conductors, "conductor");
    match short_wires(assembly).len() {
        0 => conductors,
        short => format!("{conductors} and {}", count(short, "short wire")),
    }
}

/// The cords of a lead: one for each controller end. A conductor between two of these runs in the second's.
pub(crate) fn cords(assembly: &Assembly) -> Vec<Cord> {
    let lead = &assembly.lead;
    let long: Vec<Join> = lead.joins.iter().copied().filter(|join| is_conductor(assembly, *join)).collect();
    if assembly.controllers.len() < 2 {
        return vec![Cord { end: None, joins: long }];
    }
    let second = EndId::Controller(1);
    let (seconds, firsts) =
        long.into_iter().partition(|join| [join.from, join.to].iter().any(|leg| lead.hood(*leg) == second));
    let first = Cord { end: Some(EndId::Controller(0)), joins: firsts };
    vec![first, Cord { end: Some(second), joins: seconds }]
}

/// The title of what an end is plugged into.
pub(crate) fn theirs(assembly: &Assembly, end: EndId) -> String {
    clean(assembly.controller(end).map_or(&assembly.port.title, |controller| &controller.title))
}

/// "goes onto" or "goes into"; wire ends are "clamped in" terminals.
pub(crate) const fn goes(connector: Connector) -> &'static str {
    match (connector.family.has_gender(), connector.gender) {
        (true, Gender::Plug) => "goes into",
        (true, Gender::Socket) => "goes onto",
        (false, Gender::Plug) => "clamped in",
        (false, Gender::Socket) => "takes the wires of",
    }
}

/// Whether the conductors of an end are no plug but go under the screws of the controller itself.
pub(crate) fn is_clamped(end: &End) -> bool {
    matches!(end.id, EndId::Controller(_))
        && matches!((end.connector.family.body(), end.connector.gender), (Body::Strip, Gender::Plug))
}

/// "pins" or "holes", or what an edge has instead.
pub(crate) const fn has(connector: Connector) -> &'static str {
    match (connector.family.body(), connector.gender) {
        (Body::DShell { .. } | Body::Skirt { .. }, Gender::Plug) => "pins",
        (Body::DShell { .. } | Body::Skirt { .. }, Gender::Socket) => "holes",
        (Body::Slot { .. }, Gender::Plug) => "pads on a board",
        (Body::Slot { .. }, Gender::Socket) => "springs in a slot",
        (Body::Strip, Gender::Plug) => "bare or ferruled ends",
        (Body::Strip, Gender::Socket) => "screws",
    }
}

/// "cup", "tag" or "terminal": what a conductor is soldered to or clamped in.
pub(crate) const fn joint(family: Family) -> &'static str {
    match family.body() {
        Body::DShell { .. } | Body::Skirt { .. } => "cup",
        Body::Slot { .. } => "tag",
        Body::Strip => "terminal",
    }
}

/// "solder side": the side that one looks at.
pub(crate) const fn seen_from(family: Family) -> &'static str {
    match family.body() {
        Body::DShell { .. } | Body::Skirt { .. } => "solder side",
        // A board has a solder side of its own: that of the letters.
        Body::Slot { .. } => "side of the tags",
        Body::Strip => "side of the screws",
    }
}

/// "row 1 to 8 up": what tells which way up it lies.
pub(crate) fn way_up(family: Family, turned: bool) -> String {
    let up = if turned { "down" } else { "up" };
    match family.body() {
        Body::DShell { .. } => format!("row 1 to {} {up}", family.rows().first().copied().unwrap_or(1)),
        Body::Slot { .. } => format!("parts side with row 1 to 28 {up}"),
        Body::Skirt { .. } => format!("keyway {up}"),
        Body::Strip => format!("1 on the {}", if turned { "right" } else { "left" }),
    }
}

/// "13 (a)", or the contact alone where nothing is known of it; "D1 cathode (band)".
pub(crate) fn contact(assembly: &Assembly, leg: Leg) -> String {
    if let Some(id) = leg.part_id() {
        let body = assembly.lead.part(id).map(|part| part.body);
        return match (body, leg.contact) {
            (Some(solderside_lead::Body::Chip(chip)), ContactId::Number(number)) => {
                let name =
                    chip.sheet().leg(number).map_or_else(String::new, |leg| format!(" ({})", leg.name));
                format!("{}{name}", part_leg(id, leg.contact))
            }
            (_, contact) => part_leg(id, contact),
        };
    }
    let function = assembly.function(leg);
    if leg.switch().is_some() {
        return function;
    }
    if function.is_empty() || leg.contact == ContactId::Shell {
        leg.contact.to_string()
    } else {
        format!("{} ({function})", leg.contact)
    }
}

/// "D1 cathode (band)", "D1 anode", "R1 leg 1".
fn part_leg(id: PartId, contact: ContactId) -> String {
    match id {
        PartId::Diode(_) if contact == PartId::CATHODE => format!("{} cathode (band)", part_name(id)),
        PartId::Diode(_) => format!("{} anode", part_name(id)),
        PartId::Bipolar(_) | PartId::Mosfet(_) | PartId::Changeover(_) => {
            format!("{} {}", part_name(id), id.leg_name(contact))
        }
        PartId::Resistor(_) | PartId::Capacitor(_) | PartId::Chip(_) => {
            format!("{} leg {contact}", part_name(id))
        }
    }
}

/// "the leg with the band (cathode) of D1", "leg 1 of R1".
pub(crate) fn leg_of(id: PartId, contact: ContactId) -> String {
    let name = part_name(id);
    match id {
        PartId::Diode(_) if contact == PartId::CATHODE => format!("the leg at the band (cathode) of {name}"),
        PartId::Diode(_) => format!("the leg without band (anode) of {name}"),
        PartId::Bipolar(_) | PartId::Mosfet(_) => format!("the {} of {name}", id.leg_name(contact)),
        PartId::Changeover(_) => format!("the lug `{}` of {name}", id.leg_name(contact)),
        PartId::Resistor(_) | PartId::Capacitor(_) | PartId::Chip(_) => format!("leg {contact} of {name}"),
    }
}

/// What stands beside a leg of a transistor or a lug of a switch: a letter, or the number of the throw; `b` marks the second
/// pole.
pub(crate) fn initial(id: PartId, contact: ContactId) -> String {
    let name = id.leg_name(contact);
    // The second pole's lugs are called like the first's: `first-b`.
    let (word, pole) = name.split_once('-').unwrap_or((name.as_str(), ""));
    match (id, word) {
        (PartId::Changeover(_), "first") => format!("1{pole}"),
        (PartId::Changeover(_), "second") => format!("2{pole}"),
        _ => format!("{}{pole}", word.chars().take(1).collect::<String>().to_uppercase()),
    }
}

/// "D1", "R12".
pub(crate) fn part_name(id: PartId) -> String {
    id.to_string().to_uppercase()
}

/// What a conductor is for: "up", or "a to fire" where its two ends call it differently.
pub(crate) fn purpose(assembly: &Assembly, join: Join) -> String {
    match [function_here(assembly, join.from), function_here(assembly, join.to)] {
        [from, to] if from == to || to.is_empty() => from,
        [from, to] if from.is_empty() => to,
        [from, to] => format!("{from} to {to}"),
    }
}

/// What a leg is for at its own end: of a part's leg, what the contacts behind it are for.
pub(crate) fn function_here(assembly: &Assembly, leg: Leg) -> String {
    let mut functions: Vec<String> = Vec::new();
    for leg in contacts_here(&assembly.lead, leg) {
        let function = assembly.function(leg);
        if !function.is_empty() && !functions.contains(&function) {
            functions.push(function);
        }
    }
    listed(functions)
}

/// The contacts of its own end that a leg is tied to without going through the cable or through another contact.
pub(crate) fn contacts_here(lead: &Lead, leg: Leg) -> BTreeSet<Leg> {
    let (mut contacts, mut seen) = (BTreeSet::new(), BTreeSet::from([leg]));
    let mut open = VecDeque::from([leg]);
    while let Some(leg) = open.pop_front() {
        if leg.part_id().is_none() {
            contacts.insert(leg);
            continue;
        }
        let here = lead.joined(leg).filter(|other| lead.hood(*other) == lead.hood(leg));
        // On a board many things lie behind a part.
        let across = lead.across(leg).filter(|_| !has_board(lead, lead.hood(leg)));
        open.extend(here.chain(across).filter(|next| seen.insert(*next)));
    }
    contacts
}

/// Whether a join is no conductor but the bare leg of a part, which reaches a cup or another part in its hood, or bare
/// wire under a board. What leads from a cup to a board is a conductor.
pub(crate) fn is_bare(assembly: &Assembly, join: Join) -> bool {
    let lead = &assembly.lead;
    let is_of_a_part = |leg: &Leg| leg.part_id().is_some();
    let reaches_a_board =
        ![join.from, join.to].iter().all(is_of_a_part) && has_board(lead, lead.hood(join.from));
    [join.from, join.to].iter().any(is_of_a_part) && !lead.runs_through_cable(&join) && !reaches_a_board
}

/// Whether the parts in the hood of an end sit on a board: one of them has more legs than a hand can twist together.
pub(crate) fn has_board(lead: &Lead, end: EndId) -> bool {
    lead.parts.iter().any(|part| part.sits == end && part.body.sits_on_a_board())
}

/// "1 conductor", "7 conductors", "2 switches".
pub(crate) fn count(number: usize, thing: &str) -> String {
    let plural = if thing.ends_with("ch") { "es" } else { "s" };
    if number == 1 { format!("1 {thing}") } else { format!("{number} {thing}{plural}") }
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_lug_of_a_switch_has_a_mark_of_its_own() {
        let id = PartId::Changeover(1);
        let marks = [1, 2, 3, 4, 5, 6].map(|lug| initial(id, ContactId::Number(lug)));
        assert_eq!(marks, ["C", "1", "2", "Cb", "1b", "2b"]);
    }
}
