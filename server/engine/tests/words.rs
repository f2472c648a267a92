//! Messages that are put together read as sentences, whichever way they were put together.

use engine::{Judged, Settings};
use notation::{Document, Format};

#[test]
fn every_way_to_put_a_message_together_is_a_sentence() {
    for (music, rule, words) in [
        (
            "c4 | \"^con sord.\" d4 |]",
            "mute/no-time",
            "more rest there, share the line with another horn, or have it stopped by hand.",
        ),
        (
            "\"^con sord.\" c4 | \"^senza sord.\" d4 |]",
            "mute/no-time",
            "more rest there, or share the line with another horn.",
        ),
        (
            "[K:clef=bass] F,,,4 | C,,4 |]",
            "notation/bass-clef-convention",
            "F1 (sounds Bb0) lies below",
        ),
    ] {
        let text = format!(
            "X:1\nM:4/4\nL:1/4\nQ:1/4=120\nK:none\nV:1 name=\"Horn in F\" transpose=-7\n{music}\n"
        );
        let document = Document::from_text(Format::of_name("abc").unwrap(), &text);
        let findings = Judged::new(document, Settings::default())
            .findings()
            .to_vec();
        let said = findings.iter().find(|finding| {
            finding.rule == rule && finding.message.replace('\n', " ").contains(words)
        });
        assert!(said.is_some(), "{rule}: {words}\n{findings:#?}");
    }
}
