//! All switch states of a network, each for the price of a few vector operations.
//!
//! The states are the leaves of a binary tree, a level a switch. With a switch open nothing changes from
//! its parent; with it closed, a conductance between two nodes is added, and every voltage changes by a
//! multiple of the response `z` to an ampere pushed through that pair of nodes:
//!
//! ```text
//! v' = v − z (v·d) / (R + z·d),        d = +1 at one node, −1 at the other
//! ```
//!
//! The responses of the switches further down change the same way. Half of all leaves cost one such
//! update, a quarter two, an eighth three: four for a leaf on average, however many switches there are.
//! Switches are only ever closed on the way down, so the chain of updates is never longer than their
//! number, and each begins at the exactly solved network with all of them open.

use solderside_quantity::{Amps, Volts};

use crate::network::{Element, ElementId, Network, Node};
use crate::solve::Unsolvable;

/// The voltages of all nodes but the ground, padded: their number is known to the compiler, which turns
/// each update into vector instructions without a loop.
type Row<const N: usize> = [f64; N];

/// Why a network cannot be swept.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum Unswept {
    /// The network with all switches open has no operating point.
    #[error(transparent)]
    Unsolvable(#[from] Unsolvable),
    /// More than 63 switches: their states have no number, and no patience would see them all.
    #[error("{0} switches have more states than can be counted; 63 are the most")]
    TooManySwitches(usize),
    /// More than 128 nodes.
    #[error("{0} nodes are more than a sweep takes; 128 are the most")]
    TooManyNodes(usize),
    /// The element is no switch, or an element is neither linear nor known here.
    #[error("only switches can be swept, in a network of resistors, switches, sources and currents")]
    NotLinear,
}

/// A switch on the way down: its two nodes and the resistance that closing it adds beside the open one.
struct Closing {
    a: usize,
    b: usize,
    ohms: f64,
}

/// The voltages of one state, and the responses of the switches still open below.
struct Level<const N: usize> {
    volts: Row<N>,
    responses: Vec<Row<N>>,
}

impl Network {
    /// Visits every state of the named switches: bit `i` of the state is set where the `i`-th is closed.
    ///
    /// The slice holds the voltage of every node but the ground in the order in which they were made, and is
    /// padded at its end. Each state comes
    /// once, that with all open first and that with all closed last. Whether the network's own list says that
    /// these switches are open or closed does not matter.
    ///
    /// # Errors
    /// Refuses networks that are not linear, and those without an operating point while all the switches
    /// are open.
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
        let open = self.with_open(switches)?;
        let mut closings = Vec::new();
        let mut root = Level { volts: row::<N>(&open.voltages()?), responses: Vec::new() };
        for id in switches {
            let Some(Element::Switch { a, b, on, off, .. }) = self.elements().get(id.index()) else {
                return Err(Unswept::NotLinear);
            };
            // Closing puts this beside the open contact; a contact that is no better closed adds nothing.
            let added = on.get().recip() - off.get().recip();
            let ohms = if added > 0.0 && a != b { added.recip() } else { f64::INFINITY };
            closings.push(Closing { a: a.0, b: b.0, ohms });
            root.responses.push(row(&open.response(*a, *b)?));
        }
        let mut levels: Vec<Level<N>> = (1..=closings.len())
            .map(|at| Level { volts: root.volts, responses: vec![root.volts; closings.len() - at] })
            .collect();
        descend(&closings, &root.volts, &root.responses, &mut levels, (0, 1), &mut visit);
        Ok(())
    }

    /// The network with the named switches open; refuses what is not linear.
    fn with_open(&self, switches: &[ElementId]) -> Result<Self, Unswept> {
        let mut open = Self::new();
        for _ in 1..self.node_count() {
            open.node();
        }
        for (at, element) in self.elements().iter().enumerate() {
            let element = match *element {
                Element::Switch { a, b, on, off, .. } if switches.iter().any(|id| id.index() == at) => {
                    Element::Switch { a, b, closed: false, on, off }
                }
                Element::Diode { .. } | Element::OpenCollector { on: true, .. } => {
                    return Err(Unswept::NotLinear);
                }
                Element::Resistor { .. }
                | Element::Switch { .. }
                | Element::Source { .. }
                | Element::Current { .. }
                | Element::OpenCollector { .. } => *element,
            };
            // It was let in before.
            let _ = open.add(element);
        }
        Ok(open)
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

/// Visits the states below a level, of which `(state, bit)` are the switches so far and the next one's bit:
/// first with that switch open, where nothing changes, then with it closed.
fn descend<const N: usize>(
    closings: &[Closing],
    volts: &Row<N>,
    responses: &[Row<N>],
    below: &mut [Level<N>],
    (state, bit): (u64, u64),
    visit: &mut impl FnMut(u64, &[f64]),
) {
    let ([closing, later @ ..], [own, others @ ..], [level, deeper @ ..]) = (closings, responses, below)
    else {
        visit(state, volts);
        return;
    };
    let gain = 1.0 / (closing.ohms + closing.across(own));
    if later.is_empty() {
        // Half of all work is here, and needs neither the level's store nor a call.
        visit(state, volts);
        visit(state | bit, &less(volts, own, gain * closing.across(volts)));
        return;
    }
    descend(later, volts, others, deeper, (state, bit << 1), visit);
    level.volts = less(volts, own, gain * closing.across(volts));
    for (changed, response) in level.responses.iter_mut().zip(others) {
        *changed = less(response, own, gain * closing.across(response));
    }
    descend(later, &level.volts, &level.responses, deeper, (state | bit, bit << 1), visit);
}

impl Closing {
    /// The voltage from the switch's one node to its other.
    fn across<const N: usize>(&self, volts: &Row<N>) -> f64 {
        // The ground has no place in the row, and no voltage.
        let at = |node: usize| volts.get(node.wrapping_sub(1)).copied().unwrap_or(0.0);
        at(self.a) - at(self.b)
    }
}

/// `from − share · by`.
fn less<const N: usize>(from: &Row<N>, by: &Row<N>, share: f64) -> Row<N> {
    std::array::from_fn(|at| from[at] - share * by[at])
}

fn row<const N: usize>(values: &[f64]) -> Row<N> {
    std::array::from_fn(|at| values.get(at).copied().unwrap_or(0.0))
}
