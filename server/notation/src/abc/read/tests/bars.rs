//! Barlines, repeats, endings, the count of bars, and lines that share a bar.

use score::Barline;

use super::{lengths, notes, numbers, offsets, part, pitches};

fn closes(music: &str) -> Vec<Barline> {
    part(music)
        .bars
        .into_iter()
        .filter_map(|bar| bar.close)
        .collect()
}

#[test]
fn signs_say_repeats_and_ends() {
    for (sign, end, start, section) in [
        ("|", false, false, false),
        ("||", false, false, true),
        ("|]", false, false, true),
        (":|", true, false, false),
        ("|:", false, true, false),
        ("::", true, true, true),
        (":|:", true, true, false),
        (":||:", true, true, true),
        (":|]", true, false, true),
        ("]:|", true, false, false),
        ("[|]", false, false, false),
        (".|", false, false, false),
    ] {
        let close = &closes(&format!("c4 {sign} d4 |"))[0];
        let said = (close.repeat_end, close.repeat_start, close.section_end);
        assert_eq!(said, (end, start, section), "{sign}");
    }
}

#[test]
fn endings_belong_to_the_barline_before_them() {
    let endings = |music: &str| -> Vec<Option<String>> {
        closes(music)
            .into_iter()
            .map(|close| close.ending)
            .collect()
    };
    let said = |ending: &str| Some(ending.to_owned());
    assert_eq!(endings("c4 |1 d4 :|2 e4 |]"), [said("1"), said("2"), None]);
    assert_eq!(
        endings("c4 | [1,3 d4 :| [2 e4 |]"),
        [said("1,3"), said("2"), None]
    );
}

#[test]
fn bars_are_counted_as_players_count_them() {
    for (music, expected) in [
        ("c4 | c4 | c4 |", "1 2 3"),
        ("c | c4 | c4 |", "0 1 2"),
        ("|: c | c4 | c3 :| c4 |", "0 1 2 3"),
        ("c4 | c2 :: c2 | c4 |", "1 2 2 3"),
        ("c4 | c2 | c2 | c4 |", "1 2 3 4"),
        ("c4 | c :: c | c4 |", "1 2 3 4"),
        ("c4 || c4 | | c4 |", "1 2 3"),
        ("c2", "1"),
    ] {
        assert_eq!(numbers(&part(music)), expected, "{music}");
    }
}

#[test]
fn a_barline_ends_accidentals_wherever_it_stands() {
    assert_eq!(pitches(&part("^c2 :: c2 |")), "C#5 C5");
}

#[test]
fn an_overlay_begins_the_bar_again_with_accidentals_of_its_own() {
    let part = part("^c2 c2 & c e2 c | c4 |");
    assert_eq!(pitches(&part), "C#5 C#5 C5 E5 C5 C5");
    assert_eq!(offsets(&part), "0 2 0 1 3 0");
    let layers: Vec<u8> = notes(&part).map(|note| note.layer).collect();
    assert_eq!(layers, [0, 0, 1, 1, 1, 0]);
    assert_eq!(part.bars[0].length.to_string(), "4");
}

#[test]
fn ties_stay_in_their_own_line_of_the_bar() {
    let part = part("^c4- & e4- | c4 & e4 |");
    let held: Vec<bool> = notes(&part).map(|note| note.tied_from).collect();
    assert_eq!(held, [false, false, true, true]);
    assert_eq!(pitches(&part), "C#5 E5 C#5 E5");
}

#[test]
fn slurs_lead_to_the_next_note_until_they_close() {
    let slurred = |music| -> Vec<bool> {
        notes(&part(music))
            .map(|note| note.slurred_to_next)
            .collect()
    };
    assert_eq!(slurred("(c d e) f"), [true, true, false, false]);
    assert_eq!(slurred("(c d | e) f"), [true, true, false, false]);
    assert_eq!(slurred("(c (d) e) f"), [true, true, false, false]);
    assert_eq!(
        slurred("(c d (e) f g) a"),
        [true, true, true, true, false, false]
    );
    assert_eq!(slurred(".(c d.) e"), [true, false, false]);
}

#[test]
fn a_bar_may_be_written_on_two_lines() {
    let part = part("c2 \\\nd2 | e4");
    assert_eq!(lengths(&part), "2 2 4");
    assert_eq!(numbers(&part), "1 2");
}
