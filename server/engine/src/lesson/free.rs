//! Where an answer to a lesson may change the music: what its announced faults and their fixes name.

use std::collections::HashSet;

use rules::{Expected, Finding, FindingPlace, Places};
use score::{Intent, Span};

use super::music::PieceMusic;

/// A bar by the places of its piece, its part and itself.
type At = (usize, usize, usize);

/// What may change.
#[derive(Debug, Default, Clone)]
pub(super) struct Free {
    /// Bars that may be written anew.
    bars: HashSet<At>,
    /// Bars in which notes may become shorter or fall silent: those between the first note that a fault points to and
    /// where it stands.
    thinner: HashSet<At>,
    /// Bars whose marks for hand, mute, bell, tone and players may change: the notes that such a mark reaches may be
    /// played otherwise.
    marks: HashSet<At>,
    /// Parts, by piece and place, that may be for other players.
    heads: HashSet<(usize, usize)>,
}

impl Free {
    /// Whether a bar may be written anew.
    pub(super) fn bar(&self, piece: usize, part: usize, bar: usize) -> bool {
        self.bars.contains(&(piece, part, bar))
    }

    /// Whether a bar's notes may become shorter or fall silent.
    pub(super) fn thinner(&self, piece: usize, part: usize, bar: usize) -> bool {
        self.thinner.contains(&(piece, part, bar))
    }

    /// Whether a bar's marks may change.
    pub(super) fn marks(&self, piece: usize, part: usize, bar: usize) -> bool {
        self.marks.contains(&(piece, part, bar)) || self.bar(piece, part, bar)
    }

    /// Whether a part may be for other players.
    pub(super) fn head(&self, piece: usize, part: usize) -> bool {
        self.heads.contains(&(piece, part))
    }

    /// Frees what a fault names that is announced: its bars, in the parts it names or in all.
    pub(super) fn announce(
        &mut self,
        expected: &Expected<'_>,
        piece: usize,
        music: &PieceMusic<'_>,
        places: &Places<'_>,
    ) {
        let Some(numbers) = &expected.said.bars else {
            return;
        };
        let selected = expected.said.part.as_ref();
        let selected = selected.map(|part| places.selected(piece, part));
        for (at, part) in music.parts.iter().enumerate() {
            if selected.as_ref().is_some_and(|parts| !parts.contains(&at)) {
                continue;
            }
            let bars = part.bars_numbered(numbers);
            self.bars.extend(bars.map(|bar| (piece, at, bar)));
        }
    }

    /// Frees what a finding names that was announced: its bar, what its fixes change, and what they or it point to.
    /// `base` is where its piece begins.
    pub(super) fn find(
        &mut self,
        finding: &Finding,
        place: FindingPlace,
        base: usize,
        music: &PieceMusic<'_>,
    ) {
        let Some(part) = place.part else {
            return;
        };
        let start = finding.span.relative_to(base);
        let unread = (finding.rule == super::OF_READING).then(|| music.bar_at(part, start));
        match place.bar.or(unread.flatten()) {
            Some(bar) => {
                self.bars.insert((place.piece, part, bar));
            }
            None => {
                self.heads.insert((place.piece, part));
            }
        }
        let at = |span: Span| {
            let bar = music.bar_at(part, span.relative_to(base))?;
            Some((place.piece, part, bar))
        };
        for related in &finding.related {
            let span = related.span.relative_to(base);
            let Some((of, bar)) = music.at(part, span) else {
                continue;
            };
            let other = (place.piece, of, bar);
            if music.is_note(of, span) {
                self.bars.insert(other);
                let here = place.bar.filter(|_| of == part);
                let stretch = here.map(|here| here.min(bar)..here.max(bar));
                let stretch = stretch.into_iter().flatten();
                self.thinner
                    .extend(stretch.map(|bar| (place.piece, of, bar)));
            } else {
                self.marks.insert(other);
            }
        }
        for intent in finding.fixes.iter().flat_map(|fix| &fix.intents) {
            match intent {
                Intent::MoveOctaves { notes, .. } => {
                    self.bars.extend(notes.iter().filter_map(|note| at(*note)));
                }
                Intent::MoveNote { note, .. } => self.bars.extend(at(*note)),
                Intent::AddMark { note: place, .. }
                | Intent::ReplaceMark { mark: place, .. }
                | Intent::RemoveMark { mark: place } => self.marks.extend(at(*place)),
                // These leave what sounds as it is.
                Intent::DropKeySignatures { .. }
                | Intent::SetKeySignature { .. }
                | Intent::RewritePart { .. }
                | Intent::ShowAccidental { .. }
                | Intent::SetTransposition { .. }
                | Intent::SetHorn { .. }
                | Intent::DropLaterTranspositions { .. }
                | Intent::SayOfPart { .. }
                | Intent::WriteCue { .. }
                | Intent::NamePart { .. }
                | Intent::IgnoreHere { .. }
                | Intent::IgnoreInFile { .. }
                | Intent::DropIgnored { .. }
                | Intent::RenameIgnored { .. } => {}
            }
        }
    }
}
