//! A sign or word that parts of every kind share is not the horn's own.
#![expect(clippy::unwrap_used, reason = "a score in a test is well formed")]

use engine::{Judged, Settings};
use notation::{Document, Format};

/// How often a rule speaks about a horn whose others carry a mark of their own.
fn spoken(rule: &str, horn: &str, others: &[&str]) -> usize {
    let mut text = "X:1\nM:4/4\nL:1/4\nK:none\nV:1 name=\"Horn in F\" transpose=-7\n".to_owned();
    let names = ["Violin 1", "Violin 2", "Bass voice", "Bassoon", "Organ"];
    for (index, name) in names.iter().enumerate() {
        text += &format!("V:{} name=\"{name}\"\n", index + 2);
    }
    text += &format!("[V:1] {horn} |]\n");
    for index in 0..names.len() {
        let music = others.get(index).unwrap_or(&"c4 | c4");
        text += &format!("[V:{}] {music} |]\n", index + 2);
    }
    let document = Document::from_text(Format::of_name("abc").unwrap(), &text);
    let findings = Judged::new(document, Settings::default())
        .findings()
        .to_vec();
    findings
        .iter()
        .filter(|finding| finding.rule == rule)
        .count()
}

#[test]
fn a_plus_over_most_other_parts_is_no_hand_in_the_bell() {
    let horn = "!+!c e g e | c4";
    let plus = "c !+!d e f | g4";
    for (others, findings) in [
        (vec![], 1),
        // Strings pluck with the left hand, and the horn is stopped all the same.
        (vec![plus, plus], 1),
        (vec![plus, plus, plus], 0),
        (vec![plus, plus, plus, plus, plus], 0),
    ] {
        let spoken = spoken("stopped/no-open", horn, &others);
        assert_eq!(spoken, findings, "+ in {} of 5 others", others.len());
    }
}

#[test]
fn a_solo_said_to_several_others_at_once_is_no_horn_alone() {
    let horn = "\"^soli\" C D E C | D4";
    let also = "\"^soli\" c d e c | d4";
    let later = "c d e c | \"^soli\" d4";
    for (others, findings) in [
        (vec![], 1),
        (vec![also, also], 1),
        (vec![also, also, also], 0),
        (vec![later, later, later], 1),
    ] {
        let spoken = spoken("range/weak-low", horn, &others);
        assert_eq!(spoken, findings, "{others:?}");
    }
}
