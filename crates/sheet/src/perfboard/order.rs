//! The order in which wires are soldered.

use std::collections::BTreeSet;

use solderside_lead::Lead;

use super::BoardWire;
use super::hole::Hole;
use super::route::corners;

/// Bare wires before insulated ones, which lie over them; within each net by net, the largest net first, and short wires first.
pub(super) fn to_solder(lead: &Lead, mut wires: Vec<BoardWire>) -> Vec<BoardWire> {
    wires.sort_by_cached_key(|wire| {
        let net = lead.net(wire.legs[1]);
        let first = net.first().copied();
        (wire.insulated, std::cmp::Reverse(net.len()), first, wire.holes.len(), wire.join)
    });
    wires
}

/// Tells of each wire what is laid anew when its turn comes.
pub(super) fn set_runs(wires: &mut [BoardWire]) {
    let mut lies: BTreeSet<[Hole; 2]> = BTreeSet::new();
    for wire in wires {
        if wire.insulated {
            wire.runs = vec![wire.corners.clone()];
            continue;
        }
        let mut runs: Vec<Vec<Hole>> = Vec::new();
        for pair in wire.holes.windows(2) {
            let (a, b) = (pair[0], pair[1]);
            if !lies.insert([a.min(b), a.max(b)]) {
                continue;
            }
            match runs.last_mut().filter(|run| run.last() == Some(&a)) {
                Some(run) => run.push(b),
                None => runs.push(vec![a, b]),
            }
        }
        wire.runs = runs.iter().map(|run| corners(run)).collect();
    }
}
