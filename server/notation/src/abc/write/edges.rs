//! Tests of the corners: odd key fields, several tunes in a file, and what is refused with a reason.

use score::{Courtesy, Intent, NewMark, PartRef, Span};
use theory::{Interval, Key, Transposition, WrittenPitch};

use crate::{Document, Format};

const PART: PartRef = PartRef { piece: 0, part: 0 };

fn doc(text: &str) -> Document {
    Document::from_text(Format::Abc, text)
}

fn written(text: &str, intent: &Intent) -> String {
    let doc = doc(text);
    let edits = doc.write(intent).unwrap();
    doc.with_edits(&edits).unwrap().text()
}

fn refused(text: &str, intent: &Intent) -> String {
    doc(text).write(intent).unwrap_err().why
}

fn at(text: &str, what: &str) -> Span {
    let start = text.find(what).unwrap();
    Span::new(start, start + what.len())
}

fn drop_keys() -> Intent {
    Intent::DropKeySignatures {
        parts: vec![PART],
        courtesy: Courtesy::Never,
        brackets: false,
    }
}

#[test]
fn key_fields_of_every_shape_lose_their_signature() {
    for (field, wanted) in [
        ("K:Bb", "K:none"),
        ("K: Eb minor", "K: none"),
        ("K:Dm^c_b clef=treble", "K:none clef=treble"),
        (
            "K:D exp _b _e ^f transpose=-7 % bank",
            "K:none transpose=-7 % bank",
        ),
        ("K:^f", "K:none"),
        ("K:^f clef=bass", "K:none clef=bass"),
        ("K: ^f ^c", "K:none"),
        ("K:Hp", "K:none"),
        ("K:G mixolydian ^f", "K:none"),
    ] {
        let text = format!("X:1\n{field}\nz8|]\n");
        assert_eq!(
            written(&text, &drop_keys()),
            format!("X:1\n{wanted}\nz8|]\n")
        );
    }
}

#[test]
fn key_fields_of_every_shape_take_one() {
    let flat = Intent::SetKeySignature {
        part: PART,
        key: Key::from_fifths(-1),
    };
    for (field, wanted) in [
        ("K:", "K:F"),
        ("K:none", "K:F"),
        ("K:none % bank", "K:F % bank"),
        ("K:clef=bass", "K:F clef=bass"),
        ("K: clef=bass", "K: F clef=bass"),
        ("K:Am treble", "K:F treble"),
        ("K:% bank", "K:F% bank"),
    ] {
        let text = format!("X:1\n{field}\nz8|]\n");
        assert_eq!(written(&text, &flat), format!("X:1\n{wanted}\nz8|]\n"));
    }
    let eight = Intent::SetKeySignature {
        part: PART,
        key: Key::from_fifths(-8),
    };
    let text = written("X:1\nK:none\nz8|]\n", &eight);
    assert_eq!(text, "X:1\nK:C exp _c _d _e _f _g _a __b\nz8|]\n");
    assert_eq!(
        doc(&text).score().pieces[0].piece.parts[0].key.unwrap().0,
        Key::from_fifths(-8)
    );
}

#[test]
fn the_second_tune_is_changed_alone() {
    let text = "X:1\nK:F\nB8|]\n\nX:2\nK:F\nB8|]\n";
    let intent = drop_keys().rebased(0, 1);
    assert_eq!(
        written(text, &intent),
        "X:1\nK:F\nB8|]\n\nX:2\nK:none\n_B8|]\n"
    );
    let spot = Intent::MoveOctaves {
        notes: vec![Span::new(
            text.rfind('B').unwrap(),
            text.rfind('B').unwrap() + 2,
        )],
        octaves: -2,
    };
    assert_eq!(written(text, &spot), "X:1\nK:F\nB8|]\n\nX:2\nK:F\nB,,8|]\n");
}

#[test]
fn a_tie_carries_what_the_signature_gave() {
    let text = "X:1\nK:G\nF8-|F4 F4|]\n";
    assert_eq!(written(text, &drop_keys()), "X:1\nK:none\n^F8-|F4 ^F4|]\n");
    let up = Intent::MoveOctaves {
        notes: vec![at(text, "F4")],
        octaves: 1,
    };
    assert_eq!(written(text, &up), "X:1\nK:G\nf8-|f4 F4|]\n");
}

#[test]
fn a_note_takes_the_accidental_it_needs() {
    let text = "X:1\nK:G\n^c2 c2 =F2 F2|]\n";
    let pitch = |pitch: &str| pitch.parse::<WrittenPitch>().unwrap();
    let to = |what: &str, to: &str| Intent::MoveNote {
        note: at(text, what),
        from: pitch(if what == "^c2" { "C#5" } else { "F4" }),
        to: pitch(to),
    };
    assert_eq!(
        written(text, &to("^c2", "D5")),
        "X:1\nK:G\nd2 ^c2 =F2 F2|]\n"
    );
    assert_eq!(
        written(text, &to("=F2", "F#4")),
        "X:1\nK:G\n^c2 c2 F2 =F2|]\n"
    );
    assert_eq!(
        written(text, &to("^c2", "Db4")),
        "X:1\nK:G\n_D2 ^c2 =F2 F2|]\n"
    );
}

#[test]
fn properties_join_the_field_before_its_comment() {
    let horn = Intent::SetTransposition {
        part: PART,
        transposition: Transposition(Interval::new(-4, -7)),
    };
    for (text, wanted) in [
        (
            "X:1\nK:none % bank\nz8|]\n",
            "X:1\nK:none transpose=-7 % bank\nz8|]\n",
        ),
        ("X:1\nK:\nz8|]\n", "X:1\nK:none transpose=-7\nz8|]\n"),
        ("X:1\nK:C t=-2\nz8|]\n", "X:1\nK:C t=-7\nz8|]\n"),
        (
            "X:1\nV:1 clef=bass % bank\nK:C\nz8|]\n",
            "X:1\nV:1 clef=bass transpose=-7 % bank\nK:C\nz8|]\n",
        ),
        (
            "X:1\nK:C\n[V:1]z8|]\n[V:2]z8|]\n",
            "X:1\nK:C\n[V:1 transpose=-7]z8|]\n[V:2]z8|]\n",
        ),
        (
            "X:1\nK:C transpose=-2\nV:1\nz8|]\nV:2\nz8|]\n",
            "X:1\nK:C transpose=-2\nV:1 transpose=-7\nz8|]\nV:2\nz8|]\n",
        ),
    ] {
        assert_eq!(written(text, &horn), wanted);
        let stated = doc(wanted).score().pieces[0].piece.parts[0].transposition;
        assert_eq!(stated.unwrap().0.0.semitones, -7, "{wanted}");
    }
    let name = Intent::NamePart {
        part: PART,
        name: "Horn in F".into(),
    };
    for (text, wanted) in [
        (
            "X:1\r\nK:none\r\nz8|]\r\n",
            "X:1\r\nV:1 name=\"Horn in F\"\r\nK:none\r\nz8|]\r\n",
        ),
        (
            "X:1\nV:1 nm=Horn % bank\nK:none\nz8|]\n",
            "X:1\nV:1 nm=\"Horn in F\" % bank\nK:none\nz8|]\n",
        ),
        (
            "X:1\nV:1 name=\"\"\nK:none\nz8|]\n",
            "X:1\nV:1 name=\"Horn in F\"\nK:none\nz8|]\n",
        ),
    ] {
        assert_eq!(written(text, &name), wanted);
        let named = doc(wanted).score().pieces[0].piece.parts[0].name.clone();
        assert_eq!(named.unwrap().text, "Horn in F");
    }
}

#[test]
fn silence_stands_where_it_is_heard() {
    let here = |at: Span| Intent::IgnoreHere {
        at,
        rule: "range/too-high".into(),
    };
    let text = "%abc-2.1\nX:1\nK:none\nc8|]";
    assert_eq!(
        written(text, &here(at(text, "c8"))),
        "%abc-2.1\nX:1\nK:none\n% bellhand: ignore range/too-high\nc8|]"
    );
    let text = "X:1\nK:none\n  % Bellhand: ignore rip/too-few : meant so\nc8|]\n";
    assert_eq!(
        written(text, &here(at(text, "c8"))),
        "X:1\nK:none\n  % Bellhand: ignore rip/too-few, range/too-high : meant so\nc8|]\n"
    );
    let in_file = Intent::IgnoreInFile {
        rule: "range/too-high".into(),
    };
    for (text, wanted) in [
        ("%abc", "%abc\n% bellhand: ignore in file range/too-high"),
        (
            "%abc-2.1\rX:1\rK:C\r",
            "%abc-2.1\r% bellhand: ignore in file range/too-high\rX:1\rK:C\r",
        ),
        (
            "X:1\nK:C\nc8|]\n",
            "% bellhand: ignore in file range/too-high\nX:1\nK:C\nc8|]\n",
        ),
        (
            "M:3/4\n\nX:1\nK:C\nc6|]\n",
            "% bellhand: ignore in file range/too-high\nM:3/4\n\nX:1\nK:C\nc6|]\n",
        ),
        (
            "The ferry book\n\nX:1\nK:C\nc6|]\n",
            "% bellhand: ignore in file range/too-high\nThe ferry book\n\nX:1\nK:C\nc6|]\n",
        ),
        ("", "% bellhand: ignore in file range/too-high\n"),
    ] {
        assert_eq!(written(text, &in_file), wanted);
        let (before, after) = (doc(text), doc(wanted));
        assert_eq!(after.score().directives.len(), 1, "{wanted}");
        assert_eq!(before.score().pieces.len(), after.score().pieces.len());
        let piece = |doc: &Document| {
            doc.score()
                .pieces
                .first()
                .map(|placed| placed.piece.clone())
        };
        assert_eq!(piece(&before), piece(&after));
    }
}

#[test]
fn what_cannot_be_written_is_refused_with_a_reason() {
    let text = "%abc-2.1\nX:1\nK:C\n%%begintext\nwords\n%%endtext\nc8 \"^open\"c8|]\n";
    let octave = |span: Span| Intent::MoveOctaves {
        notes: vec![span],
        octaves: 1,
    };
    assert!(refused(text, &octave(Span::new(0, 3))).contains("no note"));
    let far = Intent::MoveOctaves {
        notes: vec![at(text, "c8")],
        octaves: 30,
    };
    assert!(refused(text, &far).contains("outside the range"));
    let triple = Intent::MoveNote {
        note: at(text, "c8"),
        from: WrittenPitch::new(theory::Letter::C, 0, 5),
        to: WrittenPitch::new(theory::Letter::C, 3, 4),
    };
    assert!(refused(text, &triple).contains("accidental"));
    for (place, why) in [("%abc", "version line"), ("words", "block of text")] {
        let here = Intent::IgnoreHere {
            at: at(text, place),
            rule: "range/too-high".into(),
        };
        assert!(refused(text, &here).contains(why));
    }
    let mark = Intent::RemoveMark {
        mark: at(text, "c8"),
    };
    assert!(refused(text, &mark).contains("no mark"));
    let nobody = Intent::NamePart {
        part: PartRef { piece: 3, part: 0 },
        name: "Horn".into(),
    };
    assert!(refused(text, &nobody).contains("no such part"));
    let text = "X:1\nU:p=\"^open\"\nK:C\nc8|]\n";
    let declared = Intent::ReplaceMark {
        mark: at(text, "\"^open\""),
        with: NewMark::Circle,
    };
    assert!(refused(text, &declared).contains("declaration"));
}
