//! Outlines and sizes of glyphs, made by `server/picture/glyphs`; not to be changed by hand.
//!
//! From the fonts Noto Music and Noto Serif, Copyright 2022 The Noto Project Authors, under the SIL Open Font License 1.1:
//! `server/picture/glyphs/OFL.txt`. Plain shapes are bellhand's own.

use super::Glyph;

mod accidentals;
mod articulations;
mod clefs;
mod dynamics;
mod figures;
mod flags;
mod heads;
mod ornaments;
mod rests;

pub(crate) use accidentals::*;
pub(crate) use articulations::*;
pub(crate) use clefs::*;
pub(crate) use dynamics::*;
pub(crate) use figures::*;
pub(crate) use flags::*;
pub(crate) use heads::*;
pub(crate) use ornaments::*;
pub(crate) use rests::*;
