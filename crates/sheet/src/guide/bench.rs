//! The meter tests of the lead alone: the shortest plan that finds every fault, reading by reading.

use std::collections::BTreeSet;

use maud::{Markup, html};
use solderside_lead::{Body, EndId, Join};
use solderside_meter::{Bench, Danger, FIGURES, Fault, Plan, PlanStep, Range, UNSEEN};

use super::frame::{Check, Section, checks, list, source, tick};
use super::parts::diodes;
use super::plugged::before_measuring;
use super::text::{letters, place};
use super::{Stand, Subject, each_lead, suspects};
use crate::words::{contact, end_name, is_bare, listed, part_name};

/// A lead on the bench, with the readings that it takes to find every fault.
pub(super) struct MeterTest<'a> {
    pub(super) bench: Bench<'a>,
    pub(super) plan: Plan,
}

impl<'a> MeterTest<'a> {
    pub(super) fn of(subject: &Subject<'a>) -> Self {
        let bench = Bench::new(subject.assembly);
        let plan = Plan::of(&bench);
        Self { bench, plan }
    }

    /// How many readings come first, supply against return.
    pub(super) fn supply_readings(&self) -> usize {
        self.plan.steps.iter().filter(|step| step.danger == Danger::SupplyShort).count()
    }
}

pub(super) fn section(subject: &Subject<'_>, stands: &[Stand<'_>]) -> Section {
    let told = |subject: &Subject<'_>| body(subject, &MeterTest::of(subject));
    Section::new("bench", "Meter tests", each_lead(subject, stands, told))
}

fn body(subject: &Subject<'_>, MeterTest { bench, plan }: &MeterTest<'_>) -> Markup {
    let numbered: Vec<(usize, &PlanStep)> = (1..).zip(&plan.steps).collect();
    let is_diode = |step: &PlanStep| step.measurement.range == Range::Diode;
    html! {
        p { b { "The lead alone: " (plan.told()) "." } " They find all that one slip of the hand can do and a meter can see." }
        (list(&before_measuring(bench, plan)))
        p { "Take them in this order, all on the ohms range"
            @if plan.steps.iter().any(is_diode) { " but where a row says “diode”" }
            ". “Good” is what a good lead reads; “open” means that the meter shows no reading at all. Where a row says “or silent” the buzzer will do; elsewhere it \
             will not, since it would call a weak joint of 30 Ω right." }
        p { "Under each row stands what a wrong reading points to, the likeliest first. A reading that stands nowhere: probes that do \
             not touch bare metal, or more than one mistake." }
        @for danger in [Danger::SupplyShort, Danger::SupplyAstray, Danger::Dead] {
            @let own = numbered.iter().filter(|(_, step)| step.danger == danger);
            @let rows: Vec<Check> = own.map(|(number, step)| check(subject, bench, *number, step)).collect();
            @if !rows.is_empty() {
                (checks(danger.told(), &["Row", "Red probe", "Black probe", "Good", "Right"], rows))
            }
        }
        (several_rows())
        (coverage(subject, plan))
        details {
            summary { "Where the figures come from" }
            ul class="plain" {
                @for figure in FIGURES { li { (figure.what) ". " (source(figure.source)) } }
                @for diode in diodes(&subject.assembly.lead) { li { (diode) ". " (source(diode.meter_volts().source.text)) } }
            }
        }
    }
}

fn check(subject: &Subject<'_>, bench: &Bench<'_>, number: usize, step: &PlanStep) -> Check {
    let assembly = subject.assembly;
    let probed = [step.measurement.red, step.measurement.black];
    let [red, black] = probed.map(|leg| {
        html! {
            @if leg.part_id().is_none() { (end_name(assembly, leg.end)) " " }
            b { (contact(assembly, leg)) }
        }
    });
    let [from, to] = probed.map(|leg| place(assembly, leg));
    Check {
        cells: vec![
            html! { (number) (measured(subject, step)) },
            red,
            black,
            reads(step),
            tick(&format!("reading {number}, {from} against {to}")),
        ],
        wrong: wrong(subject, bench, step),
        is_shown: step.danger != Danger::Dead,
    }
}

/// The conductors and parts that a reading goes through: those that read open when they are.
fn measured(subject: &Subject<'_>, step: &PlanStep) -> Markup {
    let assembly = subject.assembly;
    let faults = || step.wrong.iter().flat_map(|pointer| &pointer.faults);
    let joins =
        faults().filter_map(|fault| if let Fault::OpenJoint(tip) = fault { Some(tip.join) } else { None });
    let wires: BTreeSet<Join> = joins.filter(|join| !is_bare(assembly, *join)).collect();
    let parts =
        faults().filter_map(|fault| if let Fault::PartMissing(id) = fault { Some(*id) } else { None });
    let parts: BTreeSet<_> = parts.collect();
    html! {
        @for join in wires { " " (letters(subject, join)) }
        @for id in parts { " " b { (part_name(id)) } }
    }
}

/// What the meter does at a good lead: "open or silent", "diode 0.48 V to 0.75 V".
fn reads(step: &PlanStep) -> Markup {
    let range = step.measurement.range;
    html! {
        @match range { Range::Ohms => {}, Range::Diode => "diode " }
        b { (with_units(&step.good.told(range))) }
        @if step.buzzer_will_do { @if step.good.is_open() { " or silent" } @else { " or a beep" } }
    }
}

/// A reading that is not broken between a figure and its unit.
fn with_units(text: &str) -> String {
    let units = ["Ω", "kΩ", "MΩ", "V"];
    units
        .iter()
        .fold(text.to_owned(), |text, unit| text.replace(&format!(" {unit}"), &format!("\u{a0}{unit}")))
}

fn wrong(subject: &Subject<'_>, bench: &Bench<'_>, step: &PlanStep) -> Markup {
    let range = step.measurement.range;
    if step.wrong.is_empty() {
        return html! { "No single slip does this: a stray strand, or solder between several cups." };
    }
    html! {
        @for hint in step.hints(bench, 0) {
            p { b { (with_units(&hint.shows.told(range))) } ": " (suspects::told(subject, &hint.faults).join("; ")) "." }
            " "
        }
    }
}

/// What several wrong rows together point to.
fn several_rows() -> Markup {
    html! {
        p { "Several rows wrong at once: one mistake shows in many of them. Suspect what stands under all of those rows, mend it, and \
             begin again with row 1." }
        ul {
            li { "Two conductors open, and each is found at the other’s contact: they are swapped. The drawing tells at which end." }
            li { "One conductor open, and found at a contact that ought to be empty: it sits in the wrong cup." }
            li { "Most conductors open, and found elsewhere in their row: the cups were counted from the wrong side of the \
                  connector." }
            li { "All of them open: the probes, or a cable that is not joined at one end at all." }
        }
    }
}

fn coverage(subject: &Subject<'_>, plan: &Plan) -> Markup {
    let has_chips = subject.assembly.lead.parts.iter().any(|part| matches!(part.body, Body::Chip(_)));
    let unseen: Vec<&Fault> = plan.unseen.iter().collect();
    html! {
        p { "What this finds: " (plan.found_told()) }
        @if !unseen.is_empty() {
            @if subject.assembly.lead.parts.iter().any(|part| matches!(part.body, Body::Changeover(_))) {
                p { "What lies behind the open throw of a switch is read in its other position. " (UNSEEN) }
            } @else {
                p { (UNSEEN) }
            }
            (list(&suspects::told(subject, &unseen)))
            @if has_chips { p { "What is wrong with a chip in its socket shows on the machine: try every control there." } }
        }
        (crushed_cable(subject))
    }
}

/// What no plan looks for, since it is rare: conductors that touch in the cable and stand beside each other at no end.
fn crushed_cable(subject: &Subject<'_>) -> Markup {
    let lead = &subject.assembly.lead;
    let is_free = |end: &EndId| lead.parts.iter().all(|part| part.sits != *end);
    let mut ends = lead.ends.iter().rev().map(|end| end.id);
    let end = ends.find(is_free).unwrap_or(EndId::Port);
    let legs = lead.joins.iter().flat_map(|join| [join.from, join.to]).filter(|leg| leg.end == end);
    let contacts: BTreeSet<_> = legs.map(|leg| leg.contact).collect();
    html! {
        @if contacts.len() > 1 {
            p { "Not looked for: conductors that touch in the cable. Where it was crushed or got hot, also try each of "
                (listed(contacts)) " of the " (end_name(subject.assembly, end).to_lowercase())
                " against each other: open, but where the wire table joins them." }
        }
    }
}
