//! What the rules say of small invented scores, word for word where it matters, in every notation that can say them.

use engine::{Judged, Settings};
use notation::{Document, Format};
use rules::{Finding, Severity};

use crate::seeded::sheet::{Sheet, Stand};
use crate::seeded::write;

/// A part of a score: its name, the semitones recorded for it, and its bars.
type Part<'a> = (&'a str, Option<i32>, &'a [&'a str]);

fn score(parts: &[Part<'_>], format: Format) -> Document {
    let stands = parts.iter().map(|(name, records, bars)| Stand {
        name: (*name).to_owned(),
        records: *records,
        said: None,
        key: 0,
        bars: bars.iter().map(|bar| (*bar).to_owned()).collect(),
    });
    let sheet = Sheet {
        stands: stands.collect(),
        told: None,
        repeated: None,
        new_page: None,
    };
    Document::from_text(format, &write::write(&sheet, format))
}

fn findings(document: &Document) -> Vec<Finding> {
    Judged::new(document.clone(), Settings::default())
        .findings()
        .to_vec()
}

/// What one rule says of a score, in each notation.
fn said(rule: &str, parts: &[Part<'_>]) -> Vec<(Format, Document, Vec<Finding>)> {
    Format::ALL
        .into_iter()
        .map(|format| {
            let document = score(parts, format);
            let mut findings = findings(&document);
            findings.retain(|finding| finding.rule == rule);
            (format, document, findings)
        })
        .collect()
}

const HORN: &str = "Horn in F";

#[test]
fn a_key_signature_is_spoken_of_once_a_part_and_one_fix_takes_all_out() {
    let abc = "X:1\nM:4/4\nL:1/4\nK:none\nV:1 name=\"Horn 1 in F\" transpose=-7\nV:2 name=\"Horn 2 in F\" transpose=-7\n\
               [V:1][K:Bb] B4 | [K:D] f4 | [K:F] B4 |]\n[V:2] c4 | c4 | c4 |]\n";
    let kern = "**kern\t**kern\n*I\"Horn 1 in F\t*I\"Horn 2 in F\n*ITrd4c7\t*ITrd4c7\n*clefG2\t*clefG2\n*k[b-e-a-]\t*k[b-]\n\
                *M4/4\t*M4/4\n=1\t=1\n1e-\t1f\n=2\t=2\n*k[f#]\t*\n1f#\t1f\n=3\t=3\n*k[b-e-]\t*\n1e-\t1f\n==\t==\n*-\t*-\n";
    let attributes =
        |fifths: i32| format!("<attributes><key><fifths>{fifths}</fifths></key></attributes>");
    let measure = |number: u32, inside: &str, step: &str| {
        format!(
            "<measure number=\"{number}\">{inside}<note><pitch><step>{step}</step><octave>5</octave></pitch>\
             <duration>4</duration></note></measure>"
        )
    };
    let head = |fifths: i32| {
        format!(
            "<attributes><divisions>1</divisions><key><fifths>{fifths}</fifths></key><time><beats>4</beats><beat-type>4</beat-type>\
             </time><clef><sign>G</sign><line>2</line></clef><transpose><diatonic>-4</diatonic><chromatic>-7</chromatic>\
             </transpose></attributes>"
        )
    };
    let musicxml = format!(
        "<score-partwise version=\"4.0\"><part-list><score-part id=\"P1\"><part-name>Horn 1 in F</part-name></score-part>\
         <score-part id=\"P2\"><part-name>Horn 2 in F</part-name></score-part></part-list><part id=\"P1\">{}{}{}</part>\
         <part id=\"P2\">{}{}{}</part></score-partwise>",
        measure(1, &head(-2), "C"),
        measure(2, &attributes(2), "G"),
        measure(3, &attributes(-1), "C"),
        measure(1, &head(0), "C"),
        measure(2, "", "C"),
        measure(3, "", "C"),
    );
    for (format, text) in [
        (Format::Abc, abc.to_owned()),
        (Format::Kern, kern.to_owned()),
        (Format::MusicXml, musicxml),
    ] {
        let document = Document::from_text(format, &text);
        let found = findings(&document);
        let own: Vec<&Finding> = found
            .iter()
            .filter(|one| one.rule == "notation/key-signature")
            .collect();
        assert_eq!(own.len(), 1, "{}: {own:#?}", format.name());
        assert_eq!(own[0].part.as_deref(), Some("Horn 1 in F"));
        // The first speaks; the two later ones belong to it.
        assert_eq!(own[0].related.len(), 2, "{}", format.name());
        assert!(own[0].related.iter().all(|one| one.span > own[0].span));
        assert_eq!(own[0].fixes.len(), 1);
        let judged = Judged::new(document, Settings::default());
        let proven = judged.prove(&[&own[0].fixes[0]]).unwrap();
        let after = proven.document();
        assert!(
            findings(after)
                .iter()
                .all(|one| one.rule != "notation/key-signature"),
            "{}",
            after.text()
        );
    }
}

#[test]
fn a_leap_is_named_as_musicians_do() {
    for (bar, words) in [
        ("c4 b4 z24", "A quick leap of a seventh from C5 up to B5"),
        ("G4 g4 z24", "A quick leap of an octave from G4 up to G5"),
        ("E4 g4 z24", "A quick leap of a tenth from E4 up to G5"),
        ("C4 g4 z24", "A quick leap of a twelfth from C4 up to G5"),
        (
            "C,4 g4 z24",
            "A quick leap of more than two octaves from C3 up to G5",
        ),
    ] {
        for (format, _, found) in said("line/leap", &[(HORN, Some(-7), &[bar])]) {
            assert_eq!(found.len(), 1, "{bar} in {}", format.name());
            assert!(found[0].message.starts_with(words), "{}", found[0].message);
        }
    }
    // A third and a sixth are no wide leaps.
    for (_, _, found) in said(
        "line/leap",
        &[(HORN, Some(-7), &["e4 g4 z24", "_b4 g4 B4 g4 z16"])],
    ) {
        assert!(found.is_empty(), "{found:#?}");
    }
}

#[test]
fn limits_and_heights_have_their_plain_names() {
    // On a horn in A, written G sharp 5 is what a horn in F reads as B sharp 5: it is called C6.
    for (format, _, found) in said(
        "range/too-high",
        &[("Horn in A", Some(-3), &["^g16 ^c'16"])],
    ) {
        assert_eq!(found.len(), 1, "{}", format.name());
        let message = &found[0].message;
        assert!(
            message.contains("which is F6 on a horn in F, is above written C6 for horn in F"),
            "{message}"
        );
    }
    for (format, _, found) in said("range/too-high", &[(HORN, Some(-7), &["d'16 c'16"])]) {
        assert_eq!(found.len(), 1, "{}", format.name());
        assert_eq!(found[0].severity, Severity::Warning);
        let message = &found[0].message;
        assert!(
            message.starts_with("D6 (sounds G5) is above written C6, "),
            "{message}"
        );
    }
}

/// A rule's findings in every notation must be as many, and as grave, as wanted.
fn spoken(rule: &str, parts: &[Part<'_>], wanted: &[Severity]) -> Vec<Finding> {
    let mut all = Vec::new();
    for (format, document, found) in said(rule, parts) {
        let severities: Vec<Severity> = found.iter().map(|one| one.severity).collect();
        assert_eq!(
            severities,
            wanted,
            "{rule} in {}: {found:#?}\n{}",
            format.name(),
            document.text()
        );
        all.extend(found);
    }
    all
}

#[test]
fn a_low_solo_warns_only_below_middle_c() {
    use Severity::{Information, Warning};
    let rule = "range/weak-low";
    let horn = |bar: &'static str| -> [&'static str; 2] { [bar, "\"^tutti\" z32"] };
    for (bar, wanted) in [
        ("\"^solo\" G8 A8 B8 G8", &[][..]),
        ("\"^solo\" ^F8 F8 E8 ^F8", &[Information]),
        ("\"^solo\" C8 D8 E8 C8", &[Information]),
        ("\"^solo\" B,8 C8 B,8 A,8", &[Warning]),
        // However softly it is marked, nobody is told to play louder.
        ("\"^solo\" !ppp!B,8 C8 B,8 A,8", &[Warning]),
        ("\"^solo\" !ppp!E8 C8 D8 E8", &[Information]),
    ] {
        for found in spoken(rule, &[(HORN, Some(-7), &horn(bar))], wanted) {
            assert!(
                !found.message.contains("louder"),
                "{bar}: {}",
                found.message
            );
        }
    }
    // A loud line informs, wherever it lies and whatever is around it.
    let loud = ["!f!^F,8 E,8 D,8 E,8", "z32"];
    let flute = ["!f!c16 e16", "z32"];
    spoken(
        rule,
        &[(HORN, Some(-7), &loud), ("Trumpet 1", None, &flute)],
        &[Information],
    );
    let at_home = ["!f!G,8 A,8 B,8 G,8", "z32"];
    spoken(rule, &[(HORN, Some(-7), &at_home)], &[]);
}

#[test]
fn soft_and_high_is_told_at_an_entry_and_within_a_phrase() {
    use Severity::{Information, Warning};
    let rule = "range/soft-high";
    for (bars, wanted, begins) in [
        (&["!pp!g16 e16"][..], &[][..], ""),
        (
            &["!pp!^g16 e16"],
            &[Information],
            "G#5 (sounds C#5) is to begin pp, after a rest. Above written G5 ",
        ),
        (&["!pp!d8 f8 a16"], &[], ""),
        (
            &["!pp!d8 f8 _b16"],
            &[Information],
            "Bb5 (sounds Eb5) is reached within a line marked pp. Above written A5 ",
        ),
        (
            &["!pp!d8 f8 c'16"],
            &[Warning],
            "C6 (sounds F5) is reached within a line marked pp. ",
        ),
        (&["!p!d8 f8 b16"], &[], ""),
        (
            &["!p!d8 f8 c'16"],
            &[Information],
            "C6 (sounds F5) is reached within a line marked p. Above written B5 ",
        ),
        (&["!mp!d8 f8 c'16"], &[], ""),
        // Each phrase is spoken of once.
        (
            &["!pp!b8 f8 b8 z8", "d8 b8 b16"],
            &[Warning, Information],
            "B5 (sounds E5) ",
        ),
        // What grows is no longer so soft, until it is marked anew.
        (&["!pp!d8 \"^cresc.\" f8 b16"], &[], ""),
        (
            &["!pp!d8 \"^cresc.\" f8 !f!b16", "!pp!d8 f8 b16"],
            &[Information],
            "B5 (sounds E5) is reached",
        ),
    ] {
        for found in spoken(rule, &[(HORN, Some(-7), bars)], wanted) {
            assert!(found.message.starts_with(begins), "{}", found.message);
            assert_eq!(found.fixes[0].title, "Move the phrase down an octave");
        }
    }
}

#[test]
fn a_breath_is_shorter_low_down_and_longer_high_up() {
    // The longest note, in bars of 2.5 s, that is left in peace, by height and loudness.
    let longest = |note: &str, dynamic: &str| -> Vec<usize> {
        Format::ALL
            .into_iter()
            .map(|format| {
                (1..14)
                    .take_while(|count| {
                        let mut bars = vec![format!("{note}32-"); *count];
                        bars[0].insert_str(0, dynamic);
                        bars[count - 1] = bars[count - 1].trim_end_matches('-').to_owned();
                        let bars: Vec<&str> = bars.iter().map(String::as_str).collect();
                        let document = score(&[(HORN, Some(-7), &bars)], format);
                        findings(&document)
                            .iter()
                            .all(|one| one.rule != "breath/no-place")
                    })
                    .count()
            })
            .collect()
    };
    for (note, [p, mf, f]) in [
        // 25, 18 and 12 s on the middle of the horn, three fifths of it on written C3, six fifths on A5.
        ("c", [10, 7, 4]),
        ("C", [10, 7, 4]),
        ("C,", [6, 4, 2]),
        ("^F,", [8, 5, 3]),
        ("a", [12, 8, 5]),
    ] {
        for (dynamic, wanted) in [("!p!", p), ("!mf!", mf), ("!f!", f)] {
            assert_eq!(longest(note, dynamic), [wanted; 3], "{note} at {dynamic}");
        }
    }
}

#[test]
fn a_rip_is_sent_to_the_octave_first_and_stays_in_the_harmony() {
    let titles = |found: &Finding| -> Vec<String> {
        found.fixes.iter().map(|fix| fix.title.clone()).collect()
    };
    for (rule, horn, others, advice, wanted) in [
        // Alone, only the rip's own two notes are known to belong together.
        (
            "rip/off-series",
            "\"^gliss.\" (G16 ^c16)",
            "z32",
            "Start it on C#4, an octave below its end; or end it on G5; or write the notes out.",
            &["Start the rip on C#4", "End the rip on G5"][..],
        ),
        (
            "rip/too-few",
            "\"^gliss.\" (C16 E16)",
            "z32",
            "Start it on E3, an octave below its end; or end it on C5; or write a plain slur.",
            &["Start the rip on E3", "End the rip on C5"],
        ),
        // Under a chord of C major in the horn's own reading (sounding F, A, C) its notes are offered too.
        (
            "rip/off-series",
            "\"^gliss.\" (C16 B16)",
            "[FAc]32",
            "Start it on B3, an octave below its end; or end it on G4 or C5; or write the notes out.",
            &[
                "Start the rip on B3",
                "End the rip on G4",
                "End the rip on C5",
                "Start the rip on G3",
                "Start the rip on E4",
            ],
        ),
    ] {
        for (format, document, found) in said(
            rule,
            &[(HORN, Some(-7), &[horn]), ("Organ", None, &[others])],
        ) {
            assert_eq!(found.len(), 1, "{rule} in {}", format.name());
            assert!(found[0].message.ends_with(advice), "{}", found[0].message);
            assert_eq!(
                titles(&found[0])[..wanted.len().min(found[0].fixes.len())],
                *wanted,
                "{}",
                format.name()
            );
            for fix in &found[0].fixes {
                let judged = Judged::new(document.clone(), Settings::default());
                let proven = judged.prove(&[fix]).unwrap();
                let left = findings(proven.document())
                    .iter()
                    .filter(|one| one.rule.starts_with("rip/"))
                    .count();
                assert_eq!(left, 0, "{}", fix.title);
            }
        }
    }
}

#[test]
fn a_held_note_warns_only_where_a_number_gives_the_tempo() {
    for (tempo, wanted) in [
        ("Q:1/4=60\n", Severity::Warning),
        ("Q:\"Adagio\"\n", Severity::Information),
        ("", Severity::Information),
    ] {
        let music = "c4-|".repeat(12);
        let text = format!(
            "X:1\nM:4/4\nL:1/4\n{tempo}K:none\nV:1 name=\"{HORN}\" transpose=-7\n!f!{music}c4 |]\n"
        );
        let found = findings(&Document::from_text(Format::Abc, &text));
        let own: Vec<Severity> = found
            .iter()
            .filter(|one| one.rule == "breath/no-place")
            .map(|one| one.severity)
            .collect();
        assert_eq!(own, [wanted], "{tempo}");
    }
}
