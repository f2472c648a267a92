//! `notation/clef-changes`: clefs that change too often.

use reading::PlayedNote;
use score::Row;

use crate::context::PartContext;
use crate::finding::Finding;
use crate::rule::rule;
use crate::setting::{Kind, Setting, number};

static NOTES: Setting = Setting {
    name: "notes",
    what: "How many notes a clef has to hold for to be worth the change.",
    kind: Kind::Number("notes"),
    default: |_| number(horn::notes_in_a_clef(), "notes"),
};

static CHANGES: Setting = Setting {
    name: "changes",
    what: "How many such changes in a row are too many.",
    kind: Kind::Number("changes"),
    default: |_| number(horn::clef_changes_in_a_row(), "changes"),
};

rule! {
    /// Clefs that change again and again after a few notes.
    ///
    /// ## Why it matters
    /// Every change of clef is a moment in which a player may read the wrong note, and in old parts even the wrong
    /// octave. Players read some ledger lines more easily than a clef that comes and goes.
    ///
    /// ## What to write instead
    /// Stay in treble clef with a few ledger lines, and change to bass clef only where the line stays low. Between two
    /// entries with a rest of a bar or more there is time, and nothing is said.
    ///
    /// ## Source
    /// That players read the octave below the treble staff easily and that too much bass clef is a fault: Ericson,
    /// *Horn Matters*, June 2008. How many changes are too many is bellhand's own choice and yours to set.
    ///
    /// ```abc speaks
    /// X:1
    /// M:4/4
    /// L:1/4
    /// K:none
    /// V:1 name="Horn in F" transpose=-7
    /// C2 [K:clef=bass] G,2 | [K:clef=treble] C2 [K:clef=bass] G,2 | [K:clef=treble] C2 E2 | G4 |]
    /// ```
    ///
    /// ```abc silent
    /// X:1
    /// M:4/4
    /// L:1/4
    /// K:none
    /// V:1 name="Horn in F" transpose=-7
    /// C2 [K:clef=bass] G,2 | [K:clef=treble] C2 E2 | [K:clef=bass] G,2 F,2 | G,2 F,2 |]
    /// ```
    "notation/clef-changes", Information, Part(check), settings: [NOTES, CHANGES], rests_on: Page
}

fn check(ctx: &PartContext<'_>) -> Vec<Finding> {
    let (enough, many) = (ctx.number(&RULE, &NOTES), ctx.number(&RULE, &CHANGES));
    let attacks: Row<&PlayedNote> = ctx
        .part
        .notes
        .iter()
        .filter(|note| note.layer == 0 && !note.chord && !note.tied_from)
        .collect();
    let stretches: Row<&[&PlayedNote]> = attacks
        .chunk_by(|a, b| a.clef.kind == b.clef.kind)
        .collect();
    // A clef belongs to a run with the one before when that one held for a few notes only and no bar's rest follows it.
    let hurried = |before: &[&PlayedNote], after: &[&PlayedNote]| {
        let (Some(last), Some(first)) = (before.last(), after.first()) else {
            return false;
        };
        first.bar <= last.bar + 1
    };
    let short = |stretch: &[&PlayedNote]| (stretch.len() as f64) < enough.value;
    stretches
        .chunk_by(|a, b| hurried(a, b) && (short(a) || short(b)))
        .filter_map(|run| {
            let changes = run.len().checked_sub(1)?;
            if changes == 0 || (changes as f64) < many.value {
                return None;
            }
            let (first, last) = (run.get(1)?.first()?, run.last()?.first()?);
            let message = format!(
                "The clef changes {changes} times from here to bar {}, each time after a few notes. At every change a player \
                 may read the wrong note. Stay in one clef, with some ledger lines, until the line moves for good.",
                last.number,
            );
            Some(
                ctx.finding(&RULE, first.pitch_span, message, &many.source)
                    .at_bar(first.number)
                    .related(Some(last.pitch_span), "the last of these changes"),
            )
        })
        .collect()
}
