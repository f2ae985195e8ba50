//! What to buy and to have at hand.

use std::collections::BTreeSet;

use maud::{Markup, html};
use solderside_lead::{EndId, Join, Lead, Leg};
use solderside_trade::{Body, Connector, Family};

use super::frame::{Section, source};
use super::text::conductor;
use super::{Subject, pad, parts, range};
use crate::words::{count, goes, has, is_bare, listed, theirs};

const HABIT: &str = "common practice, no source";

pub(super) fn section(subject: &Subject<'_>) -> Section {
    Section::new("needs", "What you need", body(subject))
}

fn body(subject: &Subject<'_>) -> Markup {
    let lead = &subject.assembly.lead;
    let mut wanted: Vec<(Connector, Vec<EndId>)> = Vec::new();
    for end in &lead.ends {
        match wanted.iter_mut().find(|(connector, _)| *connector == end.connector) {
            Some((_, ends)) => ends.push(end.id),
            None => wanted.push((end.connector, vec![end.id])),
        }
    }
    html! {
        h3 { "Connectors and hoods" }
        @for (connector, ends) in &wanted { (entry(subject, *connector, ends)) }
        h3 { "Cable" }
        (cable(subject))
        h3 { "Small parts" }
        ul {
            (parts::shopping(subject.assembly))
            li { "Heat-shrink sleeve, " (count(joints(lead), "piece")) " of 10 mm, about 2 mm bore before shrinking: one \
                  for each used cup. " (source(HABIT)) }
            li { "A resistor of 1 kΩ, ¼ W or more, for the first power-up. It carries 5 mA and 25 mW at 5 V." }
            li { "Solder with flux core. " (source("HSE, COSHH essentials WL17 (rosin-free or reduced-rosin where possible)")) }
        }
        h3 { "Tools" }
        ul {
            li { "Soldering iron with a fine tip and a stand; something that draws the fume off." }
            li { "A meter with ohms, a buzzer, "
                @if !parts::diodes(lead).is_empty() { "a diode range, " }
                "and DC volts of 10 MΩ. "
                (source("basic digital multimeter requirements (vehicle service information): at least 10 MΩ")) }
            @if pad::is_needed(subject) {
                li { "Three cells of 1.5 V in a holder, clip leads, and a resistor of 100 Ω, for the "
                    a href="#pad" { "check of the pad" } "." }
            }
            @if subject.proof.holds_for.iter().any(range::is_measured) {
                li { "Optional: a resistor of 10 kΩ, to measure what is assumed of the machine ("
                    a href="#range" { "how far it holds" } ")." }
            }
            li { "Wire stripper, side cutter, eye protection, a vice or a spare mating connector to hold the work. "
                (source(HABIT)) }
        }
    }
}

/// How many cups something is soldered to.
fn joints(lead: &Lead) -> usize {
    let legs = lead.joins.iter().flat_map(|join| [join.from, join.to]);
    let cups: BTreeSet<Leg> = legs.filter(|leg| leg.part_id().is_none()).collect();
    cups.len()
}

fn entry(subject: &Subject<'_>, connector: Connector, ends: &[EndId]) -> Markup {
    let family = connector.family;
    let mates = listed(ends.iter().map(|end| theirs(subject.assembly, *end)));
    html! {
        @if connector.family.has_gender() {
            p class="part" {
                b { (ends.len()) " × " (connector) ", solder cup" } ": "
                (count(family.contacts(), "contact")) " in " (rows(family)) ", with " (has(connector)) ". It "
                (goes(connector)) " the " (mates) "."
            }
        } @else {
            p class="part" {
                b { (ends.len()) " × " (connector) } ": " (has(connector)) ", " (goes(connector)) " the " (mates)
                ". A ferrule for each conductor, or none. " (source(HABIT))
            }
        }
        @if !family.sellers_call_it().is_empty() {
            details {
                summary { "What sellers call the " (family) }
                ul { @for misnomer in family.sellers_call_it() { li { b { (misnomer.name) } ": " (misnomer.why) "." } } }
                p { (source(names_after(family))) }
            }
        }
        (hood(family, ends.len()))
    }
}

fn cable(subject: &Subject<'_>) -> Markup {
    let lead = &subject.assembly.lead;
    let conductors = lead.joins.iter().filter(|join| lead.runs_through_cable(join)).count();
    let wires = lead.joins.iter().filter(|join| !is_bare(subject.assembly, **join));
    let wires: Vec<Join> = wires.copied().collect();
    let links = wires.len() - conductors;
    html! {
        p class="part" {
            b { (lead.cord.length) " of cable with at least " (count(conductors, "conductor")) ", " (lead.cord.conductor) }
            " or thicker. Colours here:"
        }
        ul class="cores" { @for join in &wires { li { (conductor(subject, *join)) } } }
        p { "Other colours do as well: write yours beside the letters before you begin. Letters after IEC 60757. "
            (source("IEC 60757:2021 Code for designation of colours, clauses 4 and 5")) }
        @if links > 0 { p { (count(links, "short link")) " of the same wire, cup to cup within one connector." } }
    }
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
        Family::De9 | Family::Da15 | Family::De15Hd | Family::Db25 | Family::MiniDin8 | Family::Edge28x2 => {
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
