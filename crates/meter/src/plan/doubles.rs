//! How many pairs of faults a plan finds.

use crate::bench::Bench;
use crate::fault::Fault;
use crate::nets::Nets;
use crate::reading::Span;

use super::{Plan, Probing};

/// So many of so many.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Found {
    /// Found.
    pub found: usize,
    /// Of so many.
    pub of: usize,
}

impl Plan {
    /// Tries every pair of the lead's faults, those that no meter sees alone among them.
    pub fn doubles(&self, bench: &Bench<'_>) -> Found {
        let faults: Vec<&Fault> = self.found.iter().chain(&self.unseen).collect();
        let good = Nets::of(bench, &bench.good(), None);
        let steps: Vec<(Probing, Span)> = self
            .steps
            .iter()
            .filter_map(|step| {
                let [red, black] = [step.measurement.red, step.measurement.black].map(|leg| bench.spot(leg));
                let probing = Probing { range: step.measurement.range, red: red?, black: black? };
                Some((probing, probing.shown(&good)))
            })
            .collect();
        let mut count = Found { found: 0, of: 0 };
        for (at, one) in faults.iter().enumerate() {
            let mut with_one = bench.good();
            one.make(bench, &mut with_one);
            for other in faults.iter().skip(at + 1) {
                let mut with_both = with_one.clone();
                other.make(bench, &mut with_both);
                let nets = Nets::of(bench, &with_both, None);
                count.of += 1;
                let is_found = steps.iter().any(|(probing, shown)| !probing.shown(&nets).meets(*shown));
                count.found += usize::from(is_found);
            }
        }
        count
    }
}
