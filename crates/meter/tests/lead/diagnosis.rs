//! Diagnosis against leads with a hidden fault: the true fault, or one that no measurement can tell from it, is named first
//! at least 97 times in a hundred, after the plan or the first wrong press and at most four further tests; eight where solder
//! on a board joins one of many lines that are alike.
//!
//! Here a few faults of each of twelve leads are tried; `cargo run --release -p solderside-meter --example accuracy` tries all.

use solderside_lead::Assembly;
use solderside_meter::{Benches, Case, Clue, Contradiction, Evidence, Fault, TestKind, Weighs, Weights};

use crate::trial::{Tally, leads, leads_of_several_ways, tally};

#[test]
fn the_true_fault_is_named_first_after_a_few_further_tests() {
    are_named(&leads(), 8, 60);
}

#[test]
fn of_a_lead_with_a_switch_or_for_two_the_true_fault_is_named_first_as_well() {
    are_named(&leads_of_several_ways(), 25, 40);
}

/// Tries about so many faults of each lead, of which so many at least must show.
fn are_named(leads: &[Assembly], about: usize, at_least: usize) {
    let tallies: Vec<Tally> =
        leads.iter().enumerate().map(|(at, lead)| tally(at, lead, Some(about))).collect();
    let all = tallies.iter().flat_map(Tally::values);
    let [named, of] = all.fold([0, 0], |[named, of], [more, all]| [named + more, of + all]);
    assert!(of > at_least, "too few to say anything: {of}");
    assert!(named * 100 >= 97 * of, "{named} of {of}: {tallies:?}");
}

/// What comes of some sentences.
fn case<'a>(benches: &Benches<'a>, said: &[&str]) -> Case<'a> {
    let mut case = Case::new(benches.clone(), &Weights::shipped());
    case.take(said.iter().map(|text| Evidence::parse(text, benches).unwrap()).collect()).unwrap();
    case
}

#[test]
fn evidence_goes_with_the_rest_where_anything_likely_explains_all_of_it() {
    let assembly = crate::shelf::written("heron-stick-to-bittern", &["heron-stick", "bittern"]);
    let sets = assembly.sets();
    let benches = Benches::of(&sets).unwrap();
    let mut two_dead = case(&benches, &["left does nothing", "right does nothing", "up works", "a works"]);
    let explanations = two_dead.explanations().unwrap();
    // What is named first need not explain all, as long as something does.
    assert!(explanations.iter().any(|one| !one.weighs.contains(&Weighs::Against)));
    assert_eq!(two_dead.contradictions().unwrap(), []);
    // A shorted supply, and all of it works: that nothing explains.
    let mut nonsense = case(&benches, &["port.5 - port.8 reads 0.4", "everything works"]);
    let explanations = nonsense.explanations().unwrap();
    let explains_all = explanations.iter().any(|one| !one.weighs.contains(&Weighs::Against));
    let is_unexplained = |own: &Contradiction| matches!(own, Contradiction::Unexplained(_));
    assert_eq!(nonsense.contradictions().unwrap().iter().any(is_unexplained), !explains_all);
    assert!(!explains_all);
}

#[test]
fn a_short_that_was_measured_is_thought_of_as_a_bridge_between_the_two_wherever_they_are() {
    for (assembly, said) in [
        // No two cups of these two stand side by side, and no board holds both.
        (crate::shelf::stick_to_plover(), "port.5 - port.7 reads 0.4"),
        (crate::shelf::stick_to_plover(), "port.5 - port.7 beeps"),
        (crate::shelf::stick_to_plover(), "controller.2 - port.5 reads 0.4"),
        (
            crate::shelf::written("heron-stick-to-bittern", &["heron-stick", "bittern"]),
            "port.5 - port.7 reads 0.4",
        ),
    ] {
        let sets = assembly.sets();
        let benches = Benches::of(&sets).unwrap();
        let mut case = case(&benches, &[said]);
        let explanations = case.explanations().unwrap();
        let clue = &case.evidence()[0].ways[0].clues[0];
        let (Clue::Reading(read, _) | Clue::Buzzer(read, _)) = clue else { panic!("{clue:?}") };
        let (read, is_heard) = (read.clone(), matches!(clue, Clue::Buzzer(..)));
        let lead = &assembly.lead;
        let nets = [lead.net(read.red), lead.net(read.black)];
        let is_it = |faults: &Vec<Fault>| {
            let [Fault::Bridge([a, b])] = faults.as_slice() else { return false };
            nets[0].contains(a) && nets[1].contains(b) || nets[0].contains(b) && nets[1].contains(a)
        };
        // Ears err more than eyes: of a sound alone it need not be the first.
        let among = if is_heard { explanations.len() } else { 1 };
        let named = explanations.iter().take(among).any(|one| one.either.iter().any(is_it));
        assert!(named, "{said}: {explanations:?}");
        let is_good = explanations.iter().any(|one| one.either.contains(&Vec::new()));
        assert!(is_heard || !is_good, "{said}: it is not good");
        let next = case.next_test().unwrap();
        let is_asked_again = next.is_some_and(|next| match next.kind {
            TestKind::Measure(next) => {
                [[next.red, next.black], [next.black, next.red]].contains(&[read.red, read.black])
            }
            TestKind::Press(_) => false,
        });
        assert!(is_heard || !is_asked_again, "{said}");
    }
}

#[test]
fn a_short_that_comes_second_is_weighed_with_all_that_was_seen_before() {
    let assembly = crate::shelf::stick_to_plover();
    let sets = assembly.sets();
    let benches = Benches::of(&sets).unwrap();
    let said = ["port.1 - controller.15 reads open", "port.5 - port.7 reads 0.4"];
    let mut together = case(&benches, &said);
    let mut in_turn = case(&benches, &said[..1]);
    in_turn.take(vec![Evidence::parse(said[1], &benches).unwrap()]).unwrap();
    assert_eq!(together.explanations().unwrap(), in_turn.explanations().unwrap());
}
