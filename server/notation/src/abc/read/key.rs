//! `K:` fields: the signature they say, and the properties that `K:` and `V:` share.

use theory::{Alteration, Key, Letter, Mode};
use tree_sitter::{Node, Tree};

use score::{Clef, ClefKind, Span};

use super::rhythm;
use super::syntax::{field_text, text_of};
use crate::staff_sign::StaffSign;

/// What a `K:` field says of the signature; `None` when it says nothing of it, only of clef or transposition.
pub(super) fn signature(node: Node<'_>, text: &str) -> Option<Key> {
    let mut key = None;
    let mut explicit = false;
    let mut changes = Vec::new();
    let mut others = false;
    let mut cursor = node.walk();
    for child in node.children(&mut cursor) {
        match child.kind() {
            "key_none" => key = Some(Key::NONE),
            "key_pipes" => {
                // HP has no signature; Hp the pipers' F# and C#.
                key = Some(if text_of(child, text) == "Hp" {
                    Key::from_fifths(2)
                } else {
                    Key::NONE
                });
            }
            "key_tonic" => {
                key = tonic(text_of(child, text), field_text(node, "mode", text));
            }
            "key_explicit" => explicit = true,
            "key_accidental" => changes.extend(accidental(child, text)),
            "property" | "clef" | "property_word" => others = true,
            _ => {}
        }
    }
    let base = match key {
        _ if explicit => Key::NONE,
        Some(key) => key,
        // Bare accidentals change the plain signature; a bare clef leaves the signature alone.
        None if !changes.is_empty() || !others => Key::NONE,
        None => return None,
    };
    Some(changes.into_iter().fold(base, |key, (letter, sign)| {
        key.with(letter, Alteration(sign))
    }))
}

fn tonic(tonic: &str, mode: Option<&str>) -> Option<Key> {
    let mut chars = tonic.chars();
    let letter = Letter::from_char(chars.next()?)?;
    let sign = match chars.next() {
        Some('#' | '♯') => 1,
        Some('b' | '♭') => -1,
        _ => 0,
    };
    Some(Key::of(
        letter,
        Alteration(sign),
        mode.map_or(Mode::Major, mode_of),
    ))
}

/// A mode by its first three letters in any case (ABC 2.1, section 3.1.14).
fn mode_of(word: &str) -> Mode {
    let head: String = word
        .trim()
        .chars()
        .take(3)
        .collect::<String>()
        .to_lowercase();
    match head.as_str() {
        "mix" => Mode::Mixolydian,
        "dor" => Mode::Dorian,
        "phr" => Mode::Phrygian,
        "lyd" => Mode::Lydian,
        "loc" => Mode::Locrian,
        "aeo" | "min" | "m" => Mode::Minor,
        _ => Mode::Major,
    }
}

fn accidental(node: Node<'_>, text: &str) -> Option<(Letter, i8)> {
    let sign = sign(field_text(node, "accidental", text)?);
    let letter = field_text(node, "pitch", text)?.chars().next()?;
    Some((Letter::from_char(letter)?, sign))
}

/// An accidental's semitones.
pub(super) fn sign(accidental: &str) -> i8 {
    accidental
        .chars()
        .map(|sign| match sign {
            '^' => 1,
            '_' => -1,
            _ => 0,
        })
        .sum()
}

/// Semitones that a part is transposed by; no instrument lies further from its page.
pub(super) const TRANSPOSE: std::ops::RangeInclusive<i32> = -96..=96;
/// Octaves that a voice's code is raised by.
pub(super) const OCTAVE: std::ops::RangeInclusive<i8> = -9..=9;

/// The properties that concern pitch and name, of a `K:` or `V:` field.
#[derive(Debug, Clone, Default)]
pub(super) struct Properties {
    /// `transpose=`: semitones, and where it stands in the document.
    pub(super) transpose: Option<(i32, Span)>,
    /// `octave=`.
    pub(super) octave: Option<i8>,
    /// The clef, by name alone or after `clef=`.
    pub(super) clef: Option<Clef>,
    /// `name=`, and where its words stand in the document.
    pub(super) name: Option<(String, Span)>,
    /// `subname=`, in the same way.
    pub(super) subname: Option<(String, Span)>,
}

impl Properties {
    /// With all places counted from `base`.
    pub(super) fn relative_to(self, base: usize) -> Self {
        let words =
            |said: Option<(String, Span)>| said.map(|(text, span)| (text, span.relative_to(base)));
        Self {
            transpose: self
                .transpose
                .map(|(semitones, span)| (semitones, span.relative_to(base))),
            name: words(self.name),
            subname: words(self.subname),
            ..self
        }
    }
}

/// Reads the properties of a field. Values that are no numbers are told apart in `slips`.
pub(super) fn properties(node: Node<'_>, text: &str) -> Properties {
    let mut found = Properties::default();
    let mut cursor = node.walk();
    for clef in node
        .children(&mut cursor)
        .filter(|child| child.kind() == "clef")
    {
        found.clef = clef_of(text_of(clef, text)).or(found.clef);
    }
    for property in node
        .children(&mut cursor)
        .filter(|child| child.kind() == "property")
    {
        let Some((key, value)) = property_parts(property, text) else {
            continue;
        };
        let words = inner(value);
        match key {
            "transpose" | "t" => {
                if let Ok(semitones) = text_of(words, text).trim().parse::<i32>()
                    && TRANSPOSE.contains(&semitones)
                {
                    found.transpose = Some((semitones, Span::from(property.byte_range())));
                }
            }
            "octave" => {
                let octave = text_of(words, text).trim().parse().ok();
                found.octave = octave
                    .filter(|octave| OCTAVE.contains(octave))
                    .or(found.octave);
            }
            "clef" => found.clef = clef_of(text_of(words, text)).or(found.clef),
            "name" | "nm" => found.name = Some(quoted(words, text)),
            "subname" | "sname" | "snm" => found.subname = Some(quoted(words, text)),
            // A clef and `middle=` say where notes stand on the staff, not which they are. The 8 of `clef=treble-8`
            // asks the player for the octave (section 4.6); this project counts only `octave=` and `transpose=`, which
            // say it in numbers.
            _ => {}
        }
    }
    found
}

/// The words of a value, and where they stand; those of an empty pair of quotes would stand between them.
fn quoted(words: Node<'_>, text: &str) -> (String, Span) {
    let span = Span::from(words.byte_range());
    if words.kind() == "quoted_value" {
        (String::new(), Span::new(span.start + 1, span.start + 1))
    } else {
        (super::escapes::resolved(text_of(words, text)), span)
    }
}

/// The clef or metre of a text that is said at a byte, and where it stands.
pub(crate) fn staff_sign(text: &str, tree: &Tree, byte: usize) -> Option<(Span, StaffSign)> {
    let mut node = tree.root_node().descendant_for_byte_range(byte, byte + 1);
    while let Some(here) = node {
        let sign = match here.kind() {
            "clef" => clef_of(text_of(here, text)).map(StaffSign::Clef),
            "property" => property_parts(here, text)
                .filter(|(key, _)| *key == "clef")
                .and_then(|(_, value)| clef_of(text_of(inner(value), text)))
                .map(StaffSign::Clef),
            "meter_field" => rhythm::meter(here, text).map(StaffSign::Meter),
            _ => None,
        };
        if let Some(sign) = sign {
            return Some((Span::from(here.byte_range()), sign));
        }
        node = here.parent();
    }
    None
}

/// A clef by its name: `bass`, `treble-8`, `clef=tenor`. Unknown names count as treble (section 4.6).
fn clef_of(name: &str) -> Option<Clef> {
    let name = name.trim().trim_start_matches("clef=");
    let kinds = [
        ("treble", ClefKind::Treble),
        ("bass3", ClefKind::Other),
        ("bass", ClefKind::Bass),
        ("alto1", ClefKind::Other),
        ("alto2", ClefKind::Other),
        ("alto", ClefKind::Alto),
        ("tenor", ClefKind::Tenor),
        ("perc", ClefKind::Other),
        ("none", ClefKind::Other),
    ];
    let (_, kind) = kinds
        .into_iter()
        .find(|(known, _)| name.starts_with(known))?;
    let octaves = if name.ends_with("+8") {
        1
    } else if name.ends_with("-8") {
        -1
    } else {
        0
    };
    Some(Clef { kind, octaves })
}

/// Key and value of a property.
pub(super) fn property_parts<'t, 'n>(
    property: Node<'n>,
    text: &'t str,
) -> Option<(&'t str, Node<'n>)> {
    let key = field_text(property, "key", text)?;
    Some((key, property.child_by_field_name("value")?))
}

/// A value without its quotes, where it has any words.
pub(super) fn inner(value: Node<'_>) -> Node<'_> {
    let mut cursor = value.walk();
    value
        .children(&mut cursor)
        .find(|child| child.kind() == "text")
        .unwrap_or(value)
}
