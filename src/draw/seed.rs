//! The seed of a stream.

use std::fmt;

use hmac::{Hmac, KeyInit, Mac};
use sha2::Sha256;

/// Thirty-two bytes from which a [`super::Stream`] flows.
#[derive(Clone, PartialEq, Eq)]
pub struct Seed([u8; 32]);

impl fmt::Debug for Seed {
    /// Without the bytes: whoever has the seed of a paper has its answers.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("Seed(..)")
    }
}

impl Seed {
    /// HMAC-SHA-256 (RFC 2104, FIPS 180-4) of the domain and the fields under the key.
    ///
    /// Each is preceded by its length as eight bytes, the highest first, so that `ab`, `c` and `a`,
    /// `bc` are different. The domain holds a version: a change in how draws are made gets a new
    /// one, and old papers keep the old.
    pub fn derive(key: &[u8], domain: &str, fields: &[&str]) -> Self {
        // HMAC takes keys of any length; the error is for block ciphers of the same trait.
        let Ok(mut mac) = Hmac::<Sha256>::new_from_slice(key) else { return Self([0; 32]) };
        for field in std::iter::once(&domain).chain(fields) {
            mac.update(&(field.len() as u64).to_be_bytes());
            mac.update(field.as_bytes());
        }
        Self(mac.finalize().into_bytes().into())
    }

    /// The bytes.
    pub fn bytes(&self) -> &[u8; 32] {
        &self.0
    }

    /// The seed of these bytes, as kept in a manifest.
    pub fn from_bytes(bytes: [u8; 32]) -> Self {
        Self(bytes)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn agrees_with_an_independent_implementation() {
        // tests/reference/random.md, computed with the hmac and hashlib of Python.
        let seed =
            Seed::derive(b"course-secret", "paper:v1", &["2026-MECH-01", "s1234567", "A", "q07"]);
        let hex: String = seed.bytes().iter().map(|byte| format!("{byte:02x}")).collect();
        assert_eq!(hex, "a5a1e573fcbe1438913044e62b81f0fb853d86dfe8c92af6519e2e7189721807");
    }

    #[test]
    fn shows_nothing_of_itself() {
        assert_eq!(format!("{:?}", Seed::from_bytes([9; 32])), "Seed(..)");
    }

    #[test]
    fn fields_cannot_run_into_one_another() {
        let one = Seed::derive(b"k", "d", &["ab", "c"]);
        assert_ne!(one, Seed::derive(b"k", "d", &["a", "bc"]));
        assert_ne!(one, Seed::derive(b"k", "d", &["abc"]));
    }
}
