//! The whole proof of a script of sixteen steps over 2¹⁴ states, linear and with six diodes, beside the bare readings of
//! one state in 256 of each step, bounded one by one: 256 times that is what all of them would take.
//!
//! Run with `cargo bench -p solderside-proof --bench scripts`. What both say of 2¹⁰ states is compared in
//! `tests/scripts.rs`.

#[expect(dead_code, reason = "shared with tests of other leads")]
#[path = "../tests/bench/mod.rs"]
mod bench;
#[expect(dead_code, reason = "shared with tests of other leads")]
#[path = "../tests/bench/panel.rs"]
mod panel;
#[expect(dead_code, reason = "tests ask for more of it")]
#[path = "../tests/bench/per_point.rs"]
mod per_point;
#[path = "../tests/bench/script.rs"]
mod script;

use divan::{Bencher, black_box};
use solderside_lead::Assembly;
use solderside_proof::{Proof, prove};

use per_point::one_by_one;
use script::scripted;

const BUTTONS: usize = 14;
const STEPS: usize = 16;
const ONE_OF: usize = 256;

fn main() {
    divan::main();
}

fn proved(assembly: &Assembly) -> Proof {
    let proof = prove(assembly).expect("the values make a circuit");
    assert!(proof.verdict.is_sound(), "{:#?}", proof.findings);
    proof
}

#[divan::bench(args = [0, 6], sample_count = 10)]
fn sixteen_steps_proved_behind_diodes(bencher: Bencher, diodes: usize) {
    let assembly = scripted(BUTTONS, diodes, STEPS);
    bencher.bench(|| proved(black_box(&assembly)));
}

#[divan::bench(args = [0, 6], sample_count = 2)]
fn one_state_in_256_read_by_itself_behind_diodes(bencher: Bencher, diodes: usize) {
    let assembly = scripted(BUTTONS, diodes, STEPS);
    bencher.bench(|| one_by_one(black_box(&assembly), ONE_OF));
}

/// Controllers of the catalogue with their own ports, and the contacts that are joined each to the same.
const OWN: [([&str; 2], &[u8]); 7] = [
    (["nine-pin-select-pad", "nine-pin-select"], &[1, 2, 3, 4, 5, 6, 7, 8, 9]),
    (["nine-pin-select-pad-six-buttons", "nine-pin-select-six-buttons"], &[1, 2, 3, 4, 5, 6, 7, 8, 9]),
    (["nine-pin-register-pad-8-bit", "nine-pin-register-8-bit"], &[2, 3, 4, 6, 8]),
    (["nine-pin-register-pad-16-bit", "nine-pin-register-16-bit"], &[2, 3, 4, 6, 8]),
    (["fifteen-pin-game-stick", "fifteen-pin-game"], &[1, 2, 3, 4, 5, 6, 7]),
    (["fifteen-pin-matrix-pad", "fifteen-pin-matrix"], &[1, 2, 3, 4, 6, 10, 11, 12, 13, 14]),
    (
        ["fifteen-pin-analogue-stick-with-keypad", "fifteen-pin-analogue-with-keypad"],
        &[1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 13, 14, 15],
    ),
];

#[divan::bench(args = 0..OWN.len(), sample_count = 5)]
fn a_controller_proved_on_its_own_port(bencher: Bencher, at: usize) {
    let (pair, contacts) = OWN[at];
    let assembly = straight(pair, contacts);
    bencher.bench(|| proved(black_box(&assembly)));
}

/// What all seven take together.
#[divan::bench(sample_count = 3)]
fn each_controller_proved_on_its_own_port(bencher: Bencher) {
    let all = OWN.map(|(pair, contacts)| straight(pair, contacts));
    bencher.bench(|| all.each_ref().map(|assembly| proved(black_box(assembly))));
}

fn straight(pair: [&str; 2], contacts: &[u8]) -> Assembly {
    let joins: Vec<String> = contacts.iter().map(|contact| format!("{contact}-{contact}")).collect();
    bench::lead(&[], pair, joins.iter().map(String::as_str), "")
}
