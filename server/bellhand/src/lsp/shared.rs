//! What all answers share: the open texts with their views, the settings, and what the client can.

use std::sync::atomic::AtomicBool;
use std::sync::{Arc, OnceLock};

use serde_json::json;
use tower_lsp::Client;
use tower_lsp::jsonrpc::{Error, ErrorCode, Result};
use tower_lsp::lsp_types::{MessageType, Url};

use super::methods::initialize::Traits;
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
    /// The user wants sounding pitches shown in the line.
    pub(super) sounding: AtomicBool,
    pub(super) traits: OnceLock<Traits>,
}

impl Shared {
    /// What the client can.
    pub(super) fn traits(&self) -> &Traits {
        static PLAIN: Traits = Traits::PLAIN;
        self.traits.get().unwrap_or(&PLAIN)
    }

    /// The text a request asks about, read and judged; `None` when it is not open here.
    ///
    /// Fails with "content modified" when the text has changed since the request was sent.
    pub(super) async fn view(&self, uri: &Url) -> Result<Option<Arc<View>>> {
        let (uri, asked) = unstamped(uri);
        let moved = |revision| asked.is_some_and(|asked| asked != revision);
        if self.store.revision(&uri).is_some_and(moved) {
            return Err(content_modified());
        }
        match self.view_now(&uri).await? {
            Some(view) if moved(view.revision) => Err(content_modified()),
            view => Ok(view),
        }
    }

    /// A document as it is now, read and judged once however many ask.
    pub(super) async fn view_now(&self, uri: &Url) -> Result<Option<Arc<View>>> {
        let Some(turn) = self.store.entry(uri).map(|entry| entry.turn) else {
            return Ok(None);
        };
        let _turn = turn.lock().await;
        // What it is now: while this waited for its turn, the text may have moved on or been read.
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

    /// Tells the client's log that something it can do without was not to be had.
    pub(super) async fn warn(&self, words: impl std::fmt::Display) {
        self.client.log_message(MessageType::WARNING, words).await;
    }
}

/// What is answered about a text that has moved on.
pub(super) fn content_modified() -> Error {
    Error {
        code: ErrorCode::ContentModified,
        message: "the text has changed since this was asked".into(),
        data: None,
    }
}

/// The same for a client asking for findings, which it must be told to ask for again.
pub(super) fn ask_again(error: Error) -> Error {
    if error.code != ErrorCode::ContentModified {
        return error;
    }
    Error {
        code: ErrorCode::ServerError(SERVER_CANCELLED),
        data: Some(json!({ "retriggerRequest": true })),
        ..error
    }
}

/// The protocol's code for a request the server has dropped.
const SERVER_CANCELLED: i64 = -32802;
