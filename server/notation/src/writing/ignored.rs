//! The names of rules in an instruction to keep silent: one more, one less, another.

use score::{Directive, IgnoredRule, Score, Span};

use super::{cannot, insert, replace};
use crate::edit::{CannotWrite, TextEdit};

/// One more rule in the first instruction that is meant, before the reason that may follow; `None` where there is none.
pub(crate) fn add(
    score: &Score,
    rule: &str,
    is_meant: impl Fn(Span, &Directive) -> bool,
) -> Option<Vec<TextEdit>> {
    let mut meant = score.all_directives();
    let (span, directive) = meant.find(|(span, directive)| is_meant(*span, directive))?;
    let rules = directive.ignored();
    let is_new = rules.iter().all(|known| known.name != rule);
    let last = rules.last().filter(|_| is_new);
    let added = last.map(|last| insert(span.start + last.at.end, format!(", {rule}")));
    Some(added.into_iter().collect())
}

/// One more rule in the instruction for the whole file; `None` where there is none.
pub(crate) fn add_in_file(score: &Score, rule: &str) -> Option<Vec<TextEdit>> {
    add(score, rule, |_, directive| directive.is_of_file())
}

/// The instruction whose words stand exactly there, without some names; `drop_comment` says how its comment goes where no
/// name is left.
pub(crate) fn without(
    score: &Score,
    at: Span,
    dropped: &[String],
    drop_comment: impl FnOnce(&Directive) -> Result<TextEdit, CannotWrite>,
) -> Result<Vec<TextEdit>, CannotWrite> {
    let mut all = score.all_directives();
    let Some((_, directive)) = all.find(|(span, _)| *span == at) else {
        return cannot("there is no such instruction");
    };
    match names_without(at, directive.ignored(), dropped) {
        Some(edits) => Ok(edits),
        None => Ok(vec![drop_comment(directive)?]),
    }
}

/// An instruction's list without some names; nothing where none would be left.
fn names_without(span: Span, rules: &[IgnoredRule], dropped: &[String]) -> Option<Vec<TextEdit>> {
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
    let mut names = score.all_directives().flat_map(|(span, directive)| {
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
            for edit in names_without(span, directive.ignored(), &dropped)?
                .iter()
                .rev()
            {
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
