//! Leads with chips, held against a second evaluation that shares no code with the proof: plain boolean algebra over
//! nets, every state and every step.
//!
//! What each chip does is written down a second time in `bench/picture.rs`.

mod bench;
#[path = "bench/picture.rs"]
mod picture;

use std::fmt::Write as _;

use bench::{STICK, lead};
use picture::{catalogue_lead, compare, told};
use solderside_lead::Assembly;
use solderside_proof::{Code, Severity, Verdict, prove};

fn straight(controller: &str, port: &str, contacts: &[u8]) -> Assembly {
    let joins: Vec<String> = contacts.iter().map(|contact| format!("{contact}-{contact}")).collect();
    lead(&[], [controller, port], joins.iter().map(String::as_str), "")
}

/// A pull-up of 10 kΩ for each of these legs, to the supply leg.
fn pull_ups(legs: &[&str], supply: &str, first: usize) -> (String, String) {
    let (mut joins, mut parts) = (String::new(), String::new());
    for (leg, number) in legs.iter().zip(first..) {
        let _ = write!(joins, " r{number}.1={leg} r{number}.2={supply}");
        let _ = write!(parts, "[part.r{number}]\nohms = 10000\n");
    }
    (joins, parts)
}

/// The eleven leads.
#[expect(clippy::too_many_lines, reason = "eleven leads, one after the other")]
fn leads() -> Vec<(&'static str, Assembly)> {
    let decoupled = |chips: &[&str]| -> String {
        let chip = |(at, chip): (usize, &&str)| {
            format!("[part.u{at}]\nchip = \"{chip}\"\n[part.c{at}]\nfarads = 100e-9\n", at = at + 1)
        };
        chips.iter().enumerate().map(chip).collect()
    };
    let mut leads = vec![
        (
            "the 8-bit pad",
            straight("nine-pin-register-pad-8-bit", "nine-pin-register-8-bit", &[2, 3, 4, 6, 8]),
        ),
        (
            "the 16-bit pad",
            straight("nine-pin-register-pad-16-bit", "nine-pin-register-16-bit", &[2, 3, 4, 6, 8]),
        ),
        ("the select pad", straight("nine-pin-select-pad", "nine-pin-select", &[1, 2, 3, 4, 5, 6, 7, 8, 9])),
        (
            "the pad with six buttons",
            straight(
                "nine-pin-select-pad-six-buttons",
                "nine-pin-select-six-buttons",
                &[1, 2, 3, 4, 5, 6, 7, 8, 9],
            ),
        ),
    ];

    // The stick behind a multiplexer: with select low two lines are low, and the other buttons show.
    let (joins, parts) =
        pull_ups(&["u1.3", "u1.6", "u1.11", "u1.10", "u1.14", "u1.13", "p1", "p2"], "u1.16", 1);
    leads.push((
        "a stick behind a multiplexer",
        catalogue_lead(
            STICK,
            "nine-pin-select",
            &format!(
                "c15=p1 c7=p2 c1=p8 u1.16=p5 u1.8=p8 u1.15=u1.8 u1.1=p7 c1.1=u1.16 c1.2=u1.8 \
                 u1.2=u1.8 c14=u1.3 u1.4=p3 u1.5=u1.8 c6=u1.6 u1.7=p4 \
                 c13=u1.11 c5=u1.10 u1.9=p6 c11=u1.14 c12=u1.13 u1.12=p9 {joins}"
            ),
            &format!(
                "[play]\nup = [\"up\"]\ndown = [\"down\"]\nleft = [\"left\"]\nright = [\"right\"]\n\
                 a = [\"a\"]\nb = [\"b\"]\nc = [\"c\"]\nstart = [\"start\"]\n{}{parts}",
                decoupled(&["74HC157"])
            ),
        ),
    ));

    // The stick into registers: bit 0 lies at the last stage.
    let play8 = "[play]\nup = [\"up\"]\ndown = [\"down\"]\nleft = [\"left\"]\nright = [\"right\"]\na = [\"a\"]\n\
                 b = [\"b\"]\nselect = [\"select\"]\nstart = [\"start\"]\n";
    let wires = |legs: [&str; 8]| -> String {
        let contacts = ["c13", "c5", "c3", "c11", "c15", "c7", "c14", "c6"];
        let wire = |(contact, leg): (&&str, &str)| format!("{contact}={leg}");
        contacts.iter().zip(legs).map(wire).collect::<Vec<_>>().join(" ")
    };
    let stages = ["u1.1", "u1.15", "u1.14", "u1.13", "u1.4", "u1.5", "u1.6", "u1.7"];
    let (joins, parts) = pull_ups(&stages, "u1.16", 1);
    leads.push((
        "a stick in a register that loads while high",
        catalogue_lead(
            STICK,
            "nine-pin-register-8-bit",
            &format!(
                "{} c1=p8 u1.16=p6 u1.8=p8 c1.1=u1.16 c1.2=u1.8 u1.9=p3 u1.10=p4 u1.3=p2 u1.11=u1.8 {joins}",
                wires(stages)
            ),
            &format!("{play8}{}{parts}", decoupled(&["CD4021"])),
        ),
    ));
    // The 74HC165 loads while low: the latch comes through an inverter. Its bit 0 lies at D7.
    let stages = ["u1.6", "u1.5", "u1.4", "u1.3", "u1.14", "u1.13", "u1.12", "u1.11"];
    let (joins, parts) = pull_ups(&stages, "u1.16", 1);
    leads.push((
        "a stick in a register that loads while low, behind an inverter",
        catalogue_lead(
            STICK,
            "nine-pin-register-8-bit",
            &format!(
                "{} c1=p8 u1.16=p6 u1.8=p8 c1.1=u1.16 c1.2=u1.8 u2.14=p6 u2.7=p8 c2.1=u2.14 c2.2=u2.7 \
                 u2.1=p3 u2.2=u1.1 u2.3=u2.7 u2.5=u2.7 u2.9=u2.7 u2.11=u2.7 u2.13=u2.7 \
                 u1.2=p4 u1.15=u1.8 u1.10=u1.8 u1.9=p2 {joins}",
                wires(stages)
            ),
            &format!("{play8}{}{parts}", decoupled(&["74HC165", "74HC04"])),
        ),
    ));
    // Two registers in a chain, the second's unused stages not pressed.
    let first = ["u1.1", "u1.15", "u1.14", "u1.13", "u1.4", "u1.5", "u1.6", "u1.7"];
    let (joins, parts) = pull_ups(&first, "u1.16", 1);
    let (more, more_parts) = pull_ups(&["u2.1", "u2.15"], "u2.16", 9);
    leads.push((
        "a stick in two registers",
        catalogue_lead(
            STICK,
            "nine-pin-register-16-bit",
            &format!(
                "{} c12=u2.1 c4=u2.15 c1=p8 u1.16=p6 u1.8=p8 u2.16=p6 u2.8=p8 c1.1=u1.16 c1.2=u1.8 c2.1=u2.16 c2.2=u2.8 \
                 u1.9=p3 u1.10=p4 u2.9=p3 u2.10=p4 u1.3=p2 u2.3=u1.11 u2.11=u2.8 \
                 u2.14=u2.16 u2.13=u2.16 u2.4=u2.16 u2.5=u2.16 u2.6=u2.16 u2.7=u2.16 {joins}{more}",
                wires(first)
            ),
            &format!(
                "[play]\nup = [\"up\"]\ndown = [\"down\"]\nleft = [\"left\"]\nright = [\"right\"]\n\
                 lower-face = [\"a\"]\nleft-face = [\"b\"]\nselect = [\"select\"]\nstart = [\"start\"]\n\
                 right-face = [\"c\"]\nupper-face = [\"d\"]\n{}{parts}{more_parts}",
                decoupled(&["CD4021", "CD4021"])
            ),
        ),
    ));

    // One line of four through gates of three kinds, on a plain port.
    let plain = "c15=p1 c7=p2 c14=p3 c6=p4 c1=p8";
    let (joins, parts) = pull_ups(&["u1.1"], "u1.14", 1);
    let fire = "[play]\nup = [\"up\"]\ndown = [\"down\"]\nleft = [\"left\"]\nright = [\"right\"]\n";
    leads.push((
        "a button through two inverters",
        catalogue_lead(
            STICK,
            "nine-pin-one-fire",
            &format!(
                "{plain} c13=u1.1 u1.2=u1.3 u1.4=p6 u1.14=p7 u1.7=p8 c1.1=u1.14 c1.2=u1.7 \
                 u1.5=u1.7 u1.9=u1.7 u1.11=u1.7 u1.13=u1.7 {joins}"
            ),
            &format!("{fire}fire = [\"a\"]\n{}{parts}", decoupled(&["74HC04"])),
        ),
    ));
    let (joins, parts) = pull_ups(&["u1.1", "u1.2"], "u1.14", 1);
    leads.push((
        "either of two buttons through NANDs",
        catalogue_lead(
            STICK,
            "nine-pin-one-fire",
            &format!(
                "{plain} c13=u1.1 c5=u1.2 u1.3=u1.4 u1.3=u1.5 u1.6=p6 u1.14=p7 u1.7=p8 c1.1=u1.14 c1.2=u1.7 \
                 u1.9=u1.7 u1.10=u1.7 u1.12=u1.7 u1.13=u1.7 {joins}"
            ),
            &format!("{fire}fire = [\"a\", \"b\"]\n{}{parts}", decoupled(&["74HC00"])),
        ),
    ));
    let (joins, parts) = pull_ups(&["u1.1"], "u1.14", 1);
    leads.push((
        "a button that enables a buffer whose input is low",
        catalogue_lead(
            STICK,
            "nine-pin-one-fire",
            &format!(
                "{plain} c13=u1.1 u1.2=u1.7 u1.3=p6 u1.14=p7 u1.7=p8 c1.1=u1.14 c1.2=u1.7 \
                 u1.4=u1.14 u1.5=u1.7 u1.10=u1.14 u1.9=u1.7 u1.13=u1.14 u1.12=u1.7 {joins}"
            ),
            &format!("{fire}fire = [\"a\"]\n{}{parts}", decoupled(&["74HC125"])),
        ),
    ));
    leads
}

#[test]
fn eleven_leads_with_chips_read_in_every_state_what_boolean_algebra_says() {
    let mut sound = 0;
    for (name, assembly) in leads() {
        let proof = prove(&assembly).expect("a circuit");
        assert!(
            matches!(proof.verdict, Verdict::Works | Verdict::Thin),
            "{name}: {:?}\n{}",
            proof.verdict,
            told(&proof)
        );
        sound += 1;
        let compared = compare(name, &assembly, &proof);
        assert!(compared >= 18, "{name}: {compared} states");
    }
    assert_eq!(sound, 11);
}

#[test]
fn a_floating_input_of_a_chip_is_told_with_its_leg() {
    let (joins, parts) = pull_ups(&["u1.1"], "u1.14", 1);
    let assembly = catalogue_lead(
        STICK,
        "nine-pin-one-fire",
        &format!(
            "c15=p1 c7=p2 c14=p3 c6=p4 c1=p8 c13=u1.1 u1.2=u1.3 u1.4=p6 u1.14=p7 u1.7=p8 c1.1=u1.14 c1.2=u1.7 \
             u1.5=u1.7 u1.9=u1.7 u1.11=u1.7 {joins}"
        ),
        &format!("[part.u1]\nchip = \"74HC04\"\n[part.c1]\nfarads = 100e-9\n{parts}"),
    );
    let proof = prove(&assembly).expect("a circuit");
    let floats = proof.findings.iter().find(|finding| finding.code == Code::ReadFloating);
    let floats = floats.expect("u1.13 leads nowhere");
    assert_eq!((floats.severity, floats.legs[0].to_string()), (Severity::Fail, "u1.13".to_owned()));
}

#[test]
fn a_chip_without_a_supply_fails_the_lead() {
    let assembly = catalogue_lead(
        STICK,
        "nine-pin-one-fire",
        "c15=p1 c7=p2 c14=p3 c6=p4 c1=p8 c13=u1.1 u1.2=u1.3 u1.4=p6 u1.7=p8",
        "[part.u1]\nchip = \"74HC04\"\n",
    );
    let proof = prove(&assembly).expect("a circuit");
    assert!(proof.findings.iter().any(|finding| finding.code == Code::PowerMissing), "{}", told(&proof));
    assert!(!proof.verdict.is_sound());
}

#[test]
fn two_outputs_on_one_line_harm_each_other() {
    let (joins, parts) = pull_ups(&["u1.1", "u1.5"], "u1.14", 1);
    let assembly = catalogue_lead(
        STICK,
        "nine-pin-one-fire",
        &format!(
            "c15=p1 c7=p2 c14=p3 c6=p4 c1=p8 c13=u1.1 c5=u1.5 u1.2=p6 u1.6=p6 u1.14=p7 u1.7=p8 c1.1=u1.14 c1.2=u1.7 \
             u1.3=u1.7 u1.9=u1.7 u1.11=u1.7 u1.13=u1.7 {joins}"
        ),
        &format!("[part.u1]\nchip = \"74HC04\"\n[part.c1]\nfarads = 100e-9\n{parts}"),
    );
    let proof = prove(&assembly).expect("a circuit");
    assert!(proof.findings.iter().any(|finding| finding.code == Code::DriveFight), "{}", told(&proof));
    assert_eq!(proof.verdict, Verdict::Harms);
}

#[test]
fn a_plain_stick_is_not_known_to_a_machine_that_looks_for_a_pad() {
    let joins = ["15-1", "7-2", "14-3", "6-4", "13-6", "5-9", "1-8"];
    let play = "[play]\nup = [\"up\"]\ndown = [\"down\"]\nleft = [\"left\"]\nright = [\"right\"]\nb = [\"a\"]\nc = [\"b\"]\n";
    let assembly = lead(&[], [STICK, "nine-pin-select"], joins, play);
    let proof = prove(&assembly).expect("a circuit");
    let unknown = proof.findings.iter().find(|finding| finding.code == Code::ReadIdentity);
    assert_eq!(unknown.map(|finding| finding.severity), Some(Severity::Fail), "{}", told(&proof));
}

#[test]
fn pull_ups_in_a_row_are_as_good_as_pull_ups_at_one_point() {
    // Each resistor's upper leg is wired to the next one's, and only the first to the supply.
    let assembly = catalogue_lead(
        STICK,
        "nine-pin-one-fire",
        "c15=p1 c7=p2 c14=p3 c6=p4 c1=u1.7 c13=u1.1 c5=u1.2 u1.3=u1.4 u1.3=u1.5 u1.6=p6 u1.14=p7 u1.7=p8 \
         c1.1=u1.14 c1.2=u1.7 u1.9=u1.7 u1.10=u1.7 u1.12=u1.7 u1.13=u1.7 \
         r1.1=u1.14 r2.1=r1.1 r1.2=u1.1 r2.2=u1.2",
        "[play]\nup = [\"up\"]\ndown = [\"down\"]\nleft = [\"left\"]\nright = [\"right\"]\nfire = [\"a\", \"b\"]\n\
         [part.u1]\nchip = \"74HC00\"\n[part.c1]\nfarads = 100e-9\n[part.r1]\nohms = 10000\n[part.r2]\nohms = 10000\n",
    );
    let proof = prove(&assembly).expect("a circuit");
    assert_eq!(proof.verdict, Verdict::Works, "{}", told(&proof));
}

#[test]
fn a_chips_leg_on_a_voltage_beyond_its_supply_is_harmed() {
    // A board edge with 12 V beside the 5 V: the input of a chip on 5 V pulled up to 12 V.
    let board = "format = 1\nkind = \"port\"\nconnector = \"DE-9 plug\"\nrail_volts = [4.75, 5.0, 5.25]\n\
        [input.line]\nfamily = \"hct\"\npull_up_ohms = [4700, 5000, 5300]\n[contact.1]\naction = \"up\"\n\
        [contact.5]\nrole = \"supply\"\nvolts = [4.75, 5.0, 5.25]\n[contact.7]\nrole = \"supply\"\nvolts = [11, 12, 13]\n\
        [contact.8]\nrole = \"return\"\n";
    let rest = "[play]\nup = [\"up\"]\n[part.u1]\nchip = \"74HC04\"\n[part.c1]\nfarads = 100e-9\n[part.r1]\nohms = 1000\n";
    let text = format!(
        "format = 1\nkind = \"lead\"\ncontroller = \"{STICK}\"\nport = \"board\"\njoins = [\
         \"controller.15 - port.1\", \"controller.1 - port.8\", \"u1.14 - port.5\", \"u1.7 - port.8\", \
         \"c1.1 - u1.14\", \"c1.2 - u1.7\", \"u1.1 - r1.1\", \"r1.2 - port.7\", \"u1.3 - u1.7\", \
         \"u1.5 - u1.7\", \"u1.9 - u1.7\", \"u1.11 - u1.7\", \"u1.13 - u1.7\"]\n{rest}"
    );
    let library = solderside_profile::Library::with_shelf(vec![solderside_profile::SourceFile::new(
        "board.toml",
        board,
    )]);
    let assembly =
        solderside_lead::read_lead(&solderside_profile::SourceFile::new("lead.toml", text), &library)
            .unwrap_or_else(|failure| panic!("{}", failure.render()));
    let proof = prove(&assembly).expect("a circuit");
    assert_eq!(proof.verdict, Verdict::Harms, "{}", told(&proof));
    assert!(proof.findings.iter().any(|finding| finding.code == Code::DriveVolts), "{}", told(&proof));
}
