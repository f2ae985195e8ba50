//! Leads of wire only: what common practice joins, what is wished, and what holds of any of them.

mod bench;

use std::collections::{BTreeMap, BTreeSet};

use petgraph::algo::tarjan_scc;
use petgraph::graph::UnGraph;
use proptest::prelude::*;
use solderside_design::{Choice, Class, Designs, Wishes};
use solderside_lead::{Assembly, Join, Leg};
use solderside_profile::{Action, Control, Controller, Port};
use solderside_proof::{Code, Verdict, prove};
use solderside_trade::ContactId;

use bench::{LIGHT_GUN, ONE_FIRE, PAD, STICK, TWO_TRIGGER, action, control, designed, ends, join};

fn only_option(designs: &Designs) -> &Assembly {
    let [option] = designs.options.as_slice() else {
        panic!("one option, and no more: {:?}", designs.refused)
    };
    assert_eq!(option.class, Class::Plain);
    &option.assembly
}

fn catalogue(controller: &str, port: &str) -> (Controller, Port) {
    ends([controller, ""], [port, ""])
}

/// The nets of a lead, each a set of legs, found by a general graph library.
fn nets(assembly: &Assembly) -> BTreeSet<BTreeSet<Leg>> {
    let mut graph = UnGraph::<Leg, ()>::default();
    let mut places = BTreeMap::new();
    for Join { from, to } in &assembly.lead.joins {
        let [from, to] = [from, to].map(|leg| *places.entry(*leg).or_insert_with(|| graph.add_node(*leg)));
        graph.add_edge(from, to, ());
    }
    tarjan_scc(&graph).into_iter().map(|net| net.into_iter().map(|node| graph[node]).collect()).collect()
}

/// The nets that a play map asks for: each action with its controls, the common with the return, and the
/// supply of a pad with that of the port.
fn asked(assembly: &Assembly) -> BTreeSet<BTreeSet<Leg>> {
    let (controller, port) = (&assembly.controllers[0], &assembly.port);
    let mut nets: BTreeSet<BTreeSet<Leg>> = port
        .actions()
        .into_iter()
        .map(|action| {
            let controls = assembly.lead.play.controls(action).iter();
            let ours = controls.filter_map(|control| controller.contact_of(control)).map(Leg::controller);
            ours.chain(port.contact_of(action).map(Leg::port)).collect()
        })
        .collect();
    let home = controller.commons().into_iter().map(Leg::controller);
    nets.insert(home.chain(port.returns().into_iter().map(Leg::port)).collect());
    if controller.logic.is_some() {
        let fed = controller.supply().into_iter().map(Leg::controller);
        nets.insert(fed.chain(port.supplies().into_iter().map(|(id, _)| Leg::port(id))).collect());
    }
    nets.retain(|net| net.len() > 1);
    nets
}

/// Contacts, controller to port; directions are 15–1, 7–2, 14–3 and 6–4 everywhere.
/// Common practice, no source.
#[test]
fn stick_and_pad_are_joined_to_the_three_ports_as_common_practice_has_it() {
    for (controller, port, joins) in [
        (STICK, TWO_TRIGGER, &["13-6", "5-7", "1-9"][..]),
        (PAD, TWO_TRIGGER, &["13-6", "5-7", "1-9", "8-5"]),
        (STICK, ONE_FIRE, &["13-6", "1-8"]),
        (PAD, ONE_FIRE, &["13-6", "1-8", "8-7"]),
        (STICK, LIGHT_GUN, &["13-6", "5-9", "1-8"]),
        (PAD, LIGHT_GUN, &["13-6", "5-9", "1-8", "8-5"]),
    ] {
        let designs = designed(&catalogue(controller, port), &Wishes::default());
        let assembly = only_option(&designs);
        let joins = ["15-1", "7-2", "14-3", "6-4"].iter().chain(joins).map(|text| join(text));
        assert_eq!(assembly.lead.joins, joins.collect::<BTreeSet<_>>().into_iter().collect::<Vec<_>>());
        assert_eq!(nets(assembly), asked(assembly), "{controller} to {port}");
    }
}

/// The contacts of a pad and of its own port, one to one. The lists are those of the classes' sources in the
/// catalogue; common practice, no source, for the multiplexed pad.
#[test]
fn a_pad_with_chips_goes_straight_into_its_own_port() {
    for (pad, port, contacts) in [
        ("nine-pin-select-pad", "nine-pin-select", &[1, 2, 3, 4, 5, 6, 7, 8, 9][..]),
        ("nine-pin-register-pad-8-bit", "nine-pin-register-8-bit", &[2, 3, 4, 6, 8]),
        ("nine-pin-register-pad-16-bit", "nine-pin-register-16-bit", &[2, 3, 4, 6, 8]),
    ] {
        let designs = designed(&catalogue(pad, port), &Wishes::default());
        let straight = contacts.iter().map(|id| join(&format!("{id}-{id}")));
        assert_eq!(only_option(&designs).lead.joins, straight.collect::<Vec<_>>(), "{pad} to {port}");
    }
}

/// Fifteen conductors at most, each to its own number, and those alone that the stick has.
#[test]
fn a_stick_with_pots_is_joined_straight_to_the_port_made_for_it() {
    let [stick, port] = ["fifteen-pin-game-stick", "fifteen-pin-game"];
    let designs = designed(&catalogue(stick, port), &Wishes::default());
    let assembly = only_option(&designs);
    let joins: Vec<Join> = ["1-1", "2-2", "3-3", "4-4", "5-5", "6-6", "7-7"].map(join).into();
    assert_eq!(assembly.lead.joins, joins);
    assert_eq!(designs.options[0].proof.verdict, Verdict::Works);
    assert_eq!(designs.options[0].proof.axes.len(), 2);
}

#[test]
fn pots_are_left_alone_where_the_port_measures_none() {
    let designs = designed(&catalogue("fifteen-pin-game-stick", ONE_FIRE), &Wishes::default());
    let joined = designs.options.iter().flat_map(|option| &option.assembly.lead.joins);
    let pots = [1, 3, 6].map(|number| Leg::controller(ContactId::Number(number)));
    assert_eq!(joined.filter(|join| pots.contains(&join.from)).count(), 0);
}

#[test]
fn surplus_buttons_are_lost_and_said_so_and_never_doubled() {
    let designs = designed(&catalogue(STICK, ONE_FIRE), &Wishes::default());
    let assembly = only_option(&designs);
    let proof = &designs.options[0].proof;
    assert_eq!(proof.controls_lost, ["b", "c", "d", "select", "start"].map(control));
    assert!(proof.findings.iter().any(|finding| finding.code == Code::ReadLostControl));
    assert_eq!(assembly.lead.play.controls(&action("fire")), [control("a")]);
    for lost in &proof.controls_lost {
        let contact = assembly.controllers[0].contact_of(lost).expect("each control has a contact");
        assert_eq!(assembly.lead.joined(Leg::controller(contact)).next(), None, "{lost}");
    }
}

#[test]
fn several_buttons_play_one_action_if_somebody_wishes_so() {
    let wishes =
        Wishes { play: vec![(action("fire"), vec![control("a"), control("c")])], ..Wishes::default() };
    let designs = designed(&catalogue(STICK, ONE_FIRE), &wishes);
    let assembly = only_option(&designs);
    assert!(assembly.lead.joins.contains(&join("13-6")) && assembly.lead.joins.contains(&join("12-6")));
    assert_eq!(nets(assembly), asked(assembly));
}

#[test]
fn a_wished_join_is_kept_and_takes_the_place_of_what_would_be_there() {
    // Of two returns the first serves, unless somebody wished for the other.
    let port =
        ends([STICK, ""], [TWO_TRIGGER, "[contact.8]\nrole = \"return\"\n[[step]]\nname = \"read\"\n"]);
    for (joins, home, other) in [(vec![], "1-8", "1-9"), (vec![join("1-9")], "1-9", "1-8")] {
        let designs = designed(&port, &Wishes { joins, ..Wishes::default() });
        let joins = &only_option(&designs).lead.joins;
        assert!(joins.contains(&join(home)) && !joins.contains(&join(other)));
    }
}

#[test]
fn a_must_that_is_there_changes_nothing() {
    let ends = catalogue(STICK, TWO_TRIGGER);
    let wishes = Wishes { must: vec![control("up"), control("b")], ..Wishes::default() };
    assert_eq!(designed(&ends, &wishes), designed(&ends, &Wishes::default()));
}

const CONTROLS: [&str; 6] = ["up", "down", "a", "b", "c", "start"];

prop_compose! {
    fn some_wishes()(
        play in prop::collection::vec((0_usize..6, prop::collection::vec(0_usize..6, 0..3)), 0..3),
        must in prop::collection::vec(0_usize..6, 0..2),
        joins in prop::collection::vec((1_u8..16, 1_u8..10), 0..3),
    ) -> (Vec<(usize, Vec<Control>)>, Vec<Control>, Vec<Join>) {
        let named = |at: &usize| control(CONTROLS[*at]);
        let play = play.into_iter().map(|(at, controls)| (at, controls.iter().map(named).collect())).collect();
        let joins = joins.into_iter().map(|(from, to)| {
            Join::new(Leg::controller(ContactId::Number(from)), Leg::port(ContactId::Number(to)))
        });
        (play, must.iter().map(named).collect(), joins.collect())
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 8, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn whatever_is_wished_each_option_proves_sound_again_and_each_refusal_has_its_facts(
        (play, must, joins) in some_wishes(),
        pad in any::<bool>(),
        port in prop::sample::select(vec![TWO_TRIGGER, ONE_FIRE, LIGHT_GUN]),
    ) {
        let ends = catalogue(if pad { PAD } else { STICK }, port);
        let actions: Vec<Action> = ends.1.actions().into_iter().cloned().collect();
        let play = play.into_iter().map(|(at, controls)| (actions[at % actions.len()].clone(), controls));
        let wishes = Wishes { play: play.collect(), must, joins, classes: Vec::new(), cable: None, donors: Vec::new(), switches: Vec::new() };
        let designs = designed(&ends, &wishes);
        // Either wire serves all, or it is told why not; beside that there may be other ways.
        let serves_all = |choice: &Choice| choice.class == Class::Plain && choice.given_up.is_empty();
        prop_assert_eq!(designs.options.iter().any(serves_all), designs.refused.is_empty());
        prop_assert!(!designs.refused.is_empty() || designs.options.len() == 1);
        prop_assert!(designs.refused.iter().all(|refusal| !refusal.facts.is_empty()));
        for option in &designs.options {
            let again = prove(&option.assembly).unwrap();
            prop_assert!(again.verdict.is_sound());
            prop_assert_eq!(&again, &option.proof);
            prop_assert!(wishes.joins.iter().all(|join| option.assembly.lead.joins.contains(join)));
            prop_assert!(wishes.must.iter().all(|control| !again.controls_lost.contains(control)));
        }
        prop_assert_eq!(designed(&ends, &wishes), designs);
    }
}
