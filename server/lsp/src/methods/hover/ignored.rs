//! What a rule that an instruction names looks for.

use score::Span;

use crate::view::View;

/// The words for a rule where an instruction ignores it, and where its name stands; `None` anywhere else.
pub(super) fn words(view: &View, byte: usize) -> Option<(Span, String)> {
    let score = view.judged.document().score();
    score.all_directives().find_map(|(span, directive)| {
        let rules = directive.ignored().iter();
        let named = rules.map(|rule| (rule.at.shifted(span.start), &rule.name));
        let (place, name) = named
            .into_iter()
            .find(|(place, _)| place.range().contains(&byte))?;
        let rule = rules::rule(name)?;
        let words = format!("**{}**, ignored here: {}", rule.name, rule.summary());
        Some((place, words))
    })
}
