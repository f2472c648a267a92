//! How much a score is believed to hold. What goes beyond is told and not read, so that no text costs time or memory
//! without a bound. All of these are bellhand's own choice, far above what any real score needs.

use theory::Quarters;

/// The longest that a note, a rest or a bar lasts: 256 whole notes.
pub const LONGEST: Quarters = Quarters::whole(1024);

/// The octaves of written notes; the lowest and highest notes of any instrument lie well within.
pub const OCTAVES: std::ops::RangeInclusive<i8> = -1..=11;

/// Octaves by which a small number at a clef moves it.
pub const CLEF_OCTAVES: std::ops::RangeInclusive<i8> = -3..=3;

/// The most notes of one chord of one part.
pub const MOST_IN_CHORD: usize = 64;

/// The most lines that go on at the same time in one part.
pub const MOST_LAYERS: u8 = 16;

/// The most notes, rests and marks of one part in one bar; unmeasured music counts as a bar.
pub const MOST_IN_BAR: usize = 20_000;

/// The most bars that one rest stands for.
pub const MOST_RESTED: u32 = 999;

/// The most parts of a piece.
pub const MOST_PARTS: usize = 128;

/// The most bars of a file, those of all parts counted together; the longest act of an opera in full score has two
/// thirds of them.
pub const MOST_BARS: usize = 150_000;

/// The most things of a piece that are told one by one where they cannot be read.
pub const MOST_UNREADABLE: usize = 1_000;

/// How often the same bar is played at most; the longest hymns have some twenty verses.
pub const MOST_PASSES: u32 = 32;

/// How many events of a part (notes, rests, marks) are played in all at most, beyond those of its page; a concert march
/// has some two thousand.
pub const MOST_PLAYED_AGAIN: usize = 100_000;

/// The most sections that an order of sections names.
pub const MOST_SECTIONS: usize = 1_000;

/// The most pieces of a file.
pub const MOST_PIECES: usize = 20_000;

/// Whether a file has as many bars or pieces as are read.
#[must_use]
pub const fn is_full(bars: usize, pieces: usize) -> bool {
    bars > MOST_BARS || pieces >= MOST_PIECES
}
