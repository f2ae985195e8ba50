//! The key at the foot of a sheet: what the pointer means, and how long a few millimetres are.

use solderside_lead::{self as lead, EndId, Part, PartId};
use solderside_trade::{Body, ChangeoverPart};

use super::geometry::{Placed, Point};

/// Where the key stands, and what it says.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Key {
    pub(crate) at: Point,
    /// One for each scale on the sheet; none for strips, whose pitch no standard names.
    pub(crate) bars: Vec<Bar>,
    /// What is to be known of the parts.
    pub(crate) lines: Vec<&'static str>,
}

/// A length with its words.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Bar {
    pub(crate) length: f64,
    pub(crate) text: String,
}

/// Of the pointer's line, or of one line for the pointer and one bar.
const HEIGHT: f64 = 26.0;
/// What the band of a diode means, in lines that fit the narrowest sheet.
const OF_DIODES: [&str; 2] = [
    "The band marks a diode’s cathode: current leaves there.",
    "A reversed diode blocks, and its line is dead.",
];
const OF_RESISTORS: [&str; 1] = ["A resistor works either way round."];
/// What a board's dots are, and from where it is seen.
const OF_BOARDS: [&str; 2] = [
    "The board is seen from the side of the parts; wires are",
    "soldered on the other. Its holes are 2.54 mm apart.",
];
const OF_CHIPS: [&str; 1] = ["A chip’s leg 1 is the one left below the notch."];
const OF_TRANSISTORS: [&str; 2] = [
    "A transistor’s flat side faces you, its legs down. Makers",
    "differ: compare the sheet of the one in your hand.",
];
const OF_SWITCHES: [&str; 2] = [
    "A switch is seen from its lever: C is its common, 1 and 2",
    "are its throws. Find them with a buzzer in both positions.",
];
const OF_SECOND_POLES: [&str; 1] = ["The lugs marked b are those of its second pole."];
const OF_ON_OFF: [&str; 2] =
    ["A switch with two lugs, C and 1, is on in its first", "position: a buzzer across them sounds there."];

/// From a line about parts to the next.
pub(crate) const LINE: f64 = 14.0;
/// From a bar to the next.
pub(crate) const STEP: f64 = 16.0;

/// Where ten millimetres are longer than this, five are shown.
const LONGEST: f64 = 120.0;

impl Key {
    /// The key to these ends, which has no place yet.
    pub(crate) fn new(ends: &[Placed], parts: &[Part]) -> Self {
        let mut scales: Vec<(f64, String)> = Vec::new();
        let is_strip = |end: &Placed| matches!(end.connector.family.body(), Body::Strip);
        for end in ends.iter().filter(|end| !is_strip(end)) {
            if scales.iter().all(|(scale, _)| (scale - end.scale).abs() > 0.001) {
                scales.push((end.scale, format!(" of the {}", end.connector.family)));
            }
        }
        if let [(_, of)] = scales.as_mut_slice()
            // A donor's points are drawn to no scale at all.
            && !ends.iter().any(|end| is_strip(end) && end.id != EndId::Donor)
        {
            of.clear();
        }
        let bar = |(scale, of): (f64, String)| {
            let millimetres = if 10.0 * scale > LONGEST { 5.0 } else { 10.0 };
            Bar { length: millimetres * scale, text: format!("{millimetres} mm{of}") }
        };
        let has_diode = parts.iter().any(|part| matches!(part.id(), PartId::Diode(_)));
        let has_resistor = parts.iter().any(|part| matches!(part.id(), PartId::Resistor(_)));
        let diodes = OF_DIODES.into_iter().filter(|_| has_diode);
        let has = |kind: fn(PartId) -> bool| parts.iter().any(|part| kind(part.id()));
        let has_chip = has(|id| matches!(id, PartId::Chip(_)));
        let is_switch = |kinds: &[ChangeoverPart]| {
            parts
                .iter()
                .any(|part| matches!(part.body, lead::Body::Changeover(kind) if kinds.contains(&kind)))
        };
        let has_on_off = is_switch(&[ChangeoverPart::OnOff]);
        let has_throws = is_switch(&[ChangeoverPart::OnePole, ChangeoverPart::TwoPoles]);
        let has_switch = has_on_off || has_throws;
        let has_transistor = has(|id| matches!(id, PartId::Bipolar(_) | PartId::Mosfet(_)));
        let boards = OF_BOARDS.into_iter().filter(|_| has_chip || has_transistor || has_switch);
        let chips = OF_CHIPS.into_iter().filter(|_| has_chip);
        let transistors = OF_TRANSISTORS.into_iter().filter(|_| has_transistor);
        let resistors = OF_RESISTORS.into_iter().filter(|_| has_resistor);
        let switches = (OF_SWITCHES.into_iter().filter(|_| has_throws))
            .chain(OF_SECOND_POLES.into_iter().filter(|_| is_switch(&[ChangeoverPart::TwoPoles])))
            .chain(OF_ON_OFF.into_iter().filter(|_| has_on_off));
        let lines =
            diodes.chain(resistors).chain(boards).chain(chips).chain(transistors).chain(switches).collect();
        Self { at: Point { x: 0.0, y: 0.0 }, bars: scales.into_iter().map(bar).collect(), lines }
    }

    /// The height that it takes.
    #[expect(clippy::cast_precision_loss, reason = "a sheet has few scales")]
    pub(crate) fn height(&self) -> f64 {
        let bars = if self.bars.len() < 2 { HEIGHT } else { HEIGHT + STEP * self.bars.len() as f64 };
        bars + LINE * self.lines.len() as f64
    }

    /// The y of the first line's baseline.
    #[expect(clippy::cast_precision_loss, reason = "a sheet has few lines")]
    pub(crate) fn first_line(&self) -> f64 {
        self.at.y + self.height() - HEIGHT / 2.0 - LINE * self.lines.len() as f64 + 4.0
    }

    /// Sets it at the foot of a sheet so high, around an x.
    pub(crate) fn at(self, x: f64, sheet: f64) -> Self {
        let y = sheet - self.height() + HEIGHT / 2.0;
        Self { at: Point { x, y }, ..self }
    }
}
