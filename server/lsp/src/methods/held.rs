//! What one mark holds for: the notes played so because of it, and the mark that ends it.

use reading::{HornPart, Technique};
use score::Span;

use crate::view::View;

/// A mark and all it holds for. Spans count from the document's start.
#[derive(Debug)]
pub(super) struct Held {
    /// The mark.
    pub(super) mark: Span,
    /// The notes it holds for, in the order of the text.
    pub(super) notes: Vec<Span>,
    /// The mark that takes it back, if one does.
    pub(super) ended_by: Option<Span>,
}

/// The mark a byte stands at, or the one in force at the note it stands at, with all it holds for.
pub(super) fn at(view: &View, byte: usize) -> Option<Held> {
    let (base, mark) = mark_at(view, byte)?;
    let mut notes: Vec<Span> = Vec::new();
    for (other, _, horn) in view.horns().filter(|(other, _, _)| *other == base) {
        let held = horn.notes.iter().filter(|note| {
            let technique = &note.technique;
            technique.hand_mark == Some(mark) || technique.mute_mark == Some(mark)
        });
        notes.extend(held.map(|note| note.span.shifted(other)));
    }
    let ended_by = view
        .horns()
        .filter(|(other, _, _)| *other == base)
        .find_map(|(_, _, horn)| {
            let mut later = horn.marks.iter();
            let ends = later.find(|later| {
                later.span != mark
                    && taken_back(&later.before, mark)
                    && changes(horn, later.span, mark)
            })?;
            Some(ends.span.shifted(base))
        });
    Some(Held {
        mark: mark.shifted(base),
        notes,
        ended_by,
    })
}

/// The mark that the one at a byte takes back; `None` where it takes back none. Spans count from the document's start.
pub(super) fn taken_back_at(view: &View, byte: usize) -> Option<Span> {
    view.horns().find_map(|(base, _, horn)| {
        let here = |span: Span| span.shifted(base).range().contains(&byte);
        let mark = horn.marks.iter().find(|mark| here(mark.span))?;
        let before = mark.before;
        let marks = [before.hand_mark, before.mute_mark, before.bell_mark];
        let ended = marks
            .into_iter()
            .flatten()
            .find(|ended| *ended != mark.span && changes(horn, mark.span, *ended))?;
        Some(ended.shifted(base))
    })
}

/// Whether a mark was in force.
fn taken_back(before: &Technique, mark: Span) -> bool {
    [before.hand_mark, before.mute_mark, before.bell_mark].contains(&Some(mark))
}

/// Whether after one mark another is no longer in force.
fn changes(horn: &HornPart, by: Span, mark: Span) -> bool {
    let after = horn
        .marks
        .iter()
        .find(|one| one.span == by)
        .and_then(|one| horn.notes.get(one.next_note?));
    after.is_some_and(|note| !taken_back(&note.technique, mark))
}

fn mark_at(view: &View, byte: usize) -> Option<(usize, Span)> {
    let marks = view.horns().find_map(|(base, _, horn)| {
        horn.marks
            .iter()
            .map(|mark| mark.span)
            .find(|span| span.shifted(base).range().contains(&byte))
            .map(|span| (base, span))
    });
    marks.or_else(|| {
        let (base, _, _, note) = view.note_at(byte)?;
        Some((base, note.technique.mark()?))
    })
}
