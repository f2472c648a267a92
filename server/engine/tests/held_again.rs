//! How hand, mute, bell and crook are held along the performance: what holds at a repeat's end holds when its beginning comes
//! again, in every notation alike.

use engine::{Finding, Judged, Settings};
use notation::{Document, Format};

/// A bar of four seconds: words over it, if any, and whether a written C5 is held in it or it is a rest.
type Bar = (&'static str, bool);

/// Bars of a horn, the first `again` of them played twice, in a notation.
fn score(format: Format, bars: &[Bar], again: usize) -> String {
    let each = bars.iter().enumerate();
    match format {
        Format::Abc => {
            let music: Vec<String> = each
                .map(|(place, (words, plays))| {
                    let words = match *words {
                        "" => String::new(),
                        words => format!("\"^{words}\" "),
                    };
                    let note = if *plays { "c4" } else { "z4" };
                    let begin = if place == 0 { "|: " } else { "" };
                    let end = if place + 1 == again { " :|" } else { " |" };
                    format!("{begin}{words}{note}{end}")
                })
                .collect();
            let music = music.join(" ");
            format!(
                "X:1\nM:4/4\nL:1/4\nQ:1/4=60\nK:none\nV:1 name=\"Horn in F\" transpose=-7\n{music}\n"
            )
        }
        Format::Kern => {
            let music: Vec<String> = each
                .map(|(place, (words, plays))| {
                    let words = match *words {
                        "" => String::new(),
                        words => format!("!LO:TX:a:t={words}\n"),
                    };
                    let note = if *plays { "1f" } else { "1r" };
                    let begin = match place {
                        0 => "!|:",
                        place if place == again => ":|!",
                        _ => "",
                    };
                    format!("={}{begin}\n{words}{note}\n", place + 1)
                })
                .collect();
            let end = if again == bars.len() { "=:|!" } else { "==" };
            let music = music.concat();
            format!("**kern\n*I\"Horn in F\n*ITrd4c7\n*M4/4\n*MM60\n{music}{end}\n*-\n")
        }
        Format::MusicXml => {
            let music: Vec<String> = each
                .map(|(place, (words, plays))| {
                    let start = "<attributes><divisions>1</divisions><time><beats>4</beats><beat-type>4</beat-type></time>\
                        <transpose><diatonic>-4</diatonic><chromatic>-7</chromatic></transpose></attributes>\
                        <sound tempo=\"60\"/>";
                    let start = if place == 0 { start } else { "" };
                    let words = match *words {
                        "" => String::new(),
                        words => format!(
                            "<direction><direction-type><words>{words}</words></direction-type></direction>"
                        ),
                    };
                    let note = if *plays {
                        "<pitch><step>C</step><octave>5</octave></pitch>"
                    } else {
                        "<rest/>"
                    };
                    let back = "<barline location=\"right\"><repeat direction=\"backward\"/></barline>";
                    let back = if place + 1 == again { back } else { "" };
                    let number = place + 1;
                    format!(
                        "<measure number=\"{number}\">{start}{words}<note>{note}<duration>4</duration></note>{back}</measure>"
                    )
                })
                .collect();
            let music = music.concat();
            format!(
                "<score-partwise><part-list><score-part id=\"P1\"><part-name>Horn in F</part-name></score-part></part-list>\
                <part id=\"P1\">{music}</part></score-partwise>"
            )
        }
    }
}

fn found(format: Format, text: &str, rule: &str) -> Vec<Finding> {
    let document = Document::from_text(format, text);
    let judged = Judged::new(document, Settings::default());
    let mut findings = judged.findings().to_vec();
    findings.retain(|finding| finding.rule == rule);
    findings
}

/// What a rule says of some bars, in all notations alike.
fn says(bars: &[Bar], again: usize, rule: &str) -> Option<String> {
    let said = Format::ALL.map(|format| {
        let text = score(format, bars, again);
        let findings = found(format, &text, rule);
        assert!(findings.len() < 2, "{format:?}: {findings:?}");
        findings.into_iter().next().map(|finding| finding.message)
    });
    assert!(said.iter().all(|one| *one == said[0]), "{said:?}");
    let [first, ..] = said;
    first
}

const REST: Bar = ("", false);
const NOTE: Bar = ("", true);

#[test]
fn what_is_held_at_the_end_of_a_repeat_is_held_at_its_beginning() {
    for (bars, again, says_of_it) in [
        (
            [
                NOTE,
                REST,
                ("con sord.", true),
                NOTE,
                ("senza sord.", false),
            ],
            4,
            Some(
                "At bar 1, second time, the mute is still in from bar 3; the first time it was out",
            ),
        ),
        // Taken out before the end, or said anew at the beginning.
        (
            [
                NOTE,
                REST,
                ("con sord.", true),
                ("senza sord.", false),
                NOTE,
            ],
            4,
            None,
        ),
        (
            [("senza sord.", true), REST, ("con sord.", true), REST, NOTE],
            4,
            None,
        ),
        // For the second time alone: that is how it is written.
        ([NOTE, REST, NOTE, ("con sord.", false), NOTE], 4, None),
        // Meant to stay in.
        (
            [NOTE, REST, ("con sord. sempre", true), NOTE, NOTE],
            4,
            None,
        ),
        (
            [NOTE, REST, ("stopped", true), NOTE, ("open", true)],
            4,
            Some(
                "At bar 1, second time, the horn is still stopped from bar 3; the first time the horn was open",
            ),
        ),
        (
            [NOTE, REST, ("bells up", true), NOTE, ("bells down", false)],
            4,
            Some(
                "At bar 1, second time, the bell is still up from bar 3; the first time it was down",
            ),
        ),
        // Not repeated.
        (
            [
                NOTE,
                REST,
                ("con sord.", true),
                NOTE,
                ("senza sord.", false),
            ],
            9,
            None,
        ),
    ] {
        let said = says(&bars, again, "marks/second-time");
        assert_eq!(said.is_some(), says_of_it.is_some(), "{bars:?}");
        if let (Some(said), Some(start)) = (said, says_of_it) {
            assert!(said.starts_with(start), "{said}");
        }
    }
}

#[test]
fn what_goes_out_within_a_repeat_is_out_at_its_beginning() {
    let head = "X:1\nM:4/4\nL:1/4\nQ:1/4=60\nK:none\nV:1 name=\"Horn in F\" transpose=-7\n";
    for (first, last, says_of_it) in [
        (
            "con sord.",
            "senza sord.",
            "the mute is out from bar 4; the first time it was in",
        ),
        (
            "stopped",
            "open",
            "the horn is open from bar 4; the first time the horn was stopped",
        ),
        (
            "half stopped",
            "open",
            "the horn is open from bar 4; the first time the horn was half-stopped",
        ),
        (
            "bells up",
            "bells down",
            "the bell is down from bar 4; the first time it was up",
        ),
    ] {
        let text = format!("{head}\"^{first}\" c4 |: c4 | z4 | \"^{last}\" c4 :|\n");
        let findings = found(Format::Abc, &text, "marks/second-time");
        let [finding] = &findings[..] else {
            panic!("{first}: {findings:?}");
        };
        println!("{}", finding.message);
        assert!(finding.message.contains(says_of_it), "{}", finding.message);
        assert!(
            finding.message.contains(&format!("Write \"{first}\"")),
            "{}",
            finding.message
        );
    }
}

#[test]
fn its_fix_is_what_it_says() {
    for format in Format::ALL {
        let bars = [
            NOTE,
            REST,
            ("con sord.", true),
            NOTE,
            ("senza sord.", false),
        ];
        let text = score(format, &bars, 4);
        let judged = Judged::new(Document::from_text(format, &text), Settings::default());
        let fixed = judged.fix_all(engine::Which::Review);
        let said: Vec<_> = fixed
            .judged
            .findings()
            .iter()
            .map(|finding| finding.rule)
            .collect();
        println!("{format:?}: {said:?}");
        assert!(!said.contains(&"marks/second-time"), "{said:?}");
        assert!(!said.contains(&"mute/already"), "{said:?}");
        let bytes = fixed.judged.document().to_bytes().unwrap();
        assert_eq!(
            String::from_utf8_lossy(&bytes)
                .matches("senza sord.")
                .count(),
            2
        );
    }
}

#[test]
fn a_mark_that_another_pass_needs_is_not_needless() {
    for (bars, again, speaks) in [
        (
            [("senza sord.", true), REST, ("con sord.", true), REST, NOTE],
            4,
            false,
        ),
        (
            [("senza sord.", true), REST, ("con sord.", true), REST, NOTE],
            9,
            true,
        ),
        ([("senza sord.", true), REST, NOTE, REST, NOTE], 4, true),
        (
            [
                ("con sord.", true),
                ("con sord.", true),
                ("senza sord.", false),
                NOTE,
                REST,
            ],
            2,
            true,
        ),
    ] {
        let said = says(&bars, again, "mute/already");
        assert_eq!(said.is_some(), speaks, "{bars:?}, {again}: {said:?}");
    }
}

#[test]
fn there_must_be_time_over_the_turn_of_a_repeat() {
    for (bars, again, rule, says_of_it) in [
        (
            [("con sord.", true), REST, ("senza sord.", true), NOTE, REST],
            4,
            "mute/no-time",
            Some("There is no rest to put the mute in before C5 in bar 1, second time."),
        ),
        (
            [("con sord.", true), REST, ("senza sord.", true), REST, NOTE],
            4,
            "mute/no-time",
            None,
        ),
        (
            [("con sord.", true), REST, ("senza sord.", true), NOTE, REST],
            9,
            "mute/no-time",
            None,
        ),
        (
            [("bells up", true), REST, ("bells down", true), NOTE, REST],
            4,
            "bell/no-time",
            Some("There is no rest to raise the bell before C5 in bar 1, second time."),
        ),
        (
            [("bells up", true), REST, ("bells down", true), REST, NOTE],
            4,
            "bell/no-time",
            None,
        ),
    ] {
        let said = says(&bars, again, rule);
        assert_eq!(
            said.is_some(),
            says_of_it.is_some(),
            "{bars:?}, {again}: {said:?}"
        );
        if let (Some(said), Some(start)) = (said, says_of_it) {
            assert!(said.starts_with(start), "{said}");
        }
    }
}

#[test]
fn the_end_is_where_the_performance_ends() {
    let head = "X:1\nM:4/4\nL:1/4\nQ:1/4=60\nK:none\nV:1 name=\"Horn in F\" transpose=-7\n";
    let mute = "mute/not-removed";
    let hand = "stopped/no-open";
    for (music, rule, speaks) in [
        // The mute goes in last on the page, and out on the way to the Fine.
        (
            "\"^senza sord.\" c4 | !fine!c4 | z4 | \"^con sord.\" c4 | !D.C.alfine!z4",
            mute,
            false,
        ),
        (
            "\"^senza sord.\" c4 | c4 | z4 | \"^con sord.\" c4 | z4",
            mute,
            true,
        ),
        // It is out at the page's end, and in where the Fine stands.
        (
            "\"^con sord.\" c4 | !fine!c4 | \"^senza sord.\" z4 | c4 | !D.C.alfine!z4",
            mute,
            true,
        ),
        (
            "\"^con sord.\" c4 | c4 | \"^senza sord.\" z4 | c4 | z4",
            mute,
            false,
        ),
        (
            "\"^open\" c4 | !fine!c4 | z4 | \"^stopped\" c4 | !D.C.alfine!c4",
            hand,
            false,
        ),
        ("\"^open\" c4 | c4 | z4 | \"^stopped\" c4 | c4", hand, true),
    ] {
        let findings = found(Format::Abc, &format!("{head}{music} |]\n"), rule);
        assert_eq!(!findings.is_empty(), speaks, "{music}: {findings:?}");
    }
}

#[test]
fn a_rest_goes_on_over_the_turn_of_a_repeat() {
    let head = "X:1\nM:4/4\nL:1/4\nQ:1/4=60\nK:none\nV:1 name=\"Horn in F\" transpose=-7\n";
    for (music, speaks) in [
        ("|: z4 | !f!b4 | c4 | Z25 :|", true),
        ("|: z4 | !f!b4 | c4 | Z12 :|", false),
        ("z4 | !f!b4 | c4 | Z25 |]", false),
    ] {
        let findings = found(Format::Abc, &format!("{head}{music}\n"), "line/cold-high");
        assert_eq!(!findings.is_empty(), speaks, "{music}: {findings:?}");
        if speaks {
            let message = &findings[0].message;
            assert!(
                message.contains(" without a note, second time ("),
                "{message}"
            );
        }
    }
}

#[test]
fn a_crook_is_changed_back_for_a_repeat() {
    let head = "X:1\nM:4/4\nL:1/4\nQ:1/4=60\nK:none\nV:1 name=\"Natural horn in F\" transpose=-7\n";
    for (music, speaks) in [
        ("|: c4 | Z9 | \"^in E flat\" [I:transpose=-9] c4 :|", true),
        (
            "|: c4 | Z9 | \"^in E flat\" [I:transpose=-9] c4 | Z9 :|",
            false,
        ),
        ("c4 | Z9 | \"^in E flat\" [I:transpose=-9] c4 |]", false),
    ] {
        let findings = found(
            Format::Abc,
            &format!("{head}{music}\n"),
            "natural/crook-change",
        );
        assert_eq!(!findings.is_empty(), speaks, "{music}: {findings:?}");
        if speaks {
            let message = &findings[0].message;
            assert!(
                message.contains("before C5 in bar 1, second time;"),
                "{message}"
            );
        }
    }
}
