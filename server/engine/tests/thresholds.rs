//! How many notes or bars it takes for a rule to speak is the house's to set.
#![expect(clippy::unwrap_used, reason = "a score in a test is well formed")]

use engine::{Judged, Settings, Severity};
use notation::{Document, Format};
use rules::Given;

fn spoken(music: &str, rule: &str, set: Option<(&str, f64)>) -> Vec<Severity> {
    let text = format!(
        "X:1\nM:4/4\nL:1/4\nQ:1/4=120\nK:none\nV:1 name=\"Horn 1 in F\" transpose=-7\n\
         V:2 name=\"Horn 2 in F\" transpose=-7\n{music}\n"
    );
    let document = Document::from_text(Format::of_name("abc").unwrap(), &text);
    let mut settings = Settings::default();
    if let Some((name, number)) = set {
        let given = Given::Number(number);
        settings.house.set(rule, name, &given).unwrap();
    }
    let findings = Judged::new(document, settings).findings().to_vec();
    let own = findings.iter().filter(|finding| finding.rule == rule);
    own.map(|finding| finding.severity).collect()
}

#[test]
fn counts_are_the_houses_to_set() {
    let (told, warned) = (Severity::Information, Severity::Warning);
    let mut judged = 0;
    for (rule, name, music, as_it_is, number, as_set) in [
        (
            "notation/ledger-lines",
            "notes",
            "[V:1] C, B,, c c |]\n[V:2] z4 |]",
            vec![],
            2.0,
            vec![told],
        ),
        (
            "section/crossing",
            "bars",
            "[V:1] c4 | c4 | c4 |]\n[V:2] e4 | e4 | A4 |]",
            vec![],
            2.0,
            vec![told],
        ),
        (
            "stopped/no-time",
            "together",
            "[V:1] !open!c/4!+!c/4!open!c !open!c/4!+!c/4!open!c z |]\n[V:2] z4 |]",
            vec![warned],
            1.0,
            vec![warned, warned],
        ),
        (
            "line/low-agility",
            "notes",
            "[V:1] C,/4B,,/4A,,/4 z/4 c3 |]\n[V:2] z4 |]",
            vec![],
            3.0,
            vec![told],
        ),
        (
            "range/soft-high",
            "far",
            "[V:1] z4 | !pp!b4 |]\n[V:2] z4 | z4 |]",
            vec![warned],
            12.0,
            vec![told],
        ),
    ] {
        assert_eq!(spoken(music, rule, None), as_it_is, "{rule}");
        let set = spoken(music, rule, Some((name, number)));
        assert_eq!(set, as_set, "{rule}: {name} = {number}");
        judged += 1;
    }
    println!("{judged} thresholds set");
    assert_eq!(judged, 5);
}
