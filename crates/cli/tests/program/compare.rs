//! What changes from one lead to the next, as it is read aloud.

use serde_json::{Value, json};

use crate::bench::Bench;

#[test]
fn from_the_curlew_lead_to_plovers_the_return_moves_and_a_conductor_is_added() {
    insta::assert_snapshot!(Bench::demo().run("compare heron-stick curlew plover").sound(), @"
    2 moves, and no fewer would do
      from  Heron stick to Curlew home computer
      to    Heron stick to Plover home computer
    rewired so, the lead works

    Unplug the lead at every end before you rewire it.

    Net by net
      `common` to `return`: controller 1, port 9
        1. Move the conductor of `common`: at the port end from cup 8 to cup 9 (`return`).
      `b` to `second-fire`: controller 5, port 7
        2. Add a conductor from cup 5 (`b`) of the controller end to cup 7 (`second-fire`) of the port
           end.

    What stays
      5 conductors: `right`, `down`, `a` to `fire`, `left` and `up`.

    Buzz it out before it goes into a machine: continuity along every net, silence between neighbouring
    cups, the supply first.

    What the controls play
      `b` plays `second-fire`; before it played nothing.

    What the ends are for
      The port end is for `plover`; before it was for `curlew`.
    ");
}

#[test]
fn from_the_curlew_lead_to_teals_a_conductor_is_added() {
    insta::assert_snapshot!(Bench::demo().run("compare heron-stick curlew teal").sound(), @"
    1 move
      from  Heron stick to Curlew home computer
      to    Heron stick to Teal games console
    rewired so, the lead works

    Unplug the lead at every end before you rewire it.

    Net by net
      `b` to `second-fire`: controller 5, port 9
        1. Add a conductor from cup 5 (`b`) of the controller end to cup 9 (`second-fire`) of the port
           end.

    What stays
      6 conductors: `common` to `return`, `right`, `down`, `a` to `fire`, `left` and `up`.

    Buzz it out before it goes into a machine: continuity along every net, silence between neighbouring
    cups, the supply first.

    What the controls play
      `b` plays `second-fire`; before it played nothing.

    What the ends are for
      The port end is for `teal`; before it was for `curlew`.
    ");
}

#[test]
fn from_plovers_lead_to_teals_the_cup_is_empty_before_the_next_conductor_arrives() {
    let told = Bench::demo().run("compare heron-stick plover teal").sound();
    let (_, steps) = told.split_once("Net by net\n").expect("there are steps");
    let (steps, _) = steps.split_once("\n\n").expect("they end");
    insta::assert_snapshot!(steps, @"
    `common` to `return`: controller 1, port 8
      1. Move the conductor of `common`: at the port end from cup 9 to cup 8 (`return`).
    `b` to `second-fire`: controller 5, port 9
      2. Move the conductor of `b`: at the port end from cup 7 to cup 9 (`second-fire`).
    ");
}

#[test]
fn from_the_pads_lead_to_the_sticks_the_supply_goes() {
    insta::assert_snapshot!(Bench::demo().run("compare heron-pad teal heron-stick curlew").sound(), @"
    2 moves, and no fewer would do
      from  Heron pad to Teal games console
      to    Heron stick to Curlew home computer
    rewired so, the lead works

    Unplug the lead at every end before you rewire it.

    Net by net
      no longer joined
        1. Remove the conductor from cup 5 (`b`) of the controller end to cup 9 (`second-fire`) of the
           port end.
        2. Remove the conductor from cup 8 (`supply`) of the controller end to cup 5 (`supply`) of the
           port end.

    What stays
      6 conductors: `common` to `return`, `right`, `down`, `a` to `fire`, `left` and `up`.

    Buzz it out before it goes into a machine: continuity along every net, silence between neighbouring
    cups, the supply first.

    What the controls play
      `b` plays nothing; before it played `second-fire`.

    What the ends are for
      The controller end is for `heron-stick`; before it was for `heron-pad`.
      The port end is for `curlew`; before it was for `teal`.
    ");
}

#[test]
fn two_buttons_that_change_places_need_a_conductor_left_free_meanwhile() {
    let command = "compare heron-stick plover heron-stick plover --play fire=b --play second-fire=a";
    insta::assert_snapshot!(Bench::demo().run(command).sound(), @"
    2 moves in 3 steps, and no fewer would do
      from  Heron stick to Plover home computer
      to    Heron stick to Plover home computer
    rewired so, the lead works

    Unplug the lead at every end before you rewire it.

    Net by net
      `b` to `fire`: controller 5, port 6
        1. Take the conductor of `fire` off cup 13 (`a`) of the controller end, and leave it free.
      `a` to `second-fire`: controller 13, port 7
        2. Move the conductor of `second-fire`: at the controller end from cup 5 (`b`) to cup 13 (`a`).
      `b` to `fire`: controller 5, port 6
        3. Solder the conductor of `fire`: at the controller end to cup 5 (`b`).

    What stays
      5 conductors: `common` to `return`, `right`, `down`, `left` and `up`.

    Buzz it out before it goes into a machine: continuity along every net, silence between neighbouring
    cups, the supply first.

    What the controls play
      `a` plays `second-fire`; before it played `fire`.
      `b` plays `fire`; before it played `second-fire`.
    ");
}

#[test]
fn the_same_lead_changes_nothing() {
    let bench = Bench::demo();
    insta::assert_snapshot!(bench.run("compare heron-stick curlew curlew").sound(), @"
    nothing changes
      from  Heron stick to Curlew home computer
      to    Heron stick to Curlew home computer
    the lead works
    ");
    bench.run("design heron-stick curlew --save").sound();
    let told = bench.run("compare heron-stick curlew heron-stick-to-curlew").sound();
    assert!(told.starts_with("nothing changes\n"), "{told}");
}

#[test]
fn a_lead_is_named_by_file_by_both_ends_or_by_the_end_that_is_other() {
    let bench = Bench::demo();
    bench.run("design heron-stick curlew --save").sound();
    bench.run("design heron-stick plover --save leads.toml").sound();
    let told = bench.run("compare heron-stick curlew heron-stick plover").sound();
    for names in [
        "heron-stick curlew plover",
        "heron-stick-to-curlew plover",
        "heron-stick-to-curlew leads",
        "./heron-stick-to-curlew.toml leads.toml",
        "heron-stick curlew leads",
    ] {
        assert_eq!(bench.run(&format!("compare {names}")).sound(), told, "{names}");
    }
    let other = bench.run("compare heron-stick-to-curlew heron-pad").sound();
    assert!(other.contains("to    Heron pad to Curlew home computer\n"), "{other}");
}

#[test]
fn a_net_by_another_jumper_asks_for_no_move() {
    let bench = Bench::demo();
    bench.run("design heron-stick curlew --play up=up,b --save one.toml").sound();
    let one = bench.read("one.toml");
    let other = one.replace("\"controller.5 - port.1\"", "\"controller.5 - controller.15\"");
    assert_ne!(one, other);
    bench.put("other.toml", other);
    insta::assert_snapshot!(bench.run("compare one other").sound(), @"
    nothing changes
      from  Heron stick to Curlew home computer
      to    Heron stick to Curlew home computer
    the lead works
      Some of the second lead's own conductors run elsewhere within the same nets; that asks for no
      move.
    ");
}

#[test]
fn another_connector_and_another_cord_are_told_and_that_the_connector_does_not_mate() {
    let bench = Bench::demo();
    bench.run("design heron-stick curlew --save one.toml").sound();
    let other = bench.read("one.toml").replace("port_end = \"DE-9 socket\"", "port_end = \"DA-15 socket\"");
    bench.put("other.toml", other.replace("length_mm = 1500", "length_mm = 3000"));
    insta::assert_snapshot!(bench.run("compare one other").found(), @"
    no moves are told: what they would make is not to be built
      from  Heron stick to Curlew home computer
      to    Heron stick to Curlew home computer
    rewired so, the lead fails (do not build it)

    Findings
      fail  build-gender: the lead's DA-15 socket at the port end does not mate with a DE-9 plug
            mend: put a DE-9 socket there
      note  read-lost-control: `b`, `c`, `d`, `select` and `start` of the controller do nothing here
            mend: give one of them an action in the play map, if the port has one to spare
    ");
}

#[test]
fn a_second_lead_that_is_not_sound_is_told_with_its_findings() {
    let told = Bench::demo().run("compare heron-stick teal heron-pad teal --join 8-7").found();
    assert!(
        told.contains("\nrewired so, the lead harms (it can damage what it is plugged into)\n"),
        "{told}"
    );
    assert!(told.contains("\nFindings\n  harm  "), "{told}");
    let told = Bench::demo().run("compare heron-pad plover teal --join 8-7").found();
    assert!(told.contains("rewired so, the lead"), "{told}");
}

#[test]
fn what_is_no_pair_of_leads_says_how_to_name_one() {
    let bench = Bench::demo();
    insta::assert_snapshot!(bench.run("compare heron-stick curlew").wrong(), @"
    error: only one lead is named
      = help: add the second: a lead, or a port for the same controller
    ");
    insta::assert_snapshot!(bench.run("compare curlew plover").wrong(), @"
    error: `curlew` is a port, expected a lead, or a controller and a port
      = help: put the controller before it
    ");
    insta::assert_snapshot!(bench.run("compare heron-stick curlew telal").wrong(), @"
    error: no controller, port, cable or lead is called `telal`
      = help: write `teal`
    ");
    bench.run("design heron-stick curlew --save one.toml").sound();
    insta::assert_snapshot!(bench.run("compare one one one one").wrong(), @"
    error: `one` is one name too many
      = help: name two leads, each by its file or by controller and port
    ");
    insta::assert_snapshot!(bench.run("compare heron-stick curlew one --play fire=b").wrong(), @"
    error: `--play` and `--join` go with a controller and a port; a lead's file has its own
      = help: change the lead's file, or name a controller and a port
    ");
    insta::assert_snapshot!(bench.run("compare one plover --play fir=b").wrong(), @"
    error: `plover` has no action `fir`
      = help: write `fire`; it has `up`, `down`, `left`, `right`, `fire` and `second-fire`
    ");
}

#[test]
fn compare_gives_the_moves_to_programs_too() {
    let (code, answer) = Bench::demo().json("compare heron-stick curlew plover");
    assert_eq!((code, &answer["format"], &answer["moves"]), (0, &json!(1), &json!(2)));
    let moved = &answer["steps"][0];
    assert_eq!((&moved["act"], &moved["conductor"]["port"]), (&json!("move"), &json!("8")));
    assert_eq!(moved["touched"], json!([{ "from": "port.8", "to": "port.9" }]));
    assert_eq!(moved["net"], json!(["controller.1", "port.9"]));
    let added = &answer["steps"][1];
    assert_eq!((&added["act"], &added["conductor"]), (&json!("add"), &Value::Null));
    assert_eq!(added["becomes"]["from"], "controller.5");
    assert_eq!(answer["stays"].as_array().map(Vec::len), Some(5));
    assert_eq!(answer["cautions"].as_array().map(Vec::len), Some(2));
    assert_eq!(answer["rewired"]["verdict"], "works");
    assert_eq!(answer["rewired"]["joins"], answer["after"]["joins"]);
    let (_, same) = Bench::demo().json("compare heron-stick curlew curlew");
    assert_eq!((&same["moves"], &same["steps"], &same["cord"]), (&json!(0), &json!([]), &Value::Null));
}

/// A lead of a stick to the Plover with a resistor between the supply and the line `fire`.
const WITH_RESISTOR: &str = "\
format = 1
kind = \"lead\"
controller = \"heron-stick\"
port = \"plover\"
joins = [
  \"controller.15 - port.1\", \"controller.7 - port.2\", \"controller.14 - port.3\",
  \"controller.6 - port.4\", \"controller.13 - port.6\", \"controller.5 - port.7\", \"controller.1 - port.9\",
  \"port.5 - r1.1\", \"r1.2 - port.6\",
]

[part.r1]
ohms = 10000
";

#[test]
fn a_part_of_another_value_is_unsoldered_and_its_joints_are_made_anew() {
    let bench = Bench::demo();
    bench.put("weak.toml", WITH_RESISTOR);
    bench.put("strong.toml", WITH_RESISTOR.replace("10000", "4700"));
    insta::assert_snapshot!(bench.run("compare weak strong").sound(), @"
    3 moves
      from  Heron stick to Plover home computer
      to    Heron stick to Plover home computer
    rewired so, the lead works
      Take out r1, a 10 kΩ, in the hood of the port end.
      Have ready r1, a 4.7 kΩ, in the hood of the port end.

    Unplug the lead at every end before you rewire it.

    Net by net
      another part
        1. Unsolder r1, a 10 kΩ, and put a 4.7 kΩ in its place, in the hood of the port end.
      `4.7 kΩ` to `supply`: r1 1, port 5
        2. Solder the conductor of `supply`: to leg 1 of r1.
      `a`, `4.7 kΩ` and `fire`: controller 13, r1 2, port 6
        3. Solder the conductor of `fire`: to leg 2 of r1.

    What stays
      7 conductors: `common` to `return`, `b` to `second-fire`, `right`, `down`, `a` to `fire`, `left`
      and `up`.

    Buzz it out before it goes into a machine: continuity along every net, silence between neighbouring
    cups, the supply first.
    ");
    let (_, answer) = bench.json("compare weak strong");
    assert_eq!((&answer["steps"][0]["act"], &answer["steps"][0]["end"]), (&"refit".into(), &"r1".into()));
    let stays = answer["stays"].as_array().unwrap();
    assert!(stays.iter().all(|stay| !stay.to_string().contains("r1")), "{stays:?}");
}

#[test]
fn a_part_that_goes_into_the_other_hood_takes_no_wire_along() {
    let bench = Bench::demo();
    bench.put("here.toml", WITH_RESISTOR);
    bench.put("there.toml", WITH_RESISTOR.to_owned() + "sits_in = \"controller\"\n");
    insta::assert_snapshot!(bench.run("compare here there").sound(), @"
    5 moves
      from  Heron stick to Plover home computer
      to    Heron stick to Plover home computer
    rewired so, the lead works
      Take out r1, a 10 kΩ, in the hood of the port end.
      Have ready r1, a 10 kΩ, in the hood of the controller end.

    Unplug the lead at every end before you rewire it.

    Net by net
      no longer joined
        1. Remove the conductor from leg 1 of r1 to cup 5 (`supply`) of the port end.
        2. Remove the conductor from leg 2 of r1 to cup 6 (`fire`) of the port end.
      another part
        3. Unsolder r1, a 10 kΩ, in the hood of the port end, and put it into that of the controller
           end.
      `10 kΩ` to `supply`: r1 1, port 5
        4. Add a conductor from leg 1 of r1 to cup 5 (`supply`) of the port end.
      `a`, `10 kΩ` and `fire`: controller 13, r1 2, port 6
        5. Add a conductor from leg 2 of r1 to cup 6 (`fire`) of the port end.

    What stays
      7 conductors: `common` to `return`, `b` to `second-fire`, `right`, `down`, `a` to `fire`, `left`
      and `up`.

    Buzz it out before it goes into a machine: continuity along every net, silence between neighbouring
    cups, the supply first.
    ");
}

const BITTERN: &str = include_str!("../../../../demo/leads/heron-stick-to-bittern.toml");

/// The Bittern lead with its pull-ups counted in another order.
fn counted_otherwise() -> String {
    let turns = [("r1", "rX"), ("r4", "r1"), ("r2", "r4"), ("r6", "r2"), ("rX", "r6")];
    turns.iter().fold(BITTERN.to_owned(), |text, (old, new)| text.replace(old, new))
}

#[test]
fn parts_that_are_alike_stand_for_each_other_however_they_are_counted() {
    let bench = Bench::demo();
    bench.put("one.toml", BITTERN);
    bench.put("other.toml", counted_otherwise());
    let told = bench.run("compare one.toml other.toml").sound();
    assert!(told.starts_with("nothing changes\n"), "{told}");
    // Turned round a resistor is the same, too.
    let turned = BITTERN.replace("r1.1", "rX").replace("r1.2", "r1.1").replace("rX", "r1.2");
    assert_ne!(turned, BITTERN);
    bench.put("turned.toml", &turned);
    let told = bench.run("compare one.toml turned.toml").sound();
    assert!(told.starts_with("nothing changes\n"), "{told}");
}

#[test]
fn beside_parts_that_are_alike_a_conductor_that_moves_is_all_that_is_told() {
    let bench = Bench::demo();
    bench.put("one.toml", BITTERN);
    // Two buttons change places in the play map and at the chip.
    let moved = |text: &str| {
        let text =
            text.replace("controller.12 -", "controller.X -").replace("controller.13 -", "controller.12 -");
        text.replace("controller.X -", "controller.13 -")
            .replace("a = [\"a\"]", "a = [\"c\"]")
            .replace("c = [\"c\"]", "c = [\"a\"]")
    };
    bench.put("moved.toml", moved(BITTERN));
    bench.put("other.toml", moved(&counted_otherwise()));
    let moves = |other: &str| bench.json(&format!("compare one.toml {other}")).1["moves"].clone();
    assert_eq!(moves("other.toml"), moves("moved.toml"));
    assert_eq!(moves("moved.toml"), json!(2));
}
