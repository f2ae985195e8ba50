//! An output that follows from its inputs at once.

use super::{Bit, Drive};

/// One row of a function table.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Row {
    /// What it asks of each input; none: either.
    pub asks: Vec<Option<bool>>,
    /// What the output does then.
    pub does: Drive,
}

/// A function table with one output.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Table {
    /// What the output does for each combination of inputs, the first input being the lowest digit.
    outcomes: Vec<Drive>,
}

/// Says why rows make no table.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum Contradiction {
    /// A row asks for more or fewer inputs than there are.
    #[error("row {row} asks for {found} inputs, and there are {inputs}")]
    Width {
        /// The row, from 1.
        row: usize,
        /// What it has.
        found: usize,
        /// What the table has.
        inputs: usize,
    },
    /// Two rows ask for the same and do different things.
    #[error("rows {0} and {1} ask for the same inputs and do different things")]
    Rows(usize, usize),
    /// There are more inputs than any chip of a lead has.
    #[error("a table has no more than {most} inputs, and this has {found}", most = Table::MOST_INPUTS)]
    Inputs {
        /// What this has.
        found: usize,
    },
}

impl Table {
    /// More inputs have no table.
    pub const MOST_INPUTS: usize = 12;

    /// Makes a table of rows; inputs that no row asks for do what `otherwise` says.
    ///
    /// # Errors
    /// Refuses rows that contradict each other, and rows of another width.
    pub fn new(inputs: usize, rows: &[Row], otherwise: Drive) -> Result<Self, Contradiction> {
        if inputs > Self::MOST_INPUTS {
            return Err(Contradiction::Inputs { found: inputs });
        }
        if let Some(at) = rows.iter().position(|row| row.asks.len() != inputs) {
            return Err(Contradiction::Width { row: at + 1, found: rows[at].asks.len(), inputs });
        }
        let mut outcomes = Vec::with_capacity(1 << inputs);
        for combination in 0..1_usize << inputs {
            let is_asked = |row: &Row| {
                let mut asks = row.asks.iter().enumerate();
                asks.all(|(at, ask)| ask.is_none_or(|ask| ask == (combination >> at & 1 == 1)))
            };
            let mut own = rows.iter().enumerate().filter(|(_, row)| is_asked(row));
            let first = own.next();
            if let Some((at, row)) = first
                && let Some((other, _)) = own.find(|(_, other)| other.does != row.does)
            {
                return Err(Contradiction::Rows(at + 1, other + 1));
            }
            outcomes.push(first.map_or(otherwise, |(_, row)| row.does));
        }
        Ok(Self { outcomes })
    }

    /// What the output does: what all completions of the unknown inputs agree on.
    pub fn output(&self, inputs: &[Bit]) -> Drive {
        let can_be = |combination: usize| {
            let mut inputs = inputs.iter().enumerate();
            inputs.all(|(at, bit)| bit.can_be(combination >> at & 1 == 1))
        };
        let possible = self.outcomes.iter().enumerate().filter(|(at, _)| can_be(*at));
        possible.map(|(_, drive)| *drive).reduce(Drive::agreed).unwrap_or(Drive::Unknown)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn rows(rows: &[(&str, Drive)]) -> Vec<Row> {
        let ask = |letter: char| match letter {
            'H' => Some(true),
            'L' => Some(false),
            _ => None,
        };
        rows.iter().map(|(asks, does)| Row { asks: asks.chars().map(ask).collect(), does: *does }).collect()
    }

    /// Select, data 0, data 1.
    fn multiplexer() -> Table {
        let rows =
            rows(&[("LLX", Drive::Low), ("LHX", Drive::High), ("HXL", Drive::Low), ("HXH", Drive::High)]);
        Table::new(3, &rows, Drive::Off).unwrap()
    }

    #[test]
    fn an_input_that_does_not_matter_may_be_unknown() {
        let table = multiplexer();
        assert_eq!(table.output(&[Bit::Low, Bit::High, Bit::Unknown]), Drive::High);
        assert_eq!(table.output(&[Bit::Low, Bit::Unknown, Bit::High]), Drive::Unknown);
        // Whatever is selected, both say the same.
        assert_eq!(table.output(&[Bit::Unknown, Bit::High, Bit::High]), Drive::High);
        assert_eq!(table.output(&[Bit::Unknown, Bit::Low, Bit::High]), Drive::Unknown);
    }

    #[test]
    fn what_no_row_asks_for_is_said_once_for_all() {
        let table = Table::new(2, &rows(&[("LL", Drive::Low)]), Drive::Off).unwrap();
        assert_eq!(table.output(&[Bit::Low, Bit::Low]), Drive::Low);
        assert_eq!(table.output(&[Bit::High, Bit::Unknown]), Drive::Off);
        assert_eq!(table.output(&[Bit::Unknown, Bit::Low]), Drive::Unknown);
    }

    #[test]
    fn rows_that_contradict_each_other_are_refused() {
        let twice = rows(&[("LX", Drive::Low), ("XH", Drive::High)]);
        assert_eq!(Table::new(2, &twice, Drive::Off), Err(Contradiction::Rows(1, 2)));
        let narrow = rows(&[("L", Drive::Low)]);
        assert!(matches!(Table::new(2, &narrow, Drive::Off), Err(Contradiction::Width { row: 1, .. })));
        assert_eq!(Table::new(13, &[], Drive::Off), Err(Contradiction::Inputs { found: 13 }));
    }
}
