//! Humdrum with `**kern`: read into a score, and intents written back.

mod grid;
mod interpretation;
mod layout;
mod read;
mod spot;
mod syntax;
mod token;
mod transposing;
mod write;

pub(crate) use interpretation::staff_sign;
pub(crate) use syntax::Syntax;
pub(crate) use write::{Source, write};
