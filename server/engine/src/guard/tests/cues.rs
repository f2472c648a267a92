//! Small notes: they stand as they were to, nothing else does, and they move with their part.

use notation::Format;
use rules::Safety;
use score::{CueNote, Intent, NewCue, Way};
use theory::WrittenPitch;

use super::*;
use crate::settings::Settings;

/// Bars of rest, one in which the other part plays, and the horn's entry.
fn to_be_cued() -> (Judged, Fix) {
    let note = |step: &str, more: &str| {
        format!(
            "<note><pitch><step>{step}</step><octave>5</octave></pitch><duration>4</duration>\
             <voice>1</voice><type>whole</type>{more}</note>"
        )
    };
    let rest = "<note><rest measure=\"yes\"/><duration>4</duration><voice>1</voice></note>";
    let measures = |music: &[&str]| -> String {
        let numbered = (1..).zip(music);
        numbered
            .map(|(number, music)| format!("<measure number=\"{number}\">{music}</measure>\n"))
            .collect()
    };
    let head = "<attributes><divisions>1</divisions><time><beats>4</beats><beat-type>4</beat-type></time></attributes>";
    let transposed = head.replace(
        "</time>",
        "</time><transpose><diatonic>-4</diatonic><chromatic>-7</chromatic></transpose>",
    );
    let horn = [
        transposed + &note("C", ""),
        rest.to_owned(),
        rest.to_owned(),
        note("E", ""),
    ];
    let oboe = [
        format!("{head}{rest}"),
        note("A", ""),
        note("G", ""),
        rest.to_owned(),
    ];
    let of = |music: &[String]| measures(&music.iter().map(String::as_str).collect::<Vec<_>>());
    let text = format!(
        "<score-partwise version=\"4.0\"><part-list><score-part id=\"P1\"><part-name>Oboe</part-name></score-part>\
         <score-part id=\"P2\"><part-name>Horn in F</part-name></score-part></part-list>\n\
         <part id=\"P1\">{}</part><part id=\"P2\">{}</part></score-partwise>",
        of(&oboe),
        of(&horn)
    );
    let before = Judged::new(
        Document::from_text(Format::MusicXml, &text),
        Settings::default(),
    );
    let (_, reading) = before.pieces().next().unwrap();
    let shown: Vec<CueNote> = reading.piece.parts[0]
        .events_of(score::Kinds::NOTES)
        .zip(["E5", "D5"])
        .map(|(placed, written)| CueNote {
            shows: placed.span(),
            onset: placed.onset,
            length: theory::Quarters::whole(4),
            written: Some(written.parse::<WrittenPitch>().unwrap().octaves_up(1)),
            tied_to: false,
        })
        .collect();
    let fix = Fix {
        title: "small notes".to_owned(),
        safety: Safety::Review,
        intents: vec![Intent::WriteCue {
            part: PartRef { piece: 0, part: 1 },
            cue: NewCue {
                from: theory::Quarters::whole(4),
                words: "Ob.".to_owned(),
                notes: shown,
            },
        }],
    };
    (before, fix)
}

#[test]
fn small_notes_stand_as_they_were_to_and_nothing_else_does() {
    let (before, fix) = to_be_cued();
    let right = after(&before, &fix).unwrap();
    assert_eq!(proven(&before, &right, &fix), Ok(()));
    let text = right.text();
    // What is wrong, what is changed in the horn's part, and what is refused: the bar, and what of it.
    let wrong = [
        (
            "one is left out",
            ["<cue/><pitch><step>E", "<rest/><pitch><step>E"],
            (2, "a rest"),
        ),
        ("one is as large as others", ["<cue/>", ""], (2, "a note")),
        (
            "another pitch",
            ["<step>E</step><octave>6", "<step>F</step><octave>6"],
            (2, "a small note"),
        ),
        (
            "tied to nothing",
            [
                "<type size=\"cue\">whole</type>",
                "<type size=\"cue\">whole</type><notations><tied type=\"start\"/></notations>",
            ],
            (2, "a small note"),
        ),
        (
            "other words",
            ["<words>Ob.</words>", "<words>Fl.</words>"],
            (2, "words"),
        ),
        (
            "no words",
            ["<words>Ob.</words>", ""],
            (2, "the mark that was to be written"),
        ),
        (
            "in the horn's own voice",
            ["<voice>2</voice><type", "<voice>1</voice><type"],
            (2, "a rest"),
        ),
        (
            "the horn's rest goes",
            [
                "<note><rest measure=\"yes\"/><duration>4</duration><voice>1</voice></note><backup>",
                "<forward><duration>4</duration></forward><backup>",
            ],
            (2, "a rest"),
        ),
        (
            "twice",
            [
                "<backup>",
                "<backup><duration>4</duration></backup><note><cue/><pitch><step>E</step><octave>6</octave></pitch>\
                 <duration>4</duration><voice>2</voice></note><backup>",
            ],
            (2, "a small note"),
        ),
    ];
    for (what, [from, to], (bar, of)) in wrong {
        // The horn's part comes last.
        let (others, horn) = text.split_once("<part id=\"P2\">").unwrap();
        assert!(horn.contains(from), "{what}: {horn}");
        let horn = horn.replacen(from, to, 1);
        let other =
            Document::from_text(Format::MusicXml, &format!("{others}<part id=\"P2\">{horn}"));
        let refused = Refused::Page {
            part: "Horn in F".to_owned(),
            bar,
            what: of,
        };
        assert_eq!(proven(&before, &other, &fix), Err(refused), "{what}");
    }
}

#[test]
fn small_notes_that_stay_while_their_part_moves_are_refused() {
    let (before, fix) = to_be_cued();
    let cued = after(&before, &fix).unwrap();
    let text = cued.text();
    let before = Judged::new(cued, Settings::default());
    let part = PartRef { piece: 0, part: 1 };
    let other = horn::Crook::D.transposition();
    let fix = Fix {
        title: "for a horn in D".to_owned(),
        safety: Safety::Safe,
        intents: vec![
            Intent::RewritePart {
                part,
                ways: vec![Way {
                    from: theory::Quarters::ZERO,
                    by: horn::Crook::F.transposition().0 + -other.0,
                }],
            },
            Intent::SetHorn {
                part,
                name: "Horn in D".to_owned(),
                transposition: other,
            },
        ],
    };
    let writer = before.document().writer(&text);
    let edits = crate::proven::write(&writer, &fix).unwrap().edits;
    let whole = before.document().with_edits(&edits).unwrap();
    assert_eq!(proven(&before, &whole, &fix), Ok(()));
    let small = |edit: &notation::TextEdit| {
        let note = text[..edit.span.start].rfind("<note>");
        note.is_some_and(|note| text[note..].starts_with("<note><cue/>"))
    };
    let (stay, move_on): (Vec<_>, Vec<_>) = edits.into_iter().partition(small);
    assert!(!stay.is_empty());
    let half = before.document().with_edits(&move_on).unwrap();
    let why = proven(&before, &half, &fix).unwrap_err();
    assert!(why.to_string().starts_with("small notes of"), "{why}");
}
