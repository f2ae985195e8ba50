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
const MISREAD: f64 = 0.01;

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

/// The steps of what a meter may show.
pub(super) fn reached(range: Range, shown: Span) -> Steps {
    Steps { first: of(range, shown.low()), last: of(range, shown.high()) }
}

impl Steps {
    pub(super) const fn count(self) -> u8 {
        self.last - self.first + 1
    }

    /// How likely a reading is that is one of what these steps hold, or is not.
    pub(super) fn likelihood(self, is_held: bool) -> f64 {
        let slip = MISREAD / f64::from(STEPS);
        if is_held { (1.0 - MISREAD) / f64::from(self.count()) + slip } else { slip }
    }
}

/// How uncertain the step is where so many are reached, in bits.
pub(super) fn uncertainty(count: u8) -> f64 {
    let slip = MISREAD / f64::from(STEPS);
    let within = (1.0 - MISREAD) / f64::from(count) + slip;
    let bits = |share: f64| if share > 0.0 { -share * libm::log2(share) } else { 0.0 };
    bits(within) * f64::from(count) + bits(slip) * f64::from(STEPS - count)
}

/// How uncertain a step is whose likelihoods are the sums of those of many: each adds its share to the steps it reaches.
pub(super) fn mixed(shares: &[f64]) -> f64 {
    let slip = MISREAD / f64::from(STEPS);
    let bits = |share: f64| if share > 0.0 { -share * libm::log2(share) } else { 0.0 };
    shares.iter().map(|share| bits(share * (1.0 - MISREAD) + slip)).sum()
}
