//! What a contact is called on its connector.

use std::fmt;
use std::str::FromStr;

/// One contact of a connector, in the order of a pin table: numbers, then capitals, then small letters,
/// the shell last.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum ContactId {
    /// A pin, a socket hole or a screw by its number, counted from 1.
    Number(u8),
    /// A contact on the solder side of a board's edge; `A` and `a` are two contacts.
    Letter(Letter),
    /// The metal shell, which is a contact too.
    Shell,
}

/// A letter from A to Z or from a to z; the capitals sort first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Letter(u8);

/// Says that a text names no contact.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("`{found}` is no contact; write its number, such as `7`, its letter, such as `A`, or `shell`")]
pub struct ParseContactError {
    /// The text as it was given.
    pub found: String,
}

impl Letter {
    /// Takes an ASCII letter; `None` for any other character.
    #[must_use]
    pub const fn new(letter: u8) -> Option<Self> {
        if letter.is_ascii_alphabetic() { Some(Self(letter)) } else { None }
    }
}

impl ContactId {
    /// Reads `7`, `A` or `shell`; the case of a lone letter counts.
    ///
    /// # Errors
    /// Refuses every other text, and the number 0: contacts count from 1.
    pub fn parse(text: &str) -> Result<Self, ParseContactError> {
        let name = text.trim();
        if name.eq_ignore_ascii_case("shell") {
            return Ok(Self::Shell);
        }
        if let [one] = name.as_bytes()
            && let Some(letter) = Letter::new(*one)
        {
            return Ok(Self::Letter(letter));
        }
        match name.parse() {
            Ok(number @ 1..) => Ok(Self::Number(number)),
            Ok(0) | Err(_) => Err(ParseContactError { found: text.to_owned() }),
        }
    }
}

impl FromStr for ContactId {
    type Err = ParseContactError;

    fn from_str(text: &str) -> Result<Self, Self::Err> {
        Self::parse(text)
    }
}

impl fmt::Display for Letter {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(&char::from(self.0).to_string())
    }
}

impl fmt::Display for ContactId {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Number(number) => f.pad(&number.to_string()),
            Self::Letter(letter) => letter.fmt(f),
            Self::Shell => f.pad("shell"),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_contact_is_read_back_from_its_name() {
        let letters = (0..=u8::MAX).filter_map(Letter::new).map(ContactId::Letter);
        for id in (1..=u8::MAX).map(ContactId::Number).chain(letters).chain([ContactId::Shell]) {
            assert_eq!(ContactId::parse(&id.to_string()), Ok(id));
        }
    }

    #[test]
    fn a_contact_that_cannot_be_is_refused_with_the_way_to_write_one() {
        for text in ["0", "256", "-1", "aa", "ä", "", "7.5"] {
            assert!(ContactId::parse(text).is_err(), "{text}");
        }
        assert_eq!(
            ContactId::parse("pin7").unwrap_err().to_string(),
            "`pin7` is no contact; write its number, such as `7`, its letter, such as `A`, or `shell`"
        );
    }

    #[test]
    fn contacts_sort_as_an_edge_is_read_and_the_shell_last() {
        let read = ["1", "28", "A", "Z", "a", "f", "shell"].map(|text| ContactId::parse(text).unwrap());
        assert!(read.is_sorted());
    }
}
