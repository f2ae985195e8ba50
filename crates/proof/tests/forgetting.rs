//! The pad with six buttons: what it shows at each step against a table worked out by hand, and what it takes for its
//! count to begin at zero.

#[expect(dead_code, reason = "shared with tests of other leads")]
mod bench;

use std::collections::BTreeSet;

use bench::lead;
use solderside_lead::{Assembly, Doubt, Join, Leg, State};
use solderside_profile::{Action, Control};
use solderside_proof::{Code, Finding, LineKind, LineLevel, Proof, Severity, Verdict, prove, timing};
use solderside_trade::ContactId;

const PAD: &str = "nine-pin-select-pad-six-buttons";
const OWN: &str = "nine-pin-select-six-buttons";
const STRAIGHT: [&str; 9] = ["1-1", "2-2", "3-3", "4-4", "5-5", "6-6", "7-7", "8-8", "9-9"];

/// The pad on a port like another, with these lines before its own tables.
fn on(port: &str, keys: &str) -> Assembly {
    let mine = format!("like = \"{port}\"\n{keys}");
    lead(&[("mine", &mine)], [PAD, "mine"], STRAIGHT, "")
}

fn state(pressed: &str) -> State {
    pressed.split_whitespace().map(|name| Control::new(name).expect("a control")).collect()
}

/// The levels of contacts 1, 2, 3, 4, 6 and 9 in each step, `L` and `H`.
fn levels(assembly: &Assembly, pressed: &str) -> Vec<String> {
    let timing = timing(assembly, &state(pressed)).expect("a circuit");
    let lines: Vec<_> = timing.lines.iter().filter(|line| line.kind == LineKind::Read).collect();
    let letter = |level: LineLevel| match level {
        LineLevel::Low => 'L',
        LineLevel::High => 'H',
        LineLevel::LetGo => '-',
        LineLevel::Unknown => '?',
    };
    (0..timing.steps.len()).map(|at| lines.iter().map(|line| letter(line.levels[at])).collect()).collect()
}

/// Common practice, no source: levels of D0 to D3 state by state; Linux kernel source, drivers/input/joystick/db9.c, for
/// which button is which. By hand: D0 D1 D2 D3, then D4 D5, in the eight steps; low is pressed.
#[test]
fn the_pad_with_six_buttons_shows_the_published_levels_at_every_step() {
    let own = lead(&[], [PAD, OWN], STRAIGHT, "");
    for (pressed, table) in [
        ("", "HHHHHH HHLLHH HHHHHH HHLLHH HHHHHH LLLLHH HHHHHH HHHHHH"),
        ("up", "LHHHHH LHLLHH LHHHHH LHLLHH LHHHHH LLLLHH HHHHHH HHHHHH"),
        ("down", "HLHHHH HLLLHH HLHHHH HLLLHH HLHHHH LLLLHH HHHHHH HHHHHH"),
        ("left", "HHLHHH HHLLHH HHLHHH HHLLHH HHLHHH LLLLHH HHHHHH HHHHHH"),
        ("right", "HHHLHH HHLLHH HHHLHH HHLLHH HHHLHH LLLLHH HHHHHH HHHHHH"),
        ("a", "HHHHHH HHLLLH HHHHHH HHLLLH HHHHHH LLLLLH HHHHHH HHHHLH"),
        ("b", "HHHHLH HHLLHH HHHHLH HHLLHH HHHHLH LLLLHH HHHHLH HHHHHH"),
        ("c", "HHHHHL HHLLHH HHHHHL HHLLHH HHHHHL LLLLHH HHHHHL HHHHHH"),
        ("start", "HHHHHH HHLLHL HHHHHH HHLLHL HHHHHH LLLLHL HHHHHH HHHHHL"),
        ("z", "HHHHHH HHLLHH HHHHHH HHLLHH HHHHHH LLLLHH LHHHHH HHHHHH"),
        ("y", "HHHHHH HHLLHH HHHHHH HHLLHH HHHHHH LLLLHH HLHHHH HHHHHH"),
        ("x", "HHHHHH HHLLHH HHHHHH HHLLHH HHHHHH LLLLHH HHLHHH HHHHHH"),
        ("mode", "HHHHHH HHLLHH HHHHHH HHLLHH HHHHHH LLLLHH HHHLHH HHHHHH"),
        ("down right a b c start x y z mode", "HLHLLL HLLLLL HLHLLL HLLLLL HLHLLL LLLLLL LLLLLL HHHHLL"),
    ] {
        assert_eq!(levels(&own, pressed).join(" "), table, "{pressed}");
    }
}

/// After the four highs the pad is back to what it showed at first: common practice, no source.
#[test]
fn after_the_four_highs_the_pad_shows_the_directions_again() {
    let step = |(at, word): (usize, &str)| {
        let reads = "{ 1 = \"up\", 2 = \"down\", 3 = \"left\", 4 = \"right\", 6 = \"b\", 9 = \"c\" }";
        format!(
            "[[step]]\nname = \"s{at}\"\nhold_seconds = 14e-6\ndrive = {{ 7 = \"{word}\" }}\nreads = {reads}\n"
        )
    };
    let words = ["high", "low"].into_iter().cycle().take(14).enumerate();
    let longer = on("nine-pin-select", &words.map(step).collect::<String>());
    let (high, low) = ("LHLHHH", "LHLLHH");
    let by_hand = [high, low, high, low, high, "LLLLHH", "HHHHHH", "HHHHHH", high, low, high, low, high, low];
    assert_eq!(levels(&longer, "up left"), by_hand);
}

fn forgets(proof: &Proof) -> Vec<&Finding> {
    proof.findings.iter().filter(|finding| finding.code == Code::TimingForgets).collect()
}

#[test]
fn every_button_of_the_pad_with_six_works_on_its_own_port() {
    let own = lead(&[], [PAD, OWN], STRAIGHT, "");
    let proof = prove(&own).expect("a circuit");
    assert_eq!((proof.verdict, forgets(&proof).len()), (Verdict::Works, 0), "{:#?}", proof.findings);
    assert_eq!(proof.controls_lost, []);
    // Nine places of the lever, and each of eight buttons pressed or not.
    assert_eq!((proof.truth.len(), proof.truth_pressed_at_most), (9 << 8, None));
    for row in &proof.truth {
        let pressed: BTreeSet<&str> = row.pressed.iter().map(Control::as_str).collect();
        assert_eq!(pressed, row.reads.iter().map(Action::as_str).collect());
    }
}

/// By hand: between two readings the pad forgets, so the two steps see a count of nought and of one, at which it is a pad
/// with three buttons.
#[test]
fn a_port_that_asks_for_three_buttons_reads_eight_controls_of_the_pad_with_six() {
    let three = lead(&[], [PAD, "nine-pin-select"], STRAIGHT, "");
    let proof = prove(&three).expect("a circuit");
    assert_eq!((proof.verdict, forgets(&proof).len()), (Verdict::Works, 0), "{:#?}", proof.findings);
    let lost: Vec<&str> = proof.controls_lost.iter().map(Control::as_str).collect();
    assert_eq!(lost, ["x", "y", "z", "mode"]);
    assert_eq!(levels(&three, "up a b x z"), ["LHHHLH", "LHLLLH"]);
}

/// A pad without a counter has none of the marks by which the machine knows six buttons.
#[test]
fn a_pad_with_three_buttons_is_not_known_to_a_port_for_six() {
    let proof = prove(&lead(&[], ["nine-pin-select-pad", OWN], STRAIGHT, "")).expect("a circuit");
    let known = proof.findings.iter().find(|finding| finding.code == Code::ReadIdentity);
    assert_eq!(known.map(|finding| finding.severity), Some(Severity::Fail));
}

fn told(assembly: &Assembly) -> Vec<(Severity, String)> {
    let proof = prove(assembly).expect("a circuit");
    assert!(!proof.verdict.is_sound(), "{:?}", proof.verdict);
    forgets(&proof).into_iter().map(|own| (own.severity, own.text.clone())).collect()
}

#[test]
fn a_port_that_rests_too_short_for_the_pad_to_forget_is_refused() {
    let begins = "what `controller` counts is forgotten when the lines rest for 1.2 ms to 1.8 ms, and";
    // Not even a typical pad has forgotten.
    assert_eq!(
        told(&on(OWN, "rest_seconds = 1e-3\n")),
        [(
            Severity::Fail,
            format!(
                "{begins} between two readings they rest for 1 ms only: 800 µs short, and a reading may begin with \
                 the count of the one before"
            )
        )]
    );
    // A slow one may not have.
    assert_eq!(
        told(&on(OWN, "rest_seconds = [1.7e-3, 10e-3, 20e-3]\n")),
        [(
            Severity::Note,
            format!(
                "{begins} between two readings they rest for 1.7 ms only: 100 µs short, and a reading may begin with \
                 the count of the one before"
            )
        )]
    );
    // Exactly as long as the slowest needs is enough.
    let enough = prove(&on(OWN, "rest_seconds = 1.8e-3\n")).expect("a circuit");
    assert_eq!(enough.verdict, Verdict::Works);
}

/// The two steps, each so long; the port's rest is that of the catalogue.
fn two_steps(hold: &str) -> Assembly {
    let step = |name: &str, level: &str, reads: &str| {
        format!("[[step]]\nname = \"{name}\"\ndrive = {{ 7 = \"{level}\" }}\n{hold}reads = {{ {reads} }}\n")
    };
    let [high, low] = [
        step("first", "high", "1 = \"up\", 2 = \"down\", 3 = \"left\", 4 = \"right\", 6 = \"b\", 9 = \"c\""),
        step("second", "low", "6 = \"a\", 9 = \"start\""),
    ];
    on("nine-pin-select", &format!("{high}{low}"))
}

#[test]
fn a_reading_so_long_that_the_pad_may_forget_in_it_is_refused() {
    let long = told(&two_steps("hold_seconds = 0.8e-3\n"));
    assert_eq!(
        long,
        [(
            Severity::Fail,
            "what `controller` counts is forgotten when the lines rest for 1.2 ms to 1.8 ms, and a reading takes 1.6 \
             ms: 400 µs too long, and the count may be forgotten in the middle of it"
                .to_owned()
        )]
    );
    // The longest reading counts, and the soonest time to forget; equal is too long.
    let slow = told(&two_steps("hold_seconds = [14e-6, 14e-6, 0.6e-3]\n"));
    assert_eq!(slow.iter().map(|(severity, _)| *severity).collect::<Vec<_>>(), [Severity::Note]);
    let unknown = told(&two_steps(""));
    assert_eq!(
        unknown,
        [(
            Severity::Note,
            "what `controller` counts is forgotten when the lines rest for 1.2 ms to 1.8 ms, and nobody says how long \
             the step `first` lasts: the count may be forgotten in the middle of a reading"
                .to_owned()
        )]
    );
    assert_eq!(prove(&two_steps("hold_seconds = 0.5e-3\n")).expect("a circuit").verdict, Verdict::Works);
}

#[test]
fn where_nobody_knows_how_long_the_lines_rest_nothing_is_known_of_the_count() {
    let mut own = lead(&[], [PAD, OWN], STRAIGHT, "");
    own.port.rest = None;
    let found = told(&own);
    assert_eq!(
        found,
        [(
            Severity::Note,
            "what `controller` counts is forgotten when the lines rest for 1.2 ms to 1.8 ms, and nobody says how long \
             they rest between two readings: where the count begins is not known"
                .to_owned()
        )]
    );
    // By hand: where the directions and the other buttons show the same the level is known all the same, and 6 and 9 do
    // not hang on the count. With select low it can be four lows, four highs, or the directions.
    assert_eq!(levels(&own, "up left a")[..2], ["?H?HHH", "????LH"]);
    assert_eq!(own.forgetting()[0].doubts, [Doubt::RestUnknown]);
}

/// Where the machine drives no line of the lead, select rests for ever: on the supply the pad shows one half.
#[test]
fn a_select_that_is_tied_to_the_supply_needs_no_port_that_rests() {
    let joins = ["1-1", "2-2", "3-3", "4-4", "5-7", "7-7", "8-8", "6-6"];
    let play =
        "[play]\nup = [\"up\"]\ndown = [\"down\"]\nleft = [\"left\"]\nright = [\"right\"]\nfire = [\"b\"]\n";
    let tied = lead(&[], [PAD, "nine-pin-one-fire"], joins, play);
    let proof = prove(&tied).expect("a circuit");
    assert!(forgets(&proof).is_empty());
    assert!(tied.port.rest.is_none() && proof.verdict.is_sound(), "{:#?}", proof.findings);
    assert_eq!(levels(&tied, "up x b"), ["LHHHL"]);
}

/// The machine moves its latch, and the lead has that too; but the counter hears of select alone, and that is copper.
#[test]
fn a_counter_whose_clock_is_wired_to_its_own_supply_counts_nothing() {
    let doubts = |select: Join| {
        let mut own = lead(&[], [PAD, "nine-pin-register-8-bit"], ["5-6", "8-8", "3-3"], "");
        own.lead.joins.push(select);
        own.lead.settle();
        own.forgetting()[0].doubts.clone()
    };
    let select = Leg::controller(ContactId::Number(7));
    let at = |end: fn(ContactId) -> Leg, number| Join::new(select, end(ContactId::Number(number)));
    assert_eq!(doubts(at(Leg::controller, 5)), []);
    assert_eq!(doubts(at(Leg::controller, 8)), []);
    assert_eq!(doubts(at(Leg::port, 6)), [], "the same net as the pad's supply");
    assert!(!doubts(at(Leg::port, 4)).is_empty(), "the machine's clock moves it");
    assert!(!doubts(at(Leg::controller, 1)).is_empty(), "an output of the pad may move");
}
