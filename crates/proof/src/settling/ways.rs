//! From what the machine moves through lines and chips to where it reads: how long that takes.

use std::cell::RefCell;
use std::collections::{BTreeMap, BTreeSet};

use solderside_circuit::Node;
use solderside_circuit::logic::{Input, Thresholds};
use solderside_lead::{Chip, Leg, PartId, Transistor};
use solderside_quantity::{Seconds, Volts};
use solderside_trade::{Block, LegNumber};

use super::lines::{Lines, Reader, Slow, Takes, Values};
use crate::readings::TO_SPARE;

/// When a line is settled, counted from the beginning of the step.
#[derive(Debug, Clone)]
pub(crate) enum Arrival {
    /// At the latest after this.
    Within(Within),
    /// Nobody knows.
    Open(Leg),
}

/// A time with the longest of its parts.
#[derive(Debug, Clone)]
pub(crate) struct Within {
    pub(crate) seconds: Seconds,
    /// What chips take of it.
    pub(crate) chips: Seconds,
    /// The line that takes longest, if one does.
    pub(crate) slowest: Option<(Leg, Node, Slow)>,
}

/// A way through a chip: what moves an output.
struct Through {
    output: usize,
    /// The inputs that move it, with their legs.
    inputs: Vec<(usize, Leg)>,
    delay: Seconds,
}

/// The ways of one step.
pub(crate) struct Ways<'w> {
    pub(crate) lines: Lines<'w>,
    moved: BTreeSet<Node>,
    through: Vec<Through>,
    /// The outputs that can move.
    outputs: BTreeSet<usize>,
    known: RefCell<BTreeMap<Node, Option<Arrival>>>,
}

impl<'w> Ways<'w> {
    pub(crate) fn of(lines: Lines<'w>, values: Values, moved: BTreeSet<Node>) -> Self {
        let circuit = lines.circuit;
        let switches = circuit.transistors().iter().filter_map(|transistor| switched(transistor, values));
        let through = circuit.chips().iter().flat_map(|chip| through(chip, values)).chain(switches).collect();
        let known = RefCell::default();
        let mut ways = Self { lines, moved, through, outputs: BTreeSet::new(), known };
        loop {
            let inputs = ways.lines.circuit.logic().inputs();
            let moves = |through: &&Through| {
                !ways.outputs.contains(&through.output)
                    && through.inputs.iter().any(|(input, _)| ways.moves(inputs[*input].node))
            };
            let more: Vec<usize> = ways.through.iter().filter(moves).map(|through| through.output).collect();
            if more.is_empty() {
                return ways;
            }
            ways.outputs.extend(more);
        }
    }

    /// Whether a line can move in this step without a switch.
    pub(crate) fn moves(&self, node: Node) -> bool {
        let round = self.lines.round(node);
        !round.nodes.is_disjoint(&self.moved) || !round.outputs.is_disjoint(&self.outputs)
    }

    /// What reads an input of a chip or a transistor.
    pub(crate) fn input(&self, place: usize) -> Reader {
        let circuit = self.lines.circuit;
        let input: &Input = &circuit.logic().inputs()[place];
        let Thresholds { low, high } = input.guaranteed;
        let is_transistor = circuit.transistors().iter().any(|own| own.input == Some(place));
        // What a chip's threshold has to spare is in it already.
        let spare = if is_transistor { Volts::ZERO } else { TO_SPARE };
        let guaranteed = Thresholds { low: low + spare, high: high - spare };
        Reader { node: input.node, guaranteed, typical: input.typical, spare, instead: input.instead.clone() }
    }

    /// When a line is settled; none if it does not move, or comes to no level.
    pub(crate) fn arrival(&self, reader: &Reader, leg: Leg) -> Option<Arrival> {
        self.arrival_after(reader, leg, &mut Vec::new())
    }

    fn arrival_after(&self, reader: &Reader, leg: Leg, before: &mut Vec<usize>) -> Option<Arrival> {
        if !self.moves(reader.node) {
            return None;
        }
        if let Some(known) = self.known.borrow().get(&reader.node) {
            return known.clone();
        }
        let own = match self.lines.takes(reader) {
            Takes::Seconds(slow) => slow,
            Takes::NoLevel => return None,
            Takes::Open => return Some(Arrival::Open(leg)),
        };
        let round = self.lines.round(reader.node);
        let mut latest = Within { seconds: Seconds::ZERO, chips: Seconds::ZERO, slowest: None };
        let mut in_a_ring = false;
        for through in self.through.iter().filter(|through| round.outputs.contains(&through.output)) {
            // What follows from itself is told as such: it is waited for once.
            if before.contains(&through.output) {
                in_a_ring = true;
                continue;
            }
            before.push(through.output);
            for (place, leg) in &through.inputs {
                match self.arrival_after(&self.input(*place), *leg, before) {
                    Some(Arrival::Open(leg)) => return Some(Arrival::Open(leg)),
                    Some(Arrival::Within(within)) if within.seconds + through.delay > latest.seconds => {
                        latest = Within {
                            seconds: within.seconds + through.delay,
                            chips: within.chips + through.delay,
                            slowest: within.slowest,
                        };
                    }
                    Some(Arrival::Within(_)) | None => {}
                }
            }
            before.pop();
        }
        let seconds = latest.seconds + own.seconds;
        let is_slower = |(_, _, slow): &(Leg, Node, Slow)| slow.seconds >= own.seconds;
        let slowest = latest.slowest.filter(is_slower).or(Some((leg, reader.node, own)));
        let arrival = Some(Arrival::Within(Within { seconds, chips: latest.chips, slowest }));
        if !in_a_ring && before.is_empty() {
            self.known.borrow_mut().insert(reader.node, arrival.clone());
        }
        arrival
    }
}

/// The way through a transistor.
fn switched(transistor: &Transistor, values: Values) -> Option<Through> {
    let delay = transistor.part.sheet().delay.value;
    let delay = match values {
        Values::Worst => delay.high(),
        Values::Typical => delay.typical(),
    };
    let inputs = vec![(transistor.input?, transistor.leg(PartId::BASE))];
    Some(Through { output: transistor.output?, inputs, delay })
}

/// The ways through a chip.
fn through(chip: &Chip, values: Values) -> Vec<Through> {
    let sheet = chip.part.sheet();
    let delay = match values {
        Values::Worst => sheet.delay.value.high(),
        Values::Typical => sheet.delay.value.typical(),
    };
    let way = |output: LegNumber, inputs: Vec<LegNumber>| -> Option<Through> {
        let inputs = inputs.into_iter().filter_map(|leg| Some((*chip.inputs.get(&leg)?, chip.leg(leg))));
        Some(Through { output: *chip.outputs.get(&output)?, inputs: inputs.collect(), delay })
    };
    let ways = sheet.blocks.iter().flat_map(|block| match block {
        Block::Gate(gate) => vec![way(gate.output, gate.inputs.to_vec())],
        Block::Switch(switch) => vec![way(switch.sides[0], vec![switch.control])],
        Block::Register(register) => {
            // While it loads at once, its outputs follow its parallel inputs.
            let parallel = if register.load_at_clock { &[][..] } else { register.parallel };
            let inputs: Vec<LegNumber> =
                register.clocks.iter().chain(parallel).copied().chain([register.load]).collect();
            register.outputs.iter().map(|output| way(output.leg, inputs.clone())).collect()
        }
        Block::Counter(counter) => {
            let inputs = vec![counter.clock, counter.reset];
            counter.outputs.iter().map(|output| way(output.leg, inputs.clone())).collect()
        }
    });
    ways.flatten().collect()
}
