//! The drawing of every horn part of every score: well-formed, each note in it once, at its place on the paper.

#![expect(
    clippy::unwrap_used,
    reason = "a test fails loudly, and shows what it counted"
)]

use std::collections::HashMap;
use std::fs;
use std::path::{Path, PathBuf};

use engine::{Judged, Settings};
use notation::{Document, Format};
use picture::{LaidPart, Options, Picture, Pitched, Place, Subject};
use quick_xml::events::{BytesStart, Event};
use support::{home, subjects};

/// What was found in a drawing.
#[derive(Default)]
struct Seen {
    size: (f64, f64),
    ids: HashMap<String, usize>,
    /// The notes whose length takes another head.
    held: Vec<String>,
    /// The groups that are moved: how deep each lies, and how far down it begins.
    moved: Vec<(usize, f64)>,
    open: Vec<String>,
}

pub(crate) fn scores() -> Vec<PathBuf> {
    let folders = ["demo", "scores/abc", "scores/kern", "scores/musicxml"];
    let mut paths: Vec<PathBuf> = folders
        .iter()
        .flat_map(|folder| fs::read_dir(home().join(folder)).unwrap())
        .map(|entry| entry.unwrap().path())
        .filter(|path| Format::of_path(path).is_some())
        .collect();
    paths.sort();
    paths
}

pub(crate) fn read(path: &Path) -> Document {
    let format = Format::of_path(path).unwrap();
    Document::from_bytes(format, &fs::read(path).unwrap()).unwrap()
}

fn number(element: &BytesStart<'_>, name: &str) -> Option<f64> {
    let value = element.try_get_attribute(name).unwrap()?;
    Some(value.value.parse().unwrap())
}

/// Reads a drawing; fails when it is not well-formed or something lies outside the paper.
fn seen(picture: &Picture) -> Seen {
    let mut reader = quick_xml::Reader::from_str(&picture.svg);
    let mut seen = Seen::default();
    loop {
        let event = reader.read_event().unwrap();
        if let Event::Start(element) | Event::Empty(element) = &event {
            let name = element.name().as_ref().to_owned();
            assert_ne!(name, "script");
            if name == "svg" {
                seen.size = (
                    number(element, "width").unwrap(),
                    number(element, "height").unwrap(),
                );
            }
            if let Some(id) = element.try_get_attribute("id").unwrap() {
                let id = id.value.into_owned();
                *seen.ids.entry(id).or_default() += 1;
            }
            if let Some(note) = element.try_get_attribute("data-note").unwrap() {
                seen.held.push(note.value.into_owned());
            }
            let down: f64 = seen.moved.iter().map(|(_, down)| down).sum();
            for (axis, least, most) in [("x", 0.0, seen.size.0), ("y", -down, seen.size.1 - down)] {
                if let Some(at) = number(element, axis) {
                    assert!(
                        (least..=most).contains(&at),
                        "{}: {name} {axis}={at}",
                        picture.part
                    );
                }
            }
            if matches!(event, Event::Start(_)) {
                if let Some(moved) = element.try_get_attribute("transform").unwrap() {
                    let (_, down) = moved.value.split_once(' ').unwrap();
                    let down = down.trim_end_matches(')').parse().unwrap();
                    seen.moved.push((seen.open.len(), down));
                }
                seen.open.push(name);
            }
        } else if let Event::End(_) = &event {
            seen.open.pop().unwrap();
            seen.moved.retain(|(deep, _)| *deep < seen.open.len());
        } else if matches!(event, Event::Eof) {
            break;
        }
    }
    assert!(seen.open.is_empty());
    seen
}

#[test]
fn every_part_is_drawn_whole() {
    let (mut parts, mut notes, mut held, mut findings, mut bytes) = (0, 0, 0, 0, 0);
    for path in scores() {
        let document = read(&path);
        let settings = Settings::default();
        let analysis = Judged::new(document.clone(), settings.clone());
        let mut told = vec![0; analysis.findings().len()];
        for (base, reading) in analysis.pieces() {
            for (horn, pitch) in reading
                .horns
                .iter()
                .flat_map(|horn| Pitched::ALL.map(|pitch| (horn, pitch)))
            {
                let subject = Subject {
                    base,
                    reading,
                    horn,
                    findings: analysis.findings(),
                };
                let options = Options {
                    pitch,
                    ..Options::default()
                };
                let picture = picture::draw(&subject, &options).unwrap();
                let seen = seen(&picture);
                assert!(
                    seen.ids.values().all(|count| *count == 1),
                    "one name, one thing"
                );
                assert!(seen.held.iter().all(|note| seen.ids.contains_key(note)));
                held += seen.held.len();
                for place in &picture.places {
                    assert_eq!(
                        seen.ids.get(&place.id),
                        Some(&1),
                        "{}: {}",
                        path.display(),
                        place.id
                    );
                    let text = document.rope().get_byte_slice(place.span.range());
                    assert!(text.is_some(), "{}: {:?}", path.display(), place.span);
                }
                let drawn = |kind: &'static str| {
                    let of_kind = move |place: &&Place| place.id.starts_with(kind);
                    picture.places.iter().filter(of_kind)
                };
                assert_eq!(
                    drawn("note-").count(),
                    horn.notes.len(),
                    "{}",
                    path.display()
                );
                for place in drawn("finding-") {
                    let index: usize = place.id["finding-".len()..].parse().unwrap();
                    told[index] += 1;
                }
                parts += 1;
                notes += horn.notes.len();
                bytes += picture.svg.len();
            }
        }
        for (finding, told) in analysis.findings().iter().zip(told) {
            // What a rule says of one part stands in that part's drawing; of the whole piece it may stand in none.
            assert!(
                told > 0 || finding.part.is_none() || same_names(&analysis),
                "{}: {}",
                path.display(),
                finding.rule
            );
            findings += told;
        }
    }
    println!(
        "{parts} drawings, {notes} notes ({held} further heads) and {findings} findings in them, {bytes} bytes"
    );
    assert!(parts > 60 && notes > 20_000 && findings > 100);
}

#[test]
fn a_part_is_shown_what_is_said_of_it_alone() {
    // Five pieces in one file, of which three have a part of the same name.
    let lessons = [
        "07-fog-by-hand",
        "08-the-mute",
        "10-quick-water",
        "13-the-old-horn",
        "14-harbour-chorale",
    ];
    let lessons = lessons.map(|name| {
        let path = home().join(format!("demo/lessons/{name}.abc"));
        fs::read_to_string(path).unwrap()
    });
    let text = lessons.join("\n");
    let document = Document::from_text(Format::Abc, &text);
    let settings = Settings::default();
    let analysis = Judged::new(document.clone(), settings.clone());
    let (base, reading) = analysis
        .pieces()
        .find(|(base, _)| text[*base..].starts_with("X:1\nT:The Mute"))
        .unwrap();
    let subject = Subject {
        base,
        reading,
        horn: &reading.horns[0],
        findings: analysis.findings(),
    };
    let picture = picture::draw(&subject, &Options::default()).unwrap();
    let findings: Vec<&str> = picture
        .places
        .iter()
        .filter(|place| place.id.starts_with("finding-"))
        .map(|place| place.label.as_str())
        .collect();
    assert_eq!(findings.len(), 4, "{findings:#?}");
    assert!(
        findings.iter().all(|label| label.contains("mute/")),
        "{findings:#?}"
    );
}

/// Whether two horns of one piece go by the same name.
fn same_names(analysis: &Judged) -> bool {
    analysis.pieces().any(|(_, reading)| {
        let labels = || reading.horns.iter().map(|horn| &horn.label);
        labels()
            .enumerate()
            .any(|(at, label)| labels().skip(at + 1).any(|other| other == label))
    })
}

#[test]
fn a_line_drawn_alone_is_the_line_of_the_whole() {
    let (mut parts, mut lines) = (0, 0);
    for path in scores() {
        let judged = Judged::new(read(&path), Settings::default());
        for subject in subjects(&judged) {
            let options = Options::default();
            let laid = LaidPart::lay(&subject, &options).unwrap();
            let whole = laid.draw(0..laid.lines()).unwrap();
            let strips = whole.strips().unwrap();
            let mut places = Vec::new();
            for line in 0..laid.lines() {
                let alone = laid.draw(line..line + 1).unwrap();
                assert_eq!(
                    alone.strips().unwrap()[1],
                    strips[line + 1],
                    "{} {line}",
                    path.display()
                );
                assert_eq!(alone.blocks.len(), 3);
                for note in alone
                    .places
                    .iter()
                    .filter(|place| place.id.starts_with("note-"))
                {
                    assert!(
                        strips[line + 1].contains(&format!("id=\"{}\"", note.id)),
                        "{}: {}",
                        path.display(),
                        note.label
                    );
                }
                places.extend(alone.places);
                lines += 1;
            }
            places.sort_by_key(|place| place.span);
            let named = |places: &[Place]| {
                let mut names: Vec<_> = places.iter().map(|place| place.id.clone()).collect();
                names.sort();
                names
            };
            assert_eq!(named(&places), named(&whole.places), "{}", path.display());
            parts += 1;
        }
    }
    println!("{lines} lines of {parts} parts drawn alone as in the whole");
    assert!(parts > 80);
}

/// How high each ground behind the first part of some ABC is.
fn grounds(music: &str, options: &Options<'_>) -> Vec<f64> {
    let text = format!(
        "X:1\nM:4/4\nL:1/4\nQ:1/4=60\nK:none\nV:1 name=\"Horn in F\" transpose=-7\nV:2 name=\"Clarinet\"\n\
         V:3 name=\"Trumpet\"\n{music}\n"
    );
    let judged = Judged::new(Document::from_text(Format::Abc, &text), Settings::default());
    let subject = subjects(&judged)[0];
    let drawing = picture::draw(&subject, options).unwrap();
    let mut reader = quick_xml::Reader::from_str(&drawing.svg);
    let mut heights = Vec::new();
    loop {
        match reader.read_event().unwrap() {
            Event::Empty(element) => {
                let class = element.try_get_attribute("class").unwrap();
                if class.is_some_and(|class| class.value == "others") {
                    heights.push(number(&element, "height").unwrap());
                }
            }
            Event::Eof => break,
            _ => {}
        }
    }
    // The last is the legend's.
    heights.pop();
    heights
}

#[test]
fn what_the_others_carry_lies_behind_a_solo() {
    let covers = horn::covered_by().value;
    let shown = Options::default();
    let plain = Options {
        plain: true,
        ..shown
    };
    // In piano a woodwind carries as much as a horn.
    let alike = (32.0 / covers * 10.0).round() / 10.0;
    for (music, options, expected) in [
        (
            "V:1\n\"^Solo\" !p!c2 d2\nV:2\n!p!e4\nV:3\nz4",
            &shown,
            vec![alike, alike],
        ),
        (
            "V:1\n\"^Solo\" !p!c2 d2\nV:2\n!p!e2 z2\nV:3\nz4",
            &shown,
            vec![alike],
        ),
        (
            "V:1\n\"^Solo\" !p!c4\nV:2\nz4\nV:3\n!ff!e4",
            &shown,
            vec![32.0],
        ),
        ("V:1\n\"^Solo\" !p!c4\nV:2\nz4\nV:3\n!ff!e4", &plain, vec![]),
        ("V:1\n!p!c4\nV:2\nz4\nV:3\n!ff!e4", &shown, vec![]),
        ("V:1\n\"^Solo\" c4\nV:2\nz4\nV:3\n!ff!e4", &shown, vec![]),
    ] {
        assert_eq!(grounds(music, options), expected, "{music}");
    }
}
