//! The open documents, changed in the order in which the client speaks.

use std::collections::HashMap;
use std::panic::{AssertUnwindSafe, catch_unwind};
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
/// What is said of a message that cannot be used.
const NOT_UNDERSTOOD: &str = "a message about a document's text was not understood";

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
    /// Held while a view is made, so that each text is read once however many ask about it.
    pub(super) turn: Arc<tokio::sync::Mutex<()>>,
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

    /// Takes in a message about a document's text; what to tell the client's log, if it was out of the ordinary.
    pub(super) fn take_in(&self, method: &str, params: &Value) -> Option<String> {
        let taken = catch_unwind(AssertUnwindSafe(|| match method {
            "textDocument/didOpen" => self.opened(params),
            "textDocument/didChange" => self.changed(params),
            "textDocument/didClose" => self.closed(params),
            _ => None,
        }));
        taken.unwrap_or_else(|_| {
            // A text left half-changed would answer wrongly from here on; without it there is no answer at all.
            let uri = params.pointer("/textDocument/uri")?.as_str()?;
            self.lock().documents.remove(&Url::parse(uri).ok()?);
            Some(format!(
                "{uri} could not be read and is left alone until it is opened again"
            ))
        })
    }

    fn opened(&self, params: &Value) -> Option<String> {
        let Some(DidOpenTextDocumentParams { text_document }) = read(params) else {
            return Some(NOT_UNDERSTOOD.to_owned());
        };
        let format = Format::of_name(&text_document.language_id)
            .or_else(|| Format::of_path(Path::new(text_document.uri.path())))?;
        let document = Document::from_text(format, &text_document.text);
        let mut inner = self.lock();
        inner.revision += 1;
        let entry = Entry {
            document,
            version: text_document.version,
            revision: inner.revision,
            analyser: Arc::default(),
            turn: Arc::default(),
            view: None,
        };
        inner.documents.insert(text_document.uri, entry);
        None
    }

    /// Makes all edits of a `didChange`, one after the other.
    fn changed(&self, params: &Value) -> Option<String> {
        let Some(DidChangeTextDocumentParams {
            text_document,
            content_changes,
        }) = read(params)
        else {
            return Some(NOT_UNDERSTOOD.to_owned());
        };
        let mut inner = self.lock();
        inner.revision += 1;
        let (encoding, revision) = (inner.encoding, inner.revision);
        let entry = inner.documents.get_mut(&text_document.uri)?;
        for change in content_changes {
            let rope = entry.document.rope();
            let span = match change.range {
                Some(range) => encoding.span(rope, range),
                None => Span::new(0, rope.len_bytes()),
            };
            entry.document.edit(span, &change.text);
        }
        let (before, now) = (entry.version, text_document.version);
        entry.version = now;
        entry.revision = revision;
        // The client's text is the one that counts, whatever it calls it.
        (now <= before).then(|| {
            format!(
                "version {now} of {} came after version {before}; it was taken all the same",
                text_document.uri
            )
        })
    }

    fn closed(&self, params: &Value) -> Option<String> {
        let Some(DidCloseTextDocumentParams { text_document }) = read(params) else {
            return Some(NOT_UNDERSTOOD.to_owned());
        };
        self.lock().documents.remove(&text_document.uri);
        None
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
    ///
    /// Each document counts as changed, so that nothing judged by the old settings is taken for new.
    pub(super) fn forget_views(&self) -> Vec<Url> {
        let mut inner = self.lock();
        inner.revision += 1;
        let revision = inner.revision;
        for entry in inner.documents.values_mut() {
            entry.view = None;
            entry.revision = revision;
        }
        inner.documents.keys().cloned().collect()
    }
}

fn read<T: DeserializeOwned>(params: &Value) -> Option<T> {
    serde_json::from_value(params.clone()).ok()
}

/// A document's address with the mark of the text it has now; `None` when it is not open.
pub(super) fn stamped(uri: &str, store: &Store) -> Option<String> {
    let url = Url::parse(uri).ok()?;
    let revision = store.revision(&url)?;
    Some(marked(&url, revision).into())
}

/// A document's address with the mark of a text.
pub(super) fn marked(uri: &Url, revision: u64) -> Url {
    // An address may have a fragment of its own, as the cells of a notebook do.
    let own = uri.fragment().unwrap_or_default();
    let mark = format!("{own}{STAMP}{revision}");
    let mut marked = uri.clone();
    marked.set_fragment(Some(&mark));
    marked
}

/// An address without its mark, and the text it was asked about.
pub(super) fn unstamped(uri: &Url) -> (Url, Option<u64>) {
    let mark = uri
        .fragment()
        .and_then(|fragment| fragment.rsplit_once(STAMP))
        .and_then(|(own, revision)| Some((own, revision.parse().ok()?)));
    let Some((own, revision)) = mark else {
        return (uri.clone(), None);
    };
    let mut plain = uri.clone();
    plain.set_fragment((!own.is_empty()).then_some(own));
    (plain, Some(revision))
}

#[cfg(test)]
mod tests {
    use super::*;
    use serde_json::json;

    fn opened(uri: &str) -> Store {
        let store = Store::default();
        let item = json!({"uri": uri, "languageId": "abc", "version": 1, "text": "X:1\nK:none\nc"});
        assert_eq!(
            store.take_in("textDocument/didOpen", &json!({"textDocument": item})),
            None
        );
        store
    }

    #[test]
    fn the_mark_goes_as_it_came() {
        for uri in ["file:///pier/a%20b.abc", "cell:/book.abc#part-2"] {
            let store = opened(uri);
            let marked = Url::parse(&stamped(uri, &store).unwrap()).unwrap();
            assert_ne!(marked.as_str(), uri);
            assert_eq!(unstamped(&marked), (Url::parse(uri).unwrap(), Some(1)));
        }
        let other = Url::parse("file:///pier/b.abc#here").unwrap();
        assert_eq!(stamped(other.as_str(), &opened("file:///a.abc")), None);
        assert_eq!(unstamped(&other), (other.clone(), None));
    }

    #[test]
    fn what_is_odd_is_done_and_told() {
        let uri = "file:///pier/a.abc";
        let store = opened(uri);
        let change = |version: i64| json!({"textDocument": {"uri": uri, "version": version}, "contentChanges": [{"text": "d"}]});
        let told = store.take_in("textDocument/didChange", &change(0));
        assert!(told.unwrap().contains("came after version 1"));
        let entry = store.entry(&Url::parse(uri).unwrap()).unwrap();
        assert_eq!((entry.document.text().as_str(), entry.version), ("d", 0));
        assert_eq!(store.take_in("textDocument/didChange", &change(2)), None);
        assert!(store.take_in("textDocument/didClose", &json!(7)).is_some());
    }
}
