//! What is told of many findings, to whom, and when nothing new is to be said.

use serde_json::{Value, json};

use crate::client::Client;

const URI: &str = "file:///pier/many.abc";

/// A part with a spelling in each of many bars that no player would choose, and one note too low at its end.
fn many(bars: usize) -> String {
    let bar = "^e8 |\n".repeat(bars);
    format!(
        "X:1\nT:Tide Table\nM:4/4\nL:1/8\nK:none\nV:1 name=\"Horn in F\" transpose=-7\n!mf! c8 |\n{bar}C,,,,8 |]\n"
    )
}

fn pulls(told: Value) -> Value {
    json!({"textDocument": {"diagnostic": {}, "publishDiagnostics": told}})
}

fn report(client: &mut Client, previous: Option<&Value>) -> Value {
    let mut params = json!({"textDocument": {"uri": URI}});
    if let Some(previous) = previous {
        params["previousResultId"] = previous.clone();
    }
    client.ask("textDocument/diagnostic", params)
}

fn spaces(client: &mut Client, version: i64, line: usize, add: bool) {
    let start = json!({"line": line, "character": 4});
    let end = if add {
        start.clone()
    } else {
        json!({"line": line, "character": 5})
    };
    let text = if add { " " } else { "" };
    client.change(
        URI,
        version,
        &json!([{"range": {"start": start, "end": end}, "text": text}]),
    );
}

#[test]
fn of_many_findings_the_errors_and_the_nearest_are_told() {
    let (mut client, _) = Client::ready(&pulls(json!({})), &json!({}));
    client.open(URI, &many(1200));
    spaces(&mut client, 2, 700, true);
    let told = report(&mut client, None);
    let items = told["items"].as_array().unwrap();
    assert_eq!(items.len(), 500);
    let last = items.last().unwrap();
    let words = last["message"].as_str().unwrap();
    assert!(words.starts_with("499 of 12"), "{words}");
    assert!(words.contains("bellhand check"), "{words}");
    let lines: Vec<u64> = items[..499]
        .iter()
        .map(|item| item["range"]["start"]["line"].as_u64().unwrap())
        .collect();
    assert!(lines.is_sorted());
    let (errors, others): (Vec<&Value>, Vec<&Value>) =
        items[..499].iter().partition(|item| item["severity"] == 1);
    assert!(!errors.is_empty(), "the note too low is far away and told");
    assert!(
        others.iter().all(|item| {
            let line = item["range"]["start"]["line"].as_u64().unwrap();
            (450..950).contains(&line)
        }),
        "{:?}",
        (lines.first(), lines.last())
    );
}

#[test]
fn what_was_told_already_is_not_told_again() {
    let (mut client, _) = Client::ready(&pulls(json!({})), &json!({}));
    client.open(URI, &many(20));
    let first = report(&mut client, None);
    assert_eq!(first["kind"], "full");
    let id = &first["resultId"];
    // A space behind a bar moves no finding.
    spaces(&mut client, 2, 9, true);
    let same = report(&mut client, Some(id));
    assert_eq!(same, json!({"kind": "unchanged", "resultId": id}));
    client.change(URI, 3, &json!([{"text": many(19)}]));
    let other = report(&mut client, Some(id));
    assert_eq!(other["kind"], "full");
    assert_ne!(&other["resultId"], id);
    client.change(URI, 4, &json!([{"text": many(20)}]));
    assert_eq!(report(&mut client, Some(id))["kind"], "unchanged");
}

#[test]
fn a_client_gets_what_it_takes() {
    let all = json!({
        "relatedInformation": true,
        "codeDescriptionSupport": true,
        "dataSupport": true,
        "tagSupport": {"valueSet": [1, 2]},
    });
    for (takes, wanted) in [(json!({}), false), (all, true)] {
        let (mut client, _) = Client::ready(&pulls(takes), &json!({}));
        client.open(URI, &many(1));
        let told = report(&mut client, None);
        for item in told["items"].as_array().unwrap() {
            assert_eq!(item.get("relatedInformation").is_some(), wanted, "{item}");
            assert_eq!(item.get("data").is_some(), wanted, "{item}");
        }
    }
}

#[test]
fn nobody_asks_before_or_after_the_server_serves() {
    let mut client = Client::start();
    let asked = json!({"textDocument": {"uri": URI}});
    let early = client.begin("textDocument/diagnostic", asked.clone());
    assert_eq!(client.answer(early)["error"]["code"], -32002);
    client.greet(&pulls(json!({})), &json!({}));
    let wrong = client.begin("textDocument/diagnostic", json!({"textDocument": 7}));
    assert_eq!(client.answer(wrong)["error"]["code"], -32602);
    client.ask("shutdown", Value::Null);
    let late = client.begin("textDocument/diagnostic", asked);
    assert_eq!(client.answer(late)["error"]["code"], -32600);
}
