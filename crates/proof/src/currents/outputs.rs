//! The outputs of a pad's chips: what flows through their halves, and through the clamps beside them.

use solderside_circuit::{AmpsBound, ElementId, Extreme, Spread, Uncertain};
use solderside_lead::{Assembly, Leg};
use solderside_quantity::Amps;
use solderside_trade::{ContactId, LegRole};

use super::{Carrier, Flow, Guard, Most, fed_by, through};
use crate::code::Code;

/// The outputs that are joined to something.
pub(super) fn guards(assembly: &Assembly) -> Vec<Guard> {
    let mut guards = of_chips(assembly);
    for (end, controller) in assembly.controllers() {
        for control in controller.controls() {
            let Some(logic) = controller.driver_of(control) else { continue };
            let Some(contact) = controller.contact_of(control) else { continue };
            let leg = Leg { end, contact };
            if assembly.lead.joined(leg).next().is_none() {
                continue;
            }
            let family = logic.family;
            let halves = [family.source_limit().value, family.sink_limit().value];
            let clamp = family.clamp_amps().value;
            // What comes in over the lead goes through whichever of these conducts.
            let least = Some(Most::of(halves[0].min(halves[1]).min(clamp), false));
            let carrier = Carrier::Output { fed_by: fed_by(assembly, leg), halves, clamp };
            let what = "pad output";
            guards.push(Guard { leg, what, carrier, limits: [least, least], code: Code::DriveOverload });
        }
    }
    guards
}

/// The outputs of chips that are known part by part.
fn of_chips(assembly: &Assembly) -> Vec<Guard> {
    let mut guards = Vec::new();
    for (end, chip) in assembly.chips() {
        let Some(output) = chip.sheet().output else { continue };
        for number in chip.sheet().legs_for(LegRole::Output) {
            let leg = Leg { end, contact: ContactId::Number(number) };
            let limits =
                [output.source_limit, output.sink_limit].map(|most| Some(Most::of(most.value, false)));
            let carrier = Carrier::Contact;
            guards.push(Guard { leg, what: "chip output", carrier, limits, code: Code::DriveOverload });
        }
    }
    guards
}

/// What flows through each half and each clamp: out of the pad, and into it.
pub(super) fn flows(
    network: &Spread,
    elements: &[ElementId],
    [source, sink]: [Amps; 2],
    clamp: Amps,
) -> Vec<Flow> {
    let mut flows = Vec::new();
    // With the clamps of many outputs round it, what the elements there can bring settles more in less time.
    let is_tangled = network.has_many_diodes();
    for id in elements {
        let asked: &[(usize, Extreme, Amps)] = match network.elements().get(id.index()) {
            Some(Uncertain::Sink { .. }) => &[(1, Extreme::Highest, sink)],
            // From the supply to the line, and back where the line stands higher.
            Some(Uncertain::Resistor { .. }) => {
                &[(0, Extreme::Highest, source), (1, Extreme::Lowest, source)]
            }
            Some(Uncertain::Diode { .. }) => &[(1, Extreme::Highest, clamp)],
            Some(Uncertain::Source { .. } | Uncertain::Current { .. }) | None => &[],
        };
        for (way, extreme, most) in asked {
            let brought = if is_tangled { network.flow_through(*id, *extreme) } else { None };
            let amps = match brought.filter(|brought| brought <= most) {
                Some(brought) => AmpsBound { attained: Some(Amps::ZERO), guaranteed: Some(brought) },
                None => through(network, *id, *extreme, *most),
            };
            flows.push(Flow { way: *way, amps, most: Most::of(*most, false) });
        }
    }
    flows
}
