//! A crate exists because it forbids an import: no crate depends on one above it.

#![expect(
    clippy::disallowed_methods,
    clippy::unwrap_used,
    reason = "the manifests are compared with the floors, in helpers of tests too"
)]

use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};

/// The crates by floor, the lowest first; crates of one floor know nothing of each other.
const FLOORS: [&[&str]; 8] = [
    &["quantity"],
    &["trade", "circuit"],
    &["profile"],
    &["lead"],
    &["proof"],
    &["design", "meter"],
    &["sheet"],
    &["cli"],
];

fn crates() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).parent().unwrap().to_owned()
}

fn floor(name: &str) -> usize {
    let floor = FLOORS.iter().position(|floor| floor.contains(&name));
    floor.unwrap_or_else(|| panic!("`{name}` stands on no floor of this test"))
}

/// The crates of this house that a manifest names, for its tests and benches too.
fn neighbours(name: &str) -> Vec<String> {
    let manifest = fs::read_to_string(crates().join(name).join("Cargo.toml")).unwrap();
    let ours = manifest.lines().filter_map(|line| line.strip_prefix("solderside-"));
    ours.map(|line| line.split(['.', ' ', '=']).next().unwrap().to_owned()).collect()
}

#[test]
fn no_crate_depends_on_one_of_its_own_floor_or_above() {
    for name in FLOORS.iter().copied().flatten() {
        for neighbour in neighbours(name) {
            assert!(floor(&neighbour) < floor(name), "`{name}` depends on `{neighbour}`");
        }
    }
}

#[test]
fn every_crate_stands_on_a_floor() {
    let folders =
        fs::read_dir(crates()).unwrap().map(|entry| entry.unwrap().file_name().into_string().unwrap());
    let known: BTreeSet<String> = FLOORS.iter().copied().flatten().map(|name| (*name).to_owned()).collect();
    assert_eq!(folders.collect::<BTreeSet<_>>(), known);
}
