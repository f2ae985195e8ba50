//! Play maps that are changed from the command line and kept in the file.

use serde_json::{Value, json};

use crate::bench::Bench;

/// The demo shelf with a lead of somebody's own.
fn bench() -> Bench {
    let bench = Bench::demo();
    bench.run("design heron-stick plover --save mine.toml").sound();
    let text = bench.read("mine.toml").replace("[play]\n", "# How I like it.\n[play]\n");
    let text = text.replace("fire = [\"a\"]\n", "fire = [\"a\"] # thumb\n");
    assert!(text.contains("thumb") && text.contains("I like"));
    bench.put("mine.toml", text);
    bench
}

#[test]
fn without_changes_the_map_is_shown() {
    let bench = bench();
    let before = bench.read("mine.toml");
    insta::assert_snapshot!(bench.run("play mine").sound(), @"
    Heron stick to Plover home computer

    Play map
      action       performed by any of
      up           `up`
      down         `down`
      left         `left`
      right        `right`
      fire         `a`
      second-fire  `b`
    ");
    assert_eq!(bench.read("mine.toml"), before);
}

#[test]
fn a_map_that_the_wires_do_not_fit_is_written_and_found_out() {
    let bench = bench();
    let before = bench.read("mine.toml");
    insta::assert_snapshot!(bench.run("play mine fire=b second-fire=a").found(), @"
    Heron stick to Plover home computer: fails (do not build it)
    written: mine.toml

    Play map
      action       performed by any of
      up           `up`
      down         `down`
      left         `left`
      right        `right`
      fire         `b`
      second-fire  `a`

    Findings
      fail  read-ghost: `fire` reads although nobody asked while `a` is pressed: port.6 – controller.13
            – controller.1 – port.9
            mend: take out the join `port.6` – `controller.13`, or keep the nets apart with diodes
      fail  read-ghost: `second-fire` reads although nobody asked while `b` is pressed: port.7 –
            controller.5 – controller.1 – port.9
            mend: take out the join `port.7` – `controller.5`, or keep the nets apart with diodes
      fail  read-missed: `fire` does not read while `b` is pressed: no way leads from `port.6` (fire) to
            the return
            mend: join `controller.5` to `port.6`; `b` asks for it
      fail  read-missed: `second-fire` does not read while `a` is pressed: no way leads from `port.7`
            (second-fire) to the return
            mend: join `controller.13` to `port.7`; `a` asks for it
      note  read-lost-control: `c`, `d`, `select` and `start` of the controller do nothing here
            mend: give one of them an action in the play map, if the port has one to spare

    A play map moves no wire
      solderside design heron-stick plover --play fire=b --play second-fire=a
        finds wires that fit it, or says why there are none
      solderside compare mine heron-stick plover --play fire=b --play second-fire=a
        says what to rewire

    To have the map as it was
      solderside play mine fire=a second-fire=b
    ");
    let after = bench.read("mine.toml");
    let (kept, fingerprints) = before.split_once("\n# The fingerprints").expect("it was proved");
    assert!(!fingerprints.is_empty());
    let changed = kept.replace("fire = [\"a\"] # thumb", "fire = [\"b\"] # thumb");
    assert_eq!(after, changed.replace("second-fire = [\"b\"]", "second-fire = [\"a\"]"));
    assert!(bench.run("show mine").sound().contains("It was never proved"));
    // And back: the wires fit again.
    let back = bench.run("play mine fire=a second-fire=b").sound();
    assert!(back.starts_with("Heron stick to Plover home computer: works\nwritten: mine.toml\n"), "{back}");
    assert_eq!(bench.read("mine.toml"), before);
}

#[test]
fn the_hint_leads_to_wires_that_fit() {
    let bench = bench();
    let told = bench.run("play ./mine.toml fire=b second-fire=a").found();
    let commands: Vec<&str> =
        told.lines().filter_map(|line| line.trim().strip_prefix("solderside ")).collect();
    assert_eq!(commands.len(), 3);
    for command in commands {
        bench.run(command).sound();
    }
}

#[test]
fn a_map_that_is_the_same_writes_nothing() {
    let bench = bench();
    let before = bench.read("mine.toml");
    let told = bench.run("play mine fire=a").sound();
    assert!(told.contains("\nnothing was written: that is the map already\n"), "{told}");
    assert_eq!(bench.read("mine.toml"), before);
}

#[test]
fn an_action_without_controls_stays_idle() {
    let bench = bench();
    bench.run("play mine second-fire=").found();
    assert!(bench.read("mine.toml").contains("\nsecond-fire = []\n"));
}

#[test]
fn what_is_no_control_and_no_action_is_named_and_nothing_is_written() {
    let bench = bench();
    let before = bench.read("mine.toml");
    insta::assert_snapshot!(bench.run("play mine fier=a").wrong(), @"
    error: `plover` has no action `fier`
      = help: write `fire`; it has `up`, `down`, `left`, `right`, `fire` and `second-fire`
    ");
    insta::assert_snapshot!(bench.run("play mine up=up second-fire=strat").wrong(), @"
    error: `heron-stick` has no control `strat`
      = help: write `start`; it has `up`, `down`, `left`, `right`, `a`, `b`, `c`, `d`, `select` and `start`
    ");
    insta::assert_snapshot!(bench.run("play mine fire=a fire=b").wrong(), @"
    error: `play` names the action `fire` twice
      = help: name all of its controls at once: `fire=a,b`
    ");
    insta::assert_snapshot!(bench.run("play mine fire").wrong(), @"
    error: invalid value 'fire' for '[ACTION=CONTROL[,CONTROL…]]...': write the action, `=` and its controls, as in `fire=a,b`

    For more information, try '--help'.
    ");
    assert_eq!(bench.read("mine.toml"), before);
}

#[test]
fn what_is_no_lead_is_not_changed() {
    let bench = bench();
    insta::assert_snapshot!(bench.run("play plover fire=b").wrong(), @"
    error: `plover` is a port, expected a lead
      = help: `solderside design` makes a lead, and `--save` its file
    ");
    insta::assert_snapshot!(bench.run("play mien fire=b").wrong(), @"
    error: no lead is called `mien`
      = help: write `mine`
    ");
    insta::assert_snapshot!(bench.run("play missing.toml fire=b").wrong(), @"
    error: `missing.toml` cannot be used: there is no such file or folder
      = help: see that it is there and may be read
    ");
    let broken = bench.read("mine.toml").replace("port.7", "port.77");
    bench.put("broken.toml", &broken);
    let told = bench.run("play broken fire=b").wrong();
    assert!(told.contains("`port.77` is outside the connector"), "{told}");
    assert_eq!(bench.read("broken.toml"), broken);
}

#[cfg(unix)]
#[test]
fn a_link_is_not_replaced() {
    let bench = bench();
    let before = bench.read("mine.toml");
    std::os::unix::fs::symlink(bench.path("mine.toml"), bench.path("link.toml")).expect("a link can be made");
    let told = bench.run("play link fire=b").wrong();
    assert!(told.contains("`link.toml` is a symbolic link"), "{told}");
    assert_eq!(bench.read("mine.toml"), before);
}

#[test]
fn a_changed_profile_is_proved_anew() {
    let bench = bench();
    bench.put(
        "plover.toml",
        "like = 'nine-pin-two-trigger'\n[input.line]\npull_up_ohms = [4000, 5000, 6000]\n",
    );
    assert!(bench.run("prove mine").sound().contains("build-stale"));
    bench.run("play mine fire=a").sound();
    assert!(!bench.run("prove mine").sound().contains("build-stale"), "the fingerprints are renewed");
}

#[test]
fn play_gives_the_map_to_programs_too() {
    let bench = bench();
    let (code, answer) = bench.json("play mine");
    assert_eq!((code, &answer["play"]["fire"]), (0, &json!(["a"])));
    assert_eq!((&answer["written"], &answer["proved"]), (&Value::Null, &Value::Null));
    let (code, answer) = bench.json("play mine fire=b");
    assert_eq!((code, &answer["play"]["fire"], &answer["written"]), (1, &json!(["b"]), &json!("mine.toml")));
    assert_eq!((&answer["lead"], &answer["proved"]["verdict"]), (&json!("mine"), &json!("fails")));
    assert_eq!(bench.json("play mine fier=a").0, 2);
}
