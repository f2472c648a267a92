//! `section/unclear-unison`: one line on a staff for two, and nobody says who plays.

use horn::{Called, Source};

use crate::context::PartContext;
use crate::finding::Finding;
use crate::rule::rule;

rule! {
    /// A single line on a staff for several players that does not say who plays it.
    ///
    /// ## Why it matters
    /// On a staff for two horns a single line can be both ("a2"), the first alone ("1.") or the second. Without the
    /// mark both play, or neither: they settle it in rehearsal, and not always as it was meant.
    ///
    /// ## What to write instead
    /// "a2" where both play, "1." or "2." where one does, each time the line goes from two notes to one. Where the other
    /// voice has notes or rests of its own in the bar, it is clear who plays.
    ///
    /// ## Source
    /// Common practice.
    ///
    /// ```abc speaks
    /// X:1
    /// M:4/4
    /// L:1/4
    /// K:none
    /// V:1 name="Horns 1.2. in F" transpose=-7
    /// [ce]2 [df]2 | e f g e | c4 |]
    /// ```
    ///
    /// ```abc silent
    /// X:1
    /// M:4/4
    /// L:1/4
    /// K:none
    /// V:1 name="Horns 1.2. in F" transpose=-7
    /// [ce]2 [df]2 | "^a2" e f g e | c4 |]
    /// ```
    "section/unclear-unison", Information, Part(check)
}

fn check(ctx: &PartContext<'_>) -> Vec<Finding> {
    let part = ctx.part;
    let calls = &ctx.house.calls;
    let notes = part.unclear.iter().filter_map(|note| part.notes.get(*note));
    notes
        .map(|note| {
            let message = format!(
                "From {} on a single line stands on a staff for several horns. The players cannot tell whether both play or \
                 one. Write \"{}\", or \"{}\" or \"{}\".",
                note.written,
                calls.word(Called::Both),
                calls.word(Called::First),
                calls.word(Called::Second),
            );
            ctx.finding(&RULE, note.pitch_span, message, &Source::CommonPractice)
                .at_bar(note.number)
        })
        .collect()
}
