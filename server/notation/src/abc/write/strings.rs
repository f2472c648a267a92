//! Writing words so that they stand in a text string of ABC (2.1, 8.1 and 14).

/// The words with every sign that means something in a quoted text string escaped.
///
/// A line cannot be broken there, so line ends become spaces.
pub(super) fn quoted(words: &str) -> String {
    let mut text = String::with_capacity(words.len());
    for sign in words.chars() {
        match sign {
            '"' => text.push_str("&quot;"),
            '\\' | '%' | '&' => {
                text.push('\\');
                text.push(sign);
            }
            '\n' | '\r' => text.push(' '),
            _ => text.push(sign),
        }
    }
    text
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn signs_are_escaped() {
        assert_eq!(quoted("con sord."), "con sord.");
        assert_eq!(quoted("50% \"x\" & \\"), "50\\% &quot;x&quot; \\& \\\\");
        assert_eq!(quoted("a\nb"), "a b");
    }
}
