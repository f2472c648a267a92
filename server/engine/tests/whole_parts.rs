//! Parts as a whole, and what a horn plays together with others: where each rule begins to speak, and about what.

use engine::Settings;
use rules::Finding;

use crate::sheet::sheet;

/// What a rule says of a score at sixty quarter notes a minute, under settings.
fn said(rule: &str, parts: &[(&str, &str)], settings: &str) -> Vec<Finding> {
    let (settings, errors) = Settings::of_text(settings);
    assert_eq!(errors, Vec::<String>::new());
    let judged = sheet(60, parts, settings);
    let findings = judged.findings().iter();
    findings
        .filter(|finding| finding.rule == rule)
        .cloned()
        .collect()
}

/// How often a rule speaks about one horn's music at sixty quarter notes a minute.
fn count(rule: &str, music: &str, settings: &str) -> usize {
    said(rule, &[("Horn in F", music)], settings).len()
}

#[test]
fn a_part_lives_low_by_the_time_it_spends_there() {
    let rule = "part/lives-low";
    let set = "[rules]\n\"part/lives-low\" = { notes = 4, share = 75 }\n";
    // Three of four seconds, with what is tied on.
    assert_eq!(count(rule, "!mf!B, A, B, c | z4", set), 1);
    assert_eq!(count(rule, "!mf!B,- B, A, A, c c | z4", set), 0);
    assert_eq!(count(rule, "!mf!B,- B,- B,- B, | A, B, c2 | z4", set), 1);
    // C4 itself is where it begins to sing; and three notes are no part.
    assert_eq!(count(rule, "!mf!C C C C | z4", set), 0);
    assert_eq!(count(rule, "!mf!B, A, B, | z4", set), 0);
    let higher = set.replace("share", "below = \"E4\", share");
    assert_eq!(count(rule, "!mf!C C C C | z4", &higher), 1);
    let found = said(rule, &[("Horn in F", "!mf!B, A, B, c | z4")], set);
    assert!(
        found[0].message.starts_with("75 of 100 seconds"),
        "{found:?}"
    );
}

#[test]
fn a_minute_can_be_too_full() {
    let rule = "part/too-full";
    let set = "[rules]\n\"part/too-full\" = { notes = 8 }\n";
    // Nine notes in nine seconds; the same with ties and grace notes for the ninth; and the ninth a minute on.
    assert_eq!(count(rule, "!mf!G A B c | G A B c | c4", set), 1);
    assert_eq!(count(rule, "!mf!G A B c | G A B {G}c- | c4", set), 0);
    let rests = "z4 | ".repeat(13);
    assert_eq!(
        count(rule, &format!("!mf!G A B c | G A B c | {rests}c4"), set),
        0
    );
    let rests = "z4 | ".repeat(12);
    assert_eq!(
        count(rule, &format!("!mf!G A B c | G A B c | {rests}z3 c"), set),
        1
    );
    // A long stretch is told once, and again after it has ended.
    let minute = "G A B c | ".repeat(15);
    assert_eq!(count(rule, &format!("!mf!{minute}c4"), set), 1);
    let rests = "z4 | ".repeat(15);
    assert_eq!(
        count(rule, &format!("!mf!{minute}{rests}{minute}c4"), set),
        2
    );
    assert_eq!(count(rule, "!mf!G A B c | G A B c | c4", ""), 0);
}

#[test]
fn a_part_of_after_beats_is_empty() {
    let rule = "part/too-empty";
    let set = "[rules]\n\"part/too-empty\" = { notes = 8, share = 75 }\n";
    assert_eq!(
        count(rule, "!mf!z G z G | z G z G | z A z A | z A z A", set),
        1
    );
    // One bar in four, two in five; a note held over the barline sounds on the first beat.
    assert_eq!(
        count(rule, "!mf!z G z G | z G z G | z A z A | A A z A", set),
        1
    );
    assert_eq!(
        count(rule, "!mf!z G z G | z G z G | z A z A- | A z z A | G4", set),
        0
    );
    assert_eq!(count(rule, "!mf!z G z G | z G z G | z A z A", set), 0);
}

#[test]
fn rips_wear_off() {
    let rule = "rip/too-many";
    let set = "[rules]\n\"rip/too-many\" = { rips = 4 }\n";
    let rip = "\"^gliss.\" (C2 c2) | z4 | ";
    assert_eq!(count(rule, &format!("!f!{}z4", rip.repeat(4)), set), 0);
    let found = said(
        rule,
        &[("Horn in F", &format!("!f!{}z4", rip.repeat(5)))],
        set,
    );
    assert_eq!(found.len(), 1);
    assert_eq!(found[0].bar, Some(9));
    assert!(
        found[0].message.starts_with("This is the 5th rip"),
        "{found:?}"
    );
    // Six are told once; five with a minute between the first and the last are an effect each.
    assert_eq!(count(rule, &format!("!f!{}z4", rip.repeat(6)), set), 1);
    let spread = format!("!f!{rip}{}{}z4", "z4 | ".repeat(8), rip.repeat(4));
    assert_eq!(count(rule, &spread, set), 0);
}

const LINE: &str = "!mf!g a b a | g a b2 | g a b a | g4 | z4";
const SOUND: &str = "!mf!c d e d | c d e2 | c d e d | c4 | z4";

#[test]
fn a_horn_follows_the_first_trumpet_high() {
    let rule = "doubling/high";
    let set = "[rules]\n\"doubling/high\" = { for = 16 }\n";
    let both = |horn: &str, name: &str, other: &str, settings: &str| {
        said(rule, &[("Horn in F", horn), (name, other)], settings)
    };
    for name in ["Trumpet 1", "Clarinet"] {
        let found = both(LINE, name, SOUND, set);
        assert_eq!(found.len(), 1, "{name}");
        assert!(found[0].message.starts_with(&format!(
            "The horn plays the same notes as {name} from bar 1 to bar 4, mostly from written E5 up"
        )), "{found:?}");
        assert_eq!(found[0].fixes.len(), 1);
    }
    assert_eq!(both(LINE, "Oboe", SOUND, set), []);
    // The length counts, one note of another may come between, two may not; an octave apart is not together.
    assert_eq!(both(LINE, "Trumpet", SOUND, &set.replace("16", "17")), []);
    let once = SOUND.replacen("c d e2", "c A e2", 1);
    assert_eq!(both(LINE, "Trumpet", &once, set).len(), 1);
    let twice = SOUND.replacen("c d e2", "A A e2", 1);
    assert_eq!(both(LINE, "Trumpet", &twice, set), []);
    assert_eq!(
        both(
            LINE,
            "Trumpet",
            "!mf!c' d' e' d' | c' d' e'2 | c' d' e' d' | c'4 | z4",
            set
        ),
        []
    );
    // So does how high it lies: half of the notes.
    let low = [
        "!mf!G A B A | G A B2 | G A B A | G4 | z4",
        "!mf!C D E D | C D E2 | C D E D | C4 | z4",
    ];
    assert_eq!(both(low[0], "Trumpet", low[1], set), []);
    let lower = set.replace("16", "16, from = \"F4\"");
    assert_eq!(both(low[0], "Trumpet", low[1], &lower).len(), 1);
    // Only the first of them leads.
    let second = said(
        rule,
        &[
            ("Horn in F", LINE),
            ("Trumpet 1", "z4 | z4 | z4 | z4 | z4"),
            ("Trumpet 2", SOUND),
        ],
        set,
    );
    assert_eq!(second, []);
}

#[test]
fn a_unison_is_drowned() {
    let rule = "doubling/drowned";
    let all = |second: &str| {
        let parts = [
            ("Horn in F", LINE),
            ("Trombone 1", SOUND),
            ("Trombone 2", second),
        ];
        said(rule, &parts, "")
    };
    // At mezzo-forte a trombone is 12 against the horn's 6 2/3, so two of them do not drown it; at forte they do.
    assert_eq!(all(SOUND), []);
    let loud = [LINE, SOUND].map(|line| line.replace("!mf!", "!f!"));
    let parts = [
        ("Horn in F", loud[0].as_str()),
        ("Trombone 1", loud[1].as_str()),
        ("Trombone 2", loud[1].as_str()),
    ];
    let found = said(rule, &parts, "");
    assert_eq!(found.len(), 1);
    assert!(
        found[0].message.starts_with(
            "The horn plays the same notes as Trombone 1 and Trombone 2 from bar 1 to bar 4"
        ),
        "{found:?}"
    );
    assert_eq!(said(rule, &parts[..2], ""), []);
    // Strings in unison with brass are heard apart, and two horns hold their own.
    let strings = [parts[0], ("Violin", parts[1].1), ("Viola", parts[1].1)];
    assert_eq!(said(rule, &strings, ""), []);
    let horns = [parts[0], ("Horn 2 in F", parts[0].1), parts[1], parts[2]];
    assert_eq!(said(rule, &horns, ""), []);
    let long = "[rules]\n\"doubling/drowned\" = { for = 17 }\n";
    assert_eq!(said(rule, &parts, long), []);
}

#[test]
fn chords_ring_when_they_lie_close() {
    let rule = "section/voicing";
    let chords = |upper: &str, lower: &str, settings: &str| {
        let parts = [("Horns 1.2. in F", upper), ("Horns 3.4. in F", lower)];
        let found = said(rule, &parts, settings);
        found
            .into_iter()
            .map(|finding| finding.message)
            .collect::<Vec<_>>()
    };
    let gap = chords("!f![eg] [eg] [eg] z", "!f![CD] [CD] [CE] z", "");
    assert_eq!(
        gap,
        Vec::<String>::new(),
        "two chords are no way of writing"
    );
    let gap = chords("!f![eg] [eg] [eg] z", "!f![CD] [CD] [CD] z", "");
    assert!(
        matches!(gap.as_slice(), [one] if one.contains("In 3 chords") && one.contains("12 semitones")),
        "{gap:?}"
    );
    // An octave is no gap, soft chords are left alone, and two horns are no chord.
    assert_eq!(
        chords("!f![eg] [eg] [eg] z", "!f![CE] [CE] [CE] z", ""),
        Vec::<String>::new()
    );
    assert_eq!(
        chords("!p![eg] [eg] [eg] z", "!p![CD] [CD] [CD] z", ""),
        Vec::<String>::new()
    );
    assert_eq!(chords("!f!e e e z", "!f!C C C z", ""), Vec::<String>::new());
    // Thirds growl below written G3, not from there on, and a fourth does not.
    let low = chords("!f![Ec] [Ec] [Ec] z", "!f![F,A,] [F,A,] [F,A,] z", "");
    assert!(
        matches!(low.as_slice(), [one] if one.contains("below written G3")),
        "{low:?}"
    );
    assert_eq!(
        chords("!f![Ec] [Ec] [Ec] z", "!f![G,B,] [G,B,] [G,B,] z", ""),
        Vec::<String>::new()
    );
    assert_eq!(
        chords("!f![Ec] [Ec] [Ec] z", "!f![F,_B,] [F,_B,] [F,_B,] z", ""),
        Vec::<String>::new()
    );
    // Who tunes together is a matter of the house.
    let apart = ["!f![Gg] [Gg] [Gg] z", "!f![Ge] [Ge] [Ge] z"];
    assert_eq!(chords(apart[0], apart[1], ""), Vec::<String>::new());
    let wide = ["!f![Dg] [Dg] [Dg] z", "!f![Gc] [Gc] [Gc] z"];
    let pairs = "[rules]\n\"section/voicing\" = { pairs = \"1+2\" }\n";
    let found = chords(wide[0], wide[1], pairs);
    assert!(
        matches!(found.as_slice(), [one] if one.contains("horns 1 and 2, who tune together")),
        "{found:?}"
    );
    assert_eq!(chords(apart[0], apart[1], pairs), Vec::<String>::new());
    assert_eq!(
        chords(wide[0], wide[1], &pairs.replace("1+2", "1+3")),
        Vec::<String>::new()
    );
}
