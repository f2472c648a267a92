//! Where nothing marks a tempo, what rests on one is said once for a part, with the tempo from which on it is not so.

use engine::{Judged, Settings};
use notation::{Document, Format};
use rules::{Finding, Severity};

fn found(format: Format, text: &str, rule: &str) -> Vec<Finding> {
    let document = Document::from_text(format, text);
    let analysis = Judged::new(document, Settings::default());
    let mut findings = analysis.findings().to_vec();
    findings.retain(|finding| finding.rule == rule);
    findings
}

/// Leaps in quavers in every bar, in each notation, with a number for the tempo or none.
fn leaps(tempo: Option<u32>) -> [(Format, String); 3] {
    let abc = tempo.map_or_else(String::new, |rate| format!("Q:1/4={rate}\n"));
    let bar = "!f!c b c b z4 | ";
    let abc = format!(
        "X:1\nM:4/4\nL:1/8\n{abc}K:none\nV:1 name=\"Horn in F\" transpose=-7\n{}]\n",
        bar.repeat(9)
    );
    let kern = tempo.map_or_else(String::new, |rate| format!("*MM{rate}\n"));
    let mut kern = format!("**kern\n*I\"Horn in F\n*ITrd4c7\n*M4/4\n{kern}");
    for bar in 1..=9 {
        kern.push_str(&format!("={bar}\n8f\n8ee\n8f\n8ee\n2r\n"));
    }
    kern.push_str("*-\n");
    let sound = tempo.map_or_else(String::new, |rate| format!("<sound tempo=\"{rate}\"/>"));
    let note = |step: &str, octave: u8| {
        format!(
            "<note><pitch><step>{step}</step><octave>{octave}</octave></pitch><duration>1</duration><type>eighth</type></note>"
        )
    };
    let pair = note("C", 5) + &note("B", 5);
    let measures: String = (1..=9)
        .map(|number| {
            let head = if number == 1 {
                format!(
                    "<attributes><divisions>2</divisions><time><beats>4</beats><beat-type>4</beat-type></time><transpose>\
                     <diatonic>-4</diatonic><chromatic>-7</chromatic></transpose></attributes>{sound}"
                )
            } else {
                String::new()
            };
            format!(
                "<measure number=\"{number}\">{head}{pair}{pair}<note><rest/><duration>4</duration><type>half</type></note></measure>"
            )
        })
        .collect();
    let xml = format!(
        "<score-partwise version=\"4.0\"><part-list><score-part id=\"P1\"><part-name>Horn in F</part-name></score-part>\
         </part-list><part id=\"P1\">{measures}</part></score-partwise>"
    );
    [
        (Format::Abc, abc),
        (Format::Kern, kern),
        (Format::MusicXml, xml),
    ]
}

#[test]
fn leaps_without_a_tempo_are_one_finding_that_says_when_it_ceases() {
    for (format, text) in leaps(None) {
        let said = found(format, &text, "line/leap");
        let [leap] = said.as_slice() else {
            panic!("{format:?}: {said:?}");
        };
        assert!(
            leap.message.contains("17 more places in bars")
                || leap.message.contains("17 more places from bar"),
            "{format:?}: {}",
            leap.message
        );
        let rate: u32 = leap
            .message
            .split("faster than about ")
            .nth(1)
            .and_then(|rest| rest.split(' ').next())
            .and_then(|rate| rate.parse().ok())
            .unwrap();
        let at = |rate| {
            let [abc, kern, xml] = leaps(Some(rate));
            let text = match format {
                Format::Abc => abc.1,
                Format::Kern => kern.1,
                _ => xml.1,
            };
            found(format, &text, "line/leap").len()
        };
        assert_eq!(at(rate), 0, "{format:?} at {rate}");
        assert_eq!(at(rate + 1), 18, "{format:?} just above {rate}");
    }
}

#[test]
fn what_is_so_at_any_tempo_is_said_at_its_place() {
    // No rest at all to put the mute in, twice.
    let text = "X:1\nM:4/4\nL:1/4\nK:none\nV:1 name=\"Horn in F\" transpose=-7\ne c d e | \"^con sord.\" e4 | z4 | z4 | \"^senza \
                sord.\" c4 | \"^con sord.\" e4 | z4 | z4 | \"^senza sord.\" c4 |]\n";
    let said = found(Format::Abc, text, "mute/no-time");
    assert_eq!(said.len(), 2, "{said:?}");
    assert!(
        said.iter()
            .all(|finding| !finding.message.contains("matters only"))
    );
}

#[test]
fn a_place_that_is_ignored_leaves_the_others_their_say() {
    let (_, text) = &leaps(None)[0];
    let text = text.replace(
        "!f!c b c b z4 | !f!c b c b z4 | ]",
        "\n% bellhand: ignore line/leap\n!f!c b c b z4 | \n!f!c b c b z4 |]",
    );
    let said = found(Format::Abc, &text, "line/leap");
    assert_eq!(said.len(), 1, "{said:?}");
    assert!(
        said[0].message.contains("15 more places"),
        "{}",
        said[0].message
    );
}

#[test]
fn a_breath_is_a_warning_only_where_a_number_gives_the_tempo() {
    for (tempo, severity) in [
        ("Q:1/4=60\n", Severity::Warning),
        ("Q:\"Adagio\"\n", Severity::Information),
        ("", Severity::Information),
    ] {
        let text = format!(
            "X:1\nM:4/4\nL:1/4\n{tempo}K:none\nV:1 name=\"Horn in F\" transpose=-7\n!f!c4- | c4- | c4- | c4- | c4- | c4- | \
             c4- | c4- | c4 |]\n"
        );
        let said = found(Format::Abc, &text, "breath/no-place");
        assert_eq!(said.len(), 1, "{tempo}");
        assert_eq!(said[0].severity, severity, "{tempo}");
    }
}
