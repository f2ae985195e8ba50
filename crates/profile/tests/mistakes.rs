//! Every file of `tests/mistakes/` has the defect that its name states, and must raise the
//! complaints of its `# expect:` lines, those and no others.

#![expect(clippy::disallowed_methods, reason = "a harness over a folder of cases reads them")]

use std::fs;
use std::path::Path;

use solderside_profile::{Failure, Kind, Library, SourceFile, render};

fn complaints(file: &SourceFile) -> Vec<String> {
    let library = Library::with_shelf(vec![file.clone()]);
    let failure = match library.kind(file.name()) {
        Some(Kind::Port) => library.port(file.name()).err(),
        Some(Kind::Cable) => library.cable(file.name()).err(),
        Some(Kind::Drawer) => library.drawer(file.name()).err(),
        Some(Kind::Controller | Kind::Lead | Kind::BuzzRun) | None => library.controller(file.name()).err(),
    };
    match failure {
        Some(Failure::Faulty { complaints, .. }) => {
            assert!(!render(&complaints).is_empty());
            for complaint in &complaints {
                assert!(!complaint.help.is_empty(), "no remedy: {}", complaint.headline);
                let count = complaint.headline.chars().count();
                assert!(count <= 100, "{count} letters are too long: {}", complaint.headline);
            }
            complaints.into_iter().map(|complaint| complaint.headline).collect()
        }
        Some(other) => vec![other.to_string()],
        None => Vec::new(),
    }
}

#[test]
fn every_mistake_raises_its_complaints_and_no_others() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/mistakes");
    let mut wrong = Vec::new();
    let mut count = 0;
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        let name = path.file_name().unwrap().to_str().unwrap();
        let file = SourceFile::from_bytes(name, &fs::read(&path).unwrap()).unwrap();
        let expected: Vec<&str> =
            file.text().lines().filter_map(|line| line.strip_prefix("# expect: ")).collect();
        assert!(!expected.is_empty(), "{name} expects nothing");
        let found = complaints(&file);
        if found != expected {
            wrong.push(format!("{name}\n  expected {expected:#?}\n  found {found:#?}"));
        }
        count += 1;
    }
    assert!(count > 50, "the folder of cases was found");
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}
