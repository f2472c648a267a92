//! Where parts are called by their ids.

use score::Span;

/// Every id of a part in a text, in the order of the text: in the list of parts and where its music stands.
pub(crate) fn ids(text: &str) -> Vec<(Span, &str)> {
    let mut ids = Vec::new();
    for (at, _) in text.match_indices('<') {
        let tag = text.get(at + 1..).unwrap_or_default();
        let end = tag.find('>').unwrap_or(tag.len());
        let tag = tag.get(..end).unwrap_or_default();
        let named = |name: &str| {
            let rest = tag.strip_prefix(name);
            rest.is_some_and(|rest| rest.starts_with(char::is_whitespace))
        };
        if named("part") || named("score-part") {
            let id = value(tag, "id");
            ids.extend(id.map(|(span, id)| (span.shifted(at + 1), id)));
        }
    }
    ids
}

/// The value of an attribute in a tag, and where it stands there.
fn value<'t>(tag: &'t str, attribute: &str) -> Option<(Span, &'t str)> {
    let mut from = 0;
    loop {
        let found = from + tag.get(from..)?.find(attribute)?;
        from = found + attribute.len();
        let alone = tag.get(..found)?.ends_with(char::is_whitespace);
        let rest = tag.get(from..)?.trim_start();
        let Some(rest) = rest.strip_prefix('=').filter(|_| alone) else {
            continue;
        };
        let rest = rest.trim_start();
        let quote = rest
            .chars()
            .next()
            .filter(|sign| matches!(sign, '"' | '\''))?;
        let inside = rest.get(1..)?;
        let start = tag.len() - inside.len();
        let length = inside.find(quote)?;
        return Some((Span::new(start, start + length), inside.get(..length)?));
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ids_are_found_where_parts_are_called() {
        let text = "<part-list><score-part grid='1' id = 'P1'><part-name id=\"x\">id=\"P3\"</part-name></score-part></part-list>\n<part id=\"P1\"><measure/></part>";
        let found = ids(text);
        let names: Vec<&str> = found.iter().map(|(_, id)| *id).collect();
        assert_eq!(names, ["P1", "P1"]);
        for (span, id) in found {
            assert_eq!(&text[span.range()], id);
        }
        assert_eq!(ids("<part id"), []);
        assert_eq!(ids("<part id=\"P"), []);
    }
}
