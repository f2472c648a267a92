//! The check itself: each kind of fault is found, and what is allowed is none.

use serde_json::{Value, json};

use super::Conversation;

/// What is said of a server's messages to a client that has asked `textDocument/...` under 1 and so on.
fn heard(asked: &[&str], messages: &[Value]) -> Vec<String> {
    let mut conversation = Conversation::default();
    for (index, method) in asked.iter().enumerate() {
        conversation.sent(&json!({"jsonrpc": "2.0", "id": index + 1, "method": method}));
    }
    for message in messages {
        conversation.received(message.to_string().as_bytes());
    }
    conversation.faults().to_vec()
}

fn told(method: &str, params: Value) -> Value {
    json!({"jsonrpc": "2.0", "method": method, "params": params})
}

fn answered(result: Value) -> Value {
    json!({"jsonrpc": "2.0", "id": 1, "result": result})
}

fn refused(error: Value) -> Value {
    json!({"jsonrpc": "2.0", "id": 1, "error": error})
}

fn range() -> Value {
    json!({"start": {"line": 0, "character": 0}, "end": {"line": 0, "character": 1}})
}

/// Findings with something changed in the first.
fn findings(change: impl FnOnce(&mut Value)) -> Value {
    let mut finding = json!({"range": range(), "severity": 2, "code": "x", "message": "low", "data": {"anything": [1.5]}});
    change(&mut finding);
    told(
        "textDocument/publishDiagnostics",
        json!({"uri": "file:///pier/a.abc", "version": 1, "diagnostics": [finding]}),
    )
}

#[test]
fn each_kind_of_fault_is_found() {
    let hover = "textDocument/hover";
    let symbol = |kind: i64| json!([{"name": "Pier", "kind": kind, "range": range(), "selectionRange": range()}]);
    let registration = |method: &str, options: Value| {
        let one = json!({"id": "a", "method": method, "registerOptions": options});
        json!({"jsonrpc": "2.0", "id": 0, "method": "client/registerCapability", "params": {"registrations": [one]}})
    };
    let faults: Vec<(&str, Value, &str)> = vec![
        // Envelopes.
        (hover, json!([1]), "no object"),
        (
            hover,
            json!({"jsonrpc": "1.0", "id": 1, "result": null}),
            "`jsonrpc` is not",
        ),
        (
            hover,
            json!({"jsonrpc": "2.0"}),
            "neither a method nor an id",
        ),
        (
            hover,
            json!({"jsonrpc": "2.0", "id": 1, "result": null, "error": {"code": 1, "message": ""}}),
            "not one of",
        ),
        (hover, json!({"jsonrpc": "2.0", "id": 1}), "not one of"),
        (
            hover,
            json!({"jsonrpc": "2.0", "id": 1, "result": null, "more": 1}),
            "`more` is no member",
        ),
        (
            hover,
            json!({"jsonrpc": "2.0", "id": 7, "result": null}),
            "nothing is open under 7",
        ),
        (
            hover,
            json!({"jsonrpc": "2.0", "id": "1", "result": null}),
            "nothing is open under \"1\"",
        ),
        (
            hover,
            json!({"jsonrpc": "2.0", "id": null, "result": null}),
            "which is no request",
        ),
        ("horn/unknown", answered(json!(null)), "which is no request"),
        (
            "bellhand/unknown",
            answered(json!(null)),
            "which is no request",
        ),
        // Methods and their direction.
        (
            hover,
            told("window/shout", json!({})),
            "there is no notification",
        ),
        (
            hover,
            told("textDocument/didSave", json!({})),
            "is not a server's to send",
        ),
        (
            hover,
            json!({"jsonrpc": "2.0", "id": 1, "method": hover}),
            "is not a server's to ask",
        ),
        (
            hover,
            json!({"jsonrpc": "2.0", "id": 1, "method": "workspace/ask"}),
            "there is no request",
        ),
        (
            hover,
            json!({"jsonrpc": "2.0", "id": 1.5, "method": "workspace/workspaceFolders"}),
            "is no id",
        ),
        (
            hover,
            json!({"jsonrpc": "2.0", "id": 1, "method": "workspace/workspaceFolders", "params": {}}),
            "takes no parameters",
        ),
        (
            hover,
            json!({"jsonrpc": "2.0", "method": "window/logMessage"}),
            "has no parameters",
        ),
        // Errors.
        (hover, refused(json!("no")), "no object"),
        (
            hover,
            refused(json!({"code": "x", "message": ""})),
            "is no error's code",
        ),
        (
            hover,
            refused(json!({"code": 1_i64 << 31, "message": ""})),
            "is no error's code",
        ),
        (
            hover,
            refused(json!({"code": -32_100, "message": ""})),
            "and is none",
        ),
        (hover, refused(json!({"code": 1})), "without a message"),
        (
            hover,
            refused(json!({"code": 1, "message": "", "why": 1})),
            "`why` is no member",
        ),
        (
            "textDocument/diagnostic",
            refused(json!({"code": -32_802, "message": "", "data": {}})),
            "`retriggerRequest` is missing",
        ),
        // Structures.
        (
            hover,
            findings(|finding| finding["range"]["start"] = json!(null)),
            "diagnostics.0.range.start: null is not an object",
        ),
        (
            hover,
            findings(|finding| finding["mood"] = json!("bad")),
            "diagnostics.0: `mood` is no property",
        ),
        (
            hover,
            findings(|finding| {
                finding.as_object_mut().unwrap().remove("message");
            }),
            "`message` is missing",
        ),
        (
            hover,
            findings(|finding| finding["tags"] = json!(null)),
            "tags: null is not an array",
        ),
        // Base types and their ranges.
        (
            hover,
            findings(|finding| finding["range"]["start"]["line"] = json!(-1)),
            "-1 is not uinteger",
        ),
        (
            hover,
            findings(|finding| finding["range"]["start"]["line"] = json!(1.5)),
            "1.5 is not uinteger",
        ),
        (
            hover,
            findings(|finding| finding["range"]["start"]["line"] = json!(1_i64 << 31)),
            "is not uinteger",
        ),
        (
            hover,
            findings(|finding| finding["message"] = json!(1)),
            "1 is not string",
        ),
        (
            hover,
            findings(|finding| finding["codeDescription"] = json!({"href": "pier"})),
            "is not URI",
        ),
        (
            hover,
            told(
                "textDocument/publishDiagnostics",
                json!({"uri": "pier.abc", "diagnostics": []}),
            ),
            "is not DocumentUri",
        ),
        (
            hover,
            told(
                "textDocument/publishDiagnostics",
                json!({"uri": "a:b", "version": 1_i64 << 31, "diagnostics": []}),
            ),
            "is not integer",
        ),
        (
            "initialize",
            answered(json!({"capabilities": {"hoverProvider": {"workDoneProgress": 1}}})),
            "1 is not boolean",
        ),
        ("shutdown", answered(json!({})), "{} is not null"),
        (
            "textDocument/documentColor",
            answered(
                json!([{"range": range(), "color": {"red": "1", "green": 1, "blue": 1, "alpha": 1}}]),
            ),
            "is not decimal",
        ),
        // Enumerations.
        (
            hover,
            findings(|finding| finding["severity"] = json!(5)),
            "5 is not one of DiagnosticSeverity",
        ),
        (
            hover,
            told("window/logMessage", json!({"type": 9, "message": ""})),
            "9 is not one of MessageType",
        ),
        (
            "textDocument/documentSymbol",
            answered(symbol(27)),
            "27 is not one of SymbolKind",
        ),
        (
            "textDocument/foldingRange",
            answered(json!([{"startLine": 1, "endLine": 2, "kind": 3}])),
            "3 is not string",
        ),
        // Arrays, maps, tuples, literals, and what may be one or the other.
        (
            "textDocument/documentSymbol",
            answered(json!({})),
            "{} is not",
        ),
        (
            "textDocument/codeAction",
            answered(json!([{"title": "a", "edit": {"changes": {"pier": []}}}])),
            "the key pier",
        ),
        (
            "textDocument/codeAction",
            answered(json!([{"title": "a", "edit": {"changes": {"a:b": [{"range": range()}]}}}])),
            "`newText` is missing",
        ),
        (
            "textDocument/codeAction",
            answered(json!([{"title": "a", "disabled": {}}])),
            "`reason` is missing",
        ),
        (
            "textDocument/codeAction",
            answered(
                json!([{"title": "a", "edit": {"documentChanges": [{"kind": "made", "uri": "a:b"}]}}]),
            ),
            "made",
        ),
        (
            "textDocument/signatureHelp",
            answered(json!({"signatures": [{"label": "a", "parameters": [{"label": [1]}]}]})),
            "1 values in a tuple of 2",
        ),
        (
            "textDocument/diagnostic",
            answered(json!({"kind": "unchanged", "resultId": "1", "items": []})),
            "is not \"full\"",
        ),
        (
            hover,
            answered(json!({"contents": {"kind": "html", "value": ""}})),
            "html",
        ),
        (
            hover,
            registration("workspace/didChangeWatchedFiles", json!({"watchers": 1})),
            "1 is not an array",
        ),
        (
            hover,
            registration("workspace/watch", json!({})),
            "cannot be registered",
        ),
        // bellhand's own.
        (
            "bellhand/picture",
            answered(json!({"part": "a", "svg": "", "places": []})),
            "`current` is missing",
        ),
        (
            "bellhand/sound",
            answered(json!({"part": "a", "sounds": [1]})),
            "1 is not",
        ),
        ("bellhand/status", answered(json!([])), "[] is not"),
    ];
    let count = faults.len();
    for (asked, message, said) in faults {
        let found = heard(&[asked], std::slice::from_ref(&message));
        assert_eq!(found.len(), 1, "{message}: {found:?}");
        assert!(
            found[0].contains(said),
            "{said} is not said of {message}, but {}",
            found[0]
        );
    }
    println!("{count} faults found");
    assert_eq!(count, 56);
}

#[test]
fn what_is_said_twice_is_a_fault() {
    let answer = answered(json!(null));
    assert_eq!(
        heard(&["textDocument/hover"], &[answer.clone(), answer]).len(),
        1
    );
    let ask = json!({"jsonrpc": "2.0", "id": 0, "method": "workspace/inlayHint/refresh"});
    assert_eq!(heard(&[], &[ask.clone(), ask]).len(), 1);
    let mut conversation = Conversation::default();
    conversation.received(b"{\"jsonrpc\"");
    assert!(conversation.faults()[0].contains("no JSON"));
}

#[test]
fn what_the_protocol_allows_is_no_fault() {
    let good = [
        ("textDocument/hover", answered(json!(null))),
        ("textDocument/hover", findings(|_| {})),
        (
            "textDocument/foldingRange",
            answered(json!([{"startLine": 1, "endLine": 2, "kind": "verse"}])),
        ),
        (
            "textDocument/signatureHelp",
            answered(json!({"signatures": [{"label": "a", "parameters": [{"label": [0, 1]}]}]})),
        ),
        (
            "horn/unknown",
            refused(json!({"code": -32_601, "message": "no", "data": 1})),
        ),
        (
            "textDocument/hover",
            json!({"jsonrpc": "2.0", "id": null, "error": {"code": -32_700, "message": "what?"}}),
        ),
        (
            "textDocument/hover",
            json!({"jsonrpc": "2.0", "id": "a", "method": "workspace/configuration", "params": {"items": [{"section": "bellhand"}]}}),
        ),
        (
            "workspace/symbol",
            answered(json!([{"name": "a", "kind": 1, "location": {"uri": "a:b"}}])),
        ),
        (
            "telemetry",
            told("telemetry/event", json!({"a": [1, null]})),
        ),
    ];
    for (asked, message) in good {
        assert_eq!(heard(&[asked], &[message]), Vec::<String>::new());
    }
}
