//! What stands between the client and the protocol library, which a single bad message would end.
//!
//! It also keeps the order of things: text edits are applied here, as they arrive, before anything behind them is
//! passed on, and each request is stamped with the text it was asked about.

use serde_json::{Value, json};
use tokio::io::{AsyncRead, AsyncWrite, AsyncWriteExt as _, BufReader, DuplexStream};
use tokio::sync::mpsc;

use super::frames::{self, Frame};
use super::store::{Store, stamped};

/// Passes messages on until the client leaves; whether it shut the server down before.
pub(super) async fn pump(
    input: impl AsyncRead + Unpin,
    mut library: DuplexStream,
    store: &Store,
    answers: &mpsc::UnboundedSender<Vec<u8>>,
) -> bool {
    let mut input = BufReader::new(input);
    let mut shut_down = false;
    loop {
        let body = match frames::next(&mut input).await {
            Frame::Body(body) => body,
            Frame::Broken(why) => {
                refuse(answers, why);
                continue;
            }
            Frame::End => return shut_down,
        };
        let Ok(mut message) = serde_json::from_slice::<Value>(&body) else {
            refuse(answers, "a message that is no JSON was skipped");
            continue;
        };
        if !message.is_object() {
            refuse(
                answers,
                "a message that is no single request or notification was skipped",
            );
            continue;
        }
        match message.get("method").and_then(Value::as_str) {
            Some("exit") => return shut_down,
            Some("shutdown") => shut_down = true,
            Some("initialize") => rename_capability(&mut message),
            Some(method) => {
                if let Some(words) = store.take_in(method, &message["params"]) {
                    log(answers, &words);
                }
            }
            None => {}
        }
        // Clients write "no parameters" as null; the library wants them left out.
        if let Some(fields) = message.as_object_mut() {
            fields.retain(|name, value| name != "params" || !value.is_null());
        }
        if message.get("id").is_some() {
            stamp(&mut message, store);
        }
        let Ok(bytes) = serde_json::to_vec(&message) else {
            continue;
        };
        if write_frame(&mut library, &bytes).await.is_err() {
            // The library has ended on its own; there is nothing left to serve with.
            return shut_down;
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

/// Answers what cannot be answered otherwise: the protocol asks for an error without an id.
fn refuse(answers: &mpsc::UnboundedSender<Vec<u8>>, why: &str) {
    say(
        answers,
        &json!({
            "jsonrpc": "2.0",
            "id": null,
            "error": { "code": -32700, "message": why },
        }),
    );
}

/// Tells the client's log.
fn log(answers: &mpsc::UnboundedSender<Vec<u8>>, words: &str) {
    say(
        answers,
        &json!({
            "jsonrpc": "2.0",
            "method": "window/logMessage",
            "params": { "type": 2, "message": words },
        }),
    );
}

fn say(answers: &mpsc::UnboundedSender<Vec<u8>>, message: &Value) {
    if let Ok(bytes) = serde_json::to_vec(message) {
        // With the output gone the client is gone too.
        let _ = answers.send(framed(&bytes));
    }
}

async fn write_frame(to: &mut DuplexStream, body: &[u8]) -> std::io::Result<()> {
    to.write_all(&framed(body)).await?;
    to.flush().await
}

fn framed(body: &[u8]) -> Vec<u8> {
    let mut frame = format!("Content-Length: {}\r\n\r\n", body.len()).into_bytes();
    frame.extend_from_slice(body);
    frame
}

/// Carries the library's answers to the client, with the guard's own between them, never within one.
pub(super) async fn answer(
    library: impl AsyncRead + Unpin + Send + 'static,
    mut own: mpsc::UnboundedReceiver<Vec<u8>>,
    mut client: impl AsyncWrite + Unpin,
) {
    let (whole, mut frames) = mpsc::unbounded_channel();
    let reader = tokio::spawn(async move {
        // Whole messages, so that nothing is written into the middle of one.
        let mut library = BufReader::new(library);
        while let Frame::Body(body) = frames::next(&mut library).await {
            if whole.send(framed(&body)).is_err() {
                break;
            }
        }
    });
    loop {
        let frame = tokio::select! {
            frame = frames.recv() => frame,
            Some(frame) = own.recv() => Some(frame),
        };
        let Some(frame) = frame else { break };
        if client.write_all(&frame).await.is_err() || client.flush().await.is_err() {
            break;
        }
    }
    reader.abort();
}
