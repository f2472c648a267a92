//! What the last reading knew: every measure, found again by its text and what was in force before it.

use std::borrow::Cow;
use std::collections::HashMap;
use std::sync::Arc;

use ropey::Rope;
use score::{Score, Span};

use super::assemble;
use super::header::{self, Header};
use super::measure::{self, ReadMeasure};
use super::state::State;
use crate::digest::digest;
use crate::musicxml::outline::{self, Chunk, Outline};

/// A score's layout and its measures as they were read, their places kept up to date under edits.
#[derive(Debug, Clone, Default)]
pub(crate) struct Memory {
    outline: Outline,
    header: Arc<Header>,
    /// One for each chunk of the outline.
    known: Vec<Known>,
    /// Whether an edit has touched something outside the measures, so that the layout must be found again.
    moved: bool,
}

/// A measure as it was read.
#[derive(Debug, Clone)]
struct Known {
    /// Stands for its text and what was in force before it.
    key: u128,
    /// Stands for what was in force before it.
    entry: u128,
    read: Arc<ReadMeasure>,
    /// Whether an edit has touched it since.
    touched: bool,
}

impl Memory {
    /// Reads a text for the first time.
    pub(crate) fn of(rope: &Rope) -> (Self, Score) {
        let mut memory = Self {
            moved: true,
            ..Self::default()
        };
        let score = memory.reread(rope);
        (memory, score)
    }

    pub(crate) const fn outline(&self) -> &Outline {
        &self.outline
    }

    /// Notes that `old` was replaced by so many bytes.
    pub(crate) fn edited(&mut self, old: Span, new_length: usize) {
        if self.moved {
            return;
        }
        let chunks = &mut self.outline.chunks;
        let at = chunks.partition_point(|chunk| chunk.span.end < old.end);
        let within = chunks.get(at).is_some_and(|chunk| {
            let content = chunk.content();
            !chunk.is_unended()
                && content.start <= old.start
                && old.end <= content.end
                && chunk.tail > 0
        });
        if !within || self.outline.broken {
            self.moved = true;
            return;
        }
        let shift = |place: &mut usize| *place = *place - old.len() + new_length;
        shift(&mut chunks[at].span.end);
        self.known[at].touched = true;
        let later = chunks[at + 1..].iter_mut().map(|chunk| &mut chunk.span);
        let slips = self.outline.slips.iter_mut().map(|slip| &mut slip.span);
        for span in later.chain(slips).chain(&mut self.outline.comments) {
            if span.start >= old.end {
                shift(&mut span.start);
                shift(&mut span.end);
            } else if span.end >= old.end {
                shift(&mut span.end);
            }
        }
    }

    /// Reads what the edits have changed.
    pub(crate) fn reread(&mut self, rope: &Rope) -> Score {
        let whole = |(chunk, known): (&Chunk, &Known)| {
            !known.touched || outline::is_whole(&slice(rope, chunk.content()))
        };
        if !self.moved && !self.outline.chunks.iter().zip(&self.known).all(whole) {
            self.moved = true;
        }
        let mut old = HashMap::new();
        if self.moved {
            let text = rope.to_string();
            self.outline = Outline::of(&text);
            let header = self.outline.header;
            self.header = Arc::new(match self.outline.root {
                Some(_) => header::read(&text[header.range()], header.start),
                None => Header::default(),
            });
            old.extend(self.known.drain(..).map(|known| (known.key, known.read)));
            self.read(&|span| Cow::Borrowed(&text[span.range()]), &old);
        } else {
            self.read(&|span| slice(rope, span), &old);
        }
        self.moved = false;
        self.score(rope)
    }

    /// Brings every measure up to date; measures that stand as they stood are not even looked at.
    fn read<'t>(
        &mut self,
        text: &dyn Fn(Span) -> Cow<'t, str>,
        old: &HashMap<u128, Arc<ReadMeasure>>,
    ) {
        let mut known = std::mem::take(&mut self.known);
        let chunks = &self.outline.chunks;
        // Where each part's last measure so far stands, but for the part that is being read.
        let mut last: HashMap<&str, usize> = HashMap::new();
        for (index, chunk) in chunks.iter().enumerate() {
            let before = match index.checked_sub(1).and_then(|before| chunks.get(before)) {
                Some(before) if before.part == chunk.part => Some(index - 1),
                Some(before) => {
                    last.insert(&before.part, index - 1);
                    last.get(&*chunk.part).copied()
                }
                None => None,
            };
            let before = before.and_then(|before| known.get(before));
            let entry = before.map_or_else(|| self.start().digest(), |it| it.read.exit_digest);
            match known.get(index) {
                Some(same) if !same.touched && same.entry == entry => continue,
                _ => {}
            }
            let text = text(chunk.span);
            let key = digest(&(text.as_ref(), chunk.is_unended(), entry));
            let read = old.get(&key).cloned().unwrap_or_else(|| {
                let state = before.map_or_else(|| self.start(), |it| it.read.exit.clone());
                Arc::new(measure::read(&text, chunk.is_unended(), state))
            });
            let measure = Known {
                key,
                entry,
                read,
                touched: false,
            };
            match known.get_mut(index) {
                Some(known) => *known = measure,
                None => known.push(measure),
            }
        }
        self.known = known;
    }

    /// What is in force at a part's start.
    fn start(&self) -> State {
        State::at_start(self.header.concert)
    }

    fn score(&self, rope: &Rope) -> Score {
        let Some((_, root)) = self.outline.root else {
            return Score {
                unreadable: self.outline.slips.clone(),
                ..Score::default()
            };
        };
        let reads: Vec<&ReadMeasure> = self.known.iter().map(|it| it.read.as_ref()).collect();
        let words = |span: Span| {
            let lines = lines_around(rope, span);
            (slice(rope, lines).into_owned(), lines.start)
        };
        assemble::score(
            &self.outline,
            &self.header,
            &reads,
            rope.len_bytes(),
            root,
            &words,
        )
    }
}

/// A stretch of a rope as one text.
fn slice(rope: &Rope, span: Span) -> Cow<'_, str> {
    rope.byte_slice(span.range()).into()
}

/// The lines that a span touches.
fn lines_around(rope: &Rope, span: Span) -> Span {
    let start = rope.line_to_byte(rope.byte_to_line(span.start));
    let last = rope.byte_to_line(span.end) + 1;
    let end = if last < rope.len_lines() {
        rope.line_to_byte(last)
    } else {
        rope.len_bytes()
    };
    Span::new(start, end)
}
