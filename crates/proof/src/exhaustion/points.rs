//! Limits, the slow and obvious way: every state, every step with every combination of levels to which the machine
//! can also drive its lines, each conductor of the return and of the supply open, and of each box of tolerances
//! a number of points, each solved exactly. What passes a limit at any point must not be called sound.

use std::collections::BTreeMap;

use proptest::prelude::*;
use solderside_circuit::{Element, Network, OperatingPoint, Spread, Uncertain};
use solderside_lead::{Assembly, Body, Circuit, EndId, Leg, PartId, Purpose};
use solderside_profile::{ControllerRole, Level, PortRole, Step};
use solderside_quantity::{Quantity, Triple, Volts};
use solderside_trade::{ClosedBy, ContactId, RESISTOR_WATTS};

use super::{shelves, shelves_with_transistors};
use crate::cases::Moving;
use crate::finding::Verdict;
use crate::prove::prove_over;

/// Points of each box: mostly corners.
const POINTS: usize = 6;

/// Numbers that look random and are the same each time.
struct Dice(u64);

impl Dice {
    fn roll(&mut self, sides: u64) -> u64 {
        // Marsaglia's xorshift.
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        self.0 % sides
    }

    fn pick<T: Quantity>(&mut self, triple: Triple<T>) -> T {
        match self.roll(9) {
            0 => triple.typical(),
            1..=4 => triple.low(),
            _ => triple.high(),
        }
    }
}

fn point(network: &Spread, dice: &mut Dice) -> Option<OperatingPoint> {
    let mut point = Network::new();
    for _ in 1..network.typical().node_count() {
        point.node();
    }
    for element in network.elements() {
        let element = match *element {
            Uncertain::Resistor { a, b, ohms } => Element::Resistor { a, b, ohms: dice.pick(ohms) },
            Uncertain::Source { node, volts, ohms } => {
                Element::Source { node, volts: dice.pick(volts), ohms: dice.pick(ohms) }
            }
            Uncertain::Current { a, b, amps } => Element::Current { a, b, amps: dice.pick(amps) },
            Uncertain::Diode { anode, cathode, least, most } => {
                Element::Diode { anode, cathode, diode: if dice.roll(2) == 0 { least } else { most } }
            }
            Uncertain::Sink { node, to, offset, ohms, off } => Element::OpenCollector {
                node,
                to,
                on: true,
                offset: dice.pick(offset),
                ohms: dice.pick(ohms),
                off: dice.pick(off),
            },
        };
        point.add(element).expect("what the box holds is an element");
    }
    point.operating_point().ok()
}

/// Each step with every combination of levels of the lines that the machine can also drive.
fn moments(assembly: &Assembly) -> Vec<Step> {
    let driven: Vec<(ContactId, Vec<Level>)> = assembly
        .port
        .contacts
        .iter()
        .filter_map(|(id, contact)| Some((*id, contact.driven?.levels().to_vec())))
        .collect();
    let mut all: Vec<BTreeMap<ContactId, Level>> = vec![BTreeMap::new()];
    for (id, levels) in driven {
        for at in 0..all.len() {
            for level in &levels {
                let mut more = all[at].clone();
                more.insert(id, *level);
                all.push(more);
            }
        }
    }
    let with = |step: &Step, levels: &BTreeMap<ContactId, Level>| Step {
        drives: step.drives.iter().chain(levels).map(|(id, level)| (*id, *level)).collect(),
        ..step.clone()
    };
    assembly.port.steps.iter().flat_map(|step| all.iter().map(move |levels| with(step, levels))).collect()
}

/// What passes its limit at a point, in words.
fn passed(assembly: &Assembly, circuit: &Circuit, point: &OperatingPoint) -> Option<String> {
    const LITTLE: f64 = 1e-7;
    let rail = assembly.port.rail.high();
    for (id, contact) in &assembly.port.contacts {
        let leg = Leg::port(*id);
        if assembly.lead.joined(leg).next().is_none() {
            continue;
        }
        // What flows from the node to the ground is taken.
        let amps = || circuit.sources(leg).iter().map(|id| point.amps(*id).get());
        let taken = amps().fold(0.0, f64::max);
        let given = amps().map(|amps| -amps).fold(0.0, f64::max);
        let family = match &contact.role {
            PortRole::Supply(supply) => {
                if given > supply.amps_max.get() + LITTLE {
                    return Some(format!("{leg} gives {given}"));
                }
                continue;
            }
            PortRole::Drive(family) => Some(*family),
            PortRole::Action { input, .. } => {
                let family = assembly.port.inputs[input].family;
                let range = family.input_range(rail).value;
                let volts = circuit.node(leg).map_or(Volts::ZERO, |node| point.volts(node));
                if volts > range.highest + Volts::literal(LITTLE)
                    || volts < range.lowest - Volts::literal(LITTLE)
                {
                    return Some(format!("{leg} stands at {volts}"));
                }
                contact.driven.map(|_| family)
            }
            PortRole::Data { .. }
            | PortRole::Sense { .. }
            | PortRole::Fed(_)
            | PortRole::Signal(_)
            | PortRole::Return
            | PortRole::Axis(_)
            | PortRole::Pot
            | PortRole::Unused => None,
        };
        let Some(family) = family else { continue };
        if given > family.source_limit().value.get() + LITTLE
            || taken > family.sink_limit().value.get() + LITTLE
        {
            return Some(format!("{leg} gives {given} and takes {taken}"));
        }
    }
    for part in &assembly.lead.parts {
        let leg = |contact| Leg { end: EndId::Part(part.id()), contact };
        let [first, second] = [PartId::ANODE, PartId::CATHODE]
            .map(|contact| circuit.node(leg(contact)).map_or(0.0, |node| point.volts(node).get()));
        let amps = circuit
            .rated(leg(PartId::ANODE), &solderside_lead::State::new(), &solderside_lead::State::new())
            .first()
            .map_or(0.0, |id| point.amps(*id).get());
        let bears = match part.body {
            Body::Resistor(_) => (first - second) * amps <= RESISTOR_WATTS.value.get() + LITTLE,
            Body::Diode(diode) => {
                amps <= diode.amps_max().value.get() + LITTLE
                    && second - first <= diode.reverse_volts_max().value.get() + LITTLE
            }
            Body::Transistor(transistor) => {
                let carries = |contact| {
                    let elements = circuit.rated(
                        leg(contact),
                        &solderside_lead::State::new(),
                        &solderside_lead::State::new(),
                    );
                    elements.iter().map(|id| point.amps(*id).get().abs()).sum::<f64>()
                };
                let sheet = transistor.sheet();
                let base_bears = match sheet.closed_by {
                    ClosedBy::Base(base) => base.amps_max.value.get(),
                    ClosedBy::Gate(_) => 0.0,
                };
                carries(PartId::BASE) <= base_bears + LITTLE
                    && carries(PartId::COLLECTOR) <= sheet.amps_max.value.get() + LITTLE
            }
            Body::Capacitor(_) | Body::Chip(_) | Body::Changeover(_) => true,
        };
        if !bears {
            return Some(format!("{} has {} V and {amps} A", part.id(), first - second));
        }
    }
    None
}

/// What passes a limit anywhere.
fn passed_somewhere(assembly: &Assembly) -> Option<String> {
    let moving = Moving::of(assembly);
    let mut dice = Dice(0x9e37_79b9_7f4a_7c15);
    let is_home = |leg: Leg| {
        let theirs = assembly.port_contact(leg).map(|contact| &contact.role);
        let ours = assembly.controller_contact(leg).map(|contact| &contact.role);
        matches!(theirs, Some(PortRole::Return | PortRole::Supply(_)))
            || matches!(ours, Some(ControllerRole::Common | ControllerRole::Supply))
    };
    let opened = assembly.lead.joins.iter().filter(|join| is_home(join.from) || is_home(join.to));
    let broken = opened.map(|join| (assembly.without(join), assembly.port.steps.clone()));
    for (assembly, steps) in std::iter::once((assembly.clone(), moments(assembly))).chain(broken) {
        for step in &steps {
            let circuit = Circuit::of(&assembly, step, Purpose::Limits).expect("the values make a circuit");
            for state in moving.states(moving.len()) {
                let [pressed, _] = moving.controls(&state);
                let network = circuit.in_state(&pressed);
                for _ in 0..POINTS {
                    let Some(point) = point(&network, &mut dice) else { continue };
                    if let Some(told) = passed(&assembly, &circuit, &point) {
                        return Some(format!("{told} at {} in {pressed:?}", step.name));
                    }
                }
            }
        }
    }
    None
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 48, ..ProptestConfig::default() })]

    #[test]
    fn what_passes_a_limit_at_any_point_is_never_called_sound(shelf in shelves()) {
        holds(&shelf.assembly())?;
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 64, max_shrink_iters: 50, ..ProptestConfig::default() })]

    #[test]
    fn what_passes_a_limit_at_any_point_with_a_transistor_is_never_called_sound(shelf in shelves_with_transistors()) {
        holds(&shelf.assembly())?;
    }
}

/// Holds a proof against every point that was tried.
fn holds(assembly: &Assembly) -> Result<(), TestCaseError> {
    if let Some(told) = passed_somewhere(assembly) {
        let proof = prove_over(assembly, &Moving::of(assembly)).expect("the values make a circuit");
        let is_doubtful = proof.findings.iter().any(crate::finding::Finding::is_open);
        prop_assert!(proof.verdict == Verdict::Harms || is_doubtful, "{}: {}", proof.verdict, told);
    }
    Ok(())
}
