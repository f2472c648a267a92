//! Reading ABC: a whole text at first, then one keystroke in the middle of texts of several sizes.

use divan::Bencher;
use divan::counter::BytesCount;
use notation::{Document, Format};
use score::Span;

fn main() {
    divan::main();
}

/// An invented text of about so many bytes: one tune, or many of about three thousand bytes each.
fn text(bytes: usize, one_tune: bool) -> String {
    const LINES: [&str; 3] = [
        "\"^stopped\" c2 d2 e>f g2 | (3abc d2 !+!e2 z2 | \"^open\" [ce]2 G2 A2 B2- | B2 z2 {f}g2 a2 |\n",
        "!p! G4 ^F2 F2 | G>A B<c d4 | Z2 | (e2 f2 g2 a2) |\n",
        "% the ferry is late\n!<(! C2 E2 G2 !<)! c2 | [L:1/16] c4 d4 [L:1/8] e4 :| C8 & E4 G4 |]\n",
    ];
    let mut rng = fastrand::Rng::with_seed(7);
    let mut text = String::new();
    let (mut tunes, mut since) = (0, usize::MAX);
    while text.len() < bytes {
        if tunes == 0 || (!one_tune && since > 3_000) {
            tunes += 1;
            since = 0;
            text.push_str(&format!(
                "\nX:{tunes}\nT:Tide table {tunes}\nM:4/4\nL:1/8\nK:Bb\nV:1 name=\"Horn in F\" transpose=-7\n"
            ));
        }
        let line = LINES[rng.usize(..LINES.len())];
        text.push_str(line);
        since += line.len();
    }
    text
}

#[divan::bench(args = [10_000, 100_000, 1_000_000])]
fn whole_text_of_many_tunes(bencher: Bencher<'_, '_>, bytes: usize) {
    let text = text(bytes, false);
    bencher
        .counter(BytesCount::of_str(&text))
        .bench(|| Document::from_text(Format::Abc, &text));
}

#[divan::bench]
fn whole_text_of_one_tune(bencher: Bencher<'_, '_>) {
    let text = text(100_000, true);
    bencher
        .counter(BytesCount::of_str(&text))
        .bench(|| Document::from_text(Format::Abc, &text));
}

/// Types a letter and takes it away by turns, about the middle.
fn keystrokes(bencher: Bencher<'_, '_>, text: &str) {
    let mut document = Document::from_text(Format::Abc, text);
    let middle = text.len() / 2;
    let at = text[middle..].find(" | ").map_or(middle, |at| at + middle);
    let mut typed = false;
    bencher.bench_local(|| {
        if typed {
            document.edit(Span::new(at, at + 1), "");
        } else {
            document.edit(Span::new(at, at), "c");
        }
        typed = !typed;
        document.reread();
    });
}

#[divan::bench(args = [10_000, 100_000, 1_000_000])]
fn keystroke_in_many_tunes(bencher: Bencher<'_, '_>, bytes: usize) {
    keystrokes(bencher, &text(bytes, false));
}

#[divan::bench(args = [10_000, 100_000])]
fn keystroke_in_one_tune(bencher: Bencher<'_, '_>, bytes: usize) {
    keystrokes(bencher, &text(bytes, true));
}
