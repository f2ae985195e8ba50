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
//! Elements without a certain near end (the middle of a bridge) are tried at both extremes where the
//! network is linear, since each alone then acts monotonically; elsewhere their whole influence is
//! added: at most `|δI(e)|` times the largest resistance that the node can have.

use solderside_quantity::{Amps, Ohms, Quantity, Triple, Volts};

use crate::diode::{Diode, Junction};
use crate::law::Law;
use crate::network::{Element, ElementId, Node, Refused};
use crate::newton::{Branch, End, Stuck, System};
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
    /// A diode between two extremes; `most` carries at least the current of `least` at every voltage.
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

/// Which end of the range is asked for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
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
    /// The influence of so many elements was added whole: the bound holds and may not be attained.
    Added(usize),
}

/// A voltage that occurs within the tolerances, and one that is never passed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bound {
    /// Occurs at some choice of values.
    pub attained: Volts,
    /// Is never passed; equal to `attained` where the argument says so. None where nothing holds it.
    pub guaranteed: Option<Volts>,
    /// Why.
    pub argument: Argument,
}

/// Elements without a certain near end that are still tried one by one: 2⁸ operating points.
const MOST_TRIED: usize = 8;

/// A network with tolerances.
#[derive(Debug, Clone, Default)]
pub struct Spread {
    nodes: usize,
    elements: Vec<Uncertain>,
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
        self.elements.push(element);
        Ok(ElementId(self.elements.len() - 1))
    }

    /// The elements in the order in which they came in.
    pub fn elements(&self) -> &[Uncertain] {
        &self.elements
    }

    /// Puts another element in the place of one.
    ///
    /// # Errors
    /// Refuses as [`Spread::add`], and a place that is empty.
    pub fn replace(&mut self, id: ElementId, element: Uncertain) -> Result<(), Refused> {
        check(&element)?;
        let place = self.elements.get_mut(id.0).ok_or(Refused { why: "there is no such element" })?;
        *place = element;
        Ok(())
    }

    /// Bounds the node's voltage.
    ///
    /// # Errors
    /// As [`crate::Network::operating_point`], for the part of the network that the node is in.
    pub fn bound(&self, node: Node, extreme: Extreme) -> Result<Bound, Unsolvable> {
        self.worst(node, extreme).map(|worst| worst.bound)
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
    /// below zero where it does). Zero for an element that is no source behind a resistance.
    ///
    /// With the source's own two values held, its current follows from the voltage of its node; the
    /// current rises with its voltage, and its size falls as its resistance rises.
    ///
    /// # Errors
    /// As [`Spread::bound`].
    pub fn source_amps(&self, id: ElementId, extreme: Extreme) -> Result<Option<Amps>, Unsolvable> {
        let Some(&Uncertain::Source { node, volts, ohms }) = self.elements.get(id.0) else {
            return Ok(Some(Amps::ZERO));
        };
        let (own, opposite) = match extreme {
            Extreme::Highest => (volts.high(), Extreme::Lowest),
            Extreme::Lowest => (volts.low(), Extreme::Highest),
        };
        let mut fixed = self.clone();
        let mut worst: Option<Amps> = None;
        for ohms in [ohms.low(), ohms.high()] {
            fixed.elements[id.0] =
                Uncertain::Source { node, volts: Triple::exactly(own), ohms: Triple::exactly(ohms) };
            let Some(at) = fixed.bound(node, opposite)?.guaranteed else { return Ok(None) };
            let amps = (own - at).across(ohms)?;
            worst = Some(match (worst, extreme) {
                (None, _) => amps,
                (Some(so_far), Extreme::Highest) => so_far.max(amps),
                (Some(so_far), Extreme::Lowest) => so_far.min(amps),
            });
        }
        Ok(worst)
    }

    /// Whether anything leads from the node to a known voltage. A node without such a way floats.
    pub fn is_held(&self, node: Node) -> bool {
        Part::of(self, node, Extreme::Highest).is_ok_and(|part| part.is_none_or(|part| part.is_held()))
    }

    fn worst(&self, node: Node, extreme: Extreme) -> Result<Worst, Unsolvable> {
        let Some(mut part) = Part::of(self, node, extreme)? else {
            let volts = self.held(node).map_or(Volts::ZERO, |volts| side(volts, extreme));
            let bound = Bound { attained: volts, guaranteed: Some(volts), argument: Argument::Oriented };
            return Ok(Worst { bound, part: None, volts: Vec::new() });
        };
        let mut mesh = Mesh::default();
        let explain = |part: &Part, stuck: Stuck| match stuck {
            Stuck::Floating(i) => Unsolvable::Floating { node: part.nodes[i] },
            Stuck::NoBalance(i) => Unsolvable::NoBalance { node: part.nodes[i] },
        };
        let mut volts = vec![0.0; part.nodes.len()];
        let open = part.without_near_end.len();
        if open > 0 && open <= MOST_TRIED && part.straight {
            let mut best: Option<(usize, Vec<f64>)> = None;
            for choice in 0..1_usize << open {
                part.set(self, |at| choice >> at & 1 == 1);
                volts.fill(0.0);
                part.system.solve(&mut mesh, &mut volts).map_err(|stuck| explain(&part, stuck))?;
                let better = best.as_ref().is_none_or(|(_, so_far)| match extreme {
                    Extreme::Highest => volts[0] > so_far[0],
                    Extreme::Lowest => volts[0] < so_far[0],
                });
                if better {
                    best = Some((choice, volts.clone()));
                }
            }
            if let Some((choice, volts)) = best {
                part.set(self, |at| choice >> at & 1 == 1);
                let attained = Volts::new(volts[0])?;
                let bound = Bound { attained, guaranteed: Some(attained), argument: Argument::Tried(open) };
                return Ok(Worst { bound, part: Some(part), volts });
            }
        }
        part.system.solve(&mut mesh, &mut volts).map_err(|stuck| explain(&part, stuck))?;
        let attained = Volts::new(volts[0])?;
        let (guaranteed, argument) = if open == 0 {
            (Some(attained), Argument::Oriented)
        } else {
            let added = part.influence(self, &volts)
                * part.system.largest_driving_point(&mut mesh, 0).unwrap_or(f64::INFINITY);
            let passed = match extreme {
                Extreme::Highest => volts[0] + added,
                Extreme::Lowest => volts[0] - added,
            };
            (Volts::new(passed).ok(), Argument::Added(open))
        };
        Ok(Worst { bound: Bound { attained, guaranteed, argument }, part: Some(part), volts })
    }

    /// The voltage of a node that an ideal source or the ground holds.
    fn held(&self, node: Node) -> Option<Triple<Volts>> {
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

/// How an element's value was chosen.
enum Choice {
    /// By the direction of this branch's current.
    Branch(usize),
    /// A current at its high end or at its low one, and its places among the injected ones.
    Current { high: bool, from: Option<usize>, to: Option<usize> },
}

/// The connected part of a network that has influence on one node, which is its first.
struct Part {
    nodes: Vec<Node>,
    system: System,
    elements: Vec<ElementId>,
    choices: Vec<Choice>,
    /// Places in `elements` without a certain near end.
    without_near_end: Vec<usize>,
    /// Whether each law is straight, so that an element without a near end acts monotonically.
    straight: bool,
}

impl Part {
    /// Cuts the part out; none if the node's voltage is known.
    fn of(spread: &Spread, node: Node, extreme: Extreme) -> Result<Option<Self>, Unsolvable> {
        let mut held: Vec<Option<f64>> = vec![None; spread.nodes + 1];
        held[0] = Some(0.0);
        for (at, element) in spread.elements.iter().enumerate() {
            if let Uncertain::Source { node, volts, ohms } = element
                && ohms.high() == Ohms::ZERO
                && held[node.0].replace(side(*volts, extreme).get()).is_some()
            {
                return Err(Unsolvable::Contradiction { node: *node, element: ElementId(at) });
            }
        }
        if node.0 >= held.len() || held[node.0].is_some() {
            return Ok(None);
        }
        let graph = Graph::around(spread, node, &held);
        let mut part = Self {
            nodes: graph.nodes.clone(),
            system: System { size: graph.nodes.len(), ..System::default() },
            elements: Vec::new(),
            choices: Vec::new(),
            without_near_end: Vec::new(),
            straight: true,
        };
        for (at, element) in spread.elements.iter().enumerate() {
            let [a, b] = ends(element);
            // A current may come from a part that nothing else joins to this one, where the node's
            // ampere has as little effect as on a known voltage.
            let apart = matches!(element, Uncertain::Current { .. }).then_some(0.0);
            let place =
                |node: Node| graph.places[node.0].map(End::Free).or(held[node.0].or(apart).map(End::Fixed));
            let (Some(p), Some(q)) = (place(a), place(b)) else { continue };
            if p == q || matches!((p, q), (End::Fixed(_), End::Fixed(_))) {
                continue;
            }
            part.take(ElementId(at), element, [p, q], extreme, &graph);
        }
        Ok(Some(part))
    }

    /// Takes one element in, at the extreme that its near end asks for.
    fn take(
        &mut self,
        id: ElementId,
        element: &Uncertain,
        [p, q]: [End; 2],
        extreme: Extreme,
        graph: &Graph,
    ) {
        let near = match (p, q) {
            (End::Free(_), End::Fixed(_)) => Some(Near::First),
            (End::Fixed(_), End::Free(_)) => Some(Near::Second),
            (End::Free(i), End::Free(j)) => graph.near(i, j),
            (End::Fixed(_), End::Fixed(_)) => return,
        };
        let place = self.elements.len();
        self.elements.push(id);
        if near.is_none() {
            self.without_near_end.push(place);
        }
        if let Uncertain::Current { amps, .. } = element {
            // The current leaves the network at `p` and comes back at `q`.
            let high = near.map(|near| (near == Near::Second) == (extreme == Extreme::Highest));
            let amps = match high {
                Some(true) => amps.high(),
                Some(false) => amps.low(),
                None => amps.typical(),
            };
            let mut inject = |end: End, amps: f64| match end {
                End::Free(i) => {
                    self.system.injected.push((i, amps));
                    Some(self.system.injected.len() - 1)
                }
                End::Fixed(_) => None,
            };
            let (from, to) = (inject(p, -amps.get()), inject(q, amps.get()));
            self.choices.push(Choice::Current { high: high.unwrap_or(false), from, to });
            return;
        }
        let Some([least, most]) = laws(element) else { return };
        self.straight &= least.is_linear() && most.is_linear();
        let q = if let Uncertain::Source { volts, .. } = element {
            End::Fixed(side(*volts, extreme).get())
        } else {
            q
        };
        let raising = extreme == Extreme::Highest;
        let (forward, backward) = match near {
            Some(Near::First) if raising => (least, most),
            Some(Near::Second) if raising => (most, least),
            Some(Near::First) => (most, least),
            Some(Near::Second) => (least, most),
            None => (middle(element).unwrap_or(least), middle(element).unwrap_or(least)),
        };
        self.choices.push(Choice::Branch(self.system.branches.len()));
        self.system.branches.push(Branch { p, q, forward, backward });
    }

    /// Sets each element without a near end to its most or its least.
    fn set(&mut self, spread: &Spread, most: impl Fn(usize) -> bool) {
        for (at, place) in self.without_near_end.iter().enumerate() {
            let element = &spread.elements[self.elements[*place].0];
            match (&mut self.choices[*place], element) {
                (Choice::Branch(branch), _) => {
                    if let Some([least, greatest]) = laws(element) {
                        let law = if most(at) { greatest } else { least };
                        let branch = &mut self.system.branches[*branch];
                        (branch.forward, branch.backward) = (law, law);
                    }
                }
                (Choice::Current { high, from, to }, Uncertain::Current { amps, .. }) => {
                    *high = most(at);
                    let amps = if *high { amps.high() } else { amps.low() }.get();
                    for (place, amps) in [(from, -amps), (to, amps)] {
                        if let Some(place) = place {
                            self.system.injected[*place].1 = amps;
                        }
                    }
                }
                (Choice::Current { .. }, _) => {}
            }
        }
    }

    /// How far the currents of the elements without a near end may differ from those taken.
    fn influence(&self, spread: &Spread, volts: &[f64]) -> f64 {
        let mut amps = 0.0;
        for place in &self.without_near_end {
            let element = &spread.elements[self.elements[*place].0];
            amps += match (&self.choices[*place], element) {
                (Choice::Branch(branch), _) => {
                    let branch = &self.system.branches[*branch];
                    let across = branch.across(volts);
                    let taken = branch.law(across).at(across).0;
                    laws(element).map_or(0.0, |both| {
                        both.map(|law| (law.at(across).0 - taken).abs()).into_iter().fold(0.0, f64::max)
                    })
                }
                (Choice::Current { .. }, Uncertain::Current { amps, .. }) => (amps.high() - amps.low()).get(),
                (Choice::Current { .. }, _) => 0.0,
            };
        }
        amps
    }

    fn is_held(&self) -> bool {
        self.system.branches.iter().any(|b| matches!(b.p, End::Fixed(_)) || matches!(b.q, End::Fixed(_)))
    }
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Near {
    First,
    Second,
}

/// The graph of the unknown nodes around one node, which is its first, as sets of bits.
struct Graph {
    nodes: Vec<Node>,
    places: Vec<Option<usize>>,
    /// Each node's neighbours among the unknown nodes; empty where there are more than 128.
    joined: Vec<u128>,
    /// The nodes beside a known voltage.
    beside_known: u128,
}

impl Graph {
    fn around(spread: &Spread, node: Node, held: &[Option<f64>]) -> Self {
        let mut lists: Vec<Vec<usize>> = vec![Vec::new(); held.len()];
        let conducts = |element: &&Uncertain| !matches!(element, Uncertain::Current { .. });
        for element in spread.elements.iter().filter(conducts) {
            let [a, b] = ends(element);
            if held[a.0].is_none() && held[b.0].is_none() {
                lists[a.0].push(b.0);
                lists[b.0].push(a.0);
            }
        }
        let mut places = vec![None; held.len()];
        let mut nodes = vec![node];
        places[node.0] = Some(0);
        let mut at = 0;
        while at < nodes.len() {
            for &other in &lists[nodes[at].0] {
                if places[other].is_none() {
                    places[other] = Some(nodes.len());
                    nodes.push(Node(other));
                }
            }
            at += 1;
        }
        let mut graph = Self { joined: Vec::new(), beside_known: 0, nodes, places };
        if graph.nodes.len() <= 128 {
            graph.joined = vec![0; graph.nodes.len()];
            for element in spread.elements.iter().filter(conducts) {
                let [a, b] = ends(element).map(|node| graph.places[node.0]);
                match (a, b) {
                    (Some(a), Some(b)) => {
                        graph.joined[a] |= 1 << b;
                        graph.joined[b] |= 1 << a;
                    }
                    (Some(a), None) | (None, Some(a)) => graph.beside_known |= 1 << a,
                    (None, None) => {}
                }
                // A source's known voltage is behind its resistance.
                if let (Uncertain::Source { .. }, Some(a)) = (element, a) {
                    graph.beside_known |= 1 << a;
                }
            }
        }
        graph
    }

    /// Tells which of two unknown nodes is the near one for every choice of conductances.
    fn near(&self, i: usize, j: usize) -> Option<Near> {
        if self.joined.is_empty() {
            None
        } else if !self.may_be_nearer(j, i) {
            Some(Near::First)
        } else if !self.may_be_nearer(i, j) {
            Some(Near::Second)
        } else {
            None
        }
    }

    /// Whether there may be disjoint paths from the first node to `i` and from `j` to a known voltage.
    /// Errs towards yes: the two paths are looked for one at a time.
    fn may_be_nearer(&self, i: usize, j: usize) -> bool {
        const FIRST: usize = 0;
        if j == FIRST {
            return false;
        }
        let [without_j, without_i] = [!(1 << j), !(1 << i) & !(1 << FIRST)];
        self.reached(FIRST, without_j) >> i & 1 == 1 && self.reached(j, without_i) & self.beside_known != 0
    }

    /// The nodes reached from one through those allowed.
    fn reached(&self, from: usize, allowed: u128) -> u128 {
        let mut seen: u128 = 1 << from;
        let mut fresh = seen;
        while fresh != 0 {
            let node = fresh.trailing_zeros() as usize;
            fresh &= fresh - 1;
            let next = self.joined[node] & allowed & !seen;
            seen |= next;
            fresh |= next;
        }
        seen
    }
}

fn side<T: Quantity>(triple: Triple<T>, extreme: Extreme) -> T {
    match extreme {
        Extreme::Highest => triple.high(),
        Extreme::Lowest => triple.low(),
    }
}

fn ends(element: &Uncertain) -> [Node; 2] {
    match *element {
        Uncertain::Resistor { a, b, .. } | Uncertain::Current { a, b, .. } => [a, b],
        Uncertain::Source { node, .. } => [node, Node::GROUND],
        Uncertain::Sink { node, to, .. } => [node, to],
        Uncertain::Diode { anode, cathode, .. } => [anode, cathode],
    }
}

/// The laws that conduct least and most; none for what is no branch.
fn laws(element: &Uncertain) -> Option<[Law; 2]> {
    match element {
        Uncertain::Source { ohms, .. } if ohms.high() == Ohms::ZERO => None,
        Uncertain::Resistor { ohms, .. } | Uncertain::Source { ohms, .. } => {
            Some([linear(ohms.high()), linear(ohms.low())])
        }
        Uncertain::Current { .. } => None,
        Uncertain::Diode { least, most, .. } => {
            let [least, most] = [least, most].map(|diode| Junction::new(diode).ok().map(Law::Junction));
            Some([least?, most?])
        }
        Uncertain::Sink { offset, ohms, off, .. } => {
            Some([sink(offset.high(), ohms.high(), off.high()), sink(offset.low(), ohms.low(), off.low())])
        }
    }
}

fn middle(element: &Uncertain) -> Option<Law> {
    match element {
        Uncertain::Resistor { ohms, .. } | Uncertain::Source { ohms, .. } => Some(linear(ohms.typical())),
        Uncertain::Sink { offset, ohms, off, .. } => {
            Some(sink(offset.typical(), ohms.typical(), off.typical()))
        }
        Uncertain::Diode { .. } => laws(element).map(|[least, _]| least),
        Uncertain::Current { .. } => None,
    }
}

fn linear(ohms: Ohms) -> Law {
    Law::Linear(ohms.get().recip())
}

fn sink(offset: Volts, ohms: Ohms, off: Ohms) -> Law {
    Law::Sink { offset: offset.get(), conductance: ohms.get().recip(), leak: off.get().recip() }
}

/// The element with its values chosen.
fn chosen(element: &Uncertain, most: bool, extreme: Extreme) -> Element {
    let pick = |ohms: Triple<Ohms>| if most { ohms.low() } else { ohms.high() };
    match *element {
        Uncertain::Resistor { a, b, ohms } => Element::Resistor { a, b, ohms: pick(ohms) },
        Uncertain::Source { node, volts, ohms } => {
            Element::Source { node, volts: side(volts, extreme), ohms: pick(ohms) }
        }
        Uncertain::Current { a, b, amps } => {
            Element::Current { a, b, amps: if most { amps.high() } else { amps.low() } }
        }
        Uncertain::Diode { anode, cathode, least, most: greatest } => {
            Element::Diode { anode, cathode, diode: if most { greatest } else { least } }
        }
        Uncertain::Sink { node, to, offset, ohms, off } => Element::OpenCollector {
            node,
            to,
            on: true,
            offset: if most { offset.low() } else { offset.high() },
            ohms: pick(ohms),
            off: pick(off),
        },
    }
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
            Junction::new(least).and(Junction::new(most)).map(|_| ()).map_err(|why| Refused { why })
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
