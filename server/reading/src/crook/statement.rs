//! What is said of a part's crook and when, gathered by the first note it holds for.

use std::collections::HashMap;

use horn::{CrookName, Instruction, read_name, read_name_of_horn, read_words};
use score::{EventKind, Kinds, MarkKind, Part, Span, WitnessKind};
use theory::{Interval, PagePitch, Quarters, Transposition};

use super::{CrookSaid, Sung, on_horns};
use crate::players::Sharing;
use crate::roster::{HornSaid, Seat};

/// A name of a crook, and who says it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Word {
    pub(super) said: CrookSaid,
    pub(super) name: CrookName,
}

impl Word {
    /// How much it counts beside others of the same moment; what players read first counts most.
    const fn rank(&self) -> u8 {
        match self.said {
            CrookSaid::Told => 0,
            CrookSaid::Named(WitnessKind::DisplayName, _) => 1,
            CrookSaid::Named(WitnessKind::Name, _) => 2,
            CrookSaid::Words(_) => 3,
            CrookSaid::Named(WitnessKind::Abbreviation, _) => 4,
            _ => 5,
        }
    }
}

/// All that is newly said between one note and the next.
#[derive(Debug, Clone)]
pub(super) struct Moment<'a> {
    /// When the last of it is said.
    pub(super) from: Quarters,
    /// Where to point at the change.
    pub(super) span: Span,
    /// The first note it holds for.
    pub(super) note: usize,
    /// The words that count, those that count most first; of words said one after the other, the last.
    pub(super) words: Vec<Word>,
    /// The transposition recorded last.
    pub(super) recorded: Option<(Transposition, Span)>,
    /// The notes up to the next moment.
    pub(super) notes: &'a [Sung<'a>],
}

/// What is said at one place.
struct Said {
    onset: Quarters,
    span: Span,
    what: What,
}

enum What {
    Word(Word),
    Recorded(Transposition),
}

/// The moments of a part, the start first; a part without notes has its start only.
pub(super) fn moments<'a>(
    part: &Part,
    seat: &Seat,
    notes: &'a [Sung<'a>],
    sharing: &Sharing,
) -> Vec<Moment<'a>> {
    let mut moments = vec![start(part, seat)];
    for said in later(part, seat, sharing) {
        let note = notes.partition_point(|note| note.onset < said.onset);
        // What is said before the first note is said of the start, and what comes after the last of nothing.
        let new = moments.last().is_none_or(|last| last.note != note);
        if new && note == notes.len() {
            break;
        }
        if new {
            moments.push(Moment {
                from: said.onset,
                span: said.span,
                note,
                words: Vec::new(),
                recorded: None,
                notes: &[],
            });
        }
        if let Some(moment) = moments.last_mut() {
            moment.take(&said);
        }
    }
    for moment in &mut moments {
        moment.words.sort_by_key(Word::rank);
    }
    moments
}

impl Moment<'_> {
    fn take(&mut self, said: &Said) {
        match said.what {
            What::Recorded(recorded) => {
                self.recorded = Some((recorded, said.span));
                if self.words.is_empty() && self.note > 0 {
                    (self.from, self.span) = (said.onset, said.span);
                }
            }
            What::Word(word) => {
                // What outside words settle is not changed by the page's names; by words in the music it is.
                if said.onset > self.from || (self.words.is_empty() && self.note > 0) {
                    self.words.clear();
                    (self.from, self.span) = (said.onset, said.span);
                }
                if !self.words.contains(&word) {
                    self.words.push(word);
                }
            }
        }
    }
}

/// What stands at the head of a part.
fn start<'a>(part: &Part, seat: &Seat) -> Moment<'a> {
    let told = Word {
        said: CrookSaid::Told,
        name: seat.told,
    };
    let names = part.witnesses.iter().filter_map(|witness| {
        let name = named(witness.kind, &witness.text.text, seat)?;
        Some(Word {
            said: CrookSaid::Named(witness.kind, witness.text.span),
            name,
        })
    });
    // A name that the reader put together from elsewhere is no witness of its own.
    let page = part.name.as_ref().map(|name| Word {
        said: CrookSaid::Named(WitnessKind::Name, name.span),
        name: named(WitnessKind::Name, &name.text, seat).unwrap_or_default(),
    });
    let mut words: Vec<Word> = Vec::new();
    for word in std::iter::once(told).chain(names).chain(page) {
        let same = |known: &Word| known.name == word.name && known.said.span() == word.said.span();
        if word.name != CrookName::Unnamed && !words.iter().any(same) {
            words.push(word);
        }
    }
    Moment {
        from: Quarters::ZERO,
        span: part.name.as_ref().map_or(part.head, |name| name.span),
        note: 0,
        words,
        recorded: part
            .transposition
            .filter(|(recorded, _)| says_a_horn(*recorded, seat)),
        notes: &[],
    }
}

/// Whether a record says which horn it is: at concert pitch, none at all says nothing of it.
fn says_a_horn(recorded: Transposition, seat: &Seat) -> bool {
    seat.pitch == PagePitch::Written || recorded.0 != Interval::UNISON
}

/// The crook a name says; `None` when it says nothing of one.
fn named(kind: WitnessKind, text: &str, seat: &Seat) -> Option<CrookName> {
    if matches!(kind, WitnessKind::Class(_)) {
        return None;
    }
    let read = if seat.said == HornSaid::Name && kind == WitnessKind::Name {
        read_name(text)
    } else {
        read_name_of_horn(text)?
    };
    Some(read.crook).filter(|crook| *crook != CrookName::Unnamed)
}

/// What is said in the music, in the order of time.
fn later(part: &Part, seat: &Seat, sharing: &Sharing) -> Vec<Said> {
    let mut known: HashMap<&str, Option<CrookName>> = HashMap::new();
    let saying = Kinds::TRANSPOSITIONS
        .and(Kinds::WITNESSES)
        .and(Kinds::WORDS);
    let mut all: Vec<Said> = on_horns(part, sharing, saying)
        .filter_map(|placed| {
            let span = placed.span();
            let what = match &placed.event.kind {
                EventKind::Transposition(recorded) if says_a_horn(*recorded, seat) => {
                    What::Recorded(*recorded)
                }
                EventKind::Witness(kind, text) => What::Word(Word {
                    said: CrookSaid::Named(*kind, span),
                    name: named(*kind, text, seat)?,
                }),
                EventKind::Mark(mark) => {
                    let MarkKind::Words(text) = &mark.kind else {
                        return None;
                    };
                    let name = known
                        .entry(&text.text)
                        .or_insert_with(|| crook_in(&text.text));
                    What::Word(Word {
                        said: CrookSaid::Words(span),
                        name: (*name)?,
                    })
                }
                _ => return None,
            };
            Some(Said {
                onset: placed.onset,
                span,
                what,
            })
        })
        .collect();
    all.sort_by_key(|said| said.onset);
    all
}

/// The last crook that words over the staff name.
fn crook_in(words: &str) -> Option<CrookName> {
    let mut terms = read_words(words).into_iter().rev();
    terms.find_map(|term| match term.instruction {
        Instruction::Crook(name) if name != CrookName::Unnamed => Some(name),
        _ => None,
    })
}
