//! Directions: words, dynamics, hairpins, tempo and rehearsal marks over or under the staff.

use score::{EventKind, Jump, Mark, MarkKind, Route, Sign, Span, TempoMark, Text};
use theory::{Quarters, Tempo};

use super::{notations, witnesses};
use crate::musicxml::note_value;
use crate::musicxml::tree::Element;

/// What a `<direction>` says, in order, each with its place.
pub(super) fn read(direction: Element<'_>) -> Vec<(Span, EventKind)> {
    let mut said = Vec::new();
    let mut tempo = TempoMark {
        words: None,
        tempo: None,
    };
    let mut tempo_at = direction.span();
    for kind in direction.named("direction-type") {
        if let Some((span, text)) = words(kind) {
            let slow_or_fast = horn::tempo_of(&text.text).is_some();
            if tempo.words.is_none() && (slow_or_fast || kind.child("metronome").is_some()) {
                tempo.words = Some(text.text.trim().to_owned());
                tempo_at = span;
            }
            said.push((span, EventKind::Mark(word_mark(text))));
        }
        for child in kind.children() {
            if let Some(mark) = sign(child) {
                said.push((child.span(), EventKind::Mark(mark)));
            }
            if child.name() == "dynamics" {
                let marks = notations::dynamics(child).into_iter();
                said.extend(marks.map(|(place, mark)| (place.span(), EventKind::Mark(mark))));
            }
            match child.name() {
                "segno" => said.push((child.span(), EventKind::Route(Route::Segno))),
                "coda" => said.push((child.span(), EventKind::Route(Route::Coda))),
                "rehearsal" => {
                    let name = child.words().trim().to_owned();
                    said.push((child.span(), EventKind::Section(name)));
                }
                "metronome" => {
                    tempo.tempo = metronome(child);
                    tempo_at = child.span();
                }
                _ => {}
            }
        }
    }
    let sound = direction.child("sound");
    if let Some(sound) = sound {
        if tempo.tempo.is_none() {
            tempo.tempo = sound_tempo(sound);
        }
        said.extend(mute(sound));
        said.extend(routes(sound));
        said.extend(witnesses::of_sound(sound));
    }
    if tempo.words.is_some() || tempo.tempo.is_some() {
        said.push((tempo_at, EventKind::Tempo(tempo)));
    }
    said
}

/// What a `<sound>` of its own says.
pub(super) fn sound(sound: Element<'_>) -> Vec<(Span, EventKind)> {
    let tempo = sound_tempo(sound).map(|tempo| {
        let mark = TempoMark {
            words: None,
            tempo: Some(tempo),
        };
        (sound.span(), EventKind::Tempo(mark))
    });
    tempo
        .into_iter()
        .chain(mute(sound))
        .chain(routes(sound))
        .chain(witnesses::of_sound(sound))
        .collect()
}

/// The words of a `<direction-type>` as one text: a change of font in the middle makes several elements of them.
fn words(kind: Element<'_>) -> Option<(Span, Text)> {
    let mut all = kind.named("words");
    let first = all.next()?;
    let (mut span, mut text) = (
        first.span(),
        Text {
            text: first.words(),
            span: first.inner(),
        },
    );
    for more in all {
        span = span.joined(more.span());
        text.text.push_str(&more.words());
        text.span = text.span.joined(more.inner());
    }
    Some((span, text))
}

/// A playing sign written as words is the sign.
fn word_mark(text: Text) -> Mark {
    let kind = match text.text.trim() {
        "+" => MarkKind::Sign(Sign::Plus),
        "o" | "°" | "○" => MarkKind::Sign(Sign::Circle),
        _ => MarkKind::Words(text),
    };
    Mark {
        on_note: matches!(kind, MarkKind::Sign(_)),
        kind,
    }
}

fn sign(child: Element<'_>) -> Option<Mark> {
    let place = |kind| {
        Some(Mark {
            kind,
            on_note: false,
        })
    };
    match child.name() {
        "wedge" => match child.attribute("type").as_deref() {
            Some("crescendo") => place(MarkKind::HairpinStart(true)),
            Some("diminuendo") => place(MarkKind::HairpinStart(false)),
            Some("stop") => place(MarkKind::HairpinEnd),
            _ => None,
        },
        "symbol" => notations::glyph_sign(child.words().trim()).map(|sign| Mark {
            kind: MarkKind::Sign(sign),
            on_note: true,
        }),
        _ => None,
    }
}

/// The speed a `<metronome>` gives; one that sets two note values equal gives none.
fn metronome(metronome: Element<'_>) -> Option<Tempo> {
    let mut beat = Quarters::ZERO;
    let mut dot = Quarters::ZERO;
    for child in metronome.children() {
        match child.name() {
            "beat-unit" if !beat.is_zero() => return None,
            "beat-unit" => {
                beat = note_value::length(child.words().trim())?;
                dot = beat.over(2);
            }
            "beat-unit-dot" => {
                beat += dot;
                dot = dot.over(2);
            }
            _ => {}
        }
    }
    // Often more than a number: `ca. 60`, `60-66`.
    let words = metronome.value("per-minute")?;
    let start = words.find(|c: char| c.is_ascii_digit())?;
    let rest = &words[start..];
    let end = rest
        .find(|c: char| !c.is_ascii_digit() && c != '.')
        .unwrap_or(rest.len());
    let rate: f64 = rest[..end].trim_end_matches('.').parse().ok()?;
    (Tempo::is_believed(rate) && !beat.is_zero()).then(|| Tempo::beats_a_minute(beat, rate))
}

/// `<sound tempo="…">` counts quarter notes a minute.
fn sound_tempo(sound: Element<'_>) -> Option<Tempo> {
    let rate: f64 = sound.attribute("tempo")?.trim().parse().ok()?;
    Tempo::is_believed(rate).then(|| Tempo::quarters_a_minute(rate))
}

/// Where a direction, or a `<sound>` of its own, gives a speed at which nothing can be played. None at all may be said by
/// 0.
pub(super) fn misread(element: Element<'_>) -> Option<Element<'_>> {
    let wrong = |words: &str| {
        let rate = words.trim().parse::<f64>();
        rate.is_ok_and(|rate| rate != 0.0 && !Tempo::is_believed(rate))
    };
    let mut metronomes = element
        .named("direction-type")
        .filter_map(|kind| kind.child("metronome")?.child("per-minute"));
    let own = (element.name() == "sound").then_some(element);
    let mut sounds = element.child("sound").into_iter().chain(own);
    metronomes
        .find(|rate| wrong(&rate.words()))
        .or_else(|| sounds.find(|sound| sound.attribute("tempo").is_some_and(|rate| wrong(&rate))))
}

/// What a `<sound>` says of the way through the piece.
fn routes(sound: Element<'_>) -> impl Iterator<Item = (Span, EventKind)> + '_ {
    let jump = |to_segno| {
        Route::Jump(Jump {
            to_segno,
            until: None,
        })
    };
    let all = [
        ("segno", Route::Segno),
        ("coda", Route::Coda),
        ("tocoda", Route::ToCoda),
        ("fine", Route::Fine),
        ("dacapo", jump(false)),
        ("dalsegno", jump(true)),
    ];
    all.into_iter()
        .filter(move |(name, _)| sound.attribute(name).is_some_and(|said| said != "no"))
        .map(move |(_, route)| (sound.span(), EventKind::Route(route)))
}

/// A mute that only playback is told of: nothing on the page says it to the player.
fn mute(sound: Element<'_>) -> Option<(Span, EventKind)> {
    let mute = sound.child("play")?.child("mute")?;
    let mark = Mark {
        kind: MarkKind::Sign(Sign::Other(format!("mute {}", mute.words().trim()))),
        on_note: false,
    };
    Some((mute.span(), EventKind::Mark(mark)))
}
