//! `**dynam` cells: levels and hairpins.

use score::MarkKind;
use score::Span;

/// The marks of a cell, each with its place in the cell.
pub(super) fn marks(cell: &str) -> Vec<(Span, MarkKind)> {
    let mut marks = Vec::new();
    let mut start = 0;
    while let Some(first) = cell[start..].chars().next() {
        let same: fn(char) -> bool = match first {
            'p' | 'f' | 'm' | 's' | 'z' | 'r' => |sign| "pfmszr".contains(sign),
            _ => |_| false,
        };
        let rest = &cell[start..];
        let length = first.len_utf8()
            + rest[first.len_utf8()..]
                .find(|sign| !same(sign))
                .unwrap_or(rest.len() - first.len_utf8());
        let end = start + length;
        let word = &cell[start..end];
        let kind = match first {
            // `y` hides what it follows.
            _ if cell[end..].starts_with('y') => None,
            '<' => Some(MarkKind::HairpinStart(true)),
            '>' => Some(MarkKind::HairpinStart(false)),
            '[' | ']' => Some(MarkKind::HairpinEnd),
            // Letters of a longer word (`espr.`, `dolce`) are no level.
            _ if stands_alone(cell, start, end) && word.contains(['p', 'f']) && word.len() <= 5 => {
                Some(MarkKind::Dynamic(word.to_owned()))
            }
            _ => None,
        };
        marks.extend(kind.map(|kind| (Span::new(start, end), kind)));
        start = end;
    }
    // A hairpin that ends twice over ends once.
    marks.dedup_by(|later, earlier| {
        later.1 == MarkKind::HairpinEnd && earlier.1 == MarkKind::HairpinEnd
    });
    marks
}

/// Whether no letters touch a stretch of a cell on either side.
fn stands_alone(cell: &str, start: usize, end: usize) -> bool {
    let letter = |sign: Option<char>| sign.is_some_and(char::is_alphabetic);
    let hidden = cell[end..].starts_with('y');
    !letter(cell[..start].chars().next_back()) && (hidden || !letter(cell[end..].chars().next()))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn levels_and_hairpins() {
        let kinds =
            |cell| -> Vec<MarkKind> { marks(cell).into_iter().map(|(_, kind)| kind).collect() };
        assert_eq!(
            kinds("sf > ]]"),
            [
                MarkKind::Dynamic("sf".into()),
                MarkKind::HairpinStart(false),
                MarkKind::HairpinEnd
            ]
        );
        assert_eq!(
            kinds("[ ff"),
            [MarkKind::HairpinEnd, MarkKind::Dynamic("ff".into())]
        );
        assert_eq!(kinds("fy"), []);
        assert_eq!(kinds("pp dolce"), [MarkKind::Dynamic("pp".into())]);
        assert_eq!(kinds("f sempre espr."), [MarkKind::Dynamic("f".into())]);
        assert_eq!(kinds("2CC\\_yy"), []);
        assert_eq!(marks("p <")[1].0, Span::new(2, 3));
    }
}
