//! Findings for people: the line, a caret, why it matters, and what can be done.

use std::io::Write as _;

use annotate_snippets::{AnnotationKind, Element, Group, Level, Renderer};
use engine::Severity;
use files::{Remark, Wanted};

use super::together::{also, first_sentence, together};
use super::{Ending, Score, Shape};

/// Where a title goes on in the next line, in characters, however wide the terminal is: editors that run the command look
/// for titles of at most two lines.
const TITLE: usize = 96;
/// The narrowest that words are set beside something, in characters.
const NARROWEST: usize = 40;
/// How far words are set in behind `why:`.
const WHY: usize = 9;

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
        for (remark, same) in together(&score.verdict.remarks, self.full) {
            writeln!(out, "{}\n", remark_text(&path, remark, &same, self.width))?;
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

fn remark_text(path: &str, remark: &Remark, same: &[&Remark], width: usize) -> String {
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
    let here = remark.excerpt.iter();
    let here = here.flat_map(|excerpt| excerpt.snippet(path, AnnotationKind::Primary, ""));
    let others = remark.others.iter().flat_map(|other| {
        let excerpt = other.excerpt.iter();
        excerpt.flat_map(|excerpt| excerpt.snippet(path, AnnotationKind::Context, &other.message))
    });
    let elements: Vec<Element<'_>> = here.chain(others).collect();
    let mut group = level
        .primary_title(title.as_str())
        .id(remark.rule.as_str())
        .elements(elements);
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
