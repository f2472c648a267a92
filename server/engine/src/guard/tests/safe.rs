//! What fixes that are called safe must not do: let anything be played otherwise.

use notation::Format;
use rules::Safety;
use score::{EventKind, Intent, MarkKind, NewMark, Sign};

use super::scores::document;
use super::*;
use crate::settings::Settings;

/// What a fix that is called safe would do, its intents, and what the refusal must be.
type Unsafe = (&'static str, Vec<Intent>, fn(&Refused) -> bool);

#[test]
fn a_safe_fix_keeps_how_everything_is_played() {
    let part = PartRef { piece: 0, part: 0 };
    let name = |name: &str| {
        vec![Intent::NamePart {
            part,
            name: name.to_owned(),
        }]
    };
    let mut tried = 0;
    for format in Format::ALL {
        let before = Judged::new(document(format), Settings::default());
        let words = place(
            before.document(),
            |kind| matches!(kind, EventKind::Mark(mark) if matches!(&mark.kind, MarkKind::Words(text) if text.text == "con sord.")),
        );
        let sign = place(
            before.document(),
            |kind| matches!(kind, EventKind::Mark(mark) if mark.kind == MarkKind::Sign(Sign::Plus)),
        );
        let note = place(before.document(), |kind| matches!(kind, EventKind::Note(_)));
        let mute: fn(&Refused) -> bool = |why| {
            matches!(
                why,
                Refused::Played {
                    what: "the mute",
                    ..
                }
            )
        };
        let hand: fn(&Refused) -> bool = |why| {
            matches!(
                why,
                Refused::Played {
                    what: "the hand",
                    ..
                }
            )
        };
        let wrong: [Unsafe; 6] = [
            (
                "the mute goes",
                vec![Intent::RemoveMark { mark: words }],
                mute,
            ),
            (
                "the hand comes out",
                vec![Intent::RemoveMark { mark: sign }],
                hand,
            ),
            (
                "the hand goes in",
                vec![Intent::AddMark {
                    note,
                    mark: NewMark::Plus,
                }],
                hand,
            ),
            ("no horn any more", name("Oboe"), |why| {
                *why == Refused::Horns
            }),
            ("two players", name("Horns 1.2. in F"), |why| {
                matches!(why, Refused::Parts | Refused::Played { .. })
            }),
            (
                "another octave",
                vec![Intent::MoveNote {
                    note,
                    from: pitch_at(before.document(), note),
                    to: "C6".parse().unwrap(),
                }],
                |why| matches!(why, Refused::Sound { .. }),
            ),
        ];
        for (what, intents, is_reason) in wrong {
            let octaves = intents
                .iter()
                .any(|intent| matches!(intent, Intent::MoveNote { .. }));
            let safe = Fix {
                title: what.to_owned(),
                safety: Safety::Safe,
                intents: intents.clone(),
            };
            let mut right = after(&before, &safe).unwrap();
            if octaves {
                // The note goes somewhere else than it was to.
                let down = Fix {
                    intents: vec![Intent::MoveOctaves {
                        notes: vec![note],
                        octaves: -1,
                    }],
                    ..safe.clone()
                };
                right = after(&before, &down).unwrap();
            }
            let why = proven(&before, &right, &safe).unwrap_err();
            assert!(is_reason(&why), "{format:?}: {what}: {why:?}");
            tried += 1;
        }
    }
    assert_eq!(tried, 18);
}

#[test]
fn a_mark_that_only_a_repeat_needs_is_kept() {
    let head = "X:1\nM:4/4\nL:1/4\nK:none\nV:1 name=\"Horn in F\" transpose=-7\n";
    for (end, needed) in [(":|", true), ("|]", false)] {
        let text = format!("{head}|: \"^senza sord.\" c4 | z4 | \"^con sord.\" c4 | z4 {end}\n");
        let document = Document::from_text(Format::Abc, &text);
        let before = Judged::new(document, Settings::default());
        let mark = place(
            before.document(),
            |kind| matches!(kind, EventKind::Mark(mark) if matches!(&mark.kind, MarkKind::Words(text) if text.text == "senza sord.")),
        );
        let fix = Fix {
            title: "the mark goes".to_owned(),
            safety: Safety::Safe,
            intents: vec![Intent::RemoveMark { mark }],
        };
        let after = after(&before, &fix).unwrap();
        let refused = proven(&before, &after, &fix).err();
        assert_eq!(refused.is_some(), needed, "{end}: {refused:?}");
        let played = |why: Refused| matches!(why, Refused::Played { bar: 1, .. });
        assert!(refused.is_none_or(played));
    }
}
