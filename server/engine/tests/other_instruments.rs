//! A player who takes up another instrument and comes back to the horn, in every notation.
#![expect(clippy::unwrap_used, reason = "a score in a test is well formed")]

use engine::{Judged, Settings};
use notation::{Document, Format};
use reading::HornPart;

/// A horn part of whole notes, each bar with or without words above it, in each notation.
///
/// The notes are written D2, far below what a horn plays, so that any that is judged is told.
fn scores(name: &str, bars: &[&str]) -> [(&'static str, Document); 3] {
    let abc: String = bars
        .iter()
        .map(|words| {
            if words.is_empty() {
                "D,,,4 | ".to_owned()
            } else {
                format!("\"^{words}\" D,,,4 | ")
            }
        })
        .collect();
    let abc = format!("X:1\nM:4/4\nL:1/4\nK:none\nV:1 name=\"{name}\" transpose=-7\n{abc}\n");
    let kern: String = bars
        .iter()
        .enumerate()
        .map(|(index, words)| {
            let text = if words.is_empty() {
                String::new()
            } else {
                format!("!LO:TX:a:t={words}\n")
            };
            format!("={}\n{text}1GGGG\n", index + 1)
        })
        .collect();
    let kern = format!("**kern\n*I\"{name}\n*ITrd4c7\n*M4/4\n{kern}==\n*-\n");
    let musicxml: String = bars
        .iter()
        .enumerate()
        .map(|(index, words)| {
            let text = if words.is_empty() {
                String::new()
            } else {
                format!("<direction><direction-type><words>{words}</words></direction-type></direction>")
            };
            let start = if index == 0 {
                "<attributes><divisions>1</divisions><time><beats>4</beats><beat-type>4</beat-type></time>\
                 <transpose><diatonic>-4</diatonic><chromatic>-7</chromatic></transpose></attributes>"
            } else {
                ""
            };
            format!(
                "<measure number=\"{}\">{start}{text}<note><pitch><step>D</step><octave>1</octave></pitch>\
                 <duration>4</duration></note></measure>",
                index + 1
            )
        })
        .collect();
    let musicxml = format!(
        "<score-partwise version=\"4.0\"><part-list><score-part id=\"P1\"><part-name>{name}</part-name></score-part>\
         </part-list><part id=\"P1\">{musicxml}</part></score-partwise>"
    );
    [("abc", abc), ("kern", kern), ("musicxml", musicxml)].map(|(format, text)| {
        (
            format,
            Document::from_text(Format::of_name(format).unwrap(), &text),
        )
    })
}

fn judged(document: &Document) -> Judged {
    Judged::new(document.clone(), Settings::default())
}

fn horn(analysis: &Judged) -> &HornPart {
    let pieces: Vec<_> = analysis.pieces().collect();
    &pieces[0].1.horns[0]
}

/// The bars of a line's notes.
fn bars(line: &HornPart) -> Vec<u32> {
    line.notes.iter().map(|note| note.number).collect()
}

#[test]
fn what_is_played_on_another_instrument_is_not_the_horns() {
    let mut tried = 0;
    for (words, away, back) in [
        (["", "nimmt Tuba", "", "nimmt Horn"], 2, Some(4)),
        (["", "muta in Tenor Tuba", "", "muta in Corno"], 2, Some(4)),
        (["", "take Wagner tuba", "", "take horn"], 2, Some(4)),
        (["", "prend le tuba", "", "Cor"], 2, Some(4)),
        (["", "nimmt Tuba", "", "muta in F"], 2, Some(4)),
        (["", "nimmt Tuba", "con sord.", ""], 2, None),
    ] {
        for (format, document) in scores("Horn in F", &words) {
            let analysis = judged(&document);
            let horn = horn(&analysis);
            let played: Vec<u32> = (1..=4)
                .filter(|&bar| bar < away || back.is_some_and(|back| bar >= back))
                .collect();
            assert_eq!(bars(horn), played, "{format}: {words:?}");
            let [absence] = &horn.absences[..] else {
                unreachable!("{format}: {words:?}: {:?}", horn.absences);
            };
            let came = absence.back.map(|(bar, _)| bar);
            assert_eq!((absence.number, came), (away, back), "{format}: {words:?}");
            assert!(
                horn.notes.iter().all(|note| !note.technique.muted()),
                "{format}: {words:?}: a mute for the tuba is no mute of the horn's"
            );
            let told: Vec<u32> = analysis
                .findings()
                .iter()
                .filter(|finding| finding.rule == "range/too-low")
                .filter_map(|finding| finding.bar)
                .collect();
            assert_eq!(told, played, "{format}: {words:?}");
            tried += 1;
        }
    }
    assert_eq!(tried, 18);
}

#[test]
fn one_of_two_may_leave_alone() {
    let words = ["", "2. nimmt Tuba", "", "2. nimmt Horn", ""];
    for (format, document) in scores("Horns 1.2. in F", &words) {
        let analysis = judged(&document);
        let [first, second] = &horn(&analysis).lines[..] else {
            unreachable!("{format}");
        };
        assert_eq!(bars(first), [1, 2, 3, 4, 5], "{format}");
        assert_eq!(bars(second), [1, 4, 5], "{format}");
    }
}

#[test]
fn a_transposition_for_another_instrument_is_not_the_horns() {
    let text = "X:1\nM:4/4\nL:1/4\nK:none\nV:1 name=\"Horn in F\" transpose=-7\nc4 | \"^nimmt Tuba\" [K:none transpose=-14] c4 | \
                \"^nimmt Horn\" [K:none transpose=-7] c4 |]\n";
    let document = Document::from_text(Format::of_name("abc").unwrap(), text);
    let analysis = judged(&document);
    let horn = horn(&analysis);
    assert_eq!(horn.crook_changes, []);
    let sounds: Vec<String> = horn
        .notes
        .iter()
        .map(|note| note.sounding.to_string())
        .collect();
    assert_eq!(sounds, ["F4", "F4"]);
}
