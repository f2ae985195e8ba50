//! What a controller's file can say of its inside, and what it makes of it.

use solderside_profile::{Control, Controller, Library, SourceFile};
use solderside_quantity::{Ohms, Triple};
use solderside_trade::{ContactId, Evidence};

const APART: &str = "nine-pin-stick-with-separate-commons";
const RESISTORS: &str = "nine-pin-pad-with-series-resistors";
const AUTO_FIRE: &str = "nine-pin-stick-with-auto-fire";

fn like(class: &str, rest: &str) -> Controller {
    let file = SourceFile::new("mine.toml", format!("like = \"{class}\"\n{rest}"));
    let library = Library::with_shelf(vec![file]);
    library.controller("mine").unwrap_or_else(|failure| panic!("{}", failure.render()))
}

fn control(name: &str) -> Control {
    Control::new(name).expect("a name")
}

fn number(id: u8) -> ContactId {
    ContactId::Number(id)
}

#[test]
fn commons_are_one_net_unless_a_control_says_which_is_its_own() {
    let stick = like("nine-pin-stick-with-one-button", "[contact.9]\nrole = \"common\"\n");
    assert_eq!(stick.common_nets(), [[number(8), number(9)]]);
    assert_eq!(stick.commons_of(&control("a")), [number(8), number(9)]);
    let apart = like(APART, "");
    assert_eq!(apart.common_nets(), [[number(8)], [number(9)]]);
    assert_eq!(apart.commons_of(&control("up")), [number(8)]);
    assert_eq!(apart.commons_of(&control("a")), [number(9)]);
    assert_eq!(apart.commons(), [number(8), number(9)]);
}

#[test]
fn a_series_resistor_adds_to_the_switch_and_a_contacts_own_replaces_the_files() {
    let pad = like(
        "nine-pin-stick-with-two-buttons",
        "series_ohms = [100, 110, 120]\nevidence = \"measured\"\nsource = \"my bench\"\n\
         [contact.6]\nseries_ohms = [0, 0, 0]\n\
         [contact.9]\nseries_ohms = [500, 520, 540]\n",
    );
    let switch = pad.switch.closed_ohms().value;
    let ohms = |low, typical, high| switch.plus(Triple::<Ohms>::literal(low, typical, high));
    assert_eq!(pad.closed_ohms(&control("up")), ohms(100.0, 110.0, 120.0));
    assert_eq!(pad.closed_ohms(&control("a")), switch);
    assert_eq!(pad.closed_ohms(&control("b")), ohms(500.0, 520.0, 540.0));
    let of_file = &pad.series_of(&control("up")).expect("a resistor").fact;
    assert_eq!((of_file.evidence, of_file.source.as_str()), (Evidence::Measured, "my bench"));
}

#[test]
fn a_control_that_is_said_again_keeps_its_resistor() {
    let again = like(RESISTORS, "[contact.9]\ncontrol = \"a\"\n");
    assert!(again.series_of(&control("a")).is_some());
    let other = like(RESISTORS, "fire_order = [\"b\", \"c\"]\n[contact.9]\ncontrol = \"c\"\n");
    assert!(other.series_of(&control("c")).is_none(), "another control is another fact");
}

#[test]
fn chips_drive_all_contacts_or_those_that_are_named() {
    let pad = like("fifteen-pin-pad-with-logic", "");
    assert!(pad.controls().into_iter().all(|control| pad.driver_of(control).is_some()));
    let stick = like(AUTO_FIRE, "");
    let driven = stick.controls().into_iter().filter(|control| stick.driver_of(control).is_some());
    assert_eq!(driven.collect::<Vec<_>>(), [&control("a")]);
    assert_eq!(stick.chip_commons(), [number(8)]);
}

#[test]
fn pots_are_axes_and_no_controls() {
    let paddles = like("nine-pin-paddles", "");
    let axes: Vec<_> = paddles.axes().map(|(id, pot)| (id, pot.axis.as_str(), pot.other_end)).collect();
    assert_eq!(axes, [(number(5), "first-paddle", number(7)), (number(9), "second-paddle", number(7))]);
    assert_eq!(paddles.controls(), [&control("a"), &control("b")]);
}

#[test]
fn the_fingerprint_changes_with_what_is_inside_and_with_nothing_else() {
    let print = |class: &str, rest: &str| like(class, rest).fingerprint();
    let logic = |drives: &str| {
        format!(
            "[logic]\nfamily = \"hc\"\noutput = \"open-drain\"\nsupply_volts = [4.5, 5.0, 5.5]\n\
             supply_amps = [0.001, 0.003, 0.01]\n{drives}"
        )
    };
    for (class, rest) in [
        (APART, "[contact.7]\ncloses_to = 8\n".to_owned()),
        (RESISTORS, "[contact.9]\nseries_ohms = [494, 520, 652]\n".to_owned()),
        (RESISTORS, "[contact.6]\nrole = \"unused\"\n".to_owned()),
        (AUTO_FIRE, logic("drives = [\"a\", \"up\"]")),
        (AUTO_FIRE, logic("")),
        ("nine-pin-paddles", "[contact.9]\nohms = [1000, 2000, 3000]\n".to_owned()),
        ("nine-pin-paddles", "[contact.9]\nother_end = 8\n".to_owned()),
    ] {
        assert_ne!(print(class, &rest), print(class, ""), "{class} {rest}");
    }
    assert_eq!(print(AUTO_FIRE, &logic("drives = [\"a\"]")), print(AUTO_FIRE, ""));
    let all = logic("drives = [\"up\", \"down\", \"left\", \"right\", \"a\"]");
    assert_eq!(print(AUTO_FIRE, &all), print(AUTO_FIRE, &logic("")));
    // One common is one net, however often it is named.
    let named = "[contact.6]\ncloses_to = 8\n";
    let stick = "nine-pin-stick-with-one-button";
    assert_eq!(print(stick, named), print(stick, ""));
}
