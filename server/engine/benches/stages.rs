//! What each stage costs for scores from nothing, as rows of a table: the bare syntax, the score, what the players do and
//! what is to be said. `tests/outside/speed.py` names the files.

use std::error::Error;
use std::hint::black_box;
use std::path::Path;
use std::time::{Duration, Instant};

use engine::{Judged, Settings};
use notation::{Document, Format};
use quick_xml::Reader;
use quick_xml::events::Event;
use tree_sitter::{Language, Parser};

/// Of so many runs the quickest counts.
const RUNS: usize = 9;

fn main() -> Result<(), Box<dyn Error>> {
    for path in std::env::args()
        .skip(1)
        .filter(|word| !word.starts_with("--"))
    {
        let path = Path::new(&path);
        let text = std::fs::read_to_string(path)?;
        let format = Format::of_path(path).ok_or("a score of another notation")?;
        let bare = quickest(|| parse(format, &text));
        let score = quickest(|| Document::from_text(format, &text));
        let document = Document::from_text(format, &text);
        let settings = Settings::default();
        let judged = quickest(|| Judged::new(document.clone(), settings.clone()));
        let milliseconds = |time: Duration| time.as_secs_f64() * 1e3;
        let times = |time: Duration| time.as_secs_f64() / bare.as_secs_f64();
        let row = format!(
            "| {format:?} | {} | {:.1} | {:.1} ({:.2} x) | {:.1} ({:.2} x) |",
            text.len() / 1000,
            milliseconds(bare),
            milliseconds(score),
            times(score),
            milliseconds(judged),
            times(judged),
        );
        #[expect(clippy::print_stdout, reason = "the table is what it is run for")]
        {
            println!("{row}");
        }
    }
    Ok(())
}

/// How long some work takes at its quickest, without letting go of what it made.
fn quickest<T>(work: impl Fn() -> T) -> Duration {
    let time = || {
        let began = Instant::now();
        let made = black_box(work());
        let took = began.elapsed();
        drop(made);
        took
    };
    (0..RUNS).map(|_| time()).min().unwrap_or_default()
}

/// A text's bare syntax, by the library that its reader stands on: how many nodes or events it has.
fn parse(format: Format, text: &str) -> usize {
    let tree = |language: Language| {
        let mut parser = Parser::new();
        let parsed = parser
            .set_language(&language)
            .ok()
            .and_then(|()| parser.parse(text, None));
        parsed.map_or(0, |tree| tree.root_node().descendant_count())
    };
    match format {
        Format::Abc => tree(grammar_abc::LANGUAGE.into()),
        Format::Kern => tree(grammar_kern::LANGUAGE.into()),
        Format::MusicXml => {
            let mut reader = Reader::from_str(text);
            std::iter::from_fn(|| match reader.read_event() {
                Ok(Event::Eof) | Err(_) => None,
                Ok(event) => Some(event),
            })
            .count()
        }
    }
}
