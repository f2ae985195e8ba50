//! The whole proof of a panel with ten loose buttons, beside the bare readings of its 2¹⁰ states one by one; and
//! that of a panel with twenty-four, whose 2²⁴ states nobody would wait for.
//!
//! Run with `cargo bench -p solderside-proof`. The worst voltage of each line is compared before anything is
//! timed.

#[path = "../tests/bench/mod.rs"]
mod bench;
#[path = "../tests/bench/panel.rs"]
mod panel;

use divan::{Bencher, black_box};
use solderside_circuit::Extreme;
use solderside_lead::{Assembly, Circuit, Leg, Purpose, states};
use solderside_proof::{Proof, Verdict, prove};

use bench::STICK;
use panel::panel;

const FEW: usize = 10;
const MANY: usize = 24;

fn main() {
    let assembly = panel(FEW);
    let proof = proved(&assembly);
    for (action, slow) in proof.actions.iter().zip(one_by_one(&assembly)) {
        for (fast, slow) in [&action.active, &action.idle].into_iter().zip(slow) {
            let fast = fast.as_ref().map(|worst| worst.volts.get());
            assert!(
                fast.is_some_and(|fast| (fast - slow).abs() < 1e-9),
                "{}: {fast:?} {slow}",
                action.action
            );
        }
    }
    assert_eq!(proved(&panel(MANY)).verdict, Verdict::Works);
    divan::main();
}

fn proved(assembly: &Assembly) -> Proof {
    prove(assembly).expect("the panel's values make a circuit")
}

/// The highest voltage of each line while its button is pressed, and the lowest while it is not.
fn one_by_one(assembly: &Assembly) -> Vec<[f64; 2]> {
    let [step] = assembly.port.steps.as_slice() else { panic!("one step") };
    let circuit = Circuit::of(assembly, step, Purpose::Reading).expect("the panel's values make a circuit");
    let actions = assembly.port.actions();
    let mut worst = vec![[f64::NEG_INFINITY, f64::INFINITY]; actions.len()];
    for state in states(&assembly.controllers[0], &assembly.joined_controls()) {
        let network = circuit.in_state(&state);
        for (action, [active, idle]) in actions.iter().zip(&mut worst) {
            let contact = assembly.port.contact_of(action).expect("each action has a contact");
            let node = circuit.node(Leg::port(contact)).expect("the contact is in the circuit");
            let volts = |extreme| {
                let bound = network.bound(node, extreme).expect("a pulled-up line is held");
                bound.guaranteed.expect("wire and switches are bounded").get()
            };
            if assembly.lead.play.controls(action).iter().any(|control| state.contains(control)) {
                *active = active.max(volts(Extreme::Highest));
            } else {
                *idle = idle.min(volts(Extreme::Lowest));
            }
        }
    }
    worst
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
    bencher.bench(|| one_by_one(black_box(&assembly)));
}

#[divan::bench(sample_count = 10)]
fn twenty_four_buttons_proved(bencher: Bencher) {
    let assembly = panel(MANY);
    bencher.bench(|| proved(black_box(&assembly)));
}
