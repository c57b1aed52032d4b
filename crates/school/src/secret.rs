//! Secrets that the program hands out: 256 random bits, of which only the SHA-256 is kept.

use crate::error::{Result, SchoolError};
use base64::Engine;
use base64::engine::general_purpose::URL_SAFE_NO_PAD;
use sha2::{Digest, Sha256};

/// A secret as it is handed out: 256 bits from the operating system, base64url, 43 characters.
///
/// # Errors
/// When the operating system gives no randomness.
pub fn new_secret() -> Result<String> {
    let mut bytes = [0u8; 32];
    getrandom::fill(&mut bytes).map_err(|error| SchoolError::store("make a secret", error))?;
    Ok(URL_SAFE_NO_PAD.encode(bytes))
}

/// What is kept of a secret: its SHA-256, hex. A fast hash is enough here, since 256 random bits cannot be guessed.
#[must_use]
pub fn kept(secret: &str) -> String {
    sha256_hex(secret.as_bytes())
}

/// SHA-256 in lower-case hex.
#[must_use]
pub fn sha256_hex(bytes: &[u8]) -> String {
    hex(&Sha256::digest(bytes))
}

/// Lower-case hex.
#[must_use]
pub fn hex(bytes: &[u8]) -> String {
    const DIGITS: [char; 16] = [
        '0', '1', '2', '3', '4', '5', '6', '7', '8', '9', 'a', 'b', 'c', 'd', 'e', 'f',
    ];
    let digit = |value: u8| DIGITS.get(usize::from(value & 15)).copied().unwrap_or('0');
    bytes
        .iter()
        .flat_map(|byte| [digit(byte >> 4), digit(*byte)])
        .collect()
}

/// Whether a text is a SHA-256 in lower-case hex.
#[must_use]
pub fn is_sha256(text: &str) -> bool {
    text.len() == 64
        && text
            .bytes()
            .all(|byte| byte.is_ascii_digit() || (b'a'..=b'f').contains(&byte))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn val_sha256_of_the_published_example() {
        // FIPS 180-2, appendix B.1: SHA-256 of "abc".
        assert_eq!(
            sha256_hex(b"abc"),
            "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"
        );
        assert!(is_sha256(&sha256_hex(b"")));
        assert!(!is_sha256("ABC"));
    }

    #[test]
    fn prop_secrets_differ_and_have_256_bits() {
        let (one, two) = (new_secret().unwrap(), new_secret().unwrap());
        assert_ne!(one, two);
        assert_eq!(URL_SAFE_NO_PAD.decode(&one).unwrap().len(), 32);
    }
}
