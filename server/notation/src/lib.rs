//! Text to score and back, one room for each notation.

mod abc;
mod digest;
mod document;
mod edit;
mod encoding;
mod format;
mod kern;
mod musicxml;
mod parse;
mod staff_sign;
mod syntax;
mod writing;

pub use abc::{read_in_abc, spell_in_abc};
pub use document::{Document, Writer};
pub use edit::{CannotWrite, OverlappingEdits, TextEdit};
pub use encoding::{DecodeError, EncodeError};
pub use format::Format;
pub use staff_sign::StaffSign;
