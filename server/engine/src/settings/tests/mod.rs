//! Tests of settings: what is said in a file, by an editor, and in layers.

use std::collections::HashMap;
use std::io;
use std::path::{Path, PathBuf};

use horn::{Instrument, Level};
use rules::Severity;
use serde_json::json;

use super::*;

mod for_some;

/// Settings files that are on no disk.
struct Files(HashMap<PathBuf, String>);

impl Files {
    fn new(files: &[(&str, &str)]) -> Self {
        let files = files
            .iter()
            .map(|(path, text)| ((*path).into(), (*text).to_owned()));
        Self(files.collect())
    }
}

impl Texts for Files {
    fn read(&self, path: &Path) -> io::Result<String> {
        self.0
            .get(path)
            .cloned()
            .ok_or_else(|| io::ErrorKind::NotFound.into())
    }

    fn has(&self, path: &Path) -> bool {
        self.0.contains_key(path)
    }
}

fn errors(found: &Found) -> Vec<String> {
    found.errors.iter().map(ToString::to_string).collect()
}

fn severity(house: &House, rule: &'static str) -> Option<Severity> {
    house.severity(rule, Severity::Information)
}

#[test]
fn an_editor_says_the_same() {
    let said = json!({
        "path": "/usr/bin/bellhand",
        "level": "community",
        "assumed-tempo": null,
        "words": {"language": "german", "stopped": ["gest.", "+"]},
        "rules": {"range/weak-low": "off", "range/too-high": {"severity": "error", "highest": "A5"}}
    });
    let (settings, errors) = Settings::of_editor(&said, "bellhand", &["path"]);
    assert!(errors.is_empty(), "{errors:?}");
    let file = "level = \"community\"\n[words]\nlanguage = \"german\"\nstopped = [\"gest.\", \"+\"]\n\
        [rules]\n\"range/weak-low\" = \"off\"\n\
        \"range/too-high\" = { severity = \"error\", highest = \"A5\" }\n";
    assert_eq!((settings, Vec::new()), Settings::of_text(file));
    for (said, words) in [
        (
            json!({"levle": "student"}),
            "bellhand.levle: `levle` is not known here",
        ),
        (json!({"level": 3}), "bellhand.level: expected words"),
        (
            json!({"extend": "house.toml"}),
            "bellhand.extend: only a settings file",
        ),
        (
            json!({"rules": {"range/too-high": {"highest": true}}}),
            "bellhand.rules.range/too-high.highest: expected a pitch",
        ),
        (
            json!({"where": [{"parts": ["Horn 4"], "level": "loud"}]}),
            "bellhand.where.0.level: `loud`",
        ),
        (
            json!({"where": [{"files": "cues/*", "extend": "house.toml"}]}),
            "bellhand.where.0.extend: `extend` holds for a whole file",
        ),
    ] {
        let (settings, errors) = Settings::of_editor(&said, "bellhand", &[]);
        assert_eq!(settings, Settings::default());
        assert!(
            errors.len() == 1 && errors[0].starts_with(words),
            "{errors:?}"
        );
    }
    // An editor that says nothing, or no settings at all, sets nothing.
    let nothing = json!({"rules": [], "parts": {}, "words": {}, "names": {}, "where": []});
    for empty in [nothing, Value::Null] {
        let said = Settings::of_editor(&empty, "bellhand", &[]);
        assert_eq!(said, (Settings::default(), Vec::new()));
    }
}

#[test]
fn a_full_file_is_read() {
    let (settings, errors) = Settings::of_text(
        r#"
level = "community"
instrument = "single B flat"
courtesy = "never"
assumed-tempo = 84

[parts]
"Alto I" = "horn in E flat"

[words]
language = "part"
mute-in = "con sord."

[rules]
"range/weak-low" = "off"
"range/too-high" = { severity = "error", highest = "A5" }
"#,
    );
    assert_eq!(errors, Vec::<String>::new());
    assert_eq!(settings.house.level, Level::Community);
    assert_eq!(settings.casting.instrument, Instrument::SingleBFlat);
    assert_eq!(settings.casting.parts.len(), 1);
    assert_eq!(severity(&settings.house, "range/weak-low"), None);
    assert_eq!(
        severity(&settings.house, "range/too-high"),
        Some(Severity::Error)
    );
}

#[test]
fn problems_are_told_with_their_place_and_what_was_meant() {
    for (text, line, words, meant) in [
        ("level = \"expert\"", 1, "level", None),
        ("level = \"studnet\"", 1, "level", Some("student")),
        ("instrument = \"B flat\"", 1, "\"single B flat\"", None),
        ("\nwidth = 3", 2, "`width`", None),
        ("levle = \"student\"", 1, "`levle`", Some("level")),
        (
            "[rules]\n\"range/too-hihg\" = \"off\"",
            2,
            "no rule",
            Some("range/too-high"),
        ),
        (
            "[rules]\n\"too-high\" = \"off\"",
            2,
            "no rule",
            Some("range/too-high"),
        ),
        (
            "[rules]\n\"range/too-high\" = { highest = 7 }",
            2,
            "pitch",
            None,
        ),
        (
            "[rules]\n\"range/too-high\" = { higest = \"A5\" }",
            2,
            "no setting",
            Some("highest"),
        ),
        (
            "[rules]\n\"mute/no-time\" = { insert = -1 }",
            2,
            "seconds",
            None,
        ),
        (
            "[rules]\n\"range/too-high\" = \"loud\"",
            2,
            "severity",
            None,
        ),
        ("[rules]\nstopped = \"eror\"", 2, "severity", Some("error")),
        (
            "[rules]\nstopped = { lowest = \"C4\" }",
            2,
            "only the severity",
            None,
        ),
        (
            "[parts]\nAlto = \"horn in Q\"",
            2,
            "`in Q` says nothing",
            None,
        ),
        (
            "[words]\nlanguage = \"germen\"",
            2,
            "no language",
            Some("german"),
        ),
        ("[words]\nmute-in = \"senza sord.\"", 2, "as mute-out", None),
        (
            "[words]\nmutein = \"con sord.\"",
            2,
            "not known",
            Some("mute-in"),
        ),
        (
            "[[where]]\nlevel = \"student\"",
            1,
            "`files` or `parts`",
            None,
        ),
        ("[[where]]\nparts = \"[\"", 2, "pattern", None),
        (
            "[[where]]\nparts = \"*\"\ninstrument = \"double\"",
            3,
            "for some parts alone",
            None,
        ),
        (
            "[[where]]\nparts = \"*\"\nwhere = []",
            3,
            "`where` holds for a whole file",
            None,
        ),
        ("level = ", 1, "", None),
    ] {
        let found = load(
            "bellhand.toml".as_ref(),
            None,
            &Files::new(&[("bellhand.toml", text)]),
        );
        let [error] = found.errors.as_slice() else {
            panic!("{text}: {:?}", errors(&found));
        };
        let (range, (at, _)) = error.place.clone().unwrap();
        assert_eq!(at, line, "{text}: {error}");
        assert!(text.get(range).is_some(), "{text}: {error:?}");
        assert!(error.message.contains(words), "{text}: {error}");
        assert_eq!(error.instead.as_deref(), meant, "{text}: {error}");
    }
}

#[test]
fn all_problems_are_told_at_once_and_the_rest_holds() {
    let text = "level = \"student\"\nwidth = 3\n[rules]\n\"range/too-hihg\" = \"off\"\n\"rip\" = \"off\"\n";
    let found = load(
        "bellhand.toml".as_ref(),
        None,
        &Files::new(&[("bellhand.toml", text)]),
    );
    assert_eq!(found.errors.len(), 2, "{:?}", errors(&found));
    assert_eq!(found.settings.house.level, Level::Student);
    assert_eq!(severity(&found.settings.house, "rip/too-few"), None);
    // A line that TOML does not allow costs that line.
    let text = "level = \"student\"\ncourtesy = \nassumed-tempo = 84\n";
    let found = load(
        "bellhand.toml".as_ref(),
        None,
        &Files::new(&[("bellhand.toml", text)]),
    );
    assert_eq!(found.errors.len(), 1, "{:?}", errors(&found));
    assert_eq!(found.settings.house.level, Level::Student);
    assert!(found.settings.casting.assumed_tempo.is_some());
}

#[test]
fn a_rule_goes_before_its_group_and_that_before_all() {
    for order in [
        "all = \"hint\"\nstopped = \"error\"\n\"stopped/no-open\" = \"off\"",
        "\"stopped/no-open\" = \"off\"\nstopped = \"error\"\nall = \"hint\"",
    ] {
        let (settings, errors) = Settings::of_text(&format!("[rules]\n{order}\n"));
        assert!(errors.is_empty(), "{errors:?}");
        assert_eq!(severity(&settings.house, "stopped/no-open"), None);
        assert_eq!(
            severity(&settings.house, "stopped/too-low"),
            Some(Severity::Error)
        );
        assert_eq!(
            severity(&settings.house, "range/too-high"),
            Some(Severity::Hint)
        );
    }
}

#[test]
fn what_is_nearer_wins_key_by_key() {
    let files = Files::new(&[
        (
            "/house/house.toml",
            "level = \"student\"\n[words]\nmute-in = \"con sord.\"\nmute-out = \"senza sord.\"\n\
             [rules]\nall = \"hint\"\n\"part/no-cue\" = { rest = 8 }\n",
        ),
        (
            "/house/more.toml",
            "extend = \"house.toml\"\ncourtesy = \"never\"\n",
        ),
        (
            "/house/cues/bellhand.toml",
            "extend = [\"../house.toml\", \"../more.toml\"]\nlevel = \"community\"\n[words]\nmute-in = \"mute in\"\n",
        ),
    ]);
    let found = discover("/house/cues/m31/horns.abc".as_ref(), &files);
    assert_eq!(errors(&found), Vec::<String>::new());
    let (direct, _) = Settings::of_text(
        "level = \"community\"\ncourtesy = \"never\"\n[words]\nmute-in = \"mute in\"\nmute-out = \"senza sord.\"\n\
         [rules]\nall = \"hint\"\n\"part/no-cue\" = { rest = 8 }\n",
    );
    assert_eq!(found.settings, direct);
    assert_eq!(found.files.len(), 3);
    let said = |name: &str| {
        let origins = found
            .settings
            .origins(None)
            .filter(|(known, _)| *known == name);
        origins
            .map(|(_, origin)| (origin.file.ends_with("bellhand.toml"), origin.line))
            .last()
    };
    assert_eq!(said("level"), Some((true, 2)));
    assert_eq!(said("words.mute-out"), Some((false, 4)));
    assert_eq!(said("rules.part/no-cue.rest"), Some((false, 7)));
}

#[test]
fn files_that_extend_each_other_or_are_not_there_are_told() {
    let files = Files::new(&[
        (
            "/a/bellhand.toml",
            "extend = \"../b/b.toml\"\nlevel = \"student\"\n",
        ),
        (
            "/b/b.toml",
            "extend = [\"../a/bellhand.toml\", \"gone.toml\"]\ncourtesy = \"never\"\n",
        ),
    ]);
    let found = discover("/a/x.abc".as_ref(), &files);
    let said = errors(&found);
    assert_eq!(said.len(), 2, "{said:?}");
    assert!(
        said[0].contains("b.toml:1:") && said[0].contains("extends this file itself"),
        "{said:?}"
    );
    assert!(said[1].contains("`gone.toml` cannot be read"), "{said:?}");
    assert_eq!(found.settings.house.level, Level::Student);
    assert_eq!(found.settings.house.courtesy, score::Courtesy::Never);
}

#[test]
fn every_key_is_understood_and_every_word_it_takes() {
    let mut tried = 0;
    fn of_key(key: &Key, way: &str, tried: &mut usize) {
        let values: Vec<String> = match key.takes {
            Takes::Choice(words, default) => {
                let words = words();
                assert!(
                    default.is_none_or(|default| words.contains(&default)),
                    "{}",
                    key.name
                );
                words.iter().map(|word| format!("\"{word}\"")).collect()
            }
            Takes::Older(words) => words().iter().map(|word| format!("\"{word}\"")).collect(),
            Takes::Text(such_as) => such_as.iter().map(|text| format!("\"{text}\"")).collect(),
            Takes::Number(least, most) => vec![least.to_string(), most.to_string()],
            Takes::Words => {
                let wording = horn::Wording::ALL
                    .into_iter()
                    .find(|one| one.name() == key.name)
                    .unwrap();
                let words = horn::Language::ALL.map(|language| wording.printed(language));
                vec![format!("\"{}\"", words[0]), format!("{words:?}")]
            }
            Takes::Files | Takes::Patterns => Vec::new(),
            Takes::Parts => vec!["{ \"Alto\" = \"horn in E flat\" }".to_owned()],
            Takes::Rules => vec!["{ all = \"off\" }".to_owned()],
            Takes::Table(keys) => {
                for inner in keys {
                    of_key(inner, &format!("{way}{}.", key.name), tried);
                }
                Vec::new()
            }
            Takes::Where(_) => vec!["[{ parts = \"*\" }, { files = \"*\" }]".to_owned()],
        };
        for value in values {
            let text = format!("{way}{} = {value}\n", key.name);
            assert_eq!(Settings::of_text(&text).1, Vec::<String>::new(), "{text}");
            *tried += 1;
        }
    }
    for key in KEYS {
        of_key(key, "", &mut tried);
    }
    println!("{tried} values are taken");
    assert!(tried > 35, "{tried}");
}

#[test]
fn what_is_set_of_a_rule_otherwise_than_by_default_is_told_with_its_place() {
    let said = |text: &str, rule: &str, part: Option<&str>| {
        let files = Files::new(&[("/house/bellhand.toml", text)]);
        let found = discover("/house/horns.abc".as_ref(), &files);
        assert_eq!(errors(&found), Vec::<String>::new());
        let set = found.settings.set_of_rule(rules::rule(rule).unwrap(), part);
        let one = |set: &SetOfRule| {
            let line = set.origin.as_ref().map_or(0, |origin| origin.line);
            format!("{} {} {line}", set.name, set.value)
        };
        set.iter().map(one).collect::<Vec<_>>().join(", ")
    };
    assert_eq!(said("", "stopped/too-low", None), "");
    // What is set as it is anyway is nothing to tell.
    let same = "[rules]\n\"stopped/too-low\" = { severity = \"warning\", lowest = \"C4\" }\n";
    assert_eq!(said(same, "stopped/too-low", None), "");
    let some =
        "[rules]\nall = \"hint\"\nstopped = \"error\"\n\"stopped/too-low\" = { lowest = \"D4\" }\n";
    assert_eq!(
        said(some, "stopped/too-low", None),
        "severity error 3, lowest D4 4"
    );
    assert_eq!(said(some, "mute/other-kind", None), "severity hint 2");
    // The level, where a number goes by it.
    let level = "\n\nlevel = \"student\"\n";
    assert_eq!(said(level, "range/too-high", None), "level student 3");
    assert_eq!(said(level, "stopped/too-low", None), "");
    // Of some parts alone.
    let parts = "[[where]]\nparts = \"Horn 4*\"\n[where.rules]\nstopped = \"off\"\n\"mute/no-time\" = { insert = 4.5 }\n";
    assert_eq!(said(parts, "stopped/too-low", None), "");
    assert_eq!(
        said(parts, "stopped/too-low", Some("Horn 4 in F")),
        "severity off 4"
    );
    assert_eq!(
        said(parts, "mute/no-time", Some("Horn 4 in F")),
        "insert 4.5 s 5"
    );
    // An editor has no lines.
    let (editor, _) = Settings::of_editor(&json!({"rules": {"stopped": "hint"}}), "bellhand", &[]);
    let set = editor.set_of_rule(rules::rule("stopped/too-low").unwrap(), None);
    assert_eq!((set[0].value.as_str(), &set[0].origin), ("hint", &None));
}

#[test]
fn what_another_key_sets_is_shown_with_its_place() {
    for (text, name, value) in [
        ("courtesy = \"never\"\n", "courtesy", "never"),
        ("page.courtesy = \"both\"\n", "page.courtesy", "both"),
        (
            "page.signature = \"leave\"\n",
            "rules.notation/key-signature.signature",
            "leave",
        ),
    ] {
        let (settings, errors) = Settings::of_text(text);
        assert_eq!(errors, Vec::<String>::new());
        let all = settings.in_force(None);
        let found = all.iter().find(|one| one.name == name).unwrap();
        assert_eq!(found.value, value);
        assert_eq!(found.origin.as_ref().map(|origin| origin.line), Some(1));
    }
}

#[test]
fn a_key_that_has_another_name_by_now_is_read_and_not_offered() {
    let (_, problems) = Settings::of_text("courtesy = \"never\"\n");
    assert_eq!(problems, [] as [String; 0]);
    let offered = |text: &str| -> Vec<String> {
        let offers = suggest(text, text.len()).into_iter();
        offers.map(|offer| offer.text).collect()
    };
    assert!(!offered("c").contains(&"courtesy".to_owned()));
    assert!(!offered("[[where]]\nc").contains(&"courtesy".to_owned()));
    assert!(offered("[page]\nc").contains(&"courtesy".to_owned()));
}

#[test]
fn a_level_for_a_run_goes_before_all_that_is_said_of_levels() {
    let (said, errors) = Settings::of_text(
        "level = \"professional\"\nassumed-tempo = 96\n[rules.\"range/too-high\"]\nhighest = \"A5\"\nseverity = \"error\"\n\
         [[where]]\nparts = [\"Horn 4*\"]\nlevel = \"community\"\n",
    );
    assert!(errors.is_empty(), "{errors:?}");
    let student = said.for_level(Level::Student);
    for part in ["Horn 1 in F", "Horn 4 in F"] {
        let house = student.house_of(part);
        assert_eq!(house.level, Level::Student, "{part}");
        assert_eq!(severity(&house, "range/too-high"), Some(Severity::Error));
    }
    assert_eq!(student.house.level, Level::Student);
    // All else stays, and whom the settings speak of.
    assert_eq!(student.casting, said.casting);
    assert_eq!((student.named(), said.named().len()), (said.named(), 1));
    // The settings themselves stay what they are, and differ from these.
    assert_eq!(said.house.level, Level::Professional);
    assert_ne!(said, student);
    assert_ne!(format!("{said:?}"), format!("{student:?}"));
}
