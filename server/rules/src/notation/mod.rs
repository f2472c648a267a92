//! Rules about how the part is written on the page.

pub mod key_signature;
pub mod no_horn;
pub mod no_transposition;
pub mod unnamed_crook;
pub mod wrong_transposition;
