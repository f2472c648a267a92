//! Pitches, accidentals and keys as MusicXML spells them.

use score::bounds::OCTAVES;
use theory::{Alteration, Interval, Key, Letter, Pitch};

use crate::musicxml::tree::Element;

/// The pitch of a `<pitch>` element; the inner error says what is wrong with it.
pub(crate) fn pitch(element: Element<'_>) -> Result<Pitch, String> {
    let step = element.value("step").ok_or("this pitch has no step")?;
    let mut letters = step.chars();
    let letter = letters
        .next()
        .filter(char::is_ascii_uppercase)
        .and_then(Letter::from_char)
        .filter(|_| letters.next().is_none())
        .ok_or_else(|| format!("`{step}` is no step"))?;
    let alter = match element.value("alter") {
        None => 0,
        Some(alter) => alteration(&alter).ok_or_else(|| format!("`{alter}` is no alteration"))?,
    };
    let octave = element.value("octave").ok_or("this pitch has no octave")?;
    let octave: i8 = octave
        .parse()
        .ok()
        .filter(|octave| OCTAVES.contains(octave))
        .ok_or_else(|| format!("`{octave}` is no octave"))?;
    Ok(Pitch::new(letter, alter, octave))
}

/// Semitones; quarter tones are taken at the nearest semitone.
fn alteration(text: &str) -> Option<i8> {
    let semitones: f64 = text.parse().ok()?;
    (semitones.abs() <= 4.0).then(|| semitones.round() as i8)
}

/// The alteration that an `<accidental>`'s word stands for.
pub(crate) fn sign(word: &str) -> Option<i8> {
    Some(match word.trim() {
        "sharp" | "natural-sharp" => 1,
        "natural" => 0,
        "flat" | "natural-flat" => -1,
        "double-sharp" | "sharp-sharp" => 2,
        "flat-flat" | "double-flat" => -2,
        "triple-sharp" => 3,
        "triple-flat" => -3,
        _ => return None,
    })
}

/// The word for an alteration; `None` beyond three sharps or flats.
pub(crate) const fn sign_word(alteration: i8) -> Option<&'static str> {
    Some(match alteration {
        1 => "sharp",
        0 => "natural",
        -1 => "flat",
        2 => "double-sharp",
        -2 => "flat-flat",
        3 => "triple-sharp",
        -3 => "triple-flat",
        _ => return None,
    })
}

/// The signature of a `<key>` element, as it stands; `None` when it cannot be read.
pub(crate) fn key(element: Element<'_>) -> Option<Key> {
    if element.child("fifths").is_some() {
        return Some(Key::from_fifths(element.child_number("fifths")?));
    }
    let mut key = Key::NONE;
    let mut letter = None;
    for child in element.children() {
        match child.name() {
            "key-step" => letter = Some(Letter::from_char(child.words().trim().chars().next()?)?),
            "key-alter" => {
                key = key.with(
                    letter.take()?,
                    Alteration(alteration(child.words().trim())?),
                );
            }
            _ => {}
        }
    }
    Some(key)
}

/// What a `<transpose>` or `<part-transpose>` adds to written pitch, and whether it spells its steps.
pub(crate) fn interval(element: Element<'_>) -> Option<(Interval, bool)> {
    let chromatic: f64 = element.child_number("chromatic")?;
    let octaves: i32 = match element.child("octave-change") {
        Some(change) => change.number()?,
        None => 0,
    };
    // Nothing real lies further; damaged text may.
    if !(-100.0..=100.0).contains(&chromatic) || !(-8..=8).contains(&octaves) {
        return None;
    }
    let semitones = chromatic.round() as i32 + 12 * octaves;
    match element.child("diatonic") {
        Some(diatonic) => {
            let steps: i32 = diatonic
                .number()
                .filter(|steps| (-60..=60).contains(steps))?;
            Some((Interval::new(steps + 7 * octaves, semitones), true))
        }
        None => Some((Interval::from_semitones(semitones), false)),
    }
}
