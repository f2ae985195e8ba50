//! `explain`: what the codes of findings mean.

use clap::Args;
use solderside_profile::{listed, nearest, quoted};
use solderside_proof::{Code, explanation};

use crate::answer::{Reply, Status};
use crate::page::Page;
use crate::setting::set;
use crate::trouble::Trouble;
use crate::wire::{Explain, Explained, FORMAT};

const EXAMPLES: &str = "\
Examples:
  solderside explain                    all codes, one line each
  solderside explain power-pulled-up    the page of one";

/// Explain a code: what it means, why it matters, how to mend it, an example
///
/// Without a code, lists all of them.
#[derive(Debug, Args)]
#[command(after_long_help = EXAMPLES)]
pub struct ExplainArgs {
    /// The code of a finding, as it stands before its text
    code: Option<String>,
}

impl ExplainArgs {
    pub fn run(&self, columns: usize) -> Result<Reply, Trouble> {
        let (codes, text) = match &self.code {
            Some(word) => {
                let code = find(word)?;
                (vec![code], set(explanation(code), columns))
            }
            None => (Code::ALL.to_vec(), list(columns)),
        };
        let explained = codes.into_iter().map(|code| Explained {
            code: code.as_str(),
            summary: summary(explanation(code)),
            page: explanation(code),
        });
        Ok(Reply::new(Status::Sound, text, &Explain { format: FORMAT, codes: explained.collect() }))
    }
}

fn find(word: &str) -> Result<Code, Trouble> {
    Code::parse(word).ok_or_else(|| {
        let codes = || Code::ALL.iter().map(|code| code.as_str());
        let holding = || codes().filter(|code| !word.is_empty() && code.contains(word)).take(3).collect();
        let meant: Vec<&str> = nearest(word, codes()).map_or_else(holding, |near| vec![near]);
        let all = "`solderside explain` lists all codes";
        let help = match meant.as_slice() {
            [] => all.to_owned(),
            meant => format!("write {}; {all}", listed(meant.iter().copied(), "or")),
        };
        Trouble::new(format!("no finding has the code {}", quoted(word)), help)
    })
}

fn list(columns: usize) -> String {
    let mut page = Page::in_columns(columns);
    let widest = Code::ALL.iter().map(|code| code.as_str().len()).max().unwrap_or(0);
    for code in Code::ALL {
        page.paragraph(&format!("{:widest$}  ", code.as_str()), &summary(explanation(*code)));
    }
    page.finish()
}

/// Returns the first sentence below a page's title.
fn summary(page: &str) -> String {
    let lines = page.lines().skip(1).skip_while(|line| line.is_empty());
    let paragraph: Vec<&str> = lines.take_while(|line| !line.is_empty() && !line.starts_with('#')).collect();
    let paragraph = paragraph.join(" ");
    let sentence = paragraph.split_once(". ").map_or(paragraph.as_str(), |(first, _)| first);
    sentence.trim_end_matches('.').to_owned()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_summary_is_the_first_sentence_below_the_title() {
        assert_eq!(summary("# a\n\nOne thing\nis wrong. And more.\n\n## Why\n"), "One thing is wrong");
        assert_eq!(summary("# a\n\n## Why\n"), "");
    }
}
