//! A page of text for a terminal: paragraphs that wrap with a hanging indent, tables that do not wrap.

use crate::terminal::Terminal;
use crate::tone::columns;

/// A page that grows line by line.
#[derive(Debug)]
pub struct Page {
    text: String,
    /// Where running text wraps.
    columns: usize,
}

impl Default for Page {
    fn default() -> Self {
        Self::in_columns(Terminal::NONE.columns)
    }
}

impl Page {
    /// A page whose running text wraps in so many columns.
    pub const fn in_columns(columns: usize) -> Self {
        Self { text: String::new(), columns }
    }

    /// Adds a line as it is.
    pub fn line(&mut self, line: impl AsRef<str>) {
        self.text += line.as_ref().trim_end();
        self.text.push('\n');
    }

    /// Adds an empty line and a heading.
    pub fn heading(&mut self, heading: &str) {
        if !self.text.is_empty() {
            self.line("");
        }
        self.line(heading);
    }

    /// Adds a text behind a mark; lines that follow are indented to where the text began.
    pub fn paragraph(&mut self, mark: &str, text: &str) {
        let indent = " ".repeat(columns(mark));
        let mut line = mark.to_owned();
        let mut empty = true;
        for word in text.split_whitespace() {
            if !empty && columns(&line) + 1 + columns(word) > self.columns {
                self.line(&line);
                line.clone_from(&indent);
                empty = true;
            }
            if !empty {
                line.push(' ');
            }
            line += word;
            empty = false;
        }
        self.line(&line);
    }

    /// Adds a table: the head's row and its columns as wide as they must be. Empty columns are left out.
    pub fn table<const N: usize>(&mut self, head: [&str; N], rows: &[[String; N]]) {
        let widest = |column: usize| rows.iter().map(|row| columns(&row[column])).max().unwrap_or(0);
        let widths: [usize; N] = std::array::from_fn(|column| match widest(column) {
            0 => 0,
            wide => wide.max(columns(head[column])),
        });
        let mut row_of = |cells: [&str; N]| {
            let mut line = String::new();
            for (cell, width) in cells.into_iter().zip(widths).filter(|(_, width)| *width > 0) {
                line.extend(["  ", cell, &" ".repeat(width.saturating_sub(columns(cell)))]);
            }
            self.line(line);
        };
        if head.iter().any(|word| !word.is_empty()) {
            row_of(head);
        }
        for row in rows {
            row_of(std::array::from_fn(|column| row[column].as_str()));
        }
    }

    /// Returns the text.
    pub fn finish(self) -> String {
        self.text
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const WIDTH: usize = Terminal::NONE.columns;

    #[test]
    fn a_paragraph_wraps_under_its_own_beginning() {
        let mut page = Page::default();
        page.paragraph("  1. ", &"word ".repeat(20));
        let text = page.finish();
        let lines: Vec<&str> = text.lines().collect();
        assert!(lines.iter().all(|line| line.len() <= WIDTH), "{text}");
        assert!(lines[0].starts_with("  1. word") && lines[1].starts_with("     word"), "{text}");
    }

    #[test]
    fn a_word_that_is_too_long_stands_alone() {
        let mut page = Page::default();
        page.paragraph("  ", &format!("a {} b", "x".repeat(WIDTH)));
        assert_eq!(page.finish(), format!("  a\n  {}\n  b\n", "x".repeat(WIDTH)));
    }

    #[test]
    fn a_table_is_as_wide_as_its_widest_cells_and_drops_empty_columns() {
        let mut page = Page::default();
        let row = |cells: [&str; 3]| cells.map(str::to_owned);
        page.table(["a", "b", "c"], &[row(["3.1 kΩ", "", "x"]), row(["5 V", "", "y"])]);
        assert_eq!(page.finish(), "  a       c\n  3.1 kΩ  x\n  5 V     y\n");
    }
}
