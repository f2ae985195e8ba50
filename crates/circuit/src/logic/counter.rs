//! A binary counter.

use super::{Bit, Edge};

/// Stages that count the edges of a clock; its inputs are the clock and the reset, which is high to hold it at zero.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Counter {
    /// How many stages there are, the first the fastest.
    pub stages: usize,
    /// The level to which the clock moves when it counts.
    pub counts_at: bool,
    /// Whether it stands at zero before the first moment, which else nobody knows.
    pub from_zero: bool,
}

impl Counter {
    /// What its stages hold after a change from one settled moment to another.
    ///
    /// `clean` says that its clock and its reset moved at most once.
    #[must_use]
    pub fn after(&self, stages: &[Bit], before: &[Bit], now: &[Bit], clean: bool) -> Vec<Bit> {
        let at = |bits: &[Bit], at: usize| bits.get(at).copied().unwrap_or(Bit::Unknown);
        let edge = Edge::between(at(before, 0), at(now, 0), self.counts_at, clean);
        let unknown = || vec![Bit::Unknown; self.stages];
        let zero = || vec![Bit::Low; self.stages];
        let [was_reset, is_reset] = [at(before, 1), at(now, 1)];
        if clean && is_reset.is(true) {
            return zero();
        }
        // An edge at the very moment in which the reset ends may count or not, and so may one that nobody is sure of.
        match (edge, was_reset.is(true), clean && is_reset.is(false) && was_reset.known().is_some()) {
            (Edge::None, false, true) => stages.to_vec(),
            (Edge::None, true, true) => zero(),
            (Edge::One, false, true) => counted(stages),
            (Edge::None | Edge::One | Edge::Perhaps, _, _) => unknown(),
        }
    }
}

/// One more: a stage turns over when all before it were high.
fn counted(stages: &[Bit]) -> Vec<Bit> {
    let mut all_high = Bit::High;
    let count = |stage: &Bit| {
        let next = match all_high {
            Bit::High => stage.inverted(),
            Bit::Low => *stage,
            Bit::Unknown => Bit::Unknown,
        };
        all_high = match (all_high, *stage) {
            (Bit::Low, _) | (_, Bit::Low) => Bit::Low,
            (Bit::High, stage) => stage,
            (Bit::Unknown, Bit::High | Bit::Unknown) => Bit::Unknown,
        };
        next
    };
    stages.iter().map(count).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    const COUNTER: Counter = Counter { stages: 4, counts_at: false, from_zero: false };

    fn number(stages: &[Bit]) -> Option<usize> {
        let weigh = |(at, bit): (usize, &Bit)| Some(usize::from(bit.known()?) << at);
        stages.iter().enumerate().map(weigh).sum()
    }

    #[test]
    fn it_counts_to_its_end_and_begins_again() {
        let [high, low] = [Bit::High, Bit::Low].map(|clock| [clock, Bit::Low]);
        let mut stages = vec![Bit::Low; 4];
        for expected in (1..16).chain([0]) {
            stages = COUNTER.after(&stages, &low, &high, true);
            stages = COUNTER.after(&stages, &high, &low, true);
            assert_eq!(number(&stages), Some(expected));
        }
    }

    #[test]
    fn a_reset_holds_it_and_a_doubtful_clock_leaves_nothing_known() {
        let stages = vec![Bit::High; 4];
        let reset = COUNTER.after(&stages, &[Bit::Low, Bit::Low], &[Bit::High, Bit::High], true);
        assert_eq!(number(&reset), Some(0));
        let doubtful = COUNTER.after(&stages, &[Bit::High, Bit::Low], &[Bit::Unknown, Bit::Low], true);
        assert_eq!(number(&doubtful), None);
        let bounced = COUNTER.after(&stages, &[Bit::High, Bit::Low], &[Bit::Low, Bit::Low], false);
        assert_eq!(number(&bounced), None);
        let at_the_end = COUNTER.after(&stages, &[Bit::High, Bit::High], &[Bit::Low, Bit::Low], true);
        assert_eq!(number(&at_the_end), None);
    }

    #[test]
    fn what_is_unknown_below_makes_unknown_what_follows_it() {
        let stages = [Bit::High, Bit::Unknown, Bit::High, Bit::Low];
        assert_eq!(counted(&stages), [Bit::Low, Bit::Unknown, Bit::Unknown, Bit::Unknown]);
        let stages = [Bit::Low, Bit::Unknown, Bit::High, Bit::Low];
        assert_eq!(counted(&stages), [Bit::High, Bit::Unknown, Bit::High, Bit::Low]);
    }
}
