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
