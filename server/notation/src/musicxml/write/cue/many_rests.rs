//! One sign for many bars of rest, of which small notes take the last.

use score::{Bar, Part};

use crate::edit::{CannotWrite, TextEdit};
use crate::musicxml::tree::Element;
use crate::musicxml::write::page::Source;
use crate::musicxml::write::replace;
use crate::musicxml::write::shape::take_out;

/// One sign for many bars of rest ends before the small notes.
pub(super) fn shorter(
    source: &Source<'_>,
    part: &Part,
    first: usize,
) -> Result<Vec<TextEdit>, CannotWrite> {
    let silent = |bar: &&Bar| !bar.holds(score::Kinds::NOTES);
    let before = part.bars.iter().enumerate().take(first + 1).rev();
    for (index, bar) in before.take_while(|(index, bar)| *index == first || silent(bar)) {
        let page = bar.runs.first().and_then(|run| source.measure(run.base));
        let Some(page) = page.filter(|page| page.tree.text().contains("<multiple-rest")) else {
            continue;
        };
        let mut elements = page.tree.elements();
        let Some(sign) = elements.find(|element| element.name() == "multiple-rest") else {
            return Ok(Vec::new());
        };
        let bars = sign.number::<usize>().unwrap_or(1);
        if index + bars <= first {
            return Ok(Vec::new());
        }
        return Ok(match first - index {
            left @ 2.. => vec![replace(page.place(sign.inner()), left.to_string())],
            _ => {
                let style = sign
                    .parent()
                    .filter(|style| style.name() == "measure-style");
                let alone = style.and_then(Element::parent).filter(|attributes| {
                    attributes.name() == "attributes" && attributes.children().count() == 1
                });
                let whole = alone.or(style).unwrap_or(sign);
                vec![take_out(&page, whole, whole)]
            }
        });
    }
    Ok(Vec::new())
}
