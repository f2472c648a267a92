//! A rule whose verdict on the same written notes changes with the crook says that it rests on the crook, so that it is
//! held back where witnesses leave the crook in doubt.

use std::collections::{BTreeMap, BTreeSet};

use notation::Format;
use rules::Finding;

use super::sheet::Sheet;
use super::{faults, findings, write};

/// Crooks, by name and the semitones they add to the written notes.
const CROOKS: [(&str, i32); 6] = [
    ("Bb alto", -2),
    ("G", -5),
    ("E", -8),
    ("Eb", -9),
    ("D", -10),
    ("C", -12),
];

/// Rules that judge what is said of the crook itself, or of the signs in which a part says it.
const OF_THE_CROOK: [&str; 4] = [
    "notation/wrong-transposition",
    "notation/no-transposition",
    "notation/unnamed-crook",
    "part/name",
];

fn places(findings: &[Finding]) -> BTreeMap<&'static str, BTreeSet<Option<u32>>> {
    let mut places: BTreeMap<&str, BTreeSet<Option<u32>>> = BTreeMap::new();
    for finding in findings {
        places.entry(finding.rule).or_default().insert(finding.bar);
    }
    places
}

#[test]
fn what_changes_with_the_crook_is_held_back_where_the_crook_is_in_doubt() {
    let mut changed: BTreeSet<&str> = BTreeSet::new();
    let mut compared = 0;
    for fault in faults::all().iter().filter(|fault| !fault.natural) {
        let mut sheet = Sheet::clean(1);
        (fault.seed)(&mut sheet, 2);
        // What is said of the part in a comment would stay as it is; such faults are of the crook itself.
        let says_f = |sheet: &Sheet| {
            sheet.stands.iter().all(|stand| {
                stand.name.ends_with(" in F") && stand.records == Some(-7) && stand.said.is_none()
            })
        };
        if !says_f(&sheet) {
            continue;
        }
        let of = |sheet: &Sheet| places(&findings(&write::write(sheet, Format::Abc), Format::Abc));
        let in_f = of(&sheet);
        for (crook, semitones) in CROOKS {
            let mut other = sheet.clone();
            for stand in &mut other.stands {
                stand.name = stand.name.replace(" in F", &format!(" in {crook}"));
                stand.records = Some(semitones);
            }
            let on_other = of(&other);
            let rules: BTreeSet<&str> = in_f.keys().chain(on_other.keys()).copied().collect();
            let differ = rules
                .into_iter()
                .filter(|rule| in_f.get(rule) != on_other.get(rule));
            changed.extend(differ);
            compared += 1;
        }
    }
    println!("{compared} sheets on other crooks; verdicts change of {changed:?}");
    let careless: Vec<&&str> = changed
        .iter()
        .filter(|name| !OF_THE_CROOK.contains(name))
        .filter(|name| {
            rules::ALL
                .iter()
                .any(|rule| rule.name == **name && rule.rests_on.is_empty())
        })
        .collect();
    assert!(careless.is_empty(), "not declared: {careless:?}");
    assert!(compared > 300, "{compared}");
    assert!(changed.len() > 15, "{changed:?}");
}
