//! Leads into the port's own pad, opened.

use solderside_design::{Class, Designs, Donors, FactKind, Wishes, design};
use solderside_profile::{Action, Control, Controller, Library, SourceFile};
use solderside_proof::{Verdict, prove};

fn pad(name: &str) -> Controller {
    Library::catalogue().controller(name).expect("it is in the catalogue")
}

fn designs(controller: &str, port: &str, pads: &[&str], wishes: Wishes) -> Designs {
    let donors = pads.iter().map(|name| pad(name)).collect::<Vec<_>>().into();
    let wishes = Wishes { donors, classes: vec![Class::Donor], ..wishes };
    let port = Library::catalogue().port(port).expect("it is in the catalogue");
    design(&pad(controller), &port, &wishes).expect("a circuit")
}

fn only(controller: &str, port: &str, pads: &[&str]) -> Designs {
    designs(controller, port, pads, Wishes::default())
}

const STICK: &str = "fifteen-pin-stick";

#[test]
fn the_stick_goes_into_the_opened_pad_where_wire_alone_does_not_do_it() {
    for (port, pad) in [
        ("nine-pin-select", "nine-pin-select-pad"),
        ("nine-pin-register-8-bit", "nine-pin-register-pad-8-bit"),
        ("nine-pin-register-16-bit", "nine-pin-register-pad-16-bit"),
    ] {
        let designs = only(STICK, port, &[pad]);
        let [option] = designs.options.as_slice() else { panic!("{port}: {:?}", designs.not_donors) };
        assert_eq!((option.class, option.proof.verdict), (Class::Donor, Verdict::Works), "{port}");
        // Whatever it is called, it is a lead like any other, and proved again as one.
        assert_eq!(prove(&option.assembly).unwrap().verdict, Verdict::Works);
        let commons = option.assembly.lead.soldered().filter(|join| join.to.to_string().ends_with(".common"));
        assert_eq!(
            commons.count(),
            1,
            "one conductor takes the stick's common to what all the pad's switches share"
        );
    }
}

fn why(designs: &Designs) -> Vec<&str> {
    designs.not_donors.iter().map(|tried| tried.why.as_str()).collect()
}

#[test]
fn a_pad_whose_switches_share_no_common_is_refused_with_their_names() {
    let refused = only(STICK, "fifteen-pin-matrix", &["fifteen-pin-matrix-pad"]);
    assert!(refused.options.is_empty());
    assert_eq!(
        why(&refused),
        [
            "its switches share no common, but are apart so: `up`; `down`; `left`; `right`; `a`, `b`, `c`. The \
          controller's single common would short what the pad keeps apart"
        ]
    );
}

#[test]
fn a_pad_that_is_not_the_ports_own_is_refused() {
    let others = ["fifteen-pin-pad-with-logic", "nine-pin-register-pad-8-bit", "nine-pin-paddles"];
    let refused = only(STICK, "nine-pin-select", &others);
    assert_eq!(
        why(&refused),
        [
            "its DA-15 plug does not go into `nine-pin-select`",
            "it is no pad of `nine-pin-select`: plugged in as it is, it is not proved to work",
            "`nine-pin-paddles` has pots, which go on setting their axes whatever is soldered to its switches",
        ]
    );
    assert!(refused.options.is_empty());
}

/// Nobody says how long this port's lines rest, so nobody knows where the pad's count begins. The controller's keys are all
/// behind its diodes, so that no wire of a lead would be left to fail.
#[test]
fn a_pad_of_which_nobody_knows_where_its_count_begins_is_refused() {
    let refused =
        only("fifteen-pin-matrix-pad", "nine-pin-two-button-light-gun", &["nine-pin-select-pad-six-buttons"]);
    assert!(refused.options.is_empty());
    assert_eq!(
        why(&refused),
        ["it is no pad of `nine-pin-two-button-light-gun`: plugged in as it is, it is not proved to work"]
    );
}

#[test]
fn a_controller_that_wants_a_supply_gets_none_from_a_pads_switches() {
    let refused = only("fifteen-pin-pad-with-logic", "nine-pin-select", &["nine-pin-select-pad"]);
    assert_eq!(
        why(&refused),
        ["`fifteen-pin-pad-with-logic` has chips, which want a supply; a pad's switches carry none"]
    );
}

#[test]
fn what_must_not_be_lost_is_held_against_a_donor_too() {
    let must = |name: &str| Wishes { must: vec![Control::new(name).unwrap()], ..Wishes::default() };
    let pads = ["nine-pin-select-pad"];
    assert_eq!(designs(STICK, "nine-pin-select", &pads, must("start")).options.len(), 1);
    let refused = designs(STICK, "nine-pin-select", &pads, must("select"));
    assert_eq!(why(&refused), ["`select` must not be lost, and performs nothing there"]);
}

#[test]
fn donors_are_not_tried_where_wire_serves_or_another_class_is_asked_for() {
    let port = Library::catalogue().port("nine-pin-one-fire").unwrap();
    let donors = Donors::from(vec![pad("nine-pin-stick-with-one-button")]);
    let serves = design(&pad(STICK), &port, &Wishes { donors: donors.clone(), ..Wishes::default() }).unwrap();
    assert_eq!(serves.options.iter().map(|option| option.class).collect::<Vec<_>>(), [Class::Plain]);
    let select = Library::catalogue().port("nine-pin-select").unwrap();
    let wishes = Wishes {
        donors: vec![pad("nine-pin-select-pad")].into(),
        classes: vec![Class::Parts],
        ..Wishes::default()
    };
    let parts = design(&pad(STICK), &select, &wishes).unwrap();
    assert!(parts.options.is_empty() && parts.not_donors.is_empty());
}

#[test]
fn a_donor_that_goes_without_an_action_does_not_serve_all_that_is_asked() {
    let whole = include_str!("../../../catalogue/controllers/nine-pin-register-pad-8-bit.toml");
    let lesser = whole.replace("b = \"u1.15 - 8\"\n", "").replace("[\"a\", \"b\"]", "[\"a\"]");
    let library = Library::with_shelf(vec![SourceFile::new("lesser.toml", lesser)]);
    let donor = library.controller("lesser").unwrap_or_else(|failure| panic!("{}", failure.render()));
    let wishes = Wishes { donors: vec![donor].into(), classes: vec![Class::Donor], ..Wishes::default() };
    let port = Library::catalogue().port("nine-pin-register-8-bit").expect("it is in the catalogue");
    let designs = design(&pad(STICK), &port, &wishes).expect("a circuit");
    let [option] = designs.options.as_slice() else { panic!("{:?}", designs.not_donors) };
    assert_eq!(option.given_up.iter().map(ToString::to_string).collect::<Vec<_>>(), ["b"]);
    // Chips would do it all, and that they are not allowed is told.
    let facts = designs.refused.iter().flat_map(|refusal| &refusal.facts);
    assert!(facts.into_iter().any(|fact| fact.kind == FactKind::OnlyClasses), "{:#?}", designs.refused);
}

#[test]
fn what_only_the_default_map_asks_of_a_control_inside_is_gone_without() {
    let designs = only("fifteen-pin-analogue-stick-with-keypad", "nine-pin-select", &["nine-pin-select-pad"]);
    let option = designs.options.first().expect("there is a lead");
    assert_eq!(option.given_up.iter().map(Action::as_str).collect::<Vec<_>>(), ["start"]);
    assert!(!option.assembly.lead.play.controls(&Action::new("a").expect("a word")).is_empty());
    // Whoever asks for it in words is refused instead.
    let start = Action::new("start").expect("a word");
    let play = vec![(start, vec![Control::new("start").expect("a word")])];
    let wished = Wishes { play, ..Wishes::default() };
    let refused = self::designs(
        "fifteen-pin-analogue-stick-with-keypad",
        "nine-pin-select",
        &["nine-pin-select-pad"],
        wished,
    );
    assert!(refused.options.is_empty());
}
