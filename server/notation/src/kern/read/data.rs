//! A `**kern` cell of a data record as notes, rests and the signs on them.

use score::bounds::{MOST_IN_CHORD, MOST_LAYERS, OCTAVES};
use score::{AlterationFrom, EventKind, Lost, Note, Rest, Span, Unreadable};
use theory::{Alteration, Pitch, Quarters, SoundingPitch, WrittenPitch};

use super::super::grid::Column;
use super::super::token::{self, Token, tokens};
use super::part::PartBuilder;
use super::{signs, slips};

/// Where a cell stands.
#[derive(Clone, Copy)]
pub(super) struct Place {
    pub(super) column: Column,
    pub(super) span: Span,
    /// The branch's place among those of its spine.
    pub(super) layer: u8,
    /// Quarter notes from the start of the bar.
    pub(super) offset: Quarters,
}

/// Reads a cell into its part; gives back how long it lasts.
pub(super) fn read(
    cell: &str,
    place: Place,
    part: &mut PartBuilder,
    unreadable: &mut Vec<Unreadable>,
) -> Quarters {
    if place.layer >= MOST_LAYERS {
        unreadable.push(slips::slip(
            place.span,
            format!(
                "this is more than the {MOST_LAYERS} lines that a spine can have at the same time"
            ),
            "the spine's lines joined again, with `*v` under each",
            Lost::Notes,
        ));
        return Quarters::ZERO;
    }
    if let Some((at, _)) = tokens(cell).nth(MOST_IN_CHORD) {
        unreadable.push(slips::slip(
            Span::new(place.span.start + at, place.span.end),
            format!("this chord has more than {MOST_IN_CHORD} notes"),
            "as many notes as can be played at once, as in `4c 4e 4g`",
            Lost::Notes,
        ));
    }
    let read: Vec<(Span, &str, Token)> = tokens(cell)
        .take(MOST_IN_CHORD)
        .map(|(at, text)| {
            let start = place.span.start + at;
            let span = Span::new(start, start + text.len());
            (span, text, token::read(text))
        })
        .collect();
    let slurs = part.slurs.entry(place.column.branch).or_default();
    *slurs = (*slurs + read.iter().map(|(_, _, token)| token.slurs).sum::<i32>()).max(0);
    let slurred = *slurs > 0;
    let said = read.iter().find_map(|(_, _, token)| token.length);
    let mut lasts = Quarters::ZERO;
    let mut chord = false;
    for (span, text, token) in &read {
        if let Some((at, sign)) = signs::stray(text) {
            let at = span.start + at;
            unreadable.push(slips::slip(
                Span::new(at, at + sign.len_utf8()),
                format!("`{sign}` means nothing in a note"),
                "length, pitch and signs, as in `4c#;`",
                Lost::NoNotes,
            ));
        }
        if !token.believed {
            unreadable.push(slips::slip(
                *span,
                format!(
                    "the numbers or signs of `{}` are out of range for any note or rest",
                    slips::shown(text)
                ),
                format!(
                    "lengths as in `4.c`, at most a few signs, and octaves from {} to {}",
                    OCTAVES.start(),
                    OCTAVES.end()
                ),
                Lost::Notes,
            ));
        }
        // A chord's notes last as long as its first; what states no length takes none.
        let length = if token.grace {
            Quarters::ZERO
        } else {
            token.length.or(said).unwrap_or(Quarters::ZERO)
        };
        lasts = lasts.max(length);
        if token.rest {
            let fills = part.meter().is_some_and(|meter| meter.bar() == length);
            let rest = Rest {
                length,
                visible: !token.hidden,
                whole_bar: token.whole_bar || (place.offset.is_zero() && fills),
                layer: place.layer,
            };
            part.push(place.offset, *span, EventKind::Rest(rest));
            continue;
        }
        for (at, mark) in signs::marks(text) {
            part.push(place.offset, at.shifted(span.start), EventKind::Mark(mark));
        }
        let Some((pitch, pitch_span)) = token.pitch else {
            unreadable.push(slips::slip(
                *span,
                format!("`{}` is neither a note nor a rest", slips::shown(text)),
                "a letter for the pitch or `r` for a rest, as in `4c` or `4r`, or `.` to go on",
                Lost::Notes,
            ));
            continue;
        };
        let written = pitch.transposed(part.up());
        let note = Note {
            written: WrittenPitch(written),
            sounding: Some(SoundingPitch(pitch.transposed(part.heard()))),
            length,
            alteration_from: origin(part, written, token),
            pitch_span: pitch_span.shifted(span.start),
            tied_from: token.tied_from,
            tied_to: token.tied_to,
            grace: token.grace,
            chord,
            slurred_to_next: slurred,
            layer: place.layer,
        };
        part.push(place.offset, *span, EventKind::Note(note));
        chord = true;
    }
    lasts
}

/// Where the alteration of a note comes from on a page that prints what is needed.
fn origin(part: &mut PartBuilder, written: Pitch, token: &Token) -> AlterationFrom {
    let line = (written.letter, written.octave);
    let of_key = part.written_key.alteration(written.letter);
    let in_bar = part.accidentals.get(&line).copied();
    if token.tied_from && !token.sign_shown {
        return if written.alteration == of_key {
            key_or_nothing(of_key)
        } else {
            AlterationFrom::Tie
        };
    }
    if token.sign_shown || in_bar.unwrap_or(of_key) != written.alteration {
        part.accidentals.insert(line, written.alteration);
        return AlterationFrom::Accidental;
    }
    if in_bar.is_some() {
        AlterationFrom::Bar
    } else {
        key_or_nothing(of_key)
    }
}

fn key_or_nothing(of_key: Alteration) -> AlterationFrom {
    if of_key == Alteration::NATURAL {
        AlterationFrom::Nothing
    } else {
        AlterationFrom::Key
    }
}
