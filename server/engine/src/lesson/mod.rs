//! Lessons: a score whose comments announce faults and set tasks, and answers to it marked.

mod alignment;
mod answer;
mod free;
mod handout;
mod kept;
mod marks;
mod music;
mod playing;

use std::collections::HashMap;
use std::sync::Arc;

use notation::Document;
use reading::PieceReading;
use rules::{Finding, FindingPlace, LessonSaid, Places, RuleSelector};
use score::{Expect, Piece, Text};
use serde::Serialize;

pub use marks::{Asked, Change, Changed, MarkSum, Marks, NewFault};

use crate::judged::Judged;
use crate::settings::Settings;
use answer::Answer;
use free::Free;
use music::PieceMusic;

/// The rule that judges lessons themselves, which no answer is marked by.
pub(crate) const OF_LESSONS: &str = "text/lesson";
/// The rule that says what could not be read, which every answer is marked by.
const OF_READING: &str = "text/unreadable";

/// A score as a lesson: which faults it is about, what it asks for, and what must stay.
///
/// Its clones share everything that costs.
#[derive(Debug, Clone)]
pub struct Lesson {
    judged: Judged,
    /// The settings that answers are judged by.
    of_answer: Arc<Settings>,
    tasks: Vec<Task>,
    only: Vec<RuleSelector>,
    faults: Vec<Fault>,
    free: Free,
}

/// What a lesson asks for.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Task {
    /// What is to be done.
    pub text: String,
    /// Steps towards it, the smallest first.
    pub hints: Vec<String>,
}

/// A fault that the lesson announces and that is there.
#[derive(Debug, Clone)]
struct Fault {
    rule: &'static str,
    /// Where it is looked for.
    said: Expect,
    /// The pieces and parts where it is looked for; in any, and about none, when there are none.
    parts: Option<Vec<(usize, usize)>>,
    /// The piece where it is looked for; any when there is none.
    piece: Option<usize>,
    /// The parts of the findings that are the fault.
    found_in: Vec<(usize, usize)>,
    /// What is shown of it.
    shown: Asked,
}

impl Lesson {
    /// The lesson that a score is by its comments; `None` when it announces no fault and sets no task.
    ///
    /// Faults that are announced and not there are left out: nothing could be done about them.
    #[must_use]
    pub fn of(judged: &Judged) -> Option<Self> {
        let pieces: Vec<(usize, &PieceReading)> = judged.pieces().collect();
        let said = LessonSaid::of(&judged.document().score().directives, &pieces);
        if !said.is_lesson() {
            return None;
        }
        let places = Places::of(&pieces);
        let music: Vec<PieceMusic<'_>> =
            pieces.iter().map(|(_, one)| PieceMusic::of(one)).collect();
        let findings = judged.unsilenced();
        let mut of_rule: HashMap<&str, Vec<(&Finding, FindingPlace)>> = HashMap::new();
        for finding in &findings {
            let place = places.of_finding(finding);
            of_rule
                .entry(finding.rule)
                .or_default()
                .push((finding, place));
        }
        let (mut free, mut faults) = (Free::default(), Vec::new());
        for expected in &said.expected {
            let there = of_rule.get(expected.rule).map_or(&[][..], Vec::as_slice);
            let there = there.iter();
            let met: Vec<&(&Finding, FindingPlace)> = there
                .filter(|(finding, place)| expected.is_met_by(finding, *place, &places))
                .collect();
            let Some((first, _)) = met.first() else {
                continue;
            };
            let meant = expected
                .piece
                .map_or(0..pieces.len(), |piece| piece..piece + 1);
            for piece in meant.clone() {
                if let Some(music) = music.get(piece) {
                    free.announce(expected, piece, music, &places);
                }
            }
            for (finding, place) in &met {
                if let (Some((base, _)), Some(music)) =
                    (pieces.get(place.piece), music.get(place.piece))
                {
                    free.find(finding, *place, *base, music);
                }
            }
            let selected = |selector| -> Vec<(usize, usize)> {
                let parts = meant
                    .clone()
                    .map(|piece| (piece, places.selected(piece, selector)));
                let parts = parts
                    .flat_map(|(piece, parts)| parts.into_iter().map(move |part| (piece, part)));
                parts.collect()
            };
            let task = said.task_of(expected);
            faults.push(Fault {
                rule: expected.rule,
                said: expected.said.clone(),
                parts: expected.said.part.as_ref().map(selected),
                piece: expected.piece,
                found_in: met
                    .iter()
                    .filter_map(|(_, place)| Some((place.piece, place.part?)))
                    .collect(),
                shown: Asked {
                    rule: expected.rule,
                    bar: first.bar,
                    part: first.who(),
                    task: task.map(|task| task.words.to_owned()),
                    hints: task.map_or_else(Vec::new, |task| owned(&task.hints)),
                    fixed: false,
                },
            });
        }
        let tasks = said.tasks.iter().map(|task| Task {
            text: task.words.to_owned(),
            hints: owned(&task.hints),
        });
        Some(Self {
            tasks: tasks.collect(),
            only: said.only,
            faults,
            free,
            of_answer: Arc::new(judged.settings().of_answer()),
            judged: judged.clone(),
        })
    }

    /// The score.
    #[must_use]
    pub const fn judged(&self) -> &Judged {
        &self.judged
    }

    /// What it asks for, in the order of the text.
    #[must_use]
    pub fn tasks(&self) -> &[Task] {
        &self.tasks
    }

    /// How many faults it announces that are there.
    #[must_use]
    pub const fn faults(&self) -> usize {
        self.faults.len()
    }

    /// The title of its first piece.
    #[must_use]
    pub fn title(&self) -> Option<&str> {
        let (_, reading) = self.judged.pieces().next()?;
        title(&reading.piece)
    }

    /// The score for those who learn: with its tasks, and without what is expected, the hints and what is looked at.
    #[must_use]
    pub fn handout(&self) -> Document {
        handout::of(self.judged.document())
    }

    /// Marks an answer: which of the announced faults are gone, what is new, and whether the music stayed.
    ///
    /// It is judged by the lesson's settings, and what its comments ask to keep silent about is not kept silent: a
    /// fault that is only silenced is not fixed.
    #[must_use]
    pub fn mark(&self, answer: &Judged) -> Marks {
        let answer = if *answer.settings() == self.of_answer {
            answer.clone()
        } else {
            answer.with_settings(Arc::clone(&self.of_answer))
        };
        let beside = Answer::of(&self.judged, &answer);
        let mut asked = vec![true; self.faults.len()];
        let mut strangers = Vec::new();
        for (finding, place) in beside.findings() {
            let meant = place.piece.map(|piece| (piece, place.part));
            let mut expected = false;
            for (fault, fixed) in self.faults.iter().zip(&mut asked) {
                if fault.is(finding.rule, meant, place.number) {
                    *fixed = false;
                    expected = true;
                }
            }
            if !expected && self.looks_at(finding.rule) {
                strangers.push((finding, place));
            }
        }
        for (fault, fixed) in self.faults.iter().zip(&mut asked) {
            // Where nothing is read any more, nothing is fixed.
            let unread = |(piece, part): &(usize, usize)| !beside.is_read(*piece, *part);
            *fixed &= !fault.found_in.iter().any(unread) && !beside.lacks(fault.piece);
        }
        let new = beside.new_faults(strangers);
        let changed = beside.changes(&self.free);
        let asked: Vec<Asked> = self
            .faults
            .iter()
            .zip(asked)
            .map(|(fault, fixed)| Asked {
                fixed,
                ..fault.shown.clone()
            })
            .collect();
        Marks {
            left: asked.iter().filter(|one| !one.fixed).count(),
            asked,
            new,
            kept: changed.is_empty(),
            changed,
        }
    }

    fn looks_at(&self, rule: &str) -> bool {
        let chosen = self.only.is_empty() || self.only.iter().any(|only| only.holds(rule));
        chosen || rule == OF_READING
    }
}

impl Fault {
    /// Whether a finding of a rule is the fault: `meant` are the lesson's piece and part that it is about, `number` is the
    /// lesson's number of its bar.
    fn is(&self, rule: &str, meant: Option<(usize, Option<usize>)>, number: Option<u32>) -> bool {
        let within = match (&self.parts, meant) {
            (None, None) => self.piece.is_none(),
            (None, Some((piece, _))) => self.piece.is_none_or(|own| own == piece),
            (Some(parts), Some((piece, Some(part)))) => parts.contains(&(piece, part)),
            (Some(_), _) => false,
        };
        self.rule == rule && within && self.said.is_in_bar(number)
    }
}

fn owned(words: &[&str]) -> Vec<String> {
    words.iter().map(|&words| words.to_owned()).collect()
}

/// What a piece is called.
fn title(piece: &Piece) -> Option<&str> {
    let called = |text: &'_ Option<Text>| {
        text.as_ref()
            .is_some_and(|text| !text.text.trim().is_empty())
    };
    let texts = [&piece.title, &piece.movement];
    let found = texts.into_iter().find(|text| called(text))?;
    found.as_ref().map(|text| text.text.trim())
}
