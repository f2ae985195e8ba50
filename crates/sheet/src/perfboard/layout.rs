//! Where everything stands on a board, and what that is worth before a wire is laid.

use super::hole::Hole;
use super::stance::Stance;
use super::task::{Edge, Pin, Task};

/// Where a piece stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Place {
    /// Which of its stances.
    pub(super) stance: usize,
    /// The corner with the lowest row and column.
    pub(super) corner: Hole,
}

/// A board with its parts.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Layout {
    pub(super) rows: u16,
    pub(super) columns: u16,
    pub(super) places: Vec<Place>,
    /// The edge and the column at which each conductor comes in.
    pub(super) entries: Vec<(Edge, u16)>,
}

/// A row or a column more, or less, at one place.
#[derive(Debug, Clone, Copy)]
pub(super) struct Stretch {
    pub(super) rows: bool,
    pub(super) at: u16,
    pub(super) more: bool,
}

impl Stretch {
    /// Where a hole comes to be. What is in a row that is taken away comes into the one after it.
    pub(super) const fn moves(self, hole: Hole) -> Hole {
        let own = if self.rows { hole.row } else { hole.column };
        let own = match (own > self.at, self.more) {
            (true, true) => own + 1,
            (true, false) => own - 1,
            (false, _) => own,
        };
        if self.rows { Hole::new(own, hole.column) } else { Hole::new(hole.row, own) }
    }
}

/// A part on end, in steps of wire: it stands less firmly, and higher, than one that lies.
const UPRIGHT: u32 = 2;
/// A conductor that goes around the board to its other edge.
const AROUND: u32 = 2;
/// Each step that a decoupling capacitor is too far from its chip: from the supply's leg, and from that of the ground.
const ASTRAY: [u32; 2] = [12, 2];
/// Each place where straight lines between what is joined cross.
const CROSSING: u32 = 8;

/// Two legs of different nets so many steps apart.
const CROWDED: [u32; 4] = [0, 4, 2, 1];

impl Layout {
    pub(super) fn stance<'t>(&self, task: &'t Task, piece: usize) -> &'t Stance {
        &task.pieces[piece].stances[self.places[piece].stance]
    }

    /// The hole of a pin.
    pub(super) fn hole(&self, task: &Task, pin: usize) -> Hole {
        match task.pins[pin] {
            Pin::Leg { piece, at } => self.stance(task, piece).legs[at].from(self.places[piece].corner),
            Pin::Entry(at) => {
                let (edge, column) = self.entries[at];
                let row = match edge {
                    Edge::Connector => 0,
                    Edge::Cable => self.rows - 1,
                };
                Hole::new(row, column)
            }
        }
    }

    /// The hole of every pin.
    pub(super) fn holes(&self, task: &Task) -> Vec<Hole> {
        (0..task.pins.len()).map(|pin| self.hole(task, pin)).collect()
    }

    /// The first row for parts, and the row behind the last one: the rows at the edges are for conductors.
    pub(super) fn room(&self, task: &Task) -> [u16; 2] {
        let edge = u16::from(!task.entries.is_empty());
        [edge, self.rows.saturating_sub(edge)]
    }

    /// Whether a piece is on the board and clear of all others.
    pub(super) fn is_clear(&self, task: &Task, piece: usize) -> bool {
        let [top, bottom] = self.room(task);
        let (own, at) = (self.stance(task, piece), self.places[piece].corner);
        let is_inside =
            at.row >= top && at.row + own.rows <= bottom && at.column + own.columns <= self.columns;
        is_inside
            && (0..self.places.len()).filter(|other| *other != piece).all(|other| {
                let (its, corner) = (self.stance(task, other), self.places[other].corner);
                at.row + own.rows <= corner.row
                    || corner.row + its.rows <= at.row
                    || at.column + own.columns <= corner.column
                    || corner.column + its.columns <= at.column
            })
    }

    /// Whether all of it is on the board, each in a place of its own.
    pub(super) fn is_sound(&self, task: &Task) -> bool {
        let taken = |at: usize| self.entries[..at].contains(&self.entries[at]);
        (0..self.places.len()).all(|piece| self.is_clear(task, piece))
            && (0..self.entries.len()).all(|at| self.entries[at].1 < self.columns && !taken(at))
    }

    /// What the places themselves cost, in steps of wire.
    pub(super) fn untidiness(&self, task: &Task, holes: &[Hole]) -> u32 {
        let upright = (0..self.places.len()).filter(|piece| self.stance(task, *piece).upright).count();
        let astray = task.close.iter().enumerate().map(|(at, [leg, chip])| {
            let [leg, chip] = [holes[*leg], holes[*chip]];
            let apart = leg.row.abs_diff(chip.row).max(leg.column.abs_diff(chip.column));
            ASTRAY[at % 2] * u32::from(apart.saturating_sub(1))
        });
        let around =
            task.entries.iter().zip(&self.entries).filter(|(entry, (edge, _))| entry.from != *edge).count();
        AROUND * u32::try_from(around).unwrap_or(u32::MAX)
            + UPRIGHT * u32::try_from(upright).unwrap_or(u32::MAX)
            + astray.sum::<u32>()
    }

    /// The number of its holes.
    pub(super) fn area(&self) -> u32 {
        u32::from(self.rows) * u32::from(self.columns)
    }

    /// How closely legs of different nets stand whose parts could stand farther apart: wires need room between them.
    fn crowding(task: &Task, holes: &[Hole]) -> u32 {
        let mut crowding = 0;
        for (pin, hole) in holes.iter().enumerate() {
            for (other, its) in holes.iter().enumerate().skip(pin + 1) {
                let is_close = hole.row.abs_diff(its.row) < 3 && hole.column.abs_diff(its.column) < 3;
                if is_close && task.nets[pin] != task.nets[other] && !task.are_of_one_part(pin, other) {
                    crowding += CROWDED.get(usize::from(hole.steps_to(*its))).copied().unwrap_or(0);
                }
            }
        }
        crowding
    }

    /// What it is worth with straight lines in place of wires: less is better.
    pub(super) fn estimate(&self, task: &Task) -> u32 {
        let holes = self.holes(task);
        let lines: Vec<([usize; 2], [Hole; 2])> =
            task.ties.iter().map(|tie| (tie.pins, tie.pins.map(|pin| holes[pin]))).collect();
        let length: u32 = lines.iter().map(|(_, [from, to])| u32::from(from.steps_to(*to))).sum();
        let mut crossings = 0;
        for (at, (pins, line)) in lines.iter().enumerate() {
            for (others, other) in &lines[at + 1..] {
                let shared = pins.iter().any(|pin| others.contains(pin));
                crossings += u32::from(!shared && cross(*line, *other));
            }
        }
        CROSSING * crossings
            + length
            + Self::crowding(task, &holes)
            + self.untidiness(task, &holes)
            + self.area() / 8
    }
}

/// Whether two straight lines cross or touch.
fn cross([a, b]: [Hole; 2], [c, d]: [Hole; 2]) -> bool {
    let apart = |a: u16, b: u16, c: u16, d: u16| a.max(b) < c.min(d) || c.max(d) < a.min(b);
    if apart(a.column, b.column, c.column, d.column) || apart(a.row, b.row, c.row, d.row) {
        return false;
    }
    let side = |from: Hole, to: Hole, of: Hole| {
        let [x, y] = [i32::from(to.column) - i32::from(from.column), i32::from(to.row) - i32::from(from.row)];
        let [u, v] = [i32::from(of.column) - i32::from(from.column), i32::from(of.row) - i32::from(from.row)];
        (x * v - y * u).signum()
    };
    side(a, b, c) * side(a, b, d) <= 0 && side(c, d, a) * side(c, d, b) <= 0
}
