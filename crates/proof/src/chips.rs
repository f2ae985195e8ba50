//! Chips as parts of a lead or a controller: their supply, their inputs, their clocks.

use std::collections::BTreeSet;

use solderside_circuit::logic::{Bit, Drive, Input, Level, Thresholds};
use solderside_circuit::{Extreme, Node, Spread};
use solderside_lead::{Assembly, Body, Chip, Circuit, EndId, Leg, PartId, State, Transistor};
use solderside_profile::Control;
use solderside_quantity::Volts;
use solderside_trade::{Block, LegNumber, LegRole};

use crate::cases::Moving;
use crate::code::Code;
use crate::finding::{Figure, Finding, Severity};
use crate::readings::{in_order, within_sources};
use crate::script::Script;
use crate::transistors::{is_of_transistor, transistors, unsure};
use crate::words::{names, while_pressed};

/// So many switches round one input are tried in every combination.
const MOST_ROUND_AN_INPUT: usize = 8;

/// Everything that there is to say of the chips.
pub(crate) fn chips(assembly: &Assembly, script: &Script<'_>, moving: &Moving) -> Vec<Finding> {
    let mut findings = Vec::new();
    let circuits: Vec<(&str, &Circuit)> = script.distinct().collect();
    if !script.has_logic() {
        findings.extend(transistors(assembly, &circuits));
        return findings;
    }
    let Some((_, first)) = circuits.first().copied() else { return findings };
    for (at, chip) in first.chips().iter().enumerate() {
        let supply = circuits.iter().find_map(|(_, circuit)| supply(assembly, &circuit.chips()[at]));
        if let Some(finding) = supply {
            // Of a chip without its supply nothing else is worth saying.
            findings.push(finding);
            continue;
        }
        findings.extend(decoupling(assembly, chip));
        findings.extend(clocks(first, chip));
        for input in chip.inputs.keys() {
            let place = |circuit: &Circuit| {
                let chip = &circuit.chips()[at];
                Some((chip.leg(*input), *chip.inputs.get(input)?))
            };
            findings.extend(level(assembly, &circuits, place));
        }
    }
    findings.extend(transistors(assembly, &circuits));
    findings.extend(shared_outputs(first));
    findings.extend(restless(assembly, script, moving));
    findings
}

/// What the chip gets, against what it asks for.
fn supply(assembly: &Assembly, chip: &Chip) -> Option<Finding> {
    let sheet = chip.part.sheet();
    let asks = sheet.supply.value;
    let leg = chip.leg(sheet.legs_for(LegRole::Supply).next()?);
    let needs = format!("a {} works on {} to {}", chip.part, asks.low(), asks.high());
    let figures =
        |volts: Volts| [Figure::volts("reaches_volts", volts), Figure::volts("needs_volts", asks.low())];
    match chip.supply {
        None => {
            let text = format!("`{leg}` gets no supply that is certain; {needs}");
            let remedy = match assembly.port.supplies().first() {
                Some((contact, _)) => {
                    format!("join its supply to `{}` and its ground to a return", Leg::port(*contact))
                }
                None => "this port has no supply: the chip needs one of its own".to_owned(),
            };
            Some(Finding::new(Code::PowerMissing, Severity::Fail, text).at([leg]).remedy(remedy))
        }
        Some([_, high]) if high > asks.high() => {
            let text = format!("`{leg}` can get {high}; {needs}");
            let remedy = "take it from a lower supply".to_owned();
            let found = Finding::new(Code::PowerOutOfRange, Severity::Harm, text);
            Some(found.at([leg]).figures(figures(high)).remedy(remedy))
        }
        Some([low, _]) if low < asks.low() => {
            let text = format!("`{leg}` is not certain to get more than {low}; {needs}");
            let remedy = "thicker or shorter conductors for supply and return, or more of them".to_owned();
            let found = Finding::new(Code::PowerOutOfRange, Severity::Fail, text);
            Some(found.at([leg]).figures(figures(low)).remedy(remedy))
        }
        Some(_) => None,
    }
}

/// A chip of the lead without a capacitor between its supply and its ground. What a controller has inside is its
/// maker's affair.
fn decoupling(assembly: &Assembly, chip: &Chip) -> Option<Finding> {
    let EndId::Part(id) = chip.end else { return None };
    let sheet = chip.part.sheet();
    let [supply, ground] =
        [LegRole::Supply, LegRole::Ground].map(|role| sheet.legs_for(role).next().map(|leg| chip.leg(leg)));
    let [supply, ground] = [supply?, ground?];
    let [on_supply, on_ground] = [supply, ground].map(|leg| assembly.lead.net(leg));
    let hood = assembly.lead.hood(supply);
    let mut capacitors = assembly.lead.parts.iter().filter(|part| matches!(part.body, Body::Capacitor(_)));
    let bridges = |part: &solderside_lead::Part| {
        let legs = part.body.legs().map(|contact| Leg::part(part.id(), contact));
        let legs: Vec<Leg> = legs.collect();
        part.sits == hood
            && legs.iter().any(|leg| on_supply.contains(leg))
            && legs.iter().any(|leg| on_ground.contains(leg))
    };
    if capacitors.any(bridges) {
        return None;
    }
    let text = format!(
        "`{id}` has no capacitor between its supply `{supply}` and its ground `{ground}`: when an output moves, what \
         it draws for a moment pulls its own supply down through the cable"
    );
    let remedy = format!("solder 100 nF (ceramic) from `{supply}` to `{ground}`, as short as it goes");
    Some(Finding::new(Code::PowerDecoupling, Severity::Thin, text).at([supply, ground]).remedy(remedy))
}

/// A clock that a switch moves: contacts bounce, and each bounce counts.
fn clocks(circuit: &Circuit, chip: &Chip) -> Vec<Finding> {
    let clocked = chip.part.sheet().blocks.iter().flat_map(|block| match block {
        Block::Register(register) => register.clocks.to_vec(),
        Block::Counter(counter) => vec![counter.clock],
        Block::Gate(_) | Block::Switch(_) => Vec::new(),
    });
    let mut clocked: Vec<LegNumber> = clocked.collect();
    clocked.sort_unstable();
    clocked.dedup();
    let bounces = |number: &LegNumber| -> Option<Finding> {
        let controls = moved_by(circuit, *chip.inputs.get(number)?);
        if controls.is_empty() {
            return None;
        }
        let leg = chip.leg(*number);
        let text = format!(
            "the clock `{leg}` is moved by the switch of {}, whose contacts bounce: one press counts several times",
            names(controls.iter())
        );
        let remedy =
            "clock it from a line of the machine, or put the control at an input that is only looked at";
        Some(Finding::new(Code::TimingBounce, Severity::Fail, text).at([leg]).remedy(remedy))
    };
    clocked.iter().filter_map(bounces).collect()
}

/// The controls whose switches move an input, directly or through gates.
fn moved_by(circuit: &Circuit, input: usize) -> State {
    let mut controls = State::new();
    let mut seen = BTreeSet::from([input]);
    let mut open = vec![input];
    while let Some(input) = open.pop() {
        let round = circuit.surroundings(circuit.logic().inputs()[input].node);
        controls.extend(round.controls);
        for (inputs, output) in circuit.logic().gates() {
            if round.outputs.contains(&output) {
                open.extend(inputs.iter().copied().filter(|input| seen.insert(*input)));
            }
        }
    }
    controls
}

/// The worst level of one input, whatever the switches and the outputs round it do: asked with its leg and its place
/// in a circuit.
pub(crate) fn level(
    assembly: &Assembly,
    circuits: &[(&str, &Circuit)],
    place: impl Fn(&Circuit) -> Option<(Leg, usize)>,
) -> Option<Finding> {
    let mut thin = None;
    for (step, circuit) in circuits {
        let Some((leg, place)) = place(circuit) else { continue };
        let input = &circuit.logic().inputs()[place];
        let round = circuit.surroundings(input.node);
        let controls: Vec<&Control> = round.controls.iter().collect();
        if controls.len() > MOST_ROUND_AN_INPUT {
            let text = format!(
                "whether `{leg}` is at a level in every state is not settled: {} switches lead to it",
                controls.len()
            );
            let remedy = "keep the controls' nets apart";
            return Some(Finding::new(Code::ReadUnproved, Severity::Note, text).at([leg]).remedy(remedy));
        }
        for combination in 0..1_usize << controls.len() {
            let pressed = controls.iter().enumerate().filter(|(at, _)| combination >> at & 1 == 1);
            let state: State = pressed.map(|(_, control)| (*control).clone()).collect();
            for drives in combinations(circuit, &round.outputs) {
                let released = round.controls.difference(&state).cloned().collect();
                let network = circuit.with_drives(&state, &released, &drives);
                let Ok(level) = Level::of(&network, input) else {
                    let text = format!("no operating point was found for the input `{leg}`");
                    let found = Finding::new(Code::ReadUnproved, Severity::Note, text).at([leg]);
                    return Some(found.remedy("mend what the proof says of the lines round it"));
                };
                if level.is_guaranteed {
                    continue;
                }
                let told = || tell(assembly, input, leg, &level, &input.asked(&network), &state, step);
                match level.bit {
                    Bit::Unknown => return Some(told()),
                    Bit::Low | Bit::High if thin.is_none() => thin = Some(told()),
                    Bit::Low | Bit::High => {}
                }
            }
        }
    }
    thin
}

/// Everything that some outputs can do together. One that lets go does so only while another holds the line, or
/// nothing does: both are tried.
fn combinations(circuit: &Circuit, outputs: &BTreeSet<usize>) -> Vec<Vec<(usize, Drive)>> {
    let mut found = vec![Vec::new()];
    for output in outputs {
        let drives = circuit.drives_of(*output);
        found = found
            .into_iter()
            .flat_map(|so_far: Vec<(usize, Drive)>| {
                drives.iter().map(move |drive| so_far.iter().copied().chain([(*output, *drive)]).collect())
            })
            .collect();
    }
    found
}

fn tell(
    assembly: &Assembly,
    input: &Input,
    leg: Leg,
    level: &Level,
    network: &Spread,
    state: &State,
    step: &str,
) -> Finding {
    let pressed = in_order(assembly, state);
    let when = while_pressed(&pressed);
    let [low, high] = level.volts;
    let of_transistor = is_of_transistor(leg);
    let (Some(low), Some(high)) = (low, high) else {
        let text = format!("the input `{leg}` is held by nothing {when}");
        let remedy = if of_transistor {
            "tie it to the leg that the transistor stands on, with 10 kΩ or so"
        } else {
            "tie it to the chip's ground or supply, or give it a pull-up"
        };
        return Finding::new(Code::ReadFloating, Severity::Fail, text)
            .at([leg])
            .when(pressed, step)
            .remedy(remedy);
    };
    let bound = |extreme| network.bound(input.node, extreme).ok().and_then(|bound| bound.attained);
    let reach = [bound(Extreme::Lowest).unwrap_or(low), bound(Extreme::Highest).unwrap_or(high)];
    if of_transistor && level.bit == Bit::Unknown {
        let reach = reach.map(|volts| within_sources(assembly, volts));
        return unsure(leg, input, reach, &when).when(pressed, step);
    }
    let Thresholds { low, high } = input.guaranteed;
    let told = format!("; every part takes up to {low} for low and from {high} for high");
    let (severity, what) = match level.bit {
        Bit::Unknown => (Severity::Fail, "stands neither low nor high for certain"),
        Bit::Low => (Severity::Thin, "is low for a typical part only"),
        Bit::High => (Severity::Thin, "is high for a typical part only"),
    };
    let text = format!("the input `{leg}` {what} {when}: {} to {}{told}", reach[0], reach[1]);
    Finding::new(if level.bit == Bit::Unknown { Code::ReadMissed } else { Code::ReadThin }, severity, text)
        .at([leg])
        .when(pressed, step)
        .figures([Figure::volts("from_volts", reach[0]), Figure::volts("to_volts", reach[1])])
        .remedy("a stronger pull-up, an output that drives harder, or a chip with other thresholds")
}

/// Two outputs on one net that can drive against each other.
fn shared_outputs(circuit: &Circuit) -> Vec<Finding> {
    let mut findings = Vec::new();
    let mut places: Vec<(usize, Leg, BTreeSet<Node>)> = Vec::new();
    for chip in circuit.chips() {
        for (number, place) in &chip.outputs {
            let drives = circuit.drives_of(*place);
            // An output that can be off may share its line; whether it does so rightly the levels tell.
            if drives.contains(&Drive::Off) || !drives.contains(&Drive::High) {
                continue;
            }
            let Some(node) = circuit.node(chip.leg(*number)) else { continue };
            places.push((*place, chip.leg(*number), circuit.surroundings(node).nodes));
        }
    }
    for (at, (_, leg, nodes)) in places.iter().enumerate() {
        for (_, other, _) in places.iter().skip(at + 1) {
            if circuit.node(*other).is_some_and(|node| nodes.contains(&node)) {
                let text =
                    format!("the outputs `{leg}` and `{other}` drive the same line, one against the other");
                let remedy = "join one of them only, or take chips whose outputs can let go";
                let found = Finding::new(Code::DriveFight, Severity::Harm, text);
                findings.push(found.at([*leg, *other]).remedy(remedy));
            }
        }
    }
    findings
}

/// Clocks that move each other without end, and gates in a ring that come to no rest.
fn restless(assembly: &Assembly, script: &Script<'_>, moving: &Moving) -> Vec<Finding> {
    let [none, _] = moving.controls(&moving.nearest(&moving.whole(), &State::new()));
    let run = script.run(&none, &State::new());
    let mut findings = Vec::new();
    if let Some(at) = script.oscillates_at() {
        let step = script.steps().nth(at).map_or("", |(_, step)| step.name.as_str());
        let text = format!("clocks move each other without end in the step `{step}`");
        let remedy = "no clock may follow from an output that it moves itself";
        let found = Finding::new(Code::TimingOscillates, Severity::Fail, text);
        findings.push(found.when(in_order(assembly, &none), step).remedy(remedy));
    }
    let Some((settled, (at, step))) = run.settled.last().zip(script.steps().last()) else { return findings };
    let circuit = script.circuit(at);
    let unknown = |output: usize| settled.drives.get(output) == Some(&Drive::Unknown);
    let gates: Vec<(&[usize], usize)> = circuit.logic().gates().collect();
    for (_, output) in &gates {
        // From an unknown output back through unknown ones: whoever comes to itself is in a ring.
        let mut seen = BTreeSet::new();
        let mut open = vec![*output];
        let mut is_ring = false;
        while let Some(own) = open.pop() {
            let inputs =
                gates.iter().filter(|(_, output)| *output == own).flat_map(|(inputs, _)| inputs.iter());
            for input in inputs {
                let round = circuit.surroundings(circuit.logic().inputs()[*input].node);
                for before in round.outputs.into_iter().filter(|before| unknown(*before)) {
                    is_ring |= before == *output;
                    if seen.insert(before) {
                        open.push(before);
                    }
                }
            }
        }
        if is_ring && unknown(*output) {
            let leg = leg_of(circuit, *output);
            let told = leg.map_or_else(|| "a chip's output".to_owned(), |leg| format!("`{leg}`"));
            let text =
                format!("{told} follows from itself through gates and comes to no rest that is certain");
            let remedy = "open the ring: an output may not lead back to its own inputs";
            let found = Finding::new(Code::TimingOscillates, Severity::Fail, text);
            findings.push(found.at(leg).when(in_order(assembly, &none), &step.name).remedy(remedy));
            break;
        }
    }
    findings
}

fn leg_of(circuit: &Circuit, output: usize) -> Option<Leg> {
    let of_chip = circuit.chips().iter().find_map(|chip| {
        let (number, _) = chip.outputs.iter().find(|(_, place)| **place == output)?;
        Some(chip.leg(*number))
    });
    let is_own = |transistor: &&Transistor| transistor.output == Some(output);
    let of_transistor = circuit.transistors().iter().find(is_own);
    of_chip.or_else(|| of_transistor.map(|transistor| transistor.leg(PartId::COLLECTOR)))
}
