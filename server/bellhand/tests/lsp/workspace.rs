//! Scores that lie in the editor's folders and are not open: found by name, and judged for who asks.

use std::path::Path;

use serde_json::{Value, json};

use crate::client::Client;

const TUNE: &str = "X:1\nT:Gangway\nM:4/4\nL:1/4\nQ:1/4=96\nK:none\nV:1 name=\"Horn 1 in F\" transpose=-7\n!f! c4 | b'4 |]\n";

/// A folder of scores, of which one lies in a folder of its own.
fn folder() -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    let write = |name: &str, text: &str| {
        let path = folder.path().join(name);
        std::fs::create_dir_all(path.parent().unwrap()).unwrap();
        std::fs::write(path, text).unwrap();
    };
    write("gangway.abc", TUNE);
    write(
        "cues/tide.abc",
        &TUNE.replace("Gangway", "Tide Table").replace("b'4", "d4"),
    );
    write("cues/notes.txt", "no score");
    write("broken.krn", "**kern\n*I\"Horn in F\n4q\n*-\n");
    folder
}

fn uri(path: &Path) -> String {
    format!("file://{}", path.display())
}

/// A client in a folder; whether it wants the findings of scores that are not open.
fn ready(folder: &Path, whole: bool) -> (Client, Value) {
    let mut client = Client::start();
    let uri = uri(folder);
    let asked = json!({
        "processId": null,
        "rootUri": uri,
        "workspaceFolders": [{ "uri": uri, "name": "pier" }],
        "capabilities": { "textDocument": { "diagnostic": {} } },
        "initializationOptions": { "wholeFolder": whole },
    });
    let answer = client.ask("initialize", asked);
    client.tell("initialized", json!({}));
    (client, answer)
}

#[test]
fn pieces_and_parts_are_found_by_name_in_the_whole_folder() {
    let folder = folder();
    let (mut client, _) = ready(folder.path(), false);
    let mut names = |query: &str| -> Vec<String> {
        let found = client.ask("workspace/symbol", json!({ "query": query }));
        let found = found.as_array().unwrap().clone();
        found
            .iter()
            .map(|symbol| symbol["name"].as_str().unwrap().to_owned())
            .collect()
    };
    assert_eq!(names("tide"), ["Tide Table"]);
    assert_eq!(names("HORN"), ["Horn in F", "Horn 1 in F", "Horn 1 in F"]);
    assert_eq!(names("oboe"), [] as [String; 0]);
    let found = client.ask("workspace/symbol", json!({ "query": "horn 1" }));
    assert_eq!(found[0]["containerName"], "Tide Table");
    assert_eq!(
        found[0]["location"]["uri"],
        uri(&folder.path().join("cues/tide.abc"))
    );
    assert_eq!(
        found[0]["location"]["range"]["start"],
        json!({ "line": 6, "character": 10 })
    );
    // What is open and not saved is found as it is written, and what has changed on disk as it is now.
    let open = uri(&folder.path().join("gangway.abc"));
    client.open(&open, &TUNE.replace("Gangway", "Ferry Bell"));
    std::fs::write(
        folder.path().join("cues/tide.abc"),
        TUNE.replace("Gangway", "Low Water Mark"),
    )
    .unwrap();
    let found = client.ask("workspace/symbol", json!({ "query": "" }));
    let words = found.to_string();
    for (name, there) in [
        ("Ferry Bell", true),
        ("Gangway", false),
        ("Low Water", true),
        ("Tide", false),
    ] {
        assert_eq!(words.contains(name), there, "{name}: {words}");
    }
}

#[test]
fn scores_that_are_not_open_are_judged_for_who_asks() {
    let folder = folder();
    let (_, plain) = ready(folder.path(), false);
    assert_eq!(
        plain["capabilities"]["diagnosticProvider"]["workspaceDiagnostics"],
        false
    );
    let (mut client, answer) = ready(folder.path(), true);
    assert_eq!(
        answer["capabilities"]["diagnosticProvider"]["workspaceDiagnostics"],
        true
    );
    let asked = json!({ "previousResultIds": [], "workDoneToken": "reading" });
    let report = client.ask("workspace/diagnostic", asked);
    let items = report["items"].as_array().unwrap();
    let of = |items: &[Value], name: &str| {
        let mut items = items.iter();
        items
            .find(|item| item["uri"].as_str().unwrap().ends_with(name))
            .cloned()
    };
    let gangway = of(items, "gangway.abc").unwrap();
    assert_eq!(gangway["kind"], "full");
    assert!(
        gangway["items"].to_string().contains("range/too-high"),
        "{gangway}"
    );
    assert_eq!(of(items, "tide.abc").unwrap()["items"], json!([]));
    assert!(
        of(items, "broken.krn").unwrap()["items"]
            .to_string()
            .contains("text/unreadable")
    );
    assert_eq!(items.len(), 3);
    let shown = client
        .pushed
        .iter()
        .filter(|message| message["method"] == "$/progress");
    let kinds: Vec<&Value> = shown
        .map(|message| &message["params"]["value"]["kind"])
        .collect();
    // Where it takes long, the client is told how far it has come.
    let [begin, between @ .., end] = kinds.as_slice() else {
        panic!("{kinds:?}");
    };
    assert_eq!([begin, end], [&"begin", &"end"]);
    assert!(between.iter().all(|kind| *kind == "report"), "{kinds:?}");
    // The same again is not told twice; what is open has a report of its own.
    let known: Vec<Value> = items
        .iter()
        .map(|item| json!({ "uri": item["uri"], "value": item["resultId"] }))
        .collect();
    client.open(&uri(&folder.path().join("cues/tide.abc")), TUNE);
    let again = client.ask(
        "workspace/diagnostic",
        json!({ "previousResultIds": known }),
    );
    let again = again["items"].as_array().unwrap();
    assert!(
        again.iter().all(|item| item["kind"] == "unchanged"),
        "{again:?}"
    );
    assert_eq!(again.len(), 2);
    // Other settings hold for them, too.
    std::fs::write(
        folder.path().join("bellhand.toml"),
        "[rules]\nrange = \"off\"\n",
    )
    .unwrap();
    let changed =
        json!({ "changes": [{ "uri": uri(&folder.path().join("bellhand.toml")), "type": 1 }] });
    client.tell("workspace/didChangeWatchedFiles", changed);
    let mut quiet = false;
    for _ in 0..200 {
        let now = client.ask("workspace/diagnostic", json!({ "previousResultIds": [] }));
        let now = now["items"].as_array().unwrap().clone();
        quiet = !of(&now, "gangway.abc").unwrap()["items"]
            .to_string()
            .contains("range/too-high");
        if quiet {
            break;
        }
        std::thread::sleep(std::time::Duration::from_millis(25));
    }
    assert!(quiet, "the settings were not looked at again");
}
