//! What a run of the meter test says.

use std::path::Path;

use solderside_meter::{
    Behind, Benches, Course, CourseStep, Expected, Fault, Hint, Judged, Outcome, Part, Probed, Question,
    Setting, Span, UNSEEN, before_controls, before_measuring, before_power,
};
use solderside_profile::capital;
use solderside_quantity::Volts;

use super::MeterTest;
use super::run::Diagnosed;
use super::text::place;
use crate::commands::diagnose::tells as diagnose;
use crate::page::Page;
use crate::report;
use crate::tone::Tone;

/// So many faults are named for a wrong reading before the rest is counted.
const LIKELIEST: usize = 4;

/// The first words: what is tested, and how far it went.
pub fn opening(test: &MeterTest<'_>, course: &Course<'_>, columns: usize) -> String {
    let mut page = Page::in_columns(columns);
    page.line(Tone::Strong.of(&test.bench.assembly().lead.title));
    let is_read = |step: &&CourseStep| step.is_reading();
    let count = |part| course.steps().iter().filter(is_read).filter(|step| step.part == part).count();
    page.paragraph(
        "",
        &format!(
            "{} readings of the lead alone, {} with the controller, {} with power. Type what the meter shows: `open`, `0.4`, \
             `1.2k`; `?` helps, `leave` stops, and what was read is kept.",
            count(Part::Lead),
            count(Part::Controller),
            count(Part::Power)
        ),
    );
    if course.answered() > 0 {
        page.paragraph(
            "",
            &format!("Taken up: {} of {} are answered.", course.answered(), course.steps().len()),
        );
    }
    if course.strays() > 0 {
        page.paragraph(
            "",
            &format!(
                "{} readings in the file belong to no question of this test; they are kept.",
                course.strays()
            ),
        );
    }
    page.finish()
}

/// What to do before the first reading of a part.
pub fn part(test: &MeterTest<'_>, part: Part, columns: usize) -> String {
    let mut page = Page::in_columns(columns);
    page.line("");
    match part {
        Part::Lead => {
            page.line(Tone::Strong.of("The lead alone"));
            for text in before_measuring(test.bench, &test.plan) {
                page.paragraph("  - ", &text);
            }
        }
        Part::Controller => {
            page.line(Tone::Strong.of("The controller plugged into the lead, the machine not"));
            for text in before_controls(test.bench.assembly()) {
                page.paragraph("  - ", text);
            }
        }
        Part::Power => {
            page.line(Tone::Bad.of("With power"));
            for text in before_power(test.bench.assembly()) {
                page.paragraph("  - ", text);
            }
        }
    }
    page.finish()
}

/// One question.
pub fn question(course: &Course<'_>, at: usize, columns: usize) -> String {
    let mut page = Page::in_columns(columns);
    let Some(step) = course.steps().get(at) else { return page.finish() };
    let bench = course.bench();
    page.line("");
    page.line(format!("{} of {}", at + 1, course.steps().len()));
    let question = match &step.question {
        Question::Reading(probed) => probed,
        Question::Deed(deed) => {
            page.paragraph("  ", &deed.told(bench.assembly()));
            page.line("  then type `done`");
            return page.finish();
        }
    };
    if let Some(held) = &question.held {
        match held.first() {
            Some(control) => page.line(format!("  hold   `{control}` and nothing else")),
            None => page.line("  hold   nothing"),
        }
    }
    page.line(format!("  red    {}", place(bench, question.red)));
    page.line(format!("  black  {}", place(bench, question.black)));
    let setting = match (question.setting, step.buzzer_will_do, question.across) {
        (Setting::Ohms, true, _) => "ohms, or the buzzer",
        (Setting::Ohms, false, _) => "ohms",
        (Setting::Diode, ..) => "diode range",
        (Setting::Volts, _, true) => "DC volts, 1 kΩ across the probes",
        (Setting::Volts, _, false) if question.chip_in => {
            "DC volts, without the resistor, the chip in its socket"
        }
        (Setting::Volts, _, false) => "DC volts, without the resistor",
    };
    page.paragraph("  ", &format!("{setting}; good: {}", expected(step)));
    page.finish()
}

/// What a good lead gives: "open", "4.75 V to 5.25 V".
pub fn expected(step: &CourseStep) -> String {
    match step.expected {
        Expected::Shown(span) => {
            let setting = step.question.probed().map_or(Setting::Ohms, |probed| probed.setting);
            shown(span, setting)
        }
        Expected::Between(low, high) if low <= Volts::ZERO => format!("at most {high}, and not nothing"),
        Expected::Between(low, high) => format!("{low} to {high}"),
        Expected::Above(low) => format!("more than {low}"),
        Expected::Below(high) => format!("at most {high}"),
        Expected::AsBefore(within) => format!("within {within} of the reading before"),
        Expected::Done => "done".to_owned(),
    }
}

fn shown(span: Span, setting: Setting) -> String {
    match setting {
        Setting::Ohms | Setting::Volts => span.told(solderside_meter::Range::Ohms),
        Setting::Diode => span.told(solderside_meter::Range::Diode),
    }
}

/// What an answer has taught.
pub fn learned(course: &Course<'_>, at: usize, judged: Judged, columns: usize) -> String {
    let mut page = Page::in_columns(columns);
    let Some(step) = course.steps().get(at) else { return page.finish() };
    let given = course.given(at).map_or_else(String::new, |given| given.to_string());
    if !step.is_reading() {
        return page.finish();
    }
    match judged {
        Judged::Right => page.paragraph("  ", &format!("{}: {}", Tone::Good.of("right"), right(step))),
        Judged::Wrong => {
            page.paragraph("  ", &format!("{}: {given}, expected {}", Tone::Bad.of("wrong"), expected(step)));
            points_to(&mut page, course, at);
        }
        Judged::Stop | Judged::StopTooMuch | Judged::StopReversed => {
            let why = match (judged, step.part) {
                (Judged::StopTooMuch, _) => {
                    "nothing in this machine's port has such a voltage. Switch off, pull the plug, and let nobody plug this lead \
                     in before you know where it comes from"
                }
                (Judged::StopReversed, _) => {
                    "it is below nought: supply and return are the wrong way round. Switch off and unplug the lead"
                }
                (_, Part::Power) => "switch off and unplug the lead",
                (_, Part::Lead | Part::Controller) => {
                    "as it is, this lead can short the machine's supply or put it where it does not belong. Do not plug it in"
                }
            };
            page.paragraph(
                "  ",
                &format!("{}: {given}, expected {}: {why}.", Tone::Bad.of("STOP"), expected(step)),
            );
            points_to(&mut page, course, at);
            if step.part != Part::Power {
                page.paragraph("  ", "Nothing else is asked before it is mended and this reads right.");
            }
        }
    }
    page.finish()
}

/// What a right answer means.
fn right(step: &CourseStep) -> String {
    let is_open = matches!(step.expected, Expected::Shown(span) if span.is_open());
    match (&step.control, step.part, is_open) {
        (Some((_, control)), ..) if is_holding(step) => {
            format!("`{control}` closes its line")
        }
        (Some((_, control)), ..) => format!("`{control}` lets go of it"),
        (None, Part::Power, _) => "as it should be".to_owned(),
        (None, Part::Lead | Part::Controller, true) => "nothing joins the two".to_owned(),
        (None, Part::Lead | Part::Controller, false) => "the two are joined as they should be".to_owned(),
    }
}

/// Whether a control is held for a reading.
fn is_holding(step: &CourseStep) -> bool {
    let held = step.question.probed().and_then(|probed| probed.held.as_ref());
    held.is_some_and(|held| !held.is_empty())
}

/// What a wrong answer points to by itself.
fn points_to(page: &mut Page, course: &Course<'_>, at: usize) {
    let Some(step) = course.steps().get(at) else { return };
    if let Some((end, control)) = &step.control {
        let fault = Fault::DirtyContact(*end, control.clone());
        let text = if is_holding(step) {
            format!(
                "{}; or the plug does not sit. {}",
                fault.told(course.bench()),
                capital(&fault.mend(course.bench())) + "."
            )
        } else {
            format!("`{control}` or another control is stuck or held, or the controller has a short inside")
        };
        page.paragraph("    - ", &text);
        return;
    }
    if step.part == Part::Power {
        let text = match (course.judged(at), step.expected) {
            (Some(Judged::StopTooMuch), _) => {
                "a voltage that is none of this port's: another machine, a power supply that is broken, or the probes at \
                 another connector"
            }
            (Some(Judged::StopReversed), _) => {
                "supply and return exchanged in the lead, or the probes exchanged"
            }
            (_, Expected::Between(..) | Expected::AsBefore(_)) => {
                "the contact is no supply, or a joint on the way is weak, or the probes do not touch"
            }
            (_, Expected::Above(_)) => "the lead is not plugged in, or its return is not the machine's",
            (_, Expected::Below(_) | Expected::Shown(_) | Expected::Done) => {
                "a supply, or a line that is pulled up more strongly than was taken, is where none belongs"
            }
        };
        page.paragraph("    - ", text);
        return;
    }
    let hints = course.hints(at, LIKELIEST);
    if hints.is_empty() {
        page.paragraph(
            "    - ",
            "no single mistake reads so: see that the probes touch bare metal and that their own resistance is subtracted, \
             then `back` and read again",
        );
    }
    for Hint { told, more, .. } in hints {
        for text in told {
            page.paragraph("    - ", &text);
        }
        if more > 0 {
            page.paragraph("    - ", &format!("or one of {more} more: what is read next tells which"));
        }
    }
}

/// What to do with a reading that had stopped the run and is right now.
pub fn asked_again(columns: usize) -> String {
    let mut page = Page::in_columns(columns);
    page.paragraph("  ", "Who has soldered has another lead: what was read before is asked again.");
    page.finish()
}

/// Why what was typed is no answer.
pub fn not_taken(why: &str, columns: usize) -> String {
    let mut page = Page::in_columns(columns);
    page.paragraph("  ", &format!("{}: {why}", Tone::Care.of("not taken")));
    page.finish()
}

/// What `back` has done.
pub fn taken_back(course: &Course<'_>, taken: Option<usize>, columns: usize) -> String {
    let mut page = Page::in_columns(columns);
    match taken {
        Some(at) => {
            page.paragraph("  ", &format!("taken back: {} of {}", at + 1, course.steps().len()));
        }
        None => page.paragraph("  ", "nothing is answered yet"),
    }
    page.finish()
}

/// What `mended` has done.
pub fn begun_anew(columns: usize) -> String {
    let mut page = Page::in_columns(columns);
    page.paragraph("  ", "Begun anew: who has soldered has another lead, and all of it is read again.");
    page.finish()
}

/// What can be typed, and what this step is about.
pub fn help(course: &Course<'_>, asked: Option<usize>, columns: usize) -> String {
    let mut page = Page::in_columns(columns);
    let rows = [
        ["open, OL", "the meter shows no reading"],
        ["0.4, 470, 1.2k, 3M", "ohms"],
        ["0.62 V, 620 mV, -4.9 V", "volts"],
        ["beep, no beep", "what the buzzer says, where it will do"],
        ["right", "as a good lead reads, where no machine depends on it"],
        ["done", "what was to be done is done"],
        ["back", "takes the last answer back"],
        ["mended", "you have soldered: all is read again"],
        ["leave", "stops; the same command takes the run up again"],
    ];
    page.table(["", ""], &rows.map(|row| row.map(str::to_owned)));
    let step = asked.and_then(|at| course.plan().steps.get(course.steps().get(at)?.of_plan?));
    if let Some(step) = step {
        page.line("");
        page.line("  a wrong reading points to");
        for hint in step.hints(course.bench(), LIKELIEST) {
            page.paragraph(&format!("    {}: ", hint.shows.told(step.measurement.range)), &hint.to_string());
        }
    }
    page.finish()
}

/// How a run stands that is left.
pub fn left(course: &Course<'_>, file: &Path, columns: usize) -> String {
    let mut page = Page::in_columns(columns);
    page.line("");
    let (answered, of) = (course.answered(), course.steps().len());
    page.paragraph(
        "",
        &format!(
            "Left: {answered} of {of} are answered, in {}. The same command takes it up again.",
            file.display()
        ),
    );
    if course.stopped().is_some() {
        page.paragraph(
            "",
            &format!("{} Do not plug this lead in: a dangerous reading is wrong.", Tone::Bad.of("STOP")),
        );
    } else {
        page.paragraph("", "The lead is not proved before all is read.");
    }
    page.finish()
}

/// How a run ends: passed, or what the wrong readings point to.
pub fn ending(test: &MeterTest<'_>, course: &Course<'_>, found: &Diagnosed, columns: usize) -> String {
    let mut page = Page::in_columns(columns);
    page.line("");
    match course.outcome() {
        Outcome::Passed => passed(&mut page, test, course),
        Outcome::Wrong(wrong) => {
            let count = wrong.len();
            let readings = if count == 1 {
                "1 reading is wrong".to_owned()
            } else {
                format!("{count} readings are wrong")
            };
            page.line(Tone::Bad.of(&format!("NOT PASSED: {readings}. Plug the lead into nothing.")));
            for at in wrong {
                wrong_reading(&mut page, course, at);
            }
            diagnosis(&mut page, course, found);
            page.line("");
            page.paragraph(
                "",
                "Type `mended` when it is mended: then all is read again. `back` takes the last answer back, `leave` stops.",
            );
        }
        Outcome::Open => {}
    }
    page.finish()
}

fn wrong_reading(page: &mut Page, course: &Course<'_>, at: usize) {
    let (Some(step), Some(given)) = (course.steps().get(at), course.given(at)) else { return };
    let Some(Probed { red, black, held, .. }) = step.question.probed() else { return };
    let held = match held.as_ref().map(|held| held.first()) {
        Some(Some(control)) => format!(" holding `{control}`"),
        Some(None) => " holding nothing".to_owned(),
        None => String::new(),
    };
    page.paragraph(
        &format!("  {:>2}  ", at + 1),
        &format!("{red} - {black}{held}: {given}, expected {}", expected(step)),
    );
}

/// What all answers together point to.
fn diagnosis(page: &mut Page, course: &Course<'_>, found: &Diagnosed) {
    let is_of_the_lead = |at: &usize| course.steps().get(*at).is_some_and(|step| step.part == Part::Lead);
    let Outcome::Wrong(wrong) = course.outcome() else { return };
    let (lead, others): (Vec<usize>, Vec<usize>) = wrong.into_iter().partition(is_of_the_lead);
    for at in others {
        page.line("");
        page.paragraph("", &format!("Reading {} points to", at + 1));
        points_to(page, course, at);
    }
    if lead.is_empty() {
        return;
    }
    page.heading("What all readings together point to");
    diagnose::likeliest(page, course.bench(), &found.explanations);
    let benches = Benches::from(course.bench());
    diagnose::what_to_mend(page, &benches, &found.explanations, found.next.as_ref());
}

fn passed(page: &mut Page, test: &MeterTest<'_>, course: &Course<'_>) {
    let readings = course.steps().iter().filter(|step| step.is_reading()).count();
    page.line(Tone::Good.of(&format!("PASSED: all {readings} readings are right.")));
    if !test.powered.chips.is_empty() {
        page.paragraph(
            "",
            "Switch off and unplug the lead before the board is wrapped and its hood closed. The controller is plugged in last.",
        );
    }
    let found = test.plan.found.len();
    page.paragraph(
        "",
        &format!("The lead has none of the {found} single mistakes that these readings find."),
    );
    if !test.plan.unseen.is_empty() {
        page.paragraph("", UNSEEN);
        for text in test.plan.unseen_told(test.bench) {
            page.paragraph("  - ", &text);
        }
    }
    for (behind, hidden) in test.controls.hidden_by_reason() {
        if behind != Behind::NoConductor {
            page.paragraph(
                "  - ",
                &format!("not read: {}, {}", report::quoted_list(&hidden), behind.as_str()),
            );
        }
    }
    page.paragraph(
        "",
        "It does not say that joints last, that the cable bears being pulled, or that the machine and the controller are \
         whole. The first time on the machine stay beside it, and switch off at once if anything grows warm.",
    );
}
