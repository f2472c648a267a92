//! Humdrum scores nobody wrote, from a seed.

use fastrand::Rng;

pub(crate) const ROUNDS: u64 = 200;

const KINDS: [&str; 4] = ["**kern", "**kern", "**dynam", "**text"];
/// Name, `*ITr` and a signature for it at concert level.
const HORNS: [(&str, &str, &str); 6] = [
    ("Corno in F", "*ITrd4c7", "*k[b-e-]"),
    ("Horn in Eb", "*ITrd5c9", "*k[b-e-a-d-]"),
    ("Corno in F", "*ITrd-4c-7", "*k[f#]"),
    ("Oboe", "*", "*k[f#c#]"),
    ("Horn", "*ITrd6c10", "*k[]"),
    ("Corno in D", "*Trd6c10", "*k[b-]"),
];

/// A column: what kind of spine it is, and whether it is a second branch.
#[derive(Clone, PartialEq)]
struct Column {
    kind: &'static str,
    spine: usize,
    /// The pitch held into the next note, if any.
    held: Option<String>,
}

pub(crate) struct Maker {
    pub(crate) rng: Rng,
    columns: Vec<Column>,
    lines: Vec<String>,
}

impl Maker {
    pub(crate) fn new(seed: u64) -> Self {
        Self {
            rng: Rng::with_seed(seed),
            columns: Vec::new(),
            lines: Vec::new(),
        }
    }

    fn record(&mut self, cell: impl Fn(&Column) -> String) {
        let cells: Vec<String> = self.columns.iter().map(cell).collect();
        self.lines.push(cells.join("\t"));
    }

    fn interpretation(&mut self, at: usize, said: &str) {
        let mut cells = vec!["*".to_owned(); self.columns.len()];
        cells[at] = said.to_owned();
        self.lines.push(cells.join("\t"));
    }

    pub(crate) fn score(&mut self) -> String {
        self.lines.push("!!!OTL: Morning on the Pier".into());
        if self.rng.bool() {
            self.lines.push("!! the band meets at the landing".into());
        }
        let spines = self.rng.usize(1..6);
        for spine in 0..spines {
            let kind = if spine == 0 {
                "**kern"
            } else {
                KINDS[self.rng.usize(0..KINDS.len())]
            };
            self.columns.push(Column {
                kind,
                spine,
                held: None,
            });
        }
        self.record(|column| column.kind.to_owned());
        self.header();
        for bar in 1..=self.rng.usize(2..6) {
            self.record(|_| format!("={bar}"));
            self.bar();
        }
        self.record(|_| "==".into());
        self.record(|_| "*-".into());
        self.lines.push("!!!ENC: the ferry office".into());
        let end = ["\n", "\r\n"][self.rng.usize(0..2)];
        self.lines.join(end) + end
    }

    fn header(&mut self) {
        for at in 0..self.columns.len() {
            if self.columns[at].kind != "**kern" {
                continue;
            }
            let (name, transposition, key) = HORNS[self.rng.usize(0..HORNS.len())];
            if self.rng.u8(0..5) > 0 {
                self.interpretation(at, &format!("*I\"{name}"));
            }
            if self.rng.u8(0..5) > 0 {
                self.interpretation(at, transposition);
            }
            if self.rng.u8(0..5) > 0 {
                self.interpretation(at, key);
            }
            if self.rng.bool() {
                self.interpretation(at, "*M4/4");
            }
        }
    }

    fn bar(&mut self) {
        for _ in 0..4 {
            self.moves();
            if self.rng.u8(0..8) == 0 {
                let at = self.rng.usize(0..self.columns.len());
                if self.columns[at].kind == "**kern" {
                    let said = ["*k[b-]", "*k[f#c#g#]", "*k[]", "*clefF4"][self.rng.usize(0..4)];
                    self.interpretation(at, said);
                }
            }
            if self.rng.u8(0..6) == 0 {
                let mut cells = vec!["!"; self.columns.len()];
                let at = self.rng.usize(0..cells.len());
                cells[at] =
                    ["!LO:TX:a:t=solo", "!low water", "!LO:LB:g=original"][self.rng.usize(0..3)];
                self.lines.push(cells.join("\t"));
            }
            let cells: Vec<String> = (0..self.columns.len()).map(|at| self.cell(at)).collect();
            self.lines.push(cells.join("\t"));
        }
    }

    /// A split, a join or an exchange.
    fn moves(&mut self) {
        let at = self.rng.usize(0..self.columns.len());
        let mut cells = vec!["*"; self.columns.len()];
        match self.rng.u8(0..10) {
            0 if self.columns[at].kind == "**kern" => {
                cells[at] = "*^";
                self.lines.push(cells.join("\t"));
                let twin = Column {
                    held: None,
                    ..self.columns[at].clone()
                };
                self.columns.insert(at + 1, twin);
            }
            1 if at + 1 < cells.len() => {
                let (one, two) = (&self.columns[at], &self.columns[at + 1]);
                if one.spine == two.spine {
                    if two.held.is_none() {
                        (cells[at], cells[at + 1]) = ("*v", "*v");
                        self.lines.push(cells.join("\t"));
                        self.columns.remove(at + 1);
                    }
                } else {
                    (cells[at], cells[at + 1]) = ("*x", "*x");
                    self.lines.push(cells.join("\t"));
                    self.columns.swap(at, at + 1);
                }
            }
            _ => {}
        }
    }

    fn pitch(&mut self) -> String {
        let letter = ["c", "d", "e", "f", "g", "a", "b", "cc", "ff", "G", "B"];
        let letter = letter[self.rng.usize(0..letter.len())];
        let sign = ["", "", "", "#", "-", "n", "#X", "-X"][self.rng.usize(0..8)];
        format!("{letter}{sign}")
    }

    fn cell(&mut self, at: usize) -> String {
        match self.columns[at].kind {
            "**dynam" => [".", ".", "p", "f <", "[ mf", ">"][self.rng.usize(0..6)].to_owned(),
            "**text" => [".", "high", "wa-", "-ter"][self.rng.usize(0..4)].to_owned(),
            _ => self.note(at),
        }
    }

    fn note(&mut self, at: usize) -> String {
        let pitch = self.pitch();
        if let Some(held) = self.columns[at].held.take() {
            if self.rng.u8(0..4) == 0 {
                self.columns[at].held = Some(held.clone());
                return format!("4{held}_");
            }
            return format!("4{held}]\\");
        }
        match self.rng.u8(0..10) {
            0 => "4r".to_owned(),
            1 => format!("4{pitch} 4{}", self.pitch()),
            2 => {
                self.columns[at].held = Some(pitch.replace('X', ""));
                format!("[4{pitch}")
            }
            3 => format!("(4{pitch}/'"),
            4 => format!("4{pitch});"),
            _ => format!("4{pitch}"),
        }
    }
}
