//! A diagnosis in words.

use solderside_lead::{Leg, PartId, Stand};
use solderside_meter::{
    Bench, Benches, Contradiction, Explanation, Fault, Measurement, Range, Test, TestKind, Weighs,
};
use solderside_profile::{Control, capital};

use super::Finding;
use crate::page::Page;

/// In a conversation less is not worth a line.
const WORTH: f64 = 0.03;

/// What is as likely as this may be mended before anything else is measured.
const SETTLED: f64 = 0.9;

/// So many explanations are told.
const TOLD: usize = 5;

/// So many of those that nobody can tell apart are told each.
const ALIKE: usize = 4;

/// The first words of a conversation.
pub fn opening(benches: &Benches<'_>, columns: usize) -> String {
    let mut page = Page::in_columns(columns);
    page.line(&benches.first().assembly().lead.title);
    page.paragraph(
        "",
        "Say what you saw, a sentence a line: `left does nothing`, `b also gives up`, `3 - 7 reads 1.2k`. `undo` takes the \
         last one back, `leave` stops, `?` helps.",
    );
    page.finish()
}

/// What can be said.
pub fn help(benches: &Benches<'_>, columns: usize) -> String {
    let mut page = Page::in_columns(columns);
    for line in [
        "3 - 7 reads 1.2k                       port end, the lead alone, unplugged at all ends; or `open`",
        "port.3 - controller.14 reads 0.4       from end to end",
        "3 - 9 holding left reads 450           plugged into the controller, the machine unplugged",
        "diode 3 - controller.14 reads 0.6 V    the diode range, the red probe first",
        "left does nothing, left works          a press, and what the machine does",
        "b also gives up, b gives up            its own actions too, or these only",
        "up is always on                        with nothing pressed",
        "nothing works, everything works",
        "0.4, open                              the answer to the measurement that is asked for",
    ] {
        page.line(format!("  {line}"));
    }
    if !benches.stands().is_empty() {
        page.paragraph("  ", "A sentence may end in how the lead stood:");
    }
    for stand in benches.stands() {
        page.line(format!("    with {}", stand.told().replace('`', "")));
    }
    page.finish()
}

/// Where a conversation stands: the likeliest, and what to do next.
pub fn so_far(benches: &Benches<'_>, finding: &Finding, columns: usize) -> String {
    let mut page = Page::in_columns(columns);
    if finding.evidence.is_empty() {
        return page.finish();
    }
    let bench = benches.first();
    contradictions(&mut page, finding);
    page.line("Likeliest:");
    for explanation in finding.explanations.iter().filter(|one| one.share >= WORTH).take(3) {
        page.paragraph(&format!("  {:>4}  ", percent(explanation.share)), &told(bench, explanation));
    }
    what_to_do(&mut page, benches, &finding.explanations, finding.next.as_ref());
    page.finish()
}

/// All of it.
pub fn finding(page: &mut Page, benches: &Benches<'_>, finding: &Finding) {
    if finding.evidence.is_empty() {
        page.line("nothing was said of the lead");
        return;
    }
    let bench = benches.first();
    page.line(&bench.assembly().lead.title);
    page.heading("What was seen");
    for (at, evidence) in (1..).zip(&finding.evidence) {
        page.paragraph(&format!("  {at:>2}  "), &evidence.text);
    }
    contradictions(page, finding);
    page.heading("Likeliest");
    likeliest(page, bench, &finding.explanations);
    what_to_do(page, benches, &finding.explanations, finding.next.as_ref());
}

/// What to do: to measure while it may be one thing or another, and to mend what it surely is, or what nothing that can be
/// tried would tell from the rest.
pub fn what_to_do(page: &mut Page, benches: &Benches<'_>, explanations: &[Explanation], test: Option<&Test>) {
    let first = explanations.first().filter(|first| is_settled(first, test));
    if let Some(first) = first {
        mend(page, benches.first(), first);
    }
    next(page, benches, test);
}

/// The same for somebody who mends before anything else is asked: what would settle it comes first all the same.
pub fn what_to_mend(
    page: &mut Page,
    benches: &Benches<'_>,
    explanations: &[Explanation],
    test: Option<&Test>,
) {
    what_to_do(page, benches, explanations, test);
    if let Some(first) = explanations.first().filter(|first| !is_settled(first, test)) {
        mend(page, benches.first(), first);
    }
}

/// Whether it is surely this, or nothing tells more.
fn is_settled(first: &Explanation, test: Option<&Test>) -> bool {
    first.share >= SETTLED || test.is_none()
}

/// The likeliest explanations with what speaks for and against each.
pub fn likeliest(page: &mut Page, bench: &Bench<'_>, explanations: &[Explanation]) {
    for explanation in explanations.iter().take(TOLD) {
        page.paragraph(&format!("  {:>4}  ", percent(explanation.share)), &told(bench, explanation));
        let numbers = |wanted: Weighs| {
            let own = explanation.weighs.iter().enumerate().filter(|(_, weighs)| **weighs == wanted);
            own.map(|(at, _)| (at + 1).to_string()).collect::<Vec<_>>().join(", ")
        };
        let [speak_for, against] = [Weighs::For, Weighs::Against].map(numbers);
        let mut speaks = Vec::new();
        if !speak_for.is_empty() {
            speaks.push(format!("for it: {speak_for}"));
        }
        if !against.is_empty() {
            speaks.push(format!("against it: {against}"));
        }
        if !speaks.is_empty() {
            page.paragraph("        ", &speaks.join("; "));
        }
    }
}

fn contradictions(page: &mut Page, finding: &Finding) {
    let text = |at: usize| finding.evidence.get(at).map_or("", |evidence| evidence.text.as_str());
    for contradiction in &finding.contradictions {
        let said = match contradiction {
            Contradiction::Twice(one, other) => format!(
                "`{}` and `{}` contradict each other: do it again, and take the wrong one back",
                text(*one),
                text(*other)
            ),
            Contradiction::Unexplained(at) => format!(
                "`{}` does not go with the rest: nothing that is likely explains everything. Do it again.",
                text(*at)
            ),
        };
        page.paragraph("  !  ", &said);
    }
}

/// How to mend the likeliest, each way once.
fn mend(page: &mut Page, bench: &Bench<'_>, first: &Explanation) {
    let mut ways: Vec<String> = Vec::new();
    // Fewer faults are likelier than more, and nobody can tell these apart.
    let least = first.either.iter().map(Vec::len).min().unwrap_or(0);
    for fault in first.either.iter().filter(|faults| faults.len() == least).flatten() {
        let way = fault.mend(bench);
        if !ways.contains(&way) {
            ways.push(way);
        }
    }
    if ways.is_empty() {
        return;
    }
    page.heading("To mend it");
    for way in ways.iter().take(ALIKE) {
        page.paragraph("  - ", &format!("{}.", capital(way)));
    }
    page.paragraph("  ", "Then measure again before it touches a machine.");
}

/// The next thing to try, and how the lead is to stand for it.
fn next(page: &mut Page, benches: &Benches<'_>, test: Option<&Test>) {
    page.heading("Next");
    let Some(test) = test else {
        page.paragraph(
            "  ",
            "Nothing that a meter or a press can tell would settle more: look at the places above.",
        );
        return;
    };
    let stands: Vec<String> = test.stands(benches).iter().map(Stand::told).collect();
    let so = if stands.is_empty() { String::new() } else { format!("with {}: ", stands.join(" and ")) };
    match &test.kind {
        TestKind::Measure(measurement) => {
            page.paragraph("  ", &capital(&format!("{so}{}", measure(benches.at(test.at), measurement))));
            if let Some(good) = test.good {
                page.paragraph("  ", &format!("A good lead reads {}.", good.told(measurement.range)));
            }
        }
        TestKind::Press(control) => {
            let said = test.said(benches);
            let is_plugged = test.stands(benches).iter().any(|stand| !stand.is_of_switch());
            let plug = if is_plugged {
                "plug the lead into the machine"
            } else {
                "plug the lead into the controller and the machine"
            };
            page.paragraph(
                "  ",
                &capital(&format!(
                    "{so}machine off: {plug}. Switch on, press `{control}`, and say what the machine does: `{control} \
                     works{said}`, `{control} does nothing{said}`, `{control} gives …{said}`."
                )),
            );
        }
    }
}

/// What to do with the meter.
fn measure(bench: &Bench<'_>, measurement: &Measurement) -> String {
    let lead = &bench.assembly().lead;
    let has_chips = lead.parts.iter().any(|part| matches!(part.id(), PartId::Chip(_)));
    let chips = if has_chips { ", chips out of their sockets" } else { "" };
    let ends = if bench.assembly().controllers.len() > 1 { "all ends" } else { "both ends" };
    let there = bench.assembly().controllers.iter().filter(|own| !own.contacts.is_empty()).count();
    let plugged =
        if there > 1 { "the lead plugged in at its controllers" } else { "the lead in the controller" };
    let first = match &measurement.held {
        None => format!("the lead unplugged at {ends}{chips}."),
        Some(held) if held.is_empty() => {
            format!("{plugged} and not in the machine{chips}, nothing pressed.")
        }
        Some(held) => {
            let held: Vec<String> = held.iter().map(|control: &Control| format!("`{control}`")).collect();
            format!("{plugged} and not in the machine{chips}, {} held.", held.join(" and "))
        }
    };
    let place = |leg: Leg| {
        let function = bench.assembly().function(leg);
        if function.is_empty() { leg.to_string() } else { format!("{leg} ({function})") }
    };
    let [red, black] = [measurement.red, measurement.black].map(place);
    match measurement.range {
        Range::Ohms => format!("{first} Ohms from {red} to {black}."),
        Range::Diode => format!("{first} Diode range, the red probe on {red}, the black one on {black}."),
    }
}

/// What an explanation is, in a sentence.
fn told(bench: &Bench<'_>, explanation: &Explanation) -> String {
    let least = explanation.either.iter().map(Vec::len).min().unwrap_or(0);
    let simple: Vec<&Vec<Fault>> = explanation.either.iter().filter(|faults| faults.len() == least).collect();
    let both = |faults: &Vec<Fault>| {
        let told: Vec<String> = faults.iter().map(|fault| fault.told(bench)).collect();
        if told.is_empty() { "the lead is good".to_owned() } else { told.join(", and ") }
    };
    let most = if least > 1 { 1 } else { ALIKE };
    let mut told: Vec<String> = simple.iter().take(most).map(|faults| both(faults)).collect();
    match simple.len().saturating_sub(most) {
        0 => {}
        1 => told.push("one more that looks the same".to_owned()),
        more => told.push(format!("one of {more} more that look the same")),
    }
    told.join("; or ")
}

fn percent(share: f64) -> String {
    format!("{:.0} %", share * 100.0)
}
