//! A finding stands where what it is about begins.

use engine::{Judged, Settings};
use notation::{Document, Format};

/// The bars in which a rule speaks of two horns' music.
fn bars(first: &str, second: &str, rule: &str) -> Vec<Option<u32>> {
    let text = format!(
        "X:1\nM:4/4\nL:1/4\nQ:1/4=120\nK:none\nV:1 name=\"Horn 1 in F\" transpose=-7\nV:2 name=\"Horn 2 in F\" transpose=-7\n\
         [V:1] {first} |]\n[V:2] {second} |]\n"
    );
    let document = Document::from_text(Format::Abc, &text);
    let findings = Judged::new(document, Settings::default())
        .findings()
        .to_vec();
    let own = findings.iter().filter(|finding| finding.rule == rule);
    own.map(|finding| finding.bar).collect()
}

#[test]
fn a_finding_stands_where_what_it_is_about_begins() {
    let crossing = bars(
        "g4 | c4 | c4 | c4 | g4",
        "c4 | g4 | g4 | g4 | c4",
        "section/crossing",
    );
    assert_eq!(crossing, [Some(2)]);
}

/// Where else a rule points to in a horn's music, with its words for it: the text there, and how far in it lies.
fn pointed_at(music: &str, rule: &str) -> Vec<(usize, String)> {
    let head = "X:1\nM:4/4\nL:1/4\nQ:1/4=80\nK:none\nV:1 name=\"Horn in F\" transpose=-7\n";
    let document = Document::from_text(Format::Abc, &format!("{head}{music} |]\n"));
    let findings = Judged::new(document, Settings::default())
        .findings()
        .to_vec();
    let own = findings.into_iter().filter(|finding| finding.rule == rule);
    own.flat_map(|finding| finding.related)
        .map(|related| (related.span.start - head.len(), related.message))
        .collect()
}

#[test]
fn the_first_and_the_last_of_many_are_pointed_at() {
    for (music, rule, what, note) in [
        (
            "!+!c/4!open!d/4!+!e/4!open!f/4 z3",
            "stopped/no-time",
            "the last quick change here",
            'f',
        ),
        (
            "!+!c/!open!d/!+!e/!open!f/ !+!c/!open!d/!+!e/!open!f/ | !+!a/ z3",
            "stopped/no-time",
            "the last change of the series",
            'a',
        ),
    ] {
        let pointed = pointed_at(music, rule);
        let there = pointed.iter().find(|(_, words)| words == what);
        assert!(
            there.is_some_and(|(at, _)| music[*at..].starts_with(note)),
            "{rule}: {pointed:?}"
        );
    }
}
