//! Invented horn parts, clean of any fault, as they are before they are written in a notation.

use std::ops::Range;

use fastrand::Rng;

/// Bars of a group: two of music and two of rest.
pub(crate) const GROUP: usize = 4;
/// Groups of a piece.
pub(crate) const GROUPS: usize = 5;
/// A bar of rest.
pub(crate) const REST: &str = "z32";

/// One player's part.
#[derive(Clone)]
pub(crate) struct Stand {
    pub(crate) name: String,
    /// Semitones the file says are added to the written notes.
    pub(crate) records: Option<i32>,
    /// What a comment says of the part, if anything.
    pub(crate) said: Option<&'static str>,
    /// Flats (negative) or sharps of its key signature.
    pub(crate) key: i32,
    /// Bars of ABC, counted in thirty-second notes; `?` stands for what no reader of the notation can read.
    pub(crate) bars: Vec<String>,
}

/// A piece for the river ferry pier's band, in common time at 96 quarter notes a minute: a bar lasts 2.5 s.
#[derive(Clone)]
pub(crate) struct Sheet {
    pub(crate) stands: Vec<Stand>,
    /// What a comment at the top tells this tool besides, if anything.
    pub(crate) told: Option<&'static str>,
    /// Bars that are played twice, by their places.
    pub(crate) repeated: Option<Range<usize>>,
    /// The bar before which a page ends, by its place.
    pub(crate) new_page: Option<usize>,
}

impl Sheet {
    /// Two horns in F, from a seed.
    pub(crate) fn clean(seed: u64) -> Self {
        let mut rng = Rng::with_seed(seed);
        let stands = [
            ("Horn 1 in F", ["G", "c", "e"], "^f16"),
            ("Horn 2 in F", ["C", "E", "G"], "_B,16"),
        ];
        let stands = stands.map(|(name, pool, altered)| {
            let mut bars = Vec::new();
            for _ in 0..GROUPS {
                let mut note = || pool[rng.usize(0..pool.len())];
                bars.push(format!("!mf!{}8 {}8 {}16", note(), note(), note()));
                bars.push(format!("{}16 {altered}", note()));
                bars.extend([REST.to_owned(), REST.to_owned()]);
            }
            Stand {
                name: name.to_owned(),
                records: Some(-7),
                said: None,
                key: 0,
                bars,
            }
        });
        Self {
            stands: stands.into(),
            told: None,
            repeated: None,
            new_page: None,
        }
    }

    /// The same on crooks of D without valves; all notes are open.
    pub(crate) fn natural(seed: u64) -> Self {
        let mut sheet = Self::clean(seed);
        for (place, stand) in sheet.stands.iter_mut().enumerate() {
            stand.name = format!("Natural horn {} in D", place + 1);
            stand.records = Some(-10);
            for bar in &mut stand.bars {
                *bar = bar.replace("^f16", "e16").replace("_B,16", "C16");
            }
        }
        sheet
    }

    /// Puts bars in place of a group's; rests fill what is left of it, and more bars push the next groups back,
    /// while the other player goes on as before. The part's first note keeps a dynamic.
    pub(crate) fn put(&mut self, stand: usize, group: usize, bars: &[&str]) {
        let mut bars: Vec<String> = bars.iter().map(|bar| (*bar).to_owned()).collect();
        if group == 0 {
            mark_first_note(&mut bars);
        }
        while bars.len() < GROUP {
            bars.push(REST.to_owned());
        }
        let from = group * GROUP;
        let longer = bars.len() - GROUP;
        self.stands[stand].bars.splice(from..from + GROUP, bars);
        for (other, stand_there) in self.stands.iter_mut().enumerate() {
            if other != stand {
                let own = stand_there.bars[from..from + GROUP].to_vec();
                let more = own.into_iter().cycle().take(longer);
                stand_there.bars.splice(from + GROUP..from + GROUP, more);
            }
        }
    }

    /// Whether a repeat begins with a bar, and whether it ends with it.
    pub(crate) fn turns(&self, bar: usize) -> (bool, bool) {
        let repeated = self.repeated.as_ref();
        repeated.map_or((false, false), |bars| {
            (bars.start == bar, bars.end == bar + 1)
        })
    }

    /// Names the parts.
    pub(crate) fn call(&mut self, names: [&str; 2]) {
        for (stand, name) in self.stands.iter_mut().zip(names) {
            name.clone_into(&mut stand.name);
        }
    }
}

/// Puts a dynamic before the first note, unless one stands there.
fn mark_first_note(bars: &mut [String]) {
    for bar in bars {
        let mut quoted = false;
        let note = bar.char_indices().find(|(_, c)| {
            quoted ^= *c == '"';
            !quoted && "!([ABCDEFGabcdefg^_=".contains(*c)
        });
        if let Some((at, first)) = note {
            let sign = bar[at + 1..].split('!').next().unwrap_or_default();
            let is_dynamic = first == '!' && sign.chars().all(|letter| "mpf".contains(letter));
            if !is_dynamic {
                bar.insert_str(at, "!mf!");
            }
            return;
        }
    }
}
