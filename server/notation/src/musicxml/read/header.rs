//! The header: title, composer and the list of parts.

use horn::{Crook, CrookName, read_name};
use score::{Directive, DirectiveKind, PartSelector, Span, Text, Unreadable};
use theory::Interval;

use super::comments;
use crate::musicxml::tree::{Element, Tree};

/// What a header says. Places count from the start of the document.
#[derive(Debug, Default)]
pub(crate) struct Header {
    pub(super) title: Option<Text>,
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
    /// Its start tag.
    pub(super) head: Span,
}

impl PartHead {
    /// What a player's part is transposed by, going by its name alone.
    pub(super) fn interval(&self) -> Interval {
        let name = self.name.as_ref().map(|name| read_name(&name.text));
        match name {
            Some(name) if name.is_horn => match name.crook {
                CrookName::Named(crook) => crook.transposition().0,
                CrookName::Unnamed | CrookName::Ambiguous(_) => Crook::F.transposition().0,
            },
            _ => Interval::UNISON,
        }
    }
}

/// Reads the header that begins `base` bytes into the document.
pub(super) fn read(text: &str, base: usize) -> Header {
    let tree = Tree::read(text, false);
    let root = tree.root();
    let mut header = Header {
        title: title(root, base),
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
        }),
    }
    header
}

/// Words on one line, however the file breaks them.
fn on_one_line(words: &str) -> String {
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
                if child.says("type", "start") {
                    let name = child.value("group-name").unwrap_or_default();
                    groups.push((number, name));
                }
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
    let sound = element
        .named("score-instrument")
        .filter_map(|instrument| instrument.child("instrument-sound"))
        .find(|sound| {
            matches!(
                sound.words().trim(),
                "brass.french-horn" | "brass.natural-horn" | "brass.vienna-horn"
            )
        });
    // The instrument's sound says what the name does not; instructions in comments are read later and count more.
    if let Some(sound) = sound
        && !name.as_ref().is_some_and(|name| is_horn(&name.text))
    {
        let said = Directive {
            span: sound.span().shifted(base),
            own_line: false,
            kind: DirectiveKind::Part {
                selector: PartSelector::Named(id.clone()),
                is: "horn".to_owned(),
            },
        };
        header.directives.insert(0, said);
    }
    header.parts.push(PartHead {
        id,
        name,
        head: element.open().shifted(base),
    });
}

/// The part's name; where it is empty, what is displayed instead, or else the instrument's name.
fn name(element: Element<'_>, base: usize) -> Option<Text> {
    let plain = element.child("part-name").and_then(|name| said(name, base));
    let displayed = || {
        let display = element.child("part-name-display")?;
        let text: String = display
            .children()
            .map(|piece| match (piece.name(), piece.words().trim()) {
                ("accidental-text", "flat") => "♭".to_owned(),
                ("accidental-text", "sharp") => "♯".to_owned(),
                ("display-text", _) => piece.words(),
                _ => String::new(),
            })
            .collect();
        let text = on_one_line(&text);
        (!text.is_empty()).then(|| Text {
            text,
            span: display.span().shifted(base),
        })
    };
    let instrument = || {
        let instrument = element.child("score-instrument")?;
        said(instrument.child("instrument-name")?, base)
    };
    plain.or_else(displayed).or_else(instrument)
}
