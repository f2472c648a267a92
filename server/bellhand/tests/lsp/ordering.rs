//! Edits and questions in their order: nothing is answered from an old text, nothing out of range.

use serde_json::{Value, json};

use crate::client::{Client, plain};

const URI: &str = "file:///pier/order.abc";

fn tune(note: &str) -> String {
    format!("X:1\nM:4/4\nL:1/4\nK:none\nV:1 name=\"Horn in F\" transpose=-7\n{note} d e f |]\n")
}

#[test]
fn answers_are_never_of_an_old_text() {
    let (mut client, _) = Client::ready(&plain(), &json!({}));
    client.open(URI, &tune("C"));
    let names = ["C", "D", "E", "F", "G", "A", "B"];
    let mut asked = Vec::new();
    for turn in 0..2000 {
        let name = names[turn % names.len()];
        let first =
            json!({"start": {"line": 5, "character": 0}, "end": {"line": 5, "character": 1}});
        client.change(
            URI,
            turn as i64 + 2,
            &json!([{"range": first, "text": name}]),
        );
        let at = json!({"textDocument": {"uri": URI}, "position": {"line": 5, "character": 0}});
        asked.push((client.begin("textDocument/hover", at), name));
    }
    let (mut fresh, mut withdrawn) = (0, 0);
    for (id, name) in asked {
        let answer = client.answer(id);
        if answer["error"]["code"] == -32801 {
            withdrawn += 1;
            continue;
        }
        let words = answer["result"]["contents"]["value"]
            .as_str()
            .unwrap_or_default()
            .to_owned();
        assert!(
            words.contains(&format!("**{name}4** written")),
            "{name}: {answer}"
        );
        fresh += 1;
    }
    assert_eq!(fresh + withdrawn, 2000);
    assert!(fresh > 0, "all {withdrawn} answers were withdrawn");
}

#[test]
fn findings_come_with_the_version_they_are_of() {
    let (mut client, _) = Client::ready(&plain(), &json!({}));
    client.open(URI, &tune("C"));
    assert!(client.diagnostics(URI, 1).is_empty());
    for version in 2..40 {
        let text = if version % 2 == 0 {
            tune("c''")
        } else {
            tune("C")
        };
        client.change(URI, version, &json!([{"text": text}]));
    }
    let last = client.diagnostics(URI, 39);
    assert!(last.is_empty(), "{last:?}");
    client.change(URI, 40, &json!([{"text": tune("c''")}]));
    assert_eq!(client.diagnostics(URI, 40)[0]["code"], "range/too-high");
    client.tell(
        "textDocument/didClose",
        json!({"textDocument": {"uri": URI}}),
    );
    let cleared = client.wait(|message| {
        message["method"] == "textDocument/publishDiagnostics"
            && message["params"]["version"].is_null()
    });
    assert_eq!(cleared["params"]["diagnostics"], json!([]));
}

#[test]
fn findings_asked_for_too_early_are_to_be_asked_for_again() {
    let capabilities = json!({"textDocument": {"diagnostic": {}}});
    let (mut client, _) = Client::ready(&capabilities, &json!({}));
    client.open(URI, &tune("C"));
    let mut asked = Vec::new();
    for turn in 0..200 {
        let name = if turn % 2 == 0 { "c''" } else { "C" };
        client.change(URI, turn + 2, &json!([{"text": tune(name)}]));
        let document = json!({"textDocument": {"uri": URI}});
        asked.push((client.begin("textDocument/diagnostic", document), turn));
    }
    for (id, turn) in asked {
        let answer = client.answer(id);
        if answer.get("error").is_some() {
            assert_eq!(answer["error"]["code"], -32802, "{answer}");
            assert_eq!(answer["error"]["data"], json!({"retriggerRequest": true}));
            assert_ne!(turn, 199, "nothing has changed since the last");
        } else {
            let found = answer["result"]["items"].as_array().unwrap();
            let high = found.iter().any(|item| item["code"] == "range/too-high");
            assert_eq!(high, turn % 2 == 0, "{turn}: {answer}");
        }
    }
}

#[test]
fn a_version_that_goes_back_is_taken_and_told() {
    let (mut client, _) = Client::ready(&plain(), &json!({}));
    client.open(URI, &tune("C"));
    client.change(URI, 9, &json!([{"text": tune("D")}]));
    client.change(URI, 4, &json!([{"text": tune("E")}]));
    let told = client.wait(|message| message["method"] == "window/logMessage");
    let words = told["params"]["message"].as_str().unwrap();
    assert!(
        words.contains("version 4") && words.contains("version 9"),
        "{words}"
    );
    let at = json!({"textDocument": {"uri": URI}, "position": {"line": 5, "character": 0}});
    let hover = client.ask("textDocument/hover", at);
    let words = hover["contents"]["value"].as_str().unwrap();
    assert!(words.contains("**E4** written"), "{words}");
}

#[test]
fn a_notebook_cell_keeps_its_address() {
    let (mut client, _) = Client::ready(&plain(), &json!({}));
    let cell = "notebook-cell:/pier/tunes.book#second";
    client.open(cell, &tune("C"));
    let at = json!({"textDocument": {"uri": cell}, "position": {"line": 5, "character": 0}});
    assert!(client.ask("textDocument/hover", at).is_object());
    assert!(client.diagnostics(cell, 1).is_empty());
}

#[test]
fn places_beyond_the_text_are_held_to_it() {
    let (mut client, _) = Client::ready(&plain(), &json!({}));
    client.open(
        URI,
        "X:1\nT:F\u{e4}hre \u{1f3ba}\nK:none\rV:1 name=\"Horn in F\" transpose=-7\nc",
    );
    let far = json!({"line": 4_000_000, "character": 4_000_000});
    let ranges = [
        json!({"start": far, "end": far}),
        json!({"start": {"line": 1, "character": 900}, "end": {"line": 0, "character": 1}}),
        json!({"start": {"line": 1, "character": 9}, "end": {"line": 1, "character": 9}}),
        json!({"start": {"line": 2, "character": 0}, "end": {"line": 3, "character": 3}}),
    ];
    for (turn, range) in ranges.iter().enumerate() {
        client.change(
            URI,
            turn as i64 + 2,
            &json!([{"range": range, "text": "\u{266d}"}]),
        );
        for method in ["hover", "documentHighlight"] {
            let at = json!({"textDocument": {"uri": URI}, "position": far});
            client.ask(&format!("textDocument/{method}"), at);
        }
        let all =
            json!({"textDocument": {"uri": URI}, "range": range, "context": {"diagnostics": []}});
        client.ask("textDocument/codeAction", all);
        let around = json!({"textDocument": {"uri": URI}, "positions": [far]});
        client.ask("textDocument/selectionRange", around);
    }
    assert!(client.lives());
}

#[test]
fn columns_are_counted_as_agreed() {
    let text = "X:1\nM:4/4\nL:1/4\nK:none\nV:1 name=\"Horn in F\" transpose=-7\n\"^\u{1f3ba} \u{e4}\" c'' d e f |]\n";
    for (encodings, column) in [
        (json!(["utf-16"]), 8),
        (json!(["utf-8", "utf-16"]), 11),
        (Value::Null, 8),
    ] {
        let capabilities = json!({"general": {"positionEncodings": encodings}});
        let (mut client, _) = Client::ready(&capabilities, &json!({}));
        client.open(URI, text);
        let found = client.diagnostics(URI, 1);
        assert_eq!(
            found[0]["range"]["start"],
            json!({"line": 5, "character": column}),
            "{encodings}"
        );
    }
}

#[test]
fn a_question_can_be_taken_back() {
    let (mut client, _) = Client::ready(&plain(), &json!({}));
    client.open(URI, &tune("C"));
    let id = client.begin(
        "textDocument/documentSymbol",
        json!({"textDocument": {"uri": URI}}),
    );
    client.tell("$/cancelRequest", json!({"id": id}));
    let answer = client.answer(id);
    let code = &answer["error"]["code"];
    assert!(
        answer.get("result").is_some() || *code == -32800,
        "{answer}"
    );
    assert!(client.lives());
}
