//! Every page of `explain` has its parts, and its example raises what the page says and nothing worse.

#![expect(
    clippy::disallowed_methods,
    clippy::unwrap_used,
    reason = "the folder of pages is compared with the codes, in helpers of tests too"
)]

use std::collections::BTreeSet;
use std::fs;
use std::path::Path;

use solderside_lead::{Assembly, read_lead};
use solderside_profile::{Kind, Library, SourceFile};
use solderside_proof::{Code, Finding, Proof, Severity, explanation, prove};

const PARTS: [&str; 3] = ["## Why it matters", "## How to mend it", "## Example"];

/// The words that lead the list of other codes that an example cannot help raising.
const ALSO: &str = "Also raises: ";

/// What a page's example is made of.
struct Example {
    /// Its TOML blocks, each a file of a small shelf.
    files: Vec<SourceFile>,
    /// The codes that it raises beside the page's own.
    also: Vec<Code>,
    /// What the tool answers, as the page says it.
    answer: String,
}

impl Example {
    fn of(code: Code) -> Self {
        let (_, text) = explanation(code).split_once("## Example\n").unwrap();
        let mut blocks: Vec<&str> = text.split("```").collect();
        let after = blocks.pop().unwrap();
        let files = blocks.iter().skip(1).step_by(2).map(|block| {
            let block = block.strip_prefix("toml\n").expect("a block begins with ```toml");
            let name = block.lines().next().and_then(|line| line.strip_prefix("# "));
            SourceFile::new(name.expect("a block's first line names its file"), block)
        });
        let also = after.lines().find_map(|line| line.strip_prefix(ALSO));
        let also = also.map(|codes| codes.split(", ").map(|word| Code::parse(word).unwrap()).collect());
        let answer = after.lines().filter(|line| !line.starts_with(ALSO)).collect::<Vec<_>>().join(" ");
        Self { files: files.collect(), also: also.unwrap_or_default(), answer }
    }

    fn assembly(&self) -> Assembly {
        let library = Library::with_shelf(self.files.clone());
        assert_eq!(library.complaints(), []);
        let mut leads = self.files.iter().filter(|file| library.kind(file.name()) == Some(Kind::Lead));
        let lead = leads.next().expect("one block is a lead");
        assert!(leads.next().is_none(), "one block is a lead, and one only");
        read_lead(lead, &library).unwrap_or_else(|failure| panic!("{}", failure.render()))
    }

    fn proof(&self) -> Proof {
        prove(&self.assembly()).unwrap()
    }
}

fn bad(proof: &Proof) -> BTreeSet<Code> {
    let bad = proof.findings.iter().filter(|finding| finding.severity >= Severity::Fail);
    bad.map(|finding| finding.code).collect()
}

#[test]
fn the_example_of_each_page_raises_its_code_and_nothing_else_that_is_bad() {
    for code in Code::ALL {
        let example = Example::of(*code);
        let proof = example.proof();
        assert!(proof.findings.iter().any(|finding| finding.code == *code), "{code} is not raised");
        let mut said: BTreeSet<Code> = example.also.into_iter().collect();
        let found = bad(&proof);
        said.extend(found.contains(code).then_some(*code));
        assert_eq!(found, said, "{code}");
    }
}

#[test]
fn a_page_about_a_note_shows_a_lead_that_is_sound() {
    for code in Code::ALL {
        let proof = Example::of(*code).proof();
        let mut own = proof.findings.iter().filter(|finding| finding.code == *code);
        let noted = own.all(|finding| finding.severity == Severity::Note)
            && !matches!(code, Code::ReadUnproved | Code::DriveUnproved | Code::TimingUnproved);
        assert!(!noted || proof.verdict.is_sound(), "{code}");
    }
}

#[test]
fn the_lead_of_each_page_is_the_smallest_shelf_that_shows_it() {
    for code in Code::ALL {
        let example = Example::of(*code);
        let assembly = example.assembly();
        let lead = &assembly.lead;
        let mut used = vec![&lead.name, &assembly.port.name, &assembly.controllers[0].name];
        used.extend(lead.cable.as_ref().map(|cable| &cable.name));
        for file in &example.files {
            assert!(used.iter().any(|name| *name == file.name()), "{code}: nobody asks for {}", file.name());
        }
    }
}

#[test]
fn the_figures_and_contacts_that_a_page_quotes_are_those_of_the_tool() {
    for code in Code::ALL {
        let example = Example::of(*code);
        let proof = example.proof();
        let own = proof.findings.iter().filter(|finding| finding.code == *code);
        let told: Vec<String> = own.map(|Finding { text, remedy, .. }| format!("{text} {remedy}")).collect();
        // What follows the first sentence says where the figures come from.
        let answered = example.answer.split(". ").next().unwrap();
        for quoted in quotations(answered) {
            assert!(told.iter().any(|told| told.contains(&quoted)), "{code}: the tool does not say {quoted}");
        }
        assert!(answered.trim_start().starts_with("The tool answers that "), "{code}: {answered}");
    }
}

/// What stands in backticks, and numbers with their units.
fn quotations(text: &str) -> Vec<String> {
    let mut found: Vec<String> = text.split('`').skip(1).step_by(2).map(|name| format!("`{name}`")).collect();
    let words: Vec<&str> = text.split_whitespace().collect();
    for pair in words.windows(2) {
        let unit = pair[1].trim_end_matches([',', ';', ':', '.']);
        if pair[0].parse::<f64>().is_ok() && ["V", "mA", "A", "Ω", "kΩ"].contains(&unit) {
            found.push(format!("{} {unit}", pair[0]));
        }
    }
    found
}

#[test]
fn each_page_has_its_parts_once_and_in_order() {
    for code in Code::ALL {
        let page = explanation(*code);
        let headings: Vec<&str> = page.lines().filter(|line| line.starts_with("## ")).collect();
        assert_eq!(headings, PARTS, "{code}");
        let mut lines = page.lines();
        assert_eq!(lines.next(), Some(format!("# {code}").as_str()));
        assert_eq!(lines.next(), Some(""), "{code}");
        assert!(lines.next().is_some_and(|line| !line.starts_with('#')), "{code} does not say what it means");
    }
}

#[test]
fn each_page_is_a_page() {
    for code in Code::ALL {
        let page = explanation(*code);
        assert!((25..=58).contains(&page.lines().count()), "{code} has {} lines", page.lines().count());
        let longest = page.lines().map(|line| line.chars().count()).max();
        assert!(longest <= Some(100), "{code} has a line of {longest:?} characters");
        assert!(page.ends_with('\n') && page.lines().all(|line| line.trim_end() == line), "{code}");
    }
}

#[test]
fn each_code_is_explained_in_one_place() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("src/explain");
    let files: BTreeSet<String> = fs::read_dir(folder)
        .unwrap()
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .collect();
    let codes: BTreeSet<String> = Code::ALL.iter().map(|code| format!("{code}.md")).collect();
    assert_eq!(files, codes);
    for code in Code::ALL {
        let title = format!("# {code}");
        let mut pages = Code::ALL.iter().map(|code| explanation(*code));
        assert_eq!(pages.by_ref().filter(|page| page.lines().any(|line| line == title)).count(), 1, "{code}");
    }
}
