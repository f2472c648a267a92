//! Comments that silence rules, written, merged and taken out again: the same trial for every notation.

use notation::{Document, TextEdit};
use score::{Directive, Intent, Span};

/// What came of silencing rules in a document.
pub(crate) struct Silenced {
    /// One rule at a place.
    pub(crate) once: Document,
    /// Another beside it.
    pub(crate) twice: Document,
    /// Two rules in the whole file.
    pub(crate) file: Document,
    /// `twice` and `file`, each with all of it taken out again.
    pub(crate) gone: [Document; 2],
}

/// Silences rules at a place and in the file, and takes them out again, one and then all; `written` writes an intent as
/// the notation's own tests do. Fails where a comment does not say what it was to say.
pub(crate) fn silence(
    before: &Document,
    at: Span,
    written: impl Fn(&Document, &Intent) -> (Document, Vec<TextEdit>),
) -> Silenced {
    let here = |at: Span, rule: &str| Intent::IgnoreHere {
        at,
        rule: rule.into(),
    };
    let in_file = |rule: &str| Intent::IgnoreInFile { rule: rule.into() };
    let (once, edits) = written(before, &here(at, "range/too-high"));
    assert_eq!(said(&once), [here_said(&["range/too-high"])]);
    let later = at.shifted(edits[0].text.len());
    let comment = once.text().find("bellhand:").unwrap();
    let line = |byte| once.rope().byte_to_line(byte);
    assert_eq!(line(comment) + 1, line(later.start), "{}", once.text());
    let (twice, _) = written(&once, &here(later, "rip/too-few"));
    let both = here_said(&["range/too-high", "rip/too-few"]);
    assert_eq!(said(&twice), [both], "{}", twice.text());
    let again = once.write(&here(later, "range/too-high"));
    assert_eq!(again.unwrap(), []);
    let (file, _) = written(before, &in_file("range/too-low"));
    let (file, _) = written(&file, &in_file("mute/no-time"));
    let of_file = (true, vec!["range/too-low".into(), "mute/no-time".into()]);
    assert_eq!(said(&file), [of_file]);
    let (less, _) = written(&twice, &dropped(&twice, &["range/too-high"]));
    assert_eq!(said(&less), [here_said(&["rip/too-few"])]);
    let gone = [&twice, &file].map(|document| {
        let (_, names) = said(document).remove(0);
        let names: Vec<&str> = names.iter().map(String::as_str).collect();
        written(document, &dropped(document, &names)).0
    });
    Silenced {
        once,
        twice,
        file,
        gone,
    }
}

fn here_said(rules: &[&str]) -> (bool, Vec<String>) {
    (false, rules.iter().map(|rule| (*rule).to_owned()).collect())
}

/// What each instruction keeps silent, and whether it does so in the whole file.
fn said(document: &Document) -> Vec<(bool, Vec<String>)> {
    let score = document.score();
    let of_pieces = score.pieces.iter();
    let of_pieces = of_pieces.flat_map(|placed| &placed.piece.directives);
    let all = score.directives.iter().chain(of_pieces);
    all.map(|directive: &Directive| {
        let alone = directive.is_of_file() || directive.own_line;
        assert!(alone, "{}", document.text());
        let names = directive.ignored().iter().map(|rule| rule.name.clone());
        (directive.is_of_file(), names.collect())
    })
    .collect()
}

/// The change that takes names out of the instruction a document holds.
fn dropped(document: &Document, rules: &[&str]) -> Intent {
    let text = document.text();
    let from = text.find("bellhand: ignore").unwrap();
    let line = text[from..].split(['\n', '\r']).next().unwrap();
    let words = line.trim_end_matches("-->").trim_end();
    Intent::DropIgnored {
        at: Span::new(from, from + words.len()),
        rules: rules.iter().map(|rule| (*rule).to_owned()).collect(),
    }
}
