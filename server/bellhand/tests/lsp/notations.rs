//! The same answers in every notation: findings, hover, fixes, typing.

use std::path::Path;

use serde_json::{Value, json};

use crate::client::{Client, plain};

fn score(path: &str) -> String {
    let scores = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../tests/scores");
    std::fs::read_to_string(scores.join(path)).unwrap()
}

/// Opens a score, and gives back its findings.
fn opened(client: &mut Client, uri: &str, language: &str, text: &str) -> Vec<Value> {
    let item = json!({"uri": uri, "languageId": language, "version": 1, "text": text});
    client.tell("textDocument/didOpen", json!({"textDocument": item}));
    client.diagnostics(uri, 1)
}

/// The hover on the first note that the outline of hints shows.
fn first_note(client: &mut Client, uri: &str) -> (Value, String) {
    let whole =
        json!({"start": {"line": 0, "character": 0}, "end": {"line": 99_999, "character": 0}});
    let asked = json!({"textDocument": {"uri": uri}, "range": whole});
    let hints = client.ask("textDocument/inlayHint", asked);
    let end = hints[0]["position"].clone();
    let at = json!({"line": end["line"], "character": end["character"].as_u64().unwrap() - 1});
    let asked = json!({"textDocument": {"uri": uri}, "position": at});
    let hover = client.ask("textDocument/hover", asked);
    let sounding = hints[0]["label"].as_str().unwrap().to_owned();
    let words = hover["contents"]["value"].as_str().unwrap_or_default();
    assert!(
        words.contains(&format!("**{sounding}**")),
        "{sounding}: {words}"
    );
    (at, sounding)
}

#[test]
fn a_score_in_music_xml() {
    let uri = "file:///pier/haydn.musicxml";
    let (mut client, _) = Client::ready(&plain(), &json!({"inlayHints": {"sounding": true}}));
    let text = score("musicxml/Haydn_104_1.horns.musicxml");
    let found = opened(&mut client, uri, "musicxml", &text);
    let rules: Vec<&str> = found.iter().map(|d| d["code"].as_str().unwrap()).collect();
    assert!(rules.contains(&"notation/key-signature"), "{rules:?}");
    first_note(&mut client, uri);
    let whole =
        json!({"start": {"line": 0, "character": 0}, "end": {"line": 99_999, "character": 0}});
    let asked = json!({
        "textDocument": {"uri": uri},
        "range": whole,
        "context": {"diagnostics": [], "only": ["source.fixAll.bellhand"]},
    });
    let all = client.ask("textDocument/codeAction", asked);
    let edits = all[0]["edit"]["changes"][uri].as_array().unwrap().len();
    assert!(edits > 0, "{all}");
    // A broken measure is told, and the next keystroke fixes it.
    let line = text
        .lines()
        .position(|line| line.contains("<note"))
        .unwrap();
    let range =
        json!({"start": {"line": line, "character": 0}, "end": {"line": line, "character": 0}});
    client.change(uri, 2, &json!([{"range": range, "text": "<"}]));
    let broken = client.diagnostics(uri, 2);
    assert!(
        broken.iter().any(|d| d["code"] == "text/unreadable"),
        "{broken:?}"
    );
    let typed =
        json!({"start": {"line": line, "character": 0}, "end": {"line": line, "character": 1}});
    client.change(uri, 3, &json!([{"range": typed, "text": ""}]));
    assert_eq!(client.diagnostics(uri, 3).len(), found.len());
}

#[test]
fn a_score_in_humdrum() {
    let uri = "file:///pier/pleyel.krn";
    let (mut client, _) = Client::ready(&plain(), &json!({"inlayHints": {"sounding": true}}));
    let name = "kern/pl-sa-93-a-ii-33-001-001_pleyel-ignace-grande-sinfonie-in-d-allegro-mo.krn";
    let text = score(name);
    let found = opened(&mut client, uri, "kern", &text);
    let (at, sounding) = first_note(&mut client, uri);
    let document = json!({"textDocument": {"uri": uri}});
    let symbols = client.ask("textDocument/documentSymbol", document.clone());
    let details = symbols[0]["children"].to_string();
    assert!(details.contains("horn in D"), "{details}");
    let tokens = client.ask("textDocument/semanticTokens/full", document);
    assert!(tokens["data"].as_array().unwrap().len() > 1000);
    // A comment line above everything moves all places down by one.
    let top = json!({"start": {"line": 0, "character": 0}, "end": {"line": 0, "character": 0}});
    client.change(
        uri,
        2,
        &json!([{"range": top, "text": "!! seen from the pier\n"}]),
    );
    assert_eq!(client.diagnostics(uri, 2).len(), found.len());
    let (after, still) = first_note(&mut client, uri);
    assert_eq!(still, sounding);
    assert_eq!(
        after["line"].as_u64(),
        at["line"].as_u64().map(|line| line + 1)
    );
}
