//! What to buy and to have at hand.

use std::collections::{BTreeMap, BTreeSet};

use maud::{Markup, html};
use solderside_lead::{Allocation, End, EndId, Join, Leg};
use solderside_meter::Powered;
use solderside_profile::{Cable, CoreId};
use solderside_trade::{Body, Connector, ContactId, Family, Gender};

use super::frame::{Section, source};
use super::text::{conductor, prose};
use super::{Subject, pad, parts, range};
use crate::words::{self, clean, count, end_name, goes, has, joint, listed, theirs};

const HABIT: &str = "common practice, no source";

pub(super) fn section(subject: &Subject<'_>) -> Section {
    Section::new("needs", "What you need", body(subject))
}

fn body(subject: &Subject<'_>) -> Markup {
    let lead = &subject.assembly.lead;
    let mut wanted: Vec<(Connector, Vec<EndId>)> = Vec::new();
    let bought =
        |end: &&End| !subject.is_moulded(end.id) && end.id != EndId::Donor && !words::is_clamped(end);
    for end in lead.ends.iter().filter(bought) {
        match wanted.iter_mut().find(|(connector, _)| *connector == end.connector) {
            Some((_, ends)) => ends.push(end.id),
            None => wanted.push((end.connector, vec![end.id])),
        }
    }
    let powered = Powered::of(subject.assembly, subject.proof);
    let is_fed = !powered.fed.is_empty();
    html! {
        h3 { "Connectors and hoods" }
        @for (connector, ends) in &wanted { (entry(subject, *connector, ends)) }
        @for end in lead.ends.iter().filter(|end| subject.is_moulded(end.id)) {
            p class="part" { "The " (end.connector) " for the " (theirs(subject.assembly, end.id)) " is moulded onto the cable." }
        }
        @for end in lead.ends.iter().filter(|end| words::is_clamped(end)) { (clamped(subject, end)) }
        @if let Some(donor) = &subject.assembly.donor {
            p class="part" {
                b { "1 × " (clean(&donor.pad().title)) } ": the port’s own pad, whole, with its cable and its plug, that you can \
                spare. It is opened and stays a pad."
            }
        }
        h3 { "Cable" }
        (cable(subject))
        h3 { "Small parts" }
        ul {
            (parts::shopping(subject))
            li { "Heat-shrink sleeve, " (count(joints(subject) + spares(subject), "piece")) " of 10 mm, about 2 mm bore before shrinking: one \
                  for each used cup" @if spares(subject) > 0 { ", and one for each end of a spare core" } ". " (source(HABIT)) }
            @if has_lug(subject) {
                li { "A solder lug that fits under a screw of the connector, for each conductor to a shell. " (source(HABIT)) }
            }
            @if subject.assembly.donor.is_some() { li { "A cable tie, for the cable inside the pad. " (source(HABIT)) } }
            @if subject.assembly.donor.is_none() && !is_fed {
                li { "A resistor of 1 kΩ, ¼ W or more, for the first power-up. It carries 5 mA and 25 mW at 5 V." }
            }
            li { "Solder with flux core. " (source("HSE, COSHH essentials WL17 (rosin-free or reduced-rosin where possible)")) }
        }
        h3 { "Tools" }
        ul {
            li { "Soldering iron with a fine tip and a stand; something that draws the fume off." }
            @if subject.assembly.donor.is_some() { li { "A meter with ohms and a buzzer." } } @else {
                li { "A meter with ohms, a buzzer, "
                    @if !parts::diodes(lead).is_empty() { "a diode range, " }
                    "and DC volts of 10 MΩ. "
                    (source("basic digital multimeter requirements (vehicle service information): at least 10 MΩ")) }
            }
            @if pad::is_needed(subject) {
                li { "Three cells of 1.5 V in a holder, clip leads, and a resistor of 100 Ω, for the "
                    a href="#pad" { "check of the pad" } "." }
            }
            @if subject.assembly.donor.is_none() && subject.proof.holds_for.iter().any(range::is_measured) {
                li { "Optional: a resistor of 10 kΩ, to measure what is assumed of the machine ("
                    a href="#range" { "how far it holds" } ")." }
            }
            li { "Wire stripper, side cutter, "
                @if lead.parts.iter().any(|part| !words::has_board(lead, part.sits)) { "small pliers, " }
                @if !subject.boards.is_empty() { "a small saw and a file for the board, " }
                @if subject.assembly.donor.is_some() { "a screwdriver and a small file for the pad’s case, " }
                @if lead.ends.iter().any(|end| !end.connector.family.has_gender()) { "a screwdriver for the terminals, " }
                "eye protection, a vice or a spare mating connector to hold the work. "
                (source(HABIT)) }
        }
    }
}

/// How many cups something is soldered to: not the screws of a strip, and not the points of a donor.
fn joints(subject: &Subject<'_>) -> usize {
    let lead = &subject.assembly.lead;
    let legs = lead.soldered().flat_map(|join| [join.from, join.to]);
    let is_soldered = |leg: &Leg| {
        lead.end(leg.end).is_some_and(|end| end.connector.family.has_gender() && end.id != EndId::Donor)
    };
    let is_cup = |leg: &Leg| is_soldered(leg) && !subject.is_moulded(leg.end);
    let cups: BTreeSet<Leg> = legs.filter(is_cup).collect();
    cups.len()
}

/// How many ends of spare cores are insulated.
fn spares(subject: &Subject<'_>) -> usize {
    let spares = subject.allocation.as_ref().map_or(0, |allocation| allocation.spares.len());
    spares * subject.assembly.lead.ends.iter().filter(|end| !subject.is_moulded(end.id)).count()
}

/// Whether a conductor goes to a shell that has no tag of its own.
fn has_lug(subject: &Subject<'_>) -> bool {
    let lead = &subject.assembly.lead;
    let is_lug = |leg: Leg| {
        leg.contact == ContactId::Shell
            && !subject.is_moulded(leg.end)
            && lead.end(leg.end).is_some_and(|end| matches!(end.connector.family.body(), Body::DShell { .. }))
    };
    lead.soldered().any(|join| is_lug(join.from) || is_lug(join.to))
}

fn entry(subject: &Subject<'_>, connector: Connector, ends: &[EndId]) -> Markup {
    let family = connector.family;
    let mates = mates(subject, connector, ends);
    html! {
        @if connector.family.has_gender() {
            p class="part" {
                b { (ends.len()) " × " (connector) ", with solder " (joint(family)) "s" } ": "
                (count(family.contacts(), "contact")) " in " (rows(family)) ", with " (has(connector)) ". " (mates) "."
            }
        } @else {
            p class="part" {
                b { (ends.len()) " × " (connector) } ": " (has(connector)) ". " (mates) ". A ferrule for each conductor, or none. " (source(HABIT))
            }
        }
        @if !family.sellers_call_it().is_empty() {
            details {
                summary { "What sellers call the " (family) }
                ul { @for misnomer in family.sellers_call_it() { li { b { (misnomer.name) } ": " (prose(misnomer.why)) "." } } }
                p { (source(names_after(family))) }
            }
        }
        (hood(family, ends.len()))
    }
}

/// What is bought for conductors that go under the screws of the controller.
fn clamped(subject: &Subject<'_>, end: &End) -> Markup {
    let legs = subject.assembly.lead.joins.iter().flat_map(|join| [join.from, join.to]);
    let screws: BTreeSet<Leg> = legs.filter(|leg| leg.end == end.id).collect();
    html! {
        p class="part" {
            b { (count(screws.len(), "ferrule")) } " for the screws of the " (theirs(subject.assembly, end.id)) ", "
            (listed(screws.iter().map(|leg| leg.contact))) ", as thick as the conductors that each takes, and what they are crimped with; or \
            none, and the strands are twisted and left bare. "
            (source(HABIT))
        }
        p class="part" { "Tape to write on, for the numbers of the screws, and a cable tie. " (source(HABIT)) }
    }
}

/// "It goes onto the Heron stick", "One goes onto each Heron stick", "One goes into the Heron pad and one into the Knot".
fn mates(subject: &Subject<'_>, connector: Connector, ends: &[EndId]) -> String {
    let own: Vec<String> = ends.iter().map(|end| theirs(subject.assembly, *end)).collect();
    let is_wire = !connector.family.has_gender() && connector.gender == Gender::Plug;
    let goes = if is_wire { "is clamped in" } else { goes(connector) };
    match own.as_slice() {
        [only] => format!("It {goes} the {only}"),
        [first, others @ ..] if others.iter().all(|other| other == first) => {
            format!("One {goes} each {first}")
        }
        several => format!(
            "One {goes} {}",
            several.iter().map(|own| format!("the {own}")).collect::<Vec<_>>().join(", one ")
        ),
    }
}

fn cable(subject: &Subject<'_>) -> Markup {
    let lead = &subject.assembly.lead;
    let short = words::short_wires(subject.assembly);
    let is_to_a_board = |join: &&Join| [join.from, join.to].iter().any(|leg| leg.part_id().is_some());
    let to_boards = short.iter().filter(is_to_a_board).count();
    let from: Vec<&str> = [
        (to_boards > 0, "from a cup to the board in its hood"),
        (short.len() > to_boards, "from cup to cup within one connector"),
    ]
    .into_iter()
    .filter_map(|(is_so, words)| is_so.then_some(words))
    .collect();
    let is_coloured = short.iter().any(|join| subject.colouring.core(*join).is_some());
    html! {
        @if let (Some(cable), Some(allocation)) = (&lead.cable, &subject.allocation) {
            (chosen(subject, cable, allocation))
        } @else {
        @for cord in words::cords(subject.assembly) {
            p class="part" {
                b { (lead.cord.length) " of cable with at least " (count(cord.joins.len(), "conductor")) ", " (lead.cord.conductor) }
                " or thicker"
                @if let Some(end) = cord.end { ", for the " (end_name(subject.assembly, end).to_lowercase()) }
                ". Colours here:"
            }
            ul class="cores" { @for join in &cord.joins { li { (conductor(subject, *join)) } } }
        }
        p { "Other colours do as well: write yours beside the letters before you begin. Letters after IEC 60757. "
            (source("IEC 60757:2021 Code for designation of colours, clauses 4 and 5")) }
        }
        @if !short.is_empty() {
            p class="part" {
                b { (count(short.len(), "short wire")) } ", " (from.join(" or ")) ": thin insulated wire, or an offcut of any cable, 50 mm of it for \
                each. They do not run in the cable" @if is_coloured { ", and other colours do for them too. Colours here:" } @else { "." }
            }
            @if is_coloured { ul class="cores" { @for join in &short { li { (conductor(subject, *join)) } } } }
        }
    }
}

/// The cable that was chosen: its cores, what is left over, and what looks alike.
fn chosen(subject: &Subject<'_>, cable: &Cable, allocation: &Allocation) -> Markup {
    let lead = &subject.assembly.lead;
    html! {
        p class="part" {
            b { (lead.cord.length) " of " (clean(&cable.title)) } ": " (count(cable.colours.len(), "core")) ", " (cable.conductor)
            @if !cable.pairs.is_empty() { ", " (count(cable.pairs.len(), "twisted pair")) }
            @if cable.drain { ", a bare drain under the screen" }
            ". Each conductor with its letters and the number of its core:"
        }
        ul class="cores" {
            @for join in lead.joins.iter().filter(|join| lead.runs_through_cable(join)) { li { (conductor(subject, *join)) } }
        }
        @if !allocation.spares.is_empty() {
            p { "Spare: " b { (listed(allocation.spares.iter().map(|core| named(cable, *core)))) } ". Cut them back to the jacket where a connector is \
                 soldered, and insulate each under a piece of sleeve: a bare end that wanders joins what nobody meant to join. "
                (source(HABIT)) }
        }
        @for cores in alike(cable) {
            p { "The cores " b { (listed(cores)) } " look alike: find each with the meter, and mark it with tape at both ends \
                 before you cut anything. " (source(HABIT)) }
        }
        p { "Letters after IEC 60757, numbers in the order of the cable’s file. Compare both with the cable in hand before you begin."
            @if let Some(note) = &cable.note { " Its file says: " (clean(note)) "." }
            " " (source(&format!("the cable: {}, {}", cable.fact.evidence, clean(&cable.fact.source)))) }
    }
}

/// "BN 2", "the drain".
pub(super) fn named(cable: &Cable, core: CoreId) -> String {
    cable.colour(core).map_or_else(|| "the drain".to_owned(), |colour| format!("{colour} {core}"))
}

/// The cores that have the same letters, group by group.
fn alike(cable: &Cable) -> Vec<Vec<CoreId>> {
    let mut by_letters: BTreeMap<String, Vec<CoreId>> = BTreeMap::new();
    for core in cable.cores() {
        if let Some(colour) = cable.colour(core) {
            by_letters.entry(colour.to_string()).or_default().push(core);
        }
    }
    by_letters.into_values().filter(|cores| cores.len() > 1).collect()
}

/// Where the right names are from, and the wrong ones.
const fn names_after(family: Family) -> &'static str {
    match family.body() {
        Body::DShell { .. } => "D-Subminiature Nomenclature, epl.harvard.edu/Engineering/d-subminiature.html",
        Body::Skirt { .. } | Body::Slot { .. } | Body::Strip => "from memory",
    }
}

/// "two rows of 8 and 7", or the circle that they lie on.
fn rows(family: Family) -> String {
    match family {
        Family::Din5Arc180 => "half a circle".to_owned(),
        Family::Din8Arc262 => "262 degrees of a circle and its middle".to_owned(),
        Family::Din8Arc270 => "270 degrees of a circle and its middle".to_owned(),
        Family::Terminals(_) => "one row".to_owned(),
        Family::Edge28x2 => "two rows of 27, each with a gap for the key".to_owned(),
        Family::De9 | Family::Da15 | Family::De15Hd | Family::Db25 | Family::MiniDin8 => {
            let rows = family.rows();
            let number = if rows.len() == 2 { "two" } else { "three" };
            format!("{number} rows of {}", listed(rows))
        }
    }
}

/// What holds the cable at the connector.
fn hood(family: Family, number: usize) -> Markup {
    let shell = match family {
        Family::De9 => "E (sold as 9-way)",
        Family::De15Hd => "E (sold as 9-way; three rows of 15 use the same shell)",
        Family::Da15 => "A (sold as 15-way)",
        Family::Db25 => "B (sold as 25-way)",
        Family::MiniDin8 | Family::Din5Arc180 | Family::Din8Arc262 | Family::Din8Arc270 => {
            return html! {
                p class="part" { b { (number) " × sleeve" } " with a cable clamp; most round connectors come with one. "
                    (source(HABIT)) }
            };
        }
        Family::Edge28x2 => {
            return html! {
                p class="part" { b { "Cable ties" } ": tie the cable to the body of the socket, so that no tag carries it. "
                    (source(HABIT)) }
            };
        }
        Family::Terminals(_) => return html! {},
    };
    html! {
        p class="part" {
            b { (number) " × hood for shell " (shell) } " with a cable clamp. Game ports often have no screw posts and sit \
             close to their neighbours: check that the hood is narrow enough. " (source(HABIT))
        }
    }
}
