//! Chips without a supply, which the lines feed through the clamps of their contacts.

use solderside_circuit::Extreme;
use solderside_lead::{Assembly, Circuit, Leg, Purpose, State, Unbuilt};
use solderside_profile::PortRole;
use solderside_quantity::Volts;

use crate::code::Code;
use crate::finding::{Figure, Finding, Severity};
use crate::words::place;

/// Below this nothing in a chip answers: about one junction (common practice, no source).
const ASLEEP: Volts = Volts::literal(0.5);

/// Tells of each pad without a supply how far its idle lines lift it.
///
/// # Errors
/// Says which value of a profile cannot be an element's.
pub(crate) fn clamps(assembly: &Assembly) -> Result<Vec<Finding>, Unbuilt> {
    let mut findings = Vec::new();
    for (end, controller) in assembly.controllers().filter(|(end, _)| assembly.uses_chips(*end)) {
        let (Some(logic), Some(contact)) = (&controller.logic, controller.supply()) else { continue };
        let supply = Leg { end, contact };
        let is_joined = assembly.lead.joined(supply).next().is_some();
        if is_joined || !logic.family.clamps_to_supply() {
            continue;
        }
        let Some(step) = assembly.port.steps.first() else { continue };
        let circuit = Circuit::of(assembly, step, Purpose::Limits)?;
        let network = circuit.in_state(&State::new());
        let Some(node) = circuit.node(supply) else { continue };
        let highest = network.bound(node, Extreme::Highest).ok().and_then(|bound| bound.guaranteed);
        let point = network.typical().operating_point().ok();
        let (Some(highest), Some(point)) = (highest, point) else { continue };
        let typical = point.volts(node);
        if highest < ASLEEP {
            continue;
        }
        let lines = assembly.lead.joins.iter().flat_map(|join| [join.from, join.to]).filter(|leg| {
            matches!(
                assembly.port_contact(*leg).map(|contact| &contact.role),
                Some(PortRole::Action { .. } | PortRole::Data { .. } | PortRole::Sense { .. })
            )
        });
        let Some(line) = lines.min() else { continue };
        let text = format!(
            "the chips of `{}` have no supply, and idle lines such as {} feed them through their clamps: typically \
             {typical} on `{supply}`, at most {highest}, where they need {}",
            controller.name,
            place(assembly, line),
            logic.supply_volts.low()
        );
        findings.push(
            Finding::new(Code::PowerThroughClamps, Severity::Fail, text)
                .at([supply, line])
                .figures([
                    Figure::volts("with_clamps_volts", typical),
                    Figure::volts("reaches_volts", highest),
                    Figure::volts("needs_volts", logic.supply_volts.low()),
                ])
                .remedy(
                    "give the pad its supply; fed like this its outputs are no levels, and its clamps carry what \
                     they are not made for",
                ),
        );
    }
    Ok(findings)
}
