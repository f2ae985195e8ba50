//! Texts on the sheet and the room they take, whatever font a device has.

use super::geometry::Point;

/// One line of text, centred on a point of its baseline.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Line {
    pub(crate) text: String,
    pub(crate) at: Point,
    pub(crate) size: f64,
    pub(crate) bold: bool,
}

/// A box of lines that sits on a conductor and says what it is.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Plate {
    pub(crate) bounds: Bounds,
    pub(crate) lines: Vec<Line>,
}

/// An upright rectangle.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Bounds {
    pub(crate) left: f64,
    pub(crate) top: f64,
    pub(crate) right: f64,
    pub(crate) bottom: f64,
}

/// What a plate says, before it has a place: the colour's letters and what the conductor is for.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Wording {
    pub(crate) letters: String,
    pub(crate) purpose: Vec<String>,
}

/// Sizes of text, in units; on a phone 360 pixels wide a unit is a pixel.
pub(crate) const HEADING: f64 = 13.0;
pub(crate) const CAPTION: f64 = 11.0;
const LETTERS: f64 = 11.0;
const PURPOSE: f64 = 9.6;

/// Characters on one line of a plate, unless a word is longer.
const PLATE_CHARACTERS: usize = 7;
/// Where even a word is broken.
const LONGEST_WORD: usize = 12;
const LINE_HEIGHT: f64 = 1.18;
const PADDING: f64 = 2.5;

impl Line {
    pub(crate) fn new(text: impl Into<String>, at: Point, size: f64) -> Self {
        Self { text: text.into(), at, size, bold: false }
    }

    pub(crate) fn bold(self) -> Self {
        Self { bold: true, ..self }
    }

    /// The room that it takes, letters below the baseline included.
    #[cfg(test)]
    pub(crate) fn bounds(&self) -> Bounds {
        let half = width(&self.text, self.size, self.bold) / 2.0;
        Bounds {
            left: self.at.x - half,
            top: self.at.y - 0.8 * self.size,
            right: self.at.x + half,
            bottom: self.at.y + 0.22 * self.size,
        }
    }
}

impl Wording {
    pub(crate) fn new(letters: String, purpose: &str) -> Self {
        Self { letters, purpose: wrap(purpose, fits_a_plate) }
    }

    pub(crate) fn width(&self) -> f64 {
        let purposes = self.purpose.iter().map(|line| width(line, PURPOSE, false));
        purposes.fold(width(&self.letters, LETTERS, true), f64::max) + 2.0 * PADDING
    }

    #[expect(clippy::cast_precision_loss, reason = "a plate has few lines")]
    pub(crate) fn height(&self) -> f64 {
        (LETTERS + PURPOSE * self.purpose.len() as f64) * LINE_HEIGHT + 2.0 * PADDING
    }

    /// Sets it on the sheet, centred below a point.
    pub(crate) fn below(&self, top: Point) -> Plate {
        let half = self.width() / 2.0;
        let bounds =
            Bounds { left: top.x - half, top: top.y, right: top.x + half, bottom: top.y + self.height() };
        let mut baseline = top.y + PADDING + 0.85 * LETTERS;
        let mut lines = vec![Line::new(&self.letters, Point { x: top.x, y: baseline }, LETTERS).bold()];
        for line in &self.purpose {
            baseline += PURPOSE * LINE_HEIGHT;
            lines.push(Line::new(line, Point { x: top.x, y: baseline }, PURPOSE));
        }
        Plate { bounds, lines }
    }
}

/// Whether a plate takes a line.
fn fits_a_plate(line: &str) -> bool {
    line.chars().count() <= PLATE_CHARACTERS
}

impl Bounds {
    #[cfg(test)]
    pub(crate) fn overlaps(&self, other: &Self) -> bool {
        self.left < other.right
            && other.left < self.right
            && self.top < other.bottom
            && other.top < self.bottom
    }
}

/// The most room that a text takes: the advances of the widest of the common screen fonts, in a few classes,
/// and a ninth more in bold.
pub(crate) fn width(text: &str, size: f64, bold: bool) -> f64 {
    let advance = |c: char| match c {
        'i' | 'j' | 'l' | 'f' | 't' | 'r' | ' ' | '-' | '.' | ',' | ':' | '(' | ')' => 0.42,
        'm' | 'w' | 'M' | 'W' => 0.98,
        'A'..='Z' => 0.76,
        _ => 0.64,
    };
    text.chars().map(advance).sum::<f64>() * size * if bold { 1.11 } else { 1.0 }
}

/// Breaks a text into lines that fit, at spaces and after hyphens, and within a word only where the word is
/// too long for any line.
pub(crate) fn wrap(text: &str, fits: impl Fn(&str) -> bool) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for word in text.split_whitespace() {
        for (at, piece) in word.split_inclusive('-').flat_map(chunks).enumerate() {
            let space = if at == 0 { " " } else { "" };
            let longer = lines.last().map(|line| format!("{line}{space}{piece}")).filter(|line| fits(line));
            match (lines.last_mut(), longer) {
                (Some(line), Some(longer)) => *line = longer,
                (Some(_) | None, _) => lines.push(piece),
            }
        }
    }
    lines
}

/// Breaks a word where no line could hold it; pieces that fit one line come together again.
fn chunks(word: &str) -> Vec<String> {
    let all: Vec<char> = word.chars().collect();
    all.chunks(LONGEST_WORD).map(|chunk| chunk.iter().collect()).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn purposes_break_at_spaces_and_after_hyphens() {
        assert_eq!(wrap("b to second-fire", fits_a_plate), ["b to", "second-", "fire"]);
        assert_eq!(wrap("up", fits_a_plate), ["up"]);
        assert_eq!(wrap("common to return", fits_a_plate), ["common", "to", "return"]);
        assert_eq!(wrap("", fits_a_plate), [""; 0]);
    }

    #[test]
    fn a_word_that_fits_no_line_is_broken() {
        assert_eq!(wrap("abcdefghijklmnop", fits_a_plate), ["abcdefghijkl", "mnop"]);
    }

    #[test]
    fn a_plate_holds_its_lines() {
        let plate = Wording::new("BN".to_owned(), "b to second-fire").below(Point { x: 50.0, y: 10.0 });
        for line in &plate.lines {
            let bounds = line.bounds();
            assert!(bounds.left >= plate.bounds.left && bounds.right <= plate.bounds.right, "{line:?}");
            assert!(bounds.top >= plate.bounds.top && bounds.bottom <= plate.bounds.bottom, "{line:?}");
        }
    }
}
