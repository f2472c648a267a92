//! The demo's lessons: each group of rules at work, in its own tune, and nothing said that the page does not announce.

use std::collections::BTreeSet;
use std::fs;

use engine::{Judged, Settings};
use notation::{Document, Format};
use support::home;

#[test]
fn each_lesson_says_what_it_announces() {
    let text = fs::read_to_string(home().join("demo/lessons.abc")).unwrap();
    let document = Document::from_text(Format::Abc, &text);
    let analysis = Judged::new(document.clone(), Settings::default());
    let starts: Vec<usize> = text.match_indices("\nX:").map(|(at, _)| at + 1).collect();
    let mut groups = BTreeSet::new();
    let mut all = BTreeSet::new();
    for (number, start) in starts.iter().enumerate() {
        let end = starts.get(number + 1).copied().unwrap_or(text.len());
        let tune = &text[*start..end];
        let after = |head: &str| {
            let line = tune.lines().find_map(|line| line.strip_prefix(head));
            line.unwrap().trim()
        };
        let group = after("T:Lesson: ");
        let announced: BTreeSet<&str> = after("% speak: ").split(", ").collect();
        let said: BTreeSet<&str> = analysis
            .findings()
            .iter()
            .filter(|finding| (*start..end).contains(&finding.span.start))
            .map(|finding| finding.rule)
            .collect();
        assert_eq!(said, announced, "lesson {group}");
        let own = |rule: &&&str| rule.split_once('/').is_some_and(|(of, _)| of == group);
        assert!(said.iter().any(|rule| own(&rule)), "lesson {group}");
        groups.insert(group);
        all.extend(said);
    }
    let known: BTreeSet<&str> = rules::ALL
        .iter()
        .filter_map(|rule| rule.name.split_once('/'))
        .map(|(group, _)| group)
        .collect();
    assert_eq!(groups, known);
    println!(
        "{} lessons, one for each group; {} of {} rules speak in them",
        groups.len(),
        all.len(),
        rules::ALL.len()
    );
    assert!(all.len() >= groups.len());
}
