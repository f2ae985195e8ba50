//! Where else a lead fits, and where it must never go.
//!
//! The rows of harm are what follows from the contacts of the classes (common practice, no source): a lead or a stick
//! that is made for the first class and plugged into the second.

mod bench;

use solderside_lead::{Assembly, Body, EndId, Join, Leg, Part, PlayMap};
use solderside_profile::{Action, Control, Controller, Library, Port, SourceFile};
use solderside_proof::{Code, Finding, Fit, Fitting, Judgement, Place, Severity, Verdict, fits, judge};
use solderside_trade::{ContactId, DiodePart};

use bench::{STICK, lead};

const ONE_FIRE: &str = "nine-pin-one-fire";
const TWO_TRIGGER: &str = "nine-pin-two-trigger";
const LIGHT_GUN: &str = "nine-pin-two-button-light-gun";
const SCANNED: &str = "nine-pin-scanned-returns";
const MINI_DIN: &str = "eight-pin-mini-din";

/// The port that selects between two halves of a pad, as far as harm goes: the catalogue gets the whole of it with
/// the pads that it is for.
const SELECT: &str = r#"
    like = "nine-pin-two-button-light-gun"
    title = "Port that drives 7"
    [contact.7]
    role = "drive"
    family = "hc"
    [[step]]
    name = "select-high"
    drive = { 7 = "high" }
    [[step]]
    name = "select-low"
    drive = { 7 = "low" }
"#;

/// A pad of the classes that feed it on 5 and have its ground on 8.
const NINE_PIN_PAD: &str = r#"
    like = "nine-pin-stick-with-two-buttons"
    title = "Nine-pin pad with a chip"
    [contact.5]
    role = "supply"
    [contact.7]
    role = "unused"
    [logic]
    family = "hc"
    output = "push-pull"
    supply_volts = [4.5, 5.0, 5.5]
    supply_amps = [0.0005, 0.005, 0.01]
"#;

/// Scanned returns whose rows drive both levels, as of a port without a decoder of its own.
const PUSH_PULL_ROWS: &str = r#"
    like = "nine-pin-scanned-returns"
    title = "Scanned returns with outputs that drive both levels"
    [contact.8]
    role = "drive"
    family = "hc"
    [contact.9]
    role = "drive"
    family = "hc"
    [[step]]
    name = "own-row"
    drive = { 8 = "low", 9 = "high" }
    [[step]]
    name = "other-sticks-row"
    drive = { 8 = "high", 9 = "low" }
    sample = []
"#;

/// A port that differs from the strobed mini-DIN in that its 8 is true ground.
const BOTH_GROUND: &str = r#"
    like = "eight-pin-mini-din"
    title = "Mini-DIN port with ground on 7 and 8"
    [contact.8]
    role = "return"
    [[step]]
    name = "read"
"#;

const SHELF: [(&str, &str); 4] = [
    ("select", SELECT),
    ("pad", NINE_PIN_PAD),
    ("push-pull-rows", PUSH_PULL_ROWS),
    ("both-ground", BOTH_GROUND),
];

fn library() -> Library {
    let files = SHELF.iter().map(|(name, text)| SourceFile::new(format!("{name}.toml"), *text));
    Library::with_shelf(files.collect())
}

fn port(name: &str) -> Port {
    library().port(name).unwrap_or_else(|failure| panic!("{}", failure.render()))
}

fn controller(name: &str) -> Controller {
    library().controller(name).unwrap_or_else(|failure| panic!("{}", failure.render()))
}

/// A lead from the fifteen-pin stick with its four directions and these joins.
fn stick_lead(made_for: &str, joins: &[&str]) -> Assembly {
    let directions = ["15-1", "7-2", "14-3", "6-4"];
    lead(&SHELF, [STICK, made_for], directions.into_iter().chain(joins.iter().copied()), "")
}

/// A nine-pin controller plugged straight in: each of these contacts to its own number.
fn straight(controller: &str, made_for: &str, contacts: &[u8]) -> Assembly {
    let joins: Vec<String> = contacts.iter().map(|contact| format!("{contact}-{contact}")).collect();
    lead(&SHELF, [controller, made_for], joins.iter().map(String::as_str), "")
}

fn into(assembly: &Assembly, other: &str) -> Fitting {
    let mut fittings = fits(assembly, &[], &[port(other)]).expect("the values make a circuit");
    assert_eq!(fittings.len(), 1, "{other} takes the lead");
    fittings.remove(0)
}

/// The whole judgement of a lead at another place, with the play map that was found for it there.
fn whole(lead: &Assembly, fitting: &Fitting) -> Judgement {
    let mut there = lead.clone();
    there.port = port(&fitting.name);
    there.lead.play = PlayMap::default();
    for action in there.port.actions() {
        let performs = fitting.play.iter().filter(|(_, actions)| actions.contains(action));
        there.lead.play.set(action.clone(), performs.map(|(control, _)| control.clone()));
    }
    judge(&there).expect("the values make a circuit")
}

/// One row: the lead harms in the other port, first at this contact, with the figure against the limit.
#[track_caller]
fn harms(assembly: &Assembly, other: &str, code: Code, contact: u8) -> Fitting {
    let fitting = into(assembly, other);
    assert_eq!((fitting.fit, fitting.verdict), (Fit::Never, Verdict::Harms), "{:#?}", fitting.findings);
    let worst = &fitting.findings[0];
    assert_eq!((worst.code, worst.legs[0]), (code, Leg::port(ContactId::Number(contact))), "{}", worst.text);
    let figure = |name: &str| worst.figures.iter().find(|figure| figure.name == name).expect(name).value;
    assert!(figure("carries_amps") > figure("limit_amps"), "{}", worst.text);
    assert!(!fitting.is_harmless);
    fitting
}

#[test]
fn the_fire_of_a_scanned_port_shorts_the_supply_on_7() {
    let avocet = stick_lead(SCANNED, &["13-7", "5-6", "1-8"]);
    let shorted = harms(&avocet, ONE_FIRE, Code::PowerOverload, 7);
    // 5.25 V over 0.1 Ω inside, a contact and 1.5 m of cord there and back: amperes where 50 mA may flow.
    assert!(shorted.figures[0].value > 1.0, "{}", shorted.reason);
    assert!(shorted.reason.contains("while `a` is pressed; its limit is 50 mA"), "{}", shorted.reason);
}

#[test]
fn the_second_trigger_to_8_shorts_the_supply_on_7() {
    let strobed = stick_lead(TWO_TRIGGER, &["13-6", "5-7", "1-8"]);
    harms(&strobed, ONE_FIRE, Code::PowerOverload, 7);
}

#[test]
fn the_second_trigger_to_9_drives_a_pot_with_the_supply() {
    let grounded = stick_lead(TWO_TRIGGER, &["13-6", "5-7", "1-9"]);
    // What comes first is the same current at the supply's end.
    let driven = harms(&grounded, ONE_FIRE, Code::PowerOverload, 7);
    let pot = |finding: &Finding| finding.code == Code::DrivePot && finding.severity == Severity::Harm;
    let all = whole(&grounded, &driven).findings;
    assert!(all.iter().any(pot), "{all:#?}");
}

#[test]
fn the_middle_button_on_5_overloads_what_two_triggers_drive_on_8() {
    let middle = stick_lead(ONE_FIRE, &["13-6", "5-5", "1-8"]);
    let driven = harms(&middle, TWO_TRIGGER, Code::PowerOverload, 5);
    let all = whole(&middle, &driven).findings;
    let output = |finding: &Finding| {
        finding.code == Code::DriveOverload && finding.legs[0] == Leg::port(ContactId::Number(8))
    };
    assert!(all.iter().any(output), "{all:#?}");
}

#[test]
fn the_middle_button_on_5_shorts_the_supply_on_5() {
    let middle = stick_lead(ONE_FIRE, &["13-6", "5-5", "1-8"]);
    harms(&middle, LIGHT_GUN, Code::PowerOverload, 5);
    harms(&middle, "select", Code::PowerOverload, 5);
}

#[test]
fn a_pad_that_is_fed_on_5_harms_and_is_harmed_where_the_supply_is_on_7() {
    let joins = ["1-1", "5-5", "6-6", "8-8", "9-9"];
    let play =
        "[play]\nup = [\"up\"]\ndown = []\nleft = []\nright = []\nfire = [\"a\"]\nsecond-fire = [\"b\"]\n";
    let pad = lead(&SHELF, ["pad", LIGHT_GUN], joins, play);
    assert!(judge(&pad).unwrap().verdict.is_sound());
    let keyboard = into(&pad, "nine-pin-one-fire-keyboard-lines");
    assert_eq!((keyboard.fit, keyboard.verdict), (Fit::Never, Verdict::Harms), "{:#?}", keyboard.findings);
}

/// With rows that only pull low nothing is overloaded, and both sticks are read at once.
#[test]
fn a_second_button_on_9_joins_the_two_scanned_returns() {
    for made_for in ["nine-pin-one-fire-second-button-as-level", LIGHT_GUN] {
        let second = stick_lead(made_for, &["13-6", "5-9", "1-8"]);
        let fitting = into(&second, "push-pull-rows");
        assert_eq!((fitting.fit, fitting.verdict), (Fit::Never, Verdict::Harms), "{:#?}", fitting.findings);
        assert_eq!(fitting.findings[0].code, Code::DriveOverload);

        let open = into(&second, SCANNED);
        assert_eq!((open.fit, open.verdict, open.is_harmless), (Fit::Never, Verdict::Fails, true));
        assert_eq!(open.findings[0].code, Code::ReadGhost, "{:#?}", open.findings);
    }
}

#[test]
fn what_ties_7_to_8_shorts_the_strobed_common_to_ground() {
    let both = stick_lead("both-ground", &["13-6", "1-7", "1-8"]);
    assert!(judge(&both).unwrap().verdict.is_sound());
    harms(&both, MINI_DIN, Code::DriveOverload, 8);
}

#[test]
fn a_lead_for_the_light_gun_class_with_its_7_joined_fights_the_line_that_selects() {
    // The catalogue has no such port yet, and `fits` says so; the electrical facts suffice for this much.
    let lead = stick_lead(LIGHT_GUN, &["13-6", "5-9", "1-8", "12-7"]);
    harms(&lead, "select", Code::DriveOverload, 7);
}

#[test]
fn a_button_on_a_pot_does_nothing_and_harms_nothing() {
    let second = stick_lead(LIGHT_GUN, &["13-6", "5-9", "1-8"]);
    let there = into(&second, ONE_FIRE);
    assert_eq!((there.fit, there.verdict, there.is_harmless), (Fit::InPart, Verdict::Works, true));
    assert_eq!(there.controls_lost, [Control::new("b").unwrap()]);
    assert!(there.reason.starts_with("`b` does nothing; the narrowest margin is "), "{}", there.reason);
}

#[test]
fn a_direction_that_moves_another_way_is_said() {
    let crossed = r#"
        like = "nine-pin-one-fire"
        [contact.1]
        action = "left"
        [contact.3]
        action = "up"
    "#;
    let files = vec![SourceFile::new("crossed.toml", crossed)];
    let crossed = Library::with_shelf(files).port("crossed").unwrap();
    let lead = stick_lead(ONE_FIRE, &["13-6", "1-8"]);
    let found = fits(&lead, &[], &[crossed]).unwrap();
    assert_eq!(found[0].fit, Fit::InPart);
    assert_eq!(found[0].differs, ["`up` moves `left`", "`left` moves `up`"]);
}

#[test]
fn buttons_in_another_order_lose_nothing() {
    let swapped = r#"
        format = 1
        kind = "port"
        title = "Triggers swapped"
        like = "nine-pin-two-trigger"
        [contact.6]
        action = "second-fire"
        [contact.7]
        action = "fire"
    "#;
    let files = vec![SourceFile::new("swapped.toml", swapped)];
    let swapped = Library::with_shelf(files).port("swapped").unwrap();
    let grounded = stick_lead(TWO_TRIGGER, &["13-6", "5-7", "1-9"]);
    let there = &fits(&grounded, &[], &[swapped]).unwrap()[0];
    assert_eq!(there.fit, Fit::Works, "{:#?}", there.findings);
    assert!(
        there.reason.starts_with("nothing is lost; `a` plays `second-fire`, `b` plays `fire`"),
        "{}",
        there.reason
    );
}

/// The common is on the strobe there. While that is high and the machine holds a trigger low, a button joins two
/// outputs of the machine.
#[test]
fn a_scanned_lead_harms_two_triggers_that_the_machine_holds_low() {
    let scanned = stick_lead(SCANNED, &["13-7", "5-6", "1-8"]);
    harms(&scanned, TWO_TRIGGER, Code::DriveOverload, 6);
}

/// Current flows from the line into the anode, through the switch to the return.
#[test]
fn a_diode_lets_a_control_perform_only_the_way_the_current_goes() {
    let fire = |line: &str, switch: &str| {
        let mut lead = stick_lead(LIGHT_GUN, &["1-8"]);
        let diode = DiodePart::parse("BAT85").expect("it is in the shops");
        lead.lead.parts.push(Part { number: 1, body: Body::Diode(diode), sits: EndId::Port });
        let joins = [format!("d1.{line} - port.6"), format!("controller.13 - d1.{switch}")];
        lead.lead.joins.extend(joins.map(|join| join.parse::<Join>().expect("a join")));
        lead.lead.settle();
        let there = into(&lead, ONE_FIRE);
        there.play.iter().find(|(control, _)| control.as_str() == "a").map(|(_, actions)| actions.clone())
    };
    assert_eq!(fire("anode", "cathode"), Action::new("fire").map(|fire| vec![fire]));
    assert_eq!(fire("cathode", "anode"), None);
}

#[test]
fn a_hazard_is_never_a_place_for_a_lead_whatever_the_proof_says() {
    let scanned = stick_lead(SCANNED, &["13-7", "5-6", "1-8"]);
    let serial = into(&scanned, "nine-way-serial");
    assert_eq!((serial.fit, serial.place, serial.is_harmless), (Fit::Never, Place::Hazard, false));
    assert!(serial.reason.starts_with("a serial interface"), "{}", serial.reason);
    assert!(serial.findings.iter().all(|finding| !finding.code.as_str().starts_with("read-")));
    assert!(serial.play.is_empty());
}

#[test]
fn an_end_for_a_controller_that_goes_into_a_machine_is_never_plugged_in_there() {
    let lead = straight("nine-pin-stick-with-two-buttons", LIGHT_GUN, &[1, 2, 3, 4, 6, 8, 9]);
    let monitor = into(&lead, "nine-way-monitor-output");
    assert_eq!((monitor.fit, monitor.end.to_string().as_str()), (Fit::Never, "controller"));
}

#[test]
fn another_controller_is_held_against_what_the_own_one_plays() {
    let lead = straight("nine-pin-stick-with-two-buttons", LIGHT_GUN, &[1, 2, 3, 4, 6, 8, 9]);
    let found = fits(&lead, &[controller("nine-pin-stick-with-one-button")], &[]).unwrap();
    assert_eq!((found[0].fit, found[0].place), (Fit::InPart, Place::Controller));
    assert!(found[0].reason.starts_with("nothing plays `second-fire`"), "{}", found[0].reason);
}

#[test]
fn what_does_not_mate_and_what_the_lead_is_made_for_are_left_out() {
    let lead = stick_lead(ONE_FIRE, &["13-6", "1-8"]);
    let ports = [port(ONE_FIRE), port(MINI_DIN), port("arcade-edge-player-1")];
    let controllers = [controller(STICK), controller("nine-pin-stick-with-one-button")];
    assert_eq!(fits(&lead, &controllers, &ports).unwrap(), []);
}

#[test]
fn what_harms_comes_before_all_others_and_names_are_in_order() {
    let lead = stick_lead(LIGHT_GUN, &["13-6", "5-9", "1-8"]);
    let found = fits(&lead, &[], &every_port()).unwrap();
    let keys: Vec<_> =
        found.iter().map(|one| (one.fit, one.verdict != Verdict::Harms, one.name.clone())).collect();
    assert!(keys.is_sorted(), "{keys:#?}");
    assert!(keys.iter().any(|(fit, ..)| *fit == Fit::Works));
}

fn every_port() -> Vec<Port> {
    let library = Library::catalogue();
    library.entries().into_iter().filter_map(|entry| library.port(&entry.name).ok()).collect()
}

/// The short way to a verdict, held against the whole proof of the same lead with the same play map.
#[test]
fn the_verdict_of_each_place_is_that_of_a_proof_there() {
    let ports = every_port();
    for lead in [
        stick_lead(LIGHT_GUN, &["13-6", "5-9", "1-8"]),
        stick_lead(TWO_TRIGGER, &["13-6", "5-7", "1-9"]),
        stick_lead(SCANNED, &["13-7", "5-6", "1-8"]),
    ] {
        for fitting in fits(&lead, &[], &ports).unwrap() {
            let whole = whole(&lead, &fitting);
            assert_eq!(fitting.verdict, whole.verdict, "{}", fitting.name);
            assert!(!(fitting.is_harmless && whole.verdict == Verdict::Harms), "{}", fitting.name);
        }
    }
}
