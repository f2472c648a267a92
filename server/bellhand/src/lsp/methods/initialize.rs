//! `initialize`: what the client can, and what this server offers it.

use serde_json::{Value, json};
use tower_lsp::lsp_types::*;

use super::semantic_tokens;
use crate::lsp::positions::Encoding;

/// The kind of code action that mends all that can be mended without changing the music.
pub(in crate::lsp) const FIX_ALL: CodeActionKind = CodeActionKind::new("source.fixAll.bellhand");

/// What matters of a client.
#[derive(Debug, Clone, Default)]
pub(in crate::lsp) struct Traits {
    /// The position encodings it offers.
    pub(in crate::lsp) encodings: Option<Vec<PositionEncodingKind>>,
    /// It asks for diagnostics itself.
    pub(in crate::lsp) pulls: bool,
    /// It can be asked to watch files.
    pub(in crate::lsp) watches: bool,
    /// It takes edits bound to a version of a document.
    pub(in crate::lsp) versioned_edits: bool,
    /// Its user wants sounding pitches shown in the line.
    pub(in crate::lsp) sounding_hints: bool,
}

impl Traits {
    /// A client of which nothing is known.
    pub(in crate::lsp) const PLAIN: Self = Self {
        encodings: None,
        pulls: false,
        watches: false,
        versioned_edits: false,
        sounding_hints: false,
    };

    pub(in crate::lsp) fn of(params: &InitializeParams) -> Self {
        let capabilities = &params.capabilities;
        let workspace = capabilities.workspace.as_ref();
        let text = capabilities.text_document.as_ref();
        Self {
            encodings: capabilities
                .general
                .as_ref()
                .and_then(|general| general.position_encodings.clone()),
            pulls: text.is_some_and(|text| text.diagnostic.is_some()),
            watches: workspace
                .and_then(|workspace| workspace.did_change_watched_files)
                .and_then(|watched| watched.dynamic_registration)
                .unwrap_or(false),
            versioned_edits: workspace
                .and_then(|workspace| workspace.workspace_edit.as_ref())
                .and_then(|edit| edit.document_changes)
                .unwrap_or(false),
            sounding_hints: params
                .initialization_options
                .as_ref()
                .and_then(|options| options.pointer("/inlayHints/sounding"))
                .and_then(Value::as_bool)
                .unwrap_or(false),
        }
    }
}

/// What this server offers.
pub(in crate::lsp) fn capabilities(traits: &Traits, encoding: Encoding) -> InitializeResult {
    let capabilities = ServerCapabilities {
        position_encoding: Some(encoding.kind()),
        text_document_sync: Some(TextDocumentSyncCapability::Options(
            TextDocumentSyncOptions {
                open_close: Some(true),
                change: Some(TextDocumentSyncKind::INCREMENTAL),
                save: Some(TextDocumentSyncSaveOptions::Supported(true)),
                ..TextDocumentSyncOptions::default()
            },
        )),
        hover_provider: Some(HoverProviderCapability::Simple(true)),
        code_action_provider: Some(CodeActionProviderCapability::Options(CodeActionOptions {
            code_action_kinds: Some(vec![CodeActionKind::QUICKFIX, FIX_ALL]),
            ..CodeActionOptions::default()
        })),
        diagnostic_provider: traits.pulls.then(|| {
            DiagnosticServerCapabilities::Options(DiagnosticOptions {
                identifier: Some("bellhand".to_owned()),
                ..DiagnosticOptions::default()
            })
        }),
        inlay_hint_provider: Some(OneOf::Left(true)),
        document_symbol_provider: Some(OneOf::Left(true)),
        document_highlight_provider: Some(OneOf::Left(true)),
        folding_range_provider: Some(FoldingRangeProviderCapability::Simple(true)),
        selection_range_provider: Some(SelectionRangeProviderCapability::Simple(true)),
        semantic_tokens_provider: Some(
            SemanticTokensOptions {
                legend: semantic_tokens::legend(),
                full: Some(SemanticTokensFullOptions::Bool(true)),
                range: Some(true),
                ..SemanticTokensOptions::default()
            }
            .into(),
        ),
        ..ServerCapabilities::default()
    };
    InitializeResult {
        capabilities,
        server_info: Some(ServerInfo {
            name: "bellhand".to_owned(),
            version: Some(env!("CARGO_PKG_VERSION").to_owned()),
        }),
    }
}

/// Asks the client to tell when a settings file changes.
pub(in crate::lsp) fn watch_settings() -> Vec<Registration> {
    vec![Registration {
        id: "bellhand-settings".to_owned(),
        method: "workspace/didChangeWatchedFiles".to_owned(),
        register_options: Some(json!({
            "watchers": [{ "globPattern": format!("**/{}", engine::FILE_NAME) }]
        })),
    }]
}
