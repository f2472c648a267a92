//! `notation/unclear-accidental`: an accidental that players read differently from the file.

use horn::Source;
use reading::PlayedNote;
use score::{AlterationFrom, Intent};

use crate::context::PartContext;
use crate::finding::{Finding, Safety};
use crate::rule::rule;

rule! {
    /// A note that is altered only by an accidental in another octave.
    ///
    /// ## Why it matters
    /// Some notations let an accidental hold in all octaves to the end of the bar, and ABC does so unless told
    /// otherwise; others record what sounds, whether or not the page shows it. Players on the stand mostly take an
    /// accidental for its own line or space only: the file plays F sharp and the player F.
    ///
    /// ## What to write instead
    /// Write the accidental again in the other octave (the fix); it costs nothing and leaves no doubt.
    ///
    /// ## Source
    /// That an accidental holds for its own octave is common practice, if not universal; the all-octaves default is
    /// the ABC standard 2.1, section 11.3.
    ///
    /// ```abc speaks
    /// X:1
    /// M:4/4
    /// L:1/4
    /// K:none
    /// V:1 name="Horn in F" transpose=-7
    /// ^F A d f | g4 |]
    /// ```
    ///
    /// ```abc silent
    /// X:1
    /// M:4/4
    /// L:1/4
    /// K:none
    /// V:1 name="Horn in F" transpose=-7
    /// ^F A d ^f | g4 |]
    /// ```
    "notation/unclear-accidental", Warning, Part(check)
}

fn check(ctx: &PartContext<'_>) -> Vec<Finding> {
    let notes = &ctx.part.notes;
    notes
        .iter()
        .enumerate()
        .filter(|(_, note)| note.alteration_from == AlterationFrom::Bar)
        .filter_map(|(index, note)| {
            let same_bar = || {
                notes[..index]
                    .iter()
                    .rev()
                    .take_while(|other| other.bar == note.bar)
                    .filter(|other| other.written.0.letter == note.written.0.letter)
            };
            let shown = |other: &&PlayedNote| other.alteration_from == AlterationFrom::Accidental;
            let says_so =
                |other: &PlayedNote| other.written.0.alteration == note.written.0.alteration;
            let own_octave = same_bar()
                .filter(|other| other.written.0.octave == note.written.0.octave)
                .find(shown);
            if own_octave.is_some_and(says_so) {
                return None;
            }
            let origin = same_bar().find(shown).filter(|other| says_so(other))?;
            let message = format!(
                "{} has its accidental only from {} earlier in the bar. Most players take an accidental for its own octave \
                 and will play another note here. Write it again.",
                note.written, origin.written,
            );
            Some(
                ctx.finding(&RULE, note.pitch_span, message, &Source::CommonPractice)
                    .at_bar(note.number)
                    .related(Some(origin.pitch_span), "the accidental it comes from")
                    .fix(
                        Safety::Safe,
                        format!("Write the accidental at {}", note.written),
                        vec![Intent::ShowAccidental { note: note.span }],
                    ),
            )
        })
        .collect()
}
