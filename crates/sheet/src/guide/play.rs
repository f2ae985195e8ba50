//! Who does what: each control with what the machine reads, and a panel on which they can be pressed together.

use maud::{Markup, html};
use solderside_profile::{Action, Control, Direction, Gate};
use solderside_proof::{TruthRow, Verdict};

use super::frame::{Section, table};
use super::text::{names, pressed};
use super::truth::{Press, Truth};
use super::{Stand, Subject, each};
use crate::words::count;

pub(super) fn section(subject: &Subject<'_>, stands: &[Stand<'_>]) -> Section {
    // One panel is enough for a page.
    let told = |subject: &Subject<'_>| body(subject, stands.is_empty());
    let second = subject.assembly.controllers.get(1).filter(|own| !own.contacts.is_empty());
    let content = html! {
        @if second.is_some() {
            p { "What begins with “second-” is a control of the controller at the controller 2 end: " code { "second-up" } " is its "
                code { "up" } "." }
        }
        (each(subject, stands, told))
    };
    Section::new("play", "Play", content)
}

fn body(subject: &Subject<'_>, with_panel: bool) -> Markup {
    let rows = &subject.proof.truth;
    let alone = rows
        .iter()
        .filter(|row| row.pressed.len() < 2)
        .map(|row| vec![html! { (pressed(&row.pressed)) }, told(subject, row)]);
    html! {
        @if rows.is_empty() { p { "What the machine would read was not worked out, because the findings come first." } }
        @else {
            (table("Press one control at a time", &["Controller", "Machine reads"], alone.collect()))
            (unjoined(subject))
            (all_together(subject))
            @if with_panel { (panel(subject)) }
        }
    }
}

/// What nobody asked for, and what was asked for and is missing.
struct Wrong<'a> {
    unasked: Vec<&'a Action>,
    missed: Vec<&'a Action>,
}

fn wrong<'a>(subject: &Subject<'a>, row: &TruthRow) -> Wrong<'a> {
    let Subject { assembly, .. } = subject;
    let is_asked = |action: &Action| {
        assembly.lead.play.controls(action).iter().any(|control| row.pressed.contains(control))
    };
    let (mut unasked, mut missed) = (Vec::new(), Vec::new());
    for action in assembly.port.actions() {
        match (is_asked(action), row.reads.contains(action)) {
            (false, true) => unasked.push(action),
            (true, false) => missed.push(action),
            (true, true) | (false, false) => {}
        }
    }
    Wrong { unasked, missed }
}

/// What reads in a state, and in words whether that is what was asked for.
fn told(subject: &Subject<'_>, row: &TruthRow) -> Markup {
    let Wrong { unasked, missed } = wrong(subject, row);
    html! {
        @if row.reads.is_empty() { "nothing" } @else { (names(&row.reads)) }
        @if !unasked.is_empty() { "; nobody asked for " (names(unasked)) }
        @if !missed.is_empty() { "; asked for and not sure to read: " (names(missed)) }
    }
}

fn unjoined(subject: &Subject<'_>) -> Markup {
    let is_joined = |control: &Control| subject.proof.truth.iter().any(|row| row.pressed.contains(control));
    let controllers = subject.assembly.controllers.iter();
    let unjoined: Vec<&Control> = controllers
        .flat_map(|controller| controller.controls())
        .filter(|control| !is_joined(control))
        .collect();
    html! {
        @if !unjoined.is_empty() { p { "Not joined in this lead, so pressing it changes nothing: " (names(unjoined)) "." } }
    }
}

/// All combinations in a sentence, with the shortest that goes wrong.
fn all_together(subject: &Subject<'_>) -> Markup {
    let rows = &subject.proof.truth;
    let is_wrong = |row: &&TruthRow| {
        let Wrong { unasked, missed } = wrong(subject, row);
        !unasked.is_empty() || !missed.is_empty()
    };
    let wrong = rows.iter().filter(is_wrong).count();
    let shortest = rows.iter().filter(is_wrong).min_by_key(|row| row.pressed.len());
    html! {
        p {
            (count(rows.len(), "combination")) " of presses were "
            @match subject.proof.truth_pressed_at_most {
                None => "checked. ",
                Some(most) => {
                    "listed one by one, those with at most " (most) " controls held at once; the verdict is of every \
                     combination. "
                }
            }
            @match shortest {
                None => "Each reads what was asked for, and nothing else.",
                Some(row) => {
                    strong { "In " (wrong) " of them something is wrong." } " The shortest: with " (pressed(&row.pressed)) " the \
                    machine reads " (told(subject, row)) "."
                }
            }
            " What is not sure to read counts as not read, and what is not sure to stay quiet as read, at the worst of all \
             tolerances."
            @if subject.proof.verdict == Verdict::Unproved { " No argument covers all of them: see the "
                a href="#findings" { "findings" } "." }
        }
    }
}

fn panel(subject: &Subject<'_>) -> Markup {
    let rows = &subject.proof.truth;
    let Some(truth) = Truth::of(subject.assembly, rows) else {
        return html! { p { "The table of all of them is too large to be tried on this page." } };
    };
    let is_gated =
        subject.assembly.controllers.first().is_some_and(|controller| controller.gate == Gate::EightWay);
    let presses = (0_u32..).zip(&truth.presses);
    let (lever, buttons): (Vec<_>, Vec<_>) =
        presses.partition(|(_, press)| press.control.direction().is_some());
    html! {
        div class="panel" id="panel" hidden data-idle=(truth.idle) data-odd=(truth.odd_text()) {
            h3 { "Try combinations" }
            p { "A press holds a control, a second press lets it go; hold as many as you like."
                @if is_gated { " The lever’s gate keeps up from down and left from right: pressing one lets the other go." } }
            div class="controls" role="group" aria-label="Controls" {
                @for (class, presses) in [("lever", lever), ("buttons", buttons)] {
                    @if !presses.is_empty() {
                        div class=(class) { @for (bit, press) in presses { (button(bit, *press, is_gated)) } }
                    }
                }
            }
            p class="said" role="status" aria-live="polite" {}
            (reading(subject, &truth))
            button type="button" class="let-go" { "Let everything go" }
        }
    }
}

fn button(bit: u32, Press { control, asked, alone }: Press<'_>, is_gated: bool) -> Markup {
    let direction = control.direction();
    let excludes = direction.filter(|_| is_gated).map(|own| own.opposite().as_str());
    html! {
        button type="button" class=[direction.map(Direction::as_str)] aria-pressed="false" data-bit=(bit) data-asked=(asked)
            data-alone=(alone) data-excludes=[excludes] { (control) }
    }
}

fn reading(subject: &Subject<'_>, truth: &Truth<'_>) -> Markup {
    let rows = truth.actions.iter().map(|action| {
        let at = subject.proof.actions.iter().find(|proved| proved.action == **action);
        (action, at.map(|proved| proved.leg.contact.to_string()))
    });
    html! {
        table {
            caption { "What the machine reads now" }
            thead { tr { th scope="col" { "Action" } th scope="col" { "Port contact" } th scope="col" { "Machine" } } }
            tbody { @for (action, at) in rows {
                tr { th scope="row" { code { (action) } } td { (at.unwrap_or_default()) } td class="state" { "not read" } }
            } }
        }
    }
}
