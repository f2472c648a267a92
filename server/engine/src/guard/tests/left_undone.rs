//! What a fix names and does not do, and what comes or goes that none names.

use notation::Format;
use rules::Safety;
use score::{EventKind, Intent, MarkKind, Span};

use super::scores::{ABC, document};
use super::*;
use crate::settings::Settings;

#[test]
fn what_is_left_undone_is_refused() {
    for format in Format::ALL {
        let before = Judged::new(document(format), Settings::default());
        let words = place(
            before.document(),
            |kind| matches!(kind, EventKind::Mark(mark) if matches!(mark.kind, MarkKind::Words(_))),
        );
        let fix = Fix {
            title: "the words go".to_owned(),
            safety: Safety::Review,
            intents: vec![Intent::RemoveMark { mark: words }],
        };
        // Every bar is the very same as before.
        let end = before.document().rope().len_bytes();
        let line_end = notation::TextEdit {
            span: Span::new(end, end),
            text: "\n".to_owned(),
        };
        let after = before.document().with_edits(&[line_end]).unwrap();
        let why = proven(&before, &after, &fix).unwrap_err();
        assert!(page(&why), "{format:?}: {why:?}");
    }
}

#[test]
fn what_comes_or_goes_is_refused() {
    let fix = Fix {
        title: "nothing".to_owned(),
        safety: Safety::Review,
        intents: Vec::new(),
    };
    let before = Judged::new(Document::from_text(Format::Abc, ABC), Settings::default());
    for (text, why) in [
        (ABC.replace("V:2 name=\"Flute\"\n", ""), None),
        (format!("{ABC}\nX:2\nK:none\nc"), Some(Refused::Pieces)),
        (
            ABC.replace("[V:1]", "[V:3] c4 | c4 | c4 |]\n[V:1]"),
            Some(Refused::Parts),
        ),
    ] {
        let after = Document::from_text(Format::Abc, &text);
        let outcome = proven(&before, &after, &fix);
        assert!(outcome.is_err(), "{text}");
        if let Some(why) = why {
            assert_eq!(outcome, Err(why), "{text}");
        }
    }
}

#[test]
fn what_is_said_outside_the_piece_of_its_parts_is_looked_at() {
    let text = "X:1\nM:4/4\nL:1/4\nK:none\nV:1 name=\"Horn in F\" transpose=-7\n!mf! g4 | c4 |]\n";
    let document = Document::from_text(Format::Abc, text);
    let before = Judged::new(document, Settings::default());
    let fix = Fix {
        title: "Nothing".to_owned(),
        safety: Safety::Safe,
        intents: Vec::new(),
    };
    let with = |comment: &str| {
        let edit = notation::TextEdit {
            span: Span::new(0, 0),
            text: format!("% {comment}\n\n"),
        };
        proven(
            &before,
            &before.document().with_edits(&[edit]).unwrap(),
            &fix,
        )
    };
    assert!(with("a remark").is_ok());
    // The piece is the same to the byte, and its player another.
    assert!(with("bellhand: part 1 = horn in D").is_err());
    assert!(with("bellhand: part 1 = not a horn").is_err());
}
