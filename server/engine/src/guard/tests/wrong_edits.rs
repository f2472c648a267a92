//! Wrong edits beside every intent, in every notation: each must be refused, and for its own reason.

use notation::Format;
use rules::Safety;
use score::{Courtesy, EventKind, Intent, MarkKind, NewMark, Sign, Span, Way};
use theory::{Key, WrittenPitch};

use super::scores::document;
use super::*;
use crate::settings::Settings;

/// A wrong change to the text of a notation, and what the refusal must be.
struct Wrong {
    what: &'static str,
    /// What stands in the text, and what the wrong edit makes of it; the last that is found is changed.
    change: (&'static str, &'static str),
    refused: fn(&Refused) -> bool,
}

const fn bars_or_page(why: &Refused) -> bool {
    matches!(why, Refused::Bars { .. } | Refused::Page { .. })
}

fn wrongs(format: Format) -> Vec<Wrong> {
    let wrong = |what, change, refused| Wrong {
        what,
        change,
        refused,
    };
    let unreadable: fn(&Refused) -> bool = |why| matches!(why, Refused::Unreadable);
    match format {
        Format::Abc => vec![
            wrong("a note of the flute moved", ("d' e' f'", "d' e' g'"), page),
            wrong("a note of the flute lost", ("b' z |", "b' |"), bars_or_page),
            wrong("the flute's trill lost", ("!trill!", ""), page),
            wrong("a slur lost", ("(c d)", "c d"), page),
            wrong("a tie lost", ("e- e", "e e"), page),
            wrong("a dynamic lost", ("!mf!", ""), page),
            wrong("a dynamic changed", ("!mf!", "!ff!"), page),
            wrong("a breath lost", ("!breath!", ""), page),
            wrong("a word changed", ("con sord.", "dolce"), page),
            wrong("a word lost", ("\"^con sord.\"", ""), page),
            wrong("a sign lost", ("!+!", ""), page),
            wrong("a clef lost", ("[K:clef=bass]", ""), page),
            wrong("a rest for a note", ("a z | [K", "a c | [K"), page),
            wrong("a bar longer", ("a z | [K", "a z2 | [K"), bars_or_page),
            wrong("the tempo changed", ("Q:1/4=80", "Q:1/4=90"), |why| {
                matches!(why, Refused::Played { .. } | Refused::Page { .. })
            }),
            wrong("a string left open", ("E, z |]", "E, \"z |]"), unreadable),
            wrong("a repeat", ("| \"^con", "|: \"^con"), bars_or_page),
        ],
        Format::Kern => vec![
            wrong("a note of the flute moved", ("4fff", "4ggg"), page),
            wrong("the flute's trill lost", ("4gggt", "4ggg"), page),
            wrong("a slur lost", ("(4f", "4f"), page),
            wrong("a tie lost", ("[4a", "4a"), page),
            wrong("a dynamic changed", ("t=mf", "t=ff"), page),
            wrong("a breath lost", ("4cc,", "4cc"), page),
            wrong("a word changed", ("t=con sord.", "t=dolce"), page),
            wrong("a sign lost", ("!\t!LO:TX:a:t=+\n", ""), page),
            wrong("a clef lost", ("*\t*clefF4\n", ""), page),
            wrong("a rest for a note", ("4dd\n", "4r\n"), page),
            wrong("a length changed", ("4fff\t4a]", "8fff\t8a]"), bars_or_page),
            wrong("a repeat", ("=2\t=2", "=2!|:\t=2!|:"), bars_or_page),
        ],
        Format::MusicXml => vec![
            wrong(
                "a note of the flute moved",
                (
                    "<step>F</step><octave>6</octave>",
                    "<step>G</step><octave>6</octave>",
                ),
                page,
            ),
            wrong("the flute's trill lost", ("<trill-mark/>", ""), page),
            wrong("a slur lost", ("<slur type=\"start\"/>", ""), page),
            wrong(
                "a tie lost",
                (
                    "<tie type=\"start\"/><type>quarter</type><notations><tied type=\"start\"/></notations>",
                    "<type>quarter</type>",
                ),
                page,
            ),
            wrong("a dynamic changed", ("<mf/>", "<ff/>"), page),
            wrong("a breath lost", ("<breath-mark/>", ""), page),
            wrong("a word changed", ("con sord.", "dolce"), page),
            wrong("a sign lost", ("<stopped/>", ""), page),
            wrong(
                "a clef changed",
                (
                    "<sign>F</sign><line>4</line>",
                    "<sign>C</sign><line>4</line>",
                ),
                page,
            ),
            wrong(
                "the tempo changed",
                ("<per-minute>80<", "<per-minute>90<"),
                page,
            ),
            wrong(
                "a length changed",
                (
                    "<octave>6</octave></pitch><duration>1<",
                    "<octave>6</octave></pitch><duration>2<",
                ),
                bars_or_page,
            ),
        ],
    }
}

/// Every intent that the score can be given, with whether its fix is safe.
fn intents(document: &Document) -> Vec<(&'static str, Safety, Vec<Intent>)> {
    let part = PartRef { piece: 0, part: 0 };
    let note = place(
        document,
        |kind| matches!(kind, EventKind::Note(note) if note.written.0.letter == theory::Letter::A),
    );
    let words = place(
        document,
        |kind| matches!(kind, EventKind::Mark(mark) if matches!(mark.kind, MarkKind::Words(_))),
    );
    let sign = place(
        document,
        |kind| matches!(kind, EventKind::Mark(mark) if mark.kind == MarkKind::Sign(Sign::Plus)),
    );
    let to: WrittenPitch = "B5".parse().unwrap();
    let other = horn::Crook::D.transposition();
    let crook = vec![
        Intent::RewritePart {
            part,
            ways: vec![Way {
                from: theory::Quarters::ZERO,
                by: horn::Crook::F.transposition().0 + -other.0,
            }],
        },
        Intent::SetTransposition {
            part,
            transposition: other,
        },
        Intent::NamePart {
            part,
            name: "Horn 1 in D".to_owned(),
        },
    ];
    let mark = |mark| vec![Intent::AddMark { note, mark }];
    let with = |with| vec![Intent::ReplaceMark { mark: words, with }];
    let rule = "range/too-high".to_owned();
    let text = document.text();
    let at = |words: &str| {
        let from = text.find(words).unwrap();
        Span::new(from, from + words.len())
    };
    let ignore = at("bellhand: ignore rip/to-few, mute/already");
    let ignored = at("rip/to-few");
    let mut intents = vec![
        (
            "move octaves",
            Safety::Review,
            vec![Intent::MoveOctaves {
                notes: vec![note],
                octaves: -1,
            }],
        ),
        (
            "move a note",
            Safety::Review,
            vec![Intent::MoveNote {
                note,
                from: pitch_at(document, note),
                to,
            }],
        ),
        ("add +", Safety::Review, mark(NewMark::Plus)),
        ("add o", Safety::Review, mark(NewMark::Circle)),
        (
            "add words at a rest",
            Safety::Review,
            vec![Intent::AddMark {
                note: place(document, |kind| matches!(kind, EventKind::Rest(_))),
                mark: NewMark::Words("senza sord.".to_owned()),
            }],
        ),
        (
            "add words",
            Safety::Review,
            mark(NewMark::Words("open".to_owned())),
        ),
        (
            "replace words",
            Safety::Review,
            with(NewMark::Words("senza sord.".to_owned())),
        ),
        (
            "remove words",
            Safety::Review,
            vec![Intent::RemoveMark { mark: words }],
        ),
        (
            "remove a sign",
            Safety::Review,
            vec![Intent::RemoveMark { mark: sign }],
        ),
        (
            "drop the signature",
            Safety::Safe,
            vec![Intent::DropKeySignatures {
                parts: vec![part],
                courtesy: Courtesy::NextBar,
                brackets: false,
            }],
        ),
        (
            "set a signature",
            Safety::Safe,
            vec![Intent::SetKeySignature {
                part,
                key: Key::from_fifths(1),
            }],
        ),
        (
            "name the part",
            Safety::Safe,
            vec![Intent::NamePart {
                part,
                name: "Horn in F 1".to_owned(),
            }],
        ),
        ("write for D", Safety::Safe, crook),
        (
            "ignore here",
            Safety::Safe,
            vec![Intent::IgnoreHere {
                at: note,
                rule: rule.clone(),
            }],
        ),
        (
            "ignore in file",
            Safety::Safe,
            vec![Intent::IgnoreInFile { rule }],
        ),
        (
            "ignore one rule less",
            Safety::Safe,
            vec![Intent::DropIgnored {
                at: ignore,
                rules: vec!["mute/already".to_owned()],
            }],
        ),
        (
            "ignore another rule",
            Safety::Safe,
            vec![Intent::RenameIgnored {
                at: ignored,
                rule: "rip/too-few".to_owned(),
            }],
        ),
    ];
    // In the Humdrum score dynamics are words.
    if document.format() != Format::Kern {
        let mark = place(
            document,
            |kind| matches!(kind, EventKind::Mark(mark) if matches!(mark.kind, MarkKind::Dynamic(_))),
        );
        let with = NewMark::Dynamic("p".to_owned());
        intents.push((
            "replace a dynamic",
            Safety::Review,
            vec![Intent::ReplaceMark { mark, with }],
        ));
    }
    intents
}

#[test]
fn wrong_edits_beside_every_intent_are_refused() {
    let (mut accepted, mut refused, mut not_said) = (0, 0, Vec::new());
    for format in Format::ALL {
        let before = Judged::new(document(format), Settings::default());
        for (name, safety, intents) in intents(before.document()) {
            let fix = Fix {
                title: name.to_owned(),
                safety,
                intents,
            };
            let Some(right) = after(&before, &fix) else {
                not_said.push(format!("{format:?}: {name}"));
                continue;
            };
            let outcome = proven(&before, &right, &fix);
            assert_eq!(outcome, Ok(()), "{format:?}: {name}\n{}", right.text());
            accepted += 1;
            for wrong in wrongs(format) {
                let text = right.text();
                let Some(at) = text.rfind(wrong.change.0) else {
                    continue;
                };
                let end = at + wrong.change.0.len();
                let text = format!("{}{}{}", &text[..at], wrong.change.1, &text[end..]);
                let wrong_after = Document::from_text(format, &text);
                let outcome = proven(&before, &wrong_after, &fix);
                let why = outcome.expect_err(&format!(
                    "{format:?}: {name}, {}: accepted\n{text}",
                    wrong.what
                ));
                assert!(
                    (wrong.refused)(&why),
                    "{format:?}: {name}, {}: {why:?}",
                    wrong.what
                );
                refused += 1;
            }
        }
    }
    println!("{accepted} fixes accepted, {refused} wrong edits refused, not said: {not_said:?}");
    assert_eq!((accepted, refused, not_said), (53, 679, Vec::new()));
}
