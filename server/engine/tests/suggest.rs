//! What is offered while music is written: all of it is read as it is meant, and no rule finds fault with it.
#![expect(clippy::unwrap_used, reason = "a test fails loudly")]

use engine::{Judged, Settings, Suggestion, suggest_music};
use notation::{Document, Format};

fn judged(format: Format, text: &str) -> Judged {
    Judged::new(Document::from_text(format, text), Settings::default())
}

/// What is offered where `…` stands in a text, with the text that each makes of it.
fn offered(format: Format, marked: &str) -> Vec<(Suggestion, String)> {
    let at = marked.find('…').unwrap();
    let text = marked.replace('…', "");
    let offers = suggest_music(&judged(format, &text), at).unwrap_or_default();
    let with = |offer: Suggestion| {
        let mut whole = text.clone();
        whole.replace_range(offer.replaces.clone(), &filled(&offer));
        (offer, whole)
    };
    offers.into_iter().map(with).collect()
}

/// What stands there when each place is left as it suggests itself.
fn filled(offer: &Suggestion) -> String {
    if !offer.to_fill_in {
        return offer.text.clone();
    }
    let mut text = offer.text.replace("$0", "");
    while let Some(at) = text.find("${") {
        let end = at + text[at..].find('}').unwrap();
        let words = text[at + 2..end]
            .split_once(':')
            .map_or("", |(_, words)| words);
        text = format!("{}{words}{}", &text[..at], &text[end + 1..]);
    }
    text
}

fn listed(offers: &[(Suggestion, String)]) -> Vec<&str> {
    let label = |offer: &Suggestion| offer.label.is_some();
    offers
        .iter()
        .filter(|(offer, _)| label(offer))
        .filter_map(|(offer, _)| offer.label.as_deref())
        .collect()
}

fn assert_clean(format: Format, text: &str) {
    let judged = judged(format, text);
    let said: Vec<String> = judged
        .findings()
        .iter()
        .map(|finding| format!("{}: {}", finding.rule, finding.message))
        .collect();
    assert!(said.is_empty(), "{said:#?}\n{text}");
    assert!(
        judged
            .pieces()
            .any(|(_, reading)| !reading.horns.is_empty()),
        "{text}"
    );
}

const HEAD: &str =
    "X:1\nT:Ferry\nM:4/4\nL:1/8\nQ:1/4=96\nK:none\nV:1 name=\"Horn 1 in F\" transpose=-7\n";

#[test]
fn new_parts_are_clean_in_every_notation() {
    let mut tried = 0;
    for format in [Format::Abc, Format::Kern, Format::MusicXml] {
        for begun in ["…", "\n…", "ne…"] {
            let offers = offered(format, begun);
            assert_eq!(
                listed(&offers),
                [
                    "new horn part",
                    "new horn parts for 2",
                    "new horn parts for 4"
                ],
                "{format:?}"
            );
            for ((_, text), horns) in offers.iter().zip([1, 2, 4]) {
                assert_clean(format, text);
                let judged = judged(format, text);
                let found = judged.pieces().map(|(_, reading)| reading.horns.len());
                assert_eq!(found.sum::<usize>(), horns, "{text}");
                tried += 1;
            }
        }
    }
    // Behind a tune another can begin, with the next number; within one none.
    let more = offered(Format::Abc, &format!("{HEAD}!mf! c8 |]\n\n…"));
    assert!(more[0].1.contains("X:2\n"), "{}", more[0].1);
    assert_clean(Format::Abc, &more[0].1);
    assert!(
        !listed(&offered(Format::Abc, &format!("{HEAD}!mf! c8 |]\n…"))).contains(&"new horn part")
    );
    println!("{tried} new parts judged");
}

#[test]
fn words_that_take_back_what_is_in_force_come_first() {
    for (music, first) in [
        ("!mf! c8 | z8 | z8 | \"^…", "con sord."),
        (
            "!mf! c8 | Z3 | \"^con sord.\" c8 | Z3 | \"^…",
            "senza sord.",
        ),
        ("!mf! \"^stopped\" c8 | \"^…", "open"),
        ("!mf! \"^gestopft\" c8 | \"^…", "offen"),
        ("!f! \"^bells up\" c8 | z8 | \"^…", "bells normal"),
    ] {
        let offers = offered(Format::Abc, &format!("{HEAD}{music}"));
        let first_offered = listed(&offers)[0].to_owned();
        if first == "bells normal" {
            assert!(first_offered.starts_with("bells"), "{first_offered}");
        } else {
            assert_eq!(first_offered, first, "{music}");
        }
    }
}

#[test]
fn words_before_the_first_note_are_those_of_its_own_tune() {
    let tune = |number: u8| {
        format!(
            "X:{number}\nM:4/4\nL:1/4\nQ:1/4=96\nK:none\nV:1 name=\"Horn 1 in F\" transpose=-7\n"
        )
    };
    // The second of two tunes, the first of which speaks German.
    let german = "!mf! \"^gestopft\" G4 | \"^offen\" G4 |]\n";
    let music = "!mf! \"^stopped\" c4 | \"^open\" c4 |]\n";
    let text = format!("{}{german}\n{}\"^…\n{music}", tune(1), tune(2));
    let offers = offered(Format::Abc, &text);
    let listed = listed(&offers);
    assert!(listed.contains(&"stopped"), "{listed:?}");
    assert!(!listed.contains(&"gestopft"), "{listed:?}");
}

#[test]
fn words_are_offered_in_every_notation_and_understood() {
    let kern = "**kern\n*I\"Horn in F\n*ITrd4c7\n*M4/4\n*MM96\n=1\n1f\n=2\n1r\n=3\n!LO:TX:a:t=…\n1f\n==\n*-\n";
    let xml = |words: &str| {
        format!(
            "<score-partwise version=\"4.0\"><part-list><score-part id=\"P1\"><part-name>Horn in F</part-name></score-part></part-list><part id=\"P1\"><measure number=\"1\"><attributes><divisions>1</divisions><transpose><diatonic>-4</diatonic><chromatic>-7</chromatic></transpose></attributes><note><pitch><step>C</step><octave>5</octave></pitch><duration>4</duration></note><direction><direction-type><words>{words}</words></direction-type></direction><note><pitch><step>C</step><octave>5</octave></pitch><duration>4</duration></note></measure></part></score-partwise>"
        )
    };
    let mut tried = 0;
    for (format, text) in [
        (Format::Abc, format!("{HEAD}!mf! c8 | z8 | \"^…\" c8 |]\n")),
        (Format::Abc, format!("{HEAD}!mf! c8 | z8 | \"g… c8 |]\n")),
        (Format::Kern, kern.to_owned()),
        (Format::MusicXml, xml("…")),
        (Format::MusicXml, xml("con… sord.")),
    ] {
        let offers = offered(format, &text);
        assert!(!offers.is_empty(), "{text}");
        for (offer, whole) in offers {
            let word = offer.label.as_deref().unwrap_or_default();
            let judged = judged(format, &whole);
            let (_, reading) = judged.pieces().next().unwrap();
            let part = &reading.piece.parts[0];
            let read = part.events().any(|placed| match &placed.event.kind {
                score::EventKind::Mark(mark) => match &mark.kind {
                    score::MarkKind::Words(said) => said.text == word,
                    _ => false,
                },
                _ => false,
            });
            assert!(read, "{word}: {whole}");
            assert!(reading.piece.unreadable.is_empty(), "{whole}");
            tried += 1;
        }
    }
    println!("{tried} words read");
    assert!(tried > 30, "{tried}");
}

#[test]
fn words_in_their_places_are_clean() {
    // Each with what must follow it, so that all is taken back.
    for (begun, word, after) in [
        (
            "!mf! c8 | Z3 | \"^…",
            "con sord.",
            " c8 | Z3 | \"^senza sord.\" c8 |]",
        ),
        ("!mf! c8 | \"^…", "stopped", " c8 | \"^open\" c8 |]"),
        ("!mf! \"^stopped\" c8 | \"^…", "open", " c8 |]"),
        ("!mf! c8 | \"^…", "solo", " c8 |]"),
        ("!mf! \"^…", "gliss.", " (C4 c4) | z8 |]"),
        ("!mf! c8 | \"^…", "brassy", " c8 | z8 |]"),
    ] {
        let offers = offered(Format::Abc, &format!("{HEAD}{begun}"));
        let known = listed(&offers).contains(&word);
        let other = offers
            .iter()
            .find(|(offer, _)| offer.label.as_deref() == Some(word));
        match other {
            Some((_, text)) => assert_clean(Format::Abc, &format!("{text}{after}\n")),
            None => assert!(!known && word == "brassy", "{word}: {:?}", listed(&offers)),
        }
    }
}

#[test]
fn signs_names_and_values_are_accepted() {
    let mut tried = 0;
    // A sign on a note that is stopped and opened again, or says how loud it is.
    for (offer, text) in offered(Format::Abc, &format!("{HEAD}!mf! c8 | !…c8 |]\n")) {
        let judged = judged(Format::Abc, &text);
        let (_, reading) = judged.pieces().next().unwrap();
        assert!(
            reading.piece.unreadable.is_empty(),
            "{:?}: {text}",
            offer.label
        );
        assert_eq!(reading.horns[0].notes.len(), 2, "{text}");
        tried += 1;
    }
    let name = "X:1\nM:4/4\nL:1/8\nQ:1/4=96\nK:none\nV:1 name=\"…\nc8 |]\n";
    for (offer, text) in offered(Format::Abc, name) {
        let judged = judged(Format::Abc, &text);
        let (_, reading) = judged.pieces().next().unwrap();
        assert_eq!(reading.horns.len(), 1, "{text}");
        let crook = reading.horns[0].crook.label();
        let named = horn::read_name(offer.label.as_deref().unwrap());
        let horn::CrookName::Named(meant) = named.crook else {
            panic!("{:?} names no crook", offer.label)
        };
        assert_eq!(crook, meant.label(), "{text}");
        tried += 1;
    }
    for field in ["M:…", "L:…", "Q:…", "K:…"] {
        let (letter, _) = field.split_once('…').unwrap();
        let rest: String = ["M:4/4", "L:1/8", "Q:1/4=96", "K:none"]
            .into_iter()
            .filter(|one| !one.starts_with(letter) && !one.starts_with('K'))
            .map(|one| format!("{one}\n"))
            .collect();
        let key = if letter == "K:" { "" } else { "K:none\n" };
        let text = format!("X:1\n{rest}{field}\n{key}V:1 name=\"Horn in F\" transpose=-7\nz8 |]\n");
        for (_, text) in offered(Format::Abc, &text) {
            let judged = judged(Format::Abc, &text);
            let (_, reading) = judged.pieces().next().unwrap();
            assert!(reading.piece.unreadable.is_empty(), "{text}");
            tried += 1;
        }
    }
    for property in ["V:1 …", "V:1 clef=…", "V:1 transpose=…"] {
        let offers = offered(Format::Abc, &format!("X:1\nK:none\n{property}\nc8 |]\n"));
        assert!(!offers.is_empty());
        for (offer, text) in offers {
            let text = match offer.text.ends_with('"') {
                true => text.replacen("name=\"", "name=\"Horn in F\"", 1),
                false => text,
            };
            let judged = judged(Format::Abc, &text);
            let (_, reading) = judged.pieces().next().unwrap();
            assert!(reading.piece.unreadable.is_empty(), "{text}");
            tried += 1;
        }
    }
    let kern = "**kern\n*…\n*I\"Horn in F\n1f\n*-\n";
    for (offer, text) in offered(Format::Kern, kern) {
        if offer.text == "*-" || offer.text == "*I\"" {
            continue;
        }
        let judged = judged(Format::Kern, &text);
        let (_, reading) = judged.pieces().next().unwrap();
        assert!(reading.piece.unreadable.is_empty(), "{text}");
        tried += 1;
    }
    println!("{tried} signs, names and values read");
}

#[test]
fn ready_passages_are_clean() {
    for head in [
        HEAD.to_owned(),
        HEAD.replace("L:1/8", "L:1/4"),
        HEAD.replace("4/4", "3/4"),
        HEAD.replace("1/4=96", "1/4=160"),
    ] {
        let bar = if head.contains("3/4") { "c6" } else { "c8" };
        let bar = if head.contains("L:1/4") { "c4" } else { bar };
        let text = format!("{head}!mf! {bar} | …");
        let offers = offered(Format::Abc, &text);
        let labels = listed(&offers);
        assert!(labels.contains(&"mute in and out"), "{labels:?}");
        for (offer, text) in &offers {
            if offer.label.as_deref() == Some("mute in and out") {
                assert_clean(Format::Abc, &format!("{text}]\n"));
            }
        }
    }
    let stopped = offered(Format::Abc, &format!("{HEAD}!mf! c8 | …"));
    let (_, text) = stopped
        .iter()
        .find(|(offer, _)| offer.label.as_deref() == Some("stopped note and its o"))
        .unwrap();
    assert_clean(Format::Abc, &format!("{text} |]\n"));
    // Nor in the header, where there is no music.
    let head = offered(
        Format::Abc,
        &format!("X:1\n…{}c8 |]\n", HEAD.replace("X:1\n", "")),
    );
    assert!(head.is_empty(), "{head:?}");
    // While the mute is in it is not offered again.
    let muted = offered(
        Format::Abc,
        &format!("{HEAD}!mf! c8 | Z3 | \"^con sord.\" c8 | …"),
    );
    assert!(!listed(&muted).contains(&"mute in and out"));
    // From a note with a rip on it, the notes where the rip can end.
    let rips = offered(Format::Abc, &format!("{HEAD}!mf! \"^gliss.\" (G4 …"));
    let ends: Vec<_> = rips
        .iter()
        .filter(|(offer, _)| {
            offer
                .label
                .as_deref()
                .is_some_and(|label| label.starts_with("rip to "))
        })
        .collect();
    assert!(ends.len() > 1, "{ends:?}");
    for (_, text) in ends {
        let judged = judged(Format::Abc, &format!("{text}4) |]\n"));
        let found: Vec<&str> = judged
            .findings()
            .iter()
            .map(|finding| finding.rule)
            .filter(|rule| rule.starts_with("rip/"))
            .collect();
        assert!(found.is_empty(), "{found:?}: {text}");
    }
}
