//! The outline, the legend of colours, and where hints stand.

use serde_json::{Value, json};

use crate::client::{Client, plain};

fn symbols(client: &mut Client, uri: &str, language: &str, text: &str) -> Vec<Value> {
    let item = json!({ "uri": uri, "languageId": language, "version": 1, "text": text });
    client.tell("textDocument/didOpen", json!({ "textDocument": item }));
    let document = json!({ "textDocument": { "uri": uri } });
    let symbols = client.ask("textDocument/documentSymbol", document);
    symbols[0]["children"].as_array().unwrap().clone()
}

/// The first and last line of each part of an outline.
fn lines(symbols: &[Value]) -> Vec<(u64, u64)> {
    let line = |symbol: &Value, end: &str| symbol["range"][end]["line"].as_u64().unwrap();
    let parts = symbols.iter().filter(|symbol| symbol["kind"] == 5);
    parts
        .map(|symbol| (line(symbol, "start"), line(symbol, "end")))
        .collect()
}

const HEAD: &str =
    "X:1\nT:Ferry\nM:4/4\nL:1/4\nK:none\nV:1 name=\"Horn 1 in F\"\nV:2 name=\"Horn 2 in F\"\n";

#[test]
fn parts_of_an_outline_do_not_overlap() {
    let (mut client, _) = Client::ready(&plain(), &json!({}));
    let apart = format!("{HEAD}V:1\nc4 | d4 |\ne4 |]\nV:2\nc4 | d4 |\ne4 |]\n");
    let found = symbols(&mut client, "untitled:apart", "abc", &apart);
    assert_eq!(lines(&found), [(8, 9), (11, 12)]);
    let mixed = format!("{HEAD}[V:1] c4 | d4 |\n[V:2] c4 | d4 |\nP:A\n[V:1] e4 |]\n[V:2] e4 |]\n");
    let found = symbols(&mut client, "untitled:mixed", "abc", &mixed);
    assert_eq!(lines(&found), [(5, 5), (6, 6)]);
    assert!(
        found.iter().any(|symbol| symbol["name"] == "A"),
        "{found:?}"
    );
    let one = "X:1\nT:Ferry\nM:4/4\nL:1/4\nK:none\nV:1 name=\"Horn in F\"\nc4 |\nd4 |]\n";
    assert_eq!(
        lines(&symbols(&mut client, "untitled:one", "abc", one)),
        [(5, 7)]
    );
    let part = |id: &str| {
        let note =
            "<note><pitch><step>C</step><octave>5</octave></pitch><duration>4</duration></note>";
        format!("<part id=\"{id}\">\n<measure number=\"1\">\n{note}\n</measure>\n</part>\n")
    };
    let head = |id: &str| {
        format!("<score-part id=\"{id}\"><part-name>Horn in F</part-name></score-part>\n")
    };
    let list = format!("<part-list>\n{}{}</part-list>\n", head("P1"), head("P2"));
    let xml = format!(
        "<score-partwise version=\"4.0\">\n{list}{}{}</score-partwise>\n",
        part("P1"),
        part("P2")
    );
    let found = lines(&symbols(&mut client, "untitled:xml", "musicxml", &xml));
    assert_eq!(found.len(), 2);
    assert!(found[0].0 > 4 && found[0].1 < found[1].0, "{found:?}");
}

#[test]
fn no_kind_of_token_is_listed_twice() {
    let (_, answer) = Client::ready(&plain(), &json!({}));
    let legend = &answer["capabilities"]["semanticTokensProvider"]["legend"]["tokenTypes"];
    let mut types: Vec<String> = legend
        .as_array()
        .unwrap()
        .iter()
        .map(Value::to_string)
        .collect();
    let listed = types.len();
    types.sort_unstable();
    types.dedup();
    assert_eq!(types.len(), listed, "{legend}");
}

#[test]
fn hints_stand_behind_a_notes_length() {
    let options = json!({ "inlayHints": { "sounding": true } });
    let (mut client, _) = Client::ready(&plain(), &options);
    for (language, text, line, column) in [
        (
            "abc",
            "X:1\nL:1/8\nK:none\nV:1 name=\"Horn in F\" transpose=-7\n_c3/2 d8 |]\n",
            4,
            5,
        ),
        ("kern", "**kern\n*I\"Horn in F\n4.ff#L\n*-\n", 2, 6),
    ] {
        let uri = format!("untitled:hints-{language}");
        let item = json!({ "uri": uri, "languageId": language, "version": 1, "text": text });
        client.tell("textDocument/didOpen", json!({ "textDocument": item }));
        let whole = json!({ "start": { "line": 0, "character": 0 }, "end": { "line": 99, "character": 0 } });
        let asked = json!({ "textDocument": { "uri": uri }, "range": whole });
        let hints = client.ask("textDocument/inlayHint", asked);
        let at = &hints[0]["position"];
        assert_eq!(
            (at["line"].as_u64(), at["character"].as_u64()),
            (Some(line), Some(column)),
            "{language}: {hints}"
        );
    }
}
