//! A session with the demo: type into it, look, fix.

use serde_json::{Value, json};

use crate::client::{Client, plain};

const URI: &str = "file:///pier/evening-ferry.abc";
const DEMO: &str = include_str!("../../../../tests/demo/evening-ferry.abc");

fn position(text: &str, needle: &str) -> Value {
    let at = text.find(needle).unwrap();
    let before = &text[..at];
    let line = before.matches('\n').count();
    let column = before.rsplit('\n').next().unwrap().chars().count();
    json!({"line": line, "character": column})
}

fn apply(text: &str, edits: &Value) -> String {
    let lines: Vec<usize> = std::iter::once(0)
        .chain(text.match_indices('\n').map(|(at, _)| at + 1))
        .collect();
    let byte = |place: &Value| {
        lines[place["line"].as_u64().unwrap() as usize]
            + place["character"].as_u64().unwrap() as usize
    };
    let mut edits: Vec<(usize, usize, String)> = edits
        .as_array()
        .unwrap()
        .iter()
        .map(|edit| {
            let new = edit["newText"].as_str().unwrap().to_owned();
            (
                byte(&edit["range"]["start"]),
                byte(&edit["range"]["end"]),
                new,
            )
        })
        .collect();
    edits.sort();
    let mut text = text.to_owned();
    for (start, end, new) in edits.into_iter().rev() {
        text.replace_range(start..end, &new);
    }
    text
}

fn actions(client: &mut Client, at: &Value, only: Option<&str>) -> Vec<Value> {
    let mut context = json!({"diagnostics": []});
    if let Some(only) = only {
        context["only"] = json!([only]);
    }
    let params = json!({"textDocument": {"uri": URI}, "range": {"start": at, "end": at}, "context": context});
    client
        .ask("textDocument/codeAction", params)
        .as_array()
        .unwrap()
        .clone()
}

fn hover(client: &mut Client, at: &Value) -> String {
    let params = json!({"textDocument": {"uri": URI}, "position": at});
    client.ask("textDocument/hover", params)["contents"]["value"]
        .as_str()
        .unwrap_or_default()
        .to_owned()
}

#[test]
fn type_look_and_fix() {
    let (mut client, answer) = Client::ready(&plain(), &json!({}));
    assert_eq!(answer["capabilities"]["positionEncoding"], "utf-16");
    client.open(URI, DEMO);
    let found = client.diagnostics(URI, 1);
    let rules: Vec<&str> = found.iter().map(|d| d["code"].as_str().unwrap()).collect();
    for rule in [
        "notation/key-signature",
        "mute/other-kind",
        "rip/off-series",
        "stopped/too-low",
    ] {
        assert!(rules.contains(&rule), "{rule} in {rules:?}");
    }
    let low = found
        .iter()
        .find(|d| d["code"] == "stopped/too-low")
        .unwrap();
    assert_eq!(low["source"], "bellhand");
    assert!(
        low["relatedInformation"][0]["message"]
            .as_str()
            .unwrap()
            .contains("mark")
    );

    // On a note, on a mark, on a signature.
    let stopped = hover(&mut client, &position(DEMO, "C B, | A,2"));
    for words in [
        "**C4** written for horn in F",
        "sounds **F3**",
        "played stopped, by `\"^stopped\"` in bar 6",
        "F side",
    ] {
        assert!(stopped.contains(words), "{words}: {stopped}");
    }
    let mark = hover(&mut client, &position(DEMO, "\"^senza sord.\""));
    assert!(
        mark.contains("Mute out") && mark.contains("between the last note and the next"),
        "{mark}"
    );
    let key = hover(&mut client, &position(DEMO, "K:Bb"));
    assert!(key.contains("2 flats"), "{key}");

    // Typing: the foreign mute becomes a horn's own.
    let mut text = DEMO.to_owned();
    let at = position(&text, "cup mute");
    let end = json!({"line": at["line"], "character": at["character"].as_u64().unwrap() + 8});
    client.change(
        URI,
        2,
        &json!([{"range": {"start": at, "end": end}, "text": "con sord."}]),
    );
    text = text.replacen("cup mute", "con sord.", 1);
    let found = client.diagnostics(URI, 2);
    assert!(
        found.iter().all(|d| d["code"] != "mute/other-kind"),
        "{found:?}"
    );

    // A quick fix, as an editor applies it.
    let offered = actions(&mut client, &position(&text, "\"^gliss.\" (G2"), None);
    let titles: Vec<&str> = offered
        .iter()
        .map(|a| a["title"].as_str().unwrap())
        .collect();
    assert!(titles.contains(&"Ignore rip/off-series here"), "{titles:?}");
    let fix = offered
        .iter()
        .find(|a| a["title"].as_str().unwrap().starts_with("End the rip on"))
        .unwrap();
    text = apply(&text, &fix["edit"]["changes"][URI]);
    client.change(URI, 3, &json!([{"text": text}]));
    let found = client.diagnostics(URI, 3);
    assert!(
        found.iter().all(|d| d["code"] != "rip/off-series"),
        "{found:?}"
    );

    // All that keeps the music, at once; then nothing more of that kind.
    let all = actions(
        &mut client,
        &json!({"line": 0, "character": 0}),
        Some("source.fixAll.bellhand"),
    );
    assert_eq!(all.len(), 1, "{all:?}");
    text = apply(&text, &all[0]["edit"]["changes"][URI]);
    client.change(URI, 4, &json!([{"text": text}]));
    let found = client.diagnostics(URI, 4);
    for rule in [
        "notation/key-signature",
        "notation/wrong-transposition",
        "mute/already",
    ] {
        assert!(
            found.iter().all(|d| d["code"] != rule),
            "{rule} is left:\n{text}"
        );
    }
    let again = actions(
        &mut client,
        &json!({"line": 0, "character": 0}),
        Some("source.fixAll.bellhand"),
    );
    assert!(again.is_empty(), "{again:?}");
}

#[test]
fn silence_is_kept_where_it_is_asked() {
    let (mut client, _) = Client::ready(&plain(), &json!({}));
    client.open(URI, DEMO);
    let offered = actions(&mut client, &position(DEMO, "^cup mute"), Some("quickfix"));
    for (title, version) in [
        ("Ignore mute/other-kind here", 2),
        ("Ignore mute/other-kind in this file", 3),
    ] {
        let action = offered.iter().find(|a| a["title"] == title).unwrap();
        let text = apply(DEMO, &action["edit"]["changes"][URI]);
        client.change(URI, version, &json!([{"text": text}]));
        let found = client.diagnostics(URI, version);
        assert!(
            found.iter().all(|d| d["code"] != "mute/other-kind"),
            "{title}: {found:?}"
        );
    }
}

#[test]
fn a_comment_that_silences_nothing_is_told_and_goes() {
    let (mut client, _) = Client::ready(&plain(), &json!({}));
    let idle = DEMO.replacen(
        "\"^stopped\" !mf!",
        "% bellhand: ignore marks/vage, mute/already\n\"^stopped\" !mf!",
        1,
    );
    assert_ne!(idle, DEMO);
    client.open(URI, &idle);
    let found = client.diagnostics(URI, 1);
    let of = |rule: &str| found.iter().find(|one| one["code"] == rule).unwrap();
    let unused = of("text/unused-ignore");
    assert_eq!(unused["range"]["start"], position(&idle, "mute/already"));
    assert_eq!(unused["severity"], 3);
    assert_eq!(of("text/unknown-ignore")["severity"], 2);
    let offered = actions(
        &mut client,
        &position(&idle, "mute/already"),
        Some("quickfix"),
    );
    let remove = offered
        .iter()
        .find(|a| a["title"] == "Remove `mute/already`");
    let less = apply(&idle, &remove.unwrap()["edit"]["changes"][URI]);
    assert_eq!(less, idle.replace(", mute/already", ""));
    let offered = actions(&mut client, &position(&idle, "vage"), Some("quickfix"));
    let write = offered.iter().find(|a| a["title"] == "Write `marks/vague`");
    let right = apply(&less, &write.unwrap()["edit"]["changes"][URI]);
    client.change(URI, 2, &json!([{"text": right}]));
    client.diagnostics(URI, 2);
    let offered = actions(
        &mut client,
        &position(&right, "marks/vague"),
        Some("quickfix"),
    );
    let remove = offered.iter().find(|a| a["title"] == "Remove the comment");
    assert_eq!(
        apply(&right, &remove.unwrap()["edit"]["changes"][URI]),
        DEMO
    );
}

#[test]
fn the_other_answers_are_there() {
    let capabilities = json!({
        "workspace": {"workspaceEdit": {"documentChanges": true}},
        "textDocument": {"diagnostic": {}},
    });
    let (mut client, answer) =
        Client::ready(&capabilities, &json!({"inlayHints": {"sounding": true}}));
    assert!(answer["capabilities"]["diagnosticProvider"].is_object());
    client.open(URI, DEMO);
    let document = json!({"textDocument": {"uri": URI}});
    let report = client.ask("textDocument/diagnostic", document.clone());
    assert_eq!(report["kind"], "full");
    let before = json!({"textDocument": {"uri": URI}, "previousResultId": report["resultId"]});
    assert_eq!(
        client.ask("textDocument/diagnostic", before)["kind"],
        "unchanged"
    );

    let symbols = client.ask("textDocument/documentSymbol", document.clone());
    assert_eq!(symbols[0]["name"], "Evening Ferry");
    assert_eq!(symbols[0]["children"][2]["detail"], "horn in E flat");

    let folds = client.ask("textDocument/foldingRange", document.clone());
    assert!(!folds.as_array().unwrap().is_empty());

    let whole = json!({"start": {"line": 0, "character": 0}, "end": {"line": 99, "character": 0}});
    let hints = client.ask(
        "textDocument/inlayHint",
        json!({"textDocument": {"uri": URI}, "range": whole}),
    );
    let labels: Vec<&str> = hints
        .as_array()
        .unwrap()
        .iter()
        .map(|h| h["label"].as_str().unwrap())
        .collect();
    assert_eq!(
        labels[..3],
        ["Eb4", "G4", "Bb4"],
        "the first three notes, a fifth below"
    );

    let tokens = client.ask("textDocument/semanticTokens/full", document);
    assert!(tokens["data"].as_array().unwrap().len() > 500);

    let at = position(DEMO, "D2 C B,");
    let place = json!({"textDocument": {"uri": URI}, "position": at});
    let marked = client.ask("textDocument/documentHighlight", place);
    assert!(
        marked.as_array().unwrap().len() > 4,
        "the mark and all it holds for: {marked}"
    );

    let around = client.ask(
        "textDocument/selectionRange",
        json!({"textDocument": {"uri": URI}, "positions": [at]}),
    );
    assert!(around[0]["parent"]["parent"].is_object());

    let offered = actions(&mut client, &position(DEMO, "K:Bb"), None);
    let edit = &offered[0]["edit"]["documentChanges"][0];
    assert_eq!(edit["textDocument"]["version"], 1);
}

#[test]
fn edits_are_worked_out_when_an_action_is_chosen() {
    let capabilities = json!({"textDocument": {"codeAction": {
        "dataSupport": true,
        "resolveSupport": {"properties": ["edit"]},
    }}});
    let (mut client, answer) = Client::ready(&capabilities, &json!({}));
    let provider = &answer["capabilities"]["codeActionProvider"];
    assert_eq!(provider["resolveProvider"], true);
    client.open(URI, DEMO);
    let eager = {
        let (mut other, _) = Client::ready(&plain(), &json!({}));
        other.open(URI, DEMO);
        actions(&mut other, &position(DEMO, "K:Bb"), None)
    };
    let late = actions(&mut client, &position(DEMO, "K:Bb"), None);
    assert_eq!(late.len(), eager.len());
    for (promised, ready) in late.iter().zip(&eager) {
        assert_eq!(promised["title"], ready["title"]);
        assert!(promised.get("edit").is_none(), "{promised}");
        let kept = client.ask("codeAction/resolve", promised.clone());
        assert_eq!(kept["edit"], ready["edit"]);
    }

    let all = actions(
        &mut client,
        &json!({"line": 0, "character": 0}),
        Some("source.fixAll"),
    );
    let kept = client.ask("codeAction/resolve", all[0].clone());
    let text = apply(DEMO, &kept["edit"]["changes"][URI]);
    assert!(!text.contains("K:Bb"), "{text}");

    // Chosen too late: the text is another.
    client.change(URI, 2, &json!([{"text": text}]));
    let id = client.begin("codeAction/resolve", late[0].clone());
    assert_eq!(client.answer(id)["error"]["code"], -32801);
}

#[test]
fn actions_over_a_wide_range_are_offered_once() {
    let (mut client, _) = Client::ready(&plain(), &json!({}));
    client.open(URI, DEMO);
    let whole = json!({"start": {"line": 0, "character": 0}, "end": {"line": 99, "character": 0}});
    let params =
        json!({"textDocument": {"uri": URI}, "range": whole, "context": {"diagnostics": []}});
    let offered = client.ask("textDocument/codeAction", params);
    let mut files: Vec<&str> = offered
        .as_array()
        .unwrap()
        .iter()
        .map(|action| action["title"].as_str().unwrap())
        .filter(|title| title.ends_with("in this file"))
        .collect();
    let count = files.len();
    assert!(count > 3, "{files:?}");
    files.sort_unstable();
    files.dedup();
    assert_eq!(files.len(), count, "{files:?}");
}

#[test]
fn words_are_plain_for_who_cannot_show_signs() {
    let capabilities = json!({"textDocument": {"hover": {"contentFormat": ["plaintext"]}}});
    let (mut client, _) = Client::ready(&capabilities, &json!({}));
    client.open(URI, DEMO);
    let at = position(DEMO, "C B, | A,2");
    let params = json!({"textDocument": {"uri": URI}, "position": at});
    let contents = client.ask("textDocument/hover", params)["contents"].clone();
    assert_eq!(contents["kind"], "plaintext");
    let words = contents["value"].as_str().unwrap();
    assert!(words.starts_with("C4 written for horn in F\n"), "{words}");
    assert!(!words.contains(['*', '`']), "{words}");
}

#[test]
fn a_part_is_written_for_another_crook() {
    let (mut client, _) = Client::ready(&plain(), &json!({}));
    client.open(URI, DEMO);
    let at = position(DEMO, "V:3 name");
    let offered = actions(&mut client, &at, Some("refactor"));
    let action = offered
        .iter()
        .find(|a| a["title"] == "Write Horn 3 in E flat for horn in F")
        .unwrap();
    assert_eq!(action["kind"], "refactor.rewrite.crook");
    let count = offered
        .iter()
        .filter(|a| a["kind"] == "refactor.rewrite.crook")
        .count();
    assert_eq!(
        count, 5,
        "the horn of today and concert pitch, but for its own; and these three for all horn parts"
    );
    // Asked for by name, all are offered.
    let all = actions(&mut client, &at, Some("refactor.rewrite.crook"));
    assert_eq!(all.len(), 15 + 16);
    let together = all
        .iter()
        .find(|a| a["title"] == "Write all 3 horn parts for horn in D");
    let text = apply(DEMO, &together.unwrap()["edit"]["changes"][URI]);
    assert_eq!(text.matches(" in D\" transpose=-10").count(), 3, "{text}");
    let low = all
        .iter()
        .find(|a| a["title"] == "Write Horn 3 in E flat for horn in B flat basso");
    let text = apply(DEMO, &low.unwrap()["edit"]["changes"][URI]);
    assert!(text.contains("transpose=-14"), "{text}");
    let text = apply(DEMO, &action["edit"]["changes"][URI]);
    assert!(
        text.contains("V:3 name=\"Horn 3 in F\" transpose=-7"),
        "{text}"
    );
    client.change(URI, 2, &json!([{"text": text}]));
    let symbols = client.ask(
        "textDocument/documentSymbol",
        json!({"textDocument": {"uri": URI}}),
    );
    assert_eq!(symbols[0]["children"][2]["detail"], "horn in F");
}

#[test]
fn hover_tells_what_is_left_of_breath_and_lip() {
    // Four seconds of mf on written C5 a bar: a professional has 18 s to a breath and carries 180 s.
    let text = "X:1\nT:Slack Water\nM:4/4\nL:1/1\nQ:1/4=60\nK:none\nV:1 name=\"Horn in F\" transpose=-7\n!mf!c | c- | c | z | c |]\n";
    let (mut client, _) = Client::ready(&plain(), &json!({}));
    client.open(URI, text);
    let third = hover(&mut client, &position(text, "c | z"));
    assert!(
        third.contains("at its end 67 % of the breath before C5 in bar 1 is spent"),
        "{third}"
    );
    assert!(third.contains("the lip is at 7 %"), "{third}");
    let after_the_rest = hover(&mut client, &position(text, "c |]"));
    assert!(
        after_the_rest.contains("at its end 22 % of a breath before it is spent"),
        "{after_the_rest}"
    );
}

#[test]
fn the_part_at_the_cursor_is_drawn() {
    let (mut client, answer) = Client::ready(&plain(), &json!({}));
    let own = &answer["capabilities"]["experimental"]["requests"];
    assert!(own.as_array().unwrap().contains(&json!("bellhand/picture")));
    client.open(URI, DEMO);
    let draw = |client: &mut Client, at: &Value, pitch: &str| {
        let params =
            json!({"textDocument": {"uri": URI}, "position": at, "pitch": pitch, "width": 700});
        client.ask("bellhand/picture", params)
    };
    let at = position(DEMO, "D2 C B,");
    let picture = draw(&mut client, &at, "written");
    assert_eq!(picture["part"], "Horn 2 in F");
    let svg = picture["svg"].as_str().unwrap();
    assert!(svg.starts_with("<svg ") && svg.ends_with("</svg>"));
    assert!(svg.contains("viewBox=\"0 0 700 "));
    let current = picture["current"].as_str().unwrap();
    let place = picture["places"]
        .as_array()
        .unwrap()
        .iter()
        .find(|place| place["id"] == current)
        .unwrap();
    assert_eq!(place["range"]["start"], at);
    assert!(
        place["label"]
            .as_str()
            .unwrap()
            .contains("D4 (sounds G3), bar 6")
    );
    assert!(svg.contains(&format!("id=\"{current}\"")));
    let findings = picture["places"].as_array().unwrap().iter();
    assert!(
        findings
            .filter(|place| place["label"].as_str().unwrap().contains("stopped/too-low"))
            .count()
            >= 1
    );
    let sounding = draw(&mut client, &at, "sounding");
    assert!(sounding["svg"].as_str().unwrap().contains("as it sounds"));
    // Before any part the first is drawn; where there is none, nothing.
    let top = json!({"line": 0, "character": 0});
    assert_eq!(draw(&mut client, &top, "written")["part"], "Horn 1");
    client.open(
        "file:///pier/flute.abc",
        "X:1\nK:C\nV:1 name=\"Flute\"\nCDEF|\n",
    );
    let params = json!({"textDocument": {"uri": "file:///pier/flute.abc"}, "position": top});
    assert!(client.ask("bellhand/picture", params).is_null());
}

#[test]
fn the_part_at_the_cursor_is_heard() {
    let (mut client, answer) = Client::ready(&plain(), &json!({}));
    let own = &answer["capabilities"]["experimental"]["requests"];
    assert!(own.as_array().unwrap().contains(&json!("bellhand/sound")));
    let text = "X:1\nM:3/4\nL:1/4\nQ:1/4=60\nK:none\nV:1 name=\"Horn in F\" transpose=-7\n\
        !p!(\"^gliss.\"C2 c- | \"^stopped\"c) !ff!c2 |]\n";
    client.open(URI, text);
    let heard = |client: &mut Client, uri: &str, at: &Value| {
        let params = json!({"textDocument": {"uri": uri}, "position": at});
        client.ask("bellhand/sound", params)
    };
    let sound = heard(&mut client, URI, &position(text, "C2"));
    let soft = json!([[0.0, 0.545]]);
    assert_eq!(
        sound,
        json!({"part": "Horn in F", "sounds": [
            {"notes": [{"id": "note-0", "starts": 0.0}], "ends": 2.0, "hertz": 174.614,
             "steps": [[1.88, 218.268], [1.92, 261.921], [1.96, 305.575]], "loudness": soft, "technique": "open", "bar": 1},
            {"notes": [{"id": "note-1", "starts": 2.0}, {"id": "note-2", "starts": 3.0}], "ends": 4.0, "hertz": 349.228,
             "loudness": [[2.0, 0.545]], "technique": "open", "slurred": true, "bar": 1},
            {"notes": [{"id": "note-3", "starts": 4.0}], "ends": 6.0, "hertz": 349.228, "loudness": [[4.0, 0.727]],
             "technique": "stopped", "bar": 2},
        ]})
    );
    // Every note is one of the picture for the same place.
    client.open("file:///pier/demo.abc", DEMO);
    let at = position(DEMO, "D2 C B,");
    let sound = heard(&mut client, "file:///pier/demo.abc", &at);
    assert_eq!(sound["part"], "Horn 2 in F");
    let params = json!({"textDocument": {"uri": "file:///pier/demo.abc"}, "position": at});
    let picture = client.ask("bellhand/picture", params);
    let places: Vec<_> = picture["places"].as_array().unwrap().iter().collect();
    let sounds = sound["sounds"].as_array().unwrap().iter();
    let notes: Vec<_> = sounds
        .flat_map(|sound| sound["notes"].as_array().unwrap())
        .collect();
    assert!(notes.len() > 10);
    for note in notes {
        assert!(
            places.iter().any(|place| place["id"] == note["id"]),
            "{note}"
        );
    }
    let flute = "file:///pier/flute.abc";
    client.open(flute, "X:1\nK:C\nV:1 name=\"Flute\"\nCDEF|\n");
    assert!(heard(&mut client, flute, &json!({"line": 0, "character": 0})).is_null());
}

#[test]
fn the_status_names_the_parts_and_counts_the_findings() {
    let (mut client, answer) = Client::ready(&plain(), &json!({}));
    let own = &answer["capabilities"]["experimental"]["requests"];
    assert!(own.as_array().unwrap().contains(&json!("bellhand/status")));
    client.open(URI, DEMO);
    let status = |client: &mut Client, uri: &str, at: &Value| {
        let params = json!({"textDocument": {"uri": uri}, "position": at});
        client.ask("bellhand/status", params)
    };
    let told = status(&mut client, URI, &position(DEMO, "c2 e2"));
    let labels: Vec<_> = told["parts"].as_array().unwrap().iter().collect();
    assert_eq!(labels.len(), 3);
    assert_eq!(told["part"], 2);
    assert_eq!(told["crook"], "horn in E flat");
    assert_eq!(labels[2]["label"], "Horn 3 in E flat");
    assert_eq!(
        labels[2]["head"]["start"]["line"],
        position(DEMO, "V:3 name")["line"]
    );
    assert_eq!(told["findings"]["error"], 0);
    assert!(told["findings"]["warning"].as_u64().unwrap() > 10);
    let flute = "file:///pier/flute.abc";
    client.open(flute, "X:1\nK:C\nV:1 name=\"Flute\"\nCDEF|\n");
    let told = status(&mut client, flute, &json!({"line": 3, "character": 0}));
    assert_eq!(told["parts"], json!([]));
    assert_eq!(
        (&told["part"], &told["crook"]),
        (&Value::Null, &Value::Null)
    );
}

#[test]
fn hover_tells_what_the_hand_does() {
    let text = "X:1\nT:Low Tide\nM:4/4\nL:1/4\nQ:1/4=60\nK:none\nV:1 name=\"Natural horn in D\" transpose=-10\nV:2 name=\"Horn in F\" transpose=-7\n[V:1] c B A G |]\n[V:2] \"^half-stopped\" !p!=B4 |]\n";
    let (mut client, _) = Client::ready(&plain(), &json!({}));
    client.open(URI, text);
    for (note, words) in [
        ("c B", "on the natural horn: open"),
        ("B A", "on the natural horn: half closed"),
    ] {
        let told = hover(&mut client, &position(text, note));
        assert!(told.contains(words) && !told.contains("fingered"), "{told}");
    }
    let half = hover(&mut client, &position(text, "=B4"));
    assert!(
        half.contains("fingered a semitone higher: F side open (0)"),
        "{half}"
    );
}
