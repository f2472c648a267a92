//! What a score says of itself as a lesson: silent where it is so, told where it announces what is not there.

use engine::{Finding, Judged, Lesson, Settings};
use notation::{Document, Format};

/// A part that is stopped too low in bar 2, and has `lines` as comments; in each notation.
fn lesson(lines: &[&str]) -> [(Format, String); 3] {
    let with = |before: &str, after: &str| -> String {
        let lines = lines.iter();
        lines
            .map(|line| format!("{before}bellhand: {line}{after}\n"))
            .collect()
    };
    let abc = format!(
        "X:1\nT:Fog at the Pier\n{}M:4/4\nL:1/4\nQ:1/4=84\nK:none\nV:1 name=\"Horn in F\" transpose=-7\n\
         !mf! c d e c | \"^stopped\" A,4 | \"^open\" c4 |]\n",
        with("% ", "")
    );
    let kern = format!(
        "!!!OTL: Fog at the Pier\n**kern\n*I\"Horn in F\n*ITrd4c7\n*M4/4\n*MM84\n{}=1\n4F\n4G\n4A\n4F\n=2\n\
         !LO:TX:t=stopped\n1D\n=3\n!LO:TX:t=open\n1F\n==\n*-\n",
        with("!! ", "")
    );
    let note = |step: &str, octave: u8, length: u8, kind: &str| {
        format!(
            "<note><pitch><step>{step}</step><octave>{octave}</octave></pitch><duration>{length}</duration>\
             <type>{kind}</type></note>\n"
        )
    };
    let words = |words: &str| {
        format!(
            "<direction placement=\"above\"><direction-type><words>{words}</words></direction-type></direction>\n"
        )
    };
    let xml = format!(
        "<score-partwise version=\"4.0\">\n<part-list>\n<score-part id=\"P1\"><part-name>Horn in F</part-name></score-part>\n\
         </part-list>\n{}<part id=\"P1\">\n<measure number=\"1\">\n<attributes><divisions>1</divisions><key><fifths>0</fifths></key>\
         <time><beats>4</beats><beat-type>4</beat-type></time><clef><sign>G</sign><line>2</line></clef><transpose>\
         <diatonic>-4</diatonic><chromatic>-7</chromatic></transpose></attributes>\n<direction><direction-type><metronome>\
         <beat-unit>quarter</beat-unit><per-minute>84</per-minute></metronome></direction-type></direction>\n<direction>\
         <direction-type><dynamics><mf/></dynamics></direction-type></direction>\n{}{}{}{}</measure>\n\
         <measure number=\"2\">\n{}{}</measure>\n<measure number=\"3\">\n{}{}</measure>\n</part>\n</score-partwise>\n",
        with("<!-- ", " -->"),
        note("C", 5, 1, "quarter"),
        note("D", 5, 1, "quarter"),
        note("E", 5, 1, "quarter"),
        note("C", 5, 1, "quarter"),
        words("stopped"),
        note("A", 3, 4, "whole"),
        words("open"),
        note("C", 5, 4, "whole"),
    );
    [
        (Format::Abc, abc),
        (Format::Kern, kern),
        (Format::MusicXml, xml),
    ]
}

/// What is said of the comments, and that nothing but the stopped note is said of the music.
fn said_of(lines: &[&str]) -> Vec<Vec<(Finding, String)>> {
    let texts = lesson(lines).into_iter();
    texts
        .map(|(format, text)| {
            let document = Document::from_text(format, &text);
            let judged = Judged::new(document, Settings::default());
            let (of_text, of_music): (Vec<&Finding>, Vec<&Finding>) = judged
                .findings()
                .iter()
                .filter(|finding| finding.rule != "marks/no-dynamic")
                .partition(|finding| finding.rule.starts_with("text/"));
            let of_music: Vec<_> = of_music.iter().map(|one| (one.rule, one.bar)).collect();
            assert_eq!(of_music, [("stopped/too-low", Some(2))], "{text}");
            let with_place =
                |finding: &Finding| (finding.clone(), text[finding.span.range()].to_owned());
            of_text.into_iter().map(with_place).collect()
        })
        .collect()
}

#[test]
fn what_is_there_is_announced_in_silence() {
    for lines in [
        &["expect stopped/too-low"][..],
        &["expect stopped/too-low in bar 2"],
        &["expect stopped/too-low in bar 2 in part \"Horn in F\""],
        &["expect stopped/too-low in part 1"],
        &[
            "task Move what is stopped to where the hand works",
            "hint Which note is the lowest?",
            "only stopped, mute/already",
        ],
    ] {
        for said in said_of(lines) {
            assert_eq!(said, [], "{lines:?}");
        }
    }
}

#[test]
fn what_is_not_there_is_told_where_it_is_announced() {
    for (line, why) in [
        ("expect range/too-high", "nothing to say here"),
        (
            "expect stopped/too-low in bar 3",
            "speaks in bar 2 of Horn in F",
        ),
        (
            "expect stopped/too-low in bar 3 in part 1",
            "in bar 3 of part \"1\"",
        ),
    ] {
        for said in said_of(&[line]) {
            let [(finding, place)] = &said[..] else {
                panic!("{line}: {said:?}");
            };
            assert_eq!(finding.rule, "text/lesson");
            assert_eq!(*place, format!("bellhand: {line}"));
            assert!(finding.message.contains(why), "{}", finding.message);
        }
    }
    for said in said_of(&["hint Think", "task Do"]) {
        let [(finding, place)] = &said[..] else {
            panic!("{said:?}");
        };
        assert_eq!(
            (finding.rule, place.as_str()),
            ("text/lesson", "bellhand: hint Think")
        );
    }
}

#[test]
fn what_is_no_rule_or_part_is_not_followed() {
    for (line, why) in [
        (
            "expect stopped/to-low in bar 2",
            "did you mean `stopped/too-low`?",
        ),
        ("expect stopped in bar 2", "is a group of rules"),
        (
            "expect stopped/too-low in part \"Horn 7\"",
            "there is no part `Horn 7` here",
        ),
        ("only stopped, stoped", "did you mean `stopped`?"),
        ("task", "what is to be done"),
        ("expect stopped/too-low in bar two", "`in bar 7`"),
    ] {
        for said in said_of(&[line]) {
            let [(finding, place)] = &said[..] else {
                panic!("{line}: {said:?}");
            };
            assert_eq!(finding.rule, "text/unreadable");
            assert_eq!(*place, format!("bellhand: {line}"));
            assert!(finding.message.contains(why), "{}", finding.message);
        }
    }
}

#[test]
fn what_is_silenced_or_switched_off_is_not_there() {
    let text = |line: &str| {
        format!(
            "X:1\n{line}% bellhand: expect range/too-high in bar 1\nM:4/4\nL:1/4\nQ:1/4=84\nK:none\n\
             V:1 name=\"Horn in F\" transpose=-7\n!f! d'4 | c4 |]\n"
        )
    };
    let said = |text: &str, settings: &str| -> Vec<Finding> {
        let (settings, errors) = Settings::of_text(settings);
        assert_eq!(errors, Vec::<String>::new());
        let judged = Judged::new(Document::from_text(Format::Abc, text), settings);
        judged.findings().to_vec()
    };
    let rules =
        |findings: &[Finding]| -> Vec<&str> { findings.iter().map(|one| one.rule).collect() };
    assert_eq!(rules(&said(&text(""), "")), ["range/too-high"]);
    let silenced = said(&text("% bellhand: ignore in file range/too-high\n"), "");
    assert_eq!(rules(&silenced), ["text/lesson"]);
    let off = said(&text(""), "[rules]\n\"range/too-high\" = \"off\"\n");
    assert_eq!(rules(&off), ["text/lesson"]);
    assert!(
        off[0].message.contains("switch that rule off"),
        "{}",
        off[0].message
    );
    let unsaid = said(
        &text("% bellhand: ignore in file range/too-high, text/lesson\n"),
        "",
    );
    assert_eq!(rules(&unsaid), Vec::<&str>::new());
}

#[test]
fn what_is_handed_out_has_the_tasks_and_nothing_that_gives_them_away() {
    let lines = [
        "task Move what is stopped to where the hand works",
        "hint Which note is the lowest?",
        "expect stopped/too-low in bar 2",
        "only stopped",
        "ignore marks/vague",
    ];
    for (format, text) in lesson(&lines) {
        let judged = Judged::new(Document::from_text(format, &text), Settings::default());
        let handout = Lesson::of(&judged).unwrap().handout();
        let kept: Vec<&str> = lines
            .iter()
            .copied()
            .filter(|line| handout.text().contains(line))
            .collect();
        assert_eq!(kept, [lines[0], lines[4]], "{}", handout.text());
        let gone: String = lesson(&[lines[0], lines[4]])
            .into_iter()
            .find_map(|(of, text)| (of == format).then_some(text))
            .unwrap();
        assert_eq!(handout.text(), gone);
    }
    // Behind music, a comment goes and the music stays.
    let with = "X:1\nK:none\nV:1 name=\"Horn in F\" transpose=-7\n!f! d'4 | c4 |] % bellhand: expect range/too-high\n";
    let judged = Judged::new(Document::from_text(Format::Abc, with), Settings::default());
    let handout = Lesson::of(&judged).unwrap().handout();
    assert_eq!(
        handout.text(),
        with.replace(" % bellhand: expect range/too-high", "")
    );
    let [_, _, (format, text)] = lesson(&[]);
    let inline = text.replace(
        "<measure number=\"2\">",
        "<measure number=\"2\"><!-- bellhand: hint x --><!--bellhand: task y-->",
    );
    let judged = Judged::new(Document::from_text(format, &inline), Settings::default());
    let handout = Lesson::of(&judged).unwrap().handout();
    assert_eq!(
        handout.text(),
        inline.replace("<!-- bellhand: hint x -->", "")
    );
}
