//! What is bent of an element, and its tangents in neighbouring states.
//!
//! **When a junction is off.** Its current there moves no node by more than [`NOTHING`]. It then stands where that
//! begins, with next to no slope, however far down its voltage is.
//!
//! **What a tangent leaves.** Say a junction has moved by `d` emission voltages `n·Vt` from where the tangent touches.
//! To first order the law is off its tangent by the slope times `n·Vt·d²/2`, and by no more than `e` times that up
//! to one emission voltage. Such a current moves no node by more than the whole resistance between the ends would
//! let it, nor by more than `n·Vt·d²/2`, as a source behind the junction's own resistance.
//!
//! **Where it goes on.** All other tangents staying, a junction sees a voltage behind a resistance. With `a` for that
//! resistance times its slope, and `r` for the emission voltages that the tangent says, it belongs at the root of
//!
//! ```text
//! d + a (eᵈ − 1) = (1 + a) r
//! ```
//!
//! The root is within a third-order term of `r − h r²/2 + h (3h − 1) r³/6`, with `h = a / (1 + a)`, here as a fraction
//! that also holds for larger `r`. Beyond one emission voltage up, `d` is below `r` and `ln(1 + r/h)`, and one step of
//! Newton's method from about the lower of the two comes close; down, the exponential is left out.

use libm::log;
use std::f64::consts::E;

use super::lanes::{Lanes, Mask};
use crate::diode::Junction;
use crate::network::{Element, ElementId, Network, Node};

/// So many volts are nothing: a junction whose current makes no more is off.
const NOTHING: f64 = 1e-11;

/// The law goes on as a straight line from so many emission voltages, which no diode survives.
const STEEPEST: f64 = 200.0;

/// What is bent of an element.
#[derive(Debug, Clone, Copy)]
pub(super) struct Bend {
    pub(super) a: Node,
    pub(super) b: Node,
    law: BendLaw,
    /// The bit of the state that has to be set for it to be there; none for always.
    needs: u64,
}

#[derive(Debug, Clone, Copy)]
enum BendLaw {
    /// Stands at the voltage across the bare junction, which is never below the one where it is off.
    Junction { junction: Junction, off: f64 },
    /// Stands at its own voltage.
    Sink { offset: f64, conductance: f64 },
}

/// A bend where it stands, with its tangent there.
#[derive(Debug, Clone, Copy)]
pub(super) struct Point {
    pub(super) amps: Lanes,
    pub(super) slope: Lanes,
    /// The voltage across the whole.
    pub(super) volts: Lanes,
    /// The slope of the bare junction.
    bare: Lanes,
    /// How much of a change in voltage falls on the bare junction.
    share: Lanes,
}

impl Point {
    pub(super) const NONE: Self = Self {
        amps: Lanes::ZERO,
        slope: Lanes::ZERO,
        volts: Lanes::ZERO,
        bare: Lanes::ZERO,
        share: Lanes::ONE,
    };
}

/// What a bend sees once the tangents are in place.
#[derive(Debug, Clone, Copy)]
pub(super) struct Seen {
    /// The voltage across it.
    pub(super) volts: Lanes,
    /// The resistance past the tangents of the bends before it.
    pub(super) ohms: Lanes,
    /// `1 / (1 + slope · ohms)`.
    pub(super) inverse: Lanes,
    /// Whether its own tangent was taken for level.
    pub(super) is_level: bool,
}

impl Seen {
    pub(super) const NOTHING: Self =
        Self { volts: Lanes::ZERO, ohms: Lanes::ZERO, inverse: Lanes::ONE, is_level: true };
}

impl Network {
    /// What is bent of the network, the named outputs being there where their bit is set.
    pub(super) fn bends(&self, switches: &[ElementId]) -> Vec<Bend> {
        let mut bends = Vec::new();
        for (at, element) in self.elements().iter().enumerate() {
            let bit = switches.iter().position(|id| id.index() == at);
            match *element {
                Element::Diode { anode: a, cathode: b, diode } => {
                    // A refused diode never came into the network.
                    let law =
                        Junction::new(&diode).ok().map(|junction| BendLaw::Junction { junction, off: 0.0 });
                    bends.extend(law.map(|law| Bend { a, b, law, needs: 0 }));
                }
                Element::OpenCollector { node: a, to: b, on, offset, ohms, .. } if on || bit.is_some() => {
                    let law = BendLaw::Sink { offset: offset.get(), conductance: ohms.get().recip() };
                    bends.push(Bend { a, b, law, needs: bit.map_or(0, |bit| 1 << bit) });
                }
                Element::OpenCollector { .. }
                | Element::Resistor { .. }
                | Element::Switch { .. }
                | Element::Source { .. }
                | Element::Current { .. } => {}
            }
        }
        bends
    }

    /// The network without what is bent of it.
    pub(super) fn straightened(&self) -> Self {
        let mut straight = Self::new();
        for _ in 1..self.node_count() {
            straight.node();
        }
        for element in self.elements() {
            let element = match *element {
                Element::Diode { .. } => continue,
                Element::OpenCollector { node: a, to: b, off: ohms, .. } => Element::Resistor { a, b, ohms },
                Element::Resistor { .. }
                | Element::Switch { .. }
                | Element::Source { .. }
                | Element::Current { .. } => *element,
            };
            // Its values were let in before.
            let _ = straight.add(element);
        }
        straight
    }
}

impl Bend {
    /// The same bend, which never sees more than so many ohms: closing a switch only ever lowers them. None if it
    /// carries so much so far down that it is never off.
    pub(super) fn seeing(mut self, ohms: f64) -> Option<Self> {
        if let BendLaw::Junction { junction, off } = &mut self.law {
            let growth = log(NOTHING / (junction.saturation() * ohms)).min(STEEPEST);
            if growth < -STEEPEST {
                return None;
            }
            *off = growth * junction.scale();
        }
        Some(self)
    }

    /// Where it stands before anything is known.
    pub(super) fn rest(&self) -> Lanes {
        match self.law {
            BendLaw::Junction { off, .. } => Lanes::all(off),
            BendLaw::Sink { offset, .. } => Lanes::all(offset),
        }
    }

    /// Where it stands in one lane, given the voltage across the whole.
    pub(super) fn stand(&self, across: f64) -> f64 {
        match &self.law {
            BendLaw::Junction { junction, off } => junction.across_junction(across).max(*off),
            BendLaw::Sink { .. } => across,
        }
    }

    /// The point at a voltage across the bare junction, or across the whole where there is none.
    pub(super) fn touch(&self, at: &Lanes, state: u64, point: &mut Point) {
        match &self.law {
            BendLaw::Junction { junction, .. } => {
                let [is, scale, rs] = [junction.saturation(), junction.scale(), junction.series()];
                let grown = (*at * Lanes::all(scale.recip())).exp();
                point.amps = Lanes::all(is) * (grown - Lanes::ONE);
                point.bare = Lanes::all(is / scale) * grown;
                point.volts = *at;
                point.slope = point.bare;
                if rs > 0.0 {
                    point.share = Lanes::ONE / (Lanes::ONE + Lanes::all(rs) * point.bare);
                    point.volts = *at + Lanes::all(rs) * point.amps;
                    point.slope = point.bare * point.share;
                }
            }
            BendLaw::Sink { offset, conductance } => {
                point.slope = self.sinks(at, *offset, state).pick(Lanes::all(*conductance), Lanes::ZERO);
                point.amps = point.slope * (*at - Lanes::all(*offset));
                point.volts = *at;
            }
        }
    }

    /// Where the bend is there and above its offset.
    fn sinks(&self, volts: &Lanes, offset: f64, state: u64) -> Mask {
        let there = Lanes::from_fn(|lane| f64::from((state | lane as u64) & self.needs == self.needs));
        there.above(Lanes::ZERO).and(volts.above(Lanes::all(offset)))
    }

    /// What the tangent at a point leaves a node's voltage wrong by at most. One that was taken for level
    /// also lacks what its slope adds.
    pub(super) fn error(&self, at: &Lanes, from: &Point, seen: &Seen, state: u64) -> Lanes {
        let way = seen.volts - from.volts;
        let weight = from.slope * seen.ohms;
        let endless = Lanes::all(f64::INFINITY);
        let error = match &self.law {
            BendLaw::Junction { junction, off } => {
                let [half, one, off] = [0.5, 1.0, *off].map(Lanes::all);
                let step = way * from.share;
                let rise = step * Lanes::all(junction.scale().recip());
                let bent = half * step * rise * (weight * Lanes::all(E)).min(one);
                let stays_off = at.within(off).and((*at + step).within(off));
                stays_off.pick(Lanes::ZERO, rise.above(one).pick(endless, bent))
            }
            BendLaw::Sink { offset, .. } => {
                let [was, is] = [at, &seen.volts].map(|volts| self.sinks(volts, *offset, state));
                was.differs(is).pick(endless, Lanes::ZERO)
            }
        };
        if seen.is_level { error + Lanes::all(E) * weight * way.abs() } else { error }
    }

    /// Goes on from a point, to where the bend would stand if all other tangents stayed.
    pub(super) fn go_on(&self, at: &mut Lanes, from: &Point, seen: &Seen) {
        match &self.law {
            BendLaw::Junction { junction, off } => {
                let scale = junction.scale();
                let [one, off, most] = [1.0, *off, STEEPEST * scale].map(Lanes::all);
                let step = (seen.volts - from.volts) * from.share;
                let rise = step * Lanes::all(scale.recip());
                let held = one - seen.inverse * from.share;
                let mut next = step
                    - Lanes::all(1.5) * held * step * rise
                        / (Lanes::all(3.0) + (Lanes::all(3.0) * held - one) * rise);
                let low = Lanes::all(-1.0).above(rise);
                if low.any() {
                    let hold = from.bare * (seen.ohms + Lanes::all(junction.series()));
                    let closed = step.min(step + hold * (step + Lanes::all(scale)));
                    next = low.pick(closed, next);
                }
                let high = rise.above(one);
                if high.any() {
                    let hold = from.bare * (seen.ohms + Lanes::all(junction.series()));
                    let all = (one + hold) * rise;
                    let about = rise.min((one + all / hold).rough_ln());
                    let grown = about.exp();
                    let beyond = about + hold * (grown - one) - all;
                    let opened = about - beyond / (one + hold * grown);
                    next = high.pick(opened * Lanes::all(scale), next);
                }
                *at = (*at + next).max(off).min(most);
            }
            BendLaw::Sink { .. } => *at = seen.volts,
        }
    }
}
