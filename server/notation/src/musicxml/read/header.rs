//! The header: title, composer and the list of parts.

use horn::read_name;
use score::bounds::MOST_PARTS;
use score::{Directive, Lost, Span, Text, Unreadable, Witness};

use super::{comments, witnesses};
use crate::musicxml::tree::{Element, Tree};

/// The most groups of parts that lie in each other.
const MOST_GROUPS: usize = 16;

/// What a header says. Places count from the start of the document.
#[derive(Debug, Default)]
pub(crate) struct Header {
    pub(super) title: Option<Text>,
    pub(super) movement: Option<Text>,
    pub(super) composer: Option<Text>,
    pub(super) parts: Vec<PartHead>,
    pub(super) directives: Vec<Directive>,
    pub(super) slips: Vec<Unreadable>,
    /// Whether the score shows sounding pitch.
    pub(super) concert: bool,
}

/// What the part-list says of a part.
#[derive(Debug)]
pub(super) struct PartHead {
    pub(super) id: String,
    pub(super) name: Option<Text>,
    /// All that is said of what it is for.
    pub(super) witnesses: Vec<Witness>,
    /// Its start tag.
    pub(super) head: Span,
}

/// Reads the header that begins `base` bytes into the document.
pub(super) fn read(text: &str, base: usize) -> Header {
    let tree = Tree::read(text, false);
    let root = tree.root();
    let mut header = Header {
        title: title(root, base),
        movement: root
            .child("movement-title")
            .and_then(|title| said(title, base)),
        composer: composer(root, base),
        concert: root
            .child("defaults")
            .is_some_and(|defaults| defaults.child("concert-score").is_some()),
        directives: tree
            .comments
            .iter()
            .filter_map(|span| comments::directive(text, *span))
            .map(|directive| Directive {
                span: directive.span.shifted(base),
                ..directive
            })
            .collect(),
        slips: tree
            .slips
            .iter()
            .map(|slip| Unreadable {
                span: slip.span.shifted(base),
                ..slip.clone()
            })
            .collect(),
        parts: Vec::new(),
    };
    match root.child("part-list") {
        Some(list) => parts(list, base, &mut header),
        None => header.slips.push(Unreadable {
            span: Span::new(base, base),
            problem: "the score has no list of its parts".to_owned(),
            expected: "<part-list><score-part id=\"P1\"><part-name>Horn in F</part-name></score-part></part-list>"
                .to_owned(),
            lost: Lost::Notes,
            part: None,
        }),
    }
    header
}

/// Words on one line, however the file breaks them.
pub(super) fn on_one_line(words: &str) -> String {
    words.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// An element's words, when there are any.
fn said(element: Element<'_>, base: usize) -> Option<Text> {
    let text = on_one_line(&element.words());
    (!text.is_empty()).then(|| Text {
        text,
        span: element.inner().shifted(base),
    })
}

fn title(root: Element<'_>, base: usize) -> Option<Text> {
    let work = root.child("work").and_then(|work| work.child("work-title"));
    work.and_then(|title| said(title, base)).or_else(|| {
        root.child("movement-title")
            .and_then(|title| said(title, base))
    })
}

fn composer(root: Element<'_>, base: usize) -> Option<Text> {
    root.child("identification")?
        .named("creator")
        .find(|creator| creator.says("type", "composer"))
        .and_then(|creator| said(creator, base))
}

fn parts(list: Element<'_>, base: usize, header: &mut Header) {
    // Groups may lie in each other; each has a number by which its end finds it.
    let mut groups: Vec<(String, String)> = Vec::new();
    for child in list.children() {
        match child.name() {
            "part-group" => {
                let number = child.attribute("number").unwrap_or_else(|| "1".to_owned());
                groups.retain(|(open, _)| *open != number);
                if child.says("type", "start") && groups.len() < MOST_GROUPS {
                    let name = child.value("group-name").unwrap_or_default();
                    groups.push((number, name));
                }
            }
            "score-part" if header.parts.len() == MOST_PARTS => {
                header.slips.push(Unreadable {
                    span: child.open().shifted(base),
                    problem: format!(
                        "this score has more than {MOST_PARTS} parts, and no more are read"
                    ),
                    expected: "a file for each movement".to_owned(),
                    lost: Lost::Notes,
                    part: None,
                });
                return;
            }
            "score-part" => part(child, &groups, base, header),
            _ => {}
        }
    }
}

fn part(element: Element<'_>, groups: &[(String, String)], base: usize, header: &mut Header) {
    let id = element.attribute("id").unwrap_or_default();
    let mut name = name(element, base);
    let is_horn = |text: &str| read_name(text).is_horn;
    if let Some(name) = name.as_mut().filter(|name| !is_horn(&name.text)) {
        // "1." in a group called "Horns in F".
        let with_group = groups
            .iter()
            .rev()
            .map(|(_, group)| format!("{group} {}", name.text))
            .find(|whole| is_horn(whole));
        let numeral = name
            .text
            .chars()
            .all(|c| c.is_ascii_digit() || matches!(c, 'I' | 'V' | '.' | ',' | ' ' | '+' | '-'));
        if let Some(whole) = with_group.filter(|_| numeral) {
            name.text = whole;
        }
    }
    let witnesses = witnesses::of_part(element).map(|witness| {
        let span = witness.text.span.shifted(base);
        let whole = name.as_ref().filter(|name| name.span == span);
        let text = whole.map_or(witness.text.text, |name| name.text.clone());
        Witness {
            text: Text { text, span },
            ..witness
        }
    });
    header.parts.push(PartHead {
        witnesses: witnesses.collect(),
        id,
        name,
        head: element.open().shifted(base),
    });
}

/// The part's name; where it is empty, what is displayed instead, or else the instrument's name.
fn name(element: Element<'_>, base: usize) -> Option<Text> {
    let plain = element.child("part-name").and_then(|name| said(name, base));
    let displayed = || {
        let text = witnesses::displayed(element.child("part-name-display")?)?;
        Some(Text {
            span: text.span.shifted(base),
            ..text
        })
    };
    let instrument = || {
        let instrument = element.child("score-instrument")?;
        said(instrument.child("instrument-name")?, base)
    };
    plain.or_else(displayed).or_else(instrument)
}
