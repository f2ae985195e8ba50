//! Preferred values: what resistors are sold in.

use solderside_quantity::Ohms;

use crate::source::{Source, Sourced};

/// The twelve values of a decade of which two neighbours with 10 % tolerance just touch.
pub const E12: Sourced<[f64; 12]> = Sourced::new(
    [1.0, 1.2, 1.5, 1.8, 2.2, 2.7, 3.3, 3.9, 4.7, 5.6, 6.8, 8.2],
    Source::published("IEC 60063:2015; Component preferred values, www.qsl.net/g4usp"),
);

/// The preferred values between two resistances, rising, both ends included where they are preferred.
#[must_use]
pub fn preferred_ohms(series: &[f64], low: Ohms, high: Ohms) -> Vec<Ohms> {
    let decades = [1.0, 10.0, 100.0, 1e3, 1e4, 1e5, 1e6];
    let values = decades.iter().flat_map(|decade| series.iter().map(move |value| value * decade));
    // 3.3 times 100 is not quite 330.
    let rounded = values.map(|value| (value * 10.0).round() / 10.0);
    rounded.filter_map(|value| Ohms::new(value).ok()).filter(|ohms| (low..=high).contains(ohms)).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// IEC 60063:2015: E12 is 10 12 15 18 22 27 33 39 47 56 68 82.
    #[test]
    fn a_decade_of_the_twelve_series() {
        let decade = preferred_ohms(&E12.value, Ohms::literal(100.0), Ohms::literal(820.0));
        let expected = [100.0, 120.0, 150.0, 180.0, 220.0, 270.0, 330.0, 390.0, 470.0, 560.0, 680.0, 820.0];
        assert_eq!(decade, expected.map(Ohms::literal));
    }

    #[test]
    fn values_rise_from_one_end_to_the_other() {
        let values = preferred_ohms(&E12.value, Ohms::literal(47.0), Ohms::literal(4700.0));
        assert!(values.is_sorted() && values.len() == 25);
        assert_eq!((values[0], values[24]), (Ohms::literal(47.0), Ohms::literal(4700.0)));
    }
}
