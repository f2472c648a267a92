//! Real scores damaged at random, and everything asked of each: nothing panics, every finding stands in the text, every
//! fix is proven or refused, and what an edit leaves is what reading anew finds.
//!
//! `BELLHAND_FORCE=20000 cargo test --release -p bellhand-tests --test force -- --nocapture` goes on for longer, from
//! `BELLHAND_FORCE_FROM` on where that is set.
#![expect(
    clippy::unwrap_used,
    clippy::print_stdout,
    reason = "a test fails loudly, and shows what it counted"
)]

use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::Mutex;
use std::sync::atomic::{AtomicU64, Ordering};
use std::time::Instant;

use engine::{Judged, Settings};
use fastrand::Rng;
use notation::{Document, Format, TextEdit};
use reading::ToTheEnd;
use score::{Score, Span};
use support::damage::{damaged, words};
use support::excerpt::{Source, excerpt, sources};
use support::{Done, ask_everything};

/// How many are tried where nothing else is said.
const USUAL: u64 = 300;

fn from_environment(name: &str, usual: u64) -> u64 {
    std::env::var(name).map_or(usual, |said| said.parse().unwrap())
}

/// Tries `one` with many seeds, and gives back the sums of what it counts; a seed that fails is told with its reason.
fn with_seeds<T: Default + Send>(
    one: impl Fn(u64) -> T + Sync,
    add: impl Fn(&mut T, T) + Sync,
) -> (u64, T) {
    let from = from_environment("BELLHAND_FORCE_FROM", 0);
    let many = from_environment("BELLHAND_FORCE", USUAL);
    let next = AtomicU64::new(from);
    let sums = Mutex::new(T::default());
    let failed = Mutex::new(Vec::new());
    let slowest = Mutex::new((std::time::Duration::ZERO, 0));
    let workers = std::thread::available_parallelism().map_or(1, usize::from);
    std::thread::scope(|scope| {
        for _ in 0..workers {
            scope.spawn(|| {
                loop {
                    let seed = next.fetch_add(1, Ordering::Relaxed);
                    if seed >= from + many {
                        break;
                    }
                    let began = Instant::now();
                    match catch_unwind(AssertUnwindSafe(|| one(seed))) {
                        Ok(counted) => add(&mut sums.lock().unwrap(), counted),
                        Err(_) => failed.lock().unwrap().push(seed),
                    }
                    let mut slowest = slowest.lock().unwrap();
                    *slowest = (*slowest).max((began.elapsed(), seed));
                }
            });
        }
    });
    let mut failed = failed.into_inner().unwrap();
    failed.sort_unstable();
    println!(
        "{many} seeds from {from}, slowest {:?}",
        slowest.into_inner().unwrap()
    );
    assert!(failed.is_empty(), "seeds that fail: {failed:?}");
    (many, sums.into_inner().unwrap())
}

/// The score that a seed stands for; all notations come equally often.
fn chosen<'s>(sources: &'s [Source], seed: u64, rng: &mut Rng) -> &'s Source {
    let format = Format::ALL[seed as usize % Format::ALL.len()];
    let of_format: Vec<&Source> = sources
        .iter()
        .filter(|source| source.format == format)
        .collect();
    of_format[rng.usize(..of_format.len())]
}

/// What was counted over many damaged scores.
#[derive(Default)]
struct Counted {
    read: usize,
    no_text: usize,
    done: Done,
}

#[test]
fn whatever_is_damaged_is_answered() {
    let sources = sources();
    let one = |seed| {
        let mut rng = Rng::with_seed(seed);
        let source = chosen(&sources, seed, &mut rng);
        let text = excerpt(source, &mut rng);
        let bytes = damaged(&text, source.format, &mut rng);
        if let Ok(folder) = std::env::var("BELLHAND_FORCE_KEEP") {
            let name = format!("{folder}/{seed}.{}", source.format.extensions()[0]);
            std::fs::write(name, &bytes).unwrap();
        }
        match Document::from_bytes(source.format, &bytes) {
            Ok(document) => Counted {
                read: 1,
                no_text: 0,
                done: ask_everything(&document, &bytes),
            },
            Err(error) => {
                assert!(error.to_string().contains("expected"), "{error}");
                Counted {
                    no_text: 1,
                    ..Counted::default()
                }
            }
        }
    };
    let (many, counted) = with_seeds(one, |sum, more| {
        sum.read += more.read;
        sum.no_text += more.no_text;
        sum.done += more.done;
    });
    let Counted {
        read,
        no_text,
        done,
    } = counted;
    println!("{read} read, {no_text} are no text; {done:?}");
    assert_eq!((read + no_text) as u64, many);
    // Where fixing does not come to rest nothing is written; there are two runs for each score.
    assert!(done.restless <= 1 + read / 20, "{done:?}");
    if many >= USUAL {
        assert!(read > 200 && no_text > 0, "{read} read, {no_text} not");
        assert!(
            done.findings > 1_000 && done.notes > 1_000 && done.drawn > 100,
            "{done:?}"
        );
        assert!(
            done.proven > 50 && done.applied > 50 && done.rewritten > 20,
            "{done:?}"
        );
    }
}

fn assert_same(kept: &Score, fresh: &Score, told: &str) {
    assert_eq!(kept.directives, fresh.directives, "{told}");
    assert_eq!(kept.unreadable, fresh.unreadable, "{told}");
    assert_eq!(kept.pieces.len(), fresh.pieces.len(), "{told}");
    for (kept, fresh) in kept.pieces.iter().zip(&fresh.pieces) {
        assert_eq!(kept.base, fresh.base, "{told}");
        assert!(kept.piece == fresh.piece, "{told}");
    }
}

/// Edits of one real score, one after the other.
const EDITS: usize = 20;

#[test]
fn an_edited_score_reads_as_a_new_one() {
    let sources = sources();
    let one = |seed| {
        let mut rng = Rng::with_seed(seed);
        let source = chosen(&sources, seed, &mut rng);
        let mut document = Document::from_text(source.format, &excerpt(source, &mut rng));
        let mut told = format!("{}, seed {seed}:", source.path.display());
        for _ in 0..EDITS {
            let start = rng.usize(..=document.rope().len_bytes());
            let longest = if rng.u8(..16) == 0 { 300 } else { 6 };
            let span = Span::new(start, start + rng.usize(..=longest));
            let words = words(source.format);
            let typed = if rng.u8(..3) == 0 {
                ""
            } else {
                words[rng.usize(..words.len())]
            };
            told.push_str(&format!(" {span:?} {typed:?}"));
            document.edit(span, typed);
            // Several edits may come before the text is read again.
            if rng.u8(..4) == 0 {
                continue;
            }
            document.reread();
            let fresh = Document::from_text(source.format, &document.text());
            assert_same(document.score(), fresh.score(), &told);
        }
        EDITS
    };
    let (many, edits) = with_seeds(one, |sum, more| *sum += more);
    println!("{edits} edits");
    assert_eq!(edits as u64, many * EDITS as u64);
}

/// Edits of one real score that are judged one after the other.
const JUDGED: usize = 6;

/// What was counted over scores that were edited and judged.
#[derive(Default)]
struct Kept {
    texts: usize,
    findings: usize,
    /// Horn parts, and those of them that were known from the text before.
    horns: usize,
    known: usize,
}

#[test]
fn an_edited_score_is_judged_as_a_new_one() {
    let sources = sources();
    let one = |seed| {
        let mut rng = Rng::with_seed(seed);
        let source = chosen(&sources, seed, &mut rng);
        let text = excerpt(source, &mut rng);
        let mut judged = Judged::new(
            Document::from_text(source.format, &text),
            Settings::default(),
        );
        let mut told = format!("{}, seed {seed}:", source.path.display());
        let mut kept = Kept::default();
        for _ in 0..JUDGED {
            let rope = judged.document().rope();
            let at = rng.usize(..=rope.len_chars());
            let to = (at + rng.usize(..3)).min(rope.len_chars());
            let span = Span::new(rope.char_to_byte(at), rope.char_to_byte(to));
            let words = words(source.format);
            let text = match rng.u8(..3) {
                0 => String::new(),
                1 => " ".to_owned(),
                _ => words[rng.usize(..words.len())].to_owned(),
            };
            told.push_str(&format!(" {span:?} {text:?}"));
            let next = judged.edited(&[TextEdit { span, text }]).unwrap();
            let again = Document::from_text(source.format, &next.document().text());
            let fresh = Judged::new(again, Settings::default());
            assert_eq!(next.findings(), fresh.findings(), "{told}");
            assert!(next.pieces().eq(fresh.pieces()), "{told}");
            kept.texts += 1;
            kept.findings += fresh.findings().len();
            let (horns, known) = known_horns(&judged, &next);
            kept.horns += horns;
            kept.known += known;
            judged = next;
        }
        kept
    };
    let (_, kept) = with_seeds(one, |sum, more| {
        sum.texts += more.texts;
        sum.findings += more.findings;
        sum.horns += more.horns;
        sum.known += more.known;
    });
    println!(
        "{} texts, {} findings; {} of {} horn parts known from the text before",
        kept.texts, kept.findings, kept.known, kept.horns
    );
    assert!(kept.findings > kept.texts);
    assert!(2 * kept.known > kept.horns);
}

/// How many horn parts a text has, and how many of them are known from the text before.
fn known_horns(before: &Judged, after: &Judged) -> (usize, usize) {
    let settings = Settings::default();
    let style = |part: &str| settings.house_of(part).style();
    let file = &after.document().score().directives;
    let pairs = before.pieces().zip(after.pieces());
    let known = pairs.map(|((_, before), (_, after))| {
        let (piece, casting) = (&after.piece, &settings.casting);
        let Ok((_, known)) = reading::read(piece, Some(before), file, casting, &style, &ToTheEnd);
        let horns = after.horns.len();
        let from_before = (0..horns).filter(|horn| known.horn(*horn).is_some());
        (horns, from_before.count())
    });
    known.fold((0, 0), |(all, known), (horns, of_them)| {
        (all + horns, known + of_them)
    })
}
