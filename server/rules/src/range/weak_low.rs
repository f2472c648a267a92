//! `range/weak-low`: a line that wants to be heard where the horn does not carry.

use horn::{Height, Sourced};
use reading::PlayedNote;
use score::Row;

use crate::context::PartContext;
use crate::finding::{Finding, Safety};
use crate::rule::{Severity, rule};
use crate::setting::{Kind, Setting, pitch};

static SOLO_FROM: Setting = Setting {
    name: "solo-from",
    what: "From which note upward a solo carries, as written for horn in F.",
    kind: Kind::Pitch,
    default: |_| pitch(horn::solo_from()),
};

static WEAK_BELOW: Setting = Setting {
    name: "weak-below",
    what: "Below which note a solo is weak whatever plays around it, as written for horn in F.",
    kind: Kind::Pitch,
    default: |_| pitch(horn::weak_below()),
};

static LOUD_FROM: Setting = Setting {
    name: "loud-from",
    what: "From which note upward a loud line carries, as written for horn in F.",
    kind: Kind::Pitch,
    default: |_| pitch(horn::projecting_from()),
};

rule! {
    /// A solo or a loud line that lies where the horn does not project.
    ///
    /// ## Why it matters
    /// A melody that sings from written G4 upward is another melody an octave lower: darker, and less easily heard. Down
    /// to C4 that can be just what is wanted, as long as little plays around it. Below C4 it sinks into the band.
    ///
    /// ## What to write instead
    /// Write the line an octave higher (the fix), thin out what plays around it, mark the others softer, or double it.
    ///
    /// ## Source
    /// Solo range from written G4: common practice. The notes of greatest expression from C4 to E5:
    /// Rimsky-Korsakov, *Principles of Orchestration* (English edition 1922), table C, p. 25. Where a loud line stops
    /// carrying is bellhand's own choice. Whether others cover a solo is judged by `balance/covered-solo`.
    ///
    /// ```abc speaks
    /// X:1
    /// M:4/4
    /// L:1/4
    /// K:none
    /// V:1 name="Horn in F" transpose=-7
    /// "^solo" C B, C A, | B,4 |]
    /// ```
    ///
    /// ```abc silent
    /// X:1
    /// M:4/4
    /// L:1/4
    /// K:none
    /// V:1 name="Horn in F" transpose=-7
    /// "^solo" G A B G | A4 |]
    /// ```
    "range/weak-low", Information, Player(check), settings: [SOLO_FROM, WEAK_BELOW, LOUD_FROM], rests_on: Crook
}

/// Why a line wants to be heard.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Wish {
    Solo,
    Loud,
}

fn wish(note: &PlayedNote) -> Option<Wish> {
    if note.marked.solo.is_some() {
        Some(Wish::Solo)
    } else if note
        .marked
        .dynamic
        .is_some_and(|(dynamic, _)| dynamic.is_loud())
    {
        Some(Wish::Loud)
    } else {
        None
    }
}

/// What the house holds of it.
struct Limits {
    solo_from: Sourced<Height>,
    weak_below: Sourced<Height>,
    loud_from: Sourced<Height>,
}

fn check(ctx: &PartContext<'_>) -> Vec<Finding> {
    let limits = Limits {
        solo_from: ctx.pitch(&RULE, &SOLO_FROM),
        weak_below: ctx.pitch(&RULE, &WEAK_BELOW),
        loud_from: ctx.pitch(&RULE, &LOUD_FROM),
    };
    let notes = &ctx.part.notes;
    let attacks: Row<(usize, &PlayedNote)> = notes
        .iter()
        .enumerate()
        .filter(|(_, note)| note.leads() && !note.tied_from)
        .collect();
    let mut passed = 0;
    let mut findings = Vec::new();
    // A line is what is played in one breath of the part, from rest to rest, with one wish.
    for line in attacks.chunk_by(|(_, a), (_, b)| wish(a) == wish(b) && b.since_rest.0 > 0.0) {
        passed += line.len();
        let end = attacks.get(passed).map_or(notes.len(), |(next, _)| *next);
        findings.extend(judge(ctx, &limits, line, end));
    }
    findings
}

/// Judges a line; `end` is the place of the first note after it.
fn judge(
    ctx: &PartContext<'_>,
    limits: &Limits,
    line: &[(usize, &PlayedNote)],
    end: usize,
) -> Option<Finding> {
    let (start, first) = *line.first()?;
    let wish = wish(first)?;
    let mut heights: Vec<Height> = line.iter().map(|(_, note)| note.height).collect();
    heights.sort_unstable();
    // A line may dip below; it is weak when half of it lies there.
    let middle = *heights.get(heights.len() / 2)?;
    let from = match wish {
        Wish::Solo => limits.solo_from,
        Wish::Loud => limits.loud_from,
    };
    if middle >= from.value || line.len() < 3 {
        return None;
    }
    let name = ctx.name(first);
    let (mark, word) = match wish {
        Wish::Solo => (first.marked.solo, "solo"),
        Wish::Loud => (first.marked.dynamic.map(|(_, span)| span), "loud line"),
    };
    let (message, severity, source) = match wish {
        Wish::Loud => {
            let message = format!(
                "This loud line from {name} on lies mostly below {}. That low the horn does not carry, and forcing it only makes \
                 it rough. Write it an octave higher, thin out what plays around it, or double it.",
                ctx.limit(from.value, first),
            );
            (message, Severity::Information, from.source)
        }
        Wish::Solo if middle < limits.weak_below.value => {
            let message = format!(
                "This solo from {name} on lies mostly below {}, where the horn carries little and is easily covered. Write it an \
                 octave higher, thin out what plays around it, or double it.",
                ctx.limit(limits.weak_below.value, first),
            );
            (message, Severity::Warning, limits.weak_below.source)
        }
        Wish::Solo => {
            let message = format!(
                "This solo from {name} on lies mostly below {}. The horn is darker there and less easily heard than an octave \
                 higher. Keep what plays around it light; if it should sing out, write it an octave higher.",
                ctx.limit(from.value, first),
            );
            (message, Severity::Information, from.source)
        }
    };
    let notes = ctx.part.notes.get(start..end).unwrap_or_default();
    let notes = notes.iter().filter(|note| note.layer == first.layer);
    Some(
        ctx.finding(&RULE, first.pitch_span, message, &source)
            .at_bar(first.number)
            .graver(severity)
            .related(mark, "the mark that asks for it to be heard")
            .fix(
                Safety::Review,
                format!("Move the whole {word} up an octave"),
                PartContext::octaves(notes.map(|note| note.span), 1),
            ),
    )
}
