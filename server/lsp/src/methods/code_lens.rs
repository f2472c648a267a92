//! `textDocument/codeLens`: over each horn part what it holds, its picture, and writing it for another horn.

use reading::HornPart;
use serde_json::json;
use theory::WrittenPitch;
use tower_lsp::lsp_types::{CodeLens, Command, Position};

use super::execute_command::{GO_TO, PICTURE, WRITE_FOR};
use crate::shared::Shared;
use crate::view::View;

/// The lenses of a document.
pub(crate) fn lenses(view: &View, shared: &Shared) -> Vec<CodeLens> {
    let mut lenses = Vec::new();
    for (base, _, horn) in view.horns() {
        let range = view.range(horn.head.shifted(base));
        let lens = |command| CodeLens {
            range,
            command: Some(command),
            data: None,
        };
        lenses.push(lens(holds(view, base, horn, shared)));
        let here = |title: &str, command: &str| {
            let place = vec![json!(view.uri), json!(range.start)];
            Command::new(title.to_owned(), command.to_owned(), Some(place))
        };
        lenses.push(lens(here("picture", PICTURE)));
        lenses.push(lens(here("write for…", WRITE_FOR)));
    }
    lenses
}

/// `24 notes, C4–F6, 9 findings`; it leads to the first finding where the client can go there.
fn holds(view: &View, base: usize, horn: &HornPart, shared: &Shared) -> Command {
    let mut words = match compass(horn) {
        Some((count, lowest, highest)) => {
            vec![counted(count, "note"), format!("{lowest}–{highest}")]
        }
        None => vec![counted(0, "note")],
    };
    let bars = view.judged.pieces().find(|(other, _)| *other == base);
    let whole = bars.map(|(_, reading)| reading.piece.span.shifted(base));
    let findings = view.judged.findings().iter().filter(|finding| {
        finding.part.as_deref() == Some(&horn.label)
            && whole.is_some_and(|whole| whole.meets(finding.span))
    });
    words.push(match findings.clone().count() {
        0 => "nothing found".to_owned(),
        found => counted(found, "finding"),
    });
    let first = findings.min_by_key(|finding| finding.span);
    let title = words.join(", ");
    match first.filter(|_| shared.traits().shows_documents) {
        Some(finding) => {
            let place = vec![json!(view.uri), json!(view.range(finding.span))];
            Command::new(title, GO_TO.to_owned(), Some(place))
        }
        // Words that lead nowhere.
        None => Command::new(title, String::new(), None),
    }
}

/// How many notes a part attacks, and the lowest and highest of them as written; `None` where there are none.
pub(super) fn compass(horn: &HornPart) -> Option<(usize, WrittenPitch, WrittenPitch)> {
    let attacked = horn.notes.iter().filter(|note| !note.tied_from);
    let written = attacked.map(|note| note.written);
    let lowest = written.clone().min_by_key(|written| written.midi())?;
    let highest = written.clone().max_by_key(|written| written.midi())?;
    Some((written.count(), lowest, highest))
}

fn counted(count: usize, what: &str) -> String {
    let plural = if count == 1 { "" } else { "s" };
    format!("{count} {what}{plural}")
}

/// The horn part that is declared at a place, by its place among all horns of the document.
pub(super) fn declared_at(view: &View, position: Position) -> Option<usize> {
    let mut horns = view.horns();
    horns.position(|(base, _, horn)| view.range(horn.head.shifted(base)).start == position)
}
