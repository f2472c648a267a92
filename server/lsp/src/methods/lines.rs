//! `bellhand/lines`, a request of this server's own: some lines of the picture of a part, for whoever shows a long one.

use std::ops::Range;

use picture::{LaidPart, Subject};
use reading::{HornPart, PlayedNote};
use serde::{Deserialize, Serialize};

use super::picture::{self as whole, Place, part_at, placed};
use crate::view::View;

/// The request's name.
pub(crate) const METHOD: &str = "bellhand/lines";
/// How many lines before and behind the note at the position are drawn, where it is not said which.
const AROUND: (usize, usize) = (2, 8);
/// The most lines of an answer.
const MOST: usize = 100;

/// What is asked for.
#[derive(Debug, Clone, Deserialize)]
#[serde(rename_all = "camelCase")]
pub(crate) struct Asked {
    #[serde(flatten)]
    pub(crate) picture: whole::Asked,
    /// The first and the last line, counted from 0; those around the note at the position when it is left out.
    lines: Option<(usize, usize)>,
}

/// The answer.
#[derive(Debug, Clone, Serialize)]
#[serde(rename_all = "camelCase")]
pub(crate) struct Answer {
    /// What the part is called.
    part: String,
    /// Its heading, and the styles and outlines that all of the answer needs.
    head: String,
    /// What the signs mean.
    foot: String,
    /// Every line of the part, drawn or not.
    lines: Vec<LineOf>,
    /// Which line the first that is drawn is, from 0.
    first: usize,
    /// The lines that are drawn, each one `svg` element.
    drawn: Vec<String>,
    /// Notes and findings on the lines that are drawn, in the order of the text.
    places: Vec<Place>,
    /// The note at the position.
    current: Option<Current>,
}

/// What is known of a line before it is drawn.
#[derive(Debug, Clone, Serialize)]
struct LineOf {
    /// Its first and last bar.
    bars: (u32, u32),
    /// How many notes of the part stand before it.
    notes: usize,
    /// How many findings are marked on it.
    findings: usize,
}

/// A note, and where it is drawn.
#[derive(Debug, Clone, Serialize)]
struct Current {
    id: String,
    line: usize,
}

/// Draws lines of the horn part at the position, or the nearest before it, or the first; `None` where there is no horn part.
pub(crate) fn lines(view: &View, asked: &Asked) -> Option<Answer> {
    let byte = view.byte(asked.picture.position);
    let (base, reading, horn) = part_at(view, byte)?;
    let subject = Subject {
        base,
        reading,
        horn,
        findings: view.judged.findings(),
    };
    let options = asked.picture.options();
    let laid = LaidPart::lay(&subject, &options).ok()?;
    let current = byte.checked_sub(base).and_then(|byte| note_at(horn, byte));
    let current = current.map(|(index, note)| Current {
        id: picture::note_id(options.names, index),
        line: laid.line_at(note.onset),
    });
    let lines = wanted(asked.lines, current.as_ref(), laid.lines());
    // Writing into memory does not fail.
    let drawing = laid.draw(lines.clone()).ok()?;
    let mut strips = drawing.strips().ok()?.into_iter();
    let head = strips.next()?;
    let foot = strips.next_back()?;
    let all = (0..laid.lines()).map(|line| LineOf {
        bars: laid.bars(line).unwrap_or_default(),
        notes: horn
            .notes
            .partition_point(|note| laid.line_at(note.onset) < line),
        findings: laid.told(line..line + 1).len(),
    });
    Some(Answer {
        part: drawing.part,
        head,
        foot,
        lines: all.collect(),
        first: lines.start,
        drawn: strips.collect(),
        places: placed(view, drawing.places),
        current,
    })
}

/// The note at a byte of its piece, the one that begins last, and its place among the part's notes.
fn note_at(horn: &HornPart, byte: usize) -> Option<(usize, &PlayedNote)> {
    let notes = horn.notes.iter().enumerate();
    let here = notes.filter(|(_, note)| note.span.touches(byte));
    here.max_by_key(|(_, note)| note.span)
}

/// Which lines are drawn, of so many.
fn wanted(asked: Option<(usize, usize)>, current: Option<&Current>, all: usize) -> Range<usize> {
    let (first, last) = asked.unwrap_or_else(|| {
        let line = current.map_or(0, |current| current.line);
        (line.saturating_sub(AROUND.0), line.saturating_add(AROUND.1))
    });
    let first = first.min(all.saturating_sub(1));
    let end = last
        .saturating_add(1)
        .min(all)
        .min(first.saturating_add(MOST));
    first..end.max(first)
}
