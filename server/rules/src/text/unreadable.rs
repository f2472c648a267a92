//! `text/unreadable`: what could not be read.

use horn::Source;
use score::{Directive, DirectiveKind, PartSelector, Piece, Span, Unreadable};

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
    /// The notation's own standard: ABC 2.1, Humdrum, MusicXML 4.0; for instructions in comments, this project's own.
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

/// How many parts are named to choose from; a message that goes on is not read.
const MOST_SHOWN: usize = 20;

fn check(ctx: &PieceContext<'_>) -> Vec<Finding> {
    let piece = &ctx.reading.piece;
    let here = [piece.as_ref()];
    all(&piece.unreadable, &piece.directives, &here)
}

/// The same for what stands outside any piece.
fn outside_pieces(ctx: &ScoreContext<'_>) -> Vec<Finding> {
    let pieces: Vec<&Piece> = ctx
        .pieces
        .iter()
        .map(|(_, one)| one.piece.as_ref())
        .collect();
    all(ctx.unreadable, ctx.directives, &pieces)
}

/// `pieces` are those the instructions hold for.
fn all(unreadable: &[Unreadable], directives: &[Directive], pieces: &[&Piece]) -> Vec<Finding> {
    let broken = unreadable
        .iter()
        .map(|slip| finding(slip.span, &slip.problem, &slip.expected));
    let instructions = directives
        .iter()
        .filter_map(|directive| match &directive.kind {
            DirectiveKind::Unknown(expected) => Some(not_followed(
                directive.span,
                "this instruction to bellhand is not understood",
                expected,
            )),
            DirectiveKind::Ignore { rules } | DirectiveKind::IgnoreInFile { rules } => {
                let unknown = rules.iter().find(|name| catalogue::rule(name).is_none())?;
                Some(not_followed(
                    directive.span,
                    &format!("there is no rule `{unknown}` to ignore"),
                    "a rule's name as findings show it, such as `range/too-high`",
                ))
            }
            DirectiveKind::Part { selector, is } => cast(directive.span, selector, is, pieces),
        });
    broken.chain(instructions).collect()
}

/// What is wrong with an instruction that says what a part is.
fn cast(span: Span, selector: &PartSelector, is: &str, pieces: &[&Piece]) -> Option<Finding> {
    if let Err(error) = horn::read_part_said(is) {
        let expected = "`horn in F`, `horn in E flat, old bass clef`, `not a horn` and the like";
        return Some(not_followed(span, &error.to_string(), expected));
    }
    let PartSelector::Named(wanted) = selector else {
        return None;
    };
    // With no part at all something else is wrong.
    if pieces.iter().all(|piece| piece.parts.is_empty())
        || pieces
            .iter()
            .any(|piece| !selector.select(&piece.parts).is_empty())
    {
        return None;
    }
    let mut known = Vec::new();
    for part in pieces
        .iter()
        .flat_map(|piece| &piece.parts)
        .take(MOST_SHOWN)
    {
        let shown = part.name.as_ref().map_or_else(
            || format!("`{}`", part.id),
            |name| format!("`{}` (\"{}\")", part.id, name.text.trim()),
        );
        if !known.contains(&shown) {
            known.push(shown);
        }
    }
    let problem = format!("there is no part `{wanted}` here");
    let expected = format!("one of {}", known.join(", "));
    Some(not_followed(span, &problem, &expected))
}

fn finding(span: Span, problem: &str, expected: &str) -> Finding {
    let message = format!(
        "Not readable: {problem}. What cannot be read is not checked, and other readers may stumble too. Expected {expected}."
    );
    Finding::new(&RULE, span, message, &"the notation's own standard")
}

/// An instruction of ours that does nothing.
fn not_followed(span: Span, problem: &str, expected: &str) -> Finding {
    let message = format!(
        "Not followed: {problem}. So the parts are judged as if it did not stand here. Expected {expected}."
    );
    Finding::new(&RULE, span, message, &Source::ProjectChoice).graver(Severity::Warning)
}
