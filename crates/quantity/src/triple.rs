//! A value with its tolerance: low, typical, high.

use crate::unit::{NotFinite, Quantity};

/// Says that the three values of a tolerance are not in rising order.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
#[error("a triple is written [low, typical, high], each not below the one before it")]
pub struct OutOfOrder;

/// A quantity's lowest, typical and highest value, in rising order.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Triple<T> {
    low: T,
    typical: T,
    high: T,
}

impl<T: Quantity> Triple<T> {
    /// Takes the three values.
    ///
    /// # Errors
    /// Refuses values that are not in rising order.
    pub fn new(low: T, typical: T, high: T) -> Result<Self, OutOfOrder> {
        if low <= typical && typical <= high { Ok(Self { low, typical, high }) } else { Err(OutOfOrder) }
    }

    /// Returns a value without tolerance.
    pub const fn exactly(value: T) -> Self {
        Self { low: value, typical: value, high: value }
    }

    /// The lowest value.
    pub const fn low(self) -> T {
        self.low
    }

    /// The typical value.
    pub const fn typical(self) -> T {
        self.typical
    }

    /// The highest value.
    pub const fn high(self) -> T {
        self.high
    }

    /// Adds two values whose tolerances are independent.
    #[must_use]
    pub fn plus(self, other: Self) -> Self
    where
        T: std::ops::Add<Output = T>,
    {
        Self {
            low: self.low + other.low,
            typical: self.typical + other.typical,
            high: self.high + other.high,
        }
    }

    /// Applies a rising function to all three.
    ///
    /// # Errors
    /// Refuses a function that yields a number that is not finite.
    pub fn map_rising<U: Quantity>(self, f: impl Fn(f64) -> f64) -> Result<Triple<U>, NotFinite> {
        Ok(Triple {
            low: U::new(f(self.low.get()))?,
            typical: U::new(f(self.typical.get()))?,
            high: U::new(f(self.high.get()))?,
        })
    }
}

impl<T: Quantity> std::fmt::Display for Triple<T> {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        if self.low == self.high {
            write!(f, "{}", self.typical)
        } else {
            write!(f, "{} to {}, typically {}", self.low, self.high, self.typical)
        }
    }
}

/// A triple written in the source text.
///
/// # Panics
/// Panics, at compile time in a constant, on values that are not finite or not in rising order.
macro_rules! literal {
    ($($unit:ident),*) => {$(
        impl Triple<crate::unit::$unit> {
            /// A triple of the source text, checked when it is evaluated.
            ///
            /// # Panics
            /// Panics on values that are not finite or not in rising order, at compile time in a
            /// constant. Numbers that come from outside go through [`Triple::new`].
            #[must_use]
            pub const fn literal(low: f64, typical: f64, high: f64) -> Self {
                assert!(low <= typical && typical <= high, "a triple rises");
                Self {
                    low: crate::unit::$unit::literal(low),
                    typical: crate::unit::$unit::literal(typical),
                    high: crate::unit::$unit::literal(high),
                }
            }
        }
    )*};
}

literal!(Volts, Ohms, Amps, Farads, Seconds, Metres, Kelvin);

#[cfg(test)]
mod tests {
    use super::*;
    use crate::unit::Ohms;

    #[test]
    fn a_triple_out_of_order_is_refused() {
        let [low, high] = [Ohms::literal(1.0), Ohms::literal(2.0)];
        assert_eq!(Triple::new(high, low, high), Err(OutOfOrder));
        assert_eq!(Triple::new(low, high, low), Err(OutOfOrder));
        assert!(Triple::new(low, low, high).is_ok());
    }

    #[test]
    fn tolerances_in_series_add() {
        let wire = Triple::<Ohms>::literal(0.1, 0.2, 0.4);
        assert_eq!(wire.plus(wire), Triple::<Ohms>::literal(0.2, 0.4, 0.8));
    }
}
