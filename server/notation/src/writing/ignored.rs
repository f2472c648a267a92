//! The names of rules in an instruction to keep silent: one more, one less, another.

use score::{Directive, IgnoredRule, Score, Span};

use super::{cannot, insert, replace};
use crate::edit::{CannotWrite, TextEdit};

/// All instructions to this tool, each with where its words stand in the document.
pub(crate) fn directives(score: &Score) -> impl Iterator<Item = (Span, &Directive)> {
    let of_pieces = score.pieces.iter().flat_map(|placed| {
        let found = placed.piece.directives.iter();
        found.map(move |found| (found.span.shifted(placed.base), found))
    });
    let of_file = score.directives.iter().map(|found| (found.span, found));
    of_file.chain(of_pieces)
}

/// The instruction whose words stand exactly there.
pub(crate) fn directive_at(score: &Score, at: Span) -> Result<&Directive, CannotWrite> {
    match directives(score).find(|(span, _)| *span == at) {
        Some((_, directive)) => Ok(directive),
        None => cannot("there is no such instruction"),
    }
}

/// One more rule in an instruction's list, before the reason that may follow.
pub(crate) fn with(span: Span, rules: &[IgnoredRule], rule: &str) -> Vec<TextEdit> {
    match rules.last() {
        Some(last) if rules.iter().all(|known| known.name != rule) => {
            vec![insert(span.start + last.at.end, format!(", {rule}"))]
        }
        _ => Vec::new(),
    }
}

/// An instruction's list without some names; nothing where none would be left.
pub(crate) fn without(
    span: Span,
    rules: &[IgnoredRule],
    dropped: &[String],
) -> Option<Vec<TextEdit>> {
    let goes = |rule: &IgnoredRule| dropped.contains(&rule.name);
    let first_kept = rules.iter().position(|rule| !goes(rule))?;
    // What parts a name from the others goes with it: before the first that stays what follows, else what precedes.
    let before = rules.iter().zip(rules.iter().skip(1)).take(first_kept);
    let before = before.map(|(rule, next)| (rule.at.start, next.at.start));
    let after = rules.iter().zip(rules.iter().skip(1)).skip(first_kept);
    let after = after
        .filter(|(_, rule)| goes(rule))
        .map(|(last, rule)| (last.at.end, rule.at.end));
    let gone = before.chain(after);
    Some(
        gone.map(|(start, end)| replace(Span::new(start, end).shifted(span.start), ""))
            .collect(),
    )
}

/// Another name in the place of one.
pub(crate) fn rename(score: &Score, at: Span, rule: &str) -> Result<Vec<TextEdit>, CannotWrite> {
    let mut names = directives(score).flat_map(|(span, directive)| {
        let names = directive.ignored().iter();
        names.map(move |name| name.at.shifted(span.start))
    });
    if names.any(|name| name == at) {
        Ok(vec![replace(at, rule)])
    } else {
        cannot("no rule is named there")
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_go_with_what_parts_them() {
        let left = |words: &str, dropped: &[&str]| {
            let (span, kind) = score::parse_directive(words).unwrap();
            let directive = Directive {
                span,
                own_line: true,
                kind,
            };
            let dropped: Vec<_> = dropped.iter().map(|name| (*name).to_owned()).collect();
            let mut text = words.to_owned();
            for edit in without(span, directive.ignored(), &dropped)?.iter().rev() {
                text.replace_range(edit.span.range(), &edit.text);
            }
            Some(text)
        };
        let words = " bellhand: ignore a/b, c/d  e/f : so";
        for (dropped, wanted) in [
            (&["a/b"][..], " bellhand: ignore c/d  e/f : so"),
            (&["c/d"], " bellhand: ignore a/b  e/f : so"),
            (&["e/f"], " bellhand: ignore a/b, c/d : so"),
            (&["a/b", "c/d"], " bellhand: ignore e/f : so"),
            (&["a/b", "e/f"], " bellhand: ignore c/d : so"),
            (&["c/d", "e/f"], " bellhand: ignore a/b : so"),
        ] {
            assert_eq!(left(words, dropped).as_deref(), Some(wanted));
        }
        assert_eq!(left(words, &["a/b", "c/d", "e/f"]), None);
        let twice = "bellhand: ignore a/b, c/d, a/b";
        assert_eq!(
            left(twice, &["a/b"]).as_deref(),
            Some("bellhand: ignore c/d")
        );
    }
}
