//! Putting something new in the attributes at the start of a part.

use super::page::Page;
use super::shape::{Layout, add_child};
use super::{cannot, insert};
use crate::edit::{CannotWrite, TextEdit};

/// Adds an element with children to the first attributes of a measure, or attributes of its own before its music.
pub(super) fn add(
    page: &Page<'_>,
    later: &[&str],
    name: &str,
    children: &[String],
) -> Result<TextEdit, CannotWrite> {
    let Some(top) = page.tree.top() else {
        return cannot("the part's first measure is not there any more");
    };
    let music = ["note", "backup", "forward"];
    let attributes = top
        .children()
        .take_while(|child| !music.contains(&child.name()))
        .find(|child| child.name() == "attributes" && !child.is_one_tag());
    if let Some(attributes) = attributes {
        let layout = Layout::inside(page, attributes);
        let text = layout.element(name, name, children);
        return Ok(add_child(page, attributes, later, &text));
    }
    let layout = Layout::inside(page, top);
    let inner = layout.deeper().element(name, name, children);
    let text = layout.element("attributes", "attributes", &[inner]);
    let print = top
        .children()
        .next()
        .filter(|first| first.name() == "print");
    let at = print.map_or(top.inner().start, |print| print.span().end);
    Ok(insert(page.base + at, format!("{}{text}", layout.line())))
}
