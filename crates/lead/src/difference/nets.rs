//! Legs in groups that conductors make one.

use std::collections::{BTreeMap, BTreeSet};

use crate::lead::{Join, Leg};

/// Nets that grow: each leg is alone until it is joined.
#[derive(Debug, Clone, Default)]
pub(super) struct Nets(BTreeMap<Leg, usize>);

impl Nets {
    /// The nets that joins make.
    pub fn of<'j>(joins: impl IntoIterator<Item = &'j Join>) -> Self {
        let mut nets = Self::default();
        for join in joins {
            nets.join(*join);
        }
        nets
    }

    /// Makes both legs of a join one; returns whether they were apart.
    pub fn join(&mut self, join: Join) -> bool {
        let [from, to] = [join.from, join.to].map(|leg| self.number(leg));
        if from == to {
            return false;
        }
        for number in self.0.values_mut().filter(|number| **number == to) {
            *number = from;
        }
        true
    }

    /// The number of a leg's net; a leg that is new gets the next one.
    pub fn number(&mut self, leg: Leg) -> usize {
        let next = self.0.len();
        *self.0.entry(leg).or_insert(next)
    }

    /// How many legs there are; numbers of nets stay below it.
    pub fn legs(&self) -> usize {
        self.0.len()
    }

    /// Whether two legs are one.
    pub fn are_one(&self, a: Leg, b: Leg) -> bool {
        a == b || self.0.get(&a).zip(self.0.get(&b)).is_some_and(|(a, b)| a == b)
    }

    /// All nets of two legs or more, by their least leg.
    pub fn all(&self) -> Vec<BTreeSet<Leg>> {
        let mut nets: BTreeMap<usize, BTreeSet<Leg>> = BTreeMap::new();
        for (leg, number) in &self.0 {
            nets.entry(*number).or_default().insert(*leg);
        }
        let mut nets: Vec<_> = nets.into_values().filter(|net| net.len() > 1).collect();
        nets.sort();
        nets
    }
}
