//! `part/name`: two horn parts that cannot be told apart.

use horn::Source;
use score::Intent;

use crate::context::AmongContext;
use crate::finding::{Finding, Safety};
use crate::rule::rule;

rule! {
    /// A horn part without a name, or several without numbers.
    ///
    /// ## Why it matters
    /// Parts are handed out by their names. Two pages that both say "Horn in F" end up on the wrong stands, the low
    /// player with the high part.
    ///
    /// ## What to write instead
    /// Number them: "Horn 1 in F", "Horn 2 in F" (the fix).
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
    /// V:2 name="Horn in F" transpose=-7
    /// [V:1] e4 | f4 |]
    /// [V:2] c4 | d4 |]
    /// ```
    ///
    /// ```abc silent
    /// X:1
    /// M:4/4
    /// L:1/4
    /// K:none
    /// V:1 name="Horn 1 in F" transpose=-7
    /// V:2 name="Horn 2 in F" transpose=-7
    /// [V:1] e4 | f4 |]
    /// [V:2] c4 | d4 |]
    /// ```
    "part/name", Information, PartAmong(check)
}

fn check(ctx: &AmongContext<'_>) -> Vec<Finding> {
    let horns = &ctx.reading.horns;
    let name = &ctx.part.seat.name;
    // A name for several players ("Corni") is none player's own.
    if horns.len() < 2 || !name.players.is_empty() || name.plural {
        return Vec::new();
    }
    let twins = horns
        .iter()
        .filter(|horn| horn.seat.name.players.is_empty() && !horn.seat.name.plural)
        .count();
    if twins < 2 {
        return Vec::new();
    }
    let place = horns
        .iter()
        .position(|horn| horn.seat.part == ctx.part.seat.part)
        .map_or(1, |index| index + 1);
    let numbered = numbered(ctx, place);
    let message = format!(
        "{twins} horn parts here have no number. Handed out, they end up on the wrong stands. Number them, as in \
         \"{numbered}\"."
    );
    let finding = ctx.finding(
        &RULE,
        ctx.part.name_span.unwrap_or(ctx.part.head),
        message,
        &Source::CommonPractice,
    );
    // Beyond the horns of any row a number is read as several players', or as none.
    let read = horn::read_name(&numbered).players;
    if !read.into_iter().map(usize::from).eq([place]) {
        return vec![finding];
    }
    vec![finding.fix(
        Safety::Safe,
        format!("Name the part \"{numbered}\""),
        vec![Intent::NamePart {
            part: ctx.part_ref(),
            name: numbered,
        }],
    )]
}

/// The name with a number: before the crook where the name is plain English, else at its end.
fn numbered(ctx: &AmongContext<'_>, place: usize) -> String {
    let label = ctx.part.label.trim();
    match (ctx.part.name_span, label.split_once(" in ")) {
        (Some(_), Some((noun, crook))) if noun.eq_ignore_ascii_case("horn") => {
            format!("{noun} {place} in {crook}")
        }
        (Some(_), _) => format!("{label} {place}"),
        (None, _) => {
            let crook = ctx.part.crook.crook;
            let crook =
                crook.map_or_else(String::new, |crook| format!(" in {}", crook.abbreviation()));
            format!("Horn {place}{crook}")
        }
    }
}
