//! A finding stands where what it is about begins.

use engine::{Analyser, Settings};
use notation::{Document, Format};

/// The bars in which a rule speaks of two horns' music.
fn bars(first: &str, second: &str, rule: &str) -> Vec<Option<u32>> {
    let text = format!(
        "X:1\nM:4/4\nL:1/4\nQ:1/4=120\nK:none\nV:1 name=\"Horn 1 in F\" transpose=-7\nV:2 name=\"Horn 2 in F\" transpose=-7\n\
         [V:1] {first} |]\n[V:2] {second} |]\n"
    );
    let document = Document::from_text(Format::Abc, &text);
    let findings = Analyser::new()
        .analyse(&document, &Settings::default())
        .findings;
    let own = findings.iter().filter(|finding| finding.rule == rule);
    own.map(|finding| finding.bar).collect()
}

#[test]
fn a_finding_stands_where_what_it_is_about_begins() {
    for (first, second, rule, bar) in [(
        "g4 | c4 | c4 | c4 | g4",
        "c4 | g4 | g4 | g4 | c4",
        "section/crossing",
        2,
    )] {
        assert_eq!(bars(first, second, rule), [Some(bar)], "{rule}");
    }
}
