//! The command line as its users and their programs meet it.
#![expect(clippy::unwrap_used, reason = "a user in a test fails loudly")]

use std::io::Write as _;
use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};

use serde_json::Value;

fn demo(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("../../tests/demo")
        .join(name)
}

fn run(arguments: &[&str], input: &[u8]) -> Output {
    let mut child = Command::new(env!("CARGO_BIN_EXE_bellhand"))
        .args(arguments)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    let mut pipe = child.stdin.take().unwrap();
    // A command that does not read its input may be gone already.
    let _ = pipe.write_all(input);
    drop(pipe);
    child.wait_with_output().unwrap()
}

fn text(bytes: &[u8]) -> String {
    String::from_utf8(bytes.to_vec()).unwrap()
}

fn json(output: &Output) -> Value {
    serde_json::from_slice(&output.stdout).unwrap()
}

const PART: &str = "X:1\nM:4/4\nL:1/4\nK:Bb\nV:1 name=\"Horn in F\" transpose=-7\nB c d e |]\n";

#[test]
fn the_demo_is_judged_in_text() {
    let path = demo("evening-ferry.abc");
    let output = run(&["check", path.to_str().unwrap()], b"");
    assert_eq!(output.status.code(), Some(1));
    let words = text(&output.stdout);
    for part in [
        "warning[notation/key-signature]",
        "error[stopped/too-low]: Horn 2 in F, bar 7: A3 (sounds D3)",
        "^^^^",
        "= fix: Take the key signatures out and write every accidental (safe)",
        "3 horn parts read:",
    ] {
        assert!(words.contains(part), "{part}:\n{words}");
    }
    assert!(
        !words.contains('\u{1b}'),
        "no colours where nobody sees them"
    );
    let mended = run(
        &["check", demo("evening-ferry-mended.abc").to_str().unwrap()],
        b"",
    );
    assert_eq!(mended.status.code(), Some(0), "{}", text(&mended.stdout));
}

#[test]
fn the_json_keeps_its_contract() {
    let path = demo("evening-ferry.abc");
    let source = std::fs::read_to_string(&path).unwrap();
    let report = json(&run(
        &["check", "--format", "json", path.to_str().unwrap()],
        b"",
    ));
    assert_eq!(report["version"], 1);
    let file = &report["files"][0];
    assert_eq!(file["format"], "abc");
    let findings = file["findings"].as_array().unwrap();
    let mut counted = [0, 0, 0, 0];
    let (mut fixes, mut edits) = (0, 0);
    for finding in findings {
        let severity = finding["severity"].as_str().unwrap();
        let names = ["error", "warning", "information", "hint"];
        counted[names.iter().position(|name| *name == severity).unwrap()] += 1;
        let (start, end) = (&finding["start"], &finding["end"]);
        let byte = start["byte"].as_u64().unwrap() as usize;
        assert!(byte < end["byte"].as_u64().unwrap() as usize);
        let before = &source[..byte];
        assert_eq!(start["line"], before.matches('\n').count() + 1);
        assert_eq!(
            start["column"],
            before.rsplit('\n').next().unwrap().chars().count() + 1
        );
        assert!(finding["message"].as_str().unwrap().len() > 20);
        assert!(!finding["source"].as_str().unwrap().is_empty());
        assert!(finding["rule"].as_str().unwrap().contains('/'));
        for fix in finding["fixes"].as_array().unwrap() {
            fixes += 1;
            assert!(["safe", "review"].contains(&fix["safety"].as_str().unwrap()));
            let mut mended = source.clone();
            let mut all: Vec<&Value> = fix["edits"].as_array().unwrap().iter().collect();
            all.sort_by_key(|edit| edit["start"].as_u64());
            for edit in all.into_iter().rev() {
                edits += 1;
                let range = edit["start"].as_u64().unwrap() as usize
                    ..edit["end"].as_u64().unwrap() as usize;
                mended.replace_range(range, edit["text"].as_str().unwrap());
            }
            let again = run(
                &["check", "--as", "abc", "--format", "json", "-"],
                mended.as_bytes(),
            );
            // Mending one place may bring another of the same rule to light, with other words.
            let same = |all: &Value| {
                let all = all.as_array().unwrap().iter();
                all.filter(|f| f["rule"] == finding["rule"] && f["message"] == finding["message"])
                    .count()
            };
            let left = same(&json(&again)["files"][0]["findings"]);
            let had = same(&file["findings"]);
            assert!(
                left < had,
                "{}: {} mends nothing",
                finding["rule"],
                fix["title"]
            );
        }
    }
    println!(
        "{} findings, {fixes} fixes, {edits} edits applied and judged again",
        findings.len()
    );
    assert!(fixes > 10);
    for (name, count) in ["error", "warning", "information", "hint"]
        .iter()
        .zip(counted)
    {
        assert_eq!(report["summary"][name], count, "{name}");
    }
}

#[test]
fn notes_are_listed_as_they_are_read() {
    let input =
        b"X:1\nM:4/4\nL:1/4\nK:none\nV:1 name=\"Horn in F\" transpose=-7\n{d}c3/2 !+!^f/- ^f2 |]\n";
    let report = json(&run(
        &["notes", "--as", "abc", "--format", "json", "-"],
        input,
    ));
    let part = &report["files"][0]["parts"][0];
    assert_eq!(
        (part["name"].as_str(), part["crook"].as_str()),
        (Some("Horn in F"), Some("F"))
    );
    let notes = part["notes"].as_array().unwrap();
    assert_eq!(notes.len(), 4);
    assert_eq!(notes[0]["grace"], true);
    assert_eq!(notes[1]["length"], "3/2");
    assert_eq!(notes[2]["offset"], "3/2");
    assert_eq!(notes[2]["written"], "F#5");
    assert_eq!(notes[2]["sounding"], "B4");
    assert_eq!(notes[2]["midi"], 71);
    assert_eq!(notes[2]["technique"], "stopped");
    assert_eq!(notes[3]["tied"], true);
    assert_eq!(
        notes[3]["technique"], "stopped",
        "a tied note goes on as it began"
    );
    assert_eq!(
        (notes[1]["line"].as_u64(), notes[1]["column"].as_u64()),
        (Some(6), Some(4))
    );
    let words = text(&run(&["notes", "--as", "abc", "-"], input).stdout);
    assert!(
        words.contains("F#5") && words.contains("stopped, tied"),
        "{words}"
    );
}

#[test]
fn files_are_mended_in_place_as_they_lie() {
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
        assert!(text(&again.stdout).contains("nothing to mend"), "{name}");
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
fn standard_input_is_mended_to_standard_output() {
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
    let which = run(
        &[
            "rewrite",
            "--for",
            "F",
            demo("evening-ferry.abc").to_str().unwrap(),
        ],
        b"",
    );
    assert_eq!(which.status.code(), Some(2));
    assert!(
        text(&which.stderr).contains("which part?"),
        "{}",
        text(&which.stderr)
    );
    let three = run(
        &[
            "rewrite",
            "--diff",
            "--part",
            "Horn 3 in E flat",
            "--for",
            "F",
            demo("evening-ferry-mended.abc").to_str().unwrap(),
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
        (vec!["explain", "range/too-hihg"], "no rule"),
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
fn a_folder_is_its_scores() {
    let folder = tempfile::tempdir().unwrap();
    let place = |name: &str, bytes: &[u8]| {
        let path = folder.path().join(name);
        std::fs::create_dir_all(path.parent().unwrap()).unwrap();
        std::fs::write(path, bytes).unwrap();
    };
    let part = b"X:1\nK:none\nV:1 name=\"Horn in F\" transpose=-7\nc4|]\n";
    for number in 0..30 {
        place(&format!("book/{number:02}.abc"), part);
    }
    place("left/out.abc", part);
    place(".gitignore", b"left/\n");
    place("book/notes.txt", b"no score");
    place("book/other.xml", b"<timetable/>");
    let output = run(
        &["check", "--format", "json", folder.path().to_str().unwrap()],
        b"",
    );
    assert_eq!(output.status.code(), Some(0), "{}", text(&output.stderr));
    let files = json(&output)["files"].as_array().unwrap().clone();
    let names: Vec<&str> = files
        .iter()
        .map(|file| file["path"].as_str().unwrap())
        .collect();
    assert_eq!(names.len(), 30);
    assert!(names.is_sorted(), "in the order of their names: {names:?}");
}

#[test]
fn settings_come_to_bear() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("part.abc");
    std::fs::write(
        &path,
        "X:1\nM:4/4\nL:1/4\nK:none\nV:1 name=\"Alto 1\" transpose=-9\nc' c c c|]\n",
    )
    .unwrap();
    let path = path.to_str().unwrap();
    let judge = |settings: &str| {
        std::fs::write(folder.path().join("bellhand.toml"), settings).unwrap();
        json(&run(&["check", "--format", "json", path], b""))["files"][0]["findings"].clone()
    };
    let rules = |findings: &Value| -> Vec<String> {
        findings
            .as_array()
            .unwrap()
            .iter()
            .map(|f| f["rule"].as_str().unwrap().to_owned())
            .collect()
    };
    assert_eq!(rules(&judge("")), ["notation/no-horn"]);
    let parts = "[parts]\n\"Alto 1\" = \"horn in E flat\"\n";
    assert_eq!(rules(&judge(parts)), ["notation/unnamed-crook"]);
    let student = format!(
        "level = \"student\"\n{parts}[rules]\n\"notation/unnamed-crook\" = \"off\"\n\"range/too-high\" = \"error\"\n"
    );
    let found = judge(&student);
    assert!(
        rules(&found).contains(&"range/too-high".to_owned()),
        "{found}"
    );
    assert!(
        !rules(&found).contains(&"notation/unnamed-crook".to_owned()),
        "{found}"
    );
    let high = found
        .as_array()
        .unwrap()
        .iter()
        .find(|f| f["rule"] == "range/too-high")
        .unwrap();
    assert_eq!(high["severity"], "error");
    let allowed =
        format!("{student}\"range/edge\" = \"off\"\n").replace("\"error\"", "{ highest = \"C6\" }");
    assert!(
        !rules(&judge(&allowed.replace("\"range/edge\" = \"off\"\n", "")))
            .contains(&"range/too-high".to_owned())
    );
}

#[test]
fn the_severity_that_fails_can_be_chosen() {
    let unnamed = b"X:1\nK:none\nV:1 name=\"Horn\" transpose=-7\nc4|]\n";
    for (severity, code) in [
        ("information", 1),
        ("warning", 0),
        ("hint", 1),
        ("error", 0),
    ] {
        let output = run(
            &["check", "--as", "abc", "--fail-on", severity, "-"],
            unnamed,
        );
        assert_eq!(output.status.code(), Some(code), "{severity}");
    }
}

#[test]
fn every_rule_is_explained() {
    let list = text(&run(&["explain"], b"").stdout);
    for rule in rules::ALL {
        assert!(list.contains(rule.name), "{}", rule.name);
        let page = text(&run(&["explain", rule.name], b"").stdout);
        for part in [
            "## Why it matters",
            "## What to write instead",
            "## Source",
            "## Settings",
        ] {
            assert!(page.contains(part), "{} lacks {part}", rule.name);
        }
    }
    assert!(list.contains("doctor"), "the usual cautions are said");
}

#[test]
fn fingerings_are_looked_up() {
    let words = |arguments: &[&str]| {
        let output = run(arguments, b"");
        assert_eq!(output.status.code(), Some(0), "{arguments:?}");
        text(&output.stdout)
    };
    let double = words(&["fingering", "A4"]);
    for line in [
        "A4 for horn in F sounds D4; on the F/B♭ double horn:",
        "  F side 12, partial 8, 0 cents, common (Clay Smalley,",
        "  B♭ side open (0), partial 5, -15 cents, common (",
        "  F side 13, partial 9, +15 cents, rare (",
        "  a semitone lower on the F side (Boldin,",
        "  F side 23, partial 8, 0 cents, common (",
    ] {
        assert!(double.contains(line), "{line}:\n{double}");
    }
    let flat = words(&["fingering", "C5", "--instrument", "single B flat"]);
    for line in [
        "on the single B♭ horn:",
        "  B♭ side open (0), partial 6, 0 cents, common (",
        "  with a stopping valve, fingered as when open (from memory)",
        "  by hand alone B♭ side 2, the open B4: about +50 cents (computed",
    ] {
        assert!(flat.contains(line), "{line}:\n{flat}");
    }
    assert!(!flat.contains("F side"), "{flat}");
    let triple = words(&["fingering", "C6", "--instrument", "triple"]);
    let high = "  high F side open (0), partial 8, 0 cents, common (this project's choice; cents: computed";
    assert!(triple.contains(high), "{triple}");
    // Written G5 for horn in E flat sounds B flat 4, as written F5 for horn in F.
    let crooked = words(&["fingering", "G5", "--crook", "E flat"]);
    assert!(
        crooked.contains("F5 on a horn in F, sounds Bb4")
            && crooked.contains("F side 1, partial 12"),
        "{crooked}"
    );
    let gap = run(&["fingering", "A2", "--instrument", "single B flat"], b"");
    assert_eq!(gap.status.code(), Some(1));
    assert!(text(&gap.stdout).contains("no fingering gives it"));
    let wrong = run(&["fingering", "A2", "--instrument", "quadruple"], b"");
    assert_eq!(wrong.status.code(), Some(2));
    assert!(text(&wrong.stderr).contains("\"single B flat\""));
}

#[test]
fn rips_are_looked_up() {
    let octave = run(&["rip", "C4", "C5"], b"");
    assert_eq!(octave.status.code(), Some(0));
    let words = text(&octave.stdout);
    // Partials 5, 6 and 7 of the open F horn, after the published cents.
    assert!(
        words.contains("F 0, partials 4 to 8: E4 (-14 cents), G4 (+2 cents), Bb4 (-31 cents)"),
        "{words}"
    );
    let none = run(&["rip", "G4", "C#5"], b"");
    assert_eq!(none.status.code(), Some(1));
    assert!(
        text(&none.stdout).contains("can end on"),
        "{}",
        text(&none.stdout)
    );
    assert_eq!(run(&["rip", "H4", "C5"], b"").status.code(), Some(2));
    let flat = run(&["rip", "C5", "C6", "--instrument", "single B flat"], b"");
    let words = text(&flat.stdout);
    assert!(words.starts_with("B♭ 0, partials 6 to 12:"), "{words}");
    assert!(!words.contains("F 0"), "{words}");
}

#[test]
fn parts_are_drawn() {
    let path = demo("evening-ferry.abc");
    let path = path.to_str().unwrap();
    let one = run(
        &["draw", "--part", "Horn 1", "--pitch", "sounding", path],
        b"",
    );
    assert_eq!(one.status.code(), Some(0), "{}", text(&one.stderr));
    let svg = text(&one.stdout);
    assert!(svg.starts_with("<svg ") && svg.contains("Horn 1 (horn in F), as it sounds"));
    let which = run(&["draw", path], b"");
    assert_eq!(which.status.code(), Some(2));
    assert!(
        text(&which.stderr).contains("which part?"),
        "{}",
        text(&which.stderr)
    );
    let folder = tempfile::tempdir().unwrap();
    let into = folder.path().join("pictures");
    let all = run(&["draw", path, path, "--into", into.to_str().unwrap()], b"");
    assert_eq!(all.status.code(), Some(0), "{}", text(&all.stderr));
    // The same score twice: nothing is written over.
    assert_eq!(text(&all.stdout).lines().count(), 6);
    assert_eq!(std::fs::read_dir(&into).unwrap().count(), 6);
    assert!(into.join("evening-ferry-horn-3-in-e-flat.svg").exists());
    let none = run(
        &["draw", "--as", "abc", "-"],
        b"X:1\nK:C\nV:1 name=\"Flute\"\nC|\n",
    );
    assert_eq!(none.status.code(), Some(2));
    assert!(
        text(&none.stderr).contains("no horn part"),
        "{}",
        text(&none.stderr)
    );
}

#[test]
fn shells_and_the_manual_know_every_command() {
    let commands = [
        "check", "fix", "rewrite", "notes", "draw", "rip", "explain", "lsp",
    ];
    for shell in ["bash", "zsh", "fish", "powershell"] {
        let script = text(&run(&["completions", shell], b"").stdout);
        for word in commands {
            assert!(script.contains(word), "{shell} does not know {word}");
        }
        // The other two are offered options and commands only.
        let knows_rules = script.contains("stopped/too-low");
        assert_eq!(knows_rules, matches!(shell, "bash" | "zsh"), "{shell}");
    }
    let page = text(&run(&["man"], b"").stdout);
    assert!(page.contains(".TH bellhand"), "{page}");
    let folder = tempfile::tempdir().unwrap();
    let into = folder.path().join("man1");
    let done = run(&["man", "--into", into.to_str().unwrap()], b"");
    assert_eq!(done.status.code(), Some(0), "{}", text(&done.stderr));
    for command in commands {
        let page = into.join(format!("bellhand-{command}.1"));
        assert!(std::fs::read_to_string(&page).unwrap().contains(command));
    }
}

#[test]
fn the_settings_schema_is_written() {
    let written = run(&["explain", "--settings-schema"], b"");
    assert_eq!(written.status.code(), Some(0));
    let schema: Value = serde_json::from_slice(&written.stdout).unwrap();
    assert_eq!(schema["title"], "bellhand.toml");
    let rules = schema["properties"]["rules"]["properties"]
        .as_object()
        .unwrap();
    assert_eq!(rules.len(), rules::ALL.len());
}

#[test]
fn findings_are_written_in_sarif() {
    use serde_sarif::sarif::{ResultLevel, Sarif};
    let path = demo("evening-ferry.abc");
    let path = path.to_str().unwrap();
    let output = run(&["check", "--format", "sarif", path], b"");
    assert_eq!(output.status.code(), Some(1));
    // The standard's own types read it, which know what must be there and of which kind.
    let read: Sarif = serde_json::from_slice(&output.stdout).unwrap();
    let run_of = &read.runs[0];
    let results = run_of.results.as_ref().unwrap();
    let plain = json(&run(&["check", "--format", "json", path], b""));
    let findings = plain["files"][0]["findings"].as_array().unwrap();
    assert_eq!(results.len(), findings.len());
    let rules = run_of.tool.driver.rules.as_ref().unwrap();
    for (result, finding) in results.iter().zip(findings) {
        let rule = &rules[usize::try_from(result.rule_index.unwrap()).unwrap()];
        assert_eq!(Some(&rule.id), result.rule_id.as_ref());
        assert_eq!(finding["rule"], rule.id.as_str());
        let place = result.locations.as_ref().unwrap()[0]
            .physical_location
            .as_ref()
            .unwrap();
        let region = place.region.as_ref().unwrap();
        assert_eq!(finding["start"]["line"], region.start_line.unwrap());
        assert_eq!(finding["end"]["column"], region.end_column.unwrap());
        assert_eq!(
            result.level == Some(ResultLevel::Error),
            finding["severity"] == "error"
        );
        let fixes = result.fixes.as_ref().map_or(0, Vec::len);
        assert_eq!(finding["fixes"].as_array().unwrap().len(), fixes);
    }
}

#[test]
fn findings_are_shown_on_a_page() {
    let path = demo("evening-ferry.abc");
    let path = path.to_str().unwrap();
    let output = run(&["check", "--format", "html", path, path], b"");
    assert_eq!(output.status.code(), Some(1));
    let page = text(&output.stdout);
    assert_eq!(page.matches("<svg ").count(), 6);
    let plain = json(&run(&["check", "--format", "json", path], b""));
    let findings = plain["files"][0]["findings"].as_array().unwrap().len();
    for finding in plain["files"][0]["findings"].as_array().unwrap() {
        // What is said of several parts is said at each of them.
        let message = finding["message"].as_str().unwrap().replace('"', "&quot;");
        let message = message.replace('\'', "&apos;");
        let told = page.matches(&message).count();
        assert!(told >= 2, "{message}");
    }
    // Every link leads to a mark, and no name is given twice.
    let links: Vec<&str> = page.split("href=\"#").skip(1).collect();
    assert!(links.len() > findings);
    for link in links {
        let name = link.split('"').next().unwrap();
        assert_eq!(page.matches(&format!("id=\"{name}\"")).count(), 1, "{name}");
    }
    let odd = "X:1\nT:<Ebb & Flow>\nK:Bb\nV:1 name=\"Horn in F\" transpose=-7\nB|\n";
    let page = text(
        &run(
            &["check", "--format", "html", "--as", "abc", "-"],
            odd.as_bytes(),
        )
        .stdout,
    );
    assert!(page.contains("&lt;Ebb &amp; Flow&gt;: Horn in F"), "{page}");
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
fn an_instruction_that_speaks_of_nothing_here_is_told() {
    for (instruction, words) in [
        ("part 9 = horn in F", "there is no part `9` here"),
        ("part \"Alto\" = horn in F", "one of `1` (\"Horn in F\")"),
        ("part 1 = horn in Q", "`Q` is no crook"),
        ("part 1 = horn in D, old bass clef", ""),
        ("part 1 = horn, old bass clef", ""),
        ("part * = horn in F", ""),
    ] {
        let score = PART.replace("V:1", &format!("% bellhand: {instruction}\nV:1"));
        let report = json(&run(
            &["check", "-", "--as", "abc", "--format", "json"],
            score.as_bytes(),
        ));
        let findings = report["files"][0]["findings"].as_array().unwrap();
        let slips: Vec<String> = findings
            .iter()
            .filter(|finding| finding["rule"] == "text/unreadable")
            .map(|finding| finding["message"].as_str().unwrap().replace('\n', " "))
            .collect();
        assert_eq!(slips.len(), usize::from(!words.is_empty()), "{slips:?}");
        assert!(slips.iter().all(|slip| slip.contains(words)), "{slips:?}");
    }
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
