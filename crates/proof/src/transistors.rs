//! Transistors as parts of a lead or a controller: where they stand, and whether their bases say for certain what they do.

use solderside_circuit::Uncertain;
use solderside_circuit::logic::{Input, Instead, Thresholds};
use solderside_lead::{Assembly, Circuit, EndId, Leg, PartId, Position, Transistor};
use solderside_quantity::Volts;
use solderside_trade::TransistorKind;

use crate::chips::level;
use crate::code::Code;
use crate::finding::{Figure, Finding, Severity};

/// Everything that there is to say of the transistors.
pub(crate) fn transistors(assembly: &Assembly, circuits: &[(&str, &Circuit)]) -> Vec<Finding> {
    let Some((_, first)) = circuits.first() else { return Vec::new() };
    let mut findings = Vec::new();
    for at in 0..first.transistors().len() {
        let is_misplaced =
            |circuit: &&(&str, &Circuit)| circuit.1.transistors()[at].position != Position::Tested;
        if let Some((step, circuit)) = circuits.iter().find(is_misplaced) {
            findings.push(misplaced(&circuit.transistors()[at], step));
            continue;
        }
        let place = |circuit: &Circuit| {
            let own = &circuit.transistors()[at];
            Some((own.leg(PartId::BASE), own.input?))
        };
        findings.extend(level(assembly, circuits, place));
    }
    findings
}

/// A transistor of which no sheet says what it does where it stands.
fn misplaced(transistor: &Transistor, step: &str) -> Finding {
    let [_, collector, emitter] = transistor.part.kind().legs();
    let home = match transistor.part.kind() {
        TransistorKind::Npn | TransistorKind::NChannel => "a return",
        TransistorKind::Pnp => "a supply",
    };
    let Transistor { part, end, position, .. } = transistor;
    if *position == Position::TurnedRound {
        let text = format!(
            "the transistor `{end}` is turned round: its {collector} is on {home}, where the {emitter} of a {part} \
             belongs; backwards no sheet promises that it opens or closes"
        );
        let remedy = format!(
            "exchange {collector} and {emitter}; makers order the legs differently, so look at the sheet of the one \
             in your hand"
        );
        let legs = [PartId::COLLECTOR, PartId::EMITTER].map(|leg| transistor.leg(leg));
        return Finding::new(Code::BuildTurnedRound, Severity::Fail, text).at(legs).remedy(remedy);
    }
    let text = format!(
        "what the transistor `{end}` does in the step `{step}` is not worked out: that is done where its {emitter} is \
         wired to {home} and its {collector} never stands beyond that"
    );
    let remedy = format!("wire its {emitter} to {home}, or take a chip in its place");
    Finding::new(Code::DriveUnproved, Severity::Note, text)
        .at([transistor.leg(PartId::EMITTER)])
        .remedy(remedy)
}

/// Whether a leg is that of a transistor.
pub(crate) const fn is_of_transistor(leg: Leg) -> bool {
    matches!(
        leg.end,
        EndId::Part(PartId::Bipolar(_) | PartId::Mosfet(_))
            | EndId::Inside(_, PartId::Bipolar(_) | PartId::Mosfet(_))
    )
}

/// A transistor that is neither off nor closed for certain, with where its base or gate can stand while it takes what
/// it must take.
pub(crate) fn unsure(leg: Leg, input: &Input, reach: [Volts; 2], when: &str) -> Finding {
    let Thresholds { low, high } = input.guaranteed;
    let is_current = |instead: &Instead| matches!(instead.by, Uncertain::Current { .. });
    let takes = input.instead.iter().any(is_current);
    let asks = if takes { ", with what it must take to close taken from it" } else { "" };
    let text = format!(
        "`{leg}` makes its transistor neither open nor close for certain {when}: it stands between {} and {}{asks}; \
         one way asks for {low} or less, the other for {high} or more",
        reach[0], reach[1]
    );
    Finding::new(Code::ReadMissed, Severity::Fail, text)
        .at([leg])
        .figures([Figure::volts("from_volts", reach[0]), Figure::volts("to_volts", reach[1])])
        .remedy(
            "a smaller resistor to its base or a larger one at its collector, so that it closes; a resistor from base \
             to emitter, so that it opens",
        )
}
