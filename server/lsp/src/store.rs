//! The open documents, changed in the order in which the client speaks.

use std::collections::{HashMap, HashSet};
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::path::Path;
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

use engine::StopFlag;
use notation::{Document, Format};
use score::Span;
use serde::Deserialize;
use serde::de::DeserializeOwned;
use serde_json::Value;
use tower_lsp::lsp_types::{
    DidCloseTextDocumentParams, DidOpenTextDocumentParams, TextDocumentContentChangeEvent, Url,
};

use super::positions::Encoding;
use super::settings_texts::SettingsTexts;
use super::view::View;

/// The mark that says which text a request is about, at the end of its document's address.
const STAMP: &str = "bellhand-text-";
/// What is said of a message that cannot be used.
const NOT_UNDERSTOOD: &str = "a message about a document's text was not understood";
/// Why a text is given up whose change cannot be made.
const BAD_CHANGE: &str = "a change of it has no such place or text";

/// All open documents.
#[derive(Debug, Default)]
pub(super) struct Store {
    /// Settings files among them.
    pub(super) settings: SettingsTexts,
    inner: Mutex<Inner>,
}

#[derive(Debug, Default)]
struct Inner {
    encoding: Encoding,
    /// Counts all changes of all documents.
    revision: u64,
    documents: HashMap<Url, Entry>,
    /// Documents whose text is no longer known, until they are opened again.
    lost: HashSet<Url>,
    /// How the client writes addresses that the library would write in another way.
    spellings: HashMap<Url, String>,
}

/// A document whose text is no longer known.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Lost {
    /// Its address, as the client writes it.
    pub(super) uri: String,
    /// Why, in words that can stand in brackets behind it.
    pub(super) why: &'static str,
}

/// What became of a message about a document's text.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Taken {
    /// It was followed, or was about something else.
    Done,
    /// It was out of the ordinary, in words for the client's log.
    Odd(String),
    /// The text is no longer the client's, which the user must know.
    Lost(Lost),
}

/// What a `didChange` says; its version may be anything, since only the text counts.
#[derive(Debug, Deserialize)]
#[serde(rename_all = "camelCase")]
struct Change {
    text_document: Changed,
    content_changes: Vec<TextDocumentContentChangeEvent>,
}

/// The document a `didChange` is about.
#[derive(Debug, Deserialize)]
struct Changed {
    uri: Url,
    #[serde(default)]
    version: Value,
}

/// An open document.
#[derive(Debug, Clone)]
pub(super) struct Entry {
    /// Its text, the view's own unless it has moved on; then its score is behind until a view is made.
    pub(super) document: Arc<Document>,
    /// The client's own number for it.
    pub(super) version: i32,
    /// Which change of all it is at.
    pub(super) revision: u64,
    /// Where its text was touched last, in bytes.
    pub(super) touched: usize,
    /// Set when the text moves on: what is being read and judged is then wanted no more.
    pub(super) stop: StopFlag,
    /// Held while a view is made, so that each text is read once however many ask about it.
    pub(super) turn: Arc<tokio::sync::Mutex<()>>,
    /// The last view that was made of it; what is read next is read from it.
    pub(super) view: Option<Arc<View>>,
    /// Held while findings are pushed: which change was pushed last.
    pub(super) pushed: Arc<tokio::sync::Mutex<Option<u64>>>,
}

impl Entry {
    /// Counts a change, and stops what is being made of the text before it.
    fn move_on(&mut self, revision: u64) {
        self.revision = revision;
        std::mem::take(&mut self.stop).set();
    }
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

    /// Takes in a message about a document's text.
    pub(super) fn take_in(&self, method: &str, params: &Value) -> Taken {
        self.settings.take_in(method, params, self.encoding());
        let taken = catch_unwind(AssertUnwindSafe(|| match method {
            "textDocument/didOpen" => self.opened(params),
            "textDocument/didChange" => self.changed(params),
            "textDocument/didClose" => self.closed(params),
            _ => Taken::Done,
        }));
        // A text left half-changed would answer wrongly from here on; without it there is no answer at all.
        taken.unwrap_or_else(|_| self.lose(params, "it could not be read"))
    }

    fn opened(&self, params: &Value) -> Taken {
        let Some(DidOpenTextDocumentParams { text_document }) = read(params) else {
            return self.lose(params, NOT_UNDERSTOOD);
        };
        let Some(format) = Format::of_name(&text_document.language_id)
            .or_else(|| Format::of_path(Path::new(text_document.uri.path())))
        else {
            return Taken::Done;
        };
        let document = Document::from_text(format, &text_document.text);
        let mut inner = self.lock();
        inner.revision += 1;
        let entry = Entry {
            document: Arc::new(document),
            version: text_document.version,
            revision: inner.revision,
            touched: 0,
            stop: StopFlag::default(),
            turn: Arc::default(),
            pushed: Arc::default(),
            view: None,
        };
        inner.lost.remove(&text_document.uri);
        if let Some(spelling) = address(params).filter(|uri| *uri != text_document.uri.as_str()) {
            let spelling = spelling.to_owned();
            inner.spellings.insert(text_document.uri.clone(), spelling);
        }
        if let Some(before) = inner.documents.insert(text_document.uri, entry) {
            before.stop.set();
        }
        Taken::Done
    }

    /// Makes all edits of a `didChange`, one after the other.
    fn changed(&self, params: &Value) -> Taken {
        let Some(Change {
            text_document: Changed { uri, version },
            content_changes,
        }) = read(params)
        else {
            return self.lose(params, BAD_CHANGE);
        };
        let mut inner = self.lock();
        inner.revision += 1;
        let (encoding, revision) = (inner.encoding, inner.revision);
        let Some(entry) = inner.documents.get_mut(&uri) else {
            return Taken::Done;
        };
        let document = Arc::make_mut(&mut entry.document);
        for change in content_changes {
            let rope = document.rope();
            let span = match change.range {
                Some(range) => encoding.span(rope, range),
                None => Span::new(0, rope.len_bytes()),
            };
            document.edit(span, &change.text);
            entry.touched = span.start;
        }
        let before = entry.version;
        let said = version.as_i64().and_then(|said| i32::try_from(said).ok());
        entry.version = said.unwrap_or(before);
        entry.move_on(revision);
        match said {
            Some(now) if now > before => Taken::Done,
            // The client's text is the one that counts, whatever it calls it.
            _ => Taken::Odd(format!(
                "version {version} of {uri} came after version {before}; it was taken all the same"
            )),
        }
    }

    fn closed(&self, params: &Value) -> Taken {
        let Some(DidCloseTextDocumentParams { text_document }) = read(params) else {
            return Taken::Odd(NOT_UNDERSTOOD.to_owned());
        };
        let mut inner = self.lock();
        inner.lost.remove(&text_document.uri);
        if let Some(closed) = inner.documents.remove(&text_document.uri) {
            closed.stop.set();
        }
        Taken::Done
    }

    /// Gives up the text that a message is about; where it is not known, or given up before, there is nothing to lose.
    fn lose(&self, params: &Value, why: &'static str) -> Taken {
        let lost = address(params).and_then(|uri| self.give_up(&Url::parse(uri).ok()?, why));
        lost.map_or_else(|| Taken::Odd(NOT_UNDERSTOOD.to_owned()), Taken::Lost)
    }

    fn give_up(&self, uri: &Url, why: &'static str) -> Option<Lost> {
        let mut inner = self.lock();
        inner.documents.remove(uri)?.stop.set();
        inner.lost.insert(uri.clone()).then(|| Lost {
            uri: inner
                .spellings
                .get(uri)
                .map_or_else(|| uri.to_string(), Clone::clone),
            why,
        })
    }

    /// Gives up every open text that a piece of an unread message names; all of them where it names none, for any may
    /// have been meant.
    pub(super) fn lose_by(&self, piece: &str, why: &'static str) -> Vec<Lost> {
        let open: Vec<Url> = self.lock().documents.keys().cloned().collect();
        let names = |uri: &Url| {
            let spelling = self.lock().spellings.get(uri).cloned();
            piece.contains(uri.as_str()) || spelling.is_some_and(|it| piece.contains(&it))
        };
        let named: Vec<Url> = open.iter().filter(|uri| names(uri)).cloned().collect();
        let meant = if named.is_empty() { open } else { named };
        let lost = meant.iter().filter_map(|uri| self.give_up(uri, why));
        lost.collect()
    }

    /// A message for the client with addresses byte for byte as it wrote them itself.
    pub(super) fn spell_as_client(&self, body: Vec<u8>) -> Vec<u8> {
        let inner = self.lock();
        if inner.spellings.is_empty() {
            return body;
        }
        let mut text = match String::from_utf8(body) {
            Ok(text) => text,
            Err(error) => return error.into_bytes(),
        };
        for (uri, spelling) in &inner.spellings {
            let quoted = format!("\"{uri}\"");
            if text.contains(&quoted) {
                text = text.replace(&quoted, &Value::from(spelling.as_str()).to_string());
            }
        }
        text.into_bytes()
    }

    /// A document as it is now.
    pub(super) fn entry(&self, uri: &Url) -> Option<Entry> {
        self.lock().documents.get(uri).cloned()
    }

    /// Which change a document is at.
    pub(super) fn revision(&self, uri: &Url) -> Option<u64> {
        self.lock().documents.get(uri).map(|entry| entry.revision)
    }

    /// Keeps a view, and the score read for it, unless the text has moved on; gives back the one that was kept before.
    pub(super) fn keep(&self, view: &Arc<View>) -> Option<Arc<View>> {
        let mut inner = self.lock();
        let entry = inner
            .documents
            .get_mut(&view.uri)
            .filter(|entry| entry.revision == view.revision)?;
        entry.document = Arc::clone(view.judged.document());
        entry.view.replace(Arc::clone(view))
    }

    /// Has all documents judged again, so that new settings come to bear; the open documents.
    ///
    /// Each document counts as changed, so that nothing judged by the old settings is taken for new.
    pub(super) fn judge_again(&self) -> Vec<Url> {
        let mut inner = self.lock();
        inner.revision += 1;
        let revision = inner.revision;
        for entry in inner.documents.values_mut() {
            entry.move_on(revision);
        }
        inner.documents.keys().cloned().collect()
    }
}

fn read<T: DeserializeOwned>(params: &Value) -> Option<T> {
    serde_json::from_value(params.clone()).ok()
}

/// The address of the document that a message's parameters name.
fn address(params: &Value) -> Option<&str> {
    params.pointer("/textDocument/uri").and_then(Value::as_str)
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
    use engine::{Stop as _, Stopped};
    use serde_json::json;

    fn opened(uri: &str) -> Store {
        let store = Store::default();
        let item = json!({"uri": uri, "languageId": "abc", "version": 1, "text": "X:1\nK:none\nc"});
        assert_eq!(
            store.take_in("textDocument/didOpen", &json!({"textDocument": item})),
            Taken::Done
        );
        store
    }

    fn change(uri: &str, version: impl Into<Value>, change: &Value) -> Value {
        json!({"textDocument": {"uri": uri, "version": version.into()}, "contentChanges": [change]})
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
    fn what_is_made_of_a_text_is_stopped_when_it_moves_on() {
        let uri = "file:///pier/a.abc";
        let url = Url::parse(uri).unwrap();
        let store = opened(uri);
        let item = json!({"uri": uri, "languageId": "abc", "version": 7, "text": "X:1"});
        let open = json!({"textDocument": item});
        let steps: [(&str, &dyn Fn()); 5] = [
            ("a change", &|| {
                store.take_in(
                    "textDocument/didChange",
                    &change(uri, 2, &json!({"text": "d"})),
                );
            }),
            ("other settings", &|| {
                store.judge_again();
            }),
            ("opened again", &|| {
                store.take_in("textDocument/didOpen", &open);
            }),
            ("given up", &|| {
                store.lose_by(uri, "");
                store.take_in("textDocument/didOpen", &open);
            }),
            ("closed", &|| {
                store.take_in("textDocument/didClose", &open);
            }),
        ];
        for (what, step) in steps {
            let before = store.entry(&url).unwrap();
            assert_eq!(before.stop.look(), Ok(()), "{what}");
            step();
            assert_eq!(before.stop.look(), Err(Stopped), "{what}");
        }
        assert!(store.entry(&url).is_none());
    }

    #[test]
    fn what_is_odd_is_done_and_told() {
        let uri = "file:///pier/a.abc";
        let store = opened(uri);
        for (version, now) in [(json!(0), 0), (json!(1.5), 0), (json!(null), 0)] {
            let told = store.take_in(
                "textDocument/didChange",
                &change(uri, version, &json!({"text": "d"})),
            );
            assert!(
                matches!(&told, Taken::Odd(words) if words.contains("came after")),
                "{told:?}"
            );
            let entry = store.entry(&Url::parse(uri).unwrap()).unwrap();
            assert_eq!((entry.document.text().as_str(), entry.version), ("d", now));
        }
        let told = store.take_in(
            "textDocument/didChange",
            &change(uri, 2, &json!({"text": "e"})),
        );
        assert_eq!(told, Taken::Done);
        let told = store.take_in("textDocument/didClose", &json!(7));
        assert!(matches!(told, Taken::Odd(_)));
    }

    #[test]
    fn a_text_that_cannot_be_followed_is_given_up_once_until_it_is_opened_again() {
        let uri = "file:///pier/a.abc";
        let url = Url::parse(uri).unwrap();
        for place in [json!(-1), json!(0.5), json!(1_u64 << 32), json!("1")] {
            let store = opened(uri);
            let at = json!({"line": 0, "character": place});
            let bad = json!({"range": {"start": at, "end": at}, "text": "x"});
            let told = store.take_in("textDocument/didChange", &change(uri, 2, &bad));
            let lost = Lost {
                uri: uri.to_owned(),
                why: BAD_CHANGE,
            };
            assert_eq!(told, Taken::Lost(lost), "{place}");
            assert!(store.entry(&url).is_none());
            // Said once; what follows changes a text nobody here knows.
            let again = store.take_in("textDocument/didChange", &change(uri, 3, &bad));
            assert!(matches!(again, Taken::Odd(_)), "{again:?}");
            let good = store.take_in(
                "textDocument/didChange",
                &change(uri, 4, &json!({"text": "d"})),
            );
            assert_eq!(good, Taken::Done);
            assert!(store.entry(&url).is_none());
            let item = json!({"uri": uri, "languageId": "abc", "version": 5, "text": "X:1"});
            store.take_in("textDocument/didOpen", &json!({"textDocument": item}));
            assert_eq!(store.entry(&url).unwrap().document.text(), "X:1");
        }
    }

    #[test]
    fn a_message_too_long_costs_the_text_it_names_or_all() {
        let names =
            |lost: Vec<Lost>| -> Vec<String> { lost.into_iter().map(|one| one.uri).collect() };
        let store = opened("file:///pier/a.abc");
        let item =
            json!({"uri": "file:///pier/b.abc", "languageId": "abc", "version": 1, "text": ""});
        store.take_in("textDocument/didOpen", &json!({"textDocument": item}));
        let piece = "{\"uri\":\"file:///pier/b.abc\",";
        assert_eq!(names(store.lose_by(piece, "")), ["file:///pier/b.abc"]);
        assert_eq!(names(store.lose_by("xxxx", "")), ["file:///pier/a.abc"]);
        assert!(store.lose_by("xxxx", "").is_empty());
    }

    #[test]
    fn addresses_go_back_as_they_came() {
        let odd = "file:///pier/h\u{f6}rn \u{fc}.abc";
        let store = opened(odd);
        let url = Url::parse(odd).unwrap();
        assert_ne!(url.as_str(), odd);
        let sent = json!({"uri": url.as_str(), "changes": {url.as_str(): []}, "message": format!("\"{url}\"")});
        let body = store.spell_as_client(sent.to_string().into_bytes());
        let back: Value = serde_json::from_slice(&body).unwrap();
        assert_eq!(
            back,
            json!({"uri": odd, "changes": {odd: []}, "message": format!("\"{url}\"")})
        );
    }
}
