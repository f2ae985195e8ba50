//! How a part can stand on a board: which holes its legs take, and what room its body takes above.

use solderside_lead::{Body, Part};
use solderside_trade::ContactId;

use super::hole::Hole;
use crate::drawing::transistor_row;

/// One way in which a part stands, counted from the corner with the lowest row and column.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Stance {
    /// The hole of each leg, in the order of the part's legs.
    pub(super) legs: Vec<Hole>,
    /// The rows and the columns of the rectangle that it takes with its legs; no other part stands in it.
    pub(super) rows: u16,
    pub(super) columns: u16,
    /// Whether a part that could lie stands on end.
    pub(super) upright: bool,
}

/// From leg to leg of a resistor or a diode that lies: a body of up to 7 mm, and 1.5 mm from it to each bend (from memory;
/// common practice, no source).
const LYING: u16 = 4;
/// From leg to leg of one that stands on end.
const UPRIGHT: u16 = 1;
/// From leg to leg of a small ceramic capacitor: 2.54 mm or 5.08 mm (common practice, no source).
const CERAMIC: [u16; 2] = [2, 1];
/// The rows of holes from one row of a chip's legs to the other, both counted: 7.62 mm.
const CHIP_ROWS: u16 = 4;

/// All ways in which a part can stand.
pub(super) fn stances(part: &Part) -> Vec<Stance> {
    match part.body {
        Body::Chip(chip) => {
            let columns = u16::try_from(chip.sheet().legs.len() / 2).unwrap_or(u16::MAX);
            // Seen from above, the notch to the left: numbered against the clock from left below.
            let first = (0..columns).map(|at| Hole::new(CHIP_ROWS - 1, at));
            let second = (0..columns).rev().map(|at| Hole::new(0, at));
            let legs = first.chain(second).collect();
            let notch_left = Stance { legs, rows: CHIP_ROWS, columns, upright: false };
            let notch_right = notch_left.turned().turned();
            vec![notch_left, notch_right]
        }
        Body::Transistor(transistor) => {
            // Seen from above, its flat side below: its legs as a sheet shows them, its round side in the row above.
            let row = transistor_row(transistor);
            let place =
                |contact| (0..).zip(&row).find(|(_, (own, _))| *own == contact).map_or(0, |(at, _)| at);
            let legs = part.body.legs().map(|contact| Hole::new(1, place(contact))).collect();
            all_turns(Stance { legs, rows: 2, columns: 3, upright: false })
        }
        Body::Changeover(switch) => {
            // A slide switch of the common pitch, its poles two rows apart (common practice, no source).
            let across = switch.throws();
            let lug = |contact: &ContactId| {
                let number = if let ContactId::Number(number) = contact { number - 1 } else { 0 };
                let (pole, lug) = (number / (1 + across), number % (1 + across));
                let column = match (across, lug) {
                    (2, 0) | (1, 1) => 1,
                    (2, 2) => 2,
                    _ => 0,
                };
                Hole::new(u16::from(pole == 0), column)
            };
            let legs: Vec<Hole> = part.body.legs().map(|contact| lug(&contact)).collect();
            all_turns(Stance { legs, rows: 2, columns: u16::from(across) + 1, upright: false })
        }
        Body::Capacitor(_) => {
            CERAMIC.into_iter().flat_map(|span| all_turns(two_legged(span, false))).collect()
        }
        Body::Diode(_) | Body::Resistor(_) => [(LYING, false), (UPRIGHT, true)]
            .into_iter()
            .flat_map(|(span, upright)| all_turns(two_legged(span, upright)))
            .collect(),
    }
}

fn two_legged(span: u16, upright: bool) -> Stance {
    Stance { legs: vec![Hole::new(0, 0), Hole::new(0, span)], rows: 1, columns: span + 1, upright }
}

/// It and the three ways that it can be turned.
fn all_turns(stance: Stance) -> Vec<Stance> {
    let mut turns = vec![stance];
    for _ in 0..3 {
        turns.extend(turns.last().map(Stance::turned));
    }
    turns
}

impl Stance {
    /// Turned by a quarter, clockwise.
    fn turned(&self) -> Self {
        let legs = self.legs.iter().map(|leg| Hole::new(leg.column, self.rows - 1 - leg.row)).collect();
        Self { legs, rows: self.columns, columns: self.rows, upright: self.upright }
    }
}
