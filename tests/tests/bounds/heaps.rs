//! Much of one thing: little text that says much, and much text that says little.

use notation::{Document, Format};
use score::bounds::{MOST_BARS, MOST_PARTS, MOST_UNREADABLE};
use support::judge;

use crate::{peak, unreadable};

/// The most memory that all of these together may take, in MiB, in a build that is not optimised.
const MOST_MEMORY: u64 = 600;

const HEADER: &str = "X:1\nM:4/4\nL:1/4\nK:C\nV:1 name=\"Horn in F\" transpose=-7\n";
const NOTE: &str = "<note><rest/><duration>1</duration></note>";

fn score(header: &str, music: &str) -> String {
    format!(
        "<score-partwise><part-list><score-part id=\"P\"><part-name>Horn in F</part-name></score-part>{header}</part-list>\
         <part id=\"P\"><measure number=\"1\">{NOTE}{music}</measure></part></score-partwise>"
    )
}

/// What a heap is made of, and what must be said of it.
fn heaps() -> Vec<(&'static str, Format, String, &'static str)> {
    let larger = |format: Format, line: &str| line.repeat(format.largest() / line.len() + 1);
    let abc = |music: &str| format!("{HEADER}{music}\n");
    let kern = |records: &str| format!("**kern\n*I\"Horn in F\n=1\n{records}\n=2\n4c\n*-\n");
    let tunes = (1..4_000).map(|number| format!("X:{number}\nM:4/4\nK:C\nZ999|c8|]\n\n"));
    let voices = (0..3_000).map(|voice| format!("V:{voice}\nZ999|\n"));
    let parts = (0..3_000).map(|part| format!("<score-part id=\"a{part}\"/>"));
    let row = |cell: &str| format!("{}{cell}\n", format!("{cell}\t").repeat(100));
    let later = "*\t*-\n*+\n*\t**kern\n".repeat(3_000);
    vec![
        (
            "ABC without bars",
            Format::Abc,
            larger(Format::Abc, "c d e f g "),
            "larger than the 2 MiB",
        ),
        (
            "Humdrum of tabs",
            Format::Kern,
            larger(Format::Kern, "\t"),
            "larger than the 4 MiB",
        ),
        (
            "MusicXML of blanks",
            Format::MusicXml,
            larger(Format::MusicXml, "          \n"),
            "larger than the 32 MiB",
        ),
        (
            "rests of many bars",
            Format::Abc,
            abc(&"Z999|".repeat(5_000)),
            "bars",
        ),
        (
            "rests of many bars in one",
            Format::Abc,
            abc(&"Z999 ".repeat(5_000)),
            "read no further",
        ),
        (
            "rests of many bars in many tunes",
            Format::Abc,
            tunes.collect(),
            "read no further",
        ),
        (
            "rests of many bars in many voices",
            Format::Abc,
            abc(&voices.collect::<String>()),
            "read no further",
        ),
        (
            "one bar",
            Format::Abc,
            abc(&"c ".repeat(50_000)),
            "more than 20000 notes",
        ),
        (
            "grace notes",
            Format::Abc,
            abc(&format!("{{{}}}c4 |", "c".repeat(50_000))),
            "more than 20000 notes",
        ),
        (
            "signs that mean nothing",
            Format::Abc,
            abc(&"c # ".repeat(10_000)),
            "this and more places",
        ),
        (
            "quotes",
            Format::Abc,
            abc(&"\"c\n".repeat(10_000)),
            "this and more places",
        ),
        (
            "open brackets",
            Format::Abc,
            abc(&"[c".repeat(50_000)),
            "bracket",
        ),
        (
            "columns",
            Format::Kern,
            format!("{}\n4c\n", "**kern\t".repeat(20_000)),
            "columns run here",
        ),
        (
            "bars of many parts",
            Format::Kern,
            row("**kern") + &[row("="), row("4c")].concat().repeat(MOST_BARS / 100),
            "read no further",
        ),
        (
            "parts that begin late",
            Format::Kern,
            format!("**kern\t**kern\n{}{later}", "=\t=\n4c\t4c\n".repeat(3_000)),
            "parts",
        ),
        (
            "splits without end",
            Format::Kern,
            format!("**kern\n{}4c\n", "*^\n".repeat(3_000)),
            "cells",
        ),
        (
            "pieces",
            Format::Kern,
            "**kern\n*-\n".repeat(25_000),
            "read no further",
        ),
        (
            "signs that mean nothing",
            Format::Kern,
            kern(&"4cé\n".repeat(10_000)),
            "this and more places",
        ),
        (
            "parts in the list",
            Format::MusicXml,
            score(&parts.collect::<String>(), ""),
            "parts, and no more are read",
        ),
        (
            "parts in none",
            Format::MusicXml,
            score("", "").replace(
                "</score-partwise>",
                &("<part id=\"a\"><measure number=\"1\"/></part>".repeat(10_000)
                    + "</score-partwise>"),
            ),
            "no part `a`",
        ),
        (
            "measures",
            Format::MusicXml,
            score(
                "",
                &"</measure><measure number=\"1\">".repeat(MOST_BARS + 9),
            ),
            "read no further",
        ),
        (
            "comments without end",
            Format::MusicXml,
            score("", &"<!--".repeat(50_000)),
            "no end",
        ),
        (
            "CDATA without end",
            Format::MusicXml,
            score("", &"<![CDATA[".repeat(50_000)),
            "no end",
        ),
        (
            "instructions without end",
            Format::MusicXml,
            score("", &"<?".repeat(50_000)),
            "no end",
        ),
        (
            "DOCTYPEs without end",
            Format::MusicXml,
            "<!DOCTYPE ".repeat(50_000),
            "no XML",
        ),
        (
            "tags without end",
            Format::MusicXml,
            score("", &"<a b=\"".repeat(50_000)),
            "no end",
        ),
        (
            "elements in each other",
            Format::MusicXml,
            score("", &"<a>".repeat(50_000)),
            "64 deep",
        ),
    ]
}

#[test]
fn heaps_are_told_and_held() {
    let mut counted = 0;
    for (what, format, text, said) in heaps() {
        let document = Document::from_text(format, &text);
        let score = document.score();
        let bars: usize = score
            .pieces
            .iter()
            .map(|placed| placed.piece.bar_count())
            .sum();
        // A piece is read to its end where its last bars are a few more.
        assert!(bars <= 2 * MOST_BARS, "{what}: {bars} bars");
        for placed in &score.pieces {
            assert!(placed.piece.unreadable.len() <= MOST_UNREADABLE, "{what}");
            assert!(placed.piece.parts.len() <= 2 * MOST_PARTS, "{what}");
        }
        let findings = unreadable(&document);
        assert!(
            findings
                .iter()
                .any(|finding| finding.message.contains(said)),
            "{what}: {said} is not said, but {:#?}",
            findings
                .iter()
                .map(|finding| &finding.message)
                .take(3)
                .collect::<Vec<_>>()
        );
        counted += 1;
    }
    println!("{counted} heaps, {} MiB at most", peak());
    assert_eq!(counted, 27);
    assert!(peak() < MOST_MEMORY, "{} MiB", peak());
}

#[test]
fn a_text_that_shrinks_is_read_and_one_that_grows_no_more() {
    for (format, text) in [
        (Format::Abc, format!("{HEADER}c4 |]\n")),
        (Format::Kern, "**kern\n*I\"Horn in F\n1c\n*-\n".to_owned()),
        (Format::MusicXml, score("", "")),
    ] {
        let mut document = Document::from_text(format, &text);
        let length = text.len();
        assert!(document.score().unreadable.is_empty());
        document.edit(
            score::Span::new(length, length),
            &" ".repeat(format.largest()),
        );
        document.reread();
        assert!(document.score().pieces.is_empty() && document.tree().is_none());
        assert_eq!(unreadable(&document).len(), 1, "{}", format.name());
        document.edit(score::Span::new(length, usize::MAX), "");
        document.reread();
        assert!(document.score().unreadable.is_empty());
        let fresh = Document::from_text(format, &text);
        assert_eq!(
            document.score().pieces[0].piece,
            fresh.score().pieces[0].piece
        );
        assert_eq!(
            judge(&document).findings().len(),
            judge(&fresh).findings().len()
        );
    }
}

#[test]
fn bytes_beyond_all_measure_are_refused_in_words() {
    for format in Format::ALL {
        let bytes = vec![b' '; format.largest() + 1];
        let error = Document::from_bytes(format, &bytes)
            .unwrap_err()
            .to_string();
        assert!(error.contains("larger than a score"), "{error}");
        let said = format!("no more than {} MiB", format.largest() >> 20);
        assert!(error.contains(&said), "{error}");
    }
}

#[test]
fn a_picture_grows_with_what_is_written() {
    let drawn = |music: &str| {
        let text = format!("{}{music}|]\n", HEADER.replace("K:C", "Q:1/4=1\nK:C"));
        let document = Document::from_text(Format::Abc, &text);
        let judged = judge(&document);
        let (base, reading) = judged.pieces().next().unwrap();
        let subject = picture::Subject {
            base,
            reading,
            horn: &reading.horns[0],
            findings: &[],
        };
        picture::draw(&subject, &picture::Options::default())
    };
    // A hundred notes of seventeen hours each.
    let long = drawn(&"c1024 | ".repeat(100)).unwrap();
    assert!(long.svg.len() < 2 << 20, "{} bytes", long.svg.len());
    assert_eq!(long.places.len(), 100);
    let error = drawn(&"c4 | ".repeat(40_000)).unwrap_err();
    assert!(
        error.to_string().contains("longer than a picture"),
        "{error}"
    );
}
