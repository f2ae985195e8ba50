//! The meter test on paper: one page to lie beside the lead, with a line for each reading and a box to tick.

use maud::{DOCTYPE, Markup, html};
use solderside_lead::{Assembly, Leg};
use solderside_meter::{
    Bench, Controls, Danger, FIGURES, Plan, PlanStep, Powered, Range, UNSEEN, before_power,
};
use solderside_profile::capital;

use super::frame::{head, list, source, table, tick};
use super::plugged::{before_measuring, clamped, for_controls, is_out, left_out};
use super::text::prose;
use crate::words::{clean, contact, end_name, listed};

/// So many faults are named for a wrong reading before the rest is counted.
const LIKELIEST: usize = 3;

/// Writes the meter test of a lead as one HTML page, to be printed on A4; without the readings with power where there are
/// none.
pub fn meter_table(bench: &Bench<'_>, plan: &Plan, controls: &Controls, powered: Option<&Powered>) -> String {
    let assembly = bench.assembly();
    let title = clean(&assembly.lead.title);
    let page = html! {
        (DOCTYPE)
        html lang="en-GB" {
            (head(&format!("{title}: meter test"), &[include_str!("style.css"), include_str!("print.css"), include_str!("table.css")]))
            body {
                header {
                    p class="kind" { "Meter test" }
                    h1 { (title) }
                    p class="who" { "Built by " span {} " on " span {} ", meter " span {} }
                }
                main {
                    (section("before", "Before the first reading", &list(&before_measuring(bench, plan))))
                    (section("lead", &format!("The lead alone: {}", plan.told()), &lead_alone(bench, plan)))
                    (section("controller", "With the controller, without the machine", &with_controller(bench, controls)))
                    @if let Some(powered) = powered {
                        (section("power", "With power, and 1 kΩ across the probes", &with_power(bench, powered)))
                    }
                    (section("wrong", "What a wrong reading points to", &wrong(bench, plan)))
                    (section("finds", "What this finds", &coverage(bench, plan)))
                }
                footer { p { "Made by Solderside from the lead’s file. The same file gives the same page." } }
            }
        }
    };
    page.into_string()
}

fn section(id: &str, heading: &str, body: &Markup) -> Markup {
    // What is measured and ticked takes the whole width; what is read stands in two columns.
    let class = matches!(id, "lead" | "controller" | "power").then_some("meter");
    html! {
        section id=(id) class=[class] aria-labelledby={ (id) "-heading" } {
            h2 id={ (id) "-heading" } { (heading) }
            div class="body" { (body) }
        }
    }
}

/// "Port end 5 (supply)".
fn place(bench: &Bench<'_>, leg: Leg) -> Markup {
    let assembly = bench.assembly();
    html! {
        @if leg.part_id().is_none() { (end_name(assembly, leg.end)) " " }
        b { (contact(assembly, leg)) }
    }
}

fn lead_alone(bench: &Bench<'_>, plan: &Plan) -> Markup {
    let numbered: Vec<(usize, &PlanStep)> = (1..).zip(&plan.steps).collect();
    let classes = [Danger::SupplyShort, Danger::SupplyAstray, Danger::Dead];
    html! {
        @for danger in classes {
            @let own = numbered.iter().filter(|(_, step)| step.danger == danger);
            @let rows: Vec<Vec<Markup>> = own.map(|(number, step)| row(bench, *number, step)).collect();
            @if !rows.is_empty() {
                (table(danger.told(), &["", "Red", "Black", "Range", "A good lead reads", "Reads", "Right"], rows))
            }
        }
    }
}

fn row(bench: &Bench<'_>, number: usize, step: &PlanStep) -> Vec<Markup> {
    let measurement = &step.measurement;
    let range = match (measurement.range, step.buzzer_will_do) {
        (Range::Ohms, true) => "ohms, or buzzer",
        (Range::Ohms, false) => "ohms",
        (Range::Diode, _) => "diode",
    };
    vec![
        html! { (number) },
        place(bench, measurement.red),
        place(bench, measurement.black),
        html! { (range) },
        html! { b { (step.good.told(measurement.range)) } },
        blank(),
        tick(&format!("reading {number}")),
    ]
}

/// A line for what the meter showed.
fn blank() -> Markup {
    html! { span class="reads" { "\u{a0}" } }
}

fn with_controller(bench: &Bench<'_>, controls: &Controls) -> Markup {
    let rows = controls.steps.iter().flat_map(|step| {
        let measurement = &step.measurement;
        [(step.held, true), (step.released, false)].map(|(span, is_held)| {
            let hold = if is_held { step.control.as_str() } else { "nothing" };
            vec![
                html! { (hold) },
                place(bench, measurement.red),
                place(bench, measurement.black),
                html! { (measurement.range.as_str()) },
                html! { b { (span.told(measurement.range)) } },
                blank(),
                tick(&format!("{} with {hold} held", step.control)),
            ]
        })
    });
    let rows: Vec<Vec<Markup>> = rows.collect();
    html! {
        @if !rows.is_empty() {
            ul { @for text in for_controls(bench.assembly()) { li { (prose(&text)) } } }
            (table("Each switch held, then let go", &["Hold", "Red", "Black", "Range", "Good", "Reads", "Right"], rows))
        }
        @if !controls.hidden.is_empty() {
            p { "Not read at the port end:" }
            ul {
                @for (behind, hidden) in controls.hidden_by_reason() { li { (listed(hidden)) ": " (behind.as_str()) } }
            }
        }
    }
}

fn with_power(bench: &Bench<'_>, powered: &Powered) -> Markup {
    if !powered.fed.is_empty() {
        return html! {
            p { "The machine is powered through the connector that this lead covers, at the contacts " (listed(&powered.fed)) ": \
                 with the lead alone it cannot be switched on. The wires of its power supply are work for somebody who builds \
                 such harnesses." }
        };
    }
    let black = |home: Option<Leg>| home.map_or_else(|| html! { "the return" }, |leg| place(bench, leg));
    let row = |red: Leg, home: Option<Leg>, across: &str, reads: String| {
        let name = format!("{red} with {across} across");
        vec![
            place(bench, red),
            black(home),
            html! { (across) },
            html! { b { (reads) } },
            blank(),
            tick(&name),
        ]
    };
    let same = || "the same within 50 mV".to_owned();
    let mut rows = Vec::new();
    for chip in &powered.chips {
        let volts = chip.fed.map_or_else(
            || "its supply".to_owned(),
            |(volts, _)| format!("{} to {}", volts.low(), volts.high()),
        );
        rows.push(row(chip.legs.supply, Some(chip.legs.ground), "1 kΩ", volts));
        rows.push(row(chip.legs.supply, Some(chip.legs.ground), "none", same()));
        let name = crate::words::part_name(chip.legs.part.id());
        rows.push(row(
            chip.legs.supply,
            Some(chip.legs.ground),
            &format!("none, {name} in its socket"),
            same(),
        ));
    }
    for supply in &powered.supplies {
        let (low, high) = (supply.volts.low(), supply.volts.high());
        let volts = if supply.is_wire {
            format!("{low} to {high}")
        } else {
            format!("up to {high}, less what parts take")
        };
        rows.push(row(supply.leg, supply.home, "1 kΩ", volts));
        // What parts take of it is another share at another current.
        if supply.is_wire {
            rows.push(row(supply.leg, supply.home, "none", same()));
        }
    }
    if let Some(own) = &powered.plugged_in {
        rows.push(row(own.leg, own.home, "none", format!("more than {}", own.more_than)));
    }
    for line in &powered.lines {
        let volts = match (line.at_most, line.is_pulled_up) {
            (Some(volts), _) => format!("below {volts}"),
            (None, true) => "no figure: a part ties it to the supply".to_owned(),
            (None, false) => "no figure: the machine may drive it".to_owned(),
        };
        rows.push(row(line.leg, line.home, "1 kΩ", volts));
    }
    html! {
        (list(&before_power_here(bench.assembly())))
        @if !powered.chips.is_empty() {
            p { "The chips go into their sockets when their supply was right there, with the lead unplugged, and before anything \
                 farther is read." }
        }
        (table(&format!("Machine on, lead plugged in, {}", is_out(bench.assembly())), &["Red", "Black", "Across", "Good", "Reads", "Right"], rows))
        p { "A minus sign where a supply belongs means that supply and return are the wrong way round: stop. So does more than \
             the port has at all." }
    }
}

/// What to do before the machine is switched on, where the controller may have screws.
fn before_power_here(assembly: &Assembly) -> Vec<String> {
    let mut texts = before_power(assembly).map(str::to_owned).to_vec();
    if let Some(first) = texts.first_mut().filter(|_| clamped(assembly).next().is_some()) {
        *first = format!("Only when everything before was right. {}.", capital(&left_out(assembly)));
    }
    texts
}

fn wrong(bench: &Bench<'_>, plan: &Plan) -> Markup {
    html! {
        p { "The likeliest first. What stands nowhere here: probes that do not touch bare metal, or a stray strand." }
        @for (number, step) in (1..).zip(&plan.steps).filter(|(_, step)| !step.wrong.is_empty()) {
            h3 { (number) ". " (step.measurement) }
            ul class="plain" {
                @for hint in step.hints(bench, LIKELIEST) {
                    li { b { (hint.shows.told(step.measurement.range)) } ": " (hint) }
                }
            }
        }
    }
}

fn coverage(bench: &Bench<'_>, plan: &Plan) -> Markup {
    html! {
        p { (plan.found_told()) }
        @if !plan.unseen.is_empty() {
            p { (UNSEEN) }
            (list(&plan.unseen_told(bench)))
        }
        ul { @for figure in FIGURES { li { (figure.what) ". " (source(figure.source)) } } }
    }
}
