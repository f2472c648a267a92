//! Digests of bytes, as they are written down and reckoned with.

use sha2::{Digest as _, Sha256};

/// Bytes in hexadecimal digits.
pub fn hex(bytes: &[u8]) -> String {
    bytes.iter().map(|byte| format!("{byte:02x}")).collect()
}

/// The first 64 bits of a digest.
pub fn start_of_digest(bytes: &[u8]) -> u64 {
    let whole = Sha256::digest(bytes);
    let start = whole.iter().take(8);
    start.fold(0, |number, byte| number << 8 | u64::from(*byte))
}

/// The same, as it is written down; enough that two bars of one file and rule are never taken for one another.
pub fn short_digest(bytes: &[u8]) -> String {
    format!("{:016x}", start_of_digest(bytes))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_digest_is_the_standards_own() {
        // FIPS 180-4's example of one block: "abc" gives ba7816bf 8f01cfea …
        assert_eq!(short_digest(b"abc"), "ba7816bf8f01cfea");
        assert_eq!(hex(&[0, 171]), "00ab");
    }
}
