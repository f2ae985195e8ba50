//! What a source can carry at most, by what the elements round it can bring.
//!
//! Whatever the operating point, its currents are a flow: what enters a node leaves it. No element of a network
//! whose voltages lie between those of its sources carries more than its law gives for the whole span, a diode
//! in reverse no more than its leakage. So no source gives or takes more than the largest flow that these
//! capacities allow, which is the narrowest cut between its node and all that could feed it (Ford and Fulkerson,
//! *Maximal Flow Through a Network*, 1956). That is rough, and holds for any number of diodes and tolerances.
//!
//! A flow may go round in circles, currents do not: what carries no current without a voltage carries it downhill. So
//! cut the nodes above the lower end of such an element from those below: all of them that cross the cut
//! carry current down, and together what sources give above it. So no element carries more than all sources give
//! (the no-gain property: D. H. Wolaver, *Proof in the Time Domain of the No-Gain Property of
//! Networks*, 1970, from memory; the argument is whole here).

use std::cell::OnceCell;
use std::collections::{BTreeMap, VecDeque};

use super::Uncertain;
use super::elements::laws;
use crate::network::{ElementId, Node};

/// More than anything here carries, in amperes.
const PLENTY: f64 = 1e6;

/// A way from a source with less than this keeps its voltage, in ohms.
const LITTLE_OHMS: f64 = 10.0;

/// Flows below this are rounding, in amperes.
const NOTHING: f64 = 1e-15;

/// The most that flows through an element from its first end to its second (`forth`), or back, in amperes, counted
/// above zero; none where a current of its own leaves the voltages without a bound. A source's second end is the ground.
pub(super) fn most_amps(
    elements: &[Uncertain],
    near: &NearSources,
    id: ElementId,
    forth: bool,
) -> Option<f64> {
    let capacities = near.capacities.get_or_init(|| Capacities::of(elements, near));
    let ([first, second], [forward, backward]) = *capacities.each.get(id.0)?;
    // What flows through it comes back to it through the others.
    Some(if forth {
        forward.min(capacities.largest_flow(id.0, second, first))
    } else {
        backward.min(capacities.largest_flow(id.0, first, second))
    })
}

/// What all sources can give together at most, in amperes; none where one may stand below the ground.
pub(super) fn given(elements: &[Uncertain], near: &NearSources) -> Option<f64> {
    if near.span[0] < 0.0 {
        return None;
    }
    let sources =
        elements.iter().enumerate().filter(|(_, element)| matches!(element, Uncertain::Source { .. }));
    Some(sources.map(|(at, _)| most_amps(elements, near, ElementId(at), false).unwrap_or(PLENTY)).sum())
}

/// The most that an element carries either way by its law alone, in amperes, wherever its ends are.
pub(super) fn alone(elements: &[Uncertain], near: &NearSources, id: ElementId) -> Option<f64> {
    let (_, [forth, back]) = capacities(elements.get(id.0)?, near);
    Some(forth.max(back))
}

/// Voltages between which each node always is.
#[derive(Debug, Clone)]
pub(super) struct NearSources {
    floors: Vec<f64>,
    ceilings: Vec<f64>,
    /// Between which all nodes are.
    span: [f64; 2],
    /// What each element can carry there, found when first asked for.
    capacities: OnceCell<Capacities>,
}

/// What each element can carry from its first end to its second and back, and what that makes between nodes.
#[derive(Debug, Clone)]
struct Capacities {
    each: Vec<([Node; 2], [f64; 2])>,
    /// From each node the nodes that something can flow to or from, in their order, with what can flow there.
    beside: Vec<Vec<(usize, f64)>>,
}

impl NearSources {
    /// Finds them; none where a current of its own leaves the voltages without a bound.
    pub(super) fn of(nodes: usize, elements: &[Uncertain]) -> Option<Self> {
        Some(near_sources(nodes + 1, elements, span(elements)?))
    }

    /// Where a node stands, by what can flow between it and a source or the ground near it.
    pub(super) fn stands(&self, node: Node) -> Option<[f64; 2]> {
        Some([*self.floors.get(node.0)?, *self.ceilings.get(node.0)?])
    }
}

impl Capacities {
    fn of(elements: &[Uncertain], near: &NearSources) -> Self {
        let each: Vec<([Node; 2], [f64; 2])> =
            elements.iter().map(|element| capacities(element, near)).collect();
        let mut beside: Vec<BTreeMap<usize, f64>> = vec![BTreeMap::new(); near.floors.len()];
        for ([a, b], [forward, backward]) in &each {
            *beside[a.0].entry(b.0).or_insert(0.0) += forward;
            *beside[b.0].entry(a.0).or_insert(0.0) += backward;
        }
        Self { each, beside: beside.into_iter().map(|beside| beside.into_iter().collect()).collect() }
    }

    /// The largest flow from one node to another without one element.
    fn largest_flow(&self, left_out: usize, from: Node, to: Node) -> f64 {
        let mut beside = self.beside.clone();
        if let Some(([a, b], _)) = self.each.get(left_out) {
            // Added up anew, as what was added cannot be taken away to the last bit.
            for (from, to) in [(*a, *b), (*b, *a)] {
                let others = self.each.iter().enumerate().filter(|(at, _)| *at != left_out);
                let mut sum = 0.0;
                for (_, ([a, b], [forward, backward])) in others {
                    if (*a, *b) == (from, to) {
                        sum += forward;
                    }
                    if (*b, *a) == (from, to) {
                        sum += backward;
                    }
                }
                set(&mut beside, from.0, to.0, sum);
            }
        }
        largest_flow(&mut beside, from, to)
    }
}

/// What can flow from one node to another.
fn between(beside: &[Vec<(usize, f64)>], from: usize, to: usize) -> f64 {
    let place = beside[from].binary_search_by_key(&to, |(to, _)| *to);
    place.map_or(0.0, |place| beside[from][place].1)
}

fn set(beside: &mut [Vec<(usize, f64)>], from: usize, to: usize, capacity: f64) {
    if let Ok(place) = beside[from].binary_search_by_key(&to, |(to, _)| *to) {
        beside[from][place].1 = capacity;
    }
}

/// Where nodes near a source or the ground stand: they leave its voltage by no more than what all that can flow on
/// from there, or come in, makes in the resistance between. A diode between two such nodes carries no more than
/// its law gives for what can be across it.
fn near_sources(count: usize, elements: &[Uncertain], span: [f64; 2]) -> NearSources {
    let mut near = NearSources {
        floors: vec![span[0]; count],
        ceilings: vec![span[1]; count],
        span,
        capacities: OnceCell::new(),
    };
    near.floors[0] = 0.0;
    near.ceilings[0] = 0.0;
    let anywhere = Capacities::of(elements, &near);
    // From a source to its node, and on through one conductor.
    for _ in 0..2 {
        for (at, element) in elements.iter().enumerate() {
            let (ways, ohms) = match *element {
                Uncertain::Source { node, volts, ohms } => {
                    let volts = [volts.low().get(), volts.high().get()];
                    (vec![(node, volts)], ohms)
                }
                Uncertain::Resistor { a, b, ohms } => {
                    let stands = |node: Node| [near.floors[node.0], near.ceilings[node.0]];
                    (vec![(a, stands(b)), (b, stands(a))], ohms)
                }
                Uncertain::Current { .. } | Uncertain::Diode { .. } | Uncertain::Sink { .. } => continue,
            };
            let ohms = ohms.high().get();
            for (node, [low, high]) in ways {
                if ohms >= LITTLE_OHMS || node == Node::GROUND {
                    continue;
                }
                let flow = |from: Node, to: Node| anywhere.largest_flow(at, from, to);
                if low > near.floors[node.0] {
                    let floor = low - flow(node, Node::GROUND) * ohms;
                    near.floors[node.0] = near.floors[node.0].max(floor);
                }
                if high < near.ceilings[node.0] {
                    let ceiling = high + flow(Node::GROUND, node) * ohms;
                    near.ceilings[node.0] = near.ceilings[node.0].min(ceiling);
                }
            }
        }
    }
    near
}

/// The lowest and the highest voltage of any source; all nodes lie between them.
fn span(elements: &[Uncertain]) -> Option<[f64; 2]> {
    let mut span = [0.0_f64; 2];
    for element in elements {
        match element {
            Uncertain::Source { volts, .. } => {
                span = [span[0].min(volts.low().get()), span[1].max(volts.high().get())];
            }
            Uncertain::Current { .. } => return None,
            Uncertain::Resistor { .. } | Uncertain::Diode { .. } | Uncertain::Sink { .. } => {}
        }
    }
    Some(span)
}

/// The ends of an element, and what it can carry from the first to the second and back.
fn capacities(element: &Uncertain, near: &NearSources) -> ([Node; 2], [f64; 2]) {
    let [bottom, top] = near.span;
    let ends = super::elements::ends(element);
    let most = |volts: f64| match laws(element) {
        Some([_, most]) => most.at(volts).0,
        None => PLENTY.copysign(volts),
    };
    // So far the first end lies above the second at most, and below it.
    let stands = |node: Node| [near.floors[node.0], near.ceilings[node.0]];
    let [[low, high], [other_low, other_high]] = ends.map(stands);
    let (above, below) = (high - other_low, other_high - low);
    let amps = match element {
        Uncertain::Source { volts, ohms, .. } => {
            let conductance = ohms.low().get().recip();
            [(top - volts.low().get()) * conductance, (volts.high().get() - bottom) * conductance]
        }
        Uncertain::Resistor { .. } | Uncertain::Diode { .. } | Uncertain::Sink { .. } => {
            [most(above), -most(-below)]
        }
        // Where there is one, nobody asks.
        Uncertain::Current { .. } => [PLENTY; 2],
    };
    (ends, amps.map(|amps| if amps.is_finite() { amps.clamp(0.0, PLENTY) } else { PLENTY }))
}

/// The largest flow from one node to another: shortest ways first (Edmonds and Karp, 1972).
fn largest_flow(beside: &mut [Vec<(usize, f64)>], from: Node, to: Node) -> f64 {
    let count = beside.len();
    let mut flow = 0.0;
    let mut before: Vec<Option<usize>> = vec![None; count];
    let mut open = VecDeque::with_capacity(count);
    // Each way fills an edge for good: there are never more than nodes times edges.
    for _ in 0..count * count * count {
        before.fill(None);
        open.clear();
        open.push_back(from.0);
        while let Some(at) = open.pop_front() {
            for (next, capacity) in &beside[at] {
                if *next != from.0 && before[*next].is_none() && *capacity > NOTHING {
                    before[*next] = Some(at);
                    open.push_back(*next);
                }
            }
            // The way to it is the same whatever else is reached.
            if before[to.0].is_some() {
                break;
            }
        }
        let way: Vec<[usize; 2]> = std::iter::successors(Some(to.0), |at| before[*at])
            .map_while(|at| Some([before[at]?, at]))
            .collect();
        if way.is_empty() {
            return flow;
        }
        let most = way.iter().map(|[at, next]| between(beside, *at, *next)).fold(PLENTY, f64::min);
        for [at, next] in way {
            let [forth, back] = [between(beside, at, next), between(beside, next, at)];
            set(beside, at, next, forth - most);
            set(beside, next, at, back + most);
        }
        flow += most;
        if flow >= PLENTY {
            return PLENTY;
        }
    }
    PLENTY
}
