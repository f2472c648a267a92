//! Outlines and sizes of accidentals, made by `server/picture/glyphs`; not to be changed by hand.

use super::Glyph;

pub(crate) const ACCIDENTAL_FLAT: Glyph = Glyph {
    name: "accidentalFlat",
    width: 0.816,
    left: 0.0,
    right: 0.816,
    top: -1.971,
    bottom: 0.775,
    stem_up: (0.0, 0.0),
    stem_down: (0.0, 0.0),
    outline: "m0 6.2l0-21.97l1.02 0l0 12.79q1.21-1.22 2.75-1.22l0 0q1.05 0 1.9 .71q.85 .7 .85 2.05l0 0q0 1.05-.62 1.93q-.62 .89-1.67 1.77l0 0l-2.26 1.94q-.63 .52-1.12 1.03q-.49 .51-.85 .97l0 0zm1.02-7.71l0 5.51q.85-.92 1.44-1.69q.59-.77 .92-1.36l0 0q.36-.62 .54-1.15q.18-.52 .18-.98l0 0q0-.92-.43-1.33q-.42-.41-.92-.41l0 0q-.52 0-1.03 .38q-.51 .38-.7 1.03l0 0z",
};

pub(crate) const ACCIDENTAL_NATURAL: Glyph = Glyph {
    name: "accidentalNatural",
    width: 0.721,
    left: 0.0,
    right: 0.721,
    top: -1.443,
    bottom: 1.455,
    stem_up: (0.0, 0.0),
    stem_down: (0.0, 0.0),
    outline: "m1.08-4.75l4.69-1.22l0 17.61l-1.02 0l0-6.95l-4.75 1.21l0-17.44l1.08 0l0 6.79zm-.06 7.31l3.8-.92l0-4.2l-3.8 .95l0 4.17z",
};

pub(crate) const ACCIDENTAL_SHARP: Glyph = Glyph {
    name: "accidentalSharp",
    width: 0.922,
    left: 0.0,
    right: 0.922,
    top: -1.537,
    bottom: 1.561,
    stem_up: (0.0, 0.0),
    stem_down: (0.0, 0.0),
    outline: "m0 3.34l1.54-.45l0-4.69l-1.54 .39l0-3.28l1.54-.42l0-6.43l1.02 0l0 6.16l2.19-.52l0-6.4l1.02 0l0 6.14l1.61-.36l0 3.24l-1.61 .46l0 4.69l1.61-.39l0 3.37l-1.61 .4l0 6.16l-1.02 0l0-5.9l-2.19 .59l0 6.39l-1.02 0l0-6.16l-1.54 .39l0-3.38zm2.56-.72l2.19-.52l0-4.72l-2.19 .55l0 4.69z",
};

pub(crate) const ACCIDENTAL_DOUBLE_SHARP: Glyph = Glyph {
    name: "accidentalDoubleSharp",
    width: 1.066,
    left: 0.0,
    right: 1.066,
    top: -0.537,
    bottom: 0.537,
    stem_up: (0.0, 0.0),
    stem_down: (0.0, 0.0),
    outline: "m8.52 4.3l-2.82 0l0-1.48q0-.62-.4-.98q-.41-.36-1-.36l0 0q-.63 0-1.05 .36q-.43 .36-.43 .91l0 0l0 1.55l-2.82 0l0-2.82l1.8 0q.46 0 .74-.46q.28-.46 .28-1.02l0 0q0-.52-.31-1q-.31-.48-.51-.48l0 0l-2 0l0-2.82l2.82 0l0 1.74q0 .46 .43 .77q.42 .31 1.05 .31l0 0q.49 0 .95-.29q.45-.3 .45-.72l0 0l0-1.81l2.82 0l0 2.82l-1.67 0q-.42 0-.78 .51q-.37 .51-.37 .97l0 0q0 .56 .32 1.02q.31 .46 .83 .46l0 0l1.67 0l0 2.82z",
};

pub(crate) const ACCIDENTAL_DOUBLE_FLAT: Glyph = Glyph {
    name: "accidentalDoubleFlat",
    width: 1.504,
    left: 0.0,
    right: 1.504,
    top: -1.971,
    bottom: 0.775,
    stem_up: (0.0, 0.0),
    stem_down: (0.0, 0.0),
    outline: "m5.51 6.2l0-5.31q-.26 .39-.84 .95q-.57 .55-1.49 1.27l0 0q-1.8 1.41-3.18 3.09l0 0l0-21.97l.95 0l0 12.79q1.51-1.22 2.75-1.22l0 0q1.05 0 1.81 .66l0 0l0-12.23l1.01 0l0 12.79q1.22-1.22 2.76-1.22l0 0q1.05 0 1.9 .71q.85 .7 .85 2.05l0 0q0 1.05-.62 1.93q-.62 .89-1.67 1.77l0 0l-2.26 1.94q-1.28 1.11-1.97 2l0 0zm1.01-7.71l0 5.51q1.32-1.38 2.2-2.74q.89-1.36 .89-2.44l0 0q0-.92-.43-1.33q-.43-.41-.92-.41l0 0q-.52 0-1.03 .38q-.51 .38-.71 1.03l0 0zm-5.57 0l0 5.51l1.35-1.54q.95-1.08 1.34-1.9q.39-.82 .39-1.74l0 0q0-1.67-1.34-1.67l0 0q-.53 0-1.03 .37q-.51 .38-.71 .97l0 0z",
};
