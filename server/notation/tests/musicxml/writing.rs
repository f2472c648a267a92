//! Writing intents: what must sound the same does, what must move moves, and nothing else is touched.

use std::collections::HashMap;
use std::path::Path;

use fastrand::Rng;
use notation::{Document, Format, TextEdit};
use score::{
    AlterationFrom, Courtesy, Directive, EventKind, Intent, MarkKind, NewMark, PartRef, Sign, Span,
};
use theory::{Interval, Key, Letter, Quarters, Transposition, WrittenPitch};

use crate::{At, doc, maker::Maker, note, notes, parts, score};

const ROUNDS: u64 = 120;

fn scores() -> impl Iterator<Item = (Document, Rng)> {
    (0..ROUNDS).map(|seed| {
        let (text, rng) = Maker::score(seed);
        (doc(&text), rng)
    })
}

fn show(before: &Document, after: &Document) -> String {
    format!("{}\n-----\n{}", before.text(), after.text())
}

fn written(before: &Document, intent: &Intent) -> (Document, Vec<TextEdit>) {
    let edits = before
        .write(intent)
        .unwrap_or_else(|error| panic!("{intent:?}: {error}\n{}", before.text()));
    let after = before.with_edits(&edits).unwrap();
    let slips = |doc: &Document| doc.score().pieces[0].piece.unreadable.len();
    assert_eq!(slips(before), slips(&after), "{}", show(before, &after));
    (after, edits)
}

/// Everything in the text that is no `<accidental>`, `<alter>`, step or octave must stay.
fn only_pitches(before: &Document, after: &Document) {
    let rest = |doc: &Document| -> String {
        let mut text = doc.text();
        for name in ["accidental", "alter"] {
            while let Some(start) = text.find(&format!("<{name}>")) {
                let close = format!("</{name}>");
                let end = start + text[start..].find(&close).unwrap() + close.len();
                text.replace_range(text[..start].trim_end().len()..end, "");
            }
        }
        for name in ["step", "octave"] {
            let mut at = 0;
            while let Some(start) = text[at..].find(&format!("<{name}>")) {
                let start = at + start + name.len() + 2;
                let end = start + text[start..].find('<').unwrap();
                text.replace_range(start..end, "");
                at = start;
            }
        }
        text
    };
    assert_eq!(rest(before), rest(after));
}

#[derive(Debug, Clone, PartialEq)]
struct Heard {
    part: usize,
    bar: usize,
    offset: Quarters,
    length: Quarters,
    midi: i32,
}

fn heard(doc: &Document) -> Vec<Heard> {
    parts(doc)
        .iter()
        .enumerate()
        .flat_map(|(part, read)| {
            read.events()
                .filter_map(move |placed| match &placed.event.kind {
                    EventKind::Note(note) => Some(Heard {
                        part,
                        bar: placed.bar,
                        offset: placed.event.offset,
                        length: note.length,
                        midi: note.written.midi(),
                    }),
                    _ => None,
                })
        })
        .collect()
}

/// Whether each note reads right by key and accidentals alone, in the order of the text; `shared` says that one line's
/// accidentals speak to the other.
fn reads_right(doc: &Document, shared: bool) -> Vec<bool> {
    let mut right = Vec::new();
    for part in parts(doc) {
        let mut key = Key::NONE;
        let mut held = Vec::new();
        for bar in &part.bars {
            let mut met: HashMap<(u8, Letter, i8), i8> = HashMap::new();
            for run in &bar.runs {
                let mut events: Vec<(usize, &score::Event)> =
                    run.body.events.iter().enumerate().collect();
                events.sort_by_key(|(_, event)| event.offset);
                let mut found = Vec::new();
                for (place, event) in events {
                    match &event.kind {
                        EventKind::Key(new) => key = *new,
                        EventKind::Note(note) => {
                            let pitch = note.written.0;
                            let layer = if shared { 0 } else { note.layer };
                            let line = (layer, pitch.letter, pitch.octave);
                            let shown = note.alteration_from == AlterationFrom::Accidental;
                            if shown {
                                met.insert(line, pitch.alteration.0);
                            }
                            let tied = note.tied_from && held.contains(&pitch);
                            let reads = met
                                .get(&line)
                                .copied()
                                .unwrap_or_else(|| key.alteration(pitch.letter).0);
                            found.push((place, tied || reads == pitch.alteration.0));
                            if note.tied_to {
                                held.push(pitch);
                            }
                        }
                        _ => {}
                    }
                }
                found.sort_by_key(|(place, _)| *place);
                right.extend(found.into_iter().map(|(_, right)| right));
            }
        }
    }
    right
}

/// No reader finds a note wrong that he found right before.
fn no_reader_is_worse_off(before: &Document, after: &Document) {
    for shared in [false, true] {
        let (old, new) = (reads_right(before, shared), reads_right(after, shared));
        for (place, (old, new)) in old.iter().zip(&new).enumerate() {
            assert!(!old || *new, "note {place} {}", show(before, after));
        }
    }
}

fn any_part(doc: &Document, rng: &mut Rng) -> PartRef {
    PartRef {
        piece: 0,
        part: rng.usize(0..parts(doc).len()),
    }
}

#[test]
fn signatures_go_and_every_note_still_reads_right() {
    let mut count = 0;
    for (before, mut rng) in scores() {
        let part = any_part(&before, &mut rng);
        let (after, _) = written(
            &before,
            &Intent::DropKeySignatures {
                parts: vec![part],
                courtesy: [Courtesy::Never, Courtesy::NextBar][rng.usize(0..2)],
            },
        );
        assert_eq!(heard(&before), heard(&after), "{}", show(&before, &after));
        no_reader_is_worse_off(&before, &after);
        for (index, (was, is)) in parts(&before).iter().zip(parts(&after)).enumerate() {
            let keys = |part: &score::Part| -> Vec<Key> {
                part.events()
                    .filter_map(|placed| match placed.event.kind {
                        EventKind::Key(key) => Some(key),
                        _ => None,
                    })
                    .collect()
            };
            if index == part.part {
                assert!(keys(is).iter().all(Key::is_none));
            } else {
                assert_eq!(keys(was), keys(is));
            }
        }
        count += heard(&before).len();
    }
    println!("signatures dropped: {count} notes");
    assert_eq!(count, 4_657);
}

#[test]
fn a_signature_comes_and_every_note_still_reads_right() {
    for (before, mut rng) in scores() {
        let part = any_part(&before, &mut rng);
        let key = Key::from_fifths(rng.i32(-7..8));
        let intent = Intent::SetKeySignature { part, key };
        let (after, _) = written(&before, &intent);
        assert_eq!(heard(&before), heard(&after));
        no_reader_is_worse_off(&before, &after);
        let start = parts(&after)[part.part].key;
        assert_eq!(start.map_or(Key::NONE, |(key, _)| key), key);
        assert!(after.write(&intent).unwrap().is_empty());
    }
}

/// The places of all notes that one is tied to, its own included.
fn chain(all: &[At], place: usize) -> Vec<usize> {
    let follows = |a: &At, b: &At| {
        let (from, to) = (&a.note, &b.note);
        a.part == b.part && from.tied_to && to.tied_from && from.written == to.written
    };
    let mut chain = vec![place];
    let mut at = place;
    while let Some(next) = (at + 1..all.len()).find(|&next| follows(&all[at], &all[next])) {
        chain.push(next);
        at = next;
    }
    at = place;
    while let Some(last) = (0..at).rev().find(|&last| follows(&all[last], &all[at])) {
        chain.push(last);
        at = last;
    }
    chain
}

#[test]
fn notes_move_and_their_neighbours_stay() {
    let (mut moved, mut kept) = (0, 0);
    for (before, mut rng) in scores() {
        let all = notes(&before);
        if all.is_empty() {
            continue;
        }
        for _ in 0..4 {
            let place = rng.usize(0..all.len());
            let octaves = [1, -1][rng.usize(0..2)];
            let to = WrittenPitch::new(
                Letter::from_steps(rng.i32(0..7)),
                rng.i8(-2..=2),
                rng.i8(3..6),
            );
            let by_octave = rng.bool();
            let intent = if by_octave {
                Intent::MoveOctaves {
                    notes: vec![all[place].span],
                    octaves,
                }
            } else {
                Intent::MoveNote {
                    note: all[place].span,
                    to,
                }
            };
            let (after, _) = written(&before, &intent);
            only_pitches(&before, &after);
            let mut wanted = heard(&before);
            let tied = chain(&all, place);
            for &at in &tied {
                wanted[at].midi = if by_octave {
                    wanted[at].midi + 12 * i32::from(octaves)
                } else {
                    to.midi()
                };
            }
            assert_eq!(wanted, heard(&after), "{}", show(&before, &after));
            no_reader_is_worse_off(&before, &after);
            moved += tied.len();
            kept += all.len() - tied.len();
        }
    }
    println!("notes: {moved} moved, {kept} kept");
    assert_eq!((moved, kept), (566, 18_062));
}

#[test]
fn an_accidental_is_shown_and_nothing_sounds_otherwise() {
    let (mut needed, mut reminders, mut there) = (0, 0, 0);
    for (mut before, mut rng) in scores().take(40) {
        if rng.bool() {
            before = doc(&without_accidentals(before.text()));
        }
        for (place, at) in notes(&before).iter().enumerate() {
            let (after, edits) = written(&before, &Intent::ShowAccidental { note: at.span });
            assert_eq!(heard(&before), heard(&after), "{}", show(&before, &after));
            no_reader_is_worse_off(&before, &after);
            let shown = &notes(&after)[place].note;
            assert_eq!(shown.alteration_from, AlterationFrom::Accidental);
            match edits.iter().find(|edit| at.span.start <= edit.span.start) {
                None => there += 1,
                Some(edit) if edit.text.contains("cautionary=\"yes\"") => reminders += 1,
                Some(_) => needed += 1,
            }
        }
    }
    println!("accidentals: {needed} needed, {reminders} as reminders, {there} there already");
    assert!(needed > 50 && reminders > 500 && there > 50);
}

/// The page says less than what sounds.
fn without_accidentals(mut text: String) -> String {
    while let Some(start) = text.find("<accidental") {
        let end = start + text[start..].find("</accidental>").unwrap();
        text.replace_range(start..end + "</accidental>".len(), "");
    }
    text
}

#[test]
fn a_sign_in_another_octave_is_no_sign_on_the_line() {
    let text = score(&[&format!(
        "{}{}",
        note(
            "F#4",
            1,
            "<type>quarter</type><accidental>sharp</accidental>"
        ),
        note("F#5", 1, "<type>quarter</type><dot/><stem>up</stem>")
    )]);
    let before = doc(&text);
    let high = &notes(&before)[1];
    assert_eq!(high.note.alteration_from, AlterationFrom::Bar);
    let (after, _) = written(&before, &Intent::ShowAccidental { note: high.span });
    assert_eq!(
        after.text(),
        text.replace("<dot/>", "<dot/><accidental>sharp</accidental>")
    );
}

fn marks(doc: &Document) -> Vec<(Span, MarkKind)> {
    parts(doc)
        .iter()
        .flat_map(score::Part::events)
        .filter_map(|placed| match &placed.event.kind {
            EventKind::Mark(mark) => Some((placed.span(), mark.kind.clone())),
            _ => None,
        })
        .collect()
}

#[test]
fn marks_come_change_and_go() {
    let mut count = 0;
    for (before, mut rng) in scores() {
        let all = notes(&before);
        if all.is_empty() {
            continue;
        }
        let span = all[rng.usize(0..all.len())].span;
        let made = [
            NewMark::Plus,
            NewMark::Circle,
            NewMark::Words("senza sord. & <dolce>".into()),
        ];
        let mark = made[rng.usize(0..3)].clone();
        let intent = Intent::AddMark {
            note: span,
            mark: mark.clone(),
        };
        let (marked, edits) = written(&before, &intent);
        assert_eq!(edits.len(), 1);
        assert_eq!(heard(&before), heard(&marked));
        let is = |kind: &MarkKind, mark: &NewMark| match (kind, mark) {
            (MarkKind::Sign(Sign::Plus), NewMark::Plus)
            | (MarkKind::Sign(Sign::Circle), NewMark::Circle) => true,
            (MarkKind::Words(text), NewMark::Words(words)) => text.text == *words,
            _ => false,
        };
        let new = Span::new(
            edits[0].span.start,
            edits[0].span.start + edits[0].text.len(),
        );
        let place = marks(&marked)
            .into_iter()
            .find(|(span, kind)| new.start <= span.start && span.end <= new.end && is(kind, &mark))
            .unwrap_or_else(|| panic!("no {mark:?} in {}", show(&before, &marked)))
            .0;
        let (gone, _) = written(&marked, &Intent::RemoveMark { mark: place });
        assert_eq!(gone.text(), before.text());
        let with = made[rng.usize(0..3)].clone();
        let (other, _) = written(
            &marked,
            &Intent::ReplaceMark {
                mark: place,
                with: with.clone(),
            },
        );
        assert_eq!(heard(&before), heard(&other));
        assert_eq!(marks(&marked).len(), marks(&other).len());
        let of = |doc: &Document| marks(doc).iter().filter(|(_, k)| is(k, &with)).count();
        assert_eq!(of(&other), of(&before) + 1, "{}", show(&marked, &other));
        count += 1;
    }
    println!("marks: {count} put, changed and taken out");
    assert_eq!(count, 120);
}

#[test]
fn what_a_mark_leaves_behind() {
    let music = "<direction><direction-type><words>con sord.</words></direction-type>\
        <sound tempo=\"90\"><play><mute>on</mute></play></sound></direction>\
        <direction><direction-type><words>dolce</words></direction-type><direction-type><dynamics><p/></dynamics>\
        </direction-type></direction>\
        <direction><direction-type><words>con sord.</words></direction-type><sound><play><mute>on</mute></play></sound>\
        </direction>";
    let before = doc(&score(&[&format!("{music}{}", note("G4", 1, ""))]));
    let places: Vec<Span> = marks(&before)
        .iter()
        .filter(|(_, kind)| matches!(kind, MarkKind::Words(_)))
        .map(|(span, _)| *span)
        .collect();
    for (place, wanted) in [
        "<sound tempo=\"90\"><play><mute>on</mute></play></sound><direction><direction-type><words>dolce",
        "</direction><direction><direction-type><dynamics><p/></dynamics></direction-type></direction><direction>",
        "</dynamics></direction-type></direction><note>",
    ]
    .iter()
    .enumerate()
    {
        let mark = places[place];
        let (after, _) = written(&before, &Intent::RemoveMark { mark });
        assert!(after.text().contains(wanted), "{place}: {}", after.text());
    }
}

#[test]
fn transpositions_and_names_are_recorded_for_one_part() {
    for (before, mut rng) in scores() {
        let part = any_part(&before, &mut rng);
        for (steps, semitones) in [(-4, -7), (-8, -14), (-7, -12), (0, 0)] {
            let transposition = Transposition(Interval::new(steps, semitones));
            let intent = Intent::SetTransposition {
                part,
                transposition,
            };
            let (after, _) = written(&before, &intent);
            assert_eq!(heard(&before), heard(&after));
            for (index, (was, is)) in parts(&before).iter().zip(parts(&after)).enumerate() {
                let stated = is.transposition.map(|(stated, _)| stated);
                if index == part.part {
                    assert_eq!(stated, Some(transposition), "{}", show(&before, &after));
                    assert!(is.transposition_spelled);
                } else {
                    assert_eq!(stated, was.transposition.map(|(stated, _)| stated));
                }
            }
            assert!(after.write(&intent).unwrap().is_empty());
        }
        let name = "Horn in E♭ & <pier>";
        let (after, _) = written(
            &before,
            &Intent::NamePart {
                part,
                name: name.into(),
            },
        );
        let read = &parts(&after)[part.part];
        assert_eq!(read.name.as_ref().unwrap().text, name);
        let shown = "<display-text>Horn in E♭ &amp; &lt;pier></display-text>";
        let display = after.text().contains(shown);
        let displayed = before
            .text()
            .contains(&format!("<display-text>Horn in F {}<", part.part + 1));
        assert_eq!(display, displayed, "{}", show(&before, &after));
        assert_eq!(heard(&before), heard(&after));
    }
}

/// What an instruction keeps silent, and whether it does so in the whole file.
fn ignored(directive: &Directive) -> (bool, Vec<String>) {
    let names = directive.ignored().iter().map(|rule| rule.name.clone());
    (directive.is_of_file(), names.collect())
}

/// The change that takes names out of the instruction a document holds.
fn drop_ignored(document: &Document, rules: &[&str]) -> Intent {
    let text = document.text();
    let from = text.find("bellhand: ignore").unwrap();
    let line = text[from..].lines().next().unwrap();
    let words = line.trim_end_matches("-->").trim_end();
    Intent::DropIgnored {
        at: Span::new(from, from + words.len()),
        rules: rules.iter().map(|rule| (*rule).to_owned()).collect(),
    }
}

#[test]
fn comments_that_silence_rules_change_no_music_and_merge() {
    for (before, mut rng) in scores() {
        let all = notes(&before);
        if all.is_empty() {
            continue;
        }
        let at = all[rng.usize(0..all.len())].span;
        let said = |doc: &Document| -> Vec<(bool, Vec<String>)> {
            let score = doc.score();
            let of_pieces = score.pieces.iter().flat_map(|p| &p.piece.directives);
            let all = score.directives.iter().chain(of_pieces);
            all.map(|directive| {
                assert!(
                    directive.is_of_file() || directive.own_line,
                    "{}",
                    doc.text()
                );
                ignored(directive)
            })
            .collect()
        };
        let here = |at: Span, rule: &str| Intent::IgnoreHere {
            at,
            rule: rule.into(),
        };
        let here_said =
            |rules: &[&str]| (false, rules.iter().map(|rule| (*rule).to_owned()).collect());
        let (once, edits) = written(&before, &here(at, "range/too-high"));
        assert_eq!(said(&once), [here_said(&["range/too-high"])]);
        let line = |doc: &Document, byte: usize| doc.rope().byte_to_line(byte);
        let later = at.shifted(edits[0].text.len());
        let comment = once.text().find("<!-- bellhand").unwrap();
        assert_eq!(line(&once, comment) + 1, line(&once, later.start));
        let (twice, _) = written(&once, &here(later, "rip/too-few"));
        assert_eq!(
            said(&twice),
            [here_said(&["range/too-high", "rip/too-few"])]
        );
        assert!(
            once.write(&here(later, "range/too-high"))
                .unwrap()
                .is_empty()
        );
        let in_file = |rule: &str| Intent::IgnoreInFile { rule: rule.into() };
        let (file, _) = written(&before, &in_file("range/too-low"));
        let (file, _) = written(&file, &in_file("mute/no-time"));
        let wanted = (true, vec!["range/too-low".into(), "mute/no-time".into()]);
        assert_eq!(said(&file), [wanted]);
        let (less, _) = written(&twice, &drop_ignored(&twice, &["range/too-high"]));
        assert_eq!(said(&less), [here_said(&["rip/too-few"])]);
        for after in [&twice, &file] {
            let all: Vec<String> = said(after).remove(0).1;
            let all: Vec<&str> = all.iter().map(String::as_str).collect();
            let (none, _) = written(after, &drop_ignored(after, &all));
            // Where the comment got a line to itself among many elements, the space around it stays.
            let bare = |document: &Document| document.text().replace(['\n', '\r', ' ', '\t'], "");
            assert_eq!(bare(&none), bare(&before));
            if edits.len() == 1 && after.text() == twice.text() {
                assert_eq!(none.text(), before.text());
            }
        }
        for after in [&once, &twice, &file] {
            assert_eq!(heard(&before), heard(after));
        }
    }
}

#[test]
fn the_real_scores_take_every_intent() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../tests/scores/musicxml");
    let (mut files, mut count) = (0, 0);
    for entry in std::fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        // The compressed ones are whole orchestras.
        if path
            .extension()
            .is_none_or(|extension| extension != "musicxml")
        {
            continue;
        }
        let before =
            Document::from_bytes(Format::MusicXml, &std::fs::read(&path).unwrap()).unwrap();
        let mut rng = Rng::with_seed(7);
        let all = notes(&before);
        let place = rng.usize(0..all.len());
        let part = PartRef {
            piece: 0,
            part: all[place].part,
        };
        let span = all[place].span;
        for intent in [
            Intent::DropKeySignatures {
                parts: vec![part],
                courtesy: Courtesy::NextBar,
            },
            Intent::SetKeySignature {
                part,
                key: Key::from_fifths(3),
            },
            Intent::AddMark {
                note: span,
                mark: NewMark::Plus,
            },
            Intent::AddMark {
                note: span,
                mark: NewMark::Words("con sord.".into()),
            },
            Intent::SetTransposition {
                part,
                transposition: Transposition(Interval::new(-8, -14)),
            },
            Intent::NamePart {
                part,
                name: "Horn in B♭ basso".into(),
            },
            Intent::IgnoreHere {
                at: span,
                rule: "range/too-high".into(),
            },
            Intent::IgnoreInFile {
                rule: "range/too-high".into(),
            },
        ] {
            let (after, _) = written(&before, &intent);
            assert_eq!(heard(&before), heard(&after));
            no_reader_is_worse_off(&before, &after);
            count += 1;
        }
        let (after, _) = written(
            &before,
            &Intent::MoveOctaves {
                notes: vec![span],
                octaves: -1,
            },
        );
        no_reader_is_worse_off(&before, &after);
        let (old, new) = (heard(&before), heard(&after));
        let moved = old.iter().zip(&new).filter(|(a, b)| a != b).count();
        assert_eq!(moved, chain(&all, place).len());
        files += 1;
    }
    println!("{files} real scores, {count} intents that keep the music");
    assert!(files > 5);
    assert_eq!(count, 8 * files);
}
