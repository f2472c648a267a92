//! Words in several languages among the horn parts of one score: said once, at the part that differs from most.

use engine::{Judged, Settings};
use notation::{Document, Format};

/// Where `marks/language-mix` speaks in a score of parts with these words for stopping.
fn said(words: &[&str]) -> Vec<(Option<String>, String)> {
    let mut text = "X:1\nM:4/4\nL:1/4\nQ:1/4=80\nK:none\n".to_owned();
    for part in 1..=words.len() {
        text += &format!("V:{part} name=\"Horn {part} in F\" transpose=-7\n");
    }
    for (part, words) in words.iter().enumerate() {
        text += &format!("[V:{}] !mf!c4 | {words} c4 | z4 |]\n", part + 1);
    }
    let judged = Judged::new(Document::from_text(Format::Abc, &text), Settings::default());
    let findings = judged.findings().iter();
    let mixed = findings.filter(|finding| finding.rule == "marks/language-mix");
    mixed
        .map(|finding| {
            let place = text[finding.span.range()].to_owned();
            (finding.part.clone(), place)
        })
        .collect()
}

#[test]
fn parts_of_one_score_are_compared() {
    let (english, german, italian) = ("\"^stopped\"", "\"^gestopft\"", "\"^chiuso\"");
    for (words, part) in [
        (&[english, english][..], None),
        (&[english, italian, english], None),
        (&[italian, german, italian], None),
        (&[english, german, english], Some((2, german))),
        (&[german, english, english], Some((1, german))),
        // Of as many the first is kept, and it is said once.
        (&[english, german], Some((2, german))),
        (
            &[english, german, german, english, german],
            Some((1, english)),
        ),
        (&["", german, english], Some((3, english))),
    ] {
        let wanted: Vec<_> = part
            .map(|(part, words)| (Some(format!("Horn {part} in F")), words.to_owned()))
            .into_iter()
            .collect();
        assert_eq!(said(words), wanted, "{words:?}");
    }
    // A part that is mixed itself is told of itself.
    let mixed = "\"^stopped\" c2 \"^gestopft\"";
    let own = said(&[english, mixed]);
    assert_eq!(own, [(Some("Horn 2 in F".to_owned()), german.to_owned())]);
}
