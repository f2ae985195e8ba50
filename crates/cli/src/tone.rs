//! Colour in addition to words, never instead of them.
//!
//! A text carries its tones as marks that no file can hold as a meaning of its own: two of the code points that Unicode
//! keeps for a program's inner use. They take no room; at the very end they become colours or nothing.

use solderside_proof::{Severity, Verdict};

/// How a word is meant.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Tone {
    /// A heading or a name.
    Strong,
    /// All is well.
    Good,
    /// To be looked at.
    Care,
    /// Not to be built, or not to be plugged in.
    Bad,
}

const OPEN: [(Tone, char, &str); 4] = [
    (Tone::Strong, '\u{fdd0}', "\x1b[1m"),
    (Tone::Good, '\u{fdd1}', "\x1b[32m"),
    (Tone::Care, '\u{fdd2}', "\x1b[33m"),
    // Bold too: red on black is the hardest to read, and the most important.
    (Tone::Bad, '\u{fdd3}', "\x1b[1;31m"),
];
const CLOSE: char = '\u{fddf}';
const PLAIN: &str = "\x1b[0m";

impl Tone {
    /// The text with the marks of this tone.
    pub fn of(self, text: &str) -> String {
        let open = OPEN.iter().find(|(tone, ..)| *tone == self).map(|(_, mark, _)| *mark);
        open.into_iter().chain(text.chars()).chain([CLOSE]).collect()
    }
}

impl From<Verdict> for Tone {
    fn from(verdict: Verdict) -> Self {
        match verdict {
            Verdict::Works => Self::Good,
            Verdict::Thin | Verdict::Unproved => Self::Care,
            Verdict::Fails | Verdict::Harms => Self::Bad,
        }
    }
}

impl From<Severity> for Tone {
    fn from(severity: Severity) -> Self {
        match severity {
            Severity::Note => Self::Strong,
            Severity::Thin => Self::Care,
            Severity::Fail | Severity::Harm => Self::Bad,
        }
    }
}

/// The columns that a text takes.
pub fn columns(text: &str) -> usize {
    text.chars().filter(|c| !is_mark(*c)).count()
}

/// The text for a terminal in colours, or without.
pub fn shown(text: &str, coloured: bool) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        match OPEN.iter().find(|(_, mark, _)| *mark == c) {
            Some((_, _, colour)) if coloured => out += colour,
            None if c == CLOSE && coloured => out += PLAIN,
            None if c != CLOSE => out.push(c),
            Some(_) | None => {}
        }
    }
    out
}

fn is_mark(c: char) -> bool {
    c == CLOSE || OPEN.iter().any(|(_, mark, _)| *mark == c)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_tone_is_a_colour_on_a_terminal_and_nothing_elsewhere() {
        let text = format!("{}: it {}, é", Tone::Strong.of("teal"), Tone::Bad.of("HARMS"));
        assert_eq!(shown(&text, true), "\x1b[1mteal\x1b[0m: it \x1b[1;31mHARMS\x1b[0m, é");
        assert_eq!(shown(&text, false), "teal: it HARMS, é");
        assert_eq!(columns(&text), "teal: it HARMS, e".len());
    }

    #[test]
    fn the_worse_a_verdict_the_warmer_its_colour_and_the_word_is_always_there() {
        for (verdict, colour) in [
            (Verdict::Works, "\x1b[32m"),
            (Verdict::Thin, "\x1b[33m"),
            (Verdict::Unproved, "\x1b[33m"),
            (Verdict::Fails, "\x1b[1;31m"),
            (Verdict::Harms, "\x1b[1;31m"),
        ] {
            let text = Tone::from(verdict).of(verdict.as_str());
            assert_eq!(shown(&text, true), format!("{colour}{verdict}\x1b[0m"));
            assert_eq!(shown(&text, false), verdict.as_str());
        }
    }
}
