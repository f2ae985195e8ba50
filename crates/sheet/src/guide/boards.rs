//! Parts on a board in the guide's words: what is bought, how the board is made up leg by leg, and how its chips are
//! first powered.

use std::collections::BTreeSet;

use maud::{Markup, html};
use solderside_lead::{Body, EndId, Join, Lead, Leg, Part};
use solderside_meter::feeds;
pub(super) use solderside_meter::{FedChip, fed_chips as chips};
use solderside_trade::{ChipPart, TransistorPart};

use super::Subject;
use super::frame::{source, table, to_do};
use super::text::{conductor, place};
use crate::words::{contact, end_name, has_board, is_bare, leg_of, listed, part_name};

const HABIT: &str = "common practice, no source";

/// The ends in whose hoods boards sit.
pub(super) fn ends(lead: &Lead) -> Vec<EndId> {
    lead.ends.iter().map(|end| end.id).filter(|end| has_board(lead, *end)).collect()
}

/// The names of a lead's chips: "U1 and U2".
pub(super) fn names(lead: &Lead) -> String {
    listed(chips(lead).iter().map(|fed| part_name(fed.part.id())))
}

/// "DIP-16".
pub(super) fn package(chip: ChipPart) -> String {
    format!("DIP-{}", chip.sheet().legs.len())
}

/// What is said of a chip that is bought.
pub(super) fn of_a_chip(chip: ChipPart, number: usize, names: &[String]) -> Markup {
    let sheet = chip.sheet();
    let legs = sheet.legs.len();
    html! {
        b { (number) " × " (chip) " in " (package(chip)) } " (" (listed(names)) "), " (sheet.what) "; and for each a socket of " (legs)
        " legs, two rows 7.62 mm apart. What is printed on it is longer: the maker’s letters stand before the name, and \
        those behind it tell the package; only a package with two rows of stiff legs fits. The letters within the name are the \
        family, and "
        b { "no other family does in its place" }
        ": its inputs have other thresholds and its outputs other strength, and nothing here was proved for it. "
        (source(sheet.source.text))
    }
}

/// What is said of a transistor that is bought.
pub(super) fn of_a_transistor(transistor: TransistorPart, number: usize, names: &[String]) -> Markup {
    let row = transistor.sheet().row;
    html! {
        b { (number) " × " (transistor) } " in a small case with one flat side (" (listed(names)) "). From left to right, the flat \
        side to you and the legs down: " b { (listed(row.value)) } ". Makers differ in that order, so look at the sheet of the very \
        one that you buy. Do not put another type in its place. "
        (source(row.source.text))
    }
}

/// The board itself and its wire.
pub(super) fn shopping(lead: &Lead) -> Markup {
    let ends = ends(lead);
    html! {
        @for end in &ends {
            li {
                b { "1 × piece of perforated board" } ", holes 2.54 mm apart, a ring of copper round each and no strips between them, for "
                (part_list(lead, *end)) ". Lay the parts out on it before you cut it, and cut it as small as they allow: it has to go \
                into the hood with them, and a chip in its socket stands about 10 mm high. Where it does not, take a larger hood, or a \
                small closed box in the cable close to this end. "
                (source("from memory (height); common practice, no source"))
            }
        }
        @if !ends.is_empty() {
            li { "Tinned wire of 0.5 mm for the joints between legs on the board, with sleeve where two cross, and insulating tape or \
                wide sleeve to wrap the board in. " (source(HABIT)) }
        }
    }
}

/// "R1, C1 and U1".
fn part_list(lead: &Lead, end: EndId) -> String {
    listed(lead.parts.iter().filter(|part| part.sits == end).map(|part| part_name(part.id())))
}

/// What is done to the parts of boards before anything is soldered.
pub(super) fn preparations(lead: &Lead) -> Vec<Markup> {
    let chips = chips(lead);
    let mut items = Vec::new();
    if let Some(first) = chips.first() {
        items.push(html! {
            "Leave " (names(lead)) " in the foam or tube until its turn comes: static that nobody feels can kill it. Touch earthed metal \
             before you take it out, hold it by its two ends, and bend none of its legs. Find its notch: seen from above, the notch \
             to the left, leg 1 is the first below it, and they count on from there against the clock to leg "
            (first.chip.sheet().legs.len()) " above the notch. "
            (source(HABIT))
        });
    }
    if lead.parts.iter().any(|part| matches!(part.body, Body::Transistor(_)) && has_board(lead, part.sits)) {
        items.push(html! {
            "Hold each transistor with its flat side to you and its legs down, and compare its order of legs with the list above and \
             with the sheet of its maker. " (source(HABIT))
        });
    }
    items
}

/// The making up of an end's board, one item for each leg that something is soldered to.
pub(super) fn make_up(subject: &Subject<'_>, end: EndId) -> Vec<Markup> {
    let lead = &subject.assembly.lead;
    if !has_board(lead, end) {
        return Vec::new();
    }
    let mut items = vec![seating(lead, end)];
    let mut done: BTreeSet<Join> = BTreeSet::new();
    for part in by_legs(lead, end) {
        for leg in part.body.legs().map(|contact| Leg::part(part.id(), contact)) {
            let mut own = lead.joins.iter().filter(|join| join.other(leg).is_some());
            let own: Vec<Join> = own.by_ref().copied().filter(|join| done.insert(*join)).collect();
            if !own.is_empty() {
                items.push(
                    html! { b { (contact(subject.assembly, leg)) } ": " (wired(subject, leg, &own)) "." },
                );
            }
        }
    }
    items.push(html! {
        "Look at the underside under a lamp: no drop, whisker or strand may reach a neighbouring leg."
        @if chips(lead).iter().any(|fed| fed.part.sits == end) {
            " Buzz each leg of the socket against the next in its row: only those may sound that the table of its legs joins. The chip \
             stays out of its socket until its supply has been measured there."
        }
    });
    items
}

/// The parts of a board in the order in which they are wired: those with the most legs first.
fn by_legs(lead: &Lead, end: EndId) -> Vec<Part> {
    let mut parts: Vec<Part> = lead.parts.iter().filter(|part| part.sits == end).copied().collect();
    parts.sort_by_key(|part| (std::cmp::Reverse(part.body.legs().count()), part.id()));
    parts
}

fn seating(lead: &Lead, end: EndId) -> Markup {
    let has = |kind: fn(&Body) -> bool| lead.parts.iter().any(|part| part.sits == end && kind(&part.body));
    let here: Vec<FedChip> = chips(lead).into_iter().filter(|fed| fed.part.sits == end).collect();
    let beside = |fed: &FedChip| {
        let decoupling = lead.parts.iter().find(|part| {
            let legs = part.body.legs().map(|contact| Leg::part(part.id(), contact));
            let legs: Vec<Leg> = legs.collect();
            let touches = |of: Leg| lead.net(of).iter().any(|leg| legs.contains(leg));
            part.sits == end
                && matches!(part.body, Body::Capacitor(_))
                && touches(fed.supply)
                && touches(fed.ground)
        })?;
        Some(format!(
            "{} stands as near as can be to {}, and its wires to them are the shortest of the board",
            part_name(decoupling.id()),
            listed([fed.supply, fed.ground].map(|leg| leg_of(fed.part.id(), leg.contact)))
        ))
    };
    let beside: Vec<String> = here.iter().filter_map(beside).collect();
    html! {
        b { "The board. " }
        "Put the parts in as the drawing shows them from above"
        @if !here.is_empty() { ", the " b { "sockets without their chips" } }
        ", and solder two legs of each, corner to corner where there are corners; then look whether it lies flat, and solder the rest."
        @if !here.is_empty() { " The notch of a socket points where the drawing has the chip’s." }
        @for line in &beside { " " (line) "." }
        @if has(|body| matches!(body, Body::Diode(_))) { " The band of a diode lies where the drawing has it." }
        " Then turn the board over: seen from below, left and right are " b { "changed over" }
        @if !here.is_empty() { ", so count the legs of a chip from leg 1 with the clock" }
        ". The steps that follow go leg by leg; each wire comes once. "
        (source(HABIT))
    }
}

/// "TQ turquoise, which goes to port end 7 (select); bare wire to U1 leg 5".
fn wired(subject: &Subject<'_>, leg: Leg, joins: &[Join]) -> Markup {
    let assembly = subject.assembly;
    html! {
        @for (at, join) in joins.iter().enumerate() {
            @if at > 0 { "; " }
            @let other = join.other(leg).unwrap_or(leg);
            @if is_bare(assembly, *join) { "bare wire to " (contact(assembly, other)) }
            @else { (conductor(subject, *join)) ", which goes to " (place(assembly, other)) }
        }
    }
}

/// What each leg of the parts with more than two legs is joined to.
pub(super) fn leg_tables(subject: &Subject<'_>) -> Markup {
    let assembly = subject.assembly;
    let parts = assembly.lead.parts.iter().filter(|part| part.body.switches());
    html! {
        @for part in parts {
            @let rows = part.body.legs().map(|number| row(subject, part, Leg::part(part.id(), number)));
            (table(
                &format!("{} {}, leg by leg, in the hood of the {}", part_name(part.id()), part.body,
                    end_name(assembly, part.sits).to_lowercase()),
                &["Leg", "Is", "Goes to"],
                rows.collect(),
            ))
        }
    }
}

fn row(subject: &Subject<'_>, part: &Part, leg: Leg) -> Vec<Markup> {
    let Subject { assembly, colouring, .. } = subject;
    let joins = assembly.lead.joins.iter().filter_map(|join| Some((*join, join.other(leg)?)));
    let goes = joins.map(|(join, other)| {
        let there = place(assembly, other);
        if is_bare(assembly, join) { there } else { format!("{} to {there}", colouring.letters(join)) }
    });
    let goes = listed(goes);
    let is = match part.body {
        Body::Chip(chip) => match leg.contact {
            solderside_trade::ContactId::Number(number) => {
                chip.sheet().leg(number).map_or("", |leg| leg.name).to_owned()
            }
            solderside_trade::ContactId::Letter(_) | solderside_trade::ContactId::Shell => String::new(),
        },
        Body::Transistor(_) => part.id().leg_name(leg.contact),
        Body::Diode(_) | Body::Resistor(_) | Body::Capacitor(_) => String::new(),
    };
    vec![
        html! { (leg.contact) },
        html! { (is) },
        html! { @if goes.is_empty() { "nothing" } @else { (goes) } },
    ]
}

/// The first power of the chips, at their empty sockets; `first` is the number of the first step. Returns how many
/// steps there are too.
pub(super) fn first_power(subject: &Subject<'_>, first: usize) -> (Markup, usize) {
    let assembly = subject.assembly;
    let mut next = first;
    let mut parts = Vec::new();
    for fed in chips(&assembly.lead) {
        let items = chip_power(subject, &fed);
        parts.push(html! {
            h3 { "Supply of " (part_name(fed.part.id())) }
            (to_do(next, items.clone()))
        });
        next += items.len();
    }
    (html! { @for part in parts { (part) } }, next - first)
}

fn chip_power(subject: &Subject<'_>, fed: &FedChip) -> Vec<Markup> {
    let assembly = subject.assembly;
    let name = part_name(fed.part.id());
    let [own, home] = [fed.supply, fed.ground].map(|leg| contact(assembly, leg));
    let supply = feeds(assembly, fed.supply);
    let asks = fed.chip.sheet().supply.value;
    vec![
        html! { "Machine off, controller not plugged in, " (name) " not in its socket. At the socket fix a 1 kΩ resistor between " (own)
        " and " (home) ", and the meter’s probes beside it, on DC volts, the black one at " (home) ". No clip may touch a neighbour." },
        html! { "Plug the lead into the machine, then switch the machine on. Expect "
        @match supply {
            Some((volts, true)) => { (volts.low()) " to " (volts.high()) },
            Some((volts, false)) => {
                "what the parts on the way leave of " (volts.low()) " to " (volts.high())
            },
            None => "its supply",
        }
        ", less a few millivolts that the cable takes; the chip asks for " (asks.low()) " to " (asks.high())
        ". A minus sign means that supply and ground are swapped, and would kill the chip: stop." },
        html! { "Switch off, take the resistor away, switch on. The reading may rise by less than 50 mV. If it rises by more, the \
        contact is no supply but a line that is pulled up: stop. "
        (source("computed: a supply of 2 Ω and the lead lose about 15 mV at 5 mA; a pull-up of 1 kΩ loses half")) },
        html! { "Switch off and unplug the lead. Touch earthed metal, then press " (name) " into its socket, its notch at the socket’s \
        notch, every leg in its hole and none bent under. Turned round it gets its supply the wrong way, and is dead." },
        html! { "Plug the lead into the machine, the controller still out, and switch on. Measure " (own) " against " (home) " once more: \
        the same within 50 mV. A chip that grows warm to a finger in half a minute: switch off. "
        (source(HABIT)) },
        html! { "Switch off and unplug the lead. " (wrapped()) " Then close the hood over the board." },
    ]
}

/// How a board is kept off the metal around it.
pub(super) fn wrapped() -> &'static str {
    "Wrap the board in tape or wide sleeve: no joint may touch the metal of the hood or a screw."
}
