//! The diodes that a lead is built with, each between the two laws that hold every one that is sold.

use std::fmt;

use solderside_quantity::{Amps, Kelvin, Ohms, Triple, Volts};

use crate::diode::{
    Barrier, DiodeModel, SCHOTTKY_BAT85_DROP, SILICON_1N4148, schottky_leakage_at_most,
    silicon_leakage_at_most,
};
use crate::source::{Source, Sourced};

/// The cold and the warm end of the room that a lead is used in: 0 °C and 40 °C.
pub const ROOM: [Kelvin; 2] = [Kelvin::literal(273.15), Kelvin::literal(313.15)];

/// A diode that is bought by this name.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum DiodePart {
    /// The small-signal silicon diode (1N914 and 1N4448 serve as well).
    Silicon1N4148,
    /// The small-signal Schottky diode.
    SchottkyBat85,
}

impl DiodePart {
    /// All of them, the commonest first.
    pub const ALL: [Self; 2] = [Self::Silicon1N4148, Self::SchottkyBat85];

    /// The name that is printed on it and written in files.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Silicon1N4148 => "1N4148",
            Self::SchottkyBat85 => "BAT85",
        }
    }

    /// What it is made of, in a word.
    #[must_use]
    pub const fn kind(self) -> &'static str {
        match self {
            Self::Silicon1N4148 => "silicon",
            Self::SchottkyBat85 => "Schottky",
        }
    }

    /// Finds the diode that a name names, in any case.
    #[must_use]
    pub fn parse(text: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|part| part.name().eq_ignore_ascii_case(text.trim()))
    }

    /// The law that drops at least as much as any one does, in the coldest room.
    ///
    /// Silicon: 40 mV more than the published parameters, by which published sets may be off, and a
    /// resistance that brings 10 mA to the sheet's 1.0 V. Schottky: through the sheet's greatest drops at
    /// 0.1, 1 and 100 mA, above its 0.40 V at 10 mA.
    #[must_use]
    pub fn least(self) -> Sourced<DiodeModel> {
        let [cold, _] = ROOM;
        match self {
            Self::Silicon1N4148 => {
                let published = SILICON_1N4148.value;
                let model = DiodeModel {
                    // exp(40 mV / (1.94 × 25.865 mV)) = 2.22
                    is_amps: Amps::literal(published.is_amps.get() / 2.22),
                    rs: Ohms::literal(24.0),
                    ..published
                };
                Sourced::new(model.at_temperature(cold), SILICON_1N4148.source)
            }
            Self::SchottkyBat85 => {
                Sourced::new(BAT85_GREATEST_DROP.at_temperature(cold), SCHOTTKY_BAT85_DROP.source)
            }
        }
    }

    /// A typical one at 27 °C.
    #[must_use]
    pub const fn typical(self) -> Sourced<DiodeModel> {
        match self {
            Self::Silicon1N4148 => SILICON_1N4148,
            Self::SchottkyBat85 => Sourced::new(BAT85_TYPICAL, BAT54_SHEET),
        }
    }

    /// The law that conducts at least as much as any one does, in the warmest room, forward and in reverse:
    /// its saturation current is all that the sheet lets a reversed one leak.
    #[must_use]
    pub fn most(self) -> Sourced<DiodeModel> {
        let [_, warm] = ROOM;
        let leakage = match self {
            Self::Silicon1N4148 => silicon_leakage_at_most(warm),
            Self::SchottkyBat85 => schottky_leakage_at_most(warm),
        };
        let typical = self.typical().value.at_temperature(warm);
        let model = DiodeModel {
            is_amps: leakage.value.max(typical.is_amps),
            n: typical.n.max(self.least().value.n),
            rs: LEAST_SERIES,
            ..typical
        };
        Sourced::new(model, leakage.source)
    }

    /// What a hand-held meter's diode range shows with the red probe at the anode, in any room; a meter sends
    /// 0.7 mA to 1.5 mA.
    #[must_use]
    pub fn meter_volts(self) -> Sourced<Triple<Volts>> {
        const METER: Source = Source::published(
            "handheld meter manual, page 32, manualshive.com (diode range, 1 mA); bench meter, diode specification, \
             www.raynetrepair.us (0.7 mA); the diode's data sheet",
        );
        let drop =
            |model: DiodeModel, amps: f64| model.forward_volts(Amps::literal(amps)).unwrap_or(Volts::ZERO);
        let typical = drop(self.typical().value, 1e-3);
        let shown = Triple::new(drop(self.most().value, 0.7e-3), typical, drop(self.least().value, 1.5e-3));
        Sourced::new(shown.unwrap_or(Triple::exactly(typical)), METER)
    }

    /// The most that may flow through it for good.
    #[must_use]
    pub const fn amps_max(self) -> Sourced<Amps> {
        match self {
            Self::Silicon1N4148 => Sourced::new(
                Amps::literal(0.15),
                Source::published(
                    "1N4148 Switching Diodes, rev. 0.2, dtsheet.com/doc/1174254/panjit-1n4148_10 (makers differ: \
                     150 mA to 300 mA)",
                ),
            ),
            Self::SchottkyBat85 => {
                Sourced::new(Amps::literal(0.2), Source::assumed("from memory: BAT85, 200 mA"))
            }
        }
    }

    /// The most that may stand across it in reverse.
    #[must_use]
    pub const fn reverse_volts_max(self) -> Sourced<Volts> {
        match self {
            Self::Silicon1N4148 => Sourced::new(
                Volts::literal(75.0),
                Source::published(
                    "1N4148 Switching Diodes, rev. 0.2, dtsheet.com/doc/1174254/panjit-1n4148_10",
                ),
            ),
            Self::SchottkyBat85 => {
                Sourced::new(Volts::literal(30.0), Source::assumed("from memory: BAT85, 30 V"))
            }
        }
    }
}

/// What any small diode has in series (assumed: the 1N4148 of the published parameters has 0.7 Ω).
const LEAST_SERIES: Ohms = Ohms::literal(0.1);

/// 0.24 V at 0.1 mA, 0.32 V at 1 mA, 0.80 V at 100 mA and 25 °C.
const BAT85_GREATEST_DROP: DiodeModel = DiodeModel {
    is_amps: Amps::literal(77.5e-9),
    n: 1.3022,
    rs: Ohms::literal(3.29),
    at: Kelvin::literal(298.15),
    barrier: Barrier::Schottky,
};

/// 0.22, 0.29 and 0.35 V at 0.1, 1 and 10 mA and 25 °C, within 6 mV.
const BAT85_TYPICAL: DiodeModel = DiodeModel {
    is_amps: Amps::literal(64e-9),
    n: 1.16,
    rs: Ohms::literal(0.0),
    at: Kelvin::literal(298.15),
    barrier: Barrier::Schottky,
};

const BAT54_SHEET: Source = Source::published(
    "BAT54 Series, dtsheet.com/doc/629940/diotech-bat54 (typical drops of a diode of the same limits)",
);

impl fmt::Display for DiodePart {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(self.name())
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::diode::{DropLimit, SILICON_1N4148_DROP};

    fn volts(model: &DiodeModel, amps: f64) -> f64 {
        model.forward_volts(Amps::literal(amps)).unwrap().get()
    }

    fn at_25(model: DiodeModel) -> DiodeModel {
        model.at_temperature(Kelvin::literal(298.15))
    }

    /// *1N4148 Switching Diodes*, dtsheet.com/doc/1174254, and *BAT85 Schottky Diode*,
    /// dtsheet.com/doc/1460049: the greatest drops at 25 °C.
    #[test]
    fn the_least_conducting_law_drops_as_much_as_the_sheets_allow() {
        let sheets: [(DiodePart, &[DropLimit]); 2] = [
            (DiodePart::Silicon1N4148, SILICON_1N4148_DROP.value),
            (DiodePart::SchottkyBat85, SCHOTTKY_BAT85_DROP.value),
        ];
        for (part, limits) in sheets {
            let least = at_25(part.least().value);
            for limit in limits {
                let drop = volts(&least, limit.amps.get());
                assert!(drop >= limit.volts.get() - 0.001, "{part} at {}: {drop} V", limit.amps);
            }
        }
        let [tenth, one] =
            [0.1e-3, 1e-3].map(|amps| volts(&at_25(DiodePart::SchottkyBat85.least().value), amps));
        assert!((tenth - 0.24).abs() < 0.001 && (one - 0.32).abs() < 0.001, "{tenth} V, {one} V");
    }

    /// *BAT54 Series*, dtsheet.com/doc/629940: 0.22, 0.29, 0.35 V typical at 0.1, 1, 10 mA.
    #[test]
    fn the_typical_schottky_drop_is_the_sheets() {
        for (amps, expected) in [(0.1e-3, 0.22), (1e-3, 0.29), (10e-3, 0.35)] {
            let found = volts(&BAT85_TYPICAL, amps);
            assert!((found - expected).abs() < 0.008, "{amps} A: {found} V");
        }
    }

    #[test]
    fn each_diode_lies_between_its_two_laws_at_both_ends_of_the_room() {
        for part in DiodePart::ALL {
            for kelvin in ROOM {
                let typical = part.typical().value.at_temperature(kelvin);
                for amps in [1e-6, 10e-6, 0.1e-3, 1e-3, 5e-3, 20e-3] {
                    let [least, own, most] =
                        [part.least().value, typical, part.most().value].map(|model| volts(&model, amps));
                    assert!(
                        most <= own && own <= least,
                        "{part} at {kelvin}, {amps} A: {most} {own} {least}"
                    );
                }
            }
        }
    }

    /// *BAT85 Schottky Diode*: 2 µA at 25 °C, doubled for every 10 K (from memory).
    #[test]
    fn a_reversed_diode_leaks_most_in_the_heat() {
        let leakage = DiodePart::SchottkyBat85.most().value.is_amps.get();
        assert!((leakage - 2e-6 * libm::exp2(1.5)).abs() < 1e-12, "{leakage} A");
        assert!(DiodePart::Silicon1N4148.most().value.is_amps.get() >= 25e-9 * libm::exp2(1.5));
    }

    /// A silicon diode reads about 0.5 V to 0.7 V on a meter, a Schottky diode about 0.15 V to 0.4 V (common
    /// practice, no source): no room makes the two overlap.
    #[test]
    fn a_meter_tells_silicon_from_schottky() {
        let shown = |part: DiodePart| part.meter_volts().value;
        let [silicon, schottky] = DiodePart::ALL.map(shown);
        assert!(silicon.low().get() > 0.45 && silicon.high().get() < 0.78, "{silicon:?}");
        assert!(schottky.low().get() > 0.15 && schottky.high().get() < 0.4, "{schottky:?}");
        assert!(schottky.high() < silicon.low());
    }

    #[test]
    fn a_diode_is_found_by_its_name_in_any_case() {
        for part in DiodePart::ALL {
            assert_eq!(DiodePart::parse(&part.name().to_lowercase()), Some(part));
        }
        assert_eq!(DiodePart::parse("1N4001"), None);
    }
}
