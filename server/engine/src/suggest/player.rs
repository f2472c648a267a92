//! The horn player for whom something is written at a place of the text, and how the horn is held there.

use std::cmp::Reverse;

use horn::{Instruction, Wording};
use notation::Format;
use reading::{Hand, HornPart, Mute, PieceReading, PlayedNote, Technique, Tone};

use crate::Judged;

/// A player at a place.
#[derive(Debug, Clone, Copy)]
pub(super) struct Player<'a> {
    /// Where the piece begins in the text.
    pub(super) base: usize,
    /// The piece.
    pub(super) reading: &'a PieceReading,
    /// The part.
    pub(super) horn: &'a HornPart,
    /// The last note that begins before the place.
    pub(super) last: Option<&'a PlayedNote>,
    /// How the horn is held after that note and all marks before the place.
    pub(super) technique: Technique,
}

/// The player at a byte of the text; `None` in a text without horn parts.
pub(super) fn at(judged: &Judged, byte: usize) -> Option<Player<'_>> {
    let (base, reading, horn) = part_at(judged, byte)?;
    let place = byte.checked_sub(base)?;
    let before = horn.notes.iter().filter(|note| note.span.start < place);
    let last = before.max_by_key(|note| note.span.start);
    let mut technique = last.map(|note| *note.technique).unwrap_or_default();
    let from = last.map_or(0, |note| note.span.start);
    let since = horn
        .marks
        .iter()
        .filter(|mark| from <= mark.span.start && mark.span.end <= place);
    for mark in since {
        obey(mark.said.instruction(), &mut technique);
    }
    Some(Player {
        base,
        reading,
        horn,
        last,
        technique,
    })
}

/// What an instruction changes in how the horn is held.
const fn obey(instruction: &Instruction, technique: &mut Technique) {
    match Wording::of(instruction) {
        Some(Wording::MuteIn) => technique.mute = Mute::Usual,
        Some(Wording::MuteOut) => technique.mute = Mute::Out,
        Some(Wording::Stopped) => technique.hand = Hand::Stopped,
        Some(Wording::HalfStopped) => technique.hand = Hand::HalfStopped,
        Some(Wording::Open) => {
            technique.hand = Hand::Open;
            technique.tone = Tone::Usual;
        }
        Some(Wording::BellsUp) => technique.bell_up = true,
        Some(Wording::BellsDown) => technique.bell_up = false,
        Some(Wording::Brassy) => technique.tone = Tone::Brassy,
        None => {}
    }
}

/// The part that a byte stands in: in Humdrum that of its column, else the one whose music is nearest on its line, or
/// before it.
fn part_at(judged: &Judged, byte: usize) -> Option<(usize, &PieceReading, &HornPart)> {
    let horns = judged.pieces().flat_map(|(base, reading)| {
        let horns = reading.horns.iter();
        horns.map(move |horn| (base, reading, horn))
    });
    let rope = judged.document().rope();
    let line = rope.line_to_byte(rope.byte_to_line(byte));
    if judged.document().format() == Format::Kern {
        let column = |byte: usize| {
            let line = rope.line_to_byte(rope.byte_to_line(byte));
            let cells = rope.byte_slice(line..byte);
            cells.chars().filter(|sign| *sign == '\t').count()
        };
        let here = column(byte);
        let at = horns.filter(|(base, _, horn)| {
            let head = base + horn.head.start;
            head <= byte && column(head) == here
        });
        return at.last();
    }
    let next_line = (rope.byte_to_line(byte) + 1).min(rope.len_lines());
    let on_line = line..rope.line_to_byte(next_line).max(byte);
    horns.max_by_key(|(base, _, horn)| {
        let starts = horn.notes.iter().map(|note| base + note.span.start);
        let here = starts.clone().filter(|start| on_line.contains(start));
        let nearest = here.map(|start| Reverse(start.abs_diff(byte))).max();
        let heads = starts.chain([base + horn.head.start]);
        (nearest, heads.filter(|start| *start <= byte).max())
    })
}
