//! The server: which method is answered by which room.

use std::sync::{Arc, OnceLock};

use serde_json::Value;
use tokio::sync::mpsc;
use tower_lsp::jsonrpc::{Error, Result};
use tower_lsp::lsp_types::*;
use tower_lsp::{Client, LanguageServer};

use super::diagnostics;
use super::methods::configuration::Answers;
use super::methods::initialize::Traits;
use super::methods::workspace_folders::Folders;
use super::methods::{
    code_action, code_lens, completion, configuration, definition, document_highlight,
    document_symbol, execute_command, folding_range, formatting, hover, initialize, inlay_hint,
    lines, picture, references, rename, selection_range, semantic_tokens, sound, status,
    workspace_diagnostic, workspace_symbol,
};
use super::positions::Encoding;
use super::settings::{Cache, Looked};
use super::settings_problems::{self, Published};
use super::settings_texts::settings_path;
use super::shared::{Shared, content_modified};
use super::store::{Store, unstamped};
use super::unopened::Unopened;
use super::view::View;
use crate::pages::Pages;
use files::sound::Sound;

/// The server.
#[derive(Debug)]
pub(super) struct Server {
    shared: Arc<Shared>,
}

impl Server {
    pub(super) fn new(
        client: Client,
        store: Arc<Store>,
        wire: mpsc::UnboundedSender<Vec<u8>>,
        pages: Option<Pages>,
    ) -> Self {
        Self {
            shared: Arc::new(Shared {
                client,
                wire,
                store,
                settings: Cache::default(),
                settings_problems: Published::default(),
                pages,
                folders: Folders::default(),
                unopened: Unopened::default(),
                traits: OnceLock::new(),
            }),
        }
    }

    /// What all answers share.
    pub(super) fn shared(&self) -> Arc<Shared> {
        Arc::clone(&self.shared)
    }

    /// Answers from a view away from the protocol's own task, which a long answer would hold up.
    async fn answer<T: Send + 'static>(
        &self,
        uri: &Url,
        answer: impl FnOnce(&View, &Shared) -> T + Send + 'static,
    ) -> Result<Option<T>> {
        let Some(view) = self.shared.view(uri).await? else {
            return Ok(None);
        };
        let shared = Arc::clone(&self.shared);
        tokio::task::spawn_blocking(move || answer(&view, &shared))
            .await
            .map(Some)
            .map_err(|_| Error::internal_error())
    }

    /// Answers `bellhand/status`.
    pub(super) async fn status(&self, asked: status::Asked) -> Result<Option<status::Answer>> {
        let uri = asked.text_document.uri.clone();
        self.answer(&uri, move |view, _| status::status(view, &asked))
            .await
    }

    /// Answers `bellhand/picture`.
    pub(super) async fn picture(&self, asked: picture::Asked) -> Result<Option<picture::Answer>> {
        let uri = asked.text_document.uri.clone();
        let answer = self.answer(&uri, move |view, _| picture::picture(view, &asked));
        Ok(answer.await?.flatten())
    }

    /// Answers `bellhand/sound`.
    pub(super) async fn sound(&self, asked: sound::Asked) -> Result<Option<Sound>> {
        let uri = asked.text_document.uri.clone();
        let answer = self.answer(&uri, move |view, _| sound::sound(view, &asked));
        Ok(answer.await?.flatten())
    }

    /// Answers `bellhand/lines`.
    pub(super) async fn lines(&self, asked: lines::Asked) -> Result<Option<lines::Answer>> {
        let uri = asked.picture.text_document.uri.clone();
        let answer = self.answer(&uri, move |view, _| lines::lines(view, &asked));
        Ok(answer.await?.flatten())
    }

    /// Looks at the settings files again; judges all open documents again if anything in them has changed.
    async fn look_at_settings(&self) {
        let looked = self.look_again().await;
        self.settings_looked_at(looked).await;
    }

    async fn look_again(&self) -> Looked {
        let shared = Arc::clone(&self.shared);
        let looked = move || shared.settings.look_again(&shared.store.settings);
        tokio::task::spawn_blocking(looked)
            .await
            .unwrap_or_default()
    }

    /// Sees to what a new text brings about.
    async fn text_moved(&self, uri: Url) {
        if let Some(path) = settings_path(&uri) {
            // It is looked at whether or not a score is open that it holds for.
            if path.ends_with(engine::FILE_NAME) {
                let shared = Arc::clone(&self.shared);
                let known = move || shared.settings.of(&uri, &shared.store.settings);
                let _ = tokio::task::spawn_blocking(known).await;
            }
            // What is not understood of a file that is being written is told in it, and not over it.
            let looked = self.look_again().await;
            self.settings_looked_at(Looked {
                complaints: Vec::new(),
                ..looked
            })
            .await;
        } else {
            diagnostics::schedule(&self.shared, uri);
        }
    }

    async fn settings_looked_at(&self, looked: Looked) {
        if looked.changed {
            self.judge_again();
        }
        self.shared.tell_settings(looked).await;
    }

    /// Judges all open documents again, since other settings hold.
    fn judge_again(&self) {
        for uri in self.shared.store.judge_again() {
            diagnostics::schedule(&self.shared, uri);
        }
        if self.shared.traits().pulls_again {
            let client = self.shared.client.clone();
            // Nothing waits for the client's word on this, and it may never come.
            tokio::spawn(async move { client.workspace_diagnostic_refresh().await });
        }
    }

    /// Takes over what the editor's own settings say, unless it has said something newer.
    async fn configure(&self, turn: u64, answers: Answers) {
        let shared = Arc::clone(&self.shared);
        let set = tokio::task::spawn_blocking(move || {
            let texts = &shared.store.settings;
            shared.settings.set_editor(turn, answers, texts)
        });
        let looked = set.await.unwrap_or_default();
        self.shared.unopened.settings_changed();
        let sounding = looked.sounding;
        self.settings_looked_at(looked).await;
        if sounding && self.shared.traits().hints_again {
            let client = self.shared.client.clone();
            tokio::spawn(async move { client.inlay_hint_refresh().await });
        }
    }

    /// Asks the editor for its own settings, those of each of its folders too.
    async fn ask_configuration(&self) {
        if !self.shared.traits().configures {
            return;
        }
        let (turn, folders) = (self.shared.settings.next_turn(), self.shared.folders.all());
        let wanted = configuration::wanted(&folders);
        if let Ok(sections) = self.shared.client.configuration(wanted).await {
            let answers = configuration::answers(&sections, &folders);
            self.configure(turn, answers).await;
        }
    }
}

#[tower_lsp::async_trait]
impl LanguageServer for Server {
    async fn initialize(&self, params: InitializeParams) -> Result<InitializeResult> {
        let traits = Traits::of(&params);
        let encoding = Encoding::negotiate(traits.encodings.as_deref());
        self.shared.store.set_encoding(encoding);
        let answer = initialize::capabilities(&traits, encoding);
        let options = params.initialization_options.as_ref();
        if let Some(said) = options.and_then(configuration::said) {
            let (settings, texts) = (&self.shared.settings, &self.shared.store.settings);
            settings.set_editor(settings.next_turn(), Answers::everywhere(said), texts);
        }
        self.shared.folders.begin(&params);
        // A second initialize is refused by the protocol library before it comes here.
        let _ = self.shared.traits.set(traits);
        Ok(answer)
    }

    async fn initialized(&self, _: InitializedParams) {
        let registrations = initialize::registrations(self.shared.traits());
        if !registrations.is_empty()
            && let Err(error) = self.shared.client.register_capability(registrations).await
        {
            self.shared
                .warn(format!("changed settings will not be noticed: {error}"))
                .await;
        }
        self.ask_configuration().await;
        let shared = Arc::clone(&self.shared);
        let written = move || shared.pages.as_ref().map_or(Ok(()), Pages::write);
        let written = tokio::task::spawn_blocking(written).await;
        if !matches!(written, Ok(Ok(()))) {
            self.shared
                .warn("the rules' pages could not be written; findings will not link to them")
                .await;
        }
    }

    async fn shutdown(&self) -> Result<()> {
        Ok(())
    }

    // The text itself has been changed before these are called; see the guard.

    async fn did_open(&self, params: DidOpenTextDocumentParams) {
        self.text_moved(params.text_document.uri).await;
    }

    async fn did_change(&self, params: DidChangeTextDocumentParams) {
        self.text_moved(params.text_document.uri).await;
    }

    async fn did_save(&self, params: DidSaveTextDocumentParams) {
        if settings_path(&params.text_document.uri).is_some() {
            self.shared.unopened.settings_changed();
        }
        // A client that cannot watch files has at least this moment.
        self.look_at_settings().await;
    }

    async fn did_close(&self, params: DidCloseTextDocumentParams) {
        if settings_path(&params.text_document.uri).is_some() {
            self.shared.settings.forget(&params.text_document.uri);
            return self.look_at_settings().await;
        }
        diagnostics::take_back(&self.shared, &params.text_document.uri);
        self.shared.settings.forget(&params.text_document.uri);
        self.shared.settings_problems.tell(&self.shared);
    }

    async fn did_change_watched_files(&self, _: DidChangeWatchedFilesParams) {
        self.shared.unopened.settings_changed();
        self.look_at_settings().await;
    }

    async fn did_change_configuration(&self, params: DidChangeConfigurationParams) {
        let said = configuration::said(&params.settings);
        // Many clients only say that something has changed, and none says what of a folder.
        let ask = said.is_none() || !self.shared.folders.all().is_empty();
        if let Some(said) = said {
            let turn = self.shared.settings.next_turn();
            self.configure(turn, Answers::everywhere(said)).await;
        }
        if ask {
            self.ask_configuration().await;
        }
    }

    async fn did_change_workspace_folders(&self, params: DidChangeWorkspaceFoldersParams) {
        self.shared.folders.change(params.event);
        self.ask_configuration().await;
    }

    async fn hover(&self, params: HoverParams) -> Result<Option<Hover>> {
        let at = params.text_document_position_params;
        let hover = self.answer(&at.text_document.uri, move |view, shared| {
            hover::hover(view, at.position, shared)
        });
        Ok(hover.await?.flatten())
    }

    async fn completion(&self, params: CompletionParams) -> Result<Option<CompletionResponse>> {
        let at = &params.text_document_position;
        if settings_path(&at.text_document.uri).is_none() {
            let (uri, position) = (at.text_document.uri.clone(), at.position);
            let items = self.answer(&uri, move |view, shared| {
                completion::score::items(view, position, shared)
            });
            return Ok(items.await?.flatten().map(CompletionResponse::Array));
        }
        let shared = Arc::clone(&self.shared);
        let items = move || completion::settings::items(&params, &shared);
        let items = tokio::task::spawn_blocking(items).await;
        Ok(items.ok().flatten().map(CompletionResponse::Array))
    }

    async fn code_action(&self, params: CodeActionParams) -> Result<Option<CodeActionResponse>> {
        if let Some(path) = settings_path(&params.text_document.uri) {
            return Ok(settings_problems::actions(&path, &params, &self.shared));
        }
        let uri = params.text_document.uri.clone();
        self.answer(&uri, move |view, shared| {
            code_action::actions(view, &params, shared)
        })
        .await
    }

    async fn code_lens(&self, params: CodeLensParams) -> Result<Option<Vec<CodeLens>>> {
        self.answer(&params.text_document.uri, |view, shared| {
            code_lens::lenses(view, shared)
        })
        .await
    }

    async fn execute_command(&self, params: ExecuteCommandParams) -> Result<Option<Value>> {
        execute_command::execute(params, &self.shared).await
    }

    async fn code_action_resolve(&self, action: CodeAction) -> Result<CodeAction> {
        let Some(promise) = code_action::Promise::of(&action) else {
            return Ok(action);
        };
        // The promise names the text it was made about, as requests do.
        let uri = promise.uri().clone();
        let kept = self.answer(&uri, move |view, shared| {
            code_action::keep(action, &promise, view, shared)
        });
        kept.await?.unwrap_or_else(|| Err(content_modified()))
    }

    async fn formatting(&self, params: DocumentFormattingParams) -> Result<Option<Vec<TextEdit>>> {
        let edits = self.answer(&params.text_document.uri, |view, _| {
            formatting::format(view)
        });
        edits.await?.transpose()
    }

    async fn inlay_hint(&self, params: InlayHintParams) -> Result<Option<Vec<InlayHint>>> {
        let (uri, _) = unstamped(&params.text_document.uri);
        if !self.shared.settings.sounding(&uri) {
            return Ok(None);
        }
        self.answer(&params.text_document.uri, move |view, _| {
            inlay_hint::hints(view, params.range)
        })
        .await
    }

    async fn document_symbol(
        &self,
        params: DocumentSymbolParams,
    ) -> Result<Option<DocumentSymbolResponse>> {
        self.answer(&params.text_document.uri, |view, _| {
            document_symbol::symbols(view)
        })
        .await
    }

    async fn document_highlight(
        &self,
        params: DocumentHighlightParams,
    ) -> Result<Option<Vec<DocumentHighlight>>> {
        let at = params.text_document_position_params;
        self.answer(&at.text_document.uri, move |view, _| {
            document_highlight::highlights(view, at.position)
        })
        .await
    }

    async fn goto_definition(
        &self,
        params: GotoDefinitionParams,
    ) -> Result<Option<GotoDefinitionResponse>> {
        let at = params.text_document_position_params;
        let definition = self.answer(&at.text_document.uri, move |view, _| {
            definition::definition(view, at.position)
        });
        Ok(definition.await?.flatten())
    }

    async fn references(&self, params: ReferenceParams) -> Result<Option<Vec<Location>>> {
        let at = params.text_document_position;
        let declared = params.context.include_declaration;
        self.answer(&at.text_document.uri, move |view, _| {
            references::references(view, at.position, declared)
        })
        .await
    }

    async fn prepare_rename(
        &self,
        at: TextDocumentPositionParams,
    ) -> Result<Option<PrepareRenameResponse>> {
        let prepared = self.answer(&at.text_document.uri, move |view, _| {
            rename::prepare(view, at.position)
        });
        Ok(prepared.await?.flatten())
    }

    async fn rename(&self, params: RenameParams) -> Result<Option<WorkspaceEdit>> {
        let at = params.text_document_position;
        let to = params.new_name;
        let edit = self.answer(&at.text_document.uri, move |view, shared| {
            rename::rename(view, at.position, &to, shared)
        });
        edit.await?.unwrap_or(Ok(None))
    }

    async fn symbol(
        &self,
        params: WorkspaceSymbolParams,
    ) -> Result<Option<Vec<SymbolInformation>>> {
        let found = workspace_symbol::symbols(params.query, Arc::clone(&self.shared));
        found.await.map(Some)
    }

    async fn workspace_diagnostic(
        &self,
        params: WorkspaceDiagnosticParams,
    ) -> Result<WorkspaceDiagnosticReportResult> {
        workspace_diagnostic::report(params, &self.shared).await
    }

    async fn folding_range(&self, params: FoldingRangeParams) -> Result<Option<Vec<FoldingRange>>> {
        self.answer(&params.text_document.uri, |view, _| {
            folding_range::ranges(view)
        })
        .await
    }

    async fn selection_range(
        &self,
        params: SelectionRangeParams,
    ) -> Result<Option<Vec<SelectionRange>>> {
        self.answer(&params.text_document.uri, move |view, _| {
            selection_range::ranges(view, &params.positions)
        })
        .await
    }

    async fn semantic_tokens_full(
        &self,
        params: SemanticTokensParams,
    ) -> Result<Option<SemanticTokensResult>> {
        let tokens = self.answer(&params.text_document.uri, |view, _| {
            semantic_tokens::tokens(view, None)
        });
        Ok(tokens.await?.map(SemanticTokensResult::Tokens))
    }

    async fn semantic_tokens_range(
        &self,
        params: SemanticTokensRangeParams,
    ) -> Result<Option<SemanticTokensRangeResult>> {
        let range = params.range;
        let tokens = self.answer(&params.text_document.uri, move |view, _| {
            semantic_tokens::tokens(view, Some(range))
        });
        Ok(tokens.await?.map(SemanticTokensRangeResult::Tokens))
    }
}
