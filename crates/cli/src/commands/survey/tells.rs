//! What is told during a survey and at its end.

use solderside_meter::TypedReading;
use solderside_meter::survey::{
    Found, NoCable, SurveyReading, Tail, Touch, UnknownCable, WIRE_BELOW, Way, Wiring,
};
use solderside_profile::capital;
use solderside_quantity::{Ohms, significant};
use solderside_trade::CoreColour;

use super::Run;
use super::asks::{at_the_contact, at_the_other_end};
use crate::page::Page;
use crate::tone::Tone;

/// What a reading told.
pub fn learned(
    own: &UnknownCable,
    reading: &SurveyReading,
    before: &Found,
    after: &Found,
    columns: usize,
) -> String {
    let mut page = Page::in_columns(columns);
    for text in [doubt(reading), said_by_itself(own, reading, before, after)].into_iter().flatten() {
        page.paragraph(INDENT, &text);
    }
    for points in after.shorts.iter().filter(|points| !before.shorts.contains(points)) {
        let text = format!("{} are joined to each other.", own.names(points));
        page.paragraph(INDENT, &Tone::Bad.of(&text));
        page.paragraph(INDENT, "No sound lead is made of such a cable: `leave`, or go on to learn the rest.");
    }
    for (contact, wiring) in &after.contacts {
        if before.contacts.get(contact) == Some(wiring) {
            continue;
        }
        let from = capital(&at_the_contact(*contact));
        match wiring {
            Wiring::To { far, .. } => {
                let text = format!("{from} goes to {}.", at_the_other_end(own, &[*far].into()));
                page.paragraph(INDENT, &Tone::Good.of(&text));
            }
            Wiring::Nothing => page.paragraph(INDENT, &format!("{from} goes nowhere.")),
            Wiring::NotFound => {}
        }
    }
    for (points, contacts) in after.shared.iter().filter(|shared| !before.shared.contains(shared)) {
        let contacts =
            contacts.iter().map(|contact| at_the_contact(*contact)).collect::<Vec<_>>().join(" and ");
        let text = format!("{} end in one conductor ({}).", capital(&contacts), own.names(points));
        page.paragraph(INDENT, &Tone::Bad.of(&text));
    }
    page.finish()
}

/// Under the question, behind its number.
const INDENT: &str = "     ";

/// A reading that is neither a sound conductor nor plainly none.
fn doubt(reading: &SurveyReading) -> Option<String> {
    let TypedReading::Ohms(ohms) = reading.reads else { return None };
    match reading.way {
        Way::Wire => None,
        Way::Weak => Some(match reading.touch {
            Touch::Through(..) => format!(
                "{} is a way, but no sound conductor: a wire reads below {WIRE_BELOW}. Press the probes on, and `undo` \
                 if it gets better.",
                shown(ohms)
            ),
            Touch::Across(..) => format!(
                "{} is a way where none should be: damp, flux or a hair of copper. Clean and spread the ends, and \
                 `undo` if it goes.",
                shown(ohms)
            ),
        }),
        Way::None => Some(format!("{} counts as open: keep your fingers off the tips.", shown(ohms))),
    }
}

/// What a reading says as long as nothing more follows from it.
fn said_by_itself(
    own: &UnknownCable,
    reading: &SurveyReading,
    before: &Found,
    after: &Found,
) -> Option<String> {
    let is_all = before.contacts == after.contacts && before.shorts == after.shorts;
    match (&reading.touch, reading.way) {
        (Touch::Across(..), Way::None) => Some("Good: nothing joins the two.".to_owned()),
        (Touch::Across(..), Way::Wire | Way::Weak) => {
            is_all.then(|| "Something joins the two; the next readings find what.".to_owned())
        }
        (Touch::Through(contact, _), Way::Wire | Way::Weak) => {
            is_all.then(|| format!("So {} goes to one of these.", at_the_contact(*contact)))
        }
        (Touch::Through(_, bunch), Way::None) if bunch.len() > 1 => {
            is_all.then(|| "To none of these.".to_owned())
        }
        (Touch::Through(_, bunch), Way::None) => {
            is_all.then(|| format!("Not to {}.", at_the_other_end(own, bunch)))
        }
    }
}

/// Readings that contradict each other.
pub fn contradiction(own: &UnknownCable, struck: &[SurveyReading], columns: usize) -> String {
    let mut page = Page::in_columns(columns);
    page.paragraph("     ", &Tone::Care.of("These readings contradict each other:"));
    for SurveyReading { touch, reads, .. } in struck {
        let [one, other] = own.words(touch);
        page.paragraph("       ", &format!("{one} to {other}: {reads}"));
    }
    page.paragraph(
        "     ",
        "All of them are struck out and asked again. Press the probes on, keep the bare ends apart.",
    );
    page.finish()
}

/// What was found, for the end and for paper.
pub fn result(page: &mut Page, run: &Run, found: &Found, written: &Result<String, NoCable>) {
    let own = &run.head.unknown;
    let count = run.survey.readings().len();
    let taken = if count == 1 { "1 reading".to_owned() } else { format!("{count} readings") };
    page.line("");
    page.line(Tone::Strong.of(&format!("The cable `{}` after {taken}", run.head.cable)));
    let rows: Vec<[String; 4]> = (found.contacts.iter())
        .map(|(contact, wiring)| {
            let [to, colour, reads] = match wiring {
                Wiring::To { far, ohms, is_weak } => {
                    let colour = own.colour(*far).map_or_else(String::new, CoreColour::words);
                    let reads = ohms.map_or_else(|| "buzzer".to_owned(), shown);
                    let weak = if *is_weak { ", no sound conductor" } else { "" };
                    [own.name(*far), colour, reads + weak]
                }
                Wiring::Nothing => ["nothing", "", ""].map(str::to_owned),
                Wiring::NotFound if *written == Err(NoCable::Unfinished) => ["?", "", ""].map(str::to_owned),
                Wiring::NotFound => ["nothing found", "", ""].map(str::to_owned),
            };
            [contact.to_string(), to, colour, reads]
        })
        .collect();
    let end = own.end.to_string();
    let to = if let Tail::Moulded(other) = own.tail { other.to_string() } else { "core".to_owned() };
    page.table([&end, &to, "colour", "reads"], &rows);
    for points in &found.shorts {
        page.paragraph("  ", &format!("joined to each other: {}", own.names(points)));
    }
    let is_done = *written != Err(NoCable::Unfinished);
    if is_done && !found.nowhere.is_empty() {
        let nowhere: Vec<String> = found.nowhere.iter().map(|far| own.name(*far)).collect();
        let what =
            if own.is_bare() { "end in no contact" } else { "of the other end have no way to this one" };
        page.paragraph("  ", &format!("{what}: {}", nowhere.join(", ")));
    }
    if is_done {
        not_tried(page, own, found);
    }
    page.line("");
    match written {
        Ok(file) => {
            page.line(format!("written: {file}"));
            page.line(format!("use it: solderside design CONTROLLER PORT --cable {}", run.head.cable));
        }
        Err(NoCable::Unfinished) => {
            let file = run.file.display();
            page.paragraph(
                "",
                &format!("Left after {taken}, which are kept in {file}. The same command goes on."),
            );
        }
        Err(none) => {
            page.paragraph(
                &format!("{} ", Tone::Bad.of("No cable file:")),
                &format!("{none}; {}", none.help()),
            );
        }
    }
}

/// As the meter shows it: nobody reads 400 mΩ there.
fn shown(ohms: Ohms) -> String {
    if ohms.get() < 1000.0 { format!("{} Ω", significant(ohms.get(), 3)) } else { ohms.to_string() }
}

/// What the survey does not know.
fn not_tried(page: &mut Page, own: &UnknownCable, found: &Found) {
    let empty = found.contacts.values().filter(|wiring| !matches!(wiring, Wiring::To { .. })).count();
    if own.is_bare() && empty > 1 {
        page.paragraph("  ", "not tried: the contacts that go nowhere against each other");
    }
    if found.untried_pairs > 0 {
        let pairs = found.untried_pairs;
        page.paragraph(
            "  ",
            &format!("not tried: whether any of {pairs} pairs of contacts are joined inside; the test of the finished lead does"),
        );
    }
}
