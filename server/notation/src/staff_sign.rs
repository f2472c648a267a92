//! Clefs and metres as they stand in a text, in every notation.

use ropey::Rope;
use score::{Clef, EventKind, Part, Score, Span};
use theory::Meter;

/// A sign at the start of a staff, or within it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum StaffSign {
    /// A clef.
    Clef(Clef),
    /// A metre; `None` is free time.
    Meter(Option<Meter>),
}

/// The sign in the cell of a Humdrum text that holds a byte, and where the cell stands.
pub(crate) fn in_cell(rope: &Rope, byte: usize) -> Option<(Span, StaffSign)> {
    let line = rope.byte_to_line(byte);
    let start = rope.line_to_byte(line);
    let words = rope.line(line).to_string();
    let (before, behind) = words.split_at_checked(byte - start)?;
    let from = before.rfind('\t').map_or(0, |tab| tab + 1);
    let to = before.len() + behind.find(['\t', '\r', '\n']).unwrap_or(behind.len());
    let sign = crate::kern::staff_sign(words.get(from..to)?)?;
    Some((Span::new(start + from, start + to), sign))
}

/// The sign among the events of a score at a byte, and where it stands.
pub(crate) fn in_score(score: &Score, byte: usize) -> Option<(Span, StaffSign)> {
    score.pieces.iter().find_map(|placed| {
        let events = placed.piece.parts.iter().flat_map(Part::events);
        events
            .filter(|event| event.span().shifted(placed.base).range().contains(&byte))
            .find_map(|event| {
                let sign = match event.event.kind {
                    EventKind::Clef(clef) => StaffSign::Clef(clef),
                    EventKind::Meter(meter) => StaffSign::Meter(meter),
                    _ => return None,
                };
                Some((event.span().shifted(placed.base), sign))
            })
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{Document, Format};
    use score::ClefKind;

    fn found(format: Format, text: &str, words: &str, ahead: usize) -> Option<(String, StaffSign)> {
        let document = Document::from_text(format, text);
        let byte = text.find(words).unwrap() + ahead;
        let (span, sign) = document.staff_sign_at(byte)?;
        Some((text[span.range()].to_owned(), sign))
    }

    fn clef(kind: ClefKind) -> StaffSign {
        StaffSign::Clef(Clef { kind, octaves: 0 })
    }

    fn meter(beats: u32, unit: u32) -> StaffSign {
        StaffSign::Meter(Some(Meter { beats, unit }))
    }

    const TUNE: &str = "X:1\nM:3/4\nL:1/4\nK:none clef=alto\nV:1 name=\"Horn\" clef=bass\nV:2 tenor\nV:1\nC3 | [M:C|] [K:clef=treble] c4 |]\n";
    const SPINES: &str =
        "**kern\t**kern\n*clefF4\t*clefG2\n*M6/8\t*M6/8\n4.C\t4.c\n*MX\t*MX\n4C\t4c\n*-\t*-\n";

    #[test]
    fn signs_are_found_where_they_stand() {
        let abc = |words, ahead| found(Format::Abc, TUNE, words, ahead);
        let kern = |words, ahead| found(Format::Kern, SPINES, words, ahead);
        let some = |words: &str, sign| Some((words.to_owned(), sign));
        for ahead in 0..5 {
            assert_eq!(abc("M:3/4", ahead), some("M:3/4", meter(3, 4)), "{ahead}");
        }
        assert_eq!(abc("[M:C|]", 3), some("M:C|", meter(2, 2)));
        assert_eq!(abc("clef=alto", 0), some("clef=alto", clef(ClefKind::Alto)));
        assert_eq!(abc("clef=bass", 8), some("clef=bass", clef(ClefKind::Bass)));
        assert_eq!(abc("tenor", 2), some("tenor", clef(ClefKind::Tenor)));
        assert_eq!(
            abc("clef=treble", 6),
            some("clef=treble", clef(ClefKind::Treble))
        );
        for words in ["X:1", "L:1/4", "name=", "C3 |", "K:none"] {
            assert_eq!(abc(words, 0), None, "{words}");
        }
        assert_eq!(kern("*clefF4", 0), some("*clefF4", clef(ClefKind::Bass)));
        assert_eq!(kern("*clefG2", 6), some("*clefG2", clef(ClefKind::Treble)));
        assert_eq!(kern("*M6/8\t", 4), some("*M6/8", meter(6, 8)));
        assert_eq!(kern("\t*MX", 1), some("*MX", StaffSign::Meter(None)));
        for words in ["**kern", "4.c", "*-"] {
            assert_eq!(kern(words, 0), None, "{words}");
        }
        let text = "<score-partwise version=\"4.0\"><part-list><score-part id=\"P1\"><part-name>Horn in F</part-name></score-part></part-list><part id=\"P1\"><measure number=\"1\"><attributes><divisions>1</divisions><time><beats>3</beats><beat-type>4</beat-type></time><clef><sign>F</sign><line>4</line></clef></attributes><note><pitch><step>C</step><octave>3</octave></pitch><duration>3</duration></note></measure></part></score-partwise>";
        let xml = |words| found(Format::MusicXml, text, words, 0);
        let (words, sign) = xml("<beats>").unwrap();
        assert!(words.starts_with("<time>"), "{words}");
        assert_eq!(sign, meter(3, 4));
        assert_eq!(xml("<sign>").unwrap().1, clef(ClefKind::Bass));
        assert_eq!(xml("<pitch>"), None);
        assert_eq!(xml("<divisions>"), None);
    }
}
