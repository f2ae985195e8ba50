//! What a person types who has read a meter: `open`, `0.4`, `1.2k`, `4.9 V`, `beep`.
//!
//! | typed | means |
//! | --- | --- |
//! | `open`, `OL` | over range: the meter sees no way from probe to probe |
//! | `0.4`, `0.4 ohm`, `0.4 Ω`, `1.2k`, `1.2 kohm`, `3M` | a resistance; without a unit it is ohms |
//! | `4.9 V`, `-4.9 V`, `650 mV` | a voltage |
//! | `beep`, `no beep` | what a buzzer says |
//!
//! Capitals count only where they tell mega from milli. The decimal mark is a point.

use std::fmt;

use solderside_profile::{nearest, quoted};
use solderside_quantity::{Ohms, Volts, significant};

/// A reading as it was typed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum TypedReading {
    /// Over range: the meter sees no way from probe to probe.
    Open,
    /// A resistance, never below nought.
    Ohms(Ohms),
    /// A voltage, of either sign.
    Volts(Volts),
    /// The buzzer sounds.
    Beep,
    /// The buzzer is silent.
    NoBeep,
}

/// Says why a text is no reading, and what to write.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum ParseReadingError {
    /// There is nothing.
    #[error("a reading is missing; write what the meter shows, such as `0.4`, `1.2k` or `open`")]
    Missing,
    /// A word that means nothing here.
    #[error("{} is no reading; {}", quoted(found), unknown_help(near.as_deref()))]
    Unknown {
        /// The text as it was given.
        found: String,
        /// The word that was probably meant.
        near: Option<String>,
    },
    /// A number in another way of writing.
    #[error("{} is no number here; write `{meant}`", quoted(found))]
    Notation {
        /// The text as it was given.
        found: String,
        /// The same in ours.
        meant: String,
    },
    /// Something behind the number that is no unit.
    #[error(
        "{} has no unit that is known; write `{number}` for ohms, `{number}k`, `{number}M`, `{number} V` or \
         `{number} mV`",
        quoted(found)
    )]
    Unit {
        /// The text as it was given.
        found: String,
        /// The number in it.
        number: String,
    },
    /// A resistance below nought.
    #[error(
        "{} cannot be: no resistance is below nought; unplug what feeds the lead, hold the probes together and \
         set the meter to nought, then measure again",
        quoted(found)
    )]
    Negative {
        /// The text as it was given.
        found: String,
    },
    /// More than a hand meter shows.
    #[error("{} is more than a hand meter shows; write `open` if it shows OL", quoted(found))]
    TooMuch {
        /// The text as it was given.
        found: String,
    },
}

/// The words that stand for a reading.
const WORDS: [(&str, TypedReading); 10] = [
    ("open", TypedReading::Open),
    ("ol", TypedReading::Open),
    ("o.l", TypedReading::Open),
    ("0l", TypedReading::Open),
    ("0.l", TypedReading::Open),
    ("beep", TypedReading::Beep),
    ("beeps", TypedReading::Beep),
    ("no beep", TypedReading::NoBeep),
    ("nobeep", TypedReading::NoBeep),
    ("silent", TypedReading::NoBeep),
];

/// The highest range of hand meters is 2000 MΩ at most, and 1000 V; from memory.
const MOST_OHMS: f64 = 2e9;
const MOST_VOLTS: f64 = 1000.0;

impl TypedReading {
    /// Reads what a person typed; see the table at the head of this file.
    ///
    /// # Errors
    /// Says what is wrong, and what to write instead.
    pub fn parse(text: &str) -> Result<Self, ParseReadingError> {
        let found = text.split_whitespace().collect::<Vec<_>>().join(" ");
        if found.is_empty() {
            return Err(ParseReadingError::Missing);
        }
        let word = found.to_lowercase();
        if let Some((_, reading)) = WORDS.iter().find(|(own, _)| *own == word) {
            return Ok(*reading);
        }
        let number_ends = found.find(|c: char| !(c.is_ascii_digit() || "+-.,".contains(c)));
        let (number, unit) = found.split_at(number_ends.unwrap_or(found.len()));
        if !number.contains(|c: char| c.is_ascii_digit()) {
            let near = nearest(&word, WORDS.iter().map(|(word, _)| *word)).map(str::to_owned);
            return Err(ParseReadingError::Unknown { found, near });
        }
        let unit = unit.trim();
        if let Some((whole, part)) = number.split_once(',')
            && !part.contains(['.', ','])
        {
            return Err(ParseReadingError::Notation { meant: format!("{whole}.{part}{unit}"), found });
        }
        // `1k2`, `4R7`: the unit where the point belongs.
        if let Some((prefix, part)) = unit.split_at_checked(1)
            && !part.is_empty()
            && part.bytes().all(|byte| byte.is_ascii_digit())
            && "kKMRr".contains(prefix)
        {
            let prefix = if "Rr".contains(prefix) { "" } else { prefix };
            return Err(ParseReadingError::Notation { meant: format!("{number}.{part}{prefix}"), found });
        }
        let Some(value) = number.parse::<f64>().ok().filter(|value| value.is_finite()) else {
            return Err(ParseReadingError::Unknown { found, near: None });
        };
        let too_much = || ParseReadingError::TooMuch { found: found.clone() };
        match scale(unit) {
            Some(Scale::Volts(scale)) => {
                let volts = Volts::new(value * scale).ok().filter(|volts| volts.get().abs() <= MOST_VOLTS);
                volts.map(Self::Volts).ok_or_else(too_much)
            }
            Some(Scale::Ohms(_)) if value < 0.0 => Err(ParseReadingError::Negative { found }),
            Some(Scale::Ohms(scale)) => {
                // Minus nought is nought.
                let ohms = Ohms::new(value.abs() * scale).ok().filter(|ohms| ohms.get() <= MOST_OHMS);
                ohms.map(Self::Ohms).ok_or_else(too_much)
            }
            None => Err(ParseReadingError::Unit { number: significant(value, 6), found }),
        }
    }
}

/// What a unit makes of the number before it.
enum Scale {
    Ohms(f64),
    Volts(f64),
}

fn scale(unit: &str) -> Option<Scale> {
    let (prefix, rest) = match unit.chars().next() {
        Some(prefix @ ('k' | 'K' | 'm' | 'M')) => (Some(prefix), unit.get(1..)?.trim_start()),
        Some(_) | None => (None, unit),
    };
    match (prefix, rest.to_lowercase().as_str()) {
        (None, "" | "ohm" | "ohms" | "ω" | "r") => Some(Scale::Ohms(1.0)),
        (Some('k' | 'K'), "" | "ohm" | "ohms" | "ω") => Some(Scale::Ohms(1e3)),
        (Some('M'), "" | "ohm" | "ohms" | "ω") => Some(Scale::Ohms(1e6)),
        (None, "v" | "volt" | "volts") => Some(Scale::Volts(1.0)),
        (Some('m'), "v") => Some(Scale::Volts(1e-3)),
        _ => None,
    }
}

fn unknown_help(near: Option<&str>) -> String {
    match near {
        Some(near) => format!("write `{near}`"),
        None => "write what the meter shows, such as `0.4`, `1.2k` or `open`".to_owned(),
    }
}

impl fmt::Display for TypedReading {
    /// The form that is read back: the whole number, its unit if it is not ohms.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Open => f.pad("open"),
            Self::Ohms(ohms) => f.pad(&plain(ohms.get())),
            Self::Volts(volts) => f.pad(&format!("{} V", plain(volts.get()))),
            Self::Beep => f.pad("beep"),
            Self::NoBeep => f.pad("no beep"),
        }
    }
}

/// Rust writes the shortest number that is read back as the same, and never an exponent.
fn plain(value: f64) -> String {
    value.to_string()
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn ohms(text: &str) -> f64 {
        match TypedReading::parse(text) {
            Ok(TypedReading::Ohms(ohms)) => ohms.get(),
            other => panic!("{text}: {other:?}"),
        }
    }

    fn error(text: &str) -> String {
        TypedReading::parse(text).expect_err(text).to_string()
    }

    #[test]
    fn resistances_are_read_with_and_without_their_units() {
        for (text, expected) in [
            ("0.4", 0.4),
            (" 0.4  ohm ", 0.4),
            ("0.4Ω", 0.4),
            ("470 R", 470.0),
            ("1.2k", 1200.0),
            ("1.2 kΩ", 1200.0),
            ("1.2 Kohm", 1200.0),
            ("3M", 3e6),
            ("3 Mohm", 3e6),
            (".5", 0.5),
            ("-0", 0.0),
        ] {
            assert!((ohms(text) - expected).abs() <= 1e-9 * expected, "{text}");
        }
    }

    #[test]
    fn voltages_have_a_sign_and_always_a_unit() {
        for (text, expected) in [("4.9 V", 4.9), ("-4.9v", -4.9), ("650 mV", 0.65), ("5 volts", 5.0)] {
            assert_eq!(
                TypedReading::parse(text),
                Ok(TypedReading::Volts(Volts::literal(expected))),
                "{text}"
            );
        }
    }

    #[test]
    fn words_are_read_in_any_case() {
        for text in ["open", "OL", "O.L", "0L", "Open"] {
            assert_eq!(TypedReading::parse(text), Ok(TypedReading::Open), "{text}");
        }
        assert_eq!(TypedReading::parse("Beep"), Ok(TypedReading::Beep));
        assert_eq!(TypedReading::parse("no  beep"), Ok(TypedReading::NoBeep));
    }

    #[test]
    fn near_misses_are_answered_with_what_was_meant() {
        assert_eq!(error("opne"), "`opne` is no reading; write `open`");
        assert_eq!(error("0,4"), "`0,4` is no number here; write `0.4`");
        assert_eq!(error("1,2 k"), "`1,2 k` is no number here; write `1.2k`");
        assert_eq!(error("1k2"), "`1k2` is no number here; write `1.2k`");
        assert_eq!(error("4R7"), "`4R7` is no number here; write `4.7`");
        assert_eq!(
            error("5 mohm"),
            "`5 mohm` has no unit that is known; write `5` for ohms, `5k`, `5M`, `5 V` or `5 mV`"
        );
        assert_eq!(
            error("hot"),
            "`hot` is no reading; write what the meter shows, such as `0.4`, `1.2k` or `open`"
        );
        assert!(error("  ").starts_with("a reading is missing; "));
    }

    #[test]
    fn readings_that_cannot_be_are_refused() {
        assert!(error("-3").starts_with("`-3` cannot be: no resistance is below nought; unplug"));
        assert!(error("-1.2k").contains("cannot be"));
        assert!(error("1.2.3").contains("is no reading"));
        assert!(error("9999999999").contains("write `open`"));
        assert!(error("9000 V").contains("more than a hand meter shows"));
        assert!(error("1e5").contains("no unit"), "exponents are a slip of the hand");
    }

    proptest! {
        #[test]
        fn no_text_makes_the_reader_panic(text in ".{0,24}", near in "[0-9,.kKMmRVΩ +-]{0,8}") {
            let _ = TypedReading::parse(&text);
            let _ = TypedReading::parse(&near);
        }

        #[test]
        fn what_was_read_is_written_so_that_it_reads_the_same(
            value in 0.0..1e9_f64, is_volts: bool,
        ) {
            let reading = if is_volts {
                TypedReading::Volts(Volts::literal(value / 1e6))
            } else {
                TypedReading::Ohms(Ohms::literal(value))
            };
            prop_assert_eq!(TypedReading::parse(&reading.to_string()), Ok(reading));
        }
    }
}
