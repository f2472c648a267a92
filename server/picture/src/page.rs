//! The whole drawing: lines of music one below the other, each with what is said about it, the lanes below and a legend.

use std::io;

use reading::WrittenOf;
use theory::{Quarters, Seconds, TempoSource};

use crate::clock::Clock;
use crate::draw::{self, Scene};
use crate::drawing::{Block, Drawing};
use crate::findings::About;
use crate::ink::{Ink, Used};
use crate::lanes::{self, Curve as Lane};
use crate::layout::lines::{self, LaidMeasure, Line};
use crate::sheet::{LARGEST, Sheet, Tag, short, too_long};
use crate::staff::Measure;
use crate::staff::gather::gather;
use crate::staff::slurs::{self, Curve};
use crate::subject::{Options, Picture, Pitched, Place, Subject};
use crate::{findings, legend, notes, style};

/// Room before and behind the staff, in pixels.
const LEFT: f64 = 34.0;
const RIGHT: f64 = 10.0;
/// Room for a row of the heading.
const HEADING: f64 = 20.0;
/// Room between lines.
const BETWEEN: f64 = 18.0;
/// From the top of the legend to its first line of words.
const LEGEND: f64 = 10.0;
/// A drawing is never narrower.
const NARROWEST: f64 = 240.0;
/// The most lines of a drawing; the longest real parts have a tenth of it. Bellhand's own choice.
const MOST_LINES: usize = 5_000;

/// A part laid out on its lines.
struct Score<'a, 's> {
    subject: &'s Subject<'a>,
    options: &'s Options<'s>,
    measures: Vec<Measure<'a>>,
    laid: Vec<LaidMeasure>,
    lines: Vec<Line>,
    /// The slurs and ties that each line shows a part of.
    curves: Vec<Vec<Curve>>,
    about: Vec<About<'a>>,
    lanes: [(&'static str, Lane); 2],
    /// When notes begin, and until when any before them sound.
    sounds: Vec<(Quarters, f64, f64)>,
}

/// Draws a part as one picture. Fails when the part is too long for a picture that anything could show.
pub fn draw(subject: &Subject<'_>, options: &Options<'_>) -> io::Result<Picture> {
    let drawing = engrave(subject, options)?;
    Ok(Picture {
        svg: drawing.whole()?,
        part: drawing.part,
        places: drawing.places,
    })
}

/// Draws a part as blocks that can be put one below the other, or on pages. Fails when the part is too long for a picture
/// that anything could show.
pub fn engrave(subject: &Subject<'_>, options: &Options<'_>) -> io::Result<Drawing> {
    let width = options.width.max(NARROWEST);
    let score = lay(subject, options, width)?;
    let heading = heading(subject, options);
    let mut head = Sheet::new();
    let height = title(&mut head, subject, &heading)?;
    let mut blocks = vec![Block {
        svg: head.finish(),
        height,
        silence: None,
        bars: None,
    }];
    let mut used = Used::new();
    let (mut size, mut told) = (0, 0);
    for place in 0..score.lines.len() {
        let (drawn, top, bottom, said) = score.line(place, width, &mut used, told)?;
        told += said;
        size += drawn.len();
        if size > LARGEST {
            return Err(too_long());
        }
        let moved = format!(
            "<g class=\"system\" transform=\"translate(0 {})\">",
            short(-top)
        );
        blocks.push(Block {
            svg: [&moved, drawn.as_str(), "</g>"].concat(),
            height: bottom - top + BETWEEN,
            silence: score.silence(place),
            bars: score.bars(place),
        });
    }
    if !options.plain {
        let mut below = Sheet::new();
        let foot = legend::draw(
            &mut below,
            subject,
            (&score.about, options.fingering),
            LEGEND,
            width,
        )?;
        blocks.push(Block {
            svg: below.finish(),
            height: foot,
            silence: None,
            bars: None,
        });
    }
    let mut style = Sheet::new();
    style::write(&mut style, options.names, &used)?;
    Ok(Drawing {
        part: subject.horn.label.clone(),
        title: subject
            .reading
            .piece
            .title
            .as_ref()
            .map(|title| title.text.clone()),
        heading,
        width,
        style: style.finish(),
        blocks,
        places: places(subject, options, &score.about),
    })
}

fn lay<'a, 's>(
    subject: &'s Subject<'a>,
    options: &'s Options<'s>,
    width: f64,
) -> io::Result<Score<'a, 's>> {
    let (start, measures) = gather(subject, options.pitch);
    let laid = lines::measures(&start, &measures);
    let lines = lines::cut(&start, &measures, &laid, (LEFT, width - RIGHT), MOST_LINES)
        .ok_or_else(too_long)?;
    let curves = share_out(slurs::curves(&measures), &lines);
    Ok(Score {
        subject,
        options,
        measures,
        laid,
        lines,
        curves,
        about: findings::about(subject),
        lanes: [
            ("breath", lanes::breath(subject)),
            ("lip", lanes::lip(subject)),
        ],
        sounds: sounds(subject),
    })
}

/// Gives each line the curves it shows a part of.
fn share_out(curves: Vec<Curve>, lines: &[Line]) -> Vec<Vec<Curve>> {
    let begins = |line: &Line| {
        line.pieces
            .first()
            .map_or((0, 0), |piece| (piece.measure, piece.columns.start))
    };
    let mut shares = vec![Vec::new(); lines.len()];
    for curve in curves {
        let first = lines
            .partition_point(|line| begins(line) <= (curve.from.0, curve.from.1))
            .saturating_sub(1);
        let last = lines.partition_point(|line| begins(line) <= (curve.to.0, curve.to.1));
        for share in shares.get_mut(first..last).unwrap_or_default() {
            share.push(curve);
        }
    }
    shares
}

impl Score<'_, '_> {
    /// One line: its elements, how high and low it reaches, and how many findings it tells, numbered after `told`.
    fn line(
        &self,
        place: usize,
        width: f64,
        used: &mut Used,
        told: usize,
    ) -> io::Result<(String, f64, f64, usize)> {
        let (Some(line), Some(curves)) = (self.lines.get(place), self.curves.get(place)) else {
            return Ok((String::new(), 0.0, 0.0, 0));
        };
        let last = place + 1 == self.lines.len();
        let scene = Scene {
            subject: self.subject,
            options: self.options,
            measures: &self.measures,
            laid: &self.laid,
            curves,
            line,
            left: LEFT,
            first: place == 0,
            last,
        };
        let mut ink = Ink::new(width, self.options.names, used);
        draw::draw(&mut ink, &scene)?;
        let clock = Clock::of(&scene, self.subject.reading);
        let until = clock.span().map_or(f64::MAX, |(_, until)| until);
        if self.options.plain {
            let (drawn, top, bottom) = ink.finish();
            return Ok((drawn, top, bottom, 0));
        }
        let rest = self.about.get(told..).unwrap_or_default();
        let said = if last {
            rest.len()
        } else {
            rest.partition_point(|about| about.at.0 < until)
        };
        let here = rest.get(..said).unwrap_or_default();
        findings::marks(&mut ink, &scene, &clock, here, told + 1)?;
        let across = (
            line.pieces.first().map_or(LEFT, |piece| piece.left),
            line.right,
        );
        for (name, lane) in &self.lanes {
            lanes::lane(&mut ink, &clock, across, name, lane)?;
        }
        if self.options.sentences {
            findings::sentences(&mut ink, (LEFT, width - RIGHT), here, told + 1)?;
        }
        let (drawn, top, bottom) = ink.finish();
        Ok((drawn, top, bottom, said))
    }
}

impl Score<'_, '_> {
    /// The numbers of a line's first and last bar.
    fn bars(&self, place: usize) -> Option<(u32, u32)> {
        let pieces = &self.lines.get(place)?.pieces;
        let first = self.measures.get(pieces.first()?.measure)?;
        let last = self.measures.get(pieces.last()?.measure)?;
        Some((first.number, last.number.saturating_add(last.bars - 1)))
    }

    /// How long the player has nothing to play around the end of a line.
    fn silence(&self, place: usize) -> Option<Seconds> {
        let last = self.lines.get(place)?.pieces.last()?;
        let ends = self.measures.get(last.measure).map(|measure| {
            let after = measure.columns.get(last.columns.end);
            measure.onset + after.map_or(measure.length, |column| column.offset)
        })?;
        let after = self.sounds.partition_point(|(onset, ..)| *onset < ends);
        let until = after
            .checked_sub(1)
            .and_then(|before| self.sounds.get(before));
        let until = until.map_or(0.0, |(.., until)| *until);
        let next = self
            .sounds
            .get(after)
            .map_or(f64::MAX, |(_, starts, _)| *starts);
        Some(Seconds(next - until))
    }
}

/// When each note begins, and until when it or one before it sounds, in the order of time.
fn sounds(subject: &Subject<'_>) -> Vec<(Quarters, f64, f64)> {
    let notes = subject.horn.notes.iter();
    let mut sounds: Vec<(Quarters, f64, f64)> = notes
        .map(|note| (note.onset, note.starts.0, note.ends.0))
        .collect();
    sounds.sort_by_key(|(onset, ..)| *onset);
    let mut longest = 0.0_f64;
    for (.., until) in &mut sounds {
        longest = longest.max(*until);
        *until = longest;
    }
    sounds
}

/// The heading; gives back where it ends.
fn title(sheet: &mut Sheet, subject: &Subject<'_>, heading: &str) -> io::Result<f64> {
    let mut y = 0.0;
    let piece = &subject.reading.piece;
    for (class, words) in [
        (
            "title",
            piece.title.as_ref().map(|title| title.text.as_str()),
        ),
        ("heading", Some(heading)),
        ("assumed", assumed(subject).as_deref()),
    ] {
        if let Some(words) = words {
            y += HEADING;
            let text = Tag::new("text").word("class", class);
            sheet.text(text.numbers([("x", 4.0), ("y", y - 5.0)]), words)?;
        }
    }
    Ok(y + 6.0)
}

/// The tempo at the start, where the score gives no number.
fn assumed(subject: &Subject<'_>) -> Option<String> {
    let (tempo, source) = subject.reading.tempo.tempo(Quarters::ZERO);
    let why = match source {
        TempoSource::Marked => return None,
        TempoSource::Word => "the usual speed of the tempo word",
        TempoSource::Title => "the usual speed of the tempo word in the title",
        TempoSource::Assumed => "assumed: the score gives no tempo",
    };
    Some(format!("♩ = {}, {why}", short(tempo.rate())))
}

/// What is drawn: the part, its crook where the page does not name it, and the pitch.
fn heading(subject: &Subject<'_>, options: &Options<'_>) -> String {
    let horn = subject.horn;
    let crook = match horn.seat.page {
        WrittenOf::Crook => String::new(),
        WrittenOf::NoCrook => format!(" ({})", horn.crook.label()),
    };
    let pitch = match options.pitch {
        Pitched::Written => "as written",
        Pitched::Sounding => "as it sounds",
    };
    format!("{}{crook}, {pitch}", horn.label)
}

/// Where everything that has a name stands in the text.
fn places(subject: &Subject<'_>, options: &Options<'_>, about: &[About<'_>]) -> Vec<Place> {
    let notes = subject.horn.notes.iter().enumerate();
    let notes = notes.map(|(index, note)| Place {
        id: notes::id(options, index),
        span: note.span.shifted(subject.base),
        label: notes::label(subject, note),
    });
    let findings = about.iter().map(|about| Place {
        id: findings::id(options, about.index),
        span: about.finding.span,
        label: findings::label(about.finding),
    });
    let mut places: Vec<Place> = notes.chain(findings).collect();
    places.sort_by_key(|place| place.span);
    places
}
