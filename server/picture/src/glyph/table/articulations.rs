//! Outlines and sizes of articulations, made by `server/picture/glyphs`; not to be changed by hand.

use super::Glyph;

pub(crate) const ARTIC_ACCENT_ABOVE: Glyph = Glyph {
    name: "articAccentAbove",
    width: 1.705,
    left: 0.0,
    right: 1.705,
    top: -1.033,
    bottom: 0.0,
    stem_up: (0.0, 0.0),
    stem_down: (0.0, 0.0),
    outline: "m0-7.18l0-1.08l13.64 4.16l-13.64 4.1l0-1.08l10.13-3.02l-10.13-3.08z",
};

pub(crate) const ARTIC_ACCENT_BELOW: Glyph = Glyph {
    name: "articAccentBelow",
    width: 1.705,
    left: 0.0,
    right: 1.705,
    top: 0.0,
    bottom: 1.033,
    stem_up: (0.0, 0.0),
    stem_down: (0.0, 0.0),
    outline: "m0 1.08l0-1.08l13.64 4.16l-13.64 4.1l0-1.08l10.13-3.02l-10.13-3.08z",
};

pub(crate) const ARTIC_STACCATO_ABOVE: Glyph = Glyph {
    name: "articStaccatoAbove",
    width: 0.385,
    left: 0.0,
    right: 0.385,
    top: -0.385,
    bottom: 0.0,
    stem_up: (0.0, 0.0),
    stem_down: (0.0, 0.0),
    outline: "m1.54-3.08l0 0q.66 0 1.1 .44q.44 .44 .44 1.1l0 0q0 .65-.44 1.1q-.44 .44-1.1 .44l0 0q-.65 0-1.1-.44q-.44-.45-.44-1.1l0 0q0-.66 .44-1.1q.45-.44 1.1-.44z",
};

pub(crate) const ARTIC_STACCATO_BELOW: Glyph = Glyph {
    name: "articStaccatoBelow",
    width: 0.385,
    left: 0.0,
    right: 0.385,
    top: 0.0,
    bottom: 0.385,
    stem_up: (0.0, 0.0),
    stem_down: (0.0, 0.0),
    outline: "m1.54 0l0 0q.66 0 1.1 .44q.44 .45 .44 1.1l0 0q0 .66-.44 1.1q-.44 .44-1.1 .44l0 0q-.65 0-1.1-.44q-.44-.44-.44-1.1l0 0q0-.65 .44-1.1q.45-.44 1.1-.44z",
};

pub(crate) const ARTIC_TENUTO_ABOVE: Glyph = Glyph {
    name: "articTenutoAbove",
    width: 1.225,
    left: 0.0,
    right: 1.225,
    top: -0.156,
    bottom: 0.0,
    stem_up: (0.0, 0.0),
    stem_down: (0.0, 0.0),
    outline: "m0 0l0-1.25l9.8 0l0 1.25l-9.8 0z",
};

pub(crate) const ARTIC_TENUTO_BELOW: Glyph = Glyph {
    name: "articTenutoBelow",
    width: 1.225,
    left: 0.0,
    right: 1.225,
    top: 0.0,
    bottom: 0.156,
    stem_up: (0.0, 0.0),
    stem_down: (0.0, 0.0),
    outline: "m0 1.25l0-1.25l9.8 0l0 1.25l-9.8 0z",
};

pub(crate) const ARTIC_STACCATISSIMO_ABOVE: Glyph = Glyph {
    name: "articStaccatissimoAbove",
    width: 0.418,
    left: 0.0,
    right: 0.418,
    top: -0.693,
    bottom: 0.0,
    stem_up: (0.0, 0.0),
    stem_down: (0.0, 0.0),
    outline: "m0-5.54l1.67 5.54l1.67-5.54l-3.34 0z",
};

pub(crate) const ARTIC_STACCATISSIMO_BELOW: Glyph = Glyph {
    name: "articStaccatissimoBelow",
    width: 0.418,
    left: 0.0,
    right: 0.418,
    top: 0.0,
    bottom: 0.693,
    stem_up: (0.0, 0.0),
    stem_down: (0.0, 0.0),
    outline: "m0 5.54l1.67-5.54l1.67 5.54l-3.34 0z",
};

pub(crate) const ARTIC_MARCATO_ABOVE: Glyph = Glyph {
    name: "articMarcatoAbove",
    width: 1.279,
    left: 0.0,
    right: 1.279,
    top: -1.131,
    bottom: 0.0,
    stem_up: (0.0, 0.0),
    stem_down: (0.0, 0.0),
    outline: "m4.85-9.05l-4.85 9.05l1.28 0l3.24-6.07l3.45 6.07l2.26 0l-5.38-9.05z",
};

pub(crate) const ARTIC_MARCATO_BELOW: Glyph = Glyph {
    name: "articMarcatoBelow",
    width: 1.279,
    left: 0.0,
    right: 1.279,
    top: 0.0,
    bottom: 1.131,
    stem_up: (0.0, 0.0),
    stem_down: (0.0, 0.0),
    outline: "m4.85 9.05l-4.85-9.05l1.28 0l3.24 6.07l3.45-6.07l2.26 0l-5.38 9.05z",
};
