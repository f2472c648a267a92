//! Names that gainsay each other, and what the file records, over time: who is believed, and where it is said.

use engine::{Finding, Judged, Settings, Severity};
use notation::{Document, Format};
use score::Span;

const RULE: &str = "notation/wrong-transposition";

fn said(format: Format, text: &str) -> Vec<Finding> {
    let document = Document::from_text(format, text);
    let mut findings = Judged::new(document, Settings::default())
        .findings()
        .to_vec();
    findings.retain(|finding| finding.rule == RULE);
    findings
}

fn abc(voice: &str, music: &str) -> (String, Vec<Finding>) {
    let text = format!("X:1\nM:4/4\nL:1/4\nQ:1/4=80\nK:none\nV:1 {voice}\n{music} |]\n");
    let findings = said(Format::Abc, &text);
    (text, findings)
}

#[test]
fn two_names_of_a_part_that_differ_are_told_with_what_settles_them() {
    for (voice, words, severity) in [
        (
            "name=\"Horn in F\" sname=\"Hn. in Eb\"",
            "The part is named for a horn in F, but its short name says horn in E flat. The player does not know which to take. \
             Nothing is recorded that would settle it.",
            Severity::Warning,
        ),
        (
            "name=\"Horn in F\" sname=\"Hn. in Eb\" transpose=-7",
            "The player does not know which to take. The file records a horn in F.",
            Severity::Information,
        ),
        (
            "name=\"Horn in F\" sname=\"Hn. in B\"",
            "its short name says horn in B flat alto or horn in B basso or horn in B flat basso.",
            Severity::Warning,
        ),
    ] {
        let (_, found) = abc(voice, "c4");
        assert_eq!(found.len(), 1, "{voice}: {found:?}");
        assert!(found[0].message.contains(words), "{}", found[0].message);
        assert_eq!(found[0].severity, severity, "{voice}");
    }
    // A line to this tool settles them all, and names that mean the same horn are at peace.
    for (voice, music) in [
        (
            "name=\"Horn in F\" sname=\"Hn. in Eb\" transpose=-7",
            "% bellhand: part 1 = horn in F\nc4",
        ),
        ("name=\"Horn in F\" sname=\"Corno in Fa\"", "c4"),
        ("name=\"Horn in Bb alto\" sname=\"Hn. in B\"", "c4"),
        ("name=\"Horn 1\" sname=\"Hn. 1\"", "c4"),
    ] {
        let (_, found) = abc(voice, music);
        assert!(found.is_empty(), "{voice}: {found:?}");
    }
}

#[test]
fn every_name_that_says_otherwise_is_counted_up() {
    let text = "<score-partwise version=\"4.0\"><part-list><score-part id=\"P1\"><part-name>Horn in D</part-name>\
                <part-abbreviation>Hn. in Eb</part-abbreviation><score-instrument id=\"I1\"><instrument-name>Horn in Eb\
                </instrument-name></score-instrument></score-part></part-list><part id=\"P1\"><measure number=\"1\"><attributes>\
                <divisions>1</divisions><time><beats>4</beats><beat-type>4</beat-type></time></attributes><note><pitch><step>C</step>\
                <octave>5</octave></pitch><duration>4</duration></note></measure></part></score-partwise>";
    let found = said(Format::MusicXml, text);
    assert_eq!(found.len(), 1, "{found:?}");
    assert!(
        found[0].message.contains(
            "but its short name says horn in E flat, and the name of its instrument says horn in E flat."
        ),
        "{}",
        found[0].message
    );
}

#[test]
fn what_is_recorded_later_is_told_where_it_stands_and_as_often_as_it_changes() {
    // Of two records before the next note the later one holds.
    let (text, found) = abc(
        "name=\"Horn in F\" transpose=-7",
        "c4 | [K:none transpose=-9] z4 | [K:none transpose=-2] z4 | c4",
    );
    assert_eq!(found.len(), 1, "{found:?}");
    assert!(found[0].message.starts_with(
        "From here on the file records -2 semitones, which is a horn in B flat alto, but nothing on the page says so"
    ));
    assert!(text[found[0].span.start..].starts_with("transpose=-2]"));
    // The same fault goes on without a word; another one is another finding.
    for (again, places) in [("-17", 1), ("-18", 2)] {
        let (_, found) = abc(
            "name=\"Horn in F\" transpose=-7",
            &format!("c4 | [K:none transpose=-17] c4 | [K:none transpose={again}] c4"),
        );
        assert_eq!(found.len(), places, "{again}: {found:?}");
    }
}

#[test]
fn of_words_one_after_another_the_last_holds_and_of_words_together_none_is_sure() {
    let horn = "name=\"Horn in F\" transpose=-7";
    let record = "[K:none transpose=-10]";
    let (_, found) = abc(
        horn,
        &format!("c4 | \"^in Eb\"z4 | {record}\"^in D\"z4 | c4"),
    );
    assert!(found.is_empty(), "{found:?}");
    let (text, found) = abc(horn, &format!("c4 | {record}\"^in D\"\"^in Eb\"c4"));
    assert_eq!(found.len(), 1, "{found:?}");
    let stands = |span: Span| &text[span.start..span.end];
    assert_eq!(stands(found[0].span), "\"^in Eb\"");
    assert_eq!(stands(found[0].related[0].span), "\"^in D\"");
}
