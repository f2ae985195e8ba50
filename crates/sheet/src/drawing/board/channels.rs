//! The channels before and behind the rows of a board, in which wires change sides.

use std::collections::BTreeMap;

use super::{BEFORE, Drafter, FAN, RIM, Run, TAGS, count};
use crate::drawing::channel::{APART, Course, Edge, Gate, courses};
use crate::drawing::geometry::Point;
use crate::drawing::label::Bounds;
use crate::drawing::seat::{PITCH, Seat};

/// So much height for each unit that one of them goes aside.
const STEEPNESS: f64 = 0.9;
/// From track to track.
const TRACK: f64 = 10.0;
/// Wires with letters on them stand so far apart.
const TAGGED: f64 = 12.5;

/// How far out channels reach, from their inner edge to their outer.
pub(super) struct Depths {
    pub(super) edges: Vec<[f64; 2]>,
    /// Where the cable begins.
    pub(super) cable: f64,
}

/// The room before a row, with the wires that run through it.
pub(super) struct Channel {
    /// By the number of the wire: its gates, and its course between them.
    pub(super) courses: BTreeMap<usize, ([Gate; 2], Course)>,
    tracks: usize,
    /// The heights in which wires bend at the inner edge and at the outer.
    fans: [f64; 2],
    /// The height of the letters on its wires.
    tags: f64,
}

impl Channel {
    pub(super) fn new(runs: &[Run], channel: usize, is_last: bool) -> Self {
        let gates = |run: &Run| {
            let [from, to] = [0, 1].map(|end| &run.stops[end]);
            if channel < from.channel || channel > to.channel {
                return None;
            }
            // Before its row it comes from the pass behind the row before, and leaves to its own.
            let pass = |row: usize| row.checked_sub(from.channel).and_then(|at| run.passes.get(at)).copied();
            let first = if channel == from.channel {
                from.gate
            } else {
                Gate { edge: Edge::Inner, x: pass(channel - 1)? }
            };
            let last =
                if channel == to.channel { to.gate } else { Gate { edge: Edge::Outer, x: pass(channel)? } };
            Some([first, last])
        };
        let own: Vec<(usize, [Gate; 2])> =
            runs.iter().enumerate().filter_map(|(at, run)| Some((at, gates(run)?))).collect();
        let ends: Vec<[Gate; 2]> = own.iter().map(|(_, gates)| *gates).collect();
        let (courses, tracks) = courses(&ends, if channel == 0 { TAGGED } else { APART });
        let aside = |edge: Edge| {
            let gates = own.iter().zip(&courses).flat_map(|((_, gates), course)| gates.iter().zip(course.xs));
            // The cable takes a wire wherever it comes.
            let fixed = gates.filter(|(gate, _)| gate.edge == edge && !(is_last && edge == Edge::Outer));
            fixed.map(|(gate, x)| (gate.x - x).abs()).fold(0.0, f64::max)
        };
        let fans = [Edge::Inner, Edge::Outer].map(|edge| FAN.max(STEEPNESS * aside(edge)));
        let courses = own.into_iter().zip(courses).map(|((at, gates), course)| (at, (gates, course)));
        let tags = if channel == 0 { TAGS } else { 0.0 };
        Self { courses: courses.collect(), tracks, fans, tags }
    }

    fn height(&self) -> f64 {
        self.fans.iter().sum::<f64>() + self.tags + TRACK * count(self.tracks)
    }
}

impl Drafter<'_> {
    /// Sets each row behind its channel, its legs in the board's holes.
    pub(super) fn set_depths(&mut self, channels: &[Channel]) -> Depths {
        let mut at = BEFORE;
        let mut depths = Depths { edges: Vec::new(), cable: 0.0 };
        let [sign, edge] = [self.way.sign(), self.end.edge(self.way)];
        for (row, channel) in channels.iter().enumerate() {
            let inner = at;
            at += channel.height();
            let Some(seats) = self.rows.get_mut(row) else {
                depths.edges.push([inner, at]);
                continue;
            };
            let inner_half = |seat: &Seat| {
                let Bounds { top, bottom, .. } = seat.bounds();
                if sign > 0.0 { seat.at.y - top } else { bottom - seat.at.y }
            };
            let outer_half = |seat: &Seat| {
                let Bounds { top, bottom, .. } = seat.bounds();
                if sign > 0.0 { bottom - seat.at.y } else { seat.at.y - top }
            };
            let half = seats.iter().map(inner_half).fold(0.0, f64::max);
            let middle = ((at + half + RIM) / PITCH).ceil() * PITCH;
            let mut outer = middle;
            for seat in &mut *seats {
                let leg = seat.legs().first().map_or(0.0, |(_, leg)| leg.y - seat.at.y);
                let between = (leg / PITCH).fract().abs() > 0.25;
                let depth = if between { middle + PITCH / 2.0 } else { middle };
                seat.at.y = edge + sign * depth;
                outer = outer.max(depth + outer_half(seat));
            }
            depths.edges.push([inner, at]);
            at = outer + RIM;
        }
        depths.cable = at;
        depths
    }

    /// A wire from its first stop to its last.
    pub(super) fn line(&self, at: usize, run: &Run, channels: &[Channel], depths: &Depths) -> Vec<Point> {
        let mut line = run.stops[0].points.clone();
        for (number, channel) in channels.iter().enumerate() {
            let Some((gates, course)) = channel.courses.get(&at) else { continue };
            let [inner, outer] = depths.edges.get(number).copied().unwrap_or_default();
            let edge = |gate: &Gate| match gate.edge {
                Edge::Inner => [inner, inner + channel.fans[0]],
                Edge::Outer => [outer, outer - channel.fans[1]],
            };
            let is_cable = number + 1 == channels.len();
            let gate_x = |gate: usize| match gates[gate].edge {
                // The cable takes a wire wherever it comes.
                Edge::Outer if is_cable => course.xs[gate],
                Edge::Outer | Edge::Inner => gates[gate].x,
            };
            let [[first_edge, first_bend], [last_edge, last_bend]] = [edge(&gates[0]), edge(&gates[1])];
            let point = |x: f64, depth: f64| Point { x, y: self.y(depth) };
            line.push(point(gate_x(0), first_edge));
            line.push(point(course.xs[0], first_bend));
            if let Some(track) = course.track {
                let depth = inner + channel.fans[0] + channel.tags + TRACK * (count(track) + 0.5);
                line.extend(course.xs.map(|x| point(x, depth)));
            }
            line.push(point(course.xs[1], last_bend));
            line.push(point(gate_x(1), last_edge));
        }
        line.extend(run.stops[1].points.iter().rev());
        line.dedup_by(|a, b| (a.x - b.x).abs() < 0.01 && (a.y - b.y).abs() < 0.01);
        line
    }
}
