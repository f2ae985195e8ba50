//! The whole proof of a panel with ten loose buttons, beside the bare readings of its 2¹⁰ states one by one; and
//! that of a panel with twenty-four, whose 2²⁴ states nobody would wait for.
//!
//! Run with `cargo bench -p solderside-proof`. The worst voltage of each line is compared before anything is
//! timed.

#[path = "../tests/bench/mod.rs"]
mod bench;
#[path = "../tests/bench/panel.rs"]
mod panel;
#[expect(dead_code, reason = "tests ask for more of it")]
#[path = "../tests/bench/per_point.rs"]
mod per_point;

use divan::{Bencher, black_box};
use solderside_lead::Assembly;
use solderside_proof::{Proof, Verdict, prove};

use bench::STICK;
use panel::panel;
use per_point::one_by_one;

const FEW: usize = 10;
const MANY: usize = 24;

fn main() {
    let assembly = panel(FEW);
    let proof = proved(&assembly);
    for (action, slow) in proof.actions.iter().zip(one_by_one(&assembly, 1)) {
        for (fast, slow) in [&action.active, &action.idle].into_iter().zip(slow) {
            let both = fast.as_ref().map(|fast| fast.volts.get()).zip(slow.map(|slow| slow.volts));
            let is_same = both.is_some_and(|(fast, slow)| (fast - slow).abs() < 1e-9);
            assert!(is_same, "{}: {both:?}", action.action);
        }
    }
    assert_eq!(proved(&panel(MANY)).verdict, Verdict::Works);
    divan::main();
}

fn proved(assembly: &Assembly) -> Proof {
    prove(assembly).expect("the panel's values make a circuit")
}

#[divan::bench]
fn a_stick_proved(bencher: Bencher) {
    let joins = ["15-1", "7-2", "14-3", "6-4", "13-6", "1-8"];
    let assembly = bench::lead(&[], [STICK, "nine-pin-one-fire"], joins, "");
    bencher.bench(|| proved(black_box(&assembly)));
}

#[divan::bench]
fn ten_buttons_proved(bencher: Bencher) {
    let assembly = panel(FEW);
    bencher.bench(|| proved(black_box(&assembly)));
}

#[divan::bench(sample_count = 10)]
fn ten_buttons_read_one_by_one(bencher: Bencher) {
    let assembly = panel(FEW);
    bencher.bench(|| one_by_one(black_box(&assembly), 1));
}

#[divan::bench(sample_count = 10)]
fn twenty_four_buttons_proved(bencher: Bencher) {
    let assembly = panel(MANY);
    bencher.bench(|| proved(black_box(&assembly)));
}
