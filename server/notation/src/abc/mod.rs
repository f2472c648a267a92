//! ABC 2.1: read into a score, and intents written back.

mod ids;
mod read;
mod syntax;
mod write;

pub(crate) use ids::ids;
pub(crate) use read::staff_sign;
pub(crate) use syntax::Syntax;
pub(crate) use write::{Source, write};
pub use write::{read_in_abc, spell_in_abc};
