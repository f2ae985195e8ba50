//! A part of a whole, as a number.

use std::fmt;

use solderside_quantity::{NotFinite, Quantity, significant};

/// A part of a whole: 0.5 is half.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct Share(f64);

impl Quantity for Share {
    const SYMBOL: &'static str = "";

    fn new(value: f64) -> Result<Self, NotFinite> {
        if value.is_finite() { Ok(Self(value)) } else { Err(NotFinite { unit: "a share" }) }
    }

    fn get(self) -> f64 {
        self.0
    }
}

impl fmt::Display for Share {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(&significant(self.0, 3))
    }
}
