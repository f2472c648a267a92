//! What a clef asks of a horn player's eyes, and how long a bar of a metre lasts.

use horn::ClefConvention;
use notation::StaffSign;
use reading::{HornPart, PieceReading};
use score::{Clef, ClefKind, Part, Span};
use theory::{Meter, Quarters};

use crate::view::View;

/// The words for a clef or metre and where it stands; `None` where none stands, or where no horn reads it.
pub(super) fn words(view: &View, byte: usize) -> Option<(Span, String)> {
    let (span, sign) = view.judged.document().staff_sign_at(byte)?;
    let here = view.judged.pieces().find(|(base, reading)| {
        let whole = reading.piece.span.shifted(*base);
        whole.range().contains(&byte)
    });
    let (base, reading) = here?;
    let horn = nearest(reading, byte.checked_sub(base)?)?;
    let words = match sign {
        StaffSign::Clef(sign) => clef(sign, horn.seat.bass_clef),
        StaffSign::Meter(sign) => meter(sign, reading, byte - base),
    };
    Some((span, words))
}

/// The horn part that plays the first note behind a byte of a piece, or else any.
fn nearest(reading: &PieceReading, byte: usize) -> Option<&HornPart> {
    let next = |horn: &HornPart| {
        let mut notes = horn.notes.iter();
        let note = notes.find(|note| note.span.start >= byte)?;
        Some(note.span.start)
    };
    let behind = reading
        .horns
        .iter()
        .filter_map(|horn| Some((next(horn)?, horn)));
    let nearest = behind.min_by_key(|(start, _)| *start).map(|(_, horn)| horn);
    nearest.or_else(|| reading.horns.first())
}

fn clef(clef: Clef, convention: ClefConvention) -> String {
    let what = match clef.kind {
        ClefKind::Treble => "**Treble clef**: what horn players read unless told otherwise.",
        ClefKind::Bass => match convention {
            ClefConvention::Modern => {
                "**Bass clef**: for what lies too low for treble clef, and moved by the horn's interval as treble clef is. Old parts write it an octave lower; where this one does, `bass-clef = \"old\"` in the settings says so."
            }
            ClefConvention::OldBass => {
                "**Bass clef**: for what lies too low for treble clef, written here in the old way, an octave lower than it is \
                 played (`bass-clef = \"old\"`)."
            }
        },
        ClefKind::Alto => {
            "**Alto clef**: not a clef of horn parts; its readers play other instruments."
        }
        ClefKind::Tenor => {
            "**Tenor clef**: not a clef of horn parts; its readers play other instruments."
        }
        ClefKind::Other => {
            "**Another clef**: horn parts stand in treble clef, and in bass clef where they lie low."
        }
    };
    what.to_owned()
}

fn meter(meter: Option<Meter>, reading: &PieceReading, byte: usize) -> String {
    let Some(meter) = meter else {
        return "**No metre**: bars are as long as what stands in them, and rests are counted by the player alone."
            .to_owned();
    };
    let onset = onset(reading, byte);
    let seconds = reading.tempo.seconds(onset + meter.bar()) - reading.tempo.seconds(onset);
    let rate = reading.tempo.tempo(onset).0.rate().round();
    let value = match meter.unit {
        1 => "whole note",
        2 => "half note",
        4 => "quarter note",
        8 => "eighth note",
        16 => "sixteenth note",
        _ => "beat",
    };
    let many = if meter.beats == 1 { "" } else { "s" };
    format!(
        "**{meter}**: {} {value}{many} a bar  \na bar lasts {seconds}, at {rate} quarter notes a minute",
        meter.beats
    )
}

/// When the first thing behind a byte of a piece happens.
fn onset(reading: &PieceReading, byte: usize) -> Quarters {
    let events = reading.piece.parts.iter().flat_map(Part::events);
    let behind = events.filter(|placed| placed.span().start >= byte);
    let next = behind.min_by_key(|placed| placed.span().start);
    next.map_or(Quarters::ZERO, |placed| placed.onset)
}
