//! What a contact is called on its connector.

use std::fmt;
use std::str::FromStr;

/// One contact of a connector; the numbers sort before the shell.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum ContactId {
    /// A pin or a socket hole by its number, counted from 1.
    Number(u8),
    /// The metal shell, which is a contact too.
    Shell,
}

/// Says that a text names no contact.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("`{found}` is no contact; write its number, such as `7`, or `shell`")]
pub struct ParseContactError {
    /// The text as it was given.
    pub found: String,
}

impl ContactId {
    /// Reads `7` or `shell`.
    ///
    /// # Errors
    /// Refuses every other text, and the number 0: contacts count from 1.
    pub fn parse(text: &str) -> Result<Self, ParseContactError> {
        let name = text.trim();
        if name.eq_ignore_ascii_case("shell") {
            return Ok(Self::Shell);
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

impl fmt::Display for ContactId {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Number(number) => f.pad(&number.to_string()),
            Self::Shell => f.pad("shell"),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_contact_is_read_back_from_its_name() {
        for id in (1..=u8::MAX).map(ContactId::Number).chain([ContactId::Shell]) {
            assert_eq!(ContactId::parse(&id.to_string()), Ok(id));
        }
    }

    #[test]
    fn a_contact_that_cannot_be_is_refused_with_the_way_to_write_one() {
        for text in ["0", "256", "-1", "a", "", "7.5"] {
            assert!(ContactId::parse(text).is_err(), "{text}");
        }
        assert_eq!(
            ContactId::parse("pin7").unwrap_err().to_string(),
            "`pin7` is no contact; write its number, such as `7`, or `shell`"
        );
    }

    #[test]
    fn the_shell_sorts_after_all_numbers() {
        assert!(ContactId::Number(u8::MAX) < ContactId::Shell);
    }
}
