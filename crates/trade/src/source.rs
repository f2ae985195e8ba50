//! Where a fact comes from.

use std::fmt;

/// How well a fact is known, the strongest first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Evidence {
    /// A standard, a data sheet, a handbook or another page that can be named.
    Published,
    /// Somebody put a meter on it.
    Measured,
    /// Somebody said so.
    Reported,
    /// Nobody said so: common practice, memory, a family's default.
    Assumed,
}

impl Evidence {
    /// All kinds, the strongest first.
    pub const ALL: [Self; 4] = [Self::Published, Self::Measured, Self::Reported, Self::Assumed];

    /// The word that files and screens use.
    #[must_use]
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::Published => "published",
            Self::Measured => "measured",
            Self::Reported => "reported",
            Self::Assumed => "assumed",
        }
    }

    /// Finds the kind that a word names.
    #[must_use]
    pub fn parse(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|evidence| evidence.as_str() == word)
    }
}

impl fmt::Display for Evidence {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(self.as_str())
    }
}

/// Where a value of this crate comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Source {
    /// How well it is known.
    pub evidence: Evidence,
    /// The title, and the address without its scheme; or why there is none.
    pub text: &'static str,
}

impl Source {
    /// What many do and nobody printed.
    pub const COMMON_PRACTICE: Self = Self::assumed("common practice, no source");

    /// A source that a reader can look up.
    #[must_use]
    pub const fn published(text: &'static str) -> Self {
        Self { evidence: Evidence::Published, text }
    }

    /// A value without a source that a reader could look up; the text says why it is believed.
    #[must_use]
    pub const fn assumed(text: &'static str) -> Self {
        Self { evidence: Evidence::Assumed, text }
    }
}

impl fmt::Display for Source {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(self.text)
    }
}

/// A value with its source.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Sourced<T> {
    /// The value.
    pub value: T,
    /// Where it comes from.
    pub source: Source,
}

impl<T> Sourced<T> {
    /// Puts a source beside a value.
    pub const fn new(value: T, source: Source) -> Self {
        Self { value, source }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn published_evidence_sorts_before_all_that_is_weaker() {
        assert!(Evidence::ALL.is_sorted());
        assert_eq!(Evidence::ALL.into_iter().max(), Some(Evidence::Assumed));
    }

    #[test]
    fn every_kind_of_evidence_is_read_back_from_its_word() {
        for evidence in Evidence::ALL {
            assert_eq!(Evidence::parse(&evidence.to_string()), Some(evidence));
        }
        assert_eq!(Evidence::parse("hearsay"), None);
    }
}
