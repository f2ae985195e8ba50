//! A line that was typed during a survey: the reading that was asked for, or another one with its place before it.

use super::unknown::{NotAPoint, Touch, UnknownCable};
use super::{NotOfACable, SurveyReading};
use crate::ohms_text::{ParseReadingError, TypedReading};

/// Says why a line is no reading.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum LineError {
    /// No reading stands there.
    #[error(transparent)]
    Reading(#[from] ParseReadingError),
    /// What stands before the reading is no point of the cable.
    #[error(transparent)]
    Point(#[from] NotAPoint),
    /// Volts.
    #[error(transparent)]
    Volts(#[from] NotOfACable),
    /// A place without a reading.
    #[error("`{point}` is a place, and its reading is missing; write `{point} 0.4` or `{point} open`")]
    PlaceAlone {
        /// The place.
        point: String,
    },
    /// A contact was tried while the cores are not yet known to be apart.
    #[error("first the bare cores against each other; write what the two bunches read, such as `open`")]
    BunchesFirst,
}

/// Reads a line: `0.4` answers what was asked; `bn 0.4` is read at the contact that was asked for, and at another
/// core; `5 0.4` at another contact; `3 bn 0.4` and `bn rd open` name both places.
///
/// # Errors
/// Says what is wrong, and what to write.
pub fn parse_line(unknown: &UnknownCable, asked: &Touch, line: &str) -> Result<SurveyReading, LineError> {
    let words: Vec<&str> = line.split_whitespace().collect();
    let as_answer = match TypedReading::parse(line) {
        Ok(reads) => return Ok(SurveyReading::new(asked.clone(), reads)?),
        Err(error) => error,
    };
    if let [one] = words.as_slice()
        && unknown.is_bare()
        && unknown.bunch(one).is_ok()
    {
        return Err(LineError::PlaceAlone { point: (*one).to_owned() });
    }
    let touch = match words.as_slice() {
        // First the shorter form: in `bn no beep` nothing is called `no`.
        [place, _, ..] if TypedReading::parse(&rest(&words, 1)).is_ok() => {
            let Touch::Through(contact, bunch) = asked else { return Err(LineError::BunchesFirst) };
            // Cores have letters and contacts have numbers; where both ends have contacts, the other end's is meant.
            let touch = match unknown.contact(place) {
                Ok(own) if unknown.is_bare() => Touch::Through(own, bunch.clone()),
                Ok(_) | Err(_) => Touch::Through(*contact, unknown.bunch(place)?),
            };
            Some((touch, rest(&words, 1)))
        }
        [one, other, _, ..] if TypedReading::parse(&rest(&words, 2)).is_ok() => {
            Some((unknown.touch(one, other)?, rest(&words, 2)))
        }
        _ => None,
    };
    match touch {
        Some((Touch::Through(..), _)) if matches!(asked, Touch::Across(..)) => Err(LineError::BunchesFirst),
        Some((touch, reads)) => Ok(SurveyReading::new(touch, TypedReading::parse(&reads)?)?),
        None => Err(as_answer.into()),
    }
}

fn rest(words: &[&str], from: usize) -> String {
    words.get(from..).unwrap_or_default().join(" ")
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;
    use solderside_trade::{Connector, CoreColour};

    use super::super::unknown::Tail;
    use super::*;

    fn unknown() -> UnknownCable {
        let colours = ["BN", "RD", "OG"].map(|word| CoreColour::parse(word).unwrap()).to_vec();
        UnknownCable {
            end: Connector::parse("DE-9 socket").unwrap(),
            tail: Tail::Cores { colours, drain: true },
        }
    }

    fn asked(unknown: &UnknownCable) -> Touch {
        unknown.touch("3", "RD").unwrap()
    }

    fn line(text: &str) -> Result<String, String> {
        let unknown = unknown();
        let reading = parse_line(&unknown, &asked(&unknown), text).map_err(|error| error.to_string())?;
        let [one, other] = unknown.words(&reading.touch);
        Ok(format!("{one} to {other}: {}", reading.reads))
    }

    #[test]
    fn an_answer_needs_no_place_and_another_reading_names_its_own() {
        for (typed, read) in [
            ("0.4", "3 to RD: 0.4"),
            ("0.4 ohm", "3 to RD: 0.4"),
            ("no beep", "3 to RD: no beep"),
            ("bn 0.4", "3 to BN: 0.4"),
            ("brown 0.4 ohm", "3 to BN: 0.4"),
            ("bn no beep", "3 to BN: no beep"),
            ("5 0.4", "5 to RD: 0.4"),
            ("5 bn+drain open", "5 to BN + drain: open"),
            ("bn rd+og 1.2 k", "BN to RD + OG: 1200"),
            ("shell drain beep", "shell to drain: beep"),
        ] {
            assert_eq!(line(typed).as_deref(), Ok(read), "{typed}");
        }
    }

    #[test]
    fn what_is_no_reading_says_what_to_write() {
        for (typed, error) in [
            ("opne", "`opne` is no reading; write `open`"),
            ("bn", "`bn` is a place, and its reading is missing; write `bn 0.4` or `bn open`"),
            (
                "gn 0.4",
                "`gn` is no core of this cable; write `BN`; the cores are `BN`, `RD`, `OG` and `drain`",
            ),
            ("12 bn open", "a DE-9 socket has no contact 12; write 1 to 9, or `shell`"),
            ("bn bn open", "`BN` is under both probes; name two points that are apart"),
        ] {
            assert_eq!(line(typed).unwrap_err(), error);
        }
        assert!(line("-0.4").unwrap_err().contains("no resistance is below nought"));
        assert!(line("5 V").unwrap_err().starts_with("a cable gives no volts; unplug it"));
    }

    #[test]
    fn contacts_wait_until_the_cores_are_apart() {
        let unknown = unknown();
        let across = unknown.touch("BN", "RD + OG").unwrap();
        for typed in ["3 bn 0.4", "bn 0.4"] {
            assert_eq!(parse_line(&unknown, &across, typed), Err(LineError::BunchesFirst), "{typed}");
        }
        assert!(parse_line(&unknown, &across, "bn rd open").is_ok());
    }

    proptest! {
        #[test]
        fn no_line_makes_the_reader_panic(text in ".{0,24}", near in "[0-9a-z+ .,-]{0,16}") {
            let unknown = unknown();
            for line in [text, near] {
                let _ = parse_line(&unknown, &asked(&unknown), &line);
            }
        }
    }
}
