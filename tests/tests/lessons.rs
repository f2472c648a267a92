//! The demo's lessons: each finds what it announces and nothing else, its model answer is clean and is marked as all
//! fixed with the music kept, and answers that are not so good are marked as such.

#![expect(clippy::unwrap_used, reason = "a test fails loudly")]

use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};

use engine::{Judged, Lesson, Marks, Settings};
use notation::{Document, Format};
use reading::PieceReading;
use rules::{LessonSaid, Places};
use score::{EventKind, Intent};
use support::home;

/// The scores in a folder of the demo, in order.
fn scores(folder: &str) -> Vec<PathBuf> {
    let entries = fs::read_dir(home().join("demo").join(folder)).unwrap();
    let paths = entries.map(|entry| entry.unwrap().path());
    let mut scores: Vec<PathBuf> = paths
        .filter(|path| Format::of_path(path).is_some())
        .collect();
    scores.sort();
    scores
}

fn judged(path: &Path) -> Judged {
    let format = Format::of_path(path).unwrap();
    let document = Document::from_bytes(format, &fs::read(path).unwrap()).unwrap();
    Judged::new(document, Settings::default())
}

fn name(path: &Path) -> String {
    path.file_name().unwrap().to_string_lossy().into_owned()
}

fn lessons() -> Vec<(String, Lesson)> {
    let lessons = scores("lessons").into_iter();
    lessons
        .map(|path| (name(&path), Lesson::of(&judged(&path)).unwrap()))
        .collect()
}

fn answer(name: &str) -> Judged {
    judged(&home().join("demo/lessons/answers").join(name))
}

/// The lesson marked with its handout, or its model answer, changed a little.
fn marked(lesson: &Lesson, text: &str) -> Marks {
    let format = lesson.judged().document().format();
    lesson.mark(&Judged::new(
        Document::from_text(format, text),
        Settings::default(),
    ))
}

#[test]
fn each_lesson_finds_what_it_announces_and_nothing_else() {
    let lessons = lessons();
    assert_eq!(lessons.len(), 15);
    let mut groups = BTreeSet::new();
    let mut rules_heard = BTreeSet::new();
    for (file, lesson) in &lessons {
        let judged = lesson.judged();
        let pieces: Vec<(usize, &PieceReading)> = judged.pieces().collect();
        let said = LessonSaid::of(&judged.document().score().directives, &pieces);
        assert!(
            !said.only.is_empty() && said.tasks.iter().any(|task| !task.hints.is_empty()),
            "{file}"
        );
        assert_eq!(said.expected.len(), lesson.faults(), "{file}");
        let places = Places::of(&pieces);
        for finding in judged.findings() {
            let place = places.of_finding(finding);
            let mut expected = said.expected.iter();
            assert!(
                expected.any(|expected| expected.is_met_by(finding, place, &places)),
                "{file}: {} in bar {:?} is not announced",
                finding.rule,
                finding.bar
            );
            groups.insert(finding.rule.split_once('/').unwrap().0);
            rules_heard.insert(finding.rule);
        }
        for expected in &said.expected {
            // What is expected is looked at.
            let looked_at = said.only.iter().any(|only| only.holds(expected.rule));
            assert!(looked_at, "{file}: {}", expected.rule);
            assert!(expected.task.is_some(), "{file}: {}", expected.rule);
        }
    }
    let all = rules::ALL.iter().map(|rule| rule.group());
    assert_eq!(groups, all.collect::<BTreeSet<_>>());
    let of = |format: Format| {
        lessons
            .iter()
            .filter(|(_, one)| one.judged().document().format() == format)
            .count()
    };
    println!(
        "{} lessons, {} in Humdrum and {} in MusicXML; {} rules of {} speak in them",
        lessons.len(),
        of(Format::Kern),
        of(Format::MusicXml),
        rules_heard.len(),
        rules::ALL.len()
    );
    assert!(of(Format::Kern) >= 2 && of(Format::MusicXml) >= 2 && rules_heard.len() > 35);
}

#[test]
fn each_model_answer_is_clean_and_keeps_the_music() {
    let lessons = lessons();
    let answers: Vec<String> = scores("lessons/answers")
        .iter()
        .map(|path| name(path))
        .collect();
    let files: Vec<&String> = lessons.iter().map(|(file, _)| file).collect();
    assert!(answers.iter().eq(files));
    let mut fixed = 0;
    for (file, lesson) in &lessons {
        let answer = answer(file);
        let said: Vec<_> = answer
            .findings()
            .iter()
            .map(|one| (one.rule, one.bar))
            .collect();
        assert_eq!(said, [], "{file}");
        let marks = lesson.mark(&answer);
        assert!(marks.sum().is_perfect(), "{file}: {marks:?}");
        let tasks = |text: &str| text.matches("bellhand: task").count();
        let text = answer.document().text();
        assert_eq!(tasks(&text), lesson.tasks().len(), "{file}");
        assert_eq!(
            text.matches("bellhand:").count(),
            lesson.tasks().len(),
            "{file}"
        );
        fixed += marks.asked.len();
    }
    println!("{fixed} faults, all of them fixed");
}

#[test]
fn nothing_done_is_nothing_fixed() {
    for (file, lesson) in &lessons() {
        for text in [lesson.handout().text(), lesson.judged().document().text()] {
            let marks = marked(lesson, &text);
            assert!(
                marks.asked.iter().all(|asked| !asked.fixed),
                "{file}: {marks:?}"
            );
            assert_eq!(
                (marks.left, marks.new.len(), marks.kept),
                (lesson.faults(), 0, true),
                "{file}: {marks:?}"
            );
        }
    }
}

#[test]
fn a_note_that_is_moved_where_no_fault_was_is_named() {
    let (mut moved, mut named) = (0, 0);
    for (file, lesson) in &lessons() {
        let answer = answer(file);
        let document = answer.document();
        let pieces: Vec<(usize, &PieceReading)> = lesson.judged().pieces().collect();
        let said = LessonSaid::of(&lesson.judged().document().score().directives, &pieces);
        let places = Places::of(&pieces);
        let placed = &document.score().pieces[0];
        let mut of_lesson = 0;
        for (at, part) in placed.piece.parts.iter().enumerate() {
            for note in part
                .events()
                .filter(|event| matches!(event.event.kind, EventKind::Note(_)))
            {
                let number = part.bars[note.bar].number;
                let up = Intent::MoveOctaves {
                    notes: vec![note.span().shifted(placed.base)],
                    octaves: 1,
                };
                let Ok(edits) = document.write(&up) else {
                    continue;
                };
                let marks = lesson.mark(&answer.edited(&edits).unwrap());
                // A chord of two players is one bar to each of them; a tied note moves with its other half.
                let here =
                    |one: &engine::Changed| one.bar.is_some_and(|bar| bar.abs_diff(number) <= 1);
                assert!(
                    marks.changed.iter().all(here),
                    "{file}, bar {number}: {:?}",
                    marks.changed
                );
                let free = said.expected.iter().any(|expected| {
                    let part = expected.said.part.as_ref();
                    expected.said.bars.is_some()
                        && expected.said.is_in_bar(Some(number))
                        && part.is_none_or(|part| places.selected(0, part).contains(&at))
                });
                assert!(
                    !free || marks.changed.iter().all(|one| one.bar != Some(number)),
                    "{file}, bar {number}"
                );
                moved += 1;
                of_lesson += usize::from(!marks.kept);
            }
        }
        named += of_lesson;
        assert!(of_lesson > 0, "{file}");
    }
    println!("{moved} notes moved, {named} of them named as music that had to stay");
    assert!(moved > 200 && named > 80);
}

#[test]
fn a_new_fault_is_named() {
    let lessons = lessons();
    for (file, from, to, rule, bar) in [
        (
            "01-the-first-fifth.abc",
            "K:none",
            "K:D",
            "notation/key-signature",
            None,
        ),
        (
            "04-words-for-the-player.musicxml",
            ">senza sord.<",
            ">mute<",
            "marks/vague",
            Some(10),
        ),
        (
            "05-high-and-low.abc",
            "c2 d e | d4",
            "c2 d e | g''4",
            "range/too-high",
            Some(6),
        ),
        (
            "07-fog-by-hand.abc",
            "\"^open\" c8",
            "\"^open\" !+!A,8",
            "stopped/too-low",
            Some(6),
        ),
        (
            "08-the-mute.abc",
            "\"^senza sord.\" c4",
            "\"^wa-wa mute\" c4",
            "mute/other-kind",
            Some(9),
        ),
        (
            "09-bells-up.musicxml",
            ">bells down<",
            ">flutter-tongue<",
            "bell/not-lowered",
            None,
        ),
        (
            "10-quick-water.abc",
            "c2e2 c2e2",
            "cccc cccc c",
            "line/tongue-speed",
            Some(1),
        ),
        (
            "12-long-evening.krn",
            "4dd\tff",
            "4fff\tff",
            "range/too-high",
            Some(1),
        ),
        (
            "14-harbour-chorale.abc",
            "g2 a2 |",
            "!+!C2 a2 |",
            "stopped/no-open",
            Some(1),
        ),
    ] {
        let (_, lesson) = lessons.iter().find(|(name, _)| name == file).unwrap();
        let text = answer(file).document().text();
        assert!(text.contains(from), "{file}: {from}");
        let marks = marked(lesson, &text.replacen(from, to, 1));
        let mut new = marks.new.iter();
        assert!(
            new.any(|one| one.rule == rule && bar.is_none_or(|bar| one.bar == Some(bar))),
            "{file}: {marks:?}"
        );
    }
}
