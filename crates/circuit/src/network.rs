//! The network: nodes and elements, each value checked as it comes in.

use solderside_quantity::{Amps, Ohms, Volts};

use crate::diode::{Diode, Junction};

/// A node of one network.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Node(pub(crate) usize);

impl Node {
    /// The node from which all voltages are counted.
    pub const GROUND: Self = Self(0);
}

/// An element's place in its network's list.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct ElementId(pub(crate) usize);

impl ElementId {
    /// The element that comes in at this place.
    pub const fn at(place: usize) -> Self {
        Self(place)
    }

    /// The place, counted from zero.
    pub const fn index(self) -> usize {
        self.0
    }
}

/// A two-terminal element.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Element {
    /// A resistance above zero.
    Resistor {
        /// One end.
        a: Node,
        /// The other end.
        b: Node,
        /// Its value.
        ohms: Ohms,
    },
    /// A switch with the resistance of its closed and of its open contact, each above zero.
    Switch {
        /// One end.
        a: Node,
        /// The other end.
        b: Node,
        /// Whether it is closed.
        closed: bool,
        /// The resistance of the closed contact.
        on: Ohms,
        /// The resistance of the open contact.
        off: Ohms,
    },
    /// A voltage against ground behind a resistance; a resistance of zero makes it ideal.
    Source {
        /// Where it feeds.
        node: Node,
        /// Its open-circuit voltage.
        volts: Volts,
        /// Its inner resistance.
        ohms: Ohms,
    },
    /// A current that flows through the element from `a` to `b`.
    Current {
        /// Where it leaves the network.
        a: Node,
        /// Where it comes back.
        b: Node,
        /// Its size.
        amps: Amps,
    },
    /// A diode.
    Diode {
        /// The end into which forward current flows.
        anode: Node,
        /// The end with the bar.
        cathode: Node,
        /// Its parameters.
        diode: Diode,
    },
    /// An output that can pull its node towards another and never up:
    /// `I = V / off + max(0, V − offset) / ohms`, the second term only while it is on.
    OpenCollector {
        /// The output.
        node: Node,
        /// Where it sinks to, from which its voltages are counted.
        to: Node,
        /// Whether it sinks.
        on: bool,
        /// The voltage below which it sinks nothing, zero or above.
        offset: Volts,
        /// The slope above that, above zero.
        ohms: Ohms,
        /// The resistance of its leakage, above zero.
        off: Ohms,
    },
}

/// Says why an element was refused.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
#[error("{why}")]
pub struct Refused {
    /// What must hold, in words.
    pub why: &'static str,
}

/// A list of elements between nodes.
#[derive(Debug, Clone, Default)]
pub struct Network {
    nodes: usize,
    elements: Vec<Element>,
}

impl Network {
    /// Returns a network with no node but the ground.
    pub fn new() -> Self {
        Self::default()
    }

    /// Makes a node.
    pub fn node(&mut self) -> Node {
        self.nodes += 1;
        Node(self.nodes)
    }

    /// Puts an element in.
    ///
    /// # Errors
    /// Refuses values out of range and nodes of another network.
    pub fn add(&mut self, element: Element) -> Result<ElementId, Refused> {
        check(&element)?;
        let known = |node: Node| node.0 <= self.nodes;
        if !ends(&element).into_iter().all(known) {
            return Err(Refused { why: "the node is not of this network" });
        }
        self.elements.push(element);
        Ok(ElementId(self.elements.len() - 1))
    }

    /// The elements in the order in which they came in.
    pub fn elements(&self) -> &[Element] {
        &self.elements
    }

    /// How many nodes there are, ground included.
    pub fn node_count(&self) -> usize {
        self.nodes + 1
    }
}

/// The two ends of an element.
pub(crate) fn ends(element: &Element) -> [Node; 2] {
    match *element {
        Element::Resistor { a, b, .. } | Element::Switch { a, b, .. } | Element::Current { a, b, .. } => {
            [a, b]
        }
        Element::Source { node, .. } => [node, Node::GROUND],
        Element::OpenCollector { node, to, .. } => [node, to],
        Element::Diode { anode, cathode, .. } => [anode, cathode],
    }
}

fn check(element: &Element) -> Result<(), Refused> {
    let above_zero = |ohms: Ohms, why| {
        // Its conductance must be a number too.
        if ohms.get() > 0.0 && ohms.get().recip().is_finite() { Ok(()) } else { Err(Refused { why }) }
    };
    match element {
        Element::Resistor { ohms, .. } => above_zero(*ohms, "a resistance must be above zero"),
        Element::Switch { on, off, .. } => {
            above_zero(*on, "a closed contact's resistance must be above zero")?;
            above_zero(*off, "an open contact's resistance must be above zero")
        }
        Element::Source { ohms, .. } if *ohms == Ohms::ZERO => Ok(()),
        Element::Source { ohms, .. } => above_zero(*ohms, "a source's resistance must be zero or above"),
        Element::Current { .. } => Ok(()),
        Element::Diode { diode, .. } => Junction::new(diode).map(|_| ()).map_err(|why| Refused { why }),
        Element::OpenCollector { offset, ohms, off, .. } => {
            if offset.get() < 0.0 {
                return Err(Refused { why: "an output's offset must be zero or above" });
            }
            above_zero(*ohms, "an output's resistance must be above zero")?;
            above_zero(*off, "a leakage resistance must be above zero")
        }
    }
}
