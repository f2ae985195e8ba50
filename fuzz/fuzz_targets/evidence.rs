//! What a person says of a lead, and the file of weights.
#![no_main]

use std::sync::LazyLock;

use libfuzzer_sys::fuzz_target;
use solderside_lead::{Assembly, read_lead};
use solderside_meter::{Bench, Evidence, Weights};
use solderside_profile::{Library, SourceFile};

/// A lead with a diode and a resistor between shipped profiles.
static LEAD: LazyLock<Assembly> = LazyLock::new(|| {
    let text = "format = 1\nkind = \"lead\"\ncontroller = \"fifteen-pin-stick\"\nport = \"nine-pin-one-fire\"\n\
                joins = [\"controller.15 - port.1\", \"controller.13 - d1.cathode\", \"d1.anode - port.6\", \
                \"controller.1 - port.8\"]\n[part.d1]\ndiode = \"1N4148\"\nsits_in = \"port\"\n";
    read_lead(&SourceFile::new("lead.toml", text), &Library::with_shelf(Vec::new())).expect("it is sound")
});

fuzz_target!(|text: &str| {
    let bench = Bench::new(&LEAD);
    for line in text.lines() {
        if let Err(error) = Evidence::parse(line, &bench) {
            _ = error.to_string();
        }
    }
    if let Err(failure) = Weights::read(&SourceFile::new("fuzzed.toml", text)) {
        _ = failure.render();
    }
});
