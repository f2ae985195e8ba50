//! The meter tests of the parts in a lead: which probe goes where, what it reads, and what a wrong reading means.

use std::collections::{BTreeMap, BTreeSet, VecDeque};

use maud::{Markup, html};
use solderside_lead::{Assembly, Body, Join, Lead, Leg, Part, PartId, Resistor};
use solderside_trade::{DiodePart, run_ohms};

use super::bridge::place;
use super::frame::{Check, checks, source, tick};
use super::parts::{diodes, ohm, volt};
use super::{Subject, boards};
use crate::words::{has_board, is_bare, listed, part_name};

/// A part with the two places that the probes touch.
struct Probed<'a> {
    part: &'a Part,
    /// Beyond its first leg, a diode's anode.
    red: Leg,
    /// Beyond its second.
    black: Leg,
    /// The joins between the probes.
    way: Vec<Join>,
}

/// The joins that the tests of the parts cover.
pub(super) fn covered(assembly: &Assembly) -> BTreeSet<Join> {
    let measured = assembly.lead.parts.iter().filter(|part| is_measured(part));
    let ways = measured.flat_map(|part| probed(&assembly.lead, part).way);
    // On a board many legs hang on one conductor, and a break in it shows in one row of its own.
    ways.filter(|join| !is_on_a_board(&assembly.lead, *join)).collect()
}

fn is_on_a_board(lead: &Lead, join: Join) -> bool {
    [join.from, join.to].iter().any(|leg| leg.part_id().is_some() && has_board(lead, lead.hood(*leg)))
}

/// Whether a meter tells anything of a part between the cups. It sees nothing of use in a capacitor of some
/// nanofarads, and neither its diode range nor its ohms tell anything of a chip.
const fn is_measured(part: &Part) -> bool {
    match part.body {
        Body::Diode(_) | Body::Resistor(_) => true,
        Body::Capacitor(_) | Body::Transistor(_) | Body::Chip(_) => false,
    }
}

fn probed<'a>(lead: &Lead, part: &'a Part) -> Probed<'a> {
    let [(red, first), (black, second)] =
        [PartId::ANODE, PartId::CATHODE].map(|contact| farthest(lead, Leg::part(part.id(), contact)));
    Probed { part, red, black, way: first.into_iter().chain(second).collect() }
}

/// Where the net of a part's leg is probed, and the joins to there: at another end of the lead if it reaches one, at
/// its own end else, and at the leg itself if no cup is joined to it.
fn farthest(lead: &Lead, leg: Leg) -> (Leg, Vec<Join>) {
    let mut came: BTreeMap<Leg, Join> = BTreeMap::new();
    let mut open = VecDeque::from([leg]);
    while let Some(at) = open.pop_front() {
        for join in &lead.joins {
            let next = join.other(at).filter(|next| *next != leg && !came.contains_key(next));
            if let Some(next) = next {
                came.insert(next, *join);
                open.push_back(next);
            }
        }
    }
    let cups = came.keys().copied().filter(|other| other.part_id().is_none());
    let Some(cup) = cups.min_by_key(|cup| (cup.end == lead.hood(leg), *cup)) else {
        return (leg, Vec::new());
    };
    let mut way = Vec::new();
    let mut at = cup;
    while let Some(join) = came.get(&at).filter(|_| at != leg) {
        way.push(*join);
        at = join.other(at).unwrap_or(leg);
    }
    (cup, way)
}

/// The section's table; nothing where the lead has no parts.
pub(super) fn part_tests(subject: &Subject<'_>) -> Markup {
    let lead = &subject.assembly.lead;
    let rows =
        lead.parts.iter().filter(|part| is_measured(part)).map(|part| row(subject, &probed(lead, part)));
    let rows: Vec<Check> = rows.collect();
    let diodes = diodes(lead);
    html! {
        @if !rows.is_empty() {
            h3 { "Parts" }
            p { "Each part with its conductor, from cup to cup: a diode on the meter’s diode range, a resistor on ohms. Never with \
                 the buzzer: its half volt opens no diode, and a resistor keeps it silent. The hoods are open, so a leg can be \
                 touched where the table names one."
                 @if !boards::chips(lead).is_empty() { " The chip is not in its socket: with it the meter would read the chip." } " " (source("handheld meter manual, page 32, manualshive.com (buzzer: 0.5 V, \
                 below 50 Ω)")) }
            (checks("Parts, probe by probe", &["Part", "Red probe", "Black probe", "Reads", "Right"], rows))
            @for diode in diodes { p { (diode) ": " (source(diode.meter_volts().source.text)) } }
        }
    }
}

fn row(subject: &Subject<'_>, probed: &Probed<'_>) -> Check {
    let assembly = subject.assembly;
    let name = part_name(probed.part.id());
    let [red, black] = [probed.red, probed.black].map(|leg| place(assembly, leg));
    let reads = match probed.part.body {
        Body::Diode(diode) => volts(diode),
        Body::Resistor(resistor) => ohms(&assembly.lead, resistor, &probed.way),
        Body::Capacitor(_) | Body::Transistor(_) | Body::Chip(_) => html! {},
    };
    let wrong = match probed.part.body {
        Body::Diode(diode) => of_a_diode(subject, probed, diode),
        Body::Resistor(_) | Body::Capacitor(_) | Body::Transistor(_) | Body::Chip(_) => {
            of_a_resistor(subject, probed)
        }
    };
    let what = format!("{name} between {red} and {black}");
    let cells = vec![
        html! { (name) " " span class="word" { (probed.part.body) } },
        html! { (red) },
        html! { (black) },
        html! { (reads) },
        tick(&what),
    ];
    Check { cells, wrong }
}

fn volts(diode: DiodePart) -> Markup {
    let volts = diode.meter_volts().value;
    html! { b { (volt(volts.low())) " to " (volt(volts.high())) } "; probes swapped: " b { "open" } }
}

fn ohms(lead: &Lead, resistor: Resistor, way: &[Join]) -> Markup {
    let run = run_ohms(&lead.cord.conductor, lead.cord.length);
    let conductors = way.iter().filter(|join| lead.runs_through_cable(join));
    let sum = conductors.fold(resistor.triple(), |sum, _| sum.plus(run));
    html! { b { (ohm(sum.low())) " to " (ohm(sum.high())) } }
}

fn of_a_diode(subject: &Subject<'_>, probed: &Probed<'_>, diode: DiodePart) -> Markup {
    let name = part_name(probed.part.id());
    let others = DiodePart::ALL.into_iter().filter(|other| *other != diode);
    html! {
        "Open this way and the reading with the probes swapped: " (name) " is reversed. Open both ways: " (broken(subject, probed))
        ". Near 0 V both ways: the legs of " (name) " touch, or it is shorted."
        @for other in others {
            @let volts = other.meter_volts().value;
            " " (volt(volts.low())) " to " (volt(volts.high())) ": a " (other.kind()) " diode in its place."
        }
        (beside(subject, probed))
    }
}

fn of_a_resistor(subject: &Subject<'_>, probed: &Probed<'_>) -> Markup {
    let name = part_name(probed.part.id());
    html! {
        "Open: " (broken(subject, probed)) ". Near 0 Ω: the legs of " (name) " touch. Another value: a wrong resistor, compare its \
        bands; well above: a weak joint."
        (beside(subject, probed))
    }
}

/// "D1 is missing, or a joint of it, or BN is open".
fn broken(subject: &Subject<'_>, probed: &Probed<'_>) -> String {
    let conductors = probed.way.iter().filter(|join| !is_bare(subject.assembly, **join));
    let letters: Vec<String> = conductors.map(|join| subject.colouring.letters(*join)).collect();
    let name = part_name(probed.part.id());
    let conductor = match letters.as_slice() {
        [] => String::new(),
        [only] => format!(", or {only} is broken"),
        several => format!(", or one of {} is broken", listed(several)),
    };
    format!("{name} is missing or dead, or one of its joints is open{conductor}")
}

/// That the meter also sees another way, where there is one.
fn beside(subject: &Subject<'_>, probed: &Probed<'_>) -> Markup {
    let mut without = subject.assembly.lead.clone();
    without.parts.retain(|part| part.id() != probed.part.id());
    let has_another = without.reach(probed.red).contains(&probed.black);
    html! {
        @if has_another { " Other parts tie these two as well, so it may read less; if in doubt, lift a leg of "
            (part_name(probed.part.id())) "." }
    }
}
