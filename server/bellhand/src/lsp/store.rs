//! The open documents, changed in the order in which the client speaks.

use std::collections::HashMap;
use std::path::Path;
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

use engine::Analyser;
use notation::{Document, Format};
use score::Span;
use serde::de::DeserializeOwned;
use serde_json::Value;
use tower_lsp::lsp_types::{
    DidChangeTextDocumentParams, DidCloseTextDocumentParams, DidOpenTextDocumentParams, Url,
};

use super::positions::Encoding;
use super::view::View;

/// The mark that says which text a request is about, at the end of its document's address.
const STAMP: &str = "bellhand-text-";

/// All open documents.
#[derive(Debug, Default)]
pub(super) struct Store {
    inner: Mutex<Inner>,
}

#[derive(Debug, Default)]
struct Inner {
    encoding: Encoding,
    /// Counts all changes of all documents.
    revision: u64,
    documents: HashMap<Url, Entry>,
}

/// An open document.
#[derive(Debug, Clone)]
pub(super) struct Entry {
    /// Its text; its score may be behind until a view is made.
    pub(super) document: Document,
    /// The client's own number for it.
    pub(super) version: i32,
    /// Which change of all it is at.
    pub(super) revision: u64,
    /// Remembers the pieces judged.
    pub(super) analyser: Arc<Mutex<Analyser>>,
    /// The last view that was made of it.
    pub(super) view: Option<Arc<View>>,
}

impl Store {
    fn lock(&self) -> MutexGuard<'_, Inner> {
        // Nothing below leaves the documents half-changed, so a panic elsewhere does not spoil them.
        self.inner.lock().unwrap_or_else(PoisonError::into_inner)
    }

    pub(super) fn set_encoding(&self, encoding: Encoding) {
        self.lock().encoding = encoding;
    }

    pub(super) fn encoding(&self) -> Encoding {
        self.lock().encoding
    }

    /// Takes in a `didOpen`.
    pub(super) fn opened(&self, params: &Value) {
        let Some(DidOpenTextDocumentParams { text_document }) = read(params) else {
            return;
        };
        let format = Format::of_name(&text_document.language_id)
            .or_else(|| Format::of_path(Path::new(text_document.uri.path())));
        let Some(format) = format else {
            return;
        };
        let document = Document::from_text(format, &text_document.text);
        let mut inner = self.lock();
        inner.revision += 1;
        let entry = Entry {
            document,
            version: text_document.version,
            revision: inner.revision,
            analyser: Arc::default(),
            view: None,
        };
        inner.documents.insert(text_document.uri, entry);
    }

    /// Takes in a `didChange`: all its edits, one after the other.
    pub(super) fn changed(&self, params: &Value) {
        let Some(DidChangeTextDocumentParams {
            text_document,
            content_changes,
        }) = read(params)
        else {
            return;
        };
        let mut inner = self.lock();
        inner.revision += 1;
        let (encoding, revision) = (inner.encoding, inner.revision);
        let Some(entry) = inner.documents.get_mut(&text_document.uri) else {
            return;
        };
        for change in content_changes {
            let rope = entry.document.rope();
            let span = match change.range {
                Some(range) => encoding.span(rope, range),
                None => Span::new(0, rope.len_bytes()),
            };
            entry.document.edit(span, &change.text);
        }
        entry.version = text_document.version;
        entry.revision = revision;
    }

    /// Takes in a `didClose`.
    pub(super) fn closed(&self, params: &Value) {
        if let Some(DidCloseTextDocumentParams { text_document }) = read(params) {
            self.lock().documents.remove(&text_document.uri);
        }
    }

    /// A document as it is now.
    pub(super) fn entry(&self, uri: &Url) -> Option<Entry> {
        self.lock().documents.get(uri).cloned()
    }

    /// Which change a document is at.
    pub(super) fn revision(&self, uri: &Url) -> Option<u64> {
        self.lock().documents.get(uri).map(|entry| entry.revision)
    }

    /// Keeps a view, and the score read for it, unless the text has moved on.
    pub(super) fn keep(&self, view: &Arc<View>) {
        let mut inner = self.lock();
        if let Some(entry) = inner
            .documents
            .get_mut(&view.uri)
            .filter(|entry| entry.revision == view.revision)
        {
            entry.document = view.document.clone();
            entry.view = Some(Arc::clone(view));
        }
    }

    /// Forgets all views, so that new settings come to bear; the open documents.
    pub(super) fn forget_views(&self) -> Vec<Url> {
        let mut inner = self.lock();
        for entry in inner.documents.values_mut() {
            entry.view = None;
        }
        inner.documents.keys().cloned().collect()
    }
}

fn read<T: DeserializeOwned>(params: &Value) -> Option<T> {
    serde_json::from_value(params.clone()).ok()
}

/// A document's address with the mark of the text it has now; `None` when it is not open.
pub(super) fn stamped(uri: &str, store: &Store) -> Option<String> {
    let mut url = Url::parse(uri).ok()?;
    let revision = store.revision(&url)?;
    url.set_fragment(Some(&format!("{STAMP}{revision}")));
    Some(url.into())
}

/// An address without its mark, and the text it was asked about.
pub(super) fn unstamped(uri: &Url) -> (Url, Option<u64>) {
    let revision = uri
        .fragment()
        .and_then(|mark| mark.strip_prefix(STAMP))
        .and_then(|revision| revision.parse().ok());
    let mut plain = uri.clone();
    if revision.is_some() {
        plain.set_fragment(None);
    }
    (plain, revision)
}
