//! `text/unused-ignore`: an instruction to keep silent about what is not said.

use horn::Source;
use score::Intent;

use crate::context::IgnoreContext;
use crate::finding::{Finding, Safety};
use crate::rule::rule;

rule! {
    /// An instruction to keep silent about a rule that has nothing to say there.
    ///
    /// ## Why it matters
    /// It was written for music that has changed since, or stands at the wrong line. Left there, it may one day silence
    /// something new that the player should have been spared, and until then its reason misleads whoever reads it.
    ///
    /// ## What to write instead
    /// Nothing: the fix takes the name out, and the comment where no name is left in it. If it stands at the wrong place,
    /// put it on a line of its own above the line that is meant, or behind the music of that line.
    ///
    /// Nothing is said where the rule is switched off or has nothing to go by in the settings, where the crook it rests on
    /// is in doubt, or while something in the file cannot be read. To keep an instruction all the same, name this rule in it.
    ///
    /// ## Source
    /// Bellhand's own choice.
    ///
    /// ```abc speaks
    /// X:1
    /// M:4/4
    /// L:1/4
    /// K:none
    /// V:1 name="Horn in F" transpose=-7
    /// % bellhand: ignore range/too-high: she can play it
    /// c e c2 | z4 |]
    /// ```
    ///
    /// ```abc silent
    /// X:1
    /// M:4/4
    /// L:1/4
    /// K:none
    /// V:1 name="Horn in F" transpose=-7
    /// % bellhand: ignore range/too-high: she can play it
    /// c' e' c'2 | z4 |]
    /// ```
    "text/unused-ignore", Information, Ignores(check)
}

fn check(ctx: &IgnoreContext<'_>) -> Vec<Finding> {
    let unused = || {
        let rules = ctx.rules.iter();
        // It is told of other rules, and kept for the day when one of them has nothing to say.
        rules.filter(|rule| !rule.used && rule.name != RULE.name)
    };
    let names: Vec<String> = unused().map(|rule| rule.name.to_owned()).collect();
    let title = if names.len() == ctx.rules.len() {
        "Remove the comment".to_owned()
    } else {
        format!("Remove `{}`", names.join("`, `"))
    };
    let place = if ctx.in_file { "in this file" } else { "here" };
    unused()
        .map(|rule| {
            let message = format!(
                "`{}` has nothing to say {place}, so nothing is kept silent. Left in the text, this may one day silence what \
                 the player should have been spared. Take it out, or move it to the line that is meant.",
                rule.name
            );
            Finding::new(&RULE, rule.span, message, &Source::ProjectChoice)
                .left_out()
                .fix(
                    Safety::Safe,
                    title.clone(),
                    vec![Intent::DropIgnored {
                        at: ctx.span,
                        rules: names.clone(),
                    }],
                )
        })
        .collect()
}
