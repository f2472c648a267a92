//! Where a part says that a page ends, in each way of each notation, and how long the rest there is.

use engine::{Judged, Settings};
use notation::{Document, Format};

/// The bars of which `part/page-turn` speaks.
fn turns(format: Format, text: &str) -> Vec<Option<u32>> {
    let judged = Judged::new(Document::from_text(format, text), Settings::default());
    let found = judged.findings().iter();
    let found = found.filter(|found| found.rule == "part/page-turn");
    found.map(|found| found.bar).collect()
}

/// A part at a beat a second.
fn abc(music: &str) -> String {
    format!("X:1\nT:The Gangway\nM:4/4\nL:1/4\nQ:1/4=60\nK:none\nV:1 name=\"Horn in F\"\n{music}\n")
}

#[test]
fn abc_ends_pages_by_directive_and_by_instruction() {
    for page in ["%%newpage", "%%newpage 2", "I:newpage"] {
        let text = abc(&format!("!mf!c d e d |\n{page}\ne c G2 |]"));
        assert_eq!(turns(Format::Abc, &text), [Some(2)], "{page}");
    }
    assert_eq!(
        turns(Format::Abc, &abc("!mf!c d e d |\n%%vskip 2\ne c G2 |]")),
        []
    );
}

#[test]
fn what_goes_on_longest_is_turned_after() {
    // The lower line ends a bar before the page, the upper one with it.
    let held = abc("!mf!e4 & C z3 |\n%%newpage\ne c G2 |]");
    assert_eq!(turns(Format::Abc, &held), [Some(2)]);
    let rested = abc("!mf!e z3 & C z3 |\n%%newpage\ne c G2 |]");
    assert_eq!(turns(Format::Abc, &rested), []);
}

#[test]
fn before_the_music_and_behind_it_there_is_time() {
    let text = abc("%%newpage\n!mf!c d e d |\ne c G2 |]\n%%newpage");
    assert_eq!(turns(Format::Abc, &text), []);
}

#[test]
fn humdrum_ends_pages_in_comments() {
    let text = |before: &str| {
        format!(
            "**kern\n*I\"Horn in F\n*ITrd4c7\n*M4/4\n*MM60\n=1\n4F\n4G\n4A\n4G\n{before}\n=2\n4A\n4F\n2C\n==\n*-\n"
        )
    };
    for page in ["!!LO:PB", "!!LO:PB:g=original", "!LO:PB"] {
        assert_eq!(turns(Format::Kern, &text(page)), [Some(2)], "{page}");
    }
    for other in ["!!LO:LB:g=original", "!!LO:PBS", "!! LO:PB"] {
        assert_eq!(turns(Format::Kern, &text(other)), [], "{other}");
    }
}

#[test]
fn musicxml_ends_pages_where_it_prints() {
    let text = |print: &str| {
        let notes = |steps: &str| -> String {
            let note = |step: char| {
                format!(
                    "<note><pitch><step>{step}</step><octave>4</octave></pitch><duration>1</duration></note>"
                )
            };
            steps.chars().map(note).collect()
        };
        format!(
            "<score-partwise version=\"4.0\"><part-list><score-part id=\"P1\"><part-name>Horn in F</part-name></score-part>\
             </part-list><part id=\"P1\"><measure number=\"1\"><attributes><divisions>1</divisions><time><beats>4</beats>\
             <beat-type>4</beat-type></time></attributes><sound tempo=\"60\"/>{}</measure><measure number=\"2\">{print}{}\
             </measure></part></score-partwise>",
            notes("GAGA"),
            notes("GAGG")
        )
    };
    for (print, wanted) in [
        ("<print new-page=\"yes\"/>", vec![Some(2)]),
        ("<print new-system=\"yes\" new-page=\"no\"/>", vec![]),
        ("<print new-system=\"yes\"/>", vec![]),
    ] {
        assert_eq!(turns(Format::MusicXml, &text(print)), wanted, "{print}");
    }
}
