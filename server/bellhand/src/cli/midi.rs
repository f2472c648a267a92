//! `bellhand notes --midi`: the horns of a score as they sound, as a Standard MIDI File.

use std::path::Path;

use files::{Input, Outcome, complain, write};
use horn::Dynamic;
use midly::num::{u4, u7, u15, u24, u28};
use midly::{
    Format, Header, MetaMessage, MidiMessage, Smf, Timing, Track, TrackEvent, TrackEventKind,
};
use reading::{HornPart, PieceReading, PlayedNote};
use theory::Quarters;

/// Ticks of a quarter note: triplets and quintuplets of every usual value are whole.
const QUARTER: u16 = 960;
/// A French horn, counted from 0 (General MIDI Level 1, sound set).
const FRENCH_HORN: u8 = 60;
/// The channel that General MIDI keeps for percussion.
const PERCUSSION: usize = 9;
/// How long a small note takes before its own, in ticks.
const GRACE: u32 = 90;

/// Writes one score's horns; several pieces follow one another.
pub(crate) fn write(path: &Path, inputs: &[Input], failures: usize) -> std::io::Result<Outcome> {
    let [input] = inputs else {
        if failures == 0 {
            complain("--midi writes one score; give one");
        }
        return Ok(Outcome::Failed);
    };
    let smf = match file(input) {
        Ok(smf) => smf,
        Err(why) => {
            complain(&format!("{}: {why}", input.shown()));
            return Ok(Outcome::Failed);
        }
    };
    let mut bytes = Vec::new();
    smf.write_std(&mut bytes)?;
    if let Err(error) = write::put(path, &bytes) {
        complain(&format!("{} cannot be written: {error}", path.display()));
        return Ok(Outcome::Failed);
    }
    Ok(Outcome::unless_failed(failures))
}

/// Something that happens at a tick.
type Timed<'a> = (u32, TrackEventKind<'a>);

fn file(input: &Input) -> Result<Smf<'_>, &'static str> {
    let mut tempos: Vec<Timed<'_>> = Vec::new();
    let mut tracks: Vec<Vec<Timed<'_>>> = Vec::new();
    let mut begins = 0_u32;
    for (_, reading) in input.judged.pieces() {
        let later = |at: Quarters| ticks(at)?.checked_add(begins).filter(|at| *at < 1 << 28);
        for (at, tempo) in reading.tempo.changes() {
            let micros = (60_000_000.0 / tempo.rate()).clamp(1.0, 16_777_215.0) as u32;
            let change = MetaMessage::Tempo(u24::from(micros));
            tempos.push((later(at).ok_or(TOO_LONG)?, TrackEventKind::Meta(change)));
        }
        for horn in &reading.horns {
            let channel = (0..16)
                .filter(|channel| *channel != PERCUSSION)
                .nth(tracks.len() % 15)
                .unwrap_or(0);
            tracks.push(track(horn, channel, &later).ok_or(TOO_LONG)?);
        }
        begins = later(end(reading)).ok_or(TOO_LONG)?;
    }
    if tracks.is_empty() {
        return Err("no horn part was found");
    }
    let header = Header::new(Format::Parallel, Timing::Metrical(u15::from(QUARTER)));
    let mut smf = Smf::new(header);
    smf.tracks = std::iter::once(tempos)
        .chain(tracks)
        .map(in_order)
        .collect();
    Ok(smf)
}

/// Why a piece is not written.
const TOO_LONG: &str = "the piece is longer than a Standard MIDI File can say";

/// Where a place lies, in ticks; `None` where it is farther than such a file can say.
fn ticks(at: Quarters) -> Option<u32> {
    let ticks = (at.to_f64() * f64::from(QUARTER)).round();
    (0.0..f64::from(1 << 28))
        .contains(&ticks)
        .then_some(ticks as u32)
}

/// Where a piece ends.
fn end(reading: &PieceReading) -> Quarters {
    let bars = reading
        .piece
        .parts
        .iter()
        .filter_map(|part| part.bars.last());
    bars.map(|bar| bar.onset + bar.length)
        .max()
        .unwrap_or(Quarters::ZERO)
}

fn track<'a>(
    horn: &'a HornPart,
    channel: usize,
    later: &impl Fn(Quarters) -> Option<u32>,
) -> Option<Vec<Timed<'a>>> {
    let channel = u4::from(u8::try_from(channel).unwrap_or(0));
    let says = |message| TrackEventKind::Midi { channel, message };
    let begins = later(Quarters::ZERO)?;
    let name = TrackEventKind::Meta(MetaMessage::TrackName(horn.label.as_bytes()));
    let program = u7::from(FRENCH_HORN);
    let mut events = vec![
        (begins, name),
        (begins, says(MidiMessage::ProgramChange { program })),
    ];
    let notes: Vec<&PlayedNote> = horn.notes.iter().collect();
    for (place, note) in notes.iter().enumerate() {
        // What is held on sounds already.
        if note.tied_from {
            continue;
        }
        let (from, to) = if note.grace {
            let small = notes
                .iter()
                .skip(place)
                .take_while(|other| other.grace && other.onset == note.onset);
            let before = GRACE * u32::try_from(small.count()).ok()?;
            let from = later(note.onset)?.saturating_sub(before).max(begins);
            (from, from + GRACE)
        } else {
            (later(note.onset)?, later(until(&notes, place))?)
        };
        let Ok(key) = u8::try_from(note.sounding.midi()) else {
            continue;
        };
        if key > 127 || to <= from {
            continue;
        }
        let (key, vel) = (
            u7::from(key),
            u7::from(velocity(note.dynamic.map(|(dynamic, _)| dynamic))),
        );
        events.push((from, says(MidiMessage::NoteOn { key, vel })));
        events.push((
            to,
            says(MidiMessage::NoteOff {
                key,
                vel: u7::from(0),
            }),
        ));
    }
    Some(events)
}

/// When a note ends, those that it is tied to counted.
fn until(notes: &[&PlayedNote], place: usize) -> Quarters {
    let Some(mut last) = notes.get(place).copied() else {
        return Quarters::ZERO;
    };
    for note in notes.iter().skip(place + 1) {
        if !last.tied_to {
            break;
        }
        let goes_on = note.tied_from
            && note.sounding.midi() == last.sounding.midi()
            && note.onset == last.onset + last.length;
        if goes_on {
            last = note;
        }
        // The other notes of its chord and line stand no farther away than this bar and the next.
        if note.bar > last.bar + 1 {
            break;
        }
    }
    last.onset + last.length
}

/// How hard a note is struck; mf where nothing says. The steps are bellhand's own choice, those in between even.
fn velocity(dynamic: Option<Dynamic>) -> u8 {
    let levels = [
        (Dynamic::PP, 36),
        (Dynamic::P, 50),
        (Dynamic::MP, 64),
        (Dynamic::MF, 78),
        (Dynamic::F, 94),
        (Dynamic::FF, 110),
    ];
    let dynamic = dynamic.unwrap_or(Dynamic::MF);
    let level = levels.into_iter().find(|(level, _)| dynamic <= *level);
    level.map_or(122, |(_, velocity)| velocity)
}

/// Events in the order of time, ends before beginnings, each told from the one before.
fn in_order(mut events: Vec<Timed<'_>>) -> Track<'_> {
    let turn = |kind: &TrackEventKind<'_>| match kind {
        TrackEventKind::Midi {
            message: MidiMessage::NoteOff { .. },
            ..
        } => 0,
        TrackEventKind::Midi {
            message: MidiMessage::NoteOn { .. },
            ..
        } => 2,
        _ => 1,
    };
    events.sort_by_key(|(at, kind)| (*at, turn(kind)));
    let mut last = 0;
    let mut track: Track<'_> = Vec::with_capacity(events.len() + 1);
    for (at, kind) in events {
        track.push(TrackEvent {
            delta: u28::from(at - last),
            kind,
        });
        last = at;
    }
    track.push(TrackEvent {
        delta: u28::from(0),
        kind: TrackEventKind::Meta(MetaMessage::EndOfTrack),
    });
    track
}
