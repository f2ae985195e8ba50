//! The Shockley diode with a series resistance.

use libm::{exp, log1p};
use solderside_quantity::{Amps, Kelvin, Ohms};

/// The Boltzmann constant over the elementary charge, in volts per kelvin: both exact in the SI
/// since 2019 (CODATA 2018: 1.380649e-23 J/K and 1.602176634e-19 C).
const VOLTS_PER_KELVIN: f64 = 1.380_649e-23 / 1.602_176_634e-19;

/// Beyond this many thermal voltages the exponential goes on as its tangent, so that a trial point
/// of the search never overflows. A junction that far out would carry over 1e70 A.
const STEEPEST: f64 = 200.0;

/// A junction, `I = Is (exp(V / (n k T / q)) − 1)`, behind a resistance.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Diode {
    /// The saturation current at `at`.
    pub is: Amps,
    /// The emission coefficient.
    pub n: f64,
    /// The series resistance; zero is allowed.
    pub rs: Ohms,
    /// The junction's temperature. The saturation current is never rescaled here.
    pub at: Kelvin,
}

/// The numbers of a diode that its law needs, checked.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Junction {
    is: f64,
    nvt: f64,
    rs: f64,
}

impl Junction {
    /// Takes a diode's numbers, or says which of them is out of range.
    pub(crate) fn new(diode: &Diode) -> Result<Self, &'static str> {
        let nvt = diode.n * diode.at.get() * VOLTS_PER_KELVIN;
        if diode.is.get() <= 0.0 {
            Err("the saturation current must be above zero")
        } else if !diode.n.is_finite() || diode.n <= 0.0 {
            Err("the emission coefficient must be above zero")
        } else if diode.at.get() <= 0.0 || nvt <= 0.0 || !(diode.is.get() / nvt).is_finite() {
            Err("the temperature must be above absolute zero")
        } else if diode.rs.get() < 0.0 {
            Err("the series resistance must not be negative")
        } else {
            Ok(Self { is: diode.is.get(), nvt, rs: diode.rs.get() })
        }
    }

    /// The thermal voltage times the emission coefficient: the scale on which the law bends.
    pub(crate) fn scale(&self) -> f64 {
        self.nvt
    }

    /// The largest current that can be forced backwards through it.
    pub(crate) fn saturation(&self) -> f64 {
        self.is
    }

    /// The series resistance in ohms.
    pub(crate) fn series(&self) -> f64 {
        self.rs
    }

    /// Whether another carries at least as much at every voltage, from 20 V backwards to the voltage that
    /// drives 1 A through this one.
    ///
    /// The ratio of two junctions' currents rises or falls throughout, so its ends would do; the points between
    /// are for what the series resistances make of it.
    pub(crate) fn stays_below(&self, other: &Self) -> bool {
        const VOLTS: [f64; 5] = [-20.0, -0.1, 0.1, 0.4, 0.7];
        let ampere = self.nvt * log1p(1.0 / self.is) + self.rs;
        let size = |junction: &Self, volts: f64| junction.at(volts).0.abs();
        self == other
            || VOLTS
                .into_iter()
                .chain([ampere])
                .filter(|volts| *volts <= ampere)
                .all(|volts| size(self, volts) <= size(other, volts))
    }

    /// Returns the current and its slope at a voltage across junction and series resistance.
    pub(crate) fn at(&self, volts: f64) -> (f64, f64) {
        let (current, slope) = self.junction(self.across_junction(volts));
        (current, slope / (1.0 + self.rs * slope))
    }

    /// The bare junction's current and slope. The current is sure to within the last bit of `Is`, which is
    /// all that a balance of currents can use.
    pub(crate) fn junction(&self, volts: f64) -> (f64, f64) {
        let x = volts / self.nvt;
        let grown = exp(x.min(STEEPEST));
        let slope = self.is / self.nvt * grown;
        let beyond = (x - STEEPEST).max(0.0) * self.nvt;
        (self.is * (grown - 1.0) + slope * beyond, slope)
    }

    /// Splits the voltage: returns the junction's share `u`, the root of `u + rs·I(u) = volts`.
    ///
    /// The left side is convex and rising, so Newton's method from any point above the root comes
    /// down to it without overshooting. Each start below is such a point, as `I(u) ≥ −Is`, and as
    /// neither `u` nor `rs·I(u)` alone can exceed a positive `volts`.
    pub(crate) fn across_junction(&self, volts: f64) -> f64 {
        if self.rs == 0.0 {
            return volts;
        }
        let mut u = if volts <= 0.0 {
            (volts + self.rs * self.is).min(0.0)
        } else {
            volts.min(self.nvt * log1p(volts / (self.rs * self.is)))
        };
        for _ in 0..64 {
            let (current, slope) = self.junction(u);
            let step = (u + self.rs * current - volts) / (1.0 + self.rs * slope);
            u -= step;
            // What is left is below `step² / 2nvt`, as the slope grows by `1/nvt` of itself.
            if step * step <= 1e-15 * self.nvt * (self.nvt + u.abs()) {
                break;
            }
        }
        u
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn the_thermal_voltage_at_27_celsius_is_25_865_millivolts() {
        // Streetman and others tabulate kT/q at 300 K as 0.0259 V; the exact constants give this.
        assert!((VOLTS_PER_KELVIN * 300.15 - 0.025_865).abs() < 1e-6);
    }

    proptest! {
        #[test]
        fn the_series_resistance_takes_its_share(
            volts in -50.0..50.0f64, is in 1e-14..1e-5f64, n in 0.9..2.5f64, rs in 1e-3..100.0f64,
        ) {
            let diode = Diode { is: Amps::literal(is), n, rs: Ohms::literal(rs), at: Kelvin::literal(300.15) };
            let junction = Junction::new(&diode).unwrap();
            let (current, slope) = junction.at(volts);
            let (alone, _) = junction.junction(volts - rs * current);
            prop_assert!((alone - current).abs() <= 1e-9 * current.abs() + 1e-18);
            prop_assert!(slope >= 0.0 && slope.is_finite());
        }
    }
}
