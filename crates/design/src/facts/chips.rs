//! What chips cannot do, as facts that could be otherwise.

use std::collections::BTreeSet;

use solderside_lead::Leg;

use super::{Fact, FactKind};
use crate::counting::Alike;
use crate::logic::wants::{Show, Want};
use crate::plain::{Problem, has_chips};

/// The contacts that no chip serves, each with what is wanted there; and that chips want a supply and a return.
pub(super) fn of_chips(problem: &Problem) -> Vec<Fact> {
    let port = &problem.port;
    let mut facts: Vec<Fact> = problem
        .wants_unserved()
        .iter()
        .map(|want| Fact { kind: FactKind::NotComposed(want.contact), text: unserved(problem, want) })
        .collect();
    // A pad that has chips itself has that fact already.
    if port.supplies().is_empty() && !has_chips(&problem.controller) {
        let text = format!("chips need a supply, and the port `{}` has none", port.name);
        facts.push(Fact { kind: FactKind::NoSupply, text });
    }
    facts
}

/// "at `port.1` the machine wants a low in `select-low-3`, `up` in 5 steps: …".
fn unserved(problem: &Problem, want: &Want) -> String {
    let mut told: Vec<String> = Vec::new();
    let shows: BTreeSet<&Show> = want.shows.iter().filter(|show| **show != Show::Any).collect();
    for show in shows {
        let steps = want.shows.iter().zip(&problem.port.steps).filter(|(own, _)| *own == show);
        let names: Vec<&str> = steps.map(|(_, step)| step.name.as_str()).collect();
        let what = match show {
            Show::Any => continue,
            Show::LetGo => "nothing".to_owned(),
            Show::Fixed(high) => if *high { "a high" } else { "a low" }.to_owned(),
            Show::Pressed(signal) => {
                let names: Vec<String> = signal.iter().map(|control| format!("`{control}`")).collect();
                names.join(" or ")
            }
        };
        let steps = match names.as_slice() {
            [step] => format!("`{step}`"),
            several => format!("{} steps", several.len()),
        };
        told.push(format!("{what} in {steps}"));
    }
    let wanted = format!("at `{}` the machine wants {}", Leg::port(want.contact), told.join(", "));
    match Alike::of(&problem.port, want) {
        Some(alike) => format!("{wanted}: {alike}"),
        None => format!("{wanted}: nothing that is composed here of chips shows that"),
    }
}
