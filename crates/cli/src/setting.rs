//! The pages of `explain`, set as plain text. They are written in a few of Markdown's forms: headings, paragraphs, lists,
//! names in backticks, and files between fences.

use crate::page::Page;
use crate::tone::Tone;

/// Sets a page in so many columns.
pub fn set(source: &str, columns: usize) -> String {
    let mut page = Page::in_columns(columns);
    let mut blocks = source.split("```");
    while let Some(prose) = blocks.next() {
        for block in prose.split("\n\n") {
            set_prose(&mut page, block.trim());
        }
        if let Some(file) = blocks.next() {
            page.line("");
            // The fence's own line names the language.
            for line in file.trim_end().lines().skip(1) {
                page.line(format!("    {line}"));
            }
        }
    }
    page.finish()
}

/// A heading, a list, or a paragraph.
fn set_prose(page: &mut Page, block: &str) {
    if block.is_empty() {
        return;
    }
    if block.starts_with('#') {
        page.heading(&Tone::Strong.of(&plain(block.trim_start_matches('#').trim())));
        return;
    }
    page.line("");
    if !block.starts_with("- ") {
        page.paragraph("  ", &plain(block));
        return;
    }
    let mut items: Vec<String> = Vec::new();
    for line in block.lines() {
        match (line.strip_prefix("- "), items.last_mut()) {
            (Some(item), _) => items.push(item.to_owned()),
            (None, Some(item)) => item.extend([" ", line.trim()]),
            (None, None) => {}
        }
    }
    for item in items {
        page.paragraph("  - ", &plain(&item));
    }
}

/// A text whose names have lost their backticks, unless they could be taken for words of the sentence: `up`, but
/// port.7 and second-fire.
fn plain(text: &str) -> String {
    let pieces: Vec<&str> = text.split('`').collect();
    let last = pieces.len().saturating_sub(1);
    let mut out = String::new();
    for (at, piece) in pieces.iter().enumerate() {
        let is_name = at % 2 == 1 && at < last;
        let is_word = piece.chars().all(char::is_alphabetic) || piece.contains(char::is_whitespace);
        match (is_name, is_word) {
            (true, true) => out.extend(["`", piece, "`"]),
            (true, false) => out += &Tone::Strong.of(piece),
            (false, _) => out += piece,
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use solderside_proof::{Code, explanation};

    use super::*;
    use crate::tone::shown;

    fn plainly(source: &str, columns: usize) -> String {
        shown(&set(source, columns), false)
    }

    #[test]
    fn headings_lists_names_and_files_are_set_as_a_page_for_the_eye() {
        let source = "# a-code\n\nThe `up` line meets\n`port.7` here.\n\n## How\n\n- One\n  thing.\n- Run `solderside fits`.\n\n\
                      ```toml\n# a.toml\nx = \"`\"\n\n[y]\n```\n\nSo it is.\n";
        insta::assert_snapshot!(plainly(source, 40), @r#"
        a-code

          The `up` line meets port.7 here.

        How

          - One thing.
          - Run `solderside fits`.

            # a.toml
            x = "`"

            [y]

          So it is.
        "#);
    }

    #[test]
    fn every_page_keeps_all_its_words_and_none_of_its_marks() {
        for code in Code::ALL {
            let source = explanation(*code);
            let text = plainly(source, 72);
            let bare = |text: &str| text.replace("```toml", "").replace(['`', '#'], "");
            let words = |text: &str| bare(text).split_whitespace().map(str::to_owned).collect::<Vec<_>>();
            assert_eq!(words(&text), words(source), "{code}");
            assert!(!text.contains("```") && !text.contains("**") && !text.starts_with('#'), "{code}");
            let prose = text.lines().filter(|line| !line.starts_with("    "));
            assert!(prose.clone().all(|line| line.chars().count() <= 72 && !line.starts_with('#')), "{text}");
        }
    }
}
