//! Parts at sounding pitch: read for their players as parts at written pitch are, and written back as what sounds.

use engine::{HornOf, Judged, Settings, Which};
use horn::{Crook, WrittenFor};
use notation::{Document, Format};
use rules::{Finding, Safety};
use theory::PagePitch;

const HOUSE: &str = "notation/house-pitch";

fn judged(format: Format, text: &str, settings: &str) -> Judged {
    let (settings, errors) = Settings::of_text(settings);
    assert_eq!(errors, Vec::<String>::new());
    Judged::new(Document::from_text(format, text), settings)
}

/// What a house sets that writes its parts one way.
fn house(pitch: &str) -> String {
    format!("[page]\npitch = \"{pitch}\"\n")
}

/// What every player reads and what sounds.
fn heard(judged: &Judged) -> Vec<(String, String)> {
    let notes = judged.pieces().flat_map(|(_, reading)| {
        let horns = reading.horns.iter();
        horns.flat_map(|horn| horn.notes.iter())
    });
    notes
        .map(|note| (note.written.to_string(), note.sounding.to_string()))
        .collect()
}

fn of_rule<'a>(judged: &'a Judged, rule: &str) -> Vec<&'a Finding> {
    let findings = judged.findings().iter();
    findings.filter(|finding| finding.rule == rule).collect()
}

fn rules(judged: &Judged) -> Vec<&'static str> {
    let findings = judged.findings().iter();
    findings.map(|finding| finding.rule).collect()
}

/// An ABC tune with a horn of this name and properties; `comment` stands in its header.
fn abc(comment: &str, voice: &str, music: &str) -> String {
    format!("X:1\nT:Pier\n{comment}M:4/4\nL:1/4\nQ:1/4=80\nK:none\nV:1 {voice}\n{music}\n")
}

/// The same music for a horn in F as MusicXML: each note with step, alter and octave.
fn xml(head: &str, attributes: &str, notes: &[(&str, i8, u8)]) -> String {
    let note = |(step, alter, octave): &(&str, i8, u8)| {
        let (alter, sign) = match alter {
            0 => (String::new(), ""),
            1 => (
                "<alter>1</alter>".to_owned(),
                "<accidental>sharp</accidental>",
            ),
            _ => (
                "<alter>-1</alter>".to_owned(),
                "<accidental>flat</accidental>",
            ),
        };
        format!(
            "<note><pitch><step>{step}</step>{alter}<octave>{octave}</octave></pitch><duration>1</duration>{sign}</note>\n"
        )
    };
    let notes: String = notes.iter().map(note).collect();
    format!(
        "<score-partwise version=\"4.0\">\n{head}<part-list><score-part id=\"P1\"><part-name>Horn in F</part-name></score-part>\
         </part-list>\n<part id=\"P1\">\n<measure number=\"1\"><attributes><divisions>1</divisions><time><beats>4</beats>\
         <beat-type>4</beat-type></time><clef><sign>G</sign><line>2</line></clef>{attributes}</attributes>\n<direction>\
         <direction-type><dynamics><mf/></dynamics></direction-type><sound tempo=\"80\"/></direction>\n{notes}</measure>\n</part>\n\
         </score-partwise>\n"
    )
}

const TRANSPOSE: &str = "<transpose><diatonic>-4</diatonic><chromatic>-7</chromatic></transpose>";
const COMMENT: &str = "<!-- bellhand: pitch sounding -->\n";
const CONCERT: &str = "<defaults><concert-score/></defaults>\n";

const WRITTEN_XML: [(&str, i8, u8); 4] = [("C", 0, 5), ("D", 0, 5), ("F", 1, 5), ("G", 0, 5)];
const SOUNDING_XML: [(&str, i8, u8); 4] = [("F", 0, 4), ("G", 0, 4), ("B", 0, 4), ("C", 0, 5)];

#[test]
fn whoever_says_it_the_player_reads_the_same() {
    let horn = "name=\"Horn in F\"";
    let written = judged(
        Format::Abc,
        &abc("", &format!("{horn} transpose=-7"), "!mf!c d ^f g |]"),
        "",
    );
    let wanted = heard(&written);
    assert_eq!(wanted[2], ("F#5".to_owned(), "B4".to_owned()));
    assert_eq!(rules(&written), Vec::<&str>::new());
    let music = "!mf!F G B c |]";
    let all = "% bellhand: pitch sounding\n";
    let one = "% bellhand: part 1 = horn in F, sounding pitch\n";
    let concert = "% bellhand: part \"Horn in F\" = concert pitch\n";
    for (text, settings) in [
        (abc(all, horn, music), String::new()),
        (abc(one, horn, music), String::new()),
        (abc(concert, horn, music), String::new()),
        (
            abc(all, &format!("{horn} transpose=0"), music),
            String::new(),
        ),
        (format!("{all}\n{}", abc("", horn, music)), String::new()),
        (abc("", horn, music), house("sounding")),
        (
            abc("", horn, music),
            "[parts]\n\"Horn in F\" = \"horn, sounding pitch\"\n".to_owned(),
        ),
        (
            abc("", horn, music),
            "[[where]]\nparts = [\"Horn*\"]\n[where.page]\npitch = \"sounding\"\n".to_owned(),
        ),
        // What is said nearer goes first.
        (abc(all, horn, music), house("leave")),
        (
            format!("% bellhand: pitch written\n\n{}", abc(all, horn, music)),
            String::new(),
        ),
    ] {
        let sounding = judged(Format::Abc, &text, &settings);
        assert_eq!(heard(&sounding), wanted, "{text}{settings}");
        assert_eq!(rules(&sounding), Vec::<&str>::new(), "{text}{settings}");
    }
    let written = judged(Format::MusicXml, &xml("", TRANSPOSE, &WRITTEN_XML), "");
    assert_eq!(
        (heard(&written), rules(&written)),
        (wanted.clone(), Vec::new())
    );
    for (head, settings) in [
        (COMMENT, ""),
        (CONCERT, ""),
        ("", house("sounding").as_str()),
    ] {
        let sounding = judged(Format::MusicXml, &xml(head, "", &SOUNDING_XML), settings);
        assert_eq!(heard(&sounding), wanted, "{head}{settings}");
        assert_eq!(rules(&sounding), Vec::<&str>::new(), "{head}{settings}");
    }
}

#[test]
fn a_part_that_records_its_transposition_is_written() {
    let text = |comment| {
        abc(
            comment,
            "name=\"Horn in F\" transpose=-7",
            "!mf!C D ^F G |]",
        )
    };
    let wanted = heard(&judged(Format::Abc, &text(""), ""));
    for (comment, settings) in [("% bellhand: pitch sounding\n", ""), ("", "sounding")] {
        let settings = if settings.is_empty() {
            String::new()
        } else {
            house(settings)
        };
        assert_eq!(
            heard(&judged(Format::Abc, &text(comment), &settings)),
            wanted
        );
    }
    // What is said of the part itself goes before, and then the record is one too many.
    let told = text("% bellhand: part 1 = horn in F, sounding pitch\n");
    let sounding = judged(Format::Abc, &told, "");
    assert_eq!(heard(&sounding)[0], ("G4".to_owned(), "C4".to_owned()));
    assert_eq!(rules(&sounding), ["notation/wrong-transposition"]);
    let fixed = sounding.fix_all(Which::Safe);
    assert!(
        fixed
            .judged
            .document()
            .text()
            .contains("name=\"Horn in F\" transpose=0\n")
    );
    assert_eq!(heard(&fixed.judged), heard(&sounding));
    assert_eq!(rules(&fixed.judged), Vec::<&str>::new());
}

#[test]
fn fixes_are_written_back_as_what_sounds() {
    // Written E sharp, and a C far too high.
    let music = "!mf!B, ^A, B, z | F z3 | f' z3 |]";
    for (comment, settings) in [
        ("% bellhand: pitch sounding\n", String::new()),
        ("", house("sounding")),
    ] {
        let text = abc(comment, "name=\"Horn in F\"", music);
        let before = judged(Format::Abc, &text, &settings);
        let high = of_rule(&before, "range/too-high");
        assert!(
            high[0].message.contains("C7 (sounds F6)"),
            "{}",
            high[0].message
        );
        let fixed = before.fix_all(Which::Review);
        let after = fixed.judged.document().text();
        assert!(!after.contains("f'"), "{after}");
        let bars = |text: &str| text.lines().last().unwrap_or_default().to_owned();
        assert!(bars(&after).starts_with("!mf!B, "), "{after}");
        assert!(of_rule(&fixed.judged, "range/too-high").is_empty());
    }
    // B sharp is what is written F double sharp a fifth higher: an awkward name in the player's part.
    let awkward = |voice: &str, comment: &str, music: &str| {
        let judged = judged(Format::Abc, &abc(comment, voice, music), "");
        let of = of_rule(&judged, "notation/awkward-spelling");
        let fix = of[0].fixes[0].clone();
        let proven = judged.prove(&[&fix]).unwrap();
        (of[0].message.clone(), proven.document().text())
    };
    let (message, written) = awkward("name=\"Horn in F\" transpose=-7", "", "!mf!c ^e g2 |]");
    let (other, sounding) = awkward(
        "name=\"Horn in F\"",
        "% bellhand: pitch sounding\n",
        "!mf!F ^A c2 |]",
    );
    assert_eq!(message, other);
    assert!(written.contains("!mf!c f g2"), "{written}");
    assert!(sounding.contains("!mf!F _B c2"), "{sounding}");
}

#[test]
fn another_horn_on_the_way_moves_the_page_with_it() {
    let text = abc(
        "% bellhand: pitch sounding\n",
        "name=\"Horn in F\"",
        "!mf!F G z2 | \"^muta in D\" z4 | D2 ^F2 |]",
    );
    let judged = judged(Format::Abc, &text, "");
    let read: Vec<String> = heard(&judged).into_iter().map(|(read, _)| read).collect();
    assert_eq!(read, ["C5", "D5", "C5", "E5"]);
    // The fix of a note goes by the horn of its moment: written F flat becomes E.
    let text = text.replace("D2 ^F2", "D2 _G2");
    let judged = self::judged(Format::Abc, &text, "");
    let found = of_rule(&judged, "notation/awkward-spelling");
    let proven = judged.prove(&[&found[0].fixes[0]]).unwrap();
    assert!(
        proven.document().text().contains("D2 ^F2"),
        "{}",
        proven.document().text()
    );
}

#[test]
fn what_is_the_scores_page_is_not_judged_as_the_players() {
    // A signature, alto clef and the bass clef of a page that is no part.
    let music = "!mf!B, C, z2 | [K:clef=alto] F4 |]";
    let text = abc(
        "% bellhand: pitch sounding\n",
        "name=\"Horn in F\" clef=bass",
        music,
    );
    let text = text.replace("K:none", "K:Eb");
    let old = "bass-clef = \"old\"\n";
    let plain = judged(Format::Abc, &text, "");
    for judged in [&plain, &judged(Format::Abc, &text, old)] {
        assert_eq!(heard(judged)[0], ("F4".to_owned(), "Bb3".to_owned()));
        let found = rules(judged);
        assert!(
            !found.iter().any(|rule| rule.starts_with("notation/")),
            "{found:?}"
        );
    }
    let (_, reading) = plain.pieces().next().unwrap();
    let horn = &reading.horns[0];
    assert_eq!(horn.seat.pitch, PagePitch::Sounding);
    // The signature as the player would read it.
    assert_eq!(horn.keys[0].1.fifths(), Some(-2));
    // One that stands on the player's own page is what it is, and where there is none there is none.
    let signature = |text: &str| {
        let judged = judged(Format::Abc, text, "");
        let (_, reading) = judged.pieces().next().unwrap();
        reading.horns[0].keys.first().map(|(_, key, _)| *key)
    };
    let written = text.replace("pitch sounding", "pitch written");
    assert_eq!(signature(&written).unwrap().fifths(), Some(-3));
    let without = text.replace("K:Eb", "K:none");
    let fifths = signature(&without).and_then(|key| key.fifths());
    assert_eq!(fifths.unwrap_or(0), 0);
}

/// What the fix of a house that writes parts the other way comes to.
fn rewritten(format: Format, text: &str, pitch: &str) -> Judged {
    let before = judged(format, text, &house(pitch));
    let found = of_rule(&before, HOUSE);
    assert_eq!(found.len(), 1, "{text}");
    assert_eq!(found[0].fixes[0].safety, Safety::Safe);
    let fixed = before.fix_all(Which::Safe);
    assert!(
        fixed.refused.is_empty() && fixed.settled,
        "{:?}",
        fixed.refused
    );
    assert_eq!(heard(&fixed.judged), heard(&before));
    assert!(of_rule(&fixed.judged, HOUSE).is_empty());
    fixed.judged
}

#[test]
fn a_house_has_its_parts_at_its_own_pitch_and_back() {
    let written = abc(
        "",
        "name=\"Horn in F\" transpose=-7",
        "!mf!c d ^f g | _e4- | e4 |]",
    );
    let sounding = rewritten(Format::Abc, &written, "sounding")
        .document()
        .text();
    assert!(
        sounding.contains("name=\"Horn in F\" transpose=0\n!mf!F G B c | _A4- | A4 |]"),
        "{sounding}"
    );
    // As the house that wrote it has said, but here in the score itself.
    let said = sounding.replace("T:Pier\n", "T:Pier\n% bellhand: pitch sounding\n");
    let back = rewritten(Format::Abc, &said, "written").document().text();
    assert_eq!(back.replace("% bellhand: pitch sounding\n", ""), written);

    let written = xml("", TRANSPOSE, &WRITTEN_XML);
    let sounding = rewritten(Format::MusicXml, &written, "sounding")
        .document()
        .text();
    assert!(
        sounding.contains("<diatonic>0</diatonic><chromatic>0</chromatic>"),
        "{sounding}"
    );
    let said = sounding.replace("<part-list>", &format!("{COMMENT}<part-list>"));
    let back = rewritten(Format::MusicXml, &said, "written")
        .document()
        .text();
    assert_eq!(back.replace(COMMENT, ""), written);
}

#[test]
fn a_house_speaks_of_what_no_fix_can_write() {
    let score = xml(CONCERT, "", &SOUNDING_XML);
    let whole = judged(Format::MusicXml, &score, &house("written"));
    let found = of_rule(&whole, HOUSE);
    assert!(found[0].message.contains("Export it at written pitch"));
    assert!(found[0].fixes.is_empty());
    assert!(of_rule(&judged(Format::MusicXml, &score, &house("sounding")), HOUSE).is_empty());
    let called = abc(
        "",
        "name=\"Horn (concert pitch)\" transpose=0",
        "!mf!F G B c |]",
    );
    let found = judged(Format::Abc, &called, &house("written"));
    assert!(
        of_rule(&found, HOUSE)[0]
            .message
            .contains("bellhand rewrite")
    );
    // A horn that sounds as it reads is at both.
    let alto = abc(
        "% bellhand: pitch sounding\n",
        "name=\"Horn in C alto\"",
        "!mf!F G B c |]",
    );
    for pitch in ["written", "sounding", "leave"] {
        assert!(of_rule(&judged(Format::Abc, &alto, &house(pitch)), HOUSE).is_empty());
    }
}

#[test]
fn in_humdrum_the_notes_are_the_sound_and_nobody_can_say_otherwise() {
    let text = |comment: &str| {
        format!(
            "{comment}**kern\n*I\"Horn in F\n*ITrd4c7\n*clefG2\n*k[b-]\n*M4/4\n*MM80\n=1\n4f\n4g\n4b\n4cc\n==\n*-\n"
        )
    };
    let wanted = heard(&judged(Format::Kern, &text(""), ""));
    for (comment, pitch, said) in [
        ("", "written", 0),
        ("", "sounding", 0),
        ("!! bellhand: pitch sounding\n", "leave", 0),
        ("!! bellhand: pitch written\n", "leave", 1),
        (
            "!! bellhand: part 1 = horn in F, written pitch\n",
            "leave",
            1,
        ),
    ] {
        let judged = judged(Format::Kern, &text(comment), &house(pitch));
        assert_eq!(heard(&judged), wanted, "{comment}");
        assert!(of_rule(&judged, HOUSE).is_empty());
        let unread = of_rule(&judged, "text/unreadable");
        assert_eq!(unread.len(), said, "{comment}");
        for finding in unread {
            assert!(finding.message.contains("`*Trd4c7`"), "{}", finding.message);
        }
    }
    let concert = xml(
        &format!("<!-- bellhand: pitch written -->{CONCERT}"),
        "",
        &SOUNDING_XML,
    );
    let judged = judged(Format::MusicXml, &concert, "");
    assert!(
        of_rule(&judged, "text/unreadable")[0]
            .message
            .contains("<concert-score/>")
    );
}

#[test]
fn a_score_is_rewritten_from_what_sounds() {
    let text = abc(
        "% bellhand: pitch sounding\n",
        "name=\"Horn in F\"",
        "!mf!F G B c |]",
    );
    let before = judged(Format::Abc, &text, "");
    let horns: Vec<_> = HornOf::all(&before).collect();
    let already = before
        .rewrite(&horns, WrittenFor::ConcertPitch)
        .unwrap_err();
    assert!(
        already
            .to_string()
            .contains("written at concert pitch already")
    );
    let for_f = before.rewrite(&horns, WrittenFor::Crook(Crook::F)).unwrap();
    let after = for_f.document().text();
    assert!(
        after.contains("name=\"Horn in F\" transpose=-7\n!mf!c d ^f g |]"),
        "{after}"
    );
    let for_d = before.rewrite(&horns, WrittenFor::Crook(Crook::D)).unwrap();
    assert!(
        for_d
            .document()
            .text()
            .contains("name=\"Horn in D\" transpose=-10")
    );
}
