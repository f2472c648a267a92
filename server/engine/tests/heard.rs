//! What is to be heard of a part, counted by hand: in the order of performance, at the tempos marked, as it sounds, with the
//! loudness, the hand and the mute of each moment.

#![expect(
    clippy::unwrap_used,
    reason = "a helper fails loudly on a text without a piece"
)]

use engine::{Judged, Settings};
use horn::Loudness;
use notation::{Document, Format};
use reading::Heard;
use theory::Seconds;

/// Two bars that are repeated at 60, and three at 120: stopped, open, and after a bar's rest muted.
fn ferry() -> [(Format, String); 3] {
    let abc = "X:1\nM:4/4\nL:1/4\nQ:1/4=60\nK:none\nV:1 name=\"Horn in F\" transpose=-7\n\
        |: !p! c2 d2- | d2 z2 :| [Q:1/4=120] \"^stopped\" !ff! e2 \"^open\" f2 | \"^con sord.\" z4 | g4 |]\n";
    let kern = "**kern\t**dynam\n*I\"Horn in F\t*\n*ITrd4c7\t*\n*M4/4\t*\n*MM60\t*\n=1!|:\t=1!|:\n2f\tp\n[2g\t.\n=2\t=2\n2g]\t.\n\
        2r\t.\n=3:|!\t=3:|!\n*MM120\t*\n!LO:TX:t=stopped\t!\n2a\tff\n!LO:TX:t=open\t!\n2b-\t.\n=4\t=4\n!LO:TX:t=con sord.\t!\n1r\t.\n\
        =5\t=5\n1cc\t.\n==\t==\n*-\t*-\n";
    let note = |step: &str, length: u8, tie: &str| {
        let tie = if tie.is_empty() {
            String::new()
        } else {
            format!("<tie type=\"{tie}\"/>")
        };
        format!(
            "<note><pitch><step>{step}</step><octave>5</octave></pitch><duration>{length}</duration>{tie}</note>"
        )
    };
    let words = |words: &str| {
        format!("<direction><direction-type><words>{words}</words></direction-type></direction>")
    };
    let loud = |mark: &str| {
        format!(
            "<direction><direction-type><dynamics><{mark}/></dynamics></direction-type></direction>"
        )
    };
    let attributes = "<attributes><divisions>1</divisions><time><beats>4</beats><beat-type>4</beat-type></time>\
        <transpose><diatonic>-4</diatonic><chromatic>-7</chromatic></transpose></attributes>";
    let rest = |length: u8| format!("<note><rest/><duration>{length}</duration></note>");
    let bars = [
        [
            "<barline location=\"left\"><repeat direction=\"forward\"/></barline>",
            attributes,
            "<sound tempo=\"60\"/>",
            &loud("p"),
            &note("C", 2, ""),
            &note("D", 2, "start"),
        ]
        .concat(),
        [
            &note("D", 2, "stop"),
            &rest(2),
            "<barline location=\"right\"><repeat direction=\"backward\"/></barline>",
        ]
        .concat(),
        [
            "<sound tempo=\"120\"/>",
            &words("stopped"),
            &loud("ff"),
            &note("E", 2, ""),
            &words("open"),
            &note("F", 2, ""),
        ]
        .concat(),
        [words("con sord."), rest(4)].concat(),
        note("G", 4, ""),
    ];
    let measures = (1..).zip(bars);
    let measures =
        measures.map(|(number, bar)| format!("<measure number=\"{number}\">{bar}</measure>"));
    let musicxml = format!(
        "<score-partwise><part-list><score-part id=\"P1\"><part-name>Horn in F</part-name></score-part></part-list>\
        <part id=\"P1\">{}</part></score-partwise>",
        measures.collect::<String>()
    );
    [
        (Format::Abc, abc.to_owned()),
        (Format::Kern, kern.to_owned()),
        (Format::MusicXml, musicxml),
    ]
}

fn heard(format: Format, text: &str) -> Vec<Heard> {
    let judged = Judged::new(Document::from_text(format, text), Settings::default());
    let (_, reading) = judged.pieces().next().unwrap();
    reading.heard(&reading.horns[0])
}

/// A part for horn in F, a quarter note a second.
fn abc(music: &str) -> Vec<Heard> {
    let head = "X:1\nM:4/4\nL:1/4\nQ:1/4=60\nK:none\nV:1 name=\"Horn in F\" transpose=-7\n";
    heard(Format::Abc, &format!("{head}{music}\n"))
}

/// When a sound begins and ends.
fn times(sounds: &[Heard]) -> Vec<(f64, f64)> {
    let round = |at: Seconds| (at.0 * 1000.0).round() / 1000.0;
    let times = sounds.iter();
    times
        .map(|sound| (round(sound.starts()), round(sound.ends)))
        .collect()
}

/// How loud it is, in degrees above piano, and when.
fn loud(sound: &Heard) -> Vec<(f64, f64)> {
    let points = sound.loudness.iter();
    points
        .map(|(Seconds(at), Loudness(loudness))| (*at, *loudness))
        .collect()
}

#[test]
fn a_part_is_heard_as_it_is_performed_in_every_notation() {
    let expected = [
        // Begins, ends, hertz, degrees above piano, technique, notes it is read from.
        (0.0, 2.0, 349.228, 0.0, "open", 1),
        (2.0, 6.0, 391.995, 0.0, "open", 2),
        (8.0, 10.0, 349.228, 0.0, "open", 1),
        (10.0, 14.0, 391.995, 0.0, "open", 2),
        // Hand and mute let it be heard no louder than mf.
        (16.0, 17.0, 440.0, 2.0, "stopped", 1),
        (17.0, 18.0, 466.164, 4.0, "open", 1),
        (20.0, 22.0, 523.251, 2.0, "muted", 1),
    ];
    let mut compared = 0;
    for (format, text) in ferry() {
        let sounds = heard(format, &text);
        assert_eq!(
            sounds.len(),
            expected.len(),
            "{format:?}: {:?}",
            times(&sounds)
        );
        for (sound, (starts, ends, hertz, loudness, technique, notes)) in
            sounds.iter().zip(expected)
        {
            let place = format!("{format:?} at {starts}");
            assert!(
                (sound.starts().0 - starts).abs() < 1e-9,
                "{place}: {sound:?}"
            );
            assert!((sound.ends.0 - ends).abs() < 1e-9, "{place}: {sound:?}");
            assert!(
                (sound.hertz - hertz).abs() < 0.001,
                "{place}: {}",
                sound.hertz
            );
            assert_eq!(loud(sound), [(starts, loudness)], "{place}");
            assert_eq!(sound.technique.name(), technique, "{place}");
            assert_eq!(sound.notes.len(), notes, "{place}");
            compared += 1;
        }
        // A note that is held on is lit when its second head is reached.
        let second = &sounds[1].notes;
        assert_eq!(second[1], (second[0].0 + 1, Seconds(4.0)), "{format:?}");
    }
    println!("{compared} sounds compared in three notations");
    assert_eq!(compared, 21);
}

#[test]
fn hairpins_are_heard_as_they_grow() {
    let sounds = abc("!p!!<(!c4 | d4 | !<)!!f!e4 | !>(!g2 !>)!!p!g2 | !ff!g4 |]");
    let levels: Vec<_> = sounds.iter().map(loud).collect();
    assert_eq!(levels[0], [(0.0, 0.0), (4.0, 1.5)]);
    assert_eq!(levels[1], [(4.0, 1.5), (8.0, 3.0)]);
    assert_eq!(levels[2], [(8.0, 3.0)]);
    assert_eq!(levels[3], [(12.0, 3.0), (14.0, 0.0)]);
    // What is marked at the next note is not heard in this one.
    assert_eq!(levels[4], [(14.0, 0.0)]);
    assert_eq!(levels[5], [(16.0, 4.0)]);
    // A mark within a held note is heard at once, and a part that says nothing is heard mf.
    assert_eq!(
        loud(&abc("!p!c2- !f!c2 |]")[0]),
        [(0.0, 0.0), (2.0, 0.0), (2.0, 3.0)]
    );
    assert_eq!(loud(&abc("c4 |]")[0]), [(0.0, 2.0)]);
}

#[test]
fn a_rip_runs_through_the_partials_of_its_tube() {
    let sounds = abc("\"^gliss.\" C2 c2 | z4 |]");
    assert_eq!(times(&sounds), [(0.0, 2.0), (2.0, 4.0)]);
    // From partial 4 to 8 of the open F side, whose first is F1; 0.04 s for each.
    let steps = sounds[0].steps.iter();
    let steps: Vec<_> = steps
        .map(|(Seconds(at), hertz)| ((at * 1000.0).round() as i32, (hertz * 100.0).round() as i32))
        .collect();
    assert_eq!(steps, [(1880, 21827), (1920, 26192), (1960, 30557)]);
    assert!(sounds[1].slurred && sounds[1].steps.is_empty());
    // However fast, half of the note is heard before.
    let fast = abc("[Q:1/4=600] \"^gliss.\" C c z2 |]");
    let first = fast[0].steps[0].0.0;
    assert!((first - 0.05).abs() < 1e-9, "{first}");
    // No tube has both: two notes and nothing between.
    assert!(abc("\"^gliss.\" C2 _d2 | z4 |]")[0].steps.is_empty());
    // In both passes.
    let twice = abc("|: \"^gliss.\" C2 c2 :|");
    assert_eq!(
        twice
            .iter()
            .map(|sound| sound.steps.len())
            .collect::<Vec<_>>(),
        [3, 0, 3, 0]
    );
    assert!((twice[2].steps[0].0.0 - 5.88).abs() < 1e-9);
}

#[test]
fn small_notes_come_before_the_beat() {
    assert_eq!(
        times(&abc("c2 {de} f2 |]")),
        [(0.0, 1.84), (1.84, 1.92), (1.92, 2.0), (2.0, 4.0)]
    );
    // No more than half of the note before, however many.
    assert_eq!(
        times(&abc("[Q:1/4=600] c {defg} a z2 |]"))[..3],
        [(0.0, 0.05), (0.05, 0.063), (0.063, 0.075)]
    );
    // Before the very beginning too.
    assert_eq!(times(&abc("{d} f4 |]")), [(-0.08, 0.0), (0.0, 4.0)]);
}

#[test]
fn a_tie_or_a_slur_leads_within_a_turn_alone() {
    let slurs = |music| -> Vec<bool> { abc(music).iter().map(|sound| sound.slurred).collect() };
    assert_eq!(slurs("(c d e) f |]"), [false, true, true, false]);
    assert_eq!(
        slurs("(c [eg]) [ce] f |]"),
        [false, true, true, false, false, false]
    );
    // Held into the bar that follows on the page, and not when the repeat goes back.
    let sounds = abc("|: c4 |1 d4- :|2 d4 |]");
    assert_eq!(
        times(&sounds),
        [(0.0, 4.0), (4.0, 8.0), (8.0, 12.0), (12.0, 16.0)]
    );
    // Each note of a chord into its own, in whatever order they are written.
    let sounds = abc("[ce]2- [ec]2 |]");
    let heads = sounds
        .iter()
        .map(|sound| sound.notes.iter().map(|(note, _)| *note).collect());
    assert_eq!(heads.collect::<Vec<Vec<usize>>>(), [[0, 3], [1, 2]]);
    // Both notes of a chord, and of two only the one that is tied.
    let sounds = abc("[ce]2- [ce]2 | [c-e]2 [cf]2 |]");
    assert_eq!(
        times(&sounds),
        [(0.0, 4.0), (0.0, 4.0), (4.0, 8.0), (4.0, 6.0), (6.0, 8.0)]
    );
}

#[test]
fn other_parts_are_heard_as_they_are_performed() {
    let tune = "X:1\nT:Low Tide\nM:4/4\nL:1/4\nQ:1/4=60\nK:none\nV:1 name=\"Clarinet in B flat\" transpose=-2\nV:2 name=\"Horn in F\" transpose=-7\n[V:1] |: !pp! d2- d2 | {c}e2 e2 :|\n[V:2] |: z4 | z4 :|\n";
    let judged = Judged::new(Document::from_text(Format::Abc, tune), Settings::default());
    let (_, reading) = judged.pieces().next().unwrap();
    let sounds = reading.heard_other(0, &reading.performed(0));
    let heard: Vec<(f64, f64, i32)> = sounds
        .iter()
        .map(|sound| (sound.starts.0, sound.ends.0, sound.midi))
        .collect();
    // A held note is one, the small one is left out, what is repeated comes twice, a tone below what is written.
    let once = [(0.0, 4.0, 72), (4.0, 6.0, 74), (6.0, 8.0, 74)];
    let again = once.map(|(starts, ends, midi)| (starts + 8.0, ends + 8.0, midi));
    assert_eq!(heard, [once, again].concat());
    let soft = Loudness::of(horn::Dynamic::PP);
    assert!(sounds.iter().all(|sound| sound.loudness == soft));
}
