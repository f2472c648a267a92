//! `notation/unnamed-crook`: the name on the page does not say which horn.

use horn::{Crook, CrookName, Source};
use reading::{CrookSaid, WrittenOf};
use score::Intent;

use crate::context::PartContext;
use crate::finding::{Finding, Safety};
use crate::rule::{Severity, rule};

rule! {
    /// A horn part whose name does not say in what key it stands.
    ///
    /// ## Why it matters
    /// The name at the top of the page is where the player looks first: "Horn in F" is read straight off, "Horn
    /// in E flat" is transposed at sight, "Horn" is a guess, and "in B" or "in C" can mean two octaves. A part that
    /// sounds in another key than F without saying so will be played in F.
    ///
    /// ## What to write instead
    /// Put the crook in the part's name: "Horn in F"; for B flat and C also alto or basso.
    ///
    /// ## Source
    /// Common practice; B flat unmarked is disputed by period (Bryan, "Mozart's Use of Horns in B flat").
    ///
    /// ```abc speaks
    /// X:1
    /// M:4/4
    /// L:1/4
    /// K:none
    /// V:1 name="Horn 1" transpose=-9
    /// c d e f | g4 |]
    /// ```
    ///
    /// ```abc silent
    /// X:1
    /// M:4/4
    /// L:1/4
    /// K:none
    /// V:1 name="Horn 1 in F" transpose=-7
    /// c d e f | g4 |]
    /// ```
    "notation/unnamed-crook", Information, Part(check)
}

fn check(ctx: &PartContext<'_>) -> Vec<Finding> {
    let part = ctx.part;
    let span = part.name_span.unwrap_or(part.head);
    if part.crook.ambiguous
        && let CrookName::Ambiguous(choices) = &part.seat.name.crook
    {
        return vec![which_octave(ctx, choices)];
    }
    if part.seat.page == WrittenOf::Crook {
        return Vec::new();
    }
    let Some(crook) = part.crook.crook else {
        let message = "The name does not say which horn this is, and the transposition the file records is no horn's. \
                       The player will take it for a horn in F. Name the crook.";
        return vec![
            ctx.finding(&RULE, span, message.to_owned(), &Source::CommonPractice)
                .graver(Severity::Warning),
        ];
    };
    let (why, severity) = match (crook, part.crook.said) {
        (Crook::F, CrookSaid::Recorded) => (
            "The file records a horn in F, but the page does not say so.",
            Severity::Information,
        ),
        (Crook::F, _) => (
            "A horn in F is taken for granted here.",
            Severity::Information,
        ),
        (_, _) => (
            "It is no horn in F, yet the page does not say so, and the player will play it in F.",
            Severity::Warning,
        ),
    };
    let name = part.name_span.map_or("Horn", |_| part.label.as_str());
    let named = format!("{name} in {}", crook.abbreviation());
    let message = format!(
        "The name does not say in what key the horn stands. {why} Name the crook, as in \"{named}\"."
    );
    vec![
        ctx.finding(&RULE, span, message, &Source::CommonPractice)
            .graver(severity)
            .fix(
                Safety::Safe,
                format!("Name the part \"{named}\""),
                vec![Intent::NamePart {
                    part: ctx.part_ref(),
                    name: named,
                }],
            ),
    ]
}

/// A name that leaves two crooks an octave or so apart.
fn which_octave(ctx: &PartContext<'_>, choices: &[Crook]) -> Finding {
    let part = ctx.part;
    let labels: Vec<String> = choices.iter().map(|crook| crook.label()).collect();
    let message = format!(
        "\"{}\" can mean {}. The player has to guess the octave. Say which in the name, or record the transposition.",
        part.label,
        labels.join(" or "),
    );
    ctx.finding(
        &RULE,
        part.name_span.unwrap_or(part.head),
        message,
        &Source::CommonPractice,
    )
}
