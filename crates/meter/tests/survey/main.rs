//! The survey of a cable against hidden cables that answer as real ones would.

#![expect(
    clippy::cast_precision_loss,
    clippy::unwrap_used,
    reason = "means of some hundred counts, in helpers of tests too"
)]

mod file;
mod hidden;
mod tree;

use std::collections::BTreeMap;

use hidden::{Hidden, Luck, bare, colours, core, number, surveyed};
use solderside_meter::TypedReading;
use solderside_meter::survey::{Far, Survey, SurveyHead, SurveyReading, Tail, Taken, UnknownCable, Wiring};
use solderside_profile::CoreId;
use solderside_trade::{Connector, ContactId};

const DRAIN: Far = Far::Core(CoreId::Drain);

fn head(unknown: &UnknownCable) -> SurveyHead {
    let (cable, unknown) = ("x".to_owned(), unknown.clone());
    SurveyHead { cable, unknown, like: None, conductor: None, length_mm: None }
}

fn goes_to(survey: &Survey) -> BTreeMap<ContactId, Option<Far>> {
    let wiring = |wiring: &Wiring| if let Wiring::To { far, .. } = wiring { Some(*far) } else { None };
    survey.found().contacts.iter().map(|(contact, own)| (*contact, wiring(own))).collect()
}

#[test]
fn a_straight_cable_with_a_drain_is_found() {
    let unknown = bare("DE-9 socket", 9, true);
    let mut hidden = Hidden::new(&unknown);
    for n in 1..=9 {
        hidden.join_through(number(n), core(n));
    }
    hidden.join_through(ContactId::Shell, DRAIN);
    let survey = surveyed(&unknown, None, &hidden);
    for n in 1..=9 {
        assert_eq!(goes_to(&survey)[&number(n)], Some(core(n)));
    }
    assert_eq!(goes_to(&survey)[&ContactId::Shell], Some(DRAIN));
    assert!(survey.readings().len() <= 35, "{} readings", survey.readings().len());
}

#[test]
fn missing_cores_are_told_from_swapped_ones() {
    let unknown = bare("DE-9 socket", 7, false);
    let mut hidden = Hidden::new(&unknown);
    for (contact, own) in [(1, 3), (2, 1), (3, 2), (4, 7), (6, 5), (8, 6), (9, 4)] {
        hidden.join_through(number(contact), core(own));
    }
    let survey = surveyed(&unknown, None, &hidden);
    let found = goes_to(&survey);
    assert_eq!((found[&number(1)], found[&number(4)]), (Some(core(3)), Some(core(7))));
    let empty: Vec<ContactId> =
        survey.found().contacts.iter().filter(|own| *own.1 == Wiring::Nothing).map(|own| *own.0).collect();
    assert_eq!(empty, [number(5), number(7), ContactId::Shell]);
}

#[test]
fn two_contacts_on_one_core_are_a_jumper_and_make_no_cable() {
    let unknown = bare("DE-9 socket", 8, false);
    let mut hidden = Hidden::new(&unknown);
    for n in 1..=8 {
        hidden.join_through(number(n), core(n));
    }
    hidden.join_through(number(9), core(3));
    let survey = surveyed(&unknown, None, &hidden);
    let found = survey.found();
    assert_eq!(found.shared, [([core(3)].into(), vec![number(3), number(9)])]);
    let refused = found.cable_file(&head(&unknown), "x", "a meter").unwrap_err();
    assert!(refused.to_string().starts_with("the contacts 3 and 9 end in one conductor (RD)"), "{refused}");
}

#[test]
fn shorted_cores_are_found_before_anything_else() {
    let unknown = bare("DE-9 socket", 9, true);
    let mut hidden = Hidden::new(&unknown);
    for n in 1..=9 {
        hidden.join_through(number(n), core(n));
    }
    hidden.join_far(core(4), core(9));
    hidden.join_far(core(7), DRAIN);
    let survey = surveyed(&unknown, None, &hidden);
    assert_eq!(survey.found().shorts, [[core(4), core(9)].into(), [core(7), DRAIN].into()]);
}

#[test]
fn a_cord_that_is_moulded_at_both_ends_takes_a_reading_for_each_contact() {
    let unknown = UnknownCable {
        end: "DE-9 socket".parse::<Connector>().unwrap(),
        tail: Tail::Moulded("DE-9 plug".parse::<Connector>().unwrap()),
    };
    let straight = |crossing: bool| {
        let mut hidden = Hidden::new(&unknown);
        for n in 1..=9 {
            let other = match n {
                2 if crossing => 3,
                3 if crossing => 2,
                n => n,
            };
            hidden.join_through(number(n), Far::Contact(number(other)));
        }
        hidden.join_through(ContactId::Shell, Far::Contact(ContactId::Shell));
        surveyed(&unknown, None, &hidden)
    };
    assert_eq!(straight(false).readings().len(), 10);
    let crossed = straight(true);
    assert_eq!(crossed.readings().len(), 12);
    assert_eq!(goes_to(&crossed)[&number(2)], Some(Far::Contact(number(3))));
    assert!(crossed.found().untried_pairs > 0, "it says what was not tried");
}

#[test]
fn an_order_that_is_known_takes_a_reading_for_each_contact() {
    let catalogue = solderside_profile::Library::catalogue();
    let like = catalogue.cable("nine-core-moulded-socket").unwrap();
    let unknown = UnknownCable {
        end: "DE-9 socket".parse::<Connector>().unwrap(),
        tail: Tail::Cores { colours: like.colours.clone(), drain: false },
    };
    let mut hidden = Hidden::new(&unknown);
    for n in 1..=9 {
        hidden.join_through(number(n), core(n));
    }
    let survey = surveyed(&unknown, Some(&like), &hidden);
    // Four part the cores, nine find them, one says that the shell is joined to nothing.
    assert_eq!(survey.readings().len(), 14);
}

#[test]
fn a_cable_alike_in_name_only_is_given_up_and_all_is_found() {
    let catalogue = solderside_profile::Library::catalogue();
    let like = catalogue.cable("nine-core-moulded-socket").unwrap();
    let unknown = UnknownCable {
        end: "DE-9 socket".parse::<Connector>().unwrap(),
        tail: Tail::Cores { colours: like.colours.clone(), drain: false },
    };
    let mut hidden = Hidden::new(&unknown);
    for n in 1..=9 {
        hidden.join_through(number(n), core(10 - n));
    }
    let survey = surveyed(&unknown, Some(&like), &hidden);
    assert!((1..=9).all(|n| goes_to(&survey)[&number(n)] == Some(core(10 - n))));
}

/// Whatever the cable: the survey ends, and tells what is there.
#[test]
fn any_cable_at_all_is_found() {
    let mut luck = Luck::new(5);
    for round in 0..400 {
        let (end, most) = [("DIN 5/180 plug", 5_u8), ("DE-9 socket", 9), ("DA-15 plug", 15)][round % 3];
        let cores = u8::try_from(1 + luck.below(usize::from(most))).unwrap();
        let unknown = bare(end, cores, luck.below(2) == 0);
        let mut hidden = Hidden::new(&unknown);
        let far = unknown.far();
        for contact in unknown.contacts().collect::<Vec<_>>() {
            // Any core, with no regard for those that are taken; or none.
            let at = luck.below(far.len() + 1);
            if let Some(own) = far.get(at) {
                hidden.join_through(contact, *own);
            }
        }
        if luck.below(3) == 0 {
            hidden.join_far(far[luck.below(far.len())], far[luck.below(far.len())]);
        }
        let survey = surveyed(&unknown, None, &hidden);
        hidden.check(&survey);
    }
}

/// Cables whose cores are dealt out at random, one to a contact.
fn dealt(end: &str, cores: u8, drain: bool, rounds: usize) -> (f64, usize, usize) {
    let mut luck = Luck::new(u64::from(cores));
    let unknown = bare(end, cores, drain);
    let mut counts = Vec::new();
    for _ in 0..rounds {
        let mut hidden = Hidden::new(&unknown);
        let mut order: Vec<u8> = (1..=cores).collect();
        luck.shuffle(&mut order);
        let numbers: Vec<ContactId> = unknown.contacts().filter(|id| *id != ContactId::Shell).collect();
        for (contact, own) in numbers.iter().zip(&order) {
            hidden.join_through(*contact, core(*own));
        }
        if drain {
            hidden.join_through(ContactId::Shell, DRAIN);
        }
        let survey = surveyed(&unknown, None, &hidden);
        hidden.check(&survey);
        counts.push(survey.readings().len());
    }
    let worst = counts.iter().copied().max().unwrap();
    let mean = counts.iter().sum::<usize>() as f64 / counts.len() as f64;
    (mean, worst, Survey::new(unknown, None).least_readings())
}

#[test]
fn cores_in_any_order_take_few_readings() {
    for (end, cores, drain, most_on_average, most) in [
        ("DIN 5/180 plug", 5, true, 14.5, 20),
        ("DE-9 socket", 9, true, 30.0, 38),
        ("DA-15 plug", 15, true, 59.0, 76),
        ("DA-15 plug", 15, false, 60.0, 76),
    ] {
        let (mean, worst, least) = dealt(end, cores, drain, 150);
        assert!(least <= worst);
        assert!(mean <= most_on_average && worst <= most, "{end}: {mean} on average, {worst} at worst");
    }
}

#[test]
fn readings_that_contradict_each_other_are_named_and_asked_again() {
    let unknown = bare("DE-9 socket", 3, false);
    let mut survey = Survey::new(unknown.clone(), None);
    let mut put = |one: &str, other: &str, reads: &str| {
        let reads = TypedReading::parse(reads).unwrap();
        survey.take(SurveyReading::new(unknown.touch(one, other).unwrap(), reads).unwrap())
    };
    for (one, other) in [("BK", "BN + RD"), ("BN", "RD")] {
        assert_eq!(put(one, other, "open"), Taken::Kept);
    }
    assert_eq!(put("1", "BK", "0.4"), Taken::Kept);
    assert_eq!(put("2", "BN", "0.4"), Taken::Kept);
    let Taken::Contradicts(struck) = put("1", "RD", "0.4") else {
        panic!("one contact in two cores that are apart")
    };
    let words: Vec<[String; 2]> = struck.iter().map(|reading| unknown.words(&reading.touch)).collect();
    assert_eq!(words, [["BK", "BN + RD"], ["1", "BK"], ["1", "RD"]].map(|pair| pair.map(str::to_owned)));
    assert_eq!(survey.readings().len(), 2, "what agrees is kept");
    assert!(survey.next().is_some());
}

#[test]
fn cores_of_one_colour_are_told_apart_by_a_mark() {
    let unknown = UnknownCable {
        end: "DE-9 socket".parse::<Connector>().unwrap(),
        tail: Tail::Cores { colours: colours("WH BN WH WH/GN"), drain: true },
    };
    let names: Vec<String> = unknown.far().into_iter().map(|far| unknown.name(far)).collect();
    assert_eq!(names, ["WH-1", "BN", "WH-2", "GNWH", "drain"]);
    assert_eq!(unknown.point("white with green"), Ok(core(4)));
    assert_eq!(unknown.point("wh-2"), Ok(core(3)));
    assert_eq!(
        unknown.point("wh").unwrap_err().to_string(),
        "`wh` could be several cores; write `WH-1` or `WH-2`"
    );
    assert_eq!(
        unknown.point("drian").unwrap_err().to_string(),
        "`drian` is no core of this cable; write `drain`; the cores are `WH-1`, `BN`, `WH-2`, `GNWH` and `drain`"
    );
}
