//! The boards of a lead, hole by hole.

use schemars::JsonSchema;
use serde::Serialize;
use solderside_sheet::{BoardPlan, BoardSeat, BoardWire};

use super::FORMAT;

/// The answer of `board`. A hole is named from the component side, its row by a letter, its column by a number: `C7`.
#[derive(Debug, Serialize, JsonSchema)]
#[schemars(title = "Solderside: board")]
pub struct Board {
    #[schemars(extend("const" = FORMAT))]
    pub format: u8,
    /// The lead's name.
    pub lead: String,
    /// Its boards; none where the lead is not sound.
    pub boards: Vec<OneBoard>,
    /// The file that was written; null if nothing was.
    pub written: Option<String>,
}

/// The board in the hood of one end.
#[derive(Debug, Serialize, JsonSchema)]
pub struct OneBoard {
    /// The end.
    pub end: String,
    /// How many rows of holes it has.
    pub rows: u16,
    /// How many columns of holes it has.
    pub columns: u16,
    /// Where wires cross, or pass over the joint of another leg.
    pub crossings: u32,
    /// Its parts.
    pub parts: Vec<Seat>,
    /// The holes in which conductors come in.
    pub conductors: Vec<Conductor>,
    /// Its wires in the order of soldering.
    pub wires: Vec<Wire>,
}

/// A part on a board.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Seat {
    /// Its name.
    pub part: String,
    /// What it is.
    pub is: String,
    /// Each of its legs with its hole.
    pub legs: Vec<[String; 2]>,
    /// Whether a part that could lie stands on end.
    pub upright: bool,
}

/// A conductor of the cable, or from a cup of the same end.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Conductor {
    /// The leg from which it comes.
    pub leg: String,
    /// Its hole.
    pub hole: String,
}

/// A wire on the solder side.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Wire {
    /// The legs that it joins; that of a conductor is the one from which it comes.
    pub legs: [String; 2],
    /// Where it begins, bends and ends.
    pub holes: Vec<String>,
    /// Whether it has to be insulated.
    pub insulated: bool,
}

impl Board {
    pub fn new(lead: &str, plans: &[BoardPlan], written: Option<String>) -> Self {
        Self {
            format: FORMAT,
            lead: lead.to_owned(),
            boards: plans.iter().map(OneBoard::from).collect(),
            written,
        }
    }
}

impl From<&BoardPlan> for OneBoard {
    fn from(plan: &BoardPlan) -> Self {
        let conductors = plan
            .entries
            .iter()
            .map(|entry| Conductor { leg: entry.leg.to_string(), hole: entry.hole.to_string() });
        Self {
            end: plan.end.to_string(),
            rows: plan.rows,
            columns: plan.columns,
            crossings: plan.crossings,
            parts: plan.seats.iter().map(Seat::from).collect(),
            conductors: conductors.collect(),
            wires: plan.wires.iter().map(Wire::from).collect(),
        }
    }
}

impl From<&BoardSeat> for Seat {
    fn from(seat: &BoardSeat) -> Self {
        let id = seat.part.id();
        Self {
            part: id.to_string(),
            is: seat.part.body.to_string(),
            legs: seat.legs.iter().map(|(leg, hole)| [id.leg_name(*leg), hole.to_string()]).collect(),
            upright: seat.upright,
        }
    }
}

impl From<&BoardWire> for Wire {
    fn from(wire: &BoardWire) -> Self {
        Self {
            legs: wire.legs.map(|leg| leg.to_string()),
            holes: wire.corners.iter().map(ToString::to_string).collect(),
            insulated: wire.insulated,
        }
    }
}
