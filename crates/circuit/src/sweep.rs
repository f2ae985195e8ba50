//! All states of a network's switches, each for the price of a few vector operations.
//!
//! The states are counted in binary, so that each comes from one met before by closing a switch. That
//! adds a conductance between two nodes, and every voltage changes by a multiple of the response `z` to an
//! ampere pushed through that pair of nodes:
//!
//! ```text
//! v' = v − z (v·d) / (R + z·d),        d = +1 at one node, −1 at the other
//! ```
//!
//! The responses of the switches that are counted faster change the same way. Half of all states cost one
//! such update, a quarter two, an eighth three: two for a state on average, however many switches there are.
//! Switches are only ever closed on the way, so the chain of updates is never longer than their number, and
//! each begins at the exactly solved network with all of them open.
//!
//! Diodes, and outputs that can only sink, are no part of this linear network: [`bent`] finds their
//! currents state by state, starting from states that differ in one switch. Where it does not arrive, the state
//! is solved as [`Network::operating_point`] solves it, and so is every state of a network that is not held
//! together without its diodes.
//!
//! Each voltage is that of the state's own operating point within 1 µV. What a step leaves is bounded; what
//! rounding adds along a chain of updates is not, and rests on the tests.

mod bent;

use solderside_quantity::{Amps, Volts};

use self::bent::{Bend, Bent};
use crate::network::{Element, ElementId, Network, Node};
use crate::solve::Unsolvable;

/// The voltages of all nodes but the ground, padded: their number is known to the compiler, which turns
/// each update into vector instructions without a loop.
type Row<const N: usize> = [f64; N];

/// Why a network cannot be swept.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum Unswept {
    /// A state has no operating point. The states before it were visited.
    #[error("state {state:#b}, a digit a switch: {why}")]
    Unsolvable {
        /// The state.
        state: u64,
        /// What is wrong with it.
        why: Unsolvable,
    },
    /// More than 63 switches: their states have no number, and no patience would see them all.
    #[error("{0} switches have more states than can be counted; 63 are the most")]
    TooManySwitches(usize),
    /// More than 128 nodes.
    #[error("{0} nodes are more than a sweep takes; 128 are the most")]
    TooManyNodes(usize),
    /// More than 128 diodes and outputs.
    #[error("{0} diodes and outputs are more than a sweep takes; 128 are the most")]
    TooManyBends(usize),
    /// The element neither closes nor sinks.
    #[error("only switches and outputs that can sink have states")]
    NoSwitch,
}

/// A switch to be closed: its two nodes and the resistance that closing it adds beside the open one.
struct Closing {
    a: Node,
    b: Node,
    ohms: f64,
}

/// The linear network in one state: its voltages, and the responses of the switches that are counted
/// faster, then those of the bends.
struct Level<const N: usize> {
    volts: Row<N>,
    responses: Vec<Row<N>>,
}

impl Network {
    /// Visits every state of the named switches: bit `i` of the state is set where the `i`-th is closed.
    /// An open-collector output may be named too; its bit is set where it is on.
    ///
    /// The slice holds the voltage of every node but the ground in the order in which they were made, and is
    /// padded at its end. Each state comes once, in rising order. Whether the network's own list says that
    /// these switches are open or closed does not matter.
    ///
    /// # Errors
    /// Refuses names of other elements, networks beyond its size, and the first state that has no operating
    /// point.
    pub fn sweep(&self, switches: &[ElementId], visit: impl FnMut(u64, &[f64])) -> Result<(), Unswept> {
        match self.node_count() - 1 {
            0..=4 => self.sweep_rows::<4>(switches, visit),
            5..=8 => self.sweep_rows::<8>(switches, visit),
            9..=12 => self.sweep_rows::<12>(switches, visit),
            13..=16 => self.sweep_rows::<16>(switches, visit),
            17..=24 => self.sweep_rows::<24>(switches, visit),
            25..=32 => self.sweep_rows::<32>(switches, visit),
            33..=64 => self.sweep_rows::<64>(switches, visit),
            65..=128 => self.sweep_rows::<128>(switches, visit),
            more => Err(Unswept::TooManyNodes(more)),
        }
    }

    fn sweep_rows<const N: usize>(
        &self,
        switches: &[ElementId],
        mut visit: impl FnMut(u64, &[f64]),
    ) -> Result<(), Unswept> {
        if switches.len() > 63 {
            return Err(Unswept::TooManySwitches(switches.len()));
        }
        let closings = self.closings(switches)?;
        let bends = self.bends(switches);
        if bends.len() > 128 {
            return Err(Unswept::TooManyBends(bends.len()));
        }
        let Ok(mut levels) = self.levels::<N>(switches, &closings, &bends) else {
            // Only diodes hold some node, or nothing does: there is no linear network to change step by step.
            return (0..1 << switches.len()).try_for_each(|state| {
                visit(state, &self.settled::<N>(switches, state)?);
                Ok(())
            });
        };
        match bends.len() {
            0 => sweep_levels(&closings, &mut levels, |state, volts, _| {
                visit(state, volts);
                Ok(())
            }),
            1..=8 => Bent::<N, 8>::new(self, switches, bends).sweep(&closings, &mut levels, visit),
            9..=32 => Bent::<N, 32>::new(self, switches, bends).sweep(&closings, &mut levels, visit),
            _ => Bent::<N, 128>::new(self, switches, bends).sweep(&closings, &mut levels, visit),
        }
    }

    /// What closing each switch does. The first, of the lowest bit, is closed last and so counted fastest.
    fn closings(&self, switches: &[ElementId]) -> Result<Vec<Closing>, Unswept> {
        let closing = |id: &ElementId| match self.elements().get(id.index()) {
            Some(Element::Switch { a, b, on, off, .. }) => {
                // Closing puts this beside the open contact; one that is no better closed adds nothing.
                let added = on.get().recip() - off.get().recip();
                let adds = added > 0.0 && a != b;
                Ok(Closing { a: *a, b: *b, ohms: if adds { added.recip() } else { f64::INFINITY } })
            }
            // All that it adds is bent.
            Some(Element::OpenCollector { node, to, .. }) => {
                Ok(Closing { a: *node, b: *to, ohms: f64::INFINITY })
            }
            Some(
                Element::Resistor { .. }
                | Element::Source { .. }
                | Element::Current { .. }
                | Element::Diode { .. },
            )
            | None => Err(Unswept::NoSwitch),
        };
        switches.iter().rev().map(closing).collect()
    }

    /// The linear network with all switches open, and room for a level a switch.
    fn levels<const N: usize>(
        &self,
        switches: &[ElementId],
        closings: &[Closing],
        bends: &[Bend],
    ) -> Result<Vec<Level<N>>, Unsolvable> {
        let open = self.in_state(switches, 0).straightened();
        let volts = row(&open.voltages()?);
        let pairs = closings.iter().map(|closing| (closing.a, closing.b));
        let pairs = pairs.chain(bends.iter().map(|bend| (bend.a, bend.b)));
        let responses = pairs.map(|(a, b)| open.response(a, b).map(|volts| row(&volts)));
        let mut levels = vec![Level { volts, responses: responses.collect::<Result<_, _>>()? }];
        for later in (0..closings.len()).rev() {
            levels.push(Level { volts, responses: vec![volts; later + bends.len()] });
        }
        Ok(levels)
    }

    /// The voltages of a state, solved from nothing.
    fn settled<const N: usize>(&self, switches: &[ElementId], state: u64) -> Result<Row<N>, Unswept> {
        let volts = self.in_state(switches, state).voltages();
        volts.map(|volts| row(&volts)).map_err(|why| Unswept::Unsolvable { state, why })
    }

    /// The network with the named switches as the state has them.
    fn in_state(&self, switches: &[ElementId], state: u64) -> Self {
        let mut network = Self::new();
        for _ in 1..self.node_count() {
            network.node();
        }
        for (at, element) in self.elements().iter().enumerate() {
            let mut element = *element;
            if let Some(bit) = switches.iter().position(|id| id.index() == at)
                && let Element::Switch { closed: set, .. } | Element::OpenCollector { on: set, .. } =
                    &mut element
            {
                *set = state >> bit & 1 == 1;
            }
            // It was let in before.
            let _ = network.add(element);
        }
        network
    }

    fn voltages(&self) -> Result<Vec<f64>, Unsolvable> {
        let point = self.operating_point()?;
        Ok((1..self.node_count()).map(|at| point.volts(Node(at)).get()).collect())
    }

    /// Every node's voltage for an ampere pushed through the network from `a` to `b`, all sources at zero.
    fn response(&self, a: Node, b: Node) -> Result<Vec<f64>, Unsolvable> {
        let mut quiet = Self::new();
        for _ in 1..self.node_count() {
            quiet.node();
        }
        for element in self.elements() {
            let element = match *element {
                Element::Source { node, ohms, .. } => Element::Source { node, volts: Volts::ZERO, ohms },
                Element::Current { .. } => continue,
                Element::Resistor { .. }
                | Element::Switch { .. }
                | Element::Diode { .. }
                | Element::OpenCollector { .. } => *element,
            };
            let _ = quiet.add(element);
        }
        let _ = quiet.add(Element::Current { a: b, b: a, amps: Amps::literal(1.0) });
        quiet.voltages()
    }
}

/// Settles the state with all switches open, then every other one in rising order. What settles gets the
/// state, the linear voltages and the responses of the bends.
fn sweep_levels<const N: usize>(
    closings: &[Closing],
    levels: &mut [Level<N>],
    mut settle: impl FnMut(u64, &Row<N>, &[Row<N>]) -> Result<(), Unswept>,
) -> Result<(), Unswept> {
    let Some((Level { volts, responses }, below)) = levels.split_first_mut() else { return Ok(()) };
    settle(0, volts, responses.get(closings.len()..).unwrap_or_default())?;
    descend(closings, volts, responses, below, 0, &mut settle)
}

/// Settles the states that close some of these switches on top of a settled one: first those that leave the
/// first of them open, where nothing changes.
fn descend<const N: usize>(
    closings: &[Closing],
    volts: &Row<N>,
    responses: &[Row<N>],
    below: &mut [Level<N>],
    state: u64,
    settle: &mut impl FnMut(u64, &Row<N>, &[Row<N>]) -> Result<(), Unswept>,
) -> Result<(), Unswept> {
    let ([closing, later @ ..], [own, others @ ..], [level, deeper @ ..]) = (closings, responses, below)
    else {
        return Ok(());
    };
    let gain = 1.0 / (closing.ohms + closing.across(own));
    let closed = state | 1 << later.len();
    if others.is_empty() {
        // Half of all work is here where nothing is bent, and needs neither the level's store nor a call.
        return settle(closed, &less(volts, own, gain * closing.across(volts)), &[]);
    }
    descend(later, volts, others, deeper, state, settle)?;
    level.volts = less(volts, own, gain * closing.across(volts));
    for (changed, response) in level.responses.iter_mut().zip(others) {
        *changed = less(response, own, gain * closing.across(response));
    }
    settle(closed, &level.volts, level.responses.get(later.len()..).unwrap_or_default())?;
    descend(later, &level.volts, &level.responses, deeper, closed, settle)
}

impl Closing {
    /// The voltage from the switch's one node to its other.
    fn across<const N: usize>(&self, volts: &Row<N>) -> f64 {
        across(self.a, self.b, volts)
    }
}

fn across<const N: usize>(a: Node, b: Node, volts: &Row<N>) -> f64 {
    // The ground has no place in the row, and no voltage.
    let at = |node: Node| volts.get(node.0.wrapping_sub(1)).copied().unwrap_or(0.0);
    at(a) - at(b)
}

/// `from − share · by`.
fn less<const N: usize>(from: &Row<N>, by: &Row<N>, share: f64) -> Row<N> {
    std::array::from_fn(|at| from[at] - share * by[at])
}

fn row<const N: usize>(values: &[f64]) -> Row<N> {
    std::array::from_fn(|at| values.get(at).copied().unwrap_or(0.0))
}
