//! What the trade knows of leads, as statements that the proof has to agree with.
//!
//! Figures are worked out by hand beside each check.

mod bench;

use solderside_lead::{Assembly, Cord, Leg};
use solderside_profile::Control;
use solderside_proof::{Code, Finding, Proof, Severity, Verdict, prove};
use solderside_quantity::{Metres, Volts};
use solderside_trade::{Conductor, ContactId, SwitchKind, run_ohms};

use bench::{STICK, lead};

const PAD: &str = "fifteen-pin-pad-with-logic";
const TWO_TRIGGER: &str = "nine-pin-two-trigger";
const ONE_FIRE: &str = "nine-pin-one-fire";
const LIGHT_GUN: &str = "nine-pin-two-button-light-gun";

/// The four directions, the stick's contact and the port's: they are the same on all three ports.
const DIRECTIONS: [&str; 4] = ["15-1", "7-2", "14-3", "6-4"];

/// A lead between two classes of the catalogue with the four directions and these joins.
fn between(controller: &str, port: &str, joins: &[&str]) -> Assembly {
    lead(&[], [controller, port], DIRECTIONS.into_iter().chain(joins.iter().copied()), "")
}

fn proof(assembly: &Assembly) -> Proof {
    prove(assembly).expect("the catalogue's values make a circuit")
}

fn found(proof: &Proof, code: Code) -> &Finding {
    proof.findings.iter().find(|finding| finding.code == code).expect("the finding is there")
}

fn figure(finding: &Finding, name: &str) -> f64 {
    finding.figures.iter().find(|figure| figure.name == name).expect("the figure is there").value
}

#[track_caller]
fn assert_near(found: f64, expected: f64, tolerance: f64) {
    assert!((found - expected).abs() <= tolerance, "{found}, expected {expected}");
}

/// A port with one fire, 5 V without tolerance and a pull-up without tolerance.
fn one_line(family: &str, pull_up_ohms: f64) -> String {
    format!(
        "format = 1\nkind = \"port\"\nconnector = \"DE-9 plug\"\nrail_volts = [5.0, 5.0, 5.0]\n\
         fire_order = [\"fire\"]\n\
         [input.line]\nfamily = \"{family}\"\n\
         pull_up_ohms = [{pull_up_ohms:?}, {pull_up_ohms:?}, {pull_up_ohms:?}]\n\
         [contact.6]\naction = \"fire\"\n[contact.8]\nrole = \"return\"\n"
    )
}

/// A fire button on such a port, with so many ohms at most from the port's contact home to its return.
fn way_home_of(ohms: f64, family: &str, pull_up_ohms: f64) -> Assembly {
    let port = one_line(family, pull_up_ohms);
    let mut assembly = lead(&[("line", &port)], [STICK, "line"], ["13-6", "1-8"], "");
    // Two conductors, the line's and the return's, each with two mated contacts of 10 mΩ at most, and a
    // snap-action switch of 1 Ω at most; the length of the conductors makes up the rest.
    let run = (ohms - SwitchKind::Microswitch.closed_ohms().value.high().get()) / 2.0 - 2.0 * 0.01;
    let conductor = Conductor::Awg(28);
    let per_metre = run_ohms(&conductor, Metres::literal(1.0)).high().get();
    assembly.lead.cord = Cord { conductor, length: Metres::new(run / per_metre).expect("a number") };
    assembly
}

/// The worst reading of the fire button when it is pressed, and its margin to the guaranteed threshold.
fn pressed(assembly: &Assembly) -> [Volts; 2] {
    let proof = proof(assembly);
    let active = proof.actions[0].active.as_ref().expect("fire has a control");
    [active.volts, active.margin]
}

#[test]
fn a_supply_through_a_pull_up_is_refused() {
    let proof = proof(&between(PAD, LIGHT_GUN, &["13-6", "5-9", "1-8", "8-7"]));
    // It is worse than none: while the machine holds 7 low, six lines feed it through the pad's clamps, each by
    // a pull-up of 4.7 kΩ at least and what an LS input gives.
    assert_eq!(proof.verdict, Verdict::Harms);
    let finding = found(&proof, Code::PowerPulledUp);
    assert_eq!(finding.severity, Severity::Fail);
    assert_eq!(finding.legs, [Leg::port(ContactId::Number(7)), Leg::controller(ContactId::Number(8))]);
    // 5 V over 10 kΩ and the pad: 5 mA at 5 V are 1 kΩ, so 5 V × 1 / (10 + 1) = 0.4545 V.
    assert_near(figure(finding, "sags_to_volts"), 5.0 / 11.0, 0.001);
    assert!(finding.text.contains("pulls it down to 0.455 V"), "{}", finding.text);
    assert!(finding.text.ends_with("the pad needs 4.5 V"), "{}", finding.text);
    // Chips without a supply answer nothing, whatever a line reads.
    assert!(proof.actions.iter().all(|action| action.active.is_none() && action.idle.is_none()));
}

#[test]
fn a_contact_divides_with_the_pull_up() {
    // 5 V × contact / (contact + pull-up); 0.8 V is a low that TTL levels guarantee.
    for (contact, pull_up, volts, met) in [
        (200.0, 1000.0, 0.833, false),
        (200.0, 3300.0, 0.286, true),
        (1000.0, 4700.0, 0.877, false),
        (1000.0, 10_000.0, 0.455, true),
    ] {
        let [read, margin] = pressed(&way_home_of(contact, "nmos-port", pull_up));
        assert_near(read.get(), volts, 0.0005);
        assert_near(read.get(), 5.0 * contact / (contact + pull_up), 1e-9);
        assert_eq!(margin >= Volts::ZERO, met, "{contact} Ω against {pull_up} Ω");
    }
}

/// IIL of 0.4 mA and VIL of 0.8 V: DM74LS157 / DM74LS158 data sheet, page 3.
const LARGEST_CONTACT_OHMS: [(f64, f64); 4] =
    [(1000.0, 174.0), (3300.0, 478.0), (4700.0, 618.0), (10_000.0, 976.0)];

#[test]
fn the_largest_contact_for_one_ls_input_lies_between_one_that_does_and_one_that_does_not() {
    // A contact sinks the pull-up's current and the input's: 0.8 V / ((5 − 0.8) V / pull-up + 0.4 mA).
    for (pull_up, largest) in LARGEST_CONTACT_OHMS {
        let margin = |ohms| pressed(&way_home_of(ohms, "ttl", pull_up))[1];
        assert!(margin(largest - 1.0) >= Volts::ZERO, "{pull_up} Ω");
        assert!(margin(largest + 1.0) < Volts::ZERO, "{pull_up} Ω");
    }
}

#[test]
fn a_worn_contact_is_told_what_this_input_wants() {
    let carbon = format!("like = \"{STICK}\"\nswitch = \"carbon-dome\"\n");
    for (pull_up, largest) in LARGEST_CONTACT_OHMS {
        let port = one_line("ttl", pull_up);
        let shelf = [("line", port.as_str()), ("carbon", &carbon)];
        let proof = proof(&lead(&shelf, ["carbon", "line"], ["13-6", "1-8"], ""));
        let remedy = &found(&proof, Code::ReadWornContact).remedy;
        assert!(remedy.ends_with(&format!("at most about {largest} Ω")), "{remedy}");
    }
}

#[test]
fn a_lead_works_with_a_tenth_of_a_volt_to_spare_is_thin_up_to_the_typical_threshold_and_then_fails() {
    // Below 1 kΩ at 5 V: 0.7 V at 163 Ω, 0.8 V guaranteed at 190 Ω, 1.4 V typical at 389 Ω.
    for (ohms, verdict) in [
        (160.0, Verdict::Works),
        (166.0, Verdict::Thin),
        (200.0, Verdict::Thin),
        (385.0, Verdict::Thin),
        (393.0, Verdict::Fails),
    ] {
        assert_eq!(proof(&way_home_of(ohms, "nmos-port", 1000.0)).verdict, verdict, "{ohms} Ω");
    }
}

#[test]
fn a_ghost_names_its_path_contact_by_contact() {
    let play = "[play]\nup = [\"up\", \"b\"]\ndown = [\"down\"]\nleft = [\"left\"]\nright = [\"right\"]\n\
                fire = [\"a\"]\nsecond-fire = [\"b\"]\n";
    let joins = DIRECTIONS.into_iter().chain(["13-6", "5-7", "5-1", "1-9"]);
    let proof = proof(&lead(&[], [STICK, TWO_TRIGGER], joins, play));
    let ghost = found(&proof, Code::ReadGhost);
    let path = ["port.7", "controller.5", "port.1", "controller.15", "controller.1", "port.9"];
    assert!(ghost.text.ends_with(&path.join(" – ")), "{}", ghost.text);
    assert_eq!(ghost.legs.iter().map(Leg::to_string).collect::<Vec<_>>(), path);
    assert_eq!(ghost.state, Some(vec![Control::new("up").expect("a name")]));
}

#[test]
fn a_line_that_idles_too_low_by_itself_fails_and_is_not_called_thin() {
    // 20 µA into a TTL input drop 4.4 V across 220 kΩ: 0.6 V are left, a low.
    let proof = proof(&way_home_of(10.0, "ttl", 220_000.0));
    assert_eq!(proof.verdict, Verdict::Fails);
    assert_near(figure(found(&proof, Code::ReadGhost), "reads_volts"), 0.6, 1e-9);
}

#[test]
fn no_reading_lies_above_what_feeds_the_lead() {
    let proof = proof(&between(STICK, LIGHT_GUN, &["13-6", "5-9"]));
    let read = proof.actions.iter().filter_map(|action| action.active.as_ref());
    assert!(read.into_iter().all(|worst| worst.volts <= Volts::literal(5.25)));
}

#[test]
fn a_forgotten_conductor_is_missed() {
    let proof = proof(&between(STICK, ONE_FIRE, &["1-8"]));
    assert_eq!(proof.verdict, Verdict::Fails);
    let missed = found(&proof, Code::ReadMissed);
    assert!(missed.remedy.contains("join `controller.13` to `port.6`"), "{}", missed.remedy);
}

#[test]
fn two_conductors_swapped_miss_one_action_and_ghost_the_other() {
    let proof = proof(&between(STICK, TWO_TRIGGER, &["13-7", "5-6", "1-9"]));
    let bad: Vec<Code> = proof.findings.iter().map(|finding| finding.code).collect();
    assert_eq!(bad.iter().filter(|code| **code == Code::ReadMissed).count(), 2);
    assert_eq!(bad.iter().filter(|code| **code == Code::ReadGhost).count(), 2);
}

#[test]
fn a_button_that_the_port_does_not_listen_for_is_lost_and_said_so() {
    let proof = proof(&between(STICK, ONE_FIRE, &["13-6", "1-8"]));
    assert_eq!(proof.verdict, Verdict::Works);
    let lost: Vec<&str> = proof.controls_lost.iter().map(Control::as_str).collect();
    assert_eq!(lost, ["b", "c", "d", "select", "start"]);
    let finding = found(&proof, Code::ReadLostControl);
    assert_eq!(finding.severity, Severity::Note);
    assert!(lost.iter().all(|control| finding.text.contains(&format!("`{control}`"))));
}

/// Stick and pad on the three ports, as common practice joins them.
fn common_practice() -> Vec<Assembly> {
    [
        (STICK, TWO_TRIGGER, &["13-6", "5-7", "1-9"][..]),
        (STICK, ONE_FIRE, &["13-6", "1-8"]),
        (STICK, LIGHT_GUN, &["13-6", "5-9", "1-8"]),
        (PAD, TWO_TRIGGER, &["13-6", "5-7", "1-9", "8-5"]),
        (PAD, ONE_FIRE, &["13-6", "1-8", "8-7"]),
        (PAD, LIGHT_GUN, &["13-6", "5-9", "1-8", "8-5"]),
    ]
    .map(|(controller, port, joins)| between(controller, port, joins))
    .into()
}

#[test]
fn an_open_return_or_supply_harms_nothing_on_the_three_ports() {
    for assembly in common_practice() {
        let sound = proof(&assembly);
        assert!(sound.verdict.is_sound(), "{}: {}", assembly.lead.title, sound.verdict);
        // The proof of the sound lead has opened them already. A bare switch harms nothing with any conductor
        // open; a pad without its return may, once the machine drives one of its lines.
        let passive = assembly.controllers[0].logic.is_none();
        for join in assembly.lead.joins.iter().filter(|_| passive) {
            let broken = proof(&assembly.without(join));
            assert!(broken.verdict < Verdict::Harms, "{} without {join}", assembly.lead.title);
        }
    }
}

#[test]
fn a_pad_may_take_what_the_supply_gives_and_no_more() {
    for (milliamperes, verdict) in [(40.0, Verdict::Works), (80.0, Verdict::Harms)] {
        let amps = milliamperes / 1000.0;
        let pad = format!(
            "like = \"{PAD}\"\n[logic]\nfamily = \"hc\"\noutput = \"open-drain\"\n\
             supply_volts = [4.5, 5.0, 5.5]\nsupply_amps = [{amps:?}, {amps:?}, {amps:?}]\n"
        );
        let joins = DIRECTIONS.into_iter().chain(["13-6", "5-7", "1-9", "8-5"]);
        let proof = proof(&lead(&[("pad", &pad)], ["pad", TWO_TRIGGER], joins, ""));
        assert_eq!(proof.verdict, verdict, "{milliamperes} mA");
        let supply =
            proof.loads.iter().find(|load| load.what == "supply").expect("the supply carries something");
        assert_near(supply.limit.get(), 0.05, 1e-12);
        // What takes 40 mA at 5 V takes 42 mA at 5.25 V at most: where that is within the limit, what drops on the
        // way is not taken off, and what inputs take is on top.
        assert!((amps..=amps * 1.05 + 1e-4).contains(&supply.amps.get()), "{}", supply.amps);
    }
}

#[test]
fn a_strobe_that_is_high_fights_a_trigger_that_the_machine_holds_low() {
    // The common on the driven line, a button pressed, and an open output low beside the trigger's input: 5 V
    // less 1 V, through 42 Ω and 50 Ω, where the trigger's output may sink 1.6 mA.
    let joins = DIRECTIONS.into_iter().chain(["13-6", "5-7", "1-8"]);
    let proof = proof(&lead(&[], [STICK, TWO_TRIGGER], joins, ""));
    assert_eq!(proof.verdict, Verdict::Harms);
    let overload = found(&proof, Code::DriveOverload);
    assert_near(figure(overload, "carries_amps"), 0.046, 0.0005);
    assert_eq!(overload.step.as_deref(), Some("strobe-high, port.6 driven low"));
}

#[test]
fn a_port_of_two_steps_is_proved_at_each_step() {
    // The common on the driven line: home while the line is low, no way home while it is high.
    let joins = DIRECTIONS.into_iter().chain(["13-6", "5-7", "1-8"]);
    let read_twice = format!(
        "like = \"{TWO_TRIGGER}\"\n[[step]]\nname = \"strobe-low\"\ndrive = {{ 8 = \"low\" }}\n\
         [[step]]\nname = \"strobe-high\"\ndrive = {{ 8 = \"high\" }}\n"
    );
    let proof = proof(&lead(&[("twice", &read_twice)], [STICK, "twice"], joins, ""));
    assert!(proof.verdict >= Verdict::Fails);
    let missed: Vec<&Finding> =
        proof.findings.iter().filter(|finding| finding.code == Code::ReadMissed).collect();
    assert_eq!(missed.len(), 6);
    assert!(missed.iter().all(|finding| finding.step.as_deref() == Some("strobe-high")));
}

#[test]
fn a_lever_never_presses_up_with_down_and_a_loose_panel_does() {
    let panel = format!("like = \"{STICK}\"\ngate = \"none\"\n");
    let joins = || DIRECTIONS.into_iter().chain(["13-6", "1-8"]);
    let [up, down] = ["up", "down"].map(|name| Control::new(name).expect("a name"));
    let both = |proof: &Proof| {
        proof.truth.iter().any(|row| row.pressed.contains(&up) && row.pressed.contains(&down))
    };
    let notes = |proof: &Proof| proof.findings.iter().filter(|it| it.code == Code::ReadOpposites).count();
    let lever = proof(&lead(&[], [STICK, ONE_FIRE], joins(), ""));
    let loose = proof(&lead(&[("panel", &panel)], ["panel", ONE_FIRE], joins(), ""));
    // Nine positions of a lever, sixteen of four buttons, each with and without fire.
    assert_eq!([lever.truth.len(), loose.truth.len()], [18, 32]);
    assert_eq!([both(&lever), both(&loose)], [false, true]);
    assert_eq!([notes(&lever), notes(&loose)], [0, 2]);
}

#[test]
fn a_shell_on_the_return_is_right_even_by_way_of_the_common() {
    for (shell, severity) in
        [("shell-9", None), ("shell-8", Some(Severity::Fail)), ("shell-5", Some(Severity::Harm))]
    {
        let proof = proof(&between(STICK, TWO_TRIGGER, &["13-6", "5-7", "1-9", shell]));
        let finding = proof.findings.iter().find(|finding| finding.code == Code::BuildShell);
        assert_eq!(finding.map(|finding| finding.severity), severity, "{shell}");
    }
    let mut assembly = between(STICK, TWO_TRIGGER, &["13-6", "5-7", "1-9"]);
    assembly.lead.joins.push("controller.shell - controller.1".parse().expect("a join"));
    assembly.lead.settle();
    assert_eq!(proof(&assembly).verdict, Verdict::Works);
}

#[test]
fn verdicts_run_from_works_to_harms_and_two_of_them_are_sound() {
    let order = [Verdict::Works, Verdict::Thin, Verdict::Unproved, Verdict::Fails, Verdict::Harms];
    assert!(order.is_sorted());
    assert_eq!(order.map(Verdict::is_sound), [true, true, false, false, false]);
    let severities = [Severity::Note, Severity::Thin, Severity::Fail, Severity::Harm];
    assert!(severities.is_sorted() && severities.map(Verdict::from).is_sorted());
}

#[test]
fn a_verdict_is_that_of_the_worst_finding_and_unproved_never_becomes_works() {
    let mut seen = Vec::new();
    // A pad whose clamps hold the lines of a 5 V machine near the 2.5 V where a typical HC input switches.
    for supply in ["2.0", "2.2", "2.6"] {
        let port = format!(
            "like = \"{LIGHT_GUN}\"\n[input.line]\nfamily = \"hc\"\npull_up_ohms = [25000, 50000, 100000]\n\
             [contact.5]\nvolts = [{supply}, {supply}, {supply}]\n"
        );
        let pad = format!(
            "like = \"{PAD}\"\n[logic]\nfamily = \"hc\"\noutput = \"open-drain\"\n\
             supply_volts = [1.8, 2.2, 3.0]\nsupply_amps = [0.0005, 0.005, 0.01]\n"
        );
        let joins = DIRECTIONS.into_iter().chain(["13-6", "5-9", "1-8", "8-5"]);
        let proof = proof(&lead(&[("port", &port), ("pad", &pad)], ["pad", "port"], joins, ""));
        let unproved = proof.findings.iter().any(|finding| finding.code == Code::ReadUnproved);
        assert!(!unproved || proof.verdict >= Verdict::Unproved);
        let worst = proof.findings.first().map_or(Verdict::Works, |worst| worst.severity.into());
        assert_eq!(proof.verdict, if unproved { worst.max(Verdict::Unproved) } else { worst });
        seen.push(proof.verdict);
    }
    assert_eq!(seen, [Verdict::Fails, Verdict::Unproved, Verdict::Thin]);
}

#[test]
fn the_order_of_a_file_does_not_matter() {
    let play = ["up = [\"up\", \"b\"]", "down = [\"down\"]", "fire = [\"a\", \"c\"]", "left = [\"left\"]"];
    let joins = ["15-1", "7-2", "14-3", "13-6", "12-6", "5-1", "1-8"];
    let written = |turned: usize| {
        let turn = |lines: &[&'static str]| {
            let mut lines = lines.to_vec();
            let by = turned % lines.len();
            lines.rotate_left(by);
            lines.reverse();
            lines
        };
        let rest = format!("[play]\n{}\n", turn(&play).join("\n"));
        proof(&lead(&[], [STICK, ONE_FIRE], turn(&joins), &rest))
    };
    let first = written(0);
    for turned in 1..joins.len() {
        assert_eq!(written(turned), first);
    }
}

#[test]
fn the_same_lead_gives_the_same_proof_to_the_last_bit() {
    for assembly in common_practice() {
        let [one, other] = [(); 2].map(|()| format!("{:?}", proof(&assembly)));
        assert_eq!(one, other);
    }
}
