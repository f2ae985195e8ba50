//! Sticks with pots: what `design`, `prove` and `timing` say of their axes.

use serde_json::json;

use crate::bench::Bench;

const ANALOGUE: [(&str, &str); 4] = [
    ("godwit.toml", include_str!("../../../../demo/godwit.toml")),
    ("godwit-stick.toml", include_str!("../../../../demo/godwit-stick.toml")),
    ("whimbrel.toml", include_str!("../../../../demo/whimbrel.toml")),
    ("whimbrel-stick.toml", include_str!("../../../../demo/whimbrel-stick.toml")),
];

fn bench() -> Bench {
    let bench = Bench::empty();
    for (name, text) in ANALOGUE {
        bench.put(name, text);
    }
    bench
}

/// A part of an answer, from its heading to the next one.
fn section<'t>(text: &'t str, heading: &str) -> &'t str {
    let (_, after) = text.split_once(heading).unwrap_or_else(|| panic!("no {heading} in {text}"));
    after.split("\n\n").next().unwrap_or(after)
}

#[test]
fn the_straight_lead_comes_out_for_the_godwits_own_stick_and_works() {
    let told = bench().run("design godwit-stick godwit").sound();
    assert!(told.starts_with("Godwit stick to Godwit computer: works\n"), "{told}");
    insta::assert_snapshot!(section(&told, "\nJoins"), @"

    from                  to
    controller.1  supply  port.1  supply
    controller.2  a       port.2  fire
    controller.3  axis x  port.3  axis x
    controller.4  common  port.4  return
    controller.5  common  port.5  return
    controller.6  axis y  port.6  axis y
    controller.7  b       port.7  second-fire
    ");
    insta::assert_snapshot!(section(&told, "\nAxes"), @"
    : the time at each position of the stick, over all tolerances
      axis  contact  stick   typical  least    most     can be measured
      x     port.3   low     24.2 µs  18.8 µs  49.6 µs  10 µs to 2 ms
                     centre  574 µs   305 µs   1.05 ms
                     high    1.12 ms  735 µs   1.73 ms
      y     port.6   low     24.2 µs  18.8 µs  49.6 µs  10 µs to 2 ms
                     centre  574 µs   305 µs   1.05 ms
                     high    1.12 ms  735 µs   1.73 ms
    ");
}

/// The side buttons and the stick of the Whimbrel, without its keypad.
const WITHOUT_KEYPAD: &str = "\
format = 1
kind = \"lead\"
controller = \"whimbrel-stick\"
port = \"whimbrel\"
joins = [
  \"controller.9 - port.9\", \"controller.10 - port.10\", \"controller.11 - port.11\",
  \"controller.13 - port.13\", \"controller.14 - port.14\", \"controller.15 - port.15\",
]
[play]
fire = [\"a\"]
second-fire = [\"b\"]
";

#[test]
fn the_pots_of_the_whimbrels_own_stick_are_measured_as_far_as_they_go() {
    let bench = bench();
    bench.put("side.toml", WITHOUT_KEYPAD);
    let (code, answer) = bench.json("prove side");
    assert_eq!(code, 0);
    let axes = &answer["axes"];
    assert_eq!((&axes[0]["axis"], &axes[0]["reads_seconds"]), (&json!("x"), &json!([0.0, 0.02])));
    assert_eq!(axes[1]["travel"][1]["position"], json!("centre"));
    // 501.8 kΩ × 47 nF × ln(1 / 0.6).
    let typical = axes[1]["travel"][2]["typical_seconds"].as_f64().expect("a time");
    assert!((typical / 12.05e-3 - 1.0).abs() < 2e-3, "{typical}");
}

#[test]
fn prove_and_timing_give_the_times_of_axes_to_programs() {
    let bench = bench();
    bench.run("design godwit-stick godwit --save").sound();
    let (_, proved) = bench.json("prove godwit-stick-to-godwit");
    let (_, timed) = bench.json("timing godwit-stick-to-godwit --press a");
    assert_eq!(proved["axes"], timed["axes"]);
    let x = &proved["axes"][0];
    assert_eq!((&x["contact"], &x["pot"]), (&json!("port.3"), &json!("controller.3")));
    let typical = x["travel"][2]["typical_seconds"].as_f64().expect("a time");
    // 24.2 µs + 0.011 µs × 100 kΩ.
    assert!((typical / 1124.2e-6 - 1.0).abs() < 2e-3, "{typical}");
    let told = bench.run("prove godwit-stick-to-godwit --truth").sound();
    assert!(told.contains("and each axis by its time, whatever is pressed"), "{told}");
    assert!(bench.run("timing godwit-stick-to-godwit").sound().contains("24.2 µs"));
}

#[test]
fn the_codes_of_axes_are_explained() {
    for code in ["read-axis-still", "read-axis-range", "read-axis-moved", "read-axis-reversed"] {
        assert!(bench().run(&format!("explain {code}")).sound().contains(code));
    }
}
