//! Places as the client counts them, to bytes and back; nothing a client sends is out of range.

use ropey::Rope;
use score::Span;
use tower_lsp::lsp_types::{Position, PositionEncodingKind, Range};

/// How the client counts within a line.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(super) enum Encoding {
    /// In bytes of UTF-8.
    Utf8,
    /// In units of UTF-16, which every client can.
    #[default]
    Utf16,
}

impl Encoding {
    /// The best of what the client offers: bytes need no counting.
    pub(super) fn negotiate(offered: Option<&[PositionEncodingKind]>) -> Self {
        if offered.is_some_and(|offered| offered.contains(&PositionEncodingKind::UTF8)) {
            Self::Utf8
        } else {
            Self::Utf16
        }
    }

    pub(super) fn kind(self) -> PositionEncodingKind {
        match self {
            Self::Utf8 => PositionEncodingKind::UTF8,
            Self::Utf16 => PositionEncodingKind::UTF16,
        }
    }

    /// The byte of a position; beyond a line or the text it is held to the end.
    pub(super) fn byte(self, rope: &Rope, position: Position) -> usize {
        let line = position.line as usize;
        if line >= rope.len_lines() {
            return rope.len_bytes();
        }
        let start = rope.line_to_char(line);
        let end = line_end(rope, line);
        let column = position.character as usize;
        let char = match self {
            Self::Utf8 => {
                let byte = (rope.char_to_byte(start) + column).min(rope.char_to_byte(end));
                rope.byte_to_char(byte)
            }
            Self::Utf16 => {
                let unit = (rope.char_to_utf16_cu(start) + column).min(rope.char_to_utf16_cu(end));
                rope.utf16_cu_to_char(unit)
            }
        };
        rope.char_to_byte(char.min(end))
    }

    /// The span of a range; ends in the wrong order are put right.
    pub(super) fn span(self, rope: &Rope, range: Range) -> Span {
        let (one, other) = (self.byte(rope, range.start), self.byte(rope, range.end));
        Span::new(one.min(other), one.max(other))
    }

    /// The position of a byte.
    pub(super) fn position(self, rope: &Rope, byte: usize) -> Position {
        let char = rope.byte_to_char(byte.min(rope.len_bytes()));
        let line = rope.char_to_line(char);
        let start = rope.line_to_char(line);
        let column = match self {
            Self::Utf8 => rope.char_to_byte(char) - rope.char_to_byte(start),
            Self::Utf16 => rope.char_to_utf16_cu(char) - rope.char_to_utf16_cu(start),
        };
        Position::new(count(line), count(column))
    }

    /// A walk along a text, for many positions in their order.
    pub(super) fn walk(self, text: &str) -> Walk<'_> {
        Walk {
            encoding: self,
            text,
            byte: 0,
            position: Position::new(0, 0),
        }
    }

    /// The range of a span.
    pub(super) fn range(self, rope: &Rope, span: Span) -> Range {
        Range::new(
            self.position(rope, span.start),
            self.position(rope, span.end),
        )
    }
}

/// A walk along a text: each position costs only the way from the one before.
#[derive(Debug)]
pub(super) struct Walk<'a> {
    encoding: Encoding,
    text: &'a str,
    byte: usize,
    position: Position,
}

impl Walk<'_> {
    /// The position of a byte that does not lie before the last one asked for.
    pub(super) fn position(&mut self, byte: usize) -> Position {
        let way = self.text.get(self.byte..byte).unwrap_or_default();
        let at = &mut self.position;
        for (offset, char) in way.char_indices() {
            // The two halves of a line end are one.
            let ends_line = match char {
                '\n' => true,
                '\r' => self.text.as_bytes().get(self.byte + offset + 1) != Some(&b'\n'),
                _ => false,
            };
            if ends_line {
                *at = Position::new(at.line + 1, 0);
            } else {
                at.character += match self.encoding {
                    Encoding::Utf8 => count(char.len_utf8()),
                    Encoding::Utf16 => count(char.len_utf16()),
                };
            }
        }
        self.byte += way.len();
        *at
    }
}

/// The character at which a line's words end, before its line end.
fn line_end(rope: &Rope, line: usize) -> usize {
    let mut end = rope.line_to_char((line + 1).min(rope.len_lines()));
    let start = rope.line_to_char(line);
    while end > start && matches!(rope.char(end - 1), '\n' | '\r') {
        end -= 1;
    }
    end
}

fn count(number: usize) -> u32 {
    u32::try_from(number).unwrap_or(u32::MAX)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn both_ways_in_both_encodings() {
        let rope = Rope::from_str("T:Fähre 🎺 x\r\nc\rd\ne");
        for encoding in [Encoding::Utf8, Encoding::Utf16] {
            for (byte, _) in rope.to_string().char_indices() {
                // Between the two halves of a line end there is no place of its own.
                if rope.byte(byte) == b'\n' && byte > 0 && rope.byte(byte - 1) == b'\r' {
                    continue;
                }
                let position = encoding.position(&rope, byte);
                assert_eq!(
                    encoding.byte(&rope, position),
                    byte,
                    "{encoding:?} {position:?}"
                );
            }
        }
        let after_trumpet = rope.to_string().find(" x").unwrap();
        assert_eq!(
            Encoding::Utf16.position(&rope, after_trumpet),
            Position::new(0, 10)
        );
        assert_eq!(
            Encoding::Utf8.position(&rope, after_trumpet),
            Position::new(0, 13)
        );
        // A lone carriage return ends a line too.
        assert_eq!(
            Encoding::Utf16.position(&rope, rope.len_bytes()),
            Position::new(3, 1)
        );
    }

    #[test]
    fn a_walk_comes_to_the_same_places() {
        let text = "T:F\u{e4}hre \u{1f3ba} x\r\n\r\nc\r\rd\n\ne\r";
        let rope = Rope::from_str(text);
        for encoding in [Encoding::Utf8, Encoding::Utf16] {
            let mut walk = encoding.walk(text);
            for byte in (0..=text.len()).filter(|byte| text.is_char_boundary(*byte)) {
                assert_eq!(
                    walk.position(byte),
                    encoding.position(&rope, byte),
                    "{encoding:?} {byte}"
                );
            }
        }
    }

    #[test]
    fn nothing_is_out_of_range() {
        let rope = Rope::from_str("ab\ncd");
        let far = Position::new(u32::MAX, u32::MAX);
        let long = Position::new(0, u32::MAX);
        for encoding in [Encoding::Utf8, Encoding::Utf16] {
            assert_eq!(encoding.byte(&rope, far), 5);
            assert_eq!(encoding.byte(&rope, long), 2);
            assert_eq!(encoding.span(&rope, Range::new(far, long)), Span::new(2, 5));
        }
        let wide = Rope::from_str("🎺");
        assert_eq!(Encoding::Utf16.byte(&wide, Position::new(0, 1)), 0);
        assert_eq!(Encoding::Utf8.byte(&wide, Position::new(0, 2)), 0);
    }
}
