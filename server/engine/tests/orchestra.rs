//! What sounds around a horn's note: the harmony, who plays, how loud, and what the rules say of it.
#![expect(clippy::unwrap_used, reason = "a score in a test is well formed")]

use engine::{Judged, Settings};
use horn::Family;
use notation::{Document, Format};

use crate::sheet::sheet;

/// A score of parts with their names, in common time at eighty quarter notes a minute.
fn score(parts: &[(&str, &str)]) -> Judged {
    sheet(80, parts, Settings::default())
}

/// For each note of the first horn: the pitch classes that sound, what the note carries, and what is against it.
fn around(parts: &[(&str, &str)]) -> Vec<(Vec<i32>, Option<f64>, f64)> {
    let judged = score(parts);
    let (_, piece) = judged.pieces().next().unwrap();
    let horn = &piece.horns[0];
    let notes = horn.notes.iter().map(|note| {
        let around = piece.around(horn, note);
        let harmony = around.harmony();
        let classes = (0..12).filter(|class| harmony.has(*class)).collect();
        let against = around.against().filter_map(|other| other.force).sum();
        (classes, around.own(), against)
    });
    notes.collect()
}

#[test]
fn the_harmony_is_what_sounds_as_the_note_begins() {
    let classes = |horn, flute, trombone| -> Vec<Vec<i32>> {
        let all = around(&[
            ("Flute", flute),
            ("Horn in F", horn),
            ("Trombone", trombone),
        ]);
        all.into_iter().map(|(classes, ..)| classes).collect()
    };
    // The horn sounds F, then G; the flute's A ends as the G begins.
    assert_eq!(
        classes("c2 d2", "A2 B2", "C,4"),
        [vec![0, 5, 9], vec![0, 7, 11]]
    );
    // A note of two parts is still there when one of them leaves it.
    assert_eq!(classes("c2 d2", "F,2 z2", "F,4"), [vec![5], vec![5, 7]]);
    // Another part sounds where its own transposition puts it.
    assert_eq!(classes("c4", "[K:none transpose=-2]D4", "z4"), [vec![0, 5]]);
}

/// The ratios of Rimsky-Korsakov, *Principles of Orchestration*, p. 33, worked out by hand for three passages. Piano is
/// the unit, and a degree is twice as much, so that forte, three degrees up, is eight times the forte ratio.
#[test]
fn three_passages_weigh_what_the_source_says() {
    // In forte one trumpet is two horns, and a horn two clarinets.
    let forte = around(&[
        ("Horn in F", "!f!c4"),
        ("Trumpet", "!f!G4"),
        ("Clarinet", "!f!E4"),
    ]);
    assert_eq!(forte[0].1, Some(2.0 * 8.0));
    assert_eq!(forte[0].2, (4.0 + 1.0) * 8.0);
    // In piano all are alike, and a section of strings is one wind instrument, however many notes it divides into.
    let piano = around(&[
        ("Horn in F", "!p!c4"),
        ("Trombone", "!p!C,4"),
        ("Flute", "!p!E4"),
        ("Violin 1", "!p![EGc]4"),
    ]);
    assert_eq!((piano[0].1, piano[0].2), (Some(1.0), 3.0));
    // One player of a section is no section.
    let solo = around(&[("Horn in F", "!f!c4"), ("Violin solo", "!f!E4")]);
    assert_eq!(solo[0].2, 8.0);
    // Between them lies a straight line: at mezzo-forte, two degrees up and two thirds of the way, a horn is 5/3 and a
    // section of strings as much; two trombones of one part at f are 8.
    let mezzo = around(&[
        ("Horn in F", "!mf!c4"),
        ("Viola", "!mf!E4"),
        ("Trombones 1.2.", "!f![C,G,]4"),
    ]);
    let horn = 5.0 / 3.0 * 4.0;
    assert!((mezzo[0].1.unwrap() - horn).abs() < 1e-9, "{mezzo:?}");
    assert!(
        (mezzo[0].2 - horn - 2.0 * 4.0 * 8.0).abs() < 1e-9,
        "{mezzo:?}"
    );
}

#[test]
fn who_plays_the_same_note_plays_with_it() {
    let one = around(&[("Horn 1 in F", "!f!c4"), ("Horn 2 in F", "!f!e4")]);
    assert_eq!((one[0].1, one[0].2), (Some(16.0), 16.0));
    let both = around(&[("Horn 1 in F", "!f!c4"), ("Horn 2 in F", "!f!c4")]);
    assert_eq!((both[0].1, both[0].2), (Some(32.0), 0.0));
    // Another instrument's unison is against it: its colour is not the horn's.
    let trombone = around(&[("Horn 1 in F", "!f!c4"), ("Trombone", "!f!F4")]);
    assert_eq!((trombone[0].1, trombone[0].2), (Some(16.0), 32.0));
}

#[test]
fn loudness_follows_hairpins_and_marks_that_last() {
    let others = |flute: &str| -> Vec<f64> {
        let horn = "!p!c d e f | g a g f";
        let all = around(&[("Horn in F", horn), ("Violin", flute)]);
        all.into_iter().map(|(.., against)| against).collect()
    };
    let units = |degrees: f64| (1.0 + degrees / 3.0) * degrees.exp2();
    let close = |flute: &str, degrees: [f64; 8]| {
        for (found, degrees) in others(flute).into_iter().zip(degrees) {
            let wanted = units(degrees);
            assert!((found - wanted).abs() < 1e-9, "{flute}: {found}, {wanted}");
        }
    };
    close(
        "!p!G G G G | !f!G G G G",
        [0.0, 0.0, 0.0, 0.0, 3.0, 3.0, 3.0, 3.0],
    );
    // A hairpin leads to the mark at its end, a word to the next mark.
    close(
        "!p!!<(!G G G G | !<)!!f!G G G G",
        [0.0, 0.75, 1.5, 2.25, 3.0, 3.0, 3.0, 3.0],
    );
    close(
        "!p!\"^cresc.\"G G G G | !f!G G G G",
        [0.0, 0.75, 1.5, 2.25, 3.0, 3.0, 3.0, 3.0],
    );
    close(
        "!f!\"^dim.\"G G G G | !p!G G G G",
        [3.0, 2.25, 1.5, 0.75, 0.0, 0.0, 0.0, 0.0],
    );
    // One that leads to no mark is a degree.
    close(
        "!p!!<(!G G !<)!G G | G G G G",
        [0.0, 0.5, 1.0, 1.0, 1.0, 1.0, 1.0, 1.0],
    );
    // However many follow each other.
    close(
        "!p!!<(!G !<)!G !<(!G !<)!G | !<(!G !<)!G G G",
        [0.0, 1.0, 1.0, 1.0, 1.0, 1.0, 1.0, 1.0],
    );
    // An accent passes; what follows it in the mark lasts.
    close("!p!G !sfz!G G G | G G G G", [0.0; 8]);
    close(
        "!f!G !fp!G G G | G G G G",
        [3.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0],
    );
    // A part without a dynamic covers nothing that can be known, and neither does what nobody has weighed.
    assert_eq!(others("G G G G | G G G G"), [0.0; 8]);
    let drum = around(&[("Horn in F", "!p!c4"), ("Timpani", "!ff!C,4")]);
    assert_eq!(drum[0].2, 0.0);
    let silent = around(&[("Horn in F", "c4"), ("Violin", "!f!C4")]);
    assert_eq!(silent[0].1, None);
}

#[test]
fn closed_horns_are_heard_as_mezzo_forte_at_most() {
    let mezzo = 5.0 / 3.0 * 4.0;
    for (mark, wanted) in [
        ("!+!", mezzo),
        ("\"^con sord.\"", mezzo),
        ("", 32.0 * 2.0 / 2.0),
    ] {
        let own = around(&[("Horn in F", &format!("!ff!{mark}c4")), ("Flute", "z4")])[0].1;
        assert!((own.unwrap() - wanted).abs() < 1e-9, "{mark} {own:?}");
    }
    // Softer than that they are as soft as marked.
    let own = around(&[("Horn in F", "!p!!+!c4"), ("Flute", "z4")])[0].1;
    assert_eq!(own, Some(1.0));
}

/// Where a rule speaks, by bar, and its message.
fn spoken(rule: &str, parts: &[(&str, &str)]) -> Vec<(u32, String)> {
    let judged = score(parts);
    let findings = judged
        .findings()
        .iter()
        .filter(|finding| finding.rule == rule);
    findings
        .map(|finding| (finding.bar.unwrap(), finding.message.clone()))
        .collect()
}

#[test]
fn a_solo_is_covered_by_four_times_its_weight() {
    let rule = "balance/covered-solo";
    let solo = "!f!c2 d2 | \"^solo\" e f g e | c4 | z4";
    // A horn in forte is two woodwinds; two trombones are four times as much, and just cover it.
    let two = ["Trombone 1", "Trombone 2"].map(|name| (name, "!f!z4 | C,4 | C,4 | z4"));
    let all = [("Horn in F", solo), two[0], two[1]];
    let found = spoken(rule, &all);
    assert_eq!(found.len(), 1, "{found:?}");
    assert_eq!(found[0].0, 2);
    for words in [
        "Trombone 1 and Trombone 2 cover this solo from bar 2 to bar 3",
        "about 4 times",
    ] {
        assert!(found[0].1.contains(words), "{found:?}");
    }
    let soft = two.map(|(name, _)| (name, "!mf!z4 | C,4 | C,4 | z4"));
    assert_eq!(spoken(rule, &[all[0], soft[0], soft[1]]), []);
    assert_eq!(spoken(rule, &[all[0], two[0]]), []);
    // Not what no one calls a solo; nor a call on two notes; nor what was last marked long before.
    let plain = solo.replace("\"^solo\"", "");
    assert_eq!(spoken(rule, &[("Horn in F", &plain), two[0], two[1]]), []);
    let call = "!f!c2 d2 | \"^solo\" e e g e | g4 | z4";
    assert_eq!(spoken(rule, &[("Horn in F", call), two[0], two[1]]), []);
    let late = "!f!c2 d2 | c2 d2 | c2 d2 | c2 d2 | c2 d2 | \"^solo\" e f g e | z4";
    let late_two = two.map(|(name, _)| (name, "!f!z4 | z4 | z4 | z4 | z4 | C,4 | C,4 "));
    assert_eq!(
        spoken(rule, &[("Horn in F", late), late_two[0], late_two[1]]),
        []
    );
    let fresh = late.replace("| c2 d2 | \"^solo\"", "| !f!c2 d2 | \"^solo\"");
    assert_eq!(
        spoken(rule, &[("Horn in F", &fresh), late_two[0], late_two[1]]).len(),
        1
    );
    // How many notes make a line is the house's own.
    let set = |rule: &str, music: &str, others: &[(&str, &str)]| -> usize {
        let (settings, _) = Settings::of_text(&format!("[rules]\n\"{rule}\" = {{ notes = 2 }}\n"));
        let parts = [&[("Horn in F", music)], others].concat();
        let judged = sheet(80, &parts, settings);
        let findings = judged.findings().iter();
        findings.filter(|finding| finding.rule == rule).count()
    };
    assert_eq!(set(rule, call, &two), 1);
    let accent = "!f!!+!c !+!d !open!e2 | z4 | z4 | z4";
    let under = two.map(|(name, _)| (name, "!f!C,4 | z4 | z4 | z4"));
    assert_eq!(set("balance/lost-effect", accent, &under), 1);
    // Half of the attacks make it, fewer do not.
    let half = two.map(|(name, _)| (name, "!f!z4 | C,3 z | z4 | z4"));
    assert_eq!(spoken(rule, &[all[0], half[0], half[1]]).len(), 1);
    let less = two.map(|(name, _)| (name, "!f!z4 | C,2 z2 | z4 | z4"));
    assert_eq!(spoken(rule, &[all[0], less[0], less[1]]), []);
    // Soft parts round a soft horn let it through, however many; a degree louder they do not.
    let choir = |dynamic: &str| -> usize {
        let music = format!("{dynamic}z4 | C4 | C4 | z4");
        let soft = solo.replace("!f!", "!p!");
        let names = ["Flute", "Oboe", "Clarinet", "Bassoon", "Trombone"];
        let others = names.map(|name| (name, music.as_str()));
        spoken(
            rule,
            &[&others[..], &[("Horn in F", soft.as_str())]].concat(),
        )
        .len()
    };
    assert_eq!((choir("!p!"), choir("!mp!")), (0, 1));
    // Those who cover most are named first, and many are counted.
    let many: Vec<(&str, &str)> = ["Flute", "Oboe", "Clarinet", "Bassoon", "Trombone"]
        .into_iter()
        .map(|name| (name, "!ff!z4 | C,4 | C,4 | z4"))
        .chain([all[0]])
        .collect();
    let found = spoken(rule, &many);
    assert!(
        found[0]
            .1
            .contains("Trombone, Flute, Oboe and 2 more parts cover this solo"),
        "{found:?}"
    );
}

#[test]
fn a_closed_colour_is_lost_under_a_tutti() {
    let rule = "balance/lost-effect";
    let tutti = ("Trombones 1.2.3.", "!ff![C,E,G,]4 | [C,E,G,]4");
    let stopped = "!ff!!+!c !+!d !+!e !+!d | !open!c4";
    let found = spoken(rule, &[("Horn in F", stopped), tutti]);
    assert_eq!(found.len(), 1, "{found:?}");
    assert!(
        found[0]
            .1
            .starts_with("Trombones 1.2.3. covers the stopped horn in bar 1"),
        "{found:?}"
    );
    let muted = "!ff!\"^con sord.\"c d e d | c4";
    let found = spoken(rule, &[("Horn in F", muted), tutti]);
    assert!(
        found[0].1.contains("the muted horn from bar 1 to bar 2"),
        "{found:?}"
    );
    // Open horns have no such colour to lose, an accent is soon over, and a soft tutti lets it through.
    assert_eq!(
        spoken(rule, &[("Horn in F", "!ff!c d e d | c4"), tutti]),
        []
    );
    assert_eq!(
        spoken(
            rule,
            &[("Horn in F", "!ff!!+!c !+!d !open!e d | c4"), tutti]
        ),
        []
    );
    let soft = ("Trombones 1.2.3.", "!p![C,E,G,]4 | [C,E,G,]4");
    assert_eq!(spoken(rule, &[("Horn in F", stopped), soft]), []);
    // Four horns together are heard where one is not.
    let one = ("Trombone", "!f!C,4 | C,4");
    let four: Vec<(&str, &str)> = ["Horn 1 in F", "Horn 2 in F", "Horn 3 in F", "Horn 4 in F"]
        .into_iter()
        .map(|name| (name, stopped))
        .chain([one])
        .collect();
    assert_eq!(spoken(rule, &four), []);
    assert_eq!(spoken(rule, &[("Horn in F", stopped), one]).len(), 1);
}

#[test]
fn horns_with_notes_of_their_own_want_two_for_each_of_the_other_brass() {
    let rule = "section/balance";
    let tune = "!f!c4 | d4 | e4 | z4";
    let brass = ("Trumpet", "!f!B4 | B4 | B4 | z4");
    let found = spoken(rule, &[("Horn in F", tune), brass]);
    assert_eq!(found.len(), 1, "{found:?}");
    assert_eq!(found[0].0, 1);
    assert!(
        found[0]
            .1
            .starts_with("1 horn with notes of its own plays against 1 other brass")
    );
    assert!(found[0].1.contains("for 3 bars from here on"), "{found:?}");
    // Two horns, a softer trumpet, a single bar, and the same notes in any octave are all well.
    let second = ("Horn 2 in F", tune);
    assert_eq!(spoken(rule, &[("Horn 1 in F", tune), second, brass]), []);
    assert_eq!(
        spoken(
            rule,
            &[("Horn in F", tune), ("Trumpet", "!mf!B4 | B4 | B4 | z4")]
        ),
        []
    );
    assert_eq!(
        spoken(
            rule,
            &[("Horn in F", tune), ("Trumpet", "!f!B4 | z4 | B4 | z4")]
        ),
        []
    );
    assert_eq!(
        spoken(
            rule,
            &[("Horn in F", tune), ("Trumpet", "!f!f4 | g4 | a4 | z4")]
        ),
        []
    );
    assert_eq!(
        spoken(rule, &[("Horn in F", "!mf!c4 | d4 | e4 | z4"), brass]),
        []
    );
}

/// The horn's rest of a minute and a half between two notes in bars written one by one, beside other parts, each with its
/// last two bars before the entry.
fn with_cue(others: &[(&str, &str, &str)]) -> Judged {
    let horn = format!("!mf!c4 | {}!mf!e4", "z4 | ".repeat(24));
    let rests = "z4 | ".repeat(23);
    let lines = others
        .iter()
        .map(|(name, before, last)| (*name, format!("{rests}{before} | {last} | z4")));
    let lines: Vec<(&str, String)> = lines.collect();
    let others = lines.iter().map(|(name, line)| (*name, line.as_str()));
    let parts: Vec<(&str, &str)> = std::iter::once(("Horn in F", horn.as_str()))
        .chain(others)
        .collect();
    sheet(60, &parts, Settings::default())
}

/// The title of the fix for a long rest, if there is one.
fn cue(others: &[(&str, &str, &str)]) -> Option<String> {
    let judged = with_cue(others);
    let mut findings = judged.findings().iter();
    let finding = findings
        .find(|finding| finding.rule == "part/no-cue")
        .unwrap();
    finding.fixes.first().map(|fix| fix.title.clone())
}

#[test]
fn the_line_to_hold_on_to_is_found_and_written() {
    let oboe = ("Oboe 1 in C", "!mf!A B c d", "c B A G");
    // Concert G is D for a horn in F.
    assert_eq!(
        cue(&[oboe]).as_deref(),
        Some("Write \"Oboe 1 (D)\" over the rest in bar 24")
    );
    let judged = with_cue(&[oboe]);
    let finding = judged
        .findings()
        .iter()
        .find(|one| one.rule == "part/no-cue")
        .unwrap();
    let after = judged
        .prove(&[&finding.fixes[0]])
        .map_err(|why| why.to_string())
        .unwrap()
        .judge();
    assert!(after.document().text().contains("\"^Oboe 1 (D)\"z4"));
    assert_eq!(
        after
            .findings()
            .iter()
            .map(|one| one.rule)
            .collect::<Vec<_>>(),
        Vec::<&str>::new()
    );
    // What moves goes before what is held, what sounds before what rests, what is loud before what is soft, and what lies
    // in reach before what does not.
    let held = ("Clarinet", "!mf!c4-", "c4");
    assert_eq!(
        cue(&[held, oboe]).as_deref(),
        Some("Write \"Oboe 1 (D)\" over the rest in bar 24")
    );
    let rests = ("Flute", "!mf!A z c z", "c B A G");
    assert_eq!(
        cue(&[rests, oboe]).as_deref(),
        Some("Write \"Oboe 1 (D)\" over the rest in bar 24")
    );
    let soft = ("Flute", "!pp!A B c d", "c B A A");
    assert_eq!(
        cue(&[soft, oboe]).as_deref(),
        Some("Write \"Oboe 1 (D)\" over the rest in bar 24")
    );
    let loud = ("Flute", "!ff!A B c d", "c B A A");
    assert_eq!(
        cue(&[oboe, loud]).as_deref(),
        Some("Write \"Flute (E)\" over the rest in bar 24")
    );
    let high = ("Flute", "!ff!a' b' c'' d''", "c'' b' a' g'");
    assert_eq!(
        cue(&[high, oboe]).as_deref(),
        Some("Write \"Oboe 1 (D)\" over the rest in bar 24")
    );
    // Of equals the first of the score; a drum, another horn, and what hardly plays are nothing to hold on to.
    let same = ("Flute", oboe.1, oboe.2);
    assert_eq!(
        cue(&[same, oboe]).as_deref(),
        Some("Write \"Flute (D)\" over the rest in bar 24")
    );
    for (name, before, last) in [
        ("Timpani", oboe.1, oboe.2),
        ("Horn 2 in F", oboe.1, oboe.2),
        ("Oboe", "z4", "z A B c"),
    ] {
        assert_eq!(cue(&[(name, before, last)]), None, "{name}");
    }
    assert!(cue(&[("Oboe", "z4", "!mf!c B A G")]).is_some());
    // What has begun before the two bars sounds within them too: half of them, and just enough.
    let rests = |bars: usize| "z4 | ".repeat(bars);
    let horn = format!("!mf!c4 | {}z2 !mf!e2", rests(23));
    let oboe = format!("{}!mf!G4 | z2 A2 | z4", rests(22));
    let parts = [("Horn in F", horn.as_str()), ("Oboe", oboe.as_str())];
    let judged = sheet(60, &parts, Settings::default());
    let mut findings = judged.findings().iter();
    let finding = findings.find(|finding| finding.rule == "part/no-cue");
    assert!(finding.unwrap().message.contains("\"Oboe (E)\""));
}

#[test]
fn a_family_is_there_where_one_of_its_instruments_is() {
    let judged = score(&[("Flute", "c4"), ("Horn in F", "c4"), ("Violin", "c4")]);
    let (_, piece) = judged.pieces().next().unwrap();
    assert!(piece.has(Family::Woodwind) && piece.has(Family::Strings) && !piece.has(Family::Brass));
    let judged = score(&[("Trombone", "c4"), ("Horn in F", "c4")]);
    let (_, piece) = judged.pieces().next().unwrap();
    assert!(piece.has(Family::Brass) && !piece.has(Family::Woodwind));
    // A horn among horns is of its own.
    let judged = score(&[("Horn 1 in F", "c4"), ("Horn 2 in F", "c4")]);
    let (_, piece) = judged.pieces().next().unwrap();
    assert!(!piece.has(Family::Woodwind) && !piece.has(Family::Strings));
}

/// The words that a cue is written with, in front of a part's entry, proven.
fn cue_in(horn: &str, others: &[(&str, &str, &str)]) -> String {
    let text = with_cue(others).document().text();
    let (before, after) = text.split_once("Horn in F").unwrap();
    let text = format!("{before}{horn}{after}");
    let judged = Judged::new(Document::from_text(Format::Abc, &text), Settings::default());
    let mut findings = judged.findings().iter();
    let finding = findings.find(|one| one.rule == "part/no-cue").unwrap();
    let after = judged
        .prove(&[&finding.fixes[0]])
        .map_err(|why| why.to_string())
        .unwrap()
        .judge();
    let left = after.findings().iter().any(|one| one.rule == "part/no-cue");
    assert!(!left, "{horn}");
    let text = after.document().text();
    let words = text.split("\"^").nth(1).unwrap();
    words.split('"').next().unwrap().to_owned()
}

#[test]
fn a_cue_says_which_of_several_parts() {
    let quiet = |name| (name, "z4", "z4");
    let plays = |name| (name, "!mf!A B c d", "c B A G");
    for (others, words) in [
        ([plays("Violin I"), quiet("Violin II")], "Violin I (D)"),
        ([quiet("Violin I"), plays("Violin II")], "Violin II (D)"),
        ([quiet("Violin"), plays("Violin")], "Violin II (D)"),
        ([quiet("Clarinet 1"), plays("Clarinet 2")], "Clarinet 2 (D)"),
        (
            [quiet("1st Trumpet"), plays("2nd Trumpet")],
            "Trumpet 2 (D)",
        ),
        ([quiet("Clarinet"), plays("Oboe")], "Oboe (D)"),
    ] {
        // Where two share the staff, the number is no player's of it.
        for horn in ["Horn in F", "Horns 1.2. in F"] {
            assert_eq!(cue_in(horn, &others), words, "{horn}");
        }
    }
}

#[test]
fn a_cue_names_the_last_note_as_the_horn_reads_it() {
    // As the other part spells it, by the horn's interval: concert F sharp is C sharp, G flat is D flat.
    for (last, words) in [
        ("^F", "Oboe (C#)"),
        ("_G", "Oboe (Db)"),
        ("_B", "Oboe (F)"),
        ("^A", "Oboe (F)"),
        // What is held from before the end is heard last.
        ("G z", "Oboe (D)"),
        // Of two at once the higher.
        ("[EG]", "Oboe (D)"),
    ] {
        let last = format!("c B A {last}");
        let rests = ("Oboe", "!mf!A B c d", last.as_str());
        assert_eq!(cue_in("Horn in F", &[rests]), words);
    }
}

/// The fixes of the first finding of a rule that can be proven: what they are called, and the text they come to.
fn fixes(rule: &str, parts: &[(&str, &str)]) -> Vec<(String, String)> {
    let judged = score(parts);
    let finding = judged.findings().iter().find(|one| one.rule == rule);
    let fixes = &finding.unwrap().fixes;
    let proven = fixes.iter().map(|fix| {
        let after = judged.prove(&[fix]).map_err(|why| why.to_string()).unwrap();
        let after = after.judge();
        let left = after.findings().iter().any(|one| one.rule == rule);
        assert!(!left, "{}", fix.title);
        (fix.title.clone(), after.document().text())
    });
    proven.collect()
}

#[test]
fn a_covered_solo_is_marked_louder_where_that_helps() {
    let rule = "balance/covered-solo";
    let solo = "\"^solo\"!p!c d e f | g4 | \"^tutti\"!mf!c4";
    // In p the horn carries 1. A trumpet in mf carries 12: 12 times a horn in p, and 4.5 times one in mp, which carries 2
    // and two thirds. Clarinets in mf carry 4 each: one is 4 times a horn in p, and 1.5 times one in mp.
    let clarinet = ("Clarinet", "!mf!C4 | C4 | C4");
    let trumpet = ("Trumpet", "!mf!C4 | C4 | C4");
    let found = fixes(rule, &[("Horn in F", solo), clarinet]);
    let [(title, text)] = found.as_slice() else {
        panic!("{found:?}")
    };
    assert_eq!(title, "Mark the solo mp, a degree louder");
    assert!(text.contains("\"^solo\"!mp!c d e f | g4 | \"^tutti\"!mf!c4"));
    assert_eq!(fixes(rule, &[("Horn in F", solo), trumpet]), []);
    // The mark must be the solo's own, one degree, and nothing on the way to another.
    for other in [
        "!p!c4 | \"^solo\"c d e f | \"^tutti\"!mf!c4",
        "\"^solo\"!p!c d e f | g4 | \"^tutti\"c4",
        "\"^solo\"!fp!c d e f | g4 | \"^tutti\"!mf!c4",
        "\"^solo\"!p!c d !<(!e f | g2 !<)!g2 | \"^tutti\"!mf!c4",
    ] {
        assert_eq!(
            fixes(rule, &[("Horn in F", other), clarinet]),
            [],
            "{other}"
        );
    }
}

#[test]
fn outweighed_horns_are_marked_louder_where_that_helps() {
    let rule = "section/balance";
    let horn = "!f!c4 | d4 | e4 | !mf!c4";
    let brass = ("Trumpet", "!f!B4 | B4 | B4 | z4");
    let found = fixes(rule, &[("Horn in F", horn), brass]);
    let [(title, text)] = found.as_slice() else {
        panic!("{found:?}")
    };
    assert_eq!(title, "Mark the horns ff, a degree louder");
    assert!(text.contains("!ff!c4 | d4 | e4 | !mf!c4"), "{text}");
    // Two horns by marks of their own, each once.
    let trumpets = ("Trumpets 1.2.", "!f![B^F]4 | [B^F]4 | [B^F]4 | z4");
    let two = [("Horn 1 in F", horn), ("Horn 2 in F", horn), trumpets];
    let found = fixes(rule, &two);
    assert_eq!(found[0].1.matches("!ff!").count(), 2, "{found:?}");
    // A trumpet as loud as the horns would be then, a horn in ff, and a mark that holds for more: no fix.
    let louder = ("Trumpet", "!ff!B4 | B4 | B4 | z4");
    assert_eq!(fixes(rule, &[("Horn in F", horn), louder]), []);
    let fortissimo = "!ff!c4 | d4 | e4 | !mf!c4";
    assert_eq!(fixes(rule, &[("Horn in F", fortissimo), louder]), []);
    let more = "!f!c4 | d4 | e4 | c4";
    assert_eq!(fixes(rule, &[("Horn in F", more), brass]), []);
}
