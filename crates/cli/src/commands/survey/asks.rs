//! What is asked during a survey: short, for somebody who has both hands full.

use solderside_meter::survey::{Bunch, Far, SurveyReading, Tail, Touch, UnknownCable};
use solderside_profile::{capital, listed};
use solderside_quantity::Metres;
use solderside_trade::{Connector, ContactId, Side};

use super::Run;
use crate::page::Page;
use crate::tone::Tone;

/// What lies on the bench, in one line.
pub fn about(unknown: &UnknownCable) -> String {
    let end = unknown.end.with_article();
    match &unknown.tail {
        Tail::Moulded(other) => format!("{end} at one end, {} at the other", other.with_article()),
        Tail::Cores { colours, drain } => {
            let cores = match colours.len() {
                1 => "1 bare core".to_owned(),
                count => format!("{count} bare cores"),
            };
            let drain = if *drain { " and a drain" } else { "" };
            format!("{end} at one end, {cores}{drain} at the other")
        }
    }
}

/// What to do before the first reading.
pub fn opening(run: &Run, columns: usize) -> String {
    let own = &run.head.unknown;
    let mut page = Page::in_columns(columns);
    let about = format!("Survey of the cable `{}`: {}", run.head.cable, about(own));
    page.paragraph("", &Tone::Strong.of(&about));
    let progress = run.survey.progress();
    if run.survey.next().is_none() {
        return page.finish();
    }
    let minutes = (progress.time_left.get() / 60.0).ceil();
    let left = format!("about {}, {minutes:.0} min", readings(progress.readings_left));
    if progress.readings > 0 {
        let (file, next) = (run.file.display(), progress.readings + 1);
        page.paragraph("", &format!("Taken up from {file} at reading {next}: {left} to go."));
        page.line("");
        return page.finish();
    }
    let least = run.survey.least_readings();
    page.paragraph(
        "",
        &format!("By judgement {left}. If the cores may be in any order, no plan is sure to do with fewer than {least}."),
    );
    page.heading("Before you begin");
    page.paragraph("  - ", "Unplug the cable at both ends.");
    page.paragraph(
        "  - ",
        "Set the meter to ohms, its lowest range, and hold the probes together: it must read below 1 Ω. A buzzer \
         does too, but calls a bad crimp good.",
    );
    if own.is_bare() {
        page.paragraph("  - ", "Spread the bare ends: none touches another. Have two crocodile clips ready.");
    }
    if !own.alike().is_empty() {
        let names: Vec<String> = own.alike().into_iter().map(|far| own.name(far)).collect();
        let names = listed(names.iter().map(String::as_str), "and");
        page.paragraph(
            "  - ",
            &format!("Mark the cores of one colour with tape, in the order in which they lie: {names}."),
        );
    }
    page.paragraph("  - ", "Into holes that are too narrow for a probe goes the leg of a resistor.");
    faces(&mut page, own);
    page.line("");
    page.paragraph("", "Type what the meter shows: `0.4`, `1.2k`, `open` (OL). Or `undo`, `leave`, `?`.");
    if own.is_bare() {
        let example = own.far().first().map_or_else(String::new, |far| own.name(*far).to_lowercase());
        page.paragraph(
            "",
            &format!(
                "If you slide on and another one reads, say which: `{example} 0.4`, or `3 0.4` for a contact."
            ),
        );
    }
    page.line("");
    page.finish()
}

/// The connectors as one looks into them, so that nobody counts from the wrong side.
fn faces(page: &mut Page, own: &UnknownCable) {
    let other = if let Tail::Moulded(other) = own.tail { Some(other) } else { None };
    for connector in [Some(own.end), other.filter(|other| *other != own.end)].into_iter().flatten() {
        let rows = face(connector);
        if !rows.is_empty() {
            page.paragraph("  - ", &format!("The {connector}, as you look into it:"));
            for row in rows {
                page.line(format!("        {row}"));
            }
        }
    }
}

/// The rows of a connector's mating face, top first; none if its contacts do not lie in rows.
fn face(connector: Connector) -> Vec<String> {
    /// Columns of text to a contact.
    const PITCH: f64 = 4.0;
    if connector.family.rows().is_empty() {
        return Vec::new();
    }
    let mut placed: Vec<(Metres, Metres, ContactId)> = (connector.family.contact_ids())
        .filter_map(|contact| {
            let place = connector.place(contact, Side::Mating)?;
            Some((place.y, place.x, contact))
        })
        .collect();
    let order = |a: f64, b: f64| a.total_cmp(&b);
    placed.sort_by(|a, b| order(b.0.get(), a.0.get()).then(order(a.1.get(), b.1.get())));
    let left = placed.iter().map(|(_, x, _)| x.get()).fold(f64::INFINITY, f64::min);
    let pitch = connector.family.pitch().value.get();
    placed
        .chunk_by(|a, b| a.0 == b.0)
        .map(|row| {
            row.iter().fold(String::new(), |line, (_, x, contact)| {
                #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a few columns")]
                let column = ((x.get() - left) / pitch * PITCH).round() as usize;
                format!("{line:<column$}{contact}")
            })
        })
        .collect()
}

/// Where the probes go next.
pub fn step(run: &Run, touch: &Touch, last: Option<&Touch>, columns: usize) -> String {
    let own = &run.head.unknown;
    let progress = run.survey.progress();
    let mut page = Page::in_columns(columns);
    let number = progress.readings + 1;
    let mark = format!("{number:>3}. ");
    let text = match touch {
        Touch::Across(one, other) => {
            let bunch = |bunch| own.names(bunch);
            let clips = [one, other]
                .into_iter()
                .filter(|own| own.len() > 1)
                .map(|own| format!("Clip together {}.", bunch(own)));
            let clips: Vec<String> = clips.collect();
            let probes = match clips.len() {
                0 => format!("{} to {}.", bunch(one), bunch(other)),
                1 => format!(
                    "One probe on the clip, the other on {}.",
                    bunch(if one.len() > 1 { other } else { one })
                ),
                _ => "One probe on each clip.".to_owned(),
            };
            format!("{} {probes} Expected: `open`.", clips.join(" "))
        }
        Touch::Through(contact, bunch) => {
            let names = at_the_other_end(own, bunch);
            let contact_name = match &own.tail {
                Tail::Moulded(_) => format!("{} of the {}", at_the_contact(*contact), own.end),
                Tail::Cores { .. } => at_the_contact(*contact),
            };
            let is_clip = bunch.len() > 1;
            match last {
                Some(Touch::Through(_, last)) if last == bunch && is_clip => {
                    format!("The clip stays. One probe on {contact_name}, the other on the clip.")
                }
                Some(Touch::Through(_, last)) if last == bunch => {
                    format!("Stay on {names}, the other probe on {contact_name}.")
                }
                _ if is_clip && bunch.len() == own.far().len() => {
                    format!(
                        "Clip all bare ends together. One probe on {contact_name}, the other on the clip."
                    )
                }
                _ if is_clip => {
                    format!("Clip together {names}. One probe on {contact_name}, the other on the clip.")
                }
                Some(Touch::Through(last, before)) if last == contact && before.len() == 1 => {
                    format!("Stay on {contact_name}, the other probe on {names}.")
                }
                Some(last) if clipped(last) > 0 => {
                    format!(
                        "Take the clips off and spread the ends. One probe on {contact_name}, the other on {names}."
                    )
                }
                Some(_) | None => format!("One probe on {contact_name}, the other on {names}."),
            }
        }
    };
    page.paragraph(&mark, &text);
    let (known, all) = (progress.contacts_known, progress.contacts);
    page.paragraph(
        "     ",
        &format!("({known} of {all} contacts known, about {} left)", readings(progress.readings_left)),
    );
    page.finish()
}

/// A contact of the moulded end.
pub fn at_the_contact(contact: ContactId) -> String {
    match contact {
        ContactId::Shell => "the shell".to_owned(),
        ContactId::Number(_) | ContactId::Letter(_) => format!("contact {contact}"),
    }
}

/// What a probe touches at the other end.
pub fn at_the_other_end(own: &UnknownCable, bunch: &Bunch) -> String {
    match (&own.tail, bunch.first()) {
        (Tail::Moulded(other), Some(Far::Contact(contact))) => {
            format!("{} of the {other}", at_the_contact(*contact))
        }
        (Tail::Moulded(_) | Tail::Cores { .. }, _) => own.names(bunch),
    }
}

fn readings(count: f64) -> String {
    let count = count.round();
    if count <= 1.0 { "1 reading".to_owned() } else { format!("{count:.0} readings") }
}

/// How many bunches of a measurement need a clip.
fn clipped(touch: &Touch) -> usize {
    match touch {
        Touch::Across(one, other) => [one, other].into_iter().filter(|bunch| bunch.len() > 1).count(),
        Touch::Through(_, bunch) => usize::from(bunch.len() > 1),
    }
}

/// A reading that was taken back.
pub fn undone(own: &UnknownCable, undone: Option<&SurveyReading>) -> String {
    match undone {
        Some(SurveyReading { touch, reads, .. }) => {
            let [one, other] = own.words(touch);
            format!("     Taken back: {one} to {other}, {reads}.\n")
        }
        None => "     There is no reading to take back.\n".to_owned(),
    }
}

/// A line that is no reading.
pub fn not_understood(error: &str, columns: usize) -> String {
    let mut page = Page::in_columns(columns);
    page.paragraph("     ", &capital(error));
    page.finish()
}

/// What can be typed.
pub fn help(columns: usize) -> String {
    let mut page = Page::in_columns(columns);
    let rows = [
        ["0.4   1.2k   3M", "what the meter shows, in ohms"],
        ["open", "it shows OL, or a lone 1 at the left: no way"],
        ["beep   no beep", "the buzzer's answer; it cannot tell a bad crimp from a good one"],
        ["bn 0.4", "the same contact, but at another core: slide along until one reads"],
        ["3 0.4", "the same core, but at another contact"],
        ["3 bn 0.4", "another contact and another core"],
        ["undo", "take the last reading back"],
        ["leave", "stop; every reading is kept, and the same command goes on"],
    ];
    page.table(["", ""], &rows.map(|row| row.map(str::to_owned)));
    page.finish()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_face_is_numbered_as_one_looks_into_it() {
        let rows = |text: &str| face(Connector::parse(text).unwrap());
        assert_eq!(rows("DE-9 socket"), ["5   4   3   2   1", "  9   8   7   6"]);
        assert_eq!(rows("DE-9 plug"), ["1   2   3   4   5", "  6   7   8   9"]);
        assert!(rows("DIN 8/262 plug").is_empty());
    }
}
