//! A score kept through edits is the score of the text as it now stands.

use std::sync::Arc;

use fastrand::Rng;
use notation::Document;
use score::{RunBody, Span};

use crate::ear::*;

/// A band on a ferry pier: spines that split, join, change places, end and begin late, bars of no time, words, two pieces.
const BOOK: &str = "\
!!!OTL: The First Ferry
!!!COM: A deckhand
!!!OMD: Andante
**kern\t**dynam\t**kern\t**text
*ICbrass\t*\t*Icor\t*
*I\"Tuba\t*\t*I\"Horn in F\t*
*clefF4\t*\t*clefG2\t*
*k[b-]\t*\t*k[b-]\t*
*M4/4\t*\t*M4/4\t*
*MM84\t*\t*MM84\t*
*\t*\t*ITrd4c7\t*
=1-\t=1-\t=1-\t=1-
2BB-\tp\t4f\tlow
.\t<\t[4a\t.
2F\t[\t2a]\ttide
=2\t=2\t=2\t=2
*^\t*\t*\t*
2BB-\t2D\tf\t(8ff#L\t.
.\t.\t.\t8ffJ)\t.
!\t!\t!\t!LO:TX:a:t=con sord.\t!
.\t.\t.\t2.dd\t.
2F\t2C\t.\t.\t.
*clefC4\t*clefC4\t*\t*clefF4\t*
=3||\t=3||\t=3||\t=3||\t=3||
*v\t*v\t*\t*\t*
*k[f#]\t*\t*k[f#]\t*
*x\t*\t*x\t*
1ccq\t.\t1GGq\t.
=\t=\t=\t=
4r\t.\t4GG\tfog
2.cc 2.ee\tpp\t2.G;\t.
=4:|!\t=4:|!\t=4:|!\t=4:|!
*\t*-\t*\t*
*\t*\t*+
*\t*\t*\t**kern
*Trd-6c-10\t*\t*\t*I\"Horn in D
*M3/4\t*M3/4\t*\t*M3/4
2.f#\t2.FF\t.\t2.d
=5\t=5\t=5\t=5
*\t*^\t*\t*
4a\t4FF\t2.C\t.\t2.rr
!! bellhand: ignore rip/too-few
4b\t4GG\t.\t.\t.
4cc\t4AA\t.\tbell\t.
*\t*v\t*v\t*\t*
=6\t=6\t=6\t=6
*I\"Horn in E flat\t*\t*\t*
4b\t2.FF\t.\t4e
4a\t.\t.\t4d
==\t==\t==\t==
*-\t*-\t*-\t*-
!!!!SEGMENT: two
**kern
*I\"Corno
4c
4e
=
4g
=
*k[b-]
2b-
*-
";

/// Things a hand may type, or break, anywhere.
const TYPED: [&str; 34] = [
    "4c",
    "\t",
    "\n",
    "*^",
    "*v",
    "*x",
    "*+",
    "*-",
    "*",
    "=",
    "=7",
    "\n=\t=\t=\t=\n",
    "#",
    ".",
    "!",
    "*k[f#]",
    " ",
    "é",
    "8",
    "(",
    ")",
    "[",
    "*clefF4",
    "*M6/8",
    "*ITrd4c7",
    "*I\"Corno in D",
    "**kern",
    "**dynam",
    "\r\n",
    "q",
    "\n*v\t*v\t*\t*\t*\n",
    "\n*^\t*\t*\t*\n",
    "!!!OTL: Fog\n",
    "!!!!SEGMENT: x\n",
];

fn assert_as_fresh(kept: &Document, what: &str) {
    let fresh = doc(&kept.text());
    let (old, new) = (&kept.score().pieces, &fresh.score().pieces);
    assert_eq!(old.len(), new.len(), "{what} in\n{}", kept.text());
    for (old, new) in old.iter().zip(new) {
        assert_eq!(old.base, new.base, "{what} in\n{}", kept.text());
        assert_eq!(old.piece, new.piece, "{what} in\n{}", kept.text());
    }
}

/// A stretch from one character to another, or from one line to another.
fn stretch(rng: &mut Rng, text: &str) -> Span {
    let lines = rng.u8(..4) == 0;
    let places: Vec<usize> = text
        .char_indices()
        .map(|(at, _)| at)
        .filter(|at| !lines || *at == 0 || text.as_bytes()[at - 1] == b'\n')
        .chain([text.len()])
        .collect();
    let first = rng.usize(..places.len());
    let last = (first + rng.usize(..4)).min(places.len() - 1);
    Span::new(places[first], places[last])
}

/// Edits a text at random and compares each reading with a fresh one; then goes back by as many undone edits.
fn wander(kept: &mut Document, rng: &mut Rng, edits: usize) -> usize {
    let mut undo = Vec::new();
    for turn in 0..edits {
        let text = kept.text();
        let span = stretch(rng, &text);
        let typed = match rng.u8(..4) {
            0 => "",
            // What stands elsewhere, lines and all.
            1 => &text[stretch(rng, &text).range()],
            _ => TYPED[rng.usize(..TYPED.len())],
        };
        let told = format!("edit {turn}: {span:?} {typed:?}");
        undo.push((span.start, typed.len(), text[span.range()].to_owned()));
        kept.edit(span, typed);
        kept.reread();
        assert_as_fresh(kept, &told);
    }
    for (at, length, before) in undo.into_iter().rev() {
        kept.edit(Span::new(at, at + length), &before);
        kept.reread();
        assert_as_fresh(kept, "undone");
    }
    2 * edits
}

#[test]
fn edits_and_fresh_readings_agree() {
    let mut compared = 0;
    for (mut kept, mut rng) in scores() {
        compared += wander(&mut kept, &mut rng, 3);
    }
    for seed in 0..120 {
        compared += wander(&mut doc(BOOK), &mut Rng::with_seed(seed), 12);
    }
    println!("{compared} edits gave the fresh score");
    assert_eq!(compared, 4_080);
}

#[test]
fn every_line_can_go_and_come_back() {
    let mut compared = 0;
    for count in 1..4 {
        let starts: Vec<usize> = BOOK.match_indices('\n').map(|(at, _)| at + 1).collect();
        for pair in starts.windows(count + 1) {
            let (span, mut kept) = (Span::new(pair[0], pair[count]), doc(BOOK));
            kept.edit(span, "");
            kept.reread();
            assert_as_fresh(&kept, "gone");
            kept.edit(Span::new(span.start, span.start), &BOOK[span.range()]);
            kept.reread();
            assert_as_fresh(&kept, "back");
            compared += 2;
        }
    }
    println!("{compared} edits of whole lines gave the fresh score");
    assert_eq!(compared, 360);
}

/// The bars of all parts of the first piece whose music is the very same before and after: how many, and of how many.
fn bars_kept(text: &str, at: usize, typed: &str) -> (usize, usize) {
    let bodies = |document: &Document| -> Vec<Arc<RunBody>> {
        let parts = &document.score().pieces[0].piece.parts;
        let runs = parts
            .iter()
            .flat_map(|part| &part.bars)
            .flat_map(|bar| &bar.runs);
        runs.map(|run| Arc::clone(&run.body)).collect()
    };
    let mut document = doc(text);
    let before = bodies(&document);
    document.edit(Span::new(at, at), typed);
    document.reread();
    assert_as_fresh(&document, typed);
    let after = bodies(&document);
    let same = |one: &&Arc<RunBody>| before.iter().any(|other| Arc::ptr_eq(one, other));
    (after.iter().filter(same).count(), after.len())
}

/// Twelve bars of four parts, each with a split and a join.
fn long() -> String {
    let mut text =
        "**kern\t**kern\t**kern\t**kern\n*k[]\t*k[]\t*k[]\t*k[]\n*M2/4\t*M2/4\t*M2/4\t*M2/4\n"
            .to_owned();
    for bar in 1..=12 {
        text.push_str(&format!("={bar}\t={bar}\t={bar}\t={bar}\n"));
        text.push_str("4c\t4e\t4g\t4cc\n*^\t*\t*\t*\n4c\t4B\t4f\t4g\t4dd\n*v\t*v\t*\t*\t*\n");
    }
    text + "==\t==\t==\t==\n*-\t*-\t*-\t*-\n"
}

#[test]
fn the_other_bars_are_kept() {
    let text = long();
    let bar = |number: usize| text.find(&format!("={number}\t")).unwrap();
    // The first barline closes no bar, so the first bar's text begins before it.
    for (what, at, typed, kept) in [
        ("a note", bar(6) + "=6\t=6\t=6\t=6\n4".len(), "d", 40),
        ("a comment between bars", bar(6), "!! the tide turns\n", 40),
        (
            "a split more",
            text[bar(6)..].find("*^\t*").unwrap() + bar(6),
            "*\t*\t*\t*\n",
            40,
        ),
        (
            "a longer note",
            bar(6) + "=6\t=6\t=6\t=6\n4c".len(),
            ".",
            40,
        ),
        ("a title", 0, "!!!OTL: Tide table\n", 44),
        ("another signature", text.find("*k[").unwrap() + 3, "b-", 0),
    ] {
        let (same, all) = bars_kept(&text, at, typed);
        println!("{what}: {same} of {all} bars kept");
        assert_eq!((same, all), (kept, 48), "{what}");
    }
}

#[test]
fn pieces_that_no_edit_touches_are_kept() {
    let one = "**kern\n4c\n*-\n";
    let two = "!!!!SEGMENT: two\n**kern\n4d\n*-\n";
    let mut kept = doc(&[one, two].concat());
    let before: Vec<_> = kept
        .score()
        .pieces
        .iter()
        .map(|p| Arc::clone(&p.piece))
        .collect();
    kept.edit(Span::new(7, 9), "8.e");
    kept.reread();
    let after = &kept.score().pieces;
    assert!(!Arc::ptr_eq(&before[0], &after[0].piece));
    assert!(Arc::ptr_eq(&before[1], &after[1].piece));
    assert_eq!(after[1].base, one.len() + 1);
}
