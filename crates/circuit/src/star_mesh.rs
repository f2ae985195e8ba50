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
    /// Which nodes each node is joined to, as bits, `words` of them a row.
    joined: Vec<u64>,
    words: usize,
    /// The nodes not yet eliminated, as bits.
    remaining: Vec<u64>,
    /// How many of the remaining nodes each of them is joined to.
    degrees: Vec<u32>,
    /// Those of the node that is being taken out, with the conductances to and from each.
    neighbours: Vec<(usize, f64, f64)>,
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
        self.words = size.div_ceil(64);
        self.joined.clear();
        self.joined.resize(self.words * size, 0);
    }

    /// Adds a conductance between two free nodes.
    pub(crate) fn join(&mut self, i: usize, j: usize, conductance: f64) {
        self.lean(i, j, conductance);
        self.lean(j, i, conductance);
    }

    /// Adds a conductance that only the first node sees.
    pub(crate) fn lean(&mut self, i: usize, j: usize, conductance: f64) {
        if i != j && conductance > 0.0 {
            self.between[i * self.size + j] += conductance;
            self.joined[i * self.words + j / 64] |= 1 << (j % 64);
            self.joined[j * self.words + i / 64] |= 1 << (i % 64);
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

    /// Takes all currents out, which also puts every known voltage at zero.
    pub(crate) fn silence(&mut self) {
        self.into.fill(0.0);
    }

    /// Eliminates all nodes and writes their voltages. The cost is that of the fill: small for the
    /// trees that leads are, at most the cube of the node count.
    pub(crate) fn solve(&mut self, volts: &mut [f64]) -> Result<(), Floating> {
        let n = self.size;
        self.remaining.clear();
        self.remaining.resize(self.words, u64::MAX);
        if let (Some(last), rest @ 1..) = (self.remaining.last_mut(), n % 64) {
            *last = (1 << rest) - 1;
        }
        self.degrees.clear();
        self.degrees.extend((0..n).map(|node| count(&self.joined, &self.remaining, node)));
        let mut neighbours = std::mem::take(&mut self.neighbours);
        while let Some(node) = self.least_joined() {
            self.remaining[node / 64] &= !(1 << (node % 64));
            neighbours.clear();
            for word in 0..self.words {
                let mut bits = self.joined[node * self.words + word] & self.remaining[word];
                while bits != 0 {
                    let i = word * 64 + bits.trailing_zeros() as usize;
                    bits &= bits - 1;
                    neighbours.push((i, self.between[node * n + i], self.between[i * n + node]));
                }
            }
            let total = self.to_fixed[node] + neighbours.iter().map(|(_, out, _)| out).sum::<f64>();
            if total <= 0.0 || !total.is_finite() {
                self.neighbours = neighbours;
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
            // Only its neighbours have others than before.
            for &(i, ..) in &neighbours {
                self.degrees[i] = count(&self.joined, &self.remaining, i);
            }
            self.totals[node] = total;
            self.order.push(node);
        }
        self.neighbours = neighbours;
        for &node in self.order.iter().rev() {
            // Its neighbours of then are those of its row that were still there: all later in the order.
            let mut sum = self.into[node];
            for word in 0..self.words {
                let mut bits = self.joined[node * self.words + word] & self.remaining[word];
                while bits != 0 {
                    let i = word * 64 + bits.trailing_zeros() as usize;
                    bits &= bits - 1;
                    sum += self.between[node * n + i] * volts[i];
                }
            }
            volts[node] = sum / self.totals[node];
            self.remaining[node / 64] |= 1 << (node % 64);
        }
        Ok(())
    }

    /// The remaining node with the fewest neighbours; the lowest of equals.
    fn least_joined(&self) -> Option<usize> {
        let mut best = None;
        let mut fewest = u32::MAX;
        for word in 0..self.words {
            let mut bits = self.remaining[word];
            while bits != 0 {
                let node = word * 64 + bits.trailing_zeros() as usize;
                bits &= bits - 1;
                let degree = self.degrees[node];
                if degree < fewest {
                    (best, fewest) = (Some(node), degree);
                    // A leaf costs nothing to take out, whichever it is.
                    if fewest <= 1 {
                        return best;
                    }
                }
            }
        }
        best
    }
}

/// How many of the remaining nodes a node is joined to.
fn count(joined: &[u64], remaining: &[u64], node: usize) -> u32 {
    let row = joined.iter().skip(node * remaining.len());
    row.zip(remaining).map(|(joined, remaining)| (joined & remaining).count_ones()).sum()
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
