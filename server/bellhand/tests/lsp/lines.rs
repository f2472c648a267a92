//! The lines of a part's picture that are asked for, and what is told of the others.

use serde_json::{Value, json};

use crate::client::Client;

const URI: &str = "file:///pier/long.abc";
/// So many bars.
const BARS: usize = 1_000;

fn long() -> String {
    let bars = "c2 d e | f2 g a | ^c4- | c2 z2 |\n".repeat(BARS / 4);
    format!(
        "X:1\nT:Long Crossing\nM:4/4\nL:1/4\nQ:1/4=100\nK:none\nV:1 name=\"Horn in F\" transpose=-7\n{bars}"
    )
}

/// A place in the long part: in the line of the text that these four bars stand on.
fn at(bar: usize) -> Value {
    json!({"line": 7 + (bar - 1) / 4, "character": 0})
}

fn ask(client: &mut Client, at: &Value, lines: &Value) -> Value {
    let mut asked = json!({"textDocument": {"uri": URI}, "position": at, "width": 900});
    if !lines.is_null() {
        asked["lines"] = lines.clone();
    }
    client.ask("bellhand/lines", asked)
}

fn array<'a>(of: &'a Value, name: &str) -> &'a Vec<Value> {
    of[name].as_array().unwrap()
}

#[test]
fn lines_around_the_cursor_are_drawn_and_all_are_counted() {
    let (mut client, answer) = Client::ready(&json!({}), &json!({}));
    let own = &answer["capabilities"]["experimental"]["requests"];
    assert!(own.as_array().unwrap().contains(&json!("bellhand/lines")));
    client.open(URI, &long());
    let answer = ask(&mut client, &at(201), &Value::Null);
    assert_eq!(answer["part"], "Horn in F");
    let all = array(&answer, "lines");
    // Every bar stands on one line, in order.
    let mut next = 1;
    for line in all {
        assert_eq!(line["bars"][0], next);
        next = line["bars"][1].as_u64().unwrap() + 1;
    }
    assert_eq!(next, BARS as u64 + 1);
    let (first, drawn) = (answer["first"].as_u64().unwrap(), array(&answer, "drawn"));
    assert!(drawn.len() < all.len() / 2 && !drawn.is_empty());
    let line = answer["current"]["line"].as_u64().unwrap();
    assert!((first..first + drawn.len() as u64).contains(&line));
    let id = &answer["current"]["id"];
    // The notes before a line tell on which one any note stands.
    let number: u64 = id.as_str().unwrap()["note-".len()..].parse().unwrap();
    let before = |line: u64| all[line as usize]["notes"].as_u64().unwrap();
    assert!((before(line)..before(line + 1)).contains(&number));
    let place = array(&answer, "places")
        .iter()
        .find(|place| place["id"] == *id);
    let place = place.unwrap();
    assert_eq!(place["range"]["start"], at(201));
    assert!(place["label"].as_str().unwrap().contains(", bar 201,"));
    let svg = drawn[(line - first) as usize].as_str().unwrap();
    assert!(svg.contains(&format!("id={id}")), "{svg}");
    // What is told of is drawn, and nothing else.
    let named: usize = drawn
        .iter()
        .map(|svg| svg.as_str().unwrap().matches(" id=\"").count())
        .sum();
    assert_eq!(named, array(&answer, "places").len());
    println!(
        "{} of {} lines, {named} notes and findings",
        drawn.len(),
        all.len()
    );
}

#[test]
fn lines_that_are_asked_for_are_drawn_wherever_the_cursor_is() {
    let (mut client, _) = Client::ready(&json!({}), &json!({}));
    client.open(URI, &long());
    let whole = ask(&mut client, &at(1), &json!([0, 1_000_000]));
    let all = array(&whole, "lines").len();
    assert!(all > 100);
    assert_eq!(array(&whole, "drawn").len(), 100);
    let some = ask(&mut client, &at(1), &json!([20, 24]));
    assert_eq!(some["first"], 20);
    assert_eq!(array(&some, "drawn")[..], array(&whole, "drawn")[20..25]);
    assert_eq!(some["current"]["line"], 0);
    // Lines there are none of, and lines the wrong way round, are the nearest there are.
    let last = ask(&mut client, &at(1), &json!([5_000, 6_000]));
    assert_eq!(last["first"], all - 1);
    assert_eq!(array(&last, "drawn").len(), 1);
    let none = ask(&mut client, &at(1), &json!([9, 3]));
    assert!(array(&none, "drawn").is_empty() && array(&none, "places").is_empty());
}

#[test]
fn a_change_alters_the_lines_it_stands_on_alone() {
    let (mut client, _) = Client::ready(&json!({}), &json!({}));
    let text = long();
    client.open(URI, &text);
    let before = ask(&mut client, &at(201), &json!([0, 99]));
    let at_note = at(201);
    let edit = json!({"range": {"start": at_note, "end": at_note}, "text": "."});
    client.change(URI, 2, &json!([edit]));
    let after = ask(&mut client, &at(201), &json!([0, 99]));
    let changed: Vec<usize> = array(&before, "drawn")
        .iter()
        .zip(array(&after, "drawn"))
        .enumerate()
        .filter(|(_, (before, after))| before != after)
        .map(|(line, _)| line)
        .collect();
    assert_eq!(
        changed,
        [before["current"]["line"].as_u64().unwrap() as usize]
    );
}

#[test]
fn there_are_no_lines_without_a_horn() {
    let (mut client, _) = Client::ready(&json!({}), &json!({}));
    client.open(URI, "X:1\nK:C\nV:1 name=\"Flute\"\nCDEF|\n");
    assert!(
        ask(
            &mut client,
            &json!({"line": 0, "character": 0}),
            &Value::Null
        )
        .is_null()
    );
    client.open(URI, "X:1\nK:C\nV:1 name=\"Horn in F\"\n");
    let empty = ask(
        &mut client,
        &json!({"line": 0, "character": 0}),
        &Value::Null,
    );
    assert!(
        empty.is_null() || array(&empty, "drawn").len() <= 1,
        "{empty}"
    );
}

#[test]
fn breath_and_lip_can_be_folded_away() {
    let (mut client, _) = Client::ready(&json!({}), &json!({}));
    client.open(URI, &long());
    let mut shown = |effort: Value| {
        let asked = json!({"textDocument": {"uri": URI}, "position": at(1), "effort": effort});
        let answer = client.ask("bellhand/lines", asked);
        array(&answer, "drawn")[0]
            .as_str()
            .unwrap()
            .contains(">breath</text>")
    };
    assert!(shown(Value::Null) && shown(json!(true)) && !shown(json!(false)));
}
