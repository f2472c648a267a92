//! Splits a text into words, numbers and signs, folded so that spelling habits do not matter.

use std::ops::Range;

/// What a token is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Kind {
    /// Letters, and an accidental sign stuck to a note name.
    Word,
    /// Digits.
    Number,
    /// Any other single character but space.
    Sign,
}

/// A word, a number or a sign of a text.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Token<'t> {
    /// What it is.
    pub kind: Kind,
    /// As it stands in the text.
    pub text: &'t str,
    /// In small letters without accents: `Hörner` is `horner`, `RÓG` is `rog`.
    pub folded: String,
    /// Its bytes in the text.
    pub range: Range<usize>,
}

impl Token<'_> {
    /// Whether it is this sign.
    pub fn is_sign(&self, sign: &str) -> bool {
        self.kind == Kind::Sign && self.text == sign
    }

    /// Whether it is a sign that only joins or shortens words: point, hyphen, apostrophe.
    pub fn is_soft(&self) -> bool {
        self.kind == Kind::Sign
            && matches!(
                self.text,
                "." | "-" | "\u{2010}" | "\u{2011}" | "'" | "’" | "´"
            )
    }

    /// Whether it begins with a capital.
    pub fn is_capital(&self) -> bool {
        self.text.chars().next().is_some_and(char::is_uppercase)
    }
}

/// Note names an accidental sign may be stuck to.
const NOTE_NAMES: [&str; 16] = [
    "a", "b", "c", "d", "e", "f", "g", "h", "do", "ut", "re", "mi", "fa", "sol", "la", "si",
];

const fn is_mark(c: char) -> bool {
    matches!(c, '\u{300}'..='\u{36f}')
}

/// The tokens of a text in order.
pub(crate) fn tokens(text: &str) -> Vec<Token<'_>> {
    let mut found: Vec<Token<'_>> = Vec::new();
    for (at, c) in text.char_indices() {
        if c.is_whitespace() {
            continue;
        }
        let end = at + c.len_utf8();
        let last = found.last_mut().filter(|last| last.range.end == at);
        let kind = if c.is_alphabetic() || is_mark(c) {
            Kind::Word
        } else if c.is_ascii_digit() {
            Kind::Number
        } else {
            Kind::Sign
        };
        let joins = last.as_ref().is_some_and(|last| match kind {
            Kind::Sign => {
                matches!(c, '♭' | '♯' | '♮' | '#')
                    && last.kind == Kind::Word
                    && NOTE_NAMES.contains(&last.folded.as_str())
            }
            _ => last.kind == kind,
        });
        match last {
            Some(last) if joins => {
                last.range.end = end;
                last.text = &text[last.range.clone()];
                fold_into(&mut last.folded, c);
            }
            _ => {
                let mut folded = String::new();
                fold_into(&mut folded, c);
                found.push(Token {
                    kind,
                    text: &text[at..end],
                    folded,
                    range: at..end,
                });
            }
        }
    }
    found
}

/// How many tokens from `at` on spell the phrase, whose words stand in folded spelling with single spaces.
pub(crate) fn phrase_at(tokens: &[Token<'_>], at: usize, phrase: &str) -> Option<usize> {
    let mut length = 0;
    for word in phrase.split(' ') {
        if tokens.get(at + length)?.folded != word {
            return None;
        }
        length += 1;
    }
    Some(length)
}

fn fold_into(folded: &mut String, c: char) {
    for small in c.to_lowercase() {
        let plain = match small {
            'à'..='å' | 'ā' | 'ă' | 'ą' => 'a',
            'ç' | 'ć' | 'č' => 'c',
            'ď' => 'd',
            'è'..='ë' | 'ē' | 'ę' | 'ě' => 'e',
            'ì'..='ï' => 'i',
            'ł' => 'l',
            'ñ' | 'ń' | 'ň' => 'n',
            'ò'..='ö' | 'ø' | 'ő' => 'o',
            'ř' => 'r',
            'ś' | 'š' => 's',
            'ť' => 't',
            'ù'..='ü' | 'ů' | 'ű' => 'u',
            'ý' | 'ÿ' => 'y',
            'ź' | 'ż' | 'ž' => 'z',
            'ß' => {
                folded.push('s');
                's'
            }
            'æ' => {
                folded.push('a');
                'e'
            }
            'œ' => {
                folded.push('o');
                'e'
            }
            mark if is_mark(mark) => continue,
            other => other,
        };
        folded.push(plain);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn folded(text: &str) -> Vec<String> {
        tokens(text).into_iter().map(|t| t.folded).collect()
    }

    #[test]
    fn words_numbers_and_signs() {
        assert_eq!(folded("Hörner 1.2."), ["horner", "1", ".", "2", "."]);
        assert_eq!(folded("Horn#1 in F#"), ["horn", "#", "1", "in", "f#"]);
        assert_eq!(
            folded("ôtez a2 MÄSSIG mäßig"),
            ["otez", "a", "2", "massig", "massig"]
        );
        assert_eq!(folded("Si♭ RO\u{301}G"), ["si♭", "rog"]);
    }

    #[test]
    fn ranges_hold_the_text() {
        let text = "« Róg » ♭ in E♭ — 𝄐 1";
        for token in tokens(text) {
            assert_eq!(&text[token.range.clone()], token.text);
        }
    }
}
