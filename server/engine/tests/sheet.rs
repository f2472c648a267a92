//! Scores in ABC for tests: parts by name, each with its line.

use engine::{Judged, Settings};
use notation::{Document, Format};

/// A score of some parts in common time, so many quarter notes a minute, a note one of them; what is called a horn is one
/// in F.
pub fn sheet(tempo: u32, parts: &[(&str, &str)], settings: Settings) -> Judged {
    let mut text = format!("X:1\nM:4/4\nL:1/4\nQ:1/4={tempo}\nK:none\n");
    for (number, (name, _)) in parts.iter().enumerate() {
        let transpose = if name.contains("Horn") {
            " transpose=-7"
        } else {
            ""
        };
        text.push_str(&format!("V:{number} name=\"{name}\"{transpose}\n"));
    }
    for (number, (_, music)) in parts.iter().enumerate() {
        text.push_str(&format!("[V:{number}] {music} |]\n"));
    }
    Judged::new(Document::from_text(Format::Abc, &text), settings)
}
