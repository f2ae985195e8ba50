//! One type a dimension; operators only where physics has them.

use std::fmt;
use std::iter::Sum;
use std::ops::{Add, Div, Mul, Neg, Sub};

use crate::format::engineering;

/// Says that a number offered as a quantity was NaN or infinite.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
#[error("{unit} must be a finite number")]
pub struct NotFinite {
    /// The unit's symbol, such as `Ω`.
    pub unit: &'static str,
}

/// What all quantities share: a finite number of one SI unit.
pub trait Quantity: Copy + PartialOrd + fmt::Display + fmt::Debug {
    /// The unit's symbol, such as `Ω`.
    const SYMBOL: &'static str;

    /// Takes a number of SI units.
    ///
    /// # Errors
    /// Refuses NaN and the infinities.
    fn new(value: f64) -> Result<Self, NotFinite>;

    /// Returns the number of SI units.
    fn get(self) -> f64;
}

macro_rules! quantity {
    ($(#[$doc:meta])* $name:ident, $symbol:literal) => {
        $(#[$doc])*
        #[derive(Clone, Copy, PartialEq, PartialOrd)]
        pub struct $name(f64);

        impl $name {
            /// Nothing of it.
            pub const ZERO: Self = Self(0.0);

            /// A literal of the source text, checked when it is evaluated.
            ///
            /// # Panics
            /// Panics on NaN and the infinities, at compile time in a constant. Numbers that come
            /// from outside go through [`Quantity::new`].
            #[must_use]
            pub const fn literal(value: f64) -> Self {
                assert!(value.is_finite(), "a quantity is a finite number");
                Self(value)
            }

            /// Takes a number of SI units.
            ///
            /// # Errors
            /// Refuses NaN and the infinities.
            pub fn new(value: f64) -> Result<Self, NotFinite> {
                if value.is_finite() { Ok(Self(value)) } else { Err(NotFinite { unit: $symbol }) }
            }

            /// Returns the number of SI units.
            #[must_use]
            pub const fn get(self) -> f64 {
                self.0
            }

            /// Returns the size without its sign.
            #[must_use]
            pub const fn abs(self) -> Self {
                Self(self.0.abs())
            }

            /// Returns the larger of two.
            #[must_use]
            pub const fn max(self, other: Self) -> Self {
                if self.0 >= other.0 { self } else { other }
            }

            /// Returns the smaller of two.
            #[must_use]
            pub const fn min(self, other: Self) -> Self {
                if self.0 <= other.0 { self } else { other }
            }
        }

        impl Quantity for $name {
            const SYMBOL: &'static str = $symbol;

            fn new(value: f64) -> Result<Self, NotFinite> {
                Self::new(value)
            }

            fn get(self) -> f64 {
                self.0
            }
        }

        impl Add for $name {
            type Output = Self;
            fn add(self, other: Self) -> Self {
                Self(self.0 + other.0)
            }
        }

        impl Sub for $name {
            type Output = Self;
            fn sub(self, other: Self) -> Self {
                Self(self.0 - other.0)
            }
        }

        impl Neg for $name {
            type Output = Self;
            fn neg(self) -> Self {
                Self(-self.0)
            }
        }

        impl Mul<f64> for $name {
            type Output = Self;
            fn mul(self, factor: f64) -> Self {
                Self(self.0 * factor)
            }
        }

        impl Div for $name {
            type Output = f64;
            fn div(self, other: Self) -> f64 {
                self.0 / other.0
            }
        }

        impl Sum for $name {
            fn sum<I: Iterator<Item = Self>>(parts: I) -> Self {
                parts.fold(Self::ZERO, Add::add)
            }
        }

        impl fmt::Display for $name {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.pad(&engineering(self.0, $symbol))
            }
        }

        impl fmt::Debug for $name {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                write!(f, "{:?} {}", self.0, $symbol)
            }
        }
    };
}

quantity!(
    /// An electric potential or a difference of two, in volts.
    Volts, "V"
);
quantity!(
    /// A resistance in ohms.
    Ohms, "Ω"
);
quantity!(
    /// A current in amperes.
    Amps, "A"
);
quantity!(
    /// A power in watts.
    Watts, "W"
);
quantity!(
    /// A time in seconds.
    Seconds, "s"
);
quantity!(
    /// A capacitance in farads.
    Farads, "F"
);
quantity!(
    /// A length in metres.
    Metres, "m"
);
quantity!(
    /// An absolute temperature in kelvins.
    Kelvin, "K"
);

impl Mul<Ohms> for Amps {
    type Output = Volts;
    fn mul(self, ohms: Ohms) -> Volts {
        Volts(self.0 * ohms.0)
    }
}

impl Mul<Amps> for Volts {
    type Output = Watts;
    fn mul(self, amps: Amps) -> Watts {
        Watts(self.0 * amps.0)
    }
}

impl Volts {
    /// Returns the current that this voltage drives through a resistance.
    ///
    /// # Errors
    /// Refuses a resistance so small that the current is not a finite number.
    pub fn across(self, ohms: Ohms) -> Result<Amps, NotFinite> {
        Amps::new(self.0 / ohms.0)
    }

    /// Returns the resistance that takes this current at this voltage.
    ///
    /// # Errors
    /// Refuses a current so small that the resistance is not a finite number.
    pub fn at(self, amps: Amps) -> Result<Ohms, NotFinite> {
        Ohms::new(self.0 / amps.0)
    }
}

impl Kelvin {
    /// Takes a temperature in degrees Celsius.
    ///
    /// # Errors
    /// Refuses NaN and the infinities.
    pub fn from_celsius(celsius: f64) -> Result<Self, NotFinite> {
        Self::new(celsius + 273.15)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nan_and_infinities_are_refused_at_the_door() {
        for value in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY] {
            assert_eq!(Ohms::new(value), Err(NotFinite { unit: "Ω" }));
        }
    }

    #[test]
    fn a_current_through_no_resistance_is_refused() {
        assert!(Volts::literal(5.0).across(Ohms::ZERO).is_err());
        assert!(Volts::ZERO.across(Ohms::ZERO).is_err());
    }

    #[test]
    fn ohms_law_holds_both_ways() {
        let amps = Volts::literal(5.0).across(Ohms::literal(1000.0)).unwrap();
        assert_eq!(amps, Amps::literal(0.005));
        assert_eq!(amps * Ohms::literal(1000.0), Volts::literal(5.0));
        assert_eq!(Volts::literal(5.0) * amps, Watts::literal(0.025));
    }
}
