//! Settings in layers, `settings`, and what is not understood of them.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use super::*;

const PART: &str = "X:1\nM:4/4\nL:1/4\nK:none\nV:1 name=\"Horn in F\" transpose=-7\n\"^mute in\" !mf!C D E F | z4 | z4 | \"^mute out\" c4 |]\n";

/// A house with a folder that extends its settings.
fn house() -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    let write = |name: &str, text: &str| std::fs::write(folder.path().join(name), text).unwrap();
    std::fs::create_dir_all(folder.path().join("cues")).unwrap();
    write(
        "house.toml",
        "level = \"community\"\n[words]\nmute-in = \"con sord.\"\nmute-out = \"senza sord.\"\n",
    );
    write(
        "cues/bellhand.toml",
        "extend = \"../house.toml\"\n[words]\nmute-out = \"ôtez la sourdine\"\n[rules]\nmarks = \"error\"\n",
    );
    write("cues/m1.abc", PART);
    folder
}

#[test]
fn every_value_is_shown_with_where_it_was_set() {
    let folder = house();
    let score = folder.path().join("cues/m1.abc");
    let output = run(&["settings", score.to_str().unwrap()], b"");
    assert_eq!(output.status.code(), Some(0), "{}", text(&output.stderr));
    let words = text(&output.stdout);
    let line = |start: &str| {
        let found = words.lines().find(|line| line.starts_with(start));
        found
            .unwrap_or_else(|| panic!("{start}:\n{words}"))
            .to_owned()
    };
    assert!(line("level = \"community\"").ends_with("house.toml:1"));
    assert!(line("words.mute-in = [\"con sord.\"]").ends_with("house.toml:3"));
    assert!(line("words.mute-out = [\"ôtez").ends_with("cues/bellhand.toml:3"));
    assert!(line("rules.\"marks/vague\".severity = \"error\"").ends_with("cues/bellhand.toml:5"));
    assert!(line("rules.\"range/too-high\".severity").ends_with("# default"));
    // What is shown is a settings file itself, of the same values.
    let again = folder.path().join("again.toml");
    std::fs::write(&again, words).unwrap();
    let shown = |extra: &[&str]| {
        let arguments = [
            &["settings", score.to_str().unwrap(), "--format", "json"],
            extra,
        ]
        .concat();
        let report = json(&run(&arguments, b""));
        let values = report["values"].as_array().unwrap().clone();
        let values = values
            .iter()
            .map(|value| (value["name"].clone(), value["value"].clone()));
        values.collect::<Vec<_>>()
    };
    let values = shown(&[]);
    assert!(values.len() > 140, "{}", values.len());
    assert_eq!(values, shown(&["--settings", again.to_str().unwrap()]));
    assert_eq!(shown(&["--only-set"]).len(), 10);
}

#[test]
fn scores_are_judged_though_a_setting_is_not_understood() {
    let folder = house();
    let settings = folder.path().join("cues/bellhand.toml");
    std::fs::write(
        &settings,
        "extend = \"../house.toml\"\nlevle = \"student\"\n[rules]\nmarsk = \"error\"\n",
    )
    .unwrap();
    let other = folder.path().join("cues/m2.abc");
    std::fs::write(&other, PART).unwrap();
    let output = run(&["check", folder.path().to_str().unwrap()], b"");
    assert_eq!(output.status.code(), Some(2));
    let (words, errors) = (text(&output.stdout), text(&output.stderr));
    assert_eq!(words.matches("[marks/house-words]").count(), 4, "{words}");
    assert_eq!(errors.lines().count(), 2, "each is told once: {errors}");
    assert!(
        errors.contains("bellhand.toml:2:1: `levle` is not known here"),
        "{errors}"
    );
    assert!(errors.contains("did you mean `level`?"), "{errors}");
}

#[test]
fn a_second_fix_changes_nothing_and_only_words_have_changed() {
    let folder = house();
    let score = folder.path().join("cues/m1.abc");
    assert_eq!(
        run(&["fix", score.to_str().unwrap()], b"").status.code(),
        Some(0)
    );
    let fixed = std::fs::read_to_string(&score).unwrap();
    assert_eq!(
        fixed,
        PART.replace("mute in", "con sord.")
            .replace("mute out", "ôtez la sourdine")
    );
    assert_eq!(
        run(&["fix", score.to_str().unwrap()], b"").status.code(),
        Some(0)
    );
    assert_eq!(std::fs::read_to_string(&score).unwrap(), fixed);
}

/// The files of a folder and those under it, by their paths in it.
fn files(folder: &Path) -> BTreeMap<PathBuf, String> {
    let mut found = BTreeMap::new();
    for entry in std::fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            found.extend(files(&path));
        } else {
            found.insert(path.clone(), std::fs::read_to_string(&path).unwrap());
        }
    }
    found
}

fn copy(from: &Path, to: &Path) {
    std::fs::create_dir_all(to).unwrap();
    for entry in std::fs::read_dir(from).unwrap() {
        let path = entry.unwrap().path();
        let to = to.join(path.file_name().unwrap());
        if path.is_dir() {
            copy(&path, &to);
        } else {
            std::fs::copy(&path, &to).unwrap();
        }
    }
}

#[test]
fn the_demo_house_comes_to_one_wording_and_nothing_else_changes() {
    let folder = tempfile::tempdir().unwrap();
    copy(&demo("house"), folder.path());
    let before = files(folder.path());
    let path = folder.path().to_str().unwrap();
    let fix = || run(&["fix", path, "--fail-on", "error"], b"");
    assert_eq!(fix().status.code(), Some(0));
    let after = files(folder.path());
    // Words and names as they were, and as the house has them.
    let same = [
        ("mit Dämpfer", "con sord."),
        ("con sordino", "con sord."),
        ("mute in", "con sord."),
        ("avec sourdine", "con sord."),
        ("mute out", "senza sord."),
        ("sans sourdine", "senza sord."),
        ("gestopft", "stopped"),
        ("chiuso", "stopped"),
        ("offen", "open"),
        ("aperto", "open"),
        ("Corno I in Fa", "Horn 1 in F"),
        ("Corno 1 in Fa", "Horn 1 in F"),
        ("F Horn 2", "Horn 2 in F"),
        ("1. Horn in F", "Horn 1 in F"),
        ("2. Horn in F", "Horn 2 in F"),
    ];
    let mut changed = 0;
    for (path, text) in &before {
        let mut wanted = text.clone();
        if path
            .extension()
            .is_some_and(|kind| !["toml", "jsonl"].iter().any(|other| kind == *other))
        {
            for (old, new) in same {
                wanted = wanted.replace(old, new);
            }
            assert_ne!(wanted, *text, "{}", path.display());
            changed += 1;
        }
        assert_eq!(after[path], wanted, "{}", path.display());
    }
    assert_eq!(changed, 3, "a score in each notation");
    assert_eq!(fix().status.code(), Some(0));
    assert_eq!(files(folder.path()), after, "a second run changes nothing");
    let left = run(&["check", path], b"");
    assert!(
        !text(&left.stdout).contains("house-"),
        "{}",
        text(&left.stdout)
    );
}

#[test]
fn parts_and_folders_are_judged_by_their_own_level() {
    let score = demo("house").join("youth/lanterns.musicxml");
    let level = |arguments: &[&str]| {
        let arguments = [&["settings", score.to_str().unwrap()], arguments].concat();
        let output = run(&arguments, b"");
        text(&output.stdout).lines().next().unwrap().to_owned()
    };
    assert!(level(&[]).starts_with("level = \"student\""));
    assert!(level(&["--part", "Horn 1 in F"]).starts_with("level = \"community\""));
    assert!(level(&["--part", "Horn 1 in F"]).ends_with("bellhand.toml:7"));
}

#[test]
fn a_new_file_holds_what_the_scores_mostly_use() {
    let house = demo("house");
    let made = run(&["settings", "--new", house.to_str().unwrap()], b"");
    assert_eq!(made.status.code(), Some(0), "{}", text(&made.stderr));
    let words = text(&made.stdout);
    for line in [
        "\n# mute-out = \"mute out\"  # 2 of 4 in the scores",
        "# level = \"professional\"  # Who will play.",
        "# extend = [\"../house.toml\"]",
    ] {
        assert!(words.contains(line), "{line}:\n{words}");
    }
}

#[test]
fn what_scores_clearly_use_is_in_force() {
    let folder = house();
    for name in ["m2", "m3"] {
        std::fs::write(folder.path().join(format!("cues/{name}.abc")), PART).unwrap();
    }
    let cues = folder.path().join("cues");
    let made = run(&["settings", "--new", cues.to_str().unwrap()], b"");
    assert!(text(&made.stdout).contains("\nmute-in = \"mute in\"  # 3 of 3 in the scores\n"));
}

#[test]
fn every_style_is_a_file_that_is_understood() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("bellhand.toml");
    let mut set = 0;
    for style in [
        "concert-band",
        "film-desk",
        "opera-orchestra",
        "historical-edition",
        "beginners",
    ] {
        let made = run(&["settings", "--new", "--style", style], b"");
        // With every line in force that is only shown, it is understood too.
        let shown = text(&made.stdout);
        let all: String = shown
            .lines()
            .map(|line| match line.strip_prefix("# ") {
                Some(rest) if rest.contains(" = ") && !rest.starts_with("extend") => {
                    format!("{rest}\n")
                }
                _ => format!("{line}\n"),
            })
            .collect();
        for text_of_file in [shown.clone(), all.replace("# [[where]]", "[[where]]")] {
            std::fs::write(&file, &text_of_file).unwrap();
            let read = run(
                &["settings", "--only-set", folder.path().to_str().unwrap()],
                b"",
            );
            assert_eq!(
                read.status.code(),
                Some(0),
                "{style}: {}\n{text_of_file}",
                text(&read.stderr)
            );
            set += text(&read.stdout).lines().count();
        }
    }
    println!("{set} values set");
    assert!(set > 100, "{set}");
    let other = run(&["settings", "--new", "--style", "brass-band"], b"");
    assert_eq!(other.status.code(), Some(2));
}

#[test]
fn the_settings_that_the_pages_show_are_understood() {
    let root = demo("").join("../..");
    let folder = house();
    let cues = folder.path().join("cues");
    let mut shown = 0;
    for page in ["README.md", "editors/vscode/README.md"] {
        let page = std::fs::read_to_string(root.join(page)).unwrap();
        let blocks = page.split("```toml\n").skip(1);
        for block in blocks.map(|block| block.split("```").next().unwrap()) {
            std::fs::write(cues.join("bellhand.toml"), block).unwrap();
            let output = run(&["settings", "--only-set", cues.to_str().unwrap()], b"");
            assert_eq!(
                output.status.code(),
                Some(0),
                "{}\n{block}",
                text(&output.stderr)
            );
            assert!(!output.stdout.is_empty());
            shown += 1;
        }
    }
    println!("{shown} settings files are shown and understood");
    assert!(shown >= 2, "{shown}");
}

#[test]
fn parts_that_no_score_of_a_folder_has_are_told() {
    let folder = house();
    let settings = folder.path().join("cues/bellhand.toml");
    let path = |name: &str| folder.path().join(name).to_str().unwrap().to_owned();
    std::fs::write(
        &settings,
        "[parts]\n\"Alto\" = \"not a horn\"\n\"Horn in F\" = \"horn in F\"\n\"1\" = \"horn\"\n\
         [[where]]\nparts = [\"Horn 9*\", \"horn*\"]\nlevel = \"student\"\n[where.rules]\nall = \"hint\"\n",
    )
    .unwrap();
    std::fs::write(
        path("cues/m1.abc"),
        "X:1\nM:4/4\nL:1/4\nK:none\nV:1 name=\"Horn in F\" transpose=-7\nV:2 name=\"Altos\"\n[V:1] c4 |]\n[V:2] c4 |]\n",
    )
    .unwrap();
    let output = run(&["settings", &path("cues")], b"");
    assert_eq!(output.status.code(), Some(0));
    let told = text(&output.stderr);
    let lines: Vec<&str> = told.lines().collect();
    assert_eq!(lines.len(), 2, "{told}");
    assert!(
        lines[0].contains("bellhand.toml:2: no part")
            && lines[0].contains("did you mean \"Altos\"?"),
        "{told}"
    );
    assert!(lines[1].contains("is called \"Horn 9*\""), "{told}");
    // What stands further up may be meant for other folders.
    std::fs::write(path("house.toml"), "[parts]\n\"Tenor\" = \"horn\"\n").unwrap();
    let extended = std::fs::read_to_string(&settings).unwrap();
    std::fs::write(&settings, format!("extend = \"../house.toml\"\n{extended}")).unwrap();
    let told = text(&run(&["settings", &path("cues")], b"").stderr);
    assert_eq!(told.lines().count(), 2, "{told}");
    assert!(!told.contains("Tenor"), "{told}");
    // Of one score it is not asked, and where one cannot be read it is not known.
    let of_one = run(&["settings", &path("cues/m1.abc")], b"");
    assert_eq!(text(&of_one.stderr), "");
    std::fs::write(path("cues/m9.mxl"), b"PK\x03\x04no package").unwrap();
    let told = text(&run(&["settings", &path("cues")], b"").stderr);
    assert!(!told.contains("is called"), "{told}");
}

#[test]
fn check_says_what_settings_of_its_folder_mean_nothing() {
    let folder = tempfile::tempdir().unwrap();
    let path = |name: &str| folder.path().join(name).to_str().unwrap().to_owned();
    let settings = "[[where]]\nfiles = [\n  \"m3*/**\",\n  \"m1/**\",\n]\nlevel = \"student\"\n[[where]]\nparts = \"Horm*\"\n\
                    level = \"student\"\n";
    std::fs::write(path("bellhand.toml"), settings).unwrap();
    std::fs::create_dir(path("m1")).unwrap();
    let score =
        "X:1\nM:4/4\nL:1/4\nQ:1/4=80\nK:none\nV:1 name=\"Horn in F\" transpose=-7\n!mf!c4 |]\n";
    std::fs::write(path("m1/a.abc"), score).unwrap();
    let check = |words: &[&str]| {
        let words = [&["check"], words].concat();
        let output = Command::new(env!("CARGO_BIN_EXE_bellhand"))
            .args(words)
            .current_dir(folder.path())
            .env("BELLHAND_CACHE_DIR", path("cache"))
            .output()
            .unwrap();
        (output.status.code(), text(&output.stderr))
    };
    // Whether scores are read or remembered makes no difference.
    for _ in 0..2 {
        let (code, said) = check(&["."]);
        assert_eq!(code, Some(0), "{said}");
        let lines: Vec<&str> = said.lines().collect();
        assert_eq!(lines.len(), 2, "{said}");
        assert!(
            lines[0].contains("bellhand.toml:3: no score below . matches \"m3*/**\""),
            "{said}"
        );
        assert!(
            lines[1].contains("bellhand.toml:8: no part of the scores below . is called \"Horm*\""),
            "{said}"
        );
    }
    assert!(std::path::Path::new(&path("cache/verdicts")).is_dir());
    for words in [
        &["m1/a.abc"][..],
        &["m1"],
        &["--shard", "1/1", "."],
        &["--quiet", "."],
    ] {
        let (code, said) = check(words);
        assert_eq!((code, said.as_str()), (Some(0), ""), "{words:?}");
    }
    // Where a score cannot be read, nobody knows.
    std::fs::write(path("m1/b.mxl"), b"PK\x03\x04no package").unwrap();
    let (code, said) = check(&["."]);
    assert_eq!(code, Some(2));
    assert!(!said.contains("no score below"), "{said}");
}
