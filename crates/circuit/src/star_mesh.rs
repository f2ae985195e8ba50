//! Linear elimination without subtraction.
//!
//! A node that is taken out leaves its neighbours joined to each other (the star–mesh
//! transformation): with conductances `g₁ … gₘ` to the neighbours and their sum `G`, each pair gets
//! `gᵢ gⱼ / G`. Every number is a sum or product of positive ones, so a 0.1 Ω contact beside an open
//! one of 1 GΩ costs no digits, where ordinary elimination subtracts two nearly equal numbers.

/// Conductances between free nodes and towards nodes of known voltage.
///
/// A conductance may look different from its two ends ([`Mesh::lean`]): that is no network of resistors
/// any more, yet every step stays a sum or product of positive numbers.
#[derive(Debug, Default)]
pub(crate) struct Mesh {
    size: usize,
    /// Conductance from the row's node to the column's.
    between: Vec<f64>,
    /// Conductance towards nodes of known voltage.
    to_fixed: Vec<f64>,
    /// Current into each free node, Norton currents of the known voltages included.
    into: Vec<f64>,
    order: Vec<usize>,
    totals: Vec<f64>,
}

/// Says which node has no way to a known voltage.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Floating(pub(crate) usize);

impl Mesh {
    /// Empties the mesh and sets the number of free nodes.
    pub(crate) fn reset(&mut self, size: usize) {
        self.size = size;
        for (list, length) in [
            (&mut self.between, size * size),
            (&mut self.to_fixed, size),
            (&mut self.into, size),
            (&mut self.totals, size),
        ] {
            list.clear();
            list.resize(length, 0.0);
        }
        self.order.clear();
    }

    /// Adds a conductance between two free nodes.
    pub(crate) fn join(&mut self, i: usize, j: usize, conductance: f64) {
        if i != j {
            self.between[i * self.size + j] += conductance;
            self.between[j * self.size + i] += conductance;
        }
    }

    /// Adds a conductance that only the first node sees.
    pub(crate) fn lean(&mut self, i: usize, j: usize, conductance: f64) {
        if i != j {
            self.between[i * self.size + j] += conductance;
        }
    }

    /// Adds a conductance from a free node to a known voltage.
    pub(crate) fn join_fixed(&mut self, i: usize, conductance: f64, volts: f64) {
        self.to_fixed[i] += conductance;
        self.into[i] += conductance * volts;
    }

    /// Adds a current into a free node.
    pub(crate) fn inject(&mut self, i: usize, amps: f64) {
        self.into[i] += amps;
    }

    /// Takes all currents out and puts one ampere into a node, with every known voltage at zero.
    pub(crate) fn only_inject(&mut self, node: usize) {
        self.into.fill(0.0);
        self.into[node] = 1.0;
    }

    /// Eliminates all nodes and writes their voltages. The cost is that of the fill: small for the
    /// trees that leads are, at most the cube of the node count.
    pub(crate) fn solve(&mut self, volts: &mut [f64]) -> Result<(), Floating> {
        let n = self.size;
        let mut remaining: Vec<usize> = (0..n).collect();
        let mut neighbours: Vec<(usize, f64, f64)> = Vec::with_capacity(n);
        while !remaining.is_empty() {
            let (position, node) = self.least_joined(&remaining);
            remaining.swap_remove(position);
            neighbours.clear();
            for &i in &remaining {
                let [out, back] = [self.between[node * n + i], self.between[i * n + node]];
                if out > 0.0 || back > 0.0 {
                    neighbours.push((i, out, back));
                }
            }
            let total = self.to_fixed[node] + neighbours.iter().map(|(_, out, _)| out).sum::<f64>();
            if total <= 0.0 || !total.is_finite() {
                return Err(Floating(node));
            }
            for &(i, _, back) in &neighbours {
                let share = back / total;
                if share > 0.0 {
                    self.to_fixed[i] += self.to_fixed[node] * share;
                    self.into[i] += self.into[node] * share;
                    for &(j, out, _) in &neighbours {
                        self.lean(i, j, share * out);
                    }
                }
            }
            self.totals[node] = total;
            self.order.push(node);
        }
        for at in (0..n).rev() {
            let node = self.order[at];
            let row = &self.between[node * n..(node + 1) * n];
            let later = self.order[at + 1..].iter().map(|&i| row[i] * volts[i]).sum::<f64>();
            volts[node] = (self.into[node] + later) / self.totals[node];
        }
        Ok(())
    }

    /// The remaining node with the fewest neighbours, and its position in the list.
    fn least_joined(&self, remaining: &[usize]) -> (usize, usize) {
        let mut best = (0, remaining[0]);
        let mut fewest = usize::MAX;
        for (position, &node) in remaining.iter().enumerate() {
            let row = &self.between[node * self.size..(node + 1) * self.size];
            let count = remaining.iter().filter(|&&i| row[i] > 0.0).count();
            if count < fewest {
                (best, fewest) = ((position, node), count);
                if fewest <= 1 {
                    break;
                }
            }
        }
        best
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_divider_divides() {
        let mut mesh = Mesh::default();
        mesh.reset(1);
        mesh.join_fixed(0, 1.0 / 1000.0, 5.0);
        mesh.join_fixed(0, 1.0 / 200.0, 0.0);
        let mut volts = [0.0];
        mesh.solve(&mut volts).unwrap();
        assert!((volts[0] - 5.0 / 6.0).abs() < 1e-15);
    }

    #[test]
    fn an_island_is_found_floating() {
        let mut mesh = Mesh::default();
        mesh.reset(3);
        mesh.join_fixed(0, 1.0, 5.0);
        mesh.join(1, 2, 1.0);
        let floating = mesh.solve(&mut [0.0; 3]).unwrap_err();
        assert!(matches!(floating, Floating(1 | 2)));
    }
}
