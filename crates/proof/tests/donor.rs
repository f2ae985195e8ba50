//! Leads into the port's own pad, opened, held against that pad itself in the same port.

mod bench;

use std::collections::BTreeSet;

use bench::{STICK, lead};
use solderside_lead::{Assembly, read_lead, write_lead};
use solderside_profile::{Library, SourceFile};
use solderside_proof::{Code, Proof, Severity, Verdict, prove};

/// The stick's switches across those of a pad, with these joins such as `15 - up`.
fn into(pad: &str, port: &str, joins: &str, rest: &str) -> Assembly {
    let joins: Vec<String> = joins
        .split(", ")
        .map(|join| {
            let (from, to) = join.split_once(" - ").expect("a join has two ends");
            format!("'controller.{from} - donor.{to}'")
        })
        .collect();
    let text = format!(
        "format = 1\nkind = 'lead'\ncontroller = '{STICK}'\nport = '{port}'\ndonor = '{pad}'\njoins = [{}]\n{rest}",
        joins.join(", ")
    );
    let mine = SourceFile::new("mine.toml", "like = 'nine-pin-select-pad'\nswitch = 'microswitch'");
    read_lead(&SourceFile::new("lead.toml", text), &Library::with_shelf(vec![mine]))
        .unwrap_or_else(|failure| panic!("{}", failure.render()))
}

const SELECT: &str =
    "1 - up.common, 15 - up, 7 - down, 14 - left, 6 - right, 13 - a, 5 - b, 12 - c, 11 - start";
const REGISTER: &str =
    "1 - up.common, 15 - up, 7 - down, 14 - left, 6 - right, 13 - a, 5 - b, 3 - select, 11 - start";

fn codes(proof: &Proof) -> Vec<Code> {
    let wrong = proof.findings.iter().filter(|finding| finding.severity >= Severity::Fail);
    wrong.map(|finding| finding.code).collect()
}

/// What the machine reads for each combination of presses.
fn truth(proof: &Proof) -> BTreeSet<(Vec<String>, Vec<String>)> {
    let sorted = |names: Vec<String>| {
        let mut names = names;
        names.sort();
        names
    };
    let rows = proof.truth.iter().map(|row| {
        let pressed = row.pressed.iter().map(ToString::to_string).collect();
        (sorted(pressed), sorted(row.reads.iter().map(ToString::to_string).collect()))
    });
    rows.collect()
}

#[test]
fn the_stick_through_the_opened_pad_reads_as_the_pad_itself() {
    for (pad, port, joins, straight) in [
        (
            "mine",
            "nine-pin-select",
            SELECT,
            &["1-1", "2-2", "3-3", "4-4", "5-5", "6-6", "7-7", "8-8", "9-9"][..],
        ),
        (
            "nine-pin-register-pad-8-bit",
            "nine-pin-register-8-bit",
            REGISTER,
            &["2-2", "3-3", "4-4", "6-6", "8-8"],
        ),
    ] {
        let own = [("mine", "like = 'nine-pin-select-pad'\nswitch = 'microswitch'")];
        let alone = prove(&lead(&own, [pad, port], straight.iter().copied(), "")).unwrap();
        let through = prove(&into(pad, port, joins, "")).unwrap();
        assert_eq!((alone.verdict, through.verdict), (Verdict::Works, Verdict::Works), "{pad}");
        assert_eq!(truth(&through), truth(&alone), "{pad}");
    }
}

#[test]
fn the_donors_worn_carbon_tells_in_nothing() {
    // The pad of the catalogue closes carbon domes, which may be worn; the stick's switches stand beside them.
    let alone = lead(
        &[],
        ["nine-pin-select-pad", "nine-pin-select"],
        ["1-1", "2-2", "3-3", "4-4", "5-5", "6-6", "7-7", "8-8", "9-9"],
        "",
    );
    let alone = prove(&alone).unwrap();
    assert!(alone.findings.iter().any(|finding| finding.code == Code::ReadWornContact));
    let through = prove(&into("nine-pin-select-pad", "nine-pin-select", SELECT, "")).unwrap();
    assert_eq!((through.verdict, codes(&through)), (Verdict::Works, vec![]));
}

#[test]
fn a_lead_into_a_donor_stands_on_what_is_inside_it() {
    let proof = prove(&into("mine", "nine-pin-select", SELECT, "")).unwrap();
    assert!(proof.stands_on.iter().any(|fact| fact.what.starts_with("what is inside `mine`")));
    let worn = proof.stands_on.iter().filter(|fact| fact.what.starts_with("a closed"));
    assert_eq!(worn.count(), 1, "of the stick's switches, and not of the donor's");
}

/// Two rows or columns that a matrix keeps apart become one through the stick's single common.
#[test]
fn a_single_common_across_switches_that_share_none_reads_what_nobody_pressed() {
    let joins = "1 - up.common, 1 - down.common, 1 - left.common, 1 - right.common, \
                 15 - up, 7 - down, 14 - left, 6 - right";
    let proof = prove(&into(
        "fifteen-pin-matrix-pad",
        "fifteen-pin-matrix",
        joins,
        "[play]\nup = ['up']\ndown = ['down']\nleft = ['left']\nright = ['right']",
    ))
    .unwrap();
    assert!(proof.verdict >= Verdict::Fails, "{:?}", proof.verdict);
    assert!(codes(&proof).contains(&Code::ReadGhost), "{:?}", codes(&proof));
}

#[test]
fn a_switch_that_lies_across_another_ones_points_is_missed() {
    let swapped = SELECT.replace("13 - a", "13 - b").replace("5 - b", "5 - a");
    let proof = prove(&into("mine", "nine-pin-select", &swapped, "")).unwrap();
    assert!(
        codes(&proof).contains(&Code::ReadMissed) && codes(&proof).contains(&Code::ReadGhost),
        "{:?}",
        codes(&proof)
    );
    let open = SELECT.replace("1 - up.common, ", "");
    let proof = prove(&into("mine", "nine-pin-select", &open, "")).unwrap();
    assert_eq!(proof.verdict, Verdict::Fails);
    assert!(codes(&proof).contains(&Code::ReadNoReturn), "{:?}", codes(&proof));
}

const PLAIN: &str = "1 - up.common, 15 - up, 7 - down, 14 - left, 6 - right, 13 - a";

#[test]
fn what_is_not_joined_is_told_by_the_donors_point() {
    let open = PLAIN.replace(", 13 - a", "");
    let proof = prove(&into("nine-pin-stick-with-one-button", "nine-pin-one-fire", &open, "")).unwrap();
    let missed = proof.findings.iter().find(|finding| finding.code == Code::ReadMissed).unwrap();
    assert_eq!(missed.remedy, "join `controller.13` to `donor.a`; `a` asks for it");
}

/// The donor's own switch lies across the points themselves and goes round the diode: nothing covers both.
#[test]
fn a_part_between_the_stick_and_the_donor_is_not_proved() {
    let whole = into("nine-pin-stick-with-one-button", "nine-pin-one-fire", PLAIN, "");
    assert_eq!(prove(&whole).unwrap().verdict, Verdict::Works);
    let text = write_lead(&whole)
        .replace("controller.13 - donor.a", "controller.13 - d1.cathode\", \"d1.anode - donor.a");
    let text = format!("{text}\n[part.d1]\ndiode = 'BAT85'\n");
    let through = read_lead(&SourceFile::new("lead.toml", text), &Library::catalogue());
    let proof = prove(&through.unwrap_or_else(|failure| panic!("{}", failure.render()))).unwrap();
    assert_eq!((proof.verdict, codes(&proof)), (Verdict::Unproved, vec![]));
}
