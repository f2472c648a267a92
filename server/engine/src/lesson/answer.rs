//! An answer beside its lesson: which piece, part and bar is which, and what is found in it.

use std::collections::{HashMap, HashSet};

use reading::PieceReading;
use rules::{Finding, Places};

use super::alignment::Alignment;
use super::free::Free;
use super::kept::Beside;
use super::marks::{Change, Changed, Marks, NewFault};
use super::music::PieceMusic;
use super::title;
use crate::judged::Judged;

/// A piece of the lesson, and the same of the answer.
#[derive(Debug)]
struct Pair<'a> {
    lesson: PieceMusic<'a>,
    /// Its place in the answer, and what it is there; nothing where the answer lacks it.
    answer: Option<(usize, PieceMusic<'a>, Alignment)>,
    /// For each part of the lesson the answer's.
    parts: Vec<Option<usize>>,
}

/// An answer beside its lesson.
#[derive(Debug)]
pub(super) struct Answer<'a> {
    pairs: Vec<Pair<'a>>,
    lesson: Found<'a>,
    answer: Found<'a>,
}

/// What is found in a score, whatever it asks to keep silent about.
#[derive(Debug)]
struct Found<'a> {
    pieces: Vec<(usize, &'a PieceReading)>,
    findings: Vec<Finding>,
}

/// Where a finding of an answer stands, by the lesson's places.
#[derive(Debug, Clone, Copy)]
pub(super) struct InLesson {
    /// The piece; nothing where the lesson has none like it.
    pub(super) piece: Option<usize>,
    /// The part.
    pub(super) part: Option<usize>,
    /// The bar.
    pub(super) bar: Option<usize>,
    /// The bar's number in the lesson.
    pub(super) number: Option<u32>,
    /// What tells the music of the bar from other music.
    pub(super) music: Option<u64>,
}

/// A finding by its rule, piece and part, and by one thing more.
type Known<T> = HashMap<(&'static str, usize, Option<usize>, Option<T>), usize>;

impl<'a> Answer<'a> {
    pub(super) fn of(lesson: &'a Judged, answer: &'a Judged) -> Self {
        let (lesson, answer) = (Found::of(lesson), Found::of(answer));
        let mut taken = vec![false; answer.pieces.len()];
        let pairs = lesson.pieces.iter().enumerate().map(|(at, (_, reading))| {
            let place = same_piece(at, reading, &lesson.pieces, &answer.pieces, &taken);
            let is = place.and_then(|place| {
                *taken.get_mut(place)? = true;
                let (_, reading) = answer.pieces.get(place)?;
                Some((place, *reading))
            });
            Pair::of(reading, is)
        });
        let pairs = pairs.collect();
        Self {
            pairs,
            lesson,
            answer,
        }
    }

    /// What is found in the answer, with where that is in the lesson.
    pub(super) fn findings(&self) -> Vec<(&Finding, InLesson)> {
        let places = Places::of(&self.answer.pieces);
        let findings = self.answer.findings.iter();
        findings
            .map(|finding| (finding, self.place(finding, &places)))
            .collect()
    }

    fn place(&self, finding: &Finding, places: &Places<'_>) -> InLesson {
        let at = places.of_finding(finding);
        let mut pairs = self.pairs.iter().enumerate();
        let pair = pairs.find_map(|(place, pair)| {
            let (of_answer, music, bars) = pair.answer.as_ref()?;
            (*of_answer == at.piece).then_some((place, pair, music, bars))
        });
        let Some((piece, pair, music, bars)) = pair else {
            return InLesson {
                piece: None,
                part: None,
                bar: None,
                number: None,
                music: None,
            };
        };
        let part = at
            .part
            .and_then(|part| pair.parts.iter().position(|of| *of == Some(part)));
        let bar = at
            .bar
            .and_then(|bar| bars.of_answer.get(bar).copied().flatten());
        let lesson_part = part.and_then(|part| pair.lesson.parts.get(part));
        let lesson_bar = lesson_part
            .zip(bar)
            .and_then(|(part, bar)| part.bars.get(bar));
        let own = at.part.and_then(|part| music.parts.get(part));
        let own = own.zip(at.bar).and_then(|(part, bar)| part.bars.get(bar));
        InLesson {
            piece: Some(piece),
            part,
            bar,
            number: lesson_bar.map(|bar| bar.number),
            music: own.map(super::music::BarMusic::digest),
        }
    }

    /// Of findings that are no announced fault, those that the lesson has not: in no bar that is the same, and in none
    /// with the same music. Each of the lesson's excuses one.
    pub(super) fn new_faults(&self, strangers: Vec<(&Finding, InLesson)>) -> Vec<NewFault> {
        let places = Places::of(&self.lesson.pieces);
        let mut by_place: Known<usize> = HashMap::new();
        let mut by_music: Known<u64> = HashMap::new();
        for finding in &self.lesson.findings {
            let at = places.of_finding(finding);
            let bar = self.pairs.get(at.piece).zip(at.part).zip(at.bar);
            let bar =
                bar.and_then(|((pair, part), bar)| pair.lesson.parts.get(part)?.bars.get(bar));
            let music = bar.map(super::music::BarMusic::digest);
            *by_place
                .entry((finding.rule, at.piece, at.part, at.bar))
                .or_default() += 1;
            *by_music
                .entry((finding.rule, at.piece, at.part, music))
                .or_default() += 1;
        }
        let mut left = Vec::new();
        for (finding, at) in strangers {
            let known = at
                .piece
                .and_then(|piece| by_place.get_mut(&(finding.rule, piece, at.part, at.bar)));
            match known.filter(|count| **count > 0) {
                Some(count) => {
                    *count -= 1;
                    // What is excused by its place is not there to excuse another by its music.
                    let key = |piece| (finding.rule, piece, at.part, at.music);
                    if let Some(count) = at.piece.and_then(|piece| by_music.get_mut(&key(piece))) {
                        *count = count.saturating_sub(1);
                    }
                }
                None => left.push((finding, at)),
            }
        }
        let (mut new, mut named) = (Vec::new(), HashSet::new());
        for (finding, at) in left {
            // A piece that the lesson has not is another matter.
            let Some(piece) = at.piece else {
                continue;
            };
            let known = by_music.get_mut(&(finding.rule, piece, at.part, at.music));
            if let Some(count) = known.filter(|count| **count > 0 && at.music.is_some()) {
                *count -= 1;
                continue;
            }
            let fault = NewFault {
                rule: finding.rule,
                bar: finding.bar,
                part: finding.who(),
            };
            if new.len() < Marks::MOST_NEW && named.insert(fault.clone()) {
                new.push(fault);
            }
        }
        new
    }

    /// Whether a part of the lesson is in the answer, and read as a horn's where the lesson's was.
    pub(super) fn is_read(&self, piece: usize, part: usize) -> bool {
        self.pairs.get(piece).is_some_and(|pair| {
            let was = pair
                .lesson
                .parts
                .get(part)
                .is_some_and(|part| part.horn.is_some());
            let is = pair.parts.get(part).copied().flatten();
            let is = pair
                .answer
                .as_ref()
                .zip(is)
                .and_then(|((_, music, _), part)| music.parts.get(part));
            is.is_some_and(|is| !was || is.horn.is_some())
        })
    }

    /// Whether the answer lacks a piece, or any where none is named.
    pub(super) fn lacks(&self, piece: Option<usize>) -> bool {
        let lacks = |pair: &Pair<'_>| pair.answer.is_none();
        match piece {
            Some(piece) => self.pairs.get(piece).is_none_or(lacks),
            None => self.pairs.iter().any(lacks),
        }
    }

    /// Where music is other that had to stay.
    pub(super) fn changes(&self, free: &Free) -> Vec<Changed> {
        let mut changed = Vec::new();
        for (piece, pair) in self.pairs.iter().enumerate() {
            match &pair.answer {
                Some((_, answer, bars)) => {
                    let beside = Beside {
                        piece,
                        lesson: &pair.lesson,
                        answer,
                        bars,
                        parts: &pair.parts,
                        free,
                    };
                    changed.extend(beside.changes());
                }
                None => changed.push(Changed {
                    part: None,
                    bar: None,
                    what: Change::Missing,
                }),
            }
        }
        changed.truncate(Marks::MOST_CHANGES);
        changed
    }
}

impl<'a> Found<'a> {
    fn of(judged: &'a Judged) -> Self {
        Self {
            pieces: judged.pieces().collect(),
            findings: judged.unsilenced(),
        }
    }
}

impl<'a> Pair<'a> {
    fn of(lesson: &'a PieceReading, answer: Option<(usize, &'a PieceReading)>) -> Self {
        let lesson = PieceMusic::of(lesson);
        let answer = answer.map(|(place, reading)| (place, PieceMusic::of(reading)));
        let parts = answer
            .as_ref()
            .map(|(_, answer)| same_parts(&lesson, answer));
        let answer = answer.map(|(place, answer)| {
            let bars = Alignment::of(&lesson, &answer);
            (place, answer, bars)
        });
        Self {
            parts: parts.unwrap_or_else(|| vec![None; lesson.parts.len()]),
            lesson,
            answer,
        }
    }
}

/// The place of a lesson's piece in an answer: its own where there are as many, else that of the same title.
fn same_piece(
    at: usize,
    piece: &PieceReading,
    lesson: &[(usize, &PieceReading)],
    answer: &[(usize, &PieceReading)],
    taken: &[bool],
) -> Option<usize> {
    if lesson.len() == answer.len() {
        return Some(at);
    }
    let wanted = title(&piece.piece)?;
    let mut untaken = answer.iter().zip(taken).enumerate();
    untaken.find_map(|(place, ((_, reading), taken))| {
        let same = title(&reading.piece)?.eq_ignore_ascii_case(wanted);
        (same && !taken).then_some(place)
    })
}

/// For each part of the lesson the answer's: that of the same place where there are as many, else of the same name.
fn same_parts(lesson: &PieceMusic<'_>, answer: &PieceMusic<'_>) -> Vec<Option<usize>> {
    let (was, is) = (&lesson.parts, &answer.parts);
    if was.len() == is.len() {
        return (0..was.len()).map(Some).collect();
    }
    let mut by_name: HashMap<&str, Vec<usize>> = HashMap::new();
    for (place, part) in is.iter().enumerate().rev() {
        by_name.entry(part.label.as_str()).or_default().push(place);
    }
    let named = was
        .iter()
        .map(|part| by_name.get_mut(part.label.as_str())?.pop());
    named.collect()
}
