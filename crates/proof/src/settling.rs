//! Whether lines have settled when the machine reads them.
//!
//! What moves when a step begins is what the machine drives otherwise than in the step before; the last step
//! comes before the first, as a machine reads in rounds. From there it goes through lines and chips: a line needs
//! the time in which it comes from anywhere between the sources to where it is read for certain
//! ([`solderside_circuit::Spread::settling`] has the bound and its source), a chip the longest time of its sheet. A line
//! that nothing of this moves needs no time: a switch that moves while the machine reads is read before or
//! after.
//!
//! How long a machine waits is in its profile. Where that is not stated nothing is claimed.

pub(crate) mod charged;
mod clocks;
mod lines;
mod ways;

use std::collections::BTreeSet;

use solderside_circuit::Node;
use solderside_circuit::logic::Thresholds;
use solderside_lead::{Assembly, Leg};
use solderside_profile::{InputCircuit, Step};
use solderside_quantity::{Quantity, Seconds};
use solderside_trade::ContactId;

use self::lines::{Lines, Reader, Values};
use self::ways::{Arrival, Ways, Within};
use crate::cases::Moving;
use crate::code::Code;
use crate::finding::{Figure, Finding, Severity};
use crate::readings::TO_SPARE;
use crate::script::Script;
use crate::words::place;

/// Everything that there is to say of time.
pub(crate) fn settling(assembly: &Assembly, script: &Script<'_>, moving: &Moving) -> Vec<Finding> {
    let mut findings: Vec<Finding> = Vec::new();
    let mut silent: Vec<&str> = Vec::new();
    for (at, step) in script.steps() {
        let read = read_in(assembly, step);
        let moved = script.moved_in(assembly, at);
        if step.hold.is_none() {
            let is_slow = read.iter().any(|(_, input)| input.settle.is_some());
            if is_slow || (script.has_logic() && !moved.is_empty()) {
                silent.push(&step.name);
            }
            continue;
        }
        findings.extend(read.iter().filter_map(|(leg, input)| slow_machine(assembly, *leg, input, step)));
        if moved.is_empty() {
            continue;
        }
        let circuit = script.circuit(at);
        let nodes: BTreeSet<Node> = moved.iter().filter_map(|id| circuit.node(Leg::port(*id))).collect();
        let ways = |values| {
            let lines = Lines::of(assembly, script, at, moving, values);
            Ways::of(lines, values, nodes.clone())
        };
        let [worst, typical] = [Values::Worst, Values::Typical].map(ways);
        for (leg, input) in read {
            findings.extend(late(assembly, [&worst, &typical], leg, input, step));
        }
        findings.extend(clocks::clocks(&worst, step));
    }
    // Each line once, where it is worst.
    findings
        .sort_by(|a, b| a.legs.cmp(&b.legs).then(a.code.cmp(&b.code)).then(short(b).total_cmp(&short(a))));
    findings.dedup_by(|a, b| a.legs == b.legs && a.code == b.code);
    findings.extend(unknown(&silent));
    findings
}

/// The lines that a step reads as levels.
fn read_in<'a>(assembly: &'a Assembly, step: &'a Step) -> Vec<(Leg, &'a InputCircuit)> {
    let port = &assembly.port;
    let mut contacts: BTreeSet<ContactId> = port.samples(step).into_iter().map(|(id, _)| id).collect();
    contacts.extend(step.expects.keys());
    contacts.extend(step.quiet.iter().filter_map(|action| port.contact_of(action)));
    let level = |id: ContactId| {
        let input = port.input_of(id).filter(|input| input.charge.is_none() && input.ramp.is_none())?;
        let leg = Leg::port(id);
        assembly.lead.joined(leg).next().map(|_| (leg, input))
    };
    contacts.into_iter().filter_map(level).collect()
}

/// A line that the machine's own circuit makes slow.
fn slow_machine(assembly: &Assembly, leg: Leg, input: &InputCircuit, step: &Step) -> Option<Finding> {
    let (hold, settle) = (step.hold?, input.settle?);
    if settle.high() <= hold.low() {
        return None;
    }
    let text = format!(
        "{} can be read after up to {} by the machine's own circuit, and the step `{}` waits {}: {} short",
        place(assembly, leg),
        settle.high(),
        step.name,
        hold.low(),
        settle.high() - hold.low()
    );
    let is_typical = settle.typical() <= hold.typical();
    let remedy = "no lead mends this: a program that waits longer, or another contact for the control";
    Some(told(text, is_typical, leg, step, settle.high(), hold.low()).remedy(remedy))
}

/// A line that is read too soon.
fn late(
    assembly: &Assembly,
    [worst, typical]: [&Ways<'_>; 2],
    leg: Leg,
    input: &InputCircuit,
    step: &Step,
) -> Option<Finding> {
    let hold = step.hold?;
    let levels = input.family.levels_at(assembly.port.rail);
    let reader = Reader {
        node: worst.lines.circuit.node(leg)?,
        guaranteed: Thresholds { low: levels.low_guaranteed.value, high: levels.high_guaranteed.value },
        typical: Thresholds { low: levels.low_typical.value, high: levels.high_typical.value },
        spare: TO_SPARE,
        instead: Vec::new(),
    };
    let within = match worst.arrival(&reader, leg)? {
        Arrival::Within(within) => within,
        Arrival::Open(at) => {
            let text = format!(
                "whether {} has settled in the step `{}` is not settled: too much leads to `{at}`",
                place(assembly, leg),
                step.name
            );
            let remedy = "keep the controls' nets apart";
            return Some(Finding::new(Code::TimingUnproved, Severity::Note, text).at([leg]).remedy(remedy));
        }
    };
    if within.seconds <= hold.low() {
        return None;
    }
    let is_typical = match typical.arrival(&reader, leg) {
        Some(Arrival::Within(typical)) => typical.seconds <= hold.typical(),
        Some(Arrival::Open(_)) | None => false,
    };
    let Within { seconds, chips, slowest } = within;
    let text = format!(
        "{} is read {} after the step `{}` begins, and may need {seconds} to settle: {} short{}",
        place(assembly, leg),
        hold.low(),
        step.name,
        seconds - hold.low(),
        most(worst, seconds, chips, slowest.as_ref())
    );
    let remedy = if chips.get() * 2.0 > seconds.get() {
        "faster chips, or fewer one after the other"
    } else {
        "a shorter cable, or a stronger pull-up or output where the resistance is"
    };
    Some(told(text, is_typical, leg, step, seconds, hold.low()).remedy(remedy))
}

/// What takes most of a time, in words.
fn most(
    ways: &Ways<'_>,
    seconds: Seconds,
    chips: Seconds,
    slowest: Option<&(Leg, Node, lines::Slow)>,
) -> String {
    if chips.get() * 2.0 > seconds.get() {
        return format!("; chips take {chips} of that");
    }
    let Some((leg, node, slow)) = slowest else { return String::new() };
    let by = ways.lines.told(*node, slow).map_or(String::new(), |told| format!(": {told}"));
    format!("; `{leg}` takes {} of that{by}", slow.seconds)
}

fn told(text: String, is_typical: bool, leg: Leg, step: &Step, needs: Seconds, hold: Seconds) -> Finding {
    let severity = if is_typical { Severity::Thin } else { Severity::Fail };
    let mut finding = Finding::new(Code::TimingUnsettled, severity, text).at([leg]);
    finding.step = Some(step.name.clone());
    finding.figures([seconds("needs_seconds", needs), held(hold), seconds("short_seconds", needs - hold)])
}

/// Says that a port does not tell how long it waits.
fn unknown(silent: &[&str]) -> Option<Finding> {
    let step = silent.first()?;
    let more = silent.len() - 1;
    let steps = match more {
        0 => format!("the step `{step}`"),
        1 => format!("the step `{step}` and one more"),
        _ => format!("the step `{step}` and {more} more"),
    };
    let text = format!(
        "nobody says how long the machine waits in {steps} before it reads; whether the lines have settled by then is \
         not claimed"
    );
    let mut finding = Finding::new(Code::TimingUnknown, Severity::Note, text);
    finding.step = Some((*step).to_owned());
    Some(finding.remedy("write `hold_seconds` into the steps of the port's file when you know it"))
}

fn short(finding: &Finding) -> f64 {
    finding.figures.iter().find(|figure| figure.name == "short_seconds").map_or(0.0, |figure| figure.value)
}

fn seconds(name: &'static str, value: Seconds) -> Figure {
    Figure { name, value: value.get(), unit: Seconds::SYMBOL }
}

fn held(hold: Seconds) -> Figure {
    seconds("hold_seconds", hold)
}
