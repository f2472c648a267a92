//! What is said about the part, as marks over the system where it stands.

use std::io;

use reading::HornPart;
use rules::{Finding, Severity};
use score::Span;
use theory::Seconds;

use crate::page::System;
use crate::sheet::{Sheet, Tag};
use crate::subject::{Options, Subject};

/// How high a row of marks is.
const ROW: f64 = 12.0;
/// The room for a system's marks; none when there are none.
pub(crate) const fn row(about: &[About<'_>]) -> f64 {
    if about.is_empty() { 0.0 } else { ROW }
}

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

pub(crate) fn draw(sheet: &mut Sheet, system: &System<'_>) -> io::Result<()> {
    let mut free = f64::MIN;
    let y = system.top + ROW / 2.0;
    for about in &system.about {
        let place = system.x(about.at) + HALF;
        let x = place.max(free);
        free = x + HALF * 2.0 + 1.5;
        let classes = format!("finding f-{}", about.finding.severity);
        let group = Tag::new("g").word("class", &classes);
        sheet.open(group.word("id", &id(system.options, about.index)))?;
        sheet.text(Tag::new("title"), &label(about.finding))?;
        if let Some(note) = about
            .note
            .and_then(|note| system.subject.horn.notes.get(note))
        {
            let pitch = system.options.pitch.of(note);
            let to = system.staff.y(pitch.staff_steps()) - 4.0;
            let stem = Tag::new("line").word("class", "stem");
            sheet.empty(stem.numbers([
                ("x1", x),
                ("x2", place - HALF + 1.0),
                ("y1", y + HALF),
                ("y2", to),
            ]))?;
        }
        shape(sheet, about.finding.severity, x, y)?;
        sheet.close("g")?;
    }
    Ok(())
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
