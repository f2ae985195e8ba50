//! What a source can carry at most, by what the elements round it can bring.
//!
//! Whatever the operating point, its currents are a flow: what enters a node leaves it. No element of a network
//! whose voltages lie between those of its sources carries more than its law gives for the whole span, a diode
//! in reverse no more than its leakage. So no source gives or takes more than the largest flow that these
//! capacities allow, which is the narrowest cut between its node and all that could feed it (Ford and Fulkerson,
//! *Maximal Flow Through a Network*, 1956). That is rough, and holds for any number of diodes and tolerances.

use std::collections::VecDeque;

use super::elements::laws;
use super::{Extreme, Uncertain};
use crate::network::{ElementId, Node};

/// More than anything here carries, in amperes.
const PLENTY: f64 = 1e6;

/// A way from a source with less than this keeps its voltage, in ohms.
const LITTLE_OHMS: f64 = 10.0;

/// Flows below this are rounding, in amperes.
const NOTHING: f64 = 1e-15;

/// The most that a source gives to its node (`Highest`) or takes from it (`Lowest`), in amperes, counted above
/// zero; none where a current of its own leaves the voltages without a bound.
pub(super) fn most_amps(
    nodes: usize,
    elements: &[Uncertain],
    id: ElementId,
    extreme: Extreme,
) -> Option<f64> {
    let span = span(elements)?;
    let node = match *elements.get(id.0)? {
        Uncertain::Source { node, .. } | Uncertain::Sink { node, .. } => node,
        Uncertain::Resistor { .. } | Uncertain::Current { .. } | Uncertain::Diode { .. } => return None,
    };
    let count = nodes + 1;
    let floors = floors(count, elements, span);
    let mut graph = without(count, elements, span, &floors, id.0);
    let (_, [taken, given]) = capacities(elements.get(id.0)?, span, &floors);
    // What it takes comes to its node from elsewhere; what it gives goes from there.
    Some(match extreme {
        Extreme::Highest => given.min(largest_flow(&mut graph, count, node, Node::GROUND)),
        Extreme::Lowest => taken.min(largest_flow(&mut graph, count, Node::GROUND, node)),
    })
}

/// The capacities from each node to each, without one element.
fn without(
    count: usize,
    elements: &[Uncertain],
    span: [f64; 2],
    floors: &[f64],
    left_out: usize,
) -> Vec<f64> {
    let mut capacity = vec![0.0; count * count];
    for (_, element) in elements.iter().enumerate().filter(|(at, _)| *at != left_out) {
        let ([a, b], [forward, backward]) = capacities(element, span, floors);
        capacity[a.0 * count + b.0] += forward;
        capacity[b.0 * count + a.0] += backward;
    }
    capacity
}

/// What a node near a source never falls below: the source's voltage, less what all that can flow on from there
/// makes in the resistance between. A diode whose bar is there blocks all that stands no higher.
fn floors(count: usize, elements: &[Uncertain], span: [f64; 2]) -> Vec<f64> {
    let lowest = vec![span[0]; count];
    let mut floors = lowest.clone();
    floors[0] = 0.0;
    // From a source to its node, and on through one conductor.
    for _ in 0..2 {
        for (at, element) in elements.iter().enumerate() {
            let (node, from, ohms) = match *element {
                Uncertain::Source { node, volts, ohms } if ohms.high().get() < LITTLE_OHMS => {
                    (node, volts.low().get(), ohms)
                }
                Uncertain::Resistor { a, b, ohms } if ohms.high().get() < LITTLE_OHMS => {
                    let (far, near) = if floors[a.0] < floors[b.0] { (a, b) } else { (b, a) };
                    (far, floors[near.0], ohms)
                }
                Uncertain::Source { .. }
                | Uncertain::Resistor { .. }
                | Uncertain::Current { .. }
                | Uncertain::Diode { .. }
                | Uncertain::Sink { .. } => continue,
            };
            if from <= floors[node.0] || node == Node::GROUND {
                continue;
            }
            let mut graph = without(count, elements, span, &lowest, at);
            let on = largest_flow(&mut graph, count, node, Node::GROUND);
            floors[node.0] = floors[node.0].max(from - on * ohms.high().get());
        }
    }
    floors
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
fn capacities(element: &Uncertain, [bottom, top]: [f64; 2], floors: &[f64]) -> ([Node; 2], [f64; 2]) {
    let ends = super::elements::ends(element);
    let most = |volts: f64| match laws(element) {
        Some([_, most]) => most.at(volts).0,
        None => PLENTY.copysign(volts),
    };
    let to_ground = ends[1] == Node::GROUND;
    // A node lies this far above and below the other end at most.
    let (above, below) = if to_ground { (top, -bottom) } else { (top - bottom, top - bottom) };
    let amps = match element {
        Uncertain::Source { volts, ohms, .. } => {
            let conductance = ohms.low().get().recip();
            [(top - volts.low().get()) * conductance, (volts.high().get() - bottom) * conductance]
        }
        Uncertain::Resistor { .. } | Uncertain::Sink { .. } => [most(above), -most(-below)],
        Uncertain::Diode { .. } => [most(top - floors[ends[1].0]), -most(-below.max(above))],
        // Where there is one, nobody asks.
        Uncertain::Current { .. } => [PLENTY; 2],
    };
    (ends, amps.map(|amps| if amps.is_finite() { amps.clamp(0.0, PLENTY) } else { PLENTY }))
}

/// The largest flow from one node to another: shortest ways first (Edmonds and Karp, 1972).
fn largest_flow(capacity: &mut [f64], count: usize, from: Node, to: Node) -> f64 {
    let mut flow = 0.0;
    // Each way fills an edge for good: there are never more than nodes times edges.
    for _ in 0..count * count * count {
        let mut before: Vec<Option<usize>> = vec![None; count];
        let mut open = VecDeque::from([from.0]);
        while let Some(at) = open.pop_front() {
            for next in 0..count {
                if next != from.0 && before[next].is_none() && capacity[at * count + next] > NOTHING {
                    before[next] = Some(at);
                    open.push_back(next);
                }
            }
        }
        let way: Vec<[usize; 2]> = std::iter::successors(Some(to.0), |at| before[*at])
            .map_while(|at| Some([before[at]?, at]))
            .collect();
        if way.is_empty() {
            return flow;
        }
        let most = way.iter().map(|[at, next]| capacity[at * count + next]).fold(PLENTY, f64::min);
        for [at, next] in way {
            capacity[at * count + next] -= most;
            capacity[next * count + at] += most;
        }
        flow += most;
        if flow >= PLENTY {
            return PLENTY;
        }
    }
    PLENTY
}
