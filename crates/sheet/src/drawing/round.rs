//! Ways out of a round connector, whose cups stand in no rows: each conductor passes beside the cups ahead of
//! it, and none passes another.

use std::collections::BTreeMap;

use solderside_trade::ContactId;

use super::geometry::{Cup, Point, Way};

/// Half a conductor's outline, and what is left free beside it.
const BESIDE_A_CUP: f64 = 4.6;
/// Between the middles of two conductors.
const APART: f64 = 5.2;

/// A conductor on its way, and where it is.
struct Line {
    contact: ContactId,
    points: Vec<Point>,
    x: f64,
}

/// The points that a conductor of each cup passes, from the cup to the edge.
///
/// Conductors are led together from cup to cup, the farthest from the edge first. At each height they stand
/// in the gaps between the cups there and just ahead, in the order in which they came, and moved no more
/// than they must be.
pub(crate) fn ways_out(cups: &[Cup], way: Way, edge: f64, radius: f64) -> BTreeMap<ContactId, Vec<Point>> {
    let clear = radius + BESIDE_A_CUP;
    let mut cups = cups.to_vec();
    cups.sort_by(|a, b| (a.at.y * way.sign()).total_cmp(&(b.at.y * way.sign())));
    let mut lines: Vec<Line> = Vec::new();
    for row in cups.chunk_by(|a, b| (a.at.y - b.at.y).abs() < 0.1) {
        let y = row.first().map_or(edge, |cup| cup.at.y);
        let is_near = |cup: &&Cup| (-0.1..1.6 * clear).contains(&((cup.at.y - y) * way.sign()));
        let gaps = gaps(cups.iter().filter(is_near).map(|cup| cup.at.x), clear);
        let wanted: Vec<f64> = lines.iter().map(|line| line.x).collect();
        if let Some((_, places)) = fit(&wanted, &gaps) {
            for (line, x) in lines.iter_mut().zip(places) {
                line.x = x;
            }
        }
        for line in &mut lines {
            line.points.push(Point { x: line.x, y });
        }
        lines.extend(row.iter().map(|cup| Line { contact: cup.contact, points: vec![cup.at], x: cup.at.x }));
        lines.sort_by(|a, b| a.x.total_cmp(&b.x));
    }
    let to_the_edge = |mut line: Line| {
        line.points.push(Point { x: line.x, y: edge });
        (line.contact, line.points)
    };
    lines.into_iter().map(to_the_edge).collect()
}

/// What is free beside and between cups, from left to right.
fn gaps(cups: impl Iterator<Item = f64>, clear: f64) -> Vec<[f64; 2]> {
    let mut cups: Vec<f64> = cups.collect();
    cups.sort_by(f64::total_cmp);
    let lefts = [f64::NEG_INFINITY].into_iter().chain(cups.iter().map(|x| x + clear));
    let rights = cups.iter().map(|x| x - clear).chain([f64::INFINITY]);
    lefts.zip(rights).map(|(left, right)| [left, right]).filter(|[left, right]| left <= right).collect()
}

/// Sets lines into gaps in their order, with the least way aside; `None` where the gaps are too few.
fn fit(wanted: &[f64], gaps: &[[f64; 2]]) -> Option<(f64, Vec<f64>)> {
    let Some((gap, rest)) = gaps.split_first() else {
        return wanted.is_empty().then(|| (0.0, Vec::new()));
    };
    let ways = (0..=wanted.len()).filter_map(|count| {
        let (here, beyond) = wanted.split_at(count);
        let mut places = spread(here, *gap)?;
        let aside: f64 = here.iter().zip(&places).map(|(wish, x)| (wish - x).abs()).sum();
        let (more, others) = fit(beyond, rest)?;
        places.extend(others);
        Some((aside + more, places))
    });
    ways.min_by(|(a, _), (b, _)| a.total_cmp(b))
}

/// Sets lines side by side within a gap; `None` where it does not hold them.
fn spread(wanted: &[f64], [left, right]: [f64; 2]) -> Option<Vec<f64>> {
    let mut places: Vec<f64> = Vec::new();
    for wish in wanted {
        let least = places.last().map_or(left, |before| before + APART);
        places.push(wish.max(least));
    }
    let mut most = right;
    for place in places.iter_mut().rev() {
        *place = place.min(most);
        most = *place - APART;
    }
    places.first().is_none_or(|first| *first >= left).then_some(places)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_line_goes_to_the_nearest_gap_and_stays_where_it_is_free() {
        let gaps = gaps([0.0, 30.0].into_iter(), 10.0);
        assert_eq!(fit(&[-4.0, 12.0, 26.0], &gaps), Some((12.0, vec![-10.0, 12.0, 20.0])));
        assert_eq!(fit(&[15.0], &gaps), Some((0.0, vec![15.0])));
    }

    #[test]
    fn lines_keep_their_order_and_their_distance() {
        let (_, places) = fit(&[1.0, 2.0, 3.0, 4.0], &gaps([0.0, 26.0].into_iter(), 10.0)).unwrap();
        assert!(places.windows(2).all(|two| two[1] - two[0] > APART - 1e-9), "{places:?}");
        assert!(places.iter().all(|x| *x <= -10.0 || (10.0..=16.0).contains(x) || *x >= 36.0), "{places:?}");
    }

    #[test]
    fn a_gap_that_is_too_narrow_holds_no_line() {
        assert_eq!(spread(&[1.0, 2.0], [0.0, 5.0]), None);
        assert_eq!(fit(&[1.0], &[]), None);
    }
}
