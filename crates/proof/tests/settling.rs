//! Time: lines that settle too late, chips on the way, clocks, and machines that are slow by themselves.

mod bench;

use solderside_lead::{Assembly, Cord};
use solderside_proof::{Code, Finding, Severity, Verdict, prove};
use solderside_quantity::Metres;

use bench::{STICK, lead};

fn findings(assembly: &Assembly) -> Vec<Finding> {
    let proof = prove(assembly).expect("the catalogue's values make a circuit");
    proof.findings.into_iter().filter(|finding| finding.code.as_str().starts_with("timing")).collect()
}

fn figure(finding: &Finding, name: &str) -> f64 {
    finding.figures.iter().find(|figure| figure.name == name).expect("the figure is there").value
}

fn with_cable(mut assembly: Assembly, metres: f64) -> Assembly {
    assembly.lead.cord = Cord { length: Metres::literal(metres), ..Cord::COMMON };
    assembly
}

/// A column on 1 that is pulled up, and a row on 8 that the machine pulls low and lets go, waiting so long each time.
fn row(pull_up_ohms: f64, hold_seconds: f64) -> Assembly {
    let port = format!(
        "format = 1\nkind = \"port\"\nconnector = \"DE-9 plug\"\nrail_volts = [5.0, 5.0, 5.0]\n\
         [input.column]\nfamily = \"hct\"\npull_up_ohms = [{pull_up_ohms:?}, {pull_up_ohms:?}, {pull_up_ohms:?}]\n\
         [contact.1]\naction = \"up\"\n[contact.8]\nrole = \"drive\"\nfamily = \"ls145\"\n\
         [[step]]\nname = \"row\"\ndrive = {{ 8 = \"low\" }}\nhold_seconds = {hold_seconds:e}\n\
         [[step]]\nname = \"let-go\"\ndrive = {{ 8 = \"released\" }}\nquiet = [\"up\"]\nhold_seconds = {hold_seconds:e}\n"
    );
    lead(&[("row", &port)], [STICK, "row"], ["15-1", "1-8"], "")
}

/// What the machine has to wait for a column at least: found by looking where the finding goes away.
fn needed(assembly: &Assembly) -> f64 {
    let findings = findings(assembly);
    let finding =
        findings.iter().find(|finding| finding.code == Code::TimingUnsettled).expect("it is too soon");
    figure(finding, "needs_seconds")
}

#[test]
fn a_weak_pull_up_on_a_long_cable_is_read_too_soon_by_the_figure_of_the_formula() {
    // Both lines hang together while the button is held. 10 m of 150 pF each, 50 pF for a contact of the
    // machine, 450 pF for one of the controller with its cord. From nothing to 2.0 V of 5 V, where 1 µA into
    // the input and 5 µA of the row that is off leave 4.868 V.
    let farads = 2.0 * (10.0 * 150e-12 + 50e-12 + 450e-12);
    let rest = 5.0 - 22e3 * 6e-6;
    let by_hand = 22e3 * farads * libm::log(5.0 / (rest - 2.0));
    let assembly = with_cable(row(22e3, 14e-6), 10.0);
    let found = needed(&assembly);
    assert!((found / by_hand - 1.0).abs() < 0.005, "{found}, by hand {by_hand}");
    let finding = &findings(&assembly)[0];
    assert_eq!(finding.step.as_deref(), Some("let-go"));
    assert!((figure(finding, "hold_seconds") - 14e-6).abs() < 1e-12);
    insta::assert_snapshot!(finding.text, @"`port.1` (up) is read 14 µs after the step `let-go` begins, and may need 48.9 µs to settle: 34.9 µs short; `port.1` takes 48.9 µs of that: up to 22 kΩ (pull-up of `port.1`) charge up to 4 nF, 3 nF of it the cable");
}

#[test]
fn the_same_line_is_in_time_on_a_short_cable_or_a_strong_pull_up_or_a_patient_machine() {
    for (pull_up, hold, metres) in [(22e3, 40e-6, 1.0), (2.2e3, 14e-6, 10.0), (22e3, 100e-6, 10.0)] {
        assert_eq!(findings(&with_cable(row(pull_up, hold), metres)), []);
    }
}

#[test]
fn what_typical_parts_reach_in_time_and_others_do_not_is_thin() {
    // Typically 100 pF a metre, 15 pF and 150 pF: less than two thirds of the worst.
    let worst = needed(&with_cable(row(22e3, 14e-6), 10.0));
    let found = findings(&with_cable(row(22e3, worst * 0.9), 10.0));
    assert_eq!(found.iter().map(|finding| finding.severity).collect::<Vec<_>>(), [Severity::Thin]);
    let found = findings(&with_cable(row(22e3, worst * 0.3), 10.0));
    assert_eq!(found.iter().map(|finding| finding.severity).collect::<Vec<_>>(), [Severity::Fail]);
}

#[test]
fn the_time_grows_with_the_cable_and_with_the_pull_up() {
    let times = [5.0, 10.0, 20.0].map(|metres| needed(&with_cable(row(22e3, 1e-6), metres)));
    assert!(times.is_sorted() && times[0] < times[2], "{times:?}");
    let times = [4.7e3, 10e3, 22e3].map(|ohms| needed(&with_cable(row(ohms, 1e-6), 10.0)));
    assert!(times.is_sorted() && times[0] < times[2], "{times:?}");
}

#[test]
fn a_stick_that_is_read_all_at_once_needs_no_time() {
    let stick = lead(&[], [STICK, "nine-pin-one-fire"], ["15-1", "7-2", "14-3", "6-4", "13-6", "1-8"], "");
    assert_eq!(findings(&with_cable(stick, 50.0)), []);
}

/// The pad with a register on a port of its own whose machine waits this long.
fn register(latch_seconds: f64, clock_seconds: f64) -> Assembly {
    let mut assembly = lead(
        &[],
        ["nine-pin-register-pad-8-bit", "nine-pin-register-8-bit"],
        ["2-2", "3-3", "4-4", "6-6", "8-8"],
        "",
    );
    let exactly =
        |seconds| Some(solderside_quantity::Triple::exactly(solderside_quantity::Seconds::literal(seconds)));
    for (at, step) in assembly.port.steps.iter_mut().enumerate() {
        step.hold = exactly(if at == 0 { latch_seconds } else { clock_seconds });
    }
    assembly
}

#[test]
fn a_register_pad_is_in_time_at_the_published_pace() {
    assert_eq!(findings(&register(12e-6, 6e-6)), []);
    assert_eq!(findings(&with_cable(register(12e-6, 6e-6), 3.0)), []);
}

#[test]
fn a_register_that_is_clocked_too_fast_loses_bits() {
    let found = findings(&register(12e-6, 0.3e-6));
    let clock = found.iter().find(|finding| finding.code == Code::TimingClock).expect("a finding");
    assert_eq!(clock.severity, Severity::Fail);
    insta::assert_snapshot!(clock.text, @"`controller.u1.9` of a CD4021 moves in the step `bit-0`, which lasts 300 ns at least; it may take 60.1 ns to settle, and a pulse there lasts 400 ns at least: 160 ns short");
}

#[test]
fn the_output_of_a_register_charges_the_cable_through_its_own_resistance() {
    // The clock falls too soon for this register's delay, so all that is told of the data line counts it too.
    let [short, long] = [2.0, 12.0].map(|metres| needed(&with_cable(register(12e-6, 0.8e-6), metres)));
    // 10 m more of 150 pF, on the data line behind up to 909 Ω and on the clock line before it.
    let by_data_line = 909.0 * 10.0 * 150e-12;
    assert!(long - short > by_data_line * 0.5, "{short} {long}");
    let found = findings(&with_cable(register(12e-6, 0.8e-6), 12.0));
    let late = found.iter().find(|finding| finding.code == Code::TimingUnsettled).expect("a finding");
    insta::assert_snapshot!(late.text, @"`port.2` (data) is read 800 ns after the step `bit-1` begins, and may need 9.11 µs to settle: 8.31 µs short; `port.2` takes 7.69 µs of that: up to 1.11 kΩ (a chip's output) charge up to 2.31 nF, 1.8 nF of it the cable");
}

#[test]
fn a_slow_line_of_the_machine_is_held_against_the_wait_that_the_port_states() {
    let port = |hold: &str| {
        let port = format!("like = \"nine-pin-one-fire-second-button-as-level\"\n{hold}");
        let joins = ["15-1", "7-2", "14-3", "6-4", "13-6", "5-9", "1-8"];
        findings(&lead(&[("mine", &port)], [STICK, "mine"], joins, ""))
    };
    let found =
        |hold: &str| port(hold).iter().map(|finding| (finding.code, finding.severity)).collect::<Vec<_>>();
    let step = |micros: u32| format!("[[step]]\nname = \"read\"\nhold_seconds = {micros}e-6\n");
    assert_eq!(found(""), [(Code::TimingUnknown, Severity::Note)]);
    assert_eq!(found(&step(100)), [(Code::TimingUnsettled, Severity::Fail)]);
    assert_eq!(found(&step(200)), [(Code::TimingUnsettled, Severity::Thin)]);
    assert_eq!(found(&step(300)), []);
    insta::assert_snapshot!(port(&step(100))[0].text, @"`port.9` (second-fire) can be read after up to 300 µs by the machine's own circuit, and the step `read` waits 100 µs: 200 µs short");
    insta::assert_snapshot!(port("")[0].text, @"nobody says how long the machine waits in the step `read` before it reads; whether the lines have settled by then is not claimed");
}

#[test]
fn where_nobody_says_how_long_a_machine_waits_chips_are_told_once_and_the_verdict_stands() {
    let mut assembly = register(12e-6, 6e-6);
    for step in &mut assembly.port.steps {
        step.hold = None;
    }
    let proof = prove(&assembly).expect("the catalogue's values make a circuit");
    let told: Vec<Code> = proof.findings.iter().map(|finding| finding.code).collect();
    assert_eq!(told, [Code::TimingUnknown]);
    assert_eq!(proof.verdict, Verdict::Works);
}
