//! What a key signature costs the player.

use reading::HornPart;
use score::Span;
use theory::Key;

/// The words for a signature.
pub(super) fn words(key: Key, span: Span, horn: &HornPart) -> String {
    let from = horn
        .keys
        .iter()
        .find(|(_, _, other)| *other == span)
        .map(|(onset, _, _)| *onset);
    let until = horn
        .keys
        .iter()
        .map(|(onset, _, _)| *onset)
        .find(|onset| from.is_some_and(|from| *onset > from));
    let carried = horn
        .notes
        .iter()
        .filter(|note| from.is_none_or(|from| note.onset >= from))
        .filter(|note| until.is_none_or(|until| note.onset < until))
        .filter(|note| {
            let sign = key.alteration(note.written.0.letter);
            sign.0 != 0 && sign == note.written.0.alteration
        })
        .count();
    format!(
        "**{key}**: the player has to carry the signature in the head for {carried} notes here. Horn players expect no \
         key signature and every accidental at its note."
    )
}
