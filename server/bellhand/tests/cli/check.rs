//! `check`: findings in every shape, settings, severities.

use super::*;

#[test]
fn the_demo_is_judged_in_text() {
    let path = demo("evening-ferry.abc");
    let output = run(&["check", path.to_str().unwrap()], b"");
    assert_eq!(output.status.code(), Some(1));
    let words = text(&output.stdout);
    for part in [
        "warning[notation/key-signature]",
        "warning[stopped/too-low]: Horn 2 in F, bar 7: A3 (sounds D3)",
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
    let fixed = run(
        &["check", demo("evening-ferry-fixed.abc").to_str().unwrap()],
        b"",
    );
    assert_eq!(fixed.status.code(), Some(0), "{}", text(&fixed.stdout));
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
            let mut fixed = source.clone();
            let mut all: Vec<&Value> = fix["edits"].as_array().unwrap().iter().collect();
            all.sort_by_key(|edit| edit["start"].as_u64());
            for edit in all.into_iter().rev() {
                edits += 1;
                let range = edit["start"].as_u64().unwrap() as usize
                    ..edit["end"].as_u64().unwrap() as usize;
                fixed.replace_range(range, edit["text"].as_str().unwrap());
            }
            let again = run(
                &["check", "--as", "abc", "--format", "json", "-"],
                fixed.as_bytes(),
            );
            // Fixing one place may bring another of the same rule to light, with other words.
            let same = |all: &Value| {
                let all = all.as_array().unwrap().iter();
                all.filter(|f| f["rule"] == finding["rule"] && f["message"] == finding["message"])
                    .count()
            };
            let left = same(&json(&again)["files"][0]["findings"]);
            let had = same(&file["findings"]);
            assert!(
                left < had,
                "{}: {} fixes nothing",
                finding["rule"],
                fix["title"]
            );
        }
    }
    println!(
        "{} findings, {fixes} fixes, {edits} edits applied and judged again",
        findings.len()
    );
    assert!(fixes > 10 && edits >= fixes);
    for (name, count) in ["error", "warning", "information", "hint"]
        .iter()
        .zip(counted)
    {
        assert_eq!(report["summary"][name], count, "{name}");
    }
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
    // Heading, two lines of music and legend of each part, which no page that is printed cuts.
    assert_eq!(page.matches("<div class=\"part\">").count(), 6);
    assert_eq!(page.matches("<svg ").count(), 24);
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
        assert!(page.contains(&format!("id=\"{name}\"")), "{name}");
    }
    // Boxes say what is shown, without a script.
    assert!(
        page.contains("id=\"show-s-warning\" checked")
            && page.contains("id=\"show-g-mute\" checked")
    );
    assert!(page.contains("body:has(#show-g-mute:not(:checked)) .g-mute{display:none}"));
    // What acts on the page is one script, for all that can be heard, and it fetches nothing.
    assert_eq!(page.matches("<script>").count(), 1);
    assert_eq!(page.matches("<script type=\"application/json\"").count(), 6);
    assert_eq!(page.matches("<script").count(), 7);
    assert!(!page.contains("fetch(") && !page.contains("XMLHttpRequest"));
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
fn pages_have_contents() {
    let folder = tempfile::tempdir().unwrap();
    let class = folder.path().join("class");
    for (student, score) in [
        ("ada", "evening-ferry.abc"),
        ("ben", "evening-ferry-fixed.abc"),
    ] {
        std::fs::create_dir_all(class.join(student)).unwrap();
        std::fs::copy(demo(score), class.join(student).join("horn.abc")).unwrap();
    }
    let (class, into) = (class.to_str().unwrap(), folder.path().join("pages"));
    let output = run(
        &[
            "check",
            "--format",
            "html",
            "--into",
            into.to_str().unwrap(),
            class,
        ],
        b"",
    );
    assert_eq!((output.status.code(), output.stdout.len()), (Some(1), 0));
    let index = std::fs::read_to_string(into.join("index.html")).unwrap();
    assert!(!index.contains("<svg"));
    let links: Vec<&str> = index
        .split("href=\"")
        .skip(1)
        .map(|link| link.split('"').next().unwrap())
        .collect();
    assert_eq!(links.len(), 2);
    for (link, name) in links.iter().zip(["ada", "ben"]) {
        let page = std::fs::read_to_string(into.join(link)).unwrap();
        assert!(page.contains(&format!("{name}/horn.abc</h1>")), "{link}");
        assert_eq!(page.matches("<div class=\"part\">").count(), 3);
        assert!(page.ends_with("</html>\n"));
        assert_eq!(page.contains("Nothing to say."), *name == *"ben");
    }
    assert_eq!(std::fs::read_dir(&into).unwrap().count(), 3);
    // One page has its contents, too, with links within it.
    let page = text(&run(&["check", "--format", "html", class], b"").stdout);
    assert_eq!(page.matches("<h2 id=\"score-").count(), 2);
    let output = run(&["check", "--into", into.to_str().unwrap(), class], b"");
    assert_eq!(output.status.code(), Some(2));
    assert!(text(&output.stderr).contains("--format html"));
}

#[test]
fn an_instruction_that_speaks_of_nothing_here_is_told() {
    for (instruction, words) in [
        ("part 9 = horn in F", "there is no part `9` here"),
        ("part \"Alto\" = horn in F", "one of `1` (\"Horn in F\")"),
        ("part 1 = horn in Q", "`in Q` says nothing of a part"),
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
fn trouble_in_another_instruments_part_does_not_fail_the_horns() {
    let score = |horn: &str, flute: &str| {
        format!(
            "X:1\nM:4/4\nL:1/4\nQ:1/4=80\nK:none\nV:1 name=\"Horn in F\" transpose=-7\nV:2 name=\"Flute\"\n\
             [V:1] \"^mf\" {horn} |]\n[V:2] {flute} |]\n"
        )
    };
    for (horn, flute, code) in [
        ("c d e c", "c d [e f", 0),
        ("c d [e f", "c d e c", 1),
        ("c d ? e c", "c d e c", 0),
    ] {
        let text = score(horn, flute);
        let output = run(&["check", "-", "--as", "abc"], text.as_bytes());
        assert_eq!(output.status.code(), Some(code), "{horn} / {flute}");
    }
}

/// How often a score's line of a number is shown in a report.
fn showings(words: &str, number: usize) -> usize {
    let gutter = format!("{number} | ");
    let lines = words.lines();
    lines
        .filter(|line| line.trim_start().starts_with(&gutter))
        .count()
}

#[test]
fn a_line_is_shown_once_for_what_stands_in_it() {
    let path = demo("evening-ferry.abc");
    let output = run(&["check", path.to_str().unwrap()], b"");
    let words = text(&output.stdout);
    // Three findings, the first with two other places, all in one line.
    assert_eq!(showings(&words, 16), 1, "{words}");
    for label in [
        "-- the first note after the change",
        "|   mute/other-kind",
        "the last note before the change",
        "-- range/too-high",
    ] {
        assert!(words.contains(label), "{label}:\n{words}");
    }
    // Each still has its title, and its place in the line below.
    let lines: Vec<&str> = words.lines().collect();
    for (title, place) in [
        ("warning[mute/no-time]: Horn 1, bar 7", "16:15"),
        ("warning[mute/other-kind]: Horn 1, bar 7", "16:15"),
        ("warning[range/too-high]: Horn 1, bar 10", "16:71"),
    ] {
        let at = lines.iter().position(|line| line.starts_with(title));
        let below = lines[at.unwrap() + 1].trim();
        assert!(
            below.starts_with("--> ") && below.ends_with(place),
            "{title}: {below}"
        );
    }
    // One that has a line for itself is marked and needs no label.
    assert!(words.contains("9 | K:Bb\n  | ^^^^\n"), "{words}");
}

#[test]
fn a_line_with_many_findings_is_shown_again() {
    let high = "X:1\nM:4/4\nL:1/4\nQ:1/4=60\nK:none\nV:1 name=\"Horn in F\" transpose=-7\ne' f' g' a' | b' c'' d'' e'' |]\n";
    let output = run(&["check", "--full", "--as", "abc", "-"], high.as_bytes());
    let words = text(&output.stdout);
    let findings = words.matches("7:").count();
    let shown = showings(&words, 7);
    assert!(findings >= 8, "{words}");
    assert_eq!(shown, findings.div_ceil(4), "{words}");
}

#[test]
fn the_level_can_be_set_for_a_run() {
    let folder = tempfile::tempdir().unwrap();
    let at = |name: &str| folder.path().join(name).to_str().unwrap().to_owned();
    let part = at("part.abc");
    std::fs::write(
        &part,
        "X:1\nM:4/4\nL:1/4\nQ:1/4=60\nK:none\nV:1 name=\"Horn in F\" transpose=-7\nc g b c' |]\n",
    )
    .unwrap();
    let settings = |words: &str| std::fs::write(at("bellhand.toml"), words).unwrap();
    let found = |level: &[&str]| {
        let asked = ["check", "--format", "json", "--only", "range/too-high"];
        let mut arguments = asked.to_vec();
        arguments.extend(level);
        arguments.push(&part);
        // Twice, so that the second comes from what was kept.
        let both = [run(&arguments, b""), run(&arguments, b"")];
        let both = both.map(|output| json(&output)["files"][0]["findings"].clone());
        assert_eq!(both[0], both[1]);
        both[0].as_array().unwrap().len()
    };
    let student = ["--level", "student"];
    settings("level = \"professional\"\n");
    assert_eq!(found(&[]), 0);
    let high = found(&student);
    assert!(high > 0);
    // What was kept for one level is not said for another.
    assert_eq!(found(&[]), 0);
    assert_eq!(found(&["--level", "Professional"]), 0);
    // It goes before what is set for some parts, and a rule's own number before it.
    settings("[[where]]\nparts = \"Horn*\"\nlevel = \"professional\"\n");
    assert_eq!((found(&[]), found(&student)), (0, high));
    settings("[rules.\"range/too-high\"]\nhighest = \"C6\"\n");
    assert_eq!((found(&[]), found(&student)), (0, 0));
    let output = run(&["check", "--level", "studnet", &part], b"");
    assert_eq!(output.status.code(), Some(2));
    let said = text(&output.stderr);
    assert!(
        said.contains("student, community, professional")
            && said.contains("similar value exists: 'student'"),
        "{said}"
    );
}
