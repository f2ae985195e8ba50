//! A conductor as a smooth line: x as a function of y, with gaps where another passes over it.

use solderside_lead::Join;

use super::geometry::Point;
use super::path::Path;
use super::route::Route;

/// A conductor's course down the sheet, through points of rising y.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Strand {
    pub(crate) join: Join,
    /// At least two; each lower on the sheet than the one before it.
    knots: Vec<Point>,
    /// What is left out of the line, from y to y.
    gaps: Vec<[f64; 2]>,
    /// The ways over boards before its first knot and, from there on, behind its last.
    leads: [Option<Route>; 2],
}

/// One smooth piece between two knots: a cubic whose y grows evenly.
#[derive(Clone, Copy)]
struct Piece {
    from: Point,
    to: Point,
    /// How far x goes for each unit of y, at either end.
    slopes: [f64; 2],
}

/// Half of what is left out of a line, measured square to the line that passes over it.
const HALF_GAP: f64 = 4.2;

impl Strand {
    pub(crate) fn new(join: Join, knots: Vec<Point>) -> Self {
        Self { join, knots, gaps: Vec::new(), leads: [None, None] }
    }

    /// A course through points of rising or of falling y, of which none is as high as the next.
    pub(crate) fn along(join: Join, mut points: Vec<Point>) -> Self {
        points.dedup_by(|a, b| (a.y - b.y).abs() < 0.01);
        if points.first().zip(points.last()).is_some_and(|(first, last)| first.y > last.y) {
            points.reverse();
        }
        Self::new(join, points)
    }

    /// The same between ways over boards, each told from its leg: that at the upper end, and that at the lower.
    pub(crate) fn between(self, [upper, lower]: [Option<Route>; 2]) -> Self {
        Self { leads: [upper, lower.map(|lead| lead.reversed())], ..self }
    }

    /// The x at a y; that of the nearer end beyond the ends.
    pub(crate) fn x(&self, y: f64) -> f64 {
        let pieces = self.pieces();
        let at = pieces.iter().find(|piece| y <= piece.to.y).or(pieces.last());
        at.map_or(0.0, |piece| piece.x(y))
    }

    /// Whether it runs past a y.
    #[cfg(test)]
    pub(crate) fn spans(&self, y: f64) -> bool {
        let ends = self.knots.first().zip(self.knots.last());
        ends.is_some_and(|(first, last)| first.y <= y && y <= last.y)
    }

    fn slope(&self, y: f64) -> f64 {
        const STEP: f64 = 0.05;
        (self.x(y + STEP) - self.x(y - STEP)) / (2.0 * STEP)
    }

    /// Leaves a gap where another line passes over this one at a y.
    pub(crate) fn pass_under(&mut self, over: &Self, y: f64) {
        let [slope, own] = [over.slope(y), self.slope(y)];
        let half = HALF_GAP * (1.0 + slope * slope).sqrt() / (slope - own).abs().max(0.2);
        self.gap(y, half);
    }

    /// Leaves a gap around a y.
    pub(crate) fn gap(&mut self, y: f64, half: f64) {
        self.gaps.push([y - half, y + half]);
        self.gaps.sort_by(|a, b| a[0].total_cmp(&b[0]));
    }

    /// Half a gap under a line that runs straight across.
    pub(crate) const fn half_gap() -> f64 {
        HALF_GAP
    }

    /// The line as path data, broken at its gaps.
    pub(crate) fn path(&self) -> Path {
        let [before, after] = &self.leads;
        let mut path = Path::default();
        let mut pen = before.as_ref().and_then(|lead| lead.draw(&mut path, None));
        for piece in self.pieces() {
            let mut top = piece.from.y;
            for [gap_top, gap_bottom] in self.gaps.iter().copied().chain([[f64::INFINITY; 2]]) {
                if gap_bottom <= top {
                    continue;
                }
                let bottom = gap_top.min(piece.to.y);
                if bottom > top {
                    piece.part(top, bottom).draw(&mut path, &mut pen);
                }
                top = gap_bottom.min(piece.to.y).max(top);
            }
        }
        if let Some(lead) = after {
            lead.draw(&mut path, pen);
        }
        path
    }

    /// The pieces between the knots. A knot where the line turns back is passed upright; at the others the
    /// slope is the harmonic mean of both sides, which never overshoots (Fritsch and Carlson 1980, from
    /// memory).
    fn pieces(&self) -> Vec<Piece> {
        let rises: Vec<f64> =
            self.knots.windows(2).map(|ends| (ends[1].x - ends[0].x) / (ends[1].y - ends[0].y)).collect();
        let slope = |knot: usize| match [knot.checked_sub(1), Some(knot)]
            .map(|at| at.and_then(|at| rises.get(at)))
        {
            [Some(before), Some(after)] if before * after > 0.0 => 2.0 * before * after / (before + after),
            _ => 0.0,
        };
        let ends = self.knots.windows(2).enumerate();
        ends.map(|(at, ends)| Piece { from: ends[0], to: ends[1], slopes: [slope(at), slope(at + 1)] })
            .collect()
    }
}

impl Piece {
    fn x(self, y: f64) -> f64 {
        let [_, second, third, _] = self.controls().map(|point| point.x);
        let high = self.to.y - self.from.y;
        let t = ((y - self.from.y) / high).clamp(0.0, 1.0);
        let u = 1.0 - t;
        u * u * u * self.from.x + 3.0 * u * u * t * second + 3.0 * u * t * t * third + t * t * t * self.to.x
    }

    fn slope(self, y: f64) -> f64 {
        let [first, second, third, fourth] = self.controls().map(|point| point.x);
        let high = self.to.y - self.from.y;
        let t = ((y - self.from.y) / high).clamp(0.0, 1.0);
        let u = 1.0 - t;
        3.0 * (u * u * (second - first) + 2.0 * u * t * (third - second) + t * t * (fourth - third)) / high
    }

    /// Its control points as a Bézier curve; their y is even, so the curve's is.
    fn controls(self) -> [Point; 4] {
        let third = (self.to.y - self.from.y) / 3.0;
        let [start, end] = self.slopes;
        [
            self.from,
            Point { x: self.from.x + start * third, y: self.from.y + third },
            Point { x: self.to.x - end * third, y: self.to.y - third },
            self.to,
        ]
    }

    /// The part of it from a y to a y: the same curve.
    fn part(self, top: f64, bottom: f64) -> Self {
        let at = |y: f64| Point { x: self.x(y), y };
        Self { from: at(top), to: at(bottom), slopes: [self.slope(top), self.slope(bottom)] }
    }

    fn draw(self, path: &mut Path, pen: &mut Option<Point>) {
        if *pen != Some(self.from) {
            path.start(self.from);
        }
        let [from, second, third, to] = self.controls();
        let is_straight = [second, third, to].iter().all(|point| (point.x - from.x).abs() < 0.005);
        if is_straight {
            path.line(to);
        } else {
            path.curve(second, third, to);
        }
        *pen = Some(to);
    }
}

/// Finds the y between two where two lines meet that have changed sides.
pub(crate) fn meeting(a: &Strand, b: &Strand, [mut top, mut bottom]: [f64; 2]) -> f64 {
    let side = |y: f64| a.x(y) < b.x(y);
    let at_top = side(top);
    // A millionth of the height of a layer is far below what is drawn.
    for _ in 0..20 {
        let middle = f64::midpoint(top, bottom);
        if side(middle) == at_top { top = middle } else { bottom = middle }
    }
    f64::midpoint(top, bottom)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn strand(knots: &[[f64; 2]]) -> Strand {
        let knots = knots.iter().map(|[x, y]| Point { x: *x, y: *y }).collect();
        Strand::new("controller.1 - port.1".parse().unwrap(), knots)
    }

    #[test]
    fn a_straight_line_is_drawn_straight() {
        assert_eq!(strand(&[[5.0, 0.0], [5.0, 30.0]]).path().as_str(), "M5 0L5 30");
    }

    #[test]
    fn a_line_passes_its_knots_and_never_overshoots() {
        let line = strand(&[[0.0, 0.0], [10.0, 10.0], [40.0, 20.0], [40.0, 40.0]]);
        assert!((line.x(10.0) - 10.0).abs() < 1e-9 && (line.x(20.0) - 40.0).abs() < 1e-9);
        let mut before = -1e-9;
        for step in 0..=400 {
            let x = line.x(f64::from(step) / 10.0);
            assert!(x >= before - 1e-9 && x <= 40.0 + 1e-9);
            before = x;
        }
    }

    #[test]
    fn a_gap_breaks_the_line_and_leaves_the_rest_where_it_was() {
        let mut line = strand(&[[5.0, 0.0], [5.0, 30.0], [5.0, 60.0]]);
        line.gap(30.0, 4.0);
        assert_eq!(line.path().as_str(), "M5 0L5 26M5 34L5 60");
    }

    #[test]
    fn lines_that_change_sides_meet_in_the_middle_of_a_fair_swap() {
        let [a, b] = [strand(&[[0.0, 0.0], [10.0, 20.0]]), strand(&[[10.0, 0.0], [0.0, 20.0]])];
        assert!((meeting(&a, &b, [0.0, 20.0]) - 10.0).abs() < 1e-3);
    }
}
