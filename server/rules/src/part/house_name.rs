//! `part/house-name`: a part that the house names otherwise.

use horn::Source;
use score::Intent;

use crate::context::AmongContext;
use crate::finding::{Finding, Safety};
use crate::rule::rule;

rule! {
    /// A horn part whose name is not as this house prints names.
    ///
    /// ## Why it matters
    /// Parts are laid out, filed and called for by their names. "Horn 1 in F", "Corno I in Fa" and "F Horn 1" on the stands
    /// of one section cost a rehearsal its first minutes.
    ///
    /// ## What to write instead
    /// The name by the house's pattern (the fix). It stands in the settings under `[names]`; without one the rule is silent,
    /// as it is about natural horns, parts that change crooks and parts at concert pitch. Where the old name says more, as
    /// "(offstage)" does, you are asked first.
    ///
    /// ## Source
    /// That a house keeps to one way of naming: common practice. The pattern: the house.
    ///
    /// ```toml settings
    /// [names]
    /// single = "Horn {number} in {crook}"
    /// ```
    ///
    /// ```abc speaks
    /// X:1
    /// M:4/4
    /// L:1/4
    /// K:none
    /// V:1 name="Corno I in Fa" transpose=-7
    /// V:2 name="Horn 2 in F" transpose=-7
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
    "part/house-name", Warning, PartAmong(check), rests_on: Crook, speaks_in: |house| house.naming.has_pattern()
}

fn check(ctx: &AmongContext<'_>) -> Vec<Finding> {
    let seat = &ctx.part.seat.name;
    // Several horns without numbers are another rule's matter, and are numbered first.
    let numbered = !seat.players.is_empty() || ctx.reading.horns.len() == 1 && !seat.plural;
    let (Some(at), Some(crook)) = (ctx.part.name_span, ctx.part.crook.crook) else {
        return Vec::new();
    };
    if seat.natural || !numbered || !ctx.part.crook_changes.is_empty() {
        return Vec::new();
    }
    let Some(name) = ctx.house.naming.name(&seat.players, crook) else {
        return Vec::new();
    };
    let label = &ctx.part.label;
    if label.trim() == name {
        return Vec::new();
    }
    let message = format!(
        "This house names its parts otherwise. By its pattern \"{}\" is \"{name}\"; parts are laid out and called for by \
         their names, and one way of naming them all saves the search.",
        label.trim()
    );
    // What the name says besides would be lost with it.
    let safety = if horn::words_beside(label).is_empty() {
        Safety::Safe
    } else {
        Safety::Review
    };
    vec![ctx.finding(&RULE, at, message, &Source::HouseSetting).fix(
        safety,
        format!("Name the part \"{name}\""),
        vec![Intent::NamePart {
            part: ctx.part_ref(),
            name,
        }],
    )]
}
