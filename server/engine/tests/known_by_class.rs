//! Horns that only a sign for programs makes known, and names that such a sign decides about.

use engine::{Judged, Settings};
use horn::Crook;
use notation::{Document, Format};
use reading::HornSaid;

fn analyse(format: Format, text: &str) -> Judged {
    let document = Document::from_text(format, text);
    Judged::new(document, Settings::default())
}

fn kern(cells: &str) -> Judged {
    analyse(
        Format::Kern,
        &format!("**kern\n{cells}\n*clefG2\n=1\n4d\n4e\n*-\n"),
    )
}

fn xml(name: &str, sound: &str) -> Judged {
    analyse(
        Format::MusicXml,
        &format!(
            "<score-partwise><part-list><score-part id=\"P1\"><part-name>{name}</part-name>\
             <score-instrument id=\"I1\"><instrument-name>x</instrument-name><instrument-sound>{sound}</instrument-sound>\
             </score-instrument></score-part></part-list><part id=\"P1\"><measure number=\"1\"><attributes>\
             <divisions>1</divisions></attributes><note><pitch><step>E</step><octave>4</octave></pitch>\
             <duration>4</duration></note></measure></part></score-partwise>"
        ),
    )
}

#[test]
fn a_horn_by_its_code_has_crook_and_number_from_its_name() {
    for (name, crook, players) in [
        ("in D", Crook::D, vec![]),
        ("I", Crook::F, vec![1]),
        ("Primo in F", Crook::F, vec![1]),
    ] {
        for analysis in [
            kern(&format!("*Icor\n*I\"{name}")),
            xml(name, "brass.french-horn"),
            xml(name, "brass.natural-horn"),
        ] {
            let (_, reading) = analysis.pieces().next().unwrap();
            let [horn] = reading.horns.as_slice() else {
                panic!("{name}: {} horns", reading.horns.len())
            };
            assert_eq!(horn.seat.said, HornSaid::Class, "{name}");
            assert_eq!(horn.crook.crook, Some(crook), "{name}");
            assert_eq!(horn.seat.name.players, players, "{name}");
        }
    }
}

#[test]
fn a_code_decides_what_a_name_leaves_open() {
    let horns = |analysis: &Judged| analysis.pieces().next().unwrap().1.horns.len();
    assert_eq!(horns(&kern("*Itromp\n*I\"TROMPA I")), 0);
    assert_eq!(horns(&xml("TROMPA I", "brass.trumpet")), 0);
    assert_eq!(horns(&kern("*I\"TROMPA I")), 1);
    assert_eq!(horns(&kern("*Icor\n*I\"TROMPA I")), 1);
    // What the name says plainly stands, and `*Iempty` says nothing.
    assert_eq!(horns(&kern("*Icor\n*I\"Corno inglese")), 0);
    assert_eq!(horns(&kern("*Itromp\n*I\"Corno I in D")), 1);
    assert_eq!(horns(&kern("*Iempty\n*I\"TROMPA I")), 1);
    assert_eq!(horns(&xml("Staff", "wind.reed.english-horn")), 0);
    assert_eq!(horns(&xml("Staff", "brass.vienna-horn")), 1);
}
