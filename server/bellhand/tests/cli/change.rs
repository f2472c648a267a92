//! `fix` and `rewrite`: what is written, and what stays as it was.

use super::*;

#[test]
fn files_are_fixed_in_place_as_they_lie() {
    let folder = tempfile::tempdir().unwrap();
    let cases: [(&str, Vec<u8>, Vec<u8>); 4] = [
        (
            "plain",
            PART.into(),
            PART.replace("K:Bb", "K:none")
                .replace("B c d e", "_B c d _e")
                .into(),
        ),
        (
            "crlf",
            PART.replace('\n', "\r\n").into(),
            PART.replace("K:Bb", "K:none")
                .replace("B c d e", "_B c d _e")
                .replace('\n', "\r\n")
                .into(),
        ),
        (
            "marked",
            [b"\xEF\xBB\xBF", PART.as_bytes()].concat(),
            [
                b"\xEF\xBB\xBF",
                PART.replace("K:Bb", "K:none")
                    .replace("B c d e", "_B c d _e")
                    .as_bytes(),
            ]
            .concat(),
        ),
        (
            "latin",
            [b"% F\xE4hre\n", PART.as_bytes()].concat(),
            [
                b"% F\xE4hre\n",
                PART.replace("K:Bb", "K:none")
                    .replace("B c d e", "_B c d _e")
                    .as_bytes(),
            ]
            .concat(),
        ),
    ];
    for (name, before, after) in cases {
        let path = folder.path().join(format!("{name}.abc"));
        std::fs::write(&path, &before).unwrap();
        let shown = run(&["fix", "--diff", path.to_str().unwrap()], b"");
        assert!(text(&shown.stdout).contains("-K:Bb"), "{name}");
        assert_eq!(
            std::fs::read(&path).unwrap(),
            before,
            "--diff writes nothing"
        );
        let output = run(&["fix", path.to_str().unwrap()], b"");
        assert_eq!(
            output.status.code(),
            Some(0),
            "{name}: {}",
            text(&output.stderr)
        );
        assert_eq!(std::fs::read(&path).unwrap(), after, "{name}");
        let again = run(&["fix", path.to_str().unwrap()], b"");
        assert!(text(&again.stdout).contains("nothing to fix"), "{name}");
    }
    let left: Vec<_> = std::fs::read_dir(folder.path()).unwrap().collect();
    assert_eq!(left.len(), 4, "no half-written file is left");
}

#[cfg(unix)]
#[test]
fn permissions_and_links_stay() {
    use std::os::unix::fs::PermissionsExt as _;
    let folder = tempfile::tempdir().unwrap();
    let (path, link) = (
        folder.path().join("part.abc"),
        folder.path().join("link.abc"),
    );
    std::fs::write(&path, PART).unwrap();
    std::fs::set_permissions(&path, std::fs::Permissions::from_mode(0o640)).unwrap();
    std::os::unix::fs::symlink(&path, &link).unwrap();
    run(&["fix", link.to_str().unwrap()], b"");
    assert!(std::fs::symlink_metadata(&link).unwrap().is_symlink());
    assert!(std::fs::read_to_string(&path).unwrap().contains("K:none"));
    assert_eq!(
        std::fs::metadata(&path).unwrap().permissions().mode() & 0o777,
        0o640
    );
}

#[test]
fn standard_input_is_fixed_to_standard_output() {
    let output = run(&["fix", "--as", "abc", "-"], PART.as_bytes());
    assert_eq!(
        text(&output.stdout),
        PART.replace("K:Bb", "K:none")
            .replace("B c d e", "_B c d _e")
    );
}

#[test]
fn a_part_is_written_for_another_crook() {
    let part = "X:1\nM:4/4\nL:1/4\nK:none\nV:1 name=\"Horn 1 in D\" transpose=-10\nc e g ^f | [ce]2 _b2- | b4 |]\n";
    let output = run(
        &["rewrite", "--as", "abc", "--for", "horn in F", "-"],
        part.as_bytes(),
    );
    assert_eq!(output.status.code(), Some(0), "{}", text(&output.stderr));
    let written = text(&output.stdout);
    assert_eq!(
        written,
        "X:1\nM:4/4\nL:1/4\nK:none\nV:1 name=\"Horn 1 in F\" transpose=-7\nA ^c e ^d | [A^c]2 g2- | g4 |]\n"
    );
    let back = run(
        &["rewrite", "--as", "abc", "--for", "D", "-"],
        written.as_bytes(),
    );
    assert_eq!(text(&back.stdout), part);
    let concert = run(
        &["rewrite", "--as", "abc", "--for", "concert", "-"],
        part.as_bytes(),
    );
    assert!(
        text(&concert.stdout).contains("D ^F A ^G | [D^F]2 c2-"),
        "{}",
        text(&concert.stdout)
    );
    assert!(
        text(&concert.stdout).contains("V:1 name=\"Horn 1 (concert pitch)\" transpose=0"),
        "{}",
        text(&concert.stdout)
    );
    let three = run(
        &[
            "rewrite",
            "--diff",
            "--part",
            "Horn 3 in E flat",
            "--for",
            "F",
            demo("evening-ferry-fixed.abc").to_str().unwrap(),
        ],
        b"",
    );
    let words = text(&three.stdout);
    assert!(
        words.contains("+V:3 name=\"Horn 3 in F\" transpose=-7"),
        "{words}{}",
        text(&three.stderr)
    );
    assert_eq!(
        run(&["rewrite", "--as", "abc", "--for", "H flat", "-"], b"")
            .status
            .code(),
        Some(2)
    );
}

#[test]
fn all_horn_parts_are_written_for_another_crook() {
    let score = "X:1\nM:4/4\nL:1/4\nK:none\n\
        V:1 name=\"Flute\"\nV:2 name=\"Corno in Re\" transpose=-10\nV:3 name=\"Corno in Re\" transpose=-10\n\
        V:4 name=\"Corno in Fa\" transpose=-7\n\
        [V:1] c4 |]\n[V:2] c4 |]\n[V:3] e4 |]\n[V:4] g4 |]\n";
    let rewrite = |more: &[&str]| {
        let arguments = [&["rewrite", "--as", "abc", "-"], more].concat();
        run(&arguments, score.as_bytes())
    };
    let both = score
        .replace("in Re\" transpose=-10", "in Fa\" transpose=-7")
        .replace("[V:2] c4", "[V:2] A4")
        .replace("[V:3] e4", "[V:3] ^c4");
    assert_eq!(text(&rewrite(&["--for", "F"]).stdout), both);
    let second = score
        .replace(
            "V:3 name=\"Corno in Re\" transpose=-10",
            "V:3 name=\"Corno in Fa\" transpose=-7",
        )
        .replace("[V:3] e4", "[V:3] ^c4");
    for part in ["3", "Corno in Re, second", "corno in re , Second"] {
        let output = rewrite(&["--for", "F", "--part", part]);
        assert_eq!(
            text(&output.stdout),
            second,
            "{part}: {}",
            text(&output.stderr)
        );
    }
    for (part, said) in [
        (
            "Corno in Re",
            "\"Corno in Re\" is the name of 2 parts; say one of \"Corno in Re, first\" (part 2), \"Corno in Re, second\" (part 3)",
        ),
        (
            "Flute",
            "\"Flute\" is not a horn part; there are \"Corno in Re, first\" (part 2)",
        ),
        ("Corno in Re, third", "no such horn part; there are"),
        ("7", "no such horn part; there are"),
    ] {
        let output = rewrite(&["--for", "F", "--part", part]);
        assert_eq!(output.status.code(), Some(2), "{part}");
        assert!(
            text(&output.stderr).contains(said),
            "{part}: {}",
            text(&output.stderr)
        );
    }
}

#[test]
fn what_was_rewritten_is_told() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("part.abc");
    std::fs::write(&path, PART).unwrap();
    let rewrite = |target: &str| run(&["rewrite", "--for", target, path.to_str().unwrap()], b"");
    let output = rewrite("E flat");
    assert!(
        text(&output.stdout).contains("written for horn in E flat"),
        "{output:?}"
    );
    let again = rewrite("E flat");
    assert_eq!(again.status.code(), Some(0));
    assert!(
        text(&again.stdout).contains("part.abc: written for horn in E flat already"),
        "{again:?}"
    );
    let output = rewrite("concert");
    assert!(
        text(&output.stdout).contains("written at concert pitch"),
        "{output:?}"
    );
}

#[test]
fn every_crook_offered_can_be_written() {
    let mut offered = 0;
    for asked in ["B basso", "B", "C", "A", "A flat", "B flat"] {
        let output = run(&["fingering", "C5", "--crook", asked], b"");
        let said = text(&output.stderr);
        let Some((_, choices)) = said.split_once("can be ") else {
            continue;
        };
        let choices = choices.split_once("; say which").unwrap().0;
        for choice in choices.split(" or ") {
            let output = run(&["fingering", "C5", "--crook", choice], b"");
            assert_eq!(output.status.code(), Some(0), "{asked}: {choice}");
            offered += 1;
        }
    }
    assert!(offered >= 4, "{offered} crooks were offered");
}

#[cfg(unix)]
#[test]
fn what_may_not_be_replaced_is_left_and_told() {
    use std::os::unix::fs::PermissionsExt as _;
    let folder = tempfile::tempdir().unwrap();
    let at = |name: &str| folder.path().join(name);
    for name in ["a-read-only.abc", "b-twice.abc", "d-last.abc"] {
        std::fs::write(at(name), PART).unwrap();
    }
    let locked = std::fs::Permissions::from_mode(0o444);
    std::fs::set_permissions(at("a-read-only.abc"), locked).unwrap();
    std::fs::hard_link(at("b-twice.abc"), at("c-twice.abc")).unwrap();
    let output = run(&["fix", folder.path().to_str().unwrap()], b"");
    let said = text(&output.stderr);
    assert_eq!(output.status.code(), Some(2), "{said}");
    assert!(said.contains("a-read-only.abc is read-only"), "{said}");
    assert_eq!(said.matches("under several names").count(), 2, "{said}");
    for name in ["a-read-only.abc", "b-twice.abc", "c-twice.abc"] {
        assert_eq!(std::fs::read_to_string(at(name)).unwrap(), PART, "{name}");
    }
    // One that cannot be written stops no other.
    assert!(
        std::fs::read_to_string(at("d-last.abc"))
            .unwrap()
            .contains("K:none")
    );
    assert_eq!(std::fs::read_dir(folder.path()).unwrap().count(), 4);
}

#[cfg(unix)]
#[test]
fn what_has_no_end_is_not_read() {
    let folder = tempfile::tempdir().unwrap();
    let pipe = folder.path().join("part.abc");
    let made = Command::new("mkfifo").arg(&pipe).status().unwrap();
    assert!(made.success());
    for path in [pipe.to_str().unwrap(), "/dev/zero"] {
        let output = run(&["check", "--as", "abc", path], b"");
        assert_eq!(output.status.code(), Some(2), "{path}");
        assert!(text(&output.stderr).contains("is no file"), "{path}");
    }
}

#[test]
fn two_at_once_leave_one_whole_outcome() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("part.abc");
    let bars = "B c d e | ".repeat(50);
    let part = PART.replace("B c d e |]", &bars);
    for _ in 0..5 {
        std::fs::write(&path, &part).unwrap();
        let fixes: Vec<_> = (0..4)
            .map(|_| {
                let path = path.clone();
                std::thread::spawn(move || run(&["fix", path.to_str().unwrap()], b""))
            })
            .collect();
        let outputs: Vec<Output> = fixes.into_iter().map(|fix| fix.join().unwrap()).collect();
        let fixed = outputs
            .iter()
            .filter(|one| text(&one.stdout).contains("notation/key-signature"));
        assert_eq!(fixed.count(), 1, "{outputs:?}");
        for output in &outputs {
            let said = text(&output.stderr);
            assert!(
                output.status.code() == Some(0) || said.contains("was changed by someone else"),
                "{said}"
            );
        }
        let after = std::fs::read_to_string(&path).unwrap();
        assert_eq!(after.matches("_B c d _e").count(), 50);
        assert_eq!(std::fs::read_dir(folder.path()).unwrap().count(), 1);
    }
}

#[test]
fn cues_are_written_into_whole_parts() {
    let rests = "z4 | ".repeat(22);
    let score = format!(
        "X:1\nM:4/4\nL:1/4\nQ:1/4=60\nK:none\nV:1 name=\"Horn 1 in F\" transpose=-7\nV:2 name=\"Horn 2 in F\" transpose=-7\n\
         V:3 name=\"Oboe\"\n[V:1] !mf!c4 | Z23 | !mf!e4 |]\n[V:2] !mf!c4 | Z23 | !mf!e4 |]\n\
         [V:3] {rests}!mf!A B c d | c B A G | z4 |]\n"
    );
    let rewrite = |more: &[&str]| {
        let arguments = [&["rewrite", "--as", "abc", "--cues", "-"], more].concat();
        run(&arguments, score.as_bytes())
    };
    let divided = "c4 | Z21 | \"^Oboe (D)\" Z2 | !mf!e4";
    let both = rewrite(&[]);
    assert_eq!(both.status.code(), Some(0), "{}", text(&both.stderr));
    assert_eq!(text(&both.stdout).matches(divided).count(), 2);
    let second = rewrite(&["--part", "Horn 2 in F"]);
    let (first, rest) = score.split_once("[V:2]").unwrap();
    let rest = rest.replacen("c4 | Z23 | !mf!e4", divided, 1);
    assert_eq!(text(&second.stdout), format!("{first}[V:2]{rest}"));
    let shown = rewrite(&["--diff", "--part", "2"]);
    assert!(text(&shown.stdout).contains(&format!("+[V:2] !mf!{divided}")));
    // A file is written in place, once.
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("pier.abc");
    std::fs::write(&path, &score).unwrap();
    let path = path.to_str().unwrap();
    let output = run(&["rewrite", "--cues", path], b"");
    let said = "Horn 1 in F, bar 25: Write \"Oboe (D)\" over the rest in bar 23 (part/no-cue)";
    assert!(text(&output.stdout).contains(said), "{output:?}");
    assert_eq!(std::fs::read_to_string(path).unwrap(), text(&both.stdout));
    let again = run(&["rewrite", "--cues", path], b"");
    assert!(
        text(&again.stdout).contains("pier.abc: no cue to write"),
        "{again:?}"
    );
    // An entry before which nobody plays is told.
    let alone = score.replace("!mf!A B c d | c B A G", "z4 | z4");
    let output = run(&["rewrite", "--as", "abc", "--cues", "-"], alone.as_bytes());
    assert_eq!(text(&output.stdout), alone);
    assert_eq!(
        text(&output.stderr)
            .matches("no other part plays a line")
            .count(),
        2
    );
    // Either a crook or cues.
    for wrong in [
        &["rewrite", "-"][..],
        &["rewrite", "--cues", "--for", "F", "-"],
    ] {
        assert_eq!(run(wrong, b"").status.code(), Some(2), "{wrong:?}");
    }
}
