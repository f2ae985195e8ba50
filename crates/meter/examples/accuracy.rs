//! How often diagnosis names the true fault: every plausible fault of twelve leads, by kind and by lead.
//!
//! `cargo run --release -p solderside-meter --example accuracy` takes an hour or two; with a number behind `--` it tries about
//! so many faults of each lead.

#![expect(
    clippy::print_stdout,
    clippy::unwrap_used,
    reason = "a table for whoever runs it, made with helpers of the tests"
)]

#[path = "../tests/lead/shelf.rs"]
mod shelf;
#[path = "../tests/lead/simulator.rs"]
mod simulator;
#[path = "../tests/lead/trial.rs"]
mod trial;

use crate::trial::{Tally, leads, leads_of_several_ways, tally};

fn main() {
    let about = std::env::args().nth(1).and_then(|number| number.parse().ok());
    let mut whole = Tally::new();
    for (at, lead) in leads().iter().chain(&leads_of_several_ways()).enumerate() {
        let of_lead = tally(at, lead, about);
        println!("{:<60} {}", lead.lead.title, told(&of_lead));
        for (kind, [named, of]) in of_lead {
            let [all, of_all] = whole.entry(kind).or_default();
            *all += named;
            *of_all += of;
        }
    }
    for (kind, [named, of]) in &whole {
        println!("{kind:<60} {named} of {of}");
    }
    println!("{:<60} {}", "all", told(&whole));
}

fn told(tally: &Tally) -> String {
    let [named, of] = tally.values().fold([0, 0], |[named, of], [more, all]| [named + more, of + all]);
    format!("{named} of {of}")
}
