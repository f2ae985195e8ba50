//! What was bounded before: the part of a network round a node is often the same in another network.
//!
//! A bound hangs on nothing but the elements between the known voltages round its node: its *region*. Chips between
//! rails that are known cut a network into many small regions, and from one state, one step or one lead to the next few
//! of them change. So regions are written down as numbers, element by element in their order, with their nodes counted
//! as they come, and what was found for one is kept for all that are written alike: to the last bit, as the solver sees
//! them alike too.
//!
//! Diodes are bounded with the help of a survey of the whole network. So no region with diodes is kept, and beside
//! diodes elsewhere only what no survey can change.

use std::cell::RefCell;
use std::collections::BTreeMap;
use std::rc::Rc;

use solderside_quantity::{Ohms, Quantity, Triple};

use super::elements::ends;
use super::{Argument, Bound, Extreme, Spread, Uncertain, is_diode};
use crate::diode::Diode;
use crate::network::Node;
use crate::solve::Unsolvable;

/// So many regions are kept at a time.
const MOST_KEPT: usize = 8192;

thread_local! {
    static KNOWN: RefCell<Known> = RefCell::default();
}

/// What is known of regions, by what is written of them.
#[derive(Default)]
struct Known {
    regions: BTreeMap<u64, Vec<Rc<Region>>>,
    count: usize,
}

/// A region with what was found of it.
#[derive(Debug)]
struct Region {
    written: Vec<u64>,
    /// By the number of the node; nodes in what went wrong are numbered likewise.
    found: RefCell<BTreeMap<(usize, Extreme), Result<Bound, Unsolvable>>>,
}

/// The regions of one network.
#[derive(Debug, Clone)]
pub(super) struct Regions {
    /// The region of each node, and its number there; none where a known voltage holds it, or a diode is in its region.
    places: Vec<Option<(usize, usize)>>,
    known: Vec<Option<Rc<Region>>>,
    /// Each region's nodes by their numbers.
    nodes: Vec<Vec<Node>>,
    has_diodes: bool,
}

impl Regions {
    /// Cuts a network into its regions; none where two known voltages contradict.
    pub(super) fn of(spread: &Spread) -> Option<Self> {
        let count = spread.nodes + 1;
        let mut held: Vec<Option<[u64; 2]>> = vec![None; count];
        held[0] = Some([0.0_f64.to_bits(); 2]);
        for element in &spread.elements {
            if let Uncertain::Source { node, volts, ohms } = element
                && ohms.high() == Ohms::ZERO
            {
                let volts = [volts.low(), volts.high()].map(|volts| volts.get().to_bits());
                if held[node.0].replace(volts).is_some() {
                    return None;
                }
            }
        }
        let mut roots: Vec<usize> = (0..count).collect();
        let is_free = |node: Node| held[node.0].is_none();
        for element in &spread.elements {
            let [a, b] = ends(element);
            if !matches!(element, Uncertain::Current { .. }) && is_free(a) && is_free(b) {
                let [a, b] = [root(&mut roots, a.0), root(&mut roots, b.0)];
                roots[a.max(b)] = a.min(b);
            }
        }
        let has_diodes = spread.elements.iter().any(is_diode);
        let mut of_root: Vec<Option<usize>> = vec![None; count];
        let mut places: Vec<Option<(usize, usize)>> = vec![None; count];
        let mut nodes: Vec<Vec<Node>> = Vec::new();
        let mut written: Vec<Option<Vec<u64>>> = Vec::new();
        for element in &spread.elements {
            let both = ends(element);
            let regions = both.map(|node| {
                is_free(node).then(|| {
                    *of_root[root(&mut roots, node.0)].get_or_insert_with(|| {
                        nodes.push(Vec::new());
                        let mut own = Vec::with_capacity(128);
                        own.push(u64::from(has_diodes));
                        written.push(Some(own));
                        nodes.len() - 1
                    })
                })
            });
            for (node, region) in both.into_iter().zip(regions) {
                if let (Some(region), None) = (region, places[node.0]) {
                    places[node.0] = Some((region, nodes[region].len()));
                    nodes[region].push(node);
                }
            }
            let [first, second] = regions;
            for region in [first, second.filter(|second| Some(*second) != first)].into_iter().flatten() {
                if is_diode(element) {
                    written[region] = None;
                } else if let Some(written) = &mut written[region] {
                    // What is not of this region is a known voltage, or the far end of a current.
                    let end = |node: Node| match (places[node.0], held[node.0]) {
                        (Some((own, number)), _) if own == region => [number as u64, 0, 0],
                        (_, Some([low, high])) => [u64::MAX, low, high],
                        (_, None) => [u64::MAX - 1, 0, 0],
                    };
                    write(written, element, both.map(end));
                }
            }
        }
        let known = KNOWN.with_borrow_mut(|all| {
            written.into_iter().map(|written| written.map(|written| all.region(written))).collect()
        });
        Some(Self { places, known, nodes, has_diodes })
    }

    /// What was found of a node before.
    pub(super) fn found(&self, node: Node, extreme: Extreme) -> Option<Result<Bound, Unsolvable>> {
        let (region, number) = self.place(node)?;
        let found = *self.known[region].as_ref()?.found.borrow().get(&(number, extreme))?;
        Some(
            found.map_err(|why| renamed(why, |node| self.nodes[region].get(node.0).copied().unwrap_or(node))),
        )
    }

    /// Keeps what was found of a node, if it is the same in every network with its region.
    pub(super) fn keep(&self, node: Node, extreme: Extreme, found: Result<Bound, Unsolvable>) {
        let is_of_region = match found {
            Ok(bound) => {
                matches!(bound.argument, Argument::Oriented | Argument::Tried(_)) || !self.has_diodes
            }
            Err(_) => !self.has_diodes,
        };
        let Some((region, number)) = self.place(node).filter(|_| is_of_region) else { return };
        if let Some(known) = &self.known[region] {
            let numbered = |node: Node| Node(self.place(node).map_or(node.0, |(_, number)| number));
            known.found.borrow_mut().insert((number, extreme), found.map_err(|why| renamed(why, numbered)));
        }
    }

    fn place(&self, node: Node) -> Option<(usize, usize)> {
        self.places.get(node.0).copied().flatten()
    }
}

impl Known {
    /// The region of which this is written.
    fn region(&mut self, written: Vec<u64>) -> Rc<Region> {
        let alike = self.regions.entry(fingerprint(&written)).or_default();
        if let Some(known) = alike.iter().find(|known| known.written == written) {
            return Rc::clone(known);
        }
        let region = Rc::new(Region { written, found: RefCell::default() });
        if self.count >= MOST_KEPT {
            *self = Self::default();
        }
        self.regions.entry(fingerprint(&region.written)).or_default().push(Rc::clone(&region));
        self.count += 1;
        region
    }
}

/// The first of the nodes that are tied to one.
fn root(roots: &mut [usize], mut node: usize) -> usize {
    while roots[node] != node {
        roots[node] = roots[roots[node]];
        node = roots[node];
    }
    node
}

/// Writes an element down, with all that a bound may ask of it.
pub(super) fn write(written: &mut Vec<u64>, element: &Uncertain, [a, b]: [[u64; 3]; 2]) {
    fn triple<T: Quantity>(triple: Triple<T>) -> [u64; 3] {
        [triple.low(), triple.typical(), triple.high()].map(|value| value.get().to_bits())
    }
    match element {
        Uncertain::Resistor { ohms, .. } => {
            written.push(1);
            written.extend(a.into_iter().chain(b).chain(triple(*ohms)));
        }
        Uncertain::Source { volts, ohms, .. } => {
            written.push(2);
            written.extend(a.into_iter().chain(triple(*volts)).chain(triple(*ohms)));
        }
        Uncertain::Current { amps, .. } => {
            written.push(3);
            written.extend(a.into_iter().chain(b).chain(triple(*amps)));
        }
        Uncertain::Sink { offset, ohms, off, .. } => {
            written.push(4);
            written.extend(a.into_iter().chain(b));
            written.extend([triple(*offset), triple(*ohms), triple(*off)].into_iter().flatten());
        }
        Uncertain::Diode { least, most, .. } => {
            written.push(5);
            written.extend(a.into_iter().chain(b));
            for Diode { is, n, rs, at } in [least, most] {
                written.extend([is.get(), *n, rs.get(), at.get()].map(f64::to_bits));
            }
        }
    }
}

/// A number that differs for most that is written differently (the constants are those of FNV-1a, public domain; what is
/// written is compared as well).
pub(super) fn fingerprint(written: &[u64]) -> u64 {
    written.iter().fold(0xcbf2_9ce4_8422_2325, |so_far, word| {
        let mixed = (so_far ^ word).wrapping_mul(0x0100_0000_01b3);
        mixed ^ mixed >> 29
    })
}

/// What went wrong, with its node by another name.
fn renamed(why: Unsolvable, name: impl Fn(Node) -> Node) -> Unsolvable {
    match why {
        Unsolvable::Floating { node } => Unsolvable::Floating { node: name(node) },
        Unsolvable::NoBalance { node } => Unsolvable::NoBalance { node: name(node) },
        Unsolvable::Contradiction { .. } | Unsolvable::Range => why,
    }
}
