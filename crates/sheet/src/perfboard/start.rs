//! The plain beginning: chips in rows, everything else as near as it can stand to what it is joined to.

use super::hole::Hole;
use super::layout::{Layout, Place};
use super::task::{Edge, Pin, Task};

/// Rows and columns between chips.
const BETWEEN: [u16; 2] = [4, 3];
/// Room left and right of the chips at first.
const ASIDE: u16 = 4;

/// A sound layout for any task.
pub(super) fn layout(task: &Task) -> Layout {
    let mut rows = 6;
    loop {
        if let Some(layout) = in_rows(task, rows) {
            return layout;
        }
        rows += 4;
    }
}

/// A layout with so many rows beside those of the chips; none where they are too few.
fn in_rows(task: &Task, spare: u16) -> Option<Layout> {
    let is_large =
        |piece: &usize| task.pieces[*piece].stances[0].columns > 4 && task.pieces[*piece].stances[0].rows > 1;
    let (large, mut small): (Vec<usize>, Vec<usize>) = (0..task.pieces.len()).partition(is_large);
    let beside = if large.len() > 2 { 2 } else { 1 };
    let widest = large.iter().map(|piece| task.pieces[*piece].stances[0].columns).max().unwrap_or(5);
    let across = u16::try_from(beside.min(large.len().max(1))).unwrap_or(1);
    let on_edge = |edge: Edge| task.entries.iter().filter(|entry| entry.from == edge).count();
    let entries = on_edge(Edge::Connector).max(on_edge(Edge::Cable));
    let columns = (across * (widest + BETWEEN[1]) + 2 * ASIDE - BETWEEN[1])
        .max(u16::try_from(entries).unwrap_or(u16::MAX));
    let deep = u16::try_from(large.len().div_ceil(beside)).unwrap_or(1);
    let rows = 2 + spare + deep * (4 + BETWEEN[0]);
    let nowhere = Place { stance: 0, corner: Hole::new(u16::MAX / 2, u16::MAX / 2) };
    let mut layout = Layout {
        rows,
        columns,
        places: vec![nowhere; task.pieces.len()],
        entries: vec![(Edge::Cable, 0); task.entries.len()],
    };
    let top = layout.room(task)[0] + spare / 2;
    for (at, piece) in large.iter().enumerate() {
        let [down, along] = [at / beside, at % beside].map(|at| u16::try_from(at).unwrap_or(0));
        let corner = Hole::new(top + 2 + down * (4 + BETWEEN[0]), ASIDE + along * (widest + BETWEEN[1]));
        layout.places[*piece] = Place { stance: 0, corner };
        if !layout.is_clear(task, *piece) {
            return None;
        }
    }
    // Those first that chips need beside them, then those with most neighbours in place.
    let is_close = |piece: &usize| {
        task.close
            .iter()
            .any(|pair| matches!(task.pins[pair[0]], Pin::Leg { piece: own, .. } if own == *piece))
    };
    small.sort_by_key(|piece| !is_close(piece));
    for piece in small {
        layout.places[piece] = nearest(task, &layout, piece)?;
    }
    set_entries(task, &mut layout);
    layout.is_sound(task).then_some(layout)
}

/// Where a piece stands clear and nearest to what it is joined to that stands already.
fn nearest(task: &Task, layout: &Layout, piece: usize) -> Option<Place> {
    let is_placed = |at: usize| layout.places[at].corner.row < layout.rows;
    let own = |pin: usize| match task.pins[pin] {
        Pin::Leg { piece: its, at } if its == piece => Some(at),
        Pin::Leg { .. } | Pin::Entry(_) => None,
    };
    let stands = |pin: usize| match task.pins[pin] {
        Pin::Leg { piece, .. } if is_placed(piece) => Some(layout.hole(task, pin)),
        Pin::Leg { .. } | Pin::Entry(_) => None,
    };
    let ends = task.ties.iter().flat_map(|tie| [tie.pins, [tie.pins[1], tie.pins[0]]]);
    let joined: Vec<(usize, Hole)> =
        ends.filter_map(|[pin, other]| Some((own(pin)?, stands(other)?))).collect();
    let mut tried = layout.clone();
    let mut best: Option<(u32, Place)> = None;
    for (stance, its) in task.pieces[piece].stances.iter().enumerate() {
        for row in 0..layout.rows {
            for column in 0..layout.columns {
                let corner = Hole::new(row, column);
                let place = Place { stance, corner };
                tried.places[piece] = place;
                let far = joined
                    .iter()
                    .map(|(leg, hole)| u32::from(its.legs[*leg].from(corner).steps_to(*hole)))
                    .sum();
                let is_better = best.is_none_or(|(least, _)| far < least);
                if is_better && tried.is_clear(task, piece) {
                    best = Some((far, place));
                }
            }
        }
    }
    best.map(|(_, place)| place)
}

/// Lets conductors come in in the order of the legs that they lead to.
fn set_entries(task: &Task, layout: &mut Layout) {
    for edge in [Edge::Connector, Edge::Cable] {
        let goal = |entry: usize| {
            let tie = task.ties.iter().find(|tie| task.pins[tie.pins[0]] == Pin::Entry(entry));
            tie.map_or(0, |tie| layout.hole(task, tie.pins[1]).column)
        };
        let own = (0..task.entries.len()).filter(|at| task.entries[*at].from == edge);
        let mut order: Vec<(u16, usize)> = own.map(|at| (goal(at), at)).collect();
        order.sort_unstable();
        let mut free = 0;
        let count = order.len();
        for (at, (goal, entry)) in order.into_iter().enumerate() {
            let behind = u16::try_from(count - at).unwrap_or(u16::MAX);
            let column = goal.max(free).min(layout.columns.saturating_sub(behind));
            layout.entries[entry] = (edge, column);
            free = column + 1;
        }
    }
}
