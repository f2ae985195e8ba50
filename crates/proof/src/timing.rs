//! A run of the machine's reading with some controls pressed, line by line: what a timing diagram shows.

use std::collections::BTreeSet;

use solderside_circuit::logic::{Bit, Drive, Input, Level as InputLevel, Thresholds};
use solderside_circuit::{Node, Spread};
use solderside_lead::{Assembly, Circuit, Leg, State, Unbuilt};
use solderside_profile::{Action, ActiveLevel, Control, InputCircuit, Level, PortRole, Step};
use solderside_quantity::{Seconds, Triple};
use solderside_trade::{ContactId, LegRole};

use crate::axes::{AxisProof, axes};
use crate::cases::Moving;
use crate::readings::in_order;
use crate::script::Script;

/// A run of the machine's reading.
#[derive(Debug, Clone, PartialEq)]
pub struct Timing {
    /// The controls that are pressed, in the controller's order.
    pub pressed: Vec<Control>,
    /// The steps.
    pub steps: Vec<TimingStep>,
    /// The lines: those that the machine drives, the outputs of chips on the way, those that it reads.
    pub lines: Vec<TimingLine>,
    /// The axes, whatever is pressed: the machine measures them by their times and not in a step.
    pub axes: Vec<AxisProof>,
}

/// One step of the reading.
#[derive(Debug, Clone, PartialEq)]
pub struct TimingStep {
    /// Its name.
    pub name: String,
    /// How long the machine waits before it reads, if that is known.
    pub hold: Option<Triple<Seconds>>,
}

/// A line over all steps.
#[derive(Debug, Clone, PartialEq)]
pub struct TimingLine {
    /// Where it is seen.
    pub leg: Leg,
    /// What is there: `select`, `CD4021 Q8`, `up`.
    pub function: String,
    /// What it is to the machine.
    pub kind: LineKind,
    /// Its level in each step, settled.
    pub levels: Vec<LineLevel>,
    /// What the machine reads from it in each step.
    pub reads: Vec<Option<LineRead>>,
}

/// What a line is to the machine.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum LineKind {
    /// The machine drives it.
    Driven,
    /// A chip drives it.
    Output,
    /// The machine reads it.
    Read,
}

/// Where a settled line is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum LineLevel {
    /// Low for certain.
    Low,
    /// High for certain.
    High,
    /// Who drives it has let go.
    LetGo,
    /// Any of these, or something between.
    Unknown,
}

/// What the machine reads.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LineRead {
    /// The action that it reads; none where it expects a fixed level.
    pub action: Option<Action>,
    /// What comes of it: pressed, or the level that is expected; none if that is not certain.
    pub answer: Option<bool>,
}

/// Runs the machine's reading once, from the first step on, with nothing known of what registers held before.
///
/// # Errors
/// Says which value of a profile cannot be an element's.
pub fn timing(assembly: &Assembly, pressed: &State) -> Result<Timing, Unbuilt> {
    let script = Script::of(assembly)?;
    let shown: Vec<(Leg, LineKind)> = shown(assembly, &script);
    let mut lines: Vec<TimingLine> = shown
        .into_iter()
        .map(|(leg, kind)| TimingLine {
            leg,
            function: function(assembly, &script, leg),
            kind,
            levels: Vec::new(),
            reads: Vec::new(),
        })
        .collect();
    let mut steps = Vec::new();
    for (at, step) in script.steps() {
        let circuit = script.circuit(at);
        let network = script.network(at, pressed, &State::new());
        let drives = script.has_logic().then(|| script.run(pressed, &State::new()));
        for line in &mut lines {
            let (level, read) = match line.kind {
                LineKind::Driven => (driven(step, line.leg.contact), None),
                LineKind::Output => {
                    let place = place_of(circuit, line.leg);
                    let settled = drives.as_ref().and_then(|run| run.settled.get(at));
                    let drive = settled.zip(place).and_then(|(settled, place)| settled.drives.get(place));
                    (drive.map_or(LineLevel::Unknown, |drive| driven_by_chip(*drive)), None)
                }
                LineKind::Read => {
                    let bit = bit(assembly, circuit, &network, line.leg);
                    let level = match bit {
                        Bit::Low => LineLevel::Low,
                        Bit::High => LineLevel::High,
                        Bit::Unknown => LineLevel::Unknown,
                    };
                    (level, read(assembly, step, line.leg, bit))
                }
            };
            line.levels.push(level);
            line.reads.push(read);
        }
        steps.push(TimingStep { name: step.name.clone(), hold: step.hold });
    }
    let axes = axes(assembly, &script, &Moving::of(assembly)).proofs;
    Ok(Timing { pressed: in_order(assembly, pressed), steps, lines, axes })
}

/// Runs the machine's reading once, as [`timing`] does, and returns only what the machine takes from its lines: for each line
/// and step the action, and whether it is active, if that is certain.
///
/// # Errors
/// As [`timing`].
pub fn answers(assembly: &Assembly, pressed: &State) -> Result<Vec<(Leg, LineRead)>, Unbuilt> {
    let script = Script::of(assembly)?;
    let lines: Vec<Leg> = lines_of(assembly, LineKind::Read);
    let mut answers = Vec::new();
    for (at, step) in script.steps() {
        let circuit = script.circuit(at);
        let network = script.network(at, pressed, &State::new());
        for leg in &lines {
            let bit = bit(assembly, circuit, &network, *leg);
            answers.extend(read(assembly, step, *leg, bit).map(|read| (*leg, read)));
        }
    }
    Ok(answers)
}

/// The lines that are worth showing.
fn shown(assembly: &Assembly, script: &Script<'_>) -> Vec<(Leg, LineKind)> {
    let of = |kind: LineKind| lines_of(assembly, kind).into_iter().map(move |leg| (leg, kind));
    let read = lines_of(assembly, LineKind::Read);
    let outputs = on_the_way(script, read.into_iter());
    let outputs = outputs.into_iter().map(|leg| (leg, LineKind::Output));
    of(LineKind::Driven).chain(outputs).chain(of(LineKind::Read)).collect()
}

/// The contacts that the machine drives, or reads and that are joined.
fn lines_of(assembly: &Assembly, kind: LineKind) -> Vec<Leg> {
    let joined = |id: &ContactId| assembly.lead.joined(Leg::port(*id)).next().is_some();
    let contacts = assembly.port.contacts.iter().filter(|(id, contact)| {
        let own = match contact.role {
            PortRole::Drive(_) => Some(LineKind::Driven),
            PortRole::Action { .. } | PortRole::Data { .. } => Some(LineKind::Read),
            PortRole::Sense { .. }
            | PortRole::Axis(_)
            | PortRole::Supply(_)
            | PortRole::Fed(_)
            | PortRole::Signal(_)
            | PortRole::Return
            | PortRole::Pot
            | PortRole::Unused => None,
        };
        own == Some(kind) && (kind == LineKind::Driven || joined(id))
    });
    contacts.map(|(id, _)| Leg::port(*id)).collect()
}

/// The outputs of chips that lead to a contact of the machine, directly or through others.
fn on_the_way(script: &Script<'_>, read: impl Iterator<Item = Leg>) -> BTreeSet<Leg> {
    let mut found = BTreeSet::new();
    let Some((_, circuit)) = script.distinct().next() else { return found };
    let mut open: Vec<Node> = read.filter_map(|leg| circuit.node(leg)).collect();
    let mut seen: BTreeSet<Node> = open.iter().copied().collect();
    while let Some(node) = open.pop() {
        let round = circuit.surroundings(node);
        for chip in circuit.chips() {
            let own = chip.outputs.iter().filter(|(_, place)| round.outputs.contains(place));
            let is_output =
                |number| chip.part.sheet().leg(number).is_some_and(|leg| leg.role == LegRole::Output);
            found.extend(own.filter(|(number, _)| is_output(**number)).map(|(number, _)| chip.leg(*number)));
        }
        for (inputs, outputs) in circuit.logic().ways() {
            if outputs.iter().any(|output| round.outputs.contains(output)) {
                let nodes = inputs.iter().map(|input| circuit.logic().inputs()[*input].node);
                open.extend(nodes.filter(|node| seen.insert(*node)));
            }
        }
    }
    found
}

/// What a leg is for; a leg of a chip inside a controller has its sheet's name.
fn function(assembly: &Assembly, script: &Script<'_>, leg: Leg) -> String {
    let chips = script.distinct().next().map_or(&[][..], |(_, circuit)| circuit.chips());
    let inside = chips.iter().find(|chip| chip.end == leg.end);
    match (inside, leg.contact) {
        (Some(chip), ContactId::Number(number)) => {
            let name = chip.part.sheet().leg(number).map_or("", |leg| leg.name);
            format!("{} {name}", chip.part)
        }
        (_, _) => assembly.function(leg),
    }
}

fn place_of(circuit: &Circuit, leg: Leg) -> Option<usize> {
    let chip = circuit.chips().iter().find(|chip| chip.end == leg.end)?;
    let ContactId::Number(number) = leg.contact else { return None };
    chip.outputs.get(&number).copied()
}

fn driven(step: &Step, contact: ContactId) -> LineLevel {
    match step.drives.get(&contact) {
        Some(Level::Low) => LineLevel::Low,
        Some(Level::High) => LineLevel::High,
        Some(Level::Released) | None => LineLevel::LetGo,
    }
}

const fn driven_by_chip(drive: Drive) -> LineLevel {
    match drive {
        Drive::Low => LineLevel::Low,
        Drive::High => LineLevel::High,
        Drive::Off => LineLevel::LetGo,
        Drive::Unknown => LineLevel::Unknown,
    }
}

/// The level that the machine finds at a contact.
fn bit(assembly: &Assembly, circuit: &Circuit, network: &Spread, leg: Leg) -> Bit {
    let (Some(node), Some(input)) = (circuit.node(leg), assembly.port.input_of(leg.contact)) else {
        return Bit::Unknown;
    };
    let levels = input.family.levels_at(assembly.port.rail);
    let input = Input {
        node,
        guaranteed: Thresholds { low: levels.low_guaranteed.value, high: levels.high_guaranteed.value },
        typical: Thresholds { low: levels.low_typical.value, high: levels.high_typical.value },
        instead: Vec::new(),
    };
    if !network.is_held(node) {
        return Bit::Unknown;
    }
    InputLevel::of(network, &input).map_or(Bit::Unknown, |level| level.bit)
}

/// What the machine takes a level for.
fn read(assembly: &Assembly, step: &Step, leg: Leg, bit: Bit) -> Option<LineRead> {
    if let Some(expected) = step.expects.get(&leg.contact) {
        let expected = match expected {
            Level::Low => Bit::Low,
            Level::High => Bit::High,
            Level::Released => return None,
        };
        let answer = (bit != Bit::Unknown).then_some(bit == expected);
        return Some(LineRead { action: None, answer });
    }
    let (_, action) = assembly.port.samples(step).into_iter().find(|(id, _)| *id == leg.contact)?;
    let active = assembly.port.input_of(leg.contact).map(InputCircuit::active_level)?;
    let answer = match (bit, active) {
        (Bit::Low, ActiveLevel::Low) | (Bit::High, ActiveLevel::High) => Some(true),
        (Bit::Low, ActiveLevel::High) | (Bit::High, ActiveLevel::Low) => Some(false),
        (Bit::Unknown, ActiveLevel::Low | ActiveLevel::High) => None,
    };
    Some(LineRead { action: Some(action.clone()), answer })
}

impl LineKind {
    /// The word of screens and files.
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::Driven => "driven",
            Self::Output => "output",
            Self::Read => "read",
        }
    }
}

impl LineLevel {
    /// The word of screens and files.
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::Low => "low",
            Self::High => "high",
            Self::LetGo => "let-go",
            Self::Unknown => "unknown",
        }
    }
}
