//! The room between two rows of parts, in which wires change sides: each goes level on a track, and upright at an x
//! of its own.

use super::lanes::spread;

/// The edge of a channel at which a wire enters or leaves it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Edge {
    /// Towards the connector.
    Inner,
    /// Towards the cable.
    Outer,
}

/// Where a wire enters a channel, and at which x it would.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Gate {
    pub(crate) edge: Edge,
    pub(crate) x: f64,
}

/// The course of one wire through a channel.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(crate) struct Course {
    /// Where it runs upright behind either gate.
    pub(crate) xs: [f64; 2],
    /// The track on which it goes from the one to the other; none where it runs straight through.
    pub(crate) track: Option<usize>,
}

/// Upright wires and level ones stand at least so far from what is not theirs.
pub(crate) const APART: f64 = 7.5;

/// Finds a course for each wire, upright ones at least so far apart; tells how many tracks there are.
pub(crate) fn courses(wires: &[[Gate; 2]], apart: f64) -> (Vec<Course>, usize) {
    let is_straight = |[one, other]: &[Gate; 2]| one.edge != other.edge && (one.x - other.x).abs() < 1.0;
    // (wire, gate, where it would be, where it is going)
    let mut gates: Vec<(usize, usize, f64, f64)> = Vec::new();
    for (wire, ends) in wires.iter().enumerate() {
        let [one, other] = ends.map(|gate| gate.x);
        gates.push((wire, 0, one, other));
        if !is_straight(ends) {
            gates.push((wire, 1, other, one));
        }
    }
    gates.sort_by(|a, b| a.2.total_cmp(&b.2).then(a.3.total_cmp(&b.3)));
    let wanted: Vec<f64> = gates.iter().map(|gate| gate.2).collect();
    let xs = spread(&wanted, &vec![apart; gates.len().saturating_sub(1)]);
    let mut courses = vec![Course::default(); wires.len()];
    for ((wire, gate, ..), x) in gates.iter().zip(xs) {
        courses[*wire].xs[*gate] = x;
        if is_straight(&wires[*wire]) {
            courses[*wire].xs = [x; 2];
        }
    }
    let length = |wire: usize| (courses[wire].xs[0] - courses[wire].xs[1]).abs();
    let winding = |from: Edge, to: Edge| {
        let all = wires.iter().enumerate().filter(|(_, ends)| !is_straight(ends));
        let own = all.filter(|(_, ends)| ends.map(|gate| gate.edge) == [from, to]);
        let mut own: Vec<usize> = own.map(|(wire, _)| wire).collect();
        own.sort_by(|a, b| length(*a).total_cmp(&length(*b)));
        own
    };
    // Those that turn back lie near their edge, the short ones nearest.
    let mut near = winding(Edge::Inner, Edge::Inner);
    near.extend(winding(Edge::Inner, Edge::Outer));
    near.extend(winding(Edge::Outer, Edge::Inner));
    let near = tracks(&near, &courses);
    let mut far = tracks(&winding(Edge::Outer, Edge::Outer), &courses);
    far.reverse();
    let count = near.len() + far.len();
    for (track, own) in near.into_iter().chain(far).enumerate() {
        for wire in own {
            courses[wire].track = Some(track);
        }
    }
    (courses, count)
}

/// Puts wires on tracks in this order, each on the first on which it meets no other.
fn tracks(wires: &[usize], courses: &[Course]) -> Vec<Vec<usize>> {
    let span = |wire: usize| {
        let [a, b] = courses[wire].xs;
        [a.min(b) - APART / 2.0, a.max(b) + APART / 2.0]
    };
    let mut tracks: Vec<Vec<usize>> = Vec::new();
    for wire in wires {
        let [left, right] = span(*wire);
        let is_free = |track: &&mut Vec<usize>| {
            track.iter().all(|other| {
                let [from, to] = span(*other);
                right <= from || to <= left
            })
        };
        match tracks.iter_mut().find(is_free) {
            Some(track) => track.push(*wire),
            None => tracks.push(vec![*wire]),
        }
    }
    tracks
}

#[cfg(test)]
mod tests {
    use super::*;

    const fn inner(x: f64) -> Gate {
        Gate { edge: Edge::Inner, x }
    }

    const fn outer(x: f64) -> Gate {
        Gate { edge: Edge::Outer, x }
    }

    #[test]
    fn a_wire_that_goes_straight_through_needs_no_track() {
        let (courses, tracks) = courses(&[[inner(3.0), outer(3.0)]], 8.0);
        assert_eq!((courses[0], tracks), (Course { xs: [3.0, 3.0], track: None }, 0));
    }

    #[test]
    fn upright_wires_keep_apart_and_level_ones_never_share_a_place() {
        let wires = [
            [inner(0.0), outer(50.0)],
            [inner(50.0), outer(0.0)],
            [inner(10.0), inner(30.0)],
            [outer(20.0), outer(40.0)],
            [inner(60.0), outer(80.0)],
        ];
        let (courses, tracks) = courses(&wires, 8.0);
        let mut xs: Vec<f64> = courses.iter().flat_map(|course| course.xs).collect();
        xs.sort_by(f64::total_cmp);
        assert!(xs.windows(2).all(|two| two[1] - two[0] > 7.99), "{xs:?}");
        assert!(tracks < wires.len());
        for (at, one) in courses.iter().enumerate() {
            for other in courses[at + 1..].iter().filter(|other| other.track == one.track) {
                let [a, b] = [one, other].map(|course| course.xs);
                assert!(a[0].max(a[1]) < b[0].min(b[1]) || b[0].max(b[1]) < a[0].min(a[1]));
            }
        }
    }
}
