//! What the machine measures of each axis: how long its pot takes to charge a capacitor.
//!
//! What hangs on the contact is bounded by its equivalent ([`solderside_circuit::Equivalent`]): over the whole box of
//! tolerances, over every state of the controls, with every other pot anywhere on its travel and what it charges anywhere
//! between discharged and full. Where the capacitor counts as charged is a share of the rail, so what counts is what feeds
//! the pot as a share of the rail too: a source to which the port's file gives the rail's own range is the rail.
//!
//! An axis is right if the machine tells low, centre and high apart. Parts do not change while a stick moves, so the
//! positions are compared on the same parts: the same track, capacitor, threshold and feed, in any two states of
//! everything else. What lies beyond the times that the machine can measure reads as the nearest one. The comparison is
//! in shares of the full travel that the port is made for ([`WORKS_APART`], [`THIN_APART`]).

mod apart;
mod bench;
mod occurs;
mod switched;
mod told;

use solderside_circuit::time_constants;
use solderside_lead::{AT_THE_STOP, Assembly, Leg};
use solderside_profile::{Axis, AxisInput, Control, ControllerRole, PortRole, Pot, Ramp};
use solderside_quantity::{Ohms, Seconds, Triple, Volts};

use self::apart::Weighed;
use self::bench::{Bench, Unbounded};
use crate::cases::Moving;
use crate::finding::Finding;
use crate::script::Script;

/// Neighbouring positions must be so far apart for `works`, as a share of the full travel of the port's own stick.
///
/// A stick rests up to a tenth of its travel off the middle, which leaves 0.4 for the shorter half; a program that is
/// calibrated for another stick tells half of that apart for certain (common practice, no source). So a track works from
/// half of the port's own value.
const WORKS_APART: f64 = 0.2;

/// So far apart they must be for `thin`: less is within what a reading jitters (common practice, no source).
const THIN_APART: f64 = 0.05;

/// How an axis is measured.
#[derive(Debug, Clone, PartialEq)]
pub struct AxisProof {
    /// The port's axis.
    pub axis: Axis,
    /// The machine's contact.
    pub leg: Leg,
    /// What moves it.
    pub moved_by: MovedBy,
    /// The times at the end of the travel where the pot has 0 Ω, in the middle, and at the other end.
    pub travel: [AxisTime; 3],
    /// The shortest and the longest time that the machine can measure.
    pub reads: (Seconds, Seconds),
    /// How far neighbouring positions are apart at the worst of all tolerances and states, low from centre and centre from
    /// high, as shares of the full travel that the port is made for; below zero if they overlap. None where nothing
    /// bounds it.
    pub apart: Option<[f64; 2]>,
}

/// What moves an axis.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum MovedBy {
    /// The pot at this contact of a controller.
    Pot(Leg),
    /// Controls, which switch resistors: those that move it to its low end, and those that move it to its high end.
    Controls([Vec<Control>; 2]),
}

/// A time that is measured at one position.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AxisTime {
    /// Where the stick is.
    pub position: Position,
    /// Never shorter, in any state within the tolerances; none where it never charges.
    pub least: Option<Seconds>,
    /// At typical values with nothing else moved; none where it never charges.
    pub typical: Option<Seconds>,
    /// Never longer; none where it may never charge.
    pub most: Option<Seconds>,
}

/// Where an axis stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Position {
    /// The end at which the pot has 0 Ω.
    Low,
    /// The middle, where a stick rests that is let go.
    Centre,
    /// The end of the whole track.
    High,
}

/// What a pot has at the end where it should have nothing, as a share of its track (common practice, no source).
const END_SHARE: f64 = 0.01;

/// Where the middle of the travel lies on the track: trimmers beside a stick move it by a tenth (common practice, no
/// source).
const CENTRE_SHARE: [f64; 3] = [0.4, 0.5, 0.6];

impl Position {
    /// All of them, by their times.
    pub const ALL: [Self; 3] = [Self::Low, Self::Centre, Self::High];

    /// The word of screens and files.
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::Low => "low",
            Self::Centre => "centre",
            Self::High => "high",
        }
    }

    /// Its place among all.
    const fn place(self) -> usize {
        match self {
            Self::Low => 0,
            Self::Centre => 1,
            Self::High => 2,
        }
    }

    /// What a pot has here.
    fn ohms(self, track: Triple<Ohms>) -> Triple<Ohms> {
        let shares = match self {
            Self::Low => [0.0, 0.0, END_SHARE],
            Self::Centre => CENTRE_SHARE,
            Self::High => [1.0; 3],
        };
        let track = [track.low(), track.typical(), track.high()];
        let [low, typical, high] = [0, 1, 2].map(|at| (track[at] * shares[at]).max(AT_THE_STOP));
        Triple::new(low, typical, high).unwrap_or(Triple::exactly(high))
    }
}

/// All axes of a lead with what there is to say of them.
#[derive(Default)]
pub(crate) struct Axes {
    pub(crate) proofs: Vec<AxisProof>,
    pub(crate) findings: Vec<Finding>,
}

/// An axis of the port with the pot that is joined to it.
struct Joined<'a> {
    leg: Leg,
    axis: &'a AxisInput,
    ramp: Ramp,
    at: Leg,
    pot: &'a Pot,
}

/// The time constants in which what is charged from the rail comes to a share of it: what an ohm of pot takes, but for the
/// capacitor.
fn from_rail(threshold: f64) -> f64 {
    time_constants(Volts::literal(1.0), Volts::new(threshold).unwrap_or(Volts::ZERO))
}

/// Measures every axis to which a pot leads, or that controls move.
pub(crate) fn axes(assembly: &Assembly, script: &Script<'_>, moving: &Moving) -> Axes {
    let mut axes = Axes::default();
    for joined in joined(assembly) {
        axes.findings.extend(told::direction(assembly, &joined));
        let bench = match Bench::of(assembly, script, moving, &joined) {
            Ok(bench) => bench,
            Err(why) => {
                axes.findings.push(told::unbounded(assembly, &joined, &why));
                axes.proofs.push(unmeasured(&joined, matches!(why, Unbounded::Floats)));
                continue;
            }
        };
        let points = occurs::points(assembly, script, moving, &joined);
        let weighed = Weighed::of(&bench, &joined);
        axes.findings.extend(told::measured(assembly, &joined, weighed.as_ref(), points.as_deref()));
        axes.proofs.push(proof(&joined, weighed.as_ref(), points.as_deref()));
    }
    switched::axes(assembly, script, moving, &mut axes);
    axes
}

/// The axes of the port to which pots lead, each with the first of its pots: another one is one more thing that moves it.
fn joined(assembly: &Assembly) -> Vec<Joined<'_>> {
    let mut found = Vec::new();
    for (contact, axis) in assembly.port.axes() {
        let leg = Leg::port(contact);
        let ramp = assembly.port.inputs.get(&axis.input).and_then(|input| input.ramp);
        let pot = assembly.lead.reach(leg).into_iter().find_map(|at| Some((at, pot_at(assembly, at)?)));
        if let (Some(ramp), Some((at, pot))) = (ramp, pot) {
            found.push(Joined { leg, axis, ramp, at, pot });
        }
    }
    found
}

/// The pot at a controller's contact.
fn pot_at(assembly: &Assembly, leg: Leg) -> Option<&Pot> {
    match assembly.controller_contact(leg).map(|contact| &contact.role) {
        Some(ControllerRole::Pot(pot)) => Some(pot),
        Some(
            ControllerRole::Control(_)
            | ControllerRole::Wired { .. }
            | ControllerRole::Common
            | ControllerRole::Supply
            | ControllerRole::DoNotConnect
            | ControllerRole::Unused,
        )
        | None => None,
    }
}

/// Whether a leg is on a line from a pot to an axis of the port.
pub(crate) fn is_measured(assembly: &Assembly, leg: Leg) -> bool {
    let is_axis = |leg: &Leg| {
        matches!(assembly.port_contact(*leg).map(|contact| &contact.role), Some(PortRole::Axis(_)))
    };
    let reach = assembly.lead.reach(leg);
    reach.iter().any(is_axis) && reach.iter().any(|leg| pot_at(assembly, *leg).is_some())
}

/// The pots of all controllers.
pub(crate) fn pots(assembly: &Assembly) -> Vec<(Leg, &Pot)> {
    let pots = assembly.controllers().flat_map(|(end, controller)| {
        controller.axes().map(move |(contact, pot)| (Leg { end, contact }, pot))
    });
    pots.collect()
}

fn unmeasured(joined: &Joined<'_>, never: bool) -> AxisProof {
    let least = if never { None } else { Some(Seconds::ZERO) };
    let travel = Position::ALL.map(|position| AxisTime { position, least, typical: None, most: None });
    AxisProof {
        axis: joined.axis.axis.clone(),
        leg: joined.leg,
        moved_by: MovedBy::Pot(joined.at),
        travel,
        reads: joined.axis.reads,
        apart: None,
    }
}

fn proof(joined: &Joined<'_>, weighed: Option<&Weighed>, points: Option<&[occurs::Point]>) -> AxisProof {
    let idle = points.and_then(<[_]>::first);
    let mut proof = unmeasured(joined, false);
    for (at, time) in proof.travel.iter_mut().enumerate() {
        if let Some(weighed) = weighed {
            [time.least, time.most] = weighed.times[at];
        }
        time.typical = idle.and_then(|point| Seconds::new(point.seconds[at]).ok());
    }
    proof.apart = weighed.map(|weighed| weighed.apart);
    proof
}
