//! What each sign of a score is read as.

use notation::{Document, Format};
use score::{AlterationFrom, Class, EventKind, MarkKind, WitnessKind};
use theory::{Key, Meter, PagePitch, Quarters};

use crate::{doc, note, notes, parts, score};

const START: &str = "<attributes><divisions>2</divisions><key><fifths>1</fifths></key>\
    <time><beats>4</beats><beat-type>4</beat-type></time>\
    <clef><sign>F</sign><line>4</line></clef>\
    <transpose><diatonic>-1</diatonic><chromatic>-2</chromatic><octave-change>-1</octave-change></transpose></attributes>";

fn kinds(document: &Document) -> Vec<EventKind> {
    let part = &parts(document)[0];
    part.events()
        .map(|placed| placed.event.kind.clone())
        .collect()
}

fn problems(text: &str) -> Vec<String> {
    let document = doc(text);
    let score = document.score();
    let of_pieces = score.pieces.iter().flat_map(|p| &p.piece.unreadable);
    score
        .unreadable
        .iter()
        .chain(of_pieces)
        .map(|slip| {
            assert!(text.get(slip.span.range()).is_some(), "{slip:?}");
            slip.problem.clone()
        })
        .collect()
}

#[test]
fn the_start_of_a_part() {
    let music = format!("{START}{}", note("F#4", 8, ""));
    let document = doc(&score(&[&music]));
    let part = &parts(&document)[0];
    let text = document.text();
    let (key, at) = part.key.unwrap();
    assert_eq!(key, Key::from_fifths(1));
    assert_eq!(&text[at.range()], "<key><fifths>1</fifths></key>");
    assert_eq!(part.meter, Some(Meter { beats: 4, unit: 4 }));
    let (transposition, _) = part.transposition.unwrap();
    assert_eq!(
        (transposition.0.steps, transposition.0.semitones),
        (-8, -14)
    );
    assert!(part.transposition_spelled);
    assert_eq!(part.clef.unwrap().kind, score::ClefKind::Bass);
    let name = part.name.clone().unwrap();
    assert_eq!(&text[name.span.range()], "Horn in F");
    assert_eq!(&text[part.head.range()], "<score-part id=\"P1\">");
    assert_eq!(part.bars[0].length, Quarters::whole(4));
    assert!(problems(&text).is_empty());
}

#[test]
fn where_alterations_come_from() {
    let music = format!(
        "{START}{}{}{}{}",
        note("F#4", 2, ""),
        note("C#5", 2, "<accidental>sharp</accidental>"),
        note("C#5", 2, "<tie type=\"start\"/>"),
        note("G4", 2, "")
    );
    let next = format!(
        "{}{}",
        note("C#5", 2, "<tie type=\"stop\"/>"),
        note("C#5", 6, "")
    );
    let document = doc(&score(&[&music, &next]));
    let from: Vec<AlterationFrom> = notes(&document)
        .iter()
        .map(|at| at.note.alteration_from)
        .collect();
    use AlterationFrom::{Accidental, Bar, Key, Nothing, Tie};
    assert_eq!(from, [Key, Accidental, Bar, Nothing, Tie, Nothing]);
    let ties: Vec<(bool, bool)> = notes(&document)
        .iter()
        .map(|at| (at.note.tied_from, at.note.tied_to))
        .collect();
    assert_eq!(ties[2..5], [(false, true), (false, false), (true, false)]);
}

#[test]
fn voices_chords_and_grace_notes() {
    let music = format!(
        "{START}{}{}{}<backup><duration>8</duration></backup><forward><duration>4</duration><voice>2</voice></forward>{}",
        note("G4", 8, "<voice>1</voice>"),
        note("D4", 8, "<voice>1</voice>").replace("<note>", "<note><chord/>"),
        note("A4", 0, "<voice>1</voice>")
            .replace("<note>", "<note><grace/>")
            .replace("<duration>0</duration>", ""),
        note("E4", 4, "<voice>2</voice>")
    );
    let document = doc(&score(&[&music]));
    assert!(problems(&document.text()).is_empty());
    let seen: Vec<(bool, bool, u8, String)> = notes(&document)
        .iter()
        .map(|at| {
            let note = &at.note;
            (note.chord, note.grace, note.layer, note.length.to_string())
        })
        .collect();
    let wanted = [
        (false, false, 0, "4"),
        (true, false, 0, "4"),
        (false, true, 0, "0"),
        (false, false, 1, "2"),
    ];
    let wanted = wanted.map(|(chord, grace, layer, length)| (chord, grace, layer, length.into()));
    assert_eq!(seen, wanted);
    let offsets: Vec<String> = parts(&document)[0]
        .events()
        .filter(|placed| matches!(placed.event.kind, EventKind::Note(_)))
        .map(|placed| placed.event.offset.to_string())
        .collect();
    assert_eq!(offsets, ["0", "0", "4", "2"]);
}

#[test]
fn marks_of_every_kind() {
    let technical = |inner: &str| format!("<notations><technical>{inner}</technical></notations>");
    let direction =
        |inner: &str| format!("<direction><direction-type>{inner}</direction-type></direction>");
    let slide =
        "<notations><slide type=\"start\"/><fermata/><dynamics><s/><f/></dynamics></notations>";
    let music = [
        START.to_owned(),
        direction("<words font-style=\"italic\">con sord. &amp; </words><words>dolce</words>"),
        direction("<dynamics><pp/></dynamics>"),
        direction("<wedge type=\"crescendo\"/>"),
        note("G4", 2, &technical("<stopped/><half-muted/>")),
        direction("<wedge type=\"stop\"/>"),
        note("G4", 2, &technical("<open/>")),
        note("G4", 2, slide),
        direction("<words>+</words>"),
        note(
            "G4",
            1,
            "<notations><articulations><breath-mark/></articulations></notations>",
        ),
        note("C4", 1, &technical("<stopped/>")).replace("<note>", "<note><chord/>"),
    ]
    .concat();
    let document = doc(&score(&[&music]));
    assert!(problems(&document.text()).is_empty());
    let text = document.text();
    let marks: Vec<String> = parts(&document)[0]
        .events()
        .filter_map(|placed| match &placed.event.kind {
            EventKind::Mark(mark) => Some(match &mark.kind {
                MarkKind::Words(words) => {
                    let at = words.span.shifted(placed.base);
                    assert!(text[at.range()].starts_with("con sord."));
                    assert!(text[placed.span().range()].starts_with("<words"));
                    assert!(text[placed.span().range()].ends_with("dolce</words>"));
                    words.text.clone()
                }
                MarkKind::Sign(sign) => format!("{sign:?}"),
                MarkKind::Dynamic(letters) => letters.clone(),
                MarkKind::HairpinStart(louder) => format!("louder {louder}"),
                MarkKind::HairpinEnd => "end".to_owned(),
            }),
            EventKind::Note(note) if !note.chord => Some("note".to_owned()),
            EventKind::Note(_) => Some("chord".to_owned()),
            _ => None,
        })
        .collect();
    assert_eq!(
        marks,
        [
            "con sord. & dolce",
            "pp",
            "louder true",
            "Plus",
            "Other(\"half-muted\")",
            "note",
            "end",
            "Circle",
            "note",
            "Glissando",
            "Fermata",
            "sf",
            "note",
            "Plus",
            "Plus",
            "Breath",
            "note",
            "chord",
        ]
    );
}

#[test]
fn tempo_from_every_source() {
    let music = "<attributes><divisions>1</divisions></attributes>\
        <direction><direction-type><words>Andante</words></direction-type></direction>\
        <direction><direction-type><metronome><beat-unit>quarter</beat-unit><beat-unit-dot/>\
        <per-minute>ca. 60</per-minute></metronome></direction-type><sound tempo=\"91\"/></direction>\
        <sound tempo=\"100\"/><direction><direction-type><words>dolce</words></direction-type></direction>";
    let tempos: Vec<(Option<String>, Option<f64>)> = kinds(&doc(&score(&[music])))
        .into_iter()
        .filter_map(|kind| match kind {
            EventKind::Tempo(mark) => Some((mark.words, mark.tempo.map(theory::Tempo::rate))),
            _ => None,
        })
        .collect();
    assert_eq!(
        tempos,
        [
            (Some("Andante".to_owned()), None),
            (None, Some(90.0)),
            (None, Some(100.0))
        ]
    );
}

#[test]
fn bars_are_numbered_as_written() {
    let bar = note("G4", 1, "");
    let text = score(&[
        &format!("<attributes><divisions>1</divisions></attributes>{bar}"),
        &format!("{bar}{bar}"),
        &format!("<barline location=\"left\"><repeat direction=\"forward\"/></barline>{bar}"),
        &format!("{bar}<barline location=\"right\"><bar-style>light-heavy</bar-style></barline>"),
    ])
    .replace(
        "<measure number=\"1\">",
        "<measure number=\"0\" implicit=\"yes\">",
    )
    .replace("<measure number=\"2\">", "<measure number=\"1\">")
    .replace(
        "<measure number=\"3\">",
        "<measure number=\"X1\" implicit=\"yes\">",
    )
    .replace("<measure number=\"4\">", "<measure number=\"2\">");
    let document = doc(&text);
    let bars = &parts(&document)[0].bars;
    let numbers: Vec<u32> = bars.iter().map(|bar| bar.number).collect();
    assert_eq!(numbers, [0, 1, 1, 2]);
    assert!(bars[1].close.as_ref().unwrap().repeat_start);
    assert!(bars[3].close.as_ref().unwrap().section_end);
    assert_eq!(bars[3].onset, Quarters::whole(4));
}

#[test]
fn both_layouts_read_the_same() {
    let part = |id: &str, pitch: &str| {
        let music = note(pitch, 4, "");
        (id.to_owned(), music)
    };
    let list = "<part-list><score-part id=\"A\"><part-name>Horn</part-name></score-part>\
        <score-part id=\"B\"><part-name>Flute</part-name></score-part></part-list>";
    let (a, b) = (part("A", "G4").1, part("B", "C5").1);
    let partwise = format!(
        "<score-partwise>{list}<part id=\"A\"><measure number=\"1\">{a}</measure><measure number=\"2\">{a}</measure></part>\
         <part id=\"B\"><measure number=\"1\">{b}</measure><measure number=\"2\">{b}</measure></part></score-partwise>"
    );
    let column = |number: u8| {
        format!(
            "<measure number=\"{number}\"><part id=\"A\">{a}</part><part id=\"B\">{b}</part></measure>"
        )
    };
    let timewise = format!(
        "<score-timewise>{list}{}{}</score-timewise>",
        column(1),
        column(2)
    );
    let heard = |text: &str| -> Vec<(usize, usize, String)> {
        notes(&doc(text))
            .iter()
            .map(|at| (at.part, at.bar, at.note.written.to_string()))
            .collect()
    };
    assert_eq!(heard(&partwise), heard(&timewise));
    assert_eq!(heard(&partwise).len(), 4);
}

#[test]
fn the_notes_of_a_score_at_concert_pitch_are_what_sounds() {
    let music = format!(
        "<attributes><divisions>1</divisions><key><fifths>0</fifths></key><for-part><part-transpose><diatonic>-4</diatonic>\
         <chromatic>-7</chromatic></part-transpose></for-part></attributes>{}",
        note("F3", 4, "")
    );
    let text = score(&[&music]).replace(
        " <part-list>",
        " <defaults><concert-score/></defaults>\n <part-list>",
    );
    let stated = "<for-part><part-transpose><diatonic>-4</diatonic><chromatic>-7</chromatic></part-transpose></for-part>";
    assert!(text.contains(stated));
    let document = doc(&text);
    let note = &notes(&document)[0].note;
    assert_eq!(note.written.to_string(), "F3");
    assert_eq!(note.sounding.unwrap().to_string(), "F3");
    let part = &parts(&document)[0];
    assert_eq!(part.pitch, Some(PagePitch::Sounding));
    // What leads to the player's part says which horn it is.
    assert_eq!(part.transposition.unwrap().0.0.semitones, -7);
    assert_eq!(part.key.unwrap().0, Key::NONE);
    let unstated = doc(&text.replace(stated, ""));
    assert_eq!(parts(&unstated)[0].transposition, None);
}

#[test]
fn names_come_from_where_they_are() {
    let named = |list: &str| {
        let text = format!(
            "<score-partwise><part-list>{list}</part-list><part id=\"P1\"><measure number=\"1\"/></part></score-partwise>"
        );
        let document = doc(&text);
        let part = parts(&document)[0].clone();
        let horn = part.said(WitnessKind::Class(Class::Horn)).next().is_some();
        (part.name.map(|name| name.text), horn)
    };
    let part = |inner: &str| format!("<score-part id=\"P1\">{inner}</score-part>");
    let grouped = format!(
        "<part-group type=\"start\" number=\"1\"><group-name>Horns in F</group-name></part-group>{}\
         <part-group type=\"stop\" number=\"1\"/>",
        part("<part-name>1.</part-name>")
    );
    assert_eq!(named(&grouped), (Some("Horns in F 1.".into()), false));
    let shown = part(
        "<part-name/><part-name-display><display-text>Horn in B</display-text><accidental-text>flat</accidental-text>\
         </part-name-display>",
    );
    assert_eq!(named(&shown), (Some("Horn in B♭".into()), false));
    let by_sound = part(
        "<part-name>Soloist</part-name><score-instrument id=\"I\"><instrument-name>x</instrument-name>\
         <instrument-sound>brass.french-horn</instrument-sound></score-instrument>",
    );
    assert_eq!(named(&by_sound), (Some("Soloist".into()), true));
}

#[test]
fn comments_to_this_tool() {
    let music = format!(
        "\n   <!-- bellhand: ignore range/too-high -->\n   {}\n",
        note("G4", 4, "")
    );
    let text = score(&[&music])
        .replace(
            "<score-partwise",
            "<!-- bellhand: ignore in file rip/too-few -->\n<score-partwise",
        )
        .replace(
            " <part id",
            " <!-- bellhand: part P1 = horn in E -->\n <part id",
        );
    let document = doc(&text);
    let score = document.score();
    assert_eq!(score.directives.len(), 1);
    let said = &score.pieces[0].piece.directives;
    assert_eq!(said.len(), 2);
    for directive in score.directives.iter().chain(said) {
        assert!(directive.own_line);
        assert!(text[directive.span.range()].starts_with("bellhand:"));
    }
}

#[test]
fn a_broken_measure_keeps_its_neighbours() {
    let good = note("G4", 4, "");
    let start = "<attributes><divisions>1</divisions><time><beats>4</beats><beat-type>4</beat-type></time></attributes>";
    for (broken, wanted) in [
        ("<note><pitch><step>G</step>", "has no end"),
        (
            "<note><pitch><step>H</step><octave>4</octave></pitch><duration>4</duration></note>",
            "`H` is no step",
        ),
        (
            "<note><pitch><step>G</step><octave>4</octave></pitch></note>",
            "no duration",
        ),
        ("<note default-x=5>", "not well-formed"),
        ("</note>", "ends nothing"),
        ("<!-- no end", "well-formed"),
        ("<note", "this tag has no end"),
        ("<note default-x=\"5>", "well-formed"),
        ("&gulls;", "stands for nothing"),
        ("a gull", "between elements"),
        ("<nota/>", "nothing that stands in a measure"),
        (
            "<backup><duration>9</duration></backup>",
            "beyond the barline",
        ),
        (
            "<attributes><divisions>0</divisions></attributes>",
            "divides no quarter",
        ),
    ] {
        let text = score(&[&format!("{start}{good}"), broken, &good]);
        let problems = problems(&text);
        assert!(
            problems.iter().any(|p| p.contains(wanted)),
            "{broken}: {problems:?}"
        );
        let document = doc(&text);
        let bars = &parts(&document)[0].bars;
        assert_eq!(bars.len(), 3, "{broken}");
        assert_eq!(bars[2].onset, Quarters::whole(8), "{broken}");
        let heard = notes(&document);
        assert!(
            heard.iter().any(|at| at.bar == 0) && heard.iter().any(|at| at.bar == 2),
            "{broken}"
        );
    }
}

#[test]
fn what_is_no_score_says_so() {
    assert!(problems("<html><body/></html>")[0].contains("<html>"));
    assert!(problems("plain words")[0].contains("no score"));
    assert!(problems("")[0].contains("no score"));
    // Nothing is fetched or expanded.
    let bomb = format!(
        "<!DOCTYPE score-partwise [<!ENTITY a \"aaaa\"><!ENTITY b \"&a;&a;&a;\">]>{}",
        score(&["&b;"]).replace("<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n", "")
    );
    assert!(problems(&bomb)[0].contains("`&b;` stands for nothing"));
}

#[test]
fn places_on_disk() {
    let text = score(&[&note(
        "G4",
        4,
        "<lyric><text>Fähre 𝄞 am Steg</text></lyric>",
    )]);
    let units: Vec<u16> = std::iter::once(0xFEFF).chain(text.encode_utf16()).collect();
    let wide: Vec<u8> = units.iter().flat_map(|unit| unit.to_le_bytes()).collect();
    let document = Document::from_bytes(Format::MusicXml, &wide).unwrap();
    assert_eq!(document.text(), text);
    assert_eq!(document.to_bytes().unwrap(), wide);
    let at = text.find(" am Steg").unwrap();
    let on_disk = document.file_offset(at);
    let wanted: Vec<u8> = " am Steg"
        .encode_utf16()
        .flat_map(u16::to_le_bytes)
        .collect();
    assert!(wide[on_disk..].starts_with(&wanted));
    assert_eq!(document.file_offset(0), 2);
    assert_eq!(notes(&document).len(), 1);
}
