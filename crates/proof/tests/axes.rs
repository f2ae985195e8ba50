//! Axes that are measured by the time that a pot takes to charge a capacitor, as statements of the trade.

mod bench;

use solderside_lead::{Assembly, Leg, read_lead};
use solderside_profile::{Library, SourceFile};
use solderside_proof::{AxisProof, Code, Finding, Position, Proof, Severity, Verdict, prove};
use solderside_quantity::Seconds;
use solderside_trade::ContactId;

use bench::{STICK, lead};

const GAME_STICK: &str = "fifteen-pin-game-stick";
const GAME: &str = "fifteen-pin-game";
const KEYPAD_STICK: &str = "fifteen-pin-analogue-stick-with-keypad";
const KEYPAD: &str = "fifteen-pin-analogue-with-keypad";

/// The straight lead of each, without the keypad.
const STRAIGHT: [&str; 7] = ["1-1", "2-2", "3-3", "4-4", "5-5", "6-6", "7-7"];
const STRAIGHT_TO_KEYPAD: [&str; 6] = ["9-9", "10-10", "11-11", "13-13", "14-14", "15-15"];

/// The play map of a lead that leaves the keypad out.
const SIDE_BUTTONS: &str = "[play]\nfire = [\"a\"]\nsecond-fire = [\"b\"]\n";

fn proof(assembly: &Assembly) -> Proof {
    prove(assembly).expect("the catalogue's values make a circuit")
}

fn game(joins: &[&str]) -> Proof {
    proof(&lead(&[], [GAME_STICK, GAME], joins.iter().copied(), ""))
}

/// The straight lead with a stick of other pots.
fn of_track(ohms: f64) -> Proof {
    let text =
        |contact: u8| format!("[contact.{contact}]\nohms = [{:?}, {ohms:?}, {:?}]\n", ohms * 0.9, ohms * 1.1);
    let stick = format!(
        "like = \"{GAME_STICK}\"\n{}evidence = \"assumed\"\nsource = \"for this test\"\n{}evidence = \"assumed\"\nsource = \
         \"for this test\"\n",
        text(3),
        text(6)
    );
    proof(&lead(&[("own", &stick)], ["own", GAME], STRAIGHT, ""))
}

fn axis<'p>(proof: &'p Proof, name: &str) -> &'p AxisProof {
    proof.axes.iter().find(|axis| axis.axis.as_str() == name).expect("the axis is measured")
}

fn found(proof: &Proof, code: Code) -> &Finding {
    let found = proof.findings.iter().find(|finding| finding.code == code);
    found.unwrap_or_else(|| panic!("{code} is not found: {:#?}", proof.findings))
}

fn typical(axis: &AxisProof, position: Position) -> f64 {
    let time = axis.travel.iter().find(|time| time.position == position).expect("each position is there");
    time.typical.map_or(f64::INFINITY, Seconds::get)
}

#[track_caller]
fn assert_near(found: f64, expected: f64, share: f64) {
    assert!((found / expected - 1.0).abs() < share, "{found}, expected {expected}");
}

#[test]
fn the_game_stick_works_on_its_own_port_through_a_straight_lead() {
    let proof = game(&STRAIGHT);
    assert_eq!(proof.verdict, Verdict::Works, "{:#?}", proof.findings);
    let moved: Vec<&str> = proof.axes.iter().map(|axis| axis.axis.as_str()).collect();
    assert_eq!(moved, ["x", "y"]);
    for axis in &proof.axes {
        // *Joystick / Game Port (201h)*, HelpPC: t = 24.2 µs + 0.011 µs × R / Ω.
        for (position, microseconds) in
            [(Position::Low, 24.2), (Position::Centre, 574.2), (Position::High, 1124.2)]
        {
            assert_near(typical(axis, position), microseconds * 1e-6, 1.5e-3);
        }
        for time in axis.travel {
            assert!(time.least < time.typical && time.typical < time.most, "{time:?}");
        }
    }
}

/// *Joystick / Game Port (201h)*, the page of a programmer's help: t = 24.2 µs + 0.011 µs × R / Ω.
#[test]
fn the_times_are_those_of_the_published_formula() {
    for ohms in [1e3, 50e3, 100e3] {
        let proof = of_track(ohms);
        let high = typical(axis(&proof, "x"), Position::High);
        assert_near(high, (24.2 + 0.011 * ohms) * 1e-6, 1.5e-3);
        assert_near(typical(axis(&proof, "x"), Position::Low), 24.2e-6, 1.5e-3);
    }
}

#[test]
fn the_stick_with_a_keypad_works_on_its_own_port() {
    let assembly = lead(&[], [KEYPAD_STICK, KEYPAD], STRAIGHT_TO_KEYPAD, SIDE_BUTTONS);
    let proof = proof(&assembly);
    // Its buttons are carbon domes, which wear; of its axes there is nothing to say.
    assert_eq!(proof.verdict, Verdict::Thin, "{:#?}", proof.findings);
    let said =
        |finding: &&Finding| finding.severity > Severity::Note && finding.code != Code::ReadWornContact;
    assert_eq!(proof.findings.iter().find(said), None);
    // 47 nF to 0.4 of the rail: 501.8 kΩ × 47 nF × ln(1 / 0.6) = 12.05 ms.
    assert_near(typical(axis(&proof, "y"), Position::High), 501.8e3 * 47e-9 * libm::log(1.0 / 0.6), 1.5e-3);
}

#[test]
fn a_stick_of_500_kilohms_on_a_port_made_for_100_is_too_slow() {
    let proof = of_track(500e3);
    assert_eq!(proof.verdict, Verdict::Fails);
    let finding = found(&proof, Code::ReadAxisRange);
    // At the middle already 24.2 µs + 0.011 µs × 250 kΩ = 2.77 ms.
    assert!(finding.text.contains("24.2 µs, 2.77 ms and 5.52 ms"), "{}", finding.text);
    // 100 kΩ × 500 kΩ / 400 kΩ.
    assert!(finding.remedy.contains("a resistor of 125 kΩ within 1 % from `port.3`"), "{}", finding.remedy);
}

#[test]
fn a_resistor_beside_a_pot_of_500_kilohms_brings_it_down_to_100() {
    let joins = ["controller.9 - port.1", "controller.10 - port.3", "r1.1 - port.1", "r1.2 - port.3"];
    let proof = proof(&with_part(&joins, "[part.r1]\nohms = 125000\ntolerance_percent = 1\n"));
    let axis = axis(&proof, "x");
    // 500 kΩ and 125 kΩ side by side are 100 kΩ; 250 kΩ and 125 kΩ are 83.3 kΩ.
    assert_near(typical(axis, Position::High), (24.2 + 0.011 * 100e3) * 1e-6, 1.5e-3);
    assert_near(typical(axis, Position::Centre), (24.2 + 0.011 * 250e3 / 3.0) * 1e-6, 1.5e-3);
    // The middle lies close to the far end, so it is told apart with less to spare.
    assert_eq!(proof.verdict, Verdict::Thin, "{:#?}", proof.findings);
    assert_eq!(found(&proof, Code::ReadAxisRange).severity, Severity::Thin);
}

/// The stick with the large pots on the port for small ones, with a part in the hood of the port end.
fn with_part(joins: &[&str], part: &str) -> Assembly {
    let buttons = ["controller.13 - port.2", "controller.14 - port.7", "controller.15 - port.4"];
    let joins: Vec<String> = joins.iter().chain(&buttons).map(|join| format!("\"{join}\"")).collect();
    let text = format!(
        "format = 1\nkind = \"lead\"\ncontroller = \"new-stick\"\nport = \"{GAME}\"\njoins = [{}]\n\
         [play]\nfire = [\"a\"]\nsecond-fire = [\"b\"]\n{part}",
        joins.join(", ")
    );
    // Carbon domes would be too weak for the buttons of this port.
    let stick = format!("like = \"{KEYPAD_STICK}\"\nswitch = \"microswitch\"\n");
    let library = Library::with_shelf(vec![SourceFile::new("new-stick.toml", stick)]);
    read_lead(&SourceFile::new("lead.toml", text), &library)
        .unwrap_or_else(|failure| panic!("{}", failure.render()))
}

#[test]
fn a_track_works_from_half_of_the_ports_own_value() {
    for (ohms, verdict) in [
        (10e3, Verdict::Fails),
        (20e3, Verdict::Thin),
        (50e3, Verdict::Thin),
        (60e3, Verdict::Works),
        (120e3, Verdict::Works),
        // 1.1 × 130 kΩ takes more than 2 ms where all tolerances are against it.
        (130e3, Verdict::Thin),
        // A slow one is at the end of what is measured before it is at its middle.
        (250e3, Verdict::Fails),
        (400e3, Verdict::Fails),
    ] {
        let proof = of_track(ohms);
        assert_eq!(proof.verdict, verdict, "{ohms} Ω: {:#?}", proof.findings);
    }
}

#[test]
fn a_pot_whose_other_end_is_joined_to_nothing_is_never_charged() {
    let proof = game(&STRAIGHT[1..]);
    assert_eq!(proof.verdict, Verdict::Fails);
    let finding = found(&proof, Code::ReadAxisStill);
    assert!(
        finding.text.contains("its pot's other end `controller.1` is joined to nothing"),
        "{}",
        finding.text
    );
    assert!(
        finding.remedy.contains("join `controller.1` to one of `port.1`, `port.8`, `port.9` and `port.15`"),
        "{}",
        finding.remedy
    );
    assert!(axis(&proof, "x").travel.iter().all(|time| time.typical.is_none()));
}

#[test]
fn a_pot_that_ends_at_the_return_is_never_charged() {
    let proof = game(&["1-12", "2-2", "3-3", "4-4", "5-5", "6-6", "7-7"]);
    let finding = found(&proof, Code::ReadAxisStill);
    assert_eq!(finding.severity, Severity::Fail);
    assert!(finding.text.contains("stands at no more than"), "{}", finding.text);
}

#[test]
fn a_pot_that_lies_across_supply_and_return_burns_at_its_stop() {
    let proof = game(&["1-1", "2-2", "3-12", "4-4", "5-5", "7-7"]);
    assert_eq!(proof.verdict, Verdict::Harms);
    let finding = found(&proof, Code::PowerOverload);
    assert_eq!(finding.legs[0], Leg::port(ContactId::Number(1)));
    // 4.75 V and more over 2 Ω at most and the cable.
    let carries = finding.figures.iter().find(|figure| figure.name == "carries_amps").expect("a current");
    assert!(carries.value > 1.0, "{}", carries.value);
}

#[test]
fn a_pot_at_its_stop_draws_what_the_ports_own_resistance_lets_through() {
    let proof = game(&STRAIGHT);
    let supply = proof.loads.iter().find(|load| load.what == "supply").expect("the feed is limited");
    // Two pots at 0 Ω behind 2.1 kΩ each, at 5.25 V.
    assert_near(supply.amps.get(), 2.0 * 5.25 / 2100.0, 0.01);
    assert!(supply.amps < supply.limit);
}

#[test]
fn a_stick_that_counts_from_the_other_side_moves_the_wrong_way() {
    let stick = format!("like = \"{GAME_STICK}\"\n[contact.3]\nlow = \"right\"\n");
    let proof = proof(&lead(&[("own", &stick)], ["own", GAME], STRAIGHT, ""));
    assert_eq!(proof.verdict, Verdict::Fails);
    let finding = found(&proof, Code::ReadAxisReversed);
    assert!(finding.text.contains("moves the wrong way"), "{}", finding.text);
}

#[test]
fn crossed_axes_are_told() {
    let proof = game(&["1-1", "2-2", "3-6", "4-4", "5-5", "6-3", "7-7"]);
    assert_eq!(proof.verdict, Verdict::Fails);
    let crossed = proof.findings.iter().filter(|finding| finding.code == Code::ReadAxisReversed);
    assert_eq!(crossed.count(), 2);
}

#[test]
fn a_button_on_the_line_of_an_axis_moves_it() {
    let proof = game(&["1-1", "2-2", "3-3", "4-4", "5-5", "6-6", "7-3"]);
    // With the stick at its end the supply goes home through the button.
    assert_eq!(proof.verdict, Verdict::Harms);
    let finding = found(&proof, Code::ReadAxisMoved);
    assert!(finding.text.starts_with("pressing `b` moves `port.3` (axis x)"), "{}", finding.text);
    assert_eq!(finding.state.as_deref().map(<[_]>::len), Some(1));
}

#[test]
fn two_pots_on_one_line_move_each_other() {
    let proof = game(&["1-1", "2-2", "3-3", "4-4", "5-5", "6-3", "7-7"]);
    assert_eq!(proof.verdict, Verdict::Fails, "{:#?}", proof.findings);
    let finding = found(&proof, Code::ReadAxisMoved);
    assert!(finding.text.starts_with("`controller.6` (axis y) at its low end moves"), "{}", finding.text);
}

#[test]
fn an_axis_that_is_left_out_is_lost_and_no_fault() {
    let proof = game(&["1-1", "2-2", "3-3", "4-4", "5-5", "7-7"]);
    assert_eq!(proof.verdict, Verdict::Works, "{:#?}", proof.findings);
    let lost = found(&proof, Code::ReadLostControl);
    assert!(lost.text.starts_with("the axis `y` of the controller is lost"), "{}", lost.text);
    let still = found(&proof, Code::ReadLostAction);
    assert!(proof.axes.len() == 1 && still.severity == Severity::Note);
}

#[test]
fn a_pot_of_which_nobody_says_where_it_has_no_resistance_is_noted() {
    let paddles = "like = \"nine-pin-paddles\"\n[contact.5]\nohms = [90000, 100000, 110000]\n";
    let assembly = lead(&[("own", paddles)], ["own", GAME], ["7-1", "5-3", "3-2", "4-7", "8-4"], "");
    let proof = proof(&assembly);
    assert_eq!(proof.verdict, Verdict::Works, "{:#?}", proof.findings);
    let finding = found(&proof, Code::ReadAxisReversed);
    assert_eq!(finding.severity, Severity::Note);
}

#[test]
fn a_feed_of_its_own_is_the_same_wherever_the_stick_stands() {
    // From 4 V to 5.25 V the times differ by half, but all three by the same.
    let port = format!(
        "like = \"{KEYPAD}\"\n[contact.9]\nvolts = [4.0, 5.0, 5.25]\nevidence = \"assumed\"\nsource = \"for this test\"\n"
    );
    let assembly = lead(&[("own", &port)], [KEYPAD_STICK, "own"], STRAIGHT_TO_KEYPAD, SIDE_BUTTONS);
    let proof = proof(&assembly);
    let axis = axis(&proof, "x");
    let [low, high] = axis.apart.expect("it is bounded");
    assert!(low > 0.2 && high > 0.2, "{low}, {high}");
    // 552.2 kΩ × 52 nF × ln(4 / (4 − 0.45 × 5.25)) is 25.6 ms and more; 20 ms are measured.
    assert_eq!(proof.verdict, Verdict::Thin, "{:#?}", proof.findings);
    let finding = found(&proof, Code::ReadAxisRange);
    assert!(finding.text.contains("the last part of the travel reads as its end"), "{}", finding.text);
}

#[test]
fn a_button_alone_on_an_axis_is_no_stick() {
    let proof = proof(&lead(&[], [STICK, GAME], ["13-2", "14-3", "1-4"], ""));
    assert_eq!(proof.verdict, Verdict::Fails);
    assert!(proof.axes.is_empty());
    let finding = found(&proof, Code::DrivePot);
    assert!(finding.legs.contains(&Leg::port(ContactId::Number(3))), "{}", finding.text);
}

#[test]
fn a_large_capacitor_on_the_line_is_not_vouched_for() {
    let joins = ["controller.9 - port.1", "controller.10 - port.3", "c1.1 - port.3", "c1.2 - port.5"];
    let proof = proof(&with_part(&joins, "[part.c1]\nfarads = 1e-7\n"));
    assert_eq!(proof.verdict, Verdict::Unproved, "{:#?}", proof.findings);
    let finding = found(&proof, Code::ReadUnproved);
    assert!(finding.text.contains("hang on `port.3` (axis x) beside"), "{}", finding.text);
}
