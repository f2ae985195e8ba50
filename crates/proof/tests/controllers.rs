//! What the inside of a controller does to a lead: commons apart, series resistors, chips for one button, pots.

mod bench;

use solderside_lead::{Assembly, Leg};
use solderside_proof::{Code, Finding, Proof, Severity, Verdict, prove};
use solderside_trade::ContactId;

use bench::{STICK, lead};

const ONE_FIRE: &str = "nine-pin-one-fire";
const APART: &str = "nine-pin-stick-with-separate-commons";
const AUTO_FIRE: &str = "nine-pin-stick-with-auto-fire";

const DIRECTIONS: [&str; 4] = ["1-1", "2-2", "3-3", "4-4"];

/// The play map of somebody who wants the lever and no button.
const LEVER_ONLY: &str =
    "[play]\nup = [\"up\"]\ndown = [\"down\"]\nleft = [\"left\"]\nright = [\"right\"]\nfire = []\n";

fn between(controller: &str, port: &str, joins: &[&str]) -> Assembly {
    lead(&[], [controller, port], DIRECTIONS.into_iter().chain(joins.iter().copied()), "")
}

fn proof(assembly: &Assembly) -> Proof {
    prove(assembly).expect("the catalogue's values make a circuit")
}

fn of_code(proof: &Proof, code: Code) -> Vec<&Finding> {
    proof.findings.iter().filter(|finding| finding.code == code).collect()
}

fn controller(id: u8) -> Leg {
    Leg::controller(ContactId::Number(id))
}

#[test]
fn a_stick_with_both_its_commons_on_the_return_works() {
    let whole = proof(&between(APART, ONE_FIRE, &["6-6", "8-8", "9-8"]));
    assert_eq!(whole.verdict, Verdict::Works, "{:#?}", whole.findings);
}

#[test]
fn a_common_that_is_joined_to_nothing_silences_its_own_controls_alone() {
    let half = proof(&between(APART, ONE_FIRE, &["6-6", "8-8"]));
    assert_eq!(half.verdict, Verdict::Fails);
    let [finding] = of_code(&half, Code::ReadNoReturn)[..] else { panic!("{:#?}", half.findings) };
    assert_eq!(finding.legs, [controller(9)]);
    assert_eq!(finding.text, "the common `controller.9` is joined to no return, so `a` does nothing");
    // The lever reads, the button does not.
    let [missed] = of_code(&half, Code::ReadMissed)[..] else { panic!("{:#?}", half.findings) };
    assert!(missed.text.starts_with("`fire` does not read"), "{}", missed.text);
    assert!(missed.remedy.contains("join the common `controller.9` to `port.8`"), "{}", missed.remedy);
}

#[test]
fn a_common_whose_controls_nobody_asked_for_may_stay_open() {
    let lever = proof(&lead(&[], [APART, ONE_FIRE], DIRECTIONS.into_iter().chain(["8-8"]), LEVER_ONLY));
    assert_eq!(of_code(&lever, Code::ReadNoReturn), Vec::<&Finding>::new());
    assert_eq!(lever.verdict, Verdict::Works, "{:#?}", lever.findings);
}

/// A port with one fire, 5 V and a pull-up of 1 kΩ without tolerance.
const STRONG: &str = "format = 1\nkind = \"port\"\nconnector = \"DE-9 plug\"\nrail_volts = [5.0, 5.0, 5.0]\n\
     fire_order = [\"fire\"]\n[input.line]\nfamily = \"nmos-port\"\npull_up_ohms = [1000, 1000, 1000]\n\
     [contact.6]\naction = \"fire\"\n[contact.8]\nrole = \"return\"\n";

#[test]
fn a_series_resistor_divides_with_the_pull_up_and_wear_is_not_blamed() {
    let pad = "like = \"nine-pin-stick-with-one-button\"\n[contact.6]\nseries_ohms = [1000, 1000, 1000]\n";
    let shelf = [("pad", pad), ("strong", STRONG)];
    let proof = proof(&lead(&shelf, ["pad", "strong"], ["6-6", "8-8"], ""));
    let active = proof.actions[0].active.as_ref().expect("fire has a control");
    // Half of 5 V, and what 1 Ω of switch and the conductors' tenths of ohms add.
    assert!((2.5..2.503).contains(&active.volts.get()), "{}", active.volts);
    assert!(
        active.corner.iter().any(|word| word.starts_with("switch with its series resistor of controller.6"))
    );
    assert_eq!(of_code(&proof, Code::ReadWornContact), Vec::<&Finding>::new());
    let without = prove(&lead(&shelf, [STICK, "strong"], ["13-6", "1-8"], "")).expect("a circuit");
    assert_eq!(without.verdict, Verdict::Works);
    let [missed] = of_code(&proof, Code::ReadMissed)[..] else { panic!("{:#?}", proof.findings) };
    assert!(
        missed.text.ends_with("the controller's own series resistor of 1 kΩ divides with the pull-up"),
        "{}",
        missed.text
    );
}

#[test]
fn a_worn_contact_behind_a_resistor_is_told_with_it() {
    let pad = "like = \"nine-pin-stick-with-one-button\"\nswitch = \"carbon-dome\"\nseries_ohms = [520, 520, 520]\n";
    let shelf = [("pad", pad), ("strong", STRONG)];
    let proof = proof(&lead(&shelf, ["pad", "strong"], ["6-6", "8-8"], ""));
    let [worn] = of_code(&proof, Code::ReadWornContact)[..] else { panic!("{:#?}", proof.findings) };
    assert!(
        worn.text.ends_with(
            "a contact worn to 1 kΩ and the controller's own series resistor of 520 Ω divide with the pull-up"
        ),
        "{}",
        worn.text
    );
}

#[test]
fn auto_fire_wants_its_supply_only_while_its_button_is_joined() {
    let fed = proof(&between(AUTO_FIRE, ONE_FIRE, &["6-6", "7-7", "8-8"]));
    assert!(fed.verdict.is_sound(), "{:#?}", fed.findings);
    let starved = proof(&between(AUTO_FIRE, ONE_FIRE, &["6-6", "8-8"]));
    assert_eq!(starved.verdict, Verdict::Fails);
    assert_eq!(of_code(&starved, Code::PowerMissing).len(), 1);
    let lever = lead(&[], [AUTO_FIRE, ONE_FIRE], DIRECTIONS.into_iter().chain(["8-8"]), LEVER_ONLY);
    assert_eq!(proof(&lever).verdict, Verdict::Works);
}

#[test]
fn pots_are_told_as_lost_and_are_never_joined() {
    let joins = ["3-6", "8-8"];
    let buttons = proof(&lead(&[], ["nine-pin-paddles", ONE_FIRE], joins, ""));
    let lost = of_code(&buttons, Code::ReadLostControl);
    assert!(
        lost.iter().any(|finding| finding.text
            == "the axes `first-paddle` and `second-paddle` of the controller are lost: a plain lead leaves pots alone"),
        "{lost:#?}"
    );
    assert_eq!(buttons.verdict, Verdict::Works, "{:#?}", buttons.findings);
    // Turned to its stop a pot is a wire from the supply to the line.
    let joined = proof(&lead(&[], ["nine-pin-paddles", ONE_FIRE], ["3-6", "8-8", "5-6", "7-7"], ""));
    assert!(joined.verdict >= Verdict::Fails);
    assert_eq!(of_code(&joined, Code::DrivePot)[0].severity, Severity::Fail);
    let shorted = of_code(&joined, Code::PowerOverload);
    assert_eq!(shorted.len(), 1, "{:#?}", joined.findings);
}

#[test]
fn a_contact_of_which_nothing_but_a_warning_is_known_leaves_the_lead_unproved() {
    let pad = "nine-pin-pad-with-series-resistors";
    let alone = proof(&between(pad, ONE_FIRE, &["9-6", "8-8"]));
    assert!(alone.verdict.is_sound(), "{:#?}", alone.findings);
    let joined = proof(&between(pad, ONE_FIRE, &["9-6", "8-8", "6-6"]));
    assert_eq!(joined.verdict, Verdict::Unproved, "{:#?}", joined.findings);
}

/// Two outputs that drive both levels on one line, which together they can ruin.
#[test]
fn a_contact_that_is_only_doubtful_while_the_lead_is_sound_is_told_as_harmed_with_its_supply_open() {
    let pad = "format = 1\nkind = \"controller\"\nconnector = \"DA-15 plug\"\nswitch = \"microswitch\"\n\
         gate = \"eight-way\"\n[contact.8]\nrole = \"common\"\n[contact.1]\ncontrol = \"up\"\n[contact.2]\n\
         control = \"down\"\n[contact.15]\nrole = \"supply\"\n[logic]\nfamily = \"hc\"\noutput = \"push-pull\"\n\
         supply_volts = [4.5, 5.0, 5.5]\nsupply_amps = [0.0005, 0.005, 0.01]\n";
    let port = "format = 1\nkind = \"port\"\nconnector = \"DA-15 socket\"\nrail_volts = [4.75, 5.0, 5.25]\n\
         [input.line]\nfamily = \"nmos-port\"\npull_up_ohms = [200, 400, 800]\n[contact.2]\naction = \"down\"\n\
         [contact.8]\nrole = \"return\"\n[contact.15]\nrole = \"supply\"\nvolts = [4.75, 5.0, 5.25]\n\
         amps_max = 0.5\n";
    let joins = ["1-2", "2-2", "8-8", "15-15"];
    let told = proof(&lead(&[("pad", pad), ("port", port)], ["pad", "port"], joins, ""));
    assert_eq!(told.verdict, Verdict::Harms, "{:#?}", told.findings);
    for contact in [1, 2] {
        let leg = Leg::controller(ContactId::Number(contact));
        let of_leg: Vec<&Finding> =
            told.findings.iter().filter(|finding| finding.legs.first() == Some(&leg)).collect();
        assert!(
            of_leg.iter().any(|finding| finding.severity == Severity::Harm),
            "{contact}: {:#?}",
            told.findings
        );
        assert!(of_leg.iter().all(|finding| finding.code != Code::DriveUnproved), "{:#?}", told.findings);
    }
}
