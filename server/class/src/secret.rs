//! What cannot be guessed: keys for programs, and codes that people read off a board.

use std::fmt;

use sha2::{Digest as _, Sha256};

/// Letters and digits that are not taken for one another when they are read off a board or said aloud.
const ALPHABET: &[u8; 32] = b"ABCDEFGHJKLMNPQRSTUVWXYZ23456789";

/// A key that is compared without telling how much of it was right.
#[derive(Clone, PartialEq, Eq, Hash)]
pub(crate) struct Secret(String);

impl Secret {
    /// A new key of 128 bits. Fails where the system has no randomness to give.
    pub(crate) fn new() -> std::io::Result<Self> {
        let bytes: [u8; 16] = random()?;
        Ok(Self(files::digest::hex(&bytes)))
    }

    /// What somebody says is a key.
    pub(crate) fn of(said: &str) -> Self {
        Self(said.to_owned())
    }

    /// Its words, for its owner.
    pub(crate) fn words(&self) -> &str {
        &self.0
    }

    /// Whether somebody knows it.
    pub(crate) fn is(&self, said: &str) -> bool {
        same(&self.0, said)
    }
}

impl fmt::Debug for Secret {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("Secret")
    }
}

/// Whether two texts are the same; how long the answer takes tells nothing of them, since digests are compared.
pub(crate) fn same(one: &str, other: &str) -> bool {
    Sha256::digest(one) == Sha256::digest(other)
}

/// A code to read off a board: so many letters and digits, five bits each.
///
/// Fails where the system has no randomness to give.
pub(crate) fn code(length: usize) -> std::io::Result<String> {
    let bytes: [u8; 32] = random()?;
    let letters = bytes.iter().take(length);
    Ok(letters
        .map(|byte| char::from(ALPHABET[usize::from(byte % 32)]))
        .collect())
}

/// A code as it was meant, however it was typed: case, spaces and hyphens say nothing.
pub(crate) fn as_meant(typed: &str) -> String {
    let typed = typed.chars().filter(|letter| letter.is_alphanumeric());
    typed.flat_map(char::to_uppercase).take(64).collect()
}

fn random<const N: usize>() -> std::io::Result<[u8; N]> {
    let mut bytes = [0; N];
    getrandom::fill(&mut bytes).map_err(std::io::Error::other)?;
    Ok(bytes)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn keys_differ_and_know_themselves() {
        let (one, other) = (Secret::new().unwrap(), Secret::new().unwrap());
        assert_eq!(one.words().len(), 32);
        assert!(one.is(one.words()) && !one.is(other.words()) && !one.is(""));
        assert_eq!(format!("{one:?}"), "Secret");
    }

    #[test]
    fn a_code_is_read_off_a_board() {
        let code = code(6).unwrap();
        assert_eq!(code.len(), 6);
        assert!(code.bytes().all(|letter| ALPHABET.contains(&letter)));
        assert_eq!(as_meant(" k7f-2qm\n"), "K7F2QM");
        assert_ne!(code, super::code(6).unwrap());
    }
}
