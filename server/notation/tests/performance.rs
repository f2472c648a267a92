//! The order in which a score is played: the same invented scores in three notations, each bar with a note of its own,
//! against orders that were counted by hand.

#![expect(clippy::unwrap_used, reason = "a test fails loudly")]

use notation::{Document, Format};
use score::bounds::{MOST_PASSES, MOST_PLAYED_AGAIN};
use score::{EventKind, Part, Performance, Piece, Undecided};

// What is written -------------------------------------------------------------------------------------------------------

fn abc(music: &str) -> String {
    format!("X:1\nM:4/4\nL:1/1\nK:none\n{music}\n")
}

/// Records parted by spaces; `_` is a space within one.
fn kern(records: &str) -> String {
    let records: Vec<String> = records
        .split_whitespace()
        .map(|record| record.replace('_', " "))
        .collect();
    format!("**kern\n*M4/4\n{}\n*-\n", records.join("\n"))
}

/// Measures parted by `|`, signs parted by spaces: `{` and `}` begin and end a repeat, `}3` one of three times, `[1` and
/// `]1` begin and end an ending, `]1}` ends a repeat with it; `(To_Coda)` are words, `<coda>` is a sign, `dacapo=yes` what
/// a player program is told.
fn musicxml(measures: &str) -> String {
    let mut text = String::from(
        "<score-partwise><part-list><score-part id=\"P1\"><part-name>Horn</part-name></score-part></part-list><part id=\"P1\">",
    );
    for (at, measure) in measures.split('|').enumerate() {
        text += &format!("<measure number=\"{}\">", at + 1);
        if at == 0 {
            text += "<attributes><divisions>1</divisions><time><beats>4</beats><beat-type>4</beat-type></time></attributes>";
        }
        for sign in measure.split_whitespace() {
            text += &element(sign);
        }
        text += "</measure>";
    }
    text + "</part></score-partwise>"
}

fn element(sign: &str) -> String {
    let direction =
        |kind: &str| format!("<direction><direction-type>{kind}</direction-type></direction>");
    let left = |inner: &str| format!("<barline location=\"left\">{inner}</barline>");
    let right = |inner: &str| format!("<barline location=\"right\">{inner}</barline>");
    let back = |times: &str| match times {
        "" => "<repeat direction=\"backward\"/>".to_owned(),
        times => format!("<repeat direction=\"backward\" times=\"{times}\"/>"),
    };
    let (kind, rest) = sign.split_at(1);
    match kind {
        "{" if rest.is_empty() => left("<repeat direction=\"forward\"/>"),
        "}" => right(&back(rest)),
        "[" => left(&format!("<ending number=\"{rest}\" type=\"start\"/>")),
        "]" => {
            let number = rest.trim_end_matches('}');
            let stop = format!("<ending number=\"{number}\" type=\"stop\"/>");
            let back = if number == rest {
                String::new()
            } else {
                back("")
            };
            right(&(stop + &back))
        }
        "(" => {
            let words = rest.trim_end_matches(')').replace('_', " ");
            direction(&format!("<words>{words}</words>"))
        }
        "<" => direction(&format!("<{}/>", rest.trim_end_matches('>'))),
        _ => match sign.split_once('=') {
            Some((name, value)) => format!("<sound {name}=\"{value}\"/>"),
            None => format!(
                "<note><pitch><step>{sign}</step><octave>4</octave></pitch><duration>4</duration></note>"
            ),
        },
    }
}

// What is read ----------------------------------------------------------------------------------------------------------

fn piece(format: Format, text: &str) -> Piece {
    let document = Document::from_text(format, text);
    let score = document.score();
    assert!(score.unreadable.is_empty(), "{:?}", score.unreadable);
    let piece = &score.pieces[0].piece;
    assert!(piece.unreadable.is_empty(), "{:?}", piece.unreadable);
    (**piece).clone()
}

/// The letter of a bar's first note.
fn letter(part: &Part, bar: usize) -> String {
    let mut notes = part.bars[bar]
        .events(bar)
        .filter_map(|placed| match &placed.event.kind {
            EventKind::Note(note) => Some(note.written.to_string()[..1].to_owned()),
            _ => None,
        });
    notes.next().unwrap()
}

fn performance(format: Format, text: &str) -> (String, Option<Undecided>) {
    let piece = piece(format, text);
    let part = &piece.parts[0];
    let Performance { turns, undecided } = Performance::of(&piece, part.bars.len());
    let bars = turns.into_iter().flatten();
    (bars.map(|bar| letter(part, bar)).collect(), undecided)
}

/// Looks that a score is played in this order in each notation that can say it.
fn played(order: &str, in_abc: &str, in_kern: &str, in_musicxml: &str) {
    for (format, text) in [
        (Format::Abc, abc(in_abc)),
        (Format::Kern, kern(in_kern)),
        (Format::MusicXml, musicxml(in_musicxml)),
    ] {
        let (bars, undecided) = performance(format, &text);
        assert_eq!(
            (bars.as_str(), undecided),
            (order, None),
            "{format:?}\n{text}"
        );
    }
}

/// Looks that the order cannot be decided, that the score is then read straight, and what is said of it.
fn undecided(words: &str, straight: &str, texts: &[(Format, String)]) {
    for (format, text) in texts {
        let (bars, undecided) = performance(*format, text);
        assert!(undecided.is_some(), "{format:?} played {bars}\n{text}");
        let undecided = undecided.unwrap();
        assert_eq!(bars, straight, "{format:?}\n{text}");
        assert!(undecided.problem.contains(words), "{undecided:?}");
        assert!(!undecided.span.is_empty(), "{undecided:?}\n{text}");
        assert!(undecided.span.end <= text.len(), "{undecided:?}");
    }
}

fn in_all(in_abc: &str, in_kern: &str, in_musicxml: &str) -> [(Format, String); 3] {
    [
        (Format::Abc, abc(in_abc)),
        (Format::Kern, kern(in_kern)),
        (Format::MusicXml, musicxml(in_musicxml)),
    ]
}

// Repeats and endings -----------------------------------------------------------------------------------------------------

#[test]
fn a_score_without_repeats_is_played_straight() {
    played("CDE", "C | D | E |]", "=1 1c =2 1d =3 1e ==", "C | D | E");
}

#[test]
fn a_repeat_is_played_twice() {
    played(
        "CDEDEF",
        "C |: D | E :| F |]",
        "=1 1c =2!|: 1d =3 1e =4:|! 1f ==",
        "C | { D | E } | F",
    );
}

#[test]
fn a_repeat_that_names_no_beginning_goes_back_to_the_start_or_to_the_last_repeat() {
    played(
        "CDCDE",
        "C | D :| E |]",
        "=1 1c =2 1d =3:|! 1e ==",
        "C | D } | E",
    );
    played(
        "CCDEDEF",
        "|: C :| D | E :| F |]",
        "=1!|: 1c =2:|! 1d =3 1e =4:|! 1f ==",
        "{ C } | D | E } | F",
    );
    played(
        "CDCEFFG",
        "|: C |1 D :|2 E || F :| G |]",
        "*>[A,A1,A,A2,B,B,C] *>A =1!|: 1c =2 *>A1 1d =3:|! *>A2 1e =4 *>B 1f =5:|! *>C 1g ==",
        "{ C | [1 D ]1} | [2 E ]2 | F } | G",
    );
}

#[test]
fn a_repeat_ends_and_another_begins_at_one_barline() {
    played(
        "CCDDE",
        "|: C :: D :| E |]",
        "=1!|: 1c =2:|!|: 1d =3:|! 1e ==",
        "{ C } | { D } | E",
    );
}

#[test]
fn endings_are_played_in_the_passes_that_they_name() {
    played(
        "CDCEF",
        "|: C |1 D :|2 E | F |]",
        "*>[A,A1,A,A2] *>norep[A,A2] *>A =1!|: 1c =2 *>A1 1d =3:|! *>A2 1e =4 1f ==",
        "{ C | [1 D ]1} | [2 E ]2 | F",
    );
    played(
        "CDCECDCECF",
        "|: C [1,3 D :| [2,4 E :| [5 F |]",
        "*>[A,A1,A,A2,A,A1,A,A2,A,A3] *>A =1!|: 1c =2 *>A1 1d =3:|! *>A2 1e =4:|! *>A3 1f ==",
        "{ C | [1,3 D ]1} | [2,4 E ]2} | [5 F ]5",
    );
    played(
        "CDCDCDCE",
        "|: C [1-3 D :| [4 E |]",
        "*>[A,A1,A,A1,A,A1,A,A2] *>A =1!|: 1c =2 *>A1 1d =3:|! *>A2 1e ==",
        "{ C | [1,2,3 D ]1} | [4 E ]4",
    );
}

#[test]
fn a_first_ending_alone_is_left_out_the_second_time() {
    played(
        "CDCE",
        "|: C [1 D :| E |]",
        "*>[A,A1,A,B] *>A =1!|: 1c =2 *>A1 1d =3:|! *>B 1e ==",
        "{ C | [1 D ]1} | E",
    );
}

#[test]
fn a_repeat_is_played_as_many_times_as_is_said() {
    played(
        "CCCD",
        "|:: C ::| D |]",
        "=1!|: !LO:TX:t=3x 1c =2:|! 1d ==",
        "{ C }3 | D",
    );
    played(
        "CDCDCDCDE",
        "|: \"^play 4 times\" C | D :| E |]",
        "=1!|: 1c =2 !LO:TX:t=4_times 1d =3:|! 1e ==",
        "{ C | (4_x) D } | E",
    );
    // Words over what is not repeated say nothing of it.
    played(
        "CCD",
        "|: C :| \"^3x\" D |]",
        "=1!|: 1c =2:|! !LO:TX:t=3x 1d ==",
        "{ C } | (3x) D",
    );
}

#[test]
fn a_hymn_is_played_for_all_its_verses() {
    played(
        "CDCDCDCDCD",
        "\"^5 verses\" C | D |]",
        "=1 !LO:TX:t=5_verses 1c =2 1d ==",
        "(Verses_1-5) C | D",
    );
    played(
        "CCDCCD",
        "|: \"^2 verses\" C :| D |]",
        "=1!|: !LO:TX:t=2_verses 1c =2:|! 1d ==",
        "{ (2_verses) C } | D",
    );
}

// Ways back ---------------------------------------------------------------------------------------------------------------

#[test]
fn da_capo_goes_back_to_the_start() {
    played(
        "CDCD",
        "C | !D.C.!D |]",
        "=1 1c =2 !LO:TX:t=D.C. 1d ==",
        "C | D dacapo=yes",
    );
    played(
        "CDECD",
        "C | !fine!D | !D.C.alfine!E |]",
        "=1 1c =2 !LO:TX:t=Fine 1d =3 !LO:TX:t=D.C._al_Fine 1e ==",
        "C | D (Fine) fine=yes | E (D.C._al_Fine) dacapo=yes",
    );
}

#[test]
fn after_da_capo_repeats_are_not_played_again_and_the_last_ending_is_taken() {
    played(
        "CCDECD",
        "|: C :| !fine!D | \"^Da Capo al Fine\"E |]",
        "=1!|: 1c =2:|! !LO:TX:t=Fine 1d =3 !LO:TX:t=da_capo_al_fine 1e ==",
        "{ C } | D (Fine) | E (D._C._al_Fine)",
    );
    for (format, text) in [
        (
            Format::Abc,
            abc("|: C [1 D :| [2 !fine!E | !D.C.alfine!F |]"),
        ),
        (
            Format::MusicXml,
            musicxml("{ C | [1 D ]1} | [2 E (Fine) ]2 | F (D.C._al_Fine)"),
        ),
    ] {
        assert_eq!(performance(format, &text), ("CDCEFCE".to_owned(), None));
    }
}

#[test]
fn dal_segno_goes_back_to_the_sign() {
    played(
        "CDEFDE",
        "C | !segno!D | !fine!E | !D.S.alfine!F |]",
        "=1 1c =2 !LO:TX:t=Segno 1d =3 !LO:TX:t=Fine 1e =4 !LO:TX:t=D.S._al_Fine 1f ==",
        "C | <segno> D | E fine=yes | F dalsegno=1",
    );
    // The nearest sign before, and not the one that is drawn beside the words.
    let text = musicxml("C | <segno> D | E | F <segno> (D.S.)");
    assert_eq!(
        performance(Format::MusicXml, &text),
        ("CDEFDEF".to_owned(), None)
    );
}

#[test]
fn a_coda_is_reached_after_the_way_back_alone() {
    played(
        "CDEFDEG",
        "C | !segno!D | !dacoda!E | !D.S.alcoda!F | !coda!G |]",
        "=1 1c =2 !LO:TX:t=Segno 1d =3 !LO:TX:t=To_Coda 1e =4 !LO:TX:t=D.S._al_Coda 1f =5 !LO:TX:t=Coda 1g ==",
        "C | <segno> segno=1 D | E (To_Coda) <coda> tocoda=1 | F (D.S._al_Coda) | <coda> coda=1 G",
    );
    // Two signs and no words: the first is where to leave.
    played(
        "CDECDF",
        "C | D !coda! | !D.C.alcoda!E | !coda!F |]",
        "=1 1c =2 !LO:TX:t=Coda 1d =3 !LO:TX:t=D.C._al_Coda 1e =4 !LO:TX:t=Coda 1f ==",
        "C | D <coda> | E (D.C._al_Coda) | <coda> F",
    );
}

// Orders of sections -------------------------------------------------------------------------------------------------------

#[test]
fn sections_are_played_in_the_order_that_the_head_gives() {
    let tune = "X:1\nP:A(AB)2C\nM:4/4\nL:1/1\nK:none\nP:A\nC | D |\nP:B\nE |\nP:C\nF |]\n";
    let order = ("CDCDECDEF".to_owned(), None);
    assert_eq!(performance(Format::Abc, tune), order);
    let spine = kern("*>[A,A,B,A,B,C] *>norep[A,B,C] *>A =1 1c =2 1d =3 *>B 1e =4 *>C 1f ==");
    assert_eq!(performance(Format::Kern, &spine), order);
    // A list counts every time that a section is played; letters leave the repeats within to the barlines.
    let tune = "X:1\nP:ABA\nM:4/4\nL:1/1\nK:none\nP:A\n|: C :|\nP:B\nD | E :|\n";
    assert_eq!(
        performance(Format::Abc, tune),
        ("CCDEDECC".to_owned(), None)
    );
    let spine = kern("*>[A,B,A] *>A =1!|: 1c =2:|! *>B 1d ==");
    assert_eq!(performance(Format::Kern, &spine), ("CDC".to_owned(), None));
}

#[test]
fn labels_without_an_order_and_an_order_without_labels_change_nothing() {
    let tune = "X:1\nP:AB\nM:4/4\nL:1/1\nK:none\nC | D |]\n";
    assert_eq!(performance(Format::Abc, tune), ("CD".to_owned(), None));
    let spine = kern("*>norep[B,A] *>A =1 1c =2 *>B 1d ==");
    assert_eq!(performance(Format::Kern, &spine), ("CD".to_owned(), None));
}

#[test]
fn in_abc_a_double_bar_is_where_a_repeat_begins_that_names_no_beginning() {
    for (music, order) in [
        ("C || D :| E |]", "CDDE"),
        // One that names its beginning goes on over it.
        ("|: C || D :| E |]", "CDCDE"),
        ("|: C :| D || E :| F |]", "CCDEEF"),
        ("C |[|] D :| E |]", "CDCDE"),
    ] {
        assert_eq!(
            performance(Format::Abc, &abc(music)),
            (order.to_owned(), None),
            "{music}"
        );
    }
}

// What cannot be decided ---------------------------------------------------------------------------------------------------

#[test]
fn ways_back_to_nowhere_are_told_and_the_score_is_read_straight() {
    undecided(
        "no sign stands before it",
        "CDE",
        &in_all(
            "C | D | !D.S.!E |]",
            "=1 1c =2 1d =3 !LO:TX:t=D.S. 1e ==",
            "C | D | E dalsegno=1",
        ),
    );
    undecided(
        "there is none",
        "CD",
        &in_all(
            "C | !D.C.alfine!D |]",
            "=1 1c =2 !LO:TX:t=D.C._al_Fine 1d ==",
            "C | D (D.C._al_Fine)",
        ),
    );
    undecided(
        "no place to leave for it",
        "CDE",
        &in_all(
            "C | !D.C.alcoda!D | !coda!E |]",
            "=1 1c =2 !LO:TX:t=D.C._al_Coda 1d =3 !LO:TX:t=Coda 1e ==",
            "C | D (D.C._al_Coda) | <coda> E",
        ),
    );
}

#[test]
fn a_repeat_within_another_is_told() {
    undecided(
        "another one stands within it",
        "CDEF",
        &in_all(
            "|: C |: D :| E :| F |]",
            "=1!|: 1c =2!|: 1d =3:|! 1e =4:|! 1f ==",
            "{ C | { D } | E } | F",
        ),
    );
    // A beginning that is never ended leaves no doubt where the others begin.
    played(
        "CDDEF",
        "|: C |: D :| E | F |]",
        "=1!|: 1c =2!|: 1d =3:|! 1e =4 1f ==",
        "{ C | { D } | E | F",
    );
    played(
        "CDDEFFG",
        "|: C |: D :| E || F :| G |]",
        "=1!|: 1c =2!|: 1d =3:|! 1e =4||!|: 1f =5:|! 1g ==",
        "{ C | { D } | E | { F } | G",
    );
}

#[test]
fn endings_that_leave_out_a_pass_are_told() {
    undecided(
        "leave out pass 2 of 3",
        "CDE",
        &[
            (Format::Abc, abc("|: C [1 D :| [3 E |]")),
            (Format::MusicXml, musicxml("{ C | [1 D ]1} | [3 E ]3")),
        ],
    );
    undecided(
        "does not say in which pass",
        "CDE",
        &[(Format::MusicXml, musicxml("{ C | [X D ]X} | [2 E ]2"))],
    );
}

#[test]
fn an_order_that_names_what_is_not_there_is_told() {
    undecided(
        "no section here is called `D`",
        "CE",
        &[
            (
                Format::Abc,
                "X:1\nP:ABD\nM:4/4\nL:1/1\nK:none\nP:A\nC |\nP:B\nE |]\n".to_owned(),
            ),
            (Format::Kern, kern("*>[A,B,D] *>A =1 1c =2 *>B 1e ==")),
        ],
    );
    undecided(
        "this order of sections is none",
        "CE",
        &[(
            Format::Abc,
            "X:1\nP:A(B\nM:4/4\nL:1/1\nK:none\nP:A\nC |\nP:B\nE |]\n".to_owned(),
        )],
    );
}

#[test]
fn what_is_played_is_bounded() {
    let at_most = vec!["C"; MOST_PASSES as usize].concat();
    for (times, played) in [
        (MOST_PASSES, Some(at_most.as_str())),
        (MOST_PASSES + 1, None),
    ] {
        let text = musicxml(&format!("{{ C }}{times}"));
        let (bars, undecided) = performance(Format::MusicXml, &text);
        assert_eq!(undecided.is_none(), played.is_some());
        assert_eq!(bars, played.unwrap_or("C"));
    }
    // A billion times, and more than any number holds.
    for times in ["1000000000", "99999999999999999999999999"] {
        undecided(
            "more than",
            "CD",
            &in_all(
                &format!("|: \"^{times}x\" C :| D |]")
                    .replace("99999999999999999999999999", "4000000000"),
                &format!("=1!|: !LO:TX:t={times}_times 1c =2:|! 1d ==")
                    .replace("99999999999999999999999999", "4000000000"),
                &format!("{{ C }}{times} | D"),
            ),
        );
    }
    let colons = ":".repeat(1_000_000);
    undecided(
        "more than",
        "CD",
        &[(Format::Abc, abc(&format!("|: C {colons}| D |]")))],
    );
    undecided(
        "none, or far too long",
        "C",
        &[(
            Format::Abc,
            "X:1\nP:(((((A99)99)99)99)99)99\nM:4/4\nL:1/1\nK:none\nP:A\nC |]\n".to_owned(),
        )],
    );
    // A long piece that is repeated again and again.
    let bars = MOST_PLAYED_AGAIN / 20;
    let text = abc(&format!(
        "|: {} ::::::::::::::::::::::::| D |]",
        "C |".repeat(bars)
    ));
    let (played, undecided) = performance(Format::Abc, &text);
    assert_eq!(played.len(), bars + 1);
    assert!(undecided.is_some());
}

// Several parts ------------------------------------------------------------------------------------------------------------

#[test]
fn what_one_part_says_of_the_order_holds_for_all() {
    let (plain, repeated) = ("G | A | B |]", "G |: A :| B |]");
    for (voices, order) in [([repeated, plain], "GAAB"), ([plain, repeated], "GAAB")] {
        assert_eq!(last_of(&voices), order);
    }
    // A score prints it in its first part, or in all; what one of several says is its copyist's.
    assert_eq!(last_of(&[repeated, plain, plain]), "GAAB");
    assert_eq!(last_of(&[plain, repeated, plain]), "GAB");
    let local = "|: G :| A | B |]";
    assert_eq!(last_of(&[local, repeated, repeated]), "GAAB");
}

/// The order in which the last of several voices is played.
fn last_of(voices: &[&str]) -> String {
    let voices = voices.iter().zip(1..);
    let music: String = voices
        .map(|(music, at)| format!("V:{at}\n{music}\n"))
        .collect();
    let piece = piece(Format::Abc, &format!("X:1\nM:4/4\nL:1/1\nK:none\n{music}"));
    let part = piece.parts.last().unwrap();
    let turns = Performance::of(&piece, part.bars.len()).turns;
    let bars = turns.into_iter().flatten();
    bars.map(|bar| letter(part, bar)).collect()
}
