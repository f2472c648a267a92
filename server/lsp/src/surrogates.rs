//! Halves of characters in a message's JSON: a client that counts in UTF-16 can cut one in two.

use std::borrow::Cow;

use serde_json::Value;

/// The escape that stands for a half, as long on the wire and in UTF-16 as the half was.
const REPLACEMENT: &[u8] = br"\ufffd";
/// The length of a `\uXXXX` escape in bytes.
const ESCAPE: usize = 6;

/// Reads a message's JSON; halves of characters are read as U+FFFD, so that what stands around them is not lost.
///
/// Fails where the bytes are no JSON.
pub(super) fn read_json(body: &[u8]) -> serde_json::Result<Value> {
    serde_json::from_slice(body).or_else(|error| match whole(body) {
        Cow::Owned(body) => serde_json::from_slice(&body),
        Cow::Borrowed(_) => Err(error),
    })
}

/// The same JSON with every half of a pair that lacks its other half replaced.
fn whole(body: &[u8]) -> Cow<'_, [u8]> {
    let mut fixed = Cow::Borrowed(body);
    let mut at = 0;
    while let Some(&byte) = body.get(at) {
        if byte != b'\\' {
            at += 1;
            continue;
        }
        match unit(body, at) {
            Some(0xD800..=0xDBFF) if matches!(unit(body, at + ESCAPE), Some(0xDC00..=0xDFFF)) => {
                at += 2 * ESCAPE;
            }
            Some(0xD800..=0xDFFF) => {
                fixed.to_mut()[at..at + ESCAPE].copy_from_slice(REPLACEMENT);
                at += ESCAPE;
            }
            Some(_) => at += ESCAPE,
            // Another escape: the character behind the backslash belongs to it.
            None => at += 2,
        }
    }
    fixed
}

/// The UTF-16 unit of a `\uXXXX` escape that begins at a byte.
fn unit(body: &[u8], at: usize) -> Option<u16> {
    let digits = body.get(at..at + ESCAPE)?.strip_prefix(b"\\u")?;
    let digits = std::str::from_utf8(digits).ok()?;
    u16::from_str_radix(digits, 16).ok()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn halves_are_replaced_and_pairs_are_kept() {
        for (json, text) in [
            (r#""a\ud83cb""#, "a\u{fffd}b"),
            (r#""\udfba""#, "\u{fffd}"),
            (r#""\ud83c\ud83c\udfba""#, "\u{fffd}\u{1f3ba}"),
            (r#""\ud83c\udfba\udfba""#, "\u{1f3ba}\u{fffd}"),
            // A backslash that is escaped itself begins no escape.
            (r#""\\ud83c \ud83c""#, "\\ud83c \u{fffd}"),
            (r#""\u00e4\n""#, "\u{e4}\n"),
        ] {
            assert_eq!(read_json(json.as_bytes()).unwrap(), text, "{json}");
        }
        for broken in [r#""\ud83"#, r#""\uzzzz""#, "\"\\", "{", ""] {
            assert!(read_json(broken.as_bytes()).is_err(), "{broken}");
        }
    }
}
