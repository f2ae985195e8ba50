//! What a person says of a lead, and the file of weights.
#![no_main]

use std::sync::LazyLock;

use libfuzzer_sys::fuzz_target;
use solderside_lead::{Assembly, Setting, read_lead};
use solderside_meter::{Benches, Evidence, Weights};
use solderside_profile::{Library, SourceFile};

/// A lead with a diode and a switch between shipped profiles, in each position.
static SETS: LazyLock<Vec<(Setting, Assembly)>> = LazyLock::new(|| {
    let text = r#"format = 1
kind = "lead"
controller = "fifteen-pin-stick"
port = "nine-pin-one-fire"
joins = [
    "controller.15 - port.1", "controller.13 - d1.cathode", "d1.anode - port.6", "controller.1 - port.8",
    "controller.5 - s1.common", "s1.first - port.1", "s1.second - port.6",
]

[play]
up = ["up"]
fire = ["a"]

[play_at.b-jumps]
up = ["up", "b"]

[play_at.b-fires]
fire = ["a", "b"]

[part.d1]
diode = "1N4148"
sits_in = "port"

[part.s1]
switch = "SPDT"
sits_in = "port"
called = "mode"
positions = ["b-jumps", "b-fires"]
"#;
    let lead = read_lead(&SourceFile::new("lead.toml", text), &Library::with_shelf(Vec::new()));
    lead.expect("it is sound").sets()
});

fuzz_target!(|text: &str| {
    let benches = Benches::of(&SETS).expect("a lead is used in one way at least");
    for line in text.lines() {
        if let Err(error) = Evidence::parse(line, &benches) {
            _ = error.to_string();
        }
    }
    if let Err(failure) = Weights::read(&SourceFile::new("fuzzed.toml", text)) {
        _ = failure.render();
    }
});
