//! What may be seen, in steps.

use crate::reading::{DIODE_OPEN_SURELY, OPEN_FROM, Range, Span};

/// How many steps a range has, the last being no reading.
pub(super) const STEPS: u8 = 136;

/// Two readings of one thing may be so many steps apart: a carbon contact is never twice the same.
pub(super) const STEADY: u8 = 12;

/// A sound wire reads less (the longest lead of the thinnest core, and the probes).
const WIRE: f64 = 3.0;

/// Steps in each decade of ohms.
const IN_A_DECADE: f64 = 24.0;

/// The volts of a step of the diode range.
const STEP_VOLTS: f64 = 0.025;

const OPEN: u8 = STEPS - 1;

/// How often a reading is not what it should be: misread, the wrong cup, a probe that slipped. (Judgement.)
const MISREAD: f64 = 0.004;

/// The steps that a span reaches.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Steps {
    pub(super) first: u8,
    pub(super) last: u8,
}

/// The step of a reading.
#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "held within the steps")]
pub(super) fn of(range: Range, reading: f64) -> u8 {
    match range {
        Range::Ohms if reading >= OPEN_FROM.get() => OPEN,
        Range::Ohms if reading < WIRE => 0,
        Range::Ohms => {
            (1.0 + (libm::log10(reading / WIRE) * IN_A_DECADE)).clamp(1.0, f64::from(OPEN - 1)) as u8
        }
        Range::Diode if reading >= DIODE_OPEN_SURELY.get() => OPEN,
        Range::Diode => (reading / STEP_VOLTS).clamp(0.0, f64::from(OPEN - 1)) as u8,
    }
}

/// Whether a reading is one of nothing but wire and solder.
pub(super) fn is_wire(range: Range, reading: f64) -> bool {
    range == Range::Ohms && of(range, reading) == 0
}

/// The steps of what a meter may show.
pub(super) fn reached(range: Range, shown: Span) -> Steps {
    Steps { first: of(range, shown.low()), last: of(range, shown.high()) }
}

impl Steps {
    /// The step of a reading, or no reading, beside which a span may reach others.
    const fn has_open(self) -> bool {
        self.last == OPEN
    }

    /// How likely the last step is, and each other one, if one of them is seen. Where there may be no reading at all, that is
    /// as likely as all others together: a junction reads anything on the ohms range, and mostly nothing.
    fn shares(self) -> [f64; 2] {
        let others = f64::from(self.last - self.first);
        if self.has_open() && self.first < OPEN { [0.5, 0.5 / others] } else { [1.0 / (others + 1.0); 2] }
    }

    /// How likely a step is where one of these is seen, or nearly never another.
    pub(super) fn likelihood(self, step: u8, is_held: bool) -> f64 {
        let slip = MISREAD / f64::from(STEPS);
        let [last, other] = self.shares();
        let own = if step == self.last { last } else { other };
        if is_held { (1.0 - MISREAD) * own + slip } else { slip }
    }

    /// Adds a share of a hypothesis to the steps it reaches.
    pub(super) fn add(self, share: f64, mixed: &mut [f64]) {
        let [last, other] = self.shares();
        for step in self.first..self.last {
            mixed[usize::from(step)] += share * other;
        }
        mixed[usize::from(self.last)] += share * last;
    }

    /// How uncertain the step is, in bits.
    pub(super) fn uncertainty(self) -> f64 {
        let slip = MISREAD / f64::from(STEPS);
        let [last, other] = self.shares();
        let others = self.last - self.first;
        bits((1.0 - MISREAD) * last + slip)
            + f64::from(others) * bits((1.0 - MISREAD) * other + slip)
            + f64::from(STEPS - 1 - others) * bits(slip)
    }
}

/// How uncertain a step is whose likelihoods are sums over hypotheses.
pub(super) fn mixed(shares: &[f64]) -> f64 {
    let slip = MISREAD / f64::from(STEPS);
    shares.iter().map(|share| bits(share * (1.0 - MISREAD) + slip)).sum()
}

fn bits(share: f64) -> f64 {
    if share > 0.0 { -share * libm::log2(share) } else { 0.0 }
}
