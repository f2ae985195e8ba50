//! A connector family with a gender: what is bought, soldered, and named in a profile.

use std::fmt;
use std::str::FromStr;

use crate::family::{Family, ParseFamilyError};

/// Which half of a mated pair.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Gender {
    /// What goes in: pins, a board's edge, the ends of wires.
    Plug,
    /// What takes it in: holes, an edge socket, a strip of terminals.
    Socket,
}

/// A family and a gender: what is bought and soldered.
///
/// A strip of terminals is the socket of its family, and the bare, tinned or ferruled ends that are clamped
/// in it are the plug. Neither is called so: they are written `terminals 16` and `ends for terminals 16`.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Connector {
    /// The body and its contacts.
    pub family: Family,
    /// Pins or holes.
    pub gender: Gender,
}

/// Says that a text names no connector.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum ParseConnectorError {
    /// The family is wrong.
    #[error(transparent)]
    Family(#[from] ParseFamilyError),
    /// The family stands there without a gender.
    #[error("`{found}` has no gender; add `plug` (pins) or `socket` (holes)")]
    NoGender {
        /// The text as it was given.
        found: String,
    },
    /// The word after the family is not a gender.
    #[error("`{found}` is no gender; write `plug` (pins) or `socket` (holes)")]
    Gender {
        /// The word that stands where the gender belongs.
        found: String,
    },
    /// A gender stands behind terminals.
    #[error(
        "terminals have no gender; write `{family}`, or `{ENDS_FOR}{family}` for what is clamped in them"
    )]
    Genderless {
        /// The terminals.
        family: Family,
    },
    /// Something that is soldered stands where ends are asked for.
    #[error("a {family} is soldered and has no ends; write `{family} plug` or `{family} socket`")]
    Endless {
        /// The family that is soldered.
        family: Family,
    },
}

/// What stands before terminals where the ends are meant that go into them.
const ENDS_FOR: &str = "ends for ";

impl Gender {
    /// Both genders.
    pub const ALL: [Self; 2] = [Self::Plug, Self::Socket];

    /// The word that files and screens use.
    #[must_use]
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::Plug => "plug",
            Self::Socket => "socket",
        }
    }

    /// Finds the gender that a word names.
    #[must_use]
    pub fn parse(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|gender| gender.as_str().eq_ignore_ascii_case(word))
    }

    /// The gender of the other half.
    #[must_use]
    pub const fn opposite(self) -> Self {
        match self {
            Self::Plug => Self::Socket,
            Self::Socket => Self::Plug,
        }
    }
}

impl Connector {
    /// Reads a family and a gender, such as `DA-15 plug`, or `terminals 16`, or `ends for terminals 16`.
    ///
    /// # Errors
    /// Refuses a family or a gender that it does not know, a family alone, and terminals with a gender.
    pub fn parse(text: &str) -> Result<Self, ParseConnectorError> {
        let text = text.trim();
        let ends = text.split_at_checked(ENDS_FOR.len());
        if let Some((_, family)) = ends.filter(|(start, _)| start.eq_ignore_ascii_case(ENDS_FOR)) {
            let family = Family::parse(family)?;
            return if family.has_gender() {
                Err(ParseConnectorError::Endless { family })
            } else {
                Ok(Self { family, gender: Gender::Plug })
            };
        }
        let no_gender = |family: Family| {
            if family.has_gender() {
                Err(ParseConnectorError::NoGender { found: text.to_owned() })
            } else {
                Ok(Self { family, gender: Gender::Socket })
            }
        };
        let Some((family, word)) = text.rsplit_once(char::is_whitespace) else {
            return no_gender(Family::parse(text)?);
        };
        if let Some(gender) = Gender::parse(word) {
            let family = Family::parse(family)?;
            return if family.has_gender() {
                Ok(Self { family, gender })
            } else {
                Err(ParseConnectorError::Genderless { family })
            };
        }
        // The last word may belong to the family: `DE-15 high density`, `terminals 16`.
        match Family::parse(text) {
            Ok(family) => no_gender(family),
            Err(ParseFamilyError::Unknown { .. }) => {
                Family::parse(family)?;
                Err(ParseConnectorError::Gender { found: word.to_owned() })
            }
            Err(error) => Err(error.into()),
        }
    }

    /// The connector that goes into or over this one.
    #[must_use]
    pub const fn mate(self) -> Self {
        Self { family: self.family, gender: self.gender.opposite() }
    }

    /// Whether the two go together.
    #[must_use]
    pub fn mates_with(&self, other: &Self) -> bool {
        self.mate() == *other
    }

    /// Its name with the article that a sentence needs: `a DE-9 plug`, `an edge 28x2 socket`, `terminals 16`.
    #[must_use]
    pub fn with_article(self) -> String {
        match self.family {
            Family::Terminals(_) => self.to_string(),
            Family::Edge28x2 => format!("an {self}"),
            Family::De9
            | Family::Da15
            | Family::De15Hd
            | Family::Db25
            | Family::MiniDin8
            | Family::Din5Arc180
            | Family::Din8Arc262
            | Family::Din8Arc270 => format!("a {self}"),
        }
    }
}

impl FromStr for Connector {
    type Err = ParseConnectorError;

    fn from_str(text: &str) -> Result<Self, Self::Err> {
        Self::parse(text)
    }
}

impl fmt::Display for Gender {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(self.as_str())
    }
}

impl fmt::Display for Connector {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Self { family, gender } = self;
        f.pad(&match gender {
            _ if family.has_gender() => format!("{family} {gender}"),
            Gender::Socket => family.to_string(),
            Gender::Plug => format!("{ENDS_FOR}{family}"),
        })
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::contact::ContactId;
    use crate::family::tests::families;

    fn all() -> impl Iterator<Item = Connector> {
        let both = |family| Gender::ALL.map(|gender| Connector { family, gender });
        families().into_iter().flat_map(both)
    }

    #[test]
    fn every_connector_is_read_back_from_its_name() {
        for connector in all() {
            assert_eq!(Connector::parse(&connector.to_string()), Ok(connector));
        }
    }

    #[test]
    fn terminals_are_mated_by_ends_and_neither_has_a_gender() {
        let strip = Connector::parse("terminals 16").unwrap();
        assert_eq!(strip.mate().to_string(), "ends for terminals 16");
        assert!(strip.mates_with(&Connector::parse("Ends for Terminals 16").unwrap()));
        assert!(!strip.mates_with(&Connector::parse("ends for terminals 12").unwrap()));
        assert_eq!(
            Connector::parse("terminals 16 plug").unwrap_err().to_string(),
            "terminals have no gender; write `terminals 16`, or `ends for terminals 16` for what is clamped in \
             them"
        );
        assert_eq!(
            Connector::parse("ends for DE-9").unwrap_err().to_string(),
            "a DE-9 is soldered and has no ends; write `DE-9 plug` or `DE-9 socket`"
        );
    }

    #[test]
    fn a_connector_without_a_gender_says_what_to_add() {
        for text in ["DA-15", "DE-15 high density", "edge 28x2", "DIN 8/262"] {
            let expected = ParseConnectorError::NoGender { found: text.to_owned() };
            assert_eq!(Connector::parse(text), Err(expected));
        }
        assert_eq!(
            Connector::parse("DA-15 male").unwrap_err().to_string(),
            "`male` is no gender; write `plug` (pins) or `socket` (holes)"
        );
        assert!(matches!(
            Connector::parse("DB-9 plug"),
            Err(ParseConnectorError::Family(ParseFamilyError::Misnamed { .. }))
        ));
    }

    #[test]
    fn only_the_other_gender_of_the_same_family_mates() {
        for one in all() {
            for other in all() {
                let expected = one.family == other.family && one.gender != other.gender;
                assert_eq!(one.mates_with(&other), expected, "{one} and {other}");
            }
        }
    }

    #[test]
    fn a_sentence_names_a_connector_with_its_article() {
        let named = ["DE-9 plug", "edge 28x2 socket", "mini-DIN 8 plug", "ends for terminals 6"];
        let articles = named.map(|text| Connector::parse(text).unwrap().with_article());
        assert_eq!(
            articles,
            ["a DE-9 plug", "an edge 28x2 socket", "a mini-DIN 8 plug", "ends for terminals 6"]
        );
    }

    proptest! {
        #[test]
        fn no_text_makes_the_reader_panic(text in ".{0,24}") {
            let _ = Connector::parse(&text);
            let _ = ContactId::parse(&text);
        }

        #[test]
        fn no_text_for_ends_makes_the_reader_panic(text in "(ends for )?(terminals )?.{0,8}") {
            let _ = Connector::parse(&text);
        }
    }
}
