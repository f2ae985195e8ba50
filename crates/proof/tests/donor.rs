//! Leads into the port's own pad, opened, held against that pad itself in the same port.

#[expect(dead_code, reason = "shared with tests of other leads")]
mod bench;

use std::collections::BTreeSet;

use bench::{STICK, lead};
use solderside_lead::{Assembly, Donor, Join, default_map, read_lead};
use solderside_profile::{Control, Library, SourceFile};
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
fn a_switch_that_lies_across_another_ones_points_is_missed_and_told_where_it_belongs() {
    let swapped = SELECT.replace("13 - a", "13 - b").replace("5 - b", "5 - a");
    let proof = prove(&into("mine", "nine-pin-select", &swapped, "")).unwrap();
    let missed = proof.findings.iter().find(|finding| finding.code == Code::ReadMissed).unwrap();
    assert!(missed.remedy.contains("`donor.a`"), "{}", missed.remedy);
    let open = SELECT.replace("1 - up.common, ", "");
    let proof = prove(&into("mine", "nine-pin-select", &open, "")).unwrap();
    assert_eq!(proof.verdict, Verdict::Fails);
    assert!(codes(&proof).contains(&Code::ReadNoReturn), "{:?}", codes(&proof));
}

/// A diode on the way makes the donor's own switch a way of its own: it is proved with it open and closed.
#[test]
fn a_diode_between_the_stick_and_the_donor_is_proved_with_the_donors_own_switch_beside_it() {
    let library = Library::catalogue();
    let controller = library.controller(STICK).unwrap();
    let port = library.port("nine-pin-one-fire").unwrap();
    let donor = Donor::open(library.controller("nine-pin-stick-with-one-button").unwrap()).unwrap();
    let play = default_map(&controller, &port);
    let name = |assembly: &Assembly| write(assembly);
    let mut assembly = Assembly::by_donor(controller, donor, port, play);
    let joins = [
        "controller.1 - donor.up.common",
        "controller.15 - donor.up",
        "controller.7 - donor.down",
        "controller.14 - donor.left",
        "controller.6 - donor.right",
        "controller.13 - donor.a",
    ];
    assembly.lead.joins.extend(joins.map(|join| join.parse::<Join>().unwrap()));
    assembly.lead.settle();
    let text = name(&assembly)
        .replace("controller.13 - donor.a", "controller.13 - d1.cathode\", \"d1.anode - donor.a");
    let text = format!("{text}\n[part.d1]\ndiode = 'BAT85'\n");
    let through = read_lead(&SourceFile::new("lead.toml", text), &library)
        .unwrap_or_else(|failure| panic!("{}", failure.render()));
    let proof = prove(&through).unwrap();
    assert!(proof.verdict.is_sound(), "{:?}", proof.findings);
    let fire = proof.actions.iter().find(|action| action.action.as_str() == "fire").unwrap();
    // With the diode alone it is some tenths of a volt; the donor's own switch beside it can only lower that.
    let active = fire.active.as_ref().unwrap();
    assert!(active.volts.get() > 0.2, "{active:?}");
    assert_eq!(active.state, [Control::new("a").unwrap()]);
}

fn write(assembly: &Assembly) -> String {
    solderside_lead::write_lead(assembly)
}
