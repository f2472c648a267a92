//! A staff that several players share, in every notation: who plays each note, and whom each mark speaks to.
#![expect(
    clippy::unwrap_used,
    clippy::panic,
    reason = "a score in a test is well formed"
)]

mod scores;

use engine::{Judged, Settings, Severity};
use notation::{Document, Format};
use reading::{Hand, HornPart};
use scores::Item::{self, Chord, Hidden, Rest, Words};
use scores::scores;

fn judged(document: &Document) -> Judged {
    Judged::new(document.clone(), Settings::default())
}

fn horn(analysis: &Judged) -> &HornPart {
    let pieces: Vec<_> = analysis.pieces().collect();
    &pieces[0].1.horns[0]
}

/// How often a rule speaks.
fn spoken(analysis: &Judged, rule: &str) -> usize {
    analysis
        .findings()
        .iter()
        .filter(|finding| finding.rule == rule)
        .count()
}

const SHARED: &str = "Horns 1.2. in F";
const LINE: &[Item<'static>] = &[Chord("e5"), Chord("d5"), Chord("c5"), Chord("d5")];
const CHORDS: &[Item<'static>] = &[
    Chord("e5 c5"),
    Chord("d5 c5"),
    Chord("e5 c5"),
    Chord("e5 c5"),
];
const RESTS: &[Item<'static>] = &[Rest, Rest, Rest, Rest];
const HIDDEN: &[Item<'static>] = &[Hidden, Hidden, Hidden, Hidden];
const LOW: &[Item<'static>] = &[Chord("g4"), Chord("g4"), Chord("g4"), Chord("g4")];

/// A bar of a line with words before it.
const fn with<'a>(words: &'a str) -> [Item<'a>; 5] {
    [
        Words(words),
        Chord("e5"),
        Chord("d5"),
        Chord("c5"),
        Chord("d5"),
    ]
}

#[test]
fn a_single_line_is_unclear_only_where_nothing_says_who_plays_it() {
    let mut tried = 0;
    for (bars, second, unclear) in [
        // The other voice sounds, or rests in print.
        (&[CHORDS, LINE][..], &[RESTS, LOW][..], 0),
        (&[LINE, LINE], &[RESTS, RESTS], 0),
        (&[LINE, LINE], &[LOW, LOW], 0),
        (&[CHORDS, &with("a2"), LINE], &[], 0),
        (&[CHORDS, &with("1."), LINE, CHORDS, &with("2.")], &[], 0),
        (&[CHORDS, &with("unis."), LINE], &[], 0),
        (&[CHORDS, &with("zu 2")], &[], 0),
        (&[CHORDS, &with("1mo")], &[], 0),
        (&[CHORDS, &with("both")], &[], 0),
        (&[CHORDS, &with("1. con sord.")], &[], 0),
        (&[CHORDS, LINE, LINE], &[], 1),
        (&[CHORDS, LINE, CHORDS, LINE], &[], 2),
        (&[CHORDS, &with("dolce")], &[], 1),
        // "Solo" is the first player's, "soli" everybody's.
        (&[CHORDS, &with("Solo")], &[], 0),
        (&[CHORDS, &with("soli")], &[], 0),
        // A rest that is not printed tells nobody to rest.
        (&[LINE, LINE], &[LOW, HIDDEN], 1),
        // A movement's number names no player.
        (&[CHORDS, &with("II. Adagio")], &[], 1),
        // A staff that nowhere holds two lines raises no question.
        (&[LINE, LINE], &[], 0),
    ] {
        for (format, document) in scores(SHARED, bars, second) {
            let count = spoken(&judged(&document), "section/unclear-unison");
            assert_eq!(count, unclear, "{format}:\n{}", document.text());
            tried += 1;
        }
    }
    assert_eq!(tried, 54);
}

/// How each player's notes are played: muted and stopped ones, counted.
fn techniques(horn: &HornPart) -> Vec<(usize, usize)> {
    let of = |line: &HornPart| {
        let muted = line.notes.iter().filter(|note| note.technique.muted());
        let stopped = line
            .notes
            .iter()
            .filter(|note| note.technique.hand == Hand::Stopped);
        (muted.count(), stopped.count())
    };
    horn.players().iter().map(of).collect()
}

#[test]
fn a_mark_acts_on_the_player_it_speaks_to() {
    let mut tried = 0;
    for (bars, techniques_of_each) in [
        (
            &[&[Words("1. con sord.")][..], CHORDS][..],
            [(4, 0), (0, 0)],
        ),
        (&[&[Words("2. con sord.")], CHORDS], [(0, 0), (4, 0)]),
        (&[&[Words("con sord.")], CHORDS], [(4, 0), (4, 0)]),
        (
            &[&[Words("con sord."), Words("2. senza sord.")], CHORDS],
            [(4, 0), (0, 0)],
        ),
        (
            &[&[Words("con sord."), Words("2. aperto")], CHORDS],
            [(4, 0), (0, 0)],
        ),
        (&[&[Words("\u{2460}sourdine")], CHORDS], [(4, 0), (0, 0)]),
        (&[&[Words("1. gestopft")], CHORDS], [(0, 4), (0, 0)]),
        // Whoever plays alone is spoken to alone.
        (&[&with("1."), &with("con sord."), CHORDS], [(8, 0), (0, 0)]),
        // A cue's words are for another instrument.
        (&[&[Words("Vl. con sord.")], CHORDS], [(0, 0), (0, 0)]),
        (&[&[Words("Str. muted")], CHORDS], [(0, 0), (0, 0)]),
        (&[&[Words("Violini con sord.")], CHORDS], [(0, 0), (0, 0)]),
        (&[&[Words("1. Vl. con sord.")], CHORDS], [(0, 0), (0, 0)]),
        (&[&[Words("Engl. Hn. muted")], CHORDS], [(0, 0), (0, 0)]),
        // A player of another staff is nobody here.
        (&[&[Words("3. con sord.")], CHORDS], [(0, 0), (0, 0)]),
        // "Solo" is the first player's.
        (
            &[&with("Solo"), &with("con sord."), CHORDS],
            [(8, 0), (0, 0)],
        ),
    ] {
        // Words stand at the beginning of the first bar of notes.
        let mut copied: Vec<Vec<Item<'_>>> = Vec::new();
        let mut before: Vec<Item<'_>> = Vec::new();
        for bar in bars {
            before.extend(bar.iter());
            if bar.iter().any(|item| !matches!(item, Words(_))) {
                copied.push(std::mem::take(&mut before));
            }
        }
        let bars: Vec<&[Item<'_>]> = copied.iter().map(Vec::as_slice).collect();
        for (format, document) in scores(SHARED, &bars, &[]) {
            let analysis = judged(&document);
            assert_eq!(
                techniques(horn(&analysis)),
                techniques_of_each,
                "{format}:\n{}",
                document.text()
            );
            tried += 1;
        }
    }
    assert_eq!(tried, 45);
}

#[test]
fn a_sign_is_for_those_who_play_its_note() {
    let text = "X:1\nM:4/4\nL:1/4\nK:none\nV:1 name=\"Horns 1.2. in F\" transpose=-7\n[eg] \"^1.\" !+!e \"^a2\" f [eg] |]\n";
    let document = Document::from_text(Format::Abc, text);
    let analysis = judged(&document);
    assert_eq!(techniques(horn(&analysis)), [(0, 1), (0, 0)]);
}

#[test]
fn reminders_are_wanted() {
    let mut tried = 0;
    for (reminder, needless) in [
        ("(con sord.)", 0),
        ("sempre con sord.", 0),
        ("[con sord.]", 0),
        ("con sord.", 1),
    ] {
        let bars: &[&[Item<'_>]] = &[&with("con sord."), RESTS, RESTS, &with(reminder)];
        for (format, document) in scores("Horn 1 in F", bars, &[]) {
            let count = spoken(&judged(&document), "mute/already");
            assert_eq!(count, needless, "{format}: {reminder}");
            tried += 1;
        }
    }
    assert_eq!(tried, 12);
}

#[test]
fn one_player_has_one_note_at_a_time() {
    let mut tried = 0;
    for (name, bars, second, errors) in [
        ("Horn 1 in F", &[CHORDS][..], &[][..], 4),
        ("Horn 1 in F", &[LINE], &[], 0),
        (
            "Horn 1 in F",
            &[&[Words("multiphonics"), Chord("e5 c5"), Rest, Rest, Rest]],
            &[],
            0,
        ),
        // Two voices that sound together are as many notes as a chord; one at rest is none.
        ("Horn 1 in F", &[LINE, LINE], &[LOW, RESTS], 1),
        ("Horn 1 in F", &[LINE], &[LINE], 0),
        ("Horns 1.2. in F", &[LINE], &[LOW], 0),
        ("Horns 1.2. in F", &[CHORDS], &[], 0),
        (
            "Horns 1.2. in F",
            &[&[Chord("e5 d5 c5"), Rest, Rest, Rest]],
            &[],
            1,
        ),
        ("Horns in F", &[CHORDS], &[], 0),
        // Without a number the name leaves open how many read it.
        ("Horn in F", &[CHORDS], &[], 0),
        (
            "Horns 1-4 in F",
            &[&[Chord("e5 d5 c5"), Rest, Rest, Rest]],
            &[],
            0,
        ),
    ] {
        for (format, document) in scores(name, bars, second) {
            let analysis = judged(&document);
            let told: Vec<_> = analysis
                .findings()
                .iter()
                .filter(|finding| finding.rule == "section/chord-for-one")
                .collect();
            assert_eq!(told.len(), errors, "{format}: {name}\n{}", document.text());
            assert!(
                told.iter()
                    .all(|finding| finding.severity == Severity::Error)
            );
            tried += 1;
        }
    }
    assert_eq!(tried, 33);
}

#[test]
fn marks_that_call_players_the_staff_has_not_are_told() {
    let mut tried = 0;
    for (name, call, told) in [
        ("Horn 1 in F", "a2", 1),
        ("Horns 1.2. in F", "a4", 1),
        ("Horns 1.2. in F", "3.", 1),
        ("Horns 1.2. in F", "a2", 0),
        ("Horns 1.2. in F", "2.", 0),
        ("Horns 3.4. in F", "3.", 0),
        ("Horns 3.4. in F", "1.", 1),
        // Figures count bars of rest too.
        ("Horn 1 in F", "5", 0),
        ("Horns 1.2. in F", "5", 0),
        ("Horn in F", "a2", 0),
        // On a staff for four two of them may play together.
        ("Horns 1-4 in F", "a2", 0),
        ("Horns 1-4 in F", "a4", 0),
        ("4 Horns in F", "a2", 0),
        ("Horns 1-4 in F", "a5", 1),
        ("Horn 1 in F", "1. solo", 0),
        ("Horn 1 in F", "2. con sord.", 1),
        ("Horn 1 in F", "2.", 0),
        ("Horn 1 in F", "II. Adagio", 0),
        ("Horn 3 in F", "I.(=III)", 0),
    ] {
        for (format, document) in scores(name, &[&with(call)], &[]) {
            let count = spoken(&judged(&document), "section/wrong-players");
            assert_eq!(count, told, "{format}: {call} on {name}");
            tried += 1;
        }
    }
    assert_eq!(tried, 57);
}

#[test]
fn what_is_said_of_one_player_names_that_player() {
    let bars: &[&[Item<'_>]] = &[&[
        Words("2. con sord."),
        Chord("e5 c5"),
        Chord("e5 c5"),
        Words("2. senza sord."),
        Chord("e5 c5"),
        Chord("e5 c5"),
    ]];
    for (format, document) in scores(SHARED, bars, &[]) {
        let analysis = judged(&document);
        let told: Vec<_> = analysis
            .findings()
            .iter()
            .filter(|finding| finding.rule == "mute/no-time")
            .filter_map(engine::Finding::who)
            .collect();
        assert!(!told.is_empty(), "{format}");
        assert!(
            told.iter().all(|who| who == "Horns 1.2. in F, player 2"),
            "{format}: {told:?}"
        );
    }
    // What holds for all is said once, and of the staff.
    let high = Document::from_text(
        Format::Abc,
        "X:1\nM:4/4\nL:1/4\nK:none\nV:1 name=\"Horns 1.2. in F\" transpose=-7\n[ec] \"^a2\" f' z z |]\n",
    );
    let analysis = judged(&high);
    let told: Vec<_> = analysis
        .findings()
        .iter()
        .filter(|finding| finding.rule == "range/too-high")
        .map(engine::Finding::who)
        .collect();
    assert_eq!(told, [Some("Horns 1.2. in F".to_owned())]);
}

#[test]
fn a_hidden_rest_shows_whom_a_line_was_meant_for_until_words_do() {
    let mut tried = 0;
    for (bars, notes) in [
        (&[CHORDS, LINE][..], [8, 4]),
        (&[CHORDS, &with("2.")], [4, 8]),
        (&[CHORDS, &with("a2")], [8, 8]),
    ] {
        for (format, document) in scores(SHARED, bars, &[HIDDEN, HIDDEN]) {
            let analysis = judged(&document);
            let lines = horn(&analysis).players();
            let counts: Vec<usize> = lines.iter().map(|line| line.notes.len()).collect();
            assert_eq!(counts, notes, "{format}:\n{}", document.text());
            assert_eq!(spoken(&analysis, "section/chord-for-one"), 0, "{format}");
            tried += 1;
        }
    }
    assert_eq!(tried, 9);
}

#[test]
fn a_note_held_on_stays_with_its_player() {
    let mut tried = 0;
    for (format, text) in [
        (
            "abc",
            "X:1\nM:4/4\nL:1/4\nK:none\nV:1 name=\"Horns 1.2. in F\" transpose=-7\n[ce] [c-e] c2 |]\n",
        ),
        (
            "kern",
            "**kern\n*I\"Horns 1.2. in F\n*ITrd4c7\n*M4/4\n=1\n4f 4a\n[4f 4a\n2f]\n==\n*-\n",
        ),
        (
            "musicxml",
            "<score-partwise version=\"4.0\"><part-list><score-part id=\"P1\"><part-name>Horns 1.2. in F</part-name></score-part>\
             </part-list><part id=\"P1\"><measure number=\"1\"><attributes><divisions>1</divisions><time><beats>4</beats>\
             <beat-type>4</beat-type></time><transpose><diatonic>-4</diatonic><chromatic>-7</chromatic></transpose></attributes>\
             <note><pitch><step>C</step><octave>5</octave></pitch><duration>1</duration></note>\
             <note><chord/><pitch><step>E</step><octave>5</octave></pitch><duration>1</duration></note>\
             <note><pitch><step>C</step><octave>5</octave></pitch><duration>1</duration><tie type=\"start\"/></note>\
             <note><chord/><pitch><step>E</step><octave>5</octave></pitch><duration>1</duration></note>\
             <note><pitch><step>C</step><octave>5</octave></pitch><duration>2</duration><tie type=\"stop\"/></note>\
             </measure></part></score-partwise>",
        ),
    ] {
        let analysis = judged(&Document::from_text(Format::of_name(format).unwrap(), text));
        let counts: Vec<usize> = horn(&analysis)
            .players()
            .iter()
            .map(|line| line.notes.len())
            .collect();
        assert_eq!(counts, [2, 3], "{format}");
        assert_eq!(spoken(&analysis, "section/unclear-unison"), 0, "{format}");
        tried += 1;
    }
    assert_eq!(tried, 3);
}

#[test]
fn a_mark_that_one_player_needs_is_not_needless() {
    let muted = |words| -> Vec<Item<'_>> { vec![Words(words), Chord("e5 c5"), Rest, Rest, Rest] };
    let mut tried = 0;
    for (first, second, needless) in [
        ("2. con sord.", "senza sord.", 0),
        ("1. con sord.", "con sord.", 0),
        ("con sord.", "2. con sord.", 1),
        ("dolce", "senza sord.", 1),
    ] {
        let (first, second) = (muted(first), muted(second));
        for (format, document) in scores(SHARED, &[&first, RESTS, &second], &[]) {
            let count = spoken(&judged(&document), "mute/already");
            assert_eq!(count, needless, "{format}:\n{}", document.text());
            tried += 1;
        }
    }
    assert_eq!(tried, 12);
}

#[test]
fn a_fix_for_one_player_speaks_to_that_player() {
    let start = [Words("con sord."), Chord("e5 c5"), Rest, Rest, Rest];
    let end = [Words("1. senza sord."), Chord("e5 c5"), Rest, Rest, Rest];
    let mut tried = 0;
    for (format, document) in scores(SHARED, &[&start, RESTS, &end], &[]) {
        let fixed = judged(&document).fix_all(engine::Which::Review);
        let analysis = judged(fixed.judged.document());
        assert!(
            fixed.judged.document().text().contains("2. senza sord."),
            "{format}"
        );
        assert_eq!(techniques(horn(&analysis)), [(1, 0), (1, 0)], "{format}");
        assert_eq!(spoken(&analysis, "mute/not-removed"), 0, "{format}");
        tried += 1;
    }
    assert_eq!(tried, 3);
}

#[test]
fn chairs_and_crossing_are_judged_by_player() {
    let over = [Chord("g4"), Chord("g4"), Chord("g4"), Chord("g4")];
    let mut tried = 0;
    for (upper, lower, crossed) in [(&over[..], LINE, 1), (LINE, &over[..], 0)] {
        for (format, document) in scores(SHARED, &[upper; 4], &[lower; 4]) {
            let analysis = judged(&document);
            let told: Vec<_> = analysis
                .findings()
                .iter()
                .filter(|finding| finding.rule == "section/crossing")
                .filter_map(engine::Finding::who)
                .collect();
            let expected = vec!["Horns 1.2. in F, player 2".to_owned(); crossed];
            assert_eq!(told, expected, "{format}");
            tried += 1;
        }
    }
    assert_eq!(tried, 6);
    for (call, told) in [("2.", 1), ("1.", 0), ("a2", 0)] {
        let text = format!(
            "X:1\nM:4/4\nL:1/4\nK:none\nV:1 name=\"Horns 1.2. in F\" transpose=-7\n!f![ec]4 | \"^{call}\" a b a g |]\n"
        );
        let analysis = judged(&Document::from_text(Format::Abc, &text));
        assert_eq!(spoken(&analysis, "range/wrong-seat"), told, "{call}");
    }
}

#[test]
fn a_shared_staff_says_whose_each_note_is_and_how_it_is_played() {
    // Both, then the first alone, then the second with the mute in, then both again with it still in.
    let bars = [
        CHORDS,
        &with("1."),
        &[
            Words("2. con sord."),
            Words("2."),
            Chord("g4"),
            Rest,
            Rest,
            Rest,
        ],
        &[Words("a2"), Chord("c5"), Rest, Rest, Chord("e5")],
    ];
    for (format, document) in scores(SHARED, &bars, &[]) {
        let analysis = judged(&document);
        let horn = horn(&analysis);
        let by: Vec<Vec<u8>> = horn
            .played_by()
            .iter()
            .map(|by| by.iter().map(|(player, _)| *player).collect())
            .collect();
        let (first, second, both) = (vec![1], vec![2], vec![1, 2]);
        let mut wanted = [&first, &second].repeat(4);
        wanted.extend([&first].repeat(4));
        wanted.extend([&second, &both, &both]);
        assert_eq!(by.iter().collect::<Vec<_>>(), wanted, "{format}");
        // Each with the very note of that player's line.
        for (note, by) in horn.notes.iter().zip(horn.played_by()) {
            assert!(by.iter().all(|(_, own)| own.pitch_span == note.pitch_span));
        }
        // What two players play differently is shown as the first of them plays it.
        let muted: Vec<bool> = horn.notes.iter().map(|n| n.technique.muted()).collect();
        let open = [false].repeat(12);
        assert_eq!(
            muted,
            [&open[..], &[true, false, false]].concat(),
            "{format}"
        );
    }
}

#[test]
fn a_rest_of_the_other_voice_is_no_rest_to_this_player() {
    for (format, document) in scores(SHARED, &[LINE, LINE], &[LOW, RESTS]) {
        let analysis = judged(&document);
        let since: Vec<Vec<f64>> = horn(&analysis)
            .players()
            .iter()
            .map(|line| line.notes.iter().map(|note| note.since_rest.0).collect())
            .collect();
        let bar = [0.0, 0.75, 1.5, 2.25];
        assert_eq!(
            since,
            [[bar, bar.map(|so_far| so_far + 3.0)].concat(), bar.to_vec()],
            "{format}"
        );
    }
}

#[test]
fn a_solo_stays_with_whoever_plays_alone_and_grace_notes_end_nothing() {
    let by = |text: &str| -> Vec<Vec<u8>> {
        let head =
            "X:1\nM:4/4\nL:1/4\nQ:1/4=80\nK:none\nV:1 name=\"Horns 1.2. in F\" transpose=-7\n";
        let document = Document::from_text(Format::Abc, &format!("{head}{text} |]\n"));
        let analysis = judged(&document);
        assert_eq!(spoken(&analysis, "section/unclear-unison"), 0, "{text}");
        let players = horn(&analysis).played_by();
        let numbers = players
            .iter()
            .map(|by| by.iter().map(|(player, _)| *player));
        numbers.map(Iterator::collect).collect()
    };
    assert_eq!(by("[ec]4 | \"^solo\"e4")[2..], [vec![1]]);
    assert_eq!(by("[ec]4 | \"^2.\"e2 \"^solo\"c2")[2..], [vec![2], vec![2]]);
    assert_eq!(
        by("[ec]4 | \"^2.\"e2 \"^soli\"c2")[2..],
        [vec![2], vec![1, 2]]
    );
    // A chord of grace notes before the line is no chord that ends "1.".
    assert_eq!(by("[ec]4 | \"^1.\"e2 {[ec]}c2").last(), Some(&vec![1]));
}

#[test]
fn words_that_change_the_instrument_are_said_to_whoever_changes() {
    let bars = [CHORDS, &[Words("2. nimmt Tuba")], CHORDS];
    for (format, document) in scores(SHARED, &bars, &[]) {
        let analysis = judged(&document);
        let marks: Vec<usize> = horn(&analysis)
            .players()
            .iter()
            .map(|line| line.marks.len())
            .collect();
        assert_eq!(marks, [0, 1], "{format}");
    }
}

#[test]
fn a_mark_that_speaks_to_both_is_not_taken_out_for_one_players_sake() {
    let fixes = |name: &str, music: &str| {
        let text = format!(
            "X:1\nM:4/4\nL:1/4\nQ:1/4=80\nK:none\nV:1 name=\"{name}\" transpose=-7\n{music} |]\n"
        );
        let document = Document::from_text(Format::Abc, &text);
        let mut found = judged(&document).findings().to_vec();
        found.retain(|finding| finding.rule == "stopped/tied-into");
        assert_eq!(found.len(), 1, "{music}");
        found[0].fixes.len()
    };
    let alone = fixes("Horn 1 in F", "e2- !+!e2 | !open!c4");
    assert!(alone > 0);
    // The second player's note is begun anew, stopped.
    assert_eq!(fixes(SHARED, "[e-c]2 !+![ed]2 | !open![ec]4"), 0);
}
