//! ABC 2.1: read into a score, and intents written back.

mod ids;
mod read;
mod syntax;
mod write;

pub(crate) use ids::ids;
pub(crate) use syntax::Syntax;
pub use write::spell_in_abc;
pub(crate) use write::{Source, write};
