//! Axes that controls move by switching resistors.
//!
//! Each position is a set of states: the low end while one of its controls is pressed and none of the other end's, and so
//! on; whatever else is pressed is anything. What the capacitor sees is bounded over all of them. Other parts are
//! switched in at each position, so positions are compared over the whole box, with nothing tied between them. With
//! both ends pressed at once the axis reads something between its ends, and nothing is claimed of it.

use solderside_circuit::Equivalent;
use solderside_lead::{Assembly, Leg, State};
use solderside_profile::{AxisInput, Control, Ramp};
use solderside_quantity::{Farads, Quantity, Seconds, Triple, Volts, significant};

use super::apart::{both, share_apart};
use super::bench::{Bench, Unbounded};
use super::occurs;
use super::{Axes, AxisProof, AxisTime, MovedBy, Position, THIN_APART, WORKS_APART};
use crate::cases::Moving;
use crate::code::Code;
use crate::finding::{Finding, Severity};
use crate::script::Script;
use crate::words::{names, place};

/// An axis of the port with the controls that move it.
struct Switched<'a> {
    leg: Leg,
    axis: &'a AxisInput,
    ramp: Ramp,
    ends: [Vec<Control>; 2],
}

/// What is measured at the worst.
struct Measured {
    times: [AxisTime; 3],
    apart: [f64; 2],
}

/// Measures the axes that controls move.
pub(super) fn axes(assembly: &Assembly, script: &Script<'_>, moving: &Moving, axes: &mut Axes) {
    for (contact, axis) in assembly.port.axes() {
        let leg = Leg::port(contact);
        let is_done = axes.proofs.iter().any(|proof| proof.leg == leg);
        let ramp = assembly.port.inputs.get(&axis.input).and_then(|input| input.ramp);
        let (false, Some(ramp), Some(ends)) = (is_done, ramp, assembly.steering(contact)) else { continue };
        let switched = Switched { leg, axis, ramp, ends };
        let measured = switched.measured(assembly, script, moving);
        axes.findings.extend(switched.told(assembly, &measured));
        axes.proofs.push(switched.proof(measured.ok()));
    }
}

impl Switched<'_> {
    /// The cases of a position: what is pressed, and what may be pressed or not.
    fn cases(&self, moving: &Moving, position: Position) -> Vec<[State; 2]> {
        let [low, high] = &self.ends;
        let own: &[Control] = match position {
            Position::Low => low,
            Position::Centre => &[],
            Position::High => high,
        };
        let [pressed, either] = moving.controls(&moving.whole());
        let all: State = pressed.union(&either).cloned().collect();
        let others = |held: Option<&Control>| -> State {
            let stays = |control: &&Control| {
                let of_ends = low.contains(control) || high.contains(control);
                held != Some(*control) && (!of_ends || own.contains(control))
            };
            all.iter().filter(stays).cloned().collect()
        };
        if own.is_empty() {
            return if position == Position::Centre {
                vec![[State::new(), others(None)]]
            } else {
                Vec::new()
            };
        }
        own.iter().map(|control| [State::from([control.clone()]), others(Some(control))]).collect()
    }

    /// What is pressed at a position and nothing else; none if no control moves there.
    fn held(&self, position: Position) -> Option<State> {
        let [low, high] = &self.ends;
        let one = |own: &[Control]| own.first().map(|control| State::from([control.clone()]));
        match position {
            Position::Low => one(low),
            Position::Centre => Some(State::new()),
            Position::High => one(high),
        }
    }

    fn measured(
        &self,
        assembly: &Assembly,
        script: &Script<'_>,
        moving: &Moving,
    ) -> Result<Measured, Unbounded> {
        let bench = |position| {
            let cases = self.cases(moving, position);
            Bench::in_cases(assembly, script, (self.leg, self.ramp), &cases)
        };
        let benches = [bench(Position::Low)?, bench(Position::Centre)?, bench(Position::High)?];
        let beside = benches.iter().map(|bench| bench.beside).fold(benches[0].beside, Farads::max);
        let mut apart = [f64::INFINITY; 2];
        let mut widest: [Option<Equivalent>; 3] = [None; 3];
        // An end that no control moves to has no network, and so no feed.
        let pieces = benches.iter().map(Bench::pieces).max().unwrap_or(1);
        for piece in 0..pieces {
            let mut seen: Vec<Option<Equivalent>> = Vec::new();
            for (bench, widest) in benches.iter().zip(&mut widest) {
                let own = bench.seen(None, piece);
                *widest = match (*widest, own) {
                    (Some(so_far), Some(own)) => Some(both(&so_far, &own)),
                    (so_far, own) => so_far.or(own),
                };
                seen.push(own);
            }
            for (at, apart) in apart.iter_mut().enumerate() {
                let share = match (seen[at], seen[at + 1]) {
                    (Some(near), Some(far)) => share_apart(beside, self.axis, &self.ramp, [&near, &far]),
                    // An end that no control moves to is nowhere.
                    _ if self.ends[at].is_empty() => f64::INFINITY,
                    _ => f64::NEG_INFINITY,
                };
                *apart = apart.min(share);
            }
        }
        let farads =
            Triple::new(self.ramp.farads.low(), self.ramp.farads.typical(), self.ramp.farads.high() + beside);
        let thresholds = [self.ramp.threshold.low(), self.ramp.threshold.high()];
        let to = thresholds.map(|share| Volts::new(share.get()).unwrap_or(Volts::ZERO));
        let times = [0, 1, 2].map(|at| {
            let seen = widest[at].zip(farads.as_ref().ok());
            let [least, most] =
                seen.map_or([None; 2], |(seen, farads)| seen.charging(self.ramp.series, *farads, to));
            let position = Position::ALL[at];
            let typical = self
                .held(position)
                .and_then(|held| occurs::typical(assembly, script, (self.leg, &self.ramp), &held));
            AxisTime { position, least, typical, most }
        });
        Ok(Measured { times, apart })
    }

    fn proof(&self, measured: Option<Measured>) -> AxisProof {
        let unknown = |position| AxisTime { position, least: Some(Seconds::ZERO), typical: None, most: None };
        let apart = measured.as_ref().map(|measured| measured.apart);
        AxisProof {
            axis: self.axis.axis.clone(),
            leg: self.leg,
            moved_by: MovedBy::Controls(self.ends.clone()),
            travel: measured.map_or(Position::ALL.map(unknown), |measured| measured.times),
            reads: self.axis.reads,
            apart: apart.filter(|apart| apart.iter().all(|share| share.is_finite())),
        }
    }

    /// What there is to say.
    fn told(&self, assembly: &Assembly, measured: &Result<Measured, Unbounded>) -> Option<Finding> {
        let place = place(assembly, self.leg);
        let controls = names(self.ends.iter().flatten());
        let open = |text: String, remedy: &str| {
            Some(Finding::new(Code::ReadUnproved, Severity::Note, text).at([self.leg]).remedy(remedy))
        };
        let measured = match measured {
            Ok(measured) => measured,
            Err(Unbounded::Floats) => {
                let text =
                    format!("{place} is never charged for certain, whatever {controls} do: nothing feeds it");
                let found = Finding::new(Code::ReadAxisStill, Severity::Fail, text).at([self.leg]);
                return Some(found.remedy("lead a resistor to it from what feeds the pots of this port"));
            }
            Err(Unbounded::Capacitor(farads)) => {
                let text = format!("{farads} hang on {place} beside what the machine charges there");
                return open(text, "take the capacitor off the line, or a shorter cable");
            }
            Err(Unbounded::TooMany) => {
                let text =
                    format!("what {place} measures is not settled: the chips can stand in too many ways");
                return open(text, "leave controls out that nobody needs");
            }
        };
        let least = measured.apart[0].min(measured.apart[1]);
        let percent = |share: f64| format!("{} %", significant(share.max(0.0) * 100.0, 2));
        if least < THIN_APART {
            let text = format!(
                "nothing shows that the machine always tells low, centre and high of {place} apart as {controls} move it"
            );
            return open(text, "resistors farther apart, or switches that leak less");
        }
        let (shortest, longest) = self.axis.reads;
        let [low, _, high] = &measured.times;
        let is_beyond = low.least.is_some_and(|least| least < shortest)
            || high.most.is_none_or(|most| most > longest) && !self.ends[1].is_empty();
        let text = if least < WORKS_APART {
            format!(
                "low, centre and high of {place} are only sure to be {} of the travel apart that the port is made for",
                percent(least)
            )
        } else if is_beyond {
            format!("{place} can lie beyond the {shortest} to {longest} that the machine measures")
        } else {
            return None;
        };
        let found = Finding::new(Code::ReadAxisRange, Severity::Thin, text).at([self.leg]);
        Some(found.remedy("resistors of other values, or of a closer tolerance"))
    }
}
