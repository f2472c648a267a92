//! ABC 2.1: read into a score, and intents written back.

mod read;
mod write;

pub(crate) use read::{Memory, read};
pub(crate) use write::write;
