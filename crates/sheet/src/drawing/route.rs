//! A conductor's way over a board: straight pieces with rounded corners, broken where another passes over it.

use super::geometry::Point;
use super::path::Path;

/// Pieces of one line, each from point to point; between two pieces something passes over it.
#[derive(Debug, Clone, PartialEq, Default)]
pub(crate) struct Route {
    pieces: Vec<Vec<Point>>,
}

/// How much of a corner is rounded at most.
const BEND: f64 = 4.0;
/// Half of what is left out of a line that runs under another.
const HALF_GAP: f64 = 3.5;

impl Route {
    /// The lines through these points; each that runs upright under a level one of another line has a gap there.
    pub(crate) fn all(lines: &[Vec<Point>]) -> Vec<Self> {
        let level: Vec<(usize, [Point; 2])> = lines
            .iter()
            .enumerate()
            .flat_map(|(at, points)| points.windows(2).map(move |two| (at, [two[0], two[1]])))
            .filter(|(_, [a, b])| (a.y - b.y).abs() < 0.01)
            .collect();
        let crossings = |own: usize, [a, b]: [Point; 2]| {
            let [top, bottom] = [a.y.min(b.y), a.y.max(b.y)];
            let crossed = level.iter().filter(|(other, [left, right])| {
                let is_between = (left.x - a.x) * (right.x - a.x) < 0.0;
                *other != own && is_between && top < left.y && left.y < bottom
            });
            let mut crossed: Vec<f64> = crossed.map(|(_, [left, _])| left.y).collect();
            crossed.sort_by(f64::total_cmp);
            if a.y > b.y {
                crossed.reverse();
            }
            crossed
        };
        let route = |(own, points): (usize, &Vec<Point>)| {
            let mut pieces = vec![points.first().copied().into_iter().collect::<Vec<Point>>()];
            for two in points.windows(2) {
                let [from, to] = [two[0], two[1]];
                let is_upright = (from.x - to.x).abs() < 0.01;
                let step = if to.y > from.y { HALF_GAP } else { -HALF_GAP };
                for y in crossings(own, [from, to]).into_iter().filter(|_| is_upright) {
                    if let Some(piece) = pieces.last_mut() {
                        piece.push(Point { y: y - step, ..from });
                    }
                    pieces.push(vec![Point { y: y + step, ..from }]);
                }
                if let Some(piece) = pieces.last_mut() {
                    piece.push(to);
                }
            }
            Self { pieces }
        };
        lines.iter().enumerate().map(route).collect()
    }

    /// The same moved by a vector.
    #[must_use]
    pub(crate) fn moved(&self, by: Point) -> Self {
        let moved = |at: &Point| Point { x: at.x + by.x, y: at.y + by.y };
        Self { pieces: self.pieces.iter().map(|piece| piece.iter().map(moved).collect()).collect() }
    }

    /// The same from its other end.
    #[must_use]
    pub(crate) fn reversed(&self) -> Self {
        let mut pieces = self.pieces.clone();
        pieces.reverse();
        for piece in &mut pieces {
            piece.reverse();
        }
        Self { pieces }
    }

    /// All of its points.
    pub(crate) fn points(&self) -> impl Iterator<Item = Point> {
        self.pieces.iter().flatten().copied()
    }

    /// Its straight pieces, each with both ends.
    #[cfg(test)]
    pub(crate) fn segments(&self) -> Vec<[Point; 2]> {
        self.pieces.iter().flat_map(|piece| piece.windows(2).map(|two| [two[0], two[1]])).collect()
    }

    /// It alone as path data.
    pub(crate) fn path(&self) -> Path {
        let mut path = Path::default();
        self.draw(&mut path, None);
        path
    }

    /// Goes on along it from where a pen stands; returns where the pen stands then.
    pub(crate) fn draw(&self, path: &mut Path, mut pen: Option<Point>) -> Option<Point> {
        for piece in &self.pieces {
            let Some(first) = piece.first() else { continue };
            if pen != Some(*first) {
                path.start(*first);
            }
            for (at, point) in piece.iter().enumerate().skip(1) {
                match piece.get(at + 1) {
                    Some(next) => {
                        path.line(towards(*point, piece[at - 1]));
                        path.corner(*point, towards(*point, *next));
                    }
                    None => _ = path.line(*point),
                }
            }
            pen = piece.last().copied();
        }
        pen
    }
}

/// The point at which a corner's rounding begins or ends: on the way to a neighbour, at most half of it.
fn towards(corner: Point, other: Point) -> Point {
    let [across, down] = [other.x - corner.x, other.y - corner.y];
    let far = (across * across + down * down).sqrt().max(0.01);
    let share = (BEND / far).min(0.5);
    Point { x: corner.x + share * across, y: corner.y + share * down }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn line(points: &[[f64; 2]]) -> Vec<Point> {
        points.iter().map(|[x, y]| Point { x: *x, y: *y }).collect()
    }

    #[test]
    fn an_upright_line_has_a_gap_where_a_level_one_passes_over_it() {
        let routes = Route::all(&[line(&[[5.0, 0.0], [5.0, 30.0]]), line(&[[0.0, 10.0], [20.0, 10.0]])]);
        assert_eq!(routes[0].path().as_str(), "M5 0L5 6.5M5 13.5L5 30");
        assert_eq!(routes[1].path().as_str(), "M0 10L20 10");
        assert_eq!(routes[0].reversed().path().as_str(), "M5 30L5 13.5M5 6.5L5 0");
    }

    #[test]
    fn lines_that_end_beside_one_another_have_no_gap() {
        let routes = Route::all(&[line(&[[5.0, 0.0], [5.0, 9.0]]), line(&[[0.0, 10.0], [20.0, 10.0]])]);
        assert_eq!(routes[0].path().as_str(), "M5 0L5 9");
    }

    #[test]
    fn corners_are_rounded() {
        let routes = Route::all(&[line(&[[0.0, 0.0], [0.0, 20.0], [20.0, 20.0]])]);
        assert_eq!(routes[0].path().as_str(), "M0 0L0 16Q0 20 4 20L20 20");
    }
}
