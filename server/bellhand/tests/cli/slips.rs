//! What cannot be done is said, with where and what to do.

use super::*;

#[test]
fn what_cannot_be_done_is_said_and_counted() {
    let folder = tempfile::tempdir().unwrap();
    let place = |name: &str, bytes: &[u8]| {
        let path = folder.path().join(name);
        std::fs::write(&path, bytes).unwrap();
        path.to_str().unwrap().to_owned()
    };
    let good = place(
        "good.abc",
        b"X:1\nK:none\nV:1 name=\"Horn in F\" transpose=-7\nc4|]\n",
    );
    let other = place("score.txt", b"X:1\n");
    let wide = place("wide.abc", b"\xFF\xFEX\0");
    for (arguments, words) in [
        (vec!["check", "nowhere.abc"], "nowhere.abc cannot be read"),
        (vec!["check", &other], "--as abc"),
        (vec!["check", "-"], "--as abc"),
        (vec!["check", &wide], "UTF-16"),
        (
            vec!["explain", "range/too-hihg"],
            "did you mean `range/too-high`?",
        ),
    ] {
        let output = run(&arguments, b"");
        assert_eq!(output.status.code(), Some(2), "{arguments:?}");
        assert!(
            text(&output.stderr).contains(words),
            "{arguments:?}: {}",
            text(&output.stderr)
        );
    }
    // One bad file does not keep the good ones from being judged.
    let output = run(&["check", "nowhere.abc", &good], b"");
    assert_eq!(output.status.code(), Some(2));
    assert!(text(&output.stdout).contains("1 horn part read"));
    // A slip in the settings has a place.
    place(
        "bellhand.toml",
        b"level = \"community\"\n[rules]\n\"range/too-high\" = \"loud\"\n",
    );
    let output = run(&["check", &good], b"");
    assert_eq!(output.status.code(), Some(2));
    assert!(
        text(&output.stderr).contains("bellhand.toml:3:20"),
        "{}",
        text(&output.stderr)
    );
}

#[test]
fn what_is_not_there_is_said() {
    let folder = tempfile::tempdir().unwrap();
    let at = |name: &str| folder.path().join(name).to_str().unwrap().to_owned();
    std::fs::write(at("read.me"), "no score").unwrap();
    std::fs::write(at("part.abc"), PART).unwrap();
    std::fs::create_dir(at("empty")).unwrap();
    for (arguments, words) in [
        (vec!["check", "EMPTY"], "no score in this folder"),
        (vec!["fix", "EMPTY"], "no score in this folder"),
        (vec!["check", "NOWHERE"], "cannot be read: No such file"),
        (vec!["check", "README"], "add --as abc"),
        (
            vec!["draw", "PART", "--into", "README"],
            "read.me cannot be made",
        ),
        (vec!["explain", "mute"], "mute/not-removed"),
        (vec!["explain", "nothing-such"], "lists them all\n"),
    ] {
        let arguments: Vec<String> = arguments
            .into_iter()
            .map(|argument| match argument {
                "EMPTY" => at("empty"),
                "NOWHERE" => at("nowhere"),
                "README" => at("read.me"),
                "PART" => at("part.abc"),
                other => other.to_owned(),
            })
            .collect();
        let arguments: Vec<&str> = arguments.iter().map(String::as_str).collect();
        let output = run(&arguments, b"");
        let said = text(&output.stderr);
        assert_eq!(output.status.code(), Some(2), "{arguments:?}: {said}");
        assert!(said.contains(words), "{arguments:?}: {said}");
        assert_eq!(text(&output.stdout), "", "{arguments:?}");
    }
}

#[test]
fn a_text_without_music_does_not_pass_for_a_clean_one() {
    for (name, words, says) in [
        (
            "words.abc",
            "dear band, the ferry is late\n",
            "begins with X:1",
        ),
        ("empty.krn", "", "**kern"),
        ("empty.abc", "", "no music"),
    ] {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join(name);
        std::fs::write(&path, words).unwrap();
        let output = run(&["check", path.to_str().unwrap()], b"");
        assert_eq!(output.status.code(), Some(2), "{name}: {output:?}");
        let said = text(&output.stderr);
        assert!(said.contains(says) && said.contains(name), "{said}");
    }
}

#[test]
fn one_part_is_checked_by_its_name() {
    let demo = concat!(
        env!("CARGO_MANIFEST_DIR"),
        "/../../tests/demo/evening-ferry.abc"
    );
    let output = run(
        &["check", "--format", "line", "--part", "horn 2 in f", demo],
        b"",
    );
    let lines = text(&output.stdout);
    assert!(lines.lines().count() > 2, "{lines}");
    assert!(
        lines
            .lines()
            .filter(|line| line.contains(".abc:"))
            .all(|line| line.contains("Horn 2 in F")),
        "{lines}"
    );
    let output = run(&["check", "--part", "Horn 5", demo], b"");
    assert_eq!(output.status.code(), Some(2));
    let said = text(&output.stderr);
    assert!(
        said.contains("\"Horn 1\", \"Horn 2 in F\", \"Horn 3 in E flat\""),
        "{said}"
    );
}

#[test]
fn what_was_likely_meant_is_said() {
    let score = demo("evening-ferry.abc");
    let score = score.to_str().unwrap();
    let house = demo("house");
    let house = house.to_str().unwrap();
    for (arguments, meant) in [
        (&["explain", "stoped"][..], "among them stopped/"),
        (
            &["check", "--only", "range/to-high", score],
            "did you mean `range/too-high`?",
        ),
        (
            &["check", "--without", "mut", score],
            "did you mean `mute`?",
        ),
        (
            &["check", "--part", "Horn 2 in G", score],
            "did you mean \"Horn 2 in F\"?",
        ),
        (
            &["check", "--fail-on", "warnin", score],
            "exists: 'warning'",
        ),
        (&["fix", "--fail-on", "nevr", score], "exists: 'never'"),
        (&["check", "--as", "musicxm", score], "exists: 'musicxml'"),
        (
            &["check", "--output", "sarf=report.sarif", score],
            "did you mean \"sarif\"?",
        ),
        (&["class", "--bar", "eror", house], "exists: 'error'"),
        (
            &["draw", "--part", "Hron 1", score],
            "did you mean \"Horn 1\"?",
        ),
        (
            &["rewrite", "--for", "E flatt", "--diff", score],
            "did you mean \"E flat\"?",
        ),
        (
            &["fingering", "C4", "--crook", "Eflt"],
            "did you mean \"E flat\"?",
        ),
        (
            &["rip", "C4", "C5", "--instrument", "tripel"],
            "did you mean \"triple\"?",
        ),
    ] {
        let output = run(arguments, b"");
        let said = text(&output.stderr);
        assert_eq!(output.status.code(), Some(2), "{arguments:?}: {said}");
        assert!(said.contains(meant), "{arguments:?}: {said}");
    }
    // A part that is not there has values all the same.
    for (path, meant) in [(score, "Horn 2 in F"), (house, "F Horn 2")] {
        let typed = meant.replace("Horn", "Hron");
        let output = run(&["settings", "--part", &typed, path], b"");
        let said = text(&output.stderr);
        assert_eq!(output.status.code(), Some(0), "{said}");
        assert!(
            said.contains(&format!("did you mean \"{meant}\"?")),
            "{said}"
        );
        let output = run(&["settings", "--part", meant, path], b"");
        assert!(!text(&output.stderr).contains("not there"), "{path}");
    }
}
