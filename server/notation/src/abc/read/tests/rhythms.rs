//! Unit lengths, dots by another name, tuplets, chords and rests.

use score::{EventKind, Rest};

use super::{lengths, notes, offsets, part, piece};

#[test]
fn lengths_multiply_the_unit() {
    assert_eq!(
        lengths(&part("c c2 c/ c// c3/2 c/4 c3/")),
        "1 2 1/2 1/4 3/2 1/4 3/2"
    );
}

#[test]
fn the_unit_comes_from_the_metre_when_nothing_says_it() {
    for (header, expected) in [
        ("", "1/2"),
        ("M:4/4\n", "1/2"),
        ("M:3/4\n", "1/2"),
        ("M:2/4\n", "1/4"),
        ("M:6/8\n", "1/2"),
        ("M:5/8\n", "1/4"),
        ("M:C\n", "1/2"),
        ("M:C|\n", "1/2"),
        ("M:none\n", "1/2"),
        ("M:(2+2)/4\n", "1/2"),
        ("M:2/4\nL:1/8\n", "1/2"),
        ("L:1/4\nM:2/4\n", "1"),
    ] {
        let piece = piece(&format!("X:1\n{header}K:C\nc"));
        assert_eq!(lengths(&piece.parts[0]), expected, "{header}");
    }
}

#[test]
fn a_change_of_metre_leaves_the_unit_alone() {
    assert_eq!(
        lengths(&part("c [M:2/4] c [L:1/8] c\nM:3/4\nc\nL:1/2\nc")),
        "1 1 1/2 1/2 2"
    );
}

#[test]
fn broken_rhythm() {
    for (music, expected) in [
        ("c>d", "3/2 1/2"),
        ("c<d", "1/2 3/2"),
        ("c>>d", "7/4 1/4"),
        ("c<<<d", "1/8 15/8"),
        ("c > d", "3/2 1/2"),
        ("c2>d2", "3 1"),
        ("[ce]>[df]", "3/2 3/2 1/2 1/2"),
        ("c>{g}d", "3/2 0 1/2"),
        ("c{g}>d", "3/2 0 1/2"),
        ("c>d<e", "3/2 1/4 3/2"),
    ] {
        assert_eq!(lengths(&part(music)), expected, "{music}");
    }
    assert_eq!(offsets(&part("c{g}>d e")), "0 3/2 3/2 2");
    assert_eq!(offsets(&part("z>d e")), "3/2 2");
}

#[test]
fn tuplets() {
    for (meter, music, expected) in [
        ("4/4", "(3ccc c", "2/3 2/3 2/3 1"),
        ("4/4", "(2cc", "3/2 3/2"),
        ("4/4", "(4cccc", "3/4 3/4 3/4 3/4"),
        ("4/4", "(5ccccc", "2/5 2/5 2/5 2/5 2/5"),
        ("6/8", "(5ccccc", "3/5 3/5 3/5 3/5 3/5"),
        ("4/4", "(6cccccc", "1/3 1/3 1/3 1/3 1/3 1/3"),
        ("4/4", "(3:2:2 c2 c c", "4/3 2/3 1"),
        ("4/4", "(3:4 ccc c", "4/3 4/3 4/3 1"),
        ("4/4", "(3 c [ce] z c", "2/3 2/3 2/3 1"),
    ] {
        let piece = piece(&format!("X:1\nM:{meter}\nL:1/4\nK:C\n{music}\n"));
        assert_eq!(lengths(&piece.parts[0]), expected, "{meter}: {music}");
    }
}

#[test]
fn a_chord_lasts_as_long_as_its_first_note_times_its_own_length() {
    let part = part("[c2e]2 [ce2g/]/ d");
    assert_eq!(lengths(&part), "4 4 1/2 1/2 1/2 1");
    assert_eq!(offsets(&part), "0 0 4 4 4 9/2");
    let further: Vec<bool> = notes(&part).map(|note| note.chord).collect();
    assert_eq!(further, [false, true, false, true, true, false]);
    let after_grace = super::part("[{g}ce]");
    let further: Vec<bool> = notes(&after_grace).map(|note| note.chord).collect();
    assert_eq!(further, [false, false, true]);
}

#[test]
fn grace_notes_take_no_time() {
    let part = part("c {/d}e {f[ga]}g");
    assert_eq!(lengths(&part), "1 0 1 0 0 0 1");
    assert_eq!(offsets(&part), "0 1 1 2 2 2 2");
    let graces: Vec<(bool, bool)> = notes(&part).map(|note| (note.grace, note.chord)).collect();
    assert_eq!(graces[3..6], [(true, false), (true, false), (true, true)]);
}

fn rests(music: &str) -> Vec<Rest> {
    part(music)
        .events()
        .filter_map(|placed| match &placed.event.kind {
            EventKind::Rest(rest) => Some(rest.clone()),
            _ => None,
        })
        .collect()
}

#[test]
fn rests_seen_and_unseen() {
    let said: Vec<_> = rests("z2 x z | z4 | X")
        .iter()
        .map(|rest| (rest.length.to_string(), rest.visible, rest.whole_bar))
        .collect();
    let expected = [
        ("2", true, false),
        ("1", false, false),
        ("1", true, false),
        ("4", true, true),
        ("4", false, true),
    ];
    assert_eq!(
        said,
        expected.map(|(length, seen, whole)| (length.to_owned(), seen, whole))
    );
}

#[test]
fn a_rest_of_bars_becomes_bars() {
    let part = part("c4 | Z3 | d4 |");
    assert_eq!(super::numbers(&part), "1 2 3 4 5");
    let lengths: Vec<String> = part.bars.iter().map(|bar| bar.length.to_string()).collect();
    assert_eq!(lengths, ["4"; 5]);
    assert!(part.bars[2].runs.is_empty());
    assert_eq!(part.bars[4].onset.to_string(), "16");
}

#[test]
fn a_spacer_takes_no_time() {
    assert_eq!(offsets(&part("c y d y2 e")), "0 1 2");
}
