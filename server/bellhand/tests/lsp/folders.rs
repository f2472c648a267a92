//! Workspaces of several folders, each with settings of its own in the editor.

use serde_json::{Value, json};

use crate::client::Client;

const HIGH: &str = "X:1\nM:4/4\nL:1/4\nK:none\nV:1 name=\"Horn in F\" transpose=-7\nc'' d e f |]\n";

const PIER: &str = "file:///ferry/pier";
const QUAY: &str = "file:///ferry/quay";

fn rule(severity: &str) -> Value {
    json!({"rules": {"range/too-high": {"severity": severity}}})
}

fn folder(uri: &str) -> Value {
    json!({"uri": uri, "name": uri})
}

/// An editor with some folders, which answers in turn for all documents and for each folder.
fn editor(folders: &[&str], answers: &[Value]) -> Client {
    let mut client = Client::start();
    client
        .says
        .insert("workspace/configuration", json!(answers));
    let capabilities = json!({"workspace": {
        "configuration": true,
        "workspaceFolders": true,
        "didChangeConfiguration": {"dynamicRegistration": true},
        "inlayHint": {"refreshSupport": true},
    }});
    let folders: Vec<Value> = folders.iter().map(|uri| folder(uri)).collect();
    let answer = client.ask(
        "initialize",
        json!({"processId": null, "rootUri": null, "capabilities": capabilities, "workspaceFolders": folders}),
    );
    let offered = &answer["capabilities"]["workspace"]["workspaceFolders"];
    assert_eq!(
        offered,
        &json!({"supported": true, "changeNotifications": true})
    );
    client.tell("initialized", json!({}));
    client
}

/// The scopes that the server asks for next.
fn scopes(client: &mut Client) -> Vec<Value> {
    let asked = client.asked_for("workspace/configuration");
    let items = asked["items"].as_array().unwrap();
    assert!(items.iter().all(|item| item["section"] == "bellhand"));
    items.iter().map(|item| item["scopeUri"].clone()).collect()
}

/// Waits until the severity of the one finding is this.
fn until(client: &mut Client, uri: &str, severity: &Value) {
    loop {
        let found = client.diagnostics(uri, 1);
        let high = found.iter().find(|item| item["code"] == "range/too-high");
        if high.map_or(&Value::Null, |item| &item["severity"]) == severity {
            return;
        }
    }
}

fn scores() -> [String; 4] {
    [
        format!("{PIER}/a.abc"),
        format!("{QUAY}/deep/b.abc"),
        "file:///ferry/pier-two/c.abc".to_owned(),
        "untitled:d.abc".to_owned(),
    ]
}

#[test]
fn each_folder_is_judged_by_its_own_settings() {
    let answers = [rule("information"), rule("hint"), rule("off")];
    let mut client = editor(&[PIER, QUAY], &answers);
    assert_eq!(scopes(&mut client), [Value::Null, json!(PIER), json!(QUAY)]);
    let [pier, quay, beside, nowhere] = scores();
    for (uri, severity) in [
        (&pier, json!(4)),
        (&quay, Value::Null),
        (&beside, json!(3)),
        (&nowhere, json!(3)),
    ] {
        client.open(uri, HIGH);
        until(&mut client, uri, &severity);
    }

    // What changes in one of them is heard of though the notice speaks of all.
    client.says.insert(
        "workspace/configuration",
        json!([rule("information"), rule("warning"), rule("off")]),
    );
    let settings = json!({"settings": {"bellhand": rule("information")}});
    client.tell("workspace/didChangeConfiguration", settings);
    assert_eq!(scopes(&mut client).len(), 3);
    until(&mut client, &pier, &json!(2));

    // A folder that says nothing is judged as all are.
    client.says.insert(
        "workspace/configuration",
        json!([rule("information"), rule("warning"), null]),
    );
    client.tell(
        "workspace/didChangeConfiguration",
        json!({"settings": null}),
    );
    until(&mut client, &quay, &json!(3));
}

#[test]
fn folders_come_and_go() {
    let mut client = editor(&[PIER], &[rule("information"), rule("hint")]);
    assert_eq!(scopes(&mut client), [Value::Null, json!(PIER)]);
    let [pier, quay, ..] = scores();
    client.open(&pier, HIGH);
    until(&mut client, &pier, &json!(4));
    client.open(&quay, HIGH);
    until(&mut client, &quay, &json!(3));
    client.says.insert(
        "workspace/configuration",
        json!([rule("information"), rule("warning")]),
    );
    client.tell(
        "workspace/didChangeWorkspaceFolders",
        json!({"event": {"added": [folder(QUAY)], "removed": [folder(PIER)]}}),
    );
    assert_eq!(scopes(&mut client), [Value::Null, json!(QUAY)]);
    until(&mut client, &quay, &json!(2));
    until(&mut client, &pier, &json!(3));
}

#[test]
fn a_file_leaves_nothing_of_a_folders_settings() {
    let house = tempfile::tempdir().unwrap();
    std::fs::write(house.path().join("bellhand.toml"), "").unwrap();
    let folder = format!("file://{}", house.path().display());
    let mut client = editor(&[&folder], &[Value::Null, rule("hint")]);
    scopes(&mut client);
    let score = format!("{folder}/a.abc");
    client.open(&score, HIGH);
    until(&mut client, &score, &json!(1));
}

#[test]
fn a_problem_is_told_with_its_folder_and_only_once() {
    let loud = json!({"level": "loud"});
    let mut client = editor(
        &[PIER, QUAY],
        &[rule("information"), loud, rule("information")],
    );
    scopes(&mut client);
    let [pier, quay, ..] = scores();
    client.open(&pier, HIGH);
    client.open(&quay, HIGH);
    let told = client.wait(|message| message["method"] == "window/showMessage");
    let words = told["params"]["message"].as_str().unwrap();
    assert!(
        words.starts_with(&format!("in {PIER}: bellhand.level: ")),
        "{words}"
    );
    until(&mut client, &quay, &json!(3));
    assert!(client.lives());
    let again = |message: &Value| message["method"] == "window/showMessage";
    assert!(!client.pushed.iter().any(again));
}

#[test]
fn sounding_pitches_are_shown_where_the_folder_wants_them() {
    let shown = |sounding: bool| json!({"inlayHints": {"sounding": sounding}});
    let mut client = editor(&[PIER, QUAY], &[shown(false), shown(true), shown(false)]);
    scopes(&mut client);
    client.asked_for("workspace/inlayHint/refresh");
    let [pier, quay, ..] = scores();
    let mut hints = |uri: &str| {
        client.open(uri, HIGH);
        let whole =
            json!({"start": {"line": 0, "character": 0}, "end": {"line": 9, "character": 0}});
        let asked = json!({"textDocument": {"uri": uri}, "range": whole});
        client.ask("textDocument/inlayHint", asked)
    };
    assert_eq!(hints(&pier).as_array().map(Vec::len), Some(4));
    assert!(hints(&quay).is_null());
}
