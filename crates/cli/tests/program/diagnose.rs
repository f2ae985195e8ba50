//! A dead lead is diagnosed: from what its builder says, by measurement after measurement.

use serde_json::Value;

use crate::bench::{Bench, Ran};

/// The demo shelf with the Plover lead designed and saved.
fn with_lead() -> Bench {
    let bench = Bench::demo();
    bench.run("design heron-stick plover --save heron-stick-to-plover.toml").sound();
    bench
}

/// Runs `diagnose` with these sentences, and these lines typed.
fn diagnose(bench: &Bench, options: &str, said: &[&str], typed: &str) -> Ran {
    bench.typed(&format!("diagnose heron-stick-to-plover {options}"), said, typed)
}

fn json(bench: &Bench, said: &[&str]) -> (i32, Value) {
    let Ran { code, out, err } = diagnose(bench, "--json", said, "");
    assert_eq!(err, "", "JSON is the only answer");
    (code, serde_json::from_str(&out).unwrap_or_else(|error| panic!("{error}: {out}")))
}

/// The kind of the faults of the likeliest explanation, its first list.
fn likeliest(answer: &Value) -> Vec<&str> {
    let faults = answer["explanations"][0]["either"][0].as_array().expect("an explanation has lists");
    faults.iter().filter_map(|fault| fault["kind"].as_str()).collect()
}

#[test]
fn a_symptom_and_a_reading_lead_to_the_joint_that_is_open() {
    let bench = with_lead();
    let said = ["left does nothing", "right works", "controller.14 - port.3 reads open"];
    insta::assert_snapshot!(diagnose(&bench, "", &said, "").found(), @"
    Heron stick to Plover home computer

    What was seen
       1  left does nothing
       2  right works
       3  controller.14 - port.3 reads open

    Likeliest
      79 %  the joint of controller.14 - port.3 at port.3 is open; or the joint of controller.14 -
            port.3 at controller.14 is open
            for it: 1, 3
       5 %  the conductor controller.14 - port.3 sits at port.8 in the place of port.3
            for it: 1, 3
       5 %  the conductor controller.14 - port.3 sits at controller.15 in the place of controller.14
            for it: 1, 3
       5 %  the conductor controller.14 - port.3 sits at controller.13 in the place of controller.14
            for it: 1, 3
       5 %  the conductor controller.14 - port.3 sits at controller.7 in the place of controller.14
            for it: 1, 3

    Next
      The lead unplugged at both ends. Ohms from controller.14 (left) to port.8 (output).
      A good lead reads open.
    ");
}

#[test]
fn nothing_is_mended_before_it_is_surely_the_one() {
    let bench = with_lead();
    let mends = |said: &[&str]| diagnose(&bench, "", said, "").found().contains("To mend it");
    assert!(!mends(&["left does nothing"]), "it may be one thing or another");
    let mut said = vec!["left does nothing", "right works", "controller.14 - port.3 reads open"];
    // The conductor sits in no other cup.
    let elsewhere = ["port.8", "port.2", "port.4", "port.7", "port.9"]
        .map(|cup| format!("controller.14 - {cup} reads open"));
    let beside = [7, 13, 15].map(|cup| format!("controller.{cup} - port.3 reads open"));
    said.extend(elsewhere.iter().chain(&beside).map(String::as_str));
    assert!(mends(&said));
}

#[test]
fn of_a_controller_and_a_port_the_lead_is_diagnosed_that_would_be_designed() {
    let bench = with_lead();
    let (code, own) = json(&bench, &["left does nothing", "up works"]);
    let Ran { code: again, out, .. } =
        bench.typed("diagnose heron-stick plover --json", &["left does nothing", "up works"], "");
    let designed: Value = serde_json::from_str(&out).expect("it answers in JSON");
    assert_eq!((again, &designed["explanations"]), (code, &own["explanations"]));
    let told = bench.typed("diagnose heron-stick", &["left does nothing"], "").wrong();
    assert!(
        told.contains("expected a lead, or a controller and a port") && told.contains("add the port"),
        "{told}"
    );
    let told = bench.typed("diagnose heron-stick plovr", &["left does nothing"], "").wrong();
    assert!(told.contains("write `plover`"), "{told}");
}

#[test]
fn a_weak_joint_is_known_by_its_ohms() {
    let (code, answer) = json(&with_lead(), &["controller.14 - port.3 reads 1.2k"]);
    assert_eq!((code, likeliest(&answer)), (1, vec!["weak-joint"]));
    assert_eq!(answer["explanations"][0]["either"].as_array().map(Vec::len), Some(2), "either end of it");
    assert!(answer["explanations"][0]["share"].as_f64().is_some_and(|share| share > 0.9));
}

#[test]
fn a_stuck_contact_of_the_controller_is_told_from_the_leads_own_faults() {
    let (code, answer) = json(&with_lead(), &["up is always on", "port.1 - port.9 reads open"]);
    assert_eq!((code, likeliest(&answer)), (1, vec!["stuck-contact"]));
}

#[test]
fn a_machine_that_does_not_read_is_found_when_the_lead_and_the_stick_are_good() {
    let said =
        ["left does nothing", "controller.14 - port.3 reads 0.3", "port.3 - port.9 holding left reads 0.9"];
    let (code, answer) = json(&with_lead(), &said);
    assert_eq!((code, likeliest(&answer)), (1, vec!["dead-input"]));
}

#[test]
fn a_good_lead_is_called_good() {
    let bench = with_lead();
    let said = ["everything works", "port.5 - port.9 reads open"];
    assert!(diagnose(&bench, "", &said, "").sound().contains("the lead is good"));
}

#[test]
fn readings_that_contradict_each_other_are_said_and_not_averaged() {
    let bench = with_lead();
    let (_, answer) = json(&bench, &["3 - 7 reads 1.2k", "left works", "3 - 7 reads open"]);
    assert_eq!(answer["contradictions"][0], serde_json::json!({ "kind": "twice", "evidence": [0, 2] }));
    let text = diagnose(&bench, "", &["3 - 7 reads 1.2k", "3 - 7 reads open"], "");
    assert!(text.out.contains("contradict each other"), "{}", text.out);
}

#[test]
fn a_conversation_asks_for_the_measurement_that_tells_most_and_takes_bare_answers() {
    let bench = with_lead();
    let typed = "left does nothing\nopen\nlefft works\n-3\n?\nundo\n0.4\nleave\n";
    let Ran { out, err, .. } = diagnose(&bench, "--notes mine.txt", &[], typed);
    assert_eq!(err, "");
    for told in
        ["Likeliest:", "write `left`", "cannot be: no resistance is below nought", "holding left reads 450"]
    {
        assert!(out.contains(told), "{told} in {out}");
    }
    // What was said is kept as sentences, and is taken up again.
    let notes = bench.read("mine.txt");
    insta::assert_snapshot!(notes, @"
    left does nothing
    controller.14 - port.3 reads 0.4
    ");
    let again = diagnose(&bench, "--notes mine.txt", &["right works"], "").out;
    assert!(again.contains("right works") && again.contains("left does nothing"), "{again}");
}

#[test]
fn the_readings_of_a_run_are_evidence_too() {
    let bench = with_lead();
    // The first conductor of the list reads open.
    _ = bench.typed("buzz heron-stick-to-plover --run first.buzz", &[], "open\nopen\nopen\nopen\nleave\n");
    let Ran { code, out, .. } =
        diagnose(&bench, "--run first.buzz --json", &["right does nothing", "left works"], "");
    let answer: Value = serde_json::from_str(&out).expect("it answers in JSON");
    assert_eq!((code, likeliest(&answer)), (1, vec!["open-joint"]));
    assert_eq!(answer["evidence"].as_array().map(Vec::len), Some(6));
}

#[test]
fn weights_are_a_file_that_a_person_edits() {
    let bench = with_lead();
    bench.put("mine.txt.toml", "format = 1\nkind = \"fault-weights\"\ndirty_contact = 5000\n");
    let out = diagnose(&bench, "--weights mine.txt.toml", &["left does nothing", "right works"], "").found();
    assert!(out.contains("the contact of `left` in the controller is dirty or broken"), "{out}");
    bench.put("mine.txt.toml", "format = 1\nkind = \"fault-weights\"\ndirty_contct = 5000\n");
    let err = diagnose(&bench, "--weights mine.txt.toml", &["left does nothing"], "").wrong();
    assert!(err.contains("write `dirty_contact`"), "{err}");
}

#[test]
fn wrong_sentences_are_answered_with_what_to_write() {
    let bench = with_lead();
    let wrong = |said: &str| diagnose(&bench, "", &[said], "").wrong();
    insta::assert_snapshot!(
        ["lefft does nothing", "3 - 7 reads 12 V", "3 - 7 reads 1,2k", "3 - 70 reads 1", "it smells"].map(wrong).join(""),
        @"
    error: `lefft` is no control of this lead
      = help: write `left`
    error: 12 V at an unplugged lead cannot be: STOP, something feeds it
      = help: unplug it at both ends, then measure again (on the diode range nothing above 3.2 V is shown)
    error: `1,2k` is no number here
      = help: write `1.2k`
    error: this lead has no place `port.70`
      = help: there is `port.1` to `port.9`, `port.shell`
    error: `it smells` is neither a reading nor a symptom
      = help: write such as `port.3 - controller.14 reads 1.2k`, `left does nothing`, `b also gives up`, `up is always on`
    "
    );
}

#[test]
fn a_lead_that_is_not_there_yet_is_made_first() {
    let bench = Bench::demo();
    let err = diagnose(&bench, "", &["left does nothing"], "").wrong();
    assert!(
        err.contains("`solderside design heron-stick plover --save heron-stick-to-plover.toml`"),
        "{err}"
    );
}

#[test]
fn a_lead_that_harms_on_paper_is_pressed_in_no_machine() {
    let bench = Bench::demo();
    let lead = "diagnose heron-stick plover --join 1-8 --join 15-7";
    let told = bench.typed(lead, &["left does nothing"], "").wrong();
    assert!(told.contains("on paper the lead harms"), "{told}");
    assert!(told.contains("leave it out of the machine"), "{told}");
    // One that only does not work is told as that before anything is looked for.
    let ran = bench.typed("diagnose heron-stick nine-pin-scanned-returns --class plain", &["left works"], "");
    assert!(ran.out.contains("fails (do not build it)") && ran.out.contains("`prove` tells"), "{}", ran.out);
}
