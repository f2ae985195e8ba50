//! Where else a lead fits, as the program says it.

use serde_json::{Value, json};

use crate::bench::Bench;

/// The entry of one profile.
fn entry<'a>(answer: &'a Value, name: &str) -> &'a Value {
    let fittings = answer["fittings"].as_array().expect("a list");
    fittings.iter().find(|fitting| fitting["name"] == name).unwrap_or_else(|| panic!("{name}: {answer:#}"))
}

#[test]
fn what_goes_into_a_pipe_has_no_colours_and_no_marks_of_them() {
    let bench = Bench::demo();
    for command in [
        "fits heron-stick teal",
        "prove heron-pad curlew --join 8-6",
        "design heron-pad plover",
        "explain read-ghost",
    ] {
        let out = bench.run(command).out;
        assert!(out.len() > 200, "{out}");
        let is_mark = |c: char| c == '\x1b' || ('\u{fdd0}'..='\u{fdef}').contains(&c);
        assert!(!out.contains(is_mark), "{out}");
    }
}

#[test]
fn the_teal_lead_has_a_machine_where_it_works_and_one_where_it_must_never_go() {
    insta::assert_snapshot!(Bench::demo().run("fits heron-stick teal").sound(), @"
    Heron stick to Teal games console: works

    NEVER plug it in here, though it fits
      dunlin: Dunlin console (machine): it HARMS
      knot: Knot console (machine): it HARMS
      nine-pin-register-16-bit: Nine-pin port that latches and clocks a pad of sixteen bits (machine):
      it HARMS
      nine-pin-register-8-bit: Nine-pin port that latches and clocks a pad of eight bits (machine): it
      HARMS
          `port.3` (latch) can carry 255 mA while `left` is pressed; its limit is 25 mA
      nine-pin-two-trigger: Nine-pin port with two triggers and a driven line on 8 (machine): it HARMS
      plover: Plover home computer (machine): it HARMS
          `port.8` (output) can carry 99.9 mA while `b` is pressed; its limit is 20 mA
      nine-way-serial: Nine-way serial interface (no controller port): it HARMS
          a serial interface (TIA-574): its outputs stand at up to 15 V either side of ground, and
          nothing in it gives 5 V; `port.3` (signal) can carry 11.6 mA while `up`, `left` and `a` are
          pressed; its limit is 10 mA
      fifteen-pin-game-stick: Fifteen-pin analogue stick with two buttons (controller)
      godwit-stick: Godwit stick (controller)
          `port.4` (right) is joined to `controller.6` (axis y), a pot of the controller, which is a
          resistance and no switch; that it does no harm is not proved

    It fits here and harms nothing, but does not work
      avocet: Avocet home computer (machine)
      nine-pin-scanned-returns: Nine-pin port with two fires and two scanned returns, no supply
      (machine)
      nine-pin-scanned-returns-supply-on-7: Nine-pin port with one fire and two scanned returns, supply
      on 7 and ground on 5 (machine)
          `up` reads in step `other-sticks-row` too, where its line is not selected, while `up` and `b`
          are pressed: port.1 – controller.15 – controller.1 – controller.5 – port.9
      bittern: Bittern console (machine)
      nine-pin-select: Nine-pin port that selects between two halves of a pad: three buttons (machine)
          the machine expects `port.3` (d2) low in the step `select-low`, whatever is pressed: by that
          it knows what is plugged in; it does not stand so with nothing pressed
      fifteen-pin-analogue-stick-with-keypad: Fifteen-pin analogue stick with a keypad (controller)
      whimbrel-stick: Whimbrel stick (controller)
          the common `controller.15` lands on `port.1` (up), an input: it cannot carry the switches'
          current home
      fifteen-pin-pad-with-logic: Fifteen-pin pad with chips inside, which need a supply (controller)
          the chips of `fifteen-pin-pad-with-logic` get no supply on `controller.8`; they need 4.5 V to
          5.5 V
      heron-pad: Heron pad (controller)
          the chips of `heron-pad` get no supply on `controller.8`; they need 4.5 V to 5.5 V
      nine-pin-active-high: Nine-pin port whose lines rest low and close to the supply on 5 (machine)
          no control of the controller performs any action: whatever is pressed, the machine reads
          nothing
      nine-pin-scanned-return-supply-on-5: Nine-pin port with two fires and one scanned return, supply
      on 5 and ground on 9 (machine)
          `up` reads in step `key-on-down` too, where its line is not selected, while `up` and `b` are
          pressed: port.1 – controller.15 – controller.1 – controller.5 – port.9
      nine-pin-select-six-buttons: Nine-pin port that selects between two halves of a pad, and counts:
      six buttons (machine)
          the machine expects `port.1` (d0) low in the step `select-low-3`, whatever is pressed: by that
          it knows what is plugged in; it does not stand so with nothing pressed

    Works in part
      curlew: Curlew home computer (machine)
      nine-pin-one-fire: Nine-pin port with one fire, supply on 7 (machine)
      nine-pin-one-fire-keyboard-lines: Nine-pin port with one fire, on lines that the machine also
      drives (machine)
      nine-pin-one-fire-second-button-as-charge-time: Nine-pin port with one fire, and a second button
      read as a charge time on 9 (machine)
          `b` does nothing; the narrowest margin is 0.795 V (`up`)

    Works
      curlew-plus: Curlew Plus home computer (machine)
      nine-pin-one-fire-second-button-as-level: Nine-pin port with one fire, and a second button read as
      a level on 9 (machine)
          every control does what it does on Teal games console; the narrowest margin is 0.788 V
          (`second-fire`)
      fifteen-pin-stick: Fifteen-pin stick, all switches to one common (controller)
          every control does what it does with Heron stick; the narrowest margin is 0.795 V (`up`)
      nine-pin-two-button-light-gun: Nine-pin port with two buttons and a light-gun line on 7 (machine)
          every control does what it does on Teal games console; the narrowest margin is 0.795 V (`up`)

    Not looked at
      What is not named above has not been looked at, though its connector may fit: do not plug it in on
      trust.
    ");
}

#[test]
fn the_plover_lead_is_a_danger_to_most_other_machines() {
    insta::assert_snapshot!(Bench::demo().run("fits heron-stick plover").sound(), @"
    Heron stick to Plover home computer: works

    NEVER plug it in here, though it fits
      curlew: Curlew home computer (machine): it HARMS
      nine-pin-one-fire: Nine-pin port with one fire, supply on 7 (machine): it HARMS
          `port.7` (supply) can carry 171 mA while `b` is pressed; its limit is 50 mA
      curlew-plus: Curlew Plus home computer (machine): it HARMS
      nine-pin-one-fire-second-button-as-level: Nine-pin port with one fire, and a second button read as
      a level on 9 (machine): it HARMS
          `port.6` (fire) can carry 171 mA while `a` and `b` are pressed; its limit is 3.2 mA
      dunlin: Dunlin console (machine): it HARMS
      knot: Knot console (machine): it HARMS
      nine-pin-register-16-bit: Nine-pin port that latches and clocks a pad of sixteen bits (machine):
      it HARMS
      nine-pin-register-8-bit: Nine-pin port that latches and clocks a pad of eight bits (machine): it
      HARMS
          `port.3` (latch) can carry 29 mA while `left` and `a` are pressed; its limit is 25 mA
      nine-pin-one-fire-keyboard-lines: Nine-pin port with one fire, on lines that the machine also
      drives (machine): it HARMS
          `port.1` (up) can carry 171 mA while `up` and `b` are pressed; its limit is 3.2 mA
      nine-pin-scanned-returns-supply-on-7: Nine-pin port with one fire and two scanned returns, supply
      on 7 and ground on 5 (machine): it HARMS
          `port.7` (supply) can carry 1.44 A while `b` is pressed; its limit is 50 mA
      nine-way-serial: Nine-way serial interface (no controller port): it HARMS
          a serial interface (TIA-574): its outputs stand at up to 15 V either side of ground, and
          nothing in it gives 5 V; `port.3` (signal) can carry 11.6 mA while `up`, `left` and `a` are
          pressed; its limit is 10 mA
      fifteen-pin-game-stick: Fifteen-pin analogue stick with two buttons (controller)
      godwit-stick: Godwit stick (controller)
          `port.4` (right) is joined to `controller.6` (axis y), a pot of the controller, which is a
          resistance and no switch; that it does no harm is not proved

    It fits here and harms nothing, but does not work
      avocet: Avocet home computer (machine)
      nine-pin-scanned-returns: Nine-pin port with two fires and two scanned returns, no supply
      (machine)
          `up` reads in step `other-sticks-row` too, where its line is not selected, while `up` is
          pressed: port.1 – controller.15 – controller.1 – port.9
      bittern: Bittern console (machine)
      nine-pin-select: Nine-pin port that selects between two halves of a pad: three buttons (machine)
      nine-pin-select-six-buttons: Nine-pin port that selects between two halves of a pad, and counts:
      six buttons (machine)
          the common `controller.1` lands on `port.9` (d5), an input: it cannot carry the switches'
          current home
      fifteen-pin-analogue-stick-with-keypad: Fifteen-pin analogue stick with a keypad (controller)
      whimbrel-stick: Whimbrel stick (controller)
          the common `controller.15` lands on `port.1` (up), an input: it cannot carry the switches'
          current home
      fifteen-pin-pad-with-logic: Fifteen-pin pad with chips inside, which need a supply (controller)
          the chips of `fifteen-pin-pad-with-logic` get no supply on `controller.8`; they need 4.5 V to
          5.5 V
      heron-pad: Heron pad (controller)
          the chips of `heron-pad` get no supply on `controller.8`; they need 4.5 V to 5.5 V
      nine-pin-active-high: Nine-pin port whose lines rest low and close to the supply on 5 (machine)
      nine-pin-one-fire-second-button-as-charge-time: Nine-pin port with one fire, and a second button
      read as a charge time on 9 (machine)
      nine-pin-two-button-light-gun: Nine-pin port with two buttons and a light-gun line on 7 (machine)
      teal: Teal games console (machine)
          the common `controller.1` lands on `port.9` (second-fire), an input: it cannot carry the
          switches' current home
      nine-pin-scanned-return-supply-on-5: Nine-pin port with two fires and one scanned return, supply
      on 5 and ground on 9 (machine)
          `up` reads in step `key-on-down` too, where its line is not selected, while `up` is pressed:
          port.1 – controller.15 – controller.1 – port.9

    Works
      fifteen-pin-stick: Fifteen-pin stick, all switches to one common (controller)
          every control does what it does with Heron stick; the narrowest margin is 0.599 V (`up`)
      nine-pin-two-trigger: Nine-pin port with two triggers and a driven line on 8 (machine)
          every control does what it does on Plover home computer; the narrowest margin is 0.599 V
          (`up`)

    Not looked at
      What is not named above has not been looked at, though its connector may fit: do not plug it in on
      trust.
    ");
}

#[test]
fn the_twin_for_machines_has_all_that_the_text_has() {
    let (code, answer) = Bench::demo().json("fits heron-stick teal");
    assert_eq!((code, &answer["format"], &answer["verdict"]), (0, &json!(1), &json!("works")));
    let plover = entry(&answer, "plover");
    assert_eq!(
        [&plover["fit"], &plover["verdict"], &plover["harmless"], &plover["place"], &plover["end"]],
        [&json!("never"), &json!("harms"), &json!(false), &json!("machine"), &json!("port")]
    );
    let amps = |name: &str| plover["figures"][name].as_f64().expect("a figure");
    assert!(amps("carries_amps") > amps("limit_amps"));
    assert_eq!(plover["findings"][0]["severity"], "harm");
    let curlew = entry(&answer, "curlew");
    assert_eq!((&curlew["fit"], &curlew["controls_lost"]), (&json!("works in part"), &json!(["b"])));
    assert_eq!(curlew["play"]["a"], json!(["fire"]));
    let gaps = answer["gaps"].as_array().expect("a list");
    assert!(gaps.iter().all(|gap| gap["connector"] == "DE-9 plug" && gap["source"].is_string()), "{gaps:#?}");
}

#[test]
fn a_saved_lead_is_answered_like_the_designed_one() {
    let bench = Bench::demo();
    let designed = bench.run("fits heron-stick teal").sound();
    bench.run("design heron-stick teal --save").sound();
    assert_eq!(bench.run("fits heron-stick-to-teal").sound(), designed);
}

#[test]
fn a_lead_that_harms_at_its_own_place_is_answered_too() {
    let ran = Bench::demo().run("fits heron-stick curlew --join 5-7");
    assert_eq!(ran.code, 0, "{ran:?}");
    assert!(ran.out.starts_with("Heron stick to Curlew home computer: harms"), "{}", ran.out);
}

#[test]
fn a_profile_with_mistakes_is_named_as_not_looked_at() {
    let bench = Bench::demo();
    bench.put("mine.toml", "like = 'nine-pin-one-fire'\ntitel = 'x'\n");
    let told = bench.run("fits heron-stick teal").sound();
    assert!(told.contains("\n  mine: its file has mistakes, which `solderside show mine` tells\n"), "{told}");
    let (_, answer) = bench.json("fits heron-stick teal");
    assert_eq!(answer["unreadable"], json!(["mine"]));
}

/// What is bought decides what it goes into, not what the lead was meant for.
#[test]
fn a_lead_with_a_connector_that_does_not_mate_is_held_against_what_it_does_mate_with() {
    let bench = Bench::demo();
    bench.run("design heron-stick teal --save wrong.toml").sound();
    let wrong = bench.read("wrong.toml").replace("port_end = \"DE-9 socket\"", "port_end = \"DE-9 plug\"");
    bench.put("wrong.toml", wrong);
    let told = bench.run("fits wrong").sound();
    assert!(told.starts_with("Heron stick to Teal games console: fails"), "{told}");
    assert!(told.contains("nine-way-monitor-output: ") && !told.contains("plover"), "{told}");
}

#[test]
fn a_port_alone_is_refused_with_what_is_missing() {
    let ran = Bench::demo().run("fits teal");
    assert_eq!(ran.code, 2);
    assert!(ran.err.contains("put the controller before it"), "{}", ran.err);
}

#[test]
fn the_guide_tells_where_the_lead_must_never_go() {
    let bench = Bench::demo();
    bench.run("guide heron-stick teal --out guide.html").sound();
    let guide = bench.read("guide.html");
    assert!(guide.contains("NEVER: Plover home computer"));
    assert!(guide.len() < 250_000, "{}", guide.len());
}
