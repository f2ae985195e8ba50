//! The text of a file, and places in it.

use std::ops::Range;
use std::sync::Arc;

use crate::complaint::Complaint;

/// The longest file that is read, in bytes: a profile is a page of text.
pub const LONGEST_FILE: usize = 1 << 20;

const A_PAGE: &str = "give the file of a profile or a lead: each is a page of text";

const AS_UTF8: &str = "save it again as UTF-8 (in the editor: save as, encoding UTF-8)";

/// A file's path and text; a cheap handle, so that every place can carry its file.
#[derive(Clone, PartialEq, Eq)]
pub struct SourceFile(Arc<Contents>);

#[derive(PartialEq, Eq)]
struct Contents {
    path: String,
    text: String,
    /// The offset at which each line begins.
    lines: Vec<usize>,
}

/// A stretch of a file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Place {
    /// The file.
    pub file: SourceFile,
    /// Offsets in bytes, always on boundaries of characters.
    pub span: Range<usize>,
}

/// A value together with the place where it is written.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct At<T> {
    /// The value.
    pub value: T,
    /// Where it stands.
    pub place: Place,
}

impl SourceFile {
    /// Takes a file's text as it is.
    pub fn new(path: impl Into<String>, text: impl Into<String>) -> Self {
        let (path, text) = (path.into(), text.into());
        let lines = std::iter::once(0).chain(text.match_indices('\n').map(|(at, _)| at + 1)).collect();
        Self(Arc::new(Contents { path, text, lines }))
    }

    /// Takes a file's bytes; a byte order mark in front is dropped.
    ///
    /// # Errors
    /// Refuses what cannot be a page of text: more than [`LONGEST_FILE`], binary, or not UTF-8.
    pub fn from_bytes(path: impl Into<String>, bytes: &[u8]) -> Result<Self, Box<Complaint>> {
        let path = path.into();
        if bytes.len() > LONGEST_FILE {
            let headline = format!("the file has {} bytes, more than 1 MiB", bytes.len());
            return Err(Self::new(path, "").refusal(0..0, headline, A_PAGE));
        }
        if bytes.starts_with(&[0xff, 0xfe]) || bytes.starts_with(&[0xfe, 0xff]) {
            return Err(Self::new(path, "").refusal(
                0..0,
                "the file is saved as UTF-16, expected UTF-8",
                AS_UTF8,
            ));
        }
        let bytes = bytes.strip_prefix(&[0xef, 0xbb, 0xbf]).unwrap_or(bytes);
        let sound = std::str::from_utf8(bytes);
        let fault = match (bytes.iter().position(|byte| *byte == 0), &sound) {
            (Some(at), _) => (at, "the file is binary, expected a page of text", A_PAGE),
            (None, Err(error)) => (error.valid_up_to(), "the file is not UTF-8 text", AS_UTF8),
            (None, Ok(text)) => return Ok(Self::new(path, *text)),
        };
        let (at, headline, help) = fault;
        // The lossy text keeps all that comes before the first bad byte where it was.
        let before = sound.map_or_else(|error| error.valid_up_to().min(at), |_| at);
        let file = Self::new(path, String::from_utf8_lossy(bytes));
        Err(file.refusal(before..before + 1, headline, help))
    }

    fn refusal(&self, span: Range<usize>, headline: impl Into<String>, help: &str) -> Box<Complaint> {
        Box::new(Complaint::new(self.place(span), headline).help(help))
    }

    /// The path as it was given.
    pub fn path(&self) -> &str {
        &self.0.path
    }

    /// The text.
    pub fn text(&self) -> &str {
        &self.0.text
    }

    /// The file's name without folder and ending: the name of the profile in it.
    ///
    /// ```
    /// # use solderside_profile::SourceFile;
    /// assert_eq!(SourceFile::new("shelf/heron-stick.toml", "").name(), "heron-stick");
    /// ```
    pub fn name(&self) -> &str {
        let file = self.path().rsplit(['/', '\\']).next().unwrap_or_default();
        file.strip_suffix(".toml").unwrap_or(file)
    }

    /// Returns a place in this file, widened to whole characters and cut to the text.
    pub fn place(&self, span: Range<usize>) -> Place {
        let text = self.text();
        let mut start = span.start.min(text.len());
        let mut end = span.end.clamp(start, text.len());
        while !text.is_char_boundary(start) {
            start -= 1;
        }
        while !text.is_char_boundary(end) {
            end += 1;
        }
        Place { file: self.clone(), span: start..end }
    }

    /// Returns the place before the first character, for what concerns the file as a whole.
    pub fn top(&self) -> Place {
        self.place(0..0)
    }
}

impl std::fmt::Debug for SourceFile {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(self.path())
    }
}

impl Place {
    /// The line, from 1.
    pub fn line(&self) -> usize {
        self.file.0.lines.partition_point(|start| *start <= self.span.start)
    }

    /// The column in characters, from 1.
    pub fn column(&self) -> usize {
        let start = self.file.0.lines.get(self.line() - 1).copied().unwrap_or(0);
        self.file.text().get(start..self.span.start).map_or(1, |before| before.chars().count() + 1)
    }

    /// Returns the text that stands here.
    pub fn text(&self) -> &str {
        self.file.text().get(self.span.clone()).unwrap_or_default()
    }
}

impl<T> At<T> {
    /// Returns another value at the same place.
    pub fn map<U>(self, f: impl FnOnce(T) -> U) -> At<U> {
        At { value: f(self.value), place: self.place }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn refusal(bytes: &[u8]) -> (String, usize, usize) {
        let complaint = SourceFile::from_bytes("a.toml", bytes).expect_err("these bytes are no text");
        (complaint.headline.clone(), complaint.place.line(), complaint.place.column())
    }

    #[test]
    fn a_byte_order_mark_is_dropped() {
        let file = SourceFile::from_bytes("a.toml", b"\xef\xbb\xbfformat = 1").unwrap();
        assert_eq!(file.text(), "format = 1");
    }

    #[test]
    fn bytes_that_are_no_text_are_refused_with_their_place() {
        assert_eq!(refusal(b"a = 1\nb = \"\xe4\""), ("the file is not UTF-8 text".to_owned(), 2, 6));
        assert_eq!(refusal(b"a\0"), ("the file is binary, expected a page of text".to_owned(), 1, 2));
        assert_eq!(refusal(b"\xff\xfea\0").0, "the file is saved as UTF-16, expected UTF-8");
        assert_eq!(refusal(&vec![b'#'; LONGEST_FILE + 1]).0, "the file has 1048577 bytes, more than 1 MiB");
    }

    #[test]
    fn lines_and_columns_count_characters_from_one() {
        let file = SourceFile::new("a.toml", "ä = 1\nöü = 2");
        let place = file.place(11..12);
        assert_eq!((place.line(), place.column()), (2, 3));
        let end = file.place(99..100);
        assert_eq!((end.line(), end.column()), (2, 7));
    }
}
