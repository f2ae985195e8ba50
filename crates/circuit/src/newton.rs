//! The damped Newton method on a system of monotone branches.
//!
//! The node equations are the gradient of a convex function (the network's content), so a line
//! search along the Newton step always makes progress, and the only way not to arrive is that there
//! is nowhere to arrive: a current forced backwards through a diode.

use crate::law::Law;
use crate::star_mesh::Mesh;

/// Where a branch ends.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum End {
    /// An unknown voltage, by its place in the system.
    Free(usize),
    /// A known voltage.
    Fixed(f64),
}

/// Something that conducts between two ends, with one law for each direction of the current.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Branch {
    pub(crate) p: End,
    pub(crate) q: End,
    /// In force while `p` is the higher end.
    pub(crate) forward: Law,
    /// In force while `q` is the higher end.
    pub(crate) backward: Law,
    /// The least conductance `current / voltage` that it has anywhere, whatever its element does within its
    /// tolerance.
    pub(crate) floor: f64,
}

impl Branch {
    /// The voltage from `p` to `q`.
    pub(crate) fn across(&self, volts: &[f64]) -> f64 {
        end(self.p, volts) - end(self.q, volts)
    }

    /// The law in force at a voltage.
    pub(crate) fn law(&self, across: f64) -> &Law {
        if across >= 0.0 { &self.forward } else { &self.backward }
    }
}

fn end(end: End, volts: &[f64]) -> f64 {
    match end {
        End::Free(i) => volts[i],
        End::Fixed(volts) => volts,
    }
}

/// Branches and injected currents over so many unknown voltages.
#[derive(Debug, Default)]
pub(crate) struct System {
    pub(crate) size: usize,
    pub(crate) branches: Vec<Branch>,
    /// `(node, amps into it)`.
    pub(crate) injected: Vec<(usize, f64)>,
}

/// Why a system has no operating point; each names a free node.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Stuck {
    /// No way to a known voltage.
    Floating(usize),
    /// The currents cannot be balanced at any voltage, or not within the range of numbers.
    NoBalance(usize),
}

/// The full step has become this small, in volts: the next one is below 1 pV, as the method doubles
/// its digits where the laws bend on a scale of 25 mV.
const ARRIVED: f64 = 1e-8;

/// Iterations before the search for an operating point is given up.
pub(crate) const PATIENCE: usize = 400;

/// A slope of a law below this is taken as this while searching: a diode far in reverse has a slope
/// that is not even a number. It bends the path, not the place of arrival.
const LEAST_SLOPE: f64 = 1e-21;

/// Voltages on the way, with each branch's current and slope there.
#[derive(Debug, Default)]
struct Point {
    volts: Vec<f64>,
    laws: Vec<(f64, f64)>,
}

impl System {
    /// Solves for the voltages in so many iterations, starting from those given.
    pub(crate) fn solve(&self, mesh: &mut Mesh, volts: &mut [f64], patience: usize) -> Result<(), Stuck> {
        let linear = self.branches.iter().all(|b| b.forward.is_linear() && b.forward == b.backward);
        let mut full = vec![0.0; self.size];
        let reach = self.reach();
        let mut here = self.at(volts.to_vec());
        let mut trial = Point::default();
        for _ in 0..patience {
            self.load(mesh, &here);
            mesh.solve(&mut full).map_err(|floating| Stuck::Floating(floating.0))?;
            if linear {
                volts.copy_from_slice(&full);
                return within(volts, reach);
            }
            let longest = full.iter().zip(&here.volts).map(|(f, v)| (f - v).abs()).fold(0.0, f64::max);
            if !longest.is_finite() {
                return within(&full, reach);
            }
            let scale = here.volts.iter().fold(1.0, |most: f64, v| most.max(v.abs()));
            if longest <= ARRIVED * scale.min(1e3) {
                volts.copy_from_slice(&full);
                return within(volts, reach);
            }
            self.step(&here, &full, &mut trial);
            std::mem::swap(&mut here, &mut trial);
        }
        Err(Stuck::NoBalance(furthest(&here.volts)))
    }

    /// Returns the node's resistance against all known voltages at an operating point.
    pub(crate) fn driving_point(&self, mesh: &mut Mesh, volts: &[f64], node: usize) -> Result<f64, Stuck> {
        mesh.reset(self.size);
        for branch in &self.branches {
            let across = branch.across(volts);
            stamp(mesh, branch, branch.law(across).at(across).1, 0.0);
        }
        resistance(mesh, self.size, node)
    }

    /// Returns the largest resistance that the node can have whatever its branches do within their
    /// tolerances: by Rayleigh's monotonicity, that with every branch at its least. What then hangs on nothing but
    /// branches that carry nothing takes no part in it.
    pub(crate) fn largest_driving_point(&self, mesh: &mut Mesh, node: usize) -> Result<f64, Stuck> {
        mesh.reset(self.size);
        for branch in &self.branches {
            stamp(mesh, branch, branch.floor, 0.0);
        }
        for (apart, _) in self.beside(node).iter().enumerate().filter(|(_, is_beside)| !**is_beside) {
            mesh.join_fixed(apart, 1.0, 0.0);
        }
        resistance(mesh, self.size, node)
    }

    /// Which free nodes branches lead to from one of them that carry something even at their least.
    fn beside(&self, node: usize) -> Vec<bool> {
        let mut beside = vec![false; self.size];
        beside[node] = true;
        loop {
            let mut is_more = false;
            for branch in self.branches.iter().filter(|branch| branch.floor > 0.0) {
                if let (End::Free(i), End::Free(j)) = (branch.p, branch.q)
                    && beside[i] != beside[j]
                {
                    (beside[i], beside[j], is_more) = (true, true, true);
                }
            }
            if !is_more {
                return beside;
            }
        }
    }

    /// Returns the voltages for an ampere pushed through a linear system from one end to another, every known
    /// voltage at zero.
    pub(crate) fn response(&self, mesh: &mut Mesh, from: End, to: End) -> Result<Vec<f64>, Stuck> {
        mesh.reset(self.size);
        for branch in &self.branches {
            stamp(mesh, branch, branch.forward.at(0.0).1, 0.0);
        }
        mesh.silence();
        for (end, amps) in [(from, 1.0), (to, -1.0)] {
            if let End::Free(i) = end {
                mesh.inject(i, amps);
            }
        }
        let mut volts = vec![0.0; self.size];
        mesh.solve(&mut volts).map_err(|floating| Stuck::Floating(floating.0))?;
        Ok(volts)
    }

    /// Asks every law at the given voltages.
    fn at(&self, volts: Vec<f64>) -> Point {
        let mut point = Point { volts, laws: Vec::new() };
        self.ask(&mut point);
        point
    }

    fn ask(&self, point: &mut Point) {
        point.laws.clear();
        point.laws.extend(self.branches.iter().map(|branch| {
            let across = branch.across(&point.volts);
            branch.law(across).at(across)
        }));
    }

    /// Loads the mesh with every law's tangent at a point.
    fn load(&self, mesh: &mut Mesh, point: &Point) {
        mesh.reset(self.size);
        for (branch, (current, slope)) in self.branches.iter().zip(&point.laws) {
            let across = branch.across(&point.volts);
            if let Law::Linear(conductance) = branch.law(across) {
                stamp(mesh, branch, *conductance, 0.0);
            } else {
                let slope = slope.max(LEAST_SLOPE);
                stamp(mesh, branch, slope, current - slope * across);
            }
        }
        for &(node, amps) in &self.injected {
            mesh.inject(node, amps);
        }
    }

    /// Goes the share of the step at which the currents along it balance well enough, and asks the laws there.
    ///
    /// Along the step the imbalance rises from a negative value and crosses zero once, as each law is
    /// monotone. The full step is kept where it does not overshoot by more than half.
    fn step(&self, from: &Point, to: &[f64], trial: &mut Point) {
        let mut imbalance = |share: f64| {
            let along = from.volts.iter().zip(to);
            trial.volts.clear();
            trial.volts.extend(along.map(|(f, end)| if share >= 1.0 { *end } else { f + share * (end - f) }));
            self.ask(trial);
            self.imbalance_along(trial, &from.volts, to)
        };
        let start = self.imbalance_along(from, &from.volts, to);
        let enough = 0.5 * start.abs();
        if imbalance(1.0) <= enough || start >= 0.0 {
            return;
        }
        let (mut low, mut high) = (0.0, 1.0);
        // 200 halvings reach past the smallest share that still moves a voltage.
        for _ in 0..200 {
            let middle = 0.5 * (low + high);
            let value = imbalance(middle);
            if value.abs() <= enough {
                return;
            }
            if value < 0.0 { low = middle } else { high = middle }
        }
        imbalance(0.5 * (low + high));
    }

    /// The sum over all nodes of the current that leaves each times the way it goes.
    fn imbalance_along(&self, at: &Point, from: &[f64], to: &[f64]) -> f64 {
        let mut sum = 0.0;
        for (branch, (current, _)) in self.branches.iter().zip(&at.laws) {
            let way = |end: End| match end {
                End::Free(i) => to[i] - from[i],
                End::Fixed(_) => 0.0,
            };
            sum += current * (way(branch.p) - way(branch.q));
        }
        sum - self.injected.iter().map(|&(i, amps)| amps * (to[i] - from[i])).sum::<f64>()
    }

    /// A voltage that no operating point exceeds: the known ones, and what the injected currents can
    /// drop over every resistance and junction there is.
    fn reach(&self) -> f64 {
        let amps = self.injected.iter().map(|(_, amps)| amps.abs()).sum::<f64>();
        let mut reach = 1.0;
        for branch in &self.branches {
            for end in [branch.p, branch.q] {
                if let End::Fixed(volts) = end {
                    reach = f64::max(reach, volts.abs());
                }
            }
        }
        for branch in &self.branches {
            reach += match &branch.forward {
                Law::Linear(_) | Law::Sink { .. } => amps / branch.floor,
                // A hundred thermal voltages either way, and the most that a slope can add.
                Law::Junction(j) => 100.0 * j.scale() + amps * j.scale() / j.saturation().min(1.0),
            };
        }
        4.0 * reach
    }
}

fn within(volts: &[f64], reach: f64) -> Result<(), Stuck> {
    if volts.iter().all(|v| v.abs() <= reach) { Ok(()) } else { Err(Stuck::NoBalance(furthest(volts))) }
}

fn furthest(volts: &[f64]) -> usize {
    let mut worst = 0;
    for (i, v) in volts.iter().enumerate() {
        if !v.is_finite() || v.abs() > volts[worst].abs() {
            worst = i;
        }
    }
    worst
}

/// Puts a tangent into the mesh: a conductance beside a current from `p` to `q`.
fn stamp(mesh: &mut Mesh, branch: &Branch, conductance: f64, beside: f64) {
    match (branch.p, branch.q) {
        (End::Free(i), End::Free(j)) => {
            mesh.join(i, j, conductance);
            if i != j {
                mesh.inject(i, -beside);
                mesh.inject(j, beside);
            }
        }
        (End::Free(i), End::Fixed(volts)) => {
            mesh.join_fixed(i, conductance, volts);
            mesh.inject(i, -beside);
        }
        (End::Fixed(volts), End::Free(j)) => {
            mesh.join_fixed(j, conductance, volts);
            mesh.inject(j, beside);
        }
        (End::Fixed(_), End::Fixed(_)) => {}
    }
}

fn resistance(mesh: &mut Mesh, size: usize, node: usize) -> Result<f64, Stuck> {
    mesh.silence();
    mesh.inject(node, 1.0);
    let mut volts = vec![0.0; size];
    mesh.solve(&mut volts).map_err(|floating| Stuck::Floating(floating.0))?;
    Ok(volts[node])
}
