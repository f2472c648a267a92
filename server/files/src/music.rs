//! What tells the music that a finding speaks of from other music, wherever in the file it stands.

use std::collections::HashMap;
use std::fmt::Write as _;

use engine::{Finding, Judged};
use score::{Bar, EventKind};

use crate::digest::short_digest;

/// The most bytes that are looked at of what stands where there is no bar; a whole part may be one place.
const MOST_WORDS: usize = 1000;

/// The bars of a judged score, to be found by the part's name and their numbers.
pub struct Music<'a> {
    judged: &'a Judged,
    /// Where each piece begins.
    bases: Vec<usize>,
    /// By the place of the piece and the name of the part; of parts that share a name, all.
    parts: HashMap<(usize, &'a str), Vec<&'a [Bar]>>,
    /// The bars of a number in those.
    bars: HashMap<(usize, &'a str, u32), Vec<&'a Bar>>,
}

impl<'a> Music<'a> {
    pub fn of(judged: &'a Judged) -> Self {
        let mut music = Self {
            judged,
            bases: judged.pieces().map(|(base, _)| base).collect(),
            parts: HashMap::new(),
            bars: HashMap::new(),
        };
        // Most scores have little to say of them.
        if judged.findings().is_empty() {
            return music;
        }
        for (at, (_, reading)) in judged.pieces().enumerate() {
            for horn in &reading.horns {
                let Some(part) = reading.piece.parts.get(horn.seat.part) else {
                    continue;
                };
                let parts = music.parts.entry((at, horn.label.as_str())).or_default();
                parts.push(&part.bars);
                for bar in &part.bars {
                    let key = (at, horn.label.as_str(), bar.number);
                    music.bars.entry(key).or_default().push(bar);
                }
            }
        }
        music
    }

    /// A digest of the bar as it is written, all notes and rests of it; where a finding is about no bar of a part, of
    /// the words that stand there.
    pub fn about(&self, finding: &Finding) -> String {
        let piece = self.piece(finding);
        let bars = finding.part.as_deref().zip(finding.bar);
        let bars = bars.and_then(|(part, bar)| self.bars.get(&(piece, part, bar)));
        let Some(bars) = bars else {
            return of_words(&self.words(finding));
        };
        let mut written = String::new();
        bars.iter().for_each(|bar| write_bar(bar, &mut written));
        short_digest(written.as_bytes())
    }

    /// The place of the piece in the file that a finding stands in.
    pub fn piece(&self, finding: &Finding) -> usize {
        let start = finding.span.start;
        let before = self.bases.partition_point(|base| *base <= start);
        before.saturating_sub(1)
    }

    /// The words at the place of a finding.
    fn words(&self, finding: &Finding) -> String {
        let rope = self.judged.document().rope();
        let length = rope.len_bytes();
        let start = finding.span.start.min(length);
        let end = finding.span.end.clamp(start, length);
        let from = rope.byte_to_char(start);
        let to = rope.byte_to_char(end.min(start + MOST_WORDS)).max(from);
        rope.slice(from..to).to_string()
    }
}

/// A digest of words, however they are spaced.
pub fn of_words(words: &str) -> String {
    let mut written = String::new();
    for word in words.split_whitespace() {
        written.push_str(word);
        written.push(' ');
    }
    short_digest(written.as_bytes())
}

/// The notes and rests of a bar: when, what, how long.
fn write_bar(bar: &Bar, written: &mut String) {
    for placed in bar.events(0) {
        let offset = placed.event.offset;
        // Writing to a string cannot fail.
        let _ = match &placed.event.kind {
            EventKind::Note(note) => writeln!(
                written,
                "{offset} {} {}{}",
                note.written,
                note.length,
                if note.grace { " grace" } else { "" }
            ),
            EventKind::Rest(rest) => writeln!(written, "{offset} rest {}", rest.length),
            _ => Ok(()),
        };
    }
}
