//! Decorations, annotations, user symbols, tempos and sections.

use score::{EventKind, MarkKind, Sign};

use super::{part, part_in, piece};

/// The marks of some music, without what merely says where their words stand.
fn marks(music: &str) -> Vec<MarkKind> {
    part(music)
        .events()
        .filter_map(|placed| match &placed.event.kind {
            EventKind::Mark(mark) => {
                assert_eq!(
                    mark.on_note,
                    matches!(mark.kind, MarkKind::Sign(_)),
                    "{music}"
                );
                Some(mark.kind.clone())
            }
            _ => None,
        })
        .collect()
}

#[test]
fn decorations_by_name() {
    let other = |name: &str| MarkKind::Sign(Sign::Other(name.to_owned()));
    for (name, expected) in [
        ("+", MarkKind::Sign(Sign::Plus)),
        ("plus", MarkKind::Sign(Sign::Plus)),
        ("open", MarkKind::Sign(Sign::Circle)),
        ("slide", MarkKind::Sign(Sign::Other("slide".into()))),
        ("~(", MarkKind::Sign(Sign::Glissando)),
        ("breath", MarkKind::Sign(Sign::Breath)),
        ("fermata", MarkKind::Sign(Sign::Fermata)),
        ("trill", MarkKind::Sign(Sign::Trill(score::TrillTo::Key))),
        ("<(", MarkKind::HairpinStart(true)),
        ("crescendo(", MarkKind::HairpinStart(true)),
        (">(", MarkKind::HairpinStart(false)),
        ("diminuendo(", MarkKind::HairpinStart(false)),
        ("<)", MarkKind::HairpinEnd),
        (">)", MarkKind::HairpinEnd),
        ("tenuto", other("tenuto")),
        // Names that the standard does not know are to be ignored, not refused.
        ("ferryhorn", other("ferryhorn")),
    ] {
        assert_eq!(marks(&format!("!{name}! c")), [expected], "{name}");
    }
    for letters in [
        "pppp", "pp", "p", "mp", "mf", "f", "ff", "ffff", "sfz", "sf", "fp", "fz",
    ] {
        assert_eq!(
            marks(&format!("!{letters}!c")),
            [MarkKind::Dynamic(letters.to_owned())]
        );
    }
    assert_eq!(marks("+plus+c"), [MarkKind::Sign(Sign::Plus)]);
    assert_eq!(marks("!nil!c !none!d"), []);
}

#[test]
fn shorthand_letters_and_user_symbols() {
    let other = |name: &str| MarkKind::Sign(Sign::Other(name.to_owned()));
    assert_eq!(
        marks("Hc Td .e ~f"),
        [
            MarkKind::Sign(Sign::Fermata),
            MarkKind::Sign(Sign::Trill(score::TrillTo::Key)),
            other("staccato"),
            other("roll")
        ]
    );
    assert_eq!(
        marks("U:p=\"^+\"\nU:T=!nil!\npc Td qe"),
        [MarkKind::Sign(Sign::Plus)]
    );
    let in_header = piece("U:q=!plus!\n\nX:1\nU:r=!open!\nK:C\nqc rd\n");
    let signs = in_header.parts[0]
        .events()
        .filter(|placed| matches!(placed.event.kind, EventKind::Mark(_)))
        .count();
    assert_eq!(signs, 2);
}

#[test]
fn annotations_are_words_unless_they_are_signs() {
    assert_eq!(
        marks("\"^+\"c \"_o\"d \"@°\"e"),
        [
            MarkKind::Sign(Sign::Plus),
            MarkKind::Sign(Sign::Circle),
            MarkKind::Sign(Sign::Circle),
        ]
    );
    assert_eq!(marks("\"Am7\"c \"D/F#\"d"), []);
    let text = "X:1\nK:C\n!f! \"^bouch\\'e \\% gliss.\"c|\n";
    let piece = piece(text);
    let words = piece.parts[0]
        .events()
        .find_map(|placed| match &placed.event.kind {
            EventKind::Mark(mark) => match &mark.kind {
                MarkKind::Words(words) => Some((words.clone(), placed.base)),
                _ => None,
            },
            _ => None,
        });
    let (words, base) = words.unwrap();
    assert_eq!(words.text, "bouché % gliss.");
    assert_eq!(
        &text[words.span.shifted(base).range()],
        "bouch\\'e \\% gliss."
    );
}

fn tempo(field: &str) -> Option<(Option<String>, Option<f64>)> {
    let piece = piece(&format!("X:1\nM:4/4\nL:1/8\nQ:{field}\nK:C\nc|\n"));
    let (mark, _) = piece.tempo.as_ref()?;
    Some((mark.words.clone(), mark.tempo.map(theory::Tempo::rate)))
}

#[test]
fn tempos_in_all_their_forms() {
    let words = |words: &str| Some(words.to_owned());
    for (field, expected) in [
        ("1/4=84", (None, Some(84.0))),
        ("3/8=60", (None, Some(90.0))),
        ("1/4 1/8=60", (None, Some(90.0))),
        ("120", (None, Some(60.0))),
        ("C=120", (None, Some(60.0))),
        ("C3=40", (None, Some(60.0))),
        ("\"Andante\"", (words("Andante"), None)),
        ("\"Andante\" 1/4=76", (words("Andante"), Some(76.0))),
        ("1/4=76 \"Andante\"", (words("Andante"), Some(76.0))),
    ] {
        assert_eq!(tempo(field), Some(expected), "Q:{field}");
    }
    assert_eq!(tempo(""), None);
}

#[test]
fn tempos_metres_and_sections_on_the_way() {
    let part = part_in(
        "C",
        "c4 |\nP:B\nQ:1/4=60\n[M:3/4] c3 | [M:none] c [Q:\"rit.\"] d",
    );
    let said: Vec<String> = part
        .events()
        .filter_map(|placed| match &placed.event.kind {
            EventKind::Section(label) => Some(format!("section {label}")),
            EventKind::Tempo(mark) => Some(format!("{:?} {:?}", mark.words, mark.tempo.is_some())),
            EventKind::Meter(meter) => {
                Some(meter.map_or("free".to_owned(), |meter| meter.to_string()))
            }
            _ => None,
        })
        .collect();
    assert_eq!(
        said,
        [
            "section B",
            "None true",
            "3/4",
            "free",
            "Some(\"rit.\") false"
        ]
    );
}

#[test]
fn what_the_file_header_says_holds_for_every_tune() {
    let text = "M:3/4\nL:1/4\nQ:1/4=66\nC:A deckhand\n\nX:1\nK:C\nc|\n\nX:2\nM:2/4\nK:C\nc|\n";
    let document = crate::Document::from_text(crate::Format::Abc, text);
    let pieces = &document.score().pieces;
    for (placed, meter) in pieces.iter().zip(["3/4", "2/4"]) {
        let part = &placed.piece.parts[0];
        assert_eq!(part.meter.unwrap().to_string(), meter);
        assert_eq!(super::lengths(part), "1");
        assert!(placed.piece.tempo.is_some());
        assert_eq!(placed.piece.composer.as_ref().unwrap().text, "A deckhand");
    }
}
