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
//! The responses of the switches that are counted faster change the same way. Each level of the count costs one
//! such update for the voltages and for each of those responses: two for a state on average, however many switches
//! there are. The last two switches take no level: their four states follow from the voltages and the two responses
//! at once. Switches are only ever closed on the way, so the chain of updates is never longer than their number,
//! and each begins at the exactly solved network with all of them open.
//!
//! Diodes, and outputs that can only sink, are no part of this linear network: [`bent`] finds their
//! currents for the states of the last few switches together, starting from states that differ in one switch. Where
//! it does not arrive, the state is solved as [`Network::operating_point`] solves it, and so is every state of a
//! network that is not held together without its diodes.
//!
//! Each voltage is that of the state's own operating point within 1 µV. What a step leaves is bounded; what
//! rounding adds along a chain of updates is not, and rests on the tests.

mod balance;
mod bend;
mod bent;
mod lanes;
mod ports;

use self::bend::Bend;
use self::bent::Bent;
use self::lanes::HELD;
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
    /// The element neither closes nor sinks.
    #[error("only switches and outputs that can sink have states")]
    NoSwitch,
}

/// The most volts or ohms that are swept step by step, and the resistance of a switch that does nothing.
const MOST: f64 = 1e100;

/// A switch to be closed: its two nodes and the resistance that closing it adds beside the open one.
#[derive(Debug, Clone, Copy)]
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
        let bends = self.bends(switches);
        let closings = self.closings(switches)?;
        if switches.len() < HELD {
            return self.sweep_slowly::<N>(switches, visit);
        }
        let Some(mut levels) = self.levels::<N>(switches, &closings, &bends) else {
            return self.sweep_slowly::<N>(switches, visit);
        };
        let Some((Level { volts, responses }, below)) = levels.split_first_mut() else { return Ok(()) };
        if bends.is_empty() {
            let Some((upper, last)) = closings.split_last_chunk() else { return Ok(()) };
            return descend(upper, volts, responses, below, 0, &mut |upper, volts, responses| {
                visit_four(last, volts, responses, |lower, volts| visit(upper << 2 | lower, volts));
                Ok(())
            });
        }
        let Some((upper, last)) = closings.split_last_chunk() else { return Ok(()) };
        let by_bend = responses.get(closings.len()..).unwrap_or_default();
        let bends = bends.into_iter().zip(by_bend);
        let bends = bends.map(|(bend, response)| bend.seeing(across(bend.a, bend.b, response)));
        let Some(bends) = bends.collect() else { return self.sweep_slowly::<N>(switches, visit) };
        let mut bent = Bent::new(self, switches, bends);
        descend(upper, volts, responses, below, 0, &mut |upper, volts, responses| {
            bent.settle(upper, last, volts, responses, &mut visit)
        })
    }

    /// Solves every state from nothing.
    fn sweep_slowly<const N: usize>(
        &self,
        switches: &[ElementId],
        mut visit: impl FnMut(u64, &[f64]),
    ) -> Result<(), Unswept> {
        (0..1 << switches.len()).try_for_each(|state| {
            visit(state, &self.settled::<N>(switches, state)?);
            Ok(())
        })
    }

    /// What closing each switch does. The first, of the lowest bit, is closed last and so counted fastest.
    fn closings(&self, switches: &[ElementId]) -> Result<Vec<Closing>, Unswept> {
        let idle = Closing { a: Node::GROUND, b: Node::GROUND, ohms: MOST };
        let closing = |id: &ElementId| match self.elements().get(id.index()) {
            Some(Element::Switch { a, b, on, off, .. }) => {
                // Closing puts this beside the open contact; one that is no better closed adds nothing.
                let added = on.get().recip() - off.get().recip();
                let adds = added > 0.0 && a != b;
                Ok(if adds { Closing { a: *a, b: *b, ohms: added.recip() } } else { idle })
            }
            // All that it adds is bent.
            Some(Element::OpenCollector { .. }) => Ok(idle),
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

    /// The linear network with all switches open, and room for a level a switch. There is none if only diodes
    /// hold some node, or nothing does, or if its numbers are so large or small that their products might not be.
    fn levels<const N: usize>(
        &self,
        switches: &[ElementId],
        closings: &[Closing],
        bends: &[Bend],
    ) -> Option<Vec<Level<N>>> {
        let pairs = closings.iter().map(|closing| (closing.a, closing.b));
        let pairs = pairs.chain(bends.iter().map(|bend| (bend.a, bend.b)));
        let (volts, responses) = self.in_state(switches, 0).straightened().responses(pairs).ok()?;
        let (volts, responses) =
            (row(&volts), responses.iter().map(|volts| row(volts)).collect::<Vec<Row<N>>>());
        let is_small = |row: &Row<N>| row.iter().all(|value| value.abs() <= MOST);
        let are_moderate = closings.iter().all(|closing| (MOST.recip()..=MOST).contains(&closing.ohms));
        if !are_moderate || !is_small(&volts) || !responses.iter().all(is_small) {
            return None;
        }
        let mut levels = vec![Level { volts, responses }];
        for later in (0..closings.len()).rev() {
            levels.push(Level { volts, responses: vec![volts; later + bends.len()] });
        }
        Some(levels)
    }

    /// The voltages of a state, solved from nothing.
    fn settled<const N: usize>(&self, switches: &[ElementId], state: u64) -> Result<Row<N>, Unswept> {
        let point = self.in_state(switches, state).operating_point();
        let point = point.map_err(|why| Unswept::Unsolvable { state, why })?;
        let volts: Vec<f64> = (0..self.node_count()).map(|at| point.volts(Node(at)).get()).collect();
        Ok(row(&volts))
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
}

/// Settles all states of these switches in rising order. What settles gets the state, its voltages and the
/// responses that are left once the switches have taken theirs.
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
        return settle(state, volts, responses);
    };
    descend(later, volts, others, deeper, state, settle)?;
    let gain = 1.0 / (closing.ohms + closing.across(own));
    level.volts = less(volts, own, gain * closing.across(volts));
    for (changed, response) in level.responses.iter_mut().zip(others) {
        *changed = less(response, own, gain * closing.across(response));
    }
    descend(later, &level.volts, &level.responses, deeper, state | 1 << later.len(), settle)
}

/// Visits the four states of the last two switches.
///
/// With both closed the lower one's current comes first, and the upper one's goes with it. Where both lie side by side
/// and hardly anything else holds their nodes, an error in how they share a current then moves no node.
#[inline]
fn visit_four<const N: usize>(
    [high, low]: &[Closing; 2],
    volts: &Row<N>,
    responses: &[Row<N>],
    mut visit: impl FnMut(u64, &Row<N>),
) {
    let [by_high, by_low] = responses else { return };
    let (high_open, low_open) = (high.across(volts), low.across(volts));
    let (high_ohms, low_ohms) = (high.ohms + high.across(by_high), low.ohms + low.across(by_low));
    let (between, high_gain) = (high.across(by_low), 1.0 / high_ohms);
    let low_amps = (high_ohms * low_open - between * high_open) / (high_ohms * low_ohms - between * between);
    let high_amps = high_gain * (high_open - between * low_amps);
    visit(0, volts);
    visit(1, &less(volts, by_low, low_open / low_ohms));
    visit(2, &less(volts, by_high, high_gain * high_open));
    visit(3, &less(&less(volts, by_high, high_amps), by_low, low_amps));
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

/// The row of all nodes' voltages, the ground's first.
fn row<const N: usize>(volts: &[f64]) -> Row<N> {
    std::array::from_fn(|at| volts.get(at + 1).copied().unwrap_or(0.0))
}
