//! How an ABC note spells its pitch: accidental, letter, and commas or apostrophes for the octave.

use score::Span;
use score::bounds::OCTAVES;
use theory::{Letter, Pitch};

/// The pitch of a note as its text has it, before any `octave=` of the voice.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Spelling {
    /// The accidental that stands there, in semitones.
    pub accidental: Option<i8>,
    /// The letter.
    pub letter: Letter,
    /// The octave that case and marks say; `C` is 4.
    pub octave: i32,
    /// Where the letter stands, from the start of the text read.
    pub letter_at: usize,
}

/// Reads the pitch of a note, `^f'`; `None` when the text is anything else.
pub(super) fn read(text: &str) -> Option<Spelling> {
    let letter_at = text.find(|c: char| c.is_ascii_alphabetic())?;
    let accidental = match &text[..letter_at] {
        "" => None,
        sign => Some(alteration(sign)?),
    };
    let rest = &text[letter_at..];
    let first = rest.chars().next()?;
    let letter = Letter::from_char(first)?;
    let mut octave = if first.is_ascii_lowercase() { 5 } else { 4 };
    for mark in rest[1..].chars() {
        match mark {
            ',' => octave -= 1,
            '\'' => octave += 1,
            _ => return None,
        }
    }
    Some(Spelling {
        accidental,
        letter,
        octave,
        letter_at,
    })
}

/// The pitch that some ABC text is, by itself, in no key; `None` when it is anything else.
#[must_use]
pub fn read_in_abc(text: &str) -> Option<Pitch> {
    let spelling = read(text)?;
    let octave = i8::try_from(spelling.octave).ok()?;
    OCTAVES.contains(&octave).then(|| {
        let alteration = spelling.accidental.unwrap_or(0);
        Pitch::new(spelling.letter, alteration, octave)
    })
}

/// A pitch on the page as an ABC note begins; `None` for what ABC has no accidental for. A natural has no sign.
#[must_use]
pub fn spell_in_abc(pitch: Pitch) -> Option<String> {
    let spelling = Spelling {
        accidental: Some(pitch.alteration.0).filter(|alteration| *alteration != 0),
        letter: pitch.letter,
        octave: i32::from(pitch.octave),
        letter_at: 0,
    };
    spelling.text()
}

impl Spelling {
    /// Where the accidental stands, or would, when the text read begins at `start`.
    pub(super) const fn accidental_span(&self, start: usize) -> Span {
        Span::new(start, start + self.letter_at)
    }

    /// The text that says this pitch; `None` for what ABC has no accidental for.
    pub(super) fn text(&self) -> Option<String> {
        let sign = match self.accidental {
            None => "",
            Some(alteration) => sign(alteration)?,
        };
        let letter = self.letter.as_char();
        Some(if self.octave >= 5 {
            let marks = "'".repeat((self.octave - 5).unsigned_abs() as usize);
            format!("{sign}{}{marks}", letter.to_ascii_lowercase())
        } else {
            let marks = ",".repeat((4 - self.octave).unsigned_abs() as usize);
            format!("{sign}{letter}{marks}")
        })
    }
}

/// The sign for an alteration of up to two semitones.
pub(super) const fn sign(alteration: i8) -> Option<&'static str> {
    Some(match alteration {
        -2 => "__",
        -1 => "_",
        0 => "=",
        1 => "^",
        2 => "^^",
        _ => return None,
    })
}

fn alteration(sign: &str) -> Option<i8> {
    Some(match sign {
        "__" => -2,
        "_" => -1,
        "=" => 0,
        "^" => 1,
        "^^" => 2,
        _ => return None,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn spellings_come_back() {
        for text in ["C", "c", "^C,", "__b'", "=G,,", "^^f''", "D"] {
            assert_eq!(read(text).unwrap().text().unwrap(), text);
        }
    }

    #[test]
    fn pitches_are_spelled() {
        for (pitch, text) in [
            (Pitch::new(Letter::C, 0, 4), "C"),
            (Pitch::new(Letter::B, -1, 5), "_b"),
            (Pitch::new(Letter::F, 1, 3), "^F,"),
        ] {
            assert_eq!(spell_in_abc(pitch).as_deref(), Some(text));
        }
        assert_eq!(spell_in_abc(Pitch::new(Letter::C, 3, 4)), None);
    }

    #[test]
    fn mixed_marks_are_put_in_order() {
        assert_eq!(read("c,").unwrap().text().unwrap(), "C");
        assert_eq!(read("_B,''").unwrap().text().unwrap(), "_b");
    }

    #[test]
    fn other_text_is_no_pitch() {
        for text in ["", "z", "!p!", "^", "^/c", "c2", "T"] {
            assert_eq!(read(text), None, "{text}");
        }
    }
}
