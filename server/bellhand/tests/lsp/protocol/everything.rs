//! A conversation about all that the server offers, so that the check has seen each kind of answer.

use serde_json::{Value, json};

use crate::client::Client;

#[test]
fn all_that_the_server_offers_is_asked_and_checked() {
    let capabilities = json!({
        "workspace": {
            "didChangeWatchedFiles": {"dynamicRegistration": true},
            "didChangeConfiguration": {"dynamicRegistration": true},
            "configuration": true,
            "diagnostics": {"refreshSupport": true},
            "inlayHint": {"refreshSupport": true},
            "workspaceEdit": {"documentChanges": true},
        },
        "window": {"showDocument": {"support": true}},
        "textDocument": {
            "diagnostic": {},
            "publishDiagnostics": {
                "relatedInformation": true,
                "codeDescriptionSupport": true,
                "dataSupport": true,
                "tagSupport": {"valueSet": [1, 2]},
            },
            "codeAction": {"dataSupport": true, "resolveSupport": {"properties": ["edit"]}},
        },
    });
    let demo = include_str!("../../../../../tests/demo/evening-ferry.abc");
    let uri = "file:///pier/evening-ferry.abc";
    let (mut client, answer) =
        Client::ready(&capabilities, &json!({"inlayHints": {"sounding": true}}));
    client
        .says
        .insert("window/showDocument", json!({"success": true}));
    let scores = concat!(
        "file://",
        env!("CARGO_MANIFEST_DIR"),
        "/../../tests/demo/house"
    );
    let added = json!({"added": [{"uri": scores, "name": "house"}], "removed": []});
    client.tell(
        "workspace/didChangeWorkspaceFolders",
        json!({"event": added}),
    );
    client.open(uri, demo);
    let document = json!({"uri": uri});
    let lines = demo.lines().count();
    let whole =
        json!({"start": {"line": 0, "character": 0}, "end": {"line": lines, "character": 0}});
    let line = demo
        .lines()
        .position(|line| line.contains("D2 C B,"))
        .unwrap();
    let at = json!({"line": line, "character": demo.lines().nth(line).unwrap().find("D2 C B,").unwrap()});
    let named = demo
        .lines()
        .position(|line| line.starts_with("V:2 name"))
        .unwrap();
    let name = json!({"line": named, "character": "V:2 name=\"Ho".len()});
    let everywhere = json!({"textDocument": document});
    let here = json!({"textDocument": document, "position": at});
    let over = json!({"textDocument": document, "range": whole});
    let folder = tempfile::tempdir().unwrap();
    let settings = folder.path().join("bellhand.toml");
    std::fs::write(&settings, "le").unwrap();
    let in_settings = json!({
        "textDocument": {"uri": format!("file://{}", settings.display())},
        "position": {"line": 0, "character": 2},
    });
    let asked = [
        ("hoverProvider", "textDocument/hover", here.clone()),
        ("completionProvider", "textDocument/completion", in_settings),
        (
            "codeActionProvider",
            "textDocument/codeAction",
            json!({"textDocument": document, "range": whole, "context": {"diagnostics": []}}),
        ),
        (
            "diagnosticProvider",
            "textDocument/diagnostic",
            everywhere.clone(),
        ),
        ("inlayHintProvider", "textDocument/inlayHint", over.clone()),
        (
            "documentSymbolProvider",
            "textDocument/documentSymbol",
            everywhere.clone(),
        ),
        (
            "documentHighlightProvider",
            "textDocument/documentHighlight",
            here.clone(),
        ),
        (
            "codeLensProvider",
            "textDocument/codeLens",
            everywhere.clone(),
        ),
        (
            "executeCommandProvider",
            "workspace/executeCommand",
            json!({"command": "bellhand.openRule", "arguments": ["range/too-high"]}),
        ),
        (
            "documentFormattingProvider",
            "textDocument/formatting",
            json!({"textDocument": document, "options": {"tabSize": 4, "insertSpaces": true}}),
        ),
        (
            "workspaceSymbolProvider",
            "workspace/symbol",
            json!({"query": "gangway"}),
        ),
        (
            "definitionProvider",
            "textDocument/definition",
            here.clone(),
        ),
        (
            "referencesProvider",
            "textDocument/references",
            json!({"textDocument": document, "position": at, "context": {"includeDeclaration": true}}),
        ),
        (
            "renameProvider",
            "textDocument/rename",
            json!({"textDocument": document, "position": name, "newName": "Low Horn in F"}),
        ),
        (
            "foldingRangeProvider",
            "textDocument/foldingRange",
            everywhere.clone(),
        ),
        (
            "selectionRangeProvider",
            "textDocument/selectionRange",
            json!({"textDocument": document, "positions": [at]}),
        ),
        (
            "semanticTokensProvider",
            "textDocument/semanticTokens/full",
            everywhere,
        ),
        (
            "semanticTokensProvider",
            "textDocument/semanticTokens/range",
            over,
        ),
        ("experimental", "bellhand/picture", here.clone()),
        ("experimental", "bellhand/sound", here.clone()),
        ("experimental", "bellhand/lines", here.clone()),
        ("experimental", "bellhand/status", here),
    ];
    let offered = answer["capabilities"].as_object().unwrap();
    for name in offered.keys() {
        let is_asked = asked.iter().any(|(provider, _, _)| provider == name);
        let is_no_question =
            ["positionEncoding", "textDocumentSync", "workspace"].contains(&name.as_str());
        assert!(
            is_asked || is_no_question,
            "{name} is offered and not asked"
        );
    }
    for (provider, method, params) in asked {
        assert!(offered.contains_key(provider), "{provider}");
        let answer = client.ask(method, params);
        let empty = answer.as_array().is_some_and(Vec::is_empty);
        assert!(!answer.is_null() && !empty, "{method}: {answer}");
        if method == "textDocument/codeAction" {
            let promised = answer.as_array().unwrap().iter();
            let late = promised.filter(|action| action.get("data").is_some());
            for action in late.cloned().collect::<Vec<_>>() {
                client.ask("codeAction/resolve", action);
            }
        }
        let checked = client
            .conversation()
            .counted()
            .contains_key(&format!("{method}, answer"));
        assert!(checked, "{method}");
    }
    client.asked_for("client/registerCapability");
    client.ask("shutdown", Value::Null);
    let conversation = client.conversation();
    let kinds = conversation.counted();
    println!(
        "{} messages of {} kinds",
        kinds.values().sum::<usize>(),
        kinds.len()
    );
    assert!(kinds.len() >= 16, "{kinds:?}");
    assert_eq!(conversation.faults(), [""; 0]);
}
