//! `section/chord-for-one`: more notes at once than players.

use horn::Source;

use crate::context::PartContext;
use crate::finding::Finding;
use crate::rule::rule;

rule! {
    /// More notes at once than the part has players.
    ///
    /// ## Why it matters
    /// A horn plays one note at a time. The player of "Horn 1" who finds a chord has to choose a note, and will not always
    /// choose the one that was meant.
    ///
    /// ## What to write instead
    /// Give the other notes to other players: name the staff for them ("Horns 1.2. in F"), or write them into their own
    /// parts. Where the player is to sing and play at once, say so ("multiphonics"). A part without a number is taken for
    /// as many players as its chords need.
    ///
    /// ## Source
    /// Common practice.
    ///
    /// ```abc speaks
    /// X:1
    /// M:4/4
    /// L:1/4
    /// K:none
    /// V:1 name="Horn 1 in F" transpose=-7
    /// [ce]4 | g4 |]
    /// ```
    ///
    /// ```abc silent
    /// X:1
    /// M:4/4
    /// L:1/4
    /// K:none
    /// V:1 name="Horns 1.2. in F" transpose=-7
    /// [ce]4 | [eg]4 |]
    /// ```
    "section/chord-for-one", Error, Part(check)
}

fn check(ctx: &PartContext<'_>) -> Vec<Finding> {
    let part = ctx.part;
    // Without a number the name leaves open how many players read it.
    let players = part.seat.name.players.len();
    if players == 0 {
        return Vec::new();
    }
    let notes = part
        .too_many
        .iter()
        .filter_map(|note| part.notes.get(*note));
    notes
        .map(|note| {
            let message = if players == 1 {
                format!(
                    "{} sounds together with another note, and this part is for one player, who can play only one. Give it \
                     to another player, or name the staff for two.",
                    note.written,
                )
            } else {
                format!(
                    "{} is one note more than the {players} players of this staff can play at once. Give it to another \
                     player, or name the staff for more.",
                    note.written,
                )
            };
            ctx.finding(&RULE, note.pitch_span, message, &Source::CommonPractice)
                .at_bar(note.number)
        })
        .collect()
}
