//! The operating point of a network, and what its nodes look like from outside.

use solderside_quantity::{Amps, NotFinite, Ohms, Volts};

use crate::diode::Junction;
use crate::law::Law;
use crate::network::{Element, ElementId, Network, Node, ends};
use crate::newton::{Branch, End, PATIENCE, Stuck, System};
use crate::star_mesh::Mesh;

/// Why a network has no operating point, or not just one.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum Unsolvable {
    /// Two ideal sources hold one node, or one holds the ground.
    #[error(
        "two ideal sources hold one node: their voltages contradict, or their shares of the current are open"
    )]
    Contradiction {
        /// The node.
        node: Node,
        /// The later of the two sources.
        element: ElementId,
    },
    /// No element leads from this node to a source or to ground.
    #[error("the node floats: nothing leads from it to a source or to ground")]
    Floating {
        /// The node.
        node: Node,
    },
    /// The currents cannot be balanced, as when one is forced backwards through a diode.
    #[error("no operating point: the currents at the node cannot be balanced by any voltage")]
    NoBalance {
        /// The node that runs away.
        node: Node,
    },
    /// A result is outside the range of numbers.
    #[error("the values lie so far apart that the result is not a finite number")]
    Range,
}

impl From<NotFinite> for Unsolvable {
    fn from(_: NotFinite) -> Self {
        Self::Range
    }
}

/// A network's one solution.
#[derive(Debug, Clone, PartialEq)]
pub struct OperatingPoint {
    volts: Vec<Volts>,
    amps: Vec<Amps>,
}

impl OperatingPoint {
    /// The node's voltage against ground; zero for a node of another network.
    pub fn volts(&self, node: Node) -> Volts {
        self.volts.get(node.0).copied().unwrap_or(Volts::ZERO)
    }

    /// The current through the element, from `a` to `b`, anode to cathode, node to ground.
    pub fn amps(&self, element: ElementId) -> Amps {
        self.amps.get(element.0).copied().unwrap_or(Amps::ZERO)
    }
}

/// What a node looks like from outside.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Thevenin {
    /// The voltage without load.
    pub volts: Volts,
    /// The resistance behind it; with diodes, that for a small change.
    pub ohms: Ohms,
}

impl Network {
    /// Finds the operating point.
    ///
    /// # Errors
    /// Says which node floats, which ideal sources contradict, or where no voltage can balance the
    /// currents.
    pub fn operating_point(&self) -> Result<OperatingPoint, Unsolvable> {
        let prepared = Prepared::new(self)?;
        let volts = prepared.solve()?;
        let amps = prepared.currents(self, &volts);
        Ok(OperatingPoint {
            volts: volts.into_iter().map(Volts::new).collect::<Result<_, _>>()?,
            amps: amps.into_iter().map(Amps::new).collect::<Result<_, _>>()?,
        })
    }

    /// Returns the Thevenin equivalent of the node against ground.
    ///
    /// # Errors
    /// As [`Network::operating_point`].
    pub fn thevenin(&self, node: Node) -> Result<Thevenin, Unsolvable> {
        let prepared = Prepared::new(self)?;
        let volts = prepared.solve()?;
        let ohms = match prepared.places.get(node.0) {
            Some(&End::Free(i)) => {
                let free: Vec<f64> = prepared.free.iter().map(|node| volts[node.0]).collect();
                prepared
                    .system
                    .driving_point(&mut Mesh::default(), &free, i)
                    .map_err(|stuck| prepared.explain(stuck))?
            }
            Some(End::Fixed(_)) | None => 0.0,
        };
        let open = volts.get(node.0).copied().unwrap_or(0.0);
        Ok(Thevenin { volts: Volts::new(open)?, ohms: Ohms::new(ohms)? })
    }

    /// Returns every node's voltage in a linear network, and for each pair of nodes every node's voltage for an
    /// ampere pushed through from its first to its second, all sources at zero.
    pub(crate) fn responses(
        &self,
        pairs: impl Iterator<Item = (Node, Node)>,
    ) -> Result<(Vec<f64>, Vec<Vec<f64>>), Unsolvable> {
        let prepared = Prepared::new(self)?;
        let mut mesh = Mesh::default();
        let response = |(from, to): (Node, Node)| {
            let [from, to] = [from, to].map(|node| prepared.places[node.0]);
            let free =
                prepared.system.response(&mut mesh, from, to).map_err(|stuck| prepared.explain(stuck))?;
            let value = |place: &End| if let End::Free(i) = *place { free[i] } else { 0.0 };
            Ok::<_, Unsolvable>(prepared.places.iter().map(value).collect())
        };
        Ok((prepared.solve()?, pairs.map(response).collect::<Result<_, _>>()?))
    }
}

/// A network with its unknown voltages told from its known ones.
struct Prepared {
    /// Where each node's voltage comes from.
    places: Vec<End>,
    /// The unknown nodes in the system's order.
    free: Vec<Node>,
    system: System,
    /// Each element's branch in the system, if it is one.
    branch_of: Vec<Option<usize>>,
}

impl Prepared {
    fn new(network: &Network) -> Result<Self, Unsolvable> {
        let mut held: Vec<Option<f64>> = vec![None; network.node_count()];
        held[0] = Some(0.0);
        for (at, element) in network.elements().iter().enumerate() {
            if let Element::Source { node, volts, ohms } = *element
                && ohms == Ohms::ZERO
                && held[node.0].replace(volts.get()).is_some()
            {
                return Err(Unsolvable::Contradiction { node, element: ElementId(at) });
            }
        }
        let mut free = Vec::new();
        let mut places = Vec::with_capacity(held.len());
        for (at, volts) in held.into_iter().enumerate() {
            places.push(volts.map_or(End::Free(free.len()), End::Fixed));
            if volts.is_none() {
                free.push(Node(at));
            }
        }
        let mut system = System { size: free.len(), ..System::default() };
        let mut branch_of = Vec::with_capacity(network.elements().len());
        for element in network.elements() {
            let law = law_of(element);
            branch_of.push(law.is_some().then_some(system.branches.len()));
            let [p, q] = ends(element).map(|node| places[node.0]);
            if let Some(law) = law {
                let q = if let Element::Source { volts, .. } = element { End::Fixed(volts.get()) } else { q };
                system.branches.push(Branch { p, q, forward: law, backward: law, floor: law.least_chord() });
            } else if let Element::Current { amps, .. } = element {
                for (end, amps) in [(p, -amps.get()), (q, amps.get())] {
                    if let End::Free(i) = end {
                        system.injected.push((i, amps));
                    }
                }
            }
        }
        Ok(Self { places, free, system, branch_of })
    }

    /// Returns every node's voltage.
    fn solve(&self) -> Result<Vec<f64>, Unsolvable> {
        let mut unknown = vec![0.0; self.free.len()];
        self.system
            .solve(&mut Mesh::default(), &mut unknown, PATIENCE)
            .map_err(|stuck| self.explain(stuck))?;
        let value = |place: &End| match *place {
            End::Free(i) => unknown[i],
            End::Fixed(volts) => volts,
        };
        Ok(self.places.iter().map(value).collect())
    }

    /// Returns every element's current. That of an ideal source is what its node lacks.
    fn currents(&self, network: &Network, volts: &[f64]) -> Vec<f64> {
        let unknown: Vec<f64> = self.free.iter().map(|node| volts[node.0]).collect();
        let current = |(at, element): (usize, &Element)| match self.branch_of[at] {
            Some(branch) => {
                let branch = &self.system.branches[branch];
                let across = branch.across(&unknown);
                branch.law(across).at(across).0
            }
            None => {
                if let Element::Current { amps, .. } = element {
                    amps.get()
                } else {
                    0.0
                }
            }
        };
        let mut amps: Vec<f64> = network.elements().iter().enumerate().map(current).collect();
        for (at, element) in network.elements().iter().enumerate() {
            if let Element::Source { node, ohms, .. } = *element
                && ohms == Ohms::ZERO
            {
                let mut away = 0.0;
                for (other, amps) in network.elements().iter().zip(&amps) {
                    let [a, b] = ends(other);
                    away += if a == b {
                        0.0
                    } else if a == node {
                        *amps
                    } else if b == node {
                        -*amps
                    } else {
                        0.0
                    };
                }
                amps[at] = -away;
            }
        }
        amps
    }

    fn explain(&self, stuck: Stuck) -> Unsolvable {
        match stuck {
            Stuck::Floating(i) => Unsolvable::Floating { node: self.free[i] },
            Stuck::NoBalance(i) => Unsolvable::NoBalance { node: self.free[i] },
        }
    }
}

/// The element's law; none for what is no branch: currents and ideal sources.
fn law_of(element: &Element) -> Option<Law> {
    match element {
        Element::Source { ohms, .. } if *ohms == Ohms::ZERO => None,
        Element::Resistor { ohms, .. } | Element::Source { ohms, .. } => {
            Some(Law::Linear(ohms.get().recip()))
        }
        Element::Switch { closed, on, off, .. } => {
            Some(Law::Linear(if *closed { on } else { off }.get().recip()))
        }
        Element::Current { .. } => None,
        // A refused diode never came into the network.
        Element::Diode { diode, .. } => Junction::new(diode).ok().map(Law::Junction),
        Element::OpenCollector { on, offset, ohms, off, .. } => Some(Law::Sink {
            offset: offset.get(),
            conductance: if *on { ohms.get().recip() } else { 0.0 },
            leak: off.get().recip(),
        }),
    }
}
