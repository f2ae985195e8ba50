//! The rows of parts on a board: which stands where, and how far aside the wires between them push them.

use solderside_lead::{Body, EndId, Lead, Leg, PartId};

use super::{Drafter, Run, count};
use crate::drawing::channel::APART;
use crate::drawing::geometry::Way;
use crate::drawing::label::Bounds;
use crate::drawing::lanes::spread;
use crate::drawing::seat::{PITCH, Seat};

/// The most room side by side that parts take before they go on in another row.
const WIDEST_ROW: f64 = 300.0;

/// Parts with two ends that lead to no cable lie nearest the connector; then the others.
pub(super) fn rows(lead: &Lead, end: EndId) -> Vec<Vec<Seat>> {
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
            Body::Capacitor(_) | Body::Transistor(_) | Body::Chip(_) | Body::Changeover(_) => 1,
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
    /// Sets the parts beside one another, each as near as can be to what it is joined to.
    pub(super) fn set(&mut self) {
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

    /// Finds where wires pass the rows, and moves the parts of each aside for them, onto the board's holes.
    pub(super) fn pass(&mut self, runs: &mut [Run]) {
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
