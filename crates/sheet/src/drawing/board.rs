//! A board in a hood: chips and transistors with what belongs to them, in rows between the connector and the cable,
//! and the wires that lead to their legs.
//!
//! Wires run upright past the parts and change sides in channels: one before each row, one behind the last.

mod channels;
mod rows;

use solderside_lead::{Join, Lead, Leg, PartId};

use super::channel::{Edge, Gate};
use super::geometry::{Placed, Point, Way};
use super::hood::{Hood, Tip};
use super::label::Bounds;
use super::route::Route;
use super::seat::Seat;
use channels::Channel;
use rows::rows;

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

/// The least height in which wires bend to their places at a channel's edge.
const FAN: f64 = 12.0;
/// The height of the letters on wires.
const TAGS: f64 = 30.0;
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

fn end_of(tip: &Tip) -> f64 {
    tip.points.last().map_or(0.0, |point| point.x)
}

/// A count as a length.
fn count(number: usize) -> f64 {
    f64::from(u32::try_from(number).unwrap_or(u32::MAX))
}

#[cfg(test)]
mod tests;
