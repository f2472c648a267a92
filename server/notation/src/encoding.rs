//! Bytes on disk to text and back, the way they came.

use std::fmt;

/// How a text lies on disk.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(crate) enum Encoding {
    /// UTF-8.
    #[default]
    Utf8,
    /// UTF-8 with a byte-order mark.
    Utf8Marked,
    /// ISO 8859-1: each byte is the character of that number.
    Latin1,
}

/// The mark some programs put before UTF-8.
const MARK: &[u8] = b"\xEF\xBB\xBF";

/// Why bytes are no text.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct DecodeError {
    /// What the bytes are instead.
    pub problem: &'static str,
}

impl fmt::Display for DecodeError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            f,
            "not read: {}; expected text in UTF-8 or Latin-1",
            self.problem
        )
    }
}

impl std::error::Error for DecodeError {}

/// A character that the file's own encoding cannot hold.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct EncodeError {
    /// The character.
    pub character: char,
}

impl fmt::Display for EncodeError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            f,
            "not written: the file is in Latin-1, which has no `{}`; save it as UTF-8 first",
            self.character
        )
    }
}

impl std::error::Error for EncodeError {}

impl Encoding {
    /// Bytes to text. Bytes that are not UTF-8 are taken as Latin-1, which holds any byte.
    pub(crate) fn decode(bytes: &[u8]) -> Result<(String, Self), DecodeError> {
        if bytes.starts_with(b"\xFF\xFE") || bytes.starts_with(b"\xFE\xFF") {
            return Err(DecodeError {
                problem: "the file is in UTF-16",
            });
        }
        if bytes.contains(&0) {
            return Err(DecodeError {
                problem: "the file holds zero bytes",
            });
        }
        let (body, marked) = match bytes.strip_prefix(MARK) {
            Some(body) => (body, Self::Utf8Marked),
            None => (bytes, Self::Utf8),
        };
        match std::str::from_utf8(body) {
            // A file may say that it is Latin-1 and still hold plain ASCII; then both agree.
            Ok(text) => Ok((text.to_owned(), marked)),
            Err(_) => Ok((
                bytes.iter().map(|&byte| char::from(byte)).collect(),
                Self::Latin1,
            )),
        }
    }

    /// Text to bytes. Fails at a character that Latin-1 does not have.
    pub(crate) fn encode(self, text: &str) -> Result<Vec<u8>, EncodeError> {
        match self {
            Self::Utf8 => Ok(text.as_bytes().to_vec()),
            Self::Utf8Marked => Ok([MARK, text.as_bytes()].concat()),
            Self::Latin1 => text
                .chars()
                .map(|character| {
                    u8::try_from(u32::from(character)).map_err(|_| EncodeError { character })
                })
                .collect(),
        }
    }

    /// Bytes that stand on disk before the text.
    pub(crate) const fn lead(self) -> usize {
        match self {
            Self::Utf8Marked => MARK.len(),
            Self::Utf8 | Self::Latin1 => 0,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_came_goes_back() {
        for bytes in [
            "T:Fähre".as_bytes(),
            b"\xEF\xBB\xBFT:F\xC3\xA4hre",
            b"T:F\xE4hre\r\n",
            b"",
        ] {
            let (text, encoding) = Encoding::decode(bytes).unwrap();
            assert_eq!(encoding.encode(&text).unwrap(), bytes);
            assert!(bytes.is_empty() || text.starts_with("T:F\u{e4}"));
        }
    }

    #[test]
    fn what_is_no_text_is_refused() {
        assert!(Encoding::decode(b"\xFF\xFEX\0").is_err());
        assert!(Encoding::decode(b"PK\x03\x04\0").is_err());
        assert_eq!(Encoding::Latin1.encode("♭").unwrap_err().character, '♭');
    }
}
