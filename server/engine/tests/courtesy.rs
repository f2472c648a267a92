//! Courtesy accidentals as a house prints them, in every notation: missing ones are told and written, and a signature
//! that is written out leaves none missing.

use engine::{Judged, Settings, Which};
use notation::{Document, Format};

fn settings(courtesy: &str) -> Settings {
    let (settings, errors) = Settings::of_text(courtesy);
    assert_eq!(errors, Vec::<String>::new());
    settings
}

/// F sharp and in its bar F of the octave below; then F.
fn score(format: Format) -> String {
    match format {
        Format::Abc => "X:1\n%%propagate-accidentals octave\nM:4/4\nL:1/4\nQ:1/4=80\nK:none\nV:1 name=\"Horn in F\" transpose=-7\n\
                        !mf!^f d F2 | f4 | z4 |]\n"
            .to_owned(),
        Format::Kern => "**kern\t**dynam\n*I\"Horn in F\t*\n*ITrd4c7\t*\n*clefG2\t*clefG2\n*k[b-]\t*k[b-]\n*M4/4\t*M4/4\n*MM80\t*MM80\n\
                         =1\t=1\n4bn\tmf\n4g\t.\n2B-\t.\n=2\t=2\n1b-\t.\n=3\t=3\n1r\t.\n==\t==\n*-\t*-\n"
            .to_owned(),
        Format::MusicXml => {
            let note = |alter: i8, octave: u8, length: u8, sign: &str| {
                format!(
                    "<note><pitch><step>F</step><alter>{alter}</alter><octave>{octave}</octave></pitch><duration>{length}</duration>\
                     {sign}</note>\n"
                )
            };
            format!(
                "<score-partwise version=\"4.0\">\n<part-list><score-part id=\"P1\"><part-name>Horn in F</part-name></score-part>\
                 </part-list>\n<part id=\"P1\">\n<measure number=\"1\"><attributes><divisions>1</divisions><time><beats>4</beats>\
                 <beat-type>4</beat-type></time><clef><sign>G</sign><line>2</line></clef><transpose><diatonic>-4</diatonic>\
                 <chromatic>-7</chromatic></transpose></attributes>\n<direction><direction-type><dynamics><mf/></dynamics>\
                 </direction-type><sound tempo=\"80\"/></direction>\n{}{}</measure>\n<measure number=\"2\">\n{}</measure>\n\
                 <measure number=\"3\">\n<note><rest/><duration>4</duration></note>\n</measure>\n</part>\n</score-partwise>\n",
                note(1, 5, 2, "<accidental>sharp</accidental>"),
                note(0, 4, 2, ""),
                note(0, 5, 4, ""),
            )
        }
    }
}

/// What is said, by rule and bar.
fn said(judged: &Judged) -> Vec<(&'static str, Option<u32>)> {
    let findings = judged.findings().iter();
    findings
        .map(|finding| (finding.rule, finding.bar))
        .collect()
}

#[test]
fn what_the_house_prints_is_missed_and_written() {
    let rule = "notation/courtesy";
    for format in Format::ALL {
        let text = score(format);
        for (courtesy, bars) in [
            ("", &[][..]),
            ("courtesy = \"both\"\n", &[]),
            ("[page]\ncourtesy = \"never\"\n", &[]),
            ("[page]\ncourtesy = \"next-bar\"\n", &[2]),
            ("[page]\ncourtesy = \"other-octave\"\n", &[1]),
            ("[page]\ncourtesy = \"both\"\n", &[1, 2]),
            // What is said of the page goes before the older key, wherever that stands.
            (
                "courtesy = \"never\"\n[page]\ncourtesy = \"both\"\n",
                &[1, 2],
            ),
        ] {
            let judged = Judged::new(Document::from_text(format, &text), settings(courtesy));
            let wanted: Vec<_> = bars.iter().map(|bar| (rule, Some(*bar))).collect();
            assert_eq!(said(&judged), wanted, "{courtesy}\n{text}");
            let fixed = judged.fix_all(Which::Safe);
            assert!(
                fixed.settled && fixed.refused.is_empty(),
                "{:?}",
                fixed.refused
            );
            assert_eq!(fixed.applied.len(), bars.len());
            assert_eq!(said(&fixed.judged), []);
            // The signs are all that came.
            let after = fixed.judged.document().text();
            let bare = match format {
                Format::Abc => after.replace("=f", "f").replace("=F", "F"),
                Format::Kern => after.replace('X', ""),
                Format::MusicXml => after
                    .replace("<accidental cautionary=\"yes\">natural</accidental>", "")
                    .replace("<accidental>natural</accidental>", ""),
            };
            assert_eq!(bare, text);
        }
    }
}

#[test]
fn a_signature_that_is_written_out_leaves_none_missing() {
    let text = "X:1\n%%propagate-accidentals octave\nM:4/4\nL:1/4\nQ:1/4=80\nK:D\nV:1 name=\"Horn in F\" transpose=-7\n\
                !mf!f =f d F | f2 c2 | =c2 C2 | z4 |]\n";
    for courtesy in ["next-bar", "other-octave", "both"] {
        let settings = settings(&format!("[page]\ncourtesy = \"{courtesy}\"\n"));
        let judged = Judged::new(Document::from_text(Format::Abc, text), settings);
        let signature = judged.findings().iter();
        let signature: Vec<_> = signature
            .filter(|finding| finding.rule == "notation/key-signature")
            .collect();
        let proven = judged
            .prove(&[&signature[0].fixes[0]])
            .map_err(|why| why.to_string());
        let after = proven.map(engine::Proven::judge);
        assert_eq!(after.as_ref().map(said), Ok(Vec::new()), "{courtesy}");
    }
}

#[test]
fn a_house_may_leave_signatures_as_they_are() {
    let text =
        "X:1\nM:4/4\nL:1/4\nQ:1/4=80\nK:D\nV:1 name=\"Horn in F\" transpose=-7\n!mf!d4 | z4 |]\n";
    for (set, rules) in [
        ("[page]\nsignature = \"leave\"\n", &[][..]),
        ("[page]\nsignature = \"wanted\"\n", &[]),
        (
            "[page]\nsignature = \"none\"\n",
            &["notation/key-signature"],
        ),
        (
            "[rules]\n\"notation/key-signature\" = { signature = \"leave\" }\n",
            &[],
        ),
    ] {
        let judged = Judged::new(Document::from_text(Format::Abc, text), settings(set));
        let found: Vec<_> = said(&judged).iter().map(|(rule, _)| *rule).collect();
        assert_eq!(found, rules, "{set}");
    }
    let (_, errors) = Settings::of_text("[page]\nsignature = \"leve\"\ncourtesy = \"nextbar\"\n");
    assert_eq!(errors.len(), 2, "{errors:?}");
    assert!(errors[0].contains("did you mean `leave`?"), "{errors:?}");
    assert!(errors[1].contains("did you mean `next-bar`?"), "{errors:?}");
}

#[test]
fn reminders_stand_in_brackets_where_the_house_wants_them_and_the_notation_can() {
    for (sign, wanted) in [
        ("", "<accidental cautionary=\"yes\">natural</accidental>"),
        (
            "courtesy-sign = \"plain\"\n",
            "<accidental cautionary=\"yes\">natural</accidental>",
        ),
        (
            "courtesy-sign = \"brackets\"\n",
            "<accidental cautionary=\"yes\" parentheses=\"yes\">natural</accidental>",
        ),
    ] {
        let settings = settings(&format!("[page]\ncourtesy = \"next-bar\"\n{sign}"));
        for format in Format::ALL {
            let before = Judged::new(
                Document::from_text(format, &score(format)),
                settings.clone(),
            );
            let fixed = before.fix_all(Which::Safe);
            assert!(fixed.refused.is_empty(), "{:?}", fixed.refused);
            let text = fixed.judged.document().text();
            let written = match format {
                Format::MusicXml => wanted,
                Format::Abc => "| =f4 |",
                Format::Kern => "1b-X",
            };
            assert!(text.contains(written), "{text}");
            // What a player needs is no reminder.
            assert!(!text.contains("parentheses=\"yes\">sharp"), "{text}");
        }
    }
    let (_, errors) = Settings::of_text("[page]\ncourtesy-sign = \"bracket\"\n");
    assert!(errors[0].contains("did you mean `brackets`?"), "{errors:?}");
}

#[test]
fn a_signature_that_is_written_out_marks_its_reminders() {
    let note = |step: &str, alter: &str, sign: &str| {
        format!(
            "<note><pitch><step>{step}</step>{alter}<octave>4</octave></pitch><duration>2</duration>{sign}</note>\n"
        )
    };
    let flat = note("B", "<alter>-1</alter>", "<accidental>flat</accidental>");
    let text = format!(
        "<score-partwise version=\"4.0\">\n<part-list><score-part id=\"P1\"><part-name>Horn in F</part-name></score-part>\
         </part-list>\n<part id=\"P1\">\n<measure number=\"1\"><attributes><divisions>1</divisions><key><fifths>1</fifths></key>\
         <transpose><diatonic>-4</diatonic><chromatic>-7</chromatic></transpose></attributes>\n{}{flat}</measure>\n\
         <measure number=\"2\">\n{}</measure>\n</part>\n</score-partwise>\n",
        note("F", "<alter>1</alter>", ""),
        note("B", "", ""),
    );
    for (sign, attributes) in [("plain", ""), ("brackets", " parentheses=\"yes\"")] {
        let house = format!("courtesy = \"next-bar\"\n[page]\ncourtesy-sign = \"{sign}\"\n");
        let before = Judged::new(
            Document::from_text(Format::MusicXml, &text),
            settings(&house),
        );
        let after = before.fix_all(Which::Safe).judged.document().text();
        // What the signature had said is needed; the natural only reminds.
        assert!(after.contains("<accidental>sharp</accidental>"), "{after}");
        let natural = format!("<accidental cautionary=\"yes\"{attributes}>natural</accidental>");
        assert!(after.contains(&natural), "{after}");
    }
}
