//! What a file says of the instrument a part is for is kept, each with its place and, in mid-part, its moment.

#![expect(clippy::unwrap_used, reason = "a test fails loudly")]

use notation::{Document, Format};
use score::{Class, EventKind, Part, WitnessKind};

const KERN: &str = "**kern\n*Icor\n*I\"Cornu Primo\\nin D\n*I'cor 1\n*clefG2\n=1\n4d\n4e\n=2\n*I\"in F\n*I'cor 1 in F\n4f\n*-\n";
const ABC: &str = "X:1\nL:1/4\nK:none\nV:1 name=\"Horn in F\" subname=\"Hn.\"\ne f |[V:1 name=\"Horn in D\" snm=\"Hn. D\"] g a |]\n";
const XML: &str = r#"<score-partwise><part-list><score-part id="P1"><part-name>Horn 3</part-name>
<part-name-display><display-text>Horn in E</display-text><accidental-text>flat</accidental-text></part-name-display>
<part-abbreviation>Hn. in C 3</part-abbreviation>
<score-instrument id="I1"><instrument-name>Horn in C</instrument-name><instrument-sound>brass.french-horn</instrument-sound></score-instrument>
</score-part></part-list><part id="P1"><measure number="1"><attributes><divisions>1</divisions></attributes>
<note><pitch><step>C</step><octave>5</octave></pitch><duration>4</duration></note></measure>
<measure number="2"><print><part-name-display><display-text>Horn in D</display-text></part-name-display></print>
<sound><instrument-change id="I1"><instrument-sound>wind.reed.english-horn</instrument-sound></instrument-change></sound>
<note><pitch><step>C</step><octave>5</octave></pitch><duration>4</duration></note></measure></part></score-partwise>"#;

fn part(format: Format, text: &str) -> Part {
    let document = Document::from_text(format, text);
    let score = document.score();
    assert!(score.unreadable.is_empty());
    score.pieces[0].piece.parts[0].clone()
}

/// What is said at the start, each with whether its place holds its words.
fn at_start(part: &Part, text: &str) -> Vec<(WitnessKind, String)> {
    part.witnesses
        .iter()
        .map(|witness| {
            let first = witness.text.text.split([' ', '♭']).next().unwrap();
            assert!(
                text[witness.text.span.range()].contains(first),
                "{witness:?}"
            );
            (witness.kind, witness.text.text.clone())
        })
        .collect()
}

/// What is said in the music: bar, kind, words.
fn in_music(part: &Part) -> Vec<(u32, WitnessKind, String)> {
    part.events()
        .filter_map(|placed| match &placed.event.kind {
            EventKind::Witness(kind, said) => {
                Some((part.bars[placed.bar].number, *kind, said.clone()))
            }
            _ => None,
        })
        .collect()
}

fn owned(said: &[(WitnessKind, &str)]) -> Vec<(WitnessKind, String)> {
    said.iter()
        .map(|(kind, said)| (*kind, (*said).to_owned()))
        .collect()
}

#[test]
fn humdrum_keeps_names_short_names_and_codes() {
    let part = part(Format::Kern, KERN);
    assert_eq!(
        at_start(&part, KERN),
        owned(&[
            (WitnessKind::Class(Class::Horn), "cor"),
            (WitnessKind::Name, "Cornu Primo in D"),
            (WitnessKind::Abbreviation, "cor 1"),
        ])
    );
    assert_eq!(part.name.as_ref().unwrap().text, "Cornu Primo in D");
    assert_eq!(
        in_music(&part),
        [
            (2, WitnessKind::Name, "in F".to_owned()),
            (2, WitnessKind::Abbreviation, "cor 1 in F".to_owned())
        ]
    );
}

#[test]
fn abc_keeps_names_and_subnames() {
    let part = part(Format::Abc, ABC);
    assert_eq!(
        at_start(&part, ABC),
        owned(&[
            (WitnessKind::Name, "Horn in F"),
            (WitnessKind::Abbreviation, "Hn.")
        ])
    );
    assert_eq!(part.name.as_ref().unwrap().text, "Horn in F");
    assert_eq!(
        in_music(&part),
        [
            (2, WitnessKind::Name, "Horn in D".to_owned()),
            (2, WitnessKind::Abbreviation, "Hn. D".to_owned())
        ]
    );
}

#[test]
fn musicxml_keeps_names_displays_instruments_and_sounds() {
    let part = part(Format::MusicXml, XML);
    assert_eq!(
        at_start(&part, XML),
        owned(&[
            (WitnessKind::Name, "Horn 3"),
            (WitnessKind::DisplayName, "Horn in E♭"),
            (WitnessKind::Abbreviation, "Hn. in C 3"),
            (WitnessKind::Instrument, "Horn in C"),
            (WitnessKind::Class(Class::Horn), "brass.french-horn"),
        ])
    );
    assert_eq!(
        in_music(&part),
        [
            (2, WitnessKind::DisplayName, "Horn in D".to_owned()),
            (
                2,
                WitnessKind::Class(Class::Other),
                "wind.reed.english-horn".to_owned()
            )
        ]
    );
}
