//! Every controller against every port holds what each pair says alone.

use std::collections::BTreeSet;
use std::sync::atomic::{AtomicUsize, Ordering};

use solderside_design::{Best, Class, Donors, Pads, Square, Wishes, atlas, design};
use solderside_profile::{Controller, Library, Port, SourceFile};
use solderside_proof::Verdict;

fn own(name: &str, text: &str) -> SourceFile {
    SourceFile::new(format!("{name}.toml"), text)
}

/// The stick under two names, the pad, and a stick whose fires stand the other way round; a port under two names and
/// two others.
fn sides() -> (Vec<Controller>, Vec<Port>) {
    let library = Library::with_shelf(vec![
        own("my-stick", "like = \"fifteen-pin-stick\"\ntitle = \"Mine\""),
        own("turned-stick", "like = \"fifteen-pin-stick\"\nfire_order = [\"b\", \"a\"]"),
        own("my-port", "like = \"nine-pin-one-fire\"\ntitle = \"Mine\""),
    ]);
    let controllers = ["fifteen-pin-stick", "my-stick", "fifteen-pin-pad-with-logic", "turned-stick"];
    let ports = ["nine-pin-two-trigger", "nine-pin-one-fire", "my-port", "nine-pin-two-button-light-gun"];
    let controller = |name| library.controller(name).expect("a sound profile");
    let port = |name| library.port(name).expect("a sound profile");
    (controllers.map(controller).into(), ports.map(port).into())
}

#[test]
fn a_square_is_what_the_pair_comes_to_alone_in_any_number_of_threads() {
    let (controllers, ports) = sides();
    let alone: Vec<Vec<Square>> = controllers
        .iter()
        .map(|controller| {
            ports
                .iter()
                .map(|port| Square::of(controller, port, &Donors::default()).expect("a circuit"))
                .collect()
        })
        .collect();
    for threads in [0, 1, 2, 7] {
        assert_eq!(
            atlas(&controllers, &ports, &Pads::default(), threads, &|_, _| ()),
            Ok(alone.clone()),
            "{threads}"
        );
    }
}

#[test]
fn profiles_that_differ_in_name_and_title_only_are_designed_for_once() {
    let (controllers, ports) = sides();
    let told = AtomicUsize::new(0);
    let tell = |done: usize, all: usize| {
        assert!((1..=all).contains(&done) && all == 3 * 3, "{done} of {all}");
        told.fetch_add(1, Ordering::Relaxed);
    };
    atlas(&controllers, &ports, &Pads::default(), 2, &tell).expect("a circuit");
    assert_eq!(told.into_inner(), 9, "each pair is told of once");
}

#[test]
fn a_lead_that_loses_less_is_the_better_square_and_no_lead_the_worst() {
    let (controllers, ports) = sides();
    let rows = atlas(&controllers, &ports, &Pads::default(), 1, &|_, _| ()).expect("a circuit");
    let [both_fires, one_fire] = [&rows[0][0], &rows[0][1]];
    assert!(both_fires.merit() < one_fire.merit(), "one more control is lost");
    let none = Square { best: None, reasons: vec![vec!["a fact".to_owned()]], is_final: false };
    let poorest = Best {
        verdict: Verdict::Thin,
        class: Class::Parts,
        donor: None,
        parts: 1,
        plays_no_direction: true,
        actions_lost: Vec::new(),
        controls_lost: Vec::new(),
        axes_lost: Vec::new(),
        pots_lost: Vec::new(),
    };
    let poorest = Square { best: Some(poorest), reasons: none.reasons.clone(), is_final: false };
    assert!(one_fire.merit() < poorest.merit() && poorest.merit() < none.merit());
}

/// Sticks, paddles and a panel against ports that want wire, diodes, chips, a pad, or more than any of these: a square
/// leaves out what could not come first, and must not leave out more.
#[test]
fn a_square_is_what_design_puts_first_with_the_same_pads() {
    let library = Library::catalogue();
    let pads = Pads::of(&library);
    let controllers: Vec<Controller> =
        ["fifteen-pin-stick", "fifteen-pin-game-stick", "nine-pin-paddles", "fifteen-pin-matrix-pad"]
            .map(|name| library.controller(name).expect("it ships"))
            .into();
    let ports: Vec<Port> = [
        "nine-pin-one-fire-keyboard-lines",
        "nine-pin-two-trigger",
        "nine-pin-two-button-light-gun",
        "nine-pin-scanned-returns",
        "nine-pin-register-8-bit",
        "nine-pin-select",
        "nine-pin-select-six-buttons",
        "fifteen-pin-game",
        "fifteen-pin-matrix",
    ]
    .map(|name| library.port(name).expect("it ships"))
    .into();
    let rows = atlas(&controllers, &ports, &pads, 2, &|_, _| ()).expect("a circuit");
    let mut classes = BTreeSet::new();
    for (controller, row) in controllers.iter().zip(&rows) {
        for (port, square) in ports.iter().zip(row) {
            let wishes = Wishes { donors: pads.for_port(port), ..Wishes::default() };
            let designs = design(controller, port, &wishes).expect("a circuit");
            let first = designs.options.first().map(Best::from);
            assert_eq!(square.best, first, "{} against {}", controller.name, port.name);
            let is_told = designs.refused.iter().filter(|refusal| refusal.class == Class::Plain).count();
            assert_eq!(square.reasons.len(), is_told, "{} against {}", controller.name, port.name);
            classes.insert(square.best.as_ref().map(|best| best.class));
        }
    }
    let all = [Some(Class::Plain), Some(Class::Parts), Some(Class::Donor), Some(Class::Logic), None];
    assert_eq!(classes, BTreeSet::from(all), "the sample has every outcome");
}

#[test]
fn a_persons_own_pads_come_before_those_of_the_catalogue() {
    let port = Library::catalogue().port("nine-pin-select").expect("it ships");
    let serving = |shelf: Vec<SourceFile>| -> Vec<String> {
        let library = Library::with_shelf(shelf);
        let stick = library.controller("fifteen-pin-stick").expect("it ships");
        let wishes = Wishes {
            donors: Pads::of(&library).for_port(&port),
            classes: vec![Class::Donor],
            ..Wishes::default()
        };
        let designs = design(&stick, &port, &wishes).expect("a circuit");
        let pads = designs.options.iter().filter_map(|choice| choice.assembly.donor.as_ref());
        pads.map(|donor| donor.pad().name.clone()).collect()
    };
    let own_pad = own("my-pad", "like = \"nine-pin-select-pad\"\ntitle = \"Mine\"");
    let broken = own("broken-pad", "like = \"nine-pin-select-pad\"\ntitle = 7");
    let of_another_port =
        own("other-pad", "like = \"nine-pin-register-pad-8-bit\"\ntitle = \"Of another port\"");
    assert!(serving(vec![own_pad, broken.clone()]).iter().eq(["my-pad"]), "a file with mistakes is no pad");
    let of_catalogue = serving(vec![broken, of_another_port]);
    assert!(of_catalogue.iter().any(|name| name == "nine-pin-select-pad"), "{of_catalogue:?}");
}

#[test]
fn nothing_against_nothing_is_an_empty_atlas() {
    let (controllers, ports) = sides();
    assert_eq!(atlas(&[], &ports, &Pads::default(), 2, &|_, _| ()), Ok(Vec::new()));
    assert_eq!(
        atlas(&controllers, &[], &Pads::default(), 2, &|_, _| ()),
        Ok(vec![Vec::new(); controllers.len()])
    );
}

#[test]
fn only_what_forbids_every_class_is_told_as_all_there_is_to_say() {
    let library = Library::catalogue();
    let stick = library.controller("fifteen-pin-stick").expect("it is in the catalogue");
    let square = |port| {
        let port = library.port(port).expect("it is in the catalogue");
        Square::of(&stick, &port, &Donors::default()).expect("a circuit")
    };
    let [serial, six] = ["nine-way-serial", "nine-pin-select-six-buttons"].map(square);
    assert!(serial.best.is_none() && serial.is_final, "no lead goes into a serial port");
    assert!(six.best.is_none() && !six.is_final, "chips fail there for reasons of their own");
}
