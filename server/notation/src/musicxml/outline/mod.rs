//! Where everything stands in a score: its header, and each measure of each part as a chunk that can be read alone.

mod scanner;

use std::sync::Arc;

use score::{Span, Unreadable};

use super::scan::{self, Markup};

/// How a score is laid out.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Layout {
    /// `score-partwise`: parts hold measures.
    Partwise,
    /// `score-timewise`: measures hold parts.
    Timewise,
}

impl Layout {
    /// The element that holds chunks.
    const fn outer(self) -> &'static str {
        match self {
            Self::Partwise => "part",
            Self::Timewise => "measure",
        }
    }

    /// The element that is a chunk.
    pub(super) const fn chunk(self) -> &'static str {
        match self {
            Self::Partwise => "measure",
            Self::Timewise => "part",
        }
    }

    const fn root(self) -> &'static str {
        match self {
            Self::Partwise => "score-partwise",
            Self::Timewise => "score-timewise",
        }
    }
}

/// The layout of a whole text. Places count from its start.
#[derive(Debug, Clone, Default)]
pub(super) struct Outline {
    /// The layout and the root's start tag; `None` when the text is no score.
    pub(super) root: Option<(Layout, Span)>,
    /// What stands between the root's start tag and the first part or measure.
    pub(super) header: Span,
    /// One measure of one part each, in the order of the text.
    pub(super) chunks: Vec<Chunk>,
    /// Comments outside header and chunks.
    pub(super) comments: Vec<Span>,
    /// What is wrong outside header and chunks.
    pub(super) slips: Vec<Unreadable>,
    /// Whether something anywhere has no end, so that a sign far away could give it one.
    pub(super) broken: bool,
}

/// One measure of one part.
#[derive(Debug, Clone)]
pub(super) struct Chunk {
    /// From its start tag to its end tag.
    pub(super) span: Span,
    /// Length of its start tag.
    pub(super) head: usize,
    /// Length of its end tag; 0 when it has none.
    pub(super) tail: usize,
    /// The part's id.
    pub(super) part: Arc<str>,
    /// The measure's place in the part.
    pub(super) column: usize,
    /// The measure's number as it is written.
    pub(super) number: Arc<str>,
    /// Whether the number is not counted by players.
    pub(super) implicit: bool,
}

impl Chunk {
    /// What stands between its tags.
    pub(super) const fn content(&self) -> Span {
        Span::new(self.span.start + self.head, self.span.end - self.tail)
    }

    /// Whether its end is missing, so that others' text may have run into it.
    pub(super) const fn is_unended(&self) -> bool {
        self.tail == 0 && self.span.start + self.head < self.span.end
    }
}

impl Outline {
    /// Finds the layout of a text.
    pub(super) fn of(text: &str) -> Self {
        scanner::outline(text)
    }
}

/// Whether a chunk's content stands for itself: nothing in it ends or begins a chunk, and all signs are whole.
pub(super) fn is_whole(content: &str) -> bool {
    let mut at = 0;
    while let Some(found) = scan::next(content, at) {
        match found.markup {
            Markup::Open(name) | Markup::Close(name) => {
                if is_frame(name) {
                    return false;
                }
            }
            Markup::Broken(_) | Markup::Doctype => return false,
            Markup::Comment | Markup::Other | Markup::Stray => {}
        }
        at = found.span.end;
    }
    // A tag that is not ended does no harm: the `<` of the next sign ends it.
    true
}

fn is_frame(name: &str) -> bool {
    matches!(
        name,
        "part" | "measure" | "score-partwise" | "score-timewise"
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    fn chunks(text: &str) -> Vec<(String, usize, String)> {
        let outline = Outline::of(text);
        outline
            .chunks
            .iter()
            .map(|chunk| {
                let inside = text[chunk.content().range()].to_owned();
                (chunk.part.to_string(), chunk.column, inside)
            })
            .collect()
    }

    #[test]
    fn both_layouts() {
        let parts = "<score-partwise><part-list/><part id='P1'><measure number='1'>a</measure>\
            <measure number='2'>b</measure></part><part id='P2'><measure number='1'/></part></score-partwise>";
        let wanted = [("P1", 0, "a"), ("P1", 1, "b"), ("P2", 0, "")];
        let wanted = wanted.map(|(part, column, inside)| (part.into(), column, inside.into()));
        assert_eq!(chunks(parts), wanted);
        assert!(Outline::of(parts).slips.is_empty());
        assert_eq!(&parts[Outline::of(parts).header.range()], "<part-list/>");
        let times = "<score-timewise><measure number='1'><part id='P1'>a</part><part id='P2'/></measure>\
            <measure number='2'><part id='P1'>b</part></measure></score-timewise>";
        let outline = Outline::of(times);
        assert!(outline.slips.is_empty(), "{:?}", outline.slips);
        assert_eq!(chunks(times).len(), 3);
        assert_eq!(&*outline.chunks[2].number, "2");
        assert_eq!(outline.chunks[2].column, 1);
    }

    #[test]
    fn a_measure_without_end_keeps_its_neighbours() {
        let text = "<score-partwise><part id='P1'><measure number='1'>a \
            <measure number='2'>b</measure><measure number='3'>c</part>\
            <part id='P2'><measure number='1'>d</measure></part></score-partwise>";
        let outline = Outline::of(text);
        assert_eq!(outline.slips.len(), 2);
        let inside: Vec<String> = chunks(text)
            .into_iter()
            .map(|(_, _, inside)| inside)
            .collect();
        assert_eq!(inside, ["a", "b", "c", "d"]);
        assert!(outline.chunks[0].is_unended() && !outline.chunks[1].is_unended());
    }

    #[test]
    fn what_is_no_score_is_told() {
        for (text, wanted) in [
            ("<html/>", "<html>"),
            ("", "no XML"),
            ("<opus></opus>", "<opus>"),
        ] {
            let outline = Outline::of(text);
            assert_eq!(outline.slips.len(), 1);
            assert!(outline.slips[0].problem.contains(wanted));
        }
    }

    #[test]
    fn what_stands_for_itself() {
        for whole in ["", "<note/>", "<!-- a -->", "<note", "<a/> <"] {
            assert!(is_whole(whole), "{whole}");
        }
        for broken in ["<!-- a", "</measure>", "<part id='2'>", "<a/> <?"] {
            assert!(!is_whole(broken), "{broken}");
        }
    }
}
