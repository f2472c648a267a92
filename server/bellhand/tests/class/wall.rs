//! The wall: who stands on it, and what of a save is seen on it.

use serde_json::Value;

use crate::{Class, put};

const FAULTY: &str = "evening-ferry.abc";
const FIXED: &str = "evening-ferry-fixed.abc";

fn sum(row: &Value, what: &str) -> u64 {
    let cells = row["cells"].as_array().unwrap().iter();
    cells.map(|cell| cell[what].as_u64().unwrap()).sum()
}

#[test]
fn a_save_is_seen_on_the_wall() {
    let class = Class::of(&[("ada/horn.abc", FAULTY), ("ben.abc", FIXED)], &[]);
    let mut events = class.teacher().events();
    let (name, wall) = events.next();
    assert_eq!(name, "wall");
    let rows = wall["students"].as_array().unwrap();
    let (ada, ben) = (&rows[0], &rows[1]);
    assert_eq!((&ada["name"], &ben["name"]), (&"ada".into(), &"ben".into()));
    assert_eq!((&ada["done"], &ben["done"]), (&false.into(), &true.into()));
    assert_eq!(ada["horns"], 3);
    let open = sum(ada, "open");
    assert!(
        open > 10 && sum(ada, "new") == 0 && sum(ada, "fixed") == 0,
        "{ada}"
    );
    assert!(wall["met"][0]["why"].as_str().unwrap().len() > 20);
    assert_eq!(wall["desks"], Value::Null);

    // Ada puts all right; Ben undoes it.
    put(&class.path("ada/horn.abc"), FIXED);
    let ada = events.until(|row| row["name"] == "ada" && row["done"] == true);
    assert_eq!((sum(&ada, "open"), sum(&ada, "fixed")), (0, open));
    put(&class.path("ben.abc"), FAULTY);
    let ben = events.until(|row| row["name"] == "ben" && row["done"] == false);
    assert_eq!((sum(&ben, "new"), sum(&ben, "fixed")), (open, 0));

    // A score that comes is all new, and one that goes takes its row with it.
    put(&class.path("cy/first.abc"), FAULTY);
    let cy = events.until(|row| row["name"] == "cy");
    assert_eq!(sum(&cy, "new"), open);
    std::fs::remove_file(class.path("ben.abc")).unwrap();
    let gone = loop {
        let (_, change) = events.next();
        if change["gone"] != Value::Array(Vec::new()) {
            break change["gone"].clone();
        }
    };
    assert_eq!(gone[0], ben["id"]);
}

#[test]
fn an_atomic_save_and_what_cannot_be_read_are_seen() {
    let class = Class::of(&[("ada/horn.abc", FIXED)], &[]);
    let mut events = class.teacher().events();
    events.next();
    // As many editors save: a file beside it takes its place.
    put(&class.path("ada/.horn.abc.new"), FAULTY);
    std::fs::rename(class.path("ada/.horn.abc.new"), class.path("ada/horn.abc")).unwrap();
    events.until(|row| row["done"] == false);
    std::fs::write(
        class.path("ada/other.mxl"),
        b"PK\x03\x04, and then no package",
    )
    .unwrap();
    let ada = events.until(|row| !row["problem"].is_null());
    let problem = ada["problem"].as_str().unwrap();
    let folder = class.folder.path().display().to_string();
    assert!(
        problem.starts_with("other.mxl") && !problem.contains(&folder),
        "{problem}"
    );
}

#[test]
fn the_settings_of_the_class_hold_at_once() {
    let class = Class::of(&[("ada/horn.abc", FAULTY)], &["--bar", "error"]);
    let mut events = class.teacher().events();
    let (_, wall) = events.next();
    let before = sum(&wall["students"][0], "open");
    std::fs::write(class.path("bellhand.toml"), "[rules]\nmute = \"off\"\n").unwrap();
    let ada = events.until(|row| sum(row, "open") < before);
    let cells = ada["cells"].as_array().unwrap().iter();
    let open = cells.filter(|cell| cell["open"] != 0);
    assert!(open.clone().count() > 0);
    assert!(
        open.clone()
            .all(|cell| !cell["rule"].as_str().unwrap().starts_with("mute/"))
    );
}

#[test]
fn a_row_opens_the_students_parts() {
    let class = Class::of(&[("ada/horn.abc", FAULTY)], &["--names", "/dev/null"]);
    let mut teacher = class.teacher();
    let (_, wall) = teacher.events().next();
    let id = wall["students"][0]["id"].as_str().unwrap();
    let detail = teacher.get(&format!("/wall/student/{id}")).json();
    let score = &detail["scores"][0];
    assert_eq!(score["file"], "horn.abc");
    let parts = score["parts"].as_array().unwrap();
    assert_eq!(parts.len(), 3);
    let mut findings = 0;
    for part in parts {
        let svg = part["svg"].as_str().unwrap();
        for finding in part["findings"].as_array().unwrap() {
            findings += 1;
            let mark = finding["mark"].as_str().unwrap();
            assert!(svg.contains(&format!("id=\"{mark}\"")), "{mark}");
            let text: Vec<u16> = finding["text"].as_str().unwrap().encode_utf16().collect();
            let place = |end: &str| usize::try_from(finding[end].as_u64().unwrap()).unwrap();
            assert!(
                place("from") <= place("to") && place("to") <= text.len(),
                "{finding}"
            );
            assert!(!finding["why"].as_str().unwrap().is_empty(), "{finding}");
        }
    }
    let all = findings + score["about"].as_array().unwrap().len();
    let open = wall["students"][0]["cells"].as_array().unwrap().iter();
    let open: u64 = open.map(|cell| cell["open"].as_u64().unwrap()).sum();
    // A finding about several parts is drawn in each.
    assert!(all as u64 >= open, "{all} of {open}");
    assert_eq!(teacher.get("/wall/student/s99").status, 404);
}

#[test]
fn what_is_no_class_is_told_and_ends() {
    let run = |arguments: &[&str]| {
        let mut command = std::process::Command::new(env!("CARGO_BIN_EXE_bellhand"));
        let output = command.arg("class").args(arguments).output().unwrap();
        (
            output.status.code(),
            String::from_utf8(output.stderr).unwrap(),
        )
    };
    let (code, said) = run(&["/nowhere/at/all"]);
    assert!(code == Some(2) && said.contains("is no folder"), "{said}");
    let folder = tempfile::tempdir().unwrap();
    let names = folder.path().join("names.txt");
    std::fs::write(&names, "ada = Ada\nben\n").unwrap();
    let of = folder.path().to_str().unwrap();
    let (code, said) = run(&[of, "--names", names.to_str().unwrap()]);
    assert!(
        code == Some(2) && said.contains("names.txt: line 2: "),
        "{said}"
    );
    let taken = std::net::TcpListener::bind(("127.0.0.1", 0)).unwrap();
    let port = taken.local_addr().unwrap().port().to_string();
    let (code, said) = run(&[of, "--port", &port]);
    assert!(code == Some(2) && said.contains("--port"), "{said}");
    // Others come to desks, not to the wall.
    let (code, said) = run(&[of, "--share"]);
    assert!(code == Some(2) && said.contains("--desks"), "{said}");
}
