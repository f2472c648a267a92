//! `text/unknown-ignore`: an instruction to keep silent about a rule that there is not.

use horn::Source;
use score::{Directive, IgnoredRule, Intent, Span};

use crate::catalogue;
use crate::context::ScoreContext;
use crate::finding::{Finding, Safety};
use crate::rule::rule;
use crate::selector::RuleSelector;

rule! {
    /// An instruction to keep silent names a rule that there is not.
    ///
    /// ## Why it matters
    /// Nothing is kept silent by it: what it was written against is still said, or will be when the music comes to it, and
    /// whoever reads the comment believes otherwise.
    ///
    /// ## What to write instead
    /// The rule's name as findings show it (the fix, where one is much like what is written). A group cannot be named here,
    /// since what a comment silences should be seen in it.
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
    /// % bellhand: ignore range/too-hihg: she can play it
    /// c' e' c'2 | z4 |]
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
    "text/unknown-ignore", Warning, Score(check)
}

fn check(ctx: &ScoreContext<'_>) -> Vec<Finding> {
    let of_file = ctx.directives.iter().map(|directive| (0, directive));
    let of_pieces = ctx.pieces.iter().flat_map(|(base, reading)| {
        let directives = reading.piece.directives.iter();
        directives.map(|directive| (*base, directive))
    });
    of_file
        .chain(of_pieces)
        .flat_map(|(base, directive)| in_one(base, directive))
        .collect()
}

/// What is unknown in an instruction of a piece that begins at `base`.
fn in_one(base: usize, directive: &Directive) -> impl Iterator<Item = Finding> {
    let rules = directive.ignored();
    let words = directive.span.shifted(base);
    let unknown = rules
        .iter()
        .filter(|rule| catalogue::rule(&rule.name).is_none());
    unknown.map(move |rule| finding(words, rule, rules))
}

/// What is said of one unknown name among those of an instruction whose words stand at `words`.
fn finding(words: Span, unknown: &IgnoredRule, all: &[IgnoredRule]) -> Finding {
    let name = &unknown.name;
    let span = unknown.at.shifted(words.start);
    let problem = match name.parse() {
        Ok(RuleSelector::Group(_) | RuleSelector::All) => {
            format!("`{name}` is several rules, and a comment silences those it names one by one")
        }
        _ => format!("there is no rule `{name}`"),
    };
    let say = |end: &str| {
        let message = format!("Nothing is kept silent by this: {problem}{end}");
        Finding::new(&RULE, span, message, &Source::ProjectChoice)
    };
    let Some(meant) = RuleSelector::rule_meant_by(name) else {
        return say(
            ". Write the name as findings show it, such as `range/too-high`; `bellhand explain` lists them all.",
        );
    };
    let finding = say(&format!("; did you mean `{meant}`?"));
    if all.iter().any(|rule| rule.name == meant) {
        let intent = Intent::DropIgnored {
            at: words,
            rules: vec![name.clone()],
        };
        return finding.fix(Safety::Safe, format!("Remove `{name}`"), vec![intent]);
    }
    let intent = Intent::RenameIgnored {
        at: span,
        rule: meant.to_owned(),
    };
    finding.fix(Safety::Safe, format!("Write `{meant}`"), vec![intent])
}
