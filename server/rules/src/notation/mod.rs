//! Rules about how the part is written on the page.

pub mod awkward_spelling;
pub mod bass_clef_convention;
pub mod clef;
pub mod clef_changes;
pub mod courtesy;
pub mod house_pitch;
pub mod key_signature;
pub mod ledger_lines;
pub mod no_horn;
pub mod no_transposition;
pub mod respelled;
pub mod unclear_accidental;
pub mod unnamed_crook;
mod witnesses;
pub mod wrong_transposition;
