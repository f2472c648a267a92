//! `section/unclear-unison`: one line on a staff for two, and nobody says who plays.

use horn::{Instruction, Source};
use reading::PlayedNote;

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
    /// "a2" where both play, "1." or "2." where one does, each time the line goes from two notes to one.
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
    if ctx.part.seat.name.players.len() < 2 && !ctx.part.seat.name.plural {
        return Vec::new();
    }
    let notes = &ctx.part.notes;
    let shared = |onset| {
        notes
            .iter()
            .any(|note| note.onset == onset && (note.chord || note.layer > 0))
    };
    // Only a staff that does hold two lines somewhere raises the question.
    if !notes.iter().any(|note| note.chord || note.layer > 0) {
        return Vec::new();
    }
    let leaders: Vec<&PlayedNote> = notes
        .iter()
        .filter(|note| note.leads() && !note.tied_from && !note.grace)
        .collect();
    let mut said = says_who(ctx, None, leaders.first().copied());
    let mut findings = Vec::new();
    let mut before: Option<&PlayedNote> = None;
    for note in leaders {
        said = says_who(ctx, before, Some(note)).or(said);
        if shared(note.onset) {
            said = None;
        } else if said.is_none() {
            let message = format!(
                "From {} on a single line stands on a staff for several horns. The players cannot tell whether both play or \
                 one. Write \"a2\", or \"1.\" or \"2.\".",
                note.written,
            );
            findings.push(
                ctx.finding(&RULE, note.pitch_span, message, &Source::CommonPractice)
                    .at_bar(note.number),
            );
            // Told once; it holds until two notes stand there again.
            said = Some(());
        }
        before = Some(note);
    }
    findings
}

/// Whether a mark between two notes says who plays.
fn says_who(
    ctx: &PartContext<'_>,
    before: Option<&PlayedNote>,
    note: Option<&PlayedNote>,
) -> Option<()> {
    let note = note?;
    let after_last = |onset| before.is_none_or(|before| onset > before.onset);
    let marked = ctx.part.marks.iter().any(|mark| {
        after_last(mark.onset)
            && mark.onset <= note.onset
            && matches!(
                mark.said.instruction(),
                Instruction::Unison(_) | Instruction::Solo | Instruction::Tutti
            )
    });
    let numbered = || {
        ctx.words()
            .any(|(onset, words)| after_last(onset) && onset <= note.onset && is_number(&words))
    };
    (marked || numbered()).then_some(())
}

/// Words that name players: `1.`, `I`, `2°`.
fn is_number(words: &str) -> bool {
    let words = words.trim().trim_end_matches(['.', '°', 'º']);
    matches!(
        words.to_ascii_lowercase().as_str(),
        "1" | "2" | "3" | "4" | "i" | "ii" | "iii" | "iv" | "1o" | "2o" | "i solo" | "1 solo"
    )
}
