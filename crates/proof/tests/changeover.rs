//! Leads with a switch of their own, held against the leads that it makes of them: wire in the place of its contacts.

mod bench;

use std::collections::BTreeSet;

use bench::{STICK, lead};
use proptest::prelude::*;
use solderside_lead::{Assembly, PartId, read_lead, write_lead};
use solderside_profile::{Library, SourceFile};
use solderside_proof::{Code, Proof, Severity, Verdict, judge, judge_while, prove, prove_briefly};

const PORT: &str = "nine-pin-two-trigger";

/// A lead with all that a file says below its profiles.
fn file(controller: &str, port: &str, joins: &[&str], rest: &str) -> Assembly {
    let joins: Vec<String> = joins.iter().map(|join| format!("'{join}'")).collect();
    let text = format!(
        "format = 1\nkind = 'lead'\ncontroller = '{controller}'\nport = '{port}'\njoins = [{}]\n{rest}",
        joins.join(", ")
    );
    read_lead(&SourceFile::new("lead.toml", text), &Library::catalogue())
        .unwrap_or_else(|failure| panic!("{}", failure.render()))
}

/// What the reader says of a file that is none of a lead.
fn refusal(text: &str) -> String {
    read_lead(&SourceFile::new("lead.toml", text), &Library::catalogue()).expect_err("it is refused").render()
}

const REST: [&str; 6] = [
    "controller.1 - port.9",
    "controller.15 - port.1",
    "controller.7 - port.2",
    "controller.14 - port.3",
    "controller.6 - port.4",
    "controller.13 - port.6",
];

/// The stick on two triggers, with its second button as `up` or as second fire.
fn second_button(more: &str) -> Assembly {
    let joins = [REST.as_slice(), &["controller.5 - s1.common", "s1.first - port.1", "s1.second - port.7"]];
    let rest = format!(
        "{PLAY}[play_at.as-up]\nup = ['up', 'b']\n[play_at.as-second-fire]\nsecond-fire = ['b']\n\
         [part.s1]\nswitch = 'SPDT'\ncalled = 'mode'\npositions = ['as-up', 'as-second-fire']\n{more}"
    );
    file(STICK, PORT, &joins.concat(), &rest)
}

const PLAY: &str = "[play]\nup = ['up']\ndown = ['down']\nleft = ['left']\nright = ['right']\nfire = ['a']\n";

/// What the machine reads for each combination of presses.
fn truth(proof: &Proof) -> BTreeSet<(Vec<String>, Vec<String>)> {
    let rows = proof.truth.iter().map(|row| {
        let mut reads: Vec<String> = row.reads.iter().map(ToString::to_string).collect();
        reads.sort();
        (row.pressed.iter().map(ToString::to_string).collect(), reads)
    });
    rows.collect()
}

#[test]
fn the_second_button_is_up_in_one_position_and_second_fire_in_the_other() {
    let proof = prove(&second_button("")).unwrap();
    assert_eq!(proof.verdict, Verdict::Works, "{:#?}", proof.findings);
    let [as_up, as_fire] = proof.settings.as_slice() else { panic!("{} settings", proof.settings.len()) };
    assert_eq!(
        [as_up, as_fire].map(|own| own.setting.told()),
        ["with `mode` at `as-up`", "with `mode` at `as-second-fire`"]
    );
    let read = |proof: &Proof, pressed: &str| {
        truth(proof).into_iter().find(|(own, _)| own.as_slice() == [pressed]).map(|(_, reads)| reads).unwrap()
    };
    assert_eq!(read(&as_up.proof, "b"), ["up"]);
    assert_eq!(read(&as_fire.proof, "b"), ["second-fire"]);
    // What one position loses is told with that position.
    let lost = proof.findings.iter().find(|finding| finding.code == Code::ReadLostAction).unwrap();
    assert!(lost.text.starts_with("with `mode` at `as-up`: "), "{}", lost.text);
}

#[test]
fn a_brief_proof_of_a_lead_with_a_switch_tells_nothing_of_what_is_carried() {
    let [whole, brief] = [prove, prove_briefly].map(|prove| prove(&second_button("")).unwrap());
    assert_eq!((brief.verdict, &brief.actions), (whole.verdict, &whole.actions));
    assert!(!whole.loads.is_empty() && brief.loads.is_empty() && brief.holds_for.is_empty());
}

#[test]
fn each_position_reads_as_the_lead_with_wire_in_the_place_of_the_switch() {
    let proof = prove(&second_button("")).unwrap();
    for (own, to, play) in [
        (&proof.settings[0], "5-1", "up = ['up', 'b']"),
        (&proof.settings[1], "5-7", "up = ['up']\nsecond-fire = ['b']"),
    ] {
        let rest = PLAY.replace("up = ['up']\n", &format!("{play}\n"));
        let wire = lead(&[], [STICK, PORT], ["1-9", "15-1", "7-2", "14-3", "6-4", "13-6", to], &rest);
        let wire = prove(&wire).unwrap();
        assert_eq!(own.proof.verdict, wire.verdict);
        assert_eq!(truth(&own.proof), truth(&wire));
        // A cup is as crowded with the switch elsewhere.
        let codes = |proof: &Proof| {
            let all = proof.findings.iter().map(|own| own.code);
            all.filter(|code| *code != Code::BuildCrowdedCup).collect::<Vec<_>>()
        };
        assert_eq!(codes(&own.proof), codes(&wire));
    }
}

#[test]
fn a_changeover_switch_between_its_throws_leaves_the_line_open_and_nothing_is_harmed() {
    let lead = second_button("");
    let moves = lead.moves();
    let told: Vec<String> = moves.iter().map(solderside_lead::Setting::told).collect();
    assert_eq!(told, ["while `mode` is moved"]);
    let open = lead.set(&moves[0]);
    assert!(
        open.lead
            .net("controller.5".parse().unwrap())
            .iter()
            .all(|leg| leg.end != solderside_lead::EndId::Port)
    );
    assert!(prove(&lead).unwrap().findings.iter().all(|finding| finding.severity < Severity::Fail));
}

#[test]
fn a_switch_that_makes_first_joins_both_throws_for_a_moment() {
    let lead = second_button("makes_first = true");
    let joined = lead.moves().iter().map(|own| lead.set(own).lead.net("port.1".parse().unwrap()).len()).max();
    // `up` and second fire, the stick's contacts of both, and the three legs of the switch.
    assert_eq!(joined, Some(2 + 2 + 3));
    assert_eq!(prove(&lead).unwrap().verdict, Verdict::Works);
    // So either kind of switch will do.
    let breaks = prove(&second_button("")).unwrap();
    assert!(breaks.findings.iter().all(|finding| finding.code != Code::BuildBreaksFirst));
}

/// A switch whose throws are the supply and the return: each position alone is sound, as its common leads nowhere else.
fn between_rails(more: &str) -> Assembly {
    let joins = [REST.as_slice(), &["controller.8 - s1.common", "s1.first - port.5", "s1.second - port.9"]];
    let rest = format!("{PLAY}[part.s1]\nswitch = 'SPDT'\npositions = ['high', 'low']\n{more}");
    file(STICK, PORT, &joins.concat(), &rest)
}

#[test]
fn a_switch_that_makes_first_between_supply_and_return_shorts_the_supply_while_it_is_moved() {
    let breaks = prove(&between_rails("")).unwrap();
    assert!(breaks.verdict < Verdict::Fails, "{:#?}", breaks.findings);
    // One that breaks first is what has to be bought, and that is said.
    let must = breaks.findings.iter().find(|finding| finding.code == Code::BuildBreaksFirst).unwrap();
    assert_eq!(must.severity, Severity::Note);
    assert!(
        must.text.starts_with("`s1` must break before it makes; else, while `s1` is moved: "),
        "{}",
        must.text
    );
    assert!(breaks.stands_on.iter().any(|own| own.what == "a switch that breaks before it makes"));
    assert_eq!(judge(&between_rails("")).unwrap().findings, breaks.findings);
    let makes = prove(&between_rails("makes_first = true")).unwrap();
    assert_eq!(makes.verdict, Verdict::Harms);
    assert!(makes.findings.iter().all(|finding| finding.code != Code::BuildBreaksFirst));
    let short = makes.findings.iter().find(|finding| finding.code == Code::PowerOverload).unwrap();
    assert!(short.text.starts_with("while `s1` is moved: "), "{}", short.text);
    // Every verdict of it says so.
    assert_eq!(judge(&between_rails("makes_first = true")).unwrap().verdict, Verdict::Harms);
    assert!(
        judge_while(&between_rails("makes_first = true"), |own| own.severity < Severity::Harm)
            .unwrap()
            .is_none()
    );
}

#[test]
fn the_poles_of_a_switch_do_not_move_at_once() {
    // In each position the supply and the return are apart; with one pole moved and the other not yet they meet.
    let joins = [
        REST.as_slice(),
        &["s1.common - s1.common-b", "s1.first - port.5", "s1.second-b - port.9", "s1.common - controller.8"],
    ];
    let rest = format!("{PLAY}[part.s1]\nswitch = 'DPDT'\npositions = ['high', 'low']\n");
    let proof = prove(&file(STICK, PORT, &joins.concat(), &rest)).unwrap();
    assert_eq!(proof.verdict, Verdict::Harms);
    assert!(proof.settings.iter().all(|own| own.proof.verdict < Verdict::Harms));
    let short = proof.findings.iter().find(|own| own.code == Code::PowerOverload).unwrap();
    assert!(short.text.starts_with("while `s1` is moved: "), "{}", short.text);
}

#[test]
fn one_position_that_harms_makes_the_lead_one_that_harms() {
    let joins = [REST.as_slice(), &["controller.1 - s1.common", "s1.first - port.5"]];
    let rest = format!("{PLAY}[part.s1]\nswitch = 'SPDT'\npositions = ['short', 'rest']\n");
    let proof = prove(&file(STICK, PORT, &joins.concat(), &rest)).unwrap();
    assert_eq!(proof.verdict, Verdict::Harms);
    let [short, rest] = proof.settings.as_slice() else { panic!() };
    assert_eq!((short.proof.verdict, rest.proof.verdict), (Verdict::Harms, Verdict::Works));
    let harm = proof.findings.iter().find(|own| own.severity == Severity::Harm).unwrap();
    assert!(harm.text.starts_with("with `s1` at `short`: "), "{}", harm.text);
}

#[test]
fn a_switch_with_one_throw_turns_a_button_off() {
    let joins = [REST.as_slice(), &["controller.5 - s1.common", "s1.first - port.7"]];
    let rest = format!(
        "{PLAY}[play_at.on]\nsecond-fire = ['b']\n[part.s1]\nswitch = 'SPST'\npositions = ['on', 'off']\n"
    );
    let lead = file(STICK, PORT, &joins.concat(), &rest);
    assert!(lead.moves().is_empty(), "between on and off it is one of them");
    let proof = prove(&lead).unwrap();
    assert_eq!(proof.verdict, Verdict::Works, "{:#?}", proof.findings);
    assert!(proof.controls_lost.iter().all(|control| control.as_str() != "b"));
}

#[test]
fn a_play_map_that_a_position_does_not_keep_fails_there() {
    let joins = [REST.as_slice(), &["controller.5 - s1.common", "s1.first - port.1", "s1.second - port.7"]];
    let rest =
        format!("{PLAY}second-fire = ['b']\n[part.s1]\nswitch = 'SPDT'\npositions = ['first', 'second']\n");
    let proof = prove(&file(STICK, PORT, &joins.concat(), &rest)).unwrap();
    assert_eq!(proof.verdict, Verdict::Fails);
    assert_eq!(
        [&proof.settings[0], &proof.settings[1]].map(|own| own.proof.verdict),
        [Verdict::Fails, Verdict::Works]
    );
}

#[test]
fn a_lead_with_a_switch_is_read_back_as_it_is_written() {
    for lead in [second_button(""), second_button("makes_first = true\nsits_in = 'controller'")] {
        let again = read_lead(&SourceFile::new("lead.toml", write_lead(&lead)), &Library::catalogue())
            .unwrap_or_else(|failure| panic!("{}", failure.render()));
        assert_eq!((&again.lead.changeovers, &again.lead.play), (&lead.lead.changeovers, &lead.lead.play));
        assert_eq!(again.fingerprint(), lead.fingerprint());
        assert!(again.lead.part(PartId::Changeover(1)).is_some());
    }
}

fn contact() -> impl Strategy<Value = u8> {
    1..=9_u8
}

#[test]
fn no_switch_is_called_by_what_is_plugged_in() {
    let told = refusal(&format!(
        "format = 1\nkind = 'lead'\ncontroller = '{STICK}'\nport = '{PORT}'\njoins = ['controller.1 - s1.common', \
         's1.first - port.9']\n[part.s1]\nswitch = 'SPST'\ncalled = 'plugged'\npositions = ['empty', 'plugged']\n"
    ));
    assert!(told.contains("no switch can be called `plugged`"), "{told}");
}

#[test]
fn more_poles_than_can_be_proved_are_refused_however_many_they_are() {
    let switch = |number| {
        format!("[part.s{number}]\nswitch = 'DPDT'\npositions = ['one-{number}', 'other-{number}']\n")
    };
    for number in [2, 128, 255] {
        let switches: String = (1..=number).map(switch).collect();
        let join = |at| format!("'controller.1 - s{at}.common', 's{at}.first - port.9'");
        let joins: Vec<String> = (1..=number).map(join).collect();
        let text = format!(
            "format = 1\nkind = 'lead'\ncontroller = '{STICK}'\nport = '{PORT}'\njoins = [{}]\n{switches}",
            joins.join(", ")
        );
        let told = refusal(&text);
        assert!(told.contains(&format!("switches have {} poles", 2 * number)), "{told}");
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(40))]

    /// The slow, obvious oracle: the verdict of a lead with a switch is the worst of the leads with wire in its place, and
    /// of the harm of that with nothing there.
    #[test]
    fn a_switch_is_as_good_as_the_worst_lead_that_it_makes(
        control in prop::sample::select(vec![1_u8, 3, 5, 8, 12, 13]),
        first in contact(),
        second in contact(),
        makes_first: bool,
    ) {
        let joins = ["controller.15 - port.1", "controller.7 - port.2", "controller.14 - port.3", "controller.6 - port.4"];
        let play = "[play]\nup = ['up']\ndown = ['down']\nleft = ['left']\nright = ['right']\n";
        let wired = |to: &[u8]| {
            let more: Vec<String> = to.iter().map(|to| format!("controller.{control} - port.{to}")).collect();
            let mut all = joins.to_vec();
            if control != 1 {
                all.push("controller.1 - port.9");
            }
            all.extend(more.iter().map(String::as_str));
            all.sort_unstable();
            all.dedup();
            prove(&file(STICK, PORT, &all, play)).unwrap().verdict
        };
        // Nothing is asked of a reading while the switch is moved.
        let harm = |verdict: Verdict| if verdict == Verdict::Harms { verdict } else { Verdict::Works };
        let breaking = wired(&[first]).max(wired(&[second])).max(harm(wired(&[])));
        let making = harm(wired(&[first, second]));
        let worst = if makes_first { breaking.max(making) } else { breaking };
        let own = [
            format!("controller.{control} - s1.common"),
            format!("s1.first - port.{first}"),
            format!("s1.second - port.{second}"),
        ];
        let mut all = joins.to_vec();
        if control != 1 {
            all.push("controller.1 - port.9");
        }
        all.extend(own.iter().map(String::as_str));
        let rest = format!("{play}[part.s1]\nswitch = 'SPDT'\npositions = ['one', 'two']\nmakes_first = {makes_first}\n");
        let proof = prove(&file(STICK, PORT, &all, &rest)).unwrap();
        prop_assert_eq!(proof.verdict, worst);
        // What harms only with both throws joined is told of a switch that breaks first.
        let must = proof.findings.iter().any(|own| own.code == Code::BuildBreaksFirst);
        prop_assert!(must || makes_first || making < Verdict::Harms || breaking == Verdict::Harms);
        prop_assert!(!must || !makes_first);
    }
}
