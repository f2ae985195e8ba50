//! Quantities as they stand in files: a bare number, its unit in the key.

use solderside_quantity::{Amps, Farads, Metres, Ohms, Quantity, Seconds, Volts, significant};

use crate::shape;
use crate::share::Share;

/// A quantity that stands in files, its unit in the key.
pub trait FileQuantity: Quantity {
    /// The unit's name as keys end with it.
    const KEY: &'static str;
    /// The lowest number that is believed.
    const LOWEST: f64;
    /// The highest number that is believed: more is a slip of a prefix.
    const HIGHEST: f64;
    /// Whether a number that is too high is likely to be meant in thousandths: what leads carry is told in mA.
    const MILLI_IS_LIKELY: bool;
}

macro_rules! file_quantity {
    ($($name:ident, $key:literal, $lowest:literal, $highest:literal, $milli:literal;)*) => {$(
        impl FileQuantity for $name {
            const KEY: &'static str = $key;
            const LOWEST: f64 = $lowest;
            const HIGHEST: f64 = $highest;
            const MILLI_IS_LIKELY: bool = $milli;
        }
    )*};
}

file_quantity! {
    Volts, "volts", -100.0, 100.0, false;
    Ohms, "ohms", 0.0, 1e9, false;
    // No machine of a hobby gives a controller more (common practice, no source).
    Amps, "amps", 0.0, 3.0, true;
    Farads, "farads", 0.0, 1.0, false;
    Seconds, "seconds", 0.0, 100.0, false;
    Metres, "m", 0.0, 1000.0, false;
    Share, "share", 0.0, 1.0, false;
}

pub(crate) const fn range<T: FileQuantity>() -> shape::Range {
    shape::Range { lowest: T::LOWEST, highest: T::HIGHEST }
}

/// Returns the number of a text such as `5V` or `50 mA`, as a file with the unit in the key has it.
pub(crate) fn leading_number(text: &str) -> Option<String> {
    let text = text.trim();
    let text = text.strip_prefix('+').unwrap_or(text);
    let end = text.find(|c: char| !c.is_ascii_digit() && !matches!(c, '.' | '-'));
    let (number, unit) = text.split_at(end.unwrap_or(text.len()));
    let number: f64 = number.parse().ok()?;
    let unit = unit.trim_start();
    // A lone `m` is the metre.
    let scale = match unit.chars().next() {
        Some('M') => 1e6,
        Some('k' | 'K') => 1e3,
        Some('m') if unit.len() > 1 => 1e-3,
        Some('µ' | 'μ' | 'u') => 1e-6,
        Some(_) | None => 1.0,
    };
    Some(significant(number * scale, 6))
}

#[cfg(test)]
mod tests {
    use super::leading_number;

    #[test]
    fn a_number_with_its_unit_is_offered_without_it() {
        let cases =
            [("5V", "5"), ("50 mA", "0.05"), ("4.7 kΩ", "4700"), ("20µA", "0.00002"), ("1.5 m", "1.5")];
        for (text, number) in cases {
            assert_eq!(leading_number(text).as_deref(), Some(number), "{text}");
        }
        assert_eq!(leading_number("five"), None);
    }
}
