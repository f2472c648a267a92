//! `marks/language-mix`: playing instructions in several languages.

use horn::{Instruction, Language, Source};
use reading::{HornPart, PlayedMark};

use crate::context::{PartContext, PieceContext};
use crate::finding::Finding;
use crate::rule::rule;

rule! {
    /// Instructions for hand and mute in more than one language besides Italian.
    ///
    /// ## Why it matters
    /// "Gestopft" here and "stopped" there makes the player ask whether two different things are meant. One language
    /// throughout raises no question; Italian words go with any other. The same is asked where the parts of one score are
    /// each in a language of their own, since a section compares its parts.
    ///
    /// ## What to write instead
    /// Keep to the language the part began in, and that most horn parts of the score have. A house can settle it for all
    /// its scores, `language` under `[words]`.
    ///
    /// ## Source
    /// Common practice.
    ///
    /// ```abc speaks
    /// X:1
    /// M:4/4
    /// L:1/4
    /// K:none
    /// V:1 name="Horn in F" transpose=-7
    /// "^stopped" c2 d2 | "^open" e4 | "^gestopft" c2 d2 | "^offen" e4 |]
    /// ```
    ///
    /// ```abc silent
    /// X:1
    /// M:4/4
    /// L:1/4
    /// K:none
    /// V:1 name="Horn in F" transpose=-7
    /// "^stopped" c2 d2 | "^open" e4 | "^stopped" c2 d2 | "^open" e4 |]
    /// ```
    "marks/language-mix", Information, Part(check) & Piece(across)
}

fn check(ctx: &PartContext<'_>) -> Vec<Finding> {
    let mut spoken = spoken(ctx.part);
    let Some((first, known)) = spoken.next() else {
        return Vec::new();
    };
    let other = spoken.find(|(_, language)| *language != known);
    let finding = other.map(|(mark, language)| {
        let message = format!(
            "The marks change from {known:?} to {language:?} here. The player wonders whether something else is meant. Keep to \
             one language, or use the Italian words."
        );
        ctx.finding(&RULE, mark.span, message, &Source::CommonPractice)
            .at_bar(mark.number)
            .related(Some(first.span), "the first mark, in the other language")
    });
    finding.into_iter().collect()
}

/// The same among the horn parts of a score, each of which keeps to one language: said once, at the first part that has
/// another than most.
fn across(ctx: &PieceContext<'_>) -> Vec<Finding> {
    let parts: Vec<(&HornPart, &PlayedMark, Language)> = ctx
        .reading
        .horns
        .iter()
        .filter_map(|part| {
            let (first, language) = spoken(part).next()?;
            let alone = spoken(part).all(|(_, other)| other == language);
            alone.then_some((part, first, language))
        })
        .collect();
    let count = |language: Language| parts.iter().filter(|(.., one)| *one == language).count();
    // Of languages that as many parts have, that of the first part is kept.
    let most = parts
        .iter()
        .rev()
        .max_by_key(|(.., language)| count(*language));
    let Some(&(usual_part, usual_mark, usual)) = most else {
        return Vec::new();
    };
    let differs = parts.iter().find(|(.., language)| *language != usual);
    let finding = differs.map(|&(part, mark, language)| {
        let message = format!(
            "The marks of this part are in {language:?}, those of {} in {usual:?}. A section that compares its parts wonders \
             whether something else is meant. Keep to one language in all of them, or use the Italian words.",
            usual_part.label
        );
        let of_part = PartContext::of(ctx.reading, part, ctx.house)?;
        let finding = of_part
            .finding(&RULE, mark.span, message, &Source::CommonPractice)
            .at_bar(mark.number);
        Some(finding.related(Some(usual_mark.span), "a mark in the language of most parts"))
    });
    finding.flatten().into_iter().collect()
}

/// The marks for hand, mute and bell that are in a language, but for the Italian ones.
fn spoken(part: &HornPart) -> impl Iterator<Item = (&PlayedMark, Language)> {
    let marks = part.marks.iter().filter(|mark| {
        matches!(
            mark.said.instruction(),
            Instruction::Stopped
                | Instruction::HalfStopped
                | Instruction::Open
                | Instruction::MuteOn
                | Instruction::MuteOff
                | Instruction::BellsUp
                | Instruction::BellsNormal
        )
    });
    let of_language = marks.filter_map(|mark| Some((mark, mark.language?)));
    of_language.filter(|(_, language)| *language != Language::Italian)
}
