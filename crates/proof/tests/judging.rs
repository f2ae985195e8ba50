//! Judging that ends early says what judging to the end says.

mod bench;

use solderside_lead::{Assembly, Leg};
use solderside_proof::{
    ActionProof, Code, Finding, Severity, judge, judge_while, prove, prove_briefly, prove_to_build,
};
use solderside_quantity::Volts;

use bench::{STICK, lead};

/// Leads of one stick: sound, with a line left out, with two lines tied, with the common on a line, with a line on the
/// supply; of a pad whose chips get no supply; and where no line of the machine can be harmed, sound and with two lines
/// tied.
fn leads() -> Vec<Assembly> {
    let one_fire = |joins: &[&str]| lead(&[], [STICK, "nine-pin-one-fire"], joins.iter().copied(), "");
    let port = "nine-pin-two-trigger";
    let of = |controller, joins: &[&str]| lead(&[], [controller, port], joins.iter().copied(), "");
    vec![
        of(STICK, &["15-1", "7-2", "14-3", "6-4", "13-6", "1-8"]),
        of(STICK, &["15-1", "7-2", "14-3", "13-6", "1-8"]),
        of(STICK, &["15-1", "15-2", "7-2", "14-3", "6-4", "13-6", "1-8"]),
        of(STICK, &["15-1", "7-2", "14-3", "6-4", "13-6", "1-6", "1-8"]),
        of(STICK, &["15-1", "7-2", "14-3", "6-4", "13-5", "1-8"]),
        of("fifteen-pin-pad-with-logic", &["15-1", "7-2", "14-3", "6-4", "13-6", "1-8"]),
        of("fifteen-pin-pad-with-logic", &["15-1", "7-2", "14-3", "6-4", "13-6", "1-8", "8-5"]),
        one_fire(&["15-1", "7-2", "14-3", "6-4", "13-6", "1-8"]),
        one_fire(&["15-1", "15-2", "7-2", "14-3", "6-4", "13-6", "1-8"]),
    ]
}

#[test]
fn a_lead_is_borne_if_and_only_if_all_that_is_found_to_the_end_can_be() {
    let bears: [fn(&Finding) -> bool; 4] = [
        |_| true,
        |finding| finding.severity < Severity::Fail,
        |finding| finding.severity < Severity::Fail || finding.code == Code::ReadGhost,
        |finding| finding.severity < Severity::Harm,
    ];
    let mut borne = Vec::new();
    for assembly in leads() {
        let mut whole = judge(&assembly).expect("the values make a circuit");
        // A note, of which only those are told who ask for every state.
        whole.findings.retain(|finding| finding.code != Code::ReadOpposites);
        for is_bearable in bears {
            let judged = judge_while(&assembly, is_bearable).expect("the values make a circuit");
            assert_eq!(judged.is_some(), whole.findings.iter().all(is_bearable), "{:#?}", whole.findings);
            if let Some(judged) = &judged {
                assert_eq!((judged.verdict, said(&judged.findings)), (whole.verdict, said(&whole.findings)));
            }
            borne.push(judged.is_some());
        }
    }
    assert!(borne.contains(&true) && borne.contains(&false));
}

#[test]
fn a_proof_for_a_builder_leaves_out_what_nobody_builds_by() {
    let [mut sound, mut unsound, mut harmed] = [0; 3];
    for assembly in leads() {
        let mut whole = prove(&assembly).expect("the values make a circuit");
        let mut brief = prove_to_build(&assembly).expect("the values make a circuit");
        if whole.verdict.is_sound() {
            assert!(!brief.truth.is_empty());
            sound += 1;
        } else {
            assert!(brief.truth.is_empty());
            whole.truth.clear();
            whole.truth_pressed_at_most = None;
            // Only the table tells of opposite directions that read at once: a note.
            whole.findings.retain(|finding| finding.code != Code::ReadOpposites);
            unsound += 1;
        }
        if whole.findings.iter().any(|finding| finding.severity == Severity::Harm) {
            assert!(brief.loads.is_empty() && !whole.loads.is_empty());
            brief.loads.clone_from(&whole.loads);
            harmed += 1;
        }
        assert_eq!(brief, whole);
    }
    assert!(sound > 0 && unsound > harmed && harmed > 0, "{sound} {unsound} {harmed}");
}

/// What is said: of a line that reads wrong a brief proof may tell another state.
fn said(findings: &[Finding]) -> Vec<(Code, Severity, &[Leg])> {
    findings.iter().map(|own| (own.code, own.severity, own.legs.as_slice())).collect()
}

#[test]
fn a_brief_proof_differs_in_what_is_carried_in_its_range_and_in_the_states_it_tells_alone() {
    let mut left_out = 0;
    for assembly in leads() {
        let mut whole = prove(&assembly).expect("the values make a circuit");
        let brief = prove_briefly(&assembly).expect("the values make a circuit");
        assert!(brief.loads.is_empty() && brief.holds_for.is_empty() && brief.truth.is_empty());
        left_out += whole.loads.len() + whole.holds_for.len() + whole.truth.len();
        // Only the table tells of opposite directions that read at once: a note.
        whole.findings.retain(|finding| finding.code != Code::ReadOpposites);
        assert_eq!((brief.verdict, said(&brief.findings)), (whole.verdict, said(&whole.findings)));
        assert_eq!((&brief.axes, &brief.stands_on), (&whole.axes, &whole.stands_on));
        assert_eq!(brief.controls_lost, whole.controls_lost);
        // How far a line is off that reads wrong is not looked for to the end.
        for (brief, whole) in brief.actions.iter().zip(&whole.actions) {
            let is_right = |own: &ActionProof| own.margin.is_some_and(|margin| margin > Volts::ZERO);
            assert_eq!(is_right(brief), is_right(whole));
            assert!(!is_right(whole) || brief.margin == whole.margin, "{brief:?} {whole:?}");
        }
    }
    assert!(left_out > 0);
}
