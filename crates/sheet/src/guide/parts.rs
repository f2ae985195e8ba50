//! The parts of a lead in the guide's words: what is bought, what is laid out, and how each is soldered.

use std::collections::BTreeSet;

use maud::{Markup, html};
use solderside_lead::{Body, End, Join, Lead, Leg, Part, PartId, Resistor};
use solderside_quantity::{Ohms, significant};
use solderside_trade::{DiodePart, Sourced, resistor_bands};

use super::Subject;
use super::frame::source;
use super::text::conductor;
use crate::words::{count, is_bare, leg_of, listed, part_name};

const HABIT: &str = "common practice, no source";

/// What a part's leg is soldered to beside a cup: other legs and conductors, twisted together.
struct Knot {
    legs: Vec<Leg>,
    conductors: Vec<Join>,
}

/// "BAT85, a Schottky diode", "470 Ω ± 5 % resistor".
pub(super) fn kind(part: &Part) -> String {
    match part.body {
        Body::Diode(diode) => format!("{diode}, a {} diode", diode.kind()),
        Body::Resistor(resistor) => format!("resistor of {}", value(resistor)),
    }
}

/// "2 diodes and 1 resistor"; nothing where there are none.
pub(super) fn counted(lead: &Lead) -> String {
    let number = |is_diode: bool| {
        lead.parts.iter().filter(|part| matches!(part.id(), PartId::Diode(_)) == is_diode).count()
    };
    let kinds = [(number(true), "diode"), (number(false), "resistor")];
    listed(kinds.into_iter().filter(|(number, _)| *number > 0).map(|(number, thing)| count(number, thing)))
}

/// "470 Ω ± 5 %".
fn value(resistor: Resistor) -> String {
    format!("{} ± {} %", resistor.ohms, significant(resistor.tolerance * 100.0, 3))
}

/// The diodes of a lead, each type once.
pub(super) fn diodes(lead: &Lead) -> BTreeSet<DiodePart> {
    let diode = |part: &Part| match part.body {
        Body::Diode(diode) => Some(diode),
        Body::Resistor(_) => None,
    };
    lead.parts.iter().filter_map(diode).collect()
}

/// What is bought of them, an entry for each kind.
pub(super) fn shopping(lead: &Lead) -> Markup {
    let mut kinds: Vec<(Body, Vec<String>)> = Vec::new();
    for part in &lead.parts {
        match kinds.iter_mut().find(|(body, _)| *body == part.body) {
            Some((_, names)) => names.push(part_name(part.id())),
            None => kinds.push((part.body, vec![part_name(part.id())])),
        }
    }
    html! {
        @for (body, names) in &kinds {
            li {
                @match body {
                    Body::Diode(diode) => {
                        b { (names.len()) " × " (diode) } ", a small " (diode.kind()) " diode in glass with a band at its cathode ("
                        (listed(names)) "). Do not put another type in its place. "
                    },
                    Body::Resistor(resistor) => {
                        b { (names.len()) " × " (value(*resistor)) } ", a resistor of ¼ W (" (listed(names)) "). " (bands(*resistor))
                    },
                }
            }
        }
        @if !kinds.is_empty() {
            li { "Heat-shrink sleeve for the parts, " (count(lead.parts.len(), "piece")) " of 30 mm, about 3 mm bore: one over \
                each, its legs included. " (source(HABIT)) }
        }
    }
}

/// "Its bands: yellow, violet, brown and gold."
fn bands(resistor: Resistor) -> Markup {
    let bands = resistor_bands(resistor.ohms, resistor.tolerance);
    html! {
        @if let Some(Sourced { value, source: from }) = bands {
            "Its bands: " (listed(value.iter().map(|colour| colour.word()))) ". " (source(from.text))
        }
    }
}

/// What is done to the parts before anything is soldered.
pub(super) fn preparations(lead: &Lead) -> Vec<Markup> {
    if lead.parts.is_empty() {
        return Vec::new();
    }
    let resistors = lead.parts.iter().filter_map(|part| match part.body {
        Body::Resistor(resistor) => Some((part_name(part.id()), resistor)),
        Body::Diode(_) => None,
    });
    let resistors = resistors.map(|(name, resistor)| {
        let ohms = resistor.triple();
        format!("{name} {} to {}", ohm(ohms.low()), ohm(ohms.high()))
    });
    let resistors: Vec<String> = resistors.collect();
    let diodes = diodes(lead);
    let measured = html! {
        "Lay the parts out as the " a href="#wires" { "table of parts" } " names them, and measure each before it is soldered. "
        @for diode in diodes {
            @let volts = diode.meter_volts();
            (diode) " on the diode range, red probe at the end without band, black at the band: " (volts.value.low()) " to "
            (volts.value.high()) "; the other way round: open. " (source(volts.source.text)) " "
        }
        @if !resistors.is_empty() { "Resistors on the ohms range: " (listed(resistors)) "." }
    };
    let trimmed = html! {
        "Cut the legs of each part to 10 mm and tin their ends. Bend no leg nearer than 3 mm to the body, or the glass \
         cracks. While you solder, hold the leg with pliers between body and iron, and take the iron away after 3 seconds. "
        (source(HABIT))
    };
    vec![measured, trimmed]
}

/// A resistance with three digits.
pub(super) fn ohm(ohms: Ohms) -> String {
    if ohms.get() < 1000.0 { format!("{}\u{a0}Ω", significant(ohms.get(), 3)) } else { ohms.to_string() }
}

/// What is soldered to the parts of an end before they go into its cups.
pub(super) fn make_up(subject: &Subject<'_>, end: &End) -> Vec<Markup> {
    let knots = knots(subject, end);
    let knots = knots.into_iter().filter(|knot| knot.legs.len() + knot.conductors.len() > 1);
    knots.map(|knot| knotted(subject, &knot)).collect()
}

fn knotted(subject: &Subject<'_>, knot: &Knot) -> Markup {
    let legs = knot.legs.iter().filter_map(|leg| Some(leg_of(leg.part_id()?, leg.contact)));
    let bodies = knot.legs.iter().filter_map(|leg| leg.part_id()).map(part_name);
    let several = knot.legs.len() > 1;
    let (sleeve, it) =
        if several { (count(knot.legs.len(), "sleeve"), "them") } else { ("a sleeve".to_owned(), "it") };
    html! {
        @if knot.conductors.is_empty() { "Slide " (sleeve) " of 30 mm onto the parts. Solder together " }
        @else {
            "Slide " (sleeve) " of 30 mm onto "
            @for (at, join) in knot.conductors.iter().enumerate() { @if at > 0 { " and " } (conductor(subject, *join)) }
            ", well away from the heat. Solder "
            @if knot.conductors.len() > 1 { "them" } @else { "it" }
            " to "
        }
        b { (listed(legs)) } "."
        " " (listed(bodies)) @if several { " now hang" } @else { " now hangs" } " from this joint by one leg; leave "
        (it) " unsleeved until all is measured."
    }
}

/// The legs of an end's parts that are soldered to one another or to conductors, each leg once.
fn knots(subject: &Subject<'_>, end: &End) -> Vec<Knot> {
    let assembly = subject.assembly;
    let lead = &assembly.lead;
    let mut seen: BTreeSet<Leg> = BTreeSet::new();
    let mut knots = Vec::new();
    for part in lead.parts.iter().filter(|part| part.sits == end.id) {
        for contact in [PartId::ANODE, PartId::CATHODE] {
            let first = Leg::part(part.id(), contact);
            if !seen.insert(first) {
                continue;
            }
            let mut knot = Knot { legs: Vec::new(), conductors: Vec::new() };
            let mut open = vec![first];
            while let Some(leg) = open.pop() {
                knot.legs.push(leg);
                for join in lead.joins.iter().filter(|join| join.other(leg).is_some()) {
                    if !is_bare(assembly, *join) {
                        knot.conductors.push(*join);
                        continue;
                    }
                    let other = join.other(leg).filter(|other| other.part_id().is_some());
                    open.extend(other.filter(|other| seen.insert(*other)));
                }
            }
            knot.legs.sort_unstable();
            knots.push(knot);
        }
    }
    knots
}

/// What goes into a cup where a part hangs from it: "the leg without band (anode) of D1, a BAT85, its band away from
/// the connector".
pub(super) fn into_cup(subject: &Subject<'_>, cup: Leg, join: Join) -> Markup {
    let lead = &subject.assembly.lead;
    let leg = join.other(cup);
    let found = leg.and_then(|leg| Some((leg, lead.part(leg.part_id()?)?)));
    html! {
        @if let Some((leg, part)) = found {
            (leg_of(part.id(), leg.contact))
            @match part.body {
                Body::Diode(_) if leg.contact == PartId::CATHODE => ", its band towards the connector",
                Body::Diode(_) => ", its band away from the connector",
                Body::Resistor(resistor) => { ", " (resistor.ohms) ", either way round" },
            }
        }
    }
}
