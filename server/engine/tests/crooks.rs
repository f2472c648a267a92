//! One crook over time, from all that a file says of it, in every notation: what sounds, what is told, and what waits.

use engine::{Finding, Judged, Safety, Settings, Which};
use horn::Crook;
use notation::{Document, Format};
use reading::HornPart;

/// A horn part of two bars: its name, what the file records (semitones), what stands over its second bar, and what is
/// recorded there.
struct Score<'a> {
    name: &'a str,
    records: Option<i32>,
    words: &'a str,
    later: Option<i32>,
}

impl Score<'_> {
    fn abc(&self) -> String {
        let transpose = |semitones: Option<i32>, field: fn(i32) -> String| {
            semitones.map_or_else(String::new, field)
        };
        let head = transpose(self.records, |semitones| format!(" transpose={semitones}"));
        let later = transpose(self.later, |semitones| {
            format!("[K:none transpose={semitones}]")
        });
        let words = if self.words.is_empty() {
            String::new()
        } else {
            format!("\"^{}\"", self.words)
        };
        format!(
            "X:1\nM:4/4\nL:1/4\nQ:1/4=80\nK:none\nV:1 name=\"{}\"{head}\nc d e z | {later}{words}c d e f |]\n",
            self.name
        )
    }

    fn musicxml(&self) -> String {
        let transpose = |semitones: Option<i32>| {
            semitones.map_or_else(String::new, |semitones| {
                let diatonic = horn_steps(semitones);
                format!("<transpose><diatonic>{diatonic}</diatonic><chromatic>{semitones}</chromatic></transpose>")
            })
        };
        let note = "<note><pitch><step>C</step><octave>5</octave></pitch><duration>1</duration><type>quarter</type></note>";
        let rest = "<note><rest/><duration>1</duration><type>quarter</type></note>";
        let words = if self.words.is_empty() {
            String::new()
        } else {
            format!(
                "<direction><direction-type><words>{}</words></direction-type></direction>",
                self.words
            )
        };
        format!(
            "<score-partwise version=\"4.0\"><part-list><score-part id=\"P1\"><part-name>{}</part-name></score-part></part-list>\
             <part id=\"P1\"><measure number=\"1\"><attributes><divisions>1</divisions><time><beats>4</beats><beat-type>4</beat-type>\
             </time>{}</attributes><sound tempo=\"80\"/>{}{rest}</measure><measure number=\"2\"><attributes>{}</attributes>{words}{}\
             </measure></part></score-partwise>",
            self.name,
            transpose(self.records),
            note.repeat(3),
            transpose(self.later),
            note.repeat(4),
        )
    }

    fn kern(&self) -> String {
        let record = |semitones: Option<i32>| {
            semitones.map_or_else(String::new, |semitones| {
                format!("*ITrd{}c{}\n", -horn_steps(semitones), -semitones)
            })
        };
        let words = if self.words.is_empty() {
            String::new()
        } else {
            format!("!LO:TX:a:t={}\n", self.words)
        };
        format!(
            "**kern\n*I\"{}\n{}*M4/4\n*MM80\n=1\n4f\n4g\n4a\n4r\n=2\n{}{words}4f\n4g\n4a\n4f\n==\n*-\n",
            self.name,
            record(self.records),
            record(self.later),
        )
    }

    fn all(&self) -> [(Format, Document); 3] {
        [
            (Format::Abc, self.abc()),
            (Format::Kern, self.kern()),
            (Format::MusicXml, self.musicxml()),
        ]
        .map(|(format, text)| (format, Document::from_text(format, &text)))
    }
}

/// The steps of a horn's transposition of so many semitones.
fn horn_steps(semitones: i32) -> i32 {
    Crook::from_semitones(semitones).map_or(semitones, |crook| crook.transposition().0.steps)
}

fn judged(document: &Document) -> Judged {
    Judged::new(document.clone(), Settings::default())
}

fn horn(analysis: &Judged) -> &HornPart {
    let pieces: Vec<_> = analysis.pieces().collect();
    &pieces[0].1.horns[0]
}

fn told<'a>(analysis: &'a Judged, rule: &str) -> Vec<&'a Finding> {
    let findings = analysis.findings().iter();
    findings.filter(|finding| finding.rule == rule).collect()
}

#[test]
fn a_disagreement_is_told_once_wherever_it_begins() {
    let mut tried = 0;
    for (name, records, words, later, bars) in [
        // All agree.
        ("Horn 1 in D", Some(-10), "", None, &[][..]),
        ("Horn 1 in D", Some(-10), "muta in A", Some(-3), &[]),
        ("Horn 1 in D", Some(-10), "muta in F", Some(-7), &[]),
        // The record is another crook's, from the start or later.
        ("Horn 1 in F", Some(-9), "", None, &[None]),
        ("Horn 1 in D", Some(-10), "muta in A", Some(-7), &[Some(2)]),
        // Words say a change that no record follows.
        ("Horn 1 in F", Some(-7), "muta in D", None, &[Some(2)]),
        // The record changes and the page says nothing of it.
        ("Horn 1 in F", Some(-7), "", Some(-9), &[Some(2)]),
    ] {
        let score = Score {
            name,
            records,
            words,
            later,
        };
        for (format, document) in score.all() {
            let analysis = judged(&document);
            let said = told(&analysis, "notation/wrong-transposition");
            let places: Vec<Option<u32>> = said.iter().map(|finding| finding.bar).collect();
            assert_eq!(places, bars, "{format:?}\n{}", document.text());
            tried += 1;
        }
    }
    assert_eq!(tried, 21);
}

#[test]
fn in_humdrum_the_data_are_the_sound_and_the_page_is_the_named_horns() {
    let text = "**kern\n*Icor\n*I\"Cornu Primo in D.\n*ITrd6c10\n*M4/4\n=1\n4dd\n4ff#\n4aa\n4r\n=2\n*ITrd2c4\n!LO:TX:t=Cornu in A.\n4ee\n4a\n4cc#\n4r\n==\n*-\n";
    let document = Document::from_text(Format::Kern, text);
    let analysis = judged(&document);
    let notes = &horn(&analysis).notes;
    // A horn in A reads E5 a minor third higher, as G5, whatever the record says.
    assert_eq!(notes[3].sounding.to_string(), "E5");
    assert_eq!(notes[3].written.to_string(), "G5");
    let said = told(&analysis, "notation/wrong-transposition");
    assert_eq!(
        said.iter().map(|one| one.bar).collect::<Vec<_>>(),
        [Some(2)]
    );
    let sounds: Vec<i32> = notes.iter().map(|note| note.sounding.midi()).collect();
    assert_eq!(sounds, [74, 78, 81, 76, 69, 73]);
}

#[test]
fn augmented_and_diminished_intervals_are_intervals() {
    let text = "**kern\n*I\"Corno in Dis\n*ITrd6c9\n*M4/4\n=1\n4d#\n4f##\n4a#\n4dd#\n==\n*-\n";
    let analysis = judged(&Document::from_text(Format::Kern, text));
    for rule in [
        "text/unreadable",
        "notation/awkward-spelling",
        "notation/wrong-transposition",
    ] {
        assert!(
            told(&analysis, rule).is_empty(),
            "{rule}: {:?}",
            told(&analysis, rule)
        );
    }
}

#[test]
fn what_rests_on_an_unsettled_crook_waits_until_it_is_settled() {
    let part = |name: &str, transpose: &str| {
        format!(
            "X:1\nM:4/4\nL:1/4\nQ:1/4=80\nK:none\nV:1 name=\"{name}\"{transpose}\nc'' d'' e'' ^^c | C,, D,, E,, z |]\n"
        )
    };
    let judged = |text: &str| judged(&Document::from_text(Format::Abc, text));
    let ranges = |analysis: &Judged| -> usize {
        let groups = ["range/", "notation/awkward-spelling"];
        let findings = analysis.findings().iter();
        findings
            .filter(|one| groups.iter().any(|group| one.rule.starts_with(group)))
            .count()
    };
    assert!(ranges(&judged(&part("Horn 1 in F", " transpose=-7"))) > 0);
    // The record is E flat's: which notes are meant nobody knows.
    assert_eq!(ranges(&judged(&part("Horn 1 in F", " transpose=-9"))), 0);
    // Humdrum data that record no page may be sounds or the player's notes.
    let kern = |record: &str| {
        let text = format!(
            "**kern\n*I\"Corno 1 in G\n{record}*M4/4\n*MM80\n=1\n4aaa\n4aaa\n4ggg\n4fff\n==\n*-\n"
        );
        Judged::new(
            Document::from_text(Format::Kern, &text),
            Settings::default(),
        )
    };
    assert!(ranges(&kern("*ITrd3c5\n")) > 0);
    assert_eq!(ranges(&kern("")), 0);
    // "in C" can be either octave.
    assert_eq!(ranges(&judged(&part("Horn 1 in C", ""))), 0);
}

#[test]
fn an_octave_left_open_is_chosen_by_the_compass_and_said_once() {
    for (music, crook) in [
        // As a horn in C alto this would lie far above the horn, and as one in C basso the other far below.
        ("c'' e'' g'' z | c'' e'' g'' z |]", Crook::CBasso),
        ("C,, E,, G,, z | C,, E,, G,, z |]", Crook::CAlto),
    ] {
        let text =
            format!("X:1\nM:4/4\nL:1/4\nQ:1/4=80\nK:none\nV:1 name=\"Horn 1 in C\"\n{music}\n");
        let analysis = judged(&Document::from_text(Format::Abc, &text));
        assert_eq!(horn(&analysis).crook.crook, Some(crook), "{music}");
        assert_eq!(
            told(&analysis, "notation/unnamed-crook").len(),
            1,
            "{music}"
        );
        let blamed = analysis
            .findings()
            .iter()
            .filter(|one| one.rule.starts_with("range/"));
        assert_eq!(blamed.count(), 0, "{music}");
    }
}

#[test]
fn a_safe_fix_overrules_no_witness() {
    let score = |name: &str, short: &str, instrument: &str| {
        let text = format!(
            "<score-partwise version=\"4.0\"><part-list><score-part id=\"P1\"><part-name>{name}</part-name>\
             <part-abbreviation>{short}</part-abbreviation><score-instrument id=\"P1-I1\"><instrument-name>{instrument}</instrument-name>\
             <instrument-sound>brass.french-horn</instrument-sound></score-instrument></score-part></part-list><part id=\"P1\">\
             <measure number=\"1\"><attributes><divisions>1</divisions></attributes><note><pitch><step>C</step><octave>5</octave></pitch>\
             <duration>4</duration></note></measure></part></score-partwise>"
        );
        Document::from_text(Format::MusicXml, &text)
    };
    let contradicted = score("Horn 3", "Hn. in C 3", "Horn in C");
    let fixed = judged(&contradicted).fix_all(Which::Safe);
    assert_eq!(
        fixed.judged.document().text(),
        contradicted.text(),
        "{:?}",
        fixed.applied
    );
    // Nothing says otherwise: a modern horn is in F.
    let plain = judged(&score("Horn 3", "Hn. 3", "Horn")).fix_all(Which::Safe);
    let text = plain.judged.document().text();
    assert!(
        text.contains("<part-name>Horn 3 in F</part-name>"),
        "{text}"
    );
    assert!(text.contains("<chromatic>-7</chromatic>"), "{text}");
    // Known by its sound alone, it is named once, as what it is.
    let staff = judged(&score("Staff", "", "Staff")).fix_all(Which::Safe);
    let text = staff.judged.document().text();
    assert!(text.contains("<part-name>Horn in F</part-name>"), "{text}");
    assert!(staff.settled);
    let again = judged(staff.judged.document()).fix_all(Which::Safe);
    assert!(again.applied.is_empty(), "{:?}", again.applied);
    // Crooked horns beside it leave it open too.
    let beside = "X:1\nM:4/4\nL:1/4\nK:none\nV:1 name=\"Horn 1 in D\" transpose=-10\nV:2 name=\"Horn 2\"\n[V:1] c4 |]\n[V:2] c4 |]\n";
    let analysis = judged(&Document::from_text(Format::Abc, beside));
    let safe = analysis
        .findings()
        .iter()
        .filter(|one| one.part.as_deref() == Some("Horn 2"))
        .flat_map(|one| &one.fixes)
        .filter(|fix| fix.safety == Safety::Safe);
    assert_eq!(safe.count(), 0);
}
