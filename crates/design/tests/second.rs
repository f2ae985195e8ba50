//! A second controller end: what is proposed for two controllers beside what serves one.

#[expect(dead_code, reason = "the other tests use the rest")]
mod bench;

use std::collections::{BTreeMap, BTreeSet};

use solderside_design::{Choice, Class, Designs, FactKind, SecondWish, SwitchWish, Wishes};
use solderside_lead::{EndId, Join, read_lead, second_controller, unknown_controller, write_lead};
use solderside_profile::{Controller, Library, Port, SourceFile};
use solderside_proof::{Proof, SetProof, Verdict, prove};

use bench::{LIGHT_GUN, ONE_FIRE, PAD, STICK, TWO_TRIGGER, action, control, designed};

const ONE_BUTTON: &str = "nine-pin-stick-with-one-button";
const SELECT: &str = "nine-pin-select";

/// One fire, and a lever and a fire of a second player.
const TWO_PLAYERS: &str = "format = 1\nkind = 'port'\nconnector = 'DA-15 plug'\nrail_volts = [4.75, 5.0, 5.25]\n\
    fire_order = ['fire']\n[input.line]\nfamily = 'hct'\npull_up_ohms = [9500, 10000, 10500]\n\
    [contact.1]\naction = 'up'\ninput = 'line'\n[contact.2]\naction = 'down'\ninput = 'line'\n\
    [contact.3]\naction = 'fire'\ninput = 'line'\n[contact.4]\naction = 'second-up'\ninput = 'line'\n\
    [contact.5]\naction = 'second-down'\ninput = 'line'\n[contact.6]\naction = 'second-fire'\ninput = 'line'\n\
    [contact.8]\nrole = 'return'\n";

/// A pad whose chips drive both levels.
const PUSHING: &str = "format = 1\nkind = 'controller'\nconnector = 'DE-9 socket'\nswitch = 'metal-dome'\n\
    gate = 'eight-way'\nfire_order = ['a']\n[contact.1]\ncontrol = 'up'\n[contact.6]\ncontrol = 'a'\n\
    [contact.7]\nrole = 'supply'\n[contact.8]\nrole = 'common'\n\
    [logic]\nfamily = 'hc'\noutput = 'push-pull'\nsupply_volts = [4.5, 5.0, 5.5]\nsupply_amps = [0.001, 0.005, 0.01]\n";

fn library() -> Library {
    Library::with_shelf(vec![
        SourceFile::new("two-players.toml", TWO_PLAYERS),
        SourceFile::new("pushing.toml", PUSHING),
    ])
}

fn profiles(controller: &str, port: &str) -> (Controller, Port) {
    let port = library().port(port).unwrap_or_else(|it| panic!("{}", it.render()));
    (library().controller(controller).expect("it is there"), port)
}

/// A wish for a second controller; for whatever goes into the port where none is named.
fn second((first, port): &(Controller, Port), name: Option<&str>, passes_through: bool) -> Wishes {
    let controller = match name {
        Some(name) => {
            let second = library().controller(name).expect("it is there");
            second_controller(first, &second, port, passes_through).expect("it can be one")
        }
        None => unknown_controller(first, port),
    };
    Wishes { second: Some(SecondWish { controller, passes_through }), ..Wishes::default() }
}

fn beside(first: &str, port: &str, name: &str) -> Designs {
    let ends = profiles(first, port);
    designed(&ends, &second(&ends, Some(name), false))
}

type Reads = BTreeMap<BTreeSet<String>, BTreeSet<String>>;

fn truth(proof: &Proof) -> Reads {
    let rows = proof.truth.iter().map(|row| {
        let pressed = row.pressed.iter().map(ToString::to_string).collect();
        (pressed, row.reads.iter().map(ToString::to_string).collect())
    });
    rows.collect()
}

fn joins_of(choice: &Choice, end: EndId) -> Vec<&Join> {
    choice.assembly.lead.joins.iter().filter(|join| join.from.end == end || join.to.end == end).collect()
}

/// The obvious oracle: who presses what, by the play maps alone.
fn meant(choice: &Choice, pressed: &BTreeSet<String>) -> BTreeSet<String> {
    let entries = choice.assembly.lead.play.entries();
    let active = entries.filter(|(_, controls)| controls.iter().any(|own| pressed.contains(own.as_str())));
    active.map(|(action, _)| action.to_string()).collect()
}

/// That a lead works and reads in every state what either of its two sticks asks for.
fn reads_either(choice: &Choice) {
    assert_eq!(choice.proof.verdict, Verdict::Works, "{:#?}", choice.proof.findings);
    let table = truth(&choice.proof);
    let both = table.keys().filter(|pressed| {
        pressed.iter().any(|own| own.starts_with("second-"))
            && pressed.iter().any(|own| !own.starts_with("second-"))
    });
    assert!(both.count() > 20, "both are worked at once");
    for (pressed, reads) in &table {
        assert_eq!(*reads, meant(choice, pressed), "{pressed:?}");
    }
}

#[test]
fn two_sticks_into_one_port_are_read_as_one() {
    for (port, name) in [(TWO_TRIGGER, STICK), (LIGHT_GUN, ONE_BUTTON)] {
        reads_either(&beside(STICK, port, name).options[0]);
    }
}

#[test]
fn the_second_stick_adds_its_own_conductors_and_no_part() {
    for port in [ONE_FIRE, SELECT] {
        let both = beside(STICK, port, ONE_BUTTON).options.remove(0);
        let alone = designed(&profiles(STICK, port), &Wishes::default()).options.remove(0);
        assert_eq!(both.class, alone.class, "{port}");
        assert_eq!(both.assembly.lead.parts, alone.assembly.lead.parts, "{port}");
        let first = joins_of(&alone, EndId::Controller(0));
        assert_eq!(joins_of(&both, EndId::Controller(0)), first, "{port}");
        // Four directions, one button and the common.
        assert_eq!(joins_of(&both, EndId::Controller(1)).len(), 6, "{port}");
        assert_eq!(both.joints() - alone.joints(), 12, "{port}");
        reads_either(&both);
    }
}

#[test]
fn a_lead_that_is_saved_proves_the_same() {
    for (name, passes_through) in [(Some(ONE_BUTTON), false), (Some(ONE_BUTTON), true), (None, true)] {
        let ends = profiles(STICK, ONE_FIRE);
        let mut choice = designed(&ends, &second(&ends, name, passes_through)).options.remove(0);
        choice.assembly.lead.proved = choice.assembly.fingerprints();
        assert_eq!(choice.assembly.lead.proved.as_ref().unwrap().second.is_some(), name.is_some());
        let file =
            SourceFile::new(format!("{}.toml", choice.assembly.lead.name), write_lead(&choice.assembly));
        let read = read_lead(&file, &library()).unwrap_or_else(|it| panic!("{}", it.render()));
        assert_eq!(read, choice.assembly);
        let again = prove(&read).unwrap();
        assert_eq!((again.verdict, again.findings), (Verdict::Works, choice.proof.findings));
    }
}

#[test]
fn a_pass_through_takes_each_contact_to_its_own_number() {
    let ends = profiles(STICK, ONE_FIRE);
    for (name, expected) in [(Some(ONE_BUTTON), 6), (None, 7)] {
        let choice = designed(&ends, &second(&ends, name, true)).options.remove(0);
        let joins = joins_of(&choice, EndId::Controller(1));
        assert!(joins.iter().all(|join| join.from.contact == join.to.contact), "{joins:?}");
        assert_eq!(joins.len(), expected, "{joins:?}");
        // With the second one out; and if it is known with both in, and with the first one out.
        assert_eq!(choice.proof.settings.len(), if name.is_some() { 3 } else { 1 });
        assert!(choice.proof.settings.iter().all(|own| own.proof.verdict == Verdict::Works));
    }
}

#[test]
fn where_a_port_listens_to_a_second_player_the_second_stick_is_that_ones() {
    let designs = beside(STICK, "two-players", ONE_BUTTON);
    let play = |name: &str| {
        let controls = designs.options[0].assembly.lead.play.controls(&action(name)).iter();
        controls.map(ToString::to_string).collect::<Vec<_>>()
    };
    assert_eq!((play("up"), play("fire")), (vec!["up".to_owned()], vec!["a".to_owned()]));
    assert_eq!(
        (play("second-up"), play("second-fire")),
        (vec!["second-up".to_owned()], vec!["second-a".to_owned()])
    );
    assert_eq!(designs.options[0].proof.verdict, Verdict::Works);
}

#[test]
fn who_plays_what_may_be_wished_of_either() {
    let ends = profiles(STICK, TWO_TRIGGER);
    let mut wishes = second(&ends, Some(ONE_BUTTON), false);
    wishes.play =
        vec![(action("fire"), vec![control("a")]), (action("second-fire"), vec![control("second-a")])];
    wishes.must = vec![control("second-a")];
    let choice = designed(&ends, &wishes).options.remove(0);
    assert_eq!(choice.proof.verdict, Verdict::Works);
    let own: Vec<String> = joins_of(&choice, EndId::Controller(1)).iter().map(ToString::to_string).collect();
    assert!(own.contains(&"controller-2.6 - port.7".to_owned()), "{own:?}");
}

#[test]
fn a_switch_of_the_first_leaves_the_second_what_it_does() {
    let ends = profiles(STICK, TWO_TRIGGER);
    let mut wishes = second(&ends, Some(STICK), false);
    wishes.switches =
        vec![SwitchWish { control: control("b"), actions: [action("up"), action("second-fire")] }];
    let choice = designed(&ends, &wishes).options.remove(0);
    assert_eq!(choice.proof.verdict, Verdict::Works, "{:#?}", choice.proof.findings);
    let is_in = |own: &&SetProof| !own.setting.told().contains("nothing plugged into `controller-2`");
    let settings: Vec<&SetProof> = choice.proof.settings.iter().filter(is_in).collect();
    assert_eq!((settings.len(), choice.proof.settings.len()), (4, 6));
    for own in settings {
        assert!(own.play.controls(&action("second-fire")).contains(&control("second-b")), "{own:?}");
        assert!(own.play.controls(&action("up")).contains(&control("second-up")), "{own:?}");
    }
}

#[test]
fn what_cannot_lie_beside_is_refused_and_without_it_there_is_a_lead() {
    for (name, why) in [
        (PAD, "has chips, which drive their lines"),
        ("nine-pin-paddles", "has axes"),
        ("nine-pin-register-pad-8-bit", "has chips, which drive their lines"),
    ] {
        let designs = beside(STICK, TWO_TRIGGER, name);
        assert!(designs.options.is_empty(), "{name}");
        let [refusal] = designs.refused.as_slice() else {
            panic!("{name}: {} refusals", designs.refused.len())
        };
        let [fact] = refusal.facts.as_slice() else { panic!("{name}: {:?}", refusal.facts) };
        assert_eq!((fact.kind.clone(), refusal.class), (FactKind::Second, Class::Plain), "{name}");
        assert!(fact.text.contains(why), "{}", fact.text);
    }
    let alone = designed(&profiles(STICK, TWO_TRIGGER), &Wishes::default());
    assert_eq!(alone.options.len(), 1);
}

#[test]
fn switches_beside_outputs_that_push_are_refused_by_what_the_proof_finds() {
    let designs = beside("pushing", ONE_FIRE, ONE_BUTTON);
    assert!(designs.options.is_empty());
    let [refusal] = designs.refused.as_slice() else { panic!("{} refusals", designs.refused.len()) };
    assert_eq!(refusal.facts.iter().map(|fact| fact.kind.clone()).collect::<Vec<_>>(), [FactKind::Second]);
    assert!(!refusal.nearest.proof.verdict.is_sound());
    assert_eq!(designed(&profiles("pushing", ONE_FIRE), &Wishes::default()).options.len(), 1);
}

#[test]
fn switches_beside_outputs_that_only_pull_low_are_one_more_way_to_do_so() {
    let designs = beside(PAD, ONE_FIRE, ONE_BUTTON);
    assert_eq!(designs.options[0].proof.verdict, Verdict::Works);
}

#[test]
fn what_forbids_the_first_alone_is_what_forbids_both() {
    let ends = profiles(STICK, SELECT);
    let mut wishes = second(&ends, Some(ONE_BUTTON), false);
    wishes.classes = vec![Class::Parts];
    let both = designed(&ends, &wishes);
    let alone = designed(&ends, &Wishes { second: None, ..wishes });
    assert!(both.options.is_empty());
    assert_eq!(both.refused, alone.refused);
}
