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
