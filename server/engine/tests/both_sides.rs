//! A rule speaks from its threshold on, and not a note sooner.

use engine::{Judged, Settings};
use notation::{Document, Format};

fn said(music: &str, rule: &str) -> Vec<String> {
    let text = format!(
        "X:1\nM:4/4\nL:1/4\nQ:1/4=120\nK:none\nV:1 name=\"Horn in F\" transpose=-7\n{music} |]\n"
    );
    let document = Document::from_text(Format::Abc, &text);
    let findings = Judged::new(document, Settings::default())
        .findings()
        .to_vec();
    let own = findings.into_iter().filter(|finding| finding.rule == rule);
    own.map(|finding| finding.message).collect()
}

#[test]
fn a_rule_speaks_from_its_threshold_on_and_not_sooner() {
    for (rule, in_peace, spoken_of) in [
        // Two low notes are no line yet.
        (
            "range/weak-low",
            "\"^solo\" C2 D2 | z4",
            "\"^solo\" C D E2 | z4",
        ),
        // A rest of 0.3 s is just enough to breathe in.
        (
            "breath/no-place",
            "[Q:1/4=100]!f!c4- | c4- | c4- | c7/2 z/ | c4- | c4- | c4- | c4",
            "[Q:1/4=101]!f!c4- | c4- | c4- | c7/2 z/ | c4- | c4- | c4- | c4",
        ),
    ] {
        assert_eq!(
            said(in_peace, rule),
            Vec::<String>::new(),
            "{rule}: {in_peace}"
        );
        assert_eq!(said(spoken_of, rule).len(), 1, "{rule}: {spoken_of}");
    }
}
