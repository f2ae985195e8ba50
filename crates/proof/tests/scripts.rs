//! Long scripts over many states.

#[expect(dead_code, reason = "shared with tests of other leads")]
mod bench;
#[expect(dead_code, reason = "shared with tests of other leads")]
#[path = "bench/panel.rs"]
mod panel;
#[path = "bench/per_point.rs"]
mod per_point;
#[path = "bench/script.rs"]
mod script;

use solderside_lead::State;
use solderside_proof::prove;

use per_point::one_by_one;
use script::scripted;

#[test]
fn a_script_of_sixteen_steps_over_a_thousand_states_is_proved_as_state_by_state() {
    for diodes in [0, 6] {
        let assembly = scripted(10, diodes, 16);
        let proof = prove(&assembly).expect("the values make a circuit");
        assert!(proof.verdict.is_sound(), "{:#?}", proof.findings);
        for (action, slow) in proof.actions.iter().zip(one_by_one(&assembly, 1)) {
            for (fast, slow) in [&action.active, &action.idle].into_iter().zip(slow) {
                let (fast, slow) = fast.as_ref().zip(slow).expect("a reading");
                let what = format!("{} behind {diodes} diodes", action.action);
                assert!(
                    (fast.volts.get() - slow.volts).abs() < 1e-6,
                    "{what}: {} {}",
                    fast.volts,
                    slow.volts
                );
                assert_eq!(fast.step, slow.step, "{what}");
                assert_eq!(fast.state.iter().cloned().collect::<State>(), slow.state, "{what}");
            }
        }
    }
}

#[test]
fn a_script_of_ten_thousand_steps_is_proved_to_its_end() {
    let proof = prove(&scripted(4, 2, 10_000)).expect("the values make a circuit");
    assert!(proof.verdict.is_sound(), "{:#?}", proof.findings);
    // Each line at each step in each state is covered.
    assert!(proof.operating_points >= 10_000 * 4 * 16);
}
