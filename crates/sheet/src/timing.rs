//! The timing diagram: a run of the machine's reading, a line a row, a step a column.
//!
//! Levels are drawn as trades draw them: a line at the top for high, at the bottom for low, in the middle for let go,
//! a hatched box for what is not known. A dotted line marks the end of each step, where the machine reads, and what it
//! reads there: a full dot for pressed, a ring for not pressed, a cross for neither. Nothing is told by colour alone.

use std::fmt::Write;

use maud::{Markup, html};
use solderside_lead::Assembly;
use solderside_proof::{AxisProof, LineKind, LineLevel, LineRead, Timing, TimingLine, TimingStep};

use crate::words::{clean, listed};

const INK: &str = "#1b1f23";
const FAINT: &str = "#8a939b";
const FONT: &str = "system-ui, sans-serif";

/// The room of a row, of its wave, and above its first one.
const ROW: f64 = 44.0;
const WAVE: f64 = 18.0;
const HEAD: f64 = 62.0;
/// The slope of an edge.
const EDGE: f64 = 4.0;
/// A letter of the size that is used most, at its widest.
const LETTER: f64 = 6.3;
const SMALL: f64 = 10.0;
const MARGIN: f64 = 14.0;
/// Steps stand side by side up to this width; more follow below.
const WIDEST: f64 = 1240.0;
/// A letter of the title.
const BOLD: f64 = 8.4;
const TITLE: f64 = 18.0;
/// The room below a band of rows.
const GAP: f64 = 24.0;
/// The room of the key, and of each axis below it.
const KEY: f64 = 58.0;
const AXIS: f64 = 16.0;

/// Draws a run of a lead's machine as one SVG document.
pub fn timing_drawing(assembly: &Assembly, timing: &Timing) -> String {
    let axes: Vec<String> = timing.axes.iter().map(axis_in_words).collect();
    let mut sheet = Sheet::of(timing);
    sheet.width = sheet.width.max(widest(axes.iter().cloned(), 0.0) + 2.0 * MARGIN);
    let title = format!("Timing of {}", clean(&assembly.lead.title));
    let lines = wrapped(&title, (sheet.width - 2.0 * MARGIN) / BOLD);
    let pressed = pressed(timing);
    let bands = timing.steps.len().div_ceil(sheet.side_by_side).max(1);
    let top = MARGIN + TITLE * in_units(lines.len());
    let below = top + sheet.band * in_units(bands) + KEY;
    let height = below + AXIS * in_units(timing.axes.len());
    let told: Vec<String> =
        timing.lines.iter().map(|line| in_words(timing, line)).chain(axes.iter().cloned()).collect();
    let picture = html! {
        svg xmlns="http://www.w3.org/2000/svg" viewBox=(format!("0 0 {} {}", n(sheet.width), n(height)))
            width=(n(sheet.width)) height=(n(height)) role="img" aria-labelledby="timing-title timing-description"
            font-family=(FONT) font-size=(n(SMALL)) fill=(INK) {
            title id="timing-title" { (title) }
            desc id="timing-description" { (pressed) ". " (told.join(" ")) }
            defs {
                pattern id="unknown" width="5" height="5" patternUnits="userSpaceOnUse" patternTransform="rotate(45)" {
                    path d="M0 0V5" stroke=(INK) stroke-width="1.2" {}
                }
            }
            rect width="100%" height="100%" fill="#fff" {}
            @for (at, line) in (1..).zip(&lines) {
                text x=(n(MARGIN)) y=(n(MARGIN + TITLE * in_units(at) - 6.0)) font-size="14" font-weight="700" { (line) }
            }
            text x=(n(MARGIN)) y=(n(top + 8.0)) { (pressed) }
            @for band in 0..bands { (sheet.band(timing, band, top + sheet.band * in_units(band))) }
            (key(MARGIN, below - KEY + 6.0))
            @for (at, axis) in axes.iter().enumerate() {
                text x=(n(MARGIN)) y=(n(below + AXIS * in_units(at) + 6.0)) { (axis) }
            }
        }
    };
    picture.into_string()
}

/// A text in lines of no more than so many letters, but for words that are longer.
fn wrapped(text: &str, letters: f64) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for word in text.split_whitespace() {
        match lines.last_mut() {
            Some(line) if in_units(line.chars().count() + 1 + word.chars().count()) <= letters => {
                line.push(' ');
                *line += word;
            }
            Some(_) | None => lines.push(word.to_owned()),
        }
    }
    lines
}

/// "With `up` and `a` pressed".
fn pressed(timing: &Timing) -> String {
    if timing.pressed.is_empty() {
        "With nothing pressed".to_owned()
    } else {
        format!("With {} pressed", listed(timing.pressed.iter().map(|control| clean(control.as_str()))))
    }
}

/// Measures of one picture.
struct Sheet {
    /// Where the first step begins.
    left: f64,
    /// The room of a step.
    step: f64,
    /// The height of a band of rows.
    band: f64,
    side_by_side: usize,
    width: f64,
}

impl Sheet {
    fn of(timing: &Timing) -> Self {
        let names = timing.lines.iter().flat_map(|line| [line.leg.to_string(), kind_and_function(line)]);
        let left = MARGIN + widest(names, 60.0) + 12.0;
        let actions = timing.lines.iter().flat_map(|line| line.reads.iter().flatten().map(label));
        let steps = timing.steps.iter().flat_map(|step| [clean(&step.name), wait(step)]);
        let step = widest(steps, 40.0).max(widest(actions, 0.0) + 6.0) + 8.0;
        let fits = |count: &usize| left + step * in_units(*count) + MARGIN <= WIDEST;
        let side_by_side = (1..=timing.steps.len()).take_while(fits).last().unwrap_or(1);
        let band = HEAD + ROW * in_units(timing.lines.len()) + GAP;
        let width = (left + step * in_units(side_by_side) + MARGIN).max(460.0);
        Self { left, step, band, side_by_side, width }
    }

    fn band(&self, timing: &Timing, band: usize, top: f64) -> Markup {
        let first = band * self.side_by_side;
        let steps: Vec<(f64, &TimingStep)> = timing
            .steps
            .iter()
            .skip(first)
            .take(self.side_by_side)
            .enumerate()
            .map(|(at, step)| (self.left + self.step * in_units(at), step))
            .collect();
        let bottom = top + self.band - GAP;
        html! {
            @for (x, step) in &steps {
                @let middle = x + self.step / 2.0;
                text x=(n(middle)) y=(n(top + 34.0)) text-anchor="middle" font-weight="700" { (clean(&step.name)) }
                text x=(n(middle)) y=(n(top + 47.0)) text-anchor="middle" { (wait(step)) }
                path d=(format!("M{} {}V{}", n(x + self.step), n(top + 24.0), n(bottom))) stroke=(FAINT)
                    stroke-dasharray="1 3" fill="none" {}
            }
            @for (row, line) in timing.lines.iter().enumerate() {
                @let y = top + HEAD + ROW * in_units(row);
                text x=(n(MARGIN)) y=(n(y + 8.0)) font-weight="700" { (line.leg) }
                text x=(n(MARGIN)) y=(n(y + 20.0)) { (kind_and_function(line)) }
                (self.wave(line, first, steps.len(), y))
            }
        }
    }

    /// One line's levels in the steps of a band.
    fn wave(&self, line: &TimingLine, first: usize, count: usize, y: f64) -> Markup {
        let levels: Vec<LineLevel> = line.levels.iter().skip(first).take(count).copied().collect();
        let reads = line.reads.iter().skip(first).take(count);
        let mut path = String::new();
        let mut before = first.checked_sub(1).and_then(|at| line.levels.get(at)).copied();
        for (at, level) in levels.iter().enumerate() {
            let (from, to) = (self.left + self.step * in_units(at), self.left + self.step * in_units(at + 1));
            match (height(*level), before.and_then(height)) {
                (Some(own), Some(last)) if at > 0 => {
                    let edge = if (own - last).abs() > 0.1 { EDGE } else { 0.0 };
                    _ = write!(path, "L{} {}L{} {}", n(from + edge), n(y + own), n(to), n(y + own));
                }
                (Some(own), _) => {
                    _ = write!(path, "M{} {}L{} {}", n(from), n(y + own), n(to), n(y + own));
                }
                (None, _) => {}
            }
            before = Some(*level);
        }
        html! {
            g data-line=(line.leg) {
                @let right = self.left + self.step * in_units(levels.len());
                @for guide in [0.0, WAVE] {
                    path d=(format!("M{} {}H{}", n(self.left), n(y + guide), n(right))) stroke="#d0d4d8"
                        stroke-width="0.7" fill="none" {}
                }
                @for (at, level) in levels.iter().enumerate() {
                    @if *level == LineLevel::Unknown {
                        rect x=(n(self.left + self.step * in_units(at))) y=(n(y)) width=(n(self.step)) height=(n(WAVE))
                            fill="url(#unknown)" stroke=(INK) stroke-width="1" {}
                    }
                }
                path d=(path) stroke=(INK) stroke-width="1.8" fill="none" stroke-linejoin="round" {}
                @for (at, read) in reads.enumerate() {
                    @if let Some(read) = read {
                        @let x = self.left + self.step * in_units(at + 1);
                        @let own = levels.get(at).copied().and_then(height).unwrap_or(WAVE / 2.0);
                        (mark(x - 5.0, y + own, read.answer))
                        text x=(n(x - 3.0)) y=(n(y + WAVE + 13.0)) font-size="9" text-anchor="end" { (label(read)) }
                    }
                }
            }
        }
    }
}

/// How far below a row's top a level is drawn; none for what has no level.
const fn height(level: LineLevel) -> Option<f64> {
    match level {
        LineLevel::High => Some(0.0),
        LineLevel::LetGo => Some(WAVE / 2.0),
        LineLevel::Low => Some(WAVE),
        LineLevel::Unknown => None,
    }
}

/// What the machine read, as a shape.
fn mark(x: f64, y: f64, answer: Option<bool>) -> Markup {
    html! {
        @match answer {
            Some(true) => circle cx=(n(x)) cy=(n(y)) r="3.6" fill=(INK) stroke=(INK) stroke-width="1.2" {},
            Some(false) => circle cx=(n(x)) cy=(n(y)) r="3.6" fill="#fff" stroke=(INK) stroke-width="1.4" {},
            None => {
                circle cx=(n(x)) cy=(n(y)) r="5" fill="#fff" {}
                path d=(format!("M{} {}l7 7m0 -7l-7 7", n(x - 3.5), n(y - 3.5))) stroke=(INK) stroke-width="1.8" fill="none" {}
            },
        }
    }
}

/// The action that is read, or that a fixed level is.
fn label(read: &LineRead) -> String {
    read.action.as_ref().map_or_else(|| "expected".to_owned(), |action| clean(action.as_str()))
}

fn kind_and_function(line: &TimingLine) -> String {
    let function = clean(&line.function);
    match line.kind {
        LineKind::Driven => format!("{function} (machine drives)"),
        LineKind::Output => function,
        LineKind::Read => format!("{function} (machine reads)"),
    }
}

/// "waits 14 µs".
fn wait(step: &TimingStep) -> String {
    step.hold.map_or_else(|| "waits: not known".to_owned(), |hold| format!("waits {}", hold.low()))
}

/// What the shapes mean.
fn key(x: f64, y: f64) -> Markup {
    let levels = [(0.0, "high"), (WAVE, "low"), (WAVE / 2.0, "let go")];
    let wide = 92.0;
    html! {
        g {
            @for (at, (level, word)) in levels.into_iter().enumerate() {
                @let from = x + wide * in_units(at);
                rect x=(n(from)) y=(n(y)) width="26" height=(n(WAVE)) fill="none" stroke=(FAINT) stroke-dasharray="1 3" {}
                path d=(format!("M{} {}h26", n(from), n(y + level))) stroke=(INK) stroke-width="1.8" {}
                text x=(n(from + 32.0)) y=(n(y + 13.0)) { (word) }
            }
            rect x=(n(x + wide * 3.0)) y=(n(y)) width="26" height=(n(WAVE)) fill="url(#unknown)" stroke=(INK) {}
            text x=(n(x + wide * 3.0 + 32.0)) y=(n(y + 13.0)) { "not known" }
            @for (at, answer, word) in [(4.0, Some(true), "read as pressed, or as expected"), (200.0, Some(false), "read as not"), (292.0, None, "read as neither")] {
                @let from = x + at;
                (mark(from, y + 34.0, answer))
                text x=(n(from + 9.0)) y=(n(y + 37.5)) { (word) }
            }
        }
    }
}

/// "port.7 (select), driven: high, low."
fn in_words(timing: &Timing, line: &TimingLine) -> String {
    let steps = line.levels.iter().zip(&timing.steps).zip(&line.reads).map(|((level, step), read)| {
        let told = match read {
            None => String::new(),
            Some(read) => match (&read.action, read.answer) {
                (Some(action), Some(true)) => format!(", {action} pressed"),
                (Some(action), Some(false)) => format!(", {action} not pressed"),
                (Some(action), None) => format!(", {action} as neither"),
                (None, Some(true)) => ", as expected".to_owned(),
                (None, Some(false)) => ", not as expected".to_owned(),
                (None, None) => ", neither as expected nor not".to_owned(),
            },
        };
        format!("{} {}{told}", clean(&step.name), level.as_str())
    });
    let steps: Vec<String> = steps.collect();
    format!("{} ({}), {}: {}.", line.leg, clean(&line.function), line.kind.as_str(), steps.join("; "))
}

/// "Axis x at port.3: 24.2 µs at low, 574 µs at centre, 1.12 ms at high; from 10 µs to 2 ms can be measured."
fn axis_in_words(axis: &AxisProof) -> String {
    let times = axis.travel.iter().map(|time| {
        let typical = time.typical.map_or_else(|| "never charged".to_owned(), |typical| typical.to_string());
        format!("{typical} at {}", time.position.as_str())
    });
    let times: Vec<String> = times.collect();
    let (shortest, longest) = axis.reads;
    format!(
        "Axis {} at {}: {}; from {shortest} to {longest} can be measured.",
        clean(axis.axis.as_str()),
        axis.leg,
        times.join(", ")
    )
}

fn widest(texts: impl Iterator<Item = String>, least: f64) -> f64 {
    texts.map(|text| in_units(text.chars().count()) * LETTER).fold(least, f64::max)
}

/// A count as units of the drawing.
fn in_units(count: usize) -> f64 {
    u32::try_from(count).map_or(f64::from(u32::MAX), f64::from)
}

/// A number with a tenth at most.
fn n(value: f64) -> String {
    let text = format!("{value:.1}");
    text.strip_suffix(".0").map_or(text.clone(), str::to_owned)
}

#[cfg(test)]
mod tests {
    use solderside_lead::State;
    use solderside_proof::timing;

    use super::*;
    use crate::shelf::{game_stick_to_godwit, stick_to_plover};

    fn run(pressed: &[&str]) -> (Assembly, Timing) {
        let assembly = stick_to_plover();
        let controls = assembly.controllers[0].controls();
        let pressed: State =
            controls.into_iter().filter(|control| pressed.contains(&control.as_str())).cloned().collect();
        let timing = timing(&assembly, &pressed).expect("the shelf's values make a circuit");
        (assembly, timing)
    }

    #[test]
    fn every_line_is_drawn_once_and_every_reading_marked() {
        let (assembly, timing) = run(&["up"]);
        let picture = timing_drawing(&assembly, &timing);
        for line in &timing.lines {
            assert_eq!(picture.matches(&format!("data-line=\"{}\"", line.leg)).count(), 1);
        }
        // The key has one mark of each kind.
        let count = |answer: Option<bool>| {
            let reads = timing.lines.iter().flat_map(|line| line.reads.iter().flatten());
            reads.filter(|read| read.answer == answer).count() + 1
        };
        let full = format!("r=\"3.6\" fill=\"{INK}\"");
        assert_eq!(picture.matches(&full).count(), count(Some(true)));
        assert_eq!(picture.matches("r=\"3.6\" fill=\"#fff\"").count(), count(Some(false)));
        assert_eq!(picture.matches("l7 7m0 -7l-7 7").count(), count(None));
    }

    #[test]
    fn the_picture_is_told_in_words_and_does_not_change() {
        let (assembly, timing) = run(&["up"]);
        let picture = timing_drawing(&assembly, &timing);
        assert!(picture.contains("With up pressed. "));
        assert!(picture.contains("port.1 (up), read: strobe-low low, up pressed; strobe-high low."));
        assert_eq!(picture, timing_drawing(&assembly, &timing));
    }

    #[test]
    fn axes_stand_below_with_their_times_and_have_room() {
        let assembly = game_stick_to_godwit();
        let timing = timing(&assembly, &State::new()).expect("the shelf's values make a circuit");
        let picture = timing_drawing(&assembly, &timing);
        let told = "Axis x at port.3: 24.2 µs at low, 574 µs at centre, 1.12 ms at high; from 10 µs to 2 ms can be measured.";
        assert_eq!(picture.matches(told).count(), 2, "in the picture and in its description");
        let width: f64 = picture
            .split("width=\"")
            .nth(1)
            .and_then(|rest| rest.split('"').next())
            .unwrap()
            .parse()
            .unwrap();
        assert!(width >= in_units(told.chars().count()) * LETTER);
    }

    #[test]
    fn steps_that_have_no_room_stand_below_with_the_names_again() {
        let (assembly, mut timing) = run(&[]);
        let step = timing.steps[0].clone();
        for _ in 0..40 {
            timing.steps.push(step.clone());
            for line in &mut timing.lines {
                line.levels.push(LineLevel::Unknown);
                line.reads.push(None);
            }
        }
        let picture = timing_drawing(&assembly, &timing);
        assert!(picture.matches("data-line=\"port.1\"").count() > 1);
        assert!(picture.matches("url(#unknown)").count() >= 40 * timing.lines.len());
        let (assembly, mut none) = run(&[]);
        none.steps.clear();
        assert!(timing_drawing(&assembly, &none).starts_with("<svg "));
    }
}
