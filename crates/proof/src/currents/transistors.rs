//! What flows into the bases and the collectors of transistors.

use solderside_circuit::{AmpsBound, ElementId, Extreme, Spread, Uncertain};
use solderside_lead::{Assembly, Leg, PartId};
use solderside_quantity::Amps;
use solderside_trade::ClosedBy;

use super::{Carrier, Flow, Guard, Most, WAYS, fed_by, through};
use crate::code::Code;

/// The legs of each transistor whose current has a limit.
pub(super) fn guards(assembly: &Assembly) -> Vec<Guard> {
    let mut guards = Vec::new();
    for (end, part) in assembly.transistors() {
        let sheet = part.sheet();
        let most = |amps: Amps| Some(Most::of(amps, false));
        let code = Code::PowerHotPart;
        let guard = |contact, what, limits| Guard {
            leg: Leg { end, contact },
            what,
            carrier: Carrier::Leg { fed_by: fed_by(assembly, Leg { end, contact }) },
            limits,
            code,
        };
        let amps = most(sheet.amps_max.value);
        guards.push(guard(PartId::COLLECTOR, COLLECTOR, [amps, amps]));
        if let ClosedBy::Base(base) = sheet.closed_by {
            guards.push(guard(PartId::BASE, BASE, [most(base.amps_max.value), None]));
        }
    }
    guards
}

const COLLECTOR: &str = "transistor";
const BASE: &str = "base";

/// What flows through a leg each way: of the elements that end there each at its most. A junction is counted the way
/// in which it conducts, whichever way that is: more than its leakage never comes back.
pub(super) fn flows(network: &Spread, elements: &[ElementId], limits: [Option<Most>; 2]) -> Vec<Flow> {
    let asked = WAYS.into_iter().zip(limits).enumerate();
    let flow = |(way, (extreme, most)): (usize, (Extreme, Option<Most>))| {
        let most = most?;
        let nothing = AmpsBound { attained: Some(Amps::ZERO), guaranteed: Some(Amps::ZERO) };
        let add = |sum: AmpsBound, id: &ElementId| {
            let is_junction = matches!(network.elements().get(id.index()), Some(Uncertain::Diode { .. }));
            let extreme = if is_junction { Extreme::Highest } else { extreme };
            // What the elements round it can bring mostly does, and takes no solving.
            let brought = network.flow_through(*id, extreme).filter(|amps| *amps * 2.0 <= most.amps);
            let rough = |amps| AmpsBound { attained: Some(Amps::ZERO), guaranteed: Some(amps) };
            let one = brought.map_or_else(|| through(network, *id, extreme, most.amps), rough);
            AmpsBound {
                // What is at its most in one element need not be in the other.
                attained: sum.attained.zip(one.attained).map(|(sum, one)| sum.max(one)),
                guaranteed: sum.guaranteed.zip(one.guaranteed).map(|(sum, one)| sum + one),
            }
        };
        Some(Flow { way, amps: elements.iter().fold(nothing, add), most })
    };
    asked.filter_map(flow).collect()
}

/// What a leg bears, in words, and how to mend it.
pub(super) fn told(what: &str, limit: Amps) -> (String, String) {
    if what == BASE {
        return (
            format!("a base of its kind bears {limit} for good"),
            "a resistor in the way to the base: 4.7 kΩ to 10 kΩ close a small transistor on 5 V".to_owned(),
        );
    }
    (
        format!("a transistor of its kind bears {limit} for good"),
        "a larger resistor where its collector's current comes from, or take out the join that lets so much through"
            .to_owned(),
    )
}
