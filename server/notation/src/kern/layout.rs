//! Local comments: words and signs over the notes (`!LO:TX:a:t=…`), and instructions to this tool.

use score::{Mark, MarkKind, Sign, Span, Text};

/// How a colon is written within a parameter.
const COLON: &str = "&colon;";

/// Where a comment begins a new page, counted as it is; what may follow says whose page it is.
pub(super) fn page_break(comment: &str, span: Span) -> Option<Span> {
    let words = comment.split('\t').next().unwrap_or_default();
    let parameters = words.trim_start_matches('!').strip_prefix("LO:PB")?;
    let whole = parameters.is_empty() || parameters.starts_with(':');
    whole.then(|| Span::new(span.start, span.start + words.trim_end().len()))
}

/// The words of a text comment and where they stand in the cell; `None` when it is none, or speaks to editors only.
pub(super) fn words(cell: &str) -> Option<(&str, Span)> {
    let parameters = cell.strip_prefix("!LO:TX")?;
    let mut at = cell.len() - parameters.len();
    let mut words = None;
    for parameter in parameters.split(':') {
        if let Some(text) = parameter.strip_prefix("t=")
            && words.is_none()
        {
            words = Some((text, Span::new(at + 2, at + parameter.len())));
        }
        // `problem` notes a doubt of the encoder's, not a word on the page.
        if parameter.split('=').next() == Some("problem") {
            return None;
        }
        at += parameter.len() + 1;
    }
    words.filter(|(text, _)| !text.trim().is_empty())
}

/// The mark that words stand for; their place counts from where `span` does.
pub(super) fn mark(words: &str, span: Span) -> Mark {
    let kind = match words.trim() {
        "+" => MarkKind::Sign(Sign::Plus),
        "o" | "°" | "○" => MarkKind::Sign(Sign::Circle),
        _ => MarkKind::Words(Text {
            text: resolved(words),
            span,
        }),
    };
    Mark {
        on_note: matches!(kind, MarkKind::Sign(_)),
        kind,
    }
}

/// A parameter's text as it is read.
pub(super) fn resolved(text: &str) -> String {
    text.replace(COLON, ":").replace("\\n", " ")
}

/// A text as it is written in a parameter; tabs and line ends would end the cell.
pub(super) fn escaped(text: &str) -> String {
    text.replace(':', COLON).replace(['\t', '\n', '\r'], " ")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_are_found() {
        let (text, span) = words("!LO:TX:a:i:t=con sord.:mod=").unwrap();
        assert_eq!(text, "con sord.");
        assert_eq!(span, Span::new(13, 22));
        assert_eq!(words("!LO:TX:t=P:problem=beam"), None);
        assert_eq!(words("!LO:LB:g=original"), None);
        assert_eq!(words("!LO:TX:a:t="), None);
        assert_eq!(resolved(&escaped("a: b")), "a: b");
    }
}
