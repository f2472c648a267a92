//! Invented scores of every layout, indentation and line end.

use std::collections::HashMap;

use fastrand::Rng;
use theory::{Alteration, Key, Letter, Pitch};

/// A score being made.
pub(crate) struct Maker {
    pub(crate) rng: Rng,
    end: &'static str,
    step: &'static str,
    depth: usize,
    lines: Vec<String>,
}

/// A part being made.
struct Voice {
    key: Key,
    /// The pitch that is held into the next bar.
    held: Option<Pitch>,
    transposed: bool,
}

/// What is shown at the lines and spaces of the bar.
type Shown = HashMap<(Letter, i8), i8>;

impl Maker {
    /// A score from a seed.
    pub(crate) fn score(seed: u64) -> (String, Rng) {
        let mut rng = Rng::with_seed(seed);
        let end = ["\n", "\n", "\r\n", ""][rng.usize(0..4)];
        let step = ["  ", " ", "\t", ""][rng.usize(0..4)];
        let mut maker = Self {
            rng,
            end,
            step: if end.is_empty() { "" } else { step },
            depth: 0,
            lines: Vec::new(),
        };
        maker.write();
        let text = maker.lines.concat();
        (text, maker.rng)
    }

    fn line(&mut self, text: &str) {
        let indent = self.step.repeat(self.depth);
        let end = self.end;
        self.lines.push(format!("{indent}{text}{end}"));
    }

    fn open(&mut self, tag: &str) {
        self.line(&format!("<{tag}>"));
        self.depth += 1;
    }

    fn close(&mut self, name: &str) {
        self.depth -= 1;
        self.line(&format!("</{name}>"));
    }

    fn chance(&mut self, of: u32) -> bool {
        self.rng.u32(0..of) == 0
    }

    fn write(&mut self) {
        self.line("<?xml version=\"1.0\" encoding=\"UTF-8\"?>");
        let timewise = self.chance(3);
        let root = if timewise {
            "score-timewise"
        } else {
            "score-partwise"
        };
        if self.rng.bool() {
            self.line(&format!("<!DOCTYPE {root} SYSTEM \"nowhere.dtd\">"));
        }
        if self.rng.bool() {
            self.line("<!-- the band meets at the landing -->");
        }
        self.open(&format!("{root} version=\"4.0\""));
        self.line("<movement-title>Morning on the Pier &amp; After</movement-title>");
        let parts = self.rng.usize(1..4);
        self.open("part-list");
        for part in 1..=parts {
            self.open(&format!("score-part id=\"P{part}\""));
            self.line(&format!("<part-name>Horn in F {part}</part-name>"));
            if self.chance(3) {
                self.open("part-name-display");
                self.line(&format!("<display-text>Horn in F {part}</display-text>"));
                self.close("part-name-display");
            }
            self.close("score-part");
        }
        self.close("part-list");
        let measures = self.rng.usize(2..6);
        let mut voices: Vec<Voice> = (0..parts)
            .map(|_| Voice {
                key: Key::NONE,
                held: None,
                transposed: false,
            })
            .collect();
        for outer in 0..if timewise { measures } else { parts } {
            self.open(&Self::tag(!timewise, outer));
            for inner in 0..if timewise { parts } else { measures } {
                let (part, measure) = if timewise {
                    (inner, outer)
                } else {
                    (outer, inner)
                };
                self.open(&Self::tag(timewise, inner));
                self.measure(&mut voices[part], measure, measures);
                self.close(if timewise { "part" } else { "measure" });
            }
            self.close(if timewise { "measure" } else { "part" });
        }
        self.close(root);
    }

    fn tag(part: bool, index: usize) -> String {
        if part {
            format!("part id=\"P{}\"", index + 1)
        } else {
            format!("measure number=\"{}\"", index + 1)
        }
    }

    fn measure(&mut self, voice: &mut Voice, measure: usize, of: usize) {
        if measure == 0 {
            self.start(voice);
        } else if self.chance(5) {
            self.open("attributes");
            self.key(voice);
            self.close("attributes");
        }
        let mut shown = Shown::new();
        for _ in 0..4 {
            self.beat(voice, &mut shown, measure + 1 == of);
        }
        if self.chance(4) {
            self.line("<backup><duration>96</duration></backup>");
            for _ in 0..4 {
                let pitch = self.pitch(voice);
                let sign = self.sign(pitch, voice.key, &mut shown, true);
                self.note(pitch, "", "2", &sign, "");
            }
        }
        if self.chance(4) {
            self.open("barline location=\"right\"");
            self.line("<bar-style>light-heavy</bar-style>");
            self.line("<repeat direction=\"backward\"/>");
            self.close("barline");
        }
    }

    fn start(&mut self, voice: &mut Voice) {
        if self.chance(3) {
            self.line("<print new-page=\"yes\"/>");
        }
        self.open("attributes");
        self.line("<divisions>24</divisions>");
        if !self.chance(6) {
            self.key(voice);
        }
        self.open("time");
        self.line("<beats>4</beats>");
        self.line("<beat-type>4</beat-type>");
        self.close("time");
        if self.rng.bool() {
            self.open("clef");
            self.line("<sign>G</sign>");
            self.line("<line>2</line>");
            self.close("clef");
        }
        voice.transposed = self.rng.bool();
        if voice.transposed {
            self.open("transpose");
            self.line("<diatonic>-4</diatonic>");
            self.line("<chromatic>-7</chromatic>");
            self.close("transpose");
        }
        self.close("attributes");
    }

    fn key(&mut self, voice: &mut Voice) {
        let fifths = self.rng.i32(-5..6);
        self.open("key");
        if self.chance(4) && voice.key.fifths() != Some(0) {
            let before = voice.key.fifths().unwrap_or(0);
            self.line(&format!("<cancel>{before}</cancel>"));
        }
        self.line(&format!("<fifths>{fifths}</fifths>"));
        if self.chance(3) {
            self.line("<mode>major</mode>");
        }
        self.close("key");
        voice.key = Key::from_fifths(fifths);
    }

    fn pitch(&mut self, voice: &Voice) -> Pitch {
        let letter = Letter::from_steps(self.rng.i32(0..7));
        let mut pitch = Pitch::new(letter, 0, self.rng.i8(3..6));
        pitch.alteration = match self.rng.u32(0..6) {
            0 => Alteration(self.rng.i8(-1..2)),
            1 => Alteration(self.rng.i8(-2..3)),
            _ => voice.key.alteration(letter),
        };
        pitch
    }

    /// The accidental that must be shown, or now and then one that need not be.
    ///
    /// On a staff that two lines share, the second shows them all: what a reader takes over from the first is open.
    fn sign(&mut self, pitch: Pitch, key: Key, shown: &mut Shown, always: bool) -> String {
        let line = (pitch.letter, pitch.octave);
        let reads = shown
            .get(&line)
            .copied()
            .unwrap_or_else(|| key.alteration(pitch.letter).0);
        let wanted = pitch.alteration.0;
        if reads == wanted && !always && !self.chance(12) {
            return String::new();
        }
        shown.insert(line, wanted);
        let word = match wanted {
            -2 => "flat-flat",
            -1 => "flat",
            0 => "natural",
            1 => "sharp",
            _ => "double-sharp",
        };
        format!("<accidental>{word}</accidental>")
    }

    /// A quarter note's worth of music.
    fn beat(&mut self, voice: &mut Voice, shown: &mut Shown, last: bool) {
        if let Some(held) = voice.held.take() {
            self.note(held, "", "1", "", "stop");
            return;
        }
        let pitch = self.pitch(voice);
        match self.rng.u32(0..12) {
            0 => {
                self.open("note");
                self.line("<rest/>");
                self.line("<duration>24</duration>");
                self.line("<voice>1</voice>");
                self.close("note");
                return;
            }
            1 => {
                self.line("<direction placement=\"above\"><direction-type><words>con sord.</words></direction-type></direction>");
            }
            2 => {
                let grace = self.pitch(voice);
                let sign = self.sign(grace, voice.key, shown, false);
                self.note(grace, "<grace/>", "1", &sign, "");
            }
            _ => {}
        }
        let sign = self.sign(pitch, voice.key, shown, false);
        let held = !last && self.chance(5);
        self.note(pitch, "", "1", &sign, if held { "start" } else { "" });
        if held {
            voice.held = Some(pitch);
            return;
        }
        if self.chance(8) {
            let other = self.pitch(voice);
            let sign = self.sign(other, voice.key, shown, false);
            self.note(other, "<chord/>", "1", &sign, "");
        }
    }

    fn note(&mut self, pitch: Pitch, lead: &str, voice: &str, sign: &str, tie: &str) {
        self.open("note");
        if !lead.is_empty() {
            self.line(lead);
        }
        self.open("pitch");
        self.line(&format!("<step>{}</step>", pitch.letter.as_char()));
        if pitch.alteration.0 != 0 {
            self.line(&format!("<alter>{}</alter>", pitch.alteration.0));
        }
        self.line(&format!("<octave>{}</octave>", pitch.octave));
        self.close("pitch");
        if lead != "<grace/>" {
            self.line("<duration>24</duration>");
        }
        if !tie.is_empty() {
            self.line(&format!("<tie type=\"{tie}\"/>"));
        }
        self.line(&format!("<voice>{voice}</voice>"));
        if self.rng.bool() {
            self.line("<type>quarter</type>");
        }
        if !sign.is_empty() {
            self.line(sign);
        }
        if self.chance(3) {
            self.line("<stem>up</stem>");
        }
        self.notations(tie);
        if self.chance(8) {
            self.open("lyric number=\"1\"");
            self.line("<text>pier</text>");
            self.close("lyric");
        }
        self.close("note");
    }

    fn notations(&mut self, tie: &str) {
        let technical = self.chance(8);
        if tie.is_empty() && !technical {
            return;
        }
        self.open("notations");
        if !tie.is_empty() {
            self.line(&format!("<tied type=\"{tie}\"/>"));
        }
        if technical {
            self.open("technical");
            self.line("<stopped/>");
            self.close("technical");
        }
        self.close("notations");
    }
}
