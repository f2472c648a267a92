//! `text/unreadable`: what could not be read.

use score::{Directive, DirectiveKind, Span, Unreadable};

use crate::catalogue;
use crate::context::{PieceContext, ScoreContext};
use crate::finding::Finding;
use crate::rule::{Severity, rule};

rule! {
    /// Something in the text that could not be read.
    ///
    /// ## Why it matters
    /// What cannot be read is not checked, and other readers of the file may stumble over it too. Everything
    /// around it is read all the same.
    ///
    /// ## What to write instead
    /// The message says what was expected there.
    ///
    /// ## Source
    /// The notation's own standard: ABC 2.1, Humdrum, MusicXML 4.0.
    ///
    /// ```abc speaks
    /// X:1
    /// M:4/4
    /// L:1/4
    /// K:none
    /// V:1 name="Horn in F" transpose=-7
    /// c d "^solo e f | g4 |]
    /// ```
    ///
    /// ```abc silent
    /// X:1
    /// M:4/4
    /// L:1/4
    /// K:none
    /// V:1 name="Horn in F" transpose=-7
    /// c d "^solo" e f | g4 |]
    /// ```
    "text/unreadable", Error, Piece(check) & Score(outside_pieces)
}

fn check(ctx: &PieceContext<'_>) -> Vec<Finding> {
    let piece = &ctx.reading.piece;
    all(&piece.unreadable, &piece.directives)
}

/// The same for what stands outside any piece.
fn outside_pieces(ctx: &ScoreContext<'_>) -> Vec<Finding> {
    all(ctx.unreadable, ctx.directives)
}

fn all(unreadable: &[Unreadable], directives: &[Directive]) -> Vec<Finding> {
    let broken = unreadable
        .iter()
        .map(|slip| finding(slip.span, &slip.problem, &slip.expected));
    let instructions = directives
        .iter()
        .filter_map(|directive| match &directive.kind {
            DirectiveKind::Unknown(expected) => Some(
                finding(
                    directive.span,
                    "this instruction to bellhand is not understood",
                    expected,
                )
                .graver(Severity::Warning),
            ),
            DirectiveKind::Ignore { rules } | DirectiveKind::IgnoreInFile { rules } => {
                let unknown = rules.iter().find(|name| catalogue::rule(name).is_none())?;
                Some(
                    finding(
                        directive.span,
                        &format!("there is no rule `{unknown}` to ignore"),
                        "a rule's name as findings show it, such as `range/too-high`",
                    )
                    .graver(Severity::Warning),
                )
            }
            DirectiveKind::Part { .. } => None,
        });
    broken.chain(instructions).collect()
}

fn finding(span: Span, problem: &str, expected: &str) -> Finding {
    let message = format!(
        "Not readable: {problem}. What cannot be read is not checked, and other readers may stumble too. Expected {expected}."
    );
    Finding::new(&RULE, span, message, &"the notation's own standard")
}
