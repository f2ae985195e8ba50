//! Where wires cross, told from their lines alone.

use std::collections::BTreeSet;

use super::{BoardPlan, BoardWire};
use crate::perfboard::hole::Hole;

/// A piece of a wire between two of its corners.
type Piece = [Hole; 2];
/// Where two wires meet, in parts of a step, and the two nets or wires.
type Meeting = (i64, i64, usize, usize);
/// So many parts of a step are told apart.
const PARTS: f64 = 64.0;

/// How often wires of a board cross one another, or pass over the joint of a leg or of a conductor that is not theirs. Bare wires
/// that lie in one another count as one.
pub(super) fn count(plan: &BoardPlan, nets: &[usize]) -> u32 {
    let mut meetings: BTreeSet<Meeting> = BTreeSet::new();
    let owner = |at: usize| if plan.wires[at].insulated { plan.wires.len() + at } else { nets[at] };
    for (at, wire) in plan.wires.iter().enumerate() {
        for (other, its) in
            plan.wires.iter().enumerate().skip(at + 1).filter(|(other, _)| owner(*other) != owner(at))
        {
            let its_ends = ends(its);
            let shared: Vec<Hole> = ends(wire).into_iter().filter(|end| its_ends.contains(end)).collect();
            for one in pieces(wire) {
                for beside in pieces(its) {
                    let Some([x, y]) = meet(one, beside) else { continue };
                    let is_end = shared.iter().any(|end| {
                        (f64::from(end.column) - x).abs() < 1e-6 && (f64::from(end.row) - y).abs() < 1e-6
                    });
                    if !is_end {
                        let [a, b] = [owner(at), owner(other)];
                        meetings.insert((part(x), part(y), a.min(b), a.max(b)));
                    }
                }
            }
        }
    }
    let joints = plan.seats.iter().flat_map(|seat| seat.legs.iter().map(|(_, hole)| *hole));
    let joints: Vec<Hole> = joints.chain(plan.entries.iter().map(|entry| entry.hole)).collect();
    let passes = |wire: &BoardWire| {
        let over = |joint: &&Hole| {
            !ends(wire).contains(joint) && pieces(wire).any(|piece| meet(piece, [**joint; 2]).is_some())
        };
        joints.iter().filter(over).count()
    };
    let passed: usize = plan.wires.iter().filter(|wire| wire.insulated).map(passes).sum();
    u32::try_from(meetings.len() + passed).unwrap_or(u32::MAX)
}

fn pieces(wire: &BoardWire) -> impl Iterator<Item = Piece> {
    wire.corners.windows(2).map(|pair| [pair[0], pair[1]])
}

fn ends(wire: &BoardWire) -> Vec<Hole> {
    [wire.corners.first(), wire.corners.last()].into_iter().flatten().copied().collect()
}

/// The point at which two pieces meet; of two that lie in one another, none.
fn meet(one: Piece, other: Piece) -> Option<[f64; 2]> {
    let point = |hole: Hole| [f64::from(hole.column), f64::from(hole.row)];
    let ([a, b], [c, d]) = (one.map(point), other.map(point));
    let [u, v] = [[b[0] - a[0], b[1] - a[1]], [d[0] - c[0], d[1] - c[1]]];
    let cross = |p: [f64; 2], q: [f64; 2]| p[0] * q[1] - p[1] * q[0];
    let to = [c[0] - a[0], c[1] - a[1]];
    if other[0] == other[1] {
        // A joint: on the piece or beside it.
        let length = u[0] * u[0] + u[1] * u[1];
        let along = (to[0] * u[0] + to[1] * u[1]) / length;
        return (cross(u, to).abs() < 1e-9 && (0.0..=1.0).contains(&along)).then_some(c);
    }
    let turn = cross(u, v);
    if turn.abs() < 1e-9 {
        return None;
    }
    let [along, beside] = [cross(to, v) / turn, cross(to, u) / turn];
    let is_within = |share: f64| (-1e-9..=1.0 + 1e-9).contains(&share);
    (is_within(along) && is_within(beside)).then(|| [a[0] + along * u[0], a[1] + along * u[1]])
}

/// A length in whole parts of a step; a board is far smaller than what they can count.
#[expect(clippy::cast_possible_truncation, reason = "a board has fewer than 2^16 holes in a row")]
fn part(length: f64) -> i64 {
    (length * PARTS).round() as i64
}
