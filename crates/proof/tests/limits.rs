//! What must not be exceeded, as statements of the trade that the proof has to agree with.
//!
//! The shelf is made up: a stick and a pad on nine contacts, and ports on which one thing each is special.

use solderside_lead::{Assembly, read_lead};
use solderside_profile::{Library, SourceFile};
use solderside_proof::{Code, Finding, Proof, Severity, Verdict, prove};

const STICK: &str = r#"
format = 1
kind = "controller"
connector = "DE-9 socket"
switch = "microswitch"
gate = "eight-way"
fire_order = ["a", "b"]
[contact.1]
control = "up"
[contact.2]
control = "down"
[contact.6]
control = "a"
[contact.7]
control = "b"
[contact.8]
role = "common"
"#;

/// Chips that drive both levels, fed on 5.
const PAD: &str = r#"
format = 1
kind = "controller"
connector = "DE-9 socket"
switch = "metal-dome"
gate = "eight-way"
fire_order = ["a", "b"]
[contact.1]
control = "up"
[contact.2]
control = "down"
[contact.6]
control = "a"
[contact.9]
control = "b"
[contact.5]
role = "supply"
[contact.8]
role = "common"
[logic]
family = "ttl"
output = "push-pull"
supply_volts = [4.5, 5.0, 5.5]
supply_amps = [0.001, 0.005, 0.01]
"#;

/// A port of TTL inputs behind 4.7 kΩ with a supply of 1 A on 7, and what a test changes of it.
struct Port {
    family: &'static str,
    pull_up_ohms: [u32; 3],
    /// To what the machine also drives 6 and 9.
    driven: [Option<&'static str>; 2],
    /// The role of 8, the steps, and what else there is.
    home: &'static str,
}

const TRUE_RETURN: &str = "[contact.8]\nrole = \"return\"\n";
const ROW: &str =
    "[contact.8]\nrole = \"drive\"\nfamily = \"ls145\"\n[[step]]\nname = \"row\"\ndrive = { 8 = \"low\" }\n";

const PLAIN: Port =
    Port { family: "ttl", pull_up_ohms: [4500, 4700, 4900], driven: [None; 2], home: TRUE_RETURN };

impl Port {
    fn file(&self) -> String {
        let [fire, second] = self
            .driven
            .map(|driven| driven.map_or(String::new(), |levels| format!("driven = \"{levels}\"\n")));
        let Self { family, pull_up_ohms, home, .. } = self;
        format!(
            "format = 1\nkind = \"port\"\nconnector = \"DE-9 plug\"\nfire_order = [\"fire\", \"second-fire\"]\n\
             rail_volts = [4.75, 5.0, 5.25]\n[input.line]\nfamily = \"{family}\"\npull_up_ohms = {pull_up_ohms:?}\n\
             [contact.1]\naction = \"up\"\n[contact.2]\naction = \"down\"\n\
             [contact.6]\naction = \"fire\"\n{fire}[contact.9]\naction = \"second-fire\"\n{second}\
             [contact.7]\nrole = \"supply\"\nvolts = [4.9, 5.0, 5.1]\namps_max = 1.0\n{home}"
        )
    }
}

/// A lead with joins such as `c.6 - p.6` or `p.7 - r1.1`, and the tables of its parts.
fn built(controller: &str, port: &Port, joins: &[&str], rest: &str) -> Assembly {
    let joins: Vec<String> = joins
        .iter()
        .map(|join| format!("\"{}\"", join.replace("c.", "controller.").replace("p.", "port.")))
        .collect();
    let text = format!(
        "format = 1\nkind = \"lead\"\ncontroller = \"own\"\nport = \"machine\"\njoins = [{}]\n{rest}",
        joins.join(", ")
    );
    let files = [("own", controller), ("machine", &port.file())];
    let files = files.map(|(name, text)| SourceFile::new(format!("{name}.toml"), text.to_owned()));
    read_lead(&SourceFile::new("lead.toml", text), &Library::with_shelf(files.into()))
        .unwrap_or_else(|failure| panic!("{}", failure.render()))
}

fn proof(controller: &str, port: &Port, joins: &[&str], rest: &str) -> Proof {
    prove(&built(controller, port, joins, rest)).expect("the values make a circuit")
}

fn found(proof: &Proof, code: Code) -> &Finding {
    let found = proof.findings.iter().find(|finding| finding.code == code);
    found.unwrap_or_else(|| panic!("{:#?}", proof.findings))
}

fn figure(finding: &Finding, name: &str) -> f64 {
    finding.figures.iter().find(|figure| figure.name == name).expect("the figure is there").value
}

const BUTTONS: [&str; 4] = ["c.1 - p.1", "c.2 - p.2", "c.6 - p.6", "c.7 - p.9"];

fn with<'j>(joins: &[&'j str]) -> Vec<&'j str> {
    BUTTONS.into_iter().chain(joins.iter().copied()).collect()
}

const NO_FIRE: &str = "[play]\nup = [\"up\"]\ndown = [\"down\"]\nfire = []\nsecond-fire = []\n";

#[test]
fn a_stick_on_a_plain_port_harms_nothing() {
    assert_eq!(proof(STICK, &PLAIN, &with(&["c.8 - p.8"]), "").verdict, Verdict::Works);
}

#[test]
fn a_row_that_is_low_fights_a_line_that_the_machine_drives_high() {
    let port = Port { driven: [Some("high"), None], home: ROW, ..PLAIN };
    let proof = proof(STICK, &port, &with(&["c.8 - p.8"]), "");
    assert_eq!(found(&proof, Code::DriveOverload).severity, Severity::Harm);
    assert_eq!(proof.verdict, Verdict::Harms);
}

#[test]
fn two_lines_that_the_machine_drives_apart_fight_behind_a_resistor_in_the_common() {
    let port = Port { driven: [Some("both"); 2], ..PLAIN };
    let common = proof(STICK, &port, &with(&["c.8 - r1.1", "r1.2 - p.8"]), "[part.r1]\nohms = 220\n");
    let worst = found(&common, Code::DriveOverload);
    // The strongest high, 4.25 V behind 42 Ω, into the strongest low of 10 Ω, by way of the common.
    assert!((0.075..0.085).contains(&figure(worst, "carries_amps")), "{}", worst.text);
    assert_eq!(worst.state.as_ref().map(Vec::len), Some(2));
    // A resistor for each line keeps them apart as well as from the return.
    let each =
        ["c.1 - p.1", "c.2 - p.2", "c.6 - r1.1", "r1.2 - p.6", "c.7 - r2.1", "r2.2 - p.9", "c.8 - p.8"];
    let parts = "[part.r1]\nohms = 220\n[part.r2]\nohms = 220\n";
    let each = proof(STICK, &port, &each, parts);
    assert!(each.verdict < Verdict::Harms, "{:#?}", each.findings);
}

#[test]
fn a_pads_output_that_drives_high_burns_on_the_return_on_the_supply_and_on_another_output() {
    let fed = ["c.1 - p.1", "c.2 - p.2", "c.5 - p.7", "c.8 - p.8"];
    for (what, join, rest) in [
        ("the return", &["c.6 - p.8"][..], ""),
        ("the supply", &["c.6 - p.7"], ""),
        ("the supply by 10 Ω", &["c.6 - r1.1", "r1.2 - p.7"], "[part.r1]\nohms = 10\n"),
        ("another output", &["c.6 - c.9"], ""),
    ] {
        let joins: Vec<&str> = fed.iter().chain(join).copied().collect();
        let proof = proof(PAD, &PLAIN, &joins, &format!("{NO_FIRE}{rest}"));
        assert_eq!(proof.verdict, Verdict::Harms, "{what}");
    }
    let joins: Vec<&str> = fed.iter().copied().chain(["c.6 - c.9"]).collect();
    let tied = proof(PAD, &PLAIN, &joins, NO_FIRE);
    assert!(found(&tied, Code::DriveFight).text.contains("the pad drives"), "{:#?}", tied.findings);
}

#[test]
fn harm_outweighs_a_doubt_about_the_same_contact() {
    let port = Port { driven: [Some("both"); 2], ..PLAIN };
    let fed = [
        "c.1 - p.1",
        "c.2 - p.2",
        "c.5 - p.7",
        "c.8 - p.8",
        "c.6 - p.6",
        "c.9 - d1.cathode",
        "d1.anode - p.7",
    ];
    let rest = "[play]\nup = [\"up\"]\ndown = [\"down\"]\nfire = [\"a\"]\nsecond-fire = []\n[part.d1]\ndiode = \"1N4148\"\n";
    assert_eq!(proof(PAD, &port, &fed, rest).verdict, Verdict::Harms);
}

#[test]
fn a_small_resistor_across_the_supply_is_too_hot_with_and_without_a_diode_before_it() {
    // 5.1 V across 95 Ω are 0.27 W, and across 110 Ω 0.24 W.
    for (ohms, verdict) in [(10, Verdict::Harms), (100, Verdict::Harms), (120, Verdict::Works)] {
        let joins = with(&["c.8 - p.8", "p.7 - r1.1", "r1.2 - p.8"]);
        let proof = proof(STICK, &PLAIN, &joins, &format!("[part.r1]\nohms = {ohms}\n"));
        assert_eq!(proof.verdict, verdict, "{ohms} Ω");
    }
    let joins = with(&["c.8 - p.8", "p.7 - r1.1", "r1.2 - d1.anode", "d1.cathode - p.8"]);
    let rest = "[part.r1]\nohms = 10\n[part.d1]\ndiode = \"1N4148\"\n";
    let hot: Vec<String> = (proof(STICK, &PLAIN, &joins, rest).findings.iter())
        .filter(|finding| finding.code == Code::PowerHotPart)
        .map(|finding| finding.legs[0].to_string())
        .collect();
    assert_eq!(hot, ["d1.anode", "r1.1"]);
}

#[test]
fn a_schottky_diode_breaks_down_across_40_volts_and_one_of_silicon_does_not() {
    let high = "[contact.8]\nrole = \"return\"\n[contact.5]\nrole = \"signal\"\nvolts = [38, 40, 42]\namps_max = 0.5\n";
    for (diode, verdict) in [("BAT85", Verdict::Harms), ("1N4148", Verdict::Works)] {
        let joins = with(&["c.8 - p.8", "p.5 - d1.cathode", "d1.anode - p.8"]);
        let rest = format!("[part.d1]\ndiode = \"{diode}\"\n");
        let proof = proof(STICK, &Port { home: high, ..PLAIN }, &joins, &rest);
        assert_eq!(proof.verdict, verdict, "{diode}");
        assert_eq!(proof.findings.iter().any(|it| it.code == Code::DriveReverse), verdict == Verdict::Harms);
    }
}

#[test]
fn a_join_to_a_contact_of_which_nothing_is_known_leaves_a_lead_unproved() {
    for join in ["c.8 - p.5", "c.5 - p.7"] {
        let proof = proof(STICK, &PLAIN, &with(&["c.8 - p.8", join]), "");
        assert_eq!(proof.verdict, Verdict::Unproved, "{join}");
        assert!(found(&proof, Code::DriveUnproved).text.contains("of which nothing is known"));
    }
}

#[test]
fn what_an_input_gives_at_a_low_level_is_part_of_what_its_row_sinks() {
    // Four lines, each 5.25 V over 2.63 kΩ: 8.0 mA less what the switches drop, where 8 mA may be sunk; what four
    // LS inputs give, 0.4 mA each, is too much.
    let row = "[contact.8]\nrole = \"drive\"\nfamily = \"ttl\"\n[[step]]\nname = \"row\"\ndrive = { 8 = \"low\" }\n";
    let of = |family| Port { family, pull_up_ohms: [2700, 2750, 2800], home: row, ..PLAIN };
    // Up and down are never pressed together: three lines.
    let three = |family| proof(STICK, &of(family), &with(&["c.8 - p.8"]), "").verdict;
    assert_eq!(three("ttl"), Verdict::Works);
    let loose = STICK.replace("eight-way", "none");
    let four = |family| proof(&loose, &of(family), &with(&["c.8 - p.8"]), "");
    assert_eq!(four("hc").verdict, Verdict::Works);
    assert_eq!(found(&four("ttl"), Code::DriveOverload).severity, Severity::Harm);
}

#[test]
fn what_a_row_leaks_while_it_is_off_pulls_a_line_that_is_barely_held() {
    let rows = "[contact.8]\nrole = \"drive\"\nfamily = \"ls145\"\n[[step]]\nname = \"own\"\ndrive = { 8 = \"low\" }\n\
                [[step]]\nname = \"off\"\nsample = []\nquiet = [\"up\", \"down\", \"fire\", \"second-fire\"]\n";
    let of = |pull_up_ohms| Port { family: "hc", pull_up_ohms, home: rows, ..PLAIN };
    let held = proof(STICK, &of([10_000, 20_000, 30_000]), &with(&["c.8 - p.8"]), "");
    assert_eq!(held.verdict, Verdict::Works);
    // 5 µA over 1 MΩ are all there is.
    let barely = proof(STICK, &of([500_000, 700_000, 1_000_000]), &with(&["c.8 - p.8"]), "");
    assert_eq!(found(&barely, Code::ReadGhost).severity, Severity::Fail);
}

#[test]
fn a_verdict_holds_only_as_far_as_the_limits_do() {
    let row = "[contact.8]\nrole = \"drive\"\nfamily = \"ttl\"\n[[step]]\nname = \"row\"\ndrive = { 8 = \"low\" }\n";
    let port = |low| Port { pull_up_ohms: [low, 4700, 4900], home: row, ..PLAIN };
    let sound = proof(STICK, &port(4500), &with(&["c.8 - p.8"]), "");
    let from = sound.holds_for.iter().find_map(|holds| holds.from).expect("a pull-up has an end");
    // Three lines of 5.25 V and 0.4 mA each into one row of 8 mA.
    assert!((2200.0..2500.0).contains(&from), "{from}");
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "it is some kilohms")]
    let [at, below] = [from, from * 0.9].map(|ohms| ohms as u32);
    assert!(proof(STICK, &port(at), &with(&["c.8 - p.8"]), "").verdict.is_sound());
    assert_eq!(proof(STICK, &port(below), &with(&["c.8 - p.8"]), "").verdict, Verdict::Harms);
}

#[test]
fn a_load_stands_against_the_limit_of_its_own_direction() {
    // The row sinks: 24 mA is its limit, and not the 0.25 mA that it lets through while it is off.
    let proof = proof(STICK, &Port { home: ROW, ..PLAIN }, &with(&["c.8 - p.8"]), "");
    let row = proof.loads.iter().find(|load| load.what == "output").expect("the row carries something");
    assert!((row.limit.get() - 0.024).abs() < 1e-12 && row.amps.get() > 0.002, "{row:?}");
}

#[test]
fn the_machines_shell_is_its_ground_even_by_way_of_an_ohm() {
    let joins = with(&["c.8 - p.8", "p.7 - r1.1", "r1.2 - p.shell"]);
    let shorted = proof(STICK, &PLAIN, &joins, "[part.r1]\nohms = 1\n");
    assert_eq!(found(&shorted, Code::PowerOverload).severity, Severity::Harm);
    // A row that the machine drives high is shorted there too.
    let strobe = "[contact.8]\nrole = \"drive\"\n[[step]]\nname = \"low\"\ndrive = { 8 = \"low\" }\n\
                  [[step]]\nname = \"high\"\ndrive = { 8 = \"high\" }\nsample = []\n";
    let port = Port { home: strobe, ..PLAIN };
    assert_eq!(proof(STICK, &port, &with(&["c.8 - p.8", "c.8 - p.shell"]), "").verdict, Verdict::Harms);
}

#[test]
fn a_pad_is_fed_through_a_part_as_long_as_enough_arrives() {
    let fed = ["c.1 - p.1", "c.2 - p.2", "c.6 - p.6", "c.9 - p.9", "c.8 - p.8"];
    let by = |joins: [&'static str; 2], part: &str| {
        let joins: Vec<&str> = fed.into_iter().chain(joins).collect();
        proof(PAD, &PLAIN, &joins, &format!("[part.{part}\n"))
    };
    assert_eq!(by(["c.5 - r1.1", "r1.2 - p.7"], "r1]\nohms = 1").verdict, Verdict::Works);
    let schottky = by(["c.5 - d1.cathode", "d1.anode - p.7"], "d1]\ndiode = \"BAT85\"");
    let sags = found(&schottky, Code::PowerOutOfRange);
    // 4.9 V less the drop of a Schottky diode in the cold.
    assert!((4.3..4.5).contains(&figure(sags, "sags_to_volts")), "{}", sags.text);
    assert!(schottky.findings.iter().all(|finding| finding.code != Code::PowerMissing));
}

#[test]
fn what_a_supply_must_give_is_told_of_all_that_takes_it_and_in_one_unit() {
    let told = |proof: Proof| {
        let limit = proof.holds_for.into_iter().find(|holds| holds.what == "limit of the supply port.7");
        limit.map(|holds| (holds.text, holds.settle)).expect("nobody published it")
    };
    let amps = |text: &str| -> String {
        let figure = text.split_once("may give ").and_then(|(_, rest)| rest.split_once(';'));
        figure.expect("a current").0.to_owned()
    };
    let joins = ["c.1 - p.1", "c.2 - p.2", "c.6 - p.6", "c.9 - p.9", "c.8 - p.8", "c.5 - p.7"];
    let (text, settle) = told(proof(PAD, &PLAIN, &joins, ""));
    let alone = format!("{} at 5 V is what the controller takes at most", amps(&text));
    assert!(settle.ends_with(&alone) && alone.contains(" mA "), "{text}; {settle}");
    // A stick takes nothing by itself: a line through 10 kΩ at 5.1 V does.
    let pulled = with(&["c.8 - p.8", "p.7 - r1.1", "r1.2 - p.6"]);
    let (text, settle) = told(proof(STICK, &PLAIN, &pulled, "[part.r1]\nohms = 10000\n"));
    let both = format!("{} at 5 V is what the lead and the controller take together at most", amps(&text));
    assert!(settle.ends_with(&both) && both.contains(" µA "), "{text}; {settle}");
}
