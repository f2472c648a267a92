//! A stretch of XML as a tree of elements with their places, read with forgiveness: what is wrong is told, the rest is kept.

mod builder;

use score::{Span, Unreadable};

use super::scan;

/// No element.
const NONE: u32 = u32::MAX;

/// The elements of a stretch. Places count from its start.
#[derive(Debug)]
pub(super) struct Tree<'t> {
    text: &'t str,
    nodes: Vec<Node<'t>>,
    pub(super) comments: Vec<Span>,
    pub(super) slips: Vec<Unreadable>,
}

#[derive(Debug)]
struct Node<'t> {
    name: &'t str,
    /// The start tag.
    open: Span,
    /// The end tag; empty, right after the start tag, when there is none.
    close: Span,
    parent: u32,
    first: u32,
    last: u32,
    next: u32,
    before: u32,
}

/// An element.
#[derive(Debug, Clone, Copy)]
pub(super) struct Element<'a> {
    tree: &'a Tree<'a>,
    at: u32,
}

impl PartialEq for Element<'_> {
    fn eq(&self, other: &Self) -> bool {
        self.at == other.at && std::ptr::eq(self.tree, other.tree)
    }
}

impl<'t> Tree<'t> {
    /// Reads a stretch; `unended` says that its outermost element has no end, which is told elsewhere.
    pub(super) fn read(text: &'t str, unended: bool) -> Self {
        builder::build(text, unended)
    }

    /// What holds the outermost elements.
    pub(super) fn root(&self) -> Element<'_> {
        Element { tree: self, at: 0 }
    }

    /// The outermost element that begins and ends exactly there.
    pub(super) fn at(&self, span: Span) -> Option<Element<'_>> {
        self.starting(span.start)
            .filter(|element| element.span() == span)
    }

    /// The element that begins at a byte.
    pub(super) fn starting(&self, start: usize) -> Option<Element<'_>> {
        // They lie in the order of the text.
        let place = self.nodes[1..].partition_point(|node| node.open.start < start) + 1;
        let at = place as u32;
        (self.nodes.get(place)?.open.start == start).then_some(Element { tree: self, at })
    }

    /// The innermost element that holds a byte.
    pub(super) fn around(&self, byte: usize) -> Option<Element<'_>> {
        self.elements()
            .filter(|element| element.span().start <= byte && byte < element.span().end)
            .last()
    }

    /// The outermost element, when there is one.
    pub(super) fn top(&self) -> Option<Element<'_>> {
        self.root().children().next()
    }

    /// All elements in the order of the text.
    pub(super) fn elements(&self) -> impl Iterator<Item = Element<'_>> {
        (1..self.nodes.len() as u32).map(|at| Element { tree: self, at })
    }

    pub(super) const fn text(&self) -> &'t str {
        self.text
    }
}

impl<'a> Element<'a> {
    fn node(self) -> &'a Node<'a> {
        &self.tree.nodes[self.at as usize]
    }

    fn other(self, at: u32) -> Option<Self> {
        (at != NONE).then_some(Self { at, ..self })
    }

    pub(super) fn name(self) -> &'a str {
        self.node().name
    }

    /// From the start of its start tag to the end of its end tag.
    pub(super) fn span(self) -> Span {
        self.node().open.joined(self.node().close)
    }

    /// Its start tag.
    pub(super) fn open(self) -> Span {
        self.node().open
    }

    /// What stands between its tags.
    pub(super) fn inner(self) -> Span {
        Span::new(self.node().open.end, self.node().close.start)
    }

    /// Whether it is written as one tag, `<a/>`.
    pub(super) fn is_one_tag(self) -> bool {
        self.node().close.is_empty()
    }

    pub(super) fn parent(self) -> Option<Self> {
        self.other(self.node().parent)
    }

    pub(super) fn next(self) -> Option<Self> {
        self.other(self.node().next)
    }

    pub(super) fn before(self) -> Option<Self> {
        self.other(self.node().before)
    }

    pub(super) fn children(self) -> impl Iterator<Item = Self> {
        std::iter::successors(self.other(self.node().first), |child| child.next())
    }

    pub(super) fn last_child(self) -> Option<Self> {
        self.other(self.node().last)
    }

    /// The first child of a name.
    pub(super) fn child(self, name: &str) -> Option<Self> {
        self.children().find(|child| child.name() == name)
    }

    /// The children of a name.
    pub(super) fn named(self, name: &str) -> impl Iterator<Item = Self> {
        self.children().filter(move |child| child.name() == name)
    }

    /// An attribute's value.
    pub(super) fn attribute(self, name: &str) -> Option<String> {
        let tag = self.tree.text.get(self.open().range())?;
        scan::attribute(tag, name)
    }

    /// Whether an attribute has a value.
    pub(super) fn says(self, name: &str, value: &str) -> bool {
        self.attribute(name).is_some_and(|said| said == value)
    }

    /// Its text as a reader sees it: entities resolved, comments and inner tags left out.
    pub(super) fn words(self) -> String {
        plain(self.tree.text.get(self.inner().range()).unwrap_or_default())
    }

    /// A child's text without the blanks around it.
    pub(super) fn value(self, child: &str) -> Option<String> {
        self.child(child)
            .map(|child| child.words().trim().to_owned())
    }

    /// Its own text as a number.
    pub(super) fn number<N: std::str::FromStr>(self) -> Option<N> {
        let raw = self.tree.text.get(self.inner().range())?;
        raw.trim()
            .parse()
            .ok()
            .or_else(|| self.words().trim().parse().ok())
    }

    /// A child's text as a number.
    pub(super) fn child_number<N: std::str::FromStr>(self, child: &str) -> Option<N> {
        self.child(child)?.number()
    }
}

/// Character data without markup.
fn plain(raw: &str) -> String {
    if !raw.contains(['<', '&']) {
        return raw.to_owned();
    }
    let mut words = String::new();
    let mut at = 0;
    while let Some(found) = scan::next(raw, at) {
        words.push_str(&scan::unescaped(&raw[at..found.span.start]));
        at = match found.markup {
            scan::Markup::Open(_) | scan::Markup::Close(_) => {
                scan::tag(raw, found.span.start).span.end
            }
            _ => found.span.end,
        };
        let section = raw[found.span.range()].strip_prefix("<![CDATA[");
        if let Some(section) = section.and_then(|section| section.strip_suffix("]]>")) {
            words.push_str(section);
        }
    }
    words.push_str(&scan::unescaped(&raw[at..]));
    words
}

#[cfg(test)]
mod tests {
    use super::*;

    fn problems(text: &str) -> Vec<String> {
        let slips = Tree::read(text, false).slips;
        slips.into_iter().map(|slip| slip.problem).collect()
    }

    #[test]
    fn places_and_words() {
        let text = "<note a='1'><words>R&amp;B <!-- x --><![CDATA[<3]]></words><rest/></note>";
        let tree = Tree::read(text, false);
        assert!(tree.slips.is_empty(), "{:?}", tree.slips);
        let note = tree.top().unwrap();
        assert_eq!(note.span(), Span::new(0, text.len()));
        assert_eq!(note.child("words").unwrap().words(), "R&B <3");
        assert!(note.child("rest").unwrap().is_one_tag());
        assert!(note.says("a", "1"));
        assert_eq!(note.last_child().unwrap().before(), note.child("words"));
    }

    #[test]
    fn what_is_wrong_is_told_and_the_rest_is_kept() {
        assert_eq!(problems("<a><b></a>"), ["`<b>` has no end"]);
        assert_eq!(problems("<a></c></a>"), ["`</c>` ends nothing"]);
        assert_eq!(
            problems("<a>&who;</a>"),
            ["`&who;` stands for nothing here"]
        );
        assert_eq!(problems("<a b=1></a>"), ["this tag is not well-formed"]);
        assert_eq!(problems("<a>b<c/></a>").len(), 1);
        assert_eq!(problems("<a>b & c</a>").len(), 1);
        let tree = Tree::read("<m><note><x/><note><y/></note></m>", false);
        assert_eq!(tree.top().unwrap().named("note").count(), 2);
        assert_eq!(tree.slips.len(), 1);
        let deep = "<a>".repeat(10_000);
        assert!(!problems(&deep).is_empty());
    }
}
