//! Words in a rest of many bars, which is divided where they stand.

use score::{EventKind, NewCue, NewMark, PartRef, Span};

use super::marks::mark_text;
use super::{Source, cannot, replace};
use crate::edit::{CannotWrite, TextEdit};

/// `Z24` becomes `Z22 | "^Oboe (G)" Z2`.
pub(super) fn write(
    source: &Source<'_>,
    part: PartRef,
    cue: &NewCue,
) -> Result<Vec<TextEdit>, CannotWrite> {
    if !cue.notes.is_empty() {
        return cannot("ABC has no small notes for what another part plays");
    }
    let found = source.part(part)?;
    let bars = &found.part.bars;
    let wanted = bars.partition_point(|bar| bar.onset < cue.from);
    let begins = bars.get(wanted).is_some_and(|bar| bar.onset == cue.from);
    let Some(rested) = (0..=wanted)
        .rev()
        .find(|bar| bars.get(*bar).is_some_and(|bar| !bar.runs.is_empty()))
        .filter(|_| begins)
    else {
        return cannot("no bar begins there");
    };
    let rest = bars[rested]
        .events(rested)
        .find(|placed| matches!(&placed.event.kind, EventKind::Rest(rest) if rest.whole_bar));
    let span = rest.map(|rest| rest.span().shifted(found.placed.base));
    let node = span.and_then(|span| source.around(span, &["measure_rest"]));
    let Some(node) = node else {
        return cannot("there is no rest of many bars there");
    };
    let text = source.text_of(node);
    let (sign, count) = text.split_at(1);
    let count: usize = count.parse().unwrap_or(1);
    let before = wanted - rested;
    if before == 0 || before >= count {
        return cannot("the rest does not go on there");
    }
    let at = node.start_byte();
    let words = mark_text(source, at, &NewMark::Words(cue.words.clone()), '^');
    let bars = |count: usize| match count {
        1 => sign.to_owned(),
        _ => format!("{sign}{count}"),
    };
    let divided = format!("{} | {words} {}", bars(before), bars(count - before));
    Ok(vec![replace(Span::from(node.byte_range()), divided)])
}
