//! How far each of the machine’s readings is from going wrong, and what each contact carries.

use maud::{Markup, html};
use solderside_proof::{ActionProof, AxisTime, Worst};
use solderside_quantity::{Seconds, Volts};

use super::Subject;
use super::frame::{Section, table};
use super::text::{pressed, prose};
use crate::words::{contact, count};

/// So many of the tolerances behind a worst reading are named: the rest move it little.
const STRONGEST: usize = 3;

pub(super) fn section(subject: &Subject<'_>) -> Section {
    Section::new("readings", "Readings", body(subject))
}

fn body(subject: &Subject<'_>) -> Markup {
    let proof = subject.proof;
    let is_read = |action: &ActionProof| action.active.is_some() || action.idle.is_some();
    html! {
        @if proof.actions.iter().any(is_read) { (margins(subject)) }
        @if !proof.axes.is_empty() { (axes(subject)) }
        @if !proof.loads.is_empty() { (loads(subject)) }
    }
}

fn margins(subject: &Subject<'_>) -> Markup {
    let actions = &subject.proof.actions;
    html! {
        h3 { "Margins" }
        p { "The worst voltage at each of the machine’s contacts over all states, steps and tolerances, against the threshold \
             that every part of its family keeps. A margin below 0 V means that only a typical part reads it right. "
             code { "port.1" } " is contact 1 of the port end." }
        (narrowest(actions))
        div class="table screen" role="region" tabindex="0" aria-label="Margins" {
            table {
                caption { "Worst readings of each action" }
                thead { tr {
                    th scope="col" { "Should be" } th scope="col" { "Worst" } th scope="col" { "Guaranteed" }
                    th scope="col" { "Margin" }
                } }
                @for action in actions { (rows(subject, action)) }
            }
        }
    }
}

/// The table in a sentence, for paper.
fn narrowest(actions: &[ActionProof]) -> Markup {
    let all = actions.iter().flat_map(|action| {
        let sides = [("active", &action.active), ("idle", &action.idle)].into_iter();
        sides.filter_map(move |(side, worst)| Some((action, side, worst.as_ref()?)))
    });
    let narrowest = all.min_by(|(_, _, one), (_, _, other)| one.margin.get().total_cmp(&other.margin.get()));
    html! {
        @if let Some((action, side, worst)) = narrowest {
            p class="paper" {
                "The narrowest margin is " (worst.margin) ": " code { (action.action) } ", " (side) ", comes to " (worst.volts)
                " and has to be " (wanted(worst)) " " (worst.guaranteed) ". The table of all is on the page on a screen."
            }
        }
    }
}

fn rows(subject: &Subject<'_>, action: &ActionProof) -> Markup {
    let sides = [("active", &action.active), ("idle", &action.idle)];
    html! {
        tbody {
            tr class="group" { th scope="rowgroup" colspan="4" {
                code { (action.action) } " at port contact " (contact(subject.assembly, action.leg))
            } }
            @for (side, worst) in sides {
                @if let Some(worst) = worst {
                    tr {
                        th scope="row" { (side) }
                        td class="figure" { (worst.volts) }
                        td class="figure" { (wanted(worst)) " " (worst.guaranteed) }
                        td class="figure" { (worst.margin) }
                    }
                    tr class="where" { td colspan="4" { (place(worst)) } }
                }
            }
        }
    }
}

/// Whether a reading has to stay below its threshold or above it.
fn wanted(worst: &Worst) -> &'static str {
    let is_below = worst.guaranteed - worst.volts;
    if (is_below - worst.margin).abs() <= (is_below + worst.margin).abs().max(Volts::ZERO) {
        "below"
    } else {
        "above"
    }
}

/// Where a worst reading happens: state, step, tolerances.
fn place(worst: &Worst) -> Markup {
    let others = worst.corner.len().saturating_sub(STRONGEST);
    html! {
        "Typical threshold " (worst.typical) "; " (pressed(&worst.state)) "; step " code { (worst.step) }
        @for tolerance in worst.corner.iter().take(STRONGEST) { "; " (prose(tolerance)) }
        @if others > 0 { "; and " (count(others, "weaker tolerance")) }
        "."
    }
}

fn axes(subject: &Subject<'_>) -> Markup {
    let rows = subject.proof.axes.iter().map(|axis| {
        let (shortest, longest) = axis.reads;
        let mut row = vec![html! { "port contact " (contact(subject.assembly, axis.leg)) }];
        row.extend(axis.travel.iter().map(time));
        row.push(html! { (shortest) " to " (longest) });
        row
    });
    html! {
        h3 { "Axes" }
        p { "The machine measures a stick by how long its pot takes to charge a capacitor. Each time is the typical one; in              brackets stand the shortest and the longest over all tolerances. Low is the end at which the pot has 0 Ω." }
        (table("What the machine measures of each axis", &["Axis", "Low", "Centre", "High", "Can measure"], rows.collect()))
    }
}

fn time(time: &AxisTime) -> Markup {
    let told =
        |seconds: Option<Seconds>| seconds.map_or_else(|| "never".to_owned(), |seconds| seconds.to_string());
    html! {
        // Where nothing typical is known, the time is one all the same.
        @if time.typical.is_some() || time.most.is_none() { (told(time.typical)) " " }
        "(" (told(time.least)) " to " (told(time.most)) ")"
    }
}

fn loads(subject: &Subject<'_>) -> Markup {
    let rows = subject.proof.loads.iter().map(|load| {
        vec![
            html! {
                @if load.leg.part_id().is_none() { (load.leg.end) " " }
                (contact(subject.assembly, load.leg))
            },
            html! { (load.amps) },
            html! { (load.limit) @if !load.stated { " (assumed)" } },
        ]
    });
    html! {
        h3 { "Loads" }
        (table("The most that each contact carries", &["Contact", "Carries", "Limit"], rows.collect()))
    }
}
