//! Messages that are put together read as sentences, whichever way they were put together.

use engine::{Judged, Settings};
use notation::{Document, Format};
use rules::Given;

/// A horn part: its name, the semitones recorded for it, and its music.
type Part<'a> = (&'a str, i32, &'a str);

const HORN: (&str, i32) = ("Horn in F", -7);

fn assert_said(part: Part<'_>, rule: &str, words: &str) {
    assert_said_in(&Settings::default(), part, rule, words);
}

fn assert_said_in(settings: &Settings, (name, records, music): Part<'_>, rule: &str, words: &str) {
    let text = format!(
        "X:1\nM:4/4\nL:1/4\nQ:1/4=120\nK:none\nV:1 name=\"{name}\" transpose={records}\n{music}\n"
    );
    let document = Document::from_text(Format::Abc, &text);
    let judged = Judged::new(document, settings.clone());
    let findings = judged.findings();
    let said = findings
        .iter()
        .any(|finding| finding.rule == rule && finding.message.replace('\n', " ").contains(words));
    let all: Vec<_> = findings.iter().map(|f| (f.rule, &f.message)).collect();
    assert!(said, "{rule}: {words}\n{all:#?}");
}

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
        (
            "c4 | ^F A d f |]",
            "notation/unclear-accidental",
            "F#5 has its accidental only from F#4 earlier in the bar.",
        ),
        (
            "C, G,, C,, C, |]",
            "range/too-low",
            "the lowest note to ask of these players. That low, notes speak late, and soft ones may not speak at all. Write \
             it an octave higher, or give it to a lower instrument.",
        ),
        (
            "\"^solo\" A, B, A,2 | z4 |]",
            "range/weak-low",
            "lies mostly below written C4, where the horn carries little and is easily covered.",
        ),
        (
            "\"^solo\" C C C2 | z4 |]",
            "range/weak-low",
            "The horn is darker there and less easily heard than an octave higher.",
        ),
        (
            "e'4 |]",
            "range/too-high",
            "E6 (sounds A5) is above written C6, the highest note to ask of these players.",
        ),
        (
            "% bellhand: part 1 = horn in F, single B flat\nA,,,4 |]",
            "range/too-low",
            "Write it 2 octaves higher, or give it to a lower instrument.",
        ),
        (
            "c/8c/8c/8c/8 c/8c/8c/8c/8 c z2 |]",
            "line/tongue-speed",
            "9 tongued notes in a row from C5 on, 16.0 a second",
        ),
        (
            "!f!(\"^gliss.\"C ^c) z2 |]",
            "rip/off-series",
            "Start it on C#4, an octave below its end; or end it on C5 or C6; or write the notes out.",
        ),
    ] {
        assert_said((HORN.0, HORN.1, music), rule, words);
    }
}

#[test]
fn a_limit_is_named_as_a_horn_in_f_reads_it() {
    assert_said(
        ("Horn in E", -8, "e'4 |]"),
        "range/too-high",
        "E6 (sounds G#5), which is D#6 on a horn in F, is above written C6 for horn in F, the highest note",
    );
}

#[test]
fn a_low_note_is_moved_up_to_where_the_horn_has_it() {
    let mut settings = Settings::default();
    let lowest = Given::Text("G3".to_owned());
    let set = settings.house.set("range/too-low", "lowest", &lowest);
    assert_eq!(set, Ok(()));
    let single = "% bellhand: part 1 = horn in F, single B flat\n";
    for (note, octaves) in [
        ("C,,", "2 octaves"),
        ("A,,,", "2 octaves"),
        ("F,", "an octave"),
    ] {
        assert_said_in(
            &settings,
            (HORN.0, HORN.1, &format!("{single}{note}4 |]")),
            "range/too-low",
            &format!("Write it {octaves} higher"),
        );
    }
}

#[test]
fn a_record_that_gainsays_the_name_is_told_with_both() {
    for (part, words) in [
        (
            ("Horn in F", -2, "c4 |]"),
            "The part is named for a horn in F, which sounds a perfect fifth below what it reads (-7 semitones), but the file \
             records -2. The player will follow the words, so what you hear in playback is not what will be played. If the \
             record is right, this is a horn in B flat alto: say so in its place.",
        ),
        (
            ("Horn in F", -17, "c4 |]"),
            "but the file records -17. The player will follow the words, so what you hear in playback is not what will be \
             played. No horn has that transposition.",
        ),
        (
            ("Horn in F", 5, "c4 |]"),
            "The recorded transposition (5 semitones) is mistaken by an octave: the part is named for a horn in F, which \
             sounds a perfect fifth below what it reads (-7 semitones). Playback is in another octave than the player.",
        ),
        (
            ("Horn in F", -31, "c4 |]"),
            "(-31 semitones) is mistaken by 2 octaves",
        ),
        (
            (
                "Horn in F",
                -7,
                "c4 | z4 | [K:none transpose=-2]\"^in Eb\" c4 |]",
            ),
            "The words over the staff ask for a horn in E flat, which sounds a major sixth below what it reads (-9 semitones), but \
             the file records -2.",
        ),
    ] {
        assert_said(part, "notation/wrong-transposition", words);
    }
}
