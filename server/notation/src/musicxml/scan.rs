//! The signs of XML, found fast and without trust: tags by name, and what must be stepped over.

use score::Span;

/// What a `<` opens.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Markup<'t> {
    /// `<name …>` or `<name …/>`.
    Open(&'t str),
    /// `</name>`.
    Close(&'t str),
    /// `<!-- … -->`.
    Comment,
    /// `<!DOCTYPE …>`.
    Doctype,
    /// CDATA, processing instructions and the XML declaration.
    Other,
    /// A `<` that opens nothing.
    Stray,
    /// Something that never ends.
    Broken(&'static str),
}

/// A sign and where it stands.
#[derive(Debug, Clone, Copy)]
pub(super) struct Found<'t> {
    pub(super) markup: Markup<'t>,
    /// The whole sign; for tags only as far as their name, see [`tag`].
    pub(super) span: Span,
}

/// The next sign at or after a byte.
pub(super) fn next(text: &str, from: usize) -> Option<Found<'_>> {
    let rest = text.get(from..)?;
    let start = from + rest.find('<')?;
    let rest = &text[start + 1..];
    let (markup, length) = if let Some(rest) = rest.strip_prefix("!--") {
        match end_of(rest, "<!--", "-->") {
            Some(length) => (Markup::Comment, 4 + length),
            None => (Markup::Broken("this comment has no end"), 4),
        }
    } else if let Some(rest) = rest.strip_prefix("![CDATA[") {
        match end_of(rest, "<![CDATA[", "]]>") {
            Some(end) => (Markup::Other, 9 + end),
            None => (Markup::Broken("this CDATA section has no end"), 9),
        }
    } else if let Some(rest) = rest.strip_prefix('?') {
        match end_of(rest, "<?", "?>") {
            Some(end) => (Markup::Other, 2 + end),
            None => (Markup::Broken("this processing instruction has no end"), 2),
        }
    } else if rest.starts_with("!DOCTYPE") {
        match doctype(rest) {
            Some(end) => (Markup::Doctype, 1 + end),
            None => (Markup::Broken("this DOCTYPE has no end"), 9),
        }
    } else if let Some(rest) = rest.strip_prefix('/') {
        let name = name(rest);
        (Markup::Close(name), 2 + name.len())
    } else {
        let name = name(rest);
        if name.is_empty() {
            (Markup::Stray, 1)
        } else {
            (Markup::Open(name), 1 + name.len())
        }
    };
    let span = Span::new(start, start + length);
    Some(Found { markup, span })
}

/// How far a sign's words and its `end` reach. One that holds another beginning of its kind was never ended; so the text
/// is never looked through once for each of many beginnings.
fn end_of(rest: &str, beginning: &str, end: &str) -> Option<usize> {
    let own = &rest[..rest.find(beginning).unwrap_or(rest.len())];
    Some(own.find(end)? + end.len())
}

/// How far a DOCTYPE reaches, its internal subset included.
fn doctype(rest: &str) -> Option<usize> {
    let (mut quote, mut subset) = (None, false);
    for (at, byte) in rest.bytes().enumerate() {
        if at > 0 && byte == b'<' && rest[at..].starts_with("<!DOCTYPE") {
            return None;
        }
        match (quote, byte) {
            (Some(open), _) if open == byte => quote = None,
            (Some(_), _) => {}
            (None, b'"' | b'\'') => quote = Some(byte),
            (None, b'[') => subset = true,
            (None, b']') => subset = false,
            (None, b'>') if !subset => return Some(at + 1),
            _ => {}
        }
    }
    None
}

/// A name's letters at the start of a text.
fn name(text: &str) -> &str {
    let end = text
        .find(|c: char| c.is_whitespace() || matches!(c, '>' | '/' | '<' | '=' | '"' | '\''))
        .unwrap_or(text.len());
    &text[..end]
}

/// A tag with its end found.
#[derive(Debug, Clone, Copy)]
pub(super) struct Tag {
    pub(super) span: Span,
    /// Whether it ends in `>`; XML allows no `<` inside a tag, so one before the `>` means that it was never ended.
    pub(super) whole: bool,
    /// Whether it ends in `/>`.
    pub(super) empty: bool,
}

/// The whole tag that begins at a byte.
pub(super) fn tag(text: &str, start: usize) -> Tag {
    let mut quote = None;
    let bytes = text.as_bytes();
    for (at, &byte) in bytes.iter().enumerate().skip(start + 1) {
        match (quote, byte) {
            (_, b'<') => return broken(start, at),
            (Some(open), _) if open == byte => quote = None,
            (Some(_), _) => {}
            (None, b'"' | b'\'') => quote = Some(byte),
            (None, b'>') => {
                return Tag {
                    span: Span::new(start, at + 1),
                    whole: true,
                    empty: bytes[at - 1] == b'/',
                };
            }
            _ => {}
        }
    }
    broken(start, text.len())
}

const fn broken(start: usize, end: usize) -> Tag {
    Tag {
        span: Span::new(start, end),
        whole: false,
        empty: false,
    }
}

/// An attribute's value in the text of a start tag, entities resolved; `None` when it is not there.
pub(super) fn attribute(tag: &str, wanted: &str) -> Option<String> {
    let inside = tag.strip_prefix('<')?;
    let after = &inside[name(inside).len()..];
    let after = after.trim_end_matches('>').trim_end_matches('/');
    quick_xml::events::attributes::Attributes::new(after, 0)
        .with_checks(false)
        .filter_map(Result::ok)
        .find(|attribute| attribute.key.as_ref() == wanted)
        .map(|attribute| unescaped(&attribute.value))
}

/// A text with its entities resolved: the five of XML and numbers; no other is ever looked up.
pub(super) fn unescaped(raw: &str) -> String {
    match quick_xml::escape::unescape(raw) {
        Ok(text) => text.into_owned(),
        Err(_) => raw.to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_stepped_over() {
        let text =
            "<?xml version='1.0'?><!DOCTYPE a [<!ENTITY b \"]>\">]><a b='>'><!-- <c> --></a>";
        let mut at = 0;
        let mut kinds = Vec::new();
        while let Some(found) = next(text, at) {
            kinds.push(found.markup);
            at = found.span.end;
        }
        assert_eq!(
            kinds,
            [
                Markup::Other,
                Markup::Doctype,
                Markup::Open("a"),
                Markup::Comment,
                Markup::Close("a")
            ]
        );
        let open = text.find("<a").unwrap();
        assert_eq!(&text[tag(text, open).span.range()], "<a b='>'>");
        assert_eq!(attribute("<a b='&gt;' c=\"2\"/>", "b").unwrap(), ">");
        assert_eq!(attribute("<a b='&gt;' c=\"2\"/>", "c").unwrap(), "2");
    }

    #[test]
    fn what_never_ends_is_told() {
        for text in ["<!-- a", "<!-- a <!-- b -->", "<![CDATA[", "<?a"] {
            assert!(
                matches!(next(text, 0).unwrap().markup, Markup::Broken(_)),
                "{text}"
            );
        }
        assert_eq!(next("< a", 0).unwrap().markup, Markup::Stray);
        assert!(!tag("<a b=\"c><d>", 0).whole);
    }
}
