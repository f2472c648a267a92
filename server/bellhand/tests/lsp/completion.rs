//! What is offered while a comment to bellhand is written, in every notation.

use serde_json::{Value, json};

use crate::client::Client;

/// What is offered at the end of a line that is being written.
fn offered(client: &mut Client, uri: &str, line: usize, text: &str) -> Vec<String> {
    let character = text.lines().nth(line).unwrap().encode_utf16().count();
    let at = json!({ "textDocument": { "uri": uri }, "position": { "line": line, "character": character } });
    let items = client.ask("textDocument/completion", at);
    let items = items.as_array().cloned().unwrap_or_default();
    let new = |item: &Value| item["textEdit"]["newText"].as_str().unwrap().to_owned();
    items.iter().map(new).collect()
}

#[test]
fn an_instruction_is_completed_in_every_notation() {
    let (mut client, _) = Client::ready(&json!({}), &json!({}));
    for (language, line, text) in [
        (
            "abc",
            5,
            "X:1\nM:4/4\nL:1/4\nK:none\nV:1 name=\"Horn in F\"\n% bellhand: {}\nc4 |]\n",
        ),
        (
            "kern",
            2,
            "**kern\n*I\"Horn in F\n!! bellhand: {}\n4c\n*-\n",
        ),
        (
            "musicxml",
            1,
            "<score-partwise version=\"4.0\"><part-list><score-part id=\"P1\"><part-name>Horn in F</part-name></score-part></part-list>\n<!-- bellhand: {}\n--><part id=\"P1\"><measure number=\"1\"/></part></score-partwise>\n",
        ),
    ] {
        for (written, wanted) in [
            ("", "expect "),
            ("ignore stopped/too-l", "stopped/too-low"),
            ("only mu", "mute"),
            ("part \"H", "\"Horn in F\""),
            ("part 1 = not", "not a horn"),
        ] {
            let text = text.replace("{}", written);
            let uri = format!("untitled:{language}-{}", written.len());
            let item = json!({ "uri": uri, "languageId": language, "version": 1, "text": text });
            client.tell("textDocument/didOpen", json!({ "textDocument": item }));
            let offers = offered(&mut client, &uri, line, &text);
            assert!(
                offers.contains(&wanted.to_owned()),
                "{language}: {written}: {offers:?}"
            );
        }
        let uri = format!("untitled:{language}-0");
        // In the music nothing is offered.
        assert_eq!(
            offered(&mut client, &uri, 0, &text.replace("{}", "")),
            [] as [String; 0]
        );
    }
}

/// What is offered at a place marked by `…` in a new document: what each is called, and what it writes.
fn offered_at(client: &mut Client, uri: &str, language: &str, marked: &str) -> Vec<Value> {
    let at = marked.find('…').unwrap();
    let before = &marked[..at];
    let line = before.matches('\n').count();
    let column = before.rsplit('\n').next().unwrap().encode_utf16().count();
    let item = json!({ "uri": uri, "languageId": language, "version": 1, "text": marked.replace('…', "") });
    client.tell("textDocument/didOpen", json!({ "textDocument": item }));
    let at = json!({ "textDocument": { "uri": uri }, "position": { "line": line, "character": column } });
    let items = client.ask("textDocument/completion", at);
    items.as_array().cloned().unwrap_or_default()
}

const MUTED: &str = "X:1\nM:4/4\nL:1/4\nQ:1/4=96\nK:none\nV:1 name=\"Horn in F\"\n!p! c4 | Z3 | \"^con sord.\" c4 | Z3 | \"^…\" c4 |]\n";

#[test]
fn words_for_the_player_are_completed_what_fits_first() {
    let (mut client, answer) = Client::ready(&json!({}), &json!({}));
    let triggers = answer["capabilities"]["completionProvider"]["triggerCharacters"].to_string();
    assert!(
        triggers.contains("\\\"") && triggers.contains('!'),
        "{triggers}"
    );
    let items = offered_at(&mut client, "untitled:muted", "abc", MUTED);
    assert_eq!(items[0]["label"], "senza sord.", "{items:?}");
    assert_eq!(items[0]["textEdit"]["newText"], "senza sord.");
    let what = items[0]["documentation"].as_str().unwrap();
    assert!(what.contains("comes out"), "{what}");
    // Among notes nothing is offered.
    let notes = MUTED.replace("\"^…\" c4 |]", "c4…");
    assert_eq!(
        offered_at(&mut client, "untitled:notes", "abc", &notes),
        [] as [Value; 0]
    );
}

#[test]
fn a_new_part_has_places_to_fill_in_where_the_client_knows_them() {
    let able = json!({ "textDocument": { "completion": { "completionItem": { "snippetSupport": true } } } });
    for (capabilities, snippets) in [(able, true), (json!({}), false)] {
        let (mut client, _) = Client::ready(&capabilities, &json!({}));
        for language in ["abc", "kern", "musicxml"] {
            let uri = format!("untitled:new-{language}");
            let items = offered_at(&mut client, &uri, language, "ho…");
            // What has been begun does not begin the label; the client looks for it within.
            let labels: Vec<&str> = items
                .iter()
                .map(|item| item["label"].as_str().unwrap())
                .collect();
            assert!(labels.contains(&"new horn part"), "{language}: {labels:?}");
            let text = items[0]["textEdit"]["newText"].as_str().unwrap();
            assert_eq!(text.contains("${1:"), snippets, "{text}");
            assert_eq!(items[0]["insertTextFormat"] == 2, snippets);
            assert!(
                text.contains("Horn in F") && text.contains("Title"),
                "{text}"
            );
        }
    }
}
