//! Diagnosis against leads with a hidden fault: the true fault, or one that no measurement can tell from it, is named first
//! at least 97 times in a hundred, after the plan or the first wrong press and at most four further tests.
//!
//! Here a few faults of each of ten leads are tried; `cargo run --release -p solderside-meter --example accuracy` tries all.

use crate::trial::{Tally, leads, tally};

#[test]
fn the_true_fault_is_named_first_after_at_most_four_further_tests() {
    let leads = leads();
    let tallies: Vec<Tally> = leads.iter().enumerate().map(|(at, lead)| tally(at, lead, Some(8))).collect();
    let all = tallies.iter().flat_map(Tally::values);
    let [named, of] = all.fold([0, 0], |[named, of], [more, all]| [named + more, of + all]);
    assert!(of > 60, "too few to say anything: {of}");
    assert!(named * 100 >= 97 * of, "{named} of {of}: {tallies:?}");
}
