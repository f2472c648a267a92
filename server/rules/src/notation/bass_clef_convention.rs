//! `notation/bass-clef-convention`: bass clef that only makes sense in the old way of writing.

use horn::{ClefConvention, Source};
use reading::PlayedNote;
use score::ClefKind;

use crate::context::PartContext;
use crate::finding::{Finding, Safety};
use crate::rule::rule;

rule! {
    /// Bass clef written in the old way, an octave below where it sounds by today's reading.
    ///
    /// ## Why it matters
    /// Until well into the twentieth century composers wrote the horn's bass clef an octave low: the horn in F
    /// sounded a fourth above it. Players know both ways and guess by what is possible; a file that does not say
    /// which is meant plays back an octave too low.
    ///
    /// ## What to write instead
    /// Write it an octave higher, the modern way (the fix), and say "modern bass clef" if in doubt. Or keep the old
    /// notes and say so: `% bellhand: part 1 = horn in F, old bass clef`, or `bass-clef = "old"` in the settings.
    ///
    /// ## Source
    /// The old rule: Grove, *A Dictionary of Music and Musicians*, vol. 1 (1879), "Horn", p. 750. What
    /// gives it away, a note below written F#2, is worked out from the compass; it is strong evidence, not proof.
    ///
    /// ```abc speaks
    /// X:1
    /// M:4/4
    /// L:1/4
    /// K:none
    /// V:1 name="Horn in F" transpose=-7
    /// G4 | [K:clef=bass] C,,4 | C,,4 |]
    /// ```
    ///
    /// ```abc silent
    /// X:1
    /// M:4/4
    /// L:1/4
    /// K:none
    /// V:1 name="Horn in F" transpose=-7
    /// G4 | [K:clef=bass] C,4 | C,4 |]
    /// ```
    "notation/bass-clef-convention", Warning, Part(check), rests_on: Crook & Page
}

/// Whether a note stands where only the old way of writing can put it.
pub(crate) fn looks_old(ctx: &PartContext<'_>, note: &PlayedNote) -> bool {
    note.clef.kind == ClefKind::Bass
        && ctx.part.seat.bass_clef == ClefConvention::Modern
        && note.height.midi() < horn::extreme_low().value.midi()
}

fn check(ctx: &PartContext<'_>) -> Vec<Finding> {
    let Some(first) = ctx.part.notes.iter().find(|note| looks_old(ctx, note)) else {
        return Vec::new();
    };
    let in_bass = ctx
        .part
        .notes
        .iter()
        .filter(|note| note.clef.kind == ClefKind::Bass)
        .map(|note| note.span);
    let message = format!(
        "The bass clef here seems to be written in the old way, an octave low. Read in the modern way, {} lies below the ordinary \
         notes of a horn. Write it an octave higher, or say that it is old bass clef.",
        ctx.name_and_height(first),
    );
    vec![
        ctx.finding(&RULE, first.pitch_span, message, &Source::CommonPractice)
            .at_bar(first.number)
            .fix(
                Safety::Review,
                "Write the part's bass clef the modern way, an octave higher".to_owned(),
                PartContext::octaves(in_bass, 1),
            ),
    ]
}
