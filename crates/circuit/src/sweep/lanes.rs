//! The same quantity in neighbouring states, side by side: what is done to one is done to all, a few at a time
//! in each vector instruction.

use std::f64::consts::{LN_2, LOG2_E};
use std::ops::{Add, Div, Mul, Sub};

use wide::{CmpGt, CmpLe, f64x4};

/// How many switches neighbouring states differ in: they make two vectors of four.
pub(super) const HELD: usize = 3;

/// A number a state. Bit `i` of the lane's number is set where the `i`-th of these switches is closed.
#[derive(Debug, Clone, Copy)]
pub(super) struct Lanes([f64x4; 2]);

/// Yes or no a state.
#[derive(Debug, Clone, Copy)]
pub(super) struct Mask([f64x4; 2]);

impl Lanes {
    pub(super) const ZERO: Self = Self([f64x4::ZERO; 2]);
    pub(super) const ONE: Self = Self([f64x4::ONE; 2]);

    #[inline]
    pub(super) fn all(value: f64) -> Self {
        Self([f64x4::splat(value); 2])
    }

    pub(super) fn from_fn(of: impl Fn(usize) -> f64) -> Self {
        let half = |first: usize| f64x4::new(std::array::from_fn(|lane| of(first + lane)));
        Self([half(0), half(4)])
    }

    /// One in the states where the switch of that bit is closed.
    pub(super) fn where_closed(bit: usize) -> Self {
        Self::from_fn(|lane| if lane >> bit & 1 == 1 { 1.0 } else { 0.0 })
    }

    pub(super) fn lane(&self, lane: usize) -> f64 {
        self.0[lane / 4].as_array_ref()[lane % 4]
    }

    pub(super) fn set(&mut self, lane: usize, value: f64) {
        self.0[lane / 4].as_array_mut()[lane % 4] = value;
    }

    #[inline]
    fn zip(self, other: Self, of: impl Fn(f64x4, f64x4) -> f64x4) -> Self {
        Self([of(self.0[0], other.0[0]), of(self.0[1], other.0[1])])
    }

    #[inline]
    pub(super) fn max(self, other: Self) -> Self {
        self.zip(other, f64x4::fast_max)
    }

    #[inline]
    pub(super) fn min(self, other: Self) -> Self {
        self.zip(other, f64x4::fast_min)
    }

    #[inline]
    pub(super) fn abs(self) -> Self {
        Self(self.0.map(f64x4::abs))
    }

    #[inline]
    pub(super) fn above(self, other: Self) -> Mask {
        Mask(self.zip(other, f64x4::cmp_gt).0)
    }

    /// Not above, and a number.
    #[inline]
    pub(super) fn within(self, most: Self) -> Mask {
        Mask(self.zip(most, f64x4::cmp_le).0)
    }

    /// The exponential of numbers from −700 to 700, to 11 digits.
    ///
    /// `x = k ln 2 + r` with `r` within ±0.35, where the series to `r⁹` leaves `10⁻¹¹`. Adding 1.5 · 2⁵² rounds
    /// to the whole number `k` and leaves it in the lowest bits, from where it is added to the exponent.
    #[inline]
    pub(super) fn exp(self) -> Self {
        const ROUNDER: f64 = 6_755_399_441_055_744.0;
        /// The first 32 bits of ln 2, and the rest: `k` times the first is exact.
        const LN_2_PARTS: [f64; 2] = [0.693_147_180_369_123_8, 1.908_214_929_270_587_7e-10];
        let rounded = self * Self::all(LOG2_E) + Self::all(ROUNDER);
        let k = rounded - Self::all(ROUNDER);
        let r = self - k * Self::all(LN_2_PARTS[0]) - k * Self::all(LN_2_PARTS[1]);
        let r2 = r * r;
        let r4 = r2 * r2;
        let term = |constant: f64, factor: f64| Self::all(constant) + r * Self::all(factor);
        let low = term(1.0, 1.0) + r2 * term(0.5, 1.0 / 6.0);
        let high = term(1.0 / 24.0, 1.0 / 120.0) + r2 * term(1.0 / 720.0, 1.0 / 5_040.0);
        let sum = low + r4 * (high + r4 * term(1.0 / 40_320.0, 1.0 / 362_880.0));
        sum.zip(rounded, |sum, rounded| {
            let (sum, rounded) = (sum.to_array(), rounded.to_array());
            f64x4::new(std::array::from_fn(|lane| {
                f64::from_bits(sum[lane].to_bits().wrapping_add(rounded[lane].to_bits() << 52))
            }))
        })
    }

    /// The logarithm of numbers above one, too low by no more than 0.06; no more than 700.
    ///
    /// The bits of a number are its logarithm to the base of two, but that between two powers they rise in a
    /// straight line.
    #[inline]
    pub(super) fn rough_ln(self) -> Self {
        /// From here on a number's lowest bit is worth one.
        const WHOLE: f64 = 4_503_599_627_370_496.0;
        /// What the bits that are left, 40 for each power of two, are worth.
        const UNIT: f64 = LN_2 / 1_099_511_627_776.0;
        let steps = self.each(|value| {
            let above_one = value.to_bits().wrapping_sub(1.0_f64.to_bits()) >> 12;
            f64::from_bits(WHOLE.to_bits() | above_one)
        });
        ((steps - Self::all(WHOLE)) * Self::all(UNIT)).min(Self::all(700.0))
    }

    #[inline]
    fn each(self, of: impl Fn(f64) -> f64) -> Self {
        Self(self.0.map(|four| f64x4::new(four.to_array().map(&of))))
    }
}

impl Mask {
    #[inline]
    pub(super) fn pick(self, yes: Lanes, no: Lanes) -> Lanes {
        Lanes([self.0[0].blend(yes.0[0], no.0[0]), self.0[1].blend(yes.0[1], no.0[1])])
    }

    #[inline]
    pub(super) fn and(self, other: Self) -> Self {
        Self([self.0[0] & other.0[0], self.0[1] & other.0[1]])
    }

    #[inline]
    pub(super) fn differs(self, other: Self) -> Self {
        Self([self.0[0] ^ other.0[0], self.0[1] ^ other.0[1]])
    }

    #[inline]
    pub(super) fn any(self) -> bool {
        (self.0[0] | self.0[1]).any()
    }

    #[inline]
    pub(super) fn holds_for_all(self) -> bool {
        (self.0[0] & self.0[1]).all()
    }
}

macro_rules! elementwise {
    ($($operation:ident :: $name:ident),*) => {$(
        impl $operation for Lanes {
            type Output = Self;

            #[inline]
            fn $name(self, other: Self) -> Self {
                self.zip(other, f64x4::$name)
            }
        }
    )*};
}

elementwise!(Add::add, Sub::sub, Mul::mul, Div::div);

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_exponential_is_libms_to_eleven_digits() {
        for step in -70_000..=70_000 {
            let x = f64::from(step) * 0.01;
            let exact = libm::exp(x);
            let off = (Lanes::all(x).exp().lane(5) - exact).abs();
            assert!(off <= 1e-11 * exact, "{x}: {off}");
        }
    }

    #[test]
    fn the_rough_logarithm_is_low_by_little() {
        for step in 0..=70_000 {
            let exact = f64::from(step) * 0.01;
            let low = exact - Lanes::all(libm::exp(exact)).rough_ln().lane(2);
            assert!((-1e-9..=0.06).contains(&low), "{exact}: {low}");
        }
        assert!((Lanes::all(f64::INFINITY).rough_ln().lane(0) - 700.0).abs() < 1e-9);
    }
}
