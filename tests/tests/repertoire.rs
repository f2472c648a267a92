//! What the default settings say about the horn parts of the real scores, counted by rule.
//!
//! The table is kept in `repertoire.md`. `BELLHAND_WRITE=1 cargo test -p bellhand-tests --test repertoire` makes it anew.

#![expect(
    clippy::unwrap_used,
    clippy::print_stdout,
    reason = "a test fails loudly, and shows what it counted"
)]

use std::collections::BTreeMap;
use std::fmt::Write as _;
use std::fs;
use std::path::PathBuf;

use engine::{Judged, Settings};
use notation::{Document, Format};
use rules::Severity;
use support::home;

/// Rules that judge how the file is encoded and labelled, not what the composer asks of the player. The scores are old
/// editions and their transcriptions, which are neither named nor spelled the way a new part would be.
const ENCODING: [&str; 8] = [
    "notation/bass-clef-convention",
    "notation/key-signature",
    "notation/no-horn",
    "notation/no-transposition",
    "notation/unnamed-crook",
    "notation/wrong-transposition",
    "part/name",
    "text/unreadable",
];

/// Warnings and errors a thousand notes may have, the encoding aside.
const MOST_WARNINGS: f64 = 2.0;

/// Findings a thousand notes from which a rule speaks often, so that the table's page must say why.
const OFTEN: f64 = 0.5;

const BEGIN: &str = "<!-- counted: begin -->\n";
const END: &str = "<!-- counted: end -->\n";

/// What was counted.
#[derive(Default)]
struct Count {
    scores: usize,
    parts: usize,
    notes: usize,
    /// Hints, informations, warnings and errors by rule.
    rules: BTreeMap<&'static str, [usize; 4]>,
}

impl Count {
    fn per_thousand(&self, findings: usize) -> f64 {
        findings as f64 * 1000.0 / self.notes.max(1) as f64
    }

    /// Warnings and errors of the rules that judge the music.
    fn warnings(&self) -> usize {
        self.rules
            .iter()
            .filter(|(rule, _)| !ENCODING.contains(rule))
            .map(|(_, by)| by[2] + by[3])
            .sum()
    }

    fn table(&self) -> String {
        let mut table = format!(
            "{} scores, {} horn parts, {} notes.\n\n\
             | rule | errors | warnings | informations | hints | for 1,000 notes |\n\
             | --- | ---: | ---: | ---: | ---: | ---: |\n",
            self.scores, self.parts, self.notes
        );
        for (rule, by) in &self.rules {
            let [hints, informations, warnings, errors] = by;
            let rate = self.per_thousand(by.iter().sum());
            let mark = if ENCODING.contains(rule) { " *" } else { "" };
            writeln!(
                table,
                "| `{rule}`{mark} | {errors} | {warnings} | {informations} | {hints} | {rate:.2} |"
            )
            .unwrap();
        }
        let music = self.warnings();
        writeln!(
            table,
            "\nThe rules with * judge the encoding. Without them: {music} warnings and errors, {:.2} for 1,000 notes.",
            self.per_thousand(music),
        )
        .unwrap();
        table
    }
}

fn scores() -> Vec<(Format, PathBuf)> {
    let mut scores: Vec<_> = ["abc", "kern", "musicxml"]
        .into_iter()
        .flat_map(|folder| fs::read_dir(home().join("scores").join(folder)).unwrap())
        .map(|entry| entry.unwrap().path())
        .filter_map(|path| Some((Format::of_path(&path)?, path)))
        .collect();
    scores.sort_by(|one, other| one.1.cmp(&other.1));
    scores
}

fn count() -> Count {
    let settings = Settings::default();
    let mut count = Count::default();
    for (format, path) in scores() {
        let document = Document::from_bytes(format, &fs::read(&path).unwrap()).unwrap();
        let analysis = Judged::new(document.clone(), settings.clone());
        count.scores += 1;
        for (_, reading) in analysis.pieces() {
            count.parts += reading.horns.len();
            count.notes += reading
                .horns
                .iter()
                .map(|horn| horn.notes.len())
                .sum::<usize>();
        }
        for finding in analysis.findings() {
            let place = match finding.severity {
                Severity::Hint => 0,
                Severity::Information => 1,
                Severity::Warning => 2,
                Severity::Error => 3,
            };
            count.rules.entry(finding.rule).or_default()[place] += 1;
            if std::env::var_os("BELLHAND_SHOW").is_some_and(|rule| rule == finding.rule) {
                let name = path.file_name().unwrap().to_string_lossy();
                println!(
                    "{name}, {:?}, bar {:?}: {}",
                    finding.part, finding.bar, finding.message
                );
            }
        }
    }
    count
}

#[test]
fn the_repertoire_is_left_in_peace() {
    let count = count();
    let table = count.table();
    println!("{table}");
    let path = home().join("repertoire.md");
    let page = fs::read_to_string(&path).unwrap();
    let (before, rest) = page.split_once(BEGIN).unwrap();
    let (kept, after) = rest.split_once(END).unwrap();
    let wanted = format!("\n{table}\n");
    if std::env::var_os("BELLHAND_WRITE").is_some_and(|write| write == "1") {
        fs::write(&path, format!("{before}{BEGIN}{wanted}{END}{after}")).unwrap();
    } else {
        assert_eq!(
            kept, wanted,
            "repertoire.md is stale: run this test with BELLHAND_WRITE=1 to make its table anew"
        );
    }
    for (rule, by) in &count.rules {
        let rate = count.per_thousand(by.iter().sum());
        assert!(
            rate < OFTEN || after.contains(&format!("- `{rule}`: ")),
            "{rule} speaks {rate:.2} times in 1,000 notes and repertoire.md does not say why"
        );
    }
    let rate = count.per_thousand(count.warnings());
    assert!(
        rate <= MOST_WARNINGS,
        "{rate:.2} warnings in 1,000 notes are more than {MOST_WARNINGS}"
    );
}
