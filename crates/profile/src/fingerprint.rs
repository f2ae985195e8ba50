//! Sixteen digits by which a lead knows the profile that it was proved against.

use std::hash::Hasher;

use solderside_quantity::{Quantity, Triple};

/// Collects the canonical text of everything electrical, then hashes it with FNV-1a, 64 bits.
///
/// Fowler, Noll, Vo and Eastlake, *The FNV Non-Cryptographic Hash Algorithm* (from memory). It
/// guards against changes by mistake, not by malice.
#[derive(Debug, Default)]
pub struct Canonical(String);

impl Canonical {
    /// Adds a line of words.
    pub fn line(&mut self, words: &[&str]) {
        self.0.push_str(&words.join(" "));
        self.0.push('\n');
    }

    /// The sixteen digits of all lines.
    pub fn digest(&self) -> String {
        let mut hasher = fnv::FnvHasher::default();
        hasher.write(self.0.as_bytes());
        format!("{:016x}", hasher.finish())
    }
}

/// Writes a number with the fewest digits that give it back exactly.
pub(crate) fn exact<T: Quantity>(value: T) -> String {
    format!("{:?}", value.get())
}

/// Writes a triple in the same way.
pub(crate) fn exact_triple<T: Quantity>(triple: Triple<T>) -> String {
    format!("{} {} {}", exact(triple.low()), exact(triple.typical()), exact(triple.high()))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_hash_is_fnv_1a_of_64_bits() {
        // Test vectors of the FNV draft, from memory: "" and "a".
        assert_eq!(Canonical::default().digest(), "cbf29ce484222325");
        assert_eq!(Canonical("a".to_owned()).digest(), "af63dc4c8601ec8c");
    }
}
