//! Tests of settings for some files and some parts, and of what is known of whom they name.

use super::*;

#[test]
fn some_files_and_parts_are_judged_otherwise() {
    let text = "level = \"professional\"\n\
        [[where]]\nfiles = [\"cues/m3*/**\"]\ncourtesy = \"never\"\n\
        [[where]]\nparts = [\"horn 4*\"]\nlevel = \"student\"\nrules = { stopped = \"error\" }\n\
        [[where]]\nfiles = \"cues/**\"\nparts = \"Horn 4*\"\nlevel = \"community\"\n";
    let files = Files::new(&[("/house/bellhand.toml", text)]);
    let of = |path: &str| {
        let found = discover(path.as_ref(), &files);
        assert_eq!(errors(&found), Vec::<String>::new());
        found.settings
    };
    let (cue, other, elsewhere) = (
        of("/house/cues/m31/a.abc"),
        of("/house/cues/m4/a.abc"),
        of("/house/x.abc"),
    );
    assert_eq!(cue.house.courtesy, score::Courtesy::Never);
    assert_eq!(other.house.courtesy, score::Courtesy::NextBar);
    for (settings, level) in [
        (&cue, Level::Community),
        (&other, Level::Community),
        (&elsewhere, Level::Student),
    ] {
        assert_eq!(settings.house.level, Level::Professional);
        assert_eq!(settings.house_of("Horn 1 in F").level, Level::Professional);
        let fourth = settings.house_of("Horn 4 in F");
        assert_eq!(fourth.level, level);
        assert_eq!(severity(&fourth, "stopped/no-open"), Some(Severity::Error));
        assert_eq!(
            severity(&settings.house, "stopped/no-open"),
            Some(Severity::Information)
        );
    }
    assert_ne!(other, elsewhere);
    assert_eq!(other, of("/house/cues/m5/b.krn"));
}

#[test]
fn one_table_of_where_is_one_of_a_list() {
    for text in [
        "[where]\nparts = \"Horn 4*\"\nlevel = \"student\"\n",
        "[[where]]\nparts = \"Horn 4*\"\nlevel = \"student\"\n",
    ] {
        let (settings, errors) = Settings::of_text(text);
        assert_eq!(errors, Vec::<String>::new());
        assert_eq!(settings.house_of("Horn 4 in F").level, Level::Student);
        assert_eq!(settings.house_of("Horn 1 in F").level, Level::Professional);
    }
}

#[test]
fn the_parts_that_settings_name_are_known_with_their_places() {
    let text = "[parts]\n\"Alto I\" = \"horn in E flat\"\n\"*\" = \"horn in F\"\n\n[[where]]\nparts = [\"Horn 4*\",\n\"Solo\"]\nlevel = \"student\"\ncourtesy = \"never\"\n";
    let files = Files::new(&[("/pier/bellhand.toml", text)]);
    let settings = load(Path::new("/pier/bellhand.toml"), None, &files).settings;
    let named = settings.named();
    let named: Vec<(&str, usize)> = named
        .iter()
        .map(|one| (one.words.as_str(), one.origin.line))
        .collect();
    // All parts are no part's name, and a table's patterns are told once, whatever is set there.
    let words: Vec<&str> = named.iter().map(|(words, _)| *words).collect();
    assert_eq!(words, ["Alto I", "Horn 4*", "Solo"], "{named:?}");
    // Each at its own place, wherever its table begins.
    let lines: Vec<usize> = named.iter().map(|(_, line)| *line).collect();
    assert_eq!(lines, [2, 6, 7]);
    let score =
        "X:1\nK:none\nV:1 name=\"Alto I\"\nV:2 name=\"Horn 41 in F\"\n[V:1] c4 |]\n[V:2] c4 |]\n";
    let document = notation::Document::from_text(notation::Format::Abc, score);
    let judged = crate::Judged::new(document, settings.clone());
    let is_there = settings.named().iter().map(|one| one.is_in(&judged));
    assert_eq!(is_there.collect::<Vec<_>>(), [true, true, false]);
}

#[test]
fn patterns_of_files_know_whether_they_mean_the_score() {
    let text = "[[where]]\nfiles = [\"cues/m3*/**\", \"gone/**\"]\nlevel = \"student\"\n[[where]]\nfiles = \"gone/*\"\n\
                parts = \"Horn 9\"\nlevel = \"student\"\n";
    let files = Files::new(&[("/pier/bellhand.toml", text)]);
    let named = |score: Option<&str>| -> Vec<(String, usize, Whom)> {
        let found = load(
            Path::new("/pier/bellhand.toml"),
            score.map(Path::new),
            &files,
        );
        let named = found.settings.named().iter();
        named
            .map(|one| (one.words.clone(), one.origin.line, one.whom))
            .collect()
    };
    let all = |met: bool| {
        vec![
            ("cues/m3*/**".to_owned(), 2, Whom::Files(met)),
            ("gone/**".to_owned(), 2, Whom::Files(false)),
            ("gone/*".to_owned(), 5, Whom::Files(false)),
        ]
    };
    assert_eq!(named(Some("/pier/cues/m31/a.abc")), all(true));
    // What a table for other files says of parts is not asked of this one.
    assert_eq!(named(Some("/pier/b.abc")), all(false));
    assert_eq!(named(None), all(false));
    let gone = named(Some("/pier/gone/c.abc"));
    assert!(
        gone.contains(&("Horn 9".to_owned(), 6, Whom::Parts)),
        "{gone:?}"
    );
    let settings = |score| {
        load(
            Path::new("/pier/bellhand.toml"),
            Some(Path::new(score)),
            &files,
        )
    };
    let judged = |score| {
        let text = notation::Document::from_text(notation::Format::Abc, "X:1\nK:C\nc4 |]\n");
        crate::Judged::new(text, settings(score).settings)
    };
    let here = judged("/pier/cues/m31/a.abc");
    let met: Vec<bool> = here
        .settings()
        .named()
        .iter()
        .map(|one| one.is_in(&here))
        .collect();
    assert_eq!(met, [true, false, false]);
}
