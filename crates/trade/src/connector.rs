//! Connector families and genders, and the names that sellers get wrong.
//!
//! Names: *D-Subminiature Nomenclature*, epl.harvard.edu/Engineering/d-subminiature.html: D, then
//! the letter of the shell's size, then the number of contacts.

use std::fmt;
use std::str::FromStr;

use crate::contact::ContactId;

/// Which half of a mated pair.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Gender {
    /// Pins.
    Plug,
    /// Holes.
    Socket,
}

/// A shell with its arrangement of contacts.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Family {
    /// Nine contacts in two rows, shell E.
    De9,
    /// Fifteen contacts in two rows, shell A.
    Da15,
    /// Fifteen contacts in three rows, shell E.
    De15Hd,
}

/// A family and a gender: what is bought and soldered.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Connector {
    /// The shell and its contacts.
    pub family: Family,
    /// Pins or holes.
    pub gender: Gender,
}

/// A name that sellers use and the standard does not.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Misnomer {
    /// The name as sellers print it.
    pub name: &'static str,
    /// Why it is wrong, and what to look for instead.
    pub why: &'static str,
}

/// Says that a text names no connector family, and offers the right name.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum ParseFamilyError {
    /// A seller's name for one family.
    #[error("`{found}` is a seller's name; write `{}`: {why}", family.name())]
    Misnamed {
        /// The text as it was given.
        found: String,
        /// The family that sellers mean by it.
        family: Family,
        /// Why the name is wrong.
        why: &'static str,
    },
    /// A seller's name for more than one family.
    #[error(
        "`{found}` can mean `DA-15` or `DE-15 high density`; two rows of contacts are `DA-15`, \
         three rows are `DE-15 high density`"
    )]
    Ambiguous {
        /// The text as it was given.
        found: String,
    },
    /// No name that we know.
    #[error("`{found}` is no connector; write `DE-9`, `DA-15` or `DE-15 high density`")]
    Unknown {
        /// The text as it was given.
        found: String,
    },
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
}

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

impl Family {
    /// All families, the smallest first.
    pub const ALL: [Self; 3] = [Self::De9, Self::Da15, Self::De15Hd];

    /// The standard's name.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::De9 => "DE-9",
            Self::Da15 => "DA-15",
            Self::De15Hd => "DE-15 high density",
        }
    }

    /// Reads a family's name in any case, with or without its hyphens and spaces.
    ///
    /// `DE-15` alone is the high-density one: fifteen contacts fit shell E in no other way.
    ///
    /// # Errors
    /// Refuses a seller's wrong name and offers the right one; refuses what names no family.
    pub fn parse(text: &str) -> Result<Self, ParseFamilyError> {
        let found = text.trim().to_owned();
        match squeezed(text).as_str() {
            "de9" => return Ok(Self::De9),
            "da15" => return Ok(Self::Da15),
            "de15" | "de15hd" | "de15highdensity" => return Ok(Self::De15Hd),
            _ => {}
        }
        let meant = |family: &Self| family.misnomer(text).map(|misnomer| (*family, misnomer.why));
        match Self::ALL.iter().filter_map(meant).collect::<Vec<_>>().as_slice() {
            [] => Err(ParseFamilyError::Unknown { found }),
            [(family, why)] => Err(ParseFamilyError::Misnamed { found, family: *family, why }),
            [_, _, ..] => Err(ParseFamilyError::Ambiguous { found }),
        }
    }

    /// What sellers wrongly call it.
    #[must_use]
    pub const fn sellers_call_it(self) -> &'static [Misnomer] {
        const B_IS_25_WAY: &str = "B is the shell with 25 ways, and 9 ways fit shell E";
        const B_IS_NOT_A: &str = "B is the shell with 25 ways, and two rows of 15 fit shell A; \
                                  the name is also used for the three-row `DE-15 high density`";
        const B_IS_NOT_E: &str = "B is the shell with 25 ways, and three rows of 15 fit shell E";
        const NO_SHELL: &str = "it does not name the shell's size";
        match self {
            Self::De9 => &[
                Misnomer { name: "DB-9", why: B_IS_25_WAY },
                Misnomer { name: "D-sub 9", why: NO_SHELL },
                Misnomer { name: "D-9", why: NO_SHELL },
            ],
            Self::Da15 => &[
                Misnomer { name: "DB-15", why: B_IS_NOT_A },
                Misnomer { name: "D-sub 15", why: NO_SHELL },
                Misnomer { name: "D-15", why: NO_SHELL },
            ],
            Self::De15Hd => &[
                Misnomer { name: "DB-15HD", why: B_IS_NOT_E },
                Misnomer { name: "DB-15", why: B_IS_NOT_E },
                Misnomer { name: "HD-15", why: NO_SHELL },
                Misnomer { name: "D-sub 15", why: NO_SHELL },
            ],
        }
    }

    /// Contacts in each row, the row that holds contact 1 first.
    ///
    /// From memory; each of the two-row splits differs by one, as the half-pitch offset asks.
    #[must_use]
    pub const fn rows(self) -> &'static [u8] {
        match self {
            Self::De9 => &[5, 4],
            Self::Da15 => &[8, 7],
            Self::De15Hd => &[5, 5, 5],
        }
    }

    /// How many contacts it has, without the shell.
    #[must_use]
    pub fn contacts(self) -> u8 {
        self.rows().iter().sum()
    }

    /// Whether it has this contact; the shell always counts.
    #[must_use]
    pub fn has(self, contact: ContactId) -> bool {
        match contact {
            ContactId::Number(number) => (1..=self.contacts()).contains(&number),
            ContactId::Shell => true,
        }
    }

    /// All contacts in rising order, the shell last.
    pub fn contact_ids(self) -> impl Iterator<Item = ContactId> {
        (1..=self.contacts()).map(ContactId::Number).chain([ContactId::Shell])
    }

    fn misnomer(self, text: &str) -> Option<&'static Misnomer> {
        let wanted = squeezed(text);
        self.sellers_call_it().iter().find(|misnomer| squeezed(misnomer.name) == wanted)
    }
}

impl Connector {
    /// Reads a family and a gender, such as `DA-15 plug`.
    ///
    /// # Errors
    /// Refuses a family or a gender that it does not know, and a family alone.
    pub fn parse(text: &str) -> Result<Self, ParseConnectorError> {
        let text = text.trim();
        let no_gender = || ParseConnectorError::NoGender { found: text.to_owned() };
        let Some((family, word)) = text.rsplit_once(char::is_whitespace) else {
            return Err(Family::parse(text).map_or_else(Into::into, |_| no_gender()));
        };
        if let Some(gender) = Gender::parse(word) {
            return Ok(Self { family: Family::parse(family)?, gender });
        }
        // The last word may belong to the family: `DE-15 high density`.
        if Family::parse(text).is_ok() {
            return Err(no_gender());
        }
        Family::parse(family)?;
        Err(ParseConnectorError::Gender { found: word.to_owned() })
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
}

/// A name without what sellers and makers disagree about: case, hyphens, spaces.
fn squeezed(name: &str) -> String {
    let kept = name.chars().filter(|c| !c.is_whitespace() && !matches!(c, '-' | '_'));
    kept.map(|c| c.to_ascii_lowercase()).collect()
}

impl FromStr for Family {
    type Err = ParseFamilyError;

    fn from_str(text: &str) -> Result<Self, Self::Err> {
        Self::parse(text)
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

impl fmt::Display for Family {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(self.name())
    }
}

impl fmt::Display for Connector {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(&format!("{} {}", self.family, self.gender))
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn all() -> impl Iterator<Item = Connector> {
        let both = |family| Gender::ALL.map(|gender| Connector { family, gender });
        Family::ALL.into_iter().flat_map(both)
    }

    #[test]
    fn every_connector_is_read_back_from_its_name() {
        for connector in all() {
            assert_eq!(Connector::parse(&connector.to_string()), Ok(connector));
        }
    }

    #[test]
    fn families_are_read_in_the_ways_that_people_write_them() {
        for (text, family) in [
            ("DE-9", Family::De9),
            ("de9", Family::De9),
            (" DA-15 ", Family::Da15),
            ("DE-15HD", Family::De15Hd),
            ("DE-15", Family::De15Hd),
            ("de-15 high density", Family::De15Hd),
        ] {
            assert_eq!(Family::parse(text), Ok(family), "{text}");
        }
    }

    // *D-Subminiature Nomenclature*, epl.harvard.edu/Engineering/d-subminiature.html: DE-9.
    #[test]
    fn the_sellers_name_for_nine_ways_is_refused_with_the_right_one() {
        assert_eq!(
            Family::parse("DB-9").unwrap_err().to_string(),
            "`DB-9` is a seller's name; write `DE-9`: \
             B is the shell with 25 ways, and 9 ways fit shell E"
        );
    }

    #[test]
    fn the_sellers_name_for_fifteen_ways_is_refused_as_ambiguous() {
        for text in ["DB-15", "db15", "D-sub 15"] {
            let found = text.to_owned();
            assert_eq!(Family::parse(text), Err(ParseFamilyError::Ambiguous { found }));
        }
        assert!(matches!(
            Family::parse("DB15HD"),
            Err(ParseFamilyError::Misnamed { family: Family::De15Hd, .. })
        ));
    }

    #[test]
    fn no_misnomer_is_the_standards_name() {
        for family in Family::ALL {
            for misnomer in family.sellers_call_it() {
                assert!(Family::parse(misnomer.name).is_err(), "{}", misnomer.name);
            }
        }
    }

    #[test]
    fn a_connector_without_a_gender_says_what_to_add() {
        for text in ["DA-15", "DE-15 high density"] {
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
    fn contacts_are_numbered_from_one_without_a_gap() {
        for (family, count) in [(Family::De9, 9), (Family::Da15, 15), (Family::De15Hd, 15)] {
            assert_eq!(family.contacts(), count);
            assert!(family.contact_ids().all(|id| family.has(id)));
            assert_eq!(family.contact_ids().count(), usize::from(count) + 1);
            assert!(family.contact_ids().is_sorted());
            assert!(!family.has(ContactId::Number(0)));
            assert!(!family.has(ContactId::Number(count + 1)));
        }
    }

    proptest! {
        #[test]
        fn no_text_makes_the_reader_panic(text in ".{0,24}") {
            let _ = Connector::parse(&text);
            let _ = ContactId::parse(&text);
        }
    }
}
