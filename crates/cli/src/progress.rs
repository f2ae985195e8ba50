//! How far a long answer is: one line on standard error, only where somebody looks at it.

use std::io::{IsTerminal, Write, stderr};

/// A line that is written over and gone at the end.
#[derive(Debug)]
pub struct Progress {
    shows: bool,
    /// What is counted.
    what: &'static str,
}

/// Wide enough for what is told.
const BLANK: &str = "                                        ";

impl Progress {
    /// A line that counts these, if standard error is a terminal.
    pub fn of(what: &'static str) -> Self {
        Self { shows: stderr().is_terminal(), what }
    }

    /// A line that says what goes on, if standard error is a terminal.
    pub fn during(what: &'static str) -> Self {
        let progress = Self::of(what);
        if progress.shows {
            _ = write!(stderr(), "\r{what}");
        }
        progress
    }

    /// Tells how many are done.
    pub fn tell(&self, done: usize, all: usize) {
        if self.shows {
            // Nobody is left to tell if this fails.
            _ = write!(stderr(), "\r{done} of {all} {}", self.what);
        }
    }
}

impl Drop for Progress {
    fn drop(&mut self) {
        if self.shows {
            _ = write!(stderr(), "\r{BLANK}\r");
        }
    }
}
