//! What all answers share: the open texts with their views, the settings, and what the client can.

use std::sync::{Arc, OnceLock};

use serde_json::json;
use tokio::sync::mpsc;
use tower_lsp::Client;
use tower_lsp::jsonrpc::{Error, ErrorCode, Result};
use tower_lsp::lsp_types::{MessageType, Url};

use super::methods::initialize::Traits;
use super::methods::workspace_folders::Folders;
use super::report::Report;
use super::settings::{Cache, Looked};
use super::settings_problems::Published;
use super::store::{Entry, Store, unstamped};
use super::unopened::Unopened;
use super::view::View;
use crate::pages::Pages;

/// What all answers share.
#[derive(Debug)]
pub(super) struct Shared {
    pub(super) client: Client,
    /// Takes messages for the client that are written already.
    pub(super) wire: mpsc::UnboundedSender<Vec<u8>>,
    pub(super) store: Arc<Store>,
    pub(super) settings: Cache,
    /// What was told of settings files.
    pub(super) settings_problems: Published,
    /// The rules' own pages, for a client that can open files of this machine.
    pub(super) pages: Option<Pages>,
    pub(super) folders: Folders,
    /// The scores that lie in these folders.
    pub(super) unopened: Unopened,
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
        self.view_at(&uri, asked).await
    }

    /// A document as it is now, read and judged once however many ask.
    pub(super) async fn view_now(&self, uri: &Url) -> Result<Option<Arc<View>>> {
        self.view_at(uri, None).await
    }

    /// A document as it is now, or only as it is at one change.
    async fn view_at(&self, uri: &Url, asked: Option<u64>) -> Result<Option<Arc<View>>> {
        // A turn for each text read, so that who asked about an older one is told as soon as that is stopped.
        while let Some(turn) = self.store.entry(uri).map(|entry| entry.turn) {
            let _turn = turn.lock().await;
            // What it is now: while this waited for its turn, the text may have moved on or been read.
            let Some(entry) = self.store.entry(uri) else {
                break;
            };
            if asked.is_some_and(|asked| asked != entry.revision) {
                return Err(content_modified());
            }
            let newest = entry.view.as_ref();
            if let Some(view) = newest.filter(|view| view.revision == entry.revision) {
                return Ok(Some(Arc::clone(view)));
            }
            if let Some(view) = self.make_view(uri, entry).await? {
                let before = self.store.keep(&view);
                // To let go of a long score takes a while, and nobody need wait for it.
                tokio::task::spawn_blocking(move || drop(before));
            }
        }
        Ok(None)
    }

    /// Reads and judges an entry; `None` when it was stopped, since the text has moved on.
    async fn make_view(&self, uri: &Url, entry: Entry) -> Result<Option<Arc<View>>> {
        let (settings, complaint) = self.settings.of(uri, &self.store.settings);
        if let Some(complaint) = complaint {
            self.complain(vec![complaint]).await;
        }
        let (uri, encoding) = (uri.clone(), self.store.encoding());
        let made = tokio::task::spawn_blocking(move || {
            let stop = entry.stop.clone();
            View::make(uri, entry, settings, encoding, &stop).ok()
        })
        .await;
        match made {
            Ok(view) => Ok(view.map(Arc::new)),
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

    /// Tells the user what is not understood of settings, here and in the files themselves.
    async fn complain(&self, complaints: Vec<String>) {
        for complaint in complaints {
            self.client
                .show_message(MessageType::ERROR, complaint)
                .await;
        }
        self.settings_problems.tell(self);
    }

    /// Tells the user what came of looking at settings again.
    pub(super) async fn tell_settings(&self, looked: Looked) {
        self.complain(looked.complaints).await;
    }

    /// What the client is told of a view's findings, made away from the protocol's task; `None` when that fails.
    pub(super) async fn report(self: &Arc<Self>, view: &Arc<View>) -> Option<Arc<Report>> {
        if let Some(report) = view.report.get() {
            return Some(Arc::clone(report));
        }
        let (view, shared) = (Arc::clone(view), Arc::clone(self));
        let made = tokio::task::spawn_blocking(move || {
            let made = view
                .report
                .get_or_init(|| Arc::new(Report::of(&view, &shared)));
            Arc::clone(made)
        });
        made.await.ok()
    }

    /// Sends the client a message that is written already.
    pub(super) fn say(&self, message: String) {
        // With the output gone the client is gone too.
        let _ = self.wire.send(message.into_bytes());
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

/// What is answered to a request that was understood and cannot be met, with why.
pub(super) fn request_failed(why: String) -> Error {
    Error {
        code: ErrorCode::ServerError(REQUEST_FAILED),
        message: why.into(),
        data: None,
    }
}

/// The protocol's code for it.
const REQUEST_FAILED: i64 = -32803;

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
