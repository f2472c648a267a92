//! What a comment or a setting says of a part, in every notation: who is a horn, and words that mean nothing.
#![expect(clippy::unwrap_used, reason = "a score in a test is well formed")]

use engine::{Judged, Settings, Severity};
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

fn judged(document: &Document, settings: &Settings) -> Judged {
    Judged::new(document.clone(), settings.clone())
}

/// The horns' names.
fn horns(analysis: &Judged) -> Vec<String> {
    let horns = analysis.pieces().flat_map(|(_, piece)| &piece.horns);
    horns.map(|horn| horn.label.clone()).collect()
}

fn unreadable(analysis: &Judged) -> Vec<&engine::Finding> {
    let told = analysis.findings().iter();
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
            .findings()
            .iter()
            .filter(|finding| finding.part.as_deref() == Some("Solo"))
            .collect();
        assert!(about.is_empty(), "{name}: {about:?}");
        let fixed = analysis.fix_all(engine::Which::Safe);
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
    for (setting, expected) in [
        ("\"Solo\" = \"not a horn\"", &["Horn 2 in F"][..]),
        ("\"2\" = \"not a horn\"", &[]),
        ("\"Solo\" = \"horn in E flat\"", &["Solo", "Horn 2 in F"]),
    ] {
        let (settings, errors) = Settings::of_text(&format!("[parts]\n{setting}\n"));
        assert_eq!(errors, Vec::<String>::new());
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
        let (_, errors) = Settings::of_text(&format!("[parts]\n{setting}\n"));
        let [error] = errors.as_slice() else {
            panic!("{errors:?}");
        };
        assert!(error.contains(words), "{error}");
        assert!(error.starts_with("bellhand.toml:2:"), "{error}");
    }
}

/// Parts of these names in each notation, every one recorded in E flat.
fn named(names: &[&str]) -> [(&'static str, Document); 3] {
    let voices: String = names
        .iter()
        .enumerate()
        .map(|(index, name)| format!("V:{} name=\"{name}\" transpose=-9\n", index + 1))
        .collect();
    let abc = format!("X:1\nM:4/4\nL:1/4\nK:none\n{voices}c d e f |]\n");
    let row = |cell: &dyn Fn(&str) -> String| {
        let cells: Vec<String> = names.iter().rev().map(|name| cell(name)).collect();
        cells.join("\t") + "\n"
    };
    let kern = [
        row(&|_| "**kern".to_owned()),
        row(&|name| format!("*I\"{name}")),
        row(&|_| "*ITrd5c9".to_owned()),
        row(&|_| "1e-".to_owned()),
        row(&|_| "*-".to_owned()),
    ]
    .concat();
    let heads: String = names
        .iter()
        .enumerate()
        .map(|(index, name)| {
            format!("<score-part id=\"P{index}\"><part-name>{name}</part-name></score-part>")
        })
        .collect();
    let parts: String = (0..names.len())
        .map(|index| {
            format!(
                "<part id=\"P{index}\"><measure number=\"1\"><attributes><divisions>1</divisions><transpose>\
                 <diatonic>-5</diatonic><chromatic>-9</chromatic></transpose></attributes><note><pitch><step>C</step>\
                 <octave>5</octave></pitch><duration>4</duration></note></measure></part>"
            )
        })
        .collect();
    let musicxml = format!(
        "<score-partwise version=\"4.0\"><part-list>{heads}</part-list>{parts}</score-partwise>"
    );
    [("abc", abc), ("kern", kern), ("musicxml", musicxml)].map(|(name, text)| {
        (
            name,
            Document::from_text(Format::of_name(name).unwrap(), &text),
        )
    })
}

#[test]
fn names_that_leave_it_open_are_asked_about() {
    let mut tried = 0;
    for (names, doubtful, read) in [
        (&["Horn Section"][..], &["Horn Section"][..], &[][..]),
        (&["Cor (Chœur)"], &["Cor (Chœur)"], &[]),
        // A brass band, where the horn's name may leave out that it is in E flat.
        (
            &["Solo Horn in Eb", "Solo Cornet", "Baritone"],
            &["Solo Horn in Eb"],
            &[],
        ),
        (
            &["1st Horn", "Solo Cornet", "Flugelhorn"],
            &["1st Horn"],
            &[],
        ),
        (
            &["Horn in F", "Solo Cornet", "Baritone"],
            &[],
            &["Horn in F"],
        ),
        // One cornet stands in many orchestras, and two in many a wind band.
        (
            &["Solo Horn in Eb", "Solo Cornet"],
            &[],
            &["Solo Horn in Eb"],
        ),
        (
            &["Flute", "Horn in Eb", "Cornet 1", "Euphonium"],
            &[],
            &["Horn in Eb"],
        ),
        // Other instruments are neither read nor asked about.
        (
            &[
                "Cor A.",
                "Corno di Postiglione",
                "Wagner tuba",
                "Tenor horn",
            ],
            &[],
            &[],
        ),
        (
            &[
                "Handhorn",
                "Bumper",
                "Hoorn",
                "Valthorn",
                "Trompa",
                "Валторна",
            ],
            &[],
            &[
                "Handhorn",
                "Bumper",
                "Hoorn",
                "Valthorn",
                "Trompa",
                "Валторна",
            ],
        ),
    ] {
        for (format, document) in named(names) {
            let analysis = judged(&document, &Settings::default());
            let asked: Vec<&str> = analysis
                .findings()
                .iter()
                .filter(|finding| finding.rule == "notation/no-horn")
                .filter_map(|finding| finding.part.as_deref())
                .collect();
            assert_eq!(asked, doubtful, "{format}: {names:?}");
            assert_eq!(horns(&analysis), read, "{format}: {names:?}");
            tried += 1;
        }
    }
    assert_eq!(tried, 27);
    // What a comment settles is not asked about.
    let text = "X:1\nM:4/4\nL:1/4\nK:none\n% bellhand: part 1 = horn in F\nV:1 name=\"Horn Section\" transpose=-7\nc d e f |]\n";
    let settled = Document::from_text(Format::of_name("abc").unwrap(), text);
    assert_eq!(
        horns(&judged(&settled, &Settings::default())),
        ["Horn Section"]
    );
}
