//! Growing a tree sign by sign, with forgiveness.

use quick_xml::Reader;
use quick_xml::events::{BytesStart, Event};
use score::bounds::MOST_UNREADABLE;
use score::{Lost, Span, Unreadable, hold_unreadable};

use super::{NONE, Node, Tree};

/// How deep elements may lie in each other; music needs less than a dozen.
const DEEPEST: usize = 64;

/// The most attributes of a tag; no element of the format has a third of them.
const MOST_ATTRIBUTES: usize = 100;

/// How many signs may be broken in one stretch, each of which may have hidden others.
const MOST_BROKEN: usize = 200;

/// What stands only in a measure, never inside another of its kind: where a new one begins, the last has ended.
const IN_MEASURE: [&str; 7] = [
    "note",
    "backup",
    "forward",
    "direction",
    "attributes",
    "harmony",
    "barline",
];

/// Reads a stretch; `unended` says that its outermost element has no end, which is told elsewhere.
pub(super) fn build(text: &str, unended: bool) -> Tree<'_> {
    let mut builder = Builder {
        tree: Tree {
            text,
            nodes: vec![Node {
                name: "",
                open: Span::new(0, 0),
                close: Span::new(text.len(), text.len()),
                parent: NONE,
                first: NONE,
                last: NONE,
                next: NONE,
                before: NONE,
            }],
            comments: Vec::new(),
            slips: Vec::new(),
        },
        open: vec![Open { at: 0, words: None }],
        broken: 0,
    };
    builder.run();
    builder.finish(unended);
    builder.tree
}

struct Open {
    at: u32,
    /// The first text within it that is more than blanks.
    words: Option<Span>,
}

struct Builder<'t> {
    tree: Tree<'t>,
    open: Vec<Open>,
    /// How many broken signs were met.
    broken: usize,
}

impl<'t> Builder<'t> {
    fn slip(&mut self, span: Span, problem: String, expected: &str, lost: Lost) {
        if self.tree.slips.len() > 2 * MOST_UNREADABLE {
            hold_unreadable(&mut self.tree.slips);
        }
        self.tree.slips.push(Unreadable {
            span,
            problem,
            expected: expected.to_owned(),
            lost,
            part: None,
        });
    }

    fn run(&mut self) {
        let mut from = 0;
        while let Some(next) = self.run_from(from).filter(|next| *next > from) {
            from = next;
            if self.gives_up(from) {
                return;
            }
        }
    }

    /// Counts a broken sign behind which reading goes on at a byte; whether they are so many that it does not.
    fn gives_up(&mut self, at: usize) -> bool {
        self.broken += 1;
        if self.broken == MOST_BROKEN {
            self.slip(
                Span::new(at, self.tree.text.len()),
                format!("after {MOST_BROKEN} broken signs nothing more is read here"),
                "tags that end, comments that end in -->, and &amp; for & in text",
                Lost::Notes,
            );
        }
        self.broken >= MOST_BROKEN
    }

    /// Reads on from a byte; gives back where to begin again when a sign there is so broken that it hides others.
    fn run_from(&mut self, from: usize) -> Option<usize> {
        let text = self.tree.text;
        let mut reader = Reader::from_str(text.get(from..)?);
        let config = reader.config_mut();
        // Ends are matched here, so that one that is missing costs no more than its element.
        config.check_end_names = false;
        config.allow_unmatched_ends = true;
        config.check_comments = true;
        loop {
            let start = from + reader.buffer_position() as usize;
            let event = reader.read_event();
            let span = Span::new(start, from + reader.buffer_position() as usize);
            match event {
                Ok(Event::Eof) => return None,
                Ok(event) => {
                    if let Some(next) = self.hidden(&event, span) {
                        return Some(next);
                    }
                    if !self.event(&event, span) {
                        return None;
                    }
                }
                Err(error) => {
                    let at = (from + reader.error_position() as usize).min(text.len());
                    let line = text.get(at..).unwrap_or_default();
                    let length = line.find(['\n', '\r']).unwrap_or(line.len());
                    self.slip(
                        Span::new(at, at + length),
                        format!("this is not well-formed XML ({error})"),
                        "tags as in <step>C</step>, and &lt; and &amp; for < and & in text",
                        Lost::Notes,
                    );
                    if self.gives_up(span.end) {
                        return None;
                    }
                    if span.end >= text.len() || span.is_empty() {
                        return line.get(1..)?.find('<').map(|next| at + 1 + next);
                    }
                }
            }
        }
    }

    /// A tag that holds a `<` was never ended: what it took for its own begins there.
    fn hidden(&mut self, event: &Event<'_>, span: Span) -> Option<usize> {
        if !matches!(event, Event::Start(_) | Event::Empty(_) | Event::End(_)) {
            return None;
        }
        let inside = self.tree.text.get(span.start + 1..span.end)?;
        let end = span.start + 1 + inside.find('<')?;
        self.slip(
            Span::new(span.start, end),
            "this tag has no end".to_owned(),
            "attributes in quotes and a closing >, as in <note default-x=\"80\">",
            Lost::Notes,
        );
        Some(end)
    }

    /// Takes in one event; whether to go on.
    fn event(&mut self, event: &Event<'_>, span: Span) -> bool {
        match event {
            Event::Start(start) => {
                self.attributes(start, span);
                return self.start(span);
            }
            Event::Empty(start) => {
                self.attributes(start, span);
                if !self.start(span) {
                    return false;
                }
                self.end_innermost(Span::new(span.end, span.end));
            }
            Event::End(_) => self.end(span),
            Event::Text(text) => {
                if !text.trim().is_empty() {
                    self.words(span);
                }
            }
            Event::CData(_) => self.words(span),
            Event::GeneralRef(reference) => {
                self.words(span);
                let known = matches!(&**reference, "lt" | "gt" | "amp" | "apos" | "quot");
                if !known && !matches!(reference.resolve_char_ref(), Ok(Some(_))) {
                    let name = self.tree.text.get(span.range()).unwrap_or_default();
                    self.slip(
                        span,
                        format!("`{name}` stands for nothing here"),
                        "one of &lt; &gt; &amp; &apos; &quot; or a number as in &#9837;",
                        Lost::NoNotes,
                    );
                }
            }
            Event::Comment(_) => self.tree.comments.push(span),
            Event::Decl(_) | Event::PI(_) | Event::DocType(_) | Event::Eof => {}
        }
        true
    }

    fn attributes(&mut self, start: &BytesStart<'_>, span: Span) {
        if start.attributes_raw().trim().is_empty() {
            return;
        }
        let mut attributes = start.attributes();
        let wrong = attributes
            .by_ref()
            .take(MOST_ATTRIBUTES)
            .any(|attribute| attribute.is_err());
        if !wrong && attributes.next().is_some() {
            self.slip(
                span,
                format!("this tag has more than {MOST_ATTRIBUTES} attributes"),
                "the few attributes that the element has in MusicXML 4.0",
                Lost::NoNotes,
            );
        }
        if wrong {
            self.slip(
                span,
                "this tag is not well-formed".to_owned(),
                "attributes in quotes and a closing >, as in <note default-x=\"80\">",
                Lost::NoNotes,
            );
        }
    }

    fn words(&mut self, span: Span) {
        if let Some(open) = self.open.last_mut() {
            open.words.get_or_insert(span);
        }
    }

    /// An element's name, taken from its tag.
    fn name_at(&self, from: usize) -> &'t str {
        let rest = self.tree.text.get(from..).unwrap_or_default();
        let end = rest
            .find(|c: char| c.is_whitespace() || matches!(c, '>' | '/' | '<'))
            .unwrap_or(rest.len());
        &rest[..end]
    }

    fn start(&mut self, span: Span) -> bool {
        let name = self.name_at(span.start + 1);
        if IN_MEASURE.contains(&name) {
            self.recover(span);
        }
        if self.open.len() > DEEPEST {
            self.slip(
                span,
                format!("elements lie more than {DEEPEST} deep in each other"),
                "a score, whose elements never lie so deep",
                Lost::Notes,
            );
            return false;
        }
        let parent = self.open.last().map_or(0, |open| open.at);
        let at = self.tree.nodes.len() as u32;
        let before = self.tree.nodes[parent as usize].last;
        self.tree.nodes.push(Node {
            name,
            open: span,
            close: Span::new(span.end, span.end),
            parent,
            first: NONE,
            last: NONE,
            next: NONE,
            before,
        });
        if before == NONE {
            self.tree.nodes[parent as usize].first = at;
        } else {
            self.tree.nodes[before as usize].next = at;
        }
        self.tree.nodes[parent as usize].last = at;
        self.open.push(Open { at, words: None });
        true
    }

    /// A new note or the like begins: whatever note was open has lost its end.
    fn recover(&mut self, at: Span) {
        let unended = self
            .open
            .iter()
            .position(|open| IN_MEASURE.contains(&self.tree.nodes[open.at as usize].name));
        if let Some(place) = unended {
            while self.open.len() > place {
                self.unended(at.start);
            }
        }
    }

    /// Ends the innermost element without an end tag, and says so.
    fn unended(&mut self, at: usize) {
        if let Some(open) = self.open.last() {
            let node = &self.tree.nodes[open.at as usize];
            let (span, name) = (node.open, node.name);
            self.slip(
                span,
                format!("`<{name}>` has no end"),
                &format!("</{name}> after what it holds"),
                Lost::Notes,
            );
        }
        self.end_innermost(Span::new(at, at));
    }

    fn end_innermost(&mut self, span: Span) {
        let Some(open) = self.open.pop() else { return };
        let node = &mut self.tree.nodes[open.at as usize];
        node.close = span;
        let holds_elements = node.first != NONE
            || IN_MEASURE.contains(&node.name)
            || matches!(node.name, "measure" | "part");
        if let (Some(words), true) = (open.words, holds_elements) {
            self.stray(words);
        }
    }

    fn stray(&mut self, words: Span) {
        self.slip(
            words,
            "this text stands between elements, where it says nothing".to_owned(),
            "text only inside elements that hold text, as in <words>con sord.</words>",
            Lost::NoNotes,
        );
    }

    fn end(&mut self, span: Span) {
        let name = self.name_at(span.start + 2);
        let place = self
            .open
            .iter()
            .skip(1)
            .rposition(|open| self.tree.nodes[open.at as usize].name == name);
        match place {
            Some(place) => {
                while self.open.len() > place + 2 {
                    self.unended(span.start);
                }
                self.end_innermost(span);
            }
            None => self.slip(
                span,
                format!("`</{name}>` ends nothing"),
                &format!("<{name}> before it"),
                Lost::NoNotes,
            ),
        }
    }

    fn finish(&mut self, unended: bool) {
        let end = self.tree.text.len();
        while self.open.len() > if unended { 2 } else { 1 } {
            self.unended(end);
        }
        if self.open.len() > 1 {
            self.end_innermost(Span::new(end, end));
        }
        let words = self.open.last().and_then(|open| open.words);
        if let Some(words) = words {
            self.stray(words);
        }
    }
}
