//! Edits of one document as the client takes them.

use std::collections::HashMap;

use notation::TextEdit;
use tower_lsp::lsp_types::{
    DocumentChanges, OneOf, OptionalVersionedTextDocumentIdentifier, TextDocumentEdit,
    TextEdit as LspEdit, WorkspaceEdit,
};

use crate::shared::Shared;
use crate::view::View;

/// Edits of a view's text, bound to its version where the client takes that.
pub(super) fn workspace_edit(view: &View, shared: &Shared, edits: &[TextEdit]) -> WorkspaceEdit {
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
