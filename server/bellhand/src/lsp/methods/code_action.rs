//! `textDocument/codeAction`: fixes for what stands at the cursor, and for the whole file.

use std::collections::HashMap;

use engine::{Finding, Fix, Safety, Which};
use notation::TextEdit;
use score::{Intent, Span};
use similar::{Algorithm, DiffOp};
use tower_lsp::lsp_types::{
    CodeAction, CodeActionKind, CodeActionOrCommand, CodeActionParams, DocumentChanges, OneOf,
    OptionalVersionedTextDocumentIdentifier, TextDocumentEdit, TextEdit as LspEdit, WorkspaceEdit,
};

use super::initialize::FIX_ALL;
use crate::lsp::diagnostics;
use crate::lsp::server::Shared;
use crate::lsp::view::View;

/// The actions for a range.
pub(in crate::lsp) fn actions(
    view: &View,
    params: &CodeActionParams,
    shared: &Shared,
) -> Vec<CodeActionOrCommand> {
    let wanted = params.context.only.as_deref();
    let mut actions = Vec::new();
    if wanted.is_none_or(|kinds| {
        kinds
            .iter()
            .any(|kind| holds(kind, &CodeActionKind::QUICKFIX))
    }) {
        let span = view.span(params.range);
        for finding in &view.analysis.findings {
            if finding.span.meets(span) {
                for_finding(view, finding, shared, &mut actions);
            }
        }
    }
    // Mending the whole file is offered only to who asks for it, as editors do on saving.
    if wanted.is_some_and(|kinds| kinds.iter().any(|kind| holds(kind, &FIX_ALL))) {
        actions.extend(fix_all(view, shared));
    }
    actions
        .into_iter()
        .map(CodeActionOrCommand::CodeAction)
        .collect()
}

/// Whether a kind asked for holds another: `source` holds `source.fixAll`.
fn holds(asked: &CodeActionKind, kind: &CodeActionKind) -> bool {
    let (asked, kind) = (asked.as_str(), kind.as_str());
    asked.is_empty()
        || kind
            .strip_prefix(asked)
            .is_some_and(|rest| rest.is_empty() || rest.starts_with('.'))
}

/// The fixes of a finding, the same for all of its kind, and the two ways to silence it.
fn for_finding(view: &View, finding: &Finding, shared: &Shared, actions: &mut Vec<CodeAction>) {
    let mut first = true;
    for fix in &finding.fixes {
        // A fix that cannot be proven is not offered.
        let Ok(edits) = engine::edits(&view.document, &view.settings, fix) else {
            continue;
        };
        let title = match fix.safety {
            Safety::Safe => fix.title.clone(),
            Safety::Review => format!("{} (changes the music)", fix.title),
        };
        actions.push(CodeAction {
            is_preferred: Some(first && fix.safety == Safety::Safe),
            ..action(
                view,
                shared,
                title,
                CodeActionKind::QUICKFIX,
                &edits,
                Some(finding),
            )
        });
        first = false;
    }
    actions.extend(all_of_kind(view, finding, shared));
    for (title, intent) in [
        (
            format!("Keep silent about {} here", finding.rule),
            Intent::IgnoreHere {
                at: finding.span,
                rule: finding.rule.to_owned(),
            },
        ),
        (
            format!("Keep silent about {} in this file", finding.rule),
            Intent::IgnoreInFile {
                rule: finding.rule.to_owned(),
            },
        ),
    ] {
        let fix = Fix {
            title,
            safety: Safety::Safe,
            intents: vec![intent],
        };
        if let Ok(edits) = engine::edits(&view.document, &view.settings, &fix) {
            actions.push(action(
                view,
                shared,
                fix.title,
                CodeActionKind::QUICKFIX,
                &edits,
                Some(finding),
            ));
        }
    }
}

/// The first fix of every finding of one rule, where there are several and they do not meet.
fn all_of_kind(view: &View, finding: &Finding, shared: &Shared) -> Option<CodeAction> {
    let mut intents: Vec<Intent> = Vec::new();
    let mut count = 0;
    let mut safety = Safety::Safe;
    for other in &view.analysis.findings {
        if other.rule != finding.rule {
            continue;
        }
        let fix = other.fixes.first()?;
        if fix.intents.iter().all(|intent| !intents.contains(intent)) {
            intents.extend(fix.intents.iter().cloned());
            count += 1;
        }
        if fix.safety == Safety::Review {
            safety = Safety::Review;
        }
    }
    if count < 2 {
        return None;
    }
    let fix = Fix {
        title: match safety {
            Safety::Safe => format!("Mend all {count} of {} in this file", finding.rule),
            Safety::Review => {
                format!(
                    "Mend all {count} of {} in this file (changes the music)",
                    finding.rule
                )
            }
        },
        safety,
        intents,
    };
    let edits = engine::edits(&view.document, &view.settings, &fix).ok()?;
    Some(action(
        view,
        shared,
        fix.title,
        CodeActionKind::QUICKFIX,
        &edits,
        Some(finding),
    ))
}

/// All that can be mended without changing the music.
fn fix_all(view: &View, shared: &Shared) -> Option<CodeAction> {
    let fixed = engine::fix_all(&view.document, &view.settings, Which::Safe);
    if fixed.applied.is_empty() {
        return None;
    }
    let edits = difference(&view.document.text(), &fixed.document.text());
    let title = "Mend all that keeps the music as it is".to_owned();
    Some(action(view, shared, title, FIX_ALL, &edits, None))
}

/// The edits that lead from one text to another, line by line.
fn difference(before: &str, after: &str) -> Vec<TextEdit> {
    let lines =
        |text: &str| -> Vec<String> { text.split_inclusive('\n').map(str::to_owned).collect() };
    let (old, new) = (lines(before), lines(after));
    let starts = |lines: &[String]| -> Vec<usize> {
        let mut at = 0;
        let mut starts = vec![0];
        for line in lines {
            at += line.len();
            starts.push(at);
        }
        starts
    };
    let (old_starts, new_starts) = (starts(&old), starts(&new));
    similar::capture_diff_slices(Algorithm::Myers, &old, &new)
        .into_iter()
        .filter(|op| !matches!(op, DiffOp::Equal { .. }))
        .filter_map(|op| {
            let (was, is) = (op.old_range(), op.new_range());
            let span = Span::new(*old_starts.get(was.start)?, *old_starts.get(was.end)?);
            let text = after.get(*new_starts.get(is.start)?..*new_starts.get(is.end)?)?;
            Some(TextEdit {
                span,
                text: text.to_owned(),
            })
        })
        .collect()
}

fn action(
    view: &View,
    shared: &Shared,
    title: String,
    kind: CodeActionKind,
    edits: &[TextEdit],
    finding: Option<&Finding>,
) -> CodeAction {
    CodeAction {
        title,
        kind: Some(kind),
        diagnostics: finding.map(|finding| vec![diagnostics::one(view, finding, shared)]),
        edit: Some(workspace_edit(view, shared, edits)),
        ..CodeAction::default()
    }
}

fn workspace_edit(view: &View, shared: &Shared, edits: &[TextEdit]) -> WorkspaceEdit {
    let edits = edits.iter().map(|edit| LspEdit {
        range: view.range(edit.span),
        new_text: edit.text.clone(),
    });
    if shared.traits().versioned_edits {
        WorkspaceEdit {
            document_changes: Some(DocumentChanges::Edits(vec![TextDocumentEdit {
                text_document: OptionalVersionedTextDocumentIdentifier {
                    uri: view.uri.clone(),
                    version: Some(view.version),
                },
                edits: edits.map(OneOf::Left).collect(),
            }])),
            ..WorkspaceEdit::default()
        }
    } else {
        WorkspaceEdit {
            changes: Some(HashMap::from([(view.uri.clone(), edits.collect())])),
            ..WorkspaceEdit::default()
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn kinds_hold_their_own() {
        let kind = |text: &'static str| CodeActionKind::new(text);
        assert!(holds(&kind("source"), &FIX_ALL));
        assert!(holds(&kind("source.fixAll"), &FIX_ALL));
        assert!(holds(&FIX_ALL, &FIX_ALL));
        assert!(holds(&kind(""), &FIX_ALL));
        assert!(!holds(&kind("source.fix"), &FIX_ALL));
        assert!(!holds(&kind("quickfix"), &FIX_ALL));
    }

    #[test]
    fn a_difference_leads_there() {
        let (before, after) = ("a\nb\nc\nd", "a\nx\ny\nc\n");
        let mut text = before.to_owned();
        for edit in difference(before, after).iter().rev() {
            text.replace_range(edit.span.range(), &edit.text);
        }
        assert_eq!(text, after);
    }
}
