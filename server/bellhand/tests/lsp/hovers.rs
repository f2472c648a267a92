//! What hovering says where no note stands: over names, transpositions, tempos and instructions.

use serde_json::{Value, json};

use crate::client::{Client, plain};

/// What hovering over some words of a text says, and the words it says it of.
fn said(client: &mut Client, language: &str, text: &str, words: &str) -> (String, String) {
    let uri = format!("untitled:{language}-{}", words.len());
    let item = json!({ "uri": uri, "languageId": language, "version": 1, "text": text });
    client.tell("textDocument/didOpen", json!({ "textDocument": item }));
    let byte = text.find(words).unwrap();
    let line = text[..byte].matches('\n').count();
    let column = byte - text[..byte].rfind('\n').map_or(0, |end| end + 1);
    let at = json!({ "line": line, "character": column });
    let asked = json!({ "textDocument": { "uri": uri }, "position": at });
    let hover = client.ask("textDocument/hover", asked);
    let range = &hover["range"];
    let place =
        |end: &str| usize::try_from(range[end]["character"].as_u64().unwrap_or_default()).unwrap();
    let of = text.lines().nth(line).unwrap();
    let of = of
        .get(place("start")..place("end"))
        .unwrap_or_default()
        .to_owned();
    let said = hover["contents"]["value"]
        .as_str()
        .unwrap_or_default()
        .to_owned();
    let _: &Value = range;
    (said, of)
}

const TUNE: &str = "X:1\nT:Ferry\nM:4/4\nL:1/4\nQ:\"Andante\" 1/4=80\nK:none\nV:1 name=\"Horn 1 in F\" transpose=-7\n% bellhand: ignore in file range/too-high: she can play it\nc4 | [Q:1/4=120] e'4 | G4 |]\n";

#[test]
fn names_tempos_and_instructions_are_explained() {
    let (mut client, _) = Client::ready(&plain(), &json!({}));
    for (words, of, says) in [
        (
            "Horn 1 in F",
            "Horn 1 in F",
            &[
                "horn in F",
                "written C5 sounds F4",
                "3 notes, written G4 to E6",
                "its name",
            ][..],
        ),
        ("1 name=", "1", &["horn in F"]),
        ("transpose=-7", "transpose=-7", &["written C5 sounds F4"]),
        (
            "Q:\"Andante",
            "Q:\"Andante\" 1/4=80",
            &[
                "80 quarter notes a minute",
                "as marked",
                "a bar of 4/4 lasts 3.0 s",
            ],
        ),
        (
            "Q:1/4=120",
            "Q:1/4=120",
            &["120 quarter notes", "lasts 2.0 s"],
        ),
        (
            "range/too-high",
            "range/too-high",
            &["range/too-high", "ignored here"],
        ),
    ] {
        let (said, place) = said(&mut client, "abc", TUNE, words);
        assert_eq!(place, of, "{said}");
        for wanted in says {
            assert!(said.contains(wanted), "{words}: {wanted}: {said}");
        }
    }
    let kern = "**kern\n*Icor\n*I\"Corno in Mi-b\n*ITrd5c9\n*MM90\n*M3/4\n2.c\n*-\n";
    let (name, _) = said(&mut client, "kern", kern, "Corno in");
    assert!(
        name.contains("horn in E flat") && name.contains("sounds E♭4") || name.contains("Eb4"),
        "{name}"
    );
    let (tempo, _) = said(&mut client, "kern", kern, "*MM90");
    assert!(
        tempo.contains("90 quarter notes") && tempo.contains("lasts 2.0 s"),
        "{tempo}"
    );
    let xml = "<score-partwise version=\"4.0\"><part-list><score-part id=\"P1\"><part-name>Horn in D</part-name></score-part></part-list>\n<part id=\"P1\"><measure number=\"1\"><attributes><divisions>1</divisions><transpose><diatonic>-6</diatonic><chromatic>-10</chromatic></transpose></attributes><note><pitch><step>C</step><octave>5</octave></pitch><duration>4</duration></note></measure></part></score-partwise>";
    for words in ["Horn in D", "P1\"><measure"] {
        let (said, _) = said(&mut client, "musicxml", xml, words);
        assert!(said.contains("written C5 sounds D4"), "{said}");
    }
}

#[test]
fn metres_and_clefs_are_explained_in_every_notation() {
    let (mut client, _) = Client::ready(&plain(), &json!({}));
    let abc = "X:1\nM:4/4\nL:1/4\nQ:1/4=60\nK:none\nV:1 name=\"Horn in F\" clef=bass transpose=-7\nV:2 name=\"Flute\"\nV:1\nC4 | [Q:1/4=120] [M:3/8] C3/2 | [K:clef=tenor] [M:none] c4 |]\nV:2\nc4 | z3/2 | z4 |]\n";
    let kern = "**kern\n*Icor\n*I\"Corno in Fa\n*ITrd4c7\n*clefF4\n*MM60\n*M6/8\n2.F\n*-\n";
    let xml = "<score-partwise version=\"4.0\"><part-list><score-part id=\"P1\"><part-name>Horn in F</part-name></score-part></part-list>\n<part id=\"P1\"><measure number=\"1\"><attributes><divisions>1</divisions><time><beats>2</beats><beat-type>2</beat-type></time><clef><sign>G</sign><line>2</line></clef><transpose><chromatic>-7</chromatic></transpose></attributes><direction><sound tempo=\"60\"/></direction><note><pitch><step>C</step><octave>5</octave></pitch><duration>4</duration></note></measure></part></score-partwise>";
    for (language, text, words, of, says) in [
        (
            "abc",
            abc,
            "M:4/4",
            "M:4/4",
            &[
                "**4/4**: 4 quarter notes a bar",
                "lasts 4.0 s, at 60 quarter notes",
            ][..],
        ),
        (
            "abc",
            abc,
            "M:3/8",
            "M:3/8",
            &["3 eighth notes", "lasts 0.8 s, at 120"],
        ),
        ("abc", abc, "M:none", "M:none", &["No metre"]),
        (
            "abc",
            abc,
            "clef=bass",
            "clef=bass",
            &[
                "Bass clef",
                "as treble clef is. Old parts",
                "bass-clef = \"old\"",
            ],
        ),
        ("abc", abc, "clef=tenor", "clef=tenor", &["Tenor clef"]),
        ("kern", kern, "*clefF4", "*clefF4", &["Bass clef"]),
        (
            "kern",
            kern,
            "*M6/8",
            "*M6/8",
            &["**6/8**: 6 eighth notes", "lasts 3.0 s, at 60"],
        ),
        (
            "musicxml",
            xml,
            "<beats>",
            "<time><beats>2</beats><beat-type>2</beat-type></time>",
            &["**2/2**: 2 half notes", "lasts 4.0 s"],
        ),
        (
            "musicxml",
            xml,
            "<sign>",
            "<clef><sign>G</sign><line>2</line></clef>",
            &["Treble clef"],
        ),
    ] {
        let (said, place) = said(&mut client, language, text, words);
        assert_eq!(place, of, "{words}: {said}");
        for wanted in says {
            assert!(said.contains(wanted), "{words}: {wanted}: {said}");
        }
    }
    // Where no horn reads them nothing is said.
    let flute = "X:1\nM:4/4\nK:C\nV:1 name=\"Flute\"\nc4|]\n";
    assert_eq!(said(&mut client, "abc", flute, "M:4/4").0, "");
}

#[test]
fn a_finding_is_told_once() {
    let (mut client, _) = Client::ready(&plain(), &json!({}));
    let (mut hovers, mut unhurried) = (0, 0);
    for (name, language) in [
        ("evening-ferry.abc", "abc"),
        ("evening-ferry.krn", "kern"),
        ("evening-ferry.musicxml", "musicxml"),
    ] {
        let demo = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("../../tests/demo");
        let text = std::fs::read_to_string(demo.join(name)).unwrap();
        let uri = format!("untitled:{name}");
        let item = json!({ "uri": uri, "languageId": language, "version": 1, "text": text });
        client.tell("textDocument/didOpen", json!({ "textDocument": item }));
        let asked = json!({ "textDocument": { "uri": uri } });
        let report = client.ask("textDocument/diagnostic", asked);
        let items = report["items"].as_array().unwrap();
        assert!(items.len() > 2, "{name}");
        for item in items {
            let at = &item["range"]["start"];
            let asked = json!({ "textDocument": { "uri": uri }, "position": at });
            let hover = client.ask("textDocument/hover", asked);
            let Some(said) = hover["contents"]["value"].as_str() else {
                continue;
            };
            hovers += 1;
            if item["code"] == "mute/no-time" {
                assert!(!said.contains("between the last note"), "{said}");
                unhurried += 1;
            }
            // The client shows the finding itself; what stands beside it says other things.
            let message = item["message"].as_str().unwrap();
            for sentence in message.split(['.', ';', ':', '[']).map(str::trim) {
                assert!(
                    sentence.len() < 16 || !said.contains(sentence),
                    "{sentence}: {said}"
                );
            }
        }
    }
    println!("{hovers} hovers over findings");
    assert!(hovers > 20 && unhurried > 2);
}
