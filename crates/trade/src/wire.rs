//! Copper: gauges, areas and resistance.
//!
//! Resistivity 1/58 Ω·mm²/m at 20 °C: *IEC 60028* (1925), tnlab.org. Temperature coefficient 0.00393
//! per kelvin at 20 °C: *Industrial Power Engineering and Applications Handbook*, page 970.

use std::fmt;
use std::num::NonZeroU16;
use std::str::FromStr;

use solderside_quantity::{Amps, Kelvin, Metres, Ohms, Triple, significant};

use crate::source::{Source, Sourced};

/// One conductor of a cable, by the size that is printed on it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Conductor {
    /// An American wire gauge, such as 28.
    Awg(u8),
    /// A nominal area in hundredths of a square millimetre, such as 14 for 0.14 mm².
    SquareMillimetres(NonZeroU16),
}

/// A conductor's cross-section: a positive, finite number of square millimetres.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct Area(f64);

/// The classes of conductor for which IEC 60228 sets a greatest resistance.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Iec60228 {
    /// Classes 1 and 2, solid or stranded, plain.
    Rigid,
    /// Classes 1 and 2, metal-coated.
    RigidCoated,
    /// Class 5, flexible, plain.
    Flexible,
    /// Class 5, flexible, tinned.
    FlexibleTinned,
}

/// Says that a number is no cross-section.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
#[error("a conductor's area must be a finite number of mm² above 0")]
pub struct NotAnArea;

/// Says that a text names no conductor size.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum ParseConductorError {
    /// Neither a gauge nor an area.
    #[error("`{found}` is no conductor size; write `AWG 28` or `0.14 mm2`")]
    Unknown {
        /// The text as it was given.
        found: String,
    },
    /// A gauge that wire for leads is not made in.
    #[error("`{found}` is no wire gauge; write a whole number from 0 to 40, such as `AWG 28`")]
    Gauge {
        /// The text as it was given.
        found: String,
    },
    /// An area that is no positive number of hundredths of a square millimetre.
    #[error("`{found}` is no area; write 0.01 mm2 to 655.35 mm2 in steps of 0.01 mm2")]
    Area {
        /// The text as it was given.
        found: String,
    },
}

/// Ω·mm²/m of annealed standard copper at 20 °C.
const RESISTIVITY: f64 = 1.0 / 58.0;
const PER_KELVIN: f64 = 0.003_93;
const COLD: Kelvin = Kelvin::literal(273.15);
const ROOM: Kelvin = Kelvin::literal(293.15);
const HOT: Kelvin = Kelvin::literal(313.15);

/// What a conductor's resistance may be against solid standard copper of the nominal area.
///
/// Low: copper of 101 % conductivity (*IEC 60028*, tnlab.org) in the strands that exceed their gauge
/// most, 7 × 0.127 mm sold as AWG 28 (from memory), 9.5 % more copper than the gauge. High: copper of 97 %
/// (same source), and 20 % for lay and tinning: makers allow 148 Ω/km for tinned 0.14 mm² against 123 Ω/km
/// (from memory).
const SPREAD: [f64; 3] = [1.0 / (1.01 * 1.095), 1.0, 1.2 / 0.97];

impl Conductor {
    /// Reads `AWG 28` or `0.14 mm2`, in any case.
    ///
    /// # Errors
    /// Refuses a gauge above 40, an area that is no positive number of hundredths of a square
    /// millimetre, and what is neither.
    pub fn parse(text: &str) -> Result<Self, ParseConductorError> {
        let found = text.trim().to_owned();
        let size = found.to_ascii_lowercase();
        if let Some(gauge) = size.strip_prefix("awg").or_else(|| size.strip_suffix("awg")) {
            return match gauge.trim().parse() {
                Ok(gauge @ 0..=40) => Ok(Self::Awg(gauge)),
                Ok(41..) | Err(_) => Err(ParseConductorError::Gauge { found }),
            };
        }
        if let Some(area) = size.strip_suffix("mm2").or_else(|| size.strip_suffix("mm²")) {
            return hundredths(area.trim())
                .map(Self::SquareMillimetres)
                .ok_or(ParseConductorError::Area { found });
        }
        Err(ParseConductorError::Unknown { found })
    }

    /// The nominal cross-section.
    #[must_use]
    pub fn area(&self) -> Area {
        match self {
            Self::Awg(gauge) => awg_area(*gauge),
            Self::SquareMillimetres(hundredths) => Area(f64::from(hundredths.get()) / 100.0),
        }
    }

    /// The resistance of one metre, with the spread of copper, stranding and tinning.
    #[must_use]
    pub fn ohms_per_metre(&self, temperature: Kelvin) -> Triple<Ohms> {
        let copper = copper_resistance(self.area(), Metres::literal(1.0), temperature).get();
        rising(SPREAD.map(|factor| copper * factor))
    }

    /// What it may carry all the time in a bundle: 3 A for each square millimetre.
    #[must_use]
    pub fn bundle_amps(&self) -> Sourced<Amps> {
        const RULE: Source = Source::published(
            "AWG, Hardware Book (3 A/mm² column; formulas from Standard Handbook for Electrical \
             Engineers, 14th ed.)",
        );
        Sourced::new(Amps::literal(self.area().square_millimetres() * 3.0), RULE)
    }
}

impl Area {
    /// Takes a number of square millimetres.
    ///
    /// # Errors
    /// Refuses zero, negative numbers, NaN and the infinities.
    pub fn new(square_millimetres: f64) -> Result<Self, NotAnArea> {
        if square_millimetres.is_finite() && square_millimetres > 0.0 {
            Ok(Self(square_millimetres))
        } else {
            Err(NotAnArea)
        }
    }

    /// The copper of so many round strands.
    ///
    /// # Errors
    /// Refuses no strands, and strands without a positive diameter.
    pub fn of_strands(strands: u16, diameter: Metres) -> Result<Self, NotAnArea> {
        Self::new(f64::from(strands) * round_area(diameter.get().max(0.0) * 1e3))
    }

    /// Returns the number of square millimetres.
    #[must_use]
    pub const fn square_millimetres(self) -> f64 {
        self.0
    }
}

/// The resistance of one conductor of a lead from 0 °C to 40 °C, typically at 20 °C.
///
/// A length below nothing counts as nothing.
#[must_use]
pub fn run_ohms(conductor: &Conductor, length: Metres) -> Triple<Ohms> {
    let per_metre = [
        conductor.ohms_per_metre(COLD).low(),
        conductor.ohms_per_metre(ROOM).typical(),
        conductor.ohms_per_metre(HOT).high(),
    ];
    rising(per_metre.map(|ohms| ohms.get() * length.get().max(0.0)))
}

/// The resistance of solid standard copper.
///
/// What cannot be (a length below nothing, a temperature where the linear law ends) gives 0 Ω, and
/// what no number holds gives the largest one.
#[must_use]
pub fn copper_resistance(area: Area, length: Metres, temperature: Kelvin) -> Ohms {
    let cold = RESISTIVITY * length.get() / area.0;
    saturating(cold * copper_temperature_factor(temperature))
}

/// By what factor copper's resistance at a temperature exceeds that at 20 °C.
#[must_use]
pub fn copper_temperature_factor(temperature: Kelvin) -> f64 {
    1.0 + PER_KELVIN * (temperature - ROOM).get()
}

/// The diameter of a solid wire of this gauge: 0.127 mm × 92^((36 − n)/39), *ASTM B258* (formula from
/// memory; it reproduces the published tables).
#[must_use]
pub fn awg_diameter(gauge: u8) -> Metres {
    Metres::literal(awg_millimetres(gauge) * 1e-3)
}

/// The cross-section of a solid wire of this gauge.
#[must_use]
pub fn awg_area(gauge: u8) -> Area {
    Area(round_area(awg_millimetres(gauge)))
}

/// The greatest resistance of one metre at 20 °C that IEC 60228 allows a nominal area; `None` where we
/// hold no figure. Areas below 0.5 mm² are not in the standard.
#[must_use]
pub fn iec60228_max(class: Iec60228, area: Area) -> Option<Sourced<Ohms>> {
    const RIGID: Source = Source::published(
        "Conductor specification according to IEC 60228, tables A.1 and A.2, \
         kabelmetal-indonesia.com",
    );
    const FLEXIBLE: Source =
        Source::published("Power copper conductors according to IEC 60228, www.uecables.com/471");
    const REMEMBERED: Source = Source::assumed("from memory: IEC 60228, class 5");
    // Ω/km: rigid, rigid coated, flexible, flexible tinned.
    const ROWS: [(Area, [f64; 4], Source); 3] = [
        (Area(0.5), [36.0, 36.7, 39.0, 40.1], REMEMBERED),
        (Area(0.75), [24.5, 24.8, 26.0, 26.7], REMEMBERED),
        (Area(1.0), [18.1, 18.2, 19.5, 20.0], FLEXIBLE),
    ];
    let (_, [rigid, coated, flexible, tinned], flexible_source) =
        ROWS.into_iter().find(|(nominal, ..)| *nominal == area)?;
    let (ohms_per_kilometre, source) = match class {
        Iec60228::Rigid => (rigid, RIGID),
        Iec60228::RigidCoated => (coated, RIGID),
        Iec60228::Flexible => (flexible, flexible_source),
        Iec60228::FlexibleTinned => (tinned, flexible_source),
    };
    Some(Sourced::new(Ohms::literal(ohms_per_kilometre * 1e-3), source))
}

fn awg_millimetres(gauge: u8) -> f64 {
    0.127 * libm::pow(92.0, (36.0 - f64::from(gauge)) / 39.0)
}

/// The square millimetres of a disc of so many millimetres.
fn round_area(diameter: f64) -> f64 {
    std::f64::consts::PI / 4.0 * diameter * diameter
}

fn hundredths(number: &str) -> Option<NonZeroU16> {
    let (whole, decimals) = number.split_once('.').unwrap_or((number, "0"));
    let decimals = decimals.trim_end_matches('0');
    let only_digits = |text: &str| text.bytes().all(|byte| byte.is_ascii_digit());
    if decimals.len() > 2 || !only_digits(whole) || !only_digits(decimals) {
        return None;
    }
    let whole: u16 = whole.parse().ok()?;
    let decimals: u16 = format!("{decimals:0<2}").parse().ok()?;
    NonZeroU16::new(whole.checked_mul(100)?.checked_add(decimals)?)
}

fn rising(ohms: [f64; 3]) -> Triple<Ohms> {
    let [low, typical, high] = ohms.map(saturating);
    Triple::new(low, typical, high).expect("the factors of temperature and spread rise")
}

/// Takes any number; NaN and what is below nothing become 0 Ω.
fn saturating(ohms: f64) -> Ohms {
    Ohms::new(ohms.clamp(0.0, f64::MAX)).unwrap_or(Ohms::ZERO)
}

impl FromStr for Conductor {
    type Err = ParseConductorError;

    fn from_str(text: &str) -> Result<Self, Self::Err> {
        Self::parse(text)
    }
}

impl fmt::Display for Conductor {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Awg(gauge) => f.pad(&format!("AWG {gauge}")),
            Self::SquareMillimetres(_) => f.pad(&self.area().to_string()),
        }
    }
}

impl fmt::Display for Area {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        // Five digits keep every hundredth up to 655.35 mm² apart.
        f.pad(&format!("{} mm²", significant(self.0, 5)))
    }
}

#[cfg(test)]
mod tests;
