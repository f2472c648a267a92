//! Every fix that a seeded fault is offered, in every notation: it removes its finding, and nothing is left to do.

use std::collections::BTreeMap;

use engine::{Finding, Fix, Judged, Safety, Settings, Which};
use notation::{Document, Format};

use super::faults::{self, Fault};
use super::sheet::Sheet;
use super::write;

/// Findings of a rule.
fn count(document: &Document, settings: &Settings, rule: &str) -> usize {
    let judged = Judged::new(document.clone(), settings.clone());
    judged
        .findings()
        .iter()
        .filter(|one| one.rule == rule)
        .count()
}

fn seeded(fault: &Fault, format: Format) -> Document {
    let mut sheet = if fault.natural {
        Sheet::natural(1)
    } else {
        Sheet::clean(1)
    };
    (fault.seed)(&mut sheet, 2);
    Document::from_text(format, &write::write(&sheet, format))
}

/// Applies one fix alone; why it was not right, if it was not.
fn try_fix(
    document: &Document,
    settings: &Settings,
    finding: &Finding,
    fix: &Fix,
) -> Result<(), String> {
    let shown = |why: &str, text: &str| format!("{}: `{}`: {why}\n{text}", finding.rule, fix.title);
    let judged = Judged::new(document.clone(), settings.clone());
    let proven = judged
        .prove(&[fix])
        .map_err(|why| shown(&format!("refused: {why}"), &document.text()))?;
    let after = proven.document();
    if count(after, settings, finding.rule) >= count(document, settings, finding.rule) {
        return Err(shown("its finding is still there", &after.text()));
    }
    Ok(())
}

#[test]
fn every_fix_removes_its_finding_and_comes_to_rest() {
    let mut tried: BTreeMap<(&str, &str), usize> = BTreeMap::new();
    let mut wrong = Vec::new();
    for fault in faults::all() {
        let settings = super::settings(&fault);
        for format in fault.formats.iter().copied() {
            let document = seeded(&fault, format);
            let judged = Judged::new(document.clone(), settings.clone());
            let findings = judged.findings().iter();
            for finding in findings.filter(|one| one.rule == fault.rule) {
                for fix in &finding.fixes {
                    *tried.entry((fix.safety.name(), format.name())).or_default() += 1;
                    if let Err(why) = try_fix(&document, &settings, finding, fix) {
                        wrong.push(format!("{} {}", format.name(), why));
                    }
                }
            }
            for which in [Which::Safe, Which::Review] {
                let once = judged.fix_all(which);
                // Judged from nothing, so that this does not rest on what was kept.
                let fresh = Judged::new(once.judged.document().clone(), settings.clone());
                let twice = fresh.fix_all(which);
                if !once.settled || !twice.applied.is_empty() || !once.refused.is_empty() {
                    wrong.push(format!(
                        "{} {}, {which:?}: settled {}, refused {:?}, and once more {:?}\n{}",
                        format.name(),
                        fault.rule,
                        once.settled,
                        once.refused,
                        twice.applied,
                        once.judged.document().text()
                    ));
                }
                let safe_left = fresh
                    .findings()
                    .iter()
                    .any(|one| one.fixes.iter().any(|fix| fix.safety == Safety::Safe));
                if safe_left {
                    wrong.push(format!(
                        "{} {}: a safe fix is left",
                        format.name(),
                        fault.rule
                    ));
                }
            }
        }
    }
    println!("fixes tried: {tried:?}");
    assert!(
        wrong.is_empty(),
        "{} wrong:\n{}",
        wrong.len(),
        wrong.join("\n")
    );
    for format in Format::ALL {
        for (safety, least) in [("safe", LEAST_SAFE), ("review", LEAST_REVIEW)] {
            let count = tried.get(&(safety, format.name())).copied().unwrap_or(0);
            assert!(
                count >= least,
                "only {count} {safety} fixes in {}",
                format.name()
            );
        }
    }
}

/// Fewer fixes than these would mean that faults no longer offer what they did.
const LEAST_SAFE: usize = 10;
const LEAST_REVIEW: usize = 20;

#[test]
fn a_degree_louder_changes_the_dynamic_alone_in_every_notation() {
    let mut tried: BTreeMap<(&str, &str), usize> = BTreeMap::new();
    for fault in faults::all() {
        for format in fault.formats.iter().copied() {
            let judged = Judged::new(seeded(&fault, format), super::settings(&fault));
            let fixes = judged.findings().iter().flat_map(|one| &one.fixes);
            for fix in fixes.filter(|fix| fix.title.ends_with("a degree louder")) {
                let proven = judged.prove(&[fix]).unwrap();
                let text = judged.document().text();
                let letters = proven.edits().iter().map(|edit| {
                    let was = text.get(edit.span.range()).unwrap();
                    (
                        was.replace(['!', '<', '/', '>'], ""),
                        edit.text.replace(['!', '<', '/', '>'], ""),
                    )
                });
                for (was, is) in letters {
                    let degrees = [was, is].map(|mark| horn::Dynamic::read(&mark).unwrap());
                    assert_eq!(degrees[0].louder(), degrees[1], "{format:?}: {}", fix.title);
                    *tried.entry((fault.rule, format.name())).or_default() += 1;
                }
            }
        }
    }
    println!("{tried:?} dynamics in the place of others, a degree louder");
    assert_eq!(tried.len(), 2 * Format::ALL.len(), "{tried:?}");
}
