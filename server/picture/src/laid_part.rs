//! A part laid out on its lines, each of which can be drawn by itself.

use std::io;
use std::ops::Range;

use reading::Silences;
use theory::{Quarters, Seconds};

use crate::clock::Clock;
use crate::draw::{self, Scene};
use crate::findings::{self, About};
use crate::ink::{Ink, Used};
use crate::lanes::{self, Curve as Lane};
use crate::layout::lines::{self, LaidMeasure, Line};
use crate::others::{self, Ground};
use crate::sheet::too_long;
use crate::staff::Measure;
use crate::staff::gather::gather;
use crate::staff::slurs::{self, Curve};
use crate::subject::{Options, Subject};

/// Room before and behind the staff, in pixels.
const LEFT: f64 = 34.0;
const RIGHT: f64 = 10.0;
/// A drawing is never narrower.
const NARROWEST: f64 = 240.0;
/// The most lines of a drawing; the longest real parts have a tenth of it. Bellhand's own choice.
const MOST_LINES: usize = 5_000;

/// A part laid out on its lines, none of which is drawn yet.
pub struct LaidPart<'a, 's> {
    pub(crate) subject: &'s Subject<'a>,
    pub(crate) options: &'s Options<'s>,
    /// How wide it is, in pixels.
    pub(crate) width: f64,
    measures: Vec<Measure<'a>>,
    laid: Vec<LaidMeasure>,
    lines: Vec<Line>,
    /// Where each line ends, in quarter notes from the part's start.
    ends: Vec<Quarters>,
    /// The slurs and ties that each line shows a part of.
    curves: Vec<Vec<Curve>>,
    pub(crate) about: Vec<About<'a>>,
    /// How many findings stand before the end of each line.
    told: Vec<usize>,
    lanes: [(&'static str, Lane); 2],
    /// What the others carry behind its solos.
    pub(crate) grounds: Vec<Ground>,
    /// When each note is played first, where that is asked for.
    times: Vec<Option<Seconds>>,
    silences: Silences,
}

/// A line that is drawn.
pub(crate) struct DrawnLine {
    /// Its elements.
    pub(crate) svg: String,
    /// How high and how low it reaches, from its staff's top.
    pub(crate) top: f64,
    pub(crate) bottom: f64,
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

impl<'a, 's> LaidPart<'a, 's> {
    /// Lays a part out. Fails when it is too long for a picture that anything could show.
    pub fn lay(subject: &'s Subject<'a>, options: &'s Options<'s>) -> io::Result<Self> {
        let width = options.width.max(NARROWEST);
        let (start, measures) = gather(subject, options.pitch);
        let laid = lines::measures(&start, &measures);
        let lines = lines::cut(&start, &measures, &laid, (LEFT, width - RIGHT), MOST_LINES)
            .ok_or_else(too_long)?;
        let curves = share_out(slurs::curves(&measures), &lines);
        let about = findings::about(subject);
        let ends: Vec<Quarters> = lines.iter().map(|line| ends(line, &measures)).collect();
        let mut told: Vec<usize> = ends
            .iter()
            .map(|ends| {
                let until = subject.reading.tempo.seconds(*ends);
                about.partition_point(|about| about.at.0 < until.0)
            })
            .collect();
        if let Some(last) = told.last_mut() {
            // What is said of the end stands on the last line too.
            *last = about.len();
        }
        Ok(Self {
            subject,
            options,
            width,
            measures,
            laid,
            lines,
            ends,
            curves,
            about,
            told,
            lanes: [
                ("breath", lanes::breath(subject)),
                ("lip", lanes::lip(subject)),
            ],
            grounds: others::grounds(subject),
            times: times(subject, options),
            silences: Silences::of(subject.horn),
        })
    }

    /// How many lines of music it has.
    #[must_use]
    pub const fn lines(&self) -> usize {
        self.lines.len()
    }

    /// Which line, counted from 0, a moment stands on, in quarter notes from the part's start.
    #[must_use]
    pub fn line_at(&self, onset: Quarters) -> usize {
        let after = self.ends.partition_point(|ends| *ends <= onset);
        after.min(self.lines.len().saturating_sub(1))
    }

    /// The numbers of a line's first and last bar.
    #[must_use]
    pub fn bars(&self, place: usize) -> Option<(u32, u32)> {
        let pieces = &self.lines.get(place)?.pieces;
        let first = self.measures.get(pieces.first()?.measure)?;
        let last = self.measures.get(pieces.last()?.measure)?;
        Some((first.number, last.number.saturating_add(last.bars - 1)))
    }

    /// Which of the findings about the part stand on some lines, by time.
    #[must_use]
    pub fn told(&self, lines: Range<usize>) -> Range<usize> {
        let until = |line: usize| line.checked_sub(1).and_then(|line| self.told.get(line));
        let [from, to] = [lines.start, lines.end].map(|line| until(line).copied().unwrap_or(0));
        from..to.max(from)
    }

    /// One line.
    pub(crate) fn line(&self, place: usize, used: &mut Used) -> io::Result<Option<DrawnLine>> {
        let (Some(line), Some(curves)) = (self.lines.get(place), self.curves.get(place)) else {
            return Ok(None);
        };
        let scene = Scene {
            subject: self.subject,
            options: self.options,
            measures: &self.measures,
            laid: &self.laid,
            curves,
            times: &self.times,
            line,
            left: LEFT,
            first: place == 0,
            last: place + 1 == self.lines.len(),
        };
        let mut ink = Ink::new(self.width, self.options.names, used);
        if self.options.plain {
            draw::draw(&mut ink, &scene)?;
        } else {
            let clock = Clock::of(&scene, self.subject.reading);
            others::draw(&mut ink, &clock, &self.grounds)?;
            draw::draw(&mut ink, &scene)?;
            self.lay_over(&mut ink, &scene, &clock, self.told(place..place + 1))?;
        }
        let (svg, top, bottom) = ink.finish();
        Ok(Some(DrawnLine { svg, top, bottom }))
    }

    /// What bellhand says of a line: its findings, breath and lip.
    fn lay_over(
        &self,
        ink: &mut Ink<'_>,
        scene: &Scene<'_, '_>,
        clock: &Clock,
        told: Range<usize>,
    ) -> io::Result<()> {
        let first = told.start + 1;
        let here = self.about.get(told).unwrap_or_default();
        findings::marks(ink, scene, clock, here, first)?;
        let across = (
            scene.line.pieces.first().map_or(LEFT, |piece| piece.left),
            scene.line.right,
        );
        let shown = self.lanes.iter().filter(|_| self.options.effort);
        for (name, lane) in shown {
            lanes::lane(ink, clock, across, name, lane)?;
        }
        if self.options.sentences {
            findings::sentences(ink, (LEFT, self.width - RIGHT), here, first)?;
        }
        Ok(())
    }

    /// How long the player has nothing to play around the end of a line.
    pub(crate) fn silence(&self, place: usize) -> Option<Seconds> {
        let around = self.silences.around(*self.ends.get(place)?);
        Some(around.map_or(Seconds(f64::MAX), |silence| silence.lasts))
    }
}

/// Where a line ends: at its last barline, or in a bar that is cut.
fn ends(line: &Line, measures: &[Measure<'_>]) -> Quarters {
    let last = line.pieces.last();
    let measure = last.and_then(|last| Some((last, measures.get(last.measure)?)));
    measure.map_or(Quarters::ZERO, |(last, measure)| {
        let after = measure.columns.get(last.columns.end);
        measure.onset + after.map_or(measure.length, |column| column.offset)
    })
}

/// When each note of the part is played first; nothing where it is not asked for.
fn times(subject: &Subject<'_>, options: &Options<'_>) -> Vec<Option<Seconds>> {
    let mut times = Vec::new();
    if options.seconds {
        times.resize(subject.horn.notes.len(), None);
        // Which is first is told by the order in which they are played.
        for pass in subject.horn.passes.iter().rev() {
            if let Some(time) = times.get_mut(pass.note) {
                *time = Some(pass.starts);
            }
        }
    }
    times
}
