//! Fields and directives that set what holds for the music after them.

use std::collections::BTreeMap;

use score::{Span, TempoMark, Text};
use theory::{Meter, Quarters};
use tree_sitter::Node;

use super::escapes::resolved;
use super::slips::LONGEST_MEANING;
use super::state::Propagation;
use super::syntax::{field_letter, field_text, span_of};
use super::{rhythm, tempo};

/// What is set before a tune's notes: by the file header for all tunes, then by the tune's own.
#[derive(Debug, Clone, Default, PartialEq)]
pub(super) struct Defaults {
    pub(super) meter: Option<Option<Meter>>,
    pub(super) unit: Option<Quarters>,
    pub(super) tempo: Option<TempoMark>,
    pub(super) propagation: Propagation,
    pub(super) symbols: BTreeMap<char, String>,
    pub(super) composer: Option<Text>,
    /// Whether a lone `!` ends a line of print (`I:linebreak !`).
    pub(super) bang_breaks: bool,
}

impl Defaults {
    /// Takes in what a field or directive sets.
    pub(super) fn take(&mut self, node: Node<'_>, text: &str) {
        match node.kind() {
            "meter_field" => self.meter = rhythm::meter(node, text).or(self.meter),
            "unit_length_field" => self.unit = rhythm::unit(node, text).or(self.unit),
            "tempo_field" => {
                self.tempo = tempo::mark(node, text, self.unit()).or(self.tempo.take());
            }
            "user_symbol_field" => {
                if let Some((letter, meaning)) = user_symbol(node, text) {
                    self.symbols.insert(letter, meaning);
                }
            }
            "directive" | "instruction_field" => {
                if let Some(propagation) = propagation(node, text) {
                    self.propagation = propagation;
                }
                if let Some(signs) = setting(node, "linebreak", text) {
                    self.bang_breaks = signs.contains('!');
                }
            }
            "text_field" if field_letter(node, text) == Some('C') => {
                // It stands outside the tunes that take it over, so it has no place in them.
                let composer = field_words(node, text, 0).map(|words| Text {
                    span: Span::default(),
                    ..words
                });
                self.composer = self.composer.take().or(composer);
            }
            _ => {}
        }
    }

    /// The unit note length in quarter notes.
    pub(super) fn unit(&self) -> Quarters {
        self.unit
            .unwrap_or_else(|| rhythm::default_unit(self.meter.flatten()))
    }
}

/// `U: letter = meaning`.
pub(super) fn user_symbol(node: Node<'_>, text: &str) -> Option<(char, String)> {
    let letter = field_text(node, "letter", text)?.chars().next()?;
    let meaning = field_text(node, "value", text).unwrap_or_default();
    (meaning.len() <= LONGEST_MEANING).then(|| (letter, meaning.to_owned()))
}

/// How far accidentals reach, if a directive or instruction says it.
pub(super) fn propagation(node: Node<'_>, text: &str) -> Option<Propagation> {
    setting(node, PROPAGATION, text).and_then(Propagation::of)
}

/// The name of the setting that says how far accidentals reach.
pub(super) const PROPAGATION: &str = "propagate-accidentals";

/// What a directive (`%%name value`) or instruction (`I:name value`) of this name sets.
pub(super) fn setting<'t>(node: Node<'_>, name: &str, text: &'t str) -> Option<&'t str> {
    let field = match node.kind() {
        "directive" => "name",
        "instruction_field" => "instruction",
        _ => return None,
    };
    (field_text(node, field, text) == Some(name))
        .then(|| field_text(node, "value", text).unwrap_or_default())
}

/// The words of a field, placed from `base`.
pub(super) fn field_words(node: Node<'_>, text: &str, base: usize) -> Option<Text> {
    let words = node.child_by_field_name("text")?;
    let plain = text.get(words.byte_range())?;
    Some(Text {
        text: resolved(plain.trim()),
        span: span_of(words, base),
    })
}
