//! What is said about the part, as marks over the system where it stands.

use std::collections::HashMap;
use std::io;

use reading::HornPart;
use rules::{Finding, Severity};
use score::Span;
use theory::Seconds;

use crate::clock::Clock;
use crate::draw::Scene;
use crate::ink::{Ink, width_of};
use crate::sheet::{Sheet, Tag};
use crate::subject::{Options, Subject};

/// How high a mark is, with its number.
const ROW: f64 = 11.0;
/// The size of the numbers, and of the sentences.
const NUMBER: f64 = 9.0;
const SENTENCE: f64 = 10.0;

/// Half a mark.
const HALF: f64 = 3.6;

/// A finding about the part.
#[derive(Debug, Clone, Copy)]
pub(crate) struct About<'a> {
    pub(crate) finding: &'a Finding,
    /// Its place among the document's findings, which names its element.
    pub(crate) index: usize,
    /// The moment it is about.
    pub(crate) at: Seconds,
    /// The note it is about, by its place.
    note: Option<usize>,
}

/// The `id` of a finding's element.
pub(crate) fn id(options: &Options<'_>, index: usize) -> String {
    format!("{}finding-{index}", options.names)
}

/// A finding in words.
pub(crate) fn label(finding: &Finding) -> String {
    format!("{} {}: {}", finding.severity, finding.rule, finding.message)
}

/// The findings about this part, by time.
pub(crate) fn about<'a>(subject: &Subject<'a>) -> Vec<About<'a>> {
    let places = Places::of(subject);
    let alone = alone(subject);
    let mut all: Vec<About<'a>> = subject
        .findings
        .iter()
        .enumerate()
        .filter_map(|(index, finding)| {
            let start = finding.span.start.checked_sub(subject.base)?;
            let place = places.at(start);
            // Parts of other pieces may be called the same.
            let here = subject.reading.piece.span.range().contains(&start);
            let named = here && finding.part.as_ref() == Some(&subject.horn.label);
            if place.is_none() && !(named && alone) {
                return None;
            }
            let (at, note) = place.unwrap_or_default();
            Some(About {
                finding,
                index,
                at,
                note,
            })
        })
        .collect();
    all.sort_by(|one, other| one.at.0.total_cmp(&other.at.0));
    all
}

/// Whether no other horn of the piece goes by the same name.
fn alone(subject: &Subject<'_>) -> bool {
    let same = |horn: &&HornPart| horn.label == subject.horn.label;
    subject.reading.horns.iter().filter(same).count() == 1
}

/// When something happens, and at which note.
type Moment = (Seconds, Option<usize>);

/// The part's own places in the text, in its order, each with its moment.
struct Places(Vec<(Span, Moment)>);

impl Places {
    fn of(subject: &Subject<'_>) -> Self {
        let horn = subject.horn;
        let seconds = |onset| (subject.reading.tempo.seconds(onset), None);
        let notes = horn.notes.iter().enumerate();
        let mut all: Vec<(Span, Moment)> = notes
            .map(|(index, note)| (note.span, (note.starts, Some(index))))
            .collect();
        all.extend(
            horn.marks
                .iter()
                .map(|mark| (mark.span, seconds(mark.onset))),
        );
        all.extend(
            horn.keys
                .iter()
                .map(|(onset, _, key)| (*key, seconds(*onset))),
        );
        let changes = horn.crook_changes.iter();
        all.extend(changes.map(|(onset, _, words)| (*words, seconds(*onset))));
        let heads = std::iter::once(horn.head).chain(horn.name_span);
        all.extend(heads.map(|head| (head, Moment::default())));
        all.sort_by_key(|(span, _)| *span);
        Self(all)
    }

    /// The moment of the part's own place that holds a byte; the innermost, where one stands in another.
    fn at(&self, byte: usize) -> Option<Moment> {
        /// Places stand in one another no deeper: a note in a chord, a word in a head.
        const DEEPEST: usize = 8;
        let after = self.0.partition_point(|(span, _)| span.start <= byte);
        let before = self.0.get(..after)?.iter().rev().take(DEEPEST);
        let mut holding = before.filter(|(span, _)| byte < span.end.max(span.start + 1));
        holding.next().map(|(_, moment)| *moment)
    }
}

/// Draws the marks of a line over what they are about, numbered from `first` on.
pub(crate) fn marks(
    ink: &mut Ink<'_>,
    scene: &Scene<'_, '_>,
    clock: &Clock,
    about: &[About<'_>],
    first: usize,
) -> io::Result<()> {
    let notes: HashMap<usize, f64> = scene
        .chords()
        .flat_map(|seen| {
            let notes = seen.chord.heads.iter().filter_map(|head| head.note);
            notes.map(move |note| (note, seen.middle()))
        })
        .collect();
    for (number, about) in (first..).zip(about) {
        let place = about.note.and_then(|note| notes.get(&note).copied());
        let place = place.unwrap_or_else(|| clock.x(about.at) + HALF);
        let words = number.to_string();
        let wide = 2.0 * HALF + 2.0 + width_of(&words, NUMBER);
        let left = (place - HALF).min(scene.line.right - wide).max(0.0);
        let y = ink.room_above(left, left + wide, ROW) - ROW / 2.0;
        let classes = format!("finding f-{}", about.finding.severity);
        let group = Tag::new("g").word("class", &classes);
        let sheet = ink.sheet();
        sheet.open(group.word("id", &id(scene.options, about.index)))?;
        sheet.text(Tag::new("title"), &label(about.finding))?;
        shape(sheet, about.finding.severity, left + HALF, y)?;
        sheet.close("g")?;
        // Beside the element: its name is the words that the number stands for.
        let text = Tag::new("text").word("class", "number");
        sheet.text(
            text.numbers([("x", left + 2.0 * HALF + 2.0), ("y", y + 3.2)]),
            &words,
        )?;
    }
    Ok(())
}

/// Writes what the marks of a line stand for below it.
pub(crate) fn sentences(
    ink: &mut Ink<'_>,
    (left, right): (f64, f64),
    about: &[About<'_>],
    first: usize,
) -> io::Result<()> {
    for (number, about) in (first..).zip(about) {
        let words = format!(
            "{number}  {}: {}",
            about.finding.severity, about.finding.message
        );
        for (row, line) in wrapped(&words, right - left - 12.0).into_iter().enumerate() {
            let top = ink.room_below(left, right, SENTENCE);
            let indent = if row == 0 { 0.0 } else { 12.0 };
            ink.text("sentence", (left + indent, top + SENTENCE - 1.0), &line)?;
        }
    }
    Ok(())
}

/// Words in lines no wider than a width, but for a word that is wider itself.
pub(crate) fn wrapped(words: &str, width: f64) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for word in words.split(' ') {
        match lines.last_mut() {
            Some(line) if width_of(line, SENTENCE) + width_of(word, SENTENCE) + 4.0 <= width => {
                line.push(' ');
                line.push_str(word);
            }
            _ => lines.push(word.to_owned()),
        }
    }
    lines
}

/// A mark for each severity, told apart by its shape: diamond, triangle, ring, point.
pub(crate) fn shape(sheet: &mut Sheet, severity: Severity, x: f64, y: f64) -> io::Result<()> {
    let corners = |corners: &[(f64, f64)]| {
        let points: Vec<String> = corners
            .iter()
            .map(|(right, down)| format!("{:.1},{:.1}", x + right * HALF, y + down * HALF))
            .collect();
        Tag::new("polygon").word("points", &points.join(" "))
    };
    let circle = |radius| Tag::new("circle").numbers([("cx", x), ("cy", y), ("r", radius)]);
    let tag = match severity {
        Severity::Error => corners(&[(0.0, -1.2), (1.2, 0.0), (0.0, 1.2), (-1.2, 0.0)]),
        Severity::Warning => corners(&[(0.0, -1.0), (1.1, 0.9), (-1.1, 0.9)]),
        Severity::Information => circle(HALF * 0.8),
        Severity::Hint => circle(HALF * 0.45),
    };
    sheet.empty(tag.word("class", "shape"))
}
