//! The parts that sit on a board, as they lie on the sheet: how large they are, and where their legs are.

use solderside_lead::{Body, Part};
use solderside_trade::{ChangeoverPart, ContactId, TransistorPart};

use super::geometry::Point;
use super::label::{Bounds, width};
use crate::words::part_name;

/// From one hole of a board to the next: a tenth of an inch.
pub(crate) const PITCH: f64 = 18.0;

/// A part on a board, seen from the side of the parts.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Seat {
    pub(crate) part: Part,
    /// Its middle.
    pub(crate) at: Point,
    /// From leg to leg.
    pub(crate) leg_pitch: f64,
    /// Whether the second leg of a part with two ends is the upper one.
    pub(crate) turned: bool,
}

/// From the middle of a chip to its legs; a dual in-line package is three tenths of an inch wide.
const TO_CHIP_LEG: f64 = 1.5 * PITCH;
const TO_RESISTOR_LEG: f64 = 2.0 * PITCH;
/// From a leg to the edge of what belongs to it.
const AROUND_LEG: f64 = 6.0;
pub(crate) const DISC: f64 = 12.0;
/// A transistor's case.
pub(crate) const CASE: [f64; 2] = [40.0, 26.0];
/// A switch's case.
pub(crate) const SWITCH: [f64; 2] = [64.0, 30.0];
/// Of what stands beside a part.
pub(crate) const NAME: f64 = 9.5;
pub(crate) const VALUE: f64 = 8.6;
/// From a part to the words beside it.
pub(crate) const TO_WORDS: f64 = 3.0;

impl Seat {
    /// A part whose middle is at nought; its legs are farther apart than a tenth of an inch where many wires go to
    /// them.
    pub(crate) fn new(part: Part, wires: usize) -> Self {
        const WIRES_IN_A_PITCH: usize = 2;
        let legs = part.body.legs().count().max(1);
        let wide = whole(wires.div_ceil(WIRES_IN_A_PITCH * legs).max(1));
        let leg_pitch = if part.body.sits_on_a_board() { PITCH * wide } else { PITCH };
        Self { part, at: Point { x: 0.0, y: 0.0 }, leg_pitch, turned: false }
    }

    /// Its legs, each where it goes through the board.
    pub(crate) fn legs(&self) -> Vec<(ContactId, Point)> {
        let at = |x: f64, y: f64| Point { x: self.at.x + x, y: self.at.y + y };
        let up = if self.turned { 1.0 } else { -1.0 };
        match self.part.body {
            Body::Diode(_) | Body::Resistor(_) => vec![
                (ContactId::Number(1), at(0.0, up * TO_RESISTOR_LEG)),
                (ContactId::Number(2), at(0.0, -up * TO_RESISTOR_LEG)),
            ],
            Body::Capacitor(_) => {
                vec![(ContactId::Number(1), at(-PITCH, PITCH)), (ContactId::Number(2), at(PITCH, PITCH))]
            }
            Body::Transistor(transistor) => (row(transistor).into_iter().zip([-1.0, 0.0, 1.0]))
                .map(|((contact, _), from_middle)| (contact, at(from_middle * self.leg_pitch, TO_CHIP_LEG)))
                .collect(),
            Body::Changeover(switch) => (lugs(switch).into_iter())
                .map(|(contact, [along, down])| {
                    (contact, at(along * self.leg_pitch, if down > 0.0 { TO_CHIP_LEG } else { -TO_CHIP_LEG }))
                })
                .collect(),
            Body::Chip(chip) => {
                // Numbered against the clock from the corner left below the notch.
                let count = chip.sheet().legs.len();
                let half = count / 2;
                let place = |leg: usize| {
                    let (along, y) =
                        if leg < half { (leg, TO_CHIP_LEG) } else { (count - 1 - leg, -TO_CHIP_LEG) };
                    at(self.leg_pitch * (whole(along) - whole(half - 1) / 2.0), y)
                };
                self.part.body.legs().zip((0..count).map(place)).collect()
            }
        }
    }

    /// Where one of its legs goes through the board.
    pub(crate) fn leg(&self, contact: ContactId) -> Option<Point> {
        self.legs().into_iter().find(|(own, _)| *own == contact).map(|(_, at)| at)
    }

    /// What stands beside it; nothing beside a chip and a transistor, which have it printed on them.
    pub(crate) fn words(&self) -> [String; 2] {
        match self.part.body {
            Body::Diode(_) | Body::Resistor(_) | Body::Capacitor(_) => {
                [part_name(self.part.id()), self.part.body.to_string()]
            }
            Body::Transistor(_) | Body::Chip(_) | Body::Changeover(_) => [String::new(), String::new()],
        }
    }

    /// The width of what stands beside it.
    fn words_width(&self) -> f64 {
        let [name, value] = self.words();
        width(&name, NAME, true).max(width(&value, VALUE, false))
    }

    /// From its middle to where the words beside it begin.
    pub(crate) fn words_from(&self) -> f64 {
        let half = match self.part.body {
            Body::Capacitor(_) => DISC,
            Body::Diode(_)
            | Body::Resistor(_)
            | Body::Transistor(_)
            | Body::Chip(_)
            | Body::Changeover(_) => 5.5,
        };
        half + TO_WORDS
    }

    /// The room that it takes with its legs and its words.
    pub(crate) fn bounds(&self) -> Bounds {
        let around = |left: f64, top: f64, right: f64, bottom: f64| Bounds {
            left: self.at.x - left,
            top: self.at.y - top,
            right: self.at.x + right,
            bottom: self.at.y + bottom,
        };
        let worded = self.words_from() + self.words_width() + TO_WORDS;
        let to_resistor_leg = TO_RESISTOR_LEG + AROUND_LEG;
        match self.part.body {
            Body::Diode(_) | Body::Resistor(_) => {
                around(PITCH / 2.0, to_resistor_leg, worded, to_resistor_leg)
            }
            Body::Capacitor(_) => {
                let half = PITCH + AROUND_LEG;
                around(half, DISC + 6.0, half.max(worded), PITCH + AROUND_LEG)
            }
            Body::Transistor(_) => {
                let half = (self.leg_pitch + AROUND_LEG).max(CASE[0] / 2.0 + 2.0);
                around(half, TO_CHIP_LEG, half, TO_CHIP_LEG + AROUND_LEG)
            }
            Body::Changeover(switch) => {
                let half = (self.leg_pitch + AROUND_LEG).max(SWITCH[0] / 2.0 + 2.0);
                let top = if switch.poles() > 1 { AROUND_LEG } else { 0.0 };
                around(half, TO_CHIP_LEG + top, half, TO_CHIP_LEG + AROUND_LEG)
            }
            Body::Chip(chip) => {
                let half = whole(chip.sheet().legs.len() / 2) * self.leg_pitch / 2.0;
                around(half, TO_CHIP_LEG + AROUND_LEG, half, TO_CHIP_LEG + AROUND_LEG)
            }
        }
    }
}

/// A transistor's legs from left to right, the flat side to the eye and the legs down, each with its name.
pub(crate) fn row(transistor: TransistorPart) -> [(ContactId, &'static str); 3] {
    let names = transistor.kind().legs();
    transistor.sheet().row.value.map(|name| {
        let at = (1..).zip(names).find(|(_, own)| *own == name).map_or(1, |(number, _)| number);
        (ContactId::Number(at), name)
    })
}

/// A switch's lugs seen from the side of its lever, in pitches from its middle, the first pole below: each common between
/// its throws (common practice, no source).
pub(crate) fn lugs(switch: ChangeoverPart) -> Vec<(ContactId, [f64; 2])> {
    let of_pole = 1 + switch.throws();
    let along: &[f64] = if switch.throws() > 1 { &[0.0, -1.0, 1.0] } else { &[-0.5, 0.5] };
    (0..switch.poles())
        .flat_map(|pole| {
            let down = if pole == 0 { 1.0 } else { -1.0 };
            (1..=of_pole)
                .zip(along)
                .map(move |(lug, along)| (ContactId::Number(pole * of_pole + lug), [*along, down]))
        })
        .collect()
}

/// A count as a length.
fn whole(count: usize) -> f64 {
    f64::from(u16::try_from(count).unwrap_or(u16::MAX))
}

#[cfg(test)]
mod tests {
    use solderside_lead::EndId;
    use solderside_trade::ChipPart;

    use super::*;

    fn seat(body: Body) -> Seat {
        Seat::new(Part { number: 1, body, sits: EndId::Port }, 1)
    }

    // 74HC157; 74HCT157 Quad 2-input multiplexer, rev. 7, figure 4: seen from above, the notch on the left, leg 1
    // stands left below, 8 right below, 9 right above and 16 left above.
    #[test]
    fn a_chip_seen_from_above_counts_against_the_clock_from_below_its_notch() {
        let seat = seat(Body::Chip(ChipPart::Hc157));
        let corner = |number: u8| {
            let at = seat.leg(ContactId::Number(number)).unwrap();
            [at.x > 0.0, at.y > 0.0]
        };
        assert_eq!([1, 8, 9, 16].map(corner), [[false, true], [true, true], [true, false], [false, false]]);
        let [first, second] = [1, 2].map(|leg| seat.leg(ContactId::Number(leg)).unwrap());
        assert!((second.x - first.x - PITCH).abs() < 1e-9);
        let across = seat.leg(ContactId::Number(16)).unwrap();
        assert!((across.x - first.x).abs() < 1e-9 && (first.y - across.y - 3.0 * PITCH).abs() < 1e-9);
    }

    #[test]
    fn a_transistors_legs_stand_as_its_sheet_says_with_the_flat_side_to_the_eye() {
        let read = |part: TransistorPart| {
            let mut legs = seat(Body::Transistor(part)).legs();
            legs.sort_by(|(_, a), (_, b)| a.x.total_cmp(&b.x));
            legs.into_iter().map(|(contact, _)| contact.to_string()).collect::<Vec<_>>().join(" ")
        };
        // BC547: collector, base, emitter; 2N7000: source, gate, drain.
        assert_eq!([TransistorPart::Bc547, TransistorPart::N2n7000].map(read), ["2 1 3", "3 1 2"]);
    }

    #[test]
    fn many_wires_set_a_chips_legs_farther_apart() {
        let part = Part { number: 1, body: Body::Chip(ChipPart::Hc157), sits: EndId::Port };
        let pitches = [32, 33].map(|wires| Seat::new(part, wires).leg_pitch / PITCH);
        assert!((pitches[0] - 1.0).abs() < 1e-9 && (pitches[1] - 2.0).abs() < 1e-9, "{pitches:?}");
    }
}
