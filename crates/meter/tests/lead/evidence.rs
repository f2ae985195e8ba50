//! What a person says is read as meant, and near misses are answered with what to write.

use proptest::prelude::*;
use solderside_meter::{Bench, Benches, Clue, Evidence, Way};

fn read(text: &str) -> Vec<String> {
    let assembly = crate::shelf::stick_to_plover();
    let bench = Bench::new(&assembly);
    let clue = |clue: Clue| match clue {
        Clue::Reading(measurement, reading) => format!("{measurement}: {reading}"),
        Clue::Buzzer(measurement, sounds) => {
            format!("{measurement}: {}", if sounds { "sounds" } else { "silent" })
        }
        Clue::Deed(pressed, action, active) => {
            let pressed: Vec<&str> = pressed.iter().map(solderside_profile::Control::as_str).collect();
            format!("{}: {}{action}", pressed.join("+"), if active { "" } else { "not " })
        }
    };
    let [way] = <[Way; 1]>::try_from(Evidence::parse(text, &Benches::from(&bench)).unwrap().ways).unwrap();
    way.clues.into_iter().map(clue).collect()
}

fn refused(text: &str) -> String {
    let assembly = crate::shelf::stick_to_plover();
    Evidence::parse(text, &Benches::from(&Bench::new(&assembly))).unwrap_err().to_string()
}

#[test]
fn readings_are_said_with_places_values_and_what_is_held() {
    for (said, meant) in [
        ("port.3 - controller.14 reads 1.2k", "port.3 - controller.14: 1200"),
        ("3–7 reads 1.2 k", "port.3 - port.7: 1200"),
        ("3-7 reads open", "port.3 - port.7: inf"),
        ("3 to 7 beeps", "port.3 - port.7: sounds"),
        ("3 - 7 is silent", "port.3 - port.7: silent"),
        ("port.3 - port.9 holding left reads 450", "port.3 - port.9 holding left: 450"),
        ("port.3 - port.9 with the controller reads open", "port.3 - port.9 with the controller: inf"),
        ("diode port.3 - controller.14 reads 0.6 V", "diode port.3 - controller.14: 0.6"),
        ("port.3 - controller.14 reads 600 mV", "diode port.3 - controller.14: 0.6"),
        ("shell - 9 reads 0.3", "port.shell - port.9: 0.3"),
        ("PORT.3 - Controller.14 READS 1.2k", "port.3 - controller.14: 1200"),
        ("3 - 7 Reads 3M", "port.3 - port.7: 3000000"),
        ("3 - 7 BEEPS", "port.3 - port.7: sounds"),
    ] {
        assert_eq!(read(said), [meant], "{said}");
    }
}

#[test]
fn a_symptom_says_what_a_press_does_and_what_it_does_not() {
    assert_eq!(
        read("left does nothing"),
        [
            "left: not up",
            "left: not down",
            "left: not left",
            "left: not right",
            "left: not fire",
            "left: not second-fire"
        ]
    );
    assert_eq!(
        read("b also gives up"),
        ["b: up", "b: not down", "b: not left", "b: not right", "b: not fire", "b: second-fire"]
    );
    assert_eq!(
        read("left gives right and up"),
        [
            "left: up",
            "left: not down",
            "left: not left",
            "left: right",
            "left: not fire",
            "left: not second-fire"
        ]
    );
    assert_eq!(read("up is always on"), [": up"]);
    assert_eq!(read("nothing works").len(), 36);
    assert!(read("nothing works").iter().all(|clue| clue.contains("not ")));
    assert!(read("everything works").contains(&"a: fire".to_owned()));
}

#[test]
fn a_sentence_in_capitals_is_read_as_one_in_small_letters() {
    assert_eq!(read("LEFT DOES NOTHING"), read("left does nothing"));
    assert_eq!(read("B Also Gives UP"), read("b also gives up"));
    assert_eq!(read("NOTHING WORKS"), read("nothing works"));
}

#[test]
fn near_misses_are_answered_with_what_was_meant() {
    insta::assert_snapshot!(
        [
            "lefft does nothing",
            "left does nothin",
            "left gives leftt",
            "jump does nothing",
            "c does nothing",
            "C WORKS",
            "u7.1 - port.3 reads 1",
            "LEFFT DOES NOTHING",
            "port.3 - controler.14 reads 1",
            "port.3 - port.30 reads 1",
            "3 - 3 reads 0.1",
            "3 - 7 reads 1,2k",
            "3 - 7 reads -4",
            "3 - 7 reads 12 V",
            "diode 3 - 7 reads 600",
            "3 reads 7",
            "the lamp is green",
            "",
        ]
        .map(refused)
        .join("\n"),
        @"
    `lefft` is no control of this lead; write `left`
    `does nothin` is no verb here; write `does nothing`
    `leftt` is no action of this port; write `left`
    `jump` is no control of this lead; write `up`, `down`, `left`, `right`, `a` or `b`
    the lead does not carry `c`: that it does nothing is no fault; what it carries is `up`, `down`, `left`, `right`, `a` and `b`
    the lead does not carry `c`: that it does nothing is no fault; what it carries is `up`, `down`, `left`, `right`, `a` and `b`
    this lead has no place `u7.1`; it has `controller` and `port`
    `lefft` is no control of this lead; write `left`
    `controler` is no end of a lead and no part; write `controller`, `port`, or a part such as `d1`
    this lead has no place `port.30`; there is `port.1` to `port.9`, `port.shell`
    both probes are at `port.3`: that reads the probes alone, which are subtracted first
    `1,2k` is no number here; write `1.2k`
    `-4` cannot be: no resistance is below nought; unplug what feeds the lead, hold the probes together and set the meter to nought, then measure again
    12 V at an unplugged lead cannot be: STOP, something feeds it; unplug it at both ends, then measure again (on the diode range nothing above 3.2 V is shown)
    the diode range shows volts: write such as `0.6 V`, or `open`
    `3` is neither a reading nor a symptom; write such as `port.3 - controller.14 reads 1.2k`, `left does nothing`, `b also gives up`, `up is always on`
    `the lamp is green` is neither a reading nor a symptom; write such as `port.3 - controller.14 reads 1.2k`, `left does nothing`, `b also gives up`, `up is always on`
    `` is neither a reading nor a symptom; write such as `port.3 - controller.14 reads 1.2k`, `left does nothing`, `b also gives up`, `up is always on`
    "
    );
}

proptest! {
    #[test]
    fn no_sentence_makes_the_reader_panic(text in ".{0,40}", words in prop::collection::vec("[a-z0-9.]{1,8}|reads|gives|-|holding|left|port.3|open", 0..8)) {
        let assembly = crate::shelf::stick_to_plover();
        let benches = Benches::from(&Bench::new(&assembly));
        let _ = Evidence::parse(&text, &benches);
        let _ = Evidence::parse(&words.join(" "), &benches);
    }
}
