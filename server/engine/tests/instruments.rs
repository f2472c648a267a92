//! What a part is played on: by settings, by a comment, and what the rules make of it.
#![expect(clippy::unwrap_used, reason = "a score in a test is well formed")]

use engine::{Judged, Settings};
use horn::Instrument;
use notation::{Document, Format};

/// Two parts, with a line about the second and the same music in both.
fn score(comment: &str, music: &str) -> Document {
    let text = format!(
        "X:1\nM:4/4\nL:1/4\nQ:1/4=60\nK:none\nV:1 name=\"Horn 1 in F\" transpose=-7\nV:2 name=\"Horn 2 in F\" transpose=-7\n\
         {comment}[V:1] {music}\n[V:2] {music}\n"
    );
    Document::from_text(Format::of_name("abc").unwrap(), &text)
}

/// The parts a rule speaks about, with an instrument set for the house.
fn spoken(document: &Document, instrument: Instrument, rule: &str) -> Vec<String> {
    let mut settings = Settings::default();
    settings.casting.instrument = instrument;
    Judged::new(document.clone(), settings)
        .findings()
        .iter()
        .filter(|finding| finding.rule == rule)
        .map(|finding| finding.part.clone().unwrap_or_default())
        .collect()
}

#[test]
fn each_rule_goes_by_what_the_part_is_played_on() {
    let (one, two) = ("Horn 1 in F", "Horn 2 in F");
    let mut judged = 0;
    for (rule, music, alone) in [
        // A2 lies in the gap of the single B flat horn.
        ("range/too-low", "A,,4 |]", Instrument::SingleBFlat),
        (
            "stopped/single-b-flat",
            "\"^stopped\" c4 | \"^open\" c4 |]",
            Instrument::SingleBFlat,
        ),
        // G2 stopped needs the F side.
        (
            "stopped/unreachable",
            "\"^stopped\" G,,4 | \"^open\" c4 |]",
            Instrument::SingleBFlat,
        ),
        // C6 to E6 lies on the high F side alone.
        (
            "rip/off-series",
            "\"^gliss.\" (c'2 e'2) |]",
            Instrument::SingleF,
        ),
        // F sharp 4 to G sharp 4 is partial 8 and 9 of F 123.
        ("line/trill", "!trill!G4 | A4 |]", Instrument::SingleBFlat),
    ] {
        let plain = score("", music);
        assert_eq!(
            spoken(&plain, alone, rule),
            [one, two],
            "{rule}: the house's instrument"
        );
        let other = if rule == "rip/off-series" {
            Instrument::Triple
        } else {
            Instrument::Double
        };
        assert!(spoken(&plain, other, rule).is_empty(), "{rule}: {other}");
        let comment = format!("% bellhand: part 2 = horn in F, {}\n", alone.word());
        assert_eq!(
            spoken(&score(&comment, music), other, rule),
            [two],
            "{rule}: the part's own"
        );
        judged += 3;
    }
    println!("{judged} scores judged");
    assert_eq!(judged, 15);
}

#[test]
fn an_instrument_said_of_a_part_outdoes_the_houses() {
    let music = "A,,4 |]";
    let (one, two) = ("Horn 1 in F", "Horn 2 in F");
    for (comment, parts, horns) in [
        (
            "% bellhand: part 2 = horn in F, double",
            vec![one],
            vec![one, two],
        ),
        ("% bellhand: part * = triple", vec![], vec![one, two]),
        ("% bellhand: part 1 = not a horn", vec![two], vec![two]),
    ] {
        let document = score(&format!("{comment}\n"), music);
        // A part that is read on another crook would be silent as well as one that is not read.
        let analysis = Judged::new(document.clone(), Settings::default());
        let read: Vec<_> = analysis
            .pieces()
            .next()
            .unwrap()
            .1
            .horns
            .iter()
            .map(|horn| (horn.label.as_str(), horn.crook.crook))
            .collect();
        let wanted: Vec<_> = horns
            .iter()
            .map(|label| (*label, Some(horn::Crook::F)))
            .collect();
        assert_eq!(read, wanted, "{comment}");
        assert_eq!(
            spoken(&document, Instrument::SingleBFlat, "range/too-low"),
            parts,
            "{comment}"
        );
    }
}

#[test]
fn a_house_that_goes_higher_stops_where_the_fingerings_do() {
    // Written D6 and F6.
    let document = score("", "d'2 f'2 |]");
    for (instrument, spoken) in [
        (Instrument::SingleF, 4),
        (Instrument::Double, 2),
        (Instrument::Triple, 0),
    ] {
        let mut settings = Settings::default();
        settings.casting.instrument = instrument;
        let given = rules::Given::Text("F6".to_owned());
        settings
            .house
            .set("range/too-high", "highest", &given)
            .unwrap();
        let judged = Judged::new(document.clone(), settings.clone());
        let own = judged
            .findings()
            .iter()
            .filter(|finding| finding.rule == "range/too-high");
        assert_eq!(own.count(), spoken, "{instrument}");
    }
}

#[test]
fn fast_notes_are_fingered_on_the_parts_own_side() {
    let music = "(^G,/4^A,/4^C/4^A,/4 ^G,/4^A,/4^C/4^A,/4) z2 |]";
    let document = score("[Q:1/4=138]\n", music);
    let mut spoke = 0;
    for (instrument, foreign) in [
        (Instrument::SingleF, "B♭"),
        (Instrument::SingleBFlat, " F "),
    ] {
        let mut settings = Settings::default();
        settings.casting.instrument = instrument;
        let analysis = Judged::new(document.clone(), settings.clone());
        for finding in analysis.findings() {
            if finding.rule == "line/awkward-valves" {
                let words = &finding.message;
                assert!(words.contains("easiest fingerings go"), "{words}");
                let ways = words.split("easiest fingerings go").nth(1).unwrap();
                assert!(!ways.contains(foreign), "{instrument}: {ways}");
                spoke += 1;
            }
        }
    }
    assert_eq!(spoke, 4, "two parts on two horns");
}
