//! Findings for people: the line, a caret, why it matters, and what can be done.

use std::io::Write as _;

use annotate_snippets::{AnnotationKind, Element, Group, Level, Renderer};
use engine::Severity;
use files::{Mark, Remark, Wanted};

use super::together::{also, first_sentence, together};
use super::{Ending, Score, Shape};

/// Where a title goes on in the next line, in characters, however wide the terminal is: editors that run the command look
/// for titles of at most two lines.
const TITLE: usize = 96;
/// The narrowest that words are set beside something, in characters.
const NARROWEST: usize = 40;
/// How far words are set in behind `why:`.
const WHY: usize = 9;

/// How many findings that follow each other are marked in one showing of the lines that they stand in. Bellhand's own
/// choice.
const MOST_TOGETHER: usize = 4;

/// All findings and a summary.
pub(crate) struct Text {
    /// Whether findings that say the same of one part stand each by itself.
    pub(crate) full: bool,
    /// How wide its lines of words may be, in characters.
    pub(crate) width: usize,
}

impl Shape for Text {
    fn wanted(&self) -> Wanted {
        Wanted {
            excerpts: true,
            ..Wanted::default()
        }
    }

    fn score(&self, score: &Score<'_>) -> std::io::Result<Vec<u8>> {
        let path = score.shown();
        let mut out = Vec::new();
        let shown = together(&score.verdict.remarks, self.full);
        let mut left = shown.as_slice();
        while let Some(((first, _), rest)) = left.split_first() {
            let beside = rest.iter().take(MOST_TOGETHER - 1);
            let beside = beside.take_while(|(remark, _)| shows_lines_of(first, remark));
            let (together, others) = left.split_at(1 + beside.count());
            for (index, (remark, same)) in together.iter().enumerate() {
                // The lines stand above the first, with what all of them mark.
                let marked = match index {
                    0 => Marked::Here(rest.get(..together.len() - 1).unwrap_or_default()),
                    _ => Marked::Above,
                };
                writeln!(
                    out,
                    "{}\n",
                    remark_text(&path, remark, same, marked, self.width)
                )?;
            }
            left = others;
        }
        Ok(out)
    }

    fn close(&self, ending: &Ending<'_>) -> std::io::Result<Vec<u8>> {
        let mut out = Vec::new();
        if ending.tally.scores > 0 {
            writeln!(out, "{}", ending.tally.summary())?;
        }
        out.write_all(ending.more.as_bytes())?;
        Ok(out)
    }
}

/// Where the lines of a finding are shown.
#[derive(Clone, Copy)]
enum Marked<'a> {
    /// With it, and with what some that follow mark in them.
    Here(&'a [(&'a Remark, Vec<&'a Remark>)]),
    /// With one before it.
    Above,
}

/// Whether two findings stand in the same lines.
fn shows_lines_of(one: &Remark, other: &Remark) -> bool {
    let both = one.excerpt.as_ref().zip(other.excerpt.as_ref());
    both.is_some_and(|(one, other)| one.shows_lines_of(other))
}

/// The lines of a finding with its place, and those of what else belongs to it.
fn lines<'a>(path: &'a str, remark: &'a Remark, marked: Marked<'a>) -> Vec<Element<'a>> {
    let Some(excerpt) = &remark.excerpt else {
        return Vec::new();
    };
    let mut elements = Vec::new();
    if let Marked::Here(beside) = marked {
        let mut marks = vec![Mark {
            excerpt,
            kind: AnnotationKind::Primary,
            label: "",
        }];
        marks.extend(others(remark));
        for (beside, _) in beside {
            let own = beside.excerpt.iter().map(|excerpt| Mark {
                excerpt,
                kind: AnnotationKind::Context,
                label: &beside.rule,
            });
            for mark in own.chain(others(beside)) {
                let known =
                    |known: &Mark<'_>| (known.excerpt, known.label) == (mark.excerpt, mark.label);
                if !marks.iter().any(known) {
                    marks.push(mark);
                }
            }
        }
        elements.extend(excerpt.snippet(path, &marks));
    } else {
        elements.push(excerpt.place(path));
    }
    let mut left: Vec<Mark<'_>> = others(remark)
        .filter(|mark| !excerpt.shows_lines_of(mark.excerpt))
        .collect();
    while let Some(Mark { excerpt, .. }) = left.first().copied() {
        elements.extend(excerpt.snippet(path, &left));
        left.retain(|mark| !excerpt.shows_lines_of(mark.excerpt));
    }
    elements
}

/// The other places that belong to a finding.
fn others(remark: &Remark) -> impl Iterator<Item = Mark<'_>> {
    remark.others.iter().filter_map(|other| {
        Some(Mark {
            excerpt: other.excerpt.as_ref()?,
            kind: AnnotationKind::Context,
            label: &other.message,
        })
    })
}

fn remark_text(
    path: &str,
    remark: &Remark,
    same: &[&Remark],
    marked: Marked<'_>,
    width: usize,
) -> String {
    let (title, rest) = first_sentence(&remark.message);
    let title = match (remark.who(), remark.bar) {
        (Some(part), Some(bar)) => format!("{part}, bar {bar}: {title}"),
        (Some(part), None) => format!("{part}: {title}"),
        (None, _) => title.to_owned(),
    };
    let title = wrapped(&title, TITLE);
    let level = match remark.severity {
        Severity::Error => Level::ERROR,
        Severity::Warning => Level::WARNING,
        Severity::Information => Level::INFO,
        Severity::Hint => Level::NOTE.with_name("hint"),
    };
    let mut group = level
        .primary_title(title.as_str())
        .id(remark.rule.as_str())
        .elements(lines(path, remark, marked));
    let rest = wrapped(rest, width.saturating_sub(WHY).max(NARROWEST));
    let fixes: Vec<String> = remark
        .fixes
        .iter()
        .map(|fix| format!("{} ({})", fix.title, fix.safety))
        .collect();
    if !rest.is_empty() {
        group = group.element(Level::NOTE.with_name("why").message(rest.as_str()));
    }
    for fix in &fixes {
        group = group.element(Level::HELP.with_name("fix").message(fix.as_str()));
    }
    let also = also(same).map(|also| format!("{also} (--full shows each)"));
    if let Some(also) = &also {
        group = group.element(Level::NOTE.with_name("also").message(also.as_str()));
    }
    let source = Level::NOTE.with_name("source");
    group = group.element(source.message(remark.source.as_str()));
    let groups: [Group<'_>; 1] = [group];
    Renderer::styled().render(&groups)
}

/// Words broken into lines.
fn wrapped(text: &str, width: usize) -> String {
    let mut lines = String::new();
    let mut column = 0;
    for word in text.split(' ') {
        let length = word.chars().count();
        if column > 0 && column + 1 + length > width {
            lines.push('\n');
            column = 0;
        } else if column > 0 {
            lines.push(' ');
            column += 1;
        }
        lines.push_str(word);
        column += length;
    }
    lines
}
