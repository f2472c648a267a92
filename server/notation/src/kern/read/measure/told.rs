//! What a measure's records say besides notes: references, comments, interpretations.

use score::{
    Directive, EventKind, Lost, Order, Span, TempoMark, Text, Unreadable, parse_directive,
};

use super::super::super::grid::{Column, Record, SpineKind};
use super::super::super::interpretation::{self, Moved};
use super::super::super::layout;
use super::super::slips;
use super::{Reader, State};

impl Reader<'_> {
    pub(super) fn reference(&mut self, record: &Record<'_>) {
        let Some((key, value)) = record.text.trim_start_matches('!').split_once(':') else {
            return;
        };
        let text = value.trim();
        let start = record.span().end - value.trim_start().len();
        let found = Text {
            text: text.to_owned(),
            span: Span::new(start, start + text.len()),
        };
        let place = match key {
            "OTL" => &mut self.piece.title,
            "COM" => &mut self.piece.composer,
            "OMD" if !self.state.began && self.tempo_words.is_none() => {
                let mark = TempoMark {
                    words: Some(found.text),
                    tempo: None,
                };
                self.tempo_words = Some((mark, found.span));
                return;
            }
            _ => return,
        };
        if place.is_none() && !text.is_empty() {
            *place = Some(found);
        }
    }

    /// An instruction to this tool in a comment, which always has its line to itself.
    pub(super) fn directive(&mut self, span: Span, comment: &str) {
        let words = comment.trim_start_matches('!');
        if let Some((place, kind)) = parse_directive(words) {
            self.piece.directives.push(Directive {
                span: place.shifted(span.end - words.len()),
                own_line: true,
                kind,
            });
        }
    }

    pub(super) fn comments(&mut self, record: &Record<'_>) {
        for (column, span, cell) in record.placed() {
            if cell == "!" {
                continue;
            }
            if let Some((words, place)) = layout::words(cell) {
                let mark = layout::mark(words, place.shifted(span.start));
                if self.kind(column) != SpineKind::Other
                    && let Some(part) = self.part(column)
                {
                    part.push_pending(span, EventKind::Mark(mark));
                }
            } else if let Some(place) = layout::page_break(cell, span) {
                if let Some(part) = self.part(column) {
                    part.push_pending(place, EventKind::PageBreak);
                }
            } else if !cell.starts_with("!LO:") {
                self.directive(span, cell);
            }
        }
    }

    pub(super) fn interpretations(&mut self, record: &Record<'_>) {
        let mut joined: Option<Column> = None;
        for (column, span, cell) in record.placed() {
            if cell == "*v" {
                if let Some(first) = joined.filter(|first| first.spine == column.spine) {
                    let ends = &mut self.state.ends;
                    let end = ends.get(&column.branch).max(ends.get(&first.branch));
                    if let Some(end) = end.copied() {
                        ends.insert(first.branch, end);
                    }
                } else {
                    joined = Some(column);
                }
                continue;
            }
            joined = None;
            if cell != "*" && self.kind(column) == SpineKind::Kern {
                self.interpretation(column, span, cell);
            }
        }
    }

    fn interpretation(&mut self, column: Column, span: Span, cell: &str) {
        let State {
            parts,
            part_of,
            began,
            ..
        } = &mut self.state;
        let Some(part) = part_of[column.spine].and_then(|part| parts.get_mut(part)) else {
            return;
        };
        let mut slip = None;
        if let Some(clef) = interpretation::clef(cell) {
            part.set_clef(clef, span);
        } else if cell.starts_with("*k[") {
            match interpretation::key(cell) {
                Some(key) => part.key(key, self.spots.note(span)),
                None => {
                    slip = Some((
                        format!("`{}` is no key signature", slips::shown(cell)),
                        "letters with `#` or `-`, as in `*k[b-e-]`, or `*k[]` for none",
                    ));
                }
            }
        } else if let Some(tempo) = interpretation::tempo(cell) {
            if !*began && self.piece.tempo.is_none() {
                self.piece.tempo = Some((tempo.clone(), span));
            }
            part.push_pending(span, EventKind::Tempo(tempo));
        } else if let Some(meter) = interpretation::meter(cell) {
            part.set_meter(meter, span);
        } else if let Some((moved, interval)) = interpretation::transposition(cell) {
            slip = slips::transposition(cell, interval);
            if let Some(interval) = interval {
                let (said, spot) = (part.said(), self.spots.note(span));
                match moved {
                    Moved::Page => said.page = Some((interval, spot)),
                    Moved::Data => said.data = Some((interval, spot)),
                }
            }
        } else if let Some(label) = cell.strip_prefix("*>") {
            // `*>[A,B]` lists the sections as they are played, `*>norep[A,B]` as in another performance.
            if let Some(list) = label.strip_prefix('[') {
                let list = list.strip_suffix(']').unwrap_or_default();
                let order = || Order::of_list(list, span);
                self.piece.order.get_or_insert_with(order);
            } else if !label.contains('[') {
                part.push_pending(span, EventKind::Section(label.to_owned()));
            }
        } else if let Some((problem, expected)) = interpretation::misread(cell) {
            slip = Some((format!("`{}` is {problem}", slips::shown(cell)), expected));
        } else {
            part.name(cell, span, self.spots);
        }
        if let Some((problem, expected)) = slip {
            self.piece.unreadable.push(Unreadable {
                part: part_of[column.spine],
                ..slips::slip(span, problem, expected, Lost::NoNotes)
            });
        }
    }
}
