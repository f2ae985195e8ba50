//! What parts of the lead bear: a resistor's power, a diode's current.

use solderside_lead::{Assembly, Body, EndId, Leg, PartId};
use solderside_quantity::{Amps, Ohms, Watts};
use solderside_trade::RESISTOR_WATTS;

use super::{Carrier, Guard, Most, fed_by};
use crate::code::Code;
use crate::voltages::{highest_source, lowest_source};

/// What carries the current in a switch of the lead.
const SWITCH_CONTACT: &str = "switch contact";

/// The parts whose rating something in the lead could exceed.
pub(super) fn guards(assembly: &Assembly) -> Vec<Guard> {
    let span = highest_source(assembly) - lowest_source(assembly);
    let mut guards = Vec::new();
    for part in &assembly.lead.parts {
        let leg = |contact| Leg { end: EndId::Part(part.id()), contact };
        let ends = [PartId::ANODE, PartId::CATHODE].map(leg);
        // With one end open nothing flows.
        if ends.iter().any(|leg| assembly.lead.joined(*leg).next().is_none()) {
            continue;
        }
        let (what, ohms, limits, code) = match part.body {
            Body::Resistor(resistor) => {
                let ohms = resistor.triple();
                let watts = RESISTOR_WATTS.value.get();
                // Where all that there is stays across it, it bears that.
                if span.get() * span.get() <= watts * ohms.low().get() {
                    continue;
                }
                let bears = |ohms: Ohms| Amps::new((watts / ohms.get()).sqrt());
                let (Ok(amps), Ok(passed_above)) = (bears(ohms.high()), bears(ohms.low())) else { continue };
                let most = Some(Most { amps, passed_above, stated: false });
                ("resistor", Some([ohms.low(), ohms.high()]), [most, most], Code::PowerHotPart)
            }
            Body::Diode(diode) => {
                let most = Most::of(diode.amps_max().value, false);
                ("diode", None, [Some(most), None], Code::PowerHotPart)
            }
            Body::Capacitor(_) | Body::Transistor(_) | Body::Chip(_) | Body::Changeover(_) => continue,
        };
        let alone = |leg| fed_by(assembly, leg).filter(|fed| fed.resistors.is_empty());
        let fed_by = ends.into_iter().find_map(alone).map(|fed| fed.sources);
        guards.push(Guard { leg: ends[0], what, carrier: Carrier::Part { fed_by, ohms }, limits, code });
    }
    for contact in assembly.lead.joins.iter().filter(|join| join.is_of_switch()) {
        let part = contact.to.part_id().and_then(|id| assembly.lead.part(id)).map(|part| part.body);
        let Some(Body::Changeover(switch)) = part else { continue };
        let most = Some(Most::of(switch.amps_max().value, false));
        let fed = fed_by(assembly, contact.to).filter(|fed| fed.resistors.is_empty());
        let carrier = Carrier::Part { fed_by: fed.map(|fed| fed.sources), ohms: None };
        guards.push(Guard {
            leg: contact.to,
            what: SWITCH_CONTACT,
            carrier,
            limits: [most, most],
            code: Code::PowerHotPart,
        });
    }
    guards
}

/// What a part bears, in words, and how to mend it.
pub(super) fn told(what: &str, ohms: Option<[Ohms; 2]>, amps: Amps, limit: Amps) -> (String, String) {
    if what == SWITCH_CONTACT {
        return (
            format!("a small switch carries {limit} for good"),
            "keep what feeds and what carries current home off the switch, and change over lines only"
                .to_owned(),
        );
    }
    let Some([least, _]) = ohms else {
        return (
            format!("a diode of its kind bears {limit} for good"),
            "put a resistor in its way, or take out the join that lets so much through".to_owned(),
        );
    };
    let watts: Watts = (amps * least) * amps;
    (
        format!("that is {watts} of heat where a small resistor bears {}", RESISTOR_WATTS.value),
        "a larger value, or take out the join that puts so much across it; a resistor that is too hot burns \
         fingers, insulation and boards"
            .to_owned(),
    )
}
