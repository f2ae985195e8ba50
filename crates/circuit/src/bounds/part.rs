//! The part of a network that has influence on one node, every element at the extreme that is worst there.

use std::collections::BTreeMap;

use super::elements::{ends, laws, middle, side};
use super::graph::{Graph, Near};
use super::{Extreme, Spread, Uncertain};
use crate::network::{ElementId, Node};
use crate::newton::{Branch, End, System};

/// How an element's value was chosen.
pub(super) enum Choice {
    /// By the direction of this branch's current.
    Branch(usize),
    /// A current at its high end or at its low one, and its places among the injected ones.
    Current { high: bool, from: Option<usize>, to: Option<usize> },
}

/// The connected part of a network that has influence on one node, which is its first.
pub(super) struct Part {
    pub(super) nodes: Vec<Node>,
    pub(super) system: System,
    pub(super) elements: Vec<ElementId>,
    pub(super) choices: Vec<Choice>,
    /// Places in `elements` without a certain near end.
    pub(super) without_near_end: Vec<usize>,
    /// Whether each law is straight, so that an element without a near end acts monotonically.
    pub(super) straight: bool,
    /// What the diodes carry in all that carry next to nothing and are left out.
    pub(super) stray: f64,
}

impl Part {
    /// Cuts the part out, with the voltages of known nodes; none if the node's is one of them.
    pub(super) fn of(
        spread: &Spread,
        node: Node,
        extreme: Extreme,
        stray: &[Option<f64>],
        held: &[Option<f64>],
    ) -> Option<Self> {
        if node.0 >= held.len() || held[node.0].is_some() {
            return None;
        }
        let graph = Graph::around(spread, node, held, |at| stray[at].is_none());
        let mut part = Self {
            nodes: graph.nodes.clone(),
            system: System { size: graph.nodes.len(), ..System::default() },
            elements: Vec::new(),
            choices: Vec::new(),
            without_near_end: Vec::new(),
            straight: true,
            stray: 0.0,
        };
        let mut rows: BTreeMap<usize, f64> = BTreeMap::new();
        for (at, element) in spread.elements.iter().enumerate() {
            let [a, b] = ends(element);
            // A current may come from a part that nothing else joins to this one, where the node's
            // ampere has as little effect as on a known voltage.
            let apart = matches!(element, Uncertain::Current { .. }).then_some(0.0);
            let apart = apart.or(stray[at].map(|_| 0.0));
            let place =
                |node: Node| graph.places[node.0].map(End::Free).or(held[node.0].or(apart).map(End::Fixed));
            let (Some(p), Some(q)) = (place(a), place(b)) else { continue };
            if p == q || matches!((p, q), (End::Fixed(_), End::Fixed(_))) {
                continue;
            }
            let Some(amps) = stray[at] else {
                part.take(ElementId(at), element, [p, q], extreme, &graph);
                continue;
            };
            let leaks = &spread.survey().leaks;
            let row = [a, b].into_iter().map(|node| node.0).find(|node| leaks[*node].is_finite());
            *row.map_or(&mut part.stray, |row| rows.entry(row).or_default()) += amps;
        }
        // What leaks through a row comes in once and goes out once.
        let of_rows = rows.into_iter().map(|(row, amps)| amps.min(2.0 * spread.survey().leaks[row]));
        part.stray += of_rows.sum::<f64>();
        Some(part)
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
        let floor = least.least_chord().min(most.least_chord());
        self.system.branches.push(Branch { p, q, forward, backward, floor });
    }

    /// Sets each element without a near end to its most or its least.
    pub(super) fn set(&mut self, spread: &Spread, most: impl Fn(usize) -> bool) {
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
    pub(super) fn influence(&self, spread: &Spread, volts: &[f64]) -> f64 {
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

    pub(super) fn is_held(&self) -> bool {
        self.system.branches.iter().any(|b| matches!(b.p, End::Fixed(_)) || matches!(b.q, End::Fixed(_)))
    }
}
