//! A board's edge with its socket, and terminals: straight lines.

use solderside_quantity::Metres;

use super::Place;
use crate::contact::{ContactId, Letter};
use crate::family::{EDGE_KEY, EDGE_LETTERS, EDGE_WAYS, Family, TerminalCount};
use crate::source::{Source, Sourced};

const EDGE: Source = Source::published(
    "Arcade Game Pinouts, section 1.1, www.coinop.org/kdl/GameTech/BoardPinouts/pinout_help.txt (0.156 inch, \
     3.96 mm)",
);
const TAGS: Source = Source::assumed("from memory: rows of tags 0.2 inch apart");
const SCREWS: Source = Source::assumed("from memory: 5.08 mm is common, 3.5 mm to 10 mm are sold");

pub(super) const PITCH: Sourced<Metres> = Sourced::new(Metres::literal(3.96e-3), EDGE);
pub(super) const ROW_PITCH: Sourced<Metres> = Sourced::new(Metres::literal(5.08e-3), TAGS);
pub(super) const SCREW_PITCH: Sourced<Metres> = Sourced::new(Metres::literal(5.08e-3), SCREWS);

/// A contact of the edge, seen by one who looks at the edge with the parts side up: 1 at the upper left, A
/// below it. That 1 is left and not right is from memory; the key stands nearer to it and settles it.
pub(super) fn board(contact: ContactId) -> Option<Place> {
    if !Family::Edge28x2.has(contact) {
        return None;
    }
    match contact {
        ContactId::Number(number) => Some(on_the_edge(number, 0.5)),
        ContactId::Letter(own) => {
            let mut letters = (1..).zip(EDGE_LETTERS);
            let (at, _) = letters.find(|(_, letter)| Letter::new(**letter) == Some(own))?;
            Some(on_the_edge(at, -0.5))
        }
        ContactId::Shell => None,
    }
}

/// The key, between the rows.
pub(super) fn key() -> Place {
    on_the_edge(EDGE_KEY, 0.0)
}

fn on_the_edge(way: u8, rows_up: f64) -> Place {
    Place { x: PITCH.value * from_middle(way, EDGE_WAYS), y: ROW_PITCH.value * rows_up }
}

/// A wire end: the screws are numbered from left to right, so the ends that go in are from right to left.
pub(super) fn wire_end(count: TerminalCount, number: u8) -> Option<Place> {
    let is_there = (1..=count.get()).contains(&number);
    let x = SCREW_PITCH.value * -from_middle(number, count.get());
    is_there.then_some(Place { x, y: Metres::ZERO })
}

/// How many contacts' widths the one at a place stands to the right of the middle of so many.
fn from_middle(at: u8, of: u8) -> f64 {
    f64::from(at) - f64::midpoint(1.0, f64::from(of))
}
