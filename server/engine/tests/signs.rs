//! Words and signs as a horn player takes them: dynamics beside other words, the stopping mute, rips and trills.

use engine::{Judged, Settings};
use horn::Dynamic;
use notation::{Document, Format};
use reading::{Hand, HornPart, Mute};

/// A horn part in ABC: what stands in its music.
fn abc(music: &str) -> Judged {
    let text = format!(
        "X:1\nM:4/4\nL:1/4\nQ:1/4=80\nK:none\nV:1 name=\"Horn 1 in F\" transpose=-7\n{music} |]\n"
    );
    judged(Format::Abc, &text)
}

/// The same in Humdrum, records between the bar's beginning and its end; a dynamics spine stands beside it.
fn kern(records: &str) -> Judged {
    let text = format!(
        "**kern\t**dynam\n*I\"Horn 1 in F\t*\n*ITrd4c7\t*\n*M4/4\t*M4/4\n*MM80\t*\n=1\t=1\n{records}\n==\t==\n*-\t*-\n"
    );
    judged(Format::Kern, &text)
}

/// The same in MusicXML.
fn musicxml(music: &str) -> Judged {
    let text = format!(
        "<score-partwise version=\"4.0\"><part-list><score-part id=\"P1\"><part-name>Horn 1 in F</part-name></score-part></part-list>\
         <part id=\"P1\"><measure number=\"1\"><attributes><divisions>1</divisions><time><beats>4</beats><beat-type>4</beat-type></time>\
         <transpose><diatonic>-4</diatonic><chromatic>-7</chromatic></transpose></attributes><sound tempo=\"80\"/>{music}</measure></part>\
         </score-partwise>"
    );
    judged(Format::MusicXml, &text)
}

/// A note in MusicXML.
fn note(step: &str, octave: u8, notations: &str) -> String {
    let notations = if notations.is_empty() {
        String::new()
    } else {
        format!("<notations>{notations}</notations>")
    };
    format!(
        "<note><pitch><step>{step}</step><octave>{octave}</octave></pitch><duration>1</duration><type>quarter</type>{notations}</note>"
    )
}

fn direction(kind: &str) -> String {
    format!("<direction><direction-type>{kind}</direction-type></direction>")
}

fn judged(format: Format, text: &str) -> Judged {
    Judged::new(Document::from_text(format, text), Settings::default())
}

fn horn(analysis: &Judged) -> &HornPart {
    let pieces: Vec<_> = analysis.pieces().collect();
    &pieces[0].1.horns[0]
}

fn count(analysis: &Judged, rule: &str) -> usize {
    analysis
        .findings()
        .iter()
        .filter(|finding| finding.rule == rule)
        .count()
}

fn dynamics(analysis: &Judged) -> Vec<Option<Dynamic>> {
    let notes = horn(analysis).notes.iter();
    notes
        .map(|note| note.marked.dynamic.map(|(dynamic, _)| dynamic))
        .collect()
}

#[test]
fn a_dynamic_stays_one_beside_other_words() {
    let pp = Dynamic::read("pp");
    let f = Dynamic::read("f");
    let sign = |inside: &str| direction(&format!("<dynamics>{inside}</dynamics>"));
    for (name, analysis) in [
        ("abc", abc("\"^pp dolce\" c d \"^f sempre\" e f")),
        ("kern", kern("4f\tpp dolce\n4g\t.\n4a\tf sempre\n4b-\t.")),
        (
            "musicxml, words",
            musicxml(
                &[
                    direction("<words>pp dolce</words>"),
                    note("C", 5, ""),
                    note("D", 5, ""),
                    direction("<words>f sempre</words>"),
                    note("E", 5, ""),
                    note("F", 5, ""),
                ]
                .concat(),
            ),
        ),
        (
            "musicxml, signs",
            musicxml(
                &[
                    sign("<pp/><other-dynamics> dolce</other-dynamics>"),
                    note("C", 5, ""),
                    note("D", 5, ""),
                    sign("<other-dynamics>f sempre</other-dynamics>"),
                    note("E", 5, ""),
                    note("F", 5, ""),
                ]
                .concat(),
            ),
        ),
    ] {
        assert_eq!(dynamics(&analysis), [pp, pp, f, f], "{name}");
    }
    let joined = musicxml(&[sign("<s/><f/>"), note("C", 5, "")].concat());
    assert_eq!(dynamics(&joined), [Dynamic::read("sf")]);
}

#[test]
fn the_stopping_mute_is_a_mute_and_plays_where_the_hand_cannot() {
    let words = |words: &str| direction(&format!("<words>{words}</words>"));
    let mut tried = 0;
    for mute in [
        "stop mute",
        "stopping mute",
        "mit Stopfd\u{e4}mpfer",
        "sourdine de bouch\u{e9}",
    ] {
        for (name, analysis) in [
            (
                "abc",
                abc(&format!("\"^{mute}\" A, !+!A, \"^senza sord.\" c z")),
            ),
            (
                "kern",
                kern(&format!(
                    "!LO:TX:a:t={mute}\t!\n4D\tmf\n!LO:TX:a:t=+\t!\n4D\t.\n!LO:TX:a:t=senza sord.\t!\n4F\t.\n4r\t."
                )),
            ),
            (
                "musicxml",
                musicxml(
                    &[
                        words(mute),
                        note("A", 3, ""),
                        note("A", 3, "<technical><stopped/></technical>"),
                        words("senza sord."),
                        note("C", 5, ""),
                    ]
                    .concat(),
                ),
            ),
        ] {
            let ways: Vec<(Hand, Mute)> = horn(&analysis)
                .notes
                .iter()
                .map(|note| (note.technique.hand, note.technique.mute))
                .collect();
            let (stopping, out) = ((Hand::Open, Mute::Stopping), (Hand::Open, Mute::Out));
            assert_eq!(ways, [stopping, stopping, out], "{name}: {mute}");
            assert_eq!(count(&analysis, "stopped/too-low"), 0, "{name}: {mute}");
            assert_eq!(count(&analysis, "stopped/mark-clash"), 0, "{name}: {mute}");
            // Nobody takes it out in no time.
            assert_eq!(count(&analysis, "mute/no-time"), 1, "{name}: {mute}");
            tried += 1;
        }
    }
    assert_eq!(tried, 12);
    let hand = abc("\"^handstopped\" c d e f");
    assert!(
        horn(&hand)
            .notes
            .iter()
            .all(|note| note.technique.hand == Hand::Stopped)
    );
    let echo = abc("\"^echo\" c d e f");
    assert!(
        horn(&echo)
            .notes
            .iter()
            .all(|note| note.technique.hand == Hand::HalfStopped)
    );
}

#[test]
fn a_line_and_its_word_are_one_rip() {
    for (name, analysis) in [
        ("abc", abc("\"^gliss.\" !~(!c c' z2")),
        ("kern", kern("!LO:TX:a:t=gliss.\t!\n4fH\t.\n4ffh\t.\n2r\t.")),
        (
            "musicxml",
            musicxml(
                &[
                    direction("<words>gliss.</words>"),
                    note("C", 5, "<glissando type=\"start\"/>"),
                    note("C", 6, "<glissando type=\"stop\"/>"),
                ]
                .concat(),
            ),
        ),
    ] {
        assert_eq!(horn(&analysis).rips.len(), 1, "{name}");
    }
}

#[test]
fn a_trills_own_accidental_decides_its_upper_note() {
    // E5 to F5 is played with the valves; from A5 a whole step lies above the lip trills, a half step does not matter.
    let mut tried = 0;
    for (name, analysis, told) in [
        ("abc, by the key", abc("!trill!a d d d"), 1),
        ("abc, flat", abc("\"^\u{266d}\" !trill!a d d d"), 0),
        ("abc, natural", abc("\"^\u{266e}\" !trill!a d d d"), 1),
        ("kern, half step", kern("4ddt\t.\n4g\t.\n4g\t.\n4g\t."), 0),
        ("kern, whole step", kern("4ddT\t.\n4g\t.\n4g\t.\n4g\t."), 1),
        (
            "musicxml, by the key",
            musicxml(&note("A", 5, "<ornaments><trill-mark/></ornaments>")),
            1,
        ),
        (
            "musicxml, flat",
            musicxml(&note(
                "A",
                5,
                "<ornaments><trill-mark/><accidental-mark>flat</accidental-mark></ornaments>",
            )),
            0,
        ),
    ] {
        assert_eq!(count(&analysis, "line/trill"), told, "{name}");
        tried += 1;
    }
    assert_eq!(tried, 7);
}

#[test]
fn what_a_piece_is_called_may_be_its_tempo() {
    let tempo = |text: &str, format| {
        let analysis = judged(format, text);
        analysis
            .pieces()
            .next()
            .unwrap()
            .1
            .tempo
            .tempo(theory::Quarters::ZERO)
    };
    let adagio = horn::tempo_of("Adagio").unwrap().value;
    let part = "M:4/4\nL:1/4\nK:none\nV:1 name=\"Horn 1 in F\" transpose=-7\nc d e f |]\n";
    for head in [
        "X:1\nT:Adagio on the pier\n",
        "X:1\nT:Evening ferry\nT:II. Adagio\n",
    ] {
        let said = tempo(&format!("{head}{part}"), Format::Abc);
        assert_eq!(said, (adagio, theory::TempoSource::Title), "{head}");
    }
    let marked = tempo(&format!("X:1\nT:Adagio\nQ:1/4=100\n{part}"), Format::Abc);
    assert_eq!(marked.1, theory::TempoSource::Marked);
    let two = tempo(&format!("X:1\nT:Adagio - Allegro\n{part}"), Format::Abc);
    assert_eq!(
        two.1,
        theory::TempoSource::Assumed,
        "where the second begins nobody says"
    );
    let kern = "!!!OTL: Pier\n!!!OMD: Adagio\n**kern\n*I\"Horn in F\n4f\n*-\n";
    assert_eq!(
        tempo(kern, Format::Kern),
        (adagio, theory::TempoSource::Word)
    );
    let musicxml = "<score-partwise><work><work-title>Pier</work-title></work><movement-title>Adagio</movement-title><part-list>\
        <score-part id=\"P1\"><part-name>Horn in F</part-name></score-part></part-list><part id=\"P1\"><measure number=\"1\"><attributes>\
        <divisions>1</divisions></attributes><note><pitch><step>C</step><octave>5</octave></pitch><duration>4</duration></note></measure>\
        </part></score-partwise>";
    assert_eq!(
        tempo(musicxml, Format::MusicXml),
        (adagio, theory::TempoSource::Title)
    );
}
