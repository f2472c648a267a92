//! `<attributes>`: divisions, keys, metres and transpositions.

use score::bounds::{CLEF_OCTAVES, LONGEST};
use score::{Clef, ClefKind, EventKind, Lost};
use theory::{Meter, Transposition};

use super::measure::Reader;
use super::pitch;
use crate::musicxml::tree::Element;

/// The most units a quarter note is divided in; damaged text may say more.
const FINEST: i64 = 1 << 24;

impl Reader {
    /// Takes in what an `<attributes>` element changes.
    pub(super) fn attributes(&mut self, attributes: Element<'_>) {
        for child in attributes.children() {
            match child.name() {
                "divisions" => self.divisions(child),
                "key" => self.key(child),
                "time" => self.time(child),
                "clef" => self.clef(child),
                "transpose" => self.transpose(child),
                "for-part" => self.for_part(child),
                _ => {}
            }
        }
    }

    fn divisions(&mut self, element: Element<'_>) {
        match element.number().filter(|n| (1..=FINEST).contains(n)) {
            Some(divisions) => self.state.divisions = divisions,
            None => self.slip(
                element.span(),
                format!("`{}` divides no quarter note", element.words().trim()),
                "a whole number of units in a quarter note, as in <divisions>24</divisions>",
                Lost::Notes,
            ),
        }
    }

    fn key(&mut self, element: Element<'_>) {
        let Some(key) = pitch::key(element) else {
            self.slip(
                element.span(),
                "this is no key signature".to_owned(),
                "sharps or flats by number, as in <fifths>-2</fifths>",
                Lost::NoNotes,
            );
            return;
        };
        let staff = staff(element);
        self.state.set_key(staff, key);
        if staff.is_none_or(|staff| staff == 1) {
            self.push(element.span(), EventKind::Key(key));
        }
    }

    fn time(&mut self, element: Element<'_>) {
        if staff(element).is_some_and(|staff| staff != 1) {
            return;
        }
        let meter = if element.child("senza-misura").is_some() {
            None
        } else {
            match meter(element) {
                Some(meter) => Some(meter),
                None => {
                    self.slip(
                        element.span(),
                        "this is no metre".to_owned(),
                        "<beats>3</beats><beat-type>4</beat-type>",
                        Lost::NoNotes,
                    );
                    return;
                }
            }
        };
        self.state.meter = meter;
        self.push(element.span(), EventKind::Meter(meter));
    }

    fn clef(&mut self, element: Element<'_>) {
        if staff(element).is_some_and(|staff| staff != 1) {
            return;
        }
        let octaves = element.child_number("clef-octave-change").unwrap_or(0);
        if !CLEF_OCTAVES.contains(&octaves) {
            self.slip(
                element.span(),
                format!("no clef is moved by {octaves} octaves"),
                "one octave or two, as in <clef-octave-change>-1</clef-octave-change>",
                Lost::NoNotes,
            );
            return;
        }
        let kind = clef_kind(element);
        self.push(element.span(), EventKind::Clef(Clef { kind, octaves }));
    }

    fn transpose(&mut self, element: Element<'_>) {
        let Some((interval, spelled)) = pitch::interval(element) else {
            self.slip(
                element.span(),
                "this is no transposition".to_owned(),
                "steps and semitones, as in <diatonic>-4</diatonic><chromatic>-7</chromatic>",
                Lost::NoNotes,
            );
            return;
        };
        // In a score at concert pitch it moves nothing but octaves, and the pitches are told apart by `for-part`.
        if self.state.concert || staff(element).is_some_and(|staff| staff != 1) {
            return;
        }
        self.spelled.get_or_insert(spelled);
        self.push(
            element.span(),
            EventKind::Transposition(Transposition(interval)),
        );
    }

    /// In a score at concert pitch, what the part on its own would be transposed by.
    fn for_part(&mut self, element: Element<'_>) {
        if !self.state.concert || staff(element).is_some_and(|staff| staff != 1) {
            return;
        }
        let stated = element.child("part-transpose").and_then(pitch::interval);
        if let Some((interval, spelled)) = stated {
            self.spelled.get_or_insert(spelled);
            self.push(
                element.span(),
                EventKind::Transposition(Transposition(interval)),
            );
        }
    }
}

/// The staff an element is for, when it names one.
fn staff(element: Element<'_>) -> Option<usize> {
    element.attribute("number")?.trim().parse().ok()
}

/// A clef by its sign and line; where no line is said, the usual one.
fn clef_kind(clef: Element<'_>) -> ClefKind {
    let sign = clef.value("sign").unwrap_or_default();
    let line: Option<u8> = clef.child_number("line");
    match (sign.as_str(), line) {
        ("G", None | Some(2)) => ClefKind::Treble,
        ("C", None | Some(3)) => ClefKind::Alto,
        ("C", Some(4)) => ClefKind::Tenor,
        ("F", None | Some(4)) => ClefKind::Bass,
        _ => ClefKind::Other,
    }
}

/// A metre; several pairs of numbers are added up in the smallest unit.
fn meter(time: Element<'_>) -> Option<Meter> {
    let mut beats: Vec<u32> = Vec::new();
    let mut pairs: Vec<(u32, u32)> = Vec::new();
    for child in time.children() {
        match child.name() {
            "beats" => {
                let words = child.words();
                let mut terms = words.split('+').map(|term| term.trim().parse().ok());
                let sum = terms.try_fold(0_u32, |sum, term| sum.checked_add(term?))?;
                beats.push(sum);
            }
            "beat-type" => {
                let unit: u32 = child.number().filter(|unit| (1..=1024).contains(unit))?;
                pairs.push((beats.pop()?, unit));
            }
            _ => {}
        }
    }
    let unit = pairs.iter().map(|(_, unit)| *unit).max()?;
    let beats = pairs.iter().try_fold(0_u32, |sum, (beats, own)| {
        sum.checked_add(beats.checked_mul(unit / own)?)
    })?;
    Some(Meter { beats, unit }).filter(|meter| meter.beats > 0 && meter.bar() <= LONGEST)
}
