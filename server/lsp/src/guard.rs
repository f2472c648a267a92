//! What stands between the client and the protocol library, which a single bad message would end.
//!
//! It also keeps the order of things: text edits are applied here, as they arrive, before anything behind them is
//! passed on, and each request is stamped with the text it was asked about. What is asked at every keystroke is answered
//! here, too.

use std::sync::Arc;

use serde_json::{Value, json};
use tokio::io::{AsyncRead, BufReader};
use tokio::sync::{mpsc, oneshot};

use super::envelope::{Envelope, classify};
use super::frames::{self, Frame};
use super::methods::diagnostic;
use super::shared::Shared;
use super::store::{Lost, Store, Taken, stamped};
use super::surrogates::read_json;

/// JSON-RPC's code for what is no JSON.
const PARSE_ERROR: i64 = -32700;
/// JSON-RPC's code for JSON that is no message.
const INVALID_REQUEST: i64 = -32600;

/// How far the client has come.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Stage {
    /// It has not said `initialize`.
    New,
    /// It works with the server.
    Serving,
    /// It has said `shutdown`.
    ShutDown,
}

/// Reads what the client sends and passes on what the protocol library can take.
pub(super) struct Guard {
    store: Arc<Store>,
    shared: Arc<Shared>,
    /// Message bodies for the library.
    library: mpsc::UnboundedSender<Vec<u8>>,
    /// Message bodies for the client that the library does not know of.
    client: mpsc::UnboundedSender<Vec<u8>>,
    /// Takes the number of the client's process, once.
    process: Option<oneshot::Sender<i32>>,
    stage: Stage,
}

impl Guard {
    pub(super) fn new(
        shared: Arc<Shared>,
        library: mpsc::UnboundedSender<Vec<u8>>,
        client: mpsc::UnboundedSender<Vec<u8>>,
        process: oneshot::Sender<i32>,
    ) -> Self {
        Self {
            store: Arc::clone(&shared.store),
            shared,
            library,
            client,
            process: Some(process),
            stage: Stage::New,
        }
    }

    /// Passes messages on until the client leaves; whether it shut the server down before.
    pub(super) async fn pump(mut self, input: impl AsyncRead + Unpin) -> bool {
        let mut input = BufReader::new(input);
        loop {
            let leaves = match frames::next(&mut input).await {
                Frame::Body(body) => self.body(&body),
                Frame::Broken(why) => {
                    self.refuse(&Value::Null, PARSE_ERROR, why);
                    false
                }
                Frame::TooLong(ends) => {
                    self.pass_over(&ends);
                    false
                }
                Frame::End => true,
            };
            if leaves {
                return self.stage == Stage::ShutDown;
            }
        }
    }

    /// Takes in a message, or several sent as one; whether the client leaves with it.
    fn body(&mut self, body: &[u8]) -> bool {
        match read_json(body) {
            Ok(Value::Array(batch)) if batch.is_empty() => {
                self.refuse(&Value::Null, INVALID_REQUEST, "a batch of no messages");
                false
            }
            // One by one, each answered on its own: LSP has no batches, and JSON-RPC leaves the order open.
            Ok(Value::Array(batch)) => batch.into_iter().any(|message| self.message(message)),
            Ok(message) => self.message(message),
            Err(_) => {
                let why = "a message that is no JSON was skipped";
                self.refuse(&Value::Null, PARSE_ERROR, why);
                false
            }
        }
    }

    /// Takes in one message; whether the client leaves with it.
    fn message(&mut self, mut message: Value) -> bool {
        let envelope = classify(&message);
        let method = message
            .get("method")
            .and_then(Value::as_str)
            .unwrap_or_default()
            .to_owned();
        match (&envelope, method.as_str()) {
            (Envelope::Invalid(id, why), _) => self.refuse(id, INVALID_REQUEST, why),
            (Envelope::Stray(why), _) => self.log(why),
            (Envelope::Request | Envelope::Notification, "exit") => return true,
            (Envelope::Request, "initialize") => {
                self.stage = Stage::Serving;
                let process = message.pointer("/params/processId").and_then(Value::as_i64);
                if let Some(process) = process.and_then(|process| i32::try_from(process).ok())
                    && let Some(named) = self.process.take()
                {
                    // Nobody waits for it once the server is ending.
                    let _ = named.send(process);
                }
                rename_capability(&mut message);
                self.pass_on(message);
            }
            (Envelope::Request, method) => {
                if method == "shutdown" {
                    self.stage = Stage::ShutDown;
                }
                stamp(&mut message, &self.store);
                if method == "textDocument/diagnostic" && self.answer_diagnostic(&message) {
                    return false;
                }
                self.pass_on(message);
            }
            // What comes before `initialize` is dropped, as the protocol says; so is a request sent as what it is not.
            (Envelope::Notification, "initialize" | "shutdown") => {}
            (Envelope::Notification, _) if self.stage == Stage::New => {}
            (Envelope::Notification, method) => {
                self.take_in(method, &mut message["params"]);
                self.pass_on(message);
            }
            (Envelope::Response, _) => self.pass_on(message),
        }
        false
    }

    /// Sees to the answer of a request for findings; not where the library is to refuse it.
    fn answer_diagnostic(&self, message: &Value) -> bool {
        let serving = self.stage == Stage::Serving && self.shared.traits.get().is_some();
        let asked = diagnostic::Asked::read(message).filter(|_| serving);
        let Some((id, asked)) = message.get("id").cloned().zip(asked) else {
            return false;
        };
        tokio::spawn(diagnostic::answer(id, asked, Arc::clone(&self.shared)));
        true
    }

    /// Brings the text a notification speaks of up to date.
    fn take_in(&self, method: &str, params: &mut Value) {
        match self.store.take_in(method, params) {
            Taken::Done => {}
            Taken::Odd(words) => self.log(&words),
            Taken::Lost(lost) => self.tell_lost(&lost),
        }
        // The text is taken; the library needs no copy of it.
        if let Some(text) = params.pointer_mut("/textDocument/text") {
            *text = Value::String(String::new());
        }
        if let Some(changes) = params.get_mut("contentChanges") {
            *changes = json!([]);
        }
    }

    /// Answers a message that was too long to read, and gives up the text it may have changed.
    fn pass_over(&self, ends: &[u8]) {
        let why = "a message longer than 64 MiB was skipped";
        self.refuse(&Value::Null, INVALID_REQUEST, why);
        for lost in self.store.lose_by(&String::from_utf8_lossy(ends), why) {
            self.tell_lost(&lost);
        }
    }

    /// Tells the user, once, that a text is no longer known, and takes back what was said of it.
    fn tell_lost(&self, lost: &Lost) {
        let words = format!(
            "bellhand no longer knows what {} says ({}), and leaves it alone until it is closed and opened again.",
            lost.uri, lost.why
        );
        self.notify(
            "window/showMessage",
            &json!({ "type": 2, "message": words }),
        );
        self.notify(
            "textDocument/publishDiagnostics",
            &json!({ "uri": lost.uri, "diagnostics": [] }),
        );
    }

    /// Hands a message to the library.
    fn pass_on(&self, mut message: Value) {
        // Clients write "no parameters" as null; the library wants them left out.
        if let Some(fields) = message.as_object_mut() {
            fields.retain(|name, value| name != "params" || !value.is_null());
        }
        if let Ok(bytes) = serde_json::to_vec(&message) {
            // A library that has ended ends the server too; see the room above.
            let _ = self.library.send(bytes);
        }
    }

    /// Answers what cannot be answered otherwise.
    fn refuse(&self, id: &Value, code: i64, why: &str) {
        self.say(&json!({
            "jsonrpc": "2.0",
            "id": id,
            "error": { "code": code, "message": why },
        }));
    }

    /// Tells the client's log.
    fn log(&self, words: &str) {
        self.notify("window/logMessage", &json!({ "type": 2, "message": words }));
    }

    fn notify(&self, method: &str, params: &Value) {
        self.say(&json!({ "jsonrpc": "2.0", "method": method, "params": params }));
    }

    fn say(&self, message: &Value) {
        if let Ok(bytes) = serde_json::to_vec(message) {
            // With the output gone the client is gone too.
            let _ = self.client.send(bytes);
        }
    }
}

/// Moves the client's word on asking for findings again to where the library looks for it.
fn rename_capability(message: &mut Value) {
    if let Some(workspace) = message.pointer_mut("/params/capabilities/workspace")
        && let Some(said) = workspace.get("diagnostics").cloned()
    {
        workspace["diagnostic"] = said;
    }
}

/// Writes into a request's document which text it is asked about.
fn stamp(message: &mut Value, store: &Store) {
    let Some(uri) = message.pointer_mut("/params/textDocument/uri") else {
        return;
    };
    if let Some(stamped) = uri.as_str().and_then(|plain| stamped(plain, store)) {
        *uri = Value::String(stamped);
    }
}
