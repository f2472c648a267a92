//! `section/pairing`: players on one staff who are not the usual pair.

use horn::Source;

use crate::context::PartContext;
use crate::finding::Finding;
use crate::rule::rule;

rule! {
    /// A staff shared by other horns than 1 and 2, or 3 and 4.
    ///
    /// ## Why it matters
    /// First and second tune to each other and are written as a pair, third and fourth likewise. On a staff for 1 and 3
    /// each of them has to find the own line beside that of another pair.
    ///
    /// ## What to write instead
    /// Staves for 1 and 2 and for 3 and 4, or one for each player.
    ///
    /// ## Source
    /// The usual pairs, with 1 and 3 as a convenience of some editions: Goss, "Horn staves" (Orchestration Online).
    ///
    /// ```abc speaks
    /// X:1
    /// M:4/4
    /// L:1/4
    /// K:none
    /// V:1 name="Horns 1.3. in F" transpose=-7
    /// [ce]4 | [df]4 |]
    /// ```
    ///
    /// ```abc silent
    /// X:1
    /// M:4/4
    /// L:1/4
    /// K:none
    /// V:1 name="Horns 1.2. in F" transpose=-7
    /// [ce]4 | [df]4 |]
    /// ```
    "section/pairing", Information, Part(check)
}

fn check(ctx: &PartContext<'_>) -> Vec<Finding> {
    let [one, other] = ctx.part.seat.name.players[..] else {
        return Vec::new();
    };
    let (low, high) = (one.min(other), one.max(other));
    if low % 2 == 1 && high == low + 1 {
        return Vec::new();
    }
    let message = format!(
        "Horns {low} and {high} share this staff. The usual pairs, which tune to each other, are 1 and 2, and 3 and 4. Pair \
         the parts that way, or give each player a staff."
    );
    let span = ctx.part.name_span.unwrap_or(ctx.part.head);
    vec![ctx.finding(&RULE, span, message, &Source::CommonPractice)]
}
