//! A horn part drawn as it lies on the stand, with what bellhand knows laid over it: register, hand and mute, breath, lip
//! and findings.

mod clock;
mod draw;
mod drawing;
mod findings;
mod glyph;
mod ink;
mod laid_part;
mod lanes;
mod layout;
mod legend;
mod notes;
mod others;
mod page;
mod paper;
mod sheet;
mod staff;
mod style;
mod subject;
mod value;

pub use drawing::{Block, Drawing};
pub use laid_part::LaidPart;
pub use notes::note_id;
pub use page::{draw, engrave};
pub use paper::{Paper, Turned};
pub use subject::{Options, Picture, Pitched, Place, Subject};
