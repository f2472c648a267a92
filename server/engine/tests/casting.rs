//! What a comment or a setting says of a part, in every notation: who is a horn, and words that mean nothing.
#![expect(clippy::unwrap_used, reason = "a score in a test is well formed")]

use engine::{Analyser, Analysis, Settings, Severity};
use notation::{Document, Format};

/// Two parts, `Solo` and `Horn 2 in F`, with a comment of ours, in each notation.
fn scores(comment: &str) -> [(&'static str, Document); 3] {
    let abc = format!(
        "X:1\nM:4/4\nL:1/4\nK:none\n% bellhand: {comment}\nV:1 name=\"Solo\"\nV:2 name=\"Horn 2 in F\" transpose=-7\n\
         [V:1] c d e f |]\n[V:2] c d e f |]\n"
    );
    // The lowest part stands first, and spines of dynamics between count for nothing.
    let kern = format!(
        "!! bellhand: {comment}\n**kern\t**dynam\t**kern\t**dynam\n*I\"Horn 2 in F\t*\t*I\"Solo\t*\n*ITrd4c7\t*\t*\t*\n*M4/4\t*M4/4\t*M4/4\t*M4/4\n\
         1f\tmf\t1c\tmf\n==\t==\t==\t==\n*-\t*-\t*-\t*-\n"
    );
    let part = |id: &str, transpose: &str| {
        format!(
            "<part id=\"{id}\"><measure number=\"1\"><attributes><divisions>1</divisions>{transpose}</attributes>\
             <note><pitch><step>C</step><octave>5</octave></pitch><duration>4</duration></note></measure></part>"
        )
    };
    let musicxml = format!(
        "<score-partwise version=\"4.0\"><!-- bellhand: {comment} --><part-list><score-part id=\"P1\"><part-name>Solo</part-name>\
         </score-part><score-part id=\"P2\"><part-name>Horn 2 in F</part-name></score-part></part-list>{}{}</score-partwise>",
        part("P1", ""),
        part(
            "P2",
            "<transpose><diatonic>-4</diatonic><chromatic>-7</chromatic></transpose>"
        ),
    );
    [("abc", abc), ("kern", kern), ("musicxml", musicxml)].map(|(name, text)| {
        (
            name,
            Document::from_text(Format::of_name(name).unwrap(), &text),
        )
    })
}

fn judged(document: &Document, settings: &Settings) -> Analysis {
    Analyser::new().analyse(document, settings)
}

/// The horns' names.
fn horns(analysis: &Analysis) -> Vec<String> {
    let horns = analysis.pieces.iter().flat_map(|(_, piece)| &piece.horns);
    horns.map(|horn| horn.label.clone()).collect()
}

fn unreadable(analysis: &Analysis) -> Vec<&engine::Finding> {
    let told = analysis.findings.iter();
    told.filter(|finding| finding.rule == "text/unreadable")
        .collect()
}

#[test]
fn a_comment_says_who_is_a_horn() {
    let mut tried = 0;
    for (comment, expected) in [
        ("part \"Solo\" = not a horn", &["Horn 2 in F"][..]),
        ("part \"Horn 2 in F\" = not a horn", &[]),
        ("part 2 = not a horn", &[]),
        ("part * = not a horn", &[]),
        ("part 1 = horn in D", &["Solo", "Horn 2 in F"]),
        ("part \"solo\" = horn", &["Solo", "Horn 2 in F"]),
        // Half understood is not followed.
        ("part 2 = not a horm", &["Horn 2 in F"]),
        ("part 1 = horn in F, old bass cleff", &["Horn 2 in F"]),
        ("part 1 = student", &["Horn 2 in F"]),
    ] {
        for (name, document) in scores(comment) {
            let analysis = judged(&document, &Settings::default());
            assert_eq!(horns(&analysis), expected, "{name}: {comment}");
            tried += 1;
        }
    }
    assert_eq!(tried, 27);
}

#[test]
fn what_is_no_horn_is_neither_judged_nor_fixed() {
    for (name, document) in scores("part \"Solo\" = not a horn") {
        let analysis = judged(&document, &Settings::default());
        let about: Vec<_> = analysis
            .findings
            .iter()
            .filter(|finding| finding.part.as_deref() == Some("Solo"))
            .collect();
        assert!(about.is_empty(), "{name}: {about:?}");
        let fixed = engine::fix_all(&document, &Settings::default(), engine::Which::Safe);
        let touched: Vec<_> = fixed
            .applied
            .iter()
            .filter(|fix| fix.part.as_deref() == Some("Solo"))
            .collect();
        assert!(touched.is_empty(), "{name}: {touched:?}");
    }
}

#[test]
fn words_that_mean_nothing_are_told_with_what_may_be_meant() {
    let mut tried = 0;
    for (comment, words) in [
        ("part 2 = not a horm", "did you mean `not a horn`?"),
        (
            "part 2 = horn in F, old bass cleff",
            "did you mean `old bass clef`?",
        ),
        (
            "part 2 = horn in F student",
            "`student` says nothing of a part",
        ),
        ("part 2 = student", "`student` says nothing of a part"),
        ("part 2 = horn in Q", "`in Q` says nothing of a part"),
        ("part 3 = horn in F", "there is no part `3` here"),
        ("part \"Sole\" = horn in F", "there is no part `Sole` here"),
    ] {
        for (name, document) in scores(comment) {
            let analysis = judged(&document, &Settings::default());
            let told = unreadable(&analysis);
            let [told] = told[..] else {
                panic!("{name}: {comment}: {told:?}");
            };
            assert!(told.message.contains(words), "{name}: {}", told.message);
            assert_eq!(told.severity, Severity::Warning, "{name}: {comment}");
            tried += 1;
        }
    }
    for (name, document) in scores("part 2 = horn in F, old bass clef, single B flat") {
        let analysis = judged(&document, &Settings::default());
        assert!(unreadable(&analysis).is_empty(), "{name}");
    }
    assert_eq!(tried, 21);
}

#[test]
fn settings_say_the_same() {
    let folder = std::env::temp_dir().join(format!("bellhand-casting-{}", std::process::id()));
    std::fs::create_dir_all(&folder).unwrap();
    let file = folder.join(engine::FILE_NAME);
    for (setting, expected) in [
        ("\"Solo\" = \"not a horn\"", &["Horn 2 in F"][..]),
        ("\"2\" = \"not a horn\"", &[]),
        ("\"Solo\" = \"horn in E flat\"", &["Solo", "Horn 2 in F"]),
    ] {
        std::fs::write(&file, format!("[parts]\n{setting}\n")).unwrap();
        let settings = Settings::read(&file).unwrap();
        for (name, document) in scores("ignore range/weak-low") {
            assert_eq!(
                horns(&judged(&document, &settings)),
                expected,
                "{name}: {setting}"
            );
        }
    }
    for (setting, words) in [
        ("\"Solo\" = \"not a horm\"", "did you mean `not a horn`?"),
        (
            "\"Solo\" = \"horn in F, old bass cleff\"",
            "did you mean `old bass clef`?",
        ),
        ("\"Solo\" = \"student\"", "`student` says nothing of a part"),
    ] {
        std::fs::write(&file, format!("[parts]\n{setting}\n")).unwrap();
        let error = Settings::read(&file).unwrap_err();
        assert!(error.message.contains(words), "{error}");
        assert_eq!(error.place.map(|(line, _)| line), Some(2), "{error}");
    }
    std::fs::remove_dir_all(&folder).unwrap();
}

#[test]
fn names_that_leave_it_open_are_asked_about() {
    let score = |names: &[&str]| {
        let voices: String = names
            .iter()
            .enumerate()
            .map(|(index, name)| format!("V:{} name=\"{name}\"\n", index + 1))
            .collect();
        let text = format!("X:1\nM:4/4\nL:1/4\nK:none\n{voices}c d e f |]\n");
        Document::from_text(Format::of_name("abc").unwrap(), &text)
    };
    for (names, doubtful) in [
        (&["Horn Section"][..], &["Horn Section"][..]),
        (
            &["Solo Horn in Eb", "Solo Cornet", "Baritone"],
            &["Solo Horn in Eb"],
        ),
        (&["Solo Horn in Eb", "Solo Cornet"], &[]),
        (&["Horn in F", "Cornet 1", "Cornet 2"], &[]),
    ] {
        let analysis = judged(&score(names), &Settings::default());
        let asked: Vec<&str> = analysis
            .findings
            .iter()
            .filter(|finding| finding.rule == "notation/no-horn")
            .filter_map(|finding| finding.part.as_deref())
            .collect();
        assert_eq!(asked, doubtful, "{names:?}");
        assert!(
            horns(&analysis)
                .iter()
                .all(|horn| !doubtful.contains(&horn.as_str())),
            "{names:?}"
        );
    }
    // What a comment settles is not asked about.
    let text = "X:1\nM:4/4\nL:1/4\nK:none\n% bellhand: part 1 = horn in F\nV:1 name=\"Horn Section\" transpose=-7\nc d e f |]\n";
    let settled = Document::from_text(Format::of_name("abc").unwrap(), text);
    assert_eq!(
        horns(&judged(&settled, &Settings::default())),
        ["Horn Section"]
    );
}
