//! `notes` and `draw`: the parts as their players meet them.

use serde_json::json;

use super::*;

#[test]
fn notes_are_listed_as_they_are_read() {
    let input =
        b"X:1\nM:4/4\nL:1/4\nK:none\nV:1 name=\"Horn in F\" transpose=-7\n{d}c3/2 !+!^f/- ^f2 |]\n";
    let report = json(&run(
        &["notes", "--as", "abc", "--format", "json", "-"],
        input,
    ));
    let part = &report["files"][0]["parts"][0];
    assert_eq!(
        (part["name"].as_str(), part["crook"].as_str()),
        (Some("Horn in F"), Some("F"))
    );
    let notes = part["notes"].as_array().unwrap();
    assert_eq!(notes.len(), 4);
    assert_eq!(notes[0]["grace"], true);
    assert_eq!(notes[1]["length"], "3/2");
    assert_eq!(notes[2]["offset"], "3/2");
    assert_eq!(notes[2]["written"], "F#5");
    assert_eq!(notes[2]["sounding"], "B4");
    assert_eq!(notes[2]["midi"], 71);
    assert_eq!(notes[2]["technique"], "stopped");
    assert_eq!(notes[3]["tied"], true);
    assert_eq!(
        notes[3]["technique"], "stopped",
        "a tied note goes on as it began"
    );
    assert_eq!(
        (notes[1]["line"].as_u64(), notes[1]["column"].as_u64()),
        (Some(6), Some(4))
    );
    let words = text(&run(&["notes", "--as", "abc", "-"], input).stdout);
    assert!(
        words.contains("F#5") && words.contains("stopped, tied"),
        "{words}"
    );
    let lines: Vec<&str> = words.lines().collect();
    for (line, says) in lines.iter().zip([
        "(standard input): Horn in F (horn in F)",
        "bar    offset    length  written  sounding  register         technique         begins   place",
        "     quarters  quarters                                                        seconds  line:column",
        "  1         0         0  D5       G4        middle register  open, grace note  0.0      6:2",
        "  1         0       3/2  C5       F4        middle register  open              0.0      6:4",
    ]) {
        assert!(line.ends_with(says) || *line == says || lines.first() == Some(line), "{line}\n{says}");
    }
    columns_are_aligned(&words);
}

/// Every note's place begins under the heading of its column, and nothing is left of a column behind the last.
fn columns_are_aligned(words: &str) {
    let mut lines = words.lines().skip(1);
    let heading = lines.next().unwrap();
    let place = heading.find("place").unwrap();
    for title in [
        "written",
        "sounding",
        "register",
        "technique",
        "begins",
        "place",
    ] {
        let at = heading.find(title).unwrap();
        for line in lines.clone().filter(|line| line.chars().count() > at) {
            let before: String = line.chars().take(at).collect();
            assert!(before.ends_with("  "), "{title}: {line}");
        }
    }
    let mut rows = lines.skip(1).take_while(|line| !line.is_empty());
    assert!(rows.all(|line| line.split_at(place).1.contains(':') && line.trim_end() == line));
}

#[test]
fn notes_say_when_they_begin_each_time_they_are_played() {
    let head = "X:1\nM:4/4\nL:1/4\nQ:1/4=60\nK:none\nV:1 name=\"Horn in F\" transpose=-7\n";
    let seconds = |music: &str| {
        let input = format!("{head}{music}\n");
        let arguments = ["notes", "--as", "abc", "--format", "json", "-"];
        let report = json(&run(&arguments, input.as_bytes()));
        let notes = report["files"][0]["parts"][0]["notes"].as_array().cloned();
        let all = notes.unwrap();
        all.iter()
            .map(|note| note["seconds"].clone())
            .collect::<Vec<_>>()
    };
    assert_eq!(seconds("c2 z2 | e4 |]"), [json!([0.0]), json!([4.0])]);
    // The endings are played once each, at the tempo that holds where they stand.
    assert_eq!(
        seconds("|: c4 |1 z2 e2 :|2 [Q:1/4=120] g4 | c4 |]"),
        [
            json!([0.0, 8.0]),
            json!([6.0]),
            json!([12.0]),
            json!([14.0])
        ]
    );
    // Nobody can say how it is played.
    let unknown = seconds("c4 | !D.S.!e4 |]");
    assert_eq!(unknown, [json!(null), json!(null)]);
    let input = format!("{head}|: c4 :|\n");
    let words = text(&run(&["notes", "--as", "abc", "-"], input.as_bytes()).stdout);
    assert!(words.contains("  0.0, 4.0  "), "{words}");
}

#[test]
fn notes_of_a_shared_staff_say_who_plays_them() {
    let input = b"X:1\nM:4/4\nL:1/4\nK:none\nV:1 name=\"Horns 1.2. in F\" transpose=-7\n\"^1. con sord.\" [ce]2 \"^a2\" g2 |]\n";
    let report = json(&run(
        &["notes", "--as", "abc", "--format", "json", "-"],
        input,
    ));
    let notes = &report["files"][0]["parts"][0]["notes"];
    let players: Vec<String> = notes
        .as_array()
        .unwrap()
        .iter()
        .map(|note| format!("{} {}", note["written"], note["players"]))
        .collect();
    assert_eq!(
        players,
        [
            r#""C5" [{"player":2,"technique":"open"}]"#,
            r#""E5" [{"player":1,"technique":"muted"}]"#,
            r#""G5" [{"player":1,"technique":"muted"},{"player":2,"technique":"open"}]"#,
        ]
    );
    let words = text(&run(&["notes", "--as", "abc", "-"], input).stdout);
    assert!(words.contains("players  technique"), "{words}");
    assert!(words.contains("1, 2     1. muted, 2. open"), "{words}");
    columns_are_aligned(&words);
    // A part of one has no such column.
    let alone = b"X:1\nM:4/4\nL:1/4\nK:none\nV:1 name=\"Horn in F\" transpose=-7\nc4 |]\n";
    let words = text(&run(&["notes", "--as", "abc", "-"], alone).stdout);
    assert!(!words.contains("players"), "{words}");
}

#[test]
fn parts_are_drawn() {
    let path = demo("evening-ferry.abc");
    let path = path.to_str().unwrap();
    let one = run(
        &["draw", "--part", "Horn 1", "--pitch", "sounding", path],
        b"",
    );
    assert_eq!(one.status.code(), Some(0), "{}", text(&one.stderr));
    let svg = text(&one.stdout);
    assert!(svg.starts_with("<svg ") && svg.contains("Horn 1 (horn in F), as it sounds"));
    let fingered = run(&["draw", "--part", "Horn 2 in F", "--fingering", path], b"");
    let svg = text(&fingered.stdout);
    // G3 open, the third partial of the F side; and D4 stopped in bar 6.
    assert!(svg.contains(">F0/3<") && svg.contains(">F12/5<"), "{svg}");
    assert!(!text(&one.stdout).contains("class=\"fingering\""));
    let which = run(&["draw", path], b"");
    assert_eq!(which.status.code(), Some(2));
    assert!(
        text(&which.stderr).contains("which part?"),
        "{}",
        text(&which.stderr)
    );
    let folder = tempfile::tempdir().unwrap();
    let into = folder.path().join("pictures");
    let all = run(&["draw", path, path, "--into", into.to_str().unwrap()], b"");
    assert_eq!(all.status.code(), Some(0), "{}", text(&all.stderr));
    // The same score twice: nothing is written over.
    assert_eq!(text(&all.stdout).lines().count(), 6);
    assert_eq!(std::fs::read_dir(&into).unwrap().count(), 6);
    assert!(into.join("evening-ferry-horn-3-in-e-flat.svg").exists());
    let none = run(
        &["draw", "--as", "abc", "-"],
        b"X:1\nK:C\nV:1 name=\"Flute\"\nC|\n",
    );
    assert_eq!(none.status.code(), Some(2));
    assert!(
        text(&none.stderr).contains("no horn part"),
        "{}",
        text(&none.stderr)
    );
}

#[test]
fn notes_say_where_the_horn_is_laid_aside() {
    let score = "X:1\nM:4/4\nL:1/4\nK:none\nV:1 name=\"Horn in F\" transpose=-7\nc4 | \"^nimmt Tuba\" C4 | \"^nimmt Horn\" c4 | \
                 \"^nimmt Tuba\" C4 |]\n";
    let listed = run(&["notes", "--as", "abc", "-"], score.as_bytes());
    let words = text(&listed.stdout);
    for line in [
        "  2  \"nimmt Tuba\": another instrument until bar 3; not read as the horn's",
        "  4  \"nimmt Tuba\": another instrument to the end; not read as the horn's",
    ] {
        assert!(words.contains(line), "{line}:\n{words}");
    }
    let listed = run(
        &["notes", "--as", "abc", "--format", "json", "-"],
        score.as_bytes(),
    );
    let part = &json(&listed)["files"][0]["parts"][0];
    assert_eq!(part["notes"].as_array().unwrap().len(), 2);
    assert_eq!(part["elsewhere"][0]["back"], 3);
    assert_eq!(part["elsewhere"][1]["bar"], 4);
}

#[test]
fn a_part_is_laid_out_on_pages() {
    let folder = tempfile::tempdir().unwrap();
    let into = folder.path().join("pages");
    // Forty lines of quavers without a rest: whoever turns leaves notes out.
    let bars = "cdef gfed |".repeat(200);
    let score = folder.path().join("rope-walk.abc");
    let text = format!(
        "X:1\nT:The Rope Walk\nM:4/4\nL:1/8\nQ:1/4=100\nK:none\nV:1 name=\"Horn in F\"\n{bars}]\n"
    );
    std::fs::write(&score, text).unwrap();
    let (score, into) = (score.to_str().unwrap(), into.to_str().unwrap());
    let all = run(
        &["draw", score, "--page", "a4", "--plain", "--into", into],
        b"",
    );
    assert_eq!(all.status.code(), Some(0), "{}", super::text(&all.stderr));
    let said = super::text(&all.stderr);
    assert!(
        said.contains("Horn in F: page 1 ends with bar ") && said.contains("0.0 s to turn it"),
        "{said}"
    );
    let html = std::fs::read_to_string(format!("{into}/rope-walk-horn-in-f.html")).unwrap();
    assert!(html.contains("size: a4") && html.contains("width=\"210mm\""));
    let pages = html.matches("<svg ").count();
    assert!(pages >= 3, "{pages}");
    assert!(
        html.contains(&format!("page {pages} of {pages}"))
            && html.contains("The Rope Walk, Horn in F")
    );
    assert_eq!(html.matches("class=\"note ").count(), 1600);
    // Nothing but the part.
    assert!(
        !html.contains("class=\"body\"")
            && !html.contains("class=\"finding")
            && !html.contains("class=\"curve c-")
    );
    let rested = folder.path().join("rope-walk-rested.abc");
    let bars = format!("{}z8 | z8 | z8 |", "cdef gfed |".repeat(7)).repeat(20);
    let text = format!(
        "X:1\nT:The Rope Walk\nM:4/4\nL:1/8\nQ:1/4=100\nK:none\nV:1 name=\"Horn in F\"\n{bars}]\n"
    );
    std::fs::write(&rested, text).unwrap();
    let quiet = run(
        &[
            "draw",
            rested.to_str().unwrap(),
            "--page",
            "letter",
            "--into",
            into,
        ],
        b"",
    );
    assert_eq!(super::text(&quiet.stderr), "");
    let alone = run(&["draw", score, "--page", "a4"], b"");
    assert_eq!(alone.status.code(), Some(2));
    assert!(super::text(&alone.stderr).contains("--into"));
}

#[test]
fn the_horns_can_be_heard() {
    let folder = tempfile::tempdir().unwrap();
    let (mut compared, mut held) = (0, 0);
    for score in [
        "evening-ferry.abc",
        "evening-ferry.krn",
        "evening-ferry.musicxml",
        "held",
    ] {
        let path = match score {
            "held" => {
                let path = folder.path().join("held.abc");
                let text = "X:1\nL:1/4\nM:3/4\nQ:1/4=60\nK:none\nV:1 name=\"Horn in F\"\n!p! (3c/d/e/ {g}f2- | f3- | f z !ff! c |]\n";
                std::fs::write(&path, text).unwrap();
                path
            }
            demo => super::demo(demo),
        };
        let path = path.to_str().unwrap();
        let file = folder.path().join("horns.mid");
        let written = run(&["notes", path, "--midi", file.to_str().unwrap()], b"");
        assert_eq!(written.status.code(), Some(0), "{}", text(&written.stderr));
        let bytes = std::fs::read(&file).unwrap();
        let smf = midly::Smf::parse(&bytes).unwrap();
        let listed = json(&run(&["notes", path, "--format", "json"], b""));
        let parts = listed["files"][0]["parts"].as_array().unwrap();
        assert_eq!(smf.tracks.len(), parts.len() + 1);
        for (track, part) in smf.tracks.iter().skip(1).zip(parts) {
            let (mut at, mut begun) = (0, Vec::new());
            let mut sounding = 0;
            for event in track {
                at += event.delta.as_int();
                if let midly::TrackEventKind::Midi { message, .. } = event.kind {
                    match message {
                        midly::MidiMessage::NoteOn { key, .. } => {
                            begun.push((at, i64::from(key.as_int())));
                            sounding += 1;
                        }
                        midly::MidiMessage::NoteOff { .. } => sounding -= 1,
                        _ => {}
                    }
                }
            }
            assert_eq!(sounding, 0, "what begins ends");
            let notes = part["notes"].as_array().unwrap().iter();
            let begin = notes.filter(|note| note["tied"] != true);
            let keys: Vec<i64> = begin.map(|note| note["midi"].as_i64().unwrap()).collect();
            let heard: Vec<i64> = begun.iter().map(|(_, key)| *key).collect();
            assert_eq!(heard, keys, "{score}, {}", part["name"]);
            compared += keys.len();
            if score == "held" {
                // A triplet of quavers, the small note before its own, and what is held over two barlines.
                let starts: Vec<u32> = begun.iter().map(|(at, _)| *at).collect();
                assert_eq!(starts, [0, 320, 640, 883, 960, 7680]);
                held += 1;
            }
        }
    }
    println!("{compared} notes heard as they are listed");
    assert!(compared > 110 && held == 1);
    let two = run(&["notes", "a.abc", "b.abc", "--midi", "x.mid"], b"");
    assert_eq!(two.status.code(), Some(2));
}

#[test]
fn a_midi_file_plays_repeats_out_with_their_tempos() {
    let folder = tempfile::tempdir().unwrap();
    let (score, file) = (
        folder.path().join("turns.abc"),
        folder.path().join("turns.mid"),
    );
    let tune = |name: &str, music: &str| {
        format!(
            "X:1\nL:1/4\nM:4/4\nQ:1/4=60\nK:none\nV:1 name=\"{name}\" transpose=-7\n{music}\n\n"
        )
    };
    let first = tune("Horn in F", "|: !p! c4 | [Q:1/4=120] !ff! d4 :| e4 |]");
    std::fs::write(&score, first + &tune("Horn 2 in F", "f4 |]")).unwrap();
    let written = run(
        &[
            "notes",
            score.to_str().unwrap(),
            "--midi",
            file.to_str().unwrap(),
        ],
        b"",
    );
    assert_eq!(written.status.code(), Some(0), "{}", text(&written.stderr));
    let bytes = std::fs::read(&file).unwrap();
    let smf = midly::Smf::parse(&bytes).unwrap();
    let (mut tempos, mut notes) = (Vec::new(), Vec::new());
    for track in &smf.tracks {
        let mut at = 0;
        for event in track {
            at += event.delta.as_int();
            match event.kind {
                midly::TrackEventKind::Meta(midly::MetaMessage::Tempo(micros)) => {
                    tempos.push((at, micros.as_int()));
                }
                midly::TrackEventKind::Midi {
                    message: midly::MidiMessage::NoteOn { key, vel },
                    ..
                } => notes.push((at, key.as_int(), vel.as_int())),
                _ => {}
            }
        }
    }
    // A bar is 3,840 ticks; the tempo goes back with the repeat, and the second tune begins behind the first as it is played.
    assert_eq!(
        tempos,
        [
            (0, 1_000_000),
            (3840, 500_000),
            (7680, 1_000_000),
            (11520, 500_000),
            (19200, 1_000_000)
        ]
    );
    assert_eq!(
        notes,
        [
            (0, 65, 51),
            (3840, 67, 110),
            (7680, 65, 51),
            (11520, 67, 110),
            (15360, 69, 110),
            (19200, 70, 80)
        ]
    );
}

#[test]
fn a_picture_tells_when_notes_are_played_and_leaves_out_what_they_cost() {
    let tune = b"X:1\nT:Low Tide\nM:4/4\nL:1/4\nQ:1/4=60\nK:none\nV:1 name=\"Horn in F\" transpose=-7\n|: c4 | z4 :| [dg]4- | [dg]4 |]\n";
    let drawn =
        |more: &[&str]| text(&run(&[&["draw", "--as", "abc", "-"], more].concat(), tune).stdout);
    let [usual, timed, folded] = [drawn(&[]), drawn(&["--seconds"]), drawn(&["--no-effort"])];
    assert!(usual.contains(">breath</text>") && !usual.contains("class=\"seconds\""));
    // What is repeated is told of its first time, and what follows of when it is reached; a chord and a tied note once.
    let times: Vec<&str> = timed
        .split("class=\"seconds\"")
        .skip(1)
        .filter_map(|text| text.split(['>', '<']).nth(1))
        .collect();
    assert_eq!(times, ["0.0", "16.0"]);
    assert!(!folded.contains(">breath</text>") && !folded.contains("lip:"));
    assert_eq!(
        folded.matches("id=\"note-").count(),
        usual.matches("id=\"note-").count()
    );
}

#[test]
fn all_parts_can_be_heard() {
    let folder = tempfile::tempdir().unwrap();
    let (score, file) = (folder.path().join("all.abc"), folder.path().join("all.mid"));
    let tune = "X:1\nT:Low Tide\nM:4/4\nL:1/4\nQ:1/4=60\nK:none\n%%score (1) (2) (3)\nV:1 name=\"Clarinet in B flat\" transpose=-2\nV:2 name=\"Horn in F\" transpose=-7\nV:3 name=\"Ferry bell\"\n[V:1] |: !pp! d2- d2 :| !ff! {c}e4 |]\n[V:2] |: c4 :| z4 |]\n[V:3] |: z4 :| C2 c2 |]\n";
    std::fs::write(&score, tune).unwrap();
    let write = |more: &[&str]| {
        let asked = [
            &[
                "notes",
                score.to_str().unwrap(),
                "--midi",
                file.to_str().unwrap(),
            ],
            more,
        ]
        .concat();
        let written = run(&asked, b"");
        assert_eq!(written.status.code(), Some(0), "{}", text(&written.stderr));
        std::fs::read(&file).unwrap()
    };
    let bytes = write(&["--all-parts"]);
    let smf = midly::Smf::parse(&bytes).unwrap();
    let mut heard = Vec::new();
    for track in smf.tracks.iter().skip(1) {
        let (mut at, mut program, mut notes) = (0, 0, Vec::new());
        for event in track {
            at += event.delta.as_int();
            if let midly::TrackEventKind::Midi { message, .. } = event.kind {
                match message {
                    midly::MidiMessage::ProgramChange { program: one } => program = one.as_int(),
                    midly::MidiMessage::NoteOn { key, vel } => {
                        notes.push((at, key.as_int(), vel.as_int(), 0));
                    }
                    midly::MidiMessage::NoteOff { key, .. } => {
                        let on = notes.iter_mut().rfind(|(_, on, ..)| *on == key.as_int());
                        on.unwrap().3 = at;
                    }
                    _ => {}
                }
            }
        }
        heard.push((program, notes));
    }
    let quarters = |many: u32| many * 960;
    // Played twice, each time held as one note, and heard a tone below what is written; the horn a fifth below.
    let clarinet = vec![
        (0, 72, 36, quarters(4)),
        (quarters(4), 72, 36, quarters(8)),
        (quarters(8), 74, 110, quarters(12)),
    ];
    assert_eq!(heard[0], (71, clarinet));
    assert_eq!(heard[1].0, 60);
    let horn: Vec<_> = heard[1].1.iter().map(|(at, key, ..)| (*at, *key)).collect();
    assert_eq!(horn, [(0, 65), (quarters(4), 65)]);
    let bell: Vec<_> = heard[2].1.iter().map(|(at, key, ..)| (*at, *key)).collect();
    assert_eq!(
        (heard[2].0, bell),
        (47, vec![(quarters(8), 60), (quarters(10), 72)])
    );
    let alone = write(&[]);
    assert_eq!(midly::Smf::parse(&alone).unwrap().tracks.len(), 2);
    let loose = run(&["notes", score.to_str().unwrap(), "--all-parts"], b"");
    assert_eq!(loose.status.code(), Some(2));
}
