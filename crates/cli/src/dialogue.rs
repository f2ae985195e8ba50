//! A conversation at the bench: a question, an answer on a line of its own, the next question.

use std::io::{BufRead, IsTerminal, Read, Write, stdin};

use anstream::stdout;
use solderside_profile::nearest;

use crate::commands::printable;
use crate::terminal::Terminal;
use crate::tone::shown;

/// The longest line that is read, in bytes: a reading is a few words.
const LONGEST: u64 = 1000;

/// What can be said in any conversation that is no answer.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Order {
    /// Take the last answer back.
    Back,
    /// Stop; what was said is kept.
    Leave,
    /// What can be said.
    Help,
}

impl Order {
    const WORDS: [(&str, Self); 7] = [
        ("back", Self::Back),
        ("undo", Self::Back),
        ("leave", Self::Leave),
        ("quit", Self::Leave),
        ("exit", Self::Leave),
        ("?", Self::Help),
        ("help", Self::Help),
    ];

    /// Reads an order, in any case.
    pub fn parse(line: &str) -> Option<Self> {
        let own = Self::WORDS.into_iter().find(|(word, _)| line.eq_ignore_ascii_case(word));
        own.map(|(_, order)| order)
    }

    /// The word that was probably meant: an order, or one of this conversation's own.
    pub fn near(line: &str, own: &[&'static str]) -> Option<&'static str> {
        nearest(line, ["back", "undo", "leave", "help"].into_iter().chain(own.iter().copied()))
    }
}

/// A conversation on standard input and output.
#[derive(Debug)]
pub struct Dialogue {
    terminal: Terminal,
    /// Nothing is said: answers come from a script, which reads the result.
    is_silent: bool,
    /// What is typed does not show by itself.
    echoes: bool,
    /// Nobody listens any more.
    is_over: bool,
}

impl Dialogue {
    /// A conversation on this terminal; a silent one only listens.
    pub fn new(terminal: Terminal, is_silent: bool) -> Self {
        Self { terminal, is_silent, echoes: !stdin().is_terminal(), is_over: false }
    }

    /// The columns in which running text wraps.
    pub const fn columns(&self) -> usize {
        self.terminal.columns
    }

    /// Says a text at once.
    pub fn say(&mut self, text: &str) {
        if self.is_silent {
            return;
        }
        let mut out = stdout().lock();
        let text = shown(&printable(text), self.terminal.coloured);
        // Who closes a pipe has read enough.
        self.is_over |= out.write_all(text.as_bytes()).and_then(|()| out.flush()).is_err();
    }

    /// Waits for a line; none at the end of the input.
    pub fn hear(&mut self) -> Option<String> {
        self.say("> ");
        let mut bytes = Vec::new();
        let read = stdin().lock().take(LONGEST).read_until(b'\n', &mut bytes);
        if self.is_over || read.is_err() || bytes.is_empty() {
            self.say("\n");
            return None;
        }
        let line = String::from_utf8_lossy(&bytes).trim().to_owned();
        if self.echoes {
            self.say(&format!("{line}\n"));
        }
        Some(line)
    }
}
