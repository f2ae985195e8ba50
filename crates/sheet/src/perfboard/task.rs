//! What is to be laid out: the parts of one end, the conductors that come to them, and what is joined to what.

use solderside_lead::{EndId, Join, Lead, Leg, Part};
use solderside_meter::fed_chips;
use solderside_profile::Body;

use super::stance::{Stance, stances};

/// The edge at which a conductor comes in.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Edge {
    /// Towards the connector, in whose hood the board lies: the first row.
    Connector,
    /// Towards the cable: the last row.
    Cable,
}

/// A part with all ways in which it can stand.
#[derive(Debug, Clone)]
pub(super) struct Piece {
    pub(super) part: Part,
    pub(super) stances: Vec<Stance>,
}

/// A conductor that comes to the board in a hole of its own.
#[derive(Debug, Clone, Copy)]
pub(super) struct Entry {
    pub(super) join: Join,
    /// The leg that it comes from.
    pub(super) leg: Leg,
    /// The edge that it comes to by the shortest way.
    pub(super) from: Edge,
}

/// What takes a hole.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Pin {
    /// A leg of a piece, by its place among the piece's legs.
    Leg {
        piece: usize,
        at: usize,
    },
    Entry(usize),
}

/// One wire that is needed, between two pins.
#[derive(Debug, Clone, Copy)]
pub(super) struct Tie {
    pub(super) join: Join,
    pub(super) pins: [usize; 2],
}

/// All of it.
#[derive(Debug, Clone)]
pub(super) struct Task {
    pub(super) pieces: Vec<Piece>,
    pub(super) entries: Vec<Entry>,
    /// The legs piece by piece, then the entries.
    pub(super) pins: Vec<Pin>,
    pub(super) ties: Vec<Tie>,
    /// The number of each pin's net, from 1. What is joined by way of a cup alone is two nets on the board.
    pub(super) nets: Vec<u16>,
    /// Pins that belong close together: a leg of a decoupling capacitor, and the leg of its chip.
    pub(super) close: Vec<[usize; 2]>,
}

impl Task {
    pub(super) fn of(lead: &Lead, end: EndId) -> Self {
        let parts = lead.parts.iter().filter(|part| part.sits == end);
        let pieces: Vec<Piece> = parts.map(|part| Piece { part: *part, stances: stances(part) }).collect();
        let mut task = Self {
            pieces,
            entries: Vec::new(),
            pins: Vec::new(),
            ties: Vec::new(),
            nets: Vec::new(),
            close: Vec::new(),
        };
        for (piece, own) in task.pieces.iter().enumerate() {
            task.pins.extend((0..own.part.body.legs().count()).map(|at| Pin::Leg { piece, at }));
        }
        for join in &lead.joins {
            let pins = [join.from, join.to].map(|leg| task.pin_of(leg));
            let (own, far) = match pins {
                [Some(from), Some(to)] => {
                    task.ties.push(Tie { join: *join, pins: [from, to] });
                    continue;
                }
                [Some(own), None] => (own, join.to),
                [None, Some(own)] => (own, join.from),
                [None, None] => continue,
            };
            let from = if lead.hood(far) == end { Edge::Connector } else { Edge::Cable };
            task.ties.push(Tie { join: *join, pins: [task.pins.len(), own] });
            task.pins.push(Pin::Entry(task.entries.len()));
            task.entries.push(Entry { join: *join, leg: far, from });
        }
        task.nets = task.numbered();
        task.close = task.decoupled(lead);
        task
    }

    /// The pin of a leg of a part that sits here.
    pub(super) fn pin_of(&self, leg: Leg) -> Option<usize> {
        let id = leg.part_id()?;
        let piece = self.pieces.iter().position(|piece| piece.part.id() == id)?;
        let at = self.pieces.get(piece)?.part.body.legs().position(|contact| contact == leg.contact)?;
        self.pins.iter().position(|pin| *pin == Pin::Leg { piece, at })
    }

    /// Whether two pins are legs of one part.
    pub(super) fn are_of_one_part(&self, pin: usize, other: usize) -> bool {
        match (self.pins[pin], self.pins[other]) {
            (Pin::Leg { piece, .. }, Pin::Leg { piece: its, .. }) => piece == its,
            (Pin::Entry(_), _) | (_, Pin::Entry(_)) => false,
        }
    }

    /// The number of each pin's net.
    fn numbered(&self) -> Vec<u16> {
        let mut nets: Vec<u16> = (1..).take(self.pins.len()).collect();
        for tie in &self.ties {
            let [from, to] = tie.pins.map(|pin| nets[pin]);
            for net in &mut nets {
                if *net == to {
                    *net = from;
                }
            }
        }
        nets
    }

    /// The legs of each chip's supply and ground, each with the leg of a capacitor that is its own.
    fn decoupled(&self, lead: &Lead) -> Vec<[usize; 2]> {
        let mut taken = Vec::new();
        let mut close = Vec::new();
        for fed in fed_chips(lead) {
            let Some(pins) = both([fed.supply, fed.ground].map(|leg| self.pin_of(leg))) else { continue };
            let capacitors = self
                .pieces
                .iter()
                .enumerate()
                .filter(|(_, piece)| matches!(piece.part.body, Body::Capacitor(_)));
            let across = |piece: usize| {
                let legs = [0, 1].map(|at| self.pins.iter().position(|pin| *pin == Pin::Leg { piece, at }));
                let [first, second] = both(legs)?;
                [[first, second], [second, first]]
                    .into_iter()
                    .find(|legs| (0..2).all(|at| self.nets[legs[at]] == self.nets[pins[at]]))
            };
            let is_wired = |legs: &[usize; 2]| {
                self.ties.iter().any(|tie| tie.pins.contains(&legs[0]) && tie.pins.contains(&pins[0]))
            };
            let free = capacitors.filter(|(piece, _)| !taken.contains(piece));
            let fits: Vec<(usize, [usize; 2])> =
                free.filter_map(|(piece, _)| Some((piece, across(piece)?))).collect();
            let own = fits.iter().find(|(_, legs)| is_wired(legs)).or(fits.first());
            if let Some((piece, legs)) = own {
                taken.push(*piece);
                close.push([legs[0], pins[0]]);
                close.push([legs[1], pins[1]]);
            }
        }
        close
    }
}

fn both<T: Copy>([first, second]: [Option<T>; 2]) -> Option<[T; 2]> {
    Some([first?, second?])
}
