//! How loud a mark asks a player to be.

use std::fmt;

use theory::Quarters;

use crate::source::{Source, Sourced};

/// A dynamic: the loudness that holds once the mark has been played.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Dynamic(i8);

impl Dynamic {
    /// pp.
    pub const PP: Self = Self(-3);
    /// p.
    pub const P: Self = Self(-2);
    /// mp.
    pub const MP: Self = Self(-1);
    /// mf.
    pub const MF: Self = Self(1);
    /// f.
    pub const F: Self = Self(2);
    /// ff.
    pub const FF: Self = Self(3);
    /// fff.
    pub const FFF: Self = Self(4);
    /// Nothing to be heard: a degree softer than the most letters.
    pub const NIENTE: Self = Self(-2 - Self::MOST_LETTERS as i8);
    /// As many letters as are read: six of them.
    const MOST_LETTERS: usize = 6;

    /// Reads a mark as printed, in small letters: `pp`, `mf`, `fff`, `sfz`, `fp`.
    ///
    /// An accent counts by its loudness (`sfz` is f, `sffz` is ff); where a soft letter follows (`fp`,
    /// `sfpp`), by that, since it is what lasts.
    #[must_use]
    pub fn read(mark: &str) -> Option<Self> {
        match mark {
            "mp" => return Some(Self::MP),
            "mf" => return Some(Self::MF),
            "n" | "niente" => return Some(Self::NIENTE),
            _ => {}
        }
        let accent = mark
            .strip_prefix('s')
            .or_else(|| mark.strip_prefix('r'))
            .unwrap_or(mark);
        let body = accent.strip_suffix('z').unwrap_or(accent);
        let loud = body.bytes().take_while(|&b| b == b'f').count();
        let soft = body.len() - loud;
        let accented = body.len() < mark.len();
        let fits = (1..=Self::MOST_LETTERS).contains(&body.len())
            && body.bytes().skip(loud).all(|b| b == b'p')
            && (!accented || loud > 0);
        // At most six letters, so the counts fit.
        match (fits, loud, soft) {
            (true, loud, 0) => Some(Self(1 + loud as i8)),
            (true, _, soft) => Some(Self(-1 - soft as i8)),
            _ => None,
        }
    }

    /// f or louder.
    #[must_use]
    pub fn is_loud(self) -> bool {
        self >= Self::F
    }

    /// p or softer.
    #[must_use]
    pub fn is_soft(self) -> bool {
        self <= Self::P
    }

    /// The loudness that a mark leaves behind: an accent (`sfz`) leaves none, and of `fp` the soft letter lasts.
    #[must_use]
    pub fn read_lasting(mark: &str) -> Option<Self> {
        let accent = mark.starts_with(['s', 'r']) || mark.ends_with('z');
        Self::read(mark).filter(|dynamic| !(accent && dynamic.is_loud()))
    }

    /// Degrees above p: mp is 1, mf 2, f 3, pp -1.
    #[must_use]
    pub const fn degrees(self) -> i8 {
        if self.0 < 0 { self.0 + 2 } else { self.0 + 1 }
    }

    /// The mark one degree louder: p for pp, mf for mp.
    #[must_use]
    pub const fn louder(self) -> Self {
        if self.0 == -1 {
            Self::MF
        } else {
            Self(self.0 + 1)
        }
    }

    /// One degree further in its own direction: p to pp, f to ff.
    pub(crate) const fn more(self) -> Self {
        Self(self.0 + self.0.signum())
    }
}

impl fmt::Display for Dynamic {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match *self {
            Self::MP => f.write_str("mp"),
            Self::MF => f.write_str("mf"),
            Self(level) if level <= Self::NIENTE.0 => f.write_str("niente"),
            Self(level) => {
                let letter = if level < 0 { "p" } else { "f" };
                (1..level.unsigned_abs()).try_for_each(|_| f.write_str(letter))
            }
        }
    }
}

/// How many degrees a hairpin leads up or down that meets no mark: to the next one. Common practice.
#[must_use]
pub const fn degrees_of_a_hairpin() -> Sourced<f64> {
    Sourced::new(1.0, Source::CommonPractice)
}

/// How long after its end a mark still says where a hairpin has led: a bar of four quarter notes. Chosen.
#[must_use]
pub const fn mark_after_a_hairpin() -> Sourced<Quarters> {
    Sourced::new(Quarters::whole(4), Source::ProjectChoice)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn marks_read_and_write_in_order() {
        let order = [
            "pppp", "ppp", "pp", "p", "mp", "mf", "f", "ff", "fff", "ffff",
        ];
        let read: Vec<_> = order.map(|mark| Dynamic::read(mark).unwrap()).to_vec();
        assert!(read.is_sorted());
        for (dynamic, mark) in read.iter().zip(order) {
            assert_eq!(dynamic.to_string(), mark);
        }
        for (mark, same) in [
            ("sfz", "f"),
            ("sf", "f"),
            ("fz", "f"),
            ("rf", "f"),
            ("rfz", "f"),
            ("sffz", "ff"),
            ("fp", "p"),
            ("sfp", "p"),
            ("sfpp", "pp"),
            ("ffp", "p"),
        ] {
            assert_eq!(Dynamic::read(mark), Dynamic::read(same), "{mark}");
        }
        for junk in [
            "", "s", "z", "sz", "m", "pf", "mff", "F", "sp", "pz", "fff!", "ffffffff",
        ] {
            assert_eq!(Dynamic::read(junk), None, "{junk}");
        }
        for (mark, lasting) in [
            ("f", Some(Dynamic::F)),
            ("sfz", None),
            ("rf", None),
            ("ffz", None),
            ("fp", Some(Dynamic::P)),
            ("sfpp", Some(Dynamic::PP)),
            ("pf", None),
        ] {
            assert_eq!(Dynamic::read_lasting(mark), lasting, "{mark}");
        }
        let nothing = Dynamic::read("n").unwrap();
        assert!(nothing < Dynamic::read("pppppp").unwrap());
        assert_eq!(nothing, Dynamic::read("niente").unwrap());
        assert_eq!(nothing.to_string(), "niente");
        assert!(Dynamic::F.is_loud() && !Dynamic::MF.is_loud());
        assert!(Dynamic::P.is_soft() && !Dynamic::MP.is_soft());
        assert_eq!(Dynamic::P.more(), Dynamic::PP);
        for (place, pair) in order.windows(2).enumerate() {
            let [one, next] = [0, 1].map(|at| Dynamic::read(pair[at]).unwrap());
            assert_eq!(one.louder(), next);
            assert_eq!(one.degrees(), place as i8 - 3, "{one}");
        }
    }
}
