//! Clean invented parts into which one known fault is put: its rule must speak, there, and no other.

#![expect(clippy::unwrap_used, reason = "a test fails loudly")]

pub(crate) mod among_others;
pub(crate) mod faults;
mod fixing;
mod other_crooks;
pub(crate) mod sheet;
pub(crate) mod token;
pub(crate) mod write;

use std::collections::BTreeMap;

use engine::{Judged, Settings, Which};
use faults::COMPANIONS;
use notation::{Document, Format};
use rules::Finding;
use sheet::{GROUP, Sheet};

/// How many different pieces a fault is put into.
const SEEDS: u64 = 4;
/// The groups a fault is put into.
const PLACES: [usize; 3] = [0, 2, 4];

fn findings(text: &str, format: Format) -> Vec<Finding> {
    findings_by(text, format, Settings::default())
}

fn findings_by(text: &str, format: Format, settings: Settings) -> Vec<Finding> {
    let document = Document::from_text(format, text);
    Judged::new(document, settings).findings().to_vec()
}

/// The settings by which a fault is one.
fn settings(fault: &faults::Fault) -> Settings {
    let (settings, errors) = Settings::of_text(fault.settings);
    assert_eq!(errors, Vec::<String>::new());
    settings
}

fn shown(findings: &[Finding]) -> String {
    let lines: Vec<String> = findings
        .iter()
        .map(|finding| {
            format!(
                "  {}, bar {:?}: {}",
                finding.rule, finding.bar, finding.message
            )
        })
        .collect();
    lines.join("\n")
}

/// How often a rule's fault was put in and found, and what else was said.
#[derive(Default)]
struct Tally {
    seeded: usize,
    found: usize,
    companions: usize,
    false_alarms: usize,
}

#[test]
fn clean_parts_are_left_alone() {
    for seed in 0..50 {
        for sheet in [Sheet::clean(seed), Sheet::natural(seed)] {
            for format in Format::ALL {
                let text = write::write(&sheet, format);
                let said = findings(&text, format);
                assert!(said.is_empty(), "{}\n{text}", shown(&said));
            }
        }
    }
}

#[test]
fn a_page_that_can_be_turned_is_left_alone() {
    for format in Format::ALL {
        let said = |stands: usize, new_page: usize| {
            let mut sheet = Sheet::clean(1);
            sheet.stands.truncate(stands);
            sheet.new_page = Some(new_page);
            findings(&write::write(&sheet, format), format)
        };
        // Behind two bars of rest, before any note, and behind one of the two.
        for bar in [GROUP, 0, GROUP - 1] {
            assert!(said(1, bar).is_empty(), "{}", shown(&said(1, bar)));
        }
        // Within the music of a part alone, and of a score.
        assert_eq!(said(1, GROUP + 1).len(), 1, "{}", format.name());
        assert!(
            said(2, GROUP + 1).is_empty(),
            "{}",
            shown(&said(2, GROUP + 1))
        );
    }
}

#[test]
fn an_unclear_accidental_gets_its_sign_and_nothing_else_changes() {
    let settings = Settings::default();
    let mut applied = BTreeMap::new();
    let places = (0..SEEDS).flat_map(|seed| PLACES.map(|group| (seed, group)));
    let bars = [
        ("^F8 A8 d8 f8", "^F8 A8 d8 ^f8"),
        ("^g8 _G8 c8 g8", "^g8 _G8 c8 _g8"),
    ];
    for ((seed, group), (fault, fixed_bar)) in places.flat_map(|place| bars.map(|bar| (place, bar)))
    {
        for format in Format::ALL {
            let sheet = |bar: &str| {
                let mut sheet = Sheet::clean(seed);
                sheet.put(0, group, &[bar]);
                write::write(&sheet, format)
            };
            let document = Document::from_text(format, &sheet(fault));
            let fixed = Judged::new(document, settings.clone()).fix_all(Which::Safe);
            assert!(fixed.refused.is_empty(), "{:?}", fixed.refused);
            let text = fixed.judged.document().text();
            assert_eq!(text, sheet(fixed_bar));
            assert!(findings(&text, format).is_empty(), "{text}");
            *applied.entry(format.name()).or_insert(0) += fixed.applied.len();
        }
    }
    println!("applied: {applied:?}");
    // Humdrum says what sounds and its page prints every sign that is needed, so nothing is unclear there.
    let each = SEEDS as usize * PLACES.len() * bars.len();
    let wanted =
        Format::ALL.map(|format| (format.name(), each * usize::from(format != Format::Kern)));
    assert_eq!(applied, BTreeMap::from(wanted));
}

#[test]
fn every_seeded_fault_is_found() {
    let mut tallies: BTreeMap<(&str, &str), Tally> = BTreeMap::new();
    let mut wrong = Vec::new();
    for fault in faults::all() {
        for format in fault.formats.iter().copied() {
            let tally = tallies.entry((fault.rule, format.name())).or_default();
            for (seed, group) in (0..SEEDS).flat_map(|seed| PLACES.map(|group| (seed, group))) {
                let mut sheet = if fault.natural {
                    Sheet::natural(seed)
                } else {
                    Sheet::clean(seed)
                };
                (fault.seed)(&mut sheet, group);
                let text = write::write(&sheet, format);
                let said = findings_by(&text, format, settings(&fault));
                // Bars are counted from 1; what cannot be read is in none, and is found by its text.
                let there = |finding: &&Finding| match (&fault.speaks, finding.bar) {
                    (None, _) => true,
                    (Some(at), Some(bar)) => {
                        at.contains(&(bar as usize).wrapping_sub(group * GROUP + 1))
                    }
                    (Some(_), None) => {
                        let broken = text.find(write::broken(format)).unwrap();
                        (finding.span.start..=finding.span.end).contains(&broken)
                    }
                };
                let (own, others): (Vec<&Finding>, Vec<&Finding>) =
                    said.iter().partition(|finding| finding.rule == fault.rule);
                let found = own.iter().any(there);
                let companion = |finding: &&&Finding| {
                    COMPANIONS
                        .iter()
                        .any(|(rule, beside, _)| *rule == fault.rule && *beside == finding.rule)
                };
                let companions = others.iter().filter(companion).count();
                let elsewhere = own.iter().filter(|finding| !there(finding)).count();
                let false_alarms = others.len() - companions + elsewhere;
                tally.seeded += 1;
                tally.found += usize::from(found);
                tally.companions += companions;
                tally.false_alarms += false_alarms;
                if !found || false_alarms > 0 {
                    wrong.push(format!(
                        "{} in {}, seed {seed}, group {group}: found {found}\n{}",
                        fault.rule,
                        format.name(),
                        shown(&said)
                    ));
                }
            }
        }
    }
    println!("| rule | notation | seeded | found | recall | companions | false alarms |");
    println!("| --- | --- | ---: | ---: | ---: | ---: | ---: |");
    for ((rule, format), tally) in &tallies {
        let recall = tally.found as f64 / tally.seeded as f64;
        println!(
            "| `{rule}` | {format} | {} | {} | {recall:.2} | {} | {} |",
            tally.seeded, tally.found, tally.companions, tally.false_alarms
        );
    }
    for (rule, beside, reason) in COMPANIONS {
        println!("`{beside}` may speak beside `{rule}`: {reason}.");
    }
    let each = SEEDS as usize * PLACES.len();
    for (place, tally) in &tallies {
        assert!(tally.seeded > 0 && tally.seeded % each == 0, "{place:?}");
    }
    for (rule, beside, _) in COMPANIONS {
        let spoke = tallies
            .iter()
            .any(|((of, _), tally)| of == rule && tally.companions > 0);
        assert!(spoke, "`{beside}` never speaks beside `{rule}`");
    }
    let unseeded: Vec<&str> = rules::ALL
        .iter()
        .map(|rule| rule.name)
        .filter(|name| !tallies.keys().any(|(rule, _)| rule == name))
        .collect();
    assert!(unseeded.is_empty(), "no fault is seeded for {unseeded:?}");
    assert!(
        wrong.is_empty(),
        "{} wrong:\n{}",
        wrong.len(),
        wrong.join("\n")
    );
}
