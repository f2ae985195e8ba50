//! Timing diagrams on the terminal, as JSON and as pictures.

use serde_json::json;

use crate::bench::Bench;

const SELECT: &str = "\
format = 1
kind = \"lead\"
controller = \"nine-pin-select-pad\"
port = \"nine-pin-select\"
joins = [
  \"controller.1 - port.1\", \"controller.2 - port.2\", \"controller.3 - port.3\", \"controller.4 - port.4\",
  \"controller.5 - port.5\", \"controller.6 - port.6\", \"controller.7 - port.7\", \"controller.8 - port.8\",
  \"controller.9 - port.9\",
]
";

fn bench() -> Bench {
    let bench = Bench::demo();
    bench.put("select.toml", SELECT);
    bench
}

#[test]
fn a_pad_behind_a_multiplexer_answers_each_level_of_its_select_line() {
    insta::assert_snapshot!(bench().run("timing select --press up --press a").sound(), @"
    Nine-pin pad with three buttons behind a multiplexer to Nine-pin port that selects between two halves of a pad: three buttons
    with up, a pressed

      step                                  1   2
      driven port.7 (select)                ▔▔▔▔▁▁▁▁
      output controller.u1.4 (74HC157 1Y)   ▔▔▔▔▁▁▁▁
      output controller.u1.7 (74HC157 2Y)   ▔▔▔▔▁▁▁▁
      output controller.u1.9 (74HC157 3Y)   ▔▔▔▔▁▁▁▁
      output controller.u1.12 (74HC157 4Y)  ▔▔▔▔▔▔▔▔
      read port.1 (d0)                      ▁▁▁●▁▁▁●
      read port.2 (d1)                      ▔▔▔○▔▔▔○
      read port.3 (d2)                      ▔▔▔○▁▁▁●
      read port.4 (d3)                      ▔▔▔○▁▁▁●
      read port.6 (d4)                      ▔▔▔○▁▁▁●
      read port.9 (d5)                      ▔▔▔○▔▔▔○

    Steps
         step         waits  reads
      1  select-high  14 µs  up; not down, left, right, b, c
      2  select-low   14 µs  up, port.3 as expected, port.4 as expected, a; not down, start

      ▁ low, ▔ high, ─ let go, ▒ not known; at the end of a step, where the machine reads: ● pressed, or
      the level that it expects; ○ not; × neither for certain
    ");
}

#[test]
fn the_same_is_told_to_machines() {
    let (code, answer) = bench().json("timing select --press a");
    assert_eq!(code, 0);
    assert_eq!(answer["pressed"], json!(["a"]));
    assert_eq!(answer["steps"][1]["name"], json!("select-low"));
    assert_eq!(answer["steps"][1]["hold_seconds"], json!([14e-6, 14e-6, 14e-6]));
    let lines = answer["lines"].as_array().expect("lines");
    let six = lines.iter().find(|line| line["leg"] == json!("port.6")).expect("contact 6 is read");
    assert_eq!(six["levels"], json!(["high", "low"]));
    assert_eq!(six["reads"], json!([{ "action": "b", "answer": false }, { "action": "a", "answer": true }]));
    let three = lines.iter().find(|line| line["leg"] == json!("port.3")).expect("contact 3 is read");
    assert_eq!(three["reads"][1], json!({ "action": null, "answer": true }));
}

#[test]
fn the_picture_is_written_once_and_not_over_another_file() {
    let bench = bench();
    bench.run("timing select --drawing select.svg").sound();
    let picture = bench.read("select.svg");
    assert!(picture.starts_with("<svg ") && picture.contains("data-line=\"port.7\""));
    bench.run("timing select --drawing select.svg").wrong();
    bench.run("timing select --drawing select.svg --force").sound();
    assert_eq!(bench.read("select.svg"), picture);
}

#[test]
fn what_cannot_be_pressed_is_answered_with_what_can() {
    let bench = bench();
    insta::assert_snapshot!(bench.run("timing select --press upp").wrong(), @"
    error: `nine-pin-select-pad` has no control `upp`
      = help: write `up`; it has `up`, `down`, `left`, `right`, `a`, `b`, `c` and `start`
    ");
    insta::assert_snapshot!(bench.run("timing select --press up --press down").wrong(), @"
    error: `up` and `down` cannot be pressed at once: the gate keeps them apart
      = help: name one of the two
    ");
    insta::assert_snapshot!(bench.run("timing heron-stick").wrong(), @"
    error: `heron-stick` is a controller, expected a lead, or a controller and a port
      = help: add the port
    ");
}

#[test]
fn of_a_controller_and_a_port_the_lead_is_run_that_would_be_designed() {
    let bench = Bench::demo();
    bench.run("design heron-stick plover --save own.toml").sound();
    let lines = |arguments: &str| {
        let (code, answer) = bench.json(arguments);
        assert_eq!(code, 0, "{answer}");
        answer["lines"].clone()
    };
    assert_eq!(lines("timing heron-stick plover --press a"), lines("timing own --press a"));
    // What is wished of the design is wished here too.
    assert_ne!(lines("timing heron-stick plover --play fire=b --press a"), lines("timing own --press a"));
    let told = bench.run("timing heron-stick plovr").wrong();
    assert!(told.contains("write `plover`"), "{told}");
}
