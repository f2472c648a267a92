//! A list within a JSON document, written item by item, so that the whole is never held.

use std::io::Error;

use serde::Serialize;

/// What stands before an empty list of that name and behind it, in a document that holds one.
///
/// The name in quotes stands nowhere else as it stands here: within words, quotes are escaped.
pub(crate) fn around(document: &impl Serialize, name: &str) -> std::io::Result<(String, String)> {
    let mut whole = serde_json::to_string_pretty(document)? + "\n";
    let list = format!("\"{name}\": [");
    let at = whole
        .find(&list)
        .ok_or_else(|| Error::other(format!("no empty list {name} in the report")))?;
    let tail = whole.split_off(at + list.len());
    Ok((whole, tail))
}

/// Items as they stand in a list so many levels deep, each in a line of its own. A comma goes between this and more.
pub(crate) fn items<T: Serialize>(
    items: impl Iterator<Item = T>,
    depth: usize,
) -> std::io::Result<Vec<u8>> {
    let margin = format!("\n{}", "  ".repeat(depth));
    let mut out = String::new();
    for item in items {
        if !out.is_empty() {
            out.push(',');
        }
        out.push_str(&margin);
        // Words hold no line ends of their own; they are escaped.
        out.push_str(&serde_json::to_string_pretty(&item)?.replace('\n', &margin));
    }
    Ok(out.into_bytes())
}

/// What ends a list so many levels deep: nothing where it is empty.
pub(crate) fn end(any: bool, depth: usize) -> String {
    if any {
        format!("\n{}", "  ".repeat(depth - 1))
    } else {
        String::new()
    }
}
