//! What stands over each part, and what a client can have done by the server.

use serde_json::{Value, json};

use crate::client::Client;

const TUNE: &str = "X:1\nT:Ferry\nM:4/4\nL:1/4\nQ:1/4=96\nK:none\nV:1 name=\"Horn 1 in F\" transpose=-7\nV:2 name=\"Horn 2 in F\" transpose=-7\nV:1\n!p! c4 | e'4- | e'4 |]\nV:2\n!p! c4 | c4 | c4 |]\n";
const URI: &str = "file:///pier/lens.abc";

fn able() -> Value {
    json!({ "window": { "showDocument": { "support": true } }, "workspace": { "applyEdit": true } })
}

fn ready(capabilities: &Value) -> (Client, Vec<Value>) {
    let (mut client, _) = Client::ready(capabilities, &json!({}));
    client
        .says
        .insert("window/showDocument", json!({ "success": true }));
    client
        .says
        .insert("workspace/applyEdit", json!({ "applied": true }));
    client.open(URI, TUNE);
    let asked = json!({ "textDocument": { "uri": URI } });
    let lenses = client.ask("textDocument/codeLens", asked);
    let lenses = lenses.as_array().unwrap().clone();
    (client, lenses)
}

/// Has a lens do what it does.
fn click(client: &mut Client, lens: &Value) -> Value {
    let command = &lens["command"];
    let asked = json!({ "command": command["command"], "arguments": command["arguments"] });
    let id = client.begin("workspace/executeCommand", asked);
    client.answer(id)
}

#[test]
fn each_part_says_what_it_holds() {
    let (_, lenses) = ready(&able());
    let titles: Vec<&str> = lenses
        .iter()
        .map(|lens| lens["command"]["title"].as_str().unwrap())
        .collect();
    // Written E6 is high for anyone; the second part is a plain one.
    assert!(titles[0].starts_with("2 notes, C5–E6, "), "{titles:?}");
    assert!(titles[0].contains("finding"), "{titles:?}");
    assert_eq!(titles[1..3], ["picture", "write for…"]);
    assert_eq!(titles[3], "3 notes, C5–C5, nothing found");
    let line = |lens: &Value| lens["range"]["start"]["line"].as_u64();
    assert_eq!((line(&lenses[0]), line(&lenses[3])), (Some(6), Some(7)));
    // Where the client cannot be asked to go anywhere the words lead nowhere.
    let (_, plain) = ready(&json!({}));
    assert_eq!(plain[0]["command"]["command"], "");
    assert_eq!(lenses[0]["command"]["command"], "bellhand.goTo");
}

#[test]
fn a_lens_goes_to_the_first_finding() {
    let (mut client, lenses) = ready(&able());
    let done = click(&mut client, &lenses[0]);
    assert_eq!(done["result"], URI, "{done}");
    let shown = client.asked_for("window/showDocument");
    assert_eq!(shown["uri"], URI);
    assert_eq!(shown["selection"]["start"]["line"], 9);
}

#[test]
fn the_picture_is_drawn_into_a_file_and_opened() {
    let (mut client, lenses) = ready(&able());
    let done = click(&mut client, &lenses[1]);
    assert!(done.get("error").is_none(), "{done}");
    let shown = client.asked_for("window/showDocument");
    assert_eq!(shown["external"], true);
    let path = shown["uri"]
        .as_str()
        .unwrap()
        .strip_prefix("file://")
        .unwrap()
        .to_owned();
    let svg = std::fs::read_to_string(&path).unwrap();
    std::fs::remove_file(&path).unwrap();
    assert!(
        svg.starts_with("<svg") && svg.contains("Horn 1 in F"),
        "{svg:.200}"
    );
    // A client that cannot show it is told.
    let (mut plain, lenses) = ready(&json!({}));
    let done = click(&mut plain, &lenses[1]);
    let why = done["error"]["message"].as_str().unwrap();
    assert!(why.contains("cannot be asked to open file://"), "{why}");
}

#[test]
fn a_part_is_written_for_the_horn_that_is_chosen() {
    let (mut client, lenses) = ready(&able());
    client.says.insert(
        "window/showMessageRequest",
        json!({ "title": "horn in E flat" }),
    );
    let done = click(&mut client, &lenses[2]);
    assert_eq!(done["result"], true, "{done}");
    let asked = client.asked_for("window/showMessageRequest");
    assert!(
        asked["message"].as_str().unwrap().contains("Horn 1 in F"),
        "{asked}"
    );
    let edit = client.asked_for("workspace/applyEdit");
    let text = edit.to_string();
    assert!(text.contains("E flat") || text.contains("Eb"), "{text}");
    // Who chooses nothing changes nothing; a client that refuses the edits is believed.
    client.says.insert("window/showMessageRequest", Value::Null);
    assert_eq!(click(&mut client, &lenses[2])["result"], Value::Null);
    client
        .says
        .insert("window/showMessageRequest", json!({ "title": "horn in D" }));
    let refused = json!({ "applied": false, "failureReason": "read-only" });
    client.says.insert("workspace/applyEdit", refused);
    let done = click(&mut client, &lenses[2]);
    assert_eq!(done["error"]["message"], "read-only", "{done}");
}

#[test]
fn a_command_that_is_none_is_refused_with_why() {
    let (mut client, _) = ready(&able());
    for (command, arguments, why) in [
        ("bellhand.sail", json!([]), "no command"),
        ("bellhand.openPicture", json!([]), "argument 1"),
        ("bellhand.openPicture", json!([URI, "x"]), "argument 2"),
        (
            "bellhand.openPicture",
            json!(["file:///none.abc", { "line": 0, "character": 0 }]),
            "not open",
        ),
        (
            "bellhand.writeFor",
            json!([URI, { "line": 0, "character": 0 }]),
            "no horn part",
        ),
        ("bellhand.openRule", json!(["sail/too-high"]), "no rule"),
    ] {
        let asked = json!({ "command": command, "arguments": arguments });
        let id = client.begin("workspace/executeCommand", asked);
        let answer = client.answer(id);
        let said = answer["error"]["message"].as_str().unwrap();
        assert!(said.contains(why), "{command}: {said}");
    }
    let asked = json!({ "command": "bellhand.openRule", "arguments": ["range/too-high"] });
    client.ask("workspace/executeCommand", asked);
    let shown = client.asked_for("window/showDocument");
    assert!(
        shown["uri"]
            .as_str()
            .unwrap()
            .ends_with("range/too-high.md"),
        "{shown}"
    );
}

#[test]
fn where_no_fix_is_possible_the_client_is_told_why() {
    // Tongued faster than anyone can: what to write instead is the composer's choice.
    let tune = "X:1\nM:4/4\nL:1/16\nQ:1/4=240\nK:none\nV:1 name=\"Horn in F\" transpose=-7\n!f! c c c c c c c c c c c c c c c c | b'16 |]\n";
    let disabled = json!({ "textDocument": { "codeAction": { "disabledSupport": true } } });
    for (capabilities, told) in [(disabled, true), (json!({}), false)] {
        let (mut client, _) = Client::ready(&capabilities, &json!({}));
        client.open(URI, tune);
        let found = client.diagnostics(URI, 1);
        assert!(!found.is_empty());
        let whole =
            json!({ "start": { "line": 0, "character": 0 }, "end": { "line": 9, "character": 0 } });
        let asked = json!({ "textDocument": { "uri": URI }, "range": whole, "context": { "diagnostics": [] } });
        let actions = client.ask("textDocument/codeAction", asked);
        let actions = actions.as_array().unwrap();
        let reasons: Vec<&str> = actions
            .iter()
            .filter_map(|action| action["disabled"]["reason"].as_str())
            .collect();
        assert_eq!(!reasons.is_empty(), told, "{actions:#?}");
        assert!(
            reasons
                .iter()
                .all(|reason| reason.contains("musical choice"))
        );
        let able = actions.iter().filter(|action| action["disabled"].is_null());
        assert!(able.count() > 1);
    }
}
