//! Parts and marks gone to, gathered and renamed.

use serde_json::{Value, json};

use crate::client::Client;

const TUNE: &str = "X:1\nT:Ferry\nM:4/4\nL:1/4\nQ:1/4=96\nK:none\nV:1 name=\"Horn 1 in F\" transpose=-7\n% bellhand: part \"Horn 1 in F\" = horn in F\nV:1\n!p! c4 | Z3 | \"^con sord.\" c4 | d4 | Z3 | \"^senza sord.\" e4 |]\n";
const URI: &str = "file:///pier/names%20%C3%BC.abc";

/// The place of some words in the tune, and what is asked there.
fn at(words: &str) -> Value {
    let byte = TUNE.find(words).unwrap();
    let line = TUNE[..byte].matches('\n').count();
    let column = byte - TUNE[..byte].rfind('\n').map_or(0, |end| end + 1);
    json!({ "textDocument": { "uri": URI }, "position": { "line": line, "character": column + 1 } })
}

/// What stands at a range of the tune.
fn words(range: &Value) -> String {
    let line = TUNE
        .lines()
        .nth(usize::try_from(range["start"]["line"].as_u64().unwrap()).unwrap())
        .unwrap();
    let column = |end: &str| usize::try_from(range[end]["character"].as_u64().unwrap()).unwrap();
    line[column("start")..column("end")].to_owned()
}

fn ready(capabilities: &Value) -> (Client, Value) {
    let (mut client, answer) = Client::ready(capabilities, &json!({}));
    client.open(URI, TUNE);
    (client, answer)
}

#[test]
fn a_part_is_gone_to_gathered_and_renamed() {
    let able = json!({
        "textDocument": { "rename": { "prepareSupport": true } },
        "workspace": { "workspaceEdit": { "documentChanges": true } },
    });
    let (mut client, answer) = ready(&able);
    assert_eq!(
        answer["capabilities"]["renameProvider"]["prepareProvider"],
        true
    );
    let said = at("Horn 1 in F\" = ");
    let found = client.ask("textDocument/definition", said.clone());
    assert_eq!(found["uri"], URI);
    assert_eq!(found["range"]["start"]["line"], 6);
    let mut with = said.clone();
    with["context"] = json!({ "includeDeclaration": true });
    let all = client.ask("textDocument/references", with.clone());
    let all: Vec<String> = all
        .as_array()
        .unwrap()
        .iter()
        .map(|place| words(&place["range"]))
        .collect();
    assert_eq!(all, ["1", "Horn 1 in F", "Horn 1 in F", "1"]);
    with["context"] = json!({ "includeDeclaration": false });
    let used = client.ask("textDocument/references", with);
    assert_eq!(used.as_array().unwrap().len(), 2, "{used}");
    let lit = client.ask("textDocument/documentHighlight", said.clone());
    assert_eq!(lit.as_array().unwrap().len(), 4, "{lit}");
    let prepared = client.ask("textDocument/prepareRename", said.clone());
    assert_eq!(prepared["placeholder"], "Horn 1 in F");
    let mut named = said;
    named["newName"] = json!("Ferry Horn in F");
    let edit = client.ask("textDocument/rename", named.clone());
    let change = &edit["documentChanges"][0];
    assert_eq!(change["textDocument"], json!({ "uri": URI, "version": 1 }));
    assert_eq!(change["edits"].as_array().unwrap().len(), 2, "{edit}");
    // A name that would move every note is refused, and says what does it instead.
    named["newName"] = json!("Horn 1 in D");
    let id = client.begin("textDocument/rename", named);
    let refused = client.answer(id);
    assert_eq!(refused["error"]["code"], -32803, "{refused}");
    let why = refused["error"]["message"].as_str().unwrap();
    assert!(why.contains("another horn"), "{why}");
    // A note has no name.
    assert_eq!(
        client.ask("textDocument/prepareRename", at("d4 |")),
        Value::Null
    );
}

#[test]
fn formatting_moves_barlines_and_nothing_else() {
    let (mut client, answer) = ready(&json!({}));
    assert_eq!(answer["capabilities"]["documentFormattingProvider"], true);
    let uri = "file:///pier/two.abc";
    let head = "X:1\nM:4/4\nL:1/4\nK:none\nV:1 name=\"Horn 1 in F\"\nV:2 name=\"Horn 2 in F\"\n";
    client.open(
        uri,
        &format!("{head}[V:1] c d e f | z4 |]\n[V:2] C4 | z4 |]\n"),
    );
    let asked = json!({ "textDocument": { "uri": uri }, "options": { "tabSize": 4, "insertSpaces": true } });
    let edits = client.ask("textDocument/formatting", asked);
    let at = |character: u64| json!({ "line": 7, "character": character });
    let range = json!({ "start": at(8), "end": at(9) });
    assert_eq!(edits, json!([{ "range": range, "newText": "      " }]));
}

#[test]
fn a_mark_leads_to_its_notes_and_to_what_takes_it_back() {
    let (mut client, answer) = ready(&json!({}));
    assert_eq!(answer["capabilities"]["renameProvider"], true);
    for (from, to) in [
        ("d4 |", "\"^con sord.\""),
        ("con sord.", "\"^con sord.\""),
        ("senza sord.", "\"^con sord.\""),
    ] {
        let found = client.ask("textDocument/definition", at(from));
        assert_eq!(words(&found["range"]), to, "{from}");
    }
    let mut asked = at("con sord.");
    asked["context"] = json!({ "includeDeclaration": true });
    let all = client.ask("textDocument/references", asked);
    let all: Vec<String> = all
        .as_array()
        .unwrap()
        .iter()
        .map(|place| words(&place["range"]))
        .collect();
    assert_eq!(all, ["\"^con sord.\"", "c4", "d4", "\"^senza sord.\""]);
    let lit = client.ask("textDocument/documentHighlight", at("d4 |"));
    assert_eq!(lit.as_array().unwrap().len(), 4, "{lit}");
    assert_eq!(
        client.ask("textDocument/definition", at("!p! c4")),
        Value::Null
    );
}
