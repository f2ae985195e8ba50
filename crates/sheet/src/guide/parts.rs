//! The parts of a lead in the guide's words: what is bought, what is laid out, and how each is soldered.

use std::collections::BTreeSet;

use maud::{Markup, html};
use solderside_lead::{Assembly, Body, Capacitor, End, Join, Lead, Leg, Part, PartId, Resistor};
use solderside_proof::Code;
use solderside_quantity::{Ohms, Volts, significant};
use solderside_trade::{ChangeoverPart, DiodePart, Sourced, resistor_bands};

use super::frame::source;
use super::text::conductor;
use super::{Subject, boards};
use crate::words::{contact, count, has_board, is_bare, joint, leg_of, listed, part_name};

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
        Body::Capacitor(capacitor) => {
            format!("ceramic capacitor of {} ± {} %", capacitor.farads, percent(capacitor.tolerance))
        }
        Body::Changeover(switch) => format!("{switch} slide or toggle switch"),
        body @ (Body::Transistor(_) | Body::Chip(_)) => body.to_string(),
    }
}

/// "2 diodes and 1 resistor"; nothing where there are none.
pub(super) fn counted(lead: &Lead) -> String {
    let word = |part: &Part| match part.body {
        Body::Diode(_) => "diode",
        Body::Resistor(_) => "resistor",
        Body::Capacitor(_) => "capacitor",
        Body::Transistor(_) => "transistor",
        Body::Chip(_) => "chip",
        Body::Changeover(_) => "switch",
    };
    let kinds = ["diode", "resistor", "capacitor", "transistor", "chip", "switch"];
    let number = |kind: &str| lead.parts.iter().filter(|part| word(part) == kind).count();
    let counted = kinds.into_iter().map(|kind| (number(kind), kind));
    listed(counted.filter(|(number, _)| *number > 0).map(|(number, kind)| count(number, kind)))
}

/// "470 Ω ± 5 %".
fn value(resistor: Resistor) -> String {
    format!("{} ± {} %", resistor.ohms, percent(resistor.tolerance))
}

fn percent(share: f64) -> String {
    significant(share * 100.0, 3)
}

/// The three figures that are printed on a capacitor: two digits and the number of noughts, in picofarads; none where
/// they cannot say it.
fn marked(capacitor: Capacitor) -> Option<String> {
    let mut picofarads = (capacitor.farads.get() * 1e12).round();
    let mut noughts = 0_u8;
    while picofarads > 99.0 && noughts < 9 {
        picofarads /= 10.0;
        noughts += 1;
    }
    let is_whole = (picofarads - picofarads.round()).abs() < 1e-6;
    (is_whole && picofarads >= 10.0).then(|| format!("{picofarads:.0}{noughts}"))
}

/// The diodes of a lead, each type once.
pub(super) fn diodes(lead: &Lead) -> BTreeSet<DiodePart> {
    let diode = |part: &Part| match part.body {
        Body::Diode(diode) => Some(diode),
        Body::Resistor(_)
        | Body::Capacitor(_)
        | Body::Transistor(_)
        | Body::Chip(_)
        | Body::Changeover(_) => None,
    };
    lead.parts.iter().filter_map(diode).collect()
}

/// The switches that must break the old contact before they make the new one.
fn break_first(subject: &Subject<'_>) -> BTreeSet<String> {
    let own = subject.proof.findings.iter().filter(|finding| finding.code == Code::BuildBreaksFirst);
    own.flat_map(|finding| &finding.legs).filter_map(|leg| leg.part_id()).map(part_name).collect()
}

/// A switch, and how its lugs are found.
fn of_a_switch(switch: ChangeoverPart, names: &[String], break_first: &BTreeSet<String>) -> Markup {
    let break_first: Vec<&String> = names.iter().filter(|name| break_first.contains(*name)).collect();

    let poles = match switch {
        ChangeoverPart::OnOff => "one pole that is on or off",
        ChangeoverPart::OnePole => "one pole with two throws and no middle position",
        ChangeoverPart::TwoPoles => "two poles with two throws each and no middle position",
    };
    html! {
        b { (names.len()) " × small slide or toggle switch, " (switch) } ", " (poles) " (" (listed(names)) "). It stays where it is put; \
        a push button will not do. "
        @if !break_first.is_empty() {
            b { (listed(break_first)) " must break the old contact before it makes the new one" }
            " (sold as non-shorting), or something is harmed while it is moved: with the buzzer between the two outer lugs of a \
            pole it stays silent, however slowly the lever is moved. "
        }
        @match switch {
            ChangeoverPart::OnOff => {
                "It has two lugs, and either may be the common. Before soldering put the buzzer across them: it sounds in one \
                position, and that is the first. " (source(HABIT))
            },
            ChangeoverPart::OnePole | ChangeoverPart::TwoPoles => {
                "Before soldering find its lugs with the buzzer: the common is on one lug in one position and on the other in \
                the other. On most toggles the lug away from the lever is the one that is closed. "
                (source("from memory (toggles); common practice, no source"))
            },
        }
    }
}

/// What is bought of them, an entry for each kind.
pub(super) fn shopping(subject: &Subject<'_>) -> Markup {
    let assembly = subject.assembly;
    let lead = &assembly.lead;
    let shared =
        lead.ends.iter().flat_map(|end| knots(assembly, end)).filter(|knot| knot.legs.len() > 1).count();
    let in_line = lead.parts.iter().filter(|part| !has_board(lead, part.sits)).count();
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
                    Body::Capacitor(capacitor) => {
                        b { (names.len()) " × ceramic capacitor of " (capacitor.farads) } " for at least 16 V (" (listed(names)) ")"
                        @if let Some(figures) = marked(*capacitor) { ", marked " b { (figures) } }
                        ". It works either way round. " (source(HABIT))
                    },
                    Body::Transistor(transistor) => (boards::of_a_transistor(*transistor, names.len(), names)),
                    Body::Chip(chip) => (boards::of_a_chip(*chip, names.len(), names)),
                    Body::Changeover(switch) => (of_a_switch(*switch, names, &break_first(subject))),
                }
            }
        }
        (boards::shopping(subject))
        @if in_line > 0 {
            li { "Heat-shrink sleeve for the parts, " (count(in_line + shared, "piece")) " of 30 mm, about 3 mm bore: one \
                over each, its legs included"
                @if shared > 0 { ", and one over each joint of several" }
                ". " (source(HABIT)) }
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
        Body::Diode(_) | Body::Capacitor(_) | Body::Transistor(_) | Body::Chip(_) | Body::Changeover(_) => {
            None
        }
    });
    let resistors = resistors.map(|(name, resistor)| {
        let ohms = resistor.triple();
        format!("{name} {} to {}", ohm(ohms.low()), ohm(ohms.high()))
    });
    let resistors: Vec<String> = resistors.collect();
    let diodes = diodes(lead);
    let is_measured = !diodes.is_empty() || !resistors.is_empty();
    let measured = html! {
        "Lay the parts out as the " a href="#wires" { "table of parts" } " names them"
        @if is_measured { ", and measure each " @if lead.parts.iter().any(is_not_measured) { "diode and resistor " } "before it is soldered" }
        ". "
        @for diode in diodes {
            @let volts = diode.meter_volts();
            (diode) " on the diode range, red probe at the end without band, black at the band: " (volt(volts.value.low())) " to "
            (volt(volts.value.high())) "; the other way round: open. " (source(volts.source.text)) " "
        }
        @if !resistors.is_empty() { "Resistors on the ohms range: " (listed(resistors)) "." }
    };
    let is_in_line = |part: &Part| !has_board(lead, part.sits);
    let has_glass = lead.parts.iter().any(|part| is_in_line(part) && matches!(part.body, Body::Diode(_)));
    let trimmed = html! {
        "Cut the legs of each part "
        @if !boards::ends(lead).is_empty() { "that sits on no board " }
        "to 10 mm and tin their ends. Bend no leg nearer than 3 mm to the body"
        @if has_glass { ", or the glass cracks" }
        ". While you solder, hold the leg with pliers between body and iron, and take the iron away after 3 seconds. "
        (source(HABIT))
    };
    let mut items = vec![measured];
    items.extend(lead.parts.iter().any(is_in_line).then_some(trimmed));
    items.extend(boards::preparations(lead));
    items
}

/// Whether a meter tells nothing of a part before it is soldered that a builder could use.
const fn is_not_measured(part: &Part) -> bool {
    match part.body {
        Body::Diode(_) | Body::Resistor(_) => false,
        Body::Capacitor(_) | Body::Transistor(_) | Body::Chip(_) | Body::Changeover(_) => true,
    }
}

/// A voltage as the diode range shows it.
pub(super) fn volt(volts: Volts) -> String {
    format!("{}\u{a0}V", significant(volts.get(), 2))
}

/// A resistance with three digits.
pub(super) fn ohm(ohms: Ohms) -> String {
    if ohms.get() < 1000.0 { format!("{}\u{a0}Ω", significant(ohms.get(), 3)) } else { ohms.to_string() }
}

/// What is soldered to the parts of an end before they go into its cups, and how each gets its sleeve.
pub(super) fn make_up(subject: &Subject<'_>, end: &End) -> Vec<Markup> {
    let lead = &subject.assembly.lead;
    if has_board(lead, end.id) {
        return boards::make_up(subject, end.id);
    }
    let knots = knots(subject.assembly, end);
    let is_alone = |part: &&Part| {
        let mut own = knots.iter().flat_map(|knot| &knot.legs).filter(|leg| leg.part_id() == Some(part.id()));
        part.sits == end.id && own.next().is_none()
    };
    let alone: Vec<String> = lead.parts.iter().filter(is_alone).map(|part| part_name(part.id())).collect();
    let mut items: Vec<Markup> = knots.iter().map(|knot| knotted(subject, knot)).collect();
    if !alone.is_empty() {
        items.push(
            html! { "Slide a sleeve of 30 mm over each of " (listed(alone)) ": both legs go into cups." },
        );
    }
    items
}

fn knotted(subject: &Subject<'_>, knot: &Knot) -> Markup {
    let legs = knot.legs.iter().filter_map(|leg| Some(leg_of(leg.part_id()?, leg.contact)));
    let names = listed(knot.legs.iter().filter_map(|leg| leg.part_id()).map(part_name));
    let wires = html! {
        @for (at, join) in knot.conductors.iter().enumerate() { @if at > 0 { " and " } (conductor(subject, *join)) }
    };
    let several = knot.legs.len() > 1;
    html! {
        @if knot.conductors.is_empty() { "Solder together " b { (listed(legs)) } "; a sleeve of 30 mm goes onto the joint." }
        @else {
            "Slide a sleeve of 30 mm onto " (wires) ", well away from the heat. Solder "
            @if knot.conductors.len() > 1 { "them" } @else { "it" }
            " to " b { (listed(legs)) } "."
        }
        @if several { " Slide a sleeve of 30 mm over each of " (names) " from its free leg." }
        " Look once more that the band of no diode is on the wrong side, and leave the sleeves unshrunk until all is measured."
    }
}

/// The legs of an end's parts that are soldered to one another or to conductors, each leg once.
fn knots(assembly: &Assembly, end: &End) -> Vec<Knot> {
    let lead = &assembly.lead;
    let mut seen: BTreeSet<Leg> = BTreeSet::new();
    let mut knots = Vec::new();
    for part in lead.parts.iter().filter(|part| part.sits == end.id && !has_board(lead, end.id)) {
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
            if knot.legs.len() + knot.conductors.len() > 1 {
                knots.push(knot);
            }
        }
    }
    knots
}

/// What goes into a cup where a part hangs from it: "D1 by its leg without band (anode; the band away from the
/// connector)". Where the other leg goes into a cup as well, the band lies across.
pub(super) fn into_cup(subject: &Subject<'_>, cup: Leg, join: Join) -> Markup {
    let lead = &subject.assembly.lead;
    let leg = join.other(cup);
    let found = leg.and_then(|leg| Some((leg, lead.part(leg.part_id()?)?)));
    html! {
        @if let Some((leg, part)) = found {
            (part_name(part.id()))
            @match part.body {
                Body::Diode(_) => {
                    @let at_band = leg.contact == PartId::CATHODE;
                    " by its leg " @if at_band { "at the band (cathode" } @else { "without band (anode" }
                    @match lead.across(leg).and_then(|other| cup_beside(subject, other, cup)) {
                        Some(other) => { "; its other leg goes into " (other) },
                        None if at_band => "; the band towards the connector",
                        None => "; the band away from the connector",
                    }
                    ")"
                },
                Body::Resistor(resistor) => { " (" (resistor.ohms) ") by a free leg" },
                Body::Capacitor(_) | Body::Transistor(_) | Body::Chip(_) | Body::Changeover(_) => {
                    " by its leg " (leg.contact)
                },
            }
        }
    }
}

/// The cup of the same end into which a part's other leg goes, if one does: "cup 7 (second-fire)".
fn cup_beside(subject: &Subject<'_>, leg: Leg, cup: Leg) -> Option<String> {
    let assembly = subject.assembly;
    let beside = assembly.lead.joined(leg).find(|other| other.end == cup.end && other.part_id().is_none())?;
    let family = assembly.lead.end(cup.end)?.connector.family;
    Some(format!("{} {}", joint(family), contact(assembly, beside)))
}
