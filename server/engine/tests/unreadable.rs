//! How grave it is that something cannot be read: an error only where notes of a horn may be lost, in every notation.
#![expect(clippy::unwrap_used, reason = "a score in a test is well formed")]

use engine::{Finding, Judged, Settings, Severity};
use notation::{Document, Format};

use Severity::{Error, Information};

/// What is told of a text as unreadable.
fn told(format: &str, text: &str) -> Vec<Finding> {
    let document = Document::from_text(Format::of_name(format).unwrap(), text);
    let mut findings = Judged::new(document, Settings::default())
        .findings()
        .to_vec();
    findings.retain(|finding| finding.rule == "text/unreadable");
    findings
}

/// A horn and a flute with one bar each, and a header line of the score's own.
fn abc(header: &str, horn: &str, flute: &str) -> String {
    format!(
        "X:1\nM:4/4\nL:1/4\n{header}K:none\nV:1 name=\"Horn in F\" transpose=-7\nV:2 name=\"Flute\"\n[V:1] {horn} |]\n[V:2] {flute} |]\n"
    )
}

fn kern(horn: &str, flute: &str) -> String {
    format!(
        "**kern\t**kern\n*I\"Horn in F\t*I\"Flute\n*ITrd4c7\t*\n*M4/4\t*M4/4\n=1\t=1\n{horn}\t{flute}\n==\t==\n*-\t*-\n"
    )
}

fn musicxml(horn: &str, flute: &str) -> String {
    let part = |id: &str, music: &str| {
        format!(
            "<part id=\"{id}\"><measure number=\"1\"><attributes><divisions>1</divisions></attributes>{music}</measure></part>"
        )
    };
    format!(
        "<score-partwise version=\"4.0\"><part-list><score-part id=\"P1\"><part-name>Horn in F</part-name></score-part>\
         <score-part id=\"P2\"><part-name>Flute</part-name></score-part></part-list>{}{}</score-partwise>",
        part("P1", horn),
        part("P2", flute)
    )
}

/// Each of these texts is told once, as gravely as it says.
fn check(format: &str, cases: &[(String, Severity)]) {
    for (text, severity) in cases {
        let findings = told(format, text);
        assert_eq!(findings.len(), 1, "{format}: {text}\n{findings:?}");
        let finding = &findings[0];
        assert_eq!(finding.severity, *severity, "{text}\n{}", finding.message);
        let reassures = finding.message.contains("No note is lost")
            || finding.message.contains("another instrument's part")
            || finding.message.contains("No part here is a horn's");
        assert_eq!(reassures, *severity == Information, "{}", finding.message);
    }
}

#[test]
fn abc_tells_what_is_lost_and_whose() {
    let plain = "c d e f";
    let cases = [
        // Notes of the horn's: swallowed by a quote, in a broken chord, behind an accidental, of no letter.
        ("", "c d \"^solo e f", plain, Error),
        ("", "c [d e f", plain, Error),
        ("", "c d ^ e f", plain, Error),
        ("", "c d k4 e f", plain, Error),
        // The same in the flute's.
        ("", plain, "c d \"^solo e f", Information),
        ("", plain, "c [d e f", Information),
        ("", plain, "c d ^ e f", Information),
        // No note is lost.
        ("", "c ? d e f", plain, Information),
        ("", "c d e f } ", plain, Information),
        ("", plain, "c ? d e f", Information),
        ("Q:fast\n", plain, plain, Information),
        // It moves every note.
        ("L:quick\n", plain, plain, Error),
    ]
    .map(|(header, horn, flute, severity)| (abc(header, horn, flute), severity));
    check("abc", &cases);
    // With its name a part loses all that says whose it is.
    let unnamed = "X:1\nM:4/4\nL:1/4\nK:none\nV:1 name=\"Horn in F transpose=-7\nc d e f |]\n";
    check("abc", &[(unnamed.to_owned(), Error)]);
}

#[test]
fn humdrum_tells_what_is_lost_and_whose() {
    let cases = [
        ("4x", "1g", Error),
        ("4", "1g", Error),
        ("1f", "4x", Information),
        ("1fü", "1g", Information),
        ("1f", "1gü", Information),
        // Whose cell is missing nobody can tell; what is too much and empty takes nothing.
        ("1f\t1g", "1a", Error),
        ("1f", "1g\t", Information),
    ]
    .map(|(horn, flute, severity)| (kern(horn, flute), severity));
    check("kern", &cases);
    let flutes = kern("1f\t1g", "1a").replace("Horn in F", "Flute 2");
    check("kern", &[(flutes, Information)]);
}

#[test]
fn musicxml_tells_what_is_lost_and_whose() {
    let note = |inside: &str| format!("<note>{inside}<duration>4</duration></note>");
    let good = note("<pitch><step>C</step><octave>5</octave></pitch>");
    let (no_pitch, no_step) = (
        note(""),
        note("<pitch><step>H</step><octave>5</octave></pitch>"),
    );
    let strange = format!("<drum/>{good}");
    let cases = [
        (&no_pitch, &good, Error),
        (&no_step, &good, Error),
        (&good, &no_pitch, Information),
        (&good, &no_step, Information),
        (&strange, &good, Information),
        (&good, &strange, Information),
    ]
    .map(|(horn, flute, severity)| (musicxml(horn, flute), severity));
    check("musicxml", &cases);
    // A measure without its end, in the horn's part and in the flute's.
    for (part, severity) in [("P1", Error), ("P2", Information)] {
        let text = musicxml(&good, &good);
        let at = text.find(&format!("<part id=\"{part}\">")).unwrap();
        let (before, after) = text.split_at(at);
        let text = format!("{before}{}", after.replacen("</measure>", "", 1));
        check("musicxml", &[(text, severity)]);
    }
    // No score at all.
    check("musicxml", &[("<html></html>".to_owned(), Error)]);
}

/// What is told where the order of performance cannot be decided: where, and which words.
#[test]
fn an_order_that_cannot_be_decided_is_told_once() {
    let note = "<note><pitch><step>C</step><octave>5</octave></pitch><duration>4</duration></note>";
    let back = |times: &str| {
        format!(
            "{note}<barline location=\"right\"><repeat direction=\"backward\" times=\"{times}\"/></barline>"
        )
    };
    let words = "<direction><direction-type><words>D.S.</words></direction-type></direction>";
    for (format, text, at, says) in [
        (
            "abc",
            abc("", "c4 !D.S.!", "c4 !D.S.!"),
            "!D.S.!",
            "no sign stands before",
        ),
        (
            "kern",
            kern("1f", "1g").replace("\n1f", "\n!LO:TX:t=D.S.\t!\n1f"),
            "!LO:TX:t=D.S.",
            "no sign stands before",
        ),
        (
            "musicxml",
            musicxml(&format!("{words}{note}"), note),
            "D.S.",
            "no sign stands before",
        ),
        (
            "musicxml",
            musicxml(&back("1000000000"), &back("1000000000")),
            "<barline",
            "more than 32 times",
        ),
    ] {
        let findings = told(format, &text);
        assert_eq!(findings.len(), 1, "{format}: {text}\n{findings:?}");
        let finding = &findings[0];
        assert_eq!(finding.severity, Information, "{}", finding.message);
        assert!(finding.message.contains(says), "{}", finding.message);
        let place = &text[finding.span.range()];
        assert!(place.contains(at) || at.contains(place), "{place}");
    }
    // The same with a way through is told nothing of.
    for (format, text) in [
        ("abc", abc("", "!segno!c4 !D.S.!", "c4")),
        ("musicxml", musicxml(&back("32"), note)),
    ] {
        assert_eq!(told(format, &text), [], "{text}");
    }
}
