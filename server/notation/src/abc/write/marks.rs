//! Putting marks on notes, writing others in their place, and taking them out.

use horn::Dynamic;
use score::{NewMark, Span};
use tree_sitter::Node;

use super::find::enclosing;
use super::{Source, cannot, insert, lines, replace as edit, strings};
use crate::edit::{CannotWrite, TextEdit};

/// The nodes that are marks in the music.
const MARKS: [&str; 4] = [
    "decoration",
    "plus_decoration",
    "annotation",
    "chord_symbol",
];

/// The mark stands right before the note, or before the chord the note is in; words may stand before a rest too.
pub(super) fn add(
    source: &Source<'_>,
    note: Span,
    mark: &NewMark,
) -> Result<Vec<TextEdit>, CannotWrite> {
    if matches!(mark, NewMark::Dynamic(_)) {
        return cannot("a dynamic is only written in another's place");
    }
    let rest = source
        .around(note, &["rest", "measure_rest"])
        .filter(|rest| rest.start_byte() == note.start && matches!(mark, NewMark::Words(_)));
    if let Some(rest) = rest {
        let at = rest.start_byte();
        return Ok(vec![insert(at, mark_text(source, at, mark, '^'))]);
    }
    let found = source.notes_at(&[note])?;
    let first = found
        .iter()
        .flat_map(|(_, notes)| notes)
        .min_by_key(|note| note.pitch_span.start);
    let node = first
        .and_then(|note| {
            let at = note.pitch_span.start;
            source.around(Span::new(at, note.pitch_span.end), &["note"])
        })
        .map(|node| enclosing(node, "chord").unwrap_or(node));
    let Some(node) = node else {
        return cannot("the note is not spelled out in the text (a macro?)");
    };
    let at = node.start_byte();
    Ok(vec![insert(at, mark_text(source, at, mark, '^'))])
}

/// The new mark takes the whole place of the old one; words stay above or below as they were.
pub(super) fn replace(
    source: &Source<'_>,
    mark: Span,
    with: &NewMark,
) -> Result<Vec<TextEdit>, CannotWrite> {
    let node = mark_node(source, mark)?;
    if let NewMark::Dynamic(letters) = with {
        let text = source.text_of(node);
        let Some(sign) = text.chars().next().filter(|sign| "!+".contains(*sign)) else {
            return cannot("the mark is no dynamic of its own");
        };
        if Dynamic::read(text.trim_matches(sign)).is_none() {
            return cannot("the mark is no dynamic");
        }
        return Ok(vec![edit(
            node.byte_range().into(),
            format!("{sign}{letters}{sign}"),
        )]);
    }
    let placement = node
        .child_by_field_name("placement")
        .and_then(|placement| source.text_of(placement).chars().next())
        .filter(|placement| *placement != '@')
        .unwrap_or('^');
    let text = mark_text(source, node.start_byte(), with, placement);
    if text == source.text_of(node) {
        return Ok(Vec::new());
    }
    Ok(vec![edit(node.byte_range().into(), text)])
}

/// The mark goes, and with it its line when nothing else stands there: an empty line would end the tune.
pub(super) fn remove(source: &Source<'_>, mark: Span) -> Result<Vec<TextEdit>, CannotWrite> {
    let node = mark_node(source, mark)?;
    let span = Span::from(node.byte_range());
    let text = source.text;
    let (start, end) = (lines::start(text, span.start), lines::end(text, span.start));
    let before = &text[start..span.start];
    let after = &text[span.end..end];
    let blank = |text: &str| text.trim_matches([' ', '\t']).is_empty();
    if blank(before) && blank(after) {
        let line = Span::new(start, lines::next(text, span.start));
        return Ok(vec![edit(line, "")]);
    }
    let spaced = |sign: Option<char>| matches!(sign, None | Some(' ' | '\t'));
    let (left, right) = (before.chars().next_back(), after.chars().next());
    if spaced(left) && matches!(right, Some(' ' | '\t')) {
        return Ok(vec![edit(Span::new(span.start, span.end + 1), "")]);
    }
    let apart = glues(before, after) || column_trap(before, after);
    Ok(vec![edit(span, if apart { " " } else { "" })])
}

/// Whether two ends of text that met a mark would mean something else when they meet each other.
fn glues(before: &str, after: &str) -> bool {
    if before.ends_with([' ', '\t']) || after.starts_with([' ', '\t']) {
        return false;
    }
    let mut signs = after.chars();
    let (Some(left), Some(right)) = (before.chars().next_back(), signs.next()) else {
        return false;
    };
    let then = signs.next();
    let bar = matches!(left, '|' | ':' | '[' | ']' | '.');
    match right {
        // A sign would alter a note, a bracket with a letter and a colon open a field.
        _ if matches!(left, '^' | '_' | '=') => true,
        'A'..='Z' | 'a'..='z' => left == '[' && then == Some(':'),
        '^' | '_' | '=' | '"' | '!' | '+' | '~' | '.' | '{' | '}' | '&' | '`' | '$' | '\\' => {
            left == right
        }
        '(' | ')' => left == '.',
        // `|[CE]` and `|[K:C]` are apart, `|[1` and `|[|` are one barline.
        '[' => {
            bar && !then.is_some_and(|then| then.is_ascii_alphabetic() || "^_=\"!".contains(then))
        }
        '|' | ':' | ']' => bar,
        '>' | '<' => matches!(left, '>' | '<'),
        // Digits, octave marks and ties would belong to the note before.
        _ => true,
    }
}

/// Whether what follows a mark at the start of a line would there read as a field or a directive.
fn column_trap(before: &str, after: &str) -> bool {
    let second = after.chars().nth(1);
    before.is_empty()
        && (after.starts_with('%')
            || (second == Some(':')
                && after.starts_with(|c: char| c.is_ascii_alphabetic() || c == '+')))
}

fn mark_node<'a>(source: &Source<'a>, mark: Span) -> Result<Node<'a>, CannotWrite> {
    let node = source.around(mark, &MARKS).or_else(|| {
        // A mark read from a field of a file's own signs has no place in the music of its own.
        let start = Span::new(mark.start, mark.start);
        source
            .around(start, &MARKS)
            .filter(|node| node.end_byte() <= mark.end)
    });
    match node {
        Some(node) if enclosing(node, "user_symbol_field").is_none() => Ok(node),
        Some(_) => cannot("the mark stands in the declaration of a sign, not at a note"),
        None => cannot("there is no mark in the music at that place"),
    }
}

/// A mark in the words of ABC, with the delimiter that the file has chosen for decorations.
pub(super) fn mark_text(source: &Source<'_>, at: usize, mark: &NewMark, placement: char) -> String {
    let delimiters = source.instructions("decoration");
    // The delimiter is the file's, whichever voice it is said in.
    let plus = delimiters
        .iter()
        .rfind(|said| said.stands_before(at))
        .is_some_and(|said| said.value == "+");
    match (mark, plus) {
        (NewMark::Plus, false) => "!+!".to_owned(),
        (NewMark::Plus, true) => "+plus+".to_owned(),
        (NewMark::Circle, false) => "!open!".to_owned(),
        (NewMark::Circle, true) => "+open+".to_owned(),
        (NewMark::Dynamic(letters), false) => format!("!{letters}!"),
        (NewMark::Dynamic(letters), true) => format!("+{letters}+"),
        (NewMark::Words(words), _) => format!("\"{placement}{}\"", strings::quoted(words)),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_would_glue() {
        for (before, after) in [
            ("(", "3abc"),
            ("|", "|"),
            ("^", "c"),
            ("c", "2"),
            ("c", "-"),
            (".", "("),
            ("[", "K:c"),
            ("|", "[1 c"),
            (">", ">c"),
        ] {
            assert!(glues(before, after), "{before} {after}");
        }
        for (before, after) in [
            ("c", "d"),
            ("c2", "^d"),
            ("(", "c"),
            ("[", "CE]"),
            ("|", "c"),
            ("c", ")"),
            ("}", "c"),
            ("\"", "c"),
            (".", "c"),
            ("|", "[CE]"),
            ("c", "|"),
            ("|", "(3abc"),
            ("(", "(c"),
        ] {
            assert!(!glues(before, after), "{before} {after}");
        }
    }
}
