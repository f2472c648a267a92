//! What is said about the part, as marks over the system where it stands.

use std::io;

use reading::HornPart;
use rules::{Finding, Severity};
use score::Span;
use theory::Seconds;

use crate::page::System;
use crate::sheet::{Sheet, Tag};
use crate::subject::Subject;

/// How high the row of marks is.
pub(crate) const ROW: f64 = 12.0;
/// Half a mark.
const HALF: f64 = 3.6;

/// A finding about the part.
#[derive(Debug, Clone, Copy)]
pub(crate) struct About<'a> {
    pub(crate) finding: &'a Finding,
    /// Its place among the document's findings, which names its element.
    pub(crate) index: usize,
    /// The moment it is about.
    at: Seconds,
    /// The note it is about, by its place.
    note: Option<usize>,
}

/// The `id` of a finding's element.
pub(crate) fn id(index: usize) -> String {
    format!("finding-{index}")
}

/// A finding in words.
pub(crate) fn label(finding: &Finding) -> String {
    format!("{} {}: {}", finding.severity, finding.rule, finding.message)
}

/// The findings about this part, by time.
pub(crate) fn about<'a>(subject: &Subject<'a>) -> Vec<About<'a>> {
    let mut all: Vec<About<'a>> = subject
        .findings
        .iter()
        .enumerate()
        .filter_map(|(index, finding)| {
            let start = finding.span.start.checked_sub(subject.base)?;
            let span = Span::new(start, start + finding.span.end - finding.span.start);
            let own = owns(subject.horn, span) || head(subject.horn, span);
            let named = finding.part.as_ref() == Some(&subject.horn.label);
            if !(own || named && alone(subject)) {
                return None;
            }
            let (at, note) = moment(subject, span);
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

/// Whether a place is one of the part's own notes or marks.
fn owns(horn: &HornPart, span: Span) -> bool {
    let within =
        |whole: Span| whole.start <= span.start && span.start < whole.end.max(whole.start + 1);
    horn.notes.iter().any(|note| within(note.span))
        || horn.marks.iter().any(|mark| within(mark.span))
        || horn.keys.iter().any(|(_, _, key)| within(*key))
        || horn
            .crook_changes
            .iter()
            .any(|(_, _, words)| within(*words))
}

/// Whether a place is where the part is declared.
fn head(horn: &HornPart, span: Span) -> bool {
    std::iter::once(horn.head)
        .chain(horn.name_span)
        .any(|head| head.start <= span.start && span.start < head.end)
}

/// When it is what a finding is about, and at which note.
fn moment(subject: &Subject<'_>, span: Span) -> (Seconds, Option<usize>) {
    let horn = subject.horn;
    let note = horn
        .notes
        .iter()
        .position(|note| note.span.start <= span.start && span.start < note.span.end);
    if let Some(found) = note.and_then(|index| horn.notes.get(index)) {
        return (found.starts, note);
    }
    let marks = horn.marks.iter().map(|mark| (mark.span, mark.onset));
    let keys = horn.keys.iter().map(|(onset, _, key)| (*key, *onset));
    let onset = marks
        .chain(keys)
        .find(|(whole, _)| whole.start <= span.start && span.start < whole.end)
        .map(|(_, onset)| onset);
    let at = onset.map(|onset| subject.reading.tempo.seconds(onset));
    (at.unwrap_or_default(), None)
}

pub(crate) fn draw(sheet: &mut Sheet, system: &System<'_>, all: &[About<'_>]) -> io::Result<()> {
    let mut free = f64::MIN;
    let y = system.top + ROW / 2.0;
    for about in all.iter().filter(|about| system.holds(about.at)) {
        let place = system.x(about.at) + HALF;
        let x = place.max(free);
        free = x + HALF * 2.0 + 1.5;
        let classes = format!("finding f-{}", about.finding.severity);
        let group = Tag::new("g").word("class", &classes);
        sheet.open(group.word("id", &id(about.index)))?;
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
