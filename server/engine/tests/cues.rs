//! Cues that write themselves: small notes in MusicXML, words in ABC's rests of many bars.
#![expect(clippy::unwrap_used, reason = "a score in a test is well formed")]

use engine::{Judged, Settings, Which};
use notation::{Document, Format};
use rules::{Finding, Fix};
use score::{Cue, EventKind, Intent, Kinds, NewCue};
use theory::Quarters;

use crate::sheet::sheet;

/// A measure of one part.
fn measure(number: usize, inner: &str) -> String {
    format!("<measure number=\"{number}\">{inner}</measure>\n")
}

/// A note of 12 divisions a quarter note: its pitch, length and what follows its duration.
fn note(step: &str, octave: u8, units: u32, more: &str) -> String {
    format!(
        "<note><pitch><step>{step}</step><octave>{octave}</octave></pitch><duration>{units}</duration><voice>1</voice>\
         {more}</note>"
    )
}

fn attributes(transpose: &str, more: &str) -> String {
    format!(
        "<attributes><divisions>12</divisions><key><fifths>0</fifths></key><time><beats>4</beats><beat-type>4</beat-type></time>\
         <clef><sign>G</sign><line>2</line></clef>{transpose}{more}</attributes>"
    )
}

const REST: &str = "<note><rest measure=\"yes\"/><duration>48</duration><voice>1</voice></note>";
const TEMPO: &str = "<sound tempo=\"60\"/>";
const BARS: usize = 24;

/// Twenty-two bars of rest, two in which a clarinet in B flat plays, and the horn's entry.
fn score(clarinet: &[String; 2], horn_start: &str, entry: &str) -> String {
    let horn_head = attributes(
        "<transpose><diatonic>-4</diatonic><chromatic>-7</chromatic></transpose>",
        horn_start,
    );
    let clarinet_head = attributes(
        "<transpose><diatonic>-1</diatonic><chromatic>-2</chromatic></transpose>",
        "",
    );
    let mut horn = measure(1, &format!("{horn_head}{TEMPO}{REST}"));
    let first = note("C", 5, 48, "<type>whole</type>");
    horn = horn.replace(REST, &first);
    // One sign for many bars of rest.
    let many =
        "<attributes><measure-style><multiple-rest>23</multiple-rest></measure-style></attributes>";
    let mut other = measure(1, &format!("{clarinet_head}{REST}"));
    for number in 2..=BARS {
        let sign = if number == 2 { many } else { "" };
        horn.push_str(&measure(number, &format!("{sign}{REST}")));
        let music = match number {
            23 => clarinet[0].as_str(),
            24 => clarinet[1].as_str(),
            _ => REST,
        };
        other.push_str(&measure(number, music));
    }
    horn.push_str(&measure(BARS + 1, entry));
    other.push_str(&measure(BARS + 1, REST));
    format!(
        "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<score-partwise version=\"4.0\"><part-list>\
         <score-part id=\"P1\"><part-name>Clarinet in B flat</part-name></score-part>\
         <score-part id=\"P2\"><part-name>Horn in F</part-name></score-part></part-list>\n\
         <part id=\"P1\">\n{other}</part>\n<part id=\"P2\">\n{horn}</part>\n</score-partwise>\n"
    )
}

/// Dots, ties, a triplet, a rest and an altered note.
fn clarinet() -> [String; 2] {
    let third = "<type>eighth</type><time-modification><actual-notes>3</actual-notes>\
                 <normal-notes>2</normal-notes></time-modification>";
    let tuplet = |kind| format!("{third}<notations><tuplet type=\"{kind}\"/></notations>");
    let first = [
        note("G", 4, 18, "<type>quarter</type><dot/>"),
        note("F", 4, 6, "<type>eighth</type>").replace("</step>", "</step><alter>1</alter>"),
        "<note><rest/><duration>12</duration><voice>1</voice><type>quarter</type></note>"
            .to_owned(),
        note(
            "D",
            5,
            12,
            "<tie type=\"start\"/><type>quarter</type><notations><tied type=\"start\"/></notations>",
        ),
    ];
    // The note that ends the tie, then a triplet, then a note that goes on beneath the horn's entry.
    let second = [
        note(
            "D",
            5,
            12,
            "<tie type=\"stop\"/><type>quarter</type><notations><tied type=\"stop\"/></notations>",
        ),
        note("C", 5, 4, &tuplet("start")),
        note("B", 4, 4, third),
        note("A", 4, 4, &tuplet("stop")),
        note("G", 4, 24, "<type>half</type>"),
    ];
    [first.concat(), second.concat()]
}

fn entry() -> String {
    note("E", 5, 48, "<type>whole</type>")
}

fn judged(text: &str) -> Judged {
    Judged::new(
        Document::from_text(Format::MusicXml, text),
        Settings::default(),
    )
}

fn no_cue(judged: &Judged) -> Option<&Finding> {
    judged
        .findings()
        .iter()
        .find(|one| one.rule == "part/no-cue")
}

/// The small notes of the horn: when, as written (`r` is a rest), how long.
fn cues(judged: &Judged) -> Vec<(Quarters, String, Quarters, bool)> {
    let (_, piece) = judged.pieces().next().unwrap();
    let part = &piece.piece.parts[1];
    let events = part.events_of(Kinds::CUES);
    events
        .filter_map(|placed| match &placed.event.kind {
            EventKind::Cue(Cue {
                written,
                length,
                tied_to,
                ..
            }) => {
                let name = written.map_or_else(|| "r".to_owned(), |written| written.to_string());
                Some((placed.onset, name, *length, *tied_to))
            }
            _ => None,
        })
        .collect()
}

#[test]
fn a_line_is_written_small_over_the_rest() {
    let before = judged(&score(&clarinet(), "", &entry()));
    let finding = no_cue(&before).unwrap();
    assert_eq!(
        finding.fixes[0].title,
        "Write what is played there (\"Clarinet\") as small notes from bar 23"
    );
    let after = before.prove(&[&finding.fixes[0]]).unwrap().judge();
    let text = after.document().text();
    // A clarinet in B flat sounds a tone lower than written, a horn in F a fifth.
    let expected = [
        ((88, 1), "C5", (3, 2), false),
        ((179, 2), "B4", (1, 2), false),
        ((90, 1), "r", (1, 1), false),
        ((91, 1), "G5", (1, 1), true),
        ((92, 1), "G5", (1, 1), false),
        ((93, 1), "F5", (1, 3), false),
        ((280, 3), "E5", (1, 3), false),
        ((281, 3), "D5", (1, 3), false),
        ((94, 1), "C5", (2, 1), false),
    ];
    let quarters = |(over, under)| Quarters::new(over, under);
    let expected: Vec<_> = expected
        .into_iter()
        .map(|(onset, name, length, tied)| {
            (quarters(onset), name.to_owned(), quarters(length), tied)
        })
        .collect();
    assert_eq!(cues(&after), expected);
    for (written, times) in [
        ("<words>Clarinet</words>", 1),
        ("<cue/>", 9),
        ("<type size=\"cue\">", 9),
        ("<dot/>", 2),
        ("<tied type=\"start\"/>", 2),
        ("<tuplet type=\"start\"/>", 2),
        ("<actual-notes>3</actual-notes>", 6),
        // B natural needs no sign in a part without signature, where nothing has altered it.
        ("<accidental>", 0),
        // All rests of the horn are there, and one sign says so of those before the small notes.
        ("<rest measure=\"yes\"/>", 23 + 23),
        ("<multiple-rest>21</multiple-rest>", 1),
        ("<voice>2</voice>", 10),
    ] {
        assert_eq!(text.matches(written).count(), times, "{written}");
    }
    assert!(no_cue(&after).is_none());
    // Nothing is left to do.
    let again = after.fix_all(Which::Review);
    assert_eq!(again.judged.document().text(), text);
    // What the part plays otherwise is the same for who reads it.
    let notes = |judged: &Judged| -> Vec<_> {
        let (_, piece) = judged.pieces().next().unwrap();
        let notes = piece.horns[0].notes.iter();
        notes
            .map(|note| (note.onset, note.sounding, note.length, note.starts.0))
            .collect()
    };
    assert_eq!(notes(&before), notes(&after));
}

#[test]
fn a_line_is_brought_to_the_staff_and_says_so() {
    let high = clarinet().map(|bar| {
        bar.replace("<octave>5", "<octave>7")
            .replace("<octave>4", "<octave>6")
    });
    let before = judged(&score(&high, "", &entry()));
    let finding = no_cue(&before).unwrap();
    let after = before.prove(&[&finding.fixes[0]]).unwrap().judge();
    assert!(
        after
            .document()
            .text()
            .contains("<words>Clarinet 15ma</words>")
    );
    assert_eq!(cues(&after)[0].1, "C5");
    // A part that reads its words in a language has the instrument's short name in it.
    let spoken = "<direction><direction-type><words>gestopft</words></direction-type></direction>";
    let text = score(&high, "", &entry()).replace(TEMPO, &format!("{TEMPO}{spoken}"));
    let before = judged(&text);
    let after = before.prove(&[&no_cue(&before).unwrap().fixes[0]]).unwrap();
    assert!(
        after
            .document()
            .text()
            .contains("<words>Klar. 15ma</words>")
    );
}

#[test]
fn accidentals_are_written_out() {
    let [first, second] = clarinet();
    // F sharp, then F: concert E, then E flat; written B, then B flat.
    let flat = second.replacen(
        "<step>C</step><octave>5</octave>",
        "<step>F</step><octave>4</octave>",
        1,
    );
    let natural = first.replace("<alter>1</alter>", "<alter>0</alter>");
    let text = score(&[natural.clone(), flat.clone()], "", &entry());
    let before = judged(&text);
    let after = before.prove(&[&no_cue(&before).unwrap().fixes[0]]).unwrap();
    let text = after.document().text();
    assert_eq!(text.matches("<accidental>flat</accidental>").count(), 2);
    assert_eq!(text.matches("<accidental>natural</accidental>").count(), 0);
    // B right after B flat takes it back, and in a signature of one flat B flat is written out all the same.
    let back = flat.replacen(
        "<step>B</step><octave>4",
        "<step>F</step><alter>1</alter><octave>4",
        1,
    );
    let text = score(&[natural, back], "", &entry());
    let (other, horn) = text.split_once("<part id=\"P2\">").unwrap();
    for key in [0, -1] {
        let horn = horn.replacen("<fifths>0<", &format!("<fifths>{key}<"), 1);
        let before = judged(&format!("{other}<part id=\"P2\">{horn}"));
        let after = before.prove(&[&no_cue(&before).unwrap().fixes[0]]).unwrap();
        let text = after.document().text();
        let shown = |sign: &str| {
            text.matches(&format!("<accidental>{sign}</accidental>"))
                .count()
        };
        assert_eq!((shown("flat"), shown("natural")), (2, 1), "{key}");
    }
    // In that signature B natural takes the flat back.
    let key = "<key><fifths>-1</fifths></key>";
    let text = score(&clarinet(), "", &entry());
    let (other, horn) = text.split_once("<part id=\"P2\">").unwrap();
    let horn = horn.replacen("<key><fifths>0</fifths></key>", key, 1);
    let before = judged(&format!("{other}<part id=\"P2\">{horn}"));
    let after = before.prove(&[&no_cue(&before).unwrap().fixes[0]]).unwrap();
    let text = after.document().text();
    assert_eq!(text.matches("<accidental>natural</accidental>").count(), 1);
}

#[test]
fn small_notes_end_before_the_entry() {
    // The horn comes in on the third quarter note of bar 24, beneath the clarinet's half note.
    let text = score(&clarinet(), "", REST);
    let rest = "<note><rest/><duration>24</duration><voice>1</voice><type>half</type></note>";
    let half = note("E", 5, 24, "<type>half</type>");
    let (other, horn) = text.split_once("<part id=\"P2\">").unwrap();
    let horn = horn.replace(&measure(24, REST), &measure(24, &format!("{rest}{half}")));
    let before = judged(&format!("{other}<part id=\"P2\">{horn}"));
    let after = before
        .prove(&[&no_cue(&before).unwrap().fixes[0]])
        .unwrap()
        .judge();
    let shown = cues(&after);
    let (last, length) = shown.last().map(|cue| (cue.0, cue.2)).unwrap();
    assert_eq!(last + length, Quarters::whole(94));
    assert!(no_cue(&after).is_none());
}

#[test]
fn what_cannot_be_shown_is_put_into_words() {
    let titles = |text: &str| -> Vec<String> {
        let judged = judged(text);
        let fixes = &no_cue(&judged).unwrap().fixes;
        let offered = fixes.iter().filter(|fix| judged.prove(&[fix]).is_ok());
        offered.map(|fix| fix.title.clone()).collect()
    };
    let words = "Write \"Clarinet (C)\" over the rest in bar 23";
    let usual = score(&clarinet(), "", &entry());
    assert_eq!(titles(&usual).len(), 2);
    assert_eq!(titles(&usual)[1], words);
    // In the bass clef a player would read other notes.
    let bass = "<attributes><clef><sign>F</sign><line>4</line></clef></attributes>";
    let (other, horn) = usual.split_once("<part id=\"P2\">").unwrap();
    let horn = horn.replace(&measure(20, REST), &measure(20, &format!("{bass}{REST}")));
    let bass = format!("{other}<part id=\"P2\">{horn}");
    assert_eq!(titles(&bass), [words]);
    let told = no_cue(&judged(&bass)).unwrap().message.clone();
    assert!(told.ends_with("small notes: the horn does not read the treble clef there."));
    // Divisions that cannot count a triplet.
    let coarse = judged(&coarse(&usual));
    let finding = no_cue(&coarse).unwrap();
    let why = coarse.prove(&[&finding.fixes[0]]).unwrap_err().to_string();
    assert_eq!(
        why,
        "the divisions of this part cannot count the other part's notes"
    );
}

/// The fix with its cue changed.
fn changed(fix: &Fix, change: impl FnOnce(&mut NewCue)) -> Fix {
    let mut fix = fix.clone();
    if let Some(Intent::WriteCue { cue, .. }) = fix.intents.first_mut() {
        change(cue);
    }
    fix
}

#[test]
fn small_notes_that_are_not_true_are_refused() {
    let before = judged(&score(&clarinet(), "", &entry()));
    let fix = &no_cue(&before).unwrap().fixes[0];
    let other = "D5".parse().unwrap();
    let octave = "C6".parse().unwrap();
    let wrong = [
        (
            "another pitch",
            changed(fix, |cue| cue.notes[0].written = Some(other)),
        ),
        (
            "another octave than the others",
            changed(fix, |cue| cue.notes[0].written = Some(octave)),
        ),
        (
            "another length",
            changed(fix, |cue| cue.notes[0].length = Quarters::ONE),
        ),
        (
            "another time",
            changed(fix, |cue| cue.notes[8].onset = Quarters::whole(93)),
        ),
        (
            "a note for a rest",
            changed(fix, |cue| cue.notes[2].written = Some(other)),
        ),
        (
            "a rest for a note",
            changed(fix, |cue| cue.notes[0].written = None),
        ),
        (
            "another note",
            changed(fix, |cue| cue.notes[0].shows = cue.notes[1].shows),
        ),
    ];
    for (what, fix) in &wrong {
        assert!(before.prove(&[fix]).is_err(), "{what}");
    }
    println!("{} untrue cues refused", wrong.len());
}

#[test]
fn a_rest_of_many_bars_is_divided_for_words() {
    let horn = "!mf!c4 | Z23 | !mf!e4";
    let rests = "z4 | ".repeat(22);
    let oboe = format!("{rests}!mf!A B c d | c B A G | z4");
    let parts = [("Horn in F", horn), ("Oboe", oboe.as_str())];
    let before = sheet(60, &parts, Settings::default());
    let finding = no_cue(&before).unwrap();
    let [fix] = finding.fixes.as_slice() else {
        panic!("{:?}", finding.fixes)
    };
    assert_eq!(fix.title, "Write \"Oboe (D)\" over the rest in bar 23");
    let after = before.prove(&[fix]).unwrap().judge();
    let text = after.document().text();
    assert!(
        text.contains("c4 | Z21 | \"^Oboe (D)\" Z2 | !mf!e4"),
        "{text}"
    );
    assert!(no_cue(&after).is_none());
    // A rest that is divided elsewhere, or without words, is refused.
    let none = changed(fix, |cue| cue.words.clear());
    assert!(before.prove(&[&none]).is_err());
    for bar in [1, 25] {
        let there = changed(fix, |cue| cue.from = Quarters::whole(4 * bar));
        assert!(before.prove(&[&there]).is_err(), "{bar}");
    }
}

#[test]
fn whole_parts_get_their_cues() {
    let before = judged(&score(&clarinet(), "", &entry()));
    let parts: Vec<_> = engine::HornOf::all(&before).collect();
    let cued = before.cued(&parts);
    assert_eq!((cued.applied.len(), cued.refused.len()), (1, 0));
    assert_eq!(cues(&cued.judged).len(), 9);
    // Once more changes nothing.
    let text = cued.judged.document().text();
    let parts: Vec<_> = engine::HornOf::all(&cued.judged).collect();
    let again = cued.judged.cued(&parts);
    assert!(again.applied.is_empty());
    assert_eq!(again.judged.document().text(), text);
    // Where the small notes are refused, words stand; where nothing plays, that is told.
    let coarse = judged(&coarse(&score(&clarinet(), "", &entry())));
    let parts: Vec<_> = engine::HornOf::all(&coarse).collect();
    let cued = coarse.cued(&parts);
    assert_eq!(
        cued.applied[0].title,
        "Write \"Clarinet (C)\" over the rest in bar 23"
    );
    let alone = sheet(
        60,
        &[("Horn in F", "!mf!c4 | Z23 | !mf!e4")],
        Settings::default(),
    );
    let parts: Vec<_> = engine::HornOf::all(&alone).collect();
    let cued = alone.cued(&parts);
    assert!(cued.applied.is_empty());
    assert_eq!(
        cued.refused[0].1.to_string(),
        "no other part plays a line to hold on to there"
    );
    // Of several pieces and parts only those that are asked for.
    assert!(alone.cued(&[]).refused.is_empty());
}

#[test]
fn small_notes_move_with_a_part_that_is_written_for_another_horn() {
    let before = judged(&score(&clarinet(), "", &entry()));
    let cued = before.prove(&[&no_cue(&before).unwrap().fixes[0]]).unwrap();
    let cued = cued.judge();
    let mut tried = 0;
    for target in [horn::Crook::EFlat, horn::Crook::D, horn::Crook::BFlatBasso] {
        let parts: Vec<_> = engine::HornOf::all(&cued).collect();
        let target = horn::WrittenFor::Crook(target);
        let moved = cued.rewrite(&parts, target).unwrap().judge();
        // What is shown of the clarinet sounds as it did.
        let sounds = |judged: &Judged| -> Vec<Option<i32>> {
            let (_, piece) = judged.pieces().next().unwrap();
            let horn = &piece.horns[0];
            let cues = cues(judged).into_iter();
            cues.map(|(onset, name, ..)| {
                let written: theory::WrittenPitch = name.parse().ok()?;
                Some(horn.crook_at(onset).transposition.sound(written).midi())
            })
            .collect()
        };
        assert_eq!(sounds(&moved), sounds(&cued));
        assert_ne!(cues(&moved), cues(&cued));
        // Each altered one shows its accidental.
        let text = moved.document().text();
        let altered = cues(&moved)
            .iter()
            .filter(|(_, name, ..)| name.contains(['#', 'b']))
            .count();
        let shown = text.split("<note>").filter(|note| {
            note.contains("<cue/>") && note.contains("<alter>") && note.contains("<accidental>")
        });
        assert_eq!(shown.count(), altered, "{target:?}");
        tried += altered;
        let back = moved.rewrite(
            &engine::HornOf::all(&moved).collect::<Vec<_>>(),
            horn::WrittenFor::Crook(horn::Crook::F),
        );
        assert_eq!(cues(&back.unwrap().judge()), cues(&cued));
    }
    assert!(tried > 0);
}

#[test]
fn small_notes_show_what_another_signature_does_not() {
    // In a signature of one flat the horn's small B natural takes it back; without one it needs nothing.
    let text = score(&clarinet(), "", &entry());
    let (other, horn) = text.split_once("<part id=\"P2\">").unwrap();
    let horn = horn.replacen("<fifths>0</fifths>", "<fifths>-1</fifths>", 1);
    let before = judged(&format!("{other}<part id=\"P2\">{horn}"));
    let cued = before.prove(&[&no_cue(&before).unwrap().fixes[0]]).unwrap();
    let cued = cued.judge();
    let fix = |intent| Fix {
        title: String::new(),
        safety: rules::Safety::Safe,
        intents: vec![intent],
    };
    let part = score::PartRef { piece: 0, part: 1 };
    let naturals = |judged: &Judged| {
        let text = judged.document().text();
        text.matches("<accidental>natural</accidental>").count()
    };
    assert_eq!(naturals(&cued), 1);
    let without = fix(Intent::DropKeySignatures {
        parts: vec![part],
        courtesy: score::Courtesy::Never,
        brackets: false,
    });
    let without = cued.prove(&[&without]).unwrap().judge();
    assert_eq!(naturals(&without), 0);
    let set = fix(Intent::SetKeySignature {
        part,
        key: theory::Key::from_fifths(-1),
    });
    let set = without.prove(&[&set]).unwrap().judge();
    assert_eq!(naturals(&set), 1);
}

#[test]
fn a_line_without_values_gets_them_from_its_lengths() {
    let untyped = |text: &str| {
        let mut text = text.to_owned();
        for value in ["whole", "half", "quarter", "eighth"] {
            text = text.replace(&format!("<type>{value}</type>"), "");
        }
        text.replace("<dot/>", "")
    };
    let [first, second] = clarinet();
    let before = judged(&score(&[untyped(&first), untyped(&first)], "", &entry()));
    let after = before.prove(&[&no_cue(&before).unwrap().fixes[0]]).unwrap();
    let text = after.document().text();
    let shown = text.matches("<type size=\"cue\">quarter</type>").count();
    assert_eq!((shown, text.matches("<dot/>").count()), (6, 2));
    // A third of a quarter note is no value by itself.
    let before = judged(&score(&[untyped(&first), untyped(&second)], "", &entry()));
    let why = before
        .prove(&[&no_cue(&before).unwrap().fixes[0]])
        .unwrap_err();
    assert!(why.to_string().contains("does not say its value"), "{why}");
}

/// The score with divisions in the horn's part that cannot count a triplet.
fn coarse(text: &str) -> String {
    let (other, horn) = text.split_once("<part id=\"P2\">").unwrap();
    let horn = horn.replace("<divisions>12", "<divisions>1");
    let horn = horn.replace("<duration>48", "<duration>4");
    format!("{other}<part id=\"P2\">{horn}")
}

#[test]
fn fixing_all_writes_words_where_small_notes_are_refused() {
    let titles = |fixed: &engine::Fixed| -> Vec<String> {
        let titles = fixed.applied.iter().map(|done| done.title.clone());
        titles.collect()
    };
    let usual = judged(&score(&clarinet(), "", &entry())).fix_all(Which::Review);
    assert_eq!(
        titles(&usual),
        ["Write what is played there (\"Clarinet\") as small notes from bar 23"]
    );
    let fixed = judged(&coarse(&score(&clarinet(), "", &entry()))).fix_all(Which::Review);
    assert_eq!(
        titles(&fixed),
        ["Write \"Clarinet (C)\" over the rest in bar 23"]
    );
    // The finding is gone, so nothing is left to tell of it, and nothing to do.
    assert_eq!((fixed.refused.len(), fixed.settled), (0, true));
    assert!(no_cue(&fixed.judged).is_none());
    let again = fixed.judged.fix_all(Which::Review);
    assert!(again.applied.is_empty() && again.refused.is_empty());
    // Without leave to change what is played, nothing is written.
    let safe = judged(&coarse(&score(&clarinet(), "", &entry()))).fix_all(Which::Safe);
    assert!(safe.applied.is_empty() && safe.refused.is_empty());
}
