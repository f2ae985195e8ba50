//! What the search remembers is what it would find again.

use solderside_profile::Library;

use super::known::all;
use super::{Fact, Means, Search};
use crate::plain::{Known, Problem};
use crate::{OfWire, Wishes};

#[test]
fn what_is_remembered_of_a_set_of_facts_is_what_judging_it_anew_says() {
    let library = Library::with_shelf(Vec::new());
    for [controller, port] in [
        ["fifteen-pin-stick", "nine-pin-select"],
        ["nine-pin-stick-with-auto-fire", "eight-pin-mini-din"],
        ["nine-pin-register-pad-8-bit", "nine-pin-two-trigger"],
    ] {
        let controller = library.controller(controller).expect("it ships");
        let port = library.port(port).expect("it ships");
        let problem = Problem::new(&controller, &port, &Wishes::default()).expect("a circuit");
        let OfWire { best: nearest, fits } = OfWire::of(&problem).expect("a circuit");
        assert!(!fits, "{} on {} is refused", controller.name, port.name);
        let facts = all(&problem, &nearest);
        let search = Search::of(&problem, &facts, Means::Wire);
        let conflicts = search.conflicts().expect("a circuit");
        // Leads that were proved before say the same as leads that are judged anew.
        let ignorant = Problem { known: Known::default(), ..problem.clone() };
        assert_eq!(Search::of(&ignorant, &facts, Means::Wire).conflicts(), Ok(conflicts.clone()));
        let judged = search.judged.borrow();
        assert!(judged.len() > conflicts.len(), "each conflict takes more than one judgement");
        for (set, forbids) in judged.iter() {
            let kept: Vec<&Fact> =
                facts.iter().zip(set).filter_map(|(fact, kept)| kept.then_some(fact)).collect();
            assert_eq!(search.forbid_anew(&kept), Ok(*forbids), "{kept:?}");
            // What follows from this set is what judging says.
            for at in 0..facts.len() {
                let mut near = set.clone();
                near[at] = *forbids;
                let near: Vec<&Fact> =
                    facts.iter().zip(&near).filter_map(|(fact, kept)| kept.then_some(fact)).collect();
                assert_eq!(search.forbid_anew(&near), Ok(*forbids), "{near:?}");
            }
        }
        // Of every conflict each fact is needed: without it, and with nothing else, a lead exists.
        for conflict in conflicts {
            let whole: Vec<&Fact> = conflict.iter().collect();
            assert_eq!(search.forbid_anew(&whole), Ok(true));
            for at in 0..whole.len() {
                let mut less = whole.clone();
                less.remove(at);
                assert_eq!(search.forbid_anew(&less), Ok(false), "{less:?}");
            }
        }
    }
}
