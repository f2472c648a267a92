//! `marks/language-mix`: playing instructions in several languages.

use horn::{Instruction, Language, Source};

use crate::context::PartContext;
use crate::finding::Finding;
use crate::rule::rule;

rule! {
    /// Instructions for hand and mute in more than one language besides Italian.
    ///
    /// ## Why it matters
    /// "Gestopft" here and "stopped" there makes the player ask whether two different things are meant. One language
    /// throughout raises no question; Italian words go with any other.
    ///
    /// ## What to write instead
    /// Keep to the language the part began in.
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
    "marks/language-mix", Information, Part(check)
}

fn check(ctx: &PartContext<'_>) -> Vec<Finding> {
    let spoken = ctx.part.marks.iter().filter(|mark| {
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
    let mut first: Option<(Language, score::Span)> = None;
    for mark in spoken {
        let Some(language) = mark
            .language
            .filter(|language| *language != Language::Italian)
        else {
            continue;
        };
        match first {
            None => first = Some((language, mark.span)),
            Some((known, span)) if known != language => {
                let message = format!(
                    "The marks change from {known:?} to {language:?} here. The player wonders whether something else is \
                     meant. Keep to one language, or use the Italian words."
                );
                return vec![
                    ctx.finding(&RULE, mark.span, message, &Source::CommonPractice)
                        .at_bar(mark.number)
                        .related(Some(span), "the first mark, in the other language"),
                ];
            }
            Some(_) => {}
        }
    }
    Vec::new()
}
