//! A board as it is built: where each part stands on plain perforated board, and every wire on its solder side, hole by hole.
//!
//! The drawing of the whole lead shows what goes where; this is what is soldered. Every join of the lead that touches a part of
//! the board is one wire here, from leg to leg, or from a leg to the hole in which a conductor comes in.

mod crossings;
mod draw;
mod hole;
mod layout;
mod order;
mod route;
mod search;
mod stance;
mod start;
mod task;

use solderside_lead::{EndId, Join, Lead, Leg, Part};
use solderside_trade::ContactId;

use crate::words::{has_board, listed};
pub use draw::board_drawing;
pub(crate) use draw::{Side, side_drawing};
pub use hole::Hole;
pub(crate) use hole::PITCH_MM;
use search::{Effort, Found, search};
pub(crate) use task::Edge;
use task::{Pin, Task};

/// The board in the hood of one end.
#[derive(Debug, Clone, PartialEq)]
pub struct BoardPlan {
    /// The end.
    pub end: EndId,
    /// How many rows of holes it has.
    pub rows: u16,
    /// How many columns of holes it has.
    pub columns: u16,
    /// Where wires cross one another, or pass over the joint of another leg: each such wire is insulated.
    pub crossings: u32,
    /// Its parts, in rising order.
    pub seats: Vec<BoardSeat>,
    /// The holes in which conductors come in.
    pub entries: Vec<BoardEntry>,
    /// Its wires in the order in which they are soldered.
    pub wires: Vec<BoardWire>,
}

/// A part on a board.
#[derive(Debug, Clone, PartialEq)]
pub struct BoardSeat {
    /// The part.
    pub part: Part,
    /// Its legs in their order, and the hole of each.
    pub legs: Vec<(ContactId, Hole)>,
    /// Whether a part that could lie stands on end; its body then stands over its first leg.
    pub upright: bool,
    /// The first and the last hole of the rectangle that it takes.
    pub room: [Hole; 2],
}

/// The hole in which a conductor comes in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct BoardEntry {
    /// The join that the conductor is.
    pub join: Join,
    /// The leg from which it comes.
    pub leg: Leg,
    /// The hole.
    pub hole: Hole,
    /// The edge at which that is.
    pub(crate) edge: Edge,
}

/// A wire on the solder side.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct BoardWire {
    /// The join that it is, or of which it is the last piece.
    pub join: Join,
    /// The legs that it joins. One that is no part's is that from which the conductor of its hole comes.
    pub legs: [Leg; 2],
    /// All holes that it passes, from the first leg's to the second's. One that is insulated may go straight across.
    pub holes: Vec<Hole>,
    /// Where it begins, bends and ends.
    pub corners: Vec<Hole>,
    /// Of these, what is laid anew: where bare wire of its net lies already by then, a wire ends on it. Each piece by its corners.
    pub runs: Vec<Vec<Hole>>,
    /// Whether it has to be insulated, as it crosses another or passes over a strange joint.
    pub insulated: bool,
}

impl BoardPlan {
    /// Lays out the board in the hood of an end; none where its parts need none.
    pub fn of(lead: &Lead, end: EndId) -> Option<Self> {
        if !has_board(lead, end) {
            return None;
        }
        Some(Self::found(lead, end, Effort::of))
    }

    /// Lays out all boards of a lead.
    pub fn all(lead: &Lead) -> Vec<Self> {
        lead.ends.iter().filter_map(|end| Self::of(lead, end.id)).collect()
    }

    fn found(lead: &Lead, end: EndId, effort: fn(&Task) -> Effort) -> Self {
        let task = Task::of(lead, end);
        let found = search(&task, effort(&task));
        Self::new(lead, end, &task, &found)
    }

    fn new(lead: &Lead, end: EndId, task: &Task, found: &Found) -> Self {
        let Found { layout, courses } = found;
        let seats = task.pieces.iter().enumerate().map(|(piece, own)| {
            let (stance, corner) = (layout.stance(task, piece), layout.places[piece].corner);
            BoardSeat {
                part: own.part,
                legs: own.part.body.legs().zip(stance.legs.iter().map(|leg| leg.from(corner))).collect(),
                upright: stance.upright,
                room: [corner, Hole::new(stance.rows - 1, stance.columns - 1).from(corner)],
            }
        });
        let entries = task.pins.iter().enumerate().filter_map(|(pin, kind)| match kind {
            Pin::Entry(at) => {
                let entry = task.entries[*at];
                let (edge, hole) = (layout.entries[*at].0, layout.hole(task, pin));
                Some(BoardEntry { join: entry.join, leg: entry.leg, hole, edge })
            }
            Pin::Leg { .. } => None,
        });
        let leg = |pin: usize| match task.pins[pin] {
            Pin::Entry(at) => task.entries[at].leg,
            Pin::Leg { piece, at } => {
                let part = &task.pieces[piece].part;
                Leg::part(part.id(), part.body.legs().nth(at).unwrap_or(ContactId::Shell))
            }
        };
        let wires = task.ties.iter().zip(courses).map(|(tie, course)| BoardWire {
            join: tie.join,
            legs: tie.pins.map(leg),
            holes: course.holes.clone(),
            corners: route::corners(&course.holes),
            runs: Vec::new(),
            insulated: course.insulated,
        });
        let mut entries: Vec<BoardEntry> = entries.collect();
        entries.sort_by_key(|entry| entry.hole);
        let mut plan = Self {
            end,
            rows: layout.rows,
            columns: layout.columns,
            crossings: 0,
            seats: seats.collect(),
            entries,
            wires: wires.collect(),
        };
        let nets: Vec<usize> = task.ties.iter().map(|tie| usize::from(task.nets[tie.pins[0]])).collect();
        plan.crossings = crossings::count(&plan, &nets);
        plan.wires = order::to_solder(lead, plan.wires);
        order::set_runs(&mut plan.wires);
        plan
    }

    /// Its height and its width in millimetres, cut half a pitch beyond its outer holes.
    pub fn millimetres(&self) -> [f64; 2] {
        [self.rows, self.columns].map(|holes| f64::from(holes) * PITCH_MM)
    }

    /// Where an ordinary hood is too small for it: both sizes, and what to do. None where it goes in, or where there is no hood.
    pub fn too_large(&self, lead: &Lead) -> Option<String> {
        let family = lead.end(self.end)?.connector.family;
        let room = family.hood_room()?;
        let [room_wide, room_long] = room.value.map(|length| length.get() * 1000.0);
        let [long, wide] = self.millimetres();
        let fits = wide <= room_wide && long <= room_long;
        (!fits).then(|| {
            format!(
                "This board is too large for an ordinary hood of a {family}: it is {wide:.1} mm wide and {long:.1} mm long, and such a \
                 hood takes about {room_wide:.0} mm by {room_long:.0} mm ({}). Before you cut anything, have a hood that is larger \
                 inside, or a small closed box of at least {:.0} mm by {:.0} mm inside and 15 mm high, in the cable close to this end.",
                room.source.text,
                (wide + 4.0).ceil(),
                (long + 4.0).ceil()
            )
        })
    }
}

impl BoardWire {
    /// "bare, A5 to B5", "bare, F5 by F4 to E4; the rest lies already", "insulated, A1 by A4 to C4".
    pub fn told(&self) -> String {
        let kind = if self.insulated { "insulated" } else { "bare" };
        let runs: Vec<String> = self.runs.iter().map(|run| along(run)).collect();
        let is_whole = self.runs.len() == 1 && self.runs[0] == self.corners;
        match (runs.is_empty(), is_whole) {
            (true, _) => format!("{kind}, lies already: solder both ends"),
            (false, true) => format!("{kind}, {}", runs.join(", ")),
            (false, false) => format!("{kind}, {}; the rest lies already", runs.join(", ")),
        }
    }
}

/// "F5 by F4 to E4".
fn along(run: &[Hole]) -> String {
    match run {
        [from, between @ .., to] if !between.is_empty() => format!("{from} by {} to {to}", listed(between)),
        [from, to] => format!("{from} to {to}"),
        _ => listed(run),
    }
}

#[cfg(test)]
mod tests;
