//! Messages that are JSON and yet none of the protocol's, and texts that can no longer be followed.

use serde_json::{Value, json};

use crate::client::{Client, plain};

/// A text with something to say about it.
const TEXT: &str = "X:1\nK:none\nV:1 name=\"Horn\"\nc4";

fn hover(uri: &str) -> Value {
    json!({"textDocument": {"uri": uri}, "position": {"line": 3, "character": 0}})
}

#[test]
fn what_is_no_message_is_answered_and_survived() {
    let (mut client, _) = Client::ready(&plain(), &json!({}));
    let mut tried = 0;
    for (message, id) in [
        (json!({}), json!(null)),
        (json!(null), json!(null)),
        (json!("x"), json!(null)),
        (json!([]), json!(null)),
        (json!([7]), json!(null)),
        (
            json!({"jsonrpc": "1.0", "id": 900, "method": "a"}),
            json!(900),
        ),
        (json!({"id": 901, "method": "a"}), json!(901)),
        (
            json!({"jsonrpc": 2.0, "id": 902, "method": "a"}),
            json!(902),
        ),
        (
            json!({"jsonrpc": "2.0", "id": 1.5, "method": "a"}),
            json!(null),
        ),
        (
            json!({"jsonrpc": "2.0", "id": null, "method": "a"}),
            json!(null),
        ),
        (
            json!({"jsonrpc": "2.0", "id": [1], "method": "a"}),
            json!(null),
        ),
        (
            json!({"jsonrpc": "2.0", "id": true, "method": "a"}),
            json!(null),
        ),
        (
            json!({"jsonrpc": "2.0", "id": 903, "method": 5}),
            json!(903),
        ),
        (json!({"jsonrpc": "2.0", "id": "904"}), json!("904")),
        (
            json!({"jsonrpc": "2.0", "method": "initialized", "params": 3}),
            json!(null),
        ),
        (
            json!({"jsonrpc": "2.0", "id": 905, "method": "shutdown", "params": "now"}),
            json!(905),
        ),
    ] {
        client.send(&message);
        let told = client.wait(|told| told["error"]["code"] == -32600);
        assert_eq!(told["id"], id, "{message}: {told}");
        assert!(client.lives(), "after {message}");
        tried += 1;
    }
    // Answers to nothing are not answered.
    for stray in [
        json!({"jsonrpc": "2.0", "id": 77, "result": 1}),
        json!({"jsonrpc": "2.0", "id": null, "result": 1}),
        json!({"jsonrpc": "2.0", "id": 1.5, "error": {}}),
        json!({"jsonrpc": "2.0", "id": 78, "error": {"code": "x"}, "result": 2}),
        json!({"jsonrpc": "2.0", "method": "$/cancelRequest", "params": {"id": {}}}),
        json!({"jsonrpc": "2.0", "method": "$/cancelRequest"}),
    ] {
        client.send(&stray);
        assert!(client.lives(), "after {stray}");
        tried += 1;
    }
    assert!(client.pushed.iter().all(|told| told["error"].is_null()));
    assert_eq!(tried, 22);
}

#[test]
fn a_batch_is_answered_one_by_one() {
    let (mut client, _) = Client::ready(&plain(), &json!({}));
    let ask = |id: i64| {
        let params = hover("file:///nowhere.abc");
        json!({"jsonrpc": "2.0", "id": id, "method": "textDocument/hover", "params": params})
    };
    client.send(&json!([ask(801), 5, ask(802)]));
    for id in [801, 802] {
        assert!(client.answer(id)["result"].is_null());
    }
    client.wait(|told| told["error"]["code"] == -32600);
}

#[test]
fn what_comes_before_the_greeting_is_dropped() {
    let mut client = Client::start();
    let uri = "file:///pier/early.abc";
    client.open(uri, TEXT);
    client.tell("initialize", json!({"capabilities": {}}));
    let id = client.begin("textDocument/hover", hover(uri));
    assert_eq!(client.answer(id)["error"]["code"], -32002);
    client.greet(&plain(), &json!({}));
    assert!(client.ask("textDocument/hover", hover(uri)).is_null());
    assert!(
        client
            .pushed
            .iter()
            .all(|told| told["params"]["uri"] != uri)
    );
}

#[test]
fn half_a_character_is_taken() {
    let (mut client, _) = Client::ready(&plain(), &json!({}));
    let uri = "file:///pier/half.abc";
    client.open(
        uri,
        "X:1\nT:pier\nK:none\nV:1 name=\"Horn in F\" transpose=-7\nc4",
    );
    client.diagnostics(uri, 1);
    for (version, half, column) in [(2, r"\ud83c", 2), (3, r"\udfba", 3)] {
        let at = json!({"line": 1, "character": column});
        let params = json!({"textDocument": {"uri": uri, "version": version},
            "contentChanges": [{"range": {"start": at, "end": at}, "text": "HALF"}]});
        let body = json!({"jsonrpc": "2.0", "method": "textDocument/didChange", "params": params})
            .to_string()
            .replace("HALF", half);
        client.raw(format!("Content-Length: {}\r\n\r\n{body}", body.len()).as_bytes());
        client.diagnostics(uri, version);
    }
    // Both halves stand in the text, each as long as the client counts it.
    let (start, end) = (
        json!({"line": 1, "character": 2}),
        json!({"line": 1, "character": 4}),
    );
    client.change(
        uri,
        4,
        &json!([{"range": {"start": start, "end": end}, "text": ""}]),
    );
    client.diagnostics(uri, 4);
    let symbols = client.ask(
        "textDocument/documentSymbol",
        json!({"textDocument": {"uri": uri}}),
    );
    assert_eq!(symbols[0]["name"], "pier", "{symbols}");
}

#[test]
fn a_text_that_cannot_be_followed_is_left_alone_until_it_is_opened_again() {
    let uri = "file:///pier/lost.abc";
    for place in [json!(-1), json!(2.5), json!(1_u64 << 32)] {
        let (mut client, _) = Client::ready(&plain(), &json!({}));
        client.open(uri, TEXT);
        assert!(!client.diagnostics(uri, 1).is_empty());
        let bad = json!({"line": place, "character": 0});
        let change = json!([{"range": {"start": bad, "end": bad}, "text": "x"}]);
        client.change(uri, 2, &change);
        let told = client.wait(|told| told["method"] == "window/showMessage");
        let words = told["params"]["message"].as_str().unwrap();
        assert!(words.contains(uri), "{told}");
        let cleared = client.wait(|told| told["method"] == "textDocument/publishDiagnostics");
        assert_eq!(cleared["params"], json!({"uri": uri, "diagnostics": []}));
        client.change(uri, 3, &json!([{"text": TEXT}]));
        client.change(uri, 4, &change);
        assert!(
            client.ask("textDocument/hover", hover(uri)).is_null(),
            "{place}"
        );
        let shown = |told: &Value| told["method"] == "window/showMessage";
        assert!(!client.pushed.iter().any(shown), "told twice");
        client.open(uri, TEXT);
        assert!(!client.diagnostics(uri, 1).is_empty());
        assert!(!client.ask("textDocument/hover", hover(uri)).is_null());
    }
}

#[test]
fn a_change_too_long_to_read_gives_up_its_text_alone() {
    let (mut client, _) = Client::ready(&plain(), &json!({}));
    let (long, short) = ("file:///pier/long.abc", "file:///pier/short.abc");
    for uri in [long, short] {
        client.open(uri, TEXT);
        client.diagnostics(uri, 1);
    }
    client.change(long, 2, &json!([{"text": "x".repeat(64 << 20)}]));
    let told = client.wait(|told| told["method"] == "window/showMessage");
    let words = told["params"]["message"].as_str().unwrap();
    assert!(words.contains(long), "{told}");
    assert!(client.ask("textDocument/hover", hover(long)).is_null());
    assert!(!client.ask("textDocument/hover", hover(short)).is_null());
}

#[test]
fn addresses_come_back_byte_for_byte() {
    for uri in [
        "file:///pier/h\u{f6}rn \u{fc}.abc",
        "file:///pier/a b.abc",
        "file:///pier/a%20b.abc",
        "untitled:Untitled-1",
    ] {
        let edits = json!({"workspace": {"workspaceEdit": {"documentChanges": true}}});
        let (mut client, _) = Client::ready(&edits, &json!({}));
        client.open(uri, TEXT);
        assert!(!client.diagnostics(uri, 1).is_empty(), "{uri}");
        let at = json!({"line": 2, "character": 6});
        let actions = client.ask(
            "textDocument/codeAction",
            json!({"textDocument": {"uri": uri}, "range": {"start": at, "end": at}, "context": {"diagnostics": []}}),
        );
        let edit = actions
            .as_array()
            .unwrap()
            .iter()
            .find_map(|action| action.get("edit"));
        let document = &edit.unwrap()["documentChanges"][0]["textDocument"];
        assert_eq!(document["uri"], uri, "{actions}");
        client.tell(
            "textDocument/didClose",
            json!({"textDocument": {"uri": uri}}),
        );
        let cleared = client.wait(|told| told["method"] == "textDocument/publishDiagnostics");
        assert_eq!(cleared["params"]["uri"], uri);
    }
}

#[test]
fn a_burst_of_changes_is_pushed_for_its_last_text() {
    let (mut client, _) = Client::ready(&plain(), &json!({}));
    let uri = "file:///pier/burst.abc";
    client.open(uri, TEXT);
    client.diagnostics(uri, 1);
    let mut frames = Vec::new();
    for version in 2..=200 {
        let at = json!({"line": 3, "character": 0});
        let params = json!({"textDocument": {"uri": uri, "version": version},
            "contentChanges": [{"range": {"start": at, "end": at}, "text": "c"}]});
        let body = json!({"jsonrpc": "2.0", "method": "textDocument/didChange", "params": params});
        let body = body.to_string();
        frames.extend(format!("Content-Length: {}\r\n\r\n{body}", body.len()).into_bytes());
    }
    client.raw(&frames);
    client.diagnostics(uri, 200);
    assert!(client.lives());
    let pushes = client
        .pushed
        .iter()
        .filter(|told| told["params"]["uri"] == uri);
    let versions: Vec<_> = pushes
        .map(|told| told["params"]["version"].as_i64())
        .collect();
    assert!(versions.is_sorted(), "{versions:?}");
    // Each text is pushed at most once, and far from all of them are.
    assert!(
        versions.len() < 100,
        "{} pushes for 199 changes",
        versions.len()
    );
}
