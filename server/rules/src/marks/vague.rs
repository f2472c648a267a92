//! `marks/vague`: a mark that does not say whether something goes in or out.

use horn::{Instruction, Language, Source, Wording};
use reading::{PlayedMark, Said};
use score::{Intent, NewMark};

use crate::context::PartContext;
use crate::finding::{Finding, Safety};
use crate::rule::rule;
use crate::setting::{Kind, Setting, choice};

static PLUS: Setting = Setting {
    name: "plus",
    what: "Whether the sign + needs the word \"stopped\" at its first use in a part.",
    kind: Kind::Choice(&["sign", "word"]),
    default: |_| choice("sign", Source::ProjectChoice),
};

rule! {
    /// "Mute" without in or out, or, in a house that wants words, a + that nobody explains.
    ///
    /// ## Why it matters
    /// "Mute" over a note can be read as "put it in" or as "you are muted, remember". A bare + is stopping to a horn
    /// player, and something else to a timpanist or a pupil.
    ///
    /// ## What to write instead
    /// "con sord." and "senza sord.", or the same in the part's own language or in the house's words (the fix). In a house with `plus = "word"`, "stopped" over
    /// the first +.
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
    /// "^mute" c d e f | z4 | z4 | "^mute out" c4 |]
    /// ```
    ///
    /// ```abc silent
    /// X:1
    /// M:4/4
    /// L:1/4
    /// K:none
    /// V:1 name="Horn in F" transpose=-7
    /// "^mute in" c d e f | z4 | z4 | "^mute out" c4 |]
    /// ```
    "marks/vague", Information, Part(check), settings: [PLUS]
}

fn check(ctx: &PartContext<'_>) -> Vec<Finding> {
    let mut findings: Vec<Finding> = ctx
        .part
        .marks
        .iter()
        .filter_map(|mark| lone_mute(ctx, mark))
        .collect();
    let wanted = ctx.choice(&RULE, &PLUS);
    if wanted.value == "word" {
        findings.extend(unexplained_plus(ctx, &wanted.source));
    }
    findings
}

/// A mute that is only named. With no mute in, it goes in; with one in, nobody can know.
fn lone_mute(ctx: &PartContext<'_>, mark: &PlayedMark) -> Option<Finding> {
    let words = mark.words.as_deref()?;
    if *mark.said.instruction() != Instruction::MuteOn
        || !mark.alone
        || !horn::names_mute_alone(words)
    {
        return None;
    }
    // An English name of the mute chooses no words; another language's is of one with words of its own.
    let spoken = mark
        .language
        .filter(|language| *language != Language::English);
    let [on, off] = [Wording::MuteIn, Wording::MuteOut]
        .map(|wording| ctx.word(wording, ctx.part.mute_language.or(spoken)));
    let write = |words: &str| {
        let intents = vec![Intent::ReplaceMark {
            mark: mark.span,
            with: NewMark::Words(words.to_owned()),
        }];
        (format!("Write \"{words}\""), intents)
    };
    let said = words.trim();
    let finding = |message| {
        ctx.finding(&RULE, mark.span, message, &Source::CommonPractice)
            .at_bar(mark.number)
    };
    if !mark.before.muted() {
        // "Sord." over a note that follows open ones is how many composers put it in.
        if !matches!(mark.language, Some(Language::English | Language::German)) {
            return None;
        }
        let (title, intents) = write(&on);
        let message = format!(
            "\"{said}\" does not say whether it goes in or out. The player has to work it out from what comes before. Write \
             \"{on}\"."
        );
        return Some(finding(message).fix(Safety::Safe, title, intents));
    }
    let message = format!(
        "\"{said}\" stands where the mute is already in, so the player cannot tell whether it comes out here or stays in. \
         Write \"{off}\" if it comes out; if it stays in, put the reminder in brackets or leave it out."
    );
    let (title, intents) = write(&off);
    Some(
        finding(message)
            .related(mark.before.mute_mark, "the mark that put it in")
            .fix(Safety::Review, title, intents),
    )
}

/// The first + of a part in which no word says what it is.
fn unexplained_plus(ctx: &PartContext<'_>, source: &Source) -> Option<Finding> {
    let first = ctx
        .part
        .marks
        .iter()
        .find(|mark| *mark.said.instruction() == Instruction::Stopped)?;
    if !matches!(first.said, Said::Sign(_)) {
        return None;
    }
    let message = "This + stands without a word that explains it. In this house the first one says \"stopped\". Write the \
                   word over it.";
    Some(
        ctx.finding(&RULE, first.span, message.to_owned(), source)
            .at_bar(first.number),
    )
}
