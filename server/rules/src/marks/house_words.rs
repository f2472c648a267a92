//! `marks/house-words`: words that the house prints otherwise.

use horn::{Source, Wording};
use reading::{Hand, PlayedMark, Said};
use score::{Intent, NewMark};

use crate::context::PartContext;
use crate::finding::{Finding, Safety};
use crate::rule::rule;
use crate::words::is_sign;

rule! {
    /// Words for hand, mute or bell that this house prints otherwise.
    ///
    /// ## Why it matters
    /// A section reads a hundred parts a season. When "con sord.", "mute in" and "mit Dämpfer" all mean the same, the
    /// player stops to ask whether they do; one wording throughout is read without a thought.
    ///
    /// ## What to write instead
    /// The house's words (the fix); what else the words say stays. Which they are stands in the settings under `[words]`,
    /// where a language alone is enough. Without either the rule is silent.
    ///
    /// ## Source
    /// That a house keeps to one wording: common practice. The words themselves: the house.
    ///
    /// ```toml settings
    /// [words]
    /// mute-in = "con sord."
    /// mute-out = "senza sord."
    /// ```
    ///
    /// ```abc speaks
    /// X:1
    /// M:4/4
    /// L:1/4
    /// K:none
    /// V:1 name="Horn in F" transpose=-7
    /// "^mute in" c d e f | z4 | z4 | "^senza sord." c4 |]
    /// ```
    ///
    /// ```abc silent
    /// X:1
    /// M:4/4
    /// L:1/4
    /// K:none
    /// V:1 name="Horn in F" transpose=-7
    /// "^con sord." c d e f | z4 | z4 | "^senza sord." c4 |]
    /// ```
    "marks/house-words", Warning, Part(check), speaks_in: |house| house.words.are_set()
}

fn check(ctx: &PartContext<'_>) -> Vec<Finding> {
    if !(RULE.speaks_in)(ctx.house) {
        return Vec::new();
    }
    let marks: Vec<&PlayedMark> = ctx.part.marks.iter().collect();
    // One text may hold several instructions; they are changed together.
    marks
        .chunk_by(|one, other| one.span == other.span)
        .filter_map(|of_one_text| in_text(ctx, of_one_text))
        .collect()
}

/// What is to be changed in one text, or at one sign.
fn in_text(ctx: &PartContext<'_>, marks: &[&PlayedMark]) -> Option<Finding> {
    let changes: Vec<_> = marks
        .iter()
        .filter_map(|mark| Some((*mark, wanted(ctx, mark)?)))
        .collect();
    let (first, (wording, instead)) = changes.first()?;
    let said = match (&first.said, first.words.as_deref(), &first.term) {
        (Said::Sign(_), ..) => "This sign".to_owned(),
        (Said::Word(_), Some(words), Some(term)) => {
            format!("\"{}\"", words.get(term.clone()).unwrap_or(words).trim())
        }
        _ => return None,
    };
    let message = match instead {
        Some(instead) => format!(
            "{said} is printed \"{instead}\" in this house. Players who read one wording throughout need not ask whether \
             another means the same. Write \"{instead}\"."
        ),
        None => format!(
            "{said} stands where this house prints {} for {}. Players who read one wording throughout need not ask whether \
             another means the same.",
            list(ctx, *wording),
            wording.name()
        ),
    };
    let finding = ctx
        .finding(&RULE, first.span, message, &Source::HouseSetting)
        .at_bar(first.number);
    Some(match rewritten(&changes) {
        Some(words) => finding.fix(
            Safety::Safe,
            format!("Write \"{words}\""),
            vec![Intent::ReplaceMark {
                mark: first.span,
                with: NewMark::Words(words),
            }],
        ),
        None => finding,
    })
}

/// What a mark asks, and what the house prints for it, where that is something else; no words where it is a sign.
fn wanted(ctx: &PartContext<'_>, mark: &PlayedMark) -> Option<(Wording, Option<String>)> {
    let wording = Wording::of(mark.said.instruction())?;
    // "Open" with the mute in and no hand takes the mute out: it means two things, and is left to the writer.
    if wording == Wording::Open && mark.before.hand == Hand::Open && mark.before.muted() {
        return None;
    }
    let words = &ctx.house.words;
    let sign = matches!(mark.said, Said::Sign(_));
    let text = match (&mark.words, &mark.term) {
        (Some(words), Some(term)) => words.get(term.clone())?,
        _ if wording == Wording::Open => "o",
        _ => "+",
    };
    if let Some(printed) = words.printed(wording) {
        let passes = printed.iter().any(|one| same(one, text));
        // A sign among what passes holds for one note, words for many: neither is made the other without the writer.
        let instead = printed.iter().find(|one| !is_sign(one));
        return (!passes).then(|| (wording, instead.filter(|_| !sign).cloned()));
    }
    // Where the language has no word of its own, it prints another's.
    let only = words.only()?;
    let printed = wording.printed(only);
    let other = mark.language.is_some_and(|spoken| spoken != only) && !same(printed, text);
    (other && !sign).then(|| (wording, Some(printed.to_owned())))
}

/// Whether two wordings are the same but for the case of letters and a full stop.
fn same(one: &str, other: &str) -> bool {
    let bare = |words: &str| words.trim().trim_end_matches('.').to_lowercase();
    bare(one) == bare(other)
}

/// The whole text with the house's words in it; nothing where a sign, or a word that only signs may stand for, is among
/// what is to be changed.
fn rewritten(changes: &[(&PlayedMark, (Wording, Option<String>))]) -> Option<String> {
    let (first, _) = changes.first()?;
    let mut text = first.words.as_deref()?.to_owned();
    for (mark, (_, instead)) in changes.iter().rev() {
        let term = mark.term.clone()?;
        let after = text.get(term.end..)?;
        // The full stop of a shortened word goes with it.
        let after = after.strip_prefix('.').unwrap_or(after).to_owned();
        text.truncate(term.start);
        text.push_str(instead.as_deref()?);
        text.push_str(&after);
    }
    Some(text)
}

/// What the house prints, to be said in a sentence.
fn list(ctx: &PartContext<'_>, wording: Wording) -> String {
    let printed = ctx.house.words.printed(wording).unwrap_or_default();
    printed
        .iter()
        .map(|words| format!("\"{words}\""))
        .collect::<Vec<_>>()
        .join(" or ")
}
