//! Every note is read back from the drawing as a player would read it, and compared with what the part says: its place on
//! the staff, the accidental in force, and its length by head, stem, flags or beams, and dots.

#![expect(
    clippy::unwrap_used,
    clippy::panic,
    reason = "a test fails loudly, and shows what it counted"
)]

use std::collections::{BTreeMap, HashMap};

use engine::{Judged, Settings};
use notation::{Document, Format};
use picture::{Options, Pitched};
use reading::{HornPart, PlayedNote};
use roxmltree::{Document as Xml, Node};
use support::subjects;
use theory::{Alteration, Letter, Pitch, Quarters};

use crate::pictures::{read, scores};

/// Pixels from a line to the space beside it.
const STEP: f64 = 4.0;

/// A head on the paper.
#[derive(Debug, Clone)]
struct Head {
    note: usize,
    x: f64,
    y: f64,
    small: bool,
    accidental: Option<i8>,
    /// Quarter notes; tuplets not counted.
    length: Option<Quarters>,
}

fn number(node: Node<'_, '_>, name: &str) -> f64 {
    node.attribute(name).unwrap().parse().unwrap()
}

fn class<'a>(node: Node<'a, '_>) -> &'a str {
    node.attribute("class").unwrap_or_default()
}

/// Where a glyph stands, and whether it is a small one.
fn place(node: Node<'_, '_>) -> (f64, f64, bool) {
    let Some(moved) = node.attribute("transform") else {
        return (number(node, "x"), number(node, "y"), false);
    };
    let numbers: Vec<f64> = moved
        .split(|letter: char| !letter.is_ascii_digit() && letter != '.' && letter != '-')
        .filter_map(|number| number.parse().ok())
        .collect();
    (numbers[0], numbers[1], true)
}

fn glyph<'a>(node: Node<'a, '_>) -> &'a str {
    node.attribute("href").unwrap().split_once("g-").unwrap().1
}

fn accidental(name: &str) -> i8 {
    match name {
        "accidentalDoubleFlat" => -2,
        "accidentalFlat" => -1,
        "accidentalNatural" => 0,
        "accidentalSharp" => 1,
        "accidentalDoubleSharp" => 2,
        _ => panic!("{name} is no accidental"),
    }
}

/// The corners of a beam, or the ends of a tie: every pair of numbers.
fn points(words: &str) -> Vec<(f64, f64)> {
    let numbers: Vec<f64> = words
        .split(|letter: char| !letter.is_ascii_digit() && letter != '.' && letter != '-')
        .filter_map(|number| number.parse().ok())
        .collect();
    numbers.chunks(2).map(|pair| (pair[0], pair[1])).collect()
}

/// How many beams a stem ends in.
fn beams_at(beams: &[Vec<(f64, f64)>], x: f64, from: f64, to: f64) -> i32 {
    let meets = |beam: &&Vec<(f64, f64)>| {
        let [a, b, c, d] = beam[..] else {
            panic!("a beam has four corners")
        };
        if x < a.0 - 0.3 || x > b.0 + 0.3 {
            return false;
        }
        let share = (x - a.0) / (b.0 - a.0);
        let (one, other) = (a.1 + (b.1 - a.1) * share, d.1 + (c.1 - d.1) * share);
        let middle = f64::midpoint(one, other);
        middle > from.min(to) - 2.5 && middle < from.max(to) + 2.5
    };
    i32::try_from(beams.iter().filter(meets).count()).unwrap()
}

fn power(head: &str, stem: bool) -> i32 {
    match (head, stem) {
        ("noteheadDoubleWhole", false) => 3,
        ("noteheadWhole", false) => 2,
        ("noteheadHalf", true) => 1,
        ("noteheadBlack", true) => 0,
        _ => panic!("{head} with a stem: {stem}"),
    }
}

fn dotted(power: i32, dots: usize) -> Quarters {
    let whole = (0..=dots).map(|dot| {
        let power = power - i32::try_from(dot).unwrap();
        if power >= 0 {
            Quarters::whole(1 << power)
        } else {
            Quarters::new(1, 1 << -power)
        }
    });
    whole.sum()
}

/// The heads of one line of music.
fn heads(system: Node<'_, '_>) -> Vec<Head> {
    let all = || system.descendants().filter(Node::is_element);
    let beams: Vec<Vec<(f64, f64)>> = all()
        .filter(|node| class(*node) == "beam")
        .map(|node| points(node.attribute("points").unwrap()))
        .collect();
    let mut found = Vec::new();
    for group in all().filter(|node| class(*node).starts_with("note ")) {
        let chord = group.parent().unwrap();
        let inside = |of: Node<'_, '_>, name: &str| {
            of.descendants().filter(|node| class(*node) == name).count()
        };
        let head = group
            .children()
            .find(|node| class(*node) == "head")
            .unwrap();
        let (x, y, small) = place(head);
        let name = group
            .attribute("id")
            .or(group.attribute("data-note"))
            .unwrap();
        let stem = chord.children().find(|node| class(*node) == "stem");
        let flag = chord
            .children()
            .find(|node| class(*node) == "flag")
            .map(|flag| glyph(flag));
        let length = (!small).then(|| {
            let mut power = power(glyph(head), stem.is_some());
            if let Some(stem) = stem {
                let flags = flag.map_or(0, |flag| {
                    let names = [
                        "8th", "16th", "32nd", "64th", "128th", "256th", "512th", "1024th",
                    ];
                    let at = names
                        .iter()
                        .position(|name| flag.starts_with(&format!("flag{name}")))
                        .unwrap();
                    i32::try_from(at).unwrap() + 1
                });
                let beams = beams_at(
                    &beams,
                    number(stem, "x1"),
                    number(stem, "y1"),
                    number(stem, "y2"),
                );
                assert!(flags == 0 || beams == 0, "{name} has flags and beams");
                power -= flags + beams;
            }
            dotted(power, inside(group, "dot"))
        });
        let sign = group.children().find(|node| class(*node) == "accidental");
        found.push(Head {
            note: name.trim_start_matches("note-").parse().unwrap(),
            x,
            y,
            small,
            accidental: sign.map(|sign| accidental(glyph(sign))),
            length,
        });
    }
    found
}

/// What happens from left to right on a line.
#[derive(Debug, Clone, Copy)]
enum Met {
    Clef(i32),
    Key(i32, i8),
    Bar,
    Head(usize),
}

/// What a reader keeps in mind from line to line.
struct Reader {
    middle: i32,
    key: HashMap<i32, i8>,
    bar: HashMap<i32, i8>,
    /// Alterations that ties carry over the end of a line.
    carried: HashMap<i32, i8>,
}

impl Reader {
    /// Reads a line: for each head its step and alteration.
    fn line(&mut self, system: Node<'_, '_>, heads: &[Head]) -> Vec<(i32, i8)> {
        let mut met: Vec<(f64, usize, Met)> = Vec::new();
        for node in system.descendants().filter(Node::is_element) {
            match class(node) {
                "clef" => {
                    let (x, y, _) = place(node);
                    let pitch = match glyph(node) {
                        "gClef" => 32,
                        "fClef" => 24,
                        "cClef" => 28,
                        other => panic!("{other} is no clef"),
                    };
                    met.push((x, 0, Met::Clef(pitch + (y / STEP).round() as i32)));
                }
                "key" => {
                    let (x, y, _) = place(node);
                    met.push((
                        x,
                        1,
                        Met::Key(-(y / STEP).round() as i32, accidental(glyph(node))),
                    ));
                }
                "barline" => met.push((number(node, "x"), 2, Met::Bar)),
                _ => {}
            }
        }
        met.extend(
            heads
                .iter()
                .enumerate()
                .map(|(place, head)| (head.x, 3, Met::Head(place))),
        );
        met.sort_by(|one, other| one.0.total_cmp(&other.0).then(one.1.cmp(&other.1)));
        let ties: Vec<((f64, f64), (f64, f64))> = system
            .descendants()
            .filter(|node| class(*node) == "tie")
            .map(|node| {
                let points = points(node.attribute("d").unwrap());
                (points[0], points[3])
            })
            .collect();
        let mut read = vec![(0, 0); heads.len()];
        let mut last_key = f64::MIN;
        let mut carried = HashMap::new();
        for (x, _, met) in met {
            match met {
                Met::Clef(middle) => self.middle = middle,
                Met::Key(line, sign) => {
                    // Signs side by side are one signature.
                    if x - last_key > 10.0 {
                        self.key.clear();
                        self.bar.clear();
                    }
                    last_key = x;
                    self.key.insert((self.middle + line).rem_euclid(7), sign);
                }
                Met::Bar => self.bar.clear(),
                Met::Head(place) => {
                    let head = &heads[place];
                    let step = self.middle - (head.y / STEP).round() as i32;
                    let near = |y: f64| (y - head.y).abs() < 6.5;
                    let tied = ties
                        .iter()
                        .filter(|(_, to)| near(to.1) && (head.x - to.0 - 1.2).abs() < 1.5);
                    // A tie from the line before begins where no head stands.
                    let held = tied.clone().find_map(|(from, _)| {
                        let before = heads.iter().zip(&read).filter(|(other, (known, _))| {
                            other.x < head.x
                                && *known == step
                                && (other.y - head.y).abs() < 0.5
                                && from.0 > other.x
                                && from.0 - other.x < 24.0
                        });
                        before.map(|(_, (_, alteration))| *alteration).next_back()
                    });
                    let held =
                        held.or_else(|| tied.clone().next().and(self.carried.get(&step).copied()));
                    let alteration = match (head.accidental, held) {
                        (Some(sign), _) => {
                            self.bar.insert(step, sign);
                            sign
                        }
                        (None, Some(held)) => held,
                        (None, None) => self
                            .bar
                            .get(&step)
                            .or(self.key.get(&step.rem_euclid(7)))
                            .copied()
                            .unwrap_or(0),
                    };
                    read[place] = (step, alteration);
                    carried.insert(step, alteration);
                }
            }
        }
        self.carried = carried;
        read
    }
}

/// A length without what a tuplet makes of it, and the tuplet's number.
fn nominal(length: Quarters) -> (Quarters, i64) {
    let (_, under) = length.parts();
    let many = under >> under.trailing_zeros();
    let time = 1 << (63 - many.leading_zeros());
    (length * Quarters::new(many, time), many)
}

/// Compares a part with its drawing; gives back how many notes were compared, and how many of these in tuplets.
fn compare(horn: &HornPart, pitch: Pitched, svg: &str, path: &str) -> (usize, usize) {
    let xml = Xml::parse(svg).unwrap_or_else(|error| panic!("{path}: {error}"));
    let mut reader = Reader {
        middle: 34,
        key: HashMap::new(),
        bar: HashMap::new(),
        carried: HashMap::new(),
    };
    let mut lengths: BTreeMap<usize, Quarters> = BTreeMap::new();
    let mut tuplets = 0;
    let (mut line, mut last) = (0, (0, f64::MIN, Quarters::ZERO));
    for system in xml.descendants().filter(|node| class(*node) == "system") {
        line += 1;
        let heads = heads(system);
        let read = reader.line(system, &heads);
        let figures = system
            .descendants()
            .filter(|node| class(*node) == "tuplet")
            .count();
        let mut in_tuplets = 0;
        for (head, (step, alteration)) in heads.iter().zip(read) {
            let note: &PlayedNote = &horn.notes[head.note];
            let says = |what: &str| {
                format!(
                    "{path}, {}, bar {}, note {} of {}: {what}",
                    horn.label,
                    note.number,
                    head.note,
                    horn.notes.len()
                )
            };
            let meant = match pitch {
                Pitched::Written => note.written.0,
                Pitched::Sounding => note.sounding.0,
            };
            let octave = i8::try_from(step.div_euclid(7)).unwrap();
            let drawn = Pitch {
                letter: Letter::from_steps(step.rem_euclid(7)),
                alteration: Alteration(alteration),
                octave,
            };
            assert_eq!(drawn, meant, "{}", says("another pitch is drawn"));
            assert_eq!(head.small, note.grace, "{}", says("small or not"));
            if let Some(length) = head.length {
                *lengths.entry(head.note).or_default() += length;
                in_tuplets += usize::from(nominal(note.length).1 > 1);
            }
            // What begins later stands farther right, or on a later line.
            if !note.grace && note.layer == 0 {
                let (before, x, onset) = last;
                assert!(
                    line > before || note.onset <= onset || head.x > x,
                    "{}",
                    says("stands before what came before it")
                );
                last = (line, head.x, note.onset);
            }
        }
        assert!(
            in_tuplets == 0 || figures > 0,
            "{path}, {}: no number tells a tuplet on line {line}",
            horn.label
        );
        tuplets += in_tuplets;
    }
    for (place, note) in horn.notes.iter().enumerate() {
        if !note.grace {
            assert_eq!(
                lengths.get(&place),
                Some(&nominal(note.length).0),
                "{path}, {}, bar {}: another length is drawn",
                horn.label,
                note.number
            );
        }
    }
    (horn.notes.len(), tuplets)
}

#[test]
fn every_note_reads_as_it_is_meant() {
    let (mut drawings, mut notes, mut tuplets) = (0, 0, 0);
    for path in scores() {
        let document = read(&path);
        let judged = Judged::new(document, Settings::default());
        for subject in subjects(&judged) {
            for pitch in Pitched::ALL {
                let options = Options {
                    pitch,
                    ..Options::default()
                };
                let picture = picture::draw(&subject, &options).unwrap();
                let name = path.file_name().unwrap().to_string_lossy();
                let (compared, in_tuplets) = compare(subject.horn, pitch, &picture.svg, &name);
                drawings += 1;
                notes += compared;
                tuplets += in_tuplets;
            }
        }
    }
    println!(
        "{drawings} drawings: {notes} notes read back, {tuplets} of them in tuplets, none wrong"
    );
    assert!(notes > 40_000 && tuplets > 100);
}

#[test]
fn a_length_that_no_value_says_takes_several() {
    let text =
        "X:1\nT:The Gangway\nM:5/8\nL:1/8\nK:none\nV:1 name=\"Horn in F\"\nc5- | c4 ^c | f5 |]\n";
    let judged = Judged::new(Document::from_text(Format::Abc, text), Settings::default());
    let subject = subjects(&judged)[0];
    let picture = picture::draw(&subject, &Options::default()).unwrap();
    assert_eq!(picture.svg.matches("data-note=").count(), 2);
    let (notes, _) = compare(subject.horn, Pitched::Written, &picture.svg, "five eighths");
    assert_eq!(notes, 4);
}

/// What a head looks like: its place on the staff, its accidental, and its length.
type Look = (i32, Option<i8>, Option<Quarters>);

#[test]
fn the_demo_looks_the_same_in_humdrum_and_musicxml() {
    let looks = |notation: &str| -> Vec<Vec<Look>> {
        let document = read(&support::home().join(format!("demo/evening-ferry.{notation}")));
        let judged = Judged::new(document, Settings::default());
        let parts = subjects(&judged).into_iter().map(|subject| {
            let picture = picture::draw(&subject, &Options::default()).unwrap();
            let xml = Xml::parse(&picture.svg).unwrap();
            let systems = xml.descendants().filter(|node| class(*node) == "system");
            let heads = systems.flat_map(heads);
            heads
                .map(|head| ((head.y / STEP).round() as i32, head.accidental, head.length))
                .collect()
        });
        parts.collect()
    };
    // The demo in ABC is another version of the piece.
    let (kern, other) = (looks("krn"), looks("musicxml"));
    assert_eq!(kern.len(), 1);
    assert_eq!(kern, other);
    let heads = kern.iter().map(Vec::len).sum::<usize>();
    println!("{heads} heads look the same in Humdrum and MusicXML");
}

#[test]
fn a_bar_of_any_number_is_drawn() {
    let last = u32::MAX;
    let text = format!("**kern\n*I\"Horn in F\n*M4/4\n=3\n1c\n={last}\n1r\n*-\n");
    let judged = Judged::new(
        Document::from_text(Format::Kern, &text),
        Settings::default(),
    );
    let subject = subjects(&judged)[0];
    let strips = picture::engrave(&subject, &Options::default())
        .unwrap()
        .strips()
        .unwrap();
    assert!(
        strips
            .iter()
            .any(|strip| strip.contains(&format!("bars 3 to {last}")))
    );
}
