//! `section/unclear-unison`: one line on a staff for two, and nobody says who plays.

use std::collections::BTreeSet;
use std::ops::Bound;

use horn::{Instruction, Source};
use theory::Quarters;

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
    let two = notes.iter().filter(|note| note.chord || note.layer > 0);
    let shared: BTreeSet<Quarters> = two.map(|note| note.onset).collect();
    // Only a staff that does hold two lines somewhere raises the question.
    if shared.is_empty() {
        return Vec::new();
    }
    let told = says_who(ctx);
    let mut said = false;
    let mut findings = Vec::new();
    let mut since = Bound::Unbounded;
    for note in notes {
        if !note.leads() || note.tied_from || note.grace {
            continue;
        }
        let next = told.range((since, Bound::Unbounded)).next();
        since = Bound::Excluded(note.onset);
        if shared.contains(&note.onset) {
            said = false;
            continue;
        }
        // Told once; it holds until two notes stand there again.
        let known = std::mem::replace(&mut said, true);
        if known || next.is_some_and(|next| *next <= note.onset) {
            continue;
        }
        let message = format!(
            "From {} on a single line stands on a staff for several horns. The players cannot tell whether both play or \
             one. Write \"a2\", or \"1.\" or \"2.\".",
            note.written,
        );
        findings.push(
            ctx.finding(&RULE, note.pitch_span, message, &Source::CommonPractice)
                .at_bar(note.number),
        );
    }
    findings
}

/// When a mark says who plays.
fn says_who(ctx: &PartContext<'_>) -> BTreeSet<Quarters> {
    let marks = ctx.part.marks.iter().filter(|mark| {
        matches!(
            mark.said.instruction(),
            Instruction::Unison(_) | Instruction::Solo | Instruction::Tutti
        )
    });
    let numbers = ctx.words().filter(|(_, words)| is_number(words));
    marks
        .map(|mark| mark.onset)
        .chain(numbers.map(|(onset, _)| onset))
        .collect()
}

/// Words that name players: `1.`, `I`, `2°`.
fn is_number(words: &str) -> bool {
    let words = words.trim().trim_end_matches(['.', '°', 'º']);
    matches!(
        words.to_ascii_lowercase().as_str(),
        "1" | "2" | "3" | "4" | "i" | "ii" | "iii" | "iv" | "1o" | "2o" | "i solo" | "1 solo"
    )
}
