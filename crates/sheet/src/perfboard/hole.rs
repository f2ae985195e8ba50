//! The holes of a perforated board, and their names.

use std::fmt;

/// From one hole to the next: a tenth of an inch, in millimetres.
pub(crate) const PITCH_MM: f64 = 2.54;

/// A hole of a board, seen from the component side: rows are lettered downwards, columns numbered to the right.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Hole {
    /// Its row, counted from 0.
    pub row: u16,
    /// Its column, counted from 0.
    pub column: u16,
}

impl Hole {
    /// A hole by its row and its column, each counted from 0.
    pub const fn new(row: u16, column: u16) -> Self {
        Self { row, column }
    }

    /// How many holes a wire along rows and columns passes from one to the other.
    pub const fn steps_to(self, other: Self) -> u16 {
        self.row.abs_diff(other.row) + self.column.abs_diff(other.column)
    }

    /// This hole, counted from another one.
    #[must_use]
    pub(super) const fn from(self, corner: Self) -> Self {
        Self { row: corner.row + self.row, column: corner.column + self.column }
    }
}

/// "A", "Z", "AA".
pub(crate) fn row_name(row: u16) -> String {
    let letter = |at: u16| char::from_u32(u32::from('A') + u32::from(at % 26)).unwrap_or('?');
    match row / 26 {
        0 => letter(row).to_string(),
        several => format!("{}{}", letter(several - 1), letter(row)),
    }
}

impl fmt::Display for Hole {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(&format!("{}{}", row_name(self.row), self.column + 1))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_hole_is_named_by_the_letter_of_its_row_and_the_number_of_its_column() {
        let names = [(0, 0), (2, 6), (25, 11), (26, 0), (53, 2)]
            .map(|(row, column)| Hole::new(row, column).to_string());
        assert_eq!(names, ["A1", "C7", "Z12", "AA1", "BB3"]);
    }
}
