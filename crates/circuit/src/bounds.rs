//! Guaranteed bounds over a box of tolerances.
//!
//! The highest voltage of a node over all values that the elements may have is found without
//! trying corners. Take the node `k`, an element `e` between `i` and `j`, and let `r(i)` be the
//! voltage that an ampere into `k` causes at `i` with every known voltage at zero. If an operating
//! point `v*` belongs to one choice of elements and `v'` to another, then exactly
//!
//! ```text
//! v'(k) − v*(k) = − Σ δI(e) · (r'(i) − r'(j)),      δI(e) = I'(v*(i) − v*(j)) − I*(v*(i) − v*(j))
//! ```
//!
//! where `r'` is taken in the network of chords, whose conductances are positive like any other's.
//! So if `r'(i) ≥ r'(j)` for *every* choice of positive conductances (`i` is the *near* end of `e`),
//! each term is at most zero as soon as `e` conducts least where current leaves the near end and most
//! where it comes in. That is a monotone law again, with one half for each direction: the worst case
//! is the operating point of one network. The near end depends on the graph only: `j` cannot be the
//! near one unless there are disjoint paths from `k` to `j` and from `i` to a known voltage.
//!
//! Where all near ends are certain that is all: one operating point, whatever diodes are in it, and nothing bounds the
//! node more closely than the point that attains it. All that follows is about rings.
//!
//! Elements without a certain near end (the middle of a bridge) are tried at both extremes where the
//! network is linear, since each alone then acts monotonically; elsewhere their whole influence is
//! added: at most `|δI(e)|` times the largest resistance that the node can have. Diodes that carry next
//! to nothing wherever the network stands (`ranges` tells) would bridge much and matter little: they are
//! left out, and their currents' whole influence is added the same way. What a diode carries is found from
//! the rough ranges of its ends or, where these are too wide, from the exact bounds of its ends: an
//! element's near end is certain for the nodes that it touches.
//!
//! A matrix of switches and diodes is full of rings, and has nodes that stand nearly still: the rows that are driven.
//! Wherever a node stands, an ideal source of that voltage beside it changes nothing (the substitution theorem), and the
//! higher a source stands the higher stand all nodes. So nodes of which a range is known may be held at the end of
//! it, which opens every ring that runs through them.

mod elements;
mod flow;
mod found;
mod graph;
mod part;
mod ranges;
mod regions;
mod through;

use std::cell::OnceCell;
use std::rc::Rc;

use solderside_quantity::{Amps, Ohms, Triple, Volts};

use self::elements::{chosen, ends, held_at, laws, side};
use self::flow::NearSources;
use self::found::Found;
use self::graph::Graph;
use self::part::{Choice, Part};
use self::ranges::Ranges;
use self::regions::Regions;
use crate::diode::{Diode, Junction};
use crate::law::Law;
use crate::network::{Element, ElementId, Network, Node, Refused};
use crate::newton::Stuck;
use crate::solve::Unsolvable;
use crate::star_mesh::Mesh;

/// An element with its tolerances, each independent of all others.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Uncertain {
    /// A resistance above zero.
    Resistor {
        /// One end.
        a: Node,
        /// The other end.
        b: Node,
        /// Its value.
        ohms: Triple<Ohms>,
    },
    /// A voltage against ground behind a resistance, which is zero without tolerance or above zero.
    Source {
        /// Where it feeds.
        node: Node,
        /// Its open-circuit voltage.
        volts: Triple<Volts>,
        /// Its inner resistance.
        ohms: Triple<Ohms>,
    },
    /// A current that flows through the element from `a` to `b`.
    Current {
        /// Where it leaves the network.
        a: Node,
        /// Where it comes back.
        b: Node,
        /// Its size.
        amps: Triple<Amps>,
    },
    /// A diode between two extremes; `most` carries at least the current of `least` at every voltage, up to
    /// 1 A: two that cross before are refused.
    Diode {
        /// The end into which forward current flows.
        anode: Node,
        /// The end with the bar.
        cathode: Node,
        /// The one that conducts least, as in the cold.
        least: Diode,
        /// The one that conducts most, as in the heat.
        most: Diode,
    },
    /// An output that is on and can only sink: see [`Element::OpenCollector`].
    Sink {
        /// The output.
        node: Node,
        /// Where it sinks to.
        to: Node,
        /// The voltage below which it sinks nothing.
        offset: Triple<Volts>,
        /// The slope above that.
        ohms: Triple<Ohms>,
        /// The resistance of its leakage.
        off: Triple<Ohms>,
    },
}

impl Uncertain {
    /// Whether the node is one of its ends.
    pub fn touches(&self, node: Node) -> bool {
        ends(self).contains(&node)
    }
}

/// Which end of the range is asked for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Extreme {
    /// The highest voltage.
    Highest,
    /// The lowest voltage.
    Lowest,
}

/// Why a bound holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Argument {
    /// Each element's near end is certain: the bound is attained.
    Oriented,
    /// So many elements without a certain near end were tried at both extremes of a linear network:
    /// the bound is attained.
    Tried(usize),
    /// The influence of so many elements, and of diodes that carry next to nothing, was added whole, or nodes
    /// that move little were held: the bound holds and may not be attained.
    Added(usize),
}

/// A voltage that occurs within the tolerances, and one that is never passed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bound {
    /// Is reached or passed at some choice of values. None where no such voltage is known.
    pub attained: Option<Volts>,
    /// Is never passed; equal to `attained` where the argument says so. None where nothing holds it.
    pub guaranteed: Option<Volts>,
    /// Why.
    pub argument: Argument,
}

/// A current that occurs within the tolerances, and one that is never passed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AmpsBound {
    /// Is reached or passed at some choice of values. None where no such current is known.
    pub attained: Option<Amps>,
    /// Is never passed. None where nothing holds it.
    pub guaranteed: Option<Amps>,
}

/// A diode that can carry no more than this, in amperes, is left out and added: 5 µA over a line of 20 kΩ
/// are 0.1 V, and in reverse it carries a thousandth of that.
const NEXT_TO_NOTHING: f64 = 5e-6;

/// A diode that can carry no more than this is left out while it is found out what it really carries.
const LITTLE: f64 = 100e-6;

/// A bound that lies so close to what is attained, in volts, is close enough.
const NARROW: f64 = 0.02;

/// Networks of more diodes than this, such as a pad's clamps, are not worth the time.
const MOST_CLOSER: usize = 9;

/// A node whose rough range is no wider than this share of the widest moves little: a line that an output drives.
const CALM: f64 = 0.5;

/// How often what diodes carry is found more closely.
const ROUNDS: usize = 4;

/// Iterations before the search for a bound is given up: where a node hangs on junctions alone, all of them backwards,
/// no number is enough, and what is given up leaves a looser bound or none, never a wrong one.
const PATIENCE: usize = 80;

/// Elements without a certain near end that are still tried one by one: 2⁸ operating points.
const MOST_TRIED: usize = 8;

/// A network with tolerances.
#[derive(Debug, Clone, Default)]
pub struct Spread {
    nodes: usize,
    elements: Vec<Uncertain>,
    /// What was found of it, once something is asked.
    found: OnceCell<Rc<Found>>,
}

/// What is known of a network before any node is asked for.
#[derive(Debug, Clone, Default)]
struct Survey {
    ranges: Option<Ranges>,
    /// For each node what leaks through it at most, in amperes: see [`Spread::leaks`].
    leaks: Vec<f64>,
    /// For each element the most that it carries, if it is a diode and that is next to nothing.
    stray: Vec<Option<f64>>,
}

impl Spread {
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
    pub fn add(&mut self, element: Uncertain) -> Result<ElementId, Refused> {
        check(&element)?;
        if ends(&element).into_iter().any(|node| node.0 > self.nodes) {
            return Err(Refused { why: "the node is not of this network" });
        }
        self.forget();
        self.elements.push(element);
        Ok(ElementId(self.elements.len() - 1))
    }

    /// The network with more elements; what it refuses stays out.
    #[must_use]
    pub fn with_more<'e>(&self, more: impl Iterator<Item = &'e Uncertain> + Clone) -> Self {
        let mut elements = Vec::with_capacity(self.elements.len() + more.clone().count());
        elements.extend(&self.elements);
        let mut network = self.with(elements);
        for element in more {
            let _ = network.add(*element);
        }
        network
    }

    /// The network with other elements in the place of some of its own; those stay that nothing can stand for.
    #[must_use]
    pub fn replaced(&self, instead: impl IntoIterator<Item = (ElementId, Uncertain)>) -> Self {
        let mut elements = self.elements.clone();
        for (id, by) in instead {
            if check(&by).is_ok()
                && ends(&by).into_iter().all(|node| node.0 <= self.nodes)
                && let Some(own) = elements.get_mut(id.0)
            {
                *own = by;
            }
        }
        self.with(elements)
    }

    /// The elements in the order in which they came in.
    pub fn elements(&self) -> &[Uncertain] {
        &self.elements
    }

    /// Returns the network with every value at its typical; a diode is the one that conducts least.
    pub fn typical(&self) -> Network {
        let mut network = Network::new();
        for _ in 0..self.nodes {
            network.node();
        }
        for element in &self.elements {
            // What was let into the box is let in at each of its points.
            let _ = network.add(elements::typical(element));
        }
        network
    }

    /// Bounds the node's voltage.
    ///
    /// # Errors
    /// As [`crate::Network::operating_point`], for the part of the network that the node is in.
    pub fn bound(&self, node: Node, extreme: Extreme) -> Result<Bound, Unsolvable> {
        if let Some(found) = self.found().bounds.borrow().get(&(node, extreme)) {
            return *found;
        }
        let regions = self.found().regions.get_or_init(|| Regions::of(self)).as_ref();
        let found = regions.and_then(|regions| regions.found(node, extreme)).unwrap_or_else(|| {
            let found = self.worst(node, extreme).map(|worst| worst.bound);
            if let Some(regions) = regions {
                regions.keep(node, extreme, found);
            }
            found
        });
        self.found().bounds.borrow_mut().insert((node, extreme), found);
        found
    }

    /// A voltage that the node never passes: the closer of that of [`Spread::bound`] and where the node is at most if each
    /// diode carries no less than two tangents of its law: closer where clamps alone hold a line, as then the survey finds
    /// nothing. None where nothing bounds it.
    pub fn never(&self, node: Node, extreme: Extreme) -> Option<Volts> {
        let bound = self.bound(node, extreme).ok()?;
        let is_attained = bound.attained.is_some() && bound.attained == bound.guaranteed;
        if is_attained || !self.elements.iter().any(is_diode) || self.survey().ranges.is_some() {
            return bound.guaranteed;
        }
        let ranges = self.found().bent.get_or_init(|| Ranges::bent(self)).as_ref();
        let rough = ranges.and_then(|ranges| Volts::new(ranges.at(node, extreme)).ok());
        let closer = |a: Volts, b: Volts| if extreme == Extreme::Highest { a.min(b) } else { a.max(b) };
        match (bound.guaranteed, rough) {
            (Some(own), Some(rough)) => Some(closer(own, rough)),
            (own, rough) => own.or(rough),
        }
    }

    /// Returns the choice of values at which [`Spread::bound`] is attained, for the elements that have
    /// any influence on the node.
    ///
    /// # Errors
    /// As [`Spread::bound`].
    pub fn corner(&self, node: Node, extreme: Extreme) -> Result<Vec<(ElementId, Element)>, Unsolvable> {
        let worst = self.worst(node, extreme)?;
        let Some(part) = worst.part else { return Ok(Vec::new()) };
        let mut corner = Vec::new();
        for (at, choice) in part.choices.iter().enumerate() {
            let id = part.elements[at];
            let most = match *choice {
                Choice::Branch(branch) => {
                    let branch = &part.system.branches[branch];
                    *branch.law(branch.across(&worst.volts))
                        == laws(&self.elements[id.0]).map_or(branch.forward, |[_, most]| most)
                }
                Choice::Current { high, .. } => high,
            };
            corner.push((id, chosen(&self.elements[id.0], most, extreme)));
        }
        Ok(corner)
    }

    /// Bounds the current that a source sends into its node (`Highest`), or takes from it (`Lowest`, then
    /// below zero where it does). An output that can only sink gives nothing. Zero for any other element.
    ///
    /// With the source's own two values held, its current follows from the voltage of its node; the
    /// current rises with its voltage, and its size falls as its resistance rises.
    ///
    /// # Errors
    /// As [`Spread::bound`].
    pub fn source_amps(&self, id: ElementId, extreme: Extreme) -> Result<AmpsBound, Unsolvable> {
        if let Some(found) = self.found().amps.borrow().get(&(id, extreme)) {
            return *found;
        }
        let mut found = self.find_source_amps(id, extreme);
        let is_loose = |bound: &AmpsBound| bound.attained != bound.guaranteed || bound.guaranteed.is_none();
        if let Some(most) = self.flow_amps(id, extreme)
            && found.as_ref().map_or(true, is_loose)
        {
            let most = if extreme == Extreme::Highest { most } else { -most };
            let attained = found.as_ref().ok().and_then(|bound| bound.attained);
            let own = found.as_ref().ok().and_then(|bound| bound.guaranteed);
            let tighter = own.filter(|own| match extreme {
                Extreme::Highest => *own < most,
                Extreme::Lowest => *own > most,
            });
            found = Ok(AmpsBound { attained, guaranteed: Some(tighter.unwrap_or(most)) });
        }
        self.found().amps.borrow_mut().insert((id, extreme), found);
        found
    }

    fn find_source_amps(&self, id: ElementId, extreme: Extreme) -> Result<AmpsBound, Unsolvable> {
        let (node, volts, ohms) = match self.elements.get(id.0) {
            Some(&Uncertain::Source { node, volts, ohms }) => (node, volts, ohms),
            Some(&sink @ Uncertain::Sink { .. }) if extreme == Extreme::Lowest => {
                return self.sunk_amps(id, &sink);
            }
            _ => return Ok(AmpsBound { attained: Some(Amps::ZERO), guaranteed: Some(Amps::ZERO) }),
        };
        if ohms.low() == Ohms::ZERO {
            // What an ideal source gives is for the rest of the network to say.
            return Ok(AmpsBound { attained: None, guaranteed: None });
        }
        let (own, opposite) = match extreme {
            Extreme::Highest => (volts.high(), Extreme::Lowest),
            Extreme::Lowest => (volts.low(), Extreme::Highest),
        };
        let with = |ohms: Ohms| -> Result<AmpsBound, Unsolvable> {
            // A network of its own each time: the survey of the whole box holds for each, not that of another.
            let mut fixed = self.clone();
            fixed.elements[id.0] =
                Uncertain::Source { node, volts: Triple::exactly(own), ohms: Triple::exactly(ohms) };
            fixed.found = OnceCell::from(Rc::new(self.found().of_box()));
            let mut bound = fixed.bound(node, opposite)?;
            if bound.attained != bound.guaranteed {
                // This source's own share of the survey is narrower.
                fixed.forget();
                bound = fixed.bound(node, opposite)?;
            }
            let amps = |at: Volts| (own - at).across(ohms);
            Ok(AmpsBound {
                attained: bound.attained.map(amps).transpose()?,
                guaranteed: bound.guaranteed.map(amps).transpose()?,
            })
        };
        // Its direction does not depend on the resistance, so only a current the other way is largest,
        // being smallest in size, at the high end.
        let strongest = with(ohms.low())?;
        let wanted = |amps: Amps| match extreme {
            Extreme::Highest => amps >= Amps::ZERO,
            Extreme::Lowest => amps <= Amps::ZERO,
        };
        if strongest.guaranteed.is_none_or(wanted) { Ok(strongest) } else { with(ohms.high()) }
    }

    /// Bounds what an output that can only sink takes from its node, below zero: the more it conducts the more
    /// it takes, whatever feeds it.
    fn sunk_amps(&self, id: ElementId, sink: &Uncertain) -> Result<AmpsBound, Unsolvable> {
        let Uncertain::Sink { node, to, offset, ohms, off } = *sink else {
            return Ok(AmpsBound { attained: None, guaranteed: None });
        };
        let mut strongest = self.clone();
        strongest.elements[id.0] = Uncertain::Sink {
            node,
            to,
            offset: Triple::exactly(offset.low()),
            ohms: Triple::exactly(ohms.low()),
            off: Triple::exactly(off.low()),
        };
        // The survey is that of the whole box; this output's own share of it is narrower.
        strongest.forget();
        let bound = strongest.bound(node, Extreme::Highest)?;
        // What it sinks to may stand above the ground, and takes the less for that.
        let amps = |volts: Volts| Amps::new(laws(sink).map_or(0.0, |[_, most]| -most.at(volts.get()).0));
        Ok(AmpsBound {
            attained: bound.attained.filter(|_| to == Node::GROUND).map(amps).transpose()?,
            guaranteed: bound.guaranteed.map(amps).transpose()?,
        })
    }

    /// Bounds a source's current one way by what the elements round it can bring, counted above zero: roughly, and
    /// whatever diodes there are. None where a current of its own leaves the voltages without a bound.
    pub fn flow_amps(&self, id: ElementId, extreme: Extreme) -> Option<Amps> {
        match self.elements.get(id.0)? {
            // What it gives comes to it from the ground, what it takes goes there.
            Uncertain::Source { .. } | Uncertain::Sink { .. } => self.flow(id, extreme == Extreme::Lowest),
            Uncertain::Resistor { .. } | Uncertain::Current { .. } | Uncertain::Diode { .. } => None,
        }
    }

    /// Bounds the current through a resistor, a diode or an output that can only sink, the way in which
    /// [`Spread::amps_through`] counts it, as [`Spread::flow_amps`] does that of a source.
    pub fn flow_through(&self, id: ElementId, extreme: Extreme) -> Option<Amps> {
        match self.elements.get(id.0)? {
            Uncertain::Resistor { .. } | Uncertain::Diode { .. } | Uncertain::Sink { .. } => {
                self.flow(id, extreme == Extreme::Highest)
            }
            Uncertain::Source { .. } | Uncertain::Current { .. } => None,
        }
    }

    fn flow(&self, id: ElementId, forth: bool) -> Option<Amps> {
        let amps = flow::most_amps(&self.elements, self.near()?, id, forth)?;
        Amps::new(amps).ok()
    }

    /// Bounds the size of the current through any element that is no source, either way: none carries more than all
    /// sources give together. None where one of these may stand below the ground, or a current of its own leaves the
    /// voltages without a bound.
    pub fn amps_given(&self) -> Option<Amps> {
        Amps::new(flow::given(&self.elements, self.near()?)?).ok()
    }

    /// Bounds the size of the current through an element either way by its own law, wherever its ends are: at once, and
    /// roughly. None where a current of its own leaves the voltages without a bound.
    pub fn amps_alone(&self, id: ElementId) -> Option<Amps> {
        Amps::new(flow::alone(&self.elements, self.near()?, id)?).ok()
    }

    /// Where nodes near a source or the ground stand.
    fn near(&self) -> Option<&NearSources> {
        self.found().near.get_or_init(|| NearSources::of(self.nodes, &self.elements)).as_ref()
    }

    /// Two voltages between which a node always is that is no more than two wires from a source or the ground, by what
    /// can flow there: whatever diodes there are. None where a current of its own leaves the voltages without a bound.
    pub fn near_a_source(&self, node: Node) -> Option<[Volts; 2]> {
        let [low, high] = self.near()?.stands(node)?;
        Some([Volts::new(low).ok()?, Volts::new(high).ok()?])
    }

    /// Whether there are so many diodes that exact bounds take long.
    pub fn has_many_diodes(&self) -> bool {
        let is_diode = |element: &&Uncertain| matches!(element, Uncertain::Diode { .. });
        self.elements.iter().filter(is_diode).count() > MOST_CLOSER / 2
    }

    /// Bounds the size of a source's current either way, at once and roughly; none if it is no source behind
    /// a resistance or nothing is known of its node. Only networks with diodes are surveyed: others are solved as
    /// fast.
    pub fn source_amps_roughly(&self, id: ElementId) -> Option<Amps> {
        let element = self.elements.get(id.0)?;
        let (Uncertain::Source { node, .. } | Uncertain::Sink { node, .. }) = element else { return None };
        let [low, high] = match &self.survey().ranges {
            Some(ranges) => [Extreme::Lowest, Extreme::Highest].map(|extreme| ranges.at(*node, extreme)),
            None if self.elements.iter().any(is_diode) => self.span()?,
            None => return None,
        };
        match (element, laws(element)) {
            (Uncertain::Sink { .. }, Some([_, most])) => Amps::new(most.at(high).0).ok(),
            (Uncertain::Source { volts, ohms, .. }, _) => {
                let most = f64::max(volts.high().get() - low, high - volts.low().get());
                Amps::new(most / ohms.low().get()).ok()
            }
            (
                Uncertain::Resistor { .. }
                | Uncertain::Current { .. }
                | Uncertain::Diode { .. }
                | Uncertain::Sink { .. },
                _,
            ) => None,
        }
    }

    /// The lowest and the highest voltage of any source: no node lies beyond that something holds, as long as no current
    /// is forced.
    fn span(&self) -> Option<[f64; 2]> {
        self.elements.iter().try_fold([0.0, 0.0], |[low, high]: [f64; 2], element| match element {
            Uncertain::Current { .. } => None,
            Uncertain::Source { volts, .. } => {
                Some([low.min(volts.low().get()), high.max(volts.high().get())])
            }
            Uncertain::Resistor { .. } | Uncertain::Diode { .. } | Uncertain::Sink { .. } => {
                Some([low, high])
            }
        })
    }

    /// Two voltages between which the node always is, found at once and roughly; none if nothing is known of it.
    /// Only networks with diodes are surveyed: others are solved as fast.
    pub fn roughly(&self, node: Node) -> Option<[Volts; 2]> {
        let ranges = self.survey().ranges.as_ref()?;
        let at = |extreme| Volts::new(ranges.at(node, extreme)).ok();
        Some([at(Extreme::Lowest)?, at(Extreme::Highest)?])
    }

    /// Whether anything leads from the node to a known voltage. A node without such a way floats.
    pub fn is_held(&self, node: Node) -> bool {
        held_at(self, Extreme::Highest).is_ok_and(|held| {
            // What holds it without any diode holds it, whichever of them the survey leaves out.
            let with = |stray: &[Option<f64>]| Part::of(self, node, Extreme::Highest, stray, &held);
            self.is_held_without_diodes(node, &held)
                || with(&self.survey().stray).is_none_or(|part| part.is_held())
        })
    }

    /// Whether anything but diodes leads from a node to a known voltage.
    fn is_held_without_diodes(&self, node: Node, held: &[Option<f64>]) -> bool {
        let is_other = |at: usize| self.elements.get(at).is_some_and(|element| !is_diode(element));
        node.0 < held.len() && Graph::around(self, node, held, is_other).is_held()
    }

    /// The worst case of a node. Where no near end is in doubt that is one operating point. A diode without a certain
    /// near end is first taken by the rough survey; where its influence then matters, nodes that move little are held
    /// at the end of their range, which opens the rings through them; and where that is not enough, by the bounds of
    /// its own two ends, at which its near end is certain.
    fn worst(&self, node: Node, extreme: Extreme) -> Result<Worst, Unsolvable> {
        let held = held_at(self, extreme)?;
        if let Some(found) = self.without_survey(node, extreme, &held) {
            return Ok(found);
        }
        let stray = &self.survey().stray;
        let mut found = self.worst_with(node, extreme, stray, &held);
        if found.as_ref().is_ok_and(|found| found.is_decided() || found.is_close()) {
            return found;
        }
        let calm = self.calm(node, extreme, &held);
        if calm != held
            && let Ok(mut second) = self.worst_with(node, extreme, stray, &calm)
        {
            // Nodes that are held apart from where they stand need not come to that together.
            (second.bound.attained, second.bound.argument) = (None, Argument::Added(0));
            found = Ok(tighter(found, second, extreme));
            if found.as_ref().is_ok_and(Worst::is_close) {
                return found;
            }
        }
        let closer = self.closer();
        if closer != stray
            && let Ok(third) = self.worst_with(node, extreme, closer, &held)
        {
            found = Ok(tighter(found, third, extreme));
        }
        found
    }

    /// The voltages of known nodes together with those of nodes that move little, held where they move one node most:
    /// wherever such a node stands, holding it there changes nothing, and the further it is held the further it moves
    /// all others.
    fn calm(&self, node: Node, extreme: Extreme, held: &[Option<f64>]) -> Vec<Option<f64>> {
        let mut calm = held.to_vec();
        let Some(ranges) = &self.survey().ranges else { return calm };
        let widest = (0..=self.nodes).map(|at| ranges.width(at)).filter(|width| width.is_finite());
        let little = CALM * widest.fold(0.0, f64::max);
        for (at, known) in calm.iter_mut().enumerate().filter(|(at, _)| *at != node.0) {
            if known.is_none() && ranges.width(at) <= little {
                *known = Some(ranges.at(Node(at), extreme));
            }
        }
        calm
    }

    /// What each diode carries at most, if that is next to nothing, by the bounds of its ends: again and again,
    /// as each one that is left out opens a ring and lets the others be bounded more closely.
    fn closer(&self) -> &Vec<Option<f64>> {
        self.found().closer.get_or_init(|| {
            let mut amps = self.survey().stray.clone();
            if self.elements.iter().filter(|element| is_diode(element)).count() > MOST_CLOSER {
                return amps;
            }
            for _ in 0..ROUNDS {
                let left_out: Vec<Option<f64>> =
                    amps.iter().map(|amps| amps.filter(|amps| *amps <= LITTLE)).collect();
                let closer: Vec<Option<f64>> = (self.elements.iter().zip(&amps))
                    .map(|(element, so_far)| {
                        let own = self.most_amps(element, &left_out);
                        own.zip(*so_far).map(|(own, so_far)| own.min(so_far)).or(own).or(*so_far)
                    })
                    .collect();
                if closer == amps {
                    break;
                }
                amps = closer;
            }
            amps.into_iter().map(|amps| amps.filter(|amps| *amps <= NEXT_TO_NOTHING)).collect()
        })
    }

    /// The largest current of a diode, either way, by the bounds of its ends; none for what is no diode, or
    /// where nothing is known of an end.
    fn most_amps(&self, element: &Uncertain, left_out: &[Option<f64>]) -> Option<f64> {
        let Uncertain::Diode { anode, cathode, .. } = *element else { return None };
        let [_, law] = laws(element)?;
        let at = |node: Node, extreme: Extreme| {
            let held = held_at(self, extreme).ok()?;
            let own = self.worst_with(node, extreme, left_out, &held).ok()?.bound.guaranteed?.get();
            own.is_finite().then_some(own)
        };
        let back = at(anode, Extreme::Lowest)? - at(cathode, Extreme::Highest)?;
        let forth = at(anode, Extreme::Highest)? - at(cathode, Extreme::Lowest)?;
        Some([back, forth].map(|volts| law.at(volts).0.abs()).into_iter().fold(0.0, f64::max))
    }

    /// The worst case of a node as one operating point with every diode in its place, which is attained, so that
    /// nothing could bound it more closely; none where a near end is not certain, where nothing but diodes holds the
    /// node (what leaks through one holds nothing), or where the point is not found.
    fn without_survey(&self, node: Node, extreme: Extreme, held: &[Option<f64>]) -> Option<Worst> {
        if !self.elements.iter().any(is_diode) || !self.is_held_without_diodes(node, held) {
            return None;
        }
        let part = Part::of(self, node, extreme, &vec![None; self.elements.len()], held)?;
        if !part.without_near_end.is_empty() {
            return None;
        }
        let mut volts = vec![0.0; part.nodes.len()];
        part.system.solve(&mut Mesh::default(), &mut volts, PATIENCE).ok()?;
        let attained = Volts::new(*volts.first()?).ok()?;
        Some(Worst::attained(attained, Some(part), volts))
    }

    /// The worst case with what is known of diodes and of nodes.
    fn worst_with(
        &self,
        node: Node,
        extreme: Extreme,
        stray: &[Option<f64>],
        held: &[Option<f64>],
    ) -> Result<Worst, Unsolvable> {
        let Some(mut part) = Part::of(self, node, extreme, stray, held) else {
            let volts = self.held(node).map_or(Volts::ZERO, |volts| side(volts, extreme));
            return Ok(Worst::attained(volts, None, Vec::new()));
        };
        let mut mesh = Mesh::default();
        let explain = |part: &Part, stuck: Stuck| match stuck {
            Stuck::Floating(i) => Unsolvable::Floating { node: part.nodes[i] },
            Stuck::NoBalance(i) => Unsolvable::NoBalance { node: part.nodes[i] },
        };
        // Starting near the extreme saves steps; any start would do.
        let start = |node: &Node| {
            let near = self.survey().ranges.as_ref().map(|ranges| ranges.at(*node, extreme));
            near.filter(|volts| volts.is_finite()).unwrap_or(0.0)
        };
        let mut volts: Vec<f64> = part.nodes.iter().map(start).collect();
        let open = part.without_near_end.len();
        if open > 0 && open <= MOST_TRIED && part.straight {
            let mut best: Option<(usize, Vec<f64>)> = None;
            for choice in 0..1_usize << open {
                part.set(self, |at| choice >> at & 1 == 1);
                volts.fill(0.0);
                part.system.solve(&mut mesh, &mut volts, PATIENCE).map_err(|stuck| explain(&part, stuck))?;
                let better = best.as_ref().is_none_or(|(_, so_far)| match extreme {
                    Extreme::Highest => volts[0] > so_far[0],
                    Extreme::Lowest => volts[0] < so_far[0],
                });
                if better {
                    best = Some((choice, volts.clone()));
                }
            }
            if let Some((choice, worst)) = best {
                part.set(self, |at| choice >> at & 1 == 1);
                volts = worst;
            }
        } else {
            part.system.solve(&mut mesh, &mut volts, PATIENCE).map_err(|stuck| explain(&part, stuck))?;
        }
        let (tried, influence) = match open {
            0 => (Argument::Oriented, 0.0),
            1..=MOST_TRIED if part.straight => (Argument::Tried(open), 0.0),
            _ => (Argument::Added(open), part.influence(self, &volts)),
        };
        let bound = if influence + part.stray > 0.0 {
            let ohms = part.system.largest_driving_point(&mut mesh, 0).unwrap_or(f64::INFINITY);
            let away = |amps: f64| match extreme {
                Extreme::Highest => Volts::new(volts[0] + amps * ohms),
                Extreme::Lowest => Volts::new(volts[0] - amps * ohms),
            };
            // With the diodes in, the real extreme may lie on either side by their currents' influence.
            let attained = away(-part.stray).ok();
            let argument = if influence > 0.0 { tried } else { Argument::Added(0) };
            // The rough range may be the closer one: both are passed by none.
            let rough = self.survey().ranges.as_ref().map(|ranges| ranges.at(node, extreme));
            let rough = rough.and_then(|volts| Volts::new(volts).ok());
            let added = away(influence + part.stray).ok();
            let closer = |a: Volts, b: Volts| if extreme == Extreme::Highest { a.min(b) } else { a.max(b) };
            let guaranteed = match (added, rough) {
                (Some(added), Some(rough)) => Some(closer(added, rough)),
                (added, rough) => added.or(rough),
            };
            Bound { attained, guaranteed, argument }
        } else {
            let attained = Volts::new(volts[0])?;
            Bound { attained: Some(attained), guaranteed: Some(attained), argument: tried }
        };
        Ok(Worst { bound, part: Some(part), volts })
    }

    /// Forgets what was found of it, after an element was changed.
    fn forget(&mut self) {
        self.found = OnceCell::new();
    }

    /// What was found of it so far.
    fn found(&self) -> &Found {
        self.found.get_or_init(|| Found::of(self))
    }

    /// Where its nodes are and what its diodes carry.
    fn survey(&self) -> &Survey {
        self.found().survey.get_or_init(|| {
            // A network without diodes is solved as fast as it is surveyed.
            let ranges = if self.elements.iter().any(is_diode) { Ranges::of(self) } else { None };
            let leaks = self.leaks();
            let most = |element: &Uncertain| {
                let [anode, cathode] = ends(element);
                let [_, most] = laws(element).filter(|_| is_diode(element))?;
                let leak = leaks[anode.0].min(leaks[cathode.0]);
                let amps = ranges.as_ref().map_or(leak, |it| it.most_amps(anode, cathode, &most).min(leak));
                (amps <= NEXT_TO_NOTHING).then_some(amps)
            };
            let stray = self.elements.iter().map(most).collect();
            Survey { ranges, leaks, stray }
        })
    }

    /// What leaks at most through each node at which all elements are diodes that point the same way, in amperes: a row of a
    /// matrix that nobody drives. What comes in forwards through one goes out backwards through the others. Infinite of any
    /// other node.
    fn leaks(&self) -> Vec<f64> {
        let mut nodes = vec![[0.0_f64; 2]; self.nodes + 1];
        nodes[Node::GROUND.0] = [f64::INFINITY; 2];
        for element in &self.elements {
            let own = match laws(element) {
                Some([_, Law::Junction(most)]) => [most.saturation(), f64::INFINITY],
                Some(_) | None => [f64::INFINITY; 2],
            };
            let [a, b] = ends(element);
            for (node, [anodes, cathodes]) in [(a, own), (b, [own[1], own[0]])] {
                nodes[node.0][0] += anodes;
                nodes[node.0][1] += cathodes;
            }
        }
        nodes.into_iter().map(|[anodes, cathodes]| anodes.min(cathodes)).collect()
    }

    /// The same nodes with other elements.
    pub(crate) fn with(&self, elements: Vec<Uncertain>) -> Self {
        Self { nodes: self.nodes, elements, ..Self::default() }
    }

    /// The voltage of a node that an ideal source or the ground holds.
    pub(crate) fn held(&self, node: Node) -> Option<Triple<Volts>> {
        if node == Node::GROUND {
            return Some(Triple::exactly(Volts::ZERO));
        }
        self.elements.iter().find_map(|element| match element {
            Uncertain::Source { node: at, volts, ohms } => {
                (*at == node && ohms.high() == Ohms::ZERO).then_some(*volts)
            }
            Uncertain::Resistor { .. }
            | Uncertain::Current { .. }
            | Uncertain::Diode { .. }
            | Uncertain::Sink { .. } => None,
        })
    }
}

struct Worst {
    bound: Bound,
    part: Option<Part>,
    volts: Vec<f64>,
}

impl Worst {
    /// That of a network in which every near end is certain.
    fn attained(at: Volts, part: Option<Part>, volts: Vec<f64>) -> Self {
        let bound = Bound { attained: Some(at), guaranteed: Some(at), argument: Argument::Oriented };
        Self { bound, part, volts }
    }

    /// Whether nothing hangs on an element without a certain near end beside a diode.
    fn is_decided(&self) -> bool {
        self.part.as_ref().is_none_or(|part| part.straight || part.without_near_end.is_empty())
    }

    /// Whether it is next to what is attained.
    fn is_close(&self) -> bool {
        let gap = self.bound.attained.zip(self.bound.guaranteed).map(|(a, b)| (a.get() - b.get()).abs());
        gap.is_some_and(|gap| gap <= NARROW)
    }
}

/// The tighter of two bounds of a node, with the further of what is known to be attained.
fn tighter(first: Result<Worst, Unsolvable>, second: Worst, extreme: Extreme) -> Worst {
    let Ok(first) = first else { return second };
    let is_beyond = |a: Volts, b: Volts| match extreme {
        Extreme::Highest => a > b,
        Extreme::Lowest => a < b,
    };
    let attained = match (first.bound.attained, second.bound.attained) {
        (Some(first), Some(second)) => Some(if is_beyond(second, first) { second } else { first }),
        (first, second) => first.or(second),
    };
    let is_tighter = match (first.bound.guaranteed, second.bound.guaranteed) {
        (Some(first), Some(second)) => is_beyond(first, second),
        (first, _) => first.is_none(),
    };
    let mut found = if is_tighter { second } else { first };
    found.bound.attained = attained;
    found
}

const fn is_diode(element: &Uncertain) -> bool {
    matches!(element, Uncertain::Diode { .. })
}

fn check(element: &Uncertain) -> Result<(), Refused> {
    let above_zero = |ohms: &Triple<Ohms>| ohms.low().get() > 0.0 && ohms.low().get().recip().is_finite();
    match element {
        Uncertain::Resistor { ohms, .. } if above_zero(ohms) => Ok(()),
        Uncertain::Resistor { .. } => Err(Refused { why: "a resistance must be above zero" }),
        Uncertain::Source { ohms, .. } if ohms.high() == Ohms::ZERO || above_zero(ohms) => Ok(()),
        Uncertain::Source { .. } => {
            Err(Refused { why: "a source's resistance must be zero throughout, or above zero" })
        }
        Uncertain::Current { .. } => Ok(()),
        Uncertain::Diode { least, most, .. } => {
            let both = Junction::new(least).and_then(|least| Ok((least, Junction::new(most)?)));
            let (least, most) = both.map_err(|why| Refused { why })?;
            if least.stays_below(&most) {
                Ok(())
            } else {
                Err(Refused { why: "the diode that carries most must do so at every voltage" })
            }
        }
        Uncertain::Sink { offset, ohms, off, .. } => {
            if offset.low().get() >= 0.0 && above_zero(ohms) && above_zero(off) {
                Ok(())
            } else {
                Err(Refused { why: "an output's offset must be zero or above, its resistances above zero" })
            }
        }
    }
}
