//! The search for a placement: from a plain beginning, by small moves, first with straight lines in place of wires, then
//! with the wires themselves. It is the same on every machine: its dice are a formula, and all that it weighs are whole numbers.

use super::hole::Hole;
use super::layout::{Layout, Place, Stretch};
use super::route::{Course, Seeker, Wiring};
use super::start;
use super::task::{Edge, Pin, Task};

/// What a crossing weighs against a step of wire while the search may still climb.
const CROSSING: u32 = 20;
/// How much worse than the last a placement may be at first.
const LOOSE: u32 = 12;
const LOOSE_WITH_WIRES: u32 = 30;
/// A board is at most so many holes long.
const LONGEST: u16 = 90;

/// How long the search goes on.
#[derive(Debug, Clone, Copy)]
pub(super) struct Effort {
    /// Moves with straight lines, and with wires, for each beginning.
    pub(super) lines: u32,
    pub(super) wires: u32,
    pub(super) beginnings: u32,
}

impl Effort {
    /// Less the more wires there are, so that it takes about as long for any board.
    pub(super) fn of(task: &Task) -> Self {
        let ties = u32::try_from(task.ties.len()).unwrap_or(u32::MAX).max(8);
        Self { lines: (600_000 / ties).min(12_000), wires: (1_000_000 / ties).min(24_000), beginnings: 2 }
    }
}

/// A board with its wires.
#[derive(Debug, Clone)]
pub(super) struct Found {
    pub(super) layout: Layout,
    pub(super) courses: Vec<Course>,
}

/// The same while the search goes on.
#[derive(Debug, Clone)]
struct Tried {
    layout: Layout,
    wiring: Wiring,
    /// What is better comes first: few crossings, little wire, a small board.
    key: (u32, u32, u32),
}

impl Tried {
    fn new(task: &Task, layout: Layout, wiring: Wiring) -> Self {
        let [crossings, length] = wiring.measure();
        let untidy = layout.untidiness(task, &layout.holes(task));
        let key = (crossings, length + untidy + layout.area() / 8, layout.area());
        Self { layout, wiring, key }
    }

    const fn weight(&self) -> u32 {
        CROSSING * self.key.0 + self.key.1
    }
}

/// The best board found.
pub(super) fn search(task: &Task, effort: Effort) -> Found {
    // Each beginning has dice of its own, so that they may go on side by side; of equals the first is taken.
    let best = std::thread::scope(|scope| {
        let others: Vec<_> = (1..effort.beginnings)
            .map(|beginning| scope.spawn(move || from(task, effort, beginning)))
            .collect();
        let first = from(task, effort, 0);
        others
            .into_iter()
            .filter_map(|other| other.join().ok())
            .fold(first, |best, next| if next.key < best.key { next } else { best })
    });
    let Tried { layout, wiring, .. } = best;
    let courses = wiring.courses(task);
    Found { layout, courses }
}

fn from(task: &Task, effort: Effort, beginning: u32) -> Tried {
    let mut dice = Dice(0x5eed + u64::from(beginning));
    let layout = with_lines(task, start::layout(task), effort.lines, &mut dice);
    with_wires(task, layout, effort.wires, &mut dice)
}

/// Moves while straight lines stand for wires.
fn with_lines(task: &Task, start: Layout, moves: u32, dice: &mut Dice) -> Layout {
    let (mut now, mut cost) = (start.clone(), start.estimate(task));
    let (mut best, mut least) = (start, cost);
    for done in 0..moves {
        let Some(next) = moved(task, &now, dice) else { continue };
        let its = next.estimate(task);
        if its <= cost + LOOSE * (moves - done) / moves {
            (now, cost) = (next, its);
            if cost < least {
                (best, least) = (now.clone(), cost);
            }
        }
    }
    best
}

/// Moves with the wires laid at each.
fn with_wires(task: &Task, start: Layout, moves: u32, dice: &mut Dice) -> Tried {
    let mut seeker = Seeker::default();
    let wiring = Wiring::of(task, &start, &mut seeker);
    let mut now = Tried::new(task, start, wiring);
    let mut best = now.clone();
    for done in 0..moves {
        // Room is taken away only once the wires have found their ways.
        let may_shrink = done > moves / 2;
        let Some(next) = rewired(task, &now, may_shrink, dice, &mut seeker) else { continue };
        if next.weight() <= now.weight() + LOOSE_WITH_WIRES * (moves - done) / moves {
            now = next;
            if now.key < best.key {
                best = now.clone();
            }
        }
    }
    best
}

/// A board that differs in one thing: which wire was laid first, its size, or where something stands.
fn rewired(
    task: &Task,
    from: &Tried,
    may_shrink: bool,
    dice: &mut Dice,
    seeker: &mut Seeker,
) -> Option<Tried> {
    match dice.below(12) {
        0..=3 => {
            let insulated = from.wiring.insulated();
            let any = dice.below(task.ties.len());
            let first = insulated.get(dice.below(insulated.len())).copied().unwrap_or(any);
            let through = u32::try_from(4 + dice.below(36)).unwrap_or(4);
            let wiring = from.wiring.shoved(task, first, through, seeker);
            Some(Tried::new(task, from.layout.clone(), wiring))
        }
        4 if may_shrink => {
            let (layout, stretch) = stretched(task, from.layout.clone(), dice)?;
            let wiring = from.wiring.stretched(task, &layout, stretch, seeker);
            Some(Tried::new(task, layout, wiring))
        }
        _ => {
            let layout = moved(task, &from.layout, dice)?;
            let wiring = from.wiring.moved(task, &layout, seeker);
            Some(Tried::new(task, layout, wiring))
        }
    }
}

/// A placement that differs in one thing; none where that is not possible.
fn moved(task: &Task, from: &Layout, dice: &mut Dice) -> Option<Layout> {
    let mut layout = from.clone();
    let pieces = layout.places.len();
    match dice.below(14) {
        0..=4 => {
            let piece = dice.below(pieces);
            let [row, column] = [0, 1].map(|_| dice.offset(3));
            shift(&mut layout, piece, row, column)?;
            if dice.below(4) == 0 {
                layout.places[piece].stance = dice.below(task.pieces[piece].stances.len());
            }
            layout.is_clear(task, piece).then_some(layout)
        }
        5 | 6 => {
            let piece = dice.below(pieces);
            layout.places[piece].stance = dice.below(task.pieces[piece].stances.len());
            layout.is_clear(task, piece).then_some(layout)
        }
        7 | 8 => beside_its_own(task, layout, dice),
        9 | 10 => {
            let [one, other] = [dice.below(pieces), dice.below(pieces)];
            if task.pieces[one].stances != task.pieces[other].stances {
                return None;
            }
            layout.places.swap(one, other);
            Some(layout)
        }
        _ => {
            let entry = dice.below(layout.entries.len());
            let column = u16::try_from(dice.below(usize::from(layout.columns))).ok()?;
            let edge = [Edge::Connector, Edge::Cable][dice.below(2)];
            let before = layout.entries.get(entry).copied()?;
            if let Some(other) = layout.entries.iter().position(|taken| *taken == (edge, column)) {
                layout.entries[other] = before;
            }
            layout.entries[entry] = (edge, column);
            Some(layout)
        }
    }
}

fn shift(layout: &mut Layout, piece: usize, rows: i16, columns: i16) -> Option<()> {
    let corner = &mut layout.places.get_mut(piece)?.corner;
    corner.row = corner.row.checked_add_signed(rows)?;
    corner.column = corner.column.checked_add_signed(columns)?;
    Some(())
}

/// A piece with one of its legs near what that is joined to.
fn beside_its_own(task: &Task, mut layout: Layout, dice: &mut Dice) -> Option<Layout> {
    let tie = task.ties.get(dice.below(task.ties.len()))?;
    let [one, other] = if dice.below(2) == 0 { tie.pins } else { [tie.pins[1], tie.pins[0]] };
    let Pin::Leg { piece, at } = task.pins[one] else { return None };
    let target = layout.hole(task, other);
    let stance = dice.below(task.pieces[piece].stances.len());
    let leg = task.pieces[piece].stances[stance].legs[at];
    let [rows, columns] = [0, 1].map(|_| dice.offset(2));
    let row = target.row.checked_add_signed(rows)?.checked_sub(leg.row)?;
    let column = target.column.checked_add_signed(columns)?.checked_sub(leg.column)?;
    layout.places[piece] = Place { stance, corner: Hole::new(row, column) };
    layout.is_clear(task, piece).then_some(layout)
}

/// A row or a column less somewhere; now and then one more.
fn stretched(task: &Task, mut layout: Layout, dice: &mut Dice) -> Option<(Layout, Stretch)> {
    let rows = dice.below(2) == 0;
    let more = dice.below(6) == 0;
    let size = if rows { layout.rows } else { layout.columns };
    let at = u16::try_from(dice.below(usize::from(size))).ok()?;
    let stretch = Stretch { rows, at, more };
    if more && size >= LONGEST {
        return None;
    }
    for place in &mut layout.places {
        place.corner = stretch.moves(place.corner);
    }
    for (_, column) in &mut layout.entries {
        *column = stretch.moves(Hole::new(0, *column)).column;
    }
    let size = if more { size + 1 } else { size - 1 };
    *(if rows { &mut layout.rows } else { &mut layout.columns }) = size;
    (layout.rows > 2 && layout.columns > 0 && layout.is_sound(task)).then_some((layout, stretch))
}

/// Knuth's linear congruential generator; its upper bits are random enough.
pub(super) struct Dice(pub(super) u64);

impl Dice {
    /// A number below another; 0 below 0.
    pub(super) fn below(&mut self, bound: usize) -> usize {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        usize::try_from(self.0 >> 40).unwrap_or(0) % bound.max(1)
    }

    /// From minus so much to so much.
    fn offset(&mut self, most: i16) -> i16 {
        let span = usize::from(most.unsigned_abs()) * 2 + 1;
        i16::try_from(self.below(span)).unwrap_or(0) - most
    }
}

#[cfg(test)]
mod tests {
    use solderside_lead::EndId;

    use super::*;
    use crate::shelf::resistor_at_a_base;

    /// The best of all boards of these sizes: every place of every part, every hole for every conductor.
    fn best_of_all(task: &Task, sizes: &[[u16; 2]]) -> (u32, u32, u32) {
        let mut best = (u32::MAX, u32::MAX, u32::MAX);
        let mut seeker = Seeker::default();
        for [rows, columns] in sizes.iter().copied() {
            let nowhere = Place { stance: 0, corner: Hole::new(rows, columns) };
            let places = vec![nowhere; task.pieces.len()];
            let entries = vec![(Edge::Cable, columns); task.entries.len()];
            let mut open = vec![Layout { rows, columns, places, entries }];
            for piece in 0..task.pieces.len() {
                let stands = |layout: &Layout| {
                    let mut next = Vec::new();
                    for stance in 0..task.pieces[piece].stances.len() {
                        for at in 0..rows * columns {
                            let mut layout = layout.clone();
                            let corner = Hole::new(at / columns, at % columns);
                            layout.places[piece] = Place { stance, corner };
                            next.extend(layout.is_clear(task, piece).then_some(layout));
                        }
                    }
                    next
                };
                open = open.iter().flat_map(stands).collect();
            }
            for entry in 0..task.entries.len() {
                let comes_in = |layout: &Layout| {
                    let holes =
                        (0..columns).flat_map(|column| [(Edge::Connector, column), (Edge::Cable, column)]);
                    let free = holes.filter(|hole| !layout.entries.contains(hole));
                    let next = free.map(|hole| {
                        let mut layout = layout.clone();
                        layout.entries[entry] = hole;
                        layout
                    });
                    next.collect::<Vec<_>>()
                };
                open = open.iter().flat_map(comes_in).collect();
            }
            for layout in open.into_iter().filter(|layout| layout.is_sound(task)) {
                let wiring = Wiring::of(task, &layout, &mut seeker);
                best = best.min(Tried::new(task, layout, wiring).key);
            }
        }
        best
    }

    #[test]
    fn a_small_board_is_as_good_as_the_best_of_all_of_its_size_and_smaller() {
        let assembly = resistor_at_a_base();
        let task = Task::of(&assembly.lead, EndId::Port);
        let first = from(&task, Effort::of(&task), 0);
        let second = from(&task, Effort::of(&task), 1);
        let found = first.key.min(second.key);
        let sizes = [[4, 3], [4, 4], [4, 5], [5, 3], [5, 4]];
        let best = best_of_all(&task, &sizes);
        assert!(found <= best, "{found:?} found, {best:?} possible");
    }
}
