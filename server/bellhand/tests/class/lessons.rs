//! Lessons in a class: given out at desks, and marked on the wall as they are answered.

use std::path::Path;

use serde_json::json;

use crate::Class;

const LESSON: &str = "X:1
T:Low water
M:4/4
L:1/4
Q:1/4=96
K:none
V:1 name=\"Horn in F\" transpose=-7
% bellhand: task Move the stopped note to where the hand works.
% bellhand: hint Stopping works from middle C up.
% bellhand: hint Write it an octave higher.
% bellhand: expect stopped/too-low in bar 2
% bellhand: only stopped
!mf! c4 | !+!G,4 | c4 | e4 |]
";

fn class() -> (Class, tempfile::TempDir) {
    let lessons = tempfile::tempdir().unwrap();
    std::fs::write(lessons.path().join("low-water.abc"), LESSON).unwrap();
    let path = lessons.path().to_str().unwrap();
    let class = Class::of(&[], &["--desks", "--lessons", path]);
    (class, lessons)
}

#[test]
fn a_lesson_is_given_out_and_marked() {
    let (class, _lessons) = class();
    let mut events = class.teacher().events();
    let (_, wall) = events.next();
    assert_eq!(wall["lessons"], json!(["low-water.abc"]));
    let mut cy = class.student("Cy");
    let state = cy.get("/desk/state").json();
    let lesson = &state["lessons"][0];
    assert_eq!(lesson["title"], "Low water");
    assert_eq!(lesson["tasks"][0]["hints"].as_array().unwrap().len(), 2);
    let wish = json!({ "lesson": lesson["id"] });
    let piece = cy.post("/desk/piece", &wish).json();
    assert_eq!(piece["file"], "low-water.abc");
    // To begin it again is to go on with it.
    assert_eq!(cy.post("/desk/piece", &wish).json(), piece);
    assert_eq!(
        cy.post("/desk/piece", &json!({ "lesson": "l9" })).status,
        422
    );
    let id = piece["id"].as_str().unwrap();
    let (text, tag) = cy.piece(id);
    // What is to be found is not given away.
    assert!(text.contains("task") && !text.contains("expect") && !text.contains("hint"));
    // The faults of a lesson are nobody's new ones.
    let row = events.until(|row| row["name"] == "Cy" && row["files"] == 1);
    assert_eq!(
        row["marks"],
        json!({ "asked": 1, "fixed": 0, "left": 1, "new": 0, "kept": true })
    );
    let new = row["cells"]
        .as_array()
        .unwrap()
        .iter()
        .filter(|cell| cell["new"] != 0);
    assert_eq!(new.count(), 0, "{row}");
    let fixed = text.replace("!+!G,4", "!+!g4");
    let saved = cy.save(id, &tag, &fixed);
    assert_eq!(saved.status, 204);
    let row = events.until(|row| row["marks"]["fixed"] == 1);
    assert_eq!(
        row["marks"],
        json!({ "asked": 1, "fixed": 1, "left": 0, "new": 0, "kept": true })
    );
    // Other music than the task asked for is seen, with its bar.
    let tag = saved.header("etag").unwrap().to_owned();
    assert_eq!(
        cy.save(id, &tag, &fixed.replace("e4 |]", "f4 |]")).status,
        204
    );
    let row = events.until(|row| row["marks"]["kept"] == false);
    assert_eq!(row["done"], false, "{row}");
    let row_id = row["id"].as_str().unwrap();
    let detail = class
        .teacher()
        .get(&format!("/wall/student/{row_id}"))
        .json();
    assert_eq!(
        detail["marks"][0]["changed"][0]["bar"], 4,
        "{}",
        detail["marks"]
    );
}

#[test]
fn a_student_who_copied_the_lesson_itself_is_done_when_its_faults_are_gone() {
    let demo = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../tests/demo/lessons");
    let name = "07-fog-by-hand.abc";
    let copy = format!("lessons/{name}");
    let path = format!("ada/{name}");
    let class = Class::of(&[(&path, &copy)], &["--lessons", demo.to_str().unwrap()]);
    let mut events = class.teacher().events();
    let (_, wall) = events.next();
    assert_eq!(wall["lessons"].as_array().unwrap().len(), 15);
    let lesson = std::fs::read_to_string(demo.join(name)).unwrap();
    let music = |text: &str| -> String { text.lines().last().unwrap().to_owned() };
    let answer = std::fs::read_to_string(demo.join("answers").join(name)).unwrap();
    // What the lesson says of itself stays in the student's copy.
    let fixed = lesson.replace(&music(&lesson), &music(&answer));
    assert!(fixed.contains("bellhand: expect"));
    std::fs::write(class.path(&path), fixed).unwrap();
    let row = events.until(|row| row["marks"]["fixed"] == 3);
    assert_eq!(row["done"], true, "{row}");
    assert_eq!(row["marks"]["kept"], true, "{row}");
    let open = |cell: &serde_json::Value| cell["open"] != 0;
    assert!(!row["cells"].as_array().unwrap().iter().any(open), "{row}");
}
