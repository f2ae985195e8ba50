//! Diodes: the three-parameter law, its temperature, and the limits that data sheets guarantee.

use solderside_quantity::{Amps, Kelvin, NotFinite, Ohms, Volts};

use crate::source::{Source, Sourced};

/// A diode as I = Is · (exp(Vj / (n · Vt)) − 1) with a resistance in series.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DiodeModel {
    /// Saturation current, at the temperature `at`.
    pub is_amps: Amps,
    /// Ideality: 1 for an ideal junction, about 2 for small silicon diodes.
    pub n: f64,
    /// Series resistance.
    pub rs: Ohms,
    /// The temperature that the saturation current holds at.
    pub at: Kelvin,
    /// How its saturation current follows the temperature.
    pub barrier: Barrier,
}

/// What sets how a diode's saturation current grows with the temperature.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Barrier {
    /// A silicon junction: a gap of 1.11 eV and an exponent of 3, from the set of [`SILICON_1N4148`].
    Silicon,
    /// Metal on silicon: 0.69 eV and 2 (from memory, the usual parameters of Schottky diodes).
    Schottky,
}

/// A guaranteed point: up to this current the drop is at most this.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DropLimit {
    /// The forward current.
    pub amps: Amps,
    /// The greatest drop at that current.
    pub volts: Volts,
}

/// The small-signal silicon diode 1N4148 (and 1N914, 1N4448) at 27 °C.
///
/// A second published set of parameters gives up to 33 mV less; allow ±40 mV.
pub const SILICON_1N4148: Sourced<DiodeModel> = Sourced::new(
    DiodeModel {
        is_amps: Amps::literal(5.84e-9),
        n: 1.94,
        rs: Ohms::literal(0.7017),
        at: Kelvin::literal(300.15),
        barrier: Barrier::Silicon,
    },
    Source::published(
        "published 1N4148 model parameters (D1N4148: Is 5.84 nA, N 1.94, Rs 0.7017 Ω), \
         github.com/lkshirahatti/IntegratedCircuits",
    ),
);

/// What the 1N4148 drops at most, at 25 °C.
pub const SILICON_1N4148_DROP: Sourced<&[DropLimit]> = Sourced::new(
    &[limit(10e-3, 1.0)],
    Source::published("1N4148 Switching Diodes, rev. 0.2, dtsheet.com/doc/1174254/panjit-1n4148_10"),
);

/// What the Schottky diode BAT85 drops at most, at 25 °C.
///
/// Its sheet also prints 0.5 V at 30 mA, which is typical and stands here as nothing.
pub const SCHOTTKY_BAT85_DROP: Sourced<&[DropLimit]> = Sourced::new(
    &[limit(0.1e-3, 0.24), limit(1e-3, 0.32), limit(10e-3, 0.40), limit(100e-3, 0.80)],
    Source::published("BAT85 Schottky Diode, dtsheet.com/doc/1460049/bat85"),
);

/// k/q in volts per kelvin (SI, exact since 2019): the thermal voltage at 1 K.
const THERMAL_VOLTS_PER_KELVIN: f64 = 8.617_333_262e-5;
/// The range that silicon diodes are sold for, −65 °C to 175 °C (from memory).
const COLDEST: Kelvin = Kelvin::literal(208.15);
const HOTTEST: Kelvin = Kelvin::literal(448.15);
const ROOM: Kelvin = Kelvin::literal(298.15);

impl Barrier {
    /// The gap in electronvolts, and the exponent.
    const fn gap_and_exponent(self) -> (f64, f64) {
        match self {
            Self::Silicon => (1.11, 3.0),
            Self::Schottky => (0.69, 2.0),
        }
    }
}

impl DiodeModel {
    /// The same diode at another temperature.
    ///
    /// Is(T) = Is · (T/T₀)^(x/n) · exp(−E/(n·k/q) · (1/T − 1/T₀)) with the gap E and the exponent x of its
    /// [`Barrier`], the law of the published parameters. A temperature outside −65 °C to 175 °C counts as the nearer end.
    #[must_use]
    pub fn at_temperature(&self, temperature: Kelvin) -> Self {
        let at = temperature.max(COLDEST).min(HOTTEST);
        let (t, t0) = (at.get(), self.at.get());
        let (gap, exponent) = self.barrier.gap_and_exponent();
        let growth = libm::pow(t / t0, exponent / self.n);
        let gap = gap / (self.n * THERMAL_VOLTS_PER_KELVIN);
        let is_amps = self.is_amps.get() * growth * libm::exp(-gap * (1.0 / t - 1.0 / t0));
        // Finite for every diode that can be made; the bounds keep the promise for all others.
        let is_amps = Amps::new(is_amps.clamp(0.0, f64::MAX)).unwrap_or(Amps::ZERO);
        Self { is_amps, at, ..*self }
    }

    /// The drop that a forward current causes.
    ///
    /// # Errors
    /// Refuses a reverse current beyond the saturation current: no voltage causes it.
    pub fn forward_volts(&self, amps: Amps) -> Result<Volts, NotFinite> {
        let thermal = self.n * THERMAL_VOLTS_PER_KELVIN * self.at.get();
        let junction = Volts::new(thermal * libm::log1p(amps / self.is_amps))?;
        Volts::new(junction.get() + amps.get() * self.rs.get())
    }
}

/// The guaranteed drop at a current: that of the next tabled current above it, since the drop rises
/// with the current. `None` above the last.
#[must_use]
pub fn drop_at_most(limits: &[DropLimit], amps: Amps) -> Option<Volts> {
    let reached = limits.iter().filter(|limit| amps <= limit.amps);
    reached.map(|limit| limit.volts).reduce(Volts::min)
}

/// The most that a reversed 1N4148 leaks below 20 V: 25 nA at 25 °C, doubled for every 10 K.
///
/// The doubling is from memory, and reaches above the sheet's other point (50 µA at 150 °C). A
/// temperature outside −65 °C to 175 °C counts as the nearer end.
#[must_use]
pub fn silicon_leakage_at_most(temperature: Kelvin) -> Sourced<Amps> {
    const SHEET: Source = Source::published(
        "1N4148 Switching Diodes, rev. 0.2, dtsheet.com/doc/1174254/panjit-1n4148_10 (25 nA at 20 V, \
         25 °C); from memory: doubles every 10 K",
    );
    Sourced::new(Amps::literal(25e-9 * doublings(temperature)), SHEET)
}

/// The most that a reversed BAT85 leaks below 25 V: 2 µA at 25 °C, doubled for every 10 K (from memory).
#[must_use]
pub fn schottky_leakage_at_most(temperature: Kelvin) -> Sourced<Amps> {
    const SHEET: Source = Source::published(
        "BAT85 Schottky Diode, dtsheet.com/doc/1460049/bat85 (2 µA at 25 V, 25 °C); from memory: \
         doubles every 10 K",
    );
    Sourced::new(Amps::literal(2e-6 * doublings(temperature)), SHEET)
}

fn doublings(temperature: Kelvin) -> f64 {
    libm::exp2((temperature.max(COLDEST).min(HOTTEST) - ROOM).get() / 10.0)
}

const fn limit(amps: f64, volts: f64) -> DropLimit {
    DropLimit { amps: Amps::literal(amps), volts: Volts::literal(volts) }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    const SILICON: DiodeModel = SILICON_1N4148.value;

    fn volts(diode: &DiodeModel, milliamps: f64) -> f64 {
        diode.forward_volts(Amps::literal(milliamps * 1e-3)).unwrap().get()
    }

    /// The law worked by hand with the published three parameters at 27 °C.
    #[test]
    fn the_silicon_drop_follows_the_published_parameters() {
        for (milliamps, expected) in [(0.1, 0.489), (1.0, 0.605), (5.0, 0.689), (10.0, 0.727)] {
            let found = volts(&SILICON, milliamps);
            assert!((found - expected).abs() < 0.001, "{milliamps} mA: {found} V");
        }
    }

    /// Two published parameter sets: 0.585 V to 0.605 V at 1 mA, 0.694 V to 0.727 V at 10 mA; *1N4148
    /// Switching Diodes*, dtsheet.com/doc/1174254: never above 1.0 V at 10 mA.
    #[test]
    fn the_silicon_drop_lies_within_the_spread_of_published_sets_and_below_the_sheets_limit() {
        for (milliamps, low, high) in [(1.0, 0.585, 0.605), (10.0, 0.694, 0.727)] {
            let found = volts(&SILICON, milliamps);
            assert!((low - 0.04..=high + 0.04).contains(&found), "{milliamps} mA: {found} V");
        }
        let most = drop_at_most(SILICON_1N4148_DROP.value, Amps::literal(10e-3));
        assert_eq!(most, Some(Volts::literal(1.0)));
        assert!(volts(&SILICON, 10.0) < 1.0);
    }

    /// A low of 0.4 V behind the diode, pulled up to 5 V by 4.7 kΩ, stands near 1.00 V: above the
    /// 0.8 V of *DM74LS157*, below the 1.35 V of *74HC245* at 4.5 V.
    #[test]
    fn a_silicon_diode_lifts_a_scanned_low_out_of_reach_of_ttl() {
        let level = 0.4 + volts(&SILICON, 0.85);
        assert!((level - 1.0).abs() < 0.05, "{level} V");
    }

    /// Common practice, no source: about −2 mV/K at a milliampere.
    #[test]
    fn the_silicon_drop_falls_by_two_millivolts_a_kelvin() {
        for [cold, warm] in [[0.0, 27.0], [27.0, 40.0]] {
            let at = |celsius| {
                let diode = SILICON.at_temperature(Kelvin::from_celsius(celsius).unwrap());
                volts(&diode, 1.0)
            };
            let per_kelvin = (at(warm) - at(cold)) / (warm - cold);
            assert!((per_kelvin + 0.002).abs() <= 0.0004, "{per_kelvin} V/K");
        }
    }

    #[test]
    fn a_diode_at_its_own_temperature_is_unchanged() {
        assert_eq!(SILICON.at_temperature(SILICON.at), SILICON);
    }

    /// *BAT85 Schottky Diode*, dtsheet.com/doc/1460049/bat85: 0.32 V at 1 mA, so a low of 0.4 V
    /// behind it stands at 0.72 V at most, inside the 0.8 V of TTL.
    #[test]
    fn a_schottky_diode_keeps_a_scanned_low_within_reach_of_ttl() {
        let most = |milliamps: f64| drop_at_most(SCHOTTKY_BAT85_DROP.value, Amps::literal(milliamps * 1e-3));
        assert_eq!(most(1.0), Some(Volts::literal(0.32)));
        assert_eq!(most(0.85), Some(Volts::literal(0.32)));
        assert!(Volts::literal(0.4) + most(1.0).unwrap() < Volts::literal(0.8));
        assert_eq!(most(30.0), Some(Volts::literal(0.80)));
        assert_eq!(most(101.0), None);
    }

    /// *1N4148 Switching Diodes*: 25 nA at 20 V and 25 °C, 50 µA at 20 V and 150 °C.
    #[test]
    fn silicon_leakage_covers_both_published_points() {
        let at = |celsius| silicon_leakage_at_most(Kelvin::from_celsius(celsius).unwrap()).value.get();
        assert!((at(25.0) - 25e-9).abs() < 1e-15);
        assert!(at(150.0) >= 50e-6);
    }

    #[test]
    fn a_reverse_current_beyond_saturation_has_no_voltage() {
        assert!(SILICON.forward_volts(Amps::literal(-1e-3)).is_err());
        assert!(SILICON.forward_volts(-SILICON.is_amps).is_err());
    }

    proptest! {
        #[test]
        fn the_drop_rises_with_the_current_and_falls_with_the_temperature(
            milliamps in 0.001..100.0,
            celsius in 0.0..39.0,
        ) {
            let at = |celsius| SILICON.at_temperature(Kelvin::from_celsius(celsius).unwrap());
            prop_assert!(volts(&at(celsius), milliamps) < volts(&at(celsius), milliamps * 1.1));
            prop_assert!(volts(&at(celsius), milliamps) > volts(&at(celsius + 1.0), milliamps));
        }

        #[test]
        fn no_number_makes_the_law_panic(
            numbers in proptest::array::uniform4(proptest::num::f64::NORMAL | proptest::num::f64::ZERO),
            n in proptest::num::f64::ANY,
        ) {
            let [is_amps, rs, at, amps] = numbers;
            let diode = DiodeModel {
                is_amps: Amps::literal(is_amps),
                n,
                rs: Ohms::literal(rs),
                at: Kelvin::literal(at),
                barrier: Barrier::Silicon,
            };
            let _ = diode.forward_volts(Amps::literal(amps));
            let _ = diode.at_temperature(Kelvin::literal(amps));
            let _ = silicon_leakage_at_most(Kelvin::literal(at));
        }
    }
}
