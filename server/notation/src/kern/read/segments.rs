//! Cutting a file that holds several pieces one after the other.

use score::Span;

use super::super::grid::{RecordKind, kind, lines};

/// The pieces of a text; each begins where the one before has ended all its spines, or at its `!!!!SEGMENT` record.
pub(super) fn cut(text: &str) -> Vec<Span> {
    let mut starts = Vec::new();
    let mut from = 0;
    let mut running = false;
    // Where the next piece would begin, once all spines have ended.
    let mut next = None;
    let mut after_end = false;
    for (start, line) in lines(text) {
        if std::mem::take(&mut after_end) {
            next = Some(start);
        }
        match kind(line) {
            RecordKind::Exclusive if !running => {
                from = next.take().unwrap_or(from);
                starts.push(from);
                running = true;
            }
            RecordKind::Interpretation if running && line.split('\t').all(|cell| cell == "*-") => {
                running = false;
                after_end = true;
            }
            RecordKind::Reference if !running && line.starts_with("!!!!SEGMENT") => {
                next = Some(start);
            }
            _ => {}
        }
    }
    starts
        .iter()
        .enumerate()
        .map(|(index, &start)| {
            let end = starts.get(index + 1).copied().unwrap_or(text.len());
            Span::new(start, end)
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn pieces_are_cut_at_their_segments() {
        let one = "!!!OTL: Pier\n**kern\n4c\n*-\n!!!ENC: us\n";
        let two = "!!!!SEGMENT: two\n**kern\n4d\n*-\n";
        let text = [one, two].concat();
        let spans = cut(&text);
        assert_eq!(
            spans,
            [Span::new(0, one.len()), Span::new(one.len(), text.len())]
        );
        assert_eq!(cut("!! nothing\n"), []);
        let bare = "**kern\n4c\n*-\n**kern\n4d\n*-\n";
        assert_eq!(cut(bare)[1].start, 13);
    }
}
