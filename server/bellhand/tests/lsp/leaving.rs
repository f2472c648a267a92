//! How a session ends: in order, by a closed pipe, or because the client is gone.

use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

use serde_json::json;

use crate::client::{Client, plain};

#[test]
fn exit_ends_the_process_though_the_pipe_stays_open() {
    let (mut client, _) = Client::ready(&plain(), &json!({}));
    client.ask("shutdown", json!(null));
    client.tell("exit", json!(null));
    assert_eq!(client.exit().code(), Some(0));
    let (mut client, _) = Client::ready(&plain(), &json!({}));
    client.tell("exit", json!(null));
    assert_eq!(client.exit().code(), Some(1), "without shutdown");
    let (mut client, _) = Client::ready(&plain(), &json!({}));
    client.hang_up();
    assert_eq!(
        client.exit().code(),
        Some(1),
        "a closed pipe without shutdown"
    );
}

#[test]
fn exit_is_seen_behind_requests_that_take_long() {
    let (mut client, _) = Client::ready(&plain(), &json!({}));
    let uri = "file:///pier/long.abc";
    let bars = "c d e f | g a b c' | ".repeat(1000);
    let text = format!("X:1\nM:4/4\nL:1/4\nK:none\nV:1 name=\"Horn in F\"\n{bars}\n");
    client.open(uri, &text);
    // Each changes the text first, so that none can be answered from what is known.
    let start = json!({"line": 0, "character": 0});
    let everything = json!({"start": start, "end": {"line": 9999, "character": 0}});
    for version in 2..100 {
        let change = json!([{"range": {"start": start, "end": start}, "text": "%\n"}]);
        client.change(uri, version, &change);
        client.begin(
            "textDocument/codeAction",
            json!({"textDocument": {"uri": uri}, "range": everything, "context": {"diagnostics": []}}),
        );
    }
    client.tell("exit", json!(null));
    assert_eq!(client.exit().code(), Some(1));
}

#[test]
fn a_client_whose_process_is_gone_is_left() {
    let mut editor = Command::new("sleep").arg("600").spawn().unwrap();
    let mut client = Client::start();
    client.ask(
        "initialize",
        json!({"processId": editor.id(), "rootUri": null, "capabilities": {}}),
    );
    assert!(client.lives());
    editor.kill().unwrap();
    editor.wait().unwrap();
    assert_eq!(client.exit().code(), Some(1));
}

/// How a server ends that is greeted and cannot answer; its input stays open, so that only its output says so.
fn cannot_answer(output: Stdio) -> Option<i32> {
    let mut server = Command::new(env!("CARGO_BIN_EXE_bellhand"))
        .arg("lsp")
        .stdin(Stdio::piped())
        .stdout(output)
        .spawn()
        .unwrap();
    drop(server.stdout.take());
    let mut input = server.stdin.take().unwrap();
    let body =
        json!({"jsonrpc": "2.0", "id": 1, "method": "initialize", "params": {"capabilities": {}}});
    let body = body.to_string();
    let frame = format!("Content-Length: {}\r\n\r\n{body}", body.len());
    std::io::Write::write_all(&mut input, frame.as_bytes()).unwrap();
    let end = Instant::now() + Duration::from_secs(60);
    let status = loop {
        if let Some(status) = server.try_wait().unwrap() {
            break status;
        }
        assert!(Instant::now() < end, "the server does not end");
        std::thread::sleep(Duration::from_millis(5));
    };
    drop(input);
    status.code()
}

#[test]
fn a_client_that_no_longer_listens_is_left() {
    assert_eq!(cannot_answer(Stdio::piped()), Some(1));
}

#[cfg(target_os = "linux")]
#[test]
fn an_output_that_takes_nothing_ends_the_server() {
    let full = std::fs::OpenOptions::new().write(true).open("/dev/full");
    assert_eq!(cannot_answer(full.unwrap().into()), Some(1));
}
