//! `range/weak-low`: a line that wants to be heard where the horn does not carry.

use horn::Sourced;
use reading::PlayedNote;

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
    /// A melody that sings from written G4 upward is another melody an octave lower: the tone darkens and sinks into
    /// the band, and marking it louder only makes it rough.
    ///
    /// ## What to write instead
    /// Write the line an octave higher (the fix), thin out what stands around it, or double it.
    ///
    /// ## Source
    /// Solo range from written G4: common practice. Where a loud line stops carrying is this project's choice.
    ///
    /// ```abc speaks
    /// X:1
    /// M:4/4
    /// L:1/4
    /// K:none
    /// V:1 name="Horn in F" transpose=-7
    /// "^solo" C D E C | D4 |]
    /// ```
    ///
    /// ```abc silent
    /// X:1
    /// M:4/4
    /// L:1/4
    /// K:none
    /// V:1 name="Horn in F" transpose=-7
    /// "^solo" c d e c | d4 |]
    /// ```
    "range/weak-low", Information, Player(check), settings: [SOLO_FROM, LOUD_FROM]
}

/// Why a line wants to be heard.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Wish {
    Solo,
    Loud,
}

fn wish(note: &PlayedNote) -> Option<Wish> {
    if note.solo.is_some() {
        Some(Wish::Solo)
    } else if note.dynamic.is_some_and(|(dynamic, _)| dynamic.is_loud()) {
        Some(Wish::Loud)
    } else {
        None
    }
}

fn check(ctx: &PartContext<'_>) -> Vec<Finding> {
    let attacks: Vec<&PlayedNote> = ctx
        .part
        .notes
        .iter()
        .filter(|note| note.leads() && !note.tied_from)
        .collect();
    // A line is what is played in one breath of the part, from rest to rest, with one wish.
    attacks
        .chunk_by(|a, b| wish(a) == wish(b) && b.since_rest.0 > 0.0)
        .filter_map(|line| judge(ctx, line))
        .collect()
}

fn judge(ctx: &PartContext<'_>, line: &[&PlayedNote]) -> Option<Finding> {
    let first = line.first()?;
    let wish = wish(first)?;
    let Sourced {
        value: from,
        source,
    } = match wish {
        Wish::Solo => ctx.pitch(&RULE, &SOLO_FROM),
        Wish::Loud => ctx.pitch(&RULE, &LOUD_FROM),
    };
    let mut heights: Vec<i32> = line.iter().map(|note| note.height.midi()).collect();
    heights.sort_unstable();
    // A line may dip below; it is weak when half of it lies there.
    let middle = heights.get(heights.len() / 2)?;
    if *middle >= from.midi() || line.len() < 3 {
        return None;
    }
    let (mark, word, severity) = match wish {
        Wish::Solo => (first.solo, "solo", Severity::Warning),
        Wish::Loud => (
            first.dynamic.map(|(_, span)| span),
            "loud line",
            Severity::Information,
        ),
    };
    let message = format!(
        "This {word} from {} on lies mostly below {from} as a horn in F reads it. Down there the horn does not carry, and \
         louder playing only roughens it. Write it an octave higher, thin out what is around it, or double it.",
        ctx.name(first),
    );
    let notes = ctx.part.notes.iter().filter(|note| {
        let last = line
            .last()
            .map_or(first.onset, |note| note.onset + note.length);
        note.layer == first.layer && first.onset <= note.onset && note.onset < last
    });
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
