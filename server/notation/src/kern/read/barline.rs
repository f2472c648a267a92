//! Barlines: their numbers, and what they open and close.

use score::{Barline, Span};

/// The number that a barline's line tells.
pub(super) fn number(line: &str) -> Option<u32> {
    line.split('\t').find_map(|cell| {
        let digits = cell.trim_start_matches('=');
        let end = digits
            .find(|sign: char| !sign.is_ascii_digit())
            .unwrap_or(digits.len());
        digits[..end].parse().ok()
    })
}

/// What a barline's cell says.
pub(super) fn read(span: Span, cell: &str) -> Barline {
    let has = |signs: [&str; 3]| signs.iter().any(|sign| cell.contains(sign));
    Barline {
        span,
        repeat_end: has([":|", ":!", ":="]),
        repeat_start: has(["|:", "!:", "=:"]),
        section_end: cell.starts_with("==") || cell.contains("||") || has(["|!", "!|", "!!"]),
        times: None,
        repeat_from: false,
        ending_end: false,
        ending: None,
    }
}
