//! Nothing that is drawn lies on anything else: every sign of every drawing, by its outline, against all others of its line.
//! Slurs and ties are left out, which cross stems and barlines by their nature; so are the lines of the staff, and what lies
//! behind the notes. How wide words are depends on a font: here they are taken a little narrower than most fonts have them,
//! and a browser measures them in `editors/browser/test/print.mjs`.

#![expect(
    clippy::unwrap_used,
    clippy::panic,
    clippy::print_stdout,
    reason = "a test fails loudly, and shows what it counted"
)]

use std::cell::OnceCell;
use std::collections::{BTreeMap, HashMap};

use engine::{Judged, Settings};
use notation::{Document, Format};
use picture::{Options, Pitched, Subject};
use roxmltree::{Document as Xml, Node, NodeId};

use crate::pictures::{read, scores};

/// How finely outlines are compared, in pixels: rows of this height.
const ROW: f64 = 0.5;
/// Rows in which ink must lie on ink, and how far: less is a touch. Thin lines are held to three fifths of what they have.
const DEEP: usize = 3;
const WIDE: f64 = 1.0;
const SHARE: f64 = 0.6;
/// The beams of one stem lie no farther from its end.
const BEAMS: f64 = 42.0;

/// Left and right edge of ink in each row, counted from a first one.
struct Rows {
    first: i64,
    edges: Vec<(f64, f64)>,
}

impl Rows {
    /// The rows of what is bounded by closed lines.
    fn within(rings: &Rings, area: Area) -> Self {
        let row = |y: f64| (y / ROW).floor() as i64;
        let (first, last) = (row(area.top), row(area.bottom));
        let mut edges = vec![(f64::MAX, f64::MIN); usize::try_from(last - first + 1).unwrap()];
        for pair in rings.iter().flat_map(|ring| ring.windows(2)) {
            let [(x, y), (to, down)] = *pair else {
                continue;
            };
            let steps = ((down - y).abs() / ROW * 2.0).ceil().max(1.0) as u32;
            for step in 0..=steps {
                let share = f64::from(step) / f64::from(steps);
                // Sums are rounded, also at the ends.
                let at = row(y + (down - y) * share).clamp(first, last) - first;
                let (left, right) = edges.get_mut(usize::try_from(at).unwrap()).unwrap();
                let here = x + (to - x) * share;
                (*left, *right) = (left.min(here), right.max(here));
            }
        }
        Self { first, edges }
    }
}

/// What ink lies within, in pixels right and down.
#[derive(Clone, Copy)]
struct Area {
    left: f64,
    right: f64,
    top: f64,
    bottom: f64,
}

/// Something that is drawn.
struct Thing<'a> {
    kind: &'a str,
    /// What it is called where it lies on something.
    name: String,
    /// The chord or small note that it belongs to; a head that two voices share, to both.
    of: Vec<NodeId>,
    /// Where the head that a dot belongs to stands.
    head: Option<(f64, f64)>,
    rings: Rings,
    area: Area,
    rows: OnceCell<Rows>,
}

impl Thing<'_> {
    fn rows(&self) -> &Rows {
        self.rows
            .get_or_init(|| Rows::within(&self.rings, self.area))
    }

    /// Whether its ink lies on another's.
    fn lies_on(&self, other: &Self) -> bool {
        let (one, two) = (self.area, other.area);
        if one.bottom < two.top
            || two.bottom < one.top
            || one.right < two.left
            || two.right < one.left
        {
            return false;
        }
        let (rows, others) = (self.rows(), other.rows());
        let wide = WIDE.min((one.right - one.left).min(two.right - two.left) * SHARE);
        let least = rows.edges.len().min(others.edges.len()) as f64 * SHARE;
        let skip = |first: i64, from: i64| usize::try_from(from - first).unwrap_or(0);
        let pairs = rows.edges.iter().skip(skip(rows.first, others.first));
        let pairs = pairs.zip(others.edges.iter().skip(skip(others.first, rows.first)));
        let deep =
            pairs.filter(|((left, right), (from, to))| right.min(*to) - left.max(*from) > wide);
        deep.count() >= DEEP.min(least.ceil() as usize)
    }

    /// Whether one is of one kind, the other of the other.
    fn kinds(&self, other: &Self, kinds: [&str; 2]) -> bool {
        [self.kind, other.kind] == kinds || [other.kind, self.kind] == kinds
    }

    fn same_chord(&self, other: &Self) -> bool {
        self.of.iter().any(|of| other.of.contains(of))
    }
}

/// What is drawn on something by the custom of engraving, and why.
fn meant(one: &Thing<'_>, other: &Thing<'_>) -> Option<&'static str> {
    let same = one.same_chord(other);
    if same && one.kinds(other, ["stem", "head"]) {
        return Some("a stem stands at the heads of its chord");
    }
    if same && one.kinds(other, ["stem", "flag"]) {
        return Some("a flag hangs at its stem");
    }
    if one.kinds(other, ["stem", "beam"]) {
        let (stem, beam) = if one.kind == "stem" {
            (one, other)
        } else {
            (other, one)
        };
        let (stem, beam) = (stem.area, beam.area);
        let near = (stem.top - beam.top)
            .abs()
            .min((stem.bottom - beam.bottom).abs());
        return (near < BEAMS).then_some("a stem ends in its beams");
    }
    if one.kinds(other, ["rip", "partial"]) {
        return Some("the partials of a rip lie on its line");
    }
    if one.kinds(other, ["rest", "end of bars of rest"]) {
        return Some("bars of rest have a stroke at each end");
    }
    if one.kinds(other, ["dot", "dot"]) && one.head == other.head && one.rings == other.rings {
        return Some("two voices share a dotted head");
    }
    None
}

/// Closed lines.
type Rings = Vec<Vec<(f64, f64)>>;

/// The rings of a glyph, curves in straight pieces. Its numbers count from the last point.
fn outline(path: &str) -> Rings {
    let mut rings = Rings::new();
    let (mut at, mut start) = ((0.0, 0.0), (0.0, 0.0));
    let mut rest = path;
    while let Some(command) = rest.chars().next() {
        rest = &rest[1..];
        let end = rest.find(char::is_alphabetic).unwrap_or(rest.len());
        let numbers = numbers(&rest[..end]);
        rest = &rest[end..];
        let by = |place: usize| (at.0 + numbers[place], at.1 + numbers[place + 1]);
        let all = match command {
            'm' => {
                start = by(0);
                rings.push(Vec::new());
                vec![start]
            }
            'l' => vec![by(0)],
            'q' => curve(&[at, by(0), by(2)]),
            'c' => curve(&[at, by(0), by(2), by(4)]),
            'z' => vec![start],
            other => panic!("no glyph is drawn with {other}"),
        };
        at = *all.last().unwrap();
        rings.last_mut().unwrap().extend(all);
    }
    rings
}

/// Points on a curve, behind its first.
fn curve(through: &[(f64, f64)]) -> Vec<(f64, f64)> {
    let point = |share: f64| {
        let mut points = through.to_vec();
        while points.len() > 1 {
            let pairs = points.windows(2);
            let between = |one: f64, other: f64| one + (other - one) * share;
            points = pairs
                .map(|pair| (between(pair[0].0, pair[1].0), between(pair[0].1, pair[1].1)))
                .collect();
        }
        points[0]
    };
    [0.25, 0.5, 0.75, 1.0].map(point).to_vec()
}

/// Every number in words: `1.2-.3 4` are three.
fn numbers(words: &str) -> Vec<f64> {
    let mut found: Vec<String> = Vec::new();
    let mut open = false;
    for letter in words.chars() {
        let goes_on = letter.is_ascii_digit()
            || letter == '.' && open && !found.last().is_some_and(|last| last.contains('.'));
        if goes_on && open {
            found.last_mut().unwrap().push(letter);
        } else if letter.is_ascii_digit() || letter == '.' || letter == '-' {
            found.push(letter.to_string());
            open = true;
        } else {
            open = false;
        }
    }
    found.iter().map(|number| number.parse().unwrap()).collect()
}

fn number(node: Node<'_, '_>, name: &str) -> f64 {
    node.attribute(name).unwrap().parse().unwrap()
}

fn class<'a>(node: Node<'a, '_>) -> &'a str {
    node.attribute("class").unwrap_or_default()
}

/// The glyphs that a drawing uses, by the names of their elements.
fn glyphs<'a>(xml: &'a Xml<'_>) -> HashMap<&'a str, Rings> {
    let paths = xml
        .descendants()
        .filter(|node| node.tag_name().name() == "path");
    let named = paths.filter_map(|node| Some((node.attribute("id")?, node.attribute("d")?)));
    named.map(|(id, path)| (id, outline(path))).collect()
}

/// Where a glyph stands, and its size.
fn place(node: Node<'_, '_>) -> (f64, f64, f64) {
    match node.attribute("transform").map(numbers).as_deref() {
        Some([x, y, size]) => (*x, *y, *size),
        _ => (number(node, "x"), number(node, "y"), 1.0),
    }
}

fn boxed(area: Area) -> Rings {
    let Area {
        left,
        right,
        top,
        bottom,
    } = area;
    vec![vec![
        (left, top),
        (right, top),
        (right, bottom),
        (left, bottom),
        (left, top),
    ]]
}

/// What an element is, and its ink; nothing for what is not compared.
fn ink<'a>(node: Node<'a, '_>, glyphs: &HashMap<&str, Rings>) -> Option<(&'a str, Rings)> {
    let name = class(node);
    Some(match (node.tag_name().name(), name) {
        ("use", _) => {
            let glyph = &glyphs[node.attribute("href").unwrap().trim_start_matches('#')];
            let (x, y, size) = place(node);
            let put = |(right, down): &(f64, f64)| (x + right * size, y + down * size);
            let rings = glyph.iter().map(|ring| ring.iter().map(put).collect());
            (
                if name.is_empty() { "small note" } else { name },
                rings.collect(),
            )
        }
        ("line", "stem" | "ending" | "hairpin" | "rip") => {
            let [x, y, to, down] = ["x1", "y1", "x2", "y2"].map(|name| number(node, name));
            // As thick as it is drawn.
            let (across, along) = if (to - x).abs() > (down - y).abs() {
                (0.0, 0.5)
            } else {
                (0.5, 0.0)
            };
            let ring = [
                (x - across, y - along),
                (to - across, down - along),
                (to + across, down + along),
                (x + across, y + along),
                (x - across, y - along),
            ];
            let own = node.parent().is_some_and(|up| class(up) == "system");
            (
                if own && name == "stem" {
                    "end of bars of rest"
                } else {
                    name
                },
                vec![ring.to_vec()],
            )
        }
        ("polygon", _) => {
            let all = numbers(node.attribute("points").unwrap());
            let mut ring: Vec<(f64, f64)> = all.chunks(2).map(|pair| (pair[0], pair[1])).collect();
            ring.push(ring[0]);
            (name, vec![ring])
        }
        ("rect", "barline" | "rest") => {
            let [left, top, wide, high] =
                ["x", "y", "width", "height"].map(|name| number(node, name));
            (
                name,
                boxed(Area {
                    left,
                    right: left + wide,
                    top,
                    bottom: top + high,
                }),
            )
        }
        ("circle", "shape" | "partial") => {
            let [x, y, r] = ["cx", "cy", "r"].map(|name| number(node, name));
            (
                name,
                boxed(Area {
                    left: x - r,
                    right: x + r,
                    top: y - r,
                    bottom: y + r,
                }),
            )
        }
        ("text", _) => {
            let (left, y) = (number(node, "x"), number(node, "y"));
            let letters = node.text().unwrap_or_default().chars().count() as f64;
            (
                name,
                boxed(Area {
                    left,
                    right: left + letters * 4.5,
                    top: y - 6.0,
                    bottom: y - 1.0,
                }),
            )
        }
        _ => return None,
    })
}

/// The things of one line of music, from left to right.
fn things<'a>(system: Node<'a, '_>, glyphs: &HashMap<&str, Rings>) -> Vec<Thing<'a>> {
    let mut found: Vec<Thing<'a>> = Vec::new();
    for node in system.descendants().filter(Node::is_element) {
        let Some((kind, rings)) = ink(node, glyphs) else {
            continue;
        };
        let of = node
            .ancestors()
            .find(|up| matches!(class(*up), "chord" | "grace" | "cue"));
        let of: Vec<NodeId> = of.map(|of| of.id()).into_iter().collect();
        if kind == "head"
            && let Some(shared) = found
                .iter_mut()
                .find(|other| other.kind == kind && other.rings == rings)
        {
            shared.of.extend(of);
            continue;
        }
        let beside = (kind == "dot").then(|| node.parent()).flatten();
        let head = beside.and_then(|group| group.children().find(|node| class(*node) == "head"));
        let points = || rings.iter().flatten();
        let [left, top] = [
            points().map(|point| point.0).fold(f64::MAX, f64::min),
            points().map(|point| point.1).fold(f64::MAX, f64::min),
        ];
        let [right, bottom] = [
            points().map(|point| point.0).fold(f64::MIN, f64::max),
            points().map(|point| point.1).fold(f64::MIN, f64::max),
        ];
        found.push(Thing {
            kind,
            name: [
                kind,
                node.attribute("href").unwrap_or_default(),
                node.text().unwrap_or_default(),
            ]
            .join(" "),
            of,
            head: head.map(place).map(|(x, y, _)| (x, y)),
            area: Area {
                left,
                right,
                top,
                bottom,
            },
            rings,
            rows: OnceCell::new(),
        });
    }
    found.sort_by(|one, other| one.area.left.total_cmp(&other.area.left));
    found
}

/// What was found, and what was compared.
#[derive(Default)]
struct Tally {
    things: usize,
    pairs: usize,
    meant: BTreeMap<&'static str, usize>,
    wrong: BTreeMap<[String; 2], Vec<String>>,
}

impl Tally {
    fn look(&mut self, svg: &str, name: &str) {
        let xml = Xml::parse(svg).unwrap();
        let glyphs = glyphs(&xml);
        let systems = xml.descendants().filter(|node| class(*node) == "system");
        for (line, system) in systems.enumerate() {
            let things = things(system, &glyphs);
            self.things += things.len();
            for (place, one) in things.iter().enumerate() {
                let beside = things[place + 1..].iter();
                for other in beside.take_while(|other| other.area.left < one.area.right) {
                    self.pairs += 1;
                    if !one.lies_on(other) {
                        continue;
                    }
                    if let Some(why) = meant(one, other) {
                        *self.meant.entry(why).or_default() += 1;
                        continue;
                    }
                    let mut kinds = [one.kind, other.kind].map(str::to_owned);
                    kinds.sort();
                    let at = one.area;
                    let says = format!(
                        "{name}, line {line}, {:.0} right, {:.0} down: {}, {} ({:.0},{:.0})",
                        at.left, at.top, one.name, other.name, other.area.left, other.area.top
                    );
                    self.wrong.entry(kinds).or_default().push(says);
                }
            }
        }
    }
}

impl Tally {
    /// Draws every horn of a document at both pitches, and looks at each; gives back how many drawings there were.
    fn draw(&mut self, judged: &Judged, options: Options<'_>, name: &str) -> usize {
        let mut drawings = 0;
        for (base, reading) in judged.pieces() {
            for horn in &reading.horns {
                for pitch in Pitched::ALL {
                    let subject = Subject {
                        base,
                        reading,
                        horn,
                        findings: judged.findings(),
                    };
                    let options = Options { pitch, ..options };
                    let picture = picture::draw(&subject, &options).unwrap();
                    let name = format!("{name}, {}, {pitch:?}", horn.label);
                    self.look(&picture.svg, &name);
                    drawings += 1;
                }
            }
        }
        drawings
    }

    /// Fails where something lies on something else.
    fn passes(&self) {
        for (why, count) in &self.meant {
            println!("{count}: {why}");
        }
        for (kinds, found) in &self.wrong {
            println!("{} of {kinds:?}, which should not be:", found.len());
            for one in found {
                println!("    {one}");
            }
        }
        assert!(self.wrong.is_empty());
    }
}

#[test]
fn nothing_lies_on_anything_else() {
    let mut tally = Tally::default();
    let mut drawings = 0;
    for path in scores() {
        let judged = Judged::new(read(&path), Settings::default());
        let name = path.file_name().unwrap().to_string_lossy();
        drawings += tally.draw(&judged, Options::default(), &name);
    }
    let Tally { things, pairs, .. } = tally;
    println!("{drawings} drawings: {things} things, {pairs} pairs side by side compared");
    tally.passes();
    assert!(things > 150_000, "{things} things");
}

#[test]
fn what_stands_close_finds_room() {
    // Dotted seconds, accidentals in chords, steep beams over accidentals, a clef within a beam, rests before a repeat.
    let text = "X:1\nT:The Gangway\nM:4/4\nL:1/8\nQ:1/4=60\nK:none\nV:1 name=\"Horn in F\"\n\
        [cd]3 [de]3 [^c_d]2 | [c^e_g]2 A,^^f' _b^D G2 | c [K:clef=bass] ^C, D, [K:clef=treble] _e/d/ c4 |\n\
        z8 | z8 | z8 :| [V:1] {^g_a}b3 b | c8 |]\n";
    let judged = Judged::new(Document::from_text(Format::Abc, text), Settings::default());
    let mut tally = Tally::default();
    let options = Options {
        fingering: true,
        seconds: true,
        ..Options::default()
    };
    tally.draw(&judged, options, "close");
    tally.passes();
    assert!(tally.things > 100, "{} things", tally.things);
}
