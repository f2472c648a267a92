//! `marks/string-words`: a word or sign that only players of strings can obey.

use horn::Source;
use score::{EventKind, Intent, Kinds, MarkKind, NewMark, Sign};

use crate::context::PartContext;
use crate::finding::{Finding, Safety};
use crate::rule::rule;

rule! {
    /// Plucking, bowing or the choice of a string, asked of a horn.
    ///
    /// ## Why it matters
    /// A horn has no string and no bow. Such a mark has most often come along with a line copied from a string part; the
    /// player cannot obey it, and asks, or guesses that "pizz." means short and "tremolo" with the bow means flutter.
    ///
    /// ## What to write instead
    /// What the horn is to do: staccato dots for short notes, "flutter-tongue" for a tremolo on one note, "stopped" or a
    /// softer dynamic for another colour. The fix takes the words out.
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
    /// "^pizz." c d e f | "^arco" !upbow!g4 |]
    /// ```
    ///
    /// ```abc silent
    /// X:1
    /// M:4/4
    /// L:1/4
    /// K:none
    /// V:1 name="Horn in F" transpose=-7
    /// "^flutter-tongue" c d "^normal" .e .f | "^Vl. pizz." z4 | g4 |]
    /// ```
    "marks/string-words", Warning, Part(check)
}

fn check(ctx: &PartContext<'_>) -> Vec<Finding> {
    ctx.events_of(Kinds::SIGNS.and(Kinds::WORDS))
        .filter_map(|placed| {
            let EventKind::Mark(mark) = &placed.event.kind else {
                return None;
            };
            let (said, left) = match &mark.kind {
                MarkKind::Words(text) => {
                    let range = horn::find_string_words(&text.text)?;
                    let mut left = text.text.clone();
                    left.replace_range(range.clone(), "");
                    (&text.text[range], left)
                }
                MarkKind::Sign(Sign::Other(name)) if horn::is_string_sign(name) => {
                    (name.as_str(), String::new())
                }
                _ => return None,
            };
            let message = format!(
                "\"{said}\" is for players of strings. A horn has no string and no bow, so the player cannot obey it and \
                 has to ask. Take it out, or write what the horn is to do: dots for short notes, \"flutter-tongue\" for a \
                 tremolo on one note."
            );
            let span = placed.span();
            let finding = ctx
                .finding(&RULE, span, message, &Source::CommonPractice)
                .at_bar(ctx.score.bars.get(placed.bar)?.number);
            let left = left.trim_matches(|c: char| c.is_whitespace() || ",;".contains(c));
            Some(if left.chars().any(char::is_alphanumeric) {
                finding.fix(
                    Safety::Review,
                    format!("Write \"{left}\" without \"{said}\""),
                    vec![Intent::ReplaceMark {
                        mark: span,
                        with: NewMark::Words(left.to_owned()),
                    }],
                )
            } else {
                finding.fix(
                    Safety::Review,
                    format!("Take \"{said}\" out"),
                    vec![Intent::RemoveMark { mark: span }],
                )
            })
        })
        .collect()
}
