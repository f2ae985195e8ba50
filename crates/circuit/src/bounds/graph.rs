//! Which end of an element is nearer to a node, whatever the conductances are.

use super::elements::ends;
use super::{Spread, Uncertain};
use crate::network::Node;

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Near {
    First,
    Second,
}

/// The graph of the unknown nodes around one node, which is its first, as sets of bits.
pub(super) struct Graph {
    pub(super) nodes: Vec<Node>,
    pub(super) places: Vec<Option<usize>>,
    /// Each node's neighbours among the unknown nodes; empty where there are more than 128.
    joined: Vec<u128>,
    /// The nodes beside a known voltage.
    beside_known: u128,
}

impl Graph {
    /// Looks at the elements for which `counts` says yes.
    pub(super) fn around(
        spread: &Spread,
        node: Node,
        held: &[Option<f64>],
        counts: impl Fn(usize) -> bool,
    ) -> Self {
        let mut lists: Vec<Vec<usize>> = vec![Vec::new(); held.len()];
        let conducts = |(at, element): &(usize, &Uncertain)| {
            counts(*at) && !matches!(element, Uncertain::Current { .. })
        };
        for (_, element) in spread.elements.iter().enumerate().filter(conducts) {
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
            for (_, element) in spread.elements.iter().enumerate().filter(conducts) {
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

    /// Whether something leads from the first node to a known voltage; not told of more than 128 nodes.
    pub(super) fn is_held(&self) -> bool {
        self.beside_known != 0
    }

    /// Tells which of two unknown nodes is the near one for every choice of conductances.
    pub(super) fn near(&self, i: usize, j: usize) -> Option<Near> {
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
