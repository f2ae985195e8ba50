//! The currents of all bends with their tangents in place.
//!
//! A bend's current is `amps + slope · w` at its voltage `w`, and `w = u − Z q`. The bends are taken one after the
//! other: of the later ones is left what they see with that tangent in place. `Z` stays positive definite all the
//! way, so nothing is ever divided by less than one. A bend whose slope is too faint to change anything only
//! adds its current, which costs no elimination.

use super::bend::{Point, Seen};
use super::lanes::Lanes;
use super::ports::Ports;

/// A tangent counts as level where its slope times the resistance that it sees is below this.
const FAINT: f64 = 1e-4;

/// The room for one elimination.
#[derive(Debug)]
pub(super) struct Balance {
    /// The bends that are not faint, in their order, and those that are.
    strong: Vec<usize>,
    level: Vec<usize>,
    /// What an ampere in a strong bend takes off each later one, a row a bend.
    rows: Vec<Lanes>,
    /// The current in each for a volt across it, and that without the later ones.
    gains: Vec<Lanes>,
    alone: Vec<Lanes>,
    shares: Vec<Lanes>,
}

impl Balance {
    pub(super) fn new(size: usize) -> Self {
        Self {
            strong: Vec::with_capacity(size),
            level: Vec::with_capacity(size),
            rows: vec![Lanes::ZERO; size * size],
            gains: vec![Lanes::ZERO; size],
            alone: vec![Lanes::ZERO; size],
            shares: vec![Lanes::ZERO; size],
        }
    }

    /// Finds the bends' currents, and what each sees.
    pub(super) fn find(&mut self, ports: &Ports, points: &[Point], amps: &mut [Lanes], seen: &mut [Seen]) {
        self.strong.clear();
        self.level.clear();
        for (k, point) in points.iter().enumerate() {
            let weight = point.slope * ports.row(k)[k];
            if weight.within(Lanes::all(FAINT)).holds_for_all() {
                self.level.push(k);
                amps[k] = point.amps;
            } else {
                self.strong.push(k);
            }
        }
        self.eliminate(ports, points, seen);
        self.settle(amps, seen);
        for k in &self.level {
            let row = ports.row(*k);
            let volts =
                row.iter().zip(&*amps).fold(ports.open[*k], |left, (ohms, amps)| left - *ohms * *amps);
            seen[*k] = Seen { volts, ohms: row[*k], inverse: Lanes::ONE, is_level: true };
        }
    }

    fn eliminate(&mut self, ports: &Ports, points: &[Point], seen: &mut [Seen]) {
        let size = points.len();
        for (p, k) in self.strong.iter().enumerate() {
            let (point, from) = (&points[*k], ports.row(*k));
            let (earlier, own) = self.rows.split_at_mut(p * size);
            let mut open = ports.open[*k];
            for l in &self.level {
                open = open - from[*l] * points[*l].amps;
            }
            for i in 0..p {
                let across = earlier[i * size + p];
                open = open - across * self.alone[i];
                self.shares[i] = across * self.gains[i];
            }
            for (q, (cell, l)) in own[p..size].iter_mut().zip(&self.strong[p..]).enumerate() {
                let mut left = from[*l];
                for (i, share) in self.shares[..p].iter().enumerate() {
                    left = left - *share * earlier[i * size + p + q];
                }
                *cell = left;
            }
            let inverse = Lanes::ONE / (Lanes::ONE + point.slope * own[p]);
            self.gains[p] = point.slope * inverse;
            self.alone[p] = (point.amps - point.slope * point.volts + point.slope * open) * inverse;
            seen[*k] = Seen { volts: open, ohms: own[p], inverse, is_level: false };
        }
    }

    /// From the last strong bend to the first.
    fn settle(&self, amps: &mut [Lanes], seen: &mut [Seen]) {
        for (p, k) in self.strong.iter().enumerate().rev() {
            let row = &self.rows[p * seen.len() + p..];
            let later = row[1..].iter().zip(&self.strong[p + 1..]);
            let taken = later.fold(Lanes::ZERO, |taken, (ohms, l)| taken + *ohms * amps[*l]);
            amps[*k] = self.alone[p] - self.gains[p] * taken;
            seen[*k].volts = seen[*k].volts - taken - row[0] * amps[*k];
        }
    }
}
