//! D-subs: rows that stand half a pitch beside one another.

use solderside_quantity::Metres;

use super::{Body, Place};
use crate::contact::ContactId;
use crate::family::Family;
use crate::source::{Source, Sourced};

const SERIES: Source = Source::published(
    "D-subminiature, memim.com/d-subminiature.html (2.77 mm along a row, 2.84 mm between rows); \
     other pages round to 2.74 mm and 2.76 mm",
);
const HIGH_DENSITY: Source = Source::published(
    "note on the D-sub series, ccsukltd.co.uk/D-Type-Connectors-Hoods \
     (0.090 inch along a row, 0.078 inch between rows)",
);
const SHELL: Source = Source::assumed("from memory: outside of a socket's shell after DIN 41652");
const SCREWS: Source =
    Source::assumed("from memory: 4-40 UNC screws, 0.984, 1.312 and 1.852 inch apart on shells E, A and B");

pub(super) const PITCH: Sourced<Metres> = Sourced::new(Metres::literal(2.77e-3), SERIES);
pub(super) const HIGH_DENSITY_PITCH: Sourced<Metres> = Sourced::new(Metres::literal(2.29e-3), HIGH_DENSITY);
const ROW_PITCH: Sourced<Metres> = Sourced::new(Metres::literal(2.84e-3), SERIES);
const HIGH_DENSITY_ROW_PITCH: Sourced<Metres> = Sourced::new(Metres::literal(1.98e-3), HIGH_DENSITY);

pub(super) const SHELL_E: Body = shell(ROW_PITCH, 16.33e-3, 24.99e-3);
pub(super) const SHELL_E_HIGH_DENSITY: Body = shell(HIGH_DENSITY_ROW_PITCH, 16.33e-3, 24.99e-3);
pub(super) const SHELL_A: Body = shell(ROW_PITCH, 24.66e-3, 33.32e-3);
pub(super) const SHELL_B: Body = shell(ROW_PITCH, 38.38e-3, 47.04e-3);

const HOOD: Source = Source::assumed(
    "from memory: between the screws, less 4 mm for these and the walls; 25 mm from the cups to the clamp; hoods differ",
);

pub(super) const HOOD_E: Sourced<[Metres; 2]> = hood(20.99e-3);
pub(super) const HOOD_A: Sourced<[Metres; 2]> = hood(29.32e-3);
pub(super) const HOOD_B: Sourced<[Metres; 2]> = hood(43.04e-3);

const fn hood(width: f64) -> Sourced<[Metres; 2]> {
    Sourced::new([Metres::literal(width), Metres::literal(25e-3)], HOOD)
}

const fn shell(row_pitch: Sourced<Metres>, width: f64, screw_spacing: f64) -> Body {
    Body::DShell {
        row_pitch,
        width: Sourced::new(Metres::literal(width), SHELL),
        narrow_width: Sourced::new(Metres::literal(width - 2.79e-3), SHELL),
        height: Sourced::new(Metres::literal(7.9e-3), SHELL),
        screw_spacing: Sourced::new(Metres::literal(screw_spacing), SCREWS),
    }
}

/// A contact's row and its place in that row, both counted from 0.
#[derive(Clone, Copy)]
struct Seat {
    row: u8,
    column: u8,
    in_row: u8,
}

/// Contact 1 at the upper left, left to right, then the next row.
pub(super) fn plug_face(family: Family, number: u8) -> Option<Place> {
    let Body::DShell { row_pitch, .. } = family.body() else { return None };
    let Seat { row, column, in_row } = seat(family, number)?;
    let columns_from_middle = f64::from(column) - f64::from(in_row - 1) / 2.0;
    let rows_from_middle = f64::from(last_row(family)) / 2.0 - f64::from(row);
    Some(Place {
        x: family.pitch().value * (columns_from_middle + stagger(family, row)),
        y: row_pitch.value * rows_from_middle,
    })
}

/// Whether no other contact stands between it and the shell: the outer rows and the ends of each row.
pub(super) fn is_at_the_shell(family: Family, contact: ContactId) -> bool {
    let ContactId::Number(number) = contact else { return false };
    seat(family, number).is_some_and(|Seat { row, column, in_row }| {
        row == 0 || row == last_row(family) || column == 0 || column + 1 == in_row
    })
}

/// How far a row stands to the right of the middle, in pitches.
///
/// Rows that differ by one contact are offset by half a pitch when both are centred. Rows of equal
/// length are not: the middle row of three stands half a pitch to the right of its neighbours
/// (from memory, the side too; measure before trusting a picture of it).
fn stagger(family: Family, row: u8) -> f64 {
    match row {
        _ if family != Family::De15Hd => 0.0,
        1 => 0.25,
        _ => -0.25,
    }
}

fn seat(family: Family, number: u8) -> Option<Seat> {
    let mut column = number.checked_sub(1)?;
    for (row, in_row) in (0..).zip(family.rows()) {
        if column < in_row {
            return Some(Seat { row, column, in_row });
        }
        column -= in_row;
    }
    None
}

const fn last_row(family: Family) -> u8 {
    if matches!(family, Family::De15Hd) { 2 } else { 1 }
}
