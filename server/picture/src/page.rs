//! The whole drawing: systems one below the other, each laid out from the marks above it to the curves below.

use std::io;

use reading::WrittenOf;
use theory::Seconds;

use crate::curves::{self, Curve, LANE};
use crate::findings::About;
use crate::sheet::{Sheet, Tag, too_long};
use crate::staff::Staff;
use crate::subject::{Options, Picture, Pitched, Place, Subject};
use crate::systems::{self, BarStart, Stretch};
use crate::time::Axis;
use crate::words::Written;
use crate::{findings, legend, notes, rips, style, words};

/// Room before the staff for the names of registers and pitches.
const LEFT: f64 = 78.0;
/// Room behind it.
const RIGHT: f64 = 8.0;
/// Room for the heading.
const HEADING: f64 = 20.0;
/// Room between systems.
const BETWEEN: f64 = 16.0;
/// Room for a row of small words.
const SMALL: f64 = 10.0;
/// A drawing is never narrower.
const NARROWEST: f64 = 240.0;
/// The most systems of a drawing; the longest real parts have a tenth of it. Bellhand's own choice.
const MOST_SYSTEMS: usize = 5_000;

/// One system, and all that is needed to draw it.
pub(crate) struct System<'a> {
    pub(crate) subject: &'a Subject<'a>,
    pub(crate) options: &'a Options<'a>,
    pub(crate) axis: &'a Axis,
    /// What it shows of the line of time.
    pub(crate) stretch: Stretch,
    /// Where it begins.
    pub(crate) left: f64,
    /// Where its row of findings begins.
    pub(crate) top: f64,
    pub(crate) staff: Staff,
    /// Its notes, by their places in the part.
    pub(crate) notes: Vec<usize>,
    /// Its words and dynamics, by time.
    pub(crate) words: Vec<Written<'a>>,
    /// What is said about it, by time.
    pub(crate) about: Vec<About<'a>>,
}

impl System<'_> {
    /// Whether a moment lies in it.
    pub(crate) fn holds(&self, at: Seconds) -> bool {
        self.stretch.holds(self.axis.x(at))
    }

    /// The place of a moment, which need not lie in it.
    pub(crate) fn x(&self, at: Seconds) -> f64 {
        self.left + self.axis.x(at) - self.stretch.from
    }

    /// What it shows of a span of time.
    pub(crate) fn between(&self, from: Seconds, to: Seconds) -> Option<(f64, f64)> {
        let (from, to) = self.stretch.part(self.axis.x(from), self.axis.x(to))?;
        Some((self.left + from, self.left + to))
    }

    fn right(&self) -> f64 {
        self.left + self.stretch.to - self.stretch.from
    }

    /// The line on which bar numbers stand.
    pub(crate) fn bar_numbers(&self) -> f64 {
        self.top + findings::row(&self.about) + SMALL - 2.0
    }

    /// The line on which dynamics stand.
    pub(crate) fn dynamics(&self) -> f64 {
        self.staff.top + self.staff.height() + SMALL
    }

    /// The foot of the breath's lane.
    fn breath_foot(&self) -> f64 {
        self.dynamics() + 4.0 + LANE
    }

    /// The foot of the lip's lane, and of the system.
    pub(crate) fn foot(&self) -> f64 {
        self.breath_foot() + 4.0 + LANE
    }
}

/// Draws a part. Fails when the part is too long for a picture that anything could show.
pub fn draw(subject: &Subject<'_>, options: &Options<'_>) -> io::Result<Picture> {
    let width = options.width.max(NARROWEST);
    let axis = Axis::of(subject.reading, subject.horn);
    let bars = systems::bar_starts(subject.reading, subject.horn, &axis);
    let about = findings::about(subject);
    let stretches = systems::cut(axis.length(), &bars, width - LEFT - RIGHT, MOST_SYSTEMS)
        .ok_or_else(too_long)?;
    let laid = lay(subject, options, &axis, &stretches, &about);
    let top = laid.last().map_or(HEADING, |last| last.foot() + BETWEEN);
    let mut body = Sheet::new();
    let curves = [
        ("breath", curves::breath(subject, &axis)),
        ("lip", curves::lip(subject, &axis)),
    ];
    for system in &laid {
        one(&mut body, system, &bars, &curves)?;
    }
    let foot = legend::draw(&mut body, subject, &about, top, width)?;
    let heading = heading(subject, options);
    let mut sheet = Sheet::new();
    sheet.open(
        Tag::new("svg")
            .word("xmlns", "http://www.w3.org/2000/svg")
            .word("viewBox", &format!("0 0 {width:.0} {foot:.0}"))
            .numbers([("width", width.round()), ("height", foot.round())])
            .word("role", "group")
            .word("aria-label", &heading),
    )?;
    sheet.text(Tag::new("title"), &heading)?;
    style::write(&mut sheet)?;
    let head = Tag::new("text").word("class", "heading");
    sheet.text(head.numbers([("x", 4.0), ("y", 13.0)]), &heading)?;
    let mut svg = sheet.finish();
    svg.push_str(&body.finish());
    svg.push_str("</svg>");
    Ok(Picture {
        part: subject.horn.label.clone(),
        svg,
        places: places(subject, options, &about),
    })
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

/// Lays the systems out, one below the other, each with what it shows.
fn lay<'a>(
    subject: &'a Subject<'a>,
    options: &'a Options<'a>,
    axis: &'a Axis,
    stretches: &[Stretch],
    about: &[About<'a>],
) -> Vec<System<'a>> {
    let notes = subject.horn.notes.iter().enumerate();
    let notes = notes.map(|(index, note)| (axis.x(note.starts), axis.x(note.ends), index));
    let words = words::all(subject, axis);
    let words = words.iter().map(|words| (words.x, words.x, *words));
    let about = about.iter().map(|about| {
        let x = axis.x(about.at);
        (x, x, *about)
    });
    let shares = systems::shared(stretches, notes).into_iter();
    let shares = shares.zip(systems::shared(stretches, words));
    let shares = shares.zip(systems::shared(stretches, about));
    let mut top = HEADING;
    let mut laid = Vec::with_capacity(stretches.len());
    for (stretch, ((notes, words), about)) in stretches.iter().zip(shares) {
        let seen = notes
            .iter()
            .filter_map(|note| subject.horn.notes.get(*note));
        // The findings, the bars' numbers and the words stand above the staff, where there are any.
        let rows = words::ROW * words::rows(&words) as f64;
        let above = findings::row(&about) + SMALL + rows;
        let staff = Staff::of(seen, options.pitch, top + above);
        let system = System {
            subject,
            options,
            axis,
            stretch: *stretch,
            left: LEFT,
            top,
            staff,
            notes,
            words,
            about,
        };
        top = system.foot() + BETWEEN;
        laid.push(system);
    }
    laid
}

fn one(
    sheet: &mut Sheet,
    system: &System<'_>,
    bars: &[BarStart],
    curves: &[(&str, Curve); 2],
) -> io::Result<()> {
    sheet.open(Tag::new("g").word("class", "system"))?;
    let (left, right) = (system.left, system.right());
    bands(sheet, system)?;
    system.staff.names(sheet, left - 4.0)?;
    system.staff.lines(sheet, left, right)?;
    words::barlines(sheet, system, bars)?;
    words::gaps(sheet, system)?;
    for ((name, curve), foot) in curves.iter().zip([system.breath_foot(), system.foot()]) {
        curves::lane(sheet, system, (name, curve), foot)?;
    }
    rips::draw(sheet, system)?;
    notes::draw(sheet, system)?;
    words::marks(sheet, system)?;
    findings::draw(sheet, system)?;
    sheet.close("g")
}

/// The registers, laid anew wherever the crook changes.
fn bands(sheet: &mut Sheet, system: &System<'_>) -> io::Result<()> {
    let horn = system.subject.horn;
    let changes = horn.crook_changes.iter().map(|(onset, _, _)| *onset);
    let mut starts: Vec<_> = std::iter::once(theory::Quarters::ZERO)
        .chain(changes)
        .map(|onset| {
            (
                onset,
                system.axis.x(system.subject.reading.tempo.seconds(onset)),
            )
        })
        .collect();
    let end = system.axis.length();
    starts.push((theory::Quarters::ZERO, end));
    let mut label = Some(2.0);
    for pair in starts.windows(2) {
        let &[(onset, from), (_, to)] = pair else {
            continue;
        };
        if let Some((from, to)) = system.stretch.part(from, to) {
            let across = (system.left + from, system.left + to);
            let pitch = system.options.pitch;
            system
                .staff
                .bands(sheet, horn, pitch, onset, across, label.take())?;
        }
    }
    Ok(())
}

/// Where everything that has a name stands in the text.
fn places(subject: &Subject<'_>, options: &Options<'_>, about: &[About<'_>]) -> Vec<Place> {
    let notes = subject
        .horn
        .notes
        .iter()
        .enumerate()
        .map(|(index, note)| Place {
            id: notes::id(options, index),
            span: note.span.shifted(subject.base),
            label: notes::label(note),
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
