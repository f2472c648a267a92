//! Words over the staff and titles, in every notation that can say them.

use engine::{Judged, Settings};
use notation::{Document, Format};
use rules::Finding;
use theory::{Quarters, TempoSource};

fn analysis(format: Format, text: &str) -> Judged {
    Judged::new(Document::from_text(format, text), Settings::default())
}

fn found(format: Format, text: &str, rule: &str) -> Vec<Finding> {
    let mut findings = analysis(format, text).findings().to_vec();
    findings.retain(|finding| finding.rule == rule);
    findings
}

/// A bar of C5, three of rest and one of D5, with words over each.
fn worded(first: &str, second: &str) -> [(Format, String); 3] {
    let rests = "| z4 | z4 | z4 |";
    let abc = format!(
        "X:1\nM:4/4\nL:1/4\nQ:1/4=100\nK:none\nV:1 name=\"Horn in F\" transpose=-7\n\"^{first}\" c4 {rests} \"^{second}\" d4 \
         {rests} \"^senza sord.\" c4 |]\n"
    );
    let rests = "1r\n=\n1r\n=\n1r\n=\n";
    let kern = format!(
        "**kern\n*I\"Horn in F\n*ITrd4c7\n*M4/4\n*MM100\n=1\n!LO:TX:t={first}\n1f\n=\n{rests}!LO:TX:t={second}\n1g\n=\n\
         {rests}!LO:TX:t=senza sord.\n1f\n==\n*-\n"
    );
    let words = |words: &str| {
        format!("<direction><direction-type><words>{words}</words></direction-type></direction>")
    };
    let note = |step: &str| {
        format!(
            "<note><pitch><step>{step}</step><octave>5</octave></pitch><duration>4</duration><type>whole</type></note>"
        )
    };
    let rest = "<note><rest measure=\"yes\"/><duration>4</duration></note>".to_owned();
    let bars = [
        words(first) + &note("C"),
        rest.clone(),
        rest.clone(),
        rest.clone(),
        words(second) + &note("D"),
        rest.clone(),
        rest.clone(),
        rest,
        words("senza sord.") + &note("C"),
    ];
    let mut measures = String::new();
    for (at, bar) in bars.iter().enumerate() {
        let head = if at == 0 {
            "<attributes><divisions>1</divisions><time><beats>4</beats><beat-type>4</beat-type></time><transpose><diatonic>-4\
             </diatonic><chromatic>-7</chromatic></transpose></attributes><sound tempo=\"100\"/>"
        } else {
            ""
        };
        measures += &format!("<measure number=\"{}\">{head}{bar}</measure>", at + 1);
    }
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
fn a_mute_named_alone_is_asked_about_where_it_is_in() {
    for (first, second, off) in [
        ("con sord.", "Mutes", "senza sord."),
        ("mit Dämpfer", "Dämpfer", "ohne Dämpfer"),
        ("avec sourdine", "sourdine", "sans sourdine"),
    ] {
        for (format, text) in worded(first, second) {
            let asked = found(format, &text, "marks/vague");
            let [vague] = asked.as_slice() else {
                panic!("{format:?} {second}: {asked:?}");
            };
            assert!(vague.message.contains("already in"), "{}", vague.message);
            assert!(vague.fixes[0].title.contains(off), "{:?}", vague.fixes);
            assert_eq!(found(format, &text, "mute/already"), [], "{format:?}");
        }
    }
}

#[test]
fn a_mute_named_alone_goes_in_where_it_is_out() {
    for (name, asked) in [("Mutes", 1), ("Dämpfer", 1), ("Sord.", 0), ("gedämpft", 0)] {
        for (format, text) in worded(name, "espr.") {
            assert_eq!(
                found(format, &text, "marks/vague").len(),
                asked,
                "{format:?} {name}"
            );
            let analysis = analysis(format, &text);
            let notes = &analysis.pieces().next().unwrap().1.horns[0].notes;
            assert!(notes[0].technique.muted(), "{format:?} {name}");
        }
    }
}

#[test]
fn titles_give_the_tempo_where_no_mark_does() {
    let abc = |titles: &str, tempo: &str| {
        format!(
            "X:1\n{titles}M:4/4\nL:1/4\n{tempo}K:none\nV:1 name=\"Horn in F\" transpose=-7\nc4 |]\n"
        )
    };
    let kern = |titles: &str, tempo: &str| {
        format!("{titles}**kern\n*I\"Horn in F\n*ITrd4c7\n*M4/4\n{tempo}=1\n1f\n==\n*-\n")
    };
    let xml = |titles: &str, tempo: &str| {
        format!(
            "<score-partwise version=\"4.0\">{titles}<part-list><score-part id=\"P1\"><part-name>Horn in F</part-name>\
             </score-part></part-list><part id=\"P1\"><measure number=\"1\"><attributes><divisions>1</divisions><transpose>\
             <diatonic>-4</diatonic><chromatic>-7</chromatic></transpose></attributes>{tempo}<note><pitch><step>C</step>\
             <octave>5</octave></pitch><duration>4</duration><type>whole</type></note></measure></part></score-partwise>"
        )
    };
    let work = "<work><work-title>Pier Suite</work-title></work>";
    let adagio = "<movement-title>Adagio cantabile</movement-title>";
    use Format::{Abc, Kern, MusicXml};
    use TempoSource::{Assumed, Marked, Title, Word};
    for (format, text, rate, source) in [
        (Abc, abc("T:Adagio for a Ferry\n", ""), 56.0, Title),
        (Abc, abc("T:Pier Suite\nT:II. Adagio\n", ""), 56.0, Title),
        (Abc, abc("T:Slow Boat\n", ""), 100.0, Assumed),
        (Abc, abc("T:Adagio\n", "Q:1/4=90\n"), 90.0, Marked),
        (Abc, abc("T:Adagio\n", "Q:\"Allegro\"\n"), 132.0, Word),
        (Kern, kern("!!!OTL: Pier Suite: Adagio\n", ""), 56.0, Title),
        (Kern, kern("!!!OTL: Pier Suite\n", ""), 100.0, Assumed),
        (Kern, kern("!!!OTL: Adagio\n", "*MM90\n"), 90.0, Marked),
        (
            Kern,
            kern("!!!OTL: Adagio\n!!!OMD: Allegro\n", ""),
            132.0,
            Word,
        ),
        (MusicXml, xml(adagio, ""), 56.0, Title),
        (MusicXml, xml(&format!("{work}{adagio}"), ""), 56.0, Title),
        (MusicXml, xml(work, ""), 100.0, Assumed),
        (MusicXml, xml(adagio, "<sound tempo=\"90\"/>"), 90.0, Marked),
    ] {
        let analysis = analysis(format, &text);
        let (tempo, from) = analysis
            .pieces()
            .next()
            .unwrap()
            .1
            .tempo
            .tempo(Quarters::ZERO);
        assert_eq!(from, source, "{text}");
        assert!((tempo.rate() - rate).abs() < 1e-9, "{text}: {tempo:?}");
    }
}

#[test]
fn the_word_beside_a_drawn_line_is_the_same_rip() {
    let abc = "X:1\nM:4/4\nL:1/4\nQ:1/4=60\nK:none\nV:1 name=\"Horn in F\" transpose=-7\n\"^gliss.\" !slide! !~(! C2 !~)! c2 |]\n";
    let xml = "<score-partwise version=\"4.0\"><part-list><score-part id=\"P1\"><part-name>Horn in F</part-name></score-part>\
               </part-list><part id=\"P1\"><measure number=\"1\"><attributes><divisions>1</divisions><transpose><diatonic>-4\
               </diatonic><chromatic>-7</chromatic></transpose></attributes><direction><direction-type><words>gliss.</words>\
               </direction-type></direction><note><pitch><step>C</step><octave>4</octave></pitch><duration>2</duration><type>half\
               </type><notations><glissando type=\"start\" number=\"1\">gliss.</glissando></notations></note><note><pitch><step>C\
               </step><octave>5</octave></pitch><duration>2</duration><type>half</type><notations><glissando type=\"stop\" \
               number=\"1\"/></notations></note></measure></part></score-partwise>";
    for (format, text) in [(Format::Abc, abc), (Format::MusicXml, xml)] {
        let analysis = analysis(format, text);
        assert_eq!(
            analysis.pieces().next().unwrap().1.horns[0].rips.len(),
            1,
            "{format:?}"
        );
    }
}
