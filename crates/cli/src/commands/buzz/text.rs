//! The plan of a meter test in words.

use solderside_lead::Leg;
use solderside_meter::{
    Bench, ControlStep, Danger, FIGURES, Found, Plan, PlanStep, PoweredChip, PoweredLine, PoweredSupply,
    Range, UNSEEN, before_controls, before_measuring, before_power,
};

use super::MeterTest;
use crate::page::Page;
use crate::report;
use crate::tone::Tone;
use crate::trouble::Trouble;

/// So many faults are named for a wrong reading before the rest is counted.
const LIKELIEST: usize = 3;

/// The whole test.
pub fn all(page: &mut Page, test: &MeterTest<'_>, doubles: Found) {
    let MeterTest { bench, plan, proof, .. } = test;
    page.line(report::headline(bench.assembly(), proof));
    if !proof.verdict.is_sound() {
        page.paragraph(
            "",
            "A lead that is built as told would not be sound: its readings can be taken, but it belongs in no machine.",
        );
    }
    page.heading("Before the first reading");
    for text in before_measuring(bench, plan) {
        page.paragraph("  - ", &text);
    }
    page.heading(&format!("The lead alone: {}", plan.told()));
    readings(page, bench, plan);
    page.heading("What a wrong reading points to");
    page.paragraph("  ", "The likeliest first; `--step NUMBER` shows all.");
    for (number, step) in (1..).zip(&plan.steps) {
        wrong(page, bench, (number, step), LIKELIEST);
    }
    coverage(page, test, doubles);
    controls(page, test);
    if proof.verdict.is_sound() {
        power(page, test);
    }
    page.heading("Where the figures come from");
    for figure in FIGURES {
        page.paragraph("  - ", &format!("{}: {}", figure.what, figure.source));
    }
}

/// One reading of the lead alone, with all that it may point to.
pub fn one(page: &mut Page, test: &MeterTest<'_>, number: usize) -> Result<(), Trouble> {
    let MeterTest { bench, plan, .. } = test;
    let Some(step) = number.checked_sub(1).and_then(|at| plan.steps.get(at)) else {
        let text = format!("there is no reading {number}");
        return Err(Trouble::new(text, format!("the lead alone has readings 1 to {}", plan.steps.len())));
    };
    page.line(&bench.assembly().lead.title);
    page.line(format!("reading {number} of {}", plan.steps.len()));
    page.line("");
    page.table(HEAD, &[row(bench, number, step)]);
    page.line("");
    wrong(page, bench, (number, step), usize::MAX);
    Ok(())
}

/// The table, with a heading where the danger changes.
fn readings(page: &mut Page, bench: &Bench<'_>, plan: &Plan) {
    let rows = (1..).zip(&plan.steps).map(|(number, step)| row(bench, number, step)).collect::<Vec<_>>();
    // One table, so that its columns stand still.
    let mut table = Page::default();
    table.table(HEAD, &rows);
    let text = table.finish();
    let mut lines = text.lines();
    let head = lines.next().unwrap_or_default();
    let mut danger: Option<Danger> = None;
    for (line, step) in lines.zip(&plan.steps) {
        if danger != Some(step.danger) {
            page.line("");
            page.paragraph("  ", &toned(step.danger));
            page.line(head);
            danger = Some(step.danger);
        }
        page.line(line);
    }
}

fn row(bench: &Bench<'_>, number: usize, step: &PlanStep) -> [String; 6] {
    let measurement = &step.measurement;
    let range = match (measurement.range, step.buzzer_will_do) {
        (Range::Ohms, true) => "ohms, or buzzer",
        (Range::Ohms, false) => "ohms",
        (Range::Diode, _) => "diode",
    };
    [
        format!("{number:>2}"),
        place(bench, measurement.red),
        place(bench, measurement.black),
        range.to_owned(),
        step.good.told(measurement.range),
        "[ ]".to_owned(),
    ]
}

/// "port.5 (supply)".
pub fn place(bench: &Bench<'_>, leg: Leg) -> String {
    let function = bench.assembly().function(leg);
    if function.is_empty() || function == leg.contact.to_string() {
        leg.to_string()
    } else {
        format!("{leg} ({function})")
    }
}

/// What each wrong reading of a step points to.
fn wrong(page: &mut Page, bench: &Bench<'_>, (number, step): (usize, &PlanStep), most: usize) {
    let measurement = &step.measurement;
    page.line(format!("  {number:>2}  {measurement}"));
    for hint in step.hints(bench, most) {
        page.paragraph(&format!("      {}: ", hint.shows.told(measurement.range)), &hint.to_string());
    }
    if step.wrong.is_empty() {
        page.paragraph(
            "      ",
            "anything else: no single slip does this; look for a stray strand, or for solder between several cups",
        );
    }
}

/// The second part: the switches through the lead.
fn controls(page: &mut Page, test: &MeterTest<'_>) {
    let MeterTest { bench, controls, .. } = test;
    page.heading(&format!("With the controller, without the machine: {} switches", controls.steps.len()));
    if !controls.steps.is_empty() {
        for text in before_controls(bench.assembly()) {
            page.paragraph("  - ", text);
        }
        let rows: Vec<[String; 7]> = controls.steps.iter().map(|step| control_row(bench, step)).collect();
        page.line("");
        page.table(["hold", "red", "black", "range", "held", "let go", "right"], &rows);
    }
    if !controls.hidden.is_empty() {
        page.line("  not read at the port end:");
        for (behind, hidden) in controls.hidden_by_reason() {
            page.paragraph("    - ", &format!("{}: {}", report::quoted_list(&hidden), behind.as_str()));
        }
    }
}

fn control_row(bench: &Bench<'_>, step: &ControlStep) -> [String; 7] {
    let measurement = &step.measurement;
    let [held, released] = [step.held, step.released].map(|span| span.told(measurement.range));
    [
        step.control.to_string(),
        place(bench, measurement.red),
        place(bench, measurement.black),
        measurement.range.as_str().to_owned(),
        held,
        released,
        "[ ] [ ]".to_owned(),
    ]
}

/// The third part: the machine switched on.
fn power(page: &mut Page, test: &MeterTest<'_>) {
    let MeterTest { bench, powered, .. } = test;
    page.heading("With power, and 1 kΩ across the probes");
    if !powered.fed.is_empty() {
        let fed: Vec<String> = powered.fed.iter().map(ToString::to_string).collect();
        page.paragraph(
            "  ",
            &format!(
                "The machine is powered through the connector that this lead covers, at the contacts {}: with the lead alone it \
                 cannot be switched on. The wires of its power supply are work for somebody who builds such harnesses.",
                fed.join(", ")
            ),
        );
        return;
    }
    for text in before_power(bench.assembly()) {
        page.paragraph("  - ", text);
    }
    let black = |home: Option<Leg>| home.map_or_else(|| "the return".to_owned(), |leg| place(bench, leg));
    let mut rows: Vec<[String; 5]> = Vec::new();
    let tick = || "[ ]".to_owned();
    for PoweredChip { legs, fed } in &powered.chips {
        let volts = fed.map_or_else(
            || "its supply".to_owned(),
            |(volts, _)| format!("{} to {}", volts.low(), volts.high()),
        );
        let [red, black] = [legs.supply, legs.ground].map(|leg| place(bench, leg));
        rows.push([red.clone(), black.clone(), "1 kΩ".to_owned(), volts, tick()]);
        let same = "the same within 50 mV".to_owned();
        rows.push([red.clone(), black.clone(), "none".to_owned(), same, tick()]);
        let chip_in = format!("the same, {} in", legs.part.id());
        rows.push([red, black, "none".to_owned(), chip_in, tick()]);
    }
    for PoweredSupply { leg, home, volts, is_wire, .. } in &powered.supplies {
        let (low, high) = (volts.low(), volts.high());
        let volts = if *is_wire {
            format!("{low} to {high}")
        } else {
            format!("up to {high}, less what parts on the way take")
        };
        rows.push([place(bench, *leg), black(*home), "1 kΩ".to_owned(), volts, tick()]);
        // What parts leave of a supply depends on what is taken of it.
        if *is_wire {
            let same = "the same within 50 mV".to_owned();
            rows.push([place(bench, *leg), black(*home), "none".to_owned(), same, tick()]);
        }
    }
    if let Some(plugged_in) = &powered.plugged_in {
        let volts = format!("more than {}", plugged_in.more_than);
        rows.push([place(bench, plugged_in.leg), black(plugged_in.home), "none".to_owned(), volts, tick()]);
    }
    for PoweredLine { leg, home, at_most, is_pulled_up } in &powered.lines {
        let volts = match (at_most, is_pulled_up) {
            (Some(volts), _) => format!("below {volts}"),
            (None, true) => "no figure: a part ties it to the supply".to_owned(),
            (None, false) => "no figure: the machine may drive it".to_owned(),
        };
        rows.push([place(bench, *leg), black(*home), "1 kΩ".to_owned(), volts, tick()]);
    }
    page.line("");
    page.table(["red", "black", "across", "reads", "right"], &rows);
    if !powered.chips.is_empty() {
        page.paragraph(
            "  ",
            "Each chip goes into its socket when its supply was right there, with the lead unplugged, and is read again there \
             before anything farther is.",
        );
    }
    page.paragraph(
        "  ",
        "A minus sign where a supply belongs means that supply and return are the wrong way round: stop. So does more than \
         the port has at all.",
    );
}

fn coverage(page: &mut Page, test: &MeterTest<'_>, doubles: Found) {
    let MeterTest { bench, plan, .. } = test;
    page.heading("What this finds");
    page.paragraph("  ", &plan.found_told());
    if !plan.unseen.is_empty() {
        page.paragraph("  ", UNSEEN);
        for text in plan.unseen_told(bench) {
            page.paragraph("    - ", &text);
        }
    }
    page.paragraph("  ", &format!("Of two mistakes at once, {doubles}."));
}

const HEAD: [&str; 6] = ["", "red", "black", "range", "a good lead reads", "right"];

/// Why a class of readings stands where it does.
fn toned(danger: Danger) -> String {
    let tone = match danger {
        Danger::SupplyShort => Tone::Bad,
        Danger::SupplyAstray => Tone::Care,
        Danger::Dead => Tone::Strong,
    };
    tone.of(danger.told())
}
