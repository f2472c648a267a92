//! Cues on real scores: every entry after a long rest, what is written, and that it is what another part plays there.
#![expect(clippy::unwrap_used, reason = "a test fails loudly")]

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use engine::{HornOf, Judged, Settings};
use horn::{Family, Language, OrchestraInstrument};
use notation::{Document, Format};
use picture::Options;
use score::{Cue, EventKind, Kinds, Part, Piece};
use support::{home, subjects};
use theory::Quarters;

use crate::seeded::among_others::wait;
use crate::seeded::sheet::Sheet;
use crate::seeded::write::write;

/// Rests of so many seconds are long here, so that the scores have enough of them.
const LONG: &str = "[rules.\"part/no-cue\"]\nrest = 6\n";

/// What was written into scores.
#[derive(Debug, Default)]
pub struct Cued {
    /// Entries before which a cue was written, and those before which none could be.
    pub entries: (usize, usize),
    /// The small notes and rests of it, each held against what the others play.
    pub small: usize,
}

/// A score with its cues, counted and compared.
pub fn cued(path: &Path, sum: &mut Cued) -> (Judged, Judged) {
    let format = Format::of_path(path).unwrap();
    let document = Document::from_bytes(format, &std::fs::read(path).unwrap()).unwrap();
    let (settings, wrong) = Settings::of_text(LONG);
    assert!(wrong.is_empty(), "{wrong:?}");
    let before = Judged::new(document, settings);
    let parts: Vec<HornOf<'_>> = HornOf::all(&before).collect();
    let fixed = before.cued(&parts);
    sum.entries.0 += fixed.applied.len();
    sum.entries.1 += fixed.refused.len();
    for (_, piece) in fixed.judged.pieces() {
        for horn in &piece.horns {
            let part = &piece.piece.parts[horn.seat.part];
            for placed in part.events_of(Kinds::CUES) {
                let EventKind::Cue(cue) = &placed.event.kind else {
                    continue;
                };
                sum.small += 1;
                let crook = horn.crook_at(placed.onset);
                let sounds = cue
                    .written
                    .map(|written| crook.transposition.sound(written).midi());
                assert!(
                    is_played(&piece.piece, horn.seat.part, placed.onset, cue, sounds),
                    "{}: bar {}: {cue:?}",
                    path.display(),
                    part.bars[placed.bar].number
                );
                let own = horn.notes.iter().filter(|note| {
                    note.onset < placed.onset + cue.length
                        && placed.onset < note.onset + note.length
                });
                assert_eq!(own.count(), 0, "{}: the horn plays itself", path.display());
            }
        }
    }
    let parts: Vec<HornOf<'_>> = HornOf::all(&fixed.judged).collect();
    let again = fixed.judged.cued(&parts);
    assert!(again.applied.is_empty(), "{}", path.display());
    (before, fixed.judged)
}

/// Whether another part has such a note or rest there, in any octave.
fn is_played(piece: &Piece, own: usize, onset: Quarters, cue: &Cue, sounds: Option<i32>) -> bool {
    let mut others = piece
        .parts
        .iter()
        .enumerate()
        .filter(|(part, _)| *part != own);
    others.any(|(_, part)| {
        let by = moved(part, onset);
        let bar = part.bars.partition_point(|bar| bar.onset <= onset) - 1;
        part.bars[bar].events(bar).any(|placed| {
            let (length, midi) = match &placed.event.kind {
                EventKind::Note(note) => (note.length, Some(note.written.midi() + by)),
                EventKind::Rest(rest) => (rest.length, None),
                _ => return false,
            };
            let same = match (midi, sounds) {
                (Some(midi), Some(sounds)) => (midi - sounds) % 12 == 0,
                (None, None) => true,
                _ => false,
            };
            placed.onset == onset && length == cue.length && same
        })
    })
}

/// By how many semitones a part sounds away from its page.
fn moved(part: &Part, onset: Quarters) -> i32 {
    let start = part.transposition.map_or(0, |(by, _)| by.0.semitones);
    let later = part.events_of(Kinds::TRANSPOSITIONS);
    let later = later.take_while(|placed| placed.onset <= onset);
    later.fold(start, |by, placed| match placed.event.kind {
        EventKind::Transposition(said) => said.0.semitones,
        _ => by,
    })
}

#[test]
fn whole_scores_get_small_notes_that_others_play() {
    let mut sum = Cued::default();
    let scores = ["Bach_BWV.232_09a.mxl", "Haydn_104_1.mxl"];
    for score in scores {
        let (before, after) = cued(&home().join("scores/musicxml").join(score), &mut sum);
        assert_ne!(before.document().text(), after.document().text());
    }
    println!(
        "{} scores, {} entries with a cue, {} without, {} small notes and rests compared",
        scores.len(),
        sum.entries.0,
        sum.entries.1,
        sum.small
    );
    assert!(sum.entries.0 >= 30 && sum.small >= 250, "{sum:?}");
}

#[test]
fn scores_without_small_notes_get_words() {
    let mut sum = Cued::default();
    let mut scores: Vec<PathBuf> = std::fs::read_dir(home().join("scores/kern"))
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .collect();
    scores.sort();
    for score in &scores {
        cued(score, &mut sum);
    }
    println!(
        "{} scores, {} entries with a cue, {} without",
        scores.len(),
        sum.entries.0,
        sum.entries.1
    );
    assert!(sum.entries.0 >= 10 && sum.small == 0, "{sum:?}");
}

#[test]
fn small_notes_are_drawn_where_they_stand() {
    let mut sum = Cued::default();
    let (_, after) = cued(&home().join("scores/musicxml/Haydn_104_1.mxl"), &mut sum);
    let mut drawn = 0;
    for subject in subjects(&after) {
        let picture = picture::draw(&subject, &Options::default()).unwrap();
        let xml = roxmltree::Document::parse(&picture.svg).unwrap();
        let groups = xml.descendants();
        let groups = groups.filter(|node| node.attribute("class") == Some("cue"));
        // What is drawn, and how high: a step of the staff is four pixels.
        let seen: Vec<(bool, i32)> = groups
            .map(|group| {
                let glyphs = group.descendants().filter(|node| node.has_tag_name("use"));
                let name = |node: &roxmltree::Node<'_, '_>| {
                    node.attribute("href")
                        .unwrap()
                        .split_once("g-")
                        .unwrap()
                        .1
                        .to_owned()
                };
                let mut heads = glyphs.filter(|node| {
                    name(node).starts_with("notehead") || name(node).starts_with("rest")
                });
                let head = heads.next().unwrap();
                let moved = head.attribute("transform").unwrap();
                let (_, y) = moved.split_once(' ').unwrap();
                let y: f64 = y.split_once(')').unwrap().0.parse().unwrap();
                (name(&head).starts_with("rest"), (-y / 4.0).round() as i32)
            })
            .collect();
        let part = &subject.reading.piece.parts[subject.horn.seat.part];
        let written: Vec<(bool, i32)> = part
            .events_of(Kinds::CUES)
            .filter_map(|placed| match &placed.event.kind {
                EventKind::Cue(cue) => Some(cue.written),
                _ => None,
            })
            // The middle line is that of B4.
            .map(|written| match written {
                Some(written) => (false, written.0.staff_steps() - (4 * 7 + 6)),
                None => (true, 0),
            })
            .collect();
        assert_eq!(seen, written, "{}", subject.horn.label);
        drawn += seen.len();
    }
    println!("{drawn} small notes and rests read back from their drawing");
    assert!(drawn > 100);
}

#[test]
fn cues_say_which_part_in_every_notation() {
    let words = |format| {
        let mut sheet = Sheet::clean(3);
        wait(&mut sheet, 1, &["Violin I", "Violin II"]);
        let text = write(&sheet, format);
        let judged = Judged::new(Document::from_text(format, &text), Settings::default());
        let parts: Vec<HornOf<'_>> = HornOf::all(&judged).collect();
        let fixed = judged.cued(&parts);
        assert!(fixed.refused.is_empty(), "{:?}", fixed.refused);
        let written = fixed.judged.document().text();
        assert_ne!(written, text);
        fixed.applied.into_iter().map(|done| done.title).collect()
    };
    // The violin ends on C sharp, which is G sharp for a horn in F.
    let said: [(Format, &str); 3] = [
        (
            Format::Abc,
            "Write \"Violin II (G#)\" over the rest in bar 31",
        ),
        (
            Format::Kern,
            "Write \"Violin II (G#)\" over the rest in bar 31",
        ),
        (
            Format::MusicXml,
            "Write what is played there (\"Violin II 8va\") as small notes from bar 31",
        ),
    ];
    for (format, said) in said {
        let titles: Vec<String> = words(format);
        assert_eq!(titles, [said], "{format:?}");
    }
}

#[test]
fn cues_of_real_scores_say_which_part() {
    let (mut scores, mut called) = (0, 0);
    for folder in ["kern", "musicxml"] {
        let mut paths: Vec<PathBuf> = std::fs::read_dir(home().join("scores").join(folder))
            .unwrap()
            .map(|entry| entry.unwrap().path())
            .collect();
        paths.sort();
        for path in paths {
            let Some(format) = Format::of_path(&path) else {
                continue;
            };
            let document = Document::from_bytes(format, &std::fs::read(&path).unwrap()).unwrap();
            let judged = Judged::new(document, Settings::default());
            scores += 1;
            for (_, reading) in judged.pieces() {
                let mut names: BTreeMap<String, usize> = BTreeMap::new();
                for place in 0..reading.piece.parts.len() {
                    let family = reading.instrument(place).map(OrchestraInstrument::family);
                    if matches!(family, None | Some(Family::Horns | Family::Others)) {
                        continue;
                    }
                    let name = reading.cue_name(place, Some(Language::Italian)).unwrap();
                    called += 1;
                    let first = names.insert(name.clone(), place);
                    assert_eq!(first, None, "{}: {name}", path.display());
                }
            }
        }
    }
    println!("{called} parts of {scores} scores have names of their own in cues");
    assert!(called > 100, "{called}");
}
