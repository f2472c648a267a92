//! Answers to a lesson are marked as a fair teacher would mark them.

#![expect(clippy::unwrap_used, reason = "a test fails loudly")]

use engine::{Change, Judged, Lesson, Marks, Settings};
use notation::{Document, Format};

/// Bar 2 is stopped too low, bar 5 leaves no time for the mute; bar 9 has a fault that is not announced.
const LESSON: &str = "\
X:1
T:Fog at the Pier
% bellhand: task Move what is stopped to where the hand works
% bellhand: hint Which note is too low?
% bellhand: expect stopped/too-low in bar 2 in part \"Horn 1 in F\"
% bellhand: task Leave time for the mute
% bellhand: expect mute/no-time in bar 5 in part 1
% bellhand: only stopped, mute, range
M:4/4
L:1/4
Q:1/4=84
K:none
V:1 name=\"Horn 1 in F\" transpose=-7
V:2 name=\"Horn 2 in F\" transpose=-7
V:3 name=\"Flute\"
[V:1] !mf! c d e c | \"^stopped\" A,2 B,2 | z2 \"^open\" c2 | e4 | \"^con sord.\" d2 e2 | c4- | c2 z2 | z4 | \"^senza sord.\" e'4 | g2 e2 |]
[V:2] !mf! E4 | E2 z2 | G4 | G2 z2 | E4 | E2 z2 | \"^stopped\" G4 | \"^open\" G4 | E4 | G2 z2 |]
[V:3] !mf! c4 | e4 | g4 | g4 | e4 | e4 | g4 | g4 | e4 | g4 |]
";

/// What a good answer does to bar 2.
const UP: (&str, &str) = ("A,2 B,2", "A2 B2");
/// What a good answer does to bars 4 and 5.
const TIME: (&str, &str) = ("e4 | \"^con sord.\" d2 e2", "e z z2 | \"^con sord.\" z2 e2");

fn judged(text: &str) -> Judged {
    Judged::new(Document::from_text(Format::Abc, text), Settings::default())
}

fn lesson() -> Lesson {
    Lesson::of(&judged(LESSON)).unwrap()
}

/// An answer in which some words of the lesson are others.
fn answer(changes: &[(&str, &str)]) -> Judged {
    let mut text = lesson().handout().text();
    for (from, to) in changes {
        assert!(text.contains(from), "{from}");
        text = text.replacen(from, to, 1);
    }
    judged(&text)
}

fn mark(changes: &[(&str, &str)]) -> Marks {
    lesson().mark(&answer(changes))
}

/// A place where the music changed: part, bar, what.
type Place<'a> = (Option<&'a str>, Option<u32>, Change);

/// Which of the faults are fixed, what is new, and what changed.
type Came<'a> = (Vec<bool>, Vec<(&'a str, Option<u32>)>, Vec<Place<'a>>);

fn came(marks: &Marks) -> Came<'_> {
    let left = marks.asked.iter().filter(|one| !one.fixed);
    assert_eq!(marks.left, left.count());
    assert_eq!(marks.kept, marks.changed.is_empty());
    let changed = marks.changed.iter();
    (
        marks.asked.iter().map(|one| one.fixed).collect(),
        marks.new.iter().map(|one| (one.rule, one.bar)).collect(),
        changed
            .map(|one| (one.part.as_deref(), one.bar, one.what))
            .collect(),
    )
}

const HORN: Option<&str> = Some("Horn 1 in F");

#[test]
fn a_lesson_is_what_its_comments_say() {
    let lesson = lesson();
    assert_eq!(lesson.title(), Some("Fog at the Pier"));
    let tasks = serde_json::to_value(lesson.tasks()).unwrap();
    let wanted = serde_json::json!([
        {"text": "Move what is stopped to where the hand works", "hints": ["Which note is too low?"]},
        {"text": "Leave time for the mute", "hints": []},
    ]);
    assert_eq!(tasks, wanted);
    assert_eq!(lesson.faults(), 2);
    let handout = lesson.handout().text();
    assert_eq!(handout.matches("bellhand: task").count(), 2);
    assert_eq!(handout.matches("bellhand:").count(), 2);
    assert_eq!(handout.lines().count() + 4, LESSON.lines().count());
    assert!(Lesson::of(&judged(&LESSON.replace("% bellhand:", "% "))).is_none());
}

#[test]
fn nothing_done_is_nothing_fixed_and_nothing_new() {
    assert_eq!(came(&mark(&[])), (vec![false, false], vec![], vec![]));
    // With the lesson's own comments, too.
    let same = lesson().mark(&judged(LESSON));
    assert_eq!(came(&same), (vec![false, false], vec![], vec![]));
}

#[test]
fn of_what_a_copied_lesson_still_says_nothing_is_said() {
    let (from, to) = UP;
    let copied = judged(&LESSON.replace(from, to));
    let of_lessons = |judged: &Judged| {
        let findings = judged.findings().iter();
        findings.filter(|one| one.rule == "text/lesson").count()
    };
    // In an editor it is a lesson that announces what is not there; in a class it is an answer.
    assert_eq!(of_lessons(&copied), 1);
    assert_eq!(
        of_lessons(&copied.with_settings(copied.settings().of_answer())),
        0
    );
    assert_eq!(
        came(&lesson().mark(&copied)),
        (vec![true, false], vec![], vec![])
    );
}

#[test]
fn a_good_answer_has_everything_fixed_and_the_music_kept() {
    let marks = mark(&[UP, TIME]);
    assert_eq!(came(&marks), (vec![true, true], vec![], vec![]));
    assert!(marks.sum().is_perfect());
    let shown = serde_json::to_value(&marks).unwrap();
    let wanted = serde_json::json!({
        "asked": [
            {
                "rule": "stopped/too-low", "bar": 2, "part": "Horn 1 in F", "fixed": true,
                "task": "Move what is stopped to where the hand works", "hints": ["Which note is too low?"],
            },
            {
                "rule": "mute/no-time", "bar": 5, "part": "Horn 1 in F", "fixed": true,
                "task": "Leave time for the mute", "hints": [],
            },
        ],
        "left": 0, "new": [], "kept": true, "changed": [],
    });
    assert_eq!(shown, wanted);
    let sum = serde_json::to_value(marks.sum().with(mark(&[UP]).sum())).unwrap();
    let wanted = serde_json::json!({"asked": 4, "fixed": 3, "left": 1, "new": 0, "kept": true});
    assert_eq!(sum, wanted);
}

#[test]
fn a_fault_may_be_fixed_in_other_ways_than_ours() {
    let stopped = "\"^stopped\" A,2 B,2 | z2 \"^open\" c2";
    for (from, to) in [
        // Not stopped at all: what the mark reaches is played otherwise.
        (stopped, "A,2 B,2 | z2 c2"),
        // Other music in the bar that is named.
        ("A,2 B,2", "c d e2"),
        // Muted instead, and left so.
        (stopped, "\"^stopping mute\" z2 A,2 | z2 c2"),
        // Signs in place of words.
        (stopped, "!+!A2 !+!B2 | z2 !open!c2"),
    ] {
        let marks = mark(&[(from, to)]);
        assert!(marks.asked[0].fixed, "{to}");
        assert_eq!(marks.changed, [], "{to}");
    }
    // Without the mute nobody needs time for it; what the mark reached is free.
    let open = [("\"^con sord.\" ", ""), ("\"^senza sord.\" ", "")];
    assert_eq!(came(&mark(&open)), (vec![false, true], vec![], vec![]));
}

#[test]
fn marks_words_and_spelling_may_change_where_the_music_stays() {
    for (from, to) in [
        ("g2 e2 |]", "!p! \"^dolce\" g2 !breath! e2 |]"),
        ("[V:2] !mf! E4", "[V:2] !pp! E4"),
        ("z2 \"^open\" c2", "z2 \"^open\" ^B2"),
        ("V:2 name=\"Horn 2 in F\"", "V:2 name=\"Horn II in F\""),
        ("G4 | G2 z2", "G4 | G2 z z"),
        ("e4 | g4 |]", "e4 | [K:none transpose=-2] a4 |]"),
        ("[V:2] !mf! E4 | E2 z2", "[V:2] !mf! (E4 | E2) z2"),
    ] {
        assert_eq!(mark(&[(from, to)]).changed, [], "{to}");
    }
}

#[test]
fn what_had_to_stay_and_did_not_is_named() {
    let second = Some("Horn 2 in F");
    for (from, to, wanted) in [
        ("g2 e2 |]", "g2 f2 |]", (HORN, 10, Change::Pitch)),
        ("g2 e2 |]", "g3 e |]", (HORN, 10, Change::Rhythm)),
        ("g2 e2 |]", "g2 z2 |]", (HORN, 10, Change::Rhythm)),
        ("c4- | c2 z2", "c4 | c2 z2", (HORN, 6, Change::Ties)),
        ("E4 | E2 z2", "E4 | F2 z2", (second, 2, Change::Pitch)),
        (
            "[V:3] !mf! c4",
            "[V:3] !mf! d4",
            (Some("Flute"), 1, Change::Pitch),
        ),
        (
            "c d e c",
            "\"^stopped\" c d e \"^open\" c",
            (HORN, 1, Change::Hand),
        ),
        (
            "!mf! E4",
            "!mf! \"^con sord.\" E4",
            (second, 1, Change::Mute),
        ),
        ("g2 e2 |]", "!+!g2 e2 |]", (HORN, 10, Change::Hand)),
        (
            "\"^stopped\" G4 | \"^open\" G4",
            "G4 | G4",
            (second, 7, Change::Hand),
        ),
        ("Q:1/4=84", "Q:1/4=60", (None, 1, Change::Tempo)),
        ("g2 e2 |]", "g2 e2 :|", (HORN, 10, Change::Repeats)),
        ("A,2 B,2", "z4", (HORN, 2, Change::Emptied)),
        ("A,2 B,2", "A2 B3", (HORN, 2, Change::BarLength)),
    ] {
        let marks = mark(&[(from, to)]);
        let changed = marks.changed.iter();
        let changed = changed.map(|one| (one.part.as_deref(), one.bar.unwrap(), one.what));
        assert_eq!(changed.collect::<Vec<_>>(), [wanted], "{to}");
        assert!(!marks.kept);
    }
}

#[test]
fn each_mark_is_named_where_it_begins() {
    let second = Some("Horn 2 in F");
    let signs = mark(&[("!mf! E4 | E2", "!mf! !+!E4 | !+!E2")]);
    let changed = vec![
        (second, Some(1), Change::Hand),
        (second, Some(2), Change::Hand),
    ];
    assert_eq!(came(&signs).2, changed);
}

#[test]
fn a_part_that_is_not_read_has_nothing_fixed() {
    let other = mark(&[("name=\"Horn 1 in F\"", "name=\"Oboe\"")]);
    let missing = vec![(HORN, None, Change::Missing)];
    assert_eq!(came(&other), (vec![false, false], vec![], missing));
    let silenced = LESSON.replace(
        "M:4/4",
        "% bellhand: ignore in file stopped/too-low, mute/no-time\nM:4/4",
    );
    let marks = lesson().mark(&judged(&silenced));
    assert_eq!(came(&marks), (vec![false, false], vec![], vec![]));
    let (off, _) = Settings::of_text("[rules]\nall = \"off\"\n");
    let marks = lesson().mark(&answer(&[]).with_settings(off));
    assert_eq!(came(&marks), (vec![false, false], vec![], vec![]));
    let gone = lesson().mark(&judged("c d e f |]\n"));
    let missing = vec![(None, None, Change::Missing)];
    assert_eq!(came(&gone), (vec![false, false], vec![], missing));
}

#[test]
fn what_is_new_is_named_and_what_was_there_is_not() {
    // The stopped note went a bar further.
    let moved = mark(&[("A,2 B,2 | z2 \"^open\" c2", "A2 B2 | A,2 \"^open\" c2")]);
    let new = vec![("stopped/too-low", Some(3))];
    let changed = vec![(HORN, Some(3), Change::Rhythm)];
    assert_eq!(came(&moved), (vec![true, false], new, changed));
    // Another fault in the bar that is named.
    let high = mark(&[("A,2 B,2", "f'2 B2")]);
    let (fixed, new, changed) = came(&high);
    assert_eq!((fixed, changed), (vec![true, false], vec![]));
    assert!(new.contains(&("range/too-high", Some(2))), "{new:?}");
    // Another bar like one whose fault was there already: the old one is excused, and the new one is not.
    let again = mark(&[("g2 e2 |]", "e'4 |]")]);
    let new = vec![("range/too-high", Some(10))];
    assert_eq!(came(&again).1, new);
    // What no `only` looks at does not count, such as a part of which nobody knows who plays it.
    let left_out = mark(&[("name=\"Flute\"", "name=\"Horn\"")]);
    assert_eq!(left_out.new, []);
    // What cannot be read always counts.
    let broken = mark(&[("g2 e2 |]", "g2 ?2 |]")]);
    let unreadable = |one: &engine::NewFault| one.rule == "text/unreadable";
    assert!(broken.new.iter().any(unreadable), "{:?}", broken.new);
}

#[test]
fn bars_are_found_again_behind_one_that_was_put_in_or_taken_out() {
    let parts = [HORN, Some("Horn 2 in F"), Some("Flute")];
    let put_in = mark(&[
        ("!mf! c d e c |", "!mf! c d e c | z4 |"),
        ("[V:2] !mf! E4 |", "[V:2] !mf! E4 | z4 |"),
        ("[V:3] !mf! c4 |", "[V:3] !mf! c4 | z4 |"),
    ]);
    let wanted = parts.map(|part| (part, Some(2), Change::BarIn));
    assert_eq!(came(&put_in), (vec![false, false], vec![], wanted.to_vec()));
    let taken_out = mark(&[
        (" | g2 e2 |]", " |]"),
        ("E4 | G2 z2 |]", "E4 |]"),
        ("e4 | g4 |]", "e4 |]"),
    ]);
    let wanted = parts.map(|part| (part, Some(10), Change::BarOut));
    assert_eq!(
        came(&taken_out),
        (vec![false, false], vec![], wanted.to_vec())
    );
}

#[test]
fn an_answer_may_be_in_a_file_with_other_pieces() {
    let text = answer(&[UP, TIME]).document().text();
    let other = "X:7\nT:Mine\nM:4/4\nL:1/4\nK:none\nV:1 name=\"Horn in F\" transpose=-7\n\"^stopped\" G,4 |]\n\n";
    let marks = lesson().mark(&judged(&format!("{other}{text}")));
    assert_eq!(came(&marks), (vec![true, true], vec![], vec![]));
}

#[test]
fn the_stretch_of_a_long_fault_may_become_thinner_and_nothing_else() {
    let text = "X:1\nT:Long Rope\n% bellhand: expect breath/no-place\nM:4/4\nL:1/1\nQ:1/4=60\nK:none\n\
                V:1 name=\"Horn in F\" transpose=-7\n!f! c | d | e | f/ g/ | e | d | c |]\n";
    let lesson = Lesson::of(&judged(text)).unwrap();
    assert_eq!(lesson.faults(), 1);
    let mark = |to: &str| {
        let text = lesson.handout().text().replacen("d | e | f/ g/ |", to, 1);
        lesson.mark(&judged(&text))
    };
    for good in [
        "d | e3/4 z/4 | f/ g/ |",
        "d | !breath!e | f/ g/ |",
        "d | z | f/ g/ |",
        "d | e | f/ z/ |",
        "d | e | z/ g/ |",
    ] {
        let marks = mark(good);
        assert_eq!(came(&marks), (vec![true], vec![], vec![]), "{good}");
    }
    for bad in [
        "d | g3/4 z/4 | f/ g/ |",
        "d | e3/4 c/4 | f/ g/ |",
        "d | e | f |",
        "d | z | f3/4 z/4 |",
        "d | z/ e/ | f/ g/ |",
    ] {
        let marks = mark(bad);
        assert_eq!(marks.changed.len(), 1, "{bad}: {marks:?}");
    }
}

#[test]
fn who_plays_stays_but_where_it_was_asked() {
    let text = "X:1\nT:Two on a Stand\n% bellhand: expect section/unclear-unison in bar 2\nM:4/4\nL:1/4\nQ:1/4=84\nK:none\n\
                V:1 name=\"Horns 1.2. in F\" transpose=-7\n!mf! [ce]2 [df]2 | e f g e | c4 | [ce]4 | \"^1.\" g4 | \"^a2\" c4 |]\n";
    let lesson = Lesson::of(&judged(text)).unwrap();
    assert_eq!(lesson.faults(), 1);
    let mark = |from: &str, to: &str| {
        let text = lesson.handout().text();
        assert!(text.contains(from), "{from}");
        lesson.mark(&judged(&text.replacen(from, to, 1)))
    };
    let said = mark("e f g e", "\"^a2\" e f g e");
    assert_eq!(came(&said), (vec![true], vec![], vec![]));
    let said = mark("e f g e", "\"^1.\" e f g e");
    assert_eq!(came(&said), (vec![true], vec![], vec![]));
    let players = |bar| vec![(Some("Horns 1.2. in F"), Some(bar), Change::Players)];
    let other = mark("\"^1.\" g4", "\"^2.\" g4");
    assert_eq!(came(&other), (vec![false], vec![], players(5)));
    let other = mark("\"^a2\" c4", "c4");
    assert_eq!(came(&other), (vec![false], vec![], players(6)));
}

#[test]
fn the_bar_of_a_mark_is_not_the_bar_of_its_fault() {
    let text = "X:1\nT:Low Fog\n% bellhand: expect mute/already in bar 6\nM:4/4\nL:1/4\nQ:1/4=84\nK:none\n\
                V:1 name=\"Horn in F\" transpose=-7\n!mf! c4 | z4 | z4 | \"^con sord.\" d4 | e4 | \"^con sord.\" f4 | z4 | z4 | \
                \"^senza sord.\" c4 |]\n";
    let lesson = Lesson::of(&judged(text)).unwrap();
    assert_eq!(lesson.faults(), 1);
    let mark = |from: &str, to: &str| {
        let text = lesson.handout().text();
        assert!(text.contains(from), "{from}");
        lesson.mark(&judged(&text.replacen(from, to, 1)))
    };
    // Either mark may go; what stands beside the first may not.
    for (from, to) in [("\"^con sord.\" d4", "d4"), ("\"^con sord.\" f4", "f4")] {
        let marks = mark(from, to);
        let (was_fixed, _, was_changed) = came(&marks);
        assert_eq!((was_fixed, was_changed), (vec![true], vec![]), "{to}");
    }
    let other = mark("\"^con sord.\" d4", "\"^con sord.\" g4");
    let changed = vec![(Some("Horn in F"), Some(4), Change::Pitch)];
    assert_eq!(came(&other), (vec![false], vec![], changed));
}

#[test]
fn pieces_of_one_file_are_told_apart() {
    let tune = |number: u8, title: &str, expect: &str, music: &str| {
        format!(
            "X:{number}\nT:{title}\n{expect}M:4/4\nL:1/4\nQ:1/4=84\nK:none\nV:1 name=\"Horn in F\" transpose=-7\n!mf! {music} |]\n\n"
        )
    };
    let expect = "% bellhand: expect range/too-high in bar 2\n";
    let same = "Both Called So";
    let first = |music: &str| tune(1, same, "", music);
    let second = |expect: &str, music: &str| tune(2, same, expect, music);
    let text = first("c4 | e4") + &second(expect, "g4 | f'4");
    let lesson = Lesson::of(&judged(&text)).unwrap();
    assert_eq!(lesson.faults(), 1);
    let mark = |text: String| lesson.mark(&judged(&text));
    // The fault is of the second piece; a like one in the first is new.
    let moved = mark(first("c4 | f'4") + &second("", "g4 | f4"));
    let changed = vec![(Some("Horn in F"), Some(2), Change::Pitch)];
    assert_eq!(
        came(&moved),
        (vec![true], vec![("range/too-high", Some(2))], changed)
    );
    // Behind another piece each is still found, the first of a title first.
    let behind = tune(7, "Mine", "", "A4 | A4") + &first("c4 | e4") + &second("", "g4 | f4");
    assert_eq!(came(&mark(behind)), (vec![true], vec![], vec![]));
    let alone = came(&mark(tune(7, "Mine", "", "A4 | A4"))).0.clone();
    assert_eq!(alone, [false]);
}
