//! The whole drawing: lines of music one below the other, each with what is said about it, the lanes below and a legend.

use std::io;
use std::ops::Range;

use reading::WrittenOf;
use theory::{Quarters, TempoSource};

use crate::drawing::{Block, Drawing};
use crate::ink::Used;
use crate::laid_part::LaidPart;
use crate::sheet::{LARGEST, Sheet, Tag, short, too_long};
use crate::subject::{Options, Picture, Pitched, Place, Subject};
use crate::{findings, legend, notes, style};

/// Room for a row of the heading.
const HEADING: f64 = 20.0;
/// Room between lines.
const BETWEEN: f64 = 18.0;
/// From the top of the legend to its first line of words.
const LEGEND: f64 = 10.0;

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
    let laid = LaidPart::lay(subject, options)?;
    laid.draw(0..laid.lines())
}

impl LaidPart<'_, '_> {
    /// Draws some of its lines, between its heading and its legend, with the places of what stands on them alone. Fails
    /// when that is too large for a picture that anything could show.
    pub fn draw(&self, lines: Range<usize>) -> io::Result<Drawing> {
        let (subject, options) = (self.subject, self.options);
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
        let mut size = 0;
        for place in lines.clone() {
            let Some(drawn) = self.line(place, &mut used)? else {
                break;
            };
            size += drawn.svg.len();
            if size > LARGEST {
                return Err(too_long());
            }
            let moved = format!(
                "<g class=\"system\" transform=\"translate(0 {})\">",
                short(-drawn.top)
            );
            blocks.push(Block {
                svg: [&moved, drawn.svg.as_str(), "</g>"].concat(),
                height: drawn.bottom - drawn.top + BETWEEN,
                silence: self.silence(place),
                bars: self.bars(place),
            });
        }
        if !options.plain {
            let mut below = Sheet::new();
            let foot = legend::draw(&mut below, self, LEGEND)?;
            blocks.push(Block {
                svg: below.finish(),
                height: foot,
                silence: None,
                bars: None,
            });
        }
        let mut style = Sheet::new();
        style::write(&mut style, options.names, &used)?;
        let title = subject.reading.piece.title.as_ref();
        Ok(Drawing {
            part: subject.horn.label.clone(),
            title: title.map(|title| title.text.clone()),
            heading,
            width: self.width,
            style: style.finish(),
            blocks,
            places: self.places(lines),
        })
    }

    /// Where everything that has a name on some lines stands in the text, in its order.
    fn places(&self, lines: Range<usize>) -> Vec<Place> {
        let (subject, options) = (self.subject, self.options);
        let notes = subject.horn.notes.iter().enumerate();
        let notes = notes.filter(|(_, note)| lines.contains(&self.line_at(note.onset)));
        let notes = notes.map(|(index, note)| Place {
            id: notes::id(options, index),
            span: note.span.shifted(subject.base),
            label: notes::label(subject, note),
        });
        let about = self.about.get(self.told(lines.clone()));
        let findings = about.unwrap_or_default().iter().map(|about| Place {
            id: findings::id(options, about.index),
            span: about.finding.span,
            label: findings::label(about.finding),
        });
        let mut places: Vec<Place> = notes.chain(findings).collect();
        places.sort_by_key(|place| place.span);
        places
    }
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
