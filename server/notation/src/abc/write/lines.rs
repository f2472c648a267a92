//! Lines of a text, whichever of the three line ends it uses.

/// Where the line that holds a byte begins.
pub(super) fn start(text: &str, byte: usize) -> usize {
    let bytes = text.as_bytes();
    let mut at = byte.min(bytes.len());
    // Between CR and LF one is still on the line that they end.
    if at > 0 && bytes[at - 1] == b'\r' && bytes.get(at) == Some(&b'\n') {
        at -= 1;
    }
    while at > 0 && !matches!(bytes[at - 1], b'\n' | b'\r') {
        at -= 1;
    }
    at
}

/// Where the words of the line that holds a byte end, before its line end.
pub(super) fn end(text: &str, byte: usize) -> usize {
    let from = start(text, byte);
    text[from..]
        .find(['\n', '\r'])
        .map_or(text.len(), |length| from + length)
}

/// Where the line after the one that holds a byte begins; the text's end when there is none.
pub(super) fn next(text: &str, byte: usize) -> usize {
    let end = end(text, byte);
    end + break_at(text, end).len()
}

/// The line end that the text uses around a byte: the one before its line, or the first there is.
pub(super) fn line_break(text: &str, byte: usize) -> &str {
    let start = start(text, byte);
    let before = text[..start]
        .char_indices()
        .next_back()
        .map_or("", |(at, _)| {
            let crlf = text[..start].ends_with("\r\n");
            break_at(text, if crlf { at - 1 } else { at })
        });
    if !before.is_empty() {
        return before;
    }
    match text.find(['\n', '\r']) {
        Some(at) => break_at(text, at),
        None => "\n",
    }
}

/// The line end that stands at a byte, empty when none does.
fn break_at(text: &str, byte: usize) -> &str {
    let rest = &text[byte..];
    let length = if rest.starts_with("\r\n") {
        2
    } else {
        usize::from(rest.starts_with(['\n', '\r']))
    };
    &rest[..length]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn all_three_line_ends() {
        for (text, wanted) in [
            ("ab\ncd\nef", "\n"),
            ("ab\r\ncd\r\nef", "\r\n"),
            ("ab\rcd\ref", "\r"),
            ("abcdef", "\n"),
        ] {
            assert_eq!(line_break(text, text.len()), wanted);
            assert_eq!(line_break(text, 0), wanted);
            let last = start(text, text.len());
            assert_eq!(&text[last..], if text.len() == 6 { text } else { "ef" });
            assert_eq!(next(text, text.len()), text.len());
        }
        assert_eq!(start("ab\r\ncd", 3), 0);
        assert_eq!(end("ab\r\ncd", 3), 2);
        assert_eq!(next("ab\r\ncd", 0), 4);
    }
}
