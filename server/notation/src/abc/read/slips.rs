//! What cannot be read, in words that say what was expected.

use score::{Lost, Span, Unreadable};
use tree_sitter::Node;

use super::fields::{PROPAGATION, setting};
use super::key::{OCTAVE, TRANSPOSE, inner, property_parts};
use super::state::Propagation;
use super::syntax::{field_letter, field_text, span_of, text_of};
use super::{rhythm, tempo};

/// The most bytes that a letter may stand for.
pub(super) const LONGEST_MEANING: usize = 200;

/// What a `V:` field should say.
const VOICE: &str = "a voice such as 1, then name=\"Horn in F\", transpose=-7 and the like";

/// Looks through one field for what cannot be read; places count from `base`.
pub(super) fn in_field(node: Node<'_>, text: &str, base: usize, slips: &mut Vec<Unreadable>) {
    let before = slips.len();
    if is_unclosed(node, text) {
        slips.push(Unreadable {
            span: span_of(node, base),
            problem: "a quote in V: is not closed on its line".to_owned(),
            expected: VOICE.to_owned(),
            // With its name a part may lose all that says whose its notes are.
            lost: Lost::Notes,
            part: None,
        });
        return;
    }
    let mut cursor = node.walk();
    for child in node.children(&mut cursor) {
        match child.kind() {
            "stray" => slips.push(stray_in_field(child, text, base)),
            "property" => slips.extend(property(child, text, base)),
            "property_word" if is_lost_mode(child, text) => slips.push(Unreadable {
                span: span_of(child, base),
                problem: format!(
                    "`{}` is no mode and no clef, so the key is read as major",
                    shown(text_of(child, text))
                ),
                expected: "a mode such as m, mix or dor, or a clef such as bass".to_owned(),
                lost: Lost::Notes,
                part: None,
            }),
            "property_word"
                if matches!(
                    node.kind(),
                    "meter_field" | "unit_length_field" | "tempo_field"
                ) =>
            {
                slips.push(stray_in_field(child, text, base));
            }
            _ => {}
        }
    }
    if node.has_error() {
        errors(node, text, base, slips);
    }
    if slips.len() == before {
        slips.extend(meaning(node, text, base));
    }
}

/// Whether a voice's field leaves a quote open.
fn is_unclosed(node: Node<'_>, text: &str) -> bool {
    let quotes = text_of(node, text).replace("\\\"", "");
    node.kind() == "voice_field" && quotes.matches('"').count() % 2 == 1
}

/// Whether a word stands where the mode would, and is none.
fn is_lost_mode(word: Node<'_>, text: &str) -> bool {
    word.prev_sibling()
        .is_some_and(|before| before.kind() == "key_tonic")
        && text_of(word, text).starts_with(|letter: char| letter.is_alphabetic())
}

fn stray_in_field(node: Node<'_>, text: &str, base: usize) -> Unreadable {
    let field = node.parent();
    let expected = match field.map(|field| field.kind()) {
        Some("meter_field") => "a metre such as 4/4, 6/8, C, C| or none",
        Some("unit_length_field") => "a note length such as 1/8",
        Some("tempo_field") => "a tempo such as \"Andante\" 1/4=84",
        Some("key_field") => "a key such as none, Bb or F#m, then clef=, transpose= and the like",
        Some("voice_field") => VOICE,
        _ => "nothing more on this line",
    };
    // A length or a key that is not understood moves every note after it.
    let moves_notes = field.is_some_and(|field| match field.kind() {
        "unit_length_field" => true,
        "key_field" => field.child_by_field_name("tonic").is_none(),
        _ => false,
    });
    let lost = if moves_notes {
        Lost::Notes
    } else {
        Lost::NoNotes
    };
    unreadable(node, text, base, expected, lost)
}

fn unreadable(node: Node<'_>, text: &str, base: usize, expected: &str, lost: Lost) -> Unreadable {
    Unreadable {
        span: span_of(node, base),
        problem: format!("`{}` has no meaning here", shown(text_of(node, text))),
        expected: expected.to_owned(),
        lost,
        part: None,
    }
}

/// Text short enough for a message.
fn shown(text: &str) -> String {
    let text = text.trim();
    if text.chars().count() > 24 {
        let head: String = text.chars().take(23).collect();
        format!("{head}…")
    } else {
        text.to_owned()
    }
}

/// A property whose value is not of its kind.
fn property(node: Node<'_>, text: &str, base: usize) -> Option<Unreadable> {
    let (key, value) = property_parts(node, text)?;
    let words = text_of(inner(value), text).trim();
    let fits = match key {
        "transpose" | "t" => words.parse().is_ok_and(|n| TRANSPOSE.contains(&n)),
        "octave" => words.parse().is_ok_and(|n| OCTAVE.contains(&n)),
        _ => true,
    };
    (!fits).then(|| Unreadable {
        span: span_of(value, base),
        problem: format!("{key}={} is no number that can be used", shown(words)),
        expected: if key == "octave" {
            "octaves, such as octave=-1".to_owned()
        } else {
            "semitones from written to sounding pitch, such as transpose=-7 for a horn in F"
                .to_owned()
        },
        // The horn's name says its transposition; nothing else says its octave.
        lost: if key == "octave" {
            Lost::Notes
        } else {
            Lost::NoNotes
        },
        part: None,
    })
}

/// A directive or instruction that should say how far accidentals reach, and does not.
fn reach(node: Node<'_>, text: &str, base: usize) -> Option<Unreadable> {
    let words = setting(node, PROPAGATION, text)?;
    let place = node.child_by_field_name("value").unwrap_or(node);
    Propagation::of(words).is_none().then(|| Unreadable {
        span: span_of(place, base),
        problem: format!("`{}` does not say how far accidentals reach", shown(words)),
        expected: format!("not, octave or pitch, as in I:{PROPAGATION} octave"),
        lost: Lost::Notes,
        part: None,
    })
}

/// A field whose parts are all known but which says nothing usable.
fn meaning(node: Node<'_>, text: &str, base: usize) -> Option<Unreadable> {
    match node.kind() {
        "directive" | "instruction_field" => return reach(node, text, base),
        "macro_field" => {
            return Some(Unreadable {
                span: span_of(node, base),
                problem: "m: changes the music before it is read, which is not followed here"
                    .to_owned(),
                expected: "the notes themselves where the sign stands".to_owned(),
                lost: Lost::Notes,
                part: None,
            });
        }
        "symbol_field" if text_of(node, text).contains(['!', '"']) => {
            return Some(Unreadable {
                span: span_of(node, base),
                problem: "the signs of s: are not put to their notes here".to_owned(),
                expected: "each sign before its note, as in !+!c".to_owned(),
                lost: Lost::NoNotes,
                part: None,
            });
        }
        "field_continuation" => return continuation(node, text, base),
        "voice_field" if node.child_by_field_name("voice").is_none() => {
            return Some(Unreadable {
                span: span_of(node, base),
                problem: "V: names no voice".to_owned(),
                expected: VOICE.to_owned(),
                lost: Lost::Notes,
                part: None,
            });
        }
        _ => {}
    }
    let (fits, expected) = match node.kind() {
        "meter_field" => (
            rhythm::meter(node, text).is_some(),
            "a metre such as 4/4, 6/8, C, C| or none",
        ),
        "tempo_field" => (
            tempo::is_believed(node, text),
            "a tempo that can be played, such as \"Andante\" 1/4=84",
        ),
        "user_symbol_field" => (
            field_text(node, "value", text).is_none_or(|meaning| meaning.len() <= LONGEST_MEANING),
            "a sign or a few words, as in U: p = \"^solo\"",
        ),
        "unit_length_field" => (
            rhythm::unit(node, text).is_some() || node.named_child_count() <= 1,
            "a note length such as 1/8",
        ),
        "key_field" => {
            let word = {
                let mut cursor = node.walk();
                node.children(&mut cursor)
                    .find(|child| child.kind() == "property_word")
            };
            let unknown = node.child_by_field_name("tonic").is_none() && word.is_some();
            (
                !unknown,
                "a key such as none, Bb or F#m, then clef=, transpose= and the like",
            )
        }
        "unknown_field" => (false, "a field that ABC 2.1 knows, or % before a comment"),
        _ => (true, ""),
    };
    if fits {
        return None;
    }
    let letter = field_letter(node, text).unwrap_or('?');
    let said = field_text(node, "name", text).map_or(0, str::len);
    let words = text_of(node, text).get(said..).unwrap_or_default();
    Some(Unreadable {
        span: span_of(node, base),
        problem: if node.kind() == "unknown_field" {
            format!("there is no field {letter}:")
        } else {
            format!("`{}` says nothing in {letter}:", shown(words))
        },
        expected: expected.to_owned(),
        lost: match node.kind() {
            "unit_length_field" | "key_field" => Lost::Notes,
            _ => Lost::NoNotes,
        },
        part: None,
    })
}

/// A `+:` line that goes on with a field of more than words.
fn continuation(node: Node<'_>, text: &str, base: usize) -> Option<Unreadable> {
    let mut before = node.prev_named_sibling();
    while let Some(skipped) = before.filter(|before| {
        matches!(
            before.kind(),
            "comment" | "directive" | "field_continuation"
        )
    }) {
        before = skipped.prev_named_sibling();
    }
    let in_body = node
        .parent()
        .is_some_and(|parent| parent.kind() == "tune_body");
    let letter = match before.map(|before| before.kind()) {
        Some("key_field") => 'K',
        Some("voice_field") => 'V',
        Some("tempo_field") => 'Q',
        // A body begins right after the K: of its header.
        None if in_body => 'K',
        _ => return None,
    };
    Some(Unreadable {
        span: span_of(node, base),
        problem: format!(
            "`{}` is not read as part of {letter}:",
            shown(text_of(node, text))
        ),
        expected: format!("all of {letter}: on one line"),
        lost: if letter == 'K' {
            Lost::Notes
        } else {
            Lost::NoNotes
        },
        part: None,
    })
}

/// Every place below a node that the grammar could not take in.
pub(super) fn errors(node: Node<'_>, text: &str, base: usize, slips: &mut Vec<Unreadable>) {
    if node.is_missing() {
        let span = span_of(node, base);
        slips.push(Unreadable {
            span,
            problem: format!("something is missing: a {}", node.kind().replace('_', " ")),
            expected: format!("a {} here", node.kind().replace('_', " ")),
            lost: Lost::Notes,
            part: None,
        });
    } else if node.is_error() {
        slips.push(unreadable(
            node,
            text,
            base,
            "music, a field, or % before a comment",
            Lost::Notes,
        ));
    } else if node.has_error() {
        let mut cursor = node.walk();
        for child in node.children(&mut cursor) {
            errors(child, text, base, slips);
        }
    }
}

/// A stray piece of text among music.
pub(super) fn in_music(node: Node<'_>, text: &str, base: usize) -> Unreadable {
    let words = text_of(node, text);
    let (problem, expected) = match words.trim_start().chars().next() {
        Some('"') => (
            "this quote is not closed on its line".to_owned(),
            "a second \" after the words, as in \"^con sord.\"".to_owned(),
        ),
        Some('[') => (
            "this bracket is not closed on its line".to_owned(),
            "a chord such as [Ceg], or a field such as [K:none]".to_owned(),
        ),
        Some('{') => (
            "these grace notes are not closed on their line".to_owned(),
            "a } after the grace notes, as in {fg}".to_owned(),
        ),
        Some('!') => (
            "this sign has no second ! after its name".to_owned(),
            "a name between two !, as in !f! or !+!".to_owned(),
        ),
        Some('^' | '_' | '=') => (
            format!("the accidental `{}` stands before no note", shown(words)),
            "a note letter right after it, as in ^f".to_owned(),
        ),
        Some('#' | '*' | ';' | '?' | '@') => (
            format!("`{}` means nothing in ABC 2.1", shown(words)),
            "notes, rests, bars, or words in quotes".to_owned(),
        ),
        _ => (
            format!("`{}` is no music", shown(words)),
            "notes, rests, bars, or words in quotes".to_owned(),
        ),
    };
    Unreadable {
        span: span_of(node, base),
        problem,
        expected,
        lost: lost_with(words),
        part: None,
    }
}

/// Whether notes may be lost with a stray piece of text among music: in what a quote has swallowed, or behind a bracket,
/// an accidental or a letter that means nothing.
fn lost_with(words: &str) -> Lost {
    let words = words.trim();
    let notes = match words.chars().next() {
        Some('"') => words
            .split_once(char::is_whitespace)
            .is_some_and(|(_, behind)| behind.contains(|c| matches!(c, 'a'..='g' | 'A'..='G'))),
        Some('[' | '{' | '!' | '^' | '_' | '=') => true,
        _ => words.contains(char::is_alphanumeric),
    };
    if notes { Lost::Notes } else { Lost::NoNotes }
}

/// Whether what stands between two `+` are notes: how chords were written before version 2 (ABC 2.1, section 12.1).
pub(super) fn is_old_chord(node: Node<'_>, text: &str) -> bool {
    let name = field_text(node, "name", text).unwrap_or_default();
    let dynamic = name.chars().all(|letter| letter == 'f');
    let note =
        |sign: char| matches!(sign, 'A'..='G' | 'a'..='g' | '0'..='9') || "^_=,'/".contains(sign);
    !dynamic && name.chars().all(note) && name.contains(|sign: char| sign.is_ascii_alphabetic())
}

/// A chord between two `+`.
pub(super) fn old_chord(node: Node<'_>, text: &str, base: usize) -> Unreadable {
    let notes = field_text(node, "name", text).unwrap_or_default();
    Unreadable {
        span: span_of(node, base),
        problem: format!("`+{}+` is a chord as it was written long ago", shown(notes)),
        expected: format!("the notes in brackets, as in [{}]", shown(notes)),
        lost: Lost::Notes,
        part: None,
    }
}

/// A tuplet, tie or broken rhythm with nothing to hold on to.
pub(super) fn loose(span: Span, what: &str, expected: &str, lost: Lost) -> Unreadable {
    Unreadable {
        span,
        problem: what.to_owned(),
        expected: expected.to_owned(),
        lost,
        part: None,
    }
}
