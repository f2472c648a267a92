//! One note or rest token of a `**kern` spine, taken apart.

use score::Span;
use score::bounds::{LONGEST, OCTAVES};
use theory::{Letter, Pitch, Quarters};

/// A token. Spans count from the token's first byte.
#[derive(Debug, Clone, PartialEq, Default)]
pub(super) struct Token {
    /// The sounding pitch (or the displaced one under `*Tr`) and its letters with their accidental.
    pub(super) pitch: Option<(Pitch, Span)>,
    /// A rest, whatever letters say where it stands.
    pub(super) rest: bool,
    /// Length in quarter notes, when it states one.
    pub(super) length: Option<Quarters>,
    /// `q`, `qq`: takes no time.
    pub(super) grace: bool,
    /// `[` or `_`.
    pub(super) tied_to: bool,
    /// `]` or `_`.
    pub(super) tied_from: bool,
    /// Slurs opened less slurs closed.
    pub(super) slurs: i32,
    /// `yy`: not printed.
    pub(super) hidden: bool,
    /// `rr`: fills the bar.
    pub(super) whole_bar: bool,
    /// `n`, or `X` after the accidental: the sign stands on the page.
    pub(super) sign_shown: bool,
    /// Whether its numbers and signs are such as music needs; where not, they are held to what is.
    pub(super) believed: bool,
}

/// The most accidental signs of one note.
const MOST_SIGNS: usize = 3;
/// The largest number in a length.
const LARGEST: i64 = 1 << 20;

/// The tokens of a cell, more than one in a chord, each with where it begins.
pub(super) fn tokens(cell: &str) -> impl Iterator<Item = (usize, &str)> {
    let mut at = 0;
    cell.split(' ').filter_map(move |token| {
        let start = at;
        at += token.len() + 1;
        (!token.is_empty()).then_some((start, token))
    })
}

/// Takes a token apart.
pub(super) fn read(token: &str) -> Token {
    let bytes = token.as_bytes();
    let has = |sign: u8| bytes.contains(&sign);
    let count = |sign: u8| bytes.iter().filter(|&&byte| byte == sign).count() as i32;
    let (pitch, plain) = pitch(token);
    let (length, counted) = length(bytes);
    let after = pitch.map_or(&[][..], |(_, span)| &bytes[span.end..]);
    let natural = pitch.is_some_and(|(_, span)| bytes[span.end - 1] == b'n');
    Token {
        rest: has(b'r'),
        length,
        believed: plain && counted,
        grace: has(b'q'),
        tied_to: has(b'[') || has(b'_'),
        tied_from: has(b']') || has(b'_'),
        slurs: count(b'(') - count(b')'),
        hidden: token.contains("yy"),
        whole_bar: token.contains("rr"),
        sign_shown: natural || after.first() == Some(&b'X'),
        pitch,
    }
}

/// The first run of a note letter, with the accidental right after it, and whether it is one that can be believed.
fn pitch(token: &str) -> (Option<(Pitch, Span)>, bool) {
    let bytes = token.as_bytes();
    let letter = |byte: &u8| matches!(byte, b'a'..=b'g' | b'A'..=b'G');
    let Some(start) = bytes.iter().position(letter) else {
        return (None, true);
    };
    let run = |from: usize, sign: u8| bytes[from..].iter().take_while(|&&b| b == sign).count();
    let name = bytes[start];
    let letters = run(start, name);
    let at = start + letters;
    let (signs, alteration) = match bytes.get(at) {
        Some(b'#') => (run(at, b'#'), 1),
        Some(b'-') => (run(at, b'-'), -1),
        Some(b'n') => (run(at, b'n'), 0),
        _ => (0, 0),
    };
    let octaves = i8::try_from(letters).unwrap_or(i8::MAX);
    let octave = if name.is_ascii_lowercase() {
        octaves.saturating_add(3)
    } else {
        4 - octaves
    };
    let held = octave.clamp(*OCTAVES.start(), *OCTAVES.end());
    let pitch = Letter::from_char(char::from(name)).map(|letter| {
        let alteration = alteration * signs.min(MOST_SIGNS) as i8;
        (
            Pitch::new(letter, alteration, held),
            Span::new(start, at + signs),
        )
    });
    (pitch, held == octave && signs <= MOST_SIGNS)
}

/// The length that digits and dots state: `4.`, `0` for a breve, `3%2` for two of three; and whether it is one that can
/// be believed.
fn length(bytes: &[u8]) -> (Option<Quarters>, bool) {
    let Some(start) = bytes.iter().position(u8::is_ascii_digit) else {
        return (None, true);
    };
    let (digits, mut at) = number(bytes, start);
    let mut believed = digits < LARGEST;
    let mut length = if digits == 0 {
        // Each further zero doubles: breve, long, maxima.
        let zeros = at - start;
        believed &= zeros <= 6;
        Quarters::whole(4 * 2i64.pow(zeros.min(6) as u32))
    } else {
        Quarters::new(4, digits)
    };
    if bytes.get(at) == Some(&b'%') {
        let (over, end) = number(bytes, at + 1);
        if over > 0 {
            length = length * Quarters::whole(over);
        }
        believed &= over < LARGEST;
        at = end;
    }
    let dots = bytes[at..].iter().take_while(|&&b| b == b'.').count();
    believed &= dots <= 8;
    let parts = 2i64.pow(dots.min(8) as u32);
    let length = length * Quarters::new(2 * parts - 1, parts);
    (Some(length.min(LONGEST)), believed && length <= LONGEST)
}

/// A whole number and where it ends.
fn number(bytes: &[u8], start: usize) -> (i64, usize) {
    let digits = bytes[start..].iter().take_while(|b| b.is_ascii_digit());
    let count = digits.clone().count();
    let value = digits.fold(0i64, |value, digit| {
        (value * 10 + i64::from(digit - b'0')).min(LARGEST)
    });
    (value, start + count)
}

/// A pitch in letters and accidental signs; a natural has no sign.
pub(super) fn written(pitch: Pitch) -> String {
    let letter = pitch.letter.as_char();
    let (letter, count) = if pitch.octave >= 4 {
        (letter.to_ascii_lowercase(), pitch.octave - 3)
    } else {
        (letter, 4 - pitch.octave)
    };
    let sign = if pitch.alteration.0 > 0 { "#" } else { "-" };
    let mut text: String = std::iter::repeat_n(letter, count as usize).collect();
    text.push_str(&sign.repeat(usize::from(pitch.alteration.0.unsigned_abs())));
    text
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn pitches() {
        for (token, name) in [
            ("4c", "C4"),
            ("8.cc#X/", "C#5"),
            ("[2BB-;", "Bb2"),
            ("C", "C3"),
            ("'16gn\\", "G4"),
            ("4f##", "F##4"),
        ] {
            let (pitch, span) = read(token).pitch.unwrap();
            assert_eq!(pitch.to_string(), name, "{token}");
            let again = format!("4{}", written(pitch));
            assert_eq!(read(&again).pitch.unwrap().0, pitch, "{token} {span:?}");
        }
    }

    #[test]
    fn lengths() {
        for (token, quarters) in [
            ("4c", Quarters::ONE),
            ("4..c", Quarters::new(7, 4)),
            ("0r", Quarters::whole(8)),
            ("00r", Quarters::whole(16)),
            ("3%2G", Quarters::new(8, 3)),
            ("12e", Quarters::new(1, 3)),
        ] {
            assert_eq!(read(token).length, Some(quarters), "{token}");
        }
        assert_eq!(read("qqd").length, None);
    }

    #[test]
    fn signs() {
        let token = read("[(8cc#X/L");
        assert!(token.tied_to && !token.tied_from && token.slurs == 1 && token.sign_shown);
        let token = read("8rAyy");
        assert!(token.rest && token.hidden && !token.whole_bar);
    }
}
