//! Leads with more states than anybody could look at one by one.

mod bench;
#[path = "bench/panel.rs"]
mod panel;

use solderside_lead::Assembly;
use solderside_proof::{Code, Proof, Verdict, prove};

use bench::{STICK, lead};
use panel::{lines, loose_buttons, panel};

fn proof(assembly: &Assembly) -> Proof {
    prove(assembly).expect("the values make a circuit")
}

#[test]
fn twenty_four_loose_buttons_on_as_many_lines_work_and_the_worst_is_with_all_of_them_held() {
    let proof = proof(&panel(24));
    assert_eq!(proof.verdict, Verdict::Works, "{:#?}", proof.findings);
    assert_eq!(proof.actions.len(), 24);
    for action in &proof.actions {
        let [active, idle] = [&action.active, &action.idle].map(|worst| worst.as_ref().expect("a reading"));
        // The return's one conductor carries the current of all lines.
        assert_eq!(active.state.len(), 24);
        assert!(idle.state.is_empty());
    }
    // Each line of each state, and the states again: sound, and with the return's one conductor open.
    assert_eq!(proof.operating_points, (24 + 2) << 24);
}

#[test]
fn the_return_carries_more_the_more_buttons_are_held() {
    let worst = |buttons: usize| {
        let proof = proof(&panel(buttons));
        proof.actions[0].active.as_ref().expect("a reading").volts.get()
    };
    let [few, more, many] = [6, 12, 24].map(worst);
    // Each further button adds as much as any other.
    assert!(few < more && more < many);
    let per_button = [(more - few) / 6.0, (many - more) / 12.0];
    assert!((per_button[0] / per_button[1] - 1.0).abs() < 0.02, "{per_button:?}");
}

#[test]
fn a_table_of_too_many_states_lists_those_of_few_controls_and_says_so() {
    let many = proof(&panel(24));
    assert_eq!(many.truth_pressed_at_most, Some(2));
    // None, one of 24, two of 24.
    assert_eq!(many.truth.len(), 1 + 24 + 276);
    for row in &many.truth {
        assert_eq!(row.reads.len(), row.pressed.len(), "{row:?}");
    }
    let few = proof(&panel(12));
    assert_eq!((few.truth_pressed_at_most, few.truth.len()), (None, 4096));
}

#[test]
fn a_button_that_silences_the_others_is_found_among_all_states() {
    // The panel's common comes home through the line of the first button: nothing reads unless that is held.
    let (panel, lines) = (loose_buttons(16), lines(16));
    let joins: Vec<String> = (2..=16).map(|at| format!("{at}-{at}")).chain(["1-26".to_owned()]).collect();
    let shelf = [("panel", panel.as_str()), ("lines", lines.as_str())];
    let proof = proof(&lead(&shelf, ["panel", "lines"], joins.iter().map(String::as_str), ""));
    assert_eq!(proof.verdict, Verdict::Fails);
    let missed = proof.findings.iter().filter(|finding| finding.code == Code::ReadMissed);
    assert_eq!(missed.count(), 16);
}

#[test]
fn a_tangle_of_too_many_states_ends_and_is_never_called_sound() {
    // All buttons of a panel chained into two nets, each on a line: they all matter to one another.
    let (panel, lines) = (loose_buttons(24), lines(24));
    let mut joins = vec!["26-26".to_owned()];
    joins.extend((1..=24).flat_map(|at| [format!("{at}-{}", at % 2 + 1), format!("{at}-{at}")]));
    joins.dedup();
    let shelf = [("panel", panel.as_str()), ("lines", lines.as_str())];
    let proof = proof(&lead(&shelf, ["panel", "lines"], joins.iter().map(String::as_str), ""));
    assert!(!proof.verdict.is_sound());
}

#[test]
fn a_stick_of_few_states_still_lists_them_all() {
    let joins = ["15-1", "7-2", "14-3", "6-4", "13-6", "1-8"];
    let proof = proof(&lead(&[], [STICK, "nine-pin-one-fire"], joins, ""));
    assert_eq!((proof.truth_pressed_at_most, proof.truth.len()), (None, 18));
}
