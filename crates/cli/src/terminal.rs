//! What the answer is shown on.

use std::io::IsTerminal;

use anstream::{AutoStream, ColorChoice};

/// What the answer is shown on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Terminal {
    /// Whether it shows colours, and its reader wants them.
    pub coloured: bool,
    /// The columns in which running text wraps.
    pub columns: usize,
}

/// Longer lines are hard to follow.
const MOST_COLUMNS: usize = 100;
/// In fewer, texts with a hanging indent fall apart.
const LEAST_COLUMNS: usize = 40;

impl Terminal {
    /// No terminal: a file or a pipe.
    pub const NONE: Self = Self { coloured: false, columns: MOST_COLUMNS };

    /// What standard output is.
    pub fn of_output() -> Self {
        let out = std::io::stdout();
        if !out.is_terminal() {
            return Self::NONE;
        }
        let columns =
            terminal_size::terminal_size_of(&out).map_or(MOST_COLUMNS, |(width, _)| usize::from(width.0));
        // It heeds NO_COLOR and a dumb terminal.
        let coloured = AutoStream::choice(&out) != ColorChoice::Never;
        Self { coloured, columns: columns.clamp(LEAST_COLUMNS, MOST_COLUMNS) }
    }
}
