//! What is judged along the performance: a stretch that is played several times tires and takes breath each time, in every
//! notation alike, and a finding names which time.

use engine::{Finding, Judged, Settings};
use notation::{Document, Format};

/// A stretch of the horn's bars, each a written A5 for three beats of a second, and a rest for one, in three notations; it
/// is played so many times in all.
fn stretch(bars: usize, times: usize) -> [(Format, String); 3] {
    let abc = format!(
        "X:1\nM:4/4\nL:1/4\nQ:1/4=60\nK:none\nV:1 name=\"Horn in F\" transpose=-7\n|: \"^{times}x\" {} :|\n",
        vec!["a3 z"; bars].join(" | ")
    );
    let kern: Vec<String> = (1..=bars)
        .map(|bar| {
            let begin = if bar == 1 { "!|:" } else { "" };
            let words = format!("!LO:TX:t={times}_x\n");
            let words = if bar == 1 { words } else { String::new() };
            format!("={bar}{begin}\n{}2.dd\n4r\n", words.replace('_', " "))
        })
        .collect();
    let kern = format!(
        "**kern\n*I\"Horn in F\n*ITrd4c7\n*M4/4\n*MM60\n{}=:|!\n*-\n",
        kern.concat()
    );
    let note = "<note><pitch><step>A</step><octave>5</octave></pitch><duration>3</duration></note>\
        <note><rest/><duration>1</duration></note>";
    let measures: Vec<String> = (1..=bars)
        .map(|bar| {
            let start = "<attributes><divisions>1</divisions><time><beats>4</beats><beat-type>4</beat-type></time>\
                <transpose><diatonic>-4</diatonic><chromatic>-7</chromatic></transpose></attributes><sound tempo=\"60\"/>";
            let start = if bar == 1 { start } else { "" };
            let back = format!(
                "<barline location=\"right\"><repeat direction=\"backward\" times=\"{times}\"/></barline>"
            );
            let back = if bar == bars { back } else { String::new() };
            format!("<measure number=\"{bar}\">{start}{note}{back}</measure>")
        })
        .collect();
    let musicxml = format!(
        "<score-partwise><part-list><score-part id=\"P1\"><part-name>Horn in F</part-name></score-part></part-list>\
        <part id=\"P1\">{}</part></score-partwise>",
        measures.concat()
    );
    [
        (Format::Abc, abc),
        (Format::Kern, kern),
        (Format::MusicXml, musicxml),
    ]
}

fn found(format: Format, text: &str, rule: &str) -> Vec<Finding> {
    let document = Document::from_text(format, text);
    let mut findings = Judged::new(document, Settings::default())
        .findings()
        .to_vec();
    findings.retain(|finding| finding.rule == rule);
    findings
}

#[test]
fn a_hymn_tires_as_often_as_it_is_played() {
    for (times, says) in [
        (1, None),
        (3, None),
        (4, Some(", fourth time")),
        (5, Some(", fourth time")),
    ] {
        for (format, text) in stretch(8, times) {
            let findings = found(format, &text, "stamina/no-rest");
            let first = findings.first().map(|finding| finding.message.as_str());
            println!("{format:?} {times}: {first:?}");
            assert_eq!(
                first.is_some(),
                says.is_some(),
                "{format:?}, {times} times: {first:?}"
            );
            if let Some(says) = says {
                let message = first.unwrap();
                assert!(message.contains(says), "{message}");
                assert!(message.contains("From bar 1 to here"), "{message}");
            }
        }
    }
}

#[test]
fn what_is_repeated_is_what_is_written_out() {
    let head = "X:1\nM:4/4\nL:1/4\nQ:1/4=60\nK:none\nV:1 name=\"Horn in F\" transpose=-7\n";
    let [a, b, c] = ["a4 | b4 | a2 z2", "g4 | g'2 f'2", "a3 z | z4"];
    for (repeated, written) in [
        (
            format!("|: {a} | {b} :| {c} |]"),
            format!("{a} | {b} | {a} | {b} | {c} |]"),
        ),
        (
            format!("|: {a} |1 {b} :|2 {c} | {b} |]"),
            format!("{a} | {b} | {a} | {c} | {b} |]"),
        ),
        (
            format!("{a} | !fine!b4 | {c} | !D.C.alfine!e2 z2"),
            format!("{a} | b4 | {c} | e2 z2 | {a} | b4 |]"),
        ),
    ] {
        let of = |music: &str| {
            let document = Document::from_text(Format::Abc, &format!("{head}{music}\n"));
            let judged = Judged::new(document, Settings::default());
            let (_, reading) = judged.pieces().next().unwrap();
            let horn = &reading.horns[0];
            let passes = horn.played().map(|(note, pass)| {
                let effort = pass.effort;
                let sums = [effort.breath, effort.lip, effort.high]
                    .map(|sum| (sum.before, sum.after, sum.since));
                // Seconds are sums of fractions.
                format!(
                    "{} from {:.6} to {:.6}, {} {sums:.6?}",
                    note.written, pass.starts.0, pass.ends.0, effort.snatched
                )
            });
            passes.collect::<Vec<_>>()
        };
        let (repeated, written) = (of(&repeated), of(&written));
        assert!(repeated.len() > 8);
        assert_eq!(repeated, written);
    }
}

#[test]
fn a_line_without_a_breath_goes_on_over_the_turn_of_a_repeat() {
    let head = "X:1\nM:4/4\nL:1/4\nQ:1/4=60\nK:none\nV:1 name=\"Horn in F\" transpose=-7\n";
    for (music, speaks) in [
        ("|: c4 | d4 | e4 | f2 z2 :|", false),
        ("|: c4 | d4 | e4 | f4 :| z4 |]", true),
        ("|: c4 | d4 | e4 | !breath!f4 :| z4 |]", false),
        ("c4 | d4 | e4 | f4 | z4 |]", false),
    ] {
        let findings = found(Format::Abc, &format!("{head}{music}\n"), "breath/no-place");
        println!(
            "{music}: {:?}",
            findings.first().map(|finding| &finding.message)
        );
        assert_eq!(!findings.is_empty(), speaks, "{music}");
        if speaks {
            assert!(
                findings[0].message.contains(", second time: "),
                "{}",
                findings[0].message
            );
        }
    }
}

#[test]
fn what_is_behind_a_player_is_of_the_last_time() {
    let head = "X:1\nM:4/4\nL:1/4\nQ:1/4=60\nK:none\nV:1 name=\"Horn in F\" transpose=-7\n";
    for (music, times) in [
        ("a2 b2 | c'4 |]", vec![1, 1, 1]),
        ("|: a2 b2 :| c'4 |]", vec![2, 2, 1]),
        ("|: a2 b2 |1 c'4 :|2 d'4 |]", vec![2, 2, 1, 1]),
    ] {
        let document = Document::from_text(Format::Abc, &format!("{head}{music}\n"));
        let judged = Judged::new(document, Settings::default());
        let (_, reading) = judged.pieces().next().unwrap();
        let last = reading.horns[0].played_last();
        let notes: Vec<_> = last.iter().map(|(note, _)| note.onset).collect();
        assert!(notes.is_sorted(), "{music}");
        let last: Vec<_> = last.iter().map(|(_, pass)| pass.time).collect();
        assert_eq!(last, times, "{music}");
    }
}

/// Eight bars of a held C5 in three notations, the fourth with what holds it, and what leads on from it.
fn held(fermata: bool, slurred: bool) -> [(Format, String); 3] {
    let bars = |each: &dyn Fn(usize) -> String| (1..=8).map(each).collect::<String>();
    let at = |bar: usize, sign: &'static str| if fermata && bar == 4 { sign } else { "" };
    let open = |bar: usize, sign: &'static str| if slurred && bar == 4 { sign } else { "" };
    let close = |bar: usize, sign: &'static str| if slurred && bar == 5 { sign } else { "" };
    let abc = bars(&|bar| {
        format!(
            "{}{}c4{} | ",
            open(bar, "("),
            at(bar, "!fermata!"),
            close(bar, ")")
        )
    });
    let kern = bars(&|bar| {
        format!(
            "={bar}\n{}1f{}{}\n",
            open(bar, "("),
            at(bar, ";"),
            close(bar, ")")
        )
    });
    let musicxml = bars(&|bar| {
        let start = "<attributes><divisions>1</divisions><time><beats>4</beats><beat-type>4</beat-type></time>\
            <transpose><diatonic>-4</diatonic><chromatic>-7</chromatic></transpose></attributes><sound tempo=\"60\"/>";
        format!(
            "<measure number=\"{bar}\">{}<note><pitch><step>C</step><octave>5</octave></pitch><duration>4</duration>\
             <notations>{}{}{}</notations></note></measure>",
            if bar == 1 { start } else { "" },
            open(bar, "<slur type=\"start\"/>"),
            close(bar, "<slur type=\"stop\"/>"),
            at(bar, "<fermata/>"),
        )
    });
    [
        (
            Format::Abc,
            format!(
                "X:1\nM:4/4\nL:1/4\nQ:1/4=60\nK:none\nV:1 name=\"Horn in F\" transpose=-7\n{abc}\n"
            ),
        ),
        (
            Format::Kern,
            format!("**kern\n*I\"Horn in F\n*ITrd4c7\n*M4/4\n*MM60\n{kern}==\n*-\n"),
        ),
        (
            Format::MusicXml,
            format!(
                "<score-partwise><part-list><score-part id=\"P1\"><part-name>Horn in F</part-name></score-part></part-list>\
                 <part id=\"P1\">{musicxml}</part></score-partwise>"
            ),
        ),
    ]
}

#[test]
fn a_fermata_is_a_place_to_breathe_unless_a_slur_leads_on() {
    for (fermata, slurred, speaks) in [
        (false, false, true),
        (true, true, true),
        (true, false, false),
    ] {
        for (format, text) in held(fermata, slurred) {
            let findings = found(format, &text, "breath/no-place");
            let first = findings.first().map(|finding| &finding.message);
            let from_first = first.is_some_and(|message| message.contains("from C5 in bar 1 "));
            assert_eq!(
                from_first, speaks,
                "{format:?}, {fermata}, {slurred}: {first:?}"
            );
        }
    }
}

#[test]
fn a_fermata_over_a_rest_holds_no_note() {
    let head = "X:1\nM:4/4\nL:1/4\nQ:1/4=60\nK:none\nV:1 name=\"Horn in F\" transpose=-7\n";
    let text = format!("{head}!fermata!z2 c2 | d4 | e4 | f4 | g4 | a4 | g4 | f4 | e4 | d4 |]\n");
    let findings = found(Format::Abc, &text, "breath/no-place");
    let message = &findings[0].message;
    assert!(message.contains("from C5 in bar 1 "), "{message}");
}
