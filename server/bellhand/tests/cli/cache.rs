//! What was said of scores is kept, and never said of others.

use std::fs;

use sha2::{Digest as _, Sha256};

use super::*;

/// A folder of scores and one for the cache.
struct House(tempfile::TempDir);

impl House {
    fn new() -> Self {
        let house = Self(tempfile::tempdir().unwrap());
        fs::create_dir(house.0.path().join("scores")).unwrap();
        house.place("part.abc", PART);
        house
    }

    fn place(&self, name: &str, words: &str) {
        fs::write(self.0.path().join("scores").join(name), words).unwrap();
    }

    fn check(&self, words: &[&str]) -> String {
        let output = Command::new(env!("CARGO_BIN_EXE_bellhand"))
            .arg("check")
            .args(words)
            .arg("scores")
            .current_dir(self.0.path())
            .env("BELLHAND_CACHE_DIR", self.0.path().join("cache"))
            .output()
            .unwrap();
        assert_eq!(text(&output.stderr), "");
        text(&output.stdout)
    }

    fn entries(&self) -> Vec<PathBuf> {
        let Ok(folders) = fs::read_dir(self.0.path().join("cache/verdicts")) else {
            return Vec::new();
        };
        let files = folders.flat_map(|folder| fs::read_dir(folder.unwrap().path()).unwrap());
        files.map(|file| file.unwrap().path()).collect()
    }

    /// Makes what is kept say something else, so that it is seen where it is used.
    fn forge(&self) {
        for path in self.entries() {
            let kept = fs::read_to_string(&path).unwrap();
            let (_, verdict) = kept.split_once('\n').unwrap();
            let forged = verdict.replace("key signature", "forged signature");
            let sum: String = Sha256::digest(&forged)
                .iter()
                .map(|byte| format!("{byte:02x}"))
                .collect();
            fs::write(path, format!("{sum}\n{forged}")).unwrap();
        }
    }
}

const FORGED: &str = "forged signature";

#[test]
fn an_unchanged_score_is_not_read_again() {
    let house = House::new();
    for format in ["text", "json", "line", "sarif", "github", "gitlab", "junit"] {
        let words = ["--format", format];
        let _ = fs::remove_dir_all(house.0.path().join("cache"));
        let first = house.check(&words);
        assert_eq!(house.entries().len(), 1, "{format}");
        assert_eq!(house.check(&words), first, "{format}");
        house.forge();
        let kept = house.check(&words);
        assert!(kept.contains(FORGED), "{format}: {kept}");
        assert_eq!(kept.replace(FORGED, "key signature"), first, "{format}");
        assert_eq!(house.check(&[&words[..], &["--no-cache"]].concat()), first);
        // Another name is the same score.
        let moved = house.0.path().join("scores/moved.abc");
        fs::rename(house.0.path().join("scores/part.abc"), &moved).unwrap();
        let kept = house.check(&words);
        assert!(
            kept.contains(FORGED) && kept.contains("moved.abc"),
            "{kept}"
        );
        fs::rename(&moved, house.0.path().join("scores/part.abc")).unwrap();
    }
    // A page draws the score.
    let _ = fs::remove_dir_all(house.0.path().join("cache"));
    house.check(&["--format", "html"]);
    assert_eq!(house.entries().len(), 0);
}

#[test]
fn what_has_changed_is_read() {
    let house = House::new();
    let settings = "[rules]\n\"notation/key-signature\" = \"error\"\n";
    type Change<'a> = (&'a str, &'a dyn Fn(&House) -> String);
    let changes: [Change<'_>; 4] = [
        ("text", &|house| {
            house.place("part.abc", &PART.replace("B c", "c c"));
            house.check(&[])
        }),
        ("settings", &|house| {
            house.place("bellhand.toml", settings);
            house.check(&[])
        }),
        ("settings by name", &|house| {
            fs::write(house.0.path().join("other.toml"), settings).unwrap();
            house.check(&["--settings", "other.toml"])
        }),
        ("format", &|house| house.check(&["--format", "json"])),
    ];
    for (name, change) in changes {
        let house = House::new();
        house.check(&[]);
        house.forge();
        assert!(house.check(&[]).contains(FORGED));
        let said = change(&house);
        assert!(said.contains("key signature"), "{name}: {said}");
        assert!(!said.contains(FORGED), "{name}: {said}");
    }
    // What chooses among findings is no part of what is kept.
    house.check(&[]);
    house.forge();
    assert!(house.check(&["--only", "notation"]).contains(FORGED));
    assert!(!house.check(&["--only", "mute"]).contains(FORGED));
    println!("{} changes, none missed", changes.len());
}

#[test]
fn what_is_damaged_is_made_anew() {
    let house = House::new();
    let first = house.check(&[]);
    for path in house.entries() {
        fs::write(path, b"\xFF half a verdict").unwrap();
    }
    assert_eq!(house.check(&[]), first);
    house.forge();
    assert!(house.check(&[]).contains(FORGED), "it is kept anew");
    // A folder that cannot be one keeps nothing, and disturbs nothing.
    fs::remove_dir_all(house.0.path().join("cache")).unwrap();
    fs::write(house.0.path().join("cache"), "a file").unwrap();
    assert_eq!(house.check(&[]), first);
}
