//! The currents of diodes and outputs in one state of a sweep.
//!
//! A *bend* is the part of an element that no straight line describes. Seen from the bends, the rest of
//! the network is their open-circuit voltages `u` and a matrix `Z` of responses, a row and a column a bend,
//! both read off the rows that the sweep keeps anyway. What is left to solve is
//!
//! ```text
//! w = u − Z q(w),        w: the voltage across each bend, q: its current
//! ```
//!
//! by Newton's method, for a handful of unknowns however many nodes there are. A bend whose slope is too
//! faint to change anything only adds its current. An iteration costs an exponential a diode and an elimination
//! of the size that is left.
//!
//! **Where it starts.** A state differs in one switch from the state before it closed, and in another from one
//! that lacks an earlier switch. Each bend starts where the switch that moved it more has put it. A diode that
//! would be driven far from there goes to where it would stand if all other tangents stayed.
//!
//! **When it has arrived.** At the end of a step the linear network with the tangents in place of the
//! bends is solved exactly, and the only error is what the laws differ from their tangents there. Say a diode
//! has moved by `d` emission voltages `n·Vt`. The difference is then a current of no more than its slope times
//! `n·Vt·d²/2` to first order, which moves no node by more than the whole resistance between the diode's ends
//! would let it; nor by more than `n·Vt·d²/2`, as a source behind the diode's own resistance. The sum over all
//! bends bounds the error of every node's voltage. It is brought below [`NEAR`].
//!
//! What does not arrive in [`ROUNDS`] steps is left to the slow way.

use libm::log1p;

use super::{Closing, Level, Row, Unswept, across, less, sweep_levels};
use crate::diode::Junction;
use crate::network::{Element, ElementId, Network, Node};

/// The largest error of a node's voltage, in volts, by the bound above.
const NEAR: f64 = 1e-7;

/// The most steps for one state.
const ROUNDS: usize = 16;

/// A bend is left out of the elimination where its slope times the resistance that it sees is below this.
const FAINT: f64 = 1e-6;

/// So many emission voltages down a junction's current is its saturation current to a millionth.
const OFF: f64 = -14.0;

/// A junction with that saturation current sees so little resistance that a millionth of it is no voltage.
const OFF_VOLTS: f64 = 1e-3;

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
    /// Stands at the voltage across the bare junction.
    Junction(Junction),
    /// Stands at its own voltage.
    Sink { offset: f64, conductance: f64 },
}

/// Where a bend stands, and the tangent of its law there.
#[derive(Debug, Clone, Copy, Default)]
struct Point {
    /// The voltage across the bare junction, or across the whole where there is none.
    at: f64,
    /// The voltage across the whole.
    volts: f64,
    amps: f64,
    slope: f64,
    /// How much of a change in voltage falls on the bare junction.
    share: f64,
}

/// Solves state after state of a network with bends, and keeps the room that it takes.
pub(super) struct Bent<'n, const N: usize, const D: usize> {
    network: &'n Network,
    switches: &'n [ElementId],
    bends: Vec<Bend>,
    /// The points of the states that later ones start from: see [`Bent::place`].
    met: Vec<Point>,
    points: Vec<Point>,
    /// `Z`, a row a bend.
    between: Vec<Row<D>>,
    /// The bends that are not faint, in their order.
    strong: Vec<usize>,
    /// `Z + 1/slope` over the strong bends, while it is eliminated.
    matrix: Vec<Row<D>>,
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
                    let law = Junction::new(&diode).ok().map(BendLaw::Junction);
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

impl<'n, const N: usize, const D: usize> Bent<'n, N, D> {
    pub(super) fn new(network: &'n Network, switches: &'n [ElementId], bends: Vec<Bend>) -> Self {
        let (size, places) = (bends.len(), switches.len() + 1);
        Self {
            network,
            switches,
            bends,
            met: vec![Point::default(); places * places * size],
            points: vec![Point::default(); size],
            between: vec![[0.0; D]; size],
            strong: Vec::with_capacity(size),
            matrix: vec![[0.0; D]; size],
        }
    }

    pub(super) fn sweep(
        mut self,
        closings: &[Closing],
        levels: &mut [Level<N>],
        mut visit: impl FnMut(u64, &[f64]),
    ) -> Result<(), Unswept> {
        sweep_levels(closings, levels, |state, linear, responses| {
            let near = if state == 0 { None } else { self.arrive(state, linear, responses) };
            let volts = match near {
                Some(volts) => volts,
                None => self.solve_anew(state)?,
            };
            let place = self.place(state);
            self.met[place..place + self.points.len()].copy_from_slice(&self.points);
            visit(state, &volts);
            Ok(())
        })
    }

    /// Where the points of a state are kept: by the last two switches closed. What was kept there before belongs
    /// to states that all come earlier than those that start from this one.
    fn place(&self, state: u64) -> usize {
        let open = self.switches.len();
        let last = |state: u64| if state == 0 { open } else { state.trailing_zeros() as usize };
        (last(before(state)) * (open + 1) + last(state)) * self.bends.len()
    }

    /// Puts each bend where the one of the last two switches closed that moved it more has put it.
    fn start(&mut self, state: u64) {
        let one = before(state);
        let neither = before(one);
        // There is no other while but one is closed.
        let other = if one == 0 { one } else { neither | (state ^ one) };
        let [one, neither, other] = [one, neither, other].map(|state| self.place(state));
        for (k, (point, bend)) in self.points.iter_mut().zip(&self.bends).enumerate() {
            let [one, neither, other] = [one, neither, other].map(|place| &self.met[place + k]);
            let moved = |by: &Point| (by.at - neither.at).abs();
            *point = if moved(other) > moved(one) { *other } else { *one };
            if bend.needs != 0 {
                *point = bend.point(point.at, f64::INFINITY, state);
            }
        }
    }

    /// The voltages of a state that is near the points, which are brought there.
    fn arrive(&mut self, state: u64, linear: &Row<N>, responses: &[Row<N>]) -> Option<Row<N>> {
        self.start(state);
        let mut open = [0.0; D];
        for (j, (bend, response)) in self.bends.iter().zip(responses).enumerate() {
            open[j] = across(bend.a, bend.b, linear);
            for (k, other) in self.bends[..=j].iter().enumerate() {
                let ohms = across(other.a, other.b, response);
                self.between[j][k] = ohms;
                self.between[k][j] = ohms;
            }
        }
        for _ in 0..ROUNDS {
            let (amps, volts) = self.step(&open)?;
            let mut error = 0.0;
            for (k, (bend, point)) in self.bends.iter().zip(&self.points).enumerate() {
                error += bend.error(point, volts[k], self.between[k][k], state);
            }
            if error <= NEAR {
                let mut settled = *linear;
                for (response, amps) in responses.iter().zip(amps) {
                    settled = less(&settled, response, amps);
                }
                return Some(settled);
            }
            for (k, bend) in self.bends.iter().enumerate() {
                let ohms = self.between[k][k];
                let at = bend.next(&self.points[k], volts[k], ohms, || self.alone(k, amps[k], volts[k]));
                self.points[k] = bend.point(at, ohms, state);
            }
        }
        None
    }

    /// The currents and the voltages of all bends with the tangents in their place.
    fn step(&mut self, open: &Row<D>) -> Option<(Row<D>, Row<D>)> {
        let (mut volts, mut amps) = (*open, [0.0; D]);
        self.strong.clear();
        for (k, (point, row)) in self.points.iter().zip(&self.between).enumerate() {
            if point.slope * row[k] > FAINT {
                self.strong.push(k);
            } else {
                amps[k] = point.amps;
                volts = less(&volts, row, point.amps);
            }
        }
        let mut right = [0.0; D];
        for (i, k) in self.strong.iter().enumerate() {
            let (point, between) = (&self.points[*k], &self.between[*k]);
            let ohms = 1.0 / point.slope;
            for (cell, k) in self.matrix[i].iter_mut().zip(&self.strong) {
                *cell = between[*k];
            }
            self.matrix[i][i] += ohms;
            right[i] = volts[*k] - point.volts + point.amps * ohms;
        }
        self.split()?;
        let solved = self.solve(right);
        for (i, k) in self.strong.iter().enumerate() {
            amps[*k] = solved[i];
            volts = less(&volts, &self.between[*k], solved[i]);
        }
        Some((amps, volts))
    }

    /// Brings the matrix to its upper triangle; it is positive definite. The diagonal becomes its inverse.
    fn split(&mut self) -> Option<()> {
        for k in 0..self.strong.len() {
            let (above, below) = self.matrix[..self.strong.len()].split_at_mut(k + 1);
            let top = &mut above[k];
            let inverse = 1.0 / top[k];
            if !inverse.is_finite() || inverse <= 0.0 {
                return None;
            }
            for row in below {
                let share = row[k] * inverse;
                *row = less(row, top, share);
                row[k] = 0.0;
            }
            top[k] = inverse;
        }
        Some(())
    }

    /// Solves for a right side, once the matrix is split.
    fn solve(&self, mut right: Row<D>) -> Row<D> {
        let rows = &self.matrix[..self.strong.len()];
        for (k, row) in rows.iter().enumerate() {
            let part = right[k] * row[k];
            right = less(&right, row, part);
            right[k] = part;
        }
        for (k, row) in rows.iter().enumerate().rev() {
            let later = k + 1..rows.len();
            let sum: f64 = row[later.clone()].iter().zip(&right[later]).map(|(a, b)| a * b).sum();
            right[k] -= row[k] * sum;
        }
        right
    }

    /// The voltage that the bend would have if it carried nothing, and the resistance behind that, all other
    /// tangents staying.
    fn alone(&self, bend: usize, amps: f64, volts: f64) -> (f64, f64) {
        let between = &self.between[bend];
        let mut seen = [0.0; D];
        for (seen, k) in seen.iter_mut().zip(&self.strong) {
            *seen = between[*k];
        }
        let passed: f64 = self.solve(seen).iter().zip(&seen).map(|(a, b)| a * b).sum();
        let loaded = between[bend] - passed;
        let own = if self.strong.contains(&bend) { self.points[bend].slope } else { 0.0 };
        let ohms = (loaded / (1.0 - own * loaded)).max(0.0);
        (volts + ohms * amps, ohms)
    }

    /// The voltages of a state, solved from nothing.
    fn solve_anew(&mut self, state: u64) -> Result<Row<N>, Unswept> {
        let volts = self.network.settled(self.switches, state)?;
        for (point, bend) in self.points.iter_mut().zip(&self.bends) {
            let across = across(bend.a, bend.b, &volts);
            let at = match &bend.law {
                BendLaw::Junction(junction) => junction.across_junction(across),
                BendLaw::Sink { .. } => across,
            };
            *point = bend.point(at, f64::INFINITY, state);
        }
        Ok(volts)
    }
}

/// The state before its last switch was closed.
fn before(state: u64) -> u64 {
    state & state.wrapping_sub(1)
}

impl Bend {
    /// The point at a voltage across the bare junction, or across the whole where there is none.
    fn point(&self, at: f64, ohms: f64, state: u64) -> Point {
        match &self.law {
            BendLaw::Junction(junction) => {
                let is_off = at < OFF * junction.scale() && junction.saturation() * ohms < OFF_VOLTS;
                let (amps, slope) =
                    if is_off { (-junction.saturation(), 0.0) } else { junction.junction(at) };
                let share = 1.0 / (1.0 + junction.series() * slope);
                Point { at, volts: at + junction.series() * amps, amps, slope: slope * share, share }
            }
            BendLaw::Sink { offset, conductance } => {
                let slope = if self.sinks(at, *offset, state) { *conductance } else { 0.0 };
                Point { at, volts: at, amps: slope * (at - offset), slope, share: 1.0 }
            }
        }
    }

    fn sinks(&self, volts: f64, offset: f64, state: u64) -> bool {
        state & self.needs == self.needs && volts > offset
    }

    /// What the tangent at a point leaves a node's voltage wrong by at most, if it ends at `across` and the
    /// bend sees so many ohms.
    fn error(&self, from: &Point, across: f64, ohms: f64, state: u64) -> f64 {
        let weight = ohms * from.slope;
        let way = (across - from.volts).abs();
        match &self.law {
            BendLaw::Junction(junction) => {
                let full = from.at + from.share * (across - from.volts);
                let rise = (full - from.at) / junction.scale();
                // Over one emission voltage the slope grows by no more than this.
                let weight = std::f64::consts::E * weight;
                if rise > 1.0 {
                    let stays_off = full < OFF * junction.scale() && junction.saturation() * ohms < OFF_VOLTS;
                    if stays_off { 0.0 } else { f64::INFINITY }
                } else if weight > std::f64::consts::E * FAINT {
                    0.5 * junction.scale() * rise * rise * weight.min(1.0)
                } else {
                    weight * way
                }
            }
            BendLaw::Sink { offset, .. } => {
                if self.sinks(from.at, *offset, state) != self.sinks(across, *offset, state) {
                    f64::INFINITY
                } else if weight > FAINT {
                    0.0
                } else {
                    weight * way
                }
            }
        }
    }

    /// Where to go on from a point whose tangent ends at `across`. `alone` tells the voltage and the resistance
    /// behind which the bend stands.
    fn next(&self, from: &Point, across: f64, ohms: f64, alone: impl Fn() -> (f64, f64)) -> f64 {
        match &self.law {
            BendLaw::Junction(junction) => {
                let full = from.at + from.share * (across - from.volts);
                let rise = (full - from.at) / junction.scale();
                if ohms * from.slope > 1.0 && rise > -0.8 {
                    // Its current is held by what it sees rather than its voltage.
                    from.at + junction.scale() * log1p(rise)
                } else if rise > 1.0 {
                    let (open, ohms) = alone();
                    junction.behind(ohms).across_junction(open)
                } else {
                    full
                }
            }
            BendLaw::Sink { .. } => across,
        }
    }
}
