//! The server: which method is answered by which room.

use std::sync::{Arc, OnceLock};

use tower_lsp::jsonrpc::{Error, ErrorCode, Result};
use tower_lsp::lsp_types::*;
use tower_lsp::{Client, LanguageServer};

use super::diagnostics;
use super::methods::initialize::Traits;
use super::methods::{
    code_action, diagnostic, document_highlight, document_symbol, folding_range, hover, initialize,
    inlay_hint, selection_range, semantic_tokens,
};
use super::positions::Encoding;
use super::settings::Cache;
use super::store::{Store, unstamped};
use super::view::View;
use crate::pages::Pages;

/// What all answers share.
#[derive(Debug)]
pub(super) struct Shared {
    pub(super) client: Client,
    pub(super) store: Arc<Store>,
    pub(super) settings: Cache,
    pub(super) pages: Pages,
    traits: OnceLock<Traits>,
}

impl Shared {
    /// What the client can and wants.
    pub(super) fn traits(&self) -> &Traits {
        static PLAIN: Traits = Traits::PLAIN;
        self.traits.get().unwrap_or(&PLAIN)
    }

    /// The text a request asks about, read and judged; `None` when it is not open here.
    ///
    /// Fails with "content modified" when the text has changed since the request was sent.
    pub(super) async fn view(&self, uri: &Url) -> Result<Option<Arc<View>>> {
        let (uri, asked) = unstamped(uri);
        let view = self.view_now(&uri).await?;
        match (&view, asked) {
            (Some(view), Some(asked)) if view.revision != asked => Err(Error {
                code: ErrorCode::ServerError(-32801),
                message: "the text has changed since this was asked".into(),
                data: None,
            }),
            _ => Ok(view),
        }
    }

    /// A document as it is now, read and judged.
    pub(super) async fn view_now(&self, uri: &Url) -> Result<Option<Arc<View>>> {
        let Some(entry) = self.store.entry(uri) else {
            return Ok(None);
        };
        if let Some(view) = entry
            .view
            .clone()
            .filter(|view| view.revision == entry.revision)
        {
            return Ok(Some(view));
        }
        let (settings, complaint) = self.settings.of(uri);
        if let Some(complaint) = complaint {
            self.client
                .show_message(MessageType::ERROR, complaint)
                .await;
        }
        let (uri, encoding) = (uri.clone(), self.store.encoding());
        let made = tokio::task::spawn_blocking(move || {
            Arc::new(View::make(uri, entry, settings, encoding))
        })
        .await;
        match made {
            Ok(view) => {
                self.store.keep(&view);
                Ok(Some(view))
            }
            // A panic in reading or judging costs this answer, not the server.
            Err(error) => {
                self.client
                    .log_message(
                        MessageType::ERROR,
                        format!("this text could not be judged: {error}"),
                    )
                    .await;
                Err(Error::internal_error())
            }
        }
    }
}

/// The server.
#[derive(Debug)]
pub(super) struct Server {
    shared: Arc<Shared>,
}

impl Server {
    pub(super) fn new(client: Client, store: Arc<Store>) -> Self {
        Self {
            shared: Arc::new(Shared {
                client,
                store,
                settings: Cache::default(),
                pages: Pages::default(),
                traits: OnceLock::new(),
            }),
        }
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

    /// Judges all open documents again.
    fn judge_again(&self) {
        self.shared.settings.forget();
        for uri in self.shared.store.forget_views() {
            diagnostics::schedule(&self.shared, uri, true);
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
        // A second initialize is refused by the protocol library before it comes here.
        let _ = self.shared.traits.set(traits);
        Ok(answer)
    }

    async fn initialized(&self, _: InitializedParams) {
        let shared = Arc::clone(&self.shared);
        let written = tokio::task::spawn_blocking(move || shared.pages.write()).await;
        if !matches!(written, Ok(Ok(()))) {
            let words = "the rules' pages could not be written; findings will not link to them";
            self.shared
                .client
                .log_message(MessageType::WARNING, words)
                .await;
        }
        if self.shared.traits().watches {
            let watch = initialize::watch_settings();
            if let Err(error) = self.shared.client.register_capability(watch).await {
                let words = format!("settings files cannot be watched: {error}");
                self.shared
                    .client
                    .log_message(MessageType::WARNING, words)
                    .await;
            }
        }
    }

    async fn shutdown(&self) -> Result<()> {
        Ok(())
    }

    // The text itself has been changed before these are called; see the guard.

    async fn did_open(&self, params: DidOpenTextDocumentParams) {
        diagnostics::schedule(&self.shared, params.text_document.uri, true);
    }

    async fn did_change(&self, params: DidChangeTextDocumentParams) {
        diagnostics::schedule(&self.shared, params.text_document.uri, false);
    }

    async fn did_save(&self, params: DidSaveTextDocumentParams) {
        if params.text_document.uri.path().ends_with(engine::FILE_NAME) {
            self.judge_again();
        }
    }

    async fn did_close(&self, params: DidCloseTextDocumentParams) {
        let uri = params.text_document.uri;
        if !self.shared.traits().pulls {
            self.shared
                .client
                .publish_diagnostics(uri, Vec::new(), None)
                .await;
        }
    }

    async fn did_change_watched_files(&self, _: DidChangeWatchedFilesParams) {
        self.judge_again();
        if self.shared.traits().pulls {
            // Only clients that asked for pulling are told to pull again; one that cannot says so, and that is all.
            let _ = self.shared.client.workspace_diagnostic_refresh().await;
        }
    }

    async fn did_change_configuration(&self, _: DidChangeConfigurationParams) {
        self.judge_again();
    }

    async fn diagnostic(
        &self,
        params: DocumentDiagnosticParams,
    ) -> Result<DocumentDiagnosticReportResult> {
        let view = self.shared.view(&params.text_document.uri).await?;
        Ok(diagnostic::report(
            view.as_deref(),
            params.previous_result_id.as_deref(),
            &self.shared,
        ))
    }

    async fn hover(&self, params: HoverParams) -> Result<Option<Hover>> {
        let at = params.text_document_position_params;
        let hover = self.answer(&at.text_document.uri, move |view, _| {
            hover::hover(view, at.position)
        });
        Ok(hover.await?.flatten())
    }

    async fn code_action(&self, params: CodeActionParams) -> Result<Option<CodeActionResponse>> {
        let uri = params.text_document.uri.clone();
        self.answer(&uri, move |view, shared| {
            code_action::actions(view, &params, shared)
        })
        .await
    }

    async fn inlay_hint(&self, params: InlayHintParams) -> Result<Option<Vec<InlayHint>>> {
        if !self.shared.traits().sounding_hints {
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
