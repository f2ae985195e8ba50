//! Whether a lead can be built in its cable.

mod bench;

use bench::{STICK, lead};
use solderside_lead::read_lead;
use solderside_profile::{Library, SourceFile};
use solderside_proof::{Code, Severity, Verdict, prove};

const JOINS: [&str; 6] = ["15-1", "7-2", "14-3", "6-4", "13-6", "1-8"];

/// What is said of a stick's lead in a cable that starts from one of the catalogue.
fn said(joins: &[&str], cable: &str) -> (Verdict, Vec<(Code, String)>) {
    let rest = "[cord]\ncable = 'mine'";
    let assembly = lead(&[("mine", cable)], [STICK, "nine-pin-one-fire"], joins.iter().copied(), rest);
    let proof = prove(&assembly).expect("the profiles are sound");
    let findings = proof.findings.into_iter().filter(|finding| {
        matches!(finding.code, Code::BuildFewCores | Code::BuildMouldedEnd | Code::BuildGender)
    });
    let findings = findings.map(|finding| {
        assert_eq!(finding.severity, Severity::Fail);
        assert!(!finding.remedy.is_empty());
        (finding.code, finding.text)
    });
    (proof.verdict, findings.collect())
}

/// Two moulded ends, straight through where the stick's lead needs it, with more cores as given.
fn both_ends(more: [&str; 2]) -> String {
    let end = |connector: &str, contacts: [u8; 6], more: &str| {
        let cores: Vec<String> =
            (1..).zip(contacts).map(|(core, contact): (u8, _)| format!("{contact} = {core}")).collect();
        format!("[[moulded]]\nconnector = '{connector}'\ncores = {{ {}{more} }}\n", cores.join(", "))
    };
    let [controller, port] = more;
    format!(
        "like = 'ten-core-control'\n{}{}",
        end("DA-15 socket", [15, 7, 14, 6, 13, 1], controller),
        end("DE-9 socket", [1, 2, 3, 4, 6, 8], port)
    )
}

#[test]
fn a_cable_with_cores_enough_is_sound() {
    for cable in ["like = 'ten-core-control'", "like = 'nine-core-moulded-socket'", &both_ends(["", ""])] {
        assert_eq!(said(&JOINS, cable), (Verdict::Works, Vec::new()), "{cable}");
    }
}

#[test]
fn too_few_cores_are_counted_and_the_joins_without_one_are_named() {
    let (verdict, findings) = said(&JOINS, "like = 'ten-core-control'\ncores = 5");
    assert_eq!(verdict, Verdict::Fails);
    let text = "6 joins run through the cable `mine`, which has 5 cores: none is left for \
                `controller.15 - port.1`";
    assert_eq!(findings, [(Code::BuildFewCores, text.to_owned())]);
}

#[test]
fn a_moulded_end_of_the_wrong_gender_is_found() {
    let moulded =
        "like = 'nine-core-moulded-socket'\n[[moulded]]\nconnector = 'DE-9 plug'\ncores = { 1 = 1 }";
    let (verdict, findings) = said(&JOINS, moulded);
    assert_eq!(verdict, Verdict::Fails);
    let text = "the DE-9 plug that is moulded onto the cable `mine` is at no end of the lead, which needs \
                a DA-15 socket and a DE-9 socket";
    assert_eq!(findings, [(Code::BuildGender, text.to_owned())]);
}

#[test]
fn one_core_in_a_moulded_contact_serves_one_join() {
    let joins: Vec<&str> = JOINS.into_iter().chain(["5-6"]).collect();
    let (verdict, findings) = said(&joins, "like = 'nine-core-moulded-socket'");
    assert_eq!(verdict, Verdict::Fails);
    let text = "core 6 reaches `port.6` (fire) and runs `controller.5 - port.6`, so that \
                `controller.13 - port.6` has none";
    assert_eq!(findings, [(Code::BuildMouldedEnd, text.to_owned())]);
}

#[test]
fn a_core_that_both_moulded_ends_join_and_the_lead_does_not_is_found() {
    let (verdict, findings) = said(&JOINS, &both_ends([", 8 = 7", ", 7 = 7"]));
    assert_eq!(verdict, Verdict::Fails);
    let text = "core 7 is moulded in at both ends of the cable `mine` and joins `controller.8` (unused) to \
                `port.7` (supply), which the lead does not";
    assert_eq!(findings, [(Code::BuildMouldedEnd, text.to_owned())]);
    // A core that ends in one of them only joins nothing.
    assert_eq!(said(&JOINS, &both_ends([", 8 = 7", ", 7 = 8"])), (Verdict::Works, Vec::new()));
}

#[test]
fn two_moulded_ends_that_no_core_runs_between_are_told_apart_from_too_few_cores() {
    let crossed = "like = 'ten-core-control'
        [[moulded]]\nconnector = 'DA-15 socket'\ncores = { 15 = 1 }
        [[moulded]]\nconnector = 'DE-9 socket'\ncores = { 1 = 2 }";
    let (_, findings) = said(&["15-1"], crossed);
    let text = "no core of the cable `mine` runs from `controller.15` to `port.1`";
    assert_eq!(findings, [(Code::BuildMouldedEnd, text.to_owned())]);
}

#[test]
fn nothing_is_soldered_inside_a_moulded_end() {
    let said_of = |more: &str| {
        let text = format!(
            "format = 1\nkind = 'lead'\ncontroller = '{STICK}'\nport = 'nine-pin-one-fire'\n\
             joins = [{more}]\n[part.d1]\ndiode = 'BAT85'\n[cord]\ncable = 'nine-core-moulded-socket'"
        );
        let read = read_lead(&SourceFile::new("lead.toml", text), &Library::catalogue());
        let assembly = read.unwrap_or_else(|failure| panic!("{}", failure.render()));
        let findings = prove(&assembly).expect("the profiles are sound").findings.into_iter();
        let moulded = findings.filter(|finding| finding.code == Code::BuildMouldedEnd);
        moulded.map(|finding| finding.text).collect::<Vec<_>>()
    };
    let inside = "is inside the port end, which is moulded onto the cable `nine-core-moulded-socket`: \
                  nothing can be soldered there";
    assert_eq!(
        said_of("'controller.13 - d1.cathode', 'd1.anode - port.6'"),
        [format!("the part `d1` {inside}")]
    );
    assert_eq!(
        said_of("'controller.13 - port.6', 'port.6 - port.7', 'd1.anode - d1.cathode'"),
        [format!("the part `d1` {inside}"), format!("`port.6 - port.7` {inside}")]
    );
}
