//! What judging costs: all rules over a part that has not been seen before, beside reading it.

use divan::Bencher;
use engine::{Judged, Settings};
use notation::{Document, Format};

fn main() {
    divan::main();
}

/// A part of about so many bytes.
fn part(bytes: usize) -> String {
    let mut text = String::from(
        "X:1\nT:Tide table\nM:4/4\nL:1/8\nK:none\nV:1 name=\"Horn 1 in F\" transpose=-7\n",
    );
    while text.len() < bytes {
        text.push_str(
            "\"^stopped\" c2 d2 e>f g2 | (3abc d2 !+!e2 z2 | \"^open\" G2 A2 _B2- B2 | z8 |\n",
        );
    }
    text
}

#[divan::bench(args = [10_000, 100_000], sample_count = 30)]
fn reading(bencher: Bencher<'_, '_>, bytes: usize) {
    let text = part(bytes);
    bencher.bench(|| Document::from_text(Format::Abc, divan::black_box(&text)));
}

#[divan::bench(args = [10_000, 100_000], sample_count = 30)]
fn judging(bencher: Bencher<'_, '_>, bytes: usize) {
    let document = Document::from_text(Format::Abc, &part(bytes));
    let settings = Settings::default();
    bencher.bench(|| Judged::new(divan::black_box(&document).clone(), settings.clone()));
}
