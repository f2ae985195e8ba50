//! Every file of `catalogue/` and `demo/` builds, is embedded, and has the name of its file.

#![expect(
    clippy::disallowed_methods,
    clippy::unwrap_used,
    reason = "the folders are compared with what is embedded, in helpers of tests too"
)]

use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};

use solderside_profile::{Fact, Kind, Library, Origin, SourceFile, is_kebab};
use solderside_trade::Evidence;

fn folder(path: &str) -> Vec<PathBuf> {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../..").join(path);
    let files = fs::read_dir(path).unwrap().map(|entry| entry.unwrap().path());
    files.filter(|path| path.extension().is_some_and(|ending| ending == "toml")).collect()
}

fn shelf(path: &str) -> Vec<SourceFile> {
    let file =
        |path: &PathBuf| SourceFile::from_bytes(path.to_str().unwrap(), &fs::read(path).unwrap()).unwrap();
    folder(path).iter().map(file).collect()
}

fn build(library: &Library, name: &str) -> Result<String, String> {
    let built = match library.kind(name) {
        Some(Kind::Controller) => library.controller(name).map(|it| (it.name.clone(), it.fingerprint())),
        Some(Kind::Port) => library.port(name).map(|it| (it.name.clone(), it.fingerprint())),
        Some(Kind::Cable) => library.cable(name).map(|it| (it.name.clone(), it.fingerprint())),
        kind @ (Some(Kind::Drawer | Kind::Lead | Kind::BuzzRun) | None) => {
            return Err(format!("{name} is {kind:?}"));
        }
    };
    let (own, fingerprint) = built.map_err(|failure| failure.render())?;
    assert_eq!(own, name);
    Ok(fingerprint)
}

#[test]
fn every_file_of_the_catalogue_is_embedded_and_builds() {
    let library = Library::catalogue();
    let names: BTreeSet<String> = library.entries().into_iter().map(|entry| entry.name).collect();
    let mut on_disk = BTreeSet::new();
    for kind in [Kind::Controller, Kind::Port, Kind::Cable] {
        for file in shelf(&format!("catalogue/{kind}s")) {
            assert_eq!(library.kind(file.name()), Some(kind));
            assert_eq!(library.file(file.name()).unwrap().text(), file.text());
            on_disk.insert(file.name().to_owned());
        }
    }
    assert_eq!(names, on_disk);
    for name in names {
        assert!(is_kebab(&name));
        build(&library, &name).unwrap_or_else(|failure| panic!("{failure}"));
    }
}

#[test]
fn the_demonstration_shelf_builds_and_is_electrically_its_classes() {
    let library = Library::with_shelf(shelf("demo"));
    assert_eq!(library.complaints(), []);
    let entries = library.entries();
    let own: Vec<_> = entries.iter().filter(|entry| matches!(entry.origin, Origin::Shelf(_))).collect();
    assert_eq!(own.len(), folder("demo").len());
    for entry in own {
        assert_ne!(entry.title, entry.name);
        if entry.kind == Some(Kind::Drawer) {
            library.drawer(&entry.name).unwrap_or_else(|failure| panic!("{}", failure.render()));
            continue;
        }
        let fingerprint = build(&library, &entry.name).unwrap_or_else(|failure| panic!("{failure}"));
        let class = entry.like.as_ref().unwrap();
        let is_its_class = build(&library, class) == Ok(fingerprint);
        // Two controllers with better switches than their classes, and a machine whose pull-ups were measured.
        let differs = ["bittern-pad", "sanderling", "whimbrel-stick"].contains(&entry.name.as_str());
        assert_eq!(is_its_class, !differs, "{}", entry.name);
    }
}

/// What a fact must say of itself, by how it is known.
fn assert_told(what: &str, fact: &Fact) {
    let source = fact.source.as_str();
    let said = ["from memory", "assumed", "common practice", "computed", "data sheet"];
    match fact.evidence {
        // A page or a printed title, with where in it or where on the net.
        Evidence::Published => assert!(source.contains(", ") && source.contains('.'), "{what}: {source}"),
        Evidence::Measured | Evidence::Reported | Evidence::Assumed => {
            assert!(said.iter().any(|word| source.contains(word)), "{what}: {source}");
        }
    }
}

#[test]
fn every_figure_of_a_port_says_where_it_comes_from() {
    let library = Library::catalogue();
    let ports = library.entries().into_iter().filter(|entry| entry.kind == Some(Kind::Port));
    for port in
        ports.map(|entry| library.port(&entry.name).unwrap_or_else(|failure| panic!("{}", failure.render())))
    {
        assert_told(&format!("{}, rail", port.name), &port.rail_fact);
        for (id, contact) in &port.contacts {
            assert_told(&format!("{}, contact {id}", port.name), &contact.fact);
        }
        for input in port.inputs.values() {
            assert_told(&format!("{}, input {}", port.name, input.name), &input.fact);
        }
    }
}
