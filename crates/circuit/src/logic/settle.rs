//! A network with logic blocks in it, settled from one moment to the next.
//!
//! Settling begins with every gate's output unknown: an element that covers all that the output can do. From
//! the guaranteed bounds of the inputs' nodes follow the levels that are certain, from these the outputs that
//! are, and with them the network has narrower bounds: until nothing changes. Each round only adds to what is
//! certain, so it ends, and what it ends with holds whatever the order in which the chips answered: also for
//! loops of gates, of which what does not settle stays unknown.
//!
//! Registers and counters hold what they held until the new levels of all lines are settled; then those whose
//! clocks moved take what their inputs were before and are now, as far as both agree. Their outputs may move
//! further clocks, so this is done until none moves.
//!
//! A clock that follows from gates may move more than once while its inputs change one after the other. So the
//! network is settled once more with all that changes unknown: a clock that stays certain did not move, one
//! that ends where it began may have moved, and one that changed along a single way moved once.
//!
//! A counter that comes from zero is settled into the first moment in the same way: from lines that stand anyhow.

use std::borrow::Cow;
use std::collections::{BTreeMap, BTreeSet};
use std::rc::Rc;

use solderside_quantity::Volts;

use super::{Bit, Counter, Drive, Register, Table};
use crate::bounds::{Extreme, Spread, Uncertain};
use crate::network::{ElementId, Node};
use crate::solve::Unsolvable;

/// Rounds of clocks that move further clocks: a chain of counters is not longer.
const MOST_ROUNDS: usize = 64;

/// A level of which nothing is known.
const NOTHING: Level = Level { bit: Bit::Unknown, is_guaranteed: false, volts: [None; 2] };

/// The voltages that divide low from high, against the network's ground.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Thresholds {
    /// Low is no more than this.
    pub low: Volts,
    /// High is no less than this.
    pub high: Volts,
}

/// An input of a block.
#[derive(Debug, Clone, PartialEq)]
pub struct Input {
    /// Where it is.
    pub node: Node,
    /// What every part keeps, with what is to spare.
    pub guaranteed: Thresholds,
    /// What a typical part keeps.
    pub typical: Thresholds,
    /// What stands in the place of some of the network's elements while it is read.
    pub instead: Vec<Instead>,
}

/// What an input asks of the network in the place of one of its elements.
///
/// What it is read against may move with other known voltages, as an emitter does with its supply: then it is read
/// with all of them at that end of their range at which both are furthest apart.
///
/// A base that conducts clamps its own voltage, from which nothing follows. So its junction is taken out and
/// replaced by the current that it must take. If the node still stands above what the junction drops at that
/// current, then the junction takes it: the less the rest of the network gives the higher the node stands, and it
/// gives as much at that voltage.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Instead {
    /// The element.
    pub element: ElementId,
    /// What stands there.
    pub by: Uncertain,
}

/// An output of a block, or a switch that a block closes.
#[derive(Debug, Clone, PartialEq)]
pub struct Output {
    /// What it is while it drives low; nothing of a switch that never does.
    pub low: Vec<Uncertain>,
    /// What it is while it drives high; a switch that is closed.
    pub high: Vec<Uncertain>,
    /// What it is while it is off, if that is more than nothing: a leak.
    pub off: Vec<Uncertain>,
    /// What covers all that it can be.
    pub either: Vec<Uncertain>,
}

/// How an input reads.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Level {
    /// The level that a typical part reads.
    pub bit: Bit,
    /// Whether every part reads it so, with what is to spare.
    pub is_guaranteed: bool,
    /// Its node's lowest and highest voltage, never passed; none where nothing holds it.
    pub volts: [Option<Volts>; 2],
}

/// What a block does, with the places of its inputs.
#[derive(Debug, Clone, PartialEq)]
enum Block {
    Gate { table: Table, inputs: Vec<usize>, output: usize },
    Register { register: Register, inputs: Vec<usize>, stages: Stages },
    Counter { counter: Counter, inputs: Vec<usize>, stages: Stages },
}

/// What shows a stage: the output, the stage, and whether it shows the opposite.
type Stages = Vec<(usize, usize, bool)>;

/// What the registers and the counters hold, block by block.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct Memory(Vec<Vec<Bit>>);

/// Blocks between nodes of a network.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Logic {
    inputs: Vec<Input>,
    outputs: Vec<Output>,
    blocks: Vec<Block>,
}

/// A settled moment.
#[derive(Debug, Clone)]
pub struct Settled {
    /// The network with every output as it is.
    pub network: Rc<Spread>,
    /// How each input reads.
    pub levels: Vec<Level>,
    /// What each output does.
    pub drives: Vec<Drive>,
    /// What is held.
    pub memory: Memory,
    /// Whether an input was certain while no gate's output was.
    sure: Vec<bool>,
}

/// A network without the blocks' outputs, with a number that it shares with no other of the same [`Memo`].
#[derive(Debug, Clone, Copy)]
pub struct Numbered<'n> {
    /// Its number.
    pub number: usize,
    /// The network.
    pub network: &'n Spread,
}

/// The networks of a moment.
#[derive(Debug, Clone, Copy)]
pub struct Settling<'n> {
    /// With all lines as they are now.
    pub now: Numbered<'n>,
    /// The same with each line that changed as anything that it can be.
    pub moving: Numbered<'n>,
}

/// What was settled so far: a clock makes the same network settle with the same memory again and again.
#[derive(Debug, Default)]
pub struct Memo(BTreeMap<(usize, Memory, BTreeSet<usize>), Settled>);

/// Why a moment could not be settled.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum Unsettled {
    /// The network has no solution.
    #[error(transparent)]
    Unsolvable(#[from] Unsolvable),
    /// Clocks go on moving each other; the outputs that did not come to rest.
    #[error("clocks move each other without end")]
    Oscillates(Vec<usize>),
}

impl Logic {
    /// No blocks.
    #[must_use]
    pub fn new() -> Self {
        Self::default()
    }

    /// Whether there are no blocks.
    pub const fn is_empty(&self) -> bool {
        self.blocks.is_empty()
    }

    /// Takes an input; what comes back is its place.
    pub fn input(&mut self, input: Input) -> usize {
        self.inputs.push(input);
        self.inputs.len() - 1
    }

    /// Takes an output; what comes back is its place.
    pub fn output(&mut self, output: Output) -> usize {
        self.outputs.push(output);
        self.outputs.len() - 1
    }

    /// Takes a gate, or a switch that an input closes, whose table drives high for closed.
    pub fn gate(&mut self, table: Table, inputs: Vec<usize>, output: usize) {
        self.blocks.push(Block::Gate { table, inputs, output });
    }

    /// Takes a register with its inputs in the order in which it reads them.
    pub fn register(&mut self, register: Register, inputs: Vec<usize>, stages: Stages) {
        self.blocks.push(Block::Register { register, inputs, stages });
    }

    /// Takes a counter with its inputs in the order in which it reads them.
    pub fn counter(&mut self, counter: Counter, inputs: Vec<usize>, stages: Stages) {
        self.blocks.push(Block::Counter { counter, inputs, stages });
    }

    /// The inputs.
    pub fn inputs(&self) -> &[Input] {
        &self.inputs
    }

    /// The outputs on which a block's answer appears when one of its inputs changes: the places of both.
    pub fn ways(&self) -> impl Iterator<Item = (&[usize], Vec<usize>)> {
        self.blocks.iter().map(|block| match block {
            Block::Gate { inputs, output, .. } => (inputs.as_slice(), vec![*output]),
            Block::Register { inputs, stages, .. } | Block::Counter { inputs, stages, .. } => {
                (inputs.as_slice(), stages.iter().map(|(output, ..)| *output).collect())
            }
        })
    }

    /// The gates: the places of their inputs, and of their output.
    pub fn gates(&self) -> impl Iterator<Item = (&[usize], usize)> {
        self.blocks.iter().filter_map(|block| match block {
            Block::Gate { inputs, output, .. } => Some((inputs.as_slice(), *output)),
            Block::Register { .. } | Block::Counter { .. } => None,
        })
    }

    /// The inputs whose edges count: clocks, and what loads or resets at once.
    pub fn clocks(&self) -> impl Iterator<Item = usize> {
        self.blocks.iter().flat_map(Block::controls)
    }

    /// The first moment, in which nobody knows what is held but for counters that come [from zero](Counter::from_zero).
    /// What moves into it are the lines as they may stand before: a count from zero may begin with that.
    ///
    /// # Errors
    /// As [`Spread::bound`].
    pub fn begin(&self, networks: Settling<'_>, memo: &mut Memo) -> Result<Settled, Unsettled> {
        let memory = self.at_first();
        let first = self.settle(networks.now, memory.clone(), memo)?;
        if memory == self.unknown() {
            // What loads or resets at once does so from the beginning.
            return self.go_on(first.clone(), first, networks.now, None, memo);
        }
        let before = self.settle(networks.moving, memory, memo)?;
        self.go_on(before.clone(), first, networks.now, Some(before), memo)
    }

    /// The next moment.
    ///
    /// # Errors
    /// As [`Spread::bound`], and where clocks move each other without end.
    pub fn next(
        &self,
        before: &Settled,
        networks: Settling<'_>,
        memo: &mut Memo,
    ) -> Result<Settled, Unsettled> {
        let settled = self.settle(networks.now, before.memory.clone(), memo)?;
        let needs_a_look = |at: usize| !(before.sure[at] && settled.sure[at]);
        let moving = if self.clocks().any(needs_a_look) {
            Some(self.settle(networks.moving, before.memory.clone(), memo)?)
        } else {
            None
        };
        self.go_on(before.clone(), settled, networks.now, moving, memo)
    }

    /// A moment of which nothing is known: every output may do anything.
    #[must_use]
    pub fn nothing_known(&self, network: &Spread) -> Settled {
        let drives = vec![Drive::Unknown; self.outputs.len()];
        Settled {
            network: Rc::new(self.with(network, &drives)),
            levels: vec![NOTHING; self.inputs.len()],
            drives,
            memory: self.unknown(),
            sure: vec![false; self.inputs.len()],
        }
    }

    /// What is held before the first moment.
    fn at_first(&self) -> Memory {
        self.held(|counter| if counter.from_zero { Bit::Low } else { Bit::Unknown })
    }

    /// What is held when nobody knows.
    fn unknown(&self) -> Memory {
        self.held(|_| Bit::Unknown)
    }

    fn held(&self, counted: impl Fn(&Counter) -> Bit) -> Memory {
        let held = |block: &Block| match block {
            Block::Gate { .. } => Vec::new(),
            Block::Register { register, .. } => vec![Bit::Unknown; register.stages],
            Block::Counter { counter, .. } => vec![counted(counter); counter.stages],
        };
        Memory(self.blocks.iter().map(held).collect())
    }

    fn go_on(
        &self,
        mut before: Settled,
        mut now: Settled,
        network: Numbered<'_>,
        mut moving: Option<Settled>,
        memo: &mut Memo,
    ) -> Result<Settled, Unsettled> {
        for _ in 0..MOST_ROUNDS {
            let memory = self.after(&before, &now, moving.as_ref());
            if memory == now.memory {
                return Ok(now);
            }
            let changed: BTreeSet<usize> = self.changed(&now.memory, &memory);
            let next = self.settle(network, memory, memo)?;
            let unsure = |at: usize| !(now.sure[at] && next.sure[at]);
            moving = if self.clocks().any(unsure) {
                Some(self.settle_with(network, next.memory.clone(), changed, memo)?)
            } else {
                None
            };
            before = now;
            now = next;
        }
        let memory = self.after(&before, &now, moving.as_ref());
        Err(Unsettled::Oscillates(self.changed(&now.memory, &memory).into_iter().collect()))
    }

    /// What is held after a change.
    fn after(&self, before: &Settled, now: &Settled, moving: Option<&Settled>) -> Memory {
        let bits = |moment: &Settled, inputs: &[usize]| -> Vec<Bit> {
            inputs.iter().map(|at| moment.levels[*at].bit).collect()
        };
        let after = |(block, held): (&Block, &Vec<Bit>)| {
            let clean =
                block.controls().into_iter().all(|control| self.is_clean(control, before, now, moving));
            match block {
                Block::Gate { .. } => Vec::new(),
                Block::Register { register, inputs, .. } => {
                    register.after(held, &bits(before, inputs), &bits(now, inputs), clean)
                }
                Block::Counter { counter, inputs, .. } => {
                    counter.after(held, &bits(before, inputs), &bits(now, inputs), clean)
                }
            }
        };
        Memory(self.blocks.iter().zip(&now.memory.0).map(after).collect())
    }

    /// Whether an input moved at most once.
    fn is_clean(&self, at: usize, before: &Settled, now: &Settled, moving: Option<&Settled>) -> bool {
        let Some(moving) = moving else { return true };
        let [was, is] = [before, now].map(|moment| moment.levels[at].bit);
        if moving.levels[at].bit != Bit::Unknown {
            return true;
        }
        was != is && self.is_single_way(at, moving, self.blocks.len())
    }

    /// Whether what moves an input comes to it along one way: at each gate on it one input moves.
    fn is_single_way(&self, at: usize, moving: &Settled, steps_left: usize) -> bool {
        let node = self.inputs[at].node;
        let moves_it = |block: &&Block| match block {
            Block::Gate { output, .. } => {
                moving.drives[*output] == Drive::Unknown && self.outputs[*output].touches(node)
            }
            Block::Register { .. } | Block::Counter { .. } => false,
        };
        let mut gates = self.blocks.iter().filter(moves_it);
        let (first, second) = (gates.next(), gates.next());
        match (first, second) {
            // A line of the machine or an output of a register: they move once.
            (None, _) => true,
            (Some(Block::Gate { inputs, .. }), None) if steps_left > 0 => {
                let mut moved = inputs.iter().filter(|at| moving.levels[**at].bit == Bit::Unknown);
                match (moved.next(), moved.next()) {
                    (Some(only), None) => self.is_single_way(*only, moving, steps_left - 1),
                    (_, _) => false,
                }
            }
            (Some(_), _) => false,
        }
    }

    /// The outputs of registers and counters that show something else.
    fn changed(&self, before: &Memory, after: &Memory) -> BTreeSet<usize> {
        let mut changed = BTreeSet::new();
        for ((block, was), is) in self.blocks.iter().zip(&before.0).zip(&after.0) {
            let differs = |stage: usize| was.get(stage) != is.get(stage);
            changed.extend(block.stages().iter().filter(|(_, stage, _)| differs(*stage)).map(|(at, ..)| *at));
        }
        changed
    }

    fn settle(&self, network: Numbered<'_>, memory: Memory, memo: &mut Memo) -> Result<Settled, Unsettled> {
        self.settle_with(network, memory, BTreeSet::new(), memo)
    }

    /// Settles with these outputs as anything that they can be, unless that was done before.
    fn settle_with(
        &self,
        network: Numbered<'_>,
        memory: Memory,
        anything: BTreeSet<usize>,
        memo: &mut Memo,
    ) -> Result<Settled, Unsettled> {
        let key = (network.number, memory, anything);
        if let Some(settled) = memo.0.get(&key) {
            return Ok(settled.clone());
        }
        let settled = self.settle_anew(network.network, key.1.clone(), &key.2)?;
        memo.0.insert(key, settled.clone());
        Ok(settled)
    }

    fn settle_anew(
        &self,
        network: &Spread,
        memory: Memory,
        anything: &BTreeSet<usize>,
    ) -> Result<Settled, Unsettled> {
        let mut drives = vec![Drive::Unknown; self.outputs.len()];
        for (block, held) in self.blocks.iter().zip(&memory.0) {
            for &(output, stage, inverted) in block.stages() {
                let bit = held.get(stage).copied().unwrap_or(Bit::Unknown);
                drives[output] = Drive::from(if inverted { bit.inverted() } else { bit });
            }
        }
        for at in anything {
            drives[*at] = Drive::Unknown;
        }
        let mut levels = vec![NOTHING; self.inputs.len()];
        let mut sure: Option<Vec<bool>> = None;
        loop {
            let with = self.with(network, &drives);
            let mut known = BTreeMap::new();
            for (level, input) in levels.iter_mut().zip(&self.inputs) {
                if level.is_guaranteed {
                    continue;
                }
                // What was certain stays so, also where narrower bounds are found by a rougher argument.
                let narrower = match input.volts_once(&with, &mut known) {
                    Ok(volts) => Level::at(volts, input),
                    // So much flows into a line that may be let go that it stands nowhere: it reads as it likes.
                    Err(Unsolvable::NoBalance { .. }) => NOTHING,
                    Err(other) => return Err(other.into()),
                };
                if level.bit == Bit::Unknown || narrower.bit != Bit::Unknown {
                    *level = narrower;
                }
            }
            sure.get_or_insert_with(|| levels.iter().map(|level| level.bit != Bit::Unknown).collect());
            let mut next = drives.clone();
            for block in &self.blocks {
                if let Block::Gate { table, inputs, output } = block
                    && !anything.contains(output)
                {
                    let bits: Vec<Bit> = inputs.iter().map(|at| levels[*at].bit).collect();
                    next[*output] = table.output(&bits);
                }
            }
            if next == drives {
                let sure = sure.unwrap_or_default();
                return Ok(Settled { network: Rc::new(with), levels, drives, memory, sure });
            }
            drives = next;
        }
    }

    /// The network with the outputs in it.
    fn with(&self, network: &Spread, drives: &[Drive]) -> Spread {
        // What lowers a chip has tried each of them.
        let outputs = self.outputs.iter().zip(drives);
        network.with_more(outputs.flat_map(|(output, drive)| output.elements(*drive)))
    }
}

impl Block {
    /// The inputs whose movement counts.
    fn controls(&self) -> Vec<usize> {
        match self {
            Self::Gate { .. } => Vec::new(),
            Self::Register { register, inputs, .. } => {
                let load = (!register.load_at_clock).then(|| inputs.get(1)).flatten();
                load.into_iter().chain(inputs.iter().skip(register.before_clocks())).copied().collect()
            }
            Self::Counter { inputs, .. } => inputs.clone(),
        }
    }

    fn stages(&self) -> &[(usize, usize, bool)] {
        match self {
            Self::Gate { .. } => &[],
            Self::Register { stages, .. } | Self::Counter { stages, .. } => stages,
        }
    }
}

impl Input {
    /// The network in which it is read.
    pub fn asked<'n>(&self, network: &'n Spread) -> Cow<'n, Spread> {
        if self.instead.is_empty() {
            return Cow::Borrowed(network);
        }
        Cow::Owned(network.replaced(self.instead.iter().map(|instead| (instead.element, instead.by))))
    }

    /// Its node's lowest and highest voltage, never passed; none where nothing holds it.
    fn volts(&self, network: &Spread) -> Result<[Option<Volts>; 2], Unsolvable> {
        let asked = self.asked(network);
        let bound = |extreme| match asked.bound(self.node, extreme) {
            Ok(bound) => Ok(bound.guaranteed),
            // What floats reads as it likes.
            Err(Unsolvable::Floating { .. }) => Ok(None),
            Err(other) => Err(other),
        };
        Ok([bound(Extreme::Lowest)?, bound(Extreme::Highest)?])
    }

    /// The same, where `known` has what other inputs at the same node found.
    fn volts_once(
        &self,
        network: &Spread,
        known: &mut BTreeMap<Node, [Option<Volts>; 2]>,
    ) -> Result<[Option<Volts>; 2], Unsolvable> {
        if !self.instead.is_empty() {
            return self.volts(network);
        }
        if let Some(volts) = known.get(&self.node) {
            return Ok(*volts);
        }
        let volts = self.volts(network)?;
        known.insert(self.node, volts);
        Ok(volts)
    }
}

impl Output {
    /// What it is while it does this.
    #[must_use]
    pub fn elements(&self, drive: Drive) -> &[Uncertain] {
        match drive {
            Drive::Low => &self.low,
            Drive::High => &self.high,
            Drive::Off => &self.off,
            Drive::Unknown => &self.either,
        }
    }

    fn touches(&self, node: Node) -> bool {
        self.either.iter().any(|element| element.touches(node))
    }
}

impl Level {
    /// Reads an input in a network.
    ///
    /// # Errors
    /// As [`Spread::bound`].
    pub fn of(network: &Spread, input: &Input) -> Result<Self, Unsolvable> {
        Ok(Self::at(input.volts(network)?, input))
    }

    /// Reads an input between these voltages.
    fn at([low, high]: [Option<Volts>; 2], input: &Input) -> Self {
        let reads = |thresholds: Thresholds| match (low, high) {
            (_, Some(high)) if high <= thresholds.low => Bit::Low,
            (Some(low), _) if low >= thresholds.high => Bit::High,
            (_, _) => Bit::Unknown,
        };
        let (guaranteed, typical) = (reads(input.guaranteed), reads(input.typical));
        let is_guaranteed = guaranteed != Bit::Unknown;
        Self { bit: if is_guaranteed { guaranteed } else { typical }, is_guaranteed, volts: [low, high] }
    }
}
