//! A board in a hood: chips and transistors with what belongs to them, in rows between the connector and the cable,
//! and the wires that lead to their legs.
//!
//! Wires run upright past the parts and change sides in channels: one before each row, one behind the last.

use std::collections::BTreeMap;

use solderside_lead::{Body, EndId, Join, Lead, Leg, PartId};

use super::channel::{APART, Course, Edge, Gate, courses};
use super::geometry::{Placed, Point, Way};
use super::hood::{Hood, Tip};
use super::label::Bounds;
use super::lanes::spread;
use super::route::Route;
use super::seat::{PITCH, Seat};

/// The parts of a board, and the board.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Board {
    pub(crate) bounds: Bounds,
    pub(crate) seats: Vec<Seat>,
}

impl Board {
    /// The same moved by a vector.
    #[must_use]
    pub(crate) fn moved(&self, by: Point) -> Self {
        let Bounds { left, top, right, bottom } = self.bounds;
        let seat =
            |seat: &Seat| Seat { at: Point { x: seat.at.x + by.x, y: seat.at.y + by.y }, ..seat.clone() };
        Self {
            bounds: Bounds { left: left + by.x, top: top + by.y, right: right + by.x, bottom: bottom + by.y },
            seats: self.seats.iter().map(seat).collect(),
        }
    }
}

/// A wire that stays in the hood, from one leg to the other.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Wire {
    pub(crate) join: Join,
    pub(crate) route: Route,
    /// Where its letters stand: on its way from a cup.
    pub(crate) tag: Option<Point>,
}

/// One end of a wire, and the channel that it enters.
#[derive(Debug, Clone, PartialEq)]
struct Stop {
    /// None at the cable.
    leg: Option<Leg>,
    channel: usize,
    gate: Gate,
    /// From the leg to the channel's edge, this left out.
    points: Vec<Point>,
}

/// Two stops, the inner channel's first.
struct Run {
    join: Join,
    stops: [Stop; 2],
    /// Where it passes the rows between them.
    passes: Vec<f64>,
}

/// The most room side by side that parts take before they go on in another row.
const WIDEST_ROW: f64 = 300.0;
/// The least height in which wires bend to their places at a channel's edge.
const FAN: f64 = 12.0;
/// So much height for each unit that one of them goes aside.
const STEEPNESS: f64 = 0.9;
/// From track to track.
const TRACK: f64 = 10.0;
/// The height of the letters on wires.
const TAGS: f64 = 30.0;
/// Wires with letters on them stand so far apart.
const TAGGED: f64 = 12.5;
/// From the edge of the connector to the first channel, and from the last to the cable.
const BEFORE: f64 = 4.0;
/// The board goes on beyond its parts.
const RIM: f64 = 5.0;

/// Draws up a hood with a board in it, around the middle of its end.
///
/// Joins that leave in the cable stand in the order of their keys.
pub(crate) fn draft(lead: &Lead, end: &Placed, way: Way, key: &dyn Fn(Leg, Join) -> f64) -> Hood {
    let mut drafter = Drafter { lead, end, way, key, rows: rows(lead, end.id) };
    drafter.set();
    drafter.hood()
}

struct Drafter<'a> {
    lead: &'a Lead,
    end: &'a Placed,
    way: Way,
    key: &'a dyn Fn(Leg, Join) -> f64,
    /// The parts, the row nearest the connector first. They have an x; their y is that within their row.
    rows: Vec<Vec<Seat>>,
}

/// Parts with two ends that lead to no cable lie nearest the connector; then the others.
fn rows(lead: &Lead, end: EndId) -> Vec<Vec<Seat>> {
    let own: Vec<_> = lead.parts.iter().filter(|part| part.sits == end).collect();
    let joins_of = |leg: Leg| lead.joins.iter().filter(move |join| join.other(leg).is_some());
    let leads_out = |id: PartId, body: &Body| {
        body.legs().any(|contact| joins_of(Leg::part(id, contact)).any(|join| lead.runs_through_cable(join)))
    };
    let mut groups: [Vec<Seat>; 3] = Default::default();
    for part in own {
        let legs = part.body.legs().map(|contact| Leg::part(part.id(), contact));
        let wires: usize = legs.map(|leg| joins_of(leg).count()).sum();
        let seat = Seat::new(*part, wires);
        let group = match part.body {
            Body::Diode(_) | Body::Resistor(_) if !leads_out(part.id(), &part.body) => 0,
            Body::Diode(_) | Body::Resistor(_) => 2,
            Body::Capacitor(_) | Body::Transistor(_) | Body::Chip(_) => 1,
        };
        groups[group].push(seat);
    }
    let cups = lead.joins.iter().filter(|join| join.from.end == end || join.to.end == end).count();
    let room = WIDEST_ROW - APART * f64::from(u8::try_from(cups).unwrap_or(u8::MAX));
    let wide = |seat: &Seat| {
        let Bounds { left, right, .. } = seat.bounds();
        right - left
    };
    let mut rows: Vec<Vec<Seat>> = Vec::new();
    for group in groups {
        // Rows of one kind are about as long as each other.
        let all: f64 = group.iter().map(wide).sum();
        let share = all / (all / room).ceil().max(1.0) + 1.0;
        let mut taken = f64::INFINITY;
        for seat in group {
            taken += wide(&seat);
            if let Some(row) = rows.last_mut().filter(|_| taken <= share) {
                row.push(seat);
            } else {
                taken = wide(&seat);
                rows.push(vec![seat]);
            }
        }
    }
    rows
}

impl Drafter<'_> {
    /// The place of a leg's part: its row, and where in the row.
    fn place(&self, id: PartId) -> Option<(usize, usize)> {
        self.rows
            .iter()
            .enumerate()
            .find_map(|(row, seats)| seats.iter().position(|seat| seat.part.id() == id).map(|at| (row, at)))
    }

    fn seat(&self, id: PartId) -> Option<&Seat> {
        let (row, at) = self.place(id)?;
        self.rows.get(row)?.get(at)
    }

    /// The way of a join from a cup to the edge of the connector; joins of one cup side by side.
    fn way_out(&self, cup: Leg, join: Join) -> Option<Vec<Point>> {
        let joins: Vec<&Join> = self.lead.joins.iter().filter(|own| own.other(cup).is_some()).collect();
        let at = joins.iter().position(|own| **own == join)?;
        let share = match joins.len() {
            0 | 1 => 0.0,
            several => 2.0 * count(at) / count(several - 1) - 1.0,
        };
        self.end.way_out_beside(cup.contact, self.way, share * self.end.half_a_pair())
    }

    /// Where a leg of this hood is on the way across.
    fn x(&self, leg: Leg) -> Option<f64> {
        match leg.part_id() {
            Some(id) => self.seat(id)?.leg(leg.contact).map(|at| at.x),
            None if leg.end == self.end.id => Some(self.end.cup(leg.contact)?.x),
            None => None,
        }
    }

    /// Sets the parts beside one another, each as near as can be to what it is joined to.
    fn set(&mut self) {
        const ROUNDS: usize = 3;
        for round in 0..ROUNDS {
            for row in 0..self.rows.len() {
                let wanted: Vec<f64> = self.rows[row].iter().map(|seat| self.wanted(seat)).collect();
                for (seat, x) in self.rows[row].iter_mut().zip(&wanted) {
                    seat.at.x = *x;
                }
                self.rows[row].sort_by(|a, b| a.at.x.total_cmp(&b.at.x));
                let turned: Vec<bool> =
                    self.rows[row].iter().map(|seat| self.is_better_turned(seat, row)).collect();
                for (seat, turned) in self.rows[row].iter_mut().zip(turned) {
                    seat.turned = turned;
                }
                if round + 1 == ROUNDS {
                    continue;
                }
                let seats = &self.rows[row];
                let apart: Vec<f64> = seats.windows(2).map(|two| apart(&two[0], &two[1])).collect();
                let wanted: Vec<f64> = seats.iter().map(|seat| seat.at.x).collect();
                for (seat, x) in self.rows[row].iter_mut().zip(spread(&wanted, &apart)) {
                    seat.at.x = x;
                }
            }
        }
    }

    /// The middle of what a part is joined to.
    fn wanted(&self, seat: &Seat) -> f64 {
        let id = seat.part.id();
        let own = self.lead.joins.iter().flat_map(|join| [(join.from, join.to), (join.to, join.from)]);
        let others = own.filter(|(leg, other)| leg.part_id() == Some(id) && other.part_id() != Some(id));
        let xs: Vec<f64> = others.filter_map(|(_, other)| self.x(other)).collect();
        if xs.is_empty() { seat.at.x } else { xs.iter().sum::<f64>() / count(xs.len()) }
    }

    /// Whether the second leg of a part with two ends leads more towards the connector than its first.
    fn is_better_turned(&self, seat: &Seat, row: usize) -> bool {
        let inwards = |contact: u8| {
            let leg = Leg::part(seat.part.id(), solderside_trade::ContactId::Number(contact));
            let side = |other: Leg| match other.part_id() {
                Some(id) => match self.place(id) {
                    Some((own, _)) if own < row => 1,
                    Some((own, _)) if own == row => 0,
                    Some(_) | None => -1,
                },
                None if other.end == self.end.id => 1,
                None => -1,
            };
            self.lead.joined(leg).map(side).sum::<i32>()
        };
        let second_is_inner = inwards(2) > inwards(1);
        match self.way {
            Way::Down => second_is_inner,
            // The connector lies below.
            Way::Up => inwards(1) > inwards(2),
        }
    }

    /// Whether a leg of a part points to the connector.
    fn is_inner(&self, seat: &Seat, leg: Point) -> bool {
        (leg.y - seat.at.y) * self.way.sign() < 0.0
    }

    /// All wires with their stops; how far out these are is not known yet.
    fn runs(&self) -> Vec<Run> {
        let run = |join: &Join| {
            let [Some(a), Some(b)] = [join.from, join.to].map(|leg| self.stop(leg, *join)) else {
                return None;
            };
            if a.leg.is_none() && b.leg.is_none() {
                return None;
            }
            // A cup comes first, the cable last.
            let order = |stop: &Stop| {
                let is_part = stop.leg.is_some_and(|leg| leg.part_id().is_some());
                (stop.channel, stop.leg.is_none(), is_part)
            };
            let stops = if order(&b) < order(&a) { [b, a] } else { [a, b] };
            Some(Run { join: *join, stops, passes: Vec::new() })
        };
        self.lead.joins.iter().filter_map(run).collect()
    }

    fn stop(&self, leg: Leg, join: Join) -> Option<Stop> {
        if self.lead.hood(leg) != self.end.id {
            let gate = Gate { edge: Edge::Outer, x: 0.0 };
            return Some(Stop { leg: None, channel: self.rows.len(), gate, points: Vec::new() });
        }
        let Some(id) = leg.part_id() else {
            let mut points = self.way_out(leg, join)?;
            let last = points.pop()?;
            let gate = Gate { edge: Edge::Inner, x: last.x };
            return Some(Stop { leg: Some(leg), channel: 0, gate, points });
        };
        let (row, at) = self.place(id)?;
        let seat = &self.rows[row][at];
        let point = seat.leg(leg.contact)?;
        let (channel, edge) =
            if self.is_inner(seat, point) { (row, Edge::Outer) } else { (row + 1, Edge::Inner) };
        Some(Stop { leg: Some(leg), channel, gate: Gate { edge, x: point.x }, points: vec![point] })
    }

    /// Finds where wires pass the rows, and moves the parts of each aside for them, onto the board's holes.
    fn pass(&mut self, runs: &mut [Run]) {
        for row in 0..self.rows.len() {
            // Parts stand beside wires in the order in which both would be.
            let mut columns: Vec<(f64, Option<usize>, Option<usize>)> =
                self.rows[row].iter().enumerate().map(|(at, seat)| (seat.at.x, Some(at), None)).collect();
            for (at, run) in runs.iter().enumerate() {
                let [from, to] = [0, 1].map(|end| run.stops[end].channel);
                if from <= row && row < to {
                    let near = run.passes.last().copied().unwrap_or(run.stops[0].gate.x);
                    columns.push((near, None, Some(at)));
                }
            }
            columns.sort_by(|a, b| a.0.total_cmp(&b.0));
            let seats = &self.rows[row];
            let reach =
                |column: &(f64, Option<usize>, Option<usize>)| match column.1.and_then(|at| seats.get(at)) {
                    Some(seat) => {
                        let bounds = seat.bounds();
                        [seat.at.x - bounds.left, bounds.right - seat.at.x].map(|half| half + PITCH / 2.0)
                    }
                    None => [APART / 2.0; 2],
                };
            let reaches: Vec<[f64; 2]> = columns.iter().map(reach).collect();
            let least: Vec<f64> = reaches.windows(2).map(|two| two[0][1] + two[1][0]).collect();
            let wanted: Vec<f64> = columns.iter().map(|column| column.0).collect();
            let xs = spread(&wanted, &least);
            // What is moved onto a hole pushes on what follows, no farther than the room that was left for it.
            let mut right = f64::NEG_INFINITY;
            for ((column, x), [left_half, right_half]) in columns.iter().zip(xs).zip(reaches) {
                let least = right + left_half;
                match *column {
                    (_, Some(at), _) => {
                        let seat = &mut self.rows[row][at];
                        seat.at.x = on_a_hole(seat, x.max(least - PITCH / 2.0));
                        right = seat.at.x + right_half - PITCH / 2.0;
                    }
                    (_, None, Some(at)) => {
                        let x = x.max(least);
                        runs[at].passes.push(x);
                        right = x + right_half;
                    }
                    (_, None, None) => {}
                }
            }
        }
    }

    /// Lets conductors leave for the cable in the order in which they arrive at the other end.
    fn order(&self, runs: &mut [Run]) {
        let here = |run: &Run| run.passes.last().copied().unwrap_or(run.stops[0].gate.x);
        let mut leaving: Vec<(f64, f64, usize)> = runs
            .iter()
            .enumerate()
            .filter(|(_, run)| run.stops[1].leg.is_none())
            .filter_map(|(at, run)| Some(((self.key)(run.stops[0].leg?, run.join), here(run), at)))
            .collect();
        leaving.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.total_cmp(&b.1)));
        let mut places: Vec<f64> = leaving.iter().map(|leaving| leaving.1).collect();
        places.sort_by(f64::total_cmp);
        for ((_, _, at), x) in leaving.into_iter().zip(places) {
            runs[at].stops[1].gate.x = x;
        }
    }

    /// The hood, all of it.
    fn hood(mut self) -> Hood {
        let mut runs = self.runs();
        self.pass(&mut runs);
        // The parts have moved aside.
        for run in &mut runs {
            for stop in &mut run.stops {
                if let Some(leg) = stop.leg.filter(|leg| leg.part_id().is_some()) {
                    stop.gate.x = self.x(leg).unwrap_or(stop.gate.x);
                }
            }
        }
        self.order(&mut runs);
        let channels: Vec<Channel> =
            (0..=self.rows.len()).map(|at| Channel::new(&runs, at, at == self.rows.len())).collect();
        let depths = self.set_depths(&channels);
        for run in &mut runs {
            for stop in &mut run.stops {
                let leg = stop.leg.and_then(|leg| self.seat(leg.part_id()?)?.leg(leg.contact));
                stop.points = leg.map_or_else(|| std::mem::take(&mut stop.points), |at| vec![at]);
            }
        }
        let lines: Vec<Vec<Point>> =
            runs.iter().enumerate().map(|(at, run)| self.line(at, run, &channels, &depths)).collect();
        let mut hood = Hood { depth: depths.cable, ..Hood::default() };
        // What goes on in the cable leaves the board straight: its last piece is a conductor's first.
        let on_board = |(run, line): (&Run, &Vec<Point>)| match run.stops[1].leg {
            Some(_) => line.clone(),
            None => line[..line.len().saturating_sub(1)].to_vec(),
        };
        let on_boards: Vec<Vec<Point>> = runs.iter().zip(&lines).map(on_board).collect();
        for (at, ((run, line), route)) in runs.iter().zip(&lines).zip(Route::all(&on_boards)).enumerate() {
            let last = line.len().saturating_sub(2);
            match (run.stops[0].leg, run.stops[1].leg) {
                (Some(leg), None) => {
                    let points = line.get(last..).unwrap_or_default().to_vec();
                    hood.tips.push(Tip { leg, join: run.join, points, lead: Some(route) });
                }
                (first, _) => {
                    let course = channels.first().and_then(|channel| channel.courses.get(&at));
                    let is_cup = first.is_some_and(|leg| leg.part_id().is_none());
                    let tag = course
                        .filter(|_| is_cup)
                        .map(|(_, course)| Point { x: course.xs[0], y: self.y(BEFORE + FAN + TAGS / 2.0) });
                    hood.wires.push(Wire { join: run.join, route, tag });
                }
            }
        }
        hood.tips.sort_by(|a, b| end_of(a).total_cmp(&end_of(b)));
        hood.board = Some(self.board(&runs, &on_boards));
        hood
    }

    /// The y of a depth.
    fn y(&self, depth: f64) -> f64 {
        self.end.edge(self.way) + self.way.sign() * depth
    }

    /// Sets each row behind its channel, its legs in the board's holes.
    fn set_depths(&mut self, channels: &[Channel]) -> Depths {
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
    fn line(&self, at: usize, run: &Run, channels: &[Channel], depths: &Depths) -> Vec<Point> {
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

    /// The board: as large as its parts and the wires between them.
    fn board(self, runs: &[Run], lines: &[Vec<Point>]) -> Board {
        let seats: Vec<Seat> = self.rows.into_iter().flatten().collect();
        let is_bare =
            |run: &Run| run.stops.iter().all(|stop| stop.leg.is_some_and(|leg| leg.part_id().is_some()));
        let wires = runs.iter().zip(lines).filter(|(run, _)| is_bare(run)).flat_map(|(_, line)| line);
        let wires = wires.map(|at| Bounds { left: at.x, top: at.y, right: at.x, bottom: at.y });
        let all = seats.iter().map(Seat::bounds).chain(wires).reduce(|a, b| Bounds {
            left: a.left.min(b.left),
            top: a.top.min(b.top),
            right: a.right.max(b.right),
            bottom: a.bottom.max(b.bottom),
        });
        let Bounds { left, top, right, bottom } =
            all.unwrap_or(Bounds { left: 0.0, top: 0.0, right: 0.0, bottom: 0.0 });
        let bounds = Bounds { left: left - RIM, top: top - RIM, right: right + RIM, bottom: bottom + RIM };
        Board { bounds, seats }
    }
}

/// How far out channels reach, from their inner edge to their outer.
struct Depths {
    edges: Vec<[f64; 2]>,
    /// Where the cable begins.
    cable: f64,
}

/// The room before a row, with the wires that run through it.
struct Channel {
    /// By the number of the wire: its gates, and its course between them.
    courses: BTreeMap<usize, ([Gate; 2], Course)>,
    tracks: usize,
    /// The heights in which wires bend at the inner edge and at the outer.
    fans: [f64; 2],
    /// The height of the letters on its wires.
    tags: f64,
}

impl Channel {
    fn new(runs: &[Run], channel: usize, is_last: bool) -> Self {
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

/// How far apart the middles of two neighbours stand at least.
fn apart(left: &Seat, right: &Seat) -> f64 {
    left.bounds().right - left.at.x + right.at.x - right.bounds().left + PITCH
}

/// The nearest place not left of an x at which a part's legs are in holes.
fn on_a_hole(seat: &Seat, x: f64) -> f64 {
    let leg = seat.legs().first().map_or(0.0, |(_, leg)| leg.x - seat.at.x);
    ((x + leg) / PITCH).ceil() * PITCH - leg
}

fn end_of(tip: &Tip) -> f64 {
    tip.points.last().map_or(0.0, |point| point.x)
}

/// A count as a length.
fn count(number: usize) -> f64 {
    f64::from(u32::try_from(number).unwrap_or(u32::MAX))
}

#[cfg(test)]
mod tests;
