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

mod drawn;
mod outline;

use std::collections::BTreeMap;

use engine::{Judged, Settings};
use notation::{Document, Format};
use picture::{Options, Pitched};
use roxmltree::Document as Xml;
use support::subjects;

use crate::pictures::{read, scores};
use drawn::{Thing, class, glyphs, things};

/// The beams of one stem lie no farther from its end.
const BEAMS: f64 = 42.0;

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
        for subject in subjects(judged) {
            for pitch in Pitched::ALL {
                let options = Options { pitch, ..options };
                let picture = picture::draw(&subject, &options).unwrap();
                let name = format!("{name}, {}, {pitch:?}", subject.horn.label);
                self.look(&picture.svg, &name);
                drawings += 1;
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
