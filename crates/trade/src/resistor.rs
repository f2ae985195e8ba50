//! The colour bands on a resistor after IEC 60062.

use solderside_quantity::{Ohms, Watts};

use crate::colour::Colour;
use crate::source::{Source, Sourced};

/// What the bands stand for is the standard's; that three digits go with 2 % and closer is the trade's habit.
const IEC_60062: Source =
    Source::published("IEC 60062, colour chart with worked examples, www.resistorcolorcodes.org/chart");

/// The colours of the digits from 0 to 9; as a multiplier each is its power of ten.
const DIGITS: [Colour; 10] = [
    Colour::Bk,
    Colour::Bn,
    Colour::Rd,
    Colour::Og,
    Colour::Ye,
    Colour::Gn,
    Colour::Bu,
    Colour::Vt,
    Colour::Gy,
    Colour::Wh,
];

/// The tolerances that have a colour, in percent.
const TOLERANCES: [(f64, Colour); 8] = [
    (10.0, Colour::Sr),
    (5.0, Colour::Gd),
    (2.0, Colour::Rd),
    (1.0, Colour::Bn),
    (0.5, Colour::Gn),
    (0.25, Colour::Bu),
    (0.1, Colour::Vt),
    (0.05, Colour::Og),
];

/// What a small resistor turns into heat for good: the quarter watt that a builder is told to buy.
pub const RESISTOR_WATTS: Sourced<Watts> = Sourced::new(
    Watts::literal(0.25),
    Source::assumed("common practice, no source: small film resistors with leads are made for 0.25 W"),
);

/// The bands of a resistor in their order: digits, multiplier, tolerance (a share: 0.05 is 5 %).
///
/// `None` where the value has more than three digits or the tolerance has no colour; 20 % has no band.
#[must_use]
pub fn resistor_bands(ohms: Ohms, tolerance: f64) -> Option<Sourced<Vec<Colour>>> {
    let percent = tolerance * 100.0;
    let last = TOLERANCES.into_iter().find(|(known, _)| (percent - known).abs() < 1e-6);
    let is_unmarked = (percent - 20.0).abs() < 1e-6;
    if last.is_none() && !is_unmarked {
        return None;
    }
    // Seven digits tell a value that three can hold from one that they cannot.
    let scientific = format!("{:.6e}", ohms.get());
    let (mantissa, exponent) = scientific.split_once('e')?;
    let exponent: i32 = exponent.parse().ok()?;
    let mut digits: Vec<usize> =
        mantissa.chars().filter_map(|c| c.to_digit(10)).filter_map(|digit| digit.try_into().ok()).collect();
    if digits.iter().skip(3).any(|digit| *digit != 0) || digits.first() == Some(&0) || ohms < Ohms::ZERO {
        return None;
    }
    let is_close = percent < 2.0 + 1e-6;
    let needs_three = digits.get(2).is_some_and(|digit| *digit != 0);
    digits.truncate(if is_close || needs_three { 3 } else { 2 });
    let after_first = i32::try_from(digits.len()).ok()? - 1;
    let mut bands: Vec<Colour> = digits.iter().filter_map(|digit| DIGITS.get(*digit)).copied().collect();
    bands.push(multiplier(exponent - after_first)?);
    bands.extend(last.map(|(_, colour)| colour));
    Some(Sourced::new(bands, IEC_60062))
}

fn multiplier(exponent: i32) -> Option<Colour> {
    match exponent {
        -3 => Some(Colour::Pk),
        -2 => Some(Colour::Sr),
        -1 => Some(Colour::Gd),
        _ => DIGITS.get(usize::try_from(exponent).ok()?).copied(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn words(ohms: f64, percent: f64) -> String {
        let bands = resistor_bands(Ohms::new(ohms).unwrap(), percent / 100.0);
        bands.map_or_else(
            || "none".to_owned(),
            |bands| bands.value.iter().map(|colour| colour.word()).collect::<Vec<_>>().join(" "),
        )
    }

    #[test]
    fn four_bands_for_5_percent_and_five_for_1_percent() {
        assert_eq!(words(4700.0, 5.0), "yellow violet red gold");
        assert_eq!(words(10.0, 1.0), "brown black black gold brown");
        assert_eq!(words(470.0, 5.0), "yellow violet brown gold");
        assert_eq!(words(470.0, 1.0), "yellow violet black black brown");
        assert_eq!(words(0.47, 10.0), "yellow violet silver silver");
        assert_eq!(words(1e6, 20.0), "brown black green");
    }

    #[test]
    fn a_third_digit_is_told_at_any_tolerance() {
        assert_eq!(words(243.0, 5.0), "red yellow orange black gold");
    }

    #[test]
    fn what_no_bands_can_tell_has_none() {
        assert_eq!(words(4712.0, 1.0), "none");
        assert_eq!(words(470.0, 3.0), "none");
        assert_eq!(words(0.0, 5.0), "none");
        assert_eq!(words(1e13, 5.0), "none");
    }

    /// Digits and multiplier read back give the value, over the whole of E24 and five decades.
    #[test]
    fn bands_read_back_as_the_value() {
        const E24: [u32; 24] =
            [10, 11, 12, 13, 15, 16, 18, 20, 22, 24, 27, 30, 33, 36, 39, 43, 47, 51, 56, 62, 68, 75, 82, 91];
        let digit = |colour: &Colour| DIGITS.iter().position(|own| own == colour).unwrap();
        for value in E24 {
            for decade in 0..5 {
                let ohms = f64::from(value * 10_u32.pow(decade));
                let bands = resistor_bands(Ohms::new(ohms).unwrap(), 0.05).unwrap().value;
                let [first, second, power, Colour::Gd] = bands.as_slice() else { panic!("{bands:?}") };
                let read =
                    (digit(first) * 10 + digit(second)) * 10_usize.pow(digit(power).try_into().unwrap());
                assert!((f64::from(u32::try_from(read).unwrap()) - ohms).abs() < 1e-9);
            }
        }
    }
}
