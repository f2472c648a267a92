//! Signs of music as outlines, by their names in SMuFL, with the sizes and anchors that engraving goes by.

mod table;

pub(crate) use table::*;

/// Pixels of a staff space, the unit in which fonts for music measure.
pub(crate) const SPACE: f64 = 8.0;
/// Pixels from a line to the space beside it.
pub(crate) const STEP: f64 = SPACE / 2.0;

/// One sign. Sizes are in staff spaces, right and down from where it is put.
#[derive(Debug, PartialEq)]
pub(crate) struct Glyph {
    /// Its name in SMuFL.
    pub(crate) name: &'static str,
    /// How far what follows stands from it.
    pub(crate) width: f64,
    pub(crate) left: f64,
    pub(crate) right: f64,
    pub(crate) top: f64,
    pub(crate) bottom: f64,
    /// Where a stem that goes up ends at a head, its right edge.
    pub(crate) stem_up: (f64, f64),
    /// Where a stem that goes down ends at a head, its left edge.
    pub(crate) stem_down: (f64, f64),
    /// The path, in pixels.
    pub(crate) outline: &'static str,
}

/// The head for a note of a power of two of quarter notes.
pub(crate) const fn head(power: i32) -> &'static Glyph {
    match power {
        3.. => &NOTEHEAD_DOUBLE_WHOLE,
        2 => &NOTEHEAD_WHOLE,
        1 => &NOTEHEAD_HALF,
        _ => &NOTEHEAD_BLACK,
    }
}

/// The rest of a power of two of quarter notes.
pub(crate) const fn rest(power: i32) -> &'static Glyph {
    match power {
        3.. => &REST_DOUBLE_WHOLE,
        2 => &REST_WHOLE,
        1 => &REST_HALF,
        0 => &REST_QUARTER,
        -1 => &REST_8TH,
        -2 => &REST_16TH,
        -3 => &REST_32ND,
        -4 => &REST_64TH,
        -5 => &REST_128TH,
        -6 => &REST_256TH,
        -7 => &REST_512TH,
        _ => &REST_1024TH,
    }
}

/// The flags of a stem, up or down; none for a quarter note and longer ones.
pub(crate) const fn flag(power: i32, up: bool) -> Option<&'static Glyph> {
    Some(match (power, up) {
        (0.., _) => return None,
        (-1, true) => &FLAG_8TH_UP,
        (-1, false) => &FLAG_8TH_DOWN,
        (-2, true) => &FLAG_16TH_UP,
        (-2, false) => &FLAG_16TH_DOWN,
        (-3, true) => &FLAG_32ND_UP,
        (-3, false) => &FLAG_32ND_DOWN,
        (-4, true) => &FLAG_64TH_UP,
        (-4, false) => &FLAG_64TH_DOWN,
        (-5, true) => &FLAG_128TH_UP,
        (-5, false) => &FLAG_128TH_DOWN,
        (-6, true) => &FLAG_256TH_UP,
        (-6, false) => &FLAG_256TH_DOWN,
        (-7, true) => &FLAG_512TH_UP,
        (-7, false) => &FLAG_512TH_DOWN,
        (_, true) => &FLAG_1024TH_UP,
        (_, false) => &FLAG_1024TH_DOWN,
    })
}

/// An accidental, by semitones.
pub(crate) const fn accidental(alteration: i8) -> &'static Glyph {
    match alteration {
        i8::MIN..=-2 => &ACCIDENTAL_DOUBLE_FLAT,
        -1 => &ACCIDENTAL_FLAT,
        0 => &ACCIDENTAL_NATURAL,
        1 => &ACCIDENTAL_SHARP,
        2..=i8::MAX => &ACCIDENTAL_DOUBLE_SHARP,
    }
}

/// The figure of a metre.
pub(crate) const fn meter_figure(figure: char) -> &'static Glyph {
    match figure {
        '1' => &TIME_SIG_1,
        '2' => &TIME_SIG_2,
        '3' => &TIME_SIG_3,
        '4' => &TIME_SIG_4,
        '5' => &TIME_SIG_5,
        '6' => &TIME_SIG_6,
        '7' => &TIME_SIG_7,
        '8' => &TIME_SIG_8,
        '9' => &TIME_SIG_9,
        _ => &TIME_SIG_0,
    }
}

/// The figure of a tuplet.
pub(crate) const fn tuplet_figure(figure: char) -> &'static Glyph {
    match figure {
        '1' => &TUPLET_1,
        '2' => &TUPLET_2,
        '3' => &TUPLET_3,
        '4' => &TUPLET_4,
        '5' => &TUPLET_5,
        '6' => &TUPLET_6,
        '7' => &TUPLET_7,
        '8' => &TUPLET_8,
        '9' => &TUPLET_9,
        _ => &TUPLET_0,
    }
}

/// The letters of a dynamic; `None` where one of them is no letter of a dynamic.
pub(crate) fn dynamic(letters: &str) -> Option<Vec<&'static Glyph>> {
    let letter = |letter| {
        Some(match letter {
            'p' => &DYNAMIC_PIANO,
            'm' => &DYNAMIC_MEZZO,
            'f' => &DYNAMIC_FORTE,
            'r' => &DYNAMIC_RINFORZANDO,
            's' => &DYNAMIC_SFORZANDO,
            'z' => &DYNAMIC_Z,
            'n' => &DYNAMIC_NIENTE,
            _ => return None,
        })
    };
    letters.chars().map(letter).collect()
}
