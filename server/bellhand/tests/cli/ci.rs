//! `check` and `fix` as CI services, code hosts and hooks run them.

use std::collections::BTreeSet;

use super::*;

/// A part with several findings, some of them the same.
const LOW: &str = "X:1\nM:4/4\nL:1/4\nQ:1/4=96\nK:none\nV:1 name=\"Horn in F\" transpose=-7\n\
    \"^stopped\" !mf! A,4 | B,4 | A,4 | z4 | \"^open\" c4 |]\n";

fn lines(bytes: &[u8]) -> Vec<String> {
    text(bytes).lines().map(str::to_owned).collect()
}

fn check(words: &[&str], score: &str) -> Output {
    let all = [&["check", "--as", "abc"], words, &["-"]].concat();
    run(&all, score.as_bytes())
}

#[test]
fn every_format_lists_the_same_findings() {
    let path = demo("evening-ferry.abc");
    let path = path.to_str().unwrap();
    let of = |format: &str| run(&["check", "--format", format, path], b"");
    let report = json(&of("json"));
    let findings = report["files"][0]["findings"].as_array().unwrap();
    let line = lines(&of("line").stdout);
    let github = lines(&of("github").stdout);
    let gitlab = json(&of("gitlab"));
    let gitlab = gitlab.as_array().unwrap();
    let junit = text(&of("junit").stdout);
    assert_eq!(line.len(), findings.len());
    assert_eq!(github.len(), findings.len());
    assert_eq!(gitlab.len(), findings.len());
    assert_eq!(junit.matches("<testcase ").count(), findings.len());
    let levels = [
        ("error", "error"),
        ("warning", "warning"),
        ("information", "notice"),
        ("hint", "notice"),
    ];
    for (((finding, line), github), gitlab) in findings.iter().zip(&line).zip(&github).zip(gitlab) {
        let severity = finding["severity"].as_str().unwrap();
        let rule = finding["rule"].as_str().unwrap();
        let (row, column) = (&finding["start"]["line"], &finding["start"]["column"]);
        let begins = format!("{path}:{row}:{column}: {severity} {rule}: ");
        assert!(line.starts_with(&begins), "{line}");
        let level = levels.iter().find(|(one, _)| *one == severity).unwrap().1;
        let begins = format!("::{level} file={path},line={row},");
        assert!(github.starts_with(&begins), "{github}");
        assert!(github.contains(&format!(",title={rule}::")), "{github}");
        assert_eq!(gitlab["check_name"], rule);
        assert_eq!(&gitlab["location"]["lines"]["begin"], row);
    }
    let prints: BTreeSet<&str> = gitlab
        .iter()
        .map(|issue| issue["fingerprint"].as_str().unwrap())
        .collect();
    assert_eq!(
        prints.len(),
        findings.len(),
        "no fingerprint is given twice"
    );
    println!("{} findings in five formats", findings.len());
    // What the CI service counts is what fails.
    let failing = findings
        .iter()
        .filter(|one| ["warning", "error"].contains(&one["severity"].as_str().unwrap()))
        .count();
    assert_eq!(junit.matches("<failure ").count(), failing);
    assert!(junit.contains(&format!("failures=\"{failing}\"")));
    let odd = LOW.replace("Horn in F", "Horn in F <&\u{1}, one: two");
    let junit = text(&check(&["--format", "junit"], &odd).stdout);
    assert!(junit.contains("&lt;&amp;, one: two"), "{junit}");
    assert!(!junit.contains('\u{1}'));
}

#[test]
fn a_fingerprint_stays_with_its_music() {
    let prints = |score: &str| -> Vec<(String, String)> {
        let log = json(&check(&["--format", "sarif"], score));
        let results = log["runs"][0]["results"].as_array().unwrap().clone();
        let each = results.iter().map(|result| {
            let print = result["partialFingerprints"]["music/v2"].as_str();
            let rule = result["ruleId"].as_str().unwrap();
            (rule.to_owned(), print.unwrap().to_owned())
        });
        each.collect()
    };
    let first = prints(LOW);
    assert!(first.len() > 2, "{first:?}");
    let apart: BTreeSet<_> = first.iter().collect();
    assert_eq!(apart.len(), first.len());
    // Other lines, other words, another place in the bar count: the same music.
    let moved = LOW.replace("X:1\n", "% a comment\n\n% another\nX:1\nT:Ebb\n");
    assert_eq!(prints(&moved), first);
    let longer = LOW.replace("\"^stopped\" !mf!", "z4 | z4 | \"^stopped\" !mf!");
    assert_eq!(prints(&longer), first);
    // A fix may give the part another name, and the finding that it has none of its own is known again too.
    let renamed = prints(&LOW.replace("Horn in F", "Corno in Fa"));
    assert_eq!(renamed, first);
    // Other notes in one bar are others there, and nowhere else.
    let other = prints(&LOW.replace("| B,4 |", "| B,2 A,2 |"));
    let same = first.iter().filter(|one| other.contains(one)).count();
    assert!(same > 0 && same < first.len(), "{first:?}\n{other:?}");
}

#[test]
fn the_log_says_how_the_run_went() {
    use serde_sarif::sarif::Sarif;
    let path = demo("evening-ferry.abc");
    let output = run(
        &[
            "check",
            "--format",
            "sarif",
            "nowhere.abc",
            path.to_str().unwrap(),
        ],
        b"",
    );
    assert_eq!(output.status.code(), Some(2));
    let read: Sarif = serde_json::from_slice(&output.stdout).unwrap();
    let went = &read.runs[0].invocations.as_ref().unwrap()[0];
    assert!(!went.execution_successful);
    assert_eq!(went.exit_code, Some(2));
    let notes = went.tool_execution_notifications.as_ref().unwrap();
    assert_eq!(notes.len(), 1);
    let words = notes[0].message.text.as_ref().unwrap();
    assert!(words.contains("nowhere.abc cannot be read"), "{words}");
}

#[test]
fn several_reports_are_written_in_one_run() {
    let folder = tempfile::tempdir().unwrap();
    let at = |name: &str| folder.path().join(name).to_str().unwrap().to_owned();
    let path = demo("evening-ferry.abc");
    let path = path.to_str().unwrap();
    let formats = [
        "text", "json", "html", "sarif", "line", "junit", "github", "gitlab",
    ];
    let mut words = vec!["check".to_owned(), "--quiet".to_owned(), path.to_owned()];
    for format in formats {
        words.extend(["--output".to_owned(), format!("{format}={}", at(format))]);
    }
    let words: Vec<&str> = words.iter().map(String::as_str).collect();
    let output = run(&words, b"");
    assert_eq!(output.status.code(), Some(1));
    assert_eq!(text(&output.stdout), "");
    for format in formats {
        let alone = run(&["check", "--format", format, path], b"");
        let written = std::fs::read(at(format)).unwrap();
        let plain = anstream::adapter::strip_str(&text(&written)).to_string();
        assert_eq!(plain, text(&alone.stdout), "{format}");
    }
    let output = run(
        &["check", path, "--output", "sarif=/nowhere/at/all.sarif"],
        b"",
    );
    assert_eq!(output.status.code(), Some(2));
    assert!(text(&output.stderr).contains("all.sarif cannot be written"));
    assert_eq!(text(&output.stdout), "");
    for wrong in ["sarif", "sarif=", "serif=x"] {
        assert_eq!(
            run(&["check", path, "--output", wrong], b"").status.code(),
            Some(2)
        );
    }
}

#[test]
fn findings_that_say_the_same_stand_together() {
    let score = LOW.replace("B,4", "A,4");
    let full = text(&check(&["--full"], &score).stdout);
    let short = text(&check(&[], &score).stdout);
    let count = |report: &str| report.matches("[stopped/too-low]").count();
    assert_eq!(count(&full), 3, "{full}");
    assert_eq!(count(&short), 1, "{short}");
    assert!(
        short.contains("= also: the same 2 times more, in bars 2 and 3"),
        "{short}"
    );
    // The sum counts all, shown or not.
    assert_eq!(full.lines().last(), short.lines().last());
}

#[test]
fn rules_are_chosen() {
    let path = demo("evening-ferry.abc");
    let path = path.to_str().unwrap();
    let found = |words: &[&str]| -> Vec<String> {
        let all = [&["check", "--format", "json", path], words].concat();
        let report = json(&run(&all, b""));
        let findings = report["files"][0]["findings"].as_array().unwrap().clone();
        let rules = findings
            .iter()
            .map(|one| one["rule"].as_str().unwrap().to_owned());
        rules.collect()
    };
    let all = found(&[]);
    let mute: Vec<String> = all
        .iter()
        .filter(|r| r.starts_with("stopped/"))
        .cloned()
        .collect();
    assert!(!mute.is_empty() && mute.len() < all.len());
    assert_eq!(found(&["--only", "stopped"]), mute);
    let rest: Vec<String> = all
        .iter()
        .filter(|r| !r.starts_with("stopped/"))
        .cloned()
        .collect();
    assert_eq!(found(&["--without", "stopped"]), rest);
    assert_eq!(
        found(&["--only", "stopped", "--without", "stopped/too-low"]).len() + 1,
        {
            let low = mute
                .iter()
                .filter(|rule| *rule == "stopped/too-low")
                .count();
            mute.len() - low + 1
        }
    );
    let unknown = run(&["check", path, "--only", "stoped"], b"");
    assert_eq!(unknown.status.code(), Some(2));
    assert!(
        text(&unknown.stderr).contains("did you mean `stopped`?"),
        "{}",
        text(&unknown.stderr)
    );
    // What is not reported does not fail, and is not drawn.
    let none = run(&["check", path, "--only", "natural"], b"");
    assert_eq!(none.status.code(), Some(0));
    let page = text(
        &run(
            &["check", path, "--only", "natural", "--format", "html"],
            b"",
        )
        .stdout,
    );
    assert!(!page.contains("<li>"), "{page}");
}

#[test]
fn findings_are_counted_by_rule_part_and_file() {
    let path = demo("evening-ferry.abc");
    let path = path.to_str().unwrap();
    let report = json(&run(&["check", "--format", "json", path], b""));
    let many = report["files"][0]["findings"].as_array().unwrap().len();
    let told = text(&run(&["check", "--statistics", path], b"").stdout);
    let sums = told.split("Findings by ").skip(1).map(|table| -> usize {
        let rows = table.lines().skip(1).take_while(|row| !row.is_empty());
        rows.map(|row| {
            row.split_whitespace()
                .next()
                .unwrap()
                .parse::<usize>()
                .unwrap()
        })
        .sum()
    });
    assert_eq!(sums.collect::<Vec<_>>(), [many; 3], "{told}");
    let output = run(&["check", "--statistics", "--format", "json", path], b"");
    assert_eq!(json(&output), report);
    assert!(text(&output.stderr).contains("Findings by part:"));
}

#[test]
fn nothing_found_need_fail() {
    for (words, code) in [
        (&["--fail-on", "never"][..], 0),
        (&["--fail-on", "warning"], 1),
        (&["--quiet"], 1),
        (&["--quiet", "--fail-on", "never"], 0),
        (&["--fail-on", "newer"], 2),
    ] {
        let output = check(words, LOW);
        assert_eq!(output.status.code(), Some(code), "{words:?}");
        assert_eq!(
            output.stdout.is_empty(),
            words.contains(&"--quiet") || code == 2
        );
    }
    // What could not be done fails all the same.
    let output = run(
        &["check", "--fail-on", "never", "--quiet", "nowhere.abc"],
        b"",
    );
    assert_eq!(output.status.code(), Some(2));
    assert!(text(&output.stderr).contains("nowhere.abc"));
}

#[test]
fn a_fix_that_would_change_something_is_told_by_the_exit_code() {
    let fixable =
        "X:1\nM:4/4\nL:1/4\nK:Bb\nV:1 name=\"Horn in F\" transpose=-7\n\"^mf\" B c d e |]\n";
    let fix = |words: &[&str], score: &str| {
        let all = [&["fix", "--as", "abc"], words, &["-"]].concat();
        run(&all, score.as_bytes())
    };
    let shown = fix(&["--diff"], fixable);
    assert!(
        text(&shown.stdout).contains("\n+"),
        "{}",
        text(&shown.stdout)
    );
    assert_eq!(shown.status.code(), Some(1));
    assert_eq!(
        fix(&["--diff", "--fail-on", "never"], fixable)
            .status
            .code(),
        Some(0)
    );
    let fixed = fix(&["--fail-on", "never"], fixable);
    assert_eq!(fixed.status.code(), Some(0));
    let again = fix(&["--diff", "--fail-on", "error"], &text(&fixed.stdout));
    assert_eq!(again.status.code(), Some(0));
    assert_eq!(text(&again.stdout), "");
}

#[test]
fn standard_input_is_given_a_name() {
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(
        folder.path().join("bellhand.toml"),
        "[rules]\n\"stopped/too-low\" = \"error\"\n",
    )
    .unwrap();
    let path = folder.path().join("pier/ferry.abc");
    let path = path.to_str().unwrap();
    let output = run(
        &["check", "--format", "line", "--stdin-name", path, "-"],
        LOW.as_bytes(),
    );
    let told = lines(&output.stdout);
    assert!(!told.is_empty());
    for line in &told {
        assert!(line.starts_with(&format!("{path}:")), "{line}");
    }
    assert!(
        told.iter()
            .any(|line| line.contains(": error stopped/too-low: ")),
        "{told:?}"
    );
}

fn git(folder: &Path, words: &[&str]) {
    let done = Command::new("git")
        .args([
            "-c",
            "user.name=Pier Band",
            "-c",
            "user.email=band@pier.example",
        ])
        .args(words)
        .current_dir(folder)
        .output()
        .unwrap();
    assert!(done.status.success(), "{words:?}: {}", text(&done.stderr));
}

#[test]
fn what_git_says_has_changed_is_judged() {
    let folder = tempfile::tempdir().unwrap();
    let place = |name: &str, words: &str| {
        let path = folder.path().join(name);
        std::fs::create_dir_all(path.parent().unwrap()).unwrap();
        std::fs::write(path, words).unwrap();
    };
    let checked = |words: &[&str], within: &str| -> Output {
        Command::new(env!("CARGO_BIN_EXE_bellhand"))
            .args(["check", "--format", "json", "--fail-on", "never"])
            .args(words)
            .current_dir(folder.path().join(within))
            .output()
            .unwrap()
    };
    let names = |output: &Output| -> Vec<String> {
        let files = json(output)["files"].as_array().unwrap().clone();
        files
            .iter()
            .map(|file| file["path"].as_str().unwrap().to_owned())
            .collect()
    };
    place("a.abc", PART);
    let output = checked(&["--staged", "."], "");
    assert_eq!(output.status.code(), Some(2));
    assert!(
        text(&output.stderr).contains("git does not tell"),
        "{}",
        text(&output.stderr)
    );
    git(folder.path(), &["init", "-q"]);
    place("h\u{f6}rner/b c.abc", PART);
    place("gone.abc", PART);
    git(folder.path(), &["add", "."]);
    git(folder.path(), &["commit", "-q", "-m", "Parts"]);
    assert_eq!(
        names(&checked(&["--changed-since", "HEAD", "."], "")),
        Vec::<String>::new()
    );
    place("h\u{f6}rner/b c.abc", LOW);
    place("new.abc", PART);
    std::fs::remove_file(folder.path().join("gone.abc")).unwrap();
    let changed = checked(&["--changed-since", "HEAD", "."], "");
    assert_eq!(changed.status.code(), Some(0), "{}", text(&changed.stderr));
    assert_eq!(names(&changed), ["./h\u{f6}rner/b c.abc", "./new.abc"]);
    // From within a folder too, and of files that are named.
    assert_eq!(
        names(&checked(&["--changed-since", "HEAD", "."], "h\u{f6}rner")),
        ["./b c.abc"]
    );
    assert_eq!(
        names(&checked(
            &["--changed-since", "HEAD", "a.abc", "new.abc"],
            ""
        )),
        ["new.abc"]
    );
    git(folder.path(), &["add", "new.abc"]);
    assert_eq!(names(&checked(&["--staged", "."], "")), ["./new.abc"]);
    // What the next commit deletes is not in it, even where the file still lies there.
    git(folder.path(), &["rm", "-q", "--cached", "a.abc"]);
    assert_eq!(names(&checked(&["--staged", "."], "")), ["./new.abc"]);
    let unknown = checked(&["--changed-since", "--all", "."], "");
    assert_eq!(unknown.status.code(), Some(2));
    let unknown = checked(&["--changed-since", "high-tide", "."], "");
    assert_eq!(unknown.status.code(), Some(2));
    assert!(
        text(&unknown.stderr).contains("git knows no revision `high-tide`"),
        "{}",
        text(&unknown.stderr)
    );
    let without = Command::new(env!("CARGO_BIN_EXE_bellhand"))
        .args(["check", "--staged", "."])
        .current_dir(folder.path())
        .env("PATH", "")
        .output()
        .unwrap();
    assert_eq!(without.status.code(), Some(2));
    assert!(
        text(&without.stderr).contains("cannot be started"),
        "{}",
        text(&without.stderr)
    );
}

#[test]
fn shares_hold_every_file_once() {
    let folder = tempfile::tempdir().unwrap();
    for number in 0..20 {
        std::fs::write(folder.path().join(format!("{number:02}.abc")), PART).unwrap();
    }
    let path = folder.path().to_str().unwrap();
    let names = |words: &[&str]| -> Vec<String> {
        let all = [
            &["check", "--format", "json", "--fail-on", "never", path],
            words,
        ]
        .concat();
        let files = json(&run(&all, b""))["files"].as_array().unwrap().clone();
        files
            .iter()
            .map(|file| file["path"].as_str().unwrap().to_owned())
            .collect()
    };
    let all = names(&[]);
    assert_eq!(all.len(), 20);
    let mut held: Vec<String> = Vec::new();
    for share in ["1/3", "2/3", "3/3"] {
        let mine = names(&["--shard", share]);
        assert!(mine.is_sorted());
        assert_eq!(mine, names(&["--shard", share]));
        held.extend(mine);
    }
    held.sort();
    assert_eq!(held, all);
    assert_eq!(
        run(&["check", path, "--shard", "4/3"], b"").status.code(),
        Some(2)
    );
}
