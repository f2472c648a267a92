//! A fix that cannot be made is told once, and fixing goes on to its end.

use engine::{Judged, Settings, Which};
use notation::{Document, Format};

/// Two horns of which the second has no music yet, so that nothing can be written before it.
const TEXT: &str = "<score-partwise version=\"4.0\"><part-list>\
<score-part id=\"P1\"><part-name>Horn 1 in F</part-name></score-part>\
<score-part id=\"P2\"><part-name>Horn 2 in F</part-name></score-part></part-list>\
<part id=\"P1\"><measure number=\"1\"><attributes><divisions>1</divisions></attributes>\
<note><pitch><step>C</step><octave>5</octave></pitch><duration>4</duration></note></measure></part>\
<part id=\"P2\"></part></score-partwise>";

#[test]
fn what_cannot_be_fixed_is_told_once_and_the_rest_is_fixed() {
    let document = Document::from_text(Format::MusicXml, TEXT);
    let judged = Judged::new(document, Settings::default());
    for which in [Which::Safe, Which::Review] {
        let once = judged.fix_all(which);
        assert!(once.settled, "{:?}", once.refused);
        assert_eq!(once.applied.len(), 1, "{:?}", once.applied);
        assert_eq!(once.applied[0].part.as_deref(), Some("Horn 1 in F"));
        assert_eq!(once.refused.len(), 1, "{:?}", once.refused);
        assert_eq!(once.refused[0].0.part.as_deref(), Some("Horn 2 in F"));
        let twice = once.judged.fix_all(which);
        assert!(twice.applied.is_empty(), "{:?}", twice.applied);
        assert_eq!(twice.refused, once.refused);
    }
}

/// "Horn 17" is read as the first and the seventh, and "Horn 90" as nobody: neither is offered, and fixing ends.
#[test]
fn many_horns_are_numbered_and_fixing_comes_to_rest() {
    for (count, applied) in [(3, 3), (22, 16)] {
        let head: String = (1..=count)
            .map(|voice| format!("V:{voice} name=\"Horn in F\" transpose=-7\n"))
            .collect();
        let music: String = (1..=count)
            .map(|voice| format!("[V:{voice}] c4 |]\n"))
            .collect();
        let text = format!("X:1\nM:4/4\nL:1/4\nK:none\n{head}{music}");
        let document = Document::from_text(Format::Abc, &text);
        let once = Judged::new(document, Settings::default()).fix_all(Which::Safe);
        assert!(
            once.settled && once.refused.is_empty(),
            "{:?}",
            once.refused
        );
        assert_eq!(once.applied.len(), applied);
        assert!(once.judged.fix_all(Which::Safe).applied.is_empty());
    }
}
