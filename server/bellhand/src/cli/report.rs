//! Findings for people: the line, a caret, why it matters, and what can be done.

use std::io::Write;

use annotate_snippets::{AnnotationKind, Element, Group, Level, Origin, Renderer, Snippet};
use engine::{Finding, Severity};
use notation::Document;
use score::Span;

use super::input::Input;

/// Columns after which words go on in the next line.
const WIDTH: usize = 96;

/// How much of a long line is shown before and after what a finding is about, in bytes.
const BESIDE: usize = 400;
/// How much of a place is shown, in bytes; a whole part may be one.
const MOST_SHOWN: usize = 2000;

/// Writes all findings and a summary.
pub(crate) fn write(out: &mut impl Write, inputs: &[Input]) -> std::io::Result<()> {
    for input in inputs {
        for finding in input.judged.findings() {
            writeln!(out, "{}\n", finding_text(input, finding))?;
        }
    }
    if inputs.is_empty() {
        return Ok(());
    }
    writeln!(out, "{}", summary(inputs))
}

fn finding_text(input: &Input, finding: &Finding) -> String {
    let path = input.shown();
    let (title, rest) = first_sentence(&finding.message);
    let title = wrapped(&match (finding.who(), finding.bar) {
        (Some(part), Some(bar)) => format!("{part}, bar {bar}: {title}"),
        (Some(part), None) => format!("{part}: {title}"),
        (None, _) => title.to_owned(),
    });
    let level = match finding.severity {
        Severity::Error => Level::ERROR,
        Severity::Warning => Level::WARNING,
        Severity::Information => Level::INFO,
        Severity::Hint => Level::NOTE.with_name("hint"),
    };
    let lines = Lines::around(input.judged.document(), finding.span);
    let mut group = level
        .primary_title(title.as_str())
        .id(finding.rule)
        .elements(lines.snippet(&path, finding.span, AnnotationKind::Primary, ""));
    let related: Vec<(Lines, Span, &str)> = finding
        .related
        .iter()
        .map(|other| {
            (
                Lines::around(input.judged.document(), other.span),
                other.span,
                other.message.as_str(),
            )
        })
        .collect();
    for (lines, span, message) in &related {
        group = group.elements(lines.snippet(&path, *span, AnnotationKind::Context, message));
    }
    let rest = wrapped(rest);
    let source = finding.source.to_string();
    let fixes: Vec<String> = finding
        .fixes
        .iter()
        .map(|fix| format!("{} ({})", fix.title, fix.safety.name()))
        .collect();
    if !rest.is_empty() {
        group = group.element(Level::NOTE.with_name("why").message(rest.as_str()));
    }
    for fix in &fixes {
        group = group.element(Level::HELP.with_name("fix").message(fix.as_str()));
    }
    group = group.element(Level::NOTE.with_name("source").message(source.as_str()));
    let groups: [Group<'_>; 1] = [group];
    Renderer::styled().render(&groups)
}

/// The lines a span stands in, cut out of the text; of long lines what stands near it.
struct Lines {
    text: String,
    /// Where they begin, in bytes of the document.
    start: usize,
    /// The first line's number, from 1.
    number: usize,
    /// Where the span stands in its line, in characters from 1, when the line is cut before it.
    column: Option<usize>,
}

impl Lines {
    fn around(document: &Document, span: Span) -> Self {
        let rope = document.rope();
        let length = rope.len_bytes();
        let (from, to) = (span.start.min(length), span.end.min(length).max(span.start));
        let first = rope.byte_to_line(from);
        let last = rope.byte_to_line(to.min(length));
        let start = rope.line_to_byte(first);
        let end = rope.line_to_byte((last + 1).min(rope.len_lines()));
        // A score may be one line of a megabyte, and every finding shows a piece of it.
        let near = from.saturating_sub(BESIDE).max(start);
        let start = rope.char_to_byte(rope.byte_to_char(near));
        let far = from
            .saturating_add(MOST_SHOWN)
            .min(to)
            .saturating_add(BESIDE);
        let end = rope.char_to_byte(rope.byte_to_char(far.min(end)));
        let text: String = rope.byte_slice(start..end.max(start)).chars().collect();
        Self {
            text: text.trim_end_matches(['\r', '\n']).to_owned(),
            start,
            number: first + 1,
            column: (start > rope.line_to_byte(first))
                .then(|| rope.byte_to_char(from) - rope.line_to_char(first) + 1),
        }
    }

    /// The text with its place and a mark, as the report shows it.
    fn snippet<'a>(
        &'a self,
        path: &'a str,
        span: Span,
        kind: AnnotationKind,
        label: &'a str,
    ) -> Vec<Element<'a>> {
        let start = span.start.saturating_sub(self.start).min(self.text.len());
        let end = span
            .end
            .saturating_sub(self.start)
            .clamp(start, self.text.len());
        let annotation = kind.span(start..end);
        let annotation = if label.is_empty() {
            annotation
        } else {
            annotation.label(label)
        };
        let snippet = Snippet::source(self.text.as_str())
            .line_start(self.number)
            .annotation(annotation);
        match self.column {
            None => vec![snippet.path(path).into()],
            // The place cannot be counted in a line that is cut.
            Some(column) => {
                let origin = Origin::path(path).line(self.number).char_column(column);
                vec![origin.into(), snippet.into()]
            }
        }
    }
}

/// A message's first sentence, which says what is wrong, and the rest, which says why and what to do.
fn first_sentence(message: &str) -> (&str, &str) {
    message
        .split_once(". ")
        .map_or((message.trim_end_matches('.'), ""), |(first, rest)| {
            (first, rest)
        })
}

/// Words broken into lines.
fn wrapped(text: &str) -> String {
    let mut lines = String::new();
    let mut column = 0;
    for word in text.split(' ') {
        let width = word.chars().count();
        if column > 0 && column + 1 + width > WIDTH {
            lines.push('\n');
            column = 0;
        } else if column > 0 {
            lines.push(' ');
            column += 1;
        }
        lines.push_str(word);
        column += width;
    }
    lines
}

/// How much was found, and how many horn parts were read.
pub(super) fn summary(inputs: &[Input]) -> String {
    let count = |severity: Severity| {
        inputs
            .iter()
            .flat_map(|input| input.judged.findings())
            .filter(|finding| finding.severity == severity)
            .count()
    };
    let counts: Vec<String> = Severity::ALL
        .into_iter()
        .rev()
        .map(|severity| (count(severity), severity.name()))
        .filter(|(count, _)| *count > 0)
        .map(|(count, name)| match (count, name) {
            (1, name) => format!("1 {name}"),
            (count, "information") => format!("{count} information"),
            (count, name) => format!("{count} {name}s"),
        })
        .collect();
    let horns: usize = inputs
        .iter()
        .flat_map(|input| input.judged.pieces())
        .map(|(_, reading)| reading.horns.len())
        .sum();
    let parts = match horns {
        1 => "1 horn part".to_owned(),
        n => format!("{n} horn parts"),
    };
    if counts.is_empty() {
        format!("{parts} read; nothing to say.")
    } else {
        format!("{parts} read: {}.", counts.join(", "))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use notation::Format;

    #[test]
    fn of_a_long_line_the_neighbourhood_is_shown() {
        let music = "\u{e4}c d e | ".repeat(100_000);
        let text = format!("X:1\nK:none\n{music}\nf");
        let document = Document::from_text(Format::Abc, &text);
        for start in [0, 4, 11, 600_000, 600_001, text.len() - 1, text.len()] {
            let lines = Lines::around(&document, Span::new(start, start + 1));
            assert!(
                lines.text.len() <= 2 * BESIDE + 8,
                "{start}: {}",
                lines.text.len()
            );
            assert!(lines.start <= start, "{start}");
            let shown = start - lines.start;
            assert!(
                lines.text.is_empty() || text[lines.start..].starts_with(&lines.text),
                "{start}"
            );
            assert!(shown <= lines.text.len() + 1, "{start}");
        }
        let whole = Lines::around(&document, Span::new(0, text.len()));
        assert!(whole.text.len() <= MOST_SHOWN + BESIDE + 8);
    }
}
