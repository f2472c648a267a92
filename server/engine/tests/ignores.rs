//! Instructions to keep silent that do nothing, in every notation: they are told, and go without a trace.

use engine::{Finding, Judged, Settings, Severity, Which};
use notation::{Document, Format};

/// Whether the one note that matters is too high for a horn.
#[derive(Clone, Copy, PartialEq)]
enum Note {
    High,
    Fine,
}

/// Three bars for horn, with comments of ours above the line of the second, and behind its music where a notation can
/// say that.
fn score(format: Format, note: Note, above: &[&str], behind: Option<&str>) -> String {
    let comment = |words: &str| match format {
        Format::Abc => format!("% bellhand: {words}"),
        Format::Kern => format!("!! bellhand: {words}"),
        Format::MusicXml => format!("<!-- bellhand: {words} -->"),
    };
    let lines: String = above
        .iter()
        .map(|words| format!("{}\n", comment(words)))
        .collect();
    let behind = behind.map_or_else(String::new, |words| format!(" {}", comment(words)));
    let high = note == Note::High;
    match format {
        Format::Abc => format!(
            "X:1\nM:4/4\nL:1/4\nQ:1/4=80\nK:none\nV:1 name=\"Horn in F\" transpose=-7\n!mf!c4 |\n{lines}{}4 |{behind}\nz4 |]\n",
            if high { "e'" } else { "e" }
        ),
        Format::Kern => format!(
            "**kern\t**dynam\n*I\"Horn in F\t*\n*ITrd4c7\t*\n*clefG2\t*clefG2\n*k[b-]\t*k[b-]\n*M4/4\t*M4/4\n*MM80\t*MM80\n\
             =1\t=1\n1f\tmf\n=2\t=2\n{lines}1{}\t.\n=3\t=3\n1r\t.\n==\t==\n*-\t*-\n",
            if high { "aaa" } else { "a" }
        ),
        Format::MusicXml => {
            let bar = |number: u8, inner: &str, note: &str, behind: &str| {
                format!(
                    "<measure number=\"{number}\">{inner}\n<note>{note}<duration>4</duration><type>whole</type></note>{behind}\n\
                     </measure>\n"
                )
            };
            let pitch = |step: &str, octave: u8| {
                format!("<pitch><step>{step}</step><octave>{octave}</octave></pitch>")
            };
            let head = "<attributes><divisions>1</divisions><time><beats>4</beats><beat-type>4</beat-type></time><clef><sign>G</sign>\
                        <line>2</line></clef><transpose><diatonic>-4</diatonic><chromatic>-7</chromatic></transpose></attributes>\n\
                        <direction><direction-type><dynamics><mf/></dynamics></direction-type><sound tempo=\"80\"/></direction>";
            let second = bar(
                2,
                format!("\n{lines}").trim_end(),
                &pitch("E", if high { 6 } else { 5 }),
                &behind,
            );
            format!(
                "<score-partwise version=\"4.0\">\n<part-list><score-part id=\"P1\"><part-name>Horn in F</part-name></score-part>\
                 </part-list>\n<part id=\"P1\">\n{}{second}{}</part>\n</score-partwise>\n",
                bar(1, head, &pitch("C", 5), ""),
                bar(3, "", "<rest/>", ""),
            )
        }
    }
}

fn judged(format: Format, text: &str) -> Judged {
    judged_by(format, text, "")
}

fn judged_by(format: Format, text: &str, settings: &str) -> Judged {
    let (settings, errors) = Settings::of_text(settings);
    assert_eq!(errors, Vec::<String>::new());
    Judged::new(Document::from_text(format, text), settings)
}

/// What is said, by rule and the words it stands at.
fn said(judged: &Judged) -> Vec<(&'static str, String)> {
    let text = judged.document().text();
    let findings = judged.findings().iter();
    findings
        .map(|finding| (finding.rule, text[finding.span.range()].to_owned()))
        .collect()
}

/// Fixes safely, and once more, which must change nothing.
fn fixed(judged: &Judged) -> String {
    let once = judged.fix_all(Which::Safe);
    assert!(
        once.settled && once.refused.is_empty(),
        "{:?}",
        once.refused
    );
    let again = once.judged.fix_all(Which::Safe);
    assert!(again.applied.is_empty(), "{:?}", again.applied);
    once.judged.document().text()
}

const UNUSED: &str = "text/unused-ignore";
const UNKNOWN: &str = "text/unknown-ignore";

#[test]
fn what_silences_nothing_is_told_and_goes_without_a_trace() {
    let mut tried = 0;
    for format in Format::ALL {
        let clean = score(format, Note::Fine, &[], None);
        assert_eq!(said(&judged(format, &clean)), [], "{clean}");
        for (above, behind, names) in [
            (
                &["ignore range/too-high: she can"][..],
                None,
                &["range/too-high"][..],
            ),
            (
                &["ignore in file range/too-high"],
                None,
                &["range/too-high"],
            ),
            (
                &["ignore range/too-high, rip/too-few"],
                None,
                &["range/too-high", "rip/too-few"],
            ),
            (
                &["ignore range/too-high", "ignore mute/no-time : so"],
                None,
                &["range/too-high", "mute/no-time"],
            ),
            (&[], Some("ignore range/too-high"), &["range/too-high"]),
        ] {
            if behind.is_some() && format == Format::Kern {
                continue;
            }
            let text = score(format, Note::Fine, above, behind);
            let judged = judged(format, &text);
            let wanted: Vec<_> = names
                .iter()
                .map(|name| (UNUSED, (*name).to_owned()))
                .collect();
            assert_eq!(said(&judged), wanted, "{text}");
            let gentle = |one: &Finding| one.severity == Severity::Information && one.unnecessary;
            assert!(judged.findings().iter().all(gentle));
            assert_eq!(fixed(&judged), clean);
            tried += 1;
        }
    }
    assert_eq!(tried, 14);
}

#[test]
fn what_silences_something_stays_and_only_idle_names_go() {
    for format in Format::ALL {
        let of = |words: &str| score(format, Note::High, &[words], None);
        let used = of("ignore range/too-high: so");
        assert_eq!(said(&judged(format, &used)), []);
        assert_eq!(
            said(&judged(format, &of("ignore in file range/too-high"))),
            []
        );
        for words in [
            "ignore rip/too-few, range/too-high: so",
            "ignore range/too-high, rip/too-few: so",
            "ignore rip/too-few range/too-high, mute/no-time: so",
        ] {
            let judged = judged(format, &of(words));
            let findings = said(&judged);
            assert!(
                findings
                    .iter()
                    .all(|(rule, at)| *rule == UNUSED && at != "range/too-high")
            );
            assert!(!findings.is_empty());
            assert_eq!(fixed(&judged), used);
        }
    }
}

#[test]
fn a_mistyped_rule_is_told_and_written_right() {
    for format in Format::ALL {
        let of = |words: &str| score(format, Note::High, &[words], None);
        let right = of("ignore range/too-high: so");
        for (words, at) in [
            ("ignore range/too-hihg: so", "range/too-hihg"),
            ("ignore too-high: so", "too-high"),
            ("ignore range/too-high, range/to-high: so", "range/to-high"),
        ] {
            let judged = judged(format, &of(words));
            let findings = judged.findings().iter();
            let unknown: Vec<_> = findings.filter(|one| one.rule == UNKNOWN).collect();
            let [one] = unknown[..] else {
                panic!("{words}: {:?}", said(&judged))
            };
            assert_eq!(one.severity, Severity::Warning);
            assert!(one.message.contains("did you mean `range/too-high`?"));
            let text = judged.document().text();
            assert_eq!(&text[one.span.range()], at);
            let proven = judged.prove(&[&one.fixes[0]]).unwrap();
            assert_eq!(proven.document().text(), right);
            assert_eq!(said(&proven.judge()), []);
        }
        // A group is no rule, and what is like nothing is left to the writer.
        for (words, said) in [
            ("ignore range", "`range` is several rules"),
            ("ignore dolphins", "there is no rule `dolphins`. Write"),
        ] {
            let judged = judged(format, &of(words));
            let findings = judged.findings().iter();
            let unknown: Vec<_> = findings.filter(|one| one.rule == UNKNOWN).collect();
            assert!(unknown[0].message.contains(said), "{}", unknown[0].message);
            assert!(unknown[0].fixes.is_empty());
        }
    }
}

#[test]
fn what_may_not_speak_is_not_held_against_its_ignore() {
    for format in Format::ALL {
        let text = |rule: &str| score(format, Note::Fine, &[&format!("ignore {rule}")], None);
        for (rule, settings) in [
            ("range/too-high", "[rules]\n\"range/too-high\" = \"off\"\n"),
            ("range/too-high", "[rules]\nrange = \"off\"\n"),
            (
                "range/too-high",
                "[[where]]\nparts = [\"Horn*\"]\nrules.\"range/too-high\" = \"off\"\n",
            ),
            ("marks/house-words", ""),
            ("part/house-name", ""),
            (
                "range/too-high",
                "[rules]\n\"text/unused-ignore\" = \"off\"\n",
            ),
        ] {
            assert_eq!(said(&judged_by(format, &text(rule), settings)), []);
        }
        let words = "[words]\nmute-in = \"con sord.\"\n";
        let spoken = judged_by(format, &text("marks/house-words"), words);
        assert_eq!(said(&spoken), [(UNUSED, "marks/house-words".to_owned())]);
    }
}

#[test]
fn the_rules_about_ignores_are_silenced_like_others() {
    for format in Format::ALL {
        for above in [
            &["ignore range/too-high, text/unused-ignore"][..],
            &["ignore text/unused-ignore", "ignore range/too-high"],
            &["ignore in file text/unused-ignore", "ignore range/too-high"],
            &["ignore text/unknown-ignore", "ignore range/to-high"],
            &["ignore dolphins, text/unknown-ignore"],
            &["ignore in file text/unknown-ignore", "ignore dolphins"],
        ] {
            let text = score(format, Note::Fine, above, None);
            assert_eq!(said(&judged(format, &text)), [], "{text}");
        }
        let idle = score(format, Note::Fine, &["ignore text/unknown-ignore"], None);
        assert_eq!(said(&judged(format, &idle)), [(UNUSED, UNKNOWN.to_owned())]);
    }
}

#[test]
fn an_instruction_speaks_of_those_below_it_and_not_of_those_above() {
    let silence = "ignore text/unknown-ignore";
    let unknown = || (UNKNOWN, "dolphins".to_owned());
    let idle = || (UNUSED, UNKNOWN.to_owned());
    for format in Format::ALL {
        for (above, wanted) in [
            (&[silence, silence, "ignore dolphins"][..], vec![]),
            (&[silence, "ignore dolphins", silence], vec![idle()]),
            (&["ignore dolphins", silence], vec![unknown(), idle()]),
        ] {
            let text = score(format, Note::Fine, above, None);
            assert_eq!(said(&judged(format, &text)), wanted, "{text}");
        }
        let twice = ["ignore range/too-high", "ignore range/too-high"];
        let text = score(format, Note::High, &twice, Some(twice[0]));
        assert_eq!(said(&judged(format, &text)), [], "{text}");
    }
}

#[test]
fn nothing_is_idle_while_something_cannot_be_read() {
    let text = score(Format::Abc, Note::Fine, &["ignore range/too-high"], None);
    let broken = text.replace("z4 |]", "\"^so z4 |]");
    let judged = judged(Format::Abc, &broken);
    assert!(
        said(&judged)
            .iter()
            .any(|(rule, _)| *rule == "text/unreadable")
    );
    assert!(said(&judged).iter().all(|(rule, _)| *rule != UNUSED));
}

#[test]
fn a_spines_own_comment_becomes_a_null_comment() {
    let clean = score(Format::Kern, Note::Fine, &[], None);
    let with = |cells: &str| clean.replace("1a\t.", &format!("{cells}\n1a\t."));
    let alone = judged(Format::Kern, &with("! bellhand: ignore range/too-high\t!"));
    assert_eq!(fixed(&alone), clean);
    let beside = judged(
        Format::Kern,
        &with("! bellhand: ignore range/too-high\t!the pier"),
    );
    assert_eq!(fixed(&beside), with("!\t!the pier"));
}
