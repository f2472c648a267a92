//! Records of known findings: old scores are let in gently, and what is new fails all the same.

use super::*;

const LOW: &str = "X:1\nM:4/4\nL:1/4\nQ:1/4=96\nK:none\nV:1 name=\"Horn in F\" transpose=-7\n\
    \"^stopped\" !mf! A,4 | A,4 | G,4 | z4 | \"^open\" c4 |]\n";

/// A folder of scores, and a record in another folder beside them.
struct House(tempfile::TempDir);

impl House {
    fn new() -> Self {
        let house = Self(tempfile::tempdir().unwrap());
        std::fs::create_dir(house.0.path().join("records")).unwrap();
        house.place("low.abc", LOW);
        house.place("part.abc", PART);
        house
    }

    fn place(&self, name: &str, words: &str) {
        std::fs::write(self.0.path().join(name), words).unwrap();
    }

    fn record(&self) -> String {
        std::fs::read_to_string(self.0.path().join("records/known.jsonl")).unwrap()
    }

    fn check(&self, words: &[&str]) -> Output {
        Command::new(env!("CARGO_BIN_EXE_bellhand"))
            .arg("check")
            .args(words)
            .current_dir(self.0.path())
            .output()
            .unwrap()
    }

    fn write(&self) -> Output {
        self.check(&["--write-known", "records/known.jsonl", "."])
    }

    /// What is said, and the exit code.
    fn known(&self) -> (String, Option<i32>) {
        let output = self.check(&["--known", "records/known.jsonl", "."]);
        assert_eq!(text(&output.stderr), "");
        (text(&output.stdout), output.status.code())
    }
}

#[test]
fn what_is_known_does_not_count() {
    let house = House::new();
    assert_eq!(house.check(&["."]).status.code(), Some(1));
    let written = house.write();
    assert_eq!(written.status.code(), Some(0), "{}", text(&written.stderr));
    let record = house.record();
    let findings: usize = record
        .lines()
        .skip(1)
        .map(|line| {
            let line: Value = serde_json::from_str(line).unwrap();
            assert!(["../low.abc", "../part.abc"].contains(&line["file"].as_str().unwrap()));
            usize::try_from(line["count"].as_u64().unwrap()).unwrap()
        })
        .sum();
    assert!(findings > 3, "{record}");
    let lines: Vec<&str> = record.lines().skip(1).collect();
    assert!(lines.is_sorted(), "{record}");
    let (said, code) = house.known();
    assert_eq!(code, Some(0), "{said}");
    assert!(!said.contains("]:"), "{said}");
    assert!(
        said.contains(&format!("{findings} findings are known and not reported.")),
        "{said}"
    );
    // Written again it is the same, byte for byte.
    house.write();
    assert_eq!(house.record(), record);
    println!("{findings} findings known, none reported");
}

#[test]
fn what_is_new_fails_and_what_moved_does_not() {
    let house = House::new();
    house.write();
    let moved = format!("% the ebb\n\n{}", LOW.replace("!mf! A,4", "!mf! z4 | A,4"));
    house.place("low.abc", &moved);
    let (said, code) = house.known();
    assert_eq!(code, Some(0), "{said}");
    // The same bar once more is once too often.
    house.place("low.abc", &LOW.replace("| z4 |", "| A,4 | z4 |"));
    let (said, code) = house.known();
    assert_eq!(code, Some(1), "{said}");
    assert_eq!(said.matches("[stopped/too-low]").count(), 1, "{said}");
    house.place("low.abc", &LOW.replace("G,4", "F,4"));
    let (said, code) = house.known();
    assert_eq!(code, Some(1), "{said}");
    assert!(said.contains("F3"), "{said}");
    assert!(!said.contains("A3 (sounds"), "{said}");
    // A page draws no more than is reported.
    let page = house.check(&["--known", "records/known.jsonl", "--format", "html", "."]);
    let page = text(&page.stdout);
    assert_eq!(page.matches("<li ").count(), 1);
}

#[test]
fn what_is_gone_is_told_and_taken_out() {
    let house = House::new();
    house.write();
    let before = house.record();
    house.place("low.abc", &LOW.replace("G,4", "g4"));
    std::fs::remove_file(house.0.path().join("part.abc")).unwrap();
    let (said, _) = house.known();
    assert!(
        said.contains("known and cannot be found any more; --write-known"),
        "{said}"
    );
    // Of what was not looked for nothing is gone.
    house.place("part.abc", PART);
    let few = ["--known", "records/known.jsonl", "--only", "natural", "."];
    let output = house.check(&few);
    let output = text(&output.stdout) + &text(&output.stderr);
    assert!(!output.contains("any more"), "{output}");
    std::fs::remove_file(house.0.path().join("part.abc")).unwrap();
    // What is written of one rule leaves the others, and of one file the other.
    house.check(&[
        "--write-known",
        "records/known.jsonl",
        "--only",
        "natural",
        "low.abc",
    ]);
    assert!(house.record().contains("stopped/too-low"));
    house.write();
    let after = house.record();
    assert!(
        after.lines().count() < before.lines().count(),
        "{before}\n{after}"
    );
    assert!(!after.contains("part.abc"), "{after}");
    assert!(after.contains("low.abc"), "{after}");
}

#[test]
fn a_record_that_cannot_be_read_is_told() {
    let house = House::new();
    for (record, words) in [
        (None, "known.jsonl cannot be read"),
        (Some(&b"{\"bellhand_known\":2}\n"[..]), "is of version 2"),
        (
            Some(b"{\"bellhand_known\":1}\n{\"file\":3}\n"),
            "known.jsonl:2: ",
        ),
        (Some(b"\xFF\xFE"), "is no record"),
    ] {
        if let Some(record) = record {
            std::fs::write(house.0.path().join("records/known.jsonl"), record).unwrap();
        }
        let output = house.check(&["--known", "records/known.jsonl", "."]);
        assert_eq!(output.status.code(), Some(2), "{words}");
        let said = text(&output.stderr);
        assert!(said.contains(words), "{words}: {said}");
        assert_eq!(text(&output.stdout), "");
    }
}

#[test]
fn the_demo_house_lets_its_old_scores_be() {
    let house = demo("house");
    let (house, record) = (house.to_str().unwrap(), house.join("known.jsonl"));
    let check = |words: &[&str]| run(&[&["check", house], words].concat(), b"");
    assert_eq!(check(&[]).status.code(), Some(1));
    let known = check(&["--known", record.to_str().unwrap()]);
    assert_eq!(known.status.code(), Some(0), "{}", text(&known.stdout));
    assert!(
        text(&known.stdout).contains("23 findings are known"),
        "{}",
        text(&known.stdout)
    );
}

#[test]
fn a_part_that_is_renamed_is_known_by_its_music() {
    let folder = tempfile::tempdir().unwrap();
    let house = folder.path();
    std::fs::create_dir(house.join("youth")).unwrap();
    for name in [
        "bellhand.toml",
        "house.toml",
        "known.jsonl",
        "gangway.abc",
        "youth/bellhand.toml",
        "youth/lanterns.musicxml",
        "youth/low-tide.krn",
    ] {
        std::fs::copy(demo("house").join(name), house.join(name)).unwrap();
    }
    let run = |words: &[&str]| {
        Command::new(env!("CARGO_BIN_EXE_bellhand"))
            .args(words)
            .current_dir(house)
            .output()
            .unwrap()
    };
    let check = |words: &[&str]| {
        let output = run(&[&["check", "--known", "known.jsonl", "."], words].concat());
        (text(&output.stdout), output.status.code())
    };
    assert_eq!(run(&["fix", "."]).status.code(), Some(1));
    let left = run(&["check", "--format", "line", "."]);
    let left = text(&left.stdout).lines().count();
    assert!(left >= 3, "{left}");
    let (said, code) = check(&[]);
    assert_eq!(code, Some(0), "{said}");
    assert!(
        said.contains(&format!("{left} findings are known and not reported.")),
        "{said}"
    );
    // What the fixes saw to is gone, and what is written anew is known by the new names.
    assert!(
        said.contains("known and cannot be found any more"),
        "{said}"
    );
    assert_eq!(
        run(&["check", "--write-known", "known.jsonl", "."])
            .status
            .code(),
        Some(0)
    );
    let (said, code) = check(&[]);
    assert_eq!(code, Some(0), "{said}");
    assert!(!said.contains("any more"), "{said}");
}

#[test]
fn a_new_part_is_not_taken_for_one_that_is_still_there() {
    let house = House::new();
    let second = "V:2 name=\"Horn 2 in F\" transpose=-7\n";
    let tune = LOW.replace("V:1 name=\"Horn in F\"", "V:1 name=\"Horn 1 in F\"");
    house.place("low.abc", &tune);
    house.write();
    // Renamed, with all its music.
    let renamed = tune.replace("Horn 1 in F", "First Horn in F");
    house.place("low.abc", &renamed);
    let (said, code) = house.known();
    assert_eq!(code, Some(0), "{said}");
    // Another part with the same music, beside it under its old name: all of it is new.
    let twice = |first: &str| {
        let body = first.rsplit_once("transpose=-7\n").unwrap().1;
        format!("{first}{second}{body}")
    };
    let new = |tune: &str| {
        house.place("low.abc", tune);
        let words = ["--known", "records/known.jsonl", "--format", "line", "."];
        let said = text(&house.check(&words).stdout);
        let low = said.lines().filter(|line| line.contains("stopped/too-low"));
        low.map(|line| line.contains("Horn 2 in F"))
            .collect::<Vec<_>>()
    };
    assert_eq!(new(&twice(&tune)), [true; 3]);
    // Also of a bar that is put right in the part itself.
    assert_eq!(new(&twice(&tune).replacen("G,4", "g4", 1)), [true; 3]);
    // And beside it under a new name: what is known is known once.
    assert_eq!(new(&twice(&renamed)).len(), 3);
    // A bar that is written anew is new, whatever the part is called.
    house.place("low.abc", &renamed.replace("G,4", "F,4"));
    let (said, code) = house.known();
    assert_eq!(code, Some(1), "{said}");
    assert!(
        said.contains("F3") && !said.contains("A3 (sounds"),
        "{said}"
    );
}

#[test]
fn a_finding_about_the_name_itself_is_known_under_another() {
    let house = House::new();
    let odd = LOW.replace("Horn in F\" transpose=-7", "Horns 1.3. in F\" transpose=-7");
    house.place("low.abc", &odd);
    let only = ["--only", "section/pairing", "low.abc"];
    assert_eq!(
        text(
            &house
                .check(&[&["--format", "line"], &only[..]].concat())
                .stdout
        )
        .lines()
        .count(),
        1
    );
    house.write();
    house.place(
        "low.abc",
        &odd.replace("Horns 1.3. in F", "Corni 1.3. in Fa"),
    );
    let output = house.check(&[&["--known", "records/known.jsonl"], &only[..]].concat());
    assert!(
        text(&output.stdout).contains("1 finding is known and not reported."),
        "{}",
        text(&output.stdout)
    );
}
