//! Humdrum's tree is made when it is asked for, and is then that of the text as it stands.
#![expect(clippy::unwrap_used, reason = "a test fails loudly")]

use fastrand::Rng;
use notation::{Document, Format};
use score::{Lost, Span};

const TEXT: &str = "**kern\t**dynam\n*I\"Horn in F\t*\n*ITrd4c7\t*\n*k[b-]\t*\n=1\t=1\n4g\tmf\n4a\t.\n2b-\t.\n=2\t=2\n1c\tp\n==\t==\n*-\t*-\n";

fn tree(document: &Document) -> String {
    document.tree().unwrap().root_node().to_sexp()
}

#[test]
fn a_tree_is_that_of_the_text_however_seldom_it_is_asked_for() {
    let mut rng = Rng::with_seed(7);
    let mut document = Document::from_text(Format::Kern, TEXT);
    let mut compared = 0;
    for _ in 0..600 {
        let at = rng.usize(..=document.rope().len_bytes());
        let typed = rng.choice(["4d", "\t", "\n", ".", "", "*", "!"]).unwrap();
        document.edit(Span::new(at, at + rng.usize(..3)), typed);
        // No tree of another text is ever shown.
        assert!(document.tree().is_none());
        document.reread();
        let copy = document.clone();
        if rng.u8(..3) == 0 {
            let fresh = Document::from_text(Format::Kern, &document.text());
            assert_eq!(tree(&copy), tree(&fresh), "{}", document.text());
            assert_eq!(tree(&document), tree(&fresh));
            compared += 1;
        }
    }
    println!("{compared} trees are those of fresh texts");
    assert!(compared > 150, "{compared}");
}

#[test]
fn bytes_that_are_no_text_are_told() {
    let document = Document::from_text(Format::Kern, &TEXT.replace("4a", "4\0a"));
    let piece = &document.score().pieces[0].piece;
    let at = document.text().find('\0').unwrap();
    let told = piece
        .unreadable
        .iter()
        .any(|slip| slip.span == Span::new(at, at + 1) && slip.lost == Lost::Notes);
    assert!(told, "{:?}", piece.unreadable);
}
