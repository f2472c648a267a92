//! Settings files and the editor's own settings: found, told when broken, looked at again.

use std::path::Path;

use serde_json::{Value, json};

use crate::client::{Client, plain};

const HIGH: &str = "X:1\nM:4/4\nL:1/4\nK:none\nV:1 name=\"Horn in F\" transpose=-7\nc'' d e f |]\n";

fn uri(folder: &Path, name: &str) -> String {
    format!("file://{}/{name}", folder.display())
}

fn too_high(found: &[Value]) -> bool {
    found.iter().any(|item| item["code"] == "range/too-high")
}

fn write(folder: &Path, settings: &str) {
    std::fs::write(folder.join("bellhand.toml"), settings).unwrap();
}

#[test]
fn a_broken_file_is_told_once_and_fixed_on_saving() {
    let folder = tempfile::tempdir().unwrap();
    write(folder.path(), "level = \"loud\"\n");
    let (mut client, _) = Client::ready(&plain(), &json!({}));
    let (first, second) = (uri(folder.path(), "a.abc"), uri(folder.path(), "b.abc"));
    client.open(&first, HIGH);
    let told = client.wait(|message| message["method"] == "window/showMessage");
    let words = told["params"]["message"].as_str().unwrap();
    assert!(
        words.contains("bellhand.toml:1:") && words.contains("level"),
        "{words}"
    );
    assert!(
        too_high(&client.diagnostics(&first, 1)),
        "the defaults hold"
    );
    client.open(&second, HIGH);
    assert!(too_high(&client.diagnostics(&second, 1)));
    let again = client
        .pushed
        .iter()
        .any(|message| message["method"] == "window/showMessage");
    assert!(!again, "told once");

    write(folder.path(), "[rules]\n\"range/too-high\" = \"off\"\n");
    client.tell(
        "textDocument/didSave",
        json!({"textDocument": {"uri": first}}),
    );
    assert!(!too_high(&client.diagnostics(&first, 1)));
    assert!(!too_high(&client.diagnostics(&second, 1)));
}

#[test]
fn a_client_that_asks_is_told_to_ask_again() {
    let folder = tempfile::tempdir().unwrap();
    let capabilities = json!({
        "workspace": {
            "diagnostics": {"refreshSupport": true},
            "didChangeWatchedFiles": {"dynamicRegistration": true},
        },
        "textDocument": {"diagnostic": {}},
    });
    let (mut client, _) = Client::ready(&capabilities, &json!({}));
    let registered = client.asked_for("client/registerCapability");
    let registered = registered["registrations"].as_array().unwrap();
    assert_eq!(registered.len(), 1, "{registered:?}");
    assert_eq!(registered[0]["method"], "workspace/didChangeWatchedFiles");

    let score = uri(folder.path(), "a.abc");
    client.open(&score, HIGH);
    let document = json!({"textDocument": {"uri": score}});
    let before = client.ask("textDocument/diagnostic", document.clone());
    assert!(too_high(before["items"].as_array().unwrap()));

    // A save that changes no settings judges nothing again.
    client.tell("textDocument/didSave", document);
    assert!(client.lives());
    let previous = json!({"textDocument": {"uri": score}, "previousResultId": before["resultId"]});
    let same = client.ask("textDocument/diagnostic", previous.clone());
    assert_eq!(same["kind"], "unchanged");

    write(folder.path(), "[rules]\n\"range/too-high\" = \"off\"\n");
    let changes = json!([{"uri": uri(folder.path(), "bellhand.toml"), "type": 1}]);
    client.tell(
        "workspace/didChangeWatchedFiles",
        json!({"changes": changes}),
    );
    client.asked_for("workspace/diagnostic/refresh");
    let after = client.ask("textDocument/diagnostic", previous);
    assert_eq!(after["kind"], "full");
    assert!(!too_high(after["items"].as_array().unwrap()));
}

#[test]
fn the_editor_says_whether_sounds_are_shown() {
    let capabilities = json!({"workspace": {
        "configuration": true,
        "didChangeConfiguration": {"dynamicRegistration": true},
        "inlayHint": {"refreshSupport": true},
    }});
    let mut client = Client::start();
    let shown = |sounding: bool| json!([{"inlayHints": {"sounding": sounding}}]);
    client.says.insert("workspace/configuration", shown(true));
    client.greet(&capabilities, &json!({}));
    assert_eq!(
        client.asked_for("workspace/configuration")["items"][0]["section"],
        "bellhand"
    );
    client.asked_for("workspace/inlayHint/refresh");
    let score = "file:///pier/hints.abc";
    client.open(score, HIGH);
    let whole = json!({"start": {"line": 0, "character": 0}, "end": {"line": 9, "character": 0}});
    let hints = json!({"textDocument": {"uri": score}, "range": whole});
    let first = client.ask("textDocument/inlayHint", hints.clone());
    assert_eq!(first.as_array().unwrap().len(), 4, "{first}");

    // Handed over with the notice, or asked for after it.
    let settings = json!({"settings": {"bellhand": {"inlayHints": {"sounding": false}}}});
    client.tell("workspace/didChangeConfiguration", settings);
    client.asked_for("workspace/inlayHint/refresh");
    assert!(
        client
            .ask("textDocument/inlayHint", hints.clone())
            .is_null()
    );
    client.tell(
        "workspace/didChangeConfiguration",
        json!({"settings": null}),
    );
    client.asked_for("workspace/inlayHint/refresh");
    assert!(client.ask("textDocument/inlayHint", hints).is_array());
}

#[test]
fn the_editor_says_how_to_judge_where_there_is_no_file() {
    let folder = tempfile::tempdir().unwrap();
    let off = json!({"rules": {"range/too-high": "off"}});
    let (mut client, _) = Client::ready(&plain(), &off);
    let score = uri(folder.path(), "a.abc");
    client.open(&score, HIGH);
    assert!(!too_high(&client.diagnostics(&score, 1)));
    // Handed over anew.
    let say = |client: &mut Client, own: Value| {
        let settings = json!({"settings": {"bellhand": own}});
        client.tell("workspace/didChangeConfiguration", settings);
    };
    say(
        &mut client,
        json!({"path": "", "rules": {"range/too-high": {"severity": "hint"}}}),
    );
    let found = client.diagnostics(&score, 1);
    let mild = found.iter().find(|item| item["code"] == "range/too-high");
    assert_eq!(mild.unwrap()["severity"], 4);
    // A problem is told with the way to it, and judges nobody anew.
    say(
        &mut client,
        json!({"rules": {"range/too-high": {"severty": "off"}}}),
    );
    let told = client.wait(|message| message["method"] == "window/showMessage");
    let words = told["params"]["message"].as_str().unwrap();
    assert!(
        words.starts_with("bellhand.rules.range/too-high.severty: "),
        "{words}"
    );
    assert!(client.lives());
    let pushed = "textDocument/publishDiagnostics";
    assert!(
        !client
            .pushed
            .iter()
            .any(|message| message["method"] == pushed)
    );
    // A file is the whole house's word: nothing of the editor's is left.
    say(&mut client, off);
    assert!(!too_high(&client.diagnostics(&score, 1)));
    write(folder.path(), "level = \"professional\"\n");
    client.tell(
        "textDocument/didSave",
        json!({"textDocument": {"uri": score}}),
    );
    assert!(too_high(&client.diagnostics(&score, 1)));
}

#[test]
fn what_the_house_plays_on_is_said_at_the_note() {
    let folder = tempfile::tempdir().unwrap();
    write(folder.path(), "instrument = \"single B flat\"\n");
    let (mut client, _) = Client::ready(&plain(), &json!({}));
    let file = uri(folder.path(), "a.abc");
    let text = "X:1\nM:4/4\nL:1/4\nK:none\nV:1 name=\"Horn in F\" transpose=-7\n\"^stopped\" c2 \"^open\" G,2 |]\n";
    client.open(&file, text);
    let found = client.diagnostics(&file, 1);
    let told = |code: &str| found.iter().any(|item| item["code"] == code);
    assert!(told("stopped/single-b-flat"), "{found:?}");
    let mut hover = |column: usize| {
        let at = json!({"line": 5, "character": column});
        let asked = json!({"textDocument": {"uri": file}, "position": at});
        client.ask("textDocument/hover", asked)["contents"]["value"]
            .as_str()
            .unwrap_or_default()
            .to_owned()
    };
    let line = text.lines().nth(5).unwrap();
    let mark = hover(line.find("stopped").unwrap());
    assert!(mark.contains("only a stopping valve"), "{mark}");
    let stopped = hover(line.find("c2").unwrap());
    assert!(
        stopped.contains("stopped with a stopping valve, as the open note: B♭ side open (0)"),
        "{stopped}"
    );
    let open = hover(line.find("G,2").unwrap());
    assert!(
        open.contains("fingered on the single B♭ horn: B♭ side 13"),
        "{open}"
    );
}

#[test]
fn hover_says_which_player_of_a_staff_is_meant() {
    let folder = tempfile::tempdir().unwrap();
    let (mut client, _) = Client::ready(&plain(), &json!({}));
    let file = uri(folder.path(), "a.abc");
    let text = "X:1\nM:4/4\nL:1/4\nK:none\nV:1 name=\"Horns 1.2. in F\" transpose=-7\n\"^1. con sord.\" [ce]2 \"^a2\" g2 |]\n";
    client.open(&file, text);
    client.diagnostics(&file, 1);
    let mut hover = |column: usize| {
        let at = json!({"line": 5, "character": column});
        let asked = json!({"textDocument": {"uri": file}, "position": at});
        client.ask("textDocument/hover", asked)["contents"]["value"]
            .as_str()
            .unwrap_or_default()
            .to_owned()
    };
    let line = text.lines().nth(5).unwrap();
    let mark = hover(line.find("con sord").unwrap());
    assert!(mark.starts_with("player 1: **Mute in**"), "{mark}");
    let upper = hover(line.find("e]").unwrap());
    assert!(upper.contains("for player 1"), "{upper}");
    assert!(upper.contains("played muted"), "{upper}");
    let both = hover(line.find("g2").unwrap());
    for words in [
        "for players 1 and 2",
        "player 1: played muted",
        "player 2: played open",
    ] {
        assert!(both.contains(words), "{words}: {both}");
    }
}

/// What is pushed of a file next.
fn pushed(client: &mut Client, of: &str) -> Vec<Value> {
    let told = client.wait(|message| {
        message["method"] == "textDocument/publishDiagnostics" && message["params"]["uri"] == of
    });
    told["params"]["diagnostics"].as_array().unwrap().clone()
}

#[test]
fn problems_are_published_in_the_file_and_what_held_before_holds_on() {
    let folder = tempfile::tempdir().unwrap();
    let house = folder.path().join("house.toml");
    std::fs::write(&house, "[rules]\n\"range/too-high\" = \"hint\"\n").unwrap();
    write(folder.path(), "extend = \"house.toml\"\n");
    let (mut client, _) = Client::ready(&plain(), &json!({}));
    let score = uri(folder.path(), "a.abc");
    client.open(&score, HIGH);
    let severity = |found: &[Value]| {
        let high = found.iter().find(|item| item["code"] == "range/too-high");
        high.map(|item| item["severity"].clone())
    };
    assert_eq!(severity(&client.diagnostics(&score, 1)), Some(json!(4)));

    let save = |client: &mut Client| {
        client.tell(
            "textDocument/didSave",
            json!({"textDocument": {"uri": score}}),
        );
    };
    std::fs::write(
        &house,
        "levle = \"student\"\n[rules]\n\"range/too-hihg\" = \"off\"\n",
    )
    .unwrap();
    save(&mut client);
    let of = uri(folder.path(), "house.toml");
    let problems = pushed(&mut client, &of);
    assert_eq!(problems.len(), 2, "{problems:?}");
    assert_eq!(
        problems[1]["range"]["start"],
        json!({"line": 2, "character": 0})
    );
    let words = problems[1]["message"].as_str().unwrap();
    assert!(words.contains("did you mean `range/too-high`?"), "{words}");
    // The same again says nothing new.
    save(&mut client);
    assert!(client.lives());
    let again = |message: &Value| message["method"] == "textDocument/publishDiagnostics";
    assert!(!client.pushed.iter().any(again), "{:?}", client.pushed);

    std::fs::write(&house, "[rules]\n\"range/too-high\" = \"error\"\n").unwrap();
    save(&mut client);
    assert_eq!(pushed(&mut client, &of), Vec::<Value>::new());
    assert_eq!(severity(&client.diagnostics(&score, 1)), Some(json!(1)));
}

#[test]
fn a_settings_file_is_judged_and_completed_as_it_is_written() {
    let folder = tempfile::tempdir().unwrap();
    write(folder.path(), "level = \"professional\"\n");
    let (mut client, _) = Client::ready(&plain(), &json!({}));
    let score = uri(folder.path(), "a.abc");
    client.open(&score, HIGH);
    assert!(too_high(&client.diagnostics(&score, 1)));
    let settings = uri(folder.path(), "bellhand.toml");
    let item = json!({"uri": settings, "languageId": "toml", "version": 1, "text": "level = \"professional\"\n"});
    client.tell("textDocument/didOpen", json!({"textDocument": item}));
    // Typed and not saved: a problem is told there, and nobody is judged by it.
    let put = |client: &mut Client, version: i64, text: &str| {
        let at = json!({"line": 1, "character": 0});
        let range = json!({"start": at, "end": {"line": 9, "character": 0}});
        client.change(&settings, version, &json!([{"range": range, "text": text}]));
    };
    put(&mut client, 2, "[rules]\n\"range/too-hihg\" = \"off\"\n");
    let problems = pushed(&mut client, &settings);
    assert_eq!(problems.len(), 1, "{problems:?}");
    let asked = json!({"textDocument": {"uri": settings}, "range": problems[0]["range"], "context": {"diagnostics": problems}});
    let actions = client.ask("textDocument/codeAction", asked);
    let edits = &actions[0]["edit"]["changes"][&settings];
    assert_eq!(edits[0]["newText"], "\"range/too-high\"", "{actions}");
    put(&mut client, 3, "[rules]\n\"range/too-high\" = \"off\"\n");
    assert_eq!(pushed(&mut client, &settings), Vec::<Value>::new());
    assert!(!too_high(&client.diagnostics(&score, 1)));
    // What can stand there is offered.
    let at = json!({"textDocument": {"uri": settings}, "position": {"line": 2, "character": 20}});
    let offers = client.ask("textDocument/completion", at);
    let labels: Vec<_> = offers
        .as_array()
        .unwrap()
        .iter()
        .map(|item| item["label"].as_str().unwrap())
        .collect();
    assert!(labels.contains(&"\"off\""), "{labels:?}");
    let elsewhere =
        json!({"textDocument": {"uri": score}, "position": {"line": 0, "character": 0}});
    assert_eq!(
        client.ask("textDocument/completion", elsewhere),
        Value::Null
    );
    // Closed without saving, the file counts again.
    client.tell(
        "textDocument/didClose",
        json!({"textDocument": {"uri": settings}}),
    );
    assert!(too_high(&client.diagnostics(&score, 1)));
}

#[test]
fn a_settings_file_is_looked_at_though_no_score_is_open() {
    let folder = tempfile::tempdir().unwrap();
    write(folder.path(), "");
    let (mut client, _) = Client::ready(&plain(), &json!({}));
    let settings = uri(folder.path(), "bellhand.toml");
    let item = json!({"uri": settings, "languageId": "toml", "version": 1, "text": "levle = \"student\"\n"});
    client.tell("textDocument/didOpen", json!({"textDocument": item}));
    assert_eq!(pushed(&mut client, &settings).len(), 1);
    client.tell(
        "textDocument/didClose",
        json!({"textDocument": {"uri": settings}}),
    );
    assert_eq!(pushed(&mut client, &settings), Vec::<Value>::new());
}

#[test]
fn a_findings_hover_says_what_is_set_and_where() {
    let folder = tempfile::tempdir().unwrap();
    write(
        folder.path(),
        "[rules]\n\"range/too-high\" = { severity = \"information\", highest = \"B4\" }\n",
    );
    let score = uri(folder.path(), "a (1).abc");
    let hover = |client: &mut Client| {
        let at = json!({"line": 5, "character": 0});
        let asked = json!({"textDocument": {"uri": score}, "position": at});
        loop {
            // While settings change under it, a request is refused and made again.
            let id = client.begin("textDocument/hover", asked.clone());
            let answer = client.answer(id);
            if answer.get("error").is_none() {
                let words = answer["result"]["contents"]["value"].as_str();
                return words.unwrap_or_default().to_owned();
            }
        }
    };
    let capabilities = json!({"textDocument": {"hover": {"contentFormat": ["plaintext"]}}});
    let (mut client, _) = Client::ready(&capabilities, &json!({}));
    client.open(&score, HIGH);
    let said = hover(&mut client);
    assert!(
        said.ends_with(
            "\n\nrange/too-high: severity information: bellhand.toml line 2; highest B4: bellhand.toml line 2"
        ),
        "{said}"
    );
    assert!(said.contains("sounds"), "{said}");

    let (mut client, _) = Client::ready(&plain(), &json!({"rules": {"range": "hint"}}));
    client.open(&score, HIGH);
    let said = hover(&mut client);
    let link = format!(
        "[bellhand.toml line 2](file://{}/bellhand.toml#L2)",
        folder.path().display()
    );
    assert!(
        said.ends_with(&format!(
            "\n\n*range/too-high*: severity information: {link}; highest B4: {link}"
        )),
        "{said}"
    );
    // A line that moves is not left behind, though nothing is judged anew.
    write(
        folder.path(),
        "# for the ferry\n\n[rules]\n\"range/too-high\" = { highest = \"B4\" }\nrange = \"information\"\n",
    );
    let saved = json!({"textDocument": {"uri": score}});
    client.tell("textDocument/didSave", saved.clone());
    assert!(client.lives());
    let mut said = hover(&mut client);
    // What the notice brings about may come behind the answer.
    while !said.contains("highest B4: [bellhand.toml line 4]") {
        said = hover(&mut client);
    }
    assert!(
        said.contains("severity information: [bellhand.toml line 5]"),
        "{said}"
    );
    // What the editor says has no line, and what is as it is by default is not told.
    std::fs::remove_file(folder.path().join("bellhand.toml")).unwrap();
    client.tell("textDocument/didSave", saved);
    while !said.ends_with("*range/too-high*: severity hint: the editor's settings") {
        assert!(client.lives());
        said = hover(&mut client);
    }
    let defaults = json!({"settings": {"bellhand": {"rules": {"range": "warning"}}}});
    client.tell("workspace/didChangeConfiguration", defaults);
    while said.contains("range/too-high") {
        said = hover(&mut client);
    }
    assert!(said.contains("sounds"), "{said}");
}

#[test]
fn what_vs_code_hands_over_when_nothing_is_set_is_understood() {
    let package = include_str!("../../../../editors/vscode/package.json");
    let package: Value = serde_json::from_str(package).unwrap();
    let groups = package["contributes"]["configuration"].as_array().unwrap();
    let mut own = json!({});
    for (name, setting) in groups
        .iter()
        .flat_map(|group| group["properties"].as_object().unwrap())
    {
        let mut place = &mut own;
        for step in name.split('.').skip(1) {
            place = &mut place[step];
        }
        // Where no default is given, the editor makes one of the kind of value.
        let made = || match setting["type"].as_str() {
            Some("string") => json!(""),
            Some("boolean") => json!(false),
            _ => Value::Null,
        };
        *place = setting.get("default").cloned().unwrap_or_else(made);
    }
    assert!(
        own["level"].is_string() && own["rules"].is_object(),
        "{own}"
    );
    // The lists of the rules are folded into `rules` by the extension, which leaves out those that nothing is chosen in.
    let lists = own.as_object_mut().unwrap().remove("rule").unwrap();
    let lists = lists.as_object().unwrap();
    assert!(lists.len() > 40 && lists.values().all(|chosen| chosen == "default"));
    let (mut client, _) = Client::ready(&plain(), &own);
    let score = "file:///nowhere/a.abc";
    client.open(score, HIGH);
    assert!(too_high(&client.diagnostics(score, 1)));
    assert!(client.lives());
    let told = |message: &Value| message["method"] == "window/showMessage";
    let told: Vec<&Value> = client.pushed.iter().filter(|one| told(one)).collect();
    assert!(told.is_empty(), "{told:?}");
}
