//! Bytes on disk to text and back, the way they came.

use std::fmt;

use crate::format::Format;

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
    /// UTF-16; only MusicXML comes in it.
    Utf16 {
        /// Whether the larger byte comes first.
        big: bool,
        /// Whether a byte-order mark stands before the text.
        marked: bool,
    },
}

/// The mark some programs put before UTF-8.
const MARK: &[u8] = b"\xEF\xBB\xBF";

/// Why bytes are no text.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct DecodeError {
    /// What the bytes are instead.
    pub problem: &'static str,
    /// What they should be.
    pub expected: &'static str,
}

const PLAIN_TEXT: &str = "text in UTF-8 or Latin-1";

impl DecodeError {
    /// More than a score in this notation can be.
    pub(crate) const fn too_large(format: Format) -> Self {
        Self {
            problem: "the file is larger than a score in this notation can be",
            expected: match format {
                Format::Abc => "no more than 2 MiB of ABC; split it into several files",
                Format::MusicXml => "no more than 32 MiB of MusicXML; split it into several files",
                Format::Kern => "no more than 4 MiB of Humdrum; split it into several files",
            },
        }
    }
}

impl fmt::Display for DecodeError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "not read: {}; expected {}", self.problem, self.expected)
    }
}

impl std::error::Error for DecodeError {}

/// Why a text cannot be written the way it came.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum EncodeError {
    /// A character that Latin-1, the file's own encoding, cannot hold.
    Character(char),
    /// The compressed package cannot be made again.
    Package,
}

impl fmt::Display for EncodeError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Character(character) => write!(
                f,
                "not written: the file is in Latin-1, which has no `{character}`; save it as UTF-8 first"
            ),
            Self::Package => {
                f.write_str("not written: the compressed package cannot be made again")
            }
        }
    }
}

impl std::error::Error for EncodeError {}

impl Encoding {
    /// Bytes to text. Bytes that are not UTF-8 are taken as Latin-1, which holds any byte.
    pub(crate) fn decode(bytes: &[u8]) -> Result<(String, Self), DecodeError> {
        if bytes.starts_with(b"\xFF\xFE") || bytes.starts_with(b"\xFE\xFF") {
            return Err(DecodeError {
                problem: "the file is in UTF-16",
                expected: PLAIN_TEXT,
            });
        }
        if bytes.contains(&0) {
            return Err(DecodeError {
                problem: "the file holds zero bytes",
                expected: PLAIN_TEXT,
            });
        }
        let (body, marked) = match bytes.strip_prefix(MARK) {
            Some(body) => (body, Self::Utf8Marked),
            None => (bytes, Self::Utf8),
        };
        match std::str::from_utf8(body) {
            // Plain ASCII is the same in both; what is added later must be as the file says.
            Ok(text) if text.is_ascii() && says_latin1(text) => Ok((text.to_owned(), Self::Latin1)),
            Ok(text) => Ok((text.to_owned(), marked)),
            Err(_) => Ok((
                bytes.iter().map(|&byte| char::from(byte)).collect(),
                Self::Latin1,
            )),
        }
    }

    /// Bytes of an XML file to text: by its byte-order mark, or else by what its declaration says (XML 1.0, appendix F).
    pub(crate) fn decode_xml(bytes: &[u8]) -> Result<(String, Self), DecodeError> {
        let (big, marked) = match bytes {
            [0xFF, 0xFE, ..] => (false, true),
            [0xFE, 0xFF, ..] => (true, true),
            [b'<', 0, ..] => (false, false),
            [0, b'<', ..] => (true, false),
            _ => {
                let (text, encoding) = Self::decode(bytes)?;
                if encoding == Self::Utf8 && declares_latin1(&text) {
                    let text = bytes.iter().map(|&byte| char::from(byte)).collect();
                    return Ok((text, Self::Latin1));
                }
                return Ok((text, encoding));
            }
        };
        let body = if marked { &bytes[2..] } else { bytes };
        let units: Vec<u16> = body
            .chunks(2)
            .map(|pair| match (pair, big) {
                ([high, low], true) | ([low, high], false) => u16::from_be_bytes([*high, *low]),
                // Half a character at the end is none.
                _ => 0xD800,
            })
            .collect();
        match String::from_utf16(&units) {
            Ok(text) => Ok((text, Self::Utf16 { big, marked })),
            Err(_) => Err(DecodeError {
                problem: "the file says it is in UTF-16 and is not",
                expected: "text in UTF-8, UTF-16 or Latin-1",
            }),
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
                    u8::try_from(u32::from(character))
                        .map_err(|_| EncodeError::Character(character))
                })
                .collect(),
            Self::Utf16 { big, marked } => {
                let mark = marked.then_some(0xFEFF);
                let units = mark.into_iter().chain(text.encode_utf16());
                Ok(units
                    .flat_map(|unit| {
                        if big {
                            unit.to_be_bytes()
                        } else {
                            unit.to_le_bytes()
                        }
                    })
                    .collect())
            }
        }
    }

    /// Bytes that stand on disk before the text.
    pub(crate) const fn lead(self) -> usize {
        match self {
            Self::Utf8Marked => MARK.len(),
            Self::Utf16 { marked: true, .. } => 2,
            Self::Utf8 | Self::Latin1 | Self::Utf16 { .. } => 0,
        }
    }
}

/// Whether a text declares itself to be in ISO 8859-1 (ABC 2.1, section 8.1).
fn says_latin1(text: &str) -> bool {
    text.split(['\n', '\r']).any(|line| {
        let words = line
            .strip_prefix("%%")
            .or_else(|| line.strip_prefix("I:"))
            .and_then(|rest| rest.trim_start().strip_prefix("abc-charset"));
        words.is_some_and(|name| name.trim().eq_ignore_ascii_case("iso-8859-1"))
    })
}

/// Whether an XML declaration says ISO 8859-1.
fn declares_latin1(text: &str) -> bool {
    let declaration = text
        .strip_prefix("<?xml")
        .and_then(|rest| rest.split_once("?>"))
        .map(|(declaration, _)| declaration.to_ascii_lowercase());
    declaration.is_some_and(|words| {
        words.contains("encoding") && (words.contains("iso-8859-1") || words.contains("latin1"))
    })
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
    fn a_declared_encoding_holds_for_what_is_added_later() {
        for line in [
            "%%abc-charset iso-8859-1",
            "I:abc-charset ISO-8859-1 ",
            "I: abc-charset iso-8859-1",
        ] {
            let (_, encoding) = Encoding::decode(line.as_bytes()).unwrap();
            assert_eq!(encoding, Encoding::Latin1, "{line}");
        }
        let (_, encoding) =
            Encoding::decode("I:abc-charset iso-8859-1\nT:F\u{e4}hre".as_bytes()).unwrap();
        assert_eq!(
            encoding,
            Encoding::Utf8,
            "the bytes are UTF-8 whatever they say"
        );
        let (_, encoding) = Encoding::decode(b"I:abc-charset utf-8").unwrap();
        assert_eq!(encoding, Encoding::Utf8);
    }

    #[test]
    fn what_is_no_text_is_refused() {
        assert!(Encoding::decode(b"\xFF\xFEX\0").is_err());
        assert!(Encoding::decode(b"PK\x03\x04\0").is_err());
        assert_eq!(
            Encoding::Latin1.encode("♭").unwrap_err(),
            EncodeError::Character('♭')
        );
    }

    #[test]
    fn xml_comes_in_more_encodings() {
        let declared = b"<?xml version='1.0' encoding='ISO-8859-1'?><a>F\xE4hre</a>".to_vec();
        let words = "<a>Fähre 𝄞</a>";
        let units =
            |big: bool, marked: bool| Encoding::Utf16 { big, marked }.encode(words).unwrap();
        for bytes in [
            declared,
            words.as_bytes().to_vec(),
            units(true, true),
            units(false, true),
            units(true, false),
            units(false, false),
        ] {
            let (text, encoding) = Encoding::decode_xml(&bytes).unwrap();
            assert!(text.contains("F\u{e4}hre"), "{encoding:?}");
            assert_eq!(encoding.encode(&text).unwrap(), bytes);
        }
        assert!(Encoding::decode_xml(b"\xFF\xFE<\0a").is_err());
        assert!(Encoding::decode_xml(b"\xFF\xFE\0\xD8").is_err());
    }
}
