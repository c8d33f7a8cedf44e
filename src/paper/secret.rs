//! The secret from which a set of papers is drawn.

use std::fmt;

/// Thirty-two bytes that only the instructor has.
///
/// Whoever has the bank and the secret can rebuild every paper and its answers; whoever has the bank
/// alone cannot. The bytes come from the operating system's generator, in `cli`; here they are only
/// read and written.
#[derive(Clone, PartialEq, Eq)]
pub struct Secret([u8; 32]);

/// The text holds no secret.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct SecretProblem;

impl fmt::Display for SecretProblem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(
            "expected `castmark secret 1` and then 64 hexadecimal digits, found something else; use \
             the file that was made with the papers",
        )
    }
}

impl std::error::Error for SecretProblem {}

const HEAD: &str = "castmark secret 1";

impl Secret {
    /// A secret of the given bytes.
    pub fn new(bytes: [u8; 32]) -> Self {
        Self(bytes)
    }

    /// Reads the text of a secret file.
    ///
    /// # Errors
    /// When it is anything else.
    pub fn read(text: &str) -> Result<Self, SecretProblem> {
        let digits = text.trim().strip_prefix(HEAD).ok_or(SecretProblem)?.trim();
        if digits.len() != 64 {
            return Err(SecretProblem);
        }
        let mut bytes = [0; 32];
        for (byte, pair) in bytes.iter_mut().zip(digits.as_bytes().chunks(2)) {
            let pair = std::str::from_utf8(pair).map_err(|_| SecretProblem)?;
            if !pair.bytes().all(|b| b.is_ascii_hexdigit()) {
                return Err(SecretProblem);
            }
            *byte = u8::from_str_radix(pair, 16).map_err(|_| SecretProblem)?;
        }
        Ok(Self(bytes))
    }

    /// The text of the secret file.
    pub fn write(&self) -> String {
        let mut text = format!("{HEAD}\n");
        for byte in self.0 {
            text.extend(
                [byte >> 4, byte & 15]
                    .map(|digit| char::from(b"0123456789abcdef"[usize::from(digit)])),
            );
        }
        text.push('\n');
        text
    }

    /// The bytes, as the key of the papers' seeds.
    pub fn key(&self) -> &[u8] {
        &self.0
    }
}

impl fmt::Debug for Secret {
    /// Shows nothing of the secret, so that no message or log can give it away.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("Secret(..)")
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_was_written_is_read_back() {
        let secret = Secret::new(std::array::from_fn(|n| u8::try_from(n * 7).unwrap()));
        assert_eq!(Secret::read(&secret.write()), Ok(secret));
    }

    #[test]
    fn anything_else_is_no_secret() {
        let digits = "0".repeat(64);
        for text in
            ["", "castmark secret 1", &digits, "castmark secret 1\n+f", "castmark secret 2\n00"]
        {
            assert_eq!(Secret::read(text), Err(SecretProblem), "{text:?}");
        }
        let signed = format!("{HEAD}\n{}", "+f".repeat(32));
        assert_eq!(Secret::read(&signed), Err(SecretProblem));
    }

    #[test]
    fn a_message_never_shows_it() {
        assert_eq!(format!("{:?}", Secret::new([9; 32])), "Secret(..)");
    }
}
