//! `bellhand notes --midi`: the horns of a score, or all parts, as they are performed and sound, as a Standard MIDI File.

mod programs;

use std::path::Path;
use std::sync::Arc;

use files::{Input, Outcome, complain, write};
use horn::{Dynamic, Loudness, OrchestraInstrument};
use midly::num::{u4, u7, u15, u24, u28};
use midly::{
    Format, Header, MetaMessage, MidiMessage, Smf, Timing, Track, TrackEvent, TrackEventKind,
};
use reading::{HornPart, OtherSound, Pace, Performed, PieceReading};
use theory::Seconds;

/// Ticks of a quarter note: triplets and quintuplets of every usual value are whole.
const QUARTER: u16 = 960;
/// The channel that General MIDI keeps for percussion.
const PERCUSSION: u8 = 9;

/// Writes one score's horns, or `all` its parts; several pieces follow one another.
pub(crate) fn write(
    path: &Path,
    inputs: &[Input],
    failures: usize,
    all: bool,
) -> std::io::Result<Outcome> {
    let [input] = inputs else {
        if failures == 0 {
            complain("--midi writes one score; give one");
        }
        return Ok(Outcome::Failed);
    };
    let smf = match file(input, all) {
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

fn file(input: &Input, all: bool) -> Result<Smf<'_>, &'static str> {
    let mut tempos: Vec<Timed<'_>> = Vec::new();
    let mut tracks: Vec<Vec<Timed<'_>>> = Vec::new();
    let mut begins = 0.0;
    for (_, reading) in input.judged.pieces() {
        let mut longest: Option<f64> = None;
        for part in 0..reading.piece.parts.len() {
            let horns = reading.horns.iter().filter(|horn| horn.seat.part == part);
            let horns: Vec<&HornPart> = horns.collect();
            if horns.is_empty() && !all {
                continue;
            }
            let performed = match horns.first() {
                Some(horn) => Arc::clone(&horn.performed),
                None => Arc::new(reading.performed(part)),
            };
            let (paces, lasts) = reading.paces(part, &performed);
            let clock = Clock { begins, paces };
            // Tempos are the whole score's.
            if longest.is_none() {
                tempos.extend(clock.tempos().ok_or(TOO_LONG)?);
            }
            longest = Some(longest.unwrap_or_default().max(lasts.to_f64()));
            if horns.is_empty() {
                let track = other_track(reading, part, &performed, tracks.len(), &clock);
                tracks.push(track.ok_or(TOO_LONG)?);
            }
            for horn in horns {
                let track = horn_track(reading, horn, tracks.len(), &clock);
                tracks.push(track.ok_or(TOO_LONG)?);
            }
        }
        begins += longest.unwrap_or_default();
    }
    if tracks.is_empty() {
        return Err(if all {
            "there is no part in it"
        } else {
            "no horn part was found"
        });
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

/// When in the file a moment of a performance lies.
struct Clock {
    /// Where the piece begins, in quarter notes.
    begins: f64,
    paces: Vec<Pace>,
}

impl Clock {
    /// A moment in ticks, none before the piece; `None` where it is farther than such a file can say.
    fn ticks(&self, at: Seconds) -> Option<u32> {
        let after = self.paces.partition_point(|pace| pace.from <= at);
        let pace = self.paces.get(after.saturating_sub(1));
        let quarters = pace.map_or(0.0, |pace| {
            pace.onset.to_f64() + (at.0 - pace.from.0) * pace.tempo.rate() / 60.0
        });
        ticks(self.begins + quarters.max(0.0))
    }

    /// The tempos as a file has them.
    fn tempos<'a>(&self) -> Option<Vec<Timed<'a>>> {
        let paces = self.paces.iter();
        let tempos = paces.map(|pace| {
            let micros = (60_000_000.0 / pace.tempo.rate()).clamp(1.0, 16_777_215.0) as u32;
            let change = MetaMessage::Tempo(u24::from(micros));
            let at = ticks(self.begins + pace.onset.to_f64())?;
            Some((at, TrackEventKind::Meta(change)))
        });
        tempos.collect()
    }
}

/// Where a place lies, from quarter notes to ticks; `None` where it is farther than such a file can say.
fn ticks(quarters: f64) -> Option<u32> {
    let ticks = (quarters * f64::from(QUARTER)).round();
    (0.0..f64::from(1 << 28))
        .contains(&ticks)
        .then_some(ticks as u32)
}

/// A horn part, as the track with this number among those of notes.
fn horn_track<'a>(
    reading: &PieceReading,
    horn: &'a HornPart,
    number: usize,
    clock: &Clock,
) -> Option<Vec<Timed<'a>>> {
    let sounds = reading.heard(horn);
    let sounds = sounds.iter().filter_map(|sound| {
        let (first, _) = sound.notes.first()?;
        let (_, loudness) = sound.loudness.first()?;
        Some(OtherSound {
            starts: sound.starts(),
            ends: sound.ends,
            midi: horn.notes.get(*first)?.sounding.midi(),
            loudness: *loudness,
        })
    });
    track(
        &horn.label,
        OrchestraInstrument::Horn,
        number,
        clock,
        sounds,
    )
}

/// Another part, by its place in the piece.
fn other_track<'a>(
    reading: &'a PieceReading,
    part: usize,
    performed: &Performed,
    number: usize,
    clock: &Clock,
) -> Option<Vec<Timed<'a>>> {
    let name = reading
        .piece
        .parts
        .get(part)
        .and_then(|part| part.name.as_ref());
    let name = name.map_or("", |name| name.text.as_str());
    let sounds = reading.heard_other(part, performed);
    let instrument = reading.instrument(part);
    track(
        name,
        instrument.unwrap_or(OrchestraInstrument::Keyboard),
        number,
        clock,
        sounds.into_iter(),
    )
}

fn track<'a>(
    name: &'a str,
    instrument: OrchestraInstrument,
    number: usize,
    clock: &Clock,
    sounds: impl Iterator<Item = OtherSound>,
) -> Option<Vec<Timed<'a>>> {
    let channel = (0..16).filter(|channel| *channel != PERCUSSION);
    let channel = u4::from(channel.cycle().nth(number).unwrap_or(0));
    let says = |message| TrackEventKind::Midi { channel, message };
    let begins = ticks(clock.begins)?;
    let name = TrackEventKind::Meta(MetaMessage::TrackName(name.as_bytes()));
    let program = u7::from(programs::program(instrument));
    let mut events = vec![
        (begins, name),
        (begins, says(MidiMessage::ProgramChange { program })),
    ];
    for sound in sounds {
        let (from, to) = (clock.ticks(sound.starts)?, clock.ticks(sound.ends)?);
        let Ok(key) = u8::try_from(sound.midi) else {
            continue;
        };
        if key > 127 || to <= from {
            continue;
        }
        let (key, vel) = (u7::from(key), u7::from(velocity(sound.loudness)));
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

/// How hard a note is struck: 36 for pp and 110 for ff, those between even. Bellhand's own choice.
fn velocity(loudness: Loudness) -> u8 {
    let [pp, ff] = [Dynamic::PP, Dynamic::FF].map(|dynamic| Loudness::of(dynamic).0);
    let share = (loudness.0 - pp) / (ff - pp);
    (36.0 + 74.0 * share).round().clamp(1.0, 122.0) as u8
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
