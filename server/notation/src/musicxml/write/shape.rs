//! Putting elements in and taking them out, in the file's own order and indentation.

use score::Span;

use super::page::Page;
use super::{insert, replace};
use crate::edit::TextEdit;
use crate::musicxml::tree::Element;

/// The blanks before a byte that set what follows off: a line break with its indentation, or spaces on the line.
pub(super) fn gap(text: &str, at: usize) -> &str {
    let before = text.get(..at).unwrap_or_default();
    let blanks = &before[before.trim_end().len()..];
    match blanks.rfind(['\n', '\r']) {
        Some(end) => {
            let crlf = blanks[..=end].ends_with("\r\n");
            &blanks[if crlf { end - 1 } else { end }..]
        }
        None => blanks,
    }
}

/// How a nested element is laid out: the gap before it, and by how much each level goes further in.
#[derive(Clone)]
pub(super) struct Layout {
    gap: String,
    step: String,
}

impl Layout {
    /// As an element's own place and that of its first child show it.
    pub(super) fn of(page: &Page<'_>, element: Element<'_>) -> Self {
        let text = page.tree.text();
        let own = gap(text, element.span().start);
        let child = element.children().next();
        let inner = child.map_or("", |child| gap(text, child.span().start));
        let step = inner.strip_prefix(own).filter(|_| is_line(own));
        Self {
            gap: own.to_owned(),
            step: step.unwrap_or_default().to_owned(),
        }
    }

    /// As for an element's children.
    pub(super) fn inside(page: &Page<'_>, element: Element<'_>) -> Self {
        let text = page.tree.text();
        let layout = Self::of(page, element);
        let child = element.children().next();
        match child.map(|child| gap(text, child.span().start)) {
            Some(inner) => Self {
                gap: inner.to_owned(),
                ..layout
            },
            None => layout,
        }
    }

    /// One level further in.
    pub(super) fn deeper(&self) -> Self {
        let gap = if is_line(&self.gap) {
            format!("{}{}", self.gap, self.step)
        } else {
            String::new()
        };
        Self {
            gap,
            step: self.step.clone(),
        }
    }

    /// The gap, when it breaks the line.
    pub(super) fn line(&self) -> &str {
        if is_line(&self.gap) { &self.gap } else { "" }
    }

    /// An element with children, each already laid out one level deeper.
    pub(super) fn element(&self, open: &str, name: &str, children: &[String]) -> String {
        let deeper = self.deeper();
        let mut text = format!("<{open}>");
        for child in children {
            text.push_str(deeper.line());
            text.push_str(child);
        }
        text.push_str(self.line());
        text.push_str(&format!("</{name}>"));
        text
    }
}

fn is_line(gap: &str) -> bool {
    gap.contains(['\n', '\r'])
}

/// Puts a child in before the first of the children that come later in the schema's order.
pub(super) fn add_child(
    page: &Page<'_>,
    parent: Element<'_>,
    later: &[&str],
    child: &str,
) -> TextEdit {
    let text = page.tree.text();
    if parent.is_one_tag() {
        let tag = &text[parent.open().range()];
        let open = tag.trim_end_matches('>').trim_end_matches('/').trim_end();
        let whole = format!("{open}>{child}</{}>", parent.name());
        return replace(page.place(parent.open()), whole);
    }
    let next = parent
        .children()
        .find(|sibling| later.contains(&sibling.name()));
    let before = match next {
        Some(next) => next.before(),
        None => parent.last_child(),
    };
    let (at, gap) = match (before, next) {
        (Some(before), _) => (before.span().end, gap(text, before.span().start)),
        (None, Some(next)) => (parent.inner().start, gap(text, next.span().start)),
        (None, None) => (parent.inner().start, ""),
    };
    insert(page.base + at, format!("{gap}{child}"))
}

/// Takes elements that stand next to each other out, with the gap before them.
pub(super) fn take_out(page: &Page<'_>, first: Element<'_>, last: Element<'_>) -> TextEdit {
    let start = first.span().start;
    let gap = gap(page.tree.text(), start);
    let span = Span::new(start - gap.len(), last.span().end);
    replace(page.place(span), "")
}

/// A text as it is written in XML.
pub(super) fn escaped(text: &str) -> String {
    quick_xml::escape::minimal_escape(text).into_owned()
}
