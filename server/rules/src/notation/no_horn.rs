//! `notation/no-horn`: nothing in the document says that any part is a horn.

use horn::Source;
use score::{Directive, DirectiveKind, Span};

use crate::context::{PieceContext, ScoreContext};
use crate::finding::Finding;
use crate::rule::rule;

rule! {
    /// A document in which no part is known to be a horn, or a part whose name leaves it open.
    ///
    /// ## Why it matters
    /// Only horn parts are read. If a part here is meant for the horn, nothing has been checked. A "Horn Section" may
    /// be saxophones and trumpets, and in a brass band the horn in E flat is a tenor horn; such parts are asked about.
    ///
    /// ## What to write instead
    /// Name the part for what it is, `V:1 name="Horn in F"`; or say it in a comment that players never see,
    /// `% bellhand: part 1 = horn in F`; or in the settings file.
    ///
    /// ## Source
    /// Bellhand's own choice.
    ///
    /// ```abc speaks
    /// X:1
    /// M:4/4
    /// L:1/4
    /// K:none
    /// c d e f | g4 |]
    /// ```
    ///
    /// ```abc silent
    /// X:1
    /// M:4/4
    /// L:1/4
    /// K:none
    /// V:1 name="Horn in F" transpose=-7
    /// c d e f | g4 |]
    /// ```
    "notation/no-horn", Information, Score(check) & Piece(doubtful)
}

fn check(ctx: &ScoreContext<'_>) -> Vec<Finding> {
    let cast = |directives: &[Directive]| {
        directives
            .iter()
            .any(|directive| matches!(directive.kind, DirectiveKind::Part { .. }))
    };
    let settled = cast(ctx.directives)
        || ctx.pieces.iter().any(|(_, reading)| {
            let known = !reading.horns.is_empty() || !reading.doubtful.is_empty();
            known || cast(&reading.piece.directives)
        });
    if settled {
        return Vec::new();
    }
    let Some((base, first)) = ctx.pieces.first() else {
        return Vec::new();
    };
    let head = first
        .piece
        .parts
        .first()
        .map_or(first.piece.span, |part| part.head);
    let span = Span::new(head.start + base, head.end + base);
    let message = "Nothing here says which part is a horn. So nothing was checked. Name the part (name=\"Horn in F\"), \
                   or write a comment: bellhand: part 1 = horn in F";
    vec![Finding::new(
        &RULE,
        span,
        message.to_owned(),
        &Source::ProjectChoice,
    )]
}

/// Parts that may be horns' and may not.
fn doubtful(ctx: &PieceContext<'_>) -> Vec<Finding> {
    let reading = ctx.reading;
    let parts = reading
        .doubtful
        .iter()
        .filter_map(|&index| Some((index, reading.piece.parts.get(index)?)));
    parts
        .map(|(index, part)| {
            let name = part.name.as_ref().map_or("", |name| name.text.trim());
            let message = format!(
                "\"{name}\" may be a horn or another instrument, so it was not checked. If it is a horn, say so in a comment: \
                 bellhand: part {} = horn in F; if not: not a horn",
                index + 1
            );
            let span = part.name.as_ref().map_or(part.head, |name| name.span);
            let mut finding = Finding::new(&RULE, span, message, &Source::ProjectChoice);
            finding.part = Some(name.to_owned());
            finding
        })
        .collect()
}
