//! The order of sections that a head gives: `P:A(AB)2`, `*>[A,A,B]`.

use crate::bounds::MOST_SECTIONS;
use crate::span::Span;

/// In which order the sections of a piece are played.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Order {
    /// Where it is said.
    pub span: Span,
    /// The labels of the sections in the order played; `None` when it cannot be read, or names too many.
    pub sections: Option<Vec<String>>,
    /// Whether repeats within a section are played out; a list that names every time a section is played has counted
    /// them already.
    pub with_repeats: bool,
}

impl Order {
    /// `A(AB)2`, as letters, numbers of times, parentheses and dots that mean nothing.
    #[must_use]
    pub fn of_letters(words: &str, span: Span) -> Self {
        Self {
            span,
            sections: letters(words),
            with_repeats: true,
        }
    }

    /// `A,A,B`, as labels with commas between.
    #[must_use]
    pub fn of_list(words: &str, span: Span) -> Self {
        let labels: Vec<String> = words
            .split(',')
            .take(MOST_SECTIONS + 1)
            .map(|label| label.trim().to_owned())
            .collect();
        let read = labels.len() <= MOST_SECTIONS && labels.iter().all(|label| !label.is_empty());
        Self {
            span,
            sections: read.then_some(labels),
            with_repeats: false,
        }
    }
}

/// The letters in the order played.
fn letters(words: &str) -> Option<Vec<String>> {
    let mut open: Vec<usize> = Vec::new();
    let mut all: Vec<String> = Vec::new();
    // What a number that comes next repeats.
    let mut unit: Option<usize> = None;
    let mut signs = words.chars().peekable();
    while let Some(sign) = signs.next() {
        match sign {
            '.' | ' ' | '\t' => {}
            '(' => {
                open.push(all.len());
                unit = None;
            }
            ')' => unit = Some(open.pop()?),
            sign if sign.is_ascii_digit() => {
                let mut times = sign.to_digit(10)? as usize;
                while let Some(digit) = signs.peek().and_then(|sign| sign.to_digit(10)) {
                    times = times.saturating_mul(10).saturating_add(digit as usize);
                    signs.next();
                }
                let again = all.get(unit.take()?..)?.to_vec();
                let more = again.len().saturating_mul(times.checked_sub(1)?);
                if all.len().saturating_add(more) > MOST_SECTIONS {
                    return None;
                }
                for _ in 1..times {
                    all.extend_from_slice(&again);
                }
            }
            sign if sign.is_alphabetic() => {
                unit = Some(all.len());
                all.push(sign.to_string());
            }
            _ => return None,
        }
        if all.len() > MOST_SECTIONS {
            return None;
        }
    }
    (open.is_empty() && !all.is_empty()).then_some(all)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn letters_of(words: &str) -> Option<String> {
        let order = Order::of_letters(words, Span::default());
        order.sections.map(|sections| sections.concat())
    }

    #[test]
    fn numbers_repeat_what_stands_before_them() {
        for (words, played) in [
            ("ABAC", Some("ABAC")),
            ("A3B", Some("AAAB")),
            ("A(AB)2", Some("AABAB")),
            ("((AB)2C)2", Some("ABABCABABC")),
            ("A.B. A", Some("ABA")),
            ("A2.B", Some("AAB")),
            ("(AB)", Some("AB")),
        ] {
            assert_eq!(letters_of(words).as_deref(), played, "{words}");
        }
    }

    #[test]
    fn what_cannot_be_an_order_is_none() {
        for words in [
            "",
            "(AB",
            "AB)",
            "2A",
            "A0",
            "A-B",
            "A999999999999",
            "((((((A9)9)9)9)9)9)9",
        ] {
            assert_eq!(letters_of(words), None, "{words}");
        }
        assert!(Order::of_list("A,,B", Span::default()).sections.is_none());
        let many = vec!["A"; MOST_SECTIONS + 1].join(",");
        assert!(Order::of_list(&many, Span::default()).sections.is_none());
        assert!(
            Order::of_list(&many[2..], Span::default())
                .sections
                .is_some()
        );
    }
}
