//! Every controller against every port holds what each pair says alone.

use std::sync::atomic::{AtomicUsize, Ordering};

use solderside_design::{Best, Class, Square, atlas};
use solderside_profile::{Controller, Library, Port, SourceFile};
use solderside_proof::Verdict;

/// The stick under two names, the pad, and a stick whose fires stand the other way round; a port under two names and
/// two others.
fn sides() -> (Vec<Controller>, Vec<Port>) {
    let own = |name: &str, text: &str| SourceFile::new(format!("{name}.toml"), text);
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
        .map(|controller| ports.iter().map(|port| Square::of(controller, port).expect("a circuit")).collect())
        .collect();
    for threads in [0, 1, 2, 7] {
        assert_eq!(atlas(&controllers, &ports, threads, &|_, _| ()), Ok(alone.clone()), "{threads}");
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
    atlas(&controllers, &ports, 2, &tell).expect("a circuit");
    assert_eq!(told.into_inner(), 9, "each pair is told of once");
}

#[test]
fn a_lead_that_loses_less_is_the_better_square_and_no_lead_the_worst() {
    let (controllers, ports) = sides();
    let rows = atlas(&controllers, &ports, 1, &|_, _| ()).expect("a circuit");
    let [both_fires, one_fire] = [&rows[0][0], &rows[0][1]];
    assert!(both_fires.merit() < one_fire.merit(), "one more control is lost");
    let none = Square { best: None, reasons: vec![vec!["a fact".to_owned()]], is_final: false };
    let poorest = Best {
        verdict: Verdict::Thin,
        class: Class::Parts,
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

#[test]
fn nothing_against_nothing_is_an_empty_atlas() {
    let (controllers, ports) = sides();
    assert_eq!(atlas(&[], &ports, 2, &|_, _| ()), Ok(Vec::new()));
    assert_eq!(atlas(&controllers, &[], 2, &|_, _| ()), Ok(vec![Vec::new(); controllers.len()]));
}

#[test]
fn only_what_forbids_every_class_is_told_as_all_there_is_to_say() {
    let library = Library::catalogue();
    let stick = library.controller("fifteen-pin-stick").expect("it is in the catalogue");
    let square = |port| {
        let port = library.port(port).expect("it is in the catalogue");
        Square::of(&stick, &port).expect("a circuit")
    };
    let [serial, six] = ["nine-way-serial", "nine-pin-select-six-buttons"].map(square);
    assert!(serial.best.is_none() && serial.is_final, "no lead goes into a serial port");
    assert!(six.best.is_none() && !six.is_final, "chips fail there for reasons of their own");
}
