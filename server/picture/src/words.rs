//! What stands around the staff: barlines with their numbers, words to the player, dynamics, rests drawn together.

use std::io;

use score::{EventKind, Mark, MarkKind};
use theory::Seconds;

use crate::page::System;
use crate::sheet::{Sheet, Tag};
use crate::subject::Subject;
use crate::systems::BarStart;
use crate::time::Axis;

/// Rows of words above the staff; what finds no room in them is left to the text.
const ROWS: usize = 2;
/// How high a row is.
pub(crate) const ROW: f64 = 10.0;
/// About how wide a letter is.
const LETTER: f64 = 4.6;
/// Bar numbers stand no nearer.
const NUMBERS: f64 = 26.0;

pub(crate) fn barlines(
    sheet: &mut Sheet,
    system: &System<'_>,
    bars: &[BarStart],
) -> io::Result<()> {
    let mut free = f64::MIN;
    let first = bars.partition_point(|bar| bar.x < system.stretch.from);
    let shown = bars.iter().skip(first);
    for bar in shown.take_while(|bar| system.stretch.holds(bar.x)) {
        let x = system.left + bar.x - system.stretch.from;
        let line = Tag::new("line").word("class", "barline");
        let (top, foot) = (system.staff.top, system.foot());
        sheet.empty(line.numbers([("x1", x), ("x2", x), ("y1", top), ("y2", foot)]))?;
        if x >= free {
            let number = Tag::new("text").word("class", "bar");
            let number = number.numbers([("x", x + 1.5), ("y", system.bar_numbers())]);
            sheet.text(number, &bar.number.to_string())?;
            free = x + NUMBERS;
        }
    }
    Ok(())
}

/// Words or a dynamic over the line of time.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Written<'a> {
    pub(crate) x: f64,
    words: &'a str,
    dynamic: bool,
}

/// All words and dynamics of the part as they stand in the score, by time.
pub(crate) fn all<'a>(subject: &Subject<'a>, axis: &Axis) -> Vec<Written<'a>> {
    let reading = subject.reading;
    let part = reading.piece.parts.get(subject.horn.seat.part);
    let mut all: Vec<Written<'a>> = part
        .into_iter()
        .flat_map(score::Part::events)
        .filter_map(|placed| {
            let EventKind::Mark(Mark { kind, .. }) = &placed.event.kind else {
                return None;
            };
            let (words, dynamic) = match kind {
                MarkKind::Words(text) => (text.text.trim(), false),
                MarkKind::Dynamic(letters) => (letters.as_str(), true),
                _ => return None,
            };
            Some(Written {
                x: axis.x(reading.tempo.seconds(placed.onset)),
                words,
                dynamic,
            })
        })
        .collect();
    all.sort_by(|one, other| one.x.total_cmp(&other.x));
    all
}

/// Words above the staff and dynamics below it.
pub(crate) fn marks(sheet: &mut Sheet, system: &System<'_>) -> io::Result<()> {
    let mut above = [f64::MIN; ROWS];
    let mut below = [f64::MIN; 1];
    for mark in &system.words {
        let x = system.left + mark.x - system.stretch.from;
        if mark.dynamic {
            if room(&mut below, x, mark.words).is_some() {
                written(sheet, "dynamic", x, system.dynamics(), mark.words)?;
            }
        } else if let Some(row) = room(&mut above, x, mark.words) {
            let y = system.staff.top - 4.0 - ROW * row as f64;
            written(sheet, "words", x, y, mark.words)?;
        }
    }
    Ok(())
}

/// How many rows the words above a system take.
pub(crate) fn rows(words: &[Written<'_>]) -> usize {
    let mut rows = [f64::MIN; ROWS];
    let above = words.iter().filter(|mark| !mark.dynamic);
    let taken = above.filter_map(|mark| room(&mut rows, mark.x, mark.words));
    taken.max().map_or(0, |highest| highest + 1)
}

/// The row in which words find room, and takes it.
fn room(rows: &mut [f64], x: f64, words: &str) -> Option<usize> {
    let row = rows.iter().position(|until| *until <= x)?;
    *rows.get_mut(row)? = x + LETTER * (words.chars().count() as f64 + 1.0);
    Some(row)
}

fn written(sheet: &mut Sheet, class: &str, x: f64, y: f64, words: &str) -> io::Result<()> {
    let text = Tag::new("text").word("class", class);
    sheet.text(text.numbers([("x", x), ("y", y)]), words)
}

/// Rests drawn together: how long they last.
pub(crate) fn gaps(sheet: &mut Sheet, system: &System<'_>) -> io::Result<()> {
    for gap in system.axis.gaps.iter().filter(|gap| gap.silent) {
        let Some((from, to)) = system.between(gap.from, gap.to) else {
            continue;
        };
        let middle = system.staff.top + system.staff.height() / 2.0;
        let block = Tag::new("rect").word("class", "rest");
        let block = block.numbers([("x", from + 8.0), ("width", (to - from - 16.0).max(1.0))]);
        sheet.empty(block.numbers([("y", middle - 2.5), ("height", 5.0)]))?;
        let words = length_of(system, gap.from, gap.to);
        let x = (from + to) / 2.0;
        written(sheet, "rest-length", x, middle - 6.0, &words)?;
    }
    Ok(())
}

/// `12 bars, 31 s`, or only the seconds within a bar.
fn length_of(system: &System<'_>, from: Seconds, to: Seconds) -> String {
    let reading = system.subject.reading;
    let part = reading.piece.parts.get(system.subject.horn.seat.part);
    let whole = part
        .into_iter()
        .flat_map(|part| &part.bars)
        .filter(|bar| {
            let starts = reading.tempo.seconds(bar.onset);
            let ends = reading.tempo.seconds(bar.onset + bar.length);
            starts.0 >= from.0 - 1e-6 && ends.0 <= to.0 + 1e-6
        })
        .count();
    let seconds = (to - from).0;
    match whole {
        0 => format!("{seconds:.0} s rest"),
        1 => format!("1 bar, {seconds:.0} s"),
        bars => format!("{bars} bars, {seconds:.0} s"),
    }
}
