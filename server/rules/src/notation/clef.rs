//! `notation/clef`: a clef that horn players do not read.

use horn::Source;
use score::ClefKind;

use crate::context::PartContext;
use crate::finding::Finding;
use crate::rule::rule;

rule! {
    /// A clef other than treble or bass in a horn part.
    ///
    /// ## Why it matters
    /// Horn players read treble clef, and bass clef for low notes. Alto and tenor clef belong to other instruments; a
    /// horn player has to work the notes out one by one.
    ///
    /// ## What to write instead
    /// Treble clef, with bass clef where more than a few ledger lines would be needed.
    ///
    /// ## Source
    /// Common practice.
    ///
    /// ```abc speaks
    /// X:1
    /// M:4/4
    /// L:1/4
    /// K:none
    /// V:1 name="Horn in F" transpose=-7 clef=tenor
    /// C4 | E4 |]
    /// ```
    ///
    /// ```abc silent
    /// X:1
    /// M:4/4
    /// L:1/4
    /// K:none
    /// V:1 name="Horn in F" transpose=-7 clef=treble
    /// C4 | E4 |]
    /// ```
    "notation/clef", Warning, Part(check), rests_on: Crook & Page
}

fn check(ctx: &PartContext<'_>) -> Vec<Finding> {
    ctx.part
        .notes
        .chunk_by(|a, b| a.clef == b.clef)
        .filter_map(|stretch| stretch.first())
        .filter(|note| !matches!(note.clef.kind, ClefKind::Treble | ClefKind::Bass))
        .map(|note| {
            let which = match note.clef.kind {
                ClefKind::Alto => "Alto clef",
                ClefKind::Tenor => "Tenor clef",
                _ => "A clef that is neither treble nor bass",
            };
            let message = format!(
                "{which} is used in this horn part from bar {} on. Horn players read only treble and bass clef, and would have to work \
                 out every note. Write it in one of those.",
                note.number,
            );
            ctx.finding(&RULE, note.pitch_span, message, &Source::CommonPractice)
                .at_bar(note.number)
        })
        .collect()
}
