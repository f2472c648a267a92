//! Wrong edits beside every intent, in every notation: each must be refused, and for its own reason.

use notation::{Document, Format};
use rules::{Fix, Safety};
use score::{
    Courtesy, CueNote, EventKind, Intent, MarkKind, NewCue, NewMark, Part, PartRef, Sign, Span, Way,
};
use theory::{Key, WrittenPitch};

use super::*;
use crate::settings::Settings;

const ABC: &str = "X:1\nM:4/4\nL:1/4\nQ:1/4=80\nK:F\nV:1 name=\"Horn 1 in F\" transpose=-7\nV:2 name=\"Flute\"\n\
    % bellhand: ignore rip/to-few, mute/already\n\
    [V:1] !mf!(c d) e- e | \"^con sord.\" !+!f !breath!g a z | [K:clef=bass] C, D, E, z |]\n\
    [V:2] c' d' e' f' | !trill!g' a' b' z | c' d' e' z |]\n";

const KERN: &str = "!! bellhand: ignore rip/to-few, mute/already\n**kern\t**kern\n*I\"Flute\t*I\"Horn 1 in F\n*\t*ITrd4c7\n*clefG2\t*clefG2\n*k[b-]\t*k[b-e-]\n*M4/4\t*M4/4\n*MM80\t*MM80\n=1\t=1\n\
    !\t!LO:TX:a:t=mf\n4ccc\t(4f\n4ddd\t4g)\n4eee\t[4a\n4fff\t4a]\n=2\t=2\n!\t!LO:TX:a:t=con sord.\n!\t!LO:TX:a:t=+\n4gggt\t4b-\n4aaa\t4cc,\n4bbb-\t4dd\n4r\t4r\n\
    =3\t=3\n*\t*clefF4\n4ccc\t4F\n4ddd\t4G\n4eee\t4A\n4r\t4r\n==\t==\n*-\t*-\n";

fn musicxml() -> String {
    let note = |step: &str, octave: u8, more: &str, notations: &str| {
        let notations = if notations.is_empty() {
            String::new()
        } else {
            format!("<notations>{notations}</notations>")
        };
        format!(
            "<note><pitch><step>{step}</step><octave>{octave}</octave></pitch><duration>1</duration>{more}<type>quarter</type>\
             {notations}</note>\n"
        )
    };
    let rest = "<note><rest/><duration>1</duration><type>quarter</type></note>\n";
    let attributes = |transpose: &str| {
        format!(
            "<attributes><divisions>1</divisions><key><fifths>-1</fifths></key><time><beats>4</beats><beat-type>4</beat-type></time>\
             <clef><sign>G</sign><line>2</line></clef>{transpose}</attributes>\n"
        )
    };
    let dynamic =
        "<direction><direction-type><dynamics><mf/></dynamics></direction-type></direction>\n";
    let words =
        "<direction><direction-type><words>con sord.</words></direction-type></direction>\n";
    let tempo = "<direction><direction-type><metronome><beat-unit>quarter</beat-unit><per-minute>80</per-minute></metronome>\
                 </direction-type></direction>\n";
    let horn = [
        attributes("<transpose><diatonic>-4</diatonic><chromatic>-7</chromatic></transpose>"),
        tempo.to_owned(),
        dynamic.to_owned(),
        note("C", 5, "", "<slur type=\"start\"/>"),
        note("D", 5, "", "<slur type=\"stop\"/>"),
        note("E", 5, "<tie type=\"start\"/>", "<tied type=\"start\"/>"),
        note("E", 5, "<tie type=\"stop\"/>", "<tied type=\"stop\"/>"),
        "</measure><measure number=\"2\">\n".to_owned(),
        words.to_owned(),
        note("F", 5, "", "<technical><stopped/></technical>"),
        note("G", 5, "", "<articulations><breath-mark/></articulations>"),
        note("A", 5, "", ""),
        rest.to_owned(),
        "</measure><measure number=\"3\"><attributes><clef><sign>F</sign><line>4</line></clef></attributes>\n".to_owned(),
        note("C", 3, "", ""),
        note("D", 3, "", ""),
        note("E", 3, "", ""),
        rest.to_owned(),
    ]
    .concat();
    let flute = [
        attributes(""),
        note("C", 6, "", ""),
        note("D", 6, "", ""),
        note("E", 6, "", ""),
        note("F", 6, "", ""),
        "</measure><measure number=\"2\">\n".to_owned(),
        note("G", 6, "", "<ornaments><trill-mark/></ornaments>"),
        note("A", 6, "", ""),
        note("B", 6, "", ""),
        rest.to_owned(),
        "</measure><measure number=\"3\">\n".to_owned(),
        note("C", 6, "", ""),
        note("D", 6, "", ""),
        note("E", 6, "", ""),
        rest.to_owned(),
    ]
    .concat();
    format!(
        "<score-partwise version=\"4.0\"><part-list><score-part id=\"P1\"><part-name>Horn 1 in F</part-name></score-part>\
         <score-part id=\"P2\"><part-name>Flute</part-name></score-part></part-list>\n\
         <!-- bellhand: ignore rip/to-few, mute/already -->\n<part id=\"P1\"><measure number=\"1\">{horn}</measure></part>\n<part id=\"P2\"><measure number=\"1\">{flute}</measure></part>\n\
         </score-partwise>\n"
    )
}

/// A wrong change to the text of a notation, and what the refusal must be.
struct Wrong {
    what: &'static str,
    /// What stands in the text, and what the wrong edit makes of it; the last that is found is changed.
    change: (&'static str, &'static str),
    refused: fn(&Refused) -> bool,
}

const fn page(why: &Refused) -> bool {
    matches!(why, Refused::Page { .. })
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

fn document(format: Format) -> Document {
    match format {
        Format::Abc => Document::from_text(format, ABC),
        Format::Kern => Document::from_text(format, KERN),
        Format::MusicXml => Document::from_text(format, &musicxml()),
    }
}

fn horn(document: &Document) -> &Part {
    &document.score().pieces[0].piece.parts[0]
}

/// Where the first event of a kind stands in the document.
fn place(document: &Document, wanted: impl Fn(&EventKind) -> bool) -> Span {
    let base = document.score().pieces[0].base;
    let found = horn(document)
        .events()
        .find(|placed| wanted(&placed.event.kind));
    found.unwrap().span().shifted(base)
}

/// The pitch of the note at a place.
fn pitch_at(document: &Document, at: Span) -> WrittenPitch {
    let pieces = document.score().pieces.iter();
    let events = pieces.flat_map(|placed| {
        let parts = placed.piece.parts.iter();
        parts
            .flat_map(Part::events)
            .map(|event| (placed.base, event))
    });
    let mut pitches = events.filter_map(|(base, placed)| match &placed.event.kind {
        EventKind::Note(note) if placed.span().shifted(base) == at => Some(note.written),
        _ => None,
    });
    pitches.next().unwrap()
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
    vec![
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
    ]
}

fn proven(before: &Judged, after: &Document, fix: &Fix) -> Result<(), Refused> {
    prove(before, after, &[fix]).map(|_| ())
}

/// The document after a fix, when its notation can say it.
fn after(before: &Judged, fix: &Fix) -> Option<Document> {
    let edits = crate::proven::write(&before.document().writer(&before.document().text()), fix)
        .ok()?
        .edits;
    before.document().with_edits(&edits).ok()
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
    assert_eq!((accepted, refused, not_said), (51, 654, Vec::new()));
}

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
    let wrong = [
        (
            "one is left out",
            "<cue/><pitch><step>E",
            "<rest/><pitch><step>E",
        ),
        ("one is as large as others", "<cue/>", ""),
        (
            "another pitch",
            "<step>E</step><octave>6",
            "<step>F</step><octave>6",
        ),
        (
            "tied to nothing",
            "<type size=\"cue\">whole</type>",
            "<type size=\"cue\">whole</type><notations><tied type=\"start\"/></notations>",
        ),
        ("other words", "<words>Ob.</words>", "<words>Fl.</words>"),
        ("no words", "<words>Ob.</words>", ""),
        (
            "in the horn's own voice",
            "<voice>2</voice><type",
            "<voice>1</voice><type",
        ),
        (
            "the horn's rest goes",
            "<note><rest measure=\"yes\"/><duration>4</duration><voice>1</voice></note><backup>",
            "<forward><duration>4</duration></forward><backup>",
        ),
        (
            "twice",
            "<backup>",
            "<note><cue/><pitch><step>E</step><octave>6</octave></pitch><duration>4</duration><voice>2</voice></note><backup>",
        ),
    ];
    for (what, from, to) in wrong {
        // The horn's part comes last.
        let (others, horn) = text.split_once("<part id=\"P2\">").unwrap();
        assert!(horn.contains(from), "{what}: {horn}");
        let horn = horn.replacen(from, to, 1);
        let other =
            Document::from_text(Format::MusicXml, &format!("{others}<part id=\"P2\">{horn}"));
        let outcome = proven(&before, &other, &fix);
        assert!(outcome.is_err(), "{what}");
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
