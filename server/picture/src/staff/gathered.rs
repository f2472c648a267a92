//! A bar while it is gathered: its columns so far, and what belongs to the next chord.

use std::collections::BTreeMap;

use score::{Note, Sign};
use theory::Quarters;

use super::{Chord, Column, Direction, Head, Sounding};
use crate::value::values;

/// A bar while it is gathered.
pub(super) struct Gathered<'a> {
    pub(super) columns: BTreeMap<Quarters, Column<'a>>,
    pub(super) directions: Vec<Direction<'a>>,
    /// Signs and small notes that belong to the next chord.
    pub(super) signs: Vec<&'a Sign>,
    pub(super) graces: Vec<Vec<Head>>,
    /// Where the chord that further heads join stands.
    pub(super) last: Option<(Quarters, u8)>,
}

impl<'a> Gathered<'a> {
    pub(super) fn chords_at(&mut self, offset: Quarters) -> &mut Vec<Chord<'a>> {
        &mut self.columns.entry(offset).or_default().chords
    }

    pub(super) fn rest(
        &mut self,
        offset: Quarters,
        length: Quarters,
        layer: u8,
        sounding: Sounding,
    ) {
        let whole = matches!(sounding, Sounding::Rest { whole_bar: true });
        let written = if whole { None } else { values(length) };
        let mut at = offset;
        let pieces = written.map_or_else(
            || vec![(None, length)],
            |values| {
                values
                    .into_iter()
                    .map(|value| (Some(value), value.length()))
                    .collect()
            },
        );
        for (value, length) in pieces {
            let chord = Chord {
                layer,
                sounding,
                heads: Vec::new(),
                value,
                length,
                graces: std::mem::take(&mut self.graces),
                signs: std::mem::take(&mut self.signs),
                breath: false,
                slurred: false,
            };
            self.chords_at(at).push(chord);
            at += length;
        }
        self.last = None;
    }

    pub(super) fn note(&mut self, offset: Quarters, note: &Note, head: Head, breath: bool) {
        let layer = note.layer;
        let joins = note.chord && self.last == Some((offset, layer));
        let written = values(note.length);
        let pieces = written.map_or_else(
            || vec![(None, note.length)],
            |values| {
                values
                    .into_iter()
                    .map(|value| (Some(value), value.length()))
                    .collect()
            },
        );
        let count = pieces.len();
        let mut at = offset;
        for (place, (value, length)) in pieces.into_iter().enumerate() {
            let head = Head {
                tied_from: head.tied_from || place > 0,
                tied_to: head.tied_to || place + 1 < count,
                first: place == 0,
                ..head
            };
            let chords = self.columns.entry(at).or_default();
            let same = chords
                .chords
                .iter_mut()
                .rfind(|chord| chord.layer == layer && chord.length == length && !chord.is_rest());
            if let Some(chord) = same.filter(|_| joins) {
                let before = chord
                    .heads
                    .partition_point(|other| other.pitch.0 <= head.pitch.0);
                chord.heads.insert(before, head);
                // What is marked at several of its notes is marked once.
                let more = std::mem::take(&mut self.signs).into_iter();
                let more: Vec<_> = more.filter(|sign| !chord.signs.contains(sign)).collect();
                chord.signs.extend(more);
                chord.slurred |= note.slurred_to_next && place + 1 == count;
            } else {
                chords.chords.push(Chord {
                    layer,
                    sounding: Sounding::Notes,
                    heads: vec![head],
                    value,
                    length,
                    graces: std::mem::take(&mut self.graces),
                    signs: std::mem::take(&mut self.signs),
                    breath: breath && place + 1 == count,
                    slurred: note.slurred_to_next && place + 1 == count,
                });
            }
            at += length;
        }
        self.last = Some((offset, layer));
    }

    /// Small notes at the end of a bar stand before its barline.
    pub(super) fn end(&mut self, length: Quarters) {
        if !self.graces.is_empty() {
            self.rest(length, Quarters::ZERO, 0, Sounding::Nothing);
        }
    }
}
