//! `text/lesson`: a lesson that announces a fault which is not there.

use std::collections::HashMap;

use horn::Source;
use score::{PartSelector, Span};

use crate::context::FindingsContext;
use crate::finding::Finding;
use crate::lesson::{Expected, FindingPlace, LessonSaid, MOST_SAID, Places};
use crate::rule::{Severity, rule};

rule! {
    /// A comment of a lesson that does nothing: it announces a fault that is not there, or is a hint to no task.
    ///
    /// ## Why it matters
    /// Whoever learns looks for a fault that is not in the score, and it is left out of the marks.
    ///
    /// ## What to write instead
    /// The rule and the bar as the finding shows them, `% bellhand: expect stopped/too-low in bar 7`, with
    /// `in part "Horn 2"` where one part is meant; or the fault itself. A hint stands below its task. An answer to a
    /// lesson has no such lines.
    ///
    /// ## Source
    /// Bellhand's own choice.
    ///
    /// ```abc speaks
    /// X:1
    /// % bellhand: task Write what is too high an octave lower
    /// % bellhand: expect range/too-high in bar 2
    /// M:4/4
    /// L:1/4
    /// K:none
    /// V:1 name="Horn in F" transpose=-7
    /// c d e f | g4 |]
    /// ```
    ///
    /// ```abc silent
    /// X:1
    /// % bellhand: task Write a second horn below this one
    /// % bellhand: hint Where the first has the third of a chord, the second may have the root
    /// % bellhand: only section, range
    /// M:4/4
    /// L:1/4
    /// K:none
    /// V:1 name="Horn in F" transpose=-7
    /// c d e f | g4 |]
    /// ```
    "text/lesson", Warning, Findings(check)
}

/// How many places are named where a rule does speak; a message that goes on is not read.
const MOST_SHOWN: usize = 5;

fn check(ctx: &FindingsContext<'_>) -> Vec<Finding> {
    let said = LessonSaid::of(ctx.directives, ctx.pieces);
    let stray = said.stray_hints.iter().map(|span| {
        let message = "This hint stands above every task, so nobody is shown it. Write it below the task it helps with.";
        about(*span, message.to_owned())
    });
    let mut findings: Vec<Finding> = stray.collect();
    findings.extend(said.too_many.map(|span| {
        let message = format!(
            "A lesson announces at most {MOST_SAID} faults, and sets at most as many tasks with as many hints each; from \
             here on they are not looked at. Make two lessons of it."
        );
        about(span, message)
    }));
    if said.expected.is_empty() {
        return findings;
    }
    let places = Places::of(ctx.pieces);
    let mut spoken: HashMap<&str, Vec<(&Finding, FindingPlace)>> = HashMap::new();
    for expected in &said.expected {
        spoken.entry(expected.rule).or_default();
    }
    for finding in ctx.findings {
        if let Some(of_rule) = spoken.get_mut(finding.rule) {
            of_rule.push((finding, places.of_finding(finding)));
        }
    }
    // A part that does not exist is told as what cannot be followed.
    let known = |expected: &&Expected<'_>| {
        let pieces = expected.piece.map_or(0..ctx.pieces.len(), |at| at..at + 1);
        let part = expected.said.part.as_ref();
        part.is_none_or(|part| {
            pieces
                .into_iter()
                .any(|piece| !places.selected(piece, part).is_empty())
        })
    };
    for expected in said.expected.iter().filter(known) {
        let of_rule = spoken.get(expected.rule).map_or(&[][..], Vec::as_slice);
        let met = |(finding, place): &(&Finding, FindingPlace)| {
            expected.is_met_by(finding, *place, &places)
        };
        if !of_rule.iter().any(met) {
            findings.push(about(expected.span, unmet(ctx, expected, of_rule)));
        }
    }
    findings
}

/// What to say of a fault that is announced and not there; `spoken` is what its rule says elsewhere.
fn unmet(
    ctx: &FindingsContext<'_>,
    expected: &Expected<'_>,
    spoken: &[(&Finding, FindingPlace)],
) -> String {
    let rule = expected.rule;
    let part = match &expected.said.part {
        Some(PartSelector::Named(name)) => format!(" of part \"{name}\""),
        Some(PartSelector::All) | None => String::new(),
    };
    let place = match &expected.said.bars {
        Some(bars) if bars.start() == bars.end() => format!("in bar {}{part}", bars.start()),
        Some(bars) => format!("in bars {} to {}{part}", bars.start(), bars.end()),
        None if part.is_empty() => "anywhere".to_owned(),
        None => format!("anywhere{part}"),
    };
    let off = ctx.house.severity(rule, Severity::Warning).is_none();
    let mut shown: Vec<String> = Vec::new();
    for (finding, _) in spoken {
        let bar = finding.bar.map(|bar| format!("in bar {bar}"));
        let part = finding.part.as_ref().map(|part| format!("of {part}"));
        let words: Vec<String> = bar.into_iter().chain(part).collect();
        let words = words.join(" ");
        if !words.is_empty() && !shown.contains(&words) {
            shown.push(words);
        }
        // There may be as many of these lines as there are findings.
        if shown.len() == MOST_SHOWN {
            break;
        }
    }
    let instead = if off {
        "The settings switch that rule off.".to_owned()
    } else if shown.is_empty() {
        "That rule has nothing to say here.".to_owned()
    } else {
        format!("That rule speaks {}.", shown.join(", "))
    };
    format!(
        "This lesson announces {rule} {place}, and it is not there. {instead} So whoever learns looks for it in vain, and \
         it is left out of the marks. Put the fault in, or change this line; in an answer, leave the line out."
    )
}

fn about(span: Span, message: String) -> Finding {
    Finding::new(&RULE, span, message, &Source::ProjectChoice)
}
