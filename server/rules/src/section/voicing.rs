//! `section/voicing`: chords of the horns that do not ring.

use std::collections::BTreeMap;

use horn::{Dynamic, Height};
use reading::{HornPart, PlayedNote};
use theory::Quarters;

use crate::context::PieceContext;
use crate::finding::Finding;
use crate::rule::rule;
use crate::setting::{Kind, Setting, number, pitch};

static GAP: Setting = Setting {
    name: "gap",
    what: "How many semitones may lie between neighbours of a chord.",
    kind: Kind::Number("semitones"),
    default: |_| number(horn::widest_gap_in_a_chord(), "semitones"),
};

static THIRDS_FROM: Setting = Setting {
    name: "thirds-from",
    what: "From which note up the lowest two may lie a third or less apart, as written for horn in F.",
    kind: Kind::Pitch,
    default: |_| pitch(horn::thirds_growl_below()),
};

static CHORDS: Setting = Setting {
    name: "chords",
    what: "How many such chords in a row are reported.",
    kind: Kind::Number("chords"),
    default: |_| number(horn::chords_in_a_row(), "chords"),
};

static PAIRS: Setting = Setting {
    name: "pairs",
    what: "Which players tune together and are not to lie further apart than the gap; \"leave\" where the house does not mind.",
    kind: Kind::Choice(&["leave", "1+2", "1+3"]),
    default: |_| horn::Sourced {
        value: crate::setting::Value::Choice("leave"),
        source: horn::Source::ProjectChoice,
    },
};

rule! {
    /// Chords of three or four horns with a hole in them, or with thirds at the bottom.
    ///
    /// ## Why it matters
    /// The horns make one of the best chords of the orchestra when they lie close: each hears its neighbour and tunes to it.
    /// With a hole in the middle the chord falls apart into two sounds, and close thirds at the bottom growl and cannot
    /// be heard in tune.
    ///
    /// ## What to write instead
    /// Bring the inner players up or the top down until no two neighbours are more than an octave apart, and put fifths or
    /// octaves at the bottom.
    ///
    /// ## Source
    /// Four horns in close harmony without gaps: Rimsky-Korsakov, *Principles of Orchestration* (English edition 1922),
    /// p. 82. Wide intervals at the bottom: common practice. Pairs of players that tune together: Goss, *Orchestration
    /// Online* (undated). The octave, from where thirds growl and how many chords it takes are bellhand's own choice.
    ///
    /// ```abc speaks
    /// X:1
    /// M:4/4
    /// L:1/4
    /// K:none
    /// V:1 name="Horns 1.2. in F" transpose=-7
    /// V:2 name="Horns 3.4. in F" transpose=-7
    /// [V:1] !f![eg]2 [df]2 | [ce]4 |]
    /// [V:2] !f![B,D]2 [A,C]2 | [G,B,]4 |]
    /// ```
    ///
    /// ```abc silent
    /// X:1
    /// M:4/4
    /// L:1/4
    /// K:none
    /// V:1 name="Horns 1.2. in F" transpose=-7
    /// V:2 name="Horns 3.4. in F" transpose=-7
    /// [V:1] !f![cg]2 [df]2 | [ce]4 |]
    /// [V:2] !f![Ge]2 [GB]2 | [CG]4 |]
    /// ```
    "section/voicing", Hint, Piece(check), settings: [GAP, THIRDS_FROM, CHORDS, PAIRS], rests_on: Crooks
}

/// What is wrong with a chord.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Flaw {
    /// Neighbours are too far apart.
    Gap,
    /// The lowest two are too close for where they lie.
    Thirds,
    /// Two who tune together are too far apart.
    Pair(u8, u8),
}

/// A note of a chord, with its part and whoever plays it.
struct Voice<'a> {
    part: &'a HornPart,
    note: &'a PlayedNote,
    player: Option<u8>,
}

fn check(ctx: &PieceContext<'_>) -> Vec<Finding> {
    let players = ctx.reading.horns.iter().map(|staff| staff.players().len());
    if players.sum::<usize>() < LEAST {
        return Vec::new();
    }
    let least = ctx.house.number(RULE.name, &CHORDS);
    let chords = chords(ctx);
    let flaws: Vec<(Option<Flaw>, &Vec<Voice<'_>>)> = chords
        .values()
        .map(|chord| (flaw(ctx, chord), chord))
        .collect();
    let runs = flaws.chunk_by(|(one, _), (next, _)| one == next);
    let runs = runs.filter(|run| run.len() as f64 >= least.value);
    runs.filter_map(|run| {
        let (flaw, chord) = run.first()?;
        let message = words(ctx, (*flaw)?, run.len());
        let top = chord.iter().max_by_key(|voice| voice.note.height)?;
        let mut finding = Finding::new(&RULE, top.note.pitch_span, message, &least.source);
        finding.part = Some(top.part.label.clone());
        Some(finding.at_bar(top.note.number))
    })
    .collect()
}

fn words(ctx: &PieceContext<'_>, flaw: Flaw, chords: usize) -> String {
    match flaw {
        Flaw::Gap => format!(
            "In {chords} chords of the horns from here on neighbours lie more than {} semitones apart. The chord falls apart into \
             two sounds, and the players cannot tune to each other. Bring the inner voices together.",
            ctx.house.number(RULE.name, &GAP).value,
        ),
        Flaw::Thirds => format!(
            "In {chords} chords of the horns from here on the lowest two lie a third or less apart, below written {} for horn in F. \
             So low a third growls and nobody can tune it. Put a fifth or an octave at the bottom.",
            ctx.house.pitch(RULE.name, &THIRDS_FROM).value,
        ),
        Flaw::Pair(one, other) => format!(
            "In {chords} chords from here on horns {one} and {other}, who tune together, lie more than {} semitones apart. Give \
             them neighbouring notes.",
            ctx.house.number(RULE.name, &GAP).value,
        ),
    }
}

/// The chords that three horns or more begin together, in mezzo-forte or louder.
fn chords<'a>(ctx: &PieceContext<'a>) -> BTreeMap<Quarters, Vec<Voice<'a>>> {
    let mut chords: BTreeMap<Quarters, Vec<Voice<'_>>> = BTreeMap::new();
    for staff in &ctx.reading.horns {
        for part in staff.players() {
            let named = &staff.seat.name.players;
            let player = part.player.or(match named.as_slice() {
                [only] => Some(*only),
                _ => None,
            });
            let notes = part.notes.iter();
            for note in notes.filter(|note| !note.tied_from && !note.grace) {
                let voice = Voice { part, note, player };
                chords.entry(note.onset).or_default().push(voice);
            }
        }
    }
    chords.retain(|_, chord| {
        let mut heights: Vec<Height> = chord.iter().map(|voice| voice.note.height).collect();
        heights.sort_unstable();
        heights.dedup();
        let loud = chord.iter().any(|voice| {
            let dynamic = voice.note.marked.dynamic;
            dynamic.is_some_and(|(dynamic, _)| dynamic >= Dynamic::MF)
        });
        heights.len() >= LEAST && loud
    });
    chords
}

fn flaw(ctx: &PieceContext<'_>, chord: &[Voice<'_>]) -> Option<Flaw> {
    let gap = ctx.house.number(RULE.name, &GAP).value;
    let from = ctx.house.pitch(RULE.name, &THIRDS_FROM).value;
    let mut heights: Vec<Height> = chord.iter().map(|voice| voice.note.height).collect();
    heights.sort_unstable();
    let apart = |one: &Height, other: &Height| f64::from((other.midi() - one.midi()).abs());
    if heights
        .windows(2)
        .any(|pair| matches!(pair, [low, high] if apart(low, high) > gap))
    {
        return Some(Flaw::Gap);
    }
    // A unison at the bottom is one note.
    heights.dedup();
    if let [lowest, next, ..] = heights.as_slice()
        && *lowest < from
        && apart(lowest, next) <= THIRD
    {
        return Some(Flaw::Thirds);
    }
    let pairs: &[(u8, u8)] = match ctx.house.choice(RULE.name, &PAIRS).value {
        "1+2" => &[(1, 2), (3, 4)],
        "1+3" => &[(1, 3), (2, 4)],
        _ => &[],
    };
    let height = |player| {
        let voice = chord.iter().find(|voice| voice.player == Some(player));
        voice.map(|voice| voice.note.height)
    };
    pairs.iter().find_map(|(one, other)| {
        let wide = apart(&height(*one)?, &height(*other)?) > gap;
        wide.then_some(Flaw::Pair(*one, *other))
    })
}

/// Fewer notes are no chord.
const LEAST: usize = 3;

/// A major third, in semitones.
const THIRD: f64 = 4.0;
