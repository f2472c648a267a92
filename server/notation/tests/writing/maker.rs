//! Tunes nobody wrote, from a seed.

use std::fmt::Write as _;

use fastrand::Rng;

pub(crate) const ROUNDS: u64 = 300;

// Invented tunes ----------------------------------------------------------------------------------------------------

pub(crate) struct Maker {
    pub(crate) rng: Rng,
    pub(crate) end: &'static str,
    /// The last note, when it is tied into the next.
    pub(crate) held: Option<String>,
    pub(crate) overlays: bool,
    /// Whether the reach of accidentals may change on the way.
    pub(crate) changing: bool,
}

pub(crate) const KEYS: [&str; 18] = [
    "C",
    "G",
    "D",
    "A",
    "E",
    "F#",
    "F",
    "Bb",
    "Eb",
    "Ab",
    "Gb",
    "Dm",
    "E dor",
    "none",
    "Amix ^g",
    "C exp _b ^f",
    "G clef=treble",
    "Bb % as the ferry leaves",
];

impl Maker {
    pub(crate) fn new(seed: u64) -> Self {
        let mut rng = Rng::with_seed(seed);
        let end = ["\n", "\r\n", "\r"][rng.usize(0..3)];
        Self {
            rng,
            end,
            held: None,
            overlays: false,
            changing: true,
        }
    }

    pub(crate) fn tune(&mut self, mode: Option<&str>) -> String {
        let mut lines: Vec<String> = Vec::new();
        if self.rng.bool() {
            lines.push("%abc-2.1".into());
        }
        lines.push("X:1".into());
        lines.push("T:Morning on the Pier".into());
        if self.rng.bool() {
            lines.push("% the band meets at the landing".into());
        }
        if let Some(mode) = mode {
            lines.push(format!("%%propagate-accidentals {mode}"));
        }
        lines.push("M:4/4".into());
        lines.push("L:1/8".into());
        let voices = self.rng.usize(1..4);
        let declared = voices > 1 || self.rng.bool();
        if declared {
            for voice in 1..=voices {
                let octave = if self.rng.u8(0..4) == 0 {
                    " octave=-1"
                } else {
                    ""
                };
                lines.push(format!("V:{voice} name=\"Horn {voice}\"{octave}"));
            }
        }
        let key = KEYS[self.rng.usize(0..KEYS.len())];
        lines.push(format!("K:{key}"));
        self.overlays = self.rng.u8(0..3) == 0;
        let mut held = vec![None; voices + 1];
        // The voices take turns, or each has all its lines at once.
        let lines_each = self.rng.usize(1..5);
        let turns = self.rng.bool();
        for turn in 0..lines_each * voices {
            let voice = if turns {
                turn % voices
            } else {
                turn / lines_each
            } + 1;
            self.held = held[voice].take();
            self.line(voice, declared, &mut lines);
            held[voice] = self.held.take();
        }
        // What is held runs into a last note, so that every tie has two ends.
        for (voice, held) in held.into_iter().enumerate() {
            if let Some(held) = held {
                let open = if declared {
                    format!("[V:{voice}]")
                } else {
                    String::new()
                };
                lines.push(format!("{open}{held}2 z6|]"));
            }
        }
        lines.join(self.end) + self.end
    }

    /// A line of a voice's music, with what may stand around it.
    pub(crate) fn line(&mut self, voice: usize, declared: bool, lines: &mut Vec<String>) {
        let inline = self.rng.bool();
        if declared && !inline {
            lines.push(format!("V:{voice}"));
            if self.rng.u8(0..4) == 0 {
                let key = KEYS[self.rng.usize(0..KEYS.len())];
                lines.push(format!("K:{key}"));
            }
            if self.changing && self.rng.u8(0..6) == 0 {
                let mode = ["not", "octave", "pitch"][self.rng.usize(0..3)];
                lines.push(format!("I:propagate-accidentals {mode}"));
            }
        }
        let mut music = String::new();
        if declared && inline {
            write!(music, "[V:{voice}] ").unwrap();
        }
        for _ in 0..self.rng.usize(1..5) {
            self.bar(&mut music);
        }
        match self.rng.u8(0..8) {
            0 => music.push_str(" % ^f =b the gulls"),
            1 => music.push_str("z4 \\"),
            // A bar that goes on in the voice's next line.
            2 => music.push_str("^f2b2"),
            _ => {}
        }
        if music.ends_with('2') || music.ends_with('\\') {
            self.held = None;
        }
        lines.push(music);
        if self.rng.u8(0..4) == 0 {
            lines.push("w: high_ wa-ter ^on =the pier".into());
        }
    }

    pub(crate) fn pitch(&mut self) -> String {
        let letter = b"FfFfBbBbCcDdEeGgAa"[self.rng.usize(0..18)] as char;
        let marks = if letter.is_ascii_lowercase() {
            ["", "", "'"][self.rng.usize(0..3)]
        } else {
            ["", "", ","][self.rng.usize(0..3)]
        };
        format!("{letter}{marks}")
    }

    pub(crate) fn sign(&mut self) -> &'static str {
        ["", "", "", "", "", "^", "_", "=", "^^", "__"][self.rng.usize(0..10)]
    }

    pub(crate) fn bar(&mut self, music: &mut String) {
        if self.rng.u8(0..8) == 0 {
            let key = KEYS[self.rng.usize(0..15)];
            write!(music, "[K:{key}]").unwrap();
        }
        for _ in 0..4 {
            self.beat(music);
        }
        if self.overlays && self.held.is_none() && self.rng.u8(0..4) == 0 {
            music.push('&');
            for _ in 0..4 {
                let (sign, pitch) = (self.sign(), self.pitch());
                write!(music, "{sign}{pitch}2").unwrap();
            }
        }
        music.push_str(["|", "|", "||", ":|", " | "][self.rng.usize(0..5)]);
    }

    /// A quarter note's worth of music.
    pub(crate) fn beat(&mut self, music: &mut String) {
        if let Some(held) = self.held.take() {
            match self.rng.u8(0..4) {
                0 => {
                    write!(music, "{held}2-").unwrap();
                    self.held = Some(held);
                }
                _ => write!(music, "{held}2").unwrap(),
            }
            return;
        }
        let (sign, pitch) = (self.sign(), self.pitch());
        match self.rng.u8(0..14) {
            0 => music.push_str("z2"),
            1 => {
                let (other, third) = (self.pitch(), self.sign());
                write!(music, "[{sign}{pitch}{third}{other}]2").unwrap();
                if pitch != other && self.rng.bool() {
                    music.push('-');
                    self.held = Some(format!("[{pitch}{other}]"));
                }
            }
            2 => write!(music, "{{{sign}{pitch}}}{pitch}2").unwrap(),
            3 => {
                write!(music, "{sign}{pitch}2-").unwrap();
                self.held = Some(pitch);
            }
            4 => write!(music, "\"^pp\"!accent!{sign}{pitch}2").unwrap(),
            5 => write!(music, " ({sign}{pitch}>{pitch})").unwrap(),
            6 => {
                let other = self.pitch();
                write!(music, " (3{sign}{pitch}{other}{pitch}").unwrap();
            }
            7 => {
                if self.rng.u8(0..4) == 0 {
                    music.push_str("[K:Eb]");
                }
                write!(music, ".{sign}{pitch}2").unwrap();
            }
            _ => write!(music, "{sign}{pitch} {pitch}").unwrap(),
        }
    }
}
