//! `initialize`: what the client can, and what this server offers it.

use serde_json::json;
use tower_lsp::lsp_types::*;

use super::{configuration, execute_command, lines, picture, semantic_tokens, sound, status};
use crate::positions::Encoding;

/// The kind of code action that fixes all that can be fixed without changing the music.
pub(crate) const FIX_ALL: CodeActionKind = CodeActionKind::new("source.fixAll.bellhand");

/// The kind of code action that writes a part for another crook: who asks for it by name is offered all crooks.
pub(crate) const CROOK: CodeActionKind = CodeActionKind::new("refactor.rewrite.crook");

/// What matters of a client.
#[derive(Debug, Clone, Default)]
pub(crate) struct Traits {
    /// The position encodings it offers.
    pub(crate) encodings: Option<Vec<PositionEncodingKind>>,
    /// It asks for diagnostics itself.
    pub(crate) pulls: bool,
    /// It can be told to ask for diagnostics again.
    pub(crate) pulls_again: bool,
    /// It can be told to ask for inlay hints again.
    pub(crate) hints_again: bool,
    /// It can be asked to watch files.
    pub(crate) watches: bool,
    /// It can be asked to tell when its own settings change.
    pub(crate) tells_configuration: bool,
    /// It can be asked for its own settings.
    pub(crate) configures: bool,
    /// It takes edits bound to a version of a document.
    pub(crate) versioned_edits: bool,
    /// It asks for the edits of a code action only when one is chosen.
    pub(crate) resolves_edits: bool,
    /// It shows Markdown.
    pub(crate) markdown: bool,
    /// It asks what would be renamed before it asks for a new name.
    pub(crate) prepares_renames: bool,
    /// It can be asked to show a document.
    pub(crate) shows_documents: bool,
    /// It shows code actions that cannot be chosen, with why.
    pub(crate) shows_disabled: bool,
    /// It wants the findings of scores that are not open, too.
    pub(crate) whole_folder: bool,
    /// It fills in the places of a text that is completed.
    pub(crate) snippets: bool,
    /// What it takes of a diagnostic besides place, severity and words.
    pub(crate) diagnostics: DiagnosticTraits,
}

/// What a client takes of a diagnostic besides place, severity and words.
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct DiagnosticTraits {
    /// Other places that belong to it.
    pub(crate) related: bool,
    /// A link to the rule's page.
    pub(crate) links: bool,
    /// Tags.
    pub(crate) tags: bool,
    /// Data for programs.
    pub(crate) data: bool,
}

impl DiagnosticTraits {
    const NONE: Self = Self {
        related: false,
        links: false,
        tags: false,
        data: false,
    };

    /// What a client says it takes, for findings pushed and asked for alike.
    fn of(said: Option<&PublishDiagnosticsClientCapabilities>) -> Self {
        said.map_or(Self::NONE, |said| Self {
            related: said.related_information == Some(true),
            links: said.code_description_support == Some(true),
            tags: said.tag_support.is_some(),
            data: said.data_support == Some(true),
        })
    }
}

impl Traits {
    /// A client of which nothing is known.
    pub(crate) const PLAIN: Self = Self {
        encodings: None,
        pulls: false,
        pulls_again: false,
        hints_again: false,
        watches: false,
        tells_configuration: false,
        configures: false,
        versioned_edits: false,
        resolves_edits: false,
        markdown: true,
        prepares_renames: false,
        shows_documents: false,
        shows_disabled: false,
        whole_folder: false,
        snippets: false,
        diagnostics: DiagnosticTraits::NONE,
    };

    pub(crate) fn of(params: &InitializeParams) -> Self {
        let capabilities = &params.capabilities;
        let workspace = capabilities.workspace.clone().unwrap_or_default();
        let text = capabilities.text_document.clone().unwrap_or_default();
        let items = text
            .completion
            .as_ref()
            .and_then(|completion| completion.completion_item.as_ref());
        Self {
            prepares_renames: text
                .rename
                .as_ref()
                .and_then(|rename| rename.prepare_support)
                == Some(true),
            shows_documents: capabilities
                .window
                .as_ref()
                .and_then(|window| window.show_document.as_ref())
                .is_some_and(|show| show.support),
            shows_disabled: text
                .code_action
                .as_ref()
                .and_then(|actions| actions.disabled_support)
                == Some(true),
            whole_folder: params
                .initialization_options
                .as_ref()
                .and_then(|options| options.get("wholeFolder"))
                == Some(&serde_json::Value::Bool(true)),
            snippets: items.and_then(|items| items.snippet_support) == Some(true),
            diagnostics: DiagnosticTraits::of(text.publish_diagnostics.as_ref()),
            encodings: capabilities
                .general
                .as_ref()
                .and_then(|general| general.position_encodings.clone()),
            pulls: text.diagnostic.is_some(),
            pulls_again: workspace
                .diagnostic
                .and_then(|diagnostic| diagnostic.refresh_support)
                .unwrap_or(false),
            hints_again: workspace
                .inlay_hint
                .and_then(|hints| hints.refresh_support)
                .unwrap_or(false),
            watches: workspace
                .did_change_watched_files
                .and_then(|watched| watched.dynamic_registration)
                .unwrap_or(false),
            tells_configuration: workspace
                .did_change_configuration
                .and_then(|told| told.dynamic_registration)
                .unwrap_or(false),
            configures: workspace.configuration.unwrap_or(false),
            versioned_edits: workspace
                .workspace_edit
                .and_then(|edit| edit.document_changes)
                .unwrap_or(false),
            resolves_edits: text.code_action.is_some_and(|actions| {
                actions.data_support == Some(true)
                    && actions
                        .resolve_support
                        .is_some_and(|late| late.properties.iter().any(|name| name == "edit"))
            }),
            // A client that says nothing about it shows what it is given.
            markdown: text
                .hover
                .and_then(|hover| hover.content_format)
                .is_none_or(|formats| formats.contains(&MarkupKind::Markdown)),
        }
    }
}

/// What this server offers.
pub(crate) fn capabilities(traits: &Traits, encoding: Encoding) -> InitializeResult {
    let capabilities = ServerCapabilities {
        experimental: Some(
            json!({ "requests": [lines::METHOD, picture::METHOD, sound::METHOD, status::METHOD] }),
        ),
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
            code_action_kinds: Some(vec![CodeActionKind::QUICKFIX, CROOK, FIX_ALL]),
            resolve_provider: Some(traits.resolves_edits),
            ..CodeActionOptions::default()
        })),
        diagnostic_provider: traits.pulls.then(|| {
            DiagnosticServerCapabilities::Options(DiagnosticOptions {
                identifier: Some("bellhand".to_owned()),
                workspace_diagnostics: traits.whole_folder,
                ..DiagnosticOptions::default()
            })
        }),
        completion_provider: Some(CompletionOptions {
            trigger_characters: Some(
                ["\"", "[", "=", ":", "/", ",", "!", "*", ">"]
                    .map(str::to_owned)
                    .into(),
            ),
            ..CompletionOptions::default()
        }),
        inlay_hint_provider: Some(OneOf::Left(true)),
        document_symbol_provider: Some(OneOf::Left(true)),
        definition_provider: Some(OneOf::Left(true)),
        references_provider: Some(OneOf::Left(true)),
        rename_provider: Some(match traits.prepares_renames {
            true => OneOf::Right(RenameOptions {
                prepare_provider: Some(true),
                work_done_progress_options: WorkDoneProgressOptions::default(),
            }),
            false => OneOf::Left(true),
        }),
        code_lens_provider: Some(CodeLensOptions {
            resolve_provider: Some(false),
        }),
        execute_command_provider: Some(ExecuteCommandOptions {
            commands: execute_command::ALL.map(str::to_owned).into(),
            ..ExecuteCommandOptions::default()
        }),
        workspace_symbol_provider: Some(OneOf::Left(true)),
        document_formatting_provider: Some(OneOf::Left(true)),
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
        workspace: Some(WorkspaceServerCapabilities {
            workspace_folders: Some(WorkspaceFoldersServerCapabilities {
                supported: Some(true),
                change_notifications: Some(OneOf::Left(true)),
            }),
            file_operations: None,
        }),
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

/// Asks the client to tell when a settings file changes, or its own settings.
pub(crate) fn registrations(traits: &Traits) -> Vec<Registration> {
    let files = Registration {
        id: "bellhand-settings-files".to_owned(),
        method: "workspace/didChangeWatchedFiles".to_owned(),
        register_options: Some(json!({
            // Those that others extend may have any name.
            "watchers": [{ "globPattern": "**/*.toml" }]
        })),
    };
    let own = Registration {
        id: "bellhand-settings".to_owned(),
        method: "workspace/didChangeConfiguration".to_owned(),
        register_options: Some(json!({ "section": configuration::SECTION })),
    };
    let able = [(traits.watches, files), (traits.tells_configuration, own)];
    able.into_iter()
        .filter_map(|(able, registration)| able.then_some(registration))
        .collect()
}
