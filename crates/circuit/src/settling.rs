//! How long nodes take to come to rest, over a box of tolerances.
//!
//! Let `x` be how far each node is from where it comes to rest, `C` the capacitances against ground and `G` the
//! conductances with every known voltage at zero: `C·x' = −G·x`. Let `R = G⁻¹` and `h = R·C·1`: `h(k)` is the delay
//! of node `k` in *The Transient Response of Damped Linear Networks*, W. C. Elmore, Journal of Applied Physics 19,
//! 1948 (from memory), and `H` is the largest of them. If no node starts farther away than `S`, then:
//!
//! * `x(j) ≤ S · h(j)/h(least) · exp(−t/H)`: the right side, with each node's own `h`, never falls faster than the
//!   network lets it, as `C⁻¹·G·h = 1 ≥ h/H`. And `h(k) ≥ h(j) · R(j,k)/R(j,j)`, which is where `k` stands while `j` is
//!   held at 1.
//! * `x(j) ≤ S · e · exp(−t/H)`: what `x(j)` has still to give when all start alike is an area that begins with
//!   `S·h(j)` and shrinks with `exp(−t/H)` by the same comparison; as `x(j)` only falls, `H · x(j)` at `t` is no more
//!   than the area at `t − H`. *Signal Delay in RC Tree Networks*, J. Rubinstein, P. Penfield and M. A. Horowitz, IEEE
//!   Transactions on CAD 2, 1983 (from memory), has it for trees, with the sum of `R(k,k)·C(k)` in the place of `H`, which
//!   is never less.
//!
//! For one capacitor the first is `S·exp(−t/RC)` itself. More conductance to a known voltage only helps, so diodes to
//! a rail may be left out. A diode between two nodes that both move carries charge from one to the other, and neither
//! argument holds; but `Σ C·x²` falls at least as fast as `exp(−2t/H)` whatever such diodes do, since no eigenvalue of
//! `R·C` is above its largest row. So there `x(j) ≤ S · √(ΣC/C(j)) · exp(−t/H)`. A node that nothing but diodes hold
//! follows the node that it is asked with, and its capacitance is counted there.
//!
//! `h` is the operating point of one more network, with a current of `C` in the place of each capacitor, and so are
//! `R(j,j)` and where `k` stands while `j` is held: their bounds are those of [`Spread::bound`].

use std::collections::{BTreeMap, BTreeSet};

use solderside_quantity::{Amps, Farads, Ohms, Seconds, Triple, Volts};

use crate::bounds::{Extreme, Spread, Uncertain};
use crate::network::{ElementId, Node};

/// The current that stands for a capacitance, in amperes per farad: 1 V is then 1 µs.
const PER_FARAD: f64 = 1e6;

/// The current by which a resistance is measured.
const MEASURING: Amps = Amps::literal(1e-3);

/// A voltage less an offset, each at its own extremes.
fn less(volts: Triple<Volts>, offset: Triple<Volts>) -> Option<Triple<Volts>> {
    let [low, middle, high] =
        [volts.low() - offset.high(), volts.typical() - offset.typical(), volts.high() - offset.low()];
    Triple::new(low, middle, high).ok()
}

/// How long a node takes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Settling {
    /// After this it is as near to its rest as was asked.
    pub within: Seconds,
    /// The largest time constant.
    pub constant: Seconds,
}

impl Spread {
    /// The network with each output that can only sink made straight, so that no node is ever lower (`Highest`) or higher
    /// (`Lowest`) than it would be: as what gives current below its offset, or sinks from nought.
    #[must_use]
    pub fn straightened(&self, extreme: Extreme) -> Self {
        self.changed(|element| {
            let Uncertain::Sink { node, to, offset, ohms, .. } = *element else { return Some(*element) };
            match extreme {
                // One that gives from a known voltage, as a transistor at a supply, lifts where the other lowers.
                Extreme::Lowest => match self.held(node) {
                    Some(volts) => {
                        let volts = less(volts, offset);
                        Some(volts.map_or(*element, |volts| Uncertain::Source { node: to, volts, ohms }))
                    }
                    None => Some(Uncertain::Resistor { a: node, b: to, ohms }),
                },
                Extreme::Highest if self.held(node).is_some() => {
                    Some(Uncertain::Resistor { a: node, b: to, ohms })
                }
                Extreme::Highest => {
                    let at = self.held(to).map(|volts| offset.plus(volts));
                    Some(at.map_or(*element, |volts| Uncertain::Source { node, volts, ohms }))
                }
            }
        })
    }

    /// The network with every value at its typical.
    #[must_use]
    pub fn without_tolerance(&self) -> Self {
        self.changed(|element| {
            Some(match *element {
                Uncertain::Resistor { a, b, ohms } => {
                    Uncertain::Resistor { a, b, ohms: Triple::exactly(ohms.typical()) }
                }
                Uncertain::Source { node, volts, ohms } => Uncertain::Source {
                    node,
                    volts: Triple::exactly(volts.typical()),
                    ohms: Triple::exactly(ohms.typical()),
                },
                Uncertain::Current { a, b, amps } => {
                    Uncertain::Current { a, b, amps: Triple::exactly(amps.typical()) }
                }
                Uncertain::Diode { anode, cathode, least, .. } => {
                    Uncertain::Diode { anode, cathode, least, most: least }
                }
                Uncertain::Sink { node, to, offset, ohms, off } => Uncertain::Sink {
                    node,
                    to,
                    offset: Triple::exactly(offset.typical()),
                    ohms: Triple::exactly(ohms.typical()),
                    off: Triple::exactly(off.typical()),
                },
            })
        })
    }

    /// For each resistance the network with a tenth of it: what then falls most is what made a node slow.
    pub fn eased(&self) -> impl Iterator<Item = (ElementId, Self)> {
        (0..self.elements().len()).filter_map(|at| {
            let mut elements = self.elements().to_vec();
            match elements.get_mut(at)? {
                Uncertain::Resistor { ohms, .. } | Uncertain::Source { ohms, .. } => {
                    *ohms = ohms.map_rising(|ohms| ohms / 10.0).ok()?;
                }
                Uncertain::Current { .. } | Uncertain::Diode { .. } | Uncertain::Sink { .. } => return None,
            }
            Some((ElementId(at), self.with(elements)))
        })
    }

    /// The largest resistance that a node can have against the known voltages, diodes counted as open and outputs that
    /// can only sink as off; none if nothing else holds it.
    pub fn most_ohms(&self, node: Node) -> Option<Ohms> {
        self.passive().measured(node, Extreme::Highest)
    }

    /// The resistance of a passive network's node against the known voltages.
    pub(crate) fn measured(&self, node: Node, extreme: Extreme) -> Option<Ohms> {
        let mut measured = self.clone();
        measured
            .add(Uncertain::Current { a: Node::GROUND, b: node, amps: Triple::exactly(MEASURING) })
            .ok()?;
        let volts = measured.bound(node, extreme).ok()?.guaranteed?;
        volts.at(MEASURING).ok()
    }

    /// Bounds the time that a node takes until it is as near to its rest as `near`, while no node starts farther from its own
    /// than `swing`. The capacitances are against ground, each no more than its high value. None if the node is held by
    /// diodes only.
    pub fn settling(
        &self,
        node: Node,
        farads: &BTreeMap<Node, Triple<Farads>>,
        swing: Volts,
        near: Volts,
    ) -> Option<Settling> {
        let passive = self.passive();
        if !passive.is_held(node) || near <= Volts::ZERO {
            return None;
        }
        let round = self.round(node);
        let own = farads.get(&node).map_or(Farads::ZERO, |farads| farads.low());
        let mut charged: BTreeMap<Node, Farads> = BTreeMap::new();
        for (at, farads) in farads.iter().filter(|(at, _)| round.contains(at)) {
            let at = if passive.is_held(*at) { *at } else { node };
            let sum = charged.entry(at).or_insert(Farads::ZERO);
            *sum = *sum + farads.high();
        }
        let constant = passive.largest_delay(&charged)?;
        let crosses = self.elements().iter().any(|element| match element {
            Uncertain::Diode { anode, cathode, .. } => round.contains(anode) && round.contains(cathode),
            Uncertain::Resistor { .. }
            | Uncertain::Source { .. }
            | Uncertain::Current { .. }
            | Uncertain::Sink { .. } => false,
        });
        let constants = if crosses {
            let all: Farads = charged.values().copied().sum();
            0.5 * libm::log((all / own).max(1.0))
        } else {
            passive.least_share(node, charged.keys()).map_or(1.0, |share| (-libm::log(share)).clamp(0.0, 1.0))
        };
        let times = libm::log((swing / near).max(1.0)) + constants;
        Some(Settling { within: Seconds::new(constant.get() * times).ok()?, constant })
    }

    pub(crate) fn changed(&self, change: impl Fn(&Uncertain) -> Option<Uncertain>) -> Self {
        self.with(self.elements().iter().filter_map(change).collect())
    }

    /// The nodes that a node is tied to, as far as the known voltages, itself among them.
    pub fn round(&self, node: Node) -> BTreeSet<Node> {
        let mut found = BTreeSet::from([node]);
        let mut open = vec![node];
        while let Some(at) = open.pop() {
            for element in self.elements() {
                let (Uncertain::Resistor { a, b, .. }
                | Uncertain::Diode { anode: a, cathode: b, .. }
                | Uncertain::Sink { node: a, to: b, .. }) = *element
                else {
                    continue;
                };
                let other = if a == at { b } else { a };
                if (a == at || b == at) && self.held(other).is_none() && found.insert(other) {
                    open.push(other);
                }
            }
        }
        found
    }

    /// The resistances alone: every known voltage at zero, no current, no diode, and outputs that can only sink off.
    fn passive(&self) -> Self {
        self.changed(|element| match *element {
            Uncertain::Resistor { .. } => Some(*element),
            Uncertain::Source { node, ohms, .. } => {
                Some(Uncertain::Source { node, volts: Triple::exactly(Volts::ZERO), ohms })
            }
            Uncertain::Sink { node, to, off, .. } => Some(Uncertain::Resistor { a: node, b: to, ohms: off }),
            Uncertain::Current { .. } | Uncertain::Diode { .. } => None,
        })
    }

    /// The largest delay of a passive network's nodes.
    fn largest_delay(&self, charged: &BTreeMap<Node, Farads>) -> Option<Seconds> {
        let mut fed = self.clone();
        for (node, farads) in charged {
            let amps = Triple::exactly(Amps::new(farads.get() * PER_FARAD).ok()?);
            fed.add(Uncertain::Current { a: Node::GROUND, b: *node, amps }).ok()?;
        }
        let mut most = 0.0_f64;
        for node in charged.keys() {
            most = most.max(fed.bound(*node, Extreme::Highest).ok()?.guaranteed?.get());
        }
        Seconds::new(most / PER_FARAD).ok()
    }

    /// How far the nodes of a passive network at least follow one that is held at 1.
    fn least_share<'n>(&self, node: Node, others: impl Iterator<Item = &'n Node>) -> Option<f64> {
        let mut held = self.clone();
        let volts = Triple::exactly(Volts::literal(1.0));
        held.add(Uncertain::Source { node, volts, ohms: Triple::exactly(Ohms::ZERO) }).ok()?;
        let mut least = 1.0_f64;
        for other in others.filter(|other| **other != node) {
            least = least.min(held.bound(*other, Extreme::Lowest).ok()?.guaranteed?.get());
        }
        (least > 0.0).then_some(least)
    }
}
