//! `notation/ledger-lines`: notes far off the staff where the other clef would do.

use reading::PlayedNote;
use score::{ClefKind, Row};

use crate::context::PartContext;
use crate::finding::Finding;
use crate::rule::rule;
use crate::setting::{Kind, Setting, number, pitch};

static TREBLE_FROM: Setting = Setting {
    name: "treble-from",
    what: "The lowest written note that is read with ease in treble clef.",
    kind: Kind::Pitch,
    default: |_| pitch(horn::lowest_in_treble_clef()),
};

static BASS_TO: Setting = Setting {
    name: "bass-to",
    what: "The highest written note that belongs in bass clef.",
    kind: Kind::Pitch,
    default: |_| pitch(horn::highest_in_bass_clef()),
};

static NOTES: Setting = Setting {
    name: "notes",
    what: "How many such notes in a row make a passage worth a change of clef.",
    kind: Kind::Number("notes"),
    default: |_| number(horn::notes_for_a_clef(), "notes"),
};

rule! {
    /// Notes so far off the staff that the other clef would be read more easily.
    ///
    /// ## Why it matters
    /// Horn players read a few ledger lines below the treble staff without thinking; further down they have to count. In
    /// bass clef it is the other way round: many notes above the staff slow the reading for no gain.
    ///
    /// ## What to write instead
    /// Change to bass clef for a low passage, and back to treble before it rises; not for a note or two.
    ///
    /// ## Source
    /// That players read the octave below the treble staff easily and too much bass clef is a fault: Ericson,
    /// "Composers who can't write for the horn" (Horn Matters, 2008). The exact notes are bellhand's own choice.
    ///
    /// ```abc speaks
    /// X:1
    /// M:4/4
    /// L:1/4
    /// K:none
    /// V:1 name="Horn in F" transpose=-7 clef=treble
    /// C, B,, A,, B,, | C,4 |]
    /// ```
    ///
    /// ```abc silent
    /// X:1
    /// M:4/4
    /// L:1/4
    /// K:none
    /// V:1 name="Horn in F" transpose=-7 clef=bass
    /// C, B,, A,, B,, | C,4 |]
    /// ```
    "notation/ledger-lines", Information, Part(check), settings: [TREBLE_FROM, BASS_TO, NOTES], rests_on: Crook & Page
}

#[derive(Clone, Copy, PartialEq, Eq)]
enum Off {
    BelowTreble,
    AboveBass,
}

fn check(ctx: &PartContext<'_>) -> Vec<Finding> {
    let (low, high) = (ctx.pitch(&RULE, &TREBLE_FROM), ctx.pitch(&RULE, &BASS_TO));
    let least = ctx.number(&RULE, &NOTES).value;
    let off = |note: &PlayedNote| match note.clef.kind {
        ClefKind::Treble if note.written.midi() < low.value.midi() => Some(Off::BelowTreble),
        ClefKind::Bass if note.written.midi() > high.value.midi() => Some(Off::AboveBass),
        _ => None,
    };
    let attacks: Row<&PlayedNote> = ctx
        .part
        .notes
        .iter()
        .filter(|note| note.leads() && !note.tied_from)
        .collect();
    attacks
        .chunk_by(|a, b| off(a) == off(b))
        .filter(|passage| passage.len() as f64 >= least)
        .filter_map(|passage| {
            let first = passage.first()?;
            let off = off(first)?;
            let source = match off {
                Off::BelowTreble => low.source,
                Off::AboveBass => high.source,
            };
            let message = match off {
                Off::BelowTreble => format!(
                    "{} notes from {} on lie far below the treble staff, where players have to count ledger lines. Write the passage in bass \
                     clef.",
                    passage.len(),
                    first.written,
                ),
                Off::AboveBass => format!(
                    "{} notes from {} on lie far above the bass staff, and would be easier to read in treble clef. Change the clef there.",
                    passage.len(),
                    first.written,
                ),
            };
            Some(
                ctx.finding(&RULE, first.pitch_span, message, &source)
                    .at_bar(first.number),
            )
        })
        .collect()
}
