//! The one place where a number becomes text.

/// Returns a number with so many significant digits, without an exponent and without trailing
/// zeros after the point.
///
/// ```
/// # use solderside_quantity::significant;
/// assert_eq!(significant(0.833_33, 3), "0.833");
/// assert_eq!(significant(4999.5, 3), "5000");
/// assert_eq!(significant(0.0, 3), "0");
/// ```
#[must_use]
pub fn significant(value: f64, digits: usize) -> String {
    if value == 0.0 || !value.is_finite() {
        return if value == 0.0 { "0".to_owned() } else { value.to_string() };
    }
    let digits = digits.max(1);
    // `{:e}` rounds correctly; the exponent it settles on already allows for a carry (9.996 → 1.00e1).
    let scientific = format!("{value:.*e}", digits - 1);
    let exponent: i32 = scientific.split_once('e').and_then(|(_, e)| e.parse().ok()).unwrap_or(0);
    let rounded: f64 = scientific.parse().unwrap_or(value);
    let digits = i32::try_from(digits).unwrap_or(i32::MAX);
    let decimals = usize::try_from(digits - 1 - exponent).unwrap_or(0);
    let text = format!("{rounded:.decimals$}");
    if text.contains('.') { text.trim_end_matches('0').trim_end_matches('.').to_owned() } else { text }
}

/// Returns a quantity as the trade writes it: three digits, a prefix, the unit's symbol.
pub(crate) fn engineering(value: f64, symbol: &str) -> String {
    const PREFIXES: [(f64, &str); 7] =
        [(1e9, "G"), (1e6, "M"), (1e3, "k"), (1.0, ""), (1e-3, "m"), (1e-6, "µ"), (1e-9, "n")];
    // 999.7 reads "1000" with three digits, so the next larger prefix starts a little early.
    let size = value.abs() * 1.000_5;
    // Metres and kelvins carry no prefix in this trade's texts, and 0.3 V is not written 300 mV.
    let plain = matches!(symbol, "m" | "K") || (symbol == "V" && size >= 0.01);
    // A bench meter shows no microvolts.
    let smallest = if symbol == "V" { 1e-3 } else { 1e-9 };
    // Less than half a thousandth of that is rounding: no meter shows it and no standard asks for it.
    let value = if value.abs() < smallest * 5e-4 { 0.0 } else { value };
    let (scale, prefix) = if value == 0.0 || plain {
        (1.0, "")
    } else {
        let fits = |(scale, _): &(f64, &str)| size >= *scale || *scale <= smallest;
        PREFIXES.into_iter().find(fits).unwrap_or((1.0, ""))
    };
    format!("{} {prefix}{symbol}", significant(value / scale, 3))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn quantities_read_as_the_trade_writes_them() {
        let cases = [
            (3100.0, "Ω", "3.1 kΩ"),
            (999.7, "Ω", "1 kΩ"),
            (0.0016, "A", "1.6 mA"),
            (0.4545, "V", "0.455 V"),
            (-0.02, "A", "-20 mA"),
            (2.5e-9, "A", "2.5 nA"),
            (1e-12, "A", "0.001 nA"),
            (0.0, "V", "0 V"),
            (0.0004, "V", "0.4 mV"),
            (-1.78e-15, "V", "0 V"),
            (1e-6, "V", "0.001 mV"),
            (-3e-13, "A", "0 A"),
            (1.5, "m", "1.5 m"),
            (1e7, "Ω", "10 MΩ"),
        ];
        for (value, symbol, text) in cases {
            assert_eq!(engineering(value, symbol), text);
        }
    }

    #[test]
    fn a_carry_keeps_the_digits_right() {
        assert_eq!(significant(9.996, 3), "10");
        assert_eq!(significant(0.099_96, 3), "0.1");
        assert_eq!(significant(-123_456.0, 2), "-120000");
    }
}
